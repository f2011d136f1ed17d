#include "base/number.h"

#include <string.h>
#include <strings.h>

#include "base/macro.h"

/* A cell longer than this is no number, whatever it is. */
enum { CELL_MOST = 64 };

const char *const number_not_detected_words[] = {"nd", "n.d.", "n.d", "n/d", "not detected", NULL};

/* Blanks beside those of ASCII, as UTF-8. */
static const char *const blanks[] = {
    " ",
    "\t",
    "\r",
    "\n",
    "\xc2\xa0",     /* no-break space */
    "\xe2\x80\x87", /* figure space */
    "\xe2\x80\x89", /* thin space */
    "\xe2\x80\xaf", /* narrow no-break space */
    "\xef\xbb\xbf", /* byte order mark */
};

static const char unicode_minus[] = "\xe2\x88\x92";

enum fault {
    FAULT_NONE,
    FAULT_NOT_A_NUMBER,
    FAULT_COUNTLESS,
    FAULT_ESTIMATE,
    FAULT_TWO_SEPARATORS,
    FAULT_OTHER_SEPARATOR,
    FAULT_AT_MOST,
    FAULT_NO_LIMIT,
    FAULT_SPACE_INSIDE,
    FAULT_AFTER_NUMBER,
    FAULT_ENDS_IN_SEPARATOR,
    FAULT_TOO_LONG,
    FAULT_SPREADSHEET,
    FAULT_LONG_CELL,
};

static const struct {
    const char *why;
    const char *what_to_do;
} faults[] = {
    [FAULT_NOT_A_NUMBER] = {"it is not a number",
                            "Correct the cell. List the word in the farm file as blank only where "
                            "it says that nothing was measured, and as not detected only where it "
                            "says that nothing was found."},
    [FAULT_COUNTLESS] = {"it says that there was too much to be counted, and no number",
                         "That is neither blank nor not detected. Ask the laboratory for a number, "
                         "or type > and the greatest number that could be counted (weirbook aside "
                         "correct), or leave it out with a reason."},
    [FAULT_ESTIMATE] = {"the number is marked as an estimate, or stands in brackets",
                        "That is neither blank nor not detected. Ask the laboratory what the mark "
                        "means, and type the number (weirbook aside correct), or leave it out with "
                        "a reason."},
    [FAULT_TWO_SEPARATORS] = {"it has two separators",
                              "Write the number without marks for thousands."},
    [FAULT_OTHER_SEPARATOR] =
        {"its separator is not this file's decimal mark",
         "If only this cell is wrong, ask for a corrected sheet; if the whole "
         "file writes decimals so, say so in the source."},
    [FAULT_AT_MOST] = {"'at most' and 'at least' signs are not taken for < and >",
                       "Ask the laboratory whether it means < or >, and write that."},
    [FAULT_NO_LIMIT] = {"no number follows the < or > sign", "Write the limit behind the sign."},
    [FAULT_SPACE_INSIDE] = {"there is a space inside the number",
                            "Write the number without marks for thousands."},
    [FAULT_AFTER_NUMBER] = {"something stands behind the number",
                            "Leave a unit to the unit column or the heading, and a remark to a "
                            "column of its own."},
    [FAULT_ENDS_IN_SEPARATOR] = {"it ends in its separator, so a digit may be missing",
                                 "Write the number in full."},
    [FAULT_TOO_LONG] = {"it has more than 18 digits, which can't be kept exactly",
                        "Write the digits that were measured."},
    [FAULT_SPREADSHEET] = {"it is a spreadsheet's error",
                           "Mend the formula in the spreadsheet and save the file again."},
    [FAULT_LONG_CELL] = {"it is too long to be a number", "Put remarks in a column of their own."},
};

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

static bool is_separator(char c)
{
    return c == '.' || c == ',' || c == '\'';
}

/* Bytes of a blank at the start of the text, or 0. */
static size_t blank_at(const char *text)
{
    if ((unsigned char)*text > ' ' && (unsigned char)*text < 0x80)
        return 0;
    for (size_t i = 0; i < ARRAY_LEN(blanks); i++)
        if (strncmp(text, blanks[i], strlen(blanks[i])) == 0)
            return strlen(blanks[i]);

    return 0;
}

static const char *skip_blanks(const char *text)
{
    for (size_t size; (size = blank_at(text)) > 0;)
        text += size;

    return text;
}

/* The cell without blanks around it; false when it does not fit. */
static bool cell_trim(const char *cell, char out[CELL_MOST + 1])
{
    const char *start = skip_blanks(cell);
    const char *end = start;

    for (const char *at = start; *at;) {
        size_t blank = blank_at(at);

        at += blank ? blank : 1;
        end = blank ? end : at;
    }

    size_t length = (size_t)(end - start);

    if (length > CELL_MOST)
        return false;
    memcpy(out, start, length);
    out[length] = '\0';

    return true;
}

static bool word_listed(const char *word, const char *const *words, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (strcasecmp(word, words[i]) == 0)
            return true;

    return false;
}

/* What stands where the whole number should have ended. */
static enum fault fault_of_rest(const char *rest, const char *separator)
{
    if (is_separator(*rest))
        return separator ? FAULT_TWO_SEPARATORS : FAULT_OTHER_SEPARATOR;

