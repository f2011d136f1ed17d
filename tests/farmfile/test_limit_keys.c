/* Every key that a limit of a farm file may have, and what it becomes. */

#include "choices.h"

static const struct farm *read_farm(struct arena *mem, const char *choices)
{
    const char *text = with_choices(mem, choices);
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    if (!farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
        fail_msg("%s\n%s", choices, err.text);

    return farm;
}

/* The limit, read twice: from the file and from the canonical text of it, as it is stored. */
static struct limit limit_of(struct arena *mem, const char *choices)
{
    const struct farm *farm = read_farm(mem, choices);
    struct limit stored = {0};
    struct err err = ERR_INIT;

    if (!farmfile_limit(mem, farm->limits.items[0].definition, farm, &stored, &err))
        fail_msg("%s\n%s", choices, err.text);

    return stored;
}

/* What stands for a limit's choices in these tests: its words, which every choice below changes. */
static const struct {
    const char *choices;
    const char *words;
} worded[] = {
    {MEAN, "monthly mean not above 30 mg/L"},
    {EVERY "statistic: percentile\npercentile: 90\nby the rule of: Hazen\nless-thans: half\n"
           "period: year\nnot above: 30",
     "yearly 90th percentile (Hazen) not above 30 mg/L"},
    {EVERY "statistic: percentile\npercentile: 99.5\nby the rule of: TYPE 7\nless-thans: half\n"
           "period: quarter\nnot above: 30",
     "quarterly 99.5th percentile (type 7) not above 30 mg/L"},
    {EVERY "statistic: log-normal percentile\nz: 1.282\ndeviation: sample\nless-thans: half\n"
           "period: year\nnot above: 30",
     "yearly log-normal percentile (z 1.282, sample deviation) not above 30 mg/L"},
    {EVERY "statistic: count beyond\ncounts above: 43\nperiod: month\nnot above: 2",
     "monthly number above 43 not above 2 samples"},
    {EVERY "statistic: share beyond\ncounts from: 43\nperiod: last samples\nlast samples: 30\n"
           "replicates: each by itself\nnot above: 10",
     "share 43 or more of the last 30 samples not above 10 %"},
    {EVERY "statistic: count beyond\ncounts to: 5\nperiod: month\nbelow: 2",
     "monthly number 5 or less below 2 samples"},
    /* The total of a flow is a volume, and what stands between readings is the flow's own. */
    {"station: out\nparameter: flow\nunit: m3\nsamples: probe\nonly while discharging: no\neach "
     "day: total\n"
     "statistic: value\nperiod: day\nreading stands: 20 minutes\nbetween readings: half-way\n"
     "rounding: none\nnot above: 2500",
     "daily total not above 2500 m3"},
    {PROBE_TIME "counts outside: 6.0 to 9.0",
     "daily time below 6.0 or above 9.0 not above 2 hours"},
    {EVERY "statistic: greatest change\nchange within: 1 hour\ndirection: rise\nless-thans: not "
           "said\nperiod: day\nnot above: 2",
     "daily greatest rise within 1 hour not above 2 mg/L"},
    {EVERY "statistic: greatest rate\nrate per: hour\ndirection: either way\nless-thans: not said\n"
           "period: day\nnot above: 2",
     "daily fastest change not above 2 mg/L per hour"},
    {EVERY "less-thans: half\nstatistic: mean\nperiod: running days\nrunning days: 7\nat "
           "least: 3 samples\nnot above: 30",
     "mean of any 7 days running not above 30 mg/L"},
    {EVERY "less-thans: half\nstatistic: mean\nperiod: week\nweek starts: Monday\nacross months: "
           "by its days\nnot above: 30",
     "weekly mean not above 30 mg/L"},
    {EVERY "less-thans: half\nstatistic: mean\nperiod: licence year\nnot above: 30",
     "mean of a licence year not above 30 mg/L"},
    {EVERY "less-thans: half\nstatistic: mean\nperiod: discharge run\nacross months: where it "
           "began\nnot above: 30",
     "mean of a discharge run not above 30 mg/L"},
    {STATE "must be: not seen", "every reading must be 'not seen'"},
    {STATE "must not be: seen", "every reading must not be 'seen'"},
    {SINGLE "allowed beyond: 2 of 12",
     "every reading not above 30 mg/L, of which 2 of 12 may lie beyond in each month"},
    {SINGLE "allowed beyond: 10 %",
     "every reading not above 30 mg/L, of which 10 % may lie beyond in each month"},
    {SINGLE "allowed beyond: [{samples: 4 to 7, allowed: 1}, {samples: 8 or more, allowed: 2}]",
     "every reading not above 30 mg/L, of which 1 of 4 to 7, 2 of 8 or more may lie beyond in each "
     "month"},
    {MEAN "outside only if: 2 of 6 periods",
     "monthly mean not above 30 mg/L, outside only if 2 of 6 periods running are beyond it"},
    {LOAD "statistic: mean\ndays without a result: left out\nadded with: [{station: out-2, flow: "
          "{station: out-2, parameter: discharge-meter}}]",
     "monthly mean of daily loads (added with out-2) not above 30 kg/day"},
    {MEAN "compared with: {station: intake, as: percent removal, paired: figures of the period}",
     "monthly mean (percent removed since intake) not above 30 %"},
    {BY "rule: steps, readings: [{station: out, parameter: temperature, unit: degC}], steps: [{up "
        "to: 10, bound: 8}, {bound: 6}]}",
     "every reading not below the steps over temperature (8 up to 10, then 6) mg/L"},
    {BY "rule: straight line, readings: [{station: out, parameter: temperature, unit: degC}], "
        "offset: 10, factor: -0.2}",
     "every reading not below 10 + -0.2 x temperature mg/L"},
    {BY "rule: share of saturation, stated: 60, readings: [{station: out, parameter: temperature, "
        "unit: degC}]}",
     "every reading not below 60 % of saturation"},
};

static void a_limit_says_what_the_farm_wrote(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(worded); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct limit limit = limit_of(mem, worded[i].choices);

        assert_string_equal(limit_words(mem, &limit), worded[i].words);
    }
}

