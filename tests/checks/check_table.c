#include "checks/check_table.h"

#include <ctype.h>
#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"
#include "measure/practical_salinity.h"

enum { PAIRS_MOST = 16, ALSO_MOST = 3 };

/* --- the inputs of a line -------------------------------------------------------------------- */

struct pairs {
    struct quantity_given items[PAIRS_MOST];
    size_t count;
};

static bool pairs_add(struct pairs *pairs, const char *name, const char *text, struct err *err)
{
    if (pairs->count == PAIRS_MOST)
        return err_set(err, ERR_INVALID, "there are more than %d inputs", PAIRS_MOST);
    pairs->items[pairs->count++] = (struct quantity_given){.name = name, .text = text};

    return true;
}

static const char *pairs_text(const struct pairs *pairs, const char *name)
{
    for (size_t i = 0; i < pairs->count; i++)
        if (str_equal(pairs->items[i].name, name))
            return pairs->items[i].text;

    return NULL;
}

/* "S=35;t68=15" */
static bool pairs_read(struct arena *mem, const char *inputs, struct pairs *out, struct err *err)
{
    const char *at = inputs;

    *out = (struct pairs){.count = 0};
    while (*at) {
        size_t length = strcspn(at, ";");
        char *part = str_trim(mem, arena_strndup(mem, at, length));
        char *equals = strchr(part, '=');

        if (*part && !equals)
            return err_set(err, ERR_INVALID, "the input '%s' has no '='", str_show(mem, part, 40));
        if (equals) {
            *equals = '\0';
            if (!pairs_add(out, str_trim(mem, part), str_trim(mem, equals + 1), err))
                return false;
        }
        at += length + (at[length] == ';');
    }

    return true;
}

/* --- symbols --------------------------------------------------------------------------------- */

/* What a symbol stands for: an input, the unit of a bare number, and what is said with it. */
static const struct symbol {
    const char *symbol;
    const char *input;
    const char *unit; /* " dbar"; "" for none */
    struct quantity_given also;
} symbols[] = {
    {"C_mScm", "conductivity", " mS/cm", {NULL, NULL}},
    {"R", "ratio", "", {NULL, NULL}},
    {"t", "temperature", " degC", {NULL, NULL}},
    {"t90", "temperature", " degC", {NULL, NULL}},
    {"pt90", "temperature", " degC", {NULL, NULL}},
    {"t68", "temperature", " degC", {"temperature-scale", "ipts-68"}},
    {"p_dbar", "pressure", " dbar", {NULL, NULL}},
    {"S", "salinity", "", {NULL, NULL}},
    {"SP", "salinity", "", {NULL, NULL}},
    {"SA", "absolute-salinity", " g/kg", {NULL, NULL}},
    {"Cl", "chlorinity", " g/kg", {NULL, NULL}},
    {"P_atm", "air-pressure", " atm", {NULL, NULL}},
    {"P_kPa", "air-pressure", " kPa", {NULL, NULL}},
    {"P_mmHg", "air-pressure", " mmHg", {NULL, NULL}},
    {"pH", "pH", "", {NULL, NULL}},
    {"coef", "equation", "", {NULL, NULL}},
    {"K0", "equation", "", {NULL, NULL}},
    {"pKa", "equation", "", {NULL, NULL}},
    {"pos", "positive", "", {NULL, NULL}},
    {"tubes", "tubes", "", {NULL, NULL}},
    {"g", "amounts", "", {NULL, NULL}},
    {"mL", "amounts", "", {NULL, NULL}},
    {"amt", "amounts", "", {NULL, NULL}},
    {"x", "values", "", {NULL, NULL}},
    {"p", "share", "", {NULL, NULL}},
    {"method", "method", "", {NULL, NULL}},
};

