/* Invented files to guessed sources: what is found, what is asked, and that answers are taken. */
#include "ingest/sniff_name.h"
#include "judge/limit.h"
#include "sniff_file.h"

static void names_say_what_they_may_be(void **state)
{
    static const struct {
        const char *name;
        const char *unit;
        const char *keys;
        bool basis_untold;
    } rows[] = {
        {"Temp", NULL, "temperature", false},
        {"Dissolved Oxygen", NULL, "oxygen oxygen-saturation", false},
        {"DO", "mg/L", "oxygen", false},
        {"DO", "%", "oxygen-saturation", false},
        {"DO_mgl", NULL, "oxygen", false},
        {"Turb", NULL, "turbidity-ntu turbidity-fnu", false},
        {"Turbidity", "FNU", "turbidity-fnu", false},
        {"Nitrate", "mg/L", "nitrate", true}, /* as N, or the ion: the name does not say */
        {"Nitrate", "mg/L as N", "nitrate", false},
        {"NO3-N", "mg/L", "nitrate", false},
        {"Total nitrogen", NULL, "total-nitrogen", false}, /* of an element there is no other */
        {"E. coli", "MPN/100 mL", "ecoli-mpn", false},
        {"E. coli", "#/100 mL", "ecoli-cfu ecoli-mpn ecoli-flesh-mpn", false},
        {"ATemp", NULL, "", false}, /* of the air */
        {"Barium", "ug/L", "", false},
    };
    const struct farm *farm = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct sniff_parameters found =
            sniff_name_parameters(mem, farm->units, NULL, rows[i].name, rows[i].unit);
        struct buf keys = buf_new(mem);

        for (size_t k = 0; k < found.count; k++)
            buf_addf(&keys, "%s%s", k ? " " : "", found.items[k]->key);
        if (strcmp(keys.data, rows[i].keys) != 0 || found.basis_untold != rows[i].basis_untold)
            fail_msg("%s in %s: %s, basis untold: %d", rows[i].name,
                     rows[i].unit ? rows[i].unit : "no unit", keys.data, found.basis_untold);
    }
}

static void flags_are_known_by_the_column_they_belong_to(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    (void)state;
    assert_true(sniff_name_flags(mem, "F_Temp", "Temp"));
    assert_true(sniff_name_flags(mem, "Temp flag", "Temp"));
    assert_true(sniff_name_flags(mem, "PRCPattr", "PRCP"));
    assert_false(sniff_name_flags(mem, "TempF", "Temp")); /* in Fahrenheit */
    assert_false(sniff_name_flags(mem, "Temp", "Temp"));
}

/* Four days, each quarter of an hour. */
static const char *logger_text(struct arena *mem, const char *header, const char *date_format,
                               const char *tail)
{
    struct buf text = buf_new(mem);

    buf_addf(&text, "%s\n", header);
    for (int i = 0; i < 4 * 96; i++) {
        int day = 10 + i / 96;
        int minute = i % 96 * 15;

        if (strcmp(date_format, "month-first") == 0)
            buf_addf(&text, "05/%02d/2026 %02d:%02d", day, minute / 60, minute % 60);
        else
            buf_addf(&text, "2026-05-%02d %02d:%02d", day, minute / 60, minute % 60);
        buf_addf(&text, "%s\n", tail);
    }

    return text.data;
}

static void a_plain_logger_leaves_little_to_ask(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;
    const char *text =
        logger_text(mem, "Time (UTC),Temp (degC),DO (mg/L),pH", "month-first", ",12.5,8.25,8.1");

    assert_done(guess_of(mem, farm, true, text, NULL, &guess, &err), &err);
    assert_string_equal(asked(mem, &guess), "station");
    assert_string_equal(guess.source.time_format, "MM/DD/YYYY hh:mm");
    assert_int_equal(guess.source.clock, CLOCK_UTC);
    assert_int_equal(guess.source.kind, KIND_PROBE);
    assert_int_equal(guess.source.decimal, '.');
    assert_int_equal(guess.source.column_count, 3);
    assert_string_equal(guess.source.columns[1].parameter, "oxygen");
    assert_null(guess.source.columns[1].unit); /* its header says it */
    assert_string_equal(guess.source.columns[2].unit, "pH");
    assert_non_null(strstr(fact_of(mem, &guess, "kind"), "every 15 minutes, 383 of 383 times"));
}

