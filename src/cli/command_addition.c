#include "app/additions.h"
#include "base/table_text.h"
#include "cli/command_works.h"
#include "cli/say.h"
#include "cli/when.h"

static void addition_json(struct cli *cli, struct json_writer *json,
                          const struct addition *addition)
{
    json_put_object(json);
    json_put_name_int(json, "number", addition->number);
    json_put_name_text(json, "station", addition->station);
    json_put_name_text(json, "kind", addition->kind);
    json_put_name_text(json, "what", addition->product);
    json_put_name_number(json, "amount", decimal_text(cli->mem, addition->amount));
    json_put_name_text(json, "unit", addition->unit);
    json_put_name_text(json, "at", instant_text(cli->mem, addition->at));
    json_put_name_text(json, "until", instant_text(cli->mem, addition->until));
    json_put_name_number(
        json, "nitrogen_percent",
        addition->nitrogen_known ? decimal_text(cli->mem, addition->nitrogen_percent) : NULL);
    json_put_name_number(
        json, "phosphorus_percent",
        addition->phosphorus_known ? decimal_text(cli->mem, addition->phosphorus_percent) : NULL);
    json_put_name(json, "withhold_hours");
    if (addition->withhold_hours < 0)
        json_put_null(json);
    else
        json_put_int(json, addition->withhold_hours);
    json_put_name_text(json, "person", addition->person);
    json_put_name_text(json, "reason", addition->reason);
    json_put_name_int(json, "instead_of", addition->instead_of);
    json_put_name_int(json, "replaced_by", addition->replaced_by);
    json_put_name_text(json, "taken_back", addition->taken_back);
    json_put_object_end(json);
}

/* One that was just written down or taken back. */
static void done_say(struct cli *cli, const struct addition *addition, const char *did)
{
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        addition_json(cli, &json, addition);
        json_end(&json);
        say_json(cli, &text);
    }
    if (!say_aloud(cli))
        return;
    say_wrapped(cli->out, "", "  ",
                arena_printf(cli->mem, "%s as addition %d: %s.", did, addition->number,
                             addition_words(cli->mem, cli->farm.farm, addition)));
}

bool command_addition_add(struct cli *cli, struct err *err)
{
    struct addition_order order = {.station = cli->words[0],
                                   .kind = cli->words[1],
                                   .amount = cli->words[2],
                                   .product = cli->values[OPTION_WHAT],
                                   .nitrogen = cli->values[OPTION_NITROGEN],
                                   .phosphorus = cli->values[OPTION_PHOSPHORUS],
                                   .withhold = cli->values[OPTION_WITHHOLD],
                                   .reason = cli->values[OPTION_BECAUSE],
                                   .instead_of = cli->values[OPTION_INSTEAD_OF]};
    const struct zone *zone = cli->farm.farm->zone;
    struct addition addition = {0};

    if (!when_instant(cli->mem, zone, cli->words[3], &order.at, err))
        return false;
    order.until = order.at;
    if (cli->word_count > 4 && !when_instant(cli->mem, zone, cli->words[4], &order.until, err))
        return false;
    if (!addition_add(cli->db, cli->mem, &cli->farm, &order, &cli->act, &addition, err))
        return false;
    done_say(cli, &addition, "Recorded");
    if (say_aloud(cli) && addition.withhold_hours < 0)
        say_wrapped(cli->out, "", "  ",
                    "No withholding time was told. The tank must not be harvested until there is "
                    "one: the same again with --withhold HOURS and --instead-of its number.");
    say_next(cli, "weirbook addition list");

    return true;
}

bool command_addition_take_back(struct cli *cli, struct err *err)
{
    struct addition addition = {0};

    if (!addition_take_back(cli->db, cli->mem, &cli->farm, cli->words[0],
                            cli->values[OPTION_BECAUSE], &cli->act, &addition, err))
        return false;
    done_say(cli, &addition, "Taken back, it stays on record");
    say_next(cli, "weirbook addition list");

    return true;
}

static char *withhold_words(struct cli *cli, const struct addition *addition)
{
    if (addition->withhold_hours < 0)
        return arena_strdup(cli->mem, "not told");
    if (addition->withhold_hours == 0)
        return arena_strdup(cli->mem, "none");

    return arena_printf(cli->mem, "until %s",
                        zone_text(cli->mem, cli->farm.farm->zone,
                                  addition->until + addition->withhold_hours * HOUR_US));
}

static char *standing_words(struct cli *cli, const struct addition *addition)
{
    if (addition->taken_back)
        return arena_printf(cli->mem, "; taken back: %s", addition->taken_back);
    if (addition->replaced_by)
        return arena_printf(cli->mem, "; number %d is in its place", addition->replaced_by);

    return arena_strdup(cli->mem, "");
}

static void list_say(struct cli *cli, const struct additions *all)
{
    const struct table_column columns[] = {{"number", TABLE_RIGHT},  {"at", TABLE_LEFT},
                                           {"station", TABLE_LEFT},  {"kind", TABLE_LEFT},
                                           {"withheld", TABLE_LEFT}, {"what", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));
    size_t shown = 0;

    for (size_t i = 0; i < all->count; i++) {
        const struct addition *one = &all->items[i];

        if (!addition_stands(one) && !cli_has(cli, OPTION_ALL))
            continue;
        shown++;
        TABLE_TEXT_ADD(table, arena_printf(cli->mem, "%d", one->number),
                       zone_text(cli->mem, cli->farm.farm->zone, one->at), one->station, one->kind,
                       withhold_words(cli, one),
                       arena_printf(cli->mem, "%s %s %s%s", decimal_text(cli->mem, one->amount),
                                    one->unit, one->product, standing_words(cli, one)));
    }
    if (shown == 0)
        fputs("Nothing that stands is on record as put in.\n", cli->out);
    else
        fputs(table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH), cli->out);
}

static void list_json(struct cli *cli, const struct additions *all)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "additions");
    json_put_array(&json);
    for (size_t i = 0; i < all->count; i++) {
        if (addition_stands(&all->items[i]) || cli_has(cli, OPTION_ALL))
            addition_json(cli, &json, &all->items[i]);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_addition_list(struct cli *cli, struct err *err)
{
    const struct zone *zone = cli->farm.farm->zone;
    struct additions all = {0};
    instant first = INSTANT_NONE;
    instant until = INSTANT_NONE;
    day_number month = DAY_NONE;

    if (cli->word_count > 0) {
        if (!month_parse(cli->words[0], &month, err))
            return false;
        first = zone_day_start(zone, month);
        until = zone_day_start(zone, month_next(month));
    }
    if (!additions_read(cli->db, cli->mem, &cli->farm, first, until, &all, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        list_json(cli, &all);
    else if (say_aloud(cli))
        list_say(cli, &all);

    return true;
}
