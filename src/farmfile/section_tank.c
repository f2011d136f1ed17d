#include "base/str.h"
#include "farmfile/amount.h"
#include "farmfile/section.h"

#define PLACE(key, type, member, expected)                                                         \
    {                                                                                              \
        FIELD(key, FIELD_OPTIONAL, amount_place, type, member, expected),                          \
            .inside = &amount_place_table                                                          \
    }

static const char *const volume_units[] = {"m3", NULL};
static const char *const length_units[] = {"m", NULL};
static const char *const mass_units[] = {"g", NULL};
static const char *const concentration_units[] = {"mg/L", NULL};
static const char *const day_units[] = {"days", "day", NULL};

/* --- animals --------------------------------------------------------------------------------- */

static const struct field animal_fields[] = {
    {FIELD("number", FIELD_REQUIRED, value_number, struct farm_animals, number,
           "how many, as 4000")},
    {FIELD("dry mass", FIELD_OPTIONAL, amount_above_zero, struct farm_animals, dry_mass,
           "the dried flesh of one, as 1.2 g"),
     .words = mass_units, .most = 1},
    {FIELD("counted on", FIELD_OPTIONAL, value_day, struct farm_animals, counted_on,
           "a date, as 2026-01-31")},
};

static const struct field_table animal_table = {"count of animals", animal_fields,
                                                ARRAY_LEN(animal_fields)};

static void read_animals(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    struct farm_animals *animals = into;

    (void)field;
    if (field_read_map(reader, &animal_table, value, animals) && animals->number.coefficient <= 0 &&
        yaml_find(value, "number"))
        field_problem(reader, yaml_find(value, "number"), NULL, "`number` must be above 0");
}

/* --- pump ------------------------------------------------------------------------------------ */

static void read_rated_power(struct field_reader *reader, const struct field *field,
                             const struct yaml *value, void *into)
{
    struct farm_number *power = into;
    const char *words[2];

    if (!field_is_text(reader, field, value))
        return;
    power->given = value_split(reader, value, words, 2) == 2 && str_equal(words[1], "kW") &&
                   decimal_parse(words[0], &power->number) && power->number.coefficient > 0;
    if (!power->given)
        field_unfit(reader, field, value, NULL, 0);
}

static const struct field pump_fields[] = {
    {FIELD("rated power", FIELD_OPTIONAL, read_rated_power, struct farm_pump, rated_power_kw,
           "what its plate says, as 1.5 kW")},
    PLACE("state", struct farm_pump, state, "the parameter that says on or off"),
    {FIELD("running", FIELD_OPTIONAL, value_text, struct farm_pump, running,
           "the word of the state that means running, as on")},
    PLACE("energy meter", struct farm_pump, meter, "the parameter of its meter"),
    PLACE("hours meter", struct farm_pump, hours, "the parameter that counts the hours it ran"),
};

static const struct field_table pump_table = {"pump", pump_fields, ARRAY_LEN(pump_fields)};

/* A counter whose unit can be brought to another: "'pump-hours' counts h: expected ... in kWh". */
static void check_meter(struct field_reader *reader, const struct yaml *pump, const char *key,
                        const struct farm_place *place, const char *unit, const char *hint)
{
    const struct parameter *parameter = name_find_parameter(reader, place->parameter);
    const struct yaml *node = yaml_find(pump, key);

    amount_place_kind(reader, node, place, PARAMETER_COUNTER,
                      arena_printf(reader->mem, "a counter in %s", unit));
    /* Of a farm file that an earlier program accepted, the figures say it instead. */
    if (parameter && parameter->kind == PARAMETER_COUNTER && reader->units && !reader->accepted &&
        !unit_convertible(unit_named(reader->units, parameter->unit),
                          unit_named(reader->units, unit)))
        field_problem(reader, node, hint, "'%s' counts %s, which is no %s", parameter->key,
                      parameter->unit, unit);
}

static void read_pump(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    struct farm_pump *pump = into;

    (void)field;
    if (!field_read_map(reader, &pump_table, value, pump))
        return;

    const struct parameter *state = name_find_parameter(reader, pump->state.parameter);

    amount_place_kind(reader, yaml_find(value, "state"), &pump->state, PARAMETER_STATE,
                      "a state, as pump");
    check_meter(reader, value, "energy meter", &pump->meter, "kWh",
                "A counter of the hours that it ran is its `hours meter`.");
    check_meter(reader, value, "hours meter", &pump->hours, "h",
                "A counter of its energy is its `energy meter`.");
    if (pump->state.parameter && !pump->running)
        field_problem(
            reader, value, NULL,
            "the pump lacks `running`: expected the word of the state that means running");
    else if (pump->running && !pump->state.parameter)
        field_problem(reader, yaml_find(value, "running"), NULL,
                      "`running` has no place here: there is no `state`");
    else if (pump->running && state && state->kind == PARAMETER_STATE &&
             !parameter_state(state, pump->running))
        field_problem(reader, yaml_find(value, "running"), NULL, "'%s' is no word of '%s'",
                      pump->running, state->key);
}

/* --- oxygen while the pump is off ------------------------------------------------------------ */

#define STILL(key, need, read, member, expected)                                                   \
    FIELD(key, need, read, struct farm_still_water, member, expected)

