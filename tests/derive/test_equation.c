/* Every equation once, from readings to digits, against what its publication prints. */
#include "derive/asked.h"

#include "harness/near.h"

static const struct row {
    const char *equation, *settings, *made;
    struct asked_input inputs[ASKED_MOST];
    const char *unit;
    double expected, tolerance;
    const char *source;
} rows[] = {
    {"practical salinity",
     "depth=0",
     "salinity",
     {{NULL, "conductivity", NULL, "42.914", "mS/cm"},
      {NULL, "temperature", NULL, "14.9964", "degC"}},
     NULL,
     35.0,
     0.0001,
     "UNESCO 44, page 12: conductivity ratio 1 at 15 degC (IPTS-68) is 35"},
    {"practical salinity with Hill",
     "depth=0",
     "salinity",
     {{NULL, "conductivity", NULL, "42914", "uS/cm"},
      {NULL, "temperature", NULL, "58.99352", "degF"}},
     NULL,
     35.0,
     0.0001,
     "the same in other units"},
    {"Practical-Salinity with Hill as published",
     "depth=0",
     "salinity",
     {{NULL, "conductivity", NULL, "42.914", "mS/cm"},
      {NULL, "temperature", NULL, "14.9964", "degC"}},
     NULL,
     35.0,
     0.001,
     "UNESCO 44; Hill's term is below 0.001 at 35"},
    {"specific conductance straight line",
     "alpha=0.0191",
     "conductivity",
     {{NULL, "conductivity", "intake", "1.000", "mS/cm"},
      {NULL, "temperature", NULL, "20", "degC"}},
     "uS/cm",
     1105.6,
     0.05,
     "APHA 2510 B, by hand: 1000 / (1 - 0.0191 x 5)"},
    {"specific conductance natural water",
     NULL,
     "conductivity",
     {{NULL, "conductivity", "intake", "1.000", "mS/cm"},
      {NULL, "temperature", NULL, "20", "degC"}},
     NULL,
     1.116,
     0.0005,
     "ISO 7888:1985, table of f25: 1.116 at 20.0 degC"},
    {"specific conductance sea water",
     "depth=0",
     "conductivity",
     {{NULL, "conductivity", "intake", "42.914", "mS/cm"},
      {NULL, "temperature", NULL, "14.9964", "degC"}},
     NULL,
     53.0,
     0.1,
     "common practice: standard sea water is 53.0 mS/cm at 25 degC"},
    {"density EOS-80",
     "depth=0",
     "density",
     {{NULL, "salinity", NULL, "35", "PSU"}, {NULL, "temperature", NULL, "24.9940014", "degC"}},
     NULL,
     1023.343,
     0.0006,
     "UNESCO 44, page 19: 35, 25 degC, 0 dbar"},
    {"density EOS-80",
     "depth=0 salinity=0",
     "density",
     {{NULL, "temperature", NULL, "4.99880029", "degC"}},
     NULL,
     999.96675,
     0.00006,
     "UNESCO 44, page 19: 0, 5 degC, 0 dbar"},
    {"density TEOS-10",
     "depth=0",
     "density",
     {{NULL, "salinity", NULL, "35", "PSU"}, {NULL, "temperature", NULL, "24.9940014", "degC"}},
     NULL,
     1023.343,
     0.006,
     "the two equations differ by 0.006 at most at the surface"},
    {"oxygen saturation",
     "pressure=sea_level salinity=0",
     "oxygen-saturation",
     {{NULL, "oxygen", NULL, "8.263", "mg/L"}, {NULL, "temperature", NULL, "25", "degC"}},
     NULL,
     100.0,
     0.01,
     "APHA 4500-O, table of saturation: 8.263 mg/L at 25 degC, 1 atm"},
    {"oxygen saturation",
     "pressure=local",
     "oxygen-saturation",
     {{NULL, "oxygen", NULL, "9.092", "mg/L"},
      {NULL, "temperature", NULL, "20", "degC"},
      {NULL, "salinity", NULL, "0", "PSU"},
      {"air pressure", "air", "intake", "101.325", "kPa"}},
     NULL,
     100.0,
     0.01,
     "APHA 4500-O, table of saturation: 9.092 mg/L at 20 degC, 1 atm"},
    {"oxygen from percent",
     "pressure=local altitude=0 salinity=0",
     "oxygen",
     {{NULL, "oxygen-saturation", NULL, "100", "%"}, {NULL, "temperature", NULL, "20", "degC"}},
     NULL,
     9.092,
     0.0006,
     "APHA 4500-O, table of saturation: 9.092 mg/L at 20 degC, 1 atm"},
    {"oxygen at saturation",
     "pressure=local air_pressure=101.325 salinity=0",
     "oxygen",
     {{NULL, "temperature", NULL, "10", "degC"}},
     NULL,
     11.288,
     0.0021,
     "APHA 4500-O, table of saturation: 11.288 mg/L at 10 degC, 1 atm"},
    {"un-ionised ammonia",
     "ammonia_form=emerson-273.2 pH_scale=NBS salinity=0",
     "toxic",
     {{NULL, "ammonia", NULL, "1.00", "mg/L"},
      {NULL, "ph", NULL, "8.0", "pH"},
      {NULL, "temperature", NULL, "20", "degC"}},
     NULL,
     0.0382,
     0.00005,
     "the table of Emerson 1975 and Thurston 1979, from memory: 3.82 percent"},
    {"un-ionised ammonia",
     "ammonia_form=bower-bidwell pH_scale=NBS",
     "toxic-nh3",
     {{NULL, "ammonia", NULL, "1.00", "mg/L"},
      {NULL, "ph", NULL, "8.0", "pH"},
      {NULL, "temperature", NULL, "20", "degC"},
      {NULL, "salinity", NULL, "34", "PSU"}},
     NULL,
     0.0299 * 1.2159,
     0.0003,
     "Bower and Bidwell 1978, equation by hand: 1/(1+10^(9.512-8)) is 2.99 percent"},
    {"nutrient basis",
     NULL,
     "nitrate-ion",
     {{NULL, "nitrate", NULL, "10.0", "mg/L"}},
     NULL,
     44.268,
     0.0005,
     "IUPAC masses: 62.0049 / 14.0067"},
    {"v-notch-90-cone",
     "zero_at=0",
     "flow",
     {{NULL, "level", NULL, "0.5", "ft"}},
     "cfs",
     0.4463,
     0.00005,
     "USBR, Water Measurement Manual, ch. 7, Q = 2.49 H^2.48"},
    {"v-notch-kindsvater-shen",
     "zero_at=0 notch_angle=90",
     "flow",
     {{NULL, "level", NULL, "1.00", "ft"}},
     "cfs",
     2.4918,
     0.00006,
     "USBR, Water Measurement Manual, ch. 7, eq. 7-3"},
    {"v-notch-iso-1438",
     "zero_at=0.05 notch_angle=90",
     "flow",
     {{NULL, "level", NULL, "25", "cm"}},
     "m3/s",
     0.024682,
     0.0000005,
     "ISO 1438, from memory: head 0.20 m over a zero of 0.05 m"},
    {"v-notch-60-table",
     "zero_at=0",
     "flow",
     {{NULL, "level", NULL, "0.30", "ft"}},
     "gpm",
     31.92,
     0.03,
     "discharge tables that cite ASTM D5242-92 (2001)"},
    {"v-notch-45-table",
     "zero_at=0",
     "flow",
     {{NULL, "level", NULL, "0.30", "ft"}},
     "L/s",
     1.445,
     0.002,
     "discharge tables that cite ASTM D5242-92 (2001)"},
    {"rectangular-contracted",
     "zero_at=0 crest=0.6096",
     "flow",
     {{NULL, "level", NULL, "0.5", "ft"}},
     "cfs",
     2.2369,
     0.00006,
     "Francis, from memory"},
    {"rectangular-suppressed",
     "zero_at=0 crest=0.6096",
     "flow",
     {{NULL, "level", NULL, "0.5", "ft"}},
     "cfs",
     2.3547,
     0.00006,
     "Francis, from memory"},
    {"rectangular-crest-height",
     "zero_at=0 crest=0.6096 crest_height=0.3048",
     "flow",
     {{NULL, "level", NULL, "0.5", "ft"}},
     "cfs",
     2.3310,
     0.00006,
     "stormwater design manual of 2014, eq. 6"},
    {"rectangular-iso-1438",
     "zero_at=0 crest=1 crest_height=0.3",
     "flow",
     {{NULL, "level", NULL, "0.10", "m"}},
     "m3/s",
     0.0593,
     0.0005,
     "ISO 1438, from memory, by hand: 0.627 x 2.9525 x 0.9991 x 0.101^1.5"},
    {"cipolletti",
     "zero_at=0 crest=0.6096",
     "flow",
     {{NULL, "level", NULL, "0.5", "ft"}},
     "cfs",
     2.3808,
     0.00006,
     "Cipolletti, from memory"},
    {"parshall-english",
     "zero_at=0 throat=6_in",
     "flow",
     {{NULL, "level", NULL, "0.50", "ft"}},
     "cfs",
     0.6890,
     0.00006,
     "Parshall's coefficients, from memory"},
    {"parshall-si",
     "zero_at=0 throat=2_ft",
     "flow",
     {{NULL, "level", NULL, "0.50", "ft"}},
     "cfs",
     2.7309,
     0.00006,
     "Parshall's coefficients, from memory"},
    {"load",
     NULL,
     "load",
     {{"concentration", "suspended-solids", NULL, "20", "mg/L"},
      {NULL, "flow", NULL, "1.5", "MGD"}},
     "lb/day",
     250.36213,
     0.0001,
     "by the units: 8.345404452 x 20 x 1.5"},
    {"net load",
     NULL,
     "load",
     {{"concentration", "suspended-solids", NULL, "20", "mg/L"},
      {NULL, "flow", NULL, "1000", "m3/day"},
      {"concentration before", "suspended-solids", "intake", "5", "mg/L"}},
     NULL,
     15.0,
     0,
     "arithmetic"},
    {"net load",
     NULL,
     "load",
     {{"concentration", "suspended-solids", NULL, "20", "mg/L"},
      {NULL, "flow", NULL, "1000", "m3/day"},
      {"concentration before", "suspended-solids", "intake", "5", "mg/L"},
      {"flow before", "flow", "intake", "1200", "m3/day"}},
     NULL,
     14.0,
     0,
     "arithmetic"},
    {"percent removal",
     NULL,
     "share",
     {{"after", "suspended-solids", NULL, "30", "mg/L"},
      {"before", "suspended-solids", "intake", "200", "mg/L"}},
     NULL,
     85.0,
     0,
     "40 CFR 133.101, as defined: 85 percent of 200 leaves 30"},
    {"difference",
     NULL,
     "suspended-solids",
     {{"after", "suspended-solids", NULL, "12.5", "mg/L"},
      {"before", "suspended-solids", "intake", "4000", "ug/L"}},
     NULL,
     8.5,
     0,
     "arithmetic"},
    {"temperature rise",
     NULL,
     "rise",
     {{"after", "temperature", NULL, "68", "degF"},
      {"before", "temperature", "intake", "17.5", "degC"}},
     NULL,
     2.5,
     0,
     "arithmetic: 68 degF is 20 degC"},
};

