#include "derive/derivation.h"

#include <math.h>

#include "base/buf.h"
#include "base/str.h"

/* What is being made, and of what. */
struct making {
    struct arena *mem;
    const struct units *units;
    const struct derivation_asked *asked;
    struct derivation *out;
};

struct equation_call derivation_call(struct arena *mem, const struct derivation *derivation)
{
    const struct parameter *first = derivation->inputs[0].parameter;
    struct equation_call call = {.mem = mem,
                                 .settings = &derivation->settings,
                                 .from_basis = first ? first->basis : "",
                                 .made_basis = derivation->made.parameter->basis};

    for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++)
        call.number[i] = NAN;

    return call;
}

/* A setting's number or word; NULL: not told. */
static const char *setting_text(struct arena *mem, const struct settings *settings,
                                enum setting setting)
{
    if (settings->word[setting])
        return settings->word[setting];
    if (isnan(settings->number[setting]))
        return NULL;

    return arena_printf(mem, "%.15g", settings->number[setting]);
}

const struct derived_by *derivation_by(struct arena *mem, const struct derivation *derivation)
{
    struct derived_setting *settings = ARENA_ARRAY(mem, struct derived_setting, SETTING_COUNT);
    const struct equation_call call = derivation_call(mem, derivation);
    struct derived_by *by = ARENA_NEW(mem, struct derived_by);

    *by = (struct derived_by){.key = derivation->key,
                              .equation = derivation->equation->word,
                              .words = derivation->words,
                              .unit = derivation->equation_unit,
                              .figures = derivation->equation->figures,
                              .from_basis = call.from_basis,
                              .made_basis = call.made_basis,
                              .settings = settings};
    for (int i = 0; i < SETTING_COUNT; i++) {
        const char *value = setting_text(mem, &derivation->settings, (enum setting)i);

        if (value)
            settings[by->setting_count++] =
                (struct derived_setting){setting_name((enum setting)i), value};
    }

    return by;
}

/* --- inputs ---------------------------------------------------------------------------------- */

static const char *roles(struct arena *mem, const struct equation *equation)
{
    struct buf words = buf_new(mem);

    for (size_t i = 0; i < equation_input_count(equation); i++)
        buf_addf(&words, "%s%s", i > 0 ? ", " : "", equation->inputs[i].as);

    return words.data;
}

static bool fail_role(const struct making *making, const struct derivation_input_asked *input,
                      struct err *err)
{
    const struct equation *equation = making->out->equation;

    if (input->as)
        err_set(err, ERR_INVALID, "the equation '%s' has no '%s'", equation->word, input->as);
    else
        err_set(err, ERR_INVALID, "what '%s' is in the equation '%s' is not said",
                input->place.parameter->key, equation->word);

    return err_hint(err, "Say it with `as`, one of: %s.", roles(making->mem, equation));
}

static bool role_of(const struct making *making, const struct derivation_input_asked *input,
                    int *role, struct err *err)
{
    const struct equation *equation = making->out->equation;

    *role = input->as ? equation_input_named(equation, input->as)
                      : equation_input_of(equation, input->place.parameter->key);
    /* An equation with one input leaves nothing to say. */
    if (*role < 0 && !input->as && equation_input_count(equation) == 1)
        *role = 0;
    if (*role < 0)
        return fail_role(making, input, err);
    if (making->out->inputs[*role].parameter)
        return err_set(err, ERR_INVALID, "the equation '%s' takes one '%s', and two are given",
                       equation->word, equation->inputs[*role].as);

    return true;
}

static bool inputs_place(const struct making *making, struct err *err)
{
    struct derivation *out = making->out;

    if (making->asked->input_count == 0)
        return err_set(err, ERR_INVALID, "nothing is said to go in");
    for (size_t i = 0; i < making->asked->input_count; i++) {
        const struct derivation_input_asked *input = &making->asked->inputs[i];
        int role = 0;

        if (input->place.parameter->kind != PARAMETER_NUMBER)
            return err_set(err, ERR_INVALID, "'%s' won't do: an equation takes numbers, no %s",
                           input->place.parameter->key,
                           parameter_kind_name(input->place.parameter->kind));
        if (!role_of(making, input, &role, err))
            return false;
        out->inputs[role] = input->place;
        if (i == 0)
            out->lead = role;
    }

    return true;
}

