#include "cli/command_look.h"

#include <string.h>

#include "app/look_file.h"
#include "base/file.h"
#include "base/interrupt.h"
#include "base/str.h"
#include "base/table_text.h"
#include "cli/open.h"
#include "cli/say.h"

enum { SHOWN_MOST = 2000, WORDS_SHOWN = 12, LEFT_SHOWN = 12, RAW_SHOWN = 4 };

/* Words of the file go to a terminal: their control characters as numbers. */
static const char *safe(const struct cli *cli, const char *text)
{
    return str_show(cli->mem, text, SHOWN_MOST);
}

/* --- the farm, where there is one --- */

/* Without a farm the file is looked at all the same; one that was named has to be there. */
static bool farm_if_any(struct cli *cli, const struct farm **farm, struct err *err)
{
    bool told =
        cli_has(cli, OPTION_DATA) || cli_has(cli, OPTION_DATABASE) || cli_has(cli, OPTION_FARM);
    struct err why = ERR_INIT;

    *farm = NULL;
    if (cli_connect(cli, &why) &&
        farm_open(cli->db, cli->mem, cli->units, cli->values[OPTION_FARM], &cli->farm, &why)) {
        *farm = cli->farm.farm;
        return true;
    }
    if (why.code == ERR_NOT_FOUND && !told)
        return true;
    *err = why;

    return false;
}

/* --- for people --- */

static void found_say(struct cli *cli, const struct look_result *result)
{
    fputs("\nfound\n", cli->out);
    for (size_t i = 0; i < result->guess.facts.count; i++) {
        const struct sniff_fact *fact = &result->guess.facts.items[i];
        const char *first = arena_printf(cli->mem, "  %s: ", safe(cli, fact->what));
        const char *rest = fact->evidence
                               ? arena_printf(cli->mem, "%s (%s)", fact->found, fact->evidence)
                               : fact->found;

        say_wrapped(cli->out, first, "      ", safe(cli, rest));
    }
    if (result->guess.left_out.count > 0)
        say_wrapped(cli->out, "  columns left out: ", "      ",
                    safe(cli, sniff_list_text(cli->mem, result->guess.left_out.items,
                                              result->guess.left_out.count, LEFT_SHOWN)));
    for (size_t i = 0; i < result->guess.notes.count; i++)
        say_wrapped(cli->out, "  note: ", "      ", safe(cli, result->guess.notes.items[i]));
}

static void known_say(struct cli *cli, const struct look_result *result)
{
    for (size_t i = 0; i < result->known_count; i++) {
        const struct look_known *known = &result->known[i];

        say_wrapped(
            cli->out, "  ", "  ",
            safe(cli,
                 arena_printf(cli->mem,
                              "the farm file's source %s (%s) reads this file as it "
                              "is: %s of the first %s values. If it comes from there "
                              "nothing has to be answered: weirbook take-in %s %s",
                              known->source, known->name, say_number(cli->mem, known->drafts),
                              say_number(cli->mem, known->values), known->source, cli->words[0])));
    }
}

static void asked_say(struct cli *cli, const struct look_result *result)
{
    const struct sniff_questions *questions = &result->guess.questions;

    if (questions->count == 0)
        return;
    fputs("\nasked: the file does not tell, and nothing is assumed\n", cli->out);
    for (size_t i = 0; i < questions->count; i++) {
        const struct sniff_question *question = &questions->items[i];
        const char *first = arena_printf(cli->mem, "  %d. ", question->number);
        /* Of one word the question itself has it. */
        bool lists = question->word_count > 1 ||
                     (question->word_count == 1 && !strstr(question->text, question->words[0]));

        say_wrapped(cli->out, first, "     ", safe(cli, question->text));
        if (lists)
            say_wrapped(cli->out, "     words: ", "       ",
                        safe(cli, sniff_list_text(cli->mem, question->words, question->word_count,
                                                  WORDS_SHOWN)));
        say_wrapped(cli->out, "     add ", "       ", safe(cli, question->add));
    }
}

