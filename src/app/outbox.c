#include "app/outbox.h"

#include "app/findings.h"
#include "app/notice_words.h"
#include "base/crypto.h"
#include "base/str.h"
#include "message/mail.h"

static const char by_outbox[] = "weirbook notices";

int outbox_wait_s(int tries)
{
    static const int waits_s[] = {60, 120, 300, 600, 1200, 1800, 3600};
    size_t at = tries < 1 ? 0 : (size_t)tries - 1;

    return waits_s[at < ARRAY_LEN(waits_s) ? at : ARRAY_LEN(waits_s) - 1];
}

char *outbox_identity(struct arena *mem, const struct open_farm *farm,
                      const struct notice_claim *claim)
{
    const char *key = arena_printf(mem, "%lld %d %lld", (long long)farm->farm_id, claim->row.notice,
                                   (long long)claim->row.queued_at);

    return arena_printf(mem, "notice-%d.%016llx@%s", claim->row.notice,
                        (unsigned long long)text_id(key), farm->farm->key);
}

/* --- sending --------------------------------------------------------------------------------- */

static struct send_reply not_so(enum send_outcome outcome, const char *words)
{
    return (struct send_reply){.outcome = outcome, .words = words};
}

static struct send_reply by_mail(const struct outbox_options *options, struct arena *mem,
                                 const struct open_farm *farm, const struct notice_claim *claim)
{
    static const enum send_tls tls[] = {[SETTINGS_TLS_STARTTLS] = SEND_TLS_STARTTLS,
                                        [SETTINGS_TLS_FROM_START] = SEND_TLS_FROM_START,
                                        [SETTINGS_TLS_NONE] = SEND_TLS_NONE};
    const struct settings_mail *by = &options->settings->mail;
    struct err err = ERR_INIT;
    size_t length = 0;
    char *text = NULL;

    if (!by->server)
        return not_so(SEND_LATER, "weirbook.conf names no mail server");

    struct mail mail = {.from = by->from,
                        .to = claim->row.address,
                        .id = outbox_identity(mem, farm, claim),
                        .at = claim->row.queued_at,
                        .subject = claim->row.subject,
                        .text = claim->row.words};
    struct send_mail_server server = {.host = by->server,
                                      .port = by->port,
                                      .tls = tls[by->tls],
                                      .user = by->user,
                                      .password = by->password,
                                      .certificates = by->certificates};

    if (!mail_write(mem, &mail, &text, &length, &err))
        return not_so(SEND_REFUSED, arena_strdup(mem, err.text));

    return send_mail(mem, &server, by->from, mail.to, text, length, options->stop);
}

static const struct settings_webhook *hook_of(const struct machine_settings *settings,
                                              const char *key)
{
    for (size_t i = 0; i < settings->webhooks.count; i++)
        if (str_equal(settings->webhooks.items[i].key, key))
            return &settings->webhooks.items[i];

    return NULL;
}

static struct send_reply by_webhook(const struct outbox_options *options, struct arena *mem,
                                    const struct open_farm *farm, const struct notice_claim *claim,
                                    instant now)
{
    const struct settings_webhook *hook = hook_of(options->settings, claim->row.address);
    struct webhook_notice notice = {.id = outbox_identity(mem, farm, claim),
                                    .number = claim->row.notice,
                                    .farm = farm->farm->key,
                                    .invented = farm->farm->invented,
                                    .kind = claim->kind,
                                    .about = claim->about,
                                    .station = claim->station,
                                    .since = day_text(mem, claim->from),
                                    .person = claim->row.person,
                                    .subject = claim->row.subject,
                                    .text = claim->row.words,
                                    .queued_at = claim->row.queued_at};
    struct webhook_message message = {0};
    struct err err = ERR_INIT;

    if (!hook)
        return not_so(SEND_LATER,
                      arena_printf(mem, "weirbook.conf names no webhook '%s'", claim->row.address));
    if (!webhook_write(mem, &notice, hook->sign_with, now, &message, &err))
        return not_so(SEND_REFUSED, arena_strdup(mem, err.text));

    return send_webhook(mem, hook->url, &message, options->stop);
}

/* Of what is over by now the notice says so first: nobody runs for a probe that is back. */
static void over_say(struct arena *mem, const struct open_farm *farm, struct notice_claim *claim)
{
    if (claim->over_at == INSTANT_NONE)
        return;
    claim->row.subject =
        str_show(mem, arena_printf(mem, "Over: %s", claim->row.subject), NOTICE_SUBJECT_MOST - 4);
    claim->row.words =
        arena_printf(mem,
                     "This is over: since %s it has been worked out again and is found no more. "
                     "What was to be told of it:\n\n%s",
                     zone_text(mem, farm->farm->zone, claim->over_at), claim->row.words);
}

