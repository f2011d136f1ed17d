/* Refusals about the bound and the allowance. */
#include <limits.h>

#include "base/str.h"
#include "judge/limit_refusal.h"
#include "measure/ammonia.h"

static bool state(const struct limit_subject *subject)
{
    return subject->is_state && subject->limit->bound_by.kind != BOUND_STATE;
}

static bool number_with_words(const struct limit_subject *subject)
{
    return !subject->is_state && subject->limit->bound_by.kind == BOUND_STATE;
}

static bool state_with_statistic(const struct limit_subject *subject)
{
    return subject->is_state &&
           (subject->limit->statistic != STATISTIC_VALUE || subject->limit->daily != DAILY_EVERY);
}

static bool state_without_word(const struct limit_subject *subject)
{
    return subject->is_state && str_empty(subject->limit->bound_by.state);
}

static bool no_bound(const struct limit_subject *subject)
{
    return subject->limit->bound_by.kind == BOUND_NUMBER && !limit_has_number(subject->limit);
}

static bool two_kinds_of_bound(const struct limit_subject *subject)
{
    return subject->limit->bound_by.kind != BOUND_NUMBER && limit_has_number(subject->limit);
}

/* No figure could keep both. */
static bool bounds_crossed(const struct limit_subject *subject)
{
    const struct limit_bound *bound = &subject->limit->bound;

    if (!bound->has_ceiling || !bound->has_floor)
        return false;

    int order = decimal_compare(bound->floor, bound->ceiling);

    return order > 0 ||
           (order == 0 && (bound->floor_reached_is_outside || bound->ceiling_reached_is_outside));
}

/* --- over another reading -------------------------------------------------------------------- */

static bool by_other_of_figures(const struct limit_subject *subject)
{
    return limit_bound_by_other(subject->limit) &&
           (subject->limit->statistic != STATISTIC_VALUE || subject->limit->daily != DAILY_EVERY);
}

static bool by_other_of_counter(const struct limit_subject *subject)
{
    return limit_bound_by_other(subject->limit) && subject->is_counter;
}

static bool by_other_of_places(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit_bound_by_other(limit) &&
           (limit->added_count > 0 || limit->against.kind != AGAINST_NONE);
}

static bool others_wrong(const struct limit_subject *subject)
{
    static const struct {
        size_t least, most;
    } counts[] = {
        [BOUND_TABLE] = {1, 1},
        [BOUND_LINEAR] = {1, 1},
        [BOUND_UNIONISED] = {2, 3},
        [BOUND_SATURATION] = {1, 2},
    };
    const struct limit_bound_by *by = &subject->limit->bound_by;

    return limit_bound_by_other(subject->limit) &&
           (by->other_count < counts[by->kind].least || by->other_count > counts[by->kind].most);
}

static bool others_of_no_place(const struct limit_subject *subject)
{
    const struct limit_bound_by *by = &subject->limit->bound_by;

    for (size_t i = 0; i < by->other_count; i++)
        if (str_empty(by->others[i].station) || str_empty(by->others[i].parameter) ||
            str_empty(by->others[i].unit))
            return true;

    return false;
}

static bool others_of_any_time(const struct limit_subject *subject)
{
    return limit_bound_by_other(subject->limit) && subject->limit->bound_by.within_s <= 0;
}

static bool steps_wrong(const struct limit_subject *subject)
{
    const struct limit_bound_by *by = &subject->limit->bound_by;

    if (by->kind != BOUND_TABLE)
        return by->step_count > 0;
    for (size_t i = 0; i < by->step_count; i++) {
        bool is_end = i + 1 == by->step_count;

        if (by->steps[i].last && !is_end)
            return true;
        if (i > 0 && !by->steps[i].last &&
            decimal_compare(by->steps[i - 1].up_to, by->steps[i].up_to) >= 0)
            return true;
    }

    return by->step_count == 0;
}

static bool line_flat(const struct limit_subject *subject)
{
    return subject->limit->bound_by.kind == BOUND_LINEAR &&
           limit_sign(subject->limit->bound_by.factor) == 0;
}

static bool line_numbers_elsewhere(const struct limit_subject *subject)
{
    const struct limit_bound_by *by = &subject->limit->bound_by;

    return by->kind != BOUND_LINEAR && (limit_sign(by->factor) != 0 || limit_sign(by->offset) != 0);
}

static bool stated_wrong(const struct limit_subject *subject)
{
    const struct limit_bound_by *by = &subject->limit->bound_by;
    bool needed = by->kind == BOUND_UNIONISED || by->kind == BOUND_SATURATION;

    return needed != (limit_sign(by->stated) > 0);
}

