#include "ingest/source_clock.h"

#include <string.h>

#include "base/str.h"

enum { OFFSET_HOURS_MOST = 14 };

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

bool source_clock_parse(const char *text, enum source_clock *clock, int *offset_s)
{
    int hours;
    int minutes;

    if (str_equal(text, "local") || str_equal_nocase(text, "utc")) {
        *clock = str_equal(text, "local") ? CLOCK_LOCAL : CLOCK_UTC;
        *offset_s = 0;
        return true;
    }
    if (strlen(text) != 6 || (text[0] != '+' && text[0] != '-') || text[3] != ':' ||
        !is_digit(text[1]) || !is_digit(text[2]) || !is_digit(text[4]) || !is_digit(text[5]))
        return false;
    hours = (text[1] - '0') * 10 + text[2] - '0';
    minutes = (text[4] - '0') * 10 + text[5] - '0';
    if (hours > OFFSET_HOURS_MOST || minutes > 59)
        return false;
    *clock = CLOCK_OFFSET;
    *offset_s = (hours * 3600 + minutes * 60) * (text[0] == '-' ? -1 : 1);

    return true;
}

bool source_clock_of_cell(const struct source *source, const char *cell, enum source_clock *clock,
                          int *offset_s)
{
    for (size_t i = 0; i < source->clocks.count; i++)
        if (str_equal_nocase(source->clocks.items[i].word, cell))
            return source_clock_parse(source->clocks.items[i].means, clock, offset_s);

    return source_clock_parse(cell, clock, offset_s);
}
