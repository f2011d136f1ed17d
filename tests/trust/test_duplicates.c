#include "trust/duplicates.h"

#include <stdlib.h>
#include <string.h>

#include "base/macro.h"
#include "base/str.h"
#include "harness/cmocka.h"

static struct decimal number(const char *text)
{
    struct decimal value = {0};

    if (text && !decimal_parse(text, &value))
        fail_msg("%s is no number", text);

    return value;
}

/* "8", "<0.2", ">1600", "ND". */
static struct lab_result result(struct arena *mem, const char *text)
{
    struct lab_result out = {.less_than = text[0] == '<' || text[0] == 'N',
                             .more_than = text[0] == '>'};

    if (text[0] != 'N')
        out.value = exact_from_decimal(mem, number(text + (text[0] == '<' || text[0] == '>')));

    return out;
}

/* Relative percent difference: the standard definition; NULL where it has none. */
static void two_results_differ_relative_to_their_mean(void **state)
{
    static const struct {
        const char *why;
        const char *a;
        const char *b;
        const char *percent;
    } rows[] = {
        {"by hand: 2 of 9", "8", "10", "22.2222"},
        {"the other way round", "10", "8", "22.2222"},
        {"alike", "7", "7", "0"},
        {"one is 0: as far as can be", "0", "3", "200"},
        {"below zero", "-8", "-10", "22.2222"},
        {"0 and 0 is not 0 %", "0", "0", NULL},
        {"two less-thans", "<0.2", "<0.2", NULL},
        {"one less-than", "<0.2", "3", NULL},
        {"one more-than", "1000", ">1600", NULL},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct lab_result a = result(mem, rows[i].a);
        struct lab_result b = result(mem, rows[i].b);
        const struct exact *percent = duplicate_percent(mem, &a, &b);
        const char *text = percent ? exact_text(mem, percent, 6) : NULL;

        if (!str_equal(text, rows[i].percent))
            fail_msg("%s: %s", rows[i].why, text ? text : "none");
    }
}

