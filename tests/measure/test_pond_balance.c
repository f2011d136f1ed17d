#include "harness/near.h"
#include "measure/pond_balance.h"

#define BOYD "Boyd & Tucker 1998, from memory"

static double on_area(double mm, double m2)
{
    struct err err = ERR_INIT;
    double m3 = 0;

    assert_done(pond_depth_volume(mm, m2, &m3, &err), &err);

    return m3;
}

static double salinity_after(double salinity, double before_m3, double after_m3)
{
    struct err err = ERR_INIT;
    double out = 0;

    assert_done(pond_salinity_after(salinity, before_m3, after_m3, &out, &err), &err);

    return out;
}

static void rain_and_evaporation_are_depths_on_an_area(void **state)
{
    (void)state;
    assert_near(on_area(1, 10000), 10, 1e-12, BOYD);
    assert_near(on_area(25, 12000), 300, 1e-9, BOYD);
    assert_near(on_area(5, 12000), 60, 1e-9, BOYD);
}

static void every_term_of_a_balance_counts_with_its_sign(void **state)
{
    static const struct {
        struct pond_terms terms;
        double change_m3;
        const char *why;
    } rows[] = {
        {{.area_m2 = 12000}, 0, "nothing came or went"},
        {{.area_m2 = 12000, .inflow_m3 = 600}, 600, "inflow"},
        {{.area_m2 = 12000, .rain_mm = 25}, 300, "rain"},
        {{.area_m2 = 12000, .runoff_m3 = 40}, 40, "runoff"},
        {{.area_m2 = 12000, .evaporation_mm = 5}, -60, "evaporation"},
        {{.area_m2 = 12000, .seepage_m3 = 12}, -12, "seepage"},
        {{.area_m2 = 12000, .outflow_m3 = 500}, -500, "outflow"},
        {{12000, 600, 25, 40, 5, 12, 500}, 368, "all together"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        double m3 = 0;

        assert_done(pond_change(&rows[i].terms, &m3, &err), &err);
        assert_near(m3, rows[i].change_m3, 1e-9, rows[i].why);
        assert_done(pond_volume_after(13200, &rows[i].terms, &m3, &err), &err);
        assert_near(m3, 13200 + rows[i].change_m3, 1e-9, rows[i].why);
    }
}

/* 1.2 ha x 1.1 m at 32, then 40 mm of rain; or 7 days of 6 mm evaporation. */
static void rain_thins_and_evaporation_thickens_the_salt(void **state)
{
    const double before = 12000 * 1.1;

    (void)state;
    assert_near(salinity_after(32, before, before + on_area(40, 12000)), 30.877193, 5e-7,
                "Chapra 1997, from memory");
    assert_near(salinity_after(32, before, before - on_area(7 * 6, 12000)), 33.270321, 5e-7,
                "Chapra 1997, from memory");
}

static void salinity_settles_where_salt_in_is_salt_out(void **state)
{
    struct err err = ERR_INIT;
    double salinity = -1;

    (void)state;
    assert_done(pond_salinity_steady(600, 32, 0, 72, &salinity, &err), &err);
    assert_near(salinity, 36.363636, 5e-7, "Chapra 1997, from memory");
    assert_done(pond_salinity_steady(600, 32, 72, 72, &salinity, &err), &err);
    assert_near(salinity, 32, 1e-12, "rain makes good what evaporates");
    assert_fails(pond_salinity_steady(600, 32, 0, 600, &salinity, &err), ERR_INVALID, &err);
}

static void flows_mix_by_their_size(void **state)
{
    const struct pond_flow two[] = {{3, 34}, {1, 2}};
    const struct pond_flow none[] = {{0, 34}, {0, 2}};
    const struct pond_flow backward[] = {{3, 34}, {-1, 2}};
    struct err err = ERR_INIT;
    double mixed = 0;

    (void)state;
    assert_done(pond_mix(two, 2, &mixed, &err), &err);
    assert_near(mixed, 26, 1e-12, "3 L/s of 34 and 1 L/s of 2");
    assert_fails(pond_mix(none, 2, &mixed, &err), ERR_INVALID, &err);
    assert_fails(pond_mix(two, 0, &mixed, &err), ERR_INVALID, &err);
    assert_fails(pond_mix(backward, 2, &mixed, &err), ERR_INVALID, &err);
}

static void a_pan_evaporates_more_than_a_pond(void **state)
{
    struct err err = ERR_INIT;
    double mm = 0;

    (void)state;
    assert_done(pond_evaporation_from_pan(10, POND_PAN_COMMON, &mm, &err), &err);
    assert_near(mm, 7, 1e-12, "common pan factor, from memory");
    assert_done(pond_evaporation_from_pan(10, POND_PAN_BOYD, &mm, &err), &err);
    assert_near(mm, 8.1, 1e-12, "Boyd 1985, from memory");
    assert_fails(pond_evaporation_from_pan(10, 0, &mm, &err), ERR_INVALID, &err);
    assert_fails(pond_evaporation_from_pan(10, 1.2, &mm, &err), ERR_INVALID, &err);
}

static void what_cannot_be_is_refused(void **state)
{
    static const struct pond_terms rows[] = {
        {.area_m2 = 0},
        {.area_m2 = 1, .inflow_m3 = -1},
        {.area_m2 = 1, .rain_mm = -1},
        {.area_m2 = 1, .runoff_m3 = -1},
        {.area_m2 = 1, .evaporation_mm = -1},
        {.area_m2 = 1, .seepage_m3 = -1},
        {.area_m2 = 1, .outflow_m3 = NAN},
    };
    const struct pond_terms drained = {.area_m2 = 1, .outflow_m3 = 101};
    struct err err = ERR_INIT;
    double figure = -1;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_fails(pond_change(&rows[i], &figure, &err), ERR_INVALID, &err);
    assert_fails(pond_volume_after(100, &drained, &figure, &err), ERR_INVALID, &err);
    assert_fails(pond_salinity_after(32, 0, 1, &figure, &err), ERR_INVALID, &err);
    assert_fails(pond_salinity_after(32, 1, 0, &figure, &err), ERR_INVALID, &err);
    assert_true(figure == -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(rain_and_evaporation_are_depths_on_an_area),
        cmocka_unit_test(every_term_of_a_balance_counts_with_its_sign),
        cmocka_unit_test(rain_thins_and_evaporation_thickens_the_salt),
        cmocka_unit_test(salinity_settles_where_salt_in_is_salt_out),
        cmocka_unit_test(flows_mix_by_their_size),
        cmocka_unit_test(a_pan_evaporates_more_than_a_pond),
        cmocka_unit_test(what_cannot_be_is_refused),
    };

    return cmocka_run_group_tests_name("measure/pond_balance", tests, NULL, NULL);
}
