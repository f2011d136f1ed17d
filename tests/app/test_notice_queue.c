/*
 * Notices of many findings at once, and rounds of telling, with another sender in place of the
 * servers.
 */
#include "app/notice_queue.h"

#include "app/post.h"

/* So many findings of a limit in one transaction, from that day on. */
static bool many_open(struct test_farm *farm, int count, const char *first, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct finding_row *items = ARENA_ARRAY(farm->mem, struct finding_row, (size_t)count);
    const struct finding_rows rows = {items, (size_t)count};
    int opened = 0;

    for (int i = 0; i < count; i++) {
        items[i] = finding_of("limit", "solids-mean", first);
        items[i].from += i;
        items[i].words = arena_printf(farm->mem, "Solids of day %d: outside", i + 1);
    }

    return db_tx_begin(farm->db, farm->open.farm_id, &tx, err) &&
           findings_open(&tx, farm->mem, farm->open.farm, &rows, "weirbook check",
                         test_at("2026-07-10 12:00"), &opened, err) &&
           db_tx_commit(&tx, err);
}

static void hundreds_opened_at_once_are_told_in_a_few_letters(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);
    struct notice_views views = {0};
    struct err err = ERR_INIT;

    told_load(farm);
    /* Long ago, so that Rory hears of none of them. */
    assert_done(many_open(farm, 300, "2025-01-01", &err), &err);
    /* Those of the next month, in a transaction of their own, go the same way. */
    assert_done(many_open(farm, 20, "2025-12-01", &err), &err);
    assert_int_equal(test_number(farm, "select count(*) from finding where farm_id = $1"), 320);
    assert_int_equal(test_number(farm, "select count(*) from notice where farm_id = $1"), 10);
    assert_int_equal(test_number(farm, "select count(*) from notice_part where farm_id = $1"), 315);
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:00"),
                        "pat 1; pat 3; pat 5; pat 7; pat 9; ");
    assert_string_equal(post.subject,
                        "[INVENTED] A farm for tests (invented): outside a limit at Outlet and 315 "
                        "more");
    assert_non_null(strstr(post.text, "stands for 316 findings"));
    assert_non_null(strstr(post.text, "- Solids of day 6: outside\n"));
    assert_non_null(strstr(post.text, "- and 305 more."));
    assert_non_null(strstr(post.text, "What happened: Solids of day 5: outside"));
    /* Once they are sent the next is news of its own. */
    assert_done(many_open(farm, 1, "2026-07-01", &err), &err);
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:10"), "pat 11; ");
    assert_null(strstr(post.subject, "more"));
    /* The next person hears of as many with the fifth. */
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:30"),
                        "quinn 2; quinn 4; quinn 6; quinn 8; quinn 10; ");
    assert_non_null(strstr(post.text, "stands for 316 findings"));
    assert_done(notice_list(farm->db, farm->mem, &farm->open, true, &views, &err), &err);
    assert_int_equal(views.items[views.count - 9].parts, 315);
    assert_int_equal(views.items[views.count - 1].parts, 0);
}

static void many_findings_and_their_notices_are_stored_together_or_not_at_all(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    bool done = false;
    char *before;

    told_load(farm);
    before = test_state(farm);
    for (int calls = 1; !done; calls++) {
        db_fault_after(calls);
        done = many_open(farm, 7, "2026-06-01", &err);
        db_fault_after(0);
        if (done)
            break;
        assert_int_equal(err.code, ERR_UNAVAILABLE);
        test_state_same(before, test_state(farm), arena_printf(farm->mem, "call %d", calls));
        err = ERR_INIT;
        assert_in_range(calls, 1, 200);
    }
    assert_int_equal(test_number(farm, "select count(*) from notice_part where farm_id = $1"), 2);
}

