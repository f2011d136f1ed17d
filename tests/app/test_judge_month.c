/*
 * Judging months from the records: verdicts that can be worked out again, windows, findings,
 * samples that are missing, and months without discharge.
 */
#include <string.h>

#include "app/clause_acts.h"
#include "app/month.h"
#include "app/say_no_sample.h"

static const char verdicts[] =
    "select to_jsonb(v)::text from verdict v where farm_id = $1 order by clause, from_day";
static const char verdict_days[] =
    "select to_jsonb(v)::text from verdict_day v where farm_id = $1 order by clause, day";
static const char lapses[] =
    "select to_jsonb(v)::text from lapse v where farm_id = $1 order by clause, from_day";
static const char findings[] =
    "select concat_ws(' ', kind, subject, station, from_day, (select string_agg(step, ', ' order "
    "by "
    "nth) from finding_step s where s.farm_id = f.farm_id and s.finding = f.finding)) from finding "
    "f where farm_id = $1 order by 1";
static const char windows[] = "select concat_ws(' ', station, parameter, first_day, last_day) "
                              "from to_judge where farm_id = $1 order by 1";

/* Two samples in May, the first outside; oxygen on some days. */
static void may_take(struct test_farm *farm)
{
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,14,mg/L,,\n");
    test_take(farm, "logger", "oxygen.csv",
              WIDE "2026-05-02 12:00,,8,,\n2026-05-03 12:00,,4.9,,\n2026-05-04 12:00,,4,,\n"
                   "2026-05-05 12:00,,3,,\n2026-05-06 12:00,,5,,\n2026-05-08 12:00,,4.99,,\n");
}

static int waiting_check(struct test_farm *farm, int *months)
{
    struct err err = ERR_INIT;
    int opened = 0;

    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, months,
                                     &opened, &err),
                &err);

    return opened;
}

static void deleted_verdicts_are_worked_out_again_the_same(void **state)
{
    struct test_farm *farm = *state;

    may_take(farm);
    month_kept(farm, "2026-05-01", NULL);

    char *before[] = {test_query(farm, verdicts), test_query(farm, verdict_days),
                      test_query(farm, lapses)};

    assert_non_null(strstr(before[0], "\"outside\""));
    test_query(farm, "delete from verdict where farm_id = $1");
    test_query(farm, "delete from lapse where farm_id = $1");
    assert_string_equal(test_query(farm, verdict_days), "");
    month_kept(farm, "2026-05-01", NULL);
    assert_string_equal(test_query(farm, verdicts), before[0]);
    assert_string_equal(test_query(farm, verdict_days), before[1]);
    assert_string_equal(test_query(farm, lapses), before[2]);
    /* And once more with them there. */
    month_kept(farm, "2026-05-01", NULL);
    assert_string_equal(test_query(farm, verdicts), before[0]);
    assert_string_equal(test_query(farm, verdict_days), before[1]);
}

/* The transaction that wrote a row tells whether it was written again. */
static void windows_and_days_that_stand_already_are_not_written_again(void **state)
{
    static const char of_days[] =
        "select concat_ws(' ', clause, day, xmin) from verdict_day where farm_id = $1 order by 1";
    static const char of_windows[] = "select concat_ws(' ', clause, nth, xmin) from verdict_window "
                                     "where farm_id = $1 order by 1";
    static const char stale[] = "update verdict set figure = '?', words = '?' where farm_id = $1";
    struct test_farm *farm = *state;

    may_take(farm);
    month_kept(farm, "2026-05-01", NULL);

    char *first[] = {test_query(farm, of_days), test_query(farm, of_windows),
                     test_query(farm, verdicts), test_query(farm, verdict_days)};

    assert_non_null(strstr(first[0], "oxygen-floor 2026-05-03"));
    /* The verdict itself is written each time. */
    test_query(farm, stale);
    month_kept(farm, "2026-05-01", NULL);
    assert_string_equal(test_query(farm, of_days), first[0]);
    assert_string_equal(test_query(farm, of_windows), first[1]);
    assert_string_equal(test_query(farm, verdicts), first[2]);
    /* What changed is written, and of clauses that it does not touch nothing. */
    test_take(farm, "logger", "late.csv", WIDE "2026-05-06 13:00,,3,,\n");
    month_kept(farm, "2026-05-01", NULL);
    assert_string_not_equal(test_query(farm, of_days), first[0]);
    assert_string_not_equal(test_query(farm, verdict_days), first[3]);
    assert_non_null(strstr(test_query(farm, of_days), "solids-each 2026-05-04"));
    test_query(farm, "delete from verdict where farm_id = $1 and clause <> 'solids-each'");
    assert_non_null(strstr(first[0], test_query(farm, of_days)));
}

