#include "base/sheet_cells.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/str.h"

/* What a cell says its value is (ECMA-376 part 1, 18.18.11). */
enum stored {
    STORED_NUMBER,
    STORED_SHARED,
    STORED_TEXT,
    STORED_INLINE,
    STORED_BOOLEAN,
    STORED_ERROR,
    STORED_DATE,
    STORED_UNKNOWN
};

static const struct stored_word {
    const char *word;
    enum stored stored;
} stored_words[] = {
    {"n", STORED_NUMBER},  {"s", STORED_SHARED}, {"str", STORED_TEXT}, {"inlineStr", STORED_INLINE},
    {"b", STORED_BOOLEAN}, {"e", STORED_ERROR},  {"d", STORED_DATE},
};

/* Which of a cell's texts is being read. */
enum into { INTO_NOTHING, INTO_VALUE, INTO_FORMULA };

struct cells_parse {
    const struct sheet_info *sheet;
    const struct sheet_texts *texts;
    const struct sheet_styles *styles;
    const struct sheet_events *events;
    void *context;

    uint32_t row; /* 0 before the first */
    uint32_t column;
    bool row_hidden;
    bool in_row;
    bool in_cell;
    bool in_inline;
    int phonetic;
    enum into into;

    enum stored stored;
    size_t style;
    bool has_value;
    bool has_formula;
    struct buf value;
    struct buf formula;
    struct buf plain; /* a value with its escapes undone */
};

/* Column letters of a cell, for messages; at most three. */
static void column_letters(uint32_t column, char out[8])
{
    char reversed[8];
    size_t count = 0;

    for (uint32_t left = column; left > 0 && count < 7; left = (left - 1) / 26)
        reversed[count++] = (char)('A' + (left - 1) % 26);
    for (size_t i = 0; i < count; i++)
        out[i] = reversed[count - 1 - i];
    out[count] = '\0';
}

/* Always false: puts the cell in front of the error. */
static bool fail_at(const struct cells_parse *parse, struct err *err)
{
    char letters[8];

    column_letters(parse->column, letters);

    return err_wrap(err, "sheet %.40s, cell %s%u", parse->sheet->name, letters, parse->row);
}

/* A row number 1..SHEET_ROWS_MOST, or 0. */
static uint32_t parse_row(const char *text)
{
    char *end;

    if (*text < '1' || *text > '9')
        return 0;

    unsigned long row = strtoul(text, &end, 10);

    return *end == '\0' && row <= SHEET_ROWS_MOST ? (uint32_t)row : 0;
}

/* "AB12" into column 28 and row 12. */
static bool parse_reference(const char *text, uint32_t *column, uint32_t *row)
{
    uint32_t letters = 0;

    while (*text >= 'A' && *text <= 'Z' && letters <= SHEET_COLUMNS_MOST)
        letters = letters * 26 + (uint32_t)(*text++ - 'A' + 1);
    if (letters == 0 || letters > SHEET_COLUMNS_MOST)
        return false;
    *column = letters;
    *row = parse_row(text);

    return *row != 0;
}

static bool is_true(const char *attribute)
{
    return str_equal(attribute, "1") || str_equal(attribute, "true");
}

static bool row_start(struct cells_parse *parse, const char *const *attributes, struct err *err)
{
    const char *number = sheet_attribute(attributes, "r");
    uint32_t row = number ? parse_row(number) : parse->row + 1;

    if (row == 0 || row > SHEET_ROWS_MOST || row <= parse->row)
        return err_set(err, ERR_INVALID, "sheet %.40s: row %.20s after row %u", parse->sheet->name,
                       number ? number : "past the last", parse->row);
    parse->row = row;
    parse->column = 0;
    parse->row_hidden = is_true(sheet_attribute(attributes, "hidden"));
    parse->in_row = true;

    return true;
}

static bool cell_start(struct cells_parse *parse, const char *const *attributes, struct err *err)
{
    const char *reference = sheet_attribute(attributes, "r");
    const char *type = sheet_attribute(attributes, "t");
    const char *style = sheet_attribute(attributes, "s");
    uint32_t column = parse->column + 1;
    uint32_t row = parse->row;

    if (!parse->in_row)
        return err_set(err, ERR_INVALID, "sheet %.40s: a cell outside any row", parse->sheet->name);
    if (reference && !parse_reference(reference, &column, &row))
        return err_set(err, ERR_INVALID, "sheet %.40s: %.20s is no cell", parse->sheet->name,
                       reference);
    if (row != parse->row || column <= parse->column || column > SHEET_COLUMNS_MOST)
        return err_set(err, ERR_INVALID, "sheet %.40s, row %u: cell %.20s is out of order",
                       parse->sheet->name, parse->row, reference ? reference : "past the last");

    parse->column = column;
    parse->stored = type ? STORED_UNKNOWN : STORED_NUMBER;
    for (size_t i = 0; type && i < ARRAY_LEN(stored_words); i++) {
        if (str_equal(type, stored_words[i].word))
            parse->stored = stored_words[i].stored;
    }
    if (parse->stored == STORED_UNKNOWN) {
        err_set(err, ERR_INVALID, "unknown type %.20s", type);
        return fail_at(parse, err);
    }
    parse->style = style ? strtoul(style, NULL, 10) : 0;
    parse->in_cell = true;
    parse->has_value = parse->has_formula = false;
    buf_clear(&parse->value);
    buf_clear(&parse->formula);

    return true;
}

static bool cells_start(void *context, const char *name, const char *const *attributes,
                        struct err *err)
{
    struct cells_parse *parse = context;

