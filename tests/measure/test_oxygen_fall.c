#include <string.h>

#include "harness/near.h"
#include "measure/oxygen_fall.h"

#define DAY_S 86400.0

/* About 2 mg/L an hour for an hour, read every 10 minutes, with a wobble of a probe. */
static const struct oxygen_fall_reading wobbly[] = {
    {0, 8.02}, {600, 7.64}, {1200, 7.35}, {1800, 6.99}, {2400, 6.68}, {3000, 6.31}, {3600, 6.01},
};

/* 1 mg/L an hour, exact, for an hour and a half. */
static const struct oxygen_fall_reading slow[] = {
    {0, 8.0},
    {1800, 7.5},
    {3600, 7.0},
    {5400, 6.5},
};

static const struct oxygen_fall_reading flat[] = {{0, 8}, {600, 8}, {1200, 8}};

static const struct oxygen_fall_conditions warm_and_full = {true, 18, true, 10000, true, 20};

static const struct oxygen_fall_stop hour_stop = {
    .readings = wobbly,
    .count = ARRAY_LEN(wobbly),
    .conditions = {true, 18, true, 10000, true, 20},
    .age_s = 5 * DAY_S,
    .probe_reads_still_water = true,
};

static struct oxygen_fall_stop stop_of(const struct oxygen_fall_reading *readings, size_t count,
                                       double temperature_c, double stock, double feed)
{
    return (struct oxygen_fall_stop){
        .readings = readings,
        .count = count,
        .conditions = {true, temperature_c, true, stock, true, feed},
        .age_s = DAY_S,
        .probe_reads_still_water = true,
    };
}

/* 7 mg/L now, a floor of 6: figures of a made-up farm. */
static struct oxygen_fall_question question_at(double now_mg_per_l)
{
    return (struct oxygen_fall_question){
        .now_mg_per_l = now_mg_per_l,
        .floor_mg_per_l = 6,
        .conditions = warm_and_full,
        .bounds = {.temperature_c = 0.5,
                   .stock_share = 0.1,
                   .feed_share = 0.1,
                   .oldest_s = 30 * DAY_S,
                   .readings_min = 3},
    };
}

static struct oxygen_fall_answer answered(const struct oxygen_fall_stop *stops, size_t count,
                                          const struct oxygen_fall_question *question)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct oxygen_fall_answer answer;
    struct err err = ERR_INIT;

    assert_done(oxygen_fall_time_left(mem, stops, count, question, &answer, &err), &err);

    return answer;
}

static void a_stop_is_fitted_with_its_uncertainty(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct oxygen_fall fall;
    struct err err = ERR_INIT;

    (void)state;
    assert_done(oxygen_fall_fit(mem, wobbly, ARRAY_LEN(wobbly), &fall, &err), &err);
    assert_near(fall.fall_mg_per_l_h, 702.0 / 350, 1e-9, "least squares by hand");
    assert_near(fall.fall_se_mg_per_l_h, 0.0242436611, 1e-9, "least squares by hand");
    assert_near(fall.fast_mg_per_l_h - fall.fall_mg_per_l_h, 2.570582 * fall.fall_se_mg_per_l_h,
                1e-6, "Student's t, 5 degrees");
    assert_near(fall.fall_mg_per_l_h - fall.slow_mg_per_l_h, 2.570582 * fall.fall_se_mg_per_l_h,
                1e-6, "Student's t, 5 degrees");
    assert_near(fall.start_mg_per_l, 8.0028571429, 1e-9, "least squares by hand");
    assert_true(fall.start_se_mg_per_l > 0);
    assert_true(fall.lowest_mg_per_l == 6.01);
    assert_true(fall.length_s == 3600);
    assert_near(oxygen_fall_margin(&fall, 6), 0.01, 1e-12, "lowest less floor");
    assert_near(oxygen_fall_margin(&fall, 6.5), -0.49, 1e-12, "under the floor");
}

