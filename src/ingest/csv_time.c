#include "ingest/csv_time.h"

#include <string.h>

#include "base/str.h"

enum { TIME_TEXT_MOST = 120, SHOWN_MOST = 60, OLDEST_YEAR = 1950 };

const char *csv_field_text(struct csv_reader *reader, const struct csv_row *row,
                           enum csv_field field)
{
    size_t cell = reader->header.cells[field];

    if (cell >= row->count)
        return "";

    const char *text = row->cells[cell].text;
    size_t length = row->cells[cell].length;

    if (length == 0 ||
        ((unsigned char)text[0] > ' ' && (unsigned char)text[0] < 0x80 &&
         (unsigned char)text[length - 1] > ' ' && (unsigned char)text[length - 1] < 0x80))
        return text;

    return str_trim(reader->row_mem, text);
}

/* The joined text of one or two cells. */
static const char *time_text(struct csv_reader *reader, const struct csv_row *row,
                             enum csv_field first, enum csv_field second)
{
    const char *date = csv_field_text(reader, row, first);

    if (reader->header.cells[second] == CELL_NONE)
        return date;

    const char *hour = csv_field_text(reader, row, second);

    return *date && *hour ? arena_printf(reader->row_mem, "%.*s %.*s", TIME_TEXT_MOST, date,
                                         TIME_TEXT_MOST, hour)
           : *date        ? date
                          : hour;
}

static const char *show(struct arena *mem, const char *text)
{
    return str_show(mem, text, SHOWN_MOST);
}

static void fail(struct row_time *time, enum problem_reason reason, const char *words,
                 const char *todo)
{
    time->trouble = (struct trouble){.reason = reason, .words = words, .todo = todo};
}

/* An instant of the same civil day as a time that no clock showed. */
static instant instant_near(struct csv_reader *reader, const struct civil *civil)
{
    instant two[2];
    struct civil later = *civil;

    later.hour = later.hour < 22 ? later.hour + 2 : later.hour;

    return zone_to_instants(reader->clock.zone, &later, two) == ZONE_NONE ? INSTANT_NONE : two[0];
}

/* Whether the instant can be one of this farm's readings. */
static void check_reach(struct csv_reader *reader, const char *text, struct row_time *time)
{
    static const struct civil oldest = {.year = OLDEST_YEAR, .month = 1, .day = 1};
    struct arena *mem = reader->row_mem;

    if (time->at > reader->latest)
        fail(time, PROBLEM_TIME_FUTURE,
             arena_printf(mem, "'%s' is more than %d minutes later than the file was received",
                          show(mem, text), reader->source->ahead_minutes),
             "See that whoever wrote the time, person or logger, had it right, and that the source "
             "tells the right clock and order of day and month. What is wrong in the file itself is "
             "left out: weirbook aside leave-out.");
    else if (time->at < instant_from_utc(&oldest))
        fail(time, PROBLEM_TIME_TOO_OLD, arena_printf(mem, "'%s' is before 1950", show(mem, text)),
             "See that the logger's clock was set and that the source tells the right time "
             "format.");
}

/* One time text to *at, or trouble. */
static void text_place(struct csv_reader *reader, const char *text, struct row_time *time)
{
    struct arena *mem = reader->row_mem;
    struct time_reading reading;
    enum time_answer answer = time_format_read(&reader->format, text, &reading);

    time->at = INSTANT_NONE;
    if (answer == TIME_READ) {
        enum zone_answer placed = time_clock_place(&reader->clock, &reading, time->two);

        time->at = time->two[0];
        time->is_two = placed == ZONE_TWO;
        if (placed == ZONE_ONE)
            check_reach(reader, text, time);
        if (placed != ZONE_NONE)
            return;
        time->at = instant_near(reader, &reading.civil);
        fail(time, PROBLEM_TIME_MISSING_HOUR,
             arena_printf(mem, "the clocks of %s jumped over '%s'", zone_name(reader->clock.zone),
                          show(mem, text)),
             "If the clock was put forward, the time is a slip: leave the row out. If it was not, "
             "every reading after this one is an hour off: leave them out, or start afresh with "
             "the clock's fixed offset in the source.");
        return;
    }

    const char *shown = show(mem, text);

    if (!*text)
        fail(time, PROBLEM_TIME_UNREADABLE, "the row has no time", "Write the time in the row.");
    else if (answer == TIME_IMPOSSIBLE)
        fail(time, PROBLEM_TIME_IMPOSSIBLE,
             arena_printf(mem, "no calendar or clock shows '%s'", shown),
             "Correct the time; or if day and month are the other way round, the source's time "
             "format.");
    else
        fail(time, PROBLEM_TIME_UNREADABLE,
             arena_printf(mem, "the time '%s' is not written as %s", shown,
                          reader->source->time_format),
             "Correct the time, or the source's time format.");
}

static void fail_two(struct csv_reader *reader, const char *text, struct row_time *time)
{
    fail(
        time, PROBLEM_TIME_TWICE,
        arena_printf(reader->row_mem,
                     "'%s' came twice that day, and the rows around it do not tell which one it is",
                     show(reader->row_mem, text)),
        "Say which of the two it is, or let the logger keep UTC or standard time.");
}

/* The end of a span: *until, or trouble. */
static void until_read(struct csv_reader *reader, const struct csv_row *row, struct row_time *out)
{
    const char *text = time_text(reader, row, FIELD_UNTIL, FIELD_UNTIL_2);
    struct row_time end = {.until = INSTANT_NONE};

    out->until = out->at;
    if (!*text)
        return;
    text_place(reader, text, &end);
    if (end.is_two)
        fail_two(reader, text, &end);
    if (!end.trouble.words && end.at < out->at)
        fail(&end, PROBLEM_TIME_IMPOSSIBLE, "the span ends before it begins",
             "See which of the two times is wrong.");
    out->until = end.at;
    if (end.trouble.words && !out->trouble.words) {
        out->trouble = end.trouble;
        out->cell = reader->header.cells[FIELD_UNTIL];
    }
}

void csv_time_read(struct csv_reader *reader, const struct csv_row *row, struct row_time *out)
{
    const char *text = time_text(reader, row, FIELD_TIME, FIELD_TIME_2);

    *out = (struct row_time){.cell = reader->header.cells[FIELD_TIME]};
    text_place(reader, text, out);
    out->until = out->at;
    if (out->is_two)
        fail_two(reader, text, out);
    else if (reader->header.cells[FIELD_UNTIL] != CELL_NONE && !out->trouble.words)
        until_read(reader, row, out);
}

void csv_time_place(struct csv_reader *reader, const struct csv_row *row, instant at,
                    struct row_time *time)
{
    time->trouble = (struct trouble){0};
    time->is_two = false;
    time->at = at;
    check_reach(reader, time_text(reader, row, FIELD_TIME, FIELD_TIME_2), time);
    time->until = at;
    if (reader->header.cells[FIELD_UNTIL] != CELL_NONE && !time->trouble.words)
        until_read(reader, row, time);
}