/* The last rule with 2 and 25: US Geological Survey Water-Resources Investigations 01-4255. */
static const struct {
    const char *why;
    struct {
        enum duplicate_rule rule;
        const char *percent;
        const char *times;
        const char *below;
    } bounds;
    const char *a;
    const char *b;
    const char *limit; /* NULL: not known */
    enum quality_answer answer;
} pairs[] = {
    {"22 % is more than 20",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "8",
     "10",
     NULL,
     QUALITY_FAILED},
    {"22 % is less than 25",
     {DUPLICATE_PERCENT, "25", NULL, NULL},
     "8",
     "10",
     NULL,
     QUALITY_PASSED},
    {"just 20 %, which no double says of these",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "0.9",
     "1.1",
     NULL,
     QUALITY_PASSED},
    {"both 0", {DUPLICATE_PERCENT, "20", NULL, NULL}, "0", "0", NULL, QUALITY_NOT_ASSESSED},
    {"both less-thans",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "<1",
     "<1",
     NULL,
     QUALITY_NOT_ASSESSED},
    {"one more-than",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "900",
     ">1600",
     NULL,
     QUALITY_NOT_ASSESSED},
    {"a less-than that differs by 156 % at its nearest: 0.05 and 0.40",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "<0.05",
     "0.40",
     NULL,
     QUALITY_FAILED},
    {"a less-than that differs by just 20 % at its nearest",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "1.1",
     "<0.9",
     NULL,
     QUALITY_NOT_ASSESSED},
    {"a less-than that may be near",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "<6",
     "7",
     NULL,
     QUALITY_NOT_ASSESSED},
    {"a less-than of more than the other",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "<9",
     "7",
     NULL,
     QUALITY_NOT_ASSESSED},
    {"not detected, and no limit told: by percent",
     {DUPLICATE_PERCENT, "20", NULL, NULL},
     "ND",
     "7",
     NULL,
     QUALITY_NOT_ASSESSED},

    {"both just at 5 times",
     {DUPLICATE_PERCENT_FROM, "20", "5", NULL},
     "1.0",
     "1.3",
     "0.2",
     QUALITY_FAILED},
    {"one below 5 times",
     {DUPLICATE_PERCENT_FROM, "20", "5", NULL},
     "0.9",
     "1.3",
     "0.2",
     QUALITY_NOT_ASSESSED},
    {"below it, by twice the limit: just",
     {DUPLICATE_PERCENT_FROM, "20", "5", "2"},
     "0.9",
     "1.3",
     "0.2",
     QUALITY_PASSED},
    {"below it, further",
     {DUPLICATE_PERCENT_FROM, "20", "5", "2"},
     "0.9",
     "1.31",
     "0.2",
     QUALITY_FAILED},
    {"a less-than that is too far at its nearest",
     {DUPLICATE_PERCENT_FROM, "20", "5", "2"},
     "<0.2",
     "0.7",
     "0.2",
     QUALITY_FAILED},
    {"a less-than that is near at its farthest",
     {DUPLICATE_PERCENT_FROM, "20", "5", "2"},
     "0.4",
     "<0.2",
     "0.2",
     QUALITY_PASSED},
    {"a less-than that may be either",
     {DUPLICATE_PERCENT_FROM, "20", "5", "2"},
     "<0.2",
     "0.5",
     "0.2",
     QUALITY_NOT_ASSESSED},
    {"not detected, and no limit told",
     {DUPLICATE_PERCENT_FROM, "20", "5", "2"},
     "ND",
     "9",
     "0.2",
     QUALITY_NOT_ASSESSED},
    {"no limit is known",
     {DUPLICATE_PERCENT_FROM, "20", "5", "2"},
     "8",
     "10",
     NULL,
     QUALITY_NOT_ASSESSED},

    {"far in both", {DUPLICATE_AND, "25", "2", NULL}, "1.0", "1.5", "0.2", QUALITY_FAILED},
    {"far by percent alone", {DUPLICATE_AND, "25", "2", NULL}, "0.3", "0.6", "0.2", QUALITY_PASSED},
    {"far by amount alone",
     {DUPLICATE_AND, "25", "2", NULL},
     "10.0",
     "10.5",
     "0.2",
     QUALITY_PASSED},
    {"just 2 times the limit",
     {DUPLICATE_AND, "25", "2", NULL},
     "0.5",
     "0.9",
     "0.2",
     QUALITY_PASSED},
    {"one below, one above 2 times",
     {DUPLICATE_AND, "25", "2", NULL},
     "<0.2",
     "0.41",
     "0.2",
     QUALITY_FAILED},
    {"one below, one just at 2 times",
     {DUPLICATE_AND, "25", "2", NULL},
     "0.4",
     "<0.2",
     "0.2",
     QUALITY_PASSED},
    {"one not detected", {DUPLICATE_AND, "25", "2", NULL}, "ND", "0.41", "0.2", QUALITY_FAILED},
    {"no limit is known", {DUPLICATE_AND, "25", "2", NULL}, "8", "80", NULL, QUALITY_NOT_ASSESSED},
};

static void pairs_pass_or_fail_by_the_rule_that_was_asked(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(pairs); i++) {
        struct duplicate_bounds bounds = {.rule = pairs[i].bounds.rule,
                                          .percent = number(pairs[i].bounds.percent),
                                          .times = number(pairs[i].bounds.times),
                                          .has_below = pairs[i].bounds.below != NULL,
                                          .below_times = number(pairs[i].bounds.below)};
        struct lab_result a = result(mem, pairs[i].a);
        struct lab_result b = result(mem, pairs[i].b);
        const struct exact *limit =
            pairs[i].limit ? exact_from_decimal(mem, number(pairs[i].limit)) : NULL;

        for (int turned = 0; turned < 2; turned++) {
            struct quality_outcome got = turned ? duplicate_judge(mem, &bounds, &b, &a, limit)
                                                : duplicate_judge(mem, &bounds, &a, &b, limit);

            if (got.answer != pairs[i].answer)
                fail_msg("%s: %s: %s", pairs[i].why, quality_answer_words[got.answer], got.words);
        }
    }
}

