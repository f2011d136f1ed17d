/*
 * Duplicates, replicates, blanks and coarse limits of results on record: what is found, what is in
 * doubt by it, and how either ends. The farm and its numbers are made up for the tests.
 */
#include "app/look_quality.h"

#include <string.h>

#include "app/correct.h"
#include "app/month.h"

static const char rules[] =
    "quality checks:\n"
    "  - parameter: suspended-solids\n"
    "    copied from: Plan of the tests, page 3\n"
    "    unit: mg/L\n"
    "    quantitation limit: 2\n"
    "    duplicates: {rule: percent from a limit, percent: 20 %, times: 5, below times: 2, within: "
    "30 minutes, in doubt: yes}\n"
    "    replicates: {percent: 15 %, in doubt: yes}\n"
    "    blanks: {not above: detection limit, in doubt: yes, concerns: same day, below times: 5}\n"
    "\n";

/* The farm file with these rules. */
static const char *with_rules(struct test_farm *farm, const char *text)
{
    return test_swap(farm->mem, farm->text, "# Every limit is an EXAMPLE",
                     arena_printf(farm->mem, "%s# Every limit is an EXAMPLE", text));
}

static void rules_load(struct test_farm *farm, const char *text)
{
    struct farm_changes changes = {0};

    test_farm_load(farm, with_rules(farm, text), &farm->act, &changes);
}

static int waiting_check(struct test_farm *farm)
{
    struct err err = ERR_INIT;
    int months = 0;
    int opened = 0;

    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, &months,
                                     &opened, &err),
                &err);

    return opened;
}

/* "quality check|subject|newest step" and so on, in order of subject. */
static const char *findings(struct test_farm *farm, const char *kind)
{
    return test_query(
        farm,
        arena_printf(farm->mem,
                     "select f.subject || '|' || (select step from finding_step s where "
                     "s.farm_id = f.farm_id and s.finding = f.finding order by nth desc limit "
                     "1) from finding f where farm_id = $1 and kind = '%s' order by subject",
                     kind));
}

static struct quality_seen seen_in(struct test_farm *farm, const char *month)
{
    struct quality_seen seen;
    struct err err = ERR_INIT;
    day_number first = day_of(month);

    assert_done(quality_look(farm->db, farm->mem, &farm->open, first, month_next(first) - 1,
                             farm->act.at, &seen, &err),
                &err);

    return seen;
}

/* "duplicates failed S1 S1" of each check. */
static const char *checks_text(struct test_farm *farm, const struct quality_seen *seen)
{
    struct buf text = buf_new(farm->mem);

    for (size_t i = 0; i < seen->checks.count; i++) {
        const struct quality_check *check = &seen->checks.items[i];

        buf_addf(&text, "%s%s %s", i ? "; " : "", quality_kind_words[check->kind],
                 quality_answer_words[check->outcome.answer]);
        for (size_t k = 0; k < check->count; k++)
            buf_addf(&text, " %s%s", check->results[k]->row->sample,
                     check->results[k]->row->replicate);
        for (size_t k = 0; k < check->concerned_count; k++)
            buf_addf(&text, "%s%s", k ? "," : " concerns ", check->concerned[k]->row->sample);
    }

    return text.data;
}

static void two_portions_too_far_apart_are_a_finding_and_both_in_doubt(void **state)
{
    struct test_farm *farm = *state;
    struct quality_seen seen;

    rules_load(farm, rules);
    test_farm_confirm(farm);
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,a,,Out,2026-05-04 09:00,TSS,16,mg/L,0.5,2\n"
                  "S1,b,,Out,2026-05-04 09:00,TSS,20,mg/L,0.5,2\n"
                  "S2,,,Out,2026-05-11 09:00,TSS,12,mg/L,0.5,2\n");
    /* The other is the sample of its week, which what is in doubt does not satisfy. */
    assert_int_equal(waiting_check(farm), 2);
    assert_non_null(strstr(findings(farm, "interval"), "|open"));
    seen = seen_in(farm, "2026-05-01");
    assert_string_equal(checks_text(farm, &seen), "duplicates failed S1a S1b");
    assert_string_equal(quality_check_words(farm->mem, &seen.checks.items[0]),
                        "S1 portion a (16 mg/L) and S1 portion b (20 mg/L): they differ by 22.2 % "
                        "of their mean, more than the 20 % allowed (Plan of the tests, page 3)");
    assert_string_equal(findings(farm, "quality check"),
                        "duplicates suspended-solids: S1 portion b|open");
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "solids-mean"),
                           "within only with what is in doubt (quality check: duplicates S1"));
}

