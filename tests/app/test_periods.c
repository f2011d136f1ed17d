/*
 * Periods longer than a month, and those that look back, from the records: what is read for them,
 * what is kept, and which months a late reading makes old.
 */
#include <string.h>

#include "app/month.h"
#include "app/report_month.h"

static const char verdicts[] =
    "select concat_ws(' ', from_day, to_day, standing, so_far, compared) from verdict "
    "where farm_id = $1 and clause = 'solids-mean' order by from_day, to_day";
static const char windows[] =
    "select concat_ws(' ', first_day, last_day, standing, compared) from verdict_window "
    "where farm_id = $1 and clause = 'solids-mean' order by from_day, nth";
static const char findings[] =
    "select concat_ws(' ', from_day, (select step from finding_step s where s.farm_id = f.farm_id "
    "and s.finding = f.finding order by nth desc limit 1)) from finding f where farm_id = $1 and "
    "subject = 'solids-mean' order by from_day";
static const char waiting[] = "select count(*) from to_judge where farm_id = $1";

/* The farm with the monthly mean of solids over another period. */
static void period_set(struct test_farm *farm, const char *period)
{
    char *text = test_swap(farm->mem, farm->text, "    period: month\n", period);

    text = test_swap(farm->mem, text, "    at least: 2 samples\n", "");
    farm->text = test_swap(farm->mem, text, "The monthly mean of solids",
                           "The mean of solids over the period");
    farm->text = test_swap(farm->mem, farm->text, "  - key: solids-mean\n",
                           "  - key: solids-mean\n    change: copied wrongly\n");
    struct farm_changes changes;

    test_farm_load(farm, farm->text, &farm->act, &changes);
    test_farm_confirm(farm);
}

static void sample_take(struct test_farm *farm, const char *number, const char *day,
                        const char *value)
{
    test_take(farm, "laboratory", arena_printf(farm->mem, "%s.csv", number),
              arena_printf(farm->mem, LAB "%s,,,Out,%s 09:00,TSS,%s,mg/L,,\n", number, day, value));
}

static int waiting_check(struct test_farm *farm)
{
    struct err err = ERR_INIT;
    int months = 0;
    int opened = 0;

    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, &months,
                                     &opened, &err),
                &err);
    assert_int_equal(test_number(farm, waiting), 0);

    return months;
}

static void a_late_reading_reaches_into_the_month_after(void **state)
{
    struct test_farm *farm = *state;

    period_set(farm, "    period: running days\n    running days: 7\n    at least: 1 samples\n");
    sample_take(farm, "S1", "2026-05-10", "20");
    sample_take(farm, "S2", "2026-06-03", "20");
    sample_take(farm, "S3", "2026-07-01", "20");
    waiting_check(farm);
    assert_null(strstr(test_query(farm, windows), "outside"));
    sample_take(farm, "S4", "2026-05-28", "60");
    assert_int_equal(waiting_check(farm), 2);

    char *kept = test_query(farm, windows);

    assert_non_null(strstr(kept, "2026-05-22 2026-05-28 outside 60"));
    assert_non_null(strstr(kept, "2026-05-26 2026-06-01 outside 60"));
    assert_non_null(strstr(kept, "2026-05-28 2026-06-03 outside 40"));
    assert_non_null(strstr(kept, "2026-05-29 2026-06-04 within 20"));
    /* One run, over the end of the month. */
    assert_string_equal(test_query(farm, findings), "2026-05-28 open");
    /* Judging May alone leaves the window: June is old too. */
    sample_take(farm, "S5", "2026-05-29", "90");
    month_kept(farm, "2026-05-01", NULL);
    assert_int_equal(test_number(farm, waiting), 1);
    sample_take(farm, "S6", "2026-05-03", "20");
    month_kept(farm, "2026-05-01", NULL);
    assert_int_equal(test_number(farm, waiting), 1);
}

static enum limit_beside beside_in(struct judged_month month)
{
    for (size_t i = 0; i < month.verdicts.count; i++)
        if (str_equal(month.verdicts.items[i].limit->key, "solids-mean"))
            return month.verdicts.items[i].limit->beside;
    fail_msg("the clause was not judged");