static void a_failed_pair_says_by_how_much(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct duplicate_bounds bounds = {.rule = DUPLICATE_PERCENT, .percent = number("20")};
    struct lab_result a = result(mem, "8");
    struct lab_result b = result(mem, "10");

    (void)state;
    assert_string_equal(duplicate_judge(mem, &bounds, &a, &b, NULL).words,
                        "they differ by 22.2 % of their mean, more than the 20 % allowed");
    assert_string_equal(duplicate_judge(mem, &bounds, &a, &a, NULL).words,
                        "they differ by 0 % of their mean; 20 % is allowed");
}

/* Relative standard deviation: the standard definition, worked out by hand. */
static void many_replicates_spread_around_their_mean(void **state)
{
    static const struct {
        const char *why;
        const char *values[4];
        const char *percent;
        enum quality_answer answer;
        const char *spread;
    } rows[] = {
        {"of two: the difference over the root of 2", {"8", "10"}, "20", QUALITY_PASSED, "15.7"},
        {"squares 8 over 3: 1.63299 of 4", {"2", "4", "4", "6"}, "40", QUALITY_FAILED, "40.8"},
        {"just at its bound: 1 of 5", {"4", "5", "6"}, "20", QUALITY_PASSED, "20.0"},
        {"a mean of 0", {"1", "-1"}, "20", QUALITY_NOT_ASSESSED, NULL},
        {"one alone", {"4"}, "20", QUALITY_NOT_ASSESSED, NULL},
        {"a less-than among them", {"4", "<5", "4"}, "20", QUALITY_NOT_ASSESSED, NULL},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct lab_result values[4];
        const struct lab_result *list[4];
        size_t count = 0;

        while (count < 4 && rows[i].values[count]) {
            values[count] = result(mem, rows[i].values[count]);
            list[count] = &values[count];
            count++;
        }

        struct quality_outcome got = replicates_judge(mem, number(rows[i].percent), list, count);

        if (got.answer != rows[i].answer || (got.percent != NULL) != (rows[i].spread != NULL))
            fail_msg("%s: %s", rows[i].why, got.words);
        if (rows[i].spread)
            assert_float_equal(exact_double(got.percent), strtod(rows[i].spread, NULL), 0.05);
    }
}

static void a_blank_is_held_against_the_bound_that_was_asked(void **state)
{
    static const struct {
        const char *why;
        struct {
            enum blank_bound kind;
            const char *amount;
        } bounds;
        const char *blank;
        const char *detection;
        const char *quantitation;
        const char *limit;
        enum quality_answer answer;
    } rows[] = {
        {"just at the amount", {BLANK_AMOUNT, "0.4"}, "0.40", NULL, NULL, NULL, QUALITY_PASSED},
        {"above it", {BLANK_AMOUNT, "0.4"}, "0.41", NULL, NULL, NULL, QUALITY_FAILED},
        {"a less-than below it", {BLANK_AMOUNT, "0.4"}, "<0.1", NULL, NULL, NULL, QUALITY_PASSED},
        {"a less-than above it",
         {BLANK_AMOUNT, "0.4"},
         "<1",
         NULL,
         NULL,
         NULL,
         QUALITY_NOT_ASSESSED},
        {"above the detection limit",
         {BLANK_DETECTION, NULL},
         "0.11",
         "0.1",
         NULL,
         NULL,
         QUALITY_FAILED},
        {"no detection limit told",
         {BLANK_DETECTION, NULL},
         "0.11",
         NULL,
         NULL,
         "0.3",
         QUALITY_NOT_ASSESSED},
        {"nothing found, no limit told",
         {BLANK_DETECTION, NULL},
         "<0.1",
         NULL,
         NULL,
         NULL,
         QUALITY_PASSED},
        {"not detected", {BLANK_AMOUNT, "0.4"}, "ND", NULL, NULL, NULL, QUALITY_PASSED},
        {"above half the limit",
         {BLANK_HALF_QUANTITATION, NULL},
         "0.2",
         NULL,
         "0.3",
         NULL,
         QUALITY_FAILED},
        {"just half the farm's own",
         {BLANK_HALF_QUANTITATION, NULL},
         "0.15",
         NULL,
         NULL,
         "0.3",
         QUALITY_PASSED},
        {"the laboratory's comes first",
         {BLANK_QUANTITATION, NULL},
         "0.2",
         NULL,
         "0.1",
         "0.3",
         QUALITY_FAILED},
        {"beyond the method", {BLANK_AMOUNT, "0.4"}, ">0.1", NULL, NULL, NULL, QUALITY_FAILED},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct blank_bounds bounds = {rows[i].bounds.kind, number(rows[i].bounds.amount)};
        struct lab_result blank = result(mem, rows[i].blank);
        const struct exact *limit =
            rows[i].limit ? exact_from_decimal(mem, number(rows[i].limit)) : NULL;

        if (rows[i].detection)
            blank.detection = exact_from_decimal(mem, number(rows[i].detection));
        if (rows[i].quantitation)
            blank.quantitation = exact_from_decimal(mem, number(rows[i].quantitation));

        struct quality_outcome got = blank_judge(mem, &bounds, &blank, limit);

        if (got.answer != rows[i].answer)
            fail_msg("%s: %s: %s", rows[i].why, quality_answer_words[got.answer], got.words);
    }
}

