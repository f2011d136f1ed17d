/* Finding what puts a reading in doubt among many marks, beside looking at each of them. */
#include "app/doubt_meeting.h"

#include "base/str.h"
#include "harness/cmocka.h"

enum { MARKS = 300, READINGS = 3000 };

static unsigned draw(unsigned *seed, unsigned below)
{
    *seed = *seed * 1103515245 + 12345;

    return (*seed >> 16) % below;
}

static const struct doubt_mark *first_of(const struct doubt_marks *marks, int64_t series,
                                         instant at, instant until, const char *sample)
{
    for (size_t i = 0; i < marks->count; i++) {
        const struct doubt_mark *mark = &marks->items[i];

        if (mark->sample ? str_equal(mark->sample, sample)
                         : mark->series_id == series && mark->from <= until && mark->until >= at)
            return mark;
    }

    return NULL;
}

static void the_first_mark_of_a_reading_is_found_among_many(void **state)
{
    static const char *const samples[] = {"S1", "S2", "S3"};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    unsigned seed = 1;
    struct doubt_marks marks = {ARENA_ARRAY(mem, struct doubt_mark, MARKS), MARKS};
    size_t found = 0;

    (void)state;
    for (size_t i = 0; i < MARKS; i++) {
        instant from = draw(&seed, 10000);

        /* Most are short, as tests make them; some cover a season; a few are of samples. */
        marks.items[i] = (struct doubt_mark){.series_id = 1 + draw(&seed, 4),
                                             .from = from,
                                             .until = from + draw(&seed, i % 50 == 0 ? 5000 : 10),
                                             .sample = i % 100 == 99 ? samples[i / 100] : NULL};
    }

    struct doubt_index index = doubt_index_of(mem, &marks);

    for (size_t i = 0; i < READINGS; i++) {
        int64_t series = draw(&seed, 6);
        instant at = draw(&seed, 10100);
        instant until = at + (i % 7 == 0 ? draw(&seed, 100) : 0);
        const char *sample = i % 11 == 0 ? samples[draw(&seed, 3)] : NULL;
        const struct doubt_mark *mark = first_of(&marks, series, at, until, sample);

        found += mark != NULL;
        assert_ptr_equal(doubt_index_find(&index, series, at, until, sample), mark);
    }
    assert_in_range(found, READINGS / 10, READINGS * 9 / 10);
}

static void without_marks_nothing_is_in_doubt(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct doubt_marks none = {.count = 0};
    struct doubt_index index = doubt_index_of(mem, &none);
    const struct doubt_index empty = {.span_count = 0};

    (void)state;
    assert_null(doubt_index_find(&index, 1, 0, 0, "S1"));
    assert_null(doubt_index_find(&empty, 1, 0, 0, NULL));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_first_mark_of_a_reading_is_found_among_many),
        cmocka_unit_test(without_marks_nothing_is_in_doubt),
    };

    return cmocka_run_group_tests_name("app/doubt_meeting", tests, NULL, NULL);
}
