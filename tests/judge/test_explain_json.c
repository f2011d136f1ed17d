#include "judge/given.h"

#include <jansson.h>

#include "judge/explain_json.h"

/* What a stranger reads of a verdict, read back with another program's reader. */

static void drop_json(json_t **value)
{
    json_decref(*value);
}

static json_t *told(struct given *given)
{
    const struct explain_choices choices = {.names = NULL};
    struct verdict verdict = given_verdict(given);
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

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(every_reading_is_told_as_it_was_reported_and_used,
                                        given_new, given_done),
        cmocka_unit_test_setup_teardown(each_pair_of_two_places_is_told, given_new, given_done),
        cmocka_unit_test_setup_teardown(each_run_outside_is_told, given_new, given_done),
        cmocka_unit_test_setup_teardown(what_a_load_goes_by_is_told_too, given_new, given_done),
    };

    return cmocka_run_group_tests_name("judge/explain_json", tests, NULL, NULL);
}
