#include "app/judge_intervals.h"

#include "app/interval_samples.h"
#include "base/str.h"
#include "store/clause_store.h"

static bool *discharging_days(struct arena *mem, const struct loaded_evidence *loaded,
                              const struct interval *interval, day_number from)
{
    const struct evidence_point *point = evidence_point_find(loaded, interval->station);
    size_t count = (size_t)(loaded->to - from) + 1;

    if (!interval->only_while_discharging || !point)
        return NULL;

    bool *days = ARENA_ARRAY(mem, bool, count);

    for (size_t i = 0; i < count; i++)
        days[i] = point->days[from - loaded->from + (day_number)i].state != DISCHARGE_NONE;

    return days;
}

/* What of a day says that something was discharged, though it may not be the only thing said. */
static const char *const *days_discharged(struct arena *mem, const struct loaded_evidence *loaded,
                                          const struct interval *interval, day_number from)
{
    const struct evidence_point *point = evidence_point_find(loaded, interval->station);
    size_t count = (size_t)(loaded->to - from) + 1;

    if (!point)
        return NULL;

    const char **days = ARENA_ARRAY(mem, const char *, count);

    for (size_t i = 0; i < count; i++) {
        const struct discharge_day *day = &point->days[from - loaded->from + (day_number)i];

        if (day->state == DISCHARGE_YES || day->state == DISCHARGE_DISAGREES)
            days[i] = day->because;
    }

    return days;
}

static struct no_sample *reasons_of(struct arena *mem, const struct no_sample_rows *rows,
                                    const char *clause, size_t *count)
{
    struct no_sample *list = ARENA_ARRAY(mem, struct no_sample, rows->count);

    *count = 0;
    for (size_t i = 0; i < rows->count; i++) {
        if (str_equal(rows->items[i].clause, clause))
            list[(*count)++] = rows->items[i].reason;
    }

    return list;
}

static void tally(struct month_interval *month)
{
    for (size_t i = 0; i < month->dues.count; i++) {
        const struct due *due = &month->dues.items[i];

        if (due->state == DUE_NOTHING)
            continue;
        month->required += due->required;
        month->done += due->done;
        month->missed += due_missed(due);
    }
}

bool intervals_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                     const struct loaded_evidence *loaded, instant now, struct month_intervals *out,
                     struct err *err)
{
    struct clause_intervals clauses = {0};
    struct no_sample_rows reasons = {0};
    struct series_rows all = {0};
    day_number today = zone_day(farm->farm->zone, now);

    if (!clauses_intervals(tx, mem, farm->farm, &clauses, err) ||
        !no_sample_store_list(tx, mem, &reasons, err) || !series_store_list(tx, mem, &all, err))
        return false;

    for (size_t i = 0; i < clauses.count; i++) {
        const struct interval *interval = &clauses.items[i];
        struct month_interval month = {.interval = interval};
        struct plan_evidence *known = &month.evidence;

        if (!clause_meets(interval->in_force_from, interval->in_force_to, loaded->from, loaded->to))
            continue;
        *known = (struct plan_evidence){
            .from = plan_first_day(interval, loaded->from), .to = loaded->to, .today = today};
        if (!interval_samples_find(tx, mem, farm->farm, &all, loaded, interval, known, err))
            return err_wrap(err, "interval %s", interval->key);

        known->reasons = reasons_of(mem, &reasons, interval->key, &known->reason_count);
        known->discharging = discharging_days(mem, loaded, interval, known->from);
        known->discharged = days_discharged(mem, loaded, interval, known->from);
        month.dues = plan_dues(mem, interval, known);
        tally(&month);
        LIST_ADD(mem, out, month);
    }

    return true;
}