/* The value that was misread is corrected: the pair passes, and nothing is in doubt any more. */
static void a_correction_that_brings_a_pair_together_ends_the_finding(void **state)
{
    struct test_farm *farm = *state;
    const struct reading_ref ref = {.station = "outlet",
                                    .parameter = "suspended-solids",
                                    .at = test_at("2026-05-04 09:10"),
                                    .sample = "Q1"};
    const struct correction_order order = {.kind = "value", .value = "17", .reason = "misread"};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    rules_load(farm, rules);
    test_farm_confirm(farm);
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,16,mg/L,0.5,2\n"
                  "Q1,,duplicate,Out,2026-05-04 09:10,TSS,71,mg/L,0.5,2\n"
                  "S2,,,Out,2026-05-11 09:00,TSS,12,mg/L,0.5,2\n");
    /* The other is the sample of its week, which what is in doubt does not satisfy. */
    assert_int_equal(waiting_check(farm), 2);
    assert_non_null(strstr(findings(farm, "interval"), "|open"));
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "solids-mean"), "not assessable"));
    assert_done(reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &farm->act, &done,
                                &err),
                &err);
    assert_int_equal(waiting_check(farm), 0);
    assert_string_equal(findings(farm, "quality check"),
                        "duplicates suspended-solids: Q1|worked out again");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
}

static void a_changed_farm_file_judges_what_is_on_record_again(void **state)
{
    struct test_farm *farm = *state;

    two_portions_too_far_apart_are_a_finding_and_both_in_doubt(state);
    rules_load(farm, test_swap(farm->mem, rules, "percent: 20 %", "percent: 25 %"));
    assert_int_equal(waiting_check(farm), 0);
    assert_string_equal(findings(farm, "quality check"),
                        "duplicates suspended-solids: S1 portion b|worked out again");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
}

static void check_samples_pair_with_the_nearest_sample_that_counts(void **state)
{
    static const struct {
        const char *why;
        const char *rows;
        const char *found;
    } cases[] = {
        {"a duplicate 20 minutes later",
         "S1,,,Out,2026-05-04 09:00,TSS,16,mg/L,,2\nQ1,,duplicate,Out,2026-05-04 "
         "09:20,TSS,20,mg/L,,2\n",
         "duplicates failed S1 Q1"},
        {"a check sample of the same minute, told with capitals",
         "S1,,,Out,2026-05-04 09:00,TSS,16,mg/L,,2\nQ1,,Check,Out,2026-05-04 "
         "09:00,TSS,17,mg/L,,2\n",
         "duplicates passed S1 Q1"},
        {"the nearer of two",
         "S1,,,Out,2026-05-04 09:00,TSS,90,mg/L,,2\nS2,,,Out,2026-05-04 09:20,TSS,17,mg/L,,2\n"
         "Q1,,check,Out,2026-05-04 09:15,TSS,17,mg/L,,2\n",
         "duplicates passed S2 Q1"},
        {"none so near",
         "S1,,,Out,2026-05-04 09:00,TSS,16,mg/L,,2\nQ1,,duplicate,Out,2026-05-04 "
         "09:31,TSS,20,mg/L,,2\n",
         "duplicates not assessed Q1"},
        {"none of its own place",
         "S1,,,Tank,2026-05-04 09:00,TSS,16,mg/L,,2\nQ1,,duplicate,Out,2026-05-04 "
         "09:00,TSS,20,mg/L,,2\n",
         "duplicates not assessed Q1"},
        {"three portions spread: 5 of 20",
         "S1,a,,Out,2026-05-04 09:00,TSS,15,mg/L,,2\nS1,b,,Out,2026-05-04 09:00,TSS,20,mg/L,,2\n"
         "S1,c,,Out,2026-05-04 09:00,TSS,25,mg/L,,2\n",
         "replicates failed S1a S1b S1c"},
        {"in other units, and near the limit: 4 mg/L apart, twice 2",
         "S1,,,Out,2026-05-04 09:00,TSS,5,mg/L,,2\nQ1,,duplicate,Out,2026-05-04 "
         "09:00,TSS,9000,ug/L,,2000\n",
         "duplicates passed S1 Q1"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();
        struct quality_seen seen;

        rules_load(farm, rules);
        test_take(farm, "laboratory", "may.csv", arena_printf(farm->mem, LAB "%s", cases[i].rows));
        seen = seen_in(farm, "2026-05-01");
        if (!str_equal(checks_text(farm, &seen), cases[i].found))
            fail_msg("%s: %s", cases[i].why, checks_text(farm, &seen));
    }
}

/* The blank comes later, in a file of its own, from another place. */
static void a_blank_that_is_not_clean_puts_the_results_of_its_day_in_doubt(void **state)
{
    struct test_farm *farm = *state;
    struct quality_seen seen;

    rules_load(farm, rules);
    test_farm_confirm(farm);
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,0.5,2\n"
                  "S2,,,Out,2026-05-11 09:00,TSS,12,mg/L,0.5,2\n"
                  "S3,,,Out,2026-05-11 10:00,TSS,16,mg/L,0.5,2\n");
    assert_int_equal(waiting_check(farm), 0);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
    test_take(farm, "laboratory", "blank.csv",
              LAB "B1,,blank,Tank,2026-05-11 08:00,TSS,3,mg/L,0.5,2\n");
    assert_int_equal(waiting_check(farm), 1);
    seen = seen_in(farm, "2026-05-01");
    /* 3 is above 0.5; 12 is below 5 times 3, 16 is not. */
    assert_string_equal(checks_text(farm, &seen), "blank failed B1 concerns S2");
    assert_string_equal(findings(farm, "quality check"), "blank suspended-solids: B1|open");
    assert_non_null(strstr(test_query(farm, "select words from finding where farm_id = $1"),
                           "1 result is in doubt"));
    assert_int_equal(test_number(farm,
                                 "select in_doubt from verdict where farm_id = $1 and clause = "
                                 "'solids-mean'"),
                     1);
}

