#include "trust/drift.h"

#include <math.h>

#include "base/macro.h"
#include "harness/cmocka.h"

/*
 * Criteria, ratings and maxima: US Geological Survey Techniques and Methods 1-D3 (Wagner and
 * others, 2006), from memory; the errors worked out by hand from its formulas.
 */

static const struct {
    const char *quantity;
    struct fouling_check fouling;
    struct drift_check drift;
    double fouling_amount;
    double fouling_percent;
    double drift_amount;
    double drift_percent;
} errors[] = {
    {"dissolved oxygen", {8.10, 7.70, 8.00, 8.02}, {10.0, 9.8}, -0.42, -5.185, 0.20, 2.041},
    {"specific conductance", {980, 1010, 1000, 1005}, {1413, 1390}, 25, 2.551, 23, 1.655},
};

static void fouling_and_drift_are_the_errors_of_the_publication(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(errors); i++) {
        struct drift_error fouling = fouling_error(&errors[i].fouling);
        struct drift_error drift = drift_error_of(&errors[i].drift);

        assert_float_equal(fouling.amount, errors[i].fouling_amount, 1e-9);
        assert_float_equal(fouling.percent, errors[i].fouling_percent, 5e-4);
        assert_float_equal(drift.amount, errors[i].drift_amount, 1e-9);
        assert_float_equal(drift.percent, errors[i].drift_percent, 5e-4);
    }
}

static void oxygen_that_is_off_by_more_than_its_criterion_is_corrected(void **state)
{
    const struct drift_criteria *oxygen = drift_published_of("dissolved oxygen");
    struct drift_finding alone = drift_judge(oxygen, &errors[0].fouling, NULL);
    struct drift_finding both = drift_judge(oxygen, &errors[0].fouling, &errors[0].drift);

    (void)state;
    assert_true(alone.has_to_correct); /* 0.42 is beyond 0.3 */
    assert_float_equal(alone.total, -0.42, 1e-9);
    assert_float_equal(both.total, -0.22, 1e-9);
    assert_float_equal(both.size, 0.62, 1e-9);
    assert_true(both.has_to_correct); /* 0.42 and 0.20 without their signs, though they cancel */
    assert_int_equal(both.rating, DRIFT_FAIR);
    assert_false(both.beyond_most);
}

/* A fouled probe that drifted the other way is no better than one that is fouled alone. */
static void fouling_and_drift_of_opposite_sign_do_not_cancel_in_the_criterion(void **state)
{
    static const struct {
        double fouling;
        double drift;
        bool correct; /* the sum of the absolute values exceeds 0.3 mg/L (TM 1-D3) */
    } cases[] = {
        {-0.4, 0.2, true}, {-0.4, 0, true},    {0.2, 0.2, true},   {-0.2, 0.2, true},
        {0.4, -0.4, true}, {-0.1, 0.2, false}, {0.1, -0.1, false},
    };
    const struct drift_criteria *oxygen = drift_published_of("dissolved oxygen");

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cases); i++) {
        const struct fouling_check fouling = {8, 8 + cases[i].fouling, 8, 8};
        const struct drift_check drift = {10 + cases[i].drift, 10};
        struct drift_finding finding = drift_judge(oxygen, &fouling, &drift);

        if (finding.has_to_correct != cases[i].correct)
            fail_msg("fouling %g, drift %g", cases[i].fouling, cases[i].drift);
        assert_true(fabs(finding.total - (cases[i].fouling + cases[i].drift)) < 1e-9);
    }
}

static void of_amount_and_percent_the_greater_holds(void **state)
{
    const struct drift_criteria *conductance = drift_published_of("specific conductance");
    struct drift_finding finding = drift_judge(conductance, &errors[1].fouling, NULL);
    const struct fouling_check fresh = {100, 104, 100, 100};

    (void)state;
    assert_false(finding.has_to_correct); /* 25 is above 5, and below 3 % of 980: 29.4 */
    assert_int_equal(finding.rating, DRIFT_EXCELLENT);
    /* 4 uS/cm of 100 are 4 %, and no more than 5 uS/cm. */
    assert_false(drift_judge(conductance, &fresh, NULL).has_to_correct);
}

