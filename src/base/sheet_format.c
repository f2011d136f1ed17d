#include "base/sheet_format.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"

enum { SECTIONS_MOST = 4, DIGITS_MOST = 15 };

/* One part of a code, between its semicolons. */
struct section {
    const char *at;
    size_t length;
    bool has_condition;
    char test[3]; /* "<", ">=", ... */
    double bound;
    bool has_number; /* some place for digits, or General */
    int percents;
    int thousands;     /* by how many thousands the number is divided */
    int pending;       /* commas of which it is not known yet */
    bool is_broken;    /* something else than a fraction's bar stands between digits */
    struct buf before; /* the literal text around the digits */
    struct buf after;
};

/* The end of the section that begins at `at`. */
static const char *section_end(const char *at)
{
    for (; *at && *at != ';'; at++) {
        const char *close = *at == '"' ? strchr(at + 1, '"') : *at == '[' ? strchr(at, ']') : NULL;

        if (close)
            at = close;
        else if (strchr("\\_*", *at) && at[1])
            at++;
    }

    return at;
}

/* "<0.5" in brackets; colours, locales and the like say nothing of the number. */
static void bracket_take(struct section *section, const char *inside)
{
    size_t length = strspn(inside, "<>=");

    if (length == 0 || length > 2)
        return;
    memcpy(section->test, inside, length);
    section->test[length] = '\0';
    section->bound = strtod(inside + length, NULL);
    section->has_condition = true;
}

static void literal_add(struct section *section, const char *text, size_t length)
{
    buf_add(section->has_number ? &section->after : &section->before, text, length);
}

/* What a single character of a code is; literals go where they stand. */
static void character_take(struct section *section, char c)
{
    if (strchr("0#?", c)) {
        section->is_broken |= section->after.data[strspn(section->after.data, " /")] != '\0';
        section->has_number = true;
        section->pending = 0;
        buf_clear(&section->after);
    } else if (c == ',' && section->has_number) {
        section->pending++;
    } else if (c == '.') {
        section->thousands += section->pending;
        section->pending = 0;
    } else if (c == '%') {
        section->percents++;
    } else if (c == '@') {
        section->has_number = true;
    } else {
        literal_add(section, &c, 1);
    }
}

static void section_parse(struct section *section)
{
    const char *end = section->at + section->length;

    for (const char *at = section->at; at < end; at++) {
        const char *close = *at == '"' ? strchr(at + 1, '"') : *at == '[' ? strchr(at, ']') : NULL;

        if (close && *at == '"') {
            literal_add(section, at + 1, (size_t)(close - at - 1));
            at = close;
        } else if (close) {
            bracket_take(section, at + 1);
            at = close;
        } else if (*at == '\\' && at + 1 < end) {
            literal_add(section, ++at, 1);
        } else if ((*at == '_' || *at == '*') && at + 1 < end) {
            at++;
        } else if ((size_t)(end - at) >= 7 && strncmp(at, "General", 7) == 0) {
            section->has_number = true;
            at += 6;
        } else if ((*at == 'E' || *at == 'e') && at + 1 < end && strchr("+-", at[1])) {
            at++;
        } else {
            character_take(section, *at);
        }
    }
    section->thousands += section->pending;
}

static bool condition_holds(const struct section *section, double number)
{
    const char *test = section->test;

    if (strcmp(test, "<>") == 0)
        return number < section->bound || number > section->bound;

    return (strchr(test, '<') && number < section->bound) ||
           (strchr(test, '>') && number > section->bound) ||
           (strchr(test, '=') && number >= section->bound && number <= section->bound);
}

/* Whether the number is shown by this section: numbers above 0, below 0, 0, unless it says which.
 */
static bool section_fits(const struct section *section, size_t index, size_t count, double number)
{
    if (section->has_condition)
        return condition_holds(section, number);
    if (index == 0)
        return count == 1 || number > 0 || (count == 2 && number >= 0);

    return index == 2 || count == 2 || number < 0;
}