static struct send_reply send_claim(const struct outbox_options *options, struct arena *mem,
                                    const struct open_farm *farm, const struct notice_claim *claim,
                                    instant now)
{
    if (options->sender)
        return options->sender(options->context, mem, farm, claim, now);
    if (str_equal(claim->row.told_by, "mail"))
        return by_mail(options, mem, farm, claim);

    return by_webhook(options, mem, farm, claim, now);
}

/* --- what came of it ------------------------------------------------------------------------- */

struct outcome {
    const struct notice_claim *claim;
    struct send_reply reply;
    instant now;
};

static bool entry_append(struct db_tx *tx, struct arena *mem, const struct outcome *outcome,
                         const char *step, struct err *err)
{
    const struct notice_row *row = &outcome->claim->row;
    const struct entry_field fields[] = {
        {"what", step},
        {"notice", arena_printf(mem, "%d", row->notice)},
        {"finding", arena_printf(mem, "%lld", (long long)row->finding)},
        {"told", row->person},
        {"by", row->told_by},
        {"address", row->address},
        {"reply", outcome->reply.words},
    };

    return ledger_store_append(tx, &(struct act){.at = outcome->now}, ENTRY_NOTICE, by_outbox,
                               fields, ARRAY_LEN(fields), err);
}

/* One a person and day, whatever was refused: a person has to mend it, and sees it in findings. */
static bool refused_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                         const struct outcome *outcome, struct err *err)
{
    const struct notice_row *row = &outcome->claim->row;
    struct finding_row finding = {
        .kind = "notice",
        .subject = row->person,
        .station = "",
        .from = zone_day(farm->farm->zone, outcome->now),
        .aware_at = outcome->now,
        .words = arena_printf(mem, "Notice %d could not be told to %s by %s (%s): %s. It said: %s",
                              row->notice, row->person, row->told_by, row->address,
                              outcome->reply.words, row->subject)};
    const struct finding_rows rows = {&finding, 1};
    int opened = 0;

    return findings_open(tx, mem, farm->farm, &rows, by_outbox, outcome->now, &opened, err);
}

/* When the minutes of the one who was told are over. */
static instant after(const struct outcome *outcome)
{
    return outcome->now + outcome->claim->row.next_after_s * SECOND_US;
}

static bool keep_sent(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                      const struct outcome *outcome, struct err *err)
{
    const struct notice_row *row = &outcome->claim->row;
    const struct notice_step step = {.step = "sent",
                                     .reply = outcome->reply.words,
                                     .next_try_at = INSTANT_NONE,
                                     .at = outcome->now};

    (void)farm;

    return notice_store_step(tx, row->notice, &step, err) &&
           notice_store_turn_next(tx, row->notice, after(outcome), after(outcome), err) &&
           notice_store_turn_end(tx, row->notice, err) &&
           entry_append(tx, mem, outcome, step.step, err);
}

static bool keep_later(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                       const struct outcome *outcome, struct err *err)
{
    const struct notice_row *row = &outcome->claim->row;
    instant again = outcome->now + outbox_wait_s(outcome->claim->tries) * SECOND_US;
    const struct notice_step step = {
        .step = "failed", .reply = outcome->reply.words, .next_try_at = again, .at = outcome->now};

    (void)farm;

    return notice_store_step(tx, row->notice, &step, err) &&
           notice_store_turn_next(tx, row->notice, after(outcome), after(outcome), err) &&
           notice_store_turn_again(tx, row->notice, outcome->claim->tries, again, err) &&
           entry_append(tx, mem, outcome, step.step, err);
}

static bool keep_refused(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                         const struct outcome *outcome, struct err *err)
{
    const struct notice_row *row = &outcome->claim->row;
    const struct notice_step step = {.step = "refused",
                                     .reply = outcome->reply.words,
                                     .next_try_at = INSTANT_NONE,
                                     .at = outcome->now};

    return notice_store_step(tx, row->notice, &step, err) &&
           notice_store_turn_next(tx, row->notice, outcome->now, after(outcome), err) &&
           notice_store_turn_end(tx, row->notice, err) &&
           entry_append(tx, mem, outcome, step.step, err) &&
           refused_find(tx, mem, farm, outcome, err);
}

/* What is tried for too long is refused, with the last reply. */
static void give_up_old(struct outcome *outcome, struct arena *mem)
{
    instant since = outcome->claim->row.queued_at;

    if (outcome->reply.outcome != SEND_LATER ||
        outcome->now - since < OUTBOX_GIVE_UP_S * SECOND_US ||
        outcome->claim->tries < OUTBOX_GIVE_UP_TRIES)
        return;
    outcome->reply.outcome = SEND_REFUSED;
    outcome->reply.words = arena_printf(mem, "given up after %d tries: %s", outcome->claim->tries,
                                        outcome->reply.words);
}

