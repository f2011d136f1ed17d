#include "store/verdict_put.h"

#include "base/buf.h"
#include "base/json.h"
#include "db/sql_catalog.h"

enum { VERDICTS_AT_ONCE = 500 };

/* The lists that one round of statements takes. */
struct put_lists {
    struct arena *mem;
    struct buf spans_text;
    struct buf verdicts_text;
    struct buf days_text;
    struct buf windows_text;
    struct json_writer spans;
    struct json_writer verdicts;
    struct json_writer days;
    struct json_writer windows;
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
static void put_verdict_key(struct json_writer *json, struct arena *mem,
                            const struct verdict *verdict)
{
    json_put_name_text(json, "clause", verdict->limit->key);
    json_put_name_text(json, "from_day", day_text(mem, verdict->from));
    json_put_name_text(json, "to_day", day_text(mem, verdict->to));
}

/* Days of the period itself, those around it belong to other verdicts; the rest kept the bound. */
static void put_days(struct put_lists *lists, const struct verdict *verdict)
{
    static const char *const states[] = {[DISCHARGE_YES] = "yes",
                                         [DISCHARGE_NONE] = "none",
                                         [DISCHARGE_UNKNOWN] = "unknown",
                                         [DISCHARGE_DISAGREES] = "disagrees"};
    struct json_writer *json = &lists->days;
    int64_t *beyond = beyond_by_day(lists->mem, verdict);

    for (size_t i = 0; i < verdict->day_count; i++) {
        const struct verdict_day *day = &verdict->days[i];

        if (beyond[i] == 0 || day->day < verdict->from || day->day > verdict->to)
            continue;
        json_put_object(json);
        put_verdict_key(json, lists->mem, verdict);
        json_put_name_text(json, "day", day_text(lists->mem, day->day));
        json_put_name_int(json, "readings", (int64_t)day->readings);
        json_put_name_int(json, "beyond", beyond[i]);
        json_put_name_text(json, "figure",
                           day->figure ? exact_text(lists->mem, day->figure, 12) : NULL);
        json_put_name_text(json, "discharge", states[day->discharge]);
        json_put_name_text(json, "note", day->note);
        json_put_object_end(json);
    }
}

static void put_window(struct put_lists *lists, const struct verdict *verdict, size_t nth)
{
    const struct verdict_window *window = &verdict->windows[nth];
    struct json_writer *json = &lists->windows;

    json_put_object(json);
    put_verdict_key(json, lists->mem, verdict);
    json_put_name_int(json, "nth", (int64_t)nth + 1);
    json_put_name_text(json, "first_day", day_text(lists->mem, window->from));
    json_put_name_text(json, "last_day", day_text(lists->mem, window->to));
    json_put_name_text(json, "first_at", instant_text(lists->mem, window->from_at));
    json_put_name_text(json, "until_at", instant_text(lists->mem, window->until_at));
    json_put_name_text(json, "standing", standing_name(window->standing));
    json_put_name_text(json, "side", side_word(window->side));
    json_put_name_bool(json, "so_far", window->so_far);
    json_put_name_int(json, "samples", (int64_t)window->samples);
    json_put_name_int(json, "beyond", (int64_t)window->beyond);
    json_put_name(json, "allowed");
    if (window->allowed == SIZE_MAX)
        json_put_null(json);
    else
        json_put_int(json, (int64_t)window->allowed);
    json_put_name_bool(json, "too_few", window->too_few);
    json_put_name_text(json, "figure", window->figure_text);
    json_put_name_text(json, "compared", window->compared_text);
    json_put_name_text(json, "reason", window->reason);
    json_put_name_text(json, "note", window->note);
    json_put_object_end(json);
}

static void put_verdict(struct put_lists *lists, const struct verdict *verdict,
                        const struct digest *digest)
{
    struct json_writer *json = &lists->verdicts;

    json_put_object(json);
    put_verdict_key(json, lists->mem, verdict);
    json_put_name_int(json, "version", verdict->limit->version);
    json_put_name_text(json, "from_at", instant_text(lists->mem, verdict->from_at));
    json_put_name_text(json, "until_at", instant_text(lists->mem, verdict->until_at));
    json_put_name_text(json, "standing", standing_name(verdict->standing));
    json_put_name_text(json, "side", side_word(verdict->side));
    json_put_name_bool(json, "so_far", verdict->so_far);
    json_put_name_bool(json, "near_bound", verdict->near_bound);
    json_put_name_text(json, "figure", verdict->figure_text);
    json_put_name_text(json, "compared", verdict->compared_text);
    json_put_name_text(json, "bound", verdict->bound_text ? verdict->bound_text : "");
    json_put_name_text(json, "unit", limit_figure_unit(lists->mem, verdict->limit));
    json_put_name_int(json, "samples", (int64_t)verdict->samples);
    json_put_name_int(json, "beyond", (int64_t)verdict->beyond);
    json_put_name_int(json, "less_thans", (int64_t)verdict->less_thans);
    json_put_name_int(json, "set_aside", (int64_t)verdict->set_aside);
    json_put_name_int(json, "left_out", (int64_t)verdict->left_out);
    json_put_name_int(json, "in_doubt", (int64_t)verdict->in_doubt);
    json_put_name_text(json, "reason", verdict->reason);
    json_put_name_text(json, "words", verdict->words);
    json_put_name_text(json, "evidence_sha256", digest_text(lists->mem, digest));
    json_put_object_end(json);
}

static void put_span(struct put_lists *lists, const char *clause, day_number from, day_number to)
{
    json_put_object(&lists->spans);
    json_put_name_text(&lists->spans, "clause", clause);
    json_put_name_text(&lists->spans, "first_day", day_text(lists->mem, from));
    json_put_name_text(&lists->spans, "last_day", day_text(lists->mem, to));
    json_put_object_end(&lists->spans);
}

static struct json_writer list_begin(struct buf *text)
{
    struct json_writer json = json_begin(text);

