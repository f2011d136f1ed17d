#include "stat/censored_value.h"

#include <stdlib.h>
#include <string.h>

enum { PERCENT = 100 };

size_t censored_count_numbers(const struct censored_value *values, size_t count)
{
    size_t numbers = 0;

    for (size_t i = 0; i < count; i++)
        numbers += !values[i].less_than;

    return numbers;
}

bool censored_check(const struct censored_value *values, size_t count, const char *method,
                    struct err *err)
{
    size_t numbers = censored_count_numbers(values, count);

    if (count == 0)
        return err_set(err, ERR_INVALID, "%s has no result to work with", method);
    if (numbers == 0)
        return err_set(err, ERR_INVALID, "%s has no answer where all results are less-thans",
                       method);
    if (numbers < CENSORED_NUMBERS_LEAST)
        return err_set(err, ERR_INVALID,
                       "%s needs %d results that are numbers, and there %s only %zu", method,
                       CENSORED_NUMBERS_LEAST, numbers == 1 ? "is" : "are", numbers);
    if ((count - numbers) * PERCENT > count * CENSORED_PERCENT_MOST)
        return err_set(err, ERR_INVALID,
                       "%s has no answer where more than %d %% of the results are less-thans: "
                       "%zu of %zu are",
                       method, CENSORED_PERCENT_MOST, count - numbers, count);

    return true;
}

const struct amount *censored_highest_limit(struct arena *mem, const struct censored_value *values,
                                            size_t count)
{
    const struct amount *highest = NULL;

    for (size_t i = 0; i < count; i++)
        if (values[i].less_than && (!highest || amount_compare(mem, values[i].value, *highest) > 0))
            highest = &values[i].value;

    return highest;
}

static int order(const void *left, const void *right, void *mem)
{
    const struct censored_value *a = left;
    const struct censored_value *b = right;
    int side = amount_compare(mem, a->value, b->value);

    return side ? side : (int)b->less_than - (int)a->less_than;
}

struct censored_value *censored_sorted(struct arena *mem, const struct censored_value *values,
                                       size_t count)
{
    struct censored_value *sorted = ARENA_ARRAY(mem, struct censored_value, count);

    if (count > 0)
        memcpy(sorted, values, count * sizeof(*sorted));
    qsort_r(sorted, count, sizeof(*sorted), order, mem);

    return sorted;
}