/* What is asked, and what is left of it when it is answered. */
static void questions_go_with_their_answers(void **state)
{
    static const struct {
        const char *text;
        const char *asks;
        const char *answers[8];
        const char *why;
    } rows[] = {
        {"Date,Temp (degC)\n03/04/2026,12.5\n10/04/2026,12.6\n",
         "dates date-alone clock station kind",
         {"dates=day-first", "date-alone=whole-day", "clock=local", "station=outlet", "kind=grab"},
         "a date that may be two"},
        {"Time UTC,Cond,Site\n2026-05-01 09:00,32.5,Discharge Point 1\n"
         "2026-05-02 09:00,32.5,Sump\n",
         "station:Sump column:Cond kind",
         {"station Sump=pond", "column Cond=conductivity, mS/cm", "kind=by-hand"},
         "a unit and a station that are not told"},
        {"Time UTC,Nitrate (mg/L)\n2026-05-01 09:00,1.5\n",
         "station column:Nitrate (mg/L) kind",
         {"station=pond", "column Nitrate (mg/L)=nitrate", "kind=grab"},
         "as nitrogen or as the ion"},
        {"Time UTC,Temp (degC),Temp flag\n2026-05-01 09:00,1.5,7\n2026-05-02 09:00,1.5,bad\n",
         "station flag:7 kind",
         {"station=pond", "flag 7=doubt", "kind=grab"},
         "a flag that says nothing; bad says it"},
        {"Time UTC,Level (m)\n2026-05-01 09:00,1.5\n2026-05-02 09:00,-99.9\n",
         "station blank:-99.9 kind",
         {"station=pond", "blank -99.9=yes", "kind=grab"},
         "a number that may stand for nothing"},
        {"Sample,Date UTC,Time,Site,Test,Result,Unit\nS1,2026-05-01,09:00,outlet,E. "
         "coli,12.5,#/100 mL\n"
         "S2,2026-05-02,09:00,outlet,TSS,3.5,ppm\nS3,2026-05-02,09:00,outlet,Barium,3,ug/L\n",
         "parameter:E. coli unit:ppm kind",
         {"parameter E. coli=ecoli-mpn", "unit #/100 mL=MPN/100 mL", "unit ppm=set aside",
          "kind=grab"},
         "results: traps among units are asked, what the farm does not keep is left out"},
        {"Date UTC,Reading\n2026-05-01 09:00,1.5\n",
         "station parameter kind",
         {"station=pond", "parameter=oxygen", "unit=mg/L", "kind=grab"},
         "one value and no name"},
        {"Time UTC,Outlet temp (degC),Intake-DO (mg/L),Turb pond (FNU),Height\n"
         "2026-05-01 09:00,12.5,8.0,3,1\n",
         "kind",
         {"kind=probe"},
         "stations in the names of columns"},
        {"Time UTC,Outlet temp (degC),pH\n2026-05-01 09:00,12.5,8.0\n",
         "station kind",
         {"station=pond", "kind=probe"},
         "a station in the name of one and not of another"},
        {"Time UTC,WaterT (Deg C),Q (L/s),Batt (V),Height\n2026-05-01 09:00,12.5,8.0,12,1\n",
         "station column:WaterT (Deg C) column:Q (L/s) kind",
         {"station=pond", "column WaterT (Deg C)=temperature", "column Q (L/s)=not taken",
          "kind=probe"},
         "a unit that a parameter can be in is asked about, and no other"},
        {"LabNo,Date UTC,Client Sample,Type,Test,Result,Unit\n"
         "L1,2026-05-01 09:00,Outfall,Routine,TSS,3,mg/L\n"
         "L2,2026-05-01 09:00,Outfall,Duplicate,TSS,4,mg/L\n"
         "L3,2026-05-01 09:00,Outfal,Blank,TSS,1,mg/L\n",
         "station kind column:LabNo column:Client Sample column:Type",
         {"column LabNo=sample", "column Client Sample=not taken", "column Type=not taken",
          "station=outlet", "kind=grab"},
         "columns of a laboratory that may change what a row is"},
        {"Time UTC,pH,Type\n2026-05-01 09:00,8.1,Routine\n2026-05-02 09:00,7.1,Blank\n",
         "station kind column:Type",
         {"station=pond", "column Type=purpose", "purpose Routine=required", "kind=grab"},
         "a column a parameter, and a blank among its rows"},
        {"Day number,Temp (degC)\n46143.5,12.5\n46144.5,12.6\n", NULL, {NULL}, "no name of a time"},
        {"Date,Temp (degC)\n46143.5,12.5\n46144.5,12.6\n",
         "dates clock station kind",
         {"dates=1900", "clock=+12:00", "station=pond", "kind=grab"},
         "a spreadsheet's date number"},
    };
    const struct farm *farm = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct sniff_guess guess;

        if (!rows[i].asks) {
            assert_false(guess_of(mem, farm, true, rows[i].text, NULL, &guess, &err));
            continue;
        }
        assert_done(guess_of(mem, farm, true, rows[i].text, NULL, &guess, &err), &err);
        if (strcmp(asked(mem, &guess), rows[i].asks) != 0)
            fail_msg("%s: %s", rows[i].why, asked(mem, &guess));
        if (!guess_of(mem, farm, true, rows[i].text, rows[i].answers, &guess, &err))
            fail_msg("%s: %s", rows[i].why, err.text);
        if (guess.questions.count > 0)
            fail_msg("%s, answered: %s", rows[i].why, asked(mem, &guess));
    }
}

