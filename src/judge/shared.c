#include "judge/shared.h"

#include "base/str.h"
#include "judge/combine.h"
#include "judge/prepare.h"

enum { DAILY_PLAIN = DAILY_MAXIMUM + 1 };

/* A statistic that was worked out over some of the figures. */
struct worked_out {
    const struct figure *figures;
    size_t count;
    const struct statistic *statistic;
    struct statistic_settings settings;
    struct figure figure;
};

/* What is made of each day, and what was worked out from it. */
struct plain_days {
    bool made;
    struct reduced reduced;
    struct worked_out *items;
    size_t count;
    size_t capacity;
    const struct figure *ends_of; /* figures that `ends` are of; NULL: none yet */
    size_t ends_count;
    struct shared_ends ends;
};

struct shared {
    struct arena *mem;
    bool kept;
    struct limit limit;         /* whose reading side is kept */
    struct evidence evidence;   /* that it was read from */
    struct judgement judgement; /* as it was prepared */
    bool in_full;
    size_t left_out;
    bool all_within; /* of the clause that is being judged */
    struct plain_days days[DAILY_PLAIN];
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
           limit->side_by_side == ALIKE_EACH && limit->period != PERIOD_LAST_SAMPLES &&
           limit->period != PERIOD_DISCHARGE_RUN;
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

static bool fits(const struct shared *shared, const struct judgement *judgement, day_number from,
                 day_number to, bool in_full)
{
    const struct judgement *kept = &shared->judgement;

    return shared->kept && shared->in_full == in_full && kept->days[0].day == from &&
           kept->days[kept->day_count - 1].day == to &&
           kept->first_asked == judgement->first_asked &&
           kept->after_asked == judgement->after_asked &&
           same_reading_side(&shared->limit, judgement->limit) &&
           same_evidence(&shared->evidence, judgement->evidence);
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
static bool prepare_to_keep(struct shared *shared, struct judgement *judgement, day_number from,
                            day_number to, bool in_full, struct err *err)
{
    struct arena *mem = judgement->mem;
    bool done;

    arena_reset(shared->mem);
    *shared = (struct shared){.mem = shared->mem};
    judgement->mem = shared->mem;
    done = prepare_judgement(judgement, from, to, in_full, err);
    judgement->mem = mem;
    if (!done)
        return false;

    shared->kept = all_plain(judgement);
    shared->limit = *judgement->limit;
    shared->evidence = *judgement->evidence;
    shared->judgement = *judgement;
    shared->in_full = in_full;
    for (size_t i = 0; i < judgement->count && shared->kept; i++) {
        const struct use *use = &judgement->items[i];

        shared->left_out +=
            judgement->evidence->series[use->series].readings[use->reading].left_out != NULL;
    }

    return true;
}

/* Put what is kept in the place of what would be prepared. */
static void take_kept(const struct shared *shared, struct judgement *judgement)
{
    struct judgement taken = shared->judgement;

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
    if (fits(shared, judgement, from, to, in_full))
        take_kept(shared, judgement);
    else if (!prepare_to_keep(shared, judgement, from, to, in_full, err))
        return false;
    if (shared->kept)
        hold_alone(shared, judgement);
    else
        judgement->shared = NULL;

    return true;
}

/* The judgement as if it stood by itself, in the memory that is kept. */
static struct judgement to_keep(const struct judgement *judgement)
{
    struct judgement own = *judgement;

    own.mem = judgement->shared->mem;
    own.shared = NULL;

    return own;
}

struct reduced shared_reduce(const struct judgement *judgement)
{
    struct plain_days *days = &judgement->shared->days[judgement->limit->daily];
    struct reduced reduced;

    if (!days->made) {
        struct judgement own = to_keep(judgement);

        days->reduced = reduce_days(&own, PASS_WITHOUT);
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

struct figure shared_combine(const struct judgement *judgement, const struct figure *figures,
                             size_t count)
{
    const struct limit *limit = judgement->limit;
    struct plain_days *days = &judgement->shared->days[limit->daily];
    struct judgement own = to_keep(judgement);

    for (size_t i = 0; i < days->count; i++) {
        const struct worked_out *item = &days->items[i];

        if (item->figures == figures && item->count == count &&
            item->statistic == judgement->statistic &&
            same_settings(&item->settings, &limit->settings))
            return item->figure;
    }

    struct worked_out item = {.figures = figures,
                              .count = count,
                              .statistic = judgement->statistic,
                              .settings = limit->settings,
                              .figure =
                                  combine_figures(&own, judgement->statistic, figures, count)};

    LIST_ADD(own.mem, days, item);

    return item.figure;
}

struct shared_ends shared_ends_of(const struct judgement *judgement, const struct figure *figures,
                                  size_t count)
{
    struct plain_days *days = &judgement->shared->days[judgement->limit->daily];
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

size_t shared_left_out(const struct judgement *judgement)
{
    return judgement->shared->left_out;
}
