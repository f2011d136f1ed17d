/*
 * How wide letters are and how many lines they take. Widths to compare with are the advance widths
 * of Liberation Sans (Regular and Bold), version 2, which is made to the widths of the face that
 * workbooks name; read from its hmtx table.
 */
#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "base/macro.h"
#include "report/letters.h"

static void letters_are_as_wide_as_those_of_the_face(void **state)
{
    static const struct {
        const char *text;
        double regular;
        double bold;
        const char *reason;
    } rows[] = {
        {"The authority and the licence decide.", 16344, 17560, "a sentence"},
        {"WWW 0.05", 5056, 5056, "the widest letters, and figures"},
        {"Example Water Office", 9725, 10281, "a name"},
        {"outside: above 30", 7895, 8447, "a verdict"},
        {" !\"#$%&'()*+,-./0123456789:;<=>?@ABCDEFGHIJKLMNOPQRSTUVWXYZ[\\]^_`abcdefghijklmnopqrst"
         "uvwxyz{|}~",
         50061, 52368, "every printable character of ASCII"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        double regular = letters_width(rows[i].text, strlen(rows[i].text), false);
        double bold = letters_width(rows[i].text, strlen(rows[i].text), true);

        /* Thousandths rounded character by character. Bold is never counted too narrowly. */
        if (regular < rows[i].regular * 0.999 || regular > rows[i].regular * 1.001 ||
            bold < rows[i].bold || bold > rows[i].bold * 1.12)
            fail_msg("%s (%s): %g, bold %g", rows[i].text, rows[i].reason, regular, bold);
    }
}

/* Characters beside ASCII are counted once each, however many bytes they have. */
static void a_character_of_several_bytes_is_one(void **state)
{
    (void)state;
    assert_true(letters_width("\xC2\xB5", 2, false) < 700);
    assert_true(letters_width("\xE6\xB0\xB4", 3, false) == 1000);
}

static void a_text_takes_the_lines_that_its_words_need(void **state)
{
    static const struct {
        const char *text;
        double columns;
        enum style style;
        int least;
        int most;
        const char *reason;
    } rows[] = {
        {"", 10, STYLE_TEXT, 1, 1, "an empty cell"},
        {NULL, 10, STYLE_TEXT, 1, 1, "no text"},
        {"within", 21, STYLE_TEXT_STRONG, 1, 1, "a verdict"},
        {"one\ntwo\nthree", 30, STYLE_TEXT, 3, 3, "lines of its own"},
        {"Invented Regional Council for Water and Discharges", 17, STYLE_TEXT, 3, 3,
         "the name of an authority whose third line was cut off"},
        {"WWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWWW", 17, STYLE_TEXT, 4, 5,
         "a word wider than its column breaks"},
        {"any", 0, STYLE_TEXT, 1, 1, "a column without room"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        int lines = letters_lines(rows[i].text, rows[i].columns, rows[i].style);

        if (lines < rows[i].least || lines > rows[i].most)
            fail_msg("%s: %d lines", rows[i].reason, lines);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(letters_are_as_wide_as_those_of_the_face),
        cmocka_unit_test(a_character_of_several_bytes_is_one),
        cmocka_unit_test(a_text_takes_the_lines_that_its_words_need),
    };

    return cmocka_run_group_tests_name("report/letters", tests, NULL, NULL);
}
