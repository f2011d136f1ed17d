#include "store/flag_store.h"

#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "base/json.h"
#include "base/str.h"
#include "db/sql_catalog.h"

/* Spans that go out with one statement. */
enum { SPANS_AT_ONCE = 2000 };

static enum sensor_test test_of(const char *word)
{
    int test = 0;

    while (test < SENSOR_TESTS - 1 && !str_equal(sensor_test_words[test], word))
        test++;

    return (enum sensor_test)test;
}

bool flag_store_lock(struct db_tx *tx, struct err *err)
{
    return db_do(tx, &sql_sensor_flag_lock, DB_PARAMS(db_int(tx->farm_id)), err);
}

bool flag_store_clear(struct db_tx *tx, struct arena *mem, int64_t series_id, instant first,
                      instant until, struct flag_spans *out, struct err *err)
{
    enum { TEST, FROM, UNTIL, FLAG };
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct flag_spans spans = {.count = 0};

    if (!db_run(
            tx, &sql_sensor_flag_clear,
            DB_PARAMS(db_int(tx->farm_id), db_int(series_id), db_instant(first), db_instant(until)),
            &rows, err))
        return false;
    for (size_t i = 0; i < db_rows_count(&rows); i++)
        LIST_ADD(mem, &spans,
                 ((struct flag_span){.test = test_of(db_rows_text(&rows, i, TEST)),
                                     .flag = (enum trust_flag)db_rows_int(&rows, i, FLAG),
                                     .from = db_rows_instant(&rows, i, FROM),
                                     .until = db_rows_instant(&rows, i, UNTIL)}));
    flag_spans_sort(&spans);
    *out = spans;

    return true;
}

static void span_put(struct json_writer *json, const struct flag_span *span,
                     const char *const (*words)[2])
{
    char value[40];

    snprintf(value, sizeof(value), "%.17g", span->value);
    json_put_object(json);
    json_put_name_text(json, "test", sensor_test_words[span->test]);
    json_put_name_int(json, "from_us", span->from);
    json_put_name_int(json, "until_us", span->until);
    json_put_name_int(json, "flag", span->flag);
    json_put_name_int(json, "readings", span->values);
    json_put_name_number(json, "value", value);
    json_put_name_bool(json, "continues", span->continues);
    json_put_name_text(json, "words", words[span->test][span->flag == FLAG_FAIL]);
    json_put_object_end(json);
}

bool flag_store_add(struct db_tx *tx, int64_t series_id, const struct flag_spans *spans,
                    const char *const (*words)[2], struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();

    for (size_t i = 0; i < spans->count;) {
        struct buf text = buf_new(mem);
        struct json_writer json = json_begin(&text);

        json_put_array(&json);
        for (size_t end = i + SPANS_AT_ONCE; i < end && i < spans->count; i++)
            span_put(&json, &spans->items[i], words);
        json_put_array_end(&json);
        json_end(&json);
        if (!db_do(tx, &sql_sensor_flag_add,
                   DB_PARAMS(db_int(tx->farm_id), db_int(series_id), db_text(text.data)), err))
            return false;
        arena_reset(mem);
    }

    return true;
}

bool flag_store_meeting(struct db_tx *tx, struct arena *mem, instant first, instant until,
                        struct flag_marks *out, struct err *err)
{
    enum { SERIES, FROM, UNTIL, TEST, FLAG, WORDS };
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_sensor_flag_meeting,
                DB_PARAMS(db_int(tx->farm_id), db_instant(first), db_instant(until)), &rows, err))
        return false;

    struct flag_marks list = {.count = db_rows_count(&rows)};

    list.items = ARENA_ARRAY(mem, struct flag_mark, list.count);
    for (size_t i = 0; i < list.count; i++)
        list.items[i] =
            (struct flag_mark){.series_id = db_rows_int(&rows, i, SERIES),
                               .from = db_rows_instant(&rows, i, FROM),
                               .until = db_rows_instant(&rows, i, UNTIL),
                               .test = sensor_test_words[test_of(db_rows_text(&rows, i, TEST))],
                               .flag = (enum trust_flag)db_rows_int(&rows, i, FLAG),
                               .words = db_rows_dup(&rows, i, WORDS, mem)};
    *out = list;

    return true;
}

static struct flag_view view_of(const struct db_rows *rows, size_t row, struct arena *mem)
{
    enum {
        SERIES,
        STATION,
        POSITION,
        PARAMETER,
        MADE_BY,
        TEST,
        FROM,
        UNTIL,
        FLAG,
        READINGS,
        VALUE,
        CONTINUES,
        WORDS
    };

    return (struct flag_view){.series_id = db_rows_int(rows, row, SERIES),
                              .station = db_rows_dup(rows, row, STATION, mem),
                              .position = db_rows_dup(rows, row, POSITION, mem),
                              .parameter = db_rows_dup(rows, row, PARAMETER, mem),
                              .made_by = db_rows_dup(rows, row, MADE_BY, mem),
                              .span = {.test = test_of(db_rows_text(rows, row, TEST)),
                                       .flag = (enum trust_flag)db_rows_int(rows, row, FLAG),
                                       .from = db_rows_instant(rows, row, FROM),
                                       .until = db_rows_instant(rows, row, UNTIL),
                                       .values = db_rows_int(rows, row, READINGS),
                                       .value = strtod(db_rows_text(rows, row, VALUE), NULL),
                                       .continues = db_rows_bool(rows, row, CONTINUES)},
                              .words = db_rows_dup(rows, row, WORDS, mem)};
}

bool flag_store_list(struct db_tx *tx, struct arena *mem, const char *station,
                     const char *parameter, instant first, instant until, struct flag_views *out,
                     struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct flag_views views = {.count = 0};

    if (!db_run(tx, &sql_sensor_flag_list,
                DB_PARAMS(db_int(tx->farm_id), db_text(station), db_text(parameter),
                          db_instant(first), db_instant(until)),
                &rows, err))
        return false;
    for (size_t i = 0; i < db_rows_count(&rows); i++) {
        struct flag_view view = view_of(&rows, i, mem);
        struct flag_view *before = views.count > 0 ? &views.items[views.count - 1] : NULL;

        if (before && before->series_id == view.series_id &&
            flag_span_goes_on(&before->span, &view.span)) {
            before->span.until = view.span.until;
            before->span.values += view.span.values;
        } else {
            LIST_ADD(mem, &views, view);
        }
    }
    *out = views;

    return true;
}

/* Whoever takes the values, while they come. */
struct value_taker {
    flag_each_value each;
    void *context;
};

static bool value_take(void *context, const struct db_field *f, int count, struct err *err)
{
    const struct value_taker *taker = context;

    (void)count;

    return taker->each(taker->context, db_field_int(&f[0]),
                       f[1].length < 0 ? (double)NAN : db_field_double(&f[1]), err);
}

bool flag_store_values(struct db_tx *tx, int64_t series_id, instant first, instant until,
                       flag_each_value each, void *context, struct err *err)
{
    struct value_taker taker = {each, context};

    return db_each(
        tx, &sql_reading_values,
        DB_PARAMS(db_int(tx->farm_id), db_int(series_id), db_instant(first), db_instant(until)),
        value_take, &taker, err);
}
