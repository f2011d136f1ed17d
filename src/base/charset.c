#include "base/charset.h"

#include <string.h>

#include "base/str.h"

enum { WORK_SIZE = 65536, OUT_SIZE = 16384, CHARACTER_MOST = 4 };

enum coding { UNDECIDED, UTF_8, WINDOWS_1252, LATIN_1, UTF_16_LITTLE, UTF_16_BIG };

static const struct {
    const char *name;
    enum coding coding;
} told_names[] = {
    {"utf-8", UTF_8},     {"windows-1252", WINDOWS_1252}, {"cp1252", WINDOWS_1252},
    {"latin-1", LATIN_1}, {"iso-8859-1", LATIN_1},        {"utf-16", UTF_16_LITTLE},
    {"utf8", UTF_8},      {"utf16", UTF_16_LITTLE},
};

const char *const charset_names[] = {"utf-8", "windows-1252", "latin-1", "utf-16", NULL};

static const char *const coding_names[] = {
    [UNDECIDED] = "utf-8", [UTF_8] = "utf-8",          [WINDOWS_1252] = "windows-1252",
    [LATIN_1] = "latin-1", [UTF_16_LITTLE] = "utf-16", [UTF_16_BIG] = "utf-16",
};

/* How files that are no text begin, and what to do with them. */
static const struct {
    const char *bytes;
    size_t count;
    const char *what;
    const char *todo;
} magics[] = {
    {"PK\x03\x04", 4, "a workbook or a zip file",
     "A workbook (.xlsx): say `format: xlsx` in its source. Another spreadsheet (.ods): open it "
     "and save it as CSV. A zip file: unpack it first."},
    {"\xd0\xcf\x11\xe0", 4, "an old spreadsheet or document (.xls, .doc)",
     "Open it in a spreadsheet and save it as CSV."},
    {"\x7f"
     "ELF",
     4, "a program", "Choose the file that the logger or the laboratory wrote."},
    {"MZ", 2, "a program", "Choose the file that the logger or the laboratory wrote."},
    {"%PDF", 4, "a PDF document", "Ask the laboratory for the same results as CSV."},
    {"\x89PNG", 4, "a picture", "Ask for the same figures as CSV."},
    {"\xff\xd8\xff", 3, "a picture", "Ask for the same figures as CSV."},
    {"GIF8", 4, "a picture", "Ask for the same figures as CSV."},
    {"\x1f\x8b", 2, "a compressed file (gzip)", "Unpack it first."},
    {"BZh", 3, "a compressed file (bzip2)", "Unpack it first."},
    {"\xfd"
     "7zXZ",
     5, "a compressed file (xz)", "Unpack it first."},
    {"7z\xbc\xaf", 4, "a compressed file (7z)", "Unpack it first."},
    {"Rar!", 4, "a compressed file (rar)", "Unpack it first."},
    {"SQLite format 3", 15, "a database file", "Export the readings as CSV."},
    {"\xff\xfe\0\0", 4, "text in UTF-32", "Save it again as UTF-8."},
    {"\0\0\xfe\xff", 4, "text in UTF-32", "Save it again as UTF-8."},
};

/* Bytes 0x80 to 0x9f of windows-1252; 0 is no character (WHATWG Encoding Standard marks them). */
static const uint16_t windows_1252[32] = {
    0x20ac, 0,      0x201a, 0x0192, 0x201e, 0x2026, 0x2020, 0x2021, 0x02c6, 0x2030, 0x0160,
    0x2039, 0x0152, 0,      0x017d, 0,      0,      0x2018, 0x2019, 0x201c, 0x201d, 0x2022,
    0x2013, 0x2014, 0x02dc, 0x2122, 0x0161, 0x203a, 0x0153, 0,      0x017e, 0x0178,
};

struct charset {
    struct charset_sink sink;
    enum coding told;
    enum coding coding;
    bool head_done;
    int64_t bytes;   /* fed so far */
    int64_t work_at; /* place in the file of work[0] */
    size_t work_count;
    size_t out_count;
    unsigned char work[WORK_SIZE];
    char out[OUT_SIZE];
};