/* They are judged by what they read: oxygen before solids. */
static void verdicts_come_in_the_order_of_the_farm_file(void **state)
{
    static const char *const keys[] = {"solids-each", "solids-mean", "oxygen-floor"};
    struct test_farm *farm = *state;
    struct judged_month month;

    may_take(farm);
    month = month_kept(farm, "2026-05-01", NULL);
    assert_int_equal(month.verdicts.count, ARRAY_LEN(keys));
    assert_int_equal(month.digests.count, ARRAY_LEN(keys));
    for (size_t i = 0; i < ARRAY_LEN(keys); i++) {
        char *kept = test_query(
            farm, arena_printf(farm->mem,
                               "select encode(evidence_sha256::bytea, 'hex') from verdict where "
                               "farm_id = $1 and clause = '%s'",
                               keys[i]));

        assert_string_equal(month.verdicts.items[i].limit->key, keys[i]);
        assert_string_equal(digest_text(farm->mem, &month.digests.items[i]), kept);
    }
    test_take(farm, "logger", "late.csv", WIDE "2026-05-07 12:00,,6,,\n");

    struct digest before = month.digests.items[1];

    month = month_kept(farm, "2026-05-01", NULL);
    assert_memory_equal(&month.digests.items[1], &before, sizeof(before));
}

static void the_digest_tells_whether_the_evidence_changed(void **state)
{
    static const char digests[] =
        "select string_agg(distinct encode(evidence_sha256::bytea, 'hex'), ' ') from verdict "
        "where farm_id = $1";
    struct test_farm *farm = *state;

    may_take(farm);
    month_kept(farm, "2026-05-01", NULL);

    char *before = test_query(farm, digests);

    /* What no clause rests on. */
    test_take(farm, "local-logger", "tank.csv", "Time,Temp (degC)\n2026-05-02 01:00,9\n");
    month_kept(farm, "2026-05-01", NULL);
    assert_string_equal(test_query(farm, digests), before);
    test_take(farm, "laboratory", "more.csv", LAB "S3,,,Out,2026-05-20 09:00,TSS,14,mg/L,,\n");
    month_kept(farm, "2026-05-01", NULL);
    assert_string_not_equal(test_query(farm, digests), before);
}

static void judging_takes_the_windows_of_its_month_away(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "both.csv",
              LAB "S1,,,Out,2026-05-31 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Out,2026-06-30 09:00,TSS,14,mg/L,,\n");
    assert_string_equal(test_query(farm, windows), "outlet suspended-solids 2026-05-31 2026-05-31\n"
                                                   "outlet suspended-solids 2026-06-01 2026-06-30");
    month_kept(farm, "2026-05-17", NULL);
    assert_string_equal(test_query(farm, windows), "outlet suspended-solids 2026-06-01 2026-06-30");

    int months = 0;

    /* A window at the edge of a month may touch the next one: a day's evidence reaches over. */
    waiting_check(farm, &months);
    assert_string_equal(test_query(farm, windows), "");
    assert_in_range(months, 1, 2);
    waiting_check(farm, &months);
    assert_int_equal(months, 0);
}

/* What a month holds of a clause, looked at alone or (key NULL) among all of them. */
static struct judged_month looked_at(struct test_farm *farm, const char *key)
{
    struct judged_month month;
    struct err err = ERR_INIT;

