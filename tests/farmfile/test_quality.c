/* What a farm accepts of duplicates, replicates and blanks. Everything is invented. */

#include "section_given.h"

static const char quality_of[] =
    "laboratories:\n"                                                                     /* 1 */
    "  - {key: shore-lab, name: Shore Laboratory, written as: [SL]}\n"                    /* 2 */
    "quality checks:\n"                                                                   /* 3 */
    "  - parameter: ammonia\n"                                                            /* 4 */
    "    laboratory: shore-lab\n"                                                         /* 5 */
    "    copied from: Plan 2026\n"                                                        /* 6 */
    "    unit: ug/L\n"                                                                    /* 7 */
    "    quantitation limit: 20\n"                                                        /* 8 */
    "    duplicates:\n"                                                                   /* 9 */
    "      rule: percent from a limit\n"                                                  /* 10 */
    "      percent: 20 %\n"                                                               /* 11 */
    "      times: 5\n"                                                                    /* 12 */
    "      below times: 1.5\n"                                                            /* 13 */
    "      within: 30 minutes\n"                                                          /* 14 */
    "      in doubt: yes\n"                                                               /* 15 */
    "    replicates: {percent: 15 %, in doubt: no}\n"                                     /* 16 */
    "    blanks: {not above: 12.5, in doubt: yes, concerns: same file, below times: 5}\n" /* 17 */
    "    coarse above: 50 %\n"                                                            /* 18 */
    "  - parameter: ammonia\n"                                                            /* 19 */
    "    copied from: Plan 2025\n"                                                        /* 20 */
    "    blanks: {not above: half the quantitation limit, in doubt: no, concerns: same day}\n" /* 21
                                                                                                */
    ;

enum { LINES_BEFORE = 73 }; /* of `sound`, after which `quality_of` stands */

static void every_choice_of_an_item_is_read(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = section_farm(mem, quality_of);
    const struct farm_quality *one = &farm->quality.items[0];
    const struct farm_quality *two = &farm->quality.items[1];

    (void)state;
    assert_int_equal(farm->quality.count, 2);
    assert_string_equal(one->key, "ammonia by shore-lab");
    assert_string_equal(one->copied_from, "Plan 2026");
    assert_string_equal(decimal_text(mem, one->quantitation.number), "20");
    assert_true(one->duplicates.asked && one->duplicates.in_doubt &&
                one->duplicates.bounds.has_below);
    assert_int_equal(one->duplicates.bounds.rule, DUPLICATE_PERCENT_FROM);
    assert_string_equal(decimal_text(mem, one->duplicates.bounds.percent), "20");
    assert_string_equal(decimal_text(mem, one->duplicates.bounds.times), "5");
    assert_string_equal(decimal_text(mem, one->duplicates.bounds.below_times), "1.5");
    assert_int_equal(one->duplicates.within_s, 1800);
    assert_true(one->replicates.asked && !one->replicates.in_doubt);
    assert_true(one->blanks.asked && one->blanks.in_doubt);
    assert_int_equal(one->blanks.bounds.kind, BLANK_AMOUNT);
    assert_string_equal(decimal_text(mem, one->blanks.bounds.amount), "12.5");
    assert_int_equal(one->blanks.concerns, BLANK_SAME_FILE);
    assert_string_equal(decimal_text(mem, one->coarse_percent), "50");
    assert_string_equal(two->key, "ammonia");
    assert_false(two->duplicates.asked || two->replicates.asked || two->quantitation.given);
    assert_int_equal(two->blanks.bounds.kind, BLANK_HALF_QUANTITATION);
}

static void results_are_brought_to_the_items_own_unit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_quality *one = &section_farm(mem, quality_of)->quality.items[0];
    const struct decimal tenth = {.coefficient = 1, .scale = 1};

    (void)state;
    assert_string_equal(exact_text(mem, farm_quality_amount(one, mem, "mg/L", tenth), 6), "100");
    assert_string_equal(exact_text(mem, farm_quality_amount(one, mem, "ug/L", tenth), 6), "0.1");
    assert_null(farm_quality_amount(one, mem, "degC", tenth));
}

static void the_first_item_that_fits_a_laboratory_is_its_own(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = section_farm(mem, quality_of);

    (void)state;
    assert_ptr_equal(farm_find_quality(farm, "ammonia", "SL"), &farm->quality.items[0]);
    assert_ptr_equal(farm_find_quality(farm, "ammonia", "Shore Laboratory"),
                     &farm->quality.items[0]);
    assert_ptr_equal(farm_find_quality(farm, "ammonia", "another"), &farm->quality.items[1]);
    assert_null(farm_find_quality(farm, "ph", "SL"));
}

