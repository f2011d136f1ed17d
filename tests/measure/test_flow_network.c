#include <string.h>

#include "harness/near.h"
#include "measure/flow_network.h"

#define CLOSED "closed form"

static struct flow_network_state solved(struct arena *mem, const struct flow_network *network)
{
    struct flow_network_state state = {0};
    struct err err = ERR_INIT;

    assert_done(flow_network_solve(mem, network, &state, &err), &err);

    return state;
}

static void a_straight_line_adds_up_the_residence_times(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct flow_station stations[] = {{"header tank", 5}, {"tank", 20}, {"pond", 100}};
    const struct flow_path paths[] = {
        {FLOW_OUTSIDE, 0, 10}, {0, 1, 10}, {1, 2, 10}, {2, FLOW_OUTSIDE, 10}};
    struct flow_network_state s =
        solved(mem, &(struct flow_network){stations, 3, paths, 4, .balance_share = 0});

    (void)state;
    assert_near(s.stations[0].age_h, 0.5, 1e-12, CLOSED);
    assert_near(s.stations[1].age_h, 2.5, 1e-12, CLOSED);
    assert_near(s.stations[2].age_h, 12.5, 1e-12, CLOSED);
    assert_near(s.total_h, 12.5, 1e-12, CLOSED);
    assert_near(s.fresh_m3_per_h, 10, 1e-12, CLOSED);
    for (size_t i = 0; i < 3; i++) {
        assert_near(s.stations[i].returned_share, 0, 1e-12, CLOSED);
        assert_near(s.stations[i].passes, 1, 1e-12, CLOSED);
    }
}

/*
 * A tank and a filter in a loop: of 10 m3/h through the tank, 8 come back by the filter and 2 are
 * fresh. Each pass 0.8 returns, so 1/(1 - 0.8) = 5 passes, and all 24 m3 over 2 m3/h is 12 h.
 */
static void a_loop_returns_its_share(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct flow_station stations[] = {{"tank", 20}, {"filter", 4}};
    const struct flow_path paths[] = {
        {FLOW_OUTSIDE, 0, 2}, {0, 1, 8}, {1, 0, 8}, {0, FLOW_OUTSIDE, 2}};
    struct flow_network_state s =
        solved(mem, &(struct flow_network){stations, 2, paths, 4, .balance_share = 0});

    (void)state;
    assert_near(s.stations[0].returned_share, 0.8, 1e-12, CLOSED);
    assert_near(s.stations[0].passes, 5, 1e-12, CLOSED);
    assert_near(s.stations[0].nominal_h, 2, 1e-12, CLOSED);
    assert_near(s.stations[0].through_m3_per_h, 10, 1e-12, CLOSED);
    /* 10 a = 20 + 8 (a + 0.5) */
    assert_near(s.stations[0].age_h, 12, 1e-12, CLOSED);
    assert_near(s.stations[1].age_h, 12.5, 1e-12, CLOSED);
    assert_near(s.stations[1].returned_share, 0.8, 1e-12, CLOSED);
    assert_near(s.total_h, 12, 1e-12, CLOSED);
}

/* What leaves a mixed network has spent on average all its volume over the fresh flow inside. */
static void water_leaves_at_the_age_of_volume_over_fresh_flow(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct flow_station stations[] = {
        {"intake pond", 500}, {"feed pond", 800}, {"ring", 60}, {"centre", 40}, {"sump", 15}};
    const struct flow_path paths[] = {
        {FLOW_OUTSIDE, 0, 30},
        {0, 1, 5},
        {0, 2, 25},
        {1, 2, 5},
        {2, 3, 90},
        {3, 2, 20},
        {3, 4, 70},
        {4, 2, 40},
        {4, FLOW_OUTSIDE, 25},
        {4, 0, 5},
        {0, FLOW_OUTSIDE, 5},
    };
    struct flow_network_state s = solved(
        mem, &(struct flow_network){stations, 5, paths, ARRAY_LEN(paths), .balance_share = 0});

    (void)state;
    assert_near((25 * s.stations[4].age_h + 5 * s.stations[0].age_h) / 30, s.total_h, 1e-10,
                "mean residence of a closed balance");
    assert_near(s.total_h, 1415 / 30.0, 1e-10, CLOSED);

    /* Expected visits: what goes through over the fresh flow is what comes in, times its chance
     * to get there, times its passes. All fresh water gets to the intake pond. */
    assert_near(s.stations[0].passes, 35 / 30.0, 1e-12, CLOSED);
    assert_near(s.stations[0].returned_share, 5 / 35.0, 1e-12, CLOSED);
}

