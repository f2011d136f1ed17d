#include "cli/command_notices.h"

#include "app/outbox.h"
#include "base/str.h"
#include "cli/open.h"
#include "cli/say.h"

/* --- list ------------------------------------------------------------------------------------ */

/* "to be sent", "sent", "not needed any more": what stands of it now. */
static const char *state_of(const struct notice_view *view)
{
    if (view->waits && str_equal(view->step, "failed"))
        return "failed, tried again";
    if (view->waits)
        return view->due_at == INSTANT_NONE ? "waits for the one before" : "to be sent";
    if (!view->step || str_equal(view->step, "failed"))
        return "not needed any more";

    return view->step; /* sent, refused */
}

static void list_json(struct cli *cli, const struct notice_views *views)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "notices");
    json_put_array(&json);
    for (size_t i = 0; i < views->count; i++) {
        const struct notice_view *view = &views->items[i];

        json_put_object(&json);
        json_put_name_int(&json, "number", view->row.notice);
        json_put_name_text(&json, "kind", view->kind);
        json_put_name_text(&json, "station", view->station);
        json_put_name_text(&json, "since", day_text(cli->mem, view->from));
        json_put_name_int(&json, "nth", view->row.nth);
        json_put_name_text(&json, "person", view->row.person);
        json_put_name_text(&json, "by", view->row.told_by);
        json_put_name_text(&json, "to", view->row.address);
        json_put_name_text(&json, "subject", view->row.subject);
        json_put_name_text(&json, "text", view->row.words);
        json_put_name_int(&json, "findings", view->parts + 1);
        json_put_name_text(&json, "queued_at", instant_text(cli->mem, view->row.queued_at));
        json_put_name_text(&json, "state", state_of(view));
        json_put_name_text(&json, "reply", view->reply);
        json_put_name_text(&json, "next_try_at",
                           view->due_at == INSTANT_NONE ? NULL
                                                        : instant_text(cli->mem, view->due_at));
        json_put_name_int(&json, "tries", view->tries);
        json_put_name_text(&json, "seen_by", view->seen_by);
        json_put_name_text(&json, "seen_at",
                           view->seen_at == INSTANT_NONE ? NULL
                                                         : instant_text(cli->mem, view->seen_at));
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void view_say(struct cli *cli, const struct notice_view *view)
{
    const struct zone *zone = cli->farm.farm->zone;
    const char *when = "";

    if (view->waits && view->due_at != INSTANT_NONE)
        when = arena_printf(cli->mem, " at %s", zone_text(cli->mem, zone, view->due_at));
    else if (!view->waits && view->step)
        when = arena_printf(cli->mem, " at %s", zone_text(cli->mem, zone, view->step_at));
    say_wrapped(cli->out, arena_printf(cli->mem, "%d: ", view->row.notice), "  ",
                view->parts == 0 ? view->row.subject
                                 : arena_printf(cli->mem, "%s and %lld more", view->row.subject,
                                                (long long)view->parts));
    say_wrapped(cli->out, "  ", "    ",
                arena_printf(cli->mem, "%s by %s (%s): %s%s%s%s", view->row.person,
                             view->row.told_by, view->row.address, state_of(view), when,
                             view->reply ? "; answer: " : "", view->reply ? view->reply : ""));
    if (view->seen_by)
        fprintf(cli->out, "  seen by %s at %s\n", view->seen_by,
                zone_text(cli->mem, zone, view->seen_at));
}

bool command_notices(struct cli *cli, struct err *err)
{
    bool all = cli_has(cli, OPTION_ALL);
    struct notice_views views = {0};

    if (!notice_list(cli->db, cli->mem, &cli->farm, all, &views, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        list_json(cli, &views);
    if (!say_aloud(cli))
        return true;
    if (views.count == 0)
        fputs(all ? "Nobody has been told of anything yet.\n" : "No notice waits to be seen.\n",
              cli->out);
    for (size_t i = 0; i < views.count; i++)
        view_say(cli, &views.items[i]);
    if (cli->farm.farm->notices.count == 0)
        say_wrapped(cli->out, "", "  ",
                    "The farm file names nobody to be told: see `notices:` in weirbook words.");
    else if (views.count > 0 && !all)
        say_next(cli, "weirbook seen NUMBER --by PERSON");

    return true;
}

/* --- send ------------------------------------------------------------------------------------ */

/* All problems of weirbook.conf, not only the first. */
static void problems_tell(const struct farmfile_problems *problems)
{
    for (size_t i = 1; i < problems->count; i++)
        fprintf(stderr, "  line %d, column %d: %s\n", problems->items[i].line,
                problems->items[i].column, problems->items[i].words);
}

bool command_notices_send(struct cli *cli, struct err *err)
{
    const struct machine_settings *settings = NULL;
    struct farmfile_problems problems = {0};
    struct outbox_result result = {0};

    if (!cli_data_folder(cli, err))
        return false;
    if (!settings_load(cli->mem, cli->data_folder, cli->farm.farm, &settings, &problems, err)) {
        problems_tell(&problems);
        return false;
    }

    const struct outbox_options options = {.settings = settings};

    if (!outbox_send(cli->db, &cli->farm, cli->now, &options, &result, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out, "{\"sent\":%d,\"failed\":%d,\"refused\":%d}\n", result.sent, result.later,
                result.refused);
    if (say_aloud(cli))
        fprintf(cli->out, "%s sent, %d to be tried again, %d refused.\n",
                say_count(cli->mem, result.sent, "notice", "notices"), result.later,
                result.refused);
    if (cli_has(cli, OPTION_STRICT) && result.later + result.refused > 0)
        cli->status = EXIT_INCOMPLETE;

    return true;
}

/* --- seen ------------------------------------------------------------------------------------ */

bool command_seen(struct cli *cli, struct err *err)
{
    struct decimal number = {0};
    struct notice_view view = {0};

    if (!decimal_parse(cli->words[0], &number) || number.scale != 0 || number.coefficient < 1 ||
        number.coefficient > INT32_MAX) {
        err_set(err, ERR_INVALID, "'%s' is not the number of a notice", cli->words[0]);
        return err_hint(err, "`weirbook notices` lists them.");
    }
    if (!notice_seen(cli->db, cli->mem, &cli->farm, (int)number.coefficient, &cli->act, &view, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out, "{\"seen\":%d}\n", view.row.notice);
    if (say_aloud(cli))
        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem,
                                 "Notice %d is seen, and nobody else is told of it: %s. What was "
                                 "found still waits for its answer: weirbook findings.",
                                 view.row.notice, view.row.subject));

    return true;
}
