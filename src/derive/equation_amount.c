/* Plain arithmetic: bases, loads, differences, volumes. Exact, but for a basis's factor. */
#include "base/instant.h"
#include "base/str.h"
#include "derive/equation_inside.h"
#include "measure/nutrient_basis.h"

enum { FIRST, SECOND, THIRD, FOURTH };

#define CONCENTRATION(word, way)                                                                   \
    {                                                                                              \
        .as = (word), .unit = "mg/L", .direction = (way)                                           \
    }
#define FLOW(word, way)                                                                            \
    {                                                                                              \
        .as = (word), .unit = "m3/day", .keys = {"flow"}, .direction = (way)                       \
    }

/* --- nutrient basis -------------------------------------------------------------------------- */

static bool basis_check(const struct equation_call *call, struct err *err)
{
    double factor = 0;

    return nutrient_basis_factor(call->from_basis, call->made_basis, &factor, err);
}

static bool basis(const struct equation_call *call, const struct exact **out, struct err *err)
{
    double factor = 0;

    if (!nutrient_basis_factor(call->from_basis, call->made_basis, &factor, err))
        return false;
    *out = exact_mul(call->mem, call->exact[FIRST], exact_from_double(call->mem, factor));

    return true;
}

static char *basis_words(const struct equation_call *call)
{
    double factor = 0;
    struct err ignored = ERR_INIT;

    if (!nutrient_basis_factor(call->from_basis, call->made_basis, &factor, &ignored))
        return arena_strdup(call->mem, "nutrient basis");

    return arena_printf(call->mem, "%s told %s: times %.7g; atomic masses IUPAC 1993 to 2007",
                        call->from_basis, call->made_basis, factor);
}

/* --- loads ----------------------------------------------------------------------------------- */

/* mg/L is g/m3, and 1000 g are a kg. */
static const struct exact *kg_per_day(const struct equation_call *call,
                                      const struct exact *mg_per_l, const struct exact *m3_per_day)
{
    return exact_mul(call->mem, exact_mul(call->mem, mg_per_l, m3_per_day),
                     exact_from_ratio(call->mem, 1, 1000));
}

static bool load(const struct equation_call *call, const struct exact **out, struct err *err)
{
    (void)err;
    *out = kg_per_day(call, call->exact[FIRST], call->exact[SECOND]);

    return true;
}

static bool net_load(const struct equation_call *call, const struct exact **out, struct err *err)
{
    const struct exact *flow_before =
        call->exact[FOURTH] ? call->exact[FOURTH] : call->exact[SECOND];

    (void)err;
    *out = exact_sub(call->mem, kg_per_day(call, call->exact[FIRST], call->exact[SECOND]),
                     kg_per_day(call, call->exact[THIRD], flow_before));

    return true;
}

/* --- before and after ------------------------------------------------------------------------ */

enum { AFTER, BEFORE };

static bool removal(const struct equation_call *call, const struct exact **out, struct err *err)
{
    const struct exact *before = call->exact[BEFORE];
    const struct exact *gone = exact_sub(call->mem, before, call->exact[AFTER]);

    if (exact_sign(before) <= 0)
        return err_set(err, ERR_INVALID,
                       "there was nothing before to be removed: it is %s, and the share holds "
                       "above 0",
                       exact_text(call->mem, before, 6));
    *out = exact_mul(call->mem, exact_from_int(call->mem, 100), exact_div(call->mem, gone, before));

    return true;
}

static bool difference(const struct equation_call *call, const struct exact **out, struct err *err)
{
    (void)err;
    *out = exact_sub(call->mem, call->exact[AFTER], call->exact[BEFORE]);

    return true;
}

/* --- volume ---------------------------------------------------------------------------------- */

static bool volume(const struct equation_call *call, const struct exact **out, struct err *err)
{
    if (call->span_us <= 0)
        return err_set(err, ERR_INVALID,
                       "the flow is of an instant, and a volume is that of a span of time");
    *out = exact_mul(call->mem, call->exact[FIRST],
                     exact_from_ratio(call->mem, call->span_us, DAY_US));

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

#define ARITHMETIC "arithmetic, exact"

static const struct equation rows[] = {
    {.word = "nutrient basis",
     .name = "the same nutrient in another basis",
     .formula = "amount times the ratio of molar masses",
     .source = "atomic masses IUPAC 1993 to 2007",
     .range = "an element and its compounds, as N with as NO3",
     .unit = "mg/L",
     .figures = 7,
     .inputs = {CONCENTRATION("nutrient", RISES)},
     .check = basis_check,
     .work_out = basis,
     .words = basis_words},
    {.word = "load",
     .name = "load: concentration times flow",
     .formula = "concentration x flow",
     .source = ARITHMETIC,
     .range = "any",
     .unit = "kg/day",
     .figures = 12,
     .inputs = {CONCENTRATION("concentration", RISES), FLOW("flow", RISES)},
     .work_out = load},
    {.word = "net load",
     .name = "net load: concentration times flow, less that of the water before",
     .formula = "concentration x flow - concentration before x flow before (or flow)",
     .source = ARITHMETIC,
     .range = "any",
     .unit = "kg/day",
     .figures = 12,
     .inputs = {CONCENTRATION("concentration", RISES),
                FLOW("flow", NOT_ONE_WAY),
                CONCENTRATION("concentration before", FALLS),
                {.as = "flow before", .unit = "m3/day", .direction = FALLS, .optional = true}},
     .work_out = net_load},
    {.word = "percent removal",
     .name = "percent removal",
     .formula = "100 (before - after) / before",
     .source = ARITHMETIC,
     .range = "before above 0",
     .unit = "%",
     .figures = 12,
     .inputs = {{.as = "after", .direction = FALLS}, {.as = "before", .direction = RISES}},
     .work_out = removal},
    {.word = "difference",
     .name = "difference: after less before",
     .formula = "after - before",
     .source = ARITHMETIC,
     .range = "any",
     .figures = 12,
     .inputs = {{.as = "after", .direction = RISES}, {.as = "before", .direction = FALLS}},
     .work_out = difference},
    {.word = "temperature rise",
     .name = "temperature rise: after less before",
     .formula = "after - before",
     .source = ARITHMETIC,
     .range = "any",
     .unit = "degC rise",
     .figures = 12,
     .inputs = {{.as = "after", .unit = "degC", .direction = RISES},
                {.as = "before", .unit = "degC", .direction = FALLS}},
     .work_out = difference},
    {.word = "volume of a span",
     .name = "volume: mean flow of a span times its length",
     .formula = "flow x time",
     .source = ARITHMETIC,
     .range = "readings of a span of time",
     .unit = "m3",
     .figures = 12,
     .inputs = {FLOW("flow", RISES)},
     .work_out = volume},
};

const struct equation_family equations_amount = {rows, ARRAY_LEN(rows)};
