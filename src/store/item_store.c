#include "store/item_store.h"

#include "base/str.h"
#include "db/sql_catalog.h"

/* What a kind can do; `at` is the place in the farm's list. */
struct item_type {
    const char *name;
    size_t (*count)(const struct farm *farm);
    char *(*key)(struct arena *mem, const struct farm *farm, size_t at);
    const char *(*definition)(const struct farm *farm, size_t at);
    bool (*put)(struct db_tx *tx, const struct farm *farm, size_t at, int version, bool gone,
                struct err *err);
};

/* A word list of what a person may do, for the table. */
static char *may_words(struct arena *mem, unsigned may)
{
    static const struct {
        unsigned bit;
        const char *word;
    } words[] = {{MAY_READ, "read"},
                 {MAY_SAMPLE, "sample"},
                 {MAY_CALIBRATE, "calibrate"},
                 {MAY_CORRECT, "correct"},
                 {MAY_SIGN, "sign"}};
    char *text = arena_strdup(mem, "");

    for (size_t i = 0; i < ARRAY_LEN(words); i++) {
        if (may & words[i].bit)
            text = arena_printf(mem, "%s%s%s", text, *text ? ", " : "", words[i].word);
    }

    return text;
}

static bool person_put(struct db_tx *tx, const struct farm *farm, size_t at, int version, bool gone,
                       struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_person *person = &farm->people.items[at];

    return db_do(tx, &sql_person_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(person->key), db_int(version),
                           db_text(person->name), db_text(person->position),
                           db_text(may_words(mem, person->may)), db_day(person->since),
                           db_day(person->until), db_text(person->on_word_of), db_bool(gone),
                           db_text(person->definition)),
                 err);
}

static bool authority_put(struct db_tx *tx, const struct farm *farm, size_t at, int version,
                          bool gone, struct err *err)
{
    const struct farm_authority *authority = &farm->authorities.items[at];

    return db_do(tx, &sql_authority_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(authority->key), db_int(version),
                           db_text(authority->name), db_text(authority->decides),
                           db_text(authority->call), db_bool(gone),
                           db_text(authority->definition)),
                 err);
}

static bool station_put(struct db_tx *tx, const struct farm *farm, size_t at, int version,
                        bool gone, struct err *err)
{
    const struct farm_station *station = &farm->stations.items[at];

    if (!db_do(tx, &sql_station_add,
               DB_PARAMS(db_int(tx->farm_id), db_text(station->key), db_int(version),
                         db_text(station->name), db_text(station->kind), db_bool(gone),
                         db_text(station->definition)),
               err))
        return false;

    for (size_t i = 0; i < station->position_count; i++) {
        if (!db_do(tx, &sql_station_position_add,
                   DB_PARAMS(db_int(tx->farm_id), db_text(station->key), db_int(version),
                             db_text(station->positions[i].key),
                             db_text(station->positions[i].name)),
                   err))
            return false;
    }

    return true;
}

static size_t built_in_parameters(void)
{
    size_t count = 0;

    while (parameter_built_in(count))
        count++;

    return count;
}

static const struct parameter *parameter_at(const struct farm *farm, size_t at)
{
    size_t built_in = built_in_parameters();

    return at < built_in ? parameter_built_in(at) : &farm->parameters.items[at - built_in].parameter;
}

static bool parameter_put(struct db_tx *tx, const struct farm *farm, size_t at, int version,
                          bool gone, struct err *err)
{
    const struct parameter *parameter = parameter_at(farm, at);

    return db_do(tx, &sql_parameter_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(parameter->key), db_int(version),
                           db_text(parameter->name), db_text(parameter_kind_name(parameter->kind)),
                           db_text(parameter->matrix), db_text(parameter->basis),
                           db_text(parameter->unit ? parameter->unit : ""), db_bool(gone),
                           db_text(item_definition(farm, ITEM_PARAMETER, at))),
                 err);
}

