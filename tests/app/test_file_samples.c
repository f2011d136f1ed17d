/*
 * What the rows of one file, and of one file after another, tell of a sample: rows that tell it in
 * two ways are set aside with both, and no order of rows lets one of them stand for all.
 */
#include <string.h>

#include "app/correct.h"
#include "app/file_samples.h"
#include "app/read_again.h"
#include "base/str.h"
#include "harness/farm.h"

#define LAB "Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ\n"

static const char asides[] = "select concat_ws(' ', line, reason, row_text, '(' || words || ')') "
                             "from set_aside where farm_id = $1 order by receipt, line";

static const char on_record[] =
    "select concat_ws(' ', sample, station, purpose, to_char(taken_from at time zone 'UTC', "
    "'DD HH24:MI')) from sample where farm_id = $1 order by sample";

static const char results[] =
    "select concat_ws(' ', r.line, r.reported) from reading r where farm_id = $1 "
    "order by r.receipt, r.line";

/* --- rows of one file, without a database ---------------------------------------------------- */

struct told {
    const char *position;
    const char *purpose;
    const char *taken_by;
    instant at;
    instant until;
};

static const char *trouble_of(struct arena *mem, const struct told *rows, size_t count)
{
    struct file_samples *samples = ARENA_NEW(mem, struct file_samples);
    struct draft draft = {.sample = "S1"};

    *samples = (struct file_samples){.mem = mem, .zone = zone_fixed(mem, 0)};
    for (size_t i = 0; i < count; i++) {
        struct draft_series *series = ARENA_NEW(mem, struct draft_series);

        *series = (struct draft_series){.station = "outlet", .position = rows[i].position};
        draft = (struct draft){.sample = "S1",
                               .purpose = rows[i].purpose,
                               .taken_by = rows[i].taken_by,
                               .at = rows[i].at,
                               .until = rows[i].until,
                               .line = (int32_t)i + 2};
        file_samples_note(samples, &draft, series);
    }

    return file_samples_of(samples, &draft)->trouble;
}

enum { MINUTE = 60 };
#define AT(minutes) ((instant)(minutes)*MINUTE * 1000000)
#define BOTH "rows of this file contradict each other on sample S1: "

static const struct {
    const char *why;
    struct told rows[3];
    const char *trouble; /* NULL: none */
} cases[] = {
    {"two takers",
     {{"", NULL, "Ida", 0, 0}, {"", NULL, "Per", 0, 0}, {"", NULL, "Ida", 0, 0}},
     BOTH "taken by Ida by line 2, taken by Per by line 3"},
    {"a taker that one row leaves open",
     {{"", NULL, NULL, 0, 0}, {"", NULL, "Ida", 0, 0}, {"", NULL, NULL, 0, 0}},
     NULL},
    {"two takers after a row that leaves it open",
     {{"", NULL, NULL, 0, 0}, {"", NULL, "Ida", 0, 0}, {"", NULL, "Per", 0, 0}},
     BOTH "taken by Ida by line 3, taken by Per by line 4"},
    {"two purposes",
     {{"", "required", NULL, 0, 0}, {"", NULL, NULL, 0, 0}, {"", "check", NULL, 0, 0}},
     BOTH "'required' by line 2, 'check' by line 4"},
    {"two positions",
     {{"", NULL, NULL, 0, 0}, {"deep", NULL, NULL, 0, 0}, {"", NULL, NULL, 0, 0}},
     BOTH "taken at outlet by line 2, taken at outlet, deep by line 3"},
    {"two times",
     {{"", NULL, NULL, AT(0), AT(0)}, {"", NULL, NULL, AT(5), AT(5)}, {"", NULL, NULL, 0, 0}},
     BOTH "taken on 1970-01-01 00:00 by line 2, taken on 1970-01-01 00:05 by line 3"},
    {"two lengths of a composite",
     {{"", NULL, NULL, 0, AT(60)}, {"", NULL, NULL, 0, AT(90)}, {"", NULL, NULL, 0, AT(60)}},
     BOTH "taken from 1970-01-01 00:00 to 1970-01-01 01:00 by line 2, taken from 1970-01-01 00:00 "
          "to 1970-01-01 01:30 by line 3"},
    {"all alike",
     {{"deep", "check", "Ida", 0, 0}, {"deep", "check", "Ida", 0, 0}, {"deep", NULL, NULL, 0, 0}},
     NULL},
};

static void rows_that_tell_a_sample_in_two_ways_are_found(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        const char *trouble = trouble_of(mem, cases[i].rows, ARRAY_LEN(cases[i].rows));

        if (!trouble != !cases[i].trouble || (trouble && !str_equal(trouble, cases[i].trouble)))
            fail_msg("%s: %s", cases[i].why, trouble ? trouble : "nothing");
    }
}

