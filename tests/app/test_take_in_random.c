/*
 * Taking in files that were cut, repeated, put in another order, joined and spoilt at random:
 * whatever a file holds, values in = stored + known + blank + set aside, what is stored is there,
 * and what is stored binds. And a file split in two gives the verdicts of the whole one.
 *
 * The seed is printed; WEIRBOOK_SEED repeats a run, WEIRBOOK_ROUNDS sets how many files.
 */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

#include "app/month.h"
#include "app/roots.h"

enum { ROUNDS = 240, LINES_MOST = 400, FARMS = 6, SPLIT_MONTHS = 18 };

static uint64_t state_now;

/* xorshift64*: the same numbers everywhere for one seed. */
static uint32_t draw(uint32_t below)
{
    state_now ^= state_now >> 12;
    state_now ^= state_now << 25;
    state_now ^= state_now >> 27;

    return (uint32_t)((state_now * UINT64_C(2685821657736338717)) >> 33) % below;
}

struct lines {
    char *items[LINES_MOST];
    size_t count;
};

static void line_add(struct lines *lines, char *line)
{
    if (lines->count < LINES_MOST)
        lines->items[lines->count++] = line;
}

static const char *cell(struct arena *mem)
{
    static const char *const odd[] = {"",      "x",  "1,5",   "1e3",
                                      "-0",    "ND", "\"8\"", "<0.05",
                                      ">2420", " ",  "8..1",  "99999999999999999999"};

    return draw(8) == 0 ? odd[draw((uint32_t)ARRAY_LEN(odd))]
                        : arena_printf(mem, "%u.%u", draw(30), draw(10));
}

/* Few instants, so that files meet what is stored. */
static const char *time_of(struct arena *mem)
{
    if (draw(40) == 0)
        return draw(2) ? "2026-02-30 10:00" : "soon";

    return arena_printf(mem, "2026-0%u-%02u %02u:%u0", 4 + draw(2), 1 + draw(3), draw(4), draw(6));
}

static void wide_lines(struct arena *mem, struct lines *lines, size_t count)
{
    static const char *const flags[] = {"ok", "odd", "bad", "", "?"};

    for (size_t i = 0; i < count; i++)
        line_add(lines, arena_printf(mem, "%s,%s,%s,%s,%s", time_of(mem), cell(mem), cell(mem),
                                     flags[draw(5)], cell(mem)));
}

static void long_lines(struct arena *mem, struct lines *lines, size_t count)
{
    static const char *const sites[] = {"Out", "Out", "Tank", "Pier"};
    static const char *const tests[] = {"TSS", "TSS", "NH4", "NH3"};
    static const char *const units[] = {"mg/L", "mg/L", "ug/L", "degC", ""};

    for (size_t i = 0; i < count; i++)
        line_add(lines, arena_printf(mem, "S%u,%s,,%s,%s,%s,%s,%s,%s,", draw(4), draw(2) ? "a" : "",
                                     sites[draw(4)], time_of(mem), tests[draw(4)], cell(mem),
                                     units[draw(5)], draw(3) ? "" : "0.05"));
}

/* Repeat some lines, swap some, spoil bytes of some. */
static void lines_spoil(struct arena *mem, struct lines *lines)
{
    for (uint32_t i = draw(10); i > 0 && lines->count > 0; i--)
        line_add(lines, lines->items[draw((uint32_t)lines->count)]);
    for (uint32_t i = draw(30); i > 0 && lines->count > 0; i--) {
        size_t a = draw((uint32_t)lines->count);
        size_t b = draw((uint32_t)lines->count);
        char *kept = lines->items[a];

        lines->items[a] = lines->items[b];
        lines->items[b] = kept;
    }
    for (uint32_t i = draw(6); i > 0 && lines->count > 0; i--) {
        char **line = &lines->items[draw((uint32_t)lines->count)];
        size_t length = strlen(*line);

        *line = arena_strdup(mem, *line);
        if (length > 0)
            (*line)[draw((uint32_t)length)] = "\",;\n\xFFx<"[draw(7)];
    }
}

/* The lines under their header, now and then cut, or with a second file joined to the first. */
static char *file_text(struct arena *mem, const char *header, const struct lines *lines)
{
    struct buf text = buf_new(mem);
    const char *end = draw(3) ? "\n" : "\r\n";

    if (draw(10) == 0)
        buf_add_text(&text, "\xEF\xBB\xBF");
    buf_addf(&text, "%s%s", header, end);
    for (size_t i = 0; i < lines->count; i++) {
        if (draw(200) == 0)
            buf_addf(&text, "%s%s", header, end);
        buf_addf(&text, "%s%s", lines->items[i], end);
    }
    if (draw(5) == 0 && text.len > 200)
        text.data[text.len - draw(30)] = '\0';

    return text.data;
}

