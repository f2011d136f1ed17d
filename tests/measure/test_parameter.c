#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/str.h"
#include "measure/parameter.h"
#include "measure/unit.h"

static struct parameter own_items[] = {
    {"silicate",
     "Silicate",
     PARAMETER_NUMBER,
     "water",
     "as SiO2",
     "mg/L",
     {"mg/L"},
     {0},
     true,
     NULL},
    {"ph", "pH of the header tank", PARAMETER_NUMBER, "water", "", "pH", {"pH"}, {0}, false, NULL},
};
static const struct parameter_list own = {.items = own_items, .count = ARRAY_LEN(own_items)};

static void every_built_in_parameter_is_whole(void **state)
{
    struct units *units = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_true(units_load(&units, &err));
    for (size_t i = 0; parameter_built_in(i); i++) {
        const struct parameter *it = parameter_built_in(i);
        bool is_state = it->kind == PARAMETER_STATE;

        assert_ptr_equal(parameter_find(NULL, it->key), it);
        assert_true(*it->name && it->basis);
        assert_true(strcmp(it->matrix, "water") == 0 || strcmp(it->matrix, "flesh") == 0);
        assert_true(is_state == (it->unit == NULL));
        assert_true(is_state == (it->states[0] != NULL));
        assert_null(it->units[PARAMETER_UNITS_MOST - 1]);
        if (!is_state && !parameter_allows_unit(it, it->unit))
            fail_msg("%s does not allow its own unit", it->key);
        for (size_t j = 0; it->units[j]; j++) {
            const struct unit *unit = unit_named(units, it->units[j]);

            if (!unit || !unit_convertible(unit, unit_named(units, it->unit)))
                fail_msg("%s can't be in %s", it->key, it->units[j]);
        }
    }
    units_free(&units);
}

static void the_farm_s_own_come_first(void **state)
{
    (void)state;
    assert_ptr_equal(parameter_find(&own, "silicate"), &own_items[0]);
    assert_ptr_equal(parameter_find(&own, "ph"), &own_items[1]);
    assert_string_equal(parameter_find(NULL, "ph")->name, "pH");
    assert_null(parameter_find(NULL, "silicate"));
    assert_null(parameter_find(&own, "pH"));
}

static void a_slip_gets_the_nearest_key(void **state)
{
    static const struct {
        const char *key, *hint;
    } rows[] = {
        {"amonia", "Did you mean 'ammonia'? weirbook words parameters lists those built in."},
        {"silicat", "Did you mean 'silicate'? weirbook words parameters lists those built in."},
        {"suspended solids",
         "Did you mean 'suspended-solids'? weirbook words parameters lists those built in."},
        {"radioactivity of milk",
         "weirbook words parameters lists those built in. One of your own goes "
         "under `parameters:` in the farm file."},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct parameter *untouched = NULL;
        struct err err = ERR_INIT;

        assert_false(parameter_require(&own, rows[i].key, &untouched, &err));
        assert_int_equal(err.code, ERR_NOT_FOUND);
        assert_string_equal(err.hint, rows[i].hint);
        assert_null(untouched);
    }
}

static void a_word_for_a_parameter_finds_the_keys_it_may_mean(void **state)
{
    static const struct {
        const char *word, *near;
    } rows[] = {
        {"E. coli", "'ecoli-cfu', 'ecoli-mpn' or 'ecoli-flesh-mpn'"},
        {"meter", "'discharge-meter' or 'energy-meter'"},
        {"Nitrate", "'nitrate'"},
        {"Nitrate (as N)", "'nitrate'"},
        {"TSS", "'suspended-solids'"},
        {"Dissolved oxygen", "'oxygen'"},
        {"BOD", "'bod5'"},
        {"Silicates", "'silicate'"},
        {"a", NULL},
        {"", NULL},
        {"radioactivity of milk", NULL},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *near = parameter_near(mem, &own, rows[i].word);

        if (!str_equal(near, rows[i].near))
            fail_msg("%s: %s", rows[i].word, near ? near : "none");
    }
}

