#include <ctype.h>
#include <string.h>

#include "base/str.h"
#include "ingest/csv_header.h"
#include "ingest/sniff_when.h"
#include "ingest/source_clock.h"

enum { SHOWN_MOST = 60, WORD_SHORT = 2, WORD_LONG = 5 };

#define CLOCK_CHOICES                                                                              \
    "clock=local (put forward and back with the farm's), clock=UTC, or an offset as clock=+12:00 " \
    "(never put forward or back)"

/* The zone by whose rules a local clock would go; NULL: not known. */
static bool zone_at_hand(struct sniffing *sniffing, const struct zone **out, struct err *err)
{
    const char *says = sniff_answer_to(sniffing->answers, "zone", NULL);

    *out = sniffing->world->zone;
    if (!says)
        return true;
    if (!zone_load(sniffing->mem, says, out, err))
        return false;
    if (!sniffing->world->zone || !str_equal(zone_name(sniffing->world->zone), says))
        sniffing->guess->source.zone = says;

    return true;
}

/* The offset that the zone's clocks call so around that year: "EST" of America/New_York. */
static bool abbreviation_offset(const struct zone *zone, int year, const char *word, int *offset_s)
{
    for (int month = 1; zone && month <= 12; month++) {
        const struct civil middle = {.year = year, .month = month, .day = 15};
        const char *abbreviation = NULL;
        int offset = 0;

        (void)zone_to_civil(zone, instant_from_utc(&middle), &offset, &abbreviation);
        if (abbreviation && isalpha((unsigned char)*abbreviation) &&
            str_equal_nocase(abbreviation, word)) {
            *offset_s = offset;
            return true;
        }
    }

    return false;
}

/* The year of the first time that the format reads. */
static int year_of(const struct sniffing *sniffing, const struct time_format *format)
{
    struct time_reading reading;

    for (size_t i = 0; format && i < sniffing->stamps.count; i++)
        if (time_format_read(format, sniffing->stamps.items[i].text, &reading) == TIME_READ)
            return reading.civil.year;

    return 2020;
}

static const char *offset_text(struct arena *mem, int offset_s)
{
    int minutes = offset_s < 0 ? -offset_s / 60 : offset_s / 60;

    return arena_printf(mem, "%c%02d:%02d", offset_s < 0 ? '-' : '+', minutes / 60, minutes % 60);
}

static void clock_set(struct sniffing *sniffing, enum source_clock clock, int offset_s,
                      const char *evidence)
{
    struct source *source = &sniffing->guess->source;
    const char *found = clock == CLOCK_UTC     ? "UTC"
                        : clock == CLOCK_LOCAL ? "local"
                                               : offset_text(sniffing->mem, offset_s);

    source->clock = clock;
    source->offset_s = clock == CLOCK_OFFSET ? offset_s : 0;
    sniffing->guess->has_clock = true;
    sniff_fact_add(sniffing, "clock", found, evidence);
}

/* --- words of the header --- */

/* A word in the name of a time column that names a clock: "UTC", "local", "EST". */
static bool name_tells(struct sniffing *sniffing, const struct zone *zone, int year,
                       const char *name)
{
    struct arena *mem = sniffing->mem;

    for (const char *at = name; *at;) {
        size_t length = 0;

        while (isalpha((unsigned char)at[length]))
            length++;
        if (length >= WORD_SHORT && length <= WORD_LONG) {
            const char *word = arena_strndup(mem, at, length);
            const char *said = arena_printf(mem, "the column '%s' says so", name);
            int offset = 0;

            if (str_equal_nocase(word, "UTC") || str_equal(word, "GMT")) {
                clock_set(sniffing, CLOCK_UTC, 0, said);
                return true;
            }
            if (str_equal_nocase(word, "local")) {
                clock_set(sniffing, CLOCK_LOCAL, 0, said);
                return true;
            }
            if (isupper((unsigned char)word[0]) && isupper((unsigned char)word[1]) &&
                abbreviation_offset(zone, year, word, &offset)) {
                clock_set(sniffing, CLOCK_OFFSET, offset,
                          arena_printf(mem, "the column '%s' says %s, which is %s in %s", name,
                                       word, offset_text(mem, offset), zone_name(zone)));
                return true;
            }
        }
        at += length > 0 ? length : 1;
    }

    return false;
}

