#include "farmfile/limit_sense.h"

#include "base/str.h"
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

static const char *const upper_keys[] = {"not above", "below", "from"};
static const char *const lower_keys[] = {"not below", "above", "from"};

/* The key of the bound that the limit has on that side. */
static const struct yaml *key_of(const struct yaml *node, const char *const *keys)
{
    const struct yaml *found = NULL;

    for (size_t i = 0; i < ARRAY_LEN(upper_keys) && !found; i++)
        found = yaml_find(node, keys[i]);

    return found ? found : node;
}

static void check_removal(struct field_reader *reader, const struct yaml *node,
                          const struct limit *limit)
{
    static const struct decimal all = {100, 0};
    const struct limit_bound *bound = &limit->bound;

    if (limit->against.kind != AGAINST_REMOVAL || !bound->has_floor)
        return;

    int order = decimal_compare(bound->floor, all);

    if (order > 0 || (order == 0 && bound->floor_reached_is_outside))
        field_problem(reader, key_of(node, lower_keys), NULL,
                      "no removal is more than 100 %%: nothing could keep this");
}

/* What can't be below 0 by what it is, and is compared as it is. */
static void check_negative(struct field_reader *reader, const struct yaml *node,
                           const struct limit *limit, const struct parameter *parameter)
{
    const struct limit_bound *bound = &limit->bound;

    if (!parameter->never_negative || limit->against.kind != AGAINST_NONE ||
        limit_of_change(limit) || limit_of_time(limit) || !bound->has_ceiling)
        return;
    if (bound->ceiling.coefficient < 0)
        field_problem(reader, key_of(node, upper_keys), NULL,
                      "%s is never below 0: nothing could keep this", parameter->key);
}

void limit_sense_check(struct field_reader *reader, const struct yaml *node,
                       const struct limit *limit, const struct parameter *parameter)
{
    check_flows(reader, node, limit);
    check_removal(reader, node, limit);
    check_ammonia(reader, node, limit, parameter);
    check_negative(reader, node, limit, parameter);
}
