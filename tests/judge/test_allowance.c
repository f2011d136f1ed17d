/* How many beyond a bound a clause lets pass, and how they are counted in a verdict. */
#include <limits.h>

#include "base/str.h"
#include "judge/allowance.h"
#include "judge/given.h"

/*
 * Samples of a year and how many of them may fail: Council Directive 91/271/EEC, Annex I, Table 3,
 * from memory. It is data: the binomial distribution gives 24 for 351.
 */
static const struct allowance_row urban_waste_water[] = {
    {4, 7, 1},      {8, 16, 2},     {17, 28, 3},    {29, 40, 4},    {41, 53, 5},
    {54, 67, 6},    {68, 81, 7},    {82, 95, 8},    {96, 110, 9},   {111, 125, 10},
    {126, 140, 11}, {141, 155, 12}, {156, 171, 13}, {172, 187, 14}, {188, 203, 15},
    {204, 219, 16}, {220, 235, 17}, {236, 251, 18}, {252, 268, 19}, {269, 284, 20},
    {285, 300, 21}, {301, 317, 22}, {318, 334, 23}, {335, 350, 24}, {351, 365, 25},
};

/*
 * Exceedances allowed at 95 percent confidence that a value is exceeded for no more than 5
 * percent of the time: New Zealand Ministry for the Environment, guide to the drinking-water
 * standards, Appendix 1, Table A1.3.
 */
static const struct allowance_row drinking_water[] = {
    {38, 76, 0},   {77, 108, 1},  {109, 138, 2}, {139, 166, 3}, {167, 193, 4},  {194, 220, 5},
    {221, 246, 6}, {247, 272, 7}, {273, 298, 8}, {299, 323, 9}, {324, 348, 10},
};

/* The same guide, Table A1.4: for no more than 2 percent of the time. */
static const struct allowance_row drinking_water_2[] = {
    {95, 193, 0},  {194, 274, 1}, {275, 349, 2}, {350, 420, 3}, {421, 489, 4},  {490, 556, 5},
    {557, 621, 6}, {622, 686, 7}, {687, 750, 8}, {751, 813, 9}, {814, 875, 10},
};

static const struct {
    const struct allowance_row *rows;
    size_t count;
} tables[] = {
    {urban_waste_water, ARRAY_LEN(urban_waste_water)},
    {drinking_water, ARRAY_LEN(drinking_water)},
    {drinking_water_2, ARRAY_LEN(drinking_water_2)},
};

static const struct {
    const struct allowance_row *rows;
    size_t count;
    size_t samples;
    int allowed; /* -1: the table has no row */
    const char *reason;
} printed[] = {
    {urban_waste_water, ARRAY_LEN(urban_waste_water), 3, -1, "before its first row"},
    {urban_waste_water, ARRAY_LEN(urban_waste_water), 4, 1, "its first"},
    {urban_waste_water, ARRAY_LEN(urban_waste_water), 7, 1, "the last with 1"},
    {urban_waste_water, ARRAY_LEN(urban_waste_water), 8, 2, "the first with 2"},
    {urban_waste_water, ARRAY_LEN(urban_waste_water), 350, 24, "as the distribution has it"},
    {urban_waste_water, ARRAY_LEN(urban_waste_water), 351, 25, "the one that it has not"},
    {urban_waste_water, ARRAY_LEN(urban_waste_water), 366, -1, "past its last row"},
    {drinking_water, ARRAY_LEN(drinking_water), 37, -1, "too few to show anything"},
    {drinking_water, ARRAY_LEN(drinking_water), 38, 0, "its first"},
    {drinking_water, ARRAY_LEN(drinking_water), 193, 4, "the last with 4"},
    {drinking_water, ARRAY_LEN(drinking_water), 194, 5, "printed as reaching 95 percent"},
    {drinking_water_2, ARRAY_LEN(drinking_water_2), 94, -1, "too few to show 2 percent"},
    {drinking_water_2, ARRAY_LEN(drinking_water_2), 95, 0, "its first"},
    {drinking_water_2, ARRAY_LEN(drinking_water_2), 193, 0, "the last with none"},
    {drinking_water_2, ARRAY_LEN(drinking_water_2), 194, 1, "where 5 percent allow five"},
    {drinking_water_2, ARRAY_LEN(drinking_water_2), 876, -1, "past its last row"},
};