static bool keep(struct db *db, struct arena *mem, const struct open_farm *farm,
                 const struct outcome *outcome, struct err *err)
{
    static bool (*const keeps[])(struct db_tx * tx, struct arena * mem,
                                 const struct open_farm *farm, const struct outcome *outcome,
                                 struct err *err) = {
        [SEND_DONE] = keep_sent, [SEND_LATER] = keep_later, [SEND_REFUSED] = keep_refused};
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           keeps[outcome->reply.outcome](&tx, mem, farm, outcome, err) && db_tx_commit(&tx, err);
}

/* --- the round ------------------------------------------------------------------------------- */

/* What is told with it: nothing joins a notice once it was taken for sending. */
static bool parts_say(struct db_tx *tx, struct arena *mem, struct notice_row *row, struct err *err)
{
    struct notice_parts parts = {0};

    if (!notice_store_parts(tx, mem, row, NOTICE_PARTS_SHOWN, &parts, err))
        return false;
    notice_words_gather(mem, &parts, &row->subject, &row->words);

    return true;
}

static bool claim_next(struct db *db, struct arena *mem, const struct open_farm *farm, instant now,
                       struct notice_claim *out, bool *found, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           notice_store_claim(&tx, mem, now, now + OUTBOX_LEASE_S * SECOND_US, out, found, err) &&
           (!*found || parts_say(&tx, mem, &out->row, err)) && db_tx_commit(&tx, err);
}

static bool send_one(struct db *db, const struct open_farm *farm, instant now,
                     const struct outbox_options *options, struct outbox_result *result,
                     bool *found, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    int *const counts[] = {[SEND_DONE] = &result->sent,
                           [SEND_LATER] = &result->later,
                           [SEND_REFUSED] = &result->refused};
    struct notice_claim claim = {0};

    if (!claim_next(db, mem, farm, now, &claim, found, err))
        return false;
    if (!*found)
        return true;

    over_say(mem, farm, &claim);

    struct outcome outcome = {&claim, send_claim(options, mem, farm, &claim, now), now};

    give_up_old(&outcome, mem);
    if (!keep(db, mem, farm, &outcome, err))
        return err_wrap(err, "notice %d went out, and that is not on record", claim.row.notice);
    *counts[outcome.reply.outcome] += 1;

    return true;
}

bool outbox_send(struct db *db, const struct open_farm *farm, instant now,
                 const struct outbox_options *options, struct outbox_result *result,
                 struct err *err)
{
    bool found = true;

    for (int i = 0; i < OUTBOX_ROUND_MOST && found && !(options->stop && *options->stop); i++)
        if (!send_one(db, farm, now, options, result, &found, err))
            return false;

    return true;
}

/* --- seen ------------------------------------------------------------------------------------ */

static bool find_notice(struct db_tx *tx, struct arena *mem, int notice, struct notice_view *out,
                        struct err *err)
{
    struct notice_views views = {0};

    if (!notice_store_list(tx, mem, notice, false, &views, err))
        return false;
    if (views.count == 0) {
        err_set(err, ERR_NOT_FOUND, "there is no notice %d", notice);
        return err_hint(err, "`weirbook notices --all` lists them.");
    }
    *out = views.items[0];

    return true;
}

bool notice_seen(struct db *db, struct arena *mem, const struct open_farm *farm, int notice,
                 const struct act *act, struct notice_view *out, struct err *err)
{
    static const unsigned anything = MAY_READ | MAY_SAMPLE | MAY_CALIBRATE | MAY_CORRECT | MAY_SIGN;
    const struct notice_step step = {
        .step = "seen", .next_try_at = INSTANT_NONE, .person = act->person, .at = act->at};
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct notice_view view = {0};

    if (!act_allowed(farm->farm, act, anything, err) || !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !find_notice(&tx, mem, notice, &view, err))
        return false;
    if (str_equal(view.seen_by, act->person))
        return err_set(err, ERR_CONFLICT, "%s has seen notice %d already", act->person, notice);

    const struct entry_field fields[] = {
        {"what", "seen"},
        {"notice", arena_printf(mem, "%d", notice)},
        {"finding", arena_printf(mem, "%lld", (long long)view.row.finding)},
    };

    /* The turns after the ledger, as whoever queues takes them: two never wait for each other. */
    if (!notice_store_step(&tx, notice, &step, err) ||
        !ledger_store_append(&tx, act, ENTRY_NOTICE, NULL, fields, ARRAY_LEN(fields), err) ||
        !notice_store_seen_end(&tx, notice, err) || !db_tx_commit(&tx, err))
        return false;
    *out = view;

    return true;
}

bool notice_list(struct db *db, struct arena *mem, const struct open_farm *farm, bool all,
                 struct notice_views *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           notice_store_list(&tx, mem, 0, !all, out, err);
}
