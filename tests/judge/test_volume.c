#include "judge/given.h"

/* Volumes of days from meters and flows, daily totals, and loads. */

/* A load of BOD by the flow of the day, in lb/day with the factor 8.34. */
static void load_in_pounds(struct given *given)
{
    given->limit.parameter = "bod5";
    given->limit.unit = "lb/day";
    given->limit.daily = DAILY_LOAD;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.load_factor = "8.34";
    given->limit.load_flow_unit = "MGD";
    given->limit.load_concentration_unit = "mg/L";
    given->limit.bound.ceiling = (struct decimal){3153, 2};
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 2};
}

/*
 * wastewater101.net study page on discharge monitoring reports, January 2019, which follows the
 * Texas permit conventions: daily loads 34.86, 48.37, 27.02 and 15.85, daily average loading 31.53
 * lb/day. Average flow times average concentration times 8.34 is 31.2958: wrong for this rule.
 */
static void the_printed_month_of_flows_and_bod(void **state)
{
    static const struct {
        int day;
        const char *load;
    } loads[] = {{3, "34.86"}, {10, "48.37"}, {17, "27.02"}, {24, "15.85"}};
    struct given *given = *state;

    load_in_pounds(given);
    given_readings(given, given_series(given, "outfall", "bod5", KIND_GRAB),
                   "3:22.00 10:29.00 17:18.00 24:10.00", "mg/L");
    given_readings(given, given_series(given, "outfall", "flow", KIND_BY_HAND),
                   "3:0.19 10:0.20 17:0.18 24:0.19", "MGD");

    struct verdict verdict = given_assert(given, "within", "31.53 is not above 31.53");

    assert_string_equal(verdict.compared_text, "31.53");
    assert_string_equal(verdict.figure_text, "31.5252");
    assert_int_equal(verdict.samples, 4);
    for (size_t i = 0; i < ARRAY_LEN(loads); i++)
        assert_string_equal(exact_rounded_text(given->mem, verdict.days[loads[i].day - 1].figure,
                                               given->limit.rounding),
                            loads[i].load);
    given->limit.bound.ceiling = (struct decimal){3130, 2};
    given_assert(given, "outside: above 31.30",
                 "the average of products is not the product of "
                 "averages");
}

/* 10 L/s read by a meter and 12 worked out from a weir are not 22, nor something in between. */
static void water_read_and_worked_out_at_one_place_is_not_counted_twice(void **state)
{
    static const struct {
        unsigned kind;
        const char *flow;
        unsigned kind_beside; /* 0: none */
        const char *load;     /* kg/day of 1 mg/L */
        const char *reason;
    } rows[] = {
        {KIND_PROBE, "3/00:00:10", 0, "0.864", "read"},
        {KIND_DERIVED, "3/00:00:12", 0, "1.0368", "worked out"},
        {KIND_PROBE, "3/00:00:10", KIND_DERIVED, "1.0368", "worked out beside it"},
        {KIND_DERIVED, "3/00:00:12", KIND_PROBE, "1.0368", "in either order"},
    };
    struct given *given = *state;

    load_in_pounds(given);
    given->limit.unit = "kg/day";
    given->limit.load_factor = NULL;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given_readings(given, given_series(given, "outfall", "bod5", KIND_GRAB), "3:1", "mg/L");
        given_readings(given, given_series(given, "outfall", "flow", rows[i].kind), rows[i].flow,
                       "L/s");
        if (rows[i].kind_beside)
            given_readings(given, given_series(given, "outfall", "flow", rows[i].kind_beside),
                           rows[i].kind_beside == KIND_DERIVED ? "3/00:00:12" : "3/12:00:10",
                           "L/s");
        assert_string_equal(given_assert(given, "within", rows[i].reason).figure_text,
                            rows[i].load);
    }
}

/* Exact by the units, one US pound a day of 0.19 MGD and 22 mg/L is 34.88 and not 34.86. */
static void the_factor_is_the_licences_or_exact(void **state)
{
    struct given *given = *state;

    load_in_pounds(given);
    given->limit.load_factor = NULL;
    given_readings(given, given_series(given, "outfall", "bod5", KIND_GRAB), "3:22", "mg/L");
    given_readings(given, given_series(given, "outfall", "flow", KIND_BY_HAND), "3:0.19", "MGD");
    assert_string_equal(given_verdict(given).compared_text, "34.88");
}

/* 720 m3/day of 22 mg/L is 15.84 kg/day: m3/day times mg/L over 1000, exact. */
static const struct {
    const char *flow;
    const char *unit;
    const char *load;
} kilograms[] = {
    {"720", "m3/day", "15.84"}, {"0.72", "ML/day", "15.84"}, {"30", "m3/h", "15.84"},
    {"500", "L/min", "15.84"},  {"0.01", "m3/s", "19.008"},
};

static void load_in_kilograms(struct given *given, const char *water)
{
    given->limit.unit = "kg/day";
    given->limit.daily = DAILY_LOAD;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_DAY;
    given->limit.flow = (struct limit_flow){"outfall", water};
}

static void loads_in_kilograms_are_exact(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    for (size_t i = 0; i < ARRAY_LEN(kilograms); i++) {
        given_again(given);
        given_samples(given, "3:22");
        given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                       arena_printf(given->mem, "3:%s", kilograms[i].flow), kilograms[i].unit);
        assert_string_equal(given_verdict(given).figure_text, kilograms[i].load);
    }
}

