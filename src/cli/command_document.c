#include "cli/command_document.h"

#include "app/documents.h"
#include "base/str.h"
#include "cli/say.h"

static void row_json(struct cli *cli, struct json_writer *json, const struct document_row *row)
{
    json_put_name_int(json, "number", row->document);
    json_put_name_text(json, "name", row->name);
    json_put_name_text(json, "kind", row->kind);
    json_put_name_text(json, "sha256", digest_text(cli->mem, &row->sha256));
    json_put_name_int(json, "bytes", row->byte_count);
    json_put_name_text(json, "kept_at", instant_text(cli->mem, row->received_at));
    json_put_name_text(json, "by", row->person);
}

static bool number_read_word(const char *word, int64_t *number, struct err *err)
{
    struct decimal decimal = {0};

    if (str_empty(word)) {
        err_set(err, ERR_INVALID, "it is not told which document");
        return err_hint(err, "Say --document NUMBER, as `weirbook document list` lists them.");
    }
    if (!decimal_parse(word, &decimal) || decimal.scale != 0 || decimal.coefficient < 1) {
        err_set(err, ERR_INVALID, "'%s' is not the number of a document", word);
        return err_hint(err, "`weirbook document list` lists them.");
    }
    *number = decimal.coefficient;

    return true;
}

bool command_document_keep(struct cli *cli, struct err *err)
{
    const struct document_order order = {.path = cli->words[0],
                                         .kind = cli->values[OPTION_KIND],
                                         .about = cli->values[OPTION_ABOUT]};
    struct document_kept kept = {.already = false};

    if (!document_keep(cli->db, cli->mem, &cli->farm, &order, &cli->act, &kept, err))
        return false;
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        row_json(cli, &json, &kept.row);
        json_put_name_bool(&json, "already_known", kept.already);
        json_put_name_text(&json, "about", order.about);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    }
    if (!say_aloud(cli))
        return true;
    if (kept.already)
        fprintf(cli->out, "These very bytes are document %lld already: %s, kept %s by %s.\n",
                (long long)kept.row.document, kept.row.name,
                zone_text(cli->mem, cli->farm.farm->zone, kept.row.received_at), kept.row.person);
    else
        fprintf(cli->out, "Kept as document %lld: %s, %s, %s.\n  SHA-256 %s\n",
                (long long)kept.row.document, kept.row.name, kept.row.kind,
                say_count(cli->mem, kept.row.byte_count, "byte", "bytes"),
                digest_text(cli->mem, &kept.row.sha256));
    if (order.about)
        fprintf(cli->out, "  It is tied to %s.\n", order.about);
    else if (!kept.already)
        say_wrapped(cli->out, "  ", "  ",
                    "It is tied to nothing yet: keep it again with --about, as --about \"sample "
                    "NUMBER\".");

    return true;
}

static void list_json(struct cli *cli, const struct document_rows *rows,
                      const struct document_ties *ties)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "documents");
    json_put_array(&json);
    for (size_t i = 0; i < rows->count; i++) {
        json_put_object(&json);
        row_json(cli, &json, &rows->items[i]);
        json_put_name(&json, "about");
        json_put_array(&json);
        for (size_t j = 0; j < ties->count; j++) {
            const struct document_tie *tie = &ties->items[j];

            if (tie->document != rows->items[i].document)
                continue;
            json_put_object(&json);
            json_put_name_text(&json, "kind", tie->kind);
            json_put_name_text(&json, "name", tie->about);
            json_put_name_text(&json, "by", tie->person);
            json_put_object_end(&json);
        }
        json_put_array_end(&json);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_document_list(struct cli *cli, struct err *err)
{
    struct document_rows rows = {0};
    struct document_ties ties = {0};

    if (!documents_list(cli->db, cli->mem, &cli->farm, &rows, &ties, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        list_json(cli, &rows, &ties);
    if (!say_aloud(cli))
        return true;
    if (rows.count == 0)
        fputs("No document is kept yet.\n", cli->out);
    for (size_t i = 0; i < rows.count; i++) {
        const struct document_row *row = &rows.items[i];

        fprintf(cli->out, "%lld: %s, %s, %s, kept %s by %s\n", (long long)row->document, row->name,
                row->kind, say_count(cli->mem, row->byte_count, "byte", "bytes"),
                zone_text(cli->mem, cli->farm.farm->zone, row->received_at), row->person);
        for (size_t j = 0; j < ties.count; j++)
            if (ties.items[j].document == row->document)
                fprintf(cli->out, "  %s %s\n", ties.items[j].kind, ties.items[j].about);
    }
    if (rows.count == 0)
        say_next(cli, "weirbook document keep FILE --kind certificate --by PERSON");

    return true;
}

bool command_document_show(struct cli *cli, struct err *err)
{
    const char *path = cli->values[OPTION_OUT];
    struct document_row row = {0};
    int64_t number = 0;

    if (!number_read_word(cli->words[0], &number, err))
        return false;
    if (!document_write(cli->db, cli->mem, &cli->farm, number, path, &row, err))
        return false;
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        row_json(cli, &json, &row);
        json_put_name_text(&json, "written", path);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    }
    if (say_aloud(cli))
        fprintf(cli->out, "Document %lld (%s) written to %s: %s, SHA-256 as when it came in.\n",
                (long long)row.document, row.name, path,
                say_count(cli->mem, row.byte_count, "byte", "bytes"));

    return true;
}

static void check_json(struct cli *cli, const struct document_check *check)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "sample", cli->words[0]);
    json_put_name_int(&json, "document", check->document.document);
    json_put_name(&json, "results");
    json_put_array(&json);
    for (size_t i = 0; i < check->results.count; i++) {
        const struct sample_result *result = &check->results.items[i];

        json_put_object(&json);
        json_put_name_text(&json, "station", result->station);
        json_put_name_text(&json, "parameter", result->parameter);
        json_put_name_text(&json, "replicate", result->replicate);
        json_put_name_text(&json, "result", sample_result_words(cli->mem, result));
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_result_checked(struct cli *cli, struct err *err)
{
    struct document_check check = {.results = {.count = 0}};
    int64_t number = 0;

    if (!number_read_word(cli->values[OPTION_DOCUMENT], &number, err) ||
        !document_check(cli->db, cli->mem, &cli->farm, cli->words[0], number, &cli->act, &check,
                        err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        check_json(cli, &check);
    if (!say_aloud(cli))
        return true;
    fprintf(cli->out, "Sample %s was checked against document %lld (%s) as it stands:\n",
            cli->words[0], (long long)check.document.document, check.document.name);
    for (size_t i = 0; i < check.results.count; i++) {
        const struct sample_result *result = &check.results.items[i];

        fprintf(cli->out, "  %s of %s: %s%s\n", result->parameter, result->station,
                sample_result_words(cli->mem, result), result->left_out ? " (left out)" : "");
    }
    say_wrapped(cli->out, "", "  ",
                "If one of these is not what the certificate says, correct it: weirbook correct. "
                "Then check the sample again.");

    return true;
}
