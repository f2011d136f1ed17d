#include "measure/flume.h"
#include "measure/head_range.h"
#include "measure/unseen.h"
#include "measure/weir.h"
#include "quantity/quantity_inside.h"

/* --- words ----------------------------------------------------------------------------------- */

/* Weir equations from `first` up to `end`. */
static const char *weir_word(size_t first, size_t end, size_t position, const char **means)
{
    if (first + position >= end)
        return NULL;

    const struct weir_row *row = weir_row((enum weir_equation)(first + position));

    if (means)
        *means = row->formula;

    return row->word;
}

static const char *notch_word(size_t position, const char **means)
{
    return weir_word(WEIR_V_KINDSVATER_SHEN, WEIR_RECTANGULAR_CONTRACTED, position, means);
}

static const char *rectangular_word(size_t position, const char **means)
{
    return weir_word(WEIR_RECTANGULAR_CONTRACTED, WEIR_CIPOLLETTI, position, means);
}

static const char *any_weir_word(size_t position, const char **means)
{
    return weir_word(0, WEIR_EQUATION_COUNT, position, means);
}

static const char *flume_word(size_t position, const char **means)
{
    if (position >= FLUME_SIZE_COUNT)
        return NULL;
    if (means)
        *means = NULL;

    return flume_row((enum flume_size)position)->word;
}

