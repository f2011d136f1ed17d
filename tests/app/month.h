/*
 * Months as they are judged, for tests: work one out and keep it, and ask what became of a clause.
 */
#ifndef TESTS_APP_MONTH_H
#define TESTS_APP_MONTH_H

#include "app/judge_month.h"
#include "base/str.h"
#include "harness/farm.h"

#define LAB "Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ\n"
#define WIDE "Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n"

static inline day_number day_of(const char *text)
{
    struct err err = ERR_INIT;
    day_number day = DAY_NONE;

    assert_done(day_parse(text, &day, &err), &err);

    return day;
}

/* Work the month of that day out, keep it, and give it back with how many findings are new. */
static inline struct judged_month month_kept(struct test_farm *farm, const char *day, int *opened)
{
    struct judged_month month;
    struct err err = ERR_INIT;
    int count = 0;

    assert_done(month_check(farm->db, farm->mem, &farm->open, day_of(day), farm->act.at, false,
                            &month, opened ? opened : &count, &err),
                &err);

    return month;
}

/* "within (20 mg/L, mean of 2 samples)" of each form of the clause that judged the month. */
static inline const char *standing_of(struct test_farm *farm, const char *day, const char *key)
{
    struct judged_month month = month_kept(farm, day, NULL);
    struct buf text = buf_new(farm->mem);

    for (size_t i = 0; i < month.verdicts.count; i++) {
        const struct verdict *verdict = &month.verdicts.items[i];

        if (!str_equal(verdict->limit->key, key))
            continue;
        buf_addf(&text, "%s%s", text.len ? "; " : "", verdict_standing_words(farm->mem, verdict));
        if (verdict->standing == STANDING_NOT_ASSESSABLE ||
            verdict->standing == STANDING_NOTHING_DUE)
            buf_addf(&text, " (%s)", verdict->reason);
    }

    return text.data;
}

#endif
