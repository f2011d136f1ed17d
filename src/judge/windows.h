/*
 * Windows: the spans that a limit makes one figure of, or counts over, in the days asked for.
 *
 * - A month, quarter, year or licence year is one window, and so is any span of a limit on each
 *   sample.
 * - A day is one where it has a figure, or where something is asked of every day.
 * - A calendar week belongs to the span by the clause's rule: where it begins, ends or mostly
 *   lies, cut at the edges, or to both.
 * - Running days: one window ends on each day asked for.
 * - Last samples: one ends at each figure of the days asked for, and holds so many before it.
 * - A discharge run is one (runs.h).
 *
 * Where a clause looks across periods, the windows before the span that it looks at are listed
 * too, not `asked`.
 *
 * A window across a change of the clause goes by the clause's rule: this form judges it in full,
 * or the other one does and it is not listed; nothing said: it is not assessable. What has not
 * begun is not listed.
 */
#ifndef JUDGE_WINDOWS_H
#define JUDGE_WINDOWS_H

#include "judge/figure.h"

struct window {
    day_number from;
    day_number to;
    instant from_at;
    instant until_at;
    size_t first_day; /* judged days [first_day, after_day) */
    size_t after_day;
    size_t first; /* figures [first, after) */
    size_t after;
    bool asked;
    bool so_far;         /* it still runs */
    const char *why_not; /* why nothing can be said of it; NULL: something can */
    const char *lacking; /* why it has too little, whatever the clause asks; NULL: it has not */
};

struct window_list {
    struct window *items;
    size_t count;
    size_t capacity;
};

/*
 * In order of time. `figures` are in order of days and instants, those of no known time first;
 * these are in no window.
 */
struct window_list windows_list(const struct judgement *judgement,
                                const struct figure_list *figures);

/* Judged day of a figure; NO_INDEX: its time is not known. */
int window_figure_day(const struct judgement *judgement, const struct figure *figure);

/* How the dates of the clause lie to a span of one figure. */
enum window_force {
    FORCE_WHOLE, /* in force all along */
    FORCE_FULL,  /* not all along, and by its rule for a change it judges the whole */
    FORCE_NOT,   /* not at all, or the other form judges it */
    FORCE_UNSAID /* in force in a part of it, and no rule says how such a span is judged */
};

enum window_force window_in_force(const struct limit *limit, day_number from, day_number to);

/* Why it can't be judged where that is unsaid: a span that the dates cut, in words. */
const char *window_change_words(struct arena *mem, const struct limit *limit, day_number from);

/* " on 5 May 2026", " in the 7 days to 10 May 2026"; "" of a whole span. For reasons. */
const char *window_words(const struct judgement *judgement, const struct window *window);

#endif
