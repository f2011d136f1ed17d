#include "judge/shared.h"

#include <string.h>

#include "base/str.h"
#include "judge/combine.h"
#include "judge/gather.h"
#include "judge/prepare.h"

enum { DAILY_PLAIN = DAILY_MAXIMUM + 1 };

/* A statistic that was worked out over some of the figures. */
struct worked_out {
    struct worked_out *next; /* that begins with the same figure */
    size_t count;
    const struct statistic *statistic;
    struct statistic_settings settings;
    struct figure figure;
};

/* Figures that are a number each, as the rows of stat/ take them. */
struct numbers {
    const struct figure *of;
    size_t count;
    const struct amount *values; /* NULL: one of them is more than a number */
    const struct amount *sorted; /* NULL: nobody asked yet */
};

/* What is made of each day, and what was worked out from it. */
struct plain_days {
    bool made;
    struct reduced reduced;
    struct numbers numbers;         /* of the most figures that a statistic was worked out over */
    struct worked_out **worked_out; /* by the first of their figures */
    const struct figure *ends_of;   /* figures that `ends` are of; NULL: none yet */
    size_t ends_count;
    struct shared_ends ends;
};

struct kept_thing {
    struct shared_key key;
    const void *thing;
};

struct kept_things {
    struct kept_thing *items;
    size_t count;
    size_t capacity;
};

/* The reading side over some days. */
struct frame {
    struct judgement judgement; /* as it was prepared */
    day_number from;
    day_number to;
    bool in_full;
    bool plain; /* false: not all of its readings are, and nothing of it is kept */
    size_t left_out;
    size_t undischarged;
    bool read; /* `readings` are made */
    struct figure_list readings;
    struct plain_days days[DAILY_PLAIN];
    struct kept_things things;
};

/* A month, and with it the days that weeks, running days, last samples, quarters and years need. */
enum { FRAMES_MOST = 16 };

struct shared {
    struct arena *mem;
    struct limit limit;       /* whose reading side is kept */
    struct evidence evidence; /* that it was read from */
    struct frame *frames[FRAMES_MOST];
    size_t frame_count;
    struct frame *frame; /* of the clause that is being judged */
    bool all_within;     /* of the same */
};

struct shared *shared_new(struct arena *mem, struct arena *kept)
{
    struct shared *shared = ARENA_NEW(mem, struct shared);

    shared->mem = kept;

    return shared;
}

/* Whether a clause is about plain readings, as far as the clause can say. */
static bool asks_plain(const struct limit *limit)
{
    return limit->daily <= DAILY_MAXIMUM && limit->statistic != STATISTIC_FLOW_WEIGHTED_MEAN &&
           limit->bound_by.kind == BOUND_NUMBER && limit->against.kind == AGAINST_NONE &&
           limit->added_count == 0 && !limit->flow.station && !limit->hours.set &&
           limit->tide.of == TIDE_NONE && !limit->season.set &&
           !limit->applies_while.other.station && limit->replicates == ALIKE_EACH &&
           limit->side_by_side == ALIKE_EACH && limit->period != PERIOD_DISCHARGE_RUN;
}

static bool same_names(const char *const *a, size_t a_count, const char *const *b, size_t b_count)
{
    for (size_t i = 0; i < a_count && a_count == b_count; i++)
        if (!str_equal(a[i], b[i]))
            return false;

    return a_count == b_count;
}

/*
 * Whether two clauses that ask for plain readings read the same ones, day by day.
 *
 * Every field of struct limit belongs to one of three: it is compared here; it is none in such a
 * clause (asks_plain); or no reading, and no figure of plain ones, goes by it: what names and
 * words the clause, the bound and its margin, allowance and rounding, the rules for less-thans and
 * greater-thans, least samples and coverage, the period (it comes as days), the statistic and its
 * settings (they are compared where a figure is kept). A new field has to be put in one of them.
 */
