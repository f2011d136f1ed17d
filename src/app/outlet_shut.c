#include "app/outlet_shut.h"

#include "base/str.h"

static bool outlet_of(const struct farm *farm, const char *station, struct farm_place *out)
{
    for (size_t i = 0; i < farm->licences.count; i++) {
        const struct farm_licence *licence = &farm->licences.items[i];

        for (size_t j = 0; j < licence->point_count; j++) {
            const struct farm_point *point = &licence->points[j];

            if (!point->outlet_parameter || !str_equal(point->station, station))
                continue;
            *out = (struct farm_place){.station = point->outlet_station,
                                       .parameter = point->outlet_parameter};
            return true;
        }
    }

    return false;
}

bool outlet_shut_load(struct place_reader *reader, const char *station, instant first,
                      instant until, struct shut_times *out, struct err *err)
{
    int64_t holds_us = (int64_t)reader->farm->farm->state_holds_s * SECOND_US;
    struct place_states states = {0};
    struct farm_place outlet = {0};
    struct shut_times shut = {0};

    *out = shut;
    if (!outlet_of(reader->farm->farm, station, &outlet))
        return true;
    if (!place_states_load(reader, &outlet, first, until, &states, err))
        return false;
    for (size_t i = 0; i < states.count; i++) {
        const struct place_state *state = &states.items[i];
        instant from = state->at > first ? state->at : first;
        instant end = i + 1 < states.count ? states.items[i + 1].at : until;

        if (holds_us > 0 && end - state->at > holds_us)
            end = state->at + holds_us;
        end = end < until ? end : until;
        if (!state->in_doubt && str_equal_nocase(state->word, "shut") && end > from)
            LIST_ADD(reader->mem, &shut, ((struct shut_span){from, end}));
    }
    *out = shut;

    return true;
}

int64_t outlet_shut_us(const struct shut_times *shut, instant from, instant until)
{
    int64_t total = 0;

    for (size_t i = 0; i < shut->count; i++) {
        const struct shut_span *span = &shut->items[i];
        instant begin = span->from > from ? span->from : from;
        instant end = span->until < until ? span->until : until;

        total += end > begin ? end - begin : 0;
    }

    return total;
}

bool outlet_shut_at(const struct shut_times *shut, instant at)
{
    for (size_t i = 0; i < shut->count; i++) {
        if (at >= shut->items[i].from && at < shut->items[i].until)
            return true;
    }

    return false;
}
