/* Of month_inside.h: what was outside on the first page: when, where and how far. */
#include "base/buf.h"
#include "base/str.h"
#include "judge/bound_by.h"
#include "report/month_inside.h"

/* Runs of one figure that stand on the first page; a probe at its bound makes hundreds. */
enum { RUNS_MOST = 20, FIGURES_SHOWN = 6 };

/*
 * Readings beyond the bound that are told in one row: of a probe all that follow each other, and
 * those of later stretches that begin on the same day; of anything else one reading alone.
 */
struct stretch {
    const struct month_placed *first;
    const struct month_placed *last;
    const struct month_placed *worst;
    size_t count;
    size_t times; /* that it came back inside and went out again, and one */
    enum side side;
};

static const char *moment_words(struct month_book *book, instant at)
{
    return zone_text(book->mem, book->month->farm->zone, at);
}

static void write_row(struct month_book *book, struct table *table, const struct month_limit *limit,
                      const char *date, const char *value, const char *words)
{
    table_text(table, "date", date);
    table_text(table, "place", month_station(book, limit->limit->station, limit->limit->position));
    table_text(table, "limit", month_limit_name(book, limit->verdict));
    table_text(table, "value", value);
    table_text(table, "words", words);
    table_next(table);
}

static int order_to(struct month_book *book, bool has, struct decimal end,
                    const struct exact *number)
{
    return has ? exact_compare(number, exact_from_decimal(book->mem, end)) : 0;
}

/* A percent, with a digit more than its bound has, and as many as show its side. */
static const char *percent_words(struct month_book *book, const struct limit *limit,
                                 const struct exact *number)
{
    const struct limit_bound *bound = &limit->bound;
    int most = bound->has_ceiling ? bound->ceiling.scale : 0;
    const struct exact *shown = number;

    if (bound->has_floor && bound->floor.scale > most)
        most = bound->floor.scale;
    for (int decimals = most + 1; decimals <= most + FIGURES_SHOWN; decimals++) {
        shown = exact_round(book->mem, number,
                            (struct rounding){ROUND_HALF_UP, ROUND_TO_DECIMALS, decimals});
        if (order_to(book, bound->has_ceiling, bound->ceiling, shown) ==
                order_to(book, bound->has_ceiling, bound->ceiling, number) &&
            order_to(book, bound->has_floor, bound->floor, shown) ==
                order_to(book, bound->has_floor, bound->floor, number))
            break;
    }

    return exact_text(book->mem, shown, DECIMAL_DIGITS_MOST);
}

/* As it was compared: rounded by the limit's rule, else with as many figures as say something. */
static const char *number_words(struct month_book *book, const struct limit *limit,
                                const struct exact *number)
{
    if (limit->rounding.rule != ROUND_NONE)
        return exact_rounded_text(book->mem, number, limit->rounding);
    if (str_equal(limit_figure_unit(book->mem, limit), "%"))
        return percent_words(book, limit, number);

    return exact_text(book->mem, number, FIGURES_SHOWN);
}

/* Of a reading by itself; in the limit's unit; X of "<X" and a plain value as reported. */
static const char *reading_words(struct month_book *book, const struct limit *limit,
                                 const struct month_placed *placed)
{
    const struct evidence_reading *reading = placed->reading;
    char qualifier = placed->item->qualifier;
    bool marked = qualifier == QUALIFIER_LESS || qualifier == QUALIFIER_GREATER;
    bool as_reported = (marked || limit->rounding.rule == ROUND_NONE) &&
                       str_equal(reading->unit, limit->unit) && reading->input_count == 0;
    const char *digits = as_reported ? decimal_text(book->mem, reading->reported)
                         : marked    ? exact_text(book->mem, placed->item->value, FIGURES_SHOWN)
                                     : number_words(book, limit, placed->item->value);

    return arena_printf(book->mem, "%s%s", marked ? (qualifier == QUALIFIER_LESS ? "<" : ">") : "",
                        digits);
}

/* "18.5", "at most 4", "from 13 to 18" */
static const char *span_words(struct month_book *book, const struct limit *limit,
                              const struct verdict_span *span)
{
    if (!span->least && !span->most)
        return "not known";
    if (!span->least)
        return arena_printf(book->mem, "at most %s", number_words(book, limit, span->most));
    if (!span->most)
        return arena_printf(book->mem, "at least %s", number_words(book, limit, span->least));
    if (exact_compare(span->least, span->most) == 0)
        return number_words(book, limit, span->least);

    return arena_printf(book->mem, "from %s to %s", number_words(book, limit, span->least),
                        number_words(book, limit, span->most));
}

