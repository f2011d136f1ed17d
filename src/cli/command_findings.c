#include "app/farm_status.h"
#include "app/notice_words.h"
#include "base/str.h"
#include "cli/command_farm.h"
#include "cli/say.h"

static bool is_gone(const struct finding_row *row)
{
    return str_equal(row->step, "worked out again");
}

static void findings_json(struct cli *cli, const struct finding_rows *rows)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "findings");
    json_put_array(&json);
    for (size_t i = 0; i < rows->count; i++) {
        const struct finding_row *row = &rows->items[i];

        json_put_object(&json);
        json_put_name_text(&json, "kind", row->kind);
        json_put_name_text(&json, "subject", row->subject);
        json_put_name_text(&json, "station", row->station);
        json_put_name_text(&json, "from", day_text(cli->mem, row->from));
        json_put_name_text(&json, "aware_at", instant_text(cli->mem, row->aware_at));
        json_put_name_text(&json, "words", row->words);
        json_put_name_text(&json, "step", row->step);
        json_put_name_text(&json, "todo", is_gone(row) ? NULL : notice_kind_of(row->kind)->todo);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void finding_say(struct cli *cli, const struct finding_row *row)
{
    say_wrapped(cli->out, "  ", "    ", row->words);
    fprintf(cli->out, "    we knew on %s\n",
            zone_text(cli->mem, cli->farm.farm->zone, row->aware_at));
}

/* Those of one kind that wait, and what to do about them. */
static size_t kind_say(struct cli *cli, const struct finding_rows *rows,
                       const struct notice_kind *kind, bool first)
{
    size_t count = 0;

    for (size_t i = 0; i < rows->count; i++) {
        const struct finding_row *row = &rows->items[i];

        if (is_gone(row) || notice_kind_of(row->kind) != kind)
            continue;
        if (count++ == 0)
            fprintf(cli->out, "%s%s\n", first ? "" : "\n", kind->title);
        finding_say(cli, row);
    }
    if (count > 0)
        say_wrapped(cli->out, "  what to do: ", "    ", kind->todo);

    return count;
}

/* What was found once and is so no more asks nothing of anybody, and stays on record. */
static void gone_say(struct cli *cli, const struct finding_rows *rows)
{
    size_t gone = 0;

    for (size_t i = 0; i < rows->count; i++)
        gone += is_gone(&rows->items[i]);
    if (gone == 0)
        return;
    if (!cli_has(cli, OPTION_ALL)) {
        fprintf(cli->out, "\n%s worked out again since and no longer found: --all lists %s\n",
                say_count(cli->mem, (int64_t)gone, "older finding was", "older findings were"),
                gone == 1 ? "it" : "them");
        return;
    }
    fputs("\nworked out again since, and no longer found\n", cli->out);
    for (size_t i = 0; i < rows->count; i++)
        if (is_gone(&rows->items[i]))
            finding_say(cli, &rows->items[i]);
}

bool command_findings(struct cli *cli, struct err *err)
{
    const struct notice_kind *kind;
    struct finding_rows rows = {0};
    size_t waiting = 0;

    if (!findings_waiting(cli->db, cli->mem, &cli->farm, &rows, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        findings_json(cli, &rows);
    if (!say_aloud(cli))
        return true;
    for (size_t i = 0; (kind = notice_kind_at(i)); i++)
        waiting += kind_say(cli, &rows, kind, waiting == 0);
    if (waiting == 0)
        fputs("No finding waits for a person.\n", cli->out);
    gone_say(cli, &rows);

    return true;
}
