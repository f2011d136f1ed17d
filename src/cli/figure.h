/*
 * Figures that advise, as people read them: to so many figures, times in minutes, hours or days.
 */
#ifndef CLI_FIGURE_H
#define CLI_FIGURE_H

#include "base/arena.h"
#include "base/json.h"

/* 4 figures, no exponent: "55.56", "0.0123", "123500". Also a JSON number. */
char *figure_text(struct arena *mem, double value);

/* "40 s", "250 min", "6.4 hours", "12.5 days". */
char *figure_time(struct arena *mem, double seconds);

/* The same in the unit that `beside_s` would be told in: times side by side have one unit. */
char *figure_time_beside(struct arena *mem, double seconds, double beside_s);

/* Name and figure; null where it is not known. */
void figure_json(struct json_writer *json, struct arena *mem, const char *name, bool known,
                 double value);

#endif
