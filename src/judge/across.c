#include "judge/across.h"

static const char *const period_words[] = {
    [PERIOD_EACH_SAMPLE] = "months",   [PERIOD_DAY] = "days",
    [PERIOD_MONTH] = "months",         [PERIOD_WEEK] = "weeks",
    [PERIOD_QUARTER] = "quarters",     [PERIOD_YEAR] = "years",
    [PERIOD_LICENCE_YEAR] = "years",   [PERIOD_RUNNING_DAYS] = "windows",
    [PERIOD_LAST_SAMPLES] = "windows", [PERIOD_DISCHARGE_RUN] = "runs",
};

char *across_words(struct arena *mem, const struct limit *limit, size_t beyond)
{
    return arena_printf(mem, "%zu of the last %d %s", beyond, limit->across_of,
                        period_words[limit->period]);
}

struct across across_judge(struct arena *mem, const struct limit *limit,
                           const struct pass_window *windows, size_t index)
{
    size_t of = (size_t)limit->across_of;
    size_t asked = (size_t)limit->across_outside;
    struct across out = {.first = index + 1 > of ? index + 1 - of : 0, .standing = STANDING_WITHIN};
    size_t open = 0;

    for (size_t i = out.first; i <= index; i++) {
        const struct pass_window *window = &windows[i];

        if (window->standing == STANDING_OUTSIDE) {
            out.beyond++;
            out.side = window->side;
        } else if (window->standing == STANDING_NOT_ASSESSABLE) {
            open++;
            out.reason = window->reason;
            out.too_little = out.too_little || window->too_little;
        }
    }
    if (out.beyond >= asked) {
        out.standing = STANDING_OUTSIDE;
    } else if (out.beyond + open >= asked) {
        out.standing = STANDING_NOT_ASSESSABLE;
        out.reason = arena_printf(mem, "%s beyond it, and %zu can't be assessed (%s)",
                                  across_words(mem, limit, out.beyond), open, out.reason);
    } else if (windows[index].standing == STANDING_NOTHING_DUE) {
        out.standing = STANDING_NOTHING_DUE;
        out.reason = windows[index].reason;
    }

    return out;
}
