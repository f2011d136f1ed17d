#include "quantity/quantity.h"

#include <assert.h>
#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/str.h"
#include "measure/practical_salinity.h"
#include "quantity/quantity_inside.h"

static const struct quantity_family *const families[] = {
    &family_water, &family_oxygen, &family_tank_oxygen, &family_nutrients,
    &family_flow,  &family_loads,  &family_tanks,       &family_pond,
    &family_feed,  &family_counts, &family_statistics,
};

const struct quantity_family *quantity_family_at(size_t position)
{
    return position < ARRAY_LEN(families) ? families[position] : NULL;
}

/* The same word, in capitals or not; a hyphen is a blank. */
static bool same_word(const char *a, const char *b)
{
    while (*a && *b) {
        char left = *a == '-' ? ' ' : (char)tolower((unsigned char)*a);
        char right = *b == '-' ? ' ' : (char)tolower((unsigned char)*b);

        if (left != right)
            return false;
        a++;
        b++;
    }

    return *a == *b;
}

const struct quantity *quantity_find(const char *word)
{
    for (size_t i = 0; i < ARRAY_LEN(families); i++)
        for (size_t k = 0; k < families[i]->count; k++)
            if (same_word(families[i]->rows[k].word, word))
                return &families[i]->rows[k];

    return NULL;
}

/* Those in which what was typed is a part: "'flow over a V-notch weir', ...". */
static const char *words_holding(struct arena *mem, const char *typed)
{
    const char *part = str_lower(mem, typed);
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < ARRAY_LEN(families); i++)
        for (size_t k = 0; k < families[i]->count; k++) {
            const char *word = families[i]->rows[k].word;

            if (*part && strstr(str_lower(mem, word), part) && text.len < 120)
                buf_addf(&text, "%s'%s'", text.len ? ", " : "", word);
        }

    return text.len ? text.data : NULL;
}

struct text_list {
    const char **items;
    size_t count;
    size_t capacity;
};

/* Shorter words are near to too many others: "price" to "place". */
enum { LETTERS_LEAST = 6 };

static void add_words(struct arena *mem, const char *text, struct text_list *out)
{
    while (*text) {
        size_t length = strcspn(text, " -");

        if (length >= LETTERS_LEAST)
            LIST_ADD(mem, out, arena_strndup(mem, text, length));
        text += length + (text[length] != '\0');
    }
}

static const char *nearest_word(struct arena *mem, const char *typed)
{
    size_t count = 0;

    for (size_t i = 0; i < ARRAY_LEN(families); i++)
        count += families[i]->count;

    const char **words = ARENA_ARRAY(mem, const char *, count);

    count = 0;
    for (size_t i = 0; i < ARRAY_LEN(families); i++)
        for (size_t k = 0; k < families[i]->count; k++)
            words[count++] = families[i]->rows[k].word;

    return str_nearest(typed, words, count);
}

/* Every word that is part of a quantity's name: "practical", "salinity", "flow", ... */
static struct text_list words_within(struct arena *mem)
{
    struct text_list words = {0};

    for (size_t i = 0; i < ARRAY_LEN(families); i++)
        for (size_t k = 0; k < families[i]->count; k++)
            add_words(mem, families[i]->rows[k].word, &words);

    return words;
}

/*
 * A name seldom comes near as a whole when only one of its words was typed: "salinty" is far from
 * "practical salinity". So each word typed is held against each word within the names; those names
 * that hold what the first of them came near to, or NULL.
 */
static const char *words_holding_near(struct arena *mem, const char *typed)
{
    const struct text_list within = words_within(mem);
    struct text_list asked = {0};

    add_words(mem, typed, &asked);
    for (size_t i = 0; i < asked.count; i++) {
        const char *near = str_nearest(asked.items[i], within.items, within.count);

        if (near)
            return words_holding(mem, near);
    }

    return NULL;
}

bool quantity_require(struct arena *mem, const char *word, const struct quantity **out,
                      struct err *err)
{
    const struct quantity *found = quantity_find(word);

    if (found) {
        *out = found;
        return true;
    }

    const char *near = words_holding(mem, word);
    const char *nearest = near ? NULL : nearest_word(mem, word);

    err_set(err, ERR_NOT_FOUND, "there is nothing to work out called '%s'",
            str_show(mem, word, 60));
    if (near)
        return err_hint(err, "There is: %s.", near);
    if (nearest)
        return err_hint(err, "Did you mean '%s'?", nearest);
    near = words_holding_near(mem, word);
    if (near)
        return err_hint(err, "Did you mean: %s?", near);

    return err_hint(err, "weirbook work-out lists all there is.");
}

const struct quantity_family *quantity_family_of(const struct quantity *quantity)
{
    for (size_t i = 0; i < ARRAY_LEN(families); i++)
        for (size_t k = 0; k < families[i]->count; k++)
            if (&families[i]->rows[k] == quantity)
                return families[i];

    return NULL;
}

/* --- working out ----------------------------------------------------------------------------- */

bool quantity_work_out(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *out, struct err *err)
{
    struct quantity_answer answer = {
        .equation = asked->quantity->equation,
        .source = asked->quantity->source,
        .range = asked->quantity->range,
    };

    if (!asked->quantity->work_out(mem, asked, &answer, err)) {
        if (!err->hint[0])
            err_hint(err, "It holds for: %s.", answer.range);
        return err_wrap(err, "%s", asked->quantity->word);
    }
    *out = answer;

    return true;
}

const char *quantity_figure_unit(const struct quantity_asked *asked, size_t figure)
{
    const char *unit = asked->quantity->figures[figure].unit;

    return unit ? unit : asked->own_unit;
}