/* Our word for a word of a list; `quantity` NULL for all. */
static const struct translation {
    const char *quantity;
    const char *symbol;
    const char *theirs;
    const char *ours;
} translations[] = {
    {"O2sat_mL_L", "coef", "GG92(B&K data)", "garcia-gordon-ml"},
    {"O2sat_mmol_m3", "coef", "GG92(B&K data)*44.6596", "garcia-gordon-ml"},
    {"O2sat_umol_kg", "coef", "GG92(B&K data)", "garcia-gordon"},
    {"O2sat_umol_kg", "coef", "GG92(combined)", "garcia-gordon-combined"},
    {NULL, "K0", "273.2", "emerson-273.2"},
    {NULL, "K0", "273.20", "emerson-273.2"},
    {NULL, "K0", "273.15", "emerson-273.15"},
    {NULL, "pKa", "9.35+0.0324(25-t)", "bower-bidwell"},
    {NULL, "pKa", "Khoo1977", "khoo"},
    {NULL, "pKa", "EPA1989", "epa-1989"},
    {NULL, "pKa", "CleggWhitfield1995", "clegg-whitfield"},
    {"percentile", "method", "type1", "type 1"},
    {"percentile", "method", "type2", "type 2"},
    {"percentile", "method", "type3", "type 3"},
    {"percentile", "method", "type4", "type 4"},
    {"percentile", "method", "type5", "type 5"},
    {"percentile", "method", "type6", "type 6"},
    {"percentile", "method", "type7", "type 7"},
    {"percentile", "method", "type8", "type 8"},
    {"percentile", "method", "type9", "type 9"},
    {"percentile", "method", "nearest_rank", "nearest rank"},
    {"censored_mean", "method", "km", "kaplan-meier"},
    {"censored_mean", "method", "km_restricted", "kaplan-meier-restricted"},
};

static const char *translated(const char *quantity, const char *symbol, const char *text)
{
    for (size_t i = 0; i < ARRAY_LEN(translations); i++) {
        const struct translation *row = &translations[i];

        if ((!row->quantity || str_equal(row->quantity, quantity)) &&
            str_equal(row->symbol, symbol) && str_equal(row->theirs, text))
            return row->ours;
    }

    return text;
}

/* "530" for one digit a dilution is "5,3,0"; with commas it stays. */
static const char *positives(struct arena *mem, const char *text, const char *tubes)
{
    struct buf parted = buf_new(mem);

    if (strchr(text, ',') || !tubes || !strchr(tubes, ','))
        return text;
    for (size_t i = 0; text[i]; i++)
        buf_addf(&parted, "%s%c", i ? "," : "", text[i]);

    return parted.data;
}

/* --- names of quantities --------------------------------------------------------------------- */

typedef double bare_equation(const double values[3]);

struct check {
    const char *name;
    const char *needs;    /* a symbol without which this row is not the one; or NULL */
    const char *quantity; /* its word */
    size_t figure;
    struct quantity_given also[ALSO_MOST];
    struct quantity_given renamed; /* one symbol that is another input here */

    /* In its place the bare equation, of these symbols. */
    bare_equation *bare;
    const char *symbols[3];
};

static double bare_salinity(const double v[3])
{
    return pss78_salinity(v[0], v[1], v[2]);
}

static double bare_ratio(const double v[3])
{
    return pss78_ratio(v[0], v[1], v[2]);
}

static double bare_rp(const double v[3])
{
    return pss78_rp(v[0], v[1], v[2]);
}

static double bare_rt_ratio(const double v[3])
{
    return pss78_rt_ratio(v[0], v[1], v[2]);
}

#define MPN_FIGURE(name, figure, per)                                                              \
    {                                                                                              \
        name, NULL, "most probable number", figure, {{"per", per}}, {NULL, NULL}, NULL,            \
        {                                                                                          \
            NULL                                                                                   \
        }                                                                                          \
    }
#define BARE(name, needs, equation, first)                                                         \
    {                                                                                              \
        name, needs, NULL, 0, {{NULL, NULL}}, {NULL, NULL}, equation,                              \
        {                                                                                          \
            first, "t68", "p_dbar"                                                                 \
        }                                                                                          \
    }

