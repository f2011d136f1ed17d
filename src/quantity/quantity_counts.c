#include <math.h>

#include "measure/unseen.h"
#include "quantity/quantity_inside.h"
#include "stat/membrane_count.h"
#include "stat/most_probable_number.h"

enum { COUNT_MOST = 1000000 };

/* A pattern less likely than this beside the likeliest is not to be trusted: Blodgett, US FDA
 * Bacteriological Analytical Manual, Appendix 2, solver sheet. */
static const double rarity_least = 1e-4;

/* A list of counts as whole numbers; NULL, and the error said, where one is none. */
static const int *whole(struct arena *mem, const struct quantity_asked *asked, const char *name,
                        struct err *err)
{
    const struct quantity_input_value *value = asked_value(asked, name);
    int *numbers = ARENA_ARRAY(mem, int, value->count);

    for (size_t i = 0; i < value->count; i++) {
        double number = value->numbers[i];

        if (!(number >= 0) || number > COUNT_MOST || number != floor(number)) {
            err_set(err, ERR_INVALID, "the %s hold %g, which is no count", name, number);
            err_hint(err, "Counts are whole numbers of 0 or more.");
            return NULL;
        }
        numbers[i] = (int)number;
    }

    return numbers;
}

/* One such number. */
static bool whole_number(const struct quantity_asked *asked, const char *name, int *out,
                         struct err *err)
{
    double number = asked_number(asked, name);

    if (number >= 0 && number <= COUNT_MOST && number == floor(number)) {
        *out = (int)number;
        return true;
    }
    err_set(err, ERR_INVALID, "%s is %g, which is no count", name, number);

    return err_hint(err, "Counts are whole numbers of 0 or more.");
}

/* --- tubes ----------------------------------------------------------------------------------- */

enum {
    MPN_REPORTED,
    MPN_BEFORE_ROUNDING,
    MPN_RATIO_LOW,
    MPN_RATIO_HIGH,
    MPN_LOG_LOW,
    MPN_LOG_HIGH,
    MPN_RARITY,
    MPN_THOMAS,
    MPN_ADJUSTED,
};

/* A bound that there is not: 0 below, no end above. */
static struct quantity_value bound_of(const struct exact *exact, double without)
{
    return exact ? value_exact(exact) : value_of(without);
}

static void mpn_tell(struct arena *mem, const struct mpn *mpn, struct quantity_answer *answer)
{
    answer->figures[MPN_REPORTED] = value_exact(mpn->reported);
    answer->figures[MPN_REPORTED].qualifier = mpn->kind == MPN_LESS      ? '<'
                                              : mpn->kind == MPN_GREATER ? '>'
                                                                         : '=';
    answer->figures[MPN_BEFORE_ROUNDING] = mpn->kind == MPN_LESS      ? value_of(0)
                                           : mpn->kind == MPN_GREATER ? value_of(INFINITY)
                                                                      : value_exact(mpn->number);
    answer->figures[MPN_RATIO_LOW] = bound_of(mpn->low, 0);
    answer->figures[MPN_RATIO_HIGH] = bound_of(mpn->high, INFINITY);
    answer->figures[MPN_LOG_LOW] = value_exact(mpn->log_normal_low);
    answer->figures[MPN_LOG_HIGH] = value_exact(mpn->log_normal_high);
    answer->figures[MPN_RARITY] = value_exact(mpn->rarity);
    answer->figures[MPN_THOMAS] = value_exact(mpn->thomas);
    answer->figures[MPN_ADJUSTED] = value_exact(mpn->adjusted);
    if (mpn->rarity && exact_double(mpn->rarity) < rarity_least)
        answer->note = arena_printf(mem,
                                    "So rare a pattern (%s of the likeliest) says that "
                                    "something went wrong: ask the laboratory.",
                                    exact_text(mem, mpn->rarity, 2));
}