static const struct {
    const char *quantity;
    double error; /* of a probe that reads 10 in a standard of that much more */
    enum drift_rating rating;
    bool correct;
    bool beyond;
} ratings[] = {
    {"water temperature", 0.2, DRIFT_EXCELLENT, false, false},
    {"water temperature", 0.21, DRIFT_GOOD, true, false},
    {"water temperature", 0.5, DRIFT_GOOD, true, false},
    {"water temperature", 0.8, DRIFT_FAIR, true, false},
    {"water temperature", -0.81, DRIFT_POOR, true, false},
    {"water temperature", 2.0, DRIFT_POOR, true, false},
    {"water temperature", 2.1, DRIFT_POOR, true, true},
    {"pH", 0.2, DRIFT_EXCELLENT, false, false},
    {"pH", -0.3, DRIFT_GOOD, true, false},
    {"dissolved oxygen", 0.3, DRIFT_EXCELLENT, false, false},
    {"dissolved oxygen", 0.5, DRIFT_GOOD, true, false},
    {"dissolved oxygen", 0.8, DRIFT_FAIR, true, false},
    {"dissolved oxygen", 0.9, DRIFT_POOR, true, false},
    {"dissolved oxygen", 2.0, DRIFT_POOR, true, false}, /* 2.0 mg/L, and 20 % */
    {"dissolved oxygen", 2.1, DRIFT_POOR, true, true},
    {"turbidity", 0.5, DRIFT_EXCELLENT, false, false},
    {"turbidity", 0.6, DRIFT_GOOD, true, false},
    {"turbidity", 3.1, DRIFT_POOR, true, true},
    {"specific conductance", 0.3, DRIFT_EXCELLENT, false, false}, /* 3 %, and below 5 uS/cm */
    {"specific conductance", 1.5, DRIFT_FAIR, false, false},
    {"specific conductance", 3.1, DRIFT_POOR, false, true}, /* 31 % of very fresh water */
};

static void a_record_is_rated_by_the_size_of_its_errors(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(ratings); i++) {
        struct drift_check check = {10.0 + ratings[i].error, 10.0};
        struct drift_finding finding =
            drift_judge(drift_published_of(ratings[i].quantity), NULL, &check);

        if (finding.rating != ratings[i].rating || finding.has_to_correct != ratings[i].correct ||
            finding.beyond_most != ratings[i].beyond)
            fail_msg("%s, %g: %s%s%s", ratings[i].quantity, ratings[i].error,
                     drift_rating_words[finding.rating],
                     finding.has_to_correct ? ", to correct" : "",
                     finding.beyond_most ? ", beyond" : "");
    }
}

static void a_farm_may_state_criteria_of_its_own(void **state)
{
    const struct drift_criteria own = {
        "salinity", "PSU", {0.5, 0}, {{0.5, 0}, {1, 0}, {2, 0}}, {4, 0}};
    const struct drift_check check = {35, 36.5};
    struct drift_finding finding = drift_judge(&own, NULL, &check);

    (void)state;
    assert_null(drift_published_of("salinity"));
    assert_float_equal(finding.total, -1.5, 1e-9);
    assert_int_equal(finding.rating, DRIFT_FAIR);
    assert_true(finding.has_to_correct);
}

static void without_a_value_there_is_no_percent_and_the_amount_holds(void **state)
{
    const struct drift_check check = {0.4, 0.0};
    struct drift_finding finding = drift_judge(drift_published_of("turbidity"), NULL, &check);

    (void)state;
    assert_true(isnan(finding.drift.percent));
    assert_false(finding.has_to_correct);
    assert_int_equal(finding.rating, DRIFT_EXCELLENT);
}

static void an_error_grows_in_a_straight_line_between_two_visits(void **state)
{
    (void)state;
    assert_float_equal(drift_prorated(25, 0, 20 * DAY_US, 10 * DAY_US), 12.5, 1e-12);
    assert_float_equal(drift_prorated(25, 0, 20 * DAY_US, 20 * DAY_US), 25, 1e-12);
    assert_float_equal(drift_prorated(25, 0, 20 * DAY_US, 0), 0, 0);
    assert_float_equal(drift_prorated(25, 0, 20 * DAY_US, 21 * DAY_US), 0, 0);
    assert_float_equal(drift_prorated(25, 0, 0, 0), 0, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(fouling_and_drift_are_the_errors_of_the_publication),
        cmocka_unit_test(oxygen_that_is_off_by_more_than_its_criterion_is_corrected),
        cmocka_unit_test(fouling_and_drift_of_opposite_sign_do_not_cancel_in_the_criterion),
        cmocka_unit_test(of_amount_and_percent_the_greater_holds),
        cmocka_unit_test(a_record_is_rated_by_the_size_of_its_errors),
        cmocka_unit_test(a_farm_may_state_criteria_of_its_own),
        cmocka_unit_test(without_a_value_there_is_no_percent_and_the_amount_holds),
        cmocka_unit_test(an_error_grows_in_a_straight_line_between_two_visits),
    };

    return cmocka_run_group_tests_name("trust/drift", tests, NULL, NULL);
}
