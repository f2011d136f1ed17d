#include "store/notice_store.h"

#include "db/sql_catalog.h"

bool notice_store_next(struct db_tx *tx, int *notice, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_notice_next, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;
    *notice = (int)db_rows_int(&rows, 0, 0);

    return true;
}

bool notice_store_opening(struct db_tx *tx, int64_t finding, int *opening, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_notice_opening, DB_PARAMS(db_int(tx->farm_id), db_int(finding)), &rows,
                err))
        return false;
    *opening = (int)db_rows_int(&rows, 0, 0);

    return true;
}

bool notice_store_add(struct db_tx *tx, const struct notice_row *row, instant due_at,
                      struct err *err)
{
    return db_do(tx, &sql_notice_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(row->notice), db_int(row->finding),
                           db_int(row->opening), db_int(row->nth), db_text(row->person),
                           db_text(row->told_by), db_text(row->address), db_int(row->next_after_s),
                           db_text(row->subject), db_text(row->words), db_instant(row->queued_at),
                           db_int(row->round)),
                 err) &&
           db_do(tx, &sql_notice_turn_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(row->notice), db_instant(due_at)), err);
}

bool notice_store_unsent(struct db_tx *tx, const char *kind, const char *people,
                         struct notice_unsent *out, struct err *err)
{
    enum { WAITING, FINDING, OPENING };
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_notice_unsent,
                DB_PARAMS(db_int(tx->farm_id), db_text(kind), db_text(people)), &rows, err))
        return false;
    *out = (struct notice_unsent){.waiting = db_rows_int(&rows, 0, WAITING),
                                  .finding = db_rows_int(&rows, 0, FINDING),
                                  .opening = (int)db_rows_int(&rows, 0, OPENING)};

    return true;
}

bool notice_store_part_add(struct db_tx *tx, const struct notice_unsent *unsent, int64_t finding,
                           int opening, struct err *err)
{
    return db_do(tx, &sql_notice_part_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(unsent->finding), db_int(unsent->opening),
                           db_int(finding), db_int(opening)),
                 err);
}

bool notice_store_parts(struct db_tx *tx, struct arena *mem, const struct notice_row *row, int most,
                        struct notice_parts *out, struct err *err)
{
    enum { WORDS, PARTS };
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_notice_parts,
                DB_PARAMS(db_int(tx->farm_id), db_int(row->finding), db_int(row->opening),
                          db_int(most)),
                &rows, err))
        return false;

    struct notice_parts parts = {.count = db_rows_count(&rows)};

    parts.words = ARENA_ARRAY(mem, const char *, parts.count);
    for (size_t i = 0; i < parts.count; i++) {
        parts.words[i] = db_rows_dup(&rows, i, WORDS, mem);
        parts.all = db_rows_int(&rows, i, PARTS);
    }
    *out = parts;

    return true;
}

enum {
    CLAIM_NOTICE,
    CLAIM_TRIES,
    CLAIM_FINDING,
    CLAIM_KIND,
    CLAIM_ABOUT,
    CLAIM_STATION,
    CLAIM_FROM,
    CLAIM_PERSON,
    CLAIM_TOLD_BY,
    CLAIM_ADDRESS,
    CLAIM_NEXT_AFTER,
    CLAIM_SUBJECT,
    CLAIM_WORDS,
    CLAIM_QUEUED_AT,
    CLAIM_OPENING,
    CLAIM_OVER_AT
};

bool notice_store_claim(struct db_tx *tx, struct arena *mem, instant now, instant leased_until,
                        struct notice_claim *out, bool *found, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_notice_claim,
                DB_PARAMS(db_int(tx->farm_id), db_instant(now), db_instant(leased_until)), &rows,
                err))
        return false;
    *found = db_rows_count(&rows) > 0;
    if (!*found)
        return true;
    *out =
        (struct notice_claim){.row = {.notice = (int)db_rows_int(&rows, 0, CLAIM_NOTICE),
                                      .finding = db_rows_int(&rows, 0, CLAIM_FINDING),
                                      .opening = (int)db_rows_int(&rows, 0, CLAIM_OPENING),
                                      .person = db_rows_dup(&rows, 0, CLAIM_PERSON, mem),
                                      .told_by = db_rows_dup(&rows, 0, CLAIM_TOLD_BY, mem),
                                      .address = db_rows_dup(&rows, 0, CLAIM_ADDRESS, mem),
                                      .next_after_s = (int)db_rows_int(&rows, 0, CLAIM_NEXT_AFTER),
                                      .subject = db_rows_dup(&rows, 0, CLAIM_SUBJECT, mem),
                                      .words = db_rows_dup(&rows, 0, CLAIM_WORDS, mem),
                                      .queued_at = db_rows_instant(&rows, 0, CLAIM_QUEUED_AT)},
                              .kind = db_rows_dup(&rows, 0, CLAIM_KIND, mem),
                              .about = db_rows_dup(&rows, 0, CLAIM_ABOUT, mem),
                              .station = db_rows_dup(&rows, 0, CLAIM_STATION, mem),
                              .from = db_rows_day(&rows, 0, CLAIM_FROM),
                              .tries = (int)db_rows_int(&rows, 0, CLAIM_TRIES),
                              .over_at = db_rows_instant(&rows, 0, CLAIM_OVER_AT)};

    return true;
}

