/*
 * Sheet package: the zip file behind an XLSX workbook, and its XML parts read with every limit
 * on. Helper of base/sheet, which alone uses it.
 *
 * A workbook comes from a stranger: a small file may claim, or hold, a part of any size; XML may
 * define entities. What is inflated is counted here, whatever the zip's own headers say, and a
 * part with a DOCTYPE is refused.
 */
#ifndef BASE_SHEET_PACKAGE_H
#define BASE_SHEET_PACKAGE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "base/err.h"
#include "base/macro.h"

enum {
    SHEET_ENTRIES_MOST = 2000,             /* files inside the zip */
    SHEET_PART_MOST = 256 * 1024 * 1024,   /* bytes of one part, inflated */
    SHEET_PARTS_MOST = 1024 * 1024 * 1024, /* bytes of all parts read, inflated */
    SHEET_RATIO_MOST = 300,                /* inflated to stored; counts once a part is large */
    SHEET_RATIO_FROM = 1024 * 1024,        /* bytes from which it is large */
    SHEET_DEPTH_MOST = 64,                 /* elements inside each other */
    SHEET_TAG_MOST = 1024 * 1024,          /* bytes of one tag or comment, which is held whole */
};

struct sheet_package;

/*
 * ERR_INVALID: not a zip file (an old .xls or a workbook with a password is none), or damaged.
 * ERR_TOO_LARGE: over a limit above. ERR_NOT_FOUND, ERR_DENIED, ERR_UNAVAILABLE: of the path.
 */
MUST_CHECK bool sheet_package_open(const char *path, struct sheet_package **out, struct err *err);

/* The same of an open file, which is read from its start and stays open. */
MUST_CHECK bool sheet_package_open_file(FILE *file, struct sheet_package **out, struct err *err);

void sheet_package_close(struct sheet_package **package); /* for CLEANUP; fine on NULL */

bool sheet_package_has(struct sheet_package *package, const char *part);

/*
 * What is called while a part is read. `name` is the element's local name, or "" where it lies
 * in a namespace that is not one of the workbook's own. A function that returns false has filled
 * the error and ends the reading. `text` may be NULL.
 */
struct sheet_part_reader {
    bool (*start)(void *context, const char *name, const char *const *attributes, struct err *err);
    bool (*end)(void *context, const char *name, struct err *err);
    bool (*text)(void *context, const char *text, size_t length, struct err *err);
};

/* ERR_INVALID: no such part, or broken XML; ERR_TOO_LARGE: over a limit. */
MUST_CHECK bool sheet_package_read(struct sheet_package *package, const char *part,
                                   const struct sheet_part_reader *reader, void *context,
                                   struct err *err);

/* An attribute by its local name, or NULL. "r:id" asks for the relationship id. */
const char *sheet_attribute(const char *const *attributes, const char *name);

#endif
