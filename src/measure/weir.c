#include "measure/weir.h"

#include <math.h>

#include "base/str.h"
#include "measure/input_range.h"
#include "measure/unseen.h"

#define FT HEAD_M_PER_FT
#define FT3 (FT * FT * FT)
#define DEGREE (3.14159265358979323846 / 180)
#define G_M_PER_S2 9.80665
#define USBR_LOWEST_M (0.2 * FT)
#define USBR_HIGHEST_M (1.25 * FT)

/* One equation: what is published of it, and how it is worked out. */
struct weir_kind {
    struct weir_row row;
    double (*flow)(const struct weir *weir, double head_m);
    struct head_range range; /* highest 0 where the crest or its height sets it ... */
    double heads_per_crest;  /* ... at this share of the crest's length */
    double heads_per_height; /* ... or of its height */
};

static double tan_half(const struct weir *weir)
{
    return tan(weir->angle_deg * DEGREE / 2);
}

static double kindsvater_shen(const struct weir *weir, double head_m)
{
    double h_ft = (head_m + weir->head_extra_m) / FT;

    return 4.28 * weir->coefficient * tan_half(weir) * pow(h_ft, 2.5) * FT3;
}

static double notch_iso(const struct weir *weir, double head_m)
{
    return weir->coefficient * (8.0 / 15) * sqrt(2 * G_M_PER_S2) * tan_half(weir) *
           pow(head_m + weir->head_extra_m, 2.5);
}

static double cone(const struct weir *weir, double head_m)
{
    (void)weir;

    return 2.49 * pow(head_m / FT, 2.48) * FT3;
}

static double table_60(const struct weir *weir, double head_m)
{
    (void)weir;

    return 1.443 * pow(head_m / FT, 2.5) * FT3;
}

static double table_45(const struct weir *weir, double head_m)
{
    (void)weir;

    return 1.035 * pow(head_m / FT, 2.5) * FT3;
}

/* c x length x H^1.5, the shape of all rectangular forms in feet. */
static double by_crest(double coefficient, double length_ft, double head_ft)
{
    return coefficient * length_ft * pow(head_ft, 1.5) * FT3;
}

static double contracted(const struct weir *weir, double head_m)
{
    return by_crest(3.33, weir->crest_m / FT - 0.2 * head_m / FT, head_m / FT);
}

static double suppressed(const struct weir *weir, double head_m)
{
    return by_crest(3.33, weir->crest_m / FT, head_m / FT);
}

static double crest_height(const struct weir *weir, double head_m)
{
    return by_crest(3.27 + 0.40 * head_m / weir->crest_height_m,
                    weir->crest_m / FT - 0.2 * head_m / FT, head_m / FT);
}

static double rectangular_iso(const struct weir *weir, double head_m)
{
    return (0.602 + 0.075 * head_m / weir->crest_height_m) * (2.0 / 3) * sqrt(2 * G_M_PER_S2) *
           (weir->crest_m - 0.0009) * pow(head_m + 0.001, 1.5);
}

static double cipolletti(const struct weir *weir, double head_m)
{
    return by_crest(3.367, weir->crest_m / FT, head_m / FT);
}

#define NOTCH_RANGE                                                                                \
    {                                                                                              \
        USBR_LOWEST_M, USBR_HIGHEST_M, "USBR, Water Measurement Manual, ch. 7, 0.2 to 1.25 ft"     \
    }
#define CREST_RANGE                                                                                \
    {                                                                                              \
        USBR_LOWEST_M, 0, "from 0.2 ft to a third of the crest's length (USBR, " UNSEEN ")"        \
    }
#define TABLE_SOURCE "printed discharge tables that cite ASTM D5242-92 (2001)"
#define CREST_NEEDED WEIR_NEEDS_CREST
#define BOTH_NEEDED (WEIR_NEEDS_CREST | WEIR_NEEDS_CREST_HEIGHT)

