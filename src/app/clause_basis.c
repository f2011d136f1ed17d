#include "app/clause_basis.h"

#include <string.h>

#include "app/clauses.h"
#include "app/text_changes.h"
#include "base/buf.h"
#include "base/json.h"
#include "base/str.h"
#include "judge/limit_reads.h"

/* Of many, so many are named. */
enum { NAMES_MOST = 3 };

/* What the forms of a clause read by a farm file. */
struct reach {
    struct arena *mem;
    const struct farm *farm;
    const struct basis_forms *forms;
    struct limit_read_list reads;
};

struct basis_item {
    const char *kind;
    const char *what;
    const char *definition; /* JSON */
};

struct basis {
    struct basis_item *items;
    size_t count;
    size_t capacity;
};

/* Any station where `station` is NULL. */
static bool reads_place(const struct reach *reach, const char *station, const char *parameter)
{
    for (size_t i = 0; i < reach->reads.count; i++) {
        const struct limit_read *read = &reach->reads.items[i];

        if ((!station || str_equal(read->station, station)) &&
            str_equal(read->parameter, parameter))
            return true;
    }

    return false;
}

static void read_add(struct reach *reach, const char *station, const char *parameter)
{
    if (station && parameter && !reads_place(reach, station, parameter))
        LIST_ADD(reach->mem, &reach->reads,
                 (struct limit_read){.station = station, .parameter = parameter});
}

static void form_reads(struct reach *reach, const struct limit *limit)
{
    const struct limit_read_list reads = limit_reads(reach->mem, limit);

    for (size_t i = 0; i < reads.count; i++)
        read_add(reach, reads.items[i].station, reads.items[i].parameter);
}

static bool has_station(const struct reach *reach, const char *station)
{
    for (size_t i = 0; i < reach->forms->count; i++)
        if (str_equal(reach->forms->items[i].limit.station, station))
            return true;

    return false;
}

static void point_reads(struct reach *reach, const struct farm_point *point)
{
    if (!has_station(reach, point->station))
        return;
    read_add(reach, point->outlet_station, point->outlet_parameter);
    read_add(reach, point->meter_station, point->meter_parameter);
}

/* What a derived reading is made of stands above it in the file: upwards meets all of it. */
static void derived_reads(struct reach *reach)
{
    for (size_t at = reach->farm->derived.count; at-- > 0;) {
        const struct derivation *derivation = reach->farm->derived.items[at].derivation;

        if (!reads_place(reach, derivation->made.station, derivation->made.parameter->key))
            continue;
        for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++)
            if (derivation->inputs[i].parameter)
                read_add(reach, derivation->inputs[i].station,
                         derivation->inputs[i].parameter->key);
    }
}

static struct reach reach_of(struct arena *mem, const struct farm *farm,
                             const struct basis_forms *forms)
{
    struct reach reach = {.mem = mem, .farm = farm, .forms = forms};

    for (size_t i = 0; i < forms->count; i++) {
        form_reads(&reach, &forms->items[i].limit);
        if (forms->items[i].before)
            form_reads(&reach, forms->items[i].before);
    }
    for (size_t i = 0; i < farm->licences.count; i++)
        for (size_t j = 0; j < farm->licences.items[i].point_count; j++)
            point_reads(&reach, &farm->licences.items[i].points[j]);
    derived_reads(&reach);

    return reach;
}

/* --- what is in it --------------------------------------------------------------------------- */

static void item_add(const struct reach *reach, struct basis *basis, const char *kind,
                     const char *key, const char *definition)
{
    LIST_ADD(reach->mem, basis,
             ((struct basis_item){kind, arena_printf(reach->mem, "%s %s", kind, key), definition}));
}

static void clocks_add(const struct reach *reach, struct basis *basis)
{
    struct buf text = buf_new(reach->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "time zone", reach->farm->zone_name);
    json_put_name_text(&json, "seconds that a state holds",
                       arena_printf(reach->mem, "%d", reach->farm->state_holds_s));
    json_put_object_end(&json);
    json_end(&json);
    item_add(reach, basis, "the", "farm", text.data);
}

