#include "fuzz.h"

static const struct source_column columns[] = {
    {.header = "Temp", .parameter = "temperature"},
    {.header = "DO", .parameter = "oxygen", .flag_header = "Flag", .may_lack = true},
    {.header = "Level", .parameter = "level", .unit = "mm", .position = "deep", .may_lack = true},
    {.header = "Outlet", .parameter = "outlet", .may_lack = true},
};

static const struct source_word parameters[] = {{"TSS", "suspended-solids"},
                                                {"E. coli", "ecoli-mpn"}};
static const struct source_word stations[] = {{"Site A", "outlet"}, {"Site B", "intake"}};
static const struct source_word flags[] = {{"ok", "use"}, {"odd", "doubt"}, {"bad", "leave"}};
static const struct source_word qualifiers[] = {
    {"below", "less than"}, {"nd", "not detected"}, {"over", "more than"}};
static const struct source_word units[] = {{"mgl", "mg/L"}};
static const struct source_word clocks[] = {{"W", "local"}, {"Z", "UTC"}, {"S", "+12:00"}};
static const char *const remarks[] = {"#", "//"};
static const char *const blanks[] = {"-", "n/a"};
static const char *const not_detected[] = {"ND"};
static const char *const sheets[] = {"Results"};

#define WORDS(list)                                                                                \
    {                                                                                              \
        (list), ARRAY_LEN(list)                                                                    \
    }

#define WIDE                                                                                       \
    .shape = SOURCE_WIDE, .time_headers = {"Time"}, .time_format = "YYYY-MM-DD hh:mm",             \
    .columns = columns, .column_count = ARRAY_LEN(columns), .kind = KIND_PROBE,                    \
    .instrument = "sonde 1", .ahead_minutes = 10, .flags = WORDS(flags), .decimal = '.'

#define LONG                                                                                       \
    .shape = SOURCE_LONG, .parameter_header = "Test", .parameters = WORDS(parameters),             \
    .value_header = "Result", .unit_header = "Unit", .units = WORDS(units), .kind = KIND_GRAB,     \
    .instrument = "an invented laboratory", .ahead_minutes = 10, .decimal = '.',                   \
    .station_header = "Site", .stations = WORDS(stations)

static const struct source sources[] = {
    {.key = "a", WIDE, .header_line = 1, .clock = CLOCK_UTC, .station = "pond"},
    {.key = "b",
     WIDE,
     .header_line = 0,
     .clock = CLOCK_LOCAL,
     .station = "pond",
     .comment_starts = remarks,
     .comment_start_count = ARRAY_LEN(remarks),
     .ignores_other_headers = true,
     .blanks = blanks,
     .blank_count = ARRAY_LEN(blanks)},
    {.key = "c",
     .shape = SOURCE_WIDE,
     .header_line = 2,
     .skip_after_header = 1,
     .charset = "windows-1252",
     .separator = ';',
     .decimal = ',',
     .clock = CLOCK_OFFSET,
     .offset_s = 43200,
     .time_headers = {"Date", "Hour"},
     .time_format = "D/M/YYYY h:mm:ss",
     .date_alone = DATE_ALONE_DAY,
     .station_header = "Site",
     .stations = WORDS(stations),
     .position_header = "Depth",
     .columns = columns,
     .column_count = ARRAY_LEN(columns),
     .clock_header = "Clock",
     .clocks = WORDS(clocks),
     .ignores_other_headers = true,
     .kind = KIND_PROBE,
     .ahead_minutes = 10},
    {.key = "d",
     LONG,
     .header_line = 1,
     .clock = CLOCK_LOCAL,
     .time_headers = {"Date", "Hour"},
     .time_format = "DD/MM/YYYY h:mm",
     .not_detected = not_detected,
     .not_detected_count = ARRAY_LEN(not_detected)},
    {.key = "e",
     LONG,
     .header_line = 0,
     .clock = CLOCK_UTC,
     .time_headers = {"Time"},
     .time_format = "YYYY-MM-DD hh:mm",
     .until_headers = {"Until"},
     .qualifier_header = "Sign",
     .qualifiers = WORDS(qualifiers),
     .detection_header = "LOD",
     .quantitation_header = "LOQ",
     .sample_header = "Sample",
     .replicate_header = "Rep",
     .method_header = "Method",
     .taken_by_header = "By",
     .purpose_header = "For",
     .flag_header = "Flag",
     .flags = WORDS(flags),
     .ignores_other_parameters = true,
     .ignores_other_headers = true},
    {.key = "f",
     WIDE,
     .header_line = 0,
     .clock = CLOCK_UTC,
     .station = "pond",
     .sheets = sheets,
     .sheet_count = 1,
     .leaves_hidden = true,
     .records = "data.rows"},
};

const struct source *fuzz_source(unsigned char letter, enum source_format format)
{
    static struct source source;

    source = sources[letter % ARRAY_LEN(sources)];
    source.format = format;
    if (format == SOURCE_XLSX && source.shape == SOURCE_WIDE && !source.time_headers[1])
        source.time_format = NULL;

    return &source;
}

size_t fuzz_piece(unsigned char letter)
{
    static const size_t pieces[] = {1, 7, 64, 65536};

    return pieces[letter % ARRAY_LEN(pieces)];
}
