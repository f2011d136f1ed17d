#include "ingest/csv_row.h"

#include <assert.h>
#include <string.h>

#include "base/str.h"
#include "ingest/cell_shown.h"
#include "ingest/csv_shape.h"
#include "ingest/csv_word.h"
#include "ingest/limit_unit.h"

enum { SHOWN_MOST = 60 };

/* What all values of a row share. */
struct row_facts {
    const struct csv_row *row;
    struct trouble trouble; /* of shape, bytes, time or a label */
    size_t cell;            /* of the trouble, CELL_NONE the whole row */
    instant at;
    instant until;
    const char *station; /* NULL with trouble of its own, which a column with a station escapes */
    struct trouble station_trouble;
    const char *position;
    const char *method;
    const char *made_by; /* by the row, or NULL */
    const char *sample;
    const char *replicate;
    const char *purpose;
    const char *taken_by;
};

/* --- what a row's values share --- */

/* Whether a cell is missing because its row was cut off: that is no blank. */
static bool is_cut_off(const struct row_facts *facts, size_t cell)
{
    return facts->trouble.words && facts->trouble.reason == PROBLEM_ROW_CUT &&
           cell >= facts->row->count;
}

/* A label of at most LABEL_MOST bytes, or NULL where there is none. */
static const char *label_read(struct csv_reader *reader, struct row_facts *facts,
                              enum csv_field field)
{
    if (reader->header.cells[field] == CELL_NONE)
        return NULL;

    const char *text = csv_field_text(reader, facts->row, field);

    if (strlen(text) > LABEL_MOST) {
        if (!facts->trouble.words) {
            facts->cell = reader->header.cells[field];
            facts->trouble = (struct trouble){
                PROBLEM_ROW_SHAPE,
                arena_printf(
                    reader->row_mem, "'%s' is longer than %d bytes",
                    str_show(reader->row_mem, reader->header.names[facts->cell], SHOWN_MOST),
                    LABEL_MOST),
                "Shorten the cell.",
            };
        }
        return NULL;
    }

    return *text ? text : NULL;
}

/* Labels that are part of a series, kept for the whole file; `otherwise` where there is none. */
static bool series_label(struct csv_reader *reader, struct row_facts *facts, enum csv_field field,
                         const char *otherwise, const char **out, struct err *err)
{
    const char *text = label_read(reader, facts, field);

    *out = otherwise ? otherwise : "";

    return !text || csv_word_label(reader, text, out, err);
}

static void station_read(struct csv_reader *reader, struct row_facts *facts)
{
    if (reader->header.cells[FIELD_STATION] == CELL_NONE) {
        facts->station = reader->source->station;
        return;
    }
    facts->station = csv_word_station(reader, csv_field_text(reader, facts->row, FIELD_STATION),
                                      &facts->station_trouble);
}

static void purpose_read(struct csv_reader *reader, struct row_facts *facts)
{
    const char *word = label_read(reader, facts, FIELD_PURPOSE);
    struct trouble trouble = {0};

    if (!word)
        return;
    facts->purpose = csv_word_purpose(reader, word, &trouble);
    if (facts->purpose || facts->trouble.words)
        return;
    facts->trouble = trouble;
    facts->cell = reader->header.cells[FIELD_PURPOSE];
}

static bool facts_read(struct csv_reader *reader, const struct csv_row *row,
                       const struct row_time *time, struct row_facts *out, struct err *err)
{
    *out = (struct row_facts){.row = row, .at = time->at, .until = time->until};
    csv_shape_check(reader, row, time, &out->trouble, &out->cell);
    if (time->trouble.words && !out->trouble.words) {
        out->trouble = time->trouble;
        out->cell = time->cell;
    }
    station_read(reader, out);
    out->sample = label_read(reader, out, FIELD_SAMPLE);
    out->replicate = label_read(reader, out, FIELD_REPLICATE);
    purpose_read(reader, out);
    out->taken_by = label_read(reader, out, FIELD_TAKEN_BY);

    return series_label(reader, out, FIELD_POSITION, NULL, &out->position, err) &&
           series_label(reader, out, FIELD_METHOD, reader->source->method, &out->method, err) &&
           series_label(reader, out, FIELD_INSTRUMENT, NULL, &out->made_by, err);
}

