#include <ctype.h>
#include <string.h>

#include "base/str.h"
#include "quantity/quantity_inside.h"

enum { SHOWN_MOST = 40 };

bool quantity_unit(struct units *units, const char *text, const struct parameter *parameter,
                   const struct unit **out, struct err *err)
{
    struct unit_reading reading = {.unit = NULL};
    struct err unknown = ERR_INIT;

    if (unit_read(units, text, parameter, &reading, err)) {
        if (reading.basis) { /* dropped in silence, mg N/L would become mg NO3/L */
            err_set(err, ERR_INVALID, "a unit without a basis was expected, not '%s'", text);
            return err_hint(err, "Write %s; 'nutrient on another basis' converts between them.",
                            unit_name(reading.unit));
        }
        *out = reading.unit;
        return true;
    }
    /* A word that is refused on purpose stays refused: udunits2 would take it for something. */
    if (err->code == ERR_NOT_FOUND && unit_define(units, text, out, &unknown))
        return true;

    return false;
}

/* --- numbers and their unit ------------------------------------------------------------------ */

/* What a person is told to write. */
static bool hint_number(const struct quantity_input *input, struct err *err)
{
    const char *name = input->name;

    if (input->kind == QUANTITY_RESULTS)
        return err_hint(err, "Write %s=3.2,1.7,<2 with commas between and points in the numbers.",
                        name);
    if (input->kind == QUANTITY_NUMBERS)
        return err_hint(err, "Write %s=3.2,1.7 with commas between and points in the numbers.",
                        name);
    if (str_empty(input->unit))
        return err_hint(err, "Write %s=NUMBER, with a point in it, not a comma.", name);

    return err_hint(err, "Write %s=NUMBER in %s, or with its unit behind it.", name, input->unit);
}

static bool fail_number(struct arena *mem, const struct quantity_input *input, const char *text,
                        struct err *err)
{
    if (*text)
        err_set(err, ERR_INVALID, "the %s '%s' is no number", input->name,
                str_show(mem, text, SHOWN_MOST));
    else if (input->kind == QUANTITY_NUMBER)
        err_set(err, ERR_INVALID, "nothing stands behind %s=", input->name);
    else
        err_set(err, ERR_INVALID, "a number is missing among the %s", input->name);

    return hint_number(input, err);
}

/* How many bytes from the beginning are a number: "20 degC" has 2. */
static size_t number_length(const char *text)
{
    size_t at = strspn(text, "+-");

    at += strspn(text + at, "0123456789.");
    if ((text[at] == 'e' || text[at] == 'E') && at > 0) {
        size_t sign = strspn(text + at + 1, "+-");
        size_t digits = strspn(text + at + 1 + sign, "0123456789");

        if (sign < 2 && digits > 0)
            at += 1 + sign + digits;
    }

    return at;
}

/* "20 degC" in its two parts; false when no number stands there. */
static bool number_split(struct arena *mem, const char *text, struct decimal *number,
                         const char **unit)
{
    size_t length = number_length(text);
    const char *digits = arena_strndup(mem, text, length);

    if (*digits == '.') /* ".5" */
        digits = arena_printf(mem, "0%s", digits);
    *unit = str_trim(mem, text + length);

    return length > 0 && **unit != ',' && decimal_parse(digits, number);
}

/* The parameter under which words such as ppt are a unit. */
static const struct parameter *parameter_of_unit(const char *unit)
{
    return str_equal(unit, "PSU") ? parameter_find(NULL, "salinity") : NULL;
}

/* The unit as it was written, to that of the row: scale and offset in `conversion`. */
static bool unit_fits(struct arena *mem, struct quantity_asked *asked,
                      const struct quantity_input *input, const char *written,
                      struct unit_conversion *conversion, struct err *err)
{
    const struct unit *from = NULL;
    const struct unit *to = NULL;

    if (!*input->unit) {
        err_set(err, ERR_INVALID, "the %s is a number without a unit, not in '%s'", input->name,
                str_show(mem, written, SHOWN_MOST));
        return err_hint(err, "Write %s=NUMBER alone.", input->name);
    }
    if (!quantity_unit(asked->units, input->unit, NULL, &to, err) ||
        !quantity_unit(asked->units, written, parameter_of_unit(input->unit), &from, err))
        return err_wrap(err, "the %s", input->name);
    if (!unit_convertible(from, to)) {
        err_set(err, ERR_INVALID, "the %s can't be in %s: %s was expected", input->name,
                unit_name(from), input->unit);
        return err_hint(err, "Give it in %s, or in another unit for the same thing.", input->unit);
    }

    return unit_conversion(asked->units, mem, from, to, conversion, err);
}

/* A unit where the row has none of its own: it must be the same for all of them. */
static bool own_unit_fits(struct quantity_asked *asked, const struct quantity_input *input,
                          const char *written, struct err *err)
{
    const struct unit *unit = NULL;

    if (!quantity_unit(asked->units, written, NULL, &unit, err))
        return err_wrap(err, "the %s", input->name);
    if (*asked->own_unit && !str_equal(asked->own_unit, unit_name(unit))) {
        err_set(err, ERR_INVALID, "the %s is in %s, and another input is in %s", input->name,
                unit_name(unit), asked->own_unit);
        return err_hint(err, "Give all of them in one unit.");
    }
    asked->own_unit = unit_name(unit);

    return true;
}

