#include "stat/membrane_count.h"

/* How a filter stands to the ideal range. */
enum place {
    PLACE_IDEAL,
    PLACE_NONE, /* no colony */
    PLACE_BELOW,
    PLACE_ABOVE,
    PLACE_CROWDED,   /* more than the range, and not to be counted one by one */
    PLACE_OVERGROWN, /* by other colonies: it says nothing */
    PLACE_COUNT,
};

struct tally {
    struct arena *mem;
    const struct membrane_filter *filters;
    size_t count;
    const struct membrane_rule *rule;
    enum place *places;
    size_t of_place[PLACE_COUNT];
};

static enum place place_of(const struct membrane_filter *filter, const struct membrane_rule *rule)
{
    if (filter->too_many)
        return PLACE_CROWDED;
    if (rule->all_most > 0 && filter->colonies + filter->background > rule->all_most)
        return filter->colonies > rule->ideal_most ? PLACE_CROWDED : PLACE_OVERGROWN;
    if (filter->colonies == 0 || (filter->tested > 0 && filter->verified == 0))
        return PLACE_NONE;
    if (filter->colonies < rule->ideal_least)
        return PLACE_BELOW;

    return filter->colonies > rule->ideal_most ? PLACE_ABOVE : PLACE_IDEAL;
}

/* Colonies, scaled by those that were verified. */
static const struct exact *colonies_of(struct arena *mem, const struct membrane_filter *filter)
{
    const struct exact *colonies = exact_from_int(mem, filter->colonies);

    if (filter->tested == 0)
        return colonies;

    return exact_mul(mem, colonies, exact_from_ratio(mem, filter->verified, filter->tested));
}

static const struct exact *figure_of(const struct tally *tally, const struct exact *colonies,
                                     const struct exact *volume)
{
    return exact_div(tally->mem,
                     exact_mul(tally->mem, colonies, amount_exact(tally->mem, tally->rule->per_ml)),
                     volume);
}

/* All colonies over all volumes of the filters that are used. */
static const struct exact *figure_of_sums(const struct tally *tally, const bool *used)
{
    struct arena *mem = tally->mem;
    const struct exact *colonies = exact_from_int(mem, 0);
    const struct exact *volume = colonies;

    for (size_t i = 0; i < tally->count; i++)
        if (used[i]) {
            colonies = exact_add(mem, colonies, colonies_of(mem, &tally->filters[i]));
            volume = exact_add(mem, volume, amount_exact(mem, tally->filters[i].volume_ml));
        }

    return figure_of(tally, colonies, volume);
}

/* The mean of their own figures. */
static const struct exact *figure_of_means(const struct tally *tally, const bool *used)
{
    struct arena *mem = tally->mem;
    const struct exact *sum = exact_from_int(mem, 0);
    int64_t count = 0;

    for (size_t i = 0; i < tally->count; i++)
        if (used[i]) {
            sum = exact_add(mem, sum,
                            figure_of(tally, colonies_of(mem, &tally->filters[i]),
                                      amount_exact(mem, tally->filters[i].volume_ml)));
            count++;
        }

    return exact_div(mem, sum, exact_from_int(mem, count));
}

static void use_place(const struct tally *tally, enum place place, bool *used)
{
    for (size_t i = 0; i < tally->count; i++)
        used[i] |= tally->places[i] == place;
}

/* Of the filters in a place the one of the largest volume (side 1) or of the smallest (-1). */
static size_t filter_of_volume(const struct tally *tally, enum place place, int side)
{
    size_t found = tally->count;

    for (size_t i = 0; i < tally->count; i++)
        if (tally->places[i] == place &&
            (found == tally->count || amount_compare(tally->mem, tally->filters[i].volume_ml,
                                                     tally->filters[found].volume_ml) == side))
            found = i;

    return found;
}

static void from_ideal(const struct tally *tally, struct membrane_count *out)
{
    use_place(tally, PLACE_IDEAL, out->used);
    out->number = figure_of_sums(tally, out->used);
    out->words = "from the filters in the ideal range";
}

static void from_outside(const struct tally *tally, struct membrane_count *out)
{
    use_place(tally, PLACE_NONE, out->used);
    use_place(tally, PLACE_BELOW, out->used);
    use_place(tally, PLACE_ABOVE, out->used);
    out->estimated = true;
    out->number = tally->rule->none_in_range == MEMBRANE_SUM ? figure_of_sums(tally, out->used)
                                                             : figure_of_means(tally, out->used);
    out->words =
        tally->of_place[PLACE_ABOVE] == 0
            ? "no filter is in the ideal range: an estimate from those with fewer colonies"
            : "no filter is in the ideal range: an estimate from those that can be counted";
}

/* One colony on the largest volume would have been this. */
static void from_no_colony(const struct tally *tally, struct membrane_count *out)
{
    size_t largest = filter_of_volume(tally, PLACE_NONE, 1);

    out->used[largest] = true;
    out->kind = MEMBRANE_LESS;
    out->number = figure_of(tally, exact_from_int(tally->mem, 1),
                            amount_exact(tally->mem, tally->filters[largest].volume_ml));
    out->words = "no colony on any filter: less than one on the largest volume";
}

