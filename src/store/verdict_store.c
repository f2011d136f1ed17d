#include "store/verdict_store.h"

#include "base/buf.h"
#include "base/json.h"
#include "base/search.h"
#include "db/sql_catalog.h"

bool window_store_add(struct db_tx *tx, const struct window_row *window, struct err *err)
{
    return db_do(tx, &sql_to_judge_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(window->series_id), db_text(window->station),
                           db_text(window->parameter), db_day(window->first_day),
                           db_day(window->last_day)),
                 err);
}

bool window_store_list(struct db_tx *tx, struct arena *mem, struct window_rows *out,
                       struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_to_judge_list, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct window_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct window_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct window_row){.ticket = db_rows_dup(&rows, i, 0, mem),
                                            .series_id = db_rows_int(&rows, i, 1),
                                            .station = db_rows_dup(&rows, i, 2, mem),
                                            .parameter = db_rows_dup(&rows, i, 3, mem),
                                            .first_day = db_rows_day(&rows, i, 4),
                                            .last_day = db_rows_day(&rows, i, 5)};
    *out = list;

    return true;
}

bool window_store_remove(struct db_tx *tx, const char *tickets, struct err *err)
{
    return db_do(tx, &sql_to_judge_remove, DB_PARAMS(db_int(tx->farm_id), db_text(tickets)), err);
}

bool window_store_touching(struct db_tx *tx, day_number first, day_number last, int64_t *count,
                           struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_to_judge_touching,
                DB_PARAMS(db_int(tx->farm_id), db_day(first), db_day(last)), &rows, err))
        return false;
    *count = db_rows_int(&rows, 0, 0);

    return true;
}

bool verdict_store_windows_touching(struct db_tx *tx, struct arena *mem, const char *clause,
                                    day_number first, day_number last, struct day_list *out,
                                    struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_verdict_windows_touching,
                DB_PARAMS(db_int(tx->farm_id), db_text(clause), db_day(first), db_day(last)), &rows,
                err))
        return false;
    for (size_t i = 0; i < db_rows_count(&rows); i++)
        LIST_ADD(mem, out, db_rows_day(&rows, i, 0));

    return true;
}

bool verdict_store_list(struct db_tx *tx, struct arena *mem, day_number from, day_number to,
                        struct verdict_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_verdict_list, DB_PARAMS(db_int(tx->farm_id), db_day(from), db_day(to)),
                &rows, err))
        return false;

    struct verdict_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct verdict_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct verdict_row){.clause = db_rows_dup(&rows, i, 0, mem),
                                             .from = db_rows_day(&rows, i, 1),
                                             .to = db_rows_day(&rows, i, 2),
                                             .version = (int)db_rows_int(&rows, i, 3),
                                             .standing = db_rows_dup(&rows, i, 4, mem),
                                             .side = db_rows_dup(&rows, i, 5, mem),
                                             .so_far = db_rows_bool(&rows, i, 6),
                                             .near_bound = db_rows_bool(&rows, i, 7),
                                             .compared = db_rows_dup(&rows, i, 8, mem),
                                             .bound = db_rows_dup(&rows, i, 9, mem),
                                             .unit = db_rows_dup(&rows, i, 10, mem),
                                             .samples = (int)db_rows_int(&rows, i, 11),
                                             .beyond = (int)db_rows_int(&rows, i, 12),
                                             .set_aside = (int)db_rows_int(&rows, i, 13),
                                             .reason = db_rows_dup(&rows, i, 14, mem),
                                             .words = db_rows_dup(&rows, i, 15, mem),
                                             .judged_at = db_rows_instant(&rows, i, 16)};
    *out = list;

    return true;
}

bool verdict_store_beyond_on(struct db_tx *tx, const char *clause, day_number day, int64_t *beyond,
                             struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_verdict_beyond_on,
                DB_PARAMS(db_int(tx->farm_id), db_text(clause), db_day(day)), &rows, err))
        return false;
    *beyond = db_rows_int(&rows, 0, 0);

    return true;
}

bool verdict_store_window_before(struct db_tx *tx, const char *clause, day_number day,
                                 bool *outside, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_verdict_window_before,
                DB_PARAMS(db_int(tx->farm_id), db_text(clause), db_day(day)), &rows, err))
        return false;
    *outside = db_rows_count(&rows) > 0 && db_rows_bool(&rows, 0, 0);

    return true;
}

bool lapse_store_put(struct db_tx *tx, const struct interval *interval, const struct due_list *dues,
                     day_number from, day_number to, instant judged_at, struct err *err)
{
    if (!db_do(tx, &sql_lapse_remove,
               DB_PARAMS(db_int(tx->farm_id), db_text(interval->key), db_day(from), db_day(to)),
               err))
        return err_wrap(err, "interval %s", interval->key);

    for (size_t i = 0; i < dues->count; i++) {
        const struct due *due = &dues->items[i];

        if (!db_do(tx, &sql_lapse_put,
                   DB_PARAMS(db_int(tx->farm_id), db_text(interval->key), db_day(due->from),
                             db_day(due->due), db_day(due->lapses), db_int(interval->version),
                             db_text(due_state_name(due->state)), db_int(due->required),
                             db_int(due->done), db_text(due->reason), db_text(due->words),
                             db_instant(judged_at)),
                   err))
            return err_wrap(err, "interval %s", interval->key);
    }

    return true;
}

