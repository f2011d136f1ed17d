#include "cli/command_quality.h"

#include "app/look_quality.h"
#include "base/str.h"
#include "cli/command_month.h"
#include "cli/say.h"

static const char *const coarse_words[] = {"fine enough", "above the bound", "above the bound",
                                           "above the farm's share of the bound"};

/* --- words ----------------------------------------------------------------------------------- */

/* "duplicates of ammonia at outlet, 2 Mar 2026 09:00: failed; ..." */
static void check_say(struct cli *cli, const struct quality_check *check)
{
    const struct quality_result_row *row = check->results[0]->row;
    char *first = arena_printf(cli->mem, "%s of %s at %s, %s: %s; ",
                               quality_kind_words[check->kind], row->parameter, row->station,
                               zone_text(cli->mem, cli->farm.farm->zone, check->at),
                               quality_answer_words[check->outcome.answer]);

    say_wrapped(cli->out, first, "  ", quality_check_words(cli->mem, check));
    if (check->in_doubt && check->kind != QUALITY_BLANK)
        fputs("  In doubt: what was compared.\n", cli->out);
    for (size_t i = 0; i < check->concerned_count; i++)
        fprintf(cli->out, "  %s: %s at %s (%s)\n", check->in_doubt ? "In doubt" : "Concerned",
                check->concerned[i]->row->sample, check->concerned[i]->row->station,
                check->concerned[i]->text);
}

static void limits_say(struct cli *cli, const struct coarse_limits *limits)
{
    if (limits->count == 0)
        say_wrapped(cli->out, "", "  ",
                    "No laboratory told a limit for a clause in force that goes by one number.");
    for (size_t i = 0; i < limits->count; i++)
        say_wrapped(cli->out, arena_printf(cli->mem, "%s: ", coarse_words[limits->items[i].answer]),
                    "  ", limits->items[i].words);
}

static size_t failed_count(const struct quality_checks *checks)
{
    size_t failed = 0;

    for (size_t i = 0; i < checks->count; i++)
        failed += checks->items[i].outcome.answer == QUALITY_FAILED;

    return failed;
}

static void seen_say(struct cli *cli, const struct quality_seen *seen, day_number month)
{
    size_t failed = failed_count(&seen->checks);

    fprintf(
        cli->out, "%s, %s: %s, %s\n", say_farm(cli->mem, cli->farm.farm),
        month_words(cli->mem, month),
        say_count(cli->mem, (int64_t)seen->checks.count, "check of results", "checks of results"),
        failed == 0 ? "none failed" : arena_printf(cli->mem, "%zu failed", failed));
    if (cli->farm.farm->quality.count == 0)
        say_wrapped(cli->out, "", "  ",
                    "The farm file says nothing of duplicates, replicates and blanks: it has no "
                    "`quality checks:`.");
    for (size_t i = 0; i < seen->checks.count; i++)
        check_say(cli, &seen->checks.items[i]);
    fputs("\nLimits of laboratories, by their newest results:\n", cli->out);
    limits_say(cli, &seen->limits);
    if (failed > 0)
        say_wrapped(cli->out, "", "  ",
                    "A failed check changes no value. What is in doubt can stop a verdict and "
                    "never clear one.");
    say_next(cli, "weirbook findings");
}

/* --- JSON ------------------------------------------------------------------------------------ */

static void result_json(struct cli *cli, struct json_writer *json,
                        const struct quality_result *result)
{
    const struct quality_result_row *row = result->row;

    json_put_object(json);
    json_put_name_text(json, "sample", row->sample);
    json_put_name_text(json, "portion", str_empty(row->replicate) ? NULL : row->replicate);
    json_put_name_text(json, "purpose", row->purpose);
    json_put_name_text(json, "station", row->station);
    json_put_name_text(json, "position", str_empty(row->position) ? NULL : row->position);
    json_put_name_text(json, "at", instant_text(cli->mem, row->at));
    json_put_name_text(json, "result", result->text);
    json_put_name_text(json, "detection_limit",
                       row->detection.coefficient > 0 ? decimal_text(cli->mem, row->detection)
                                                      : NULL);
    json_put_name_text(json, "quantitation_limit",
                       row->quantitation.coefficient > 0 ? decimal_text(cli->mem, row->quantitation)
                                                         : NULL);
    json_put_object_end(json);
}

