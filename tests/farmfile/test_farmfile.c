/* What is wrong in a farm file is named with its place, what was expected, and the nearest word. */

#include <stdio.h>

#include "sound.h"

static const struct spoilt {
    const char *reason;
    const char *find; /* in `sound`, whose first occurrence is replaced */
    const char *put;
    int line;
    int column;
    const char *words;
} spoilt[] = {
    /* keys */
    {"a misspelt section", "meters:", "metres:", 30, 1,
     "'metres' is no key of a farm file; did you mean 'meters'?"},
    {"a misspelt key", "    statistic: mean", "    statistics: mean", 56, 5,
     "'statistics' is no key of a limit; did you mean 'statistic'?"},
    {"and what then lacks", "    statistic: mean", "    statistics: mean", 46, 5,
     "the limit 'solids' lacks `statistic`: expected the figure that is compared with the bound"},
    {"a key of nowhere", "    kind: probe", "    kind: probe\n    zebra: 1", 45, 5,
     "'zebra' is no key of a source"},
    {"a secret", "    kind: probe", "    kind: probe\n    ftp password: x", 45, 5,
     "'ftp password' looks like a secret, and this file holds none"},
    {"a token in the farm's lines", "name: Shore,", "name: Shore, api token: x,", 1, 33,
     "'api token' looks like a secret, and this file holds none"},
    {"a section that lacks", "people:\n", "peeple:\n", 1, 1,
     "this farm file lacks `people`: expected a list of people"},
    {"a list written as a text",
     "authorities:\n  - {key: council, name: Council, decides: "
     "discharge, call: 0}\n",
     "authorities: council\n", 9, 14,
     "'council' can't be `authorities`: expected a list of authorities"},
    {"an item written as a text", "  - {key: intake, name: In, kind: intake}", "  - intake", 12, 5,
     "'intake' can't be a station: expected keys and values, as `key: value`"},
    {"nothing after the colon", "    number: DP 1", "    number:", 19, 12,
     "nothing stands after `number:`: expected the number the authority gave it"},
    {"a key in capitals", "key: out\n", "key: Out\n", 13, 10,
     "'Out' can't be `key`: expected a short name in lower case that begins with a letter (a-z, "
     "0-9 and hyphens, at most 40)"},
    {"a key twice in a list", "key: out\n", "key: intake\n", 13, 10,
     "the station 'intake' is given twice (first on line 12)"},
    {"a key twice in a map", "    name: Out", "    key: out2", 14, 5,
     "'key' is given twice (first on line 13)"},
    {"a missing colon", "    title: Permit", "    title Permit", 20, 5,
     "a colon is missing on or before this line"},
    {"a tab", "    title: Permit", "\ttitle: Permit", 20, 1, "a tab where the line is indented"},

    /* plain values */
    {"no such day", "since: 2025-01-31\n", "since: 2025-02-31\n", 7, 12,
     "'2025-02-31' can't be `since`: expected a date, as 2026-01-31"},
    {"a day in another order", "since: 2025-01-31\n", "since: 31/01/2025\n", 7, 12,
     "'31/01/2025' can't be `since`: expected a date, as 2026-01-31"},
    {"a year mistyped", "since: 2025-01-31\n", "since: 0225-01-31\n", 7, 12,
     "'0225-01-31' can't be `since`: expected a date, as 2026-01-31"},
    {"neither yes nor no", "share over days: no", "share over days: perhaps", 34, 22,
     "'perhaps' can't be `share over days`: expected yes if the licence lets a difference over "
     "several days be shared evenly, else no"},
    {"a decimal comma", "not above: 30", "not above: 30,5", 58, 16,
     "'30,5' can't be `not above`: expected a number, without commas"},
    {"a word for a number", "not above: 30", "not above: thirty", 58, 16,
     "'thirty' can't be `not above`: expected a number"},
    {"a bound with its unit", "not above: 30", "not above: 30 mg/L", 58, 16,
     "'30 mg/L' can't be `not above`: expected a number without its unit"},
    {"a misspelt word", "kind: discharge", "kind: discharg", 15, 11,
     "'discharg' can't be `kind`: expected a kind of station (intake, feed-pond, header-tank, "
     "tank, pond, discharge, overflow, receiving-water, growing-area, rain-gauge or other); did "
     "you mean 'discharge'?"},
    {"a permission of nowhere", "[read, sign]", "[read, signs]", 6, 17,
     "'signs' can't be `may`: expected a list of what the person may do (read, sample, "
     "calibrate, correct or sign); did you mean 'sign'?"},
    {"a time zone of nowhere", "Pacific/Auckland", "Pacific/Aukland", 1, 44,
     "no time zone is named 'Pacific/Aukland'"},

    /* names of other parts */
    {"a station of nowhere", "from: intake", "from: intak", 29, 12,
     "there is no station 'intak'; did you mean 'intake'?"},
    {"an authority of nowhere", "authority: council", "authority: counsil", 22, 16,
     "there is no authority 'counsil'; did you mean 'council'?"},
    {"a parameter of nowhere", "parameter: suspended-solids", "parameter: suspended-solid", 52, 16,
     "there is no parameter 'suspended-solid'; did you mean 'suspended-solids'?"},
    {"a word for two parameters", "parameter: discharge-meter", "parameter: meter", 32, 16,
     "there is no parameter 'meter'; did you mean 'discharge-meter' or 'energy-meter'?"},
    {"a name for three parameters", "parameter: suspended-solids", "parameter: E. coli", 52, 16,
     "there is no parameter 'E. coli'; did you mean 'ecoli-cfu', 'ecoli-mpn' or "
     "'ecoli-flesh-mpn'?"},
    {"a licence of nowhere", "licence: dp\n    clause: Table 2", "licence: pd\n    clause: Table 2",
     65, 14, "there is no licence 'pd'"},
    {"a person of nowhere", "signer: ida", "signer: ada", 26, 13,
     "there is no person 'ada'; did you mean 'ida'?"},
    {"a signer who may not", "[read, sign]", "[read]", 26, 13, "'ida' may not sign"},
    {"a position of nowhere", "    parameter: suspended-solids",
     "    position: dep\n"
     "    parameter: suspended-solids",
     52, 15, "there is no position of station 'out' called 'dep'; did you mean 'deep'?"},

    /* dates that do not go together */
    {"a licence that ends before it begins", "ends: 2030-12-31", "ends: 2025-12-31", 18, 5,
     "the last day, 2025-12-31, lies before the first, 2026-01-01"},
    {"a clause that ends before it begins", "in force: {from: 2026-01-01}",
     "in force: {from: 2026-01-01, to: 2025-01-01}", 61, 15,
     "the last day, 2025-01-01, lies before the first, 2026-01-01"},
    {"a renewal after the end", "ends: 2030-12-31",
     "ends: 2030-12-31\n    renewal to be asked by: 2031-01-01", 25, 29,
     "the renewal is to be asked by 2031-01-01, after the licence's end on 2030-12-31"},
    {"continued without an end", "ends: 2030-12-31", "continued by: letter", 24, 19,
     "a licence without `ends` can't be continued"},

    /* water */
    {"water from a station to itself", "to: out,", "to: intake,", 29, 5,
     "a flow path from 'intake' to itself"},
    {"a path that a number opens", "since: 2025-01-31}",
     "since: 2025-01-31, state: {station: out, parameter: ph}}", 29, 55,
     "'ph' can't say open or shut: expected a state with these two words"},
    {"a meter that is none", "parameter: discharge-meter", "parameter: flow", 32, 16,
     "'flow' is no counter: expected a parameter of kind counter"},
    {"a multiplier of nothing", "multiplier: 1", "multiplier: 0", 33, 17,
     "`multiplier` must be above 0"},
    {"a meter replaced in the hour that comes twice", "multiplier: 1",
     "multiplier: 1\n    replaced: ['2026-04-05 02:30']", 34, 16,
     "'2026-04-05 02:30' comes twice or never in the farm's time zone"},
    {"meters replaced out of order", "multiplier: 1",
     "multiplier: 1\n    replaced: ['2026-03-05 02:30', '2026-03-04 02:30']", 34, 36,
     "'2026-03-04 02:30' comes before the one above: expected the instants in order"},
    {"a discharge measured by temperature", "called: Point 1",
     "called: Point 1, meter: {station: out, parameter: temperature}", 27, 53,
     "'temperature' can't say how much was discharged: expected a counter or a flow"},

    /* sources */
    {"a clock of nowhere", "clock: +12:00", "clock: NZST", 40, 12,
     "'NZST' can't be `clock`: expected local, UTC or an offset as +12:00"},
    {"a zone beside an offset", "clock: +12:00", "clock: +12:00\n    zone: Europe/Dublin", 41, 11,
     "`zone` has no place here: it goes with `clock: local`"},
    {"a time without its day", "YYYY-MM-DD hh:mm", "YYYY-MM hh:mm", 41, 43,
     "time format 'YYYY-MM hh:mm': it has no day (DD)"},
    {"a unit that the parameter can't have", "unit: degC", "unit: mg/L", 43, 60,
     "'mg/L' is not a unit for temperature"},
    {"a header twice", "columns: [{header: Temp, parameter: temperature, unit: degC}]",
     "columns: [{header: T, parameter: temperature}, {header: t, parameter: ph}]", 43, 61,
     "the column 't' is given twice"},
    {"a long file's key in a wide one", "    kind: probe", "    value column: V\n    kind: probe",
     44, 19, "`value column` has no place here: only a long file has it"},
    {"a wide file without columns",
     "    columns: [{header: Temp, parameter: temperature, unit: degC}]\n", "", 36, 5,
     "the source 'logger' lacks `columns`: expected a list of columns"},
    {"a column without a station", "    station: out\n    columns: [{", "    columns: [{", 42, 15,
     "this column lacks `station`: expected it here, or `station` or `station column` of the "
     "source"},
    {"both marks are commas", "decimal mark: point", "decimal mark: comma\n    separator: comma",
     40, 16, "`separator` and `decimal mark` are both a comma"},
    {"a word for a station of nowhere", "    station: out\n    columns",
     "    station column: S\n    station words: {A: owt}\n    columns", 43, 24,
     "there is no station 'owt'; did you mean 'out'?"},

    /* limits */
    {"less-thans left out of a mean", "    less-thans: half\n", "", 46, 5,
     "the limit 'solids' lacks `less-thans`: the limit makes a figure of its readings"},
    {"a stated number left out", "less-thans: half", "less-thans: stated", 46, 5,
     "the limit 'solids' lacks `less-than number`: the rule says that the licence states a number"},
    {"a number that no rule takes", "less-thans: half", "less-thans: half\n    less-than number: 1",
     60, 23, "`less-than number` has no place here: the rule takes no number"},
    {"rounding left out", "    rounding: half up to the bound\n", "", 46, 5,
     "the limit 'solids' lacks `rounding`: expected none, half up to the bound, half up to 1 "
     "decimals or half even to 3 figures"},
    {"rounding of nowhere", "half up to the bound", "up", 60, 15,
     "'up' can't be `rounding`: expected none, half up to the bound, half up to the bound's "
     "figures, "
     "half up to 1 decimals or half even to 3 figures"},
    {"a bound left out", "    not above: 30\n", "", 46, 5,
     "the limit 'solids' lacks its bound: expected one of `not above`, `below`, `not below`, "
     "`above` and `from`"},
    {"two upper bounds", "not above: 30", "not above: 30\n    below: 40", 59, 12,
     "a second upper bound: expected one of `not above`, `below` and `from`"},
    {"bounds crossed", "not above: 30", "not above: 30\n    not below: 40", 58, 16,
     "the limit 'solids': the lower bound is not under the upper one"},
    {"a range of one number", "not above: 30", "from: 6.5", 58, 11,
     "'6.5' can't be `from`: expected two numbers, as in from: 6.5 to 9.0; both of them are "
     "within"},
    {"a shut outlet left open", "    only while discharging: yes\n    each day", "    each day", 46,
     5,
     "the limit 'solids' lacks `only while discharging`: at a discharge the clause must say "
     "whether it holds while the outlet is shut"},
    {"a unit of nowhere", "unit: mg/L", "unit: mgl", 53, 11, "there is no unit 'mgl'"},
    {"coverage without how long a reading stands", "less-thans: half",
     "less-thans: half\n    covers: 75 %", 46, 5,
     "the limit 'solids' lacks `reading stands`: how much of the time is covered hangs on how "
     "long a reading stands"},
    {"more than all", "less-thans: half", "less-thans: half\n    covers: 175 %", 60, 13,
     "'175 %' can't be `covers`: expected how much of the time must be covered, as 75 %"},
    {"samples without their word", "less-thans: half", "less-thans: half\n    at least: 4", 60, 15,
     "'4' can't be `at least`: expected how many samples the figure needs, as 4 samples"},
    {"less-thans of a meter's total",
     "parameter: suspended-solids\n    unit: mg/L\n    only while discharging: yes\n    each day: "
     "every reading\n    statistic: mean",
     "parameter: discharge-meter\n    unit: m3\n    only while discharging: yes\n    each day: "
     "total\n    statistic: sum",
     59, 17,
     "`less-thans` has no place here: a meter shows no less-thans, and its total is the difference "
     "of two readings"},
    {"less-thans of a flow's total",
     "parameter: suspended-solids\n    unit: mg/L\n    only while discharging: yes\n    each day: "
     "every reading\n    statistic: mean",
     "parameter: flow\n    unit: m3/day\n    only while discharging: yes\n    each day: total\n    "
     "statistic: sum",
     59, 17,
     "`less-thans` has no place here: in the total of a flow a less-than counts as its number, and "
     "with a greater-than the day is not known"},
    {"less-thans of single readings", "statistic: mean", "statistic: value", 59, 17,
     "`less-thans` has no place here: the limit takes every reading by itself"},
    {"a flow without a load", "less-thans: half",
     "less-thans: half\n    flow: {station: out, parameter: flow}", 60, 11,
     "`flow` has no place here: only a load or a flow-weighted mean has it"},
    {"a load without a flow", "each day: every reading", "each day: load", 46, 5,
     "the limit 'solids' lacks `flow`: a load is worked out from a flow"},
    {"a load in a concentration", "each day: every reading",
     "each day: load\n    flow: {station: out, parameter: flow}\n    days without a result: left "
     "out",
     53, 11, "'mg/L' is no unit of a load: expected one as kg/day"},
    {"a margin in another unit", "less-thans: half", "less-thans: half\n    margin: 2 ug/L", 60, 13,
     "the margin is in 'ug/L': expected % or the limit's mg/L"},
    {"a change of nowhere", "less-thans: half", "less-thans: half\n    change: new", 60, 13,
     "'new' can't be `change`: expected why the limit is not as it was (licence changed or copied "
     "wrongly)"},
    {"what makes no sense together", "period: month", "period: each sample", 46, 5,
     "the limit 'solids': "},

    /* words for units */
    {"counts of one method for those of another", "    kind: probe",
     "    kind: probe\n    unit words: {MPN/100 mL: CFU/100 mL}", 45, 18,
     "'MPN/100 mL' is MPN/100 mL, which never turns into CFU/100 mL"},
    {"a unit in another spelling for one of another kind", "    kind: probe",
     "    kind: probe\n    unit words: {ntu: FNU}", 45, 18,
     "'ntu' is NTU, which never turns into FNU"},

    {"nitrate as the ion for a unit of nothing kept so", "    kind: probe",
     "    kind: probe\n    unit words: {mg NO3/L: mg/L}", 45, 18,
     "'mg NO3/L' is as NO3: a unit word changes no basis, and no parameter is kept as NO3"},
    {"nitrate as the ion for nitrate as nitrogen", "    kind: probe",
     "    kind: probe\n    unit words: {mg NO3/L: mg/L as N}", 45, 18,
     "'mg NO3/L' is as NO3: a unit word changes no basis, and what it is to mean is as N"},

    /* intervals */
    {"a shape left out", "    at least: 1 in each week\n    week starts: Monday\n", "", 63, 5,
     "the interval 'weekly' lacks its shape: expected `at most: 7 days` or `at least: 1 in each "
     "week`"},
    {"two shapes", "    at least: 1", "    at most: 7 days\n    at least: 1", 71, 15,
     "`at least` beside `at most`: expected one of them, or two intervals"},
    {"a shape of nowhere", "1 in each week", "weekly", 70, 15,
     "'weekly' can't be `at least`: expected how many in what period, as 1 in each week or 2 in "
     "each month"},
    {"a week without its first day", "    week starts: Monday\n", "", 63, 5,
     "the interval 'weekly' lacks `week starts`: expected the day that a week begins on, as "
     "Monday"},
    {"a week where none is counted", "at least: 1 in each week", "at most: 7 days", 71, 18,
     "`week starts` has no place here: it goes with `at least` in each week"},
    {"samples further apart than their week", "at least: 1 in each week",
     "at least: 3 in each week\n    apart: 4 days", 71, 12,
     "3 samples can't lie 4 days apart in a week"},
    {"a key of nowhere in an interval", "at least: 1 in each week",
     "at least: 1 in each week\n    colour: red", 71, 5, "'colour' is no key of an interval"},
    {"days without their word", "at least: 1 in each week", "at most: 7", 70, 14,
     "'7' can't be `at most`: expected the most days from one sample to the next, as 7 days"},
    {"an interval over a shut outlet", "    only while discharging: yes\n    in force",
     "    in force", 63, 5,
     "the interval 'weekly' lacks `only while discharging`: at a discharge the clause must say "
     "whether samples are due while the outlet is shut"},
    {"a season of nowhere", "    week starts: Monday",
     "    week starts: Monday\n    season: {from: 13-01, to: 04-30}", 72, 20,
     "'13-01' can't be `from`: expected a day of the year, as 10-01"},
};

