/* Arenas: what one holds stays where it is when another takes it over; buffers that are cut. */
#include <string.h>

#include "base/arena.h"
#include "base/buf.h"
#include "harness/cmocka.h"

enum { PIECES = 200, PIECE = 1000 };

static void what_is_taken_over_stays_as_it_was_until_its_new_arena_ends(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct arena *other = arena_new();
    char *pieces[PIECES];
    size_t held;

    (void)state;
    assert_string_equal(arena_strdup(mem, "before"), "before");
    for (size_t i = 0; i < PIECES; i++) {
        pieces[i] = arena_alloc(other, PIECE);
        memset(pieces[i], (int)i, PIECE);
    }
    held = arena_held(mem) + arena_held(other);
    arena_take_over(mem, &other);
    assert_null(other);
    assert_true(arena_held(mem) == held);
    /* Under the sanitizer a piece that had gone would be told, and so would one left behind. */
    for (size_t i = 0; i < PIECES; i++)
        assert_int_equal((unsigned char)pieces[i][PIECE - 1], i);
    assert_string_equal(arena_strdup(mem, "after"), "after");
}

static void an_empty_arena_takes_over_and_is_taken_over(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct arena *other = arena_new();
    char *text = arena_strdup(other, "kept");

    (void)state;
    arena_take_over(mem, &other);
    other = arena_new();
    arena_take_over(mem, &other);
    assert_string_equal(text, "kept");
}

static void a_buffer_that_was_cut_goes_on_from_there(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf text = buf_new(mem);

    (void)state;
    buf_add_text(&text, "one, two");
    buf_cut(&text, 3);
    assert_string_equal(text.data, "one");
    buf_add_text(&text, "!");
    assert_string_equal(text.data, "one!");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_is_taken_over_stays_as_it_was_until_its_new_arena_ends),
        cmocka_unit_test(an_empty_arena_takes_over_and_is_taken_over),
        cmocka_unit_test(a_buffer_that_was_cut_goes_on_from_there),
    };

    return cmocka_run_group_tests_name("base/arena", tests, NULL, NULL);
}
