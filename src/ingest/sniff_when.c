#include "ingest/sniff_when.h"

#include <ctype.h>
#include <string.h>

#include "base/str.h"
#include "ingest/csv_header.h"
#include "ingest/sniff_name.h"

enum { SHOWN_MOST = 60, SERIAL_LEAST = 20000, SERIAL_MOST = 80000, COUNT_DIGITS = 10 };

/* A column that may tell the time. */
enum kind { NO_TIME, MOMENT, DATE, HOUR, SERIAL, OWN_DATE, OWN_HOUR };

struct candidate {
    enum kind kind;
    size_t column;
    int score; /* by its name */
    struct sniff_formats formats;
    const char *hour_format;
};

struct candidates {
    struct candidate *items;
    size_t count;
    size_t capacity;
};

static void stamp_add(struct arena *mem, struct sniff_stamps *stamps, const char *text,
                      int32_t line, bool follows)
{
    if (*text && stamps->count < SNIFF_STAMPS_MOST)
        LIST_ADD(mem, stamps, ((struct sniff_stamp){text, line, follows}));
}

/* The times of one column, or of date and hour joined, without rows that lack a part. */
static struct sniff_stamps stamps_of(struct arena *mem, const struct sniff_table *table,
                                     size_t date, size_t hour)
{
    struct sniff_stamps stamps = {0};
    bool left = false;

    for (size_t r = 0; r < table->data.count; r++) {
        const struct sniff_row *row = &table->data.items[r];
        const char *text = sniff_cell_text(row, date);
        bool follows = r > 0 && row->follows && !left;

        left = !*text;
        if (hour != SIZE_MAX && *text) {
            const char *time = sniff_cell_text(row, hour);

            left = !*time;
            text = *time ? arena_printf(mem, "%s %s", text, time) : "";
        }
        stamp_add(mem, &stamps, text, row->line, follows);
    }

    return stamps;
}

/* --- candidates --- */

static size_t own_dates(const struct sniff_table *table, size_t column, bool *hours_only)
{
    size_t dates = 0;

    *hours_only = true;
    for (size_t r = 0; r < table->data.count; r++) {
        const struct sniff_row *row = &table->data.items[r];

        if (column >= row->count || !row->cells[column].is_date)
            continue;
        dates++;
        *hours_only = *hours_only && strchr(row->cells[column].text, '-') == NULL;
    }

    return dates;
}

/* Numbers of days, as spreadsheets count them. */
static bool is_serial(const struct sniff_table *table, size_t column)
{
    size_t fits = 0;

    for (size_t r = 0; r < table->data.count; r++) {
        const char *text = sniff_cell_text(&table->data.items[r], column);
        int64_t days = 0;

        for (const char *at = text; isdigit((unsigned char)*at) && days < SERIAL_MOST; at++)
            days = days * 10 + (*at - '0');
        fits += days >= SERIAL_LEAST && days < SERIAL_MOST && strcspn(text, ".,") == 5;
    }

    return fits * 10 >= table->columns[column].filled * 9;
}

/* Seconds or milliseconds of 1970, from 2001 on: whole numbers of one length that run one way. */
static bool is_count(const struct sniff_table *table, size_t column)
{
    const char *before = NULL;
    bool rises = true;
    bool falls = true;
    bool changes = false;

    for (size_t r = 0; r < table->data.count; r++) {
        const char *text = sniff_cell_text(&table->data.items[r], column);
        size_t length = strspn(text, "0123456789");
        int order = before ? strcmp(text, before) : 0;

        if (!*text)
            continue;
        if ((length != COUNT_DIGITS && length != COUNT_DIGITS + 3) || text[length] ||
            (before && strlen(before) != length))
            return false;
        rises = rises && order >= 0;
        falls = falls && order <= 0;
        changes = changes || order != 0;
        before = text;
    }

    return changes && (rises || falls);
}

/* Whether a person says that the column tells the time. */
static bool is_told(struct sniffing *sniffing, const char *name)
{
    const char *says = sniff_answer_to(sniffing->answers, "time", NULL);

    return says && strcasestr(says, name);
}

static struct candidate candidate_of(struct sniffing *sniffing, size_t column)
{
    const struct sniff_table *table = sniffing->table;
    const struct sniff_column *about = &table->columns[column];
    struct candidate found = {.column = column,
                              .score = sniff_name_time(sniffing->mem, about->name)};
    bool is_numbers = about->numbers * 10 >= about->filled * 9;
    bool hours_only = false;

