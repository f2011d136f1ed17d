#include "app/works_changes.h"

#include "base/str.h"

/* One kind of item; `at` is the place in the farm's list. */
struct works_kind {
    const char *name;
    bool judges; /* verdicts rest on it */
    size_t (*count)(const struct farm *farm);
    const char *(*key)(const struct farm *farm, size_t at);
    const char *(*definition)(const struct farm *farm, size_t at);
};

#define WORKS_KIND(name, list, key_of)                                                             \
    static size_t name##_count(const struct farm *farm)                                            \
    {                                                                                              \
        return farm->list.count;                                                                   \
    }                                                                                              \
    static const char *name##_key(const struct farm *farm, size_t at)                              \
    {                                                                                              \
        return farm->list.items[at].key_of;                                                        \
    }                                                                                              \
    static const char *name##_definition(const struct farm *farm, size_t at)                       \
    {                                                                                              \
        return farm->list.items[at].definition;                                                    \
    }

WORKS_KIND(laboratory, laboratories, key)
WORKS_KIND(tide_table, tide_tables, key)
WORKS_KIND(tank, tanks, station)
WORKS_KIND(derived, derived, key)
WORKS_KIND(sensor_test, sensor_tests, key)
WORKS_KIND(quality, quality, key)
WORKS_KIND(instrument, instruments, key)

static const struct works_kind kinds[] = {
    {"laboratory", true, laboratory_count, laboratory_key, laboratory_definition},
    {"tide table", true, tide_table_count, tide_table_key, tide_table_definition},
    {"tank", false, tank_count, tank_key, tank_definition},
    {"derived reading", true, derived_count, derived_key, derived_definition},
    {"sensor test", false, sensor_test_count, sensor_test_key, sensor_test_definition},
    {"quality check", true, quality_count, quality_key, quality_definition},
    {"instrument", true, instrument_count, instrument_key, instrument_definition},
};

/* The definition of that key; NULL: there is none. */
static const char *definition_of(const struct works_kind *kind, const struct farm *farm,
                                 const char *key)
{
    for (size_t i = 0; farm && i < kind->count(farm); i++) {
        if (str_equal(kind->key(farm, i), key))
            return kind->definition(farm, i);
    }

    return NULL;
}

/* Items of `of` that `other` lacks or, where asked, has otherwise. True: there are some. */
static bool compare(struct arena *mem, const struct works_kind *kind, const struct farm *of,
                    const struct farm *other, enum change_kind lacking, bool otherwise_too,
                    struct farm_changes *changes)
{
    bool found = false;

    for (size_t i = 0; of && i < kind->count(of); i++) {
        const char *key = kind->key(of, i);
        const char *there = definition_of(kind, other, key);

        if (there && (!otherwise_too || str_equal(there, kind->definition(of, i))))
            continue;
        LIST_ADD(mem, changes,
                 ((struct farm_change){.kind = there ? CHANGE_ITEM : lacking,
                                       .what = arena_printf(mem, "%s %s", kind->name, key)}));
        found = true;
    }

    return found;
}

/* Derived readings are worked out one after the other: another order may be another result. */
static bool order_changed(const struct farm *before, const struct farm *now)
{
    size_t count = before && before->derived.count == now->derived.count ? now->derived.count : 0;

    for (size_t i = 0; i < count; i++) {
        if (!str_equal(before->derived.items[i].key, now->derived.items[i].key))
            return true;
    }

    return false;
}

bool works_changes(struct arena *mem, const struct farm *before, const struct farm *now,
                   struct farm_changes *changes)
{
    bool judges = order_changed(before, now);

    for (size_t i = 0; i < ARRAY_LEN(kinds); i++) {
        bool differs = compare(mem, &kinds[i], now, before, CHANGE_NEW_ITEM, true, changes);

        differs |= compare(mem, &kinds[i], before, now, CHANGE_GONE, false, changes);
        judges |= differs && kinds[i].judges;
    }

    return judges;
}
