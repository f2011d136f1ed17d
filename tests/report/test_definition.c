/* Definitions: what is read, and what is refused with its place. */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "base/str.h"
#include "report/definition.h"

static struct arena *mem;

static int new_arena(void **state)
{
    (void)state;
    mem = arena_new();

    return 0;
}

static int drop_arena(void **state)
{
    (void)state;
    arena_free(&mem);

    return 0;
}

static void a_definition_is_read_with_its_columns_in_place(void **state)
{
    static const char text[] = "title: A record\n"
                               "sheets:\n"
                               "  - key: one\n"
                               "    name: First\n"
                               "    lies: landscape\n"
                               "    frozen: 2\n"
                               "    widths: [10, 20, 5.5]\n"
                               "    tables:\n"
                               "      - key: rows\n"
                               "        empty: Nothing.\n"
                               "        columns:\n"
                               "          - {key: wide, heading: Wide, at: 0, to: 1}\n"
                               "          - {key: day, style: moment, format: day}\n"
                               "texts:\n"
                               "  hello: Good morning\n"
                               "dictionary:\n"
                               "  so far: The period still runs.\n"
                               "cautions:\n"
                               "  - Mind the step.\n";
    struct report_definition definition;
    struct err err = ERR_INIT;

    (void)state;
    if (!definition_parse(mem, text, strlen(text), &definition, &err))
        fail_msg("%s", err.text);

    const struct report_sheet *sheet = definition_sheet(&definition, "one");

    assert_non_null(sheet);
    assert_true(sheet->landscape);
    assert_int_equal(sheet->frozen, 2);
    assert_int_equal(sheet->width_count, 3);
    assert_true(sheet->widths[2] > 5.4 && sheet->widths[2] < 5.6);

    const struct report_table *table = definition_table(sheet, "rows");
    const struct report_column *day = definition_column(table, "day");

    assert_int_equal(definition_column(table, "wide")->to, 1);
    assert_int_equal(day->at, 2);
    assert_int_equal(day->style, STYLE_MOMENT);
    assert_string_equal(day->format, "yyyy-mm-dd");
    assert_string_equal(definition_text(&definition, "hello"), "Good morning");
    assert_null(definition_text(&definition, "goodbye"));
    assert_null(definition_column(table, "none"));
    assert_string_equal(definition.dictionary[0].key, "so far");
    assert_string_equal(definition.cautions[0], "Mind the step.");
}

static void what_is_wrong_in_a_definition_is_told_with_its_line(void **state)
{
    static const struct {
        const char *text;
        const char *says;
        const char *reason;
    } rows[] = {
        {"titel: A\n", "line 1, column 1: unknown key", "a misspelt key"},
        {"title: A\nsheets:\n  - name: B\n    widths: [1]\n", "key: line 3",
         "a sheet without a key"},
        {"title: A\nsheets:\n  - key: b\n    name: B\n", "expected the widths", "no widths"},
        {"title: A\nsheets:\n  - {key: b, name: B, widths: [0]}\n", "expected a width",
         "a width of nothing"},
        {"title: A\nsheets:\n  - key: b\n    name: B\n    widths: [1]\n    tables:\n"
         "      - {key: t, columns: [{key: c, at: 1}]}\n",
         "line 7", "a column past the sheet"},
        {"title: A\nsheets:\n  - key: b\n    name: B\n    widths: [1]\n    tables:\n"
         "      - {key: t, columns: [{key: c, style: loud}]}\n",
         "unknown style", "a style that is none"},
        {"title: [\n", "line", "no YAML"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct report_definition definition;
        struct err err = ERR_INIT;

        if (definition_parse(mem, rows[i].text, strlen(rows[i].text), &definition, &err))
            fail_msg("%s: was read", rows[i].reason);
        if (err.code != ERR_BUG || !strstr(err.text, rows[i].says))
            fail_msg("%s: %s", rows[i].reason, err.text);
    }
}

static void every_definition_in_the_program_can_be_read(void **state)
{
    static const char *const names[] = {"discharge-month"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(names); i++) {
        struct report_definition definition;
        struct err err = ERR_INIT;

        if (!definition_load(mem, names[i], &definition, &err))
            fail_msg("%s", err.text);
        assert_true(definition.sheet_count > 0);
    }
}

static void a_report_that_there_is_not_is_told(void **state)
{
    struct report_definition definition;
    struct err err = ERR_INIT;

    (void)state;
    assert_false(definition_load(mem, "weather", &definition, &err));
    assert_int_equal(err.code, ERR_NOT_FOUND);
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, new_arena, drop_arena)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_definition_is_read_with_its_columns_in_place),
        CASE(what_is_wrong_in_a_definition_is_told_with_its_line),
        CASE(every_definition_in_the_program_can_be_read),
        CASE(a_report_that_there_is_not_is_told),
    };

    return cmocka_run_group_tests_name("report/definition", tests, NULL, NULL);
}
