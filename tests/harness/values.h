/*
 * Numbers for tests, from text: "3.2 1/3 <5". For the pure rooms; links to nothing but stat/.
 */
#ifndef HARNESS_VALUES_H
#define HARNESS_VALUES_H

#include "harness/cmocka.h"

#include <math.h>
#include <string.h>

#include "stat/censored_value.h"

enum { VALUES_MOST = 64 };

struct values {
    struct amount items[VALUES_MOST];
    struct censored_value censored[VALUES_MOST]; /* the same, with the less-thans */
    size_t count;
};

static inline struct amount value_read(struct arena *mem, const char *text)
{
    const struct exact *value = exact_from_text(mem, text);

    assert_non_null(value);

    return amount_from_exact(value);
}

static inline struct values values_read(struct arena *mem, const char *text)
{
    struct values values = {.count = 0};
    char *rest = arena_strdup(mem, text);

    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        bool less_than = *word == '<';

        assert_true(values.count < VALUES_MOST);
        values.items[values.count] = value_read(mem, word + less_than);
        values.censored[values.count] =
            (struct censored_value){.value = values.items[values.count], .less_than = less_than};
        values.count++;
    }

    return values;
}

/* Equal, to the last digit. */
#define assert_exact(mem, value, text)                                                             \
    assert_string_equal(exact_ratio_text(mem, value),                                              \
                        exact_ratio_text(mem, exact_from_text(mem, text)))

/* As near as the source prints it: `relative` of the expected value. */
static inline void assert_near(double value, double expected, double relative, const char *what)
{
    if (!(fabs(value - expected) <= relative * fabs(expected)))
        fail_msg("%s: %.12g instead of %.12g", what, value, expected);
}

#endif
