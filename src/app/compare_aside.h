/*
 * A row set aside beside what it contradicts: each value with its file, place and who brought it,
 * for a person to choose.
 */
#ifndef APP_COMPARE_ASIDE_H
#define APP_COMPARE_ASIDE_H

#include "app/correct.h"

struct compared_value {
    bool stored; /* false: set aside, and waits */
    bool asked;  /* the row that was asked for */
    const char *value;
    const char *made_by; /* or NULL */
    const char *sample;  /* or NULL */
    const char *file_name;
    const char *sheet; /* of a workbook, or NULL */
    int32_t line;
    int32_t column;     /* 0 not told */
    const char *person; /* who brought the file, or NULL */
    instant received_at;
    bool left_out;
};

struct compared {
    const char *reason; /* "contradicts-stored" and so on */
    const char *words;
    const char *station;
    const char *parameter;
    instant at;
    struct compared_value *items; /* stored ones first */
    size_t count;
    size_t capacity;
};

/*
 * ERR_NOT_FOUND: nothing waits there. ERR_INVALID: several do, or the row contradicts nothing; the
 * text says why it was set aside.
 */
MUST_CHECK bool aside_compare(struct db *db, struct arena *mem, const struct open_farm *farm,
                              const struct aside_ref *ref, struct compared *out, struct err *err);

#endif
