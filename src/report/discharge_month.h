/*
 * The monthly discharge workbook: a page that a regulator can file, and behind it every figure
 * and reading it rests on. This header is what goes in: plain values that app/ put together.
 * The workbook's look (sheets, columns, headings, widths, print set-up) is data in
 * reports/discharge-month/.
 *
 * Written as PATH.tmp, closed, read back with our own reader (sheets, cells, totals), then moved
 * into place. The same input gives the same bytes.
 */
#ifndef REPORT_DISCHARGE_MONTH_H
#define REPORT_DISCHARGE_MONTH_H

#include "base/crypto.h"
#include "farmfile/farm.h"
#include "ingest/place.h"
#include "judge/judge.h"
#include "plan/interval.h"

struct report_receipt {
    int64_t receipt;
    const char *file_name;      /* a label, never a path */
    struct place_sheets sheets; /* of a workbook */
    const char *source;
    const char *sha256; /* hexadecimal */
    instant received_at;
    const char *person;
};

struct report_interval {
    const struct interval *interval;
    struct due_list dues;
    int required; /* in the month, of those that came due */
    int done;
    /* What persons said of it that takes a sample away, for days of the month; people by name. */
    const struct no_sample *excused;
    size_t excused_count;
};

/* A row that was set aside; `answer` says what a person decided about it. */
struct report_set_aside {
    int64_t receipt;
    int32_t line;
    int32_t column;
    const char *reason; /* problem_reason_name */
    const char *words;
    const char *todo; /* while it waits; else NULL */
    const char *text;
    const char *answer;  /* "accepted", "left out"; NULL: it waits for a person */
    const char *because; /* of the answer */
    const char *person;
    instant answered_at;
};

/* A correction or leave-out that touches the month, or what became of a row set aside. */
struct report_correction {
    const char *station;   /* NULL: a row set aside does not tell */
    const char *parameter; /* the same */
    instant at;            /* INSTANT_NONE: the same */
    int64_t receipt;       /* of a row set aside: its file; else 0 */
    int32_t line;
    const char *first_value;  /* as first stored, with unit and qualifier */
    const char *value_before; /* what stood before this one */
    const char *new_value;    /* or "left out" */
    instant made_at;
    const char *person;
    const char *second_person; /* or NULL */
    const char *reason;
    const char *agree;        /* the command by which a second person agrees; NULL: none */
    bool outside_to_inside;   /* without a second person: printed on the first page */
    const char *const *moved; /* keys of the limits it brought something of inside */
    size_t moved_count;
    const char *const *cleared; /* of limits that were not assessable and by it are within */
    size_t cleared_count;
};

struct report_finding {
    const char *title;    /* as it was then: "Suspended solids, every sample: above 45 ..." */
    const char *standing; /* its latest step: open, in hand, worked out again, settled */
    instant opened_at;
    const char *words; /* of that step */
};

struct discharge_month {
    const struct farm *farm;
    const struct farm_licence *licence;
    const struct farm_authority *authority;
    const struct farm_person *signer;
    day_number month; /* its first day */
    instant made_at;
    const char *made_by;         /* person's name */
    const char *program_version; /* "weirbook 0.1" */
    const char *ledger_head;     /* hexadecimal, and how many entries */
    int64_t ledger_entries;
    int farm_file_version;

    const struct evidence *evidence;
    const struct verdict *verdicts; /* in the order of the licence's table */
    size_t verdict_count;
    int days_discharged;
    int days_without_discharge;
    int days_unknown;              /* nothing known: counted as discharging */
    const struct exact *volume_m3; /* discharged in the month, NULL not known */
    const char *volume_note;       /* "by the meter at ..., not known on 2 days" */

    const struct report_interval *intervals;
    size_t interval_count;
    const struct report_receipt *receipts;
    size_t receipt_count;
    const struct report_set_aside *set_aside;
    size_t set_aside_count;
    const struct report_correction *corrections;
    size_t correction_count;
    const struct report_finding *findings;
    size_t finding_count;
};

/*
 * Write the workbook to `path`. `digest` is that of the file's bytes.
 * ERR_UNAVAILABLE: the disk is full or the folder can't be written; nothing is left at `path`
 * that was not there before.
 */
MUST_CHECK bool discharge_month_write(const struct discharge_month *month, const char *path,
                                      struct digest *digest, struct err *err);

#endif
