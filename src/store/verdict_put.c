#include "store/verdict_put.h"

#include "base/buf.h"
#include "base/json.h"
#include "db/sql_catalog.h"
#include "store/columns.h"

enum { VERDICTS_AT_ONCE = 500, VERDICT_COLUMNS = 23, DAY_COLUMNS = 9, WINDOW_COLUMNS = 19 };

/* The rows that one round of statements takes. */
struct put_rows {
    struct arena *mem;
    struct columns verdicts;
    struct columns days;
    struct columns windows;
};

static const char *side_word(enum side side)
{
    static const char *const words[] = {
        [SIDE_NONE] = NULL, [SIDE_ABOVE] = "above", [SIDE_BELOW] = "below"};

    return words[side];
}

/* How many single values lie beyond the bound on each day, in the order of the verdict's days. */
static int64_t *beyond_by_day(struct arena *mem, const struct verdict *verdict)
{
    int64_t *beyond = ARENA_ARRAY(mem, int64_t, verdict->day_count);

    if (verdict->limit->daily != DAILY_EVERY) {
        for (size_t i = 0; i < verdict->day_count; i++)
            beyond[i] = verdict->days[i].outside ? 1 : 0;
        return beyond;
    }
    for (size_t i = 0; i < verdict->item_count && verdict->day_count > 0; i++) {
        int64_t day = (int64_t)verdict->items[i].day - verdict->days[0].day;

        if (day >= 0 && day < (int64_t)verdict->day_count)
            beyond[day] += verdict->items[i].outside;
    }

    return beyond;
}

/* What says of which verdict a row is. */
static void put_verdict_key(struct columns *columns, const struct verdict *verdict)
{
    columns_put_text(columns, verdict->limit->key);
    columns_put_day(columns, verdict->from);
    columns_put_day(columns, verdict->to);
}

/* Days of the period itself, those around it belong to other verdicts; the rest kept the bound. */
static void put_days(struct put_rows *rows, const struct verdict *verdict)
{
    static const char *const states[] = {[DISCHARGE_YES] = "yes",
                                         [DISCHARGE_NONE] = "none",
                                         [DISCHARGE_UNKNOWN] = "unknown",
                                         [DISCHARGE_DISAGREES] = "disagrees"};
    struct columns *days = &rows->days;
    int64_t *beyond = beyond_by_day(rows->mem, verdict);

    for (size_t i = 0; i < verdict->day_count; i++) {
        const struct verdict_day *day = &verdict->days[i];

        if (beyond[i] == 0 || day->day < verdict->from || day->day > verdict->to)
            continue;
        put_verdict_key(days, verdict);
        columns_put_day(days, day->day);
        columns_put_int(days, (int64_t)day->readings);
        columns_put_int(days, beyond[i]);
        columns_put_text(days, day->figure ? exact_text(rows->mem, day->figure, 12) : NULL);
        columns_put_text(days, states[day->discharge]);
        columns_put_text(days, day->note);
    }
}

static void put_window(struct columns *windows, const struct verdict *verdict, size_t nth)
{
    const struct verdict_window *window = &verdict->windows[nth];

    put_verdict_key(windows, verdict);
    columns_put_int(windows, (int64_t)nth + 1);
    columns_put_day(windows, window->from);
    columns_put_day(windows, window->to);
    columns_put_instant(windows, window->from_at);
    columns_put_instant(windows, window->until_at);
    columns_put_text(windows, standing_name(window->standing));
    columns_put_text(windows, side_word(window->side));
    columns_put_bool(windows, window->so_far);
    columns_put_int(windows, (int64_t)window->samples);
    columns_put_int(windows, (int64_t)window->beyond);
    if (window->allowed == SIZE_MAX)
        columns_put_null(windows);
    else
        columns_put_int(windows, (int64_t)window->allowed);
    columns_put_bool(windows, window->too_few);
    columns_put_text(windows, window->figure_text);
    columns_put_text(windows, window->compared_text);
    columns_put_text(windows, window->reason);
    columns_put_text(windows, window->note);
}

