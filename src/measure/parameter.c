#include "measure/parameter.h"

#include "base/buf.h"
#include "base/str.h"

#define CONCENTRATION                                                                              \
    "mg/L",                                                                                        \
    {                                                                                              \
        "mg/L", "ug/L", "ng/L", "g/L", "g/m3", "mg/m3", "kg/m3"                                    \
    }
#define CFU_IN_WATER                                                                               \
    "CFU/100 mL",                                                                                  \
    {                                                                                              \
        "CFU/100 mL", "CFU/mL", "CFU/L"                                                            \
    }
#define MPN_IN_WATER                                                                               \
    "MPN/100 mL",                                                                                  \
    {                                                                                              \
        "MPN/100 mL", "MPN/mL", "MPN/L"                                                            \
    }
#define VOLUME                                                                                     \
    "m3",                                                                                          \
    {                                                                                              \
        "m3", "L", "kL", "ML", "gal (US)", "ft3"                                                   \
    }
#define FLOW                                                                                       \
    "m3/h",                                                                                        \
    {                                                                                              \
        "m3/h", "m3/s", "m3/day", "L/s", "L/min", "L/h", "L/day", "ML/day", "MGD", "gpm",          \
            "gal (US)/day", "cfs"                                                                  \
    }
#define WATER PARAMETER_NUMBER, "water"

/* In the order in which lists show them. */
static const struct parameter built_in[] = {
    {"temperature", "Temperature", WATER, "", "degC", {"degC", "degF", "K"}, {0}},
    {"salinity", "Salinity", WATER, "", "PSU", {"PSU"}, {0}},
    {"conductivity",
     "Conductivity",
     WATER,
     "",
     "mS/cm",
     {"mS/cm", "uS/cm", "S/m", "dS/m", "mS/m"},
     {0}},
    {"oxygen", "Dissolved oxygen", WATER, "", CONCENTRATION, {0}},
    {"oxygen-saturation", "Oxygen saturation", WATER, "", "%", {"%"}, {0}},
    {"ph", "pH", WATER, "", "pH", {"pH"}, {0}},
    {"turbidity-ntu", "Turbidity (NTU)", WATER, "", "NTU", {"NTU"}, {0}},
    {"turbidity-fnu", "Turbidity (FNU)", WATER, "", "FNU", {"FNU"}, {0}},
    {"suspended-solids", "Total suspended solids", WATER, "", CONCENTRATION, {0}},
    {"settleable-solids", "Settleable solids", WATER, "", "mL/L", {"mL/L"}, {0}},
    {"total-nitrogen", "Total nitrogen", WATER, "as N", CONCENTRATION, {0}},
    {"ammonia", "Total ammonia", WATER, "as N", CONCENTRATION, {0}},
    {"nitrate", "Nitrate", WATER, "as N", CONCENTRATION, {0}},
    {"nitrite", "Nitrite", WATER, "as N", CONCENTRATION, {0}},
    {"oxidised-nitrogen", "Oxidised nitrogen", WATER, "as N", CONCENTRATION, {0}},
    {"phosphate", "Phosphate", WATER, "as P", CONCENTRATION, {0}},
    {"total-phosphorus", "Total phosphorus", WATER, "as P", CONCENTRATION, {0}},
    {"bod5", "Biochemical oxygen demand, 5 days", WATER, "", CONCENTRATION, {0}},
    {"chlorophyll",
     "Chlorophyll a",
     WATER,
     "",
     "ug/L",
     {"ug/L", "mg/L", "ng/L", "mg/m3", "g/m3"},
     {0}},
    {"oil-and-grease", "Oil and grease", WATER, "", CONCENTRATION, {0}},
    {"enterococci-cfu", "Enterococci (CFU)", WATER, "", CFU_IN_WATER, {0}},
    {"enterococci-mpn", "Enterococci (MPN)", WATER, "", MPN_IN_WATER, {0}},
    {"ecoli-cfu", "E. coli (CFU)", WATER, "", CFU_IN_WATER, {0}},
    {"ecoli-mpn", "E. coli (MPN)", WATER, "", MPN_IN_WATER, {0}},
    {"faecal-coliforms-cfu", "Faecal coliforms (CFU)", WATER, "", CFU_IN_WATER, {0}},
    {"faecal-coliforms-mpn", "Faecal coliforms (MPN)", WATER, "", MPN_IN_WATER, {0}},
    {"ecoli-flesh-mpn",
     "E. coli in flesh (MPN)",
     PARAMETER_NUMBER,
     "flesh",
     "",
     "MPN/100 g",
     {"MPN/100 g", "MPN/g"},
     {0}},
    {"flow", "Flow", WATER, "", FLOW, {0}},
    {"volume", "Volume", WATER, "", VOLUME, {0}},
    {"level", "Level", WATER, "", "m", {"m", "cm", "mm", "ft", "in"}, {0}},
    {"rain", "Rain", WATER, "", "mm", {"mm", "cm", "in"}, {0}},
    {"discharge-meter", "Discharge meter", PARAMETER_COUNTER, "water", "", VOLUME, {0}},
    {"energy-meter",
     "Energy meter",
     PARAMETER_COUNTER,
     "water",
     "",
     "kWh",
     {"kWh", "Wh", "MWh"},
     {0}},
    {"outlet", "Outlet", PARAMETER_STATE, "water", "", NULL, {0}, {"open", "shut"}},
    {"pump", "Pump", PARAMETER_STATE, "water", "", NULL, {0}, {"on", "off"}},
};

