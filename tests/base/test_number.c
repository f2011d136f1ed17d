#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "base/macro.h"
#include "base/number.h"

static const char *const blank_words[] = {"-", "-9999", "NaN"};
static const char *const own_words[] = {"not found", "u.d.l."};

static const struct number_style point = {
    .decimal_mark = '.',
    .blank_words = blank_words,
    .blank_word_count = ARRAY_LEN(blank_words),
    .not_detected_words = own_words,
    .not_detected_word_count = ARRAY_LEN(own_words),
};
static const struct number_style comma = {.decimal_mark = ','};

static void a_value_is_read_digit_for_digit(void **state)
{
    (void)state;

    static const struct {
        const struct number_style *style;
        const char *cell;
        char qualifier;
        const char *digits;
        const char *reason;
    } rows[] = {
        {&point, "7.10", '=', "7.10", "plain"},
        {&comma, "7,10", '=', "7.10", "a decimal comma"},
        {&comma, "1,234", '=', "1.234", "three decimals, since no mark groups thousands"},
        {&point, "1.234", '=', "1.234", "the same with a point"},
        {&point, "  7.1\t", '=', "7.1", "blanks around it"},
        {&point,
         "\xc2\xa0"
         "7.1"
         "\xe2\x80\xaf",
         '=', "7.1", "no-break spaces, wide and narrow"},
        {&point, "7.1\r", '=', "7.1", "what a line end left behind"},
        {&point, "-2", '=', "-2", "a hyphen for a minus"},
        {&point,
         "\xe2\x88\x92"
         "2.5",
         '=', "-2.5", "the Unicode minus"},
        {&comma,
         "\xe2\x88\x92"
         "2,5",
         '=', "-2.5", "and with a comma"},
        {&point, "+3", '=', "3", "a plus sign"},
        {&point, ".5", '=', "0.5", "no digit before the point"},
        {&comma, "-,5", '=', "-0.5", "nor before the comma"},
        {&point, "<.05", '<', "0.05", "behind a sign too"},
        {&point, "<0.05", '<', "0.05", "under the limit"},
        {&point, "< 0.05", '<', "0.05", "with a space"},
        {&point,
         "<\xc2\xa0"
         "0.05",
         '<', "0.05", "with a no-break space"},
        {&comma, "<0,05", '<', "0.05", "with a comma"},
        {&point, ">2420", '>', "2420", "over the range of a bacteria count"},
        {&point, "> 2420", '>', "2420", "with a space"},
        {&point, "1.6E+05", '=', "160000", "as laboratories print large counts"},
        {&point, "<1.8E+00", '<', "1.8", "a less-than in that form"},
        {&comma, "1,6e5", '=', "160000", "and with a comma"},
        {&point, "0", '=', "0", "zero is a value"},
        {&point, "999999999999999999", '=', "999999999999999999", "18 digits"},
        {&comma, "-9999", '=', "-9999", "a blank word of another file is a value here"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct number number = number_read(rows[i].style, rows[i].cell);

        if (number.kind != NUMBER_VALUE)
            fail_msg("'%s': kind %d, %s: %s", rows[i].cell, (int)number.kind,
                     number.why ? number.why : "", rows[i].reason);
        if (number.qualifier != rows[i].qualifier ||
            strcmp(decimal_text(mem, number.value), rows[i].digits) != 0)
            fail_msg("'%s': %c %s: %s", rows[i].cell, number.qualifier,
                     decimal_text(mem, number.value), rows[i].reason);
    }
}

static void a_cell_without_a_number_is_blank_or_not_detected(void **state)
{
    (void)state;

    static const struct {
        const struct number_style *style;
        const char *cell;
        enum number_kind kind;
        const char *reason;
    } rows[] = {
        {&point, "", NUMBER_BLANK, "empty"},
        {&point, "  \t\xc2\xa0", NUMBER_BLANK, "blanks only"},
        {&point, "-", NUMBER_BLANK, "the farm's word"},
        {&point, " -9999 ", NUMBER_BLANK, "the farm's number for a silent probe"},
        {&point, "nan", NUMBER_BLANK, "the farm's word in other letters"},
        {&point, "ND", NUMBER_NOT_DETECTED, "laboratories' usual word"},
        {&comma, "n.d.", NUMBER_NOT_DETECTED, "with points, which are no separators"},
        {&comma, "N.D.", NUMBER_NOT_DETECTED, "in capitals"},
        {&comma, "Not detected", NUMBER_NOT_DETECTED, "in full"},
        {&point, "Not found", NUMBER_NOT_DETECTED, "the farm's own word"},
        {&point, "u.d.l.", NUMBER_NOT_DETECTED, "another one"},
        {&point, "-9998", NUMBER_VALUE, "words are compared whole"},
        {&point, "-9999.0", NUMBER_VALUE, "and as words, not by value"},
        {&comma, "-", NUMBER_UNREADABLE, "no blank word in this file"},
        {&comma, "not found", NUMBER_UNREADABLE, "no word of this file"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct number number = number_read(rows[i].style, rows[i].cell);

        if (number.kind != rows[i].kind)
            fail_msg("'%s': kind %d: %s", rows[i].cell, (int)number.kind, rows[i].reason);
    }
}

static void an_unreadable_cell_says_why(void **state)
{
    (void)state;

    static const char not_a_number[] = "it is not a number";
    static const char countless[] = "it says that there was too much to be counted, and no number";
    static const char estimate[] = "the number is marked as an estimate, or stands in brackets";
    static const char two[] = "it has two separators";
    static const char other[] = "its separator is not this file's decimal mark";
    static const char at_most[] = "'at most' and 'at least' signs are not taken for < and >";
    static const char no_limit[] = "no number follows the < or > sign";
    static const char space[] = "there is a space inside the number";
    static const char after[] = "something stands behind the number";
    static const char ends[] = "it ends in its separator, so a digit may be missing";
    static const char digits[] = "it has more than 18 digits, which can't be kept exactly";
    static const char sheet[] = "it is a spreadsheet's error";

    static const struct {
        const struct number_style *style;
        const char *cell;
        const char *why;
    } rows[] = {
        {&point, "1,234.5", two},
        {&comma, "1,234.5", two},
        {&point, "1.234,5", two},
        {&comma, "1.234,5", two},
        {&point, "1.2.3", two},
        {&point, "1,234,567", two},
        {&point, "1'234.5", two},
        {&point, "<1,234.5", two},
        {&point, "1.2,", two},
        {&point, "1,5", other},
        {&comma, "1.5", other},
        {&comma, ".5", other},
        {&point, "1'234", other},
        {&point,
         "\xe2\x89\xa4"
         "0.05",
         at_most},
        {&point,
         "\xe2\x89\xa5"
         "2420",
         at_most},
        {&point, "<=0.05", at_most},
        {&point, "=> 5", at_most},
        {&point, "<", no_limit},
        {&point, "> ", no_limit},
        {&point, "1 234", space},
        {&comma,
         "1\xc2\xa0"
         "234,5",
         space},
        {&point, "5 mg/L", after},
        {&point, "5mg/L", after},
        {&point, "5.0 mg/L", after},
        {&point, "12%", after},
        {&point, "0.05 J", after},
        {&point, "3 *", after},
        {&point, "1.6x10^5", after},
        {&point, "12e", after},
        {&point, "2026-05-01", after},
        {&point, "<5 mg/L", after},
        {&point, "5.", ends},
        {&comma, "12,x", after},
        {&point, "12.x", after},
        {&point, "5.e3", ends},
        {&comma, "5,", ends},
        {&point, "1234567890123456789", digits},
        {&point, "0.1234567890123456789", digits},
        {&point, "1e30", digits},
        {&point, "abc", not_a_number},
        {&point, "--5", not_a_number},
        {&point, "- 5", not_a_number},
        {&point,
         "-\xe2\x88\x92"
         "5",
         not_a_number},
        {&point,
         "\xe2\x80\x93"
         "5",
         not_a_number}, /* a dash is not a minus */
        {&point, "(5)", estimate},
        {&point, "[5]", estimate},
        {&point, "ca. 900", estimate},
        {&point, "about 900", estimate},
        {&point, "about", not_a_number},
        {&point, "TNTC", countless},
        {&point, "too numerous to count", countless},
        {&point, "Confluent", countless},
        {&point, "<<5", not_a_number},
        {&point, "<ND", not_a_number},
        {&point, "~5", estimate},
        {&point, ".", not_a_number},
        {&point, "inf", not_a_number},
        {&point, "0x10", after},
        {&point, "#DIV/0!", sheet},
        {&point, "12345678901234567890123456789012345678901234567890123456789012345678901",
         "it is too long to be a number"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct number number = number_read(rows[i].style, rows[i].cell);

        if (number.kind != NUMBER_UNREADABLE)
            fail_msg("'%s' was read", rows[i].cell);
        if (strcmp(number.why, rows[i].why) != 0)
            fail_msg("'%s': %s instead of %s", rows[i].cell, number.why, rows[i].why);
        if (!strchr(number.what_to_do, '.'))
            fail_msg("'%s' has no sentence on what to do", rows[i].cell);
    }
}

/* What hides the worst result has no way out by which it would count as clean. */
static void too_many_to_count_is_never_told_to_be_listed_as_blank(void **state)
{
    static const char *const cells[] = {"TNTC", "~900", "(900)", "confluent growth"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(cells); i++)
        if (strncmp(number_read(&point, cells[i]).what_to_do,
                    "That is neither blank nor not detected.", 39) != 0)
            fail_msg("'%s': %s", cells[i], number_read(&point, cells[i]).what_to_do);
}

/* Any cell of up to four bytes of these letters: no crash, and what is read is read back. */
static void no_short_cell_breaks_it(void **state)
{
    static const char letters[] = "05.,-+eE<> '\xc2\xa0\xe2\x88\x92";
    enum { COUNT = sizeof(letters) };
    size_t read = 0;

    (void)state;
    for (size_t i = 0; i < (size_t)COUNT * COUNT * COUNT * COUNT; i++) {
        const char cell[] = {letters[i % COUNT], letters[i / COUNT % COUNT],
                             letters[i / COUNT / COUNT % COUNT], letters[i / COUNT / COUNT / COUNT],
                             '\0'};
        struct number number = number_read(&comma, cell);

        assert_int_equal(number.why != NULL, number.kind == NUMBER_UNREADABLE);
        read += number.kind == NUMBER_VALUE;
    }
    assert_true(read > 1000);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_value_is_read_digit_for_digit),
        cmocka_unit_test(a_cell_without_a_number_is_blank_or_not_detected),
        cmocka_unit_test(an_unreadable_cell_says_why),
        cmocka_unit_test(too_many_to_count_is_never_told_to_be_listed_as_blank),
        cmocka_unit_test(no_short_cell_breaks_it),
    };

    return cmocka_run_group_tests_name("base/number", tests, NULL, NULL);
}
