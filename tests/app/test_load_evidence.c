/*
 * Evidence out of the store: what a clause looks at beside its own readings comes with them, and
 * no more than that.
 */
#include "app/load_evidence.h"

#include <string.h>

#include "app/month.h"
#include "judge/limit.h"

/* The farm with more said of its first limit, and other sections beside. */
static void farm_change(struct test_farm *farm, const char *more, const char *sections)
{
    struct farm_changes changes = {0};
    char *text = test_swap(
        farm->mem, farm->text, "    not above: 40\n",
        arena_printf(farm->mem, "    not above: 40\n    change: copied wrongly\n%s", more));

    text =
        test_swap(farm->mem, text, "limits:\n", arena_printf(farm->mem, "%s\nlimits:\n", sections));
    test_farm_load(farm, text, &farm->act, &changes);
    test_farm_confirm(farm);
}

static void samples_take(struct test_farm *farm)
{
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,12,mg/L,,\n");
}

static const char while_warm[] =
    "    while: {station: tank, parameter: temperature, unit: degC, above: 10, within: 1 hour}\n";

static void a_condition_s_reading_is_loaded_and_decides(void **state)
{
    struct test_farm *farm = *state;

    farm_change(farm, while_warm, "");
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,90,mg/L,,\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"),
                        "not assessable (no result in the period; of 2 readings it can't be told "
                        "whether the clause applied: no reading of temperature at tank in the 1 h "
                        "before)");
    test_take(farm, "local-logger", "warm.csv",
              "Time,Temp (degC)\n2026-05-04 09:30,12\n2026-05-18 09:30,8\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
}

/* A year or a century mistyped: what is known is only that it came with the others of its file. */
static void a_row_of_a_time_that_can_t_be_may_be_of_any_day_of_its_file(void **state)
{
    static const char *const when[] = {"2027-05-11 09:00", "1026-05-11 09:00"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(when); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();

        samples_take(farm);
        assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
        test_take(farm, "laboratory", "more.csv",
                  arena_printf(farm->mem,
                               LAB "S3,,,Out,2026-05-25 09:00,TSS,13,mg/L,,\n"
                                   "S4,,,Out,%s,TSS,90,mg/L,,\n",
                               when[i]));
        assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
        /* Within four weeks of the others it may be of another month; of one to come it can't be.
         */
        assert_string_equal(standing_of(farm, "2026-04-01", "solids-each"), "outside: above 40");
        assert_null(strstr(standing_of(farm, "2026-03-01", "solids-each"), "outside"));
        assert_null(strstr(standing_of(farm, "2027-05-01", "solids-each"), "outside"));
    }
}

static void only_a_laboratory_accredited_on_the_day_clears(void **state)
{
    struct test_farm *farm = *state;

    farm_change(farm, "    accredited laboratory: yes\n",
                "laboratories:\n"
                "  - key: lab\n"
                "    name: Laboratory of the tests\n"
                "    accreditations:\n"
                "      - {number: T 1, by: a body of the tests, parameters: [suspended-solids],\n"
                "         from: 2026-05-10}\n");
    samples_take(farm);

    struct judged_month month = month_kept(farm, "2026-05-01", NULL);
    const struct evidence *evidence = &month.loaded.evidence;

    assert_int_equal(evidence->accreditation_count, 1);
    assert_string_equal(evidence->accreditations[0].made_by, "Laboratory of the tests");
    assert_string_equal(evidence->accreditations[0].parameter, "suspended-solids");
    assert_null(evidence->accreditations[0].method);
    test_take(farm, "laboratory", "more.csv", LAB "S3,,,Out,2026-05-05 09:00,TSS,50,mg/L,,\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "outside: above 40");
}

static void tide_tables_come_with_the_evidence(void **state)
{
    struct test_farm *farm = *state;

    farm_change(farm,
                "    tide: 1 hour before to 2 hours after high water\n    tide table: harbour\n",
                "tide tables:\n"
                "  - key: harbour\n"
                "    place: Harbour of the tests\n"
                "    from: an invented table\n"
                "    clock: UTC\n"
                "    tides:\n"
                "      - 2026-05-04 02:00 low\n"
                "      - 2026-05-04 08:00 high\n"
                "      - 2026-05-04 14:00 low\n");
    test_take(farm, "laboratory", "may.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,\n");
    assert_string_equal(standing_of(farm, "2026-05-01", "solids-each"), "within");
    test_take(farm, "laboratory", "june.csv", LAB "S2,,,Out,2026-05-18 09:00,TSS,14,mg/L,,\n");

    struct judged_month month = month_kept(farm, "2026-05-01", NULL);

    assert_int_equal(month.loaded.evidence.tide_tables[0].count, 3);
    assert_non_null(strstr(standing_of(farm, "2026-05-01", "solids-each"),
                           "the tide table 'harbour' does not reach over 2026-05-18"));
}

/* What is loaded for a clause alone, to judge May. */
static struct loaded_evidence loaded_for(struct test_farm *farm, const char *key)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct clause_limits all = {0};
    struct clause_limits one = {0};
    struct loaded_evidence loaded;
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err), &err);
    assert_done(clauses_limits(&tx, farm->mem, &farm->open, &all, &err), &err);
    for (size_t i = 0; i < all.count; i++) {
        if (str_equal(all.items[i].limit.key, key))
            LIST_ADD(farm->mem, &one, all.items[i]);
    }
    assert_done(evidence_load_for_limits(&tx, farm->mem, &farm->open, &one, day_of("2026-05-01"),
                                         day_of("2026-05-31"), farm->act.at, false, &loaded, &err),
                &err);

    return loaded;
}

