#include "judge/outlet_rows.h"

#include "base/str.h"
#include "judge/gather.h"
#include "judge/stand_in.h"

const char outlet_rows_doubt[] =
    "a row set aside of the outlet's record may say otherwise of the outlet";

/* Where the record of an outlet is kept. */
struct outlet_place {
    const char *station;
    const char *parameter;
};

static struct outlet_place place_of(const struct evidence *evidence)
{
    if (evidence->outlet_series < 0)
        return (struct outlet_place){evidence->outlet_station, evidence->outlet_parameter};

    const struct evidence_series *series = &evidence->series[evidence->outlet_series];

    return (struct outlet_place){series->station, series->parameter};
}

static bool is_sound_word(const struct evidence_reading *reading)
{
    return !reading->left_out && reading->counts && !reading->doubt;
}

/* The first sound word after an instant, of what a person stated or of the rest. */
static instant next_word(const struct evidence *evidence, const struct outlet_place *place,
                         bool by_hand, instant after)
{
    instant next = INT64_MAX;

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (!str_equal(series->station, place->station) ||
            !str_equal(series->parameter, place->parameter) ||
            ((series->kind & KIND_BY_HAND) != 0) != by_hand)
            continue;

        size_t at = gather_first_from(series, after + 1);

        while (at < series->count && !is_sound_word(&series->readings[at]))
            at++;
        if (at < series->count && series->readings[at].at < next)
            next = series->readings[at].at;
    }

    return next;
}

static bool has_record(const struct evidence *evidence, const struct outlet_place *place,
                       bool by_hand)
{
    return next_word(evidence, place, by_hand, INSTANT_NONE) != INT64_MAX;
}

/* The row may be of either record: it holds until both have said more. */
static instant held_until(const struct evidence *evidence, const struct outlet_place *place,
                          instant from)
{
    instant until = INSTANT_NONE;

    for (int by_hand = 0; by_hand <= 1; by_hand++) {
        instant next = next_word(evidence, place, by_hand != 0, from);

        if (has_record(evidence, place, by_hand != 0) && next > until)
            until = next;
    }
    if (until == INSTANT_NONE)
        until = INT64_MAX;

    instant oldest = from + (int64_t)evidence->state_holds_s * SECOND_US + 1;

    return evidence->state_holds_s > 0 && oldest < until ? oldest : until;
}

/* Whether what can be read of its value may be a word of the outlet at all. */
static bool may_be_word(const struct evidence_set_aside *row)
{
    return row->parameter || !row->has_value || str_equal_nocase(row->unit, "open") ||
           str_equal_nocase(row->unit, "shut");
}

struct outlet_rows outlet_rows_of(struct arena *mem, const struct evidence *evidence)
{
    struct outlet_place place = place_of(evidence);
    struct outlet_rows rows = {0};

    for (size_t i = 0; place.station && place.parameter && i < evidence->set_aside_count; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[i];
        bool open = row->unit && str_equal_nocase(row->unit, "open");
        bool shut = row->unit && str_equal_nocase(row->unit, "shut");
        bool timeless = row->at == INSTANT_NONE;

        if (!stand_in_fits(row, place.station, place.parameter) || !may_be_word(row))
            continue;
        LIST_ADD(mem, &rows,
                 ((struct outlet_row){
                     .row = i,
                     .from = row->at,
                     .until = timeless ? INT64_MAX : held_until(evidence, &place, row->at),
                     .may_open = !shut,
                     .may_shut = !open,
                 }));
    }

    return rows;
}

bool outlet_rows_may_turn(const struct outlet_rows *rows, instant at, bool shut)
{
    for (size_t i = 0; i < rows->count; i++) {
        const struct outlet_row *row = &rows->items[i];

        if (row->from <= at && at < row->until && (shut ? row->may_open : row->may_shut))
            return true;
    }

    return false;
}

bool outlet_rows_reach(const struct outlet_rows *rows, instant from, instant until, bool open)
{
    for (size_t i = 0; i < rows->count; i++) {
        const struct outlet_row *row = &rows->items[i];

        if (row->from < until && row->until > from && (open ? row->may_open : row->may_shut))
            return true;
    }

    return false;
}
