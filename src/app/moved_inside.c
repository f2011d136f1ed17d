#include "app/moved_inside.h"

#include "app/evidence_wanted.h"
#include "base/str.h"

/* A judged month and one of its verdicts. */
struct seen {
    const struct judged_month *month;
    const struct verdict *verdict;
};

static const struct evidence_series *series_of(const struct seen *seen,
                                               const struct verdict_item *item)
{
    return &seen->month->loaded.evidence.series[item->series];
}

static bool is_own(const char *station, const char *parameter,
                   const struct correction_view *correction)
{
    return str_equal(station, correction->station) && str_equal(parameter, correction->parameter);
}

/* Whether what was worked out from these was worked out from the corrected one. */
static bool went_in(const struct derived_input *inputs, size_t count,
                    const struct correction_view *correction)
{
    for (size_t i = 0; i < count; i++) {
        const struct derived_input *input = &inputs[i];

        if ((input->at == correction->at && is_own(input->station, input->parameter, correction)) ||
            went_in(input->inputs, input->input_count, correction))
            return true;
    }

    return false;
}

/* Whether the correction is in a reading: it is the one corrected, or worked out from it. */
static bool holds(const struct evidence_series *series, const struct evidence_reading *reading,
                  const struct correction_view *correction)
{
    return (reading->at == correction->at &&
            is_own(series->station, series->parameter, correction)) ||
           went_in(reading->inputs, reading->input_count, correction);
}

/* Whether the same place's value of that instant is beyond a bound on single values. */
static bool outside_at(const struct seen *seen, const struct evidence_series *of, instant at)
{
    for (size_t i = 0; i < seen->verdict->item_count; i++) {
        const struct verdict_item *item = &seen->verdict->items[i];
        const struct evidence_series *series = series_of(seen, item);

        if (item->outside && series->readings[item->reading].at == at &&
            str_equal(series->station, of->station) && str_equal(series->parameter, of->parameter))
            return true;
    }

    return false;
}

/* Whether a value that holds the correction was outside and no longer is. */
static bool item_moved(const struct seen *now, const struct seen *first,
                       const struct correction_view *correction)
{
    for (size_t i = 0; i < first->verdict->item_count; i++) {
        const struct verdict_item *item = &first->verdict->items[i];
        const struct evidence_series *series = series_of(first, item);
        const struct evidence_reading *reading = &series->readings[item->reading];

        if (item->outside && holds(series, reading, correction) &&
            !outside_at(now, series, reading->at))
            return true;
    }

    return false;
}

static bool day_outside(const struct verdict *verdict, day_number day)
{
    for (size_t i = 0; i < verdict->day_count; i++) {
        if (verdict->days[i].day == day && verdict->days[i].outside)
            return true;
    }

    return false;
}

/*
 * Whether a daily figure was outside and no longer is: of the value's own day, or of any day where
 * figures go by what lies between values (a meter's), stand for other days (of a load) or are
 * worked out from the value.
 */
static bool day_moved(const struct seen *now, const struct seen *first,
                      const struct correction_view *correction)
{
    const struct limit *limit = now->verdict->limit;
    day_number of =
        zone_day_at(now->month->loaded.evidence.zone, correction->at, limit->day_starts_hour);
    bool any = limit->daily == DAILY_LOAD || limit->daily == DAILY_TOTAL ||
               !is_own(limit->station, limit->parameter, correction);

    for (day_number day = any ? first->verdict->from : of; day <= (any ? first->verdict->to : of);
         day++) {
        if (day_outside(first->verdict, day) && !day_outside(now->verdict, day))
            return true;
    }

    return false;
}

/* Whether the clause looks at such readings, or at what is worked out from them. */
static bool touches(struct arena *mem, const struct open_farm *farm, const struct verdict *verdict,
                    const struct correction_view *correction)
{
    struct clause_limit clause = {.limit = *verdict->limit};
    const struct clause_limits clauses = {.items = &clause, .count = 1};
    const struct evidence_wanted wanted =
        evidence_wanted_of(mem, farm->farm, &clauses, verdict->from, verdict->to, true);

    return evidence_wants_place(&wanted, correction->station, correction->parameter);
}

static bool came_inside(const struct seen *now, const struct seen *first)
{
    return first->verdict->standing == STANDING_OUTSIDE &&
           now->verdict->standing != STANDING_OUTSIDE;
}

/* What could not be assessed may have been outside. */
static bool was_open(const struct seen *now, const struct seen *first)
{
    return first->verdict->standing == STANDING_NOT_ASSESSABLE &&
           (now->verdict->standing == STANDING_WITHIN ||
            now->verdict->standing == STANDING_NOTHING_DUE);
}

