#include "stat/duration.h"

const char *const between_readings_words[] = {
    [BETWEEN_TO_NEXT] = "to the next reading",
    [BETWEEN_HALF_WAY] = "half-way",
    [BETWEEN_STRAIGHT_LINE] = "straight line",
};

enum side { SIDE_INSIDE, SIDE_ABOVE, SIDE_BELOW };

struct runs {
    struct duration_run *items;
    size_t count;
    size_t capacity;
};

struct gaps {
    struct duration_gap *items;
    size_t count;
    size_t capacity;
};

/* What goes along with the readings. */
struct walk {
    struct arena *mem;
    const struct duration_input *input;
    struct runs runs; /* whole, those outside of the period too */
    struct gaps gaps; /* inside the period */
    int64_t covered_us;
    bool open; /* the last run may go on */
};

static bool is_beyond(struct arena *mem, struct amount value, struct amount bound, int side,
                      bool reached_is_outside)
{
    int found = amount_compare(mem, value, bound);

    return found == 0 ? reached_is_outside : found == side;
}

static enum side side_of(struct arena *mem, const struct duration_input *input, struct amount value)
{
    if (input->has_ceiling &&
        is_beyond(mem, value, input->ceiling, 1, input->ceiling_reached_is_outside))
        return SIDE_ABOVE;
    if (input->has_floor &&
        is_beyond(mem, value, input->floor, -1, input->floor_reached_is_outside))
        return SIDE_BELOW;

    return SIDE_INSIDE;
}

/* A piece of time outside; it goes on with the run before it where that is still open. */
static void add_piece(struct walk *walk, const struct exact *from, const struct exact *until,
                      enum side side, bool after_gap)
{
    if (exact_compare(from, until) >= 0)
        return;

    struct duration_run *last = walk->runs.count ? &walk->runs.items[walk->runs.count - 1] : NULL;

    if (!walk->open || !last || exact_compare(last->until_us, from) != 0) {
        LIST_ADD(walk->mem, &walk->runs,
                 ((struct duration_run){.from_us = from, .begins_at_gap = after_gap}));
        last = &walk->runs.items[walk->runs.count - 1];
    }
    last->until_us = until;
    last->above |= side == SIDE_ABOVE;
    last->below |= side == SIDE_BELOW;
    walk->open = true;
}

/* Nothing is known from this reading on: a run that it is the end of is ended by that. */
static void end_at_gap(struct walk *walk, const struct timed_value *reading, enum side side)
{
    struct duration_run *last = walk->runs.count ? &walk->runs.items[walk->runs.count - 1] : NULL;

    if (last && side != SIDE_INSIDE &&
        exact_compare(last->until_us, exact_from_int(walk->mem, reading->at_us)) == 0)
        last->ends_at_gap = true;
    walk->open = false;
}

static int64_t later(int64_t a, int64_t b)
{
    return a > b ? a : b;
}

static int64_t earlier(int64_t a, int64_t b)
{
    return a < b ? a : b;
}

/* The part of a gap that lies in the period. */
static void add_gap(struct walk *walk, int64_t from_us, int64_t until_us, bool at_edge)
{
    from_us = later(from_us, walk->input->from_us);
    until_us = earlier(until_us, walk->input->until_us);
    if (from_us < until_us)
        LIST_ADD(
            walk->mem, &walk->gaps,
            ((struct duration_gap){.from_us = from_us, .until_us = until_us, .at_edge = at_edge}));
}

/* From one reading to the next, and where each of them lies. */
struct step {
    const struct timed_value *from;
    const struct timed_value *until;
    enum side before;
    enum side after;
    bool after_gap;
};

/* The first reading stands until the turn, and the second from there. */
static void walk_standing(struct walk *walk, const struct step *step, const struct exact *turn)
{
    struct arena *mem = walk->mem;

    if (step->before != SIDE_INSIDE)
        add_piece(walk, exact_from_int(mem, step->from->at_us), turn, step->before,
                  step->after_gap);
    else
        walk->open = false;
    if (step->after != SIDE_INSIDE)
        add_piece(walk, turn, exact_from_int(mem, step->until->at_us), step->after, false);
}

/* When the line between two readings meets the bound beyond which one of them lies. */
static const struct exact *crossing(const struct walk *walk, const struct step *step,
                                    enum side side)
{
    struct arena *mem = walk->mem;
    struct amount bound = side == SIDE_ABOVE ? walk->input->ceiling : walk->input->floor;
    const struct exact *start = amount_exact(mem, step->from->value);
    const struct exact *part =
        exact_div(mem, exact_sub(mem, amount_exact(mem, bound), start),
                  exact_sub(mem, amount_exact(mem, step->until->value), start));
    const struct exact *step_us = exact_from_int(mem, step->until->at_us - step->from->at_us);

    return exact_add(mem, exact_from_int(mem, step->from->at_us), exact_mul(mem, part, step_us));
}

static void walk_line(struct walk *walk, const struct step *step)
{
    const struct exact *start = exact_from_int(walk->mem, step->from->at_us);
    const struct exact *end = exact_from_int(walk->mem, step->until->at_us);

    if (step->before == step->after) {
        add_piece(walk, start, end, step->before, step->after_gap);
        return;
    }
    if (step->before != SIDE_INSIDE)
        add_piece(walk, start, crossing(walk, step, step->before), step->before, step->after_gap);
    walk->open = false;
    if (step->after != SIDE_INSIDE)
        add_piece(walk, crossing(walk, step, step->after), end, step->after, false);
}

