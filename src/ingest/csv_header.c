#include "ingest/csv_header.h"

#include <string.h>
#include <strings.h>

#include "base/buf.h"
#include "base/str.h"
#include "ingest/place.h"

enum { SHOWN_MOST = 60 };

/* A column that must be in the file: its header, and where its cell's index goes. */
struct want {
    const char *header;
    size_t *cell;
    bool is_value; /* may have its unit behind its name */
    bool may_lack;
};

struct want_list {
    struct want *items;
    size_t count;
    size_t capacity;
};

static void want_add(struct arena *mem, struct want_list *wants, const char *header, size_t *cell,
                     bool is_value, bool may_lack)
{
    *cell = CELL_NONE;
    if (header)
        LIST_ADD(mem, wants, ((struct want){str_trim(mem, header), cell, is_value, may_lack}));
}

/* Every column the source names; the cells go into `header`. */
static struct want_list wants_of(struct arena *mem, const struct source *source,
                                 struct csv_header *header)
{
    const struct {
        enum csv_field field;
        const char *header;
    } fields[] = {
        {FIELD_TIME, source->time_headers[0]},
        {FIELD_TIME_2, source->time_headers[1]},
        {FIELD_UNTIL, source->until_headers[0]},
        {FIELD_UNTIL_2, source->until_headers[1]},
        {FIELD_STATION, source->station_header},
        {FIELD_POSITION, source->position_header},
        {FIELD_PARAMETER, source->parameter_header},
        {FIELD_VALUE, source->value_header},
        {FIELD_UNIT, source->unit_header},
        {FIELD_QUALIFIER, source->qualifier_header},
        {FIELD_DETECTION, source->detection_header},
        {FIELD_QUANTITATION, source->quantitation_header},
        {FIELD_SAMPLE, source->sample_header},
        {FIELD_REPLICATE, source->replicate_header},
        {FIELD_METHOD, source->method_header},
        {FIELD_TAKEN_BY, source->taken_by_header},
        {FIELD_PURPOSE, source->purpose_header},
        {FIELD_CLOCK, source->clock_header},
        {FIELD_FLAG, source->flag_header},
        {FIELD_INSTRUMENT, source->instrument_header},
        {FIELD_LIMIT_UNIT, source->limit_unit_header},
    };
    struct want_list wants = {0};

    for (size_t i = 0; i < ARRAY_LEN(fields); i++)
        want_add(mem, &wants, fields[i].header, &header->cells[fields[i].field], false, false);
    header->column_count = source->shape == SOURCE_WIDE ? source->column_count : 0;
    header->columns = ARENA_ARRAY(mem, struct csv_value_column, header->column_count);
    for (size_t i = 0; i < header->column_count; i++) {
        struct csv_value_column *column = &header->columns[i];

        column->mapped = &source->columns[i];
        want_add(mem, &wants, column->mapped->header, &column->cell, true,
                 column->mapped->may_lack);
        want_add(mem, &wants, column->mapped->flag_header, &column->flag_cell, false,
                 column->mapped->may_lack);
    }

    return wants;
}

/* "Temp" is the column "Temp (degC)". */
static bool is_name_before_unit(struct arena *mem, const char *name, const char *wanted)
{
    size_t length = 0;

    return csv_unit_of_header(mem, name, &length) && length == strlen(wanted) &&
           strncasecmp(name, wanted, length) == 0;
}

/* How many cells a wanted header is; *cell is the first of them. */
static size_t want_find(struct arena *mem, const struct want *want, const char *const *names,
                        size_t count, size_t *cell)
{
    size_t found = 0;

    for (size_t i = count; i-- > 0;)
        if (str_equal_nocase(names[i], want->header)) {
            *cell = i;
            found++;
        }
    for (size_t i = count; found == 0 && want->is_value && i-- > 0;)
        if (is_name_before_unit(mem, names[i], want->header)) {
            *cell = i;
            found++;
        }

    return found;
}

/* --- the separator --- */

static void split_add(struct arena *mem, const char *from, size_t length, const char **names,
                      size_t *count)
{
    char *name = str_trim(mem, arena_strndup(mem, from, length));
    size_t end = strlen(name);

    if (end >= 2 && name[0] == '"' && name[end - 1] == '"')
        name = str_trim(mem, arena_strndup(mem, name + 1, end - 2));
    names[(*count)++] = name;
}

/* Names between the separators outside quotes. */
static size_t split(struct arena *mem, const char *line, size_t length, char separator,
                    const char **names)
{
    size_t count = 0;
    size_t from = 0;
    bool in_quotes = false;

    for (size_t i = 0; i < length && count + 1 < CSV_COLUMNS_MOST; i++) {
        if (line[i] == '"')
            in_quotes = !in_quotes;
        if (line[i] == separator && !in_quotes) {
            split_add(mem, line + from, i - from, names, &count);
            from = i + 1;
        }
    }
    split_add(mem, line + from, length - from, names, &count);

    return count;
}

