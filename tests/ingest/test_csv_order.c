#include "ingest/csv_file.h"

/* The hour that comes twice: 5 April 2026, 02:00 to 03:00 in New Zealand (tz database). */

struct twice_row {
    const char *hours; /* of the rows, in order */
    const char *at;    /* their instants on 4 April UTC, "?" set aside */
    const char *why;
};

static const struct twice_row twice_rows[] = {
    {"01:30 02:00 02:30 02:00 02:30 03:00", "12:30 13:00 13:30 14:00 14:30 15:00",
     "once through, then again"},
    {"03:00 02:30 02:00 02:30 02:00 01:30", "15:00 14:30 14:00 13:30 13:00 12:30",
     "the newest first"},
    {"01:30 02:30 02:30 03:30", "12:30 13:30 14:30 15:30", "a row an hour"},
    {"03:30 02:30 02:30 01:30", "15:30 14:30 13:30 12:30", "and the newest first"},
    {"02:30 02:30 03:30", "13:30 14:30 15:30", "from the beginning of the file"},
    {"01:30 02:30 02:30", "12:30 13:30 14:30", "to its end"},
    {"02:00 02:30 02:00 02:30", "13:00 13:30 14:00 14:30", "nothing around it"},
    {"02:30 02:30", "? ?", "nothing around it that tells the way"},
    {"01:30 02:00 02:30 03:00", "12:30 ? ? 15:00", "only once through"},
    {"01:30 02:30 03:30", "12:30 ? 15:30", "one row"},
    {"01:30 02:00 02:00 02:30 02:00 02:30 03:00", "12:30 13:00 13:00 13:30 14:00 14:30 15:00",
     "a row written twice is the same instant twice"},
    {"01:30 02:00 02:30 02:30 03:00", "12:30 ? ? ? 15:00", "a row written twice is not two passes"},
    {"01:30 02:00 02:30 02:00 02:30 02:00 02:30 03:00", "12:30 ? ? ? ? ? ? 15:00",
     "three times through"},
    {"05:00 01:30 02:20 02:10 04:00", "17:00 12:30 ? ? 16:00", "the rows before go no one way"},
    {"01:30 02:20 02:10 01:00", "12:30 ? ? 12:00", "nor do those around"},
};

/* Rows of one logger, or mixed with those of another station that ran through it once. */
static struct outcome read_hours(struct arena *mem, const struct farm *farm, const char *hours,
                                 bool mixed)
{
    struct source source = logger();
    struct buf text = buf_new(mem);

    source.clock = CLOCK_LOCAL;
    source.station = NULL;
    source.station_header = "Where";
    buf_add_text(&text, "Where,Time,Temp (degC),DO (mg/L)\n");
    for (const char *at = hours; *at; at += at[5] ? 6 : 5) {
        buf_addf(&text, "pond,2026-04-05 %.5s,1,\n", at);
        if (mixed)
            buf_addf(&text, "outlet,2026-04-05 0%d:%02zu,,9\n", (at - hours) / 6 < 3 ? 1 : 3,
                     (size_t)(at - hours));
    }

    return read_text(mem, farm, &source, text.data);
}

/* Instants of the temperatures in the order of the file, "?" for those set aside. */
static char *instants_of(struct arena *mem, const struct outcome *outcome, size_t rows, size_t step)
{
    struct buf out = buf_new(mem);
    const char *draft = outcome->drafts.data;

    for (size_t i = 0; i < rows; i++) {
        if (strstr(outcome->problems.data, arena_printf(mem, "time-twice %zu:3;", i * step + 2))) {
            buf_add_text(&out, i ? " ?" : "?");
            continue;
        }
        for (const char *end; draft && (end = strchr(draft, ';')); draft = end + 1)
            if (memmem(draft, (size_t)(end - draft), "degC", 4)) {
                buf_addf(&out, "%s%.5s", i ? " " : "", strchr(draft, 'T') + 1);
                draft = end + 1;
                break;
            }
    }

    return out.data;
}

static void the_order_of_rows_tells_the_two_passes_apart(void **state)
{
    for (size_t i = 0; i < ARRAY_LEN(twice_rows); i++)
        for (size_t mixed = 0; mixed < 2; mixed++) {
            CLEANUP(arena_free) struct arena *mem = arena_new();
            struct outcome outcome = read_hours(mem, *state, twice_rows[i].hours, mixed > 0);
            char *at = instants_of(mem, &outcome, (strlen(twice_rows[i].hours) + 1) / 6, mixed + 1);

            if (strcmp(at, twice_rows[i].at) != 0)
                fail_msg("%s (mixed %zu): %s; %s %s", twice_rows[i].why, mixed, at,
                         outcome.drafts.data, outcome.problems.data);
        }
}

static void each_series_of_a_long_file_is_placed_by_its_own_rows(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = laboratory();
    struct outcome outcome = read_text(mem, *state, &source,
                                       LAB_HEADER "outlet,05/04/2026,1:30,TSS,1,mg/L\n"
                                                  "outlet,05/04/2026,1:30,ph,7.1,pH\n"
                                                  "outlet,05/04/2026,2:30,TSS,2,mg/L\n"
                                                  "outlet,05/04/2026,2:30,ph,7.2,pH\n"
                                                  "outlet,05/04/2026,2:30,TSS,3,mg/L\n"
                                                  "outlet,05/04/2026,3:30,TSS,4,mg/L\n"
                                                  "outlet,05/04/2026,3:30,ph,7.3,pH\n");

    assert_non_null(strstr(outcome.drafts.data, "2026-04-04T13:30:00Z =2 mg/L;"));
    assert_non_null(strstr(outcome.drafts.data, "2026-04-04T14:30:00Z =3 mg/L;"));
    assert_string_equal(outcome.problems.data, "time-twice 5:2;");
}

static void too_many_rows_to_wait_for_are_set_aside(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();
    struct buf text = buf_new(mem);

    source.clock = CLOCK_LOCAL;
    buf_add_text(&text, LOGGER_HEADER);
    buf_add_text(&text, "2026-04-05 01:00,1,1\n");
    for (int i = 0; i < 30000; i++)
        buf_addf(&text, "2026-04-05 02:%02d,1,\n", i % 15000 / 250);
    buf_add_text(&text, "2026-04-05 03:00,1,1\n");

    struct outcome outcome = read_text(mem, *state, &source, text.data);

    assert_int_equal(outcome.counts.problems, 30000);
    assert_int_equal(outcome.counts.drafts, 4);
}

static void a_fixed_offset_has_no_such_hours(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct source source = logger();

    source.clock = CLOCK_OFFSET;
    source.offset_s = 12 * 3600;

    struct outcome outcome =
        read_text(mem, *state, &source,
                  LOGGER_HEADER "2026-04-05 02:30,1,\n2025-09-28 02:30,2,\n2026-04-05 24:00,3,\n");

    assert_string_equal(outcome.drafts.data, "0 2026-04-04T14:30:00Z =1 degC;"
                                             "0 2025-09-27T14:30:00Z =2 degC;"
                                             "0 2026-04-05T12:00:00Z =3 degC;");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_order_of_rows_tells_the_two_passes_apart),
        cmocka_unit_test(each_series_of_a_long_file_is_placed_by_its_own_rows),
        cmocka_unit_test(too_many_rows_to_wait_for_are_set_aside),
        cmocka_unit_test(a_fixed_offset_has_no_such_hours),
    };

    return cmocka_run_group_tests_name("ingest/csv_order", tests, farm_open, farm_close);
}