    if (about->filled == 0 || about->is_twice || !*about->name)
        return found;
    if (own_dates(table, column, &hours_only) * 10 >= about->filled * 9) {
        found.kind = hours_only ? OWN_HOUR : OWN_DATE;
        return found;
    }
    if (!(about->times * 10 >= about->filled * 5 ||
          (is_numbers &&
           (found.score > 0 || is_count(table, column) || is_told(sniffing, about->name)))))
        return found;

    struct sniff_stamps stamps = stamps_of(sniffing->mem, table, column, SIZE_MAX);

    found.formats = sniff_time_formats(sniffing->mem, &stamps);
    if (found.formats.count > 0)
        found.kind = time_format_has_hour(&found.formats.items[0].format) ? MOMENT : DATE;
    else if (is_numbers && is_serial(table, column))
        found.kind = SERIAL;
    else if ((found.hour_format = sniff_hour_format(sniffing->mem, &stamps)))
        found.kind = HOUR;

    return found;
}

static bool tells_date(const struct candidate *candidate)
{
    return candidate->kind == MOMENT || candidate->kind == DATE || candidate->kind == SERIAL ||
           candidate->kind == OWN_DATE;
}

static bool tells_hour(const struct candidate *candidate)
{
    return candidate->kind == HOUR || candidate->kind == OWN_HOUR;
}

static struct candidates candidates_of(struct sniffing *sniffing)
{
    struct candidates found = {0};

    for (size_t i = 0; i < sniffing->table->column_count; i++) {
        struct candidate candidate = candidate_of(sniffing, i);

        if (candidate.kind != NO_TIME)
            LIST_ADD(sniffing->mem, &found, candidate);
    }

    return found;
}

/* The date column with the best name; *tie: another has as good a one. */
static struct candidate *date_choose(struct sniffing *sniffing, struct candidates *candidates,
                                     struct candidate **tie)
{
    struct candidate *best = NULL;

    *tie = NULL;
    for (size_t i = 0; i < candidates->count; i++) {
        struct candidate *candidate = &candidates->items[i];
        size_t filled = sniffing->table->columns[candidate->column].filled;

        if (!tells_date(candidate) || filled * 2 < sniffing->table->data.count)
            continue;
        if (best && candidate->score == best->score)
            *tie = candidate;
        if (!best || candidate->score > best->score) {
            best = candidate;
            *tie = NULL;
        }
    }

    return best;
}

/* The hour that goes with the date: the nearest behind it, else the nearest before. */
static struct candidate *hour_choose(struct candidates *candidates, const struct candidate *date)
{
    struct candidate *best = NULL;

    for (size_t i = 0; i < candidates->count; i++) {
        struct candidate *candidate = &candidates->items[i];

        if (!tells_hour(candidate) || candidate->score < 0)
            continue;
        if (!best || (candidate->column > date->column && best->column < date->column))
            best = candidate;
    }

    return best;
}

/* --- the answer of a person: "Date, Time" --- */

static bool columns_told(struct sniffing *sniffing, const char *says, size_t columns[2],
                         struct err *err)
{
    const char *comma = strchr(says, ',');
    const char *names[2] = {says, NULL};

    columns[0] = sniff_column_named(sniffing->table, says);
    columns[1] = SIZE_MAX;
    if (columns[0] != SIZE_MAX)
        return true;
    if (comma) {
        names[0] =
            str_trim(sniffing->mem, arena_strndup(sniffing->mem, says, (size_t)(comma - says)));
        names[1] = str_trim(sniffing->mem, comma + 1);
    }
    for (size_t i = 0; i < 2 && names[i]; i++) {
        columns[i] = sniff_column_named(sniffing->table, names[i]);
        if (columns[i] == SIZE_MAX)
            return err_set(err, ERR_INVALID, "there is no column '%s'",
                           str_show(sniffing->mem, names[i], SHOWN_MOST));
    }

    return true;
}

static struct candidate *candidate_at(struct candidates *candidates, size_t column)
{
    for (size_t i = 0; i < candidates->count; i++)
        if (candidates->items[i].column == column)
            return &candidates->items[i];

    return NULL;
}

/* --- order of day and month --- */

