#include <string.h>

#include "base/buf.h"
#include "harness/cmocka.h"
#include "plan/interval.h"

enum { SAMPLES_MOST = 8 };

static day_number day_of(const char *text)
{
    struct err err = ERR_INIT;
    day_number day;

    if (!day_parse(text, &day, &err))
        fail_msg("%s", err.text);

    return day;
}

/* Dues as "missed 2026-04-07 0/1;": state, last day in time, done of required. */
static char *dues_text(struct arena *mem, const struct due_list *list)
{
    struct buf out = buf_new(mem);

    for (size_t i = 0; i < list->count; i++) {
        const struct due *due = &list->items[i];

        buf_addf(&out, "%s%s %s %d/%d%s%s", i ? "; " : "", due_state_name(due->state),
                 day_text(mem, due->due), due->done, due->required, due->reason ? " " : "",
                 due->reason ? due->reason : "");
    }

    return out.data;
}

#define WEEKLY .shape = INTERVAL_PER_PERIOD, .period = INTERVAL_WEEK, .in_force_to = DAY_NONE
#define MONTHLY .shape = INTERVAL_PER_PERIOD, .period = INTERVAL_MONTH, .in_force_to = DAY_NONE
#define APART .shape = INTERVAL_AT_MOST_DAYS, .in_force_to = DAY_NONE

struct due_row {
    struct interval interval;
    const char *in_force_from;
    const char *samples[SAMPLES_MOST];
    const char *from;
    const char *to;
    const char *today;
    const char *dues;
    const char *why;
};