static int waiting_check(struct test_farm *farm)
{
    struct err err = ERR_INIT;
    int months = 0;
    int opened = 0;

    assert_done(months_check_waiting(farm->db, farm->mem, &farm->open, farm->act.at, NULL, &months,
                                     &opened, &err),
                &err);

    return months;
}

static size_t series_loaded(struct test_farm *farm, const char *key)
{
    return loaded_for(farm, key).evidence.series_count;
}

static void one_clause_alone_reads_its_own_series(void **state)
{
    struct test_farm *farm = *state;

    farm_change(farm, while_warm, "");
    samples_take(farm);
    test_take(farm, "logger", "oxygen.csv",
              WIDE "2026-05-02 11:00,12,5.5,,4\n2026-05-02 12:00,12,6,,5\n");
    test_take(farm, "local-logger", "warm.csv", "Time,Temp (degC)\n2026-05-04 09:30,12\n");
    assert_int_equal(series_loaded(farm, "oxygen-floor"), 1);
    assert_int_equal(series_loaded(farm, "solids-mean"), 1);
    assert_int_equal(series_loaded(farm, "solids-each"), 2);
}

/* Oxygen of each hour from the first day on and before the last. */
static void oxygen_take(struct test_farm *farm, const char *first, const char *last)
{
    struct buf text = buf_new(farm->mem);

    buf_addf(&text, "%s", WIDE);
    for (day_number day = day_of(first); day < day_of(last); day++)
        for (int hour = 0; hour < 24; hour++)
            buf_addf(&text, "%s %02d:00,12,8,,\n", day_text(farm->mem, day), hour);
    test_take(farm, "logger", "hours.csv", text.data);
}

/*
 * The oxygen clause looks at the last ten days' lowest, which reach nine days before May; a day on
 * each side is read with them. Only where some of these do not count is it read again.
 */
static void last_days_are_read_once_and_no_further_back_than_they_lie(void **state)
{
    enum { READ_DAYS = 1 + 9 + 31 + 1, AGAIN_DAYS = 1 + 18 + 31 + 1, HOURS = 24 };
    struct test_farm *farm = *state;
    struct farm_changes changes = {0};
    char *text = test_swap(farm->mem, farm->text,
                           "    only while discharging: yes\n    each day: every reading\n    "
                           "statistic: value\n    period: each "
                           "sample\n    not below: 5\n",
                           "    change: copied wrongly\n    only while discharging: no\n    each "
                           "day: lowest\n    statistic: mean\n"
                           "    period: last samples\n    last samples: 10\n    less-thans: half\n"
                           "    not below: 5\n");

    test_farm_load(farm, text, &farm->act, &changes);
    test_farm_confirm(farm);
    oxygen_take(farm, "2026-02-01", "2026-06-20");
    assert_int_equal(loaded_for(farm, "oxygen-floor").rows_read, READ_DAYS * HOURS);
    test_query(farm, "delete from reading where farm_id = $1 and at >= '2026-04-24Z' and at < "
                     "'2026-04-28Z'");
    assert_int_equal(loaded_for(farm, "oxygen-floor").rows_read,
                     (READ_DAYS - 4 + AGAIN_DAYS - 4) * HOURS);
    /* One late reading makes May old, and June, which looks back at it. */
    waiting_check(farm);
    test_take(farm, "logger", "late.csv", WIDE "2026-05-25 12:30,12,8,,\n");
    assert_int_equal(waiting_check(farm), 2);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_condition_s_reading_is_loaded_and_decides),
        cmocka_unit_test(a_row_of_a_time_that_can_t_be_may_be_of_any_day_of_its_file),
        FARM_TEST(only_a_laboratory_accredited_on_the_day_clears),
        FARM_TEST(tide_tables_come_with_the_evidence),
        FARM_TEST(one_clause_alone_reads_its_own_series),
        FARM_TEST(last_days_are_read_once_and_no_further_back_than_they_lie),
    };

    return cmocka_run_group_tests_name("app/load_evidence", tests, test_farms_setup,
                                       test_farms_teardown);
}
