/* What must hold between the parts of a limit, beside the rows of test_farmfile.c. */

#include "farmfile/limit_part.h"
#include "measure/ammonia.h"
#include "sound.h"

/* What a misspelt choice would have asked for can't be known. */
static void a_total_is_never_asked_for_less_thans(void **state)
{
    static const struct {
        const char *parameter, *each_day;
        size_t problems;
    } rows[] = {
        {"discharge-meter\n    unit: m3", "total", 0},
        {"flow\n    unit: m3/day\n    reading stands: 20 minutes", "total", 0},
        {"discharge-meter\n    unit: m3", "sum", 1},  /* no such word */
        {"discharge-meter\n    unit: m3", "mean", 1}, /* makes no sense, and that is all */
        {"suspended-solids\n    unit: mg/L", "mean", 1},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *put = arena_printf(
            mem,
            "parameter: %s\n    only while discharging: yes\n    each day: %s\n    statistic: %s\n"
            "    period: month\n    not above: 30\n",
            rows[i].parameter, rows[i].each_day, "mean");
        const char *text =
            replaced(mem,
                     "parameter: suspended-solids\n    unit: mg/L\n    only while discharging: "
                     "yes\n    each day: every reading\n    statistic: mean\n    period: month\n"
                     "    not above: 30\n    less-thans: half\n",
                     put);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err) !=
                (rows[i].problems == 0) ||
            problems.count != rows[i].problems)
            fail_msg("%s, %s: %s", rows[i].parameter, rows[i].each_day, err.text);
        if (strstr(err.text, "lacks `less-thans`") &&
            !strstr(rows[i].parameter, "suspended-solids"))
            fail_msg("%s, %s: %s", rows[i].parameter, rows[i].each_day, err.text);
    }
}

/* What a limit takes, and words lists, are the forms of measure/ammonia.h, each of them. */
static void every_form_of_ammonia_is_a_word(void **state)
{
    size_t count = 0;

    (void)state;
    for (; limit_part_ammonia_forms[count]; count++) {
        enum ammonia_form form;

        assert_true(ammonia_form_parse(limit_part_ammonia_forms[count], &form));
        assert_int_equal(form, count);
    }
    assert_int_equal(count, AMMONIA_FORM_COUNT);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_total_is_never_asked_for_less_thans),
        cmocka_unit_test(every_form_of_ammonia_is_a_word),
    };

    return cmocka_run_group_tests_name("farmfile/limit_part", tests, load_units, free_units);
}