static void a_printed_table_is_read_and_never_worked_out(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(printed); i++) {
        const struct limit_allowance allowance = {
            .kind = ALLOWANCE_TABLE, .rows = printed[i].rows, .row_count = printed[i].count};
        size_t allowed = 99;
        bool found = allowance_of(&allowance, printed[i].samples, &allowed);

        if (found != (printed[i].allowed >= 0) || (found && (int)allowed != printed[i].allowed))
            fail_msg("%zu samples, %s: %d, %zu", printed[i].samples, printed[i].reason, found,
                     allowed);
    }
}

/* So many samples of one year, four hours apart at most, the first ones beyond the bound. */
static void year_of(struct given *given, int samples, int beyond)
{
    given_again(given);

    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

    for (int k = 0; k < samples; k++)
        given_add(given, series, given_at("2026-01-01T12:00:00Z") + k * 4 * 3600 * SECOND_US,
                  k < beyond ? "31" : "30", "mg/L");
}

/* Every row of the three tables, at its first and last number: k pass, k + 1 do not. */
static void each_row_of_the_tables_is_judged(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_YEAR;
    given->from = day_from_civil(2026, 1, 1);
    given->to = day_from_civil(2026, 12, 31);
    for (size_t i = 0; i < ARRAY_LEN(tables); i++) {
        given->limit.allowance = (struct limit_allowance){
            .kind = ALLOWANCE_TABLE, .rows = tables[i].rows, .row_count = tables[i].count};
        for (size_t row = 0; row < tables[i].count; row++)
            for (int which = 0; which < 4; which++) {
                const struct allowance_row *one = &tables[i].rows[row];
                int beyond = one->allowed + which % 2;

                year_of(given, which < 2 ? one->from : one->to, beyond);

                struct verdict verdict = given_assert(
                    given, which % 2 ? "outside: above 30" : "within", "a row of a table");

                assert_int_equal(verdict.windows[0].beyond, beyond);
                assert_int_equal(verdict.windows[0].allowed, one->allowed);
            }
    }
}

/* Too few to show anything is no pass, though none is beyond. */
static void too_few_for_the_first_row_is_no_pass(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_YEAR;
    given->from = day_from_civil(2026, 1, 1);
    given->to = day_from_civil(2026, 12, 31);
    for (size_t i = 0; i < ARRAY_LEN(tables); i++) {
        given->limit.allowance = (struct limit_allowance){
            .kind = ALLOWANCE_TABLE, .rows = tables[i].rows, .row_count = tables[i].count};
        year_of(given, tables[i].rows[0].from - 1, 0);
        given_assert(given, "not assessable", "one less than its first row");
    }
}

static const struct allowance_row two_rows[] = {{2, 3, 0}, {4, INT_MAX, 1}};

/* 40 CFR 403.8(f)(2)(viii), from memory: 66 percent beyond by any amount, 33 percent at 1.4 times.
 */
static const char measurements[] = "1:31 2:45 3:29 4:33 5:36 6:40 7:28 8:44 9:50 10:31 11:32 12:30";

/* Commission Implementing Regulation (EU) 2019/627, Article 53, from memory; per 100 g. */
static const char class_a[] = "1:20 2:20 3:45 4:78 5:110 6:130 7:200 8:230 9:500 10:700";
static const char not_class_a[] = "1:20 2:20 3:45 4:78 5:110 6:130 7:200 8:230 9:500 10:701";