/* A receipt's own counts against what is in the tables under its number. */
static void receipt_check(const struct test_farm *farm, const struct take_in_result *result,
                          int64_t stored_before)
{
    const struct receipt_row *receipt = &result->receipt;
    const char *rows = test_query(
        farm,
        arena_printf(farm->mem,
                     "select (select count(*) from reading where farm_id = $1 and receipt = %lld) "
                     "|| ' ' || (select count(*) from set_aside where farm_id = $1 and receipt = "
                     "%lld) || ' ' || (select count(*) from reading where farm_id = $1)",
                     (long long)receipt->receipt, (long long)receipt->receipt));

    assert_int_equal(receipt->values_in, receipt->stored + receipt->already_known + receipt->blank +
                                             receipt->set_aside);
    assert_string_equal(rows, arena_printf(farm->mem, "%lld %lld %lld", (long long)receipt->stored,
                                           (long long)receipt->set_aside,
                                           (long long)(stored_before + receipt->stored)));
    roots_check(farm, receipt->receipt);
}

/* The same file into the same farm once more must change nothing, under a new name or split off. */
static void again_check(struct test_farm *farm, const char *source, const char *text)
{
    char *before = test_sizes(farm);

    assert_true(test_take(farm, source, "again.csv", text).already);
    assert_string_equal(test_sizes(farm), before);
}

static void round_run(struct test_farm *farm, int number)
{
    struct lines lines = {.count = 0};
    bool wide = draw(2) == 0;
    const char *source = wide ? "logger" : "laboratory";
    struct arena *mem = farm->mem;
    int64_t before = test_number(farm, "select count(*) from reading where farm_id = $1");

    if (wide)
        wide_lines(mem, &lines, draw(60));
    else
        long_lines(mem, &lines, draw(60));
    lines_spoil(mem, &lines);

    const char *text = file_text(mem,
                                 wide ? "Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)"
                                      : "Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ",
                                 &lines);
    const char *name = arena_printf(mem, "%d.csv", number);
    struct take_in_result result =
        draw(4) ? test_take(farm, source, name, text) : test_take_staged(farm, source, name, text);

    if (!result.already)
        receipt_check(farm, &result, before);
    if (draw(10) == 0)
        again_check(farm, source, text);
}

static int number_from(const char *variable, int otherwise)
{
    const char *text = getenv(variable);

    return text && *text ? (int)strtol(text, NULL, 10) : otherwise;
}

/* The seed, printed; draws begin anew with it. */
static void draws_begin(const char *of)
{
    int seed = number_from("WEIRBOOK_SEED", (int)(time(NULL) % 1000000));

    print_message("seed %d, %s\n", seed, of);
    state_now = (uint64_t)seed * 2654435761U + 1;
}

static void whatever_a_file_holds_its_values_add_up(void **state)
{
    int rounds = number_from("WEIRBOOK_ROUNDS", ROUNDS);

    (void)state;
    draws_begin("whole files");
    for (int i = 0; i < FARMS; i++) {
        CLEANUP(test_farm_drop) struct test_farm *farm = test_farm_make();

        for (int j = 0; j < rounds / FARMS; j++)
            round_run(farm, j);
    }
}

/* --- splitting ------------------------------------------------------------------------------- */

/*
 * Results of one month that don't contradict each other: each sample has a day of its own, though
 * rows may be there twice, be unreadable, or lie about the bound of 40.
 */
static void results_of_month(struct arena *mem, struct lines *lines, const char *month)
{
    static const char *const odd[] = {"<2", "<50", ">60", "ND", "1,5", "x", ""};
    static const char *const units[] = {"mg/L", "mg/L", "mg/L", "ug/L", "mgg"};
    uint32_t calm = draw(2);

    for (uint32_t day = 1 + draw(9); day <= 28; day += 1 + draw(9)) {
        const char *value = draw(calm ? 20 : 5) == 0
                                ? odd[draw((uint32_t)ARRAY_LEN(odd))]
                                : arena_printf(mem, "%u.%u", draw(calm ? 38 : 50), draw(10));

        line_add(lines, arena_printf(mem, "%s-%u,,,Out,%s-%02u 09:00,TSS,%s,%s,,", month, day,
                                     month, day, value, units[draw(calm ? 3 : 5)]));
    }
    for (uint32_t i = draw(3); i > 0 && lines->count > 0; i--)
        line_add(lines, lines->items[draw((uint32_t)lines->count)]);
}

static void readings_of_month(struct arena *mem, struct lines *lines, const char *month)
{
    static const char *const flags[] = {"ok", "ok", "odd", "bad", "?"};
    uint32_t calm = draw(2);

    for (uint32_t day = 1 + draw(3); day <= 28; day += 1 + draw(3))
        line_add(lines,
                 arena_printf(mem, "%s-%02u 0%u:00,,%u.%u,%s,", month, day, draw(10),
                              (calm ? 5U : 4U) + draw(5), draw(10), flags[calm ? 0 : draw(5)]));
}

