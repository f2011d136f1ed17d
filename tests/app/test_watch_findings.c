/*
 * Falls of an intake's salinity as findings, on a real database: read, and worked out from
 * conductivity. The farm and every number are invented.
 */
#include <string.h>

#include "app/month.h"

#define INTAKE                                                                                     \
    "  - key: intake\n"                                                                            \
    "    name: Intake\n"                                                                           \
    "    kind: intake\n"                                                                           \
    "    salinity falls: {more than: 3, within: 6 hours}\n"                                        \
    "  - {key: outlet, name: Outlet"

#define SALINITY_LOGGER                                                                            \
    "sources:\n"                                                                                   \
    "  - key: salt-log\n"                                                                          \
    "    name: Intake logger\n"                                                                    \
    "    shape: wide\n"                                                                            \
    "    separator: comma\n"                                                                       \
    "    decimal mark: point\n"                                                                    \
    "    clock: UTC\n"                                                                             \
    "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"                                    \
    "    station: intake\n"                                                                        \
    "    columns:\n"                                                                               \
    "      - {header: Salinity (PSU), parameter: salinity}\n"                                      \
    "      - {header: Conductivity (mS/cm), parameter: conductivity}\n"                            \
    "      - {header: Temp (degC), parameter: temperature}\n"                                      \
    "    kind: probe\n"                                                                            \
    "    instrument: logger 9\n"

#define DERIVED                                                                                    \
    "derived:\n"                                                                                   \
    "  - key: salt\n"                                                                              \
    "    station: intake\n"                                                                        \
    "    parameter: salinity\n"                                                                    \
    "    equation: practical salinity\n"                                                           \
    "    from: [{parameter: conductivity}, {parameter: temperature}]\n"                            \
    "    within: 10 minutes\n"                                                                     \
    "    settings: {depth: 0}\n"                                                                   \
    "\n"

#define HEAD "Time,Salinity (PSU),Conductivity (mS/cm),Temp (degC)\n"

static void farm_with_intake(struct test_farm *farm, bool derives)
{
    struct farm_changes changes = {0};
    const char *text = test_swap(farm->mem, farm->text, "  - {key: outlet, name: Outlet", INTAKE);

    text = test_swap(farm->mem, text, "sources:\n",
                     derives ? DERIVED SALINITY_LOGGER : SALINITY_LOGGER);
    test_farm_load(farm, text, &farm->act, &changes);
}

/* The days of its findings, "" for none. */
static const char *falls_found(struct test_farm *farm)
{
    month_kept(farm, "2026-06-01", NULL);

    return test_query(farm, "select coalesce(string_agg(from_day::text, ', ' order by from_day), "
                            "'') from finding where farm_id = $1 and kind = 'salinity fall'");
}

/*
 * UNESCO 44 (1983): at 15 degC 42.9 mS/cm is a salinity of 35, and 37 mS/cm one of 29.7. Nobody
 * reads salinity itself.
 */
static void a_fall_of_salinity_worked_out_from_conductivity_is_found(void **state)
{
    struct test_farm *farm = *state;

    farm_with_intake(farm, true);
    test_take(farm, "salt-log", "salt.csv",
              HEAD "2026-06-10 06:00,,42.9,15\n"
                   "2026-06-10 08:00,,41.0,15\n"
                   "2026-06-10 10:00,,37.0,15\n");
    assert_string_equal(falls_found(farm), "2026-06-10");
}

/*
 * From 20:00 to 23:00 it falls by 8, and from 01:00 to 03:00 by another 4: two days of one run, not
 * a run, a day without, and a run.
 */
static void a_smaller_fall_after_midnight_does_not_end_the_run(void **state)
{
    struct test_farm *farm = *state;

    farm_with_intake(farm, false);
    test_take(farm, "salt-log", "salt.csv",
              HEAD "2026-06-10 20:00,35.0,,\n"
                   "2026-06-10 22:00,27.0,,\n"
                   "2026-06-11 01:00,29.0,,\n"
                   "2026-06-11 03:00,25.0,,\n"
                   "2026-06-12 01:00,30.0,,\n"
                   "2026-06-12 03:00,26.0,,\n");
    assert_string_equal(falls_found(farm), "2026-06-10");
}

static void a_slower_fall_is_none(void **state)
{
    struct test_farm *farm = *state;

    farm_with_intake(farm, false);
    test_take(farm, "salt-log", "salt.csv",
              HEAD "2026-06-10 06:00,35.0,,\n"
                   "2026-06-10 12:00,32.0,,\n"
                   "2026-06-10 18:00,29.0,,\n");
    assert_string_equal(falls_found(farm), "");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_fall_of_salinity_worked_out_from_conductivity_is_found),
        FARM_TEST(a_smaller_fall_after_midnight_does_not_end_the_run),
        FARM_TEST(a_slower_fall_is_none),
    };

    return cmocka_run_group_tests_name("app/watch_findings", tests, test_farms_setup,
                                       test_farms_teardown);
}