/* --- one value to a draft or a problem --- */

/* Where a person finds a value: line and column of its cell, or 0 for the whole row. */
struct value_place {
    int32_t line;
    int32_t column;
};

/* A record's values lie anywhere in its text: `home` is the value's own cell. */
static struct value_place place_of(const struct csv_row *row, size_t cell, size_t home)
{
    if (!row->is_record)
        return (struct value_place){row->line, cell == CELL_NONE ? 0 : (int32_t)cell + 1};
    if (home < row->count && row->cells[home].line > 0)
        return (struct value_place){row->cells[home].line, row->cells[home].place};

    return (struct value_place){row->line, row->place};
}

/* A value with what belongs to it alone. */
struct value_facts {
    const struct parameter *parameter; /* NULL not known */
    const char *station;               /* NULL not known */
    struct csv_value value;
    struct trouble trouble;
    size_t cell;      /* that the problem is filed under */
    size_t home;      /* of the value itself; CELL_NONE none */
    const char *text; /* the row or cell as it stands in the file */
};

static bool value_set_aside(struct csv_reader *reader, const struct row_facts *facts,
                            const struct value_facts *value, struct err *err)
{
    const struct value_place place = place_of(facts->row, value->cell, value->home);
    const struct problem problem = {
        .reason = value->trouble.reason,
        .line = place.line,
        .column = place.column,
        .words = value->trouble.words,
        .todo = value->trouble.todo,
        .text = value->text,
        .station = value->station,
        .parameter = value->parameter ? value->parameter->key : NULL,
        .at = facts->at,
        .has_value = value->value.has_value,
        .qualifier = value->value.qualifier,
        .value = value->value.reported,
        .unit = value->value.unit,
        .from_probe = reader->source->kind == KIND_PROBE,
    };

    return batch_add_problem(&reader->batch, &problem, err);
}

static bool value_store(struct csv_reader *reader, const struct row_facts *facts,
                        const struct value_facts *value, uint32_t series, const char *doubt,
                        struct err *err)
{
    const struct value_place place = place_of(facts->row, value->cell, value->home);
    const char *sample = facts->sample;

    /* Replicates of a sample without a number are told apart all the same. */
    if (!sample && facts->replicate)
        sample = arena_printf(reader->row_mem, "%s %s", value->station,
                              instant_text(reader->row_mem, facts->at));

    const struct draft draft = {
        .series = series,
        .at = facts->at,
        .until = facts->until,
        .qualifier = value->value.qualifier,
        .reported = value->value.reported,
        .unit = value->value.unit,
        .value = value->value.value,
        .has_limits = value->value.has_limits,
        .detection = value->value.detection,
        .quantitation = value->value.quantitation,
        .sample = sample,
        .replicate = facts->replicate,
        .purpose = facts->purpose,
        .taken_by = facts->taken_by,
        .doubt = doubt,
        .line = place.line,
        .column = place.column,
    };

    return batch_add_draft(&reader->batch, &draft, err);
}

static const char *row_text(const struct csv_reader *reader, const struct csv_row *row)
{
    return csv_row_text(reader->row_mem, row, PROBLEM_TEXT_MOST);
}

static bool value_blank(struct csv_reader *reader, const struct csv_row *row, size_t home,
                        struct err *err)
{
    const struct value_place place = place_of(row, home, home);

    return batch_add_blank(&reader->batch, place.line, place.column, err);
}

/* Who made a value: its column's word, else the row's, else the source's. */
static const char *made_by_of(const struct csv_reader *reader, const struct row_facts *facts,
                              const char *of_column)
{
    const char *of_source = reader->source->instrument ? reader->source->instrument : "";

    return of_column ? of_column : *facts->made_by ? facts->made_by : of_source;
}

/* --- wide: a cell a value --- */

