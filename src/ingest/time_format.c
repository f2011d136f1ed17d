#include "ingest/time_format.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

#include "base/sheet.h"

enum { YEAR_PIVOT = 80, FRACTION_DIGITS = 6, COUNT_DIGITS_MOST = 13 };

/* The end of the year 9999. */
#define COUNT_SECONDS_MOST INT64_C(253402300799)

/* Longest first, so that "MMM" is not "MM" and "M". */
static const struct {
    const char *text;
    enum time_part_kind kind;
    int least;
    int most;
    const char *means;
} tokens[] = {
    {"Excel 1900", TIME_SERIAL_1900, 0, 0, "a spreadsheet's date as its number, counted from 1900"},
    {"Excel 1904", TIME_SERIAL_1904, 0, 0, "the same, counted from 1904 as some spreadsheets do"},
    {"milliseconds of 1970", TIME_MILLISECONDS_1970, 0, 0,
     "milliseconds since 1970-01-01T00:00:00Z"},
    {"seconds of 1970", TIME_SECONDS_1970, 0, 0, "seconds since 1970-01-01T00:00:00Z"},
    {"+hh:mm", TIME_OFFSET, 0, 0, "the file's own offset: +13:00, -0400, +02 or Z"},
    {"AM/PM", TIME_HALF, 0, 0, "AM or PM; the hours are then 1 to 12"},
    {"YYYY", TIME_YEAR, 4, 4, "year, as 2026"},
    {"MMM", TIME_MONTH_NAME, 0, 0, "month by its English name in three letters, as Jan"},
    {"YY", TIME_YEAR_SHORT, 2, 2, "year in two digits, 1980 to 2079"},
    {"MM", TIME_MONTH, 2, 2, "month, 01 to 12"},
    {"DD", TIME_DAY, 2, 2, "day, 01 to 31"},
    {"hh", TIME_HOUR, 2, 2, "hour, 00 to 24"},
    {"mm", TIME_MINUTE, 2, 2, "minute"},
    {"ss", TIME_SECOND, 2, 2, "second, with a fraction where the file has one"},
    {"M", TIME_MONTH, 1, 2, "month in one or two digits"},
    {"D", TIME_DAY, 1, 2, "day in one or two digits"},
    {"h", TIME_HOUR, 1, 2, "hour in one or two digits"},
};

const char *time_format_token(size_t position, const char **means)
{
    if (position >= ARRAY_LEN(tokens))
        return NULL;
    *means = tokens[position].means;

    return tokens[position].text;
}

