#include "app/probe_visits.h"

#include "app/correct.h"
#include "app/probe_findings.h"
#include "app/windows.h"
#include "base/str.h"
#include "store/reading_store.h"

/* --- what is refused ------------------------------------------------------------------------- */

static bool instrument_unknown(struct arena *mem, const struct farm *farm, const char *key,
                               struct err *err)
{
    const char **keys = ARENA_ARRAY(mem, const char *, farm->instruments.count);
    const char *nearest;

    for (size_t i = 0; i < farm->instruments.count; i++)
        keys[i] = farm->instruments.items[i].key;
    nearest = str_nearest(key, keys, farm->instruments.count);
    err_set(err, ERR_NOT_FOUND, "the farm file has no instrument '%s'", str_show(mem, key, 60));
    if (nearest)
        return err_hint(err, "Did you mean '%s'? `weirbook instruments` lists them.", nearest);

    return err_hint(err, "Add it under `instruments:` in the farm file, and load that.");
}

static bool user_allowed(const struct farm_instrument *instrument, const struct act *act,
                         struct err *err)
{
    for (size_t i = 0; i < instrument->user_count; i++)
        if (str_equal(instrument->users[i], act->person))
            return true;
    if (instrument->user_count == 0)
        return true;
    err_set(err, ERR_DENIED, "%s is not among those who may use %s", act->person, instrument->key);

    return err_hint(err, "The farm file names them under `used by`.");
}

static bool time_fits(struct arena *mem, const struct farm *farm,
                      const struct farm_instrument *instrument, instant at, const struct act *act,
                      struct err *err)
{
    if (at > act->at) {
        err_set(err, ERR_INVALID, "%s has not come yet", zone_text(mem, farm->zone, at));
        return err_hint(err, "Write a visit down when it is done.");
    }
    if (at < farm_instrument_from(farm, instrument) ||
        at >= farm_instrument_until(farm, instrument)) {
        err_set(err, ERR_INVALID, "%s was not in use at %s", instrument->key,
                zone_text(mem, farm->zone, at));
        return err_hint(err, "The farm file says from when until when.");
    }

    return true;
}

static bool comes_last(struct arena *mem, const struct probe_book *book, const char *instrument,
                       instant at, struct err *err)
{
    for (size_t i = 0; i < book->visits.count; i++) {
        const struct probe_visit_row *row = &book->visits.items[i];

        if (row->withdrawn || !str_equal(row->instrument, instrument) || row->at < at)
            continue;
        err_set(err, ERR_CONFLICT, "%s is on record, which is not before %s",
                probe_visit_words(mem, book->farm, row->visit, row->at),
                zone_text(mem, book->farm->zone, at));
        return err_hint(err,
                        "Visits are written down in order of time. Withdraw the later ones first "
                        "(weirbook visit withdraw %d), then write all of them down again.",
                        row->visit);
    }

    return true;
}

static bool standards_fit(struct arena *mem, const struct open_farm *farm,
                          const struct visit_readings *read, instant at, struct err *err)
{
    day_number day = zone_day(farm->farm->zone, at);

    for (size_t i = 0; i < read->readings.standard_count; i++) {
        const struct visit_standard *one = &read->standards[i];

        if (one->expires == DAY_NONE || day <= one->expires)
            continue;
        err_set(err, ERR_INVALID, "the standard %s %s%s%s had expired on %s",
                decimal_text(mem, one->read.standard), read->unit, one->lot ? ", lot " : "",
                one->lot ? one->lot : "", day_words(mem, one->expires));
        return err_hint(err, "Check the probe in a standard that is still good; what was read in "
                             "this one shows nothing.");
    }

    return true;
}

/* What a probe is held against must itself have been good. */
static bool meter_fits(struct arena *mem, const struct probe_book *book, const char *meter,
                       const char *parameter, instant at, struct err *err)
{
    const struct farm_instrument *instrument = farm_find_instrument(book->farm, meter);
    const struct probe_track *track = probe_book_track(book, meter, parameter);

    if (!instrument || !track) {
        err_set(err, ERR_INVALID, "the farm file asks for no check of %s of '%s'", parameter,
                meter);
        return err_hint(err, "Add it under `checks` of that instrument: only a meter that is "
                             "checked itself can show that a probe is good.");
    }
    for (size_t i = 0; i < track->left.count; i++) {
        const struct probe_issue *issue = &track->left.items[i];

        if (at <= issue->after || at > issue->until)
            continue;
        err_set(err, ERR_INVALID, "%s was in doubt itself: %s", meter,
                probe_issue_words(mem, book, track, issue));
        return err_hint(err, "Write the meter's own check down first, or use another one.");
    }
    if (!probe_last_good(track->visits, track->count, at)) {
        err_set(err, ERR_INVALID, "%s has no good check on record before that", meter);
        return err_hint(err, "Write the meter's own check down first.");
    }

    return true;
}