static bool is_told(const struct farmfile_problems *problems, const struct spoilt *row)
{
    for (size_t i = 0; i < problems->count; i++) {
        const struct farmfile_problem *problem = &problems->items[i];

        if (problem->line == row->line && problem->column == row->column &&
            strncmp(problem->words, row->words, strlen(row->words)) == 0)
            return true;
    }

    return false;
}

static void a_sound_file_has_no_problems(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    if (!farmfile_read(mem, sound, strlen(sound), units, &farm, &problems, &err))
        fail_msg("%s", err.text);
    assert_int_equal(problems.count, 0);
    assert_string_equal(farm->name, "Shore");
}

static void each_problem_is_told_with_its_place(void **state)
{
    size_t wrong = 0;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(spoilt); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = replaced(mem, spoilt[i].find, spoilt[i].put);
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;

        if (farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err) || farm)
            fail_msg("%s: nothing refused", spoilt[i].reason);
        if (is_told(&problems, &spoilt[i]))
            continue;
        wrong++;
        for (size_t k = 0; k < problems.count; k++)
            print_message("%s: %d:%d: %s\n", spoilt[i].reason, problems.items[k].line,
                          problems.items[k].column, problems.items[k].words);
    }
    assert_int_equal(wrong, 0);
}

static void all_problems_come_in_one_pass_in_order(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char *text = arena_strdup(mem, sound);
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    memcpy(strstr(text, "month"), "mouth", 5);
    memcpy(strstr(text, "2025-01-31"), "2025-13-31", 10);
    memcpy(strstr(text, "shape: wide"), "shape: wyde", 11);
    assert_false(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err));
    assert_int_equal(problems.count, 3);
    assert_int_equal(problems.items[0].line, 7);
    assert_int_equal(problems.items[1].line, 38);
    assert_int_equal(problems.items[2].line, 57);
    assert_int_equal(err.code, ERR_INVALID);
    assert_string_equal(err.text, "3 problems, the first on: line 7, column 12: '2025-13-31' can't "
                                  "be `since`: expected a date, as 2026-01-31");
}

