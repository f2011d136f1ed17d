#include "judge/runs.h"

#include "base/str.h"
#include "judge/gather.h"

static const char silent[] = "the outlet's record is silent for too long within the run";

struct run_list {
    struct judged_run *items;
    size_t count;
    size_t capacity;
};

/* An outlet's record while it is read from its first instant on. */
struct record {
    const struct judgement *judgement;
    const struct evidence_reading *last; /* the newest state that counts; NULL: none yet */
    bool open;
    struct judged_run run;
    struct run_list runs;
};

static bool still_holds(const struct record *record, instant at)
{
    int holds_s = record->judgement->evidence->state_holds_s;

    return holds_s == 0 || at - record->last->at <= holds_s * SECOND_US;
}

static void run_begins(struct record *record, instant at)
{
    bool was_shut = record->last && still_holds(record, at);

    record->open = true;
    record->run = (struct judged_run){
        .opened = at,
        .shut = INSTANT_NONE,
        .why_not = was_shut ? NULL : "it is not known when the outlet was opened",
    };
}

static void run_ends(struct record *record, instant at)
{
    record->open = false;
    record->run.shut = at;
    LIST_ADD(record->judgement->mem, &record->runs, record->run);
}

static void record_add(struct record *record, const struct evidence_reading *reading)
{
    bool open = str_equal_nocase(reading->unit, "open");
    bool shut = str_equal_nocase(reading->unit, "shut") && !reading->doubt;

    if (reading->left_out || !reading->counts || (!open && !shut))
        return;
    if (record->open && !still_holds(record, reading->at))
        record->run.why_not = silent;
    if (open && !record->open)
        run_begins(record, reading->at);
    else if (shut && record->open)
        run_ends(record, reading->at);
    record->last = reading;
}

instant runs_end(const struct judgement *judgement, const struct judged_run *run)
{
    if (run->shut != INSTANT_NONE)
        return run->shut;

    return judgement->evidence->now > run->opened ? judgement->evidence->now : run->opened;
}

static int64_t overlap(instant from, instant until, instant from_at, instant until_at)
{
    instant begin = from > from_at ? from : from_at;
    instant end = until < until_at ? until : until_at;

    return end > begin ? end - begin : 0;
}

/* Whether most of the run lies in the month of from_at; as much in two months: where it began. */
static bool mostly_in(const struct judgement *judgement, const struct judged_run *run,
                      instant from_at, instant until_at)
{
    const struct zone *zone = judgement->evidence->zone;
    int hour = judgement->limit->day_starts_hour;
    instant end = runs_end(judgement, run);
    day_number month = month_first(zone_day_at(zone, run->opened, hour));
    int64_t most = -1;
    bool here = false;

    for (; zone_day_start_at(zone, month, hour) <= end; month = month_next(month)) {
        instant start = zone_day_start_at(zone, month, hour);
        int64_t part =
            overlap(run->opened, end, start, zone_day_start_at(zone, month_next(month), hour));

        if (part > most) {
            most = part;
            here = start >= from_at && start < until_at;
        }
    }

    return here;
}

static bool belongs(const struct judgement *judgement, const struct judged_run *run,
                    instant from_at, instant until_at)
{
    instant end = runs_end(judgement, run);

    switch (judgement->limit->period_belongs) {
    case BELONGS_ENDED:
        return end >= from_at && end < until_at;
    case BELONGS_MOSTLY:
        return mostly_in(judgement, run, from_at, until_at);
    case BELONGS_BOTH:
        return run->opened < until_at && end >= from_at;
    case BELONGS_UNSET:
    case BELONGS_BEGAN:
    case BELONGS_DAYS:
    default:
        return run->opened >= from_at && run->opened < until_at;
    }
}

void runs_find(struct judgement *judgement, day_number from, day_number to)
{
    const struct evidence *evidence = judgement->evidence;
    int hour = judgement->limit->day_starts_hour;
    instant from_at = zone_day_start_at(evidence->zone, from, hour);
    instant until_at = zone_day_start_at(evidence->zone, to + 1, hour);
    struct record record = {.judgement = judgement};
    struct run_list found = {0};

    if (evidence->outlet_series < 0)
        return;

    const struct evidence_series *outlet = &evidence->series[evidence->outlet_series];

    for (size_t i = 0; i < outlet->count && outlet->readings[i].at < evidence->now; i++)
        record_add(&record, &outlet->readings[i]);
    if (record.open && !still_holds(&record, evidence->now)) {
        record.run.why_not = silent;
        record.run.gone_silent = true;
    }
    if (record.open)
        LIST_ADD(judgement->mem, &record.runs, record.run);
    for (size_t i = 0; i < record.runs.count; i++)
        if (belongs(judgement, &record.runs.items[i], from_at, until_at))
            LIST_ADD(judgement->mem, &found, record.runs.items[i]);
    judgement->runs = found.items;
    judgement->run_count = found.count;
}

void runs_days(const struct judgement *judgement, day_number *first, day_number *last)
{
    const struct zone *zone = judgement->evidence->zone;
    int hour = judgement->limit->day_starts_hour;

    for (size_t i = 0; i < judgement->run_count; i++) {
        day_number opened = zone_day_at(zone, judgement->runs[i].opened, hour);
        day_number shut = zone_day_at(zone, runs_end(judgement, &judgement->runs[i]), hour);

        *first = opened < *first ? opened : *first;
        *last = shut > *last ? shut : *last;
    }
}
