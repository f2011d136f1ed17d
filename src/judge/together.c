#include "judge/together.h"

#include "judge/combine.h"
#include "judge/load_steps.h"
#include "stat/average.h"

/* What the places have on a day. */
struct on_day {
    struct figure *figures;
    size_t count;
    const struct reduced *lacking; /* a place that has none; NULL: every one has */
    bool gap;                      /* one should have a figure and has none */
    bool together;
};

static struct on_day on_day_of(const struct judgement *judgement, const struct reduced *parts,
                               size_t count, size_t day)
{
    struct on_day on = {.figures = ARENA_ARRAY(judgement->mem, struct figure, count)};

    for (size_t i = 0; i < count; i++) {
        const struct pass_day *from = &parts[i].days[day];

        on.together = on.together || from->together;
        on.gap = on.gap || from->gap;
        if (from->has_figure)
            on.figures[on.count++] = from->figure;
        else if (!on.lacking)
            on.lacking = &parts[i];
    }

    return on;
}

static const char *lacking_words(const struct judgement *judgement, const struct reduced *parts,
                                 const struct on_day *on, size_t day)
{
    const char *station = judgement->places[on->lacking - parts].place.station;
    const char *note = on->lacking->days[day].note;

    return note ? arena_printf(judgement->mem, "%s at %s", note, station)
                : arena_printf(judgement->mem, "no result at %s", station);
}

static void add_day(const struct judgement *judgement, const struct reduced *parts, size_t count,
                    size_t day, struct reduced *out)
{
    struct on_day on = on_day_of(judgement, parts, count, day);
    struct pass_day *to = &out->days[day];

    for (size_t i = 0; i < count; i++) {
        to->readings += i > 0 ? parts[i].days[day].readings : 0;
        to->filled = to->filled || parts[i].days[day].filled;
        if (!to->note)
            to->note = parts[i].days[day].note;
    }
    to->has_figure = false;
    to->together = on.together;
    if (on.together) {
        for (size_t i = 0; i < on.count; i++)
            LIST_ADD(judgement->mem, &out->figures, on.figures[i]);
        return;
    }
    to->gap = on.lacking && (on.gap || on.count > 0);
    if (on.lacking && to->gap) {
        to->note = NULL;
        reduce_note_gap(judgement, out, day, lacking_words(judgement, parts, &on, day));
        return;
    }

    if (on.count == 0)
        return;

    struct figure sum = combine_before(judgement, &stat_sum, on.figures, on.count);

    sum.loads = load_steps_of_all(judgement, on.figures, on.count);
    sum.day = (int)day;
    sum.at = judgement->days[day].start;
    to->has_figure = true;
    to->figure = sum;
    LIST_ADD(judgement->mem, &out->figures, sum);
}

/* Figures that are of no day: the water of several days together. */
static void add_dayless(const struct judgement *judgement, const struct reduced *part,
                        struct reduced *out)
{
    for (size_t i = 0; i < part->figures.count; i++)
        if (part->figures.items[i].day == NO_INDEX)
            LIST_ADD(judgement->mem, &out->figures, part->figures.items[i]);
}

/* What the places lack, counted together; no figure yet. */
static struct reduced begin(const struct judgement *judgement, const struct reduced *parts,
                            size_t count)
{
    struct reduced out = parts[0];

    out.figures = (struct figure_list){0};
    out.gaps = 0;
    out.first_gap = NULL;
    out.days = ARENA_ARRAY(judgement->mem, struct pass_day, judgement->day_count);
    for (size_t i = 0; i < judgement->day_count; i++)
        out.days[i] = parts[0].days[i];
    for (size_t i = 1; i < count; i++) {
        out.not_told += parts[i].not_told;
        out.together += parts[i].together;
        out.together_days += parts[i].together_days;
        if (!out.unknown_load)
            out.unknown_load = parts[i].unknown_load;
        for (size_t day = 0; day < judgement->day_count; day++)
            out.days[day].unknown_load =
                out.days[day].unknown_load || parts[i].days[day].unknown_load;
    }

    return out;
}

struct reduced together_add(const struct judgement *judgement, const struct reduced *parts,
                            size_t count)
{
    struct reduced out = begin(judgement, parts, count);

    for (size_t i = 0; i < judgement->day_count; i++)
        add_day(judgement, parts, count, i, &out);
    for (size_t i = 0; i < count; i++)
        add_dayless(judgement, &parts[i], &out);

    return out;
}

struct reduced together_beside(const struct judgement *judgement, const struct reduced *parts,
                               size_t count)
{
    struct reduced out = begin(judgement, parts, count);

    for (size_t i = 0; i < count; i++) {
        out.gaps += parts[i].gaps;
        if (!out.first_gap)
            out.first_gap = parts[i].first_gap;
        for (size_t k = 0; k < parts[i].figures.count; k++)
            LIST_ADD(judgement->mem, &out.figures, parts[i].figures.items[k]);
    }

    return out;
}
