#include "ingest/sniff_number.h"

#include <ctype.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/str.h"

/* A mark with digits on both sides; *group: exactly three behind it and one to three before. */
static bool mark_at(const char *text, char mark, bool *group)
{
    const char *at = strchr(text, mark);
    size_t before = 0;
    size_t behind = 0;

    if (!at || !isdigit((unsigned char)at[1]))
        return false;
    while (at > text + before && isdigit((unsigned char)at[-1 - (ptrdiff_t)before]))
        before++;
    while (isdigit((unsigned char)at[1 + behind]))
        behind++;
    *group = behind == 3 && before >= 1 && before <= 3 && at[-(ptrdiff_t)before] != '0';

    return true;
}

struct sniff_decimal sniff_decimal_find(const struct sniff_table *table, const bool *wanted)
{
    struct sniff_decimal found = {.mark = 0};
    size_t point_groups = 0;
    size_t comma_groups = 0;

    for (size_t r = 0; r < table->data.count; r++)
        for (size_t c = 0; c < table->column_count; c++) {
            const char *text = wanted[c] ? sniff_cell_text(&table->data.items[r], c) : "";
            bool group = false;

            if (!sniff_is_number(text))
                continue;
            if (mark_at(text, '.', &group)) {
                found.points++;
                point_groups += group;
                found.example = found.example ? found.example : text;
            } else if (mark_at(text, ',', &group)) {
                found.commas++;
                comma_groups += group;
                found.example = found.example ? found.example : text;
            }
        }
    if (found.points > 0 && found.commas == 0) {
        found.mark = '.';
        found.has_groups = point_groups == found.points;
    } else if (found.commas > 0 && found.points == 0) {
        found.mark = ',';
        found.has_groups = comma_groups == found.commas;
    }

    return found;
}

/* --- missing values --- */

static const char *const nothing_words[] = {"na",     "n/a",     "nan", "null", "none", "nil",
                                            "-",      "--",      "---", "#n/a", ".",    "no data",
                                            "nodata", "missing", "*",   "?",    NULL};

static bool says_nothing(const char *text)
{
    for (size_t i = 0; nothing_words[i]; i++)
        if (str_equal_nocase(text, nothing_words[i]))
            return true;

    return false;
}

/* Nines alone, or -6999 and the like, with at least two of them: what loggers write for nothing. */
static bool is_usual_mark(const char *text)
{
    const char *at = *text == '-' ? text + 1 : text;
    size_t nines = 0;
    size_t length = strcspn(at, ".,");

    if (*text == '-' && *at == '6' && strncmp(at, "6999", 4) == 0)
        return true;
    for (size_t i = 0; i < length; i++)
        nines += at[i] == '9';
    if (nines != length || nines < 2)
        return false;
    for (at += length; *at; at++)
        if (*at != '.' && *at != ',' && *at != '9' && *at != '0')
            return false;

    return true;
}

static double number_of(const char *text, char decimal)
{
    char plain[SNIFF_CELL_MOST + 1];
    size_t length = strlen(text);

    if (length >= sizeof(plain))
        return 0.0;
    for (size_t i = 0; i <= length; i++)
        plain[i] = (char)(text[i] == decimal ? '.' : text[i]);

    return strtod(plain, NULL);
}

static void mark_count(struct sniff_marks *marks, const char *text, bool is_word, double number)
{
    for (size_t i = 0; i < marks->count; i++)
        if (str_equal(marks->items[i].text, text)) {
            marks->items[i].cells++;
            return;
        }
    if (marks->count < SNIFF_MARKS_MOST)
        marks->items[marks->count++] =
            (struct sniff_mark){.text = text, .cells = 1, .is_word = is_word, .number = number};
}

/* Numbers that lie among the others are none. */
static void marks_keep_far(struct sniff_marks *marks, double lowest, double highest)
{
    double spread = highest > lowest ? highest - lowest : 1.0;
    size_t kept = 0;

    for (size_t i = 0; i < marks->count; i++) {
        const struct sniff_mark *mark = &marks->items[i];
        bool is_far = lowest > highest || mark->number < lowest - spread ||
                      mark->number > highest + spread * 2;

        if (mark->is_word || is_far)
            marks->items[kept++] = *mark;
    }
    marks->count = kept;
}

struct sniff_marks sniff_marks_find(struct arena *mem, const struct sniff_table *table,
                                    size_t column, char decimal)
{
    struct sniff_marks marks = {.count = 0};
    double lowest = INFINITY;
    double highest = -INFINITY;

    for (size_t r = 0; r < table->data.count; r++) {
        const char *text = sniff_cell_text(&table->data.items[r], column);

        if (says_nothing(text))
            mark_count(&marks, arena_strdup(mem, text), true, 0.0);
        else if (sniff_is_number(text) && is_usual_mark(text))
            mark_count(&marks, arena_strdup(mem, text), false, number_of(text, decimal));
        else if (sniff_is_number(text) && isdigit((unsigned char)text[*text == '-'])) {
            double number = number_of(text, decimal);

            lowest = number < lowest ? number : lowest;
            highest = number > highest ? number : highest;
        }
    }
    marks_keep_far(&marks, lowest, highest);

    return marks;
}
