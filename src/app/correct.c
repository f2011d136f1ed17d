#include "app/correct.h"

#include <string.h>

#include "app/sensing.h"
#include "app/windows.h"
#include "base/number.h"
#include "base/str.h"
#include "ingest/place.h"
#include "judge/evidence.h"
#include "store/correction_store.h"
#include "store/series_store.h"

/* Rows set aside that a person may pick from by file and line. */
enum { ASIDE_MOST = 100000 };

bool correct_reason_given(const char *reason, struct err *err)
{
    if (!str_empty(reason))
        return true;
    err_set(err, ERR_INVALID, "a reason is needed, in words");

    return err_hint(err, "Add --because \"...\": an auditor will read it.");
}

bool correct_second_allowed(const struct farm *farm, const char *second, const struct act *act,
                            struct err *err)
{
    struct act other = {.person = second, .at = act->at};

    if (!second)
        return true;
    if (str_equal(second, act->person))
        return err_set(err, ERR_INVALID, "the second person must be another than the first");

    return act_allowed(farm, &other, MAY_CORRECT, err) || err_wrap(err, "the second person");
}

static char *value_words(struct arena *mem, char qualifier, const char *reported, const char *unit)
{
    if (qualifier == QUALIFIER_NOT_DETECTED)
        return arena_strdup(mem, "not detected");

    return arena_printf(mem, "%s%s %s",
                        qualifier == QUALIFIER_LESS      ? "<"
                        : qualifier == QUALIFIER_GREATER ? ">"
                                                         : "",
                        reported, unit);
}

static char *found_words(struct arena *mem, const struct reading_found *found)
{
    return arena_printf(
        mem, "%s%s%s%s%s%s%s", value_words(mem, found->qualifier, found->reported, found->unit),
        str_empty(found->position) ? "" : " at ", found->position ? found->position : "",
        str_empty(found->made_by) ? "" : " by ", found->made_by ? found->made_by : "",
        found->sample ? ", sample " : "", found->sample ? found->sample : "");
}

static bool found_matches(const struct reading_ref *ref, const struct reading_found *found)
{
    return (!ref->position || str_equal(ref->position, found->position)) &&
           (!ref->made_by || str_equal(ref->made_by, found->made_by)) &&
           (!ref->sample || str_equal(ref->sample, found->sample));
}

/* A station or parameter that the farm does not have: say so, rather than doubt the time. */
static bool names_known(struct arena *mem, const struct farm *farm, const struct reading_ref *ref,
                        struct err *err)
{
    const struct parameter *parameter = NULL;

    return farm_require_position(mem, farm, ref->station, ref->position, err) &&
           parameter_require(&farm->known_parameters, ref->parameter, &parameter, err);
}

static bool reading_pick(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                         const struct reading_ref *ref, struct reading_found *out, struct err *err)
{
    struct reading_founds founds = {0};
    struct buf list = buf_new(mem);
    size_t matches = 0;
    bool positions = false;

    if (!reading_store_at(tx, mem, ref->station, ref->parameter, ref->at, &founds, err))
        return false;
    for (size_t i = 0; i < founds.count; i++) {
        if (!found_matches(ref, &founds.items[i]))
            continue;
        positions = positions || !str_empty(founds.items[i].position);
        *out = founds.items[i];
        buf_addf(&list, "%s%s", matches++ ? "; " : "", found_words(mem, &founds.items[i]));
    }
    if (matches == 1)
        return true;
    if (matches == 0 && !names_known(mem, farm, ref, err))
        return false;
    if (matches == 0) {
        err_set(err, ERR_NOT_FOUND, "no reading of %s at %s is stored for %s", ref->parameter,
                ref->station, zone_text(mem, farm->zone, ref->at));
        return err_hint(err, "The time must be that of the reading, to the minute, in the farm's "
                             "own time.");
    }
    err_set(err, ERR_INVALID, "%zu readings are stored there: %s", matches, list.data);

    if (positions)
        return err_hint(err, "Say which: %s/POSITION, --sample NUMBER or --made-by NAME.",
                        ref->station);

    return err_hint(err, "Say which: --sample NUMBER or --made-by NAME.");
}

/* The new value in the unit told, and in the canonical one for charts. */
static bool value_read(struct arena *mem, const struct open_farm *farm,
                       const struct reading_ref *ref, const struct correction_order *order,
                       struct correction_row *row, struct err *err)
{
    const struct parameter *parameter =
        parameter_find(&farm->farm->known_parameters, ref->parameter);
    struct number_style style = {.decimal_mark = '.'};
    struct number number = number_read(&style, order->value);
    const struct unit *unit = NULL;
    const struct exact *canonical = NULL;