static bool meters_fit(struct arena *mem, const struct probe_book *book,
                       const struct visit_readings *read, instant at, struct err *err)
{
    if (read->meter && !meter_fits(mem, book, read->meter, read->parameter, at, err))
        return false;

    return true;
}

/* --- what it comes to ------------------------------------------------------------------------ */

static const char *criteria_words(struct arena *mem, const struct farm_instrument_check *check)
{
    const struct drift_criteria *criteria = &check->criteria;
    struct buf text = buf_new(mem);

    buf_addf(&text, "correct beyond");
    if (criteria->correct.amount > 0)
        buf_addf(&text, " %g %s", criteria->correct.amount, criteria->unit);
    if (criteria->correct.percent > 0)
        buf_addf(&text, "%s %g %%", criteria->correct.amount > 0 ? " or" : "",
                 criteria->correct.percent);
    buf_addf(&text, ", not used beyond");
    if (criteria->most.amount > 0)
        buf_addf(&text, " %g %s", criteria->most.amount, criteria->unit);
    if (criteria->most.percent > 0)
        buf_addf(&text, "%s %g %%", criteria->most.amount > 0 ? " or" : "", criteria->most.percent);
    buf_addf(&text, " (%s; %s)",
             check->as_published ? "USGS Techniques and Methods 1-D3" : "the farm's own",
             check->copied_from);

    return text.data;
}

static bool check_judge(struct arena *mem, const struct open_farm *farm,
                        const struct farm_instrument_check *check,
                        const struct visit_readings *read, struct probe_check_row *out,
                        struct err *err)
{
    struct unit_conversion conversion;
    struct probe_outcome outcome;

    if (!unit_conversion(farm->units, mem, unit_named(farm->units, read->unit),
                         unit_named(farm->units, check->criteria.unit), &conversion, err))
        return err_wrap(err, "%s", check->parameter);
    outcome = probe_judge(mem, &check->criteria, &conversion, &read->readings);
    *out = (struct probe_check_row){
        .read = *read,
        .fouling = outcome.fouling,
        .drift = outcome.drift,
        .found = outcome.found,
        .left = outcome.left,
        .calibrated = outcome.calibrated,
        .rating = check->as_published ? drift_rating_words[outcome.rating] : NULL,
        .criteria = criteria_words(mem, check)};

    return true;
}

static bool reading_judge(struct arena *mem, const struct open_farm *farm,
                          const struct probe_book *book, const struct farm_instrument *instrument,
                          const struct visit_readings *read, instant at,
                          struct probe_check_row *out, struct err *err)
{
    const struct farm_instrument_check *check =
        farm_instrument_check_of(instrument, read->parameter);

    if (!check) {
        err_set(err, ERR_INVALID, "the farm file asks for no check of %s of %s", read->parameter,
                instrument->key);
        return err_hint(err, "Add it under `checks` of that instrument, with the criteria to judge "
                             "it by.");
    }

    return standards_fit(mem, farm, read, at, err) && meters_fit(mem, book, read, at, err) &&
           check_judge(mem, farm, check, read, out, err);
}

static bool order_judge(struct arena *mem, const struct open_farm *farm,
                        const struct probe_book *book, const struct visit_order *order,
                        const struct act *act, struct probe_visit_row *out, struct err *err)
{
    const struct farm_instrument *instrument = farm_find_instrument(farm->farm, order->instrument);

    if (!instrument)
        return instrument_unknown(mem, farm->farm, order->instrument, err);
    if (!user_allowed(instrument, act, err) ||
        !time_fits(mem, farm->farm, instrument, order->at, act, err) ||
        !comes_last(mem, book, instrument->key, order->at, err))
        return false;
    *out =
        (struct probe_visit_row){.instrument = instrument->key,
                                 .at = order->at,
                                 .maintenance = order->maintenance,
                                 .note = order->note,
                                 .person = act->person,
                                 .recorded_at = act->at,
                                 .checks = ARENA_ARRAY(mem, struct probe_check_row, order->count),
                                 .check_count = order->count};
    for (size_t i = 0; i < order->count; i++)
        if (!reading_judge(mem, farm, book, instrument, &order->items[i], order->at,
                           &out->checks[i], err))
            return false;

    return true;
}

/* --- recording ------------------------------------------------------------------------------- */

bool probe_windows_put(struct db_tx *tx, struct arena *mem, const struct probe_book *book,
                       const struct probe_track *track, instant from, instant until,
                       struct err *err)
{
    struct series_rows series = {0};
    instant begins = farm_instrument_from(book->farm, track->instrument);
    instant ends = farm_instrument_until(book->farm, track->instrument);
    instant first = INSTANT_NONE;
    instant last = INSTANT_NONE;

