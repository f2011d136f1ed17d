#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <string.h>

#include "base/yaml.h"

/* What is refused: the text, and the place and words of its first problem. */
static const struct refused {
    const char *reason;
    const char *text;
    int line;
    int column;
    const char *words; /* its beginning */
} refused[] = {
    {"a key without its colon", "a: 1\nb 2\nc: 3\n", 2, 1, "a colon is missing on or before"},
    {"the same on the last line", "a: 1\nb\n", 2, 1, "a colon is missing on or before"},
    {"a colon without its blank swallows the next line", "a:b\nc: 1\n", 2, 2,
     "a colon that can't stand here: on or before this line"},
    {"two colons on a line", "a: b: c\n", 1, 5, "a colon that can't stand here"},
    {"a line too far in", "a: 1\n  b: 2\n", 2, 4, "a colon that can't stand here"},
    {"a line between two indentations", "a:\n  b: 1\n c: 2\n", 3, 2, "the line does not fit"},
    {"a key in the middle of a list", "- a\nb: 1\n", 2, 1, "the line does not fit"},
    {"a tab first on the line", "a:\n\tb: 1\n", 2, 1, "a tab where the line is indented"},
    {"a tab after blanks", "a:\n  b: 1\n \tc: 2\n", 3, 2, "a tab where the line is indented"},
    {"a list never closed", "a: [1, 2\nb: 3\n", 1, 4, "a list that begins here lacks its `]`"},
    {"a brace never closed", "a: {b: 1\nc: 2}\nd: 3\n", 1, 4, "a `{` that begins here"},
    {"a quote never closed", "a: 1\nb: \"x\nc: 1\n", 2, 4, "a quote that begins here"},
    {"a backslash in double quotes", "a: \"\\q\"\n", 1, 5, "a backslash in double quotes"},
    {"a value that begins with @", "a: @x\n", 1, 4, "a character that no value can begin"},
    {"an anchor", "a: &x 1\n", 1, 4, "anchors (`&`) are not taken"},
    {"an alias", "a: *x\n", 1, 4, "aliases (`*`) are not taken"},
    {"a tag", "a: !t x\n", 1, 4, "tags (`!`) are not taken"},
    {"a tag on a list", "a: !!set [x]\n", 1, 4, "tags (`!`) are not taken"},
    {"a key twice", "a: 1\nb: 2\na: 3\n", 3, 1, "'a' is given twice (first on line 1)"},
    {"a key twice inside a list", "l:\n- k: 1\n  n: 2\n  k: 3\n", 4, 3,
     "'k' is given twice (first on line 2)"},
    {"a list as a key", "? [a]\n: b\n", 1, 3, "a key must be a text"},
    {"a second document", "a: 1\n---\nb: 2\n", 2, 1, "a second document begins here"},
    {"another YAML", "%YAML 3.0\n---\na: 1\n", 1, 1, "this can't be read (found incompatible"},
    {"Latin-1", "a: 1\nb: caf\xe9\n", 2, 7, "byte 0xe9 is not UTF-8 text"},
    {"columns count characters, not bytes", "a: \xc3\xa9\xc3\xa9\xff\n", 1, 6,
     "this is no UTF-8 text"},
    {"an overlong form", "a: \xc0\xaf\n", 1, 4, "byte 0xc0 is not UTF-8 text"},
    {"a surrogate", "a: \xed\xa0\x80\n", 1, 4, "byte 0xed is not UTF-8 text"},
    {"a bell", "a: x\ay\n", 1, 5, "control character 0x07"},
    {"a line separator", "a: x\xe2\x80\xa8y\n", 1, 5, "character U+2028, which can't be seen"},
    {"a control character by escape", "a: \"\\x07\"\n", 1, 4, "a control character in a text"},
    {"a NUL by escape would cut the text", "a: \"x\\0y\"\n", 1, 4, "a control character"},
};

static void what_is_wrong_is_named_with_its_place(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(refused); i++) {
        const struct refused *row = &refused[i];
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct yaml_problems problems = {0};

        yaml_read(mem, row->text, strlen(row->text), &problems);
        if (problems.count == 0)
            fail_msg("%s: nothing refused", row->reason);

        const struct yaml_problem *first = &problems.items[0];

        if (first->line != row->line || first->column != row->column ||
            strncmp(first->words, row->words, strlen(row->words)) != 0)
            fail_msg("%s: line %d, column %d: %s", row->reason, first->line, first->column,
                     first->words);
    }
}

