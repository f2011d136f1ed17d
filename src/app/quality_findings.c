#include "app/quality_findings.h"

#include "app/quality_checks.h"
#include "base/str.h"

struct finding_list {
    struct finding_row *items;
    size_t count;
    size_t capacity;
};

/* What comes of it where the farm says so. */
static const char *doubt_words(struct arena *mem, const struct quality_check *check)
{
    if (check->kind == QUALITY_BLANK && check->concerned_count == 0)
        return "; no result is concerned";
    if (!check->in_doubt)
        return "";
    if (check->kind == QUALITY_BLANK)
        return arena_printf(mem, "; %zu %s in doubt", check->concerned_count,
                            check->concerned_count == 1 ? "result is" : "results are");

    return check->count == 2 ? "; both are in doubt" : "; all are in doubt";
}

/* "Duplicates of ammonia at outlet by Shore Lab: 26-0412 (8.0 mg/L) and ..." */
static struct finding_row finding_of(struct arena *mem, const struct farm *farm,
                                     const struct quality_check *check, instant now)
{
    const struct quality_result_row *row = check->results[check->count - 1]->row;
    const char *portion = check->kind == QUALITY_REPLICATES ? "" : row->replicate;
    const char *const headings[] = {[QUALITY_DUPLICATES] = "Duplicates",
                                    [QUALITY_REPLICATES] = "Replicates",
                                    [QUALITY_BLANK] = "Blank"};

    return (struct finding_row){
        .kind = "quality check",
        .subject =
            arena_printf(mem, "%s %s: %s%s%s", quality_kind_words[check->kind], row->parameter,
                         row->sample, str_empty(portion) ? "" : " portion ", portion),
        .station = row->station,
        .from = zone_day(farm->zone, check->at),
        .aware_at = now,
        .words = arena_printf(mem, "%s of %s at %s%s%s, %s: %s%s", headings[check->kind],
                              row->parameter, row->station, str_empty(row->made_by) ? "" : " by ",
                              row->made_by, zone_text(mem, farm->zone, check->at),
                              quality_check_words(mem, check), doubt_words(mem, check))};
}

bool quality_findings_add(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                          day_number from, day_number to, instant now, struct finding_rows *rows,
                          struct err *err)
{
    instant first = zone_day_start(farm->farm->zone, from);
    instant until = zone_day_start(farm->farm->zone, to + 1);
    struct quality_checks checks = {.count = 0};
    struct finding_list list = {0};

    if (!quality_checks_find(tx, mem, farm->farm, first, until, &checks, err))
        return false;
    for (size_t i = 0; i < rows->count; i++)
        LIST_ADD(mem, &list, rows->items[i]);
    for (size_t i = 0; i < checks.count; i++) {
        const struct quality_check *check = &checks.items[i];

        if (check->outcome.answer == QUALITY_FAILED && check->at >= first && check->at < until)
            LIST_ADD(mem, &list, finding_of(mem, farm->farm, check, now));
    }
    *rows = (struct finding_rows){.items = list.items, .count = list.count};

    return true;
}
