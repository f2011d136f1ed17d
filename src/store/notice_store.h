/*
 * Notice store: who is told of a finding, what became of it, and what is still to be sent.
 */
#ifndef STORE_NOTICE_STORE_H
#define STORE_NOTICE_STORE_H

#include "db/db.h"

struct notice_row {
    int notice; /* 1, 2, 3, ... within the farm */
    int64_t finding;
    int opening; /* how many times the finding was opened by then */
    int nth;     /* 1: told first */
    int round;   /* 1: the first; in later ones those are told again who want to be */
    const char *person;
    const char *told_by; /* "mail", "webhook" */
    const char *address;
    int next_after_s;
    const char *subject;
    const char *words;
    instant queued_at;
};

/* One that is due, taken for sending. */
struct notice_claim {
    struct notice_row row; /* without nth and round */
    const char *kind;      /* of the finding */
    const char *about;
    const char *station;
    day_number from;
    int tries;       /* this one included */
    instant over_at; /* since when the finding is found no more; INSTANT_NONE: it stands */
};

struct notice_view {
    struct notice_row row; /* without opening */
    const char *kind;
    const char *station;
    day_number from;
    const char *step; /* newest: "sent", "failed", "refused"; NULL: none yet */
    const char *reply;
    instant step_at;
    bool waits;     /* something is still to be sent */
    instant due_at; /* INSTANT_NONE: once the one before had his minutes, or nothing waits */
    int tries;
    const char *seen_by; /* this notice, or one of the same opening; NULL: nobody */
    instant seen_at;
    int64_t parts; /* findings that it tells of beside its own */
};

struct notice_views {
    struct notice_view *items;
    size_t count;
};

struct notice_step {
    const char *step;
    const char *reply;   /* or NULL */
    instant next_try_at; /* of "failed" */
    const char *person;  /* of "seen" */
    instant at;
};

/* The farm's next number; only while the ledger's head is locked. */
MUST_CHECK bool notice_store_next(struct db_tx *tx, int *notice, struct err *err);

MUST_CHECK bool notice_store_opening(struct db_tx *tx, int64_t finding, int *opening,
                                     struct err *err);

/* With its turn: due at that time, or with INSTANT_NONE after the one before. */
MUST_CHECK bool notice_store_add(struct db_tx *tx, const struct notice_row *row, instant due_at,
                                 struct err *err);

/* First notices that wait to be sent. */
struct notice_unsent {
    int64_t waiting; /* how many */
    int64_t finding; /* of the newest that nobody has tried to send; 0: there is none */
    int opening;
};

/* Of a kind, to `people` ("a b", in order of being told). The newest can't be sent meanwhile. */
MUST_CHECK bool notice_store_unsent(struct db_tx *tx, const char *kind, const char *people,
                                    struct notice_unsent *out, struct err *err);

/* Tell of that opening of a finding with what is unsent. */
MUST_CHECK bool notice_store_part_add(struct db_tx *tx, const struct notice_unsent *unsent,
                                      int64_t finding, int opening, struct err *err);

/* What is told with a notice's own finding: words of the first ones. */
struct notice_parts {
    const char **words;
    size_t count;
    int64_t all;
};

MUST_CHECK bool notice_store_parts(struct db_tx *tx, struct arena *mem,
                                   const struct notice_row *row, int most, struct notice_parts *out,
                                   struct err *err);

/* *found is false where nothing is due. */
MUST_CHECK bool notice_store_claim(struct db_tx *tx, struct arena *mem, instant now,
                                   instant leased_until, struct notice_claim *out, bool *found,
                                   struct err *err);

MUST_CHECK bool notice_store_step(struct db_tx *tx, int notice, const struct notice_step *step,
                                  struct err *err);
MUST_CHECK bool notice_store_turn_end(struct db_tx *tx, int notice, struct err *err);
MUST_CHECK bool notice_store_turn_again(struct db_tx *tx, int notice, int tries, instant due_at,
                                        struct err *err);
/* `round_at`: when the next one is the first of another round. */
MUST_CHECK bool notice_store_turn_next(struct db_tx *tx, int notice, instant due_at,
                                       instant round_at, struct err *err);

/* Nobody else is told of that opening of the finding. */
MUST_CHECK bool notice_store_seen_end(struct db_tx *tx, int notice, struct err *err);

/* notice 0: of any number. */
MUST_CHECK bool notice_store_list(struct db_tx *tx, struct arena *mem, int notice, bool unseen,
                                  struct notice_views *out, struct err *err);

#endif