static const struct weir_kind kinds[WEIR_EQUATION_COUNT] = {
    [WEIR_V_KINDSVATER_SHEN] = {{"v-notch-kindsvater-shen",
                                 "4.28 Ce tan(angle/2) (H + kh)^2.5, ft and ft3/s",
                                 "USBR, Water Measurement Manual, ch. 7 s. 7 eq. 7-3",
                                 WEIR_NEEDS_ANGLE, 0},
                                kindsvater_shen,
                                NOTCH_RANGE,
                                0,
                                0},
    [WEIR_V_ISO_1438] = {{"v-notch-iso-1438",
                          "Ce 8/15 sqrt(2g) tan(angle/2) (h + kh)^2.5, m and m3/s",
                          "ISO 1438, " UNSEEN, WEIR_NEEDS_ANGLE, 0},
                         notch_iso,
                         {0.06, 0.381, "ISO 1438, " UNSEEN},
                         0,
                         0},
    [WEIR_V_90_CONE] = {{"v-notch-90-cone", "2.49 H^2.48, ft and ft3/s",
                         "USBR, Water Measurement Manual, ch. 7", 0, 90},
                        cone,
                        NOTCH_RANGE,
                        0,
                        0},
    [WEIR_V_60_TABLE] = {{"v-notch-60-table", "1.443 H^2.5, ft and ft3/s", TABLE_SOURCE, 0, 60},
                         table_60,
                         NOTCH_RANGE,
                         0,
                         0},
    [WEIR_V_45_TABLE] = {{"v-notch-45-table", "1.035 H^2.5, ft and ft3/s", TABLE_SOURCE, 0, 45},
                         table_45,
                         NOTCH_RANGE,
                         0,
                         0},
    [WEIR_RECTANGULAR_CONTRACTED] = {{"rectangular-contracted",
                                      "3.33 (L - 0.2 H) H^1.5, ft and ft3/s", "Francis, " UNSEEN,
                                      CREST_NEEDED, 0},
                                     contracted,
                                     CREST_RANGE,
                                     1.0 / 3,
                                     0},
    [WEIR_RECTANGULAR_SUPPRESSED] = {{"rectangular-suppressed", "3.33 L H^1.5, ft and ft3/s",
                                      "Francis, " UNSEEN, CREST_NEEDED, 0},
                                     suppressed,
                                     CREST_RANGE,
                                     1.0 / 3,
                                     0},
    [WEIR_RECTANGULAR_CREST_HEIGHT] =
        {{"rectangular-crest-height", "(3.27 + 0.40 H/P) (L - 0.2 H) H^1.5, ft and ft3/s",
          "a city stormwater design manual, fig. 3.2.13, eq. 6, December 2014", BOTH_NEEDED, 0},
         crest_height,
         CREST_RANGE,
         1.0 / 3,
         0},
    [WEIR_RECTANGULAR_ISO_1438] =
        {{"rectangular-iso-1438",
          "(0.602 + 0.075 h/p) 2/3 sqrt(2g) (b - 0.0009) (h + 0.001)^1.5, m and m3/s",
          "ISO 1438, " UNSEEN, BOTH_NEEDED, 0},
         rectangular_iso,
         {0.03, 0, "from 0.03 m to 2.5 times the crest's height (ISO 1438, " UNSEEN ")"},
         0,
         2.5},
    [WEIR_CIPOLLETTI] = {{"cipolletti", "3.367 L H^1.5, ft and ft3/s", "Cipolletti, " UNSEEN,
                          CREST_NEEDED, 0},
                         cipolletti,
                         CREST_RANGE,
                         1.0 / 3,
                         0},
};

const struct weir_row *weir_row(enum weir_equation equation)
{
    return &kinds[equation].row;
}

bool weir_equation_named(const char *word, enum weir_equation *out, struct err *err)
{
    for (int i = 0; i < WEIR_EQUATION_COUNT; i++)
        if (str_equal(kinds[i].row.word, word)) {
            *out = (enum weir_equation)i;
            return true;
        }

    return err_set(err, ERR_NOT_FOUND, "no weir equation is called %s", word);
}

bool weir_notch_fit(double angle_deg, double *coefficient, double *head_extra_m, struct err *err)
{
    double a = angle_deg;

    if (!input_within("notch angle", angle_deg, 25, 100, "degrees", err))
        return false;

    *coefficient = 0.607165052 - 0.000874466963 * a + 6.10393334e-6 * a * a;
    *head_extra_m =
        FT * (0.0144902648 - 0.00033955535 * a + 3.29819003e-6 * a * a - 1.06215442e-8 * a * a * a);

    return true;
}

