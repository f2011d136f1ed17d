#include "base/zone.h"

#include <stdlib.h>
#include <string.h>

#include "base/file.h"
#include "base/str.h"
#include "base/tz_rule.h"
#include "base/tzif.h"
#include "base/zone_names.h"

enum { ZONE_FILE_MOST = 1024 * 1024, NAME_MOST = 64 };

/* The Gregorian calendar, days of the week included, comes again after 400 years. */
enum { CYCLE_YEARS = 400 };
static const int64_t CYCLE_S = (int64_t)146097 * 86400;

/* More than clocks can ever be apart: bounds where to look for a civil time. */
static const int64_t APART_S = (int64_t)30 * 3600;

/*
 * From at[i] on, clocks show clocks[clock_of[i]]; before at[0], clocks[0]. The yearly rule of the
 * file is written out for 400 years, so one search answers every instant; later ones are brought
 * back by whole cycles.
 */
struct zone {
    const char *name;
    size_t count;
    const int64_t *at; /* seconds */
    const uint8_t *clock_of;
    const struct tz_clock *clocks;
    bool repeats; /* the last 400 years come again and again */
};

/* A zone while it is being made. */
struct making {
    int64_t *at;
    uint8_t *clock_of;
    size_t count;
};

static void making_add(struct making *making, int64_t at, uint8_t clock)
{
    size_t last = making->count - 1;

    if (making->count > 0 && making->at[last] >= at) {
        /* The file's own changes stand; of two of the rule at one instant, the later counts. */
        if (making->at[last] == at)
            making->clock_of[last] = clock;
        return;
    }
    making->at[making->count] = at;
    making->clock_of[making->count] = clock;
    making->count++;
}

static int year_of(int64_t seconds)
{
    return instant_to_utc(seconds * SECOND_US).year;
}

/* Write out the two changes a year from the last one of the file on. */
static void making_add_rule(struct making *making, const struct tz_rule *rule, uint8_t standard,
                            uint8_t summer)
{
    int first = making->count > 0 ? year_of(making->at[making->count - 1]) : 1970;

    for (int year = first; year <= first + CYCLE_YEARS + 2; year++) {
        int64_t to_summer = tz_change_at(&rule->to_summer, year, rule->standard.offset_s);
        int64_t to_standard = tz_change_at(&rule->to_standard, year, rule->summer.offset_s);

        if (to_summer < to_standard) {
            making_add(making, to_summer, summer);
            making_add(making, to_standard, standard);
        } else {
            making_add(making, to_standard, standard);
            making_add(making, to_summer, summer);
        }
    }
}

static bool clock_known(const struct tz_clock *clock, const struct tz_clock *other)
{
    return clock->offset_s == other->offset_s &&
           str_equal(clock->abbreviation, other->abbreviation);
}

/* The place of a clock in the list, which has room for it. */
static uint8_t clock_place(struct tz_clock *clocks, size_t *count, const struct tz_clock *clock)
{
    for (size_t i = 0; i < *count; i++)
        if (clock_known(&clocks[i], clock))
            return (uint8_t)i;
    clocks[*count] = *clock;

    return (uint8_t)(*count)++;
}

enum { CLOCKS_OF_RULE = 2, CHANGES_OF_RULE = 2 * (CYCLE_YEARS + 3) };

static bool zone_from_tzif(struct arena *mem, const char *name, const struct tzif *file,
                           const struct zone **out, struct err *err)
{
    struct tz_rule rule = {.changes = false};
    struct tz_clock *clocks = ARENA_ARRAY(mem, struct tz_clock, file->clock_count + CLOCKS_OF_RULE);
    size_t clock_count = file->clock_count;
    struct making making = {
        .at = ARENA_ARRAY(mem, int64_t, file->count + CHANGES_OF_RULE),
        .clock_of = ARENA_ARRAY(mem, uint8_t, file->count + CHANGES_OF_RULE),
        .count = file->count,
    };

    if (*file->rule && !tz_rule_parse(file->rule, &rule))
        return err_set(err, ERR_INVALID, "a time zone file with a rule that can't be read: '%.60s'",
                       file->rule);
    if (clock_count + CLOCKS_OF_RULE > UINT8_MAX)
        return err_set(err, ERR_INVALID, "a time zone file with too many kinds of time");

    memcpy(clocks, file->clocks, clock_count * sizeof(*clocks));
    if (file->count > 0) {
        memcpy(making.at, file->at, file->count * sizeof(*making.at));
        memcpy(making.clock_of, file->clock_of, file->count * sizeof(*making.clock_of));
    }
    if (rule.changes) {
        uint8_t standard = clock_place(clocks, &clock_count, &rule.standard);
        uint8_t summer = clock_place(clocks, &clock_count, &rule.summer);

        making_add_rule(&making, &rule, standard, summer);
    }

    struct zone *zone = ARENA_NEW(mem, struct zone);

    *zone = (struct zone){
        .name = arena_strdup(mem, name),
        .count = making.count,
        .at = making.at,
        .clock_of = making.clock_of,
        .clocks = clocks,
        .repeats = rule.changes,
    };
    *out = zone;

    return true;
}

