#include "farmfile/source_text.h"

#include <ctype.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"
#include "farmfile/source_part.h"

struct writer {
    struct buf text;
    const struct sniff_guess *guess;
    int question; /* of the line at hand; 0: none */
};

enum { LINE_MOST = 96 };

/* --- texts --- */

/* Whether it can stand as it is, also between brackets and as a key. */
static bool is_plain(const char *text)
{
    size_t length = strlen(text);

    if (!isalpha((unsigned char)*text))
        return false;
    for (size_t i = 0; i < length; i++)
        if (!isalnum((unsigned char)text[i]) && !strchr(" _-/().%+", text[i]) &&
            (unsigned char)text[i] < 0x80)
            return false;

    return text[length - 1] != ' ';
}

static void scalar_add(struct writer *writer, const char *text)
{
    if (is_plain(text)) {
        buf_add_text(&writer->text, text);
        return;
    }

    struct json_writer json = json_begin(&writer->text);

    json_put_text(&json, text);
    json_end(&json);
}

/* "# question 2" of what the line leaves open, and the line's end. */
static void line_end(struct writer *writer)
{
    if (writer->question > 0)
        buf_addf(&writer->text, "   # question %d", writer->question);
    buf_add_char(&writer->text, '\n');
    writer->question = 0;
}

static void open_note(struct writer *writer, int question)
{
    if (writer->question == 0)
        writer->question = question;
}

static void key_add(struct writer *writer, const char *key)
{
    buf_addf(&writer->text, "    %s: ", key);
}

/* A line of its own; nothing where there is neither a text nor a question. */
static void text_line(struct writer *writer, const char *key, const char *text, const char *topic)
{
    int question = topic ? sniff_question_number(writer->guess, topic, NULL) : 0;

    if (!text && question == 0)
        return;
    key_add(writer, key);
    if (text)
        scalar_add(writer, text);
    else
        open_note(writer, question);
    line_end(writer);
}

/* Between two items of a list or map: on the next line, where this one is long. */
static void item_next(struct writer *writer)
{
    size_t length = 0;

    while (length < writer->text.len && writer->text.data[writer->text.len - 1 - length] != '\n')
        length++;
    buf_add_text(&writer->text, length > LINE_MOST ? ",\n      " : ", ");
}

static void list_line(struct writer *writer, const char *key, const char *const *items,
                      size_t count)
{
    if (count == 0)
        return;
    key_add(writer, key);
    buf_add_char(&writer->text, '[');
    for (size_t i = 0; i < count; i++) {
        if (i > 0)
            item_next(writer);
        scalar_add(writer, items[i]);
    }
    buf_add_char(&writer->text, ']');
    line_end(writer);
}

/* Words that mean nothing yet are open under `topic`. */
static void words_line(struct writer *writer, const char *key, const struct source_words *words,
                       const char *topic)
{
    if (words->count == 0)
        return;
    key_add(writer, key);
    buf_add_char(&writer->text, '{');
    for (size_t i = 0; i < words->count; i++) {
        const struct source_word *word = &words->items[i];

        if (i > 0)
            item_next(writer);
        scalar_add(writer, word->word);
        buf_add_text(&writer->text, ": ");
        if (word->means)
            scalar_add(writer, word->means);
        else
            open_note(writer, sniff_question_number(writer->guess, topic, word->word));
    }
    buf_add_char(&writer->text, '}');
    line_end(writer);
}

/* --- parts --- */

static const char *word_at(const char *const *words, const char *letters, char letter)
{
    const char *at = letter ? strchr(letters, letter) : NULL;

    return at ? words[at - letters] : NULL;
}

