#include "cli/command_records.h"

#include <string.h>

#include "app/clause_acts.h"
#include "app/correct.h"
#include "app/read_again.h"
#include "app/say_no_sample.h"
#include "base/str.h"
#include "cli/say.h"
#include "cli/when.h"

/* What was done: a stored reading stands otherwise now, or a row set aside is answered. */
enum done_kind { DONE_READING, DONE_ASIDE };

static const char aside_alone[] =
    "One person did this. If it takes a figure from outside to inside, the report says so on its "
    "first page until a second person agrees: weirbook aside seen FILE LINE --by PERSON.";

static void done_say(struct cli *cli, const struct correction_done *done, enum done_kind kind)
{
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        json_put_name_text(&json, "before", done->before);
        json_put_name_text(&json, "after", done->after);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
        return;
    }
    if (!say_aloud(cli))
        return;
    fprintf(cli->out, "%s: now %s. What was there first stays in the record.\n", done->before,
            done->after);
    if (kind == DONE_READING && !cli_has(cli, OPTION_SECOND))
        say_wrapped(cli->out, "", "  ",
                    "One person saw this. If it takes a figure from outside to inside, the report "
                    "says so until a second person agrees: the same again with --second PERSON.");
    if (kind == DONE_ASIDE && !cli_has(cli, OPTION_SECOND))
        say_wrapped(cli->out, "", "  ", aside_alone);
    if (kind == DONE_ASIDE)
        say_next(cli,
                 "weirbook check; or weirbook aside read-again %s, where another row "
                 "contradicted it",
                 cli->words[0]);
    else
        say_next(cli, "weirbook check");
}

static bool correct(struct cli *cli, const char *kind, const char *value, struct err *err)
{
    const char *position = NULL;
    struct reading_ref ref = {.station = farm_position_split(cli->mem, cli->words[0], &position),
                              .parameter = cli->words[1],
                              .made_by = cli->values[OPTION_MADE_BY],
                              .sample = cli->values[OPTION_SAMPLE]};
    struct correction_order order = {.kind = kind,
                                     .value = value,
                                     .unit = cli->values[OPTION_UNIT],
                                     .reason = cli->values[OPTION_BECAUSE],
                                     .second_person = cli->values[OPTION_SECOND]};
    struct correction_done done = {0};

    ref.position = position;
    if (!when_instant(cli->mem, cli->farm.farm->zone, cli->words[2], &ref.at, err) ||
        !reading_correct(cli->db, cli->mem, &cli->farm, &ref, &order, &cli->act, &done, err))
        return false;
    done_say(cli, &done, DONE_READING);

    return true;
}

bool command_correct(struct cli *cli, struct err *err)
{
    return correct(cli, "value", cli->words[3], err);
}

bool command_leave_out(struct cli *cli, struct err *err)
{
    return correct(cli, "left out", NULL, err);
}

bool command_put_back(struct cli *cli, struct err *err)
{
    return correct(cli, "put back", NULL, err);
}

bool aside_ref_read(struct cli *cli, size_t words, struct aside_ref *ref, struct err *err)
{
    struct decimal line = {0};
    struct decimal column = {0};
    const char *mark = strrchr(cli->words[1], '!');
    const char *line_word = mark ? mark + 1 : cli->words[1];

    if (!decimal_parse(line_word, &line) || line.scale != 0 || line.coefficient < 1 ||
        line.coefficient > INT32_MAX) {
        err_set(err, ERR_INVALID, "'%s' is not a line number", cli->words[1]);
        return err_hint(err, "Write file and line as `weirbook aside` lists them; of a workbook "
                             "sheet and row as 'Results!14'.");
    }
    if (words > 2 && (!decimal_parse(cli->words[2], &column) || column.scale != 0 ||
                      column.coefficient < 0 || column.coefficient > INT32_MAX)) {
        err_set(err, ERR_INVALID, "'%s' is not a column number", cli->words[2]);
        return err_hint(err, "Write the column as `weirbook aside` lists it.");
    }
    *ref = (struct aside_ref){
        .file_name = cli->words[0],
        .sheet =
            mark ? arena_strndup(cli->mem, cli->words[1], (size_t)(mark - cli->words[1])) : NULL,
        .line = (int32_t)line.coefficient,
        .column = (int32_t)column.coefficient};

    return true;
}