static const struct {
    struct limit_allowance allowance;
    const char *bound;
    bool reached;
    int least;
    const char *samples;
    const char *standing;
    size_t beyond;
    const char *reason;
} counts[] = {
    {{.kind = ALLOWANCE_COUNT, .count = 1},
     "30",
     false,
     0,
     "1:31 2:30 3:29",
     "within",
     1,
     "one is allowed"},
    {{.kind = ALLOWANCE_COUNT, .count = 1},
     "30",
     false,
     0,
     "1:31 2:31 3:29",
     "outside: above 30",
     2,
     "two are not"},
    {{.kind = ALLOWANCE_COUNT, .count = 1},
     "30",
     true,
     0,
     "1:31 2:30 3:29",
     "outside: at or above 30",
     2,
     "30 is beyond it too, as worded"},
    {{.kind = ALLOWANCE_COUNT, .count = 1, .of = 10},
     "30",
     false,
     0,
     "1:31 2:30",
     "not assessable",
     1,
     "of ten there are two"},
    {{.kind = ALLOWANCE_COUNT, .count = 1, .of = 10},
     "30",
     false,
     0,
     "1:31 2:31",
     "outside: above 30",
     2,
     "two beyond it, however many are missing"},
    {{.kind = ALLOWANCE_COUNT, .count = 0},
     "30",
     false,
     0,
     "1:<40 2:20",
     "not assessable",
     0,
     "a less-than that could be one too many"},
    {{.kind = ALLOWANCE_COUNT, .count = 1},
     "30",
     false,
     0,
     "1:<40 2:20",
     "within",
     0,
     "a less-than that could be the one allowed"},
    {{.kind = ALLOWANCE_COUNT, .count = 1},
     "30",
     false,
     0,
     "1:31 2:<40",
     "not assessable",
     1,
     "or one more"},
    {{.kind = ALLOWANCE_COUNT, .count = 1},
     "30",
     false,
     0,
     "1:31 2:35?",
     "outside: above 30",
     2,
     "one in doubt can stop"},
    {{.kind = ALLOWANCE_SHARE, .percent = {66, 0}},
     "30",
     false,
     0,
     measurements,
     "outside: above 30",
     9,
     "9 of 12 are 75 percent: 30 is none of them"},
    {{.kind = ALLOWANCE_SHARE, .percent = {75, 0}},
     "30",
     false,
     0,
     measurements,
     "within",
     9,
     "75 percent are not more than 75"},
    {{.kind = ALLOWANCE_SHARE, .percent = {749, 1}},
     "30",
     false,
     0,
     measurements,
     "outside: above 30",
     9,
     "75 percent are more than 74.9"},
    {{.kind = ALLOWANCE_SHARE, .percent = {33, 0}},
     "42",
     true,
     0,
     measurements,
     "within",
     3,
     "3 of 12 are 25 percent"},
    {{.kind = ALLOWANCE_SHARE, .percent = {10, 0}},
     "30",
     false,
     20,
     "1:31 2:31",
     "not assessable",
     2,
     "a share of too few is not final"},
    {{.kind = ALLOWANCE_SHARE, .percent = {20, 0}},
     "230",
     false,
     0,
     class_a,
     "within",
     2,
     "80 percent keep 230"},
    {{.kind = ALLOWANCE_COUNT, .count = 0},
     "700",
     false,
     0,
     class_a,
     "within",
     0,
     "and the rest keeps 700"},
    {{.kind = ALLOWANCE_COUNT, .count = 0},
     "700",
     false,
     0,
     not_class_a,
     "outside: above 700",
     1,
     "701 does not"},
    {{.kind = ALLOWANCE_TABLE, .rows = two_rows, .row_count = 2},
     "30",
     false,
     0,
     "1:31",
     "not assessable",
     1,
     "the table has no row for one"},
    {{.kind = ALLOWANCE_TABLE, .rows = two_rows, .row_count = 2},
     "30",
     false,
     0,
     "1:31 2:1 3:1 4:1",
     "within",
     1,
     "four may have one"},
    {{.kind = ALLOWANCE_TABLE, .rows = two_rows, .row_count = 2},
     "30",
     false,
     0,
     "1:31 2:1 3:1",
     "outside: above 30",
     1,
     "three may have none"},
};

static void what_lies_beyond_is_counted_against_what_is_allowed(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    for (size_t i = 0; i < ARRAY_LEN(counts); i++) {
        given_again(given);
        given->limit.allowance = counts[i].allowance;
        given->limit.bound.ceiling = given_decimal(counts[i].bound);
        given->limit.bound.ceiling_reached_is_outside = counts[i].reached;
        given->limit.least_samples = counts[i].least;
        given_samples(given, counts[i].samples);

        struct verdict verdict = given_assert(given, counts[i].standing, counts[i].reason);

        if (verdict.windows[0].beyond != counts[i].beyond)
            fail_msg("%s: %zu beyond", counts[i].reason, verdict.windows[0].beyond);
    }
}

