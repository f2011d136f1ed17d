#include "base/str.h"
#include "judge/explain_parts.h"
#include "judge/period.h"

/* Whether its load is of several steps, or of another water than its own. */
static bool has_steps(const struct verdict_day *day)
{
    return day->loads &&
           (day->loads->count > 1 || day->loads->items[0].water_used == LOAD_WATER_WHILE_SAMPLING);
}

static const char *load_water_unit(const struct limit *limit)
{
    return limit->load_flow_unit ? limit->load_flow_unit : "m3";
}

/* " (the flow then: 5.73 L/s, as read 2026-03-03 08:45)" */
static void add_flow(struct writer *writer, struct buf *text, const struct verdict_load *load)
{
    if (load->flow)
        buf_addf(text, " (the flow then: %s, as read %s)", writer_reported(writer, load->flow),
                 zone_text(writer->mem, writer->evidence->zone, load->flow->at));
}

static const char *const water_words[] = {
    [LOAD_WATER_OF_DAY] = "",
    [LOAD_WATER_WHILE_SAMPLING] = " in 24 hours",
    [LOAD_WATER_PERIOD_MEAN] = ", the period's mean of a day",
    [LOAD_MEAN_TIMES_VOLUME] = ", the water of all its days",
};

static void explain_load(struct writer *writer, const char *indent, const struct verdict_load *load)
{
    const struct limit *limit = writer->verdict->limit;
    struct buf text = buf_new(writer->mem);

    buf_addf(&text, "%s%s", indent, limit_station(limit, load->place));
    if (load->at != INSTANT_NONE)
        buf_addf(&text, ", %s", zone_text(writer->mem, writer->evidence->zone, load->at));
    buf_addf(&text, ": %s%s %s %s %s%s",
             load->concentration && load->qualifier != QUALIFIER_NONE ? "a less-than as " : "",
             load->concentration ? writer_digits(writer, load->concentration) : "what it could be",
             limit->daily == DAILY_LOAD ? "x" : "weighted by",
             load->water ? writer_digits(writer, load->water) : "water not known",
             load_water_unit(limit), water_words[load->water_used]);
    add_flow(writer, &text, load);
    if (load->load)
        buf_addf(&text, " = %s%s", writer_digits(writer, load->load), writer_unit(writer));
    writer_say(writer, text.data);
}

/* How many steps in a row are of one place. */
static size_t of_place(const struct verdict_loads *loads, size_t first)
{
    size_t after = first + 1;

    while (after < loads->count && loads->items[after].place == loads->items[first].place)
        after++;

    return after - first;
}

void explain_loads(struct writer *writer, const char *indent, const struct verdict_loads *loads)
{
    bool weighted = writer->verdict->limit->daily != DAILY_LOAD;
    bool added = false;

    for (size_t first = 0, count; first < loads->count; first += count) {
        count = of_place(loads, first);
        added = added ||
                (first > 0 && loads->items[first].place <= writer->verdict->limit->added_count);
        for (size_t i = first; i < first + count; i++)
            explain_load(writer, indent, &loads->items[i]);
        if (count > 1 && !weighted)
            writer_say(writer, arena_printf(
                                   writer->mem, "%s%s: the mean of these %zu", indent,
                                   limit_station(writer->verdict->limit, loads->items[first].place),
                                   count));
    }
    if (added)
        writer_say(writer, arena_printf(writer->mem, "%sthe places are added", indent));
}

static const char *const discharge_words[] = {
    [DISCHARGE_YES] = "discharging",
    [DISCHARGE_NONE] = "no discharge",
    [DISCHARGE_UNKNOWN] = "discharge not known, so it counts as discharging",
    [DISCHARGE_DISAGREES] = "the records disagree, so it counts as discharging",
};

/* Whether there is anything to say of the day. */
static bool day_speaks(const struct writer *writer, const struct verdict_day *day)
{
    return day->figure || day->note || day->volume ||
           (writer->verdict->limit->only_while_discharging && day->discharge != DISCHARGE_YES);
}

/* The water of the day, unless the day's load goes by another. */
static bool water_is_told(const struct verdict_day *day)
{
    const struct verdict_loads *loads = day->loads;

    return day->volume &&
           (!loads || loads->count == 0 || loads->items[0].water_used == LOAD_WATER_OF_DAY);
}

/* Where figures of other places are added, what a day shows of the limit's own says so. */
static const char *own_place(const struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;

    return limit->added_count > 0 ? arena_printf(writer->mem, " at %s", limit->station) : "";
}

static void add_water(struct writer *writer, struct buf *text, const struct verdict_day *day)
{
    const struct limit *limit = writer->verdict->limit;
    const struct verdict_load *only =
        day->loads && day->loads->count == 1 ? day->loads->items : NULL;

    if (only && only->water_used == LOAD_WATER_PERIOD_MEAN)
        buf_addf(text, ", the period's mean water %s %s", writer_digits(writer, only->water),
                 load_water_unit(limit));
    else if (water_is_told(day) && (!day->loads || only))
        buf_addf(text, ", water%s %s %s", own_place(writer), writer_digits(writer, day->volume),
                 load_water_unit(limit));
}