static bool tubes(struct arena *mem, const struct quantity_asked *asked,
                  struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *amounts = asked_value(asked, "amounts");
    struct mpn_dilution *dilutions = ARENA_ARRAY(mem, struct mpn_dilution, amounts->count);
    const int *positive = whole(mem, asked, "positive", err);
    const int *of = positive ? whole(mem, asked, "tubes", err) : NULL;
    struct mpn mpn;

    if (!of || !asked_same_count(asked, "positive", "amounts", err) ||
        !asked_same_count(asked, "tubes", "amounts", err))
        return false;
    for (size_t i = 0; i < amounts->count; i++)
        dilutions[i] = (struct mpn_dilution){
            .tubes = of[i], .positive = positive[i], .amount = amounts->results[i].value};
    if (!most_probable_number(mem, dilutions, amounts->count,
                              amount_from_exact(asked_exact(asked, "per")), &mpn, err))
        return false;
    mpn_tell(mem, &mpn, answer);

    return true;
}

/* --- filters --------------------------------------------------------------------------------- */

static const char *none_in_range_word(size_t position, const char **means)
{
    static const char *const words[][2] = {
        [MEMBRANE_SUM] = {"sum", "all colonies over all volumes"},
        [MEMBRANE_MEAN] = {"mean", "the mean of each filter's own figure"},
    };

    return word_pick(words, ARRAY_LEN(words), position, means);
}

/* A list beside the volumes, one each. */
static bool as_many(const struct quantity_asked *asked, const char *name, struct err *err)
{
    return !asked_there(asked, name) || asked_same_count(asked, "volumes", name, err);
}

static bool filters_read(struct arena *mem, const struct quantity_asked *asked,
                         struct membrane_filter **out, size_t *count, struct err *err)
{
    const struct quantity_input_value *volumes = asked_value(asked, "volumes");
    struct membrane_filter *filters = ARENA_ARRAY(mem, struct membrane_filter, volumes->count);
    const int *colonies = whole(mem, asked, "colonies", err);
    const int *background = colonies ? whole(mem, asked, "background", err) : NULL;
    const int *too_many = background ? whole(mem, asked, "too-many", err) : NULL;

    if (!too_many || !as_many(asked, "colonies", err) || !as_many(asked, "background", err) ||
        !as_many(asked, "too-many", err))
        return false;
    for (size_t i = 0; i < volumes->count; i++)
        filters[i] = (struct membrane_filter){
            .volume_ml = volumes->results[i].value,
            .colonies = colonies[i],
            .background = asked_there(asked, "background") ? background[i] : 0,
            .too_many = asked_there(asked, "too-many") && too_many[i] > 0,
        };
    *out = filters;
    *count = volumes->count;

    return true;
}

static bool filters(struct arena *mem, const struct quantity_asked *asked,
                    struct quantity_answer *answer, struct err *err)
{
    struct membrane_rule rule = {
        .none_in_range = (enum membrane_none_in_range)asked_word(asked, "none-in-range"),
        .per_ml = amount_from_exact(asked_exact(asked, "per")),
    };
    struct membrane_filter *read = NULL;
    struct membrane_count counted;
    size_t count = 0;

