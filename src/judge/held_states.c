#include "judge/held_states.h"

#include "base/str.h"
#include "judge/accepts.h"
#include "judge/bound_by.h"
#include "judge/gather.h"
#include "judge/set_aside.h"
#include "judge/stand_in.h"

/* A word on record at a place. */
struct word {
    int series; /* NO_INDEX: there is none */
    size_t reading;
    instant at;
    const char *state;
    const char *doubt; /* NULL: it is sound */
};

/* One stretch of time in judged days in which the clause applied, or may have. */
struct stretch {
    instant from;
    instant until;
    size_t day; /* in which it begins */
    bool not_told;
};

/* Whether the clause is about a state that goes on until the next word, at some times only. */
static bool asks_held(const struct judgement *judgement)
{
    return judgement->limit->bound_by.kind == BOUND_STATE && judgement->applies &&
           judgement->parameter && !parameter_state(judgement->parameter, "seen");
}

/* A word as the clause takes it; false: it counts for nothing. */
static bool word_of(const struct judgement *judgement, size_t series, size_t reading,
                    struct word *out)
{
    const struct evidence *evidence = judgement->evidence;
    const struct evidence_series *of = &evidence->series[series];
    const struct evidence_reading *word = &of->readings[reading];
    struct acceptance all = accepts_series(judgement->mem, judgement->limit, of);
    struct acceptance own = accepts_reading(judgement->mem, judgement->limit, evidence, of, word);

    if (word->left_out || !word->counts || all.why_not || own.why_not)
        return false;
    *out = (struct word){.series = (int)series,
                         .reading = reading,
                         .at = word->at,
                         .state = word->unit,
                         .doubt = word->doubt ? word->doubt
                                  : all.doubt ? all.doubt
                                              : own.doubt};

    return true;
}

/* The newest word of a place before an instant, of all of its series. */
static struct word newest_before(const struct judgement *judgement, size_t place, instant at,
                                 bool sound)
{
    struct word newest = {.series = NO_INDEX};

    for (size_t i = 0; i < judgement->evidence->series_count; i++) {
        const struct evidence_series *series = &judgement->evidence->series[i];
        struct word word;

        if (gather_place_of(judgement, series) != (int)place)
            continue;
        for (size_t k = gather_first_from(series, at); k-- > 0;) {
            if (!word_of(judgement, i, k, &word) || (sound && word.doubt))
                continue;
            if (newest.series == NO_INDEX || word.at > newest.at)
                newest = word;
            break;
        }
    }

    return newest;
}

/* The first sound word of a place from an instant on; INSTANT_NONE: none. */
static instant next_from(const struct judgement *judgement, size_t place, instant at)
{
    instant next = INSTANT_NONE;

    for (size_t i = 0; i < judgement->evidence->series_count; i++) {
        const struct evidence_series *series = &judgement->evidence->series[i];
        struct word word;

        if (gather_place_of(judgement, series) != (int)place)
            continue;
        for (size_t k = gather_first_from(series, at); k < series->count; k++) {
            if (!word_of(judgement, i, k, &word) || word.doubt)
                continue;
            if (next == INSTANT_NONE || word.at < next)
                next = word.at;
            break;
        }
    }

    return next;
}

/* How long a word holds at most; INSTANT_NONE: on and on. */
static instant holds_until(const struct judgement *judgement, const struct word *word)
{
    int holds_s = judgement->evidence->state_holds_s;

    return holds_s == 0 ? INSTANT_NONE : word->at + (int64_t)holds_s * SECOND_US;
}

/* The first instant of a stretch at which the state is not known; INSTANT_NONE: it always is. */
static instant first_unknown(const struct judgement *judgement, size_t place,
                             const struct stretch *stretch)
{
    instant at = stretch->from;

    while (at < stretch->until) {
        struct word word = newest_before(judgement, place, at + 1, true);
        instant next = next_from(judgement, place, at + 1);
        instant end = word.series == NO_INDEX ? at : holds_until(judgement, &word);

        if (word.series != NO_INDEX && end == INSTANT_NONE)
            return INSTANT_NONE;
        if (word.series == NO_INDEX || end < at)
            return at;
        if (next == INSTANT_NONE || next > end)
            return end < stretch->until ? end : INSTANT_NONE;
        at = next;
    }

    return INSTANT_NONE;
}

/* The word as a reading at the beginning of the stretch. */
static void add_word(struct judgement *judgement, size_t place, const struct stretch *stretch,
                     const struct word *word)
{
    struct use use = {
        .series = word->series,
        .reading = word->reading,
        .at = stretch->from,
        .until = stretch->from,
        .day = (int)stretch->day,
        .qualifier = QUALIFIER_NONE,
        .has_value = true,
        .held = true,
        .value = bound_by_state(judgement->limit, word->state),
        .trust = word->doubt ? TRUST_IN_DOUBT : TRUST_SOUND,
        .doubt = word->doubt,
        .place = place,
    };

    if (stretch->not_told && amount_sign(use.value) == 0)
        return;
    if (stretch->not_told) {
        use.not_applying = use.cannot_tell = true;
        use.why_not = "it can't be told whether the clause applied while the state held";
    }
    LIST_ADD(judgement->mem, judgement, use);
}

