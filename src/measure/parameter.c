#include "measure/parameter.h"

#include <ctype.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"

enum { NEAR_MOST = 6 }; /* keys named in one hint */

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
        "m3", "L", "kL", "ML", "gal (US)", "gal (imp)", "ft3"                                      \
    }
#define FLOW                                                                                       \
    "m3/h",                                                                                        \
    {                                                                                              \
        "m3/h", "m3/s", "m3/day", "L/s", "L/min", "L/h", "L/day", "ML/day", "MGD", "gpm",          \
            "gal (US)/day", "gal (imp)/min", "cfs"                                                 \
    }
#define WATER PARAMETER_NUMBER, "water"
#define NEVER_NEGATIVE true, NULL
#define MAY_BE_NEGATIVE false, NULL

/* In the order in which lists show them. */
static const struct parameter built_in[] = {
    {"temperature",
     "Temperature",
     WATER,
     "",
     "degC",
     {"degC", "degF", "K", "degC/10"},
     {0},
     MAY_BE_NEGATIVE},
    {"temperature-rise",
     "Temperature rise",
     WATER,
     "",
     "degC rise",
     {"degC rise", "degF rise"},
     {0},
     MAY_BE_NEGATIVE},
    {"air-pressure",
     "Air pressure",
     WATER,
     "",
     "kPa",
     {"kPa", "hPa", "mbar", "Pa", "atm", "mmHg", "inHg", "psi"},
     {0},
     NEVER_NEGATIVE},
    {"salinity", "Salinity", WATER, "", "PSU", {"PSU"}, {0}, NEVER_NEGATIVE},
    {"conductivity",
     "Conductivity",
     WATER,
     "",
     "mS/cm",
     {"mS/cm", "uS/cm", "S/m", "dS/m", "mS/m"},
     {0},
     NEVER_NEGATIVE},
    {"oxygen", "Dissolved oxygen", WATER, "", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"oxygen-saturation", "Oxygen saturation", WATER, "", "%", {"%"}, {0}, NEVER_NEGATIVE},
    {"ph", "pH", WATER, "", "pH", {"pH"}, {0}, MAY_BE_NEGATIVE},
    {"turbidity-ntu", "Turbidity (NTU)", WATER, "", "NTU", {"NTU"}, {0}, NEVER_NEGATIVE},
    {"turbidity-fnu", "Turbidity (FNU)", WATER, "", "FNU", {"FNU"}, {0}, NEVER_NEGATIVE},
    {"suspended-solids", "Total suspended solids", WATER, "", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"settleable-solids", "Settleable solids", WATER, "", "mL/L", {"mL/L"}, {0}, NEVER_NEGATIVE},
    {"total-nitrogen", "Total nitrogen", WATER, "as N", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"ammonia", "Total ammonia", WATER, "as N", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"nitrate", "Nitrate", WATER, "as N", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"nitrite", "Nitrite", WATER, "as N", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"oxidised-nitrogen", "Oxidised nitrogen", WATER, "as N", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"phosphate", "Phosphate", WATER, "as P", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"total-phosphorus", "Total phosphorus", WATER, "as P", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"bod5", "Biochemical oxygen demand, 5 days", WATER, "", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"chlorophyll",
     "Chlorophyll a",
     WATER,
     "",
     "ug/L",
     {"ug/L", "mg/L", "ng/L", "mg/m3", "g/m3"},
     {0},
     NEVER_NEGATIVE},
    {"oil-and-grease", "Oil and grease", WATER, "", CONCENTRATION, {0}, NEVER_NEGATIVE},
    {"enterococci-cfu", "Enterococci (CFU)", WATER, "", CFU_IN_WATER, {0}, NEVER_NEGATIVE},
    {"enterococci-mpn", "Enterococci (MPN)", WATER, "", MPN_IN_WATER, {0}, NEVER_NEGATIVE},
    {"ecoli-cfu", "E. coli (CFU)", WATER, "", CFU_IN_WATER, {0}, NEVER_NEGATIVE},
    {"ecoli-mpn", "E. coli (MPN)", WATER, "", MPN_IN_WATER, {0}, NEVER_NEGATIVE},
    {"faecal-coliforms-cfu",
     "Faecal coliforms (CFU)",
     WATER,
     "",
     CFU_IN_WATER,
     {0},
     NEVER_NEGATIVE},
    {"faecal-coliforms-mpn",
     "Faecal coliforms (MPN)",
     WATER,
     "",
     MPN_IN_WATER,
     {0},
     NEVER_NEGATIVE},
    {"ecoli-flesh-mpn",
     "E. coli in flesh (MPN)",
     PARAMETER_NUMBER,
     "flesh",
     "",
     "MPN/100 g",
     {"MPN/100 g", "MPN/g"},
     {0},
     NEVER_NEGATIVE},
    {"flow", "Flow", WATER, "", FLOW, {0}, NEVER_NEGATIVE},
    {"volume", "Volume", WATER, "", VOLUME, {0}, NEVER_NEGATIVE},
    {"level", "Level", WATER, "", "m", {"m", "cm", "mm", "ft", "in"}, {0}, MAY_BE_NEGATIVE},
    {"rain", "Rain", WATER, "", "mm", {"mm", "cm", "in", "mm/10"}, {0}, NEVER_NEGATIVE},
    {"discharge-meter",
     "Discharge meter",
     PARAMETER_COUNTER,
     "water",
     "",
     VOLUME,
     {0},
     MAY_BE_NEGATIVE},
    {"energy-meter",
     "Energy meter",
     PARAMETER_COUNTER,
     "water",
     "",
     "kWh",
     {"kWh", "Wh", "MWh"},
     {0},
     MAY_BE_NEGATIVE},
    {"outlet",
     "Outlet",
     PARAMETER_STATE,
     "water",
     "",
     NULL,
     {0},
     {"open", "shut"},
     MAY_BE_NEGATIVE},
    {"pump", "Pump", PARAMETER_STATE, "water", "", NULL, {0}, {"on", "off"}, MAY_BE_NEGATIVE},
};