    if (!whole_number(asked, "ideal-least", &rule.ideal_least, err) ||
        !whole_number(asked, "ideal-most", &rule.ideal_most, err) ||
        !whole_number(asked, "all-most", &rule.all_most, err) ||
        !filters_read(mem, asked, &read, &count, err) ||
        !membrane_count(mem, read, count, &rule, &counted, err))
        return false;
    answer->figures[0] = value_exact(counted.reported);
    answer->figures[1] = value_exact(counted.number);
    for (size_t i = 0; i < 2; i++)
        answer->figures[i].qualifier = counted.kind == MEMBRANE_LESS      ? '<'
                                       : counted.kind == MEMBRANE_GREATER ? '>'
                                                                          : '=';
    answer->note =
        counted.estimated
            ? arena_printf(mem, "An estimate: no filter was in the range. %s", counted.words)
            : counted.words;

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

static const struct quantity rows[] = {
    {
        .word = "most probable number",
        .equation = "the density that makes the pattern most likely: sum x z / (1 - exp(-L z)) = "
                    "sum n z",
        .source = "Cochran 1950, Biometrics 6; Blodgett, US FDA Bacteriological Analytical Manual, "
                  "Appendix 2; 95 % by Ridout 1994, Biometrics 50, and Jarvis and others 2010",
        .range = "any dilutions and counts of tubes",
        .caution = "Compare the reported figure with a limit, never the one before rounding. The "
                   "laboratory's own result is the one that counts.",
        .example = "positive=5,1,0 tubes=5,5,5 amounts=10,1,0.1 per=100",
        .inputs = {{"positive", QUANTITY_NUMBERS, "", NULL, "positive tubes of each dilution",
                    NULL},
                   {"tubes", QUANTITY_NUMBERS, "", NULL, "all tubes of each dilution", NULL},
                   {"amounts", QUANTITY_NUMBERS, "", NULL,
                    "of sample in each tube, mL or g; all in one", NULL},
                   {"per", QUANTITY_NUMBER, "", NULL,
                    "the amount it is told for: 100 for per 100 mL", NULL}},
        .figures = {[MPN_REPORTED] = {"reported, two figures", "", 2},
                    [MPN_BEFORE_ROUNDING] = {"before rounding", "", 6},
                    [MPN_RATIO_LOW] = {"95 %, low end (likelihood ratio)", "", 4},
                    [MPN_RATIO_HIGH] = {"95 %, high end (likelihood ratio)", "", 4},
                    [MPN_LOG_LOW] = {"95 %, low end (log-normal)", "", 4},
                    [MPN_LOG_HIGH] = {"95 %, high end (log-normal)", "", 4},
                    [MPN_RARITY] = {"rarity, 1 is ordinary", "", 3},
                    [MPN_THOMAS] = {"Thomas' short formula", "", 4},
                    [MPN_ADJUSTED] = {"less its bias (Haas 1989)", "", 4}},
        .work_out = tubes,
    },
    {
        .word = "membrane filter count",
        .equation = "colonies x per / volume, of the filters that count",
        .source = "USGS National Field Manual, chapter A7.1; WHO and UNEP handbook; US EPA 1978 "
                  "where no filter counts, " UNSEEN,
        .range = "the ideal range is the method's: 20 to 60 and 200 in all for faecal coliforms "
                 "(Standard Methods 9222), 20 to 80 for E. coli",
        .caution = "The laboratory's own result is the one that counts.",
        .example = "volumes=25,50,100 colonies=15,34,55 background=67,110,190 ideal-least=20 "
                   "ideal-most=60 all-most=200",
        .inputs = {{"volumes", QUANTITY_NUMBERS, "", NULL, "filtered, in mL", NULL},
                   {"colonies", QUANTITY_NUMBERS, "", NULL, "of the kind looked for", NULL},
                   {"background", QUANTITY_NUMBERS, "", "", "others on the same filter", NULL},
                   {"too-many", QUANTITY_NUMBERS, "", "",
                    "1 for each filter with too many to count, else 0", NULL},
                   {"ideal-least", QUANTITY_NUMBER, "", NULL, "colonies on a filter", NULL},
                   {"ideal-most", QUANTITY_NUMBER, "", NULL, NULL, NULL},
                   {"all-most", QUANTITY_NUMBER, "", "0", "of all kinds; 0 for no such rule", NULL},
                   {"none-in-range", QUANTITY_WORD, "", "sum", "what is done then",
                    none_in_range_word},
                   {"per", QUANTITY_NUMBER, "", "100", "mL", NULL}},
        .figures = {{"reported", "", 3}, {"before rounding", "", 6}},
        .work_out = filters,
    },
};

const struct quantity_family family_counts = {"bacteria", rows, ARRAY_LEN(rows)};
