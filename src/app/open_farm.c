#include "app/open_farm.h"

#include "base/str.h"
#include "store/farm_store.h"

static bool farm_pick(const struct farm_rows *farms, const char *key, int64_t *farm_id,
                      struct err *err)
{
    if (farms->count == 0) {
        err_set(err, ERR_NOT_FOUND, "there is no farm here yet");
        return err_hint(err, "Write a farm file, then: weirbook farm load FILE --by PERSON");
    }
    if (!key && farms->count == 1) {
        *farm_id = farms->items[0].farm_id;
        return true;
    }
    for (size_t i = 0; i < farms->count; i++) {
        if (key && str_equal(farms->items[i].key, key)) {
            *farm_id = farms->items[i].farm_id;
            return true;
        }
    }
    if (!key) {
        err_set(err, ERR_INVALID, "there are %zu farms here", farms->count);
        return err_hint(err, "Say which one: --farm KEY, as --farm %s", farms->items[0].key);
    }
    err_set(err, ERR_NOT_FOUND, "there is no farm '%s' here", key);

    return err_hint(err, "One that is here: %s", farms->items[0].key);
}

bool farm_open(struct db *db, struct arena *mem, struct units *units, const char *key,
               struct open_farm *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    CLEANUP(db_tx_end) struct db_tx seen = {0};
    struct farm_rows farms = {0};
    struct farm_file_row file = {0};
    struct open_farm open = {.units = units};
    struct err problem = {0};

    if (!db_tx_begin(db, 0, &tx, err) || !farm_store_list(&tx, mem, &farms, err) ||
        !farm_pick(&farms, key, &open.farm_id, err))
        return false;
    db_tx_end(&tx);
    if (!db_tx_begin(db, open.farm_id, &seen, err) ||
        !farm_store_file_latest(&seen, mem, &file, err))
        return false;
    if (file.version == 0)
        return err_set(err, ERR_BUG, "the farm has no farm file");
    open.farm = farmfile_accepted(mem, file.bytes, file.length, units, &problem);
    if (problem.code != ERR_NONE) {
        *err = problem;
        return err_wrap(err, "the farm file in force (version %d)", file.version);
    }

    open.version = file.version;
    *out = open;

    return true;
}

bool farm_version(struct db *db, int64_t farm_id, int *version, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct farm_file_row file = {0};

    if (!db_tx_begin(db, farm_id, &tx, err) || !farm_store_file_latest(&tx, mem, &file, err))
        return false;
    *version = file.version;

    return true;
}

static const char *may_word(unsigned may)
{
    switch (may) {
    case MAY_READ:
        return "take readings and bring in files";
    case MAY_SAMPLE:
        return "sample";
    case MAY_CALIBRATE:
        return "calibrate";
    case MAY_CORRECT:
        return "correct";
    default:
        return "sign";
    }
}

/* ERR_NOT_FOUND with the nearest key. */
static bool nobody(const struct farm *farm, const char *key, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char **keys = ARENA_ARRAY(mem, const char *, farm->people.count);

    for (size_t i = 0; i < farm->people.count; i++)
        keys[i] = farm->people.items[i].key;

    const char *nearest = str_nearest(key, keys, farm->people.count);

    err_set(err, ERR_NOT_FOUND, "the farm file has no person '%s'", key);
    if (nearest)
        return err_hint(err, "Did you mean '%s'?", nearest);

    return err_hint(err, "People are listed under `people:` in the farm file.");
}

bool act_allowed(const struct farm *farm, const struct act *act, unsigned may, struct err *err)
{
    if (str_empty(act->person)) {
        err_set(err, ERR_INVALID,
                "this writes to the farm's records, so it needs to know who does it");
        return err_hint(err, "Add --by PERSON, with a key from `people:` in the farm file.");
    }

    const struct farm_person *person = farm_find_person(farm, act->person);
    day_number today = zone_day(farm->zone, act->at);

    if (!person)
        return nobody(farm, act->person, err);
    if (today < person->since || (person->until != DAY_NONE && today > person->until))
        return err_set(err, ERR_DENIED, "%s is not with the farm on this day", person->name);
    if (!(person->may & may)) {
        err_set(err, ERR_DENIED, "%s may not %s", person->name, may_word(may));
        return err_hint(err, "What people may do is said under `people:` in the farm file.");
    }

    return true;
}

bool act_another_may(const struct farm *farm, const struct act *act, unsigned may)
{
    bool another = false;

    for (size_t i = 0; i < farm->people.count && !another; i++) {
        struct act other = {.person = farm->people.items[i].key, .at = act->at};
        struct err not_asked = ERR_INIT;

        another =
            !str_equal(other.person, act->person) && act_allowed(farm, &other, may, &not_asked);
    }

    return another;
}
