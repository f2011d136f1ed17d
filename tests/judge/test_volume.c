#include "judge/given.h"

/* Volumes of days from meters and flows, and daily totals. */

/* Daily totals of a meter. */
static size_t meter(struct given *given, const char *readings)
{
    given->limit.parameter = "discharge-meter";
    given->limit.unit = "m3";
    given->limit.daily = DAILY_TOTAL;
    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.bound.ceiling = (struct decimal){1000, 0};

    size_t series = given_series(given, "outfall", "discharge-meter", KIND_BY_HAND);

    given_readings(given, series, readings, "m3");

    return series;
}

static const char *volume_on(struct given *given, const struct verdict *verdict, int day)
{
    const struct exact *volume = verdict->days[day - (int)civil_from_day(verdict->from).day].volume;

    return volume ? exact_text(given->mem, volume, 12) : "";
}

static void a_meter_gives_the_volume_of_the_day_its_reading_began(void **state)
{
    struct given *given = *state;

    given->to = day_from_civil(2026, 3, 3);
    meter(given, "1/08:00:5000 2/08:10:5700 3/08:00:6700 4/07:55:7701");

    struct verdict verdict = given_assert(given, "outside: above 1000", "1001 on the 3rd");

    assert_string_equal(volume_on(given, &verdict, 1), "700");
    assert_string_equal(volume_on(given, &verdict, 2), "1000");
    assert_string_equal(volume_on(given, &verdict, 3), "1001");
    assert_int_equal(verdict.beyond, 1);
}

static void a_meter_that_is_read_in_litres_counts_no_cubic_metres(void **state)
{
    struct given *given = *state;

    given->to = day_from_civil(2026, 3, 2);

    size_t series = meter(given, "1/08:00:5000000 2/08:10:5700000 3/08:00:6700000");

    for (size_t i = 0; i < given->series[series].count; i++)
        given->readings[series][i].unit = "L";

    struct verdict verdict = given_assert(given, "within", "700 and 1000 m3");

    assert_string_equal(volume_on(given, &verdict, 1), "700");
    assert_string_equal(volume_on(given, &verdict, 2), "1000");
}

static void a_meter_read_for_part_of_a_day_has_no_volume_of_it(void **state)
{
    struct given *given = *state;

    given->to = given->from;
    meter(given, "1/12:00:5000 1/13:00:5010 1/14:00:5020 1/23:00:5100 2/00:00:5110");
    assert_string_equal(given_assert(given, "not assessable", "the morning is not known").reason,
                        "the meter was read for part of the day only on 1 March 2026");
}

static void a_meter_rolls_over_and_is_replaced(void **state)
{
    struct given *given = *state;
    const instant replaced[] = {given_at("2026-03-03T08:00:00Z")};
    struct evidence_counter counter = {.station = "outfall",
                                       .parameter = "discharge-meter",
                                       .size = {100000, 0},
                                       .multiplier = {1, 0},
                                       .most_per_day = {2000, 0},
                                       .replaced_at = replaced,
                                       .replaced_count = 1};

    given->evidence.counters = &counter;
    given->evidence.counter_count = 1;
    given->to = day_from_civil(2026, 3, 3);
    meter(given, "1/08:00:99500 2/08:00:300 3/08:00:900 3/08:30:12 4/08:00:712");

    struct verdict verdict = given_assert(given, "within", "800, 600 and 700");

    assert_string_equal(volume_on(given, &verdict, 1), "800");
    assert_string_equal(volume_on(given, &verdict, 2), "600");
    assert_string_equal(volume_on(given, &verdict, 3), "700");
    assert_string_equal(verdict.days[0].note, "meter rolled over");
    counter.size = (struct decimal){99999, 0};
    verdict = given_verdict(given);
    assert_string_equal(volume_on(given, &verdict, 1), "800");
    counter.size = (struct decimal){0, 0};
    given_assert(given, "not assessable", "without its size on record a fall is no roll-over");
}

static void a_difference_over_several_days_is_shared_only_where_allowed(void **state)
{
    struct given *given = *state;
    struct evidence_counter counter = {
        .station = "outfall", .parameter = "discharge-meter", .multiplier = {1, 0}};

    given->evidence.counters = &counter;
    given->evidence.counter_count = 1;
    given->to = day_from_civil(2026, 3, 3);
    meter(given, "1/08:00:5000 4/08:00:6200");
    assert_string_equal(given_assert(given, "not assessable", "400 a day, perhaps").reason,
                        "the meter was not read for several days on 1 March 2026");
    counter.share_over_days = true;

    struct verdict verdict = given_assert(given, "within", "400 a day by an even share");

    assert_string_equal(volume_on(given, &verdict, 2), "400");
    assert_true(verdict.days[1].filled);
    assert_string_equal(verdict.days[1].note, "shared evenly over several days");
}