/*
 * Articles 54 and 55 of the same regulation, from memory: class B, 90 percent not above 4600 and
 * the rest not above 46000; class C, all not above 46000. Of ten samples.
 */
static void the_classes_of_shellfish_areas_are_told_apart(void **state)
{
    static const struct {
        const char *last;     /* of ten, two of 230 and 500 and the rest lower */
        const char *most;     /* to the class's own bound for most of them */
        const char *rest;     /* and to the one for the rest */
        const char *one_more; /* with a second one beyond 4600 */
    } rows[] = {
        {"4600", "within", "within", "within"},
        {"4601", "within", "within", "outside: above 4600"},
        {"46000", "within", "within", "outside: above 4600"},
        {"46001", "within", "outside: above 46000", "outside: above 4600"},
    };
    static const char eight[] = "1:20 2:20 3:45 4:78 5:110 6:130 7:200 8:230";
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct limit_allowance tenth = {.kind = ALLOWANCE_SHARE, .percent = {10, 0}};
        const struct limit_allowance none = {.kind = ALLOWANCE_COUNT, .count = 0};
        const struct {
            struct limit_allowance allowance;
            const char *bound;
            const char *ninth;
            const char *standing;
        } asked[] = {
            {tenth, "4600", "500", rows[i].most},
            {none, "46000", "500", rows[i].rest},
            {tenth, "4600", rows[i].last, rows[i].one_more},
        };

        for (size_t k = 0; k < ARRAY_LEN(asked); k++) {
            given_again(given);
            given->limit.allowance = asked[k].allowance;
            given->limit.bound.ceiling = given_decimal(asked[k].bound);
            given_samples(given, arena_printf(given->mem, "%s 9:%s 10:%s", eight, asked[k].ninth,
                                              rows[i].last));
            given_assert(given, asked[k].standing, rows[i].last);
        }
    }
}

/*
 * 40 CFR 403.8(f)(2)(viii), from memory: "33 percent or more" equal or exceed 1.4 times the limit,
 * "66 percent or more" exceed it. A share of exactly 33 is one of these, which is a figure and no
 * allowance: the share beyond has to be below 33.
 */
static void a_share_of_just_so_many_percent_is_told_from_one_of_more(void **state)
{
    static const struct {
        const char *beyond;
        bool reached;
        const char *share;
        int samples;
        int high;
        const char *value;
        const char *standing;
    } rows[] = {
        {"42", true, "33", 100, 33, "42", "outside: at or above 33"},
        {"42", true, "33", 100, 32, "42", "within"},
        {"42", true, "33", 12, 3, "44", "within"},
        {"42", true, "33", 12, 4, "44", "outside: at or above 33"},
        {"42", true, "33", 100, 33, "41.9", "within"},
        {"30", false, "66", 100, 66, "31", "outside: at or above 66"},
        {"30", false, "66", 100, 65, "31", "within"},
        {"30", false, "66", 100, 66, "30", "within"},
    };
    struct given *given = *state;

    given->limit.statistic = STATISTIC_SHARE_BEYOND;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        given_again(given);
        given->limit.settings.beyond =
            (struct limit_beyond){.has_above = true,
                                  .above = given_decimal(rows[i].beyond),
                                  .above_reached_counts = rows[i].reached};
        given->limit.bound.ceiling = given_decimal(rows[i].share);
        given->limit.bound.ceiling_reached_is_outside = true;

        size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

        for (int k = 0; k < rows[i].samples; k++)
            given_add(given, series, given_at("2026-03-01T12:00:00Z") + k * 6 * 3600 * SECOND_US,
                      k < rows[i].high ? rows[i].value : "20", "mg/L");
        given_assert(given, rows[i].standing, rows[i].value);
    }
}