    if (!parameter || parameter->kind == PARAMETER_STATE)
        return err_set(err, ERR_INVALID, "%s is not a number that can be corrected",
                       ref->parameter);
    if (number.kind != NUMBER_VALUE && number.kind != NUMBER_NOT_DETECTED) {
        err_set(err, ERR_INVALID, "'%s' is not a value", order->value);
        return err_hint(err, "Write it as 0.05, <0.05, >2420 or ND.");
    }
    if (!unit_find(farm->units, row->unit, parameter, &unit, err))
        return false;
    if (number.kind == NUMBER_NOT_DETECTED) {
        row->unit = unit_name(unit);
        row->qualifier = QUALIFIER_NOT_DETECTED;
        return true;
    }
    if (!unit_convert(farm->units, mem, unit, unit_named(farm->units, parameter->unit),
                      exact_from_decimal(mem, number.value), &canonical, err))
        return false;

    const char *why = parameter_impossible(mem, parameter, exact_double(canonical));

    if (why)
        return err_set(err, ERR_INVALID, "%s", why);
    row->unit = unit_name(unit);
    row->qualifier = number.qualifier;
    row->reported = number.value;
    row->value = exact_double(canonical);

    return true;
}

/* The newest reading of a series is shown as it now stands. */
static bool latest_follow(struct db_tx *tx, const struct correction_row *row, struct err *err)
{
    struct latest_row latest = {.series_id = row->series_id,
                                .at = row->at,
                                .qualifier = row->qualifier,
                                .reported = row->reported,
                                .unit = row->unit};

    return !str_equal(row->kind, "value") ||
           series_store_latest_follow(tx, &latest, row->portion, err);
}

/* Everything after the reading is known: one row, its window, its entry. */
static bool correction_put(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                           const struct reading_ref *ref, const struct correction_row *row,
                           const struct act *act, const struct correction_done *done,
                           struct err *err)
{
    struct entry_field fields[] = {
        {"station", ref->station},
        {"position", ref->position},
        {"parameter", ref->parameter},
        {"at", instant_text(mem, ref->at)},
        {"series", arena_printf(mem, "%lld", (long long)row->series_id)},
        {"portion", arena_printf(mem, "%lld", (long long)row->portion)},
        {"what", row->kind},
        {"before", done->before},
        {"after", done->after},
        {"reason", row->reason},
        {"second person", row->second_person},
    };
    enum entry_kind kind = str_equal(row->kind, "value") ? ENTRY_CORRECTION : ENTRY_LEAVE_OUT;

    return correction_store_add(tx, row, err) && latest_follow(tx, row, err) &&
           windows_put_series(tx, farm->farm, row->series_id, ref->station, ref->parameter, row->at,
                              row->at, err) &&
           sensing_again_at(tx, mem, farm->farm, row->series_id, row->at, err) &&
           ledger_store_append(tx, act, kind, NULL, fields, ARRAY_LEN(fields), err);
}

static bool correct_in(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                       const struct reading_ref *ref, const struct correction_order *order,
                       const struct act *act, struct correction_row row,
                       struct correction_done *done, struct err *err)
{
    struct reading_found found = {0};

    if (!reading_pick(tx, mem, farm->farm, ref, &found, err))
        return false;
    row.series_id = found.series_id;
    row.at = found.at;
    row.until = found.until;
    row.portion = found.portion;
    row.kind = order->kind;
    row.unit = order->unit ? order->unit : found.unit;
    row.reason = order->reason;
    row.person = act->person;
    row.second_person = order->second_person;
    row.made_at = act->at;
    done->before = found_words(mem, &found);
    done->after = order->kind;
    if (str_equal(order->kind, "value")) {
        if (!value_read(mem, farm, ref, order, &row, err))
            return false;
        done->after = value_words(mem, row.qualifier, decimal_text(mem, row.reported), row.unit);
        /* The same value again is how a second person agrees afterwards. */
        if (!order->second_person &&
            str_equal(done->after, value_words(mem, found.qualifier, found.reported, found.unit)))
            return err_set(err, ERR_CONFLICT, "that reading is %s already", done->after);
    } else if (!order->second_person && found.left_out == str_equal(order->kind, "left out")) {
        return err_set(err, ERR_CONFLICT, "that reading is %s already",
                       found.left_out ? "left out" : "not left out");
    }

    return correction_put(tx, mem, farm, ref, &row, act, done, err);
}

bool reading_correct(struct db *db, struct arena *mem, const struct open_farm *farm,
                     const struct reading_ref *ref, const struct correction_order *order,
                     const struct act *act, struct correction_done *done, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) ||
        !correct_reason_given(order->reason, err) ||
        !correct_second_allowed(farm->farm, order->second_person, act, err))
        return false;

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           correct_in(&tx, mem, farm, ref, order, act, (struct correction_row){0}, done, err) &&
           db_tx_commit(&tx, err);
}

static bool is_on_line(const struct aside_row *row, const struct aside_ref *ref)
{
    if (ref->sheet)
        return str_equal(row->sheet, ref->sheet) && place_row(row->line) == ref->line;

    return row->line == ref->line;
}

bool asides_pick(struct db_tx *tx, struct arena *mem, const struct aside_ref *ref,
                 struct aside_list *out, struct err *err)
{
    struct aside_rows rows = {0};

