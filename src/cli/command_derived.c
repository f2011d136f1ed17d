#include "cli/command_derived.h"

#include <stdlib.h>
#include <string.h>

#include "app/look_derived.h"
#include "app/receipt_names.h"
#include "base/str.h"
#include "base/table_text.h"
#include "cli/command_month.h"
#include "cli/say.h"
#include "judge/partner.h"

/* Rows shown at once; the rest is counted. */
enum { ROWS_SHOWN = 100 };

/* --- what the farm file derives -------------------------------------------------------------- */

static const char *place_words(struct cli *cli, const char *station, const char *position,
                               const char *parameter)
{
    return arena_printf(cli->mem, "%s at %s%s%s", parameter, station, position ? ", " : "",
                        position ? position : "");
}

/* "oxygen at outlet, temperature at outlet; within 10 min" */
static const char *from_words(struct cli *cli, const struct farm_derived *derived)
{
    struct buf words = buf_new(cli->mem);

    for (size_t i = 0; i < derived->input_count; i++) {
        const struct farm_place *place = &derived->inputs[i].place;

        buf_addf(&words, "%s%s", i > 0 ? ", " : "",
                 place_words(cli, place->station, place->position, place->parameter));
    }
    if (derived->input_count > 1)
        buf_addf(&words, "; within %s", partner_apart_words(cli->mem, derived->within_s));

    return words.data;
}

