#include "app/quality_checks.h"

#include "base/buf.h"
#include "base/str.h"
#include "ingest/purpose.h"
#include "judge/evidence.h"

const char *const quality_kind_words[] = {"duplicates", "replicates", "blank"};

struct result_list {
    const struct quality_result **items;
    size_t count;
    size_t capacity;
};

struct checking {
    struct arena *mem;
    const struct farm *farm;
    struct quality_result *results; /* by parameter, series, time, sample and portion */
    size_t count;
    struct quality_checks found;
};

/* --- results --------------------------------------------------------------------------------- */

static const char *result_text(struct arena *mem, const struct quality_result_row *row)
{
    const char *sign = row->qualifier == QUALIFIER_LESS      ? "<"
                       : row->qualifier == QUALIFIER_GREATER ? ">"
                                                             : "";

    return row->qualifier == QUALIFIER_NOT_DETECTED
               ? "not detected"
               : arena_printf(mem, "%s%s %s", sign, decimal_text(mem, row->reported), row->unit);
}

static const struct exact *told_amount(struct arena *mem, const struct farm_quality *rule,
                                       const struct quality_result_row *row, struct decimal limit)
{
    return limit.coefficient > 0 ? farm_quality_amount(rule, mem, row->unit, limit) : NULL;
}

/* False: it stands under no rule, or in a unit that can't be turned. */
static bool result_make(struct checking *checking, const struct quality_result_row *row,
                        struct quality_result *out)
{
    struct arena *mem = checking->mem;
    const struct farm_quality *rule =
        farm_find_quality(checking->farm, row->parameter, row->made_by);
    bool has_number = row->qualifier != QUALIFIER_NOT_DETECTED;
    const struct exact *value =
        rule && has_number ? farm_quality_amount(rule, mem, row->unit, row->reported) : NULL;

    if (!rule || (has_number && !value))
        return false;
    *out = (struct quality_result){
        .row = row,
        .rule = rule,
        .lab = {.value = value,
                .less_than = row->qualifier == QUALIFIER_LESS || !has_number,
                .more_than = row->qualifier == QUALIFIER_GREATER,
                .detection = told_amount(mem, rule, row, row->detection),
                .quantitation = told_amount(mem, rule, row, row->quantitation)},
        .text = result_text(mem, row)};

    return true;
}

static void results_make(struct checking *checking, const struct quality_result_rows *rows)
{
    checking->results = ARENA_ARRAY(checking->mem, struct quality_result, rows->count);
    for (size_t i = 0; i < rows->count; i++)
        if (result_make(checking, &rows->items[i], &checking->results[checking->count]))
            checking->count++;
}

static bool same_sample(const struct quality_result *a, const struct quality_result *b)
{
    return a->row->series_id == b->row->series_id && a->row->at == b->row->at &&
           a->row->until == b->row->until && str_equal(a->row->sample, b->row->sample);
}

/* The one after the last portion of the sample that begins at `first`. */
static size_t sample_end(const struct checking *checking, size_t first)
{
    size_t end = first + 1;

    while (end < checking->count && same_sample(&checking->results[first], &checking->results[end]))
        end++;

    return end;
}

/* --- pairs ----------------------------------------------------------------------------------- */

/* The larger of what the laboratory told, else what the farm states. */
static const struct exact *pair_limit(struct arena *mem, const struct quality_result *a,
                                      const struct quality_result *b)
{
    const struct exact *one = a->lab.quantitation;
    const struct exact *two = b->lab.quantitation;

    if (one && two)
        return exact_compare(one, two) >= 0 ? one : two;
    if (one || two)
        return one ? one : two;

    return a->rule->quantitation.given ? exact_from_decimal(mem, a->rule->quantitation.number)
                                       : NULL;
}

static void check_add(struct checking *checking, enum quality_kind kind,
                      const struct quality_result *const *results, size_t count,
                      struct quality_outcome outcome, bool in_doubt)
{
    const struct quality_result **kept =
        ARENA_ARRAY(checking->mem, const struct quality_result *, count);

    for (size_t i = 0; i < count; i++)
        kept[i] = results[i];
    LIST_ADD(checking->mem, &checking->found,
             ((struct quality_check){.kind = kind,
                                     .rule = results[0]->rule,
                                     .results = kept,
                                     .count = count,
                                     .outcome = outcome,
                                     .in_doubt = in_doubt && outcome.answer == QUALITY_FAILED,
                                     .at = results[count - 1]->row->at}));
}

static void pair_check(struct checking *checking, const struct quality_result *a,
                       const struct quality_result *b)
{
    const struct quality_result *const pair[] = {a, b};
    const struct farm_duplicates *rule = &a->rule->duplicates;

    check_add(checking, QUALITY_DUPLICATES, pair, 2,
              duplicate_judge(checking->mem, &rule->bounds, &a->lab, &b->lab,
                              pair_limit(checking->mem, a, b)),
              rule->in_doubt);
}

