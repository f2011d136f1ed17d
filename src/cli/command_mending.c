#include "cli/command_mending.h"

#include "app/see_aside.h"
#include "app/source_rules.h"
#include "base/str.h"
#include "cli/command_records.h"
#include "cli/say.h"

/* --- rules --- */

/* "`mgl` means mg/L", "`-` means no value". */
static char *rule_words(struct arena *mem, const char *word, const char *means)
{
    return arena_printf(mem, "`%s` means %s", word, means ? means : "no value");
}

static void mended_json(struct cli *cli, const struct source_files_mended *files)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "read_again");
    json_put_array(&json);
    for (size_t i = 0; i < files->count; i++) {
        const struct source_file_mended *file = &files->items[i];

        json_put_object(&json);
        json_put_name_text(&json, "file", file->result.file_name);
        json_put_name_int(&json, "waited", file->result.waited);
        json_put_name_int(&json, "accepted", file->result.accepted);
        json_put_name_int(&json, "blank", file->result.blank);
        json_put_name_text(&json, "trouble", file->trouble);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    if (files->seen_by) {
        json_put_name_text(&json, "seen_by", files->seen_by);
        json_put_name_int(&json, "seen", (int64_t)files->seen);
    }
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void mended_say(struct cli *cli, const struct source_file_mended *file)
{
    const struct read_again_result *result = &file->result;

    if (file->trouble) {
        say_wrapped(cli->out, "  ", "    ",
                    arena_printf(cli->mem, "%s could not be read again: %s", result->file_name,
                                 file->trouble));
        return;
    }
    fprintf(cli->out, "  %s: of %s that waited, %s now on record", result->file_name,
            say_count(cli->mem, result->waited, "value", "values"),
            say_count(cli->mem, result->accepted, "is", "are"));
    if (result->blank > 0)
        fprintf(cli->out, " and %s blank", say_count(cli->mem, result->blank, "is", "are"));
    fputs(".\n", cli->out);
}

bool command_aside_rule(struct cli *cli, struct err *err)
{
    const struct source_rule_order order = {.source = cli->words[0],
                                            .kind = cli->words[1],
                                            .word = cli->words[2],
                                            .means = cli->word_count > 3 ? cli->words[3] : NULL,
                                            .reason = cli->values[OPTION_BECAUSE],
                                            .second_person = cli->values[OPTION_SECOND]};
    struct source_files_mended files = {.count = 0};
    int64_t mended = 0;

    if (!source_rule_make(cli->db, cli->mem, &cli->farm, &order, &cli->act, &files, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        mended_json(cli, &files);
    if (!say_aloud(cli))
        return true;
    if (files.seen_by) {
        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem,
                                 "%s agrees that in %s %s; and to %s that came in as the rule was "
                                 "made.",
                                 farm_person_name(cli->farm.farm, files.seen_by), order.source,
                                 rule_words(cli->mem, order.word, order.means),
                                 say_count(cli->mem, (int64_t)files.seen, "value", "values")));
        say_next(cli, "weirbook check");
        return true;
    }
    fprintf(cli->out, "From now on in %s %s.\n", order.source,
            rule_words(cli->mem, order.word, order.means));
    for (size_t i = 0; i < files.count; i++) {
        mended += files.items[i].result.accepted + files.items[i].result.blank;
        mended_say(cli, &files.items[i]);
    }
    if (files.count == 0)
        fputs("  Nothing of it waits.\n", cli->out);
    if (mended > 0 && !order.second_person)
        say_wrapped(cli->out, "", "  ",
                    "One person did this. If it takes a figure from outside to inside, the report "
                    "says so until a second person agrees: the same again with --second PERSON.");
    if (mended > 0)
        say_next(cli, "weirbook check");
    else
        say_next(cli, "weirbook aside");

    return true;
}

static void rules_json(struct cli *cli, const struct source_rules *rules)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "rules");
    json_put_array(&json);
    for (size_t i = 0; i < rules->count; i++) {
        const struct source_rule *rule = &rules->items[i];

        json_put_object(&json);
        json_put_name_text(&json, "source", rule->source);
        json_put_name_text(&json, "kind", rule->kind);
        json_put_name_text(&json, "word", rule->word);
        json_put_name_text(&json, "means", rule->means);
        json_put_name_text(&json, "because", rule->reason);
        json_put_name_text(&json, "by", rule->person);
        json_put_name_text(&json, "second", rule->second_person);
        json_put_name_text(&json, "made_at", instant_text(cli->mem, rule->made_at));
        if (rule->withdrawn) {
            json_put_name_text(&json, "withdrawn", rule->withdrawn);
            json_put_name_text(&json, "withdrawn_by", rule->withdrawn_by);
            json_put_name_text(&json, "withdrawn_at", instant_text(cli->mem, rule->withdrawn_at));
        }
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_aside_rules(struct cli *cli, struct err *err)
{
    struct source_rules rules = {0};

    if (!source_rules_list(cli->db, cli->mem, &cli->farm, &rules, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        rules_json(cli, &rules);
    if (!say_aloud(cli))
        return true;
    if (rules.count == 0)
        fputs("No rule is made beside the farm file.\n", cli->out);
    for (size_t i = 0; i < rules.count; i++) {
        const struct source_rule *rule = &rules.items[i];

        fprintf(cli->out, "%s, %s: %s\n", rule->source, rule->kind,
                rule_words(cli->mem, rule->word, rule->means));
        say_wrapped(cli->out, "  why: ", "       ",
                    arena_printf(cli->mem, "%s (%s%s%s, %s)", rule->reason, rule->person,
                                 rule->second_person ? " and " : "",
                                 rule->second_person ? rule->second_person : "",
                                 zone_text(cli->mem, cli->farm.farm->zone, rule->made_at)));
        if (rule->withdrawn)
            say_wrapped(
                cli->out, "  taken back: ", "       ",
                arena_printf(cli->mem, "%s (%s, %s)", rule->withdrawn, rule->withdrawn_by,
                             zone_text(cli->mem, cli->farm.farm->zone, rule->withdrawn_at)));
    }

    return true;
}

bool command_aside_withdraw(struct cli *cli, struct err *err)
{
    const struct source_rule_back back = {.source = cli->words[0],
                                          .kind = cli->words[1],
                                          .word = cli->words[2],
                                          .reason = cli->values[OPTION_BECAUSE]};
    struct source_rule rule = {.source = NULL};
    struct aside_counts files = {.count = 0};

    if (!source_rule_take_back(cli->db, cli->mem, &cli->farm, &back, &cli->act, &rule, &files, err))
        return false;
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        json_put_name_text(&json, "source", rule.source);
        json_put_name_text(&json, "kind", rule.kind);
        json_put_name_text(&json, "word", rule.word);
        json_put_name_text(&json, "means", rule.means);
        json_put_name(&json, "came_in_by_it");
        json_put_array(&json);
        for (size_t i = 0; i < files.count; i++) {
            json_put_object(&json);
            json_put_name_text(&json, "file", files.items[i].file_name);
            json_put_name_int(&json, "rows", files.items[i].rows);
            json_put_object_end(&json);
        }
        json_put_array_end(&json);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    }
    if (!say_aloud(cli))
        return true;
    fprintf(cli->out, "Taken back: that in %s %s. It stays in the ledger.\n", rule.source,
            rule_words(cli->mem, rule.word, rule.means));
    for (size_t i = 0; i < files.count; i++)
        fprintf(cli->out, "  %s: %s came in as it was made.\n", files.items[i].file_name,
                say_count(cli->mem, files.items[i].rows, "value", "values"));
    say_wrapped(cli->out, "", "  ",
                "What was stored by it, also of files since, stays as it is: correct what is wrong "
                "(weirbook correct), or leave it out (weirbook leave-out).");

    return true;
}

/* --- a second person --- */

bool command_aside_seen(struct cli *cli, struct err *err)
{
    struct aside_ref ref = {.file_name = cli->words[0]};
    struct aside_seen seen = {.rows = 0};

    if ((cli->word_count > 1 && !aside_ref_read(cli, cli->word_count, &ref, err)) ||
        !aside_see(cli->db, cli->mem, &cli->farm, &ref, &cli->act, &seen, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out, "{\"seen\":%zu}\n", seen.rows);
    if (!say_aloud(cli))
        return true;
    say_wrapped(cli->out, "", "  ",
                arena_printf(cli->mem, "%s saw what became of %s: %s",
                             farm_person_name(cli->farm.farm, cli->act.person),
                             say_count(cli->mem, (int64_t)seen.rows, "value", "values"),
                             str_show(cli->mem, seen.texts, 300)));
    say_next(cli, "weirbook check");

    return true;
}