int64_t finding_id_of(const struct finding_row *finding)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    return text_id(arena_printf(mem, "%s\x1f%s\x1f%s\x1f%s", finding->kind, finding->subject,
                                finding->station, day_text(mem, finding->from)));
}

bool finding_store_add(struct db_tx *tx, const struct finding_row *finding, bool *added,
                       struct err *err)
{
    int64_t id = finding_id_of(finding);
    size_t changed = 0;
    size_t reopened = 0;

    if (!db_do_count(tx, &sql_finding_add,
                     DB_PARAMS(db_int(tx->farm_id), db_int(id), db_text(finding->kind),
                               db_text(finding->subject), db_text(finding->station),
                               db_day(finding->from), db_instant(finding->aware_at),
                               db_text(finding->words)),
                     &changed, err))
        return err_wrap(err, "finding");
    if (changed == 0 &&
        !db_do_count(tx, &sql_finding_reopen,
                     DB_PARAMS(db_int(tx->farm_id), db_int(id), db_text(finding->words),
                               db_instant(finding->aware_at)),
                     &reopened, err))
        return err_wrap(err, "finding");
    *added = changed + reopened == 1;

    return changed == 0 ||
           finding_store_step(tx, id, "open", finding->words, NULL, finding->aware_at, err);
}

bool finding_store_new(struct db_tx *tx, struct arena *mem, const struct finding_rows *findings,
                       struct finding_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows stays = {0};
    struct finding_rows list = {.items = ARENA_ARRAY(mem, struct finding_row, findings->count)};
    struct buf numbers = buf_new(mem);

    *out = list;
    if (findings->count == 0)
        return true;
    for (size_t i = 0; i < findings->count; i++) {
        list.items[i] = findings->items[i];
        list.items[i].finding = finding_id_of(&findings->items[i]);
        buf_addf(&numbers, "%s%lld", i > 0 ? "," : "{", (long long)list.items[i].finding);
    }
    buf_add_char(&numbers, '}');
    if (!db_run(tx, &sql_finding_stays, DB_PARAMS(db_int(tx->farm_id), db_text(numbers.data)),
                &stays, err))
        return err_wrap(err, "findings");

    size_t there_count = db_rows_count(&stays);
    struct finding_row *there = ARENA_ARRAY(mem, struct finding_row, there_count);

    for (size_t i = 0; i < there_count; i++)
        there[i].finding = db_rows_int(&stays, i, 0);
    for (size_t i = 0; i < findings->count; i++) {
        int64_t finding = list.items[i].finding;
        size_t at = SEARCH_FROM(there, there_count, finding, finding);

        if (at == there_count || there[at].finding != finding)
            list.items[list.count++] = list.items[i];
    }
    *out = list;

    return true;
}

bool finding_store_step(struct db_tx *tx, int64_t finding, const char *step, const char *words,
                        const char *person, instant at, struct err *err)
{
    return db_do(tx, &sql_finding_step_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(finding), db_text(step), db_text(words),
                           db_text(person), db_instant(at)),
                 err);
}

static void findings_from(const struct db_rows *rows, struct arena *mem, struct finding_rows *out)
{
    struct finding_rows list = {.count = db_rows_count(rows)};

    list.items = ARENA_ARRAY(mem, struct finding_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct finding_row){.finding = db_rows_int(rows, i, 0),
                                             .kind = db_rows_dup(rows, i, 1, mem),
                                             .subject = db_rows_dup(rows, i, 2, mem),
                                             .station = db_rows_dup(rows, i, 3, mem),
                                             .from = db_rows_day(rows, i, 4),
                                             .aware_at = db_rows_instant(rows, i, 5),
                                             .words = db_rows_dup(rows, i, 6, mem),
                                             .step = db_rows_dup(rows, i, 7, mem),
                                             .step_words = db_rows_dup(rows, i, 8, mem)};
    *out = list;
}

bool finding_store_list(struct db_tx *tx, struct arena *mem, day_number from, day_number to,
                        struct finding_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_finding_list, DB_PARAMS(db_int(tx->farm_id), db_day(from), db_day(to)),
                &rows, err))
        return false;
    findings_from(&rows, mem, out);

    return true;
}

bool finding_store_waiting(struct db_tx *tx, struct arena *mem, struct finding_rows *out,
                           struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_finding_waiting, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;
    findings_from(&rows, mem, out);

    return true;
}

bool report_store_add(struct db_tx *tx, const struct report_row *report, struct err *err)
{
    return db_do(tx, &sql_report_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(report->report), db_text(report->name),
                           db_text(report->licence), db_day(report->from), db_day(report->to),
                           db_text(report->standing), db_text(report->file_name),
                           db_bytes(report->sha256.bytes, SHA256_SIZE), db_text(report->figures),
                           db_text(report->program), db_instant(report->made_at),
                           db_text(report->person)),
                 err);
}
