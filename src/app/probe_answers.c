#include "app/probe_answers.h"

#include <stdlib.h>
#include <string.h>

#include "app/correct.h"
#include "app/judge_month.h"
#include "app/probe_findings.h"
#include "app/probe_visits.h"
#include "base/str.h"

enum { READINGS_SHOWN = 7 };

/* --- which check ----------------------------------------------------------------------------- */

static bool visit_find(const struct probe_book *book, int number, const char *parameter,
                       struct probe_offer *out, struct err *err)
{
    out->visit = probe_book_visit(book, number);
    if (!out->visit) {
        err_set(err, ERR_NOT_FOUND, "there is no visit %d", number);
        return err_hint(err, "`weirbook visit list` shows them with their numbers.");
    }
    if (out->visit->withdrawn) {
        err_set(err, ERR_CONFLICT, "visit %d is withdrawn: %s", number, out->visit->withdrawn);
        return err_hint(err, "Nothing rests on it, and there is nothing to answer.");
    }
    out->check = probe_visit_check(out->visit, parameter);
    out->track = probe_book_track(book, out->visit->instrument, parameter);
    if (out->check && out->track)
        return true;
    err_set(err, ERR_NOT_FOUND, "%s was not read at visit %d, or is no longer checked", parameter,
            number);

    return err_hint(err, "`weirbook visit show %d` says what was read.", number);
}

static bool waits(const struct probe_track *track, const struct probe_issues *issues, int visit)
{
    (void)track;
    for (size_t i = 0; i < issues->count; i++)
        if (issues->items[i].visit == visit && issues->items[i].kind != PROBE_GAP)
            return true;

    return false;
}

static bool offer_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm, int visit,
                       const char *parameter, struct probe_offer *out, struct err *err)
{
    if (!probe_book_load(tx, mem, farm->farm, &out->book, err) ||
        !visit_find(&out->book, visit, parameter, out, err))
        return false;
    for (size_t i = 0; i < out->track->count; i++)
        if (out->track->visits[i].visit == visit)
            out->proposal = probe_proposal_of(out->track->visits, i, &out->track->rule);
    if (!out->proposal.why_not && !out->track->check->correct_figures)
        out->proposal.why_not =
            "the farm file says that figures must not rest on corrected readings (`correct "
            "figures: no`)";
    out->waits = waits(out->track, &out->track->left, visit);

    return true;
}

static struct probe_answer_row answer_row(const struct probe_offer *offer,
                                          enum probe_answer_kind kind, const char *reason,
                                          const char *person, const char *second, instant at)
{
    struct probe_answer_row row = {.answer = offer->proposal.answer,
                                   .unit = offer->check->read.unit,
                                   .reason = reason,
                                   .person = person,
                                   .second_person = second,
                                   .at = at};

    row.answer.kind = kind;
    if (kind != PROBE_ANSWER_CORRECTED) {
        row.answer.after = offer->proposal.good_after;
        row.answer.cleaned = row.answer.after;
        row.answer.fouling = row.answer.drift = NULL;
    }

    return row;
}

/* --- before and after ------------------------------------------------------------------------ */

struct offering {
    struct arena *mem;
    const struct open_farm *farm;
    struct probe_offer *offer;
    instant now;
    struct {
        struct offer_change *items;
        size_t count;
        size_t capacity;
    } changes;
    struct {
        struct offer_reading *items;
        size_t count;
        size_t capacity;
    } readings;
};

static const char *reading_words(struct arena *mem, const struct evidence_reading *reading)
{
    if (reading->left_out)
        return arena_printf(mem, "left out: %s", reading->left_out);
    if (reading->doubt)
        return arena_printf(mem, "in doubt: %s", reading->doubt);

    return arena_printf(mem, "%s%s %s", reading->qualifier == '=' ? "" : "not ",
                        decimal_text(mem, reading->reported), reading->unit);
}

static void readings_compare(struct offering *on, const struct evidence *after)
{
    for (size_t i = 0; i < after->series_count; i++) {
        const struct evidence_series *series = &after->series[i];

        if (!str_equal(series->parameter, on->offer->track->check->parameter))
            continue;
        for (size_t k = 0; k < series->count; k++) {
            const struct evidence_reading *reading = &series->readings[k];

            if (!reading->corrected_by || reading->at <= on->offer->proposal.answer.after ||
                reading->at > on->offer->proposal.answer.until)
                continue;
            LIST_ADD(
                on->mem, &on->readings,
                ((struct offer_reading){
                    .station = arena_strdup(on->mem, series->station),
                    .position = series->position ? arena_strdup(on->mem, series->position) : NULL,
                    .at = reading->at,
                    .before = arena_printf(on->mem, "%s %s",
                                           decimal_text(on->mem, reading->first_reported),
                                           reading->first_unit),
                    .after = reading_words(on->mem, reading)}));
        }
    }
}