static void a_secret_is_sent_to_where_it_belongs(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text = replaced(mem, "    kind: probe", "    kind: probe\n    Password: x");
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    assert_false(farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err));
    assert_string_equal(problems.items[0].hint,
                        "Put it in a file of mode 0600 in the folder `secrets/` beside "
                        "weirbook.conf; what stands here is shown, kept and printed.");
}

/* The definition of the one limit of a text. */
static const struct farm_limit *limit_of(struct arena *mem, const char *text)
{
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    if (!farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
        fail_msg("%s", err.text);

    return &farm->limits.items[0];
}

static void the_canonical_text_is_the_same_however_it_was_written(void **state)
{
    static const struct {
        const char *reason;
        const char *find;
        const char *put;
        bool same_definition;
        bool same_judged;
    } rows[] = {
        {"another order of keys", "    statistic: mean\n    period: month\n",
         "    period: month\n    statistic: mean\n", true, true},
        {"another spelling of the unit", "unit: mg/L", "unit: mg l-1", true, true},
        {"another case of a word", "statistic: mean", "statistic: Mean", true, true},
        {"quotes", "clause: Table 1", "clause: 'Table 1'", true, true},
        {"what is said of the change", "    not above: 30",
         "    change: copied wrongly\n    not above: 30", true, true},
        {"another name", "name: Solids", "name: All solids", false, true},
        {"a margin", "    not above: 30", "    margin: 10 %\n    not above: 30", false, true},
        {"another bound", "not above: 30", "not above: 31", false, false},
        {"another digit of the bound, which is rounded to", "not above: 30", "not above: 30.0",
         false, false},
        {"another day", "in force: {from: 2026-01-01}", "in force: {from: 2026-02-01}", false,
         false},
    };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct farm_limit *first = limit_of(mem, sound);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        const struct farm_limit *other = limit_of(mem, replaced(mem, rows[i].find, rows[i].put));

        if (str_equal(first->definition, other->definition) != rows[i].same_definition ||
            str_equal(first->judged, other->judged) != rows[i].same_judged)
            fail_msg("%s:\n%s\n%s", rows[i].reason, first->definition, other->definition);
    }
    assert_string_equal(
        first->definition,
        "{\"key\":\"solids\",\"name\":\"Solids\",\"licence\":\"dp\",\"clause\":\"Table 1\","
        "\"wording\":\"No more than 30.\",\"station\":\"out\",\"parameter\":\"suspended-solids\","
        "\"unit\":\"mg/L\",\"only while discharging\":\"yes\",\"each day\":\"every reading\","
        "\"statistic\":\"mean\",\"period\":\"month\",\"not above\":\"30\",\"less-thans\":\"half\","
        "\"rounding\":\"half up to the bound\",\"in force\":{\"from\":\"2026-01-01\"}}");
}

