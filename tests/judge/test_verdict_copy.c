#include "judge/given.h"
#include "judge/verdict_copy.h"

/*
 * The memory a verdict was judged in goes away before its copy is looked at: what still pointed
 * there is found by the sanitizer.
 */

static struct verdict judged_and_let_go(struct given *given, struct arena *kept)
{
    CLEANUP(arena_free) struct arena *room = arena_new();
    struct verdict verdict = {0};

    judge_limit_in_brief(room, NULL, &given->limit, &given->evidence, given->from, given->to,
                         &verdict);

    return verdict_copy_brief(kept, &verdict);
}

static void a_copy_outlives_the_memory_it_was_judged_in(void **state)
{
    struct given *given = *state;
    CLEANUP(arena_free) struct arena *kept = arena_new();

    given_again(given);
    given->limit.daily = DAILY_MEAN;
    given_samples(given, "3/09:00:40 3/15:00:50 10:25");

    struct verdict copy = judged_and_let_go(given, kept);

    assert_string_equal(
        copy.words,
        "outside: above 30 (35 mg/L, monthly mean of 2 daily means, not above 30 mg/L)");
    assert_string_equal(copy.compared_text, "35");
    assert_int_equal(exact_compare(copy.figure, exact_from_int(kept, 35)), 0);
    assert_int_equal(copy.day_count, 31);
    assert_int_equal(exact_compare(copy.days[2].figure, exact_from_int(kept, 45)), 0);
    assert_true(copy.window_count > 0);
    assert_string_equal(copy.windows[copy.worst_window].compared_text, "35");
}

static void of_the_readings_only_those_beyond_the_bound_are_kept(void **state)
{
    struct given *given = *state;
    CLEANUP(arena_free) struct arena *kept = arena_new();

    given_again(given);
    given->limit.daily = DAILY_EVERY;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.statistic = STATISTIC_VALUE;
    given_samples(given, "3:40 10:25 17:11 20:31");

    struct verdict copy = judged_and_let_go(given, kept);

    assert_int_equal(copy.beyond, 2);
    assert_int_equal(copy.item_count, 2);
    assert_int_equal(copy.items[0].reading, 0);
    assert_int_equal(copy.items[1].reading, 3);
    assert_int_equal(exact_compare(copy.items[1].value, exact_from_int(kept, 31)), 0);
}

static void a_verdict_in_brief_says_what_one_in_full_says(void **state)
{
    static const char *const samples[] = {"3:40 10:25 17:11 20:31", "3:<5 10:<40 17:2", "3:20", ""};
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(samples); i++)
        for (int statistic = STATISTIC_VALUE; statistic <= STATISTIC_MAXIMUM; statistic++) {
            CLEANUP(arena_free) struct arena *kept = arena_new();

            given_again(given);
            given->limit.daily = DAILY_EVERY;
            given->limit.statistic = (enum limit_statistic)statistic;
            given->limit.period = statistic == STATISTIC_VALUE ? PERIOD_EACH_SAMPLE : PERIOD_MONTH;
            given->limit.less_than = LESS_THAN_HALF;
            given_samples(given, samples[i]);

            struct verdict brief = judged_and_let_go(given, kept);
            struct verdict full = given_verdict(given);
            size_t outside = 0;

            for (size_t k = 0; k < full.item_count; k++)
                outside += full.items[k].outside;
            assert_string_equal(brief.words, full.words);
            assert_int_equal(brief.standing, full.standing);
            assert_int_equal(brief.samples, full.samples);
            assert_int_equal(brief.less_thans, full.less_thans);
            assert_int_equal(brief.item_count, outside);
        }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_copy_outlives_the_memory_it_was_judged_in),
        cmocka_unit_test(of_the_readings_only_those_beyond_the_bound_are_kept),
        cmocka_unit_test(a_verdict_in_brief_says_what_one_in_full_says),
    };

    return cmocka_run_group_tests_name("judge/verdict_copy", tests, given_new, given_done);
}
