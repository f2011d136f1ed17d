#include "app/windows.h"

#include "app/quality_checks.h"
#include "base/str.h"
#include "store/reading_store.h"
#include "store/series_store.h"

static bool windows_put(struct db_tx *tx, struct window_row window, day_number first,
                        day_number last, struct err *err)
{
    for (day_number day = first; day <= last; day = month_next(day)) {
        day_number end = month_next(day) - 1;

        window.first_day = day;
        window.last_day = end < last ? end : last;
        if (!window_store_add(tx, &window, err))
            return false;
    }

    return true;
}

bool windows_put_all(struct db_tx *tx, const struct farm *farm, struct err *err)
{
    instant first = INSTANT_NONE;
    instant last = INSTANT_NONE;

    if (!reading_store_span(tx, &first, &last, err))
        return false;
    if (first == INSTANT_NONE)
        return true;

    return windows_put(tx, (struct window_row){.series_id = 0, .station = "", .parameter = ""},
                       zone_day(farm->zone, first), zone_day(farm->zone, last), err);
}

/* What is worked out from the series, and from that in turn: it stands below it in the file. */
static bool windows_put_made(struct db_tx *tx, const struct farm *farm, int64_t series_id,
                             const char *station, const char *parameter, instant first,
                             instant last, struct err *err)
{
    for (size_t i = 0; i < farm->derived.count; i++) {
        const struct farm_derived *derived = &farm->derived.items[i];
        int64_t within_us = derived->within_s * SECOND_US;

        if (derivation_reads(derived->derivation, station, parameter) &&
            !windows_put_series(tx, farm, series_id, derived->made.station, derived->made.parameter,
                                first - within_us, last + within_us, err))
            return false;
    }

    return true;
}

static bool is_probe(const struct series_rows *series, int64_t series_id)
{
    for (size_t i = 0; i < series->count; i++)
        if (series->items[i].series_id == series_id)
            return str_equal(series->items[i].kind, "probe");

    return false;
}

/* A blank among them may put results of its parameter in doubt wherever they were taken. */
static bool windows_put_blanks(struct db_tx *tx, const struct farm *farm, int64_t series_id,
                               const char *parameter, instant first, instant last, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct series_rows series = {0};
    int days = 0;

    if (!quality_blanks_reach(farm, parameter, &days))
        return true;
    if (!series_store_list(tx, mem, &series, err))
        return false;
    for (size_t i = 0; i < series.count && !is_probe(&series, series_id); i++) {
        const struct series_row *row = &series.items[i];
        const struct window_row window = {
            .series_id = row->series_id, .station = row->station, .parameter = row->parameter};

        if (row->series_id == series_id || !str_equal(row->parameter, parameter) ||
            str_equal(row->kind, "probe"))
            continue;
        if (!windows_put(tx, window, zone_day(farm->zone, first) - days,
                         zone_day(farm->zone, last) + days, err) ||
            !windows_put_made(tx, farm, row->series_id, row->station, row->parameter,
                              first - days * DAY_US, last + days * DAY_US, err))
            return false;
    }

    return true;
}

bool windows_put_series(struct db_tx *tx, const struct farm *farm, int64_t series_id,
                        const char *station, const char *parameter, instant first, instant last,
                        struct err *err)
{
    return windows_put(tx,
                       (struct window_row){
                           .series_id = series_id, .station = station, .parameter = parameter},
                       zone_day(farm->zone, first), zone_day(farm->zone, last), err) &&
           windows_put_made(tx, farm, series_id, station, parameter, first, last, err) &&
           windows_put_blanks(tx, farm, series_id, parameter, first, last, err);
}
