#include "measure/oxygen_solubility.h"
#include "measure/practical_salinity.h"
#include "measure/sea_water_density.h"
#include "quantity/quantity_inside.h"

/* --- solubility ------------------------------------------------------------------------------ */

enum {
    BENSON_KRAUSE,
    WEISS,
    GARCIA_GORDON,
    GARCIA_GORDON_COMBINED,
    GARCIA_GORDON_ML,
};

static const char *equation_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [BENSON_KRAUSE] = {"benson-krause", "1984, as in APHA 4500-O and USGS 2011.03"},
        [WEISS] = {"weiss", "1970, at 1 atm"},
        [GARCIA_GORDON] = {"garcia-gordon", "1992, to the data of Benson and Krause, at 1 atm"},
        [GARCIA_GORDON_COMBINED] = {"garcia-gordon-combined", "1992, to all data, at 1 atm"},
        [GARCIA_GORDON_ML] = {"garcia-gordon-ml", "1992, their form in mL/L, at 1 atm"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

/* Figures of an amount of oxygen, in this order. */
enum { MG_PER_L, UMOL_PER_L, UMOL_PER_KG, ML_PER_L };

#define OXYGEN_FIGURES                                                                             \
    {                                                                                              \
        {"oxygen", "mg/L", 4}, {"by amount", "umol/L", 5}, {"by amount and mass", "umol/kg", 5},   \
        {                                                                                          \
            "as gas", "mL/L", 4                                                                    \
        }                                                                                          \
    }

/* TEOS-10 density at the surface, which umol/kg needs. */
static bool density_here(const struct quantity_asked *asked, double *kg_per_m3, struct err *err)
{
    double absolute = 0;

    return sea_water_absolute_salinity(asked_number(asked, "salinity"), &absolute, err) &&
           sea_water_density_teos10(absolute, asked_t90(asked), 0, kg_per_m3, err);
}

static void amounts_from_mg(double mg_per_l, double kg_per_m3, struct quantity_answer *answer)
{
    double umol_per_l = umol_per_l_from_mg_per_l(mg_per_l, OXYGEN_G_PER_MOL);

    answer->figures[MG_PER_L] = value_of(mg_per_l);
    answer->figures[UMOL_PER_L] = value_of(umol_per_l);
    answer->figures[UMOL_PER_KG] =
        value_of(umol_per_kg_from_mg_per_l(mg_per_l, OXYGEN_G_PER_MOL, kg_per_m3));
    answer->figures[ML_PER_L] = value_of(umol_per_l / OXYGEN_UMOL_PER_ML);
}

static void amounts_from_ml(double ml_per_l, double kg_per_m3, struct quantity_answer *answer)
{
    double mg_per_l = mg_per_l_from_umol_per_l(ml_per_l * OXYGEN_UMOL_PER_ML, OXYGEN_G_PER_MOL);

    amounts_from_mg(mg_per_l, kg_per_m3, answer);
    answer->figures[UMOL_PER_L] = value_of(ml_per_l * OXYGEN_UMOL_PER_ML);
    answer->figures[ML_PER_L] = value_of(ml_per_l);
}

static bool benson_krause(const struct quantity_asked *asked, double kg_per_m3,
                          struct quantity_answer *answer, struct err *err)
{
    double degc = asked_number(asked, "temperature");
    double salinity = asked_number(asked, "salinity");
    double atm = asked_number(asked, "air-pressure");
    double mg_per_l = 0;
    double umol_per_l = 0;
    double umol_per_kg = 0;

    if (!oxygen_solubility_mg_per_l(degc, salinity, atm, &mg_per_l, err) ||
        !oxygen_solubility_umol_per_l(degc, salinity, atm, &umol_per_l, err) ||
        !oxygen_solubility_umol_per_kg(degc, salinity, atm, &umol_per_kg, err))
        return false;
    amounts_from_mg(mg_per_l, kg_per_m3, answer);
    answer->figures[UMOL_PER_L] = value_of(umol_per_l);
    answer->figures[UMOL_PER_KG] = value_of(umol_per_kg);

    return true;
}

static bool by_ml(const struct quantity_asked *asked, size_t equation, double kg_per_m3,
                  struct quantity_answer *answer, struct err *err)
{
    double salinity = asked_number(asked, "salinity");
    double ml_per_l = 0;
    bool done = equation == WEISS
                    ? oxygen_solubility_weiss_ml_per_l(asked_t68(asked), salinity, &ml_per_l, err)
                    : oxygen_solubility_garcia_gordon(OXYGEN_FIT_BENSON_KRAUSE_ML_PER_L,
                                                      asked_t68(asked), salinity, &ml_per_l, err);

    if (!done)
        return false;
    amounts_from_ml(ml_per_l, kg_per_m3, answer);

    return true;
}

static bool by_mass(const struct quantity_asked *asked, enum oxygen_fit fit, double kg_per_m3,
                    struct quantity_answer *answer, struct err *err)
{
    double umol_per_kg = 0;

    if (!oxygen_solubility_garcia_gordon(fit, asked_t68(asked), asked_number(asked, "salinity"),
                                         &umol_per_kg, err))
        return false;
    amounts_from_mg(mg_per_l_from_umol_per_kg(umol_per_kg, OXYGEN_G_PER_MOL, kg_per_m3), kg_per_m3,
                    answer);
    answer->figures[UMOL_PER_KG] = value_of(umol_per_kg);

    return true;
}

static const char *const equation_names[][2] = {
    [BENSON_KRAUSE] = {"Benson and Krause 1984", NULL},
    [WEISS] = {"Weiss 1970", "Deep-Sea Research 17, 721-735"},
    [GARCIA_GORDON] = {"Garcia and Gordon 1992, fit to Benson and Krause",
                       "Limnology and Oceanography 37, 1307-1312; erratum 38, 656"},
    [GARCIA_GORDON_COMBINED] = {"Garcia and Gordon 1992, combined fit",
                                "Limnology and Oceanography 37, 1307-1312; erratum 38, 656"},
    [GARCIA_GORDON_ML] = {"Garcia and Gordon 1992, fit to Benson and Krause in mL/L",
                          "Limnology and Oceanography 37, 1307-1312; erratum 38, 656"},
};

static bool solubility(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    size_t equation = asked_word(asked, "equation");
    double kg_per_m3 = 0;

    (void)mem;
    answer->equation = equation_names[equation][0];
    if (equation_names[equation][1])
        answer->source = equation_names[equation][1];
    if (equation != BENSON_KRAUSE && asked_number(asked, "air-pressure") != 1.0) {
        err_set(err, ERR_INVALID, "%s is for an air pressure of 1 atm", answer->equation);
        return err_hint(err, "Leave air-pressure away, or name equation=benson-krause.");
    }
    if (!density_here(asked, &kg_per_m3, err))
        return false;
    switch (equation) {
    case BENSON_KRAUSE:
        return benson_krause(asked, kg_per_m3, answer, err);
    case GARCIA_GORDON:
        return by_mass(asked, OXYGEN_FIT_BENSON_KRAUSE_UMOL_PER_KG, kg_per_m3, answer, err);
    case GARCIA_GORDON_COMBINED:
        return by_mass(asked, OXYGEN_FIT_COMBINED_UMOL_PER_KG, kg_per_m3, answer, err);
    default:
        return by_ml(asked, equation, kg_per_m3, answer, err);
    }
}

static bool by_chlorinity(struct arena *mem, const struct quantity_asked *asked,
                          struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!oxygen_solubility_chlorinity_mg_per_l(asked_number(asked, "temperature"),
                                               asked_number(asked, "chlorinity"),
                                               asked_number(asked, "air-pressure"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool pressure_factor(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    double degc = asked_number(asked, "temperature");
    double factor = 0;

    (void)mem;
    if (!oxygen_pressure_factor(degc, asked_number(asked, "air-pressure"), &factor, err))
        return false;
    answer->figures[0] = value_of(factor);
    answer->figures[1] = value_of(oxygen_vapour_pressure_atm(degc));
    answer->figures[2] = value_of(oxygen_theta(degc));

    return true;
}

/* --- saturation ------------------------------------------------------------------------------ */

static const char *reference_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [OXYGEN_AT_LOCAL_PRESSURE] = {"local", "with the air at the place"},
        [OXYGEN_AT_SEA_LEVEL] = {"sea-level", "with air at 1 atm, whatever the pressure is"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

static bool saturation(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    enum oxygen_reference reference = (enum oxygen_reference)asked_word(asked, "balance");
    double out = 0;

    if (!oxygen_percent_saturation(asked_number(asked, "oxygen"),
                                   asked_number(asked, "temperature"),
                                   asked_number(asked, "salinity"), reference,
                                   asked_number(asked, "air-pressure"), &out, err))
        return false;
    answer->figures[0] = value_of(out);
    answer->note = arena_printf(mem, "Percent %s.", oxygen_reference_name(reference));

    return true;
}

static bool from_saturation(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    enum oxygen_reference reference = (enum oxygen_reference)asked_word(asked, "balance");
    double out = 0;

    if (!oxygen_mg_per_l_from_percent(asked_number(asked, "saturation"),
                                      asked_number(asked, "temperature"),
                                      asked_number(asked, "salinity"), reference,
                                      asked_number(asked, "air-pressure"), &out, err))
        return false;
    answer->figures[0] = value_of(out);
    answer->note = arena_printf(mem, "Percent %s.", oxygen_reference_name(reference));

    return true;
}

static bool other_units(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    double kg_per_m3 = 0;

    (void)mem;
    if (!density_here(asked, &kg_per_m3, err))
        return false;
    amounts_from_mg(asked_number(asked, "oxygen"), kg_per_m3, answer);

    return true;
}

static bool from_umol_per_kg(struct arena *mem, const struct quantity_asked *asked,
                             struct quantity_answer *answer, struct err *err)
{
    double amount = asked_number(asked, "oxygen");
    double kg_per_m3 = 0;

    (void)mem;
    if (!density_here(asked, &kg_per_m3, err))
        return false;
    amounts_from_mg(mg_per_l_from_umol_per_kg(amount, OXYGEN_G_PER_MOL, kg_per_m3), kg_per_m3,
                    answer);

    return true;
}

/* --- air pressure ---------------------------------------------------------------------------- */

static bool at_altitude(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!air_pressure_at_altitude_kpa(asked_number(asked, "altitude"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool at_station(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!air_pressure_at_station_kpa(asked_number(asked, "sea-level-pressure"),
                                     asked_number(asked, "altitude"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

#define TEMPERATURE                                                                                \
    {                                                                                              \
        "temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL                                   \
    }
#define SALINITY                                                                                   \
    {                                                                                              \
        "salinity", QUANTITY_NUMBER, "PSU", NULL, "0 for fresh water", NULL                        \
    }
#define AIR_PRESSURE                                                                               \
    {                                                                                              \
        "air-pressure", QUANTITY_NUMBER, "atm", "1",                                               \
            "at the place, not brought to sea level; 1 is that at sea level", NULL                 \
    }
#define BALANCE                                                                                    \
    {                                                                                              \
        "balance", QUANTITY_WORD, "", "local", "what 100 percent is", reference_word               \
    }

#define BENSON_KRAUSE_SOURCE                                                                       \
    "Benson and Krause 1984, Limnology and Oceanography 29, 620-632; USGS OWQ Technical "          \
    "Memorandum 2011.03"
#define BENSON_KRAUSE_RANGE "0 to 40 degC, salinity 0 to 40, 0.5 to 1.1 atm"
#define MASS_SOURCE                                                                                \
    "density by TEOS-10 (IOC, SCOR and IAPSO 2010); 31.9988 g/mol; 44.6596 umol/mL (Garcia and "   \
    "Gordon 1992)"

static const struct quantity rows[] = {
    {
        .word = "oxygen solubility",
        .equation = "how much oxygen water holds in balance with moist air",
        .source = BENSON_KRAUSE_SOURCE,
        .range = BENSON_KRAUSE_RANGE,
        .example = "temperature=15 salinity=33",
        .inputs = {TEMPERATURE,
                   SALINITY,
                   AIR_PRESSURE,
                   {"equation", QUANTITY_WORD, "", "benson-krause", NULL, equation_word},
                   TEMPERATURE_SCALE},
        .figures = OXYGEN_FIGURES,
        .work_out = solubility,
    },
    {
        .word = "oxygen solubility by chlorinity",
        .equation = "Benson and Krause 1984 in chlorinity, as APHA 4500-O prints it",
        .source = "APHA Standard Methods 4500-O G; " BENSON_KRAUSE_SOURCE,
        .range = "0 to 40 degC, chlorinity 0 to 22, 0.5 to 1.1 atm",
        .example = "temperature=15 chlorinity=10",
        .inputs = {TEMPERATURE,
                   {"chlorinity", QUANTITY_NUMBER, "g/kg", NULL, NULL, NULL},
                   AIR_PRESSURE},
        .figures = {{"oxygen", "mg/L", 4}},
        .work_out = by_chlorinity,
    },
    {
        .word = "oxygen saturation",
        .equation = "oxygen over Benson and Krause's solubility",
        .source = BENSON_KRAUSE_SOURCE,
        .range = BENSON_KRAUSE_RANGE,
        .example = "oxygen=7.5 temperature=18 salinity=33 air-pressure=99.5kPa",
        .inputs = {{"oxygen", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL},
                   TEMPERATURE,
                   SALINITY,
                   BALANCE,
                   AIR_PRESSURE},
        .figures = {{"oxygen saturation", "%", 4}},
        .work_out = saturation,
    },
    {
        .word = "oxygen from its saturation",
        .equation = "a share of Benson and Krause's solubility",
        .source = BENSON_KRAUSE_SOURCE,
        .range = BENSON_KRAUSE_RANGE,
        .example = "saturation=90 temperature=18 salinity=33",
        .inputs = {{"saturation", QUANTITY_NUMBER, "%", NULL, NULL, NULL},
                   TEMPERATURE,
                   SALINITY,
                   BALANCE,
                   AIR_PRESSURE},
        .figures = {{"oxygen", "mg/L", 4}},
        .work_out = from_saturation,
    },
    {
        .word = "oxygen pressure factor",
        .equation = "(P - u)(1 - theta P) / ((1 - u)(1 - theta)), temperature in degC in theta",
        .source = BENSON_KRAUSE_SOURCE,
        .range = "0 to 40 degC, 0.5 to 1.1 atm",
        .example = "temperature=15 air-pressure=0.95",
        .inputs = {TEMPERATURE,
                   {"air-pressure", QUANTITY_NUMBER, "atm", NULL, "at the place", NULL}},
        .figures = {{"factor", "", 5}, {"vapour pressure u", "atm", 4}, {"theta", "", 4}},
        .work_out = pressure_factor,
    },
    {
        .word = "oxygen in other units",
        .equation = "mass over density and 31.9988 g/mol",
        .source = MASS_SOURCE,
        .range = "salinity 0 to 42, -6 to 40 degC",
        .example = "oxygen=8 temperature=15 salinity=33",
        .inputs = {{"oxygen", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL},
                   TEMPERATURE,
                   SALINITY,
                   TEMPERATURE_SCALE},
        .figures = OXYGEN_FIGURES,
        .work_out = other_units,
    },
    {
        .word = "oxygen from micromoles per kilogram",
        .equation = "amount times 31.9988 g/mol times density",
        .source = MASS_SOURCE,
        .range = "salinity 0 to 42, -6 to 40 degC",
        .example = "oxygen=250 temperature=15 salinity=35",
        .inputs = {{"oxygen", QUANTITY_NUMBER, "umol/kg", NULL, NULL, NULL},
                   TEMPERATURE,
                   SALINITY,
                   TEMPERATURE_SCALE},
        .figures = OXYGEN_FIGURES,
        .work_out = from_umol_per_kg,
    },
    {
        .word = "air pressure at an altitude",
        .equation = "standard atmosphere: 101.325 (1 - 2.25577e-5 h)^5.25588 kPa",
        .source =
            "the standard atmosphere: 101.325 kPa and 288.15 K at sea level, 6.5 K less per km "
            "(U.S. Standard Atmosphere 1976; ISO 2533 is the same)",
        .range = "-1000 to 11000 m",
        .example = "altitude=300",
        .inputs = {{"altitude", QUANTITY_NUMBER, "m", NULL, NULL, NULL}},
        .figures = {{"air pressure", "kPa", 5}},
        .work_out = at_altitude,
    },
    {
        .word = "air pressure at the place",
        .equation = "the standard atmosphere, from a pressure that was brought to sea level",
        .source =
            "the standard atmosphere: 101.325 kPa and 288.15 K at sea level, 6.5 K less per km "
            "(U.S. Standard Atmosphere 1976; ISO 2533 is the same)",
        .range = "-1000 to 11000 m",
        .example = "sea-level-pressure=1013hPa altitude=120",
        .inputs = {{"sea-level-pressure", QUANTITY_NUMBER, "kPa", NULL,
                    "as weather services tell it", NULL},
                   {"altitude", QUANTITY_NUMBER, "m", NULL, NULL, NULL}},
        .figures = {{"air pressure", "kPa", 5}},
        .work_out = at_station,
    },
};

const struct quantity_family family_oxygen = {"oxygen in water", rows, ARRAY_LEN(rows)};
