#include "derive/derive.h"

#include <stdlib.h>
#include <string.h>

#include "base/str.h"
#include "judge/converter.h"
#include "judge/limit.h"
#include "judge/partner.h"

/* One derivation on its way through the readings of its first input. */
struct deriving {
    struct arena *mem;
    const struct derivation *derivation;
    const struct derived_by *by;
    const struct evidence *evidence;
    struct partner_source partners[EQUATION_INPUTS_MOST];
    struct converter lead;
    struct converter made; /* from the equation's unit to that of what is made */
    struct {
        struct evidence_reading *items;
        size_t count;
        size_t capacity;
    } readings;
    struct {
        struct evidence_set_aside *items;
        size_t count;
        size_t capacity;
    } not_given;
};

/* What one working out has gathered. */
struct gathered {
    struct equation_call call;
    bool lacks;     /* something that goes in was not read */
    char qualifier; /* of the result so far: '=', '<' or '>' */
    const char *doubt;
    struct derived_input *inputs;
    size_t count;
};

static const struct derivation_place *lead_place(const struct derivation *derivation)
{
    return &derivation->inputs[derivation->lead];
}

static bool fail(struct deriving *deriving, const char **why, const char *words)
{
    *why = arena_printf(deriving->mem, "%s not given: %s",
                        deriving->derivation->made.parameter->key, words);

    return false;
}

/* "temperature at intake" */
static const char *place_words(struct deriving *deriving, size_t input)
{
    const struct derivation_place *place = &deriving->derivation->inputs[input];

    return arena_printf(deriving->mem, "%s at %s%s%s", place->parameter->key, place->station,
                        place->position ? ", " : "", place->position ? place->position : "");
}

/* --- what goes in ---------------------------------------------------------------------------- */

/* A less-than or greater-than bounds the result where the equation goes one way with it. */
static bool qualify(struct deriving *deriving, struct gathered *gathered, size_t input,
                    char qualifier, const char **why)
{
    enum direction way = deriving->derivation->equation->inputs[input].direction;
    char bounds = qualifier;

    if (qualifier == QUALIFIER_NONE)
        return true;
    if (way == NOT_ONE_WAY)
        return fail(deriving, why,
                    arena_printf(deriving->mem,
                                 "%s is a %s-than, and the result does not go one way with it",
                                 place_words(deriving, input),
                                 qualifier == QUALIFIER_LESS ? "less" : "greater"));
    if (way == FALLS)
        bounds = qualifier == QUALIFIER_LESS ? QUALIFIER_GREATER : QUALIFIER_LESS;
    if (gathered->qualifier != QUALIFIER_NONE && gathered->qualifier != bounds)
        return fail(deriving, why, "what goes in bounds it from neither side");
    gathered->qualifier = bounds;

    return true;
}

static void add_input(struct deriving *deriving, struct gathered *gathered, size_t input,
                      const struct evidence_series *series, const struct evidence_reading *reading,
                      const struct exact *value)
{
    const struct derivation_place *place = &deriving->derivation->inputs[input];

    gathered->call.exact[input] = value;
    gathered->call.number[input] = exact_double(value);
    gathered->inputs[gathered->count++] =
        (struct derived_input){.as = deriving->derivation->equation->inputs[input].as,
                               .station = place->station,
                               .parameter = place->parameter->key,
                               .unit = reading->unit,
                               .value = reading->reported,
                               .shown = series->by ? reading->first_reported : reading->reported,
                               .at = reading->at,
                               .until = reading->until,
                               .qualifier = reading->qualifier,
                               .doubt = reading->doubt,
                               .by = series->by,
                               .inputs = reading->inputs,
                               .input_count = reading->input_count,
                               .origin = reading->origin};
    if (reading->doubt && !gathered->doubt)
        gathered->doubt = arena_printf(deriving->mem, "worked out from %s, which is in doubt: %s",
                                       place_words(deriving, input), reading->doubt);
}

