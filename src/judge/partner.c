#include "judge/partner.h"

#include "base/str.h"
#include "judge/gather.h"

static bool is_of(const struct evidence_series *series, const struct limit_place *place,
                  const char *parameter)
{
    return str_equal(series->station, place->station) && str_equal(series->parameter, parameter) &&
           (!place->position || str_equal(series->position, place->position));
}

static int64_t longest_of(const struct evidence_series *series, int64_t longest)
{
    for (size_t i = 0; i < series->count; i++) {
        int64_t span = series->readings[i].until - series->readings[i].at;

        longest = span > longest ? span : longest;
    }

    return longest;
}

struct partner_source partner_source_of(struct arena *mem, const struct evidence *evidence,
                                        const struct limit_place *place, const char *parameter,
                                        const char *unit)
{
    struct partner_source source = {
        .evidence = evidence,
        .converter =
            converter_to(evidence->units, parameter_find(evidence->parameters, parameter), unit),
        .series = ARENA_ARRAY(mem, size_t, evidence->series_count),
    };

    struct converter converter = source.converter;

    source.rows = stand_ins_of(mem, evidence, place->station, parameter, &converter);
    for (size_t i = 0; i < evidence->series_count; i++) {
        if (!is_of(&evidence->series[i], place, parameter))
            continue;
        source.series[source.count++] = i;
        source.longest_us = longest_of(&evidence->series[i], source.longest_us);
    }

    return source;
}

static bool may_be_partner(const struct evidence_reading *reading)
{
    return !reading->left_out && reading->counts;
}

/* How far a reading is from a span. */
static int64_t apart_us(const struct evidence_reading *reading, instant from, instant until)
{
    if (reading->until < from)
        return from - reading->until;

    return reading->at > until ? reading->at - until : 0;
}

static struct partner partner_of(struct arena *mem, struct partner_source *source, size_t series,
                                 size_t index)
{
    const struct evidence_reading *reading = &source->evidence->series[series].readings[index];
    struct partner partner = {.series = (int)series,
                              .reading = index,
                              .at = reading->at,
                              .qualifier = reading->qualifier,
                              .doubt = reading->doubt};

    partner.has_value = reading->qualifier != QUALIFIER_NOT_DETECTED &&
                        converter_apply(mem, &source->converter, reading->unit, reading->reported,
                                        &partner.value, NULL);

    return partner;
}

/* Of one instant: a number before none, and the lower one. */
static bool value_before(struct arena *mem, const struct partner *a, const struct partner *b)
{
    if (!a->has_value || !b->has_value)
        return a->has_value && !b->has_value;

    int order = amount_compare(mem, a->value, b->value);

    return order != 0 ? order < 0 : a->qualifier < b->qualifier;
}

/* A candidate and how near it is. */
struct candidate {
    bool found;
    int64_t apart_us;
    struct partner partner;
};

static bool nearer(struct arena *mem, const struct candidate *a, const struct candidate *b)
{
    if (!b->found)
        return true;
    if (!a->partner.doubt != !b->partner.doubt)
        return !a->partner.doubt;
    if (a->apart_us != b->apart_us)
        return a->apart_us < b->apart_us;
    if (a->partner.at != b->partner.at)
        return a->partner.at < b->partner.at;

    return value_before(mem, &a->partner, &b->partner);
}

bool partner_nearest(struct arena *mem, struct partner_source *source, instant from, instant until,
                     int within_s, bool with_doubt, struct partner *out)
{
    int64_t within_us = (int64_t)within_s * SECOND_US;
    struct candidate best = {.found = false};

    for (size_t i = 0; i < source->count; i++) {
        const struct evidence_series *series = &source->evidence->series[source->series[i]];

        for (size_t k = gather_first_from(series, from - within_us - source->longest_us);
             k < series->count && series->readings[k].at <= until + within_us; k++) {
            const struct evidence_reading *reading = &series->readings[k];
            struct candidate candidate = {.found = true,
                                          .apart_us = apart_us(reading, from, until)};

            if (!may_be_partner(reading) || candidate.apart_us > within_us ||
                (reading->doubt && (!with_doubt || (best.found && !best.partner.doubt))))
                continue;
            if (best.found && !best.partner.doubt && candidate.apart_us > best.apart_us)
                continue;
            candidate.partner = partner_of(mem, source, source->series[i], k);
            if (nearer(mem, &candidate, &best))
                best = candidate;
        }
    }
    if (best.found)
        *out = best.partner;

    return best.found;
}

static bool newer(struct arena *mem, const struct partner *a, const struct partner *b)
{
    if (a->at != b->at)
        return a->at > b->at;
    if (!a->doubt != !b->doubt)
        return a->doubt != NULL;

    return value_before(mem, a, b);
}

bool partner_newest(struct arena *mem, struct partner_source *source, instant at, int within_s,
                    struct partner *out)
{
    int64_t within_us = (int64_t)within_s * SECOND_US;
    struct partner best;
    bool found = false;

    for (size_t i = 0; i < source->count; i++) {
        const struct evidence_series *series = &source->evidence->series[source->series[i]];
        size_t after = gather_first_from(series, at + 1);

        for (size_t k = after;
             k > 0 && series->readings[k - 1].at >= at - within_us - source->longest_us; k--) {
            const struct evidence_reading *reading = &series->readings[k - 1];

            if (found && reading->at < best.at)
                break;
            if (!may_be_partner(reading) || apart_us(reading, at, at) > within_us)
                continue;

            struct partner partner = partner_of(mem, source, source->series[i], k - 1);

            if (!found || newer(mem, &partner, &best))
                best = partner;
            found = true;
        }
    }
    if (found)
        *out = best;

    return found;
}

static struct partner_rows rows_between(const struct stand_in_list *rows, instant from,
                                        instant until)
{
    size_t timeless = stand_in_timeless(rows);
    size_t first = stand_in_first_from(rows, from);
    size_t after = stand_in_first_from(rows, until + 1);

    return (struct partner_rows){.timeless = timeless,
                                 .first = first < after ? first : timeless,
                                 .after = first < after ? after : timeless};
}

size_t partner_row_from(const struct partner_rows *rows, size_t index)
{
    if (index < rows->timeless || index >= rows->first)
        return index;

    return rows->first;
}

struct partner_rows partner_nearer_rows(const struct partner_source *source, instant from,
                                        instant until, int within_s, const struct partner *best)
{
    int64_t reach_us = (int64_t)within_s * SECOND_US;

    /* One in doubt gives way to any sound one that is within reach. */
    if (best && !best->doubt)
        reach_us =
            apart_us(&source->evidence->series[best->series].readings[best->reading], from, until);

    return rows_between(&source->rows, from - reach_us, until + reach_us);
}

struct partner_rows partner_newer_rows(const struct partner_source *source, instant at,
                                       int within_s, const struct partner *best)
{
    return rows_between(&source->rows, best ? best->at : at - (int64_t)within_s * SECOND_US, at);
}

char *partner_apart_words(struct arena *mem, int seconds)
{
    int minutes = seconds / 60;

    if (minutes % 60 == 0)
        return arena_printf(mem, "%d h", minutes / 60);
    if (minutes < 60)
        return arena_printf(mem, "%d min", minutes);

    return arena_printf(mem, "%d h %d min", minutes / 60, minutes % 60);
}
