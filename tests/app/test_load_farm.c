/*
 * Loading a farm file: what is new, changed and gone; what a changed clause must say; who may; and
 * how clauses judge before and after.
 */
#include <string.h>

#include "app/clause_acts.h"
#include "app/month.h"

#define LIMIT_40 "    not above: 40\n"

static bool load(struct test_farm *farm, const char *text, const char *person, bool dry_run,
                 struct farm_changes *changes, struct err *err)
{
    struct farmfile_problems problems = {0};
    struct act act = {.person = person, .at = farm->act.at};

    return farm_load(farm->db, farm->mem, farm->units, text, strlen(text), &act, dry_run, changes,
                     &problems, err);
}

/* "+ limit a; ~ station b; - path c", with what a clause says in brackets. */
static char *changes_text(struct arena *mem, const struct farm_changes *changes)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < changes->count; i++) {
        const struct farm_change *one = &changes->items[i];

        buf_addf(&text, "%s%c %s", i ? "; " : "",
                 one->kind == CHANGE_NEW_ITEM ? '+'
                 : one->kind == CHANGE_ITEM   ? '~'
                                              : '-',
                 one->what);
        if (one->says)
            buf_addf(&text, " (%s)", one->says);
    }

    return text.data;
}

static void a_refusal_stores_nothing(struct test_farm *farm, const char *text, const char *person,
                                     enum err_code code, const char *words, const char *hint)
{
    struct farm_changes changes = {0};
    struct err err = ERR_INIT;
    char *before = test_state(farm);

    assert_fails(load(farm, text, person, false, &changes, &err), code, &err);
    if (!strstr(err.text, words) || !strstr(err.hint, hint))
        fail_msg("'%s' | '%s' instead of '%s' | '%s'", err.text, err.hint, words, hint);
    test_state_same(before, test_state(farm), words);
}

static void the_first_load_makes_the_farm(void **state)
{
    CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_unmade();
    struct farm_changes changes = {0};
    struct err err = ERR_INIT;

    (void)state;
    assert_done(load(farm, farm->text, "pat", false, &changes, &err), &err);
    assert_true(changes.new_farm);
    assert_false(changes.same_file);
    assert_int_equal(changes.version, 1);

    const char *text = changes_text(farm->mem, &changes);

    assert_non_null(strstr(text, "+ person pat"));
    assert_non_null(strstr(text, "+ limit solids-mean"));
    assert_null(strstr(text, "~ "));
    assert_done(farm_open(farm->db, farm->mem, farm->units, farm->key, &farm->open, &err), &err);
    assert_int_equal(farm->open.version, 1);
    assert_true(farm->open.farm_id > 0);
    assert_string_equal(test_query(farm, "select encode(sha256(bytes), 'hex') = encode("
                                         "sha256::bytea, 'hex') from farm_file where farm_id = $1"),
                        "t");
}

static void a_dry_run_tells_and_stores_nothing(void **state)
{
    CLEANUP(test_farm_drop) struct test_farm *unmade = test_farm_unmade();
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};
    struct err err = ERR_INIT;
    char *before = test_state(farm);

    assert_done(load(unmade, unmade->text, "pat", true, &changes, &err), &err);
    assert_true(changes.new_farm && changes.count > 10);
    assert_done(load(farm, test_swap(farm->mem, farm->text, "name: Tank,", "name: The tank,"),
                     "pat", true, &changes, &err),
                &err);
    assert_string_equal(changes_text(farm->mem, &changes), "~ station tank");
    assert_int_equal(changes.version, 2);
    test_state_same(before, test_state(farm), "a dry run");
}

static void the_same_file_again_changes_nothing(void **state)
{
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};
    struct err err = ERR_INIT;
    char *before = test_state(farm);

    assert_done(load(farm, farm->text, "pat", false, &changes, &err), &err);
    assert_true(changes.same_file);
    assert_int_equal(changes.version, 1);
    assert_int_equal(changes.count, 0);
    test_state_same(before, test_state(farm), "the same file");
}

