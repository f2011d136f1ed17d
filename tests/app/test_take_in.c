/*
 * Taking in files, on a real database: what is stored, what is known, what is set aside, and what
 * is kept beside it.
 */
#include <string.h>

#include "app/correct.h"
#include "app/roots.h"
#include "base/str.h"

#define WIDE "Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n"
#define LAB "Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ\n"

static const char readings[] =
    "select concat_ws(' ', s.station, s.parameter, to_char(r.at at time zone 'UTC', 'DD HH24:MI'), "
    "r.qualifier::text || coalesce(r.reported::text, ''), r.unit, r.line || ':' || r.col, "
    "case r.flags when 0 then null else 'in doubt' end) "
    "from reading r join series s using (farm_id, series_id) where farm_id = $1 "
    "order by r.receipt, r.line, r.col";

static const char asides[] =
    "select concat_ws(' ', line || ':' || col, reason, row_text) from set_aside "
    "where farm_id = $1 order by receipt, line, col";

/* Everything a receipt brought, without the numbers that are drawn for each farm. */
static char *brought(const struct test_farm *farm)
{
    return arena_printf(
        farm->mem, "%s\n%s\n%s\n%s\n%s\n%s", test_query(farm, readings), test_query(farm, asides),
        test_query(farm, "select concat_ws(' ', sample, station, purpose, kind, taken_from) from "
                         "sample where farm_id = $1 order by sample"),
        test_query(farm,
                   "select concat_ws(' ', us(at), portion > 0, detection, quantitation, doubt)"
                   " from reading_note where farm_id = $1 order by at, detection, doubt"),
        test_query(farm, "select concat_ws(' ', station, parameter, first_day, last_day) from "
                         "to_judge where farm_id = $1 order by 1"),
        test_query(farm, "select concat_ws(' ', s.station, s.parameter, us(l.at), l.reported) from "
                         "series_latest l join series s using (farm_id, series_id) "
                         "where farm_id = $1 order by 1"));
}

static void counts_are(const struct take_in_result *result, int64_t stored, int64_t known,
                       int64_t blank, int64_t set_aside)
{
    const struct receipt_row *receipt = &result->receipt;

    assert_int_equal(receipt->stored, stored);
    assert_int_equal(receipt->already_known, known);
    assert_int_equal(receipt->blank, blank);
    assert_int_equal(receipt->set_aside, set_aside);
    assert_int_equal(receipt->values_in, stored + known + blank + set_aside);
}

static void a_wide_file_is_stored_cell_by_cell(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result result = test_take(farm, "logger", "may.csv",
                                             WIDE "2026-05-01 00:00,12.50,8.1,ok,7.9\n"
                                                  "2026-05-01 00:10,,8.0,odd,\n"
                                                  "2026-05-01 00:20,12.7,7.9,bad,x\n");

    assert_true(result.straight);
    assert_false(result.already);
    assert_int_equal(result.rows, 3);
    counts_are(&result, 5, 0, 2, 2);
    assert_string_equal(test_query(farm, readings),
                        "outlet temperature 01 00:00 =12.50 degC 2:2\n"
                        "outlet oxygen 01 00:00 =8.1 mg/L 2:3\n"
                        "tank oxygen 01 00:00 =7.9 mg/L 2:5\n"
                        "outlet oxygen 01 00:10 =8.0 mg/L 3:3 in doubt\n"
                        "outlet temperature 01 00:20 =12.7 degC 4:2");
    assert_string_equal(test_query(farm, asides), "4:3 flagged 7.9\n4:5 value-unreadable x");
    assert_int_equal(roots_check(farm, result.receipt.receipt), 1);
}

static const char lab_may[] = LAB "S1,a,required,Out,2026-05-04 09:00,TSS,31,mg/L,2,5\n"
                                  "S1,b,required,Out,2026-05-04 09:00,TSS,33,mg/L,,\n"
                                  "S1,a,required,Out,2026-05-04 09:00,NH4,<0.05,mg/L,0.05,\n"
                                  "S2,,check,Tank,2026-05-04 09:30,TSS,>2420,mg/L,,\n"
                                  "S3,,,Out,2026-05-11 09:00,NH4,ND,mg/L,,\n"
                                  "S3,,,Out,2026-05-11 09:00,TSS,,mg/L,,\n"
                                  "S4,,,Out,2026-05-18 09:00,TSS,12,mgl per,,\n";