static void every_equation_gives_what_is_published(void **state)
{
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct row *row = &rows[i];
        const char *words = asked_words(given, asked_given(given, row->equation, row->settings,
                                                           row->inputs, row->made, row->unit));
        char *end = NULL;
        double value = strtod(words, &end);

        if (end == words || *end != '\0')
            fail_msg("%s: %s", row->equation, words);
        if (!(fabs(value - row->expected) <= row->tolerance))
            fail_msg("%s is %s, and %.9g by %s", row->equation, words, row->expected, row->source);
    }
}

/* Volume asks for a span, which the rows above don't have. */
static void a_span_of_flow_is_a_volume(void **state)
{
    static const struct asked_input inputs[ASKED_MOST] = {{NULL, "flow", NULL, "400", "L/min"}};
    struct given *given = *state;
    const struct derivation *volume =
        asked_given(given, "volume of a span", NULL, inputs, "volume", "L");

    assert_string_equal(asked_words(given, volume),
                        "volume not given: the flow is of an instant, and a volume is that of a "
                        "span of time");
    given->readings[0][0].until = given->readings[0][0].at + 250 * 60 * SECOND_US;
    /* Common practice, no source: 100,000 L at 400 L/min take 250 min. */
    assert_string_equal(asked_words(given, volume), "100000");
}

