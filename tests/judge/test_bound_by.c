#include "judge/bound_by.h"

#include <stdlib.h>

#include "base/str.h"
#include "judge/given.h"

/* Bounds that go by other readings at the same time, or by the words of a state. */

static const struct bound_step steps[] = {
    {.up_to = {10, 0}, .bound = {50, 0}},
    {.up_to = {20, 0}, .bound = {30, 0}},
    {.last = true, .bound = {20, 0}},
};

/* Single values of solids, at most an hour from the others. */
static void single(struct given *given, enum bound_kind kind)
{
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.bound = (struct limit_bound){.has_ceiling = false};
    given->limit.bound_by = (struct limit_bound_by){
        .kind = kind,
        .others = {{.station = "outfall", .parameter = "temperature", .unit = "degC"}},
        .other_count = 1,
        .within_s = 3600,
        .steps = steps,
        .step_count = ARRAY_LEN(steps),
    };
}

static void others(struct given *given, const char *parameter, const char *readings,
                   const char *unit)
{
    given_readings(given, given_series(given, "outfall", parameter, KIND_PROBE), readings, unit);
}

static void expect(struct given *given, enum standing standing, const char *reason)
{
    struct verdict verdict = given_verdict(given);

    if (verdict.standing != standing)
        fail_msg("%s: expected %s, got %s (%s)", reason, standing_name(standing),
                 standing_name(verdict.standing), verdict.reason ? verdict.reason : "no reason");
}

/* The bound of the only item, as text. */
static const char *own_bound(struct given *given)
{
    struct judgement judgement = {
        .mem = given->mem, .limit = &given->limit, .evidence = &given->evidence};
    struct use use = {.at = given_at("2026-03-10T12:00:00Z"),
                      .until = given_at("2026-03-10T12:00:00Z"),
                      .has_value = true};

    judgement.parameter = parameter_find(NULL, given->limit.parameter);
    judgement.bound = bound_by_frame(&given->limit);
    judgement.items = &use;
    judgement.count = 1;
    bound_by_fill(&judgement);
    if (use.blocked)
        return arena_printf(given->mem, "blocked: %s", use.blocked);

    return exact_text(given->mem,
                      amount_exact(given->mem, use.own_bound->has_ceiling ? use.own_bound->ceiling
                                                                          : use.own_bound->floor),
                      12);
}

