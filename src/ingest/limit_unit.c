#include "ingest/limit_unit.h"

#include <string.h>

#include "base/exact.h"
#include "ingest/csv_time.h"

static const char *cell_text(const struct csv_reader *reader, const struct csv_row *row,
                             enum csv_field field)
{
    size_t cell = reader->header.cells[field];

    return cell < row->count ? row->cells[cell].text : "";
}

/* The number of a limit's cell in the other unit, in the file's way of writing; NULL: it has none.
 */
static const char *limit_convert(const struct csv_reader *reader, const char *text,
                                 const struct unit_conversion *conversion)
{
    struct arena *mem = reader->row_mem;
    const struct number number = number_read(&reader->value_rules.style, text);
    struct decimal limit;

    /* What is no limit is told where it is read. */
    if (number.kind != NUMBER_VALUE || number.qualifier == '>')
        return text;
    if (!conversion->is_exact ||
        !exact_decimal(unit_apply(mem, conversion, exact_from_decimal(mem, number.value)), &limit))
        return NULL;

    char *converted = decimal_text(mem, limit);
    char *point = strchr(converted, '.');

    if (point)
        *point = reader->source->decimal;

    return converted;
}

static bool conversion_find(struct csv_reader *reader, const struct csv_unit *from,
                            const struct csv_unit *to, struct unit_conversion *out)
{
    const struct units *units = reader->world->units;
    struct err ignored = ERR_INIT;

    return unit_conversion(units, reader->row_mem, unit_named(units, from->name),
                           unit_named(units, to->name), out, &ignored);
}

struct limit_cells limit_unit_read(struct csv_reader *reader, const struct csv_row *row,
                                   const struct parameter *parameter, const struct csv_unit *unit)
{
    struct limit_cells limits = {.detection = cell_text(reader, row, FIELD_DETECTION),
                                 .quantitation = cell_text(reader, row, FIELD_QUANTITATION)};
    const char *word = csv_field_text(reader, row, FIELD_LIMIT_UNIT);
    struct unit_conversion conversion;

    if (!*word || !parameter || !unit || !unit->name)
        return limits;

    const struct csv_unit *own = csv_unit_find(&reader->units, parameter, word);

    if (!own->name) {
        limits.trouble = own->trouble;
        return limits;
    }
    if (strcmp(own->name, unit->name) == 0)
        return limits;
    if (conversion_find(reader, own, unit, &conversion)) {
        const char *detection = limit_convert(reader, limits.detection, &conversion);
        const char *quantitation = limit_convert(reader, limits.quantitation, &conversion);

        if (detection && quantitation)
            return (struct limit_cells){.detection = detection, .quantitation = quantitation};
    }
    limits.trouble =
        (struct trouble){PROBLEM_UNIT_UNFIT,
                         arena_printf(reader->row_mem, "the limit is in %s and the value in %s",
                                      own->name, unit->name),
                         "Ask the laboratory for both in one unit."};

    return limits;
}
