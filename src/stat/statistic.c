#include "stat/statistic.h"

#include "base/str.h"
#include "stat/average.h"
#include "stat/rank.h"

static const struct statistic *const rows[] = {
    &stat_mean, &stat_geometric_mean, &stat_median, &stat_minimum, &stat_maximum, &stat_sum,
};

const struct statistic *statistic_at(size_t position)
{
    return position < ARRAY_LEN(rows) ? rows[position] : NULL;
}

const struct statistic *statistic_find(const char *word)
{
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (str_equal(rows[i]->word, word))
            return rows[i];

    return NULL;
}

bool statistic_work_out(struct arena *mem, const struct statistic *statistic,
                        const struct stat_input *input, const struct exact **out, struct err *err)
{
    if (input->count == 0)
        return err_set(err, ERR_INVALID, "there is no value to work out a %s from",
                       statistic->word);

    return statistic->work_out(mem, input, out, err);
}
