/*
 * Asked: a derivation written in a few words, over the evidence of judge/given.h. Its readings are
 * at noon of 10 March 2026 at station "outfall" unless a test says otherwise.
 */
#ifndef DERIVE_ASKED_H
#define DERIVE_ASKED_H

#include <stdlib.h>

#include "derive/derive.h"
#include "judge/given.h"

enum { ASKED_MOST = 5 };

/* One reading that goes in: its parameter and place, and what was read. */
struct asked_input {
    const char *as;
    const char *parameter;
    const char *station;  /* NULL: "outfall" */
    const char *readings; /* as given_readings() takes them; a single number: at noon */
    const char *unit;
};

/* Parameters of the farm's own, beside those built in. */
static struct parameter asked_own[] = {
    {.key = "density",
     .name = "Density",
     .matrix = "water",
     .basis = "",
     .unit = "kg/m3",
     .units = {"kg/m3"}},
    {.key = "air", .name = "Air", .matrix = "water", .basis = "", .unit = "kPa", .units = {"kPa"}},
    {.key = "toxic",
     .name = "Un-ionised ammonia",
     .matrix = "water",
     .basis = "as N",
     .unit = "mg/L",
     .units = {"mg/L", "ug/L"}},
    {.key = "toxic-nh3",
     .name = "Un-ionised ammonia",
     .matrix = "water",
     .basis = "as NH3",
     .unit = "mg/L",
     .units = {"mg/L"}},
    {.key = "nitrate-ion",
     .name = "Nitrate",
     .matrix = "water",
     .basis = "as NO3",
     .unit = "mg/L",
     .units = {"mg/L"}},
    {.key = "rise",
     .name = "Rise",
     .matrix = "water",
     .basis = "",
     .unit = "degC rise",
     .units = {"degC rise"}},
    {.key = "share", .name = "Share", .matrix = "water", .basis = "", .unit = "%", .units = {"%"}},
    {.key = "load",
     .name = "Load",
     .matrix = "water",
     .basis = "",
     .unit = "kg/day",
     .units = {"kg/day", "lb/day"}},
};

static inline const struct parameter *asked_parameter(const char *key)
{
    static const struct parameter_list own = {asked_own, ARRAY_LEN(asked_own),
                                              ARRAY_LEN(asked_own)};
    const struct parameter *parameter = parameter_find(&own, key);

    if (!parameter)
        fail_msg("no parameter %s", key);

    return parameter;
}

/* "depth=0 pressure=sea_level": settings by name, with _ for blanks. */
static inline struct settings asked_settings(struct arena *mem, const char *text)
{
    struct settings settings = settings_none();
    char *copy = arena_strdup(mem, text ? text : "");
    char *rest = copy;

    for (char *word; (word = strtok_r(rest, " ", &rest));) {
        char *value = strchr(word, '=');
        char *end = NULL;
        int found = -1;

        *value++ = '\0';
        for (char *at = word; *at; at++)
            *at = *at == '_' ? ' ' : *at;
        for (char *at = value; *at; at++)
            *at = *at == '_' ? ' ' : *at;
        for (int i = 0; i < SETTING_COUNT; i++)
            if (strcmp(setting_name((enum setting)i), word) == 0)
                found = i;
        assert_true(found >= 0);

        double number = strtod(value, &end);

        if (*end == '\0')
            settings.number[found] = number;
        else
            settings.word[found] = value;
    }

    return settings;
}

static inline bool asked_make(struct given *given, const char *equation, const char *settings,
                              const struct asked_input *inputs, const char *made, const char *unit,
                              struct derivation *out, enum derivation_part *part, struct err *err)
{
    struct derivation_input_asked *list =
        ARENA_ARRAY(given->mem, struct derivation_input_asked, ASKED_MOST);
    size_t count = 0;

    for (; count < ASKED_MOST && inputs[count].parameter; count++)
        list[count] = (struct derivation_input_asked){
            inputs[count].as,
            {inputs[count].station ? inputs[count].station : "outfall", NULL,
             asked_parameter(inputs[count].parameter)}};

    const struct derivation_asked asked = {.key = "made",
                                           .equation = equation,
                                           .made = {"outfall", NULL, asked_parameter(made)},
                                           .unit = unit ? unit : asked_parameter(made)->unit,
                                           .inputs = list,
                                           .input_count = count,
                                           .within_s = 600,
                                           .settings = asked_settings(given->mem, settings)};

    return derivation_make(given->mem, given->units, &asked, out, part, err);
}

/* Put the readings of the inputs into the evidence; the derivation must be sound. */
static inline struct derivation *asked_given(struct given *given, const char *equation,
                                             const char *settings, const struct asked_input *inputs,
                                             const char *made, const char *unit)
{
    struct derivation *derivation = ARENA_NEW(given->mem, struct derivation);
    enum derivation_part part = PART_EQUATION;
    struct err err = ERR_INIT;

    given_again(given);
    if (!asked_make(given, equation, settings, inputs, made, unit, derivation, &part, &err))
        fail_msg("%s: %s", equation, err.text);
    for (size_t i = 0; i < ASKED_MOST && inputs[i].parameter; i++) {
        const char *readings = inputs[i].readings;

        if (!readings)
            continue;
        if (!strchr(readings, '/'))
            readings = arena_printf(given->mem, "10/12:00:%s", readings);
        given_readings(given,
                       given_series(given, inputs[i].station ? inputs[i].station : "outfall",
                                    inputs[i].parameter, KIND_PROBE),
                       readings, inputs[i].unit);
    }
    given->evidence.parameters = NULL;

    return derivation;
}

/* The one reading made, in the digits that are shown; or why it was not given. */
static inline const char *asked_words(struct given *given, const struct derivation *derivation)
{
    struct derived derived = derive(given->mem, derivation, &given->evidence);

    if (derived.not_given_count > 0)
        return derived.not_given[0].reason;
    if (derived.count == 0 || derived.series[0].count == 0)
        return "nothing";

    const struct evidence_reading *reading = &derived.series[0].readings[0];

    return arena_printf(given->mem, "%s%s",
                        reading->qualifier == QUALIFIER_NONE ? ""
                                                             : (char[]){reading->qualifier, '\0'},
                        decimal_text(given->mem, reading->first_reported));
}

#endif