static bool column_series(struct csv_reader *reader, struct csv_value_column *column,
                          const struct row_facts *facts, const char *station, struct err *err)
{
    const char *position = column->mapped->position ? column->mapped->position : facts->position;
    const char *made_by = made_by_of(reader, facts, column->mapped->instrument);

    if (column->series_station == station && column->series_position == position &&
        column->series_method == facts->method && column->series_made_by == made_by)
        return true;

    const struct draft_series series = {
        .station = station,
        .position = position,
        .parameter = column->parameter->key,
        .matrix = column->parameter->matrix,
        .method = facts->method,
        .made_by = made_by,
        .kind = reader->kind,
    };

    if (!batch_series(&reader->batch, &series, &column->series, err))
        return false;
    column->series_station = station;
    column->series_position = position;
    column->series_method = facts->method;
    column->series_made_by = made_by;

    return true;
}

/* What the file's own flag says of a value: its text, "" where the file has no such cell. */
struct flag_facts {
    const char *text;
    enum csv_flag flag;
};

static struct flag_facts flag_read(struct csv_reader *reader, const struct csv_row *row,
                                   size_t cell)
{
    const char *text = cell < row->count ? str_trim(reader->row_mem, row->cells[cell].text) : "";

    return (struct flag_facts){text,
                               cell == CELL_NONE ? FLAG_USE : csv_flag_read(reader->source, text)};
}

/* Its text in *doubt, or trouble. */
static void flag_take(struct csv_reader *reader, const struct flag_facts *told,
                      struct value_facts *value, const char **doubt)
{
    const char *text = told->text;
    enum csv_flag flag = told->flag;

    if (flag == FLAG_DOUBT)
        *doubt = text;
    if ((flag != FLAG_LEAVE && flag != FLAG_UNKNOWN) || value->trouble.words)
        return;
    value->trouble = (struct trouble){
        PROBLEM_FLAGGED,
        arena_printf(reader->row_mem,
                     flag == FLAG_LEAVE ? "its flag '%s' says that it may not be used"
                                        : "its flag '%s' is not among the source's flags",
                     str_show(reader->row_mem, text, SHOWN_MOST)),
        flag == FLAG_LEAVE
            ? "Leave it out with the flag as the reason, or accept it if the flag is "
              "wrong."
            : "Say in the source what the flag means: weirbook words sources.",
    };
}

static bool column_take(struct csv_reader *reader, const struct row_facts *facts,
                        struct csv_value_column *column, struct err *err)
{
    const struct csv_row *row = facts->row;
    const char *text = column->cell < row->count ? row->cells[column->cell].text : "";
    const struct flag_facts flag = flag_read(reader, row, column->flag_cell);
    const struct csv_value_cells cells = {text, "", "", "", flag.flag};
    struct value_facts value = {
        .parameter = column->parameter,
        .station = column->mapped->station ? column->mapped->station : facts->station,
        .trouble = facts->trouble,
        .cell = column->cell,
        .home = column->cell,
        .text = text,
    };
    const char *doubt = NULL;

    csv_value_read(&reader->value_rules, column->parameter, column->unit, &cells, &value.value);
    if (value.value.is_blank && !is_cut_off(facts, column->cell))
        return value_blank(reader, row, column->cell, err);
    cell_shown_check(reader, row, column->cell, column->parameter, &value.value);
    if (!value.trouble.words && !value.station)
        value.trouble = facts->station_trouble;
    if (value.trouble.words) {
        value.text = row_text(reader, row);
        return value_set_aside(reader, facts, &value, err);
    }
    value.trouble = value.value.trouble;
    flag_take(reader, &flag, &value, &doubt);
    if (value.trouble.words)
        return value_set_aside(reader, facts, &value, err);

    return column_series(reader, column, facts, value.station, err) &&
           value_store(reader, facts, &value, column->series, doubt, err);
}

/* Cells that are not taken, to a sink that asks: one may have waited while its column was unknown.
 */
static bool ignored_tell(const struct csv_reader *reader, const struct csv_row *row,
                         struct err *err)
{
    const struct ingest_sink *sink = reader->batch.sink;
    const struct csv_header *header = &reader->header;