/* Portions of one sample. */
static void portions_check(struct checking *checking, size_t first, size_t end)
{
    const struct quality_result *results = &checking->results[first];
    const struct farm_quality *rule = results->rule;
    size_t count = end - first;

    if (count < 2 || purpose_is_blank(results->row->purpose))
        return;
    if (rule->replicates.asked && (count > 2 || !rule->duplicates.asked)) {
        const struct quality_result **list =
            ARENA_ARRAY(checking->mem, const struct quality_result *, count);
        const struct lab_result **labs =
            ARENA_ARRAY(checking->mem, const struct lab_result *, count);

        for (size_t i = 0; i < count; i++) {
            list[i] = &results[i];
            labs[i] = &results[i].lab;
        }
        check_add(checking, QUALITY_REPLICATES, list, count,
                  replicates_judge(checking->mem, rule->replicates.percent, labs, count),
                  rule->replicates.in_doubt);
        return;
    }
    for (size_t i = 1; rule->duplicates.asked && i < count; i++)
        pair_check(checking, &results[0], &results[i]);
}

/* The nearest sample of the same series that counts, no further than the farm says; or NULL. */
static const struct quality_result *partner_of(const struct checking *checking, size_t repeat)
{
    const struct quality_result *of = &checking->results[repeat];
    const struct quality_result *best = NULL;
    int64_t nearest = (int64_t)of->rule->duplicates.within_s * SECOND_US + 1;

    for (size_t i = 0; i < checking->count; i++) {
        const struct quality_result *result = &checking->results[i];
        int64_t apart = result->row->at - of->row->at;

        if (result->row->series_id != of->row->series_id || !purpose_counts(result->row->purpose))
            continue;
        apart = apart < 0 ? -apart : apart;
        if (apart < nearest) {
            nearest = apart;
            best = result;
        }
    }

    return best;
}

static void repeat_check(struct checking *checking, size_t repeat)
{
    const struct quality_result *of = &checking->results[repeat];
    const struct quality_result *partner = NULL;

    if (!of->rule->duplicates.asked || !purpose_repeats(of->row->purpose))
        return;
    partner = partner_of(checking, repeat);
    if (partner) {
        pair_check(checking, partner, of);
        return;
    }
    check_add(checking, QUALITY_DUPLICATES, &of, 1,
              (struct quality_outcome){
                  QUALITY_NOT_ASSESSED, NULL,
                  "there is no sample of the same place, method and laboratory so near in time"},
              false);
}

/* --- blanks ---------------------------------------------------------------------------------- */

static bool near_in_file(const struct quality_result *blank, const struct quality_result *result)
{
    int64_t apart = result->row->at - blank->row->at;

    return result->row->receipt == blank->row->receipt &&
           (apart < 0 ? -apart : apart) <= QUALITY_FILE_REACH_DAYS * DAY_US;
}

/* Whether a result is one that a failed blank concerns. */
static bool is_concerned(const struct checking *checking, const struct quality_result *blank,
                         const struct quality_result *result)
{
    const struct zone *zone = checking->farm->zone;
    const struct farm_blanks *rule = &blank->rule->blanks;

    if (result->rule != blank->rule || purpose_is_blank(result->row->purpose) ||
        !str_equal(result->row->made_by, blank->row->made_by) || result->lab.less_than)
        return false;
    if (rule->touches_times.coefficient > 0 &&
        !blank_touches(checking->mem, &blank->lab, &result->lab, rule->touches_times))
        return false;

    return rule->concerns == BLANK_SAME_FILE
               ? near_in_file(blank, result)
               : zone_day(zone, result->row->at) == zone_day(zone, blank->row->at);
}

static void blank_check(struct checking *checking, const struct quality_result *blank)
{
    const struct farm_quality *rule = blank->rule;
    const struct exact *limit = rule->quantitation.given
                                    ? exact_from_decimal(checking->mem, rule->quantitation.number)
                                    : NULL;
    struct result_list concerned = {0};

    if (!rule->blanks.asked || !purpose_is_blank(blank->row->purpose))
        return;
    check_add(checking, QUALITY_BLANK, &blank, 1,
              blank_judge(checking->mem, &rule->blanks.bounds, &blank->lab, limit),
              rule->blanks.in_doubt);

    struct quality_check *check = &checking->found.items[checking->found.count - 1];

    for (size_t i = 0; check->outcome.answer == QUALITY_FAILED && i < checking->count; i++)
        if (is_concerned(checking, blank, &checking->results[i]))
            LIST_ADD(checking->mem, &concerned, &checking->results[i]);
    check->concerned = concerned.items;
    check->concerned_count = concerned.count;
}