static void every_equation_is_tried(void **state)
{
    const struct equation *equation;

    (void)state;
    for (size_t i = 0; (equation = equation_at(i)); i++) {
        bool is_tried = strcmp(equation->word, "volume of a span") == 0;

        for (size_t k = 0; k < ARRAY_LEN(rows); k++) {
            const struct equation *found = NULL;
            struct err err = ERR_INIT;

            assert_done(equation_find(rows[k].equation, &found, &err), &err);
            is_tried = is_tried || found == equation;
        }
        if (!is_tried)
            fail_msg("%s is not tried", equation->word);
    }
}

/* A shut outlet left the head at 0 or a little under it, and each such reading was a gap. */
static void water_at_or_under_the_crest_is_no_flow(void **state)
{
    static const struct {
        const char *equation, *settings, *level;
        const char *flow; /* NULL: not given */
    } heads[] = {
        {"v-notch-iso-1438", "zero_at=0 notch_angle=90", "0", "0"},
        {"v-notch-90-cone", "zero_at=0.10", "0.10", "0"},
        {"rectangular-contracted", "zero_at=0.3 crest=1", "0.3", "0"},
        {"parshall-si", "zero_at=0 throat=6_in", "0.000", "0"},
        {"v-notch-90-cone", "zero_at=0.10", "0.099", "0"},
        {"v-notch-90-cone", "zero_at=0.10", "-0.25", "0"}, /* 0.35 m under it; 0.381 is the most */
        {"v-notch-90-cone", "zero_at=0.10", "-0.29", NULL},
        {"parshall-si", "zero_at=0.2 throat=6_in", "0.15", "0"},
        {"v-notch-iso-1438", "zero_at=0 notch_angle=90", "0.01", NULL},
        {"v-notch-iso-1438", "zero_at=0 notch_angle=90", "-9.99", NULL},
    };

    for (size_t i = 0; i < ARRAY_LEN(heads); i++) {
        struct given *given = *state;
        const struct asked_input inputs[ASKED_MOST] = {{NULL, "level", NULL, heads[i].level, "m"}};
        const struct derivation *derivation;
        struct derived derived;

        given_again(given);
        derivation = asked_given(given, heads[i].equation, heads[i].settings, inputs, "flow", NULL);
        derived = derive(given->mem, derivation, &given->evidence);
        if ((derived.not_given_count == 0) != (heads[i].flow != NULL))
            fail_msg("%s at %s", heads[i].equation, heads[i].level);
        if (heads[i].flow)
            assert_string_equal(
                decimal_text(given->mem, derived.series[0].readings[0].first_reported),
                heads[i].flow);
    }
}

