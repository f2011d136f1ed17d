#include "app/probe_book.h"

#include "base/str.h"

/* --- loading --------------------------------------------------------------------------------- */

static struct probe_visit visit_of(const struct probe_visit_row *row,
                                   const struct probe_check_row *check)
{
    return (struct probe_visit){.visit = row->visit,
                                .at = row->at,
                                .found = check->found,
                                .left = check->left,
                                .calibrated = check->calibrated,
                                .cleaned = check->read.readings.in_water,
                                .fouling = check->fouling,
                                .drift = check->drift,
                                .has_standards = check->read.readings.standard_count > 0};
}

/* Whether a visit counts: it was not withdrawn, or that is undone. */
static bool visit_stands(const struct probe_visit_row *row, const struct acts_undone *undone,
                         const char *parameter)
{
    return !row->withdrawn || acts_undone_withdrawal(undone, row->visit, parameter);
}

static void track_fill(struct probe_book *book, const struct acts_undone *undone,
                       struct probe_track *track)
{
    struct probe_visit *visits = ARENA_ARRAY(book->mem, struct probe_visit, book->visits.count);
    struct probe_answer *answers = ARENA_ARRAY(book->mem, struct probe_answer, book->visits.count);

    track->rows = ARENA_ARRAY(book->mem, const struct probe_visit_row *, book->visits.count);
    track->checks = ARENA_ARRAY(book->mem, const struct probe_check_row *, book->visits.count);
    track->answers = ARENA_ARRAY(book->mem, const struct probe_answer_row *, book->visits.count);
    for (size_t i = 0; i < book->visits.count; i++) {
        const struct probe_visit_row *row = &book->visits.items[i];
        const struct probe_check_row *check = probe_visit_check(row, track->check->parameter);

        if (!str_equal(row->instrument, track->instrument->key) || !check ||
            !visit_stands(row, undone, track->check->parameter))
            continue;
        visits[track->count] = visit_of(row, check);
        track->rows[track->count] = row;
        track->checks[track->count++] = check;
        if (check->answer) {
            answers[track->answer_count] = check->answer->answer;
            track->answers[track->answer_count++] = check->answer;
        }
    }
    track->visits = visits;
    track->issues = probe_issues_of(book->mem, visits, track->count, &track->rule);
    track->left = probe_issues_left(book->mem, &track->issues, answers, track->answer_count);
}

static void tracks_fill(struct probe_book *book, const struct acts_undone *undone)
{
    const struct farm *farm = book->farm;
    size_t most = 0;

    for (size_t i = 0; i < farm->instruments.count; i++)
        most += farm->instruments.items[i].check_count;
    book->tracks = ARENA_ARRAY(book->mem, struct probe_track, most);
    for (size_t i = 0; i < farm->instruments.count; i++) {
        const struct farm_instrument *instrument = &farm->instruments.items[i];

        for (size_t j = 0; j < instrument->check_count; j++) {
            const struct farm_instrument_check *check = &instrument->checks[j];
            struct probe_track *track = &book->tracks[book->count++];

            *track = (struct probe_track){
                .instrument = instrument,
                .check = check,
                .rule = {.from = farm_instrument_from(farm, instrument),
                         .check_every_us = check->check_every_s * SECOND_US,
                         .calibrate_every_us = check->calibrate_every_s * SECOND_US}};
            track_fill(book, undone, track);
        }
    }
}

bool probe_book_load(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                     struct probe_book *out, struct err *err)
{
    return probe_book_load_undone(tx, mem, farm, NULL, out, err);
}

bool probe_book_load_undone(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                            const struct acts_undone *undone, struct probe_book *out,
                            struct err *err)
{
    struct probe_book book = {.mem = mem, .farm = farm};

    if (farm->instruments.count > 0 && !probe_store_list(tx, mem, &book.visits, err))
        return false;
    tracks_fill(&book, undone);
    *out = book;

    return true;
}

const struct probe_track *probe_book_track(const struct probe_book *book, const char *instrument,
                                           const char *parameter)
{
    for (size_t i = 0; i < book->count; i++)
        if (str_equal(book->tracks[i].instrument->key, instrument) &&
            str_equal(book->tracks[i].check->parameter, parameter))
            return &book->tracks[i];

    return NULL;
}

const struct probe_visit_row *probe_book_visit(const struct probe_book *book, int visit)
{
    for (size_t i = 0; i < book->visits.count; i++)
        if (book->visits.items[i].visit == visit)
            return &book->visits.items[i];

    return NULL;
}

bool probe_track_reads(const struct probe_book *book, const struct probe_track *track,
                       const struct series_row *series)
{
    return str_equal(series->parameter, track->check->parameter) &&
           farm_instrument_reads(book->farm, track->instrument, series->station, series->position,
                                 series->parameter, series->made_by, series->kind);
}

/* --- marks of doubt -------------------------------------------------------------------------- */

struct mark_list {
    struct doubt_mark *items;
    size_t count;
    size_t capacity;
};

static void issue_mark(const struct probe_book *book, const struct probe_track *track,
                       const struct probe_issue *issue, int64_t series_id, instant first,
                       instant until, struct mark_list *list)
{
    instant begins = farm_instrument_from(book->farm, track->instrument);
    instant ends = farm_instrument_until(book->farm, track->instrument);
    instant from = issue->after + 1 > begins ? issue->after + 1 : begins;
    instant to = issue->until < ends ? issue->until : ends - 1;

    if (!probe_issue_doubt(issue) || from > to || from >= until || to < first)
        return;
    LIST_ADD(book->mem, list,
             ((struct doubt_mark){.series_id = series_id,
                                  .from = from,
                                  .until = to,
                                  .kind = probe_issue_doubt(issue),
                                  .words = probe_issue_words(book->mem, book, track, issue)}));
}

bool probe_book_doubts(struct db_tx *tx, const struct probe_book *book, instant first,
                       instant until, struct doubt_marks *marks, struct err *err)
{
    struct mark_list list = {0};
    struct series_rows series = {0};
    bool any = false;

    for (size_t i = 0; i < book->count; i++)
        any = any || book->tracks[i].left.count > 0;
    if (!any)
        return true;
    if (!series_store_list(tx, book->mem, &series, err))
        return false;
    for (size_t i = 0; i < marks->count; i++)
        LIST_ADD(book->mem, &list, marks->items[i]);
    for (size_t i = 0; i < book->count; i++) {
        const struct probe_track *track = &book->tracks[i];

        for (size_t j = 0; j < series.count; j++) {
            if (!probe_track_reads(book, track, &series.items[j]))
                continue;
            for (size_t k = 0; k < track->left.count; k++)
                issue_mark(book, track, &track->left.items[k], series.items[j].series_id, first,
                           until, &list);
        }
    }
    *marks = (struct doubt_marks){list.items, list.count};

    return true;
}
