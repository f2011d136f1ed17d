#include "ingest/csv_time.h"

#include <string.h>

#include "base/str.h"
#include "ingest/source_clock.h"

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

/* A time as the row has it. */
struct time_words {
    const char *text;
    bool is_cell; /* its date is a workbook's own: `text` is by one of the reader's cell formats */
};

static bool is_date_cell(const struct csv_reader *reader, const struct csv_row *row,
                         enum csv_field field)
{
    size_t cell = reader->header.cells[field];

    return cell < row->count && row->cells[cell].is_date;
}

/* A workbook's time of day as a file's format may want it: without seconds that are none. */
static const char *hour_plain(struct csv_reader *reader, const char *hour)
{
    const char *blank = strrchr(hour, ' ');
    const char *clock = blank ? blank + 1 : hour;
    size_t length = strlen(clock);
    bool no_seconds = length == 8 && strcmp(clock + 5, ":00") == 0;

    return arena_strndup(reader->row_mem, clock, no_seconds ? 5 : length);
}

/* The joined text of one or two cells. */
static struct time_words time_text(struct csv_reader *reader, const struct csv_row *row,
                                   enum csv_field first, enum csv_field second)
{
    const char *date = csv_field_text(reader, row, first);
    bool is_cell = is_date_cell(reader, row, first);

    if (reader->header.cells[second] == CELL_NONE)
        return (struct time_words){date, is_cell};

    const char *hour = csv_field_text(reader, row, second);

    if (is_date_cell(reader, row, second))
        hour = hour_plain(reader, hour);
    if (!*date || !*hour)
        return (struct time_words){*date ? date : hour, is_cell && *date};
    if (is_cell)
        date = arena_strndup(reader->row_mem, date, strcspn(date, " "));

    return (struct time_words){
        arena_printf(reader->row_mem, "%.*s %.*s", TIME_TEXT_MOST, date, TIME_TEXT_MOST, hour),
        is_cell};
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

/* Whether the instant can be one of this farm's readings: else what it was is not known. */
static void check_reach(struct csv_reader *reader, const char *text, struct row_time *time)
{
    static const struct civil oldest = {.year = OLDEST_YEAR, .month = 1, .day = 1};
    struct arena *mem = reader->row_mem;

    if (time->at > reader->latest)
        fail(
            time, PROBLEM_TIME_FUTURE,
            arena_printf(mem, "'%s' is more than %d minutes later than the file was received",
                         show(mem, text), reader->source->ahead_minutes),
            "See that whoever wrote the time, person or logger, had it right, and that the source "
            "tells the right clock and order of day and month. What is wrong in the file itself is "
            "left out: weirbook aside leave-out.");
    else if (time->at < instant_from_utc(&oldest))
        fail(time, PROBLEM_TIME_TOO_OLD, arena_printf(mem, "'%s' is before 1950", show(mem, text)),
             "See that the logger's clock was set and that the source tells the right time "
             "format.");
    if (time->trouble.words)
        time->at = time->until = INSTANT_NONE;
}

/* Read by the format the text is in. */
static enum time_answer words_read(const struct csv_reader *reader, const struct time_words *words,
                                   struct time_reading *out)
{
    enum time_answer answer = TIME_UNREADABLE;

    if (!words->is_cell)
        return reader->format.count > 0 ? time_format_read(&reader->format, words->text, out)
                                        : TIME_UNREADABLE;
    for (size_t i = 0; i < ARRAY_LEN(reader->cell_formats) && answer == TIME_UNREADABLE; i++)
        answer = time_format_read(&reader->cell_formats[i], words->text, out);

    return answer;
}

/* Whether it is a date that stands for its whole day, by the source. */
static bool is_whole_day(const struct csv_reader *reader, const struct time_words *words,
                         struct time_reading *reading)
{
    if (reader->source->date_alone != DATE_ALONE_DAY)
        return false;
    if (words->is_cell)
        return words_read(reader, words, reading) == TIME_READ && reading->civil.hour == 0 &&
               reading->civil.minute == 0 && reading->civil.second == 0;

    return reader->has_date_format &&
           time_format_read(&reader->date_format, words->text, reading) == TIME_READ;
}

/* From its first instant to its last by the clock of the row. */
static void day_place(struct csv_reader *reader, const struct time_reading *reading,
                      const char *text, struct row_time *time)
{
    const struct civil *civil = &reading->civil;
    day_number day = day_from_civil(civil->year, civil->month, civil->day);

    if (reading->has_offset || !reader->clock.zone) {
        time->at = instant_from_utc(civil) - reading->offset_s * SECOND_US;
        time->until = time->at + 24 * HOUR_US;
    } else {
        time->at = zone_day_start(reader->clock.zone, day);
        time->until = zone_day_start(reader->clock.zone, day + 1);
    }
    check_reach(reader, text, time);
}

/* The clock that the row itself tells goes into the reading; trouble where it is no clock. */
static void clock_apply(struct csv_reader *reader, const struct csv_row *row,
                        struct time_reading *reading, struct row_time *time)
{
    const char *word = csv_field_text(reader, row, FIELD_CLOCK);
    enum source_clock clock = reader->source->clock;
    int offset_s = 0;

