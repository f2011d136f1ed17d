/*
 * Taking in a file: its bytes are kept, its rows become readings or are set aside, its counts add
 * up, and one ledger entry binds it all; in one transaction, or not at all.
 *
 * The file is read twice: first to learn which months, series and how many values it has (and to
 * refuse what can't be read at all), then to store. Memory does not grow with it.
 */
#ifndef APP_TAKE_IN_H
#define APP_TAKE_IN_H

#include <signal.h>

#include "app/open_farm.h"
#include "ingest/draft.h"
#include "store/receipt_store.h"

/* Called now and then with how far it is; false stops the work with nothing kept. */
struct take_in_progress {
    void *context;
    bool (*tell)(void *context, int64_t bytes_done, int64_t bytes_all);
};

/* A file that is open already, of which `path` is no more than a word in messages. */
struct take_in_opened {
    int fd;           /* stays the caller's */
    const char *name; /* its label on record */
};

struct take_in_options {
    bool unattended; /* nobody stands by: act.person is NULL, and the source answers for it */
    const struct take_in_opened *opened; /* NULL: the file at `path` */
    bool staged_only;                  /* never straight in: for a server that spreads its tables */
    const volatile sig_atomic_t *stop; /* looked at between pieces; NULL: never */
    /* Whether the disk that holds `data_folder` has room enough; NULL: don't look. */
    bool (*room_enough)(uint64_t free_bytes, uint64_t total_bytes);
    const char *data_folder;
    struct take_in_progress progress;
};

struct take_in_result {
    struct receipt_row receipt;
    bool already; /* these very bytes came in before: `receipt` is that one, nothing changed */
    bool straight;
    int64_t rows;                      /* lines of data read */
    int64_t ignored_rows;              /* of them: of parameters that the source ignores */
    const struct ingest_sheet *sheets; /* of a workbook, taken or not */
    size_t sheet_count;
};

/*
 * ERR_INVALID: the file can't be read by its source at all (line and column are in the text).
 * ERR_NOT_FOUND: no such file or source. ERR_UNAVAILABLE: the disk is full, or the server went
 * away half-way. Whatever fails, nothing of the file is kept and it can be taken in again.
 */
MUST_CHECK bool take_in(struct db *db, struct arena *mem, const struct open_farm *farm,
                        const char *source_key, const char *path, const struct act *act,
                        const struct take_in_options *options, struct take_in_result *result,
                        struct err *err);

#endif
