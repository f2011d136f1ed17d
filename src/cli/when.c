#include "cli/when.h"

#include <stdio.h>
#include <string.h>

/* "2026-03-17T02:30:00+13:00": an instant with the offset its clocks showed. */
static char *offset_text(struct arena *mem, const struct zone *zone, instant at)
{
    int offset_s = 0;
    struct civil civil = zone_to_civil(zone, at, &offset_s, NULL);
    int minutes = (offset_s < 0 ? -offset_s : offset_s) / 60;

    return arena_printf(mem, "%04d-%02d-%02dT%02d:%02d:%02d%c%02d:%02d", civil.year, civil.month,
                        civil.day, civil.hour, civil.minute, civil.second, offset_s < 0 ? '-' : '+',
                        minutes / 60, minutes % 60);
}

static bool civil_read(const char *text, struct civil *out)
{
    int end = 0;
    int seconds_end = 0;

    *out = (struct civil){0};
    if (sscanf(text, "%4d-%2d-%2d%*1[ T]%2d:%2d%n:%2d%n", &out->year, &out->month, &out->day,
               &out->hour, &out->minute, &end, &out->second, &seconds_end) < 5)
        return false;
    if (seconds_end)
        end = seconds_end;

    return text[end] == '\0' && civil_valid(out);
}

bool when_is_written(const char *text)
{
    struct err ignored = ERR_INIT;
    struct civil civil;
    instant at;

    return instant_parse(text, &at, &ignored) || civil_read(text, &civil);
}

bool when_instant(struct arena *mem, const struct zone *zone, const char *text, instant *out,
                  struct err *err)
{
    struct civil civil;
    struct err not_rfc = ERR_INIT;
    instant found[2];

    if (instant_parse(text, out, &not_rfc))
        return true;
    if (!civil_read(text, &civil)) {
        err_set(err, ERR_INVALID, "'%s' is not a time", text);
        return err_hint(err, "Write it as \"2026-03-17 09:30\", in the farm's own time.");
    }
    switch (zone_to_instants(zone, &civil, found)) {
    case ZONE_ONE:
        *out = found[0];
        return true;
    case ZONE_TWO:
        err_set(err, ERR_INVALID, "%s came twice: the clocks went back", text);
        return err_hint(err, "Say which: %s or %s", offset_text(mem, zone, found[0]),
                        offset_text(mem, zone, found[1]));
    case ZONE_NONE:
    default:
        return err_set(err, ERR_INVALID, "%s never was: the clocks went forward over it", text);
    }
}
