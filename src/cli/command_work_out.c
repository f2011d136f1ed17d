#include "cli/command_work_out.h"

#include <math.h>
#include <string.h>

#include "base/str.h"
#include "cli/say.h"
#include "cli/word_list.h"
#include "quantity/quantity.h"

enum { DIGITS_ALL = 12 };

/* --- what was typed -------------------------------------------------------------------------- */

struct typed {
    const char *quantity; /* "practical salinity"; "" for none */
    struct quantity_given *given;
    size_t count;
};

/*
 * Words up to the first "name=value" name the quantity. A word without "=" after it goes on with
 * the value before, so that nobody needs quotes: temperature=68 degF.
 */
static struct typed typed_read(const struct cli *cli)
{
    struct buf name = buf_new(cli->mem);
    struct typed typed = {.given = ARENA_ARRAY(cli->mem, struct quantity_given, cli->word_count)};

    for (size_t i = 0; i < cli->word_count; i++) {
        const char *equals = strchr(cli->words[i], '=');

        if (equals) {
            typed.given[typed.count++] = (struct quantity_given){
                .name = arena_strndup(cli->mem, cli->words[i], (size_t)(equals - cli->words[i])),
                .text = equals + 1,
            };
        } else if (typed.count == 0) {
            buf_addf(&name, "%s%s", name.len ? " " : "", cli->words[i]);
        } else {
            struct quantity_given *last = &typed.given[typed.count - 1];

            last->text = arena_printf(cli->mem, "%s %s", last->text, cli->words[i]);
        }
    }
    typed.quantity = name.data;

    return typed;
}

/* --- all there are --------------------------------------------------------------------------- */

static const struct word_column quantity_columns[] = {{"quantity", NULL, NULL},
                                                      {"equation", NULL, NULL}};

static void list_all(struct cli *cli)
{
    struct word_lists lists = {0};
    const struct quantity_family *family;

    for (size_t i = 0; (family = quantity_family_at(i)); i++) {
        struct word_list list = {.title = family->word,
                                 .columns = quantity_columns,
                                 .column_count = ARRAY_LEN(quantity_columns)};

        for (size_t k = 0; k < family->count; k++)
            LIST_ADD(
                cli->mem, &list,
                ((struct word_row){.cells = {family->rows[k].word, family->rows[k].equation}}));
        LIST_ADD(cli->mem, &lists, list);
    }
    word_lists_say(cli, &lists);
    say_next(cli, "weirbook work-out QUANTITY says what it takes");
}

/* --- one: what it takes ---------------------------------------------------------------------- */

static const struct word_column input_columns[] = {
    {"input", NULL, NULL}, {"in", NULL, NULL}, {"needed", NULL, NULL}, {"about", NULL, NULL}};

static const struct word_column word_columns[] = {{"word", NULL, NULL}, {"means", NULL, NULL}};

static const char *input_need(struct arena *mem, const struct quantity_input *input)
{
    if (!input->otherwise)
        return "needed";
    if (!*input->otherwise)
        return "may be left out";

    return arena_printf(mem, "else %s", input->otherwise);
}

static const char *input_in(const struct quantity_input *input)
{
    if (input->kind == QUANTITY_WORD)
        return "a word";
    if (!input->unit)
        return "any unit";
    if (!*input->unit)
        return "no unit";

    return input->unit;
}

static const char *input_about(struct arena *mem, const struct quantity_input *input)
{
    const char *list = input->kind == QUANTITY_NUMBERS   ? "a list: 3.2,1.7"
                       : input->kind == QUANTITY_RESULTS ? "a list: 3.2,1.7,<2"
                                                         : "";

    if (!input->about)
        return list;

    return *list ? arena_printf(mem, "%s; %s", list, input->about) : input->about;
}

static struct word_list words_of(struct arena *mem, const struct quantity_input *input)
{
    struct word_list list = {.title = arena_printf(mem, "%s is one of", input->name),
                             .columns = word_columns,
                             .column_count = ARRAY_LEN(word_columns)};
    const char *means = NULL;
    const char *word;

    for (size_t i = 0; (word = input->word_at(i, &means)); i++) {
        LIST_ADD(mem, &list, ((struct word_row){.cells = {word, means}}));
        means = NULL;
    }

    return list;
}