static const struct due_row due_rows[] = {
    /* Monthly sampling of NSW EPA and UK permits: calendar months against days between. */
    {{MONTHLY, .count = 1},
     "2026-01-01",
     {"2026-03-03", "2026-04-28"},
     "2026-03-01",
     "2026-04-30",
     "2026-05-02",
     "done 2026-03-31 1/1; done 2026-04-30 1/1",
     "3 March and 28 April are both months done"},
    {{APART, .days = 35},
     "2026-01-01",
     {"2026-02-10", "2026-03-03", "2026-04-28"},
     "2026-03-01",
     "2026-04-30",
     "2026-05-02",
     "done 2026-03-17 1/1; missed 2026-04-07 0/1",
     "and 56 days apart where 35 are allowed"},
    {{APART, .days = 56},
     "2026-01-01",
     {"2026-03-03", "2026-04-28"},
     "2026-04-01",
     "2026-04-30",
     "2026-05-02",
     "done 2026-04-28 1/1",
     "on the last day in time"},
    /* Spacing of South Australia's Aquaculture Regulations: at least three months apart. */
    {{MONTHLY, .count = 1, .apart_days = 90},
     "2026-01-01",
     {"2026-01-15", "2026-04-14"},
     "2026-04-01",
     "2026-04-30",
     "2026-05-02",
     "missed 2026-04-30 0/1",
     "14 April is closer than 90 days to 15 January"},
    {{MONTHLY, .count = 1, .apart_days = 90},
     "2026-01-01",
     {"2026-01-15", "2026-04-15"},
     "2026-04-01",
     "2026-04-30",
     "2026-05-02",
     "done 2026-04-30 1/1",
     "15 April is not"},

    /* common practice, no source, from here on */
    {{WEEKLY, .count = 1},
     "2026-01-01",
     {"2026-05-05", "2026-05-14"},
     "2026-05-04",
     "2026-05-24",
     "2026-05-25",
     "done 2026-05-10 1/1; done 2026-05-17 1/1; missed 2026-05-24 0/1",
     "weeks from Monday; the third had none"},
    {{WEEKLY, .count = 1},
     "2026-01-01",
     {"2026-05-05", "2026-05-14"},
     "2026-05-04",
     "2026-05-24",
     "2026-05-24",
     "done 2026-05-10 1/1; done 2026-05-17 1/1; due 2026-05-24 0/1",
     "a running week is due until it ends"},
    {{WEEKLY, .count = 1, .week_starts = 7},
     "2026-01-01",
     {"2026-05-10"},
     "2026-05-03",
     "2026-05-16",
     "2026-06-01",
     "missed 2026-05-09 0/1; done 2026-05-16 1/1",
     "Sunday is the first day of such a week"},
    {{WEEKLY, .count = 2, .apart_days = 3},
     "2026-01-01",
     {"2026-05-04", "2026-05-05", "2026-05-12", "2026-05-15"},
     "2026-05-04",
     "2026-05-17",
     "2026-06-01",
     "missed 2026-05-10 1/2; done 2026-05-17 2/2",
     "a sample a day after the first does not count, three days after it does"},
    {{WEEKLY, .count = 1},
     "2026-01-01",
     {"2026-05-04", "2026-05-06", "2026-05-08"},
     "2026-05-04",
     "2026-05-17",
     "2026-06-01",
     "done 2026-05-10 3/1; missed 2026-05-17 0/1",
     "extra samples serve their own week only"},
    {{WEEKLY, .count = 1, .tolerance_days = 2},
     "2026-01-01",
     {"2026-05-12"},
     "2026-05-04",
     "2026-05-17",
     "2026-06-01",
     "done 2026-05-10 1/1; missed 2026-05-17 0/1",
     "within the tolerance it serves the week before, and only that"},
    {{WEEKLY, .count = 1, .tolerance_days = 2},
     "2026-01-01",
     {"2026-05-13"},
     "2026-05-04",
     "2026-05-17",
     "2026-06-01",
     "missed 2026-05-10 0/1; done 2026-05-17 1/1",
     "missed stays missed when the sample comes after the tolerance"},
    {{WEEKLY, .count = 1, .tolerance_days = 2},
     "2026-01-01",
     {NULL},
     "2026-05-04",
     "2026-05-10",
     "2026-05-12",
     "late 2026-05-10 0/1",
     "late inside the tolerance"},
    {{MONTHLY, .count = 1},
     "2026-01-20",
     {"2026-02-02"},
     "2026-01-01",
     "2026-02-28",
     "2026-03-01",
     "missed 2026-01-31 0/1; done 2026-02-28 1/1",
     "a part of a month in force asks for one"},
    {{MONTHLY, .count = 4},
     "2026-01-20",
     {"2026-01-25"},
     "2026-01-01",
     "2026-01-31",
     "2026-03-01",
     "done 2026-01-31 1/1",
     "and for one only"},
    {{MONTHLY, .count = 1, .season_from = 1001, .season_to = 331},
     "2025-01-01",
     {"2026-03-02"},
     "2026-03-01",
     "2026-04-30",
     "2026-06-01",
     "done 2026-03-31 1/1; nothing due 2026-04-30 0/0 out of season",
     "a season over the turn of the year"},
    {{WEEKLY, .count = 1, .season_from = 515, .season_to = 610},
     "2026-01-01",
     {"2026-05-05", "2026-05-20", "2026-06-08", "2026-06-24"},
     "2026-05-01",
     "2026-05-31",
     "2026-07-01",
     "nothing due 2026-05-03 0/0 out of season; nothing due 2026-05-10 0/0 out of season; missed "
     "2026-05-17 0/1; done 2026-05-24 1/1; missed 2026-05-31 0/1",
     "a sample out of season serves no week of it"},
    {{WEEKLY, .count = 1, .season_from = 515, .season_to = 610},
     "2026-01-01",
     {"2026-06-08", "2026-06-24"},
     "2026-06-01",
     "2026-06-30",
     "2026-07-01",
     "missed 2026-06-07 0/1; done 2026-06-10 1/1; nothing due 2026-06-21 0/0 out of season; "
     "nothing "
     "due 2026-06-28 0/0 out of season",
     "and the last week of the season ends with it"},

    {{APART, .days = 7},
     "2026-05-01",
     {NULL},
     "2026-05-01",
     "2026-05-31",
     "2026-05-08",
     "due 2026-05-08 0/1",
     "the first gap runs from the first day in force"},
    {{APART, .days = 7},
     "2026-05-01",
     {NULL},
     "2026-05-01",
     "2026-05-31",
     "2026-05-09",
     "missed 2026-05-08 0/1",
     "a day later it is missed"},
    {{APART, .days = 7, .tolerance_days = 1},
     "2026-05-01",
     {NULL},
     "2026-05-01",
     "2026-05-31",
     "2026-05-09",
     "late 2026-05-08 0/1",
     "or late, with a tolerance"},
    {{APART, .days = 7},
     "2026-05-01",
     {"2026-05-20"},
     "2026-05-01",
     "2026-05-31",
     "2026-05-21",
     "missed 2026-05-08 0/1; due 2026-05-27 0/1",
     "a later sample does not undo it"},
    {{APART, .days = 7},
     "2026-05-01",
     {"2026-04-28"},
     "2026-05-01",
     "2026-05-31",
     "2026-05-02",
     "due 2026-05-05 0/1",
     "a new shorter interval runs from the last sample"},
    {{APART, .days = 7},
     "2026-05-01",
     {"2026-01-01"},
     "2026-05-01",
     "2026-05-31",
     "2026-05-02",
     "missed 2026-05-01 0/1",
     "what had expired before stays so, from the first day in force"},
    {{APART, .days = 7},
     "2026-01-01",
     {"2026-03-01"},
     "2026-05-01",
     "2026-05-31",
     "2026-06-20",
     "missed 2026-03-08 0/1",
     "a gap open all month is missed in that month too"},
    {{APART, .days = 7},
     "2026-01-01",
     {"2026-04-28", "2026-05-04", "2026-06-20"},
     "2026-06-21",
     "2026-06-30",
     "2026-07-30",
     "missed 2026-06-27 0/1",
     "what was answered before is not shown"},
};

