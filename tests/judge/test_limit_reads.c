#include "judge/limit_reads.h"

#include "judge/given.h"

static void a_plain_limit_reads_its_own_series_alone(void **state)
{
    struct given *given = *state;
    struct limit_read_list list = limit_reads(given->mem, &given->limit);

    assert_int_equal(list.count, 1);
    assert_true(limit_reads_series(given->mem, &given->limit, "outfall", "suspended-solids"));
    assert_false(limit_reads_series(given->mem, &given->limit, "outfall", "flow"));
    assert_false(limit_reads_series(given->mem, &given->limit, "intake", "suspended-solids"));
}

static void every_part_that_looks_at_another_reading_is_in_the_list(void **state)
{
    static const struct limit_place added[] = {{"second-outfall", NULL}};
    static const struct limit_flow flows[] = {{"second-outfall", "flow"}};
    static const struct {
        const char *station;
        const char *parameter;
    } wanted[] = {{"outfall", "suspended-solids"}, {"second-outfall", "suspended-solids"},
                  {"second-outfall", "flow"},      {"outfall", "meter"},
                  {"intake", "suspended-solids"},  {"intake", "flow"},
                  {"outfall", "temperature"},      {"river", "flow"}};
    struct given *given = *state;
    struct limit *limit = &given->limit;
    struct limit_read_list list;

    limit->added = added;
    limit->added_count = 1;
    limit->added_flows = flows;
    limit->flow = (struct limit_flow){"outfall", "meter"};
    limit->against = (struct limit_against){.kind = AGAINST_DIFFERENCE,
                                            .place = {"intake", NULL},
                                            .flow = {"intake", "flow"},
                                            .within_s = 600,
                                            .residence_s = 7200};
    limit->bound_by = (struct limit_bound_by){
        .others = {{.station = "outfall", .parameter = "temperature"}}, .other_count = 1};
    limit->applies_while =
        (struct limit_while){.other = {.station = "river", .parameter = "flow"}, .within_s = 900};
    list = limit_reads(given->mem, limit);
    assert_int_equal(list.count, ARRAY_LEN(wanted));
    for (size_t i = 0; i < ARRAY_LEN(wanted); i++) {
        if (!limit_reads_series(given->mem, limit, wanted[i].station, wanted[i].parameter))
            fail_msg("%s at %s", wanted[i].parameter, wanted[i].station);
    }
    assert_int_equal(list.items[4].before_s, 7800);
    assert_int_equal(list.items[7].before_s, 900);
    assert_int_equal(list.items[7].after_s, 0);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(a_plain_limit_reads_its_own_series_alone, given_new,
                                        given_done),
        cmocka_unit_test_setup_teardown(every_part_that_looks_at_another_reading_is_in_the_list,
                                        given_new, given_done),
    };

    return cmocka_run_group_tests_name("judge/limit_reads", tests, NULL, NULL);
}
