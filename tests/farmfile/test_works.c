/* Laboratories, tide tables, tanks and derived readings of a farm file. Everything is invented. */

#include "section_given.h"

static const char works[] =
    "laboratories:\n"                                                                    /* 1 */
    "  - key: lab\n"                                                                     /* 2 */
    "    name: Example Laboratory\n"                                                     /* 3 */
    "    written as: [EL, Example Lab]\n"                                                /* 4 */
    "    accreditations:\n"                                                              /* 5 */
    "      - number: EX 1\n"                                                             /* 6 */
    "        by: Example Board\n"                                                        /* 7 */
    "        parameters: [suspended-solids, ammonia]\n"                                  /* 8 */
    "        methods: gravimetric\n"                                                     /* 9 */
    "        from: 2025-01-01\n"                                                         /* 10 */
    "        to: 2027-12-31\n"                                                           /* 11 */
    "        document: folder 3\n"                                                       /* 12 */
    "tide tables:\n"                                                                     /* 13 */
    "  - key: harbour\n"                                                                 /* 14 */
    "    place: Example Harbour\n"                                                       /* 15 */
    "    from: an invented table for 2026\n"                                             /* 16 */
    "    clock: +12:00\n"                                                                /* 17 */
    "    tides:\n"                                                                       /* 18 */
    "      - 2026-03-18 04:12 high 3.1\n"                                                /* 19 */
    "      - 2026-03-18 10:30 low 0.4\n"                                                 /* 20 */
    "tanks:\n"                                                                           /* 21 */
    "  - station: out\n"                                                                 /* 22 */
    "    volume: 100000 L\n"                                                             /* 23 */
    "    depth: 1.8 m\n"                                                                 /* 24 */
    "    flow: {parameter: flow}\n"                                                      /* 25 */
    "    animals: {number: 4000, dry mass: 1.2 g, counted on: 2026-03-01}\n"             /* 26 */
    "    pump: {rated power: 1.5 kW, state: {parameter: pump}, running: on}\n"           /* 27 */
    "    while the pump is off:\n"                                                       /* 28 */
    "      oxygen: {parameter: oxygen, position: deep}\n"                                /* 29 */
    "      reads in still water: yes\n"                                                  /* 30 */
    "      floor: 4 mg/L\n"                                                              /* 31 */
    "      margin: 1 mg/L\n"                                                             /* 32 */
    "      old after: 60 days\n"                                                         /* 33 */
    "      temperature beyond: 1\n"                                                      /* 34 */
    "    feed pond: intake\n"                                                            /* 35 */
    "    feed below: 20\n"                                                               /* 36 */
    "derived:\n"                                                                         /* 37 */
    "  - key: salt\n"                                                                    /* 38 */
    "    station: out\n"                                                                 /* 39 */
    "    parameter: salinity\n"                                                          /* 40 */
    "    equation: practical salinity\n"                                                 /* 41 */
    "    from: [{parameter: conductivity}, {parameter: temperature, station: intake}]\n" /* 42 */
    "    within: 10 minutes\n"                                                           /* 43 */
    "    settings: {depth: 0}\n"                                                         /* 44 */
    ;

enum { LINES_BEFORE = 73 }; /* of `sound`, after which `works` stands */

static void a_laboratory_has_its_names_and_accreditations(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_laboratory *lab = farm_find_laboratory(section_farm(mem, works), "lab");

    (void)state;
    assert_non_null(lab);
    assert_int_equal(lab->written_as_count, 3);
    assert_string_equal(lab->written_as[0], "Example Laboratory");
    assert_string_equal(lab->written_as[2], "Example Lab");
    assert_int_equal(lab->accreditation_count, 1);

    const struct farm_accreditation *paper = &lab->accreditations[0];

    assert_string_equal(paper->number, "EX 1");
    assert_string_equal(paper->by, "Example Board");
    assert_int_equal(paper->parameter_count, 2);
    assert_string_equal(paper->parameters[1], "ammonia");
    assert_string_equal(paper->methods[0], "gravimetric");
    assert_int_equal(paper->from, day_from_civil(2025, 1, 1));
    assert_int_equal(paper->to, day_from_civil(2027, 12, 31));
    assert_string_equal(paper->document, "folder 3");
}

static void a_tide_table_goes_by_its_own_clock(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_tide_table *table = farm_find_tide_table(section_farm(mem, works), "harbour");

    (void)state;
    assert_non_null(table);
    assert_int_equal(table->tide_count, 2);
    assert_string_equal(instant_text(mem, table->tides[0].at), "2026-03-17T16:12:00Z");
    assert_true(table->tides[0].is_high);
    assert_false(table->tides[1].is_high);
    assert_string_equal(decimal_text(mem, table->heights_m[1]), "0.4");
}

