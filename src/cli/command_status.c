#include "app/farm_status.h"
#include "base/str.h"
#include "base/table_text.h"
#include "cli/command_farm.h"
#include "cli/say.h"

static int64_t aside_total(const struct farm_status *status)
{
    int64_t total = 0;

    for (size_t i = 0; i < status->asides.count; i++)
        total += status->asides.items[i].rows;

    return total;
}

/* Everything that ever came in, added up: it balances, as each receipt does. */
static struct receipt_row received_total(const struct farm_status *status)
{
    struct receipt_row total = {.receipt = 0};

    for (size_t i = 0; i < status->receipts.count; i++) {
        const struct receipt_row *receipt = &status->receipts.items[i];

        total.values_in += receipt->values_in;
        total.stored += receipt->stored;
        total.already_known += receipt->already_known;
        total.blank += receipt->blank;
        total.set_aside += receipt->set_aside;
    }

    return total;
}

/* What was worked out last of the newest month; never an old verdict for what changed since. */
static char *verdicts_words(struct cli *cli, const struct farm_status *status)
{
    static const char *const standings[] = {"within", "outside", "not assessable", "nothing due"};
    struct buf text = buf_new(cli->mem);

    if (status->month == DAY_NONE)
        return arena_strdup(cli->mem, "none yet: no reading is on record");
    buf_addf(&text, "%s: ", month_words(cli->mem, status->month));
    if (status->stale || status->verdicts.count == 0) {
        buf_add_text(&text, "being worked out: something changed since");
        return text.data;
    }
    for (size_t i = 0; i < ARRAY_LEN(standings); i++) {
        int count = 0;

        for (size_t j = 0; j < status->verdicts.count; j++)
            count += str_equal(status->verdicts.items[j].standing, standings[i]);
        buf_addf(&text, "%s%d %s", i ? ", " : "", count, standings[i]);
    }
    if (status->windows.count)
        buf_add_text(&text, "; other months wait for weirbook check");

    return text.data;
}

static void status_json(struct cli *cli, const struct farm_status *status)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "farm", cli->farm.farm->key);
    json_put_name_bool(&json, "invented", cli->farm.farm->invented);
    json_put_name_int(&json, "farm_file_version", cli->farm.version);
    json_put_name_int(&json, "files_received", (int64_t)status->receipts.count);
    json_put_name_int(&json, "values_in", received_total(status).values_in);
    json_put_name_int(&json, "stored", received_total(status).stored);
    json_put_name_int(&json, "set_aside", aside_total(status));
    json_put_name_text(&json, "verdicts", verdicts_words(cli, status));
    json_put_name_int(&json, "to_be_judged", (int64_t)status->windows.count);
    json_put_name_int(&json, "limits_to_compare", (int64_t)status->unconfirmed.count);
    json_put_name_int(&json, "ledger_entries", status->head.sequence);
    json_put_name_text(&json, "ledger_head", digest_text(cli->mem, &status->head.hash));
    json_put_name_text(&json, "looked_round_at",
                       status->looked.looked_at == INSTANT_NONE
                           ? NULL
                           : instant_text(cli->mem, status->looked.looked_at));
    json_put_name(&json, "latest");
    json_put_array(&json);
    for (size_t i = 0; i < status->latest.count; i++) {
        const struct latest_view *view = &status->latest.items[i];

        json_put_object(&json);
        json_put_name_text(&json, "station", view->station);
        json_put_name_text(&json, "position", str_empty(view->position) ? NULL : view->position);
        json_put_name_text(&json, "parameter", view->parameter);
        json_put_name_text(&json, "made_by", view->made_by);
        json_put_name_text(&json, "at", instant_text(cli->mem, view->at));
        json_put_name_text(&json, "value", view->reported);
        json_put_name_text(&json, "unit", view->unit);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* A state's word says it all; a number has its qualifier and unit. */
static char *latest_value(struct cli *cli, const struct latest_view *view)
{
    const struct parameter *parameter =
        parameter_find(&cli->farm.farm->known_parameters, view->parameter);
    char qualifier[2] = {view->qualifier == '=' ? '\0' : view->qualifier, '\0'};

    if (parameter && parameter->kind == PARAMETER_STATE)
        return arena_strdup(cli->mem, view->unit);
    if (view->qualifier == 'n')
        return arena_strdup(cli->mem, "not detected");

    return arena_printf(cli->mem, "%s%s %s", qualifier, view->reported, view->unit);
}

static void latest_say(struct cli *cli, const struct farm_status *status)
{
    const struct table_column columns[] = {{"station", TABLE_LEFT},
                                           {"parameter", TABLE_LEFT},
                                           {"last reading", TABLE_LEFT},
                                           {"at", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));

    if (status->latest.count == 0)
        return;
    for (size_t i = 0; i < status->latest.count; i++) {
        const struct latest_view *view = &status->latest.items[i];

        TABLE_TEXT_ADD(table, farm_position_text(cli->mem, view->station, view->position),
                       view->parameter, latest_value(cli, view),
                       zone_text(cli->mem, cli->farm.farm->zone, view->at));
    }
    fprintf(cli->out, "\n%s", table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH));
}

static void status_say(struct cli *cli, const struct farm_status *status)
{
    struct arena *mem = cli->mem;
    int64_t asides = aside_total(status);
    struct receipt_row total = received_total(status);

    fprintf(cli->out, "%s\n", say_farm(mem, cli->farm.farm));
    fprintf(cli->out, "  farm file     version %d\n", cli->farm.version);
    fprintf(cli->out, "  received      %s\n",
            say_count(mem, (int64_t)status->receipts.count, "file", "files"));
    fprintf(cli->out, "                %s in\n",
            say_count(mem, total.values_in, "value", "values"));
    fprintf(cli->out, "                = %s stored + %s known already + %s blank + %s set aside\n",
            say_number(mem, total.stored), say_number(mem, total.already_known),
            say_number(mem, total.blank), say_number(mem, total.set_aside));
    fprintf(cli->out, "  set aside     %s\n", say_count(mem, asides, "value waits", "values wait"));
    fprintf(cli->out, "  limits        %s\n",
            status->unconfirmed.count
                ? arena_printf(mem, "%s to be compared with the licence",
                               say_count(mem, (int64_t)status->unconfirmed.count, "waits", "wait"))
                : "all compared with the licence");
    fprintf(cli->out, "  verdicts      %s\n", verdicts_words(cli, status));
    if (status->looked.looked_at != INSTANT_NONE)
        fprintf(cli->out, "  looked round  %s\n",
                zone_text(mem, cli->farm.farm->zone, status->looked.looked_at));
    fprintf(cli->out, "  ledger        %s, head %.16s...\n",
            say_count(mem, status->head.sequence, "entry", "entries"),
            digest_text(mem, &status->head.hash));
    if (!cli_has(cli, OPTION_BRIEF))
        latest_say(cli, status);
    if (status->unconfirmed.count)
        say_next(cli, "weirbook confirm --list");
    else if (status->windows.count)
        say_next(cli, "weirbook check");
    else if (asides)
        say_next(cli, "weirbook aside");
}

bool command_status(struct cli *cli, struct err *err)
{
    struct farm_status status = {0};

    if (!farm_status_read(cli->db, cli->mem, &cli->farm, &status, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        status_json(cli, &status);
    else if (say_aloud(cli))
        status_say(cli, &status);

    return true;
}
