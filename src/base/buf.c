#include "base/buf.h"

#include <assert.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static void buf_room(struct buf *buf, size_t more)
{
    size_t need = buf->len + more + 1;

    if (need <= buf->capacity)
        return;

    size_t room = buf->capacity * 2 > need ? buf->capacity * 2 : need;
    char *grown = arena_alloc(buf->mem, room);

    memcpy(grown, buf->data, buf->len + 1);
    buf->data = grown;
    buf->capacity = room;
}

struct buf buf_new(struct arena *mem)
{
    return (struct buf){.mem = mem, .data = arena_alloc(mem, 64), .capacity = 64};
}

void buf_add(struct buf *buf, const void *bytes, size_t count)
{
    buf_room(buf, count);
    if (count)
        memcpy(buf->data + buf->len, bytes, count);
    buf->len += count;
    buf->data[buf->len] = '\0';
}

void buf_add_text(struct buf *buf, const char *text)
{
    buf_add(buf, text, strlen(text));
}

void buf_add_char(struct buf *buf, char c)
{
    buf_add(buf, &c, 1);
}

void buf_addf(struct buf *buf, const char *fmt, ...)
{
    va_list args;
    va_list again;

    va_start(args, fmt);
    va_copy(again, args);

    int length = vsnprintf(NULL, 0, fmt, args);

    if (length > 0) {
        buf_room(buf, (size_t)length);
        vsnprintf(buf->data + buf->len, (size_t)length + 1, fmt, again);
        buf->len += (size_t)length;
    }
    va_end(again);
    va_end(args);
}

void buf_cut(struct buf *buf, size_t len)
{
    assert(len <= buf->len);
    buf->len = len;
    buf->data[len] = '\0';
}

void buf_clear(struct buf *buf)
{
    buf->len = 0;
    buf->data[0] = '\0';
}
