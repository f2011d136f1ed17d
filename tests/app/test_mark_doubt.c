/*
 * Doubt that a person sets: it stops and never clears, verdicts follow, and lifting it leaves both
 * on record.
 */
#include "app/mark_doubt.h"

#include <string.h>

#include "app/month.h"

static void samples_take(struct test_farm *farm)
{
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,0.5,1.5\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,12,mg/L,,\n");
}

static struct doubt_order span_order(const char *from, const char *until)
{
    return (struct doubt_order){.kind = "calibration",
                                .because = "the balance was not checked",
                                .station = "outlet",
                                .parameter = "suspended-solids",
                                .from = test_at(from),
                                .until = test_at(until)};
}

static int mark_set(struct test_farm *farm, struct doubt_order order)
{
    struct doubt_numbers numbers = {0};
    struct err err = ERR_INIT;

    assert_done(doubt_set(farm->db, farm->mem, &farm->open, &order, &farm->act, &numbers, &err),
                &err);
    assert_int_equal(numbers.count, 1);

    return numbers.items[0];
}

static const struct evidence_reading *reading_of(const struct judged_month *month,
                                                 const char *sample)
{
    for (size_t i = 0; i < month->loaded.evidence.series_count; i++) {
        const struct evidence_series *series = &month->loaded.evidence.series[i];

        for (size_t k = 0; k < series->count; k++) {
            if (str_equal(series->readings[k].sample, sample))
                return &series->readings[k];
        }
    }
    fail_msg("no reading of sample %s", sample);

    return NULL;
}

static void a_marked_span_never_clears_until_it_is_lifted(void **state)
{
    struct test_farm *farm = *state;
    struct doubt_view view = {0};
    struct err err = ERR_INIT;
    int mark;

    samples_take(farm);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
    mark = mark_set(farm, span_order("2026-05-04 09:00", "2026-05-05 00:00"));
    assert_int_equal(
        test_number(farm, "select count(*) from to_judge where farm_id = $1 and series_id <> 0"),
        1);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"),
                        "not assessable (too few samples: 1 of at least 2; it would be within only "
                        "with what is in doubt (calibration: the balance was not checked))");

    struct judged_month month = month_kept(farm, "2026-05-01", NULL);

    assert_string_equal(reading_of(&month, "S1")->doubt,
                        "calibration: the balance was not checked");
    assert_null(reading_of(&month, "S2")->doubt);
    assert_done(doubt_lift(farm->db, farm->mem, &farm->open, mark, "it was: sheet 12", &farm->act,
                           &view, &err),
                &err);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"), "within");
    assert_fails(
        doubt_lift(farm->db, farm->mem, &farm->open, mark, "again", &farm->act, &view, &err),
        ERR_CONFLICT, &err);
    assert_string_equal(test_query(farm, "select m.kind || ' ' || l.reason from doubt_mark m join "
                                         "doubt_lift l using (farm_id, mark) where farm_id = $1"),
                        "calibration it was: sheet 12");
    assert_int_equal(
        test_number(farm, "select count(*) from ledger where farm_id = $1 and kind = 'doubt'"), 2);
}

/* Ring and centre of one tank: a mark on one leaves the other alone. */
static void a_mark_may_be_of_one_position(void **state)
{
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};
    struct doubt_views views = {0};
    struct doubt_numbers numbers = {0};
    struct err err = ERR_INIT;
    struct doubt_order order = span_order("2026-05-01 00:00", "2026-05-31 00:00");
    char *text = test_swap(farm->mem, farm->text, "{key: tank, name: Tank, kind: tank}",
                           "{key: tank, name: Tank, kind: tank, positions: "
                           "[{key: ring, name: Ring}, {key: centre, name: Centre}]}");

    text = test_swap(farm->mem, text,
                     "      - {header: Temp (degC), parameter: temperature}\n"
                     "    kind: probe\n"
                     "    instrument: logger 2\n",
                     "      - {header: Ring, parameter: oxygen, unit: mg/L, position: ring}\n"
                     "      - {header: Centre, parameter: oxygen, unit: mg/L, position: centre}\n"
                     "    kind: probe\n"
                     "    instrument: logger 2\n");
    test_farm_load(farm, text, &farm->act, &changes);
    test_take(farm, "local-logger", "tank.csv", "Time,Ring,Centre\n2026-05-04 11:00,6.5,6.9\n");
    order.station = "tank";
    order.parameter = "oxygen";
    order.position = "ring";
    assert_done(doubt_set(farm->db, farm->mem, &farm->open, &order, &farm->act, &numbers, &err),
                &err);
    assert_int_equal(numbers.count, 1);
    assert_done(doubt_list(farm->db, farm->mem, &farm->open, &views, &err), &err);
    assert_string_equal(views.items[0].position, "ring");
}