    return BESIDE_NONE;
}

/*
 * A changed form is judged by the form before it too until somebody compared it with the licence:
 * a week of which either says that it is outside is not within.
 */
static void weeks_of_a_changed_form_are_within_by_both_forms_or_not_at_all(void **state)
{
    static const char windows_now[] =
        "select concat_ws(' ', first_day, standing) from verdict_window where farm_id = $1 and "
        "clause = 'solids-mean' and from_day = '2026-06-01' order by nth";
    static const char weekly[] =
        "    period: week\n    week starts: Monday\n    across months: where it began\n";
    struct test_farm *farm = *state;
    struct farm_changes changes;

    period_set(farm, weekly);
    sample_take(farm, "S1", "2026-06-02", "20");
    sample_take(farm, "S2", "2026-06-10", "35");
    sample_take(farm, "S3", "2026-06-17", "60");
    month_kept(farm, "2026-06-01", NULL);
    assert_string_equal(test_query(farm, windows_now),
                        "2026-06-01 within\n2026-06-08 outside\n2026-06-15 outside\n"
                        "2026-06-22 not assessable\n2026-06-29 not assessable");
    /* By a bound of 40 the 35 would be within. */
    farm->text = test_swap(farm->mem, farm->text, "    not above: 30\n", "    not above: 40\n");
    test_farm_load(farm, farm->text, &farm->act, &changes);
    assert_int_equal(beside_in(month_kept(farm, "2026-06-01", NULL)), BESIDE_OLDER);
    assert_string_equal(test_query(farm, windows_now),
                        "2026-06-01 within\n2026-06-08 outside\n2026-06-15 outside\n"
                        "2026-06-22 not assessable\n2026-06-29 not assessable");
    test_farm_confirm(farm);
    assert_int_equal(beside_in(month_kept(farm, "2026-06-01", NULL)), BESIDE_NONE);
    assert_string_equal(test_query(farm, windows_now),
                        "2026-06-01 within\n2026-06-08 within\n2026-06-15 outside\n"
                        "2026-06-22 not assessable\n2026-06-29 not assessable");
}

static const char solids_weekly[] = "  - key: solids-weekly\n"
                                    "    name: Solids, weekly mean\n"
                                    "    licence: permit\n"
                                    "    clause: Row 4\n"
                                    "    wording: The weekly mean of solids shall not exceed 30.\n"
                                    "    station: outlet\n"
                                    "    parameter: suspended-solids\n"
                                    "    unit: mg/L\n"
                                    "    samples: grab\n"
                                    "    only while discharging: yes\n"
                                    "    each day: every reading\n"
                                    "    statistic: mean\n"
                                    "    period: week\n"
                                    "    week starts: Monday\n"
                                    "    across months: by its days\n"
                                    "    not above: 30\n"
                                    "    less-thans: half\n"
                                    "    rounding: none\n"
                                    "    in force: {from: 2025-01-01}\n\n";

static void no_window_of_a_clause_that_nobody_confirmed_is_kept_as_within(void **state)
{
    static const char kept[] =
        "select string_agg(concat_ws(' ', first_day, standing, compared), ', ' order by nth) "
        "filter (where figure is not null) from verdict_window where farm_id = $1 and clause = "
        "'solids-weekly'";
    struct test_farm *farm = *state;
    struct farm_changes changes;

    farm->text = test_swap(farm->mem, farm->text, "  - key: oxygen-floor\n",
                           arena_printf(farm->mem, "%s  - key: oxygen-floor\n", solids_weekly));
    test_farm_load(farm, farm->text, &farm->act, &changes);
    sample_take(farm, "S1", "2026-05-06", "20");
    sample_take(farm, "S2", "2026-05-13", "60");
    month_kept(farm, "2026-05-01", NULL);
    assert_string_equal(test_query(farm, kept),
                        "2026-05-04 not assessable 20, 2026-05-11 outside 60");
    test_farm_confirm(farm);
    month_kept(farm, "2026-05-01", NULL);
    assert_string_equal(test_query(farm, kept), "2026-05-04 within 20, 2026-05-11 outside 60");
}

