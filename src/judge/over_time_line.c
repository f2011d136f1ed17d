#include "judge/over_time_line.h"

#include "judge/combine.h"
#include "judge/converter.h"
#include "judge/gather.h"
#include "judge/shared.h"

/* A line while it is drawn. */
struct drawing {
    const struct judgement *judgement;
    const struct figure_window *window;
};

static void add(const struct judgement *judgement, struct line *line, struct figure figure)
{
    if (!figure.range.low.known && !figure.range.high.known) {
        line->blocked = figure.blocked ? figure.blocked : "a reading is no number";
        return;
    }
    if (!line->blocked)
        line->blocked = figure.blocked;
    if (figure.less_thans > 0 && !figure.range.low.known)
        figure.range.low = (struct end){.known = true};
    if (!figure.range.high.known && judgement->limit->standing_rule == STANDS_STRAIGHT_LINE &&
        limit_of_time(judgement->limit) && !line->blocked)
        line->blocked = "a greater-than has no place on a straight line";
    line->less_thans += figure.less_thans;
    LIST_ADD(judgement->mem, line, figure);
}

/* A reading of the series outside the days judged: it does not count, and tells where time goes. */
static void add_beside(const struct drawing *drawing, struct line *line, size_t series,
                       size_t index)
{
    const struct judgement *judgement = drawing->judgement;
    const struct evidence_reading *reading = &judgement->evidence->series[series].readings[index];
    struct converter converter =
        converter_to(judgement->evidence->units, judgement->parameter, judgement->limit->unit);
    struct use use = {.series = (int)series,
                      .reading = index,
                      .at = reading->at,
                      .until = reading->until,
                      .day = NO_INDEX,
                      .qualifier = reading->qualifier};

    use.has_value = reading->qualifier != QUALIFIER_NOT_DETECTED &&
                    converter_apply(judgement->mem, &converter, reading->unit, reading->reported,
                                    &use.value, &use.step);
    if (use.has_value)
        add(judgement, line, figure_of_reading(judgement, &use));
}

/* How far before the window a reading matters. */
static int64_t reach_us(const struct limit *limit)
{
    int64_t span = limit->statistic == STATISTIC_CHANGE ? limit->settings.change_span_s
                                                        : limit->reading_stands_s;
    int64_t us = span * SECOND_US;

    /* A run that began before the period is as long as it was: evidence reaches back a day. */
    return limit->statistic == STATISTIC_LONGEST_OUTSIDE && us < DAY_US ? DAY_US : us;
}

static bool usable(const struct evidence_reading *reading, enum pass pass)
{
    return !reading->left_out && reading->counts && (!reading->doubt || pass == PASS_ALL);
}

/* Readings before the days judged, as far as the figure reaches back. */
static void add_before(const struct drawing *drawing, struct line *line, size_t series)
{
    const struct judgement *judgement = drawing->judgement;
    const struct evidence_series *from = &judgement->evidence->series[series];
    size_t after = gather_first_from(from, judgement->from_at);
    size_t first = gather_first_from(from, drawing->window->from_at - reach_us(judgement->limit));

    for (size_t i = first; i < after; i++)
        if (usable(&from->readings[i], drawing->window->pass))
            add_beside(drawing, line, series, i);
}

static void add_after(const struct drawing *drawing, struct line *line, size_t series)
{
    const struct judgement *judgement = drawing->judgement;
    const struct evidence_series *from = &judgement->evidence->series[series];

    if (!limit_of_time(judgement->limit) || drawing->window->until_at < judgement->until_at)
        return;
    for (size_t i = gather_first_from(from, judgement->until_at); i < from->count; i++)
        if (usable(&from->readings[i], drawing->window->pass)) {
            add_beside(drawing, line, series, i);
            return;
        }
}

/*
 * A reading while the clause did not apply: of a time outside it tells where a reading before it
 * ends, and what stands into the time when the clause applies again.
 */
static bool stands_on(const struct drawing *drawing, const struct use *use)
{
    return limit_of_time(drawing->judgement->limit) && use->not_applying &&
           (use->trust == TRUST_SOUND || drawing->window->pass == PASS_ALL);
}

