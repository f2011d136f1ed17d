/*
 * Which readings of a probe are in doubt, and what answers make of them. That every reading since
 * the last good check is in doubt, and that an error is taken to grow in a straight line: US
 * Geological Survey Techniques and Methods 1-D3 (Wagner and others, 2006), from memory.
 */
#include "trust/probe_spans.h"

#include <string.h>

#include "base/buf.h"
#include "base/macro.h"
#include "harness/cmocka.h"

#define DAY(n) ((n)*DAY_US)

static const char *const kinds[] = {"check overdue", "calibration overdue", "failed",
                                    "not put right", "gap"};

static struct probe_visit check(int visit, int day, enum probe_result found, enum probe_result left)
{
    return (struct probe_visit){
        .visit = visit, .at = DAY(day), .found = found, .left = left, .has_standards = true};
}

/* "failed 10-20 by 2; ...": days, "on" where it still is so. */
static char *words(struct arena *mem, const struct probe_issues *issues)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < issues->count; i++) {
        const struct probe_issue *one = &issues->items[i];

        buf_addf(&text, "%s%s %lld-", i ? "; " : "", kinds[one->kind],
                 (long long)((one->after + 1) / DAY_US));
        if (one->until == INT64_MAX)
            buf_add_text(&text, "on");
        else
            buf_addf(&text, "%lld by %d", (long long)(one->until / DAY_US), one->visit);
    }

    return text.data;
}

enum { VISITS_MOST = 4 };

static const struct {
    const char *reason;
    int check_every;
    int calibrate_every;
    size_t count;
    struct {
        int day;
        enum probe_result found;
        enum probe_result left;
        bool calibrated;
    } visits[VISITS_MOST];
    const char *issues;
} rows[] = {
    {"nothing is asked and nothing was found", 0, 0, 0, {{0}}, ""},
    {"never checked", 30, 0, 0, {{0}}, "check overdue 0-on"},
    {"good and not due yet or overdue, by the time of the reading",
     30,
     0,
     1,
     {{0, PROBE_GOOD, PROBE_GOOD, true}},
     "check overdue 30-on"},
    {"checked too late: what lies between stays in doubt",
     30,
     0,
     2,
     {{0, PROBE_GOOD, PROBE_GOOD, true}, {40, PROBE_GOOD, PROBE_GOOD, false}},
     "check overdue 30-40 by 2; check overdue 70-on"},
    {"a check is no calibration",
     30,
     60,
     3,
     {{0, PROBE_GOOD, PROBE_GOOD, true},
      {30, PROBE_GOOD, PROBE_GOOD, false},
      {60, PROBE_GOOD, PROBE_GOOD, false}},
     "check overdue 90-on; calibration overdue 60-on"},
    {"found off: since the last check",
     0,
     0,
     2,
     {{10, PROBE_GOOD, PROBE_GOOD, true}, {20, PROBE_FAILED, PROBE_GOOD, true}},
     "failed 10-20 by 2"},
    {"found off at the first check: since it came into use",
     0,
     0,
     1,
     {{10, PROBE_FAILED, PROBE_GOOD, true}},
     "failed 0-10 by 1"},
    {"left off: until the next check too",
     0,
     0,
     3,
     {{10, PROBE_GOOD, PROBE_GOOD, true},
      {20, PROBE_FAILED, PROBE_FAILED, false},
      {25, PROBE_FAILED, PROBE_GOOD, true}},
     "failed 10-20 by 2; not put right 20-25 by 3; failed 20-25 by 3"},
    {"left off, and nobody came back",
     0,
     0,
     1,
     {{10, PROBE_GOOD, PROBE_FAILED, true}},
     "not put right 10-on"},
    {"off by more than may be corrected",
     0,
     0,
     2,
     {{10, PROBE_GOOD, PROBE_GOOD, true}, {20, PROBE_BEYOND, PROBE_GOOD, true}},
     "gap 10-20 by 2"},
};

static void what_is_in_doubt_goes_by_visits_and_by_what_is_due(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct probe_rule rule = {.from = 1,
                                        .check_every_us = DAY(rows[i].check_every),
                                        .calibrate_every_us = DAY(rows[i].calibrate_every)};
        struct probe_visit visits[VISITS_MOST];
        struct probe_issues issues;

        for (size_t k = 0; k < rows[i].count; k++) {
            visits[k] = check((int)k + 1, rows[i].visits[k].day, rows[i].visits[k].found,
                              rows[i].visits[k].left);
            visits[k].calibrated = rows[i].visits[k].calibrated;
        }
        issues = probe_issues_of(mem, visits, rows[i].count, &rule);
        if (strcmp(words(mem, &issues), rows[i].issues) != 0)
            fail_msg("%s: %s", rows[i].reason, words(mem, &issues));
    }
}

/* Cleaned on the way: fouling is found by itself and ends no check. */
static void a_cleaning_is_no_check(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct probe_visit visits[] = {check(1, 0, PROBE_GOOD, PROBE_GOOD),
                                   check(2, 10, PROBE_FAILED, PROBE_NOT_CHECKED),
                                   check(3, 20, PROBE_FAILED, PROBE_GOOD)};
    const struct probe_rule rule = {.from = 1, .check_every_us = DAY(15)};
    struct probe_issues issues;

    (void)state;
    visits[1].has_standards = false;
    visits[1].cleaned = true;
    issues = probe_issues_of(mem, visits, ARRAY_LEN(visits), &rule);
    assert_string_equal(words(mem, &issues), "failed 0-10 by 2; failed 0-20 by 3; check overdue "
                                             "15-20 by 3; check overdue 35-on");
    assert_int_equal(probe_proposal_of(visits, 2, &rule).answer.cleaned, DAY(10));
    assert_int_equal(probe_proposal_of(visits, 2, &rule).answer.after, DAY(0));
}

