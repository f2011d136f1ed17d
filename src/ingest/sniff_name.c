#include "ingest/sniff_name.h"

#include <string.h>

#include "base/str.h"
#include "ingest/sniff_table.h"

/* --- fields --- */

/* Plain names, bars between. Those of results are the open column names of discrete sampling. */
static const struct {
    enum csv_field field;
    const char *names;
} fields[] = {
    {FIELD_STATION, "station|site|location|samplingpoint|samplepoint|samplingsite|stationcode|"
                    "sitecode|siteid|sitename|stationid|stationname|locationid|locationname|point|"
                    "place|monitoringlocationidentifier|monitoringlocation|ort|messstelle|lieu|"
                    "punto|estacion|where"},
    {FIELD_POSITION, "position|ring|samplingdepthname|depthname"},
    {FIELD_PARAMETER, "parameter|analyte|analytename|determinand|determinant|test|testname|"
                      "characteristicname|characteristic|variable|measurement|parametername|"
                      "component|sensor|what"},
    {FIELD_VALUE, "value|result|resultvalue|resultmeasurevalue|reading|measuredvalue|"
                  "concentration|amount|reportedresult|finalresult|wert|valeur|valor"},
    {FIELD_UNIT, "unit|units|uom|unitofmeasure|resultunit|resultunits|resultmeasuremeasureunitcode|"
                 "einheit|unite|unidad"},
    {FIELD_QUALIFIER, "qualifier|sign|prefix|condition|resultdetectionconditiontext|"
                      "detectioncondition|lessthan|censored|modifier"},
    {FIELD_DETECTION, "mdl|lod|dl|detectionlimit|limitofdetection|methoddetectionlimit"},
    {FIELD_QUANTITATION, "rl|loq|pql|mrl|lor|reportinglimit|quantitationlimit|"
                         "limitofquantitation|limitofquantification|limitofreporting|"
                         "detectionquantitationlimitmeasuremeasurevalue"},
    {FIELD_LIMIT_UNIT, "detectionquantitationlimitmeasuremeasureunitcode|limitunit|mdlunit|rlunit"},
    {FIELD_SAMPLE, "sample|sampleid|samplenumber|sampleno|samplecode|labid|labnumber|"
                   "activityidentifier|bottle|probennummer"},
    {FIELD_REPLICATE, "replicate|rep|repl|duplicate|replicatenumber"},
    {FIELD_METHOD, "method|methodid|methodcode|testmethod|analysismethod|collmethd|"
                   "resultanalyticalmethodmethodidentifier"},
    {FIELD_TAKEN_BY, "takenby|sampledby|sampler|collectedby|collector"},
    {FIELD_PURPOSE, "purpose"},
    {FIELD_CLOCK, "tz|tzcd|tzcode|timezone|timezonecode|zone|utcoffset|"
                  "activitystarttimetimezonecode"},
    {FIELD_FLAG, "flag|flags|qc|qcflag|qualityflag|quality|qualitycode|valueflag"},
    {FIELD_INSTRUMENT, "laboratory|lab|laboratoryname|labname|instrument|instrumentid|sonde|"
                       "probe|device|serialnumber|serial"},
};

/* Whether the list, bars between, has the word. */
static bool list_has(const char *list, const char *word)
{
    size_t length = strlen(word);

    for (const char *at = list; length > 0 && (at = strstr(at, word)); at += length)
        if ((at == list || at[-1] == '|') && (at[length] == '\0' || at[length] == '|'))
            return true;

    return false;
}

enum csv_field sniff_name_field(struct arena *mem, const char *name)
{
    const char *plain = sniff_plain(mem, name);

    for (size_t i = 0; i < ARRAY_LEN(fields); i++)
        if (list_has(fields[i].names, plain))
            return fields[i].field;

    return CSV_FIELDS;
}