/* Nothing joins a notice that is being sent, or that failed: it might not be told. */
static void what_is_found_while_a_notice_goes_out_has_one_of_its_own(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);
    struct err err = ERR_INIT;

    told_load(farm);
    assert_done(many_open(farm, NOTICES_APART_MOST, "2026-06-01", &err), &err);
    post.answer = SEND_LATER;
    round_at(farm, &post, "2026-07-10 12:00");
    assert_done(many_open(farm, 1, "2026-06-20", &err), &err);
    assert_int_equal(test_number(farm, "select count(*) from notice_part where farm_id = $1"), 0);
    assert_int_equal(test_number(farm, "select count(*) from notice where farm_id = $1 and nth = "
                                       "1"),
                     NOTICES_APART_MOST + 1);
}

/* Pat and Quinn, and twice more Pat and once more Quinn. */
static const char rounds[] = "notices:\n"
                             "  - person: pat\n"
                             "    by: mail\n"
                             "    to: pat@example.org\n"
                             "    next after: 30 minutes\n"
                             "    again after: 1 hour\n"
                             "    again: 2\n"
                             "  - person: quinn\n"
                             "    by: mail\n"
                             "    to: quinn@example.org\n"
                             "    again after: 2 hours\n"
                             "    again: 1\n";

static void rounds_load(struct test_farm *farm)
{
    struct farm_changes changes = {0};
    struct err err = ERR_INIT;

    test_farm_load(farm, arena_printf(farm->mem, "%s\n%s", farm->text, rounds), &farm->act,
                   &changes);
    assert_done(open_finding(farm, finding_of("limit", "solids-mean", "2026-07-09"), &err), &err);
}

static void when_nobody_has_seen_it_the_round_begins_again(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);
    static const struct {
        const char *at;
        const char *told;
    } rows[] = {
        {"2026-07-10 12:00", "pat 1; "},   {"2026-07-10 12:30", "quinn 2; "},
        {"2026-07-10 13:29", ""},          {"2026-07-10 13:30", "pat 3; "},
        {"2026-07-10 14:00", "quinn 4; "}, {"2026-07-10 14:59", ""},
        {"2026-07-10 15:00", "pat 5; "},   {"2026-07-20 15:00", ""},
    };

    rounds_load(farm);
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (!str_equal(round_at(farm, &post, rows[i].at), rows[i].told))
            fail_msg("at %s: %s", rows[i].at, post.log.data);
}

static void seeing_it_ends_the_rounds_too(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);
    const struct act quinn = test_act("quinn", "2026-07-10 12:40");
    struct notice_view view = {0};
    struct err err = ERR_INIT;

    rounds_load(farm);
    round_at(farm, &post, "2026-07-10 12:00");
    round_at(farm, &post, "2026-07-10 12:30");
    assert_done(notice_seen(farm->db, farm->mem, &farm->open, 2, &quinn, &view, &err), &err);
    assert_string_equal(round_at(farm, &post, "2026-07-11 12:00"), "");
}

/* An address that takes nothing hurries the next person, never the next round. */
static void what_is_refused_begins_no_round_sooner(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);

    rounds_load(farm);
    post.refuses = "quinn";
    round_at(farm, &post, "2026-07-10 12:00");
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:30"), "quinn 2; pat 6; ");
    assert_non_null(strstr(test_query(farm, "select string_agg(notice || ' ' || due_at, ', ') from "
                                            "notice_turn where farm_id = $1 and notice = 3"),
                           "13:30:00"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(hundreds_opened_at_once_are_told_in_a_few_letters),
        FARM_TEST(many_findings_and_their_notices_are_stored_together_or_not_at_all),
        FARM_TEST(what_is_found_while_a_notice_goes_out_has_one_of_its_own),
        FARM_TEST(when_nobody_has_seen_it_the_round_begins_again),
        FARM_TEST(seeing_it_ends_the_rounds_too),
        FARM_TEST(what_is_refused_begins_no_round_sooner),
    };

    return cmocka_run_group_tests_name("app/notice_queue", tests, test_farms_setup,
                                       test_farms_teardown);
}
