#include "judge/verdict_copy.h"

static const struct exact *exact_copy(struct arena *mem, const struct exact *value)
{
    return value ? exact_add(mem, value, exact_from_int(mem, 0)) : NULL;
}

static struct verdict_day *days_copy(struct arena *mem, const struct verdict *verdict)
{
    struct verdict_day *days =
        arena_copy(mem, verdict->days, verdict->day_count * sizeof(*verdict->days));

    for (size_t i = 0; i < verdict->day_count; i++) {
        struct verdict_day *day = &days[i];

        day->discharge_because = arena_strdup(mem, day->discharge_because);
        day->concentration = exact_copy(mem, day->concentration);
        day->volume = exact_copy(mem, day->volume);
        day->figure = exact_copy(mem, day->figure);
        day->loads = NULL;
        day->note = arena_strdup(mem, day->note);
    }

    return days;
}

static const struct verdict_runs *runs_copy(struct arena *mem, const struct verdict_runs *runs)
{
    if (!runs)
        return NULL;

    struct verdict_runs *copy = arena_copy(mem, runs, sizeof(*runs));

    copy->items = arena_copy(mem, runs->items, runs->count * sizeof(*runs->items));
    for (size_t i = 0; i < runs->count; i++) {
        copy->items[i].whole = exact_copy(mem, runs->items[i].whole);
        copy->items[i].within = exact_copy(mem, runs->items[i].within);
    }

    return copy;
}

static struct verdict_window *windows_copy(struct arena *mem, const struct verdict *verdict)
{
    struct verdict_window *windows =
        arena_copy(mem, verdict->windows, verdict->window_count * sizeof(*verdict->windows));

    for (size_t i = 0; i < verdict->window_count; i++) {
        struct verdict_window *window = &windows[i];

        window->figure = exact_copy(mem, window->figure);
        window->compared = exact_copy(mem, window->compared);
        window->figure_text = arena_strdup(mem, window->figure_text);
        window->compared_text = arena_strdup(mem, window->compared_text);
        window->loads = NULL;
        window->outside = runs_copy(mem, window->outside);
        window->reason = arena_strdup(mem, window->reason);
        window->note = arena_strdup(mem, window->note);
    }

    return windows;
}

static struct verdict_period *across_copy(struct arena *mem, const struct verdict *verdict)
{
    struct verdict_period *across =
        arena_copy(mem, verdict->across, verdict->across_count * sizeof(*verdict->across));

    for (size_t i = 0; i < verdict->across_count; i++)
        across[i].compared_text = arena_strdup(mem, across[i].compared_text);

    return across;
}

static struct verdict_aside *asides_copy(struct arena *mem, const struct verdict *verdict)
{
    struct verdict_aside *asides =
        arena_copy(mem, verdict->asides, verdict->set_aside * sizeof(*verdict->asides));

    for (size_t i = 0; verdict->asides && i < verdict->set_aside; i++) {
        asides[i].least = exact_copy(mem, asides[i].least);
        asides[i].most = exact_copy(mem, asides[i].most);
        asides[i].without = exact_copy(mem, asides[i].without);
        asides[i].with_least = exact_copy(mem, asides[i].with_least);
        asides[i].with_most = exact_copy(mem, asides[i].with_most);
    }

    return asides;
}

static void item_copy(struct arena *mem, struct verdict_item *item)
{
    struct verdict_other *others =
        arena_copy(mem, item->others, item->other_count * sizeof(*item->others));

    for (size_t i = 0; i < item->other_count; i++)
        others[i].value = exact_copy(mem, others[i].value);
    item->others = others;
    item->value = exact_copy(mem, item->value);
    item->used = exact_copy(mem, item->used);
    item->bound = exact_copy(mem, item->bound);
    item->why_not = arena_strdup(mem, item->why_not);
}

static void items_copy(struct arena *mem, const struct verdict *verdict, struct verdict *out)
{
    size_t count = 0;

    for (size_t i = 0; i < verdict->item_count; i++)
        count += verdict->items[i].outside;
    out->items = ARENA_ARRAY(mem, struct verdict_item, count);
    out->item_count = 0;
    for (size_t i = 0; i < verdict->item_count; i++) {
        if (!verdict->items[i].outside)
            continue;
        out->items[out->item_count] = verdict->items[i];
        item_copy(mem, &out->items[out->item_count++]);
    }
}

struct verdict verdict_copy_brief(struct arena *mem, const struct verdict *verdict)
{
    struct verdict copy = *verdict;

    copy.figure = exact_copy(mem, verdict->figure);
    copy.compared = exact_copy(mem, verdict->compared);
    copy.figure_text = arena_strdup(mem, verdict->figure_text);
    copy.compared_text = arena_strdup(mem, verdict->compared_text);
    copy.compared_shown = arena_strdup(mem, verdict->compared_shown);
    copy.bound_text = arena_strdup(mem, verdict->bound_text);
    copy.reason = arena_strdup(mem, verdict->reason);
    copy.words = arena_strdup(mem, verdict->words);
    copy.days = days_copy(mem, verdict);
    copy.windows = windows_copy(mem, verdict);
    copy.load_factor = exact_copy(mem, verdict->load_factor);
    copy.pairs = NULL;
    copy.pair_count = 0;
    copy.across = across_copy(mem, verdict);
    copy.asides = verdict->asides ? asides_copy(mem, verdict) : NULL;
    items_copy(mem, verdict, &copy);

    return copy;
}