static void a_multiplier_and_the_unit_of_the_clause(void **state)
{
    struct given *given = *state;
    struct evidence_counter counter = {
        .station = "outfall", .parameter = "discharge-meter", .multiplier = {10, 0}};

    given->evidence.counters = &counter;
    given->evidence.counter_count = 1;
    given->to = given->from;
    meter(given, "1/08:00:500 2/08:00:570");
    given->limit.unit = "ML";
    given->limit.bound.ceiling = (struct decimal){7, 1};
    assert_string_equal(given_assert(given, "within", "700 m3").figure_text, "0.7");
    given->limit.unit = "m3/day";
    given->limit.bound.ceiling = (struct decimal){700, 0};
    assert_string_equal(given_assert(given, "within", "700 m3/day").figure_text, "700");
}

static void a_monthly_sum_lacks_nothing_or_is_not_assessable(void **state)
{
    struct given *given = *state;

    given->to = day_from_civil(2026, 3, 3);
    meter(given, "1/08:00:5000 2/08:00:5700 3/08:00:6700 4/08:00:7000");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){2000, 0};
    assert_string_equal(given_assert(given, "within", "all three days").figure_text, "2000");
    given->to++;
    given_assert(given, "not assessable", "the 4th is not known");
    given->limit.bound.ceiling = (struct decimal){1999, 0};
    given_assert(given, "outside: above 1999", "whatever the 4th adds");
    given->limit.statistic = STATISTIC_MEAN;
    given->limit.least_coverage = (struct decimal){80, 0};
    given_assert(given, "not assessable", "three of four days are 75 percent");
}

/* A meter that counts 700 m3 a day, read at 8 each morning but on the 13th and 14th. */
static struct verdict month_with_days_not_read(struct given *given, const char *ceiling)
{
    size_t series = given_series(given, "outfall", "discharge-meter", KIND_PROBE);

    given->limit.parameter = "discharge-meter";
    given->limit.unit = "m3";
    given->limit.daily = DAILY_TOTAL;
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = given_decimal(ceiling);
    for (int day = 0; day <= 31; day++) {
        instant at = given_at("2026-03-01T08:00:00Z") + day * DAY_US;

        if (day != 12 && day != 13)
            given_add(given, series, at, arena_printf(given->mem, "%d", 1000 + 700 * day), "m3");
    }

    return given_verdict(given);
}

static void days_not_read_are_in_the_sum_with_what_they_have_together(void **state)
{
    struct given *given = *state;
    struct verdict verdict = month_with_days_not_read(given, "20000");

    assert_string_equal(verdict.words,
                        "outside: above 20000 (21700 m3, monthly sum of 28 daily totals and the "
                        "total of 3 more days, not above 20000 m3)");
    assert_string_equal(volume_on(given, &verdict, 12), "");
    assert_string_equal(volume_on(given, &verdict, 13), "");
    assert_string_equal(verdict.days[13].note, "the meter was not read between: 2100 m3 from 12 "
                                               "March 2026 to 14 March 2026 together");
    given->limit.bound.ceiling = (struct decimal){21700, 0};
    given->limit.least_coverage = (struct decimal){100, 0};
    given_assert(given, "within", "the total has no gap");
    given->limit.bound.ceiling = (struct decimal){700, 0};
    given->limit.least_coverage = (struct decimal){0};
    given->limit.statistic = STATISTIC_MAXIMUM;
    given_assert(given, "not assessable", "no one knows how much each of the three had");
}

/* 21700 m3 of 2 mg/L are 43.4 kg, by hand; without the 2100 m3 of three days it would be 39.2. */
static void a_meter_not_read_for_a_day_takes_no_water_out_of_one_load(void **state)
{
    struct given *given = *state;

    given->limit.flow = (struct limit_flow){"outfall", "discharge-meter"};
    given->limit.load_water = LOAD_MEAN_TIMES_VOLUME;
    given_samples(given, "3/09:00:1 13/09:00:2 25/09:00:3");
    (void)month_with_days_not_read(given, "1");
    given->limit.parameter = "suspended-solids";
    given->limit.unit = "kg";
    given->limit.daily = DAILY_LOAD;
    given->limit.bound.ceiling = (struct decimal){40, 0};

    struct verdict verdict = given_assert(given, "outside: above 40", "by the meter");

    assert_string_equal(verdict.words, "outside: above 40 (43.4 kg, monthly mean of 3 daily means "
                                       "times the volume, not above 40 kg)");
    given->limit.bound.ceiling = (struct decimal){44, 0};
    given_assert(given, "within", "all of the water is known");
    given->to = day_from_civil(2026, 3, 13);
    given_assert(given, "not assessable", "the difference reaches over the end");
}

static void a_difference_over_the_edge_of_the_period_stays_a_gap(void **state)
{
    struct given *given = *state;

    given->to = day_from_civil(2026, 3, 4);
    meter(given, "1/08:00:5000 2/08:00:5100 3/08:00:5200 6/08:00:6000");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){1000, 0};
    assert_string_equal(given_assert(given, "not assessable", "over the 4th").figure_text, "200");
    given->to = day_from_civil(2026, 3, 6);
    assert_string_equal(given_assert(given, "not assessable", "the 6th").figure_text, "1000");
    given->limit.bound.ceiling = (struct decimal){999, 0};
    given_assert(given, "outside: above 999", "whatever the 6th adds");
}