static bool add_lead(struct deriving *deriving, struct gathered *gathered,
                     const struct evidence_series *series, const struct evidence_reading *reading,
                     const char **why)
{
    size_t input = (size_t)deriving->derivation->lead;
    struct amount value;

    if (reading->qualifier == QUALIFIER_NOT_DETECTED)
        return fail(deriving, why,
                    arena_printf(deriving->mem, "%s was not detected, and no limit is told",
                                 place_words(deriving, input)));
    if (!converter_apply(deriving->mem, &deriving->lead, reading->unit, reading->reported, &value,
                         NULL)) {
        gathered->lacks = true;
        return fail(deriving, why,
                    arena_printf(deriving->mem, "the unit of %s does not convert",
                                 place_words(deriving, input)));
    }
    add_input(deriving, gathered, input, series, reading, amount_exact(deriving->mem, value));

    return qualify(deriving, gathered, input, reading->qualifier, why);
}

/* Whether the partner was itself not worked out, though all that goes into it was read. */
static bool partner_was_read(const struct deriving *deriving, size_t input, instant at)
{
    const struct derivation_place *place = &deriving->derivation->inputs[input];
    const struct evidence *evidence = deriving->evidence;

    for (size_t i = 0; i < evidence->set_aside_count; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[i];

        if (row->all_read && str_equal(row->station, place->station) &&
            str_equal(row->parameter, place->parameter->key) && row->at != INSTANT_NONE &&
            llabs(row->at - at) <= deriving->derivation->within_s * SECOND_US)
            return true;
    }

    return false;
}

static bool add_partner(struct deriving *deriving, struct gathered *gathered, size_t input,
                        const struct evidence_reading *lead, const char **why)
{
    int within_s = deriving->derivation->within_s;
    struct partner partner;

    if (!partner_nearest(deriving->mem, &deriving->partners[input], lead->at, lead->until, within_s,
                         true, &partner)) {
        gathered->lacks = !partner_was_read(deriving, input, lead->at);
        return fail(deriving, why,
                    arena_printf(deriving->mem, "no %s within %s of it",
                                 place_words(deriving, input),
                                 partner_apart_words(deriving->mem, within_s)));
    }
    if (!partner.has_value) {
        gathered->lacks = partner.qualifier != QUALIFIER_NOT_DETECTED;
        return fail(deriving, why,
                    arena_printf(deriving->mem, "%s has no number that can be used",
                                 place_words(deriving, input)));
    }

    const struct evidence_series *series = &deriving->evidence->series[partner.series];

    add_input(deriving, gathered, input, series, &series->readings[partner.reading],
              amount_exact(deriving->mem, partner.value));

    return qualify(deriving, gathered, input, partner.qualifier, why);
}

static bool gather(struct deriving *deriving, const struct evidence_series *series,
                   const struct evidence_reading *lead, struct gathered *gathered, const char **why)
{
    const struct derivation *derivation = deriving->derivation;

    *gathered = (struct gathered){
        .call = derivation_call(deriving->mem, derivation),
        .qualifier = QUALIFIER_NONE,
        .inputs = ARENA_ARRAY(deriving->mem, struct derived_input, EQUATION_INPUTS_MOST)};
    gathered->call.span_us = lead->until - lead->at;
    if (!add_lead(deriving, gathered, series, lead, why))
        return false;
    for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++) {
        if (derivation->inputs[i].parameter && (int)i != derivation->lead &&
            !add_partner(deriving, gathered, i, lead, why))
            return false;
    }

    return true;
}

/* --- what comes out -------------------------------------------------------------------------- */

/* What an equation gives, in the unit of what is made. */
struct given {
    struct decimal judged; /* every figure of it */
    struct decimal shown;  /* those that the equation is good for */
};

static bool in_digits(struct deriving *deriving, const struct exact *made, int figures,
                      struct decimal *out)
{
    const struct rounding rounding = {ROUND_HALF_UP, ROUND_TO_FIGURES, figures};
    const struct exact *rounded = exact_round(deriving->mem, made, rounding);

    return decimal_parse(exact_text(deriving->mem, rounded, DECIMAL_DIGITS_MOST), out);
}

static bool work_out(struct deriving *deriving, const struct gathered *gathered, struct given *out,
                     const char **why)
{
    const struct unit_conversion *conversion = &deriving->made.conversion;
    const struct exact *value = NULL;
    struct err err = ERR_INIT;

    if (!deriving->derivation->equation->work_out(&gathered->call, &value, &err))
        return fail(deriving, why, err.text);
    if (!conversion->is_same)
        value = unit_apply(deriving->mem, conversion, value);
    if (!in_digits(deriving, value, EQUATION_FIGURES_MOST, &out->judged) ||
        !in_digits(deriving, value, deriving->derivation->equation->figures, &out->shown))
        return fail(deriving, why, "the figure has more digits than are kept");

    return true;
}

