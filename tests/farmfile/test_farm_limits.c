/*
 * Limits of the farm file's own lists, keys and texts, of a visit's and of the settings: what is at
 * each is taken, and one past it is refused with its place.
 */
#include <stdlib.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "farmfile/field.h"
#include "farmfile/settings.h"
#include "farmfile/visit_file.h"
#include "sound.h"

/* `line` so many times, each with its number. */
static const char *lines(struct arena *mem, const char *before, size_t count, const char *after)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < count; i++)
        buf_addf(&text, "%s%zu%s", before, i, after);

    return text.data;
}

static const char *letters(struct arena *mem, size_t count)
{
    char *text = arena_alloc(mem, count + 1);

    memset(text, 'a', count);
    text[count] = '\0';

    return text;
}

/* The sound farm with `put` before its stations; what is told of the first problem, or NULL. */
static const char *told(struct arena *mem, const char *put, size_t *problem_count)
{
    const char *text = replaced(mem, "stations:\n", arena_printf(mem, "stations:\n%s", put));
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;
    bool read = farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err);

    assert_int_equal(read, problems.count == 0);
    *problem_count = problems.count;

    return read ? NULL : problems.items[0].words;
}

static void a_list_takes_10000_items(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t beside = 2; /* that the sound farm has */
    size_t problems = 0;

    (void)state;
    assert_null(
        told(mem, lines(mem, "  - {key: s", FARM_ITEMS_MOST - beside, ", name: S, kind: other}\n"),
             &problems));
    assert_string_equal(
        told(mem,
             lines(mem, "  - {key: s", FARM_ITEMS_MOST - beside + 1, ", name: S, kind: other}\n"),
             &problems),
        "10001 items in `stations`, at most 10000 are taken");
}

static void a_key_takes_40_letters(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t problems = 0;

    (void)state;
    assert_null(told(
        mem,
        arena_printf(mem, "  - {key: %s, name: S, kind: other}\n", letters(mem, FARM_KEY_MOST)),
        &problems));
    assert_non_null(strstr(told(mem,
                                arena_printf(mem, "  - {key: %s, name: S, kind: other}\n",
                                             letters(mem, FARM_KEY_MOST + 1)),
                                &problems),
                           "can't be `key`: expected a short name"));
    assert_int_equal(problems, 1);
}

static void a_text_takes_4000_bytes(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t problems = 0;

    (void)state;
    assert_null(told(
        mem,
        arena_printf(mem, "  - {key: s, name: %s, kind: other}\n", letters(mem, FARM_TEXT_MOST)),
        &problems));
    assert_string_equal(told(mem,
                             arena_printf(mem, "  - {key: s, name: %s, kind: other}\n",
                                          letters(mem, FARM_TEXT_MOST + 1)),
                             &problems),
                        "`name` is longer than the 4000 bytes taken");
    assert_int_equal(problems, 1);
}

static void five_hundred_problems_are_told_in_one_pass(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t problems = 0;

    (void)state;
    assert_non_null(told(mem, lines(mem, "  - s", FARMFILE_PROBLEMS_MOST - 1, "\n"), &problems));
    assert_int_equal(problems, FARMFILE_PROBLEMS_MOST - 1);
    assert_non_null(told(mem, lines(mem, "  - s", FARMFILE_PROBLEMS_MOST, "\n"), &problems));
    assert_int_equal(problems, FARMFILE_PROBLEMS_MOST);
    assert_non_null(told(mem, lines(mem, "  - s", FARMFILE_PROBLEMS_MOST + 1, "\n"), &problems));
    assert_int_equal(problems, FARMFILE_PROBLEMS_MOST);
}

/* A table of so many tides from the first of 2026 on, one each 6 hours. */
static const char *tides(struct arena *mem, int count)
{
    struct buf text = buf_new(mem);
    day_number first = day_from_civil(2026, 1, 1);

    buf_add_text(&text, "tide tables:\n  - key: harbour\n    place: Example Harbour\n"
                        "    from: an invented table\n    clock: +12:00\n    tides:\n");
    for (int i = 0; i < count; i++)
        buf_addf(&text, "      - %s %02d:00 %s\n", day_text(mem, first + i / 4), i % 4 * 6,
                 i % 2 == 0 ? "high" : "low");

    return text.data;
}

