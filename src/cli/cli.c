#include "cli/cli.h"

#include <poll.h>
#include <signal.h>
#include <string.h>
#include <unistd.h>

#include "app/report_month.h"
#include "base/clock.h"
#include "base/str.h"
#include "cli/help.h"
#include "cli/open.h"
#include "cli/option.h"

static int status_of(const struct err *err)
{
    switch (err->code) {
    case ERR_INVALID:
    case ERR_NOT_FOUND:
    case ERR_TOO_LARGE:
        return EXIT_INPUT;
    case ERR_UNAVAILABLE:
        return EXIT_DATABASE;
    case ERR_CONFLICT:
    case ERR_DENIED:
        return EXIT_REFUSED;
    case ERR_NONE:
    case ERR_BUG:
    default:
        return EXIT_FAULT;
    }
}

/* What to do about it, where those who failed did not know better. */
static const char *hint_of(const struct err *err)
{
    if (err->hint[0])
        return err->hint;
    switch (err->code) {
    case ERR_UNAVAILABLE:
        return "Nothing is half kept. See that the database runs and its disk has room, then try "
               "again.";
    case ERR_BUG:
        return "This is a fault of weirbook itself. Nothing is half kept. Keep these lines for "
               "whoever looks after it.";
    case ERR_NONE:
    case ERR_INVALID:
    case ERR_NOT_FOUND:
    case ERR_CONFLICT:
    case ERR_DENIED:
    case ERR_TOO_LARGE:
    default:
        return "";
    }
}

/* An error as a person reads it, or as a machine does. */
static int fail(const struct cli *cli, const struct err *err)
{
    const char *hint = hint_of(err);
    int status = status_of(err);

    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        json_put_name_text(&json, "error", err->text);
        json_put_name_text(&json, "code", err_code_name(err->code));
        json_put_name_text(&json, "hint", hint);
        json_put_name_int(&json, "status", status);
        if (cli->wrong_count > 0) {
            json_put_name(&json, "wrong");
            json_put_array(&json);
            for (size_t i = 0; i < cli->wrong_count; i++)
                json_put_text(&json, cli->wrong[i]);
            json_put_array_end(&json);
        }
        json_put_object_end(&json);
        json_end(&json);
        fprintf(cli->out, "%s\n", text.data);
    }
    fprintf(stderr, "weirbook: %s\n", err->text);
    if (*hint)
        fprintf(stderr, "%s\n", hint);

    return status;
}

/* Whether all of the answer got out. A reader who has gone, as `head` does, had enough of it. */
static bool answer_written(void)
{
    struct pollfd out = {.fd = STDOUT_FILENO, .events = POLLOUT};

    if (fflush(stdout) == 0 && !ferror(stdout))
        return true;

    return poll(&out, 1, 0) == 1 && (out.revents & POLLERR);
}

/* How many words of the command line are the command's name; 0 when it is none. */
static size_t name_matches(const struct command *command, const struct cli *cli)
{
    const char *space = strchr(command->name, ' ');

    if (cli->word_count == 0)
        return 0;
    if (!space)
        return str_equal(command->name, cli->words[0]) ? 1 : 0;

    return cli->word_count > 1 &&
                   strncmp(command->name, cli->words[0], (size_t)(space - command->name)) == 0 &&
                   cli->words[0][space - command->name] == '\0' &&
                   str_equal(space + 1, cli->words[1])
               ? 2
               : 0;
}

static const struct command *command_find(struct cli *cli)
{
    const struct command *found = NULL;
    size_t longest = 0;

    for (size_t i = 0; i < command_count; i++) {
        size_t length = name_matches(&commands[i], cli);

        if (length > longest) {
            longest = length;
            found = &commands[i];
        }
    }
    cli->words += longest;
    cli->word_count -= longest;

    return found;
}

/* "addition add, addition list" of "addition", which is no command alone; NULL. */
static const char *commands_beginning(const struct cli *cli, const char *word)
{
    const char *begun = arena_printf(cli->mem, "%s ", word);
    struct buf list = buf_new(cli->mem);

    for (size_t i = 0; i < command_count; i++)
        if (str_starts(commands[i].name, begun))
            buf_addf(&list, "%s%s", list.len > 0 ? ", " : "", commands[i].name);

    return list.len > 0 ? list.data : NULL;
}

