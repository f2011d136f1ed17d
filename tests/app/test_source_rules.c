/*
 * Rules about a source's words: they mend what waits and hold from then on; a rule that contradicts
 * the farm file, or makes of a word what it is not, is refused.
 */
#include "app/month.h"
#include "app/source_rules.h"

static const char answers[] =
    "select concat_ws(' ', a.line || ':' || a.col, coalesce(n.answer, 'waits')) "
    "from set_aside a left join set_aside_answer n using (farm_id, receipt, line, col) "
    "where farm_id = $1 order by a.receipt = (select min(receipt) from set_aside "
    "where farm_id = $1), a.line, a.col";

static bool make(struct test_farm *farm, const char *source, const char *kind, const char *word,
                 const char *means, struct source_files_mended *files, struct err *err)
{
    const struct source_rule_order order = {
        source, kind, word, means, "the laboratory writes it so", NULL};

    return source_rule_make(farm->db, farm->mem, &farm->open, &order, &farm->act, files, err);
}

static struct source_files_mended made(struct test_farm *farm, const char *kind, const char *word,
                                       const char *means)
{
    struct source_files_mended files = {.count = 0};
    struct err err = ERR_INIT;

    assert_done(make(farm, "laboratory", kind, word, means, &files, &err), &err);

    return files;
}

static void a_unit_mends_every_file_and_those_to_come(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "one.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mgl,,\n"
                  "S2,,,Out,2026-05-05 09:00,TSS,14,mg/L,,\n");
    test_take(farm, "laboratory", "two.csv", LAB "S3,,,Out,2026-05-06 09:00,TSS,15,mgl,,\n");

    struct source_files_mended files = made(farm, "unit", "mgl", "mg/L");

    assert_int_equal(files.count, 2);
    assert_int_equal(files.items[0].result.accepted + files.items[1].result.accepted, 2);
    assert_string_equal(test_query(farm,
                                   "select line || ' ' || reported || ' ' || unit from reading "
                                   "where farm_id = $1 order by at"),
                        "2 44 mg/L\n3 14 mg/L\n2 15 mg/L");
    assert_int_equal(
        test_take(farm, "laboratory", "three.csv", LAB "S4,,,Out,2026-05-07 09:00,TSS,9,mgl,,\n")
            .receipt.stored,
        1);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
    assert_int_equal(test_number(farm, "select count(*) from source_rule where farm_id = $1 "
                                       "and person = 'pat' and means = 'mg/L'"),
                     1);
}

static void each_kind_of_word_can_be_taught(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "one.csv",
              LAB "S1,,,Outfall,2026-05-04 09:00,TSS,44,mg/L,,\n"
                  "S2,,,Out,2026-05-05 09:00,Susp. solids,14,mg/L,,\n"
                  "S3,,,Out,2026-05-06 09:00,TSS,no bottle,mg/L,,\n");
    made(farm, "station", "Outfall", "outlet");
    made(farm, "parameter", "Susp. solids", "suspended-solids");
    assert_int_equal(made(farm, "blank", "no bottle", NULL).items[0].result.blank, 1);
    assert_string_equal(test_query(farm, answers), "2:4 accepted\n3:6 accepted\n4:7 left out");

    struct source_files_mended files = {.count = 0};
    struct err err = ERR_INIT;

    test_take(farm, "outlet-sheet", "outlet.csv", "Time,Outlet\n2026-05-04 09:00,zu\n");
    assert_done(make(farm, "outlet-sheet", "state", "zu", "shut", &files, &err), &err);
    assert_int_equal(files.items[0].result.accepted, 1);
    assert_int_equal(test_number(farm, "select count(*) from source_rule where farm_id = $1"), 4);
}

/* In a wide file the unit stands in the header, once for a whole column. */
static void a_unit_of_a_header_is_taught_like_any_other(void **state)
{
    struct test_farm *farm = *state;
    struct source_files_mended files = {.count = 0};
    struct err err = ERR_INIT;

    assert_fails(make(farm, "logger", "unit", "degsea", "mg/L as N", &files, &err), ERR_INVALID,
                 &err);
    assert_done(make(farm, "logger", "unit", "grad", "degC", &files, &err), &err);
    assert_int_equal(files.count, 0);
}