static bool licence_put(struct db_tx *tx, const struct farm *farm, size_t at, int version,
                        bool gone, struct err *err)
{
    const struct farm_licence *licence = &farm->licences.items[at];

    if (!db_do(tx, &sql_licence_add,
               DB_PARAMS(db_int(tx->farm_id), db_text(licence->key), db_int(version),
                         db_text(licence->number), db_text(licence->title),
                         db_text(licence->holder), db_text(licence->authority),
                         db_day(licence->version), db_day(licence->ends),
                         db_text(licence->continued_by), db_day(licence->renewal_by),
                         db_text(licence->certification), db_text(licence->signer), db_bool(gone),
                         db_text(licence->definition)),
               err))
        return false;

    for (size_t i = 0; i < licence->point_count; i++) {
        if (!db_do(tx, &sql_licence_point_add,
                   DB_PARAMS(db_int(tx->farm_id), db_text(licence->key), db_int(version),
                             db_text(licence->points[i].station),
                             db_text(licence->points[i].called)),
                   err))
            return false;
    }

    return true;
}

static bool path_put(struct db_tx *tx, const struct farm *farm, size_t at, int version, bool gone,
                     struct err *err)
{
    const struct farm_path *path = &farm->paths.items[at];

    return db_do(tx, &sql_flow_path_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(path->from), db_text(path->to),
                           db_day(path->since), db_int(version), db_day(path->until),
                           db_text(path->returned_share), db_bool(gone),
                           db_text(path->definition)),
                 err);
}

/* A decimal as text, or NULL where 0 means that nothing is on record. */
static const char *on_record(struct arena *mem, struct decimal value)
{
    return value.coefficient == 0 ? NULL : decimal_text(mem, value);
}

static bool meter_put(struct db_tx *tx, const struct farm *farm, size_t at, int version, bool gone,
                      struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_counter *meter = &farm->counters.items[at];

    return db_do(tx, &sql_counter_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(meter->station), db_text(meter->parameter),
                           db_int(version), db_text(on_record(mem, meter->size)),
                           db_text(decimal_text(mem, meter->multiplier)),
                           db_text(on_record(mem, meter->most_per_day)),
                           db_bool(meter->share_over_days), db_bool(gone),
                           db_text(meter->definition)),
                 err);
}

static bool source_put(struct db_tx *tx, const struct farm *farm, size_t at, int version, bool gone,
                       struct err *err)
{
    const struct farm_source *source = &farm->sources.items[at];

    return db_do(tx, &sql_source_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(source->source.key), db_int(version),
                           db_text(source->source.name),
                           db_text(source->source.shape == SOURCE_WIDE ? "wide" : "long"),
                           db_bool(gone), db_text(source->definition)),
                 err);
}

static bool limit_put(struct db_tx *tx, const struct farm *farm, size_t at, int version, bool gone,
                      struct err *err)
{
    const struct limit *limit = &farm->limits.items[at].limit;

    return db_do(tx, &sql_limit_clause_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(limit->key), db_int(version),
                           db_int(limit->order), db_text(limit->licence), db_text(limit->station),
                           db_text(limit->parameter), db_text(limit->unit),
                           db_text(limit_statistic_words[limit->statistic]),
                           db_text(limit_period_words[limit->period]),
                           db_day(limit->in_force_from), db_day(limit->in_force_to),
                           db_text(farm->limits.items[at].change), db_bool(gone),
                           db_text(farm->limits.items[at].definition)),
                 err);
}

static bool interval_put(struct db_tx *tx, const struct farm *farm, size_t at, int version,
                         bool gone, struct err *err)
{
    const struct interval *interval = &farm->intervals.items[at].interval;

    return db_do(tx, &sql_interval_clause_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(interval->key), db_int(version),
                           db_int(interval->order), db_text(interval->licence),
                           db_text(interval->station),
                           db_text(interval->shape == INTERVAL_AT_MOST_DAYS ? "at most days"
                                                                            : "per period"),
                           db_day(interval->in_force_from), db_day(interval->in_force_to),
                           db_text(farm->intervals.items[at].change), db_bool(gone),
                           db_text(farm->intervals.items[at].definition)),
                 err);
}

/* Count, key and definition of a list whose items hold them in the named places. */
#define ITEM_LIST(prefix, list, key_field)                                                         \
    static size_t prefix##_count(const struct farm *farm)                                          \
    {                                                                                              \
        return farm->list.count;                                                                   \
    }                                                                                              \
    static char *prefix##_key(struct arena *mem, const struct farm *farm, size_t at)               \
    {                                                                                              \
        return arena_strdup(mem, farm->list.items[at].key_field);                                  \
    }                                                                                              \
    static const char *prefix##_definition(const struct farm *farm, size_t at)                     \
    {                                                                                              \
        return farm->list.items[at].definition;                                                    \
    }

