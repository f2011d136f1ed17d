/*
 * Correcting what is stored: new values, leaving out, putting back, and rows set aside; the first
 * value stays and verdicts follow.
 */
#include <string.h>

#include "app/corrected.h"
#include "app/read_again.h"

/* Readings as they stand and, in brackets, as first stored. */
static const char stands[] =
    "select concat_ws(' ', r.qualifier::text || coalesce(r.reported::text, ''), r.unit, "
    "'(' || r.first_qualifier::text || coalesce(r.first_reported::text, '') || ')', "
    "case when r.left_out then 'left out' end, case when r.corrected then 'corrected' end) "
    "from (select set_config('weirbook.farms', '{' || $1::bigint || '}', true)) x, reading_now r "
    "where farm_id = $1 and at >= '2026-05-01' and at < '2026-06-01' order by r.receipt, r.line";

static void a_new_value_stands_and_the_first_one_stays(void **state)
{
    struct test_farm *farm = *state;
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
    assert_done(correct(farm, &on_may_4, "value", "<4.40", &done, &err), &err);
    assert_string_equal(done.before, "44 mg/L by Laboratory of the tests, sample S1");
    assert_string_equal(done.after, "<4.40 mg/L");
    assert_string_equal(test_query(farm, stands), "<4.40 mg/L (=44) corrected\n=14 mg/L (=14)");
    assert_string_equal(
        test_query(farm, "select first_day || ' ' || last_day from to_judge where farm_id = $1"),
        "2026-05-04 2026-05-04");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    /* The newest one counts; all of them are on record. */
    corrected(farm, "value", "41");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
    assert_int_equal(test_number(farm, "select count(*) from correction where farm_id = $1"), 2);
}

static void a_value_may_be_in_another_unit(void **state)
{
    struct test_farm *farm = *state;
    struct correction_order order = {
        .kind = "value", .value = "41000", .unit = "ug/L", .reason = "wrong unit"};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    assert_done(reading_correct(farm->db, farm->mem, &farm->open, &on_may_4, &order, &farm->act,
                                &done, &err),
                &err);
    assert_string_equal(done.after, "41000 ug/L");
    assert_string_equal(test_query(farm, "select value::text from correction where farm_id = $1"),
                        "41");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
}

static void left_out_does_not_count_until_it_is_put_back(void **state)
{
    struct test_farm *farm = *state;
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    assert_fails(correct(farm, &on_may_4, "put back", NULL, &done, &err), ERR_CONFLICT, &err);
    corrected(farm, "left out", NULL);
    assert_string_equal(test_query(farm, stands), "=44 mg/L (=44) left out\n=14 mg/L (=14)");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    assert_fails(correct(farm, &on_may_4, "left out", NULL, &done, &err), ERR_CONFLICT, &err);
    corrected(farm, "put back", NULL);
    assert_string_equal(test_query(farm, stands), "=44 mg/L (=44)\n=14 mg/L (=14)");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
}

/* Each act does what it says and no more. */
static void leaving_out_and_correcting_do_not_undo_each_other(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);
    corrected(farm, "value", "43");
    corrected(farm, "left out", NULL);
    assert_string_equal(test_query(farm, stands),
                        "=43 mg/L (=44) left out corrected\n=14 mg/L (=14)");
    corrected(farm, "put back", NULL);
    assert_string_equal(test_query(farm, stands), "=43 mg/L (=44) corrected\n=14 mg/L (=14)");
    corrected(farm, "left out", NULL);
    corrected(farm, "value", "42");
    assert_string_equal(test_query(farm, stands),
                        "=42 mg/L (=44) left out corrected\n=14 mg/L (=14)");
}

