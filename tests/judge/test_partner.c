#include "judge/partner.h"

#include "judge/given.h"

static struct partner_source source_of(struct given *given, const char *unit)
{
    const struct limit_place place = {"outfall", NULL};

    return partner_source_of(given->mem, &given->evidence, &place, "temperature", unit);
}

/* The value found nearest to noon of 10 March, in tenths; -1: none. */
static int nearest_tenths(struct given *given, int within_s, bool with_doubt)
{
    struct partner_source source = source_of(given, "degC");
    instant at = given_at("2026-03-10T12:00:00Z");
    struct partner partner;

    if (!partner_nearest(given->mem, &source, at, at, within_s, with_doubt, &partner))
        return -1;

    return (int)(exact_double(amount_exact(given->mem, partner.value)) * 10 + 0.5);
}

static void the_nearest_in_time_is_the_partner(void **state)
{
    static const struct {
        const char *readings;
        int within_s;
        bool with_doubt;
        int tenths;
        const char *reason;
    } rows[] = {
        {"10/11:00:10.0 10/12:10:12.0", 3600, true, 120, "ten minutes is nearer than an hour"},
        {"10/11:30:10.0 10/12:30:12.0", 3600, true, 100, "as near before as after: the earlier"},
        {"10/11:00:10.0", 3600, true, 100, "exactly as far as allowed is near enough"},
        {"10/10:59:10.0", 3600, true, -1, "a minute too far"},
        {"10/12:00:10.0 10/12:00:9.0", 0, true, 90, "two at one instant: by number"},
        {"10/11:00:10.0 10/12:00:12.0?", 3600, true, 100, "sound before doubtful, however near"},
        {"10/09:00:10.0 10/12:00:12.0?", 3600, true, 120, "in doubt where nothing sound is near"},
        {"10/12:00:12.0?", 3600, false, -1, "in doubt and only sound ones asked"},
        {"10/11:59:10.0 10/12:00:12.0!", 3600, true, 100, "what a person left out is none"},
        {"10/11:59:10.0 10/12:00:12.0#", 3600, true, 100, "a check sample is none"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct given *given = *state;

        given_again(given);
        given_readings(given, given_series(given, "outfall", "temperature", KIND_PROBE),
                       rows[i].readings, "degC");
        given_readings(given, given_series(given, "intake", "temperature", KIND_PROBE),
                       "10/12:00:55.0", "degC");
        if (nearest_tenths(given, rows[i].within_s, rows[i].with_doubt) != rows[i].tenths)
            fail_msg("%s", rows[i].reason);
    }
}

static void a_span_is_as_near_as_its_nearest_instant(void **state)
{
    struct given *given = *state;
    size_t series = given_series(given, "outfall", "temperature", KIND_COMPOSITE);
    struct evidence_reading *span =
        given_add(given, series, given_at("2026-03-09T08:00:00Z"), "8.0", "degC");

    span->until = given_at("2026-03-10T11:55:00Z");
    given_readings(given, series, "10/12:20:12.0", "degC");
    assert_int_equal(nearest_tenths(given, 3600, true), 80);
    assert_int_equal(nearest_tenths(given, 60, true), -1);
}

static void a_partner_is_turned_into_the_unit_asked_for(void **state)
{
    struct given *given = *state;

    given_readings(given, given_series(given, "outfall", "temperature", KIND_PROBE),
                   "10/12:00:53.6", "degF");
    assert_int_equal(nearest_tenths(given, 0, true), 120);
}

static void the_newest_looks_back_only(void **state)
{
    struct given *given = *state;
    struct partner_source source;
    struct partner partner;
    instant at = given_at("2026-03-10T12:00:00Z");

    given_readings(given, given_series(given, "outfall", "temperature", KIND_PROBE),
                   "10/11:00:10.0 10/11:40:11.0? 10/12:01:12.0", "degC");
    source = source_of(given, "degC");
    assert_true(partner_newest(given->mem, &source, at, 1800, &partner));
    assert_string_equal(partner.doubt, "calibration overdue");
    assert_int_equal(partner.reading, 1);
    assert_false(partner_newest(given->mem, &source, at, 600, &partner));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(the_nearest_in_time_is_the_partner, given_new, given_done),
        cmocka_unit_test_setup_teardown(a_span_is_as_near_as_its_nearest_instant, given_new,
                                        given_done),
        cmocka_unit_test_setup_teardown(a_partner_is_turned_into_the_unit_asked_for, given_new,
                                        given_done),
        cmocka_unit_test_setup_teardown(the_newest_looks_back_only, given_new, given_done),
    };

    return cmocka_run_group_tests_name("judge/partner", tests, NULL, NULL);
}