static void raw_say(struct cli *cli, const struct look_result *result)
{
    fputs("\nfirst rows, as they stand in the file\n", cli->out);
    for (size_t i = 0; i < result->raw_count && i < RAW_SHOWN; i++)
        say_wrapped(cli->out,
                    result->raw[i].sheet
                        ? arena_printf(cli->mem, "  sheet %s, row %d: ",
                                       safe(cli, result->raw[i].sheet), result->raw[i].line)
                        : arena_printf(cli->mem, "  line %d: ", result->raw[i].line),
                    "      ", safe(cli, result->raw[i].text));
}

/* In UTC; of a clock that is asked, as it shows. */
static const char *moment_text(struct cli *cli, const struct look_result *result, instant at)
{
    char *text = instant_text(cli->mem, at);

    if (result->clock_open)
        text[strlen(text) - 1] = '\0';

    return text;
}

static const char *span_text(struct cli *cli, const struct look_result *result,
                             const struct look_value *value)
{
    return value->until == value->at
               ? moment_text(cli, result, value->at)
               : arena_printf(cli->mem, "%s to %s", moment_text(cli, result, value->at),
                              moment_text(cli, result, value->until));
}

static void values_say(struct cli *cli, const struct look_result *result)
{
    bool has_local = result->zone && !result->clock_open;
    const struct table_column columns[] = {
        {result->sheet ? "sheet and row" : "line", TABLE_RIGHT},
        {"station", TABLE_LEFT},
        {"parameter", TABLE_LEFT},
        {"value", TABLE_LEFT},
        {result->clock_open ? "at, by the file's clock" : "at, UTC", TABLE_LEFT},
        {"at, local", TABLE_LEFT}};
    struct table_text *table =
        table_text_new(cli->mem, columns, ARRAY_LEN(columns) - (has_local ? 0 : 1));

    fputs(result->is_read ? "\nfirst values, as they would be stored\n"
                          : "\nfirst values of which nothing else is asked, as they would be "
                            "stored\n",
          cli->out);
    for (size_t i = 0; i < result->value_count; i++) {
        const struct look_value *value = &result->values[i];

        TABLE_TEXT_ADD(table,
                       value->sheet ? arena_printf(cli->mem, "%s, %d", value->sheet, value->line)
                                    : arena_printf(cli->mem, "%d", value->line),
                       farm_position_text(cli->mem, value->station, value->position),
                       value->parameter,
                       arena_printf(cli->mem, "%s%s%s", value->value, *value->value ? " " : "",
                                    value->unit ? value->unit : ""),
                       span_text(cli, result, value),
                       has_local ? zone_text(cli->mem, result->zone, value->at) : "");
    }
    fputs(table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH), cli->out);
}

static void counts_say(struct cli *cli, const struct look_result *result)
{
    const struct ingest_counts *counts = &result->counts;

    fprintf(cli->out, "\n%s in = %s that can be stored + %s blank + %s set aside\n",
            say_count(cli->mem, counts->values_in, "value", "values"),
            say_number(cli->mem, counts->drafts), say_number(cli->mem, counts->blank),
            say_number(cli->mem, counts->problems));
    if (counts->ignored_rows > 0)
        fprintf(cli->out, "  %s of parameters that are left out\n",
                say_count(cli->mem, counts->ignored_rows, "row", "rows"));
    for (size_t i = 0; i < result->reason_count; i++) {
        const struct look_reason *reason = &result->reasons[i];

        say_wrapped(cli->out,
                    arena_printf(cli->mem, "  set aside, %s: ",
                                 say_count(cli->mem, reason->count, "value", "values")),
                    "      ",
                    safe(cli, arena_printf(cli->mem, "%s (first in %s). %s", reason->words,
                                           reason->place, reason->todo ? reason->todo : "")));
    }
    if (result->other_reasons > 0)
        fprintf(cli->out, "  set aside, %s: for other reasons\n",
                say_count(cli->mem, result->other_reasons, "value", "values"));
    fputs("  Values that come twice, or contradict others, are sorted out when it is taken in.\n",
          cli->out);
}