static void an_answer_settles_its_own_visit_and_its_own_span(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct probe_visit visits[] = {check(1, 0, PROBE_GOOD, PROBE_GOOD),
                                         check(2, 20, PROBE_FAILED, PROBE_GOOD)};
    const struct probe_rule rule = {.from = 1, .check_every_us = DAY(15)};
    struct probe_issues issues = probe_issues_of(mem, visits, ARRAY_LEN(visits), &rule);
    struct probe_answer answer = {
        .visit = 2, .kind = PROBE_ANSWER_STANDS, .after = DAY(5), .until = DAY(20)};
    struct probe_issues left = probe_issues_left(mem, &issues, &answer, 1);

    (void)state;
    assert_string_equal(words(mem, &left), "failed 0-5 by 2; check overdue 35-on");
    answer.kind = PROBE_ANSWER_REFUSED;
    left = probe_issues_left(mem, &issues, &answer, 1);
    assert_int_equal(left.count, issues.count);
    answer = (struct probe_answer){
        .visit = 1, .kind = PROBE_ANSWER_STANDS, .after = DAY(0), .until = DAY(40)};
    left = probe_issues_left(mem, &issues, &answer, 1);
    assert_int_equal(left.count, issues.count);
}

static void a_gap_stays_a_gap_whatever_is_said(void **state)
{
    const struct probe_issue gap = {.kind = PROBE_GAP, .until = DAY(20), .visit = 2};
    const struct probe_answer answer = {.visit = 2, .kind = PROBE_ANSWER_STANDS, .until = DAY(20)};

    (void)state;
    assert_false(probe_answer_settles(&answer, &gap));
}

/* +25 at the end of a 20-day run is +12.5 on its tenth day. */
static void a_correction_grows_in_a_straight_line(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct probe_answer answer = {.kind = PROBE_ANSWER_CORRECTED,
                                  .after = 0,
                                  .cleaned = DAY(10),
                                  .until = DAY(20),
                                  .drift = exact_from_int(mem, 25)};

    (void)state;
    assert_string_equal(exact_text(mem, probe_correction_at(mem, &answer, DAY(10)), 12), "12.5");
    assert_string_equal(exact_text(mem, probe_correction_at(mem, &answer, DAY(20)), 12), "25");
    assert_null(probe_correction_at(mem, &answer, 0));
    assert_null(probe_correction_at(mem, &answer, DAY(20) + 1));
    answer.fouling = exact_from_text(mem, "-0.4"); /* since it was cleaned on the tenth day */
    assert_string_equal(exact_text(mem, probe_correction_at(mem, &answer, DAY(10)), 12), "12.5");
    assert_string_equal(exact_text(mem, probe_correction_at(mem, &answer, DAY(15)), 12), "18.55");
}

static void a_proposal_needs_a_good_check_to_begin_from(void **state)
{
    const struct probe_rule rule = {.from = 0};
    const struct probe_visit visits[] = {
        check(1, 5, PROBE_FAILED, PROBE_FAILED), check(2, 10, PROBE_FAILED, PROBE_GOOD),
        check(3, 20, PROBE_FAILED, PROBE_GOOD), check(4, 30, PROBE_BEYOND, PROBE_GOOD),
        check(5, 40, PROBE_GOOD, PROBE_GOOD)};

    (void)state;
    assert_non_null(probe_proposal_of(visits, 0, &rule).why_not); /* the first */
    assert_non_null(probe_proposal_of(visits, 1, &rule).why_not); /* the one before left it off */
    assert_null(probe_proposal_of(visits, 2, &rule).why_not);
    assert_non_null(probe_proposal_of(visits, 3, &rule).why_not); /* beyond the maximum */
    assert_non_null(probe_proposal_of(visits, 4, &rule).why_not); /* nothing to correct */
    assert_int_equal(probe_proposal_of(visits, 2, &rule).answer.after, DAY(10));
    assert_int_equal(probe_proposal_of(visits, 1, &rule).good_after, -1);
}

static void what_is_due_next_is_the_earlier_of_check_and_calibration(void **state)
{
    struct probe_visit visits[] = {check(1, 5, PROBE_GOOD, PROBE_GOOD),
                                   check(2, 10, PROBE_GOOD, PROBE_GOOD)};
    struct probe_rule rule = {.from = DAY(1)};

    (void)state;
    visits[0].calibrated = true;
    assert_int_equal(probe_due(visits, 2, &rule), INSTANT_NONE);
    rule.check_every_us = DAY(30);
    assert_int_equal(probe_due(visits, 2, &rule), DAY(40));
    rule.calibrate_every_us = DAY(20);
    assert_int_equal(probe_due(visits, 2, &rule), DAY(25));
    assert_int_equal(probe_due(visits, 0, &rule), DAY(1));
    assert_int_equal(probe_last_good(visits, 2, DAY(9))->visit, 1);
    assert_null(probe_last_good(visits, 2, DAY(4)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_in_doubt_goes_by_visits_and_by_what_is_due),
        cmocka_unit_test(a_cleaning_is_no_check),
        cmocka_unit_test(an_answer_settles_its_own_visit_and_its_own_span),
        cmocka_unit_test(a_gap_stays_a_gap_whatever_is_said),
        cmocka_unit_test(a_correction_grows_in_a_straight_line),
        cmocka_unit_test(a_proposal_needs_a_good_check_to_begin_from),
        cmocka_unit_test(what_is_due_next_is_the_earlier_of_check_and_calibration),
    };

    return cmocka_run_group_tests_name("trust/probe_spans", tests, NULL, NULL);
}