/* Only what can be a zone's name becomes part of a path. */
static bool name_allowed(const char *name)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                  "0123456789_+-/";
    size_t length = strlen(name);

    return length > 0 && length <= NAME_MOST && strspn(name, letters) == length && name[0] != '/' &&
           !str_equal(name, "localtime");
}

static bool no_such_zone(struct arena *mem, const char *name, struct err *err)
{
    const char *nearest = zone_names_nearest(mem, name);

    err_set(err, ERR_INVALID, "no time zone is named '%s'", str_show(mem, name, NAME_MOST));
    if (nearest)
        return err_hint(err, "Did you mean %s?", nearest);

    return err_hint(err, "Use a name of the tz database, such as Pacific/Auckland.");
}

bool zone_load(struct arena *mem, const char *name, const struct zone **out, struct err *err)
{
    struct tzif file;
    char *bytes;
    size_t size;

    if (str_equal(name, "UTC")) {
        *out = zone_fixed(mem, 0);
        return true;
    }
    if (!file_is_folder(ZONE_FOLDER)) {
        err_set(err, ERR_UNAVAILABLE, "the time zone files are not in " ZONE_FOLDER);
        return err_hint(err, "Install the package tzdata.");
    }
    if (!name_allowed(name))
        return no_such_zone(mem, name, err);

    const char *path = arena_printf(mem, "%s/%s", ZONE_FOLDER, name);

    if (!file_is_plain(path))
        return no_such_zone(mem, name, err);
    if (!file_read(mem, path, ZONE_FILE_MOST, &bytes, &size, err))
        return false;
    if (!tzif_parse(mem, bytes, size, &file, err) || !zone_from_tzif(mem, name, &file, out, err))
        return err_wrap(err, "time zone %s", name);

    return true;
}

/* "UTC", "UTC+12:00", "UTC-03:30". */
static const char *fixed_name(struct arena *mem, int offset_s)
{
    int minutes = abs(offset_s) / 60;

    if (offset_s == 0)
        return "UTC";

    return arena_printf(mem, "UTC%c%02d:%02d", offset_s < 0 ? '-' : '+', minutes / 60,
                        minutes % 60);
}

const struct zone *zone_fixed(struct arena *mem, int offset_s)
{
    struct zone *zone = ARENA_NEW(mem, struct zone);
    struct tz_clock *clock = ARENA_NEW(mem, struct tz_clock);

    zone->name = fixed_name(mem, offset_s);
    clock->offset_s = offset_s;
    strncpy(clock->abbreviation, zone->name, TZ_ABBREVIATION_MOST);
    zone->clocks = clock;

    return zone;
}

const char *zone_name(const struct zone *zone)
{
    return zone->name;
}

const char *zone_data_version(struct arena *mem)
{
    return zone_names_release(mem);
}

/* How many changes have happened by then: which stretch between two changes it is in. */
static size_t stretch_at(const struct zone *zone, int64_t seconds)
{
    const int64_t *base = zone->at;
    size_t left = zone->count;

    if (left == 0)
        return 0;
    while (left > 1) {
        size_t half = left / 2;

        base += base[half] <= seconds ? half : 0;
        left -= half;
    }

    return (size_t)(base - zone->at) + (*base <= seconds);
}

static const struct tz_clock *stretch_clock(const struct zone *zone, size_t stretch)
{
    return &zone->clocks[stretch == 0 ? 0 : zone->clock_of[stretch - 1]];
}

/* Seconds in whole cycles to take off so that what follows is inside the table. */
static int64_t cycles_past(const struct zone *zone, int64_t seconds)
{
    if (!zone->repeats)
        return 0;

    /* A year's room, so that the changes around the instant are in the table. */
    int64_t end = zone->at[zone->count - 1] - (int64_t)366 * 86400;

    return seconds < end ? 0 : ((seconds - end) / CYCLE_S + 1) * CYCLE_S;
}