/* Texts, and the same as JSON in the order of the file. */
static const struct taken {
    const char *reason;
    const char *text;
    const char *json;
} taken[] = {
    {"nothing is typed", "a: no\nb: 0.30\nc: ~\nd: 2026-01-01\n",
     "{\"a\":\"no\",\"b\":\"0.30\",\"c\":\"~\",\"d\":\"2026-01-01\"}"},
    {"lists and maps", "l:\n- x\n- {k: v, m: [1, 2]}\n",
     "{\"l\":[\"x\",{\"k\":\"v\",\"m\":[\"1\",\"2\"]}]}"},
    {"order is the file's", "z: 1\na: 2\n", "{\"z\":\"1\",\"a\":\"2\"}"},
    {"nothing after the colon", "a:\nb: \"\"\n", "{\"a\":\"\",\"b\":\"\"}"},
    {"a file of comments", "# nothing yet\n", "{}"},
    {"an empty file", "", "{}"},
    {"a byte order mark",
     "\xef\xbb\xbf"
     "a: 1\n",
     "{\"a\":\"1\"}"},
    {"CRLF", "a: 1\r\nb: 2\r\n", "{\"a\":\"1\",\"b\":\"2\"}"},
    {"a folded text", "a: >\n  one\n  two\n", "{\"a\":\"one two\\n\"}"},
    {"a tab inside a value", "a: x\ty\n", "{\"a\":\"x\\ty\"}"},
    {"letters beyond ASCII", "a: \xc3\xa9\xe2\x82\xac\n", "{\"a\":\"\xc3\xa9\xe2\x82\xac\"}"},
    {"quotes and backslashes", "a: '\"\\'\n", "{\"a\":\"\\\"\\\\\"}"},
    {"a colon in quotes", "'a: b': 'c: d'\n", "{\"a: b\":\"c: d\"}"},
    {"blanks in quotes stay", "a: '  x  '\n", "{\"a\":\"  x  \"}"},
};

static void a_tree_goes_to_json_and_back(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(taken); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct yaml_problems problems = {0};
        const struct yaml *root = yaml_read(mem, taken[i].text, strlen(taken[i].text), &problems);

        if (problems.count > 0)
            fail_msg("%s: %s", taken[i].reason, problems.items[0].words);

        const char *json = yaml_json(mem, root);

        assert_string_equal(json, taken[i].json);
        root = yaml_read(mem, json, strlen(json), &problems);
        assert_int_equal(problems.count, 0);
        assert_string_equal(yaml_json(mem, root), json);
    }
}

static void every_node_knows_its_place_and_its_quotes(void **state)
{
    static const char text[] = "# first\nlimits:\n- key: 'no'\n  unit: mg/L\n";
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct yaml *root = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_true(yaml_load(mem, text, strlen(text), &root, &err));

    const struct yaml *limit = yaml_find(root, "limits")->items[0].value;
    const struct yaml *key = yaml_find(limit, "key");
    const struct yaml *unit = yaml_find(limit, "unit");

    assert_int_equal(limit->kind, YAML_MAP);
    assert_int_equal(limit->line, 3);
    assert_int_equal(limit->column, 3);
    assert_string_equal(key->text, "no");
    assert_true(key->quoted);
    assert_int_equal(unit->line, 4);
    assert_int_equal(unit->column, 9);
    assert_false(unit->quoted);
    assert_null(yaml_find(limit, "units"));
    assert_null(yaml_find(unit, "key"));
}

static void wrong_keys_do_not_hide_what_comes_after(void **state)
{
    static const char text[] = "a: 1\na: 2\nb: &x 1\nb: 3\nc: 4\n";
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct yaml_problems problems = {0};
    const struct yaml *root = yaml_read(mem, text, strlen(text), &problems);

    (void)state;
    assert_int_equal(problems.count, 3);
    assert_int_equal(problems.items[0].line, 2);
    assert_int_equal(problems.items[1].line, 3);
    assert_int_equal(problems.items[2].line, 4);
    assert_string_equal(yaml_json(mem, root), "{\"a\":\"1\",\"b\":\"1\",\"c\":\"4\"}");
}