bool quantity_figure_in(struct arena *mem, const struct quantity_asked *asked, size_t figure,
                        const struct quantity_value *value, const char *unit,
                        struct quantity_value *out, struct err *err)
{
    const char *own = quantity_figure_unit(asked, figure);
    const struct unit *from = NULL;
    const struct unit *to = NULL;
    struct unit_conversion conversion;

    if (!*own) {
        err_set(err, ERR_INVALID, "the %s has no unit", asked->quantity->figures[figure].name);
        return err_hint(err, "Leave --unit away.");
    }
    if (!quantity_unit(asked->units, own, NULL, &from, err) ||
        !quantity_unit(asked->units, unit, NULL, &to, err))
        return false;
    if (!unit_conversion(asked->units, mem, from, to, &conversion, err))
        return err_hint(err, "Name another unit for the same thing.");
    *out = *value;
    if (value->exact)
        out->exact = unit_apply(mem, &conversion, value->exact);
    out->number =
        value->exact ? exact_double(out->exact) : unit_apply_double(&conversion, value->number);

    return true;
}

const char *quantity_value_text(struct arena *mem, const struct quantity_value *value, int digits)
{
    const char *mark = value->qualifier == '=' ? "" : arena_printf(mem, "%c", value->qualifier);
    const struct exact *exact = value->exact;

    if (!exact && !isfinite(value->number))
        return "no end";
    if (!exact)
        exact = exact_from_double(mem, value->number);

    return arena_printf(mem, "%s%s", mark, exact_text(mem, exact, digits));
}

/* --- for the rows ---------------------------------------------------------------------------- */

const struct quantity_input_value *asked_value(const struct quantity_asked *asked, const char *name)
{
    const struct quantity_input *inputs = asked->quantity->inputs;
    size_t at = 0;

    while (inputs[at].name && !str_equal(inputs[at].name, name))
        at++;
    assert(inputs[at].name);

    return &asked->values[at];
}

bool asked_there(const struct quantity_asked *asked, const char *name)
{
    return asked_value(asked, name)->there;
}

double asked_number(const struct quantity_asked *asked, const char *name)
{
    return asked_value(asked, name)->number;
}

const struct exact *asked_exact(const struct quantity_asked *asked, const char *name)
{
    return asked_value(asked, name)->exact;
}

size_t asked_word(const struct quantity_asked *asked, const char *name)
{
    return asked_value(asked, name)->word;
}

bool asked_amounts(struct arena *mem, const struct quantity_asked *asked, const char *name,
                   const struct amount **out, size_t *count, struct err *err)
{
    const struct quantity_input_value *value = asked_value(asked, name);
    struct amount *amounts = ARENA_ARRAY(mem, struct amount, value->count);

    for (size_t i = 0; i < value->count; i++) {
        if (value->results[i].less_than) {
            err_set(err, ERR_INVALID, "a less-than stands among the %s", name);
            return err_hint(err, "'censored mean' and 'geometric mean' take less-thans.");
        }
        amounts[i] = value->results[i].value;
    }
    *out = amounts;
    *count = value->count;

    return true;
}

bool asked_same_count(const struct quantity_asked *asked, const char *a, const char *b,
                      struct err *err)
{
    size_t of_a = asked_value(asked, a)->count;
    size_t of_b = asked_value(asked, b)->count;

    if (of_a == of_b)
        return true;
    err_set(err, ERR_INVALID, "there are %zu %s and %zu %s", of_a, a, of_b, b);

    return err_hint(err, "Give one of each, in the same order.");
}

bool asked_own_unit_is(const struct quantity_asked *asked, const char *unit)
{
    const struct unit *from = NULL;
    const struct unit *to = NULL;
    struct err unknown = ERR_INIT;

    return *asked->own_unit &&
           quantity_unit(asked->units, asked->own_unit, NULL, &from, &unknown) &&
           quantity_unit(asked->units, unit, NULL, &to, &unknown) && unit_convertible(from, to);
}

bool asked_not_ph(const struct quantity_asked *asked, struct err *err)
{
    if (!asked_own_unit_is(asked, "pH"))
        return true;
    err_set(err, ERR_INVALID, "pH can't be worked with as an amount: it is a logarithm");

    return err_hint(err, "'mean pH' says how it can be averaged. What a mixture's pH would be "
                         "follows from neither.");
}

struct quantity_value value_of(double number)
{
    return (struct quantity_value){.known = true, .qualifier = '=', .number = number};
}

struct quantity_value value_exact(const struct exact *exact)
{
    if (!exact)
        return (struct quantity_value){.known = false};

    return (struct quantity_value){
        .known = true, .qualifier = '=', .number = exact_double(exact), .exact = exact};
}

const char *word_pick(const char *const words[][2], size_t count, size_t position,
                      const char **means)
{
    if (position >= count)
        return NULL;
    if (means)
        *means = words[position][1];

    return words[position][0];
}

enum { SCALE_ITS_90, SCALE_IPTS_68 };

const char *temperature_scale_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [SCALE_ITS_90] = {"its-90", "thermometers made since 1990"},
        [SCALE_IPTS_68] = {"ipts-68", "the scale before it, in which the equation was printed"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

double asked_t90(const struct quantity_asked *asked)
{
    double degc = asked_number(asked, "temperature");

    return asked_word(asked, "temperature-scale") == SCALE_ITS_90 ? degc
                                                                  : temperature_t90_from_t68(degc);
}

double asked_t68(const struct quantity_asked *asked)
{
    double degc = asked_number(asked, "temperature");

    return asked_word(asked, "temperature-scale") == SCALE_IPTS_68 ? degc
                                                                   : temperature_t68_from_t90(degc);
}
