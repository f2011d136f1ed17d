#include "base/charset.h"
#include "base/str.h"
#include "farmfile/moment.h"
#include "farmfile/source_part.h"
#include "ingest/csv_value.h"
#include "ingest/purpose.h"

static const char *const shape_words[] = {"wide", "long", NULL};
static const char *const format_words[] = {"csv", "xlsx", "json", NULL};
static const char *const date_alone_words[] = {"set aside", "some time that day", NULL};
static const char *const hidden_words[] = {"take", "leave", NULL};
static const char *const minute_words[] = {"minutes", "minute", NULL};

static void read_charset(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    const char **charset = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *charset = charset_names[word];
}

#define SOURCE(key, need, read, member, expected)                                                  \
    FIELD(key, need, read, struct source, member, expected)
#define WHOLE(key_, need_, read_, expected_)                                                       \
    .key = (key_), .need = (need_), .read = (read_), .expected = (expected_)
#define COLUMN(key, member, what)                                                                  \
    {                                                                                              \
        SOURCE(key, FIELD_OPTIONAL, value_text, member, "the header of the column with " what)     \
    }

static const struct field source_fields[] = {
    {SOURCE("key", FIELD_REQUIRED, value_key, key, "a short name in lower case")},
    {SOURCE("name", FIELD_REQUIRED, value_text, name, "the source's name")},
    {SOURCE("shape", FIELD_REQUIRED, value_choice, shape, "how the file lies"),
     .words = shape_words,
     .note = "Wide: one row a time, one column a parameter. Long: one row a result."},
    {SOURCE("format", FIELD_OPTIONAL, value_choice, format, "what kind of file it is"),
     .words = format_words,
     .note = "Without it csv: text with one line a row, whatever stands between its cells."},
    {WHOLE("sheets", FIELD_OPTIONAL, source_part_sheets, "the sheets of a workbook to take"),
     .note = "Without it every sheet that has the header."},
    {SOURCE("hidden", FIELD_OPTIONAL, value_either, leaves_hidden,
            "what happens to a workbook's hidden rows and sheets"),
     .words = hidden_words, .note = "Without it take. Either way they are counted and told."},
    {SOURCE("records", FIELD_OPTIONAL, value_text, records,
            "where a JSON document has its list of records, as data.items"),
     .note = "Without it the document is the list, or each line of it a record. A key inside a "
             "record is named with dots, as result.temp."},
    {SOURCE("charset", FIELD_OPTIONAL, read_charset, charset, "how letters are coded"),
     .words = charset_names,
     .note = "Without it utf-8. A byte order mark at the start of a file goes before it."},
    {SOURCE("separator", FIELD_OPTIONAL, source_part_separator, separator,
            "what stands between two cells"),
     .words = source_part_separators, .note = "Without it: what the header line shows."},
    {SOURCE("decimal mark", FIELD_REQUIRED, source_part_mark, decimal,
            "what stands before the decimals"),
     .words = source_part_marks},
    {SOURCE("header line", FIELD_OPTIONAL, value_count, header_line,
            "the line of the header, from 1"),
     .least = 1, .most = 1000, .note = "Without it the first line that has all columns."},
    {SOURCE("header rows", FIELD_OPTIONAL, value_count, header_rows,
            "2 where names stand above names, as Outlet over Temp and DO"),
     .least = 1, .most = 2,
     .note = "A column is then named by both: \"Outlet / Temp (degC)\". The upper name goes on to "
             "the right over empty cells; `header line` is that of the lower row."},
    {SOURCE("lines after header", FIELD_OPTIONAL, value_count, skip_after_header,
            "how many lines after the header hold no data"),
     .least = 0, .most = 1000},
    {WHOLE("comments start with", FIELD_OPTIONAL, source_part_comments,
           "a list of what a line without data begins with, in front of the header or behind the "
           "last row")},
    {WHOLE("clock", FIELD_REQUIRED, source_part_clock, "local, UTC or an offset as +12:00"),
     .note = "Local: the clock is put forward and back with the farm's. One that is never put "
             "forward or back needs its offset, from its first file on."},
    {SOURCE("zone", FIELD_OPTIONAL, source_part_zone, zone,
            "the time zone of a local clock, where it is not the farm's")},
    {SOURCE("clock column", FIELD_OPTIONAL, value_text, clock_header,
            "the header of the column with each row's clock"),
     .note = "A row whose cell is empty goes by `clock`."},
    {SOURCE("clock words", FIELD_OPTIONAL, source_part_clock_words, clocks,
            "what the clock column's words mean, as {EST: -05:00}"),
     .note = "Each is UTC, an offset or local. UTC and offsets are understood without being "
             "listed."},
    {WHOLE("time", FIELD_REQUIRED, source_part_time, "its columns and how a time is written"),
     .inside = &source_part_time_table},
    {WHOLE("until", FIELD_OPTIONAL, source_part_until, "the columns of the end of a span"),
     .inside = &source_part_until_table},
    {SOURCE("date alone", FIELD_OPTIONAL, value_choice, date_alone,
            "what a row with a date and no hour means"),
     .words = date_alone_words,
     .note = "Without it set aside where the file has hours; where it has none, the start of the "
             "day. Some time that day: its value is of the whole day."},
    {SOURCE("station", FIELD_OPTIONAL, name_station, station, "the key of a station")},
    COLUMN("station column", station_header, "the station"),
    {SOURCE("station words", FIELD_OPTIONAL, source_part_station_words, stations,
            "the file's words for stations, as {Pond 1: pond-1}")},
    COLUMN("position column", position_header, "the position"),
    {WHOLE("columns", FIELD_OPTIONAL, source_part_columns,
           "a list of columns, each with a header and a parameter"),
     .inside = &source_part_column_table},
    {SOURCE("parameter", FIELD_OPTIONAL, name_parameter, parameter, "the key of a parameter")},
    COLUMN("parameter column", parameter_header, "the parameter"),
    {SOURCE("parameter words", FIELD_OPTIONAL, source_part_parameter_words, parameters,
            "the file's words for parameters, as {TSS: suspended-solids}"),
     .note = "Only the exact key of a parameter is understood without being listed."},
    {WHOLE("ignored parameters", FIELD_OPTIONAL, source_part_ignored_parameters,
           "a list of the file's words for parameters that are not taken"),
     .note = "Or all others: every one that is not among the words. How many rows that were is "
             "told each time."},
    COLUMN("value column", value_header, "the value"),
    {SOURCE("unit", FIELD_OPTIONAL, value_text, unit, "a unit, as mg/L"),
     .note = "All are in weirbook words units."},
    COLUMN("unit column", unit_header, "the unit"),
    {SOURCE("unit words", FIELD_OPTIONAL, source_part_unit_words, units,
            "the file's words for units, as {mg per l: mg/L}"),
     .note = "A word that is a unit already can't be made one of another kind."},
    COLUMN("qualifier column", qualifier_header, "the sign < or >, or a word for it"),
    {SOURCE("qualifier words", FIELD_OPTIONAL, source_part_flag_words, qualifiers,
            "what the qualifier column's words mean, as {below limit: less than}"),
     .words = csv_flag_words,
     .note = "As flag words; the whole cell is the word. A less than without a number is below "
             "the row's own limit."},
    COLUMN("detection limit column", detection_header, "the detection limit"),
    COLUMN("quantitation limit column", quantitation_header, "the quantitation limit"),
    COLUMN("limit unit column", limit_unit_header, "the unit of both limits"),
    COLUMN("sample column", sample_header, "the sample's number"),
    {SOURCE("replicate column", FIELD_OPTIONAL, value_text, replicate_header,
            "the header of the column with the replicate"),
     .note = "Without a sample column the sample is called by its station and time."},
    COLUMN("method column", method_header, "the method"),
    COLUMN("taken by column", taken_by_header, "who took the sample"),
    COLUMN("purpose column", purpose_header, "what the sample is for"),
    {SOURCE("purpose words", FIELD_OPTIONAL, source_part_purpose_words, purposes,
            "what the purpose column's words mean, as {FB: blank}"),
     .words = purpose_words,
     .note = "Results of a check sample, a blank, a duplicate and the authority's own count for no "
             "clause. What is no word for a purpose is set aside."},
    {SOURCE("state words", FIELD_OPTIONAL, source_part_state_words, states,
            "the file's words for states, as {stopped: off}")},
    {WHOLE("blanks", FIELD_OPTIONAL, source_part_blanks, "a list of words that mean no value")},
    {WHOLE("not detected", FIELD_OPTIONAL, source_part_not_detected,
           "a list of words that mean not detected"),
     .note = "Beside those that always do: weirbook words not detected."},
    {SOURCE("flag words", FIELD_OPTIONAL, source_part_flag_words, flags,
            "what the file's flags mean, as {BAD: leave}"),
     .words = csv_flag_words,
     .note = "The cell may go on behind the word. Use: as good. Doubt: stored, and in doubt. "
             "Leave: set aside, a laboratory's result even where it has no number. Less than, more "
             "than, not detected: the number is a limit."},
    COLUMN("flag column", flag_header, "the flag of each row's value"),
    {WHOLE("ignored columns", FIELD_OPTIONAL, source_part_ignored,
           "a list of headers that are not taken"),
     .note = "Or all others: every one that the source does not name."},
    {SOURCE("instrument", FIELD_OPTIONAL, value_text, instrument,
            "the instrument, or the laboratory")},
    COLUMN("instrument column", instrument_header, "each row's instrument, or laboratory"),
    {SOURCE("kind", FIELD_REQUIRED, source_part_kind, kind, "how the values come about"),
     .words = source_part_kinds},
    {SOURCE("method", FIELD_OPTIONAL, value_text, method, "the method")},
    {SOURCE("silent after", FIELD_OPTIONAL, moment_length, silent_after_s,
            "how long no reading may come before it is a finding, as 2 hours"),
     .words = moment_length_words, .least = 60, .most = 366 * 86400,
     .note = "Counted from the newest reading of the source, and of each column of a wide one."},
    {SOURCE("ahead", FIELD_OPTIONAL, value_amount, ahead_minutes,
            "how far a clock may be ahead, as 10 minutes"),
     .words = minute_words, .least = 0, .most = 1440},
};