/* The laboratory's own names for columns, with what a person says of each. */
static void a_person_says_what_a_column_is(void **state)
{
    static const char text[] = "LabNo,Date UTC,Client Sample,Type,Of what,Found,In\n"
                               "L1,2026-05-01 09:00,Outfall,Routine,TSS,3,mg/L\n"
                               "L2,2026-05-01 09:00,Outfall,Dup,TSS,4,mg/L\n"
                               "L3,2026-05-01 09:00,Outfal,Blank,TSS,1,mg/L\n";
    static const char *const said[] = {"column LabNo=sample",
                                       "column Client Sample=station",
                                       "column Type=Purpose",
                                       "column Of what=parameter",
                                       "column Found=value",
                                       "column In=unit",
                                       "station Outfall=outlet",
                                       "kind=grab",
                                       NULL};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;
    const struct source *source = &guess.source;

    assert_done(guess_of(mem, farm, true, text, said, &guess, &err), &err);
    /* The place that is written wrong is no outlet, and Routine is no word for a purpose. */
    assert_string_equal(asked(mem, &guess), "station:Outfal purpose:Routine");
    assert_int_equal(source->shape, SOURCE_LONG);
    assert_string_equal(source->sample_header, "LabNo");
    assert_string_equal(source->station_header, "Client Sample");
    assert_string_equal(source->purpose_header, "Type");
    assert_string_equal(source->parameter_header, "Of what");
    assert_string_equal(source->value_header, "Found");
    assert_string_equal(source->unit_header, "In");
    assert_int_equal(source->purposes.count, 3);
    assert_string_equal(source->purposes.items[1].means, "duplicate"); /* Dup */
    assert_string_equal(source->purposes.items[2].means, "blank");
}

static void columns_that_may_be_the_station_are_named(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;

    assert_done(guess_of(mem, farm, true,
                         "Date UTC,Client Sample,Type,Test,Result,Unit\n"
                         "2026-05-01 09:00,Outfall,Routine,TSS,3,mg/L\n"
                         "2026-05-01 09:00,Outfall,Blank,TSS,1,mg/L\n",
                         NULL, &guess, &err),
                &err);
    assert_string_equal(guess.questions.items[0].topic, "station");
    assert_non_null(strstr(guess.questions.items[0].text, "'Client Sample'"));
    assert_null(strstr(guess.questions.items[0].text, "'Type'")); /* it says what for */
    assert_non_null(strstr(guess.questions.items[0].add, "column NAME=station"));
}

static void all_wrong_answers_are_told_at_once(void **state)
{
    static const char *const wrong[] = {"dates=backwards", "clock=banana",   "kind=herring",
                                        "station=pond",    "column Deep=ph", NULL};
    static const char *const told[] = {"Expected day-first or month-first", "expected local, UTC",
                                       "grab, composite", "column Deep=ph"};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;

    assert_false(guess_of(mem, farm, true, "Date,Temp (degC)\n03/04/2026 09:00,12.5\n", wrong,
                          &guess, &err));
    assert_non_null(strstr(err.text, "4 answers"));
    assert_int_equal(guess.wrong.count, ARRAY_LEN(told));
    for (size_t i = 0; i < ARRAY_LEN(told); i++)
        if (!strstr(guess.wrong.items[i], told[i]))
            fail_msg("%s: not %s", guess.wrong.items[i], told[i]);
}