static struct sheet_shown other(const char *why)
{
    return (struct sheet_shown){.show = SHEET_SHOW_OTHER, .why = why};
}

/* A section without a place for digits shows its words alone. */
static struct sheet_shown words_show(struct arena *mem, const struct section *section,
                                     double number)
{
    const char *words = str_trim(mem, section->before.data);
    bool is_dash = strcmp(words, "-") == 0 || strcmp(words, "\u2013") == 0;

    if (!*words)
        return other("its format hides it");
    /* Books of accounts write a dash for 0. */
    if (is_dash && number <= 0 && number >= 0)
        return (struct sheet_shown){.show = SHEET_SHOW_STORED};

    return (struct sheet_shown){.show = SHEET_SHOW_TEXT, .text = words};
}

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* Whether the words end in a sign that says that the number is a bound: <, >, or = behind one. */
static bool ends_in_bound(const char *words)
{
    size_t length = strlen(words);

    return length > 0 &&
           (strchr("<>=", words[length - 1]) || strstr(words, "\u2264") || strstr(words, "\u2265"));
}

static bool says_minus(const char *words)
{
    return strchr(words, '-') || strchr(words, '(') || strstr(words, "\u2212");
}

static struct sheet_shown number_show(struct arena *mem, const struct section *section,
                                      bool is_for_negative, double number)
{
    const char *before = str_trim(mem, section->before.data);
    const char *behind = str_trim(mem, section->after.data);
    const char *after = *behind == ')' ? str_trim(mem, behind + 1) : behind;
    size_t length = strlen(before);
    bool is_bound = ends_in_bound(before);
    bool is_scaled = section->percents > 0 || section->thousands > 0;
    struct sheet_shown shown = {.show =
                                    is_bound || is_scaled ? SHEET_SHOW_TEXT : SHEET_SHOW_STORED};

    if (section->is_broken)
        return other("its format puts something between its digits");
    if (section->percents > 1)
        return other("its format shows more than one %");
    if ((length > 0 && is_digit(before[length - 1])) || is_digit(section->after.data[0]))
        return other("its format puts digits of its own beside it");
    if (is_for_negative && number < 0 && !says_minus(before))
        return other("its format shows it without its minus");
    if (number > 0 && length > 0 && before[length - 1] == '-')
        return other("its format shows a minus in front of it");
    if (shown.show == SHEET_SHOW_TEXT) {
        double scaled = number;

        for (int i = 0; i < section->thousands; i++)
            scaled /= 1000;
        scaled *= section->percents > 0 ? 100 : 1;
        shown.text = arena_printf(mem, "%s%.*g", is_bound ? before : "", DIGITS_MOST, scaled);
    }
    shown.unit = section->percents > 0 ? "%" : *after ? after : NULL;

    return shown;
}

bool sheet_format_is_plain(const char *code)
{
    size_t digits = strspn(code, "0#?,.");

    return strcmp(code, "General") == 0 ||
           (digits > 0 && code[digits] == '\0' && code[digits - 1] != ',' && !strstr(code, ",."));
}

struct sheet_shown sheet_format_show(struct arena *mem, const char *code, double number)
{
    struct section sections[SECTIONS_MOST];
    size_t count = 0;
    size_t texts = 0;

    if (!code)
        return (struct sheet_shown){.show = SHEET_SHOW_STORED};
    for (const char *at = code; count < SECTIONS_MOST; at++) {
        const char *end = section_end(at);

        sections[count] = (struct section){
            .at = at, .length = (size_t)(end - at), .before = buf_new(mem), .after = buf_new(mem)};
        section_parse(&sections[count++]);
        if (!*end)
            break;
        at = end;
    }
    /* The fourth is of texts. */
    texts = count == SECTIONS_MOST;
    for (size_t i = 0; i < count - texts; i++)
        if (section_fits(&sections[i], i, count - texts, number))
            return sections[i].has_number
                       ? number_show(mem, &sections[i], i == 1 && !sections[i].has_condition,
                                     number)
                       : words_show(mem, &sections[i], number);

    return other("its format shows no number of its size");
}