    if (key)
        assert_done(month_look_at(farm->db, farm->mem, &farm->open, day_of("2026-05-01"), key,
                                  farm->act.at, &month, &err),
                    &err);
    else
        assert_done(month_look(farm->db, farm->mem, &farm->open, day_of("2026-05-01"), farm->act.at,
                               &month, &err),
                    &err);

    return month;
}

static void a_clause_looked_at_alone_reads_its_own_series_and_says_the_same(void **state)
{
    struct test_farm *farm = *state;
    size_t found = 0;

    may_take(farm);

    struct judged_month all = looked_at(farm, NULL);

    for (size_t i = 0; i < all.verdicts.count; i++) {
        const struct verdict *among = &all.verdicts.items[i];
        struct judged_month alone = looked_at(farm, among->limit->key);

        for (size_t j = 0; j < alone.verdicts.count; j++) {
            const struct verdict *verdict = &alone.verdicts.items[j];

            assert_string_equal(verdict->limit->key, among->limit->key);
            if (verdict->from != among->from)
                continue;
            found++;
            assert_string_equal(verdict->words, among->words);
            assert_int_equal(verdict->item_count, among->item_count);
        }
    }
    assert_int_equal(found, all.verdicts.count);
    assert_int_equal(all.loaded.evidence.series_count, 2); /* solids and oxygen */
    assert_int_equal(looked_at(farm, "oxygen-floor").loaded.evidence.series_count, 1);
    assert_int_equal(looked_at(farm, "oxygen-flour").verdicts.count, all.verdicts.count);
}

static void nothing_is_judged_where_nothing_is_stored(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    day_number newest = 0;
    int months = 7;

    assert_int_equal(waiting_check(farm, &months), 0);
    assert_int_equal(months, 0);
    assert_done(month_newest(farm->db, &farm->open, &newest, &err), &err);
    assert_int_equal(newest, DAY_NONE);
    may_take(farm);
    assert_done(month_newest(farm->db, &farm->open, &newest, &err), &err);
    assert_int_equal(newest, day_of("2026-05-01"));
}

static void a_finding_is_opened_once_for_each_unbroken_run(void **state)
{
    struct test_farm *farm = *state;
    int opened = 0;

    may_take(farm);
    month_kept(farm, "2026-05-01", &opened);
    assert_int_equal(opened, 3);
    assert_string_equal(test_query(farm, findings), "limit oxygen-floor outlet 2026-05-03 open\n"
                                                    "limit oxygen-floor outlet 2026-05-08 open\n"
                                                    "limit solids-each outlet 2026-05-04 open");
    month_kept(farm, "2026-05-01", &opened);
    assert_int_equal(opened, 0);
    /* The days in between were outside too: one run, and the later finding is part of it. */
    test_take(farm, "logger", "late.csv", WIDE "2026-05-06 13:00,,4,,\n2026-05-07 12:00,,4,,\n");
    month_kept(farm, "2026-05-01", &opened);
    assert_int_equal(opened, 0);
    month_kept(farm, "2026-05-01", &opened);
    assert_string_equal(test_query(farm, findings),
                        "limit oxygen-floor outlet 2026-05-03 open\n"
                        "limit oxygen-floor outlet 2026-05-08 open, worked out again\n"
                        "limit solids-each outlet 2026-05-04 open");
}

static void a_run_over_the_end_of_a_month_is_one_finding(void **state)
{
    struct test_farm *farm = *state;
    int months = 0;

    test_take(farm, "logger", "edge.csv",
              WIDE "2026-05-30 12:00,,4,,\n2026-05-31 12:00,,4,,\n2026-06-01 12:00,,4,,\n"
                   "2026-06-03 12:00,,4,,\n");
    waiting_check(farm, &months);
    assert_int_equal(months, 2);
    assert_string_equal(test_query(farm, "select string_agg(from_day::text, ' ' order by from_day) "
                                         "from finding where farm_id = $1 and subject = "
                                         "'oxygen-floor'"),
                        "2026-05-30 2026-06-03");
}

