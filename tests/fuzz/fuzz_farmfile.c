/*
 * Farm file: any text. Its problems have line and column inside it, in order of place; what is
 * sound stays sound when its canonical texts are read back.
 */
#include <string.h>

#include "farmfile/farmfile.h"
#include "fuzz.h"

static void problems_check(const struct farmfile_problems *problems, int32_t lines, size_t size)
{
    const struct farmfile_problem *before = NULL;

    for (size_t i = 0; i < problems->count; i++) {
        const struct farmfile_problem *problem = &problems->items[i];

        HOLDS(problem->line >= 1 && problem->line <= lines + 1);
        HOLDS(problem->column >= 1 && (size_t)problem->column <= size + 1);
        HOLDS(*problem->words && fuzz_is_text(problem->words));
        HOLDS(!problem->hint || (*problem->hint && fuzz_is_text(problem->hint)));
        HOLDS(!before || before->line < problem->line ||
              (before->line == problem->line && before->column <= problem->column));
        before = problem;
    }
}

/* Clauses are stored as their canonical text, and read back for as long as there are records. */
static void definitions_check(struct arena *mem, const struct farm *farm)
{
    struct err err = ERR_INIT;

    for (size_t i = 0; i < farm->limits.count; i++) {
        struct limit limit;

        HOLDS(fuzz_is_text(farm->limits.items[i].definition));
        HOLDS(farmfile_limit(mem, farm->limits.items[i].definition, farm, &limit, &err));
        HOLDS(strcmp(limit.key, farm->limits.items[i].limit.key) == 0);
    }
    for (size_t i = 0; i < farm->intervals.count; i++) {
        struct interval interval;

        HOLDS(fuzz_is_text(farm->intervals.items[i].definition));
        HOLDS(farmfile_interval(mem, farm->intervals.items[i].definition, farm, &interval, &err));
        HOLDS(strcmp(interval.key, farm->intervals.items[i].interval.key) == 0);
    }
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char *text = arena_strndup(mem, (const char *)data, size);
    const struct units *units = fuzz_world()->units;
    const struct farm *farm = NULL;
    struct farmfile_problems problems = {0};
    struct err err = ERR_INIT;

    memcpy(text, data, size); /* NULs too */
    if (farmfile_read(mem, text, size, units, &farm, &problems, &err)) {
        HOLDS(farm && problems.count == 0);
        definitions_check(mem, farm);
    } else {
        fuzz_error_check(&err);
        HOLDS(problems.count > 0);
        problems_check(&problems, fuzz_lines(data, size), size);
    }

    struct err accepted = ERR_INIT;

    HOLDS(farmfile_accepted(mem, text, size, units, &accepted));
    HOLDS(!farm || accepted.code == ERR_NONE);

    return 0;
}
