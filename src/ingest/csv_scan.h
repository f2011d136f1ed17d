/*
 * CSV scan: finding the cells of one row, or the end of one line, in text that may go on later.
 * Nothing in the text is changed.
 */
#ifndef INGEST_CSV_SCAN_H
#define INGEST_CSV_SCAN_H

#include "ingest/csv.h"

/* The cells found, and what is needed to find them. */
struct csv_cells {
    struct arena *mem;
    char separator;
    bool stops[256];   /* what ends a cell that is not quoted */
    size_t side_bytes; /* the longest text a scan may see */
    char *side;        /* quoted cells without their doubled quotes; NULL until there is one */
    struct csv_cell items[CSV_COLUMNS_MOST];
    const char *begins[CSV_COLUMNS_MOST]; /* where each stands in the file, wherever its text is */
};

/* Where the scan of one row is. */
struct scan {
    char *at;
    char *end;
    bool last;        /* nothing comes after `end` */
    char *line_start; /* of the line that `at` is in */
    int32_t line;
    size_t cells;
    size_t side_count;
    enum csv_fault fault;
    int32_t fault_line;
    int32_t fault_place;
};

enum scanned { SCANNED, SCAN_MORE, SCAN_FAULT };

void csv_cells_set_separator(struct csv_cells *cells, char separator);

/* Find the cells of the row at scan->at and step over its line end. */
enum scanned csv_scan_row(struct csv_cells *cells, struct scan *scan);

/* Step over the line at scan->at: its length without the line end in *length. */
enum scanned csv_scan_line(struct scan *scan, size_t *length);

/* The first CR or LF, or NULL. */
char *csv_line_end_find(char *from, const char *end);

/* Note a fault at a place of a line. Always SCAN_FAULT. */
enum scanned csv_scan_fault(struct scan *scan, enum csv_fault fault, int32_t line, const char *at,
                            const char *line_start);

#endif
