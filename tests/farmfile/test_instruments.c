/* Instruments of a farm file, and files of visits to them. Everything is invented. */

#include "farmfile/visit_file.h"
#include "section_given.h"

static const char instruments_of[] = "instruments:\n"                                      /* 1 */
                                     "  - key: o2\n"                                       /* 2 */
                                     "    name: Oxygen probe\n"                            /* 3 */
                                     "    kind: fixed probe\n"                             /* 4 */
                                     "    serial number: PX-1\n"                           /* 5 */
                                     "    named: logger 1\n"                               /* 6 */
                                     "    station: out\n"                                  /* 7 */
                                     "    position: deep\n"                                /* 8 */
                                     "    from: 2026-01-01\n"                              /* 9 */
                                     "    until: 2026-05-31\n"                             /* 10 */
                                     "    replaced by: o2-b\n"                             /* 11 */
                                     "    checks:\n"                                       /* 12 */
                                     "      - parameter: oxygen\n"                         /* 13 */
                                     "        check every: 30 days\n"                      /* 14 */
                                     "        as published for: dissolved oxygen\n"        /* 15 */
                                     "        copied from: plan, page 4\n"                 /* 16 */
                                     "        correct figures: yes\n"                      /* 17 */
                                     "      - parameter: temperature\n"                    /* 18 */
                                     "        unit: degF\n"                                /* 19 */
                                     "        correct beyond: {amount: 0.4, percent: 2}\n" /* 20 */
                                     "        not used beyond: {amount: 4}\n"              /* 21 */
                                     "        copied from: plan, page 5\n"                 /* 22 */
                                     "        correct figures: no\n"                       /* 23 */
                                     "  - key: o2-b\n"                                     /* 24 */
                                     "    name: Its successor\n"                           /* 25 */
                                     "    kind: fixed probe\n"                             /* 26 */
                                     "    serial number: PX-2\n"                           /* 27 */
                                     "    named: logger 1\n"                               /* 28 */
                                     "    station: out\n"                                  /* 29 */
                                     "    position: deep\n"                                /* 30 */
                                     "    from: 2026-06-01\n"                              /* 31 */
                                     "    checks: []\n"                                    /* 32 */
                                     "  - key: meter\n"                                    /* 33 */
                                     "    name: Field meter\n"                             /* 34 */
                                     "    kind: field meter\n"                             /* 35 */
                                     "    serial number: FM-2\n"                           /* 36 */
                                     "    used by: [ida]\n"                                /* 37 */
                                     "    from: 2026-01-01\n"                              /* 38 */
                                     "    checks:\n"                                       /* 39 */
                                     "      - parameter: turbidity-ntu\n"                  /* 40 */
                                     "        as published for: turbidity\n"               /* 41 */
                                     "        copied from: plan, page 6\n"                 /* 42 */
                                     "        correct figures: no\n"                       /* 43 */
    ;

enum { LINES_BEFORE = 73 }; /* of `sound`, after which they stand */

static void criteria_are_those_of_the_publication_or_the_farms_own(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = section_farm(mem, instruments_of);
    const struct farm_instrument *probe = farm_find_instrument(farm, "o2");
    const struct farm_instrument_check *oxygen = farm_instrument_check_of(probe, "oxygen");
    const struct farm_instrument_check *own = farm_instrument_check_of(probe, "temperature");
    const struct farm_instrument *meter = farm_find_instrument(farm, "meter");

    (void)state;
    assert_true(oxygen->as_published);
    assert_int_equal(oxygen->check_every_s, 30 * 86400);
    assert_float_equal(oxygen->criteria.correct.amount, 0.3, 1e-12);
    assert_float_equal(oxygen->criteria.most.percent, 20, 1e-12);
    assert_true(oxygen->correct_figures);
    assert_false(own->as_published);
    assert_string_equal(own->criteria.unit, "degF");
    assert_float_equal(own->criteria.correct.percent, 2, 1e-12);
    assert_float_equal(own->criteria.most.amount, 4, 1e-12);
    assert_int_equal(own->check_every_s, 0);
    assert_string_equal(meter->named, "meter"); /* its key where nothing is told */
    /* Turbidity's numbers go with whatever the meter measures in. */
    assert_string_equal(meter->checks[0].criteria.unit, "NTU");
    assert_null(farm_instrument_check_of(meter, "oxygen"));
}

