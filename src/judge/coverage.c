#include "judge/coverage.h"

#include "judge/gather.h"
#include "judge/shared.h"

__extension__ typedef __int128 wide;

/* The time of days while the readings of one place are laid over it, in order. */
struct cover {
    const struct judgement *judgement;
    size_t place;
    bool *belongs; /* by series: whether it is of the place, as the clause takes it */
    struct coverage *days;
    instant from; /* no other time is covered */
    instant until;
    instant laid_to; /* nothing before this is covered again */
};

static instant earlier(instant a, instant b)
{
    return a < b ? a : b;
}

static instant later(instant a, instant b)
{
    return a > b ? a : b;
}

/* The part of a stretch of time in which the clause applied, or may have, where asked. */
static int64_t applying_us(const struct judgement *judgement, instant from, instant until,
                           bool or_not_told)
{
    return judgement->applies ? applies_time_us(judgement->applies, from, until, or_not_told)
                              : until - from;
}

static void lay(struct cover *cover, instant from, instant until)
{
    const struct judgement *judgement = cover->judgement;

    from = later(later(from, cover->laid_to), cover->from);
    until = earlier(until, cover->until);
    if (from >= until)
        return;
    cover->laid_to = until;

    for (size_t i = (size_t)judgement_day(judgement, from);
         i < judgement->day_count && judgement->days[i].start < until; i++)
        if (!judgement->days[i].why_not)
            cover->days[i].covered_us +=
                applying_us(judgement, later(from, judgement->days[i].start),
                            earlier(until, judgement->days[i].end), false);
}

static bool usable(const struct evidence_reading *reading, bool with_doubt)
{
    return !reading->left_out && reading->counts && (with_doubt || !reading->doubt);
}

/* The instant of the place's reading next to the period, before it or after it. */
static instant neighbour(const struct cover *cover, bool before, bool with_doubt)
{
    const struct judgement *judgement = cover->judgement;
    const struct evidence *evidence = judgement->evidence;
    instant found = INSTANT_NONE;

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (!cover->belongs[i])
            continue;

        size_t at = gather_first_from(series, before ? judgement->from_at : judgement->until_at);

        if (before ? at == 0 : at == series->count)
            continue;

        const struct evidence_reading *reading = &series->readings[before ? at - 1 : at];

        if (usable(reading, with_doubt) &&
            (found == INSTANT_NONE || (before ? reading->at > found : reading->at < found)))
            found = reading->at;
    }

    return found;
}

/* From one reading to the next one, where that is no gap. */
static void lay_step(struct cover *cover, instant from, instant next)
{
    int64_t longest = (int64_t)cover->judgement->limit->reading_stands_s * SECOND_US;

    if (from != INSTANT_NONE && next != INSTANT_NONE && next - from <= longest)
        lay(cover, from, next);
}

static void lay_place(struct cover *cover, bool with_doubt)
{
    const struct judgement *judgement = cover->judgement;
    const struct evidence *evidence = judgement->evidence;

    cover->belongs = ARENA_ARRAY(judgement->mem, bool, evidence->series_count + 1);
    for (size_t i = 0; i < evidence->series_count; i++)
        cover->belongs[i] = gather_series_at(
            judgement->limit, &judgement->places[cover->place].place, &evidence->series[i]);

    instant last = neighbour(cover, true, with_doubt);

    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        /* One of a day that is not judged still ends the step that leads to it. */
        if (use->series == NO_INDEX || !cover->belongs[use->series] ||
            (use->trust != TRUST_SOUND && !with_doubt) ||
            !usable(&evidence->series[use->series].readings[use->reading], with_doubt))
            continue;
        lay_step(cover, last, use->at);
        lay(cover, use->at, use->until);
        last = use->at;
    }
    lay_step(cover, last, neighbour(cover, false, with_doubt));
}

/* Of each judged day, as far as it lies in from..until. */
static struct coverage *days_between(const struct judgement *judgement, bool with_doubt,
                                     instant from, instant until)
{
    struct coverage *days = ARENA_ARRAY(judgement->mem, struct coverage, judgement->day_count);

    until = earlier(until, judgement->evidence->now);
    for (size_t place = 0; place < judgement->place_count; place++) {
        struct cover cover = {
            .judgement = judgement,
            .place = place,
            .days = ARENA_ARRAY(judgement->mem, struct coverage, judgement->day_count),
            .from = from,
            .until = until,
            .laid_to = INT64_MIN};

        lay_place(&cover, with_doubt);
        for (size_t i = 0; i < judgement->day_count; i++)
            if (place == 0 || cover.days[i].covered_us < days[i].covered_us)
                days[i].covered_us = cover.days[i].covered_us;
    }
    for (size_t i = 0; i < judgement->day_count; i++) {
        const struct judged_day *day = &judgement->days[i];
        instant first = later(day->start, from);
        instant last = earlier(day->end, until);

        if (!day->why_not && first < last)
            days[i].asked_us = applying_us(judgement, first, last, true);
    }

    return days;
}

const struct coverage *coverage_of_days(const struct judgement *judgement, bool with_doubt)
{
    const struct shared_key key = {SHARED_COVERAGE,
                                   {judgement->limit->reading_stands_s, with_doubt}};
    const struct coverage *kept;

    if (!judgement->shared)
        return days_between(judgement, with_doubt, judgement->from_at, judgement->until_at);
    kept = shared_find(judgement, &key);
    if (!kept) {
        struct judgement own = shared_to_keep(judgement);

        kept = days_between(&own, with_doubt, own.from_at, own.until_at);
        shared_keep(judgement, &key, kept);
    }

    return kept;
}

struct coverage coverage_between(const struct judgement *judgement, bool with_doubt, instant from,
                                 instant until)
{
    const struct coverage *days =
        days_between(judgement, with_doubt, later(from, judgement->from_at),
                     earlier(until, judgement->until_at));

    return coverage_sum(days, 0, judgement->day_count);
}

struct coverage coverage_sum(const struct coverage *days, size_t first, size_t after)
{
    struct coverage all = {0};

    for (size_t i = first; i < after; i++) {
        all.covered_us += days[i].covered_us;
        all.asked_us += days[i].asked_us;
    }

    return all;
}

struct decimal coverage_percent(struct coverage coverage)
{
    if (coverage.asked_us == 0)
        return (struct decimal){.scale = 1};

    return (struct decimal){
        .coefficient = (int64_t)((wide)coverage.covered_us * 1000 / coverage.asked_us), .scale = 1};
}

bool coverage_reaches(struct coverage coverage, struct decimal percent)
{
    wide power = 1;

    for (int i = 0; i < percent.scale; i++)
        power *= 10;

    return (wide)coverage.covered_us * 100 * power >= (wide)percent.coefficient * coverage.asked_us;
}
