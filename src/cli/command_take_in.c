#include <unistd.h>

#include "app/take_in.h"
#include "base/interrupt.h"
#include "cli/command_records.h"
#include "cli/say.h"

/* A line on a terminal that says how far it is; rewritten in place. */
struct progress {
    const char *name;
    int64_t told; /* percent */
};

static bool progress_tell(void *context, int64_t done, int64_t all)
{
    struct progress *progress = context;
    int64_t percent = all > 0 ? done * 100 / all : 100;

    if (percent != progress->told) {
        fprintf(stderr, "\r%s: %3lld %%", progress->name, (long long)percent);
        progress->told = percent;
    }

    return true;
}

static void progress_clear(const struct take_in_options *options)
{
    if (options->progress.tell)
        fputs("\r\033[K", stderr);
}

static void result_json(struct json_writer *json, struct arena *mem,
                        const struct take_in_result *result)
{
    const struct receipt_row *receipt = &result->receipt;

    json_put_object(json);
    json_put_name_text(json, "file", receipt->file_name);
    json_put_name_text(json, "sha256", digest_text(mem, &receipt->sha256));
    json_put_name_bool(json, "already", result->already);
    json_put_name_int(json, "values_in", receipt->values_in);
    json_put_name_int(json, "stored", receipt->stored);
    json_put_name_int(json, "already_known", receipt->already_known);
    json_put_name_int(json, "blank", receipt->blank);
    json_put_name_int(json, "set_aside", receipt->set_aside);
    json_put_name_int(json, "rows", result->rows);
    json_put_name_int(json, "rows_ignored", result->ignored_rows);
    json_put_name(json, "sheets");
    json_put_array(json);
    for (size_t i = 0; i < result->sheet_count; i++) {
        const struct ingest_sheet *sheet = &result->sheets[i];

        json_put_object(json);
        json_put_name_text(json, "name", sheet->name);
        json_put_name_bool(json, "taken", sheet->taken);
        json_put_name_bool(json, "hidden", sheet->hidden);
        json_put_name_int(json, "rows", sheet->rows);
        json_put_name_int(json, "hidden_rows", sheet->hidden_rows);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    json_put_object_end(json);
}

/* What of a workbook was taken, and what of it is hidden. */
static void sheet_say(struct cli *cli, const struct ingest_sheet *sheet)
{
    fprintf(cli->out, "  sheet %s%s: %s", sheet->name, sheet->hidden ? " (hidden)" : "",
            sheet->taken ? say_count(cli->mem, sheet->rows, "row", "rows") : "not taken");
    if (sheet->hidden_rows > 0)
        fprintf(cli->out, ", %s hidden", say_count(cli->mem, sheet->hidden_rows, "row", "rows"));
    fputc('\n', cli->out);
}

static void result_say(struct cli *cli, const char *path, const struct take_in_result *result)
{
    const struct receipt_row *receipt = &result->receipt;
    struct arena *mem = cli->mem;

    if (result->already) {
        fprintf(cli->out, "%s\n  came in already on %s as %s. Nothing changed.\n", path,
                zone_text(mem, cli->farm.farm->zone, receipt->received_at), receipt->file_name);
        return;
    }
    fprintf(cli->out, "%s\n  %s in = %s stored + %s known already + %s blank + %s set aside\n",
            path, say_count(mem, receipt->values_in, "value", "values"),
            say_number(mem, receipt->stored), say_number(mem, receipt->already_known),
            say_number(mem, receipt->blank), say_number(mem, receipt->set_aside));
    for (size_t i = 0; i < result->sheet_count; i++)
        sheet_say(cli, &result->sheets[i]);
    if (result->ignored_rows > 0)
        fprintf(cli->out, "  %s of parameters that the source ignores\n",
                say_count(mem, result->ignored_rows, "row", "rows"));
}

bool command_take_in(struct cli *cli, struct err *err)
{
    struct progress progress = {.told = -1};
    struct take_in_options options = {.stop = interrupt_flag(), .data_folder = cli->data_folder};
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);
    int64_t set_aside = 0;

    if (cli->cluster)
        options.room_enough = cluster_room_enough;
    if (isatty(STDERR_FILENO) && !cli_has(cli, OPTION_QUIET))
        options.progress = (struct take_in_progress){&progress, progress_tell};
    json_put_array(&json);
    for (size_t i = 1; i < cli->word_count; i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct take_in_result result = {0};

        progress.name = cli->words[i];
        bool done = take_in(cli->db, mem, &cli->farm, cli->words[0], cli->words[i], &cli->act,
                            &options, &result, err);

        progress_clear(&options);
        if (!done) {
            if (*options.stop)
                err_hint(err, "Take it in again when it suits you. Files that came before it in "
                              "this command are kept.");
            return false;
        }
        set_aside += result.already ? 0 : result.receipt.set_aside;
        result_json(&json, mem, &result);
        if (say_aloud(cli))
            result_say(cli, cli->words[i], &result);
    }
    json_put_array_end(&json);
    json_end(&json);
    if (cli_has(cli, OPTION_JSON))
        say_json(cli, &text);
    if (set_aside > 0 && cli_has(cli, OPTION_STRICT))
        cli->status = EXIT_INCOMPLETE;
    if (set_aside > 0)
        say_next(cli, "weirbook aside says what was set aside and why; then weirbook check");
    else
        say_next(cli, "weirbook check");

    return true;
}
