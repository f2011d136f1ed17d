#include "measure/unit_table.h"

#include <string.h>

#include "base/macro.h"
#include "base/str.h"

const char *const unit_library_words[] = {
    "wb_count", "wb_flesh", "wb_settled", "wb_year", "wb_psu",  "wb_ph", "wb_ntu",
    "wb_fnu",   "wb_cfu",   "wb_mpn",     "wb_cell", "wb_rise", NULL,
};

/*
 * Exact by definition: the international pound (0.45359237 kg), foot (0.3048 m) and inch
 * (0.0254 m) and the US gallon (231 cubic inches, 3.785411784 L): NIST Special Publication 811,
 * appendix B. udunits2's own gallon is rounded, so gallons are spelled out for it. The imperial
 * gallon is 4.54609 L, the millimetre of mercury 133.322387415 Pa (of 0 degC and standard gravity),
 * the acre 43560 square feet, all by NIST SP 811; the foot of that acre is the international one.
 */
static const struct unit_row rows[] = {
    {"1", DIMENSION_NUMBER, "1", NULL, "1", "1", NULL, NULL},
    {"%", DIMENSION_NUMBER, "1/100", NULL, "0.01", "%|percent|pct", NULL,
     "% sat|%sat|% saturation|percent saturation|sat %"},
    {"count", DIMENSION_COUNT, "1", NULL, "wb_count", "count|counts", NULL, NULL},

    {"mg/L", DIMENSION_MASS_CONCENTRATION, "1/1000", NULL, "mg/L",
     "mg/L|mg L-1|mg.L-1|mg/litre|mg/liter|mg/dm3|milligrams/litre|milligrams/liter", NULL, NULL},
    {"ug/L", DIMENSION_MASS_CONCENTRATION, "1/1000000", NULL, "ug/L",
     "ug/L|ug L-1|ug.L-1|mcg/L|ug/litre|ug/liter|ug/dm3", NULL, NULL},
    {"ng/L", DIMENSION_MASS_CONCENTRATION, "1/1000000000", NULL, "ng/L",
     "ng/L|ng L-1|ng.L-1|ng/litre|ng/liter", NULL, NULL},
    {"g/L", DIMENSION_MASS_CONCENTRATION, "1", NULL, "g/L", "g/L|g L-1|g.L-1|g/litre|g/liter", NULL,
     NULL},
    {"g/m3", DIMENSION_MASS_CONCENTRATION, "1/1000", NULL, "g/m3", "g/m3|g m-3|g.m-3|g/cu m", NULL,
     NULL},
    {"mg/m3", DIMENSION_MASS_CONCENTRATION, "1/1000000", NULL, "mg/m3", "mg/m3|mg m-3|mg.m-3", NULL,
     NULL},
    {"kg/m3", DIMENSION_MASS_CONCENTRATION, "1", NULL, "kg/m3", "kg/m3|kg m-3|kg.m-3", NULL, NULL},

    {"mg/kg", DIMENSION_MASS_FRACTION, "1/1000000", NULL, "1e-6 wb_flesh", "mg/kg|mg kg-1|mg.kg-1",
     NULL, NULL},
    {"ug/kg", DIMENSION_MASS_FRACTION, "1/1000000000", NULL, "1e-9 wb_flesh",
     "ug/kg|ug kg-1|ug.kg-1", NULL, NULL},
    {"g/kg", DIMENSION_MASS_FRACTION, "1/1000", NULL, "1e-3 wb_flesh", "g/kg|g kg-1|g.kg-1", NULL,
     NULL},

    {"mL/L", DIMENSION_SETTLED, "1", NULL, "wb_settled",
     "mL/L|mL L-1|mL.L-1|cc/L|mL/litre|mL/liter", NULL, NULL},

    {"mol/L", DIMENSION_AMOUNT_VOLUME, "1000", NULL, "mol/L", "mol/L|mol L-1|mol.L-1", NULL, NULL},
    {"mmol/L", DIMENSION_AMOUNT_VOLUME, "1", NULL, "mmol/L", "mmol/L|mmol L-1|mmol.L-1", "mM",
     NULL},
    {"umol/L", DIMENSION_AMOUNT_VOLUME, "1/1000", NULL, "umol/L", "umol/L|umol L-1|umol.L-1", "uM",
     NULL},
    {"nmol/L", DIMENSION_AMOUNT_VOLUME, "1/1000000", NULL, "nmol/L", "nmol/L|nmol L-1|nmol.L-1",
     "nM", NULL},
    {"mmol/m3", DIMENSION_AMOUNT_VOLUME, "1/1000", NULL, "mmol/m3", "mmol/m3|mmol m-3|mmol.m-3",
     NULL, NULL},
    {"umol/kg", DIMENSION_AMOUNT_MASS, "1/1000000", NULL, "umol/kg", "umol/kg|umol kg-1|umol.kg-1",
     NULL, NULL},

    {"kg", DIMENSION_MASS, "1", NULL, "kg", "kg|kgs|kilogram|kilograms", NULL, NULL},
    {"g", DIMENSION_MASS, "1/1000", NULL, "g", "gram|grams", "g", NULL},
    {"t", DIMENSION_MASS, "1000", NULL, "1000 kg", "tonne|tonnes|metric ton|metric tons", "t",
     NULL},
    {"lb", DIMENSION_MASS, "45359237/100000000", NULL, "lb", "lb|lbs|pound|pounds", NULL, NULL},

    {"kg/day", DIMENSION_MASS_FLOW, "1/86400", NULL, "kg/day", "kg/day|kg/d|kg d-1|kg.d-1|kg day-1",
     NULL, NULL},
    {"g/day", DIMENSION_MASS_FLOW, "1/86400000", NULL, "g/day", "g/day|g/d|g d-1|g.d-1|g day-1",
     NULL, NULL},
    {"t/day", DIMENSION_MASS_FLOW, "1000/86400", NULL, "1000 kg/day", "tonne/day|tonnes/day",
     "t/day|t/d", NULL},
    {"lb/day", DIMENSION_MASS_FLOW, "45359237/8640000000000", NULL, "lb/day",
     "lb/day|lb/d|lbs/day|lbs/d|pounds/day", NULL, NULL},
    {"kg/h", DIMENSION_MASS_FLOW, "1/3600", NULL, "kg/h", "kg/h|kg/hr|kg/hour", NULL, NULL},

    {"kg/yr", DIMENSION_MASS_PER_YEAR, "1", NULL, "kg/wb_year", "kg/yr|kg/year|kg/a", NULL, NULL},
    {"t/yr", DIMENSION_MASS_PER_YEAR, "1000", NULL, "1000 kg/wb_year",
     "tonne/year|tonnes/year|tonnes/yr", "t/yr|t/year|t/a", NULL},
    {"lb/yr", DIMENSION_MASS_PER_YEAR, "45359237/100000000", NULL, "lb/wb_year",
     "lb/yr|lb/year|lbs/yr|lbs/year|pounds/year", NULL, NULL},

    {"m3", DIMENSION_VOLUME, "1", NULL, "m3",
     "m3|cu m|cum|cubic metre|cubic metres|cubic meter|cubic meters", NULL, NULL},
    {"L", DIMENSION_VOLUME, "1/1000", NULL, "L", "L|litre|litres|liter|liters|ltr", NULL, NULL},
    {"mL", DIMENSION_VOLUME, "1/1000000", NULL, "mL",
     "mL|millilitre|millilitres|milliliter|milliliters", NULL, NULL},
    {"kL", DIMENSION_VOLUME, "1", NULL, "kL", "kL|kilolitre|kilolitres|kiloliter|kiloliters", NULL,
     NULL},
    {"ML", DIMENSION_VOLUME, "1000", NULL, "ML", "megalitre|megalitres|megaliter|megaliters",
     "ML|Ml", NULL},
    {"gal (US)", DIMENSION_VOLUME, "3785411784/1000000000000", NULL, "3.785411784 L",
     "gal (US)|gal(US)|US gal|US gallon|US gallons|gallons (US)|gallon (US)", NULL, NULL},
    {"gal (imp)", DIMENSION_VOLUME, "454609/100000000", NULL, "4.54609 L",
     "gal (imp)|gal(imp)|imp gal|imperial gallon|imperial gallons|UK gallon|UK gallons|UK gal|"
     "gal (UK)|gallon (imperial)|gallons (imperial)",
     NULL, NULL},
    {"ft3", DIMENSION_VOLUME, "28316846592/1000000000000", NULL, "international_foot3",
     "ft3|cu ft|cf|cubic foot|cubic feet", NULL, NULL},

    {"m3/s", DIMENSION_VOLUME_FLOW, "1", NULL, "m3/s", "m3/s|m3/sec|m3 s-1|m3.s-1|cumec|cumecs",
     NULL, NULL},
    {"m3/h", DIMENSION_VOLUME_FLOW, "1/3600", NULL, "m3/h",
     "m3/h|m3/hr|m3/hour|m3 h-1|m3.h-1|cu m/h", NULL, NULL},
    {"m3/day", DIMENSION_VOLUME_FLOW, "1/86400", NULL, "m3/day",
     "m3/day|m3/d|m3 d-1|m3.d-1|cu m/day", NULL, NULL},
    {"L/s", DIMENSION_VOLUME_FLOW, "1/1000", NULL, "L/s", "L/s|L/sec|L s-1|L.s-1|lps", NULL, NULL},
    {"L/min", DIMENSION_VOLUME_FLOW, "1/60000", NULL, "L/min", "L/min|L min-1|L.min-1|lpm", NULL,
     NULL},
    {"L/h", DIMENSION_VOLUME_FLOW, "1/3600000", NULL, "L/h", "L/h|L/hr|L/hour|lph", NULL, NULL},
    {"L/day", DIMENSION_VOLUME_FLOW, "1/86400000", NULL, "L/day", "L/day|L/d", NULL, NULL},
    {"ML/day", DIMENSION_VOLUME_FLOW, "1000/86400", NULL, "ML/day", "megalitres/day|megaliters/day",
     "ML/day|ML/d|Ml/day|Ml/d|MLD", NULL},
    {"MGD", DIMENSION_VOLUME_FLOW, "3785411784/86400000000", NULL, "3785.411784 m3/day",
     "MGD|million gallons/day|million US gallons/day", NULL, NULL},
    {"gpm", DIMENSION_VOLUME_FLOW, "3785411784/60000000000000", NULL, "3.785411784 L/min",
     "gpm|gal (US)/min|gal(US)/min|US gal/min|US gpm", NULL, NULL},
    {"gal (US)/day", DIMENSION_VOLUME_FLOW, "3785411784/86400000000000000", NULL,
     "3.785411784 L/day", "gal (US)/day|gal(US)/day|gpd|US gal/day", NULL, NULL},
    {"gal (imp)/min", DIMENSION_VOLUME_FLOW, "454609/6000000000", NULL, "4.54609 L/min",
     "gal (imp)/min|gal(imp)/min|imp gal/min|imperial gallons/minute|UK gal/min|imp gpm|UK gpm",
     NULL, NULL},
    {"cfs", DIMENSION_VOLUME_FLOW, "28316846592/1000000000000", NULL, "international_foot3/s",
     "cfs|ft3/s|ft3/sec|cu ft/s|cusec|cusecs", NULL, NULL},

    {"m", DIMENSION_LENGTH, "1", NULL, "m", "metre|metres|meter|meters", "m", NULL},
    {"cm", DIMENSION_LENGTH, "1/100", NULL, "cm", "cm", NULL, NULL},
    {"mm/10", DIMENSION_LENGTH, "1/10000", NULL, "0.1 mm",
     "mm/10|0.1 mm|tenth mm|tenths mm|tenth of mm|tenths of mm", NULL, NULL},
    {"mm", DIMENSION_LENGTH, "1/1000", NULL, "mm", "millimetre|millimetres|millimeters", "mm|MM",
     NULL},
    {"ft", DIMENSION_LENGTH, "3048/10000", NULL, "international_foot", "ft|foot|feet", NULL, NULL},
    {"in", DIMENSION_LENGTH, "254/10000", NULL, "international_inch", "in|inch|inches", NULL, NULL},

    {"um", DIMENSION_LENGTH, "1/1000000", NULL, "um", "micron|microns|micrometre|micrometres", "um",
     NULL},

    {"m2", DIMENSION_AREA, "1", NULL, "m2", "m2|sq m|sqm|square metre|square metres", NULL, NULL},
    {"ha", DIMENSION_AREA, "10000", NULL, "10000 m2", "ha|hectare|hectares", NULL, NULL},
    {"acre", DIMENSION_AREA, "40468564224/10000000", NULL, "4046.8564224 m2", "acre|acres|ac", NULL,
     NULL},

    {"m/s", DIMENSION_SPEED, "1", NULL, "m/s", "m/s|m/sec|m s-1|m.s-1", NULL, NULL},
    {"cm/s", DIMENSION_SPEED, "1/100", NULL, "cm/s", "cm/s|cm/sec|cm s-1|cm.s-1", NULL, NULL},
    {"mm/h", DIMENSION_SPEED, "1/3600000", NULL, "mm/h", "mm/h|mm/hr|mm/hour|mm h-1", NULL, NULL},
    {"mm/day", DIMENSION_SPEED, "1/86400000", NULL, "mm/day", "mm/day|mm/d|mm d-1", NULL, NULL},
    {"in/h", DIMENSION_SPEED, "254/36000000", NULL, "international_inch/h",
     "in/h|in/hr|in/hour|inches/hour", NULL, NULL},
    {"in/day", DIMENSION_SPEED, "254/864000000", NULL, "international_inch/day",
     "in/day|in/d|inches/day", NULL, NULL},

    {"s", DIMENSION_TIME, "1", NULL, "s", "sec|secs|second|seconds", "s", NULL},
    {"min", DIMENSION_TIME, "60", NULL, "min", "min|mins|minute|minutes", NULL, NULL},
    {"h", DIMENSION_TIME, "3600", NULL, "h", "hr|hrs|hour|hours", "h", NULL},
    {"day", DIMENSION_TIME, "86400", NULL, "day", "day|days", "d", NULL},

    {"kWh", DIMENSION_ENERGY, "1", NULL, "kW.h", "kWh|kW h|kilowatt hours", NULL, NULL},
    {"Wh", DIMENSION_ENERGY, "1/1000", NULL, "W.h", "Wh|watt hours", NULL, NULL},
    {"MWh", DIMENSION_ENERGY, "1000", NULL, "MW.h", "megawatt hours", "MWh|MWH", NULL},

    {"degC", DIMENSION_TEMPERATURE, "1", NULL, "degC",
     "degC|deg C|deg. C|celsius|degrees C|degrees celsius", "C", NULL},
    {"degC/10", DIMENSION_TEMPERATURE, "1/10", NULL, "0.1 K @ 2731.5",
     "degC/10|0.1 degC|tenth degC|tenths degC|tenth of degC|tenths of degC", NULL, NULL},
    {"degF", DIMENSION_TEMPERATURE, "5/9", "-160/9", "degF",
     "degF|deg F|deg. F|fahrenheit|degrees F|degrees fahrenheit", "F", NULL},
    {"K", DIMENSION_TEMPERATURE, "1", "-27315/100", "K", "kelvin", "K", NULL},

    {"degC rise", DIMENSION_TEMPERATURE_RISE, "1", NULL, "wb_rise",
     "degC rise|deg C rise|delta degC|delta deg C|delta C|delta K|degC difference|K rise", NULL,
     "degC|deg C|deg. C|C|celsius|degrees C|degrees celsius|K|kelvin"},
    {"degF rise", DIMENSION_TEMPERATURE_RISE, "5/9", NULL, "0.55555555555555556 wb_rise",
     "degF rise|deg F rise|delta degF|delta deg F|delta F|degF difference", NULL,
     "degF|deg F|deg. F|F|fahrenheit|degrees F|degrees fahrenheit"},

    {"Pa", DIMENSION_PRESSURE, "1", NULL, "Pa", "Pa|pascal|pascals", NULL, NULL},
    {"hPa", DIMENSION_PRESSURE, "100", NULL, "hPa", "hPa|hectopascal|hectopascals", NULL, NULL},
    {"kPa", DIMENSION_PRESSURE, "1000", NULL, "kPa", "kPa|kilopascal|kilopascals", NULL, NULL},
    {"mbar", DIMENSION_PRESSURE, "100", NULL, "mbar", "mbar|mbars|millibar|millibars", NULL, NULL},
    {"bar", DIMENSION_PRESSURE, "100000", NULL, "bar", "bar|bars", NULL, NULL},
    {"dbar", DIMENSION_PRESSURE, "10000", NULL, "dbar", "dbar|decibar|decibars", NULL, NULL},
    {"atm", DIMENSION_PRESSURE, "101325", NULL, "atm", "atm|atmosphere|atmospheres", NULL, NULL},
    {"psi", DIMENSION_PRESSURE, "44482216152605/6451600000", NULL, "psi", "psi|lb/in2|lbf/in2",
     NULL, NULL},
    {"mmHg", DIMENSION_PRESSURE, "133322387415/1000000000", NULL, "mmHg", "mmHg|mm Hg|torr", NULL,
     NULL},
    {"inHg", DIMENSION_PRESSURE, "3386388640341/1000000000", NULL, "inHg",
     "inHg|in Hg|in. Hg|inches Hg|inches of mercury", NULL, NULL},

    {"S/m", DIMENSION_CONDUCTIVITY, "1", NULL, "S/m", "S/m", NULL, NULL},
    {"mS/cm", DIMENSION_CONDUCTIVITY, "1/10", NULL, "mS/cm",
     "mS/cm|mS cm-1|mS.cm-1|mmho/cm|mmhos/cm", NULL, NULL},
    {"uS/cm", DIMENSION_CONDUCTIVITY, "1/10000", NULL, "uS/cm",
     "uS/cm|uS cm-1|uS.cm-1|umho/cm|umhos/cm", NULL, NULL},
    {"dS/m", DIMENSION_CONDUCTIVITY, "1/10", NULL, "dS/m", "dS/m", NULL, NULL},
    {"mS/m", DIMENSION_CONDUCTIVITY, "1/1000", NULL, "mS/m", "mS/m", NULL, NULL},

    {"PSU", DIMENSION_SALINITY, "1", NULL, "wb_psu", "PSU|PSS|PSS-78|practical salinity units",
     NULL, "ppt|permille|per mille|per mil|ppth|S"},
    {"pH", DIMENSION_PH, "1", NULL, "wb_ph",
     "pH|pH units|pH unit|S.U.|SU|std units|standard units|std. units", NULL,
     "|units|unit|-|none|unitless|1"},
    {"NTU", DIMENSION_NTU, "1", NULL, "wb_ntu", "NTU|NTUs", NULL, NULL},
    {"FNU", DIMENSION_FNU, "1", NULL, "wb_fnu", "FNU|FNUs", NULL, NULL},

    {"cells/mL", DIMENSION_CELLS_VOLUME, "1", NULL, "wb_cell/mL",
     "cells/mL|cell/mL|cells mL-1|cells.mL-1", NULL, NULL},
    {"cells/L", DIMENSION_CELLS_VOLUME, "1/1000", NULL, "wb_cell/L",
     "cells/L|cell/L|cells L-1|cells.L-1", NULL, NULL},

    {"CFU/100 mL", DIMENSION_CFU_VOLUME, "1", NULL, "wb_cfu/(100 mL)",
     "CFU/100 mL|CFU/100mL|CFU/(100 mL)|CFU 100 mL-1|CFU 100mL-1|CFU/dL|cfu/100 millilitres", NULL,
     NULL},
    {"CFU/mL", DIMENSION_CFU_VOLUME, "100", NULL, "wb_cfu/mL", "CFU/mL|CFU/1 mL|CFU/1mL", NULL,
     NULL},
    {"CFU/L", DIMENSION_CFU_VOLUME, "1/10", NULL, "wb_cfu/L", "CFU/L", NULL, NULL},
    {"MPN/100 mL", DIMENSION_MPN_VOLUME, "1", NULL, "wb_mpn/(100 mL)",
     "MPN/100 mL|MPN/100mL|MPN/(100 mL)|MPN 100 mL-1|MPN 100mL-1|MPN/dL", NULL, NULL},
    {"MPN/mL", DIMENSION_MPN_VOLUME, "100", NULL, "wb_mpn/mL", "MPN/mL|MPN/1 mL|MPN/1mL", NULL,
     NULL},
    {"MPN/L", DIMENSION_MPN_VOLUME, "1/10", NULL, "wb_mpn/L", "MPN/L", NULL, NULL},
    {"CFU/100 g", DIMENSION_CFU_MASS, "1", NULL, "wb_cfu/(100 g)", "CFU/100 g|CFU/100g|CFU/(100 g)",
     NULL, NULL},
    {"CFU/g", DIMENSION_CFU_MASS, "100", NULL, "wb_cfu/g", "CFU/g", NULL, NULL},
    {"MPN/100 g", DIMENSION_MPN_MASS, "1", NULL, "wb_mpn/(100 g)", "MPN/100 g|MPN/100g|MPN/(100 g)",
     NULL, NULL},
    {"MPN/g", DIMENSION_MPN_MASS, "100", NULL, "wb_mpn/g", "MPN/g", NULL, NULL},
};

