/*
 * Notices: queued with their finding, sent once and retried, told on to the next person while
 * nobody has seen them; with another sender in place of the servers. tests/end/notices.sh has real
 * ones.
 */
#include "app/post.h"

static const char *steps(struct test_farm *farm)
{
    return test_query(farm, "select string_agg(notice || ' ' || step || coalesce(' ' || person, "
                            "''), ', ' order by notice, nth) from notice_step where farm_id = $1");
}

/* --- queued ---------------------------------------------------------------------------------- */

static void each_person_of_the_farm_has_a_notice_of_the_finding(void **state)
{
    struct test_farm *farm = *state;

    limit_found(farm);
    assert_string_equal(
        test_query(farm,
                   "select string_agg(notice || ' ' || nth || ' ' || person || ' ' || told_by "
                   "|| ' ' || address, ', ' order by notice) from notice where farm_id = $1"),
        "1 1 pat mail pat@example.org, 2 2 quinn webhook control-room, 3 3 rory mail "
        "rory@example.org");

    const char *words = test_query(farm, "select words from notice where farm_id = $1 and nth = 1");
    static const char *const wanted[] = {"Suspended solids: outside (44 mg/L",
                                         "Where: ",
                                         "Clause: ",
                                         "Since: 9 July 2026",
                                         "What to do: ",
                                         "weirbook seen 1 --by pat",
                                         "30 minutes after this was sent, Quinn Flow",
                                         "INVENTED",
                                         "not a life-support alarm"};

    for (size_t i = 0; i < ARRAY_LEN(wanted); i++)
        if (!strstr(words, wanted[i]))
            fail_msg("'%s' is not in:\n%s", wanted[i], words);
}

static void kinds_and_age_decide_who_is_told(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    struct post post = post_new(farm);

    told_load(farm);
    assert_done(open_finding(farm, finding_of("interval", "weekly", "2026-07-09"), &err), &err);
    assert_done(open_finding(farm, finding_of("limit", "solids-mean", "2026-07-02"), &err), &err);
    assert_string_equal(
        test_query(farm, "select string_agg(f.kind || ' ' || n.person, ', ' order by notice) from "
                         "notice n join finding f using (farm_id, finding) where farm_id = $1"),
        "interval pat, limit pat, limit quinn");
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:00"), "pat 1; pat 2; ");
}

static void without_notices_in_the_farm_file_nothing_is_queued(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;

    assert_done(open_finding(farm, finding_of("limit", "solids-mean", "2026-07-09"), &err), &err);
    assert_int_equal(test_number(farm, "select count(*) from notice where farm_id = $1"), 0);
}

static void a_finding_and_its_notices_are_stored_together_or_not_at_all(void **state)
{
    struct test_farm *farm = *state;
    struct err err = ERR_INIT;
    char *before;
    int calls = 1;

    told_load(farm);
    before = test_state(farm);
    for (;; calls++) {
        db_fault_after(calls);
        bool done = open_finding(farm, finding_of("limit", "solids-mean", "2026-07-09"), &err);
        bool hit = db_fault_hit();

        db_fault_after(0);
        if (done && !hit)
            break;
        assert_int_equal(err.code, ERR_UNAVAILABLE);
        test_state_same(before, test_state(farm), arena_printf(farm->mem, "call %d", calls));
        err = ERR_INIT;
        assert_true(calls < 100);
    }
    assert_true(calls > 8);
    assert_int_equal(test_number(farm, "select count(*) from notice where farm_id = $1"), 3);
    assert_int_equal(test_number(farm, "select count(*) from notice_turn where farm_id = $1"), 3);
}

static void a_finding_that_is_opened_again_is_told_again(void **state)
{
    struct test_farm *farm = *state;
    struct finding_row finding = finding_of("silence", "logger", "2026-07-10");
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct err err = ERR_INIT;

    told_load(farm);
    assert_done(open_finding(farm, finding, &err), &err);
    assert_done(open_finding(farm, finding, &err), &err); /* stands already */
    assert_int_equal(test_number(farm, "select count(*) from notice where farm_id = $1"), 2);
    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err) &&
                    finding_store_step(&tx, finding_id_of(&finding), "worked out again", "gone",
                                       NULL, finding.aware_at, &err) &&
                    db_tx_commit(&tx, &err),
                &err);
    assert_done(open_finding(farm, finding, &err), &err);
    assert_string_equal(test_query(farm,
                                   "select string_agg(notice || ' ' || opening, ', ' order by "
                                   "notice) from notice where farm_id = $1"),
                        "1 1, 2 1, 3 2, 4 2");
}