static void without_quality_checks_nothing_is_looked_for(void **state)
{
    struct test_farm *farm = *state;
    struct quality_seen seen;

    test_take(farm, "laboratory", "may.csv",
              LAB "S1,a,,Out,2026-05-04 09:00,TSS,16,mg/L,,\n"
                  "S1,b,,Out,2026-05-04 09:00,TSS,36,mg/L,,\n");
    waiting_check(farm);
    seen = seen_in(farm, "2026-05-01");
    assert_int_equal(seen.checks.count, 0);
    assert_string_equal(findings(farm, "quality check"), "");
}

static void a_purpose_that_is_none_is_set_aside_and_can_be_explained(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result result = test_take(farm, "laboratory", "may.csv",
                                             LAB "S1,,,Out,2026-05-04 09:00,TSS,16,mg/L,,\n"
                                                 "S2,,FB,Out,2026-05-04 09:00,TSS,1,mg/L,,\n");

    assert_int_equal(result.receipt.set_aside, 1);
    assert_string_equal(test_query(farm, "select reason || ': ' || words from set_aside where "
                                         "farm_id = $1"),
                        "purpose-unknown: 'FB' is no purpose of a sample");
    rules_load(farm, "");
    farm->text = test_swap(farm->mem, farm->text, "    purpose column: For\n",
                           "    purpose column: For\n    purpose words: {FB: blank}\n");
    rules_load(farm, rules);
    test_take(farm, "laboratory", "june.csv", LAB "S3,,fb,Out,2026-06-04 09:00,TSS,1,mg/L,0.5,\n");
    assert_string_equal(test_query(farm, "select purpose from sample where farm_id = $1 and "
                                         "sample = 'S3'"),
                        "blank");
}