static void derived_json(struct json_writer *json, const struct farm_derived *derived)
{
    const struct derivation *derivation = derived->derivation;

    json_put_object(json);
    json_put_name_text(json, "key", derived->key);
    json_put_name_text(json, "station", derived->made.station);
    json_put_name_text(json, "position", derived->made.position);
    json_put_name_text(json, "parameter", derived->made.parameter);
    json_put_name_text(json, "unit", derived->unit);
    json_put_name_text(json, "equation", derivation->equation->word);
    json_put_name_text(json, "words", derivation->words);
    json_put_name_text(json, "range", derivation->equation->range);
    json_put_name_int(json, "within_s", derived->within_s);
    json_put_name(json, "from");
    json_put_array(json);
    for (size_t i = 0; i < EQUATION_INPUTS_MOST; i++) {
        const struct derivation_place *place = &derivation->inputs[i];

        if (!place->parameter)
            continue;
        json_put_object(json);
        json_put_name_text(json, "as", derivation->equation->inputs[i].as);
        json_put_name_text(json, "station", place->station);
        json_put_name_text(json, "position", place->position);
        json_put_name_text(json, "parameter", place->parameter->key);
        json_put_name_bool(json, "leads", (int)i == derivation->lead);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    json_put_object_end(json);
}

static void all_json(struct cli *cli)
{
    const struct farm_derived_list *list = &cli->farm.farm->derived;
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "derived");
    json_put_array(&json);
    for (size_t i = 0; i < list->count; i++)
        derived_json(&json, &list->items[i]);
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void all_say(struct cli *cli)
{
    const struct farm_derived_list *list = &cli->farm.farm->derived;

    if (list->count == 0)
        fputs("The farm file derives no readings: it has no `derived:`.\n", cli->out);
    for (size_t i = 0; i < list->count; i++) {
        const struct farm_derived *derived = &list->items[i];

        fprintf(cli->out, "%s: %s, in %s\n", derived->key,
                place_words(cli, derived->made.station, derived->made.position,
                            derived->made.parameter),
                derived->unit);
        say_wrapped(cli->out, "  from:  ", "         ", from_words(cli, derived));
        say_wrapped(cli->out, "  by:    ", "         ", derived->derivation->words);
        say_wrapped(cli->out, "  holds: ", "         ", derived->derivation->equation->range);
    }
    if (list->count > 0)
        say_next(cli, "weirbook derived %s %s", list->items[0].made.station,
                 list->items[0].made.parameter);
}

/* --- readings -------------------------------------------------------------------------------- */

static const char *qualifier_word(char qualifier)
{
    return qualifier == QUALIFIER_LESS ? "<" : qualifier == QUALIFIER_GREATER ? ">" : "";
}

static const char *origin_words(struct cli *cli, const struct receipt_rows *receipts,
                                struct origin origin)
{
    const struct explain_place place = receipt_place(receipts, origin);
    const char *column =
        origin.column > 0 ? arena_printf(cli->mem, " column %d", (int)origin.column) : "";

    if (!place.file)
        return "";
    if (place.sheet)
        return arena_printf(cli->mem, " [%s, sheet %s, row %d%s]", place.file, place.sheet,
                            (int)place.line, column);

    return arena_printf(cli->mem, " [%s line %d%s]", place.file, (int)place.line, column);
}

static const char *inputs_words(struct cli *cli, const struct receipt_rows *receipts,
                                const struct derived_row *row)
{
    const struct evidence_reading *reading = row->reading;
    struct buf words = buf_new(cli->mem);

    for (size_t i = 0; i < reading->input_count; i++) {
        const struct derived_input *input = &reading->inputs[i];

        buf_addf(&words, "%s%s %s%s %s", i > 0 ? ", " : "", input->parameter,
                 qualifier_word(input->qualifier), decimal_text(cli->mem, input->shown),
                 input->unit);
        if (!str_equal(input->station, row->series->station))
            buf_addf(&words, " at %s", input->station);
        if (input->at != reading->at)
            buf_addf(&words, " of %s", zone_text(cli->mem, cli->farm.farm->zone, input->at));
        buf_addf(&words, "%s%s", input->by ? " (derived)" : "",
                 origin_words(cli, receipts, input->origin));
    }
    if (reading->doubt)
        buf_addf(&words, "; in doubt: %s", reading->doubt);
    if (!reading->counts)
        buf_add_text(&words, "; shown, never counted");

    return words.data;
}

static void row_say(struct cli *cli, const struct receipt_rows *receipts, struct table_text *table,
                    const struct derived_row *row)
{
    const char *at = row->at == INSTANT_NONE ? "time not readable"
                                             : zone_text(cli->mem, cli->farm.farm->zone, row->at);

    if (row->reading)
        TABLE_TEXT_ADD(table, at,
                       arena_printf(cli->mem, "%s%s", qualifier_word(row->reading->qualifier),
                                    decimal_text(cli->mem, row->reading->first_reported)),
                       inputs_words(cli, receipts, row));
    else
        TABLE_TEXT_ADD(table, at, "-",
                       arena_printf(cli->mem, "%s%s", row->not_given->reason,
                                    origin_words(cli, receipts, row->not_given->origin)));
}

/* The equations that make such readings there. */
static void equations_say(struct cli *cli)
{
    const struct farm_derived_list *list = &cli->farm.farm->derived;

    for (size_t i = 0; i < list->count; i++) {
        if (derivation_makes(list->items[i].derivation, cli->words[0], cli->words[1]))
            say_wrapped(cli->out, "by: ", "    ", list->items[i].derivation->words);
    }
}

/* Why some are not given, the commonest reason first. */
struct reason {
    const char *words;
    size_t count;
};

struct reason_list {
    struct reason *items;
    size_t count;
    size_t capacity;
};

static int by_count(const void *a, const void *b)
{
    const struct reason *left = a;
    const struct reason *right = b;

    if (left->count != right->count)
        return left->count < right->count ? 1 : -1;

    return strcmp(left->words, right->words);
}

/* "the temperature is 45.2 degC" and "... 45.3 degC" are one reason: it goes without its number. */
static const char *reason_kind(struct cli *cli, const char *reason)
{
    return arena_strndup(cli->mem, reason, strcspn(reason, "0123456789"));
}

static struct reason_list reasons_of(struct cli *cli, const struct derived_rows *rows)
{
    struct reason_list list = {0};

    for (size_t i = 0; i < rows->count; i++) {
        const struct derived_row *row = &rows->items[i];
        size_t at = 0;

        if (row->reading)
            continue;

        const char *kind = reason_kind(cli, row->not_given->reason);

        while (at < list.count && !str_equal(reason_kind(cli, list.items[at].words), kind))
            at++;
        if (at == list.count)
            LIST_ADD(cli->mem, &list, ((struct reason){.words = row->not_given->reason}));
        list.items[at].count++;
    }
    if (list.count > 0)
        qsort(list.items, list.count, sizeof(*list.items), by_count);

    return list;
}

/* "not given (12 of 14): no temperature ...; 2 for 1 other reason." */
static void reasons_say(struct cli *cli, const struct derived_rows *rows, bool all_shown)
{
    struct reason_list list = reasons_of(cli, rows);
    struct buf words = buf_new(cli->mem);

    if (list.count == 0)
        return;
    buf_add_text(&words, list.items[0].words);
    if (list.count > 1)
        buf_addf(&words, "; %s for %s",
                 say_number(cli->mem, (int64_t)(rows->not_given - list.items[0].count)),
                 say_count(cli->mem, (int64_t)list.count - 1, "other reason", "other reasons"));
    if (!all_shown)
        buf_add_text(&words, ". --all lists each with its time and reason.");
    say_wrapped(cli->out,
                arena_printf(cli->mem, "not given (%s of %s): ",
                             say_number(cli->mem, (int64_t)list.items[0].count),
                             say_number(cli->mem, (int64_t)rows->not_given)),
                "    ", words.data);
}

static void rows_say(struct cli *cli, const struct receipt_rows *receipts,
                     const struct derived_rows *rows, const char *span)
{
    const char *unit = rows->count > rows->not_given ? NULL : "";
    size_t shown = cli_has(cli, OPTION_ALL) || rows->count < ROWS_SHOWN ? rows->count : ROWS_SHOWN;

    for (size_t i = 0; i < rows->count && !unit; i++)
        if (rows->items[i].reading)
            unit = rows->items[i].reading->unit;

    const struct table_column columns[] = {
        {"time", TABLE_LEFT}, {unit, TABLE_POINT}, {"worked out from", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));

    fprintf(cli->out, "%s at %s, %s: %s, %s not given\n", cli->words[1], cli->words[0], span,
            say_count(cli->mem, (int64_t)(rows->count - rows->not_given), "derived reading",
                      "derived readings"),
            say_number(cli->mem, (int64_t)rows->not_given));
    equations_say(cli);
    reasons_say(cli, rows, shown == rows->count);
    if (rows->count == 0)
        return;
    for (size_t i = 0; i < shown; i++)
        row_say(cli, receipts, table, &rows->items[i]);
    fputs(table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH), cli->out);
    if (shown < rows->count)
        fprintf(cli->out, "... and %s more: --all lists every one.\n",
                say_number(cli->mem, (int64_t)(rows->count - shown)));
}

