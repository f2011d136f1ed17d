#include "judge/applies.h"

#include "judge/given.h"

static enum applying at_instant(struct given *given, const char *text)
{
    struct applies_rule rule = applies_rule_of(given->mem, &given->evidence, &given->limit);
    instant at = given_at(text);

    return applies_at(given->mem, &rule, at, zone_day(given->evidence.zone, at)).answer;
}

static void expect(struct given *given, const char *text, enum applying wanted, const char *reason)
{
    enum applying got = at_instant(given, text);

    if (got != wanted)
        fail_msg("%s: %s, expected %d, got %d", text, reason, wanted, got);
}

static void hours_are_of_the_local_day_and_may_go_over_midnight(void **state)
{
    struct given *given = *state;

    given->evidence.zone = zone_fixed(given->mem, 2 * 3600);
    given->limit.hours = (struct limit_hours){true, 8 * 60, 17 * 60 + 30};
    expect(given, "2026-03-10T06:00:00Z", APPLIES_YES, "08:00 in the farm's zone begins it");
    expect(given, "2026-03-10T05:59:59Z", APPLIES_NO, "a second before");
    expect(given, "2026-03-10T15:29:59Z", APPLIES_YES, "the last second");
    expect(given, "2026-03-10T15:30:00Z", APPLIES_NO, "17:30 itself is out");
    given->limit.hours = (struct limit_hours){true, 22 * 60, 6 * 60};
    expect(given, "2026-03-10T21:00:00Z", APPLIES_YES, "23:00 is in 22:00 to 06:00");
    expect(given, "2026-03-10T02:00:00Z", APPLIES_YES, "04:00 is");
    expect(given, "2026-03-10T04:00:00Z", APPLIES_NO, "06:00 is not");
    expect(given, "2026-03-10T12:00:00Z", APPLIES_NO, "14:00 is not");
}

/* The zone's own rules: on 25 October 2026 clocks in London go back from 02:00 to 01:00 (tzdata).
 */
static void an_hour_that_comes_twice_is_in_both_times(void **state)
{
    struct given *given = *state;
    struct err err = ERR_INIT;

    if (!zone_load(given->mem, "Europe/London", &given->evidence.zone, &err))
        fail_msg("%s", err.text);
    given->limit.hours = (struct limit_hours){true, 60, 120};
    expect(given, "2026-10-25T00:30:00Z", APPLIES_YES, "01:30 summer time");
    expect(given, "2026-10-25T01:30:00Z", APPLIES_YES, "01:30 again");
    expect(given, "2026-10-25T02:30:00Z", APPLIES_NO, "02:30");
}

static void a_season_may_go_over_the_new_year(void **state)
{
    struct given *given = *state;

    given->limit.season = (struct limit_season){true, 501, 930};
    expect(given, "2026-05-01T00:00:00Z", APPLIES_YES, "its first day");
    expect(given, "2026-09-30T23:59:00Z", APPLIES_YES, "its last day is in it");
    expect(given, "2026-10-01T00:00:00Z", APPLIES_NO, "the day after");
    given->limit.season = (struct limit_season){true, 1101, 331};
    expect(given, "2026-12-31T12:00:00Z", APPLIES_YES, "before the new year");
    expect(given, "2026-01-01T12:00:00Z", APPLIES_YES, "after it");
    expect(given, "2026-04-01T12:00:00Z", APPLIES_NO, "the day after its last");
}

/* High water at 06:00 and 18:24, low at 12:12: an invented table of one day. */
static void give_tides(struct given *given)
{
    static struct tide tides[3];
    static struct evidence_tides table = {"harbour", tides, ARRAY_LEN(tides)};

    tides[0] = (struct tide){given_at("2026-03-10T06:00:00Z"), true};
    tides[1] = (struct tide){given_at("2026-03-10T12:12:00Z"), false};
    tides[2] = (struct tide){given_at("2026-03-10T18:24:00Z"), true};
    given->evidence.tide_tables = &table;
    given->evidence.tide_table_count = 1;
}

static void tide_hours_are_around_the_table_s_high_and_low_waters(void **state)
{
    struct given *given = *state;

    give_tides(given);
    given->limit.tide = (struct limit_tide){TIDE_HIGH, "harbour", 3600, 7200};
    expect(given, "2026-03-10T05:00:00Z", APPLIES_YES, "an hour before, exactly");
    expect(given, "2026-03-10T04:59:59Z", APPLIES_NOT_TOLD,
           "high water before the table may count");
    expect(given, "2026-03-10T08:00:00Z", APPLIES_YES, "two hours after, exactly");
    expect(given, "2026-03-10T08:00:01Z", APPLIES_NO, "the table has every tide around it");
    expect(given, "2026-03-10T12:12:00Z", APPLIES_NO, "low water is none");
    expect(given, "2026-03-10T18:24:00Z", APPLIES_YES, "the last one of the table");
    expect(given, "2026-03-10T23:00:00Z", APPLIES_NOT_TOLD, "after the table's end");
    given->limit.tide.of = TIDE_LOW;
    expect(given, "2026-03-10T12:00:00Z", APPLIES_YES, "before low water");
    given->limit.tide.table = "river";
    expect(given, "2026-03-10T12:00:00Z", APPLIES_NOT_TOLD, "a table that nobody brought in");
}