/* "by pKa = ...", and of one that says itself by what, no "by by". */
static void equation_say(struct cli *cli, const char *equation)
{
    const char *lead = strncmp(equation, "by ", 3) == 0 ? "" : "by ";

    say_wrapped(cli->out, lead, "  ", equation);
}

static void describe_draw(struct cli *cli, const struct quantity *quantity)
{
    struct word_lists lists = {0};
    struct word_list inputs = {.title = quantity->word,
                               .columns = input_columns,
                               .column_count = ARRAY_LEN(input_columns)};

    for (const struct quantity_input *input = quantity->inputs; input->name; input++)
        LIST_ADD(
            cli->mem, &inputs,
            ((struct word_row){.cells = {input->name, input_in(input), input_need(cli->mem, input),
                                         input_about(cli->mem, input)}}));
    LIST_ADD(cli->mem, &lists, inputs);
    for (const struct quantity_input *input = quantity->inputs; input->name; input++)
        if (input->kind == QUANTITY_WORD)
            LIST_ADD(cli->mem, &lists, words_of(cli->mem, input));
    word_lists_say(cli, &lists);
    fputc('\n', cli->out);
    equation_say(cli, quantity->equation);
    say_wrapped(cli->out, "source: ", "  ", quantity->source);
    say_wrapped(cli->out, "holds for: ", "  ", quantity->range);
    if (quantity->caution)
        say_wrapped(cli->out, "", "", quantity->caution);
    say_wrapped(
        cli->out, "As: ", "  ",
        arena_printf(cli->mem, "weirbook work-out %s %s", quantity->word, quantity->example));
}

static void input_json(struct arena *mem, struct json_writer *json,
                       const struct quantity_input *input)
{
    const char *word;

    json_put_object(json);
    json_put_name_text(json, "name", input->name);
    json_put_name_text(json, "in", input_in(input));
    json_put_name_text(json, "need", input_need(mem, input));
    json_put_name_text(json, "about", input_about(mem, input));
    json_put_name(json, "words");
    json_put_array(json);
    for (size_t i = 0; input->word_at && (word = input->word_at(i, NULL)); i++)
        json_put_text(json, word);
    json_put_array_end(json);
    json_put_object_end(json);
}

static void describe_json(struct cli *cli, const struct quantity *quantity)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "quantity", quantity->word);
    json_put_name_text(&json, "family", quantity_family_of(quantity)->word);
    json_put_name_text(&json, "equation", quantity->equation);
    json_put_name_text(&json, "source", quantity->source);
    json_put_name_text(&json, "range", quantity->range);
    json_put_name_text(&json, "caution", quantity->caution);
    json_put_name_text(&json, "example", quantity->example);
    json_put_name(&json, "inputs");
    json_put_array(&json);
    for (const struct quantity_input *input = quantity->inputs; input->name; input++)
        input_json(cli->mem, &json, input);
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void describe(struct cli *cli, const struct quantity *quantity)
{
    if (cli_has(cli, OPTION_JSON))
        describe_json(cli, quantity);
    else
        describe_draw(cli, quantity);
}

/* --- the answer ------------------------------------------------------------------------------ */

struct shown {
    const char *name;
    const char *text; /* "34.23", with its qualifier */
    const char *unit;
    struct quantity_value value;
};

struct shown_list {
    struct shown *items;
    size_t count;
    size_t capacity;
};

/* The figures that are known, the first in the unit that --unit asks for. */
static bool figures_show(struct cli *cli, const struct quantity_asked *asked,
                         const struct quantity_answer *answer, struct shown_list *out,
                         struct err *err)
{
    const struct quantity_figure *figures = asked->quantity->figures;

    for (size_t i = 0; figures[i].name; i++) {
        struct shown shown = {.name = figures[i].name,
                              .unit = quantity_figure_unit(asked, i),
                              .value = answer->figures[i]};

        if (!shown.value.known)
            continue;
        if (i == 0 && cli_has(cli, OPTION_UNIT)) {
            const char *unit = cli->values[OPTION_UNIT];

            if (!quantity_figure_in(cli->mem, asked, i, &answer->figures[i], unit, &shown.value,
                                    err))
                return false;
            shown.unit = unit;
        }
        shown.text = quantity_value_text(cli->mem, &shown.value, figures[i].digits);
        LIST_ADD(cli->mem, out, shown);
    }

    return true;
}