static void every_interval_asks_for_what_its_words_say(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(due_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct due_row *row = &due_rows[i];
        struct interval interval = row->interval;
        day_number samples[SAMPLES_MOST];
        size_t count = 0;

        interval.in_force_from = day_of(row->in_force_from);
        for (; count < SAMPLES_MOST && row->samples[count]; count++)
            samples[count] = day_of(row->samples[count]);

        struct plan_evidence evidence = {.samples = samples,
                                         .sample_count = count,
                                         .from = day_of(row->from),
                                         .to = day_of(row->to),
                                         .today = day_of(row->today)};
        struct due_list list = plan_dues(mem, &interval, &evidence);
        char *text = dues_text(mem, &list);

        if (strcmp(text, row->dues) != 0)
            fail_msg("%s: %s", row->why, text);
    }
}

/* May 2026 from Friday the 1st; the outlet is open on the days from..to only. */
struct discharge_row {
    struct interval interval;
    int open_from;
    int open_to;
    const char *samples[SAMPLES_MOST];
    const char *dues;
    const char *why;
};

static const struct discharge_row discharge_rows[] = {
    {{MONTHLY, .count = 1, .only_while_discharging = true},
     0,
     0,
     {NULL},
     "nothing due 2026-05-31 0/0 no discharge",
     "a month without discharge"},
    {{MONTHLY, .count = 1, .only_while_discharging = true},
     31,
     31,
     {NULL},
     "missed 2026-05-31 0/1",
     "one day of discharge asks for the sample"},
    {{MONTHLY, .count = 1},
     0,
     0,
     {NULL},
     "missed 2026-05-31 0/1",
     "a clause that does not speak of discharge asks for it anyway"},
    {{WEEKLY, .count = 1, .only_while_discharging = true},
     11,
     17,
     {"2026-05-12"},
     "missed 2026-05-03 0/1; nothing due 2026-05-10 0/0 no discharge; done 2026-05-17 1/1; "
     "nothing due 2026-05-24 0/0 no discharge; nothing due 2026-05-31 0/0 no discharge",
     "days that nobody told of (27 to 30 April) count as discharging"},
    {{APART, .days = 7, .only_while_discharging = true},
     11,
     31,
     {"2026-05-17"},
     "done 2026-05-17 1/1; due 2026-05-24 0/1",
     "shut days do not count between samples"},
    {{APART, .days = 7, .only_while_discharging = true},
     0,
     0,
     {NULL},
     "nothing due 2026-05-31 0/0 no discharge",
     "none of them"},
};

