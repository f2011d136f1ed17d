/*
 * The monthly discharge report: work the month out, write the workbook, keep its digest and every
 * figure it shows.
 */
#ifndef APP_REPORT_MONTH_H
#define APP_REPORT_MONTH_H

#include "app/judge_month.h"
#include "base/crypto.h"

struct month_report {
    struct judged_month month;
    struct digest digest;
    const char *licence;
    bool replaced; /* a file of that name was there before */
};

/*
 * `licence` may be NULL when the farm has one. The workbook at `path` replaces an older one.
 *
 * ERR_INVALID: several licences and none named. ERR_NOT_FOUND: no such licence.
 */
MUST_CHECK bool month_report_make(struct db *db, struct arena *mem, const struct open_farm *farm,
                                  const char *licence, day_number month, const char *path,
                                  const struct act *act, struct month_report *out,
                                  struct err *err);

/* The version of this program, as records and workbooks name it. */
const char *program_version(void);

#endif