static void a_printed_table_is_read_as_printed(void **state)
{
    static const struct {
        const char *sample;
        const char *temperature;
        enum standing standing;
        const char *reason;
    } rows[] = {
        {"10:50", "10:10", STANDING_WITHIN, "the step's end belongs to it; equal is not above"},
        {"10:50.1", "10:10", STANDING_OUTSIDE, "above the first step's"},
        {"10:50", "10:10.1", STANDING_OUTSIDE, "the second step allows 30"},
        {"10:20", "10:99", STANDING_WITHIN, "the last step has no end"},
        {"10:21", "10:99", STANDING_OUTSIDE, "above the last step's"},
        {"10:10", "10/10:59:10", STANDING_NOT_ASSESSABLE, "no temperature near enough"},
        {"10:10", "10:<10", STANDING_NOT_ASSESSABLE, "a less-than is no single temperature"},
        {"10:10", "10:10?", STANDING_NOT_ASSESSABLE, "in doubt it never clears"},
        {"10:60", "10:10?", STANDING_OUTSIDE, "in doubt it may stop"},
        {"10:10 11:10", "10:10 11:10?", STANDING_NOT_ASSESSABLE, "one of two rests on doubt"},
        {"10:10? 11:10", "11:10", STANDING_NOT_ASSESSABLE, "one in doubt without any temperature"},
        {"10:10 11:60", "11:10", STANDING_OUTSIDE, "one can't be told and one is beyond"},
        {"10:10! 11:10", "11:10", STANDING_WITHIN, "what is left out needs no temperature"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;

        given_again(given);
        single(given, BOUND_TABLE);
        given_samples(given, rows[i].sample);
        others(given, "temperature", rows[i].temperature, "degC");
        expect(given, rows[i].standing, rows[i].reason);
    }
}

/* 25 was once shown as the nearest of the two, by a bound of 0. */
static void a_value_without_a_bound_is_not_shown_as_the_nearest(void **state)
{
    struct given *given = *state;
    struct verdict verdict;

    single(given, BOUND_TABLE);
    given_samples(given, "10:20 11:25");
    others(given, "temperature", "10:10", "degC");
    verdict = given_assert(given, "not assessable", "no temperature at the second");
    assert_string_equal(verdict.compared_text, "20");
    assert_string_equal(verdict.bound_text, "50");
    given_again(given);
    single(given, BOUND_TABLE);
    given_samples(given, "11:25");
    assert_null(given_assert(given, "not assessable", "no temperature at all").compared);
}

/* The margin was once taken off a bound of 0, so that every ceiling by another reading was near. */
static void near_goes_by_the_bound_of_its_own_moment(void **state)
{
    static const struct {
        const char *sample;
        bool is_floor;
        bool near;
        const char *reason;
    } rows[] = {
        {"10:44.9", false, false, "5.1 under a ceiling of 50 is more than a tenth of it"},
        {"10:45.1", false, true, "4.9 under it is less than a tenth"},
        {"10:55.1", true, false, "5.1 over a floor of 50"},
        {"10:54.9", true, true, "4.9 over it"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        single(given, BOUND_TABLE);
        given->limit.bound_by.is_floor = rows[i].is_floor;
        given->limit.margin = MARGIN_SHARE;
        given->limit.margin_amount = given_decimal("10");
        given_samples(given, rows[i].sample);
        others(given, "temperature", "10:10", "degC");
        expect(given, STANDING_WITHIN, rows[i].reason);
        if (given_verdict(given).near_bound != rows[i].near)
            fail_msg("%s", rows[i].reason);
    }
}

static void a_bound_by_doubt_says_so(void **state)
{
    struct given *given = *state;
    struct verdict verdict;

    single(given, BOUND_TABLE);
    given_samples(given, "10:60");
    others(given, "temperature", "10:10?", "degC");
    verdict = given_verdict(given);
    assert_true(verdict.rests_on_doubt);
    assert_non_null(strstr(verdict.items[0].doubt, "calibration overdue"));
}

static void a_table_that_ends_says_nothing_beyond(void **state)
{
    struct given *given = *state;

    single(given, BOUND_TABLE);
    given->limit.bound_by.step_count = 2;
    others(given, "temperature", "10:20.5", "degC");
    assert_string_equal(own_bound(given), "blocked: the clause's table ends before 20.5");
}

static void a_line_is_exact_in_any_unit(void **state)
{
    struct given *given = *state;

    single(given, BOUND_LINEAR);
    given->limit.bound_by.offset = given_decimal("5.0");
    given->limit.bound_by.factor = given_decimal("0.1");
    /* 50 degF is 10 degC: the bound is 6 exactly. */
    others(given, "temperature", "10:50", "degF");
    assert_string_equal(own_bound(given), "6");
    given_samples(given, "10:6.0");
    expect(given, STANDING_WITHIN, "at the bound is not above it");
    given->limit.bound_by.reached_is_outside = true;
    expect(given, STANDING_OUTSIDE, "reaching it is outside where the clause says so");
    given->limit.bound_by.is_floor = true;
    given->limit.bound_by.reached_is_outside = false;
    expect(given, STANDING_WITHIN, "at a floor is not below it");
}

static void un_ionised(struct given *given, const char *form, const char *stated)
{
    single(given, BOUND_UNIONISED);
    given->limit.parameter = "ammonia";
    given->limit.bound_by.others[0] = (struct limit_other){.station = "outfall", .parameter = "ph"};
    given->limit.bound_by.others[1] =
        (struct limit_other){.station = "outfall", .parameter = "temperature"};
    given->limit.bound_by.other_count = 2;
    given->limit.bound_by.ammonia_form = form;
    given->limit.bound_by.stated = given_decimal(stated);
}

/*
 * CCME 2010, Canadian water quality guideline for ammonia, fresh water, its table of total
 * ammonia that holds 0.019 mg/L of NH3; from memory. It prints two or three figures.
 */
static void total_ammonia_for_a_stated_part_is_as_the_guideline_prints(void **state)
{
    static const struct {
        const char *ph;
        const char *t;
        double total;
    } rows[] = {{"10:6.5", "10:0", 73.0},  {"10:6.5", "10:25", 10.6}, {"10:7.0", "10:0", 23.1},
                {"10:7.5", "10:15", 2.22}, {"10:7.5", "10:20", 1.54}, {"10:7.0", "10:30", 2.39}};

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;
        double got;

        given_again(given);
        un_ionised(given, "emerson-273.15", "0.019");
        others(given, "ph", rows[i].ph, "pH");
        others(given, "temperature", rows[i].t, "degC");
        got = strtod(own_bound(given), NULL);
        if (got < rows[i].total * 0.995 || got > rows[i].total * 1.005)
            fail_msg("pH %s, %s degC: %g, printed %g", rows[i].ph, rows[i].t, got, rows[i].total);
    }
}

static void outside_a_formula_s_range_there_is_no_bound(void **state)
{
    struct given *given = *state;

    un_ionised(given, "bower-bidwell", "0.02");
    given->limit.bound_by.others[2] =
        (struct limit_other){.station = "outfall", .parameter = "salinity"};
    given->limit.bound_by.other_count = 3;
    others(given, "ph", "10:8.1", "pH");
    others(given, "temperature", "10:12", "degC");
    others(given, "salinity", "10:20", "PSU");
    assert_non_null(strstr(own_bound(given), "blocked: "));
    given_readings(given, given_series(given, "outfall", "ammonia", KIND_GRAB), "10:0.01", "mg/L");
    expect(given, STANDING_NOT_ASSESSABLE, "never within");
}

/*
 * Oxygen in balance with air at 1 atm and 20 degC in fresh water: 9.09 mg/L, in sea water of
 * salinity 35: 7.396 (Benson and Krause 1984, as USGS Office of Water
 * Quality Technical Memorandum 2011.03 has it).
 */
static void a_share_of_saturation_is_by_temperature_and_salinity(void **state)
{
    struct given *given = *state;

    single(given, BOUND_SATURATION);
    given->limit.parameter = "oxygen";
    given->limit.bound_by.is_floor = true;
    given->limit.bound_by.stated = given_decimal("100");
    others(given, "temperature", "10:20", "degC");
    assert_true(strncmp(own_bound(given), "9.09", 4) == 0);
    given->limit.unit = "ug/L";
    assert_true(strncmp(own_bound(given), "909", 3) == 0);
    given->limit.unit = "mg/L";
    given->limit.bound_by.others[1] =
        (struct limit_other){.station = "outfall", .parameter = "salinity"};
    given->limit.bound_by.other_count = 2;
    others(given, "salinity", "10:35", "PSU");
    assert_true(strncmp(own_bound(given), "7.396", 5) == 0);
    given->limit.bound_by.stated = given_decimal("80");
    given_readings(given, given_series(given, "outfall", "oxygen", KIND_PROBE), "10:5.9", "mg/L");
    expect(given, STANDING_OUTSIDE, "80 percent of 7.396 is 5.917, and 5.9 is below it");
}

/*
 * Six figures of a formula are enough for people, but where the reading is that near the words
 * would say that a number is above itself.
 */
static void a_formulas_bound_shows_enough_figures_to_be_told_from_the_reading(void **state)
{
    struct given *given = *state;
    const char *bound;
    int below = 0;

    single(given, BOUND_SATURATION);
    given->limit.parameter = "oxygen";
    given->limit.bound_by.is_floor = true;
    given->limit.bound_by.stated = given_decimal("60");
    others(given, "temperature", "10:20", "degC");
    bound = own_bound(given);
    assert_true(strlen(bound) >= strlen("5.45xxxxxx"));
    for (int figures = 6; figures <= 10; figures++) {
        char *short_of = exact_text(given->mem, exact_from_text(given->mem, bound), figures);
        size_t series;

        given_again(given);
        others(given, "temperature", "10:20", "degC");
        series = given_series(given, "outfall", "oxygen", KIND_PROBE);
        given_readings(given, series, arena_printf(given->mem, "10:%s", short_of), "mg/L");

        struct verdict verdict = given_verdict(given);
        struct decimal shown;
        const char *words = verdict_standing_words(given->mem, &verdict);

        if (verdict.standing == STANDING_WITHIN)
            continue; /* rounded up */
        below++;
        assert_true(str_starts(words, "outside: below "));
        assert_true(decimal_parse(words + strlen("outside: below "), &shown));
        if (exact_compare(exact_from_decimal(given->mem, shown), verdict.compared) <= 0)
            fail_msg("%s is said to be %s", short_of, words);
    }
    assert_true(below > 0);
    given_again(given);
    others(given, "temperature", "10:20", "degC");
    given_readings(given, given_series(given, "outfall", "oxygen", KIND_PROBE), "10:5.1", "mg/L");
    given_assert(given,
                 arena_printf(given->mem, "outside: below %s",
                              exact_text(given->mem, exact_from_text(given->mem, bound), 6)),
                 "far from it six are enough");
}

static void the_words_of_a_state_are_read_or_must_not_be(void **state)
{
    struct given *given = *state;
    struct verdict verdict;
    size_t film;

    single(given, BOUND_STATE);
    given->limit.parameter = "oil-film";
    given->limit.unit = NULL;
    given->limit.bound_by.other_count = 0;
    given->limit.bound_by.state = "seen";
    given->limit.bound_by.state_is_outside = true;
    film = given_series(given, "outfall", "oil-film", KIND_BY_HAND);
    given_readings(given, film, "3:0 10:0", "not seen");
    expect(given, STANDING_WITHIN, "never seen");
    given_readings(given, film, "12:0", "Seen");
    verdict = given_assert(given, "outside: seen", "seen once, in any case of letters");
    assert_string_equal(verdict.compared_text, "Seen");
    assert_string_equal(verdict.bound_text, "not seen");
    given->limit.bound_by.state_is_outside = false;
    (void)given_assert(given, "outside: not seen", "it must be seen, and twice was not");
    given->limit.bound_by.state = "not seen";
    given_readings(given, film, "14:0", "faint");
    given->readings[film][2].left_out = "another place";
    (void)given_assert(given, "outside: faint", "nobody says that it was seen");
}

static void a_bound_of_its_own_is_in_the_words_and_the_items(void **state)
{
    struct given *given = *state;
    struct verdict verdict;

    single(given, BOUND_LINEAR);
    given->limit.bound_by.offset = given_decimal("5.0");
    given->limit.bound_by.factor = given_decimal("0.1");
    given_samples(given, "10:5.9 11:7");
    others(given, "temperature", "10:10 11:10", "degC");
    verdict = given_assert(given, "outside: above 6", "the bound it was held against");
    assert_string_equal(verdict.bound_text, "6");
    assert_string_equal(exact_text(given->mem, verdict.items[0].bound, 12), "6");
    assert_int_equal(verdict.items[0].other_count, 1);
    assert_int_equal(verdict.items[0].others[0].series, 1);
    assert_string_equal(exact_text(given->mem, verdict.items[1].others[0].value, 12), "10");
    given->limit.bound_by.reached_is_outside = true;
    (void)given_assert(given, "outside: at or above 6", "as worded");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_printed_table_is_read_as_printed),
        CASE(a_value_without_a_bound_is_not_shown_as_the_nearest),
        CASE(near_goes_by_the_bound_of_its_own_moment),
        CASE(a_bound_by_doubt_says_so),
        CASE(a_table_that_ends_says_nothing_beyond),
        CASE(a_line_is_exact_in_any_unit),
        CASE(total_ammonia_for_a_stated_part_is_as_the_guideline_prints),
        CASE(outside_a_formula_s_range_there_is_no_bound),
        CASE(a_share_of_saturation_is_by_temperature_and_salinity),
        CASE(a_formulas_bound_shows_enough_figures_to_be_told_from_the_reading),
        CASE(the_words_of_a_state_are_read_or_must_not_be),
        CASE(a_bound_of_its_own_is_in_the_words_and_the_items),
    };

    return cmocka_run_group_tests_name("judge/bound_by", tests, NULL, NULL);
}
