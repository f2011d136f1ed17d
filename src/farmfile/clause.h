/*
 * Clause: what limits and intervals of a farm file have in common.
 */
#ifndef FARMFILE_CLAUSE_H
#define FARMFILE_CLAUSE_H

#include "farmfile/section.h"

/* unsigned: enum limit_kinds, or-ed; one word or a list of clause_kind_words. */
field_read clause_kinds;

/* const char *: one of clause_change_words. */
field_read clause_change;

/* `season: {from, to}`: struct clause_season; days of the year, 0 where there is none. */
struct clause_season {
    int from;
    int to;
};
field_read clause_season;
extern const struct field_table clause_season_table;

/* Monday first. */
extern const char *const clause_week_days[];

extern const char *const clause_kind_words[];
extern const char *const clause_change_words[];

/* Whether a clause at the station must say if it holds only while discharging. */
bool clause_needs_discharge(const struct field_reader *reader, const char *station);

/* Version date and authority of the licence; "" where the farm has none such. */
void clause_from_licence(const struct field_reader *reader, const char *key, const char **version,
                         const char **authority);

#endif
