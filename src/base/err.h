/*
 * Error object: how every fallible function in this program reports failure.
 *
 * A function that can fail returns bool, true meaning done, and takes a
 * struct err * as its last parameter. On failure it fills the object once,
 * where the cause is known; a caller that knows more puts its context in front
 * with err_wrap(). Nothing but cli/ and main.c prints or logs an error: the
 * edge chooses the exit status and the line.
 *
 * The object is a plain value on the caller's stack. It never allocates and
 * needs no freeing, so it still works when memory has run out.
 *
 *     struct err err = ERR_INIT;
 *
 *     if (!record_calibrations(db, &act, visit, count, &err))
 *         return cli_fail(&err);
 */
#ifndef BASE_ERR_H
#define BASE_ERR_H

#include <stdbool.h>

#include "base/macro.h"

/* What a caller may want to tell apart; everything else is in the text. */
enum err_code {
    ERR_NONE = 0,
    ERR_INVALID,     /* the input is wrong: tell the user which part */
    ERR_NOT_FOUND,   /* the thing named does not exist */
    ERR_CONFLICT,    /* it exists already, or someone changed it first */
    ERR_DENIED,      /* the user may not do this */
    ERR_TOO_LARGE,   /* over a limit set on purpose */
    ERR_UNAVAILABLE, /* a service did not answer: trying again may help */
    ERR_BUG,         /* cannot happen; the message helps us, not the user */
};

struct err {
    enum err_code code;
    char text[400]; /* whole UTF-8; lower case, no full stop; outermost context first */
    char hint[200]; /* a sentence on what to do about it, or empty; whole UTF-8 too */
};

#define ERR_INIT ((struct err){.code = ERR_NONE})

/* Fill the object. Always false, so that failing is one line: return err_set(...) */
bool err_set(struct err *err, enum err_code code, const char *fmt, ...) PRINTF_LIKE(3, 4);

/* Put context in front of an error that is already set. Always false. */
bool err_wrap(struct err *err, const char *fmt, ...) PRINTF_LIKE(2, 3);

/* Add advice for the person who reads the error. Always false. */
bool err_hint(struct err *err, const char *fmt, ...) PRINTF_LIKE(2, 3);

/* Stable lower-case name of a code, for JSON bodies and logs. */
const char *err_code_name(enum err_code code);

#endif
