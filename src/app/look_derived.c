#include "app/look_derived.h"

#include <stdlib.h>

#include "base/str.h"
#include "judge/limit.h"

bool derived_is_made(const struct farm *farm, const char *station, const char *parameter)
{
    for (size_t i = 0; i < farm->derived.count; i++) {
        const struct farm_place *place = &farm->derived.items[i].made;

        if (str_equal(place->station, station) && str_equal(place->parameter, parameter))
            return true;
    }

    return false;
}

/* ERR_NOT_FOUND, with what the farm does make. */
static bool require_made(struct arena *mem, const struct farm *farm, const char *station,
                         const char *parameter, struct err *err)
{
    struct buf made = buf_new(mem);

    if (derived_is_made(farm, station, parameter))
        return true;
    for (size_t i = 0; i < farm->derived.count; i++) {
        const struct farm_place *place = &farm->derived.items[i].made;

        buf_addf(&made, "%s%s %s", i > 0 ? ", " : "", place->station, place->parameter);
    }
    err_set(err, ERR_NOT_FOUND, "the farm works out no '%s' at '%s'", str_show(mem, parameter, 40),
            str_show(mem, station, 40));
    if (made.len > 0)
        return err_hint(err, "It works out: %s.", made.data);

    return err_hint(err, "`derived:` in the farm file says what is worked out, and from what.");
}

static void rows_add(struct arena *mem, struct derived_rows *rows,
                     const struct loaded_evidence *loaded, const char *station,
                     const char *parameter)
{
    const struct evidence *evidence = &loaded->evidence;

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (series->kind != KIND_DERIVED || !str_equal(series->station, station) ||
            !str_equal(series->parameter, parameter))
            continue;
        for (size_t k = 0; k < series->count; k++) {
            const struct evidence_reading *reading = &series->readings[k];

            if (reading->at >= loaded->from_at && reading->at < loaded->until_at)
                LIST_ADD(mem, rows,
                         ((struct derived_row){
                             .at = reading->at, .series = series, .reading = reading}));
        }
    }
    for (size_t i = 0; i < evidence->set_aside_count; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[i];

        if (row->kind != KIND_DERIVED || !str_equal(row->station, station) ||
            !str_equal(row->parameter, parameter) ||
            (row->at != INSTANT_NONE && (row->at < loaded->from_at || row->at >= loaded->until_at)))
            continue;
        LIST_ADD(mem, rows, ((struct derived_row){.at = row->at, .not_given = row}));
        rows->not_given++;
    }
}

/* By time; of one time by where it came from, so that they always come in the same order. */
static int order(const void *a, const void *b)
{
    const struct derived_row *left = a;
    const struct derived_row *right = b;
    const struct origin *one = left->reading ? &left->reading->origin : &left->not_given->origin;
    const struct origin *two = right->reading ? &right->reading->origin : &right->not_given->origin;

    if (left->at != right->at)
        return left->at < right->at ? -1 : 1;
    if (one->line != two->line)
        return one->line < two->line ? -1 : 1;

    return (one->column > two->column) - (one->column < two->column);
}

bool derived_load(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                  const char *station, const char *parameter, day_number from, day_number to,
                  instant now, struct loaded_evidence *out, struct err *err)
{
    /* A clause of nobody, so that what it reads is loaded. */
    struct clause_limit *clause = ARENA_NEW(mem, struct clause_limit);
    const struct clause_limits clauses = {.items = clause, .count = 1};

    *clause = (struct clause_limit){.limit = {.key = "",
                                              .station = station,
                                              .parameter = parameter,
                                              .kinds = KIND_DERIVED,
                                              .in_force_from = from,
                                              .in_force_to = DAY_NONE}};

    return evidence_load_for_limits(tx, mem, farm, &clauses, from, to, now, false, out, err);
}

bool derived_look(struct db *db, struct arena *mem, const struct open_farm *farm,
                  const char *station, const char *parameter, day_number from, day_number to,
                  instant now, struct derived_rows *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct loaded_evidence loaded;

    if (!require_made(mem, farm->farm, station, parameter, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !derived_load(&tx, mem, farm, station, parameter, from, to, now, &loaded, err))
        return false;
    *out = (struct derived_rows){.count = 0};
    rows_add(mem, out, &loaded, station, parameter);
    if (out->count > 1)
        qsort(out->items, out->count, sizeof(out->items[0]), order);

    return true;
}
