#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include "base/macro.h"
#include "judge/bound.h"

/* A range between two numbers of tenths; `open` leaves both ends out. */
static struct range between(int low, int high, bool open)
{
    struct end ends[2] = {
        {.known = true, .open = open, .at = amount_from_decimal((struct decimal){low, 1})},
        {.known = true, .open = open, .at = amount_from_decimal((struct decimal){high, 1})}};

    return (struct range){ends[0], ends[1]};
}

static const struct {
    int low;
    int high;
    bool open;
    bool reached_is_outside;
    enum fit ceiling; /* of 5 */
    enum fit floor;   /* of 5 */
    const char *reason;
} rows[] = {
    {40, 50, false, false, FIT_WITHIN, FIT_UNKNOWN, "up to the bound and with it"},
    {40, 50, false, true, FIT_UNKNOWN, FIT_BELOW, "reaching it is outside"},
    {40, 50, true, true, FIT_WITHIN, FIT_BELOW, "up to the bound and without it"},
    {50, 60, false, false, FIT_UNKNOWN, FIT_WITHIN, "from the bound on and with it"},
    {50, 60, false, true, FIT_ABOVE, FIT_UNKNOWN, "reaching it is outside"},
    {50, 60, true, false, FIT_ABOVE, FIT_WITHIN, "from the bound on and without it"},
    {40, 60, false, false, FIT_UNKNOWN, FIT_UNKNOWN, "on both sides"},
    {30, 40, false, false, FIT_WITHIN, FIT_BELOW, "all below"},
    {60, 70, false, false, FIT_ABOVE, FIT_WITHIN, "all above"},
};

static void a_range_is_beyond_when_all_of_it_is(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct amount five = amount_from_decimal((struct decimal){5, 0});
        struct bound ceiling = {.has_ceiling = true,
                                .ceiling = five,
                                .ceiling_reached_is_outside = rows[i].reached_is_outside};
        struct bound floor = {.has_floor = true,
                              .floor = five,
                              .floor_reached_is_outside = rows[i].reached_is_outside};
        struct range range = between(rows[i].low, rows[i].high, rows[i].open);

        if (bound_fit(mem, &ceiling, &range) != rows[i].ceiling ||
            bound_fit(mem, &floor, &range) != rows[i].floor)
            fail_msg("%d to %d: %s", rows[i].low, rows[i].high, rows[i].reason);
    }
}

static void only_a_number_itself_is_rounded_not_the_x_of_a_less_than(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct bound bound = {.has_ceiling = true,
                          .ceiling = amount_from_decimal((struct decimal){10, 0}),
                          .rounding = {ROUND_HALF_UP, ROUND_TO_DECIMALS, 0}};
    struct range closed = between(104, 104, false);
    struct range open = {.high = closed.high};

    (void)state;
    open.high.open = true;
    assert_int_equal(bound_fit(mem, &bound, &closed), FIT_WITHIN);
    assert_int_equal(bound_fit(mem, &bound, &open), FIT_UNKNOWN);
}

static void the_excess_is_past_the_nearer_bound(void **state)
{
    static const struct {
        int tenths;
        enum side side;
        const char *excess;
    } cases[] = {
        {100, SIDE_ABOVE, "1"},
        {85, SIDE_ABOVE, "-0.5"},
        {62, SIDE_BELOW, "-0.2"},
        {50, SIDE_BELOW, "1"},
    };
    struct bound bound = {.has_ceiling = true,
                          .ceiling = amount_from_decimal((struct decimal){9, 0}),
                          .has_floor = true,
                          .floor = amount_from_decimal((struct decimal){6, 0})};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        enum side side = SIDE_NONE;
        struct amount excess = bound_excess(
            mem, &bound, amount_from_decimal((struct decimal){cases[i].tenths, 1}), &side);

        assert_int_equal(side, cases[i].side);
        assert_string_equal(exact_text(mem, amount_exact(mem, excess), 6), cases[i].excess);
    }
}

/* What must be "not seen" and is not was seen; there is no "not not seen". */
static void a_state_that_breaks_its_bound_is_told_plainly(void **state)
{
    static const struct {
        const char *state;
        bool is_outside;
        const char *breaks;
    } states[] = {
        {"not seen", false, "seen"},
        {"seen", true, "seen"},
        {"shut", false, "not shut"},
        {"not seen", true, "not seen"},
    };
    struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(states); i++) {
        const struct limit limit = {.bound_by = {.kind = BOUND_STATE,
                                                 .state = states[i].state,
                                                 .state_is_outside = states[i].is_outside}};

        assert_string_equal(bound_side_words(mem, &limit, SIDE_ABOVE), states[i].breaks);
    }
    arena_free(&mem);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_range_is_beyond_when_all_of_it_is),
        cmocka_unit_test(only_a_number_itself_is_rounded_not_the_x_of_a_less_than),
        cmocka_unit_test(the_excess_is_past_the_nearer_bound),
        cmocka_unit_test(a_state_that_breaks_its_bound_is_told_plainly),
    };

    return cmocka_run_group_tests_name("judge/bound", tests, NULL, NULL);
}