static bool same_reading_side(const struct limit *a, const struct limit *b)
{
    return str_equal(a->station, b->station) && str_equal(a->position, b->position) &&
           str_equal(a->parameter, b->parameter) && str_equal(a->unit, b->unit) &&
           a->kinds == b->kinds && a->accredited == b->accredited &&
           a->without_looking_for_cause == b->without_looking_for_cause &&
           same_names(a->methods, a->method_count, b->methods, b->method_count) &&
           same_names(a->instruments, a->instrument_count, b->instruments, b->instrument_count) &&
           same_names(a->takers, a->taker_count, b->takers, b->taker_count) &&
           a->only_while_discharging == b->only_while_discharging &&
           a->day_starts_hour == b->day_starts_hour && a->span_belongs == b->span_belongs &&
           a->in_force_from == b->in_force_from && a->in_force_to == b->in_force_to;
}

/* Whether two clauses are judged from the same evidence: what else it holds is the farm's. */
static bool same_evidence(const struct evidence *a, const struct evidence *b)
{
    return a->series == b->series && a->series_count == b->series_count &&
           a->set_aside == b->set_aside && a->set_aside_count == b->set_aside_count &&
           a->days == b->days && a->day_count == b->day_count &&
           a->outlet_series == b->outlet_series && a->now == b->now;
}

static bool fits(const struct frame *frame, const struct judgement *judgement, day_number from,
                 day_number to, bool in_full)
{
    return frame->in_full == in_full && frame->from == from && frame->to == to &&
           frame->judgement.first_asked == judgement->first_asked &&
           frame->judgement.after_asked == judgement->after_asked;
}

/* The frame of these days, or NULL; frames of another reading side are given up. */
static struct frame *frame_find(struct shared *shared, const struct judgement *judgement,
                                day_number from, day_number to, bool in_full)
{
    bool same_side = shared->frame_count > 0 &&
                     same_reading_side(&shared->limit, judgement->limit) &&
                     same_evidence(&shared->evidence, judgement->evidence);

    for (size_t i = 0; i < shared->frame_count && same_side; i++)
        if (fits(shared->frames[i], judgement, from, to, in_full))
            return shared->frames[i];
    if (!same_side || shared->frame_count == FRAMES_MOST) {
        arena_reset(shared->mem);
        shared->frame_count = 0;
        shared->limit = *judgement->limit;
        shared->evidence = *judgement->evidence;
    }

    return NULL;
}

static bool is_plain(const struct use *use)
{
    return use->trust == TRUST_SOUND && use->has_value && use->qualifier == QUALIFIER_NONE &&
           use->day != NO_INDEX && !use->has_detection && !use->has_quantitation &&
           !use->own_bound && !use->blocked;
}

/* Whether what was prepared is plain readings, and others that count for nothing. */
static bool all_plain(const struct judgement *judgement)
{
    bool plain = judgement->day_count > 0 && judgement->asides.count == 0 &&
                 !judgement->sample_without_number && !judgement->cannot_tell;

    for (size_t i = 0; i < judgement->count && plain; i++) {
        const struct use *use = &judgement->items[i];

        plain = use->series != NO_INDEX &&
                (use->why_not ? use->qualifier != QUALIFIER_NOT_DETECTED : is_plain(use));
    }

    return plain;
}

/* Prepare a judgement in the memory that is kept for the next ones. */
static bool frame_prepare(struct shared *shared, struct judgement *judgement, day_number from,
                          day_number to, bool in_full, struct err *err)
{
    struct arena *mem = judgement->mem;
    struct frame *frame = ARENA_NEW(shared->mem, struct frame);
    bool done;

    judgement->mem = shared->mem;
    done = prepare_judgement(judgement, from, to, in_full, err);
    judgement->mem = mem;
    if (!done)
        return false;

    *frame = (struct frame){.judgement = *judgement,
                            .from = from,
                            .to = to,
                            .in_full = in_full,
                            .plain = all_plain(judgement)};
    shared->frames[shared->frame_count++] = frame;
    shared->frame = frame;
    for (size_t i = 0; i < judgement->count && frame->plain; i++) {
        const struct use *use = &judgement->items[i];

        frame->left_out +=
            judgement->evidence->series[use->series].readings[use->reading].left_out != NULL;
        frame->undischarged += gather_is_without_discharge(judgement, use);
    }

    return true;
}

