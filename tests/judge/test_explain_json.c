#include "judge/given.h"

#include <jansson.h>

#include "judge/explain_json.h"

/* What a stranger reads of a verdict, read back with another program's reader. */

static void drop_json(json_t **value)
{
    json_decref(*value);
}

static json_t *told_of(struct given *given, struct verdict verdict)
{
    const struct explain_choices choices = {.names = NULL};
    struct buf text = buf_new(given->mem);
    struct json_writer json = json_begin(&text);
    json_error_t error;

    judge_explain_json(given->mem, &verdict, &given->evidence, &choices, &json);
    json_end(&json);

    json_t *back = json_loadb(text.data, text.len, JSON_REJECT_DUPLICATES, &error);

    if (!back)
        fail_msg("%s: %s", text.data, error.text);

    return back;
}

static json_t *told(struct given *given)
{
    return told_of(given, given_verdict(given));
}

/* "verdict.figure", "series.0.readings.1.judged.used": the text there, or "" for none. */
static const char *at(const json_t *from, const char *path)
{
    char copy[100];
    char *rest = copy;

    (void)snprintf(copy, sizeof(copy), "%s", path);
    for (char *word = strtok_r(rest, ".", &rest); word; word = strtok_r(NULL, ".", &rest))
        from = json_is_array(from) ? json_array_get(from, (size_t)strtol(word, NULL, 10))
                                   : json_object_get(from, word);
    if (json_is_boolean(from))
        return json_is_true(from) ? "yes" : "no";

    return json_is_string(from) ? json_string_value(from) : "";
}

static void every_reading_is_told_as_it_was_reported_and_used(void **state)
{
    struct given *given = *state;

    given->limit.less_than = LESS_THAN_HALF;
    given->limit.definition = "{\"key\":\"solids\",\"less-thans\":\"half\"}";
    given_samples(given, "3:20.00 10:<4 17:31.50? 24:99!");
    given_row(given, given_at("2026-03-20T12:00:00Z"), "12", NULL);

    CLEANUP(drop_json) json_t *json = told(given);
    static const struct {
        const char *path;
        const char *text;
    } rows[] = {
        {"limit.settings.less-thans", "half"},
        {"limit.unit", "mg/L"},
        {"period.from", "2026-03-01"},
        {"period.until_at", "2026-04-01T00:00:00Z"},
        {"verdict.standing", "not assessable"}, /* 12 may be g/L */
        {"verdict.figure", "11"},
        {"series.0.station", "outfall"},
        {"series.0.kind", "grab"},
        {"series.0.readings.0.reported", "20.00"},
        {"series.0.readings.0.judged.used", "20"},
        {"series.0.readings.1.qualifier", "<"},
        {"series.0.readings.1.judged.value", "4"},
        {"series.0.readings.1.judged.used", "2"},
        {"series.0.readings.2.doubt", "calibration overdue"},
        {"series.0.readings.2.judged.counted", "no"},
        {"series.0.readings.3.left_out", "bottle broken"},
        {"series.0.readings.3.judged.why_not", "left out: bottle broken"},
        {"set_aside.0.reported", "12"},
        {"set_aside.0.unit", ""},
        {"set_aside.0.judged.most", "12000"},
        {"set_aside.0.receipt", "1"},
        {"days.2.figure", ""},
        {"licence_ends", ""},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (strcmp(at(json, rows[i].path), rows[i].text) != 0)
            fail_msg("%s: expected '%s', got '%s'", rows[i].path, rows[i].text,
                     at(json, rows[i].path));
    assert_true(json_array_size(json_object_get(json, "lines")) > 5);
}

static void texts_are(const json_t *json, const char *const (*rows)[2], size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strcmp(at(json, rows[i][0]), rows[i][1]) != 0)
            fail_msg("%s: expected '%s', got '%s'", rows[i][0], rows[i][1], at(json, rows[i][0]));
}