static const char *input_text(struct arena *mem, const struct quantity_asked *asked, size_t at)
{
    const struct quantity_input *input = &asked->quantity->inputs[at];

    const struct quantity_input_value *value = &asked->values[at];

    return arena_printf(mem, "%s %s%s%s%s", input->name, value->text, *value->unit ? " " : "",
                        value->unit, value->given ? "" : " (not given)");
}

static void answer_draw(struct cli *cli, const struct quantity_asked *asked,
                        const struct quantity_answer *answer, const struct shown_list *figures)
{
    struct buf inputs = buf_new(cli->mem);

    for (size_t i = 0; i < figures->count; i++) {
        const struct shown *shown = &figures->items[i];
        const char *unit = str_equal(shown->unit, "1") ? "" : shown->unit; /* a share */

        fprintf(cli->out, "%s: %s%s%s\n", shown->name, shown->text, *unit ? " " : "", unit);
    }
    for (size_t i = 0; asked->quantity->inputs[i].name; i++)
        if (asked->values[i].there)
            buf_addf(&inputs, "%s%s", inputs.len ? ", " : "", input_text(cli->mem, asked, i));
    say_wrapped(cli->out, "from ", "  ", inputs.data);
    equation_say(cli, answer->equation);
    say_wrapped(cli->out, "source: ", "  ", answer->source);
    say_wrapped(cli->out, "holds for: ", "  ", answer->range);
    if (answer->note)
        say_wrapped(cli->out, "", "", answer->note);
    if (asked->quantity->caution)
        say_wrapped(cli->out, "", "", asked->quantity->caution);
}

static void figure_json(struct cli *cli, struct json_writer *json, const struct shown *shown)
{
    struct quantity_value plain = shown->value;
    bool ends = plain.exact || isfinite(plain.number);

    plain.qualifier = '=';
    json_put_object(json);
    json_put_name_text(json, "name", shown->name);
    json_put_name_text(json, "qualifier", arena_printf(cli->mem, "%c", shown->value.qualifier));
    json_put_name_number(json, "value",
                         ends ? quantity_value_text(cli->mem, &plain, DIGITS_ALL) : NULL);
    json_put_name_text(json, "shown", shown->text);
    json_put_name_text(json, "unit", shown->unit);
    json_put_object_end(json);
}

static void answer_json(struct cli *cli, const struct quantity_asked *asked,
                        const struct quantity_answer *answer, const struct shown_list *figures)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "quantity", asked->quantity->word);
    json_put_name_text(&json, "family", quantity_family_of(asked->quantity)->word);
    json_put_name(&json, "figures");
    json_put_array(&json);
    for (size_t i = 0; i < figures->count; i++)
        figure_json(cli, &json, &figures->items[i]);
    json_put_array_end(&json);
    json_put_name(&json, "inputs");
    json_put_array(&json);
    for (size_t i = 0; asked->quantity->inputs[i].name; i++) {
        if (!asked->values[i].there)
            continue;
        json_put_object(&json);
        json_put_name_text(&json, "name", asked->quantity->inputs[i].name);
        json_put_name_text(&json, "text", asked->values[i].text);
        json_put_name_text(&json, "unit", asked->values[i].unit);
        json_put_name_bool(&json, "given", asked->values[i].given);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_name_text(&json, "equation", answer->equation);
    json_put_name_text(&json, "source", answer->source);
    json_put_name_text(&json, "range", answer->range);
    json_put_name_text(&json, "note", answer->note);
    json_put_name_text(&json, "caution", asked->quantity->caution);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_work_out(struct cli *cli, struct err *err)
{
    struct typed typed = typed_read(cli);
    const struct quantity *quantity = NULL;
    struct quantity_asked *asked = NULL;
    struct quantity_answer answer;
    struct shown_list figures = {0};

    if (cli->word_count == 0) {
        list_all(cli);
        return true;
    }
    if (!quantity_require(cli->mem, typed.quantity, &quantity, err))
        return false;
    if (typed.count == 0) {
        describe(cli, quantity);
        return true;
    }
    if (!quantity_ask(cli->mem, cli->units, quantity, typed.given, typed.count, &asked, err) ||
        !quantity_work_out(cli->mem, asked, &answer, err) ||
        !figures_show(cli, asked, &answer, &figures, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        answer_json(cli, asked, &answer, &figures);
    else
        answer_draw(cli, asked, &answer, &figures);

    return true;
}
