/* Salinity, conductance, density, oxygen and ammonia. */
#include "base/buf.h"
#include "base/str.h"
#include "derive/equation_inside.h"
#include "measure/ammonia.h"
#include "measure/nutrient_basis.h"
#include "measure/oxygen_solubility.h"
#include "measure/practical_salinity.h"
#include "measure/sea_water_density.h"
#include "measure/specific_conductance.h"

#define UNESCO_44 "UNESCO Technical Papers in Marine Science 44 (1983)"

#define CONDUCTIVITY_IN                                                                            \
    {                                                                                              \
        .as = "conductivity", .unit = "mS/cm", .keys = {"conductivity"}, .direction = RISES        \
    }
#define TEMPERATURE_IN                                                                             \
    {                                                                                              \
        .as = "temperature", .unit = "degC", .keys = { "temperature" }                             \
    }
#define SALINITY_IN                                                                                \
    {                                                                                              \
        .as = "salinity", .unit = "PSU", .keys = {"salinity"},                                     \
        .instead = SETTING_BIT(SETTING_SALINITY)                                                   \
    }
#define AIR_PRESSURE_IN                                                                            \
    {                                                                                              \
        .as = "air pressure", .unit = "kPa", .keys = {"air-pressure"}, .optional = true,           \
        .instead = SETTING_BIT(SETTING_AIR_PRESSURE) | SETTING_BIT(SETTING_ALTITUDE)               \
    }

enum { FIRST, SECOND, THIRD, FOURTH };

/* --- salinity and conductance ---------------------------------------------------------------- */

static bool salinity(const struct equation_call *call, enum salinity_form form,
                     const struct exact **out, struct err *err)
{
    double value = 0;

    return salinity_from_conductivity(form, call->number[FIRST], call->number[SECOND],
                                      setting_number(call, SETTING_DEPTH), &value, err) &&
           give(call, value, out, err);
}

static bool salinity_plain(const struct equation_call *call, const struct exact **out,
                           struct err *err)
{
    return salinity(call, SALINITY_PSS78, out, err);
}

static bool salinity_hill(const struct equation_call *call, const struct exact **out,
                          struct err *err)
{
    return salinity(call, SALINITY_HILL_CONTINUOUS, out, err);
}

static bool salinity_hill_published(const struct equation_call *call, const struct exact **out,
                                    struct err *err)
{
    return salinity(call, SALINITY_HILL_PUBLISHED, out, err);
}

static bool conductance_linear(const struct equation_call *call, const struct exact **out,
                               struct err *err)
{
    double value = 0;

    return specific_conductance_linear(call->number[FIRST], call->number[SECOND],
                                       setting_number(call, SETTING_ALPHA), &value, err) &&
           give(call, value, out, err);
}

static char *conductance_linear_words(const struct equation_call *call)
{
    return arena_printf(call->mem,
                        "specific conductance at 25 degC, k / (1 + alpha (t - 25)) with alpha "
                        "%.6g; APHA Standard Methods 2510 B",
                        setting_number(call, SETTING_ALPHA));
}

static bool conductance_natural(const struct equation_call *call, const struct exact **out,
                                struct err *err)
{
    double value = 0;

    return specific_conductance_iso7888(call->number[FIRST], call->number[SECOND], &value, err) &&
           give(call, value, out, err);
}

static bool conductance_sea(const struct equation_call *call, const struct exact **out,
                            struct err *err)
{
    double value = 0;

    return specific_conductance_sea(SALINITY_HILL_CONTINUOUS, call->number[FIRST],
                                    call->number[SECOND], setting_number(call, SETTING_DEPTH),
                                    &value, err) &&
           give(call, value, out, err);
}

/* --- density --------------------------------------------------------------------------------- */

enum { DENSITY_SALINITY, DENSITY_TEMPERATURE };

static double salinity_of(const struct equation_call *call, int input)
{
    double told = setting_number(call, SETTING_SALINITY);

    return isnan(call->number[input]) ? told : call->number[input];
}