static void time_without_discharge_does_not_count(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(discharge_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct discharge_row *row = &discharge_rows[i];
        struct interval interval = row->interval;
        day_number samples[SAMPLES_MOST];
        bool discharging[31] = {false};
        size_t count = 0;

        interval.in_force_from =
            day_of(row->interval.shape == INTERVAL_AT_MOST_DAYS ? "2026-05-01" : "2026-01-01");
        for (int day = row->open_from; day > 0 && day <= row->open_to; day++)
            discharging[day - 1] = true;
        for (; count < SAMPLES_MOST && row->samples[count]; count++)
            samples[count] = day_of(row->samples[count]);

        bool is_apart = interval.shape == INTERVAL_AT_MOST_DAYS;
        struct plan_evidence evidence = {.samples = samples,
                                         .sample_count = count,
                                         .discharging = discharging,
                                         .from = day_of("2026-05-01"),
                                         .to = day_of("2026-05-31"),
                                         .today = day_of(is_apart ? "2026-05-20" : "2026-06-01")};
        struct due_list list = plan_dues(mem, &interval, &evidence);
        char *text = dues_text(mem, &list);

        if (strcmp(text, row->dues) != 0)
            fail_msg("%s: %s", row->why, text);
    }
}

struct reason_row {
    struct interval interval;
    enum no_sample_reason reason;
    const char *day;
    const char *dues;
    const char *why;
};

static const struct reason_row reason_rows[] = {
    {{WEEKLY, .count = 1},
     NO_SAMPLE_NO_DISCHARGE,
     "2026-05-06",
     "nothing due 2026-05-10 0/0 no discharge; missed 2026-05-17 0/1",
     "a person says that there was no discharge"},
    {{WEEKLY, .count = 1},
     NO_SAMPLE_NOT_REQUIRED,
     "2026-05-06",
     "nothing due 2026-05-10 0/0 not required; missed 2026-05-17 0/1",
     "or that none was required"},
    {{WEEKLY, .count = 1},
     NO_SAMPLE_LOST,
     "2026-05-06",
     "missed 2026-05-10 0/1 lost; missed 2026-05-17 0/1",
     "a cause explains a miss and keeps it"},
    {{WEEKLY, .count = 2},
     NO_SAMPLE_NOT_REQUIRED,
     "2026-05-06",
     "missed 2026-05-10 0/1 not required; missed 2026-05-17 0/2",
     "one reason excuses one of two"},
    {{APART, .days = 7},
     NO_SAMPLE_NO_DISCHARGE,
     "2026-05-09",
     "nothing due 2026-05-10 0/0 no discharge; missed 2026-05-17 0/1",
     "a gap excused: the next one runs from the day it would have been due"},
    {{APART, .days = 7},
     NO_SAMPLE_EQUIPMENT,
     "2026-05-12",
     "missed 2026-05-10 0/1 equipment",
     "explained later"},
    {{APART, .days = 7},
     NO_SAMPLE_NO_DISCHARGE,
     "2026-05-14",
     "missed 2026-05-10 0/1 no discharge",
     "a reason of a day past the time undoes nothing"},
};