static const struct exact *half_way(struct arena *mem, const struct step *step)
{
    const struct exact *both = exact_add(mem, exact_from_int(mem, step->from->at_us),
                                         exact_from_int(mem, step->until->at_us));

    return exact_div(mem, both, exact_from_int(mem, 2));
}

static void walk_step(struct walk *walk, const struct step *step)
{
    const struct duration_input *input = walk->input;
    int64_t covered_us =
        earlier(step->until->at_us, input->until_us) - later(step->from->at_us, input->from_us);

    if (covered_us > 0)
        walk->covered_us += covered_us;
    if (step->before == SIDE_INSIDE && step->after == SIDE_INSIDE)
        walk->open = false;
    else if (input->between == BETWEEN_STRAIGHT_LINE)
        walk_line(walk, step);
    else if (input->between == BETWEEN_TO_NEXT)
        walk_standing(walk, step, exact_from_int(walk->mem, step->until->at_us));
    else
        walk_standing(walk, step, half_way(walk->mem, step));
}

static void walk_readings(struct walk *walk)
{
    const struct duration_input *input = walk->input;
    const struct timed_value *readings = input->readings;
    struct step step = {.after_gap = true};

    if (input->count == 0) {
        add_gap(walk, input->from_us, input->until_us, true);
        return;
    }

    add_gap(walk, input->from_us, readings[0].at_us, true);
    step.after = side_of(walk->mem, input, readings[0].value);
    for (size_t i = 0; i + 1 < input->count; i++) {
        step.from = &readings[i];
        step.until = &readings[i + 1];
        step.before = step.after;
        step.after = side_of(walk->mem, input, step.until->value);
        if (step.until->at_us - step.from->at_us > input->gap_us) {
            end_at_gap(walk, step.from, step.before);
            add_gap(walk, step.from->at_us, step.until->at_us, false);
            step.after_gap = true;
        } else {
            walk_step(walk, &step);
            step.after_gap = false;
        }
    }
    end_at_gap(walk, &readings[input->count - 1], step.after);
    add_gap(walk, readings[input->count - 1].at_us, input->until_us, true);
}

static const struct exact *exact_larger(const struct exact *a, const struct exact *b)
{
    return exact_compare(a, b) >= 0 ? a : b;
}

/* Keeps the runs that have a part in the period, with the lengths of both. */
static void cut_runs(struct walk *walk, struct duration *out)
{
    struct arena *mem = walk->mem;
    const struct exact *from = exact_from_int(mem, walk->input->from_us);
    const struct exact *until = exact_from_int(mem, walk->input->until_us);

    out->outside_us = out->longest_us = out->longest_whole_us = exact_from_int(mem, 0);
    out->runs = walk->runs.items;
    for (size_t i = 0; i < walk->runs.count; i++) {
        struct duration_run run = walk->runs.items[i];

        run.cut_at_from = exact_compare(run.from_us, from) <= 0;
        run.cut_at_until = exact_compare(run.until_us, until) >= 0;
        run.whole_us = exact_sub(mem, run.until_us, run.from_us);
        run.within_us = exact_sub(mem, run.cut_at_until ? until : run.until_us,
                                  run.cut_at_from ? from : run.from_us);
        if (exact_sign(run.within_us) <= 0)
            continue;

        out->outside_us = exact_add(mem, out->outside_us, run.within_us);
        out->longest_us = exact_larger(run.within_us, out->longest_us);
        out->longest_whole_us = exact_larger(run.whole_us, out->longest_whole_us);
        out->runs[out->run_count++] = run;
    }
}

static void count_readings(struct walk *walk, struct duration *out)
{
    const struct duration_input *input = walk->input;

    for (size_t i = 0; i < input->count; i++) {
        if (input->readings[i].at_us < input->from_us ||
            input->readings[i].at_us >= input->until_us)
            continue;
        if (side_of(walk->mem, input, input->readings[i].value) == SIDE_INSIDE)
            out->readings_inside++;
        else
            out->readings_outside++;
    }
}

bool duration_outside(struct arena *mem, const struct duration_input *input, struct duration *out,
                      struct err *err)
{
    struct walk walk = {.mem = mem, .input = input};
    struct duration found = {.run_count = 0};

    if (!timed_check(input->readings, input->count, err))
        return false;
    if (input->gap_us < 1 || input->until_us < input->from_us)
        return err_set(err, ERR_BUG, "a time outside a range has no period or no gap");
    if (!input->has_ceiling && !input->has_floor)
        return err_set(err, ERR_BUG, "a time outside a range has no range");

    walk_readings(&walk);
    cut_runs(&walk, &found);
    count_readings(&walk, &found);
    found.gaps = walk.gaps.items;
    found.gap_count = walk.gaps.count;
    for (size_t i = 0; i < found.gap_count; i++)
        found.gap_total_us += found.gaps[i].until_us - found.gaps[i].from_us;
    found.covered_us = walk.covered_us;
    *out = found;

    return true;
}