static void a_marked_sample_is_in_doubt_with_all_its_results(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);
    (void)mark_set(farm,
                   (struct doubt_order){.kind = "custody", .because = "lost", .sample = "S2"});

    struct judged_month month = month_kept(farm, "2026-05-01", NULL);

    assert_string_equal(reading_of(&month, "S2")->doubt, "custody: lost");
    assert_null(reading_of(&month, "S1")->doubt);
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-mean"),
                        "not assessable (too few samples: 1 of at least 2; it would be within only "
                        "with what is in doubt (custody: lost))");
}

static void a_mark_changes_the_digest_of_the_evidence(void **state)
{
    struct test_farm *farm = *state;
    struct judged_month month;
    struct digest before;

    samples_take(farm);
    month = month_kept(farm, "2026-05-01", NULL);
    before = month.digests.items[0];
    (void)mark_set(farm, span_order("2026-05-01 00:00", "2026-05-02 00:00"));
    month = month_kept(farm, "2026-05-01", NULL);
    assert_memory_equal(&before, &month.digests.items[0], sizeof(before));
    (void)mark_set(farm, span_order("2026-05-18 00:00", "2026-05-19 00:00"));
    month = month_kept(farm, "2026-05-01", NULL);
    assert_memory_not_equal(&before, &month.digests.items[0], sizeof(before));
}

static void what_the_laboratory_told_comes_with_the_reading(void **state)
{
    struct test_farm *farm = *state;

    samples_take(farm);

    struct judged_month month = month_kept(farm, "2026-05-01", NULL);

    assert_string_equal(decimal_text(farm->mem, reading_of(&month, "S1")->detection), "0.5");
    assert_string_equal(decimal_text(farm->mem, reading_of(&month, "S1")->quantitation), "1.5");
    assert_int_equal(reading_of(&month, "S2")->detection.coefficient, 0);
}

static void marks_that_make_no_sense_are_refused_and_leave_nothing(void **state)
{
    static const struct {
        struct doubt_order order;
        const char *person;
        enum err_code code;
        const char *words;
    } rows[] = {
        {{.kind = "drift", .because = ""}, "pat", ERR_INVALID, "a reason is needed"},
        {{.kind = "odd", .because = "r", .sample = "S1"}, "pat", ERR_INVALID, "no kind of doubt"},
        {{.kind = "drift", .because = "r", .sample = "S9"}, "pat", ERR_NOT_FOUND, "sample 'S9'"},
        {{.kind = "drift", .because = "r", .station = "outlet", .parameter = "ph"},
         "pat",
         ERR_NOT_FOUND,
         "nothing is stored of ph at outlet"},
        {{.kind = "drift",
          .because = "r",
          .station = "outlet",
          .parameter = "suspended-solids",
          .from = 2,
          .until = 1},
         "pat",
         ERR_INVALID,
         "ends before it begins"},
        {{.kind = "drift", .because = "r", .sample = "S1"}, "rory", ERR_DENIED, "may not correct"},
    };
    struct test_farm *farm = *state;
    char *before;

    samples_take(farm);
    before = test_state(farm);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct act act = {.person = rows[i].person, .at = farm->act.at};
        struct doubt_numbers numbers = {0};
        struct err err = ERR_INIT;

        assert_fails(
            doubt_set(farm->db, farm->mem, &farm->open, &rows[i].order, &act, &numbers, &err),
            rows[i].code, &err);
        if (!strstr(err.text, rows[i].words))
            fail_msg("%s: got %s", rows[i].words, err.text);
    }
    assert_string_equal(before, test_state(farm));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_marked_span_never_clears_until_it_is_lifted),
        FARM_TEST(a_mark_may_be_of_one_position),
        FARM_TEST(a_marked_sample_is_in_doubt_with_all_its_results),
        FARM_TEST(a_mark_changes_the_digest_of_the_evidence),
        FARM_TEST(what_the_laboratory_told_comes_with_the_reading),
        FARM_TEST(marks_that_make_no_sense_are_refused_and_leave_nothing),
    };

    return cmocka_run_group_tests_name("app/mark_doubt", tests, test_farms_setup,
                                       test_farms_teardown);
}
