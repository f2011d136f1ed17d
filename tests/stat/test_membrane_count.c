#include "harness/values.h"

#include <stdio.h>

#include "base/macro.h"
#include "stat/membrane_count.h"

enum { FILTERS_MOST = 8 };

/* "25:15:67" is 25 mL, 15 colonies, 67 others; "1:many" is too many to count. */
static size_t filters_read(struct arena *mem, const char *text, struct membrane_filter *out)
{
    char *rest = arena_strdup(mem, text);
    size_t count = 0;

    for (char *word = strtok_r(rest, " ", &rest); word; word = strtok_r(NULL, " ", &rest)) {
        char *colonies = strchr(word, ':');

        assert_non_null(colonies);
        *colonies++ = '\0';
        out[count] = (struct membrane_filter){.volume_ml = value_read(mem, word),
                                              .too_many = strcmp(colonies, "many") == 0};
        if (!out[count].too_many)
            assert_true(sscanf(colonies, "%d:%d:%d:%d", &out[count].colonies,
                               &out[count].background, &out[count].verified,
                               &out[count].tested) >= 1);
        count++;
    }

    return count;
}

/* Faecal coliforms, Standard Methods 9222: 20 to 60, and 200 of all kinds; per 100 mL. */
static struct membrane_rule rule_of(struct arena *mem, enum membrane_none_in_range none)
{
    return (struct membrane_rule){.ideal_least = 20,
                                  .ideal_most = 60,
                                  .all_most = 200,
                                  .none_in_range = none,
                                  .per_ml = value_read(mem, "100")};
}

static const struct {
    const char *filters;
    enum membrane_none_in_range none;
    enum membrane_kind kind;
    bool estimated;
    const char *number;
    const char *reported;
    const char *used; /* a letter a filter: y used, n not */
    const char *source;
} rows[] = {
    {"25:15:67 50:34:110 100:55:190", MEMBRANE_SUM, MEMBRANE_NUMBER, false, "68", "68", "nyn",
     "T. Loftus, Coliform and E. coli Testing, part 3: 60 is below 20 colonies, 55 + 190 is over "
     "200; report 68"},
    {"50:25 100:50", MEMBRANE_SUM, MEMBRANE_NUMBER, false, "50", "50", "yy",
     "USGS A7.1: sum of colonies times 100 over the sum of volumes"},
    {"50:25 100:40", MEMBRANE_SUM, MEMBRANE_NUMBER, false, "130/3", "43", "yy",
     "the sums are not the mean of 50 and 40"},
    {"10:2 100:12", MEMBRANE_SUM, MEMBRANE_NUMBER, true, "140/11", "13", "yy",
     "WHO and UNEP: all below 20, so the sum of them"},
    {"10:2 100:12", MEMBRANE_MEAN, MEMBRANE_NUMBER, true, "16", "16", "yy",
     "USEPA practice for enterococci: the mean of 20 and 12"},
    {"10:0 100:12", MEMBRANE_SUM, MEMBRANE_NUMBER, true, "120/11", "11", "yy",
     "a filter without a colony counts with its volume (after Standard Methods 9222 D)"},
    {"100:3", MEMBRANE_SUM, MEMBRANE_NUMBER, true, "3", "3", "y", "USGS: whole numbers below 10"},
    {"30:2", MEMBRANE_SUM, MEMBRANE_NUMBER, true, "20/3", "7", "y", "6.67 to a whole number"},
    {"10:0 100:0", MEMBRANE_SUM, MEMBRANE_LESS, false, "1", "1", "ny",
     "USEPA 1978 (from memory): one colony on the largest volume"},
    {"1:0 10:0", MEMBRANE_SUM, MEMBRANE_LESS, false, "10", "10", "ny", "less than 10 per 100 mL"},
    {"1:many 0.3:many 0.01:many", MEMBRANE_SUM, MEMBRANE_GREATER, false, "600000", "600000", "nny",
     "USEPA 1978 (from memory): more than 60 on the smallest volume"},
    {"1:150:100 0.1:70:200", MEMBRANE_SUM, MEMBRANE_GREATER, false, "60000", "60000", "ny",
     "counted, but over 200 of all kinds"},
    {"10:90 50:150", MEMBRANE_SUM, MEMBRANE_NUMBER, true, "900", "900", "yn",
     "all above the range but countable: the one nearest to it (from memory)"},
    {"10:many 0.1:15", MEMBRANE_SUM, MEMBRANE_NUMBER, true, "15000", "15000", "ny",
     "too many on one and few on the other"},
    {"10:many 0.1:0", MEMBRANE_SUM, MEMBRANE_GREATER, false, "600", "600", "yn",
     "none on the small one never makes it 0"},
    {"100:50:0:8:10", MEMBRANE_SUM, MEMBRANE_NUMBER, false, "40", "40", "y",
     "WHO and UNEP: colonies times verified over tested"},
    {"100:50:0:0:10 100:0", MEMBRANE_SUM, MEMBRANE_LESS, false, "1", "1", "yn",
     "none of those tested was the kind"},
    {"100:20", MEMBRANE_SUM, MEMBRANE_NUMBER, false, "20", "20", "y", "the range has both ends"},
    {"100:60:140", MEMBRANE_SUM, MEMBRANE_NUMBER, false, "60", "60", "y", "60 and 200 themselves"},
    {"25:15:67 100:10:195", MEMBRANE_SUM, MEMBRANE_NUMBER, true, "60", "60", "yn",
     "one that others have overgrown says nothing"},
};