static void keys_that_no_word_shows_are_read(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct limit limit =
        limit_of(mem, MEAN
                 "instruments: [probe 1, probe 2]\ntaken by: Ida\naccredited laboratory: yes\n"
                 "samples that look for a cause: left out\nreplicates: averaged first\nside by "
                 "side: averaged first\nmethods: gravimetric\nsamples: [composite, derived]\n"
                 "across days: where most of it lies\nbetween the limits: half of detection\n"
                 "less-thans beyond the bound: by the rule\nall less-thans: less than the largest");

    (void)state;
    assert_int_equal(limit.instrument_count, 2);
    assert_string_equal(limit.instruments[1], "probe 2");
    assert_int_equal(limit.taker_count, 1);
    assert_string_equal(limit.methods[0], "gravimetric");
    assert_true(limit.accredited);
    assert_true(limit.without_looking_for_cause);
    assert_int_equal(limit.replicates, ALIKE_AVERAGED);
    assert_int_equal(limit.side_by_side, ALIKE_AVERAGED);
    assert_int_equal(limit.kinds, KIND_COMPOSITE | KIND_DERIVED);
    assert_int_equal(limit.span_belongs, BELONGS_MOSTLY);
    assert_int_equal(limit.between, BETWEEN_HALF_DETECTION);
    assert_true(limit.beyond_by_rule);
    assert_true(limit.largest_if_all);
    assert_int_equal(limit.anniversary, 701);

    limit = limit_of(mem, SINGLE "less-thans alone: by the rule\nless-thans: step below");
    assert_int_equal(limit.single_less_than, SINGLE_BY_RULE);
    assert_int_equal(limit.less_than, LESS_THAN_STEP_BELOW);

    limit =
        limit_of(mem, EVERY "less-thans: zero\nless-thans in a geometric mean: half\nstatistic: "
                            "geometric mean\nperiod: month\nnot above: 30");
    assert_true(limit.has_geometric_rule);
    assert_int_equal(limit.less_than_geometric, LESS_THAN_HALF);

    limit = limit_of(mem, PROBE_TIME "counts below: 5.0");
    assert_int_equal(limit.standing_rule, STANDS_HALF_WAY);
    assert_int_equal(limit.reading_stands_s, 1200);
    assert_int_equal(limit.settings.time_unit_s, 3600);

    limit = limit_of(mem, "station: out\nparameter: suspended-solids\nunit: mg/L\nrounding: half "
                          "even to the bound's figures\neach day: every reading\nless-thans: half\n"
                          "statistic: mean\nperiod: month\nnot above: 0.30");
    assert_true(limit.rounding_to_bound);
    assert_int_equal(limit.rounding.to, ROUND_TO_FIGURES);
    assert_int_equal(limit.rounding.digits, 2);

    limit = limit_of(mem, LOAD "statistic: sum\nload water: mean concentration times volume");
    assert_int_equal(limit.load_water, LOAD_MEAN_TIMES_VOLUME);
    limit = limit_of(mem, "station: out\nparameter: ph\nunit: pH\nrounding: none\neach day: mean\n"
                          "pH averaged as written: yes\nless-thans: not said\nstatistic: value\n"
                          "period: day\nfrom: 6.5 to 9.0");
    assert_true(limit.ph_mean_as_written);
}