static bool coding_find(const char *name, enum coding *out)
{
    for (size_t i = 0; i < ARRAY_LEN(told_names); i++)
        if (str_equal_nocase(told_names[i].name, name)) {
            *out = told_names[i].coding;
            return true;
        }

    return false;
}

bool charset_known(const char *name)
{
    enum coding coding;

    return coding_find(name, &coding);
}

struct charset *charset_new(struct arena *mem, const char *told, const struct charset_sink *sink)
{
    struct charset *charset = ARENA_NEW(mem, struct charset);

    charset->sink = *sink;
    charset->told = UTF_8;
    if (told)
        (void)coding_find(told, &charset->told);

    return charset;
}

const char *charset_found(const struct charset *charset)
{
    return coding_names[charset->coding];
}

int64_t charset_bytes(const struct charset *charset)
{
    return charset->bytes;
}

/* --- handing on --- */

static bool out_flush(struct charset *charset, struct err *err)
{
    size_t count = charset->out_count;

    charset->out_count = 0;

    return count == 0 || charset->sink.text(charset->sink.context, charset->out, count, err);
}

static bool fault_at(struct charset *charset, size_t place, struct err *err)
{
    const struct charset_fault fault = {
        .byte = charset->work[place],
        .offset = charset->work_at + (int64_t)place,
    };

    return out_flush(charset, err) && charset->sink.fault(charset->sink.context, &fault, err);
}

/* Add one character (RFC 3629); room for it is made first. */
static bool out_character(struct charset *charset, uint32_t c, struct err *err)
{
    if (charset->out_count + CHARACTER_MOST > OUT_SIZE && !out_flush(charset, err))
        return false;

    char *out = charset->out + charset->out_count;

    if (c < 0x80) {
        out[0] = (char)c;
        charset->out_count += 1;
    } else if (c < 0x800) {
        out[0] = (char)(0xc0 | c >> 6);
        out[1] = (char)(0x80 | (c & 0x3f));
        charset->out_count += 2;
    } else if (c < 0x10000) {
        out[0] = (char)(0xe0 | c >> 12);
        out[1] = (char)(0x80 | (c >> 6 & 0x3f));
        out[2] = (char)(0x80 | (c & 0x3f));
        charset->out_count += 3;
    } else {
        out[0] = (char)(0xf0 | c >> 18);
        out[1] = (char)(0x80 | (c >> 12 & 0x3f));
        out[2] = (char)(0x80 | (c >> 6 & 0x3f));
        out[3] = (char)(0x80 | (c & 0x3f));
        charset->out_count += 4;
    }

    return true;
}

/* --- UTF-8 --- */

/* How many bytes from `at` are ASCII and not NUL. */
static size_t ascii_run(const unsigned char *bytes, size_t at, size_t count)
{
    const uint64_t ones = 0x0101010101010101u;
    const uint64_t tops = 0x8080808080808080u;
    size_t place = at;

    while (place + 8 <= count) {
        uint64_t eight;

        memcpy(&eight, bytes + place, sizeof(eight));
        if ((eight | (eight - ones)) & tops)
            break;
        place += 8;
    }
    while (place < count && bytes[place] < 0x80 && bytes[place] != 0)
        place++;

    return place - at;
}

enum { SEQUENCE_BAD = 0, SEQUENCE_CUT = -1 };

/*
 * Bytes of the character outside ASCII that begins at `bytes`, after the table of well-formed
 * sequences of RFC 3629, section 4. SEQUENCE_CUT when it is good so far and more must come.
 */
static int sequence_length(const unsigned char *bytes, size_t count)
{
    unsigned char lead = bytes[0];
    int length = lead >= 0xc2 && lead <= 0xdf   ? 2
                 : lead >= 0xe0 && lead <= 0xef ? 3
                 : lead >= 0xf0 && lead <= 0xf4 ? 4
                                                : 0;
    unsigned char low = lead == 0xe0 ? 0xa0 : lead == 0xf0 ? 0x90 : 0x80;
    unsigned char high = lead == 0xed ? 0x9f : lead == 0xf4 ? 0x8f : 0xbf;

    for (int i = 1; i < length; i++) {
        if ((size_t)i >= count)
            return SEQUENCE_CUT;
        if (bytes[i] < low || bytes[i] > high)
            return SEQUENCE_BAD;
        low = 0x80;
        high = 0xbf;
    }

    return length;
}

