#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>

#include <string.h>

#include "base/err.h"

static void context_goes_in_front_of_the_cause(void **state)
{
    struct err err = ERR_INIT;

    (void)state;
    assert_false(err_set(&err, ERR_CONFLICT, "%d already there", 2));
    assert_false(err_wrap(&err, "row %d", 7));
    assert_false(err_wrap(&err, "file %s", "a.csv"));
    assert_false(err_hint(&err, "Bring in %s only.", "new rows"));
    assert_string_equal(err.text, "file a.csv: row 7: 2 already there");
    assert_string_equal(err.hint, "Bring in new rows only.");
    assert_int_equal(err.code, ERR_CONFLICT);
}

static void a_new_error_forgets_the_old_hint(void **state)
{
    struct err err = ERR_INIT;

    (void)state;
    err_set(&err, ERR_INVALID, "first");
    err_hint(&err, "Old advice.");
    err_set(&err, ERR_NOT_FOUND, "second");
    assert_string_equal(err.text, "second");
    assert_string_equal(err.hint, "");
}

/* However long the texts are, the cause stays whole and the context is cut. */
static void the_context_is_cut_before_the_cause(void **state)
{
    char words[1000];

    (void)state;
    memset(words, 'c', sizeof(words) - 1);
    words[sizeof(words) - 1] = '\0';
    for (int cause = 0; cause < 600; cause += 7) {
        struct err err = ERR_INIT;
        size_t kept = (size_t)cause < sizeof(err.text) ? (size_t)cause : sizeof(err.text) - 1;

        err_set(&err, ERR_BUG, "%.*s", cause, words);
        err_wrap(&err, "%s", "x");
        err_wrap(&err, "%s", words);
        assert_true(strlen(err.text) < sizeof(err.text));
        assert_int_equal(strspn(err.text + strlen(err.text) - kept, "c"), kept);
    }
}

/* Else it could go neither into JSON nor into the database. */
static void a_character_cut_in_two_does_not_stay_in_an_error(void **state)
{
    struct err err = ERR_INIT;
    char words[500];

    (void)state;
    err_set(&err, ERR_INVALID, "the key '%.2s' of \xff\xfe.csv", "t\xc3\xa9");
    assert_string_equal(err.text, "the key 't?' of ?.csv");
    err_hint(&err, "See %.3s.", "\xe2\x82\xac");
    assert_string_equal(err.hint, "See \xe2\x82\xac.");
    memset(words, 'c', sizeof(words));
    memcpy(words + sizeof(err.text) - 3, "\xe2\x82\xac", 4);
    err_set(&err, ERR_INVALID, "%s", words);
    assert_string_equal(err.text + sizeof(err.text) - 4, "c?");
    err_set(&err, ERR_INVALID, "cause");
    err_wrap(&err, "%s", words + 7);
    assert_non_null(strstr(err.text, "c?: cause"));
    assert_null(strchr(err.text, '\xe2'));
}

static void every_code_has_a_name(void **state)
{
    (void)state;
    assert_string_equal(err_code_name(ERR_NOT_FOUND), "not found");
    assert_string_equal(err_code_name(ERR_BUG), "bug");
    assert_string_equal(err_code_name((enum err_code)99), "bug");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(context_goes_in_front_of_the_cause),
        cmocka_unit_test(a_new_error_forgets_the_old_hint),
        cmocka_unit_test(the_context_is_cut_before_the_cause),
        cmocka_unit_test(a_character_cut_in_two_does_not_stay_in_an_error),
        cmocka_unit_test(every_code_has_a_name),
    };

    return cmocka_run_group_tests_name("base/err", tests, NULL, NULL);
}
