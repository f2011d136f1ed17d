#include "base/str.h"
#include "farmfile/amount.h"
#include "farmfile/moment.h"
#include "farmfile/section.h"

enum { DAY_S = 86400 };

/* --- duplicates ------------------------------------------------------------------------------ */

static const char *const rule_words[] = {"percent", "percent from a limit", "percent and amount",
                                         NULL};

/* A row whose struct is what the map is read into. */
#define DUPLICATES(key, need, read, member, expected)                                              \
    FIELD(key, need, read, struct farm_duplicates, member, expected)

static const struct field duplicates_fields[] = {
    {DUPLICATES("rule", FIELD_REQUIRED, value_choice, bounds.rule, "how two results are compared"),
     .words = rule_words,
     .note = "Percent: the difference as a percentage of their mean is at most `percent`. Percent "
             "from a limit: that where both are at or above `times` the quantitation limit; else "
             "the difference is at most `below times` the limit, or they are not assessed. Percent "
             "and amount: they are too far apart when the percentage is above `percent` and the "
             "difference above `times` the limit, or one above that and the other a less-than."},
    {DUPLICATES("percent", FIELD_REQUIRED, value_percent, bounds.percent, "a share, as 20 %")},
    {DUPLICATES("times", FIELD_OPTIONAL, value_number, bounds.times,
                "how many times the quantitation limit, as 5")},
    {DUPLICATES("below times", FIELD_OPTIONAL, value_number, bounds.below_times,
                "how many times the quantitation limit, as 2")},
    {DUPLICATES("within", FIELD_OPTIONAL, moment_length, within_s,
                "how near in time a check sample is a duplicate, as 30 minutes"),
     .words = moment_length_words, .least = 1, .most = DAY_S,
     .note = "Left out, at the same time. Portions of one sample are duplicates without it."},
    {DUPLICATES("in doubt", FIELD_REQUIRED, value_yes_no, in_doubt,
                "whether both of a pair that failed are in doubt, yes or no")},
};

static const struct field_table duplicates_table = {"duplicates", duplicates_fields,
                                                    ARRAY_LEN(duplicates_fields)};

static void read_duplicates(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    struct farm_duplicates *duplicates = into;
    size_t before = reader->problems->count;

    (void)field;
    if (!field_read_map(reader, &duplicates_table, value, duplicates) ||
        reader->problems->count > before)
        return;

    bool by_limit = duplicates->bounds.rule != DUPLICATE_PERCENT;
    const struct yaml *times = yaml_find(value, "times");
    const struct yaml *below = yaml_find(value, "below times");

    duplicates->asked = true;
    duplicates->bounds.has_below = below != NULL;
    if (by_limit && !times)
        field_problem(reader, value, NULL, "this rule needs `times`: expected a number, as 5");
    if (!by_limit && times)
        field_problem(reader, times, NULL, "`times` has no place here: `percent` goes by no limit");
    if (below && duplicates->bounds.rule != DUPLICATE_PERCENT_FROM)
        field_problem(reader, below, NULL,
                      "`below times` has no place here: it goes with `percent from a limit`");
    if ((times && duplicates->bounds.times.coefficient <= 0) ||
        (below && duplicates->bounds.below_times.coefficient <= 0))
        field_problem(reader, value, NULL, "`times` and `below times` must be above 0");
}

/* --- replicates ------------------------------------------------------------------------------ */

static const struct field replicates_fields[] = {
    {FIELD("percent", FIELD_REQUIRED, value_percent, struct farm_replicates, percent,
           "the standard deviation as a share of the mean, as 15 %")},
    {FIELD("in doubt", FIELD_REQUIRED, value_yes_no, struct farm_replicates, in_doubt,
           "whether those that failed are in doubt, yes or no")},
};

static const struct field_table replicates_table = {"replicates", replicates_fields,
                                                    ARRAY_LEN(replicates_fields)};

static void read_replicates(struct field_reader *reader, const struct field *field,
                            const struct yaml *value, void *into)
{
    struct farm_replicates *replicates = into;

    (void)field;
    replicates->asked = field_read_map(reader, &replicates_table, value, replicates);
}

/* --- blanks ---------------------------------------------------------------------------------- */

