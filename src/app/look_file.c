#include "app/look_file.h"

#include "app/look_parts.h"
#include "base/buf.h"
#include "base/str.h"
#include "farmfile/source_text.h"
#include "ingest/sniff_source.h"

enum { RAW_MOST = 100 };

/* --- what is known of the farm --- */

struct names {
    const char **items;
    size_t count;
    size_t capacity;
};

/* Its own name, and what licences call it. */
static struct names names_of(struct arena *mem, const struct farm *farm,
                             const struct farm_station *station)
{
    struct names names = {0};

    LIST_ADD(mem, &names, station->name);
    for (size_t i = 0; i < farm->licences.count; i++) {
        const struct farm_licence *licence = &farm->licences.items[i];

        for (size_t p = 0; p < licence->point_count; p++)
            if (str_equal(licence->points[p].station, station->key) && licence->points[p].called)
                LIST_ADD(mem, &names, licence->points[p].called);
    }

    return names;
}

static struct sniff_world world_of(struct arena *mem, const struct look_request *request,
                                   const struct farm *farm)
{
    struct sniff_station *stations = ARENA_ARRAY(mem, struct sniff_station, farm->stations.count);

    for (size_t i = 0; i < farm->stations.count; i++) {
        struct names names = names_of(mem, farm, &farm->stations.items[i]);

        stations[i] = (struct sniff_station){farm->stations.items[i].key, names.items, names.count};
    }

    return (struct sniff_world){.units = request->units,
                                .parameters = &farm->known_parameters,
                                .zone = request->farm ? farm->zone : NULL,
                                .stations = stations,
                                .station_count = farm->stations.count,
                                .has_farm = request->farm != NULL};
}

/* --- a farm made up of the answers, where there is none --- */

static void station_add(struct arena *mem, struct farm *farm, const char *key)
{
    if (key && !farm_find_station(farm, key))
        LIST_ADD(mem, &farm->stations,
                 ((struct farm_station){.key = key, .name = key, .kind = "other"}));
}

static bool farm_from_answers(struct arena *mem, const struct look_result *result,
                              struct farm *farm, struct err *err)
{
    const struct source *source = &result->guess.source;

    station_add(mem, farm, source->station);
    for (size_t i = 0; i < source->stations.count; i++)
        station_add(mem, farm, source->stations.items[i].means);
    farm->zone_name = source->zone ? source->zone : "UTC";

    return zone_load(mem, farm->zone_name, &farm->zone, err);
}

/* --- rows as they stand --- */

static void raw_fill(struct arena *mem, const struct sniff_table *table, struct look_result *result)
{
    for (size_t r = 0; r < table->data.count && result->raw_count < LOOK_ROWS; r++) {
        const struct sniff_row *row = &table->data.items[r];
        struct buf text = buf_new(mem);

        for (size_t i = 0; i < row->count && text.len < RAW_MOST; i++)
            buf_addf(&text, "%s%s", i ? " | " : "", row->cells[i].text);
        result->raw[result->raw_count++] =
            (struct look_raw){row->line, result->sheet, str_show(mem, text.data, RAW_MOST)};
    }
}

/* A key that the farm has already gets a number behind it. */
static void key_free(struct arena *mem, const struct farm *farm, struct sniff_guess *guess)
{
    const char *first = guess->source.key;

    for (int i = 2; farm_find_source(farm, guess->source.key); i++)
        guess->source.key = arena_printf(mem, "%s-%d", first, i);
}

bool look_file(struct arena *mem, const struct look_request *request, struct look_result *out,
               struct err *err)
{
    const struct take_in_options options = {.stop = request->stop};
    CLEANUP(bytes_file_close) struct bytes_file file = {.fd = -1};
    struct farm *farm = farmfile_nothing_known(mem);
    struct sniff_table table;

    *out = (struct look_result){.zone = NULL};
    if (request->farm)
        *farm = *request->farm;
    if (!bytes_file_open(request->path, mem, &options, &file, err))
        return false;
    out->name = file.name;
    out->bytes = file.size;

    const struct sniff_world world = world_of(mem, request, farm);

    if (!look_rows(mem, request, &file, &table, out, err) ||
        !sniff_source(mem, &world, &table, request->answers, &out->guess, err))
        return err_wrap(err, "%s", file.name);
    look_known(mem, request, &file, out);
    key_free(mem, farm, &out->guess);
    raw_fill(mem, &table, out);
    out->source_text = source_text(mem, &out->guess);
    if (!request->farm && !farm_from_answers(mem, out, farm, err))
        return false;
    out->zone = request->farm || out->guess.source.zone ? farm->zone : NULL; /* else made up */
    if (out->guess.questions.count > 0) {
        look_certain(mem, request, &file, farm, out);
        return true;
    }

    return look_read(mem, request, &file, farm, out, err) || err_wrap(err, "%s", file.name);
}
