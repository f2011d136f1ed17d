/*
 * Applies: whether a clause that holds only at some times held at an instant: hours of the local
 * day, hours around high or low water, a season, while another reading is above or below a
 * number. All that a clause asks for must be so at once.
 *
 * What can't be read is not guessed: outside the tide table, in a gap of it, or without a sound
 * reading to go by, the answer is that it can't be told. A row set aside that may be a newer
 * reading leaves the answer in doubt where its number and unit can be read and would turn it; where
 * they can't, and it may have turned it, the answer can't be told. A composite or another span goes
 * by the instant at which it began; its season by the day it belongs to.
 */
#ifndef JUDGE_APPLIES_H
#define JUDGE_APPLIES_H

#include "judge/evidence.h"
#include "judge/limit.h"
#include "judge/partner.h"

/*
 * Two rows of a tide table further apart than this have others missing between them: where there
 * is one high and one low water a day they lie about 12.4 hours apart, and two highs 24.8.
 * Common practice, no source.
 */
enum { TIDE_STEP_MOST_H = 36 };

enum applying { APPLIES_YES, APPLIES_NO, APPLIES_NOT_TOLD };

struct applies {
    enum applying answer;
    const char *why;   /* why not, or why it can't be told; NULL: it applies */
    const char *doubt; /* by a row set aside the answer is yes in the place of no, or no; NULL */
    bool by_row;       /* a row set aside leaves it in doubt, or open ... */
    enum applying on_record; /* ... and this is it without such rows */
    bool has_other;          /* a reading was found to go by: */
    struct partner other;    /* in the clause's unit for it */
};

/* A clause's conditions with what they are looked up in; made once, asked for each reading. */
struct applies_rule {
    bool always; /* the clause has no such condition */
    const struct limit *limit;
    const struct evidence *evidence;
    const struct evidence_tides *tides; /* NULL: the table named is not on record */
    struct partner_source source;       /* of the other reading */
};

struct applies_rule applies_rule_of(struct arena *mem, const struct evidence *evidence,
                                    const struct limit *limit);

/* At an instant that belongs to the civil day `day`. */
struct applies applies_at(struct arena *mem, struct applies_rule *rule, instant at, day_number day);

/* Whether the day lies in the clause's season; always where it has none. */
bool applies_in_season(const struct limit *limit, day_number day);

/*
 * When the clause applies, for people: "from 08:00 to 17:30; from 1 h before to 2 h after high
 * water by the table 'harbour'". NULL: always.
 */
char *applies_words(struct arena *mem, const struct limit *limit);

#endif