int sniff_name_time(struct arena *mem, const char *name)
{
    static const struct {
        const char *part;
        int score;
    } parts[] = {
        {"timestamp", 4}, {"datetime", 4},  {"date", 3},       {"time", 2},    {"datum", 3},
        {"uhrzeit", 2},   {"zeit", 2},      {"heure", 2},      {"fecha", 3},   {"hora", 2},
        {"hour", 2},      {"sampl", 2},     {"collect", 2},    {"taken", 2},   {"start", 1},
        {"stamp", 2},     {"when", 2},      {"measur", 1},     {"analys", -9}, {"analyz", -9},
        {"receiv", -9},   {"report", -9},   {"update", -9},    {"print", -9},  {"created", -9},
        {"prepar", -9},   {"extract", -9},  {"end", -5},       {"expir", -9},  {"calibrat", -9},
        {"zonecode", -9}, {"timezone", -9}, {"taxonomic", -9},
    };
    const char *plain = sniff_plain(mem, name);
    int score = 0;

    for (size_t i = 0; i < ARRAY_LEN(parts); i++)
        if (strstr(plain, parts[i].part))
            score += parts[i].score;

    return score;
}

/* --- parameters --- */

/* Plain names and what they may be, all keys bars between; a unit that the name tells. */
static const struct {
    const char *names;
    const char *keys;
    const char *unit;
} usual[] = {
    {"temp|temperature|watertemp|watertemperature|wtemp|temperaturewater|tempwater|seatemp|"
     "temperatur|wassertemperatur|température|temperatura|t",
     "temperature", NULL},
    {"tempc|temperaturec|tempdegc|watertempc|temperaturedegc", "temperature", "degC"},
    {"tempf|temperaturef|tempdegf", "temperature", "degF"},
    {"sal|salinity|salzgehalt|salinität|salinité|salinidad|salinidade|saliniteit|salt", "salinity",
     NULL},
    {"salpsu|salinitypsu|psu", "salinity", "PSU"},
    {"cond|conductivity|spcond|specificconductance|specificconductivity|speccond|ec|"
     "leitfähigkeit|conductivité|conductividad",
     "conductivity", NULL},
    {"spcondmscm|condmscm", "conductivity", "mS/cm"},
    {"spcondµscm|conduscm|spconduscm", "conductivity", "uS/cm"},
    {"do|dissolvedoxygen|oxygen|o2|odo|ldo|sauerstoff|oxygène|oxygènedissous|oxigeno|zuurstof|"
     "dissolvedoxygendo",
     "oxygen|oxygen-saturation", NULL},
    {"domgl|odomgl|ldomgl|dissolvedoxygenmgl|oxygenmgl|do2mgl", "oxygen", "mg/L"},
    {"dopct|dosat|dosaturation|odosat|odopct|ldopct|dopercent|oxygensaturation|o2sat|"
     "oxygensat|dissolvedoxygensaturation|dissolvedoxygenpercent",
     "oxygen-saturation", "%"},
    {"ph|phwert|phvalue|phunits|fieldph", "ph", NULL},
    {"turb|turbidity|trübung|turbidité|turbidez", "turbidity-ntu|turbidity-fnu", NULL},
    {"turbntu|turbidityntu", "turbidity-ntu", "NTU"},
    {"turbfnu|turbidityfnu", "turbidity-fnu", "FNU"},
    {"tss|totalsuspendedsolids|suspendedsolids|totalsuspendedsolid|suspendedmatter|ss|"
     "totalnonfilterableresidue|mes",
     "suspended-solids", NULL},
    {"settleablesolids|settleables", "settleable-solids", NULL},
    {"tn|totaln|totalnitrogen|ntotal", "total-nitrogen", NULL},
    {"nh3n|nh4n|ammonian|ammonianitrogen|ammoniacalnitrogen|totalammonianitrogen|tan|"
     "ammoniaasn|ammoniumn|ammoniumasn|totalammoniaasn|nhxn",
     "ammonia", NULL},
    {"no3n|nitraten|nitratenitrogen|nitrateasn", "nitrate", NULL},
    {"no2n|nitriten|nitritenitrogen|nitriteasn", "nitrite", NULL},
    {"noxn|no23n|nitratenitriten|nitritenitraten|oxidisednitrogen|oxidizednitrogen|"
     "totaloxidisednitrogen|totaloxidizednitrogen|ton|nitratenitriteasn",
     "oxidised-nitrogen", NULL},
    {"po4p|orthophosphatep|orthophosphateasp|phosphatep|phosphateasp|reactivephosphorus|"
     "dissolvedreactivephosphorus|drp|srp|frp",
     "phosphate", NULL},
    {"tp|totalp|totalphosphorus|ptotal", "total-phosphorus", NULL},
    {"bod|bod5|biochemicaloxygendemand|biochemicaloxygendemand5days", "bod5", NULL},
    {"chl|chla|chlorophyll|chlorophylla|chlan|chlfluor", "chlorophyll", NULL},
    {"oilandgrease|og|oilgrease", "oil-and-grease", NULL},
    {"enterococci|enterococcus|enterococcusgroup|intestinalenterococci",
     "enterococci-cfu|enterococci-mpn", NULL},
    {"ecoli|escherichiacoli", "ecoli-cfu|ecoli-mpn|ecoli-flesh-mpn", NULL},
    {"fecalcoliform|fecalcoliforms|faecalcoliform|faecalcoliforms|fc|thermotolerantcoliforms",
     "faecal-coliforms-cfu|faecal-coliforms-mpn", NULL},
    {"flow|flowrate|discharge|dischargeflow|débit|durchfluss|caudal", "flow", NULL},
    {"volume|totalvolume|dischargevolume", "volume", NULL},
    {"meter|metre|totaliser|totalizer|meterreading|watermeter|metrereading", "discharge-meter",
     NULL},
    {"level|waterlevel|stage|wasserstand|gaugeheight", "level", NULL},
    {"rain|rainfall|precip|precipitation|prcp|totprcp|regen|niederschlag|pluie|lluvia", "rain",
     NULL},
    {"bp|baro|airpressure|barometricpressure|atmosphericpressure|luftdruck", "air-pressure", NULL},
    {"energy|energymeter|kwh|electricity", "energy-meter", NULL},
    {"pump|pumpstate|pumpstatus", "pump", NULL},
    {"outlet|outletstate|valve|gate", "outlet", NULL},
};

