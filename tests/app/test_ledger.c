/*
 * The ledger over what the use cases do: one entry an act, a chain that verifies over the stored
 * bytes, roots that bind the stored readings, and a head that nobody holds for long.
 */
#include <string.h>

#include "app/clause_acts.h"
#include "app/correct.h"
#include "app/month.h"
#include "app/read_again.h"
#include "app/report_month.h"
#include "app/roots.h"
#include "app/say_no_sample.h"
#include "app/verify_ledger.h"
#include "ledger/chain.h"
#include "store/ledger_store.h"

static bool follow(void *context, int64_t sequence, const void *bytes, size_t count,
                   const struct digest *hash, struct err *err)
{
    struct chain *chain = context;

    (void)err;
    chain_follow_bytes(chain, chain->farm_id, sequence, bytes, count, hash);

    return true;
}

/* The chain over all entries as they are stored, and the head beside it. */
static struct chain chain_of(struct test_farm *farm, struct ledger_head *head)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct chain chain = chain_begin(farm->mem, farm->open.farm_id);
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err), &err);
    assert_done(ledger_store_entries(&tx, follow, &chain, &err), &err);
    assert_done(ledger_store_head(&tx, head, &err), &err);

    return chain;
}

/* What the program itself says of it. */
static struct ledger_verdict verified(struct test_farm *farm)
{
    struct ledger_verdict verdict = {0};
    struct err err = ERR_INIT;

    assert_done(ledger_verify(farm->db, farm->mem, &farm->open, &verdict, &err), &err);

    return verdict;
}

static void chain_check(struct test_farm *farm, int64_t entries)
{
    struct ledger_head head = {0};
    struct chain chain = chain_of(farm, &head);
    struct ledger_verdict verdict = verified(farm);

    if (chain.fault != CHAIN_SOUND)
        fail_msg("%s", chain_fault_text(farm->mem, &chain));
    assert_int_equal(chain.sequence, entries);
    assert_int_equal(head.sequence, entries);
    assert_true(digest_equal(&chain.hash, &head.hash));
    assert_true(verdict.sound);
    assert_null(verdict.fault);
    assert_int_equal(verdict.entries, entries);
    assert_true(digest_equal(&verdict.head, &head.hash));
}

/* The newest entry, read from its bytes. */
struct newest {
    struct arena *mem;
    struct entry entry;
};

static bool keep_newest(void *context, int64_t sequence, const void *bytes, size_t count,
                        const struct digest *hash, struct err *err)
{
    struct newest *newest = context;

    (void)sequence;
    (void)hash;

    return entry_parse(newest->mem, bytes, count, &newest->entry, err);
}

static struct entry newest_of(struct test_farm *farm)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct newest newest = {.mem = farm->mem};
    struct err err = ERR_INIT;

    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err), &err);
    assert_done(ledger_store_entries(&tx, keep_newest, &newest, &err), &err);

    return newest.entry;
}

/* --- acts ---------------------------------------------------------------------------------- */

static const char lab[] = LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mg/L,2,5\n"
                              "S2,,,Out,2026-05-11 09:00,TSS,12,mg/L,,\n"
                              "S3,,,Out,2026-05-18 09:00,TSS,x,mg/L,,\n"
                              "S4,,,Out,2026-05-19 09:00,TSS,13,mgl,,\n";

static void act_take_in(struct test_farm *farm, struct err *err)
{
    (void)err;
    test_take(farm, "laboratory", "lab.csv", lab);
}

static void act_take_in_staged(struct test_farm *farm, struct err *err)
{
    (void)err;
    test_take_staged(farm, "laboratory", "again.csv",
                     LAB "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,2,5\n"
                         "S5,,,Out,2026-05-25 09:00,TSS,13,mg/L,1,\n");
}

static void act_correct(struct test_farm *farm, struct err *err)
{
    struct reading_ref ref = {
        .station = "outlet", .parameter = "suspended-solids", .at = test_at("2026-05-11 09:00")};
    struct correction_order order = {.kind = "value", .value = "11", .reason = "misread"};
    struct correction_done done = {0};

    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &farm->act, &done, err),
        err);
}

static void act_leave_out(struct test_farm *farm, struct err *err)
{
    struct reading_ref ref = {
        .station = "outlet", .parameter = "suspended-solids", .at = test_at("2026-05-11 09:00")};
    struct correction_order order = {.kind = "left out", .reason = "it broke"};
    struct correction_done done = {0};

    assert_done(
        reading_correct(farm->db, farm->mem, &farm->open, &ref, &order, &farm->act, &done, err),
        err);
}

