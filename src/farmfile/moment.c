#include "farmfile/moment.h"

#include <string.h>

#include "base/str.h"

bool moment_read(struct field_reader *reader, const struct field *field, const struct yaml *value,
                 const char *text, instant *out)
{
    struct err err = ERR_INIT;
    instant at[2] = {0};
    const char *in_utc =
        arena_printf(reader->mem, "%.10s%s%s:00Z", text, "T", strlen(text) == 16 ? text + 11 : "");

    if (instant_parse(text, out, &err))
        return true;
    if (strlen(text) != 16 || text[10] != ' ' || !instant_parse(in_utc, out, &err)) {
        field_unfit(reader, field, value, NULL, 0);
        return false;
    }
    if (!reader->farm->zone)
        return false;

    struct civil civil = instant_to_utc(*out);

    if (zone_to_instants(reader->farm->zone, &civil, at) != ZONE_ONE) {
        field_problem(reader, value,
                      "Write the instant with its offset, as in "
                      "2026-04-05T02:30:00+13:00.",
                      "'%s' comes twice or never in the farm's time zone", text);
        return false;
    }
    *out = at[0];

    return true;
}

bool moment_parse_minute(const char *text, bool end_of_day, int *out)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    int hour = 0;
    int minute = 0;

    if (strlen(text) != 5 || text[2] != ':' ||
        !value_parse_count(arena_strndup(mem, text, 2), 0, 24, &hour) ||
        !value_parse_count(text + 3, 0, 59, &minute))
        return false;
    if (hour == 24 && (!end_of_day || minute > 0))
        return false;
    *out = hour * 60 + minute;

    return true;
}

/* Plural first: what the canonical text has. */
const char *const moment_length_words[] = {"minutes", "minute",  "hours",  "hour", "days",
                                           "day",     "seconds", "second", NULL};

static const int length_seconds[] = {60, 60, 3600, 3600, 86400, 86400, 1, 1};

bool moment_parse_length(const char *count, const char *unit, int *seconds)
{
    int number = 0;

    for (size_t i = 0; moment_length_words[i]; i++) {
        if (strcmp(unit, moment_length_words[i]) != 0)
            continue;
        if (!value_parse_count(count, 0, 366 * 86400 / length_seconds[i], &number))
            return false;
        *seconds = number * length_seconds[i];
        return true;
    }

    return false;
}

void moment_length(struct field_reader *reader, const struct field *field, const struct yaml *value,
                   void *into)
{
    const char *words[2];
    int *length = into;
    int seconds = 0;

    if (!field_is_text(reader, field, value))
        return;
    if (value_split(reader, value, words, 2) != 2 ||
        !moment_parse_length(words[0], words[1], &seconds) || seconds < field->least ||
        seconds > field->most) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }
    *length = seconds;
    field_spell(reader, value,
                arena_printf(reader->mem, "%s %s%s", words[0], words[1],
                             words[1][strlen(words[1]) - 1] == 's' ? "" : "s"));
}
