/*
 * What differs between two texts of the farm file, in words.
 */
#include "app/text_changes.h"

#include "base/macro.h"
#include "base/str.h"
#include "harness/cmocka.h"

static const struct {
    const char *then;
    const char *now;
    const char *words; /* NULL: nothing */
    const char *why;
} rows[] = {
    {"{\"a\":\"1\"}", "{\"a\":\"1\"}", NULL, "the same text"},
    {"{\"a\":\"1\",\"b\":\"2\"}", "{\"b\":\"2\",\"a\":\"1\"}", NULL, "another order of keys"},
    {"{\"a\":\"0.10\"}", "{\"a\":\"0.15\"}", "a: 0.10 -> 0.15", "a value"},
    {"{\"s\":{\"a\":\"1\"}}", "{\"s\":{\"a\":\"2\"}}", "s, a: 1 -> 2", "a value inside"},
    {"{\"a\":\"1\"}", "{}", "a: 1 -> not told", "a key that is gone"},
    {"{}", "{\"a\":\"1\"}", "a: not told -> 1", "a new key"},
    {"{\"a\":\"1\"}", "{\"a\":{\"b\":\"1\"}}", "a: 1 -> {\"b\":\"1\"}", "a text became a map"},
    {"{\"l\":[\"x\",\"y\"]}", "{\"l\":[\"y\",\"z\"]}", "l: no longer x; l: new z", "a list"},
    {"{\"l\":[\"x\",\"y\"]}", "{\"l\":[\"y\",\"x\"]}", "l: in another order", "another order"},
    {"{\"a\":\"1\",\"b\":\"1\",\"c\":\"1\",\"d\":\"1\",\"e\":\"1\",\"f\":\"1\",\"g\":\"1\"}", "{}",
     "a: 1 -> not told; b: 1 -> not told; c: 1 -> not told; d: 1 -> not told; e: 1 -> not told; "
     "f: 1 -> not told; and 1 more",
     "of many the first few"},
};

static void what_changed_is_said_in_words(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const char *words = text_changes(mem, rows[i].then, rows[i].now);

        if (!str_equal(words ? words : "", rows[i].words ? rows[i].words : ""))
            fail_msg("%s: '%s'", rows[i].why, words ? words : "nothing");
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_changed_is_said_in_words),
    };

    return cmocka_run_group_tests_name("app/text_changes", tests, NULL, NULL);
}