    for (size_t i = 0; sink->blank && !row->is_record && i < header->count; i++) {
        if (header->taken[i] || !*header->names[i])
            continue;
        reader->batch.counts->ignored_cells++;
        if (!sink->blank(sink->context, row->line, (int32_t)i + 1, err))
            return false;
    }

    return true;
}

static bool wide_take(struct csv_reader *reader, const struct row_facts *facts, struct err *err)
{
    struct ingest_counts *counts = reader->batch.counts;
    int64_t blank = counts->blank;
    int64_t before = counts->values_in;

    for (size_t i = 0; i < reader->header.column_count; i++)
        if (reader->header.columns[i].cell != CELL_NONE &&
            !column_take(reader, facts, &reader->header.columns[i], err))
            return false;

    if (!ignored_tell(reader, facts->row, err))
        return false;

    /* What stands in cells that are no columns may be values that slipped sideways. */
    if (facts->trouble.reason == PROBLEM_ROW_SHAPE && facts->trouble.words &&
        counts->blank - blank == counts->values_in - before) {
        const struct value_facts whole = {.trouble = facts->trouble,
                                          .station = facts->station,
                                          .cell = CELL_NONE,
                                          .home = CELL_NONE,
                                          .text = row_text(reader, facts->row)};

        return value_set_aside(reader, facts, &whole, err);
    }

    return true;
}

/* --- long: a row a value --- */

/* The cells of a long row's value, in the order of enum csv_value_cell. */
static const enum csv_field value_fields[] = {FIELD_VALUE, FIELD_QUALIFIER, FIELD_DETECTION,
                                              FIELD_QUANTITATION};

static const char *raw_text(const struct csv_reader *reader, const struct csv_row *row,
                            enum csv_field field)
{
    size_t cell = reader->header.cells[field];

    return cell < row->count ? row->cells[cell].text : "";
}

static const char *unit_word(struct csv_reader *reader, const struct csv_row *row)
{
    const char *word = csv_field_text(reader, row, FIELD_UNIT);

    if (!*word)
        word = csv_field_text(reader, row, FIELD_LIMIT_UNIT);

    return !*word && reader->source->unit ? reader->source->unit : word;
}

/* The parameter's unit by the row; NULL for a state, and where there is no parameter. */
static const struct csv_unit *long_unit(struct csv_reader *reader, const struct csv_row *row,
                                        const struct parameter *parameter)
{
    if (!parameter || parameter->kind == PARAMETER_STATE)
        return NULL;

    return csv_unit_find(&reader->units, parameter, unit_word(reader, row));
}

/* Whether the farm does not take this parameter: a row that is no value of it. */
static bool is_ignored_parameter(struct csv_reader *reader, const struct row_facts *facts,
                                 const char *word, const struct parameter *parameter)
{
    const struct source *source = reader->source;

    if (facts->trouble.words && facts->trouble.reason == PROBLEM_ROW_SHAPE)
        return false;
    for (size_t i = 0; i < source->ignored_parameter_count; i++)
        if (str_equal_nocase(source->ignored_parameters[i], word))
            return true;

    return source->ignores_other_parameters && !parameter && *word;
}

/* Choose what is told of a row with trouble, and the cell it is told of. */
static void long_trouble(const struct csv_reader *reader, const struct row_facts *facts,
                         const struct trouble *parameter_trouble, struct value_facts *value)
{
    const size_t *cells = reader->header.cells;
    const struct trouble *of_value = &value->value.trouble;

    if (facts->trouble.words) {
        value->trouble = facts->trouble;
        value->cell = facts->cell;
    } else if (!value->station) {
        value->trouble = facts->station_trouble;
        value->cell = cells[FIELD_STATION];
    } else if (!value->parameter) {
        value->trouble = *parameter_trouble;
        value->cell = cells[FIELD_PARAMETER];
    } else if (of_value->words) {
        bool of_unit =
            of_value->reason == PROBLEM_UNIT_UNKNOWN || of_value->reason == PROBLEM_UNIT_UNFIT;

        value->trouble = *of_value;
        value->cell = cells[of_unit ? FIELD_UNIT : value_fields[value->value.at_fault]];
    }
}