/*
 * What no water can have, beside the sign: no legal threshold, and wide, since what is merely
 * unlikely is for a person to judge. It catches units mixed up and the -999 and 9999 of loggers.
 *
 * pH: mine waters were measured down to -3.6 (Nordstrom, Alpers, Ptacek and Blowes 2000,
 * Environmental Science and Technology 34, 254-258, from memory); a saturated hydroxide has about
 * 15 (from memory). Conductivity: the best conducting acids have about 0.8 S/cm at room temperature
 * (from memory), and twice as much when hot. Salinity: the saltiest pond on record has 433 g/kg
 * (from memory). Temperature: the brines that stay liquid longest freeze at about -50 degC, air is
 * no colder than -90 degC, and water as a liquid under pressure ends at 374 degC (its critical
 * point; IAPWS, from memory). Saturation: oxygen under pure oxygen has 480 percent of what it has
 * under air; ten atmospheres of air would be needed for 1000. Oxygen: 1000 percent of the 14.6 mg/L
 * of fresh water at 0 degC (USGS Techniques and Methods 9-A6.2, from memory) is 146 mg/L. Air
 * pressure: 33 kPa on the highest mountain, 108.5 kPa the highest on record (from memory).
 * Settleable solids: there are 1000 mL in a litre. Rain: the wettest month on record had 9300 mm
 * (from memory).
 */
static const struct {
    const char *key;
    struct parameter_range range;
} possible[] = {
    {"ph", {-4.0, 15.0}},
    {"conductivity", {0.0, 2000.0}},
    {"salinity", {0.0, 450.0}},
    {"temperature", {-90.0, 374.0}},
    {"temperature-rise", {-464.0, 464.0}},
    {"oxygen", {0.0, 200.0}},
    {"oxygen-saturation", {0.0, 1000.0}},
    {"air-pressure", {20.0, 120.0}},
    {"settleable-solids", {0.0, 1000.0}},
    {"rain", {0.0, 9500.0}},
};

/* What the farm states of its own, what is known of a built-in one, or NULL. */
static const struct parameter_range *range_of(const struct parameter *parameter)
{
    for (size_t i = 0; !parameter->possible && i < ARRAY_LEN(possible); i++)
        if (str_equal(possible[i].key, parameter->key))
            return &possible[i].range;

    return parameter->possible;
}

