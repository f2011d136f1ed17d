#include "harness/values.h"

#include "base/macro.h"
#include "stat/ordered_median.h"

/* "ND1": not detected below 1; "~4": detected, not quantified, estimate 4. */
static size_t results_read(struct arena *mem, const char *text, struct ordered_result *out)
{
    char *rest = arena_strdup(mem, text);
    size_t count = 0;

    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        enum detection detection = *word == 'N'   ? DETECTION_NONE
                                   : *word == '~' ? DETECTION_BETWEEN
                                                  : DETECTION_NUMBER;

        word += detection == DETECTION_NONE ? 2 : detection == DETECTION_BETWEEN ? 1 : 0;
        out[count++] =
            (struct ordered_result){.detection = detection, .value = value_read(mem, word)};
    }

    return count;
}

/* California order R2-2012-0012 page 19 prints the rule; the cases were worked out by hand. */
static const struct {
    const char *results;
    enum detection detection;
    const char *value;
    bool lower_of_two;
    const char *reason;
} rows[] = {
    {"ND1 ~4 12 7", DETECTION_BETWEEN, "4", true, "the lower of ~4 and 7"},
    {"ND1 6 7 12", DETECTION_NUMBER, "6.5", false, "both in the middle are numbers"},
    {"ND1 ND1 7 12", DETECTION_NONE, "1", true, "the lower of a not detected and 7"},
    {"7 ND1 12", DETECTION_NUMBER, "7", false, "an odd count takes the one in the middle"},
    {"12 ~9 7", DETECTION_NUMBER, "7", false, "an estimate of 9 stands below a number of 7"},
    {"ND20 ~4 7", DETECTION_BETWEEN, "4", false, "a not detected stands below all, whatever X"},
    {"ND5 ND1", DETECTION_NONE, "1", true, "two limits: the smaller is the lower"},
    {"3", DETECTION_NUMBER, "3", false, "one result"},
};

static void ranks_without_numbers_follow_the_rule(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct ordered_result results[VALUES_MOST];
        size_t count = results_read(mem, rows[i].results, results);
        struct ordered_median median = {.value = NULL};
        struct err err = ERR_INIT;

        assert_done(ordered_median(mem, results, count, &median, &err), &err);
        assert_string_equal(detection_words[median.detection], detection_words[rows[i].detection]);
        assert_exact(mem, median.value, rows[i].value);
        assert_int_equal(median.lower_of_two, rows[i].lower_of_two);
    }
}

static void no_result_has_no_median(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct ordered_median median = {.value = NULL};
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(ordered_median(mem, NULL, 0, &median, &err), ERR_INVALID, &err);
    assert_null(median.value);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(ranks_without_numbers_follow_the_rule),
        cmocka_unit_test(no_result_has_no_median),
    };

    return cmocka_run_group_tests_name("stat/ordered_median", tests, NULL, NULL);
}
