#include "base/str.h"
#include "judge/intake_given.h"

/* Discharge and intake pair by pair: what was removed, which pair is beyond, and what is told. */

static void removal_of(struct given *given, const char *influent, const char *effluent,
                       enum pairing pairing)
{
    given_again(given);
    given->limit.statistic = STATISTIC_MEAN;
    given->limit.period = PERIOD_MONTH;
    given->limit.daily = DAILY_MEAN;
    given->limit.against = (struct limit_against){
        .kind = AGAINST_REMOVAL, .place = {"intake", NULL}, .pairing = pairing};
    given->limit.bound = (struct limit_bound){.has_floor = true, .floor = {85, 0}};
    given_samples(given, effluent);
    intake_of(given, influent, "mg/L");
}

/*
 * 40 CFR 133.101(j), from memory: percent removal is of the 30-day averages, not the mean of daily
 * removals. 100 and 300 to 50 and 30: 80 percent, where the mean of 50 and 90 is 70.
 */
static void a_removal_of_averages_is_not_the_mean_of_removals(void **state)
{
    struct given *given = *state;

    removal_of(given, "3:200", "3:24", PAIR_PERIOD);
    assert_string_equal(given_assert(given, "within", "88 percent").figure_text, "88");

    removal_of(given, "3:100 10:300", "3:50 10:30", PAIR_PERIOD);
    given->limit.bound.floor = (struct decimal){75, 0};
    assert_string_equal(given_assert(given, "within", "of averages").figure_text, "80");

    removal_of(given, "3:100 10:300", "3:50 10:30", PAIR_SAME_DAY);
    given->limit.bound.floor = (struct decimal){75, 0};
    assert_string_equal(given_assert(given, "outside: below 75", "of days").figure_text, "70");
}

static void nothing_can_be_removed_of_nothing(void **state)
{
    struct given *given = *state;

    removal_of(given, "3:0", "3:0", PAIR_PERIOD);
    assert_string_equal(given_assert(given, "not assessable", "0 of 0 is not 100").reason,
                        "the intake is 0: there is no removal of it");
    removal_of(given, "3:20", "3:24", PAIR_PERIOD);
    assert_string_equal(given_assert(given, "outside: below 85", "it was added").figure_text,
                        "-20");
}

/* 18 less 12 keeps 15 though 18 does not; the day of 30 less 2 is the one beyond. */
static void only_the_pair_beyond_is_marked(void **state)
{
    struct given *given = *state;
    struct verdict brief;

    each_sample(given, AGAINST_DIFFERENCE, 15);
    given_samples(given, "3:18 10:30");
    intake_of(given, "3:12 10:2", "mg/L");

    struct verdict verdict = given_assert(given, "outside: above 15", "28 on the 10th");

    for (size_t i = 0; i < verdict.item_count; i++) {
        const struct verdict_item *item = &verdict.items[i];

        assert_int_equal(item->outside,
                         item->place == 0 && item->day == day_from_civil(2026, 3, 10));
    }
    judge_limit_in_brief(given->mem, NULL, &given->limit, &given->evidence, given->from, given->to,
                         &brief);
    assert_int_equal(brief.item_count, 1);
    assert_int_equal(brief.items[0].day, day_from_civil(2026, 3, 10));
}

/* Removals of 80, and in doubt of 60 and 99: 79.7 with both, and 70 with the lower one. */
static void a_doubtful_high_removal_hides_no_doubtful_low_one(void **state)
{
    struct given *given = *state;

    for (int pairing = PAIR_SAME_DAY; pairing <= PAIR_PERIOD; pairing++) {
        removal_of(given, "3:100 10:100 17:100", "3:20 10:40? 17:1?", (enum pairing)pairing);
        given->limit.bound.floor = (struct decimal){75, 0};
        if (pairing == PAIR_WITHIN || pairing == PAIR_RESIDENCE)
            given->limit.against.within_s = 3600;
        assert_true(given_assert(given, "outside: below 75", "70 with the lower").rests_on_doubt);
    }
}