bool command_aside_accept(struct cli *cli, struct err *err)
{
    struct aside_ref ref = {0};
    struct correction_done done = {0};

    if (!aside_ref_read(cli, cli->word_count, &ref, err) ||
        !aside_accept(cli->db, cli->mem, &cli->farm, &ref, cli->values[OPTION_BECAUSE],
                      cli->values[OPTION_SECOND], &cli->act, &done, err))
        return false;
    done_say(cli, &done, DONE_READING);

    return true;
}

bool command_aside_leave_out(struct cli *cli, struct err *err)
{
    struct aside_ref ref = {0};
    struct correction_done done = {0};

    if (!aside_ref_read(cli, cli->word_count, &ref, err) ||
        !aside_leave_out(cli->db, cli->mem, &cli->farm, &ref, cli->values[OPTION_BECAUSE],
                         cli->values[OPTION_SECOND], &cli->act, &done, err))
        return false;
    done_say(cli, &done, DONE_ASIDE);

    return true;
}

bool command_aside_read_again(struct cli *cli, struct err *err)
{
    struct read_again_result result = {.file_name = NULL};

    if (!read_again(cli->db, cli->mem, &cli->farm, cli->words[0], cli->values[OPTION_SECOND],
                    &cli->act, &result, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out,
                "{\"waited\":%lld,\"accepted\":%lld,\"blank\":%lld,\"contradicting\":%lld}\n",
                (long long)result.waited, (long long)result.accepted, (long long)result.blank,
                (long long)result.contradicting);
    if (!say_aloud(cli))
        return true;
    fprintf(cli->out, "%s: of %s that waited, %s now on record", result.file_name,
            say_count(cli->mem, result.waited, "value", "values"),
            say_count(cli->mem, result.accepted, "is", "are"));
    if (result.blank > 0)
        fprintf(cli->out, " and %s blank", say_count(cli->mem, result.blank, "is", "are"));
    fputs(".\n", cli->out);
    if (result.contradicting > 0)
        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem,
                                 "%s now, and %s each other or what is stored: leave the wrong one "
                                 "out, or accept it in place of what is stored.",
                                 say_count(cli->mem, result.contradicting, "value can be read",
                                           "values can be read"),
                                 result.contradicting == 1 ? "contradicts" : "contradict"));
    if (result.accepted + result.blank > 0)
        say_next(cli, "weirbook check");
    else if (result.contradicting > 0)
        say_next(cli, "weirbook aside compare %s LINE", result.file_name);
    else
        say_next(cli, "teach the source in the farm file, load it, then read the file again");

    return true;
}

bool command_no_sample(struct cli *cli, struct err *err)
{
    struct no_sample reason = {.explanation = cli->values[OPTION_BECAUSE]};
    const char *word = cli->values[OPTION_REASON];
    const char *disagrees = NULL;
    size_t count = 0;

    if (!day_parse(cli->words[1], &reason.day, err))
        return false;
    while (no_sample_words[count] && !str_equal(no_sample_words[count], word))
        count++;
    if (!word || !no_sample_words[count]) {
        err_set(err, ERR_INVALID, "%s%s%s", word ? "'" : "a reason is needed", word ? word : "",
                word ? "' is not one of the reasons" : "");
        return err_hint(err, "--reason is one of: no discharge, not required, lost, not taken, "
                             "unsafe to sample, equipment, laboratory.");
    }
    reason.reason = (enum no_sample_reason)count;
    if (!no_sample_say(cli->db, cli->mem, &cli->farm, cli->words[0], reason, &cli->act, &disagrees,
                       err))
        return false;
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        json_put_name_bool(&json, "recorded", true);
        json_put_name_text(&json, "records_disagree", disagrees);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    }
    if (say_aloud(cli))
        fprintf(cli->out, "Recorded for %s on %s: %s.\n", cli->words[0],
                day_words(cli->mem, reason.day), word);
    if (say_aloud(cli) && disagrees)
        fprintf(cli->out,
                "But the records of that day disagree (%s): it counts as discharging, and the "
                "sample as missed, until they are put right.\n",
                disagrees);
    say_next(cli, "weirbook check %.7s", cli->words[1]);

    return true;
}
