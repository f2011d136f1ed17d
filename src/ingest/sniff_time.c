#include "ingest/sniff_time.h"

#include <stdio.h>
#include <string.h>

#include "base/str.h"

enum {
    SEEDS = 8,       /* different stamps that a format must read one of, to be tried on all */
    TRIED_MOST = 64, /* formats that read a seed */
    STEPS_MOST = 64, /* different steps that are counted */
    TURNS_LEAST = 2,
    COUNT_YEAR_LEAST = 1990, /* a smaller count is a number, not a time */
    DAY_S = 86400,
    WEEK_S = 7 * DAY_S,
};

static const struct {
    const char *text;
    enum sniff_order order;
} dates[] = {
    {"YYYY-MM-DD", ORDER_PLAIN},     {"YYYY/MM/DD", ORDER_PLAIN},
    {"YYYY.MM.DD", ORDER_PLAIN},     {"YYYYMMDD", ORDER_PLAIN},
    {"DD/MM/YYYY", ORDER_DAY_FIRST}, {"MM/DD/YYYY", ORDER_MONTH_FIRST},
    {"DD-MM-YYYY", ORDER_DAY_FIRST}, {"MM-DD-YYYY", ORDER_MONTH_FIRST},
    {"DD.MM.YYYY", ORDER_DAY_FIRST}, {"MM.DD.YYYY", ORDER_MONTH_FIRST},
    {"DD MM YYYY", ORDER_DAY_FIRST}, {"MM DD YYYY", ORDER_MONTH_FIRST},
    {"DD/MM/YY", ORDER_DAY_FIRST},   {"MM/DD/YY", ORDER_MONTH_FIRST},
    {"YY/MM/DD", ORDER_YEAR_FIRST},  {"DD-MM-YY", ORDER_DAY_FIRST},
    {"MM-DD-YY", ORDER_MONTH_FIRST}, {"YY-MM-DD", ORDER_YEAR_FIRST},
    {"DD.MM.YY", ORDER_DAY_FIRST},   {"MM.DD.YY", ORDER_MONTH_FIRST},
    {"YY.MM.DD", ORDER_YEAR_FIRST},  {"DD MMM YYYY", ORDER_PLAIN},
    {"DD-MMM-YYYY", ORDER_PLAIN},    {"DD/MMM/YYYY", ORDER_PLAIN},
    {"DD-MMM-YY", ORDER_PLAIN},      {"DD MMM YY", ORDER_PLAIN},
    {"MMM DD YYYY", ORDER_PLAIN},    {"MMM DD, YYYY", ORDER_PLAIN},
    {"DDMMMYYYY", ORDER_PLAIN},      {"YYYY-MMM-DD", ORDER_PLAIN},
};

static const char *const joins[] = {" ", "T", ", ", " - ", "", "_", NULL};

static const char *const hours[] = {
    "hh:mm:ss", "hh:mm", "hh:mm:ss AM/PM", "hh:mm AM/PM", "hh:mm:ssAM/PM", "hh:mmAM/PM", "hh.mm",
    "hh.mm.ss", "hhmm",  "hhmmss",         NULL,
};

static const char *const tails[] = {"", "+hh:mm", " +hh:mm", " UTC", NULL};

static const char *const alone[] = {"seconds of 1970", "milliseconds of 1970", NULL};

/* --- trying --- */

struct tries {
    struct arena *mem;
    const struct sniff_stamps *stamps;
    const char *seeds[SEEDS];
    size_t seed_count;
    struct sniff_format items[TRIED_MOST];
    size_t count;
};

static bool reads(const struct time_format *format, const char *text)
{
    struct time_reading reading;

    return time_format_read(format, text, &reading) == TIME_READ &&
           (!format->is_count || reading.civil.year >= COUNT_YEAR_LEAST);
}

/* Different texts from all over the sample. */
static void seeds_choose(struct tries *tries)
{
    const struct sniff_stamps *stamps = tries->stamps;

    for (size_t i = 0; i < SEEDS && stamps->count > 0; i++) {
        const char *text = stamps->items[i * (stamps->count - 1) / (SEEDS - 1)].text;
        bool known = false;

        for (size_t k = 0; k < tries->seed_count; k++)
            known = known || str_equal(tries->seeds[k], text);
        if (!known)
            tries->seeds[tries->seed_count++] = text;
    }
}

static void format_try(struct tries *tries, const char *text, enum sniff_order order)
{
    struct sniff_format tried = {.order = order};
    struct err ignored = ERR_INIT;
    bool any = false;

    if (tries->count == TRIED_MOST || !time_format_compile(text, &tried.format, &ignored))
        return;
    for (size_t i = 0; i < tries->seed_count && !any; i++)
        any = reads(&tried.format, tries->seeds[i]);
    if (!any)
        return;
    tried.text = arena_strdup(tries->mem, text);
    for (size_t i = 0; i < tries->stamps->count; i++)
        tried.read += reads(&tried.format, tries->stamps->items[i].text);
    tries->items[tries->count++] = tried;
}