/* What was held against what: "18.54 less 16.44 degC of Intake at 2026-09-01 05:30". */
static const char *pair_words(struct month_book *book, const struct limit *limit,
                              const struct verdict_pair *pair)
{
    static const char *const between[] = {[AGAINST_NONE] = "",
                                          [AGAINST_DIFFERENCE] = "less",
                                          [AGAINST_REMOVAL] = "against",
                                          [AGAINST_CREDIT] = "with the credit for"};
    const struct limit_place *place = &limit->against.place;
    struct limit as_read = *limit;
    struct buf words = buf_new(book->mem);

    /* Only what the two make is rounded, and may be a percent. */
    as_read.rounding.rule = ROUND_NONE;
    as_read.against.kind = AGAINST_NONE;
    buf_addf(&words, "%s %s %s %s of %s", span_words(book, &as_read, &pair->discharge),
             between[limit->against.kind], span_words(book, &as_read, &pair->intake), limit->unit,
             month_station(book, place->station, place->position));
    if (pair->other_count == 1) {
        const struct verdict_other *other = &pair->others[0];
        const struct evidence_series *series = &book->month->evidence->series[other->series];

        buf_addf(&words, " at %s", moment_words(book, series->readings[other->reading].at));
    } else if (pair->other_count > 1) {
        buf_addf(&words, ", the mean of %zu", pair->other_count);
    }

    return words.data;
}

/* The number of a reading that is compared: its own, or what it makes with the other place. */
static const struct exact *number_of(const struct verdict *verdict, const struct verdict_item *item)
{
    const struct verdict_pair *pair = verdict_pair_of(verdict, item);

    return pair ? verdict_pair_number(verdict, pair) : item->value;
}

/* A figure as it was compared, with its unit; of a state the word alone. */
static const char *figure_words(struct month_book *book, const struct limit *limit,
                                const char *compared)
{
    const char *unit = limit_figure_unit(book->mem, limit);

    return arena_printf(book->mem, "%s%s%s", compared ? compared : "", *unit ? " " : "", unit);
}

/* Of a value that is beyond one of two bounds: the nearer one. */
static enum side side_of(const struct limit *limit, const struct exact *value)
{
    const struct limit_bound *bound = &limit->bound;
    double middle = (decimal_double(bound->ceiling) + decimal_double(bound->floor)) / 2;

    if (limit->bound_by.kind != BOUND_NUMBER)
        return limit->bound_by.is_floor ? SIDE_BELOW : SIDE_ABOVE;
    if (!bound->has_floor || !bound->has_ceiling)
        return bound->has_floor ? SIDE_BELOW : SIDE_ABOVE;

    return exact_double(value) < middle ? SIDE_BELOW : SIDE_ABOVE;
}

/* How far beyond, by a bound of its own where it has one. */
static const struct exact *beyond_by(struct month_book *book, const struct month_placed *placed,
                                     const struct verdict *verdict)
{
    const struct exact *number = number_of(verdict, placed->item);

    return placed->item->bound ? exact_sub(book->mem, number, placed->item->bound) : number;
}

static bool is_worse(struct month_book *book, const struct verdict *verdict, enum side side,
                     const struct month_placed *placed, const struct month_placed *than)
{
    int order = exact_compare(beyond_by(book, placed, verdict), beyond_by(book, than, verdict));

    return side == SIDE_BELOW ? order < 0 : order > 0;
}

/* Of a reading by itself or of its pair, as it was compared, with its unit; of a state the word. */
static const char *value_words(struct month_book *book, const struct verdict *verdict,
                               const struct month_placed *placed)
{
    const struct limit *limit = verdict->limit;
    const struct verdict_pair *pair = verdict_pair_of(verdict, placed->item);

    if (month_is_state(limit))
        return placed->reading->unit;
    if (pair)
        return figure_words(book, limit, span_words(book, limit, &pair->result));

    return arena_printf(book->mem, "%s %s", reading_words(book, limit, placed), limit->unit);
}

/* The bound that the reading was held against; of two places compared, with both readings. */
static const char *bound_words(struct month_book *book, const struct verdict *verdict,
                               const struct month_placed *placed)
{
    const struct limit *limit = verdict->limit;
    const struct verdict_pair *pair = verdict_pair_of(verdict, placed->item);

    if (placed->item->bound && !month_is_state(limit))
        return limit_own_bound_words(
            book->mem, limit,
            bound_by_shown(book->mem, limit, placed->item->bound, placed->item->used));
    if (pair)
        return arena_printf(book->mem, "%s; %s", limit_bound_words(book->mem, limit),
                            pair_words(book, limit, pair));

    return limit_bound_words(book->mem, limit);
}

