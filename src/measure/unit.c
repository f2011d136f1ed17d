#include "measure/unit.h"

#include <stdlib.h>
#include <string.h>
#include <strings.h>

#include "base/str.h"
#include "measure/unit_parts.h"
#include "measure/unit_text.h"

enum { SHOWN_MOST = 40 };

/* Add each part of a text parted by "|"; nothing for NULL. */
static void add_spellings(struct arena *mem, struct spelling_list *list, const char *parted,
                          const struct unit *unit, bool any_case)
{
    while (parted) {
        const char *end = strchrnul(parted, '|');
        const char *text = arena_strndup(mem, parted, (size_t)(end - parted));

        LIST_ADD(mem, list, ((struct spelling){text, unit, any_case}));
        parted = *end ? end + 1 : NULL;
    }
}

static int compare_spellings(const void *left, const void *right)
{
    const struct spelling *a = left;
    const struct spelling *b = right;

    return strcasecmp(a->text, b->text);
}

/* Our base units, under words that nobody would type. */
static bool add_library_words(ut_system *library)
{
    for (size_t i = 0; unit_library_words[i]; i++) {
        ut_unit *unit = ut_new_base_unit(library);

        if (!unit || ut_map_name_to_unit(unit_library_words[i], UT_ASCII, unit) != UT_SUCCESS)
            return false;
        ut_free(unit);
    }

    return true;
}

static bool load_row(struct units *units, const struct unit_row *row, struct err *err)
{
    struct unit *unit = &units->items[units->count++];

    *unit = (struct unit){
        .name = row->name,
        .dimension = row->dimension,
        .factor = exact_from_text(units->mem, row->factor),
        .offset = exact_from_text(units->mem, row->offset ? row->offset : "0"),
        .library = ut_parse(units->library, row->library, UT_ASCII),
    };
    if (!unit->factor || !unit->offset || !unit->library)
        return err_set(err, ERR_BUG, "the unit table has a row that can't be read: %s", row->name);
    add_spellings(units->mem, &units->spellings, row->any_case, unit, true);
    add_spellings(units->mem, &units->spellings, row->as_is, unit, false);
    add_spellings(units->mem, &units->only_here, row->only_here, unit, true);

    return true;
}

static bool load_rows(struct units *units, struct err *err)
{
    size_t count = 0;

    while (unit_row_at(count))
        count++;
    units->items = ARENA_ARRAY(units->mem, struct unit, count);
    for (size_t i = 0; i < count; i++)
        if (!load_row(units, unit_row_at(i), err))
            return false;
    qsort(units->spellings.items, units->spellings.count, sizeof(struct spelling),
          compare_spellings);

    return true;
}

bool units_load(struct units **out, struct err *err)
{
    struct arena *mem = arena_new();
    CLEANUP(units_free) struct units *units = ARENA_NEW(mem, struct units);

    units->mem = mem;
    /* Else it writes about its own file to stderr. */
    ut_set_error_message_handler(ut_ignore);
    units->library = ut_read_xml(NULL);
    if (!units->library) {
        err_set(err, ERR_BUG, "the unit library's data can't be read");
        return err_hint(err, "Install the package libudunits2-data.");
    }
    if (!add_library_words(units->library))
        return err_set(err, ERR_BUG, "the unit library takes no new units");
    if (!load_rows(units, err))
        return false;
    *out = units;
    units = NULL;

    return true;
}

void units_free(struct units **units)
{
    if (!*units)
        return;
    for (size_t i = 0; i < (*units)->count; i++)
        ut_free((*units)->items[i].library);
    for (const struct unit *own = (*units)->own; own; own = own->next)
        ut_free(own->library);
    ut_free_system((*units)->library);

    struct arena *mem = (*units)->mem;

    arena_free(&mem);
    *units = NULL;
}

const char *unit_name(const struct unit *unit)
{
    return unit->name;
}

const char *unit_at(const struct units *units, size_t position)
{
    return position < units->count ? units->items[position].name : NULL;
}