/* Two of the last ten strictly above 20 in the first window, three in the next: arithmetic. */
static void the_count_rolls_with_the_last_samples(void **state)
{
    static const size_t expected[] = {2, 3, 3, 3, 3, 2, 2, 2, 2, 3, 3};
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_LAST_SAMPLES;
    given->limit.last_samples = 10;
    given->limit.bound.ceiling = (struct decimal){20, 0};
    given->limit.allowance =
        (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 3, .of = 10};
    given->from = day_from_civil(2026, 3, 10);
    given_samples(given, "1:12 2:7 3:15 4:9 5:22 6:31 7:8 8:11 9:14 10:18 11:26 12:10 13:13 14:9 "
                         "15:17 16:40 17:12 18:16 19:21 20:19");

    struct verdict verdict = given_assert(given, "within", "never more than three");

    assert_int_equal(verdict.window_count, ARRAY_LEN(expected));
    for (size_t i = 0; i < ARRAY_LEN(expected); i++)
        assert_int_equal(verdict.windows[i].beyond, expected[i]);
    given->limit.allowance.count = 2;
    verdict = given_assert(given, "outside: above 20", "three are one too many");
    assert_string_equal(verdict.words,
                        "outside: above 20 (40 mg/L, 3 of 10 samples beyond it, with 2 allowed in "
                        "the last 10 to 19 March 2026; 6 of 11 windows, not above 20 mg/L)");
}

/* A clause that speaks of 12 says nothing of 13: what 12 may do, 13 may not exceed. */
static void more_samples_than_it_is_for_raise_no_allowance(void **state)
{
    static const struct {
        int samples;
        int beyond;
        const char *standing;
        const char *note;
    } rows[] = {
        {11, 2, "not assessable", NULL},
        {12, 2, "within", NULL},
        {12, 3, "outside: above 30", NULL},
        {13, 2, "within", "the clause allows 2 of 12, and no more of the 13 there are"},
        {24, 2, "within", "the clause allows 2 of 12, and no more of the 24 there are"},
        {24, 3, "outside: above 30", "the clause allows 2 of 12, and no more of the 24 there are"},
    };
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    given->limit.period = PERIOD_YEAR;
    given->from = day_from_civil(2026, 1, 1);
    given->to = day_from_civil(2026, 12, 31);
    given->limit.allowance =
        (struct limit_allowance){.kind = ALLOWANCE_COUNT, .count = 2, .of = 12};
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        year_of(given, rows[i].samples, rows[i].beyond);

        struct verdict verdict = given_assert(given, rows[i].standing, "of twelve");
        const char *note = verdict.windows[0].note;

        if (!note != !rows[i].note || (note && !str_equal(note, rows[i].note)))
            fail_msg("%d of %d: %s", rows[i].beyond, rows[i].samples, note ? note : "no note");
    }
}

/* Adding a value that keeps the bound breaks no count and no share. */
static void one_more_inside_breaks_nothing(void **state)
{
    struct given *given = *state;

    given->limit.statistic = STATISTIC_VALUE;
    for (int beyond = 0; beyond < 4; beyond++)
        for (int inside = 0; inside < 12; inside++)
            for (int kind = ALLOWANCE_COUNT; kind <= ALLOWANCE_SHARE; kind++) {
                enum standing before = STANDING_WITHIN;

                given->limit.allowance = (struct limit_allowance){
                    .kind = (enum allowance_kind)kind, .count = 2, .percent = {25, 0}};
                for (int more = 0; more < 2; more++) {
                    given_again(given);

                    size_t series = given_series(given, "outfall", "suspended-solids", KIND_GRAB);

                    for (int k = 0; k < beyond + inside + more; k++)
                        given_add(given, series, given_at("2026-03-01T12:00:00Z") + k * DAY_US,
                                  k < beyond ? "31" : "30", "mg/L");

                    enum standing standing = given_verdict(given).standing;

                    if (more && before != STANDING_OUTSIDE)
                        assert_int_not_equal(standing, STANDING_OUTSIDE);
                    before = standing;
                }
            }
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_printed_table_is_read_and_never_worked_out),
        CASE(each_row_of_the_tables_is_judged),
        CASE(too_few_for_the_first_row_is_no_pass),
        CASE(what_lies_beyond_is_counted_against_what_is_allowed),
        CASE(the_classes_of_shellfish_areas_are_told_apart),
        CASE(a_share_of_just_so_many_percent_is_told_from_one_of_more),
        CASE(the_count_rolls_with_the_last_samples),
        CASE(more_samples_than_it_is_for_raise_no_allowance),
        CASE(one_more_inside_breaks_nothing),
    };

    return cmocka_run_group_tests_name("judge/allowance", tests, NULL, NULL);
}