/* Ce and kh of a notch for which none were stated. */
static bool own_coefficients(struct weir *weir, struct err *err)
{
    bool right_angle = weir->angle_deg == 90;

    if (weir->equation == WEIR_V_ISO_1438 && !right_angle) {
        err_set(err, ERR_INVALID,
                "notch angle is %.6g degrees: %s knows its own Ce and kh at 90 degrees only",
                weir->angle_deg, kinds[weir->equation].row.word);
        return err_hint(err, "State Ce and kh of this notch.");
    }

    if (!right_angle)
        return weir_notch_fit(weir->angle_deg, &weir->coefficient, &weir->head_extra_m, err);

    weir->coefficient = 0.578;
    weir->head_extra_m = weir->equation == WEIR_V_ISO_1438 ? 0.00085 : 0.0029 * FT;

    return true;
}

/* A notch's angle, Ce and kh, checked and filled in. */
static bool settle_notch(struct weir *weir, struct err *err)
{
    if (!input_within("notch angle", weir->angle_deg, 25, 100, "degrees", err))
        return false;

    if (weir->coefficient == 0)
        return own_coefficients(weir, err);

    return input_within("Ce", weir->coefficient, 0.5, 0.7, "(no unit)", err) &&
           input_within("kh", weir->head_extra_m, 0, 0.005, "m", err);
}

/* The weir with everything its equation needs, and the heads it holds for. */
static bool settle(struct weir *weir, struct head_range *range, struct err *err)
{
    const struct weir_kind *kind = &kinds[weir->equation];
    bool iso = weir->equation == WEIR_RECTANGULAR_ISO_1438;

    if ((kind->row.needs & WEIR_NEEDS_ANGLE) && !settle_notch(weir, err))
        return false;
    if ((kind->row.needs & WEIR_NEEDS_CREST) &&
        !input_within("crest length", weir->crest_m, iso ? 0.15 : 3 * USBR_LOWEST_M, 100, "m", err))
        return false;
    if ((kind->row.needs & WEIR_NEEDS_CREST_HEIGHT) &&
        !input_within("crest height", weir->crest_height_m, iso ? 0.1 : 0.01, 100, "m", err))
        return false;

    *range = kind->range;
    if (kind->heads_per_crest > 0)
        range->highest_m = kind->heads_per_crest * weir->crest_m;
    if (kind->heads_per_height > 0)
        range->highest_m = kind->heads_per_height * weir->crest_height_m;

    return true;
}

bool weir_head_range(const struct weir *weir, struct head_range *out, struct err *err)
{
    struct weir settled = *weir;

    return settle(&settled, out, err);
}

bool weir_flow(const struct weir *weir, double head_m, double *m3_per_s, struct err *err)
{
    const struct weir_kind *kind = &kinds[weir->equation];
    struct weir settled = *weir;
    struct head_range range;

    if (!settle(&settled, &range, err) || !head_range_require(&range, kind->row.word, head_m, err))
        return false;

    *m3_per_s = kind->flow(&settled, head_m);

    return true;
}

bool weir_flow_flagged(const struct weir *weir, double head_m, double *m3_per_s, bool *inside,
                       struct err *err)
{
    struct weir settled = *weir;
    struct head_range range;

    if (!settle(&settled, &range, err) || !input_not_negative("head", head_m, "m", err))
        return false;

    *inside = head_range_holds(&range, head_m);
    *m3_per_s = head_m > 0 ? kinds[weir->equation].flow(&settled, head_m) : 0;

    return true;
}

bool weir_head_for_flow(const struct weir *weir, double m3_per_s, double *head_m, struct err *err)
{
    const struct weir_kind *kind = &kinds[weir->equation];
    struct weir settled = *weir;
    struct head_range range;

    if (!settle(&settled, &range, err))
        return false;

    double low = range.lowest_m;
    double high = range.highest_m;

    if (!input_within("flow", m3_per_s, kind->flow(&settled, low), kind->flow(&settled, high),
                      "m3/s", err))
        return err_wrap(err, "%s", kind->row.word);

    /* Every form rises with the head throughout its range. */
    for (int i = 0; i < 100; i++) {
        double middle = low + (high - low) / 2;

        if (kind->flow(&settled, middle) < m3_per_s)
            low = middle;
        else
            high = middle;
    }
    *head_m = low + (high - low) / 2;

    return true;
}
