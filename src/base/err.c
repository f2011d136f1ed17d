#include "base/err.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

#include "base/utf8.h"

/*
 * Errors go into JSON and into the database: what is no character, cut in two or never one, becomes
 * a question mark, one for each run.
 */
static void make_whole(char *text)
{
    size_t left = strlen(text);
    char *into = text;
    bool in_run = false;
    uint32_t character;

    for (const char *at = text; left > 0;) {
        size_t length = utf8_character(at, left, &character);

        if (length > 0)
            memmove(into, at, length);
        else if (!in_run)
            *into = '?';
        into += length > 0 ? length : !in_run;
        in_run = length == 0;
        length += in_run;
        at += length;
        left -= length;
    }
    *into = '\0';
}

bool err_set(struct err *err, enum err_code code, const char *fmt, ...)
{
    va_list args;

    err->code = code;
    err->hint[0] = '\0';
    va_start(args, fmt);
    vsnprintf(err->text, sizeof(err->text), fmt, args);
    va_end(args);
    make_whole(err->text);

    return false;
}

bool err_wrap(struct err *err, const char *fmt, ...)
{
    char context[sizeof(err->text)];
    va_list args;

    va_start(args, fmt);
    vsnprintf(context, sizeof(context), fmt, args);
    va_end(args);

    /* The cause matters more than the context: cut the context first. */
    size_t cause = strlen(err->text);
    size_t room = sizeof(err->text) - 1 - cause;
    size_t keep = strnlen(context, room > 2 ? room - 2 : 0);

    if (keep > 0) {
        memmove(err->text + keep + 2, err->text, cause + 1);
        memcpy(err->text, context, keep);
        memcpy(err->text + keep, ": ", 2);
        make_whole(err->text);
    }

    return false;
}

bool err_hint(struct err *err, const char *fmt, ...)
{
    va_list args;

    va_start(args, fmt);
    vsnprintf(err->hint, sizeof(err->hint), fmt, args);
    va_end(args);
    make_whole(err->hint);

    return false;
}

const char *err_code_name(enum err_code code)
{
    static const char *const names[] = {
        [ERR_NONE] = "none",
        [ERR_INVALID] = "invalid",
        [ERR_NOT_FOUND] = "not found",
        [ERR_CONFLICT] = "conflict",
        [ERR_DENIED] = "denied",
        [ERR_TOO_LARGE] = "too large",
        [ERR_UNAVAILABLE] = "unavailable",
        [ERR_BUG] = "bug",
    };

    return (size_t)code < ARRAY_LEN(names) ? names[code] : "bug";
}
