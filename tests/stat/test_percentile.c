#include "harness/values.h"

#include "base/macro.h"
#include "stat/percentile.h"

/*
 * Expected values of the nine types: quantile(x, p, type = 1 to 9) of R 4.2.2, which follows
 * Hyndman and Fan (The American Statistician 50, 1996).
 */
#define FIRST "3.2 1.7 8.4 2.9 2.9 15.0 0.8 4.4 6.1 3.3"
#define SECOND "2 4.5 7.8 13 23 33 49 79 130 240 350"
#define NINE_P "0.05 0.1 0.25 0.5 0.75 0.8 0.9 0.95 0.98"
/* Worked example of rolling statistics. */
#define TWENTY "12 7 15 9 22 31 8 11 14 18 26 10 13 9 17 40 12 16 21 19"
#define TENS "1 2 3 4 5 6 7 8 9 10"
/* NIST/SEMATECH e-Handbook of Statistical Methods 7.2.6.2: twelve gauge readings (from memory). */
#define GAUGE                                                                                      \
    "95.1772 95.1567 95.1937 95.1959 95.1442 95.0610 95.1591 95.1195 95.1065 95.0925 95.1990 "     \
    "95.1682"
/* Helsel and Hirsch, Statistical Methods in Water Resources, chapter 1. */
#define USGS_A "2 4 8 9 11 11 12"

static const struct {
    const char *word;
    const char *values;
    const char *p;
    const char *expected;
} rows[] = {
    {"type 1", FIRST, NINE_P, "0.8 0.8 2.9 3.2 6.1 6.1 8.4 15 15"},
    {"type 2", FIRST, NINE_P, "0.8 1.25 2.9 3.25 6.1 7.25 11.7 15 15"},
    {"type 3", FIRST, NINE_P, "0.8 0.8 1.7 3.2 6.1 6.1 8.4 15 15"},
    {"type 4", FIRST, NINE_P, "0.8 0.8 2.3 3.2 5.25 6.1 8.4 11.7 13.68"},
    {"type 5", FIRST, NINE_P, "0.8 1.25 2.9 3.25 6.1 7.25 11.7 15 15"},
    {"type 6", FIRST, NINE_P, "0.8 0.89 2.6 3.25 6.675 7.94 14.34 15 15"},
    {"type 7", FIRST, NINE_P, "1.205 1.61 2.9 3.25 5.675 6.56 9.06 12.03 13.812"},
    {"type 8", FIRST, NINE_P, "0.8 1.13 2.8 3.25 755/120 7.48 12.58 15 15"},
    {"type 9", FIRST, NINE_P, "0.8 1.16 2.825 3.25 6.24375 7.4225 12.36 15 15"},
    {"type 1", SECOND, NINE_P, "2 4.5 7.8 33 130 130 240 350 350"},
    {"type 2", SECOND, NINE_P, "2 4.5 7.8 33 130 130 240 350 350"},
    {"type 3", SECOND, NINE_P, "2 2 7.8 33 79 130 240 240 350"},
    {"type 4", SECOND, NINE_P, "2 2.25 6.975 28 91.75 119.8 229 289.5 325.8"},
    {"type 5", SECOND, NINE_P, "2.125 3.5 9.1 33 117.25 163 284 344.5 350"},
    {"type 6", SECOND, NINE_P, "2 2.5 7.8 33 130 196 328 350 350"},
    {"type 7", SECOND, NINE_P, "3.25 4.5 10.4 33 104.5 130 240 295 328"},
    {"type 8", SECOND, NINE_P, "2 19/6 26/3 33 121.5 174 896/3 350 350"},
    {"type 9", SECOND, NINE_P, "2 3.25 8.775 33 120.4375 171.25 295 350 350"},
    {"type 1", "1 2 3 4", "0.25 0.5 0.75 0.9", "1 2 3 4"},
    {"type 2", "1 2 3 4", "0.25 0.5 0.75 0.9", "1.5 2.5 3.5 4"},
    {"type 3", "1 2 3 4", "0.25 0.5 0.75 0.9", "1 2 3 4"},
    {"type 4", "1 2 3 4", "0.25 0.5 0.75 0.9", "1 2 3 3.6"},
    {"type 5", "1 2 3 4", "0.25 0.5 0.75 0.9", "1.5 2.5 3.5 4"},
    {"type 6", "1 2 3 4", "0.25 0.5 0.75 0.9", "1.25 2.5 3.75 4"},
    {"type 7", "1 2 3 4", "0.25 0.5 0.75 0.9", "1.75 2.5 3.25 3.7"},
    {"type 8", "1 2 3 4", "0.25 0.5 0.75 0.9", "17/12 2.5 43/12 4"},
    {"type 9", "1 2 3 4", "0.25 0.5 0.75 0.9", "1.4375 2.5 3.5625 4"},
    /* The same twenty values by all nine in R. */
    {"nearest rank", TWENTY, "0.5 0.8 0.9 0.95", "14 21 26 31"},
    {"type 2", TWENTY, "0.5 0.8 0.9 0.95", "14.5 21.5 28.5 35.5"},
    {"type 3", TWENTY, "0.5 0.8 0.9 0.95", "14 21 26 31"},
    {"type 4", TWENTY, "0.5 0.8 0.9 0.95", "14 21 26 31"},
    {"Hazen", TWENTY, "0.5 0.8 0.9 0.95", "14.5 21.5 28.5 35.5"},
    {"Weibull", TWENTY, "0.5 0.8 0.9 0.95", "14.5 21.8 30.5 39.55"},
    {"inclusive", TWENTY, "0.5 0.8 0.9 0.95", "14.5 21.2 26.5 31.45"},
    {"type 8", TWENTY, "0.5 0.8 0.9 0.95", "14.5 21.6 175/6 36.85"},
    {"Blom", TWENTY, "0.5 0.8 0.9 0.95", "14.5 21.575 29 36.5125"},
    /* The handbook prints 95.1981. */
    {"Weibull", GAUGE, "0.9", "95.19807"},
    {"nearest rank", GAUGE, "0.9", "95.1959"},
    {"type 4", GAUGE, "0.9", "95.19546"},
    {"Hazen", GAUGE, "0.9", "95.19683"},
    {"inclusive", GAUGE, "0.9", "95.19568"},
    {"Blom", GAUGE, "0.9", "95.19714"},
    /* Helsel and Hirsch: the quarters are 4 and 11, which only the Weibull form gives. */
    {"Weibull", USGS_A, "0.25 0.75", "4 11"},
    {"inclusive", USGS_A, "0.25 0.75", "6 11"},
    {"inclusive", TENS, "0.95", "9.55"},
    {"type 4", TENS, "0.95", "9.5"},
    {"Hazen", TENS, "0.95", "10"},
    {"Hazen", "7", "0.9", "7"},
    {"inclusive", "1 2 3", "0 1", "1 3"},
    {"nearest rank", "1 2 3", "0 1", "1 3"},
};