/*
 * Hand on work[*place..] as UTF-8 up to its end, a character that is cut off (unless `last`),
 * or, while the charset is open, the byte that decides it.
 */
static bool utf8_pump(struct charset *charset, size_t *place, bool last, struct err *err)
{
    const unsigned char *work = charset->work;
    size_t count = charset->work_count;
    size_t from = *place;
    size_t at = from;

    for (;;) {
        at += ascii_run(work, at, count);
        if (at == count)
            break;

        int length = work[at] == 0 ? SEQUENCE_BAD : sequence_length(work + at, count - at);

        if (length == SEQUENCE_CUT && !last)
            break;
        if (length > 0) {
            charset->coding = UTF_8;
            at += (size_t)length;
            continue;
        }
        if (charset->coding == UNDECIDED && work[at] != 0) {
            charset->coding = charset->told;
            if (charset->told != UTF_8)
                break;
        }
        if (at > from &&
            !charset->sink.text(charset->sink.context, (const char *)work + from, at - from, err))
            return false;
        if (!fault_at(charset, at, err))
            return false;
        from = ++at;
    }
    *place = at;

    return at == from ||
           charset->sink.text(charset->sink.context, (const char *)work + from, at - from, err);
}

/* --- 8 bits and UTF-16 --- */

static bool eight_bit_pump(struct charset *charset, size_t *place, struct err *err)
{
    for (; *place < charset->work_count; ++*place) {
        unsigned char byte = charset->work[*place];
        uint32_t c = byte;

        if (charset->coding == WINDOWS_1252 && byte >= 0x80 && byte < 0xa0)
            c = windows_1252[byte - 0x80];
        if (!(c == 0 ? fault_at(charset, *place, err) : out_character(charset, c, err)))
            return false;
    }

    return out_flush(charset, err);
}

static uint32_t unit_at(const struct charset *charset, size_t place)
{
    size_t high = charset->coding == UTF_16_BIG ? 0 : 1;

    return (uint32_t)charset->work[place + high] << 8 | charset->work[place + 1 - high];
}

/* UTF-16 (RFC 2781). A surrogate without its other half is a fault of both its bytes. */
static bool utf16_pump(struct charset *charset, size_t *place, bool last, struct err *err)
{
    while (*place + 2 <= charset->work_count) {
        uint32_t c = unit_at(charset, *place);
        size_t length = 2;
        bool bad = c == 0 || (c >= 0xdc00 && c <= 0xdfff);

        if (c >= 0xd800 && c <= 0xdbff) {
            if (*place + 4 > charset->work_count && !last)
                break;

            uint32_t low = *place + 4 > charset->work_count ? 0 : unit_at(charset, *place + 2);

            bad = low < 0xdc00 || low > 0xdfff;
            if (!bad) {
                c = 0x10000 + ((c - 0xd800) << 10) + (low - 0xdc00);
                length = 4;
            }
        }
        if (bad ? !(fault_at(charset, *place, err) && fault_at(charset, *place + 1, err))
                : !out_character(charset, c, err))
            return false;
        *place += length;
    }
    if (last && *place < charset->work_count && !fault_at(charset, (*place)++, err))
        return false;

    return out_flush(charset, err);
}

/* --- what it is --- */

static bool head_refuse_magic(const struct charset *charset, struct err *err)
{
    for (size_t i = 0; i < ARRAY_LEN(magics); i++)
        if (charset->work_count >= magics[i].count &&
            memcmp(charset->work, magics[i].bytes, magics[i].count) == 0) {
            (void)err_set(err, ERR_INVALID, "this is no text file but %s", magics[i].what);
            return err_hint(err, "%s", magics[i].todo);
        }

    return true;
}

