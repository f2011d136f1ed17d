#include "app/receipt_names.h"
#include "base/str.h"
#include "cli/command_month.h"
#include "cli/month_view.h"
#include "cli/say.h"
#include "judge/explain_json.h"
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

/* Lines on the terminal; in JSON everything that the verdict rests on. */
struct telling {
    struct cli *cli;
    const char *key; /* NULL: every limit and interval */
    struct json_writer *json;
    struct receipt_rows receipts;
    bool found;
    bool shortened;
};

static bool is_asked(const struct telling *telling, const char *key)
{
    return !telling->key || str_equal(key, telling->key);
}

/* Whether a limit or an interval of the month has the key. */
static bool has_asked(const struct telling *telling, const struct judged_month *month)
{
    bool has = false;

    for (size_t i = 0; i < month->verdicts.count; i++)
        has = has || is_asked(telling, month->verdicts.items[i].limit->key);
    for (size_t i = 0; i < month->intervals.count; i++)
        has = has || is_asked(telling, month->intervals.items[i].interval->key);

    return has;
}

/* Several are parted by an empty line. */
static void tell(struct telling *telling, const char *const *lines, size_t count)
{
    if (telling->found)
        fprintf(telling->cli->out, "\n");
    for (size_t i = 0; i < count; i++)
        fprintf(telling->cli->out, "%s\n", lines[i]);
}

static struct explain_place place_of_origin(void *context, struct origin origin)
{
    return receipt_place(context, origin);
}

/* What was written so far, so that no more than one limit of it is held. */
static void json_flush(const struct telling *telling)
{
    struct buf *text = telling->json->buf;

    fwrite(text->data, 1, text->len, telling->cli->out);
    text->len = 0;
    text->data[0] = '\0';
}

static void tell_limit(void *context, struct arena *mem, const struct judged_month *month,
                       const struct verdict *verdict)
{
    struct telling *telling = context;
    struct cli *cli = telling->cli;
    const struct explain_names names = {.context = &telling->receipts, .place = place_of_origin};
    const struct explain_choices choices = {.names = &names,
                                            .every_reading = cli_has(cli, OPTION_ALL)};
    struct evidence evidence = evidence_for_limit(&month->loaded, cli->farm.farm, verdict->limit);

    if (cli_has(cli, OPTION_JSON)) {
        judge_explain_json(mem, verdict, &evidence, &choices, telling->json);
        json_flush(telling);
    } else {
        struct explanation lines = judge_explain(mem, verdict, &evidence, &choices);

        tell(telling, lines.items, lines.count);
        telling->shortened = telling->shortened || lines.shortened;
    }
    telling->found = true;
}

/* A key may stand for several forms of a clause in one month. */
static void tell_limits(struct telling *telling, const struct judged_month *month)
{
    for (size_t i = 0; i < month->verdicts.count; i++)
        if (is_asked(telling, month->verdicts.items[i].limit->key))
            tell_limit(telling, telling->cli->mem, month, &month->verdicts.items[i]);
}

static void interval_json(struct json_writer *json, const struct interval *interval,
                          const struct plan_lines *lines)
{
    json_put_object(json);
    json_put_name_text(json, "key", interval->key);
    json_put_name(json, "lines");
    json_put_array(json);
    for (size_t i = 0; i < lines->count; i++)
        json_put_text(json, lines->items[i]);
    json_put_array_end(json);
    json_put_object_end(json);
}

static void tell_intervals(struct telling *telling, const struct judged_month *month)
{
    struct cli *cli = telling->cli;

    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        if (!is_asked(telling, one->interval->key))
            continue;

        struct plan_lines lines = plan_explain(cli->mem, one->interval, &one->evidence, &one->dues);

        if (cli_has(cli, OPTION_JSON))
            interval_json(telling->json, one->interval, &lines);
        else
            tell(telling, lines.items, lines.count);
        telling->found = true;
    }
}

/* Before the limits. */
static void begin_limits(const struct telling *telling)
{
    json_put_object(telling->json);
    json_put_name(telling->json, "limits");
    json_put_array(telling->json);
}

/* After them, to the end. */
static void tell_rest(struct telling *telling, const struct judged_month *month)
{
    struct json_writer *json = telling->json;

    json_put_array_end(json);
    json_put_name(json, "intervals");
    json_put_array(json);
    tell_intervals(telling, month);
    json_put_array_end(json);
    json_put_object_end(json);
    json_end(json);
}

/* Whether the first of the words is a limit; one word alone may be the month. */
static bool has_key(const struct cli *cli)
{
    struct err ignored = ERR_INIT;
    day_number month;

    return cli->word_count == 2 ||
           (cli->word_count == 1 && !month_parse(cli->words[0], &month, &ignored));
}

/* Every limit of the month, each as soon as it is judged. */
static bool tell_month(struct telling *telling, day_number first, struct err *err)
{
    struct cli *cli = telling->cli;
    struct judged_month month = {0};

    begin_limits(telling);
    if (!month_look_each(cli->db, cli->mem, &cli->farm, first, cli->now, tell_limit, telling,
                         &month, err))
        return false;
    tell_rest(telling, &month);

    return true;
}

/* What has the key. */
static bool tell_one(struct telling *telling, day_number first, struct err *err)
{
    struct cli *cli = telling->cli;
    struct judged_month month = {0};

    if (!month_look_at(cli->db, cli->mem, &cli->farm, first, telling->key, cli->now, &month, err))
        return false;
    if (!has_asked(telling, &month))
        return key_unknown(&month, cli, err);
    begin_limits(telling);
    tell_limits(telling, &month);
    tell_rest(telling, &month);

    return true;
}

bool command_explain(struct cli *cli, struct err *err)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);
    bool keyed = has_key(cli);
    struct telling telling = {.cli = cli, .key = keyed ? cli->words[0] : NULL, .json = &json};
    day_number first = DAY_NONE;

    if (!month_asked(cli, keyed, &first, err) ||
        !receipts_look(cli->db, cli->mem, &cli->farm, &telling.receipts, err) ||
        !(keyed ? tell_one(&telling, first, err) : tell_month(&telling, first, err)))
        return false;
    if (cli_has(cli, OPTION_JSON))
        say_json(cli, &text);
    if (telling.shortened && say_aloud(cli))
        fprintf(cli->out, "Days with many readings are told in one line; --all lists every one.\n");

    return true;
}