const struct field_table section_source_table = {"source", source_fields, ARRAY_LEN(source_fields)};

/* --- what must hold between the parts -------------------------------------------------------- */

/* Keys that only one of the two shapes has. */
static void check_shape(struct field_reader *reader, const struct yaml *node,
                        enum source_shape shape)
{
    static const struct {
        const char *key;
        enum source_shape shape;
    } rows[] = {
        {"columns", SOURCE_WIDE},
        {"parameter", SOURCE_LONG},
        {"parameter column", SOURCE_LONG},
        {"parameter words", SOURCE_LONG},
        {"value column", SOURCE_LONG},
        {"unit column", SOURCE_LONG},
        {"unit", SOURCE_LONG},
        {"qualifier column", SOURCE_LONG},
        {"detection limit column", SOURCE_LONG},
        {"quantitation limit column", SOURCE_LONG},
        {"ignored parameters", SOURCE_LONG},
        {"qualifier words", SOURCE_LONG},
        {"flag column", SOURCE_LONG},
        {"limit unit column", SOURCE_LONG},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (rows[i].shape != shape && yaml_find(node, rows[i].key))
            field_problem(reader, yaml_find(node, rows[i].key), NULL,
                          "`%s` has no place here: only a %s file has it", rows[i].key,
                          shape_words[rows[i].shape]);
}

/* Keys that only one kind of file has. */
static void check_format(struct field_reader *reader, const struct yaml *node,
                         enum source_format format)
{
    static const struct {
        const char *key;
        unsigned formats;
    } rows[] = {
        {"charset", 1U << SOURCE_CSV | 1U << SOURCE_JSON},
        {"separator", 1U << SOURCE_CSV},
        {"header line", 1U << SOURCE_CSV | 1U << SOURCE_XLSX},
        {"header rows", 1U << SOURCE_CSV | 1U << SOURCE_XLSX},
        {"lines after header", 1U << SOURCE_CSV | 1U << SOURCE_XLSX},
        {"comments start with", 1U << SOURCE_CSV | 1U << SOURCE_XLSX},
        {"sheets", 1U << SOURCE_XLSX},
        {"hidden", 1U << SOURCE_XLSX},
        {"records", 1U << SOURCE_JSON},
    };