/* Names of an ion or of its nitrogen or phosphorus: only the farm's file can say which. */
static const struct {
    const char *names;
    const char *keys;
} unclear[] = {
    {"nh3|nh4|nh4f|ammonia|ammonium|totalammonia|ammoniatotal", "ammonia"},
    {"no3|no3f|nitrate", "nitrate"},
    {"no2|no2f|nitrite", "nitrite"},
    {"nox|no23|no23f|no2no3|no3no2|nitratenitrite|nitritenitrate", "oxidised-nitrogen"},
    {"po4|po4f|phosphate|orthophosphate|op", "phosphate"},
};

static void parameters_add(struct sniff_parameters *found, const struct parameter *parameter)
{
    for (size_t i = 0; i < found->count; i++)
        if (str_equal(found->items[i]->key, parameter->key))
            return;
    if (found->count < SNIFF_PARAMETERS_MOST)
        found->items[found->count++] = parameter;
}

static void keys_add(struct arena *mem, const struct parameter_list *own, const char *keys,
                     struct sniff_parameters *found)
{
    while (*keys) {
        size_t length = strcspn(keys, "|");
        const struct parameter *parameter = parameter_find(own, arena_strndup(mem, keys, length));

        if (parameter)
            parameters_add(found, parameter);
        keys += length + (keys[length] == '|');
    }
}

/* The farm's own parameters, and the built-in ones, by what they are called here. */
static void called_so(struct arena *mem, const struct parameter_list *own, const char *plain,
                      struct sniff_parameters *found)
{
    const struct parameter *parameter;

    for (size_t i = 0; own && i < own->count; i++) {
        parameter = &own->items[i];
        if (str_equal(sniff_plain(mem, parameter->key), plain) ||
            str_equal(sniff_plain(mem, parameter->name), plain))
            parameters_add(found, parameter);
    }
    for (size_t i = 0; (parameter = parameter_built_in(i)); i++)
        if (str_equal(sniff_plain(mem, parameter->key), plain) ||
            str_equal(sniff_plain(mem, parameter->name), plain))
            parameters_add(found, parameter_find(own, parameter->key));
}