static const struct check checks[] = {
    BARE("SP", "R", bare_salinity, "R"),
    BARE("R_from_SP", NULL, bare_ratio, "SP"),
    BARE("Rp", NULL, bare_rp, "R"),
    BARE("Rt", NULL, bare_rt_ratio, "R"),
    {.name = "SP", .quantity = "practical salinity", .also = {{"below-2", "pss-78"}}},
    {.name = "SP_low", .quantity = "practical salinity", .also = {{"below-2", "hill-continuous"}}},
    {.name = "SP_Hill_raw",
     .quantity = "practical salinity",
     .also = {{"below-2", "hill-as-published"}}},
    {.name = "f25", .quantity = "natural water temperature factor"},
    {.name = "rho_EOS80", .quantity = "sea water density", .also = {{"equation", "eos-80"}}},
    {.name = "sigma_EOS80",
     .quantity = "sea water density",
     .figure = 1,
     .also = {{"equation", "eos-80"}}},
    {.name = "rho_TEOS10_surface",
     .quantity = "sea water density",
     .also = {{"equation", "teos-10"}}},
    {.name = "rho_TEOS10", .quantity = "density from absolute salinity"},
    {.name = "O2sat_mg_L", .needs = "Cl", .quantity = "oxygen solubility by chlorinity"},
    {.name = "O2sat_mg_L", .quantity = "oxygen solubility"},
    {.name = "O2sat_mg_L_via_gsw",
     .quantity = "oxygen solubility",
     .also = {{"equation", "garcia-gordon"}}},
    {.name = "O2sat_mL_L",
     .quantity = "oxygen solubility",
     .figure = 3,
     .also = {{"temperature-scale", "ipts-68"}}},
    {.name = "O2sat_mmol_m3",
     .quantity = "oxygen solubility",
     .figure = 1,
     .also = {{"temperature-scale", "ipts-68"}}},
    {.name = "O2sat_umol_kg",
     .quantity = "oxygen solubility",
     .figure = 2,
     .also = {{"temperature-scale", "ipts-68"}}},
    {.name = "O2sol_umol_kg",
     .quantity = "oxygen solubility",
     .figure = 2,
     .also = {{"equation", "garcia-gordon"}}},
    {.name = "O2sat_mL_L_Weiss",
     .quantity = "oxygen solubility",
     .figure = 3,
     .also = {{"equation", "weiss"}}},
    {.name = "O2_pressure_factor", .quantity = "oxygen pressure factor"},
    {.name = "pct_NH3_fresh", .quantity = "un-ionised ammonia"},
    {.name = "pct_NH3_sea", .quantity = "un-ionised ammonia"},
    {.name = "total_NH3_mgL_for_0.019",
     .quantity = "total ammonia for an un-ionised amount",
     .also = {{"un-ionised-ammonia", "0.019"}}},
    {.name = "CMC_total_NH3_mgL",
     .quantity = "total ammonia for an un-ionised amount",
     .also = {{"un-ionised-ammonia", "0.233"}, {"equation", "epa-1989"}}},
    MPN_FIGURE("MPN_per_g_2sf", 0, "1"),
    MPN_FIGURE("MPN_per_100mL_2sf", 0, "100"),
    MPN_FIGURE("MPN", 1, "1"),
    MPN_FIGURE("MPN_LR95_low", 2, "1"),
    MPN_FIGURE("MPN_LR95_high", 3, "1"),
    MPN_FIGURE("RI", 6, "1"),
    MPN_FIGURE("MPN_adj", 8, "1"),
    {.name = "percentile", .quantity = "percentile", .renamed = {"method", "definition"}},
    {.name = "geometric_mean", .quantity = "geometric mean", .renamed = {"method", "less-thans"}},
    {.name = "censored_mean", .quantity = "censored mean"},
};

static const struct check *check_find(const char *name, const struct pairs *pairs)
{
    for (size_t i = 0; i < ARRAY_LEN(checks); i++)
        if (str_equal(checks[i].name, name) &&
            (!checks[i].needs || pairs_text(pairs, checks[i].needs)))
            return &checks[i];

    return NULL;
}

/* --- answering ------------------------------------------------------------------------------- */

static bool answer_bare(const struct check *check, const struct pairs *pairs,
                        struct quantity_value *out, struct err *err)
{
    double values[3];

    for (size_t i = 0; i < ARRAY_LEN(values); i++) {
        const char *text = pairs_text(pairs, check->symbols[i]);
        char *end = NULL;

        if (!text)
            return err_set(err, ERR_INVALID, "%s is missing", check->symbols[i]);
        values[i] = strtod(text, &end);
        if (end == text || *end)
            return err_set(err, ERR_INVALID, "%s is no number", check->symbols[i]);
    }
    *out = (struct quantity_value){.known = true, .qualifier = '=', .number = check->bare(values)};