static const char *const concerns_words[] = {"same day", "same file", NULL};

static void read_blank_bound(struct field_reader *reader, const struct field *field,
                             const struct yaml *value, void *into)
{
    static const struct {
        const char *words;
        enum blank_bound kind;
    } rows[] = {{"detection limit", BLANK_DETECTION},
                {"quantitation limit", BLANK_QUANTITATION},
                {"half the quantitation limit", BLANK_HALF_QUANTITATION}};
    struct blank_bounds *bounds = into;

    if (!field_is_text(reader, field, value))
        return;

    const char *text = str_trim(reader->mem, value->text);

    for (size_t i = 0; i < ARRAY_LEN(rows); i++) {
        if (str_equal(text, rows[i].words)) {
            bounds->kind = rows[i].kind;
            return;
        }
    }
    if (!decimal_parse(text, &bounds->amount) || bounds->amount.coefficient < 0)
        field_unfit(reader, field, value, NULL, 0);
}

#define BLANKS(key, need, read, member, expected)                                                  \
    FIELD(key, need, read, struct farm_blanks, member, expected)

static const struct field blanks_fields[] = {
    {BLANKS("not above", FIELD_REQUIRED, read_blank_bound, bounds,
            "a number, as 0.02, or detection limit, quantitation limit, half the quantitation "
            "limit"),
     .note = "The laboratory's own limits, as it tells them with the blank."},
    {BLANKS("in doubt", FIELD_REQUIRED, value_yes_no, in_doubt,
            "whether the results that a failed blank concerns are in doubt, yes or no")},
    {BLANKS("concerns", FIELD_REQUIRED, value_choice, concerns, "which results it concerns"),
     .words = concerns_words,
     .note = "Of the same parameter and laboratory, taken on the day of the blank or told in its "
             "file."},
    {BLANKS("below times", FIELD_OPTIONAL, value_number, touches_times,
            "how many times the blank, as 5"),
     .note = "Only results below so many times the blank are concerned. Left out, all that are no "
             "less-than."},
};

static const struct field_table blanks_table = {"blanks", blanks_fields, ARRAY_LEN(blanks_fields)};

static void read_blanks(struct field_reader *reader, const struct field *field,
                        const struct yaml *value, void *into)
{
    struct farm_blanks *blanks = into;
    const struct yaml *times = yaml_find(value, "below times");

    (void)field;
    blanks->asked = field_read_map(reader, &blanks_table, value, blanks);
    if (times && blanks->touches_times.coefficient <= 0)
        field_problem(reader, times, NULL, "`below times` must be above 0");
}

/* --- one item -------------------------------------------------------------------------------- */

#define QUALITY(key, need, read, member, expected)                                                 \
    FIELD(key, need, read, struct farm_quality, member, expected)

static const struct field quality_fields[] = {
    {QUALITY("parameter", FIELD_REQUIRED, name_parameter, parameter, "the key of a parameter")},
    {QUALITY("laboratory", FIELD_OPTIONAL, value_key, laboratory, "the key of a laboratory"),
     .note = "Left out, any. The first item that fits a result is the one that it stands under."},
    {QUALITY("copied from", FIELD_REQUIRED, value_text, copied_from,
             "the document that the numbers stand in")},
    {QUALITY("unit", FIELD_OPTIONAL, value_text, unit,
             "the unit of the amounts; left out, the parameter's own")},
    {QUALITY("quantitation limit", FIELD_OPTIONAL, amount_number_above, quantitation,
             "a number, for results whose laboratory tells none")},
    {QUALITY("duplicates", FIELD_OPTIONAL, read_duplicates, duplicates,
             "as {rule: percent, percent: 20 %, in doubt: yes}"),
     .inside = &duplicates_table},
    {QUALITY("replicates", FIELD_OPTIONAL, read_replicates, replicates,
             "as {percent: 15 %, in doubt: yes}"),
     .inside = &replicates_table,
     .note = "Of three or more portions of one sample. Of two, where `duplicates` is not asked."},
    {QUALITY("blanks", FIELD_OPTIONAL, read_blanks, blanks,
             "as {not above: detection limit, in doubt: yes, concerns: same day}"),
     .inside = &blanks_table, .note = "Samples whose purpose is blank."},
    {QUALITY("coarse above", FIELD_OPTIONAL, value_percent, coarse_percent,
             "a share of a clause's bound, as 50 %"),
     .note = "A laboratory's limit above it is a finding, as one above the bound itself always "
             "is."},
};

