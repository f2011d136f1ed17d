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
        cmocka_unit_test_setup_teardown(what_a_load_goes_by_is_told_too, given_new, given_done),
    };

    return cmocka_run_group_tests_name("judge/explain_json", tests, NULL, NULL);
}