    json_put_array(&json);

    return json;
}

static const char *list_end(struct json_writer *json, const struct buf *text)
{
    json_put_array_end(json);
    json_end(json);

    return text->data;
}

/* Older verdicts of these clauses go before any of theirs comes. */
static bool remove_old(struct db_tx *tx, const struct verdict *verdicts, size_t count,
                       day_number from, day_number to, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct put_lists lists = {.mem = mem, .spans_text = buf_new(mem)};

    lists.spans = list_begin(&lists.spans_text);
    for (size_t i = 0; i < count; i++) {
        put_span(&lists, verdicts[i].limit->key, from, to);
        put_span(&lists, verdicts[i].limit->key, verdicts[i].from, verdicts[i].to);
    }

    return db_do(tx, &sql_verdict_remove,
                 DB_PARAMS(db_int(tx->farm_id), db_text(list_end(&lists.spans, &lists.spans_text))),
                 err);
}

static bool put_some(struct db_tx *tx, const struct verdict *verdicts, size_t count,
                     const struct digest *digests, instant judged_at, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct put_lists lists = {.mem = mem,
                              .verdicts_text = buf_new(mem),
                              .days_text = buf_new(mem),
                              .windows_text = buf_new(mem)};

    lists.verdicts = list_begin(&lists.verdicts_text);
    lists.days = list_begin(&lists.days_text);
    lists.windows = list_begin(&lists.windows_text);
    for (size_t i = 0; i < count; i++) {
        put_verdict(&lists, &verdicts[i], &digests[i]);
        put_days(&lists, &verdicts[i]);
        for (size_t nth = 0; nth < verdicts[i].window_count; nth++)
            put_window(&lists, &verdicts[i], nth);
    }

    return db_do(tx, &sql_verdict_put,
                 DB_PARAMS(db_int(tx->farm_id),
                           db_text(list_end(&lists.verdicts, &lists.verdicts_text)),
                           db_instant(judged_at)),
                 err) &&
           db_do(tx, &sql_verdict_day_add,
                 DB_PARAMS(db_int(tx->farm_id), db_text(list_end(&lists.days, &lists.days_text))),
                 err) &&
           db_do(tx, &sql_verdict_window_add,
                 DB_PARAMS(db_int(tx->farm_id),
                           db_text(list_end(&lists.windows, &lists.windows_text))),
                 err);
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