static void write_stretch(struct month_book *book, struct table *table,
                          const struct month_limit *limit, const struct stretch *stretch)
{
    const char *bound = bound_words(book, limit->verdict, stretch->worst);
    const char *value = value_words(book, limit->verdict, stretch->worst);
    const char *first = moment_words(book, stretch->first->reading->at);
    const char *times = "in a run";

    if (stretch->count == 1) {
        write_row(book, table, limit, first, value, bound);
        return;
    }
    if (stretch->times > 1)
        times = arena_printf(book->mem, "in %zu runs", stretch->times);
    write_row(
        book, table, limit,
        arena_printf(book->mem, "%s to %s", first, moment_words(book, stretch->last->reading->at)),
        value,
        arena_printf(book->mem, "%s; %zu readings %s, the worst at %s", bound, stretch->count,
                     times, moment_words(book, stretch->worst->reading->at)));
}

/* Whether the reading goes on from the stretch: nothing counted between them, or the same day. */
static bool goes_on(const struct stretch *stretch, const struct month_placed *placed,
                    enum side side, bool inside_between)
{
    day_number day = stretch->last->item->day;

    if (stretch->side != side)
        return false;

    return placed->item->day == day || (!inside_between && placed->item->day == day + 1);
}

static bool is_in(const struct limit *limit, const struct verdict_window *window,
                  const struct month_placed *placed)
{
    if (limit->daily != DAILY_EVERY)
        return placed->item->day >= window->from && placed->item->day <= window->to;

    return placed->reading->at >= window->from_at && placed->reading->at < window->until_at;
}

/*
 * Whether a reading beyond the bound is an excess: of an allowance, and of last samples, which
 * reach back over the month's begin, only those of windows that are outside.
 */
static bool is_excess(const struct verdict *verdict, const struct month_placed *placed)
{
    const struct limit *limit = verdict->limit;

    if (verdict->window_count == 0 ||
        (limit->allowance.kind == ALLOWANCE_NONE && limit->period != PERIOD_LAST_SAMPLES))
        return true;
    for (size_t i = 0; i < verdict->window_count; i++) {
        if (verdict->windows[i].standing == STANDING_OUTSIDE &&
            is_in(limit, &verdict->windows[i], placed))
            return true;
    }

    return false;
}

static void write_series(struct month_book *book, struct table *table,
                         const struct month_limit *limit, const struct month_placed *placed,
                         size_t series)
{
    const struct verdict *verdict = limit->verdict;
    bool probe = book->month->evidence->series[series].kind == KIND_PROBE;
    struct stretch stretch = {0};
    bool inside_between = false;

    for (size_t i = 0; i < verdict->item_count; i++) {
        const struct verdict_item *item = placed[i].item;

        if (item->series != series)
            continue;
        if (!item->outside || !number_of(verdict, item) || !is_excess(verdict, &placed[i])) {
            inside_between = inside_between || item->counted;
            continue;
        }

        enum side side = side_of(limit->limit, number_of(verdict, item));

        if (stretch.count > 0 && probe && goes_on(&stretch, &placed[i], side, inside_between)) {
            stretch.times += inside_between ? 1 : 0;
        } else {
            if (stretch.count > 0)
                write_stretch(book, table, limit, &stretch);
            stretch = (struct stretch){
                .first = &placed[i], .worst = &placed[i], .times = 1, .side = side};
        }
        stretch.last = &placed[i];
        stretch.count++;
        if (is_worse(book, verdict, side, &placed[i], stretch.worst))
            stretch.worst = &placed[i];
        inside_between = false;
    }
    if (stretch.count > 0)
        write_stretch(book, table, limit, &stretch);
}

static void write_items(struct month_book *book, struct table *table,
                        const struct month_limit *limit)
{
    const struct month_placed *placed = month_place_items(book, limit->verdict);

    for (size_t i = 0; i < book->month->evidence->series_count; i++)
        write_series(book, table, limit, placed, i);
}

/* The pair that a day's figure was made of; NULL: none. */
static const struct verdict_pair *pair_of_day(const struct verdict *verdict, day_number day)
{
    for (size_t i = 0; i < verdict->pair_count; i++)
        if (verdict->pairs[i].day == day && verdict->pairs[i].outside)
            return &verdict->pairs[i];

    return NULL;
}

