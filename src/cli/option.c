#include "cli/option.h"

#include <string.h>

#include "base/str.h"

const struct option_row option_rows[OPTIONS] = {
    [OPTION_DATA] = {"--data", "FOLDER", "where the farm's records lie (or WEIRBOOK_DATA)", true},
    [OPTION_DATABASE] = {"--database", "URI",
                         "use this PostgreSQL server instead of the private one", true},
    [OPTION_FARM] = {"--farm", "KEY", "which farm, where the database holds several", true},
    [OPTION_BY] = {"--by", "PERSON", "who does this: a key from `people:` in the farm file", false},
    [OPTION_SECOND] = {"--second", "PERSON", "a second person who agrees", false},
    [OPTION_BECAUSE] = {"--because", "WORDS", "why, in words that an auditor will read", false},
    [OPTION_JSON] = {"--json", NULL, "answer in JSON, for machines", true},
    [OPTION_QUIET] = {"--quiet", NULL, "no progress, and nothing but errors", true},
    [OPTION_STRICT] = {"--strict", NULL,
                       "end with 10 when something is outside, 11 when something is not "
                       "assessable, missed or set aside",
                       false},
    [OPTION_BRIEF] = {"--brief", NULL, "only what needs a look", false},
    [OPTION_DRY_RUN] = {"--dry-run", NULL, "say what would change, change nothing", false},
    [OPTION_OUT] = {"--out", "FILE", "where to write the workbook, document or source", false},
    [OPTION_LICENCE] = {"--licence", "KEY", "which licence, where the farm has several", false},
    [OPTION_LIST] = {"--list", NULL, "only list", false},
    [OPTION_SAMPLE] = {"--sample", "NUMBER", "of several readings, that of this sample", false},
    [OPTION_MADE_BY] = {"--made-by", "NAME",
                        "of several readings, that of this instrument or laboratory", false},
    [OPTION_UNIT] = {"--unit", "UNIT",
                     "unit of the new value, else that of the first; or of the answer", false},
    [OPTION_REASON] = {"--reason", "WORD",
                       "no discharge, not required, lost, not taken, unsafe to sample, "
                       "equipment or laboratory",
                       false},
    [OPTION_VERSION] = {"--version", NULL, "say which weirbook this is", true},
    [OPTION_ALL] = {"--all", NULL, "list every reading, where a day would be told in one line",
                    false},
    [OPTION_WHAT] = {"--what", "WORDS", "what was put in, in your own words", false},
    [OPTION_NITROGEN] = {"--nitrogen", "PERCENT", "share of its mass that is nitrogen, as N",
                         false},
    [OPTION_PHOSPHORUS] = {"--phosphorus", "PERCENT", "share of its mass that is phosphorus, as P",
                           false},
    [OPTION_WITHHOLD] = {"--withhold", "HOURS",
                         "how long nothing may be harvested afterwards; 0 where there is no such "
                         "time",
                         false},
    [OPTION_INSTEAD_OF] = {"--instead-of", "NUMBER", "the earlier one that this one corrects",
                           false},
    [OPTION_SAYING] = {"--saying", "WORDS", "words that stand in why they were set aside", false},
    [OPTION_FROM] = {"--from", "DAY", "the first day, as 2026-03-01", false},
    [OPTION_TO] = {"--to", "DAY", "the last day, as 2026-03-07", false},
    [OPTION_UNIT_FILE] = {"--unit-file", NULL, "print a unit file for systemd, and do nothing else",
                          false},
    [OPTION_KIND] = {"--kind", "KIND", "certificate, notice, licence, photo or other", false},
    [OPTION_ABOUT] =
        {"--about", "WHAT",
         "what it proves: \"sample NUMBER\", \"file NAME\", \"licence KEY\", \"finding "
         "SUBJECT DAY\" or \"instrument NAME\"",
         false},
    [OPTION_DOCUMENT] = {"--document", "NUMBER", "which document", false},
    [OPTION_LOT] = {"--lot", "NUMBER", "the lot number of the standard", false},
    [OPTION_EXPIRES] = {"--expires", "DAY", "the last day of the standard, as 2026-12-31", false},
    [OPTION_HELP] = {"--help", NULL, "say what the command does and takes", true},
};

static bool option_unknown(const char *given, struct err *err)
{
    const char *names[OPTIONS];

    for (size_t i = 0; i < OPTIONS; i++)
        names[i] = option_rows[i].name;

    const char *nearest = str_equal(given, "-h") ? "--help" : str_nearest(given, names, OPTIONS);

    err_set(err, ERR_INVALID, "there is no option %s", given);
    if (nearest)
        return err_hint(err, "Did you mean %s?", nearest);

    return err_hint(err,
                    "weirbook --help lists the commands, weirbook COMMAND --help its options.");
}

/* "--name" or "--name=value": the row, and the value that came with it. */
static int option_find(const char *given, const char **value)
{
    const char *equals = strchr(given, '=');
    size_t length = equals ? (size_t)(equals - given) : strlen(given);

    *value = equals ? equals + 1 : NULL;
    for (int i = 0; i < OPTIONS; i++) {
        if (strlen(option_rows[i].name) == length &&
            strncmp(option_rows[i].name, given, length) == 0)
            return i;
    }

    return -1;
}

/* "-5" is a value; "-h" is no option of ours, but meant as one. */
static bool looks_like_option(const char *given)
{
    return str_starts(given, "--") || (given[0] == '-' && given[1] >= 'a' && given[1] <= 'z');
}

bool options_read(struct cli *cli, int argc, const char *const *argv, struct err *err)
{
    const char **words = ARENA_ARRAY(cli->mem, const char *, (size_t)argc);
    bool ended = false;

    for (int i = 0; i < argc; i++) {
        const char *value = NULL;

        if (!ended && str_equal(argv[i], "--")) {
            ended = true;
            continue;
        }
        if (ended || !looks_like_option(argv[i])) {
            words[cli->word_count++] = argv[i];
            continue;
        }

        int id = option_find(argv[i], &value);

        if (id < 0)
            return option_unknown(argv[i], err);
        if (option_rows[id].value && !value && i + 1 >= argc) {
            err_set(err, ERR_INVALID, "%s needs a value", option_rows[id].name);
            return err_hint(err, "As %s %s.", option_rows[id].name, option_rows[id].value);
        }
        if (!option_rows[id].value && value)
            return err_set(err, ERR_INVALID, "%s takes no value", option_rows[id].name);
        if (option_rows[id].value && !value)
            value = argv[++i];
        cli->values[id] = value ? value : "";
    }
    cli->words = words;

    return true;
}

bool options_fit(const struct cli *cli, const struct command *command, struct err *err)
{
    for (unsigned i = 0; i < OPTIONS; i++) {
        if (!cli->values[i] || option_rows[i].everywhere || (command->options & OPTION_BIT(i)))
            continue;
        err_set(err, ERR_INVALID, "weirbook %s takes no %s", command->name, option_rows[i].name);
        return err_hint(err, "weirbook %s --help says what it takes.", command->name);
    }

    return true;
}