static void results_json(struct cli *cli, struct json_writer *json, const char *name,
                         const struct quality_result *const *results, size_t count)
{
    json_put_name(json, name);
    json_put_array(json);
    for (size_t i = 0; i < count; i++)
        result_json(cli, json, results[i]);
    json_put_array_end(json);
}

static void check_json(struct cli *cli, struct json_writer *json, const struct quality_check *check)
{
    const struct quality_result_row *row = check->results[0]->row;

    json_put_object(json);
    json_put_name_text(json, "check", quality_kind_words[check->kind]);
    json_put_name_text(json, "outcome", quality_answer_words[check->outcome.answer]);
    json_put_name_text(json, "parameter", row->parameter);
    json_put_name_text(json, "made_by", str_empty(row->made_by) ? NULL : row->made_by);
    json_put_name_text(json, "at", instant_text(cli->mem, check->at));
    if (check->outcome.percent)
        json_put_name_number(json, "percent", exact_text(cli->mem, check->outcome.percent, 6));
    json_put_name_text(json, "words", check->outcome.words);
    json_put_name_text(json, "copied_from", check->rule->copied_from);
    json_put_name_bool(json, "in_doubt", check->in_doubt);
    results_json(cli, json, "results", check->results, check->count);
    results_json(cli, json, "concerned", check->concerned, check->concerned_count);
    json_put_object_end(json);
}

static void limit_json(struct cli *cli, struct json_writer *json, const struct coarse_limit *limit)
{
    json_put_object(json);
    json_put_name_text(json, "clause", limit->limit->key);
    json_put_name_text(json, "station", limit->limit->station);
    json_put_name_text(json, "parameter", limit->limit->parameter);
    json_put_name_text(json, "made_by",
                       str_empty(limit->row->made_by) ? NULL : limit->row->made_by);
    json_put_name_text(json, "method", str_empty(limit->row->method) ? NULL : limit->row->method);
    json_put_name_text(json, "told", limit->told);
    json_put_name_text(json, "told_as", limit->kind);
    json_put_name_text(json, "told_at", instant_text(cli->mem, limit->at));
    json_put_name_text(json, "bound", limit->bound);
    json_put_name_bool(json, "too_coarse", limit->answer != COARSE_FINE);
    json_put_name_text(json, "words", limit->words);
    json_put_object_end(json);
}

static void seen_json(struct cli *cli, const struct quality_seen *seen, day_number month)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "month", arena_printf(cli->mem, "%.7s", day_text(cli->mem, month)));
    json_put_name_int(&json, "asked_for", (int64_t)cli->farm.farm->quality.count);
    json_put_name(&json, "checks");
    json_put_array(&json);
    for (size_t i = 0; i < seen->checks.count; i++)
        check_json(cli, &json, &seen->checks.items[i]);
    json_put_array_end(&json);
    json_put_name(&json, "limits");
    json_put_array(&json);
    for (size_t i = 0; i < seen->limits.count; i++)
        limit_json(cli, &json, &seen->limits.items[i]);
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* --- the command ----------------------------------------------------------------------------- */

bool command_quality(struct cli *cli, struct err *err)
{
    struct quality_seen seen = {.checks = {.count = 0}};
    day_number month = DAY_NONE;

    if (!month_asked(cli, 0, &month, err) ||
        !quality_look(cli->db, cli->mem, &cli->farm, month, month_next(month) - 1, cli->now, &seen,
                      err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        seen_json(cli, &seen, month);
    if (say_aloud(cli))
        seen_say(cli, &seen, month);

    return true;
}