static void an_order_of_dates_that_is_none_is_refused(void **state)
{
    static const char *const wrong[] = {"dates=backwards", NULL};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;

    /* Also where nothing has to be told. */
    assert_false(guess_of(mem, farm, true, "Date,pH\n2026-05-01 09:00,8.1\n", wrong, &guess, &err));
    assert_non_null(strstr(err.hint, "one way only"));
}

static void a_role_is_given_once(void **state)
{
    static const struct {
        const char *answers[3];
        const char *tells;
    } rows[] = {
        {{"column LabNo=site"}, "Expected station, position, sample"},
        {{"column LabNo=unit"}, "column 'Unit' is"},
        {{"column LabNo=station", "column Where to=station"}, "column 'LabNo' is"},
        {{"column Date UTC=sample"}, "it tells the time"},
        {{"column LabNo=station", "station=pond"}, "not both"},
        {{"column LabNo=purpose", "purpose L1=fun"}, "is not what a sample is for"},
    };
    const struct farm *farm = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct sniff_guess guess;

        if (guess_of(mem, farm, true,
                     "LabNo,Date UTC,Where to,Test,Result,Unit\n"
                     "L1,2026-05-01 09:00,Outfall,TSS,3,mg/L\n",
                     rows[i].answers, &guess, &err))
            fail_msg("%s was taken", rows[i].answers[0]);
        if (!strstr(err.text, rows[i].tells) && !strstr(err.hint, rows[i].tells))
            fail_msg("%s: %s; %s", rows[i].answers[0], err.text, err.hint);
    }
}

static void a_column_is_of_the_station_in_its_name(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;

    assert_done(guess_of(mem, farm, true,
                         "Time UTC,Outlet temp (degC),Turb pond (FNU),pH\n"
                         "2026-05-01 09:00,12.5,8.0,8.1\n",
                         NULL, &guess, &err),
                &err);
    assert_int_equal(guess.source.column_count, 3);
    assert_string_equal(guess.source.columns[0].station, "outlet");
    assert_string_equal(guess.source.columns[0].parameter, "temperature");
    assert_string_equal(guess.source.columns[1].station, "pond");
    assert_string_equal(guess.source.columns[1].parameter, "turbidity-fnu");
    assert_null(guess.source.columns[2].station); /* the source's, which is asked */
}

static void what_is_open_is_empty_in_the_source(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;

    assert_done(guess_of(mem, farm, true, "Date,Turb\n03/04/2026 09:00,5\n", NULL, &guess, &err),
                &err);
    assert_null(guess.source.time_format);
    assert_false(guess.has_clock);
    assert_null(guess.source.station);
    assert_null(guess.source.columns[0].parameter);
    assert_int_equal(guess.source.kind, 0);
}

/* The zone of Pacific/Auckland calls its winter time NZST. */
static void a_clock_goes_by_what_the_file_says(void **state)
{
    static const struct {
        const char *text;
        const char *fact; /* begins with; "" asked */
        const char *why;
    } rows[] = {
        {"Time NZST,pH\n2026-05-01 09:00,8.1\n", "+12:00", "the zone's own word in the header"},
        {"Time (EST),pH\n2026-05-01 09:00,8.1\n", "", "a word of another zone"},
        {"Local time,pH\n2026-05-01 09:00,8.1\n", "local", "local"},
        {"Time,pH\n2026-05-01 09:00,8.1\n", "", "nothing is said"},
        {"Time,pH\n2026-05-01T09:00:00+12:00,8.1\n", "UTC", "each time has its offset"},
        {"Time,pH\n1777600000,8.1\n", "UTC", "seconds since 1970 are of UTC"},
        {"Time,Zone,pH\n2026-05-01 09:00,NZST,8.1\n", "UTC", "each row has its clock"},
    };
    const struct farm *farm = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct err err = ERR_INIT;
        struct sniff_guess guess;
        const char *fact;

        assert_done(guess_of(mem, farm, true, rows[i].text, NULL, &guess, &err), &err);
        fact = fact_of(mem, &guess, "clock");
        if (strncmp(fact, rows[i].fact, strlen(rows[i].fact)) != 0 ||
            (!*rows[i].fact && !strstr(asked(mem, &guess), "clock")))
            fail_msg("%s: '%s', asked %s", rows[i].why, fact, asked(mem, &guess));
    }
}