static void a_finding_that_a_correction_undoes_stays_and_says_so(void **state)
{
    struct test_farm *farm = *state;

    may_take(farm);
    month_kept(farm, "2026-05-01", NULL);
    test_query(farm, "insert into correction (farm_id, series_id, at, until, portion, nth, kind, "
                     "qualifier, reported, unit, value, reason, person) select farm_id, series_id, "
                     "at, until, portion, 1, 'value', '=', 14, unit, 14, 'misread', 'pat' from "
                     "reading where farm_id = $1 and reported = 44");
    month_kept(farm, "2026-05-01", NULL);
    assert_non_null(strstr(test_query(farm, findings),
                           "limit solids-each outlet 2026-05-04 open, worked out again"));
}

/* --- samples that are missing -------------------------------------------------------------- */

static char *lapse_of(struct test_farm *farm, const char *from)
{
    return test_query(farm,
                      arena_printf(farm->mem,
                                   "select concat_ws(' ', state, done, 'of', required, "
                                   "reason) from lapse where farm_id = $1 and from_day = '%s'",
                                   from));
}

static bool say(struct test_farm *farm, const char *interval, enum no_sample_reason why,
                const char *explanation, const char *person, struct err *err)
{
    struct no_sample reason = {
        .day = day_of("2026-06-18"), .reason = why, .explanation = explanation};
    struct act act = {.person = person, .at = farm->act.at};

    return no_sample_say(farm->db, farm->mem, &farm->open, interval, reason, &act, NULL, err);
}

static void a_missed_sample_is_a_finding_and_a_reason_is_told(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    int opened = 0;

    test_take(farm, "laboratory", "june.csv", LAB "S1,,,Out,2026-06-04 09:00,TSS,14,mg/L,,\n");
    month_kept(farm, "2026-06-01", &opened);
    assert_string_equal(lapse_of(farm, "2026-06-01"), "missed 1 of 2");
    assert_int_equal(opened, 1);
    assert_string_equal(test_query(farm, findings), "interval twice outlet 2026-06-01 open");

    assert_done(say(farm, "twice", NO_SAMPLE_LOST, "the bottle broke", "pat", &err), &err);
    assert_string_equal(test_query(farm, windows), "  2026-06-18 2026-06-18");
    month_kept(farm, "2026-06-01", &opened);
    /* A miss with a cause is still a miss, which the authority judges. */
    assert_string_equal(lapse_of(farm, "2026-06-01"), "missed 1 of 2 lost");
    assert_int_equal(opened, 0);
}

/* It read "1 of 2 done; no reason on record" though the bottle had been filled. */
static void a_missed_sample_says_which_result_was_lacking(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "june.csv",
              LAB
              "S1,,,Out,2026-06-04 09:00,TSS,14,mg/L,,\nS2,,,Out,2026-06-18 09:00,TSS,12,mgl,,\n");

    struct judged_month month = month_kept(farm, "2026-06-01", NULL);

    assert_string_equal(month.intervals.items[0].dues.items[0].words,
                        "missed: was due by 30 June 2026; 1 of 2 done; sampled on 18 June 2026, "
                        "but suspended-solids was set aside");
    assert_int_equal(month.intervals.items[0].evidence.sample_count, 1);
    test_query(farm, "insert into correction (farm_id, series_id, at, until, portion, nth, kind, "
                     "reason, person) select farm_id, series_id, at, until, portion, 1, "
                     "'left out', 'broken', 'pat' from reading where farm_id = $1");
    month = month_kept(farm, "2026-06-01", NULL);
    assert_non_null(
        strstr(month.intervals.items[0].dues.items[0].words,
               "0 of 2 done; sampled on 4 June 2026, but suspended-solids was left out; "
               "sampled on 18 June 2026"));
}

