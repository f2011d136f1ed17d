#include "farmfile/farm.h"

#include <string.h>

#include "base/str.h"

#define FIND(list, member, wanted)                                                                 \
    do {                                                                                           \
        for (size_t i = 0; i < (list)->count; i++)                                                 \
            if (str_equal((list)->items[i].member, (wanted)))                                      \
                return &(list)->items[i];                                                          \
    } while (0)

const struct farm_person *farm_find_person(const struct farm *farm, const char *key)
{
    FIND(&farm->people, key, key);

    return NULL;
}

const char *farm_person_name(const struct farm *farm, const char *key)
{
    const struct farm_person *person = key ? farm_find_person(farm, key) : NULL;

    return person ? person->name : key;
}

const struct farm_authority *farm_find_authority(const struct farm *farm, const char *key)
{
    FIND(&farm->authorities, key, key);

    return NULL;
}

const struct farm_licence *farm_find_licence(const struct farm *farm, const char *key)
{
    FIND(&farm->licences, key, key);

    return NULL;
}

const struct farm_station *farm_find_station(const struct farm *farm, const char *key)
{
    FIND(&farm->stations, key, key);

    return NULL;
}

const struct farm_laboratory *farm_find_laboratory(const struct farm *farm, const char *key)
{
    FIND(&farm->laboratories, key, key);

    return NULL;
}

const struct farm_tide_table *farm_find_tide_table(const struct farm *farm, const char *key)
{
    FIND(&farm->tide_tables, key, key);

    return NULL;
}

const struct farm_tank *farm_find_tank(const struct farm *farm, const char *station)
{
    FIND(&farm->tanks, station, station);

    return NULL;
}

const struct farm_sensor_test *farm_find_sensor_test(const struct farm *farm, const char *station,
                                                     const char *position, const char *parameter,
                                                     const char *made_by, const char *kind)
{
    for (size_t i = 0; str_equal(kind, "probe") && i < farm->sensor_tests.count; i++) {
        const struct farm_sensor_test *test = &farm->sensor_tests.items[i];

        if (str_equal(test->station, station) && str_equal(test->parameter, parameter) &&
            (!test->position || str_equal(test->position, position)) &&
            (!test->instrument || str_equal(test->instrument, made_by)))
            return test;
    }

    return NULL;
}

const struct farm_laboratory *farm_laboratory_written(const struct farm *farm, const char *made_by)
{
    for (size_t i = 0; i < farm->laboratories.count; i++) {
        const struct farm_laboratory *laboratory = &farm->laboratories.items[i];

        for (size_t k = 0; k < laboratory->written_as_count; k++)
            if (str_equal(laboratory->written_as[k], made_by))
                return laboratory;
    }

    return NULL;
}

const struct farm_quality *farm_find_quality(const struct farm *farm, const char *parameter,
                                             const char *made_by)
{
    for (size_t i = 0; i < farm->quality.count; i++) {
        const struct farm_quality *quality = &farm->quality.items[i];

        if (!str_equal(quality->parameter, parameter))
            continue;

        const struct farm_laboratory *laboratory =
            quality->laboratory ? farm_laboratory_written(farm, made_by) : NULL;

        if (!quality->laboratory || (laboratory && str_equal(laboratory->key, quality->laboratory)))
            return quality;
    }

    return NULL;
}

const struct farm_derived *farm_find_derived(const struct farm *farm, const char *key)
{
    FIND(&farm->derived, key, key);

    return NULL;
}

const struct farm_instrument *farm_find_instrument(const struct farm *farm, const char *key)
{
    FIND(&farm->instruments, key, key);

    return NULL;
}

const struct farm_source *farm_find_source(const struct farm *farm, const char *key)
{
    FIND(&farm->sources, source.key, key);

    return NULL;
}

const struct farm_limit *farm_find_limit(const struct farm *farm, const char *key)
{
    size_t position;

    return key && key_index_find(&farm->limit_keys, key, &position) ? &farm->limits.items[position]
                                                                    : NULL;
}

const struct farm_interval *farm_find_interval(const struct farm *farm, const char *key)
{
    FIND(&farm->intervals, interval.key, key);

    return NULL;
}

bool farm_require_station(struct arena *mem, const struct farm *farm, const char *key,
                          struct err *err)
{
    const char **keys = ARENA_ARRAY(mem, const char *, farm->stations.count);

    if (farm_find_station(farm, key))
        return true;
    for (size_t i = 0; i < farm->stations.count; i++)
        keys[i] = farm->stations.items[i].key;

    const char *nearest = str_nearest(key, keys, farm->stations.count);

    err_set(err, ERR_NOT_FOUND, "the farm file has no station '%s'", str_show(mem, key, 60));
    if (nearest)
        return err_hint(err, "Did you mean '%s'?", nearest);

    return err_hint(err, "Stations are listed under `stations:` in the farm file.");
}

bool farm_require_position(struct arena *mem, const struct farm *farm, const char *station,
                           const char *position, struct err *err)
{
    if (!farm_require_station(mem, farm, station, err))
        return false;
    if (!position)
        return true;

    const struct farm_station *known = farm_find_station(farm, station);
    const char **keys = ARENA_ARRAY(mem, const char *, known->position_count);

    for (size_t i = 0; i < known->position_count; i++) {
        keys[i] = known->positions[i].key;
        if (str_equal(keys[i], position))
            return true;
    }

    const char *nearest = str_nearest(position, keys, known->position_count);

    err_set(err, ERR_NOT_FOUND, "station '%s' has no position '%s'", station,
            str_show(mem, position, 60));
    if (nearest)
        return err_hint(err, "Did you mean '%s/%s'?", station, nearest);

    return err_hint(err, "Positions are listed under `positions:` of the station in the farm "
                         "file.");
}

const char *farm_position_text(struct arena *mem, const char *station, const char *position)
{
    return str_empty(position) ? station : arena_printf(mem, "%s/%s", station, position);
}

const char *farm_position_split(struct arena *mem, const char *text, const char **position)
{
    const char *slash = strchr(text, '/');

    *position = slash ? arena_strdup(mem, slash + 1) : NULL;

    return slash ? arena_strndup(mem, text, (size_t)(slash - text)) : text;
}