static struct evidence_reading reading_of(const struct deriving *deriving,
                                          const struct evidence_reading *lead,
                                          const struct gathered *gathered,
                                          const struct given *given)
{
    return (struct evidence_reading){.at = lead->at,
                                     .until = lead->until,
                                     .qualifier = gathered->qualifier,
                                     .reported = given->judged,
                                     .unit = deriving->derivation->unit,
                                     .doubt = gathered->doubt,
                                     .counts = lead->counts,
                                     .sample = lead->sample,
                                     .replicate = lead->replicate,
                                     .taken_by = lead->taken_by,
                                     .looks_for_cause = lead->looks_for_cause,
                                     .inputs = gathered->inputs,
                                     .input_count = gathered->count,
                                     .origin = lead->origin,
                                     .first_qualifier = gathered->qualifier,
                                     .first_reported = given->shown,
                                     .first_unit = deriving->derivation->unit};
}

/* `row` has what is known of it: when, whence, why. */
static void add_not_given(struct deriving *deriving, struct evidence_set_aside row)
{
    const struct derivation_place *made = &deriving->derivation->made;

    row.station = made->station;
    row.parameter = made->parameter->key;
    row.qualifier = QUALIFIER_NONE;
    row.kind = KIND_DERIVED;
    row.by = deriving->by;
    LIST_ADD(deriving->mem, &deriving->not_given, row);
}

static void derive_one(struct deriving *deriving, const struct evidence_series *series,
                       const struct evidence_reading *lead)
{
    struct gathered gathered;
    struct given given;
    const char *why = NULL;

    if (lead->left_out)
        return;
    if (gather(deriving, series, lead, &gathered, &why) &&
        work_out(deriving, &gathered, &given, &why)) {
        LIST_ADD(deriving->mem, &deriving->readings, reading_of(deriving, lead, &gathered, &given));
        return;
    }
    /* What would not count either way leaves no gap. */
    if (lead->counts)
        add_not_given(deriving, (struct evidence_set_aside){
                                    .at = lead->at,
                                    .reason = why,
                                    .from_probe = series->kind == KIND_PROBE ||
                                                  (series->kind == KIND_DERIVED && !lead->sample),
                                    .all_read = !gathered.lacks,
                                    .inputs = gathered.inputs,
                                    .input_count = gathered.count,
                                    .origin = lead->origin});
}

/* --- all readings ---------------------------------------------------------------------------- */

static struct deriving deriving_of(struct arena *mem, const struct derivation *derivation,
                                   const struct evidence *evidence)
{
    struct deriving deriving = {
        .mem = mem,
        .derivation = derivation,
        .by = derivation_by(mem, derivation),
        .evidence = evidence,
        .lead = converter_to(evidence->units, lead_place(derivation)->parameter,
                             derivation->input_units[derivation->lead]),
        .made = converter_to(evidence->units, derivation->made.parameter, derivation->unit)};
    struct amount ignored;

    /* The converter learns the way with the first value. */
    (void)converter_apply(mem, &deriving.made, derivation->equation_unit, (struct decimal){1, 0},
                          &ignored, NULL);
    for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++) {
        const struct derivation_place *place = &derivation->inputs[i];
        const struct limit_place at = {place->station, place->position};

        if (place->parameter && (int)i != derivation->lead)
            deriving.partners[i] = partner_source_of(mem, evidence, &at, place->parameter->key,
                                                     derivation->input_units[i]);
    }

    return deriving;
}

static bool is_lead(const struct derivation *derivation, const struct evidence_series *series)
{
    const struct derivation_place *place = lead_place(derivation);

    return str_equal(series->station, place->station) &&
           str_equal(series->parameter, place->parameter->key) &&
           (!place->position || str_equal(series->position, place->position));
}