static void origin_json(struct json_writer *json, const struct receipt_rows *receipts,
                        struct origin origin)
{
    const struct explain_place place = receipt_place(receipts, origin);

    json_put_name_text(json, "file", place.file);
    if (place.sheet)
        json_put_name_text(json, "sheet", place.sheet);
    json_put_name_int(json, place.sheet ? "row" : "line", place.line);
    json_put_name_int(json, "column", origin.column);
}

static void number_json(struct cli *cli, struct json_writer *json, char qualifier,
                        struct decimal value, const char *unit)
{
    json_put_name_text(json, "qualifier", qualifier_word(qualifier));
    json_put_name_text(json, "value", decimal_text(cli->mem, value));
    json_put_name_text(json, "unit", unit);
}

static void row_json(struct cli *cli, struct json_writer *json, const struct receipt_rows *receipts,
                     const struct derived_row *row)
{
    json_put_object(json);
    json_put_name_text(json, "at",
                       row->at == INSTANT_NONE ? NULL : instant_text(cli->mem, row->at));
    if (!row->reading) {
        json_put_name_text(json, "not_given", row->not_given->reason);
        origin_json(json, receipts, row->not_given->origin);
        json_put_object_end(json);
        return;
    }

    const struct evidence_reading *reading = row->reading;

    json_put_name_text(json, "until", instant_text(cli->mem, reading->until));
    number_json(cli, json, reading->qualifier, reading->first_reported, reading->unit);
    json_put_name_text(json, "equation", row->series->by->words);
    json_put_name_text(json, "sample", reading->sample);
    json_put_name_text(json, "doubt", reading->doubt);
    json_put_name_bool(json, "counts", reading->counts);
    json_put_name(json, "from");
    json_put_array(json);
    for (size_t i = 0; i < reading->input_count; i++) {
        const struct derived_input *input = &reading->inputs[i];

        json_put_object(json);
        json_put_name_text(json, "station", input->station);
        json_put_name_text(json, "parameter", input->parameter);
        json_put_name_text(json, "at", instant_text(cli->mem, input->at));
        number_json(cli, json, input->qualifier, input->shown, input->unit);
        json_put_name_text(json, "equation", input->by ? input->by->words : NULL);
        origin_json(json, receipts, input->origin);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    json_put_object_end(json);
}

static void rows_json(struct cli *cli, const struct receipt_rows *receipts,
                      const struct derived_rows *rows)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "station", cli->words[0]);
    json_put_name_text(&json, "parameter", cli->words[1]);
    json_put_name_int(&json, "not_given", (int64_t)rows->not_given);
    json_put_name(&json, "readings");
    json_put_array(&json);
    for (size_t i = 0; i < rows->count; i++)
        row_json(cli, &json, receipts, &rows->items[i]);
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* --- the command ----------------------------------------------------------------------------- */

