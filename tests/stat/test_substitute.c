#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/macro.h"
#include "stat/average.h"
#include "stat/substitute.h"

static struct amount read_amount(struct arena *mem, const char *text)
{
    return amount_from_exact(exact_from_text(mem, text));
}

static const struct {
    const struct substitution *rule;
    const char *limit;
    const char *step;
    const char *expected;
    const char *reason;
} rows[] = {
    {&substitute_zero, "0.05", "0.01", "0", "nothing"},
    {&substitute_half, "0.05", "0.01", "0.025", "half of <0.05"},
    {&substitute_half, "1/3", "0", "1/6", "half of a rational"},
    {&substitute_at_limit, "0.05", "0.01", "0.05", "the limit itself"},
    {&substitute_stated, "0.05", "0.01", "1", "the number of the licence"},
    {&substitute_step_up, "2420", "1", "2421", "one step above >2420"},
    {&substitute_step_up, "248", "1", "249",
     "National Shellfish Sanitation Program guide (from memory): >248 is 249"},
    {&substitute_step_down, "9.0", "0.1", "8.9", "the same guide (from memory): <9.0 is 8.9"},
    {&substitute_step_down, "17", "1", "16", "the same guide (from memory): <17 is 16"},
    {&substitute_lower_half, "1", "1", "0.5",
     "Florida DEP instructions (from memory): half of <1, where the bound is 5"},
    {&substitute_lower_half, "8", "1", "2.5", "half of the bound of 5 is lower than half of <8"},
};

static void a_rule_gives_the_number_that_stands_for_a_less_than(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct censored censored = {.limit = read_amount(mem, rows[i].limit),
                                    .step = read_amount(mem, rows[i].step),
                                    .stated = read_amount(mem, "1"),
                                    .bound = read_amount(mem, "5")};

        assert_int_equal(amount_compare(mem, rows[i].rule->of(mem, &censored),
                                        read_amount(mem, rows[i].expected)),
                         0);
    }
}

/*
 * One vector, three rules: not detected below 1, 4 between there and a level of 5, 12, 7. Ohio
 * EPA: 0 below 5. Oregon DEQ 2.4.3.3: 0, and the detection limit for what lies between. Florida
 * DEP (from memory): the lower of half the limit and half the bound, and the detection limit.
 */
static void two_rules_together_give_the_mean_of_each_authority(void **state)
{
    static const struct {
        const struct substitution *not_detected;
        const struct substitution *between;
        const char *between_limit;
        const char *expected;
    } cases[] = {
        {&substitute_zero, &substitute_zero, "5", "19/4"},
        {&substitute_zero, &substitute_at_limit, "1", "5"},
        {&substitute_lower_half, &substitute_at_limit, "1", "41/8"},
        {&substitute_half, &substitute_stated, "4", "47/8"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct censored not_detected = {.limit = read_amount(mem, "1"),
                                        .bound = read_amount(mem, "5")};
        struct censored between = {.limit = read_amount(mem, cases[i].between_limit),
                                   .stated = read_amount(mem, "4")};
        const struct amount values[] = {cases[i].not_detected->of(mem, &not_detected),
                                        cases[i].between->of(mem, &between), read_amount(mem, "12"),
                                        read_amount(mem, "7")};
        struct stat_input input = {.values = values, .count = ARRAY_LEN(values)};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_true(statistic_work_out(mem, &stat_mean, &input, &figure, &err));
        assert_string_equal(exact_ratio_text(mem, figure), cases[i].expected);
    }
}

/*
 * Bacteria <10, 20, 40, 80: with 10, 5 and 1 in the place of the less-than the geometric mean is
 * 28.2843, 23.7841 and 15.9054 (computed with scipy gmean). Colorado permits: <2.2, 4, 16, 64
 * with the stated 1 is 8.0.
 */
static void the_rule_decides_a_geometric_mean(void **state)
{
    static const struct {
        const struct substitution *rule;
        const char *limit;
        const char *rest[3];
        const char *expected;
    } cases[] = {
        {&substitute_at_limit, "10", {"20", "40", "80"}, "28.2843"},
        {&substitute_half, "10", {"20", "40", "80"}, "23.7841"},
        {&substitute_stated, "10", {"20", "40", "80"}, "15.9054"},
        {&substitute_stated, "2.2", {"4", "16", "64"}, "8"},
        {&substitute_at_limit, "2.2", {"4", "16", "64"}, "9.74307"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct censored censored = {.limit = read_amount(mem, cases[i].limit),
                                    .stated = read_amount(mem, "1")};
        const struct amount values[] = {
            cases[i].rule->of(mem, &censored), read_amount(mem, cases[i].rest[0]),
            read_amount(mem, cases[i].rest[1]), read_amount(mem, cases[i].rest[2])};
        struct stat_input input = {.values = values, .count = ARRAY_LEN(values)};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_true(statistic_work_out(mem, &stat_geometric_mean, &input, &figure, &err));
        assert_string_equal(exact_text(mem, figure, 6), cases[i].expected);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_rule_gives_the_number_that_stands_for_a_less_than),
        cmocka_unit_test(two_rules_together_give_the_mean_of_each_authority),
        cmocka_unit_test(the_rule_decides_a_geometric_mean),
    };

    return cmocka_run_group_tests_name("stat/substitute", tests, NULL, NULL);
}