static const struct field still_fields[] = {
    {FIELD("oxygen", FIELD_REQUIRED, amount_place, struct farm_still_water, oxygen,
           "the parameter of the oxygen probe"),
     .inside = &amount_place_table},
    {STILL("reads in still water", FIELD_REQUIRED, value_yes_no, probe_reads_still, "yes or no"),
     .note = "Yes only where it is on record: many probes need water that moves past them."},
    {STILL("floor", FIELD_REQUIRED, amount_above_zero, floor, "the farm's own floor, as 4 mg/L"),
     .words = concentration_units, .most = 1},
    {STILL("margin", FIELD_REQUIRED, amount_above_zero, margin,
           "a stop that comes nearer to the floor is a finding, as 1 mg/L"),
     .words = concentration_units, .most = 1},
    {STILL("old after", FIELD_REQUIRED, value_amount, old_after_days,
           "after how long a stop no longer counts, as 60 days"),
     .words = day_units, .least = 1, .most = 3660},
    PLACE("temperature", struct farm_still_water, temperature, "the parameter of temperature"),
    PLACE("stock", struct farm_still_water, stock, "the parameter of the animals in the tank"),
    PLACE("feed", struct farm_still_water, feed, "the parameter of feed, as chlorophyll"),
    {STILL("temperature beyond", FIELD_OPTIONAL, amount_number, beyond_temperature_degc,
           "how many degC beyond those measured still count, as 1")},
    {STILL("stock beyond", FIELD_OPTIONAL, amount_number, beyond_stock_percent,
           "how many percent beyond the stock measured still count, as 10")},
    {STILL("feed beyond", FIELD_OPTIONAL, amount_number, beyond_feed_percent,
           "how many percent beyond the feed measured still count, as 10")},
};

static const struct field_table still_table = {"pump stop", still_fields, ARRAY_LEN(still_fields)};

static void read_still_water(struct field_reader *reader, const struct field *field,
                             const struct yaml *value, void *into)
{
    struct farm_still_water *still = into;

    (void)field;
    if (field_read_map(reader, &still_table, value, still))
        amount_place_kind(reader, yaml_find(value, "oxygen"), &still->oxygen, PARAMETER_NUMBER,
                          "a parameter whose readings are numbers, as oxygen");
}

/* --- the section ----------------------------------------------------------------------------- */

#define TANK(key, need, read, member, expected)                                                    \
    FIELD(key, need, read, struct farm_tank, member, expected)

static const struct field tank_fields[] = {
    {TANK("station", FIELD_REQUIRED, name_station, station, "the key of a station")},
    {TANK("volume", FIELD_REQUIRED, amount_above_zero, volume, "the water in it, as 100 m3"),
     .words = volume_units, .most = 1},
    {TANK("depth", FIELD_OPTIONAL, amount_above_zero, depth, "its mean depth, as 1.8 m"),
     .words = length_units, .most = 1},
    PLACE("flow", struct farm_tank, flow, "the parameter of the flow through it"),
    {.key = "animals",
     .read = read_animals,
     .offset = offsetof(struct farm_tank, animals),
     .expected = "what lives in it, as {number: 4000, dry mass: 1.2 g}",
     .inside = &animal_table,
     .note = "A reading of the animals goes before this."},
    {.key = "pump",
     .read = read_pump,
     .offset = offsetof(struct farm_tank, pump),
     .expected = "its pump, as {rated power: 1.5 kW, state: {parameter: pump}, running: on}",
     .inside = &pump_table},
    {.key = "while the pump is off",
     .read = read_still_water,
     .offset = offsetof(struct farm_tank, still_water),
     .expected = "oxygen, floor and margin, each the farm's own",
     .inside = &still_table,
     .note = "A record, not an alarm and not a switch: keep an independent low-oxygen alarm."},
    {TANK("feed pond", FIELD_OPTIONAL, name_station, feed_pond,
          "the key of the station its feed comes from")},
    {TANK("feed below", FIELD_OPTIONAL, amount_number_above, feed_below_um,
          "micrometres: the size below which the share of particles is told, as 20")},
};

const struct field_table section_tank_table = {"tank", tank_fields, ARRAY_LEN(tank_fields)};

/* Places stand at the tank where they name no station. */
static void settle_places(struct field_reader *reader, const struct yaml *node,
                          struct farm_tank *tank)
{
    const struct yaml *pump = yaml_find(node, "pump");
    const struct yaml *still = yaml_find(node, "while the pump is off");
    const struct {
        const struct yaml *map;
        const char *key;
        struct farm_place *place;
    } places[] = {
        {node, "flow", &tank->flow},
        {pump, "state", &tank->pump.state},
        {pump, "energy meter", &tank->pump.meter},
        {pump, "hours meter", &tank->pump.hours},
        {still, "oxygen", &tank->still_water.oxygen},
        {still, "temperature", &tank->still_water.temperature},
        {still, "stock", &tank->still_water.stock},
        {still, "feed", &tank->still_water.feed},
    };

    for (size_t i = 0; i < ARRAY_LEN(places); i++)
        if (places[i].place->parameter)
            amount_place_at(reader, yaml_find(places[i].map, places[i].key), tank->station,
                            places[i].place);
}

static void check_tank(struct field_reader *reader, const struct yaml *node,
                       const struct farm_tank *tank)
{
    if (tank->still_water.oxygen.parameter && !tank->pump.state.parameter)
        field_problem(reader, yaml_find(node, "while the pump is off"), NULL,
                      "nothing says when the pump is off: expected `state` and `running` under "
                      "`pump`");
    if (farm_find_tank(reader->farm, tank->station))
        field_problem(reader, yaml_find(node, "station"), NULL, "a second tank for '%s'",
                      tank->station);
}

void section_tanks(struct field_reader *reader, const struct field *field, const struct yaml *value,
                   void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_tank tank = {.animals.counted_on = DAY_NONE};

        if (!field_read_map(reader, &section_tank_table, node, &tank) || !tank.station)
            continue;
        settle_places(reader, node, &tank);
        check_tank(reader, node, &tank);
        tank.definition = field_definition(reader, &section_tank_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->tanks, tank);
        reader->spellings.count = 0;
    }
}
