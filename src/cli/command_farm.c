#include "cli/command_farm.h"

#include <string.h>

#include "app/clause_acts.h"
#include "app/correct.h"
#include "app/load_farm.h"
#include "app/notice_targets.h"
#include "app/verify_ledger.h"
#include "base/file.h"
#include "base/str.h"
#include "base/yaml.h"
#include "cli/open.h"
#include "cli/say.h"
#include "cluster/account.h"
#include "db/migrate.h"
#include "farmfile/farmfile.h"
#include "judge/limit_choices.h"

/* Rows set aside that are looked through for a file to read again. */
enum { ASIDE_LOOKED_AT = 10000 };

static void problems_json(struct cli *cli, const struct farmfile_problems *problems)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "problems");
    json_put_array(&json);
    for (size_t i = 0; i < problems->count; i++) {
        json_put_object(&json);
        json_put_name_int(&json, "line", problems->items[i].line);
        json_put_name_int(&json, "column", problems->items[i].column);
        json_put_name_text(&json, "words", problems->items[i].words);
        json_put_name_text(&json, "hint", problems->items[i].hint);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* Every problem on a line of its own, as compilers do, so that editors find the place. */
bool problems_say(struct cli *cli, const char *path, const struct farmfile_problems *problems,
                  struct err *err)
{
    if (problems->count == 0)
        return err_wrap(err, "%s", path);
    if (cli_has(cli, OPTION_JSON))
        problems_json(cli, problems);
    for (size_t i = 0; i < problems->count && !cli_has(cli, OPTION_JSON); i++) {
        const struct farmfile_problem *problem = &problems->items[i];
        size_t length = strlen(problem->words);
        bool asks = length > 0 && problem->words[length - 1] == '?';

        fprintf(stderr, "%s:%d:%d: %s%s%s\n", path, problem->line, problem->column, problem->words,
                !problem->hint ? ""
                : asks         ? " "
                               : ". ",
                problem->hint ? problem->hint : "");
    }

    return err_set(err, ERR_INVALID, "%s: %s", path,
                   say_count(cli->mem, (int64_t)problems->count, "problem", "problems"));
}

static bool file_text(struct cli *cli, char **text, size_t *length, struct err *err)
{
    return file_read(cli->mem, cli->words[0], YAML_BYTES_MOST, text, length, err);
}

bool command_farm_check(struct cli *cli, struct err *err)
{
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    size_t length = 0;
    char *text = NULL;

    if (!file_text(cli, &text, &length, err))
        return false;
    if (!farmfile_read(cli->mem, text, length, cli->units, &farm, &problems, err))
        return problems_say(cli, cli->words[0], &problems, err);
    if (cli_has(cli, OPTION_JSON)) {
        problems_json(cli, &problems);
        return true;
    }
    if (!say_aloud(cli))
        return true;
    fprintf(cli->out, "%s: nothing is wrong with it.\n", cli->words[0]);
    fprintf(cli->out, "%s: %s, %s, %s, %s.\n", say_farm(cli->mem, farm),
            say_count(cli->mem, (int64_t)farm->stations.count, "station", "stations"),
            say_count(cli->mem, (int64_t)farm->sources.count, "source", "sources"),
            say_count(cli->mem, (int64_t)farm->limits.count, "limit", "limits"),
            say_count(cli->mem, (int64_t)farm->intervals.count, "interval", "intervals"));
    say_next(cli, "weirbook farm load %s --by PERSON", cli->words[0]);

    return true;
}

static const char *change_word(enum change_kind kind)
{
    static const char *const words[] = {
        [CHANGE_NEW_ITEM] = "new", [CHANGE_ITEM] = "changed", [CHANGE_GONE] = "gone"};

    return words[kind];
}

/* Whom nothing can be sent to yet; read with no more rights than the records' account has. */
static struct target_notes targets_missing(struct cli *cli, const struct farm *farm)
{
    struct account account = {0};
    struct err err = ERR_INIT;

    if (!cli_data_folder(cli, &err) || !account_find(cli->mem, &account, &err))
        return (struct target_notes){0};

    CLEANUP(account_files_end) struct account_files files = account_files_begin(&account);

    return notice_targets_missing_in(cli->mem, farm, cli->data_folder);
}

static void changes_json(struct cli *cli, const struct farm_changes *changes,
                         const struct target_notes *notes)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_int(&json, "version", changes->version);
    json_put_name_bool(&json, "new_farm", changes->new_farm);
    json_put_name_bool(&json, "same_file", changes->same_file);
    json_put_name_bool(&json, "dry_run", cli_has(cli, OPTION_DRY_RUN));
    json_put_name(&json, "changes");
    json_put_array(&json);
    for (size_t i = 0; i < changes->count; i++) {
        json_put_object(&json);
        json_put_name_text(&json, "change", change_word(changes->items[i].kind));
        json_put_name_text(&json, "what", changes->items[i].what);
        json_put_name_text(&json, "says", changes->items[i].says);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_name(&json, "notes");
    json_put_array(&json);
    for (size_t i = 0; i < notes->count; i++)
        json_put_text(&json, notes->items[i]);
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void changes_say(struct cli *cli, const struct farm_changes *changes)
{
    size_t shown = 0;

    if (changes->same_file) {
        fprintf(cli->out, "This is the farm file in force already (version %d). Nothing changed.\n",
                changes->version);
        return;
    }
    for (size_t i = 0; i < changes->count; i++) {
        const struct farm_change *change = &changes->items[i];

        /* Of a new farm everything is new: the counts below say enough. */
        if (changes->new_farm)
            continue;
        fprintf(cli->out, "  %-8s %s%s%s\n", change_word(change->kind), change->what,
                change->says ? ": " : "", change->says ? change->says : "");
        shown++;
    }
    if (!changes->new_farm && shown == 0)
        fprintf(cli->out, "Nothing in it differs from version %d but remarks and layout.\n",
                changes->version - 1);
    fprintf(cli->out, "%s version %d of the farm file%s.\n",
            cli_has(cli, OPTION_DRY_RUN) ? "This would be" : "Loaded as", changes->version,
            changes->new_farm ? ", and the farm is made" : "");
}

static bool source_changed(struct arena *mem, const struct farm_changes *changes, const char *key)
{
    const char *what = arena_printf(mem, "source %s", key);

    for (size_t i = 0; i < changes->count; i++)
        if (changes->items[i].kind == CHANGE_ITEM && str_equal(changes->items[i].what, what))
            return true;

    return false;
}

/* A file of which rows wait for what its source may have learnt now; NULL when there is none. */
static bool file_to_read_again(struct cli *cli, const struct farm_changes *changes,
                               const char **file, struct err *err)
{
    struct aside_rows rows = {0};

    *file = NULL;
    if (!asides_waiting(cli->db, cli->mem, &cli->farm, ASIDE_LOOKED_AT, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count && !*file; i++)
        if (source_changed(cli->mem, changes, rows.items[i].source))
            *file = rows.items[i].file_name;

    return true;
}

/* The limits that have to be compared again, though their clauses are as they were. */
static void basis_waiting_say(struct cli *cli, const struct clause_limits *list)
{
    struct buf keys = buf_new(cli->mem);
    size_t count = 0;

    for (size_t i = 0; i < list->count; i++)
        if (list->items[i].basis)
            buf_addf(&keys, "%s%s", count++ > 0 ? ", " : "", list->items[i].limit.key);
    if (count > 0)
        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem,
                                 "%s to be compared again, since what the figures are worked out "
                                 "with changed, and until then can be outside and never within: "
                                 "%s.",
                                 count == 1 ? "1 limit has"
                                            : arena_printf(cli->mem, "%zu limits have", count),
                                 keys.data));
}

/* What to do once the file is loaded. */
static bool loaded_next(struct cli *cli, const struct farm_changes *changes, struct err *err)
{
    struct clause_limits list = {0};
    const char *file = NULL;

    if (!farm_open(cli->db, cli->mem, cli->units, changes->key, &cli->farm, err) ||
        !file_to_read_again(cli, changes, &file, err) ||
        !limits_unconfirmed(cli->db, cli->mem, &cli->farm, &list, err))
        return false;
    basis_waiting_say(cli, &list);
    if (file)
        say_next(cli, "weirbook aside read-again %s --by %s", file, cli->act.person);
    else if (list.count > 0)
        say_next(cli, "weirbook confirm --list, and compare each limit with the licence");
    else
        say_next(cli, "weirbook check");

    return true;
}

bool command_farm_load(struct cli *cli, struct err *err)
{
    struct farmfile_problems problems = {0};
    struct farm_changes changes = {0};
    size_t length = 0;
    char *text = NULL;

    if (!file_text(cli, &text, &length, err))
        return false;
    if (!farm_load(cli->db, cli->mem, cli->units, text, length, &cli->act,
                   cli_has(cli, OPTION_DRY_RUN), &changes, &problems, err))
        return problems_say(cli, cli->words[0], &problems, err);

    const struct target_notes notes = targets_missing(cli, changes.farm);

    if (cli_has(cli, OPTION_JSON))
        changes_json(cli, &changes, &notes);
    if (!say_aloud(cli))
        return true;
    changes_say(cli, &changes);
    say_notes(cli->out, notes.items, notes.count);
    if (cli_has(cli, OPTION_DRY_RUN)) {
        say_next(cli, "weirbook farm load %s --by %s", cli->words[0], cli->act.person);
        return true;
    }

    return changes.same_file || loaded_next(cli, &changes, err);
}

/* What a limit's figures are worked out with that changed since it was compared. */
static void basis_json(struct json_writer *json, const struct basis_changes *basis)
{
    json_put_name(json, "worked_out_otherwise");
    json_put_array(json);
    for (size_t i = 0; basis && i < basis->count; i++) {
        json_put_object(json);
        json_put_name_text(json, "what", basis->items[i].what);
        json_put_name_text(json, "change", basis->items[i].words);
        json_put_object_end(json);
    }
    json_put_array_end(json);
}

static void basis_say(struct cli *cli, const struct basis_changes *basis)
{
    for (size_t i = 0; basis && i < basis->count; i++)
        say_wrapped(cli->out, i == 0 ? "  since then:   " : "                ", "                ",
                    arena_printf(cli->mem, "%s: %s", basis->items[i].what, basis->items[i].words));
}

static void waiting_json(struct cli *cli, const struct clause_limits *list)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "waiting");
    json_put_array(&json);
    for (size_t i = 0; i < list->count; i++) {
        const struct limit *limit = &list->items[i].limit;

        json_put_object(&json);
        json_put_name_text(&json, "limit", limit->key);
        json_put_name_text(&json, "clause", limit->clause);
        json_put_name_text(&json, "wording", limit->wording);
        json_put_name_text(&json, "ours", limit_words(cli->mem, limit));
        json_put_name_text(&json, "choices", limit_choices_words(cli->mem, limit));
        basis_json(&json, list->items[i].basis);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static bool waiting_list(struct cli *cli, struct err *err)
{
    struct clause_limits list = {0};

    if (!limits_unconfirmed(cli->db, cli->mem, &cli->farm, &list, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        waiting_json(cli, &list);
    if (!say_aloud(cli))
        return true;
    if (list.count == 0) {
        fputs("Every limit has been compared with the licence.\n", cli->out);
        return true;
    }
    fputs("These limits wait for a person to compare them with the licence.\n\n", cli->out);
    for (size_t i = 0; i < list.count; i++) {
        const struct limit *limit = &list.items[i].limit;

        fprintf(cli->out, "%s  (%s)\n", limit->key, limit->clause ? limit->clause : "no clause");
        say_wrapped(cli->out, "  the licence:  ", "                ",
                    str_empty(limit->wording) ? "(its wording is not copied)" : limit->wording);
        say_wrapped(cli->out, "  as we judge:  ", "                ", limit_words(cli->mem, limit));
        say_wrapped(cli->out, "                ", "                ",
                    limit_choices_words(cli->mem, limit));
        basis_say(cli, list.items[i].basis);
    }
    say_next(cli, "weirbook confirm --by PERSON, when all of them are right");

    return true;
}

bool command_confirm(struct cli *cli, struct err *err)
{
    int confirmed = 0;

    if (cli_has(cli, OPTION_LIST))
        return waiting_list(cli, err);
    if (!limits_confirm(cli->db, cli->mem, &cli->farm, cli->words, cli->word_count, &cli->act,
                        &confirmed, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out, "{\"confirmed\":%d}\n", confirmed);
    if (!say_aloud(cli))
        return true;
    if (confirmed == 0)
        fputs("No limit waits to be compared.\n", cli->out);
    else
        fprintf(cli->out, "%s compared with the licence, by %s.\n",
                say_count(cli->mem, confirmed, "limit", "limits"),
                farm_find_person(cli->farm.farm, cli->act.person)->name);

    return true;
}

bool command_ledger_check(struct cli *cli, struct err *err)
{
    struct ledger_verdict verdict = {.fault = NULL};

    if (!ledger_verify(cli->db, cli->mem, &cli->farm, &verdict, err))
        return false;
    if (!verdict.sound)
        cli->status = EXIT_REFUSED;
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        json_put_name_bool(&json, "sound", verdict.sound);
        json_put_name_int(&json, "entries", verdict.entries);
        json_put_name_text(&json, "head", digest_text(cli->mem, &verdict.head));
        json_put_name_text(&json, "fault", verdict.fault);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    }
    if (!say_aloud(cli))
        return true;
    fprintf(cli->out, "%s followed", say_count(cli->mem, verdict.entries, "entry", "entries"));
    if (verdict.sound)
        fprintf(cli->out, ", unbroken.\nhead %s\n", digest_text(cli->mem, &verdict.head));
    else
        fprintf(cli->out, ", then broken: %s.\n", verdict.fault);

    return true;
}

bool command_database_sql(struct cli *cli, struct err *err)
{
    (void)err;
    fputs(migrate_roles_sql(), cli->out);

    return true;
}

bool command_database_prepare(struct cli *cli, struct err *err)
{
    int applied = 0;

    if (!cli_prepare_database(cli, &applied, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out, "{\"applied\":%d,\"schema\":%d}\n", applied, migrate_newest());
    if (say_aloud(cli))
        fprintf(cli->out, "The database is ready: schema %d, %s applied now.\n", migrate_newest(),
                say_count(cli->mem, applied, "step", "steps"));

    return true;
}
