#include <string.h>

#include "harness/near.h"
#include "measure/weir.h"

#define FT HEAD_M_PER_FT
#define FT3 (FT * FT * FT)

static double flow_of(const struct weir *weir, double head_m)
{
    struct err err = ERR_INIT;
    double flow = 0;

    assert_done(weir_flow(weir, head_m, &flow, &err), &err);

    return flow;
}

/* Heads of 0.2 to 1.25 ft, flows in ft3/s: worked out from the published forms. */
static void notches_in_feet_give_the_worked_table(void **state)
{
    static const struct weir cone = {.equation = WEIR_V_90_CONE};
    static const struct weir shen = {.equation = WEIR_V_KINDSVATER_SHEN, .angle_deg = 90};
    static const struct {
        double head_ft, cone_cfs, shen_cfs;
    } rows[] = {
        {0.20, 0.0460, 0.0459}, {0.30, 0.1257, 0.1249}, {0.50, 0.4463, 0.4437},
        {1.00, 2.4900, 2.4918}, {1.25, 4.3305, 4.3467},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_near(flow_of(&cone, rows[i].head_ft * FT) / FT3, rows[i].cone_cfs, 0.00005,
                    "USBR, Water Measurement Manual, ch. 7, Q = 2.49 H^2.48");
        assert_near(flow_of(&shen, rows[i].head_ft * FT) / FT3, rows[i].shen_cfs, 0.00005,
                    "USBR, Water Measurement Manual, ch. 7, eq. 7-3 with Ce 0.578, kh 0.0029 ft");
    }
}

static void the_iso_notch_gives_the_worked_table(void **state)
{
    static const struct weir notch = {.equation = WEIR_V_ISO_1438, .angle_deg = 90};
    static const struct {
        double head_m, m3_per_s;
    } rows[] = {
        {0.06, 0.001247}, {0.10, 0.004410}, {0.15, 0.012066}, {0.20, 0.024682}, {0.30, 0.067776},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(flow_of(&notch, rows[i].head_m), rows[i].m3_per_s, 0.0000005,
                    "ISO 1438, from memory: Ce 0.578, kh 0.85 mm, g 9.80665");
}

/* Rows as printed, in five units; 0.1 % for the tables' own rounding. */
static void printed_tables_of_60_and_45_degrees_come_out(void **state)
{
    static const struct {
        enum weir_equation equation;
        double head_ft, cfs, gpm, mgd, l_per_s, m3_per_h;
    } rows[] = {
        {WEIR_V_60_TABLE, 0.20, 0.0258, 11.58, 0.0167, 0.7310, 2.630},
        {WEIR_V_60_TABLE, 0.30, 0.0711, 31.92, 0.0460, 2.014, 7.248},
        {WEIR_V_45_TABLE, 0.20, 0.0185, 8.309, 0.0120, 0.5243, 1.887},
        {WEIR_V_45_TABLE, 0.30, 0.0510, 22.90, 0.0330, 1.445, 5.199},
    };
    static const char source[] = "discharge tables that cite ASTM D5242-92 (2001)";
    const double gallon_m3 = 0.003785411784; /* NIST SP 811 (2008), exact */

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct weir notch = {.equation = rows[i].equation};
        double flow = flow_of(&notch, rows[i].head_ft * FT);

        assert_near(flow / FT3, rows[i].cfs, 0.00005, source);
        assert_near(flow * 60 / gallon_m3, rows[i].gpm, 0.001 * rows[i].gpm, source);
        assert_near(flow * 86400 / gallon_m3 / 1e6, rows[i].mgd, 0.00005, source);
        assert_near(flow * 1000, rows[i].l_per_s, 0.001 * rows[i].l_per_s, source);
        assert_near(flow * 3600, rows[i].m3_per_h, 0.001 * rows[i].m3_per_h, source);
    }
}