static void a_farm_defines_parameters_of_its_own(void **state)
{
    static const struct {
        const char *reason;
        const char *put;
        const char *words; /* NULL: taken */
    } rows[] = {
        {"a number", "{key: own, name: Own, kind: number, unit: mg/l, units: [ug/L]}", NULL},
        {"a state", "{key: aerator, name: Aerator, kind: state, states: [running, stopped]}", NULL},
        {"a counter", "{key: hours-run, name: Hours, kind: counter, unit: h}", NULL},
        {"a built-in one", "{key: ph, name: pH, kind: number, unit: pH}",
         "there is a built-in parameter 'ph'"},
        {"a number without a unit", "{key: own, name: Own, kind: number}",
         "the parameter 'own' lacks `unit`: expected a unit, as mg/L"},
        {"a state without words", "{key: own, name: Own, kind: state}",
         "the parameter 'own' lacks `states`: expected a list of its words"},
        {"a state with a unit",
         "{key: own, name: Own, kind: state, unit: m, states: [running, stopped]}",
         "a state has no unit"},
        {"units that do not convert",
         "{key: own, name: Own, kind: number, unit: mg/L, units: [degC]}",
         "degC does not convert into mg/L"},
        {"a range that can be",
         "{key: own, name: Own, kind: number, unit: mg/L, possible: {low: 0, high: 500}}", NULL},
        {"a range without an end", "{key: own, name: Own, kind: number, unit: mg/L, possible: {}}",
         "neither `low` nor `high`: expected at least one of them"},
        {"a range upside down",
         "{key: own, name: Own, kind: number, unit: mg/L, possible: {low: 5, high: 5}}",
         "`low` is not below `high`"},
        {"a range of words",
         "{key: own, name: Own, kind: state, states: [on, off], possible: {low: 0}}",
         "only a number has `possible`"},
        {"a state of one word", "{key: own, name: Own, kind: state, states: [on]}",
         "1 words, expected from 2 to 7"},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = replaced(
            mem, "licences:\n", arena_printf(mem, "parameters: [%s]\nlicences:\n", rows[i].put));
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;
        bool read = farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err);

        if (read != (rows[i].words == NULL))
            fail_msg("%s: %s", rows[i].reason, read ? "taken" : err.text);
        if (!read)
            assert_string_equal(problems.items[0].words, rows[i].words);
    }
}