static void loading_all_or_nothing_says_the_first_place(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct yaml *root = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_false(yaml_load(mem, "a: 1\nb 2\n", 9, &root, &err));
    assert_null(root);
    assert_int_equal(err.code, ERR_INVALID);
    assert_string_equal(err.text, "line 2, column 1: a colon is missing on or before this line");
    assert_string_equal(err.hint, "Write `key: value`, with a blank after the colon.");
}

/* `count` times `part`. */
static char *repeated(struct arena *mem, const char *part, size_t count)
{
    struct buf buf = buf_new(mem);

    for (size_t i = 0; i < count; i++)
        buf_add_text(&buf, part);

    return buf.data;
}

static void assert_refused(struct arena *mem, const char *text, enum err_code code,
                           const char *words)
{
    const struct yaml *root = NULL;
    struct err err = ERR_INIT;

    assert_false(yaml_load(mem, text, strlen(text), &root, &err));
    assert_int_equal(err.code, code);
    if (!strstr(err.text, words))
        fail_msg("%s", err.text);
}

static void what_a_stranger_can_make_grow_has_a_limit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct yaml *root = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_refused(mem, repeated(mem, "[", YAML_DEPTH_MOST + 1), ERR_INVALID,
                   "line 1, column 33: more than 32 lists and maps");
    assert_refused(mem, repeated(mem, "- a\n", YAML_NODES_MOST), ERR_INVALID,
                   "line 1000000, column 3: more than 1000000 keys and values");
    assert_refused(mem, repeated(mem, "#\n", YAML_BYTES_MOST / 2 + 1), ERR_TOO_LARGE,
                   "more than the 4194304 taken");
    assert_refused(mem, arena_printf(mem, "%s: 1\n", repeated(mem, "k", YAML_KEY_MOST + 1)),
                   ERR_INVALID, "a key must be a text of at most 200 bytes");

    const char *deepest = arena_printf(mem, "%s%s", repeated(mem, "[", YAML_DEPTH_MOST),
                                       repeated(mem, "]", YAML_DEPTH_MOST));

    assert_true(yaml_load(mem, deepest, strlen(deepest), &root, &err));
    assert_string_equal(yaml_json(mem, root), deepest);

    const char *most = repeated(mem, "- a\n", YAML_NODES_MOST - 1); /* the list is one itself */

    assert_true(yaml_load(mem, most, strlen(most), &root, &err));
    assert_int_equal(root->count, YAML_NODES_MOST - 1);
    most = repeated(mem, "#\n", YAML_BYTES_MOST / 2);
    assert_true(yaml_load(mem, most, strlen(most), &root, &err));
    most = arena_printf(mem, "%s: 1\n", repeated(mem, "k", YAML_KEY_MOST));
    assert_true(yaml_load(mem, most, strlen(most), &root, &err));
}

static void thousands_of_keys_are_told_apart(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf buf = buf_new(mem);
    struct yaml_problems problems = {0};

    (void)state;
    for (int i = 0; i < 20000; i++)
        buf_addf(&buf, "key-%d: %d\n", i, i);
    buf_add_text(&buf, "key-777: again\n");

    const struct yaml *root = yaml_read(mem, buf.data, buf.len, &problems);

    assert_int_equal(root->count, 20000);
    assert_int_equal(problems.count, 1);
    assert_string_equal(problems.items[0].words, "'key-777' is given twice (first on line 778)");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_wrong_is_named_with_its_place),
        cmocka_unit_test(a_tree_goes_to_json_and_back),
        cmocka_unit_test(every_node_knows_its_place_and_its_quotes),
        cmocka_unit_test(wrong_keys_do_not_hide_what_comes_after),
        cmocka_unit_test(loading_all_or_nothing_says_the_first_place),
        cmocka_unit_test(what_a_stranger_can_make_grow_has_a_limit),
        cmocka_unit_test(thousands_of_keys_are_told_apart),
    };

    return cmocka_run_group_tests_name("base/yaml", tests, NULL, NULL);
}