static void verdicts_compare(struct offering *on, day_number month,
                             const struct judged_month *before, const struct judged_month *after)
{
    for (size_t i = 0; i < before->verdicts.count && i < after->verdicts.count; i++) {
        const struct verdict *one = &before->verdicts.items[i];
        const struct verdict *other = &after->verdicts.items[i];

        if (str_equal(one->words, other->words))
            continue;
        LIST_ADD(on->mem, &on->changes,
                 ((struct offer_change){.month = month,
                                        .limit = arena_strdup(on->mem, one->limit->key),
                                        .before = arena_strdup(on->mem, one->words),
                                        .after = arena_strdup(on->mem, other->words)}));
    }
}

/* Inside a transaction that is not kept. */
static bool month_compare(struct db_tx *tx, struct offering *on, day_number month, struct err *err)
{
    CLEANUP(arena_free) struct arena *room = arena_new();
    struct probe_answer_row row = answer_row(on->offer, PROBE_ANSWER_CORRECTED, "proposed",
                                             on->offer->visit->person, NULL, on->now);
    struct judged_month before;
    struct judged_month after;

    if (!month_judge(tx, room, on->farm, month, on->now, NULL, &before, err) ||
        !db_savepoint(tx, err) ||
        !probe_store_answer(tx, room, on->offer->track->check->parameter, &row, err) ||
        !month_judge(tx, room, on->farm, month, on->now, NULL, &after, err) ||
        !db_savepoint_rollback(tx, err))
        return false;
    verdicts_compare(on, month, &before, &after);
    readings_compare(on, &after.loaded.evidence);

    return true;
}

/* The first, the last, and some evenly between. */
static int earlier_first(const void *a, const void *b)
{
    const struct offer_reading *one = a;
    const struct offer_reading *other = b;

    if (one->at != other->at)
        return one->at < other->at ? -1 : 1;

    return strcmp(one->station, other->station);
}

static bool is_same_reading(const struct offer_reading *a, const struct offer_reading *b)
{
    return a->at == b->at && str_equal(a->station, b->station) &&
           str_equal(a->position, b->position);
}

/* In order of time, each once: the evidence of a month reaches into those beside it. */
static void readings_order(struct offering *on)
{
    struct offer_reading *items = on->readings.items;
    size_t kept = 0;

    if (on->readings.count > 1)
        qsort(items, on->readings.count, sizeof(*items), earlier_first);
    for (size_t i = 0; i < on->readings.count; i++)
        if (kept == 0 || !is_same_reading(&items[kept - 1], &items[i]))
            items[kept++] = items[i];
    on->readings.count = kept;
}

static void readings_pick(struct offering *on)
{
    readings_order(on);

    size_t count = on->readings.count;
    size_t shown = count < READINGS_SHOWN ? count : READINGS_SHOWN;

    on->offer->corrected = count;
    on->offer->readings = ARENA_ARRAY(on->mem, struct offer_reading, shown);
    for (size_t i = 0; i < shown; i++)
        on->offer->readings[i] = on->readings.items[shown > 1 ? i * (count - 1) / (shown - 1) : 0];
    on->offer->reading_count = shown;
    on->offer->changes = on->changes.items;
    on->offer->change_count = on->changes.count;
}

static bool months_compare(struct db_tx *tx, struct offering *on, struct err *err)
{
    const struct zone *zone = on->farm->farm->zone;
    day_number last = month_first(zone_day(zone, on->offer->proposal.answer.until));
    day_number month = month_first(zone_day(zone, on->offer->proposal.answer.after + 1));
    int months = 0;

    for (day_number at = month; at <= last; at = month_next(at))
        months++;
    for (; months > OFFER_MONTHS_MOST; months--) {
        month = month_next(month);
        on->offer->months_cut = true;
    }
    for (; month <= last; month = month_next(month))
        if (!month_compare(tx, on, month, err))
            return err_wrap(err, "%s", month_words(on->mem, month));
    readings_pick(on);

    return true;
}

bool probe_offer_read(struct db *db, struct arena *mem, const struct open_farm *farm, int visit,
                      const char *parameter, instant now, struct probe_offer *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct probe_offer offer = {.corrected = 0};
    struct offering on = {.mem = mem, .farm = farm, .offer = &offer, .now = now};

    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !offer_find(&tx, mem, farm, visit, parameter, &offer, err) ||
        (!offer.proposal.why_not && !months_compare(&tx, &on, err)))
        return false;
    *out = offer;

    return true;
}

/* --- answering ------------------------------------------------------------------------------- */

