#include "ledger/entry.h"

#include <string.h>

#include "base/str.h"
#include "ledger/bytes.h"

static const char magic[] = "WBENTRY\x01";

enum { MAGIC_SIZE = sizeof(magic) - 1 };

static const uint32_t no_text = UINT32_MAX;

static const char *const kind_names[ENTRY_KINDS] = {
    [ENTRY_FARM] = "farm",           [ENTRY_FARM_FILE] = "farm-file",
    [ENTRY_RECEIPT] = "receipt",     [ENTRY_MENDED] = "mended",
    [ENTRY_LEAVE_OUT] = "leave-out", [ENTRY_CORRECTION] = "correction",
    [ENTRY_READING] = "reading",     [ENTRY_SAMPLE] = "sample",
    [ENTRY_NO_SAMPLE] = "no-sample", [ENTRY_DOCUMENT] = "document",
    [ENTRY_NOTE] = "note",           [ENTRY_FINDING] = "finding",
    [ENTRY_CONFIRM] = "confirm",     [ENTRY_ANSWER] = "answer",
    [ENTRY_STATEMENT] = "statement", [ENTRY_CLOSURE] = "closure",
    [ENTRY_CHECK] = "check",         [ENTRY_REPORT] = "report",
    [ENTRY_SIGN_OFF] = "sign-off",   [ENTRY_SENT] = "sent",
    [ENTRY_DUTY] = "duty",           [ENTRY_PERSON] = "person",
    [ENTRY_DATABASE] = "database",   [ENTRY_DOUBT] = "doubt",
    [ENTRY_ADDITION] = "addition",   [ENTRY_NOTICE] = "notice",
    [ENTRY_VISIT] = "visit",         [ENTRY_VISIT_ANSWER] = "visit-answer",
};

const char *entry_kind_name(enum entry_kind kind)
{
    return kind_names[kind];
}

bool entry_kind_parse(const char *name, enum entry_kind *out)
{
    for (size_t i = 0; i < ENTRY_KINDS; i++) {
        if (str_equal(kind_names[i], name)) {
            *out = (enum entry_kind)i;
            return true;
        }
    }

    return false;
}

bool entry_check(const struct entry *entry, struct err *err)
{
    if (entry->sequence < 1)
        return err_set(err, ERR_INVALID, "a ledger entry is numbered from 1");
    if (entry->at == INSTANT_NONE)
        return err_set(err, ERR_INVALID, "a ledger entry has no time");
    if ((unsigned)entry->kind >= ENTRY_KINDS)
        return err_set(err, ERR_INVALID, "a ledger entry is of no known kind");
    if (str_empty(entry->person) && str_empty(entry->source))
        return err_set(err, ERR_INVALID, "a ledger entry names neither a person nor a source");
    if (entry->field_count > ENTRY_FIELDS_MOST)
        return err_set(err, ERR_TOO_LARGE, "a ledger entry of %zu fields, at most %d",
                       entry->field_count, ENTRY_FIELDS_MOST);
    for (size_t i = 0; i < entry->field_count; i++)
        if (str_empty(entry->fields[i].name))
            return err_set(err, ERR_INVALID, "field %zu of a ledger entry has no name", i + 1);

    return true;
}

static void write_u32(struct buf *out, uint32_t value)
{
    unsigned char bytes[sizeof(value)];

    bytes_put_u32(bytes, value);
    buf_add(out, bytes, sizeof(bytes));
}

static void write_i64(struct buf *out, int64_t value)
{
    unsigned char bytes[sizeof(value)];

    bytes_put_i64(bytes, value);
    buf_add(out, bytes, sizeof(bytes));
}

static void write_text(struct buf *out, const char *text)
{
    if (!text) {
        write_u32(out, no_text);
        return;
    }

    size_t length = strlen(text);

    write_u32(out, (uint32_t)length);
    buf_add(out, text, length);
}