static void head_add(struct writer *writer)
{
    static const char *const formats[] = {NULL, "xlsx", "json"};
    const struct source *source = &writer->guess->source;

    buf_add_text(&writer->text, "  - key: ");
    scalar_add(writer, source->key);
    line_end(writer);
    text_line(writer, "name", source->name, NULL);
    text_line(writer, "shape", source->shape == SOURCE_WIDE ? "wide" : "long", NULL);
    text_line(writer, "format", formats[source->format], NULL);
    list_line(writer, "sheets", source->sheets, source->sheet_count);
    text_line(writer, "records", source->records, NULL);
    text_line(writer, "charset", source->charset, NULL);
    text_line(writer, "separator", word_at(source_part_separators, ",;\t|", source->separator),
              NULL);
    text_line(writer, "decimal mark", word_at(source_part_marks, ".,", source->decimal), "decimal");
    if (source->header_rows > 1)
        buf_addf(&writer->text, "    header rows: %d\n", source->header_rows);
    if (source->skip_after_header > 0)
        buf_addf(&writer->text, "    lines after header: %d\n", source->skip_after_header);
    list_line(writer, "comments start with", source->comment_starts, source->comment_start_count);
    /* Words that may be blank stand in the list only when that is settled. */
    for (size_t i = 0; i < source->blank_count && writer->question == 0; i++)
        open_note(writer, sniff_question_number(writer->guess, "blank", source->blanks[i]));
    if (writer->question > 0) {
        key_add(writer, "blanks");
        line_end(writer);
    } else {
        list_line(writer, "blanks", source->blanks, source->blank_count);
    }
}

static const char *clock_text(struct arena *mem, const struct source *source)
{
    int minutes = source->offset_s < 0 ? -source->offset_s / 60 : source->offset_s / 60;

    if (source->clock != CLOCK_OFFSET)
        return source->clock == CLOCK_UTC ? "UTC" : "local";

    return arena_printf(mem, "%c%02d:%02d", source->offset_s < 0 ? '-' : '+', minutes / 60,
                        minutes % 60);
}

static void time_add(struct writer *writer)
{
    const struct sniff_guess *guess = writer->guess;
    const struct source *source = &guess->source;

    key_add(writer, "time");
    if (!source->time_headers[0]) {
        open_note(writer, sniff_question_number(guess, "time", NULL));
        line_end(writer);
        return;
    }
    buf_add_text(&writer->text, "{columns: ");
    buf_add_text(&writer->text, source->time_headers[1] ? "[" : "");
    scalar_add(writer, source->time_headers[0]);
    if (source->time_headers[1]) {
        buf_add_text(&writer->text, ", ");
        scalar_add(writer, source->time_headers[1]);
        buf_add_char(&writer->text, ']');
    }
    if (source->time_format) {
        buf_add_text(&writer->text, ", format: ");
        scalar_add(writer, source->time_format);
    } else if (!guess->times_need_no_format) {
        buf_add_text(&writer->text, ", format: ");
        open_note(writer, sniff_question_number(guess, "dates", NULL));
    }
    buf_add_char(&writer->text, '}');
    line_end(writer);
}

static void when_add(struct writer *writer)
{
    const struct sniff_guess *guess = writer->guess;
    const struct source *source = &guess->source;

    text_line(writer, "clock", guess->has_clock ? clock_text(writer->text.mem, source) : NULL,
              "clock");
    if (!guess->has_clock && sniff_question_number(guess, "clock", NULL) == 0)
        buf_add_text(&writer->text, "    clock:\n"); /* its columns are asked first */
    text_line(writer, "zone", source->zone, "zone");
    text_line(writer, "clock column", source->clock_header, NULL);
    words_line(writer, "clock words", &source->clocks, "clock");
    time_add(writer);
    text_line(writer, "date alone",
              source->date_alone == DATE_ALONE_DAY ? "some time that day" : NULL, "date-alone");
}

static void column_add(struct writer *writer, const struct source_column *column)
{
    int question = sniff_question_number(writer->guess, "column", column->header);

    buf_add_text(&writer->text, "      - {header: ");
    scalar_add(writer, column->header);
    if (column->station) {
        buf_add_text(&writer->text, ", station: ");
        scalar_add(writer, column->station);
    }
    buf_add_text(&writer->text, ", parameter: ");
    if (column->parameter)
        scalar_add(writer, column->parameter);
    if (column->unit || (column->parameter && question > 0))
        buf_add_text(&writer->text, ", unit: ");
    if (column->unit)
        scalar_add(writer, column->unit);
    else
        open_note(writer, question);
    if (column->flag_header) {
        buf_add_text(&writer->text, ", flag: ");
        scalar_add(writer, column->flag_header);
    }
    if (column->may_lack)
        buf_add_text(&writer->text, ", may lack: yes");
    buf_add_char(&writer->text, '}');
    line_end(writer);
}