/* 0.09 in g/L is 90 of 100: hardly anything was removed, and of the intake it is the least. */
static void a_row_without_a_unit_is_tried_where_it_lowers_a_removal(void **state)
{
    struct given *given = *state;

    removal_of(given, "3:100 10:100", "3:1", PAIR_SAME_DAY);
    given_row(given, given_at("2026-03-10T12:00:00Z"), "0.09", NULL);
    given_assert(given, "not assessable", "55 of 99 and 10");

    removal_of(given, "3:100", "3:1 10:1", PAIR_SAME_DAY);
    given_row(given, given_at("2026-03-10T12:00:00Z"), "2", NULL)->station = "intake";
    given_assert(given, "not assessable", "50 where the intake was 2 mg/L");
}

static void an_intake_beside_the_period_is_taken_as_one_within_it(void **state)
{
    struct given *given = *state;

    each_sample(given, AGAINST_DIFFERENCE, 15);
    given->limit.against.pairing = PAIR_WITHIN;
    given->limit.against.within_s = 6 * 3600;
    given->limit.without_looking_for_cause = true;
    given_samples(given, "1/01:00:18");

    size_t intake = given_series(given, "intake", given->limit.parameter, KIND_GRAB);
    struct evidence_reading *before =
        given_add(given, intake, given_at("2026-02-28T23:00:00Z"), "5", "mg/L");

    assert_string_equal(given_assert(given, "within", "18 less 5").figure_text, "13");
    before->looks_for_cause = true;
    given_assert(given, "not assessable", "that one does not count");
    before->looks_for_cause = false;
    given->limit.accredited = true;
    given_assert(given, "not assessable", "no laboratory is on record for either");
}

/* The intake's reading stands beside the discharge's in the verdict. */
static void the_intake_is_among_what_the_verdict_lists(void **state)
{
    struct given *given = *state;

    each_sample(given, AGAINST_DIFFERENCE, 15);
    given_samples(given, "3:18");
    intake_of(given, "3:5", "mg/L");

    struct verdict verdict = given_verdict(given);

    assert_int_equal(verdict.item_count, 2);
    assert_int_equal(verdict.items[0].place + verdict.items[1].place, 1);

    const struct verdict_item *discharge = &verdict.items[verdict.items[0].place];

    assert_int_equal(discharge->place, 0);
    assert_int_equal(discharge->other_count, 1);
    assert_string_equal(exact_text(given->mem, discharge->others[0].value, 3), "5");
}

/*
 * The bound is one of what two readings make: 18.1 less 16.0 keeps "not above 3", though both are
 * above 3; 5 kept of 100 is a removal of 95 %, though 5 is below 40.
 */
static const struct {
    enum against_kind kind;
    bool is_floor;
    int64_t bound;
    const char *discharge;
    const char *intake;
    const char *beyond; /* the result of the one pair beyond; NULL: there is none */
    const char *reason;
} pairs_beyond[] = {
    {AGAINST_DIFFERENCE, false, 3, "3:18.1 4:17", "3:16.0 4:15", NULL, "2.1 and 2, of warm water"},
    {AGAINST_DIFFERENCE, false, 3, "3:18.1 4:19", "3:16.0 4:15", "4", "2.1 and 4"},
    {AGAINST_DIFFERENCE, false, 22, "3:4 4:5", "3:30 4:40", NULL, "the intake alone is above 22"},
    {AGAINST_REMOVAL, true, 40, "3:5 4:6", "3:100 4:100", NULL, "95 % and 94 %"},
    {AGAINST_REMOVAL, true, 40, "3:50 4:6", "3:60 4:100", "16.7", "50 of 60, each above 40"},
    {AGAINST_CREDIT, false, 15, "3:25 4:14", "3:12 4:40", NULL, "the credit brings 25 to 15"},
    {AGAINST_CREDIT, false, 15, "3:28 4:14", "3:12 4:40", "16", "28 less 12"},
};

static void compare_pairs(struct given *given, size_t row)
{
    bool is_floor = pairs_beyond[row].is_floor;
    struct decimal bound = {pairs_beyond[row].bound, 0};

    each_sample(given, pairs_beyond[row].kind, 0);
    given->limit.bound = (struct limit_bound){
        .has_ceiling = !is_floor, .ceiling = bound, .has_floor = is_floor, .floor = bound};
    given_samples(given, pairs_beyond[row].discharge);
    intake_of(given, pairs_beyond[row].intake, "mg/L");
}

