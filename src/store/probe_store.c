#include "store/probe_store.h"

#include <string.h>

#include "base/str.h"
#include "db/sql_catalog.h"

const struct probe_check_row *probe_visit_check(const struct probe_visit_row *visit,
                                                const char *parameter)
{
    for (size_t i = 0; i < visit->check_count; i++)
        if (str_equal(visit->checks[i].read.parameter, parameter))
            return &visit->checks[i];

    return NULL;
}

/* --- adding ---------------------------------------------------------------------------------- */

static struct db_param number_if(struct arena *mem, bool given, struct decimal number)
{
    return given ? db_text(decimal_text(mem, number)) : db_null();
}

/* Errors are decimals of few digits but for those between two standards. */
enum { ERROR_FIGURES = 15 };

static struct db_param error_if(struct arena *mem, const struct exact *error)
{
    return error ? db_text(exact_text(mem, error, ERROR_FIGURES)) : db_null();
}

static bool standards_add(struct db_tx *tx, struct arena *mem, int visit,
                          const struct visit_readings *read, struct err *err)
{
    for (size_t i = 0; i < read->readings.standard_count; i++) {
        const struct visit_standard *one = &read->standards[i];

        if (!db_do(tx, &sql_probe_standard_add,
                   DB_PARAMS(db_int(tx->farm_id), db_int(visit), db_text(read->parameter),
                             db_int((int64_t)i + 1), number_if(mem, true, one->read.standard),
                             number_if(mem, true, one->read.found),
                             number_if(mem, one->read.has_after, one->read.after),
                             db_text(one->name), db_text(one->meter), db_text(one->lot),
                             db_day(one->expires),
                             number_if(mem, one->has_temperature, one->temperature)),
                   err))
            return false;
    }

    return true;
}

static bool check_add(struct db_tx *tx, struct arena *mem, int visit,
                      const struct probe_check_row *row, struct err *err)
{
    const struct probe_readings *read = &row->read.readings;

    return db_do(tx, &sql_probe_check_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(visit), db_text(row->read.parameter),
                           db_text(row->read.unit), number_if(mem, read->in_water, read->before),
                           number_if(mem, read->in_water, read->after), db_text(row->read.meter),
                           number_if(mem, read->beside_meter, read->meter_before),
                           number_if(mem, read->beside_meter, read->meter_after),
                           error_if(mem, row->fouling), error_if(mem, row->drift),
                           db_text(probe_result_words[row->found]),
                           db_text(probe_result_words[row->left]), db_bool(row->calibrated),
                           db_text(row->rating), db_text(row->criteria)),
                 err) &&
           standards_add(tx, mem, visit, &row->read, err);
}

bool probe_store_add(struct db_tx *tx, struct arena *mem, const struct probe_visit_row *row,
                     int *visit, struct err *err)
{
    CLEANUP(db_rows_clear) struct db_rows rows = {0};

    if (!db_run(tx, &sql_probe_visit_add,
                DB_PARAMS(db_int(tx->farm_id), db_text(row->instrument), db_instant(row->at),
                          db_text(row->maintenance), db_text(row->note), db_text(row->person),
                          db_instant(row->recorded_at)),
                &rows, err))
        return false;

    int number = (int)db_rows_int(&rows, 0, 0);

    for (size_t i = 0; i < row->check_count; i++)
        if (!check_add(tx, mem, number, &row->checks[i], err))
            return false;
    *visit = number;

    return true;
}

bool probe_store_withdraw(struct db_tx *tx, int visit, const char *reason, const char *person,
                          instant at, struct err *err)
{
    return db_do(tx, &sql_probe_withdraw,
                 DB_PARAMS(db_int(tx->farm_id), db_int(visit), db_text(reason), db_text(person),
                           db_instant(at)),
                 err);
}

bool probe_store_see_withdrawn(struct db_tx *tx, int visit, const char *person, instant at,
                               struct err *err)
{
    return db_do(tx, &sql_probe_see_withdrawn,
                 DB_PARAMS(db_int(tx->farm_id), db_int(visit), db_text(person), db_instant(at)),
                 err);
}

bool probe_store_answer(struct db_tx *tx, struct arena *mem, const char *parameter,
                        const struct probe_answer_row *row, struct err *err)
{
    const struct probe_answer *answer = &row->answer;

    return db_do(tx, &sql_probe_answer_add,
                 DB_PARAMS(db_int(tx->farm_id), db_int(answer->visit), db_text(parameter),
                           db_text(probe_answer_words[answer->kind]), db_instant(answer->after),
                           db_instant(answer->cleaned), db_instant(answer->until),
                           db_text(row->unit), error_if(mem, answer->fouling),
                           error_if(mem, answer->drift), db_text(row->reason), db_text(row->person),
                           db_text(row->second_person), db_instant(row->at)),
                 err);
}

/* --- reading --------------------------------------------------------------------------------- */

static int word_at(const char *const *words, const char *word)
{
    for (int i = 0; words[i]; i++)
        if (str_equal(words[i], word))
            return i;

    return 0;
}