static void a_quarter_is_judged_with_each_of_its_months(void **state)
{
    struct test_farm *farm = *state;

    period_set(farm, "    period: quarter\n");
    sample_take(farm, "S1", "2026-03-31", "90");
    sample_take(farm, "S2", "2026-04-10", "20");
    sample_take(farm, "S3", "2026-06-20", "30");
    sample_take(farm, "S4", "2026-07-02", "90");
    waiting_check(farm);
    assert_string_equal(test_query(farm, verdicts), "2026-01-01 2026-03-31 outside f 90\n"
                                                    "2026-04-01 2026-06-30 within f 25\n"
                                                    "2026-07-01 2026-09-30 outside t 90");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
    sample_take(farm, "S5", "2026-05-20", "52");
    assert_int_equal(waiting_check(farm), 1);
    assert_non_null(strstr(test_query(farm, verdicts), "2026-04-01 2026-06-30 outside f 34"));
    assert_string_equal(test_query(farm, findings),
                        "2026-01-01 open\n2026-04-01 open\n2026-07-01 open");
    /* Another one brings it back: the finding is told so, in whichever month it was judged. */
    sample_take(farm, "S6", "2026-06-25", "1");
    waiting_check(farm);
    assert_string_equal(test_query(farm, findings),
                        "2026-01-01 open\n2026-04-01 worked out again\n2026-07-01 open");
}

static void last_samples_are_read_from_as_far_back_as_they_lie(void **state)
{
    struct test_farm *farm = *state;

    period_set(farm,
               "    period: last samples\n    last samples: 3\n    replicates: each by itself\n");
    sample_take(farm, "S1", "2025-01-10", "90");
    sample_take(farm, "S2", "2025-02-10", "20");
    sample_take(farm, "S3", "2026-06-10", "10");
    month_kept(farm, "2026-06-01", NULL);
    assert_string_equal(test_query(farm, windows), "2025-01-10 2026-06-10 outside 40");
    waiting_check(farm);
    /* One in between takes the place of the oldest. */
    sample_take(farm, "S4", "2025-08-10", "21");
    assert_int_equal(waiting_check(farm), 2);
    assert_non_null(strstr(test_query(farm, windows), "2025-02-10 2026-06-10 within 17"));
    /* One before them all is out of sight, and June is left alone. */
    sample_take(farm, "S5", "2025-01-05", "90");
    waiting_check(farm);
    assert_non_null(strstr(test_query(farm, windows), "2025-02-10 2026-06-10 within 17"));
}

static void periods_one_after_the_other_are_read_too(void **state)
{
    struct test_farm *farm = *state;

    period_set(farm, "    period: month\n    outside only if: 2 of 3 periods\n");
    sample_take(farm, "S1", "2026-02-10", "20");
    sample_take(farm, "S2", "2026-03-10", "20");
    sample_take(farm, "S3", "2026-04-10", "20");
    sample_take(farm, "S4", "2026-05-10", "20");
    sample_take(farm, "S5", "2026-06-10", "90");
    waiting_check(farm);
    assert_string_equal(standing_of(farm, "2026-06-01", "solids-mean"), "within");
    sample_take(farm, "S6", "2026-04-12", "90");
    /* April, and May and June, which look back at it. */
    assert_int_equal(waiting_check(farm), 3);
    assert_non_null(strstr(test_query(farm, verdicts), "2026-06-01 2026-06-30 outside f 90"));
    assert_non_null(strstr(test_query(farm, verdicts), "2026-04-01 2026-04-30 within f 55"));
}

