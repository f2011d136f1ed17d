#include "judge/explain.h"
#include "judge/given.h"

/* What an explanation tells of the clause's choices. */

static struct explanation explained(struct given *given)
{
    static const struct explain_choices choices = {.names = NULL};
    struct verdict verdict = given_verdict(given);

    return judge_explain(given->mem, &verdict, &given->evidence, &choices);
}

static bool has_line(const struct explanation *lines, const char *part)
{
    for (size_t i = 0; i < lines->count; i++)
        if (strstr(lines->items[i], part))
            return true;

    return false;
}

/* Every choice that the verdict rests on is in its explanation, also where it made no difference.
 */
static void an_explanation_tells_the_dates_of_the_clause_and_the_margin(void **state)
{
    struct given *given = *state;

    given->limit.in_force_from = day_from_civil(2026, 1, 1);
    given->limit.in_force_to = day_from_civil(2026, 12, 31);
    given->limit.margin = MARGIN_SHARE;
    given->limit.margin_amount = (struct decimal){10, 0};
    given_samples(given, "3:10 10:12");

    struct explanation lines = explained(given);

    assert_true(has_line(&lines, "in force from 1 January 2026 to 31 December 2026"));
    assert_true(
        has_line(&lines, "not near the bound, by the farm's own margin of 10 % of the bound"));
    given_again(given);
    given_samples(given, "3:28 10:29");
    lines = explained(given);
    assert_true(has_line(&lines, "near the bound, by the farm's own margin of 10 % of the bound"));
    assert_false(has_line(&lines, "not near the bound"));
    given->limit.margin = MARGIN_AMOUNT;
    given->limit.margin_amount = (struct decimal){1, 0};
    lines = explained(given);
    assert_true(has_line(&lines, "not near the bound, by the farm's own margin of 1 mg/L"));
}

static void an_explanation_tells_which_way_a_change_counts(void **state)
{
    static const struct {
        enum change_direction direction;
        const char *words;
    } rows[] = {
        {CHANGE_EITHER, "; a rise and a fall count alike"},
        {CHANGE_RISE, "; only a rise counts"},
        {CHANGE_FALL, "; only a fall counts"},
    };
    struct given *given = *state;

    given->limit.statistic = STATISTIC_CHANGE;
    given->limit.settings.change_span_s = 3600;
    given_readings(given, given_series(given, "outfall", "suspended-solids", KIND_PROBE),
                   "3/12:00:10 3/12:30:10.4", "mg/L");
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given->limit.settings.change_direction = rows[i].direction;

        struct explanation lines = explained(given);

        assert_true(has_line(&lines, rows[i].words));
    }
}

static void an_explanation_tells_that_what_is_alike_counts_each_by_itself(void **state)
{
    struct given *given = *state;

    given_samples(given, "3:10 3:12");
    given->readings[0][0].sample = given->readings[0][1].sample = "S-1";
    given->readings[0][0].replicate = "1";
    given->readings[0][1].replicate = "2";

    struct explanation lines = explained(given);

    assert_true(has_line(&lines, "  portions of one sample count each by itself"));
    given->limit.replicates = ALIKE_AVERAGED;
    lines = explained(given);
    assert_false(has_line(&lines, "  portions of one sample count each by itself"));
    given_again(given);
    given_samples(given, "3:10");
    given_samples(given, "3:12");
    lines = explained(given);
    assert_true(has_line(&lines, "  instruments side by side count each by itself"));
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(an_explanation_tells_the_dates_of_the_clause_and_the_margin),
        CASE(an_explanation_tells_which_way_a_change_counts),
        CASE(an_explanation_tells_that_what_is_alike_counts_each_by_itself),
    };

    return cmocka_run_group_tests_name("judge/explain_choices", tests, NULL, NULL);
}