/* What held as the stretch began: the newest word, and if that is in doubt the newest sound one. */
static void add_held(struct judgement *judgement, size_t place, const struct stretch *stretch)
{
    /* A word of that very instant is a reading like any other. */
    if (next_from(judgement, place, stretch->from) == stretch->from)
        return;
    for (int sound = 0; sound <= 1; sound++) {
        struct word word = newest_before(judgement, place, stretch->from, sound != 0);
        instant end = word.series == NO_INDEX ? INSTANT_NONE : holds_until(judgement, &word);

        if (word.series == NO_INDEX || (end != INSTANT_NONE && end < stretch->from))
            continue;
        add_word(judgement, place, stretch, &word);
        if (!word.doubt)
            return;
    }
}

/* A row set aside that may be a newer word than the sound one that held as the stretch began. */
static bool may_be_newer(const struct judgement *judgement, size_t place,
                         const struct stretch *stretch, const struct evidence_set_aside *row)
{
    struct word sound = newest_before(judgement, place, stretch->from + 1, true);
    int holds_s = judgement->evidence->state_holds_s;

    return row->at != INSTANT_NONE && row->at < stretch->from &&
           (sound.series == NO_INDEX || row->at >= sound.at) &&
           (holds_s == 0 || stretch->from - row->at <= (int64_t)holds_s * SECOND_US);
}

/* What rows set aside may say of the state as the stretch began. */
static void add_rows(struct judgement *judgement, size_t place, const struct stretch *stretch)
{
    const struct evidence *evidence = judgement->evidence;
    const char *station = judgement->places[place].place.station;

    for (size_t i = 0; i < evidence->set_aside_count; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[i];

        if (!stand_in_fits(row, station, judgement->limit->parameter) ||
            !set_aside_kind_fits(judgement->limit, row) ||
            !may_be_newer(judgement, place, stretch, row))
            continue;
        if (row->unit && parameter_state(judgement->parameter, row->unit)) {
            const struct word word = {NO_INDEX, i, row->at, row->unit, "set aside"};

            add_word(judgement, place, stretch, &word);
        } else if (!judgement->cannot_tell &&
                   stretch->from >= judgement->days[judgement->first_asked].start) {
            judgement->cannot_tell = arena_printf(
                judgement->mem,
                "a row set aside may say how '%s' at %s was at %s, while the clause applied",
                judgement->limit->parameter, station,
                zone_text(judgement->mem, evidence->zone, stretch->from));
        }
    }
}

static void look(struct judgement *judgement, const struct stretch *stretch)
{
    instant asked = judgement->days[judgement->first_asked].start;

    for (size_t place = 0; place < judgement->place_count; place++) {
        add_held(judgement, place, stretch);
        add_rows(judgement, place, stretch);

        instant unknown = first_unknown(judgement, place, stretch);

        if (unknown == INSTANT_NONE || judgement->cannot_tell || stretch->from < asked)
            continue;
        judgement->cannot_tell = arena_printf(
            judgement->mem, "the state of '%s' at %s was not known at %s, while the clause applied",
            judgement->limit->parameter, judgement->places[place].place.station,
            zone_text(judgement->mem, judgement->evidence->zone, unknown));
    }
}

static instant earlier(instant a, instant b)
{
    return a < b ? a : b;
}

/* The parts of a span in judged days, of which those that follow each other are one stretch. */
static void look_in_span(struct judgement *judgement, const struct applies_span *span)
{
    struct stretch stretch = {.from = INSTANT_NONE, .not_told = span->answer == APPLIES_NOT_TOLD};

    for (size_t i = 0; i < judgement->day_count; i++) {
        const struct judged_day *day = &judgement->days[i];
        instant from = day->start > span->from ? day->start : span->from;
        instant until = earlier(earlier(day->end, span->until), judgement->evidence->now);

        if (from >= until || day->why_not) {
            if (stretch.from != INSTANT_NONE)
                look(judgement, &stretch);
            stretch.from = INSTANT_NONE;
            continue;
        }
        if (stretch.from == INSTANT_NONE) {
            stretch.from = from;
            stretch.day = i;
        }
        stretch.until = until;
    }
    if (stretch.from != INSTANT_NONE)
        look(judgement, &stretch);
}

void held_states_add(struct judgement *judgement)
{
    if (!asks_held(judgement))
        return;
    for (size_t i = 0; i < judgement->applies->count; i++)
        if (judgement->applies->items[i].answer != APPLIES_NO)
            look_in_span(judgement, &judgement->applies->items[i]);
}
