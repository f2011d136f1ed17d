/*
 * Documents: kept byte for byte, tied to what they prove, written out as they came in; and results
 * that a person held against one.
 */
#include <string.h>

#include "app/correct.h"
#include "app/documents.h"
#include "app/month.h"
#include "app/probed.h"
#include "base/file.h"

/* A file of every byte there is, so that nothing on the way may take it for text. */
static const char *certificate(struct test_farm *farm, const char *name, size_t length)
{
    char *bytes = ARENA_ARRAY(farm->mem, char, length);

    for (size_t i = 0; i < length; i++)
        bytes[i] = (char)(i * 7 + i / 256);

    return test_file_bytes(farm, name, bytes, length);
}

static bool keep(struct test_farm *farm, const char *path, const char *kind, const char *about,
                 struct document_kept *kept, struct err *err)
{
    const struct document_order order = {path, kind, about};

    return document_keep(farm->db, farm->mem, &farm->open, &order, &farm->act, kept, err);
}

static struct document_kept kept(struct test_farm *farm, const char *path, const char *about)
{
    struct document_kept out = {0};
    struct err err = ERR_INIT;

    assert_done(keep(farm, path, "certificate", about, &out, &err), &err);

    return out;
}

static void sample_take(struct test_farm *farm)
{
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mg/L,,\n"
                  "S1,,,Out,2026-05-04 09:00,NH4,<0.05,mg/L,,\n");
}

/* Two pieces of 1 MB and a part: what comes out is what went in, byte for byte. */
static void a_document_comes_out_as_it_went_in(void **state)
{
    struct test_farm *farm = *state;
    const char *path = certificate(farm, "big.pdf", 2 * DOCUMENT_PIECE_BYTES + 5);
    const char *copy = arena_printf(farm->mem, "%s/copy.pdf", farm->folder);
    struct document_kept first = kept(farm, path, NULL);
    struct document_row row = {0};
    struct err err = ERR_INIT;
    char *before = NULL;
    char *after = NULL;
    size_t before_length = 0;
    size_t after_length = 0;

    assert_false(first.already);
    assert_int_equal(first.row.document, 1);
    assert_done(document_write(farm->db, farm->mem, &farm->open, 1, copy, &row, &err), &err);
    assert_string_equal(row.name, "big.pdf");
    assert_done(file_read(farm->mem, path, DOCUMENT_BYTES_MOST, &before, &before_length, &err),
                &err);
    assert_done(file_read(farm->mem, copy, DOCUMENT_BYTES_MOST, &after, &after_length, &err), &err);
    assert_int_equal(before_length, after_length);
    assert_memory_equal(before, after, before_length);
    assert_int_equal(test_number(farm, "select count(*) from document_piece where farm_id = $1"),
                     3);
    /* What is there is never written over. */
    assert_fails(document_write(farm->db, farm->mem, &farm->open, 1, copy, &row, &err),
                 ERR_CONFLICT, &err);
    assert_fails(document_write(farm->db, farm->mem, &farm->open, 2, "none", &row, &err),
                 ERR_NOT_FOUND, &err);
}

static void the_same_bytes_are_kept_once_and_may_be_tied_to_more(void **state)
{
    struct test_farm *farm = *state;
    const char *path = certificate(farm, "one.pdf", 300);

    sample_take(farm);
    assert_false(kept(farm, path, "licence permit").already);
    assert_true(kept(farm, certificate(farm, "other name.pdf", 300), "sample S1").already);
    assert_true(kept(farm, path, "sample S1").already);
    assert_true(kept(farm, path, NULL).already);
    assert_int_equal(test_number(farm, "select count(*) from document where farm_id = $1"), 1);
    assert_string_equal(
        test_query(farm, "select kind || ' ' || about from document_tie where farm_id = $1 "
                         "order by kind"),
        "licence permit\nsample S1");
}

static void what_it_is_about_must_be_on_record(void **state)
{
    struct test_farm *farm = *state;
    const char *path = certificate(farm, "one.pdf", 300);
    const char *const bad[] = {"sample S9", "file none.csv", "licence none",
                               "finding solids-each 2026-05-01", "instrument nothing"};
    struct document_kept out = {0};
    struct err err = ERR_INIT;

    for (size_t i = 0; i < ARRAY_LEN(bad); i++) {
        assert_fails(keep(farm, path, "notice", bad[i], &out, &err), ERR_NOT_FOUND, &err);
    }
    assert_fails(keep(farm, path, "notice", "the outlet", &out, &err), ERR_INVALID, &err);
    assert_fails(keep(farm, path, "letter", NULL, &out, &err), ERR_INVALID, &err);
    assert_int_equal(test_number(farm, "select count(*) from document where farm_id = $1"), 0);
    sample_take(farm);
    month_kept(farm, "2026-05-01", NULL);
    kept(farm, path, "finding solids-each 2026-05-04");
    kept(farm, path, "file may.csv");
    kept(farm, path, "instrument Laboratory of the tests");
}

