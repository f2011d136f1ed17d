/*
 * Chart: values over time as ink on paper, with bounds ruled across. What a rule is stands at its
 * end; only series with a name are told in a legend, and without one there is none. Where cells
 * are empty a line stays open.
 */
#ifndef REPORT_CHART_H
#define REPORT_CHART_H

#include "report/workbook.h"

enum chart_look {
    CHART_LINE,    /* a line with small circles: one figure a day */
    CHART_POINTS,  /* crosses: samples */
    CHART_DOTS,    /* small dots: a probe's many readings */
    CHART_BEYOND,  /* filled circles: values beyond a bound */
    CHART_LESS,    /* grey diamonds: a less-than, at the number it is less than */
    CHART_GREATER, /* grey triangles: a greater-than, likewise */
    CHART_RULE,    /* a bound from edge to edge, in three points: its label is over the second */
};

struct chart_series {
    enum chart_look look;
    const char *times; /* ranges without "=": "'Daily'!$B$5:$B$35" */
    const char *values;
    const char *label; /* of a rule; NULL none */
    const char *name;  /* in the legend; NULL: not there */
};

struct chart {
    const char *title;
    const char *unit;
    double from; /* date numbers of the edges */
    double until;
    const struct chart_series *series;
    size_t count;
    const char *words; /* what it shows, for who can't see it */
};

enum { CHART_WIDTH_PX = 630, CHART_HEIGHT_PX = 262 };

void page_chart(struct page *page, uint32_t row, uint32_t column, const struct chart *chart);

#endif