static void the_time_left_is_by_the_fast_end_and_both_are_said(void **state)
{
    struct oxygen_fall_question question = question_at(7);
    struct oxygen_fall_answer answer = answered(&hour_stop, 1, &question);

    (void)state;
    assert_int_equal(answer.standing, OXYGEN_FALL_TIME_LEFT);
    assert_null(answer.why);
    assert_near(answer.act_on_s, 3600 / oxygen_fall_rate_to_act_on(&answer.fall), 1e-9,
                "1 mg/L to go");
    assert_true(oxygen_fall_rate_to_act_on(&answer.fall) >= answer.fall.fast_mg_per_l_h);
    assert_true(answer.middle_known);
    assert_near(answer.middle_s, 3600 / answer.fall.fall_mg_per_l_h, 1e-9, "1 mg/L to go");
    assert_true(answer.act_on_s < answer.middle_s);
    assert_true(answer.longest_s == 3600);
    assert_int_equal(answer.stops_counted, 1);
    assert_false(answer.at_floor);
}

static void nothing_is_said_beyond_the_longest_stop(void **state)
{
    struct oxygen_fall_question question = question_at(8.2);
    struct oxygen_fall_answer answer = answered(&hour_stop, 1, &question);

    (void)state;
    /* 2.2 mg/L at 2 mg/L an hour is more than the hour that was measured. */
    assert_int_equal(answer.standing, OXYGEN_FALL_NOT_WITHIN);
    assert_string_equal(oxygen_fall_standing_name(answer.standing),
                        "not within the longest stop this tank has been measured through");
    assert_true(answer.longest_s == 3600);

    /* Time gone by counts: 7 mg/L after 40 minutes leads beyond the hour. */
    question = question_at(7);
    question.off_for_s = 2400;
    assert_int_equal(answered(&hour_stop, 1, &question).standing, OXYGEN_FALL_NOT_WITHIN);
    question.off_for_s = 1200;
    assert_int_equal(answered(&hour_stop, 1, &question).standing, OXYGEN_FALL_TIME_LEFT);

    /* The fast end just within, the middle just beyond: the figure to act on stands alone. */
    question = question_at(8.02);
    answer = answered(&hour_stop, 1, &question);
    assert_int_equal(answer.standing, OXYGEN_FALL_TIME_LEFT);
    assert_false(answer.middle_known);
}

static void a_stop_without_a_fall_gives_no_time(void **state)
{
    struct oxygen_fall_stop stop = stop_of(flat, ARRAY_LEN(flat), 18, 10000, 20);
    struct oxygen_fall_question question = question_at(7);

    (void)state;
    assert_int_equal(answered(&stop, 1, &question).standing, OXYGEN_FALL_NOT_WITHIN);
}

static void at_the_floor_no_time_is_left_record_or_no_record(void **state)
{
    static const double rows[] = {6, 5.9, 0};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct oxygen_fall_question question = question_at(rows[i]);
        struct oxygen_fall_answer answer = answered(NULL, 0, &question);

        assert_int_equal(answer.standing, OXYGEN_FALL_TIME_LEFT);
        assert_true(answer.at_floor);
        assert_true(answer.act_on_s == 0);
        assert_null(answer.why);
    }
}

static void the_fastest_of_several_stops_stands(void **state)
{
    const struct oxygen_fall_stop stops[] = {
        stop_of(slow, ARRAY_LEN(slow), 18, 10000, 20),
        hour_stop,
        stop_of(slow, ARRAY_LEN(slow), 18, 10000, 20),
    };
    struct oxygen_fall_question question = question_at(7);
    struct oxygen_fall_answer answer = answered(stops, 3, &question);

    (void)state;
    assert_int_equal(answer.standing, OXYGEN_FALL_TIME_LEFT);
    assert_int_equal(answer.stop, 1);
    assert_int_equal(answer.stops_counted, 3);
    assert_true(answer.longest_s == 5400);
    assert_near(answer.act_on_s, 3600 / oxygen_fall_rate_to_act_on(&answer.fall), 1e-9,
                "the faster of them");
}

