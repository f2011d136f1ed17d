#include "stat/share.h"

enum { PERCENT = 100 };

bool share_is_beyond(struct arena *mem, const struct stat_input *input, struct amount value)
{
    int side = amount_compare(mem, value, input->beyond);

    return side == 0 ? input->beyond_reached_counts : side == input->beyond_side;
}

static bool count_values(struct arena *mem, const struct stat_input *input, int64_t *out,
                         struct err *err)
{
    int64_t found = 0;

    if (input->beyond_side != 1 && input->beyond_side != -1)
        return err_set(err, ERR_INVALID,
                       "a count of values needs to be told whether above or below a number");

    for (size_t i = 0; i < input->count; i++)
        found += share_is_beyond(mem, input, input->values[i]);
    *out = found;

    return true;
}

static bool count_beyond(struct arena *mem, const struct stat_input *input,
                         const struct exact **out, struct err *err)
{
    int64_t found = 0;

    if (!count_values(mem, input, &found, err))
        return false;
    *out = exact_from_int(mem, found);

    return true;
}

static bool share_beyond(struct arena *mem, const struct stat_input *input,
                         const struct exact **out, struct err *err)
{
    int64_t found = 0;

    if (!count_values(mem, input, &found, err))
        return false;
    *out = exact_from_ratio(mem, found * PERCENT, (int64_t)input->count);

    return true;
}

const struct statistic stat_count_beyond = {
    .word = "count beyond", .more = STAT_MORE_RAISES, .work_out = count_beyond};
const struct statistic stat_share_beyond = {.word = "share beyond", .work_out = share_beyond};