static struct evidence_series series_of(struct deriving *deriving,
                                        const struct evidence_series *lead)
{
    const struct derivation *derivation = deriving->derivation;

    deriving->readings.items = NULL;
    deriving->readings.count = deriving->readings.capacity = 0;
    for (size_t i = 0; i < lead->count; i++)
        derive_one(deriving, lead, &lead->readings[i]);

    return (struct evidence_series){.station = derivation->made.station,
                                    .position = derivation->made.position,
                                    .parameter = derivation->made.parameter->key,
                                    .method = derivation->equation->word,
                                    .made_by = lead->made_by,
                                    .kind = KIND_DERIVED,
                                    .by = deriving->by,
                                    .readings = deriving->readings.items,
                                    .count = deriving->readings.count};
}

/* Whether rows of its kind are read there at all: a laboratory's sheet is no row of a probe. */
static bool kind_is_read(const struct deriving *deriving, const struct evidence_set_aside *row)
{
    const struct evidence *evidence = deriving->evidence;
    bool any = false;

    for (size_t i = 0; i < evidence->series_count; i++) {
        if (!is_lead(deriving->derivation, &evidence->series[i]))
            continue;
        if ((evidence->series[i].kind == KIND_PROBE) == row->from_probe)
            return true;
        any = true;
    }

    return !any;
}

/* Whether a row can be of the first input, by all that is known of it. */
static bool could_be_lead(const struct deriving *deriving, const struct evidence_set_aside *row)
{
    const struct derivation_place *place = lead_place(deriving->derivation);

    if (row->station && !str_equal(row->station, place->station))
        return false;
    if (row->parameter)
        return str_equal(row->parameter, place->parameter->key);

    return (!row->unit || parameter_allows_unit(place->parameter, row->unit)) &&
           kind_is_read(deriving, row);
}

/* A row that was set aside and could be the first input leaves a hole in what is derived too. */
static void holes(struct deriving *deriving)
{
    const struct evidence *evidence = deriving->evidence;

    for (size_t i = 0; i < evidence->set_aside_count; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[i];
        const char *why = NULL;

        if (!could_be_lead(deriving, row))
            continue;
        (void)fail(deriving, &why,
                   row->kind == KIND_DERIVED
                       ? row->reason
                       : arena_printf(deriving->mem,
                                      row->parameter && row->station
                                          ? "%s was set aside: %s"
                                          : "a row set aside could be %s: %s",
                                      place_words(deriving, (size_t)deriving->derivation->lead),
                                      row->reason ? row->reason : "unreadable"));
        add_not_given(deriving, (struct evidence_set_aside){.at = row->at,
                                                            .reason = why,
                                                            .from_probe = row->from_probe,
                                                            .all_read = row->all_read,
                                                            .origin = row->origin});
    }
}

struct derived derive(struct arena *mem, const struct derivation *derivation,
                      const struct evidence *evidence)
{
    struct deriving deriving = deriving_of(mem, derivation, evidence);
    struct derived derived = {.series =
                                  ARENA_ARRAY(mem, struct evidence_series, evidence->series_count)};

    for (size_t i = 0; i < evidence->series_count; i++) {
        if (is_lead(derivation, &evidence->series[i]))
            derived.series[derived.count++] = series_of(&deriving, &evidence->series[i]);
    }
    holes(&deriving);
    derived.not_given = deriving.not_given.items;
    derived.not_given_count = deriving.not_given.count;

    return derived;
}

/* One list after another, as a new one. */
static void *joined(struct arena *mem, const void *a, size_t a_count, const void *b, size_t b_count,
                    size_t size)
{
    char *list = arena_alloc(mem, (a_count + b_count) * size + 1);

    if (a_count > 0)
        memcpy(list, a, a_count * size);
    if (b_count > 0)
        memcpy(list + a_count * size, b, b_count * size);

    return list;
}

struct evidence derive_all(struct arena *mem, const struct derivation *const *derivations,
                           size_t count, const struct evidence *evidence)
{
    struct evidence all = *evidence;

    for (size_t i = 0; i < count; i++) {
        struct derived derived = derive(mem, derivations[i], &all);

        all.series = joined(mem, all.series, all.series_count, derived.series, derived.count,
                            sizeof(*all.series));
        all.series_count += derived.count;
        all.set_aside = joined(mem, all.set_aside, all.set_aside_count, derived.not_given,
                               derived.not_given_count, sizeof(*all.set_aside));
        all.set_aside_count += derived.not_given_count;
    }

    return all;
}
