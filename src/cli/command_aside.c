#include "cli/command_mending.h"

#include "app/compare_aside.h"
#include "app/type_aside.h"
#include "base/str.h"
#include "cli/command_aside_bulk.h"
#include "cli/command_records.h"
#include "cli/say.h"
#include "cli/when.h"
#include "ingest/place.h"

static const char aside_alone[] =
    "One person did this. If it takes a figure from outside to inside, the report says so on its "
    "first page until a second person agrees: weirbook aside seen FILE LINE --by PERSON.";

/* --- what waits --- */

/* Rows shown at once; the rest is counted. */
enum { ASIDE_SHOWN = 200, ASIDE_MOST = 2000000 };

/* So many are told one by one; of more those that are alike are told in one. */
enum { ASIDE_EACH = 20 };

/* The line, or of a workbook the row of its sheet. */
static int32_t line_shown(const struct aside_row *row)
{
    return row->sheet ? place_row(row->line) : row->line;
}

/* "line 14", or "sheet Results, row 14". */
static const char *line_words(struct cli *cli, const struct aside_row *row)
{
    return row->sheet ? arena_printf(cli->mem, "sheet %s, row %d", row->sheet, (int)line_shown(row))
                      : arena_printf(cli->mem, "line %d", (int)row->line);
}