/* The first of the spellings that are `text` but for case, or the count. */
static size_t first_spelling(const struct spelling_list *list, const char *text)
{
    size_t from = 0;
    size_t to = list->count;

    while (from < to) {
        size_t middle = from + (to - from) / 2;

        if (strcasecmp(list->items[middle].text, text) < 0)
            from = middle + 1;
        else
            to = middle;
    }

    return from;
}

const struct unit *unit_spelled(const struct units *units, const char *text)
{
    const struct spelling_list *list = &units->spellings;
    const struct unit *found = NULL;

    for (size_t i = first_spelling(list, text);
         i < list->count && strcasecmp(list->items[i].text, text) == 0; i++) {
        if (str_equal(list->items[i].text, text))
            return list->items[i].unit;
        if (list->items[i].any_case)
            found = list->items[i].unit;
    }

    return found;
}

static const struct unit *own_named(const struct units *units, const char *name)
{
    const struct unit *own = units->own;

    while (own && !str_equal(own->name, name))
        own = own->next;

    return own;
}

const struct unit *unit_named(const struct units *units, const char *name)
{
    const struct unit *unit = unit_spelled(units, name);

    return unit && str_equal(unit->name, name) ? unit : own_named(units, name);
}

static const struct unit *spelled_here(const struct units *units, const char *plain,
                                       const struct parameter *parameter)
{
    const struct unit *canonical =
        parameter && parameter->unit ? unit_named(units, parameter->unit) : NULL;

    for (size_t i = 0; canonical && i < units->only_here.count; i++) {
        const struct spelling *spelling = &units->only_here.items[i];

        if (spelling->unit->dimension == canonical->dimension &&
            str_equal_nocase(spelling->text, plain))
            return spelling->unit;
    }

    return NULL;
}

/* A unit of which a part is a mass or moles, so that it can be counted as nitrogen. */
static bool takes_basis(const struct unit *unit)
{
    switch (unit->dimension) {
    case DIMENSION_MASS_CONCENTRATION:
    case DIMENSION_MASS_FRACTION:
    case DIMENSION_AMOUNT_VOLUME:
    case DIMENSION_AMOUNT_MASS:
    case DIMENSION_MASS:
    case DIMENSION_MASS_FLOW:
    case DIMENSION_MASS_PER_YEAR:
        return true;
    case DIMENSION_NUMBER:
    case DIMENSION_COUNT:
    case DIMENSION_SETTLED:
    case DIMENSION_VOLUME:
    case DIMENSION_VOLUME_FLOW:
    case DIMENSION_LENGTH:
    case DIMENSION_AREA:
    case DIMENSION_SPEED:
    case DIMENSION_TIME:
    case DIMENSION_ENERGY:
    case DIMENSION_TEMPERATURE:
    case DIMENSION_TEMPERATURE_RISE:
    case DIMENSION_PRESSURE:
    case DIMENSION_CONDUCTIVITY:
    case DIMENSION_SALINITY:
    case DIMENSION_PH:
    case DIMENSION_NTU:
    case DIMENSION_FNU:
    case DIMENSION_CELLS_VOLUME:
    case DIMENSION_CFU_VOLUME:
    case DIMENSION_MPN_VOLUME:
    case DIMENSION_CFU_MASS:
    case DIMENSION_MPN_MASS:
    case DIMENSION_OTHER:
        break;
    }

    return false;
}

/* What the text means, with nothing checked against the parameter. */
static struct unit_reading reading_of(const struct units *units, struct arena *mem,
                                      const char *text, const struct parameter *parameter)
{
    const char *plain = unit_text_plain(mem, text);
    const struct unit *unit = spelled_here(units, plain, parameter);
    struct unit_split split;

    if (!unit)
        unit = own_named(units, plain);
    if (!unit)
        unit = unit_spelled(units, plain);
    if (unit)
        return (struct unit_reading){.unit = unit};
    for (size_t nth = 0; unit_text_split(mem, plain, nth, &split); nth++) {
        unit = unit_spelled(units, split.unit);
        if (unit && takes_basis(unit))
            return (struct unit_reading){.unit = unit, .basis = split.basis};
    }

    return (struct unit_reading){.unit = NULL};
}