/* Whether a seed has every mark of this part of a format: the cheap way to leave most of them. */
static bool seeds_have(const struct tries *tries, const char *part)
{
    for (size_t i = 0; i < tries->seed_count; i++) {
        const char *mark = part;

        while (*mark && (!strchr("/-.:,_T", *mark) || strchr(tries->seeds[i], *mark)))
            mark++;
        if (!*mark)
            return true;
    }

    return false;
}

static void formats_try(struct tries *tries)
{
    char text[80];

    for (size_t d = 0; d < ARRAY_LEN(dates); d++) {
        if (!seeds_have(tries, dates[d].text))
            continue;
        format_try(tries, dates[d].text, dates[d].order);
        for (size_t j = 0; joins[j]; j++)
            for (size_t h = 0; hours[h] && seeds_have(tries, joins[j]); h++)
                for (size_t t = 0; tails[t]; t++)
                    if (snprintf(text, sizeof(text), "%s%s%s%s", dates[d].text, joins[j], hours[h],
                                 tails[t]) < (int)sizeof(text))
                        format_try(tries, text, dates[d].order);
    }
    for (size_t i = 0; alone[i]; i++)
        format_try(tries, alone[i], ORDER_PLAIN);
}

/* --- the pace of the rows --- */

static int64_t seconds_of(const struct civil *civil)
{
    return (int64_t)day_from_civil(civil->year, civil->month, civil->day) * DAY_S +
           civil->hour * 3600 + civil->minute * 60 + civil->second + (civil->microsecond >= 500000);
}

struct steps {
    int64_t step[STEPS_MOST];
    size_t count[STEPS_MOST];
    size_t turns[STEPS_MOST];
    size_t kinds;
};

static void step_count(struct steps *steps, int64_t step, bool turns)
{
    size_t i = 0;

    while (i < steps->kinds && steps->step[i] != step)
        i++;
    if (i == STEPS_MOST)
        return;
    if (i == steps->kinds) {
        steps->kinds++;
        steps->step[i] = step;
    }
    steps->count[i]++;
    steps->turns[i] += turns;
}

struct sniff_pace sniff_time_pace(const struct sniff_stamps *stamps,
                                  const struct time_format *format)
{
    struct steps steps = {.kinds = 0};
    struct sniff_pace pace = {.step_s = 0};
    int64_t before = INT64_MIN;
    size_t back = 0;

    for (size_t i = 0; i < stamps->count; i++) {
        const struct sniff_stamp *stamp = &stamps->items[i];
        struct time_reading reading;

        if (time_format_read(format, stamp->text, &reading) != TIME_READ) {
            before = INT64_MIN;
            continue;
        }

        int64_t now = seconds_of(&reading.civil) - reading.offset_s;

        if (stamp->follows && before != INT64_MIN && now != before) {
            bool turns = now / DAY_S != before / DAY_S;

            pace.pairs++;
            pace.turns += turns;
            back += now < before;
            pace.jumps += now > before + WEEK_S || now < before - WEEK_S;
            step_count(&steps, now < before ? before - now : now - before, turns);
        }
        before = now;
    }
    for (size_t i = 0; i < steps.kinds; i++)
        if (steps.count[i] > pace.steady) {
            pace.step_s = steps.step[i];
            pace.steady = steps.count[i];
            pace.turns_steady = steps.turns[i];
        }
    if (pace.steady * 2 < pace.pairs)
        pace.step_s = 0;
    pace.newest_first = back * 2 > pace.pairs;

    return pace;
}

const char *sniff_step_text(struct arena *mem, int64_t step_s)
{
    static const struct {
        int64_t s;
        const char *one;
        const char *many;
    } units[] = {{DAY_S, "day", "days"}, {3600, "hour", "hours"}, {60, "minute", "minutes"}};

    for (size_t i = 0; i < ARRAY_LEN(units); i++)
        if (step_s >= units[i].s && step_s % units[i].s == 0)
            return step_s == units[i].s
                       ? units[i].one
                       : arena_printf(mem, "%lld %s", (long long)(step_s / units[i].s),
                                      units[i].many);

    return arena_printf(mem, "%lld seconds", (long long)step_s);
}

/* --- deciding --- */

static const char *order_words(enum sniff_order order)
{
    static const char *const words[] = {"", "day first", "month first", "year first"};

    return words[order];
}

/* A stamp that one reads and the other does not. */
static const struct sniff_stamp *only_one_reads(const struct sniff_stamps *stamps,
                                                const struct sniff_format *one,
                                                const struct sniff_format *other)
{
    for (size_t i = 0; i < stamps->count; i++)
        if (reads(&one->format, stamps->items[i].text) &&
            !reads(&other->format, stamps->items[i].text))
            return &stamps->items[i];

    return NULL;
}

/* Within a day the rows are even, and each next day goes on evenly in this order only. */
static bool goes_on(const struct sniff_pace *pace)
{
    return pace->step_s > 0 && pace->step_s < DAY_S && pace->turns >= TURNS_LEAST &&
           pace->jumps == 0 && pace->turns_steady * 10 >= pace->turns * 9;
}

