/*
 * Parts of a month's report: what the workbook's input needs beside verdicts.
 */
#ifndef APP_REPORT_PARTS_H
#define APP_REPORT_PARTS_H

#include "app/judge_month.h"
#include "report/discharge_month.h"

/* Days discharged and the volume of the month, from the licence's first discharge point. */
void report_discharge(struct arena *mem, const struct open_farm *farm,
                      const struct judged_month *month, struct discharge_month *into);

/* Files, rows set aside, corrections and findings of the month. */
MUST_CHECK bool report_lists(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                             const struct judged_month *month, instant now,
                             struct discharge_month *into, struct err *err);

/* Every figure shown, as JSON text for the record. */
char *report_figures(struct arena *mem, const struct discharge_month *month);

#endif
