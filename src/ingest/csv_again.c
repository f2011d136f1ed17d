#include "ingest/csv_again.h"

#include <ctype.h>
#include <string.h>

#include "base/str.h"
#include "ingest/csv_word.h"

enum { LETTERS_LEAST = 2 };

/* --- what kind of row it is --- */

static const char *cell_word(struct csv_reader *reader, const struct csv_row *row, size_t cell)
{
    return cell < row->count ? str_trim(reader->row_mem, row->cells[cell].text) : "";
}

/* Whether a cell is the header of the times. */
static bool names_time(struct csv_reader *reader, const struct csv_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        if (str_equal_nocase(cell_word(reader, row, i), reader->source->time_headers[0]))
            return true;

    return false;
}

static bool is_number(const struct csv_reader *reader, const char *text)
{
    return number_read(&reader->value_rules.style, text).kind == NUMBER_VALUE;
}

static bool has_number(const struct csv_reader *reader, const struct csv_row *row)
{
    for (size_t i = 0; i < row->count; i++)
        if (is_number(reader, row->cells[i].text))
            return true;

    return false;
}

/* Whether no cell of a value column holds a number. */
static bool is_unit_row(const struct csv_reader *reader, const struct csv_row *row)
{
    for (size_t i = 0; i < reader->header.column_count; i++) {
        size_t cell = reader->header.columns[i].cell;

        if (cell < row->count && is_number(reader, row->cells[cell].text))
            return false;
    }

    return true;
}

/* Whether the words of a column end in a unit that there is: "Oxygen (ug/L)". */
static bool bears_unit(struct csv_reader *reader, const char *name)
{
    size_t length;
    const char *unit = csv_unit_of_header(reader->row_mem, name, &length);

    return unit && csv_unit_alone(&reader->units, unit);
}

/* Whether enough cells are what only a header has. */
static bool has_names(struct csv_reader *reader, const struct csv_row *row)
{
    const struct csv_names names =
        csv_header_names_known(reader->row_mem, reader->source, &reader->header);
    size_t needed = reader->header.count > 2 ? 2 : 1;
    size_t found = 0;

    for (size_t i = 0; i < row->count && found < needed; i++) {
        const char *word = cell_word(reader, row, i);

        found += *word && (csv_header_name_is_among(reader->row_mem, &names, word) ||
                           bears_unit(reader, word));
    }

    return found >= needed;
}

static bool is_word_of(const struct source_words *words, const char *word)
{
    for (size_t i = 0; i < words->count; i++)
        if (str_equal_nocase(words->items[i].word, word))
            return true;

    return false;
}

static bool is_state(const struct csv_reader *reader, const char *word)
{
    for (size_t i = 0; i < reader->header.column_count; i++) {
        const struct parameter *parameter = reader->header.columns[i].parameter;

        if (parameter && parameter->kind == PARAMETER_STATE && parameter_state(parameter, word))
            return true;
    }

    return is_word_of(&reader->source->states, word);
}

/* Whether a row of data may have the word. */
static bool is_data_word(struct csv_reader *reader, const char *word)
{
    const struct source *source = reader->source;
    struct trouble ignored;

    if (number_read(&reader->value_rules.style, word).kind != NUMBER_UNREADABLE ||
        is_state(reader, word) || is_word_of(&source->qualifiers, word) ||
        csv_flag_read(source, word) != FLAG_UNKNOWN)
        return true;

    return source->shape == SOURCE_LONG &&
           (csv_unit_alone(&reader->units, word) || csv_word_station(reader, word, &ignored) ||
            csv_word_parameter(reader, word, &ignored));
}

static bool has_letters(const char *word)
{
    int letters = 0;

    for (; *word; word++)
        letters += isalpha((unsigned char)*word) || (unsigned char)*word >= 0x80;

    return letters >= LETTERS_LEAST;
}

/* Whether every column of the header has a word of its own, and none is one of data. */
static bool is_all_words(struct csv_reader *reader, const struct csv_row *row)
{
    const struct csv_header *header = &reader->header;
    size_t count = header->count < row->count ? header->count : row->count;

    if (header->count < 2 || row->count < header->count)
        return false;
    for (size_t i = 0; i < count; i++) {
        const char *word = cell_word(reader, row, i);

        if (!*header->names[i])
            continue;
        if (!has_letters(word) || is_data_word(reader, word))
            return false;
        for (size_t before = 0; before < i; before++)
            if (str_equal_nocase(word, cell_word(reader, row, before)))
                return false;
    }

    return true;
}

