#include "app/receipt_names.h"
#include "base/str.h"
#include "cli/command_month.h"
#include "cli/month_view.h"
#include "cli/say.h"
#include "judge/explain.h"
#include "plan/explain.h"

static bool key_unknown(const struct judged_month *month, struct cli *cli, struct err *err)
{
    size_t limits = month->verdicts.count;
    size_t intervals = month->intervals.count;
    const char **keys = ARENA_ARRAY(cli->mem, const char *, limits + intervals);

    for (size_t i = 0; i < limits; i++)
        keys[i] = month->verdicts.items[i].limit->key;
    for (size_t i = 0; i < intervals; i++)
        keys[limits + i] = month->intervals.items[i].interval->key;

    const char *nearest = str_nearest(cli->words[0], keys, limits + intervals);

    err_set(err, ERR_NOT_FOUND, "no limit or interval '%s' is in force in %s", cli->words[0],
            month_words(cli->mem, month->from));
    if (nearest)
        return err_hint(err, "Did you mean '%s'?", nearest);

    return err_hint(err, "weirbook check lists the limits and intervals.");
}

/* Lines on the terminal, and beside it in JSON. */
struct telling {
    struct cli *cli;
    struct json_writer *json;
    struct receipt_rows receipts;
    bool found;
    bool shortened;
};

static void tell(const struct telling *telling, const char *const *lines, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        json_put_text(telling->json, lines[i]);
        if (!cli_has(telling->cli, OPTION_JSON))
            fprintf(telling->cli->out, "%s\n", lines[i]);
    }
}

static const char *file_of(void *context, int64_t receipt)
{
    return receipt_name(context, receipt);
}

/* A key may stand for several forms of a clause in one month. */
static void tell_limits(struct telling *telling, const struct judged_month *month)
{
    struct cli *cli = telling->cli;
    const struct explain_names names = {.context = &telling->receipts, .file = file_of};
    const struct explain_choices choices = {.names = &names,
                                            .every_reading = cli_has(cli, OPTION_ALL)};

    for (size_t i = 0; i < month->verdicts.count; i++) {
        const struct verdict *verdict = &month->verdicts.items[i];

        if (!str_equal(verdict->limit->key, cli->words[0]))
            continue;

        struct evidence evidence =
            evidence_for_limit(&month->loaded, cli->farm.farm, verdict->limit);
        struct explanation lines = judge_explain(cli->mem, verdict, &evidence, &choices);

        tell(telling, lines.items, lines.count);
        telling->found = true;
        telling->shortened = telling->shortened || lines.shortened;
    }
}

static void tell_intervals(struct telling *telling, const struct judged_month *month)
{
    struct cli *cli = telling->cli;

    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        if (!str_equal(one->interval->key, cli->words[0]))
            continue;

        struct plan_lines lines = plan_explain(cli->mem, one->interval, &one->evidence, &one->dues);

        tell(telling, lines.items, lines.count);
        telling->found = true;
    }
}

bool command_explain(struct cli *cli, struct err *err)
{
    struct judged_month month = {0};
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);
    struct telling telling = {.cli = cli, .json = &json};
    day_number first = DAY_NONE;

    if (!month_asked(cli, 1, &first, err) ||
        !month_look(cli->db, cli->mem, &cli->farm, first, cli->now, &month, err) ||
        !receipts_look(cli->db, cli->mem, &cli->farm, &telling.receipts, err))
        return false;
    json_put_array(&json);
    tell_limits(&telling, &month);
    tell_intervals(&telling, &month);
    json_put_array_end(&json);
    json_end(&json);
    if (!telling.found)
        return key_unknown(&month, cli, err);
    if (cli_has(cli, OPTION_JSON))
        say_json(cli, &text);
    if (telling.shortened && say_aloud(cli))
        fprintf(cli->out, "Days with many readings are told in one line; --all lists every one.\n");

    return true;
}
