#include "judge/shut.h"

#include "base/str.h"

/* The next state after reading `i` that was not left out; the end of the series: none. */
static size_t next_state(const struct evidence_series *outlet, size_t i)
{
    i++;
    while (i < outlet->count && outlet->readings[i].left_out)
        i++;

    return i;
}

/* How long the state of a reading holds. */
static instant holds_until(const struct evidence *evidence, const struct evidence_series *outlet,
                           size_t i)
{
    instant at = outlet->readings[i].at;
    size_t next = next_state(outlet, i);
    instant until = next < outlet->count ? outlet->readings[next].at : evidence->now;
    instant longest = at + (int64_t)evidence->state_holds_s * SECOND_US;

    return evidence->state_holds_s > 0 && longest < until ? longest : until;
}

static void add_part(const struct judgement *judgement, instant from, instant until,
                     struct shut_list *list)
{
    struct shut_span *before = list->count > 0 ? &list->items[list->count - 1] : NULL;

    if (before && before->until == from)
        before->until = until;
    else
        LIST_ADD(judgement->mem, list, ((struct shut_span){from, until}));
}

/* Add a span without the judged days on which two records disagree. */
static void add_span(const struct judgement *judgement, instant from, instant until,
                     struct shut_list *list)
{
    for (instant at = from, end; at < until; at = end) {
        int index = judgement_day(judgement, at);
        const struct judged_day *day = index == NO_INDEX ? NULL : &judgement->days[index];

        end = day ? day->end : at < judgement->from_at ? judgement->from_at : until;
        end = end < until ? end : until;
        if (!day || day->discharge != DISCHARGE_DISAGREES)
            add_part(judgement, at, end, list);
    }
}

struct shut_list shut_at(const struct judgement *judgement, const char *station)
{
    const struct evidence *evidence = judgement->evidence;
    struct shut_list list = {0};

    if (evidence->outlet_series < 0)
        return list;

    const struct evidence_series *outlet = &evidence->series[evidence->outlet_series];

    for (size_t i = 0; i < outlet->count && str_equal(outlet->station, station); i++) {
        const struct evidence_reading *state = &outlet->readings[i];

        if (state->left_out || state->doubt || !str_equal_nocase(state->unit, "shut"))
            continue;
        add_span(judgement, state->at, holds_until(evidence, outlet, i), &list);
    }

    return list;
}
