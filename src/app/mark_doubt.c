#include "app/mark_doubt.h"

#include "app/windows.h"
#include "base/str.h"
#include "store/series_store.h"

static bool order_checked(struct arena *mem, const struct doubt_order *order, struct err *err)
{
    struct buf kinds = buf_new(mem);

    if (str_empty(order->because)) {
        err_set(err, ERR_INVALID, "a reason is needed, in words");
        return err_hint(err, "Add --because \"...\": it stands beside every verdict it touches.");
    }
    if (!order->sample && order->until < order->from) {
        err_set(err, ERR_INVALID, "the span ends before it begins");
        return err_hint(err, "The first time is the earlier one.");
    }
    for (size_t i = 0; doubt_kinds[i]; i++) {
        if (str_equal(doubt_kinds[i], order->kind))
            return true;
        buf_addf(&kinds, "%s%s", i ? ", " : "", doubt_kinds[i]);
    }
    err_set(err, ERR_INVALID, "'%s' is no kind of doubt", order->kind);

    return err_hint(err, "It is one of: %s.", kinds.data);
}

/* What is in doubt, for the ledger. */
static char *what_words(struct arena *mem, const struct doubt_order *order)
{
    if (order->sample)
        return arena_printf(mem, "sample %s", order->sample);

    return arena_printf(mem, "%s of %s%s%s from %s to %s", order->parameter,
                        farm_position_text(mem, order->station, order->position),
                        order->made_by ? " by " : "", order->made_by ? order->made_by : "",
                        instant_text(mem, order->from), instant_text(mem, order->until));
}

static bool mark_add(struct db_tx *tx, struct arena *mem, const struct doubt_order *order,
                     const struct act *act, int64_t series_id, struct doubt_numbers *out,
                     struct err *err)
{
    struct doubt_row row = {.series_id = series_id,
                            .from = series_id ? order->from : INSTANT_NONE,
                            .until = series_id ? order->until : INSTANT_NONE,
                            .sample = order->sample,
                            .kind = order->kind,
                            .words = order->because,
                            .person = act->person,
                            .set_at = act->at};
    int mark = 0;

    if (!doubt_store_add(tx, &row, &mark, err))
        return false;
    LIST_ADD(mem, out, mark);

    return true;
}

static bool sample_mark(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                        const struct doubt_order *order, const struct act *act,
                        struct doubt_numbers *out, struct err *err)
{
    instant from = INSTANT_NONE;
    instant until = INSTANT_NONE;

    return doubt_store_sample(tx, order->sample, &from, &until, err) &&
           mark_add(tx, mem, order, act, 0, out, err) &&
           windows_put_series(tx, farm, 0, "", "", from, until, err);
}

static bool series_mark(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                        const struct doubt_order *order, const struct act *act,
                        struct doubt_numbers *out, struct err *err)
{
    struct series_rows rows = {0};

    if (!series_store_list(tx, mem, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        const struct series_row *row = &rows.items[i];

        if (!str_equal(row->station, order->station) ||
            !str_equal(row->parameter, order->parameter) ||
            (order->position && !str_equal(row->position, order->position)) ||
            (order->made_by && !str_equal(row->made_by, order->made_by)))
            continue;
        if (!mark_add(tx, mem, order, act, row->series_id, out, err) ||
            !windows_put_series(tx, farm, row->series_id, row->station, row->parameter, order->from,
                                order->until, err))
            return false;
    }
    if (out->count > 0)
        return true;
    err_set(err, ERR_NOT_FOUND, "nothing is stored of %s at %s%s%s", order->parameter,
            farm_position_text(mem, order->station, order->position), order->made_by ? " by " : "",
            order->made_by ? order->made_by : "");

    return err_hint(err, "`weirbook status` lists what is on record.");
}

bool doubt_set(struct db *db, struct arena *mem, const struct open_farm *farm,
               const struct doubt_order *order, const struct act *act, struct doubt_numbers *out,
               struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct doubt_numbers numbers = {.count = 0};
    struct buf marks = buf_new(mem);

    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) || !order_checked(mem, order, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err))
        return false;
    if (!(order->sample ? sample_mark(&tx, mem, farm->farm, order, act, &numbers, err)
                        : series_mark(&tx, mem, farm->farm, order, act, &numbers, err)))
        return false;
    for (size_t i = 0; i < numbers.count; i++)
        buf_addf(&marks, "%s%d", i ? ", " : "", numbers.items[i]);

    struct entry_field fields[] = {
        {"what", "set"},       {"marks", marks.data},      {"of", what_words(mem, order)},
        {"kind", order->kind}, {"reason", order->because},
    };

    if (!ledger_store_append(&tx, act, ENTRY_DOUBT, NULL, fields, ARRAY_LEN(fields), err) ||
        !db_tx_commit(&tx, err))
        return false;
    *out = numbers;

    return true;
}

static bool mark_find(struct db_tx *tx, struct arena *mem, int mark, struct doubt_view *out,
                      struct err *err)
{
    struct doubt_views views = {0};

    if (!doubt_store_list(tx, mem, &views, err))
        return false;
    for (size_t i = 0; i < views.count; i++) {
        if (views.items[i].mark != mark)
            continue;
        *out = views.items[i];
        if (out->lifted_because) {
            err_set(err, ERR_CONFLICT, "mark %d is lifted already, by %s", mark, out->lifted_by);
            return err_hint(err, "`weirbook doubt` lists every mark, with what lifted it.");
        }
        return true;
    }
    err_set(err, ERR_NOT_FOUND, "there is no mark of doubt %d", mark);

    return err_hint(err, "`weirbook doubt` lists them.");
}

bool doubt_lift(struct db *db, struct arena *mem, const struct open_farm *farm, int mark,
                const char *because, const struct act *act, struct doubt_view *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct doubt_view view = {0};

    if (str_empty(because)) {
        err_set(err, ERR_INVALID, "a reason is needed, in words");
        return err_hint(err, "Add --because \"...\": say what shows that the doubt was unfounded.");
    }
    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) || !mark_find(&tx, mem, mark, &view, err))
        return false;

    struct entry_field fields[] = {
        {"what", "lifted"},
        {"marks", arena_printf(mem, "%d", mark)},
        {"kind", view.kind},
        {"reason", because},
    };

    if (!doubt_store_lift(&tx, mark, because, act->person, act->at, err) ||
        !windows_put_series(&tx, farm->farm, view.series_id, view.series_id ? view.station : "",
                            view.series_id ? view.parameter : "", view.from, view.until, err) ||
        !ledger_store_append(&tx, act, ENTRY_DOUBT, NULL, fields, ARRAY_LEN(fields), err) ||
        !db_tx_commit(&tx, err))
        return false;
    view.lifted_because = because;
    view.lifted_by = act->person;
    view.lifted_at = act->at;
    *out = view;

    return true;
}

bool doubt_list(struct db *db, struct arena *mem, const struct open_farm *farm,
                struct doubt_views *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) && doubt_store_list(&tx, mem, out, err);
}