const struct unit_row *unit_row_at(size_t position)
{
    return position < ARRAY_LEN(rows) ? &rows[position] : NULL;
}

static const struct unit_refusal refusals[] = {
    {"#/100 mL|#/100mL|/100 mL|/100mL|no./100 mL|no./100mL|count/100 mL|count/100mL|"
     "counts/100 mL|counts/100mL|org/100 mL|org/100mL|organisms/100 mL|organisms/100mL|"
     "cells/100 mL|cells/100mL|colonies/100 mL|colonies/100mL",
     "It says neither CFU nor MPN, which are not the same. Ask the laboratory which it is."},
    {"1/mL|/mL|mL-1|1/L|/L|L-1|1/100 mL|1/100mL|(100 mL)-1|100 mL-1|1/g|/g|g-1|1/100 g|1/100g|"
     "/100 g|/100g|(100 g)-1|100 g-1|count/mL|counts/mL|count/L|counts/L",
     "It doesn't say of what: CFU, MPN or cells, which are not the same. Ask the laboratory."},
    {"CFU|CFUs|MPN", "It doesn't say in how much. Write CFU/100 mL, or MPN/100 g for flesh."},
    {"cells|cell", "It doesn't say in how much. Write cells/mL."},
    {"ppm|ppb|ppmv|ppbv",
     "It can mean a part by mass or mg/L. Write the unit that is meant, as mg/L or mg/kg."},
    {"ppt|permille|per mille|per mil|ppth",
     "ppt is for salinity. Write the unit that is meant, as degC, ug/L or PSU."},
    {"S", "It means a unit for salinity only. Write the unit that is meant, as ug/L or PSU."},
    {"mho|mhos|mmho|mmhos|umho|umhos|mS|uS",
     "It doesn't say over which length. Write uS/cm or mS/cm."},
    {"gal|gals|gallon|gallons",
     "Gallons differ from country to country. Write gal (US) or gal (imp)."},
    {"gal/min|gals/min|gallon/min|gallons/min|gallon/minute|gallons/minute|gal/day|gal/d|"
     "gallon/day|gallons/day|Mgal/day|Mgal/d|megagallon/day|megagallons/day",
     "Gallons differ from country to country. Write gpm, gal (US)/day or MGD, which are US."},
    {"FTU|JTU|turbidity units", "Write NTU or FNU, whichever the instrument measures."},
    {"M|N|mol|mmol|umol", "It has several meanings. Write mol/L, mmol/L or umol/L."},
    {"meq/L|meq L-1|meq|ueq/L|eq/L",
     "It depends on the charge of what is dissolved. Write mmol/L or mg/L."},
    {"ton|tons|tons/day|ton/day|tons/yr|tons/year",
     "Tons differ from country to country. Write t or lb."},
    {"month|months|year|years|yr", "Months and years differ in length. Write days."},
    {"kg/month|g/month|t/month|lb/month|lbs/month|m3/month|m3/year|m3/yr",
     "Months and years differ in length. Write it by day."},
    {"oz|ozs|ounce|ounces|fl oz", "It can be a mass or a volume. Write g or L."},
    {"mb|mbs", "It can mean a millibar or something else. Write mbar or hPa."},
    {"a|are|ares", "It can mean an area or a year. Write m2, ha or days."},
    {"units|unit|-|none|unitless|n/a|na", "Write the unit, as mg/L."},
};

