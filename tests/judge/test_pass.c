#include "judge/given.h"

/* Evidence in doubt can stop a verdict and never clear one. */

static const struct {
    enum limit_statistic statistic;
    int least;
    const char *samples;
    const char *standing;
    bool rests_on_doubt;
    const char *reason;
} doubts[] = {
    {STATISTIC_MEAN, 0, "3:10 10:12", "within", false, "nothing is in doubt"},
    {STATISTIC_MEAN, 0, "3:10 10:12 17:11?", "within", false, "it makes no difference"},
    {STATISTIC_MEAN, 0, "3:40 10:50 17:0?", "outside: above 30", false,
     "a doubtful 0 does not bring 45 down to 30"},
    {STATISTIC_MEAN, 0, "3:10 10:12 17:200?", "outside: above 30", true, "74 with it"},
    {STATISTIC_MEAN, 0, "3:20 10:28 17:80? 24:0?", "outside: above 30", true,
     "a doubtful low value does not hide a doubtful high one: 42.7 without the 0"},
    {STATISTIC_MEAN, 3, "3:10 10:12 17:11?", "not assessable", true, "too little without it"},
    {STATISTIC_MEAN, 4, "3:10 10:12 17:11?", "not assessable", false, "too little even with it"},
    {STATISTIC_MEAN, 0, "3:10?", "not assessable", true, "only doubtful data"},
    {STATISTIC_MEAN, 0, "3:90?", "outside: above 30", true, "only doubtful data, and beyond"},
    {STATISTIC_MAXIMUM, 0, "3:10 10:31?", "outside: above 30", true, "a doubtful highest"},
    {STATISTIC_VALUE, 0, "3:10 10:31?", "outside: above 30", true, "a doubtful value"},
    {STATISTIC_VALUE, 0, "3:31 10:10?", "outside: above 30", false, "a sound value beyond"},
    {STATISTIC_VALUE, 0, "3:10 10:<40?", "not assessable", true, "a doubtful less-than"},
    {STATISTIC_MINIMUM, 0, "3:40 10:10?", "outside: above 30", false,
     "a doubtful low value would clear a lowest of 40"},
    {STATISTIC_MEDIAN, 0, "3:10 10:31 17:40?", "outside: above 30", true, "the middle is 31"},
};

static void doubt_can_stop_and_never_clear(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(doubts); i++) {
        given_again(given);
        given->limit.statistic = doubts[i].statistic;
        given->limit.least_samples = doubts[i].least;
        given_samples(given, doubts[i].samples);

        struct verdict verdict = given_assert(given, doubts[i].standing, doubts[i].reason);

        if (verdict.rests_on_doubt != doubts[i].rests_on_doubt)
            fail_msg("%s: rests on doubt %d", doubts[i].reason, verdict.rests_on_doubt);
    }
}

static void the_verdict_says_what_it_rests_on(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 10:12 17:200?");
    assert_string_equal(given_verdict(given).words,
                        "outside: above 30, only with evidence in doubt (74 mg/L, monthly mean of "
                        "3 samples, not above 30 mg/L)");
    given_again(given);
    given->limit.least_samples = 3;
    given_samples(given, "3:10 10:12 17:11?");

    struct verdict verdict = given_verdict(given);

    assert_string_equal(verdict.reason, "too few samples: 2 of at least 3; it would be within only "
                                        "with what is in doubt (calibration overdue)");
    assert_int_equal(verdict.in_doubt, 1);
    assert_false(verdict.items[2].counted);
    assert_string_equal(verdict.items[2].why_not, "in doubt: calibration overdue");
}

/* In a range a doubtful high value and a doubtful low one must not hide each other. */
static void both_sides_of_a_range_are_tried_by_themselves(void **state)
{
    struct given *given = *state;

    given->limit.bound = (struct limit_bound){
        .has_ceiling = true, .ceiling = {90, 1}, .has_floor = true, .floor = {60, 1}};
    given_samples(given, "3:7 10:8 17:15? 24:1?");

    struct verdict verdict = given_assert(given, "outside: above 9.0", "10 with the high one");

    assert_true(verdict.rests_on_doubt);
    given_again(given);
    given_samples(given, "3:7 10:7 17:10? 24:1?");
    given_assert(given, "outside: below 6.0", "5 with the low one, 8 with the high one");
}

/* Numbers of a fixed sequence between 0 and 60: the same in every run. */
static unsigned next(unsigned *seed)
{
    *seed = *seed * 1103515245U + 12345U;

    return *seed >> 16 & 0x7fff;
}

