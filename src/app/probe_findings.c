#include "app/probe_findings.h"

#include "app/findings.h"
#include "base/str.h"

static const char kind_calibration[] = "calibration";

struct finding_list {
    struct finding_row *items;
    size_t count;
    size_t capacity;
};

/* What is overdue is so from the moment it was due; what failed, from the visit that found it. */
static bool is_overdue(const struct probe_issue *issue)
{
    return issue->kind == PROBE_CHECK_OVERDUE || issue->kind == PROBE_CALIBRATION_OVERDUE;
}

/* A gap is told until the next check; what a check ended and nobody answered, until then. */
static bool is_news(const struct probe_book *book, const struct probe_track *track,
                    const struct probe_issue *issue, instant now)
{
    if (issue->after >= now || issue->after >= farm_instrument_until(book->farm, track->instrument))
        return false;
    if (is_overdue(issue))
        return issue->until == INT64_MAX &&
               now < farm_instrument_until(book->farm, track->instrument);
    if (issue->kind == PROBE_GAP)
        return track->count > 0 && track->visits[track->count - 1].visit == issue->visit;

    return true;
}

static const char *subject_of(struct arena *mem, const struct probe_track *track,
                              const struct probe_issue *issue)
{
    static const char *const words[] = {[PROBE_CHECK_OVERDUE] = "check overdue",
                                        [PROBE_CALIBRATION_OVERDUE] = "calibration overdue",
                                        [PROBE_CHECK_FAILED] = "check failed",
                                        [PROBE_NOT_PUT_RIGHT] = "left off",
                                        [PROBE_GAP] = "gap"};
    int visit = issue->visit ? issue->visit : issue->since;

    return is_overdue(issue) || visit == 0
               ? arena_printf(mem, "%s %s: %s", track->instrument->key, track->check->parameter,
                              words[issue->kind])
               : arena_printf(mem, "%s %s: %s, visit %d", track->instrument->key,
                              track->check->parameter, words[issue->kind], visit);
}

static const char *words_of(struct arena *mem, const struct probe_book *book,
                            const struct probe_track *track, const struct probe_issue *issue)
{
    const char *words = probe_issue_words(mem, book, track, issue);

    if (issue->kind != PROBE_CHECK_FAILED)
        return words;

    return arena_printf(mem, "%s. To answer: weirbook visit proposal %d %s", words, issue->visit,
                        track->check->parameter);
}

static void issue_add(struct arena *mem, const struct probe_book *book,
                      const struct probe_track *track, const struct probe_issue *issue, instant now,
                      struct finding_list *list)
{
    bool at_visit = issue->kind == PROBE_CHECK_FAILED || issue->kind == PROBE_GAP;

    LIST_ADD(mem, list,
             ((struct finding_row){
                 .kind = kind_calibration,
                 .subject = subject_of(mem, track, issue),
                 .station = track->instrument->station ? track->instrument->station : "",
                 .from = zone_day(book->farm->zone, at_visit ? issue->until : issue->after + 1),
                 .aware_at = now,
                 .words = words_of(mem, book, track, issue)}));
}

bool probe_findings_of(struct db_tx *tx, struct arena *mem, const struct farm *farm, instant now,
                       struct finding_rows *out, struct err *err)
{
    struct finding_list list = {0};
    struct probe_book book;

    if (!probe_book_load(tx, mem, farm, &book, err))
        return false;
    for (size_t i = 0; i < book.count; i++) {
        const struct probe_track *track = &book.tracks[i];

        for (size_t j = 0; j < track->left.count; j++)
            if (is_news(&book, track, &track->left.items[j], now))
                issue_add(mem, &book, track, &track->left.items[j], now, &list);
    }
    *out = (struct finding_rows){.items = list.items, .count = list.count};

    return true;
}

static bool still_found(const struct finding_rows *found, int64_t finding)
{
    for (size_t i = 0; i < found->count; i++)
        if (finding_id_of(&found->items[i]) == finding)
            return true;

    return false;
}

bool probe_findings_put(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                        const struct finding_rows *found, const char *by, instant now, int *opened,
                        int *ended, struct err *err)
{
    struct finding_rows waiting = {0};

    if (!finding_store_waiting(tx, mem, &waiting, err))
        return false;
    for (size_t i = 0; i < waiting.count; i++) {
        const struct finding_row *row = &waiting.items[i];

        if (!str_equal(row->kind, kind_calibration) || str_equal(row->step, "worked out again") ||
            still_found(found, row->finding))
            continue;
        if (!finding_store_step(tx, row->finding, "worked out again",
                                "It was checked since, a person answered it, or the farm file asks "
                                "for it no more.",
                                NULL, now, err))
            return false;
        (*ended)++;
    }

    return findings_open(tx, mem, farm, found, by, now, opened, err);
}