/* What is said of a day; NULL for nothing. */
static const char *explain_day(struct writer *writer, const struct verdict_day *day)
{
    const struct limit *limit = writer->verdict->limit;
    struct buf text = buf_new(writer->mem);

    if (!day_speaks(writer, day))
        return NULL;
    buf_addf(&text, "%zu %s", day->readings, day->readings == 1 ? "reading" : "readings");
    if (limit->only_while_discharging)
        buf_addf(&text, ", %s", discharge_words[day->discharge]);
    if (limit->only_while_discharging && day->discharge_because)
        buf_addf(&text, " (%s)", day->discharge_because);
    if (day->concentration && limit->daily == DAILY_LOAD && !has_steps(day))
        buf_addf(&text, ", mean concentration%s %s", own_place(writer),
                 writer_digits(writer, day->concentration));
    add_water(writer, &text, day);
    if (day->figure)
        buf_addf(&text, ", %s %s%s%s%s", limit_daily_words[limit->daily],
                 day->figure_qualifier == QUALIFIER_LESS ? "<" : "",
                 writer_digits(writer, day->figure), writer_unit(writer),
                 day->outside ? ", beyond the bound" : "");
    if (day->note)
        buf_addf(&text, "; %s", day->note);

    return text.data;
}

/* Days one after the other of which the same is said share a line. */
static void explain_each_day(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    struct arena *mem = writer->mem;

    for (size_t i = 0, next; i < verdict->day_count; i = next) {
        const char *said = explain_day(writer, &verdict->days[i]);

        next = i + 1;
        while (said && !has_steps(&verdict->days[i]) && next < verdict->day_count &&
               !has_steps(&verdict->days[next]) &&
               str_equal(explain_day(writer, &verdict->days[next]), said))
            next++;
        if (said)
            writer_say(writer,
                       arena_printf(mem, "  %s%s%s: %s", day_words(mem, verdict->days[i].day),
                                    next > i + 1 ? " to " : "",
                                    next > i + 1 ? day_words(mem, verdict->days[next - 1].day) : "",
                                    said));
        if (said && has_steps(&verdict->days[i]))
            explain_loads(writer, "    ", verdict->days[i].loads);
    }
}

static const char *const load_rules[] = {
    [LOAD_WATER_OF_DAY] = "load = mean concentration of the day x water of the day x factor",
    [LOAD_WATER_WHILE_SAMPLING] =
        "load = the mean, over the readings of the day, of concentration x flow while it was taken "
        "(as if it had run for 24 hours) x factor",
    [LOAD_WATER_PERIOD_MEAN] = "load = mean concentration of the day x the mean water of a day of "
                               "the period x factor",
    [LOAD_MEAN_TIMES_VOLUME] =
        "no load of a day: load of the period = the mean of the days' concentrations x the water "
        "of all its days x factor",
};

static const struct limit_flow *flow_of(const struct limit *limit, size_t place)
{
    if (place == 0)
        return &limit->flow;

    return place <= limit->added_count ? &limit->added_flows[place - 1] : &limit->against.flow;
}

/* Which water each place's load is made with, and the factor. */
static void explain_load_rule(struct writer *writer)
{
    const struct limit *limit = writer->verdict->limit;
    size_t places = 1 + limit->added_count + (limit->against.kind != AGAINST_NONE);
    struct buf text = buf_new(writer->mem);

    buf_addf(&text, "  %s", load_rules[limit->load_water]);
    for (size_t i = 0; i < places; i++) {
        const struct limit_flow *flow = flow_of(limit, i);

        if (flow->station)
            buf_addf(&text, "%s%s%s from %s at %s", i == 0 ? "; water" : " and",
                     places > 1 ? " of " : "", places > 1 ? limit_station(limit, i) : "",
                     flow->parameter, flow->station);
    }
    buf_add_text(&text, "; factor ");
    if (limit->load_factor)
        buf_addf(&text, "%s", limit->load_factor);
    else if (writer->verdict->load_factor)
        buf_addf(&text, "%s, by the units", writer_digits(writer, writer->verdict->load_factor));
    else
        buf_add_text(&text, "exact, by the units");
    writer_say(writer, text.data);
    if (limit->load_water == LOAD_WATER_PERIOD_MEAN && !period_is_span(limit))
        writer_say(writer, "  the figure of a window goes by the mean water of its own days");
}

void explain_days(struct writer *writer)
{
    const struct verdict *verdict = writer->verdict;
    const struct limit *limit = verdict->limit;

    if (limit->daily == DAILY_EVERY && !limit->only_while_discharging)
        return;
    writer_say(writer,
               arena_printf(writer->mem, "each day first: %s", limit_daily_words[limit->daily]));
    if (limit->daily == DAILY_LOAD)
        explain_load_rule(writer);
    explain_each_day(writer);
}