static void a_changed_clause_must_say_why(void **state)
{
    struct test_farm *farm = *state;
    const char *limit = test_swap(farm->mem, farm->text, LIMIT_40, "    not above: 50\n");
    const char *both = test_swap(farm->mem, limit, "    at least: 2 in each month\n",
                                 "    at least: 3 in each month\n");

    a_refusal_stores_nothing(
        farm, limit, "pat", ERR_INVALID,
        "limit solids-each changed: did the licence change, or was it copied wrongly?",
        "`change: copied wrongly`");
    a_refusal_stores_nothing(farm, both, "pat", ERR_INVALID,
                             "limit solids-each, interval twice changed", "`change: licence");
}

static void a_clause_that_was_there_must_stay(void **state)
{
    struct test_farm *farm = *state;
    const char *begin = strstr(farm->text, "  - key: oxygen-floor\n");
    const char *end = strstr(farm->text, "intervals:\n");
    const char *text =
        arena_printf(farm->mem, "%.*s%s", (int)(begin - farm->text), farm->text, end);

    a_refusal_stores_nothing(farm, text, "pat", ERR_INVALID,
                             "limit oxygen-floor is no longer in the file", "give it a last day");
}

static void a_station_may_go_and_come_back(void **state)
{
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};
    const char *with = test_swap(farm->mem, farm->text, "kind: tank}\n",
                                 "kind: tank}\n  - {key: pond, name: Pond, kind: pond}\n");

    test_farm_load(farm, with, &farm->act, &changes);
    assert_string_equal(changes_text(farm->mem, &changes), "+ station pond");
    test_farm_load(farm, arena_printf(farm->mem, "%s# gone\n", farm->text), &farm->act, &changes);
    assert_string_equal(changes_text(farm->mem, &changes), "- station pond");
    /* Still gone: nothing to tell. */
    test_farm_load(farm, arena_printf(farm->mem, "%s# still\n", farm->text), &farm->act, &changes);
    assert_int_equal(changes.count, 0);
    assert_int_equal(changes.version, 4);
    test_farm_load(farm, with, &farm->act, &changes);
    assert_string_equal(changes_text(farm->mem, &changes), "+ station pond");
    assert_string_equal(test_query(farm, "select string_agg(version || case when gone then ' gone' "
                                         "else '' end, ', ' order by version) from station_version "
                                         "where farm_id = $1 and station = 'pond'"),
                        "2, 3 gone, 5");
}

static void only_those_who_may_correct_load(void **state)
{
    struct test_farm *farm = *state;
    const char *named = test_swap(farm->mem, farm->text, "name: Tank,", "name: The tank,");
    const char *rory_may = test_swap(farm->mem, named, "may: [read]\n", "may: [read, correct]\n");

    a_refusal_stores_nothing(farm, named, "rory", ERR_DENIED,
                             "Rory Slack (invented) may not correct", "`people:`");
    a_refusal_stores_nothing(farm, named, "sam", ERR_DENIED,
                             "Sam Spring (invented) is not with the farm on this day", "");
    a_refusal_stores_nothing(farm, named, NULL, ERR_INVALID, "needs to know who does it", "--by");
    /* Nobody gives himself the right by writing it into the file he loads. */
    a_refusal_stores_nothing(farm, rory_may, "rory", ERR_DENIED, "by the farm file in force", "");
}

/* --- what clauses judge -------------------------------------------------------------------- */

/* 35 mg/L in May, 25 mg/L in June, two samples each. */
static void samples_take(struct test_farm *farm)
{
    test_take(farm, "laboratory", "samples.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,35,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,35,mg/L,,\n"
                  "S3,,,Out,2026-06-04 09:00,TSS,25,mg/L,,\n"
                  "S4,,,Out,2026-06-18 09:00,TSS,25,mg/L,,\n");
}