static void outside_the_measured_conditions_it_is_not_known(void **state)
{
    static const struct {
        struct oxygen_fall_conditions now;
        const char *why; /* NULL: it is known */
    } rows[] = {
        {{true, 18, true, 10000, true, 20}, NULL},
        {{true, 18.5, true, 11000, true, 22}, NULL}, /* the edges of the farm's tolerances */
        {{true, 18.6, true, 10000, true, 20}, "the temperature is outside what was measured"},
        {{true, 17.4, true, 10000, true, 20}, "the temperature is outside what was measured"},
        {{true, 18, true, 11100, true, 20}, "the stock is outside what was measured"},
        {{true, 18, true, 8900, true, 20}, "the stock is outside what was measured"},
        {{true, 18, true, 10000, true, 22.1}, "the feed is outside what was measured"},
        {{true, 18, true, 10000, true, 17}, "the feed is outside what was measured"},
        {{false, 18, true, 10000, true, 20}, "temperature, stock or feed is not known now"},
        {{true, 18, false, 10000, true, 20}, "temperature, stock or feed is not known now"},
        {{true, 18, true, 10000, false, 20}, "temperature, stock or feed is not known now"},
        {{true, NAN, true, 10000, true, 20}, "temperature, stock or feed is not known now"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct oxygen_fall_question question = question_at(7);

        question.conditions = rows[i].now;

        struct oxygen_fall_answer answer = answered(&hour_stop, 1, &question);

        if (rows[i].why == NULL) {
            assert_int_equal(answer.standing, OXYGEN_FALL_TIME_LEFT);
            continue;
        }
        assert_int_equal(answer.standing, OXYGEN_FALL_NOT_KNOWN);
        assert_string_equal(answer.why, rows[i].why);
    }
}

static void warm_and_empty_with_cold_and_full_do_not_measure_warm_and_full(void **state)
{
    const struct oxygen_fall_stop stops[] = {
        stop_of(wobbly, ARRAY_LEN(wobbly), 20, 2000, 20),
        stop_of(wobbly, ARRAY_LEN(wobbly), 8, 12000, 20),
    };
    struct oxygen_fall_question question = question_at(7);
    struct oxygen_fall_answer answer = answered(stops, 2, &question);

    (void)state;
    assert_int_equal(answer.standing, OXYGEN_FALL_NOT_KNOWN);
    assert_string_equal(answer.why, "no one stop was measured as warm, as full and as fed as now");

    /* Cool and half full is covered by the warm one once that was as full. */
    question.conditions.temperature_c = 15;
    question.conditions.stock = 2000;
    assert_int_equal(answered(stops, 2, &question).standing, OXYGEN_FALL_TIME_LEFT);
}

static void only_a_stop_as_hard_as_now_says_how_long_was_measured(void **state)
{
    const struct oxygen_fall_stop stops[] = {
        hour_stop, stop_of(slow, ARRAY_LEN(slow), 8, 1000, 0), /* longer, but cold and empty */
    };
    struct oxygen_fall_question question = question_at(7);

    (void)state;
    assert_true(answered(stops, 2, &question).longest_s == 3600);
}

static void stops_that_do_not_count_leave_it_not_known(void **state)
{
    struct oxygen_fall_stop bad_probe = hour_stop;
    struct oxygen_fall_stop old = hour_stop;
    struct oxygen_fall_stop future = hour_stop;
    struct oxygen_fall_stop blank = hour_stop;
    struct oxygen_fall_stop brief = hour_stop;
    const struct {
        const struct oxygen_fall_stop *stop;
        const char *why;
    } rows[] = {
        {&bad_probe, "the probe is not on record as reading in still water"},
        {&old, "every stop on record is older than the farm's own age"},
        {&future, "every stop on record is older than the farm's own age"},
        {&blank, "temperature, stock or feed of the stops on record is not known"},
        {&brief, "no stop on record has enough good readings"},
        {NULL, "no stop of this tank's pump is on record"},
    };

    (void)state;
    bad_probe.probe_reads_still_water = false;
    old.age_s = 30 * DAY_S + 1;
    future.age_s = -1;
    blank.conditions.stock_known = false;
    brief.count = 2;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct oxygen_fall_question question = question_at(7);
        struct oxygen_fall_answer answer =
            answered(rows[i].stop, rows[i].stop == NULL ? 0 : 1, &question);

        assert_int_equal(answer.standing, OXYGEN_FALL_NOT_KNOWN);
        assert_string_equal(answer.why, rows[i].why);
        assert_int_equal(answer.stops_counted, 0);
    }
}