/* Inputs outside the published range of each kind of equation. */
static void outside_its_range_an_equation_gives_nothing_and_says_so(void **state)
{
    static const struct {
        const char *equation, *settings, *made;
        struct asked_input inputs[ASKED_MOST];
        const char *words;
    } outside[] = {
        {"practical salinity",
         "depth=0",
         "salinity",
         {{NULL, "conductivity", NULL, "50", "mS/cm"}, {NULL, "temperature", NULL, "45.2", "degC"}},
         "salinity not given: the temperature is 45.2"},
        {"practical salinity",
         "depth=0",
         "salinity",
         {{NULL, "conductivity", NULL, "0.5", "mS/cm"}, {NULL, "temperature", NULL, "20", "degC"}},
         "salinity not given: the practical salinity is 0.269"},
        {"oxygen saturation",
         "pressure=local air_pressure=40 salinity=0",
         "oxygen-saturation",
         {{NULL, "oxygen", NULL, "8", "mg/L"}, {NULL, "temperature", NULL, "20", "degC"}},
         "oxygen-saturation not given: the air pressure is"},
        {"un-ionised ammonia",
         "ammonia_form=bower-bidwell pH_scale=NBS",
         "toxic",
         {{NULL, "ammonia", NULL, "1.00", "mg/L"},
          {NULL, "ph", NULL, "8.0", "pH"},
          {NULL, "temperature", NULL, "20", "degC"},
          {NULL, "salinity", NULL, "20", "PSU"}},
         "toxic not given: the practical salinity is 20"},
        {"v-notch-90-cone",
         "zero_at=0.10",
         "flow",
         {{NULL, "level", NULL, "0.12", "m"}},
         "flow not given: head is 0.02 m: v-notch-90-cone holds from"},
        {"v-notch-90-cone",
         "zero_at=0.10",
         "flow",
         {{NULL, "level", NULL, "-0.35", "m"}},
         "flow not given: head is -0.45 m"},
        {"parshall-si",
         "zero_at=0 throat=6_in",
         "flow",
         {{NULL, "level", NULL, "0.30", "m"}, {"level downstream", "level", "intake", "0.25", "m"}},
         "flow not given: the water downstream stands at 0.25 m"},
        {"percent removal",
         NULL,
         "share",
         {{"after", "suspended-solids", NULL, "0", "mg/L"},
          {"before", "suspended-solids", "intake", "0", "mg/L"}},
         "share not given: there was nothing before"},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(outside); i++) {
        const char *words =
            asked_words(given, asked_given(given, outside[i].equation, outside[i].settings,
                                           outside[i].inputs, outside[i].made, NULL));

        if (strncmp(words, outside[i].words, strlen(outside[i].words)) != 0)
            fail_msg("%s: expected %s, got %s", outside[i].equation, outside[i].words, words);
    }
}