static const char *place_text(const struct reach *reach, const char *station, const char *parameter)
{
    return station ? arena_printf(reach->mem, "%s %s", station, parameter) : NULL;
}

/* Of a licence, what a verdict goes by. */
static const char *licence_judged(const struct reach *reach, const struct farm_licence *licence)
{
    struct buf text = buf_new(reach->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "ends",
                       licence->ends == DAY_NONE ? NULL : day_words(reach->mem, licence->ends));
    json_put_name_text(&json, "continued", licence->continued ? "yes" : "no");
    json_put_name_text(&json, "anniversary", arena_printf(reach->mem, "%d", licence->anniversary));
    for (size_t i = 0; i < licence->point_count; i++) {
        const struct farm_point *point = &licence->points[i];

        if (!has_station(reach, point->station))
            continue;
        json_put_name_text(&json, arena_printf(reach->mem, "outlet of %s", point->station),
                           place_text(reach, point->outlet_station, point->outlet_parameter));
        json_put_name_text(&json, arena_printf(reach->mem, "meter of %s", point->station),
                           place_text(reach, point->meter_station, point->meter_parameter));
    }
    json_put_object_end(&json);
    json_end(&json);

    return text.data;
}

static void licences_add(const struct reach *reach, struct basis *basis)
{
    for (size_t i = 0; i < reach->farm->licences.count; i++) {
        const struct farm_licence *licence = &reach->farm->licences.items[i];
        bool wanted = false;

        for (size_t j = 0; j < reach->forms->count; j++)
            wanted |= str_equal(reach->forms->items[j].limit.licence, licence->key);
        if (wanted)
            item_add(reach, basis, "licence", licence->key, licence_judged(reach, licence));
    }
}

static void parameters_add(const struct reach *reach, struct basis *basis)
{
    for (size_t i = 0; i < reach->farm->parameters.count; i++) {
        const struct farm_parameter *one = &reach->farm->parameters.items[i];

        if (reads_place(reach, NULL, one->parameter.key))
            item_add(reach, basis, "parameter", one->parameter.key, one->definition);
    }
}

static void meters_add(const struct reach *reach, struct basis *basis)
{
    for (size_t i = 0; i < reach->farm->counters.count; i++) {
        const struct farm_counter *one = &reach->farm->counters.items[i];

        if (reads_place(reach, one->station, one->parameter))
            item_add(reach, basis, "meter", place_text(reach, one->station, one->parameter),
                     one->definition);
    }
}

static void derived_add(const struct reach *reach, struct basis *basis)
{
    for (size_t i = 0; i < reach->farm->derived.count; i++) {
        const struct farm_derived *one = &reach->farm->derived.items[i];

        if (reads_place(reach, one->derivation->made.station, one->derivation->made.parameter->key))
            item_add(reach, basis, "derived reading", one->key, one->definition);
    }
}

static void laboratories_add(const struct reach *reach, struct basis *basis)
{
    bool asked = false;

    for (size_t i = 0; i < reach->forms->count; i++)
        asked |= reach->forms->items[i].limit.accredited;
    for (size_t i = 0; asked && i < reach->farm->laboratories.count; i++) {
        const struct farm_laboratory *one = &reach->farm->laboratories.items[i];

        item_add(reach, basis, "laboratory", one->key, one->definition);
    }
}

static void tides_add(const struct reach *reach, struct basis *basis)
{
    for (size_t i = 0; i < reach->farm->tide_tables.count; i++) {
        const struct farm_tide_table *one = &reach->farm->tide_tables.items[i];
        bool wanted = false;

        for (size_t j = 0; j < reach->forms->count; j++)
            wanted |= str_equal(reach->forms->items[j].limit.tide.table, one->key);
        if (wanted)
            item_add(reach, basis, "tide table", one->key, one->definition);
    }
}

