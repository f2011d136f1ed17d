#include "farmfile/limit_sense.h"

#include "base/str.h"
#include "farmfile/limit_idle.h"
#include "farmfile/limit_reach.h"
#include "farmfile/name.h"

/* Told where what should be water by its parameter is not; NULL is told elsewhere. */
static void check_water(struct field_reader *reader, const struct yaml *node, const char *parameter)
{
    const struct parameter *is = parameter ? name_find_parameter(reader, parameter) : NULL;
    const struct unit *unit = is && is->unit ? unit_named(reader->units, is->unit) : NULL;

    if (!is || (unit && (unit_convertible(unit, unit_named(reader->units, "m3/day")) ||
                         unit_convertible(unit, unit_named(reader->units, "m3")))))
        return;
    field_problem(reader, node, NULL,
                  "%s is no flow of water and no meter of it: expected a parameter in m3/day, L/s "
                  "or the like, or a counter of m3",
                  is->key);
}

static void check_flows(struct field_reader *reader, const struct yaml *node,
                        const struct limit *limit)
{
    const struct yaml *added = yaml_find(node, "added with");
    const struct yaml *against = yaml_find(node, "compared with");

    check_water(reader, yaml_find(node, "flow"), limit->flow.parameter);
    for (size_t i = 0; limit->added_flows && i < limit->added_count; i++)
        check_water(reader, added ? added : node, limit->added_flows[i].parameter);
    check_water(reader, against ? against : node, limit->against.flow.parameter);
}

/* Its share is of what the analysis calls ammonia, whose basis says so. */
static bool is_ammonia(const struct parameter *parameter)
{
    static const char *const bases[] = {"as N", "as NH3", "as NH4"};

    for (size_t i = 0; i < ARRAY_LEN(bases); i++)
        if (str_equal(parameter->basis, bases[i]))
            return true;

    return false;
}

static void check_ammonia(struct field_reader *reader, const struct yaml *node,
                          const struct limit *limit, const struct parameter *parameter)
{
    if (limit->bound_by.kind == BOUND_UNIONISED && !is_ammonia(parameter))
        field_problem(reader, yaml_find(node, "bound by"), NULL,
                      "un-ionised ammonia is a share of ammonia, and %s is measured as something "
                      "else",
                      parameter->key);
}

void limit_sense_check(struct field_reader *reader, const struct yaml *node,
                       const struct limit *limit, const struct parameter *parameter)
{
    check_flows(reader, node, limit);
    check_ammonia(reader, node, limit, parameter);
    limit_idle_check(reader, node, limit, parameter);
    limit_reach_check(reader, node, limit, parameter);
}
