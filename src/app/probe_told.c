#include "app/probe_told.h"

#include "base/str.h"

struct telling {
    struct arena *mem;
    const struct probe_book *book;
    instant first;
    instant until;
    struct probe_tolds *out;
};

static void told_add(struct telling *on, const struct probe_track *track, int visit, instant after,
                     instant until, struct probe_told told)
{
    instant begins = farm_instrument_from(on->book->farm, track->instrument);

    told.act.visit = visit;
    told.act.parameter = track->check->parameter;
    told.station = track->instrument->station;
    told.after = after < begins ? begins : after;
    told.until = until;
    told.what = arena_printf(on->mem, "read by %s", probe_track_words(on->mem, track));
    if (told.after < on->until && told.until >= on->first)
        LIST_ADD(on->mem, on->out, told);
}

static const char *add_error(struct arena *mem, const char *words, const struct exact *error,
                             const char *unit, const char *of)
{
    return error ? arena_printf(mem, "%s%s%s %s for %s", words, *words ? ", " : "",
                                exact_text(mem, error, 12), unit, of)
                 : words;
}

/* "corrected in a straight line up to -0.42 mg/L for fouling, 0.2 mg/L for drift; visit 3 of ..."
 */
static const char *done_words(struct telling *on, const struct probe_answer_row *row)
{
    const char *visit =
        probe_visit_words(on->mem, on->book->farm, row->answer.visit, row->answer.until);
    const char *errors;

    if (row->answer.kind != PROBE_ANSWER_CORRECTED)
        return arena_printf(on->mem, "%s, %s",
                            row->answer.kind == PROBE_ANSWER_STANDS ? "stands as read" : "left out",
                            visit);
    errors = add_error(on->mem, "", row->answer.fouling, row->unit, "fouling");
    errors = add_error(on->mem, errors, row->answer.drift, row->unit, "drift");

    return arena_printf(on->mem, "corrected in a straight line up to %s; %s", errors, visit);
}

static void track_tell(struct telling *on, const struct probe_track *track)
{
    for (size_t i = 0; i < track->issues.count; i++) {
        const struct probe_issue *issue = &track->issues.items[i];
        const struct probe_visit_row *visit = probe_book_visit(on->book, issue->visit);

        if (issue->kind == PROBE_GAP && visit)
            told_add(on, track, issue->visit, issue->after, issue->until,
                     (struct probe_told){
                         .done = arena_printf(
                             on->mem, "a gap, %s",
                             probe_visit_words(on->mem, on->book->farm, visit->visit, visit->at)),
                         .made_at = visit->recorded_at,
                         .person = visit->person,
                         .reason = "its error is beyond the maximum, and may not be corrected"});
    }
    for (size_t i = 0; i < track->answer_count; i++) {
        const struct probe_answer_row *row = track->answers[i];

        if (row->answer.kind != PROBE_ANSWER_REFUSED)
            told_add(on, track, row->answer.visit, row->answer.after, row->answer.until,
                     (struct probe_told){.done = done_words(on, row),
                                         .made_at = row->at,
                                         .person = row->person,
                                         .second_person = row->second_person,
                                         .reason = row->reason,
                                         .agree = "the same `weirbook visit answer` again with "
                                                  "--second PERSON"});
    }
}

/*
 * What a withdrawn visit may have said of readings: from the last visit that left the probe good up
 * to the next one that did, of those that stand.
 */
static void withdrawn_tell(struct telling *on, const struct probe_track *track,
                           const struct probe_visit_row *visit)
{
    instant after = INSTANT_NONE;
    instant until = INT64_MAX;

    if (!visit->withdrawn || !str_equal(visit->instrument, track->instrument->key) ||
        !probe_visit_check(visit, track->check->parameter))
        return;
    for (size_t i = 0; i < track->count; i++) {
        const struct probe_visit *one = &track->visits[i];

        if (one->left != PROBE_GOOD)
            continue;
        if (one->at < visit->at)
            after = one->at;
        else if (until == INT64_MAX)
            until = one->at;
    }
    told_add(
        on, track, visit->visit, after, until,
        (struct probe_told){
            .act = {.withdrawal = true},
            .done =
                arena_printf(on->mem, "%s withdrawn",
                             probe_visit_words(on->mem, on->book->farm, visit->visit, visit->at)),
            .made_at = visit->withdrawn_at,
            .person = visit->withdrawn_by,
            .second_person = visit->withdrawn_seen,
            .reason = visit->withdrawn,
            .agree = arena_printf(on->mem, "weirbook visit withdraw %d again with --second PERSON",
                                  visit->visit)});
}

bool probe_told(struct db_tx *tx, struct arena *mem, const struct farm *farm, instant first,
                instant until, struct probe_tolds *out, struct err *err)
{
    struct probe_book book;
    struct telling on = {.mem = mem, .book = &book, .first = first, .until = until, .out = out};

    if (!probe_book_load(tx, mem, farm, &book, err))
        return false;
    for (size_t i = 0; i < book.count; i++)
        track_tell(&on, &book.tracks[i]);
    for (size_t i = 0; i < book.count; i++)
        for (size_t j = 0; j < book.visits.count; j++)
            withdrawn_tell(&on, &book.tracks[i], &book.visits.items[j]);

    return true;
}