static void a_long_file_is_stored_row_by_row_with_samples_and_limits(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result result = test_take(farm, "laboratory", "lab.csv", lab_may);

    assert_true(result.straight);
    counts_are(&result, 5, 0, 1, 1);
    assert_string_equal(brought(farm),
                        "outlet suspended-solids 04 09:00 =31 mg/L 2:7\n"
                        "outlet suspended-solids 04 09:00 =33 mg/L 3:7\n"
                        "outlet ammonia 04 09:00 <0.05 mg/L 4:7\n"
                        "tank suspended-solids 04 09:30 >2420 mg/L 5:7\n"
                        "outlet ammonia 11 09:00 n mg/L 6:7\n"
                        "8:8 unit-unknown S4,,,Out,2026-05-18 09:00,TSS,12,mgl per,,\n"
                        "S1 outlet required grab 2026-05-04 09:00:00+00\n"
                        "S2 tank check grab 2026-05-04 09:30:00+00\n"
                        "S3 outlet required grab 2026-05-11 09:00:00+00\n"
                        "1777885200000000 t 0.05\n"
                        "1777885200000000 t 2 5\n"
                        "  2026-05-18 2026-05-18\n"
                        "outlet ammonia 2026-05-04 2026-05-11\n"
                        "outlet suspended-solids 2026-05-04 2026-05-04\n"
                        "tank suspended-solids 2026-05-04 2026-05-04\n"
                        "outlet ammonia 1778490000000000\n"
                        "outlet suspended-solids 1777885200000000 33\n"
                        "tank suspended-solids 1777887000000000 2420");
    assert_int_equal(test_number(farm, "select count(*) from sample_portion where farm_id = $1"),
                     4);
    assert_int_equal(roots_check(farm, result.receipt.receipt), 1);
}

/* Files whose readings cross months, hold doubts, blanks, and values that can't be read. */
static const struct {
    const char *source;
    const char *text;
    const char *why;
} either[] = {
    {"laboratory", lab_may, "samples, portions, less-thans, limits"},
    {"logger",
     WIDE "2026-05-31 23:50,12.50,8.1,ok,7.9\n2026-06-01 00:00,12,8.0,odd,\n"
          "2026-06-01 00:10,12.7,7.9,bad,x\n",
     "two months, a doubt, a flagged cell"},
    {"logger", WIDE "2026-05-02 00:10,1,2,,3\n2026-05-02 00:00,1,2,,3\n", "newest first"},
    {"local-logger",
     "Time,Temp (degC)\n2025-10-26 00:30,9.1\n2025-10-26 01:00,9.2\n2025-10-26 01:30,9.3\n"
     "2025-10-26 01:00,9.4\n2025-10-26 01:30,9.5\n2025-10-26 02:00,9.6\n",
     "the hour that comes twice, run through twice"},
};

static void straight_and_staged_come_to_the_same(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(either); i++) {
        CLEANUP(test_farm_drop) struct test_farm *one = test_farm_make();
        CLEANUP(test_farm_drop) struct test_farm *other = test_farm_make();
        struct take_in_result straight = test_take(one, either[i].source, "a.csv", either[i].text);
        struct take_in_result staged =
            test_take_staged(other, either[i].source, "a.csv", either[i].text);

        if (!straight.straight || staged.straight)
            fail_msg("%s: straight %d, staged %d", either[i].why, straight.straight,
                     !staged.straight);
        counts_are(&staged, straight.receipt.stored, straight.receipt.already_known,
                   straight.receipt.blank, straight.receipt.set_aside);
        assert_string_equal(brought(one), brought(other));
        assert_int_equal(roots_check(one, straight.receipt.receipt), 1);
        assert_int_equal(roots_check(other, staged.receipt.receipt), 1);
    }
}

static void a_file_that_overlaps_is_staged(void **state)
{
    struct test_farm *farm = *state;
    const char *first = WIDE "2026-05-01 00:00,12,8.1,,7\n2026-05-01 01:00,12,8.1,,7\n";

    assert_true(test_take(farm, "logger", "1.csv", first).straight);
    assert_true(test_take(farm, "logger", "2.csv", WIDE "2026-05-01 02:00,12,8.1,,7\n").straight);
    assert_false(test_take(farm, "logger", "3.csv",
                           WIDE "2026-05-01 00:30,12,8.1,,7\n2026-05-01 01:30,12,8.1,,7\n")
                     .straight);
    /* Another series in the same hours meets nothing. */
    assert_true(test_take(farm, "local-logger", "4.csv", "Time,Temp (degC)\n2026-05-01 01:30,9\n")
                    .straight);
}