/* Three to five capitals in a name, that no zone at hand explains: "EST". */
static const char *capitals_in(struct arena *mem, const char *name)
{
    while (*name) {
        size_t length = 0;

        while (isupper((unsigned char)name[length]))
            length++;
        if (length > WORD_SHORT && length <= WORD_LONG && !isalpha((unsigned char)name[length]))
            return arena_strndup(mem, name, length);
        name += length > 0 ? length : 1;
    }

    return NULL;
}

static const char *unexplained(struct sniffing *sniffing)
{
    const struct source *source = &sniffing->guess->source;

    for (size_t i = 0; i < 2 && source->time_headers[i]; i++) {
        const char *word = capitals_in(sniffing->mem, source->time_headers[i]);

        if (word)
            return arena_printf(sniffing->mem, "the column '%s' says %s; ", source->time_headers[i],
                                word);
    }

    return "";
}

/* --- the file around a change of clocks --- */

struct change {
    size_t even;   /* rows went on evenly over a change: a clock that is never put forward */
    size_t jumped; /* they jumped with the clocks: a local one */
    int32_t line;  /* of the first */
};

/* A time of the file as the zone's clocks would show it. */
struct shown {
    struct civil civil;
    enum zone_answer answer;
    int offset_s; /* of the first instant; 0 of none */
};

static struct shown shown_of(const struct zone *zone, const struct civil *civil)
{
    struct shown shown = {.civil = *civil};
    instant two[2];

    shown.answer = zone_to_instants(zone, civil, two);
    if (shown.answer != ZONE_NONE)
        (void)zone_to_civil(zone, two[0], &shown.offset_s, NULL);

    return shown;
}

enum change_kind { CHANGE_NONE, CHANGE_EVEN, CHANGE_JUMPED, CHANGE_ENTERED };

/*
 * One step of the file: over a change of the clocks it is as long as all others, where the clock is
 * never put forward or back, or longer or shorter by an hour.
 */
static enum change_kind step_look(const struct shown *before, const struct shown *now, int64_t step,
                                  bool newest_first, bool entered)
{
    int64_t seconds =
        (instant_from_utc(&now->civil) - instant_from_utc(&before->civil)) / SECOND_US;
    int64_t length = seconds < 0 ? -seconds : seconds;

    if (now->answer == ZONE_NONE)
        return length == step ? CHANGE_EVEN : CHANGE_NONE; /* no local clock ever shows it */
    if (before->answer == ZONE_ONE && now->answer == ZONE_ONE &&
        before->offset_s != now->offset_s && length == step + 3600)
        return CHANGE_JUMPED;
    if (now->answer == ZONE_TWO && length == 3600 - step && (seconds > 0) == newest_first)
        return CHANGE_JUMPED; /* back by an hour inside the hour that comes twice */
    if (now->answer == ZONE_TWO && before->answer == ZONE_ONE && length == step)
        return CHANGE_ENTERED;
    if (before->answer == ZONE_TWO && now->answer == ZONE_ONE && length == step && entered)
        return CHANGE_EVEN; /* through that hour once */

    return CHANGE_NONE;
}