/* Flow-weighted worked table: daily loads 3.6 4.2 2.6 8.1 16.8 5.6, sum 40.9, mean 6.81667. */
static void the_sum_and_mean_of_a_table_of_loads(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given->limit.period = PERIOD_MONTH;
    given->from = day_from_civil(2026, 3, 1);
    given->to = day_from_civil(2026, 3, 6);
    given_samples(given, "1:5 2:6 3:4 4:9 5:14 6:7");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "1:720 2:700 3:650 4:900 5:1200 6:800", "m3/day");
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){409, 1};
    assert_string_equal(given_assert(given, "within", "40.9 is not above 40.9").figure_text,
                        "40.9");
    given->limit.statistic = STATISTIC_MEAN;
    assert_string_equal(given_verdict(given).figure_text, "6.81666666667");
}

static void days_with_flow_and_no_result(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.bound.ceiling = (struct decimal){100, 0};
    given->to = day_from_civil(2026, 3, 3);
    given_samples(given, "1:20 3:10");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE),
                   "1:1000 2:2000 3:1000", "m3/day");

    struct verdict verdict = given_assert(given, "not assessable", "the sum lacks a day");

    assert_string_equal(verdict.reason, "flow and no result on 2 March 2026");
    assert_string_equal(verdict.days[1].note, "flow and no result");
    given->limit.bound.ceiling = (struct decimal){25, 0};
    given_assert(given, "outside: above 25", "30 already, whatever the day had");

    given->limit.load_gap = LOAD_GAP_PERIOD_MEAN;
    given->limit.bound.ceiling = (struct decimal){60, 0};
    verdict = given_assert(given, "within", "the mean of 20 and 10 stands in: 30 more");
    assert_string_equal(verdict.figure_text, "60");
    assert_true(verdict.days[1].filled);
    assert_false(verdict.days[0].filled);

    given->limit.load_gap = LOAD_GAP_LEFT_OUT;
    given->limit.statistic = STATISTIC_MEAN;
    verdict = given_assert(given, "within", "a mean is over days with a result");
    assert_string_equal(verdict.figure_text, "15");
    assert_int_equal(verdict.samples, 2);
}

static void a_day_without_flow_adds_nothing_to_a_sum_and_is_in_no_mean(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given->limit.period = PERIOD_MONTH;
    given->limit.statistic = STATISTIC_SUM;
    given->to = day_from_civil(2026, 3, 2);
    given_samples(given, "1:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "1:1000 2:0",
                   "m3/day");
    assert_string_equal(given_assert(given, "within", "nothing flowed").figure_text, "20");
    given->limit.statistic = STATISTIC_MEAN;
    assert_string_equal(given_assert(given, "within", "the mean of one day").figure_text, "20");
}

static void a_result_without_a_flow_has_no_load(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given_samples(given, "1:20 3:10");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "1:1000", "m3/day");
    assert_string_equal(given_assert(given, "not assessable", "no flow on the 3rd").reason,
                        "no flow known on 3 March 2026");
    given->limit.bound.ceiling = (struct decimal){15, 0};
    given_assert(given, "outside: above 15", "20 on the 1st");
}

static void a_load_of_a_less_than(void **state)
{
    static const struct {
        enum less_than_rule rule;
        const char *sample;
        const char *standing;
        const char *reason;
    } rows[] = {
        {LESS_THAN_HALF, "3:<20", "within", "10 kg, and 20 at most"},
        {LESS_THAN_HALF, "3:<40", "not assessable", "20 kg, and 40 at most"},
        {LESS_THAN_HALF, "3:<80", "outside: above 30", "40 kg by the clause's own rule"},
        {LESS_THAN_UNSET, "3:<20", "not assessable", "no rule"},
    };
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.less_than = rows[i].rule;
        given_samples(given, rows[i].sample);
        given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:1000",
                       "m3/day");
        given_assert(given, rows[i].standing, rows[i].reason);
    }
}

static void a_doubtful_flow_can_stop_and_never_clear(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:2000?", "m3/day");
    assert_true(given_assert(given, "outside: above 30", "40 kg with it").rests_on_doubt);
    given_again(given);
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:1000?", "m3/day");
    given_assert(given, "not assessable", "20 kg only with it");
}

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

static void the_flow_of_a_load_is_taken_from_any_kind(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given->to = given->from;
    given->limit.kinds = KIND_GRAB;
    given_samples(given, "1:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "1:1000", "m3/day");
    assert_string_equal(given_assert(given, "within", "20 kg by a probe's flow").figure_text, "20");
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

static void a_flow_that_is_only_known_to_be_more_clears_nothing(void **state)
{
    struct given *given = *state;

    load_in_kilograms(given, "flow");
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:>1000", "m3/day");
    given_assert(given, "not assessable", "20 kg and more");
    given_again(given);
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "3:<1000", "m3/day");
    assert_string_equal(given_assert(given, "within", "20 kg at most").figure_text, "20");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(the_printed_month_of_flows_and_bod),
        CASE(water_read_and_worked_out_at_one_place_is_not_counted_twice),
        CASE(the_factor_is_the_licences_or_exact),
        CASE(loads_in_kilograms_are_exact),
        CASE(the_sum_and_mean_of_a_table_of_loads),
        CASE(days_with_flow_and_no_result),
        CASE(a_day_without_flow_adds_nothing_to_a_sum_and_is_in_no_mean),
        CASE(a_result_without_a_flow_has_no_load),
        CASE(a_meter_that_is_read_in_litres_counts_no_cubic_metres),
        CASE(a_meter_read_for_part_of_a_day_has_no_volume_of_it),
        CASE(a_load_of_a_less_than),
        CASE(a_doubtful_flow_can_stop_and_never_clear),
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
        CASE(the_flow_of_a_load_is_taken_from_any_kind),
        CASE(the_day_that_runs_has_no_total_yet),
        CASE(a_flow_that_is_only_known_to_be_more_clears_nothing),
    };

    return cmocka_run_group_tests_name("judge/volume", tests, NULL, NULL);
}
