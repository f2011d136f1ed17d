/* What is wrong with the choices of a limit is told: what one needs, and what has no place. */

#include "choices.h"

static const struct {
    const char *reason;
    const char *choices;
    const char *words; /* in the words of a problem */
} wrong[] = {
    /* what a choice needs, and what it has no use for */
    {"a percentile of no number",
     EVERY "statistic: percentile\nby the rule of: Hazen\nless-thans: half\nperiod: year\nnot "
           "above: 3",
     "lacks `percentile`: a percentile is of a number of percent, as 90"},
    {"a percentile by no rule",
     EVERY "statistic: percentile\npercentile: 90\nless-thans: half\nperiod: year\nnot above: 3",
     "lacks `by the rule of`: there are many rules"},
    {"a percentile by a rule of nowhere",
     EVERY
     "statistic: percentile\npercentile: 90\nby the rule of: Hasen\nless-thans: half\nperiod: "
     "year\nnot above: 3",
     "did you mean 'Hazen'?"},
    {"a percentile of all",
     EVERY "statistic: percentile\npercentile: 100\nby the rule of: Hazen\nless-thans: half\n"
           "period: year\nnot above: 3",
     "a percentile lies between 0 and 100"},
    {"a percentage of a mean", MEAN "percentile: 90",
     "`percentile` has no place here: only a percentile has it"},
    {"a log-normal percentile without z",
     EVERY "statistic: log-normal percentile\ndeviation: sample\nless-thans: half\nperiod: year\n"
           "not above: 3",
     "lacks `z`: the licence or its law states it"},
    {"a log-normal percentile without its deviation",
     EVERY "statistic: log-normal percentile\nz: 1.282\nless-thans: half\nperiod: year\nnot above: "
           "3",
     "lacks `deviation`"},
    {"z of a mean", MEAN "z: 1.282", "`z` has no place here"},
    {"a count beyond nothing", EVERY "statistic: count beyond\nperiod: month\nnot above: 2",
     "lacks the number beyond which it counts"},
    {"two numbers on one side",
     EVERY "statistic: count beyond\ncounts above: 4\ncounts from: 5\nperiod: month\nnot above: 2",
     "`counts from` beside another number on the same side"},
    {"a range beside a number",
     EVERY "statistic: count beyond\ncounts above: 4\ncounts outside: 5 to 6\nperiod: month\nnot "
           "above: 2",
     "`counts outside` beside another number"},
    {"a number beyond of a mean", MEAN "counts above: 3", "`counts above` has no place here"},
    {"a change within no time",
     EVERY "statistic: greatest change\ndirection: rise\nless-thans: half\nperiod: day\nnot above: "
           "2",
     "lacks `change within`"},
    {"a change with a bare number",
     EVERY "statistic: greatest change\ndirection: rise\nchange within: 1\nless-thans: half\n"
           "period: day\nnot above: 2",
     "'1' can't be `change within`"},
    {"a change of no direction",
     EVERY "statistic: greatest change\nchange within: 1 hour\nless-thans: half\nperiod: day\nnot "
           "above: 2",
     "lacks `direction`"},
    {"a rate per nothing",
     EVERY "statistic: greatest rate\ndirection: fall\nless-thans: half\nperiod: day\nnot above: 2",
     "lacks `rate per`"},
    {"a rate per fortnight",
     EVERY "statistic: greatest rate\nrate per: fortnight\ndirection: fall\nless-thans: half\n"
           "period: day\nnot above: 2",
     "'fortnight' can't be `rate per`"},
    {"a time in no unit",
     EVERY "samples: probe\nreading stands: 20 minutes\nbetween readings: half-way\nperiod: day\n"
           "not above: 2\nstatistic: time outside\ncounts above: 3",
     "lacks `time in`"},
    {"a time without gaps",
     EVERY "samples: probe\nbetween readings: half-way\nperiod: day\nnot above: 2\nstatistic: time "
           "outside\ncounts above: 3\ntime in: hours",
     "lacks `reading stands`"},
    {"a time with nothing between",
     EVERY "samples: probe\nreading stands: 1 hour\nperiod: day\nnot above: 2\nstatistic: time "
           "outside\ncounts above: 3\ntime in: hours",
     "lacks `between readings`"},
    {"minutes where the readings' unit stands",
     "station: out\nparameter: ph\nunit: minutes\nrounding: none\neach day: every reading\n"
     "samples: probe\nreading stands: 20 minutes\nbetween readings: half-way\ntime in: minutes\n"
     "period: day\nnot above: 60\nstatistic: time outside\ncounts above: 9",
     "`unit` is that of the readings, as pH; the minutes or hours go in `time in`"},
    {"a percentile as a share",
     EVERY "statistic: percentile\npercentile: 0.9\nby the rule of: Hazen\nless-thans: half\n"
           "period: year\nnot above: 3",
     "write 90 for the 90th percentile"},
    {"a time of samples",
     EVERY "samples: grab\nreading stands: 1 hour\nbetween readings: half-way\nperiod: day\nnot "
           "above: 2\nstatistic: time outside\ncounts above: 3\ntime in: hours",
     "only the readings of a probe say how long"},
    {"running days of no number",
     EVERY "statistic: mean\nless-thans: half\nperiod: running days\nnot above: 2",
     "lacks `running days`"},
    {"running days of which one may be enough",
     EVERY "statistic: mean\nless-thans: half\nperiod: running days\nrunning days: 7\nnot above: 2",
     "lacks `at least` or `covers`: without it one sample alone makes the figure of 7 days "
     "running"},
    {"a count of running days of which one may be enough",
     EVERY "statistic: count beyond\ncounts above: 43\nperiod: running days\nrunning days: 30\n"
           "not above: 2",
     "lacks `at least` or `covers`"},
    {"running days of a month", MEAN "running days: 7", "`running days` has no place here"},
    {"last samples of no number",
     EVERY "statistic: mean\nless-thans: half\nperiod: last samples\nnot above: 2",
     "lacks `last samples`"},
    {"the last sample",
     EVERY "statistic: mean\nless-thans: half\nperiod: last samples\nlast samples: 1\nnot above: 2",
     "'1' can't be `last samples`"},
    {"last samples in which a duplicate may be two",
     EVERY
     "statistic: mean\nless-thans: half\nperiod: last samples\nlast samples: 10\nnot above: 2",
     "lacks `replicates`: a sample in duplicate may be one of the last samples"},
    {"a week without its first day",
     EVERY "statistic: mean\nless-thans: half\nperiod: week\nacross months: in both\nnot above: 2",
     "lacks `week starts`"},
    {"a week without its month",
     EVERY "statistic: mean\nless-thans: half\nperiod: week\nweek starts: Monday\nnot above: 2",
     "lacks `across months`"},
    {"a month across months", MEAN "across months: in both", "`across months` has no place here"},
    {"a composite of two days", MEAN "samples: composite", "lacks `across days`"},
    {"a grab of two days", MEAN "samples: grab\nacross days: where it began",
     "`across days` has no place here"},
    {"a composite of both days", MEAN "samples: composite\nacross days: in both",
     "'in both' can't be `across days`"},
    {"a run at a station without an outlet",
     "station: out-2\nparameter: suspended-solids\nunit: mg/L\nrounding: none\neach day: every "
     "reading\nless-thans: half\nstatistic: mean\nperiod: discharge run\nacross months: where it "
     "began\nnot above: 3",
     "the licence 'dp' names no `outlet` for the station 'out-2'"},
    {"an hour that is none", MEAN "hours: 6 to 18", "'6 to 18' can't be `hours`"},
    {"hours of no length", MEAN "hours: 06:00 to 06:00", "the hours must be two different times"},
    {"half a tide", MEAN "tide: 1 hour before high water\ntide table: harbour",
     "can't be `tide`: expected when it applies"},
    {"a tide of no table", MEAN "tide: 1 hour before to 3 hours after high water",
     "lacks `tide table`"},
    {"a table of no tide", MEAN "tide table: harbour", "`tide table` has no place here"},
    {"a table of nowhere",
     MEAN "tide: 1 hour before to 3 hours after high water\ntide table: harbor",
     "there is no tide table 'harbor'; did you mean 'harbour'?"},
    {"a tide of no time",
     MEAN "tide: 0 hours before to 0 hours after high water\ntide table: harbour",
     "a tide needs its table, and a time"},
    {"a season of no end", MEAN "season: {from: 05-01}", "this season lacks `to`"},
    {"a condition of no number",
     MEAN "while: {station: gauge, parameter: rain, unit: mm, within: 24 hours}",
     "this condition lacks its number"},
    {"a condition of any age", MEAN "while: {station: gauge, parameter: rain, unit: mm, above: 10}",
     "this condition lacks `within`"},
    {"a condition in another unit",
     MEAN "while: {station: gauge, parameter: rain, unit: mg/L, above: 1, within: 1 day}",
     "'mg/L' is not a unit for rain"},
    {"a condition that a word sets",
     MEAN "while: {station: out, parameter: scum, unit: mm, above: 1, within: 1 day}",
     "'scum' has no numbers to go by"},

    /* places */
    {"concentrations added", MEAN "added with: [out-2]",
     "only daily totals and loads of several places can be added"},
    {"a load added without its water",
     LOAD "statistic: mean\ndays without a result: left out\nadded with: [out-2]",
     "each place that is added needs the flow of its own load"},
    {"a place of nowhere", MEAN "added with: [out-3]",
     "there is no station 'out-3'; did you mean 'out-2'?"},
    {"a load by the temperature",
     "station: out\nparameter: suspended-solids\nunit: kg/day\nrounding: none\neach day: load\n"
     "flow: {station: out, parameter: temperature}\nless-thans: half\nstatistic: mean\nperiod: "
     "month\nload water: of the day\ndays without a result: left out\nreading stands: 1 hour\nnot "
     "above: 30\n",
     "temperature is no flow of water and no meter of it"},
    {"a bound of ammonia on oxygen",
     BY "rule: un-ionised ammonia, stated: 0.02, ammonia form: khoo, readings: [{station: out, "
        "parameter: ph, unit: pH}, {station: out, parameter: temperature, unit: degC}]}",
     "un-ionised ammonia is a share of ammonia, and oxygen is measured as something else"},
    {"a removal of more than all",
     EVERY "less-thans: half\nstatistic: mean\nperiod: month\nnot below: 130\ncompared with: "
           "{station: intake, as: percent removal, paired: same day}",
     "no removal is more than 100 %"},
    {"less than nothing", EVERY "less-thans: half\nstatistic: mean\nperiod: month\nnot above: -5",
     "suspended-solids is never below 0"},
    {"a comparison of no pairs", MEAN "compared with: {station: intake, as: difference}",
     "this comparison lacks `paired`"},
    {"a comparison of any time",
     MEAN "compared with: {station: intake, as: difference, paired: nearest in time}",
     "this comparison lacks `within`: results paired nearest in time need it"},
    {"a comparison with a time too many",
     MEAN "compared with: {station: intake, as: difference, paired: same day, within: 1 hour}",
     "`within` has no place here: results paired same day don't go by it"},
    {"a comparison with itself",
     MEAN "compared with: {station: out, as: difference, paired: same day}",
     "a place can't be compared with itself"},
    {"two ways to name the station", MEAN "stations: [out, out-2]",
     "`stations` beside `station`: expected one of them"},
    {"no station",
     "parameter: suspended-solids\nunit: mg/L\nrounding: none\neach day: every "
     "reading\nstatistic: value\nperiod: month\nnot above: 3",
     "lacks `station`: expected the key of a station"},
    {"a list of one",
     "stations: [out]\nparameter: suspended-solids\nunit: mg/L\nrounding: none\n"
     "each day: every reading\nstatistic: value\nperiod: month\nnot above: 3",
     "`stations` takes a list of 2 or more"},
    {"a station twice",
     "stations: [out, out]\nparameter: suspended-solids\nunit: mg/L\nrounding: "
     "none\neach day: every reading\nstatistic: value\nperiod: month\nnot "
     "above: 3",
     "'out' is given twice"},

    /* bounds */
    {"a word that the state has not", STATE "must be: absent",
     "there is no word of 'scum' called 'absent'"},
    {"two words", STATE "must be: seen\nmust not be: seen", "a second word for the state"},
    {"a state with a number", STATE "not above: 3", "the words of a state can't be compared"},
    {"a number with a word", EVERY "statistic: value\nperiod: month\nmust be: seen",
     "only a state has words"},
    {"a state in a unit", STATE "unit: mg/L\nmust be: seen", "`unit` has no place here"},
    {"a state rounded", STATE "rounding: none\nmust be: seen", "`rounding` has no place here"},
    {"a number without its unit",
     "station: out\nparameter: oxygen\nrounding: none\neach day: every reading\nstatistic: value\n"
     "period: month\nnot below: 5",
     "lacks `unit`: a number is nothing without its unit"},
    {"steps that fall",
     BY "rule: steps, readings: [{station: out, parameter: temperature, unit: degC}], steps: [{up "
        "to: 10, bound: 8}, {up to: 9, bound: 6}]}",
     "the steps must rise"},
    {"a line of no slope",
     BY "rule: straight line, readings: [{station: out, parameter: temperature, unit: degC}], "
        "offset: 10}",
     "a straight line over another reading needs a factor"},
    {"ammonia by temperature alone",
     BY "rule: un-ionised ammonia, stated: 0.02, ammonia form: bower-bidwell, readings: [{station: "
        "out, parameter: temperature, unit: degC}]}",
     "ammonia over pH, temperature and"},
    {"ammonia by an equation of nowhere",
     BY "rule: un-ionised ammonia, stated: 0.02, ammonia form: bower, readings: [{station: out, "
        "parameter: ph, unit: pH}, {station: out, parameter: temperature, unit: degC}]}",
     "(emerson-273.2, emerson-273.15, bower-bidwell, khoo, epa-1989 or clegg-whitfield)"},
    {"ammonia with its readings in another order",
     BY "rule: un-ionised ammonia, stated: 0.02, ammonia form: bower-bidwell, readings: [{station: "
        "out, parameter: salinity, unit: PSU}, {station: out, parameter: temperature, unit: "
        "degC}, {station: out, parameter: ph, unit: pH}]}",
     "'salinity' can't be the first of the `readings`: expected pH, temperature and salinity"},
    {"ammonia with salinity where temperature stands",
     BY "rule: un-ionised ammonia, stated: 0.02, ammonia form: bower-bidwell, readings: [{station: "
        "out, parameter: ph, unit: pH}, {station: out, parameter: salinity, unit: PSU}]}",
     "'salinity' can't be the second of the `readings`"},
    {"saturation with its readings in another order",
     BY "rule: share of saturation, stated: 60, readings: [{station: out, parameter: salinity, "
        "unit: PSU}, {station: out, parameter: temperature, unit: degC}]}",
     "'salinity' can't be the first of the `readings`: expected temperature and salinity"},
    {"a bound by a reading in no unit",
     BY "rule: share of saturation, stated: 60, readings: [{station: out, parameter: "
        "temperature}]}",
     "this other reading lacks `unit`"},
    {"a bound by a rule of nowhere", BY "rule: guess, readings: []}", "'guess' can't be `rule`"},
    {"two bounds",
     MEAN "bound by: {rule: share of saturation, side: below, stated: 60, within: 1 "
          "hour, readings: [{station: out, parameter: temperature, unit: degC}]}",
     "a number and another kind of bound can't both be the bound"},
    {"an allowance of words", SINGLE "allowed beyond: some", "'some' can't be `allowed beyond`"},
    {"an allowance of all", SINGLE "allowed beyond: 12 of 12", "fewer than all"},
    {"an allowance in a mean", MEAN "allowed beyond: 2", "the statistic must be 'value'"},
    {"rows that meet",
     SINGLE "allowed beyond: [{samples: 4 to 7, allowed: 1}, {samples: 7 to 9, allowed: 2}]",
     "the printed numbers of samples must rise"},
    {"a row of no number", SINGLE "allowed beyond: [{samples: few, allowed: 1}]",
     "'few' can't be `samples`"},
    {"more periods than there are", MEAN "outside only if: 7 of 6 periods",
     "1 to all of them beyond"},
    {"periods of no number", MEAN "outside only if: twice", "'twice' can't be `outside only if`"},
    {"periods of single values", SINGLE "outside only if: 2 of 6 periods",
     "periods running are counted by the one figure of each"},

    /* less-thans */
    {"one alone in a mean", MEAN "less-thans alone: within",
     "`less-thans alone` has no place here"},
    {"one alone by no rule", SINGLE "less-thans alone: by the rule", "lacks `less-thans`"},
    {"a rule for less-thans where values are counted",
     EVERY "statistic: count beyond\ncounts above: 43\nless-thans: half\nperiod: month\nnot above: "
           "2",
     "`less-thans` has no place here: the limit holds every reading by itself"},
    {"a rule for greater-thans where values are counted",
     EVERY "statistic: share beyond\ncounts above: 43\ngreater-thans: step above\nperiod: month\n"
           "not above: 10",
     "`greater-thans` has no place here: the limit holds every reading by itself"},
    {"a rule for less-thans in a time outside", PROBE_TIME "counts above: 3\nless-thans: zero",
     "`less-thans` has no place here"},
    {"a rule for less-thans of a day's highest",
     AT_OUT
     "each day: highest\nless-thans: at the limit\nstatistic: value\nperiod: day\nnot above: "
     "3",
     "`less-thans` has no place here: a lowest or highest reading is one reading by itself, and a "
     "less-than is every value it allows. Leave it out, or add `less-thans alone: by the rule`"},
    {"a rule for less-thans of a month's lowest",
     EVERY "less-thans: half\nstatistic: minimum\nperiod: month\nnot below: 3",
     "`less-thans` has no place here: a lowest or highest reading"},
    {"results between the limits taken by themselves", SINGLE "between the limits: zero",
     "`between the limits` has no place here"},
    {"a greater-than alone by a rule",
     SINGLE "less-thans: half\nless-thans alone: by the rule\ngreater-thans: step above",
     "`greater-thans` has no place here: no figure is made of the readings"},
    {"all of single values", SINGLE "all less-thans: less than the largest",
     "`all less-thans` has no place here"},
    {"beyond the bound of single values", SINGLE "less-thans beyond the bound: by the rule",
     "`less-thans beyond the bound` has no place here"},
    {"a rule for a geometric mean in a mean", MEAN "less-thans in a geometric mean: half",
     "`less-thans in a geometric mean` has no place here"},
    {"Kaplan-Meier of days",
     AT_OUT "each day: mean\nless-thans: Kaplan-Meier, rest at the smallest limit\nstatistic: "
            "mean\nperiod: month\nnot above: 3",
     "Kaplan-Meier and regression take all results of the period at once"},
    {"ranked in a mean", EVERY "less-thans: ranked\nstatistic: mean\nperiod: month\nnot above: 3",
     "less-thans are ranked in a median"},

    /* loads, pH, rounding, margin */
    {"a load's water in a mean", MEAN "load water: while sampling",
     "`load water` has no place here"},
    {"one load of daily means", LOAD "statistic: mean\nload water: mean concentration times volume",
     "so the statistic must be 'sum'"},
    {"a flow-weighted mean without a flow",
     AT_OUT "each day: flow-weighted mean\nless-thans: half\nstatistic: value\nperiod: day\nnot "
            "above: 3",
     "lacks `flow`: a flow-weighted mean weighs by a flow"},
    {"solids averaged as pH", MEAN "pH averaged as written: yes",
     "`pH averaged as written` has no place here: only pH has it"},
    {"figures of a bound that is none",
     "station: out\nparameter: oxygen\nunit: mg/L\nrounding: half up to the bound\neach day: every "
     "reading\nstatistic: value\nperiod: month\nbound by: {rule: share of saturation, side: below, "
     "stated: 60, within: 1 hour, readings: [{station: out, parameter: temperature, unit: degC}]}",
     "the bound is not one number: say the digits"},
    {"a margin in the readings' unit where a count is bound",
     EVERY "statistic: count beyond\ncounts above: 43\nperiod: month\nnot above: 2\nmargin: 1 mg/L",
     "the margin is in 'mg/L': expected % or the limit's samples"},
    {"an empty list of methods", MEAN "methods: []", "an empty list in `methods`"},
};

