#include "farmfile/visit_file.h"

#include "base/str.h"
#include "farmfile/amount.h"
#include "farmfile/moment.h"

struct read_standard {
    struct visit_standard standard;
    struct farm_number value;
    struct farm_number found;
    struct farm_number after;
    struct farm_number temperature;
};

struct read_beside {
    struct farm_number probe;
    struct farm_number meter;
};

struct read_readings {
    struct visit_readings readings;
    struct farm_number before;
    struct farm_number after;
    struct farm_number meter_before;
    struct farm_number meter_after;
    struct read_beside beside;
    struct visit_standard *standards;
    size_t standard_count;
};

struct read_visit {
    struct visit_order order;
    struct visit_readings *items;
};

/* --- standards ------------------------------------------------------------------------------- */

#define STANDARD(key, need, read, member, expected)                                                \
    FIELD(key, need, read, struct read_standard, member, expected)

static const struct field standard_fields[] = {
    {STANDARD("standard", FIELD_REQUIRED, amount_number, value, "its value, as 10.0")},
    {STANDARD("read", FIELD_REQUIRED, amount_number, found,
              "what the cleaned probe read in it, before it was calibrated")},
    {STANDARD("read after", FIELD_OPTIONAL, amount_number, after,
              "what it read after it was calibrated")},
    {STANDARD("name", FIELD_OPTIONAL, value_text, standard.name, "what it is, as saturated air")},
    {STANDARD("lot", FIELD_OPTIONAL, value_text, standard.lot, "the lot number on its bottle")},
    {STANDARD("expires", FIELD_OPTIONAL, value_day, standard.expires,
              "its last day, as 2026-01-31")},
    {STANDARD("temperature", FIELD_OPTIONAL, amount_number, temperature,
              "its temperature in degC, as 20.1")},
};

static const struct field_table standard_table = {"standard", standard_fields,
                                                  ARRAY_LEN(standard_fields)};

static void read_standards(struct field_reader *reader, const struct field *field,
                           const struct yaml *value, void *into)
{
    struct read_readings *readings = into;

    if (!field_is_list(reader, field, value))
        return;
    if (value->count > VISIT_STANDARDS_MOST) {
        field_problem(reader, value, NULL, "more than %d standards", VISIT_STANDARDS_MOST);
        return;
    }
    /* One more: a reading beside a field meter joins them. */
    readings->standards = ARENA_ARRAY(reader->mem, struct visit_standard, value->count + 1);
    for (size_t i = 0; i < value->count; i++) {
        struct read_standard read = {.standard = {.expires = DAY_NONE}};

        if (!field_read_map(reader, &standard_table, value->items[i].value, &read) ||
            !read.value.given || !read.found.given)
            continue;
        read.standard.read = (struct probe_standard){read.value.number, read.found.number,
                                                     read.after.given, read.after.number};
        read.standard.has_temperature = read.temperature.given;
        read.standard.temperature = read.temperature.number;
        readings->standards[readings->standard_count++] = read.standard;
    }
}

static const struct field beside_fields[] = {
    {FIELD("probe", FIELD_REQUIRED, amount_number, struct read_beside, probe,
           "what the cleaned probe read")},
    {FIELD("meter", FIELD_REQUIRED, amount_number, struct read_beside, meter,
           "what the field meter read beside it")},
};

static const struct field_table beside_table = {"comparison", beside_fields,
                                                ARRAY_LEN(beside_fields)};

static void read_beside(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    (void)field;
    (void)field_read_map(reader, &beside_table, value, into);
}

/* --- readings of a parameter ----------------------------------------------------------------- */

static void read_meter(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    const struct farm *farm = reader->farm;
    const char **keys = ARENA_ARRAY(reader->mem, const char *, farm->instruments.count);
    const char **key = into;

    value_key(reader, field, value, into);
    for (size_t i = 0; i < farm->instruments.count; i++)
        keys[i] = farm->instruments.items[i].key;
    if (*key && !farm_find_instrument(farm, *key))
        field_unknown(reader, value, "instrument", keys, farm->instruments.count);
}

#define READINGS(key, need, read, member, expected)                                                \
    FIELD(key, need, read, struct read_readings, member, expected)