    return is_digit(*skip_blanks(rest)) ? FAULT_SPACE_INSIDE : FAULT_AFTER_NUMBER;
}

static const char *skip_digits(const char *text)
{
    while (is_digit(*text))
        text++;

    return text;
}

/* The exponent, or nothing when these are not the letters and digits of one. */
static const char *skip_exponent(const char *text)
{
    const char *at = text;

    if (*at != 'e' && *at != 'E')
        return text;
    at++;
    if (*at == '+' || *at == '-')
        at++;

    return is_digit(*at) ? skip_digits(at) : text;
}

/* Whether a separator of any kind follows later: 1.234,5 has two, 1.2 mg/L has one. */
static bool another_separator(const char *text)
{
    return is_separator(*text) && is_digit(text[1]);
}

/*
 * Write the number the way decimal_parse() reads it: a point, a digit before it, an ASCII sign.
 * `plain` has room for a byte more than the cell.
 */
static enum fault number_plain(const char *text, char decimal_mark, char *plain)
{
    if (strncmp(text, unicode_minus, strlen(unicode_minus)) == 0) {
        *plain++ = '-';
        text += strlen(unicode_minus);
    } else if (*text == '-' || *text == '+') {
        *plain++ = *text++;
    }
    if (!is_digit(*text) && !another_separator(text))
        return FAULT_NOT_A_NUMBER;

    const char *whole_end = skip_digits(text);
    const char *separator = is_separator(*whole_end) ? whole_end : NULL;
    const char *end = separator ? skip_digits(separator + 1) : whole_end;

    if (separator && is_separator(*end))
        return FAULT_TWO_SEPARATORS;
    if (separator && *separator != decimal_mark)
        return FAULT_OTHER_SEPARATOR;

    const char *exponent_end = skip_exponent(end);
    bool goes_on = *end && exponent_end == end;

    if (separator && end == separator + 1 && !goes_on)
        return FAULT_ENDS_IN_SEPARATOR;

    if (*exponent_end)
        return fault_of_rest(exponent_end, separator);

    if (whole_end == text)
        *plain++ = '0';
    memcpy(plain, text, (size_t)(exponent_end - text) + 1);
    if (separator)
        plain[separator - text] = '.';

    return FAULT_NONE;
}

static struct number unreadable(enum fault fault)
{
    return (struct number){
        .kind = NUMBER_UNREADABLE,
        .why = faults[fault].why,
        .what_to_do = faults[fault].what_to_do,
    };
}

/* Signs that look like < or > and say something else. */
static bool at_most_sign(const char *text)
{
    static const char *const signs[] = {"<=", ">=", "=<", "=>", "\xe2\x89\xa4", "\xe2\x89\xa5"};

    for (size_t i = 0; i < ARRAY_LEN(signs); i++)
        if (strncmp(text, signs[i], strlen(signs[i])) == 0)
            return true;

    return false;
}

/* What a laboratory writes of a plate on which nothing could be counted any more. */
static bool is_countless(const char *text)
{
    static const char *const words[] = {"tntc",      "too numerous to count", "too numerous",
                                        "confluent", "confluent growth",      "overgrown"};

    return word_listed(text, words, ARRAY_LEN(words));
}

/* "~900", "ca. 900", "(900)" */
static bool is_estimate(const char *text)
{
    static const char *const marks[] = {"~",   "\xe2\x89\x88", "(",      "[",
                                        "ca.", "ca ",          "about ", "approx"};

    for (size_t i = 0; i < ARRAY_LEN(marks); i++)
        if (strncasecmp(text, marks[i], strlen(marks[i])) == 0)
            return strpbrk(text, "0123456789") != NULL;

    return false;
}

static struct number value_read(const struct number_style *style, const char *text)
{
    struct number number = {.kind = NUMBER_VALUE, .qualifier = '='};
    char plain[CELL_MOST + 2];

    if (at_most_sign(text))
        return unreadable(FAULT_AT_MOST);
    if (*text == '#')
        return unreadable(FAULT_SPREADSHEET);
    if (is_countless(text))
        return unreadable(FAULT_COUNTLESS);
    if (is_estimate(text))
        return unreadable(FAULT_ESTIMATE);
    if (*text == '<' || *text == '>') {
        number.qualifier = *text;
        text = skip_blanks(text + 1);
        if (!*text)
            return unreadable(FAULT_NO_LIMIT);
    }

    enum fault fault = number_plain(text, style->decimal_mark, plain);

    if (fault != FAULT_NONE)
        return unreadable(fault);

    return decimal_parse(plain, &number.value) ? number : unreadable(FAULT_TOO_LONG);
}

struct number number_read(const struct number_style *style, const char *cell)
{
    char text[CELL_MOST + 1];

    if (!cell_trim(cell, text))
        return unreadable(FAULT_LONG_CELL);
    if (!*text || word_listed(text, style->blank_words, style->blank_word_count))
        return (struct number){.kind = NUMBER_BLANK};
    if (word_listed(text, number_not_detected_words, ARRAY_LEN(number_not_detected_words) - 1) ||
        word_listed(text, style->not_detected_words, style->not_detected_word_count))
        return (struct number){.kind = NUMBER_NOT_DETECTED};

    return value_read(style, text);
}