/* "air pressure or altitude": the settings of a set. */
static const char *setting_words(struct arena *mem, unsigned settings)
{
    struct buf words = buf_new(mem);

    for (int i = 0; i < SETTING_COUNT; i++)
        if (settings & SETTING_BIT(i))
            buf_addf(&words, "%s`%s`", words.len > 0 ? " or " : "", setting_name((enum setting)i));

    return words.data;
}

static bool any_told(const struct settings *settings, unsigned set)
{
    for (int i = 0; i < SETTING_COUNT; i++)
        if (set & SETTING_BIT(i) && settings_told(settings, (enum setting)i))
            return true;

    return false;
}

static bool inputs_complete(const struct making *making, struct err *err)
{
    const struct derivation *out = making->out;

    for (size_t i = 0; i < equation_input_count(out->equation); i++) {
        const struct equation_input *input = &out->equation->inputs[i];
        bool told = any_told(&out->settings, input->instead);

        if (out->inputs[i].parameter && told && !input->optional) {
            err_set(err, ERR_INVALID, "%s is told in `settings` and read as well", input->as);
            return err_hint(err, "Take one of them out.");
        }
        if (out->inputs[i].parameter || input->optional || told)
            continue;
        err_set(err, ERR_INVALID, "the equation '%s' lacks '%s'", out->equation->word, input->as);
        if (input->instead)
            return err_hint(err, "Name its readings in `from`, or say %s in `settings`.",
                            setting_words(making->mem, input->instead));
        return err_hint(err, "Name its readings in `from`. It takes: %s.",
                        roles(making->mem, out->equation));
    }

    return true;
}

/* --- units ----------------------------------------------------------------------------------- */

static const struct unit *unit_of(const struct making *making, const char *name,
                                  const struct parameter *parameter)
{
    const struct unit *unit = name ? unit_named(making->units, name) : NULL;
    struct err ignored = ERR_INIT;

    if (!unit && name && !unit_find(making->units, name, parameter, &unit, &ignored))
        return NULL;

    return unit;
}

static bool converts(const struct making *making, const char *from, const char *to,
                     const struct parameter *parameter)
{
    const struct unit *a = unit_of(making, from, parameter);
    const struct unit *b = unit_of(making, to, parameter);

    return a && b && unit_convertible(a, b);
}

/* Degrees of temperature are no amounts that may be subtracted or divided. */
static bool has_offset(const struct making *making, const char *unit)
{
    return converts(making, unit, "degC", NULL);
}

static bool same_thing(const struct parameter *a, const struct parameter *b)
{
    return str_equal(a->basis, b->basis) && str_equal(a->matrix, b->matrix);
}

static bool input_unit_fits(const struct making *making, size_t i, struct err *err)
{
    struct derivation *out = making->out;
    const struct equation_input *input = &out->equation->inputs[i];
    const struct parameter *parameter = out->inputs[i].parameter;
    const struct parameter *first = out->inputs[0].parameter ? out->inputs[0].parameter : parameter;

    out->input_units[i] = input->unit ? input->unit : first->unit;
    if (!converts(making, parameter->unit, out->input_units[i], parameter))
        return err_set(err, ERR_INVALID, "'%s' is in %s, and the equation '%s' takes %s in %s",
                       parameter->key, parameter->unit, out->equation->word, input->as,
                       out->input_units[i]);
    if (!input->unit && has_offset(making, parameter->unit)) {
        err_set(err, ERR_INVALID, "'%s' is a temperature, which the equation '%s' does not take",
                parameter->key, out->equation->word);
        return err_hint(err, "Of two temperatures there is the equation 'temperature rise'.");
    }
    if (!input->unit && !same_thing(parameter, first))
        return err_set(err, ERR_INVALID, "'%s' and '%s' are not of one basis", parameter->key,
                       first->key);

    return true;
}

static bool input_units_fit(const struct making *making, struct err *err)
{
    for (size_t i = 0; i < equation_input_count(making->out->equation); i++) {
        if (making->out->inputs[i].parameter && !input_unit_fits(making, i, err))
            return false;
    }

    return true;
}