/* Of two places: 20 less half of <5, half of <8 less 2, and one without a partner. */
static void each_pair_of_two_places_is_told(void **state)
{
    static const char *const expected[][2] = {
        {"pairs.0.at", "2026-03-03T12:00:00Z"},
        {"pairs.0.discharge.least", "20"},
        {"pairs.0.discharge.most", "20"},
        {"pairs.0.intake.least", "5/2"},
        {"pairs.0.result.least", "35/2"},
        {"pairs.0.result.most", "35/2"},
        {"pairs.0.why_not", ""},
        {"pairs.1.discharge.most", "4"},
        {"pairs.1.result.most", "2"},
        {"pairs.2.discharge.least", "36"},
        {"pairs.2.why_not", "no paired intake sample"},
    };
    struct given *given = *state;

    given->limit.less_than = LESS_THAN_HALF;
    given->limit.against = (struct limit_against){
        .kind = AGAINST_DIFFERENCE, .place = {"intake", NULL}, .pairing = PAIR_SAME_DAY};
    given_samples(given, "3:20 4:<8 5:36");
    given_readings(given, given_series(given, "intake", "suspended-solids", KIND_GRAB),
                   "3/08:30:<5 4/08:30:2", "mg/L");

    CLEANUP(drop_json) json_t *json = told(given);
    const json_t *pairs = json_object_get(json, "pairs");
    const json_t *first = json_array_get(pairs, 0);

    assert_int_equal(json_array_size(pairs), 3);
    texts_are(json, expected, ARRAY_LEN(expected));
    /* Its readings, by their places in the list of series. */
    assert_int_equal(json_integer_value(json_object_get(first, "series")), 0);
    assert_int_equal(json_integer_value(json_object_get(first, "reading")), 0);
    assert_null(json_object_get(json_array_get(pairs, 2), "intake"));
}

/* Readings an hour apart; the first run begins on the day before, the last ends with the record. */
static void each_run_outside_is_told(void **state)
{
    static const char *const expected[][2] = {
        {"windows.0.outside_at_most", "no"},
        {"windows.0.outside.0.from", "2026-03-01T22:00:00Z"},
        {"windows.0.outside.0.until", "2026-03-02T01:00:00Z"},
        {"windows.0.outside.0.whole", "180"},
        {"windows.0.outside.0.within", "60"},
        {"windows.0.outside.0.begins_at_gap", "yes"},
        {"windows.0.outside.0.ends_at_gap", ""},
        {"windows.0.outside.1.from", "2026-03-02T04:00:00Z"},
        {"windows.0.outside.1.until", "2026-03-02T04:30:00Z"},
        {"windows.0.outside.1.whole", "30"},
        {"windows.0.outside.1.within", "30"},
        {"windows.0.outside.1.begins_at_gap", ""},
        {"windows.0.outside.2.ends_at_gap", "yes"},
        {"verdict.figure", "150"},
    };
    struct given *given = *state;

    given->from = given->to = given->from + 1;
    given->limit.parameter = "ph";
    given->limit.unit = "pH";
    given->limit.kinds = KIND_PROBE;
    given->limit.statistic = STATISTIC_TIME_OUTSIDE;
    given->limit.settings.time_unit_s = 60;
    given->limit.settings.beyond = (struct limit_beyond){.has_above = true, .above = {9, 0}};
    given->limit.bound = (struct limit_bound){.has_ceiling = true, .ceiling = {446, 0}};
    given->limit.reading_stands_s = 2 * 3600;
    given->limit.standing_rule = STANDS_TO_NEXT;
    given->limit.least_coverage = given_decimal("10");
    given_readings(given, given_series(given, "outfall", "ph", KIND_PROBE),
                   "1/22:00:9.5 2/00:00:9.5 2/01:00:8 2/02:00:8 2/04:00:9.5 2/04:30:8 2/06:00:8 "
                   "2/08:00:9.5 2/09:00:9.5 2/13:00:8",
                   "pH");

    CLEANUP(drop_json) json_t *json = told(given);
    const json_t *window = json_array_get(json_object_get(json, "windows"), 0);

    assert_int_equal(json_array_size(json_object_get(window, "outside")), 3);
    texts_are(json, expected, ARRAY_LEN(expected));
}

static void what_a_load_goes_by_is_told_too(void **state)
{
    struct given *given = *state;

    given->limit.daily = DAILY_LOAD;
    given->limit.unit = "kg/day";
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.reading_stands_s = 86400;
    given_samples(given, "3:20");
    given_readings(given, given_series(given, "outfall", "flow", KIND_PROBE), "2:10 3:10 4:10",
                   "L/s");
    given_readings(given, given_series(given, "elsewhere", "flow", KIND_PROBE), "3:11", "L/s");

    CLEANUP(drop_json) json_t *json = told(given);

    assert_int_equal(json_array_size(json_object_get(json, "series")), 2);
    assert_string_equal(at(json, "series.1.parameter"), "flow");
    assert_string_equal(at(json, "series.1.readings.0.unit"), "L/s");
    /* 10 L/s over 86,400 s is 864 m3; at 20 g/m3 17.28 kg. */
    assert_string_equal(at(json, "days.2.volume"), "864");
    assert_string_equal(at(json, "days.2.figure"), "432/25");
}