static const enum limit_statistic every_statistic[] = {STATISTIC_VALUE,          STATISTIC_MEAN,
                                                       STATISTIC_GEOMETRIC_MEAN, STATISTIC_MEDIAN,
                                                       STATISTIC_MINIMUM,        STATISTIC_MAXIMUM};

/* Samples of the sequence; the last `doubtful` of them may be in doubt. */
static const char *some_samples(struct given *given, unsigned *seed, int count)
{
    const char *text = "";

    for (int i = 0; i < count; i++)
        text = arena_printf(given->mem, "%s%s%d:%u.%u", text, i > 0 ? " " : "", 2 + i,
                            1 + next(seed) % 55, next(seed) % 10);

    return text;
}

static void adding_doubt_never_turns_outside_into_within(void **state)
{
    struct given *given = *state;
    unsigned seed = 2026;

    for (int round = 0; round < 120; round++) {
        const char *sound = some_samples(given, &seed, 4);
        const char *more =
            arena_printf(given->mem, "%s 20:%u? 21:%u?", sound, next(&seed) % 60, next(&seed) % 60);

        for (size_t i = 0; i < ARRAY_LEN(every_statistic); i++) {
            given->limit.statistic = every_statistic[i];
            given_again(given);
            given_samples(given, sound);

            enum standing before = given_verdict(given).standing;

            given_again(given);
            given_samples(given, more);

            enum standing after = given_verdict(given).standing;

            if (before == STANDING_OUTSIDE)
                assert_int_equal(after, STANDING_OUTSIDE);
            if (before == STANDING_NOT_ASSESSABLE)
                assert_int_not_equal(after, STANDING_WITHIN);
        }
    }
}

static void adding_a_less_than_never_hides_a_breach_of_single_values(void **state)
{
    static const enum limit_statistic single[] = {STATISTIC_VALUE, STATISTIC_MAXIMUM};
    struct given *given = *state;
    unsigned seed = 7;

    for (int round = 0; round < 60; round++) {
        const char *samples = some_samples(given, &seed, 3);

        for (size_t i = 0; i < ARRAY_LEN(single); i++) {
            given->limit.statistic = single[i];
            given_again(given);
            given_samples(given, samples);

            struct verdict before = given_verdict(given);

            given_again(given);
            given_samples(given,
                          arena_printf(given->mem, "%s 20:<%u", samples, 1 + next(&seed) % 60));

            struct verdict after = given_verdict(given);

            if (before.standing == STANDING_OUTSIDE)
                assert_int_equal(after.standing, STANDING_OUTSIDE);
            assert_true(after.beyond >= before.beyond);
        }
    }
}

/* The same readings in one series or in two, and in another order of series. */
static void splitting_readings_and_their_order_never_decide(void **state)
{
    struct given *given = *state;
    unsigned seed = 99;

    for (int round = 0; round < 60; round++) {
        const char *first = some_samples(given, &seed, 3);
        const char *second = arena_printf(given->mem, "3/09:00:%u 4:%u 20:%u?", next(&seed) % 60,
                                          1 + next(&seed) % 50, next(&seed) % 60);

        for (size_t i = 0; i < ARRAY_LEN(every_statistic); i++) {
            given->limit.statistic = every_statistic[i];
            given_again(given);
            given_samples(given, first);
            given_samples(given, second);

            struct verdict one_way = given_verdict(given);

            given_again(given);
            given_samples(given, second);
            given_samples(given, first);

            struct verdict other_way = given_verdict(given);

            assert_string_equal(one_way.words, other_way.words);
            assert_string_equal(exact_ratio_text(given->mem, one_way.figure),
                                exact_ratio_text(given->mem, other_way.figure));
        }
    }
}

static void removing_samples_never_clears_what_had_too_few(void **state)
{
    struct given *given = *state;
    unsigned seed = 5;

    given->limit.least_samples = 5;
    for (int round = 0; round < 40; round++)
        for (size_t i = 0; i < ARRAY_LEN(every_statistic); i++) {
            given->limit.statistic = every_statistic[i];
            for (int count = 4; count >= 0; count--) {
                given_again(given);
                given_samples(given, some_samples(given, &seed, count));
                assert_int_not_equal(given_verdict(given).standing, STANDING_WITHIN);
            }
        }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(doubt_can_stop_and_never_clear),
        CASE(the_verdict_says_what_it_rests_on),
        CASE(both_sides_of_a_range_are_tried_by_themselves),
        CASE(adding_doubt_never_turns_outside_into_within),
        CASE(adding_a_less_than_never_hides_a_breach_of_single_values),
        CASE(splitting_readings_and_their_order_never_decide),
        CASE(removing_samples_never_clears_what_had_too_few),
    };

    return cmocka_run_group_tests_name("judge/pass", tests, NULL, NULL);
}