static void definitions_agree_with_r_and_with_what_is_printed(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct values values = values_read(mem, rows[i].values);
        struct values p = values_read(mem, rows[i].p);
        struct values expected = values_read(mem, rows[i].expected);
        struct stat_input input = {.values = values.items,
                                   .count = values.count,
                                   .definition = percentile_definition_find(rows[i].word)};

        for (size_t k = 0; k < p.count; k++) {
            const struct exact *figure = NULL;
            struct err err = ERR_INIT;

            input.p = amount_exact(mem, p.items[k]);
            assert_done(statistic_work_out(mem, &stat_percentile, &input, &figure, &err), &err);
            if (exact_compare(figure, amount_exact(mem, expected.items[k])) != 0)
                fail_msg("%s of %s at %s: %s", rows[i].word, rows[i].values,
                         exact_text(mem, input.p, 3), exact_text(mem, figure, 12));
        }
    }
}

/* quantile() of R over each window of ten of TWENTY: the definition turns a limit of 30. */
static const struct {
    const char *word;
    const char *p;
    const char *expected;
} rolling[] = {
    {"Hazen", "0.8", "20 24 24 24 24 22 22 22 22 23.5 23.5"},
    {"inclusive", "0.8", "18.8 22.8 22.8 22.8 22.8 19.6 19.6 19.6 19.6 22 22"},
    {"Hazen", "0.9", "26.5 28.5 28.5 28.5 28.5 28.5 33 33 33 33 33"},
    {"Weibull", "0.9", "30.1 30.5 30.5 30.5 30.5 30.5 38.6 38.6 38.6 38.6 38.6"},
    {"inclusive", "0.9", "22.9 26.5 26.5 26.5 26.5 26.5 27.4 27.4 27.4 27.4 27.4"},
};