static void only_clauses_whose_evidence_changed_are_judged_again(void **state)
{
    static const char judged[] = "select count(*) from verdict where farm_id = $1 and clause = "
                                 "'oxygen-floor' and judged_at > '2026-07-10 12:00:00Z'";
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    int months = 0;
    int opened = 0;

    sample_take(farm, "S1", "2026-06-10", "20");
    test_take(farm, "logger", "oxygen.csv", WIDE "2026-06-02 12:00,,8,,\n");
    waiting_check(farm);
    test_take(farm, "logger", "late.csv", WIDE "2026-06-03 12:00,,4,,\n");
    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at + HOUR_US, NULL,
                                     &months, &opened, &err),
                &err);
    assert_int_equal(opened, 1);
    assert_int_equal(test_number(farm, judged), 1);
    assert_int_equal(test_number(farm, "select count(*) from verdict where farm_id = $1 and "
                                       "judged_at > '2026-07-10 12:00:00Z'"),
                     1);
}

static const char digests[] =
    "select string_agg(concat_ws(' ', clause, from_day, encode(evidence_sha256::bytea, 'hex')), "
    "' ' order by clause, from_day) from verdict where farm_id = $1";

/* A year of solids makes all of the outlet's record be read; oxygen reads its own month of it. */
static void judging_a_clause_alone_stores_the_digest_that_judging_all_does(void **state)
{
    struct test_farm *farm = *state;
    char *kept;

    period_set(farm, "    period: year\n");
    test_take(farm, "outlet-sheet", "outlet.csv",
              "Time,Outlet\n2026-01-05 08:00,open\n2026-03-01 08:00,shut\n2026-03-02 08:00,open\n"
              "2026-06-10 08:00,shut\n2026-06-11 08:00,open\n");
    sample_take(farm, "S1", "2026-02-10", "20");
    sample_take(farm, "S2", "2026-06-10", "20");
    test_take(farm, "logger", "oxygen.csv",
              WIDE "2026-06-02 12:00,,8,,\n2026-06-04 12:00,,8,odd,\n2026-06-05 12:00,,x,,\n");
    waiting_check(farm);
    month_kept(farm, "2026-06-01", NULL);

    char *before = test_query(farm, digests);

    test_take(farm, "logger", "late.csv", WIDE "2026-06-03 12:00,,7,,\n");
    assert_int_equal(waiting_check(farm), 1);
    kept = test_query(farm, digests);
    assert_string_not_equal(kept, before);
    month_kept(farm, "2026-06-01", NULL);
    assert_string_equal(test_query(farm, digests), kept);
    /* Oxygen alone had changed. */
    assert_memory_equal(strstr(kept, "solids-mean"), strstr(before, "solids-mean"),
                        strlen("solids-mean 2026-01-01 ") + 64);
}

/* Judged with each month, it is one finding; of the next year another one. */
static void a_year_outside_is_one_finding_whichever_months_it_was_judged_with(void **state)
{
    struct test_farm *farm = *state;

    period_set(farm, "    period: year\n");
    sample_take(farm, "S1", "2025-02-10", "90");
    sample_take(farm, "S2", "2025-06-10", "90");
    sample_take(farm, "S3", "2026-03-10", "90");
    sample_take(farm, "S4", "2026-05-20", "20");
    waiting_check(farm);
    month_kept(farm, "2025-02-01", NULL);
    month_kept(farm, "2025-09-01", NULL);
    month_kept(farm, "2026-04-01", NULL);
    assert_string_equal(test_query(farm, findings), "2025-01-01 open\n2026-01-01 open");
    assert_int_equal(test_number(farm, "select count(*) from finding_step s join finding f using "
                                       "(farm_id, finding) where farm_id = $1 and f.subject = "
                                       "'solids-mean'"),
                     2);
}

/* The clause of a year with a last day, and what it says of a change within the year. */
static void year_ends(struct test_farm *farm, const char *rule)
{
    period_set(farm, arena_printf(farm->mem, "    period: year\n%s", rule));

    char *text = strstr(farm->text, "solids-mean");
    char *head = arena_strndup(farm->mem, farm->text, (size_t)(text - farm->text));
    struct farm_changes changes;

    farm->text = arena_printf(farm->mem, "%s%s", head,
                              test_swap(farm->mem, text,
                                        "in force: {from: 2025-01-01}\n\n  - key: "
                                        "oxygen",
                                        "in force: {from: 2025-01-01, to: 2026-04-30}\n\n  - key: "
                                        "oxygen"));
    test_farm_load(farm, farm->text, &farm->act, &changes);
    test_farm_confirm(farm);
}