static bool made_unit_fits(const struct making *making, struct err *err)
{
    struct derivation *out = making->out;
    const struct equation *equation = out->equation;
    const struct parameter *made = out->made.parameter;

    out->equation_unit = equation->unit ? equation->unit : out->input_units[0];
    if (made->kind != PARAMETER_NUMBER || !converts(making, out->equation_unit, out->unit, made))
        return err_set(err, ERR_INVALID, "the equation '%s' gives %s, and '%s' is in %s",
                       equation->word, out->equation_unit, made->key,
                       out->unit ? out->unit : "no unit");
    if (!equation->unit && !same_thing(made, out->inputs[0].parameter))
        return err_set(err, ERR_INVALID, "'%s' and '%s' are not of one basis", made->key,
                       out->inputs[0].parameter->key);

    return true;
}

/* --- settings -------------------------------------------------------------------------------- */

static unsigned taken(const struct equation *equation)
{
    unsigned set = equation->needs | equation->takes;

    for (size_t i = 0; i < equation_input_count(equation); i++)
        set |= equation->inputs[i].instead;

    return set;
}

static bool settings_fit(const struct making *making, struct err *err)
{
    const struct derivation *out = making->out;
    unsigned takes = taken(out->equation);

    for (int i = 0; i < SETTING_COUNT; i++) {
        bool told = settings_told(&out->settings, (enum setting)i);

        if (told && !(takes & SETTING_BIT(i))) {
            err_set(err, ERR_INVALID, "the equation '%s' does not use `%s`", out->equation->word,
                    setting_name((enum setting)i));
            if (takes)
                return err_hint(err, "It uses: %s.", setting_words(making->mem, takes));
            return err_hint(err, "It uses no settings.");
        }
        if (!told && out->equation->needs & SETTING_BIT(i)) {
            err_set(err, ERR_INVALID, "the equation '%s' lacks the setting `%s`",
                    out->equation->word, setting_name((enum setting)i));
            return err_hint(err, "Put it under `settings`.");
        }
    }

    return true;
}

static bool rest_fits(const struct making *making, struct err *err)
{
    const struct derivation *out = making->out;
    struct equation_call call = derivation_call(making->mem, out);

    for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++)
        call.number[i] = out->inputs[i].parameter ? 0 : NAN;

    return !out->equation->check || out->equation->check(&call, err);
}

/* --- all of it ------------------------------------------------------------------------------- */

static bool within_fits(const struct making *making, struct err *err)
{
    if (making->asked->within_s >= 0 && making->asked->within_s <= DERIVATION_WITHIN_MOST_S)
        return true;
    err_set(err, ERR_INVALID, "readings more than a day apart are not of the same time");

    return err_hint(err, "`within` is at most 24 hours.");
}

bool derivation_make(struct arena *mem, const struct units *units,
                     const struct derivation_asked *asked, struct derivation *out,
                     enum derivation_part *part, struct err *err)
{
    struct derivation made = {.key = asked->key,
                              .made = asked->made,
                              .unit = asked->unit,
                              .within_s = asked->within_s,
                              .settings = asked->settings};
    const struct making making = {mem, units, asked, &made};
    static const struct {
        enum derivation_part part;
        bool (*step)(const struct making *making, struct err *err);
    } steps[] = {
        {PART_INPUTS, inputs_place},    {PART_SETTINGS, settings_fit},
        {PART_INPUTS, inputs_complete}, {PART_INPUTS, input_units_fit},
        {PART_UNIT, made_unit_fits},    {PART_SETTINGS, rest_fits},
        {PART_WITHIN, within_fits},
    };

    *part = PART_EQUATION;
    if (!equation_find(asked->equation, &made.equation, err))
        return false;
    for (size_t i = 0; i < ARRAY_LEN(steps); i++) {
        *part = steps[i].part;
        if (!steps[i].step(&making, err))
            return false;
    }

    struct equation_call call = derivation_call(mem, &made);

    made.words = equation_words(made.equation, &call);
    *out = made;

    return true;
}

static bool is_place(const struct derivation_place *place, const char *station,
                     const char *parameter)
{
    return place->parameter && str_equal(place->station, station) &&
           str_equal(place->parameter->key, parameter);
}

bool derivation_reads(const struct derivation *derivation, const char *station,
                      const char *parameter)
{
    for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++) {
        if (is_place(&derivation->inputs[i], station, parameter))
            return true;
    }

    return false;
}

bool derivation_makes(const struct derivation *derivation, const char *station,
                      const char *parameter)
{
    return is_place(&derivation->made, station, parameter);
}
