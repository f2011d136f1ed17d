/*
 * Explain parts: what the files of an explanation share. Only for files of this folder.
 */
#ifndef JUDGE_EXPLAIN_PARTS_H
#define JUDGE_EXPLAIN_PARTS_H

#include "base/buf.h"
#include "judge/explain.h"

/* Lines being written. */
struct writer {
    struct arena *mem;
    const struct verdict *verdict;
    const struct evidence *evidence;
    const struct explain_choices *choices;
    struct explanation lines;
};

void writer_say(struct writer *writer, const char *text);

/* Up to 12 figures. */
const char *writer_digits(const struct writer *writer, const struct exact *value);

/* " mg/L": the clause's unit after a value; nothing for pH. */
const char *writer_unit(const struct writer *writer);

/* The unit of the figure that is compared: " samples" of a count, " %" of a share. */
const char *writer_figure_unit(const struct writer *writer);

/* " [lab-2026-03.csv line 4 column 6]": where something came from. */
void writer_add_origin(const struct writer *writer, struct buf *text, struct origin origin);

/* Which readings the clause takes, each of them, and the rows set aside. */
void explain_readings(struct writer *writer);
void explain_asides(struct writer *writer);

/* Readings that were told in one line; NULL at first. */
struct reading_groups;

/*
 * Whether the reading is told together with others of its series that are told for the same reason:
 * beyond the bound, in doubt or not counted. The line comes with the first of them.
 */
bool explain_together(struct writer *writer, struct reading_groups **groups,
                      const struct verdict_item *item);

/* "<0.05 mg/L" as it was reported. */
const char *writer_reported(const struct writer *writer, const struct evidence_reading *reading);

/* Of a limit that compares two places: each pair and what it makes, and what lacks a partner. */
void explain_pairs(struct writer *writer);

/* By what equations the readings were worked out; and from what a derived one was. */
void explain_equations(struct writer *writer);
void explain_inputs(struct writer *writer, const struct evidence_reading *reading);

/* Each day's figure, and what it was made of. */
void explain_days(struct writer *writer);

/* Each step of a load, or of a mean weighted by the flow while sampling. */
void explain_loads(struct writer *writer, const char *indent, const struct verdict_loads *loads);

/* What a verdict rests on where that is in doubt, and what such a thing can do. */
void explain_doubt(struct writer *writer);

/* What the statistic is, where its name leaves that open. */
void explain_statistic(struct writer *writer);

/*
 * Each window, or of many those that are not within, the worst, and how many more there are; of
 * times outside the runs of each.
 */
void explain_windows(struct writer *writer);

/* What a person should know of the figure of a whole period. */
void explain_note(struct writer *writer);

/* The periods one after the other that decide. */
void explain_across(struct writer *writer);

#endif