/* Put what is kept in the place of what would be prepared. */
static void take_kept(const struct frame *frame, struct judgement *judgement)
{
    struct judgement taken = frame->judgement;

    taken.mem = judgement->mem;
    taken.in_brief = judgement->in_brief;
    taken.shared = judgement->shared;
    taken.limit = judgement->limit;
    taken.evidence = judgement->evidence;
    prepare_frame(&taken);
    *judgement = taken;
}

/* Hold each reading against the bound: where the ends of all are within it, so are the rest. */
static void hold_alone(struct shared *shared, struct judgement *judgement)
{
    const struct limit *limit = judgement->limit;

    shared->all_within = true;
    if (limit->statistic != STATISTIC_VALUE || limit->daily != DAILY_EVERY)
        return;

    struct reduced every = shared_reduce(judgement);

    if (every.figures.count > 0) {
        struct shared_ends ends =
            shared_ends_of(judgement, every.figures.items, every.figures.count);

        shared->all_within =
            figure_fit(judgement, &every.figures.items[ends.lowest]) == FIT_WITHIN &&
            figure_fit(judgement, &every.figures.items[ends.highest]) == FIT_WITHIN;
    }
    if (!shared->all_within)
        prepare_fits(judgement);
}

bool shared_prepare(struct judgement *judgement, day_number from, day_number to, bool in_full,
                    struct err *err)
{
    struct shared *shared = judgement->shared;

    if (!shared || !asks_plain(judgement->limit)) {
        judgement->shared = NULL;
        return prepare_judgement(judgement, from, to, in_full, err);
    }
    shared->frame = frame_find(shared, judgement, from, to, in_full);
    if (shared->frame && shared->frame->plain)
        take_kept(shared->frame, judgement);
    else if (shared->frame ? !prepare_judgement(judgement, from, to, in_full, err)
                           : !frame_prepare(shared, judgement, from, to, in_full, err))
        return false;
    if (shared->frame->plain)
        hold_alone(shared, judgement);
    else
        judgement->shared = NULL;

    return true;
}

struct judgement shared_to_keep(const struct judgement *judgement)
{
    struct judgement own = *judgement;

    own.mem = judgement->shared->mem;
    own.shared = NULL;

    return own;
}

static struct plain_days *days_of(const struct judgement *judgement)
{
    return &judgement->shared->frame->days[judgement->limit->daily];
}

struct reduced shared_reduce(const struct judgement *judgement)
{
    struct frame *frame = judgement->shared->frame;
    struct plain_days *days = days_of(judgement);
    struct reduced reduced;

    if (!days->made) {
        struct judgement own = shared_to_keep(judgement);

        if (!frame->read)
            frame->readings = reduce_plain_readings(&own);
        frame->read = true;
        days->reduced = reduce_plain_days(&own, &frame->readings);
        days->worked_out =
            ARENA_ARRAY(own.mem, struct worked_out *, days->reduced.figures.count + 1);
        days->made = true;
    }
    reduced = days->reduced;
    reduced.days = arena_copy(judgement->mem, days->reduced.days,
                              judgement->day_count * sizeof(*reduced.days));

    return reduced;
}

static bool same_settings(const struct statistic_settings *a, const struct statistic_settings *b)
{
    return decimal_compare(a->percent, b->percent) == 0 && decimal_compare(a->z, b->z) == 0 &&
           a->deviation == b->deviation && str_equal(a->percentile_rule, b->percentile_rule);
}

static bool is_number(const struct judgement *judgement, const struct figure *figure)
{
    return figure->qualifier == QUALIFIER_NONE && !figure->blocked && figure->less_thans == 0 &&
           figure->not_told == 0 && combine_is_number(judgement, figure);
}

