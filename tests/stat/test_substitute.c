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
    return amount_from_exact(mem, exact_from_text(mem, text));
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
};

static void a_rule_gives_the_number_that_stands_for_a_less_than(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct censored censored = {.limit = read_amount(mem, rows[i].limit),
                                    .step = read_amount(mem, rows[i].step),
                                    .stated = read_amount(mem, "1")};

        assert_int_equal(amount_compare(mem, rows[i].rule->of(mem, &censored),
                                        read_amount(mem, rows[i].expected)),
                         0);
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
        cmocka_unit_test(the_rule_decides_a_geometric_mean),
    };

    return cmocka_run_group_tests_name("stat/substitute", tests, NULL, NULL);
}