/* How to bring numbers to the row's unit; `written` is "" for a bare number. */
static bool conversion_find(struct arena *mem, struct quantity_asked *asked,
                            const struct quantity_input *input, const char *written,
                            struct unit_conversion *conversion, struct err *err)
{
    *conversion = (struct unit_conversion){.is_same = true};
    if (!*written)
        return true;
    if (!input->unit)
        return own_unit_fits(asked, input, written, err);

    return unit_fits(mem, asked, input, written, conversion, err);
}

/* The unit of a bare number, for people: a share is none. */
static const char *unit_unsaid(const struct quantity_input *input)
{
    return input->unit && !str_equal(input->unit, "1") ? input->unit : "";
}

static bool read_number(struct arena *mem, struct quantity_asked *asked,
                        const struct quantity_input *input, const char *text,
                        struct quantity_input_value *value, struct err *err)
{
    struct decimal number;
    struct unit_conversion conversion;
    const char *unit;

    if (!number_split(mem, text, &number, &unit))
        return fail_number(mem, input, text, err);
    if (!conversion_find(mem, asked, input, unit, &conversion, err))
        return false;
    value->unit = *unit ? "" : unit_unsaid(input);
    value->exact = unit_apply(mem, &conversion, exact_from_decimal(mem, number));
    value->number = exact_double(value->exact);

    return true;
}

/* --- lists ----------------------------------------------------------------------------------- */

struct items {
    char **items;
    size_t count;
    size_t capacity;
};

static struct items parted(struct arena *mem, const char *text)
{
    struct items items = {0};
    const char *at = text;

    while (at) {
        const char *comma = strchr(at, ',');
        size_t length = comma ? (size_t)(comma - at) : strlen(at);

        LIST_ADD(mem, &items, str_trim(mem, arena_strndup(mem, at, length)));
        at = comma ? comma + 1 : NULL;
    }

    return items;
}

/* One of a list: "3.2" or, where the row takes results, "<2". */
static bool read_item(struct arena *mem, const struct quantity_input *input, const char *text,
                      struct censored_value *out, const char **unit, struct err *err)
{
    struct decimal number;

    *out = (struct censored_value){.less_than = *text == '<'};
    if (*text == '>') {
        err_set(err, ERR_INVALID, "the %s hold a greater-than, '%s'", input->name,
                str_show(mem, text, SHOWN_MOST));
        return err_hint(err, "No figure can be worked out with it. Put the number in its place "
                             "that your licence states.");
    }
    if ((out->less_than && input->kind != QUANTITY_RESULTS) ||
        !number_split(mem, str_trim(mem, text + out->less_than), &number, unit))
        return fail_number(mem, input, text, err);
    out->value = amount_from_decimal(number);

    return true;
}

static bool read_list(struct arena *mem, struct quantity_asked *asked,
                      const struct quantity_input *input, const char *text,
                      struct quantity_input_value *value, struct err *err)
{
    struct items items = parted(mem, text);
    struct censored_value *results = ARENA_ARRAY(mem, struct censored_value, items.count);
    double *numbers = ARENA_ARRAY(mem, double, items.count);
    struct unit_conversion conversion;
    const char *unit = "";

    if (items.count > QUANTITY_VALUES_MOST)
        return err_set(err, ERR_TOO_LARGE, "there are more than %d %s", QUANTITY_VALUES_MOST,
                       input->name);
    for (size_t i = 0; i < items.count; i++) {
        if (*unit) {
            err_set(err, ERR_INVALID, "a unit stands among the %s", input->name);
            return err_hint(err, "Write it once, after the last number.");
        }
        if (!read_item(mem, input, items.items[i], &results[i], &unit, err))
            return false;
    }
    if (!conversion_find(mem, asked, input, unit, &conversion, err))
        return false;
    for (size_t i = 0; i < items.count; i++) {
        const struct exact *exact = amount_exact(mem, results[i].value);

        exact = unit_apply(mem, &conversion, exact);
        results[i].value = amount_from_exact(exact);
        numbers[i] = exact_double(exact);
    }
    value->unit = *unit ? "" : unit_unsaid(input);
    value->count = items.count;
    value->numbers = numbers;
    value->results = results;

    return true;
}

/* --- words ----------------------------------------------------------------------------------- */

static bool read_word(struct arena *mem, const struct quantity_input *input, const char *text,
                      struct quantity_input_value *value, struct err *err)
{
    struct buf words = buf_new(mem);
    const char *word;

    for (size_t i = 0; (word = input->word_at(i, NULL)); i++) {
        if (str_equal_nocase(word, text)) {
            value->word = i;
            return true;
        }
        buf_addf(&words, "%s%s", i ? ", " : "", word);
    }
    err_set(err, ERR_INVALID, "the %s can't be '%s'", input->name, str_show(mem, text, SHOWN_MOST));

