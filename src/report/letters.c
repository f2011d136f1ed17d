#include "report/letters.h"

#include <math.h>
#include <string.h>

#include "base/macro.h"
#include "base/str.h"

enum { FIRST = ' ', OTHER_WIDTH = 667, WIDE_WIDTH = 1000 };

/*
 * Advance widths of the printable characters of ASCII: Helvetica's, from the font metrics that
 * Adobe published for the 14 core fonts of PostScript (from memory; the tests compare them with
 * an installed face). Bold letters are wider by a tenth at most, on average.
 */
static const unsigned short widths[] = {
    278,  278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, /* to / */
    556,  556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, /* to ? */
    1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778, /* to O */
    667,  778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, /* to _ */
    333,  556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, /* to o */
    556,  556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,      /* to ~ */
};

static const double bold_share = 1.1;

/* A column's width counts digits of the default letters, 7 pixels each; 96 pixels are an inch. */
static const double column_pixels = 7;
static const double edge_pixels = 2;
static const double indent_pixels = 9;
static const double pixels_per_point = 96.0 / 72.0;

/* Programs and printers differ by this much. */
static const double room_share = 0.96;

double letters_width(const char *text, size_t length, bool bold)
{
    double width = 0;

    for (size_t i = 0; i < length; i++) {
        unsigned char byte = (unsigned char)text[i];

        if (byte >= FIRST && byte < FIRST + ARRAY_LEN(widths))
            width += widths[byte - FIRST];
        else if (byte >= 0xE1) /* the first byte of a character from U+1000 on */
            width += WIDE_WIDTH;
        else if (byte >= 0xC0)
            width += OTHER_WIDTH;
    }

    return bold ? width * bold_share : width;
}

int letters_lines(const char *text, double columns, enum style style)
{
    const struct style_look *look = style_look(style);
    double pixels = columns * column_pixels - edge_pixels - look->indent * indent_pixels;
    double room = pixels * room_share / (look->size * pixels_per_point) * 1000;
    double blank = letters_width(" ", 1, look->bold);
    double used = 0;
    int lines = 1;

    if (str_empty(text) || room <= 0)
        return 1;
    while (*text) {
        size_t length = strcspn(text, " \n");
        double word = letters_width(text, length, look->bold);

        if (used > 0 && used + word > room) {
            lines++;
            used = 0;
        }
        used += word;
        if (used > room) {
            double more = floor(used / room);

            lines += (int)more;
            used -= more * room;
        }
        text += length;
        if (*text == '\n') {
            lines++;
            used = 0;
        } else if (*text) {
            used += blank;
        }
        text += *text ? 1 : 0;
    }

    return lines;
}
