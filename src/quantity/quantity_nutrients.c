#include "measure/ammonia.h"
#include "measure/nutrient_balance.h"
#include "measure/nutrient_basis.h"
#include "measure/ph_mean.h"
#include "quantity/quantity_inside.h"

/* --- words ----------------------------------------------------------------------------------- */

static const char *ammonia_word(size_t position, const char **means)
{
    if (position >= AMMONIA_FORM_COUNT)
        return NULL;

    const struct ammonia_form_facts *facts = ammonia_form_facts((enum ammonia_form)position);

    if (means)
        *means = facts->name;

    return facts->key;
}

static const char *basis_word(size_t position, const char **means)
{
    if (means)
        *means = NULL;

    return nutrient_basis_at(position);
}

static const char *ph_mean_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [PH_MEAN_ARITHMETIC] = {"arithmetic", "of the figures as they are"},
        [PH_MEAN_HYDROGEN_ION] = {"hydrogen-ion", "of the hydrogen ions; lower or the same"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

/* --- ammonia --------------------------------------------------------------------------------- */

static struct ammonia_water water_of(const struct quantity_asked *asked)
{
    return (struct ammonia_water){
        .ph = asked_number(asked, "pH"),
        .t_degc = asked_number(asked, "temperature"),
        .salinity = asked_number(asked, "salinity"),
    };
}

static void tell_form(struct arena *mem, enum ammonia_form form, struct quantity_answer *answer)
{
    const struct ammonia_form_facts *facts = ammonia_form_facts(form);

    answer->equation = facts->name;
    answer->source = facts->source;
    answer->range =
        arena_printf(mem,
                     "%g to %g degC, salinity %g to %g, pH %g to %g on the %s "
                     "scale",
                     facts->t_least, facts->t_most, facts->salinity_least, facts->salinity_most,
                     facts->ph_least, facts->ph_most, facts->scale);
}

/* A mass of ammonia means nothing without its basis: as NH3 it is a fifth more than as N. */
static void tell_basis(struct arena *mem, const struct quantity_asked *asked,
                       enum ammonia_form form, const char *answer_of, const char *answer_basis,
                       const char *other_of, const char *other_basis,
                       struct quantity_answer *answer)
{
    answer->note = arena_printf(mem, "%s %s, from %s %s; the pH is taken to be on the %s scale.",
                                answer_of, nutrient_basis_at(asked_word(asked, answer_basis)),
                                other_of, nutrient_basis_at(asked_word(asked, other_basis)),
                                ammonia_form_facts(form)->scale);
}

static bool un_ionised(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    enum ammonia_form form = (enum ammonia_form)asked_word(asked, "equation");
    struct ammonia_water water = water_of(asked);
    double share = 0;
    double pka = 0;
    double amount = 0;

    tell_form(mem, form, answer);
    if (!ammonia_fraction(form, &water, &share, err) ||
        !ammonia_pka(form, water.t_degc, water.salinity, &pka, err))
        return false;
    answer->figures[0] = value_of(100 * share);
    answer->figures[1] = value_of(pka);
    if (!asked_there(asked, "total-ammonia"))
        return true;
    if (!ammonia_un_ionised(form, &water, asked_number(asked, "total-ammonia"),
                            nutrient_basis_at(asked_word(asked, "total-basis")),
                            nutrient_basis_at(asked_word(asked, "basis")), &amount, err))
        return false;
    answer->figures[2] = value_of(amount);
    tell_basis(mem, asked, form, "Un-ionised ammonia", "basis", "total ammonia", "total-basis",
               answer);

    return true;
}

static bool total_for(struct arena *mem, const struct quantity_asked *asked,
                      struct quantity_answer *answer, struct err *err)
{
    enum ammonia_form form = (enum ammonia_form)asked_word(asked, "equation");
    struct ammonia_water water = water_of(asked);
    double total = 0;

    tell_form(mem, form, answer);
    if (!ammonia_total(form, &water, asked_number(asked, "un-ionised-ammonia"),
                       nutrient_basis_at(asked_word(asked, "basis")),
                       nutrient_basis_at(asked_word(asked, "total-basis")), &total, err))
        return false;
    answer->figures[0] = value_of(total);
    tell_basis(mem, asked, form, "Total ammonia", "total-basis", "un-ionised ammonia", "basis",
               answer);

    return true;
}

/* --- basis ----------------------------------------------------------------------------------- */

/* Moles of nitrogen are as many moles of nitrate: only masses change with the basis. */
static bool is_mass(const struct quantity_asked *asked, struct err *err)
{
    static const char *const masses[] = {"mg/L", "mg/kg", "kg", "kg/day", "kg/yr"};

    for (size_t i = 0; i < ARRAY_LEN(masses); i++)
        if (!*asked->own_unit || asked_own_unit_is(asked, masses[i]))
            return true;
    err_set(err, ERR_INVALID, "an amount in %s does not change with the basis: it is no mass",
            asked->own_unit);

    return err_hint(err, "Give a mass, as mg/L or kg; 'nutrient from micromoles' turns moles into "
                         "one.");
}

static bool other_basis(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    double factor = 0;

    (void)mem;
    if (!is_mass(asked, err) ||
        !nutrient_basis_factor(nutrient_basis_at(asked_word(asked, "from")),
                               nutrient_basis_at(asked_word(asked, "to")), &factor, err))
        return false;
    answer->figures[0] = value_of(asked_number(asked, "amount") * factor);
    answer->figures[1] = value_of(factor);

    return true;
}

static bool from_micromoles(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    double g_per_mol = 0;

    (void)mem;
    if (!nutrient_basis_g_per_mol(nutrient_basis_at(asked_word(asked, "basis")), &g_per_mol, err))
        return false;
    answer->figures[0] = value_of(asked_number(asked, "amount") * g_per_mol);
    answer->figures[1] = value_of(g_per_mol);

    return true;
}

static bool to_micromoles(struct arena *mem, const struct quantity_asked *asked,
                          struct quantity_answer *answer, struct err *err)
{
    double g_per_mol = 0;

    (void)mem;
    if (!nutrient_basis_g_per_mol(nutrient_basis_at(asked_word(asked, "basis")), &g_per_mol, err))
        return false;
    answer->figures[0] = value_of(asked_number(asked, "amount") / g_per_mol);

    return true;
}

/* --- a month's balance ----------------------------------------------------------------------- */

static const char *const term_inputs[NUTRIENT_TERM_COUNT] = {
    [NUTRIENT_BROUGHT] = "brought-by-water",
    [NUTRIENT_FERTILISER] = "fertiliser",
    [NUTRIENT_FEED] = "feed",
    [NUTRIENT_LEFT] = "left-by-discharge",
    [NUTRIENT_HARVESTED] = "harvested",
};

static bool balance(struct arena *mem, const struct quantity_asked *asked,
                    struct quantity_answer *answer, struct err *err)
{
    struct nutrient_month month;
    struct nutrient_kept kept;

    for (size_t i = 0; i < NUTRIENT_TERM_COUNT; i++)
        month.terms[i] = (struct nutrient_amount){.known = asked_there(asked, term_inputs[i]),
                                                  .kg = asked_number(asked, term_inputs[i])};
    if (!nutrient_balance(&month, &kept, err))
        return false;
    if (kept.known)
        answer->figures[0] = value_of(kept.kg);
    answer->figures[1] = value_of(kept.in_kg);
    answer->figures[2] = value_of(kept.out_kg);
    if (kept.known)
        return true;

    struct buf wants = buf_new(mem);

    for (size_t i = 0; i < NUTRIENT_TERM_COUNT; i++)
        if (kept.wants & (1U << i))
            buf_addf(&wants, "%s%s", wants.len ? ", " : "", term_inputs[i]);
    answer->note = arena_printf(mem,
                                "What was kept is not known without: %s. Give 0 for what "
                                "truly was nothing.",
                                wants.data);

    return true;
}

static bool in_water(struct arena *mem, const struct quantity_asked *asked,
                     struct quantity_answer *answer, struct err *err)
{
    double kg = 0;

    (void)mem;
    if (!nutrient_in_water(asked_number(asked, "volume"), asked_number(asked, "concentration"), &kg,
                           err))
        return false;
    answer->figures[0] = value_of(kg);

    return true;
}

static bool in_addition(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    double kg = 0;

    (void)mem;
    if (!nutrient_in_addition(asked_number(asked, "added"), asked_number(asked, "share"), &kg, err))
        return false;
    answer->figures[0] = value_of(kg);

    return true;
}

static bool in_animals(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    double kg = 0;

    (void)mem;
    if (!nutrient_in_animals(asked_number(asked, "animals"), asked_number(asked, "kg-per-million"),
                             &kg, err))
        return false;
    answer->figures[0] = value_of(kg);

    return true;
}

/* --- pH -------------------------------------------------------------------------------------- */

static bool mean_ph(struct arena *mem, const struct quantity_asked *asked,
                    struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *values = asked_value(asked, "values");
    const struct quantity_input_value *weights = asked_value(asked, "flows");
    enum ph_mean mean = (enum ph_mean)asked_word(asked, "mean");
    double out = 0;

    (void)mem;
    if (weights->there && !asked_same_count(asked, "values", "flows", err))
        return false;
    if (!ph_mean_of(mean, values->numbers, weights->there ? weights->numbers : NULL, values->count,
                    &out, err))
        return false;
    answer->equation = ph_mean_name(mean);
    answer->figures[0] = value_of(out);

    return true;
}

static bool electrode_slope(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!ph_electrode_slope_mv(asked_number(asked, "temperature"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

#define WATER                                                                                      \
    {"pH", QUANTITY_NUMBER, "pH", NULL, "on the scale the equation is made for", NULL},            \
        {"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},                                \
        {"salinity", QUANTITY_NUMBER, "PSU", "0", NULL, NULL},                                     \
    {                                                                                              \
        "equation", QUANTITY_WORD, "", NULL,                                                       \
            "they differ by up to 30 percent, mostly by their pH scale", ammonia_word              \
    }
#define BASIS(name, otherwise, about)                                                              \
    {                                                                                              \
        name, QUANTITY_WORD, "", otherwise, about, basis_word                                      \
    }

#define PH_SCALE_CAUTION                                                                           \
    "A probe set with ordinary buffers reads the NBS scale; 0.1 of pH is a quarter of the "        \
    "un-ionised ammonia. Ammonia can kill: measure again before you rely on one figure. The "      \
    "licence says which form, basis and scale a limit means."

#define MASSES "atomic masses of IUPAC: N 14.0067, H 1.00794, O 15.9994, P 30.973762, Si 28.0855"

static const struct quantity rows[] = {
    {
        .word = "un-ionised ammonia",
        .equation = "share = 1 / (1 + 10^(pKa - pH)), pKa by the equation named",
        .source = "that of the equation",
        .range = "that of the equation",
        .caution = PH_SCALE_CAUTION,
        .example = "pH=8 temperature=20 equation=emerson-273.2 total-ammonia=0.4",
        .inputs = {WATER,
                   {"total-ammonia", QUANTITY_NUMBER, "mg/L", "", NULL, NULL},
                   BASIS("total-basis", "as N", "of the total"),
                   BASIS("basis", "as N", "of the answer")},
        .figures = {{"un-ionised share", "%", 4},
                    {"pKa", "", 5},
                    {"un-ionised ammonia", "mg/L", 4}},
        .work_out = un_ionised,
    },
    {
        .word = "total ammonia for an un-ionised amount",
        .equation = "un-ionised ammonia over its share",
        .source = "that of the equation",
        .range = "that of the equation",
        .caution = PH_SCALE_CAUTION,
        .example = "un-ionised-ammonia=0.02 pH=8 temperature=20 equation=emerson-273.2",
        .inputs = {{"un-ionised-ammonia", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL},
                   WATER,
                   BASIS("basis", "as N", "of the un-ionised amount"),
                   BASIS("total-basis", "as N", "of the answer")},
        .figures = {{"total ammonia", "mg/L", 4}},
        .work_out = total_for,
    },
    {
        .word = "nutrient on another basis",
        .equation = "amount times the ratio of molar masses",
        .source = MASSES,
        .range = "an element and its compounds; compounds of one family",
        .example = "amount=50mg/L from=\"as NO3\" to=\"as N\"",
        .inputs = {{"amount", QUANTITY_NUMBER, NULL, NULL, NULL, NULL},
                   BASIS("from", NULL, NULL),
                   BASIS("to", NULL, NULL)},
        .figures = {{"amount", NULL, 5}, {"factor", "", 7}},
        .work_out = other_basis,
    },
    {
        .word = "nutrient from micromoles",
        .equation = "amount times molar mass",
        .source = MASSES,
        .range = "moles of the element, in umol/L",
        .example = "amount=3 basis=\"as N\"",
        .inputs = {{"amount", QUANTITY_NUMBER, "umol/L", NULL, NULL, NULL},
                   BASIS("basis", NULL, "of the answer")},
        .figures = {{"amount", "ug/L", 5}, {"molar mass", "", 7}},
        .work_out = from_micromoles,
    },
    {
        .word = "nutrient in micromoles",
        .equation = "amount over molar mass",
        .source = MASSES,
        .range = "moles of the element, in umol/L",
        .example = "amount=1mg/L basis=\"as N\"",
        .inputs = {{"amount", QUANTITY_NUMBER, "ug/L", NULL, NULL, NULL},
                   BASIS("basis", NULL, "of the amount")},
        .figures = {{"amount", "umol/L", 5}},
        .work_out = to_micromoles,
    },
    {
        .word = "nutrient balance",
        .equation = "kept = brought by water + fertiliser + feed - left by discharge - harvested",
        .source = "common practice, no source",
        .range = "one nutrient, one basis, one span of time",
        .example = "brought-by-water=12 fertiliser=4 feed=0 left-by-discharge=9 harvested=1.5",
        .inputs = {{"brought-by-water", QUANTITY_NUMBER, "kg", "", NULL, NULL},
                   {"fertiliser", QUANTITY_NUMBER, "kg", "", "of the nutrient itself", NULL},
                   {"feed", QUANTITY_NUMBER, "kg", "", "of the nutrient itself", NULL},
                   {"left-by-discharge", QUANTITY_NUMBER, "kg", "", NULL, NULL},
                   {"harvested", QUANTITY_NUMBER, "kg", "", "taken out with animals", NULL}},
        .figures = {{"kept", "kg", 4}, {"came in", "kg", 4}, {"went out", "kg", 4}},
        .work_out = balance,
    },
    {
        .word = "nutrient in water",
        .equation = "volume times concentration",
        .source = "common practice, no source",
        .range = "any",
        .example = "volume=720 concentration=0.5",
        .inputs = {{"volume", QUANTITY_NUMBER, "m3", NULL, NULL, NULL},
                   {"concentration", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL}},
        .figures = {{"amount", "kg", 4}},
        .work_out = in_water,
    },
    {
        .word = "nutrient in an addition",
        .equation = "mass added times the nutrient's share of it",
        .source = "common practice, no source",
        .range = "a share of 0 to 100 %",
        .example = "added=25 share=46%",
        .inputs = {{"added", QUANTITY_NUMBER, "kg", NULL, "of the product", NULL},
                   {"share", QUANTITY_NUMBER, "1", NULL, "0.46 or 46 %", NULL}},
        .figures = {{"amount", "kg", 4}},
        .work_out = in_addition,
    },
    {
        .word = "nutrient in animals",
        .equation = "animals times the content stated",
        .source = "Higgins, Stephenson and Brown 2011, J. Environ. Qual.: 132 kg N and 19 kg P in "
                  "a million oysters of 76 mm",
        .range = "animals of the size for which the content was stated",
        .example = "animals=50000 kg-per-million=132",
        .inputs = {{"animals", QUANTITY_NUMBER, "", NULL, NULL, NULL},
                   {"kg-per-million", QUANTITY_NUMBER, "", NULL, "kg in a million animals", NULL}},
        .figures = {{"amount", "kg", 4}},
        .work_out = in_animals,
    },
    {
        .word = "mean pH",
        .equation = "the mean that is named",
        .source = "definition of pH",
        .range = "pH 0 to 14",
        .caution = "Most licences limit single values of pH and know no mean of it. Neither mean "
                   "says what pH a mixture of the waters would have.",
        .example = "values=7,8,9 mean=hydrogen-ion",
        .inputs = {{"values", QUANTITY_NUMBERS, "pH", NULL, NULL, NULL},
                   {"mean", QUANTITY_WORD, "", NULL, NULL, ph_mean_word},
                   {"flows", QUANTITY_NUMBERS, "m3/h", "", "for a flow-weighted mean", NULL}},
        .figures = {{"mean pH", "pH", 4}},
        .work_out = mean_ph,
    },
    {
        .word = "pH electrode slope",
        .equation = "ln(10) R T / F",
        .source = "CODATA 2018: R 8.314462618 J/(mol K), F 96485.33212 C/mol",
        .range = "-5 to 100 degC",
        .example = "temperature=15",
        .inputs = {{"temperature", QUANTITY_NUMBER, "degC", NULL, NULL, NULL}},
        .figures = {{"slope for each pH", "mV", 5}},
        .work_out = electrode_slope,
    },
};

const struct quantity_family family_nutrients = {"ammonia, nutrients and pH", rows,
                                                 ARRAY_LEN(rows)};