    return true;
}

static bool symbol_given(struct arena *mem, const struct check *check, const struct pairs *pairs,
                         const struct quantity_given *pair, struct pairs *given, struct err *err)
{
    const char *text = translated(check->name, pair->name, pair->text);

    if (str_equal(pair->name, "pos"))
        text = positives(mem, text, pairs_text(pairs, "tubes"));
    if (check->renamed.name && str_equal(check->renamed.name, pair->name))
        return pairs_add(given, check->renamed.text, text, err);
    for (size_t i = 0; i < ARRAY_LEN(symbols); i++) {
        const struct symbol *symbol = &symbols[i];

        if (!str_equal(symbol->symbol, pair->name))
            continue;
        return pairs_add(given, symbol->input, arena_printf(mem, "%s%s", text, symbol->unit),
                         err) &&
               (!symbol->also.name || pairs_add(given, symbol->also.name, symbol->also.text, err));
    }

    return err_set(err, ERR_INVALID, "'%s' stands for no input", pair->name);
}

static bool answer_figure(struct arena *mem, struct units *units, const struct quantity *quantity,
                          const struct pairs *given, size_t figure, const char *unit,
                          struct quantity_value *out, struct err *err)
{
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;

    if (!quantity_ask(mem, units, quantity, given->items, given->count, &asked, err) ||
        !quantity_work_out(mem, asked, &answer, err))
        return false;
    if (!answer.figures[figure].known)
        return err_set(err, ERR_INVALID, "%s is not known", quantity->figures[figure].name);
    *out = answer.figures[figure];

    return !unit || quantity_figure_in(mem, asked, figure, &answer.figures[figure], unit, out, err);
}

static bool answer_row(struct arena *mem, struct units *units, const struct check *check,
                       const struct pairs *pairs, struct quantity_value *out, struct err *err)
{
    const struct quantity *quantity = NULL;
    struct pairs given = {.count = 0};

    if (check->bare)
        return answer_bare(check, pairs, out, err);
    if (!quantity_require(mem, check->quantity, &quantity, err))
        return false;
    for (size_t i = 0; i < pairs->count; i++)
        if (!symbol_given(mem, check, pairs, &pairs->items[i], &given, err))
            return false;
    for (size_t i = 0; i < ALSO_MOST && check->also[i].name; i++)
        if (!pairs_add(&given, check->also[i].name, check->also[i].text, err))
            return false;

    return answer_figure(mem, units, quantity, &given, check->figure, NULL, out, err);
}

/* The figure of that name. */
static bool figure_find(const struct quantity *quantity, const char *name, size_t *out,
                        struct err *err)
{
    for (size_t i = 0; quantity->figures[i].name; i++) {
        if (!name || str_equal(quantity->figures[i].name, name)) {
            *out = i;
            return true;
        }
    }

    return err_set(err, ERR_INVALID, "%s has no figure '%s'", quantity->word, name);
}

static bool answer_own_word(struct arena *mem, struct units *units, const char *word,
                            const struct pairs *pairs, struct quantity_value *out, struct err *err)
{
    const struct quantity *quantity = NULL;
    struct pairs given = {.count = 0};
    size_t figure = 0;

    if (!quantity_require(mem, word, &quantity, err) ||
        !figure_find(quantity, pairs_text(pairs, "figure"), &figure, err))
        return false;
    for (size_t i = 0; i < pairs->count; i++) {
        const struct quantity_given *pair = &pairs->items[i];

        if (str_equal(pair->name, "figure") || str_equal(pair->name, "unit"))
            continue;
        if (!pairs_add(&given, pair->name, pair->text, err))
            return false;
    }

    return answer_figure(mem, units, quantity, &given, figure, pairs_text(pairs, "unit"), out, err);
}

bool check_answer(struct arena *mem, struct units *units, const char *quantity, const char *inputs,
                  struct quantity_value *out, struct err *err)
{
    struct pairs pairs;

    if (!pairs_read(mem, inputs, &pairs, err))
        return false;

    const struct check *check = check_find(quantity, &pairs);

    return check ? answer_row(mem, units, check, &pairs, out, err)
                 : answer_own_word(mem, units, quantity, &pairs, out, err);
}
