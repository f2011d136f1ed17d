#include "cli/help.h"

#include "base/str.h"
#include "base/table_text.h"
#include "cli/option.h"
#include "cli/say.h"

static const char *const statuses[][2] = {
    {"0", "fine"},
    {"1", "a fault of the program"},
    {"2", "something given is wrong: a word, a file, a farm file"},
    {"3", "the database or the disk is not available"},
    {"4", "not allowed, or something else changed it first"},
    {"10", "with --strict: something is outside a limit"},
    {"11", "with --strict: not assessable, missed or set aside"},
};

static void commands_draw(FILE *out, const char *word)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct table_column columns[] = {{NULL, TABLE_LEFT}, {NULL, TABLE_LEFT}};
    struct table_text *table = table_text_new(mem, columns, ARRAY_LEN(columns));

    for (size_t i = 0; i < command_count; i++) {
        if (word && !str_starts(commands[i].name, word))
            continue;
        TABLE_TEXT_ADD(table, arena_printf(mem, "  %s", commands[i].name), commands[i].summary);
    }
    fputs(table_text_draw(mem, table, TABLE_TEXT_WIDTH), out);
}

static void statuses_draw(FILE *out)
{
    fputs("\nIt ends with\n", out);
    for (size_t i = 0; i < ARRAY_LEN(statuses); i++)
        fprintf(out, "  %2s  %s\n", statuses[i][0], statuses[i][1]);
}

void help_all(FILE *out)
{
    say_wrapped(out, "", "",
                "weirbook keeps the records that let an on-land shellfish farm prove what leaves "
                "its pond. The limits are the farm's own copy of its licence; the authority and "
                "the licence decide.");
    fputs("\n  weirbook COMMAND ... [options]\n\n", out);
    commands_draw(out, NULL);
    fputs("\nweirbook COMMAND --help says what a command takes.\n", out);
    statuses_draw(out);
}

static void option_draw(FILE *out, const struct option_row *row)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *left = arena_printf(mem, "%s %s", row->name, row->value ? row->value : "");

    say_wrapped(out, arena_printf(mem, "  %-18s ", left), arena_printf(mem, "%21s", ""), row->help);
}

void help_command(FILE *out, const struct command *command)
{
    fprintf(out, "weirbook %s%s%s\n\n%s.\n", command->name, *command->usage ? " " : "",
            command->usage, command->summary);
    if (command->about) {
        fputc('\n', out);
        say_wrapped(out, "", "", command->about);
    }
    fputs("\nOptions\n", out);
    for (unsigned i = 0; i < OPTIONS; i++) {
        if (command->options & OPTION_BIT(i))
            option_draw(out, &option_rows[i]);
    }
    for (unsigned i = 0; i < OPTIONS; i++) {
        if (option_rows[i].everywhere)
            option_draw(out, &option_rows[i]);
    }
    statuses_draw(out);
}

bool help_group(FILE *out, const char *word)
{
    bool any = false;

    for (size_t i = 0; i < command_count; i++)
        any |= str_starts(commands[i].name, word);
    if (any)
        commands_draw(out, word);

    return any;
}