/* What of the source is among these names. */
static struct csv_header_look names_look(struct arena *mem, const struct source *source,
                                         const char *const *names, size_t count)
{
    struct csv_header header = {0};
    struct want_list wants = wants_of(mem, source, &header);
    struct csv_header_look look = {.complete = true};
    bool has_values = source->shape == SOURCE_LONG;

    for (size_t i = 0; i < wants.count; i++) {
        size_t cell;
        bool found = want_find(mem, &wants.items[i], names, count, &cell) > 0;

        look.found += found;
        has_values = has_values || (found && wants.items[i].is_value);
        look.complete = look.complete && (found || wants.items[i].may_lack);
    }
    look.complete = look.complete && has_values;

    return look;
}

static struct header_names line_split(struct arena *mem, const char *line, size_t length,
                                      char separator)
{
    struct header_names names = {.items = ARENA_ARRAY(mem, const char *, CSV_COLUMNS_MOST)};

    names.count = split(mem, line, length, separator, names.items);

    return names;
}

struct header_names csv_header_split(struct arena *mem, const char *line, char separator)
{
    return line ? line_split(mem, line, strlen(line), separator)
                : (struct header_names){.count = 0};
}

/* The names of a line under those of the one above it, where the source's header has two rows. */
static struct header_names names_under(struct arena *mem, const struct source *source,
                                       const struct header_names *above,
                                       const struct header_names *names)
{
    return source->header_rows == 2 && above ? header_names_join(mem, above, names) : *names;
}

struct csv_header_look csv_header_look(struct arena *mem, const struct source *source,
                                       const char *above, const char *line, size_t length,
                                       char separator)
{
    static const char separators[] = {',', ';', '\t', '|'};
    struct csv_header_look best = {.separator = separator ? separator : ','};

    for (size_t i = 0; i < ARRAY_LEN(separators); i++) {
        if (separator && separators[i] != separator)
            continue;

        const struct header_names own = line_split(mem, line, length, separators[i]);
        const struct header_names upper = csv_header_split(mem, above, separators[i]);
        const struct header_names names = names_under(mem, source, &upper, &own);
        struct csv_header_look look = names_look(mem, source, names.items, names.count);

        if (look.found > best.found) {
            best = look;
            best.separator = separators[i];
        }
    }

    return best;
}

struct csv_header_look csv_header_look_row(struct arena *mem, const struct source *source,
                                           const struct header_names *above,
                                           const struct csv_row *row)
{
    const struct header_names own = header_names_of(mem, row);
    const struct header_names names = names_under(mem, source, above, &own);

    return names_look(mem, source, names.items, names.count);
}

struct csv_names csv_header_wanted(struct arena *mem, const struct source *source)
{
    struct csv_header header = {0};
    struct want_list wants = wants_of(mem, source, &header);
    struct csv_names names = {0};

    for (size_t i = 0; i < wants.count; i++) {
        bool known = false;

        for (size_t j = 0; j < names.count && !known; j++)
            known = str_equal_nocase(names.items[j], wants.items[i].header);
        if (!known)
            LIST_ADD(mem, &names, wants.items[i].header);
    }

    return names;
}

/* --- the columns --- */

/* The name without the unit behind it. */
static const char *name_bare(struct arena *mem, const char *name)
{
    size_t length = strlen(name);

    (void)csv_unit_of_header(mem, name, &length);

    return arena_strndup(mem, name, length);
}

struct csv_names csv_header_names_known(struct arena *mem, const struct source *source,
                                        const struct csv_header *header)
{
    struct csv_names names = csv_header_wanted(mem, source);

    for (size_t i = 0; i < header->count; i++)
        if (*header->names[i])
            LIST_ADD(mem, &names, header->names[i]);

    return names;
}

bool csv_header_name_is_among(struct arena *mem, const struct csv_names *names, const char *name)
{
    const char *bare = name_bare(mem, name);

    for (size_t i = 0; i < names->count; i++)
        if (str_equal_nocase(bare, name_bare(mem, names->items[i])))
            return true;

    return false;
}

bool csv_header_ignores(const struct source *source, const char *name)
{
    if (source->ignores_other_headers)
        return true;
    for (size_t i = 0; i < source->ignored_header_count; i++)
        if (str_equal_nocase(source->ignored_headers[i], name))
            return true;

    return false;
}