static void expect(const json_t *json, const char *path, const char *text)
{
    if (strcmp(at(json, path), text) != 0)
        fail_msg("%s: expected '%s', got '%s'", path, text, at(json, path));
}

/* A volume of a flow that was itself worked out, from a level. */
static void what_was_worked_out_leads_back_to_what_was_stored(void **state)
{
    static const struct derived_setting zero[] = {{"zero at", "0.12"}};
    static const struct derived_by weir = {.key = "weir",
                                           .equation = "v-notch-90-cone",
                                           .words = "flow by v-notch-90-cone",
                                           .unit = "m3/s",
                                           .figures = 5,
                                           .from_basis = "",
                                           .settings = zero,
                                           .setting_count = 1};
    static const struct derived_by passed = {.key = "passed",
                                             .equation = "volume of a span",
                                             .words = "volume",
                                             .unit = "m3",
                                             .figures = 12};
    struct given *given = *state;
    const struct derived_input level = {.as = "level",
                                        .parameter = "level",
                                        .unit = "m",
                                        .value = given_decimal("0.310"),
                                        .qualifier = QUALIFIER_NONE};
    const struct derived_input flow = {.as = "flow",
                                       .parameter = "flow",
                                       .unit = "L/s",
                                       .value = given_decimal("1"),
                                       .qualifier = QUALIFIER_LESS,
                                       .doubt = "flat line",
                                       .by = &weir,
                                       .inputs = &level,
                                       .input_count = 1};

    given_samples(given, "3:20");
    given->series[0].by = &passed;
    given->readings[0][0].inputs = &flow;
    given->readings[0][0].input_count = 1;

    CLEANUP(drop_json) json_t *json = told(given);

    expect(json, "series.0.derived_by.equation", "volume of a span");
    expect(json, "series.0.derived_by.from_basis", "");
    expect(json, "series.0.readings.0.inputs.0.as", "flow");
    expect(json, "series.0.readings.0.inputs.0.qualifier", "<");
    expect(json, "series.0.readings.0.inputs.0.doubt", "flat line");
    expect(json, "series.0.readings.0.inputs.0.derived_by.unit", "m3/s");
    expect(json, "series.0.readings.0.inputs.0.derived_by.settings.zero at", "0.12");
    expect(json, "series.0.readings.0.inputs.0.inputs.0.reported", "0.310");
}

/* The form that did not stand was once told nowhere. */
static void of_two_forms_both_are_told(void **state)
{
    struct given *given = *state;
    struct limit older = given->limit;
    struct verdict_beside beside = {&older, STANDING_WITHIN, SIDE_NONE, "within (20 mg/L)"};
    struct verdict verdict;

    older.version = 1;
    older.bound.ceiling = given_decimal("40");
    given->limit.version = 2;
    given_samples(given, "3:35");
    verdict = given_verdict(given);
    verdict.beside = &beside;

    CLEANUP(drop_json) json_t *json = told_of(given, verdict);
    const struct explain_choices choices = {.names = NULL};
    struct explanation lines = judge_explain(given->mem, &verdict, &given->evidence, &choices);
    bool said = false;

    expect(json, "verdict.standing", "outside");
    expect(json, "beside.standing", "within");
    expect(json, "beside.words", "within (20 mg/L)");
    for (size_t i = 0; i < lines.count; i++)
        said = said || strstr(lines.items[i],
                              "the other form: monthly mean not above 40 mg/L: within (20 mg/L)");
    assert_true(said);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_reading_is_told_as_it_was_reported_and_used,
                                        given_new, given_done),
        cmocka_unit_test_setup_teardown(each_pair_of_two_places_is_told, given_new, given_done),
        cmocka_unit_test_setup_teardown(each_run_outside_is_told, given_new, given_done),
        cmocka_unit_test_setup_teardown(what_a_load_goes_by_is_told_too, given_new, given_done),
        cmocka_unit_test_setup_teardown(what_was_worked_out_leads_back_to_what_was_stored,
                                        given_new, given_done),
        cmocka_unit_test_setup_teardown(of_two_forms_both_are_told, given_new, given_done),
    };

    return cmocka_run_group_tests_name("judge/explain_json", tests, NULL, NULL);
}