/* A probe that is back before the mail goes out: whoever reads it is told so first. */
static void a_notice_of_what_is_over_says_so(void **state)
{
    struct test_farm *farm = *state;
    struct finding_row finding = finding_of("silence", "logger", "2026-07-10");
    struct post post = post_new(farm);
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct err err = ERR_INIT;

    told_load(farm);
    assert_done(open_finding(farm, finding, &err), &err);
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:00"), "pat 1; ");
    assert_null(strstr(post.text, "This is over"));
    assert_done(db_tx_begin(farm->db, farm->open.farm_id, &tx, &err) &&
                    finding_store_step(&tx, finding_id_of(&finding), "worked out again", "gone",
                                       NULL, test_at("2026-07-10 12:10"), &err) &&
                    db_tx_commit(&tx, &err),
                &err);
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:30"), "quinn 2; ");
    assert_int_equal(strncmp(post.subject, "Over: ", 6), 0);
    assert_int_equal(strncmp(post.text, "This is over: since 2026-07-10", 30), 0);
    assert_non_null(strstr(post.text, finding.words));
}

/* --- told on --------------------------------------------------------------------------------- */

static void nobody_having_seen_it_after_the_minutes_tells_the_next(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);

    limit_found(farm);
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:00"), "pat 1; ");
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:29"), "");
    /* Quinn has no minutes of her own: Rory is told with her. */
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:30"), "quinn 2; rory 3; ");
    assert_string_equal(round_at(farm, &post, "2026-07-20 12:30"), "");
    assert_string_equal(steps(farm), "1 sent, 2 sent, 3 sent");
}

static void once_somebody_has_seen_it_nobody_else_is_told(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);
    struct act rory = test_act("rory", "2026-07-10 12:10");
    struct notice_view view = {0};
    struct notice_views waiting = {0};
    struct err err = ERR_INIT;

    limit_found(farm);
    round_at(farm, &post, "2026-07-10 12:00");
    assert_done(notice_list(farm->db, farm->mem, &farm->open, false, &waiting, &err), &err);
    assert_int_equal(waiting.count, 3);
    assert_done(notice_seen(farm->db, farm->mem, &farm->open, 1, &rory, &view, &err), &err);
    assert_string_equal(round_at(farm, &post, "2026-07-10 13:00"), "");
    assert_string_equal(steps(farm), "1 sent, 1 seen rory");
    assert_done(notice_list(farm->db, farm->mem, &farm->open, false, &waiting, &err), &err);
    assert_int_equal(waiting.count, 0);
    assert_done(notice_list(farm->db, farm->mem, &farm->open, true, &waiting, &err), &err);
    assert_int_equal(waiting.count, 3);
    assert_string_equal(waiting.items[0].seen_by, "rory");

    assert_fails(notice_seen(farm->db, farm->mem, &farm->open, 1, &rory, &view, &err), ERR_CONFLICT,
                 &err);
    assert_fails(notice_seen(farm->db, farm->mem, &farm->open, 9, &rory, &view, &err),
                 ERR_NOT_FOUND, &err);
    rory.person = "sam";
    assert_fails(notice_seen(farm->db, farm->mem, &farm->open, 1, &rory, &view, &err), ERR_DENIED,
                 &err);
    /* Told, and seen: each is an act in the ledger. */
    assert_int_equal(
        test_number(farm, "select count(*) from ledger where farm_id = $1 and kind = 'notice'"), 2);
}

/* --- what fails ------------------------------------------------------------------------------ */

static void what_fails_for_now_is_tried_again_and_the_next_told_all_the_same(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);

    limit_found(farm);
    post.answer = SEND_LATER;
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:00"), "pat 1; ");
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:00"), "");
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:01"), "pat 1; "); /* 1 minute */
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:02"), "");
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:03"), "pat 1; "); /* 2 minutes */
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:08"), "pat 1; "); /* 5 minutes */
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:18"), "pat 1; "); /* 10 minutes */
    post.answer = SEND_DONE;
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:30"), "quinn 2; rory 3; ");
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:38"), "pat 1; "); /* 20 minutes */
    assert_string_equal(round_at(farm, &post, "2026-07-11 12:38"), "");
    assert_string_equal(steps(farm), "1 failed, 1 failed, 1 failed, 1 failed, 1 failed, 1 sent, 2 "
                                     "sent, 3 sent");
}

static void what_is_refused_is_a_finding_and_the_next_is_told_at_once(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);

    limit_found(farm);
    post.refuses = "pat";
    /* Of its being refused Pat alone is told, and refuses that too: no finding of the finding. */
    assert_string_equal(round_at(farm, &post, "2026-07-10 12:00"),
                        "pat 1; quinn 2; rory 3; pat 4; ");
    assert_string_equal(round_at(farm, &post, "2026-07-10 18:00"), "");
    assert_string_equal(steps(farm), "1 refused, 2 sent, 3 sent, 4 refused");
    assert_string_equal(test_query(farm, "select words from finding where farm_id = $1 and kind = "
                                         "'notice'"),
                        "Notice 1 could not be told to pat by mail (pat@example.org): 550 no such "
                        "mailbox. It said: [INVENTED] A farm for tests (invented): outside a limit "
                        "at Outlet");
}

