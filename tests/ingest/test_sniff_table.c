/* Header, units, remarks and data of tables nobody described; how numbers and blanks are written.
 */
#include "ingest/sniff_number.h"
#include "sniff_file.h"

static void the_header_is_found_among_titles(void **state)
{
    static const struct {
        const char *text;
        int32_t header_line;
        int lines_after;
        size_t data;
        const char *remarks;
        const char *why;
    } rows[] = {
        {"Time,Temp\n2026-05-01 00:00,12.5\n", 1, 0, 1, "", "plain"},
        {"Results of May,,\nLogger: K7,,\n\nTime,Temp,DO\n2026-05-01 00:00,12.5,8\n", 4, 0, 1, "",
         "titles above"},
        {"Time,Temp,DO\n[time],[degC],[mg/L]\n2026-05-01 00:00,12.5,8\n", 1, 1, 1, "",
         "a row of units"},
        {"Time,Temp,DO\ns,degC,mg/L\nend,avg,avg\n2026-05-01 00:00,12.5,8\n", 1, 2, 1, "",
         "two rows that are no data"},
        {"Time,Temp,DO\n2026-05-01 00:00,1,8\nTime,Temp,DO\n2026-05-01 00:15,1,8\n", 1, 0, 2, "",
         "the header again"},
        {"Time,Temp,DO\n2026-05-01 00:00,1,8\nTotal records: 1\n", 1, 0, 1, "Total records;",
         "a footer"},
        {"# made by K7\nTime,Temp,DO\n# probe changed\n2026-05-01 00:00,1,8\n", 2, 0, 1, "#;",
         "remarks"},
        {"Site,Test,Result,When\nOutlet,TSS,<5,3/4/2026\n", 1, 0, 1, "", "a row a result"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct buf remarks = buf_new(mem);
        struct sniff_table table;

        assert_done(table_of(mem, rows[i].text, ',', &table, &err), &err);
        for (size_t k = 0; k < table.remark_count; k++)
            buf_addf(&remarks, "%s;", table.remarks[k]);
        if (table.header_line != rows[i].header_line || table.lines_after != rows[i].lines_after ||
            table.data.count != rows[i].data || strcmp(remarks.data, rows[i].remarks) != 0)
            fail_msg("%s: header %d, %d after, %zu data, remarks %s", rows[i].why,
                     table.header_line, table.lines_after, table.data.count, remarks.data);
    }
}

static void a_table_without_names_is_refused(void **state)
{
    static const char *const texts[] = {
        "2026-05-01 00:00,12.5\n2026-05-01 00:15,12.6\n", /* data from the first line on */
        "Time,Temp\n",                                    /* names and no data */
        "only words here\nand here\n",
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(texts); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct sniff_table table;

        assert_fails(table_of(mem, texts[i], ',', &table, &err), ERR_INVALID, &err);
    }
}

static void units_come_from_the_header_or_the_row_behind_it(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    struct sniff_table table;

    (void)state;
    assert_done(table_of(mem,
                         "Time,Temp (degC),DO,Temp (degC)\n,,mg/L,\n2026-05-01 00:00,12.5,8,1\n",
                         ',', &table, &err),
                &err);
    assert_string_equal(table.columns[1].bare, "Temp");
    assert_string_equal(table.columns[1].unit, "degC");
    assert_false(table.columns[1].unit_in_row);
    assert_string_equal(table.columns[2].unit, "mg/L");
    assert_true(table.columns[2].unit_in_row);
    assert_true(table.columns[1].is_twice && table.columns[3].is_twice);
    assert_null(table.columns[0].unit);
}

/* A logger that was given a probe for pH half-way, and lost the one for oxygen. */
static void a_header_with_other_columns_half_way_is_one(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    struct sniff_table table;

    (void)state;
    assert_done(table_of(mem,
                         "Time,Temp (degC),DO (mg/L)\n2026-05-01 00:00,12.5,8.0\n"
                         "Time,pH,Temp (degC)\n2026-05-01 00:15,8.1,12.6\n",
                         ',', &table, &err),
                &err);
    assert_int_equal(table.changed_line, 3);
    assert_int_equal(table.column_count, 4);
    assert_int_equal(table.data.count, 2);
    assert_string_equal(table.columns[3].name, "pH");
    assert_false(table.columns[0].may_lack || table.columns[1].may_lack);
    assert_true(table.columns[2].may_lack && table.columns[3].may_lack);
    assert_string_equal(sniff_cell_text(&table.data.items[1], 1), "12.6");
    assert_string_equal(sniff_cell_text(&table.data.items[1], 2), "");
    assert_string_equal(sniff_cell_text(&table.data.items[1], 3), "8.1");
    assert_int_equal(table.columns[1].numbers, 2);
}

static void numbers_and_times_are_told_apart(void **state)
{
    static const struct {
        const char *text;
        bool number;
        bool time;
    } rows[] = {
        {"12.5", true, false},
        {"-3", true, false},
        {"<0,05", true, false},
        {"1.2e-3", true, false},
        {"28/10/2026", false, true},
        {"24:00", false, true},
        {"3-Apr-26", false, true},
        {"28.10.2026", false, true},
        {"2026-05-01T00:00:00+12:00", false, true},
        {"Temp", false, false},
        {"BISO_16", false, false},
        {"", false, false},
        {"12.5 mg/L", false, false},
        {"Point 1", false, false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        /* 28.10.2026 may pass for a number with two marks: what counts is that it reads as a time.
         */
        bool number = sniff_is_number(rows[i].text) && !rows[i].time;

        if (number != rows[i].number)
            fail_msg("'%s': a number: %d", rows[i].text, number);
        if (sniff_is_time(rows[i].text) != rows[i].time)
            fail_msg("'%s': a time: %d", rows[i].text, !rows[i].time);
    }
}

static struct sniff_decimal decimal_of(struct arena *mem, const char *text, char separator)
{
    static const bool wanted[] = {false, true, true};
    struct err err = ERR_INIT;
    struct sniff_table table;

    assert_done(table_of(mem, text, separator, &table, &err), &err);

    return sniff_decimal_find(&table, wanted);
}

static void the_decimal_mark_is_the_one_that_values_have(void **state)
{
    static const struct {
        const char *text;
        char mark;
        bool groups;
        const char *why;
    } rows[] = {
        {"T;A;B\n1/5/2026;1,5;2\n", ',', false, "a comma"},
        {"T;A;B\n1/5/2026;1.5;<0.05\n", '.', false, "a point"},
        {"T;A;B\n1/5/2026;1.5;2,5\n", 0, false, "both"},
        {"T;A;B\n1/5/2026;15;25\n", 0, false, "neither"},
        {"T;A;B\n1/5/2026;1,250;12,000\n", ',', true, "three digits behind each"},
        {"T;A;B\n1/5/2026;0,250;12,000\n", ',', false, "nobody writes 0,250 for 250"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct sniff_decimal found = decimal_of(mem, rows[i].text, ';');

        if (found.mark != rows[i].mark || found.has_groups != rows[i].groups)
            fail_msg("%s: '%c' %d", rows[i].why, found.mark, found.has_groups);
    }
}

static void marks_of_nothing_stand_far_from_values(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct err err = ERR_INIT;
    struct sniff_table table;
    struct sniff_marks marks;

    (void)state;
    assert_done(table_of(mem,
                         "T;A;B\n1/5/2026;12.5;99\n2/5/2026;-9999;97\n3/5/2026;NA;98\n"
                         "4/5/2026;-9999;101\n",
                         ';', &table, &err),
                &err);
    marks = sniff_marks_find(mem, &table, 1, '.');
    assert_int_equal(marks.count, 2);
    assert_string_equal(marks.items[0].text, "-9999");
    assert_int_equal(marks.items[0].cells, 2);
    assert_string_equal(marks.items[1].text, "NA");
    assert_true(marks.items[1].is_word);
    /* 99 among 97 to 101 percent is a value. */
    marks = sniff_marks_find(mem, &table, 2, '.');
    assert_int_equal(marks.count, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_header_is_found_among_titles),
        cmocka_unit_test(a_table_without_names_is_refused),
        cmocka_unit_test(units_come_from_the_header_or_the_row_behind_it),
        cmocka_unit_test(a_header_with_other_columns_half_way_is_one),
        cmocka_unit_test(numbers_and_times_are_told_apart),
        cmocka_unit_test(the_decimal_mark_is_the_one_that_values_have),
        cmocka_unit_test(marks_of_nothing_stand_far_from_values),
    };

    return cmocka_run_group_tests_name("ingest/sniff_table", tests, NULL, NULL);
}
