#include <string.h>

#include "harness/near.h"
#include "measure/valid_range.h"

static void both_ends_belong_to_the_range(void **state)
{
    static const struct {
        double value;
        const char *text; /* NULL: inside */
    } rows[] = {
        {-2, NULL},
        {35, NULL},
        {35 + 1e-9, NULL}, /* what rounding may do to a figure at the end */
        {-2.001, "the temperature is -2.001 degC, and the scale holds from -2 to 35 degC"},
        {35.001, "the temperature is 35.001 degC, and the scale holds from -2 to 35 degC"},
        {NAN, "the temperature is not a number"},
        {INFINITY, "the temperature is not a number"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct valid_range range = {"temperature", "degC", rows[i].value, -2, 35};
        struct err err = ERR_INIT;
        bool holds = valid_range_hold("the scale", &range, 1, &err);

        if (!rows[i].text) {
            assert_done(holds, &err);
            continue;
        }
        assert_fails(holds, ERR_INVALID, &err);
        assert_string_equal(err.text, rows[i].text);
    }
}

static void a_range_may_have_no_upper_end_and_no_unit(void **state)
{
    const struct valid_range high = {"ratio", "", 1e300, 0, INFINITY};
    const struct valid_range low = {"ratio", "", -1, 0, INFINITY};
    struct err err = ERR_INIT;

    (void)state;
    assert_done(valid_range_hold("the scale", &high, 1, &err), &err);
    assert_fails(valid_range_hold("the scale", &low, 1, &err), ERR_INVALID, &err);
    assert_string_equal(err.text, "the ratio is -1, and the scale holds from 0 upwards");
}

static void the_first_input_outside_is_the_one_that_is_told(void **state)
{
    const struct valid_range ranges[] = {
        {"temperature", "degC", 20, 0, 40},
        {"salinity", "", 50, 0, 42},
        {"pressure", "dbar", -1, 0, 10},
    };
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(valid_range_hold("the scale", ranges, ARRAY_LEN(ranges), &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "the salinity is 50"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_ends_belong_to_the_range),
        cmocka_unit_test(a_range_may_have_no_upper_end_and_no_unit),
        cmocka_unit_test(the_first_input_outside_is_the_one_that_is_told),
    };

    return cmocka_run_group_tests_name("measure/valid_range", tests, NULL, NULL);
}
