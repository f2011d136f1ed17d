/* What a limit says beside its figure and bound, in words. */
#include "judge/given.h"
#include "judge/limit_choices.h"

static void a_plain_limit_says_little(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct limit limit = {.station = "outlet",
                          .parameter = "suspended-solids",
                          .kinds = KIND_GRAB,
                          .only_while_discharging = true,
                          .in_force_from = day_from_civil(2026, 1, 1),
                          .in_force_to = DAY_NONE};

    (void)state;
    assert_string_equal(limit_choices_words(mem, &limit),
                        "suspended-solids at outlet, grab, only while discharging, not rounded, in "
                        "force from 2026-01-01");
    assert_string_equal(limit_more_words(mem, &limit), "");
    assert_string_equal(limit_beside_words(mem, &limit), "");
}

/* A day's highest reading stands alone: half of a less-than has no part in it. */
static void a_rule_on_less_thans_that_is_not_used_is_not_said(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct limit limit = {.station = "outlet",
                          .parameter = "suspended-solids",
                          .daily = DAILY_MAXIMUM,
                          .statistic = STATISTIC_VALUE,
                          .period = PERIOD_DAY,
                          .less_than = LESS_THAN_HALF,
                          .in_force_from = DAY_NONE,
                          .in_force_to = DAY_NONE};

    (void)state;
    assert_non_null(strstr(limit_choices_words(mem, &limit), "less-thans: all they could be"));
    assert_null(strstr(limit_choices_words(mem, &limit), "half"));
    limit.daily = DAILY_MEAN;
    assert_non_null(strstr(limit_choices_words(mem, &limit), "less-thans: half"));
    limit.daily = DAILY_MAXIMUM;
    limit.single_less_than = SINGLE_BY_RULE;
    assert_non_null(strstr(limit_choices_words(mem, &limit), "less-thans: half"));
}

static void what_few_limits_say_is_said(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *const people[] = {"Ida", "Kim"};
    struct limit limit = {.station = "outlet",
                          .position = "deep",
                          .parameter = "oxygen",
                          .takers = people,
                          .taker_count = 2,
                          .accredited = true,
                          .without_looking_for_cause = true,
                          .replicates = ALIKE_AVERAGED,
                          .against = {.kind = AGAINST_DIFFERENCE,
                                      .place = {"intake", NULL},
                                      .pairing = PAIR_RESIDENCE,
                                      .within_s = 5400,
                                      .residence_s = 6 * 3600},
                          .hours = {true, 22 * 60, 6 * 60 + 30},
                          .tide = {TIDE_LOW, "harbour", 3600, 3 * 3600},
                          .season = {true, 501, 930},
                          .applies_while = {.other = {"gauge", NULL, "rain", "mm"},
                                            .has_above = true,
                                            .above = {10, 0},
                                            .within_s = 86400},
                          .period = PERIOD_WEEK,
                          .week_starts = 6,
                          .period_belongs = BELONGS_DAYS,
                          .less_than = LESS_THAN_STATED,
                          .less_than_stated = {25, 1},
                          .between = BETWEEN_AT_DETECTION,
                          .largest_if_all = true,
                          .rounding = {ROUND_HALF_EVEN, ROUND_TO_FIGURES, 2},
                          .in_force_from = day_from_civil(2026, 1, 1),
                          .in_force_to = day_from_civil(2026, 12, 31)};

    (void)state;
    assert_string_equal(
        limit_choices_words(mem, &limit),
        "oxygen at outlet, deep, taken by Ida or Kim, only by a laboratory accredited for it, "
        "without samples that look for a cause, replicates averaged first, also while the outlet "
        "is shut, difference against intake, paired: by residence time of 6 hours within 90 "
        "minutes, hours 22:00 to 06:30, from 1 hour before to 3 hours after low water by the table "
        "harbour, each year from 05-01 to 09-30, while rain at gauge is above 10 mm, by a reading "
        "at most 1 day old, weeks from Sunday, across two months: by its days, less-thans: stated, "
        "2.5, between the limits: at detection, nothing but less-thans: less than the largest, "
        "rounded half even to 2 figures, in force from 2026-01-01 to 2026-12-31");
    assert_string_equal(
        limit_beside_words(mem, &limit),
        "taken by Ida or Kim, only by a laboratory accredited for it, without samples that look "
        "for a cause, replicates averaged first, difference against intake, paired: by residence "
        "time of 6 hours within 90 minutes, hours 22:00 to 06:30, from 1 hour before to 3 hours "
        "after low water by the table harbour, each year from 05-01 to 09-30, while rain at gauge "
        "is above 10 mm, by a reading at most 1 day old, weeks from Sunday, across two months: by "
        "its days, between the limits: at detection, nothing but less-thans: less than the "
        "largest");
    assert_null(strstr(limit_more_words(mem, &limit), "oxygen at"));
    assert_null(strstr(limit_more_words(mem, &limit), "hours 22:00"));
    assert_non_null(strstr(limit_more_words(mem, &limit), "weeks from Sunday"));
}

/* A gap of the flow and a day without a result change the load, so its explanation has to say. */
static void what_a_load_hangs_on_is_said(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct limit limit = {.station = "outlet",
                          .parameter = "total-nitrogen",
                          .kinds = KIND_GRAB,
                          .daily = DAILY_LOAD,
                          .flow = {"outlet", "flow"},
                          .reading_stands_s = 1200,
                          .in_force_from = day_from_civil(2026, 1, 1),
                          .in_force_to = DAY_NONE};

    (void)state;
    assert_string_equal(limit_more_words(mem, &limit),
                        "days without a result: left out, a reading stands 20 minutes");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_plain_limit_says_little),
        cmocka_unit_test(a_rule_on_less_thans_that_is_not_used_is_not_said),
        cmocka_unit_test(what_few_limits_say_is_said),
        cmocka_unit_test(what_a_load_hangs_on_is_said),
    };

    return cmocka_run_group_tests_name("judge/limit_choices", tests, NULL, NULL);
}