ITEM_LIST(person, people, key)
ITEM_LIST(authority, authorities, key)
ITEM_LIST(station, stations, key)
ITEM_LIST(licence, licences, key)
ITEM_LIST(source, sources, source.key)
ITEM_LIST(limit, limits, limit.key)
ITEM_LIST(interval, intervals, interval.key)

static size_t parameter_count(const struct farm *farm)
{
    return built_in_parameters() + farm->parameters.count;
}

static char *parameter_key(struct arena *mem, const struct farm *farm, size_t at)
{
    return arena_strdup(mem, parameter_at(farm, at)->key);
}

static const char *parameter_definition(const struct farm *farm, size_t at)
{
    size_t built_in = built_in_parameters();

    return at < built_in ? "built in" : farm->parameters.items[at - built_in].definition;
}

static size_t path_count(const struct farm *farm)
{
    return farm->paths.count;
}

static char *path_key(struct arena *mem, const struct farm *farm, size_t at)
{
    const struct farm_path *path = &farm->paths.items[at];

    return arena_printf(mem, "%s to %s since %s", path->from, path->to,
                        day_text(mem, path->since));
}

static const char *path_definition(const struct farm *farm, size_t at)
{
    return farm->paths.items[at].definition;
}

static size_t meter_count(const struct farm *farm)
{
    return farm->counters.count;
}

static char *meter_key(struct arena *mem, const struct farm *farm, size_t at)
{
    return arena_printf(mem, "%s %s", farm->counters.items[at].station,
                        farm->counters.items[at].parameter);
}

static const char *meter_definition(const struct farm *farm, size_t at)
{
    return farm->counters.items[at].definition;
}

#define ITEM_TYPE(name, prefix)                                                                    \
    {name, prefix##_count, prefix##_key, prefix##_definition, prefix##_put}

static const struct item_type types[ITEM_KINDS] = {
    [ITEM_PERSON] = ITEM_TYPE("person", person),
    [ITEM_AUTHORITY] = ITEM_TYPE("authority", authority),
    [ITEM_STATION] = ITEM_TYPE("station", station),
    [ITEM_PARAMETER] = ITEM_TYPE("parameter", parameter),
    [ITEM_LICENCE] = ITEM_TYPE("licence", licence),
    [ITEM_PATH] = ITEM_TYPE("path", path),
    [ITEM_METER] = ITEM_TYPE("meter", meter),
    [ITEM_SOURCE] = ITEM_TYPE("source", source),
    [ITEM_LIMIT] = ITEM_TYPE("limit", limit),
    [ITEM_INTERVAL] = ITEM_TYPE("interval", interval),
};

const char *item_kind_name(enum item_kind kind)
{
    return types[kind].name;
}

size_t item_count(const struct farm *farm, enum item_kind kind)
{
    return types[kind].count(farm);
}

char *item_key(struct arena *mem, const struct farm *farm, enum item_kind kind, size_t index)
{
    return types[kind].key(mem, farm, index);
}

const char *item_definition(const struct farm *farm, enum item_kind kind, size_t index)
{
    return types[kind].definition(farm, index);
}

const char *item_change(const struct farm *farm, enum item_kind kind, size_t index)
{
    if (kind == ITEM_LIMIT)
        return farm->limits.items[index].change;

    return kind == ITEM_INTERVAL ? farm->intervals.items[index].change : NULL;
}

const char *item_judged(const struct farm *farm, enum item_kind kind, size_t index)
{
    if (kind == ITEM_LIMIT)
        return farm->limits.items[index].judged;

    return kind == ITEM_INTERVAL ? farm->intervals.items[index].judged : NULL;
}

bool item_store_current(struct db_tx *tx, struct arena *mem, struct item_rows *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_item_current, DB_PARAMS(db_int(tx->farm_id)), &rows, err))
        return false;

    struct item_rows list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct item_row, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] = (struct item_row){.kind = db_rows_dup(&rows, i, 0, mem),
                                          .key = db_rows_dup(&rows, i, 1, mem),
                                          .version = (int)db_rows_int(&rows, i, 2),
                                          .definition = db_rows_dup(&rows, i, 3, mem)};
    *out = list;

    return true;
}

bool item_store_put(struct db_tx *tx, const struct farm *farm, enum item_kind kind, size_t index,
                    int version, bool gone, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    if (!types[kind].put(tx, farm, index, version, gone, err))
        return err_wrap(err, "%s %s", types[kind].name, types[kind].key(mem, farm, index));

    return true;
}