static void act_accept(struct test_farm *farm, struct err *err)
{
    struct aside_ref ref = {.file_name = "again.csv", .line = 2};
    struct correction_done done = {0};

    assert_done(aside_accept(farm->db, farm->mem, &farm->open, &ref, "right", "quinn", &farm->act,
                             &done, err),
                err);
}

static void act_leave_row_out(struct test_farm *farm, struct err *err)
{
    struct aside_ref ref = {.file_name = "lab.csv", .line = 4};
    struct correction_done done = {0};

    assert_done(aside_leave_out(farm->db, farm->mem, &farm->open, &ref, "never measured", NULL,
                                &farm->act, &done, err),
                err);
}

static void act_load(struct test_farm *farm, struct err *err)
{
    struct farm_changes changes = {0};
    const char *text = test_swap(farm->mem, farm->text, "    not above: 40\n",
                                 "    not above: 45\n    change: copied wrongly\n");

    (void)err;
    test_farm_load(farm,
                   test_swap(farm->mem, text, "    value column: Result\n",
                             "    value column: Result\n    unit words: {mgl: mg/L}\n"),
                   &farm->act, &changes);
}

static void act_confirm(struct test_farm *farm, struct err *err)
{
    (void)err;
    test_farm_confirm(farm);
}

static void act_no_sample(struct test_farm *farm, struct err *err)
{
    struct no_sample reason = {
        .day = day_of("2026-06-18"), .reason = NO_SAMPLE_LOST, .explanation = "it broke"};

    assert_done(
        no_sample_say(farm->db, farm->mem, &farm->open, "twice", reason, &farm->act, NULL, err),
        err);
}

static void act_read_again(struct test_farm *farm, struct err *err)
{
    struct read_again_result result;

    assert_done(
        read_again(farm->db, farm->mem, &farm->open, "lab.csv", NULL, &farm->act, &result, err),
        err);
    assert_int_equal(result.accepted, 1);
}

static void act_check(struct test_farm *farm, struct err *err)
{
    int opened = 0;

    (void)err;
    month_kept(farm, "2026-06-01", &opened);
    assert_int_equal(opened, 1);
}

static void act_check_again(struct test_farm *farm, struct err *err)
{
    int opened = 0;

    (void)err;
    month_kept(farm, "2026-06-01", &opened);
    assert_int_equal(opened, 0);
}

static void act_report(struct test_farm *farm, struct err *err)
{
    struct month_report report;

    assert_done(month_report_make(farm->db, farm->mem, &farm->open, NULL, day_of("2026-06-01"),
                                  arena_printf(farm->mem, "%s/june.xlsx", farm->folder), &farm->act,
                                  &report, err),
                err);
}

/* In order, each standing on those before it. */
static const struct {
    const char *name;
    void (*act)(struct test_farm *farm, struct err *err);
    const char *kind;   /* of its one entry; NULL: it writes nothing, so no entry */
    const char *person; /* NULL: a source */
    const char *field;  /* one it must hold, and its value */
    const char *value;
} acts[] = {
    {"take in", act_take_in, "receipt", "pat", "values in", "4"},
    {"the same again", act_take_in, NULL, NULL, NULL, NULL},
    {"take in, staged", act_take_in_staged, "receipt", "pat", "set aside", "1"},
    {"correct", act_correct, "correction", "pat", "after", "11 mg/L"},
    {"leave out", act_leave_out, "leave-out", "pat", "reason", "it broke"},
    {"accept a row", act_accept, "correction", "pat", "second person", "quinn"},
    {"leave a row out", act_leave_row_out, "leave-out", "pat", "line", "4"},
    {"load", act_load, "farm-file", "pat", "version", "2"},
    {"the same file", act_load, NULL, NULL, NULL, NULL},
    {"confirm", act_confirm, "confirm", "quinn", NULL, NULL},
    {"nothing to confirm", act_confirm, NULL, NULL, NULL, NULL},
    {"read again", act_read_again, "mended", "pat", "accepted", "1"},
    {"no sample", act_no_sample, "no-sample", "pat", "reason", "lost"},
    {"check", act_check, "finding", NULL, NULL, NULL},
    {"check again", act_check_again, NULL, NULL, NULL, NULL},
    {"report", act_report, "report", "pat", "licence", "permit"},
};

