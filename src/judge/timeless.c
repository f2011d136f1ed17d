#include "judge/timeless.h"

#include "judge/alternatives.h"

/* A row that joins a day of the window. */
struct joining {
    const struct judgement *judgement;
    const struct pass_day *days;
    const struct figure *row;
    bool up; /* the pass looks for the highest figure */
};

static size_t days_of(const struct judgement *judgement, const struct window *window)
{
    size_t days = 0;

    for (size_t i = window->first_day; i < window->after_day; i++)
        days += !judgement->days[i].why_not && judgement->days[i].begun;

    return days;
}

/* The mean of so many readings, and one more. */
static struct amount mean_with(struct arena *mem, size_t readings, struct amount mean,
                               struct amount more)
{
    const struct exact *sum = exact_add(
        mem, exact_mul(mem, amount_exact(mem, mean), exact_from_int(mem, (int64_t)readings)),
        amount_exact(mem, more));

    return amount_from_exact(exact_div(mem, sum, exact_from_int(mem, (int64_t)readings + 1)));
}

/* An end of the day's figure with the row's reading among those of the day. */
static struct end end_with(const struct joining *joining, const struct figure *day,
                           const struct end *end, const struct end *row)
{
    struct arena *mem = joining->judgement->mem;
    enum limit_daily daily = joining->judgement->limit->daily;
    struct end out = *end;

    if (!end->known || !row->known) {
        out.known = false;
    } else if (daily == DAILY_MAXIMUM) {
        out = amount_compare(mem, row->at, end->at) > 0 ? *row : *end;
    } else if (daily == DAILY_MINIMUM) {
        out = amount_compare(mem, row->at, end->at) < 0 ? *row : *end;
    } else {
        out.at = mean_with(mem, joining->days[day->day].readings, end->at, row->at);
        out.open = end->open || row->open;
    }

    return out;
}

static struct figure figure_with(const struct joining *joining, const struct figure *day)
{
    struct figure out = *day;

    out.range.low = end_with(joining, day, &day->range.low, &joining->row->range.low);
    out.range.high = end_with(joining, day, &day->range.high, &joining->row->range.high);
    out.less_thans += joining->row->less_thans;
    out.only_less_thans = day->only_less_thans && joining->row->only_less_thans;
    if (!out.blocked)
        out.blocked = joining->row->blocked;

    return out;
}

/* How far the day's figure moves to the side that the pass looks at. */
static const struct exact *moved(const struct joining *joining, const struct figure *day)
{
    struct arena *mem = joining->judgement->mem;
    struct figure with = figure_with(joining, day);
    struct amount before;
    struct amount after;

    if (!figure_shown(day, &before) || !figure_shown(&with, &after))
        return exact_from_int(mem, 0);

    const struct exact *up = exact_sub(mem, amount_exact(mem, after), amount_exact(mem, before));

    return joining->up ? up : exact_sub(mem, exact_from_int(mem, 0), up);
}

static void join(const struct joining *joining, struct figure *days, size_t count)
{
    const struct exact *most = NULL;
    size_t to = 0;

    for (size_t i = 0; i < count; i++) {
        const struct exact *by = moved(joining, &days[i]);

        if (most && exact_compare(by, most) <= 0)
            continue;
        most = by;
        to = i;
    }
    if (most)
        days[to] = figure_with(joining, &days[to]);
}

size_t timeless_settle(const struct judgement *judgement, enum pass pass,
                       const struct window *window, const struct pass_day *days,
                       struct figure *figures, size_t unknown, size_t count)
{
    size_t span = days_of(judgement, window);
    size_t known = count - unknown;
    size_t left = span > known ? span - known : 0;

    if (judgement->limit->daily == DAILY_EVERY || judgement->place_count != 1 || known == 0)
        return unknown;
    for (size_t i = left; i < unknown; i++) {
        const struct joining joining = {.judgement = judgement,
                                        .days = days,
                                        .row = &figures[i],
                                        .up = alternatives_takes_highest(judgement, pass)};

        join(&joining, figures + unknown, known);
    }

    return left < unknown ? left : unknown;
}
