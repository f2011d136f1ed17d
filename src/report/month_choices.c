/* Of month_inside.h: the choices of a limit that could flip its verdict, in words. */
#include "base/buf.h"
#include "base/str.h"
#include "judge/limit.h"
#include "report/month_inside.h"

/* ---- choices in words ---- */

static const char *station_words(struct month_book *book, const struct limit *limit)
{
    return month_station(book, limit->station, limit->position);
}

static const char *parameter_words(struct month_book *book, const struct limit *limit)
{
    if (str_empty(limit->unit))
        return month_parameter(book, limit->parameter);

    return arena_printf(book->mem, "%s, in %s", month_parameter(book, limit->parameter),
                        limit->unit);
}

static const char *kinds_words(struct month_book *book, const struct limit *limit)
{
    static const struct {
        unsigned kind;
        const char *word;
    } kinds[] = {{KIND_GRAB, "grab"},
                 {KIND_COMPOSITE, "composite"},
                 {KIND_PROBE, "probe"},
                 {KIND_BY_HAND, "by hand"},
                 {KIND_DERIVED, "derived"}};
    struct buf words = buf_new(book->mem);

    for (size_t i = 0; i < ARRAY_LEN(kinds); i++) {
        if (limit->kinds & kinds[i].kind)
            buf_addf(&words, "%s%s", words.len ? ", " : "", kinds[i].word);
    }
    for (size_t i = 0; i < limit->method_count; i++)
        buf_addf(&words, "%s%s", words.len ? "; " : "", limit->methods[i]);

    return words.len ? words.data : "any";
}

static const char *daily_words(struct month_book *book, const struct limit *limit)
{
    if (limit->day_starts_hour == 0)
        return limit_daily_words[limit->daily];

    return arena_printf(book->mem, "%s, days from %02d:00", limit_daily_words[limit->daily],
                        limit->day_starts_hour);
}

static const char *statistic_words(struct month_book *book, const struct limit *limit)
{
    return limit_figure_words(book->mem, limit);
}

static const char *applies_words(struct month_book *book, const struct limit *limit)
{
    bool at_times = limit->hours.set || limit->tide.of != TIDE_NONE || limit->season.set ||
                    limit->applies_while.other.station;

    (void)book;
    if (limit->only_while_discharging)
        return at_times ? "only while discharging, at the times above" : "only while discharging";

    return at_times ? "at the times above" : "always";
}

static const char *samples_words(struct month_book *book, const struct limit *limit)
{
    if (limit->least_samples == 0)
        return "none asked";

    return arena_printf(book->mem, "%d", limit->least_samples);
}

static const char *coverage_words(struct month_book *book, const struct limit *limit)
{
    if (limit->least_coverage.coefficient == 0)
        return "none asked";

    return arena_printf(book->mem, "%s %%", decimal_text(book->mem, limit->least_coverage));
}

static const char *load_words(struct month_book *book, const struct limit *limit)
{
    if (!limit->flow.station)
        return "no load";
    if (!limit->load_factor)
        return arena_printf(book->mem, "by %s at %s, exact by the units",
                            month_parameter(book, limit->flow.parameter),
                            month_station(book, limit->flow.station, NULL));

    return arena_printf(book->mem, "by %s at %s, times %s (%s, %s)",
                        month_parameter(book, limit->flow.parameter),
                        month_station(book, limit->flow.station, NULL), limit->load_factor,
                        limit->load_concentration_unit, limit->load_flow_unit);
}

static const char *gap_words(struct month_book *book, const struct limit *limit)
{
    (void)book;

    if (limit->daily != DAILY_LOAD)
        return "no load";

    return limit->load_water == LOAD_MEAN_TIMES_VOLUME ? "the mean stands for all of the water"
                                                       : load_gap_words[limit->load_gap];
}

static const char *force_words(struct month_book *book, const struct limit *limit)
{
    const char *from = day_words(book->mem, limit->in_force_from);

    if (limit->in_force_to == DAY_NONE)
        return arena_printf(book->mem, "from %s", from);

    return arena_printf(book->mem, "%s to %s", from, day_words(book->mem, limit->in_force_to));
}

static const char *version_words(struct month_book *book, const struct limit *limit)
{
    return arena_printf(book->mem, "licence of %s, our form %d, %s", limit->licence_version,
                        limit->version, limit->confirmed ? "confirmed" : "not confirmed");
}

static const char *authority_words(struct month_book *book, const struct limit *limit)
{
    (void)limit;

    return book->month->authority->name;
}

/* What stands beside what, two to a row. */
const struct month_choice month_choices[] = {
    {"limits.station", station_words, false},
    {"limits.parameter", parameter_words, false},
    {"limits.kinds", kinds_words, false},
    {"limits.applies", applies_words, false},
    {"limits.daily", daily_words, false},
    {"limits.statistic", statistic_words, false},
    {"limits.less_than", month_less_than_words, true},
    {"limits.greater_than", month_greater_than_words, true},
    {"limits.rounding", month_rounding_words, true},
    {"limits.force", force_words, false},
    {"limits.least_samples", samples_words, false},
    {"limits.least_coverage", coverage_words, false},
    {"limits.load", load_words, true},
    {"limits.gap", gap_words, true},
    {"limits.authority", authority_words, false},
    {"limits.version", version_words, false},
};

const size_t month_choice_count = ARRAY_LEN(month_choices);