static const struct spoilt {
    const char *reason;
    const char *find;
    const char *put;
    int line;
    const char *words;
} spoilt[] = {
    {"a parameter of nowhere", "parameter: ammonia", "parameter: amonia", 4, "'ammonia'"},
    {"a state", "parameter: ammonia\n    laboratory", "parameter: outlet\n    laboratory", 4,
     "expected a parameter whose readings are numbers"},
    {"a laboratory of nowhere", "laboratory: shore-lab", "laboratory: shore-lap", 5,
     "did you mean 'shore-lab'?"},
    {"numbers from nowhere", "    copied from: Plan 2026\n", "", 4, "lacks `copied from`"},
    {"a unit of something else", "unit: ug/L", "unit: degC", 7, "degC"},
    {"a rule without its limit", "      times: 5\n", "", 10, "this rule needs `times`"},
    {"a limit that the rule has no use for", "rule: percent from a limit", "rule: percent", 12,
     "`times` has no place here"},
    {"a second limit that the rule has no use for", "rule: percent from a limit",
     "rule: percent and amount", 13, "`below times` has no place here"},
    {"nothing times a limit", "times: 5", "times: 0", 10, "must be above 0"},
    {"doubt left open", "      in doubt: yes\n", "", 10, "lacks `in doubt`"},
    {"more than all", "percent: 15 %", "percent: 115 %", 16, "can't be `percent`"},
    {"a blank of nothing known", "not above: 12.5", "not above: the blank", 17,
     "can't be `not above`"},
    {"a blank below nothing", "below times: 5}", "below times: 0}", 17, "must be above 0"},
    {"nothing asked for",
     "    blanks: {not above: half the quantitation limit, in doubt: no, concerns: same day}\n",
     "    quantitation limit: 3\n", 19, "nothing is asked for"},
    {"the same twice", "  - parameter: ammonia\n    copied from: Plan 2025\n",
     "  - {parameter: ammonia, copied from: x, coarse above: 5 %}\n  - parameter: ammonia\n    "
     "copied from: Plan 2025\n",
     20, "a second item for ammonia"},
};

static void what_is_wrong_is_told_at_its_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(spoilt); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct spoilt *row = &spoilt[i];
        const char *text = section_given(mem, quality_of, row->find, row->put);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;
        bool is_told = false;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
            fail_msg("%s: taken", row->reason);
        for (size_t k = 0; k < problems.count; k++)
            is_told = is_told || (problems.items[k].line == row->line + LINES_BEFORE &&
                                  strstr(problems.items[k].words, row->words));
        if (!is_told)
            fail_msg("%s: not told in line %d, but line %d: %s", row->reason,
                     row->line + LINES_BEFORE, problems.items[0].line, problems.items[0].words);
    }
}

static void words_for_purposes_go_with_their_column(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *words = "    kind: probe\n    purpose words: {FB: blank}\n";
    const char *both = "    kind: probe\n    purpose column: Why\n    purpose words: {FB: blank}\n";
    const char *wrong =
        "    kind: probe\n    purpose column: Why\n    purpose words: {FB: blink}\n";
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;
    char *text = replaced(mem, "    kind: probe\n", words);

    (void)state;
    assert_false(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err));
    assert_string_equal(problems.items[0].words,
                        "`purpose words` has no place here: it goes with `purpose column`");
    problems.count = 0;
    text = replaced(mem, "    kind: probe\n", wrong);
    assert_false(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err));
    problems.count = 0;
    text = replaced(mem, "    kind: probe\n", both);
    assert_done(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err), &err);
    assert_string_equal(farm->sources.items[0].source.purposes.items[0].means, "blank");
}

/* `notices:` has no file of its own. */
static void being_told_again_needs_a_time_and_a_number(void **state)
{
    static const char *const wrong[] = {"again: 2", "again after: 1 hour"};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;
    const char *text = NULL;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(wrong); i++) {
        struct farmfile_problems problems = {0};

        text = arena_printf(mem, "%snotices: [{person: ida, by: mail, to: i@example.org, %s}]\n",
                            sound, wrong[i]);
        assert_false(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err));
        assert_string_equal(problems.items[0].words,
                            "`again` and `again after` go together: expected both or neither");
    }

    struct farmfile_problems problems = {0};

    text = arena_printf(mem,
                        "%snotices: [{person: ida, by: mail, to: i@example.org, again: 2, again "
                        "after: 1 hour}]\n",
                        sound);
    assert_done(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err), &err);
    assert_int_equal(farm->notices.items[0].again, 2);
    assert_int_equal(farm->notices.items[0].again_after_s, 3600);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_choice_of_an_item_is_read),
        cmocka_unit_test(results_are_brought_to_the_items_own_unit),
        cmocka_unit_test(the_first_item_that_fits_a_laboratory_is_its_own),
        cmocka_unit_test(what_is_wrong_is_told_at_its_place),
        cmocka_unit_test(words_for_purposes_go_with_their_column),
        cmocka_unit_test(being_told_again_needs_a_time_and_a_number),
    };

    return cmocka_run_group_tests_name("farmfile/quality", tests, load_units, free_units);
}
