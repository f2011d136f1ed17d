/*
 * Explain in JSON: everything that a stranger needs to work a verdict out again without this
 * program: the clause in the farm file's own words, every reading and row set aside that it looked
 * at as it was reported, and beside each what was made of it.
 *
 * One object:
 *
 *   limit      key, name, clause, wording, authority, licence and its version, unit, its own
 *              version, the days it was in force, confirmed or not, `settings`: every choice, as
 *              stored; `judged_beside` of a form that is judged together with another, the worse
 *              standing
 *   period     first and last civil day, the instants, the farm's zone, `now`
 *   beside     of a changed form that nobody compared with the licence yet: the other form, as
 *              `limit`, and what it says; the worse of both stands. Left out where there is one
 *   verdict    standing, side, reason, words, the compared figure unrounded and rounded, bound
 *   series     of the clause and of whatever else it goes by (flow, meter, outlet, intake, the pH
 *              of a formula), each with its readings; `judged` holds what was made of those that
 *              lie in the period and place of the clause
 *   set_aside  rows that could belong here, with what came of trying them
 *   days, windows, across      what was made of them on the way; of a load also its `loads`: each
 *              concentration with the water it went with (place 0 is the limit's own, then those
 *              added, the intake's last), whose product times the verdict's load_factor is the load
 *   discharge  of each day, also around the period: yes, none, unknown, disagrees
 *   parameter, outlet, counters, tides, accreditations, licence_ends      what else it was held
 * against lines      the same for people (explain.h)
 *
 * Numbers that were worked out are exact texts: "19", "59/3". Reported ones keep their digits.
 * Days are "2026-03-01", instants UTC; null: not known, or without end. A key of a reading that has
 * nothing to say is left out.
 *
 * A reading that was worked out has `inputs`, down to those that were stored; its series says by
 * `derived_by` which equation, what it was told beside readings, the unit it gives and how many
 * significant figures are kept, halves away from 0.
 */
#ifndef JUDGE_EXPLAIN_JSON_H
#define JUDGE_EXPLAIN_JSON_H

#include "base/json.h"
#include "judge/explain.h"

/* `evidence` is what the verdict was judged from. `choices` are for the lines only. */
void judge_explain_json(struct arena *mem, const struct verdict *verdict,
                        const struct evidence *evidence, const struct explain_choices *choices,
                        struct json_writer *json);

#endif
