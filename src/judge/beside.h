/*
 * Beside a reading: what people did that changes no value and belongs to how far it can be relied
 * upon. Shown with the reading, and nothing is judged by it.
 */
#ifndef JUDGE_BESIDE_H
#define JUDGE_BESIDE_H

#include "judge/evidence.h"

/* A person held the results of its sample against a document. */
struct beside_checked {
    const char *document; /* its name */
    int64_t number;       /* of the document */
    const char *person;
    instant at;
    bool corrected_since; /* one of the sample's results is no longer what was checked */
};

/* A person typed something in place of what could not be read in the file. */
struct beside_typed {
    const char *typed; /* "value 10.5, unit mg/L" */
    const char *text;  /* the row or cell as it stands in the file */
    const char *person;
    instant at;
};

/* A person gave the reading another value; the first one stands in the reading itself. */
struct beside_corrected {
    const char *person;
    const char *second_person; /* or NULL */
    instant at;
    const char *because;
};

struct reading_beside {
    const struct beside_corrected *corrected; /* the newest value's; NULL: nobody did */
    const struct beside_checked *checked;     /* the newest; NULL: nobody did */
    const struct beside_typed *typed;         /* NULL: nothing */
};

/* "corrected by owner and wren, 2026-05-09 11:00: misread; checked against sheet-12.pdf (document
 * 3) by wren, 2026-05-05 10:00; typed by owner, ..., in place of ...": of all of them what there
 * is; NULL where there is nothing. */
char *beside_words(struct arena *mem, const struct zone *zone, const struct reading_beside *beside);

#endif