static void the_percentile_of_the_last_ten_agrees_with_r(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct values all = values_read(mem, TWENTY);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rolling); i++) {
        struct values expected = values_read(mem, rolling[i].expected);

        for (size_t k = 0; k < expected.count; k++) {
            struct stat_input input = {.values = all.items + k,
                                       .count = 10,
                                       .p = exact_from_text(mem, rolling[i].p),
                                       .definition = percentile_definition_find(rolling[i].word)};
            const struct exact *figure = NULL;
            struct err err = ERR_INIT;

            assert_done(statistic_work_out(mem, &stat_percentile, &input, &figure, &err), &err);
            assert_int_equal(exact_compare(figure, amount_exact(mem, expected.items[k])), 0);
        }
    }
}

static const struct {
    const char *word;
    const char *p;
    size_t count;
    bool end;
    const char *reason;
} ends[] = {
    {"Weibull", "0.95", 18, true, "rank 18.05 of 18"},
    {"Weibull", "0.95", 19, false, "rank 19 of 19: 19 are needed (Helsel and Hirsch ch. 1)"},
    {"Hazen", "0.95", 9, true, "rank 9.05 of 9"},
    {"Hazen", "0.95", 10, false, "rank 10 of 10"},
    {"Hazen", "0.05", 9, true, "and from below"},
    {"inclusive", "0.95", 2, false, "its rank is never outside"},
    {"inclusive", "0.95", 1, true, "one value is both ends"},
    {"nearest rank", "0.95", 19, true, "18.05 up is 19: the highest"},
    {"nearest rank", "0.95", 20, false, "19 of 20"},
    {"nearest rank", "0.1", 10, true, "the lowest"},
    {"type 2", "0.95", 20, false, "between the two highest"},
    {"type 3", "0.95", 30, false, "28.5 to the even 28"},
};

static void a_percentile_of_few_values_is_said_to_be_an_end(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(ends); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        bool end = percentile_is_end_value(mem, percentile_definition_find(ends[i].word),
                                           exact_from_text(mem, ends[i].p), ends[i].count);

        if (end != ends[i].end)
            fail_msg("%s: %s", ends[i].word, ends[i].reason);
    }
}

static void the_least_count_is_told(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct exact *p = exact_from_text(mem, "0.95");

    (void)state;
    assert_int_equal(percentile_least_count(percentile_definition_find("Weibull"), p), 19);
    assert_int_equal(percentile_least_count(percentile_definition_find("Hazen"), p), 10);
    assert_int_equal(percentile_least_count(percentile_definition_find("nearest rank"), p), 20);
    assert_int_equal(
        percentile_least_count(percentile_definition_find("nearest rank"), exact_from_int(mem, 1)),
        0);
}

static void an_input_without_its_settings_is_refused(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct values values = values_read(mem, "1 2 3");
    struct stat_input input = {.values = values.items, .count = values.count};
    const struct exact *figure = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_fails(statistic_work_out(mem, &stat_percentile, &input, &figure, &err), ERR_INVALID,
                 &err);
    input.p = exact_from_text(mem, "0.9");
    assert_fails(statistic_work_out(mem, &stat_percentile, &input, &figure, &err), ERR_INVALID,
                 &err);
    input.definition = percentile_definition_find("Hazen");
    input.p = exact_from_text(mem, "90");
    assert_fails(statistic_work_out(mem, &stat_percentile, &input, &figure, &err), ERR_INVALID,
                 &err);
    assert_string_equal(err.text, "a percentile lies between 0 and 100");
    assert_null(figure);
}

static void every_definition_is_found_by_its_word(void **state)
{
    size_t count = 0;

    (void)state;
    for (; percentile_definition_at(count); count++) {
        const struct percentile_definition *row = percentile_definition_at(count);

        assert_ptr_equal(percentile_definition_find(row->word), row);
        assert_int_equal(row->picks, strcmp(row->word, "type 1") == 0 ||
                                         strcmp(row->word, "type 3") == 0 ||
                                         strcmp(row->word, "nearest rank") == 0);
    }
    assert_int_equal(count, 14);
    assert_null(percentile_definition_find("excel"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(definitions_agree_with_r_and_with_what_is_printed),
        cmocka_unit_test(the_percentile_of_the_last_ten_agrees_with_r),
        cmocka_unit_test(a_percentile_of_few_values_is_said_to_be_an_end),
        cmocka_unit_test(the_least_count_is_told),
        cmocka_unit_test(an_input_without_its_settings_is_refused),
        cmocka_unit_test(every_definition_is_found_by_its_word),
    };

    return cmocka_run_group_tests_name("stat/percentile", tests, NULL, NULL);
}
