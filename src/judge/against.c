#include "judge/against.h"

#include "judge/combine.h"
#include "judge/intakes.h"
#include "judge/load_steps.h"
#include "stat/average.h"

enum { PERCENT = 100 };

static const char no_pair_words[] = "no paired intake sample";

static struct amount minus(struct arena *mem, struct amount a, struct amount b)
{
    return (struct amount){.exact = exact_sub(mem, amount_exact(mem, a), amount_exact(mem, b))};
}

/*
 * What one end of the discharge and the opposite one of the intake make; not known where it can't
 * be. It is open where it moves with an end that is.
 */
typedef struct end (*pair_end)(const struct judgement *judgement, const struct end *discharge,
                               const struct end *intake);

static struct end difference(const struct judgement *judgement, const struct end *discharge,
                             const struct end *intake)
{
    if (!discharge->known || !intake->known)
        return (struct end){.known = false};

    return (struct end){.known = true,
                        .open = discharge->open || intake->open,
                        .at = minus(judgement->mem, discharge->at, intake->at)};
}

static struct end removal(const struct judgement *judgement, const struct end *discharge,
                          const struct end *intake)
{
    struct arena *mem = judgement->mem;

    if (!discharge->known || !intake->known || amount_sign(intake->at) <= 0)
        return (struct end){.known = false};

    const struct exact *kept =
        exact_div(mem, amount_exact(mem, minus(mem, intake->at, discharge->at)),
                  amount_exact(mem, intake->at));

    return (struct end){.known = true,
                        .open =
                            discharge->open || (intake->open && amount_sign(discharge->at) != 0),
                        .at = {.exact = exact_mul(mem, kept, exact_from_int(mem, PERCENT))}};
}

/* Without an end the intake may be so much that all of the credit needed is given. */
static struct end credit(const struct judgement *judgement, const struct end *discharge,
                         const struct end *intake)
{
    struct arena *mem = judgement->mem;
    struct amount ceiling = judgement->bound.ceiling;

    if (!discharge->known)
        return (struct end){.known = false};

    struct amount needed = minus(mem, discharge->at, ceiling);
    int spare = intake->known ? amount_compare(mem, intake->at, needed) : 1;

    if (amount_sign(needed) <= 0)
        return *discharge;
    if (spare > 0)
        return (struct end){.known = true, .at = ceiling};

    return difference(judgement, discharge, intake);
}

/* A removal falls as the discharge rises, the others rise with it. */
static const struct against_row {
    pair_end work_out;
    bool falls;
    const char *words;
} rows[] = {
    [AGAINST_DIFFERENCE] = {difference, false, "difference"},
    [AGAINST_REMOVAL] = {removal, true, "removal"},
    [AGAINST_CREDIT] = {credit, false, "figure with the intake credit"},
};

static struct range range_of_pair(const struct judgement *judgement, const struct against_row *row,
                                  const struct range *discharge, const struct range *intake)
{
    struct end low = row->work_out(judgement, &discharge->low, &intake->high);
    struct end high = row->work_out(judgement, &discharge->high, &intake->low);

    return row->falls ? (struct range){.low = high, .high = low}
                      : (struct range){.low = low, .high = high};
}

/* Why a pair can't clear the limit, or NULL. */
static const char *why_open(const struct judgement *judgement, const struct figure *intake,
                            const struct range *range)
{
    enum against_kind kind = judgement->limit->against.kind;
    struct arena *mem = judgement->mem;

    if (kind == AGAINST_CREDIT && bound_fit(mem, &judgement->bound, range) == FIT_WITHIN)
        return NULL;
    if (!intake)
        return no_pair_words;
    if (intake->blocked)
        return intake->blocked;
    if (kind == AGAINST_REMOVAL && intake->range.high.known &&
        amount_sign(intake->range.high.at) <= 0)
        return "the intake is 0: there is no removal of it";
    if (combine_is_number(judgement, intake) || intake->less_thans == 0 ||
        bound_fit(mem, &judgement->bound, range) != FIT_UNKNOWN || !range->low.known ||
        !range->high.known)
        return NULL;

    return arena_printf(mem, "a less-than of the intake leaves the %s between %s and %s",
                        rows[kind].words,
                        exact_text(mem, amount_exact(mem, range->low.at), DECIMAL_DIGITS_MOST),
                        exact_text(mem, amount_exact(mem, range->high.at), DECIMAL_DIGITS_MOST));
}

/* The readings behind a figure of the intake. */
static void add_others(const struct judgement *judgement, const struct figure *intake,
                       struct figure *out)
{
    const struct use *use = intake->use == NO_INDEX ? NULL : &judgement->items[intake->use];

    if (!use || use->series == NO_INDEX) {
        out->others = intake->others;
        out->other_count = intake->other_count;
        return;
    }