static void the_equation_is_named_with_what_was_chosen(void **state)
{
    static const struct {
        const char *equation, *settings, *made;
        struct asked_input inputs[ASKED_MOST];
        const char *has[3];
    } named[] = {
        {"oxygen saturation",
         "pressure=local altitude=12 salinity=34",
         "oxygen-saturation",
         {{NULL, "oxygen", NULL, NULL, NULL}, {NULL, "temperature", NULL, NULL, NULL}},
         {"local air pressure", "12 m", "Benson and Krause 1984"}},
        {"un-ionised ammonia",
         "ammonia_form=clegg-whitfield pH_scale=total",
         "toxic",
         {{NULL, "ammonia", NULL, NULL, NULL},
          {NULL, "ph", NULL, NULL, NULL},
          {NULL, "temperature", NULL, NULL, NULL},
          {NULL, "salinity", NULL, NULL, NULL}},
         {"as N", "Clegg and Whitfield 1995", "total scale"}},
        {"v-notch-iso-1438",
         "zero_at=0 notch_angle=60 coefficient=0.577 head_added=0.0011",
         "flow",
         {{NULL, "level", NULL, NULL, NULL}},
         {"notch 60 degrees", "coefficient 0.577", "ISO 1438"}},
        {"parshall-english",
         "zero_at=0 throat=9_in",
         "flow",
         {{NULL, "level", NULL, NULL, NULL}},
         {"9 in", "3.07 h^1.53", "ft3/s"}},
    };
    struct given *given = *state;

    for (size_t i = 0; i < ARRAY_LEN(named); i++) {
        const struct derivation *derivation = asked_given(
            given, named[i].equation, named[i].settings, named[i].inputs, named[i].made, NULL);

        for (size_t k = 0; k < ARRAY_LEN(named[i].has); k++)
            if (!strstr(derivation->words, named[i].has[k]))
                fail_msg("'%s' is not in '%s'", named[i].has[k], derivation->words);
    }
}

#define CASE(test) cmocka_unit_test_setup_teardown(test, given_new, given_done)

int main(void)
{
    const struct CMUnitTest tests[] = {
        CASE(every_equation_gives_what_is_published),
        CASE(a_span_of_flow_is_a_volume),
        cmocka_unit_test(every_equation_is_tried),
        CASE(water_at_or_under_the_crest_is_no_flow),
        CASE(outside_its_range_an_equation_gives_nothing_and_says_so),
        CASE(the_equation_is_named_with_what_was_chosen),
    };

    return cmocka_run_group_tests_name("derive/equation", tests, NULL, NULL);
}