static void what_a_rule_may_not_say_is_refused(void **state)
{
    struct test_farm *farm = *state;
    struct source_files_mended files = {.count = 0};
    const struct {
        const char *source, *kind, *word, *means;
        enum err_code code;
    } rows[] = {
        /* the farm file speaks of it: otherwise, the same, and as no value */
        {"laboratory", "station", "Out", "tank", ERR_CONFLICT},
        {"laboratory", "station", "out", "outlet", ERR_CONFLICT},
        {"laboratory", "parameter", "TSS", "ammonia", ERR_CONFLICT},
        /* a word that is something itself */
        {"laboratory", "unit", "ug/L", "mg/L", ERR_INVALID},
        {"laboratory", "unit", "mg/l", "mg/L", ERR_CONFLICT},
        {"laboratory", "station", "tank2", "tank3", ERR_NOT_FOUND},
        {"laboratory", "parameter", "ammonia", "suspended-solids", ERR_INVALID},
        {"outlet-sheet", "state", "open", "shut", ERR_INVALID},
        /* of another basis */
        {"laboratory", "unit", "mg N/L", "mg/L", ERR_INVALID},
        {"laboratory", "parameter", "Ammonia as NH4", "ammonia", ERR_INVALID},
        /* nothing the source brings is counted in it */
        {"laboratory", "unit", "celsius-ish", "degC", ERR_INVALID},
        {"laboratory", "state", "zu", "shut", ERR_INVALID},
        {"logger", "parameter", "Temp", "temperature", ERR_INVALID},
        /* results may not be taken away */
        {"laboratory", "blank", "0", NULL, ERR_INVALID},
        {"laboratory", "blank", "<5", NULL, ERR_INVALID},
        {"laboratory", "blank", "ND", NULL, ERR_INVALID},
        {"laboratory", "blank", "lost", "0", ERR_INVALID},
        /* nothing of that name, or nothing said */
        {"none", "unit", "mgl", "mg/L", ERR_NOT_FOUND},
        {"laboratory", "unit", "mgl", "mgll", ERR_NOT_FOUND},
        {"laboratory", "colour", "mgl", "mg/L", ERR_INVALID},
        {"laboratory", "unit", "mgl", NULL, ERR_INVALID},
        {"laboratory", "unit", "", "mg/L", ERR_INVALID},
    };
    struct err err = ERR_INIT;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        if (make(farm, rows[i].source, rows[i].kind, rows[i].word, rows[i].means, &files, &err))
            fail_msg("%s %s '%s' was taken", rows[i].source, rows[i].kind, rows[i].word);
        if (err.code != rows[i].code)
            fail_msg("%s %s '%s': %s", rows[i].source, rows[i].kind, rows[i].word, err.text);
    }
    assert_int_equal(test_number(farm, "select count(*) from source_rule where farm_id = $1"), 0);
}

static void a_word_has_one_rule_and_the_farm_file_counts_first(void **state)
{
    struct test_farm *farm = *state;
    struct source_files_mended files = {.count = 0};
    struct farm_changes changes = {0};
    struct err err = ERR_INIT;

    made(farm, "station", "Pier", "outlet");
    assert_fails(make(farm, "laboratory", "station", "pier", "tank", &files, &err), ERR_CONFLICT,
                 &err);
    test_farm_load(farm,
                   test_swap(farm->mem, farm->text, "{Out: outlet,", "{Out: outlet, Pier: tank,"),
                   &farm->act, &changes);
    test_take(farm, "laboratory", "one.csv", LAB "S1,,,Pier,2026-05-04 09:00,TSS,44,mg/L,,\n");
    assert_string_equal(
        test_query(farm, "select s.station from reading r join series s using (farm_id, series_id) "
                         "where r.farm_id = $1"),
        "tank");
}

static bool make_seconded(struct test_farm *farm, const char *means, const char *second,
                          struct source_files_mended *files, struct err *err)
{
    const struct source_rule_order order = {"laboratory", "unit",         "mgl",
                                            means,        "I saw it too", second};

    return source_rule_make(farm->db, farm->mem, &farm->open, &order, &farm->act, files, err);
}