/* The farm's clocks are put forward on that day: 13 hours before UTC, until April. */
static void a_tide_table_may_go_by_the_farms_clocks(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = section_given(mem, works, "clock: +12:00", "clock: local");
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_true(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err));
    assert_string_equal(instant_text(mem, farm->tide_tables.items[0].tides[0].at),
                        "2026-03-17T15:12:00Z");
}

static void a_tank_has_its_water_animals_and_pump(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_tank *tank = farm_find_tank(section_farm(mem, works), "out");

    (void)state;
    assert_non_null(tank);
    assert_string_equal(decimal_text(mem, tank->volume.number), "100000");
    assert_string_equal(tank->volume.unit, "L");
    assert_string_equal(tank->flow.station, "out");
    assert_string_equal(decimal_text(mem, tank->animals.number), "4000");
    assert_string_equal(tank->animals.dry_mass.unit, "g");
    assert_string_equal(decimal_text(mem, tank->pump.rated_power_kw.number), "1.5");
    assert_string_equal(tank->pump.state.parameter, "pump");
    assert_string_equal(tank->pump.running, "on");
    assert_string_equal(tank->still_water.oxygen.position, "deep");
    assert_true(tank->still_water.probe_reads_still);
    assert_int_equal(tank->still_water.old_after_days, 60);
    assert_true(tank->still_water.beyond_temperature_degc.given);
    assert_false(tank->still_water.beyond_stock_percent.given);
    assert_string_equal(tank->feed_pond, "intake");
}

static void a_derived_reading_names_what_it_is_made_of(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_derived *derived = farm_find_derived(section_farm(mem, works), "salt");

    (void)state;
    assert_non_null(derived);
    assert_string_equal(derived->unit, "PSU");
    assert_string_equal(derived->equation, "practical salinity");
    assert_int_equal(derived->input_count, 2);
    assert_string_equal(derived->inputs[0].place.station, "out");
    assert_string_equal(derived->inputs[1].place.station, "intake");
    assert_int_equal(derived->within_s, 600);
    assert_true(derived->settings.depth_m.given);
    assert_false(derived->settings.alpha.given);
    assert_non_null(derived->derivation);
    assert_string_equal(derived->derivation->equation->word, "practical salinity");
    assert_false(derived->settings.altitude_m.given);
}

