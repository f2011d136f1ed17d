#include "harness/near.h"
#include "measure/nutrient_balance.h"

static struct nutrient_month month_of(double brought, double fertiliser, double feed, double left,
                                      double harvested)
{
    return (struct nutrient_month){{
        [NUTRIENT_BROUGHT] = {true, brought},
        [NUTRIENT_FERTILISER] = {true, fertiliser},
        [NUTRIENT_FEED] = {true, feed},
        [NUTRIENT_LEFT] = {true, left},
        [NUTRIENT_HARVESTED] = {true, harvested},
    }};
}

static void what_is_kept_is_what_came_less_what_went(void **state)
{
    static const struct {
        double terms[NUTRIENT_TERM_COUNT], kept, in, out;
    } rows[] = {
        {{40, 12, 3, 30, 5}, 20, 55, 35},
        {{0, 0, 0, 0, 0}, 0, 0, 0},
        {{10, 0, 0, 25, 0}, -15, 10, 25}, /* more left than came: given as it is */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const double *t = rows[i].terms;
        struct nutrient_month month = month_of(t[0], t[1], t[2], t[3], t[4]);
        struct nutrient_kept kept = {0};
        struct err err = ERR_INIT;

        assert_done(nutrient_balance(&month, &kept, &err), &err);
        assert_true(kept.known);
        assert_near(kept.kg, rows[i].kept, 1e-12, "by hand");
        assert_near(kept.in_kg, rows[i].in, 1e-12, "by hand");
        assert_near(kept.out_kg, rows[i].out, 1e-12, "by hand");
    }
}

static void any_term_not_known_leaves_what_is_kept_unknown(void **state)
{
    (void)state;
    for (unsigned term = 0; term < NUTRIENT_TERM_COUNT; term++) {
        struct nutrient_month month = month_of(40, 12, 3, 30, 5);
        struct nutrient_kept kept = {0};
        struct err err = ERR_INIT;

        month.terms[term] = (struct nutrient_amount){false, -1};
        assert_done(nutrient_balance(&month, &kept, &err), &err);
        assert_false(kept.known);
        assert_int_equal(kept.wants, 1U << term);
        assert_true(kept.in_kg + kept.out_kg < 90);
        assert_true(nutrient_term_name((enum nutrient_term)term)[0] != '\0');
    }
}

static void amounts_come_from_water_additions_and_animals(void **state)
{
    struct err err = ERR_INIT;
    double kg = 0;

    (void)state;
    assert_done(nutrient_in_water(720, 2.5, &kg, &err), &err);
    assert_near(kg, 1.8, 1e-12, "m3 x mg/L / 1000");
    assert_done(nutrient_in_addition(50, 0.46, &kg, &err), &err);
    assert_near(kg, 23, 1e-12, "50 kg of 46 %");
}

/* Higgins, Stephenson & Brown 2011, J. Environ. Qual.: a million oysters of 76 mm. */
static void animals_take_out_what_higgins_printed(void **state)
{
    static const struct {
        double animals, kg_per_million, kg, off;
    } rows[] = {
        {1e6, 132, 132, 1e-9},         {286 * 1e4, 132, 378, 0.6}, /* 286 a m2, a hectare: N */
        {286 * 1e4, 19, 54, 0.4},                                  /* P */
        {286 * 1e4, 3823, 10934, 0.3},                             /* C */
        {7.7e6, 132, 1000, 20},                                    /* a tonne of N */
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        double kg = 0;

        assert_done(nutrient_in_animals(rows[i].animals, rows[i].kg_per_million, &kg, &err), &err);
        assert_near(kg, rows[i].kg, rows[i].off, "Higgins, Stephenson & Brown 2011");
    }
}

static void what_cannot_be_is_refused(void **state)
{
    struct nutrient_month month = month_of(40, 12, -3, 30, 5);
    struct nutrient_kept kept = {.kg = -1};
    struct err err = ERR_INIT;
    double kg = -1;

    (void)state;
    assert_fails(nutrient_balance(&month, &kept, &err), ERR_INVALID, &err);
    assert_true(kept.kg == -1);
    assert_fails(nutrient_in_water(-1, 1, &kg, &err), ERR_INVALID, &err);
    assert_fails(nutrient_in_water(1, NAN, &kg, &err), ERR_INVALID, &err);
    assert_fails(nutrient_in_addition(1, 46, &kg, &err), ERR_INVALID, &err);
    assert_fails(nutrient_in_animals(-1, 132, &kg, &err), ERR_INVALID, &err);
    assert_true(kg == -1);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_kept_is_what_came_less_what_went),
        cmocka_unit_test(any_term_not_known_leaves_what_is_kept_unknown),
        cmocka_unit_test(amounts_come_from_water_additions_and_animals),
        cmocka_unit_test(animals_take_out_what_higgins_printed),
        cmocka_unit_test(what_cannot_be_is_refused),
    };

    return cmocka_run_group_tests_name("measure/nutrient_balance", tests, NULL, NULL);
}