const struct parameter *parameter_built_in(size_t position)
{
    return position < ARRAY_LEN(built_in) ? &built_in[position] : NULL;
}

static const struct parameter *find_among(const struct parameter *items, size_t count,
                                          const char *key)
{
    for (size_t i = 0; i < count; i++)
        if (str_equal(items[i].key, key))
            return &items[i];

    return NULL;
}

const struct parameter *parameter_find(const struct parameter_list *own, const char *key)
{
    const struct parameter *found = own ? find_among(own->items, own->count, key) : NULL;

    return found ? found : find_among(built_in, ARRAY_LEN(built_in), key);
}

static const char *nearest_key(struct arena *mem, const struct parameter_list *own, const char *key)
{
    size_t own_count = own ? own->count : 0;
    const char **keys = ARENA_ARRAY(mem, const char *, own_count + ARRAY_LEN(built_in));

    for (size_t i = 0; i < own_count; i++)
        keys[i] = own->items[i].key;
    for (size_t i = 0; i < ARRAY_LEN(built_in); i++)
        keys[own_count + i] = built_in[i].key;

    return str_nearest(key, keys, own_count + ARRAY_LEN(built_in));
}

bool parameter_require(const struct parameter_list *own, const char *key,
                       const struct parameter **out, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct parameter *found = parameter_find(own, key);

    if (found) {
        *out = found;
        return true;
    }

    const char *nearest = nearest_key(mem, own, key);

    err_set(err, ERR_NOT_FOUND, "there is no parameter '%s'", str_show(mem, key, 40));
    if (nearest)
        return err_hint(err, "Did you mean %s?", nearest);

    return err_hint(err, "Define it under parameters in the farm file.");
}

static const char *const kind_names[] = {
    [PARAMETER_NUMBER] = "number",
    [PARAMETER_COUNTER] = "counter",
    [PARAMETER_STATE] = "state",
};

const char *parameter_kind_name(enum parameter_kind kind)
{
    return kind_names[kind];
}

bool parameter_kind_parse(const char *name, enum parameter_kind *out)
{
    for (size_t i = 0; i < ARRAY_LEN(kind_names); i++) {
        if (str_equal(kind_names[i], name)) {
            *out = (enum parameter_kind)i;
            return true;
        }
    }

    return false;
}

bool parameter_allows_unit(const struct parameter *parameter, const char *unit_name)
{
    for (size_t i = 0; i < PARAMETER_UNITS_MOST && parameter->units[i]; i++)
        if (str_equal(parameter->units[i], unit_name))
            return true;

    return false;
}

const char *parameter_state(const struct parameter *parameter, const char *word)
{
    for (size_t i = 0; i < PARAMETER_STATES_MOST && parameter->states[i]; i++)
        if (str_equal_nocase(parameter->states[i], word))
            return parameter->states[i];

    return NULL;
}

char *parameter_title(struct arena *mem, const struct parameter *parameter)
{
    if (!*parameter->basis)
        return arena_strdup(mem, parameter->name);

    return arena_printf(mem, "%s (%s)", parameter->name, parameter->basis);
}

char *parameter_units_text(struct arena *mem, const struct parameter *parameter)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < PARAMETER_UNITS_MOST && parameter->units[i]; i++)
        buf_addf(&text, "%s%s", i ? ", " : "", parameter->units[i]);

    return text.data;
}