/* Seconds of the instant, rounded down, and the microseconds beyond them. */
static int64_t whole_seconds(instant at, int64_t *rest_us)
{
    int64_t seconds = at / SECOND_US - (at % SECOND_US < 0);

    *rest_us = at - seconds * SECOND_US;

    return seconds;
}

static const struct tz_clock *clock_at(const struct zone *zone, int64_t seconds)
{
    seconds -= cycles_past(zone, seconds);

    return stretch_clock(zone, stretch_at(zone, seconds));
}

struct civil zone_to_civil(const struct zone *zone, instant at, int *offset_s,
                           const char **abbreviation)
{
    int64_t rest_us;
    const struct tz_clock *clock = clock_at(zone, whole_seconds(at, &rest_us));

    if (offset_s)
        *offset_s = clock->offset_s;
    if (abbreviation)
        *abbreviation = clock->abbreviation;

    return instant_to_utc(at + clock->offset_s * SECOND_US);
}

/*
 * Where a clock that shows `local` (seconds as if it were UTC) can be: the instants, earlier
 * first, or else the change that jumps over it.
 */
struct places {
    int64_t at[2];
    int count;
    int64_t jump;
    bool jumped;
};

static struct places places_of(const struct zone *zone, int64_t local)
{
    int64_t past = cycles_past(zone, local);
    struct places places = {.count = 0};

    local -= past;
    for (size_t i = stretch_at(zone, local - APART_S); places.count < 2; i++) {
        int64_t at = local - stretch_clock(zone, i)->offset_s;
        bool begun = i == 0 || at >= zone->at[i - 1];
        bool ended = i < zone->count && at >= zone->at[i];

        if (begun && !ended)
            places.at[places.count++] = at + past;
        if (!begun && !places.jumped) {
            places.jump = zone->at[i - 1] + past;
            places.jumped = true;
        }
        if (i == zone->count || zone->at[i] > local + APART_S)
            break;
    }

    return places;
}

static int64_t local_seconds(const struct civil *civil)
{
    int64_t day = day_from_civil(civil->year, civil->month, civil->day);

    return ((day * 24 + civil->hour) * 60 + civil->minute) * 60 + civil->second;
}

enum zone_answer zone_to_instants(const struct zone *zone, const struct civil *civil,
                                  instant out[2])
{
    struct places places = places_of(zone, local_seconds(civil));

    for (int i = 0; i < places.count; i++)
        out[i] = places.at[i] * SECOND_US + civil->microsecond;

    return places.count == 0 ? ZONE_NONE : places.count == 1 ? ZONE_ONE : ZONE_TWO;
}

/*
 * The first instant from which clocks never again show less than `local`. Where the hour that
 * comes twice begins with it that is the first time; where clocks go back across it, the second.
 */
static int64_t first_not_before(const struct zone *zone, int64_t local)
{
    struct places places = places_of(zone, local);

    if (places.count == 0)
        return places.jump;
    if (places.count == 1)
        return places.at[0];

    int64_t past = cycles_past(zone, places.at[1]);
    size_t stretch = stretch_at(zone, places.at[1] - past);
    int64_t begins = zone->at[stretch - 1] + past;

    return places.at[1] == begins ? places.at[0] : places.at[1];
}

instant zone_day_start_at(const struct zone *zone, day_number day, int hour)
{
    return first_not_before(zone, ((int64_t)day * 24 + hour) * 3600) * SECOND_US;
}

instant zone_day_start(const struct zone *zone, day_number day)
{
    return zone_day_start_at(zone, day, 0);
}

day_number zone_day_at(const struct zone *zone, instant at, int hour)
{
    struct civil civil = zone_to_civil(zone, at, NULL, NULL);
    day_number day = day_from_civil(civil.year, civil.month, civil.day);

    /* Too early in the day, or clocks have yet to go back across its start. */
    return at < zone_day_start_at(zone, day, hour) ? day - 1 : day;
}

day_number zone_day(const struct zone *zone, instant at)
{
    return zone_day_at(zone, at, 0);
}

char *zone_text(struct arena *mem, const struct zone *zone, instant at)
{
    struct civil civil = zone_to_civil(zone, at, NULL, NULL);
    const char *seconds = civil.second ? arena_printf(mem, ":%02d", civil.second) : "";

    return arena_printf(mem, "%04d-%02d-%02d %02d:%02d%s", civil.year, civil.month, civil.day,
                        civil.hour, civil.minute, seconds);
}