static const char *const month_names[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                            "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

static bool refuse(struct err *err, const char *text, const char *why)
{
    (void)err_set(err, ERR_INVALID, "time format '%.60s': %s", text, why);

    return err_hint(err, "Write it like YYYY-MM-DD hh:mm, DD/MM/YYYY h:mm AM/PM or "
                         "YYYY-MM-DDThh:mm:ss+hh:mm.");
}

/* --- compiling --- */

static size_t part_compile(const char *at, struct time_part *part)
{
    for (size_t i = 0; i < ARRAY_LEN(tokens); i++) {
        size_t length = strlen(tokens[i].text);

        if (strncmp(at, tokens[i].text, length) == 0) {
            *part = (struct time_part){
                .kind = tokens[i].kind, .least = tokens[i].least, .most = tokens[i].most};
            return length;
        }
    }
    *part = (struct time_part){.kind = *at == ' ' ? TIME_BLANK : TIME_LITERAL, .literal = *at};

    return 1;
}

static bool is_number(const struct time_part *part)
{
    return part->most > 0;
}

static bool is_serial(const struct time_part *part)
{
    return part->kind == TIME_SERIAL_1900 || part->kind == TIME_SERIAL_1904;
}

static bool is_count(const struct time_part *part)
{
    return part->kind == TIME_SECONDS_1970 || part->kind == TIME_MILLISECONDS_1970;
}

static size_t count_kind(const struct time_format *format, enum time_part_kind kind)
{
    size_t count = 0;

    for (size_t i = 0; i < format->count; i++)
        count += format->parts[i].kind == kind;

    return count;
}

/* What is wrong with the parts taken together, or NULL. */
static const char *format_refuse(const struct time_format *format)
{
    static const struct {
        enum time_part_kind kinds[2];
        bool needed;
        const char *missing;
        const char *twice;
    } rules[] = {
        {{TIME_YEAR, TIME_YEAR_SHORT}, true, "it has no year (YYYY)", "it has two years"},
        {{TIME_MONTH, TIME_MONTH_NAME},
         true,
         "it has no month (MM)",
         "it has two months (MM is "
         "the month, mm the minute)"},
        {{TIME_DAY, TIME_DAY}, true, "it has no day (DD)", "it has two days"},
        {{TIME_HOUR, TIME_HOUR}, false, NULL, "it has two hours"},
        {{TIME_MINUTE, TIME_MINUTE}, false, NULL, "it has two minutes"},
        {{TIME_SECOND, TIME_SECOND}, false, NULL, "it has two seconds"},
        {{TIME_HALF, TIME_HALF}, false, NULL, "it has AM/PM twice"},
        {{TIME_OFFSET, TIME_OFFSET}, false, NULL, "it has two offsets"},
    };

    if (is_serial(&format->parts[0]) || is_count(&format->parts[0]))
        return format->count == 1 ? NULL : "a date number stands alone";
    for (size_t i = 0; i < ARRAY_LEN(rules); i++) {
        size_t count = count_kind(format, rules[i].kinds[0]);

        if (rules[i].kinds[1] != rules[i].kinds[0])
            count += count_kind(format, rules[i].kinds[1]);
        if (count > 1)
            return rules[i].twice;
        if (count == 0 && rules[i].needed)
            return rules[i].missing;
    }

    return format->has_half && count_kind(format, TIME_HOUR) == 0 ? "it has AM/PM and no hour"
                                                                  : NULL;
}

/* A token letter that stands alone ("YYY", "s", "H") can't be meant as text. */
static bool is_stray_letter(char c)
{
    return c != '\0' && strchr("YyDdHhMmSs", c) != NULL;
}

/* Day, month and hour of two digits may be written with one where no digits stand beside them. */
static bool may_be_one_digit(const struct time_format *format, size_t i)
{
    const struct time_part *part = &format->parts[i];

    return (part->kind == TIME_DAY || part->kind == TIME_MONTH || part->kind == TIME_HOUR) &&
           (i == 0 || !is_number(part - 1)) && (i + 1 == format->count || !is_number(part + 1));
}

bool time_format_compile(const char *text, struct time_format *out, struct err *err)
{
    struct time_format format = {.count = 0};

    for (const char *at = text; *at;) {
        struct time_part part;
        size_t length = part_compile(at, &part);

        if (format.count == TIME_FORMAT_PARTS_MOST)
            return refuse(err, text, "it is too long");
        if ((part.kind == TIME_LITERAL && is_stray_letter(part.literal)) ||
            (format.count > 0 && (is_serial(&part) || is_count(&part))))
            return refuse(err, text, "it has letters that are no part of a time");
        format.parts[format.count++] = part;
        at += length;
    }
    format.has_half = count_kind(&format, TIME_HALF) > 0;
    format.has_offset = count_kind(&format, TIME_OFFSET) > 0;
    format.is_serial = format.count > 0 && is_serial(&format.parts[0]);
    format.is_count = format.count > 0 && is_count(&format.parts[0]);
    format.has_offset = format.has_offset || format.is_count;

    const char *why = format_refuse(&format);

    if (why)
        return refuse(err, text, why);

    for (size_t i = 0; i < format.count; i++)
        if (may_be_one_digit(&format, i))
            format.parts[i].least = 1;
    *out = format;

    return true;
}

bool time_format_has_hour(const struct time_format *format)
{
    return format->is_serial || format->is_count || count_kind(format, TIME_HOUR) > 0;
}

bool time_format_date_part(const struct time_format *format, struct time_format *out)
{
    struct time_format date = *format;
    size_t end = 0;

    while (end < format->count && format->parts[end].kind != TIME_HOUR)
        end++;
    if (end == format->count || end == 0)
        return false;
    /* "T" and blanks between date and hours go with the hours. */
    while (end > 0 && !is_number(&format->parts[end - 1]) &&
           format->parts[end - 1].kind != TIME_MONTH_NAME)
        end--;
    date.count = end;
    date.has_half = date.has_offset = false;
    if (count_kind(&date, TIME_YEAR) + count_kind(&date, TIME_YEAR_SHORT) != 1 ||
        count_kind(&date, TIME_MONTH) + count_kind(&date, TIME_MONTH_NAME) != 1 ||
        count_kind(&date, TIME_DAY) != 1)
        return false;
    *out = date;

    return true;
}

/* --- reading --- */

/* Where the reading of one text is. */
struct cursor {
    const char *at;
    bool is_pm;
    bool has_half;
    bool impossible;
    struct time_reading reading;
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool digits_read(struct cursor *cursor, int least, int most, int *out)
{
    int value = 0;
    int count = 0;

    while (count < most && is_digit(*cursor->at)) {
        value = value * 10 + (*cursor->at++ - '0');
        count++;
    }
    *out = value;

    return count >= least;
}

static bool second_read(struct cursor *cursor, const struct time_part *part)
{
    if (!digits_read(cursor, part->least, part->most, &cursor->reading.civil.second))
        return false;
    if ((*cursor->at != '.' && *cursor->at != ',') || !is_digit(cursor->at[1]))
        return true;
    cursor->at++;

    int fraction = 0;

    for (int i = 0; i < FRACTION_DIGITS; i++)
        fraction = fraction * 10 + (is_digit(*cursor->at) ? *cursor->at++ - '0' : 0);
    while (is_digit(*cursor->at))
        cursor->at++;
    cursor->reading.civil.microsecond = fraction;

    return true;
}

static bool month_name_read(struct cursor *cursor)
{
    for (int i = 0; i < 12; i++)
        if (strncasecmp(cursor->at, month_names[i], 3) == 0) {
            cursor->reading.civil.month = i + 1;
            cursor->at += 3;
            return true;
        }

    return false;
}

/* AM, am, A.M., p.m. */
static bool half_read(struct cursor *cursor)
{
    char letter = (char)toupper((unsigned char)*cursor->at);

    if (letter != 'A' && letter != 'P')
        return false;
    cursor->at++;
    if (*cursor->at == '.')
        cursor->at++;
    if (toupper((unsigned char)*cursor->at) != 'M')
        return false;
    cursor->at++;
    if (*cursor->at == '.')
        cursor->at++;
    cursor->has_half = true;
    cursor->is_pm = letter == 'P';

    return true;
}

static bool offset_read(struct cursor *cursor)
{
    int hours = 0;
    int minutes = 0;
    char sign = *cursor->at;

    cursor->reading.has_offset = true;
    if (sign == 'Z' || sign == 'z') {
        cursor->at++;
        return true;
    }
    if (sign != '+' && sign != '-')
        return false;
    cursor->at++;
    if (!digits_read(cursor, 2, 2, &hours))
        return false;
    if (*cursor->at == ':')
        cursor->at++;
    if (is_digit(*cursor->at) && !digits_read(cursor, 2, 2, &minutes))
        return false;
    if (hours > 18 || minutes > 59)
        cursor->impossible = true;
    cursor->reading.offset_s = (hours * 60 + minutes) * (sign == '-' ? -60 : 60);

    return true;
}

static bool literal_read(struct cursor *cursor, char literal)
{
    if (toupper((unsigned char)*cursor->at) != toupper((unsigned char)literal))
        return false;
    cursor->at++;

    return true;
}

static bool blank_read(struct cursor *cursor)
{
    if (*cursor->at != ' ' && *cursor->at != '\t')
        return false;
    while (*cursor->at == ' ' || *cursor->at == '\t')
        cursor->at++;

    return true;
}

static bool part_read(struct cursor *cursor, const struct time_part *part)
{
    struct civil *civil = &cursor->reading.civil;

    switch (part->kind) {
    case TIME_LITERAL:
        return literal_read(cursor, part->literal);
    case TIME_BLANK:
        return blank_read(cursor);
    case TIME_YEAR:
        return digits_read(cursor, part->least, part->most, &civil->year);
    case TIME_YEAR_SHORT:
        if (!digits_read(cursor, part->least, part->most, &civil->year))
            return false;
        civil->year += civil->year >= YEAR_PIVOT ? 1900 : 2000;
        return true;
    case TIME_MONTH:
        return digits_read(cursor, part->least, part->most, &civil->month);
    case TIME_MONTH_NAME:
        return month_name_read(cursor);
    case TIME_DAY:
        return digits_read(cursor, part->least, part->most, &civil->day);
    case TIME_HOUR:
        return digits_read(cursor, part->least, part->most, &civil->hour);
    case TIME_MINUTE:
        return digits_read(cursor, part->least, part->most, &civil->minute);
    case TIME_SECOND:
        return second_read(cursor, part);
    case TIME_HALF:
        return half_read(cursor);
    case TIME_OFFSET:
        return offset_read(cursor);
    case TIME_SERIAL_1900:
    case TIME_SERIAL_1904:
        break; /* serial_read() */
    case TIME_SECONDS_1970:
    case TIME_MILLISECONDS_1970:
        break; /* count_read() */
    }

    return false;
}

/* Bring hours of 1 to 12 and 24:00 to 0 to 23. */
static bool hour_settle(struct cursor *cursor)
{
    struct civil *civil = &cursor->reading.civil;

    if (cursor->has_half) {
        if (civil->hour < 1 || civil->hour > 12)
            return false;
        civil->hour = civil->hour % 12 + (cursor->is_pm ? 12 : 0);
    }
    if (civil->hour != 24 || civil->minute != 0 || civil->second != 0 || civil->microsecond != 0)
        return true;
    civil->hour = 0;
    if (!civil_valid(civil))
        return false;
    *civil = civil_from_day(day_from_civil(civil->year, civil->month, civil->day) + 1);

    return true;
}

/* Digits with or without decimals, and nothing else. */
static bool serial_digits(const char *text, double *out)
{
    double number = 0;
    double scale = 1;
    size_t digits = strspn(text, "0123456789");

    if (digits == 0 || digits > 7)
        return false;
    for (size_t i = 0; i < digits; i++)
        number = number * 10 + (text[i] - '0');
    text += digits;
    if ((*text == '.' || *text == ',') && is_digit(text[1]))
        for (text++; is_digit(*text); text++) {
            scale /= 10;
            number += (*text - '0') * scale;
        }
    *out = number;

    return text[strspn(text, " \t")] == '\0';
}

static enum time_answer serial_read(const char *text, bool counts_from_1904,
                                    struct time_reading *out)
{
    struct time_reading reading = {.has_offset = false};
    double number;

    if (!serial_digits(text + strspn(text, " \t"), &number))
        return TIME_UNREADABLE;
    /* Below 1 there is an hour and no day. */
    if (number < 1 || !sheet_serial(number, counts_from_1904, &reading.civil))
        return TIME_IMPOSSIBLE;
    *out = reading;

    return TIME_READ;
}

/* Whole seconds or milliseconds; a fraction goes on where the file has one. */
static enum time_answer count_read(const char *text, int64_t unit_us, struct time_reading *out)
{
    struct time_reading reading = {.has_offset = true};
    int64_t count = 0;
    int64_t part_us = unit_us;
    size_t digits;

    text += strspn(text, " \t");
    digits = strspn(text, "0123456789");
    if (digits == 0 || digits > COUNT_DIGITS_MOST)
        return TIME_UNREADABLE;
    for (size_t i = 0; i < digits; i++)
        count = count * 10 + (text[i] - '0');
    text += digits;
    if (count > COUNT_SECONDS_MOST * SECOND_US / unit_us)
        return TIME_IMPOSSIBLE;
    count *= unit_us;
    if ((*text == '.' || *text == ',') && is_digit(text[1]))
        for (text++; is_digit(*text); text++) {
            part_us /= 10;
            count += (*text - '0') * part_us;
        }
    if (text[strspn(text, " \t")] != '\0')
        return TIME_UNREADABLE;
    reading.civil = instant_to_utc(count);
    *out = reading;

    return TIME_READ;
}

enum time_answer time_format_read(const struct time_format *format, const char *text,
                                  struct time_reading *out)
{
    struct cursor cursor = {.at = text};

    if (format->is_serial)
        return serial_read(text, format->parts[0].kind == TIME_SERIAL_1904, out);
    if (format->is_count)
        return count_read(text,
                          format->parts[0].kind == TIME_SECONDS_1970 ? SECOND_US : SECOND_US / 1000,
                          out);
    while (*cursor.at == ' ' || *cursor.at == '\t')
        cursor.at++;
    for (size_t i = 0; i < format->count; i++)
        if (!part_read(&cursor, &format->parts[i]))
            return TIME_UNREADABLE;
    while (*cursor.at == ' ' || *cursor.at == '\t')
        cursor.at++;
    if (*cursor.at)
        return TIME_UNREADABLE;
    if (cursor.impossible || !hour_settle(&cursor) || !civil_valid(&cursor.reading.civil))
        return TIME_IMPOSSIBLE;
    *out = cursor.reading;

    return TIME_READ;
}

/* --- placing --- */

static int64_t hour_of(const struct civil *civil)
{
    return (int64_t)day_from_civil(civil->year, civil->month, civil->day) * 24 + civil->hour;
}

/* Whether the whole civil hour is one hour of instants; *at is where it begins. */
static bool hour_is_plain(const struct zone *zone, const struct civil *civil, instant *at)
{
    struct civil edge = *civil;
    instant first[2];
    instant last[2];

    edge.minute = edge.second = edge.microsecond = 0;
    if (zone_to_instants(zone, &edge, first) != ZONE_ONE)
        return false;
    edge.minute = edge.second = 59;
    if (zone_to_instants(zone, &edge, last) != ZONE_ONE ||
        last[0] - first[0] != HOUR_US - SECOND_US)
        return false;
    *at = first[0];

    return true;
}

enum zone_answer time_clock_place(struct time_clock *clock, const struct time_reading *reading,
                                  instant out[2])
{
    const struct civil *civil = &reading->civil;

    if (reading->has_offset || !clock->zone) {
        out[0] = instant_from_utc(civil) - reading->offset_s * SECOND_US;
        return ZONE_ONE;
    }

    int64_t hour = hour_of(civil);

    if (!clock->hour_is_one || hour != clock->hour) {
        clock->hour = hour;
        clock->hour_is_one = hour_is_plain(clock->zone, civil, &clock->hour_at);
    }
    if (!clock->hour_is_one)
        return zone_to_instants(clock->zone, civil, out);
    out[0] = clock->hour_at + (civil->minute * 60 + civil->second) * SECOND_US + civil->microsecond;

    return ZONE_ONE;
}