    if (!aside_store_list(tx, mem, ASIDE_MOST, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        const struct aside_row *row = &rows.items[i];
        struct aside_row whole = {0};

        if (!str_equal(row->file_name, ref->file_name) || !is_on_line(row, ref) ||
            (ref->column && row->column != ref->column))
            continue;
        /* Of several files of one name the newest is meant; they come first. */
        if (out->count > 0 && row->receipt != out->items[0].receipt)
            continue;
        if (!aside_store_one(tx, mem, row->receipt, row->line, row->column, &whole, err))
            return false;
        LIST_ADD(mem, out, whole);
    }
    if (out->count > 0)
        return true;
    err_set(err, ERR_NOT_FOUND, "nothing that waits is set aside from %s%s%s %d of %s",
            ref->sheet ? "sheet " : "", ref->sheet ? ref->sheet : "", ref->sheet ? ", row" : "line",
            (int)ref->line, ref->file_name);

    return err_hint(err, "`weirbook aside` lists what waits, with file, line and column.");
}

static bool aside_pick(struct db_tx *tx, struct arena *mem, const struct aside_ref *ref,
                       struct aside_row *out, struct err *err)
{
    struct aside_list list = {0};

    if (!asides_pick(tx, mem, ref, &list, err))
        return false;
    if (list.count > 1) {
        err_set(err, ERR_INVALID, "more than one value of that line is set aside");
        return err_hint(err, "Add the column, as `weirbook aside` lists it.");
    }
    *out = list.items[0];

    return true;
}

bool asides_waiting(struct db *db, struct arena *mem, const struct open_farm *farm, size_t most,
                    struct aside_rows *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && aside_store_list(&tx, mem, most, out, err);
}

bool aside_accept(struct db *db, struct arena *mem, const struct open_farm *farm,
                  const struct aside_ref *ref, const char *reason, const char *second_person,
                  const struct act *act, struct correction_done *done, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct aside_row row = {0};

    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) || !correct_reason_given(reason, err) ||
        !correct_second_allowed(farm->farm, second_person, act, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) || !aside_pick(&tx, mem, ref, &row, err))
        return false;
    if (!str_equal(row.reason, problem_reason_name(PROBLEM_CONTRADICTS_STORED))) {
        err_set(err, ERR_INVALID, "that row was set aside because %s", row.words);
        return err_hint(err, "Type what is right (weirbook aside correct), or ask for a corrected "
                             "file and take it in; then leave this row out: weirbook aside "
                             "leave-out.");
    }

    struct reading_ref reading = {
        .station = row.station, .parameter = row.parameter, .at = row.at, .sample = row.sample};
    char qualifier[2] = {row.qualifier == QUALIFIER_NONE ? '\0' : row.qualifier, '\0'};
    struct correction_order order = {
        .kind = "value",
        .value = row.qualifier == QUALIFIER_NOT_DETECTED
                     ? "ND"
                     : arena_printf(mem, "%s%s", qualifier, decimal_text(mem, row.value)),
        .unit = row.unit,
        .reason = reason,
        .second_person = second_person};

    const struct aside_deed deed = {reason, act->person, second_person, act->at};

    return aside_store_answer(&tx, &row, "accepted", &deed, err) &&
           correct_in(&tx, mem, farm, &reading, &order, act,
                      (struct correction_row){.receipt = row.receipt, .line = row.line}, done,
                      err) &&
           db_tx_commit(&tx, err);
}

bool aside_leave_out_in(struct db_tx *tx, const struct open_farm *farm, const struct aside_row *row,
                        const struct aside_deed *deed, struct err *err)
{
    if (!aside_store_answer(tx, row, "left out", deed, err))
        return false;

    return row->at == INSTANT_NONE
               ? windows_put_all(tx, farm->farm, err)
               : windows_put_series(tx, farm->farm, 0, "", "", row->at, row->at, err);
}

bool aside_leave_out(struct db *db, struct arena *mem, const struct open_farm *farm,
                     const struct aside_ref *ref, const char *reason, const char *second_person,
                     const struct act *act, struct correction_done *done, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct aside_deed deed = {reason, act->person, second_person, act->at};
    struct aside_list list = {0};
    struct buf texts = buf_new(mem);
    int64_t receipt = 0;

    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) || !correct_reason_given(reason, err) ||
        !correct_second_allowed(farm->farm, second_person, act, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) || !asides_pick(&tx, mem, ref, &list, err))
        return false;
    for (size_t i = 0; i < list.count; i++) {
        if (!aside_leave_out_in(&tx, farm, &list.items[i], &deed, err))
            return false;
        buf_addf(&texts, "%s%s", i ? "; " : "", list.items[i].text);
        receipt = list.items[i].receipt;
    }

    struct entry_field fields[] = {
        {"file", ref->file_name},
        {"receipt", arena_printf(mem, "%lld", (long long)receipt)},
        {"line", arena_printf(mem, "%d", (int)ref->line)},
        {"column", ref->column ? arena_printf(mem, "%d", (int)ref->column) : NULL},
        {"rows", texts.data},
        {"reason", reason},
        {"second person", second_person},
    };

    done->before = texts.data;
    done->after = "left out";

    return ledger_store_append(&tx, act, ENTRY_LEAVE_OUT, NULL, fields, ARRAY_LEN(fields), err) &&
           db_tx_commit(&tx, err);
}