static const struct {
    const char *reason;
    const char *station;
    const char *position;
    const char *parameter;
    const char *made_by;
    const char *kind;
    const char *day;
    const char *key; /* NULL: none */
} reads[] = {
    {"by its name", "out", "deep", "oxygen", "logger 1", "probe", "2026-03-01", "o2"},
    {"of another name", "out", "deep", "oxygen", "logger 2", "probe", "2026-03-01", NULL},
    {"at another position", "out", "", "oxygen", "logger 1", "probe", "2026-03-01", NULL},
    {"what is not checked of it", "out", "deep", "ph", "logger 1", "probe", "2026-03-01", NULL},
    {"a bottle", "out", "deep", "oxygen", "logger 1", "grab", "2026-03-01", NULL},
    {"before it was in use", "out", "deep", "oxygen", "logger 1", "probe", "2025-12-31", NULL},
    {"no name, and the only probe there", "out", "deep", "oxygen", "", "probe", "2026-03-01", "o2"},
    {"no name, and none there", "intake", "", "oxygen", "", "probe", "2026-03-01", NULL},
    {"a meter goes about", "intake", "", "turbidity-ntu", "meter", "by hand", "2026-03-01",
     "meter"},
    {"a meter has to be named", "intake", "", "turbidity-ntu", "", "by hand", "2026-03-01", NULL},
};

static void a_series_names_the_instrument_that_read_it(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = section_farm(mem, instruments_of);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(reads); i++) {
        struct err err = ERR_INIT;
        day_number day = DAY_NONE;
        const struct farm_instrument *found;

        assert_true(day_parse(reads[i].day, &day, &err));
        found = farm_instrument_of(farm, reads[i].station, reads[i].position, reads[i].parameter,
                                   reads[i].made_by, reads[i].kind,
                                   zone_day_start(farm->zone, day) + HOUR_US);
        if (!str_equal(found ? found->key : NULL, reads[i].key))
            fail_msg("%s: %s", reads[i].reason, found ? found->key : "none");
    }
}

static const struct spoilt {
    const char *reason;
    const char *find;
    const char *put;
    int line;
    const char *words;
} spoilt[] = {
    {"a probe that sits nowhere", "    station: out\n    position: deep\n    from: 2026-01-01",
     "    from: 2026-01-01", 2, "the fixed probe 'o2' lacks `station`"},
    {"a position of nowhere", "position: deep", "position: dep", 8, "did you mean 'deep'?"},
    {"no first day", "    from: 2026-01-01\n    until", "    until", 2, "lacks `from`"},
    {"no document", "        copied from: plan, page 4\n", "", 13, "lacks `copied from`"},
    {"no criteria", "        as published for: dissolved oxygen\n", "", 13, "no criteria"},
    {"two kinds of criteria", "        unit: degF\n",
     "        as published for: water temperature\n        unit: degF\n", 18,
     "both `as published for` and criteria of the farm's own"},
    {"criteria of something else", "as published for: dissolved oxygen", "as published for: pH", 15,
     "the published criteria of pH are in pH"},
    {"criteria of nothing", "as published for: dissolved oxygen", "as published for: oxigen", 15,
     "can't be `as published for`"},
    {"half of its own criteria", "        not used beyond: {amount: 4}\n", "", 18, "no criteria"},
    {"a criterion without a number", "{amount: 4}", "{}", 21, "neither `amount` nor `percent`"},
    {"checked twice", "parameter: temperature\n        unit: degF", "parameter: oxygen", 18,
     "'oxygen' is checked twice"},
    {"a meter that runs up", "parameter: oxygen", "parameter: discharge-meter", 13,
     "expected a parameter whose readings are numbers"},
    {"one name for two at once", "from: 2026-06-01", "from: 2026-05-01", 24,
     "readings by 'logger 1' would be of 'o2' and of 'o2-b'"},
    {"a name that is another's serial number", "named: logger 1", "named: FM-2", 33,
     "readings by 'FM-2' would be of 'o2' and of 'meter'"},
    {"one serial number for two", "serial number: PX-2", "serial number: PX-1", 27,
     "'o2' has the same serial number"},
    {"replaced by nothing", "replaced by: o2-b", "replaced by: o2-c", 11, "did you mean 'o2-b'?"},
    {"used by nobody known", "used by: [ida]", "used by: [ada]", 37, "did you mean 'ida'?"},
    {"an end before the beginning", "until: 2026-05-31", "until: 2025-05-31", 2,
     "lies before the first"},
};

static void each_mistake_is_named_with_its_place(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(spoilt); i++) {
        const char *text = section_given(mem, instruments_of, spoilt[i].find, spoilt[i].put);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;
        bool found = false;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
            fail_msg("%s: it was accepted", spoilt[i].reason);
        for (size_t k = 0; k < problems.count; k++)
            found = found || (problems.items[k].line == spoilt[i].line + LINES_BEFORE &&
                              strstr(problems.items[k].words, spoilt[i].words));
        if (!found)
            fail_msg("%s: line %d: %s", spoilt[i].reason, problems.items[0].line - LINES_BEFORE,
                     problems.items[0].words);
    }
}

/* --- visits ---------------------------------------------------------------------------------- */