static struct change change_find(const struct sniffing *sniffing, const struct zone *zone,
                                 const struct time_format *format)
{
    struct change change = {0};
    struct shown before = {.offset_s = 0};
    bool has_before = false;
    bool entered = false;

    for (size_t i = 0; i < sniffing->stamps.count; i++) {
        const struct sniff_stamp *stamp = &sniffing->stamps.items[i];
        struct time_reading reading;
        struct shown now;
        enum change_kind kind = CHANGE_NONE;

        if (time_format_read(format, stamp->text, &reading) != TIME_READ) {
            has_before = false;
            continue;
        }
        now = shown_of(zone, &reading.civil);
        if (has_before && stamp->follows)
            kind = step_look(&before, &now, sniffing->pace.step_s, sniffing->pace.newest_first,
                             entered);
        entered = kind == CHANGE_ENTERED || (entered && kind == CHANGE_NONE);
        change.even += kind == CHANGE_EVEN;
        change.jumped += kind == CHANGE_JUMPED;
        if (change.line == 0 && (kind == CHANGE_EVEN || kind == CHANGE_JUMPED))
            change.line = stamp->line;
        before = now;
        has_before = true;
    }

    return change;
}

/* True: decided, or known not to be local. */
static bool change_tells(struct sniffing *sniffing, const struct zone *zone,
                         const struct time_format *format, const char **not_local)
{
    struct change change;

    *not_local = NULL;
    if (!zone || !format || sniffing->pace.step_s == 0 || sniffing->pace.step_s >= 3600)
        return false;
    change = change_find(sniffing, zone, format);
    if (change.jumped > 0 && change.even == 0) {
        clock_set(sniffing, CLOCK_LOCAL, 0,
                  arena_printf(sniffing->mem, "at line %d the times jump as the clocks of %s do",
                               change.line, zone_name(zone)));
        return true;
    }
    if (change.even > 0 && change.jumped == 0)
        *not_local = arena_printf(sniffing->mem,
                                  "at line %d the times go on evenly where the clocks of %s are "
                                  "put forward or back: it is no local clock; ",
                                  change.line, zone_name(zone));

    return false;
}

/* --- a column of clocks --- */

static bool clock_word_means(struct sniffing *sniffing, const struct zone *zone, int year,
                             const char *word, const char **means, struct err *err)
{
    const char *says = sniff_answer_to(sniffing->answers, "clock", word);
    enum source_clock clock;
    int offset = 0;

    *means = NULL;
    if (says) {
        if (!source_clock_parse(says, &clock, &offset))
            return err_set(err, ERR_INVALID,
                           "'%s' is no clock: expected local, UTC or an offset "
                           "as +12:00",
                           str_show(sniffing->mem, says, SHOWN_MOST));
        *means = says;
    } else if (abbreviation_offset(zone, year, word, &offset)) {
        *means = offset_text(sniffing->mem, offset);
    }

    return true;
}

static bool column_tells(struct sniffing *sniffing, const struct zone *zone, int year,
                         size_t column, struct err *err)
{
    struct arena *mem = sniffing->mem;
    struct sniff_words words = sniff_words_of(mem, sniffing->table, column);
    struct source_word *told = ARENA_ARRAY(mem, struct source_word, words.count);
    struct source *source = &sniffing->guess->source;
    const char *found = "";
    size_t count = 0;

    for (size_t i = 0; i < words.count; i++) {
        const char *word = words.items[i].text;
        enum source_clock clock;
        int offset;
        const char *means = NULL;

        if (source_clock_parse(word, &clock, &offset))
            continue;
        if (!clock_word_means(sniffing, zone, year, word, &means, err))
            return false;
        told[count++] = (struct source_word){word, means};
        if (means)
            found = arena_printf(mem, "%s%s%s is %s", found, *found ? ", " : "", word, means);
        else
            sniff_ask(sniffing, "clock", word, "what do the words for the clock in each row mean?",
                      "\"clock WORD=+12:00\" for each");
    }
    source->clock_header = sniffing->table->columns[column].name;
    source->clocks = (struct source_words){told, count};
    sniffing->taken[column] = true;
    sniff_fact_add(
        sniffing, "clock of each row", arena_printf(mem, "column '%s'", source->clock_header),
        *found ? arena_printf(mem, "%s%s%s", found, zone ? " in " : "", zone ? zone_name(zone) : "")
               : NULL);

    return true;
}