static void a_shut_path_carries_nothing(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct flow_station stations[] = {{"tank", 20}, {"filter", 4}};
    const struct flow_path paths[] = {
        {FLOW_OUTSIDE, 0, 2}, {0, 1, 2}, {1, 0, 0}, {1, FLOW_OUTSIDE, 2}};
    struct flow_network_state s =
        solved(mem, &(struct flow_network){stations, 2, paths, 4, .balance_share = 0});

    (void)state;
    assert_near(s.stations[0].returned_share, 0, 1e-12, CLOSED);
    assert_near(s.total_h, 12, 1e-12, CLOSED);
}

static void a_station_may_be_out_of_balance_by_the_farm_s_own_share(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct flow_station stations[] = {{"tank", 20}};
    const struct flow_path paths[] = {{FLOW_OUTSIDE, 0, 10}, {0, FLOW_OUTSIDE, 9.9}};
    struct flow_network network = {stations, 1, paths, 2, .balance_share = 0.011};
    struct flow_network_state s = solved(mem, &network);
    struct err err = ERR_INIT;

    (void)state;
    assert_near(s.total_h, 2, 1e-12, CLOSED);
    network.balance_share = 0.009;
    assert_fails(flow_network_solve(mem, &network, &s, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "tank takes in 10 m3/h and gives out 9.9 m3/h"));
}

static void networks_that_cannot_be_are_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct flow_station two[] = {{"tank", 20}, {"filter", 4}};
    static const struct flow_station empty[] = {{"tank", 0}, {"filter", 4}};
    static const struct flow_path apart[] = {{FLOW_OUTSIDE, 0, 2}, {0, FLOW_OUTSIDE, 2}, {1, 1, 3}};
    static const struct flow_path still[] = {{FLOW_OUTSIDE, 0, 2}, {0, FLOW_OUTSIDE, 2}};
    static const struct flow_path nowhere[] = {{FLOW_OUTSIDE, 2, 2}};
    static const struct flow_path outside[] = {{FLOW_OUTSIDE, FLOW_OUTSIDE, 2}};
    static const struct flow_path backward[] = {{FLOW_OUTSIDE, 0, -2}};
    /* Fresh water trickles in, within the balance, and never leaves. */
    static const struct flow_path trap[] = {
        {FLOW_OUTSIDE, 0, 2}, {0, FLOW_OUTSIDE, 1.9}, {0, 1, 0.1}, {1, 1, 3}};
    const struct {
        struct flow_network network;
        const char *says;
    } rows[] = {
        {{two, 0, apart, 3, 0}, "0 stations"},
        {{two, FLOW_NETWORK_STATIONS_MAX + 1, apart, 3, 0}, "65 stations"},
        {{two, 2, apart, FLOW_NETWORK_PATHS_MAX + 1, 0}, "513 paths"},
        {{two, 2, apart, 3, 0.6}, "balance share is 0.6"},
        {{empty, 2, apart, 3, 0}, "tank: volume is 0 m3"},
        {{two, 2, apart, 3, 0}, "no water from outside reaches filter"},
        {{two, 2, still, 2, 0}, "filter: flow is 0 m3/h: residence time is undefined"},
        {{two, 2, nowhere, 1, 0}, "no station"},
        {{two, 2, outside, 1, 0}, "touches no station"},
        {{two, 2, backward, 1, 0}, "path from outside to tank: flow is -2 m3/h"},
        {{two, 2, trap, 4, 0.1}, "no water of filter ever leaves"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct flow_network_state untouched = {.total_h = -1};
        struct err err = ERR_INIT;

        assert_fails(flow_network_solve(mem, &rows[i].network, &untouched, &err), ERR_INVALID,
                     &err);
        if (!strstr(err.text, rows[i].says))
            fail_msg("\"%s\" does not say \"%s\"", err.text, rows[i].says);
        assert_true(untouched.total_h == -1);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_straight_line_adds_up_the_residence_times),
        cmocka_unit_test(a_loop_returns_its_share),
        cmocka_unit_test(water_leaves_at_the_age_of_volume_over_fresh_flow),
        cmocka_unit_test(a_shut_path_carries_nothing),
        cmocka_unit_test(a_station_may_be_out_of_balance_by_the_farm_s_own_share),
        cmocka_unit_test(networks_that_cannot_be_are_refused),
    };

    return cmocka_run_group_tests_name("measure/flow_network", tests, NULL, NULL);
}