static const struct spoilt {
    const char *reason, *find, *put;
    int line; /* of `works` */
    const char *words;
} spoilt[] = {
    {"an accreditation for nothing there is", "[suspended-solids, ammonia]", "[solid]", 8,
     "there is no parameter 'solid'"},
    {"an accreditation that ends before it begins", "to: 2027-12-31", "to: 2024-12-31", 6,
     "the last day, 2024-12-31, lies before the first, 2025-01-01"},
    {"an accreditation without its first day", "        from: 2025-01-01\n", "", 6,
     "this accreditation lacks `from`"},
    {"a name of two laboratories", "tide tables:", "  - {key: two, name: EL}\ntide tables:", 13,
     "'EL' is the laboratory 'lab' already"},
    {"a tide that is neither", "04:12 high", "04:12 up", 19, "is no tide"},
    {"tides out of order", "18 10:30", "18 03:30", 20, "does not come after the tide above"},
    {"two high waters running", "low 0.4", "high 0.4", 20, "follows another high water"},
    {"a height that lacks", "low 0.4", "low", 20, "a height in metres behind each or none"},
    {"a tide table without a clock", "    clock: +12:00\n", "", 14, "lacks `clock`"},
    {"a tide table from nowhere", "    from: an invented table for 2026\n", "", 14,
     "lacks `from`: expected where the times come from"},
    {"a volume in another unit", "100000 L", "100000 mg/L", 23, "can't be `volume`"},
    {"a volume of nothing", "100000 L", "0 L", 23, "can't be `volume`"},
    {"a volume without its unit", "100000 L", "100000", 23, "can't be `volume`"},
    {"no animals", "number: 4000", "number: 0", 26, "`number` must be above 0"},
    {"a pump that a number switches", "state: {parameter: pump}", "state: {parameter: flow}", 27,
     "'flow' won't do here: expected a state, as pump"},
    {"an energy meter that counts something else", "running: on}",
     "running: on, energy meter: {parameter: discharge-meter}}", 27,
     "'discharge-meter' counts m3, which is no kWh"},
    {"a meter of hours that counts something else", "running: on}",
     "running: on, hours meter: {parameter: energy-meter}}", 27,
     "'energy-meter' counts kWh, which is no h"},
    {"a word that is none of the pump's", "running: on", "running: open", 27,
     "'open' is no word of 'pump'"},
    {"a state without its word", ", running: on", "", 27, "the pump lacks `running`"},
    {"power in horses", "1.5 kW", "2 hp", 27, "can't be `rated power`"},
    {"stops that nothing tells of",
     "    pump: {rated power: 1.5 kW, state: {parameter: pump}, "
     "running: on}\n",
     "", 28, "nothing says when the pump is off"},
    {"a probe of which nobody says", "      reads in still water: yes\n", "", 29,
     "lacks `reads in still water`"},
    {"a position of nowhere", "position: deep}", "position: dep}", 29, "did you mean 'deep'?"},
    {"two tanks at a station", "derived:", "  - {station: out, volume: 1 m3}\nderived:", 37,
     "a second tank for 'out'"},
    {"a reading made from itself", "{parameter: conductivity}", "{parameter: salinity}", 42,
     "the derived reading 'salt' would be made from itself"},
    {"a state that is worked out", "parameter: salinity", "parameter: pump", 40,
     "expected a parameter whose readings are numbers"},
    {"readings of any time", "    within: 10 minutes\n", "", 38, "lacks `within`"},
    {"a length without its unit", "10 minutes", "10", 43, "can't be `within`"},
    {"a setting of nowhere", "depth: 0", "dept: 0", 44, "did you mean 'depth'?"},
    {"an alpha of nothing", "depth: 0", "depth: 0, alpha: 0", 44, "`alpha` must be above 0"},
    {"an equation of nowhere", "practical salinity", "practical salty", 41,
     "there is no equation 'practical salty'"},
    {"a setting of another equation", "depth: 0", "depth: 0, alpha: 0.0191", 44,
     "does not use `alpha`"},
    {"an equation without its setting", "    settings: {depth: 0}\n", "", 38,
     "lacks the setting `depth`"},
    {"a reading that lacks", ", {parameter: temperature, station: intake}", "", 42,
     "lacks 'temperature'"},
    {"a reading with no part in it", "{parameter: conductivity}",
     "{parameter: conductivity}, {parameter: ph}", 42, "what 'ph' is in the equation"},
    {"a result in another unit", "parameter: salinity", "parameter: oxygen", 40,
     "gives PSU, and 'oxygen' is in mg/L"},
    {"readings days apart", "10 minutes", "2 days", 43, "can't be `within`"},
    {"one made of what stands below it", "    settings: {depth: 0}\n",
     "    settings: {depth: 0}\n"
     "  - key: cond\n"
     "    station: out\n"
     "    parameter: conductivity\n"
     "    equation: difference\n"
     "    from: [{as: after, parameter: conductivity, station: intake}, "
     "{as: before, parameter: conductivity, station: intake}]\n"
     "    within: 10 minutes\n",
     38, "is made from what 'cond' makes, which stands below it"},
};

static void what_is_wrong_is_told_at_its_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(spoilt); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct spoilt *row = &spoilt[i];
        const char *text = section_given(mem, works, row->find, row->put);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;
        bool is_told = false;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
            fail_msg("%s: taken", row->reason);
        for (size_t k = 0; k < problems.count; k++)
            is_told = is_told || (problems.items[k].line == row->line + LINES_BEFORE &&
                                  strstr(problems.items[k].words, row->words));
        if (!is_told)
            fail_msg("%s: not told in line %d, but line %d: %s", row->reason,
                     row->line + LINES_BEFORE, problems.items[0].line, problems.items[0].words);
    }
}

static void a_fall_of_salinity_is_the_farms_own(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = replaced(mem, "name: In, kind: intake",
                                "name: In, kind: intake, salinity falls: {more than: 3, "
                                "within: 6 hours}");
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_true(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err));
    assert_string_equal(decimal_text(mem, farm->stations.items[0].salinity_fall), "3");
    assert_int_equal(farm->stations.items[0].salinity_fall_within_s, 6 * 3600);
    assert_int_equal(farm->stations.items[1].salinity_fall_within_s, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_laboratory_has_its_names_and_accreditations),
        cmocka_unit_test(a_tide_table_goes_by_its_own_clock),
        cmocka_unit_test(a_tide_table_may_go_by_the_farms_clocks),
        cmocka_unit_test(a_tank_has_its_water_animals_and_pump),
        cmocka_unit_test(a_derived_reading_names_what_it_is_made_of),
        cmocka_unit_test(what_is_wrong_is_told_at_its_place),
        cmocka_unit_test(a_fall_of_salinity_is_the_farms_own),
    };

    return cmocka_run_group_tests_name("farmfile/works", tests, load_units, free_units);
}