/* A certificate of a meter may come before its first reading, and names the serial number. */
static void a_certificate_is_tied_to_an_instrument_by_its_key_or_serial_number(void **state)
{
    struct test_farm *farm = *state;
    const char *path = certificate(farm, "meter.pdf", 300);
    struct document_kept out = {0};
    struct err err = ERR_INIT;

    assert_fails(keep(farm, path, "certificate", "instrument meter", &out, &err), ERR_NOT_FOUND,
                 &err);
    probed_farm(farm, NULL, NULL);
    kept(farm, path, "instrument meter");
    kept(farm, path, "instrument FM-2");
    kept(farm, path, "instrument o2-outlet");
    assert_fails(keep(farm, path, "certificate", "instrument FM-3", &out, &err), ERR_NOT_FOUND,
                 &err);
}

static void a_document_of_the_most_bytes_is_kept_and_one_more_is_not(void **state)
{
    struct test_farm *farm = *state;
    struct document_kept out = {0};
    struct err err = ERR_INIT;

    kept(farm, certificate(farm, "most.bin", DOCUMENT_BYTES_MOST), NULL);
    assert_fails(keep(farm, certificate(farm, "more.bin", DOCUMENT_BYTES_MOST + 1), "photo", NULL,
                      &out, &err),
                 ERR_TOO_LARGE, &err);
    assert_fails(keep(farm, test_file(farm, "none.bin", ""), "photo", NULL, &out, &err),
                 ERR_INVALID, &err);
}

/* Bytes that rotted on the disk are told, never handed out. */
static void changed_bytes_are_not_written_out(void **state)
{
    struct test_farm *farm = *state;
    struct document_row row = {0};
    struct err err = ERR_INIT;
    const char *copy = arena_printf(farm->mem, "%s/copy.pdf", farm->folder);

    kept(farm, certificate(farm, "one.pdf", 300), NULL);
    test_query(farm, "update document_piece set bytes = set_byte(bytes, 17, 1) "
                     "where farm_id = $1 returning 1");
    assert_fails(document_write(farm->db, farm->mem, &farm->open, 1, copy, &row, &err), ERR_BUG,
                 &err);
    assert_false(file_exists(copy));
}

static void a_check_keeps_the_results_as_they_stood(void **state)
{
    struct test_farm *farm = *state;
    struct document_check check = {0};
    struct err err = ERR_INIT;

    sample_take(farm);
    kept(farm, certificate(farm, "one.pdf", 300), NULL);
    assert_done(document_check(farm->db, farm->mem, &farm->open, "S1", 1, &farm->act, &check, &err),
                &err);
    assert_int_equal(check.results.count, 2);
    assert_string_equal(
        test_query(farm, "select person || ': ' || results from result_check where farm_id = $1"),
        "pat: ammonia of outlet <0.05 mg/L; suspended-solids of outlet 44 mg/L");
    assert_string_equal(
        test_query(farm, "select kind || ' ' || about from document_tie where farm_id = $1"),
        "sample S1");
    assert_fails(
        document_check(farm->db, farm->mem, &farm->open, "S2", 1, &farm->act, &check, &err),
        ERR_NOT_FOUND, &err);
    assert_fails(
        document_check(farm->db, farm->mem, &farm->open, "S1", 7, &farm->act, &check, &err),
        ERR_NOT_FOUND, &err);
    /* Who may only read has no word on what a certificate says. */
    struct act rory = test_act("rory", "2026-07-10 12:00");

    assert_fails(document_check(farm->db, farm->mem, &farm->open, "S1", 1, &rory, &check, &err),
                 ERR_DENIED, &err);
}

static void a_correction_after_the_check_is_told(void **state)
{
    struct test_farm *farm = *state;
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct reading_ref ref = {
        .station = "outlet", .parameter = "suspended-solids", .at = test_at("2026-05-04 09:00")};
    const struct correction_order order = {.kind = "value", .value = "41", .reason = "misread"};
    struct document_check check = {0};
    struct correction_done done = {0};
    struct result_checks checks = {0};
    struct act later = test_act("pat", "2026-07-10 13:00");
    struct err err = ERR_INIT;

    sample_take(farm);
    kept(farm, certificate(farm, "one.pdf", 300), NULL);
    assert_done(document_check(farm->db, farm->mem, &farm->open, "S1", 1, &farm->act, &check, &err),
                &err);
    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &later, &done, &err), &err);
    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err), &err);
    assert_done(document_store_checks(&tx, farm->mem, test_at("2026-05-01 00:00"),
                                      test_at("2026-06-01 00:00"), &checks, &err),
                &err);
    assert_int_equal(checks.count, 1);
    assert_string_equal(checks.items[0].name, "one.pdf");
    assert_true(checks.items[0].corrected_since);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_document_comes_out_as_it_went_in),
        FARM_TEST(the_same_bytes_are_kept_once_and_may_be_tied_to_more),
        FARM_TEST(what_it_is_about_must_be_on_record),
        FARM_TEST(a_certificate_is_tied_to_an_instrument_by_its_key_or_serial_number),
        FARM_TEST(a_document_of_the_most_bytes_is_kept_and_one_more_is_not),
        FARM_TEST(changed_bytes_are_not_written_out),
        FARM_TEST(a_check_keeps_the_results_as_they_stood),
        FARM_TEST(a_correction_after_the_check_is_told),
    };

    return cmocka_run_group_tests_name("app/documents", tests, test_farms_setup,
                                       test_farms_teardown);
}