static void load_and_confirm(struct test_farm *farm, const char *text, bool confirm)
{
    struct farm_changes changes = {0};

    test_farm_load(farm, text, &farm->act, &changes);
    if (confirm)
        test_farm_confirm(farm);
}

static void a_licence_that_changed_judges_from_its_day(void **state)
{
    struct test_farm *farm = *state;
    const char *text = test_swap(farm->mem, farm->text,
                                 LIMIT_40 "    rounding: none\n    in force: {from: 2025-01-01}\n",
                                 "    not above: 20\n    rounding: none\n"
                                 "    in force: {from: 2026-06-01}\n    change: licence changed\n");

    samples_take(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_string_equal(standing_of(farm, "2026-06-01", "solids-each"), "within");
    load_and_confirm(farm, text, true);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_string_equal(standing_of(farm, "2026-06-01", "solids-each"), "outside: above 20");
}

static void a_licence_that_changed_inside_a_month_judges_each_part(void **state)
{
    struct test_farm *farm = *state;
    const char *text = test_swap(farm->mem, farm->text,
                                 LIMIT_40 "    rounding: none\n    in force: {from: 2025-01-01}\n",
                                 "    not above: 20\n    rounding: none\n"
                                 "    in force: {from: 2026-06-10}\n    change: licence changed\n");
    const char *mean =
        test_swap(farm->mem, text, "    at least: 2 samples\n    in force: {from: 2025-01-01}\n",
                  "    at least: 2 samples\n    in force: {from: 2026-06-10}\n"
                  "    change: licence changed\n");

    samples_take(farm);
    load_and_confirm(farm, test_swap(farm->mem, mean, "    not above: 30\n", "    not above: 24\n"),
                     true);
    assert_string_equal(standing_of(farm, "2026-06-01", "solids-each"),
                        "within; outside: above 20");
    /* A monthly figure across a change needs a rule, and this clause has none. */
    assert_non_null(strstr(standing_of(farm, "2026-06-01", "solids-mean"), "not assessable"));
}

static void what_was_copied_wrongly_is_judged_again_from_the_first_day(void **state)
{
    struct test_farm *farm = *state;
    const char *text = test_swap(farm->mem, farm->text, LIMIT_40,
                                 "    not above: 20\n    change: copied wrongly\n");

    samples_take(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_int_equal(test_number(farm, "select count(*) from to_judge where farm_id = $1 and "
                                       "first_day < '2026-06-01'"),
                     0);
    load_and_confirm(farm, text, true);
    /* The stored verdict is not shown meanwhile: its window waits. */
    assert_true(test_number(farm, "select count(*) from to_judge where farm_id = $1 and "
                                  "first_day < '2026-06-01'") > 0);

    int months = 0;
    int opened = 0;
    struct err err = ERR_INIT;

    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, &months,
                                     &opened, &err),
                &err);
    assert_int_equal(months, 2);
    assert_string_equal(test_query(farm,
                                   "select string_agg(standing || ' ' || bound, ', ' order by "
                                   "from_day) from verdict where farm_id = $1 and clause = "
                                   "'solids-each'"),
                        "outside 20, outside 20");
    assert_int_equal(test_number(farm, "select count(*) from to_judge where farm_id = $1"), 0);
}

static void words_that_judge_nothing_need_no_new_comparing(void **state)
{
    struct test_farm *farm = *state;
    struct clause_limits waiting = {0};
    struct farm_changes changes = {0};
    struct err err = ERR_INIT;
    const char *text = test_swap(farm->mem, farm->text, "Solids, each sample", "TSS, each sample");

    samples_take(farm);
    test_farm_load(farm, text, &farm->act, &changes);
    assert_string_equal(changes_text(farm->mem, &changes), "~ limit solids-each");
    assert_done(limits_unconfirmed(farm->db, farm->mem, &farm->open, &waiting, &err), &err);
    assert_int_equal(waiting.count, 0);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
}