static const char visit_of[] =
    "instrument: o2\n"                                                   /* 1 */
    "at: 2026-05-20 09:10\n"                                             /* 2 */
    "note: calm\n"                                                       /* 3 */
    "readings:\n"                                                        /* 4 */
    "  - parameter: oxygen\n"                                            /* 5 */
    "    unit: ug/L\n"                                                   /* 6 */
    "    before cleaning: 8100\n"                                        /* 7 */
    "    after cleaning: 7700\n"                                         /* 8 */
    "    meter: meter\n"                                                 /* 9 */
    "    meter before: 8000\n"                                           /* 10 */
    "    meter after: 8020\n"                                            /* 11 */
    "    standards:\n"                                                   /* 12 */
    "      - {standard: 10000, read: 9800, lot: A-1, temperature: 20}\n" /* 13 */
    ;

static void a_visit_is_read_with_all_that_was_written_down(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = section_farm(mem, instruments_of);
    struct farmfile_problems problems = {0};
    struct visit_order order;
    struct err err = ERR_INIT;

    (void)state;
    assert_true(
        visit_file_read(mem, visit_of, strlen(visit_of), farm, units, &order, &problems, &err));
    assert_string_equal(order.instrument, "o2");
    assert_string_equal(instant_text(mem, order.at), "2026-05-19T21:10:00Z");
    assert_int_equal(order.count, 1);
    assert_string_equal(order.items[0].unit, "ug/L");
    assert_true(order.items[0].readings.in_water);
    assert_true(order.items[0].readings.beside_meter);
    assert_int_equal(order.items[0].readings.standard_count, 1);
    assert_string_equal(order.items[0].standards[0].lot, "A-1");
    assert_true(order.items[0].standards[0].has_temperature);
    assert_int_equal(order.items[0].standards[0].expires, DAY_NONE);
    assert_false(order.items[0].standards[0].read.has_after);
}

static char *spoil(struct arena *mem, const char *find, const char *put)
{
    const char *at = strstr(visit_of, find);

    if (!at)
        fail_msg("'%s' is not in the visit", find);

    return arena_printf(mem, "%.*s%s%s", (int)(at - visit_of), visit_of, put, at + strlen(find));
}

static const struct spoilt visits[] = {
    {"an instrument of nowhere", "instrument: o2", "instrument: o3", 1, "did you mean 'o2'?"},
    {"no time", "at: 2026-05-20 09:10\n", "", 1, "lacks `at`"},
    {"an hour that there is none", "09:10", "29:10", 2, "can't be `at`"},
    {"a unit of something else", "unit: ug/L", "unit: degC", 6, "degC"},
    {"half of a pair", "    after cleaning: 7700\n", "", 5,
     "`before cleaning` and `after cleaning` go together"},
    {"a meter that read nothing", "    meter before: 8000\n    meter after: 8020\n", "", 5,
     "`meter` and what it read"},
    {"no value", "standard: 10000, ", "", 13, "lacks `standard`"},
    {"a misspelt key", "lot: A-1", "lott: A-1", 13, "did you mean 'lot'?"},
};

static void a_mistake_in_a_visit_is_named_with_its_place(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = section_farm(mem, instruments_of);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(visits); i++) {
        const char *text = spoil(mem, visits[i].find, visits[i].put);
        struct farmfile_problems problems = {0};
        struct visit_order order;
        struct err err = ERR_INIT;
        bool found = false;

        if (visit_file_read(mem, text, strlen(text), farm, units, &order, &problems, &err))
            fail_msg("%s: it was accepted", visits[i].reason);
        for (size_t k = 0; k < problems.count; k++)
            found = found || (problems.items[k].line == visits[i].line &&
                              strstr(problems.items[k].words, visits[i].words));
        if (!found)
            fail_msg("%s: %s", visits[i].reason,
                     problems.count ? problems.items[0].words : err.text);
    }
}

static void one_line_is_a_visit_too(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = section_farm(mem, instruments_of);
    struct visit_typed typed = {.instrument = "o2",
                                .parameter = "oxygen",
                                .standard = "10.0",
                                .read = "9.8",
                                .expires = "2026-12-31"};
    struct visit_order order;
    struct err err = ERR_INIT;

    (void)state;
    assert_true(visit_typed_read(mem, farm, units, &typed, &order, &err));
    assert_string_equal(order.items[0].unit, "mg/L");
    assert_int_equal(order.items[0].readings.standards[0].found.coefficient, 98);
    typed.read = "9,8";
    assert_false(visit_typed_read(mem, farm, units, &typed, &order, &err));
    assert_string_equal(err.text, "'9,8' is not a number");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(criteria_are_those_of_the_publication_or_the_farms_own),
        cmocka_unit_test(a_series_names_the_instrument_that_read_it),
        cmocka_unit_test(each_mistake_is_named_with_its_place),
        cmocka_unit_test(a_visit_is_read_with_all_that_was_written_down),
        cmocka_unit_test(a_mistake_in_a_visit_is_named_with_its_place),
        cmocka_unit_test(one_line_is_a_visit_too),
    };

    return cmocka_run_group_tests_name("farmfile/instruments", tests, load_units, free_units);
}
