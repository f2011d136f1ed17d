#include "cli/command_doubt.h"

#include "app/mark_doubt.h"
#include "cli/say.h"
#include "cli/when.h"

static void numbers_say(struct cli *cli, const struct doubt_numbers *numbers)
{
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        json_put_name(&json, "marks");
        json_put_array(&json);
        for (size_t i = 0; i < numbers->count; i++)
            json_put_int(&json, numbers->items[i]);
        json_put_array_end(&json);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    }
    if (!say_aloud(cli))
        return;
    for (size_t i = 0; i < numbers->count; i++)
        fprintf(cli->out, "%s %d", i ? "," : "In doubt from now on: mark", numbers->items[i]);
    fputs(".\n", cli->out);
    say_wrapped(cli->out, "", "  ",
                "It can stop a verdict and never clear one, until it is lifted: weirbook doubt "
                "lift NUMBER.");
    say_next(cli, "weirbook check");
}

static bool set(struct cli *cli, struct doubt_order *order, struct err *err)
{
    struct doubt_numbers numbers = {0};

    order->kind = cli->words[0];
    order->because = cli->values[OPTION_BECAUSE];
    if (!doubt_set(cli->db, cli->mem, &cli->farm, order, &cli->act, &numbers, err))
        return false;
    numbers_say(cli, &numbers);

    return true;
}

bool command_doubt_set(struct cli *cli, struct err *err)
{
    const char *position = NULL;
    struct doubt_order order = {.station = farm_position_split(cli->mem, cli->words[1], &position),
                                .parameter = cli->words[2],
                                .made_by = cli->values[OPTION_MADE_BY]};
    const struct zone *zone = cli->farm.farm->zone;

    order.position = position;

    return when_instant(cli->mem, zone, cli->words[3], &order.from, err) &&
           when_instant(cli->mem, zone, cli->words[4], &order.until, err) && set(cli, &order, err);
}

bool command_doubt_sample(struct cli *cli, struct err *err)
{
    struct doubt_order order = {.sample = cli->words[1]};

    return set(cli, &order, err);
}

/* "oxygen of tank-3 by probe 4" or "sample S-12 of outfall". */
static char *of_words(struct cli *cli, const struct doubt_view *view)
{
    if (view->sample)
        return arena_printf(cli->mem, "sample %s of %s", view->sample, view->station);

    return arena_printf(cli->mem, "%s of %s%s%s", view->parameter,
                        farm_position_text(cli->mem, view->station, view->position),
                        view->made_by ? " by " : "", view->made_by ? view->made_by : "");
}

bool command_doubt_lift(struct cli *cli, struct err *err)
{
    struct decimal number = {0};
    struct doubt_view view = {0};

    if (!decimal_parse(cli->words[0], &number) || number.scale != 0 || number.coefficient < 1 ||
        number.coefficient > INT32_MAX) {
        err_set(err, ERR_INVALID, "'%s' is not the number of a mark", cli->words[0]);
        return err_hint(err, "`weirbook doubt` lists them.");
    }
    if (!doubt_lift(cli->db, cli->mem, &cli->farm, (int)number.coefficient,
                    cli->values[OPTION_BECAUSE], &cli->act, &view, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out, "{\"lifted\":%d}\n", view.mark);
    if (!say_aloud(cli))
        return true;
    fprintf(cli->out, "Mark %d is lifted: %s counts again unless something else is in doubt.\n",
            view.mark, of_words(cli, &view));
    say_next(cli, "weirbook check");

    return true;
}

static void views_json(struct cli *cli, const struct doubt_views *views)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "marks");
    json_put_array(&json);
    for (size_t i = 0; i < views->count; i++) {
        const struct doubt_view *view = &views->items[i];

        json_put_object(&json);
        json_put_name_int(&json, "number", view->mark);
        json_put_name_text(&json, "kind", view->kind);
        json_put_name_text(&json, "station", view->station);
        json_put_name_text(&json, "position", view->position);
        json_put_name_text(&json, "parameter", view->parameter);
        json_put_name_text(&json, "made_by", view->made_by);
        json_put_name_text(&json, "sample", view->sample);
        json_put_name_text(&json, "from", instant_text(cli->mem, view->from));
        json_put_name_text(&json, "until", instant_text(cli->mem, view->until));
        json_put_name_text(&json, "because", view->words);
        json_put_name_text(&json, "by", view->by);
        json_put_name_text(&json, "lifted_by", view->lifted_by);
        json_put_name_text(&json, "lifted_because", view->lifted_because);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_doubt(struct cli *cli, struct err *err)
{
    const struct zone *zone = cli->farm.farm->zone;
    struct doubt_views views = {0};

    if (!doubt_list(cli->db, cli->mem, &cli->farm, &views, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        views_json(cli, &views);
    if (!say_aloud(cli))
        return true;
    if (views.count == 0)
        fputs("Nobody has marked anything as in doubt.\n", cli->out);
    for (size_t i = 0; i < views.count; i++) {
        const struct doubt_view *view = &views.items[i];

        fprintf(cli->out, "%d: %s, %s to %s\n", view->mark, of_words(cli, view),
                zone_text(cli->mem, zone, view->from), zone_text(cli->mem, zone, view->until));
        say_wrapped(cli->out, "  why:    ", "          ",
                    arena_printf(cli->mem, "%s: %s (%s)", view->kind, view->words, view->by));
        if (view->lifted_because)
            say_wrapped(cli->out, "  lifted: ", "          ",
                        arena_printf(cli->mem, "%s (%s)", view->lifted_because, view->lifted_by));
    }

    return true;
}