static bool density_eos80(const struct equation_call *call, const struct exact **out,
                          struct err *err)
{
    double t68 = temperature_t68_from_t90(call->number[DENSITY_TEMPERATURE]);
    double value = 0;

    return sea_water_density_eos80(salinity_of(call, DENSITY_SALINITY), t68,
                                   setting_number(call, SETTING_DEPTH), &value, err) &&
           give(call, value, out, err);
}

static bool density_teos10(const struct equation_call *call, const struct exact **out,
                           struct err *err)
{
    double absolute = 0;
    double value = 0;

    return sea_water_absolute_salinity(salinity_of(call, DENSITY_SALINITY), &absolute, err) &&
           sea_water_density_teos10(absolute, call->number[DENSITY_TEMPERATURE],
                                    setting_number(call, SETTING_DEPTH), &value, err) &&
           give(call, value, out, err);
}

/* --- oxygen ---------------------------------------------------------------------------------- */

enum { OXYGEN_AMOUNT, OXYGEN_TEMPERATURE, OXYGEN_SALINITY, OXYGEN_AIR };

static enum oxygen_reference reference_of(const struct equation_call *call)
{
    return str_equal(setting_word(call, SETTING_PRESSURE), "sea level") ? OXYGEN_AT_SEA_LEVEL
                                                                        : OXYGEN_AT_LOCAL_PRESSURE;
}

/* 1 where full saturation is that at sea level. */
static bool air_atm(const struct equation_call *call, int input, double *out, struct err *err)
{
    double kpa = call->number[input];

    if (reference_of(call) == OXYGEN_AT_SEA_LEVEL) {
        *out = 1;
        return true;
    }
    if (isnan(kpa))
        kpa = setting_number(call, SETTING_AIR_PRESSURE);
    if (isnan(kpa) &&
        !air_pressure_at_altitude_kpa(setting_number(call, SETTING_ALTITUDE), &kpa, err))
        return false;
    *out = kpa / KPA_PER_ATM;

    return true;
}

/* How many of the ways to tell the air pressure are used. */
static int ways_told(const struct equation_call *call, int input)
{
    return !isnan(call->number[input]) + settings_told(call->settings, SETTING_AIR_PRESSURE) +
           settings_told(call->settings, SETTING_ALTITUDE);
}

static bool air_check(const struct equation_call *call, int input, struct err *err)
{
    int ways = ways_told(call, input);

    if (reference_of(call) == OXYGEN_AT_SEA_LEVEL) {
        if (ways == 0)
            return true;
        err_set(err, ERR_INVALID, "with `pressure: sea level` the air at the place is not used");
        return err_hint(err, "Take `air pressure` and `altitude` out, or say pressure: local.");
    }
    if (ways == 1)
        return true;
    err_set(err, ERR_INVALID, "`pressure: local` goes by %s",
            ways == 0 ? "an air pressure that nothing tells"
                      : "one air pressure, and more are told");

    return err_hint(err, "Give one: readings of the air pressure at the place in `from`, or "
                         "`air pressure` or `altitude` in `settings`.");
}

static bool saturation_check(const struct equation_call *call, struct err *err)
{
    return air_check(call, OXYGEN_AIR, err);
}

static bool oxygen_saturation(const struct equation_call *call, const struct exact **out,
                              struct err *err)
{
    double atm = 0;
    double value = 0;

    return air_atm(call, OXYGEN_AIR, &atm, err) &&
           oxygen_percent_saturation(call->number[OXYGEN_AMOUNT], call->number[OXYGEN_TEMPERATURE],
                                     salinity_of(call, OXYGEN_SALINITY), reference_of(call), atm,
                                     &value, err) &&
           give(call, value, out, err);
}

static bool oxygen_amount(const struct equation_call *call, const struct exact **out,
                          struct err *err)
{
    double atm = 0;
    double value = 0;

    return air_atm(call, OXYGEN_AIR, &atm, err) &&
           oxygen_mg_per_l_from_percent(
               call->number[OXYGEN_AMOUNT], call->number[OXYGEN_TEMPERATURE],
               salinity_of(call, OXYGEN_SALINITY), reference_of(call), atm, &value, err) &&
           give(call, value, out, err);
}

