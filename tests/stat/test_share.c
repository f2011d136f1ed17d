#include "harness/values.h"

#include "base/macro.h"
#include "stat/share.h"

#define TWENTY "12 7 15 9 22 31 8 11 14 18 26 10 13 9 17 40 12 16 21 19"
/* 40 CFR 403.8(f)(2)(viii) (from memory): twelve results against a limit of 30. */
#define SIX_MONTHS "31 45 29 33 36 40 28 44 50 31 32 30"
/* Thirty samples of a shellfish water; older wording: not more than 10 % over 43. */
#define SHELLFISH                                                                                  \
    "1.8 2 4.5 1.8 7.8 13 23 1.8 4 6.8 11 49 2 1.8 17 33 4.5 7.8 2 22 1.8 6.8 13 79 4.5 2 11 17 "  \
    "1.8 4"
/* Regulation (EU) 2019/627 article 53 (from memory): 80 % of the samples not above 230. */
#define TEN_FLESH "18 45 78 130 230 230 20 170 500 700"

static const struct {
    const char *values;
    const char *beyond;
    int side;
    bool reached_counts;
    const char *count;
    const char *share;
    const char *reason;
} rows[] = {
    {TWENTY, "20", 1, false, "5", "25", "R: sum(x > 20)"},
    {SIX_MONTHS, "30", 1, false, "9", "75", "30 itself does not exceed 30: 75 % is above 66 %"},
    {SIX_MONTHS, "42", 1, true, "3", "25", "1.4 times the limit, equal or exceed"},
    {SIX_MONTHS, "30", 1, true, "10", "250/3", "with 30 itself"},
    {SHELLFISH, "43", 1, false, "2", "20/3", "9VAC25-260-160: 6.7 %"},
    {TEN_FLESH, "230", 1, false, "2", "20", "equal to the limit is within it"},
    {"6.4 6.5 7 6.5", "6.5", -1, false, "1", "25", "below a floor"},
    {"6.4 6.5 7 6.5", "6.5", -1, true, "3", "75", "at a floor or below"},
    {"1/3 0.3333", "1/3", 1, true, "1", "50", "a rational is compared exactly"},
};

static void values_beyond_a_number_are_counted(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct values values = values_read(mem, rows[i].values);
        struct stat_input input = {.values = values.items,
                                   .count = values.count,
                                   .beyond = value_read(mem, rows[i].beyond),
                                   .beyond_side = rows[i].side,
                                   .beyond_reached_counts = rows[i].reached_counts};
        const struct exact *count = NULL;
        const struct exact *share = NULL;
        struct err err = ERR_INIT;

        assert_done(statistic_work_out(mem, &stat_count_beyond, &input, &count, &err), &err);
        assert_done(statistic_work_out(mem, &stat_share_beyond, &input, &share, &err), &err);
        assert_exact(mem, count, rows[i].count);
        assert_exact(mem, share, rows[i].share);
    }
}

/* R: sum(x[i:(i + 9)] > 20). */
static void the_count_of_the_last_ten_agrees_with_r(void **state)
{
    static const int64_t expected[] = {2, 3, 3, 3, 3, 2, 2, 2, 2, 3, 3};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct values all = values_read(mem, TWENTY);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(expected); i++) {
        struct stat_input input = {.values = all.items + i,
                                   .count = 10,
                                   .beyond = value_read(mem, "20"),
                                   .beyond_side = 1};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_done(statistic_work_out(mem, &stat_count_beyond, &input, &figure, &err), &err);
        assert_int_equal(exact_compare(figure, exact_from_int(mem, expected[i])), 0);
    }
}

static void a_side_must_be_told_and_there_must_be_values(void **state)
{
    static const struct statistic *const both[] = {&stat_count_beyond, &stat_share_beyond};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct values values = values_read(mem, "1 2");

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(both); i++) {
        struct stat_input input = {.values = values.items, .count = values.count};
        const struct exact *figure = NULL;
        struct err err = ERR_INIT;

        assert_fails(statistic_work_out(mem, both[i], &input, &figure, &err), ERR_INVALID, &err);
        input.beyond_side = 1;
        input.count = 0;
        assert_fails(statistic_work_out(mem, both[i], &input, &figure, &err), ERR_INVALID, &err);
        assert_null(figure);
    }
}

static void more_data_only_raises_a_count(void **state)
{
    (void)state;
    assert_int_equal(stat_count_beyond.more, STAT_MORE_RAISES);
    assert_int_equal(stat_share_beyond.more, STAT_MORE_EITHER);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(values_beyond_a_number_are_counted),
        cmocka_unit_test(the_count_of_the_last_ten_agrees_with_r),
        cmocka_unit_test(a_side_must_be_told_and_there_must_be_values),
        cmocka_unit_test(more_data_only_raises_a_count),
    };

    return cmocka_run_group_tests_name("stat/share", tests, NULL, NULL);
}