/* Whether a use is of the line: within reach of the window, of the series or of none. */
static bool is_of(const struct drawing *drawing, const struct use *use, int series)
{
    const struct figure_window *window = drawing->window;
    int64_t reach = reach_us(drawing->judgement->limit);

    return (use->series == series || use->series == NO_INDEX) && use->place == 0 &&
           use->at != INSTANT_NONE && use->at >= window->from_at - reach &&
           use->at < window->until_at + (limit_of_time(drawing->judgement->limit) ? reach : 0) &&
           (pass_takes(use, window->pass) || stands_on(drawing, use));
}

/* Why a row set aside that may be of any time leaves the figure open; NULL: it does not. */
static const char *timeless(const struct drawing *drawing, const struct use *use)
{
    bool may_matter = use->at == INSTANT_NONE && use->place == 0 && use->fit != FIT_WITHIN &&
                      pass_takes(use, drawing->window->pass);

    return may_matter ? "a row set aside has no time that can be read" : NULL;
}

/* How many readings of the days judged it takes. */
static size_t count_of(const struct drawing *drawing, int series)
{
    const struct judgement *judgement = drawing->judgement;
    size_t count = 0;

    for (size_t i = 0; i < judgement->count; i++)
        count += is_of(drawing, &judgement->items[i], series);

    return count;
}

static struct line draw(const struct drawing *drawing, int series)
{
    enum { BESIDE = 256 }; /* readings before and after those days, most often fewer */
    const struct judgement *judgement = drawing->judgement;
    size_t room = count_of(drawing, series) + BESIDE;
    struct line line = {.items = ARENA_ARRAY(judgement->mem, struct figure, room),
                        .capacity = room};

    if (series != NO_INDEX)
        add_before(drawing, &line, (size_t)series);
    for (size_t i = 0; i < judgement->count; i++)
        if (is_of(drawing, &judgement->items[i], series))
            add(judgement, &line, figure_of_use(judgement, &judgement->items[i]));
        else if (!line.blocked)
            line.blocked = timeless(drawing, &judgement->items[i]);
    if (series != NO_INDEX)
        add_after(drawing, &line, (size_t)series);

    return line;
}

/* Whether every reading of it is a number that the clause's rules have no part in. */
static bool all_numbers(const struct judgement *judgement, const struct line *line)
{
    bool numbers = !line->blocked && line->less_thans == 0;

    for (size_t i = 0; i < line->count && numbers; i++)
        numbers = line->items[i].qualifier == QUALIFIER_NONE && !line->items[i].blocked &&
                  combine_is_number(judgement, &line->items[i]);

    return numbers;
}

static struct timed_value *values_of(const struct judgement *judgement, const struct line *line)
{
    struct timed_value *values = ARENA_ARRAY(judgement->mem, struct timed_value, line->count + 1);

    for (size_t i = 0; i < line->count; i++)
        values[i] = (struct timed_value){line->items[i].at, line->items[i].range.high.at};

    return values;
}

struct line over_time_line(const struct judgement *judgement, const struct figure_window *window,
                           int series)
{
    const struct shared_key key = {SHARED_LINE,
                                   {series, window->from_at, window->until_at,
                                    reach_us(judgement->limit), limit_of_time(judgement->limit)}};
    struct drawing drawing = {judgement, window};
    struct line line;

    const struct line *kept = judgement->shared ? shared_find(judgement, &key) : NULL;

    if (kept && kept->values)
        return *kept;

    struct judgement own = judgement->shared && !kept ? shared_to_keep(judgement) : *judgement;

    drawing.judgement = &own;
    line = draw(&drawing, series);
    line.values = all_numbers(&own, &line) ? values_of(&own, &line) : NULL;
    /* One that is no plain numbers is kept as that, so that it is drawn by each clause for itself.
     */
    if (judgement->shared && !kept)
        shared_keep(judgement, &key, arena_copy(own.mem, &line, sizeof(line)));

    return line;
}