static void the_farm_s_own_least_number_of_readings_holds(void **state)
{
    struct oxygen_fall_question question = question_at(7);

    (void)state;
    question.bounds.readings_min = ARRAY_LEN(wobbly);
    assert_int_equal(answered(&hour_stop, 1, &question).standing, OXYGEN_FALL_TIME_LEFT);
    question.bounds.readings_min = ARRAY_LEN(wobbly) + 1;
    assert_int_equal(answered(&hour_stop, 1, &question).standing, OXYGEN_FALL_NOT_KNOWN);
}

/*
 * V 20 m3, K 0.05 1/h, Cs 8.235646, R 30 g/h from 6.165603429: the fall slows down. By the closed
 * form of measure/oxygen_budget.h a floor of 4 is reached after 96.850 min (Chapra 1997, from
 * memory); a line through three hours says 100.2 min, the first half of it 96.6.
 */
static void a_fall_that_slows_down_is_judged_by_its_first_half(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    enum { READINGS = 19 };
    const double settles = 8.235646 - 30 / (0.05 * 20);
    struct oxygen_fall_reading readings[READINGS];
    struct oxygen_fall fall;
    struct err err = ERR_INIT;

    (void)state;
    for (int i = 0; i < READINGS; i++)
        readings[i] = (struct oxygen_fall_reading){i * 600.0, settles + (6.165603429 - settles) *
                                                                            exp(-0.05 * i / 6)};
    assert_done(oxygen_fall_fit(mem, readings, READINGS, &fall, &err), &err);

    double by_all = (6.165603429 - 4) / fall.fall_mg_per_l_h * 60;
    double to_act_on = (6.165603429 - 4) / oxygen_fall_rate_to_act_on(&fall) * 60;

    assert_true(fall.early_known);
    assert_true(by_all > 96.850);
    assert_true(to_act_on < by_all);
    assert_near(to_act_on, 96.850, 0.01 * 96.850, "Chapra 1997, from memory");
}

static void a_first_half_of_two_readings_says_nothing_of_its_own(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct oxygen_fall fall;
    struct err err = ERR_INIT;

    (void)state;
    assert_done(oxygen_fall_fit(mem, slow, ARRAY_LEN(slow), &fall, &err), &err);
    assert_false(fall.early_known);
    assert_true(oxygen_fall_rate_to_act_on(&fall) == fall.fast_mg_per_l_h);
}

/* A straight fall with a probe's noise: the fast end must be a little early, and seldom late. */
static void the_fast_end_is_late_in_no_more_than_its_share_of_trials(void **state)
{
    enum { TRIALS = 4000, READINGS = 12 };
    uint64_t seed = 12345;
    int late = 0;

    (void)state;
    for (int trial = 0; trial < TRIALS; trial++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct oxygen_fall_reading readings[READINGS];
        struct oxygen_fall fall;
        struct err err = ERR_INIT;

        for (int i = 0; i < READINGS; i++) {
            double noise = 0; /* twelve uniform numbers are near to normal */

            for (int k = 0; k < 12; k++) {
                seed = seed * 6364136223846793005ULL + 1442695040888963407ULL;
                noise += (double)(seed >> 11) / 9007199254740992.0 - 0.5;
            }
            readings[i] = (struct oxygen_fall_reading){i * 300.0, 8 - 1.5 * i / 12 + 0.05 * noise};
        }
        assert_done(oxygen_fall_fit(mem, readings, READINGS, &fall, &err), &err);
        late += fall.fast_mg_per_l_h < 1.5;
    }

    /* 2.5 % of 4000 is 100, give or take three deviations of 10. */
    assert_in_range(late, 70, 130);
}

