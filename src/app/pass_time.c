#include "app/pass_time.h"

#include "app/findings.h"
#include "app/judge_month.h"
#include "app/months_due.h"
#include "app/probe_findings.h"
#include "app/silence.h"
#include "base/str.h"

/* --- months ---------------------------------------------------------------------------------- */

/* The oldest of those that are due; what is left is for the next look. */
static bool due_judge(struct db *db, const struct open_farm *farm, instant now,
                      const struct pass_time_options *options, struct pass_time_result *result,
                      struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(arena_free) struct arena *one = arena_new();
    struct day_list due = {0};

    if (!months_due(db, mem, farm, now, &due, err))
        return false;
    for (size_t i = 0; i < due.count && i < PASS_TIME_MONTHS_MOST; i++) {
        struct judged_month judged = {0};
        int opened = 0;

        if (options->stop && *options->stop)
            return err_set(err, ERR_UNAVAILABLE, "stopped after %d months, as asked",
                           result->months);
        arena_reset(one);
        if (!month_check(db, one, farm, due.items[i], now, false, &judged, &opened, err))
            return err_wrap(err, "%s", month_words(mem, due.items[i]));
        result->months++;
        result->opened += opened;
    }
    if (due.count > PASS_TIME_MONTHS_MOST)
        result->months_left = (int)(due.count - PASS_TIME_MONTHS_MOST);

    return true;
}

/* --- silence --------------------------------------------------------------------------------- */

static const struct finding_row *find(const struct finding_rows *rows, int64_t finding)
{
    for (size_t i = 0; i < rows->count; i++)
        if (finding_id_of(&rows->items[i]) == finding)
            return &rows->items[i];

    return NULL;
}

/* Findings of silence that are no longer so, said on them and never removed. */
static bool silence_end(struct db_tx *tx, struct arena *mem, const struct finding_rows *silent,
                        instant now, struct pass_time_result *result, struct err *err)
{
    struct finding_rows waiting = {0};

    if (!finding_store_waiting(tx, mem, &waiting, err))
        return false;
    for (size_t i = 0; i < waiting.count; i++) {
        const struct finding_row *row = &waiting.items[i];

        if (!silence_is_kind(row->kind) || str_equal(row->step, "worked out again") ||
            find(silent, row->finding))
            continue;
        if (!finding_store_step(tx, row->finding, "worked out again",
                                str_equal(row->kind, "silence")
                                    ? "Readings have come again, or are no longer waited for."
                                    : "Files have come again, or are no longer waited for.",
                                NULL, now, err))
            return false;
        result->ended++;
    }

    return true;
}

static bool silence_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                         instant now, const struct pass_time_options *options,
                         const struct time_look *look, struct pass_time_result *result,
                         struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct finding_rows silent = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           silence_find(&tx, mem, farm, options->settings, now, &silent, err) &&
           silence_end(&tx, mem, &silent, now, result, err) &&
           look_store_time_put(&tx, look, err) &&
           findings_open(&tx, mem, farm->farm, &silent, "weirbook serve", now, &result->opened,
                         err) &&
           db_tx_commit(&tx, err);
}

/* --- probes ---------------------------------------------------------------------------------- */

static bool probes_look(struct db *db, struct arena *mem, const struct open_farm *farm, instant now,
                        struct pass_time_result *result, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct finding_rows found = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           probe_findings_of(&tx, mem, farm->farm, now, &found, err) &&
           probe_findings_put(&tx, mem, farm->farm, &found, "weirbook serve", now, &result->opened,
                              &result->ended, err) &&
           db_tx_commit(&tx, err);
}

bool pass_time(struct db *db, struct arena *mem, const struct open_farm *farm, instant now,
               const struct pass_time_options *options, struct pass_time_result *result,
               struct err *err)
{
    struct pass_time_result done = {0};
    const struct time_look look = {.looked_at = now};
    int opened = 0;

    if (!months_check_waiting(db, mem, farm, now, options->stop, &done.months, &opened, err))
        return false;
    done.opened += opened;
    if (!due_judge(db, farm, now, options, &done, err) ||
        !probes_look(db, mem, farm, now, &done, err) ||
        !silence_look(db, mem, farm, now, options, &look, &done, err))
        return false;
    *result = done;

    return true;
}

bool pass_time_last(struct db *db, const struct open_farm *farm, struct time_look *out,
                    struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && look_store_time(&tx, out, err);
}