static void the_same_file_again_changes_nothing(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result first = test_take(farm, "laboratory", "lab.csv", lab_may);
    char *before = test_state(farm);
    struct take_in_result again = test_take(farm, "laboratory", "renamed.csv", lab_may);

    assert_true(again.already);
    assert_true(again.receipt.receipt == first.receipt.receipt);
    assert_string_equal(again.receipt.file_name, "lab.csv");
    assert_int_equal(again.receipt.stored, first.receipt.stored);
    test_state_same(before, test_state(farm), "the same file");
}

static void values_that_are_known_are_told_and_not_stored_twice(void **state)
{
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "lab.csv", lab_may);

    /* The same rows in another order, a digit more behind the point, and one new. */
    struct take_in_result again =
        test_take(farm, "laboratory", "again.csv",
                  LAB "S3,,,Out,2026-05-11 09:00,NH4,ND,mg/L,,\n"
                      "S1,b,required,Out,2026-05-04 09:00,TSS,33.0,mg/L,,\n"
                      "S1,a,required,Out,2026-05-04 09:00,NH4,<0.05,mg/L,0.05,\n"
                      "S5,,,Out,2026-05-25 09:00,TSS,8,mg/L,,\n");

    assert_false(again.straight);
    counts_are(&again, 1, 3, 0, 0);
    assert_int_equal(roots_check(farm, again.receipt.receipt), 1);
}

static void what_contradicts_a_stored_reading_is_set_aside(void **state)
{
    static const struct {
        const char *row;
        const char *why;
    } contradicting[] = {
        {"S1,a,required,Out,2026-05-04 09:00,TSS,13,mg/L,,\n", "another value"},
        {"S1,b,required,Out,2026-05-04 09:00,TSS,<33,mg/L,,\n", "another qualifier"},
        {"S1,a,required,Out,2026-05-04 09:00,NH4,<51,ug/L,,\n", "another limit in another unit"},
        {"S3,,,Out,2026-05-11 09:00,NH4,0.1,mg/L,,\n", "a value where nothing was found"},
        {"S2,,check,Tank,2026-05-04 09:30,TSS,ND,mg/L,,\n", "nothing found where a value was"},
    };
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "lab.csv", lab_may);

    char *stored = test_query(farm, readings);

    for (size_t i = 0; i < ARRAY_LEN(contradicting); i++) {
        struct take_in_result result =
            test_take(farm, "laboratory", arena_printf(farm->mem, "%zu.csv", i),
                      arena_printf(farm->mem, LAB "%s", contradicting[i].row));
        const char *reason =
            test_query(farm, arena_printf(farm->mem,
                                          "select reason from set_aside where farm_id = $1 and "
                                          "receipt = %lld",
                                          (long long)result.receipt.receipt));

        if (!str_equal(reason, "contradicts-stored"))
            fail_msg("%s: %s", contradicting[i].why, reason);
        counts_are(&result, 0, 0, 0, 1);
    }
    assert_string_equal(test_query(farm, readings), stored);
    assert_string_equal(test_query(farm, "select words from set_aside where farm_id = $1 and "
                                         "row_text = '13 mg/L'"),
                        "another value is stored already: 31 mg/L");
}

/* Twice 32 against 31 on record: neither is on record, so neither is known already. */
static void rows_alike_that_contradict_what_is_stored_are_all_set_aside(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result result;

    test_take(farm, "laboratory", "one.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,31,mg/L,,\n"
                  "S2,,,Out,2026-05-04 10:00,TSS,20,mg/L,,\n");
    result = test_take(farm, "laboratory", "two.csv",
                       LAB "S1,,,Out,2026-05-04 09:00,TSS,32,mg/L,,\n"
                           "S1,,,Out,2026-05-04 09:00,TSS,32,mg/L,,\n"
                           "S1,,,Out,2026-05-04 09:00,TSS,32.0,mg/L,,\n"
                           "S2,,,Out,2026-05-04 10:00,TSS,20,mg/L,,\n"
                           "S2,,,Out,2026-05-04 10:00,TSS,20,mg/L,,\n"
                           "S3,,,Out,2026-05-04 11:00,TSS,9,mg/L,,\n"
                           "S3,,,Out,2026-05-04 11:00,TSS,9,mg/L,,\n");
    counts_are(&result, 1, 3, 0, 3);
    assert_string_equal(test_query(farm, asides), "2:7 contradicts-stored 32 mg/L\n"
                                                  "3:7 contradicts-stored 32 mg/L\n"
                                                  "4:7 contradicts-stored 32.0 mg/L");
    assert_string_equal(test_query(farm, "select distinct words from set_aside where farm_id = $1"),
                        "another value is stored already: 31 mg/L");
}

