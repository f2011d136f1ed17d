/*
 * Choices that each can be meant and make no sense together are told, each at its key: what nothing
 * could go by, and bounds that nothing could keep or break.
 */

#include "choices.h"

#define COUNT EVERY "statistic: count beyond\ncounts above: 43\nperiod: month\n"
#define SHARE EVERY "statistic: share beyond\ncounts above: 43\nperiod: month\n"
#define LAST                                                                                       \
    EVERY "statistic: value\nperiod: last samples\nreplicates: each by itself\nnot above: 30\n"
#define EACH EVERY "statistic: value\nperiod: each sample\nnot above: 30\n"
#define OF_PH "station: out\nparameter: ph\nunit: pH\nrounding: none\neach day: every reading\n"
#define OF_TEMPERATURE                                                                             \
    "station: out\nparameter: temperature\nunit: degC\nrounding: none\neach day: every reading\n"
#define TOTAL_OF(parameter)                                                                        \
    "station: out\nparameter: " parameter "\nunit: m3\nrounding: none\neach day: total\n"          \
    "statistic: sum\nperiod: month\nnot above: 900\n"
#define LOAD_OF(parameter)                                                                         \
    "station: out\nparameter: " parameter "\nunit: kg/day\nrounding: none\neach day: load\n"       \
    "flow: {station: out, parameter: discharge-meter}\nless-thans: half\nstatistic: mean\n"        \
    "period: month\ndays without a result: left out\nnot above: 30\n"
#define BY_OTHER(of, rule)                                                                         \
    "station: out\nparameter: " of "\nunit: mg/L\nrounding: none\neach day: every reading\n"       \
    "statistic: value\nperiod: month\nbound by: {within: 1 hour, " rule "}"
#define PAIRED(as) "compared with: {station: intake, as: " as ", paired: same day}\n"

