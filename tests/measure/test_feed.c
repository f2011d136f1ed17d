#include "harness/near.h"
#include "measure/feed.h"

static void what_the_tank_takes_is_flow_times_the_difference(void **state)
{
    static const struct {
        struct feed_line line;
        struct feed_uptake uptake;
        const char *why;
    } rows[] = {
        {{10, true, 100, 80, 20}, {600, true, 0.75, true, 0.2}, "by hand"},
        {{10, false, 0, 80, 20}, {600, true, 0.75, false, 0}, "the pond is not measured"},
        {{10, true, 0, 80, 20}, {600, true, 0.75, false, 0}, "an empty pond has no share"},
        {{10, true, 100, 0, 20}, {-200, false, 0, true, 1}, "nothing came in"},
        {{10, true, 100, 20, 80},
         {-600, true, -3, true, 0.8},
         "more out than in is given as it is"},
        {{0, true, 100, 80, 20}, {0, true, 0.75, true, 0.2}, "no flow takes nothing"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct feed_uptake *expected = &rows[i].uptake;
        struct feed_uptake uptake;
        struct err err = ERR_INIT;

        assert_done(feed_uptake(&rows[i].line, &uptake, &err), &err);
        assert_near(uptake.taken, expected->taken, 1e-9, rows[i].why);
        assert_int_equal(uptake.share_known, expected->share_known);
        assert_near(uptake.share, expected->share, 1e-12, rows[i].why);
        assert_int_equal(uptake.on_the_way_known, expected->on_the_way_known);
        assert_near(uptake.lost_on_the_way, expected->lost_on_the_way, 1e-12, rows[i].why);
    }
}

static void cells_and_clearance_come_out(void **state)
{
    struct err err = ERR_INIT;
    double figure = 0;

    (void)state;
    assert_done(feed_cells_taken(24, 50000, 20000, &figure, &err), &err);
    assert_near(figure, 7.2e11, 1, "24 m3/h x 10^6 mL/m3 x 30000");
    assert_done(feed_clearance_mixed(10, 80, 20, &figure, &err), &err);
    assert_near(figure, 30, 1e-12, "10 x 60 / 20");
    assert_done(feed_clearance_passing(10, 80, 20, &figure, &err), &err);
    assert_near(figure, 13.8629436, 1e-7, "10 ln 4, Hildreth & Crisp 1976, from memory");
}

static void the_share_below_a_size_lies_between_two_rows(void **state)
{
    static const struct feed_size sieve[] = {{2, 0.05}, {4, 0.25}, {8, 0.65}, {20, 0.95}};
    static const struct {
        double um, share;
        const char *why;
    } rows[] = {
        {2, 0.05, "the smallest row"},     {3, 0.15, "half-way"}, {4, 0.25, "a row"},
        {5, 0.35, "a quarter of the way"}, {8, 0.65, "a row"},    {14, 0.80, "half-way"},
        {20, 0.95, "the largest row"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        double share = 0;

        assert_done(feed_share_below(sieve, 4, rows[i].um, &share, &err), &err);
        assert_near(share, rows[i].share, 1e-12, rows[i].why);
    }
}

static void counts_in_bins_give_the_same_as_their_table(void **state)
{
    static const double edges[] = {2, 4, 8, 20};
    static const double counts[] = {300, 600, 100};
    static const struct feed_size table[] = {{2, 0}, {4, 0.3}, {8, 0.9}, {20, 1}};

    (void)state;
    for (int quarter = 8; quarter <= 80; quarter++) {
        double um = quarter / 4.0;
        struct err err = ERR_INIT;
        double by_counts = -1;
        double by_table = -2;

        assert_done(feed_share_below_counts(edges, counts, 3, um, &by_counts, &err), &err);
        assert_done(feed_share_below(table, 4, um, &by_table, &err), &err);
        assert_near(by_counts, by_table, 1e-12, "the two forms of one table");
    }
}

static void ring_and_centre_differ_by_their_mean(void **state)
{
    struct feed_difference difference;
    struct err err = ERR_INIT;

    (void)state;
    assert_done(feed_position_difference(&(struct feed_positions){7.2, 6.8}, &difference, &err),
                &err);
    assert_near(difference.ring_less_centre, 0.4, 1e-12, "by hand");
    assert_near(difference.share, 0.4 / 7, 1e-12, "by hand");
    assert_done(feed_position_difference(&(struct feed_positions){0, 0}, &difference, &err), &err);
    assert_false(difference.share_known);
}

static void what_cannot_be_is_refused(void **state)
{
    static const struct feed_size falling[] = {{2, 0.5}, {4, 0.4}};
    static const struct feed_size repeated[] = {{2, 0.5}, {2, 0.6}};
    static const struct feed_size percent[] = {{2, 5}, {4, 40}};
    static const struct feed_size good[] = {{2, 0.1}, {4, 0.4}};
    static const double edges[] = {2, 4, 3};
    static const double none[] = {0, 0};
    static const double counts[] = {1, 1};
    struct feed_line line = {-1, false, 0, 1, 1};
    struct feed_uptake uptake = {.taken = -1};
    struct feed_difference difference;
    struct err err = ERR_INIT;
    double figure = -1;

    (void)state;
    assert_fails(feed_uptake(&line, &uptake, &err), ERR_INVALID, &err);
    line = (struct feed_line){1, true, -1, 1, 1};
    assert_fails(feed_uptake(&line, &uptake, &err), ERR_INVALID, &err);
    assert_fails(feed_cells_taken(1, NAN, 1, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_clearance_mixed(1, 1, 0, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_clearance_passing(1, 0, 1, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below(falling, 2, 3, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below(repeated, 2, 2, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below(percent, 2, 3, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below(good, 1, 2, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below(good, 2, 1.9, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below(good, 2, 4.1, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below_counts(edges, counts, 2, 3, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below_counts(edges, none, 1, 3, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_share_below_counts(edges, counts, 1, 5, &figure, &err), ERR_INVALID, &err);
    assert_fails(feed_position_difference(&(struct feed_positions){NAN, 1}, &difference, &err),
                 ERR_INVALID, &err);
    assert_true(figure == -1 && uptake.taken == -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_the_tank_takes_is_flow_times_the_difference),
        cmocka_unit_test(cells_and_clearance_come_out),
        cmocka_unit_test(the_share_below_a_size_lies_between_two_rows),
        cmocka_unit_test(counts_in_bins_give_the_same_as_their_table),
        cmocka_unit_test(ring_and_centre_differ_by_their_mean),
        cmocka_unit_test(what_cannot_be_is_refused),
    };

    return cmocka_run_group_tests_name("measure/feed", tests, NULL, NULL);
}
