#include "app/farm_status.h"
#include "base/str.h"
#include "cli/command_farm.h"
#include "cli/say.h"

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
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_findings(struct cli *cli, struct err *err)
{
    struct finding_rows rows = {0};

    if (!findings_waiting(cli->db, cli->mem, &cli->farm, &rows, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        findings_json(cli, &rows);
    if (!say_aloud(cli))
        return true;
    if (rows.count == 0)
        fputs("No finding waits for a person.\n", cli->out);
    for (size_t i = 0; i < rows.count; i++) {
        const struct finding_row *row = &rows.items[i];
        bool gone = str_equal(row->step, "worked out again");

        say_wrapped(cli->out, "", "  ", row->words);
        fprintf(cli->out, "  we knew on %s%s\n",
                zone_text(cli->mem, cli->farm.farm->zone, row->aware_at),
                gone ? "; worked out again since, and no longer found" : "");
    }

    return true;
}