static void result_say(struct cli *cli, const struct look_result *result, bool has_farm)
{
    bool all = result->rows_looked >= result->rows;

    fprintf(cli->out, "%s\n  %s; %s%s\n", safe(cli, result->name),
            say_count(cli->mem, result->bytes, "byte", "bytes"),
            all ? "the guess looked at all of its rows: "
                : "the guess looked at the first rows, some of the rest and the last: ",
            all ? say_number(cli->mem, result->rows)
                : arena_printf(cli->mem, "%s of %s", say_number(cli->mem, result->rows_looked),
                               say_number(cli->mem, result->rows)));
    fprintf(cli->out, "  %s\n",
            has_farm ? arena_printf(cli->mem, "for %s", say_farm(cli->mem, cli->farm.farm))
                     : "no farm is at hand: its stations and time zone are asked");
    known_say(cli, result);
    found_say(cli, result);
    asked_say(cli, result);
    if (!result->is_read)
        raw_say(cli, result);
    if (result->refused)
        say_wrapped(cli->out, "\nrefused when it was read by these lines: ", "  ",
                    safe(cli, result->refused));
    if (result->value_count > 0)
        values_say(cli, result);
    if (result->is_read)
        counts_say(cli, result);
    fprintf(cli->out, "\nfor the farm file, under `sources:`\n\n%s\n", result->source_text);
}

/* --- for machines --- */

static void names_json(struct json_writer *json, const char *name, const char *const *items,
                       size_t count)
{
    json_put_name(json, name);
    json_put_array(json);
    for (size_t i = 0; i < count; i++)
        json_put_text(json, items[i]);
    json_put_array_end(json);
}

