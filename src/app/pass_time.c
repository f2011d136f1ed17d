#include "app/pass_time.h"

#include "app/findings.h"
#include "app/judge_month.h"
#include "app/probe_findings.h"
#include "app/silence.h"
#include "base/str.h"

enum { DUE_MONTHS_MOST = 120 };

/* --- the running month ----------------------------------------------------------------------- */

/*
 * The months from the one before the last that was judged so, to the running one: what was due in
 * them may be late or missed by now. They are few unless nobody looked for long.
 */
static bool due_judge(struct db *db, const struct open_farm *farm, const struct time_look *last,
                      instant now, struct pass_time_result *result, struct err *err)
{
    const struct zone *zone = farm->farm->zone;
    day_number running = month_first(zone_day(zone, now));
    day_number month =
        last->judged_at == INSTANT_NONE ? running : month_first(zone_day(zone, last->judged_at));

    if (month > running)
        month = running;
    month = month_first(month - 1);
    for (int done = 0; month <= running && done < DUE_MONTHS_MOST; month = month_next(month)) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct judged_month judged = {0};
        int opened = 0;

        if (!month_check(db, mem, farm, month, now, false, &judged, &opened, err))
            return err_wrap(err, "%s", month_words(mem, month));
        done++;
        result->months++;
        result->opened += opened;
    }

    return true;
}

/* Whether a civil day has begun since the running month was judged for what was due. */
static bool day_has_begun(const struct open_farm *farm, const struct time_look *last, instant now)
{
    const struct zone *zone = farm->farm->zone;

    return last->judged_at == INSTANT_NONE || zone_day(zone, now) > zone_day(zone, last->judged_at);
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

static bool probes_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                        instant now, struct pass_time_result *result, struct err *err)
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
    struct time_look last = {0};
    struct time_look look = {.looked_at = now, .judged_at = INSTANT_NONE};
    int opened = 0;

    if (!pass_time_last(db, farm, &last, err) ||
        !months_check_waiting(db, mem, farm, now, options->stop, &done.months, &opened, err))
        return false;
    done.opened += opened;
    if (day_has_begun(farm, &last, now)) {
        if (!due_judge(db, farm, &last, now, &done, err))
            return false;
        look.judged_at = now;
    }
    if (!probes_look(db, mem, farm, now, &done, err) ||
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