static void a_gap_in_the_tide_table_tells_nothing(void **state)
{
    struct given *given = *state;
    static struct tide tides[2];
    static const struct evidence_tides table = {"harbour", tides, ARRAY_LEN(tides)};

    tides[0] = (struct tide){given_at("2026-03-10T06:00:00Z"), true};
    tides[1] = (struct tide){given_at("2026-03-14T06:00:00Z"), true};
    given->evidence.tide_tables = &table;
    given->evidence.tide_table_count = 1;
    given->limit.tide = (struct limit_tide){TIDE_HIGH, "harbour", 3600, 3600};
    expect(given, "2026-03-12T12:00:00Z", APPLIES_NOT_TOLD, "days without any tide");
    expect(given, "2026-03-14T05:30:00Z", APPLIES_YES, "near one that is there");
}

static void another_reading_decides_where_it_can(void **state)
{
    static const struct {
        const char *level;
        enum applying wanted;
        const char *reason;
    } rows[] = {
        {"10/11:50:2.1", APPLIES_YES, "above"},
        {"10/11:50:2.0", APPLIES_NO, "at it is not above"},
        {"10/11:50:1.9", APPLIES_NO, "below"},
        {"10/11:50:>2.0", APPLIES_YES, "more than it is above"},
        {"10/11:50:>1.5", APPLIES_NOT_TOLD, "more than 1.5 may be either"},
        {"10/11:50:<2.0", APPLIES_NO, "less than it is not above"},
        {"10/11:50:<9.0", APPLIES_NOT_TOLD, "less than 9 may be either"},
        {"10/11:50:ND", APPLIES_NOT_TOLD, "no number"},
        {"10/11:00:2.5", APPLIES_YES, "as old as allowed"},
        {"10/10:59:2.5", APPLIES_NOT_TOLD, "too old"},
        {"10/12:01:2.5", APPLIES_NOT_TOLD, "after it"},
        {"10/11:40:1.0 10/11:50:2.5?", APPLIES_NOT_TOLD, "the newest is in doubt"},
        {"10/11:40:1.0? 10/11:50:2.5", APPLIES_YES, "an older one in doubt does not matter"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;

        given_again(given);
        given_readings(given, given_series(given, "river", "flow", KIND_PROBE), rows[i].level,
                       "m3/s");
        given->limit.applies_while =
            (struct limit_while){.other = {.station = "river", .parameter = "flow", .unit = "m3/s"},
                                 .has_above = true,
                                 .above = given_decimal("2.0"),
                                 .within_s = 3600};
        expect(given, "2026-03-10T12:00:00Z", rows[i].wanted, rows[i].reason);
    }
}

static void what_does_not_apply_needs_no_other_condition_told(void **state)
{
    struct given *given = *state;

    given->limit.tide = (struct limit_tide){TIDE_HIGH, "nowhere", 3600, 3600};
    given->limit.hours = (struct limit_hours){true, 8 * 60, 17 * 60};
    expect(given, "2026-03-10T12:00:00Z", APPLIES_NOT_TOLD, "in the hours, no table");
    expect(given, "2026-03-10T20:00:00Z", APPLIES_NO, "outside the hours whatever the tide");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(hours_are_of_the_local_day_and_may_go_over_midnight,
                                        given_new, given_done),
        cmocka_unit_test_setup_teardown(an_hour_that_comes_twice_is_in_both_times, given_new,
                                        given_done),
        cmocka_unit_test_setup_teardown(a_season_may_go_over_the_new_year, given_new, given_done),
        cmocka_unit_test_setup_teardown(tide_hours_are_around_the_table_s_high_and_low_waters,
                                        given_new, given_done),
        cmocka_unit_test_setup_teardown(a_gap_in_the_tide_table_tells_nothing, given_new,
                                        given_done),
        cmocka_unit_test_setup_teardown(another_reading_decides_where_it_can, given_new,
                                        given_done),
        cmocka_unit_test_setup_teardown(what_does_not_apply_needs_no_other_condition_told,
                                        given_new, given_done),
    };

    return cmocka_run_group_tests_name("judge/applies", tests, NULL, NULL);
}
