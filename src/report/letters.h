/*
 * Letters: how many lines a text takes in a column, so that a row is made tall enough for it. No
 * spreadsheet program does that for joined cells, and none tells before the workbook is opened.
 *
 * Widths are those of the sans letters (style_sans and the faces that are made to replace it);
 * serif ones of the same size are narrower. Lines break between words, and within one that is
 * wider than its column. What several programs count a little differently is counted narrowly.
 */
#ifndef REPORT_LETTERS_H
#define REPORT_LETTERS_H

#include <stddef.h>

#include "report/style.h"

/* Width of so many bytes of a text, in thousandths of its size. */
double letters_width(const char *text, size_t length, bool bold);

/* Lines that it takes in a column (or joined ones) of so many characters; at least 1. */
int letters_lines(const char *text, double columns, enum style style);

#endif