static void conditions_are_read(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct limit limit = limit_of(
        mem, SINGLE "hours: 22:00 to 06:30\ntide: 90 minutes before to 3 hours after low water\n"
                    "tide table: harbour\nseason: {from: 05-01, to: 09-30}\nwhile: {station: "
                    "gauge, parameter: rain, unit: cm, above: 1, within: 1 day}");

    (void)state;
    assert_true(limit.hours.set);
    assert_int_equal(limit.hours.from_minute, 22 * 60);
    assert_int_equal(limit.hours.to_minute, 6 * 60 + 30);
    assert_int_equal(limit.tide.of, TIDE_LOW);
    assert_int_equal(limit.tide.before_s, 5400);
    assert_int_equal(limit.tide.after_s, 3 * 3600);
    assert_string_equal(limit.tide.table, "harbour");
    assert_true(limit.season.set);
    assert_int_equal(limit.season.from, 501);
    assert_int_equal(limit.season.to, 930);
    assert_string_equal(limit.applies_while.other.station, "gauge");
    assert_string_equal(limit.applies_while.other.unit, "cm");
    assert_true(limit.applies_while.has_above);
    assert_false(limit.applies_while.has_below);
    assert_int_equal(limit.applies_while.within_s, 86400);
}

static void other_places_and_readings_are_read(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct limit limit = limit_of(
        mem, SINGLE "compared with: {station: out, position: deep, as: difference, paired: "
                    "by residence time, within: 2 hours, residence time: 6 hours}");

    (void)state;
    assert_int_equal(limit.against.kind, AGAINST_DIFFERENCE);
    assert_string_equal(limit.against.place.position, "deep");
    assert_int_equal(limit.against.pairing, PAIR_RESIDENCE);
    assert_int_equal(limit.against.within_s, 7200);
    assert_int_equal(limit.against.residence_s, 6 * 3600);

    limit = limit_of(
        mem, "station: out\nparameter: ammonia\nunit: mg/L\nrounding: none\neach day: every "
             "reading\nstatistic: value\nperiod: month\nbound by: {rule: un-ionised ammonia, side: "
             "below, readings: [{station: out, parameter: ph, unit: pH}, {station: out, parameter: "
             "temperature, unit: degC}, {station: out, parameter: salinity, unit: PSU}], within: "
             "30 minutes, stated: 0.02, ammonia form: bower-bidwell}");
    assert_int_equal(limit.bound_by.kind, BOUND_UNIONISED);
    assert_false(limit.bound_by.is_floor);
    assert_true(limit.bound_by.reached_is_outside);
    assert_int_equal(limit.bound_by.other_count, 3);
    assert_string_equal(limit.bound_by.others[2].parameter, "salinity");
    assert_int_equal(limit.bound_by.within_s, 1800);
    assert_string_equal(limit.bound_by.ammonia_form, "bower-bidwell");
    assert_int_equal(limit.allowance.kind, ALLOWANCE_NONE);
}