    for (size_t i = 0; i < ARRAY_LEN(rows); i++)
        if (!(rows[i].formats & 1U << format) && yaml_find(node, rows[i].key))
            field_problem(reader, yaml_find(node, rows[i].key), NULL,
                          "`%s` has no place here: no %s file has it", rows[i].key,
                          format_words[format]);
}

/* What goes with the times of a file, and words that go with a column. */
static void check_times(struct field_reader *reader, const struct yaml *node,
                        const struct source *source)
{
    if (!source->time_format && source->format != SOURCE_XLSX && yaml_find(node, "time") &&
        !yaml_find(yaml_find(node, "time"), "format"))
        field_problem(reader, yaml_find(node, "time"), NULL,
                      "this time lacks `format`: expected how it is written, "
                      "as YYYY-MM-DD hh:mm");
    if (source->clocks.count > 0 && !source->clock_header)
        field_problem(reader, yaml_find(node, "clock words"), NULL,
                      "`clock words` has no place here: it goes with `clock column`");
    if (source->purposes.count > 0 && !source->purpose_header)
        field_problem(reader, yaml_find(node, "purpose words"), NULL,
                      "`purpose words` has no place here: it goes with `purpose column`");
    for (size_t i = 0; i < source->clocks.count; i++)
        if (str_equal(source->clocks.items[i].means, "local") && source->clock != CLOCK_LOCAL)
            field_problem(reader, yaml_find(node, "clock words"), NULL,
                          "'%s' is local: that goes with `clock: local`",
                          source->clocks.items[i].word);
}

/* One of two keys, not both and not none. */
static void check_one_of(struct field_reader *reader, const struct yaml *node, const char *one,
                         const char *other)
{
    const struct yaml *first = yaml_find(node, one);
    const struct yaml *second = yaml_find(node, other);

    if (!first && !second)
        field_problem(reader, node, NULL, "%s lacks `%s`: expected it or `%s`",
                      field_map_name(reader, &section_source_table, node), one, other);
    if (first && second)
        field_problem(reader, second, NULL, "`%s` beside `%s`: expected one of them", other, one);
}

/* Whether all that the source's words name are states. */
static bool only_states(struct field_reader *reader, const struct source *source)
{
    for (size_t i = 0; i < source->parameters.count; i++) {
        const struct parameter *parameter =
            name_find_parameter(reader, source->parameters.items[i].means);

        if (!parameter || parameter->kind != PARAMETER_STATE)
            return false;
    }

    return source->parameters.count > 0;
}

/* A state has no unit, so that a source of states alone needs none. */
static void check_source_unit(struct field_reader *reader, const struct yaml *node,
                              struct source *source)
{
    const struct parameter *parameter = name_find_parameter(reader, source->parameter);

