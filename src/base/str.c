#include "base/str.h"

#include <string.h>
#include <strings.h>

#include "base/buf.h"

enum { WORD_MOST = 64 };

bool str_equal(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

bool str_equal_nocase(const char *a, const char *b)
{
    return a == b || (a && b && strcasecmp(a, b) == 0);
}

bool str_starts(const char *text, const char *prefix)
{
    return strncmp(text, prefix, strlen(prefix)) == 0;
}

bool str_ends(const char *text, const char *suffix)
{
    size_t length = strlen(text);
    size_t tail = strlen(suffix);

    return length >= tail && strcmp(text + length - tail, suffix) == 0;
}

bool str_empty(const char *text)
{
    return !text || !*text;
}

static int sign(int order)
{
    return (order > 0) - (order < 0);
}

/* Length of the digits at the start, after zeros that lead. */
static size_t number_at(const char **text)
{
    *text += strspn(*text, "0");

    return strspn(*text, "0123456789");
}

int str_compare_numbered(const char *a, const char *b)
{
    if (!a || !b)
        return (a != NULL) - (b != NULL);
    while (*a && *b) {
        if (!strchr("0123456789", *a) || !strchr("0123456789", *b)) {
            if (*a != *b)
                return sign((unsigned char)*a - (unsigned char)*b);
            a++;
            b++;
            continue;
        }

        size_t left = number_at(&a);
        size_t right = number_at(&b);
        int order = left == right ? strncmp(a, b, left) : (left > right ? 1 : -1);

        if (order != 0)
            return sign(order);
        a += left;
        b += right;
    }

    return sign((unsigned char)*a - (unsigned char)*b);
}

/* Bytes of white space at the start of text: 0, 1, or 2 for the UTF-8 no-break space. */
static size_t blank_at(const char *text)
{
    if (*text == ' ' || *text == '\t' || *text == '\r' || *text == '\n')
        return 1;

    return strncmp(text, "\xc2\xa0", 2) == 0 ? 2 : 0;
}

char *str_trim(struct arena *mem, const char *text)
{
    size_t skip;

    while ((skip = blank_at(text)) > 0)
        text += skip;

    size_t length = strlen(text);

    while (length > 0) {
        if (blank_at(text + length - 1) == 1)
            length -= 1;
        else if (length > 1 && blank_at(text + length - 2) == 2)
            length -= 2;
        else
            break;
    }

    return arena_strndup(mem, text, length);
}

static char lower(char c)
{
    return (char)(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
}

char *str_lower(struct arena *mem, const char *text)
{
    char *copy = arena_strdup(mem, text);

    for (char *c = copy; *c; c++)
        *c = lower(*c);

    return copy;
}

static size_t smallest(size_t a, size_t b, size_t c)
{
    size_t least = a < b ? a : b;

    return least < c ? least : c;
}

/* Edits (insert, delete, change) between two words of at most WORD_MOST bytes. */
static size_t edit_distance(const char *a, const char *b)
{
    size_t row[WORD_MOST + 1];
    size_t width = strlen(b);

    for (size_t j = 0; j <= width; j++)
        row[j] = j;
    for (size_t i = 1; a[i - 1]; i++) {
        size_t corner = row[0];

        row[0] = i;
        for (size_t j = 1; j <= width; j++) {
            size_t above = row[j];
            size_t change = corner + (lower(a[i - 1]) != lower(b[j - 1]));

            row[j] = smallest(row[j - 1] + 1, above + 1, change);
            corner = above;
        }
    }

    return row[width];
}

const char *str_nearest(const char *word, const char *const *words, size_t count)
{
    const char *nearest = NULL;
    size_t least = strlen(word) / 3 + 1;

    if (strlen(word) > WORD_MOST)
        return NULL;
    for (size_t i = 0; i < count; i++) {
        if (strlen(words[i]) > WORD_MOST)
            continue;

        size_t distance = edit_distance(word, words[i]);

        if (distance < least || (distance == least && !nearest)) {
            least = distance;
            nearest = words[i];
        }
    }

    return nearest;
}

char *str_show(struct arena *mem, const char *text, size_t most)
{
    struct buf buf = buf_new(mem);
    size_t length = strlen(text);

    for (size_t i = 0; i < length; i++) {
        unsigned char c = (unsigned char)text[i];

        if (i >= most && (c & 0xc0) != 0x80) {
            buf_add_text(&buf, "...");
            break;
        }
        if (c < 0x20 || c == 0x7f)
            buf_addf(&buf, "\\x%02x", c);
        else
            buf_add_char(&buf, (char)c);
    }

    return buf.data;
}