/* Common laboratory practice, from memory: below 5 times the blank. */
static void a_result_near_its_blank_is_touched_by_it(void **state)
{
    static const struct {
        const char *blank;
        const char *result;
        const char *times;
        bool touched;
    } rows[] = {
        {"0.4", "1.5", "5", true},  {"0.4", "2.5", "5", false},  {"0.4", "2.0", "5", false},
        {"0.4", "2.5", "10", true}, {"<0.1", "0.3", "5", false}, {"0.4", "<0.1", "5", false},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct lab_result blank = result(mem, rows[i].blank);
        struct lab_result of = result(mem, rows[i].result);

        assert_int_equal(blank_touches(mem, &blank, &of, number(rows[i].times)), rows[i].touched);
    }
}

/* 40 CFR 122.44(i)(1)(iv), from memory: the minimum level at or below the limit of the permit. */
static void a_laboratory_limit_above_the_bound_can_not_show_that_it_was_kept(void **state)
{
    static const struct {
        const char *limit;
        const char *bound;
        bool is_floor;
        const char *share;
        enum coarse_answer answer;
    } rows[] = {
        {"0.10", "0.1", false, NULL, COARSE_FINE},
        {"0.11", "0.1", false, NULL, COARSE_ABOVE_BOUND},
        {"0.01", "0.1", false, NULL, COARSE_FINE},
        {"5", "5.0", true, NULL, COARSE_FINE},
        {"5.1", "5.0", true, NULL, COARSE_ABOVE_FLOOR},
        {"0.05", "0.1", false, "50", COARSE_FINE},
        {"0.051", "0.1", false, "50", COARSE_ABOVE_SHARE},
        {"0.11", "0.1", false, "50", COARSE_ABOVE_BOUND},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_int_equal(coarse_for_bound(mem, exact_from_decimal(mem, number(rows[i].limit)),
                                          exact_from_decimal(mem, number(rows[i].bound)),
                                          rows[i].is_floor, number(rows[i].share)),
                         rows[i].answer);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(two_results_differ_relative_to_their_mean),
        cmocka_unit_test(pairs_pass_or_fail_by_the_rule_that_was_asked),
        cmocka_unit_test(a_failed_pair_says_by_how_much),
        cmocka_unit_test(many_replicates_spread_around_their_mean),
        cmocka_unit_test(a_blank_is_held_against_the_bound_that_was_asked),
        cmocka_unit_test(a_result_near_its_blank_is_touched_by_it),
        cmocka_unit_test(a_laboratory_limit_above_the_bound_can_not_show_that_it_was_kept),
    };

    return cmocka_run_group_tests_name("trust/duplicates", tests, NULL, NULL);
}