static void what_makes_no_sense_is_told(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(wrong); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = with_choices(mem, wrong[i].choices);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;
        bool is_told = false;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
            fail_msg("%s: taken", wrong[i].reason);
        for (size_t k = 0; k < problems.count; k++)
            is_told = is_told || strstr(problems.items[k].words, wrong[i].words);
        if (!is_told)
            fail_msg("%s: %s", wrong[i].reason, err.text);
    }
}

static void a_key_too_long_with_its_station_is_told(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char *text = with_choices(
        mem,
        "stations: [out, out-2]\nparameter: suspended-solids\nunit: mg/L\nrounding: none\neach "
        "day: every reading\nstatistic: value\nperiod: month\nnot above: 30");
    char *at = strstr(text, "key: solids\n");
    const char *longer = arena_printf(mem, "%.*skey: solids-that-are-suspended-in-water%s",
                                      (int)(at - text), text, at + strlen("key: solids"));
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_false(farmfile_read(mem, longer, strlen(longer), units, &farm, &problems, &err));
    assert_string_equal(problems.items[0].words,
                        "'solids-that-are-suspended-in-water--out-2' is longer than the 40 letters "
                        "a key may have");
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_makes_no_sense_is_told),
        cmocka_unit_test(a_key_too_long_with_its_station_is_told),
    };

    return cmocka_run_group_tests_name("farmfile/limit_mistakes", tests, load_units, free_units);
}
