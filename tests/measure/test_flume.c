#include <string.h>

#include "harness/near.h"
#include "measure/flume.h"

#define FT HEAD_M_PER_FT
#define FT3 (FT * FT * FT)

static double flow_of(enum flume_size size, enum flume_family family, double head_m)
{
    struct err err = ERR_INIT;
    double flow = 0;

    assert_done(flume_flow(size, family, head_m, &flow, &err), &err);

    return flow;
}

static void both_families_give_the_worked_table(void **state)
{
    static const struct {
        enum flume_size size;
        double head_ft, english_cfs, si_cfs;
    } rows[] = {
        {FLUME_6_IN, 0.30, 0.3074, 0.3074},  {FLUME_6_IN, 0.50, 0.6890, 0.6890},
        {FLUME_6_IN, 1.00, 2.0600, 2.0599},  {FLUME_9_IN, 0.30, 0.4866, 0.4866},
        {FLUME_9_IN, 0.50, 1.0631, 1.0632},  {FLUME_9_IN, 1.00, 3.0700, 3.0703},
        {FLUME_1_FT, 0.30, 0.6401, 0.6401},  {FLUME_1_FT, 0.50, 1.3928, 1.3928},
        {FLUME_1_FT, 1.00, 4.0000, 3.9998},  {FLUME_2_FT, 0.30, 1.2382, 1.2372},
        {FLUME_2_FT, 0.50, 2.7327, 2.7309},  {FLUME_2_FT, 1.00, 8.0000, 7.9966},
        {FLUME_4_FT, 0.30, 2.3938, 2.3927},  {FLUME_4_FT, 0.50, 5.3597, 5.3576},
        {FLUME_4_FT, 1.00, 16.000, 15.9954},
    };
    static const char source[] = "Parshall's coefficients, from memory";

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        double head_m = rows[i].head_ft * FT;

        assert_near(flow_of(rows[i].size, FLUME_ENGLISH, head_m) / FT3, rows[i].english_cfs,
                    0.00006, source);
        assert_near(flow_of(rows[i].size, FLUME_SI, head_m) / FT3, rows[i].si_cfs, 0.00006, source);
    }
}

/* Utah State University, "Flumes for Open-Channel Flow Measurement" (Lecture 2, 2005), p. 1. */
static void the_lecture_s_flume_has_its_printed_head(void **state)
{
    struct err err = ERR_INIT;
    double head = 0;

    (void)state;
    assert_done(flume_head_for_flow(FLUME_2_FT, FLUME_SI, 0.75, &head, &err), &err);
    assert_near(head, 0.66, 0.005, "Utah State University lecture 2, 2005, printed 0.66 m");
    /* 0.65974 with the lecture's 1.429; our row has 1.428. */
    assert_near(head, 0.65974, 0.0004, "Utah State University lecture 2, 2005");
}

/* Two families from different books: a wrong digit in either shows. */
static void the_two_families_agree_for_every_size(void **state)
{
    (void)state;
    for (int i = 0; i < FLUME_SIZE_COUNT; i++) {
        enum flume_size size = (enum flume_size)i;
        const struct head_range *range = &flume_row(size)->range;

        for (int k = 0; k <= 10; k++) {
            double head = range->lowest_m + (range->highest_m - range->lowest_m) * k / 10;
            double english = flow_of(size, FLUME_ENGLISH, head);

            if (fabs(flow_of(size, FLUME_SI, head) / english - 1) > 0.008)
                fail_msg("%s at %g m: %g and %g m3/s", flume_row(size)->word, head,
                         flow_of(size, FLUME_SI, head), english);
        }
    }
}

static void every_size_gives_back_the_head_of_its_flow(void **state)
{
    (void)state;
    for (int i = 0; i < FLUME_SIZE_COUNT; i++) {
        enum flume_size size = (enum flume_size)i;
        enum flume_size named = FLUME_SIZE_COUNT;
        struct err err = ERR_INIT;
        double head = 0;

        for (int family = FLUME_ENGLISH; family <= FLUME_SI; family++) {
            enum flume_family f = (enum flume_family)family;

            assert_done(flume_head_for_flow(size, f, flow_of(size, f, 0.2), &head, &err), &err);
            assert_near(head, 0.2, 1e-12, flume_row(size)->word);
            assert_fails(flume_head_for_flow(size, f, 100, &head, &err), ERR_INVALID, &err);
        }
        assert_done(flume_size_named(flume_row(size)->word, &named, &err), &err);
        assert_int_equal(named, size);
    }
}