    if (!*word || reading->has_offset)
        return;
    if (!source_clock_of_cell(reader->source, word, &clock, &offset_s)) {
        fail(time, PROBLEM_TIME_UNREADABLE,
             arena_printf(reader->row_mem, "there is no clock '%s'", show(reader->row_mem, word)),
             "Say in the source what it means (clock words), load the farm file, and read it "
             "again: weirbook aside read-again.");
        time->cell = reader->header.cells[FIELD_CLOCK];
        return;
    }
    reading->has_offset = clock != CLOCK_LOCAL;
    reading->offset_s = offset_s;
}

/* One time to *at and *until, or trouble. */
static void text_place(struct csv_reader *reader, const struct csv_row *row,
                       const struct time_words *words, struct row_time *time)
{
    struct arena *mem = reader->row_mem;
    const char *text = words->text;
    struct time_reading reading;
    bool whole_day = is_whole_day(reader, words, &reading);
    enum time_answer answer = whole_day ? TIME_READ : words_read(reader, words, &reading);

    time->at = time->until = INSTANT_NONE;
    if (answer == TIME_READ)
        clock_apply(reader, row, &reading, time);
    if (time->trouble.words)
        return;
    if (whole_day) {
        day_place(reader, &reading, text, time);
        return;
    }
    if (answer == TIME_READ) {
        enum zone_answer placed = time_clock_place(&reader->clock, &reading, time->two);

        time->at = time->until = time->two[0];
        time->is_two = placed == ZONE_TWO;
        if (placed == ZONE_ONE)
            check_reach(reader, text, time);
        if (placed != ZONE_NONE)
            return;
        time->at = time->until = instant_near(reader, &reading.civil);
        fail(time, PROBLEM_TIME_MISSING_HOUR,
             arena_printf(mem, "the clocks of %s jumped over '%s'", zone_name(reader->clock.zone),
                          show(mem, text)),
             "If the clock was put forward, the time is a slip: leave the row out. If it was not, "
             "every reading after this one is an hour off: leave them out, or start afresh with "
             "the clock's fixed offset in the source.");
        return;
    }

    const char *shown = show(mem, text);

    time->cell = reader->header.cells[FIELD_TIME];
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
                          reader->source->time_format ? reader->source->time_format
                                                      : "a date of the workbook"),
             reader->has_date_format &&
                     time_format_read(&reader->date_format, text, &reading) == TIME_READ
                 ? "Write its hour. Where the hours of this source are not known, say so there: "
                   "`date alone: some time that day`."
                 : "Correct the time, or the source's time format.");
}

static void fail_two(struct csv_reader *reader, const char *text, struct row_time *time)
{
    fail(
        time, PROBLEM_TIME_TWICE,
        arena_printf(reader->row_mem,
                     "'%s' came twice that day, and the rows around it do not tell which one it is",
                     show(reader->row_mem, text)),
        "In a copy of the file with another name, write into a column of its own which clock each "
        "such row goes by, and name that column in the source: `clock column`; or write the offset "
        "behind the time (+01:00) where the source's time format has +hh:mm. Take the copy in, "
        "and leave this row out. Best let the logger keep UTC or standard time.");
}

/* The end of a span: *until, or trouble. */
static void until_read(struct csv_reader *reader, const struct csv_row *row, struct row_time *out)
{
    const struct time_words words = time_text(reader, row, FIELD_UNTIL, FIELD_UNTIL_2);
    struct row_time end = {.until = INSTANT_NONE};

    if (!*words.text)
        return;
    text_place(reader, row, &words, &end);
    if (end.is_two)
        fail_two(reader, words.text, &end);
    if (!end.trouble.words && end.at < out->at)
        fail(&end, PROBLEM_TIME_IMPOSSIBLE, "the span ends before it begins",
             "See which of the two times is wrong.");
    out->until = end.until;
    if (end.trouble.words && !out->trouble.words) {
        out->trouble = end.trouble;
        out->cell = reader->header.cells[FIELD_UNTIL];
    }
}

void csv_time_read(struct csv_reader *reader, const struct csv_row *row, struct row_time *out)
{
    const struct time_words words = time_text(reader, row, FIELD_TIME, FIELD_TIME_2);

    *out = (struct row_time){.cell = reader->header.cells[FIELD_TIME]};
    text_place(reader, row, &words, out);
    if (out->is_two)
        fail_two(reader, words.text, out);
    else if (reader->header.cells[FIELD_UNTIL] != CELL_NONE && !out->trouble.words)
        until_read(reader, row, out);
}

void csv_time_place(struct csv_reader *reader, const struct csv_row *row, instant at,
                    struct row_time *time)
{
    time->trouble = (struct trouble){0};
    time->is_two = false;
    time->at = time->until = at;
    check_reach(reader, time_text(reader, row, FIELD_TIME, FIELD_TIME_2).text, time);
    if (reader->header.cells[FIELD_UNTIL] != CELL_NONE && !time->trouble.words)
        until_read(reader, row, time);
}
