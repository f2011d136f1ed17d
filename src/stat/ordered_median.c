#include "stat/ordered_median.h"

#include <stdlib.h>
#include <string.h>

const char *const detection_words[] = {
    [DETECTION_NONE] = "not detected",
    [DETECTION_BETWEEN] = "detected, not quantified",
    [DETECTION_NUMBER] = "number",
};

static int order(const void *left, const void *right, void *mem)
{
    const struct ordered_result *a = left;
    const struct ordered_result *b = right;

    if (a->detection != b->detection)
        return a->detection < b->detection ? -1 : 1;

    return amount_compare(mem, a->value, b->value);
}

bool ordered_median(struct arena *mem, const struct ordered_result *results, size_t count,
                    struct ordered_median *out, struct err *err)
{
    if (count == 0)
        return err_set(err, ERR_INVALID, "there is no result to work out a median from");

    struct ordered_result *sorted = arena_copy(mem, results, count * sizeof(*sorted));

    qsort_r(sorted, count, sizeof(*sorted), order, mem);

    const struct ordered_result *upper = &sorted[count / 2];
    const struct ordered_result *lower = count % 2 == 1 ? upper : upper - 1;
    bool numbers = lower->detection == DETECTION_NUMBER && upper->detection == DETECTION_NUMBER;
    const struct exact *value = amount_exact(mem, lower->value);

    if (numbers)
        value = exact_div(mem, exact_add(mem, value, amount_exact(mem, upper->value)),
                          exact_from_int(mem, 2));
    *out = (struct ordered_median){
        .detection = lower->detection, .value = value, .lower_of_two = !numbers && lower != upper};

    return true;
}