static void sensor_tests_add(const struct reach *reach, struct basis *basis)
{
    for (size_t i = 0; i < reach->farm->sensor_tests.count; i++) {
        const struct farm_sensor_test *one = &reach->farm->sensor_tests.items[i];

        if (reads_place(reach, one->station, one->parameter))
            item_add(reach, basis, "sensor test", one->key, one->definition);
    }
}

static void quality_add(const struct reach *reach, struct basis *basis)
{
    for (size_t i = 0; i < reach->farm->quality.count; i++) {
        const struct farm_quality *one = &reach->farm->quality.items[i];

        if (reads_place(reach, NULL, one->parameter))
            item_add(reach, basis, "quality check", one->key, one->definition);
    }
}

static void instruments_add(const struct reach *reach, struct basis *basis)
{
    for (size_t i = 0; i < reach->farm->instruments.count; i++) {
        const struct farm_instrument *one = &reach->farm->instruments.items[i];
        bool wanted = false;

        for (size_t j = 0; j < one->check_count; j++)
            wanted |= reads_place(reach, one->station, one->checks[j].parameter);
        if (wanted)
            item_add(reach, basis, "instrument", one->key, one->definition);
    }
}

static struct basis basis_of(const struct reach *reach)
{
    static void (*const parts[])(const struct reach *reach, struct basis *basis) = {
        derived_add, meters_add,       parameters_add,  laboratories_add, tides_add,
        quality_add, sensor_tests_add, instruments_add, licences_add,     clocks_add,
    };
    struct basis basis = {0};

    for (size_t i = 0; i < ARRAY_LEN(parts); i++)
        parts[i](reach, &basis);

    return basis;
}

/* --- comparing two --------------------------------------------------------------------------- */

static const struct basis_item *item_find(const struct basis *basis, const char *what)
{
    for (size_t i = 0; i < basis->count; i++)
        if (str_equal(basis->items[i].what, what))
            return &basis->items[i];

    return NULL;
}

/* What only says of readings when they are in doubt: where there was none, it can't clear. */
static const char *const doubt_kinds[] = {"sensor test", "quality check", "instrument"};

static bool only_adds_doubt(const struct basis *old, const struct basis_item *item)
{
    bool doubts = false;

    for (size_t i = 0; i < ARRAY_LEN(doubt_kinds); i++)
        doubts |= str_equal(doubt_kinds[i], item->kind);
    for (size_t i = 0; i < old->count; i++)
        if (str_equal(old->items[i].kind, item->kind))
            return false;

    return doubts;
}

const struct basis_changes *basis_changed(struct arena *mem, const struct farm *then,
                                          const struct farm *now, const struct basis_forms *forms)
{
    struct basis_changes *changes = ARENA_NEW(mem, struct basis_changes);
    const struct reach past = reach_of(mem, then, forms);
    const struct reach present = reach_of(mem, now, forms);
    const struct basis old = basis_of(&past);
    const struct basis new = basis_of(&present);

    for (size_t i = 0; i < new.count; i++) {
        const struct basis_item *item = &new.items[i];
        const struct basis_item *before = item_find(&old, item->what);
        const char *words =
            before ? text_changes(mem, before->definition, item->definition) : "new";

        if (words && (before || !only_adds_doubt(&old, item)))
            LIST_ADD(mem, changes, ((struct basis_change){item->what, words}));
    }
    for (size_t i = 0; i < old.count; i++)
        if (!item_find(&new, old.items[i].what))
            LIST_ADD(mem, changes, ((struct basis_change){old.items[i].what, "gone"}));

    return changes->count > 0 ? changes : NULL;
}

const char *basis_names(struct arena *mem, const struct basis_changes *changes)
{
    struct buf names = buf_new(mem);

    for (size_t i = 0; i < changes->count && i < NAMES_MOST; i++)
        buf_addf(&names, "%s%s", i > 0 ? ", " : "", changes->items[i].what);
    if (changes->count > NAMES_MOST)
        buf_addf(&names, " and %zu more", changes->count - NAMES_MOST);

    return names.data;
}