/* Where units are due, words alone are these. */
static bool is_header(struct csv_reader *reader, const struct csv_row *row)
{
    if (row->is_record)
        return false;

    return names_time(reader, row) ||
           (!has_number(reader, row) &&
            (has_names(reader, row) || (reader->units_to_skip == 0 && is_all_words(reader, row))));
}

/* --- taking it over --- */

/* What is said of every row behind a header that the source does not know. */
static void header_block(struct csv_reader *reader, const struct csv_row *row,
                         const struct err *why)
{
    csv_header_read_part(reader->mem, reader->source, reader->world->parameters, row,
                         &reader->header);
    reader->unknown = (struct trouble){
        PROBLEM_ROW_SHAPE,
        arena_printf(reader->mem, "the row is under a header that the source does not know: %s",
                     why->text),
        "Teach the source both headers (a column without the unit behind its name is found under "
        "any; `may lack: yes` is for one that a header lacks; others go under the columns to "
        "ignore), load the farm file, and read it again: weirbook aside read-again. Is that line "
        "no header, take in a copy of the file without it, and leave these rows out.",
    };
}

static bool header_change(struct csv_reader *reader, const struct csv_row *row, struct err *err)
{
    struct err why = ERR_INIT;
    bool complete = csv_header_look_row(reader->row_mem, reader->source, NULL, row).complete;

    if (reader->headers == HEADERS_MOST && complete) {
        (void)err_set(err, ERR_TOO_LARGE, "line %d: the header changes more than %d times",
                      csv_header_line(reader->source, row), HEADERS_MOST);
        return err_hint(err, "Take the parts in as files of their own.");
    }
    if (reader->headers == HEADERS_MOST && reader->unknown.words)
        return true;
    reader->headers += reader->headers < HEADERS_MOST;
    if (reader->order && !csv_order_end(reader->order, err))
        return false;
    reader->units_to_skip = reader->source->skip_after_header;
    reader->unknown = (struct trouble){0};
    if (csv_header_read(reader->mem, reader->source, reader->world->parameters, row,
                        &reader->header, &why))
        csv_reader_settle_units(reader, NULL, reader->units_to_skip == 0);
    else
        header_block(reader, row, &why);

    return true;
}

bool csv_again_repeat(struct csv_reader *reader, struct err *err)
{
    reader->units_to_skip = reader->source->skip_after_header;
    if (reader->units_to_skip == 0 || reader->unknown.words)
        return true;
    if (reader->order && !csv_order_end(reader->order, err))
        return false;
    for (size_t i = 0; i < reader->header.column_count; i++) {
        struct csv_value_column *column = &reader->header.columns[i];

        column->unit_before = column->unit;
        column->unit = NULL;
    }
    csv_reader_settle_units(reader, NULL, false);

    return true;
}

bool csv_again_pair(struct csv_reader *reader, const struct csv_row *row, bool *taken,
                    struct err *err)
{
    struct header_pair *pair = &reader->pair;
    bool both = pair->upper_again && header_names_repeat(&pair->lower, row, row->count);

    pair->upper_again =
        !both && pair->upper.count > 0 && header_names_repeat(&pair->upper, row, row->count);
    *taken = both || pair->upper_again;
    if (!both)
        return true;
    reader->header = pair->header;
    reader->unknown = (struct trouble){0};

    return csv_again_repeat(reader, err);
}

bool csv_again_take(struct csv_reader *reader, const struct csv_row *row, bool *taken,
                    struct err *err)
{
    if (is_header(reader, row)) {
        *taken = true;
        return header_change(reader, row, err);
    }
    if (reader->units_to_skip > 0 && is_unit_row(reader, row)) {
        reader->units_to_skip--;
        if (!reader->unknown.words)
            csv_reader_settle_units(reader, row, reader->units_to_skip == 0);
        *taken = true;
    }

    return true;
}

void csv_again_data(struct csv_reader *reader)
{
    if (reader->units_to_skip > 0 && !reader->unknown.words)
        csv_reader_settle_units(reader, NULL, true);
    reader->units_to_skip = 0;
}