static const struct {
    struct correction_order order;
    const char *person;
    enum err_code code;
    const char *words;
} refused[] = {
    {{.kind = "value", .value = "x", .reason = "r"}, "pat", ERR_INVALID, "'x' is not a value"},
    {{.kind = "value", .value = "", .reason = "r"}, "pat", ERR_INVALID, "'' is not a value"},
    {{.kind = "value", .value = "-3", .reason = "r"},
     "pat",
     ERR_INVALID,
     "Total suspended solids can't be negative"},
    {{.kind = "value", .value = "1", .unit = "degC", .reason = "r"}, "pat", ERR_INVALID, "degC"},
    {{.kind = "value", .value = "1", .unit = "mgl", .reason = "r"}, "pat", ERR_NOT_FOUND, "mgl"},
    {{.kind = "value", .value = "1"}, "pat", ERR_INVALID, "a reason is needed"},
    {{.kind = "value", .value = "1", .reason = "r", .second_person = "pat"},
     "pat",
     ERR_INVALID,
     "another than the first"},
    {{.kind = "value", .value = "1", .reason = "r", .second_person = "rory"},
     "pat",
     ERR_DENIED,
     "the second person: Rory Slack"},
    {{.kind = "value", .value = "1", .reason = "r"}, "rory", ERR_DENIED, "may not correct"},
    {{.kind = "value", .value = "1", .reason = "r"}, "sam", ERR_DENIED, "not with the farm"},
};

static void what_can_not_be_stored_is_refused_in_words(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);

    char *before = test_state(farm);

    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        struct act act = {.person = refused[i].person, .at = farm->act.at};
        struct correction_done done = {0};
        struct err err = ERR_INIT;

        if (reading_correct(farm->db, farm->mem, &farm->open, &on_may_4, &refused[i].order, &act,
                            &done, &err))
            fail_msg("%zu: it was stored", i);
        if (err.code != refused[i].code || !strstr(err.text, refused[i].words))
            fail_msg("%zu: %s: %s", i, err_code_name(err.code), err.text);
    }
    test_state_same(before, test_state(farm), "refused corrections");
}

static void the_reading_meant_must_be_there_and_alone(void **state)
{
    struct test_farm *farm = *state;
    struct reading_ref ref = on_may_4;
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    test_take(farm, "laboratory", "check.csv",
              LAB "S9,,check,Out,2026-05-04 09:00,TSS,40,mg/L,,\n");
    ref.at += 60 * SECOND_US;
    assert_fails(correct(farm, &ref, "value", "1", &done, &err), ERR_NOT_FOUND, &err);
    assert_non_null(strstr(err.text, "2026-05-04 10:01")); /* in the farm's own time */
    assert_fails(correct(farm, &on_may_4, "value", "1", &done, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "2 readings are stored there"));
    assert_non_null(strstr(err.text, "sample S9"));
    ref = on_may_4;
    ref.sample = "S9";
    assert_done(correct(farm, &ref, "value", "39", &done, &err), &err);
    assert_string_equal(done.before, "40 mg/L by Laboratory of the tests, sample S9");
}

/* The probes at the ring and in the centre of one tank have one logger. */
static void a_reading_of_one_position_is_told_from_that_of_another(void **state)
{
    static const char columns[] = "      - {header: Temp (degC), parameter: temperature}\n"
                                  "    kind: probe\n"
                                  "    instrument: logger 2\n";
    struct test_farm *farm = *state;
    struct reading_ref ref = {
        .station = "tank", .parameter = "oxygen", .at = test_at("2026-05-04 10:00")};
    struct farm_changes changes = {0};
    struct correction_done done = {0};
    struct err err = ERR_INIT;
    char *text = test_swap(farm->mem, farm->text, "{key: tank, name: Tank, kind: tank}",
                           "{key: tank, name: Tank, kind: tank, positions: "
                           "[{key: ring, name: Ring}, {key: centre, name: Centre}]}");

    text = test_swap(farm->mem, text, columns,
                     "      - {header: Ring, parameter: oxygen, unit: mg/L, position: ring}\n"
                     "      - {header: Centre, parameter: oxygen, unit: mg/L, position: centre}\n"
                     "    kind: probe\n"
                     "    instrument: logger 2\n");
    test_farm_load(farm, text, &farm->act, &changes);
    test_take(farm, "local-logger", "tank.csv", "Time,Ring,Centre\n2026-05-04 11:00,6.5,6.9\n");
    assert_fails(correct(farm, &ref, "left out", NULL, &done, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "6.5 mg/L at ring"));
    assert_non_null(strstr(err.hint, "tank/POSITION"));
    ref.position = "rim";
    assert_fails(correct(farm, &ref, "left out", NULL, &done, &err), ERR_NOT_FOUND, &err);
    assert_non_null(strstr(err.text, "station 'tank' has no position 'rim'"));
    ref.position = "ring";
    assert_done(correct(farm, &ref, "left out", NULL, &done, &err), &err);
    assert_string_equal(done.before, "6.5 mg/L at ring by logger 2");
}