static void a_limit_above_the_bound_is_one_finding_until_a_finer_one_comes(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "may.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,35,mg/L,10,32\n");
    /* Above the 30 of the mean, not above the 40 of each sample. */
    assert_int_equal(waiting_check(farm), 2); /* the other is the mean itself */
    assert_string_equal(findings(farm, "coarse limit"),
                        "solids-mean by Laboratory of the tests|open");
    assert_string_equal(
        test_query(farm, "select words from finding where farm_id = $1 and kind = 'coarse limit'"),
        "Solids, monthly mean, suspended-solids of outlet: the quantitation limit of Laboratory of "
        "the tests is 32 mg/L, as its result of 4 May 2026 tells; that is higher than the bound, "
        "not above 30 mg/L: a result reported as less than it can't show that the bound was kept. "
        "Ask for a method whose quantitation limit for suspended-solids is at or below 30 mg/L, "
        "before the next sample is taken.");
    test_take(farm, "laboratory", "more.csv", LAB "S2,,,Out,2026-05-11 09:00,TSS,<32000,ug/L,,\n");
    assert_int_equal(waiting_check(farm), 0);
    assert_string_equal(findings(farm, "coarse limit"),
                        "solids-mean by Laboratory of the tests|open");
    test_take(farm, "laboratory", "june.csv", LAB "S3,,,Out,2026-06-04 09:00,TSS,12,mg/L,,30\n");
    waiting_check(farm);
    assert_string_equal(findings(farm, "coarse limit"),
                        "solids-mean by Laboratory of the tests|worked out again");
    test_take(farm, "laboratory", "later.csv", LAB "S4,,,Out,2026-06-11 09:00,TSS,<31,mg/L,,\n");
    waiting_check(farm);
    assert_string_equal(findings(farm, "coarse limit"),
                        "solids-mean by Laboratory of the tests|worked out again\n"
                        "solids-mean by Laboratory of the tests|open");
}

static void the_farm_may_ask_for_a_share_of_the_bound(void **state)
{
    struct test_farm *farm = *state;

    rules_load(farm, "quality checks:\n  - parameter: suspended-solids\n    copied from: Plan\n    "
                     "coarse above: 50 %\n\n");
    test_take(farm, "laboratory", "may.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,25,mg/L,,16\n");
    waiting_check(farm);
    assert_string_equal(findings(farm, "coarse limit"),
                        "solids-mean by Laboratory of the tests|open");
}

/* No half of it is left, whichever call fails. */
static void whichever_call_fails_nothing_of_a_half_is_left(void **state)
{
    struct test_farm *farm = *state;
    bool done = false;
    int calls = 0;

    rules_load(farm, rules);
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,a,,Out,2026-05-04 09:00,TSS,16,mg/L,0.5,2\n"
                  "S1,b,,Out,2026-05-04 09:00,TSS,20,mg/L,0.5,2\n"
                  "B1,,blank,Tank,2026-05-04 08:00,TSS,9,mg/L,0.5,50\n");
    while (!done) {
        const char *before = test_state(farm);
        struct err err = ERR_INIT;
        int months = 0;
        int opened = 0;

        db_fault_after(++calls);
        done = months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, &months,
                                    &opened, &err);
        db_fault_after(0);
        if (!done && err.code != ERR_UNAVAILABLE)
            fail_msg("call %d: %s", calls, err.text);
        /* A month, and the coarse limits, are whole or not there. */
        if (!done && test_number(farm, "select count(*) from finding where farm_id = $1 and kind "
                                       "= 'quality check'") == 1)
            fail_msg("call %d left one of two findings", calls);
        if (!done && opened == 0)
            test_state_same(before, test_state(farm), arena_printf(farm->mem, "call %d", calls));
        assert_in_range(calls, 1, 400);
    }
    assert_int_equal(
        test_number(farm, "select count(*) from finding where farm_id = $1 and kind = 'quality "
                          "check'"),
        2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(two_portions_too_far_apart_are_a_finding_and_both_in_doubt),
        FARM_TEST(a_correction_that_brings_a_pair_together_ends_the_finding),
        FARM_TEST(a_changed_farm_file_judges_what_is_on_record_again),
        FARM_TEST(check_samples_pair_with_the_nearest_sample_that_counts),
        FARM_TEST(a_blank_that_is_not_clean_puts_the_results_of_its_day_in_doubt),
        FARM_TEST(without_quality_checks_nothing_is_looked_for),
        FARM_TEST(a_purpose_that_is_none_is_set_aside_and_can_be_explained),
        FARM_TEST(a_limit_above_the_bound_is_one_finding_until_a_finer_one_comes),
        FARM_TEST(the_farm_may_ask_for_a_share_of_the_bound),
        FARM_TEST(whichever_call_fails_nothing_of_a_half_is_left),
    };

    return cmocka_run_group_tests_name("app/quality_checks", tests, test_farms_setup,
                                       test_farms_teardown);
}
