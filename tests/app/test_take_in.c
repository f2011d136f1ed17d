/*
 * Taking in files, on a real database: what is stored, what is set aside, and that nothing of a
 * file that fails is kept.
 */
#include <string.h>

#include "harness/farm.h"

#define WIDE "Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n"
#define LAB "Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ\n"

static void a_wide_file_is_stored_cell_by_cell(void **state)
{
    struct test_farm *farm = *state;
    struct take_in_result result = test_take(farm, "logger", "may.csv",
                                             WIDE "2026-05-01 00:00,12.50,8.1,ok,7.9\n"
                                                  "2026-05-01 00:10,,8.0,odd,\n"
                                                  "2026-05-01 00:20,12.7,7.9,bad,x\n");

    assert_true(result.straight);
    assert_false(result.already);
    assert_int_equal(result.rows, 3);
    assert_int_equal(result.receipt.values_in, 9);
    assert_int_equal(result.receipt.stored, 5);
    assert_int_equal(result.receipt.blank, 2);
    assert_int_equal(result.receipt.set_aside, 2);
    assert_string_equal(
        test_query(farm, "select concat_ws(' ', s.station, s.parameter, us(r.at) / 1000000, "
                         "r.qualifier, r.reported, r.unit, r.line, r.col, r.flags) "
                         "from reading r join series s using (farm_id, series_id) "
                         "where farm_id = $1 order by r.line, r.col"),
        "outlet temperature 1777593600 = 12.50 degC 2 2 0\n"
        "outlet oxygen 1777593600 = 8.1 mg/L 2 3 0\n"
        "tank oxygen 1777593600 = 7.9 mg/L 2 5 0\n"
        "outlet oxygen 1777594200 = 8.0 mg/L 3 3 1\n"
        "outlet temperature 1777594800 = 12.7 degC 4 2 0");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        FARM_TEST(a_wide_file_is_stored_cell_by_cell),
    };

    return cmocka_run_group_tests_name("app/take_in", tests, test_farms_setup, test_farms_teardown);
}