static void a_clause_for_several_stations_is_a_limit_for_each(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm =
        read_farm(mem, "stations: [out, out-2]\nparameter: suspended-solids\nunit: mg/L\n"
                       "rounding: none\neach day: every reading\nstatistic: value\nperiod: month\n"
                       "not above: 30");
    const struct farm_limit *first = &farm->limits.items[0];
    const struct farm_limit *second = &farm->limits.items[1];
    struct limit stored = {0};
    struct err err = ERR_INIT;

    (void)state;
    assert_int_equal(farm->limits.count, 2);
    assert_string_equal(first->limit.key, "solids--out");
    assert_string_equal(first->limit.station, "out");
    assert_string_equal(second->limit.key, "solids--out-2");
    assert_string_equal(second->limit.station, "out-2");
    assert_string_equal(second->limit.name, "Solids, Out two");
    assert_int_equal(second->limit.order, 2);
    assert_null(strstr(second->definition, "stations"));
    assert_true(farmfile_limit(mem, second->definition, farm, &stored, &err));
    assert_string_equal(stored.station, "out-2");
}

/* Running days without `at least` or `covers` were accepted once. */
#define ACCEPTED_ONCE                                                                              \
    EVERY "less-thans: half\nstatistic: mean\nperiod: running days\nrunning days: 7\nnot above: "  \
          "30\n"

static void an_accepted_farm_file_is_read_though_a_limit_lacks_something(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = with_choices(mem, ACCEPTED_ONCE);
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_false(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err));
    err = ERR_INIT;
    farm = farmfile_accepted(mem, text, strlen(text), units, &err);
    assert_int_equal(err.code, ERR_NONE);
    assert_int_equal(farm->limits.count, 1);
    assert_non_null(strstr(farm->limits.items[0].limit.lacks, "lacks `at least` or `covers`"));
}

/* Today's program refuses it, and an earlier one took it and used it for nothing. */
static void an_accepted_limit_with_a_rule_that_nothing_goes_by_is_read(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = with_choices(mem, EVERY "statistic: count beyond\ncounts above: 43\n"
                                               "less-thans: half\nperiod: month\nnot above: 2\n");
    struct err err = ERR_INIT;
    const struct farm *farm = farmfile_accepted(mem, text, strlen(text), units, &err);

    (void)state;
    assert_int_equal(err.code, ERR_NONE);
    assert_non_null(strstr(farm->limits.items[0].limit.lacks, "`less-thans` has no place here"));
}

static void an_accepted_farm_file_that_is_wrong_elsewhere_is_told_of(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = with_choices(mem, MEAN "statistik: mean\n");
    struct err err = ERR_INIT;

    (void)state;
    (void)farmfile_accepted(mem, text, strlen(text), units, &err);
    assert_int_equal(err.code, ERR_INVALID);
    assert_non_null(strstr(err.hint, "Mend the file"));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_limit_says_what_the_farm_wrote),
        cmocka_unit_test(keys_that_no_word_shows_are_read),
        cmocka_unit_test(conditions_are_read),
        cmocka_unit_test(other_places_and_readings_are_read),
        cmocka_unit_test(a_clause_for_several_stations_is_a_limit_for_each),
        cmocka_unit_test(an_accepted_farm_file_is_read_though_a_limit_lacks_something),
        cmocka_unit_test(an_accepted_limit_with_a_rule_that_nothing_goes_by_is_read),
        cmocka_unit_test(an_accepted_farm_file_that_is_wrong_elsewhere_is_told_of),
    };

    return cmocka_run_group_tests_name("farmfile/limit_keys", tests, load_units, free_units);
}
