/* Of month_inside.h: what was outside on the first page: when, where and how far. */
#include "base/buf.h"
#include "base/str.h"
#include "report/month_inside.h"

/* Runs of one figure that stand on the first page; a probe at its bound makes hundreds. */
enum { RUNS_MOST = 20, LENGTH_FIGURES = 6 };

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

/* As it was compared: rounded by the limit's rule, in its unit; X of "<X" as it was reported. */
static const char *value_words(struct month_book *book, const struct limit *limit,
                               const struct month_placed *placed)
{
    const struct evidence_reading *reading = placed->reading;
    char qualifier = placed->item->qualifier;
    bool marked = qualifier == QUALIFIER_LESS || qualifier == QUALIFIER_GREATER;
    struct rounding rounding = limit->rounding;
    const char *digits;

    if (month_is_state(limit))
        return reading->unit;
    if (marked)
        rounding.rule = ROUND_NONE;
    digits = rounding.rule == ROUND_NONE && str_equal(reading->unit, limit->unit)
                 ? decimal_text(book->mem, reading->reported)
                 : exact_rounded_text(book->mem, placed->item->value, rounding);

    return arena_printf(book->mem, "%s%s %s",
                        marked ? (qualifier == QUALIFIER_LESS ? "<" : ">") : "", digits,
                        limit->unit);
}

/* A figure as it was compared, with its unit; of a state the word alone. */
static const char *figure_words(struct month_book *book, const struct limit *limit,
                                const char *compared)
{
    const char *unit = limit_figure_unit(book->mem, limit);

    return arena_printf(book->mem, "%s%s%s", compared ? compared : "", *unit ? " " : "", unit);
}

/* Of a value that is beyond one of two bounds: the nearer one. */
static enum side side_of(const struct limit_bound *bound, const struct exact *value)
{
    double middle = (decimal_double(bound->ceiling) + decimal_double(bound->floor)) / 2;

    if (!bound->has_floor || !bound->has_ceiling)
        return bound->has_floor ? SIDE_BELOW : SIDE_ABOVE;

    return exact_double(value) < middle ? SIDE_BELOW : SIDE_ABOVE;
}

static bool is_worse(enum side side, const struct exact *value, const struct exact *than)
{
    return side == SIDE_BELOW ? exact_compare(value, than) < 0 : exact_compare(value, than) > 0;
}

static void write_stretch(struct month_book *book, struct table *table,
                          const struct month_limit *limit, const struct stretch *stretch)
{
    const char *bound = limit_bound_words(book->mem, limit->limit);
    const char *value = value_words(book, limit->limit, stretch->worst);
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
        if (!item->outside || !item->value) {
            inside_between = inside_between || item->counted;
            continue;
        }

        enum side side = side_of(&limit->limit->bound, item->value);

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
        if (is_worse(side, item->value, stretch.worst->item->value))
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

static void write_days(struct month_book *book, struct table *table,
                       const struct month_limit *limit)
{
    for (size_t i = 0; i < limit->verdict->day_count; i++) {
        const struct verdict_day *day = &limit->verdict->days[i];

        if (!day->outside || !day->figure)
            continue;
        write_row(
            book, table, limit, day_text(book->mem, day->day),
            arena_printf(book->mem, "%s%s %s", day->figure_qualifier == '<' ? "<" : "",
                         exact_rounded_text(book->mem, day->figure,
                                            month_shown_rounding(book, limit->limit, day->figure)),
                         limit->limit->unit),
            limit_bound_words(book->mem, limit->limit));
    }
}

/* A length of time in the unit of the clause's figure. */
static const char *length_words(struct month_book *book, const struct limit *limit,
                                const struct exact *length)
{
    return figure_words(book, limit, exact_text(book->mem, length, LENGTH_FIGURES));
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
                  figure_words(book, limit->limit, limit->verdict->compared_text),
                  limit_words(book->mem, limit->limit));
    }
    table_end(table);
}