/* A result whose cells moved, or that was cut, may be any number: "1,900" is no 1. */
static void forget_moved(const struct csv_reader *reader, const struct row_facts *facts,
                         struct csv_value *value)
{
    if (!facts->trouble.words || reader->source->kind == KIND_PROBE ||
        (facts->trouble.reason != PROBLEM_ROW_SHAPE && facts->trouble.reason != PROBLEM_ROW_CUT))
        return;
    value->has_value = false;
    value->unit = NULL;
}

static bool long_take(struct csv_reader *reader, const struct row_facts *facts, struct err *err)
{
    const struct csv_row *row = facts->row;
    const struct source *source = reader->source;
    struct trouble parameter_trouble = {0};
    const char *word =
        source->parameter_header ? csv_field_text(reader, row, FIELD_PARAMETER) : source->parameter;
    struct value_facts value = {.station = facts->station,
                                .parameter = csv_word_parameter(reader, word, &parameter_trouble),
                                .cell = reader->header.cells[FIELD_VALUE],
                                .home = reader->header.cells[FIELD_VALUE]};
    struct flag_facts flag = flag_read(reader, row, reader->header.cells[FIELD_FLAG]);
    const struct csv_unit *unit = long_unit(reader, row, value.parameter);
    const struct limit_cells limits = limit_unit_read(reader, row, value.parameter, unit);
    const struct csv_value_cells cells = {raw_text(reader, row, FIELD_VALUE),
                                          raw_text(reader, row, FIELD_QUALIFIER), limits.detection,
                                          limits.quantitation, flag.flag};
    const char *doubt = NULL;

    if (is_ignored_parameter(reader, facts, word, value.parameter))
        return batch_add_ignored(&reader->batch, place_of(row, value.cell, value.home).line,
                                 place_of(row, value.cell, value.home).column, err);
    csv_value_read(&reader->value_rules, value.parameter, unit, &cells, &value.value);
    /* What can be known of it still says which parameters it can't be. */
    if (!value.parameter && value.value.has_value)
        value.value.unit = csv_unit_alone(&reader->units, unit_word(reader, row));
    if (value.value.is_blank && !is_cut_off(facts, value.home) &&
        !(facts->trouble.reason == PROBLEM_ROW_SHAPE && facts->trouble.words))
        return value_blank(reader, row, value.home, err);
    cell_shown_check(reader, row, value.home, value.parameter, &value.value);
    if (value.value.has_limits && !value.value.trouble.words)
        value.value.trouble = limits.trouble;
    long_trouble(reader, facts, &parameter_trouble, &value);
    forget_moved(reader, facts, &value.value);
    flag_take(reader, &flag, &value, &doubt);
    if (value.value.flag != FLAG_USE) {
        flag = (struct flag_facts){csv_field_text(reader, row, FIELD_QUALIFIER), value.value.flag};
        flag_take(reader, &flag, &value, &doubt);
    }
    if (value.trouble.words) {
        value.text = row_text(reader, row);
        return value_set_aside(reader, facts, &value, err);
    }
    assert(value.parameter);

    const struct draft_series series = {
        .station = value.station,
        .position = facts->position,
        .parameter = value.parameter->key,
        .matrix = value.parameter->matrix,
        .method = facts->method,
        .made_by = made_by_of(reader, facts, NULL),
        .kind = reader->kind,
    };
    uint32_t number;

    return batch_series(&reader->batch, &series, &number, err) &&
           value_store(reader, facts, &value, number, doubt, err);
}

/* --- rows --- */

bool csv_row_take(struct csv_reader *reader, const struct csv_row *row, const struct row_time *time,
                  struct err *err)
{
    struct row_facts facts;

    if (!facts_read(reader, row, time, &facts, err))
        return false;

    return reader->source->shape == SOURCE_WIDE ? wide_take(reader, &facts, err)
                                                : long_take(reader, &facts, err);
}
