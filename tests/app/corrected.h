/*
 * A farm with two samples of May, and corrections of the first of them.
 */
#ifndef TESTS_APP_CORRECTED_H
#define TESTS_APP_CORRECTED_H

#include "app/correct.h"
#include "app/month.h"

static const struct reading_ref on_may_4 = {
    .station = "outlet", .parameter = "suspended-solids", .at = 1777885200 * SECOND_US};

static void samples_take(struct test_farm *farm)
{
    test_take(farm, "laboratory", "may.csv",
              LAB "S1,,,Out,2026-05-04 09:00,TSS,44,mg/L,,\n"
                  "S2,,,Out,2026-05-18 09:00,TSS,14,mg/L,,\n");
}

static bool correct(struct test_farm *farm, const struct reading_ref *ref, const char *kind,
                    const char *value, struct correction_done *done, struct err *err)
{
    struct correction_order order = {.kind = kind, .value = value, .reason = "misread"};

    return reading_correct(farm->db, farm->mem, &farm->open, ref, &order, &farm->act, done, err);
}

static void corrected(struct test_farm *farm, const char *kind, const char *value)
{
    struct correction_done done = {0};
    struct err err = ERR_INIT;

    assert_done(correct(farm, &on_may_4, kind, value, &done, &err), &err);
}

#endif