/* The same rule again with a second person: he agrees to it and to what was read again by it. */
static void a_second_person_agrees_to_a_rule_later(void **state)
{
    static const char seen[] = "select person from set_aside_seen where farm_id = $1";
    struct test_farm *farm = *state;
    struct source_files_mended files = {.count = 0};
    struct source_rules rules = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "one.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mgl,,\n"
                  "S2,,,Out,2026-05-05 09:00,TSS,14,mgl,,\n");
    made(farm, "unit", "mgl", "mg/L");
    assert_fails(make(farm, "laboratory", "unit", "mgl", "mg/L", &files, &err), ERR_CONFLICT, &err);
    assert_fails(make_seconded(farm, "ug/L", "quinn", &files, &err), ERR_CONFLICT, &err);
    assert_string_equal(test_query(farm, seen), "");
    farm->act = test_act("pat", "2026-07-11 12:00");
    assert_done(make_seconded(farm, "mg/L", "quinn", &files, &err), &err);
    assert_string_equal(files.seen_by, "quinn");
    assert_int_equal(files.seen, 2);
    assert_string_equal(test_query(farm, seen), "quinn\nquinn");
    assert_done(source_rules_list(farm->db, farm->mem, &farm->open, &rules, &err), &err);
    assert_int_equal(rules.count, 1);
    assert_string_equal(rules.items[0].second_person, "quinn");
    assert_fails(make_seconded(farm, "mg/L", "quinn", &files, &err), ERR_CONFLICT, &err);
}

static void a_rule_that_was_taken_back_reads_nothing_and_the_word_may_get_another(void **state)
{
    const struct source_rule_back back = {"laboratory", "unit", "mgl", "it is micrograms"};
    struct test_farm *farm = *state;
    struct aside_counts files = {.count = 0};
    struct source_rules rules = {0};
    struct source_rule rule = {.source = NULL};
    struct err err = ERR_INIT;

    assert_fails(source_rule_take_back(farm->db, farm->mem, &farm->open, &back, &farm->act, &rule,
                                       &files, &err),
                 ERR_NOT_FOUND, &err);
    test_take(farm, "laboratory", "one.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mgl,,\n");
    made(farm, "unit", "mgl", "mg/L");
    assert_done(source_rule_take_back(farm->db, farm->mem, &farm->open, &back, &farm->act, &rule,
                                      &files, &err),
                &err);
    assert_string_equal(rule.means, "mg/L");
    assert_int_equal(files.count, 1);
    assert_int_equal(files.items[0].rows, 1);
    assert_int_equal(
        test_take(farm, "laboratory", "two.csv", LAB "S2,,,Out,2026-05-05 09:00,TSS,14,mgl,,\n")
            .receipt.set_aside,
        1);
    /* What came in by it stays; the word is free, and both rules are on record. */
    assert_int_equal(test_number(farm, "select count(*) from reading where farm_id = $1"), 1);
    assert_int_equal(made(farm, "unit", "mgl", "ug/L").items[0].result.accepted, 1);
    assert_done(source_rules_list(farm->db, farm->mem, &farm->open, &rules, &err), &err);
    assert_int_equal(rules.count, 2);
    assert_string_equal(rules.items[0].withdrawn, "it is micrograms");
    assert_null(rules.items[1].withdrawn);
    assert_int_equal(test_number(farm, "select count(*) from ledger where farm_id = $1 and kind = "
                                       "'note'"),
                     3);
    farm->act = test_act("rory", "2026-07-10 12:00");
    assert_fails(source_rule_take_back(farm->db, farm->mem, &farm->open, &back, &farm->act, &rule,
                                       &files, &err),
                 ERR_DENIED, &err);
}

static void who_may_not_correct_makes_no_rule(void **state)
{
    struct test_farm *farm = *state;
    struct source_files_mended files = {.count = 0};
    struct err err = ERR_INIT;

    farm->act = test_act("rory", "2026-07-10 12:00");
    assert_fails(make(farm, "laboratory", "unit", "mgl", "mg/L", &files, &err), ERR_DENIED, &err);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_unit_mends_every_file_and_those_to_come),
        FARM_TEST(each_kind_of_word_can_be_taught),
        FARM_TEST(a_unit_of_a_header_is_taught_like_any_other),
        FARM_TEST(what_a_rule_may_not_say_is_refused),
        FARM_TEST(a_word_has_one_rule_and_the_farm_file_counts_first),
        FARM_TEST(a_second_person_agrees_to_a_rule_later),
        FARM_TEST(a_rule_that_was_taken_back_reads_nothing_and_the_word_may_get_another),
        FARM_TEST(who_may_not_correct_makes_no_rule),
    };

    return cmocka_run_group_tests_name("app/source_rules", tests, test_farms_setup,
                                       test_farms_teardown);
}
