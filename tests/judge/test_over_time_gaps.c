#include "judge/given.h"

/* What changes and rates say where a reading lacks or is no number. */

static size_t probe(struct given *given, const char *text)
{
    size_t series = given_series(given, "outfall", given->limit.parameter, KIND_PROBE);

    given_readings(given, series, text, given->limit.unit);

    return series;
}

static void of_temperature(struct given *given, enum limit_statistic statistic, const char *ceiling)
{
    given_again(given);
    given->limit.parameter = "temperature";
    given->limit.unit = "degC";
    given->limit.statistic = statistic;
    given->limit.settings.change_span_s = 3600;
    given->limit.settings.rate_per_s = 3600;
    given->limit.bound.ceiling = given_decimal(ceiling);
}

/*
 * 15 degC until 10:30 and 25 from 13:00: some hour of these had a third of it at least. Two
 * harmless neighbours at either end say nothing of what was between.
 */
static void a_change_hidden_in_a_gap_is_never_within(void **state)
{
    static const struct {
        enum limit_statistic statistic;
        const char *readings;
        const char *ceiling;
        bool covers;
        const char *standing;
        const char *reason;
    } rows[] = {
        {STATISTIC_CHANGE, "3/10:00:15 3/10:30:15 3/13:00:25 3/13:30:25", "2.0", false,
         "outside: above 2.0", "10 in 2.5 hours: 3.3 in one of three"},
        {STATISTIC_CHANGE, "3/10:00:15 3/10:30:15 3/13:00:25 3/13:30:25", "4.0", false,
         "not assessable", "or all of it in one"},
        {STATISTIC_CHANGE, "3/10:00:15 3/10:30:15 3/13:00:15 3/13:30:15", "2.0", false,
         "not assessable", "it may have gone up and down"},
        {STATISTIC_CHANGE, "3/10:00:15 3/10:30:15 3/11:30:15", "2.0", false, "within",
         "an hour is no more than the span"},
        {STATISTIC_CHANGE, "3/10:00:15 3/10:30:15 3/13:00:15", "2.0", true, "within",
         "so much need not be covered"},
        {STATISTIC_RATE, "3/10:00:15 3/10:30:15 3/13:00:25", "2.0", true, "outside: above 2.0",
         "4 an hour, however little is covered"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        of_temperature(given, rows[i].statistic, rows[i].ceiling);
        given->limit.reading_stands_s = rows[i].covers ? 7200 : 0;
        given->limit.least_coverage = (struct decimal){rows[i].covers ? 1 : 0, 3};
        probe(given, rows[i].readings);
        given_assert(given, rows[i].standing, rows[i].reason);
    }
}

/* 15 and <17 where the clause says nothing of less-thans: it may have been 15, or 16.9. */
static void a_less_than_without_a_rule_shows_no_change(void **state)
{
    struct given *given = *state;

    of_temperature(given, STATISTIC_CHANGE, "1.0");
    probe(given, "3/10:00:15 3/10:30:<17");
    given_assert(given, "not assessable", "nobody knows");
    of_temperature(given, STATISTIC_CHANGE, "1.0");
    probe(given, "3/10:00:15 3/10:10:<17 3/10:30:18");
    given_assert(given, "outside: above 1.0", "15 to 18, whatever was between");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_change_hidden_in_a_gap_is_never_within),
        CASE(a_less_than_without_a_rule_shows_no_change),
    };

    return cmocka_run_group_tests_name("judge/over_time_gaps", tests, NULL, NULL);
}