static void days_not_read_may_hold_days_without_discharge(void **state)
{
    struct given *given = *state;

    given->to = day_from_civil(2026, 3, 4);
    meter(given, "1/08:00:5000 4/08:00:5900 5/08:00:6000");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.only_while_discharging = true;
    given_day(given, 1, DISCHARGE_YES);
    given_day(given, 2, DISCHARGE_NONE);
    given_day(given, 3, DISCHARGE_YES);
    assert_string_equal(given_assert(given, "within", "900 and 100").words,
                        "within (1000 m3, monthly sum of 1 daily total and the total of 2 more "
                        "days, not above 1000 m3)");
    given->limit.only_while_discharging = false;
    given->limit.in_force_from = day_from_civil(2026, 3, 2);
    given->limit.change = CHANGE_NEW;
    given_assert(given, "within", "the new form judges all days");
    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;
    given_assert(given, "not assessable", "of each day by itself nothing is known");
}

static void a_fall_of_the_meter_within_days_not_read_keeps_the_sum_a_gap(void **state)
{
    struct given *given = *state;

    given->to = day_from_civil(2026, 3, 5);
    meter(given, "1/08:00:5000 2/08:00:5700 4/08:00:300 5/08:00:400 6/08:00:6000");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){2000, 0};
    given_assert(given, "not assessable", "reset or misread");
    given->limit.bound.ceiling = (struct decimal){699, 0};
    given_assert(given, "outside: above 699", "the first day is beyond it by itself");
}

/* 439814 written for 439184: the next reading is lower, and no day on either side is known. */
static void a_reading_that_the_next_one_is_below_makes_no_day_outside(void **state)
{
    struct given *given = *state;

    given->to = day_from_civil(2026, 3, 5);
    given->limit.day_starts_hour = 8;
    meter(given, "1/08:00:437796 2/08:00:438485 3/08:00:439814 4/08:00:439775 5/08:00:440450 "
                 "6/08:00:441064");
    given->limit.bound.ceiling = (struct decimal){900, 0};
    given->limit.period = PERIOD_DAY;
    given->limit.statistic = STATISTIC_VALUE;

    struct verdict verdict = given_assert(given, "not assessable", "1329 m3 may be misread");

    assert_non_null(strstr(verdict.words, "the meter was reset or misread (439814, then 439775) "
                                          "on 2 March 2026"));
    assert_string_equal(volume_on(given, &verdict, 1), "689");
    assert_string_equal(volume_on(given, &verdict, 2), "");
    assert_string_equal(volume_on(given, &verdict, 3), "");
    assert_string_equal(volume_on(given, &verdict, 4), "");
    assert_string_equal(volume_on(given, &verdict, 5), "614");
    given->limit.bound.ceiling = (struct decimal){3268, 0};
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given_assert(given, "within", "441064 less 437796, whichever of the two is wrong");
}

static void a_total_counts_only_the_series_that_the_clause_accepts(void **state)
{
    struct given *given = *state;

    given->to = given->from;
    meter(given, "1/08:00:5000 2/08:00:5700");
    given->limit.kinds = KIND_PROBE;
    assert_string_equal(given_assert(given, "not assessable", "a person read this one").reason,
                        "the meter was not read on 1 March 2026");
    given->limit.kinds = KIND_BY_HAND;
    given_assert(given, "within", "by hand");
    given->limit.position = "north";
    given_assert(given, "not assessable", "of no position");
}

static void the_day_that_runs_has_no_total_yet(void **state)
{
    struct given *given = *state;

    given->to = day_from_civil(2026, 3, 2);
    given->evidence.now = given_at("2026-03-02T10:00:00Z");
    meter(given, "1/08:00:5000 2/08:00:5700");

    struct verdict verdict = given_assert(given, "so far within", "700 on the 1st");

    assert_string_equal(verdict.days[1].note, "the day still runs");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_meter_that_is_read_in_litres_counts_no_cubic_metres),
        CASE(a_meter_read_for_part_of_a_day_has_no_volume_of_it),
        CASE(a_meter_gives_the_volume_of_the_day_its_reading_began),
        CASE(a_meter_rolls_over_and_is_replaced),
        CASE(a_difference_over_several_days_is_shared_only_where_allowed),
        CASE(a_multiplier_and_the_unit_of_the_clause),
        CASE(a_monthly_sum_lacks_nothing_or_is_not_assessable),
        CASE(days_not_read_are_in_the_sum_with_what_they_have_together),
        CASE(a_meter_not_read_for_a_day_takes_no_water_out_of_one_load),
        CASE(a_difference_over_the_edge_of_the_period_stays_a_gap),
        CASE(days_not_read_may_hold_days_without_discharge),
        CASE(a_fall_of_the_meter_within_days_not_read_keeps_the_sum_a_gap),
        CASE(a_reading_that_the_next_one_is_below_makes_no_day_outside),
        CASE(a_total_counts_only_the_series_that_the_clause_accepts),
        CASE(the_day_that_runs_has_no_total_yet),
    };

    return cmocka_run_group_tests_name("judge/volume", tests, NULL, NULL);
}
