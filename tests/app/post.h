/*
 * A sender in place of the servers, and a farm that tells people of findings.
 */
#ifndef TESTS_APP_POST_H
#define TESTS_APP_POST_H

#include "app/outbox.h"

#include <string.h>

#include "app/findings.h"
#include "app/notice_queue.h"
#include "app/notice_words.h"
#include "base/str.h"
#include "harness/farm.h"

/* What goes out, and how the other side answers. */
struct post {
    enum send_outcome answer;
    const char *refuses; /* this person's are refused whatever `answer` says */
    struct buf log;      /* "pat 1; " for each that went out */
    const char *identity;
    int count;
    bool same_identity;
    const char *subject; /* of the last one */
    const char *text;
};

static inline struct send_reply post_send(void *context, struct arena *mem,
                                          const struct open_farm *farm,
                                          const struct notice_claim *claim, instant now)
{
    struct post *post = context;
    const char *identity = outbox_identity(post->log.mem, farm, claim);
    bool refused = str_equal(post->refuses, claim->row.person);

    (void)mem;
    (void)now;
    buf_addf(&post->log, "%s %d; ", claim->row.person, claim->row.notice);
    post->same_identity = post->count == 0 || str_equal(identity, post->identity);
    post->identity = identity;
    post->count++;
    post->subject = arena_strdup(post->log.mem, claim->row.subject);
    post->text = arena_strdup(post->log.mem, claim->row.words);

    return (struct send_reply){.outcome = refused ? SEND_REFUSED : post->answer,
                               .code = 250,
                               .words = refused ? "550 no such mailbox" : "an answer"};
}

/* Pat is told first, Quinn after 30 minutes, Rory with Quinn. Sam has left. */
static const char notices[] = "notices:\n"
                              "  - {person: sam, by: mail, to: sam@example.org}\n"
                              "  - person: pat\n"
                              "    by: mail\n"
                              "    to: pat@example.org\n"
                              "    next after: 30 minutes\n"
                              "  - person: quinn\n"
                              "    by: webhook\n"
                              "    to: control-room\n"
                              "    kinds: [limit, silence]\n"
                              "  - person: rory\n"
                              "    by: mail\n"
                              "    to: rory@example.org\n"
                              "    kinds: [limit]\n"
                              "    not older than: 7 days\n";

static inline void told_load(struct test_farm *farm)
{
    struct farm_changes changes = {0};

    test_farm_load(farm, arena_printf(farm->mem, "%s\n%s", farm->text, notices), &farm->act,
                   &changes);
}

static inline struct finding_row finding_of(const char *kind, const char *subject, const char *day)
{
    struct finding_row finding = {.kind = kind,
                                  .subject = subject,
                                  .station = "outlet",
                                  .aware_at = test_at("2026-07-10 12:00"),
                                  .words = "Suspended solids: outside (44 mg/L, at most 30 mg/L)"};
    struct err err = ERR_INIT;

    assert_done(day_parse(day, &finding.from, &err), &err);

    return finding;
}

static inline bool open_finding(struct test_farm *farm, struct finding_row finding, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct finding_rows rows = {&finding, 1};
    int opened = 0;

    return db_tx_begin(farm->db, farm->open.farm_id, &tx, err) &&
           findings_open(&tx, farm->mem, farm->open.farm, &rows, "weirbook check",
                         test_at("2026-07-10 12:00"), &opened, err) &&
           db_tx_commit(&tx, err);
}

static inline void limit_found(struct test_farm *farm)
{
    struct err err = ERR_INIT;

    told_load(farm);
    assert_done(open_finding(farm, finding_of("limit", "solids-mean", "2026-07-09"), &err), &err);
}

static inline struct post post_new(struct test_farm *farm)
{
    return (struct post){.answer = SEND_DONE, .log = buf_new(farm->mem)};
}

/* One round; what went out in it. */
static inline const char *round_at(struct test_farm *farm, struct post *post, const char *at)
{
    const struct outbox_options options = {.sender = post_send, .context = post};
    struct outbox_result result = {0};
    struct err err = ERR_INIT;

    buf_clear(&post->log);
    assert_done(outbox_send(farm->db, &farm->open, test_at(at), &options, &result, &err), &err);

    return arena_strdup(farm->mem, post->log.data);
}

#endif
