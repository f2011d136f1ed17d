/*
 * Explain JSON parts: what the files of an explanation in JSON share. Only for files of this
 * folder.
 */
#ifndef JUDGE_EXPLAIN_JSON_PARTS_H
#define JUDGE_EXPLAIN_JSON_PARTS_H

#include "judge/explain_json.h"

struct told {
    struct arena *mem;
    const struct verdict *verdict;
    const struct evidence *evidence;
    const struct explain_choices *choices;
    struct json_writer *json;
};

/* Whether the clause, in the form that stands or the one beside it, goes by such readings. */
bool told_reads(const struct told *told, const char *station, const char *parameter);

/* A name with its value; what is NULL, false or not known is left out. */
void told_text(const struct told *told, const char *name, const char *value);
void told_flag(const struct told *told, const char *name, bool value);
void told_exact(const struct told *told, const char *name, const struct exact *value);

/* With null where there is none. */
void told_instant(const struct told *told, const char *name, instant at);
void told_day(const struct told *told, const char *name, day_number day);

/* "=", "<", ">", or "n" for not detected with no limit told. */
void told_qualifier(const struct told *told, const char *name, char qualifier);

/* Where it came from: file (or receipt), line and column. */
void told_origin(const struct told *told, struct origin origin);

/* How readings were worked out; nothing where they were not. */
void told_by(const struct told *told, const struct derived_by *by);

/* The array `inputs`, each with its own where it was itself worked out; nothing without any. */
void told_inputs(const struct told *told, const struct derived_input *inputs, size_t count);

/* The arrays `series`, `pairs` and `set_aside`. */
void told_series(const struct told *told);
void told_pairs(const struct told *told);
void told_set_aside(const struct told *told);

#endif
