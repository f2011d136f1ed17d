#include "judge/beside.h"
#include "judge/explain.h"
#include "judge/given.h"

static struct explanation explained(struct given *given)
{
    static const struct explain_choices choices = {.names = NULL};
    struct verdict verdict = given_verdict(given);

    return judge_explain(given->mem, &verdict, &given->evidence, &choices);
}

static void assert_lines(const struct explanation *lines, const char *const *expected, size_t count)
{
    for (size_t i = 0; i < lines->count && i < count; i++)
        assert_string_equal(lines->items[i], expected[i]);
    assert_int_equal(lines->count, count);
}

static void a_mean_is_explained_from_its_readings_to_its_verdict(void **state)
{
    static const char *const expected[] = {
        "Suspended solids: monthly mean not above 30 mg/L",
        "clause: Table 1, row 1 of licence example, version 2026-01-01, decided by "
        "example-authority",
        "in its own words: The monthly mean shall not exceed 30 mg/L.",
        "period: 1 March 2026 to 31 March 2026, that is from 2026-03-01 00:00 until 2026-04-01 "
        "00:00 in UTC",
        "readings: suspended-solids at outfall",
        "  2026-03-03 12:00: 10 mg/L, sample S-1, counted as 10 [file 1 line 2 column 1]",
        "  2026-03-10 12:00: <5 mg/L, counted as the number 2.5 [file 1 line 3 column 1]",
        "  2026-03-17 12:00: 90 mg/L, not counted (left out: bottle broken) [file 1 line 4 column "
        "1]",
        "  2026-03-24 12:00: 12 mg/L, first 21 mg/L, corrected by ana and bo, 2026-04-02 09:00: "
        "two digits changed places, counted as 12 [file 1 line 5 column 1]",
        "  2026-03-25 12:00: 11 mg/L, not counted (in doubt: calibration overdue) [file 1 line 6 "
        "column 1]",
        "less-thans stand for: half; greater-thans: refused",
        "asked for at least 3 samples",
        "figure: 8.16666666667 mg/L, monthly mean of 3 samples",
        "rounded half up to 1 decimal: 8.2",
        "compared: 8.2 with not above 30 mg/L",
        "verdict: within (8.2 mg/L, monthly mean of 3 samples, not above 30 mg/L)",
    };
    struct given *given = *state;

    const struct beside_corrected corrected = {
        "ana", "bo",
        instant_from_utc(&(struct civil){.year = 2026, .month = 4, .day = 2, .hour = 9}),
        "two digits changed places"};
    const struct reading_beside beside = {.corrected = &corrected};

    given->limit.licence_version = "2026-01-01";
    given->limit.wording = "The monthly mean shall not exceed 30 mg/L.";
    given->limit.less_than = LESS_THAN_HALF;
    given->limit.least_samples = 3;
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 1};
    given_samples(given, "3:10 10:<5 17:90! 24:12 25:11?");
    given->readings[0][0].sample = "S-1";
    given->readings[0][3].corrected = true;
    given->readings[0][3].first_reported = (struct decimal){.coefficient = 21};
    given->readings[0][3].first_unit = "mg/L";
    given->readings[0][3].beside = &beside;

    struct explanation lines = explained(given);

    assert_lines(&lines, expected, ARRAY_LEN(expected));
}