static void filters_are_chosen_by_the_published_rules(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct membrane_filter filters[FILTERS_MOST];
        size_t count = filters_read(mem, rows[i].filters, filters);
        struct membrane_rule rule = rule_of(mem, rows[i].none);
        struct membrane_count found = {.number = NULL};
        struct err err = ERR_INIT;

        assert_done(membrane_count(mem, filters, count, &rule, &found, &err), &err);
        if (found.kind != rows[i].kind || found.estimated != rows[i].estimated)
            fail_msg("%s: %s", rows[i].source, found.words);
        assert_exact(mem, found.number, rows[i].number);
        assert_exact(mem, found.reported, rows[i].reported);
        for (size_t k = 0; k < count; k++)
            assert_int_equal(found.used[k], rows[i].used[k] == 'y');
        assert_true(strlen(found.words) > 0);
    }
}

static const struct {
    const char *filters;
    int least;
    int most;
    const char *per;
    const char *says;
} refused[] = {
    {"", 20, 60, "100", "a membrane count wants 1 to 100 filters"},
    {"0:20", 20, 60, "100", "filter 1 has no volume"},
    {"10:20 10:-1", 20, 60, "100", "filter 2 wants counts from 0 to 1000000"},
    {"10:20:0:11:10", 20, 60, "100", "filter 1 has 11 verified colonies of 10"},
    {"10:20", 60, 20, "100", "the ideal range of 60 to 20 colonies makes no sense"},
    {"10:20", 20, 60, "0", "a membrane count is told per a volume above 0"},
    {"10:30:190 50:10:300", 20, 60, "100",
     "other colonies have overgrown every filter: nothing can be counted"},
};

static void counts_without_an_answer_are_refused_with_the_reason(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct membrane_filter filters[FILTERS_MOST];
        size_t count = filters_read(mem, refused[i].filters, filters);
        struct membrane_rule rule = rule_of(mem, MEMBRANE_SUM);
        struct membrane_count found = {.number = NULL};
        struct err err = ERR_INIT;

        rule.ideal_least = refused[i].least;
        rule.ideal_most = refused[i].most;
        rule.per_ml = value_read(mem, refused[i].per);
        assert_fails(membrane_count(mem, filters, count, &rule, &found, &err), ERR_INVALID, &err);
        assert_string_equal(err.text, refused[i].says);
        assert_null(found.number);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(filters_are_chosen_by_the_published_rules),
        cmocka_unit_test(counts_without_an_answer_are_refused_with_the_reason),
    };

    return cmocka_run_group_tests_name("stat/membrane_count", tests, NULL, NULL);
}
