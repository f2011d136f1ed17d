#include "store/columns.h"

#include <assert.h>
#include <string.h>

struct columns columns_new(struct arena *mem, size_t count)
{
    struct columns columns = {.mem = mem, .count = count};

    assert(count > 0 && count <= COLUMNS_MOST);
    for (size_t i = 0; i < count; i++) {
        columns.texts[i] = buf_new(mem);
        buf_add_char(&columns.texts[i], '{');
    }

    return columns;
}

/* The array of the next value, which is about to be added. */
static struct buf *next_text(struct columns *columns)
{
    struct buf *text = &columns->texts[columns->put++ % columns->count];

    if (text->len > 1)
        buf_add_char(text, ',');

    return text;
}

void columns_put_null(struct columns *columns)
{
    buf_add_text(next_text(columns), "NULL");
}

void columns_put_text(struct columns *columns, const char *value)
{
    if (!value) {
        columns_put_null(columns);
        return;
    }

    struct buf *text = next_text(columns);

    buf_add_char(text, '"');
    while (*value) {
        size_t plain = strcspn(value, "\"\\");

        buf_add(text, value, plain);
        value += plain;
        if (*value) {
            buf_add_char(text, '\\');
            buf_add_char(text, *value++);
        }
    }
    buf_add_char(text, '"');
}

void columns_put_int(struct columns *columns, int64_t value)
{
    buf_addf(next_text(columns), "%lld", (long long)value);
}

void columns_put_bool(struct columns *columns, bool value)
{
    buf_add_text(next_text(columns), value ? "true" : "false");
}

void columns_put_day(struct columns *columns, day_number day)
{
    buf_add_text(next_text(columns), day_text(columns->mem, day));
}

void columns_put_instant(struct columns *columns, instant at)
{
    buf_add_text(next_text(columns), instant_text(columns->mem, at));
}

void columns_put_bytes(struct columns *columns, const void *bytes, size_t count)
{
    static const char hex[] = "0123456789abcdef";
    struct buf *text = next_text(columns);
    const unsigned char *at = bytes;

    buf_add_text(text, "\"\\\\x");
    for (size_t i = 0; i < count; i++) {
        buf_add_char(text, hex[at[i] >> 4]);
        buf_add_char(text, hex[at[i] & 0xf]);
    }
    buf_add_char(text, '"');
}

struct columns_mark columns_mark_at(const struct columns *columns)
{
    struct columns_mark mark = {.put = columns->put};

    for (size_t i = 0; i < columns->count; i++)
        mark.lengths[i] = columns->texts[i].len;

    return mark;
}

void columns_hash_since(const struct columns *columns, const struct columns_mark *mark,
                        struct sha256_state *digest)
{
    for (size_t i = 0; i < columns->count; i++) {
        const struct buf *text = &columns->texts[i];
        size_t comma = mark->lengths[i] > 1 && text->len > mark->lengths[i];
        uint64_t length = text->len - mark->lengths[i] - comma;

        sha256_add(digest, &length, sizeof(length));
        sha256_add(digest, text->data + mark->lengths[i] + comma, length);
    }
}

void columns_take_back(struct columns *columns, const struct columns_mark *mark)
{
    columns->put = mark->put;
    for (size_t i = 0; i < columns->count; i++)
        buf_cut(&columns->texts[i], mark->lengths[i]);
}

bool columns_params(struct columns *columns, struct db_param *out, struct err *err)
{
    if (columns->put % columns->count != 0)
        return err_set(err, ERR_BUG, "%zu values in rows of %zu", columns->put, columns->count);
    for (size_t i = 0; i < columns->count; i++) {
        buf_add_char(&columns->texts[i], '}');
        out[i] = db_text(columns->texts[i].data);
    }

    return true;
}
