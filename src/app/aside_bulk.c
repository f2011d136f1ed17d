#include "app/aside_bulk.h"

#include <stdlib.h>

#include "app/windows.h"
#include "base/crypto.h"
#include "base/str.h"
#include "ingest/place.h"
#include "store/ledger_store.h"

/* Rows of all files that are looked through. */
enum { BULK_MOST = 2000000 };

/* An act on many rows on its way. */
struct bulk {
    struct db_tx *tx;
    struct arena *mem;
    const struct open_farm *farm;
    const struct aside_bulk_order *order;
    const struct act *act;
    const char *what;       /* for the entry */
    struct aside_rows rows; /* of one receipt, in order of place */
};

/* Of the newest file of that name that has any, those that fit. */
static bool rows_choose(struct bulk *bulk, const struct aside_rows *all, bool *more,
                        struct err *err)
{
    struct aside_rows of_file = {.items = ARENA_ARRAY(bulk->mem, struct aside_row, all->count)};

    for (size_t i = 0; i < all->count; i++)
        if (str_equal(all->items[i].file_name, bulk->order->file_name) &&
            (of_file.count == 0 || all->items[i].receipt == of_file.items[0].receipt))
            of_file.items[of_file.count++] = all->items[i];
    bulk->rows = asides_fit(bulk->mem, &of_file, bulk->order->filter, bulk->farm->farm->zone);
    *more = bulk->rows.count < of_file.count;
    if (bulk->rows.count > 0)
        return true;
    err_set(err, ERR_NOT_FOUND,
            of_file.count > 0 ? "nothing of %s fits these words" : "there is nothing of %s",
            bulk->order->file_name);

    return err_hint(err, "`weirbook aside` lists what waits, with its file.");
}

static int by_column(const void *a, const void *b)
{
    const struct aside_row *one = a;
    const struct aside_row *other = b;
    int column = (one->column > other->column) - (one->column < other->column);

    return column ? column : (one->line > other->line) - (one->line < other->line);
}

/* "12-400", or of a workbook "Results!12-400". */
static void span_add(struct buf *text, const struct aside_row *first, const struct aside_row *last)
{
    int32_t from = first->sheet ? place_row(first->line) : first->line;
    int32_t to = first->sheet ? place_row(last->line) : last->line;

    if (first->sheet)
        buf_addf(text, "%s!", first->sheet);
    if (from == to)
        buf_addf(text, "%d", (int)from);
    else
        buf_addf(text, "%d-%d", (int)from, (int)to);
}

/* Every place, in spans of lines that follow each other, column by column. */
static const char *places_words(struct arena *mem, const struct aside_rows *rows)
{
    struct buf text = buf_new(mem);
    struct aside_row *sorted = ARENA_ARRAY(mem, struct aside_row, rows->count);

    for (size_t i = 0; i < rows->count; i++)
        sorted[i] = rows->items[i];
    qsort(sorted, rows->count, sizeof(*sorted), by_column);
    for (size_t i = 0, last; i < rows->count; i = last + 1) {
        last = i;
        while (last + 1 < rows->count && sorted[last + 1].column == sorted[i].column &&
               sorted[last + 1].line == sorted[last].line + 1)
            last++;
        if (i > 0 && sorted[i].column == sorted[i - 1].column)
            buf_add_text(&text, ", ");
        else
            buf_addf(&text, "%scolumn %d: ", i > 0 ? "; " : "", (int)sorted[i].column);
        span_add(&text, &sorted[i], &sorted[last]);
    }

    return text.data;
}

/* One digest over place and text of each row, in order of place. */
static const char *texts_digest(struct arena *mem, const struct aside_rows *rows)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < rows->count; i++)
        buf_addf(&text, "%d %d %s\n", (int)rows->items[i].line, (int)rows->items[i].column,
                 rows->items[i].text);

    struct digest digest = sha256(text.data, text.len);

    return digest_text(mem, &digest);
}

/* The days the rows may belong to are judged again. */
static bool windows_put(const struct bulk *bulk, struct err *err)
{
    instant first = INSTANT_NONE;
    instant last = INSTANT_NONE;

    for (size_t i = 0; i < bulk->rows.count; i++) {
        instant at = bulk->rows.items[i].at;

        if (at == INSTANT_NONE)
            return windows_put_all(bulk->tx, bulk->farm->farm, err);
        first = first == INSTANT_NONE || at < first ? at : first;
        last = last == INSTANT_NONE || at > last ? at : last;
    }

    return windows_put_series(bulk->tx, bulk->farm->farm, 0, "", "", first, last, err);
}