    if (parameter && parameter->kind == PARAMETER_STATE) {
        if (source->unit)
            field_problem(reader, yaml_find(node, "unit"), NULL, "a state has no unit");
        return;
    }
    if (!yaml_find(node, "unit") && !yaml_find(node, "unit column") && only_states(reader, source))
        return;
    check_one_of(reader, node, "unit", "unit column");
    if (!source->unit)
        return;
    source->unit = name_unit(reader, yaml_find(node, "unit"), source->unit, parameter);
    if (source->unit)
        field_spell(reader, yaml_find(node, "unit"), source->unit);
}

static void check_wide_stations(struct field_reader *reader, const struct yaml *node,
                                const struct source *source)
{
    const struct yaml *columns = yaml_find(node, "columns");

    if (source->station && source->station_header)
        field_problem(reader, yaml_find(node, "station column"), NULL,
                      "`station column` beside `station`: expected one of them");
    if (source->station || source->station_header || !columns || columns->kind != YAML_LIST)
        return;
    for (size_t i = 0; i < columns->count; i++)
        if (!yaml_find(columns->items[i].value, "station"))
            field_problem(reader, columns->items[i].value, NULL,
                          "this column lacks `station`: expected it here, or `station` or "
                          "`station column` of the source");
}

static void check_source(struct field_reader *reader, const struct yaml *node,
                         struct source *source)
{
    if (source->zone && source->clock != CLOCK_LOCAL)
        field_problem(reader, yaml_find(node, "zone"), NULL,
                      "`zone` has no place here: it goes with `clock: local`");
    if (yaml_find(node, "separator") && source->separator == source->decimal)
        field_problem(reader, yaml_find(node, "separator"), NULL,
                      "`separator` and `decimal mark` are both a comma");
    check_format(reader, node, source->format);
    check_times(reader, node, source);
    if (!yaml_find(node, "shape"))
        return;
    check_shape(reader, node, source->shape);
    if (source->shape == SOURCE_WIDE) {
        check_wide_stations(reader, node, source);
        if (!yaml_find(node, "columns"))
            field_problem(reader, node, NULL, "%s lacks `columns`: expected a list of columns",
                          field_map_name(reader, &section_source_table, node));
        return;
    }
    check_one_of(reader, node, "station", "station column");
    check_one_of(reader, node, "parameter", "parameter column");
    check_source_unit(reader, node, source);
    if (!yaml_find(node, "value column"))
        field_problem(reader, node, NULL,
                      "%s lacks `value column`: expected the header of the column with the value",
                      field_map_name(reader, &section_source_table, node));
}

void section_sources(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_source own = {
            .source = {.charset = "utf-8", .decimal = '.', .ahead_minutes = 10}};

        if (!field_read_map(reader, &section_source_table, node, &own.source) ||
            !value_key_once(reader, &section_source_table, value, i) || !own.source.key)
            continue;
        check_source(reader, node, &own.source);
        own.definition = field_definition(reader, &section_source_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->sources, own);
        reader->spellings.count = 0;
    }
}