/* Whether the unit, as written, is one the parameter can be in; *basis: it names the basis too. */
static bool unit_fits(const struct units *units, const struct parameter *parameter,
                      const char *unit, bool *basis)
{
    struct unit_reading reading = {.unit = NULL};
    struct err ignored = ERR_INIT;

    if (parameter->kind == PARAMETER_STATE ||
        !unit_read(units, unit, parameter, &reading, &ignored))
        return false;
    *basis = reading.basis != NULL;

    return true;
}

void sniff_name_fit(const struct units *units, const char *const *words, size_t count,
                    struct sniff_parameters *may_be)
{
    size_t kept = 0;
    bool told = false;

    for (size_t i = 0; i < may_be->count; i++) {
        bool fits = false;

        for (size_t k = 0; k < count; k++) {
            bool basis = false;

            if (!unit_fits(units, may_be->items[i], words[k], &basis))
                continue;
            fits = true;
            told = told || basis;
        }
        if (fits)
            may_be->items[kept++] = may_be->items[i];
    }
    if (kept > 0) {
        may_be->count = kept;
        may_be->basis_untold = may_be->basis_untold && !told;
    }
}

struct sniff_parameters sniff_name_parameters(struct arena *mem, const struct units *units,
                                              const struct parameter_list *own, const char *name,
                                              const char *unit)
{
    const char *plain = sniff_plain(mem, name);
    struct sniff_parameters found = {.count = 0};

    called_so(mem, own, plain, &found);
    found.basis_untold = found.count > 0 && *found.items[0]->basis != '\0';
    for (size_t i = 0; i < ARRAY_LEN(usual); i++)
        if (list_has(usual[i].names, plain)) {
            keys_add(mem, own, usual[i].keys, &found);
            found.unit = usual[i].unit;
            found.basis_untold = false;
        }
    for (size_t i = 0; i < ARRAY_LEN(unclear); i++)
        if (list_has(unclear[i].names, plain)) {
            keys_add(mem, own, unclear[i].keys, &found);
            found.basis_untold = true;
        }
    if (!unit)
        unit = found.unit;
    if (unit)
        sniff_name_fit(units, &unit, 1, &found);

    return found;
}

struct sniff_parameters sniff_name_by_unit(const struct units *units,
                                           const struct parameter_list *own, const char *unit,
                                           bool *more)
{
    struct sniff_parameters found = {.count = 0};
    const struct parameter *parameter = NULL;
    size_t own_count = own ? own->count : 0;
    bool basis;

    *more = false;
    for (size_t i = 0; i < own_count || parameter_built_in(i - own_count); i++) {
        parameter = i < own_count ? &own->items[i]
                                  : parameter_find(own, parameter_built_in(i - own_count)->key);
        if (!unit_fits(units, parameter, unit, &basis))
            continue;
        *more = *more || found.count == SNIFF_PARAMETERS_MOST;
        parameters_add(&found, parameter);
    }

    return found;
}

/* --- flags --- */

bool sniff_name_flags(struct arena *mem, const char *name, const char *of)
{
    static const struct {
        const char *mark;
        bool before; /* "F_Temp"; behind a name F is Fahrenheit */
        bool behind; /* "Temp_flag" */
    } marks[] = {
        {"f", true, false},          {"flag", true, true}, {"qc", true, true},
        {"qcflag", true, true},      {"q", true, false},   {"quality", true, true},
        {"attr", false, true},       {"qual", true, true}, {"qualcode", false, true},
        {"qualityflag", true, true},
    };
    const char *plain = sniff_plain(mem, name);
    const char *value = sniff_plain(mem, of);

    if (!*value)
        return false;
    for (size_t i = 0; i < ARRAY_LEN(marks); i++)
        if ((marks[i].before &&
             str_equal(plain, arena_printf(mem, "%s%s", marks[i].mark, value))) ||
            (marks[i].behind && str_equal(plain, arena_printf(mem, "%s%s", value, marks[i].mark))))
            return true;

    return false;
}