static void header_names(struct arena *mem, const struct csv_row *row, struct csv_header *header)
{
    header->names = ARENA_ARRAY(mem, const char *, row->count);
    for (size_t i = 0; i < row->count; i++) {
        header->names[i] = str_trim(mem, row->cells[i].text);
        if (*header->names[i])
            header->count = i + 1;
    }
    while (header->first_unnamed < header->count && *header->names[header->first_unnamed])
        header->first_unnamed++;
}

/* Whether the column is one that the source names. */
static bool is_wanted(struct arena *mem, const struct want_list *wants, const char *name)
{
    size_t cell;

    for (size_t i = 0; i < wants->count; i++)
        if (want_find(mem, &wants->items[i], &name, 1, &cell) > 0)
            return true;

    return false;
}

/* The nearest name among the columns that the source does not name, units aside; or NULL. */
static const char *near_name(struct arena *mem, const struct want_list *wants,
                             const struct csv_header *header, const char *wanted)
{
    const char **bare = ARENA_ARRAY(mem, const char *, header->count);
    size_t count = 0;

    for (size_t i = 0; i < header->count; i++)
        if (*header->names[i] && !is_wanted(mem, wants, header->names[i]))
            bare[count++] = name_bare(mem, header->names[i]);

    return str_nearest(name_bare(mem, wanted), bare, count);
}

static bool fail_missing(struct arena *mem, const struct want_list *wants,
                         const struct csv_header *header, const struct want *want, int32_t line,
                         struct err *err)
{
    const char *near = near_name(mem, wants, header, want->header);

    (void)err_set(err, ERR_INVALID, "line %d: the header has no column '%s'", line,
                  str_show(mem, want->header, SHOWN_MOST));
    if (near)
        return err_hint(err, "Did you mean '%s'? Correct the column in the source.",
                        str_show(mem, near, SHOWN_MOST));

    return err_hint(err,
                    "See that the source names the header's line, separator and columns as "
                    "they are in the file; the first column is '%s'.",
                    header->count > 0 ? str_show(mem, header->names[0], SHOWN_MOST) : "");
}

static bool fail_twice(struct arena *mem, const struct csv_header *header, size_t cell,
                       int32_t line, struct err *err)
{
    size_t again = cell + 1;

    while (!str_equal_nocase(header->names[cell], header->names[again]))
        again++;
    (void)err_set(err, ERR_INVALID, "line %d: columns %zu and %zu are both named '%s'", line,
                  cell + 1, again + 1, str_show(mem, header->names[cell], SHOWN_MOST));

    return err_hint(err, "Give each column its own name in the file, so that none is mistaken; or, "
                         "where names in the row above tell them apart, say `header rows: 2` in "
                         "the source.");
}

static bool wants_find(struct arena *mem, const struct want_list *wants,
                       const struct csv_header *header, bool *taken, int32_t line, struct err *err)
{
    for (size_t i = 0; i < wants->count; i++) {
        const struct want *want = &wants->items[i];
        size_t cell = CELL_NONE;
        size_t found = want_find(mem, want, header->names, header->count, &cell);

        if (found == 0 && want->may_lack)
            continue;
        if (found == 0)
            return fail_missing(mem, wants, header, want, line, err);
        if (found > 1)
            return fail_twice(mem, header, cell, line, err);
        *want->cell = cell;
        taken[cell] = true;
    }

    return true;
}

/* Every named column must be taken or ignored; those that are neither are listed. */
static bool refuse_unmapped(struct arena *mem, const struct source *source,
                            const struct csv_header *header, const bool *taken, int32_t line,
                            struct err *err)
{
    struct buf list = buf_new(mem);
    size_t count = 0;

    for (size_t i = 0; i < header->count; i++) {
        if (taken[i] || !*header->names[i] || csv_header_ignores(source, header->names[i]))
            continue;
        buf_addf(&list, "%s%zu '%s'", count++ ? ", " : "", i + 1,
                 str_show(mem, header->names[i], SHOWN_MOST));
    }
    if (count == 0)
        return true;
    (void)err_set(err, ERR_INVALID, "line %d: %s neither mapped nor ignored by the source: %.200s",
                  line, count == 1 ? "a column is" : "columns are", list.data);

    return err_hint(err, "Map each in the source, or list it there under the columns to ignore.");
}

static bool columns_complete(struct arena *mem, const struct parameter_list *parameters,
                             struct csv_header *header, struct err *err)
{
    size_t length;

    for (size_t i = 0; i < header->column_count; i++) {
        struct csv_value_column *column = &header->columns[i];

        if (!parameter_require(parameters, column->mapped->parameter, &column->parameter, err))
            return err_wrap(err, "column '%.60s'", column->mapped->header);
        if (column->cell != CELL_NONE)
            column->header_unit = csv_unit_of_header(mem, header->names[column->cell], &length);
    }

