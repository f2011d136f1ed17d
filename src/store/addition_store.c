#include "store/addition_store.h"

#include "db/sql_catalog.h"

const char *const addition_kind_words[] = {"fertiliser", "treatment", "feed", "medicine", NULL};

/* Columns of sql/query/addition/list.sql, in order. */
enum {
    COL_NUMBER,
    COL_STATION,
    COL_KIND,
    COL_PRODUCT,
    COL_AMOUNT,
    COL_UNIT,
    COL_AT,
    COL_UNTIL,
    COL_NITROGEN,
    COL_PHOSPHORUS,
    COL_WITHHOLD,
    COL_REASON,
    COL_INSTEAD_OF,
    COL_PERSON,
    COL_REPLACED_BY,
    COL_TAKEN_BACK,
};

bool addition_stands(const struct addition *addition)
{
    return addition->replaced_by == 0 && !addition->taken_back;
}

bool addition_store_add(struct db_tx *tx, struct arena *mem, const struct addition *addition,
                        instant said_at, int *number, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    const char *nitrogen =
        addition->nitrogen_known ? decimal_text(mem, addition->nitrogen_percent) : NULL;
    const char *phosphorus =
        addition->phosphorus_known ? decimal_text(mem, addition->phosphorus_percent) : NULL;

    if (!db_run(
            tx, &sql_addition_add,
            DB_PARAMS(db_int(tx->farm_id), db_text(addition->station), db_text(addition->kind),
                      db_text(addition->product), db_text(decimal_text(mem, addition->amount)),
                      db_text(addition->unit), db_instant(addition->at),
                      db_instant(addition->until), db_text(nitrogen), db_text(phosphorus),
                      addition->withhold_hours < 0 ? db_null() : db_int(addition->withhold_hours),
                      db_text(addition->reason),
                      addition->instead_of ? db_int(addition->instead_of) : db_null(),
                      db_text(addition->person), db_instant(said_at)),
            &rows, err))
        return err_wrap(err, "%s at %s", addition->kind, addition->station);
    *number = (int)db_rows_int(&rows, 0, 0);

    return true;
}

bool addition_store_take_back(struct db_tx *tx, int number, const char *reason, const char *person,
                              instant said_at, struct err *err)
{
    if (!db_do(tx, &sql_addition_take_back,
               DB_PARAMS(db_int(tx->farm_id), db_int(number), db_text(reason), db_text(person),
                         db_instant(said_at)),
               err))
        return err_wrap(err, "addition %d", number);

    return true;
}

static bool percent_from(const struct db_rows *rows, size_t row, int column, struct decimal *out)
{
    return !db_rows_null(rows, row, column) && decimal_parse(db_rows_text(rows, row, column), out);
}

static struct addition addition_from(const struct db_rows *rows, size_t row, struct arena *mem)
{
    struct addition addition = {
        .number = (int)db_rows_int(rows, row, COL_NUMBER),
        .station = db_rows_dup(rows, row, COL_STATION, mem),
        .kind = db_rows_dup(rows, row, COL_KIND, mem),
        .product = db_rows_dup(rows, row, COL_PRODUCT, mem),
        .unit = db_rows_dup(rows, row, COL_UNIT, mem),
        .at = db_rows_instant(rows, row, COL_AT),
        .until = db_rows_instant(rows, row, COL_UNTIL),
        .withhold_hours =
            db_rows_null(rows, row, COL_WITHHOLD) ? -1 : (int)db_rows_int(rows, row, COL_WITHHOLD),
        .reason = db_rows_dup(rows, row, COL_REASON, mem),
        .instead_of = (int)db_rows_int(rows, row, COL_INSTEAD_OF),
        .person = db_rows_dup(rows, row, COL_PERSON, mem),
        .replaced_by = (int)db_rows_int(rows, row, COL_REPLACED_BY),
        .taken_back = db_rows_dup(rows, row, COL_TAKEN_BACK, mem),
    };

    addition.nitrogen_known = percent_from(rows, row, COL_NITROGEN, &addition.nitrogen_percent);
    addition.phosphorus_known =
        percent_from(rows, row, COL_PHOSPHORUS, &addition.phosphorus_percent);

    return addition;
}

bool addition_store_list(struct db_tx *tx, struct arena *mem, instant first, instant until,
                         struct additions *out, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_addition_list,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until)), &rows, err))
        return false;

    struct additions list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct addition, list.count);
    for (size_t i = 0; i < list.count; i++) {
        list.items[i] = addition_from(&rows, i, mem);
        if (!decimal_parse(db_rows_text(&rows, i, COL_AMOUNT), &list.items[i].amount))
            return err_set(err, ERR_BUG, "addition %d: its amount can't be read",
                           list.items[i].number);
    }
    *out = list;

    return true;
}