/* The night of 5 April 2026, when clocks in Auckland go back from 3:00 to 2:00 (tz database). */
static const char *night_text(struct arena *mem, bool local)
{
    struct buf text = buf_new(mem);

    buf_addf(&text, "Time,pH\n");
    for (int i = 0; i < 40; i++) {
        int quarter = i;

        if (local && i >= 12)
            quarter = i - 4; /* 2:45 and then 2:00 again */
        buf_addf(&text, "2026-04-05 %02d:%02d,8.1\n", quarter / 4, quarter % 4 * 15);
    }

    return text.data;
}

static void a_night_in_which_clocks_change_tells_the_clock(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;

    assert_done(guess_of(mem, farm, true, night_text(mem, true), NULL, &guess, &err), &err);
    assert_true(guess.has_clock);
    assert_int_equal(guess.source.clock, CLOCK_LOCAL);
    assert_non_null(strstr(fact_of(mem, &guess, "clock"), "jump as the clocks of"));

    assert_done(guess_of(mem, farm, true, night_text(mem, false), NULL, &guess, &err), &err);
    assert_false(guess.has_clock);
    assert_int_equal(sniff_question_number(&guess, "clock", NULL), 1);
    assert_non_null(strstr(guess.questions.items[0].text, "no local clock"));
}

static void without_a_farm_zone_and_station_are_asked(void **state)
{
    static const char *const answers[] = {"clock=local", "zone=Pacific/Auckland", "station=any-key",
                                          "kind=probe", NULL};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm *farm = *state;
    struct err err = ERR_INIT;
    struct sniff_guess guess;
    const char *text = "Local time,pH\n2026-05-01 09:00,8.1\n";

    assert_done(guess_of(mem, farm, false, text, NULL, &guess, &err), &err);
    assert_string_equal(asked(mem, &guess), "zone station kind");
    assert_done(guess_of(mem, farm, false, text, answers, &guess, &err), &err);
    assert_int_equal(guess.questions.count, 0);
    assert_string_equal(guess.source.zone, "Pacific/Auckland");
    assert_string_equal(guess.source.station, "any-key");
}

static void a_wrong_answer_says_what_is_right(void **state)
{
    static const struct {
        const char *answer;
        const char *tells; /* in text or hint */
    } rows[] = {
        {"date=day-first", "Did you mean dates"},
        {"dates=sideways", "Expected day-first or month-first"},
        {"station=pnod", "Did you mean 'pond'"},
        {"column Temp (degC)=temprature", "temperature"},
        {"column Temp (degC)=temperature, mg/L", "degC"},
        {"column Tmep=temperature", "nothing in the file asks"},
        {"kind=bucket", "grab, composite"},
        {"clock=noon", "offset"},
        {"hello", "answers nothing"},
    };
    const struct farm *farm = *state;

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *answers[] = {rows[i].answer, NULL};
        struct err err = ERR_INIT;
        struct sniff_guess guess;

        if (guess_of(mem, farm, true, "Date,Temp (degC)\n03/04/2026 09:00,12.5\n", answers, &guess,
                     &err))
            fail_msg("%s was taken", rows[i].answer);
        if (!strstr(err.text, rows[i].tells) && !strstr(err.hint, rows[i].tells))
            fail_msg("%s: %s; %s", rows[i].answer, err.text, err.hint);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(names_say_what_they_may_be),
        cmocka_unit_test(flags_are_known_by_the_column_they_belong_to),
        cmocka_unit_test(a_plain_logger_leaves_little_to_ask),
        cmocka_unit_test(questions_go_with_their_answers),
        cmocka_unit_test(a_person_says_what_a_column_is),
        cmocka_unit_test(columns_that_may_be_the_station_are_named),
        cmocka_unit_test(all_wrong_answers_are_told_at_once),
        cmocka_unit_test(an_order_of_dates_that_is_none_is_refused),
        cmocka_unit_test(a_role_is_given_once),
        cmocka_unit_test(a_column_is_of_the_station_in_its_name),
        cmocka_unit_test(what_is_open_is_empty_in_the_source),
        cmocka_unit_test(a_clock_goes_by_what_the_file_says),
        cmocka_unit_test(a_night_in_which_clocks_change_tells_the_clock),
        cmocka_unit_test(without_a_farm_zone_and_station_are_asked),
        cmocka_unit_test(a_wrong_answer_says_what_is_right),
    };

    return cmocka_run_group_tests_name("ingest/sniff_source", tests, farm_open, farm_close);
}