static const char *flume_family_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [FLUME_ENGLISH] = {"english", "coefficients in feet"},
        [FLUME_SI] = {"si", "coefficients in metres"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

/* --- weirs ----------------------------------------------------------------------------------- */

/* The weir as asked; ERR_INVALID: its equation needs a size that was not given. */
static bool weir_of(const struct quantity_asked *asked, enum weir_equation equation,
                    struct weir *out, struct err *err)
{
    static const struct {
        unsigned needs;
        const char *input;
    } sizes[] = {{WEIR_NEEDS_ANGLE, "angle"},
                 {WEIR_NEEDS_CREST, "crest"},
                 {WEIR_NEEDS_CREST_HEIGHT, "crest-height"}};
    const struct weir_row *row = weir_row(equation);
    double given[ARRAY_LEN(sizes)] = {0};

    for (size_t i = 0; i < ARRAY_LEN(sizes); i++) {
        if (!(row->needs & sizes[i].needs))
            continue;
        if (!asked_there(asked, sizes[i].input)) {
            err_set(err, ERR_INVALID, "the %s is missing, which %s needs", sizes[i].input,
                    row->word);
            return err_hint(err, "Write %s=NUMBER.", sizes[i].input);
        }
        given[i] = asked_number(asked, sizes[i].input);
    }
    *out = (struct weir){.equation = equation,
                         .angle_deg = given[0],
                         .crest_m = given[1],
                         .crest_height_m = given[2]};

    return true;
}

static void tell_weir(struct arena *mem, const struct weir *weir, struct quantity_answer *answer)
{
    const struct weir_row *row = weir_row(weir->equation);
    struct head_range range = {0};
    struct err unsaid = ERR_INIT;

    answer->equation = arena_printf(mem, "%s: %s", row->word, row->formula);
    answer->source = row->source;
    if (weir_head_range(weir, &range, &unsaid))
        answer->range = arena_printf(mem, "head %.4g to %.4g m: %s", range.lowest_m,
                                     range.highest_m, range.why);
}

static bool over_weir(struct arena *mem, const struct quantity_asked *asked,
                      const struct weir *weir, struct quantity_answer *answer, struct err *err)
{
    double m3_per_s = 0;

    tell_weir(mem, weir, answer);
    if (!weir_flow(weir, asked_number(asked, "head"), &m3_per_s, err))
        return false;
    answer->figures[0] = value_of(m3_per_s);

    return true;
}

static bool over_notch(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    struct weir weir = {0};

    if (!weir_of(asked, (enum weir_equation)asked_word(asked, "equation"), &weir, err))
        return false;
    if (asked_there(asked, "head-correction") && !asked_there(asked, "coefficient")) {
        err_set(err, ERR_INVALID,
                "head-correction belongs to a coefficient of the weir's own, and there is none");
        return err_hint(err, "Either give coefficient too, or leave the equation its own.");
    }
    if (asked_there(asked, "coefficient")) {
        weir.coefficient = asked_number(asked, "coefficient");
        weir.head_extra_m =
            asked_there(asked, "head-correction") ? asked_number(asked, "head-correction") : 0;
    }

    return over_weir(mem, asked, &weir, answer, err);
}

static bool over_rectangular(struct arena *mem, const struct quantity_asked *asked,
                             struct quantity_answer *answer, struct err *err)
{
    size_t equation = WEIR_RECTANGULAR_CONTRACTED + asked_word(asked, "equation");
    struct weir weir = {0};

    return weir_of(asked, (enum weir_equation)equation, &weir, err) &&
           over_weir(mem, asked, &weir, answer, err);
}

static bool over_cipolletti(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    struct weir weir = {.equation = WEIR_CIPOLLETTI, .crest_m = asked_number(asked, "crest")};

    return over_weir(mem, asked, &weir, answer, err);
}

static bool head_on_weir(struct arena *mem, const struct quantity_asked *asked,
                         struct quantity_answer *answer, struct err *err)
{
    struct weir weir = {0};
    double head_m = 0;

    if (!weir_of(asked, (enum weir_equation)asked_word(asked, "equation"), &weir, err))
        return false;
    tell_weir(mem, &weir, answer);
    if (!weir_head_for_flow(&weir, asked_number(asked, "flow"), &head_m, err))
        return false;
    answer->figures[0] = value_of(head_m);

    return true;
}

/* --- flumes ---------------------------------------------------------------------------------- */

static void tell_flume(struct arena *mem, enum flume_size size, enum flume_family family,
                       struct quantity_answer *answer)
{
    const struct flume_row *row = flume_row(size);
    struct flume_power power = flume_power(size, family);

    answer->equation = arena_printf(mem, "Parshall flume of %s: Q = %.4g H^%.4g in %s", row->word,
                                    power.coefficient, power.exponent,
                                    family == FLUME_ENGLISH ? "feet and ft3/s" : "metres and m3/s");
    answer->range = arena_printf(mem, "head %.4g to %.4g m, free flow", row->range.lowest_m,
                                 row->range.highest_m);
}

static bool through_flume(struct arena *mem, const struct quantity_asked *asked,
                          struct quantity_answer *answer, struct err *err)
{
    enum flume_size size = (enum flume_size)asked_word(asked, "size");
    enum flume_family family = (enum flume_family)asked_word(asked, "coefficients");
    double head_m = asked_number(asked, "head");
    bool submerged = false;
    double m3_per_s = 0;

    tell_flume(mem, size, family, answer);
    if (!flume_flow(size, family, head_m, &m3_per_s, err))
        return false;
    if (asked_there(asked, "head-downstream") &&
        !flume_is_submerged(size, head_m, asked_number(asked, "head-downstream"), &submerged, err))
        return false;
    if (submerged) {
        err_set(err, ERR_INVALID,
                "the water downstream stands too high for free flow: %.0f %% of "
                "the head upstream, and it ends at %.0f %%",
                100 * asked_number(asked, "head-downstream") / head_m,
                100 * flume_row(size)->submergence);
        return err_hint(err, "The flow is less than the formula says. Measure it in another way.");
    }
    answer->figures[0] = value_of(m3_per_s);

    return true;
}

static bool head_in_flume(struct arena *mem, const struct quantity_asked *asked,
                          struct quantity_answer *answer, struct err *err)
{
    enum flume_size size = (enum flume_size)asked_word(asked, "size");
    enum flume_family family = (enum flume_family)asked_word(asked, "coefficients");
    double head_m = 0;

    tell_flume(mem, size, family, answer);
    if (!flume_head_for_flow(size, family, asked_number(asked, "flow"), &head_m, err))
        return false;
    answer->figures[0] = value_of(head_m);

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

#define HEAD                                                                                       \
    {                                                                                              \
        "head", QUANTITY_NUMBER, "m", NULL, "of the water upstream above the crest or notch", NULL \
    }
#define CREST(otherwise)                                                                           \
    {                                                                                              \
        "crest", QUANTITY_NUMBER, "m", otherwise, "its length across the flow", NULL               \
    }
#define CREST_HEIGHT                                                                               \
    {                                                                                              \
        "crest-height", QUANTITY_NUMBER, "m", "", "of the crest above the channel's floor", NULL   \
    }
#define ANGLE                                                                                      \
    {                                                                                              \
        "angle", QUANTITY_NUMBER, "degree", "", "the notch's full angle", NULL                     \
    }
#define SIZE                                                                                       \
    {"size", QUANTITY_WORD, "", NULL, "the throat", flume_word},                                   \
    {                                                                                              \
        "coefficients", QUANTITY_WORD, "", "si", "they differ by up to 0.4 percent",               \
            flume_family_word                                                                      \
    }

#define FLUME_SOURCE "Parshall 1936; Bos, Discharge Measurement Structures (1989), " UNSEEN_BOTH

static const struct quantity rows[] = {
    {
        .word = "flow over a V-notch weir",
        .equation = "by the equation that is named; they differ by up to 3 percent",
        .source = "that of the equation",
        .range = "that of the equation; the water downstream at least 0.2 ft below the notch",
        .example = "head=0.15 equation=v-notch-90-cone",
        .inputs = {HEAD,
                   {"equation", QUANTITY_WORD, "", NULL, NULL, notch_word},
                   ANGLE,
                   {"coefficient", QUANTITY_NUMBER, "", "",
                    "Ce of kindsvater-shen and iso-1438, where the weir has its own", NULL},
                   {"head-correction", QUANTITY_NUMBER, "m", "",
                    "kh, beside a coefficient of the weir's own; else the equation's", NULL}},
        .figures = {{"flow", "m3/s", 5}},
        .work_out = over_notch,
    },
    {
        .word = "flow over a rectangular weir",
        .equation = "by the equation that is named",
        .source = "that of the equation",
        .range = "that of the equation",
        .example = "head=0.1 crest=0.5 crest-height=0.2 equation=rectangular-iso-1438",
        .inputs = {HEAD,
                   {"equation", QUANTITY_WORD, "", NULL, NULL, rectangular_word},
                   CREST(NULL),
                   CREST_HEIGHT},
        .figures = {{"flow", "m3/s", 5}},
        .work_out = over_rectangular,
    },
    {
        .word = "flow over a Cipolletti weir",
        .equation = "3.367 L H^1.5 in feet and ft3/s",
        .source = "Cipolletti, " UNSEEN,
        .range = "that of the equation",
        .example = "head=0.15 crest=0.6",
        .inputs = {HEAD, CREST(NULL)},
        .figures = {{"flow", "m3/s", 5}},
        .work_out = over_cipolletti,
    },
    {
        .word = "head for a flow over a weir",
        .equation = "the weir's equation turned round",
        .source = "that of the equation",
        .range = "that of the equation",
        .example = "flow=12L/s equation=v-notch-90-cone",
        .inputs = {{"flow", QUANTITY_NUMBER, "m3/s", NULL, NULL, NULL},
                   {"equation", QUANTITY_WORD, "", NULL, NULL, any_weir_word},
                   ANGLE,
                   CREST(""),
                   CREST_HEIGHT},
        .figures = {{"head", "m", 5}},
        .work_out = head_on_weir,
    },
    {
        .word = "flow through a Parshall flume",
        .equation = "Q = C H^n, free flow",
        .source = FLUME_SOURCE,
        .range = "that of the flume's size",
        .example = "head=0.2 size=\"6 in\"",
        .inputs = {{"head", QUANTITY_NUMBER, "m", NULL, "upstream, above the floor", NULL},
                   SIZE,
                   {"head-downstream", QUANTITY_NUMBER, "m", "", "tells whether the flow is free",
                    NULL}},
        .figures = {{"flow", "m3/s", 5}},
        .work_out = through_flume,
    },
    {
        .word = "head for a flow through a flume",
        .equation = "the flume's equation turned round",
        .source = FLUME_SOURCE,
        .range = "that of the flume's size",
        .example = "flow=20L/s size=\"6 in\"",
        .inputs = {{"flow", QUANTITY_NUMBER, "m3/s", NULL, NULL, NULL}, SIZE},
        .figures = {{"head", "m", 5}},
        .work_out = head_in_flume,
    },
};

const struct quantity_family family_flow = {"flow over weirs and through flumes", rows,
                                            ARRAY_LEN(rows)};
