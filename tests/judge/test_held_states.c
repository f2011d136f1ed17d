#include "judge/given.h"

/* A clause on a state at some times only: what held then counts, though it was written before. */

enum { HOUR_MINUTES = 60, HOUR_S = 3600 };

/* The outlet must be shut from 20:00 to 06:00; somebody looks at 08:00. March 3 and 4 are asked. */
static size_t shut_at_night(struct given *given, const char *words)
{
    size_t series = given_series(given, "outfall", "outlet", KIND_BY_HAND);

    given->limit.parameter = "outlet";
    given->limit.unit = NULL;
    given->limit.statistic = STATISTIC_VALUE;
    given->limit.bound = (struct limit_bound){.has_ceiling = false};
    given->limit.bound_by = (struct limit_bound_by){.kind = BOUND_STATE, .state = "shut"};
    given->limit.hours = (struct limit_hours){
        .set = true, .from_minute = 20 * HOUR_MINUTES, .to_minute = 6 * HOUR_MINUTES};
    given->evidence.state_holds_s = 30 * HOUR_S;
    given->from = day_from_civil(2026, 3, 3);
    given->to = day_from_civil(2026, 3, 4);
    given_readings(given, series, words, "");

    return series;
}

static void an_outlet_open_all_night_is_outside_though_nobody_looked_at_night(void **state)
{
    struct given *given = *state;

    shut_at_night(given, "2/08:00:shut 3/08:00:open 4/08:00:shut");

    struct verdict verdict = given_assert(given, "outside: not shut", "open from 08:00 on");

    assert_string_equal(verdict.words, "outside: not shut (open, 1 of 3 samples, must be 'shut')");
    for (size_t i = 0; i < verdict.item_count; i++)
        if (verdict.items[i].outside)
            assert_int_equal(verdict.items[i].held_at, given_at("2026-03-03T20:00:00Z"));
}

static void an_outlet_found_shut_is_shut_through_the_night(void **state)
{
    struct given *given = *state;

    shut_at_night(given, "2/08:00:shut 3/08:00:shut 4/08:00:shut");
    assert_int_equal(given_assert(given, "within", "it held through each night").samples, 3);
    given_again(given);
    shut_at_night(given, "2/08:00:shut 3/08:00:open 3/19:30:shut 4/08:00:shut");
    given_assert(given, "within", "shut in time");
    given_again(given);
    shut_at_night(given, "2/08:00:shut 3/08:00:shut 3/23:00:open 4/08:00:shut");
    given_assert(given, "outside: not shut", "read at night, as ever");
}

static void a_state_is_unknown_after_the_farms_own_longest_silence(void **state)
{
    struct given *given = *state;

    shut_at_night(given, "2/08:00:shut 3/08:00:shut");
    assert_string_equal(
        given_assert(given, "not assessable", "it holds to 14:00 on 4 March").reason,
        "the state of 'outlet' at outfall was not known at 2026-03-04 20:00, "
        "while the clause applied");
    given->evidence.state_holds_s = 0;
    given_assert(given, "within", "with no longest silence it holds on");
    given->evidence.state_holds_s = 14 * HOUR_S;
    assert_non_null(strstr(given_assert(given, "not assessable", "from 22:00").reason,
                           "was not known at 2026-03-03 00:00"));
}

static void what_is_in_doubt_holds_and_clears_nothing(void **state)
{
    struct given *given = *state;

    shut_at_night(given, "2/08:00:shut 3/08:00:open? 4/08:00:shut");
    assert_true(given_assert(given, "outside: not shut", "it may have been").rests_on_doubt);
    given_again(given);
    shut_at_night(given, "3/08:00:shut? 4/08:00:shut?");
    given_assert(given, "not assessable", "nothing sound");
    given_again(given);
    shut_at_night(given, "2/08:00:shut 3/08:00:open! 4/08:00:shut");
    given->evidence.state_holds_s = 0;
    given_assert(given, "within", "what a person left out says nothing");
}

/* Nobody asks whether foam goes on to be seen: it is looked for, and seen then or not. */
static void what_is_seen_is_seen_at_an_instant(void **state)
{
    struct given *given = *state;
    size_t series = shut_at_night(given, "");
    struct parameter *sheen = ARENA_NEW(given->mem, struct parameter);

    *sheen = (struct parameter){.key = "surface",
                                .name = "Surface",
                                .kind = PARAMETER_STATE,
                                .states = {"seen", "not seen"}};
    given->evidence.parameters = &(struct parameter_list){.items = sheen, .count = 1};
    given->limit.parameter = given->series[series].parameter = "surface";
    given->limit.bound_by.state = "not seen";
    given_add(given, series, given_at("2026-03-03T08:00:00Z"), "open", "")->unit = "seen";
    given_assert(given, "not assessable", "nobody looked at night");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(an_outlet_open_all_night_is_outside_though_nobody_looked_at_night),
        CASE(an_outlet_found_shut_is_shut_through_the_night),
        CASE(a_state_is_unknown_after_the_farms_own_longest_silence),
        CASE(what_is_in_doubt_holds_and_clears_nothing),
        CASE(what_is_seen_is_seen_at_an_instant),
    };

    return cmocka_run_group_tests_name("judge/held_states", tests, NULL, NULL);
}