static void after_five_days_it_is_given_up_and_said_so(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);
    struct err err = ERR_INIT;

    told_load(farm);
    assert_done(open_finding(farm, finding_of("interval", "weekly", "2026-07-09"), &err), &err);
    post.answer = SEND_LATER;
    for (int day = 10; day < 15; day++) {
        round_at(farm, &post, arena_printf(farm->mem, "2026-07-%d 12:00", day));
        round_at(farm, &post, arena_printf(farm->mem, "2026-07-%d 18:00", day));
    }
    assert_int_equal(test_number(farm, "select count(*) from notice_step where farm_id = $1 and "
                                       "step = 'failed'"),
                     10);
    round_at(farm, &post, "2026-07-15 12:00");
    assert_string_equal(
        test_query(farm, "select reply from notice_step where farm_id = $1 and notice = 1 and step "
                         "= 'refused'"),
        "given up after 11 tries: an answer");
    assert_int_equal(
        test_number(farm, "select count(*) from finding where farm_id = $1 and kind = 'notice'"),
        1);
}

static void a_program_that_was_off_for_days_still_tries(void **state)
{
    struct test_farm *farm = *state;
    struct post post = post_new(farm);

    limit_found(farm);
    post.answer = SEND_LATER;
    round_at(farm, &post, "2026-07-20 12:00");
    round_at(farm, &post, "2026-07-20 12:01");
    assert_string_equal(steps(farm), "1 failed, 1 failed");
}

/* --- never lost, never twice ----------------------------------------------------------------- */

/*
 * The connection is lost at the n-th call of a round, for every n. Never is it lost; it goes out
 * twice only where it was lost between sending and recording, and then as the same message.
 */
static void a_lost_connection_never_loses_a_notice_and_repeats_it_as_the_same(void **state)
{
    struct test_farm *farm = *state;
    int repeated = 0;
    int calls = 1;
    bool clean = false;
    struct err err = ERR_INIT;

    told_load(farm);
    for (; !clean; calls++) {
        struct post post = post_new(farm);
        const struct outbox_options options = {.sender = post_send, .context = &post};
        struct outbox_result result = {0};
        day_number day = day_from_civil(2026, 7, 9) - calls;
        instant at = test_at("2026-07-10 12:00");

        /* Only Pat: Quinn isn't told of it. */
        assert_done(
            open_finding(farm, finding_of("interval", "weekly", day_text(farm->mem, day)), &err),
            &err);
        db_fault_after(calls);
        bool done = outbox_send(farm->db, &farm->open, at, &options, &result, &err);

        clean = !db_fault_hit();
        db_fault_after(0);
        assert_true(clean == done);
        /* Another program in the meantime leaves alone what is taken. */
        int went_out = post.count;

        if (went_out > 0) {
            assert_done(outbox_send(farm->db, &farm->open, at, &options, &result, &err), &err);
            assert_int_equal(post.count, went_out);
        }
        err = ERR_INIT;
        at += OUTBOX_LEASE_S * SECOND_US;
        assert_done(outbox_send(farm->db, &farm->open, at, &options, &result, &err), &err);
        assert_in_range(post.count, 1, 2);
        assert_true(post.same_identity);
        repeated += post.count == 2;
        assert_int_equal(test_number(farm,
                                     "select count(*) from notice n where farm_id = $1 and (select "
                                     "count(*) from notice_step s where s.farm_id = n.farm_id and "
                                     "s.notice = n.notice and step = 'sent') <> 1"),
                         0);
        assert_int_equal(test_number(farm, "select count(*) from notice_turn where farm_id = $1"),
                         0);
        assert_true(calls < 100);
    }
    assert_true(calls > 10);
    assert_in_range(repeated, 4, calls - 4); /* some before, some after it was sent */
}

static void the_waits_grow_to_an_hour(void **state)
{
    (void)state;
    assert_int_equal(outbox_wait_s(1), 60);
    for (int tries = 1; tries < 50; tries++)
        assert_true(outbox_wait_s(tries) <= outbox_wait_s(tries + 1));
    assert_int_equal(outbox_wait_s(1000), 3600);
    assert_true(OUTBOX_LEASE_S > 2 * SEND_WHOLE_S);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(each_person_of_the_farm_has_a_notice_of_the_finding),
        FARM_TEST(kinds_and_age_decide_who_is_told),
        FARM_TEST(without_notices_in_the_farm_file_nothing_is_queued),
        FARM_TEST(a_finding_and_its_notices_are_stored_together_or_not_at_all),
        FARM_TEST(a_finding_that_is_opened_again_is_told_again),
        FARM_TEST(a_notice_of_what_is_over_says_so),
        FARM_TEST(nobody_having_seen_it_after_the_minutes_tells_the_next),
        FARM_TEST(once_somebody_has_seen_it_nobody_else_is_told),
        FARM_TEST(what_fails_for_now_is_tried_again_and_the_next_told_all_the_same),
        FARM_TEST(what_is_refused_is_a_finding_and_the_next_is_told_at_once),
        FARM_TEST(after_five_days_it_is_given_up_and_said_so),
        FARM_TEST(a_program_that_was_off_for_days_still_tries),
        FARM_TEST(a_lost_connection_never_loses_a_notice_and_repeats_it_as_the_same),
        cmocka_unit_test(the_waits_grow_to_an_hour),
    };

    return cmocka_run_group_tests_name("app/outbox", tests, test_farms_setup, test_farms_teardown);
}