    return true;
}

int32_t csv_header_line(const struct source *source, const struct csv_row *row)
{
    return source->format == SOURCE_XLSX ? place_row(row->line) : row->line;
}

bool csv_header_read(struct arena *mem, const struct source *source,
                     const struct parameter_list *parameters, const struct csv_row *row,
                     struct csv_header *out, struct err *err)
{
    struct csv_header header = {0};
    int32_t line = csv_header_line(source, row);
    bool *taken = ARENA_ARRAY(mem, bool, row->count);

    if (row->fault != CSV_GOOD) {
        (void)err_set(err, ERR_INVALID, "line %d: the header can't be read: %s (line %d, place %d)",
                      line, csv_fault_words(row->fault), row->fault_line, row->fault_place);
        return err_hint(err, "See that the source names the line the header is on.");
    }
    header_names(mem, row, &header);

    struct want_list wants = wants_of(mem, source, &header);

    if (!wants_find(mem, &wants, &header, taken, line, err) ||
        !refuse_unmapped(mem, source, &header, taken, line, err) ||
        !columns_complete(mem, parameters, &header, err))
        return false;
    header.taken = taken;
    *out = header;

    return true;
}

/* The source's column of values of that name, units aside, or NULL. */
static const struct source_column *column_named(struct arena *mem, const struct source *source,
                                                const char *name)
{
    const char *bare = name_bare(mem, name);

    for (size_t i = 0; i < source->column_count; i++)
        if (str_equal_nocase(bare, name_bare(mem, source->columns[i].header)))
            return &source->columns[i];

    return NULL;
}

/* Times stand where they stood, unless something else does. */
static void times_keep(const struct csv_header *before, struct csv_header *header, bool *taken)
{
    static const enum csv_field fields[] = {FIELD_TIME, FIELD_TIME_2};

    if (header->cells[FIELD_TIME] != CELL_NONE)
        return;
    for (size_t i = 0; i < ARRAY_LEN(fields); i++) {
        size_t cell = before->cells[fields[i]];

        if (cell >= header->count || taken[cell])
            continue;
        header->cells[fields[i]] = cell;
        taken[cell] = true;
    }
}

/* Every cell that may be a value's. */
static void columns_part(struct arena *mem, const struct source *source,
                         const struct parameter_list *parameters, const bool *taken,
                         struct csv_header *header)
{
    header->column_count = 0;
    header->columns = ARENA_ARRAY(mem, struct csv_value_column, header->count);
    for (size_t i = 0; source->shape == SOURCE_WIDE && i < header->count; i++) {
        const struct source_column *mapped = column_named(mem, source, header->names[i]);

        if (taken[i] || !*header->names[i] ||
            (!mapped && csv_header_ignores(source, header->names[i])))
            continue;
        header->columns[header->column_count++] = (struct csv_value_column){
            .mapped = mapped,
            .parameter = mapped ? parameter_find(parameters, mapped->parameter) : NULL,
            .cell = i,
            .flag_cell = CELL_NONE,
        };
    }
}

void csv_header_read_part(struct arena *mem, const struct source *source,
                          const struct parameter_list *parameters, const struct csv_row *row,
                          struct csv_header *header)
{
    struct csv_header part = {0};
    bool *taken = ARENA_ARRAY(mem, bool, row->count);

    header_names(mem, row, &part);

    struct want_list wants = wants_of(mem, source, &part);

    for (size_t i = 0; i < wants.count; i++)
        if (!wants.items[i].is_value &&
            want_find(mem, &wants.items[i], part.names, part.count, wants.items[i].cell) > 0)
            taken[*wants.items[i].cell] = true;
    times_keep(header, &part, taken);
    columns_part(mem, source, parameters, taken, &part);
    part.taken = taken;
    *header = part;
}

bool csv_header_refuse(struct arena *mem, const struct source *source,
                       const struct parameter_list *parameters, int32_t number, const char *above,
                       const char *line, char separator, struct err *err)
{
    const struct header_names own = csv_header_split(mem, line, separator);
    const struct header_names upper = csv_header_split(mem, above, separator);
    const struct header_names names = names_under(mem, source, &upper, &own);
    const struct csv_row row = header_row_of(mem, &(struct csv_row){.line = number}, &names);
    struct csv_header header;

    if (!csv_header_read(mem, source, parameters, &row, &header, err))
        return false;

    return err_set(err, ERR_INVALID, "line %d: it names no column of values", number);
}

bool csv_header_repeats(const struct csv_header *header, const struct csv_row *row)
{
    const struct header_names names = {header->names, header->count};

    return header_names_repeat(&names, row, header->count);
}
