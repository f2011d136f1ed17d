#include "cli/command_aside_bulk.h"

#include "app/aside_bulk.h"
#include "cli/say.h"

bool aside_filter_read(struct cli *cli, size_t first, struct aside_filter *filter, struct err *err)
{
    const char *from = cli->values[OPTION_FROM];
    const char *to = cli->values[OPTION_TO];
    const char **words = ARENA_ARRAY(cli->mem, const char *, cli->word_count);
    struct aside_filter read = {
        .words = words, .saying = cli->values[OPTION_SAYING], .from = DAY_NONE, .to = DAY_NONE};

    for (size_t i = first; i < cli->word_count; i++) {
        bool again = read.first_line > 0;

        if (!aside_filter_lines(cli->mem, cli->words[i], &read))
            words[read.word_count++] = cli->words[i];
        else if (again)
            return err_set(err, ERR_INVALID, "lines are given twice: write one span, as 12-400");
    }
    if ((from && !day_parse(from, &read.from, err)) || (to && !day_parse(to, &read.to, err)))
        return false;
    *filter = read;

    return true;
}

static void bulk_json(struct cli *cli, const struct aside_bulk_done *done)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_int(&json, "values", (int64_t)done->values);
    json_put_name_int(&json, "lines", (int64_t)done->lines);
    json_put_name_text(&json, "places", done->places);
    json_put_name(&json, "reasons");
    json_put_array(&json);
    for (size_t i = 0; i < done->reasons.count; i++) {
        json_put_object(&json);
        json_put_name_text(&json, "reason", done->reasons.items[i].reason);
        json_put_name_int(&json, "count", done->reasons.items[i].rows);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* "6,532 values of 6,532 lines of may.csv: 6,500 flagged, 32 value-unreadable" */
static void bulk_say(struct cli *cli, const struct aside_bulk_done *done, const char *now)
{
    struct buf reasons = buf_new(cli->mem);

    for (size_t i = 0; i < done->reasons.count; i++)
        buf_addf(&reasons, "%s%s %s", i ? ", " : "",
                 say_number(cli->mem, done->reasons.items[i].rows), done->reasons.items[i].reason);
    say_wrapped(cli->out, "", "  ",
                arena_printf(cli->mem, "%s of %s of %s %s: %s. %s",
                             say_count(cli->mem, (int64_t)done->values, "value", "values"),
                             say_count(cli->mem, (int64_t)done->lines, "line", "lines"),
                             cli->words[0], now, reasons.data,
                             done->left_more ? "Other rows of the file are as they were."
                                             : "That was all of the file."));
}

typedef bool bulk_act(struct db *db, struct arena *mem, const struct open_farm *farm,
                      const struct aside_bulk_order *order, const struct act *act,
                      struct aside_bulk_done *done, struct err *err);

static bool bulk_run(struct cli *cli, bulk_act *run, const char *now, struct err *err)
{
    struct aside_filter filter;
    const struct aside_bulk_order order = {.file_name = cli->words[0],
                                           .filter = &filter,
                                           .reason = cli->values[OPTION_BECAUSE],
                                           .second_person = cli->values[OPTION_SECOND]};
    struct aside_bulk_done done = {0};

    if (!aside_filter_read(cli, 1, &filter, err) ||
        !run(cli->db, cli->mem, &cli->farm, &order, &cli->act, &done, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        bulk_json(cli, &done);
    if (say_aloud(cli))
        bulk_say(cli, &done, now);

    return true;
}

bool command_aside_leave_out_all(struct cli *cli, struct err *err)
{
    if (!bulk_run(cli, asides_leave_out, "left out", err))
        return false;
    if (!say_aloud(cli))
        return true;
    if (!cli_has(cli, OPTION_SECOND))
        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem,
                                 "One person did this. If it takes a figure from outside to "
                                 "inside, the report says so on its first page until a second "
                                 "person agrees: weirbook aside seen %s --by PERSON.",
                                 cli->words[0]));
    say_next(cli, "weirbook check; weirbook aside put-back %s takes it back", cli->words[0]);

    return true;
}

bool command_aside_put_back(struct cli *cli, struct err *err)
{
    if (!bulk_run(cli, asides_put_back, "wait again", err))
        return false;
    if (say_aloud(cli))
        say_next(cli, "weirbook aside %s", cli->words[0]);

    return true;
}