static void every_act_leaves_exactly_one_entry(void **state)
{
    struct test_farm *farm = *state;
    int64_t entries = 2; /* the farm file, and its limits confirmed */

    chain_check(farm, entries);
    for (size_t i = 0; i < ARRAY_LEN(acts); i++) {
        struct err err = ERR_INIT;

        acts[i].act(farm, &err);
        entries += acts[i].kind != NULL;
        if (test_number(farm, "select count(*) from ledger where farm_id = $1") != entries)
            fail_msg("%s: not %lld entries", acts[i].name, (long long)entries);
        chain_check(farm, entries);
        if (!acts[i].kind)
            continue;

        struct entry entry = newest_of(farm);

        assert_string_equal(entry_kind_name(entry.kind), acts[i].kind);
        if (!str_equal(entry.person, acts[i].person) || !(entry.person || entry.source))
            fail_msg("%s: by %s", acts[i].name, entry.person ? entry.person : "nobody");
        assert_true(entry.at == farm->act.at);
        if (acts[i].field && !str_equal(entry_field(&entry, acts[i].field), acts[i].value))
            fail_msg("%s: %s is %s", acts[i].name, acts[i].field,
                     entry_field(&entry, acts[i].field));
    }
    /* Its columns are those of its bytes. */
    assert_string_equal(test_query(farm,
                                   "select kind || ' ' || coalesce(person, source) from ledger"
                                   " where farm_id = $1 order by sequence desc limit 1"),
                        "report pat");
}

/* --- what was changed behind its back ------------------------------------------------------ */

static void a_changed_reading_no_longer_fits_its_root(void **state)
{
    static const char root[] =
        "select encode(root, 'hex') from receipt_batch where farm_id = $1 and batch = 0";
    static const char *const changes[] = {
        "update reading set reported = 13",
        "update reading set reported = 12.0",
        "update reading set unit = 'ug/L'",
        "update reading set qualifier = '<'",
        "update reading set at = at + interval '1 s', until = until + interval '1 s'",
        "update reading set line = 7",
        "update reading set portion = 1",
        "delete from reading",
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(changes); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();
        struct take_in_result result = test_take(farm, "laboratory", "lab.csv", lab);

        assert_string_equal(roots_again(farm, result.receipt.receipt), test_query(farm, root));
        test_query(farm, arena_printf(farm->mem, "%s where farm_id = $1 and line = 3", changes[i]));
        if (str_equal(roots_again(farm, result.receipt.receipt), test_query(farm, root)))
            fail_msg("not found: %s", changes[i]);
    }
}

static void a_changed_entry_breaks_the_chain_where_it_stands(void **state)
{
    static const struct {
        const char *change;
        enum chain_fault fault;
        int64_t sequence;
    } changes[] = {
        {"update ledger set bytes = set_byte(bytes, 60, get_byte(bytes, 60) # 1) where farm_id = "
         "$1 "
         "and sequence = 3",
         CHAIN_HASH, 3},
        {"delete from ledger where farm_id = $1 and sequence = 2", CHAIN_GAP, 3},
        {"update ledger set hash = pg_catalog.sha256('x'::bytea) where farm_id = $1 and sequence = "
         "3",
         CHAIN_HASH, 3},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(changes); i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();
        struct ledger_head head = {0};

        test_take(farm, "laboratory", "lab.csv", lab);
        test_query(farm, changes[i].change);

        struct chain chain = chain_of(farm, &head);

        assert_int_equal(chain.fault, changes[i].fault);
        assert_int_equal(chain.fault_sequence, changes[i].sequence);
        assert_false(verified(farm).sound);
        assert_string_equal(verified(farm).fault, chain_fault_text(farm->mem, &chain));
    }
}

/* The last entry taken out with its head put back: only a head kept elsewhere can tell. */
static void an_entry_cut_off_the_end_leaves_a_head_that_was_not_kept(void **state)
{
    struct test_farm *farm = *state;
    struct ledger_head kept = {0};
    struct ledger_head head = {0};

    test_take(farm, "laboratory", "lab.csv", lab);
    chain_of(farm, &kept);
    test_query(farm, "delete from ledger where farm_id = $1 and sequence = 3");
    chain_of(farm, &head);

    struct chain chain = chain_of(farm, &head);

    assert_int_equal(chain.fault, CHAIN_SOUND);
    assert_int_equal(chain.sequence, 2);
    assert_false(digest_equal(&chain.hash, &kept.hash));
    assert_string_equal(verified(farm).fault, "the last entry is not the one that the head names");
    /* Whoever sets the head back too is found out by a head that was kept elsewhere alone. */
    test_query(farm, "update ledger_head h set sequence = 2, hash = (select hash from ledger l "
                     "where l.farm_id = h.farm_id and l.sequence = 2) where farm_id = $1");

    struct ledger_verdict verdict = verified(farm);

    assert_true(verdict.sound);
    assert_false(digest_equal(&verdict.head, &kept.hash));
}

