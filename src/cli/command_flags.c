#include "cli/command_flags.h"

#include "app/look_flags.h"
#include "base/str.h"
#include "cli/command_month.h"
#include "cli/say.h"

/* Spans shown at once; the rest is counted. */
enum { SPANS_SHOWN = 100 };

static const char *flag_word(enum trust_flag flag)
{
    return flag == FLAG_FAIL ? "fail" : "suspect";
}

static const char *unit_of(const struct cli *cli, const struct flag_view *view)
{
    const struct parameter *parameter =
        parameter_find(&cli->farm.farm->known_parameters, view->parameter);

    return parameter && parameter->unit ? parameter->unit : "";
}

/* --- words ----------------------------------------------------------------------------------- */

static bool same_head(const struct flag_view *a, const struct flag_view *b)
{
    return a->series_id == b->series_id && a->span.test == b->span.test &&
           a->span.flag == b->span.flag && str_equal(a->words, b->words);
}

/* "oxygen at outlet, deep, by probe 7; flat line, fail: moved by no more than ..." */
static void head_say(struct cli *cli, const struct flag_view *view)
{
    char *where = arena_printf(cli->mem, "%s at %s%s%s%s%s; ", view->parameter, view->station,
                               str_empty(view->position) ? "" : ", ", view->position,
                               str_empty(view->made_by) ? "" : ", by ", view->made_by);

    say_wrapped(cli->out, where, "  ",
                arena_printf(cli->mem, "%s, %s: %s", sensor_test_words[view->span.test],
                             flag_word(view->span.flag), view->words));
}

static void span_say(struct cli *cli, const struct flag_view *view)
{
    const struct zone *zone = cli->farm.farm->zone;
    const struct flag_span *span = &view->span;

    fprintf(cli->out, "  %s", zone_text(cli->mem, zone, span->from));
    if (span->until != span->from)
        fprintf(cli->out, " to %s", zone_text(cli->mem, zone, span->until));
    if (span->test == SENSOR_GAP)
        fputs(": no reading between\n", cli->out);
    else if (span->values == 1)
        fprintf(cli->out, ": %.6g %s\n", span->value, unit_of(cli, view));
    else
        fprintf(cli->out, ": %s readings, the first %.6g %s\n", say_number(cli->mem, span->values),
                span->value, unit_of(cli, view));
}

/* A gap puts none in doubt. */
static bool any_in_doubt(const struct flag_views *views)
{
    size_t i = 0;

    while (i < views->count && views->items[i].span.test == SENSOR_GAP)
        i++;

    return i < views->count;
}

static void flags_say(struct cli *cli, const struct flag_views *views, day_number month)
{
    size_t shown =
        cli_has(cli, OPTION_ALL) || views->count < SPANS_SHOWN ? views->count : SPANS_SHOWN;

    fprintf(cli->out, "%s, %s: %s\n", say_farm(cli->mem, cli->farm.farm),
            month_words(cli->mem, month),
            views->count == 0
                ? "no reading is flagged"
                : say_count(cli->mem, (int64_t)views->count, "flagged span", "flagged spans"));
    if (cli->farm.farm->sensor_tests.count == 0)
        say_wrapped(cli->out, "", "  ",
                    "The farm file asks for no tests: it has no `sensor tests:`.");
    for (size_t i = 0; i < shown; i++) {
        if (i == 0 || !same_head(&views->items[i - 1], &views->items[i]))
            head_say(cli, &views->items[i]);
        span_say(cli, &views->items[i]);
    }
    if (shown < views->count)
        fprintf(cli->out, "... and %s more: --all lists every one.\n",
                say_number(cli->mem, (int64_t)(views->count - shown)));
    if (!any_in_doubt(views))
        return;
    say_wrapped(cli->out, "", "  ",
                "What is suspect or fails is in doubt: it can stop a verdict and never clear one. "
                "To leave a reading out takes a person and a reason: weirbook leave-out.");
    say_next(cli, "weirbook check");
}

/* --- JSON ------------------------------------------------------------------------------------ */

static void view_json(struct cli *cli, struct json_writer *json, const struct flag_view *view)
{
    const struct flag_span *span = &view->span;

    json_put_object(json);
    json_put_name_text(json, "station", view->station);
    json_put_name_text(json, "position", str_empty(view->position) ? NULL : view->position);
    json_put_name_text(json, "parameter", view->parameter);
    json_put_name_text(json, "made_by", str_empty(view->made_by) ? NULL : view->made_by);
    json_put_name_text(json, "test", sensor_test_words[span->test]);
    json_put_name_text(json, "flag", flag_word(span->flag));
    json_put_name_int(json, "flag_number", span->flag);
    json_put_name_text(json, "from", instant_text(cli->mem, span->from));
    json_put_name_text(json, "until", instant_text(cli->mem, span->until));
    json_put_name_int(json, "readings", span->values);
    json_put_name_number(json, "first_value", arena_printf(cli->mem, "%.12g", span->value));
    json_put_name_text(json, "unit", unit_of(cli, view));
    json_put_name_bool(json, "in_doubt", span->test != SENSOR_GAP);
    json_put_name_text(json, "words", view->words);
    json_put_object_end(json);
}

static void flags_json(struct cli *cli, const struct flag_views *views, day_number month)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "month", arena_printf(cli->mem, "%.7s", day_text(cli->mem, month)));
    json_put_name_int(&json, "tests", (int64_t)cli->farm.farm->sensor_tests.count);
    json_put_name(&json, "flags");
    json_put_array(&json);
    for (size_t i = 0; i < views->count; i++)
        view_json(cli, &json, &views->items[i]);
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* --- the command ----------------------------------------------------------------------------- */

/* A month begins with a digit, no station does. */
static bool names_given(const struct cli *cli)
{
    return cli->word_count > 0 && !(cli->words[0][0] >= '0' && cli->words[0][0] <= '9');
}

bool command_flags(struct cli *cli, struct err *err)
{
    bool named = names_given(cli);
    struct flag_views views = {.count = 0};
    day_number month = DAY_NONE;

    if (named && cli->word_count < 2) {
        err_set(err, ERR_INVALID, "the parameter of %s is missing", cli->words[0]);
        return err_hint(err, "As `weirbook flags outlet oxygen 2026-03`, or a month alone.");
    }
    if (!named && cli->word_count > 1) {
        err_set(err, ERR_INVALID, "'%s' is too much", cli->words[1]);
        return err_hint(err, "Either a month alone, or a station, its parameter and a month.");
    }
    if (!month_asked(cli, named ? 2 : 0, &month, err) ||
        !flags_look(cli->db, cli->mem, &cli->farm, named ? cli->words[0] : NULL,
                    named ? cli->words[1] : NULL, month, month_next(month) - 1, &views, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        flags_json(cli, &views, month);
    if (say_aloud(cli))
        flags_say(cli, &views, month);

    return true;
}
