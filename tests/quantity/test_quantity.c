#include <math.h>
#include <string.h>

#include "base/str.h"
#include "harness/near.h"
#include "quantity/quantity.h"

enum { GIVEN_MOST = 8 };

struct fixture {
    struct arena *mem;
    struct units *units;
};

static int setup(void **state)
{
    struct fixture *fixture = test_malloc(sizeof(*fixture));
    struct err err = ERR_INIT;

    *fixture = (struct fixture){.mem = arena_new()};
    *state = fixture;

    return units_load(&fixture->units, &err) ? 0 : -1;
}

static int teardown(void **state)
{
    struct fixture *fixture = *state;

    units_free(&fixture->units);
    arena_free(&fixture->mem);
    test_free(fixture);

    return 0;
}

/* "a=1;b=2" as pairs. */
static size_t pairs_of(struct arena *mem, const char *text, struct quantity_given *out)
{
    size_t count = 0;

    for (const char *at = text; *at; count++) {
        size_t length = strcspn(at, ";");
        char *part = arena_strndup(mem, at, length);
        char *equals = strchr(part, '=');

        *equals = '\0';
        out[count] = (struct quantity_given){.name = part, .text = equals + 1};
        at += length + (at[length] == ';');
    }

    return count;
}

static bool ask(struct fixture *fixture, const char *word, const char *inputs,
                struct quantity_asked **asked, struct quantity_answer *answer, struct err *err)
{
    struct quantity_given given[GIVEN_MOST];
    size_t count = pairs_of(fixture->mem, inputs, given);
    const struct quantity *quantity = NULL;

    return quantity_require(fixture->mem, word, &quantity, err) &&
           quantity_ask(fixture->mem, fixture->units, quantity, given, count, asked, err) &&
           quantity_work_out(fixture->mem, *asked, answer, err);
}

static double answer_of(struct fixture *fixture, const char *word, const char *inputs)
{
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;
    struct err err = ERR_INIT;

    assert_done(ask(fixture, word, inputs, &asked, &answer, &err), &err);
    assert_true(answer.figures[0].known);

    return answer.figures[0].number;
}

/* --- the tables ------------------------------------------------------------------------------ */

static void check_inputs(const struct quantity *quantity)
{
    for (size_t i = 0; quantity->inputs[i].name; i++) {
        const struct quantity_input *input = &quantity->inputs[i];

        assert_true(i < QUANTITY_INPUTS_MOST);
        assert_true((input->kind == QUANTITY_WORD) == (input->word_at != NULL));
        assert_null(strpbrk(input->name, " ="));
        for (size_t k = 0; k < i; k++)
            assert_string_not_equal(input->name, quantity->inputs[k].name);
    }
}

static void every_row_says_what_a_person_needs(void **state)
{
    const struct quantity_family *family;

    (void)state;
    for (size_t i = 0; (family = quantity_family_at(i)); i++) {
        assert_false(str_empty(family->word));
        for (size_t k = 0; k < family->count; k++) {
            const struct quantity *quantity = &family->rows[k];

            assert_false(str_empty(quantity->equation));
            assert_false(str_empty(quantity->source));
            assert_false(str_empty(quantity->range));
            assert_false(str_empty(quantity->example));
            assert_non_null(quantity->figures[0].name);
            assert_ptr_equal(quantity_find(quantity->word), quantity);
            assert_ptr_equal(quantity_family_of(quantity), family);
            check_inputs(quantity);
        }
    }
}

/* What stands for an input that is not given has to be readable itself. */
static void what_stands_for_the_rest_can_be_read(void **state)
{
    struct fixture *fixture = *state;
    const struct quantity_family *family;

    for (size_t i = 0; (family = quantity_family_at(i)); i++) {
        for (size_t k = 0; k < family->count; k++) {
            const struct quantity *quantity = &family->rows[k];

            for (const struct quantity_input *input = quantity->inputs; input->name; input++) {
                struct quantity alone = {.word = quantity->word, .inputs = {*input}};
                struct quantity_asked *asked = NULL;
                struct err err = ERR_INIT;

                if (input->otherwise)
                    assert_done(
                        quantity_ask(fixture->mem, fixture->units, &alone, NULL, 0, &asked, &err),
                        &err);
            }
        }
    }
}

static void words_are_found_in_any_case_and_with_hyphens(void **state)
{
    (void)state;
    assert_non_null(quantity_find("practical salinity"));
    assert_ptr_equal(quantity_find("Practical-Salinity"), quantity_find("practical salinity"));
    assert_ptr_equal(quantity_find("flow over a v-notch weir"),
                     quantity_find("flow over a V notch weir"));
    assert_null(quantity_find("practical"));
    assert_null(quantity_find("practical salinity of"));
    assert_null(quantity_find(""));
}

