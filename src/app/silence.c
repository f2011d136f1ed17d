#include "app/silence.h"

#include "base/str.h"
#include "store/look_store.h"
#include "store/receipt_store.h"
#include "store/series_store.h"

struct listening {
    struct db_tx *tx;
    struct arena *mem;
    const struct open_farm *farm;
    struct latest_views latest;
    instant now;
    struct {
        struct finding_row *items;
        size_t count;
        size_t capacity;
    } found;
};

static const char kind_silence[] = "silence";
static const char kind_folder[] = "quiet folder";

bool silence_is_kind(const char *kind)
{
    return str_equal(kind, kind_silence) || str_equal(kind, kind_folder);
}

/* "2 hours", "90 minutes", "1 day": as a farm writes it. */
static const char *length_words(struct arena *mem, int seconds)
{
    static const struct {
        int seconds;
        const char *one;
        const char *many;
    } rows[] = {{86400, "day", "days"}, {3600, "hour", "hours"}, {60, "minute", "minutes"}};

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        int count = seconds / rows[i].seconds;

        if (count > 0 && seconds % rows[i].seconds == 0)
            return arena_printf(mem, "%d %s", count, count == 1 ? rows[i].one : rows[i].many);
    }

    return arena_printf(mem, "%d seconds", seconds);
}

/* Whether at that instant more than so long had gone by since the newest. */
static bool is_over(instant at, instant newest, int seconds)
{
    return newest != INSTANT_NONE && at - newest > (int64_t)seconds * SECOND_US;
}

static void found(struct listening *on, const char *kind, const char *subject, const char *station,
                  instant since, const char *words)
{
    LIST_ADD(on->mem, &on->found,
             ((struct finding_row){.kind = kind,
                                   .subject = subject,
                                   .station = station,
                                   .from = zone_day(on->farm->farm->zone, since),
                                   .aware_at = on->now,
                                   .words = words}));
}

static const char *when(const struct listening *on, instant at)
{
    return zone_text(on->mem, on->farm->farm->zone, at);
}

/* --- sources --------------------------------------------------------------------------------- */

/* The newest reading of a column of a wide source; INSTANT_NONE: none is on record. */
static instant column_newest(const struct listening *on, const struct source *source,
                             const struct source_column *column, const char **station)
{
    const char *instrument = column->instrument ? column->instrument : source->instrument;
    const char *at = column->station ? column->station : source->station;
    instant newest = INSTANT_NONE;

    for (size_t i = 0; i < on->latest.count; i++) {
        const struct latest_view *view = &on->latest.items[i];

        if (at && str_equal(view->station, at) && str_equal(view->parameter, column->parameter) &&
            (!column->position || str_equal(view->position, column->position)) &&
            (!instrument || str_equal(view->made_by, instrument)) &&
            (newest == INSTANT_NONE || view->at > newest))
            newest = view->at;
    }
    *station = at;

    return newest;
}

/* Columns that say no more while the source went on, as seen at that instant. */
static void columns_listen(struct listening *on, const struct source *source, instant at)
{
    for (size_t i = 0; i < source->column_count; i++) {
        const struct source_column *column = &source->columns[i];
        const char *station = NULL;
        instant newest = column_newest(on, source, column, &station);

        if (!is_over(at, newest, source->silent_after_s))
            continue;
        found(on, kind_silence,
              arena_printf(on->mem, "%s: %s%s%s", source->key, column->parameter,
                           column->position ? " " : "", column->position ? column->position : ""),
              station, newest,
              arena_printf(on->mem,
                           "%s: no %s of %s since %s, which is more than the %s the farm file "
                           "allows; the source's other readings are newer",
                           source->name, column->parameter, station, when(on, newest),
                           length_words(on->mem, source->silent_after_s)));
    }
}

static bool source_listen(struct listening *on, const struct source *source, struct err *err)
{
    instant newest = INSTANT_NONE;

    if (!receipt_store_newest_of_source(on->tx, source->key, &newest, err))
        return false;

    bool silent = is_over(on->now, newest, source->silent_after_s);

    columns_listen(on, source, silent ? newest : on->now);
    if (!silent)
        return true;
    found(on, kind_silence, source->key, "", newest,
          arena_printf(
              on->mem, "%s: no reading since %s, which is more than the %s the farm file allows",
              source->name, when(on, newest), length_words(on->mem, source->silent_after_s)));

    return true;
}

/* --- folders --------------------------------------------------------------------------------- */

static bool folder_listen(struct listening *on, const struct settings_watch *watch, struct err *err)
{
    struct folder_look look = {0};
    const struct folder_look first = {.since = on->now, .came_at = INSTANT_NONE};

    if (!look_store_folder(on->tx, watch->folder, &look, err))
        return false;
    if (look.since == INSTANT_NONE)
        return look_store_folder_put(on->tx, watch->folder, &first, err);

    bool never = look.came_at == INSTANT_NONE;
    instant since = never ? look.since : look.came_at;

    if (watch->quiet_after_s > 0 && is_over(on->now, since, watch->quiet_after_s))
        found(on, kind_folder, watch->folder, "", since,
              arena_printf(on->mem,
                           "No file has come into %s since %s%s, which is more than the %s that "
                           "weirbook.conf allows",
                           watch->folder, when(on, since),
                           never ? ", when it was first watched" : "",
                           length_words(on->mem, watch->quiet_after_s)));

    return true;
}

static bool folders_listen(struct listening *on, const struct machine_settings *settings,
                           struct err *err)
{
    for (size_t i = 0; i < settings->watch.count; i++) {
        const struct settings_watch *watch = &settings->watch.items[i];

        if ((!watch->farm || str_equal(watch->farm, on->farm->farm->key)) &&
            !folder_listen(on, watch, err))
            return false;
    }

    return true;
}

bool silence_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                  const struct machine_settings *settings, instant now, struct finding_rows *out,
                  struct err *err)
{
    struct listening on = {.tx = tx, .mem = mem, .farm = farm, .now = now};
    const struct farm_source_list *sources = &farm->farm->sources;

    if (!series_store_latest_list(tx, mem, &on.latest, err))
        return false;
    for (size_t i = 0; i < sources->count; i++)
        if (sources->items[i].source.silent_after_s > 0 &&
            !source_listen(&on, &sources->items[i].source, err))
            return false;
    if (settings && !folders_listen(&on, settings, err))
        return false;
    *out = (struct finding_rows){.items = on.found.items, .count = on.found.count};

    return true;
}
