/*
 * Sheet texts: the texts that a workbook's cells share (rich text without its looks, reading aids
 * left out), and the escapes inside them. Helper of base/sheet.
 */
#ifndef BASE_SHEET_TEXTS_H
#define BASE_SHEET_TEXTS_H

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "base/sheet_package.h"

struct sheet_texts {
    char **items;
    size_t count;
    size_t capacity;
};

/* The texts that cells share; `part` NULL or absent gives none. */
MUST_CHECK bool sheet_texts_read(struct arena *mem, struct sheet_package *package, const char *part,
                                 struct sheet_texts *out, struct err *err);

/* Add text with its _xHHHH_ escapes undone (ECMA-376 part 1, 22.9.2.19). */
void sheet_add_unescaped(struct buf *buf, const char *text);

#endif