static const struct {
    const char *reason;
    const char *choices;
    const char *words; /* in the words of a problem */
} wrong[] = {
    /* who and what */
    {"a probe has no laboratory", MEAN "samples: probe\naccredited laboratory: yes",
     "`accredited laboratory` makes no sense here: only what is found in a sample"},
    {"nor has what is worked out", MEAN "samples: derived\naccredited laboratory: yes",
     "`accredited laboratory` makes no sense here"},
    {"a probe has no portions", MEAN "samples: probe\nreplicates: averaged first",
     "`replicates` makes no sense here: only a sample has portions"},
    {"a meter has none either", TOTAL_OF("discharge-meter") "replicates: averaged first",
     "`replicates` makes no sense here"},
    {"words have no mean", STATE "must be: seen\nreplicates: averaged first",
     "words can't be averaged"},
    {"nor have those of two people", STATE "must be: seen\nside by side: averaged first",
     "words can't be averaged"},
    {"a probe looks for no cause", MEAN "samples: probe\nsamples that look for a cause: left out",
     "only a sample is taken to look for a cause"},
    {"two words have no difference", STATE "must be: seen\n" PAIRED("difference"),
     "there is no difference between two words"},

    /* data */
    {"more of a sample than itself", EACH "at least: 4 samples",
     "`at least` makes no sense here: each sample is judged by itself"},
    {"the time that a sample covers", EACH "samples: probe\ncovers: 75 %\nreading stands: 1 hour",
     "`covers` makes no sense here: a single sample covers no time"},
    {"the time that words cover", STATE "must be: seen\ncovers: 75 %\nreading stands: 1 hour",
     "`covers` makes no sense here: no time is covered by words"},
    {"a grab sample that stands", MEAN "samples: grab\nreading stands: 2 hours",
     "`reading stands` makes no sense here: nothing goes by it"},
    {"readings of a mean that stand half-way",
     MEAN "samples: probe\nreading stands: 2 hours\nbetween readings: half-way\ncovers: 75 %",
     "`between readings` makes no sense here"},

    /* when */
    {"a tide that is always",
     SINGLE "tide: 100 hours before to 3 hours after high water\ntide "
            "table: harbour",
     "so long before and after a tide is always"},
    {"rain that never is",
     MEAN "while: {station: gauge, parameter: rain, unit: mm, below: 0, within: 1 day}",
     "rain is never below 0: the limit would never apply"},
    {"rain that always is",
     MEAN "while: {station: gauge, parameter: rain, unit: mm, above: -1, within: 1 day}",
     "rain is never below 0: the limit would always apply"},

    /* figures */
    {"a geometric mean of temperature",
     OF_TEMPERATURE "less-thans: half\nstatistic: geometric mean\nperiod: month\nnot above: 20",
     "a temperature has no geometric mean"},
    {"a geometric mean of pH",
     OF_PH "pH averaged as written: yes\nless-thans: half\nstatistic: geometric mean\nperiod: "
           "month\nnot above: 9",
     "pH is a logarithm already"},
    {"a geometric mean of differences",
     EVERY "less-thans: half\nstatistic: geometric mean\nperiod: month\nnot above: 9\n" PAIRED(
         "difference"),
     "a difference may be 0 or below"},
    {"a hydrogen-ion mean of what was averaged as written",
     "station: out\nparameter: ph\nunit: pH\nrounding: none\neach day: mean\nless-thans: "
     "half\nstatistic: hydrogen-ion mean\npH averaged as written: yes\nperiod: month\nnot above: 9",
     "a hydrogen-ion mean averages no pH"},
    {"a load of warmth", LOAD_OF("temperature"), "only what is in the water by weight"},
    {"a load of turbidity", LOAD_OF("turbidity-ntu"), "only what is in the water by weight"},
    {"a load of bacteria", LOAD_OF("ecoli-cfu"), "only what is in the water by weight"},
    {"a load of water", LOAD_OF("flow"), "only what is in the water by weight"},
    {"a total of solids", TOTAL_OF("suspended-solids") "reading stands: 1 hour",
     "`each day` makes no sense here: only a flow of water or a meter of it has a total"},
    {"a total of current",
     "station: out\nparameter: energy-meter\nunit: kWh\nrounding: none\neach day: total\n"
     "statistic: sum\nperiod: month\nnot above: 900\n",
     "`each day` makes no sense here: only a flow of water or a meter of it has a total"},
    {"a percent of a temperature that is removed",
     OF_TEMPERATURE
     "less-thans: half\nstatistic: mean\nperiod: month\nnot below: 20\n" PAIRED("percent removal"),
     "no percent of a temperature can be removed"},
    {"a credit on a count", COUNT "not above: 2\n" PAIRED("intake credit"),
     "an intake credit goes as far as a bound on the readings needs it"},
    {"a less-than that complies in a pair",
     SINGLE "less-thans alone: within\n" PAIRED("difference"),
     "compared with another place a less-than doesn't stand alone"},
    {"ranks and numbers for what lies between the limits",
     EVERY "less-thans: ranked\nbetween the limits: zero\nstatistic: median\nperiod: month\nnot "
           "above: 3",
     "less-thans that are ranked have a place for these already"},

    /* allowances */
    {"all of the last samples allowed", LAST "last samples: 3\nallowed beyond: 3",
     "as many as there are may lie beyond"},
    {"more samples than the last ones", LAST "last samples: 10\nallowed beyond: 2 of 12",
     "there are never so many of the last samples"},
    {"a printed table for other numbers",
     LAST "last samples: 10\nallowed beyond: [{samples: 11 to 20, allowed: 1}]",
     "no row is for so many as the last samples are"},

    /* bounds by other readings */
    {"a bound by what it bounds",
     BY_OTHER("suspended-solids", "rule: straight line, side: not above, offset: 1, factor: 2, "
                                  "readings: [{station: out, parameter: suspended-solids, unit: "
                                  "mg/L}]"),
     "the bound would go by the reading that it is for"},
    {"solids as a share of saturation",
     BY_OTHER("suspended-solids", "rule: share of saturation, side: not below, stated: 60, "
                                  "readings: [{station: out, parameter: temperature, unit: degC}]"),
     "a share of saturation is a bound on dissolved oxygen"},
    {"a form of the sea without salinity",
     BY_OTHER("ammonia", "rule: un-ionised ammonia, side: not above, stated: 0.02, ammonia form: "
                         "bower-bidwell, readings: [{station: out, parameter: ph, unit: pH}, "
                         "{station: out, parameter: temperature, unit: degC}]"),
     "this ammonia form holds in the sea only"},

    {"a step below nothing",
     BY_OTHER("suspended-solids", "rule: steps, side: not above, readings: [{station: out, "
                                  "parameter: temperature, unit: degC}], steps: [{up to: 9, bound: "
                                  "-6}]"),
     "suspended-solids is never below 0: nothing could keep this step"},

    /* what nothing could keep or break */
    {"a share of more than all", SHARE "not above: 150",
     "no share is more than 100 %: nothing could be outside"},
    {"a share that is more than all", SHARE "not below: 130",
     "no share is more than 100 %: nothing could keep this"},
    {"a count below none", COUNT "not above: -1", "a count is never below 0"},
    {"a count under none", COUNT "below: 0", "a count is never below 0: nothing could keep this"},
    {"at least none", COUNT "not below: 0", "a count is never below 0: nothing could be outside"},
    {"12 of the last 10",
     EVERY "statistic: count beyond\ncounts above: 43\nperiod: last samples\nlast samples: 10\n"
           "replicates: each by itself\nnot above: 12",
     "no more than 10 of the last 10 samples can count: nothing could be outside"},
    {"30 hours of a day",
     EVERY "samples: probe\nreading stands: 20 minutes\nbetween readings: half-way\ntime in: "
           "hours\nperiod: day\nnot above: 30\nstatistic: time outside\ncounts above: 3",
     "such a period has no more than 25 hours: nothing could be outside"},
    {"a time of less than none",
     EVERY "samples: probe\nreading stands: 20 minutes\nbetween readings: half-way\ntime in: "
           "hours\nperiod: day\nnot above: -5\nstatistic: time outside\ncounts above: 3",
     "a time is never below 0: nothing could keep this"},
    {"a change of less than none",
     EVERY "less-thans: half\nstatistic: greatest change\nchange within: 1 hour\ndirection: either "
           "way\nperiod: day\nnot above: -1",
     "a change either way is never below 0"},
    {"solids of at least none", EVERY "statistic: value\nperiod: month\nnot below: 0",
     "suspended-solids is never below 0: nothing could be outside"},
    {"solids under none", EVERY "statistic: value\nperiod: month\nbelow: 0",
     "suspended-solids is never below 0: nothing could keep this"},
    {"a pH of 85, where 8.5 was meant", OF_PH "statistic: value\nperiod: month\nnot above: 85",
     "the bound is a number that nothing can have: pH can't be above 15"},
    {"values below none counted",
     EVERY "statistic: count beyond\ncounts below: 0\nperiod: month\nnot above: 2",
     "suspended-solids is never below 0: nothing could count"},
    {"values above less than none counted",
     EVERY "statistic: count beyond\ncounts above: -1\nperiod: month\nnot above: 2",
     "suspended-solids is never below 0: everything would count"},
    {"a margin wider than the bound", MEAN "margin: 150 %",
     "the margin is as wide as the bound itself"},
    {"as an amount", MEAN "margin: 30 mg/L", "the margin is as wide as the bound itself"},
};