/* Of filters that all have more than the range, the one nearest to it. */
static void from_nearest_above(const struct tally *tally, struct membrane_count *out)
{
    size_t nearest = tally->count;

    for (size_t i = 0; i < tally->count; i++)
        if (tally->places[i] == PLACE_ABOVE &&
            (nearest == tally->count ||
             tally->filters[i].colonies < tally->filters[nearest].colonies))
            nearest = i;

    out->used[nearest] = true;
    out->estimated = true;
    out->number = figure_of_sums(tally, out->used);
    out->words = "all filters have more colonies than the ideal range: an estimate from the one "
                 "nearest to it";
}

static void from_crowded(const struct tally *tally, struct membrane_count *out)
{
    size_t smallest = filter_of_volume(tally, PLACE_CROWDED, -1);

    out->used[smallest] = true;
    out->kind = MEMBRANE_GREATER;
    out->number = figure_of(tally, exact_from_int(tally->mem, tally->rule->ideal_most),
                            amount_exact(tally->mem, tally->filters[smallest].volume_ml));
    out->words = "too many colonies to count: more than the top of the ideal range on the smallest "
                 "such volume";
}

/* False: no filter says anything. */
static bool choose(const struct tally *tally, struct membrane_count *out)
{
    const size_t *of_place = tally->of_place;

    if (of_place[PLACE_IDEAL] > 0)
        from_ideal(tally, out);
    else if (of_place[PLACE_BELOW] > 0 || (of_place[PLACE_ABOVE] > 0 && of_place[PLACE_NONE] > 0))
        from_outside(tally, out);
    else if (of_place[PLACE_ABOVE] > 0)
        from_nearest_above(tally, out);
    else if (of_place[PLACE_CROWDED] > 0)
        from_crowded(tally, out);
    else if (of_place[PLACE_NONE] > 0)
        from_no_colony(tally, out);
    else
        return false;

    return true;
}

static const struct exact *reported(struct arena *mem, const struct exact *number)
{
    const struct rounding whole = {ROUND_HALF_UP, ROUND_TO_DECIMALS, 0};
    const struct rounding two_figures = {ROUND_HALF_UP, ROUND_TO_FIGURES, 2};
    const int64_t ten = 10;

    return exact_round(mem, number,
                       exact_compare(number, exact_from_int(mem, ten)) < 0 ? whole : two_figures);
}

static bool check_filter(const struct membrane_filter *filter, size_t number, struct err *err)
{
    if (amount_sign(filter->volume_ml) <= 0)
        return err_set(err, ERR_INVALID, "filter %zu has no volume", number);
    if (filter->colonies < 0 || filter->background < 0 ||
        filter->colonies > MEMBRANE_COLONIES_MOST || filter->background > MEMBRANE_COLONIES_MOST)
        return err_set(err, ERR_INVALID, "filter %zu wants counts from 0 to %d", number,
                       MEMBRANE_COLONIES_MOST);
    if (filter->tested < 0 || filter->verified < 0 || filter->verified > filter->tested)
        return err_set(err, ERR_INVALID, "filter %zu has %d verified colonies of %d", number,
                       filter->verified, filter->tested);

    return true;
}

static bool check(const struct membrane_filter *filters, size_t count,
                  const struct membrane_rule *rule, struct err *err)
{
    if (count == 0 || count > MEMBRANE_FILTERS_MOST)
        return err_set(err, ERR_INVALID, "a membrane count wants 1 to %d filters",
                       MEMBRANE_FILTERS_MOST);
    if (rule->ideal_least < 1 || rule->ideal_most < rule->ideal_least || rule->all_most < 0)
        return err_set(err, ERR_INVALID, "the ideal range of %d to %d colonies makes no sense",
                       rule->ideal_least, rule->ideal_most);
    if (amount_sign(rule->per_ml) <= 0)
        return err_set(err, ERR_INVALID, "a membrane count is told per a volume above 0");
    for (size_t i = 0; i < count; i++)
        if (!check_filter(&filters[i], i + 1, err))
            return false;

    return true;
}

bool membrane_count(struct arena *mem, const struct membrane_filter *filters, size_t count,
                    const struct membrane_rule *rule, struct membrane_count *out, struct err *err)
{
    struct tally tally = {.mem = mem, .filters = filters, .count = count, .rule = rule};
    struct membrane_count found = {.kind = MEMBRANE_NUMBER};

    if (!check(filters, count, rule, err))
        return false;

    tally.places = ARENA_ARRAY(mem, enum place, count);
    for (size_t i = 0; i < count; i++) {
        tally.places[i] = place_of(&filters[i], rule);
        tally.of_place[tally.places[i]]++;
    }
    found.used = ARENA_ARRAY(mem, bool, count);
    if (!choose(&tally, &found))
        return err_set(err, ERR_INVALID,
                       "other colonies have overgrown every filter: nothing can be counted");
    found.reported = reported(mem, found.number);
    *out = found;

    return true;
}