/* A reason was taken for a month that had its samples, and for a day still to come. */
static void a_reason_is_for_something_that_is_missing(void **state)
{
    struct test_farm *farm = *state;
    struct no_sample later = {
        .day = day_of("2099-06-18"), .reason = NO_SAMPLE_LOST, .explanation = "it will break"};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "june.csv",
              LAB "S1,,,Out,2026-06-04 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Out,2026-06-18 09:00,TSS,12,mg/L,,\n");
    assert_fails(say(farm, "twice", NO_SAMPLE_LOST, "x", "pat", &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "twice lacks no sample then"));
    assert_fails(
        no_sample_say(farm->db, farm->mem, &farm->open, "twice", later, &farm->act, NULL, &err),
        ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "that day has not come yet"));
}

static void a_reason_needs_an_interval_words_and_a_person_who_may(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    char *before = test_state(farm);

    assert_fails(say(farm, "thrice", NO_SAMPLE_LOST, "x", "pat", &err), ERR_NOT_FOUND, &err);
    assert_fails(say(farm, "twice", NO_SAMPLE_LOST, "", "pat", &err), ERR_INVALID, &err);
    assert_fails(say(farm, "twice", NO_SAMPLE_LOST, "x", "rory", &err), ERR_DENIED, &err);
    test_state_same(before, test_state(farm), "refused reasons");
}

/* --- discharge ----------------------------------------------------------------------------- */

static void a_month_without_discharge_has_nothing_due(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "outlet-sheet", "outlet.csv",
              "Time,Outlet\n2026-04-30 00:00,shut\n2026-06-05 08:00,open\n");
    /* Kept, and no sample of the discharge; outside, and of water that did not go out. */
    may_take(farm);

    struct judged_month month = month_kept(farm, "2026-05-01", NULL);

    assert_int_equal(month.verdicts.count, 3);
    for (size_t i = 0; i < month.verdicts.count; i++) {
        if (month.verdicts.items[i].standing != STANDING_NOTHING_DUE)
            fail_msg("%s: %s", month.verdicts.items[i].limit->key, month.verdicts.items[i].words);
    }
    assert_string_equal(test_query(farm, findings), "");
    assert_string_equal(test_query(farm, "select state from lapse where farm_id = $1"),
                        "nothing due");
    /* In June it ran from the 5th on. */
    month = month_kept(farm, "2026-06-01", NULL);
    assert_int_equal(month.loaded.points[0].days[2].state, DISCHARGE_NONE);
    assert_int_equal(month.loaded.points[0].days[4].state, DISCHARGE_YES);
    assert_int_equal(month.loaded.points[0].days[29].state, DISCHARGE_YES);
}

static void meter_give(struct test_farm *farm)
{
    static const char meter[] = "sources:\n"
                                "  - key: meter-sheet\n    name: Meter\n    shape: long\n"
                                "    separator: comma\n    decimal mark: point\n    clock: UTC\n"
                                "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"
                                "    station: outlet\n    parameter: discharge-meter\n"
                                "    unit: m3\n    value column: Meter\n    kind: by hand\n";
    static const char outlet[] = "outlet: {station: outlet, parameter: outlet}\n";
    struct farm_changes changes;

    farm->text = test_swap(farm->mem, farm->text, "sources:\n", meter);
    farm->text = test_swap(farm->mem, farm->text, outlet,
                           arena_printf(farm->mem,
                                        "%s        meter: {station: outlet, parameter: "
                                        "discharge-meter}\n",
                                        outlet));
    test_farm_load(farm, farm->text, &farm->act, &changes);
    test_farm_confirm(farm);
}