bool moved_by_correction(struct arena *mem, const struct open_farm *farm,
                         const struct judged_month *now, const struct judged_month *first,
                         const struct correction_view *correction, struct moved_limits *moved)
{
    for (size_t i = 0; i < now->verdicts.count && i < first->verdicts.count; i++) {
        const struct seen here = {now, &now->verdicts.items[i]};
        const struct seen there = {first, &first->verdicts.items[i]};

        if (!touches(mem, farm, here.verdict, correction))
            continue;
        if (came_inside(&here, &there) || item_moved(&here, &there, correction) ||
            day_moved(&here, &there, correction))
            LIST_ADD(mem, moved, (struct moved_limit){here.verdict->limit->key, false});
        else if (was_open(&here, &there))
            LIST_ADD(mem, moved, (struct moved_limit){here.verdict->limit->key, true});
    }

    return moved->count > 0;
}

/* Whether a day that the row may be of was outside and no longer is. */
static bool aside_day_moved(const struct seen *now, const struct seen *first,
                            const struct aside_answer *answer)
{
    const struct verdict *verdict = first->verdict;
    day_number of = answer->at == INSTANT_NONE
                        ? DAY_NONE
                        : zone_day_at(now->month->loaded.evidence.zone, answer->at,
                                      verdict->limit->day_starts_hour);

    for (day_number day = verdict->from; day <= verdict->to; day++) {
        if ((of == DAY_NONE || of == day) && day_outside(verdict, day) &&
            !day_outside(now->verdict, day))
            return true;
    }

    return false;
}

/*
 * Whether the row was beyond a bound on single values, and what is there now is not. One whose unit
 * could not be read was tried in several: that left the verdict open, and nothing outside.
 */
static bool aside_moved(const struct seen *now, const struct seen *first,
                        const struct aside_answer *answer)
{
    const struct verdict *verdict = first->verdict;
    const struct evidence_series place = {.station = answer->station,
                                          .parameter = answer->parameter};

    if (verdict->standing != STANDING_OUTSIDE || verdict->limit->statistic != STATISTIC_VALUE ||
        verdict->limit->daily != DAILY_EVERY)
        return false;
    for (size_t i = 0; i < verdict->set_aside; i++) {
        const struct verdict_aside *aside = &verdict->asides[i];
        const struct evidence_set_aside *row = &first->month->loaded.evidence.set_aside[aside->row];
        const struct origin *origin = &row->origin;

        if (aside->outside && row->unit && origin->receipt == answer->receipt &&
            origin->line == answer->line && origin->column == answer->column)
            return !outside_at(now, &place, answer->at);
    }

    return false;
}

/* Whether what was read there, or may have been, is a not-detected: a word that a person explained.
 */
static bool read_as_clean(const struct judged_month *now, const struct aside_answer *answer)
{
    const struct evidence *evidence = &now->loaded.evidence;

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if ((answer->station && !str_equal(answer->station, series->station)) ||
            (answer->parameter && !str_equal(answer->parameter, series->parameter)))
            continue;
        for (size_t j = 0; j < series->count; j++)
            if (series->readings[j].qualifier == QUALIFIER_NOT_DETECTED &&
                (answer->at == INSTANT_NONE || answer->at == series->readings[j].at))
                return true;
    }

    return false;
}

/* Whether the row's own number is among what is judged now. */
static bool stands_as_number(const struct judged_month *now, const struct aside_answer *answer)
{
    return str_equal(answer->answer, "accepted") && !answer->typed && !read_as_clean(now, answer);
}

bool moved_by_answer(struct arena *mem, const struct open_farm *farm,
                     const struct judged_month *now, const struct judged_month *first,
                     const struct aside_answer *answer, struct moved_limits *moved)
{
    const struct correction_view place = {.station = answer->station,
                                          .parameter = answer->parameter};

    for (size_t i = 0; i < now->verdicts.count && i < first->verdicts.count; i++) {
        const struct seen here = {now, &now->verdicts.items[i]};
        const struct seen there = {first, &first->verdicts.items[i]};

        bool inside = came_inside(&here, &there) || aside_day_moved(&here, &there, answer) ||
                      aside_moved(&here, &there, answer);

        if (!inside && (!was_open(&here, &there) || stands_as_number(now, answer)))
            continue;
        if (touches(mem, farm, here.verdict, &place))
            LIST_ADD(mem, moved, (struct moved_limit){here.verdict->limit->key, !inside});
    }

    return moved->count > 0;
}

/* Whether a value of the span was outside and no longer is. */
static bool span_moved(const struct seen *now, const struct seen *first, const char *parameter,
                       instant after, instant until)
{
    for (size_t i = 0; i < first->verdict->item_count; i++) {
        const struct verdict_item *item = &first->verdict->items[i];
        const struct evidence_series *series = series_of(first, item);
        instant at = series->readings[item->reading].at;
        bool own = str_equal(series->parameter, parameter) && at > after && at <= until;

        if (item->outside && (own || series->by) && !outside_at(now, series, at))
            return true;
    }

    return false;
}

