#include "app/say_no_sample.h"

#include "app/judge_month.h"
#include "app/windows.h"
#include "base/str.h"
#include "store/clause_store.h"

static bool words_given(const struct farm *farm, const char *interval,
                        const struct no_sample *reason, const struct act *act, struct err *err)
{
    if (!farm_find_interval(farm, interval)) {
        err_set(err, ERR_NOT_FOUND, "the farm file has no interval '%s'", interval);
        return err_hint(err, "Intervals are listed under `intervals:` in the farm file.");
    }
    if (str_empty(reason->explanation)) {
        err_set(err, ERR_INVALID, "an explanation is needed, in your own words");
        return err_hint(err, "Add --because \"...\": the authority will read it.");
    }
    if (reason->day > zone_day(farm->zone, act->at))
        return err_set(err, ERR_INVALID, "that day has not come yet");

    return true;
}

/* What was due on the day in a judged month, or NULL. */
static const struct due *due_find(const struct judged_month *month, const char *interval,
                                  day_number day)
{
    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        for (size_t j = 0; j < one->dues.count; j++) {
            const struct due *due = &one->dues.items[j];
            bool open = one->interval->shape == INTERVAL_AT_MOST_DAYS && due->state == DUE_MISSED &&
                        day >= due->from && due->done_on == DAY_NONE;

            if (str_equal(one->interval->key, interval) &&
                (open || (day >= due->from && day <= due->lapses)))
                return due;
        }
    }

    return NULL;
}

/* A reason must not say what the records deny. */
static bool discharge_fits(const struct judged_month *month, const char *station,
                           const struct no_sample *reason, const char **disagrees, struct err *err)
{
    const struct evidence_point *point = evidence_point_find(&month->loaded, station);
    const struct discharge_day *known;

    if (reason->reason != NO_SAMPLE_NO_DISCHARGE || !point)
        return true;
    known = &point->days[reason->day - month->from];
    if (known->state == DISCHARGE_DISAGREES)
        *disagrees = known->because;
    if (known->state != DISCHARGE_YES)
        return true;
    err_set(err, ERR_INVALID, "the records say that it discharged on that day: %s",
            known->because ? known->because : "the meter ran");

    return err_hint(err, "If the records are wrong, correct them first; else name another reason.");
}

static bool missing_then(struct db *db, struct arena *mem, const struct open_farm *farm,
                         const char *interval, const struct no_sample *reason, instant now,
                         const char **disagrees, struct err *err)
{
    const char *station = farm_find_interval(farm->farm, interval)->interval.station;
    struct judged_month month = {0};
    struct judged_month next = {0};
    const struct due *due;

    if (!month_look(db, mem, farm, reason->day, now, &month, err))
        return false;
    due = due_find(&month, interval, reason->day);
    /* A week belongs to the month in which it ends. */
    if (!due) {
        if (!month_look(db, mem, farm, month_next(reason->day), now, &next, err))
            return false;
        due = due_find(&next, interval, reason->day);
    }
    if (!due) {
        err_set(err, ERR_INVALID, "%s asked for no sample then", interval);
        return err_hint(err, "Name a day of the period, or between the samples, that lacks one.");
    }
    if (due->state == DUE_DONE) {
        err_set(err, ERR_INVALID, "%s lacks no sample then: %s", interval, due->words);
        return err_hint(err, "weirbook check shows what was missed.");
    }

    return discharge_fits(&month, station, reason, disagrees, err);
}

bool no_sample_say(struct db *db, struct arena *mem, const struct open_farm *farm,
                   const char *interval, struct no_sample reason, const struct act *act,
                   const char **disagrees, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const char *against = NULL;
    instant at = zone_day_start(farm->farm->zone, reason.day);

    if (!act_allowed(farm->farm, act, MAY_SAMPLE, err) ||
        !words_given(farm->farm, interval, &reason, act, err) ||
        !missing_then(db, mem, farm, interval, &reason, act->at, &against, err))
        return false;
    reason.person = act->person;

    struct entry_field fields[] = {
        {"interval", interval},
        {"day", day_text(mem, reason.day)},
        {"reason", no_sample_words[reason.reason]},
        {"explanation", reason.explanation},
    };

    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !no_sample_store_add(&tx, interval, &reason, act->at, err) ||
        !windows_put_series(&tx, farm->farm, 0, "", "", at, at, err) ||
        !ledger_store_append(&tx, act, ENTRY_NO_SAMPLE, NULL, fields, ARRAY_LEN(fields), err) ||
        !db_tx_commit(&tx, err))
        return false;
    if (disagrees)
        *disagrees = against;

    return true;
}