static void a_first_form_nobody_compared_can_be_outside_but_not_within(void **state)
{
    CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_unmade();
    struct clause_limits waiting = {0};
    struct err err = ERR_INIT;

    (void)state;
    load_and_confirm(farm, farm->text, false);
    samples_take(farm);
    assert_done(limits_unconfirmed(farm->db, farm->mem, &farm->open, &waiting, &err), &err);
    assert_int_equal(waiting.count, 3);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "outside: above 30");
    assert_non_null(strstr(standing_of(farm, "2026-06-01", "solids-mean"),
                           "not assessable (not confirmed: nobody has compared"));
    test_farm_confirm(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "outside: above 30");
    assert_string_equal(standing_of(farm, "2026-06-01", "solids-mean"), "within");
}

static const struct {
    const char *bound;
    const char *may; /* samples of 35 */
    const char *why;
} changed[] = {
    {"30", "outside: above 30", "the new form is worse"},
    {"50", "within", "both are kept"},
};

static void a_changed_form_nobody_compared_is_judged_by_old_and_new(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(changed); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();

        samples_take(farm);
        load_and_confirm(
            farm,
            test_swap(farm->mem, farm->text, LIMIT_40,
                      arena_printf(farm->mem, "    not above: %s\n    change: copied wrongly\n",
                                   changed[i].bound)),
            false);
        if (!str_equal(standing_of(farm, "2026-05-01", "solids-each"), changed[i].may))
            fail_msg("%s: %s", changed[i].why, standing_of(farm, "2026-05-01", "solids-each"));
    }
}

static void the_older_form_stands_where_it_is_worse_until_compared(void **state)
{
    struct test_farm *farm = *state;
    const char *text = test_swap(farm->mem, farm->text, "    not above: 30\n",
                                 "    not above: 36\n    change: copied wrongly\n");

    samples_take(farm);
    load_and_confirm(farm, text, false);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "outside: above 30");
    test_farm_confirm(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
}

