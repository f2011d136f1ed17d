/* Flow from the head on a weir or in a flume. */
#include "base/buf.h"
#include "base/str.h"
#include "derive/equation_inside.h"
#include "measure/flume.h"
#include "measure/unseen.h"
#include "measure/weir.h"

enum { LEVEL, LEVEL_DOWNSTREAM };

/* 0 where it is not told. */
static double or_0(double number)
{
    return isnan(number) ? 0 : number;
}

static double head_of(const struct equation_call *call, int input)
{
    return call->number[input] - setting_number(call, SETTING_ZERO_AT);
}

/*
 * Water that stands at the crest or under it does not flow, and no equation is needed. As far under
 * it as the highest head that the equation holds for: a level lower still is rather a probe's
 * fault.
 */
static bool stands_still(double head_m, const struct head_range *range)
{
    static const double slack_m = 1e-9; /* what a subtraction in feet may leave */

    return head_m <= slack_m && head_m >= -range->highest_m;
}

/* --- weirs ----------------------------------------------------------------------------------- */

static struct weir weir_as_built(const struct equation_call *call, enum weir_equation equation)
{
    double angle = weir_row(equation)->angle_deg;

    return (struct weir){.equation = equation,
                         .angle_deg =
                             angle > 0 ? angle : or_0(setting_number(call, SETTING_NOTCH_ANGLE)),
                         .crest_m = or_0(setting_number(call, SETTING_CREST)),
                         .crest_height_m = or_0(setting_number(call, SETTING_CREST_HEIGHT)),
                         .coefficient = or_0(setting_number(call, SETTING_COEFFICIENT)),
                         .head_extra_m = or_0(setting_number(call, SETTING_HEAD_ADDED))};
}

static bool weir_check(const struct equation_call *call, enum weir_equation equation,
                       struct err *err)
{
    struct weir weir = weir_as_built(call, equation);
    struct head_range range;

    if (settings_told(call->settings, SETTING_COEFFICIENT) !=
        settings_told(call->settings, SETTING_HEAD_ADDED)) {
        err_set(err, ERR_INVALID, "`coefficient` and `head added` belong together");
        return err_hint(err, "Give both as the weir was rated, or neither.");
    }

    return weir_head_range(&weir, &range, err);
}

static bool weir_give(const struct equation_call *call, enum weir_equation equation,
                      const struct exact **out, struct err *err)
{
    struct weir weir = weir_as_built(call, equation);
    struct head_range range;
    double value = 0;

    if (!weir_head_range(&weir, &range, err))
        return false;
    if (stands_still(head_of(call, LEVEL), &range))
        return give(call, 0, out, err);

    return weir_flow(&weir, head_of(call, LEVEL), &value, err) && give(call, value, out, err);
}

static char *weir_words(const struct equation_call *call, enum weir_equation equation)
{
    const struct weir_row *row = weir_row(equation);
    struct weir weir = weir_as_built(call, equation);
    struct buf words = buf_new(call->mem);

    buf_addf(&words, "flow by %s, %s", row->word, row->formula);
    if (row->needs & WEIR_NEEDS_ANGLE)
        buf_addf(&words, ", notch %.6g degrees", weir.angle_deg);
    if (row->needs & WEIR_NEEDS_CREST)
        buf_addf(&words, ", crest %.6g m", weir.crest_m);
    if (row->needs & WEIR_NEEDS_CREST_HEIGHT)
        buf_addf(&words, ", %.6g m above the floor", weir.crest_height_m);
    if (weir.coefficient > 0)
        buf_addf(&words, ", coefficient %.6g and %.6g m added to the head", weir.coefficient,
                 weir.head_extra_m);
    buf_addf(&words, "; %s", row->source);

    return words.data;
}

/* The table asks for a function a row; they differ in nothing but the equation. */
#define WEIR_FUNCTIONS(name, equation)                                                             \
    static bool check_##name(const struct equation_call *call, struct err *err)                    \
    {                                                                                              \
        return weir_check(call, equation, err);                                                    \
    }                                                                                              \
    static bool flow_##name(const struct equation_call *call, const struct exact **out,            \
                            struct err *err)                                                       \
    {                                                                                              \
        return weir_give(call, equation, out, err);                                                \
    }                                                                                              \
    static char *words_##name(const struct equation_call *call)                                    \
    {                                                                                              \
        return weir_words(call, equation);                                                         \
    }