    return err_hint(err, "It is one of: %s.", words.data);
}

/* --- all of it ------------------------------------------------------------------------------- */

static bool read_input(struct arena *mem, struct quantity_asked *asked,
                       const struct quantity_input *input, const char *written,
                       struct quantity_input_value *value, struct err *err)
{
    const char *text = str_trim(mem, written);

    if (strlen(text) > QUANTITY_TEXT_MOST)
        return err_set(err, ERR_TOO_LARGE, "the %s is too long", input->name);
    value->text = text;
    value->unit = "";
    value->there = true;
    switch (input->kind) {
    case QUANTITY_NUMBER:
        return read_number(mem, asked, input, text, value, err);
    case QUANTITY_NUMBERS:
    case QUANTITY_RESULTS:
        return read_list(mem, asked, input, text, value, err);
    case QUANTITY_WORD:
    default:
        return read_word(mem, input, text, value, err);
    }
}

/* What the farm file calls an input that is called otherwise here. */
static const struct {
    const char *farm_file;
    const char *here;
} other_words[] = {
    {"ammonia form", "equation"},
    {"ammonia", "total-ammonia"},
    {"notch angle", "angle"},
    {"throat", "size"},
};

/* In any case, a blank for a hyphen. */
static bool same_word(const char *a, const char *b)
{
    for (; *a && *b; a++, b++) {
        int left = *a == ' ' ? '-' : tolower((unsigned char)*a);
        int right = *b == ' ' ? '-' : tolower((unsigned char)*b);

        if (left != right)
            return false;
    }

    return *a == *b;
}

static bool is_named(const struct quantity_input *input, const char *name)
{
    if (same_word(input->name, name))
        return true;
    for (size_t i = 0; i < ARRAY_LEN(other_words); i++)
        if (same_word(other_words[i].farm_file, name) &&
            str_equal(other_words[i].here, input->name))
            return true;

    return false;
}

static bool fail_name(struct arena *mem, const struct quantity *quantity, const char *name,
                      struct err *err)
{
    const char *names[QUANTITY_INPUTS_MOST];
    struct buf list = buf_new(mem);
    size_t count = 0;

    for (; quantity->inputs[count].name; count++) {
        names[count] = quantity->inputs[count].name;
        buf_addf(&list, "%s%s", count ? ", " : "", names[count]);
    }

    const char *nearest = str_nearest(name, names, count);

    err_set(err, ERR_INVALID, "%s takes no '%s'", quantity->word, str_show(mem, name, SHOWN_MOST));
    if (nearest)
        return err_hint(err, "Did you mean %s? It takes: %s.", nearest, list.data);

    return err_hint(err, "It takes: %s.", list.data);
}

static bool read_given(struct arena *mem, struct quantity_asked *asked,
                       const struct quantity_given *given, struct err *err)
{
    const struct quantity *quantity = asked->quantity;

    for (size_t i = 0; quantity->inputs[i].name; i++) {
        if (!is_named(&quantity->inputs[i], given->name))
            continue;
        if (asked->values[i].given) {
            err_set(err, ERR_INVALID, "the %s is given twice", quantity->inputs[i].name);
            return err_hint(err, "Leave one of them away.");
        }
        asked->values[i].given = true;

        return read_input(mem, asked, &quantity->inputs[i], given->text, &asked->values[i], err);
    }

    return fail_name(mem, quantity, given->name, err);
}

static bool fail_missing(struct arena *mem, const struct quantity_input *input, struct err *err)
{
    struct buf words = buf_new(mem);
    const char *word;

    err_set(err, ERR_INVALID, "no %s given", input->name);
    if (input->kind != QUANTITY_WORD)
        return hint_number(input, err);
    for (size_t i = 0; (word = input->word_at(i, NULL)); i++)
        buf_addf(&words, "%s%s", i ? ", " : "", word);

    return err_hint(err, "Write %s=WORD, one of: %s.", input->name, words.data);
}

bool quantity_ask(struct arena *mem, struct units *units, const struct quantity *quantity,
                  const struct quantity_given *given, size_t count, struct quantity_asked **out,
                  struct err *err)
{
    struct quantity_asked *asked = ARENA_NEW(mem, struct quantity_asked);

    *asked = (struct quantity_asked){.quantity = quantity, .own_unit = "", .units = units};
    for (size_t i = 0; i < count; i++)
        if (!read_given(mem, asked, &given[i], err))
            return err_wrap(err, "%s", quantity->word);
    for (size_t i = 0; quantity->inputs[i].name; i++) {
        const struct quantity_input *input = &quantity->inputs[i];

        if (asked->values[i].given)
            continue;
        if (!input->otherwise)
            fail_missing(mem, input, err);
        if (!input->otherwise ||
            (*input->otherwise &&
             !read_input(mem, asked, input, input->otherwise, &asked->values[i], err)))
            return err_wrap(err, "%s", quantity->word);
    }
    *out = asked;

    return true;
}