static void no_order_of_rows_hides_it(void **state)
{
    static const size_t orders[][3] = {{0, 1, 2}, {0, 2, 1}, {1, 0, 2},
                                       {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        for (size_t k = 0; k < ARRAY_LEN(orders); k++) {
            const size_t *order = orders[k];
            const struct told rows[] = {cases[i].rows[order[0]], cases[i].rows[order[1]],
                                        cases[i].rows[order[2]]};

            if (!trouble_of(mem, rows, ARRAY_LEN(rows)) != !cases[i].trouble)
                fail_msg("%s, in order %zu", cases[i].why, k);
        }
    }
}

/* --- files taken in -------------------------------------------------------------------------- */

static void rows_of_one_file_that_tell_it_in_two_ways_are_all_set_aside(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result result = test_take(farm, "laboratory", "lab.csv",
                                             LAB "S1,,required,Out,2026-05-04 09:00,TSS,31,mg/L,,\n"
                                                 "S2,,,Out,2026-05-04 10:00,TSS,20,mg/L,2,\n"
                                                 "S1,,check,Out,2026-05-04 09:00,NH4,ND,mg/L,1,\n"
                                                 "S2,,check,Out,2026-05-04 10:00,NH4,4,mg/L,,\n"
                                                 "S3,,,Tank,2026-05-04 11:00,TSS,<5,mg/L,,\n"
                                                 "S3,,,Tank,2026-05-04 11:30,NH4,7,mg/L,,\n");

    assert_true(result.straight);
    assert_int_equal(result.receipt.stored, 2);
    assert_int_equal(result.receipt.set_aside, 4);
    assert_string_equal(test_query(farm, results), "3 20\n5 4");
    /* The row that tells the purpose stands for the one that leaves it open. */
    assert_string_equal(test_query(farm, on_record), "S2 outlet check 04 10:00");
    assert_string_equal(
        test_query(farm, asides),
        "2 sample-contradicts-file 31 mg/L (rows of this file contradict each other on sample S1: "
        "'required' by line 2, 'check' by line 4)\n"
        "4 sample-contradicts-file <1 mg/L (rows of this file contradict each other on "
        "sample S1: 'required' by line 2, 'check' by line 4)\n"
        "6 sample-contradicts-file <5 mg/L (rows of this file contradict each other on sample S3: "
        "taken on 2026-05-04 12:00 by line 6, taken on 2026-05-04 12:30 by line 7)\n"
        "7 sample-contradicts-file 7 mg/L (rows of this file contradict each other on sample S3: "
        "taken on 2026-05-04 12:00 by line 6, taken on 2026-05-04 12:30 by line 7)");
}

static void a_file_that_contradicts_the_record_is_set_aside(void **state)
{
    static const struct {
        const char *row;
        const char *words; /* NULL: it is stored */
    } later[] = {
        {"S1,,,Tank,2026-05-04 09:00,NH4,1,mg/L,,\n",
         "sample S1 is stored already as taken at outlet, here it is taken at tank"},
        {"S1,,check,Out,2026-05-04 09:00,NH4,1,mg/L,,\n",
         "sample S1 is stored already as 'required', here it is 'check'"},
        {"S1,,,Out,2026-05-05 09:00,NH4,1,mg/L,,\n",
         "sample S1 is stored already as taken on 2026-05-04 10:00, here it is taken on 2026-05-05 "
         "10:00"},
        {"S1,,,Out,2026-05-04 09:00,NH4,1,mg/L,,\n", NULL},
        {"S1,b,required,Out,2026-05-04 09:00,TSS,33,mg/L,,\n", NULL},
    };
    struct test_farm *farm = *state;

    test_take(farm, "laboratory", "lab.csv", LAB "S1,,,Out,2026-05-04 09:00,TSS,31,mg/L,,\n");
    for (size_t i = 0; i < ARRAY_LEN(later); i++) {
        for (int staged = 0; staged < 2; staged++) {
            char *text = arena_printf(farm->mem, LAB "%s%s", later[i].row, staged ? "\n" : "");
            char *name = arena_printf(farm->mem, "%zu-%d.csv", i, staged);
            struct take_in_result result = staged ? test_take_staged(farm, "laboratory", name, text)
                                                  : test_take(farm, "laboratory", name, text);
            const char *words = test_query(
                farm, arena_printf(farm->mem,
                                   "select words from set_aside where farm_id = $1 and receipt = "
                                   "%lld",
                                   (long long)result.receipt.receipt));

            assert_string_equal(words, later[i].words ? later[i].words : "");
            assert_int_equal(result.receipt.set_aside, later[i].words ? 1 : 0);
        }
    }
    assert_string_equal(test_query(farm, on_record), "S1 outlet required 04 09:00");
}

static void once_the_wrong_row_is_left_out_the_others_are_taken(void **state)
{
    struct test_farm *farm = *state;
    struct read_again_result again;
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    test_take(farm, "laboratory", "lab.csv",
              LAB "S1,,required,Out,2026-05-04 09:00,TSS,31,mg/L,,\n"
                  "S1,,check,Out,2026-05-04 09:00,NH4,2,mg/L,,\n"
                  "S1,b,required,Out,2026-05-04 09:00,TSS,33,mg/L,,\n");
    assert_done(
        read_again(farm->db, farm->mem, &farm->open, "lab.csv", NULL, &farm->act, &again, &err),
        &err);
    assert_int_equal(again.accepted, 0);
    assert_done(aside_leave_out(farm->db, farm->mem, &farm->open,
                                &(struct aside_ref){.file_name = "lab.csv", .line = 3},
                                "another sample's row", NULL, &farm->act, &done, &err),
                &err);
    assert_done(
        read_again(farm->db, farm->mem, &farm->open, "lab.csv", NULL, &farm->act, &again, &err),
        &err);
    assert_int_equal(again.accepted, 2);
    assert_string_equal(test_query(farm, results), "2 31\n4 33");
    assert_string_equal(test_query(farm, on_record), "S1 outlet required 04 09:00");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rows_that_tell_a_sample_in_two_ways_are_found),
        cmocka_unit_test(no_order_of_rows_hides_it),
        FARM_TEST(rows_of_one_file_that_tell_it_in_two_ways_are_all_set_aside),
        FARM_TEST(a_file_that_contradicts_the_record_is_set_aside),
        FARM_TEST(once_the_wrong_row_is_left_out_the_others_are_taken),
    };

    return cmocka_run_group_tests_name("app/file_samples", tests, test_farms_setup,
                                       test_farms_teardown);
}
