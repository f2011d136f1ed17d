#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "base/macro.h"
#include "base/table_text.h"

static struct arena *mem;

static int arena_setup(void **state)
{
    (void)state;
    mem = arena_new();

    return 0;
}

static int arena_teardown(void **state)
{
    (void)state;
    arena_free(&mem);

    return 0;
}

static const struct table_column figures[] = {
    {"What", TABLE_LEFT},
    {"Samples", TABLE_RIGHT},
    {"Figure", TABLE_POINT},
    {"Standing", TABLE_LEFT},
};

static void columns_are_aligned_by_side_and_by_point(void **state)
{
    struct table_text *table = table_text_new(mem, figures, ARRAY_LEN(figures));

    (void)state;
    TABLE_TEXT_ADD(table, "Solids", "4", "31.5", "outside: above 30");
    TABLE_TEXT_ADD(table, "Nitrate, as N", "12", "<0.05", "within");
    TABLE_TEXT_ADD(table, "Bacteria", "5", ">2420", "");
    TABLE_TEXT_ADD(table, "pH", "2880", NULL, "not assessable");
    assert_string_equal(table_text_draw(mem, table, TABLE_TEXT_WIDTH),
                        "What           Samples    Figure  Standing\n"
                        "Solids               4     31.5   outside: above 30\n"
                        "Nitrate, as N       12     <0.05  within\n"
                        "Bacteria             5  >2420\n"
                        "pH                2880            not assessable\n");
}

static void a_long_last_cell_is_wrapped_between_words(void **state)
{
    struct table_text *table = table_text_new(mem, figures, ARRAY_LEN(figures));

    (void)state;
    TABLE_TEXT_ADD(table, "Solids", "4", "31.5",
                   "outside: above 30, on 12 May 2026 at the pond outlet");
    assert_string_equal(table_text_draw(mem, table, 50),
                        "What    Samples  Figure  Standing\n"
                        "Solids        4    31.5  outside: above 30, on 12\n"
                        "                         May 2026 at the pond\n"
                        "                         outlet\n");
}

static void a_last_cell_without_room_goes_below(void **state)
{
    struct table_text *table = table_text_new(mem, figures, ARRAY_LEN(figures));

    (void)state;
    TABLE_TEXT_ADD(table, "Solids", "4", "31.5", "outside: above 30, on 12 May 2026");
    TABLE_TEXT_ADD(table, "pH", "2880", "8.1", "");
    assert_string_equal(table_text_draw(mem, table, 30), "What    Samples  Figure\n"
                                                         "    Standing\n"
                                                         "Solids        4    31.5\n"
                                                         "    outside: above 30, on 12\n"
                                                         "    May 2026\n"
                                                         "pH         2880     8.1\n");
}

static void a_word_that_is_too_long_is_cut_between_characters(void **state)
{
    static const struct table_column columns[] = {{NULL, TABLE_LEFT}};
    struct table_text *table = table_text_new(mem, columns, 1);

    (void)state;
    TABLE_TEXT_ADD(table, "\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9"
                          "\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9"
                          "\xc3\xa9\xc3\xa9\xc3\xa9");
    assert_string_equal(
        table_text_draw(mem, table, 20),
        "\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9"
        "\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\n"
        "\xc3\xa9\n");
}

static void without_headings_there_is_no_line_of_them(void **state)
{
    static const struct table_column columns[] = {{NULL, TABLE_LEFT}, {NULL, TABLE_LEFT}};
    struct table_text *table = table_text_new(mem, columns, ARRAY_LEN(columns));

    (void)state;
    TABLE_TEXT_ADD(table, "stored", "120 readings");
    TABLE_TEXT_ADD(table, "set aside", "2");
    assert_string_equal(table_text_draw(mem, table, TABLE_TEXT_WIDTH), "stored     120 readings\n"
                                                                       "set aside  2\n");
}

/* Widths as terminals show them: Unicode Standard Annex 11. */
static void widths_are_counted_by_the_character(void **state)
{
    (void)state;

    static const struct {
        const char *text;
        size_t width;
        const char *reason;
    } rows[] = {
        {"", 0, "nothing"},
        {"abc", 3, "plain"},
        {"\xc2\xb5g/L", 4, "a micro sign"},
        {"M\xc4\x81ori", 5, "a letter with its accent"},
        {"Ma\xcc\x84ori", 5, "the same with an accent that joins"},
        {"\xe9\xb3\x9f\xe5\xa0\xb4", 4, "two wide letters"},
        {"a\xff"
         "b",
         3, "a byte that is no UTF-8"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (text_width(rows[i].text) != rows[i].width)
            fail_msg("%s: %zu", rows[i].reason, text_width(rows[i].text));
}

static void a_cell_cannot_command_the_terminal(void **state)
{
    static const struct table_column columns[] = {{NULL, TABLE_LEFT}};
    struct table_text *table = table_text_new(mem, columns, 1);

    (void)state;
    TABLE_TEXT_ADD(table, "a\x1b[2J\nb\tc\xc2\x9b"
                          "d\xff");
    assert_string_equal(table_text_draw(mem, table, TABLE_TEXT_WIDTH),
                        "a\\u001b[2J\\u000ab\\u0009c\\u009bd\\xff\n");
}

/* Whatever the cells are, no line is wider than asked, as long as the first columns fit. */
static void no_line_is_wider_than_asked(void **state)
{
    char *cell = arena_alloc(mem, 400);

    (void)state;
    for (size_t i = 0; i < 399; i++)
        cell[i] = i % 7 == 3 || i % 31 == 5 ? ' ' : (char)('a' + i % 26);
    for (size_t width = 30; width < 120; width++) {
        struct table_text *table = table_text_new(mem, figures, ARRAY_LEN(figures));

        TABLE_TEXT_ADD(table, "Solids", "4", "31.5", cell);

        char *rest = table_text_draw(mem, table, width);

        for (char *line; (line = strsep(&rest, "\n"));)
            if (text_width(line) > width)
                fail_msg("width %zu: %s", width, line);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(columns_are_aligned_by_side_and_by_point),
        cmocka_unit_test(a_long_last_cell_is_wrapped_between_words),
        cmocka_unit_test(a_last_cell_without_room_goes_below),
        cmocka_unit_test(a_word_that_is_too_long_is_cut_between_characters),
        cmocka_unit_test(without_headings_there_is_no_line_of_them),
        cmocka_unit_test(widths_are_counted_by_the_character),
        cmocka_unit_test(a_cell_cannot_command_the_terminal),
        cmocka_unit_test(no_line_is_wider_than_asked),
    };

    return cmocka_run_group_tests_name("base/table_text", tests, arena_setup, arena_teardown);
}