static bool solubility_check(const struct equation_call *call, struct err *err)
{
    return air_check(call, THIRD, err);
}

static bool oxygen_solubility(const struct equation_call *call, const struct exact **out,
                              struct err *err)
{
    double atm = 0;
    double value = 0;

    return air_atm(call, THIRD, &atm, err) &&
           oxygen_solubility_mg_per_l(call->number[FIRST], salinity_of(call, SECOND), atm, &value,
                                      err) &&
           give(call, value, out, err);
}

static char *oxygen_words(const struct equation_call *call, const char *what)
{
    struct buf words = buf_new(call->mem);

    buf_addf(&words, "%s %s", what, oxygen_reference_name(reference_of(call)));
    if (reference_of(call) == OXYGEN_AT_LOCAL_PRESSURE &&
        settings_told(call->settings, SETTING_AIR_PRESSURE))
        buf_addf(&words, " of %.6g kPa", setting_number(call, SETTING_AIR_PRESSURE));
    if (reference_of(call) == OXYGEN_AT_LOCAL_PRESSURE &&
        settings_told(call->settings, SETTING_ALTITUDE))
        buf_addf(&words, ", the standard atmosphere's at %.6g m (ISO 2533)",
                 setting_number(call, SETTING_ALTITUDE));
    if (settings_told(call->settings, SETTING_SALINITY))
        buf_addf(&words, ", salinity %.6g", setting_number(call, SETTING_SALINITY));
    buf_add_text(&words, "; Benson and Krause 1984 (USGS 2011.03)");

    return words.data;
}

static char *oxygen_saturation_words(const struct equation_call *call)
{
    return oxygen_words(call, "percent");
}

static char *oxygen_amount_words(const struct equation_call *call)
{
    return oxygen_words(call, "oxygen from percent");
}

static char *oxygen_solubility_words(const struct equation_call *call)
{
    return oxygen_words(call, "oxygen at 100 percent");
}

/* --- ammonia --------------------------------------------------------------------------------- */

enum { AMMONIA_TOTAL, AMMONIA_PH, AMMONIA_TEMPERATURE, AMMONIA_SALINITY };

static bool form_of(const struct equation_call *call, enum ammonia_form *form, struct err *err)
{
    const char *word = setting_word(call, SETTING_AMMONIA_FORM);

    if (ammonia_form_parse(word, form))
        return true;

    struct buf forms = buf_new(call->mem);

    for (size_t i = 0; i < AMMONIA_FORM_COUNT; i++)
        buf_addf(&forms, "%s%s", i > 0 ? ", " : "", ammonia_form_facts((enum ammonia_form)i)->key);
    err_set(err, ERR_INVALID, "'%s' is no ammonia form", str_show(call->mem, word, 40));

    return err_hint(err, "It is one of: %s.", forms.data);
}

static bool ammonia_check(const struct equation_call *call, struct err *err)
{
    enum ammonia_form form = AMMONIA_EMERSON_273_2;
    double factor = 0;

    if (!form_of(call, &form, err))
        return false;

    const struct ammonia_form_facts *facts = ammonia_form_facts(form);

    if (!str_equal(facts->scale, setting_word(call, SETTING_PH_SCALE))) {
        err_set(err, ERR_INVALID,
                "the ammonia form %s takes pH on the %s scale, and the readings are said to be on "
                "the %s scale",
                facts->key, facts->scale, setting_word(call, SETTING_PH_SCALE));
        return err_hint(err, "Take a form for that scale: 0.1 of pH is a quarter of the result.");
    }

    return nutrient_basis_factor(call->from_basis, call->made_basis, &factor, err);
}

