/* A place is a line of text, or a sheet and a row of it in one number. */
#include "harness/cmocka.h"
#include "ingest/place.h"

static void a_place_tells_sheet_and_row(void **state)
{
    static const struct {
        int32_t sheet;
        uint32_t row;
        int32_t line;
    } rows[] = {
        {0, 1, 1},
        {0, 1048576, 1048576}, /* the last row a sheet has (ECMA-376) */
        {1, 1, 1048577},
        {999, 1048576, 1048576000},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        assert_int_equal(place_of(rows[i].sheet, rows[i].row), rows[i].line);
        assert_int_equal(place_sheet(rows[i].line), rows[i].sheet);
        assert_int_equal(place_row(rows[i].line), rows[i].row);
    }
}

static void a_place_is_told_as_people_see_it(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    static const struct place_sheet named[] = {{0, "Results"}, {2, "May"}};
    const struct place_sheets sheets = {named, ARRAY_LEN(named)};

    (void)state;
    assert_string_equal(place_text(mem, &sheets, place_of(0, 14), 0), "sheet Results, row 14");
    assert_string_equal(place_text(mem, &sheets, place_of(2, 14), 3), "sheet May, cell C14");
    assert_string_equal(place_text(mem, &sheets, place_of(2, 1), 28), "sheet May, cell AB1");
    assert_string_equal(place_text(mem, NULL, 14, 3), "line 14, column 3");
    assert_string_equal(place_text(mem, NULL, 1048577, 0), "line 1048577");
    assert_null(place_sheet_name(&sheets, place_of(1, 1)));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_place_tells_sheet_and_row),
        cmocka_unit_test(a_place_is_told_as_people_see_it),
    };

    return cmocka_run_group_tests_name("ingest/place", tests, NULL, NULL);
}
