#include "measure/practical_salinity.h"
#include "measure/sea_water_density.h"
#include "measure/specific_conductance.h"
#include "quantity/quantity_inside.h"

/* --- words ----------------------------------------------------------------------------------- */

static const char *form_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [SALINITY_PSS78] = {"pss-78", "nothing is done: refused below 2"},
        [SALINITY_HILL_PUBLISHED] = {"hill-as-published", "Hill 1986 at every salinity"},
        [SALINITY_HILL_CONTINUOUS] = {"hill-continuous", "Hill 1986 below 2, without a step there"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

enum { WAY_STRAIGHT_LINE, WAY_NATURAL, WAY_SEA };

static const char *way_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [WAY_STRAIGHT_LINE] = {"straight-line", "by alpha, as APHA 2510 B"},
        [WAY_NATURAL] = {"natural-water", "fresh water, ISO 7888:1985"},
        [WAY_SEA] = {"sea-water", "sea and brackish water, by its salinity"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

enum { STATE_EOS80, STATE_TEOS10 };

static const char *state_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [STATE_EOS80] = {"eos-80", "UNESCO 1983"},
        [STATE_TEOS10] = {"teos-10", "IOC 2010"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

/* --- salinity -------------------------------------------------------------------------------- */

static bool salinity(struct arena *mem, const struct quantity_asked *asked,
                     struct quantity_answer *answer, struct err *err)
{
    enum salinity_form form = (enum salinity_form)asked_word(asked, "below-2");
    double out = 0;

    (void)mem;
    if (!salinity_from_conductivity(form, asked_number(asked, "conductivity"), asked_t90(asked),
                                    asked_number(asked, "pressure"), &out, err))
        return false;
    answer->equation = salinity_form_name(form);
    answer->figures[0] = value_of(out);

    return true;
}

static bool salinity_of_ratio(struct arena *mem, const struct quantity_asked *asked,
                              struct quantity_answer *answer, struct err *err)
{
    enum salinity_form form = (enum salinity_form)asked_word(asked, "below-2");
    double out = 0;

    (void)mem;
    if (!salinity_from_ratio(form, asked_number(asked, "ratio"), asked_t68(asked),
                             asked_number(asked, "pressure"), &out, err))
        return false;
    answer->equation = salinity_form_name(form);
    answer->figures[0] = value_of(out);

    return true;
}

static bool conductivity(struct arena *mem, const struct quantity_asked *asked,
                         struct quantity_answer *answer, struct err *err)
{
    enum salinity_form form = (enum salinity_form)asked_word(asked, "below-2");
    double of_water = asked_number(asked, "salinity");
    double dbar = asked_number(asked, "pressure");
    double ms_per_cm = 0;
    double ratio = 0;

    (void)mem;
    if (!salinity_to_conductivity(form, of_water, asked_t90(asked), dbar, &ms_per_cm, err) ||
        !salinity_to_ratio(form, of_water, asked_t68(asked), dbar, &ratio, err))
        return false;
    answer->equation = salinity_form_name(form);
    answer->figures[0] = value_of(ms_per_cm);
    answer->figures[1] = value_of(ratio);

    return true;
}

static bool absolute_salinity(struct arena *mem, const struct quantity_asked *asked,
                              struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!sea_water_absolute_salinity(asked_number(asked, "salinity"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

/* --- specific conductance -------------------------------------------------------------------- */

static bool conductance_by(const struct quantity_asked *asked, double *out,
                           struct quantity_answer *answer, struct err *err)
{
    double measured = asked_number(asked, "conductivity");
    double degc = asked_number(asked, "temperature");

    switch (asked_word(asked, "way")) {
    case WAY_STRAIGHT_LINE:
        answer->equation = "straight line: k25 = kt / (1 + alpha (t - 25))";
        answer->source = "APHA Standard Methods 2510 B";
        return specific_conductance_linear(measured, degc, asked_number(asked, "alpha"), out, err);
    case WAY_NATURAL:
        answer->equation = "natural fresh water: k25 = kt f25(t)";
        answer->source = "ISO 7888:1985 (EN 27888)";
        return specific_conductance_iso7888(measured, degc, out, err);
    case WAY_SEA:
    default:
        answer->equation = "sea water: the conductivity at 25 degC of the same practical salinity";
        answer->source = "UNESCO Technical Papers in Marine Science 44 (1983), pages 6-14";
        return specific_conductance_sea(SALINITY_HILL_CONTINUOUS, measured, degc, 0, out, err);
    }
}

static bool conductance(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!conductance_by(asked, &out, answer, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool natural_factor(struct arena *mem, const struct quantity_asked *asked,
                           struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!specific_conductance_iso7888_factor(asked_number(asked, "temperature"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

/* --- density --------------------------------------------------------------------------------- */

static bool density_eos80(const struct quantity_asked *asked, struct quantity_answer *answer,
                          struct err *err)
{
    double of_water = asked_number(asked, "salinity");
    double dbar = asked_number(asked, "pressure");
    double density = 0;
    double sigma = 0;

    if (!sea_water_density_eos80(of_water, asked_t68(asked), dbar, &density, err) ||
        !sea_water_sigma_eos80(of_water, asked_t68(asked), dbar, &sigma, err))
        return false;
    answer->equation = "EOS-80";
    answer->figures[0] = value_of(density);
    answer->figures[1] = value_of(sigma);

    return true;
}

static bool density(struct arena *mem, const struct quantity_asked *asked,
                    struct quantity_answer *answer, struct err *err)
{
    double absolute = 0;
    double out = 0;

    (void)mem;
    if (asked_word(asked, "equation") == STATE_EOS80)
        return density_eos80(asked, answer, err);
    if (!sea_water_absolute_salinity(asked_number(asked, "salinity"), &absolute, err) ||
        !sea_water_density_teos10(absolute, asked_t90(asked), asked_number(asked, "pressure"), &out,
                                  err))
        return false;
    answer->equation = "TEOS-10, with the absolute salinity of reference composition";
    answer->source = "IOC, SCOR and IAPSO 2010, appendices G and H; IAPWS-08, IAPWS-09";
    answer->figures[0] = value_of(out);

    return true;
}

static bool density_absolute(struct arena *mem, const struct quantity_asked *asked,
                             struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!sea_water_density_teos10(asked_number(asked, "absolute-salinity"), asked_t90(asked),
                                  asked_number(asked, "pressure"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

#define PRESSURE                                                                                   \
    {                                                                                              \
        "pressure", QUANTITY_NUMBER, "dbar", "0", "of the water above; 0 at the surface", NULL     \
    }
#define BELOW_2                                                                                    \
    {                                                                                              \
        "below-2", QUANTITY_WORD, "", "hill-continuous", "what is done below a salinity of 2",     \
            form_word                                                                              \
    }

#define UNESCO_44 "UNESCO Technical Papers in Marine Science 44 (1983), pages 6-14"
#define PSS_RANGE "salinity 2 to 42, with Hill 0 to 42; -2 to 35 degC; 0 to 10000 dbar"

static const struct quantity rows[] = {
    {
        .word = "practical salinity",
        .equation = "PSS-78",
        .source = UNESCO_44 "; below 2: Hill, Dauphinee and Woods 1986",
        .range = PSS_RANGE,
        .example = "conductivity=45 temperature=18",
        .inputs = {{"conductivity", QUANTITY_NUMBER, "mS/cm", NULL,
                    "at that temperature, not brought to 25 degC", NULL},
                   {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},
                   PRESSURE,
                   BELOW_2,
                   TEMPERATURE_SCALE},
        .figures = {{"practical salinity", "PSU", 6}},
        .work_out = salinity,
    },
    {
        .word = "practical salinity from a ratio",
        .equation = "PSS-78",
        .source = UNESCO_44 "; below 2: Hill, Dauphinee and Woods 1986",
        .range = PSS_RANGE,
        .example = "ratio=0.9 temperature=12",
        .inputs = {{"ratio", QUANTITY_NUMBER, "", NULL,
                    "conductivity over that of salinity 35 at 15 degC and the surface", NULL},
                   {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},
                   PRESSURE,
                   BELOW_2,
                   TEMPERATURE_SCALE},
        .figures = {{"practical salinity", "PSU", 6}},
        .work_out = salinity_of_ratio,
    },
    {
        .word = "conductivity of sea water",
        .equation = "PSS-78 turned round",
        .source = UNESCO_44,
        .range = PSS_RANGE,
        .example = "salinity=35 temperature=15",
        .inputs = {{"salinity", QUANTITY_NUMBER, "PSU", NULL, NULL, NULL},
                   {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},
                   PRESSURE,
                   BELOW_2,
                   TEMPERATURE_SCALE},
        .figures = {{"conductivity", "mS/cm", 6},
                    {"ratio to salinity 35, 15 degC, surface", "", 7}},
        .work_out = conductivity,
    },
    {
        .word = "absolute salinity",
        .equation = "reference composition: 35.16504/35 g/kg for each of practical salinity",
        .source = "Millero and others 2008; TEOS-10 manual (IOC, SCOR and IAPSO 2010)",
        .range = "practical salinity 0 to 42",
        .example = "salinity=35",
        .inputs = {{"salinity", QUANTITY_NUMBER, "PSU", NULL, NULL, NULL}},
        .figures = {{"absolute salinity", "g/kg", 7}},
        .work_out = absolute_salinity,
    },
    {
        .word = "specific conductance",
        .equation = "by the way that is named",
        .source = "APHA 2510 B, ISO 7888:1985 or UNESCO 44 (1983)",
        .range = "straight-line 0 to 40 degC; natural-water 0 to 35.9 degC, fresh water of 0.06 to "
                 "1 mS/cm; sea-water as practical salinity",
        .example = "conductivity=500uS/cm temperature=12 way=natural-water",
        .inputs = {{"conductivity", QUANTITY_NUMBER, "mS/cm", NULL, NULL, NULL},
                   {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},
                   {"way", QUANTITY_WORD, "", NULL,
                    "they differ by up to 9 percent in sea water near 0 degC", way_word},
                   {"alpha", QUANTITY_NUMBER, "", "0.0191",
                    "share a degree, of straight-line; some instruments use 0.02", NULL}},
        .figures = {{"specific conductance at 25 degC", "mS/cm", 5}},
        .work_out = conductance,
    },
    {
        .word = "natural water temperature factor",
        .equation = "f25(t): the specific conductance at 25 degC over the conductivity at t",
        .source = "ISO 7888:1985 (EN 27888)",
        .range = "0 to 35.9 degC, natural fresh water",
        .example = "temperature=12",
        .inputs = {{"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL}},
        .figures = {{"factor", "", 4}},
        .work_out = natural_factor,
    },
    {
        .word = "sea water density",
        .equation = "EOS-80 or TEOS-10",
        .source = "UNESCO Technical Papers in Marine Science 44 (1983), pages 15-23",
        .range = "salinity 0 to 42, -2 to 40 degC, 0 to 10000 dbar",
        .example = "salinity=33 temperature=14",
        .inputs = {{"salinity", QUANTITY_NUMBER, "PSU", NULL, NULL, NULL},
                   {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},
                   PRESSURE,
                   {"equation", QUANTITY_WORD, "", "eos-80", NULL, state_word},
                   TEMPERATURE_SCALE},
        .figures = {{"density", "kg/m3", 7}, {"less 1000", "kg/m3", 5}},
        .work_out = density,
    },
    {
        .word = "density from absolute salinity",
        .equation = "TEOS-10",
        .source = "IOC, SCOR and IAPSO 2010, appendices G and H; IAPWS-08, IAPWS-09",
        .range = "0 to 42 g/kg, -6 to 40 degC, 0 to 10000 dbar",
        .example = "absolute-salinity=33.5 temperature=14",
        .inputs = {{"absolute-salinity", QUANTITY_NUMBER, "g/kg", NULL, NULL, NULL},
                   {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},
                   PRESSURE,
                   TEMPERATURE_SCALE},
        .figures = {{"density", "kg/m3", 7}},
        .work_out = density_absolute,
    },
};

const struct quantity_family family_water = {"sea and fresh water", rows, ARRAY_LEN(rows)};