/* --- answers --------------------------------------------------------------------------------- */

static void units_come_to_that_of_the_row(void **state)
{
    static const struct {
        const char *word;
        const char *inputs;
        const char *same;
        const char *why;
    } rows[] = {
        {"oxygen solubility", "temperature=68 degF;salinity=0", "temperature=20;salinity=0",
         "a unit with an offset"},
        {"oxygen solubility", "temperature=20degC;salinity=0;air-pressure=101.325 kPa",
         "temperature=20;salinity=0", "no blank before the unit; kPa to atm"},
        {"practical salinity", "conductivity=5 S/m;temperature=20",
         "conductivity=50;temperature=20", "S/m to mS/cm"},
        {"sea water density", "salinity=35 ppt;temperature=15", "salinity=35;temperature=15",
         "ppt is a unit of salinity and of nothing else"},
        {"residence time", "volume=100000 L;flow=400 L/min", "volume=100;flow=24", "litres"},
        {"turnovers to replace water", "share=95 %", "share=0.95", "percent of a share"},
        {"load", "concentration=22000 ug/L;flow=720", "concentration=22;flow=720", "ug/L"},
        {"mixture of flows", "flows=3,1 L/s;values=34,2", "flows=10.8,3.6;values=34,2",
         "one unit after a list"},
        {"percentile", "values=3, 1 ,2 mg/L;share=.5;definition=hazen",
         "values=3,1,2;share=0.5;definition=Hazen", "blanks, a bare point, a word in any case"},
        {"mean", "values=1e3,1E3", "values=1000,1000", "powers of ten"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(answer_of(*state, rows[i].word, rows[i].inputs),
                    answer_of(*state, rows[i].word, rows[i].same), 1e-9, rows[i].why);
}

static void what_is_given_stands_before_what_is_not(void **state)
{
    /* UNESCO Technical Papers in Marine Science 44 (1983), page 9. */
    assert_near(answer_of(*state, "practical salinity from a ratio",
                          "ratio=1.2;temperature=20;pressure=2000;temperature-scale=ipts-68"),
                37.245628, 1e-6, "UNESCO 44, page 9");
    assert_near(
        answer_of(*state, "flow over a V-notch weir", "head=0.3 ft;equation=v-notch-60-table") /
            (0.3048 * 0.3048 * 0.3048),
        0.0711, 0.0001, "discharge tables that cite ASTM D5242-92 (2001)");
}

static void an_answer_names_the_equation_that_was_chosen(void **state)
{
    struct fixture *fixture = *state;
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;
    struct err err = ERR_INIT;

    assert_done(ask(fixture, "un-ionised ammonia", "pH=8;temperature=20;equation=emerson-273.2",
                    &asked, &answer, &err),
                &err);
    assert_non_null(strstr(answer.equation, "Emerson 1975"));
    assert_non_null(strstr(answer.range, "NBS"));
    assert_false(answer.figures[2].known); /* no total was given */
    assert_done(ask(fixture, "percentile", "values=1,2,3;share=0.9;definition=Weibull", &asked,
                    &answer, &err),
                &err);
    assert_non_null(strstr(answer.equation, "Weibull"));
    assert_non_null(answer.note); /* three values can't tell a 90th percentile */
}

static void a_figure_can_be_told_in_another_unit(void **state)
{
    struct fixture *fixture = *state;
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;
    struct quantity_value value;
    struct err err = ERR_INIT;

    assert_done(ask(fixture, "another unit", "value=100 gpm", &asked, &answer, &err), &err);
    assert_done(
        quantity_figure_in(fixture->mem, asked, 0, &answer.figures[0], "m3/h", &value, &err), &err);
    assert_near(value.number, 22.7124707, 1e-6, "NIST SP 811 (2008)");
    assert_fails(
        quantity_figure_in(fixture->mem, asked, 0, &answer.figures[0], "mg/L", &value, &err),
        ERR_INVALID, &err);
    assert_fails(
        quantity_figure_in(fixture->mem, asked, 0, &answer.figures[0], "firkle", &value, &err),
        ERR_NOT_FOUND, &err);
    assert_done(ask(fixture, "another unit", "value=2 mg/L", &asked, &answer, &err), &err);
    assert_fails(
        quantity_figure_in(fixture->mem, asked, 0, &answer.figures[0], "mg NO3/L", &value, &err),
        ERR_INVALID, &err);
    assert_done(ask(fixture, "temperature rise", "before=15;after=17.9", &asked, &answer, &err),
                &err);
    assert_done(
        quantity_figure_in(fixture->mem, asked, 0, &answer.figures[0], "degF rise", &value, &err),
        &err);
    assert_near(value.number, 5.22, 1e-12, "a rise has no offset of 32");
    assert_done(ask(fixture, "oxygen pressure factor", "temperature=15;air-pressure=0.95", &asked,
                    &answer, &err),
                &err);
    assert_fails(
        quantity_figure_in(fixture->mem, asked, 0, &answer.figures[0], "mg/L", &value, &err),
        ERR_INVALID, &err);
}

static void figures_show_their_digits_and_ends(void **state)
{
    struct fixture *fixture = *state;
    struct quantity_value less = {.known = true, .qualifier = '<', .number = 3.05};
    struct quantity_value endless = {.known = true, .qualifier = '=', .number = INFINITY};

    assert_string_equal(quantity_value_text(fixture->mem, &less, 2), "<3.1");
    assert_string_equal(quantity_value_text(fixture->mem, &endless, 2), "no end");
    less.exact = exact_from_int(fixture->mem, 1100);
    assert_string_equal(quantity_value_text(fixture->mem, &less, 2), "<1100");
}

static void tubes_that_all_agree_have_no_number(void **state)
{
    struct fixture *fixture = *state;
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;
    struct err err = ERR_INIT;

    /* Ridout 1994, table 1: 0 (0 to 9.0), and no end (465.1 to no end). */
    assert_done(ask(fixture, "most probable number",
                    "positive=0,0,0;tubes=3,3,3;amounts=0.1,0.01,0.001;per=1", &asked, &answer,
                    &err),
                &err);
    assert_int_equal(answer.figures[0].qualifier, '<');
    assert_near(answer.figures[1].number, 0, 0, "Ridout 1994");
    assert_near(answer.figures[3].number, 9.0, 0.05, "Ridout 1994");
    assert_done(ask(fixture, "most probable number",
                    "positive=3,3,3;tubes=3,3,3;amounts=0.1,0.01,0.001;per=1", &asked, &answer,
                    &err),
                &err);
    assert_int_equal(answer.figures[0].qualifier, '>');
    assert_true(isinf(answer.figures[1].number));
    assert_near(answer.figures[2].number, 465.1, 0.1, "Ridout 1994");
    assert_true(isinf(answer.figures[3].number));
}

static void a_rare_pattern_is_told(void **state)
{
    struct fixture *fixture = *state;
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;
    struct err err = ERR_INIT;

    /* Blodgett 2002, table 4: 2.91e-13 for 0-2-5, and 1 for 3-0-0. */
    assert_done(ask(fixture, "most probable number",
                    "positive=0,2,5;tubes=5,5,5;amounts=1,0.1,0.01;per=1", &asked, &answer, &err),
                &err);
    assert_non_null(answer.note);
    assert_done(ask(fixture, "most probable number",
                    "positive=3,0,0;tubes=5,5,5;amounts=1,0.1,0.01;per=1", &asked, &answer, &err),
                &err);
    assert_null(answer.note);
}

/*
 * Air that comes in bends a fall: the line through all of it is late at first. By hand: 6 mg/L an
 * hour in the first two thirds of the half hour, 0.6 after.
 */
static void the_rate_to_act_on_is_never_slower_than_the_first_half(void **state)
{
    struct fixture *fixture = *state;
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;
    struct err err = ERR_INIT;

    assert_done(ask(fixture, "fall of oxygen while the pump is off",
                    "times=0,5,10,15,20,25,30,35,40min;"
                    "oxygen=8,7.5,7,6.5,6.45,6.4,6.35,6.3,6.25",
                    &asked, &answer, &err),
                &err);
    assert_near(answer.figures[3].number, 5.0, 0.3, "the first half of the time, by hand");
    assert_true(answer.figures[2].number < answer.figures[3].number);
    assert_near(answer.figures[4].number, answer.figures[3].number, 1e-12, "the faster of the two");
    assert_string_equal(asked->quantity->figures[4].name, "to act on, the faster of these two");
}

static void a_zero_in_a_geometric_mean_is_told(void **state)
{
    struct fixture *fixture = *state;
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;
    struct err err = ERR_INIT;

    assert_done(ask(fixture, "geometric mean", "values=0,1,10", &asked, &answer, &err), &err);
    assert_near(answer.figures[0].number, 0, 0, "a product with a 0 in it");
    assert_non_null(answer.note);
    assert_fails(ask(fixture, "geometric mean", "values=-1,0,10", &asked, &answer, &err),
                 ERR_INVALID, &err);
}

/* --- what is refused ------------------------------------------------------------------------- */

static void what_is_wrong_is_named_with_what_to_do(void **state)
{
    static const struct {
        const char *word;
        const char *inputs;
        const char *said;
        const char *todo;
    } rows[] = {
        {"practical salinity", "conductivity=50", "no temperature given", "temperature="},
        {"practical salinity",
         "conductivity=50;temperature=", "nothing stands behind temperature=", "in degC"},
        {"practical salinity", "conductivity=50;temperature=warm", "'warm' is no number",
         "in degC"},
        {"practical salinity", "conductivity=50;temperature=20,5", "'20,5' is no number",
         "temperature=NUMBER"},
        {"practical salinity", "conductivity=50;temperature=20;temp=3", "takes no 'temp'",
         "It takes: conductivity"},
        {"practical salinity", "conductivity=50;temperature=20;presure=3", "takes no 'presure'",
         "Did you mean pressure?"},
        {"practical salinity", "conductivity=50;conductivity=51", "given twice", "Leave one"},
        {"practical salinity", "conductivity=50 mg/L;temperature=20",
         "the conductivity can't be in mg/L: mS/cm was expected", "Give it in mS/cm"},
        {"practical salinity", "conductivity=50 firkle;temperature=20", "no unit 'firkle'", ""},
        {"practical salinity", "conductivity=50;temperature=80", "the temperature is 80", ""},
        {"oxygen pressure factor", "temperature=20;air-pressure=600 mb", "not clear", ""},
        {"another unit", "value=2 mg N/L", "without a basis", "nutrient on another basis"},
        {"load", "concentration=2 mg/L as NO3;flow=1", "without a basis", "Write mg/L"},
        {"un-ionised ammonia", "pH=8;temperature=20", "no equation given", "emerson-273.2"},
        {"un-ionised ammonia", "pH=8;temperature=20;equation=best", "can't be 'best'", "khoo"},
        {"mean", "values=", "a number is missing among the values", "values=3.2,1.7"},
        {"mean", "values=1,,2", "a number is missing among the values", "values=3.2,1.7"},
        {"mean", "values=1 mg/L,2", "a unit stands among", "after the last"},
        {"mean", "values=1,<2", "a less-than stands among", "censored mean"},
        {"mean", "values=1,>2", "hold a greater-than", "licence states"},
        {"geometric mean", "values=1,<2", "what it counts as is missing", "less-thans=zero"},
        {"mixture of flows", "flows=1,2,3;values=1,2", "there are 3 flows and 2 values", "each"},
        {"most probable number", "positive=1,0;tubes=3,3,3;amounts=10,1,0.1;per=100",
         "there are 2 positive and 3 amounts", "each"},
        {"most probable number", "positive=1.5,0,0;tubes=3,3,3;amounts=10,1,0.1;per=100",
         "which is no count", "whole numbers"},
        {"percent removal", "in=200 mg/L;out=24 ug/L", "another input is in mg/L", "one unit"},
        {"percent removal", "in=0;out=0", "nothing came in", "above 0"},
        {"water left after a time", "turnovers=1;tanks=1.5", "no whole number", "tanks=1"},
        {"oxygen solubility", "temperature=20;salinity=0;air-pressure=0.9;equation=weiss",
         "for an air pressure of 1 atm", "benson-krause"},
        {"flow over a rectangular weir", "head=0.1;crest=0.5;equation=rectangular-iso-1438",
         "the crest-height is missing", "crest-height="},
        {"flow over a V-notch weir", "head=2;equation=v-notch-90-cone", "head", ""},
        {"flow over a V-notch weir",
         "head=0.15;angle=90;head-correction=0.001;equation=v-notch-kindsvater-shen",
         "belongs to a coefficient", "coefficient too"},
        {"flow through a Parshall flume", "head=0.2;size=6 in;head-downstream=0.19",
         "too high for free flow", "another way"},
        {"censored mean", "values=1,<2,<3;method=ros", "there is only 1", "at least 3 numbers"},
        {"share of particles below a size", "edges=2,4;counts=1,2;size=3", "2 edges and 2 counts",
         "one edge more"},
        {"time to an oxygen floor", "volume=10;respiration=8;reaeration=0.05;start=7;floor=4",
         "the saturation is missing", "oxygen solubility"},
        {"steady oxygen in a tank", "volume=10;respiration=8;reaeration=0.05;flow=1;inlet=8",
         "the saturation is missing", "saturation=NUMBER"},
        {"mixture of flows", "flows=3,1;values=7.2,8pH", "it is a logarithm", "mean pH"},
        {"value after a change at the inlet", "volume=20;flow=12.5;start=7pH;inlet=8pH;after=2",
         "it is a logarithm", "mean pH"},
        {"percent removal", "in=20degC;out=10degC", "no share", "temperature rise"},
        {"nutrient on another basis", "amount=10 umol/L;from=as N;to=as NO3", "it is no mass",
         "from micromoles"},
        {"specific conductance", "conductivity=45;temperature=10;way=natural-water",
         "the conductivity is 45 mS/cm", "sea-water"},
        {"another unit", "value=5kgal", "no unit 'kgal'", ""},
        {"another unit", "value=5kyr", "no unit 'kyr'", ""},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        struct fixture *fixture = *state;
        struct quantity_asked *asked = NULL;
        struct quantity_answer answer;
        struct err err = ERR_INIT;

        if (ask(fixture, rows[i].word, rows[i].inputs, &asked, &answer, &err))
            fail_msg("%s: %s was taken", rows[i].word, rows[i].inputs);
        if (!strstr(err.text, rows[i].said) || !strstr(err.hint, rows[i].todo))
            fail_msg("%s: %s: '%s' '%s'", rows[i].word, rows[i].inputs, err.text, err.hint);
    }
}

static void the_words_of_the_farm_file_are_taken_too(void **state)
{
    static const struct {
        const char *word, *here, *farm_file;
    } rows[] = {
        {"un-ionised ammonia", "pH=8;temperature=20;equation=emerson-273.2;total-ammonia=1",
         "ph=8;temperature=20;ammonia form=emerson-273.2;ammonia=1"},
        {"flow over a V-notch weir", "head=0.2;angle=60;equation=v-notch-kindsvater-shen",
         "head=0.2;notch angle=60;equation=v-notch-kindsvater-shen"},
        {"flow through a Parshall flume", "head=0.2;size=6 in", "head=0.2;throat=6 in"},
        {"flow over a rectangular weir",
         "head=0.1;crest=0.5;crest-height=0.3;equation=rectangular-iso-1438",
         "head=0.1;crest=0.5;crest height=0.3;equation=rectangular-iso-1438"},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        assert_near(answer_of(*state, rows[i].word, rows[i].farm_file),
                    answer_of(*state, rows[i].word, rows[i].here), 0, rows[i].word);
}

static void a_word_that_is_none_gets_those_near(void **state)
{
    static const struct {
        const char *word;
        const char *todo;
    } rows[] = {
        {"salinity", "'practical salinity'"},
        {"v-notch", "'flow over a V-notch weir'"},
        {"practical salnity", "Did you mean 'practical salinity'?"},
        {"salinty", "Did you mean: 'practical salinity', "},
        {"price of oysters", "'water that oysters filter'"},
        {"ammona in water", "'un-ionised ammonia'"},
        {"price of bread", "weirbook work-out lists"},
        {"", "weirbook work-out lists"},
    };
    struct fixture *fixture = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct quantity *quantity = NULL;
        struct err err = ERR_INIT;

        assert_fails(quantity_require(fixture->mem, rows[i].word, &quantity, &err), ERR_NOT_FOUND,
                     &err);
        assert_non_null(strstr(err.hint, rows[i].todo));
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(every_row_says_what_a_person_needs),
        cmocka_unit_test(what_stands_for_the_rest_can_be_read),
        cmocka_unit_test(words_are_found_in_any_case_and_with_hyphens),
        cmocka_unit_test(units_come_to_that_of_the_row),
        cmocka_unit_test(what_is_given_stands_before_what_is_not),
        cmocka_unit_test(an_answer_names_the_equation_that_was_chosen),
        cmocka_unit_test(a_figure_can_be_told_in_another_unit),
        cmocka_unit_test(figures_show_their_digits_and_ends),
        cmocka_unit_test(the_rate_to_act_on_is_never_slower_than_the_first_half),
        cmocka_unit_test(tubes_that_all_agree_have_no_number),
        cmocka_unit_test(a_rare_pattern_is_told),
        cmocka_unit_test(a_zero_in_a_geometric_mean_is_told),
        cmocka_unit_test(what_is_wrong_is_named_with_what_to_do),
        cmocka_unit_test(the_words_of_the_farm_file_are_taken_too),
        cmocka_unit_test(a_word_that_is_none_gets_those_near),
    };

    return cmocka_run_group_tests_name("quantity/quantity", tests, setup, teardown);
}
