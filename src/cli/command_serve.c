#include "cli/command_serve.h"

#include <errno.h>

#include "app/notice_targets.h"
#include "app/outbox.h"
#include "app/pass_time.h"
#include "app/watch_folder.h"
#include "base/interrupt.h"
#include "cli/open.h"
#include "cli/say.h"
#include "cluster/account.h"
#include "serve/serve.h"

/* From root: be the account that owns the records, with no way back. */
static bool give_up_root(struct cli *cli, struct err *err)
{
    struct account account = {0};

    if (!account_find(cli->mem, &account, err))
        return false;
    if (!account_become(&account))
        return err_set(err, ERR_DENIED, "can't become the account '%s': system error %d",
                       account.name, errno);

    return true;
}

/* --- look-round ------------------------------------------------------------------------------ */

struct looking {
    struct cli *cli;
    struct json_writer *json;
};

static void file_tell(void *context, enum watch_became became, const char *name, const char *words)
{
    static const char *const verbs[] = {
        [WATCH_TAKEN] = "taken in", [WATCH_KNOWN] = "known", [WATCH_REFUSED] = "refused"};
    const struct looking *looking = context;

    json_put_object(looking->json);
    json_put_name_text(looking->json, "file", name);
    json_put_name_text(looking->json, "became", verbs[became]);
    json_put_name_text(looking->json, "words", words);
    json_put_object_end(looking->json);
    if (say_aloud(looking->cli))
        fprintf(looking->cli->out, "%s\n  %s: %s\n", name, verbs[became], words);
}

static void folder_tell(void *context, const char *folder, const struct err *err)
{
    (void)context;
    fprintf(stderr, "weirbook: %s: %s\n", folder, err->text);
    if (*err->hint)
        fprintf(stderr, "%s\n", err->hint);
}

static void problems_tell(const struct farmfile_problems *problems)
{
    for (size_t i = 1; i < problems->count; i++)
        fprintf(stderr, "weirbook: %s, line %d, column %d: %s\n", SETTINGS_FILE,
                problems->items[i].line, problems->items[i].column, problems->items[i].words);
}

static void counts_say(struct cli *cli, const struct watch_result *files,
                       const struct pass_time_result *time, const struct outbox_result *notices)
{
    struct arena *mem = cli->mem;

    fprintf(cli->out, "%s taken in, %d known already, %d refused, %d not complete yet\n",
            say_count(mem, files->taken, "file", "files"), files->known, files->refused,
            files->waiting);
    fprintf(cli->out, "%s judged, %s opened, %d no longer found\n",
            say_count(mem, time->months, "month", "months"),
            say_count(mem, files->opened + time->opened, "finding", "findings"), time->ended);
    if (time->months_left > 0)
        fprintf(cli->out, "%s still to be judged, at the next look\n",
                say_count(mem, time->months_left, "month is", "months are"));
    if (notices->sent + notices->later + notices->refused > 0)
        fprintf(cli->out, "%s sent, %d to be tried again, %d refused\n",
                say_count(mem, notices->sent, "notice", "notices"), notices->later,
                notices->refused);
    if (files->opened + time->opened > 0)
        say_next(cli, "weirbook findings");
}

static void notes_json(struct json_writer *json, const struct target_notes *notes)
{
    json_put_name(json, "notes");
    json_put_array(json);
    for (size_t i = 0; i < notes->count; i++)
        json_put_text(json, notes->items[i]);
    json_put_array_end(json);
}

static void counts_json(struct json_writer *json, const struct watch_result *files,
                        const struct pass_time_result *time, const struct outbox_result *notices)
{
    json_put_name_int(json, "taken", files->taken);
    json_put_name_int(json, "known", files->known);
    json_put_name_int(json, "refused", files->refused);
    json_put_name_int(json, "waiting", files->waiting);
    json_put_name_int(json, "folders_failed", files->failed);
    json_put_name_int(json, "months_judged", time->months);
    json_put_name_int(json, "months_left", time->months_left);
    json_put_name_int(json, "findings_opened", files->opened + time->opened);
    json_put_name_int(json, "findings_ended", time->ended);
    json_put_name_int(json, "notices_sent", notices->sent);
    json_put_name_int(json, "notices_failed", notices->later);
    json_put_name_int(json, "notices_refused", notices->refused);
}

