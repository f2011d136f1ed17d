#include "harness/near.h"
#include "measure/respiration.h"

static double oxygen(double temperature_c, double dry_g)
{
    struct err err = ERR_INIT;
    double figure = 0;

    assert_done(respiration_oxygen(temperature_c, dry_g, &figure, &err), &err);

    return figure;
}

static double filtration(double temperature_c, double dry_g, bool spawning)
{
    struct err err = ERR_INIT;
    double figure = 0;

    assert_done(respiration_filtration(temperature_c, dry_g, spawning, &figure, &err), &err);

    return figure;
}

static void one_animal_breathes_and_filters_by_akashige(void **state)
{
    (void)state;
    assert_near(oxygen(15, 1), 0.44, 1e-12, RESPIRATION_SOURCE);
    assert_near(oxygen(20, 1), 0.80, 1e-12, RESPIRATION_SOURCE);
    assert_near(oxygen(20, 0.5), 0.476, 5e-4, RESPIRATION_SOURCE);
    assert_near(oxygen(20, 2), 1.345, 5e-4, RESPIRATION_SOURCE);
    assert_near(oxygen(25, 1), 1.16, 1e-12, RESPIRATION_SOURCE);
    assert_near(filtration(20, 1, false), 7.4, 1e-12, RESPIRATION_SOURCE);
    assert_near(filtration(25, 1, false), 10.9, 1e-12, RESPIRATION_SOURCE);
    assert_near(filtration(25, 2, true), 9.8, 1e-12, RESPIRATION_SOURCE);
}

/*
 * Another species' animals in other hands are of the same order: Bougrier et al. 1995, Aquaculture
 * 134:143-154, its constants from memory, at 20 degC and 1 g.
 */
static void bougrier_is_of_the_same_order(void **state)
{
    double breathes = -0.432 + 0.613 * pow(1.042, 20);
    double clears = 4.825 - 0.013 * (20 - 18.954) * (20 - 18.954);

    (void)state;
    assert_near(breathes, 0.964, 0.001, "Bougrier et al. 1995, constants from memory");
    assert_near(clears, 4.81, 0.005, "Bougrier et al. 1995, constants from memory");
    assert_near(oxygen(20, 1) / breathes, 1, 0.5, "Bougrier et al. 1995");
    assert_near(filtration(20, 1, false) / clears, 1, 1, "Bougrier et al. 1995");
}

static void nothing_is_given_outside_the_measured_temperatures(void **state)
{
    static const struct {
        double temperature_c;
        bool oxygen, filtration;
    } rows[] = {
        {9.6, false, false}, {9.7, false, true},   {11.5, false, true},
        {11.6, true, true},  {25.7, true, true},   {25.8, true, false},
        {26.5, true, false}, {26.6, false, false}, {NAN, false, false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        double t = rows[i].temperature_c;
        double figure = 0;

        if (respiration_oxygen(t, 1, &figure, &err) != rows[i].oxygen)
            fail_msg("oxygen at %g degC: %s", t, err.text);
        if (respiration_filtration(t, 1, false, &figure, &err) != rows[i].filtration ||
            respiration_filtration(t, 1, true, &figure, &err) != rows[i].filtration)
            fail_msg("filtration at %g degC: %s", t, err.text);
    }
}

/* 10,000 of 1 g at 20 degC: 8 g/h, 74 m3/h; 10 m3/h of water lose 0.8 mg/L, 5 m3/h 1.6. */
static void a_stock_is_the_sum_of_its_groups(void **state)
{
    const struct respiration_group groups[] = {{4000, 1}, {6000, 1}};
    struct err err = ERR_INIT;
    double figure = 0;

    (void)state;
    assert_done(respiration_stock_oxygen(groups, 2, 20, &figure, &err), &err);
    assert_near(figure, 8.0, 1e-9, RESPIRATION_SOURCE);
    assert_near(figure / 10, 0.8, 1e-9, "fall at 10 m3/h");
    assert_near(figure / 5, 1.6, 1e-9, "fall at 5 m3/h");
    assert_done(respiration_stock_filtration(groups, 2, 20, false, &figure, &err), &err);
    assert_near(figure, 74, 1e-9, RESPIRATION_SOURCE);
    assert_done(respiration_stock_oxygen(groups, 0, 20, &figure, &err), &err);
    assert_true(figure == 0);
}

static void what_cannot_be_is_refused(void **state)
{
    const struct respiration_group minus[] = {{-1, 1}};
    const struct respiration_group flat[] = {{1, 0}};
    struct err err = ERR_INIT;
    double figure = -1;

    (void)state;
    assert_fails(respiration_oxygen(20, 0, &figure, &err), ERR_INVALID, &err);
    assert_fails(respiration_filtration(20, -1, false, &figure, &err), ERR_INVALID, &err);
    assert_fails(respiration_stock_oxygen(minus, 1, 20, &figure, &err), ERR_INVALID, &err);
    assert_fails(respiration_stock_filtration(flat, 1, 20, false, &figure, &err), ERR_INVALID,
                 &err);
    assert_true(figure == -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(one_animal_breathes_and_filters_by_akashige),
        cmocka_unit_test(bougrier_is_of_the_same_order),
        cmocka_unit_test(nothing_is_given_outside_the_measured_temperatures),
        cmocka_unit_test(a_stock_is_the_sum_of_its_groups),
        cmocka_unit_test(what_cannot_be_is_refused),
    };

    return cmocka_run_group_tests_name("measure/respiration", tests, NULL, NULL);
}