static const struct field readings_fields[] = {
    {READINGS("parameter", FIELD_REQUIRED, name_parameter, readings.parameter,
              "the key of a parameter")},
    {READINGS("unit", FIELD_OPTIONAL, value_text, readings.unit,
              "the unit of all of them; left out, the parameter's own")},
    {READINGS("before cleaning", FIELD_OPTIONAL, amount_number, before,
              "what the probe read in the water")},
    {READINGS("after cleaning", FIELD_OPTIONAL, amount_number, after,
              "what it read in the same water once cleaned")},
    {READINGS("meter", FIELD_OPTIONAL, read_meter, readings.meter, "the key of a field meter")},
    {READINGS("meter before", FIELD_OPTIONAL, amount_number, meter_before,
              "what the field meter read beside it, before it was cleaned")},
    {READINGS("meter after", FIELD_OPTIONAL, amount_number, meter_after,
              "what the field meter read beside it, once it was cleaned")},
    /* Its reader gets the whole of it. */
    {.key = "standards",
     .read = read_standards,
     .expected = "a list of standards, as [{standard: 10.0, read: 9.8}]",
     .inside = &standard_table},
    {READINGS("beside meter", FIELD_OPTIONAL, read_beside, beside, "as {probe: 7.7, meter: 7.8}"),
     .inside = &beside_table},
};

static const struct field_table readings_table = {"reading", readings_fields,
                                                  ARRAY_LEN(readings_fields)};

static void pair_check(struct field_reader *reader, const struct yaml *node, bool first,
                       bool second, const char *words)
{
    if (first != second)
        field_problem(reader, node, NULL, "%s go together: expected both or none", words);
}

static void readings_check(struct field_reader *reader, const struct yaml *node,
                           const struct read_readings *read)
{
    bool meter = read->meter_before.given || read->beside.meter.given;

    pair_check(reader, node, read->before.given, read->after.given,
               "`before cleaning` and `after cleaning`");
    pair_check(reader, node, read->meter_before.given, read->meter_after.given,
               "`meter before` and `meter after`");
    pair_check(reader, node, meter, read->readings.meter != NULL,
               "`meter` and what it read (`meter before`, `meter after` or `beside meter`)");
    if (read->meter_before.given && !read->before.given)
        field_problem(reader, node, NULL,
                      "`meter before` has no place here: there is no `before cleaning`");
    if (!read->before.given && read->standard_count == 0 && !read->beside.probe.given)
        field_problem(reader, node, NULL,
                      "nothing was read: expected `before cleaning` and `after cleaning`, "
                      "`standards` or `beside meter`");
}

void visit_readings_settle(struct arena *mem, struct visit_readings *readings,
                           const struct visit_standard *standards, size_t count)
{
    struct probe_standard *list = ARENA_ARRAY(mem, struct probe_standard, count);

    for (size_t i = 0; i < count; i++)
        list[i] = standards[i].read;
    readings->standards = standards;
    readings->readings.standards = list;
    readings->readings.standard_count = count;
}

static void readings_settle(struct field_reader *reader, struct read_readings *read)
{
    struct visit_readings *readings = &read->readings;

    readings->readings = (struct probe_readings){.in_water = read->before.given,
                                                 .before = read->before.number,
                                                 .after = read->after.number,
                                                 .beside_meter = read->meter_before.given,
                                                 .meter_before = read->meter_before.number,
                                                 .meter_after = read->meter_after.number};
    if (read->beside.probe.given) {
        if (!read->standards)
            read->standards = ARENA_ARRAY(reader->mem, struct visit_standard, 1);
        read->standards[read->standard_count++] = (struct visit_standard){
            .read = {.standard = read->beside.meter.number, .found = read->beside.probe.number},
            .meter = readings->meter,
            .expires = DAY_NONE};
    }
    visit_readings_settle(reader->mem, readings, read->standards, read->standard_count);
}

static void unit_settle(struct field_reader *reader, const struct yaml *node,
                        struct visit_readings *readings)
{
    const struct parameter *parameter = name_find_parameter(reader, readings->parameter);

    if (parameter)
        readings->unit = readings->unit
                             ? name_unit(reader, yaml_find(node, "unit"), readings->unit, parameter)
                             : parameter->unit;
}