/* A difference, its less-than by the rule, and the discharge sample that has no partner. */
static void each_pair_of_two_places_is_explained(void **state)
{
    static const char *const expected[] = {
        "compared with intake: difference of each pair",
        "  2026-03-03 12:00: 20 less <5 mg/L (intake, 2026-03-03 08:30, counted as 2.5) = 17.5",
        "  2026-03-04 12:00: <8 mg/L (counted as 4) less 2 (intake, 2026-03-04 08:30) = 2",
        "  2026-03-05 12:00, sample O-3: 36: no paired intake sample",
    };
    struct given *given = *state;
    size_t found = 0;

    given->limit.daily = DAILY_EVERY;
    given->limit.less_than = LESS_THAN_HALF;
    given->limit.against = (struct limit_against){
        .kind = AGAINST_DIFFERENCE, .place = {"intake", NULL}, .pairing = PAIR_SAME_DAY};
    given_samples(given, "3:20 4:<8 5:36");
    given->readings[0][2].sample = "O-3";
    given_readings(given, given_series(given, "intake", "suspended-solids", KIND_GRAB),
                   "3/08:30:<5 4/08:30:2", "mg/L");

    struct explanation lines = explained(given);

    while (found < lines.count && strcmp(lines.items[found], expected[0]) != 0)
        found++;
    assert_true(found + ARRAY_LEN(expected) <= lines.count);
    for (size_t i = 0; i < ARRAY_LEN(expected); i++)
        assert_string_equal(lines.items[found + i], expected[i]);
}