/* The days asked for: --from and --to, a month, or the newest with readings. */
static bool days_asked(struct cli *cli, day_number *from, day_number *to, struct err *err)
{
    const char *first = cli->values[OPTION_FROM];
    const char *last = cli->values[OPTION_TO];

    if (!first && !last) {
        if (!month_asked(cli, 2, from, err))
            return false;
        *to = month_next(*from) - 1;
        return true;
    }
    if (!first || !last || cli->word_count > 2) {
        err_set(err, ERR_INVALID, "--from and --to go together, and without a month");
        return err_hint(err, "As --from 2026-03-01 --to 2026-03-07, or a month: 2026-03.");
    }
    if (!day_parse(first, from, err) || !day_parse(last, to, err))
        return false;
    if (*to < *from)
        return err_set(err, ERR_INVALID, "the last day, %s, lies before the first", last);

    return true;
}

static bool readings_show(struct cli *cli, struct err *err)
{
    struct receipt_rows receipts = {0};
    struct derived_rows rows = {0};
    day_number from = DAY_NONE;
    day_number to = DAY_NONE;

    if (!days_asked(cli, &from, &to, err) ||
        !derived_look(cli->db, cli->mem, &cli->farm, cli->words[0], cli->words[1], from, to,
                      cli->now, &rows, err) ||
        !receipts_look(cli->db, cli->mem, &cli->farm, &receipts, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        rows_json(cli, &receipts, &rows);
    if (say_aloud(cli))
        rows_say(cli, &receipts, &rows,
                 cli_has(cli, OPTION_FROM)
                     ? arena_printf(cli->mem, "%s to %s", day_words(cli->mem, from),
                                    day_words(cli->mem, to))
                     : month_words(cli->mem, from));

    return true;
}

bool command_derived(struct cli *cli, struct err *err)
{
    if (cli->word_count == 1) {
        err_set(err, ERR_INVALID, "which parameter at '%s'?", cli->words[0]);
        return err_hint(err, "As weirbook derived STATION PARAMETER; weirbook derived lists them.");
    }
    if (cli->word_count > 1)
        return readings_show(cli, err);
    if (cli_has(cli, OPTION_JSON))
        all_json(cli);
    if (say_aloud(cli))
        all_say(cli);

    return true;
}
