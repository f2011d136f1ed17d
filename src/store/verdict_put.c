#include "store/verdict_put.h"

#include <string.h>

#include "db/sql_catalog.h"
#include "store/columns.h"

enum { KEY_COLUMNS = 3, VERDICT_COLUMNS = 24, DAY_COLUMNS = 9, WINDOW_COLUMNS = 19 };

/* The rows that the statements take. */
struct put_rows {
    struct arena *mem;
    struct columns keys; /* with which of them stay */
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
                        const struct digest *digest, const struct digest *parts)
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
    columns_put_bytes(verdicts, parts->bytes, sizeof(parts->bytes));
}

/* The digests of the windows and days that are stored, or none, verdict by verdict. */
static bool stored_parts(struct db_tx *tx, struct arena *mem, const struct verdict *verdicts,
                         size_t count, struct db_rows *out, struct err *err)
{
    struct columns keys = columns_new(mem, KEY_COLUMNS);
    struct db_param params[1 + KEY_COLUMNS] = {db_int(tx->farm_id)};

    for (size_t i = 0; i < count; i++)
        put_verdict_key(&keys, &verdicts[i]);

    return columns_params(&keys, params + 1, err) &&
           db_run(tx, &sql_verdict_parts, (struct db_params){params, ARRAY_LEN(params)}, out, err);
}

/* Windows and days, unless those stored are the same; returns their digest. */
static struct digest put_parts(struct put_rows *rows, const struct verdict *verdict,
                               const struct db_rows *stored, size_t nth, bool *stays)
{
    struct columns_mark days = columns_mark_at(&rows->days);
    struct columns_mark windows = columns_mark_at(&rows->windows);
    CLEANUP(sha256_drop) struct sha256_state *hash = sha256_begin();
    const void *before;
    size_t length = 0;

    put_days(rows, verdict);
    for (size_t i = 0; i < verdict->window_count; i++)
        put_window(&rows->windows, verdict, i);
    columns_hash_since(&rows->days, &days, hash);
    columns_hash_since(&rows->windows, &windows, hash);

    struct digest digest = sha256_end(&hash);

    before = db_rows_bytes(stored, nth, 0, rows->mem, &length);
    *stays = length == sizeof(digest.bytes) && memcmp(before, digest.bytes, length) == 0;
    if (*stays) {
        columns_take_back(&rows->days, &days);
        columns_take_back(&rows->windows, &windows);
    }

    return digest;
}

/* Older verdicts of these clauses go before any of theirs comes. */
static bool remove_old(struct db_tx *tx, struct columns *keys, day_number from, day_number to,
                       struct err *err)
{
    enum { OF_KEYS = KEY_COLUMNS + 1, ALL = 1 + OF_KEYS + 2 };
    struct db_param params[ALL] = {
        [0] = db_int(tx->farm_id), [ALL - 2] = db_day(from), [ALL - 1] = db_day(to)};

    return columns_params(keys, params + 1, err) &&
           db_do(tx, &sql_verdict_remove, (struct db_params){params, ARRAY_LEN(params)}, err);
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

    return days->put == 0 ||
           (columns_params(days, params + 1, err) &&
            db_do(tx, &sql_verdict_day_add, (struct db_params){params, ARRAY_LEN(params)}, err));
}

static bool windows_put(struct db_tx *tx, struct columns *windows, struct err *err)
{
    struct db_param params[1 + WINDOW_COLUMNS] = {db_int(tx->farm_id)};

    return windows->put == 0 ||
           (columns_params(windows, params + 1, err) &&
            db_do(tx, &sql_verdict_window_add, (struct db_params){params, ARRAY_LEN(params)}, err));
}

bool verdict_store_put(struct db_tx *tx, const struct verdict *verdicts, size_t count,
                       day_number from, day_number to, const struct digest *digests,
                       instant judged_at, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(db_rows_clear) struct db_rows stored = {0};
    struct put_rows rows = {.mem = mem,
                            .keys = columns_new(mem, KEY_COLUMNS + 1),
                            .verdicts = columns_new(mem, VERDICT_COLUMNS),
                            .days = columns_new(mem, DAY_COLUMNS),
                            .windows = columns_new(mem, WINDOW_COLUMNS)};

    if (count == 0)
        return true;
    if (!stored_parts(tx, mem, verdicts, count, &stored, err))
        return err_wrap(err, "verdicts of before");
    for (size_t i = 0; i < count; i++) {
        bool stays = false;
        struct digest parts = put_parts(&rows, &verdicts[i], &stored, i, &stays);

        put_verdict(&rows, &verdicts[i], &digests[i], &parts);
        put_verdict_key(&rows.keys, &verdicts[i]);
        columns_put_bool(&rows.keys, stays);
    }
    if (!remove_old(tx, &rows.keys, from, to, err))
        return err_wrap(err, "verdicts of before");
    if (!verdicts_put(tx, &rows.verdicts, judged_at, err) || !days_put(tx, &rows.days, err) ||
        !windows_put(tx, &rows.windows, err))
        return err_wrap(err, "verdicts from that of %s on", verdicts[0].limit->key);

    return true;
}
