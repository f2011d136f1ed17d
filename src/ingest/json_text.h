/*
 * JSON text: walking through one document (RFC 8259) held in memory, value by value, with the
 * place of each. Strict: what is no JSON is refused with line and column.
 *
 * Numbers keep their digits as written: 0.30 stays 0.30.
 */
#ifndef INGEST_JSON_TEXT_H
#define INGEST_JSON_TEXT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"

enum {
    JSON_DOCUMENT_MOST = 33554432, /* bytes */
    JSON_LEVELS_MOST = 64,         /* lists and objects inside each other */
    JSON_TEXT_MOST = 65536,        /* bytes of one text or number */
};

/* The reader's place; a plain value, so that a caller may note where it was. */
struct json_text {
    const char *at;
    const char *end;
    const char *line_begin;
    int32_t line; /* from 1 */
    int level;
};

struct json_text json_text_begin(const char *text, size_t length);

enum json_kind { JSON_NULL, JSON_TRUE, JSON_FALSE, JSON_NUMBER, JSON_TEXT, JSON_LIST, JSON_OBJECT };

/* Step over blanks: false at the end of the document. */
bool json_text_more(struct json_text *json);

/* Byte of its line at which the reader stands, from 1. */
int32_t json_text_place(const struct json_text *json);

/* What stands here, after blanks; nothing is stepped over but those. */
MUST_CHECK bool json_text_kind(struct json_text *json, enum json_kind *out, struct err *err);

/*
 * A text, number, true, false or null, as text in `mem` ("" for null), its escapes undone.
 *
 * ERR_TOO_LARGE: over JSON_TEXT_MOST.
 */
MUST_CHECK bool json_text_scalar(struct json_text *json, struct arena *mem, const char **out,
                                 struct err *err);

/*
 * Into the list or object that stands here, then from item to item: *more is false when it is at
 * its end and has been left. Of an object the key is read into *key (in `mem`), and the reader
 * stands at its value.
 *
 * ERR_TOO_LARGE: deeper than JSON_LEVELS_MOST.
 */
MUST_CHECK bool json_text_enter(struct json_text *json, struct err *err);
MUST_CHECK bool json_text_item(struct json_text *json, bool *first, bool *more, struct err *err);
MUST_CHECK bool json_text_member(struct json_text *json, struct arena *mem, bool *first, bool *more,
                                 const char **key, struct err *err);

/* Step over the value that stands here. */
MUST_CHECK bool json_text_skip(struct json_text *json, struct err *err);

/* Always false: "line 3, column 12: ..." */
bool json_text_fail(const struct json_text *json, enum err_code code, struct err *err,
                    const char *words);

#endif