bool moved_by_probe(struct arena *mem, const struct open_farm *farm, const struct judged_month *now,
                    const struct judged_month *first, const struct correction_view *place,
                    instant after, instant until, bool withdrawn, struct moved_limits *moved)
{
    for (size_t i = 0; i < now->verdicts.count && i < first->verdicts.count; i++) {
        const struct seen here = {now, &now->verdicts.items[i]};
        const struct seen there = {first, &first->verdicts.items[i]};
        bool any_day = false;

        if (place->station && !touches(mem, farm, here.verdict, place))
            continue;
        for (day_number day = there.verdict->from; day <= there.verdict->to; day++)
            any_day =
                any_day || (day_outside(there.verdict, day) && !day_outside(here.verdict, day));
        if (any_day || span_moved(&here, &there, place->parameter, after, until) ||
            came_inside(&here, &there))
            LIST_ADD(mem, moved, (struct moved_limit){here.verdict->limit->key, false});
        else if (withdrawn && was_open(&here, &there))
            LIST_ADD(mem, moved, (struct moved_limit){here.verdict->limit->key, true});
    }

    return moved->count > 0;
}

/* Of one clause: which of the values, days and standing are still to be explained. */
struct moved_clause {
    bool standing;
    bool open; /* it was not assessable */
    bool *items;
    bool *days;
};

struct moved_things {
    const struct judged_month *first;
    struct moved_clause *clauses; /* beside its verdicts */
    size_t count;
};

struct moved_things *moved_things_of(struct arena *mem, const struct judged_month *now,
                                     const struct judged_month *first)
{
    struct moved_things *things = ARENA_NEW(mem, struct moved_things);

    things->first = first;
    things->count =
        now->verdicts.count < first->verdicts.count ? now->verdicts.count : first->verdicts.count;
    things->clauses = ARENA_ARRAY(mem, struct moved_clause, things->count);
    for (size_t i = 0; i < things->count; i++) {
        const struct seen here = {now, &now->verdicts.items[i]};
        const struct seen there = {first, &first->verdicts.items[i]};
        const struct verdict *verdict = there.verdict;
        struct moved_clause *clause = &things->clauses[i];

        clause->standing = came_inside(&here, &there);
        clause->open = was_open(&here, &there);
        clause->items = ARENA_ARRAY(mem, bool, verdict->item_count);
        clause->days = ARENA_ARRAY(mem, bool, verdict->day_count);
        for (size_t j = 0; j < verdict->item_count; j++) {
            const struct evidence_series *series = series_of(&there, &verdict->items[j]);

            clause->items[j] =
                verdict->items[j].outside &&
                !outside_at(&here, series, series->readings[verdict->items[j].reading].at);
        }
        for (size_t j = 0; j < verdict->day_count; j++)
            clause->days[j] =
                verdict->days[j].outside && !day_outside(here.verdict, verdict->days[j].day);
    }

    return things;
}

void moved_things_explain(struct moved_things *things, const struct judged_month *alone)
{
    for (size_t i = 0; i < things->count && i < alone->verdicts.count; i++) {
        const struct seen there = {things->first, &things->first->verdicts.items[i]};
        const struct seen one = {alone, &alone->verdicts.items[i]};
        struct moved_clause *clause = &things->clauses[i];

        if (one.verdict->standing == STANDING_OUTSIDE)
            clause->standing = false;
        if (one.verdict->standing == STANDING_OUTSIDE ||
            one.verdict->standing == STANDING_NOT_ASSESSABLE)
            clause->open = false;
        for (size_t j = 0; j < there.verdict->item_count; j++) {
            const struct verdict_item *item = &there.verdict->items[j];
            const struct evidence_series *series = series_of(&there, item);

            if (clause->items[j] && outside_at(&one, series, series->readings[item->reading].at))
                clause->items[j] = false;
        }
        for (size_t j = 0; j < there.verdict->day_count; j++) {
            if (clause->days[j] && day_outside(one.verdict, there.verdict->days[j].day))
                clause->days[j] = false;
        }
    }
}

bool moved_things_explained(const struct moved_things *things, const struct moved_limit *moved)
{
    for (size_t i = 0; i < things->count; i++) {
        const struct verdict *verdict = &things->first->verdicts.items[i];
        const struct moved_clause *clause = &things->clauses[i];
        bool left = moved->was_open ? clause->open : clause->standing;

        if (!str_equal(verdict->limit->key, moved->key))
            continue;
        for (size_t j = 0; !moved->was_open && j < verdict->item_count; j++)
            left = left || clause->items[j];
        for (size_t j = 0; !moved->was_open && j < verdict->day_count; j++)
            left = left || clause->days[j];
        if (left)
            return false;
    }

    return true;
}