static bool is_told(const struct farmfile_problems *problems, const char *words)
{
    for (size_t i = 0; i < problems->count; i++)
        if (strstr(problems->items[i].words, words))
            return true;

    return false;
}

static void what_could_not_be_meant_is_told(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(wrong); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = with_choices(mem, wrong[i].choices);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
            fail_msg("%s: taken", wrong[i].reason);
        if (!is_told(&problems, wrong[i].words))
            fail_msg("%s: %s", wrong[i].reason, err.text);
    }
}

/* Near to what is refused, and meant by licences. */
static const struct {
    const char *reason;
    const char *choices;
} right[] = {
    {"a range that begins at 0", EVERY "statistic: value\nperiod: month\nfrom: 0 to 30"},
    {"no bacteria at all",
     "station: out\nparameter: ecoli-cfu\nunit: CFU/100 mL\nrounding: none\neach day: every "
     "reading\nstatistic: value\nperiod: month\nnot above: 0"},
    {"all of a share", SHARE "not below: 100"},
    {"no value beyond", COUNT "not above: 0"},
    {"all the hours of a day but one that is put back",
     EVERY "samples: probe\nreading stands: 20 minutes\nbetween readings: half-way\ntime in: "
           "hours\nperiod: day\nnot above: 24\nstatistic: time outside\ncounts above: 3"},
    {"a probe's change within what it stands",
     EVERY "samples: probe\nless-thans: half\nstatistic: greatest rate\nrate per: "
           "hour\ndirection: rise\nreading stands: 1 hour\nperiod: day\nnot above: 2"},
    {"9 of the last 10",
     EVERY "statistic: count beyond\ncounts above: 43\nperiod: last samples\nlast samples: 10\n"
           "replicates: each by itself\nnot above: 9"},
    {"all that is in the water taken out",
     EVERY "less-thans: half\nstatistic: mean\nperiod: month\nnot below: 100\n" PAIRED(
         "percent removal")},
    {"a geometric mean of each place, then the difference",
     EVERY "less-thans: half\nstatistic: geometric mean\nperiod: month\nnot above: 9\ncompared "
           "with: {station: intake, as: difference, paired: figures of the period}"},
    {"a difference that may be below 0", EVERY
     "less-thans: half\nstatistic: mean\nperiod: month\nnot above: -1\n" PAIRED("difference")},
    {"a temperature below 0", OF_TEMPERATURE "statistic: value\nperiod: month\nnot below: -1.5"},
};

static void what_lies_near_it_is_taken(void **state)
{
    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(right); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = with_choices(mem, right[i].choices);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;

        if (!farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
            fail_msg("%s: %s", right[i].reason, err.text);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(what_could_not_be_meant_is_told),
        cmocka_unit_test(what_lies_near_it_is_taken),
    };

    return cmocka_run_group_tests_name("farmfile/limit_sense", tests, load_units, free_units);
}
