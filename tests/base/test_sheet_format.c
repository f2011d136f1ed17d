/*
 * What a number format shows (ECMA-376 part 1, 18.8.31: percent, scaling commas, sections,
 * conditions, literal text). What spreadsheet programs show for the same codes is common knowledge
 * and has no other source here.
 */
#include "base/sheet_format.h"

#include <string.h>

#include "base/str.h"
#include "harness/cmocka.h"

struct format_row {
    const char *code;
    double number;
    enum sheet_show show;
    const char *text; /* of SHEET_SHOW_OTHER: part of why */
    const char *unit;
    const char *reason; /* what a spreadsheet shows, or why the row is there */
};

static const struct format_row rows[] = {
    {NULL, 0.95, SHEET_SHOW_STORED, NULL, NULL, "the general format"},
    {"0", 0.95, SHEET_SHOW_STORED, NULL, NULL, "rounding to 1 is rounding"},
    {"#,##0.00", 1234.5, SHEET_SHOW_STORED, NULL, NULL, "commas between digits group them"},
    {"0.00E+00", 0.05, SHEET_SHOW_STORED, NULL, NULL, "the same number in another form"},
    {"# ?/?", 12.5, SHEET_SHOW_STORED, NULL, NULL, "12 1/2"},
    {"[Red]0.0;[Blue]-0.0", -5, SHEET_SHOW_STORED, NULL, NULL, "colours"},
    {"0%", 0.95, SHEET_SHOW_TEXT, "95", "%", "95%"},
    {"0.00%", 0.07, SHEET_SHOW_TEXT, "7", "%", "7.00%"},
    {"0.0%", 0.9555, SHEET_SHOW_TEXT, "95.55", "%", "95.6%, rounded"},
    {"0%", -0.02, SHEET_SHOW_TEXT, "-2", "%", "-2%"},
    {"0,", 12000, SHEET_SHOW_TEXT, "12", NULL, "12"},
    {"0.0,,", 12500000, SHEET_SHOW_TEXT, "12.5", NULL, "12.5"},
    {"#,##0,.0", 1234500, SHEET_SHOW_TEXT, "1234.5", NULL, "1,234.5"},
    {"\"<\"0.0", 0.5, SHEET_SHOW_TEXT, "<0.5", NULL, "<0.5"},
    {"\\<0.0", 0.5, SHEET_SHOW_TEXT, "<0.5", NULL, "<0.5"},
    {"[<0.5]\"<0.5\";0.0", 0.2, SHEET_SHOW_TEXT, "<0.5", NULL, "<0.5"},
    {"[<0.5]\"<0.5\";0.0", 0.7, SHEET_SHOW_STORED, NULL, NULL, "0.7"},
    {"[=0]\"ND\";0.0", 0, SHEET_SHOW_TEXT, "ND", NULL, "ND"},
    {"0.0;-0.0;\"ND\"", 0, SHEET_SHOW_TEXT, "ND", NULL, "ND"},
    {"_-* #,##0_-;-* #,##0_-;_-* \"-\"??_-;_-@_-", 0, SHEET_SHOW_STORED, NULL, NULL,
     "a dash for 0"},
    {"_-* #,##0_-;-* #,##0_-;_-* \"-\"??_-;_-@_-", -4, SHEET_SHOW_STORED, NULL, NULL, "-4"},
    {"#,##0 ;(#,##0)", -4, SHEET_SHOW_STORED, NULL, NULL, "(4)"},
    {"0.0\" mg/L\"", 0.5, SHEET_SHOW_STORED, NULL, "mg/L", "0.5 mg/L"},
    {"0.0\\ \"m3\"", 0.5, SHEET_SHOW_STORED, NULL, "m3", "0.5 m3"},
    {"0;0", -5, SHEET_SHOW_OTHER, "without its minus", NULL, "5"},
    {"-0", 5, SHEET_SHOW_OTHER, "a minus in front", NULL, "-5"},
    {";;;", 5, SHEET_SHOW_OTHER, "hides it", NULL, "nothing"},
    {"0\"000\"", 12, SHEET_SHOW_OTHER, "digits of its own", NULL, "12000"},
    {"0%%", 0.5, SHEET_SHOW_OTHER, "more than one %", NULL, "5000%%"},
    {"00\":\"00", 1230, SHEET_SHOW_OTHER, "between its digits", NULL, "12:30"},
    {"[<1]0.0;[<2]0.0", 5, SHEET_SHOW_OTHER, "no number of its size", NULL, "######"},
};

static void what_a_person_sees_of_a_number_is_told(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const struct format_row *row = &rows[i];
        struct sheet_shown shown = sheet_format_show(mem, row->code, row->number);
        bool same = shown.show == row->show && str_equal(shown.unit, row->unit);

        if (row->show == SHEET_SHOW_OTHER)
            same = same && shown.why && strstr(shown.why, row->text);
        else
            same = same && str_equal(shown.text, row->text);
        if (!same)
            fail_msg("%s (%s): show %d, '%s', unit '%s', why '%s'", row->code, row->reason,
                     shown.show, shown.text ? shown.text : "", shown.unit ? shown.unit : "",
                     shown.why ? shown.why : "");
    }
}

static void a_plain_format_shows_every_number_as_it_is(void **state)
{
    static const char *const plain[] = {"General", "0", "0.00", "#,##0.0", "0.0##"};
    static const char *const others[] = {"0,",      "0,.0", "0%", "\"<\"0", "0;0",
                                         "[<1]0.0", ";;;",  "",   "0.0_ "};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(plain); i++)
        assert_true(sheet_format_is_plain(plain[i]));
    for (size_t i = 0; i < ARRAY_LEN(others); i++)
        assert_false(sheet_format_is_plain(others[i]));
}

/* A code is a stranger's: whatever it holds, there is an answer. */
static void a_broken_code_has_an_answer(void **state)
{
    static const char *const codes[] = {"",  "\"open", "[open",    "0\\", "_",
                                        "*", ";",      ";;;;;;;;", "[<]0"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(codes); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct sheet_shown shown = sheet_format_show(mem, codes[i], 1);

        assert_true((shown.show == SHEET_SHOW_TEXT) == (shown.text != NULL));
        assert_true((shown.show == SHEET_SHOW_OTHER) == (shown.why != NULL));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_a_person_sees_of_a_number_is_told),
        cmocka_unit_test(a_plain_format_shows_every_number_as_it_is),
        cmocka_unit_test(a_broken_code_has_an_answer),
    };

    return cmocka_run_group_tests_name("base/sheet_format", tests, NULL, NULL);
}