void entry_write(const struct entry *entry, struct buf *out)
{
    buf_add(out, magic, MAGIC_SIZE);
    write_i64(out, entry->farm_id);
    write_i64(out, entry->sequence);
    write_i64(out, entry->at);
    write_text(out, entry_kind_name(entry->kind));
    write_text(out, entry->person);
    write_text(out, entry->source);
    write_u32(out, (uint32_t)entry->field_count);
    for (size_t i = 0; i < entry->field_count; i++) {
        write_text(out, entry->fields[i].name);
        write_text(out, entry->fields[i].value);
    }
}

/* What is still to be read; `fits` turns false at the first thing that is not there. */
struct reader {
    struct arena *mem;
    const unsigned char *at;
    size_t left;
    bool fits;
};

static const unsigned char *read_bytes(struct reader *in, size_t count)
{
    const unsigned char *at = in->at;

    if (!in->fits || count > in->left) {
        in->fits = false;
        return NULL;
    }
    in->at += count;
    in->left -= count;

    return at;
}

static uint32_t read_u32(struct reader *in)
{
    const unsigned char *at = read_bytes(in, sizeof(uint32_t));

    return at ? bytes_get_u32(at) : 0;
}

static int64_t read_i64(struct reader *in)
{
    const unsigned char *at = read_bytes(in, sizeof(int64_t));

    return at ? bytes_get_i64(at) : 0;
}

static const char *read_text(struct reader *in)
{
    uint32_t length = read_u32(in);

    if (length == no_text)
        return NULL;

    const unsigned char *at = read_bytes(in, length);

    if (!at)
        return NULL;
    /* A text with a NUL inside would come back shorter than it is. */
    if (memchr(at, '\0', length)) {
        in->fits = false;
        return NULL;
    }

    return arena_strndup(in->mem, (const char *)at, length);
}

static const struct entry_field *read_fields(struct reader *in, size_t count)
{
    /* Each takes eight bytes at least: never make room for more than can be there. */
    if (count > ENTRY_FIELDS_MOST || count > in->left / 8) {
        in->fits = in->fits && count == 0;
        return NULL;
    }

    struct entry_field *fields = ARENA_ARRAY(in->mem, struct entry_field, count);

    for (size_t i = 0; i < count && in->fits; i++) {
        fields[i].name = read_text(in);
        fields[i].value = read_text(in);
    }

    return fields;
}

bool entry_parse(struct arena *mem, const void *bytes, size_t count, struct entry *out,
                 struct err *err)
{
    struct reader in = {.mem = mem, .at = bytes, .left = count, .fits = true};
    const unsigned char *start = read_bytes(&in, MAGIC_SIZE);
    struct entry entry = {0};

    if (!start || memcmp(start, magic, MAGIC_SIZE - 1) != 0)
        return err_set(err, ERR_INVALID, "these bytes are no ledger entry");
    if (start[MAGIC_SIZE - 1] != ENTRY_VERSION)
        return err_set(err, ERR_INVALID, "a ledger entry of version %d, and this program knows %d",
                       start[MAGIC_SIZE - 1], ENTRY_VERSION);
    entry.farm_id = read_i64(&in);
    entry.sequence = read_i64(&in);
    entry.at = read_i64(&in);
    if (!entry_kind_parse(read_text(&in), &entry.kind))
        return err_set(err, ERR_INVALID, "a ledger entry is of no known kind");
    entry.person = read_text(&in);
    entry.source = read_text(&in);
    entry.field_count = read_u32(&in);
    entry.fields = read_fields(&in, entry.field_count);
    if (!in.fits || in.left > 0)
        return err_set(err, ERR_INVALID, "a ledger entry is %s",
                       in.fits ? "longer than it says" : "cut short or damaged");
    if (!entry_check(&entry, err))
        return false;
    *out = entry;

    return true;
}

const char *entry_field(const struct entry *entry, const char *name)
{
    for (size_t i = 0; i < entry->field_count; i++)
        if (str_equal(entry->fields[i].name, name))
            return entry->fields[i].value;

    return NULL;
}