static bool command_unknown(const struct cli *cli, struct err *err)
{
    const char **names = ARENA_ARRAY(cli->mem, const char *, command_count);
    const char *given = cli->words[0];

    if (cli->word_count > 1)
        given = arena_printf(cli->mem, "%s %s", cli->words[0], cli->words[1]);
    for (size_t i = 0; i < command_count; i++)
        names[i] = commands[i].name;

    const char *nearest = str_nearest(given, names, command_count);

    const char *begun = commands_beginning(cli, cli->words[0]);

    err_set(err, ERR_INVALID, "there is no command '%s'", str_show(cli->mem, given, 60));
    if (!nearest && begun)
        return err_hint(err, "There is: %s.", begun);
    if (!nearest)
        nearest = str_nearest(cli->words[0], names, command_count);
    if (nearest)
        return err_hint(err, "Did you mean: weirbook %s? All are in weirbook --help.", nearest);

    return err_hint(err, "weirbook --help lists the commands.");
}

static bool words_fit(const struct cli *cli, const struct command *command, struct err *err)
{
    if (cli->word_count >= command->words_least && cli->word_count <= command->words_most)
        return true;

    const char *begun = commands_beginning(cli, command->name);

    if (cli->word_count < command->words_least)
        err_set(err, ERR_INVALID, "'%s' needs more words: %s", command->name, command->usage);
    else
        err_set(err, ERR_INVALID, "'%s' takes %s%s: '%s' is too much", command->name,
                *command->usage ? "only " : "no words", command->usage,
                str_show(cli->mem, cli->words[command->words_most], 60));
    if (begun && cli->word_count > command->words_most)
        return err_hint(err, "There are also: %s. weirbook %s --help says more.", begun,
                        command->name);

    return err_hint(err, "weirbook %s --help says what it takes.", command->name);
}

static bool command_run(struct cli *cli, const struct command *command, struct err *err)
{
    return options_fit(cli, command, err) && words_fit(cli, command, err) && clock_check(err) &&
           cli_open(cli, command->needs, err) && command->run(cli, err);
}

/* "weirbook help take-in" is "weirbook take-in --help". */
static void help_asked_by_word(struct cli *cli)
{
    if (cli->word_count == 0 || !str_equal(cli->words[0], "help"))
        return;
    cli->values[OPTION_HELP] = "";
    cli->words++;
    cli->word_count--;
}

int cli_main(int argc, const char *const *argv)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct cli cli = {.mem = mem, .out = stdout, .status = EXIT_FINE};
    struct err err = ERR_INIT;
    const struct command *command;

    signal(SIGPIPE, SIG_IGN);
    signal(SIGXFSZ, SIG_IGN);
    if (!options_read(&cli, argc, argv, &err))
        return fail(&cli, &err);
    if (cli_has(&cli, OPTION_VERSION)) {
        fprintf(stdout, "%s\n", program_version());
        return EXIT_FINE;
    }
    help_asked_by_word(&cli);
    if (cli.word_count == 0) {
        help_all(stdout);
        return argc == 0 ? EXIT_INPUT : EXIT_FINE;
    }
    command = command_find(&cli);
    if (!command && cli_has(&cli, OPTION_HELP) && help_group(stdout, cli.words[0]))
        return EXIT_FINE;
    if (!command) {
        command_unknown(&cli, &err);
        return fail(&cli, &err);
    }
    if (cli_has(&cli, OPTION_HELP)) {
        help_command(stdout, command);
        return EXIT_FINE;
    }

    bool done = command_run(&cli, command, &err);

    cli_close(&cli);
    if (!done)
        return fail(&cli, &err);
    if (!answer_written()) {
        fputs("weirbook: can't write the answer: is the disk full?\n"
              "What the command did is done. Make room, then ask weirbook status.\n",
              stderr);
        return EXIT_DATABASE;
    }

    return cli.status;
}