static void put_verdict(struct put_rows *rows, const struct verdict *verdict,
                        const struct digest *digest)
{
    struct columns *verdicts = &rows->verdicts;

    put_verdict_key(verdicts, verdict);
    columns_put_int(verdicts, verdict->limit->version);
    columns_put_instant(verdicts, verdict->from_at);
    columns_put_instant(verdicts, verdict->until_at);
    columns_put_text(verdicts, standing_name(verdict->standing));
    columns_put_text(verdicts, side_word(verdict->side));
    columns_put_bool(verdicts, verdict->so_far);
    columns_put_bool(verdicts, verdict->near_bound);
    columns_put_text(verdicts, verdict->figure_text);
    columns_put_text(verdicts, verdict->compared_text);
    columns_put_text(verdicts, verdict->bound_text ? verdict->bound_text : "");
    columns_put_text(verdicts, limit_figure_unit(rows->mem, verdict->limit));
    columns_put_int(verdicts, (int64_t)verdict->samples);
    columns_put_int(verdicts, (int64_t)verdict->beyond);
    columns_put_int(verdicts, (int64_t)verdict->less_thans);
    columns_put_int(verdicts, (int64_t)verdict->set_aside);
    columns_put_int(verdicts, (int64_t)verdict->left_out);
    columns_put_int(verdicts, (int64_t)verdict->in_doubt);
    columns_put_text(verdicts, verdict->reason);
    columns_put_text(verdicts, verdict->words);
    columns_put_bytes(verdicts, digest->bytes, sizeof(digest->bytes));
}

static void put_span(struct json_writer *spans, struct arena *mem, const char *clause,
                     day_number from, day_number to)
{
    json_put_object(spans);
    json_put_name_text(spans, "clause", clause);
    json_put_name_text(spans, "first_day", day_text(mem, from));
    json_put_name_text(spans, "last_day", day_text(mem, to));
    json_put_object_end(spans);
}

/* Older verdicts of these clauses go before any of theirs comes. */
static bool remove_old(struct db_tx *tx, const struct verdict *verdicts, size_t count,
                       day_number from, day_number to, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf text = buf_new(mem);
    struct json_writer spans = json_begin(&text);

    json_put_array(&spans);
    for (size_t i = 0; i < count; i++) {
        put_span(&spans, mem, verdicts[i].limit->key, from, to);
        put_span(&spans, mem, verdicts[i].limit->key, verdicts[i].from, verdicts[i].to);
    }
    json_put_array_end(&spans);
    json_end(&spans);

    return db_do(tx, &sql_verdict_remove, DB_PARAMS(db_int(tx->farm_id), db_text(text.data)), err);
}

static bool verdicts_put(struct db_tx *tx, struct columns *verdicts, instant judged_at,
                         struct err *err)
{
    struct db_param params[2 + VERDICT_COLUMNS] = {db_int(tx->farm_id), db_instant(judged_at)};

    return columns_params(verdicts, params + 2, err) &&
           db_do(tx, &sql_verdict_put, (struct db_params){params, ARRAY_LEN(params)}, err);
}

static bool days_put(struct db_tx *tx, struct columns *days, struct err *err)
{
    struct db_param params[1 + DAY_COLUMNS] = {db_int(tx->farm_id)};

    return columns_params(days, params + 1, err) &&
           db_do(tx, &sql_verdict_day_add, (struct db_params){params, ARRAY_LEN(params)}, err);
}

static bool windows_put(struct db_tx *tx, struct columns *windows, struct err *err)
{
    struct db_param params[1 + WINDOW_COLUMNS] = {db_int(tx->farm_id)};

    return columns_params(windows, params + 1, err) &&
           db_do(tx, &sql_verdict_window_add, (struct db_params){params, ARRAY_LEN(params)}, err);
}

static bool put_some(struct db_tx *tx, const struct verdict *verdicts, size_t count,
                     const struct digest *digests, instant judged_at, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct put_rows rows = {.mem = mem,
                            .verdicts = columns_new(mem, VERDICT_COLUMNS),
                            .days = columns_new(mem, DAY_COLUMNS),
                            .windows = columns_new(mem, WINDOW_COLUMNS)};

    for (size_t i = 0; i < count; i++) {
        put_verdict(&rows, &verdicts[i], &digests[i]);
        put_days(&rows, &verdicts[i]);
        for (size_t nth = 0; nth < verdicts[i].window_count; nth++)
            put_window(&rows.windows, &verdicts[i], nth);
    }

    return verdicts_put(tx, &rows.verdicts, judged_at, err) && days_put(tx, &rows.days, err) &&
           windows_put(tx, &rows.windows, err);
}

bool verdict_store_put(struct db_tx *tx, const struct verdict *verdicts, size_t count,
                       day_number from, day_number to, const struct digest *digests,
                       instant judged_at, struct err *err)
{
    if (count == 0)
        return true;
    if (!remove_old(tx, verdicts, count, from, to, err))
        return err_wrap(err, "verdicts of before");
    for (size_t at = 0; at < count; at += VERDICTS_AT_ONCE) {
        size_t some = count - at < VERDICTS_AT_ONCE ? count - at : VERDICTS_AT_ONCE;

        if (!put_some(tx, verdicts + at, some, digests + at, judged_at, err))
            return err_wrap(err, "verdicts from that of %s on", verdicts[at].limit->key);
    }

    return true;
}