static void a_reason_excuses_or_explains_but_never_makes_a_sample(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(reason_rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct reason_row *row = &reason_rows[i];
        struct interval interval = row->interval;
        const struct no_sample reason = {day_of(row->day), row->reason, "typed by hand", "anna"};

        interval.in_force_from = day_of("2026-05-03");
        if (interval.shape == INTERVAL_PER_PERIOD)
            interval.in_force_from = day_of("2026-05-04");

        struct plan_evidence evidence = {.reasons = &reason,
                                         .reason_count = 1,
                                         .from = day_of("2026-05-04"),
                                         .to = day_of("2026-05-17"),
                                         .today = day_of("2026-05-30")};
        struct due_list list = plan_dues(mem, &interval, &evidence);
        char *text = dues_text(mem, &list);

        if (strcmp(text, row->dues) != 0)
            fail_msg("%s: %s", row->why, text);
        assert_string_equal(list.items[0].explanation, "typed by hand");
    }
}

static void a_clause_that_ended_asks_for_nothing_after(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct interval weekly = {.shape = INTERVAL_PER_PERIOD,
                              .period = INTERVAL_WEEK,
                              .count = 1,
                              .in_force_from = day_of("2026-05-04"),
                              .in_force_to = day_of("2026-05-12")};
    struct interval apart = {.shape = INTERVAL_AT_MOST_DAYS,
                             .days = 7,
                             .in_force_from = day_of("2026-05-04"),
                             .in_force_to = day_of("2026-05-12")};
    const day_number sample = day_of("2026-05-08");
    day_number from = day_of("2026-05-04");
    day_number to = day_of("2026-05-31");
    const struct plan_evidence evidence = {
        .samples = &sample, .sample_count = 1, .from = from, .to = to, .today = to};
    struct due_list weeks = plan_dues(mem, &weekly, &evidence);
    struct due_list gaps = plan_dues(mem, &apart, &evidence);

    (void)state;
    assert_string_equal(dues_text(mem, &weeks), "done 2026-05-10 1/1; missed 2026-05-12 0/1");
    assert_string_equal(dues_text(mem, &gaps), "done 2026-05-11 1/1");
}

static void a_due_says_itself_in_one_sentence(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct interval weekly = {WEEKLY, .count = 1, .in_force_from = day_of("2026-05-04")};
    const day_number sample = day_of("2026-05-08");
    const struct plan_evidence evidence = {.samples = &sample,
                                           .sample_count = 1,
                                           .from = sample,
                                           .to = day_of("2026-05-31"),
                                           .today = day_of("2026-05-20")};
    struct due_list list = plan_dues(mem, &weekly, &evidence);

    (void)state;
    assert_int_equal(list.count, 4);
    assert_string_equal(list.items[0].words, "done: 1 of 1, the last on 8 May 2026");
    assert_string_equal(list.items[1].words,
                        "missed: was due by 17 May 2026; 0 of 1 done; no reason on record");
    assert_string_equal(list.items[2].words, "due by 24 May 2026: 0 of 1 done");
}