static struct numbers numbers_of(const struct judgement *judgement, const struct figure *figures,
                                 size_t count)
{
    struct amount *values = ARENA_ARRAY(judgement->mem, struct amount, count);
    struct numbers numbers = {.of = figures, .count = count, .values = values};

    for (size_t i = 0; i < count; i++) {
        if (!is_number(judgement, &figures[i]))
            numbers.values = NULL;
        values[i] = figures[i].range.low.at;
    }

    return numbers;
}

/* A figure worked out in the memory that is kept. */
static struct figure figure_to_keep(const struct judgement *judgement, struct plain_days *days,
                                    const struct figure *figures, size_t count)
{
    struct judgement own = shared_to_keep(judgement);
    const struct statistic *statistic = judgement->statistic;
    bool same = days->numbers.of == figures && days->numbers.count == count;
    struct numbers numbers = same ? days->numbers : numbers_of(&own, figures, count);

    if (!numbers.values)
        return combine_figures(&own, statistic, figures, count);

    struct stat_input input = combine_input(&own, numbers.values, count);

    if (statistic->sorts && !numbers.sorted)
        numbers.sorted = amount_sorted(own.mem, numbers.values, count);
    input.sorted = numbers.sorted;
    if (count >= days->numbers.count)
        days->numbers = numbers;

    return combine_numbers(&own, statistic, &input, figures[0].place);
}

struct figure shared_combine(const struct judgement *judgement, const struct figure *figures,
                             size_t count)
{
    const struct limit *limit = judgement->limit;
    struct plain_days *days = days_of(judgement);
    struct worked_out **begin = &days->worked_out[figures - days->reduced.figures.items];

    for (const struct worked_out *item = *begin; item; item = item->next)
        if (item->count == count && item->statistic == judgement->statistic &&
            same_settings(&item->settings, &limit->settings))
            return item->figure;

    struct worked_out *item = ARENA_NEW(judgement->shared->mem, struct worked_out);

    *item = (struct worked_out){.next = *begin,
                                .count = count,
                                .statistic = judgement->statistic,
                                .settings = limit->settings,
                                .figure = figure_to_keep(judgement, days, figures, count)};
    *begin = item;

    return item->figure;
}

const void *shared_find(const struct judgement *judgement, const struct shared_key *key)
{
    const struct kept_things *things = &judgement->shared->frame->things;

    for (size_t i = things->count; i-- > 0;)
        if (memcmp(&things->items[i].key, key, sizeof(*key)) == 0)
            return things->items[i].thing;

    return NULL;
}

void shared_keep(const struct judgement *judgement, const struct shared_key *key, const void *thing)
{
    struct shared *shared = judgement->shared;
    struct kept_thing kept = {*key, thing};

    LIST_ADD(shared->mem, &shared->frame->things, kept);
}

struct shared_ends shared_ends_of(const struct judgement *judgement, const struct figure *figures,
                                  size_t count)
{
    struct plain_days *days = days_of(judgement);
    struct arena *mem = judgement->mem;
    struct shared_ends ends = {0, 0};

    if (days->ends_of == figures && days->ends_count == count)
        return days->ends;
    for (size_t i = 1; i < count; i++) {
        struct amount value = figures[i].range.low.at;

        if (amount_compare(mem, value, figures[ends.lowest].range.low.at) < 0)
            ends.lowest = i;
        if (amount_compare(mem, value, figures[ends.highest].range.low.at) > 0)
            ends.highest = i;
    }
    days->ends_of = figures;
    days->ends_count = count;
    days->ends = ends;

    return ends;
}

bool shared_all_within(const struct judgement *judgement)
{
    return judgement->shared->all_within;
}

void shared_counts(const struct judgement *judgement, struct verdict *verdict)
{
    verdict->left_out = judgement->shared->frame->left_out;
    verdict->undischarged = judgement->shared->frame->undischarged;
}