static bool ammonia(const struct equation_call *call, const struct exact **out, struct err *err)
{
    struct ammonia_water water = {.ph = call->number[AMMONIA_PH],
                                  .t_degc = call->number[AMMONIA_TEMPERATURE],
                                  .salinity = salinity_of(call, AMMONIA_SALINITY)};
    enum ammonia_form form = AMMONIA_EMERSON_273_2;
    double value = 0;

    return form_of(call, &form, err) &&
           ammonia_un_ionised(form, &water, call->number[AMMONIA_TOTAL], call->from_basis,
                              call->made_basis, &value, err) &&
           give(call, value, out, err);
}

static char *ammonia_words(const struct equation_call *call)
{
    enum ammonia_form form = AMMONIA_EMERSON_273_2;
    struct err ignored = ERR_INIT;

    if (!form_of(call, &form, &ignored))
        return arena_strdup(call->mem, "un-ionised ammonia");

    const struct ammonia_form_facts *facts = ammonia_form_facts(form);

    return arena_printf(call->mem, "un-ionised ammonia %s, %s, pH on the %s scale; %s",
                        call->made_basis, facts->name, facts->scale, facts->source);
}

/* --- the table ------------------------------------------------------------------------------- */

static const struct equation rows[] = {
    {.word = "practical salinity",
     .name = "practical salinity, PSS-78",
     .source = UNESCO_44 ", pages 6 to 14",
     .range = "salinity 2 to 42, -2 to 35 degC, water down to 10000 dbar",
     .unit = "PSU",
     .figures = 6,
     .needs = SETTING_BIT(SETTING_DEPTH),
     .inputs = {CONDUCTIVITY_IN, TEMPERATURE_IN},
     .work_out = salinity_plain},
    {.word = "practical salinity with Hill",
     .name = "practical salinity, PSS-78 with Hill 1986 below 2, continuous",
     .source = UNESCO_44 ", pages 6 to 14; Hill, Dauphinee and Woods 1986",
     .range = "salinity 0 to 42, -2 to 35 degC, water down to 10000 dbar",
     .unit = "PSU",
     .figures = 6,
     .needs = SETTING_BIT(SETTING_DEPTH),
     .inputs = {CONDUCTIVITY_IN, TEMPERATURE_IN},
     .work_out = salinity_hill},
    {.word = "practical salinity with Hill as published",
     .name = "practical salinity, PSS-78 with Hill 1986 as published",
     .source = UNESCO_44 ", pages 6 to 14; Hill, Dauphinee and Woods 1986",
     .range = "salinity 0 to 42, -2 to 35 degC, water down to 10000 dbar",
     .unit = "PSU",
     .figures = 6,
     .needs = SETTING_BIT(SETTING_DEPTH),
     .inputs = {CONDUCTIVITY_IN, TEMPERATURE_IN},
     .work_out = salinity_hill_published},
    {.word = "specific conductance straight line",
     .name = "specific conductance at 25 degC, straight line",
     .formula = "k25 = k / (1 + alpha (t - 25))",
     .source = "APHA Standard Methods 2510 B",
     .range = "fresh water, 0 to 40 degC, alpha 0.01 to 0.03",
     .unit = "mS/cm",
     .figures = 5,
     .needs = SETTING_BIT(SETTING_ALPHA),
     .inputs = {CONDUCTIVITY_IN, TEMPERATURE_IN},
     .work_out = conductance_linear,
     .words = conductance_linear_words},
    {.word = "specific conductance natural water",
     .name = "specific conductance at 25 degC, natural fresh water",
     .formula = "k25 = k f25(t)",
     .source = "ISO 7888:1985 (EN 27888)",
     .range = "natural fresh water of 0.06 to 1 mS/cm, 0 to 35.9 degC",
     .unit = "mS/cm",
     .figures = 5,
     .inputs = {CONDUCTIVITY_IN, TEMPERATURE_IN},
     .work_out = conductance_natural},
    {.word = "specific conductance sea water",
     .name = "specific conductance at 25 degC of the same practical salinity",
     .source = UNESCO_44 ", pages 6 to 14",
     .range = "salinity 0 to 42, -2 to 35 degC",
     .unit = "mS/cm",
     .figures = 5,
     .needs = SETTING_BIT(SETTING_DEPTH),
     .inputs = {CONDUCTIVITY_IN, TEMPERATURE_IN},
     .work_out = conductance_sea},
    {.word = "density EOS-80",
     .name = "density, EOS-80",
     .source = UNESCO_44 ", pages 15 to 23",
     .range = "salinity 0 to 42, -2 to 40 degC, water down to 10000 dbar",
     .unit = "kg/m3",
     .figures = 8,
     .needs = SETTING_BIT(SETTING_DEPTH),
     .inputs = {SALINITY_IN, TEMPERATURE_IN},
     .work_out = density_eos80},
    {.word = "density TEOS-10",
     .name = "density, TEOS-10, of reference composition",
     .source = "IOC, SCOR and IAPSO 2010, Manuals and Guides 56",
     .range = "absolute salinity 0 to 42 g/kg, -6 to 40 degC, water down to 10000 dbar",
     .unit = "kg/m3",
     .figures = 8,
     .needs = SETTING_BIT(SETTING_DEPTH),
     .inputs = {SALINITY_IN, TEMPERATURE_IN},
     .work_out = density_teos10},
    {.word = "oxygen saturation",
     .name = "percent of oxygen saturation",
     .source = "Benson and Krause 1984 (USGS Technical Memorandum 2011.03)",
     .range = "0 to 40 degC, salinity 0 to 40, air 0.5 to 1.1 atm",
     .unit = "%",
     .figures = 5,
     .needs = SETTING_BIT(SETTING_PRESSURE),
     .inputs = {{.as = "oxygen", .unit = "mg/L", .keys = {"oxygen"}, .direction = RISES},
                TEMPERATURE_IN,
                SALINITY_IN,
                AIR_PRESSURE_IN},
     .check = saturation_check,
     .work_out = oxygen_saturation,
     .words = oxygen_saturation_words},
    {.word = "oxygen from percent",
     .name = "oxygen from percent of saturation",
     .source = "Benson and Krause 1984 (USGS Technical Memorandum 2011.03)",
     .range = "0 to 40 degC, salinity 0 to 40, air 0.5 to 1.1 atm",
     .unit = "mg/L",
     .figures = 4,
     .needs = SETTING_BIT(SETTING_PRESSURE),
     .inputs = {{.as = "percent", .unit = "%", .keys = {"oxygen-saturation"}, .direction = RISES},
                TEMPERATURE_IN,
                SALINITY_IN,
                AIR_PRESSURE_IN},
     .check = saturation_check,
     .work_out = oxygen_amount,
     .words = oxygen_amount_words},
    {.word = "oxygen at saturation",
     .name = "oxygen in balance with the air",
     .source = "Benson and Krause 1984 (USGS Technical Memorandum 2011.03)",
     .range = "0 to 40 degC, salinity 0 to 40, air 0.5 to 1.1 atm",
     .unit = "mg/L",
     .figures = 4,
     .needs = SETTING_BIT(SETTING_PRESSURE),
     .inputs = {TEMPERATURE_IN, SALINITY_IN, AIR_PRESSURE_IN},
     .check = solubility_check,
     .work_out = oxygen_solubility,
     .words = oxygen_solubility_words},
    {.word = "un-ionised ammonia",
     .name = "un-ionised ammonia",
     .formula = "total / (1 + 10^(pKa - pH))",
     .source = "the ammonia form's own",
     .range = "by its form: " AMMONIA_FORM_RANGES,
     .unit = "mg/L",
     .figures = 4,
     .needs = SETTING_BIT(SETTING_AMMONIA_FORM) | SETTING_BIT(SETTING_PH_SCALE),
     .inputs = {{.as = "ammonia", .unit = "mg/L", .keys = {"ammonia"}, .direction = RISES},
                {.as = "pH", .unit = "pH", .keys = {"ph"}, .direction = RISES},
                TEMPERATURE_IN,
                SALINITY_IN},
     .check = ammonia_check,
     .work_out = ammonia,
     .words = ammonia_words},
};

const struct equation_family equations_water = {rows, ARRAY_LEN(rows)};