static void long_add(struct writer *writer)
{
    const struct source *source = &writer->guess->source;

    text_line(writer, "parameter column", source->parameter_header, NULL);
    text_line(writer, "parameter", source->parameter,
              source->parameter_header ? NULL : "parameter");
    words_line(writer, "parameter words", &source->parameters, "parameter");
    if (source->ignores_other_parameters)
        buf_add_text(&writer->text, "    ignored parameters: all others\n");
    list_line(writer, "ignored parameters", source->ignored_parameters,
              source->ignored_parameter_count);
    text_line(writer, "value column", source->value_header, NULL);
    text_line(writer, "unit column", source->unit_header, NULL);
    text_line(writer, "unit", source->unit, source->unit_header ? NULL : "unit");
    text_line(writer, "qualifier column", source->qualifier_header, NULL);
    words_line(writer, "qualifier words", &source->qualifiers, "condition");
    text_line(writer, "flag column", source->flag_header, NULL);
    text_line(writer, "detection limit column", source->detection_header, NULL);
    text_line(writer, "quantitation limit column", source->quantitation_header, NULL);
    text_line(writer, "limit unit column", source->limit_unit_header, NULL);
}

/* Whether what is asked is what values a column has. */
static bool are_values(const struct source *source, const struct sniff_question *question)
{
    for (size_t i = 0; i < source->column_count; i++)
        for (size_t k = 0; k < question->word_count; k++)
            if (str_equal(source->columns[i].header, question->words[k]))
                return true;

    return false;
}

/* Columns that are not taken; open while one of them is asked about. */
static void ignored_add(struct writer *writer)
{
    const struct sniff_guess *guess = writer->guess;

    for (size_t i = 0; i < guess->questions.count; i++)
        if (str_equal(guess->questions.items[i].topic, "column") &&
            !are_values(&guess->source, &guess->questions.items[i]))
            open_note(writer, guess->questions.items[i].number);
    if (writer->question > 0) {
        key_add(writer, "ignored columns");
        line_end(writer);
        return;
    }
    if (guess->source.ignores_other_headers)
        buf_add_text(&writer->text, "    ignored columns: all others\n");
    list_line(writer, "ignored columns", guess->source.ignored_headers,
              guess->source.ignored_header_count);
}

static void labels_add(struct writer *writer)
{
    const struct source *source = &writer->guess->source;

    words_line(writer, "unit words", &source->units, "unit");
    words_line(writer, "flag words", &source->flags, "flag");
    text_line(writer, "sample column", source->sample_header, NULL);
    text_line(writer, "replicate column", source->replicate_header, NULL);
    text_line(writer, "method column", source->method_header, NULL);
    text_line(writer, "taken by column", source->taken_by_header, NULL);
    text_line(writer, "purpose column", source->purpose_header, NULL);
    words_line(writer, "purpose words", &source->purposes, "purpose");
    text_line(writer, "instrument column", source->instrument_header, NULL);
    ignored_add(writer);
}

char *source_text(struct arena *mem, const struct sniff_guess *guess)
{
    struct writer writer = {.text = buf_new(mem), .guess = guess};
    const struct source *source = &guess->source;
    const char *kind = NULL;

    for (size_t i = 0; source_part_kinds[i]; i++)
        if (source->kind == 1U << i)
            kind = source_part_kinds[i];
    head_add(&writer);
    when_add(&writer);
    text_line(&writer, "station", source->station, source->station_header ? NULL : "station");
    text_line(&writer, "station column", source->station_header, NULL);
    text_line(&writer, "position column", source->position_header, NULL);
    words_line(&writer, "station words", &source->stations, "station");
    text_line(&writer, "kind", kind, "kind");
    if (source->shape == SOURCE_LONG)
        long_add(&writer);
    labels_add(&writer);
    if (source->column_count > 0)
        buf_add_text(&writer.text, "    columns:\n");
    for (size_t i = 0; i < source->column_count; i++)
        column_add(&writer, &source->columns[i]);

    return writer.text.data;
}