    if (!series_store_list(tx, mem, &series, err) || !reading_store_span(tx, &first, &last, err))
        return false;
    if (first == INSTANT_NONE)
        return true;
    first = first > from ? first : from;
    first = first > begins ? first : begins;
    last = last < until ? last : until;
    last = last < ends ? last : ends;
    for (size_t i = 0; i < series.count && first <= last; i++) {
        const struct series_row *row = &series.items[i];

        if (probe_track_reads(book, track, row) &&
            !windows_put_series(tx, book->farm, row->series_id, row->station, row->parameter, first,
                                last, err))
            return false;
    }

    return true;
}

/* Everything since the good check before it, and all after it. */
static bool windows_put_visit(struct db_tx *tx, struct arena *mem, const struct probe_book *book,
                              const struct probe_visit_row *visit, struct err *err)
{
    for (size_t i = 0; i < visit->check_count; i++) {
        const struct probe_track *track =
            probe_book_track(book, visit->instrument, visit->checks[i].read.parameter);
        const struct probe_visit *good =
            track ? probe_last_good(track->visits, track->count, visit->at - 1) : NULL;

        if (track && !probe_windows_put(tx, mem, book, track, good ? good->at : track->rule.from,
                                        INT64_MAX, err))
            return false;
    }

    return true;
}

static const char *error_words(struct arena *mem, const struct exact *error)
{
    return error ? exact_text(mem, error, 15) : NULL;
}

/* One field for what was read and one for what it came to, a parameter each. */
static bool entry_add(struct db_tx *tx, struct arena *mem, const struct probe_visit_row *visit,
                      const char *did, const char *reason, const char *second,
                      const struct act *act, struct err *err)
{
    size_t most = 7 + 2 * visit->check_count;
    struct entry_field *fields = ARENA_ARRAY(mem, struct entry_field, most);
    size_t count = 0;

    fields[count++] = (struct entry_field){"did", did};
    fields[count++] = (struct entry_field){"visit", arena_printf(mem, "%d", visit->visit)};
    fields[count++] = (struct entry_field){"instrument", visit->instrument};
    fields[count++] = (struct entry_field){"at", instant_text(mem, visit->at)};
    fields[count++] = (struct entry_field){"says", reason ? reason : visit->maintenance};
    fields[count++] = (struct entry_field){"note", visit->note};
    fields[count++] = (struct entry_field){"second person", second};
    for (size_t i = 0; i < visit->check_count; i++) {
        const struct probe_check_row *check = &visit->checks[i];
        const char *fouling = error_words(mem, check->fouling);
        const char *drift = error_words(mem, check->drift);

        fields[count++] = (struct entry_field){
            arena_printf(mem, "read of %s", check->read.parameter), probe_read_words(mem, check)};
        fields[count++] = (struct entry_field){
            arena_printf(mem, "%s came to", check->read.parameter),
            arena_printf(mem, "found %s, left %s; fouling %s, drift %s %s; %s",
                         probe_result_words[check->found], probe_result_words[check->left],
                         fouling ? fouling : "not checked", drift ? drift : "not checked",
                         check->read.unit, check->criteria)};
    }

    return ledger_store_append(tx, act, ENTRY_VISIT, NULL, fields, count, err);
}

/* After the visit, or its withdrawal, is stored: windows, the entry, findings. */
static bool visit_put(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                      const struct probe_book *book, const struct probe_visit_row *row,
                      const char *did, const char *because, const char *second,
                      const struct act *act, int *opened, struct err *err)
{
    struct finding_rows found = {0};
    int ended = 0;

    return windows_put_visit(tx, mem, book, row, err) &&
           probe_findings_of(tx, mem, farm->farm, act->at, &found, err) &&
           entry_add(tx, mem, row, did, because, second, act, err) &&
           probe_findings_put(tx, mem, farm->farm, &found, "weirbook visit", act->at, opened,
                              &ended, err);
}