static bool is_among(const char *parted, const char *text)
{
    while (parted) {
        const char *end = strchrnul(parted, '|');
        size_t length = (size_t)(end - parted);

        if (length == strlen(text) && strncasecmp(parted, text, length) == 0)
            return true;
        parted = *end ? end + 1 : NULL;
    }

    return false;
}

const char *unit_refused_because(const char *plain)
{
    for (size_t i = 0; unit_refusal_at(i); i++)
        if (is_among(unit_refusal_at(i)->spellings, plain))
            return unit_refusal_at(i)->hint;

    return NULL;
}

/* The unit whose spelling is nearest, among those that the parameter allows. */
static const char *nearest_unit(const struct units *units, struct arena *mem, const char *plain,
                                const struct parameter *parameter)
{
    const char **words = ARENA_ARRAY(mem, const char *, units->spellings.count);
    size_t count = 0;

    for (size_t i = 0; i < units->spellings.count; i++) {
        const struct spelling *spelling = &units->spellings.items[i];

        if (!parameter || parameter_allows_unit(parameter, spelling->unit->name))
            words[count++] = spelling->text;
    }

    const char *nearest = str_nearest(plain, words, count);

    return nearest ? unit_spelled(units, nearest)->name : NULL;
}

static bool fail_unknown(const struct units *units, struct arena *mem, const char *text,
                         const struct parameter *parameter, struct err *err)
{
    const char *plain = unit_text_plain(mem, text);
    const char *refused = unit_refused_because(plain);
    const char *nearest = nearest_unit(units, mem, plain, parameter);

    if (!*plain)
        err_set(err, ERR_NOT_FOUND, "there is no unit");
    else
        err_set(err, ERR_NOT_FOUND,
                refused ? "the unit '%s' is not clear" : "there is no unit '%s'",
                str_show(mem, text, SHOWN_MOST));
    if (*plain && refused)
        return err_hint(err, "%s", refused);
    if (*plain && nearest)
        return err_hint(err, "Did you mean %s?", nearest);
    if (parameter)
        return err_hint(err, "It can be in %s.", parameter_units_text(mem, parameter));

    return err_hint(err, "Write it as mg/L, ug/L, degC or m3/h.");
}

/* Whether a unit that was understood is one for this parameter. */
static bool fits(struct arena *mem, const struct unit_reading *reading, const char *text,
                 const struct parameter *parameter, struct err *err)
{
    const char *shown = str_show(mem, text, SHOWN_MOST);

    if (!parameter_allows_unit(parameter, reading->unit->name)) {
        err_set(err, ERR_INVALID, "'%s' is not a unit for %s", shown, parameter->key);
        return err_hint(err, "It can be in %s.", parameter_units_text(mem, parameter));
    }
    if (reading->basis && !str_equal(reading->basis, parameter->basis)) {
        err_set(err, ERR_INVALID, "'%s' is %s, and %s is kept %s", shown, reading->basis,
                parameter->key, *parameter->basis ? parameter->basis : "without a basis");
        return err_hint(err, "Use a parameter that is %s, or have the result told another way.",
                        reading->basis);
    }

    return true;
}

bool unit_read(const struct units *units, const char *text, const struct parameter *parameter,
               struct unit_reading *out, struct err *err)
{
    const struct unit *named = unit_named(units, text);

    /* Most files write the canonical name, on every row. */
    if (named && (!parameter || parameter_allows_unit(parameter, named->name))) {
        *out = (struct unit_reading){.unit = named};
        return true;
    }

    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct unit_reading reading = reading_of(units, mem, text, parameter);

    if (!reading.unit)
        return fail_unknown(units, mem, text, parameter, err);
    if (parameter && !fits(mem, &reading, text, parameter, err))
        return false;
    *out = reading;

    return true;
}

bool unit_find(const struct units *units, const char *text, const struct parameter *parameter,
               const struct unit **out, struct err *err)
{
    struct unit_reading reading = {.unit = NULL};

    if (!unit_read(units, text, parameter, &reading, err))
        return false;
    *out = reading.unit;

    return true;
}