static bool number_of(const struct db_rows *rows, size_t row, int column, struct decimal *out)
{
    return !db_rows_null(rows, row, column) && decimal_parse(db_rows_text(rows, row, column), out);
}

static const struct exact *error_of(const struct db_rows *rows, size_t row, int column,
                                    struct arena *mem)
{
    return db_rows_null(rows, row, column) ? NULL
                                           : exact_from_text(mem, db_rows_text(rows, row, column));
}

static int row_order(const struct db_rows *rows, size_t row, int visit, const char *parameter)
{
    int64_t of = db_rows_int(rows, row, 0);

    if (of != visit)
        return of < visit ? -1 : 1;

    return parameter ? strcmp(db_rows_text(rows, row, 1), parameter) : 0;
}

/* How many rows are of a visit, and of a parameter (NULL: any); the first of them. */
static size_t run_of(const struct db_rows *rows, int visit, const char *parameter, size_t *first)
{
    size_t low = 0;
    size_t high = db_rows_count(rows);
    size_t count = 0;

    while (low < high) {
        size_t middle = low + (high - low) / 2;

        if (row_order(rows, middle, visit, parameter) < 0)
            low = middle + 1;
        else
            high = middle;
    }
    *first = low;
    while (low + count < db_rows_count(rows) && row_order(rows, low + count, visit, parameter) == 0)
        count++;

    return count;
}

/* Columns of sql/query/probe/standards.sql, from its third. */
enum {
    STD_STANDARD = 2,
    STD_FOUND,
    STD_AFTER,
    STD_NAME,
    STD_METER,
    STD_LOT,
    STD_EXPIRES,
    STD_TEMP
};

static void standards_read(const struct db_rows *rows, struct arena *mem, int visit,
                           struct visit_readings *into)
{
    size_t first = 0;
    size_t count = run_of(rows, visit, into->parameter, &first);
    struct visit_standard *list = ARENA_ARRAY(mem, struct visit_standard, count);

    for (size_t i = 0; i < count; i++) {
        size_t row = first + i;

        list[i] = (struct visit_standard){.name = db_rows_dup(rows, row, STD_NAME, mem),
                                          .meter = db_rows_dup(rows, row, STD_METER, mem),
                                          .lot = db_rows_dup(rows, row, STD_LOT, mem),
                                          .expires = db_rows_day(rows, row, STD_EXPIRES)};
        (void)number_of(rows, row, STD_STANDARD, &list[i].read.standard);
        (void)number_of(rows, row, STD_FOUND, &list[i].read.found);
        list[i].read.has_after = number_of(rows, row, STD_AFTER, &list[i].read.after);
        list[i].has_temperature = number_of(rows, row, STD_TEMP, &list[i].temperature);
    }
    visit_readings_settle(mem, into, list, count);
}

/* Columns of sql/query/probe/answers.sql, from its third. */
enum {
    ANS_ANSWER = 2,
    ANS_AFTER,
    ANS_CLEANED,
    ANS_UNTIL,
    ANS_UNIT,
    ANS_FOULING,
    ANS_DRIFT,
    ANS_REASON,
    ANS_PERSON,
    ANS_SECOND,
    ANS_AT
};

static const struct probe_answer_row *answer_read(const struct db_rows *rows, struct arena *mem,
                                                  int visit, const char *parameter)
{
    size_t row = 0;

    if (run_of(rows, visit, parameter, &row) == 0)
        return NULL;

    struct probe_answer_row *out = ARENA_NEW(mem, struct probe_answer_row);

    *out = (struct probe_answer_row){
        .answer = {.visit = visit,
                   .kind = (enum probe_answer_kind)word_at(probe_answer_words,
                                                           db_rows_text(rows, row, ANS_ANSWER)),
                   .after = db_rows_instant(rows, row, ANS_AFTER),
                   .until = db_rows_instant(rows, row, ANS_UNTIL),
                   .cleaned = db_rows_instant(rows, row, ANS_CLEANED),
                   .fouling = error_of(rows, row, ANS_FOULING, mem),
                   .drift = error_of(rows, row, ANS_DRIFT, mem)},
        .unit = db_rows_dup(rows, row, ANS_UNIT, mem),
        .reason = db_rows_dup(rows, row, ANS_REASON, mem),
        .person = db_rows_dup(rows, row, ANS_PERSON, mem),
        .second_person = db_rows_dup(rows, row, ANS_SECOND, mem),
        .at = db_rows_instant(rows, row, ANS_AT)};

    return out;
}

/* Columns of sql/query/probe/checks.sql. */
enum {
    CHK_VISIT,
    CHK_PARAMETER,
    CHK_UNIT,
    CHK_BEFORE,
    CHK_AFTER,
    CHK_METER,
    CHK_METER_BEFORE,
    CHK_METER_AFTER,
    CHK_FOULING,
    CHK_DRIFT,
    CHK_FOUND,
    CHK_LEFT,
    CHK_CALIBRATED,
    CHK_RATING,
    CHK_CRITERIA
};