static void rows_of_one_file_that_contradict_are_all_set_aside(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result result = test_take(farm, "laboratory", "lab.csv",
                                             LAB "S1,,,Out,2026-05-04 09:00,TSS,31,mg/L,,\n"
                                                 "S2,,,Out,2026-05-04 10:00,TSS,20,mg/L,,\n"
                                                 "S1,,,Out,2026-05-04 09:00,TSS,13,mg/L,,\n"
                                                 "S2,,,Out,2026-05-04 10:00,TSS,20.0,mg/L,,\n"
                                                 "S1,,,Out,2026-05-04 09:00,TSS,31,mg/L,,\n"
                                                 "S3,,,Out,2026-05-04 11:00,TSS,ND,mg/L,,\n"
                                                 "S3,,,Out,2026-05-04 11:00,TSS,5,mg/L,,\n");

    assert_false(result.straight);
    counts_are(&result, 1, 1, 0, 5);
    assert_string_equal(test_query(farm, readings),
                        "outlet suspended-solids 04 10:00 =20 mg/L 3:7");
    assert_string_equal(test_query(farm, asides), "2:7 contradicts-file 31 mg/L\n"
                                                  "4:7 contradicts-file 13 mg/L\n"
                                                  "6:7 contradicts-file 31 mg/L\n"
                                                  "7:7 contradicts-file not detected mg/L\n"
                                                  "8:7 contradicts-file 5 mg/L");
    assert_int_equal(roots_check(farm, result.receipt.receipt), 1);
}

/* 10 mg/L are 10000 ug/L: the first is kept, whatever unit it is in. */
static void one_value_in_two_units_contradicts_nothing(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result result = test_take(farm, "laboratory", "lab.csv",
                                             LAB "S1,,,Out,2026-05-04 09:00,TSS,10,mg/L,,\n"
                                                 "S1,,,Out,2026-05-04 09:00,TSS,10000,ug/L,,\n"
                                                 "S2,,,Out,2026-05-04 10:00,TSS,<300,ug/L,,\n"
                                                 "S2,,,Out,2026-05-04 10:00,TSS,<0.3,mg/L,,\n"
                                                 "S3,,,Out,2026-05-04 11:00,TSS,ND,ug/L,,\n"
                                                 "S3,,,Out,2026-05-04 11:00,TSS,ND,mg/L,,\n"
                                                 "S4,,,Out,2026-05-04 12:00,TSS,10,mg/L,,\n"
                                                 "S4,,,Out,2026-05-04 12:00,TSS,10001,ug/L,,\n");

    counts_are(&result, 3, 3, 0, 2);
    assert_string_equal(test_query(farm, asides), "8:7 contradicts-file 10 mg/L\n"
                                                  "9:7 contradicts-file 10001 ug/L");
    result = test_take(farm, "laboratory", "again.csv",
                       LAB "S1,,,Out,2026-05-04 09:00,TSS,10000.0,ug/L,,\n"
                           "S3,,,Out,2026-05-04 11:00,TSS,ND,mg/L,,\n");
    counts_are(&result, 0, 2, 0, 0);
}

