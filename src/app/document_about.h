/*
 * What a document is about, as a person types it: "sample L-0142", "file may.csv", "licence
 * discharge", "finding solids-mean 2026-05-01", "instrument Probe 4".
 */
#ifndef APP_DOCUMENT_ABOUT_H
#define APP_DOCUMENT_ABOUT_H

#include "app/open_farm.h"
#include "store/document_store.h"

/*
 * Kind and name into `tie`, in mem; what is named must be on record. ERR_INVALID: none of these
 * words. ERR_NOT_FOUND: no such thing.
 */
MUST_CHECK bool document_about_read(struct db_tx *tx, struct arena *mem,
                                    const struct open_farm *farm, const char *text,
                                    struct document_tie *tie, struct err *err);

#endif