static struct probe_check_row check_read(const struct db_rows *rows, size_t row, struct arena *mem)
{
    struct probe_check_row out = {
        .read = {.parameter = db_rows_dup(rows, row, CHK_PARAMETER, mem),
                 .unit = db_rows_dup(rows, row, CHK_UNIT, mem),
                 .meter = db_rows_dup(rows, row, CHK_METER, mem)},
        .fouling = error_of(rows, row, CHK_FOULING, mem),
        .drift = error_of(rows, row, CHK_DRIFT, mem),
        .found = (enum probe_result)word_at(probe_result_words, db_rows_text(rows, row, CHK_FOUND)),
        .left = (enum probe_result)word_at(probe_result_words, db_rows_text(rows, row, CHK_LEFT)),
        .calibrated = db_rows_bool(rows, row, CHK_CALIBRATED),
        .rating = db_rows_dup(rows, row, CHK_RATING, mem),
        .criteria = db_rows_dup(rows, row, CHK_CRITERIA, mem)};
    struct probe_readings *read = &out.read.readings;

    read->in_water = number_of(rows, row, CHK_BEFORE, &read->before) &&
                     number_of(rows, row, CHK_AFTER, &read->after);
    read->beside_meter = number_of(rows, row, CHK_METER_BEFORE, &read->meter_before) &&
                         number_of(rows, row, CHK_METER_AFTER, &read->meter_after);

    return out;
}

struct told {
    struct db_rows checks;
    struct db_rows standards;
    struct db_rows answers;
};

static void told_clear(struct told *told)
{
    db_rows_clear(&told->checks);
    db_rows_clear(&told->standards);
    db_rows_clear(&told->answers);
}

static void checks_read(const struct told *told, struct arena *mem, struct probe_visit_row *visit)
{
    size_t first = 0;

    visit->check_count = run_of(&told->checks, visit->visit, NULL, &first);
    visit->checks = ARENA_ARRAY(mem, struct probe_check_row, visit->check_count);
    for (size_t i = 0; i < visit->check_count; i++) {
        struct probe_check_row *check = &visit->checks[i];

        *check = check_read(&told->checks, first + i, mem);
        standards_read(&told->standards, mem, visit->visit, &check->read);
        check->answer = answer_read(&told->answers, mem, visit->visit, check->read.parameter);
    }
}

/* Columns of sql/query/probe/visits.sql. */
enum {
    VIS_VISIT,
    VIS_INSTRUMENT,
    VIS_AT,
    VIS_MAINTENANCE,
    VIS_NOTE,
    VIS_PERSON,
    VIS_RECORDED,
    VIS_WITHDRAWN,
    VIS_WITHDRAWN_BY,
    VIS_WITHDRAWN_AT,
    VIS_WITHDRAWN_SEEN
};

bool probe_store_list(struct db_tx *tx, struct arena *mem, struct probe_visit_rows *out,
                      struct err *err)
{
    CLEANUP(told_clear) struct told told = {0};
    CLEANUP(db_rows_clear) struct db_rows rows = {0};
    struct db_params farm = DB_PARAMS(db_int(tx->farm_id));

    if (!db_run(tx, &sql_probe_visits, farm, &rows, err))
        return false;

    struct probe_visit_rows list = {.count = db_rows_count(&rows)};

    if (list.count > 0 && (!db_run(tx, &sql_probe_checks, farm, &told.checks, err) ||
                           !db_run(tx, &sql_probe_standards, farm, &told.standards, err) ||
                           !db_run(tx, &sql_probe_answers, farm, &told.answers, err)))
        return false;
    list.items = ARENA_ARRAY(mem, struct probe_visit_row, list.count);
    for (size_t i = 0; i < list.count; i++) {
        list.items[i] = (struct probe_visit_row){
            .visit = (int)db_rows_int(&rows, i, VIS_VISIT),
            .instrument = db_rows_dup(&rows, i, VIS_INSTRUMENT, mem),
            .at = db_rows_instant(&rows, i, VIS_AT),
            .maintenance = db_rows_dup(&rows, i, VIS_MAINTENANCE, mem),
            .note = db_rows_dup(&rows, i, VIS_NOTE, mem),
            .person = db_rows_dup(&rows, i, VIS_PERSON, mem),
            .recorded_at = db_rows_instant(&rows, i, VIS_RECORDED),
            .withdrawn = db_rows_dup(&rows, i, VIS_WITHDRAWN, mem),
            .withdrawn_by = db_rows_dup(&rows, i, VIS_WITHDRAWN_BY, mem),
            .withdrawn_at = db_rows_instant(&rows, i, VIS_WITHDRAWN_AT),
            .withdrawn_seen = db_rows_dup(&rows, i, VIS_WITHDRAWN_SEEN, mem)};
        checks_read(&told, mem, &list.items[i]);
    }
    *out = list;

    return true;
}