/* 20 was compared; then 50 and 51 were written, one after the other, and nobody looked. */
static void a_form_changed_twice_is_still_judged_by_the_one_that_was_compared(void **state)
{
    struct test_farm *farm = *state;
    const char *tight = test_swap(farm->mem, farm->text, LIMIT_40,
                                  "    not above: 20\n    change: copied wrongly\n");
    const char *loose = test_swap(farm->mem, tight, "not above: 20\n", "not above: 50\n");

    samples_take(farm);
    load_and_confirm(farm, tight, true);
    load_and_confirm(farm, loose, false);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 20");
    load_and_confirm(farm, test_swap(farm->mem, loose, "not above: 50\n", "not above: 51\n"),
                     false);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 20");
    test_farm_confirm(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
}

static void comparing_counts_for_a_form_whose_words_changed_before_it(void **state)
{
    struct test_farm *farm = *state;
    const char *loose = test_swap(farm->mem, farm->text, "    not above: 30\n",
                                  "    not above: 36\n    change: copied wrongly\n");

    samples_take(farm);
    load_and_confirm(farm, loose, false);
    load_and_confirm(farm, test_swap(farm->mem, loose, "Solids, monthly mean", "Mean of solids"),
                     false);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "outside: above 30");
    test_farm_confirm(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
}

/* The test farm with a weir: its flow is worked out from the level, and a limit looks at that. */
static const char *weir_farm(struct test_farm *farm, const char *zero_at)
{
    const char *derived =
        arena_printf(farm->mem,
                     "derived:\n  - {key: weir, station: outlet, parameter: flow, unit: L/s, "
                     "equation: v-notch-90-cone, from: [{parameter: level}], within: 0 minutes, "
                     "settings: {zero at: %s}}\nsources:\n",
                     zero_at);
    const char *limit = "  - key: flow-each\n    name: Flow, each reading\n    licence: permit\n"
                        "    clause: Row 4\n    wording: The flow shall not exceed 5 L/s.\n"
                        "    station: outlet\n    parameter: flow\n    unit: L/s\n"
                        "    samples: derived\n    only while discharging: no\n"
                        "    each day: every reading\n    statistic: value\n"
                        "    period: each sample\n    not above: 5\n    rounding: none\n"
                        "    in force: {from: 2025-01-01}\nintervals:\n";

    return test_swap(farm->mem, test_swap(farm->mem, farm->text, "sources:\n", derived),
                     "intervals:\n", limit);
}

static void level_take(struct test_farm *farm)
{
    test_take(farm, "laboratory", "level.csv",
              "Time,Site,Test,Result,Unit,LOD,LOQ,Sample,Rep,For\n"
              "2026-05-04 09:00,Out,level,0.22,m,,,L1,,\n");
}

/* USBR, Water Measurement Manual, ch. 7 (2.49 H^2.48 in feet): a head of 0.12 m gives 7 L/s, one of
 * 0.07 m 1.8 L/s. */
static void a_weir_whose_zero_was_changed_clears_nothing_until_somebody_compared_it(void **state)
{
    struct test_farm *farm = *state;
    struct clause_limits waiting = {0};
    struct err err = ERR_INIT;
    int confirmed = 0;

    load_and_confirm(farm, weir_farm(farm, "0.10"), true);
    level_take(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "flow-each"), "outside: above 5");
    load_and_confirm(farm, weir_farm(farm, "0.15"), false);
    assert_string_equal(standing_of(farm, "2026-05-01", "flow-each"),
                        "not assessable (what it is worked out with changed (derived reading "
                        "weir), and nobody has compared it since)");

    assert_done(limits_unconfirmed(farm->db, farm->mem, &farm->open, &waiting, &err), &err);
    assert_int_equal(waiting.count, 1);
    assert_string_equal(waiting.items[0].limit.key, "flow-each");
    assert_string_equal(waiting.items[0].basis->items[0].words, "settings, zero at: 0.10 -> 0.15");

    assert_fails(
        limits_confirm(farm->db, farm->mem, &farm->open, NULL, 0, &farm->act, &confirmed, &err),
        ERR_DENIED, &err);
    test_farm_confirm(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "flow-each"), "within");
}

static void a_weir_whose_zero_makes_it_worse_is_outside_at_once(void **state)
{
    struct test_farm *farm = *state;

    load_and_confirm(farm, weir_farm(farm, "0.15"), true);
    level_take(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "flow-each"), "within");
    load_and_confirm(farm, weir_farm(farm, "0.10"), false);
    assert_string_equal(standing_of(farm, "2026-05-01", "flow-each"), "outside: above 5");
}

static void what_a_limit_does_not_read_through_asks_for_no_new_comparing(void **state)
{
    struct test_farm *farm = *state;
    struct clause_limits waiting = {0};
    struct err err = ERR_INIT;

    load_and_confirm(farm, weir_farm(farm, "0.10"), true);
    level_take(farm);
    load_and_confirm(
        farm, test_swap(farm->mem, weir_farm(farm, "0.10"), "name: Tank,", "name: A tank,"), false);
    load_and_confirm(farm, weir_farm(farm, "0.11"), false);
    assert_done(limits_unconfirmed(farm->db, farm->mem, &farm->open, &waiting, &err), &err);
    assert_int_equal(waiting.count, 1);
    /* Back as it was compared: nothing is left to compare. */
    waiting = (struct clause_limits){0};
    load_and_confirm(farm, weir_farm(farm, "0.10"), false);
    assert_done(limits_unconfirmed(farm->db, farm->mem, &farm->open, &waiting, &err), &err);
    assert_int_equal(waiting.count, 0);
}