static void heads_outside_the_range_are_refused_and_may_be_flagged(void **state)
{
    (void)state;
    for (int i = 0; i < FLUME_SIZE_COUNT; i++) {
        enum flume_size size = (enum flume_size)i;
        const struct head_range *range = &flume_row(size)->range;
        const struct {
            double head_m;
            bool inside;
        } rows[] = {
            {range->lowest_m * 0.99, false},
            {range->lowest_m, true},
            {range->highest_m, true},
            {range->highest_m * 1.01, false},
        };

        for (size_t k = 0; k < ARRAY_LEN(rows); k++) {
            struct err err = ERR_INIT;
            double flow = 0;
            double flagged = 0;
            bool inside = !rows[k].inside;

            assert_int_equal(flume_flow(size, FLUME_SI, rows[k].head_m, &flow, &err),
                             rows[k].inside);
            assert_done(flume_flow_flagged(size, FLUME_SI, rows[k].head_m, &flagged, &inside, &err),
                        &err);
            assert_int_equal(inside, rows[k].inside);
            assert_true(flagged > 0);
        }
    }
}

static void free_flow_ends_at_the_transition(void **state)
{
    static const struct {
        enum flume_size size;
        double downstream; /* over an upstream head of 0.4 m */
        bool submerged;
        const char *why;
    } rows[] = {
        {FLUME_2_FT, 0.66, false, "at it"},
        {FLUME_2_FT, 0.661, true, "Utah State University lecture 2, 2005: 66 % for 0.61 m"},
        {FLUME_1_IN, 0.501, true, "Utah State University lecture 2, 2005: 50 % for 1 to 3 in"},
        {FLUME_3_IN, 0.501, true, "the same"},
        {FLUME_3_IN, 0.499, false, "the same"},
        {FLUME_8_FT, 0.699, false, "from memory"},
        {FLUME_8_FT, -0.5, false, "nothing stands downstream"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct err err = ERR_INIT;
        bool submerged = !rows[i].submerged;

        assert_done(
            flume_is_submerged(rows[i].size, 0.4, 0.4 * rows[i].downstream, &submerged, &err),
            &err);
        if (submerged != rows[i].submerged)
            fail_msg("%s at %g: %s", flume_row(rows[i].size)->word, rows[i].downstream,
                     rows[i].why);
    }
}

static void what_cannot_be_is_refused(void **state)
{
    enum flume_size size = FLUME_1_IN;
    struct err err = ERR_INIT;
    double flow = 0;
    bool flag = false;

    (void)state;
    assert_fails(flume_size_named("12 ft", &size, &err), ERR_NOT_FOUND, &err);
    assert_fails(flume_flow_flagged(size, FLUME_SI, -0.01, &flow, &flag, &err), ERR_INVALID, &err);
    assert_fails(flume_is_submerged(size, 0, 0, &flag, &err), ERR_INVALID, &err);
    assert_fails(flume_is_submerged(size, 0.1, NAN, &flag, &err), ERR_INVALID, &err);
    assert_fails(flume_flow(FLUME_2_FT, FLUME_SI, 2, &flow, &err), ERR_INVALID, &err);
    assert_non_null(strstr(err.text, "head is 2 m: 2 ft holds from 0.046 to 0.76 m"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(both_families_give_the_worked_table),
        cmocka_unit_test(the_lecture_s_flume_has_its_printed_head),
        cmocka_unit_test(the_two_families_agree_for_every_size),
        cmocka_unit_test(every_size_gives_back_the_head_of_its_flow),
        cmocka_unit_test(heads_outside_the_range_are_refused_and_may_be_flagged),
        cmocka_unit_test(free_flow_ends_at_the_transition),
        cmocka_unit_test(what_cannot_be_is_refused),
    };

    return cmocka_run_group_tests_name("measure/flume", tests, NULL, NULL);
}
