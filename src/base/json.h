/*
 * JSON writer: puts commas, quotes and escapes right, so that callers only say what is in
 * the document. Compact, keys in the order given.
 *
 *     struct buf buf = buf_new(mem);
 *     struct json_writer json = json_begin(&buf);
 *
 *     json_put_object(&json);
 *     json_put_name(&json, "farm");
 *     json_put_text(&json, "Example Shore");
 *     json_put_name(&json, "figures");
 *     json_put_array(&json);
 *     json_put_number(&json, "19.75");
 *     json_put_array_end(&json);
 *     json_put_object_end(&json);
 *     json_end(&json);              buf.data is {"farm":"Example Shore","figures":[19.75]}
 *
 * Saying things in an order that makes no JSON is a mistake in the program and ends it: a
 * value without a name in an object, a name in an array, an end without its beginning.
 * That a name is given twice in one object is not noticed.
 *
 * Functions are named json_put_*, since jansson, which may be in the same program, has
 * json_object() and its like.
 */
#ifndef BASE_JSON_H
#define BASE_JSON_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/buf.h"

enum { JSON_DEPTH_MOST = 32 };

/* Written through the functions below only. */
struct json_writer {
    struct buf *buf;
    size_t depth;
    bool written; /* the one value of the outermost level is there */
    bool named;   /* a name waits for its value */
    struct json_level {
        bool is_object;
        bool has_items;
    } levels[JSON_DEPTH_MOST];
};

struct json_writer json_begin(struct buf *buf);

/* Checks that one whole value has been written. */
void json_end(const struct json_writer *json);

void json_put_object(struct json_writer *json);
void json_put_object_end(struct json_writer *json);
void json_put_array(struct json_writer *json);
void json_put_array_end(struct json_writer *json);

/* The name of the next value. */
void json_put_name(struct json_writer *json, const char *name);

/* NULL becomes null; a byte that is no UTF-8 becomes U+FFFD. */
void json_put_text(struct json_writer *json, const char *text);

/* Digits as given, so that 0.30 stays 0.30; they must spell a JSON number. NULL becomes null. */
void json_put_number(struct json_writer *json, const char *digits);

/* A whole JSON document as it stands, which must be one. NULL becomes null. */
void json_put_json(struct json_writer *json, const char *document);

void json_put_int(struct json_writer *json, int64_t value);
void json_put_bool(struct json_writer *json, bool value);
void json_put_null(struct json_writer *json);

/* Name and value in one. */
void json_put_name_text(struct json_writer *json, const char *name, const char *text);
void json_put_name_number(struct json_writer *json, const char *name, const char *digits);
void json_put_name_int(struct json_writer *json, const char *name, int64_t value);
void json_put_name_bool(struct json_writer *json, const char *name, bool value);

#endif