/* It read "nothing due: no discharge" though the meter had moved. */
static void no_discharge_excuses_nothing_where_the_records_disagree(void **state)
{
    struct test_farm *farm = *state;
    struct no_sample reason = {.day = day_of("2026-06-18"),
                               .reason = NO_SAMPLE_NO_DISCHARGE,
                               .explanation = "we were shut"};
    const char *disagrees = NULL;
    struct err err = ERR_INIT;

    meter_give(farm);
    test_take(farm, "outlet-sheet", "outlet.csv",
              "Time,Outlet\n2026-05-31 00:00,shut\n2026-07-01 00:00,shut\n");
    test_take(farm, "meter-sheet", "meter.csv",
              "Time,Meter\n2026-06-18 00:00,100\n2026-06-19 00:00,160\n");
    assert_done(no_sample_say(farm->db, farm->mem, &farm->open, "twice", reason, &farm->act,
                              &disagrees, &err),
                &err);
    assert_string_equal(disagrees, "a person stated that it was shut, but the meter moved");
    assert_string_equal(month_kept(farm, "2026-06-01", NULL).intervals.items[0].dues.items[0].words,
                        "missed: was due by 30 June 2026; 0 of 2 done; no discharge, but the "
                        "records say otherwise: a person stated that it was shut, but the meter "
                        "moved");
}

static void a_running_month_is_judged_so_far(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "july.csv",
              LAB "S1,,,Out,2026-07-02 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Out,2026-07-09 09:00,TSS,16,mg/L,,\n");
    assert_string_equal(standing_of(farm, "2026-07-01", "solids-mean"), "so far within");
    /* Seen from August, with nothing more, it is over. */
    farm->act.at = test_at("2026-08-02 12:00");
    assert_string_equal(standing_of(farm, "2026-07-01", "solids-mean"), "within");
}

/* Two results of 31: outside the mean. Which of them count? */
static const struct {
    const char *purpose;
    const char *standing;
} purposes[] = {
    {"required", "outside: above 30"},
    {"extra", "outside: above 30"},
    {"looking for a cause", "outside: above 30"},
    {"check", "within"},
    {"the authority's own", "within"},
    {"blank", "within"},
    {"duplicate", "within"},
};

static void samples_count_by_their_purpose(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(purposes); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();

        test_take(farm, "laboratory", "may.csv",
                  arena_printf(farm->mem,
                               LAB "S1,,,Out,2026-05-04 09:00,TSS,20,mg/L,,\n"
                                   "S2,,,Out,2026-05-11 09:00,TSS,20,mg/L,,\n"
                                   "S3,,%s,Out,2026-05-18 09:00,TSS,80,mg/L,,\n",
                               purposes[i].purpose));
        if (!str_equal(standing_of(farm, "2026-05-01", "solids-mean"), purposes[i].standing))
            fail_msg("%s: %s", purposes[i].purpose, standing_of(farm, "2026-05-01", "solids-mean"));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(deleted_verdicts_are_worked_out_again_the_same),
        FARM_TEST(windows_and_days_that_stand_already_are_not_written_again),
        FARM_TEST(the_digest_tells_whether_the_evidence_changed),
        FARM_TEST(verdicts_come_in_the_order_of_the_farm_file),
        FARM_TEST(judging_takes_the_windows_of_its_month_away),
        FARM_TEST(nothing_is_judged_where_nothing_is_stored),
        FARM_TEST(a_finding_is_opened_once_for_each_unbroken_run),
        FARM_TEST(a_run_over_the_end_of_a_month_is_one_finding),
        FARM_TEST(a_finding_that_a_correction_undoes_stays_and_says_so),
        FARM_TEST(a_missed_sample_is_a_finding_and_a_reason_is_told),
        FARM_TEST(a_missed_sample_says_which_result_was_lacking),
        FARM_TEST(a_reason_is_for_something_that_is_missing),
        FARM_TEST(a_reason_needs_an_interval_words_and_a_person_who_may),
        FARM_TEST(a_month_without_discharge_has_nothing_due),
        FARM_TEST(no_discharge_excuses_nothing_where_the_records_disagree),
        FARM_TEST(a_running_month_is_judged_so_far),
        cmocka_unit_test(samples_count_by_their_purpose),
        FARM_TEST(a_clause_looked_at_alone_reads_its_own_series_and_says_the_same),
    };

    return cmocka_run_group_tests_name("app/judge_month", tests, test_farms_setup,
                                       test_farms_teardown);
}
