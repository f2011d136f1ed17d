#include <ctype.h>
#include <math.h>
#include <string.h>

#include "base/str.h"
#include "measure/unit_parts.h"
#include "measure/unit_text.h"

enum { SHOWN_MOST = 40, WORD_MOST = 32 };

static void converter_free(cv_converter **converter)
{
    cv_free(*converter);
    *converter = NULL;
}

static bool in_table(const struct unit *unit)
{
    return unit->dimension != DIMENSION_OTHER;
}

bool unit_convertible(const struct unit *from, const struct unit *to)
{
    if (in_table(from) && in_table(to))
        return from->dimension == to->dimension;

    return ut_are_convertible(from->library, to->library) != 0;
}

bool unit_library_conversion(const struct units *units, const struct unit *from,
                             const struct unit *to, double *scale, double *offset)
{
    (void)units;
    if (!ut_are_convertible(from->library, to->library))
        return false;

    CLEANUP(converter_free) cv_converter *converter = ut_get_converter(from->library, to->library);

    if (!converter)
        return false;

    double at_zero = cv_convert_double(converter, 0.0);
    double step = cv_convert_double(converter, 1.0) - at_zero;
    double two_steps = cv_convert_double(converter, 2.0) - at_zero;

    /* A logarithm is no scale and offset. */
    if (!isfinite(at_zero) || !isfinite(step) || step == 0.0 ||
        fabs(two_steps - 2 * step) > 1e-9 * fabs(step))
        return false;
    *scale = step;
    *offset = at_zero;

    return true;
}

/* Through the base unit of their dimension. */
static struct unit_conversion exact_conversion(struct arena *mem, const struct unit *from,
                                               const struct unit *to)
{
    const struct exact *offset = exact_sub(mem, from->offset, to->offset);
    struct unit_conversion conversion = {
        .scale = exact_div(mem, from->factor, to->factor),
        .offset = exact_div(mem, offset, to->factor),
        .is_exact = true,
    };

    conversion.is_same = exact_compare(conversion.scale, exact_from_int(mem, 1)) == 0 &&
                         exact_sign(conversion.offset) == 0;
    conversion.scale_double = exact_double(conversion.scale);
    conversion.offset_double = exact_double(conversion.offset);

    return conversion;
}

bool unit_conversion(const struct units *units, struct arena *mem, const struct unit *from,
                     const struct unit *to, struct unit_conversion *out, struct err *err)
{
    struct unit_conversion conversion = {.is_same = from == to};

    if (!unit_convertible(from, to))
        return err_set(err, ERR_INVALID, "%s can't be converted into %s", from->name, to->name);
    if (in_table(from) && in_table(to)) {
        *out = exact_conversion(mem, from, to);
        return true;
    }
    if (!unit_library_conversion(units, from, to, &conversion.scale_double,
                                 &conversion.offset_double))
        return err_set(err, ERR_INVALID, "%s can't be converted into %s", from->name, to->name);
    conversion.scale = exact_from_double(mem, conversion.scale_double);
    conversion.offset = exact_from_double(mem, conversion.offset_double);
    *out = conversion;

    return true;
}

const struct exact *unit_apply(struct arena *mem, const struct unit_conversion *conversion,
                               const struct exact *value)
{
    if (conversion->is_same)
        return value;
    if (!conversion->is_exact)
        return exact_from_double(mem, unit_apply_double(conversion, exact_double(value)));

    return exact_add(mem, exact_mul(mem, value, conversion->scale), conversion->offset);
}

double unit_apply_double(const struct unit_conversion *conversion, double value)
{
    return value * conversion->scale_double + conversion->offset_double;
}

bool unit_convert(const struct units *units, struct arena *mem, const struct unit *from,
                  const struct unit *to, const struct exact *value, const struct exact **out,
                  struct err *err)
{
    struct unit_conversion conversion = {.is_exact = false};

    if (!unit_conversion(units, mem, from, to, &conversion, err))
        return false;
    *out = unit_apply(mem, &conversion, value);

    return true;
}

/* The next word of letters from *at on, copied; false when there is none or it is too long. */
static bool next_word(const char **at, char word[WORD_MOST])
{
    size_t length = 0;

    while (**at && !isalpha((unsigned char)**at))
        ++*at;
    while (isalpha((unsigned char)**at) || **at == '_') {
        if (length == WORD_MOST - 1)
            return false;
        word[length++] = *(*at)++;
    }
    word[length] = '\0';

    return length > 0;
}

/* Why a text is not handed to udunits2, or NULL when it may be. */
static const char *unfit_for_library(const char *text)
{
    char word[WORD_MOST];
    const char *at = text;

    if (!*text || strlen(text) > SHOWN_MOST)
        return "A unit has between 1 and 40 characters.";
    for (size_t i = 0; text[i]; i++) {
        if (!isalnum((unsigned char)text[i]) && !strchr("._/-", text[i]))
            return "Write letters, a dot between words, a slash, and numbers as powers only.";
        /* "kg/100mL" would be read as kg mL / 100. */
        if (isdigit((unsigned char)text[i]) && (i == 0 || strchr("./", text[i - 1])))
            return "A number can stand behind a word only, as its power.";
    }
    while (next_word(&at, word))
        if (unit_word_is_trap(word))
            return "A word in it has several meanings. Write the unit out in another way.";

    return NULL;
}

bool unit_define(struct units *units, const char *text, const struct unit **out, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *plain = unit_text_plain(mem, text);
    const struct unit *known = unit_spelled(units, plain);
    const char *refused = unit_refused_because(plain);
    const char *unfit = refused ? refused : unfit_for_library(plain);

    if (!known)
        known = unit_named(units, plain);
    if (known) {
        *out = known;
        return true;
    }
    if (unfit) {
        err_set(err, ERR_INVALID, "'%s' can't be made a unit", str_show(mem, text, SHOWN_MOST));
        return err_hint(err, "%s", unfit);
    }

    ut_unit *library = ut_parse(units->library, plain, UT_ASCII);

    if (!library)
        return err_set(err, ERR_INVALID, "there is no unit '%s'", plain);

    struct unit *own = ARENA_NEW(units->mem, struct unit);

    *own = (struct unit){
        .name = arena_strdup(units->mem, plain),
        .dimension = DIMENSION_OTHER,
        .library = library,
        .next = units->own,
    };
    units->own = own;
    *out = own;

    return true;
}