static bool ammonia_form_wrong(const struct limit_subject *subject)
{
    const struct limit_bound_by *by = &subject->limit->bound_by;
    enum ammonia_form form;

    return by->kind == BOUND_UNIONISED &&
           (!by->ammonia_form || !ammonia_form_parse(by->ammonia_form, &form));
}

/* --- allowance and periods running ----------------------------------------------------------- */

static bool allowance_of_figure(const struct limit_subject *subject)
{
    return subject->limit->allowance.kind != ALLOWANCE_NONE &&
           subject->limit->statistic != STATISTIC_VALUE;
}

static bool allowance_of_one(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->allowance.kind != ALLOWANCE_NONE &&
           (limit->period == PERIOD_EACH_SAMPLE ||
            (limit->period == PERIOD_DAY && limit->daily != DAILY_EVERY));
}

static bool allowance_of_nothing(const struct limit_subject *subject)
{
    static const struct decimal all = {100, 0};
    const struct limit_allowance *allowance = &subject->limit->allowance;

    if (allowance->kind == ALLOWANCE_COUNT)
        return allowance->count < 1 || (allowance->of > 0 && allowance->count >= allowance->of);

    return allowance->kind == ALLOWANCE_SHARE &&
           (limit_sign(allowance->percent) <= 0 || decimal_compare(allowance->percent, all) >= 0);
}

static bool allowance_rows_wrong(const struct limit_subject *subject)
{
    const struct limit_allowance *allowance = &subject->limit->allowance;

    for (size_t i = 0; i < allowance->row_count; i++) {
        const struct allowance_row *row = &allowance->rows[i];

        if (row->from < 1 || row->to < row->from || row->allowed < 0 || row->allowed > row->from)
            return true;
        if (i > 0 && row->from <= allowance->rows[i - 1].to)
            return true;
    }

    return allowance->kind == ALLOWANCE_TABLE && allowance->row_count == 0;
}

static bool across_wrong(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return (limit->across_outside != 0 || limit->across_of != 0) &&
           (limit->across_outside < 1 || limit->across_of < 2 ||
            limit->across_outside > limit->across_of);
}

static bool across_without_figure(const struct limit_subject *subject)
{
    const struct limit *limit = subject->limit;

    return limit->across_of > 0 &&
           (limit->period == PERIOD_EACH_SAMPLE ||
            (limit->statistic == STATISTIC_VALUE &&
             !(limit->period == PERIOD_DAY && limit->daily != DAILY_EVERY)));
}

static const struct limit_refusal rows[] = {
    {state, "the words of a state can't be compared with a bound"},
    {number_with_words, "only a state has words that must be read"},
    {state_without_word, "there is no word that must or must not be read"},
    {state_with_statistic, "a state has no figures: each word counts by itself, so 'every reading' "
                           "and 'value'"},
    {no_bound, "there is no bound to keep"},
    {two_kinds_of_bound, "a number and another kind of bound can't both be the bound: make two "
                         "limits of it"},
    {bounds_crossed, "no figure could keep both bounds"},
    {by_other_of_counter, "a meter's total is of a day, and has no reading at the same time"},
    {by_other_of_figures, "a bound over another reading holds for single values: 'every reading' "
                          "and 'value'"},
    {by_other_of_places, "a bound over another reading belongs to one place"},
    {others_wrong, "steps and a straight line go over one other reading, ammonia over pH, "
                   "temperature and (in the sea) salinity, saturation over temperature and (in the "
                   "sea) salinity"},
    {others_of_no_place, "another reading needs its station, parameter and unit"},
    {others_of_any_time, "how far apart the other reading may be is not said"},
    {steps_wrong, "the steps must rise, and only the last one is without an end"},
    {line_flat, "a straight line over another reading needs a factor other than 0"},
    {line_numbers_elsewhere, "an offset and a factor belong to a straight line only"},
    {stated_wrong, "what is stated must be a number above 0, for ammonia and saturation only"},
    {ammonia_form_wrong, "there is no such equation for the share of ammonia"},
    {allowance_of_figure, "a figure of all values can't allow some of them beyond the bound: the "
                          "statistic must be 'value'"},
    {allowance_of_one, "a period of one value can't allow some of them beyond the bound"},
    {allowance_of_nothing, "what is allowed beyond the bound must be more than none and fewer than "
                           "all"},
    {allowance_rows_wrong, "the printed numbers of samples must rise without meeting, and none "
                           "allows more than there are"},
    {across_wrong, "of periods running there must be at least 2, and 1 to all of them beyond"},
    {across_without_figure, "periods running are counted by the one figure of each, which single "
                            "values don't have"},
};

const struct limit_refusals limit_refusals_of_bound = {rows, ARRAY_LEN(rows)};
