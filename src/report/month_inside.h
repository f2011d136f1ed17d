/*
 * The inside of the monthly discharge workbook: one struct that its sheets are written from, and
 * where each limit's figures stand once they are written. Only for files of this folder.
 *
 * The order of writing is Readings, Daily, Limits, Month: each rests on cells of the one before.
 */
#ifndef REPORT_MONTH_INSIDE_H
#define REPORT_MONTH_INSIDE_H

#include "report/discharge_month.h"
#include "report/live.h"
#include "report/table.h"

enum month_sheet {
    SHEET_MONTH,
    SHEET_LIMITS,
    SHEET_CHARTS,
    SHEET_DAILY,
    SHEET_SET_ASIDE,
    SHEET_CORRECTIONS,
    SHEET_FINDINGS,
    SHEET_FILES,
    SHEET_HOW,
    SHEET_READINGS, /* last: it is by far the longest when everything is printed */
    SHEET_COUNT,
};

/* A run of rows of one sheet and the numbers in one of its columns. */
struct month_range {
    uint32_t first_row;
    uint32_t rows; /* 0: none */
    struct live_range live;
};

/* A cell that others refer to. */
struct month_cell {
    const char *reference; /* "'Limits'!$B$12"; NULL: not written */
    bool is_number;
    double number;
    const char *text;
    const char *format;
    char mark;    /* of a number: '<' in front of it, or '=' */
    int decimals; /* that it is shown with */
};

/* One limit's place in the workbook. */
struct month_limit {
    const struct verdict *verdict;
    const struct limit *limit;
    int decimals; /* shown of its readings, most of any of them */

    struct month_range values;         /* Readings: in the clause's unit */
    struct month_range used;           /* Readings: after the less-than rule, where it counts */
    struct month_range figures;        /* Daily */
    struct month_range concentrations; /* Daily: of the day's own readings */
    struct month_range volumes;        /* Daily */

    struct month_cell figure;
    struct month_cell compared;
    struct month_cell verdict_words;
    struct month_cell samples;
};

/* An item of a verdict and its reading. */
struct month_placed {
    const struct verdict_item *item;
    const struct evidence_reading *reading;
};

struct month_book {
    struct arena *mem;
    const struct discharge_month *month;
    const struct report_definition *definition;
    struct book *book;
    struct page *pages[SHEET_COUNT];
    const struct report_sheet *sheets[SHEET_COUNT];
    struct month_limit *limits;
    size_t limit_count;
    struct month_range discharge; /* Daily: the outlet's days, their states in words */
};

void month_write_readings(struct month_book *book);
/* Whether there are too many readings to print with the workbook: only their headings are. */
bool month_readings_stay_unprinted(const struct month_book *book);
void month_write_daily(struct month_book *book);
void month_write_limits(struct month_book *book);
void month_write_page(struct month_book *book);
/* The sections of the first page that follow its limits, from `row` on; the row after them. */
uint32_t month_write_sections(struct month_book *book, uint32_t row);
/* Its rows of what was outside. */
void month_write_outside(struct month_book *book, struct table *table);

void month_write_charts(struct month_book *book);
void month_write_set_aside(struct month_book *book);
void month_write_corrections(struct month_book *book);
void month_write_findings(struct month_book *book);
void month_write_files(struct month_book *book);
void month_write_how(struct month_book *book);

/* ---- words that several sheets use ---- */

/* A text of the definition; one that is missing is kept as ERR_BUG. */
const char *month_text(struct month_book *book, const char *key);

/* "Readings: Saltmarsh demo farm (INVENTED), March 2026", for the head of a sheet. */
const char *month_sheet_heading(struct month_book *book, enum month_sheet sheet);

/* The station's name, its position, and the authority's own name for it. */
const char *month_station(struct month_book *book, const char *station, const char *position);

/* The limit's name, with the days that it covers where those are not the whole month. */
const char *month_limit_name(struct month_book *book, const struct verdict *verdict);

/* "by the meter" or "by the flow", of what a limit on a volume is about; "" of any other. */
const char *month_measured_by(struct month_book *book, const struct limit *limit);

/*
 * How a figure of the limit is rounded where it is shown: by the limit's rule. A volume without
 * one is shown to a tenth, unless that would put it on its bound.
 */
struct rounding month_shown_rounding(struct month_book *book, const struct limit *limit,
                                     const struct exact *figure);

/* The items of a verdict by day, then by time, as they are written on Readings. */
const struct month_placed *month_place_items(struct month_book *book,
                                             const struct verdict *verdict);

/* "25 November 2026 18:05:09 by the farm's clocks (2026-11-25T17:05:09Z)" */
const char *month_made_words(struct month_book *book);

const char *month_parameter(struct month_book *book, const char *parameter);

/* Where a corrected value stands: its station; of a row set aside also its line and file. */
/* Whether one person alone took something inside, or to within, by it. */
bool month_moved_alone(const struct report_correction *row);

const char *month_correction_place(struct month_book *book, const struct report_correction *row);

/* Name of the file that a receipt kept. */
const char *month_file(struct month_book *book, int64_t receipt);

/* Where a row came from: its file with its sheet, and the line or the sheet's row. */
struct month_origin {
    const char *file;
    int32_t line;
};
struct month_origin month_origin(struct month_book *book, int64_t receipt, int32_t line);

/* A day, and an instant as the farm's clocks show it, as a date number. */
double month_day_number(day_number day);
double month_moment_number(const struct month_book *book, instant at);

/* Digits after the point in a text. */
int month_decimals(const char *text);

/* How less-thans and figures are treated, in a few words: "half; half up to 1 decimal". */
const char *month_less_than_words(struct month_book *book, const struct limit *limit);
const char *month_greater_than_words(struct month_book *book, const struct limit *limit);
const char *month_rounding_words(struct month_book *book, const struct limit *limit);

/* Whether the limit is on the word of a state, which is no number and has no unit. */
bool month_is_state(const struct limit *limit);

/* A choice of a limit: a label of the definition's texts, and the choice in words. */
struct month_choice {
    const char *label;
    const char *(*words)(struct month_book *book, const struct limit *limit);
    bool of_numbers; /* says nothing of a state */
};

extern const struct month_choice month_choices[];
extern const size_t month_choice_count;

/* "discharging", "no discharge", ...: by enum discharge_state. */
extern const char *const month_discharge_words[];

/*
 * Write a cell again by reference, on another sheet; a number has room after it up to `pad_to`
 * decimals.
 */
void month_show(struct table *table, const char *column, const struct month_cell *cell, int pad_to);

#endif