static void read_list(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct read_visit *visit = into;

    if (!field_is_list(reader, field, value))
        return;
    visit->items = ARENA_ARRAY(reader->mem, struct visit_readings, value->count);
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct read_readings read = {0};

        if (!field_read_map(reader, &readings_table, node, &read) || !read.readings.parameter)
            continue;
        readings_check(reader, node, &read);
        unit_settle(reader, node, &read.readings);
        readings_settle(reader, &read);
        for (size_t j = 0; j < visit->order.count; j++)
            if (str_equal(visit->items[j].parameter, read.readings.parameter))
                field_problem(reader, node, NULL, "'%s' stands here twice",
                              read.readings.parameter);
        visit->items[visit->order.count++] = read.readings;
    }
}

/* --- the visit ------------------------------------------------------------------------------- */

static void read_at(struct field_reader *reader, const struct field *field,
                    const struct yaml *value, void *into)
{
    if (field_is_text(reader, field, value))
        (void)moment_read(reader, field, value, value->text, into);
}

#define VISIT(key, need, read, member, expected)                                                   \
    FIELD(key, need, read, struct read_visit, member, expected)

static const struct field visit_fields[] = {
    {VISIT("instrument", FIELD_REQUIRED, read_meter, order.instrument,
           "the key of an instrument, from `instruments:` in the farm file")},
    {VISIT("at", FIELD_REQUIRED, read_at, order.at, "when, as 2026-03-18 09:30")},
    {VISIT("maintenance", FIELD_OPTIONAL, value_text, order.maintenance,
           "what was done to it, as new membrane")},
    {VISIT("note", FIELD_OPTIONAL, value_text, order.note, "a text")},
    {.key = "readings",
     .read = read_list,
     .expected = "a list of what was read, a parameter each",
     .inside = &readings_table},
};

static const struct field_table visit_table = {"visit", visit_fields, ARRAY_LEN(visit_fields)};

bool visit_file_read(struct arena *mem, const char *text, size_t length, const struct farm *farm,
                     const struct units *units, struct visit_order *out,
                     struct farmfile_problems *problems, struct err *err)
{
    struct farm known = *farm; /* nothing is added to it */
    struct field_reader reader = {.mem = mem, .farm = &known, .units = units, .problems = problems};
    struct read_visit visit = {.order = {.at = INSTANT_NONE}};

    if (!field_read_file(&reader, &visit_table, text, length, &visit, err))
        return false;
    if (visit.order.count == 0 && !visit.order.maintenance) {
        err_set(err, ERR_INVALID, "nothing was read and nothing was done");
        return err_hint(err, "Add `readings`, or say under `maintenance` what was done.");
    }
    visit.order.items = visit.items;
    *out = visit.order;

    return true;
}

/* --- on one line ----------------------------------------------------------------------------- */

static bool typed_number(const char *text, const char *what, struct decimal *out, struct err *err)
{
    if (decimal_parse(text, out))
        return true;
    err_set(err, ERR_INVALID, "'%s' is not a number", text);

    return err_hint(err, "Write %s with a decimal point, as 10.0.", what);
}

bool visit_typed_read(struct arena *mem, const struct farm *farm, const struct units *units,
                      const struct visit_typed *typed, struct visit_order *out, struct err *err)
{
    struct visit_standard *standard = ARENA_NEW(mem, struct visit_standard);
    struct visit_readings *readings = ARENA_NEW(mem, struct visit_readings);
    const struct parameter *parameter = NULL;
    const struct unit *unit = NULL;

    *standard = (struct visit_standard){.name = typed->name,
                                        .lot = typed->lot,
                                        .expires = DAY_NONE,
                                        .read = {.has_after = typed->after != NULL}};
    if (!parameter_require(&farm->known_parameters, typed->parameter, &parameter, err) ||
        (typed->unit && !unit_find(units, typed->unit, parameter, &unit, err)) ||
        !typed_number(typed->standard, "the standard", &standard->read.standard, err) ||
        !typed_number(typed->read, "what was read", &standard->read.found, err) ||
        (typed->after &&
         !typed_number(typed->after, "what was read", &standard->read.after, err)) ||
        (typed->expires && !day_parse(typed->expires, &standard->expires, err)))
        return false;
    *readings = (struct visit_readings){.parameter = parameter->key,
                                        .unit = unit ? unit_name(unit) : parameter->unit};
    visit_readings_settle(mem, readings, standard, 1);
    *out = (struct visit_order){.instrument = typed->instrument,
                                .at = typed->at,
                                .note = typed->note,
                                .items = readings,
                                .count = 1};

    return true;
}