static void a_year_that_its_clause_judges_in_full_is_kept_up_after_the_clause_ended(void **state)
{
    struct test_farm *farm = *state;

    year_ends(farm, "    across a change: old\n");
    sample_take(farm, "S1", "2026-02-10", "20");
    sample_take(farm, "S2", "2026-04-10", "20");
    waiting_check(farm);
    assert_string_equal(test_query(farm, verdicts), "2026-01-01 2026-12-31 within t 20");
    /* June is past its end, and of its year. */
    sample_take(farm, "S3", "2026-06-10", "80");
    assert_int_equal(waiting_check(farm), 1);
    assert_string_equal(test_query(farm, verdicts), "2026-01-01 2026-12-31 outside t 40");
    assert_string_equal(standing_of(farm, "2026-06-01", "solids-mean"), "so far outside: above 30");
}

static void a_year_whose_clause_ended_without_a_rule_belongs_to_the_months_before(void **state)
{
    struct test_farm *farm = *state;

    year_ends(farm, "");
    sample_take(farm, "S1", "2026-02-10", "20");
    sample_take(farm, "S2", "2026-06-10", "80");
    waiting_check(farm);
    /* It runs no longer: nothing of the rest of the year can change it. */
    assert_string_equal(test_query(farm, verdicts), "2026-01-01 2026-12-31 not assessable f");
    assert_string_equal(standing_of(farm, "2026-04-01", "solids-mean"),
                        "not assessable (the clause was in force only to 30 April 2026, and it is "
                        "not said (across a change) how a period that goes on after that day is "
                        "judged)");
    assert_string_equal(standing_of(farm, "2026-06-01", "solids-mean"), "");
}

/* A workbook is read back before it stands: what it shows is what was judged. */
static void reports_show_longer_periods_and_windows(void **state)
{
    static const char *const periods[] = {
        "    period: quarter\n",
        "    period: running days\n    running days: 7\n    at least: 1 samples\n",
        "    period: month\n    outside only if: 2 of 3 periods\n",
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(periods); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();
        struct month_report report;
        struct err err = ERR_INIT;

        period_set(farm, periods[i]);
        sample_take(farm, "S1", "2026-04-20", "50");
        sample_take(farm, "S2", "2026-05-05", "20");
        sample_take(farm, "S3", "2026-05-20", "90");
        assert_done(month_report_make(farm->db, farm->mem, &farm->open, NULL, day_of("2026-05-01"),
                                      arena_printf(farm->mem, "%s/report.xlsx", farm->folder),
                                      &farm->act, &report, &err),
                    &err);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(weeks_of_a_changed_form_are_within_by_both_forms_or_not_at_all),
        FARM_TEST(a_late_reading_reaches_into_the_month_after),
        FARM_TEST(no_window_of_a_clause_that_nobody_confirmed_is_kept_as_within),
        FARM_TEST(a_quarter_is_judged_with_each_of_its_months),
        FARM_TEST(last_samples_are_read_from_as_far_back_as_they_lie),
        FARM_TEST(periods_one_after_the_other_are_read_too),
        FARM_TEST(only_clauses_whose_evidence_changed_are_judged_again),
        FARM_TEST(judging_a_clause_alone_stores_the_digest_that_judging_all_does),
        FARM_TEST(a_year_outside_is_one_finding_whichever_months_it_was_judged_with),
        FARM_TEST(a_year_that_its_clause_judges_in_full_is_kept_up_after_the_clause_ended),
        FARM_TEST(a_year_whose_clause_ended_without_a_rule_belongs_to_the_months_before),
        cmocka_unit_test(reports_show_longer_periods_and_windows),
    };

    return cmocka_run_group_tests_name("app/periods", tests, test_farms_setup, test_farms_teardown);
}