static bool answer_word(const char *word, enum probe_answer_kind *out, struct err *err)
{
    for (int i = 0; probe_answer_words[i]; i++) {
        if (!str_equal(probe_answer_words[i], word))
            continue;
        *out = (enum probe_answer_kind)i;
        return true;
    }
    err_set(err, ERR_INVALID, "'%s' is no answer to a visit", word);

    return err_hint(err, "It is one of: corrected, \"left out\", stands, refused.");
}

static bool answer_fits(const struct probe_offer *offer, enum probe_answer_kind kind,
                        const char *second, struct err *err)
{
    const struct probe_answer_row *before = offer->check->answer;
    bool any = waits(offer->track, &offer->track->issues, offer->visit->visit);

    if (kind == PROBE_ANSWER_CORRECTED && offer->proposal.why_not) {
        err_set(err, ERR_INVALID, "there is no correction to accept: %s", offer->proposal.why_not);
        return err_hint(err, "The readings can be left out, or stand for a reason that you state.");
    }
    if (!any) {
        err_set(err, ERR_INVALID, "nothing that visit %d says of %s can be answered",
                offer->visit->visit, offer->track->check->parameter);
        return err_hint(err, offer->check->found == PROBE_BEYOND
                                 ? "What is beyond the maximum stays a gap. A visit that was "
                                   "written down wrongly is withdrawn."
                                 : "It puts no reading in doubt.");
    }
    if (before && before->answer.kind == kind && (!second || before->second_person)) {
        err_set(err, ERR_CONFLICT, "it is answered so already, by %s", before->person);
        return err_hint(err, before->second_person ? "Nothing is left to do."
                                                   : "A second person agrees with --second.");
    }

    return true;
}

static const char *error_words(struct arena *mem, const struct exact *error, const char *unit)
{
    return error ? arena_printf(mem, "%s %s", exact_text(mem, error, 15), unit) : NULL;
}

static bool answer_entry(struct db_tx *tx, struct arena *mem, const struct probe_offer *offer,
                         const struct probe_answer_row *row, const struct act *act, struct err *err)
{
    struct entry_field fields[] = {
        {"visit", arena_printf(mem, "%d", offer->visit->visit)},
        {"instrument", offer->visit->instrument},
        {"parameter", offer->track->check->parameter},
        {"answer", probe_answer_words[row->answer.kind]},
        {"after", instant_text(mem, row->answer.after)},
        {"cleaned", instant_text(mem, row->answer.cleaned)},
        {"until", instant_text(mem, row->answer.until)},
        {"fouling", error_words(mem, row->answer.fouling, row->unit)},
        {"drift", error_words(mem, row->answer.drift, row->unit)},
        {"reason", row->reason},
        {"second person", row->second_person},
    };

    return ledger_store_append(tx, act, ENTRY_VISIT_ANSWER, NULL, fields, ARRAY_LEN(fields), err);
}

static bool answer_put(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                       const struct probe_offer *offer, const struct probe_answer_row *row,
                       const struct act *act, struct err *err)
{
    const struct probe_answer_row *before = offer->check->answer;
    instant from = before && before->answer.after < row->answer.after ? before->answer.after
                                                                      : row->answer.after;
    struct finding_rows found = {0};
    int opened = 0;
    int ended = 0;

    from = offer->proposal.good_after < from ? offer->proposal.good_after : from;

    return probe_store_answer(tx, mem, offer->track->check->parameter, row, err) &&
           probe_windows_put(tx, mem, &offer->book, offer->track, from, row->answer.until, err) &&
           probe_findings_of(tx, mem, farm->farm, act->at, &found, err) &&
           answer_entry(tx, mem, offer, row, act, err) &&
           probe_findings_put(tx, mem, farm->farm, &found, "weirbook visit", act->at, &opened,
                              &ended, err);
}

bool probe_answer_give(struct db *db, struct arena *mem, const struct open_farm *farm,
                       const struct probe_answer_order *order, const struct act *act,
                       struct probe_answer_row *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct probe_offer offer = {.corrected = 0};
    enum probe_answer_kind kind = PROBE_ANSWER_REFUSED;
    struct probe_answer_row row;

    if (str_empty(order->because)) {
        err_set(err, ERR_INVALID, "a reason is needed, in words");
        return err_hint(err, "Add --because \"...\": an auditor will read it.");
    }
    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) ||
        !correct_second_allowed(farm->farm, order->second_person, act, err) ||
        !answer_word(order->answer, &kind, err) || !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !offer_find(&tx, mem, farm, order->visit, order->parameter, &offer, err) ||
        !answer_fits(&offer, kind, order->second_person, err))
        return false;
    row = answer_row(&offer, kind, order->because, act->person, order->second_person, act->at);
    if (!answer_put(&tx, mem, farm, &offer, &row, act, err) || !db_tx_commit(&tx, err))
        return false;
    *out = row;

    return true;
}