static void rectangular_weirs_and_cipolletti_give_the_worked_values(void **state)
{
    static const struct {
        struct weir weir;
        double head_ft, cfs;
        const char *source;
    } rows[] = {
        {{.equation = WEIR_RECTANGULAR_CONTRACTED, .crest_m = 1 * FT},
         0.2,
         0.2859,
         "Francis, from memory"},
        {{.equation = WEIR_RECTANGULAR_CONTRACTED, .crest_m = 2 * FT},
         0.5,
         2.2369,
         "Francis, from memory"},
        {{.equation = WEIR_RECTANGULAR_SUPPRESSED, .crest_m = 2 * FT},
         0.5,
         2.3547,
         "Francis, from memory"},
        {{.equation = WEIR_CIPOLLETTI, .crest_m = 2 * FT}, 0.5, 2.3808, "Cipolletti, from memory"},
        /* C = 3.27 + 0.40 x 0.5 / 1 = 3.47; 3.47 x 1.9 x 0.353553 by hand */
        {{.equation = WEIR_RECTANGULAR_CREST_HEIGHT, .crest_m = 2 * FT, .crest_height_m = 1 * FT},
         0.5,
         2.3310,
         "stormwater design manual of 2014, eq. 6"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(flow_of(&rows[i].weir, rows[i].head_ft * FT) / FT3, rows[i].cfs, 0.00005,
                    rows[i].source);
}

static void the_full_width_weir_of_iso_gives_the_worked_values(void **state)
{
    const struct weir low = {
        .equation = WEIR_RECTANGULAR_ISO_1438, .crest_m = 0.5, .crest_height_m = 0.20};
    const struct weir high = {
        .equation = WEIR_RECTANGULAR_ISO_1438, .crest_m = 0.5, .crest_height_m = 0.30};

    (void)state;
    assert_near(flow_of(&low, 0.10), 0.030248, 0.0000005, "ISO 1438, from memory");
    assert_near(flow_of(&high, 0.15), 0.055294, 0.0000005, "ISO 1438, from memory");
}

static void other_angles_take_the_fitted_curves_or_the_stated_numbers(void **state)
{
    struct weir notch = {.equation = WEIR_V_KINDSVATER_SHEN, .angle_deg = 60};
    struct err err = ERR_INIT;
    double coefficient = 0;
    double extra = 0;

    (void)state;
    assert_done(weir_notch_fit(90, &coefficient, &extra, &err), &err);
    assert_near(coefficient, 0.578, 0.0005, "USBR eq. 7-3 at 90 degrees");
    assert_near(extra / FT, 0.0029, 0.00005, "USBR eq. 7-3 at 90 degrees");

    /* Forms of one notch differ by up to 3 %. */
    double fitted = flow_of(&notch, 0.3 * FT) / FT3;

    assert_near(fitted, 0.0711, 0.03 * 0.0711, "60 degree table that cites ASTM D5242-92 (2001)");

    notch.coefficient = 0.578;
    notch.head_extra_m = 0.0029 * FT;
    notch.angle_deg = 90;
    assert_near(flow_of(&notch, 1 * FT) / FT3, 2.4918, 0.00005, "USBR eq. 7-3 at 90 degrees");
}

static void heads_outside_the_published_range_are_refused_and_may_be_flagged(void **state)
{
    static const struct {
        struct weir weir;
        double head_m;
        bool inside;
        const char *why;
    } rows[] = {
        {{.equation = WEIR_V_90_CONE}, 0.199 * FT, false, "below 0.2 ft"},
        {{.equation = WEIR_V_90_CONE}, 0.2 * FT, true, "the lower edge"},
        {{.equation = WEIR_V_90_CONE}, 1.25 * FT, true, "the upper edge"},
        {{.equation = WEIR_V_90_CONE}, 1.251 * FT, false, "above 1.25 ft"},
        {{.equation = WEIR_V_ISO_1438, .angle_deg = 90}, 0.0599, false, "below 0.06 m"},
        {{.equation = WEIR_V_ISO_1438, .angle_deg = 90}, 0.382, false, "above 0.381 m"},
        {{.equation = WEIR_RECTANGULAR_CONTRACTED, .crest_m = 0.6}, 0.2, true, "a third"},
        {{.equation = WEIR_RECTANGULAR_CONTRACTED, .crest_m = 0.6}, 0.201, false, "over a third"},
        {{.equation = WEIR_CIPOLLETTI, .crest_m = 0.6}, 0.201, false, "over a third"},
        {{.equation = WEIR_RECTANGULAR_ISO_1438, .crest_m = 0.5, .crest_height_m = 0.1},
         0.25,
         true,
         "2.5 times the crest's height"},
        {{.equation = WEIR_RECTANGULAR_ISO_1438, .crest_m = 0.5, .crest_height_m = 0.1},
         0.26,
         false,
         "over 2.5 times"},
        {{.equation = WEIR_RECTANGULAR_ISO_1438, .crest_m = 0.5, .crest_height_m = 0.1},
         0.029,
         false,
         "below 0.03 m"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        struct head_range range;
        double strict = -1;
        double flagged = -1;
        bool inside = !rows[i].inside;
        bool done = weir_flow(&rows[i].weir, rows[i].head_m, &strict, &err);

        if (done != rows[i].inside)
            fail_msg("%s, %s: %s", weir_row(rows[i].weir.equation)->word, rows[i].why, err.text);
        if (!done) {
            assert_int_equal(err.code, ERR_INVALID);
            assert_non_null(strstr(err.text, "head is "));
            assert_true(strict == -1);
        }
        assert_done(weir_flow_flagged(&rows[i].weir, rows[i].head_m, &flagged, &inside, &err),
                    &err);
        assert_int_equal(inside, rows[i].inside);
        assert_true(flagged > 0);
        assert_done(weir_head_range(&rows[i].weir, &range, &err), &err);
        assert_int_equal(head_range_holds(&range, rows[i].head_m), rows[i].inside);
    }
}

static void shapes_and_heads_that_cannot_be_are_refused(void **state)
{
    static const struct {
        struct weir weir;
        double head_m;
        const char *says;
    } rows[] = {
        {{.equation = WEIR_V_KINDSVATER_SHEN}, 0.2, "notch angle is 0 degrees"},
        {{.equation = WEIR_V_KINDSVATER_SHEN, .angle_deg = 24.9}, 0.2, "from 25 to 100"},
        {{.equation = WEIR_V_KINDSVATER_SHEN, .angle_deg = 100.1}, 0.2, "from 25 to 100"},
        {{.equation = WEIR_V_KINDSVATER_SHEN, .angle_deg = 90, .coefficient = 5.78},
         0.2,
         "Ce is 5.78"},
        {{.equation = WEIR_V_ISO_1438, .angle_deg = 60}, 0.2, "at 90 degrees only"},
        {{.equation = WEIR_CIPOLLETTI}, 0.2, "crest length is 0 m"},
        {{.equation = WEIR_RECTANGULAR_ISO_1438, .crest_m = 0.5}, 0.2, "crest height is 0 m"},
        {{.equation = WEIR_V_90_CONE}, -0.1, "head is -0.1 m"},
        {{.equation = WEIR_V_90_CONE}, NAN, "head is nan m"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        double flow = 0;
        bool inside = false;

        assert_fails(weir_flow_flagged(&rows[i].weir, rows[i].head_m, &flow, &inside, &err),
                     ERR_INVALID, &err);
        if (!strstr(err.text, rows[i].says))
            fail_msg("\"%s\" does not say \"%s\"", err.text, rows[i].says);
        assert_fails(weir_flow(&rows[i].weir, rows[i].head_m, &flow, &err), ERR_INVALID, &err);
    }
}

static void no_head_is_no_flow_and_outside_the_range(void **state)
{
    const struct weir cone = {.equation = WEIR_V_90_CONE};
    struct err err = ERR_INIT;
    double flow = -1;
    bool inside = true;

    (void)state;
    assert_done(weir_flow_flagged(&cone, 0, &flow, &inside, &err), &err);
    assert_true(flow == 0);
    assert_false(inside);
}

static void every_equation_gives_back_the_head_of_its_flow(void **state)
{
    (void)state;
    for (int i = 0; i < WEIR_EQUATION_COUNT; i++) {
        const struct weir weir = {.equation = (enum weir_equation)i,
                                  .angle_deg = 90,
                                  .crest_m = 1,
                                  .crest_height_m = 0.2};
        struct err err = ERR_INIT;
        enum weir_equation named = WEIR_EQUATION_COUNT;
        double head = 0;

        assert_done(weir_head_for_flow(&weir, flow_of(&weir, 0.2), &head, &err), &err);
        assert_near(head, 0.2, 1e-12, weir_row(weir.equation)->word);
        assert_done(weir_equation_named(weir_row(weir.equation)->word, &named, &err), &err);
        assert_int_equal(named, i);
        assert_fails(weir_head_for_flow(&weir, 1000, &head, &err), ERR_INVALID, &err);
        assert_fails(weir_head_for_flow(&weir, 0, &head, &err), ERR_INVALID, &err);
    }
}

static void an_unknown_word_is_not_found(void **state)
{
    enum weir_equation named = WEIR_CIPOLLETTI;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(weir_equation_named("v-notch", &named, &err), ERR_NOT_FOUND, &err);
    assert_int_equal(named, WEIR_CIPOLLETTI);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(notches_in_feet_give_the_worked_table),
        cmocka_unit_test(the_iso_notch_gives_the_worked_table),
        cmocka_unit_test(printed_tables_of_60_and_45_degrees_come_out),
        cmocka_unit_test(rectangular_weirs_and_cipolletti_give_the_worked_values),
        cmocka_unit_test(the_full_width_weir_of_iso_gives_the_worked_values),
        cmocka_unit_test(other_angles_take_the_fitted_curves_or_the_stated_numbers),
        cmocka_unit_test(heads_outside_the_published_range_are_refused_and_may_be_flagged),
        cmocka_unit_test(shapes_and_heads_that_cannot_be_are_refused),
        cmocka_unit_test(no_head_is_no_flow_and_outside_the_range),
        cmocka_unit_test(every_equation_gives_back_the_head_of_its_flow),
        cmocka_unit_test(an_unknown_word_is_not_found),
    };

    return cmocka_run_group_tests_name("measure/weir", tests, NULL, NULL);
}