static void words_that_change_twice_need_no_new_comparing_either(void **state)
{
    struct test_farm *farm = *state;
    struct clause_limits waiting = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    load_and_confirm(farm, test_swap(farm->mem, farm->text, "Solids, each sample", "TSS, each"),
                     false);
    load_and_confirm(farm, test_swap(farm->mem, farm->text, "Solids, each sample", "TSS, always"),
                     false);
    assert_done(limits_unconfirmed(farm->db, farm->mem, &farm->open, &waiting, &err), &err);
    assert_int_equal(waiting.count, 0);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
}

static void limits_are_compared_by_another_person_where_there_is_one(void **state)
{
    CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_unmade();
    const char *one[] = {"solids-mean"};
    const char *unknown[] = {"solids-men"};
    struct act quinn = {.person = "quinn", .at = farm->act.at};
    struct act rory = {.person = "rory", .at = farm->act.at};
    struct err err = ERR_INIT;
    int confirmed = 0;

    (void)state;
    load_and_confirm(farm, farm->text, false);
    assert_fails(
        limits_confirm(farm->db, farm->mem, &farm->open, NULL, 0, &farm->act, &confirmed, &err),
        ERR_DENIED, &err);
    assert_non_null(strstr(err.text, "Pat Ebb (invented) loaded this farm file"));
    assert_fails(limits_confirm(farm->db, farm->mem, &farm->open, NULL, 0, &rory, &confirmed, &err),
                 ERR_DENIED, &err);
    assert_fails(
        limits_confirm(farm->db, farm->mem, &farm->open, unknown, 1, &quinn, &confirmed, &err),
        ERR_NOT_FOUND, &err);
    assert_done(limits_confirm(farm->db, farm->mem, &farm->open, one, 1, &quinn, &confirmed, &err),
                &err);
    assert_int_equal(confirmed, 1);
    assert_done(limits_confirm(farm->db, farm->mem, &farm->open, NULL, 0, &quinn, &confirmed, &err),
                &err);
    assert_int_equal(confirmed, 2);
    assert_done(limits_confirm(farm->db, farm->mem, &farm->open, NULL, 0, &quinn, &confirmed, &err),
                &err);
    assert_int_equal(confirmed, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_load_makes_the_farm),
        FARM_TEST(a_dry_run_tells_and_stores_nothing),
        FARM_TEST(the_same_file_again_changes_nothing),
        FARM_TEST(a_changed_clause_must_say_why),
        FARM_TEST(a_clause_that_was_there_must_stay),
        FARM_TEST(a_station_may_go_and_come_back),
        FARM_TEST(only_those_who_may_correct_load),
        FARM_TEST(a_licence_that_changed_judges_from_its_day),
        FARM_TEST(a_licence_that_changed_inside_a_month_judges_each_part),
        FARM_TEST(what_was_copied_wrongly_is_judged_again_from_the_first_day),
        FARM_TEST(words_that_judge_nothing_need_no_new_comparing),
        cmocka_unit_test(a_first_form_nobody_compared_can_be_outside_but_not_within),
        cmocka_unit_test(a_changed_form_nobody_compared_is_judged_by_old_and_new),
        FARM_TEST(the_older_form_stands_where_it_is_worse_until_compared),
        FARM_TEST(a_form_changed_twice_is_still_judged_by_the_one_that_was_compared),
        FARM_TEST(comparing_counts_for_a_form_whose_words_changed_before_it),
        FARM_TEST(words_that_change_twice_need_no_new_comparing_either),
        FARM_TEST(a_weir_whose_zero_was_changed_clears_nothing_until_somebody_compared_it),
        FARM_TEST(a_weir_whose_zero_makes_it_worse_is_outside_at_once),
        FARM_TEST(what_a_limit_does_not_read_through_asks_for_no_new_comparing),
        cmocka_unit_test(limits_are_compared_by_another_person_where_there_is_one),
    };

    return cmocka_run_group_tests_name("app/load_farm", tests, test_farms_setup,
                                       test_farms_teardown);
}
