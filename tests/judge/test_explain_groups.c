/* Readings of a long series that are in doubt for one reason are told together. */
#include "base/buf.h"
#include "judge/explain.h"
#include "judge/given.h"

static struct explanation explained(struct given *given, bool every)
{
    const struct explain_choices choices = {.names = NULL, .every_reading = every};
    struct verdict verdict = given_verdict(given);

    return judge_explain(given->mem, &verdict, &given->evidence, &choices);
}

static size_t lines_with(const struct explanation *lines, const char *text)
{
    size_t count = 0;

    for (size_t i = 0; i < lines->count; i++)
        count += strstr(lines->items[i], text) != NULL;

    return count;
}

/* A probe read every 6 hours for 20 days, in doubt but at noon; the last day's readings too. */
static void probe_give(struct given *given, const char *at_noon)
{
    struct buf text = buf_new(given->mem);

    given->limit.less_than = LESS_THAN_UNSET;
    given->limit.bound.ceiling = (struct decimal){30, 0};
    for (int day = 1; day <= 20; day++)
        for (int hour = 0; hour < 24; hour += 6)
            buf_addf(&text, "%s%d/%02d:00:%s", text.len > 0 ? " " : "", day, hour,
                     hour == 12 ? at_noon : "10?");
    given_samples(given, text.data);
}

/* A day with one sound reading had a line for each of the others, with the reason again in each. */
static void a_reason_shared_by_many_readings_is_told_once(void **state)
{
    struct given *given = *state;

    probe_give(given, "12");

    struct explanation lines = explained(given, false);

    assert_int_equal(lines_with(&lines, "calibration overdue"), 21);
    assert_int_equal(lines_with(&lines, "  60 readings from 2026-03-01 00:00 to 2026-03-20 18:00, "
                                        "lowest 10 mg/L, highest 10 mg/L, not counted (in doubt: "
                                        "calibration overdue)"),
                     1);
    assert_true(lines.shortened);
}

static void each_reading_is_told_where_all_are_asked_for(void **state)
{
    struct given *given = *state;

    probe_give(given, "12");

    struct explanation lines = explained(given, true);

    assert_int_equal(lines_with(&lines, " readings from "), 0);
    assert_int_equal(lines_with(&lines, "not counted (in doubt: calibration overdue)"), 60);
}

static void what_is_beyond_the_bound_is_no_part_of_what_is_in_doubt(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    probe_give(given, "90");

    struct explanation lines = explained(given, false);

    assert_int_equal(lines_with(&lines, "  60 readings from 2026-03-01 00:00 to 2026-03-20 18:00"),
                     1);
    assert_int_equal(lines_with(&lines, "  20 readings from 2026-03-01 12:00 to 2026-03-20 12:00, "
                                        "lowest 90 mg/L, highest 90 mg/L, each beyond the bound"),
                     1);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_reason_shared_by_many_readings_is_told_once),
        CASE(each_reading_is_told_where_all_are_asked_for),
        CASE(what_is_beyond_the_bound_is_no_part_of_what_is_in_doubt),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
