#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "base/clock.h"

static int override_clear(void **state)
{
    (void)state;

    return unsetenv("WEIRBOOK_NOW");
}

static void the_clock_is_the_machines(void **state)
{
    struct err err = ERR_INIT;
    instant before = (instant)time(NULL) * SECOND_US;
    instant now = clock_now();

    (void)state;
    assert_true(clock_check(&err));
    assert_true(now >= before - SECOND_US && now < before + 60 * SECOND_US);
}

static void the_override_makes_it_stand_still(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;

    (void)state;
    setenv("WEIRBOOK_NOW", "2026-05-01T21:00:00+12:00", 1);
    assert_true(clock_check(&err));
    assert_string_equal(instant_text(mem, clock_now()), "2026-05-01T09:00:00Z");
}

static void the_steady_clock_goes_on_under_an_override(void **state)
{
    const struct timespec nap = {.tv_nsec = 20000000};
    double before_s = clock_steady_s();

    (void)state;
    setenv("WEIRBOOK_NOW", "2026-05-01T21:00:00+12:00", 1);
    nanosleep(&nap, NULL);
    assert_true(clock_steady_s() - before_s >= 0.02);
}

static void an_override_that_is_no_instant_is_told(void **state)
{
    struct err err = ERR_INIT;

    (void)state;
    setenv("WEIRBOOK_NOW", "yesterday", 1);
    assert_false(clock_check(&err));
    assert_int_equal(err.code, ERR_INVALID);
    assert_non_null(strstr(err.text, "WEIRBOOK_NOW: 'yesterday' is not an instant"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_clock_is_the_machines, override_clear, override_clear),
        cmocka_unit_test_setup_teardown(the_override_makes_it_stand_still, override_clear,
                                        override_clear),
        cmocka_unit_test_setup_teardown(the_steady_clock_goes_on_under_an_override, override_clear,
                                        override_clear),
        cmocka_unit_test_setup_teardown(an_override_that_is_no_instant_is_told, override_clear,
                                        override_clear),
    };

    return cmocka_run_group_tests_name("base/clock", tests, NULL, NULL);
}