static const char *words_joined(struct arena *mem, const struct aside_filter *filter)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < filter->word_count; i++)
        buf_addf(&text, "%s%s", i ? " " : "", filter->words[i]);
    if (filter->saying)
        buf_addf(&text, "%ssaying \"%s\"", text.len ? " " : "", filter->saying);
    if (filter->from != DAY_NONE)
        buf_addf(&text, " from %s", day_text(mem, filter->from));
    if (filter->to != DAY_NONE)
        buf_addf(&text, " to %s", day_text(mem, filter->to));

    return text.len ? text.data : NULL;
}

static bool bulk_end(const struct bulk *bulk, bool more, struct aside_bulk_done *done,
                     struct err *err)
{
    struct aside_bulk_done out = {.values = bulk->rows.count,
                                  .reasons = asides_reasons(bulk->mem, &bulk->rows),
                                  .places = places_words(bulk->mem, &bulk->rows),
                                  .left_more = more};

    for (size_t i = 0; i < bulk->rows.count; i++)
        out.lines += i == 0 || bulk->rows.items[i].line != bulk->rows.items[i - 1].line;

    struct entry_field fields[] = {
        {"what", bulk->what},
        {"file", bulk->order->file_name},
        {"receipt", arena_printf(bulk->mem, "%lld", (long long)bulk->rows.items[0].receipt)},
        {"filter", words_joined(bulk->mem, bulk->order->filter)},
        {"values", arena_printf(bulk->mem, "%zu", out.values)},
        {"places", out.places},
        {"texts sha256", texts_digest(bulk->mem, &bulk->rows)},
        {"reason", bulk->order->reason},
        {"second person", bulk->order->second_person},
    };

    if (!windows_put(bulk, err) ||
        !ledger_store_append(bulk->tx, bulk->act, ENTRY_LEAVE_OUT, NULL, fields, ARRAY_LEN(fields),
                             err) ||
        !db_tx_commit(bulk->tx, err))
        return false;
    *done = out;

    return true;
}

static bool may_answer(const struct open_farm *farm, const struct aside_bulk_order *order,
                       const struct act *act, struct err *err)
{
    return act_allowed(farm->farm, act, MAY_CORRECT, err) &&
           correct_reason_given(order->reason, err) &&
           correct_second_allowed(farm->farm, order->second_person, act, err);
}

bool asides_leave_out(struct db *db, struct arena *mem, const struct open_farm *farm,
                      const struct aside_bulk_order *order, const struct act *act,
                      struct aside_bulk_done *done, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct aside_deed deed = {order->reason, act->person, order->second_person, act->at};
    struct bulk bulk = {&tx, mem, farm, order, act, "rows set aside, left out together", {0}};
    struct aside_rows all = {0};
    bool more = false;

    return may_answer(farm, order, act, err) && db_tx_begin(db, farm->farm_id, &tx, err) &&
           aside_store_list(&tx, mem, BULK_MOST, &all, err) &&
           rows_choose(&bulk, &all, &more, err) &&
           aside_store_leave_out_many(&tx, mem, &bulk.rows, &deed, err) &&
           bulk_end(&bulk, more, done, err);
}

bool asides_put_back(struct db *db, struct arena *mem, const struct open_farm *farm,
                     const struct aside_bulk_order *order, const struct act *act,
                     struct aside_bulk_done *done, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct aside_deed deed = {order->reason, act->person, NULL, act->at};
    struct bulk bulk = {&tx, mem, farm, order, act, "rows set aside, put back to wait", {0}};
    struct aside_rows all = {0};
    bool more = false;

    return may_answer(farm, order, act, err) && db_tx_begin(db, farm->farm_id, &tx, err) &&
           aside_store_left_out(&tx, mem, BULK_MOST, &all, err) &&
           rows_choose(&bulk, &all, &more, err) &&
           aside_store_put_back_many(&tx, mem, &bulk.rows, &deed, err) &&
           bulk_end(&bulk, more, done, err);
}