static void asides_json(struct cli *cli, const struct aside_rows *rows,
                        const struct aside_counts *reasons)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "reasons");
    json_put_array(&json);
    for (size_t i = 0; i < reasons->count; i++) {
        json_put_object(&json);
        json_put_name_text(&json, "reason", reasons->items[i].reason);
        json_put_name_int(&json, "count", reasons->items[i].rows);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_name(&json, "set_aside");
    json_put_array(&json);
    for (size_t i = 0; i < rows->count; i++) {
        const struct aside_row *row = &rows->items[i];

        json_put_object(&json);
        json_put_name_text(&json, "file", row->file_name);
        json_put_name_text(&json, "source", row->source);
        if (row->sheet)
            json_put_name_text(&json, "sheet", row->sheet);
        json_put_name_int(&json, row->sheet ? "row" : "line", line_shown(row));
        json_put_name_int(&json, "column", row->column);
        json_put_name_text(&json, "reason", row->reason);
        json_put_name_text(&json, "words", row->words);
        json_put_name_text(&json, "what_to_do", row->todo);
        json_put_name_text(&json, "text", row->text);
        json_put_name_text(&json, "station", row->station);
        json_put_name_text(&json, "parameter", row->parameter);
        json_put_name_text(&json, "at",
                           row->at == INSTANT_NONE ? NULL : instant_text(cli->mem, row->at));
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* Rows from `first` on that are of one line, for one reason: one bad time spoils a whole line. */
static size_t aside_alike(const struct aside_rows *rows, size_t first)
{
    const struct aside_row *row = &rows->items[first];
    size_t after = first + 1;

    while (after < rows->count && rows->items[after].receipt == row->receipt &&
           rows->items[after].line == row->line && str_equal(rows->items[after].words, row->words))
        after++;

    return after - first;
}

/* What is to be done is told once for rows of a file that follow each other, with the last. */
static void aside_say(struct cli *cli, const struct aside_row *row, size_t count,
                      const struct aside_row *next)
{
    bool below = next && next->receipt == row->receipt && str_equal(next->todo, row->todo);

    if (count > 1)
        fprintf(cli->out, "%s, %zu values of %s\n", row->file_name, count, line_words(cli, row));
    else if (row->column)
        fprintf(cli->out, "%s, %s, column %d\n", row->file_name, line_words(cli, row),
                (int)row->column);
    else
        fprintf(cli->out, "%s, %s\n", row->file_name, line_words(cli, row));
    say_wrapped(cli->out, "  why:    ", "          ", row->words);
    say_wrapped(cli->out, "  it says: ", "          ", str_show(cli->mem, row->text, 200));
    if (*row->todo && below)
        fputs("  to do:  as with the next\n", cli->out);
    else if (*row->todo)
        say_wrapped(cli->out, "  to do:  ", "          ", row->todo);
}

/* "12 values wait: 8 unit-unknown, 4 time-unreadable". */
static void reasons_say(struct cli *cli, int64_t total, const struct aside_counts *reasons)
{
    struct buf text = buf_new(cli->mem);

    for (size_t i = 0; i < reasons->count; i++)
        buf_addf(&text, "%s%s %s", i ? ", " : "", say_number(cli->mem, reasons->items[i].rows),
                 reasons->items[i].reason);
    say_wrapped(cli->out, "", "  ",
                arena_printf(cli->mem, "%s: %s.",
                             say_count(cli->mem, total, "value waits", "values wait"), text.data));
}

/* Rows of one file that were set aside with the same words. */
struct alike {
    const struct aside_row *first;
    const struct aside_row *last;
    size_t count;
};

static size_t alike_group(struct arena *mem, const struct aside_rows *rows, struct alike **out)
{
    struct alike *groups = ARENA_ARRAY(mem, struct alike, rows->count);
    size_t count = 0;

    for (size_t i = 0; i < rows->count && count <= ASIDE_SHOWN; i++) {
        const struct aside_row *row = &rows->items[i];
        size_t at = 0;

        while (at < count && (groups[at].first->receipt != row->receipt ||
                              !str_equal(groups[at].first->words, row->words)))
            at++;
        if (at == count)
            groups[count++] = (struct alike){.first = row};
        groups[at].last = row;
        groups[at].count++;
    }
    *out = groups;

    return count;
}

/* "lines 12 to 6543" of a group, or of a workbook with their sheets. */
static const char *span_words(struct cli *cli, const struct alike *group)
{
    if (group->first->sheet)
        return arena_printf(cli->mem, "%s to %s", line_words(cli, group->first),
                            line_words(cli, group->last));

    return arena_printf(cli->mem, "lines %d to %d", (int)group->first->line,
                        (int)group->last->line);
}

static void groups_say(struct cli *cli, const struct aside_rows *rows)
{
    struct alike *groups = NULL;
    size_t count = alike_group(cli->mem, rows, &groups);

    for (size_t i = 0; i < count && i < ASIDE_SHOWN; i++) {
        const struct alike *group = &groups[i];

        if (group->first == group->last) {
            aside_say(cli, group->first, 1, NULL);
            continue;
        }
        fprintf(cli->out, "%s, %s of %s (%s)\n", group->first->file_name,
                say_count(cli->mem, (int64_t)group->count, "value", "values"),
                span_words(cli, group), group->first->reason);
        say_wrapped(cli->out, "  why:    ", "          ", group->first->words);
        say_wrapped(cli->out, "  the first says: ", "          ",
                    str_show(cli->mem, group->first->text, 200));
        if (*group->first->todo)
            say_wrapped(cli->out, "  to do:  ", "          ", group->first->todo);
    }
    if (count > ASIDE_SHOWN)
        fputs("... and more: --json lists all of them.\n", cli->out);
    fputs("--all tells each of them; a file, reason, station, parameter or lines (12-400) narrows "
          "the list.\n",
          cli->out);
}

static void each_say(struct cli *cli, const struct aside_rows *rows)
{
    for (size_t i = 0; i < rows->count && i < ASIDE_SHOWN;) {
        size_t alike = aside_alike(rows, i);

        bool more = i + alike < rows->count && i + alike < ASIDE_SHOWN;

        aside_say(cli, &rows->items[i], alike, more ? &rows->items[i + alike] : NULL);
        i += alike;
    }
    if (rows->count > ASIDE_SHOWN)
        fputs("... and more: --json lists all of them.\n", cli->out);
}

static void asides_say(struct cli *cli, const struct aside_rows *rows,
                       const struct aside_counts *reasons, bool filtered)
{
    if (rows->count == 0) {
        fputs(filtered ? "Nothing that waits fits these words.\n"
                       : "Nothing that waits is set aside.\n",
              cli->out);
        return;
    }
    reasons_say(cli, (int64_t)rows->count, reasons);
    if (rows->count > ASIDE_EACH && !filtered && !cli_has(cli, OPTION_ALL))
        groups_say(cli, rows);
    else
        each_say(cli, rows);
    say_next(cli, "weirbook aside correct, rule, compare, accept, leave-out, leave-out-all or "
                  "read-again; --help says which is for what");
}

/* A word that narrows nothing and is no name here is a slip: a command that was meant, or a name.
 */
static bool words_known(struct cli *cli, const struct aside_rows *rows,
                        const struct aside_filter *filter, struct err *err)
{
    const struct farm *farm = cli->farm.farm;

    for (size_t i = 0; i < filter->word_count; i++) {
        const char *word = filter->words[i];
        const struct aside_filter one = {
            .words = &filter->words[i], .word_count = 1, .from = DAY_NONE, .to = DAY_NONE};
        bool known = farm_find_source(farm, word) || farm_find_station(farm, word) ||
                     parameter_find(&farm->known_parameters, word);

        for (size_t j = 0; !known && j < PROBLEM_REASONS; j++)
            known = str_equal(problem_reason_name((enum problem_reason)j), word);
        if (known || asides_fit(cli->mem, rows, &one, farm->zone).count > 0)
            continue;
        err_set(err, ERR_INVALID, "'%s' is no source, file, reason, station or parameter here",
                word);
        return err_hint(err, "weirbook aside --help says what may stand there; commands are aside "
                             "accept, compare, correct, leave-out, read-again, rule and rules.");
    }

    return true;
}

bool command_aside(struct cli *cli, struct err *err)
{
    struct aside_rows rows = {0};
    struct aside_filter filter;

    if (!aside_filter_read(cli, 0, &filter, err) ||
        !asides_waiting(cli->db, cli->mem, &cli->farm, ASIDE_MOST, &rows, err) ||
        !words_known(cli, &rows, &filter, err))
        return false;
    rows = asides_fit(cli->mem, &rows, &filter, cli->farm.farm->zone);

    const struct aside_counts reasons = asides_reasons(cli->mem, &rows);

    if (rows.count > 0 && cli_has(cli, OPTION_STRICT))
        cli->status = EXIT_INCOMPLETE;
    if (cli_has(cli, OPTION_JSON))
        asides_json(cli, &rows, &reasons);
    if (say_aloud(cli))
        asides_say(cli, &rows, &reasons,
                   filter.word_count > 0 || filter.first_line > 0 || filter.saying ||
                       filter.from != DAY_NONE || filter.to != DAY_NONE);

    return true;
}

/* --- typing what is right --- */

/* WHAT VALUE pairs from that word on. */
static bool typed_read(struct cli *cli, size_t first, struct type_order *order, struct err *err)
{
    const char *time = NULL;
    const struct {
        const char *what;
        const char **text;
    } all[] = {{"value", &order->value},     {"time", &time},
               {"station", &order->station}, {"parameter", &order->parameter},
               {"unit", &order->unit},       {"sample", &order->sample}};

    for (size_t i = first; i < cli->word_count; i += 2) {
        size_t at = 0;

        while (at < ARRAY_LEN(all) && !str_equal(all[at].what, cli->words[i]))
            at++;
        if (at == ARRAY_LEN(all)) {
            err_set(err, ERR_INVALID, "'%s' can't be typed in place of a row", cli->words[i]);
            return err_hint(
                err, "It is value, time, station, parameter, unit or sample, each with what is "
                     "right behind it.");
        }
        if (i + 1 == cli->word_count || *all[at].text) {
            err_set(err, ERR_INVALID, "'%s' needs one word behind it: what is right",
                    cli->words[i]);
            return err_hint(err, "weirbook aside correct FILE LINE [COLUMN] WHAT RIGHT");
        }
        *all[at].text = cli->words[i + 1];
    }
    order->at = INSTANT_NONE;
    if (time && !when_is_written(time)) {
        order->time = time;
        return true;
    }

    return !time || when_instant(cli->mem, cli->farm.farm->zone, time, &order->at, err);
}

bool command_aside_correct(struct cli *cli, struct err *err)
{
    struct type_order order = {.reason = cli->values[OPTION_BECAUSE],
                               .second_person = cli->values[OPTION_SECOND]};
    struct correction_done done = {0};
    struct decimal column;
    size_t words = decimal_parse(cli->words[2], &column) ? 3 : 2;

    if (!aside_ref_read(cli, words, &order.ref, err) || !typed_read(cli, words, &order, err) ||
        !aside_type(cli->db, cli->mem, &cli->farm, &order, &cli->act, &done, err))
        return false;
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        json_put_name_text(&json, "before", done.before);
        json_put_name_text(&json, "after", done.after);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    }
    if (!say_aloud(cli))
        return true;
    say_wrapped(cli->out, "", "  ",
                arena_printf(cli->mem,
                             "On record now, with %s. What the row said stays beside it: "
                             "%s",
                             done.after, str_show(cli->mem, done.before, 200)));
    if (!order.second_person)
        say_wrapped(cli->out, "", "  ", aside_alone);
    say_next(cli, "weirbook check");

    return true;
}

/* --- side by side --- */

static void compared_json(struct cli *cli, const struct compared *compared)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "reason", compared->reason);
    json_put_name_text(&json, "words", compared->words);
    json_put_name_text(&json, "station", compared->station);
    json_put_name_text(&json, "parameter", compared->parameter);
    json_put_name_text(&json, "at",
                       compared->at == INSTANT_NONE ? NULL : instant_text(cli->mem, compared->at));
    json_put_name(&json, "values");
    json_put_array(&json);
    for (size_t i = 0; i < compared->count; i++) {
        const struct compared_value *value = &compared->items[i];

        json_put_object(&json);
        json_put_name_bool(&json, "stored", value->stored);
        json_put_name_bool(&json, "asked", value->asked);
        json_put_name_text(&json, "value", value->value);
        json_put_name_text(&json, "sample", value->sample);
        json_put_name_text(&json, "made_by", value->made_by);
        json_put_name_text(&json, "file", value->file_name);
        if (value->sheet)
            json_put_name_text(&json, "sheet", value->sheet);
        json_put_name_int(&json, value->sheet ? "row" : "line",
                          value->sheet ? place_row(value->line) : value->line);
        json_put_name_int(&json, "column", value->column);
        json_put_name_text(&json, "by", value->person);
        json_put_name_text(&json, "received_at", instant_text(cli->mem, value->received_at));
        json_put_name_bool(&json, "left_out", value->left_out);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void value_say(struct cli *cli, const struct compared_value *value)
{
    const char *place = value->sheet ? arena_printf(cli->mem, "sheet %s, row %d", value->sheet,
                                                    (int)place_row(value->line))
                                     : arena_printf(cli->mem, "line %d", (int)value->line);

    fprintf(cli->out, "  %-9s  %s%s%s%s\n", value->stored ? "stored" : "set aside",
            str_show(cli->mem, value->value, 120), value->sample ? ", sample " : "",
            value->sample ? value->sample : "", value->left_out ? " (left out)" : "");
    fprintf(cli->out, "             %s, %s, received %s%s%s\n", value->file_name, place,
            zone_text(cli->mem, cli->farm.farm->zone, value->received_at),
            value->person ? " by " : "", value->person ? value->person : "");
}

/* What to type for each choice. FILE, LINE and COLUMN are those that were asked with. */
static void choices_say(struct cli *cli, const struct compared *compared)
{
    const char *ref =
        arena_printf(cli->mem, "%s '%s'%s%s", cli->words[0], cli->words[1],
                     cli->word_count > 2 ? " " : "", cli->word_count > 2 ? cli->words[2] : "");

    if (str_equal(compared->reason, problem_reason_name(PROBLEM_CONTRADICTS_STORED))) {
        fprintf(cli->out,
                "To keep what is stored:\n  weirbook aside leave-out %s --because \"...\"\n", ref);
        fprintf(cli->out,
                "To take the one set aside:\n  weirbook aside accept %s --because \"...\"\n", ref);
        return;
    }
    fprintf(cli->out,
            "To take another than this one:\n  weirbook aside leave-out %s --because \"...\"\n"
            "When only the right one is left:\n  weirbook aside read-again %s\n",
            ref, cli->words[0]);
}

bool command_aside_compare(struct cli *cli, struct err *err)
{
    struct aside_ref ref = {0};
    struct compared compared = {.count = 0};

    if (!aside_ref_read(cli, cli->word_count, &ref, err) ||
        !aside_compare(cli->db, cli->mem, &cli->farm, &ref, &compared, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        compared_json(cli, &compared);
    if (!say_aloud(cli))
        return true;
    if (compared.station && compared.parameter && compared.at != INSTANT_NONE)
        fprintf(cli->out, "%s of %s, %s\n", compared.parameter, compared.station,
                zone_text(cli->mem, cli->farm.farm->zone, compared.at));
    say_wrapped(cli->out, "  why: ", "       ", compared.words);
    for (size_t i = 0; i < compared.count; i++)
        value_say(cli, &compared.items[i]);
    choices_say(cli, &compared);

    return true;
}