static void no_reading_is_held_against_the_bound_of_a_difference(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(pairs_beyond); i++) {
        struct verdict brief;
        size_t beyond = 0;
        size_t pairs = 0;

        compare_pairs(given, i);

        struct verdict verdict = given_verdict(given);

        for (size_t k = 0; k < verdict.pair_count; k++)
            pairs += verdict.pairs[k].outside;
        for (size_t k = 0; k < verdict.item_count; k++) {
            const struct verdict_pair *pair = verdict_pair_of(&verdict, &verdict.items[k]);

            if (!verdict.items[k].outside)
                continue;
            beyond++;
            assert_int_equal(verdict.items[k].place, 0);
            assert_non_null(pair);
            assert_non_null(pairs_beyond[i].beyond);
            assert_string_equal(exact_text(given->mem, verdict_pair_number(&verdict, pair), 3),
                                pairs_beyond[i].beyond);
        }
        if (beyond != (pairs_beyond[i].beyond != NULL) || pairs != beyond)
            fail_msg("row %zu, %s: %zu readings and %zu pairs beyond", i, pairs_beyond[i].reason,
                     beyond, pairs);
        assert_int_equal(verdict.beyond, beyond);

        /* Findings go by the verdict in brief: it holds those beyond alone. */
        judge_limit_in_brief(given->mem, NULL, &given->limit, &given->evidence, given->from,
                             given->to, &brief);
        assert_int_equal(brief.item_count, beyond);
    }
}

/*
 * Net mass takes both flows. Volumes 720 700 650 900 1200 800 m3, discharge 5 6 4 9 14 7 mg/L,
 * intake 2 3 2 4 6 3 mg/L of as much water: 2.16 2.1 1.3 4.5 9.6 3.2 kg, together 22.86 kg.
 */
static void a_net_load_is_of_both_waters(void **state)
{
    static const char flows[] = "1:720 2:700 3:650 4:900 5:1200 6:800";
    struct given *given = *state;
    size_t series;

    given->to = given->from + 5;
    given->limit.daily = DAILY_LOAD;
    given->limit.unit = "kg";
    given->limit.statistic = STATISTIC_SUM;
    given->limit.flow = (struct limit_flow){"outfall", "flow"};
    given->limit.bound.ceiling = (struct decimal){2286, 2};
    given->limit.against = (struct limit_against){.kind = AGAINST_DIFFERENCE,
                                                  .place = {"intake", NULL},
                                                  .flow = {"intake", "flow"},
                                                  .pairing = PAIR_SAME_DAY};
    given_samples(given, "1:5 2:6 3:4 4:9 5:14 6:7");
    intake_of(given, "1:2 2:3 3:2 4:4 5:6 6:3", "mg/L");
    series = given_series(given, "outfall", "flow", KIND_PROBE);
    given_readings(given, series, flows, "m3/day");
    series = given_series(given, "intake", "flow", KIND_PROBE);
    given_readings(given, series, flows, "m3/day");
    assert_string_equal(given_assert(given, "within", "22.86 kg").figure_text, "22.86");
    given->limit.bound.ceiling = (struct decimal){2285, 2};
    given_assert(given, "outside: above 22.85", "a hundredth less");
}

#define CASE(name) cmocka_unit_test_setup_teardown(name, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(a_removal_of_averages_is_not_the_mean_of_removals),
        CASE(nothing_can_be_removed_of_nothing),
        CASE(only_the_pair_beyond_is_marked),
        CASE(a_doubtful_high_removal_hides_no_doubtful_low_one),
        CASE(a_row_without_a_unit_is_tried_where_it_lowers_a_removal),
        CASE(an_intake_beside_the_period_is_taken_as_one_within_it),
        CASE(the_intake_is_among_what_the_verdict_lists),
        CASE(no_reading_is_held_against_the_bound_of_a_difference),
        CASE(a_net_load_is_of_both_waters),
    };

    return cmocka_run_group_tests_name("judge/against_pairs", tests, NULL, NULL);
}
