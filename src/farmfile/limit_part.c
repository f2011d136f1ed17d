#include "farmfile/limit_part.h"

#include <string.h>

#include "base/str.h"

const char *const limit_part_sample_words[] = {"samples", "sample", NULL};

/* Those of stat/percentile.h, which a test compares. */
const char *const limit_part_percentile_rules[] = {
    "nearest rank", "Hazen",  "Weibull", "Blom",   "inclusive", "type 1", "type 2", "type 3",
    "type 4",       "type 5", "type 6",  "type 7", "type 8",    "type 9", NULL};

/* Those of measure/ammonia.h, which a test compares. */
const char *const limit_part_ammonia_forms[] = {"emerson-273.2",
                                                "emerson-273.15",
                                                "bower-bidwell",
                                                "khoo",
                                                "epa-1989",
                                                "clegg-whitfield",
                                                NULL};

void limit_part_hour(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    int *hour = into;
    const char *text = str_trim(reader->mem, value->text);

    if (!field_is_text(reader, field, value))
        return;
    if (strlen(text) != 5 || strcmp(text + 2, ":00") != 0 ||
        !value_parse_count(arena_strndup(reader->mem, text, 2), 0, 23, hour))
        field_unfit(reader, field, value, NULL, 0);
}

/* --- rounding, factor, margin ---------------------------------------------------------------- */

/* Digits or figures of the bound as written; where there are two they must agree. */
static void rounding_of_bound(struct field_reader *reader, const struct yaml *value,
                              struct limit *limit, enum rounding_to to)
{
    const struct limit_bound *bound = &limit->bound;
    struct decimal one = bound->has_ceiling ? bound->ceiling : bound->floor;
    struct decimal other = bound->has_floor ? bound->floor : one;
    bool to_figures = to == ROUND_TO_FIGURES;
    int digits = to_figures ? decimal_significant_figures(one) : one.scale;

    limit->rounding_to_bound = true;
    limit->rounding.to = to;
    limit->rounding.digits = digits;
    if (digits != (to_figures ? decimal_significant_figures(other) : other.scale))
        field_problem(reader, value, "Say the digits, as in half up to 1 decimals.",
                      "the two bounds have different digits to round to");
}

/* "1 decimals", "3 figures"; false for neither. */
static bool parse_digits(const char *count, const char *unit, struct rounding *rounding)
{
    bool to_decimals = str_equal(unit, "decimals") || str_equal(unit, "decimal");
    bool to_figures = str_equal(unit, "figures") || str_equal(unit, "figure");

    rounding->to = to_figures ? ROUND_TO_FIGURES : ROUND_TO_DECIMALS;

    return (to_decimals || to_figures) &&
           value_parse_count(count, to_figures ? 1 : 0, DECIMAL_DIGITS_MOST, &rounding->digits);
}

void limit_part_rounding(struct field_reader *reader, const struct field *field,
                         const struct yaml *value, void *into)
{
    enum { WORDS = 6 };
    const char *words[WORDS] = {0};
    struct limit *limit = into;
    int count = field_is_text(reader, field, value) ? value_split(reader, value, words, WORDS) : 0;

    if (count == 0 || (count == 1 && strcmp(words[0], "none") == 0))
        return;
    if (count < 5 || strcmp(words[0], "half") != 0 || strcmp(words[2], "to") != 0 ||
        (strcmp(words[1], "up") != 0 && strcmp(words[1], "even") != 0)) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    limit->rounding.rule = strcmp(words[1], "up") == 0 ? ROUND_HALF_UP : ROUND_HALF_EVEN;
    if (count == 5 && str_equal(words[3], "the") && str_equal(words[4], "bound"))
        rounding_of_bound(reader, value, limit, ROUND_TO_DECIMALS);
    else if (count == WORDS && str_equal(words[3], "the") && str_equal(words[4], "bound's") &&
             str_equal(words[5], "figures"))
        rounding_of_bound(reader, value, limit, ROUND_TO_FIGURES);
    else if (count != 5 || !parse_digits(words[3], words[4], &limit->rounding))
        field_unfit(reader, field, value, NULL, 0);
}

void limit_part_factor(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    const char **factor = into;
    const char *text = str_trim(reader->mem, value->text);

    if (!field_is_text(reader, field, value))
        return;

    const struct exact *number = exact_from_text(reader->mem, text);

    if (number && exact_sign(number) > 0)
        *factor = text;
    else
        field_unfit(reader, field, value, NULL, 0);
}

void limit_part_margin(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    struct limit *limit = into;
    struct decimal amount = {0};

    if (!field_is_text(reader, field, value))
        return;

    const char *text = str_trim(reader->mem, value->text);
    size_t length = strcspn(text, " ");
    const char *unit = str_trim(reader->mem, text + length);
    const char *figure_unit = limit_figure_unit(reader->mem, limit);

    if (*unit == '\0' || !decimal_parse(arena_strndup(reader->mem, text, length), &amount) ||
        amount.coefficient <= 0) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    if (strcmp(unit, "%") != 0 && !str_equal(unit, figure_unit)) {
        field_problem(reader, value, NULL, "the margin is in '%s': expected %% or the limit's %s",
                      str_show(reader->mem, unit, FARM_KEY_MOST),
                      *figure_unit ? figure_unit : "unit");
        return;
    }
    limit->margin = strcmp(unit, "%") == 0 ? MARGIN_SHARE : MARGIN_AMOUNT;
    limit->margin_amount = amount;
}

/* A word for a length of time: "hour" is 3600. */
const char *const limit_part_time_words[] = {"second", "minute", "hour", "day", NULL};
const char *const limit_part_times_words[] = {"seconds", "minutes", "hours", "days", NULL};

void limit_part_time(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    static const int lengths_s[] = {1, 60, 3600, 86400};
    int *seconds = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *seconds = lengths_s[word];
}

void limit_part_word(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    const char **text = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *text = field->words[word];
}

void limit_part_geometric(struct field_reader *reader, const struct field *field,
                          const struct yaml *value, void *into)
{
    struct limit *limit = into;
    int word = value_word(reader, field, value);

    if (word < 0)
        return;
    limit->has_geometric_rule = true;
    limit->less_than_geometric = (enum less_than_rule)word;
}
