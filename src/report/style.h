/*
 * Styles: the named looks of a workbook's cells. Ink on white, one accent, and a second colour
 * that only `outside` has, never without bold letters and a filled mark: everything reads the
 * same in black and white.
 */
#ifndef REPORT_STYLE_H
#define REPORT_STYLE_H

#include <stdbool.h>
#include <stdint.h>

enum style {
    STYLE_PLAIN,   /* no rule under it */
    STYLE_TITLE,   /* the page's name */
    STYLE_LEAD,    /* a line under the title */
    STYLE_MARK,    /* boxed: what must not be overlooked, as that a farm is invented */
    STYLE_SECTION, /* heads a part of a page */
    STYLE_HEADING, /* heads a column */
    STYLE_HEADING_RIGHT,
    STYLE_LABEL, /* what stands beside it */
    STYLE_FIELD, /* the value beside a label */
    STYLE_TEXT,  /* a cell of a table */
    STYLE_TEXT_STRONG,
    STYLE_CENTRE,
    STYLE_NUMBER,
    STYLE_NUMBER_STRONG,
    STYLE_MOMENT,   /* a date or time */
    STYLE_ONE_LINE, /* a text that shrinks rather than take a second line */
    STYLE_CAUTION,  /* boxed: what this shows and who decides */
    STYLE_SMALL,
    STYLE_LINE,       /* a rule to write on */
    STYLE_LINE_LABEL, /* what is to be written there */
    STYLE_COUNT,
};

enum style_align { ALIGN_LEFT, ALIGN_RIGHT, ALIGN_CENTRE };
enum style_rule { RULE_NONE, RULE_HAIR, RULE_THIN, RULE_ACCENT, RULE_BOX };

struct style_look {
    const char *name; /* as report.yaml says it */
    double size;      /* points */
    enum style_align align;
    enum style_rule rule;
    int indent; /* from the side it is aligned to */
    bool serif;
    bool bold;
    bool italic;
    bool wrap;
    bool at_bottom;
};

/* Colours, as RRGGBB. */
enum {
    COLOUR_INK = 0x1A1A1A,
    COLOUR_SOFT = 0x595959,
    COLOUR_RULE = 0xA6A6A6,
    COLOUR_ACCENT = 0x1F4E5F,
    COLOUR_OUTSIDE = 0x8E1B1B
};

extern const char style_serif[];
extern const char style_sans[];

const struct style_look *style_look(enum style style);
bool style_from_name(const char *name, enum style *out);

#endif