const struct field_table section_quality_table = {"quality check", quality_fields,
                                                  ARRAY_LEN(quality_fields)};

/* --- the section ----------------------------------------------------------------------------- */

static void check_laboratory(struct field_reader *reader, const struct yaml *node,
                             const char *laboratory)
{
    const struct farm_laboratory_list *all = &reader->farm->laboratories;
    const char **keys = ARENA_ARRAY(reader->mem, const char *, all->count);

    for (size_t i = 0; i < all->count; i++) {
        if (str_equal(all->items[i].key, laboratory))
            return;
        keys[i] = all->items[i].key;
    }
    field_unknown(reader, node, "laboratory", keys, all->count);
}

static void check_item(struct field_reader *reader, const struct yaml *node,
                       const struct farm_quality *quality)
{
    const struct farm_quality_list *above = &reader->farm->quality;

    if (quality->laboratory)
        check_laboratory(reader, yaml_find(node, "laboratory"), quality->laboratory);
    if (!quality->duplicates.asked && !quality->replicates.asked && !quality->blanks.asked &&
        !yaml_find(node, "coarse above"))
        field_problem(reader, node, NULL,
                      "nothing is asked for: expected one of duplicates, replicates, blanks, "
                      "coarse above");
    for (size_t i = 0; i < above->count; i++)
        if (str_equal(above->items[i].key, quality->key))
            field_problem(reader, node, NULL, "a second item for %s", quality->key);
}

/* The unit of the amounts, and how each that the parameter may be in is brought to it. */
static bool settle_units(struct field_reader *reader, const struct yaml *node,
                         struct farm_quality *quality)
{
    const struct parameter *parameter = name_find_parameter(reader, quality->parameter);
    struct farm_quality_unit *units =
        ARENA_ARRAY(reader->mem, struct farm_quality_unit, PARAMETER_UNITS_MOST);
    size_t count = 0;

    if (!parameter || parameter->kind != PARAMETER_NUMBER) {
        field_problem(reader, yaml_find(node, "parameter"), NULL,
                      "'%s' won't do here: expected a parameter whose readings are numbers, as "
                      "ammonia",
                      quality->parameter);
        return false;
    }
    quality->unit = quality->unit
                        ? name_unit(reader, yaml_find(node, "unit"), quality->unit, parameter)
                        : parameter->unit;
    if (!quality->unit)
        return false;
    for (size_t i = 0; i < PARAMETER_UNITS_MOST && parameter->units[i]; i++) {
        struct farm_quality_unit *unit = &units[count];
        struct err err = ERR_INIT;

        *unit = (struct farm_quality_unit){.unit = parameter->units[i]};
        if (unit_conversion(reader->units, reader->mem, unit_named(reader->units, unit->unit),
                            unit_named(reader->units, quality->unit), &unit->conversion, &err))
            count++;
    }
    quality->units = units;
    quality->unit_count = count;

    return true;
}

void section_quality(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_quality quality = {0};

        if (!field_read_map(reader, &section_quality_table, node, &quality) || !quality.parameter ||
            !settle_units(reader, node, &quality))
            continue;
        quality.key =
            arena_printf(reader->mem, "%s%s%s", quality.parameter, quality.laboratory ? " by " : "",
                         quality.laboratory ? quality.laboratory : "");
        check_item(reader, node, &quality);
        quality.definition = field_definition(reader, &section_quality_table, node, FIELD_ALL);
        LIST_ADD(reader->mem, &reader->farm->quality, quality);
        reader->spellings.count = 0;
    }
}

const struct exact *farm_quality_amount(const struct farm_quality *quality, struct arena *mem,
                                        const char *unit, struct decimal reported)
{
    for (size_t i = 0; i < quality->unit_count; i++)
        if (str_equal(quality->units[i].unit, unit))
            return unit_apply(mem, &quality->units[i].conversion,
                              exact_from_decimal(mem, reported));

    return NULL;
}