/* Whether each row with a time tells its own clock. */
static bool column_is_full(const struct sniffing *sniffing, size_t column)
{
    size_t date = sniff_column_named(sniffing->table, sniffing->guess->source.time_headers[0]);

    for (size_t r = 0; r < sniffing->table->data.count; r++) {
        const struct sniff_row *row = &sniffing->table->data.items[r];

        if (*sniff_cell_text(row, date) && !*sniff_cell_text(row, column))
            return false;
    }

    return true;
}

static bool words_say_local(const struct sniffing *sniffing)
{
    const struct source_words *words = &sniffing->guess->source.clocks;

    for (size_t i = 0; i < words->count; i++)
        if (words->items[i].means && str_equal(words->items[i].means, "local"))
            return true;

    return false;
}

/* --- the whole --- */

static bool answer_tells(struct sniffing *sniffing, bool *told, struct err *err)
{
    const char *says = sniff_answer_to(sniffing->answers, "clock", NULL);
    enum source_clock clock;
    int offset = 0;

    *told = says != NULL;
    if (!says)
        return true;
    if (!source_clock_parse(says, &clock, &offset))
        return err_set(err, ERR_INVALID,
                       "'%s' is no clock: expected local, UTC or an offset as "
                       "+12:00",
                       str_show(sniffing->mem, says, SHOWN_MOST));
    clock_set(sniffing, clock, offset, "as you answered");

    return true;
}

/* A local clock goes by a zone: the farm's, or one that is asked. */
static void zone_ask(struct sniffing *sniffing, const struct zone *zone)
{
    if (!sniffing->guess->has_clock || sniffing->guess->source.clock != CLOCK_LOCAL)
        return;
    if (!zone)
        sniff_ask(sniffing, "zone", NULL,
                  "no farm is at hand: by which time zone does the local clock go?",
                  "zone=REGION/CITY, as zone=Pacific/Auckland");
    else
        sniff_fact_add(sniffing, "time zone", zone_name(zone),
                       sniffing->guess->source.zone ? "as you answered" : "the farm's own");
}

bool sniff_clock(struct sniffing *sniffing, const struct time_format *format, struct err *err)
{
    const struct source *source = &sniffing->guess->source;
    size_t column = sniff_field_column(sniffing, FIELD_CLOCK);
    const struct zone *zone = NULL;
    const char *not_local = NULL;
    bool told = false;
    int year;

    if (!zone_at_hand(sniffing, &zone, err))
        return false;
    year = year_of(sniffing, format);
    if (format && format->has_offset) {
        clock_set(sniffing, CLOCK_UTC, 0, "each time tells its own offset");
        return true;
    }
    if (column != SIZE_MAX && !column_tells(sniffing, zone, year, column, err))
        return false;
    if (!answer_tells(sniffing, &told, err))
        return false;
    if (!told && column != SIZE_MAX && column_is_full(sniffing, column)) {
        clock_set(sniffing, words_say_local(sniffing) ? CLOCK_LOCAL : CLOCK_UTC, 0,
                  "no row goes by it: each tells its own clock");
        told = true;
    }
    for (size_t i = 0; i < 2 && !told && column == SIZE_MAX && source->time_headers[i]; i++)
        told = name_tells(sniffing, zone, year, source->time_headers[i]);
    if (!told && column == SIZE_MAX)
        told = change_tells(sniffing, zone, format, &not_local);
    if (!told)
        sniff_ask(sniffing, "clock", NULL,
                  arena_printf(sniffing->mem, "%s%s", not_local ? not_local : unexplained(sniffing),
                               column != SIZE_MAX
                                   ? "some rows tell no clock: what does theirs show?"
                                   : "what does the file's clock show?"),
                  zone ? CLOCK_CHOICES
                       : CLOCK_CHOICES "; no farm is at hand, so with clock=local "
                                       "zone=REGION/CITY too, as zone=Pacific/Auckland");
    zone_ask(sniffing, zone);

    return true;
}
