#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <jansson.h>
#include <signal.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/json.h"
#include "base/macro.h"

static void drop_json(json_t **value)
{
    json_decref(*value);
}

/* Read what was written with another program's reader. */
static json_t *read_back(const struct buf *buf)
{
    json_error_t error;
    json_t *value =
        json_loadb(buf->data, buf->len, JSON_REJECT_DUPLICATES | JSON_DECODE_ANY, &error);

    if (!value)
        fail_msg("%s: %s", buf->data, error.text);

    return value;
}

static void objects_and_arrays_nest_with_their_commas(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf buf = buf_new(mem);
    struct json_writer json = json_begin(&buf);

    (void)state;
    json_put_object(&json);
    json_put_name_text(&json, "farm", "Example Shore");
    json_put_name(&json, "figures");
    json_put_array(&json);
    json_put_number(&json, "0.30");
    json_put_array(&json);
    json_put_array_end(&json);
    json_put_object(&json);
    json_put_object_end(&json);
    json_put_null(&json);
    json_put_array_end(&json);
    json_put_name_int(&json, "least", INT64_MIN);
    json_put_name_bool(&json, "signed", false);
    json_put_name_number(&json, "none", NULL);
    json_put_name_text(&json, "nobody", NULL);
    json_put_name(&json, "as it stands");
    json_put_json(&json, "{\"within\":[1]}");
    json_put_name(&json, "no document");
    json_put_json(&json, NULL);
    json_put_object_end(&json);
    json_end(&json);

    CLEANUP(drop_json) json_t *back = read_back(&buf);

    assert_string_equal(buf.data, "{\"farm\":\"Example Shore\",\"figures\":[0.30,[],{},null],"
                                  "\"least\":-9223372036854775808,\"signed\":false,"
                                  "\"none\":null,\"nobody\":null,"
                                  "\"as it stands\":{\"within\":[1]},\"no document\":null}");
    assert_int_equal(json_object_size(back), 8);
    assert_int_equal(json_array_size(json_object_get(back, "figures")), 4);
    assert_true(json_integer_value(json_object_get(back, "least")) == INT64_MIN);
}

static void every_text_comes_back_as_it_was(void **state)
{
    static const struct {
        const char *text;
        const char *back; /* NULL: the same */
        const char *why;
    } rows[] = {
        {"", NULL, "an empty text"},
        {"say \"30\"", NULL, "quotes"},
        {"C:\\new\\table", NULL, "backslashes that look like escapes"},
        {"a\b\f\n\r\tb", NULL, "controls with a letter of their own"},
        {"\x01\x1f\x7f", NULL, "controls without one"},
        {"</script> & 'x'", NULL, "nothing to escape"},
        {"\xc2\xb5g/L \xe2\x80\xb0 \xf0\x9f\xa6\x90", NULL, "two, three and four bytes"},
        {"\xb5g/L", "\xef\xbf\xbdg/L", "Latin-1 is no UTF-8"},
        {"\xc0\xaf", "\xef\xbf\xbd\xef\xbf\xbd", "too long a form"},
        {"\xed\xa0\x80", "\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd", "half of a surrogate pair"},
        {"\xf4\x90\x80\x80", "\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd", "past U+10FFFF"},
        {"end\xe2\x82", "end\xef\xbf\xbd\xef\xbf\xbd", "cut in the middle of a character"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct buf buf = buf_new(mem);
        struct json_writer json = json_begin(&buf);

        json_put_object(&json);
        json_put_name_text(&json, rows[i].text, rows[i].text);
        json_put_object_end(&json);
        json_end(&json);

        CLEANUP(drop_json) json_t *back = read_back(&buf);
        const char *expected = rows[i].back ? rows[i].back : rows[i].text;
        const char *got = json_string_value(json_object_get(back, expected));

        if (!got || strcmp(got, expected) != 0)
            fail_msg("%s: %s", rows[i].why, buf.data);
    }
}

static void numbers_keep_their_digits(void **state)
{
    static const char *const numbers[] = {"0", "-0.5", "0.30", "160000", "1.6E+05", "1e-7", "-12"};

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(numbers); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct buf buf = buf_new(mem);
        struct json_writer json = json_begin(&buf);

        json_put_number(&json, numbers[i]);
        json_end(&json);

        CLEANUP(drop_json) json_t *back = read_back(&buf);

        assert_true(json_is_number(back));
        assert_string_equal(buf.data, numbers[i]);
    }
}

static void value_without_a_name(struct json_writer *json)
{
    json_put_object(json);
    json_put_int(json, 1);
}

static void name_in_an_array(struct json_writer *json)
{
    json_put_array(json);
    json_put_name(json, "a");
}

static void name_after_a_name(struct json_writer *json)
{
    json_put_object(json);
    json_put_name(json, "a");
    json_put_name(json, "b");
}

static void name_without_a_value(struct json_writer *json)
{
    json_put_object(json);
    json_put_name(json, "a");
    json_put_object_end(json);
}

static void wrong_end(struct json_writer *json)
{
    json_put_object(json);
    json_put_array_end(json);
}

static void end_without_a_beginning(struct json_writer *json)
{
    json_put_object_end(json);
}

static void two_values(struct json_writer *json)
{
    json_put_null(json);
    json_put_null(json);
}

static void nothing_at_all(struct json_writer *json)
{
    json_end(json);
}

static void left_open(struct json_writer *json)
{
    json_put_array(json);
    json_end(json);
}

static void number_that_is_none(struct json_writer *json)
{
    json_put_number(json, "<0.05");
}

static void number_with_a_leading_zero(struct json_writer *json)
{
    json_put_number(json, "007");
}

static void number_without_a_digit_after_its_point(struct json_writer *json)
{
    json_put_number(json, "7.");
}

static void too_deep(struct json_writer *json)
{
    for (int i = 0; i <= JSON_DEPTH_MOST; i++)
        json_put_array(json);
}

/* Whether the misuse ends a program of its own. */
static bool ends_the_program(void (*misuse)(struct json_writer *json))
{
    pid_t child = fork();
    int status = 0;

    if (child == 0) {
        struct arena *mem = arena_new();
        struct buf buf = buf_new(mem);
        struct json_writer json = json_begin(&buf);

        (void)close(STDERR_FILENO);
        misuse(&json);
        _exit(0);
    }
    assert_int_equal(waitpid(child, &status, 0), child);

    return WIFSIGNALED(status) && WTERMSIG(status) == SIGABRT;
}

static void misuse_ends_the_program(void **state)
{
    static void (*const misuses[])(struct json_writer * json) = {
        value_without_a_name,
        name_in_an_array,
        name_after_a_name,
        name_without_a_value,
        wrong_end,
        end_without_a_beginning,
        two_values,
        nothing_at_all,
        left_open,
        number_that_is_none,
        too_deep,
        number_with_a_leading_zero,
        number_without_a_digit_after_its_point,
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(misuses); i++)
        if (!ends_the_program(misuses[i]))
            fail_msg("misuse %zu was accepted", i);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(objects_and_arrays_nest_with_their_commas),
        cmocka_unit_test(every_text_comes_back_as_it_was),
        cmocka_unit_test(numbers_keep_their_digits),
        cmocka_unit_test(misuse_ends_the_program),
    };

    return cmocka_run_group_tests_name("base/json", tests, NULL, NULL);
}
