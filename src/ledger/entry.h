/*
 * Ledger entry: one act that changed something, and its one canonical spelling in bytes.
 *
 * Every entry names a person, by key, or a source; there is no anonymous write. The body is a
 * list of names and values in the order the act gave them; what it must hold is the act's
 * affair. Large things (files, readings) are in it as digests and Merkle roots.
 *
 * Canonical bytes, version 1. Numbers are big endian, signed ones in two's complement. A text
 * is its length in bytes as four bytes, then its UTF-8 bytes without a NUL; a text that is not
 * there is the four bytes ff ff ff ff and nothing else.
 *
 *     8  "WBENTRY" and the version as one byte, 01
 *     8  farm_id
 *     8  sequence
 *     8  at, microseconds since 1970-01-01T00:00:00Z
 *        kind, a text: its stable name
 *        person, a text or none
 *        source, a text or none
 *     4  number of fields of the body
 *        for each field: name, a text; value, a text or none
 *
 * These bytes never change for an entry once written. A new need gets a new version; old
 * versions stay readable for ever.
 */
#ifndef LEDGER_ENTRY_H
#define LEDGER_ENTRY_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/buf.h"
#include "base/err.h"
#include "base/instant.h"
#include "base/macro.h"

enum { ENTRY_VERSION = 1, ENTRY_FIELDS_MOST = 10000 };

/* What was done. The names are for ever; add at the end only. */
enum entry_kind {
    ENTRY_FARM,         /* "farm": the farm was made */
    ENTRY_FARM_FILE,    /* "farm-file": a version of the farm file was loaded */
    ENTRY_RECEIPT,      /* "receipt": a file or message was taken in */
    ENTRY_MENDED,       /* "mended": a row set aside was mended and accepted */
    ENTRY_LEAVE_OUT,    /* "leave-out": a reading or a row set aside does not count */
    ENTRY_CORRECTION,   /* "correction": a new value for a reading */
    ENTRY_READING,      /* "reading": written down by hand */
    ENTRY_SAMPLE,       /* "sample": a bottle taken, or changed */
    ENTRY_NO_SAMPLE,    /* "no-sample": the reason why there is none */
    ENTRY_DOCUMENT,     /* "document": a file kept */
    ENTRY_NOTE,         /* "note": words of a person */
    ENTRY_FINDING,      /* "finding": raised, answered or settled */
    ENTRY_CONFIRM,      /* "confirm": a clause was confirmed */
    ENTRY_ANSWER,       /* "answer": a condition in words answered */
    ENTRY_STATEMENT,    /* "statement": a person states a fact, as a day without discharge */
    ENTRY_CLOSURE,      /* "closure": something stopped or opened again */
    ENTRY_CHECK,        /* "check": a harvest or discharge check */
    ENTRY_REPORT,       /* "report": a workbook was made */
    ENTRY_SIGN_OFF,     /* "sign-off": a period was closed */
    ENTRY_SENT,         /* "sent": a report went to an authority */
    ENTRY_DUTY,         /* "duty": done, or said not to apply */
    ENTRY_PERSON,       /* "person": may do something, or no longer */
    ENTRY_DATABASE,     /* "database": restored, moved or migrated */
    ENTRY_DOUBT,        /* "doubt": readings or a sample are in doubt, or no longer */
    ENTRY_ADDITION,     /* "addition": fertiliser, treatment, feed or medicine put in */
    ENTRY_NOTICE,       /* "notice": of a finding: sent, not sent, or seen by a person */
    ENTRY_VISIT,        /* "visit": to a probe or field meter, or withdrawn */
    ENTRY_VISIT_ANSWER, /* "visit-answer": what becomes of readings that a visit puts in doubt */
    ENTRY_KINDS
};

struct entry_field {
    const char *name;
    const char *value; /* NULL: none */
};

struct entry {
    int64_t farm_id;
    int64_t sequence; /* 1, 2, 3, ... within the farm */
    instant at;
    enum entry_kind kind;
    const char *person; /* key; NULL when only a source acted */
    const char *source; /* NULL when no source was involved */
    const struct entry_field *fields;
    size_t field_count;
};

const char *entry_kind_name(enum entry_kind kind);
bool entry_kind_parse(const char *name, enum entry_kind *out);

/*
 * Whether it can be written: a sequence from 1, an instant, a person or a source, names for
 * its fields. ERR_INVALID says what is missing.
 */
MUST_CHECK bool entry_check(const struct entry *entry, struct err *err);

/* Add the canonical bytes to `out`. */
void entry_write(const struct entry *entry, struct buf *out);

/*
 * Read canonical bytes back; texts live in mem. ERR_INVALID for anything that entry_write()
 * does not write.
 */
MUST_CHECK bool entry_parse(struct arena *mem, const void *bytes, size_t count, struct entry *out,
                            struct err *err);

/* The value of a field; NULL when it has none or there is no such field. */
const char *entry_field(const struct entry *entry, const char *name);

#endif