static void the_bytes_are_kept_as_they_came(void **state)
{
    struct test_farm *farm = *state;
    struct buf text = buf_new(farm->mem);

    /* More than two pieces of a megabyte, with CRLF, a BOM and bytes that are no UTF-8. */
    buf_add_text(&text, "\xEF\xBB\xBFTime,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\r\n");
    for (int i = 0; text.len < 2200000; i++)
        buf_addf(&text, "2026-05-%02d %02d:%02d,,,%s,%600s\r\n", 1 + i / 1440 % 28, i / 60 % 24,
                 i % 60, i % 7 ? "" : "\xFF", "");

    struct take_in_result result = test_take(farm, "logger", "big.csv", text.data);
    struct digest digest = sha256(text.data, text.len);

    assert_int_equal(result.receipt.byte_count, (int64_t)text.len);
    assert_string_equal(
        test_query(farm, "select concat_ws(' ', count(*), encode(sha256(string_agg(bytes, ''::bytea"
                         " order by piece)), 'hex')) from receipt_piece where farm_id = $1"),
        arena_printf(farm->mem, "3 %s", digest_text(farm->mem, &digest)));
    assert_string_equal(test_query(farm, "select encode(sha256::bytea, 'hex') from receipt where "
                                         "farm_id = $1"),
                        digest_text(farm->mem, &digest));
}

static void more_readings_than_a_batch_holds_make_more_roots(void **state)
{
    enum { ROWS = 33000 };
    struct test_farm *farm = *state;
    struct buf text = buf_new(farm->mem);

    buf_add_text(&text, WIDE);
    for (int i = 0; i < ROWS; i++)
        buf_addf(&text, "2026-05-%02d %02d:%02d,%d.%d,8,,\n", 1 + i / 1440, i / 60 % 24, i % 60,
                 10 + i % 9, i % 10);

    struct take_in_result result = test_take(farm, "logger", "many.csv", text.data);

    counts_are(&result, 2 * (int64_t)ROWS, 0, ROWS, 0);
    assert_int_equal(roots_check(farm, result.receipt.receipt), 2);
}

static void the_newest_reading_is_kept_at_hand(void **state)
{
    static const char latest[] = "select us(at) / 1000000 || ' ' || reported from series_latest "
                                 "where farm_id = $1";
    struct test_farm *farm = *state;

    test_take(farm, "local-logger", "1.csv", "Time,Temp (degC)\n2026-05-02 01:00,9\n");
    assert_string_equal(test_query(farm, latest), "1777680000 9");
    /* An older file does not move it, a newer one does, whatever its order. */
    test_take(farm, "local-logger", "2.csv", "Time,Temp (degC)\n2026-05-01 01:00,8\n");
    assert_string_equal(test_query(farm, latest), "1777680000 9");
    test_take(farm, "local-logger", "3.csv",
              "Time,Temp (degC)\n2026-05-04 01:00,7\n2026-05-03 01:00,6\n");
    assert_string_equal(test_query(farm, latest), "1777852800 7");
}

/* Straight in, staged, and corrected: clean water that went the sample's way says nothing of it. */
static void a_blank_is_never_shown_as_the_newest_value_of_the_water(void **state)
{
    static const char latest[] = "select reported::text from series_latest where farm_id = $1";
    struct test_farm *farm = *state;
    struct reading_ref blank = {.station = "outlet",
                                .parameter = "suspended-solids",
                                .at = test_at("2026-05-04 09:30"),
                                .sample = "B1"};
    struct correction_order order = {.kind = "value", .value = "2", .reason = "misread"};
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "one.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,31,mg/L,,\n"
                  "B1,,blank,Out,2026-05-04 09:30,TSS,1,mg/L,,\n");
    assert_string_equal(test_query(farm, latest), "31");
    test_take(farm, "laboratory", "two.csv",
              LAB "B2,,blank,Out,2026-05-03 09:30,TSS,1,mg/L,,\n"
                  "S2,,,Out,2026-05-05 09:00,TSS,32,mg/L,,\n"
                  "B3,,blank,Out,2026-05-05 09:30,TSS,1,mg/L,,\n"
                  "B1,,blank,Out,2026-05-04 09:30,TSS,1,mg/L,,\n");
    assert_string_equal(test_query(farm, latest), "32");
    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, &blank, &order, &farm->act, &done, &err),
        &err);
    assert_string_equal(test_query(farm, latest), "32");
}

