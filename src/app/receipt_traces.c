#include "app/receipt_traces.h"

#include "app/windows.h"
#include "store/receipt_store.h"

struct ingest_world traces_world(struct arena *mem, const struct open_farm *farm, instant now)
{
    const struct farm *f = farm->farm;
    const char **stations = ARENA_ARRAY(mem, const char *, f->stations.count);

    for (size_t i = 0; i < f->stations.count; i++)
        stations[i] = f->stations.items[i].key;

    return (struct ingest_world){.stations = stations,
                                 .station_count = f->stations.count,
                                 .parameters = &f->known_parameters,
                                 .units = farm->units,
                                 .zone = f->zone,
                                 .received_at = now};
}

bool traces_series(struct db_tx *tx, const struct scan *scan, struct err *err)
{
    for (size_t i = 0; i < scan->series.count; i++) {
        if (!series_store_add(tx, &scan->series.items[i].series, err))
            return err_wrap(err, "series %zu of the file", i + 1);
    }

    return true;
}

bool traces_windows(struct db_tx *tx, const struct farm *farm, const struct scan_months *months,
                    const struct scan_series *series, instant first, instant last, struct err *err)
{
    instant from = first;
    instant until = last;

    for (int month = 0; scan_run(months, &month, &from, &until); from = first, until = last) {
        if (!windows_put_series(tx, farm, series ? series->series_id : 0,
                                series ? series->series.station : "",
                                series ? series->series.parameter : "", from, until, err))
            return false;
    }

    return true;
}

/* What sensor tests say of what was stored of a series. */
static bool tests_end(struct db_tx *tx, const struct farm *farm, const struct scan_series *series,
                      const struct series_span *span, struct err *err)
{
    const struct draft_series *told = &series->series;
    const struct sensed of = {series->series_id, told->station, told->parameter,
                              farm_find_sensor_test(farm, told->station, told->position,
                                                    told->parameter, told->made_by, told->kind)};

    if (span->sensing)
        return sensing_end(span->sensing, tx, farm, span->first, span->last, err);

    return !of.test || sensing_again(tx, farm, &of, span->first, span->last, err);
}

bool traces_stored(struct db_tx *tx, const struct farm *farm, const struct storing *storing,
                   struct err *err)
{
    const struct scan *scan = storing->scan;

    for (size_t i = 0; storing->spans && i < scan->series.count; i++) {
        const struct series_span *span = &storing->spans[i];

        if (span->first == INSTANT_NONE)
            continue;
        if (!traces_windows(tx, farm, &scan->months, &scan->series.items[i], span->first,
                            span->last, err) ||
            (span->latest.at != INSTANT_NONE && !series_store_latest_put(tx, &span->latest, err)) ||
            !tests_end(tx, farm, &scan->series.items[i], span, err))
            return false;
    }

    return true;
}

bool traces_batches(struct db_tx *tx, const struct storing *storing, int first, struct buf *roots,
                    struct err *err)
{
    for (size_t i = 0; i < storing->roots.count; i++) {
        const struct batch_root *batch = &storing->roots.items[i];

        if (!receipt_store_batch_add(tx, storing->receipt, first + (int)i, batch->readings,
                                     &batch->root, err))
            return false;
        buf_addf(roots, "%s%s", i ? " " : "", digest_text(storing->mem, &batch->root));
    }

    return true;
}