const struct unit_refusal *unit_refusal_at(size_t position)
{
    return position < ARRAY_LEN(refusals) ? &refusals[position] : NULL;
}

/* Found by asking udunits2 2.2.28 about each: what it takes the word for stands beside it. */
static const char *const traps[] = {
    "a",      /* are, 100 m2 */
    "are",    /* the same */
    "gal",    /* galileo, 0.01 m/s2 */
    "Gal",    /* the same */
    "gallon", /* rounded to seven digits */
    "Mgal",   /* the library's gal is a galileo, an acceleration */
    "kgal",   /* the same */
    "ppt",    /* parts per trillion */
    "pptv",   /* the same */
    "ppm",    /* by what is not said */
    "ppmv",   /* the same */
    "ppb",    /* the same */
    "ppbv",   /* the same */
    "pH",     /* picohenry */
    "mb",     /* millibarn */
    "oz",     /* fluid ounce */
    "ton",    /* 907.18474 kg */
    "tons",   /* the same */
    "N",      /* newton, where people mean nitrogen */
    "P",      /* poise, where people mean phosphorus */
    "C",      /* coulomb, where people mean carbon or Celsius */
    "count",  /* 1, which mixes with every ratio */
    "month",  /* 30.4368 days */
    "months", /* the same */
    "year",   /* 365.2422 days */
    "years",  /* the same */
    "yr",     /* the same */
    "u",      /* atomic mass unit */
    "as",     /* attosecond */
    "CFU",    /* unknown unless told */
    "MPN",    /* the same */
    "NTU",    /* the same */
    "FNU",    /* the same */
};

/* What udunits2 takes before any unit: kgal is a thousand galileo to it. */
static const char *const prefixes[] = {"da", "h", "k", "M", "G", "d", "c", "m", "u", "n", "p"};

/* One of the traps, or more than one of it. */
static bool is_trap(const char *word)
{
    size_t length = strlen(word);

    for (size_t i = 0; i < ARRAY_LEN(traps); i++) {
        size_t trap = strlen(traps[i]);

        if (str_equal(traps[i], word) ||
            (trap > 1 && length == trap + 1 && str_starts(word, traps[i]) && word[trap] == 's'))
            return true;
    }

    return false;
}

bool unit_word_is_trap(const char *word)
{
    if (is_trap(word) || str_starts(word, "wb_") ||
        (strstr(word, "gallon") && !strchr(word, '_'))) /* kilogallons; not US_liquid_gallon */
        return true;
    for (size_t i = 0; i < ARRAY_LEN(prefixes); i++) {
        size_t length = strlen(prefixes[i]);

        /* Of one letter they would be another unit: Pa, mC. */
        if (str_starts(word, prefixes[i]) && strlen(word) > length + 1 && is_trap(word + length))
            return true;
    }

    return false;
}