static void windows_are_put_for_each_series_and_month(void **state)
{
    struct test_farm *farm = *state;

    /* The farm's days: 23:30 UTC on 30 April is 1 May in Dublin. */
    test_take(farm, "logger", "1.csv",
              WIDE "2026-04-30 23:30,1,,,\n2026-05-10 00:00,,8,,\n2026-06-02 00:00,1,,,\n");
    assert_string_equal(test_query(farm, "select concat_ws(' ', station, parameter, first_day, "
                                         "last_day) from to_judge where farm_id = $1 order by 1"),
                        "outlet oxygen 2026-05-10 2026-05-10\n"
                        "outlet temperature 2026-05-01 2026-05-31\n"
                        "outlet temperature 2026-06-01 2026-06-02");
}

static void windows_say_what_rows_set_aside_may_belong_to(void **state)
{
    static const char windows[] = "select first_day || ' ' || last_day from to_judge "
                                  "where farm_id = $1 and series_id = 0 order by 1";
    struct test_farm *farm = *state;

    test_take(farm, "local-logger", "1.csv",
              "Time,Temp (degC)\n2026-05-02 01:00,9\n2026-05-04 01:00,9\n");
    assert_string_equal(test_query(farm, windows), "");
    /* A row of June that can't be read; one without a time: all of the file, and four weeks on. */
    test_take(farm, "local-logger", "2.csv",
              "Time,Temp (degC)\n2026-04-07 01:00,9\n2026-06-03 01:00,x\n?,9\n");
    assert_string_equal(test_query(farm, windows), "2026-04-07 2026-04-30\n2026-05-01 2026-05-05\n"
                                                   "2026-06-03 2026-06-03");
    /* No time at all: it may belong to anything that is on record. */
    test_take(farm, "local-logger", "3.csv", "Time,Temp (degC)\n??,9\n");
    assert_string_equal(test_query(farm, windows), "2026-04-07 2026-04-30\n"
                                                   "2026-04-07 2026-04-30\n"
                                                   "2026-05-01 2026-05-04\n"
                                                   "2026-05-01 2026-05-05\n"
                                                   "2026-06-03 2026-06-03");
}

static void an_unset_clock_does_not_put_a_window_for_every_month(void **state)
{
    struct test_farm *farm = *state;

    /* Years typed wrongly are set aside, and may be of any month about; 1970, where some clocks
     * begin, could be true. */
    test_take(farm, "local-logger", "1.csv",
              "Time,Temp (degC)\n2026-05-02 01:00,9\n9026-05-02 02:00,9\n1926-05-02 02:00,9\n"
              "1970-01-01 00:10,9\n2099-05-02 02:00,9\n");
    assert_string_equal(test_query(farm, "select first_day || ' ' || last_day from to_judge "
                                         "where farm_id = $1 order by 1"),
                        "1970-01-01 1970-01-01\n1970-01-01 1970-01-31\n1970-02-01 1970-02-01\n"
                        "2026-04-01 2026-04-30\n2026-05-01 2026-05-02\n2026-05-01 2026-05-30");
    assert_int_equal(test_number(farm, "select count(*) from pg_inherits where inhparent = "
                                       "'reading'::regclass and inhrelid::regclass::text like "
                                       "'%_198%'"),
                     0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_wide_file_is_stored_cell_by_cell),
        FARM_TEST(a_long_file_is_stored_row_by_row_with_samples_and_limits),
        cmocka_unit_test(straight_and_staged_come_to_the_same),
        FARM_TEST(a_file_that_overlaps_is_staged),
        FARM_TEST(the_same_file_again_changes_nothing),
        FARM_TEST(values_that_are_known_are_told_and_not_stored_twice),
        FARM_TEST(what_contradicts_a_stored_reading_is_set_aside),
        FARM_TEST(rows_alike_that_contradict_what_is_stored_are_all_set_aside),
        FARM_TEST(rows_of_one_file_that_contradict_are_all_set_aside),
        FARM_TEST(one_value_in_two_units_contradicts_nothing),
        FARM_TEST(the_bytes_are_kept_as_they_came),
        FARM_TEST(more_readings_than_a_batch_holds_make_more_roots),
        FARM_TEST(the_newest_reading_is_kept_at_hand),
        FARM_TEST(a_blank_is_never_shown_as_the_newest_value_of_the_water),
        FARM_TEST(windows_are_put_for_each_series_and_month),
        FARM_TEST(windows_say_what_rows_set_aside_may_belong_to),
        FARM_TEST(an_unset_clock_does_not_put_a_window_for_every_month),
    };

    return cmocka_run_group_tests_name("app/take_in", tests, test_farms_setup, test_farms_teardown);
}