static void found_json(struct json_writer *json, const struct look_result *result)
{
    json_put_name(json, "found");
    json_put_array(json);
    for (size_t i = 0; i < result->guess.facts.count; i++) {
        const struct sniff_fact *fact = &result->guess.facts.items[i];

        json_put_object(json);
        json_put_name_text(json, "what", fact->what);
        json_put_name_text(json, "found", fact->found);
        json_put_name_text(json, "evidence", fact->evidence);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    json_put_name(json, "asked");
    json_put_array(json);
    for (size_t i = 0; i < result->guess.questions.count; i++) {
        const struct sniff_question *question = &result->guess.questions.items[i];

        json_put_object(json);
        json_put_name_int(json, "number", question->number);
        json_put_name_text(json, "topic", question->topic);
        json_put_name_text(json, "text", question->text);
        json_put_name_text(json, "add", question->add);
        names_json(json, "words", question->words, question->word_count);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    names_json(json, "left_out", result->guess.left_out.items, result->guess.left_out.count);
    names_json(json, "notes", result->guess.notes.items, result->guess.notes.count);
}

static void values_json(struct cli *cli, struct json_writer *json, const struct look_result *result)
{
    json_put_name(json, "values");
    json_put_array(json);
    for (size_t i = 0; i < result->value_count; i++) {
        const struct look_value *value = &result->values[i];

        json_put_object(json);
        json_put_name_text(json, "sheet", value->sheet);
        json_put_name_int(json, "line", value->line);
        json_put_name_text(json, "station", value->station);
        json_put_name_text(json, "position", value->position);
        json_put_name_text(json, "parameter", value->parameter);
        json_put_name_text(json, "value", value->value);
        json_put_name_text(json, "unit", value->unit);
        json_put_name_text(json, "sample", value->sample);
        json_put_name_text(json, "at", moment_text(cli, result, value->at));
        json_put_name_text(json, "until", moment_text(cli, result, value->until));
        json_put_name_text(json, "at_local",
                           result->zone && !result->clock_open
                               ? zone_text(cli->mem, result->zone, value->at)
                               : NULL);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void known_json(struct json_writer *json, const struct look_result *result)
{
    json_put_name(json, "known_sources");
    json_put_array(json);
    for (size_t i = 0; i < result->known_count; i++) {
        json_put_object(json);
        json_put_name_text(json, "source", result->known[i].source);
        json_put_name_int(json, "values", result->known[i].values);
        json_put_name_int(json, "can_be_stored", result->known[i].drafts);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void reasons_json(struct json_writer *json, const struct look_result *result)
{
    json_put_name(json, "reasons");
    json_put_array(json);
    for (size_t i = 0; i < result->reason_count; i++) {
        json_put_object(json);
        json_put_name_int(json, "count", result->reasons[i].count);
        json_put_name_text(json, "place", result->reasons[i].place);
        json_put_name_text(json, "words", result->reasons[i].words);
        json_put_name_text(json, "todo", result->reasons[i].todo);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void result_json(struct cli *cli, const struct look_result *result)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "file", result->name);
    json_put_name_int(&json, "bytes", result->bytes);
    json_put_name_int(&json, "rows", result->rows);
    json_put_name_int(&json, "rows_looked_at", result->rows_looked);
    known_json(&json, result);
    found_json(&json, result);
    json_put_name_bool(&json, "read", result->is_read);
    if (result->is_read) {
        json_put_name_int(&json, "values_in", result->counts.values_in);
        json_put_name_int(&json, "can_be_stored", result->counts.drafts);
        json_put_name_int(&json, "blank", result->counts.blank);
        json_put_name_int(&json, "set_aside", result->counts.problems);
        json_put_name_int(&json, "rows_ignored", result->counts.ignored_rows);
        reasons_json(&json, result);
    }
    json_put_name_text(&json, "refused", result->refused);
    values_json(cli, &json, result);
    json_put_name_text(&json, "source", result->source_text);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* --- the command --- */

static bool source_write(struct cli *cli, const struct look_result *result, struct err *err)
{
    const char *path = cli->values[OPTION_OUT];
    const char *text = arena_printf(cli->mem, "sources:\n%s", result->source_text);

    return !path || file_write(path, text, strlen(text), 0644, err);
}

/* Answers that are none, each with what can be. */
static void answers_read(struct cli *cli, struct sniff_answers *answers, struct sniff_names *wrong,
                         struct err *first)
{
    for (size_t i = 1; i < cli->word_count; i++) {
        struct err why = ERR_INIT;

        if (sniff_answer_read(cli->mem, cli->words[i], answers, &why))
            continue;
        if (wrong->count == 0)
            *first = why;
        LIST_ADD(cli->mem, wrong, arena_printf(cli->mem, "%s. %s", why.text, why.hint));
    }
}

/* Told together with those that the file refuses; one alone is the error itself. */
static bool fail_wrong(struct cli *cli, const struct sniff_names *wrong, struct err *err)
{
    cli->wrong = wrong->items;
    cli->wrong_count = wrong->count;
    if (wrong->count < 2)
        return false;
    for (size_t i = 0; i < wrong->count; i++)
        say_wrapped(stderr, "  ", "    ", safe(cli, wrong->items[i]));
    (void)err_set(err, ERR_INVALID, "%zu answers can't be taken", wrong->count);

    return err_hint(err, "What can be is told with each of them.");
}

static bool look_answered(struct cli *cli, struct look_request *request, struct look_result *result,
                          struct err *err)
{
    struct sniff_names wrong = {0};
    struct err first = ERR_INIT;

    answers_read(cli, request->answers, &wrong, &first);
    if (look_file(cli->mem, request, result, err) && wrong.count == 0)
        return true;
    for (size_t i = 0; i < result->guess.wrong.count; i++)
        LIST_ADD(cli->mem, &wrong, result->guess.wrong.items[i]);
    if (first.code != ERR_NONE)
        *err = first;

    return fail_wrong(cli, &wrong, err);
}

bool command_look(struct cli *cli, struct err *err)
{
    struct sniff_answers answers = {0};
    struct look_request request = {.path = cli->words[0],
                                   .answers = &answers,
                                   .units = cli->units,
                                   .now = cli->now,
                                   .stop = interrupt_flag()};
    struct look_result result;

    if (!farm_if_any(cli, &request.farm, err) || !look_answered(cli, &request, &result, err) ||
        !source_write(cli, &result, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        result_json(cli, &result);
    if (say_aloud(cli))
        result_say(cli, &result, request.farm != NULL);
    if (!result.is_read && cli_has(cli, OPTION_STRICT))
        cli->status = EXIT_INCOMPLETE;
    if (result.guess.questions.count > 0)
        say_next(cli, "the same command with an answer to each question behind the file");
    else if (result.refused)
        say_next(cli, "mend the file or these lines by hand, and look again");
    else
        say_next(cli, "put these lines into the farm file, load it, then weirbook take-in %s",
                 result.guess.source.key);

    return true;
}