/* --- rows set aside ------------------------------------------------------------------------ */

static bool accept(struct test_farm *farm, int line, struct correction_done *done, struct err *err)
{
    struct aside_ref ref = {.file_name = "again.csv", .line = line};

    return aside_accept(farm->db, farm->mem, &farm->open, &ref, "the second sheet is right", NULL,
                        &farm->act, done, err);
}

static void a_row_that_contradicts_is_accepted_as_a_correction(void **state)
{
    struct test_farm *farm = *state;
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    test_take(farm, "laboratory", "again.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,<24,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,ND,mg/L,,\n"
                  "S3,,,Out,2026-05-20 09:00,TSS,?,mg/L,,\n");
    assert_fails(accept(farm, 4, &done, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.hint, "leave this row out"));
    assert_done(accept(farm, 2, &done, &err), &err);
    assert_string_equal(done.before, "44 mg/L by Laboratory of the tests, sample S1");
    assert_string_equal(done.after, "<24 mg/L");
    assert_done(accept(farm, 3, &done, &err), &err);
    assert_string_equal(done.after, "not detected");
    assert_string_equal(test_query(farm, stands),
                        "<24 mg/L (=44) corrected\nn mg/L (=14) corrected");
    /* It is answered, and its place is in the correction. */
    assert_fails(accept(farm, 2, &done, &err), ERR_NOT_FOUND, &err);
    assert_string_equal(test_query(farm, "select string_agg(c.line || ' ' || r.file_name, ', ' "
                                         "order by c.line) from correction c join receipt r using "
                                         "(farm_id, receipt) where farm_id = $1"),
                        "2 again.csv, 3 again.csv");
    /* The same sheet once more says nothing new. */
    assert_int_equal(test_take(farm, "laboratory", "third.csv",
                               LAB "S1,,,Out,2026-05-04 09:00,TSS,<24,mg/L,,\n"
                                   "S2,,,Out,2026-05-18 09:00,TSS,ND,mg/L,,\n")
                         .receipt.already_known,
                     2);
}

static void a_row_left_out_is_no_longer_in_the_way(void **state)
{
    struct test_farm *farm = *state;
    struct aside_ref ref = {.file_name = "odd.csv", .line = 2};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    samples_take(farm);
    test_take(farm, "laboratory", "odd.csv", LAB "S3,,,Out,2026-05-20 09:00,TSS,?,mg/L,,\n");
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "solids-mean"), "not assessable"));
    assert_done(aside_leave_out(farm->db, farm->mem, &farm->open, &ref, "the bottle broke", NULL,
                                &farm->act, &done, &err),
                &err);
    assert_true(test_number(farm, "select count(*) from to_judge where farm_id = $1") > 0);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
    assert_fails(aside_leave_out(farm->db, farm->mem, &farm->open, &ref, "again", NULL, &farm->act,
                                 &done, &err),
                 ERR_NOT_FOUND, &err);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_new_value_stands_and_the_first_one_stays),
        FARM_TEST(a_value_may_be_in_another_unit),
        FARM_TEST(left_out_does_not_count_until_it_is_put_back),
        FARM_TEST(leaving_out_and_correcting_do_not_undo_each_other),
        FARM_TEST(what_can_not_be_stored_is_refused_in_words),
        FARM_TEST(the_reading_meant_must_be_there_and_alone),
        FARM_TEST(a_reading_of_one_position_is_told_from_that_of_another),
        FARM_TEST(a_row_that_contradicts_is_accepted_as_a_correction),
        FARM_TEST(a_row_left_out_is_no_longer_in_the_way),
    };

    return cmocka_run_group_tests_name("app/correct", tests, test_farms_setup, test_farms_teardown);
}