/* A concentration of -900 is a fault of the file, whoever defined the parameter. */
static void a_concentration_of_the_farm_s_own_is_never_negative(void **state)
{
    static const struct {
        const char *item;
        bool never_negative;
    } rows[] = {
        {"{key: own, name: Own, kind: number, unit: ug/L}", true},
        {"{key: own, name: Own, kind: number, unit: CFU/100 mL}", true},
        {"{key: own, name: Own, kind: number, unit: NTU}", true},
        {"{key: own, name: Own, kind: number, unit: mg/L, possible: {high: 500}}", true},
        {"{key: own, name: Own, kind: number, unit: mg/L, possible: {low: -5}}", false},
        {"{key: own, name: Own, kind: number, unit: degC}", false},
        {"{key: own, name: Own, kind: number, unit: kg/day}", false}, /* a net load may be */
        {"{key: own, name: Own, kind: counter, unit: h}", false},
    };

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        const char *text = replaced(
            mem, "licences:\n", arena_printf(mem, "parameters: [%s]\nlicences:\n", rows[i].item));
        struct farmfile_problems problems = {0};
        const struct farm *farm = NULL;
        struct err err = ERR_INIT;

        if (!farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
            fail_msg("%s: %s", rows[i].item, err.text);
        if (parameter_find(&farm->known_parameters, "own")->never_negative !=
            rows[i].never_negative)
            fail_msg("%s", rows[i].item);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_sound_file_has_no_problems),
        cmocka_unit_test(each_problem_is_told_with_its_place),
        cmocka_unit_test(all_problems_come_in_one_pass_in_order),
        cmocka_unit_test(a_secret_is_sent_to_where_it_belongs),
        cmocka_unit_test(the_canonical_text_is_the_same_however_it_was_written),
        cmocka_unit_test(a_farm_defines_parameters_of_its_own),
        cmocka_unit_test(a_concentration_of_the_farm_s_own_is_never_negative),
    };

    return cmocka_run_group_tests_name("farmfile/farmfile", tests, load_units, free_units);
}