static void write_day(struct month_book *book, struct table *table, const struct month_limit *limit,
                      const struct verdict_day *day)
{
    const struct limit *of = limit->limit;
    const struct verdict_pair *pair = pair_of_day(limit->verdict, day->day);
    const char *unit = of->against.kind == AGAINST_REMOVAL ? "%" : of->unit;
    const char *bound = limit_bound_words(book->mem, of);
    struct limit shown = *of;

    shown.rounding = month_shown_rounding(book, of, day->figure);
    write_row(book, table, limit, day_text(book->mem, day->day),
              arena_printf(book->mem, "%s%s %s", day->figure_qualifier == '<' ? "<" : "",
                           number_words(book, &shown, day->figure), unit),
              pair ? arena_printf(book->mem, "%s; %s", bound, pair_words(book, of, pair)) : bound);
}

static void write_days(struct month_book *book, struct table *table,
                       const struct month_limit *limit)
{
    for (size_t i = 0; i < limit->verdict->day_count; i++) {
        const struct verdict_day *day = &limit->verdict->days[i];

        if (day->outside && day->figure)
            write_day(book, table, limit, day);
    }
}

/* A length of time in the unit of the clause's figure. */
static const char *length_words(struct month_book *book, const struct limit *limit,
                                const struct exact *length)
{
    return figure_words(book, limit, exact_text(book->mem, length, FIGURES_SHOWN));
}

/* One unbroken time outside: from when to when, how long, and what is not known of it. */
static void write_run(struct month_book *book, struct table *table, const struct month_limit *limit,
                      const struct verdict_run *run)
{
    struct buf words = buf_new(book->mem);

    buf_add_text(&words, "a time outside");
    if (exact_compare(run->whole, run->within) != 0)
        buf_addf(&words, ", of which %s count here", length_words(book, limit->limit, run->within));
    if (run->begins_at_gap)
        buf_add_text(&words, "; it may have begun earlier");
    if (run->ends_at_gap)
        buf_add_text(&words, "; it may have gone on");
    write_row(book, table, limit,
              arena_printf(book->mem, "%s to %s", moment_words(book, run->from),
                           moment_words(book, run->until)),
              length_words(book, limit->limit, run->whole), words.data);
}

/* When it was outside, of a figure that is a time. */
static void write_runs(struct month_book *book, struct table *table,
                       const struct month_limit *limit, const struct verdict_runs *runs)
{
    for (size_t i = 0; runs && i < runs->count && i < RUNS_MOST; i++)
        write_run(book, table, limit, &runs->items[i]);
    if (runs && runs->count > RUNS_MOST)
        write_row(book, table, limit, "", "",
                  arena_printf(book->mem, "and %zu more times outside", runs->count - RUNS_MOST));
}

/* Each window whose own figure, or count, is beyond the bound. */
static void write_windows(struct month_book *book, struct table *table,
                          const struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;

    for (size_t i = 0; i < verdict->window_count; i++) {
        const struct verdict_window *window = &verdict->windows[i];

        if (window->standing != STANDING_OUTSIDE || !window->compared_text)
            continue;
        write_row(book, table, limit,
                  arena_printf(book->mem, "%s to %s", day_text(book->mem, window->from),
                               day_text(book->mem, window->to)),
                  figure_words(book, limit->limit, window->compared_text),
                  limit_words(book->mem, limit->limit));
        write_runs(book, table, limit, window->outside);
    }
}

void month_write_outside(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->limit_count; i++) {
        const struct month_limit *limit = &book->limits[i];
        uint32_t before = table->row;

        /* What an allowance lets pass is beyond the bound and no excess. */
        if (limit->limit->allowance.kind != ALLOWANCE_NONE &&
            limit->verdict->standing != STANDING_OUTSIDE)
            continue;
        write_items(book, table, limit);
        if (table->row == before)
            write_days(book, table, limit);
        if (table->row == before)
            write_windows(book, table, limit);
        if (table->row > before || limit->verdict->standing != STANDING_OUTSIDE)
            continue;
        write_row(book, table, limit,
                  arena_printf(book->mem, "%s to %s", day_text(book->mem, limit->verdict->from),
                               day_text(book->mem, limit->verdict->to)),
                  figure_words(book, limit->limit, limit->verdict->compared_shown),
                  limit_words(book->mem, limit->limit));
    }
    table_end(table);
}