static const char *first_read(struct arena *mem, const struct sniff_stamps *stamps,
                              const struct time_format *format)
{
    struct time_reading reading;

    for (size_t i = 0; i < stamps->count; i++)
        if (time_format_read(format, stamps->items[i].text, &reading) == TIME_READ)
            return day_words(
                mem, day_from_civil(reading.civil.year, reading.civil.month, reading.civil.day));

    return "";
}

static const char *const order_answers[] = {"", "day-first", "month-first", "year-first"};

static const char *day_read(struct arena *mem, const struct time_format *format, const char *text)
{
    struct time_reading reading;

    return time_format_read(format, text, &reading) == TIME_READ
               ? day_words(mem, day_from_civil(reading.civil.year, reading.civil.month,
                                               reading.civil.day))
               : NULL;
}

/* The first time that the two best formats read in different ways. */
static const char *telling_stamp(struct arena *mem, const struct sniff_stamps *stamps,
                                 const struct sniff_formats *formats)
{
    for (size_t i = 0; formats->count > 1 && i < stamps->count; i++) {
        const char *text = stamps->items[i].text;
        const char *one = day_read(mem, &formats->items[0].format, text);
        const char *other = day_read(mem, &formats->items[1].format, text);

        if (one && other && !str_equal(one, other))
            return text;
    }

    return stamps->items[0].text;
}

static void order_ask(struct sniffing *sniffing, const struct sniff_stamps *stamps,
                      const struct sniff_formats *formats)
{
    struct arena *mem = sniffing->mem;
    const char *stamp = telling_stamp(mem, stamps, formats);
    const char *text =
        arena_printf(mem, "which comes first in '%s'?", str_show(mem, stamp, SHOWN_MOST));
    const char *add = "";

    for (size_t i = 0; i < formats->count; i++) {
        const struct sniff_format *format = &formats->items[i];
        const char *day = day_read(mem, &format->format, stamp);

        text = arena_printf(mem, "%s %s it is %s%s", text, order_answers[format->order],
                            day ? day : "no day", i + 1 < formats->count ? "," : "");
        add = arena_printf(mem, "%s%sdates=%s", add, i ? " or " : "", order_answers[format->order]);
    }
    sniff_ask(sniffing, "dates", NULL,
              arena_printf(mem, "%s; nothing in the file decides it", text), add);
}

/* "day-first or month-first": those by which the times can be read. */
static const char *orders_text(struct arena *mem, const struct sniff_formats *formats)
{
    const char *text = "";

    for (size_t i = 0; i < formats->count; i++)
        text = arena_printf(mem, "%s%s%s", text, i ? " or " : "",
                            order_answers[formats->items[i].order]);

    return formats->count == 1 ? arena_printf(mem, "%s, by which alone its times can be read", text)
                               : text;
}

static bool is_order(const char *says)
{
    for (size_t i = 0; i < ARRAY_LEN(order_answers); i++)
        if (order_answers[i] && str_equal_nocase(order_answers[i], says))
            return true;

    return false;
}

/* The format by evidence or by answer; NULL: asked. */
static bool order_settle(struct sniffing *sniffing, const struct sniff_stamps *stamps,
                         const struct sniff_formats *formats, const struct sniff_format **out,
                         struct err *err)
{
    const char *says = sniff_answer_to(sniffing->answers, "dates", NULL);

    *out = NULL;
    for (size_t i = 0; says && i < formats->count; i++)
        if (str_equal_nocase(order_answers[formats->items[i].order], says)) {
            *out = &formats->items[i];
            return true;
        }
    if (says && (formats->items[0].order != ORDER_PLAIN || !is_order(says))) {
        (void)err_set(err, ERR_INVALID, "dates=%s can't be",
                      str_show(sniffing->mem, says, SHOWN_MOST));
        return formats->items[0].order == ORDER_PLAIN
                   ? err_hint(err, "The dates of this file can be read in one way only: leave this "
                                   "answer out.")
                   : err_hint(err, "Expected %s.", orders_text(sniffing->mem, formats));
    }
    if (formats->is_decided || formats->count == 1)
        *out = &formats->items[0];
    else
        order_ask(sniffing, stamps, formats);

    return true;
}

/* --- dates without an hour --- */

static bool date_alone_settle(struct sniffing *sniffing, size_t without, bool has_hours,
                              struct err *err)
{
    const char *says = sniff_answer_to(sniffing->answers, "date-alone", NULL);
    struct source *source = &sniffing->guess->source;
    const char *other = has_hours ? "set-aside" : "start-of-day";