static void a_tide_table_takes_15000_tides(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    for (int past = 0; past < 2; past++) {
        const char *text =
            replaced(mem, "flow paths:\n",
                     arena_printf(mem, "%sflow paths:\n", tides(mem, FARM_TIDES_MOST + past)));
        struct farmfile_problems found = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;

        assert_int_equal(farmfile_read(mem, text, strlen(text), units, &farm, &found, &err),
                         past == 0);
        assert_int_equal(found.count, past);
        if (past)
            assert_string_equal(found.items[0].words,
                                "15001 tides in one table, at most 15000 are taken");
    }
}

static void a_visit_takes_50_standards(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *with = arena_printf(
        mem, "%s%s", sound,
        "instruments:\n"
        "  - {key: o2, name: Oxygen probe, kind: fixed probe, serial number: EX-1, named: "
        "logger 1, station: out, from: 2026-01-01, checks: []}\n");
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    if (!farmfile_read(mem, with, strlen(with), units, &farm, &problems, &err))
        fail_msg("%s", err.text);
    for (size_t past = 0; past < 2; past++) {
        const char *text =
            arena_printf(mem,
                         "instrument: o2\nat: 2026-05-20 09:10\nreadings:\n  - parameter: oxygen\n"
                         "    standards:\n%s",
                         lines(mem, "      - {standard: 10.0, read: 9.8, lot: A-",
                               VISIT_STANDARDS_MOST + past, "}\n"));
        struct farmfile_problems found = {0};
        struct visit_order order;

        err = ERR_INIT;

        if (visit_file_read(mem, text, strlen(text), farm, units, &order, &found, &err) !=
            (past == 0))
            fail_msg("%zu past: %s", past, err.text);
        if (past)
            assert_string_equal(found.items[found.count - 1].words, "more than 50 standards");
    }
}

static void a_secret_takes_4096_bytes_and_the_settings_a_megabyte(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char folder[] = "/tmp/weirbook-settings-XXXXXX";
    const struct machine_settings *settings = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_non_null(mkdtemp(folder));
    assert_true(file_make_folders(arena_printf(mem, "%s/secrets", folder), 0700, &err));
    for (size_t past = 0; past < 2; past++) {
        struct farmfile_problems found = {0};
        const char *secret = NULL;
        char *remark = arena_printf(mem, "#%s\n", letters(mem, SETTINGS_BYTES_MOST - 2 + past));

        err = ERR_INIT;
        assert_true(file_write(arena_printf(mem, "%s/secrets/mail", folder),
                               letters(mem, SETTINGS_SECRET_MOST + past),
                               SETTINGS_SECRET_MOST + past, 0600, &err));
        assert_int_equal(settings_secret(mem, folder, "mail", &secret, &err), past == 0);
        assert_int_equal(err.code, past == 0 ? ERR_NONE : ERR_INVALID);
        err = ERR_INIT;
        assert_true(file_write(arena_printf(mem, "%s/" SETTINGS_FILE, folder), remark,
                               strlen(remark), 0600, &err));
        if (settings_load(mem, folder, NULL, &settings, &found, &err) != (past == 0))
            fail_msg("%zu past: %s", past, err.text);
        assert_int_equal(err.code, past == 0 ? ERR_NONE : ERR_TOO_LARGE);
    }
    err = ERR_INIT;
    assert_true(file_remove_tree(folder, &err));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_list_takes_10000_items),
        cmocka_unit_test(a_key_takes_40_letters),
        cmocka_unit_test(a_text_takes_4000_bytes),
        cmocka_unit_test(five_hundred_problems_are_told_in_one_pass),
        cmocka_unit_test(a_tide_table_takes_15000_tides),
        cmocka_unit_test(a_visit_takes_50_standards),
        cmocka_unit_test(a_secret_takes_4096_bytes_and_the_settings_a_megabyte),
    };

    return cmocka_run_group_tests_name("farmfile/farm_limits", tests, load_units, free_units);
}
