#include "farmfile/farmfile.h"

#include <string.h>

#include "farmfile/section.h"
#include "farmfile/words.h"

/* In the order in which sections are read: names refer to sections above. */
static const struct field sections[] = {
    {.key = "farm",
     .need = FIELD_REQUIRED,
     .read = section_farm,
     .expected = "the farm's key, name and time zone",
     .inside = &section_farm_table},
    {.key = "people",
     .need = FIELD_REQUIRED,
     .read = section_people,
     .expected = "a list of people",
     .inside = &section_person_table},
    {.key = "authorities",
     .read = section_authorities,
     .expected = "a list of authorities",
     .inside = &section_authority_table},
    {.key = "stations",
     .need = FIELD_REQUIRED,
     .read = section_stations,
     .expected = "a list of stations",
     .inside = &section_station_table},
    {.key = "parameters",
     .read = section_parameters,
     .expected = "a list of parameters beyond the built-in ones",
     .inside = &section_parameter_table},
    {.key = "laboratories",
     .read = section_laboratories,
     .expected = "a list of laboratories",
     .inside = &section_laboratory_table},
    {.key = "tide tables",
     .read = section_tide_tables,
     .expected = "a list of tide tables",
     .inside = &section_tide_table},
    {.key = "licences",
     .read = section_licences,
     .expected = "a list of licences",
     .inside = &section_licence_table},
    {.key = "flow paths",
     .read = section_paths,
     .expected = "a list of flow paths",
     .inside = &section_path_table},
    {.key = "meters",
     .read = section_meters,
     .expected = "a list of running meters",
     .inside = &section_meter_table},
    {.key = "tanks",
     .read = section_tanks,
     .expected = "a list of tanks and ponds",
     .inside = &section_tank_table},
    {.key = "derived",
     .read = section_derived,
     .expected = "a list of readings that are worked out from others",
     .inside = &section_derived_table},
    {.key = "sensor tests",
     .read = section_sensor_tests,
     .expected = "a list of tests that the readings of probes stand under",
     .inside = &section_sensor_test_table},
    {.key = "quality checks",
     .read = section_quality,
     .expected = "a list of what is accepted of duplicates, replicates and blanks",
     .inside = &section_quality_table},
    {.key = "instruments",
     .read = section_instruments,
     .expected = "a list of probes and field meters",
     .inside = &section_instrument_table},
    {.key = "sources",
     .read = section_sources,
     .expected = "a list of sources",
     .inside = &section_source_table},
    {.key = "limits",
     .read = section_limits,
     .expected = "a list of limits",
     .inside = &section_limit_table},
    {.key = "intervals",
     .read = section_intervals,
     .expected = "a list of intervals",
     .inside = &section_interval_table},
    {.key = "notices",
     .read = section_notices,
     .expected = "a list of who is told of what, in order",
     .inside = &section_notice_table},
};

const struct field_table farmfile_table = {"farm file", sections, ARRAY_LEN(sections)};

bool farmfile_is_choice(const struct field *field)
{
    return field->words && field->most == 0;
}

static void add_known_parameters(struct arena *mem, struct farm *farm)
{
    const struct parameter *parameter;

    for (size_t i = 0; (parameter = parameter_built_in(i)); i++)
        LIST_ADD(mem, &farm->known_parameters, *parameter);
}

bool farmfile_read(struct arena *mem, const char *text, size_t length, const struct units *units,
                   const struct farm **out, struct farmfile_problems *problems, struct err *err)
{
    struct farm *farm = ARENA_NEW(mem, struct farm);
    struct field_reader reader = {.mem = mem, .farm = farm, .units = units, .problems = problems};

    add_known_parameters(mem, farm);
    if (!field_read_file(&reader, &farmfile_table, text, length, farm, err))
        return false;
    *out = farm;

    return true;
}

const struct farm *farmfile_accepted(struct arena *mem, const char *text, size_t length,
                                     const struct units *units, struct err *problem)
{
    struct farm *farm = ARENA_NEW(mem, struct farm);
    struct farmfile_problems problems = {0};
    struct field_reader reader = {
        .mem = mem, .farm = farm, .units = units, .problems = &problems, .accepted = true};

    add_known_parameters(mem, farm);
    if (!field_read_file(&reader, &farmfile_table, text, length, farm, problem))
        err_hint(problem,
                 "An earlier version of the program accepted it. Mend the file, look at it "
                 "with `farm check`, and load it: weirbook farm load FILE --by PERSON");

    return farm;
}

/* A reader over one stored clause; what it finds wrong is a mistake of the program's. */
static const struct yaml *read_stored(struct field_reader *reader, const char *definition,
                                      struct err *err)
{
    const struct yaml *node = NULL;

    if (!yaml_load(reader->mem, definition, strlen(definition), &node, err)) {
        err->code = ERR_BUG;
        return NULL;
    }

    return node;
}

static bool tell_stored(const struct field_reader *reader, struct err *err)
{
    return err_set(err, ERR_BUG, "a stored clause can't be read: %s",
                   reader->problems->count > 0 ? reader->problems->items[0].words : "it is no map");
}

bool farmfile_limit(struct arena *mem, const char *definition, const struct farm *farm,
                    struct limit *out, struct err *err)
{
    struct farm known = *farm; /* what a reader may add to; it adds nothing here */
    struct farmfile_problems problems = {0};
    struct field_reader reader = {
        .mem = mem, .farm = &known, .problems = &problems, .stored = true};
    const struct yaml *node = read_stored(&reader, definition, err);
    struct farm_limit limit = {0};

    if (!node)
        return false;
    if (!section_limit_read(&reader, node, &limit))
        return tell_stored(&reader, err);
    *out = limit.limit;

    return true;
}

bool farmfile_interval(struct arena *mem, const char *definition, const struct farm *farm,
                       struct interval *out, struct err *err)
{
    struct farm known = *farm;
    struct farmfile_problems problems = {0};
    struct field_reader reader = {
        .mem = mem, .farm = &known, .problems = &problems, .stored = true};
    const struct yaml *node = read_stored(&reader, definition, err);
    struct farm_interval interval = {0};

    if (!node)
        return false;
    if (!section_interval_read(&reader, node, &interval))
        return tell_stored(&reader, err);
    *out = interval.interval;

    return true;
}

bool farmfile_source(struct arena *mem, const char *text, const struct farm *farm,
                     const struct units *units, struct source *out,
                     struct farmfile_problems *problems, struct err *err)
{
    static const struct field sources = {.key = "sources", .expected = "a list of sources"};
    struct farm known = *farm;
    struct field_reader reader = {.mem = mem, .farm = &known, .units = units, .problems = problems};
    const struct yaml *node = NULL;

    if (!yaml_load(mem, text, strlen(text), &node, err))
        return false;
    known.sources = (struct farm_source_list){0};
    section_sources(&reader, &sources, node, NULL);
    if (problems->count > 0 || known.sources.count != 1) {
        const struct farmfile_problem *first = problems->count > 0 ? problems->items : NULL;

        (void)err_set(err, ERR_INVALID, "the source can't be loaded: line %d: %s",
                      first ? first->line : 1, first ? first->words : "it is not one");
        return first && first->hint ? err_hint(err, "%s", first->hint) : false;
    }
    *out = known.sources.items[0].source;

    return true;
}

struct farm *farmfile_nothing_known(struct arena *mem)
{
    struct farm *farm = ARENA_NEW(mem, struct farm);

    add_known_parameters(mem, farm);

    return farm;
}