bool notice_store_step(struct db_tx *tx, int notice, const struct notice_step *step,
                       struct err *err)
{
    return db_do(tx, &sql_notice_step_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(notice), db_text(step->step),
                           db_text(step->reply), db_instant(step->next_try_at),
                           db_text(step->person), db_instant(step->at)),
                 err);
}

bool notice_store_turn_end(struct db_tx *tx, int notice, struct err *err)
{
    return db_do(tx, &sql_notice_turn_end, DB_PARAMS(db_int(tx->farm_id), db_int(notice)), err);
}

bool notice_store_turn_again(struct db_tx *tx, int notice, int tries, instant due_at,
                             struct err *err)
{
    return db_do(tx, &sql_notice_turn_again,
                 DB_PARAMS(db_int(tx->farm_id), db_int(notice), db_int(tries), db_instant(due_at)),
                 err);
}

bool notice_store_turn_next(struct db_tx *tx, int notice, instant due_at, instant round_at,
                            struct err *err)
{
    return db_do(
        tx, &sql_notice_turn_next,
        DB_PARAMS(db_int(tx->farm_id), db_int(notice), db_instant(due_at), db_instant(round_at)),
        err);
}

bool notice_store_seen_end(struct db_tx *tx, int notice, struct err *err)
{
    return db_do(tx, &sql_notice_seen_end, DB_PARAMS(db_int(tx->farm_id), db_int(notice)), err);
}

enum {
    VIEW_NOTICE,
    VIEW_FINDING,
    VIEW_KIND,
    VIEW_STATION,
    VIEW_FROM,
    VIEW_NTH,
    VIEW_PERSON,
    VIEW_TOLD_BY,
    VIEW_ADDRESS,
    VIEW_SUBJECT,
    VIEW_WORDS,
    VIEW_QUEUED_AT,
    VIEW_STEP,
    VIEW_REPLY,
    VIEW_STEP_AT,
    VIEW_WAITS,
    VIEW_DUE_AT,
    VIEW_TRIES,
    VIEW_SEEN_BY,
    VIEW_SEEN_AT,
    VIEW_PARTS
};

static struct notice_view view_of(const struct db_rows *rows, size_t i, struct arena *mem)
{
    return (struct notice_view){.row = {.notice = (int)db_rows_int(rows, i, VIEW_NOTICE),
                                        .finding = db_rows_int(rows, i, VIEW_FINDING),
                                        .nth = (int)db_rows_int(rows, i, VIEW_NTH),
                                        .person = db_rows_dup(rows, i, VIEW_PERSON, mem),
                                        .told_by = db_rows_dup(rows, i, VIEW_TOLD_BY, mem),
                                        .address = db_rows_dup(rows, i, VIEW_ADDRESS, mem),
                                        .subject = db_rows_dup(rows, i, VIEW_SUBJECT, mem),
                                        .words = db_rows_dup(rows, i, VIEW_WORDS, mem),
                                        .queued_at = db_rows_instant(rows, i, VIEW_QUEUED_AT)},
                                .kind = db_rows_dup(rows, i, VIEW_KIND, mem),
                                .station = db_rows_dup(rows, i, VIEW_STATION, mem),
                                .from = db_rows_day(rows, i, VIEW_FROM),
                                .step = db_rows_dup(rows, i, VIEW_STEP, mem),
                                .reply = db_rows_dup(rows, i, VIEW_REPLY, mem),
                                .step_at = db_rows_instant(rows, i, VIEW_STEP_AT),
                                .waits = db_rows_bool(rows, i, VIEW_WAITS),
                                .due_at = db_rows_instant(rows, i, VIEW_DUE_AT),
                                .tries = (int)db_rows_int(rows, i, VIEW_TRIES),
                                .seen_by = db_rows_dup(rows, i, VIEW_SEEN_BY, mem),
                                .seen_at = db_rows_instant(rows, i, VIEW_SEEN_AT),
                                .parts = db_rows_int(rows, i, VIEW_PARTS)};
}

bool notice_store_list(struct db_tx *tx, struct arena *mem, int notice, bool unseen,
                       struct notice_views *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_notice_list,
                DB_PARAMS(db_int(tx->farm_id), notice > 0 ? db_int(notice) : db_null(),
                          db_bool(unseen)),
                &rows, err))
        return false;

    struct notice_views views = {.count = db_rows_count(&rows)};

    views.items = ARENA_ARRAY(mem, struct notice_view, views.count);
    for (size_t i = 0; i < views.count; i++)
        views.items[i] = view_of(&rows, i, mem);
    *out = views;

    return true;
}