/* --- all of them ----------------------------------------------------------------------------- */

static int blank_reach_days(const struct farm_quality *rule)
{
    return rule->blanks.concerns == BLANK_SAME_FILE ? QUALITY_FILE_REACH_DAYS : 0;
}

bool quality_blanks_reach(const struct farm *farm, const char *parameter, int *days)
{
    bool any = false;

    *days = 0;
    for (size_t i = 0; i < farm->quality.count; i++) {
        const struct farm_quality *rule = &farm->quality.items[i];

        if (!rule->blanks.asked || !rule->blanks.in_doubt || !str_equal(rule->parameter, parameter))
            continue;
        any = true;
        if (blank_reach_days(rule) > *days)
            *days = blank_reach_days(rule);
    }

    return any;
}

/* A duplicate is at most a day from its sample, and so is a blank of the same day. */
static int64_t reach_us(const struct farm *farm)
{
    int days = 1;

    for (size_t i = 0; i < farm->quality.count; i++)
        if (farm->quality.items[i].blanks.asked && blank_reach_days(&farm->quality.items[i]) > days)
            days = blank_reach_days(&farm->quality.items[i]);

    return days * DAY_US;
}

static const char *parameters_text(struct arena *mem, const struct farm *farm)
{
    struct buf text = buf_new(mem);

    buf_add_char(&text, '{');
    for (size_t i = 0; i < farm->quality.count; i++)
        buf_addf(&text, "%s%s", i ? "," : "", farm->quality.items[i].parameter);
    buf_add_char(&text, '}');

    return text.data;
}

bool quality_checks_find(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                         instant first, instant until, struct quality_checks *out, struct err *err)
{
    struct checking checking = {.mem = mem, .farm = farm};
    struct quality_result_rows *rows = ARENA_NEW(mem, struct quality_result_rows);
    int64_t reach = reach_us(farm);

    *out = (struct quality_checks){.count = 0};
    if (farm->quality.count == 0)
        return true;
    if (!quality_store_results(tx, mem, first - reach, until + reach, parameters_text(mem, farm),
                               rows, err))
        return false;
    results_make(&checking, rows);
    for (size_t i = 0; i < checking.count; i = sample_end(&checking, i))
        portions_check(&checking, i, sample_end(&checking, i));
    for (size_t i = 0; i < checking.count; i = sample_end(&checking, i))
        repeat_check(&checking, i);
    for (size_t i = 0; i < checking.count; i++)
        blank_check(&checking, &checking.results[i]);
    *out = checking.found;

    return true;
}

/* --- words and doubt ------------------------------------------------------------------------- */

char *quality_check_words(struct arena *mem, const struct quality_check *check)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < check->count; i++) {
        const struct quality_result *result = check->results[i];
        const char *replicate = result->row->replicate;

        buf_addf(&text, "%s%s%s%s (%s)",
                 i == 0                  ? ""
                 : i + 1 == check->count ? " and "
                                         : ", ",
                 result->row->sample, str_empty(replicate) ? "" : " portion ", replicate,
                 result->text);
    }
    buf_addf(&text, ": %s (%s)", check->outcome.words, check->rule->copied_from);

    return text.data;
}

struct mark_list {
    struct doubt_mark *items;
    size_t count;
    size_t capacity;
};

static void doubt_add(struct arena *mem, struct mark_list *list, const struct quality_check *check,
                      const struct quality_result *result, instant first, instant until)
{
    const struct quality_result_row *row = result->row;

    if (row->at >= until || row->until < first)
        return;
    LIST_ADD(
        mem, list,
        ((struct doubt_mark){.series_id = row->series_id,
                             .from = row->at,
                             .until = row->until,
                             .kind = "quality check",
                             .words = arena_printf(mem, "%s %s", quality_kind_words[check->kind],
                                                   quality_check_words(mem, check))}));
}

bool quality_checks_doubt(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                          instant first, instant until, struct doubt_marks *marks, struct err *err)
{
    struct quality_checks checks = {.count = 0};
    struct mark_list list = {0};

    if (!quality_checks_find(tx, mem, farm, first, until, &checks, err))
        return false;
    for (size_t i = 0; i < marks->count; i++)
        LIST_ADD(mem, &list, marks->items[i]);
    for (size_t i = 0; i < checks.count; i++) {
        const struct quality_check *check = &checks.items[i];

        if (!check->in_doubt)
            continue;
        for (size_t k = 0; check->kind != QUALITY_BLANK && k < check->count; k++)
            doubt_add(mem, &list, check, check->results[k], first, until);
        for (size_t k = 0; k < check->concerned_count; k++)
            doubt_add(mem, &list, check, check->concerned[k], first, until);
    }
    *marks = (struct doubt_marks){list.items, list.count};

    return true;
}