bool visit_record(struct db *db, struct arena *mem, const struct open_farm *farm,
                  const struct visit_order *order, const struct act *act, struct visit_done *out,
                  struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct visit_done done = {.opened = 0};
    struct probe_book book;

    if (!act_allowed(farm->farm, act, MAY_CALIBRATE, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !probe_book_load(&tx, mem, farm->farm, &book, err) ||
        !order_judge(mem, farm, &book, order, act, &done.row, err) ||
        !probe_store_add(&tx, mem, &done.row, &done.row.visit, err) ||
        !visit_put(&tx, mem, farm, &book, &done.row, "recorded", NULL, NULL, act, &done.opened,
                   err) ||
        !db_tx_commit(&tx, err))
        return false;
    *out = done;

    return true;
}

static bool may_go(struct arena *mem, const struct probe_book *book,
                   const struct probe_visit_row *visit, struct err *err)
{
    if (visit->withdrawn) {
        err_set(err, ERR_CONFLICT, "visit %d is withdrawn already, by %s", visit->visit,
                visit->withdrawn_by);
        return err_hint(err, "`weirbook visit list --all` shows why.");
    }
    for (size_t i = 0; i < book->visits.count; i++) {
        const struct probe_visit_row *row = &book->visits.items[i];

        if (row->withdrawn || !str_equal(row->instrument, visit->instrument) ||
            row->at <= visit->at)
            continue;
        err_set(err, ERR_CONFLICT, "%s to the same instrument stands, and may rest on it",
                probe_visit_words(mem, book->farm, row->visit, row->at));
        return err_hint(err, "Withdraw the later one first, then write both down again.");
    }

    return true;
}

/* What a visit put in doubt is in doubt no more: that wants a second person, where there is one. */
static bool is_seen(const struct farm *farm, const char *second, const struct act *act,
                    struct err *err)
{
    if (second || !act_another_may(farm, act, MAY_CORRECT))
        return correct_second_allowed(farm, second, act, err);
    err_set(err, ERR_DENIED,
            "withdrawing a visit takes away what it put in doubt or corrected, so "
            "a second person sees it");

    return err_hint(err, "Add --second with another person who may correct.");
}

/* A second person agrees to a withdrawal that one made alone: the same again, naming him. */
static bool withdrawal_see(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                           const struct probe_visit_row *visit, const char *because,
                           const char *second, const struct act *act, struct err *err)
{
    bool is_act = str_equal(second, visit->withdrawn_by);
    const char *seer = is_act ? act->person : second;

    return (!is_act || act_allowed(farm->farm, act, MAY_CORRECT, err)) &&
           probe_store_see_withdrawn(tx, visit->visit, seer, act->at, err) &&
           entry_add(tx, mem, visit, "withdrawal seen by a second person", because, seer, act,
                     err) &&
           db_tx_commit(tx, err);
}

bool visit_withdraw(struct db *db, struct arena *mem, const struct open_farm *farm, int visit,
                    const char *because, const char *second_person, const struct act *act,
                    struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct probe_visit_row *row;
    struct probe_book book;
    int opened = 0;

    if (str_empty(because)) {
        err_set(err, ERR_INVALID, "a reason is needed, in words");
        return err_hint(err, "Add --because \"...\": an auditor will read it.");
    }
    if (!act_allowed(farm->farm, act, MAY_CALIBRATE, err) ||
        !is_seen(farm->farm, second_person, act, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !probe_book_load(&tx, mem, farm->farm, &book, err))
        return false;
    row = probe_book_visit(&book, visit);
    if (!row) {
        err_set(err, ERR_NOT_FOUND, "there is no visit %d", visit);
        return err_hint(err, "`weirbook visit list` shows them with their numbers.");
    }

    if (row->withdrawn && second_person && !row->withdrawn_seen)
        return withdrawal_see(&tx, mem, farm, row, because, second_person, act, err);

    return may_go(mem, &book, row, err) &&
           probe_store_withdraw(&tx, visit, because, act->person, act->at, err) &&
           (!second_person || probe_store_see_withdrawn(&tx, visit, second_person, act->at, err)) &&
           visit_put(&tx, mem, farm, &book, row, "withdrawn", because, second_person, act, &opened,
                     err) &&
           db_tx_commit(&tx, err);
}

bool visits_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                 struct probe_book *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           probe_book_load(&tx, mem, farm->farm, out, err);
}

static bool is_stranger(const struct farm *farm, const struct series_row *row)
{
    if (!str_equal(row->kind, "probe") && !str_equal(row->kind, "by hand"))
        return false;
    for (size_t i = 0; i < farm->instruments.count; i++)
        if (farm_instrument_reads(farm, &farm->instruments.items[i], row->station, row->position,
                                  row->parameter, row->made_by, row->kind))
            return false;

    return true;
}

bool instruments_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                      struct probe_book *out, struct series_rows *strangers, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct series_rows all = {0};

    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !probe_book_load(&tx, mem, farm->farm, out, err) || !series_store_list(&tx, mem, &all, err))
        return false;
    strangers->items = ARENA_ARRAY(mem, struct series_row, all.count);
    for (size_t i = 0; i < all.count; i++)
        if (is_stranger(farm->farm, &all.items[i]))
            strangers->items[strangers->count++] = all.items[i];

    return true;
}