static void a_load_is_explained_day_by_day(void **state)
{
    static const char *const expected[] = {
        "Suspended solids: monthly sum of daily loads not above 30 kg/day",
        "clause: Table 1, row 1 of licence example, decided by example-authority",
        "nobody has confirmed yet that this form says what the licence says",
        "period: 1 March 2026 to 3 March 2026, that is from 2026-03-01 00:00 until 2026-03-04 "
        "00:00 in UTC; it still runs",
        "readings: suspended-solids at outfall by grab samples or composite samples, only while "
        "discharging",
        "  the clause also says: days without a result: left out",
        "  2026-03-01 12:00: 20 mg/L, counted as 20 [file 1 line 2 column 1]",
        "each day first: load",
        "  load = mean concentration of the day x water of the day x factor; water from flow at "
        "outfall; factor 0.001, by the units",
        "  1 March 2026: 1 reading, discharging (the outlet was open), mean concentration 20, "
        "water 1000 m3, load 20 kg/day; a flow was held for 12 hours until the next",
        "  2 March 2026: 0 readings, no discharge (outlet shut all day); no discharge that day: "
        "outlet shut all day",
        "  3 March 2026: 0 readings, discharge not known, so it counts as discharging; the day "
        "still runs",
        "figure: 20 kg/day, monthly sum of 1 daily load",
        "not rounded: 20",
        "compared: 20 with not above 30 kg/day",
        "verdict: so far not assessable: not confirmed: nobody has compared this clause with the "
        "licence (20 kg/day, monthly sum of 1 daily load, not above 30 kg/day)",
    };
    struct given *given = *state;

    given->limit.unit = "kg/day";
    given->limit.kinds = KIND_GRAB | KIND_COMPOSITE;
    given->limit.daily = DAILY_LOAD;
    given->limit.statistic = STATISTIC_SUM;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.only_while_discharging = true;
    given->limit.confirmed = false;
    given->to = day_from_civil(2026, 3, 3);
    given->evidence.now = given_at("2026-03-03T18:00:00Z");
    given_day(given, 1, DISCHARGE_YES);
    given_day(given, 2, DISCHARGE_NONE);
    given_samples(given, "1:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "1:1000", "m3/day");

    struct explanation lines = explained(given);

    assert_lines(&lines, expected, ARRAY_LEN(expected));
}

static bool has_line(const struct explanation *lines, const char *part)
{
    for (size_t i = 0; i < lines->count; i++)
        if (strstr(lines->items[i], part))
            return true;

    return false;
}

static void doubt_and_rows_set_aside_are_named(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given_samples(given, "3:<5 10:40?");
    given_row(given, INSTANT_NONE, "11", "mg/L");

    struct explanation lines = explained(given);

    assert_true(has_line(&lines, "40 mg/L, counted as 40, beyond the bound, though in doubt "
                                 "(calibration overdue)"));
    assert_true(has_line(&lines, "rows set aside that could belong here: 1"));
    assert_true(has_line(&lines, "  the reading of 2026-03-10 12:00 (calibration overdue) [file 1 "
                                 "line 3 column 1]"));
    assert_true(has_line(&lines, "less-thans and greater-thans stand for every value they allow"));
    assert_true(has_line(&lines, "this rests on evidence in doubt"));
}

/* "by the rule" and "stated" alone did not say which number stood there. */
static void the_numbers_that_stand_for_less_and_greater_thans_are_named(void **state)
{
    struct given *given = *state;

    given->limit.less_than = LESS_THAN_STATED;
    given->limit.less_than_stated = (struct decimal){5, 1};
    given->limit.greater_than = GREATER_THAN_STATED;
    given->limit.greater_than_stated = (struct decimal){80, 0};
    given->limit.change = CHANGE_OLD;
    given_samples(given, "3:<5 10:>60");

    struct explanation lines = explained(given);

    assert_true(has_line(&lines, "less-thans stand for: stated 0.5; greater-thans: stated 80"));
    assert_true(has_line(&lines, "  the clause also says: across a change: old"));

    given_again(given);
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.single_less_than = SINGLE_BY_RULE;
    given->limit.less_than = LESS_THAN_STEP_BELOW;
    given->limit.change = CHANGE_UNSET;
    given_samples(given, "3:<5 10:20");
    lines = explained(given);
    assert_true(has_line(&lines, "a less-than against the bound by itself: by the rule, which is "
                                 "step below"));
}

/* It said 44 mg/L, 1 of 3 samples, and listed two readings. */
static void a_row_set_aside_that_decided_is_listed_with_what_it_can_do(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given_samples(given, "3:10 10:12");
    given_row(given, given_at("2026-03-17T12:00:00Z"), "44", "mg/L")->reason = "no such sample";

    struct explanation lines = explained(given);

    assert_true(has_line(&lines, "  2026-03-17 12:00: 44 mg/L (no such sample) [file 1 line 12 "
                                 "column 3]: counted as 44, beyond the bound, though set aside"));
    assert_true(
        has_line(&lines, "  the row set aside, 2026-03-17 12:00: 44 mg/L (no such sample)"));
    assert_true(
        has_line(&lines, "it can make the verdict outside or not assessable, never within"));
}

static void a_row_without_a_readable_unit_is_explained_otherwise_than_one_with(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10");
    given_row(given, given_at("2026-03-17T12:00:00Z"), "44", NULL);

    struct explanation lines = explained(given);

    assert_true(has_line(&lines, "44 (unit not readable) (the unit can't be read) [file 1 line 12 "
                                 "column 3]: by the units its parameter allows it is from "));
    assert_true(has_line(&lines, "it makes the verdict not assessable, never outside"));
    given_again(given);
    given_samples(given, "3:10");
    given_row(given, INSTANT_NONE, NULL, NULL);
    lines = explained(given);
    assert_true(has_line(&lines, "  time not known: no number (the unit can't be read) [file 1 "
                                 "line 12 column 3]: it could have been any number"));
    assert_true(has_line(&lines, "until a person answers it"));
}

static struct explain_place place_name(void *context, struct origin origin)
{
    return (struct explain_place){.file = origin.receipt == 1 ? context : NULL,
                                  .sheet = origin.receipt == 1 && origin.line == 5 ? "May" : NULL,
                                  .line = origin.line};
}

static void files_are_called_by_their_names(void **state)
{
    char name[] = "lab-2026-03.csv";
    struct given *given = *state;
    const struct explain_names names = {.context = name, .place = place_name};
    const struct explain_choices choices = {.names = &names};

    given_samples(given, "3:10 10:12");
    given->readings[0][1].origin = (struct origin){7, 4, 6};

    struct verdict verdict = given_verdict(given);
    struct explanation lines = judge_explain(given->mem, &verdict, &given->evidence, &choices);

    assert_true(has_line(&lines, "10 mg/L, counted as 10 [lab-2026-03.csv line 2 column 1]"));
    assert_true(has_line(&lines, "12 mg/L, counted as 12 [file 7 line 4 column 6]"));
}

/* A probe read every hour of the month, at 7.10 by night and 7.90 by day; one reading too high. */
static void a_probes_month_is_told_by_day_unless_every_reading_is_asked_for(void **state)
{
    struct given *given = *state;
    const struct explain_choices every = {.every_reading = true};
    size_t series = given_series(given, "outfall", "suspended-solids", KIND_PROBE);

    given->limit.statistic = STATISTIC_VALUE;
    for (int hour = 0; hour < 31 * 24; hour++)
        given_add(given, series, given_at("2026-03-01T00:00:00Z") + hour * HOUR_US,
                  hour == 50            ? "44"
                  : hour % 24 / 12 == 0 ? "7.10"
                                        : "7.90",
                  "mg/L");
    given->readings[series][60].doubt = "calibration overdue";
    given->readings[series][100].left_out = "in the air";
    given->readings[series][110].corrected = true;
    given->readings[series][110].first_reported = (struct decimal){.coefficient = 97, .scale = 1};
    given->readings[series][110].first_unit = "mg/L";

    struct verdict verdict = given_verdict(given);
    struct explanation lines = explained(given);
    size_t short_count = lines.count;

    assert_true(lines.shortened);
    assert_true(short_count < 50);
    assert_true(
        has_line(&lines, "  1 March 2026: 24 readings, lowest 7.10 mg/L, highest 7.90 mg/L"));
    assert_true(has_line(&lines,
                         "  5 March 2026: 24 readings, lowest 7.10 mg/L, highest 7.90 mg/L, "
                         "1 not counted (left out: in the air)"));
    assert_true(has_line(&lines, "  2026-03-03 02:00: 44 mg/L, counted as 44, beyond the bound"));
    assert_true(has_line(&lines, "  2026-03-03 12:00: 7.90 mg/L, not counted (in doubt"));
    assert_true(has_line(&lines, "  2026-03-05 04:00: 7.10 mg/L, not counted (left out"));
    assert_true(has_line(&lines, "  2026-03-05 14:00: 7.90 mg/L, first 9.7 mg/L"));
    lines = judge_explain(given->mem, &verdict, &given->evidence, &every);
    assert_false(lines.shortened);
    assert_true(lines.count > 31 * 24);
    assert_false(has_line(&lines, "24 readings"));
}

static void readings_that_the_clause_does_not_accept_are_told(void **state)
{
    struct given *given = *state;

    given->limit.kinds = KIND_BY_HAND;
    given_samples(given, "3:10 10:12");

    struct explanation lines = explained(given);

    assert_true(has_line(&lines,
                         "  2 more of the same place are not taken: their kind or position is "
                         "not one that the clause accepts"));
}

static void what_the_clause_asks_of_readings_is_told(void **state)
{
    static const char *const methods[] = {"filter and weigh", "by light"};
    static const char *const takers[] = {"kim"};
    struct given *given = *state;
    struct explanation lines;

    given->limit.methods = methods;
    given->limit.method_count = 2;
    given->limit.takers = takers;
    given->limit.taker_count = 1;
    given->limit.accredited = true;
    given->limit.hours = (struct limit_hours){true, 8 * 60, 17 * 60 + 30};
    given->limit.season = (struct limit_season){true, 1101, 331};
    given->limit.tide = (struct limit_tide){TIDE_HIGH, "harbour", 3600, 9000};
    given->limit.applies_while =
        (struct limit_while){.other = {.station = "river", .parameter = "flow", .unit = "m3/s"},
                             .has_above = true,
                             .above = {20, 1},
                             .within_s = 1800};
    lines = explained(given);
    assert_true(has_line(&lines,
                         "readings: suspended-solids at outfall, method filter and weigh or "
                         "by light"));
    assert_true(has_line(&lines, "  only taken by kim; by a laboratory accredited on the day"));
    assert_true(has_line(&lines,
                         "  the clause applies each year from 1 November to 31 March; from 08:00 "
                         "to 17:30; from 1 h before to 2 h 30 min after high water by the table "
                         "'harbour'; while flow at river is above 2.0 m3/s, by a reading at most "
                         "30 min old"));
}

static void a_reading_s_own_bound_is_worked_out_in_words(void **state)
{
    struct given *given = *state;
    struct explanation lines;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.bound = (struct limit_bound){.has_ceiling = false};
    given->limit.bound_by = (struct limit_bound_by){
        .kind = BOUND_LINEAR,
        .others = {{.station = "outfall", .parameter = "temperature", .unit = "degC"}},
        .other_count = 1,
        .within_s = 3600,
        .offset = {50, 1},
        .factor = {1, 1}};
    given_samples(given, "10:7.0");
    given_readings(given, given_series(given, "outfall", "temperature", KIND_PROBE),
                   "10/12:30:10.0", "degC");
    lines = explained(given);
    assert_true(has_line(&lines, "  each is held against a bound of its own, by what was read "
                                 "within 1 h of it: 5.0 + 0.1 x temperature"));
    assert_true(has_line(&lines,
                         "  2026-03-10 12:00: 7.0 mg/L, with temperature at outfall 10.0 degC "
                         "(2026-03-10 12:30), so its bound is 6 mg/L, counted as 7, beyond the "
                         "bound"));
}

static void a_state_is_told_by_its_word(void **state)
{
    struct given *given = *state;
    struct explanation lines;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_EACH_SAMPLE;
    given->limit.parameter = "oil-film";
    given->limit.unit = NULL;
    given->limit.bound = (struct limit_bound){.has_ceiling = false};
    given->limit.bound_by =
        (struct limit_bound_by){.kind = BOUND_STATE, .state = "seen", .state_is_outside = true};
    given_readings(given, given_series(given, "outfall", "oil-film", KIND_BY_HAND), "10:0", "seen");
    lines = explained(given);
    assert_true(has_line(&lines, "  2026-03-10 12:00: seen, counted, beyond the bound"));
}

static bool says(const struct explanation *lines, const char *text)
{
    for (size_t i = 0; i < lines->count; i++)
        if (strcmp(lines->items[i], text) == 0)
            return true;

    return false;
}

static void assert_says(const struct explanation *lines, const char *text)
{
    if (says(lines, text))
        return;
    for (size_t i = 0; i < lines->count; i++)
        print_message("%s\n", lines->items[i]);
    fail_msg("nothing says: %s", text);
}

static void windows_are_explained_one_by_one(void **state)
{
    struct given *given = *state;

    given->limit.period = PERIOD_RUNNING_DAYS;
    given->limit.running_days = 2;
    given->limit.rounding = (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, 0};
    given->from = day_from_civil(2026, 3, 2);
    given->to = day_from_civil(2026, 3, 4);
    given_samples(given, "1:20 2:30 3:41 4:10");

    struct explanation lines = explained(given);

    assert_says(&lines, "3 windows, each of which has to keep the bound");
    assert_says(&lines, "  the 2 days to 2 March 2026: 2 values, 25 mg/L, compared as 25: within");
    assert_says(&lines, "  the 2 days to 3 March 2026: 2 values, 35.5 mg/L, compared as 36: "
                        "outside, above");
    assert_says(&lines, "verdict: outside: above 30 (36 mg/L, mean of 2 samples in the 2 days to 3 "
                        "March 2026; 1 of 3 windows, not above 30 mg/L)");
}

static void a_long_list_of_windows_is_told_by_what_stands_out(void **state)
{
    struct given *given = *state;
    struct verdict verdict;
    static const struct explain_choices all = {.every_reading = true};

    given->limit.period = PERIOD_RUNNING_DAYS;
    given->limit.running_days = 1;
    given->to = day_from_civil(2026, 3, 20);
    given_samples(given, "1:20 2:20 3:20 4:20 5:20 6:20 7:20 8:44 9:20 10:20 11:20 12:20 13:20 "
                         "14:20 15:20 16:20 17:20 18:20 19:20 20:20");

    struct explanation lines = explained(given);

    assert_true(lines.shortened);
    assert_says(&lines, "  19 more are within");
    assert_says(&lines, "  the 1 days to 8 March 2026: 1 value, 44 mg/L, compared as 44: outside, "
                        "above");
    verdict = given_verdict(given);
    lines = judge_explain(given->mem, &verdict, &given->evidence, &all);
    assert_says(&lines, "  the 1 days to 9 March 2026: 1 value, 20 mg/L, compared as 20: within");
}

static void a_percentile_names_its_rank(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_PERCENTILE;
    given->limit.settings.percent = (struct decimal){90, 0};
    given->limit.settings.percentile_rule = "Hazen";
    given_samples(given, "1:10 2:20 3:25 4:26");

    struct explanation lines = explained(given);

    assert_says(&lines, "statistic: 90th percentile (Hazen): the value at rank n p + 1/2 of n in "
                        "order of size");
}

static void periods_one_after_the_other_are_listed(void **state)
{
    struct given *given = *state;

    given->limit.across_outside = 2;
    given->limit.across_of = 2;
    size_t series = given_samples(given, "10:40");

    given->readings[series][0].at = given_at("2026-02-10T12:00:00Z");
    given_readings(given, series, "10:35", "mg/L");

    struct explanation lines = explained(given);

    assert_says(&lines, "outside only when 2 of the last 2 months are beyond the bound");
    assert_says(&lines, "  1 February 2026 to 28 February 2026: 40, beyond it");
    assert_says(&lines, "  so 2 of the last 2 months");
}

static void an_allowance_is_counted_out(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.allowance = (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 1};
    given_samples(given, "1:10 2:31 3:25 4:32");

    struct explanation lines = explained(given);

    assert_says(&lines, "  1 March 2026 to 31 March 2026: 4 values, 2 beyond the bound, 1 allowed: "
                        "outside, above");
}

static void a_form_that_is_judged_beside_another_says_so(void **state)
{
    struct given *given = *state;

    given->limit.confirmed = true;
    given_samples(given, "1:10 2:31");
    given->limit.beside = BESIDE_OLDER;

    struct explanation lines = explained(given);

    assert_says(&lines, "nobody has confirmed yet that this changed form says what the licence "
                        "says: it is judged by the form before it too, and the worse of both "
                        "stands");
    given->limit.beside = BESIDE_CHANGED;
    lines = explained(given);
    assert_says(&lines, "this is the form before a change that nobody has confirmed yet: both are "
                        "judged, and the worse of both stands");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_mean_is_explained_from_its_readings_to_its_verdict),
        CASE(each_pair_of_two_places_is_explained),
        CASE(a_load_is_explained_day_by_day),
        CASE(doubt_and_rows_set_aside_are_named),
        CASE(the_numbers_that_stand_for_less_and_greater_thans_are_named),
        CASE(a_row_set_aside_that_decided_is_listed_with_what_it_can_do),
        CASE(a_row_without_a_readable_unit_is_explained_otherwise_than_one_with),
        CASE(files_are_called_by_their_names),
        CASE(a_probes_month_is_told_by_day_unless_every_reading_is_asked_for),
        CASE(readings_that_the_clause_does_not_accept_are_told),
        CASE(what_the_clause_asks_of_readings_is_told),
        CASE(a_reading_s_own_bound_is_worked_out_in_words),
        CASE(a_state_is_told_by_its_word),
        CASE(windows_are_explained_one_by_one),
        CASE(a_long_list_of_windows_is_told_by_what_stands_out),
        CASE(a_percentile_names_its_rank),
        CASE(periods_one_after_the_other_are_listed),
        CASE(an_allowance_is_counted_out),
        CASE(a_form_that_is_judged_beside_another_says_so),
    };

    return cmocka_run_group_tests_name("judge/explain", tests, NULL, NULL);
}