static void only_what_can_t_be_negative_is_marked_so(void **state)
{
    static const struct {
        const char *key;
        bool never_negative;
        const char *why;
    } rows[] = {
        {"suspended-solids", true, "a concentration"},
        {"ecoli-mpn", true, "a count"},
        {"flow", true, "an amount of water"},
        {"salinity", true, "an amount of salt"},
        {"temperature", false, "it freezes"},
        {"level", false, "below the mark"},
        {"ph", false, "a logarithm"},
        {"discharge-meter", false, "its differences count"},
        {"outlet", false, "a state has no sign"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (parameter_find(NULL, rows[i].key)->never_negative != rows[i].never_negative)
            fail_msg("%s: %s", rows[i].key, rows[i].why);
}

static void a_ph_of_18_and_a_conductivity_in_the_wrong_unit_can_t_be(void **state)
{
    static const struct {
        const char *key;
        double value;
        const char *why; /* NULL: it can be */
    } rows[] = {
        {"ph", 17.9, "pH can't be above 15"},
        {"ph", 14.2, NULL},
        {"ph", -1.0, NULL},
        {"ph", -9.99, "pH can't be below -4"},
        {"conductivity", 41200, "Conductivity can't be above 2000 mS/cm"},
        {"conductivity", 213, NULL}, /* a brine */
        {"salinity", -0.1, "Salinity can't be negative"},
        {"salinity", 340, NULL}, /* a salt lake */
        {"salinity", 500, "Salinity can't be above 450 PSU"},
        {"temperature", -999, "Temperature can't be below -90 degC"},
        {"temperature", 999, "Temperature can't be above 374 degC"},
        {"temperature-rise", -999, "Temperature rise can't be below -464 degC rise"},
        {"oxygen", 9999, "Dissolved oxygen can't be above 200 mg/L"},
        {"oxygen", 69.5, NULL}, /* under pure oxygen at 0 degC, from memory */
        {"air-pressure", 1013, "Air pressure can't be above 120 kPa"}, /* hPa taken for kPa */
        {"air-pressure", 101.3, NULL},
        {"settleable-solids", 1001, "Settleable solids can't be above 1000 mL/L"},
        {"rain", 9999, "Rain can't be above 9500 mm"},
        {"rain", 1825, NULL}, /* the wettest day on record, from memory */
        {"temperature", -1.9, NULL},
        {"oxygen-saturation", 260, NULL},
        {"suspended-solids", 1e6, NULL},
        {"level", -999, NULL}, /* below the mark */
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *why =
            parameter_impossible(mem, parameter_find(NULL, rows[i].key), rows[i].value);

        if (!str_equal(why, rows[i].why))
            fail_msg("%s %g: %s", rows[i].key, rows[i].value, why ? why : "can be");
    }
}

static void a_parameter_of_the_farm_s_own_has_the_range_it_states(void **state)
{
    static const struct parameter_range range = {-5.0, 500.0};
    const struct parameter charge = {.key = "charge",
                                     .name = "Charge",
                                     .kind = PARAMETER_NUMBER,
                                     .unit = "mV",
                                     .units = {"mV"},
                                     .possible = &range};
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_null(parameter_impossible(mem, &charge, -5.0));
    assert_null(parameter_impossible(mem, &charge, 500.0));
    assert_string_equal(parameter_impossible(mem, &charge, -5.01), "Charge can't be below -5 mV");
    assert_string_equal(parameter_impossible(mem, &charge, 500.1), "Charge can't be above 500 mV");
}

static void states_are_found_in_either_case(void **state)
{
    const struct parameter *outlet = parameter_find(NULL, "outlet");

    (void)state;
    assert_string_equal(parameter_state(outlet, "OPEN"), "open");
    assert_string_equal(parameter_state(outlet, "shut"), "shut");
    assert_null(parameter_state(outlet, "ajar"));
    assert_null(parameter_state(parameter_find(NULL, "ph"), "open"));
}

static void titles_carry_the_basis(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_string_equal(parameter_title(mem, parameter_find(NULL, "ammonia")),
                        "Total ammonia (as N)");
    assert_string_equal(parameter_title(mem, parameter_find(NULL, "ph")), "pH");
    assert_string_equal(parameter_units_text(mem, parameter_find(NULL, "temperature")),
                        "degC, degF, K, degC/10");
    assert_string_equal(parameter_units_text(mem, parameter_find(NULL, "outlet")), "");
}

static void kinds_have_names(void **state)
{
    enum parameter_kind kind = PARAMETER_NUMBER;

    (void)state;
    assert_true(parameter_kind_parse("counter", &kind));
    assert_int_equal(kind, PARAMETER_COUNTER);
    assert_string_equal(parameter_kind_name(PARAMETER_STATE), "state");
    assert_false(parameter_kind_parse("Counter", &kind));
    assert_int_equal(kind, PARAMETER_COUNTER);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_built_in_parameter_is_whole),
        cmocka_unit_test(the_farm_s_own_come_first),
        cmocka_unit_test(a_slip_gets_the_nearest_key),
        cmocka_unit_test(a_word_for_a_parameter_finds_the_keys_it_may_mean),
        cmocka_unit_test(only_what_can_t_be_negative_is_marked_so),
        cmocka_unit_test(a_ph_of_18_and_a_conductivity_in_the_wrong_unit_can_t_be),
        cmocka_unit_test(a_parameter_of_the_farm_s_own_has_the_range_it_states),
        cmocka_unit_test(states_are_found_in_either_case),
        cmocka_unit_test(titles_carry_the_basis),
        cmocka_unit_test(kinds_have_names),
    };

    return cmocka_run_group_tests_name("measure/parameter", tests, NULL, NULL);
}