/* Lines of one part (1 or 2) of two, or of both (0). */
static void part_take(struct test_farm *farm, const char *source, const char *header,
                      const struct lines *lines, const uint32_t *parts, uint32_t part)
{
    struct buf text = buf_new(farm->mem);

    buf_add_text(&text, header);
    for (size_t i = 0; i < lines->count; i++)
        if (part == 0 || parts[i] == part)
            buf_addf(&text, "%s\n", lines->items[i]);
    test_take(farm, source, "part.csv", text.data);
}

static void whole_and_split(struct test_farm *whole, struct test_farm *split, const char *source,
                            const char *header, const struct lines *lines)
{
    uint32_t parts[LINES_MOST];

    for (size_t i = 0; i < lines->count; i++)
        parts[i] = 1 + draw(2);
    part_take(whole, source, header, lines, parts, 0);
    part_take(split, source, header, lines, parts, 1);
    part_take(split, source, header, lines, parts, 2);
}

/* "solids-mean: outside: above 30 (34.2)" of each clause; reasons name lines, which differ. */
static char *verdicts_of(struct test_farm *farm, const char *day)
{
    struct judged_month month = month_kept(farm, day, NULL);
    struct buf text = buf_new(farm->mem);

    for (size_t i = 0; i < month.verdicts.count; i++) {
        const struct verdict *verdict = &month.verdicts.items[i];

        buf_addf(&text, "%s: %s (%s), %zu samples, %zu beyond, %zu set aside\n",
                 verdict->limit->key, verdict_standing_words(farm->mem, verdict),
                 verdict->figure_text ? verdict->figure_text : "no figure", verdict->samples,
                 verdict->beyond, verdict->set_aside);
    }

    return text.data;
}

static void split_month(struct test_farm *whole, struct test_farm *split, int number)
{
    struct arena *mem = whole->mem;
    const char *month = arena_printf(mem, "%d-%02d", 2025 + number / 12, 1 + number % 12);
    const char *first = arena_printf(mem, "%s-01", month);
    struct lines results = {.count = 0};
    struct lines readings = {.count = 0};

    results_of_month(mem, &results, month);
    readings_of_month(mem, &readings, month);
    whole_and_split(whole, split, "laboratory", LAB, &results);
    whole_and_split(whole, split, "logger", WIDE, &readings);
    assert_string_equal(verdicts_of(split, first), verdicts_of(whole, first));
}

static void splitting_a_file_in_two_changes_no_verdict(void **state)
{
    struct test_farm *whole = *state;
    CLEANUP(test_farm_drop) struct test_farm *split = test_farm_make();

    draws_begin("files split in two");
    for (int i = 0; i < SPLIT_MONTHS; i++)
        split_month(whole, split, i);

    char *standings = test_query(whole, "select string_agg(distinct standing::text, ' ' order by "
                                        "standing::text) from verdict where farm_id = $1");

    assert_string_equal(standings, "not assessable outside within");
}

/*
 * Rows of one file that contradict each other are all set aside; of two files the first is the
 * stored one, and only the second is set aside.
 */
static void splitting_rows_that_contradict_each_other_may_change_a_verdict(void **state)
{
    struct test_farm *whole = *state;
    CLEANUP(test_farm_drop) struct test_farm *split = test_farm_make();
    struct lines lines = {.items = {"S1,,,Out,2026-05-04 09:00,TSS,20,mg/L,,",
                                    "S1,,,Out,2026-05-04 09:00,TSS,14,mg/L,,"},
                          .count = 2};
    const uint32_t parts[] = {1, 2};

    part_take(whole, "laboratory", LAB, &lines, parts, 0);
    part_take(split, "laboratory", LAB, &lines, parts, 1);
    part_take(split, "laboratory", LAB, &lines, parts, 2);
    assert_int_equal(test_number(whole, "select count(*) from reading where farm_id = $1"), 0);
    assert_int_equal(test_number(split, "select count(*) from reading where farm_id = $1"), 1);
    assert_string_equal(standing_of(split, "2026-05-01", "solids-each"), "within");
    assert_non_null(strstr(standing_of(whole, "2026-05-01", "solids-each"), "not assessable"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(whatever_a_file_holds_its_values_add_up),
        FARM_TEST(splitting_a_file_in_two_changes_no_verdict),
        FARM_TEST(splitting_rows_that_contradict_each_other_may_change_a_verdict),
    };

    return cmocka_run_group_tests_name("app/take_in_random", tests, test_farms_setup,
                                       test_farms_teardown);
}