    if (says && str_equal_nocase(says, "whole-day"))
        source->date_alone = DATE_ALONE_DAY;
    else if (says && !str_equal_nocase(says, other))
        return err_set(err, ERR_INVALID, "date-alone is whole-day or %s", other);
    else if (!says)
        sniff_ask(sniffing, "date-alone", NULL,
                  has_hours
                      ? arena_printf(sniffing->mem,
                                     "%zu of %zu rows looked at have a date and no hour: do their "
                                     "values stand for some time that day, or are they set aside?",
                                     without, sniffing->table->data.count)
                      : "the dates have no hour: does a value stand for some time that day, or for "
                        "its first moment?",
                  arena_printf(sniffing->mem, "date-alone=whole-day or date-alone=%s", other));

    return true;
}

/* --- the whole --- */

static void column_take(struct sniffing *sniffing, size_t column, int nth)
{
    sniffing->guess->source.time_headers[nth] = sniffing->table->columns[column].name;
    sniffing->taken[column] = true;
}

static const char *columns_text(struct sniffing *sniffing, size_t date, size_t hour)
{
    const struct sniff_column *columns = sniffing->table->columns;

    return hour == SIZE_MAX ? arena_printf(sniffing->mem, "'%s'", columns[date].name)
                            : arena_printf(sniffing->mem, "'%s' and '%s'", columns[date].name,
                                           columns[hour].name);
}

/* Days counted by a spreadsheet: from 1900 or from 1904, which four years tell apart. */
static bool serial_settle(struct sniffing *sniffing, size_t column, struct err *err)
{
    struct arena *mem = sniffing->mem;
    const char *says = sniff_answer_to(sniffing->answers, "dates", NULL);
    struct source *source = &sniffing->guess->source;
    bool is_workbook = source->format == SOURCE_XLSX;
    struct time_format formats[2];

    if (says && !str_equal(says, "1900") && !str_equal(says, "1904"))
        return err_set(err, ERR_INVALID, "dates=%s can't be: expected 1900 or 1904",
                       str_show(mem, says, SHOWN_MOST));
    if (!time_format_compile("Excel 1900", &formats[0], err) ||
        !time_format_compile("Excel 1904", &formats[1], err))
        return false;
    sniffing->stamps = stamps_of(mem, sniffing->table, column, SIZE_MAX);
    sniffing->pace = sniff_time_pace(&sniffing->stamps, &formats[0]);
    if (says || is_workbook)
        source->time_format = says && str_equal(says, "1904") ? "Excel 1904" : "Excel 1900";
    else
        sniff_ask(sniffing, "dates", NULL,
                  arena_printf(mem,
                               "'%s' is a spreadsheet's date number: counted from 1900 it is %s, "
                               "from 1904 %s",
                               sniffing->stamps.items[0].text,
                               first_read(mem, &sniffing->stamps, &formats[0]),
                               first_read(mem, &sniffing->stamps, &formats[1])),
                  "dates=1900 or dates=1904");
    sniff_fact_add(sniffing, "time", columns_text(sniffing, column, SIZE_MAX),
                   is_workbook ? "date numbers, counted as the workbook says"
                               : "date numbers of a spreadsheet");

    return sniff_clock(
        sniffing,
        source->time_format ? &formats[str_equal(source->time_format, "Excel 1904") ? 1 : 0] : NULL,
        err);
}

/* Dates of a workbook tell themselves. */
static bool own_settle(struct sniffing *sniffing, size_t date, size_t hour, struct err *err)
{
    struct time_format format;

    sniffing->guess->times_need_no_format = true;
    sniffing->stamps = stamps_of(sniffing->mem, sniffing->table, date, SIZE_MAX);
    if (!time_format_compile(TIME_FORMAT_CELL, &format, err))
        return false;
    if (hour != SIZE_MAX) {
        /* A day's midnight and an hour: "2026-05-01 00:00:00" and "09:00:00". */
        sniffing->stamps.count = 0;
        for (size_t r = 0; r < sniffing->table->data.count; r++) {
            const struct sniff_row *row = &sniffing->table->data.items[r];
            const char *day = sniff_cell_text(row, date);
            const char *time = sniff_cell_text(row, hour);

            if (strlen(day) >= 10 && *time)
                stamp_add(sniffing->mem, &sniffing->stamps,
                          arena_printf(sniffing->mem, "%.10s %s", day, time), row->line,
                          row->follows);
        }
    }
    sniffing->pace = sniff_time_pace(&sniffing->stamps, &format);
    sniff_fact_add(sniffing, "time", columns_text(sniffing, date, hour),
                   "the workbook's own dates");

    return sniff_clock(sniffing, &format, err);
}