/* Rounds until one leaves nothing that is ready. */
static bool folders_empty(struct cli *cli, const struct machine_settings *settings,
                          const struct watch_options *watching, struct watch_result *all,
                          struct err *err)
{
    struct watch_result one = {0};

    do {
        if (!watch_folders(cli->db, &cli->farm, settings, cli->now, watching, &one, err))
            return false;
        all->taken += one.taken;
        all->known += one.known;
        all->refused += one.refused;
        all->opened += one.opened;
        all->waiting = one.waiting;
        all->left = one.left;
        all->failed = one.failed;
    } while (one.taken + one.known + one.refused >= WATCH_FILES_MOST);

    return true;
}

static bool look_round(struct cli *cli, const struct machine_settings *settings, struct err *err)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);
    struct looking looking = {cli, &json};
    const volatile sig_atomic_t *stop = interrupt_flag();
    const struct watch_options watching = {
        .take_in = {.stop = stop,
                    .room_enough = cli->cluster ? cluster_room_enough : NULL,
                    .data_folder = cli->data_folder},
        .context = &looking,
        .tell = file_tell,
        .failed = folder_tell};
    const struct pass_time_options passing = {.settings = settings, .stop = stop};
    const struct outbox_options sending = {.settings = settings, .stop = stop};
    struct watch_result files = {0};
    struct pass_time_result time = {0};
    struct outbox_result notices = {0};
    const struct target_notes notes = notice_targets_missing(cli->mem, cli->farm.farm, settings);

    json_put_object(&json);
    json_put_name(&json, "files");
    json_put_array(&json);
    if (!folders_empty(cli, settings, &watching, &files, err) ||
        !pass_time(cli->db, cli->mem, &cli->farm, cli->now, &passing, &time, err) ||
        !outbox_send(cli->db, &cli->farm, cli->now, &sending, &notices, err))
        return false;
    json_put_array_end(&json);
    counts_json(&json, &files, &time, &notices);
    notes_json(&json, &notes);
    json_put_object_end(&json);
    json_end(&json);
    if (cli_has(cli, OPTION_JSON))
        say_json(cli, &text);
    if (say_aloud(cli)) {
        say_notes(cli->out, notes.items, notes.count);
        counts_say(cli, &files, &time, &notices);
    }
    if (files.failed > 0)
        cli->status = EXIT_INPUT;
    else if (files.refused > 0 && cli_has(cli, OPTION_STRICT))
        cli->status = EXIT_INCOMPLETE;

    return true;
}

bool command_look_round(struct cli *cli, struct err *err)
{
    const struct machine_settings *settings = NULL;
    struct farmfile_problems problems = {0};

    if (!give_up_root(cli, err) || !cli_open(cli, NEEDS_FARM, err) || !cli_data_folder(cli, err))
        return false;
    if (!settings_load(cli->mem, cli->data_folder, cli->farm.farm, &settings, &problems, err)) {
        problems_tell(&problems);
        return false;
    }

    return look_round(cli, settings, err);
}

/* --- serve ----------------------------------------------------------------------------------- */

static bool host_connect(void *context, struct db **out, struct err *err)
{
    struct cli *cli = context;

    if (!cli_connect(cli, err))
        return false;
    *out = cli->db;

    return true;
}

static void host_disconnect(void *context)
{
    cli_disconnect(context);
}

bool command_serve(struct cli *cli, struct err *err)
{
    if (cli_has(cli, OPTION_UNIT_FILE)) {
        fputs(serve_unit(), cli->out);
        return true;
    }
    if (!give_up_root(cli, err) || !cli_open(cli, NEEDS_UNITS, err) || !cli_data_folder(cli, err))
        return false;

    const struct serve_options options = {
        .host = {cli, host_connect, host_disconnect},
        .units = cli->units,
        .farm_key = cli->values[OPTION_FARM],
        .data_folder = cli->data_folder,
        .stop = interrupt_flag(),
        .room_enough = cli_has(cli, OPTION_DATABASE) ? NULL : cluster_room_enough,
        .log = stderr};

    return serve_run(&options, err);
}