/* A byte order mark decides; its length, or 0 when there is none. */
static size_t head_mark(struct charset *charset)
{
    static const struct {
        const char *bytes;
        size_t count;
        enum coding coding;
    } marks[] = {
        {"\xef\xbb\xbf", 3, UTF_8},
        {"\xff\xfe", 2, UTF_16_LITTLE},
        {"\xfe\xff", 2, UTF_16_BIG},
    };

    for (size_t i = 0; i < ARRAY_LEN(marks); i++)
        if (charset->work_count >= marks[i].count &&
            memcmp(charset->work, marks[i].bytes, marks[i].count) == 0) {
            charset->coding = marks[i].coding;
            return marks[i].count;
        }

    return 0;
}

/*
 * NULs in every second byte are UTF-16: at least a quarter of the characters have one, and nearly
 * all stand on the same side. Any other NUL means that the file is no text.
 */
static bool head_nuls(struct charset *charset, struct err *err)
{
    size_t nuls[2] = {0, 0};
    size_t first = 0;

    for (size_t i = charset->work_count; i-- > 0;)
        if (charset->work[i] == 0) {
            nuls[i % 2]++;
            first = i;
        }
    if (nuls[0] + nuls[1] == 0)
        return true;

    size_t side = nuls[1] > nuls[0] ? 1 : 0;

    if (nuls[side] * 8 >= charset->work_count && nuls[1 - side] * 16 <= nuls[side]) {
        charset->coding = side == 1 ? UTF_16_LITTLE : UTF_16_BIG;
        return true;
    }
    (void)err_set(err, ERR_INVALID, "this is no text file: byte %zu is a NUL", first);

    return err_hint(err, "If it is a spreadsheet, save it as CSV; if it is CSV, the file is "
                         "damaged: copy it from the logger again.");
}

/* Whether the head is UTF-8 all through, a character cut off at its end aside. */
static bool head_is_utf8(const struct charset *charset)
{
    size_t at = 0;

    for (;;) {
        at += ascii_run(charset->work, at, charset->work_count);
        if (at == charset->work_count)
            return true;

        int length = sequence_length(charset->work + at, charset->work_count - at);

        if (length <= 0)
            return length == SEQUENCE_CUT;
        at += (size_t)length;
    }
}

static bool head_decide(struct charset *charset, size_t *place, struct err *err)
{
    charset->head_done = true;
    if (!head_refuse_magic(charset, err))
        return false;
    *place = head_mark(charset);
    if (*place > 0)
        return true;
    if (!head_nuls(charset, err))
        return false;
    if (charset->coding == UNDECIDED && charset->told == UTF_16_LITTLE)
        charset->coding = head_is_utf8(charset) ? UTF_8 : UTF_16_LITTLE;

    return true;
}

/* Convert what is in `work` and keep what can't be converted yet. */
static bool pump(struct charset *charset, bool last, struct err *err)
{
    size_t place = 0;

    if (!charset->head_done && !head_decide(charset, &place, err))
        return false;

    bool good = true;

    if (charset->coding == UNDECIDED || charset->coding == UTF_8)
        good = utf8_pump(charset, &place, last, err);
    if (good && (charset->coding == WINDOWS_1252 || charset->coding == LATIN_1))
        good = eight_bit_pump(charset, &place, err);
    if (good && (charset->coding == UTF_16_LITTLE || charset->coding == UTF_16_BIG))
        good = utf16_pump(charset, &place, last, err);

    charset->work_count -= place;
    charset->work_at += (int64_t)place;
    memmove(charset->work, charset->work + place, charset->work_count);

    return good;
}

bool charset_feed(struct charset *charset, const void *bytes, size_t count, struct err *err)
{
    const unsigned char *from = bytes;

    charset->bytes += (int64_t)count;
    while (count > 0) {
        size_t room = WORK_SIZE - charset->work_count;
        size_t part = count < room ? count : room;

        memcpy(charset->work + charset->work_count, from, part);
        charset->work_count += part;
        from += part;
        count -= part;
        if ((charset->head_done || charset->work_count >= CHARSET_HEAD) &&
            !pump(charset, false, err))
            return false;
    }

    return true;
}

bool charset_end(struct charset *charset, struct err *err)
{
    return pump(charset, true, err);
}