const char *parameter_impossible(struct arena *mem, const struct parameter *parameter,
                                 double canonical)
{
    const struct parameter_range *range = range_of(parameter);
    const char *blank = str_equal(parameter->unit, parameter->name) ? "" : " ";
    const char *unit = *blank ? parameter->unit : "";

    if (parameter->never_negative && canonical < 0.0)
        return arena_printf(mem, "%s can't be negative", parameter->name);
    if (range && canonical < range->least)
        return arena_printf(mem, "%s can't be below %.6g%s%s", parameter->name, range->least, blank,
                            unit);
    if (range && canonical > range->most)
        return arena_printf(mem, "%s can't be above %.6g%s%s", parameter->name, range->most, blank,
                            unit);

    return NULL;
}

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

/* Of position `i` among the farm's own and then the built-in ones; NULL at the end. */
static const struct parameter *parameter_at(const struct parameter_list *own, size_t i)
{
    size_t own_count = own ? own->count : 0;

    return i < own_count ? &own->items[i] : parameter_built_in(i - own_count);
}

/* Letters and digits alone, in lower case: "ecoli" of "E. coli". */
static char *bare(struct arena *mem, const char *text)
{
    char *lower = str_lower(mem, text);
    size_t length = 0;

    for (const char *at = lower; *at; at++)
        if (isalnum((unsigned char)*at) || (unsigned char)*at >= 0x80)
            lower[length++] = *at;
    lower[length] = '\0';

    return lower;
}

/* "tss" of "Total suspended solids". */
static char *first_letters(struct arena *mem, const char *name)
{
    char *letters = arena_strdup(mem, name);
    size_t length = 0;

    for (size_t i = 0; name[i]; i++)
        if (isalpha((unsigned char)name[i]) && (i == 0 || name[i - 1] == ' '))
            letters[length++] = (char)tolower((unsigned char)name[i]);
    letters[length] = '\0';

    return letters;
}

typedef bool near_test(struct arena *mem, const struct parameter *parameter, const char *word);

static bool is_same(struct arena *mem, const struct parameter *parameter, const char *word)
{
    return str_equal(bare(mem, parameter->key), word) ||
           str_equal(bare(mem, parameter->name), word) ||
           str_equal(bare(mem, parameter_title(mem, parameter)), word);
}

static bool is_spelt_near(struct arena *mem, const struct parameter *parameter, const char *word)
{
    const char *const words[] = {bare(mem, parameter->key), bare(mem, parameter->name)};

    return str_nearest(word, words, ARRAY_LEN(words)) != NULL;
}

static bool is_part(struct arena *mem, const struct parameter *parameter, const char *word)
{
    return strstr(bare(mem, parameter->key), word) || strstr(bare(mem, parameter->name), word) ||
           str_equal(first_letters(mem, parameter->name), word);
}

/* Those the test is true of, as "'a', 'b' or 'c'"; NULL for none, or too many to be of use. */
static const char *those_near(struct arena *mem, const struct parameter_list *own, const char *word,
                              near_test *test)
{
    const char *keys[NEAR_MOST];
    const struct parameter *parameter;
    struct buf text = buf_new(mem);
    size_t count = 0;

    for (size_t i = 0; (parameter = parameter_at(own, i)); i++) {
        bool told = false;

        for (size_t k = 0; k < count; k++)
            told = told || str_equal(keys[k], parameter->key);
        if (told || !test(mem, parameter, word))
            continue;
        if (count == NEAR_MOST)
            return NULL;
        keys[count++] = parameter->key;
    }
    for (size_t k = 0; k < count; k++)
        buf_addf(&text, "%s'%s'", k == 0 ? "" : k + 1 == count ? " or " : ", ", keys[k]);

    return count > 0 ? text.data : NULL;
}

const char *parameter_near(struct arena *mem, const struct parameter_list *own, const char *word)
{
    static near_test *const tests[] = {is_same, is_part, is_spelt_near};
    const char *plain = bare(mem, word);
    const char *found = NULL;

    for (size_t i = 0; strlen(plain) > 1 && !found && i < ARRAY_LEN(tests); i++)
        found = those_near(mem, own, plain, tests[i]);

    return found;
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

    const char *near = parameter_near(mem, own, key);

    err_set(err, ERR_NOT_FOUND, "there is no parameter '%s'", str_show(mem, key, 40));
    if (near)
        return err_hint(err, "Did you mean %s? weirbook words parameters lists those built in.",
                        near);

    return err_hint(err, "weirbook words parameters lists those built in. One of your own goes "
                         "under `parameters:` in the farm file.");
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