    if (str_equal(name, "row"))
        return row_start(parse, attributes, err);
    if (str_equal(name, "c"))
        return cell_start(parse, attributes, err);
    if (!parse->in_cell)
        return true;

    if (str_equal(name, "v")) {
        parse->into = INTO_VALUE;
        parse->has_value = true;
    } else if (str_equal(name, "f")) {
        parse->into = INTO_FORMULA;
        parse->has_formula = true;
    } else if (str_equal(name, "is")) {
        parse->in_inline = true;
        parse->has_value = true;
    } else if (str_equal(name, "rPh")) {
        parse->phonetic++;
    } else if (str_equal(name, "t") && parse->in_inline && parse->phonetic == 0) {
        parse->into = INTO_VALUE;
    }

    return true;
}

static bool cells_text(void *context, const char *text, size_t length, struct err *err)
{
    struct cells_parse *parse = context;
    struct buf *into = parse->into == INTO_FORMULA ? &parse->formula : &parse->value;

    if (parse->into == INTO_NOTHING)
        return true;
    if (into->len + length > SHEET_TEXT_MOST) {
        err_set(err, ERR_TOO_LARGE, "more than %d bytes", SHEET_TEXT_MOST);
        return fail_at(parse, err);
    }
    buf_add(into, text, length);

    return true;
}

static bool cell_number(struct cells_parse *parse, struct sheet_cell *cell, struct err *err)
{
    char *end;

    cell->number = strtod(parse->value.data, &end);
    if (end == parse->value.data || *end != '\0' || !isfinite(cell->number))
        return err_set(err, ERR_INVALID, "\"%.30s\" is no number", parse->value.data);

    return true;
}

static bool cell_shared(struct cells_parse *parse, struct sheet_cell *cell, struct err *err)
{
    char *end;
    unsigned long index = strtoul(parse->value.data, &end, 10);

    if (end == parse->value.data || *end != '\0' || index >= parse->texts->count)
        return err_set(err, ERR_INVALID, "it names text %.20s of %zu", parse->value.data,
                       parse->texts->count);
    cell->kind = SHEET_TEXT;
    cell->text = parse->texts->items[index];

    return true;
}

/* Kind, text and number of a cell that has a value. */
static bool cell_value(struct cells_parse *parse, struct sheet_cell *cell, struct err *err)
{
    cell->text = parse->value.data;
    switch (parse->stored) {
    case STORED_SHARED:
        return cell_shared(parse, cell, err);
    case STORED_BOOLEAN:
        cell->kind = SHEET_BOOLEAN;
        cell->number = is_true(parse->value.data) ? 1 : 0;
        return true;
    case STORED_ERROR:
        cell->kind = SHEET_ERROR;
        return true;
    case STORED_DATE:
        cell->kind = SHEET_ISO_DATE;
        return true;
    case STORED_NUMBER:
        cell->kind = SHEET_NUMBER;
        if (parse->style < parse->styles->count) {
            cell->is_date = parse->styles->items[parse->style].is_date;
            cell->format = parse->styles->items[parse->style].format;
        }
        return cell_number(parse, cell, err);
    case STORED_TEXT:
    case STORED_INLINE:
    case STORED_UNKNOWN:
        break;
    }
    buf_clear(&parse->plain);
    sheet_add_unescaped(&parse->plain, parse->value.data);
    cell->kind = SHEET_TEXT;
    cell->text = parse->plain.data;

    return true;
}

static bool cell_end(struct cells_parse *parse, struct err *err)
{
    struct sheet_cell cell = {
        .sheet = parse->sheet,
        .row = parse->row,
        .column = parse->column,
        .row_hidden = parse->row_hidden,
        .kind = SHEET_NOTHING,
        .text = "",
        .formula = parse->has_formula ? parse->formula.data : NULL,
    };
    /* <v></v> under a number says no more than no <v> at all. */
    bool blank = !parse->has_value || (parse->stored == STORED_NUMBER && parse->value.len == 0);

    parse->in_cell = false;
    if (blank && !parse->has_formula)
        return true;
    if (!blank && !cell_value(parse, &cell, err))
        return fail_at(parse, err);
    if (parse->events->cell && !parse->events->cell(parse->context, &cell, err))
        return fail_at(parse, err);

    return true;
}

static bool cells_end(void *context, const char *name, struct err *err)
{
    struct cells_parse *parse = context;

    if (str_equal(name, "v") || str_equal(name, "f") || str_equal(name, "t"))
        parse->into = INTO_NOTHING;
    else if (str_equal(name, "is"))
        parse->in_inline = false;
    else if (str_equal(name, "rPh") && parse->phonetic > 0)
        parse->phonetic--;
    else if (str_equal(name, "row"))
        parse->in_row = false;
    else if (str_equal(name, "c"))
        return cell_end(parse, err);

    return true;
}

bool sheet_cells_read(struct sheet_package *package, const char *part,
                      const struct sheet_info *sheet, const struct sheet_texts *texts,
                      const struct sheet_styles *styles, const struct sheet_events *events,
                      void *context, struct err *err)
{
    static const struct sheet_part_reader reader = {
        .start = cells_start, .end = cells_end, .text = cells_text};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct cells_parse parse = {
        .sheet = sheet,
        .texts = texts,
        .styles = styles,
        .events = events,
        .context = context,
        .value = buf_new(mem),
        .formula = buf_new(mem),
        .plain = buf_new(mem),
    };

    return sheet_package_read(package, part, &reader, &parse, err);
}