static bool text_settle(struct sniffing *sniffing, size_t date, size_t hour, struct err *err)
{
    struct arena *mem = sniffing->mem;
    const struct sniff_table *table = sniffing->table;
    struct sniff_stamps stamps = stamps_of(mem, table, date, hour);
    struct sniff_formats formats = sniff_time_formats(mem, &stamps);
    const struct sniff_format *format = NULL;
    size_t without = hour == SIZE_MAX ? 0 : table->columns[date].filled - stamps.count;

    if (formats.count == 0) {
        (void)err_set(err, ERR_INVALID,
                      "the times in %s, as '%s', are written in no way that "
                      "Weirbook can read",
                      columns_text(sniffing, date, hour),
                      stamps.count > 0 ? str_show(mem, stamps.items[0].text, SHOWN_MOST) : "");
        return err_hint(err, "weirbook words times lists the parts a time may have.");
    }
    if (!order_settle(sniffing, &stamps, &formats, &format, err))
        return false;
    sniffing->stamps = stamps;
    sniffing->pace = format ? format->pace : formats.items[0].pace;
    if (format) {
        sniffing->guess->source.time_format = format->text;
        sniff_fact_add(
            sniffing, "time", columns_text(sniffing, date, hour),
            arena_printf(mem, "%s reads %zu of %zu", format->text, format->read, formats.of));
        if (format->order != ORDER_PLAIN)
            sniff_fact_add(sniffing, "day and month", order_answers[format->order],
                           formats.is_decided && formats.evidence ? formats.evidence
                                                                  : "as you answered");
    } else {
        sniff_fact_add(sniffing, "time", columns_text(sniffing, date, hour), NULL);
    }
    if ((without > 0 || (hour == SIZE_MAX && !time_format_has_hour(&formats.items[0].format))) &&
        !date_alone_settle(sniffing, without, hour != SIZE_MAX, err))
        return false;

    return sniff_clock(sniffing, format ? &format->format : NULL, err);
}

static bool fail_no_date(struct sniffing *sniffing, struct err *err)
{
    sniffing->answers->last = NULL; /* no answer is at fault */
    (void)err_set(err, ERR_INVALID, "no column tells a date that Weirbook can read");
    return err_hint(err, "weirbook words times lists how a time may be written. Name the column if "
                         "it has one: time=COLUMN, or time=\"DATE COLUMN, HOUR COLUMN\".");
}

bool sniff_when(struct sniffing *sniffing, struct err *err)
{
    struct candidates candidates = candidates_of(sniffing);
    struct candidate *tie = NULL;
    struct candidate *date = date_choose(sniffing, &candidates, &tie);
    const char *says = sniff_answer_to(sniffing->answers, "time", NULL);
    size_t columns[2] = {SIZE_MAX, SIZE_MAX};

    if (says) {
        if (!columns_told(sniffing, says, columns, err))
            return false;
        date = candidate_at(&candidates, columns[0]);
    } else if (date) {
        struct candidate *hour =
            date->kind == DATE || date->kind == OWN_DATE ? hour_choose(&candidates, date) : NULL;

        columns[0] = date->column;
        columns[1] = hour ? hour->column : SIZE_MAX;
    }
    if (!date)
        return fail_no_date(sniffing, err);
    if (tie && !says) {
        const char *names[2] = {sniffing->table->columns[date->column].name,
                                sniffing->table->columns[tie->column].name};

        sniff_ask(sniffing, "time", NULL,
                  arena_printf(sniffing->mem, "which column tells when it was measured: %s?",
                               sniff_list_text(sniffing->mem, names, 2, 2)),
                  arena_printf(sniffing->mem, "\"time=%s\" or \"time=%s\"", names[0], names[1]));
        return true;
    }
    column_take(sniffing, columns[0], 0);
    if (columns[1] != SIZE_MAX)
        column_take(sniffing, columns[1], 1);
    if (date->kind == SERIAL)
        return serial_settle(sniffing, date->column, err);
    if (date->kind == OWN_DATE)
        return own_settle(sniffing, columns[0], columns[1], err);

    return text_settle(sniffing, columns[0], columns[1], err);
}
