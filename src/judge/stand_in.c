#include "judge/stand_in.h"

#include <stdlib.h>

#include "base/search.h"
#include "base/str.h"
#include "judge/limit.h"

bool stand_in_fits(const struct evidence_set_aside *row, const char *station, const char *parameter)
{
    return (!row->station || str_equal(row->station, station)) &&
           (!row->parameter || str_equal(row->parameter, parameter));
}

/* A derived reading of a probe that is not given, as something of it was not read. */
static bool is_gap(const struct evidence_set_aside *row)
{
    return row->kind == KIND_DERIVED && row->from_probe && !row->has_value && !row->all_read;
}

static void add_in_every_unit(struct arena *mem, struct stand_in_list *list,
                              struct converter *converter, const struct evidence_set_aside *row,
                              struct stand_in stand_in)
{
    const struct parameter *parameter = converter->parameter;

    stand_in.has_value = true;
    for (size_t i = 0; parameter && i < PARAMETER_UNITS_MOST && parameter->units[i]; i++)
        if (converter_apply(mem, converter, parameter->units[i], row->value, &stand_in.value, NULL))
            LIST_ADD(mem, list, stand_in);
}

static void add_row(struct arena *mem, struct stand_in_list *list, struct converter *converter,
                    const struct evidence_set_aside *row, size_t index)
{
    struct stand_in stand_in = {
        .row = index,
        .at = row->at,
        .qualifier = row->has_value ? row->qualifier : QUALIFIER_NOT_DETECTED,
    };

    if (!row->has_value) {
        LIST_ADD(mem, list, stand_in);
    } else if (row->unit &&
               converter_apply(mem, converter, row->unit, row->value, &stand_in.value, NULL)) {
        stand_in.known = stand_in.has_value = true;
        LIST_ADD(mem, list, stand_in);
    } else if (!row->unit || row->parameter) {
        /* Else its unit shows that it is of another parameter. */
        add_in_every_unit(mem, list, converter, row, stand_in);
    }
}

static int by_time(const void *a, const void *b)
{
    const struct stand_in *left = a;
    const struct stand_in *right = b;

    if (left->at != right->at)
        return left->at < right->at ? -1 : 1;

    return (left->row > right->row) - (left->row < right->row);
}

struct stand_in_list stand_ins_of(struct arena *mem, const struct evidence *evidence,
                                  const char *station, const char *parameter,
                                  struct converter *converter)
{
    struct stand_in_list list = {0};

    for (size_t i = 0; i < evidence->set_aside_count; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[i];

        if (stand_in_fits(row, station, parameter) && !is_gap(row))
            add_row(mem, &list, converter, row, i);
    }
    if (list.count > 1)
        qsort(list.items, list.count, sizeof(*list.items), by_time);

    return list;
}

size_t stand_in_first_from(const struct stand_in_list *list, instant at)
{
    return list->count == 0 ? 0 : SEARCH_FROM(list->items, list->count, at, at);
}

size_t stand_in_timeless(const struct stand_in_list *list)
{
    return stand_in_first_from(list, INSTANT_NONE + 1);
}