WEIR_FUNCTIONS(shen, WEIR_V_KINDSVATER_SHEN)
WEIR_FUNCTIONS(notch_iso, WEIR_V_ISO_1438)
WEIR_FUNCTIONS(cone, WEIR_V_90_CONE)
WEIR_FUNCTIONS(table_60, WEIR_V_60_TABLE)
WEIR_FUNCTIONS(table_45, WEIR_V_45_TABLE)
WEIR_FUNCTIONS(contracted, WEIR_RECTANGULAR_CONTRACTED)
WEIR_FUNCTIONS(suppressed, WEIR_RECTANGULAR_SUPPRESSED)
WEIR_FUNCTIONS(crest_height, WEIR_RECTANGULAR_CREST_HEIGHT)
WEIR_FUNCTIONS(rectangular_iso, WEIR_RECTANGULAR_ISO_1438)
WEIR_FUNCTIONS(cipolletti, WEIR_CIPOLLETTI)

/* --- flumes ---------------------------------------------------------------------------------- */

static bool flume_check(const struct equation_call *call, struct err *err)
{
    enum flume_size size = FLUME_1_IN;

    return flume_size_named(setting_word(call, SETTING_THROAT), &size, err);
}

static bool flume_free(const struct equation_call *call, enum flume_size size, struct err *err)
{
    bool submerged = false;

    if (isnan(call->number[LEVEL_DOWNSTREAM]))
        return true;
    if (!flume_is_submerged(size, head_of(call, LEVEL), head_of(call, LEVEL_DOWNSTREAM), &submerged,
                            err))
        return false;
    if (submerged)
        return err_set(err, ERR_INVALID,
                       "the water downstream stands at %.3g m, and the flow is free only below "
                       "%.0f %% of the head of %.3g m",
                       head_of(call, LEVEL_DOWNSTREAM), 100 * flume_row(size)->submergence,
                       head_of(call, LEVEL));

    return true;
}

static bool flume_give(const struct equation_call *call, enum flume_family family,
                       const struct exact **out, struct err *err)
{
    enum flume_size size = FLUME_1_IN;
    double value = 0;

    if (!flume_size_named(setting_word(call, SETTING_THROAT), &size, err))
        return false;
    if (stands_still(head_of(call, LEVEL), &flume_row(size)->range) &&
        !(call->number[LEVEL_DOWNSTREAM] > setting_number(call, SETTING_ZERO_AT)))
        return give(call, 0, out, err);

    return flume_flow(size, family, head_of(call, LEVEL), &value, err) &&
           flume_free(call, size, err) && give(call, value, out, err);
}

static bool flume_english(const struct equation_call *call, const struct exact **out,
                          struct err *err)
{
    return flume_give(call, FLUME_ENGLISH, out, err);
}

static bool flume_si(const struct equation_call *call, const struct exact **out, struct err *err)
{
    return flume_give(call, FLUME_SI, out, err);
}

static char *flume_words(const struct equation_call *call, enum flume_family family)
{
    enum flume_size size = FLUME_1_IN;
    struct err ignored = ERR_INIT;

    if (!flume_size_named(setting_word(call, SETTING_THROAT), &size, &ignored))
        return arena_strdup(call->mem, "flow through a Parshall flume");

    struct flume_power power = flume_power(size, family);

    return arena_printf(call->mem,
                        "free flow through a Parshall flume of %s, %.6g h^%.6g in %s; ISO 9826, "
                        "ASTM D1941 (numbers of Parshall 1936 and Bos 1989, " UNSEEN_BOTH ")",
                        flume_row(size)->word, power.coefficient, power.exponent,
                        family == FLUME_SI ? "m and m3/s" : "ft and ft3/s");
}

static char *flume_english_words(const struct equation_call *call)
{
    return flume_words(call, FLUME_ENGLISH);
}

static char *flume_si_words(const struct equation_call *call)
{
    return flume_words(call, FLUME_SI);
}

/* --- the table ------------------------------------------------------------------------------- */