static void readings_and_questions_that_cannot_be_are_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct oxygen_fall_reading backward[] = {{600, 8}, {0, 7}, {1200, 6}};
    static const struct oxygen_fall_reading minus[] = {{0, 8}, {600, -7}, {1200, 6}};
    struct oxygen_fall_question questions[6];
    struct oxygen_fall_answer answer = {.act_on_s = -1};
    struct oxygen_fall fall = {.length_s = -1};
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(oxygen_fall_fit(mem, backward, 3, &fall, &err), ERR_INVALID, &err);
    assert_fails(oxygen_fall_fit(mem, minus, 3, &fall, &err), ERR_INVALID, &err);
    assert_fails(oxygen_fall_fit(mem, wobbly, 2, &fall, &err), ERR_INVALID, &err);
    assert_fails(oxygen_fall_fit(mem, wobbly, 0, &fall, &err), ERR_INVALID, &err);

    for (size_t i = 0; i < ARRAY_LEN(questions); i++)
        questions[i] = question_at(7);
    questions[0].now_mg_per_l = NAN;
    questions[1].floor_mg_per_l = -1;
    questions[2].off_for_s = -1;
    questions[3].bounds.readings_min = 2;
    questions[4].bounds.oldest_s = 0;
    questions[5].bounds.stock_share = 2;
    for (size_t i = 0; i < ARRAY_LEN(questions); i++)
        assert_fails(oxygen_fall_time_left(mem, &hour_stop, 1, &questions[i], &answer, &err),
                     ERR_INVALID, &err);
    assert_true(answer.act_on_s == -1 && fall.length_s == -1);
}

static void the_caution_says_what_it_is_not(void **state)
{
    (void)state;
    assert_non_null(strstr(oxygen_fall_caution, "not an alarm and not a switch"));
    assert_non_null(strstr(oxygen_fall_caution, "independent low-oxygen alarm"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_stop_is_fitted_with_its_uncertainty),
        cmocka_unit_test(the_time_left_is_by_the_fast_end_and_both_are_said),
        cmocka_unit_test(nothing_is_said_beyond_the_longest_stop),
        cmocka_unit_test(a_stop_without_a_fall_gives_no_time),
        cmocka_unit_test(at_the_floor_no_time_is_left_record_or_no_record),
        cmocka_unit_test(the_fastest_of_several_stops_stands),
        cmocka_unit_test(outside_the_measured_conditions_it_is_not_known),
        cmocka_unit_test(warm_and_empty_with_cold_and_full_do_not_measure_warm_and_full),
        cmocka_unit_test(only_a_stop_as_hard_as_now_says_how_long_was_measured),
        cmocka_unit_test(stops_that_do_not_count_leave_it_not_known),
        cmocka_unit_test(the_farm_s_own_least_number_of_readings_holds),
        cmocka_unit_test(a_fall_that_slows_down_is_judged_by_its_first_half),
        cmocka_unit_test(a_first_half_of_two_readings_says_nothing_of_its_own),
        cmocka_unit_test(the_fast_end_is_late_in_no_more_than_its_share_of_trials),
        cmocka_unit_test(readings_and_questions_that_cannot_be_are_refused),
        cmocka_unit_test(the_caution_says_what_it_is_not),
    };

    return cmocka_run_group_tests_name("measure/oxygen_fall", tests, NULL, NULL);
}
