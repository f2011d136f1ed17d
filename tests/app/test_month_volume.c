/*
 * The volume on the first page of the report, by a meter. The farm and its readings are invented;
 * what ran through is the difference of two readings.
 */
#include <string.h>

#include "app/month.h"
#include "app/report_parts.h"

static struct discharge_month discharge_told(struct test_farm *farm)
{
    struct judged_month month = month_kept(farm, "2026-05-01", NULL);
    struct discharge_month report = {.volume_m3 = NULL};

    report.licence = &farm->open.farm->licences.items[0];
    report_discharge(farm->mem, &farm->open, &month, &report);

    return report;
}

/* Read at 8 each morning but on the 12th: from 1000 to 22700 are 21700 m3 whatever lies between. */
static void a_meter_not_read_for_a_day_takes_nothing_out_of_the_volume_of_the_month(void **state)
{
    struct test_farm *farm = *state;
    struct act act = test_act("pat", "2026-07-10 12:01");
    struct farm_changes changes = {0};
    struct buf rows = buf_new(farm->mem);
    char *text = test_swap(farm->mem, farm->text, "parameter: outlet}\n",
                           "parameter: outlet}\n"
                           "        meter: {station: outlet, parameter: discharge-meter}\n");

    text = test_swap(farm->mem, text, "# Every limit is",
                     "  - key: meter\n"
                     "    name: Meter\n"
                     "    shape: long\n"
                     "    separator: comma\n"
                     "    decimal mark: point\n"
                     "    clock: local\n"
                     "    time: {columns: Time, format: \"YYYY-MM-DD hh:mm\"}\n"
                     "    station: outlet\n"
                     "    parameter: discharge-meter\n"
                     "    value column: Meter\n"
                     "    unit: m3\n"
                     "    kind: by hand\n"
                     "# Every limit is");
    test_farm_load(farm, text, &act, &changes);
    buf_addf(&rows, "Time,Meter\n");
    for (int day = 0; day <= 31; day++)
        if (day != 11)
            buf_addf(&rows, "2026-%02d-%02d 08:00,%d\n", day < 31 ? 5 : 6, day % 31 + 1,
                     1000 + 700 * day);
    test_take(farm, "meter", "meter.csv", rows.data);

    struct discharge_month told = discharge_told(farm);

    assert_non_null(told.volume_m3);
    assert_string_equal(exact_text(farm->mem, told.volume_m3, 12), "21700");
    assert_non_null(strstr(told.volume_note, "2 days known together only"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_meter_not_read_for_a_day_takes_nothing_out_of_the_volume_of_the_month),
    };

    return cmocka_run_group_tests_name("app/month_volume", tests, test_farms_setup,
                                       test_farms_teardown);
}
