/*
 * Sheet cells: one worksheet part read into cells. Helper of base/sheet.
 */
#ifndef BASE_SHEET_CELLS_H
#define BASE_SHEET_CELLS_H

#include "base/sheet.h"
#include "base/sheet_package.h"
#include "base/sheet_style.h"
#include "base/sheet_texts.h"

/* `package`'s part of one sheet, cell by cell. Errors name the cell. */
MUST_CHECK bool sheet_cells_read(struct sheet_package *package, const char *part,
                                 const struct sheet_info *sheet, const struct sheet_texts *texts,
                                 const struct sheet_styles *styles,
                                 const struct sheet_events *events, void *context, struct err *err);

#endif