/* --- order --------------------------------------------------------------------------------- */

struct meanwhile {
    struct test_farm *farm;
    struct db *other;
    int64_t at_bytes;
    int64_t read;
    int64_t last;
    bool done;
};

/* Another program writes down a reason while the file's rows are under way. */
static bool write_meanwhile(void *context, int64_t bytes_done, int64_t bytes_all)
{
    struct meanwhile *meanwhile = context;
    struct no_sample reason = {
        .day = day_of("2026-06-18"), .reason = NO_SAMPLE_LOST, .explanation = "it broke"};
    struct err err = ERR_INIT;

    (void)bytes_all;
    meanwhile->read += bytes_done > meanwhile->last ? bytes_done - meanwhile->last : bytes_done;
    meanwhile->last = bytes_done;
    if (meanwhile->done || meanwhile->read < meanwhile->at_bytes)
        return true;
    meanwhile->done = true;
    assert_done(no_sample_say(meanwhile->other, meanwhile->farm->mem, &meanwhile->farm->open,
                              "twice", reason, &meanwhile->farm->act, NULL, &err),
                &err);

    return true;
}

static void a_receipt_under_way_does_not_hold_up_another_entry(void **state)
{
    struct test_farm *farm = *state;
    struct buf text = buf_new(farm->mem);

    buf_add_text(&text, WIDE);
    for (int i = 0; i < 20000; i++)
        buf_addf(&text, "2026-05-%02d %02d:%02d,%d.%d,8,,\n", 1 + i / 1440, i / 60 % 24, i % 60,
                 10 + i % 9, i % 10);

    /* Were it blocked, it would wait for ourselves: a lock timeout makes that an error. */
    scratch_psql(farm->mem, NULL,
                 "do $$ begin execute format('alter role weirbook_program in database %I set "
                 "lock_timeout = %L', current_database(), '3s'); end $$");

    CLEANUP(db_close) struct db *other = scratch_open(DB_ROLE_PROGRAM);
    struct meanwhile meanwhile = {
        .farm = farm, .other = other, .at_bytes = (int64_t)text.len * 7 / 2};
    struct take_in_options options = {.progress = {&meanwhile, write_meanwhile}};
    struct take_in_result result;
    struct err err = ERR_INIT;

    assert_done(take_in(farm->db, farm->mem, &farm->open, "logger",
                        test_file(farm, "many.csv", text.data), &farm->act, &options, &result,
                        &err),
                &err);
    assert_true(meanwhile.done);
    /* The reason came first, though it was begun later: the order is that of the commits. */
    assert_string_equal(test_query(farm,
                                   "select string_agg(kind, ' ' order by sequence) from ledger "
                                   "where farm_id = $1"),
                        "farm-file confirm no-sample receipt");
    chain_check(farm, 4);
}

static void a_clock_far_behind_the_newest_entry_is_refused(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_options options = {.staged_only = false};
    struct take_in_result result;
    struct err err = ERR_INIT;
    struct act act = test_act("pat", "2026-07-08 12:00");
    char *before = test_state(farm);

    assert_fails(take_in(farm->db, farm->mem, &farm->open, "laboratory",
                         test_file(farm, "lab.csv", lab), &act, &options, &result, &err),
                 ERR_CONFLICT, &err);
    assert_non_null(strstr(err.text, "this machine's clock says 2026-07-08"));
    test_state_same(before, test_state(farm), "a clock that is behind");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(every_act_leaves_exactly_one_entry),
        cmocka_unit_test(a_changed_reading_no_longer_fits_its_root),
        cmocka_unit_test(a_changed_entry_breaks_the_chain_where_it_stands),
        FARM_TEST(an_entry_cut_off_the_end_leaves_a_head_that_was_not_kept),
        FARM_TEST(a_receipt_under_way_does_not_hold_up_another_entry),
        FARM_TEST(a_clock_far_behind_the_newest_entry_is_refused),
    };

    return cmocka_run_group_tests_name("app/ledger", tests, test_farms_setup, test_farms_teardown);
}
