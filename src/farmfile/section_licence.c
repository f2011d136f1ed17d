#include <string.h>

#include "base/str.h"
#include "farmfile/section.h"

struct point_reading {
    struct farm_point point;
    struct name_place outlet;
    struct name_place meter;
};

static const struct field point_fields[] = {
    {FIELD("station", FIELD_REQUIRED, name_station, struct point_reading, point.station,
           "the key of a station")},
    {FIELD("called", FIELD_REQUIRED, value_text, struct point_reading, point.called,
           "the authority's own name for the station")},
    {FIELD("outlet", FIELD_OPTIONAL, name_place, struct point_reading, outlet,
           "the station and parameter that say open or shut"),
     .inside = &name_place_table},
    {FIELD("meter", FIELD_OPTIONAL, name_place, struct point_reading, meter,
           "the station and parameter of a counter or a flow"),
     .inside = &name_place_table},
};

static const struct field_table point_table = {"point", point_fields, ARRAY_LEN(point_fields)};

void section_check_outlet(struct field_reader *reader, const struct yaml *node,
                          const struct name_place *place)
{
    const struct parameter *parameter = name_find_parameter(reader, place->parameter);

    if (parameter && (parameter->kind != PARAMETER_STATE || !parameter_state(parameter, "open") ||
                      !parameter_state(parameter, "shut")))
        field_problem(reader, node, NULL,
                      "'%s' can't say open or shut: expected a state with these two words",
                      parameter->key);
}

static void check_meter(struct field_reader *reader, const struct yaml *node,
                        const struct name_place *place)
{
    const struct parameter *parameter = name_find_parameter(reader, place->parameter);

    if (!parameter || parameter->kind == PARAMETER_COUNTER)
        return;

    const struct unit *unit = parameter->unit ? unit_named(reader->units, parameter->unit) : NULL;
    const struct unit *flow = unit_named(reader->units, "m3/day");

    if (!unit || !flow || !unit_convertible(unit, flow))
        field_problem(reader, node, NULL,
                      "'%s' can't say how much was discharged: expected a counter or a flow",
                      parameter->key);
}

static void read_points(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct farm_licence *licence = into;

    if (!field_is_list(reader, field, value))
        return;

    struct farm_point *points = ARENA_ARRAY(reader->mem, struct farm_point, value->count);
    size_t count = 0;

    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct point_reading read = {0};

        if (!field_read_map(reader, &point_table, node, &read) || !read.point.station)
            continue;
        section_check_outlet(reader, yaml_find(node, "outlet"), &read.outlet);
        check_meter(reader, yaml_find(node, "meter"), &read.meter);
        read.point.outlet_station = read.outlet.station;
        read.point.outlet_parameter = read.outlet.parameter;
        read.point.meter_station = read.meter.station;
        read.point.meter_parameter = read.meter.parameter;
        for (size_t k = 0; k < count; k++)
            if (str_equal(points[k].station, read.point.station))
                field_problem(reader, yaml_find(node, "station"), NULL,
                              "the station '%s' has a name of the authority's already",
                              read.point.station);
        points[count++] = read.point;
    }
    licence->points = points;
    licence->point_count = count;
}

static const struct field licence_fields[] = {
    {FIELD("key", FIELD_REQUIRED, value_key, struct farm_licence, key,
           "a short name in lower case")},
    {FIELD("number", FIELD_REQUIRED, value_text, struct farm_licence, number,
           "the number the authority gave it")},
    {FIELD("title", FIELD_REQUIRED, value_text, struct farm_licence, title,
           "what the document is called")},
    {FIELD("holder", FIELD_REQUIRED, value_text, struct farm_licence, holder,
           "who holds it, as the document says")},
    {FIELD("authority", FIELD_REQUIRED, name_authority, struct farm_licence, authority,
           "the key of an authority")},
    {FIELD("version", FIELD_REQUIRED, value_day, struct farm_licence, version,
           "the date of this version of the document, as 2026-01-31")},
    {FIELD("ends", FIELD_OPTIONAL, value_day, struct farm_licence, ends,
           "its last day, as 2026-01-31")},
    {FIELD("continued by", FIELD_OPTIONAL, value_text, struct farm_licence, continued_by,
           "the letter that continues it after its end")},
    {FIELD("anniversary", FIELD_OPTIONAL, value_season, struct farm_licence, anniversary,
           "a day of the year, as 07-01")},
    {FIELD("renewal to be asked by", FIELD_OPTIONAL, value_day, struct farm_licence, renewal_by,
           "a date, as 2026-01-31")},
    {FIELD("certification", FIELD_REQUIRED, value_text, struct farm_licence, certification,
           "the words that the signer certifies a report with")},
    {FIELD("signer", FIELD_REQUIRED, name_person, struct farm_licence, signer,
           "the key of a person who may sign")},
    {.key = "points",
     .need = FIELD_REQUIRED,
     .read = read_points,
     .expected = "a list of stations and what the authority calls them",
     .inside = &point_table},
};

const struct field_table section_licence_table = {"licence", licence_fields,
                                                  ARRAY_LEN(licence_fields)};

static void check_licence(struct field_reader *reader, const struct yaml *node,
                          const struct farm_licence *licence)
{
    const struct farm_person *signer =
        licence->signer ? farm_find_person(reader->farm, licence->signer) : NULL;

    section_check_span(reader, node, licence->version, licence->ends);
    if (licence->renewal_by != DAY_NONE && licence->ends != DAY_NONE &&
        licence->renewal_by > licence->ends)
        field_problem(reader, yaml_find(node, "renewal to be asked by"), NULL,
                      "the renewal is to be asked by %s, after the licence's end on %s",
                      day_text(reader->mem, licence->renewal_by),
                      day_text(reader->mem, licence->ends));
    if (licence->continued_by && licence->ends == DAY_NONE)
        field_problem(reader, yaml_find(node, "continued by"), NULL,
                      "a licence without `ends` can't be continued");
    if (signer && !(signer->may & MAY_SIGN))
        field_problem(reader, yaml_find(node, "signer"),
                      "Add `sign` to what the person may do, or name another.", "'%s' may not sign",
                      signer->key);
}

void section_licences(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_licence licence = {
            .version = DAY_NONE, .ends = DAY_NONE, .renewal_by = DAY_NONE};

        if (!field_read_map(reader, &section_licence_table, node, &licence) ||
            !value_key_once(reader, &section_licence_table, value, i) || !licence.key)
            continue;
        licence.continued = licence.continued_by != NULL;
        check_licence(reader, node, &licence);
        licence.definition = field_definition(reader, &section_licence_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->licences, licence);
        reader->spellings.count = 0;
    }
}