/* Why `one` and not `other`; NULL: nothing says so. */
static const char *order_evidence(struct arena *mem, const struct sniff_stamps *stamps,
                                  const struct sniff_format *one, const struct sniff_format *other)
{
    const struct sniff_stamp *stamp;

    if (one->read == stamps->count && other->read < stamps->count &&
        (stamp = only_one_reads(stamps, one, other)))
        return arena_printf(mem, "line %d has %s, which can't be %s", stamp->line,
                            str_show(mem, stamp->text, 40), order_words(other->order));
    if (one->read * 10 >= stamps->count * 9 && other->read * 2 < one->read)
        return arena_printf(mem, "only %zu of %zu can be %s", other->read, stamps->count,
                            order_words(other->order));
    if (one->read >= other->read && goes_on(&one->pace) && other->pace.jumps >= TURNS_LEAST)
        return arena_printf(mem,
                            "rows go on every %s into the next day %zu of %zu times; %s each new "
                            "day would be weeks away",
                            sniff_step_text(mem, one->pace.step_s), one->pace.turns_steady,
                            one->pace.turns, order_words(other->order));

    return NULL;
}

/* The best of each order, the one that reads the most first. */
static void best_keep(const struct tries *tries, struct sniff_formats *out)
{
    for (int order = ORDER_PLAIN; order <= ORDER_YEAR_FIRST; order++) {
        const struct sniff_format *best = NULL;

        for (size_t i = 0; i < tries->count; i++)
            if ((int)tries->items[i].order == order && (!best || tries->items[i].read > best->read))
                best = &tries->items[i];
        if (best && best->read > 0 && out->count < SNIFF_FORMATS_MOST)
            out->items[out->count++] = *best;
    }
    for (size_t i = 1; i < out->count; i++)
        for (size_t k = i; k > 0 && out->items[k].read > out->items[k - 1].read; k--) {
            struct sniff_format more = out->items[k];

            out->items[k] = out->items[k - 1];
            out->items[k - 1] = more;
        }
}

/* Put the one first that evidence speaks for against each other one. */
static void order_decide(struct arena *mem, const struct sniff_stamps *stamps,
                         struct sniff_formats *formats)
{
    enum sniff_order only = formats->items[0].order;

    if (formats->count == 1) {
        formats->is_decided = true;
        if (only == ORDER_DAY_FIRST || only == ORDER_MONTH_FIRST)
            formats->evidence = arena_printf(
                mem, "line %d has %s, which can't be %s", stamps->items[0].line,
                str_show(mem, stamps->items[0].text, 40),
                order_words(only == ORDER_DAY_FIRST ? ORDER_MONTH_FIRST : ORDER_DAY_FIRST));
        return;
    }
    for (size_t i = 0; i < formats->count; i++) {
        const char *evidence = NULL;
        size_t beaten = 0;

        for (size_t k = 0; k < formats->count; k++) {
            const char *why =
                k == i ? NULL : order_evidence(mem, stamps, &formats->items[i], &formats->items[k]);

            beaten += why != NULL;
            evidence = evidence ? evidence : why;
        }
        if (beaten + 1 < formats->count)
            continue;

        struct sniff_format first = formats->items[i];

        formats->items[i] = formats->items[0];
        formats->items[0] = first;
        formats->is_decided = true;
        formats->evidence = evidence;
        return;
    }
}

/* Nine in ten; of a few all but one, so that one spoilt row does not hide what the others say. */
static bool reads_enough(size_t read, size_t count)
{
    return read > 0 && (read * 10 >= count * 9 || read + 1 >= count);
}

struct sniff_formats sniff_time_formats(struct arena *mem, const struct sniff_stamps *stamps)
{
    struct tries *tries = ARENA_NEW(mem, struct tries);
    struct sniff_formats formats = {.of = stamps->count};

    tries->mem = mem;
    tries->stamps = stamps;
    seeds_choose(tries);
    formats_try(tries);
    best_keep(tries, &formats);
    if (formats.count == 0 || !reads_enough(formats.items[0].read, stamps->count)) {
        formats.count = 0;
        return formats;
    }
    for (size_t i = 0; i < formats.count; i++)
        formats.items[i].pace = sniff_time_pace(stamps, &formats.items[i].format);
    order_decide(mem, stamps, &formats);

    return formats;
}

const char *sniff_hour_format(struct arena *mem, const struct sniff_stamps *stamps)
{
    for (size_t h = 0; hours[h] && stamps->count > 0; h++) {
        struct time_format format;
        struct err ignored = ERR_INIT;
        size_t read = 0;

        if (!time_format_compile(arena_printf(mem, "YYYY-MM-DD %s", hours[h]), &format, &ignored))
            continue;
        for (size_t i = 0; i < stamps->count; i++)
            read += reads(&format, arena_printf(mem, "2000-01-01 %s", stamps->items[i].text));
        if (read * 10 >= stamps->count * 9)
            return hours[h];
    }

    return NULL;
}