/* It read "0 of 1 done; no reason on record" though a bottle had been filled on the 13th. */
static void a_sample_that_lacks_a_result_is_told_with_what_it_lacks(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct interval weekly = {WEEKLY, .count = 1, .in_force_from = day_of("2026-05-04")};
    const struct interval apart = {APART, .days = 7, .in_force_from = day_of("2026-05-04")};
    const day_number sample = day_of("2026-05-08");
    const struct partial_sample partials[] = {
        {day_of("2026-05-08"), "ammonia has no result"},
        {day_of("2026-05-13"), "suspended-solids has no result"},
        {day_of("2026-05-18"), "ammonia was set aside"}};
    const struct no_sample reason = {day_of("2026-05-14"), NO_SAMPLE_LOST, "dropped", "ash"};
    struct plan_evidence evidence = {.samples = &sample,
                                     .sample_count = 1,
                                     .partials = partials,
                                     .partial_count = 3,
                                     .from = day_of("2026-05-04"),
                                     .to = day_of("2026-05-31"),
                                     .today = day_of("2026-05-20")};
    struct due_list list = plan_dues(mem, &weekly, &evidence);

    (void)state;
    assert_null(list.items[0].partly);
    assert_string_equal(list.items[1].words,
                        "missed: was due by 17 May 2026; 0 of 1 done; sampled on 13 May 2026, but "
                        "suspended-solids has no result");
    assert_string_equal(list.items[2].words, "due by 24 May 2026: 0 of 1 done; sampled on 18 May "
                                             "2026, but ammonia was set aside");
    list = plan_dues(mem, &apart, &evidence);
    assert_string_equal(list.items[1].words,
                        "missed: was due by 15 May 2026; 0 of 1 done; sampled on 13 May 2026, but "
                        "suspended-solids has no result");
    evidence.reasons = &reason;
    evidence.reason_count = 1;
    list = plan_dues(mem, &weekly, &evidence);
    assert_string_equal(list.items[1].words,
                        "missed: was due by 17 May 2026; 0 of 1 done; sampled on 13 May 2026, but "
                        "suspended-solids has no result; lost");
}

/* Two asked for and none taken read "1 missed". */
static void each_sample_that_was_not_taken_is_missed(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct interval twice = {MONTHLY, .count = 2, .in_force_from = day_of("2026-01-01")};
    const day_number sample = day_of("2026-04-08");
    const struct plan_evidence evidence = {.samples = &sample,
                                           .sample_count = 1,
                                           .from = day_of("2026-03-01"),
                                           .to = day_of("2026-05-31"),
                                           .today = day_of("2026-05-20")};
    struct due_list list = plan_dues(mem, &twice, &evidence);

    (void)state;
    assert_int_equal(due_missed(&list.items[0]), 2);
    assert_int_equal(due_missed(&list.items[1]), 1);
    assert_int_equal(due_missed(&list.items[2]), 0);
}

static void intervals_and_reasons_have_words(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct interval apart = {APART, .days = 35};
    struct interval weekly = {WEEKLY, .count = 2, .apart_days = 3};
    struct interval monthly = {MONTHLY, .count = 1};

    (void)state;
    assert_string_equal(interval_words(mem, &apart), "at most 35 days apart");
    assert_string_equal(interval_words(mem, &weekly),
                        "at least 2 in each week, not closer than 3 days");
    assert_string_equal(interval_words(mem, &monthly), "at least 1 in each month");
    assert_string_equal(no_sample_words[NO_SAMPLE_UNSAFE], "unsafe to sample");
    assert_null(no_sample_words[NO_SAMPLE_LABORATORY + 1]);
    assert_int_equal(plan_first_day(&weekly, day_of("2026-05-10")), day_of("2026-05-04"));
    assert_int_equal(plan_first_day(&monthly, day_of("2026-05-10")), day_of("2026-05-01"));
    assert_int_equal(plan_first_day(&apart, day_of("2026-05-10")), day_of("2026-05-10"));
    assert_int_equal(plan_first_day(&weekly, day_of("1969-12-31")), day_of("1969-12-29"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_interval_asks_for_what_its_words_say),
        cmocka_unit_test(time_without_discharge_does_not_count),
        cmocka_unit_test(a_reason_excuses_or_explains_but_never_makes_a_sample),
        cmocka_unit_test(a_clause_that_ended_asks_for_nothing_after),
        cmocka_unit_test(a_due_says_itself_in_one_sentence),
        cmocka_unit_test(a_sample_that_lacks_a_result_is_told_with_what_it_lacks),
        cmocka_unit_test(each_sample_that_was_not_taken_is_missed),
        cmocka_unit_test(intervals_and_reasons_have_words),
    };

    return cmocka_run_group_tests_name("plan/interval", tests, NULL, NULL);
}