#define LEVEL_IN                                                                                   \
    {                                                                                              \
        .as = "level", .unit = "m", .keys = {"level"}, .direction = RISES                          \
    }
#define LEVEL_DOWNSTREAM_IN                                                                        \
    {                                                                                              \
        .as = "level downstream", .unit = "m", .optional = true                                    \
    }

#define ANGLE SETTING_BIT(SETTING_NOTCH_ANGLE)
#define CREST SETTING_BIT(SETTING_CREST)
#define CREST_HEIGHT SETTING_BIT(SETTING_CREST_HEIGHT)
#define RATED (SETTING_BIT(SETTING_COEFFICIENT) | SETTING_BIT(SETTING_HEAD_ADDED))

#define WEIR_ROW(equation_word, about, settings, beside, holds, functions)                         \
    {                                                                                              \
        .word = (equation_word), .name = (about), .source = "as the words of the weir say",        \
        .range = (holds), .unit = "m3/s", .figures = 5,                                            \
        .needs = SETTING_BIT(SETTING_ZERO_AT) | (settings), .takes = (beside),                     \
        .inputs = {LEVEL_IN}, .check = check_##functions, .work_out = flow_##functions,            \
        .words = words_##functions                                                                 \
    }

static const struct equation rows[] = {
    WEIR_ROW("v-notch-kindsvater-shen", "flow over a V-notch, Kindsvater and Shen", ANGLE, RATED,
             "head 0.2 to 1.25 ft, 25 to 100 degrees", shen),
    WEIR_ROW("v-notch-iso-1438", "flow over a V-notch, ISO 1438", ANGLE, RATED,
             "head 0.06 to 0.381 m", notch_iso),
    WEIR_ROW("v-notch-90-cone", "flow over a V-notch of 90 degrees, Cone", 0, 0,
             "head 0.2 to 1.25 ft", cone),
    WEIR_ROW("v-notch-60-table", "flow over a V-notch of 60 degrees, printed table", 0, 0,
             "head 0.2 to 1.25 ft", table_60),
    WEIR_ROW("v-notch-45-table", "flow over a V-notch of 45 degrees, printed table", 0, 0,
             "head 0.2 to 1.25 ft", table_45),
    WEIR_ROW("rectangular-contracted", "flow over a rectangular weir with end contractions", CREST,
             0, "head 0.2 ft to a third of the crest", contracted),
    WEIR_ROW("rectangular-suppressed", "flow over a rectangular weir without end contractions",
             CREST, 0, "head 0.2 ft to a third of the crest", suppressed),
    WEIR_ROW("rectangular-crest-height", "flow over a rectangular weir, by its crest's height",
             CREST | CREST_HEIGHT, 0, "head 0.2 ft to a third of the crest", crest_height),
    WEIR_ROW("rectangular-iso-1438", "flow over a rectangular weir of full width, ISO 1438",
             CREST | CREST_HEIGHT, 0, "head 0.03 m to 2.5 times the crest's height",
             rectangular_iso),
    WEIR_ROW("cipolletti", "flow over a Cipolletti weir", CREST, 0,
             "head 0.2 ft to a third of the crest", cipolletti),
    {.word = "parshall-english",
     .name = "free flow through a Parshall flume, feet",
     .source = "ISO 9826, ASTM D1941",
     .range = "the flume's own heads, free flow",
     .unit = "m3/s",
     .figures = 5,
     .needs = SETTING_BIT(SETTING_ZERO_AT) | SETTING_BIT(SETTING_THROAT),
     .inputs = {LEVEL_IN, LEVEL_DOWNSTREAM_IN},
     .check = flume_check,
     .work_out = flume_english,
     .words = flume_english_words},
    {.word = "parshall-si",
     .name = "free flow through a Parshall flume, metres",
     .source = "ISO 9826, ASTM D1941",
     .range = "the flume's own heads, free flow",
     .unit = "m3/s",
     .figures = 5,
     .needs = SETTING_BIT(SETTING_ZERO_AT) | SETTING_BIT(SETTING_THROAT),
     .inputs = {LEVEL_IN, LEVEL_DOWNSTREAM_IN},
     .check = flume_check,
     .work_out = flume_si,
     .words = flume_si_words},
};

const struct equation_family equations_flow = {rows, ARRAY_LEN(rows)};