    struct verdict_other *other = ARENA_NEW(judgement->mem, struct verdict_other);

    *other = (struct verdict_other){
        .series = use->series,
        .reading = use->reading,
        .value = use->has_value ? amount_exact(judgement->mem, use->value) : NULL,
    };
    out->others = other;
    out->other_count = 1;
}

struct figure against_pair(const struct judgement *judgement, const struct figure *discharge,
                           const struct figure *intake)
{
    static const struct range anything = {0};
    static const struct range from_0 = {.low = {.known = true}};
    const struct against_row *row = &rows[judgement->limit->against.kind];
    struct figure out = *discharge;
    bool is_credit = judgement->limit->against.kind == AGAINST_CREDIT;
    const struct range *other = intake ? &intake->range : is_credit ? &from_0 : &anything;
    const char *open;

    struct figure_pair *pair = ARENA_NEW(judgement->mem, struct figure_pair);

    out.range = range_of_pair(judgement, row, &discharge->range, other);
    out.as_reported = NULL;
    out.only_less_thans = false;
    open = why_open(judgement, intake, &out.range);
    if (!out.blocked)
        out.blocked = open == no_pair_words && discharge->day != NO_INDEX
                          ? reduce_gap_words(judgement, (size_t)discharge->day, open)
                          : open;
    *pair = (struct figure_pair){
        .discharge = discharge->range, .has_intake = intake, .not_paired = open};
    if (intake) {
        pair->intake = intake->range;
        add_others(judgement, intake, &out);
        out.loads = load_steps_join(judgement, discharge->loads, intake->loads);
    }
    out.pair = pair;
    if (row->falls && out.qualifier == QUALIFIER_LESS)
        out.qualifier = QUALIFIER_GREATER;
    else if (row->falls && out.qualifier == QUALIFIER_GREATER)
        out.qualifier = QUALIFIER_LESS;
    if (out.range.low.known && out.range.high.known && !out.range.low.open && !out.range.high.open)
        out.qualifier = QUALIFIER_NONE;

    return out;
}

/* Everything of the intake that figures may be paired with. */
struct partners {
    const struct judgement *judgement;
    enum pass pass;
    const struct figure_list *intake;
    const struct figure **of_day; /* by judged day, once it was asked for */
};

/* Figures of the intake of one day, as one; NULL: there are none. */
static const struct figure *mean_of_day(const struct partners *partners, int day)
{
    const struct judgement *judgement = partners->judgement;
    struct figure_list found = {0};

    for (size_t i = 0; i < partners->intake->count; i++)
        if (partners->intake->items[i].day == day)
            LIST_ADD(judgement->mem, &found, partners->intake->items[i]);
    if (found.count <= 1)
        return found.items;

    struct verdict_other *others = ARENA_ARRAY(judgement->mem, struct verdict_other, found.count);
    struct figure *one = ARENA_NEW(judgement->mem, struct figure);

    *one = combine_figures(judgement, &stat_mean, found.items, found.count);
    for (size_t i = 0; i < found.count; i++) {
        struct figure single = {0};

        add_others(judgement, &found.items[i], &single);
        if (single.other_count == 1)
            others[one->other_count++] = single.others[0];
    }
    one->others = others;

    return one;
}

static const struct figure *partner_of(const struct partners *partners,
                                       const struct figure *discharge)
{
    const struct limit *limit = partners->judgement->limit;

    if (partners->judgement->intakes)
        return intakes_partner(partners->judgement, partners->pass, discharge);
    if (limit->against.pairing != PAIR_SAME_DAY)
        return discharge->at == INSTANT_NONE
                   ? NULL
                   : intakes_nearest(partners->intake, discharge->at - intakes_residence_us(limit),
                                     (int64_t)limit->against.within_s * SECOND_US);
    if (discharge->day == NO_INDEX)
        return NULL;
    if (!partners->of_day[discharge->day])
        partners->of_day[discharge->day] = mean_of_day(partners, discharge->day);

    return partners->of_day[discharge->day];
}

struct reduced against_apply(const struct judgement *judgement, enum pass pass,
                             const struct reduced *discharge, const struct reduced *intake)
{
    struct reduced out = *discharge;
    struct partners partners = {
        .judgement = judgement,
        .pass = pass,
        .intake = &intake->figures,
        .of_day = ARENA_ARRAY(judgement->mem, const struct figure *, judgement->day_count)};

    out.figures = (struct figure_list){0};
    out.not_told += intake->not_told;
    for (size_t i = 0; i < discharge->figures.count; i++) {
        const struct figure *from = &discharge->figures.items[i];
        struct figure figure = against_pair(judgement, from, partner_of(&partners, from));

        LIST_ADD(judgement->mem, &out.figures, figure);
        if (figure.day != NO_INDEX && out.days[figure.day].has_figure)
            out.days[figure.day].figure = figure;
    }

    return out;
}
