#include "cli/month_view.h"

#include "base/str.h"
#include "base/table_text.h"
#include "cli/say.h"

/* Rows set aside of the month; or, where a clause looks further, as many as it says of itself. */
static int set_aside_of(const struct judged_month *month)
{
    size_t most = month->loaded.asides.count;

    for (size_t i = 0; i < month->verdicts.count; i++) {
        const struct verdict *verdict = &month->verdicts.items[i];
        size_t own = verdict->set_aside - verdict->not_given;

        most = own > most ? own : most;
    }

    return (int)most;
}

struct month_tally month_tally_of(const struct judged_month *month, const char *licence)
{
    struct month_tally tally = {.set_aside = set_aside_of(month)};

    for (size_t i = 0; i < month->verdicts.count; i++) {
        if (licence && !str_equal(month->verdicts.items[i].limit->licence, licence))
            continue;
        switch (month->verdicts.items[i].standing) {
        case STANDING_WITHIN:
            tally.within++;
            break;
        case STANDING_OUTSIDE:
            tally.outside++;
            break;
        case STANDING_NOT_ASSESSABLE:
            tally.not_assessable++;
            break;
        case STANDING_NOTHING_DUE:
        default:
            tally.nothing_due++;
            break;
        }
    }
    for (size_t i = 0; i < month->intervals.count; i++)
        if (!licence || str_equal(month->intervals.items[i].interval->licence, licence))
            tally.missed += month->intervals.items[i].missed;

    return tally;
}

int month_status(const struct cli *cli, const struct month_tally *tally)
{
    if (!cli_has(cli, OPTION_STRICT))
        return EXIT_FINE;
    if (tally->outside > 0)
        return EXIT_OUTSIDE;

    return tally->not_assessable + tally->missed + tally->set_aside > 0 ? EXIT_INCOMPLETE
                                                                        : EXIT_FINE;
}

char *month_summary(struct arena *mem, const struct month_tally *tally)
{
    int limits = tally->within + tally->outside + tally->not_assessable + tally->nothing_due;

    return arena_printf(mem,
                        "%s: %d within, %d outside, %d not assessable, %d nothing due; %s missed; "
                        "%s set aside",
                        say_count(mem, limits, "limit", "limits"), tally->within, tally->outside,
                        tally->not_assessable, tally->nothing_due,
                        say_count(mem, tally->missed, "sample", "samples"),
                        say_count(mem, tally->set_aside, "value", "values"));
}

static void limits_say(struct cli *cli, const struct judged_month *month)
{
    const struct table_column columns[] = {{"limit", TABLE_LEFT}, {"verdict", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));
    bool shown = false;

    for (size_t i = 0; i < month->verdicts.count; i++) {
        const struct verdict *verdict = &month->verdicts.items[i];

        if (cli_has(cli, OPTION_BRIEF) && verdict->standing == STANDING_WITHIN)
            continue;
        shown = true;
        TABLE_TEXT_ADD(table, verdict->limit->key,
                       arena_printf(cli->mem, "%s%s", verdict->words,
                                    verdict->near_bound ? " - near the bound" : ""));
    }
    if (shown)
        fputs(table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH), cli->out);
    else
        fputs("Every limit is within.\n", cli->out);
}

static void intervals_say(struct cli *cli, const struct judged_month *month)
{
    const struct table_column columns[] = {{"sampling", TABLE_LEFT}, {"", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));
    bool shown = false;

    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        if (cli_has(cli, OPTION_BRIEF) && one->missed == 0)
            continue;
        shown = true;
        TABLE_TEXT_ADD(
            table, one->interval->key,
            arena_printf(
                cli->mem, "%s: %s%s", interval_words(cli->mem, one->interval),
                one->done > one->required
                    ? arena_printf(cli->mem, "%d taken, %d asked for", one->done, one->required)
                    : arena_printf(cli->mem, "%d of %d taken", one->done, one->required),
                one->missed ? arena_printf(cli->mem, ", %d missed", one->missed) : ""));
    }
    if (!shown)
        return;
    fprintf(cli->out, "\n%s", table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH));
    for (size_t i = 0; i < month->intervals.count; i++) {
        for (size_t j = 0; j < month->intervals.items[i].dues.count; j++) {
            const struct due *due = &month->intervals.items[i].dues.items[j];

            if (due->state == DUE_MISSED || due->state == DUE_LATE)
                say_wrapped(
                    cli->out,
                    arena_printf(cli->mem, "  %s ", month->intervals.items[i].interval->key),
                    "    ", due->words);
        }
    }
}

void month_say(struct cli *cli, const struct judged_month *month)
{
    struct month_tally tally = month_tally_of(month, NULL);

    fprintf(cli->out, "%s\n%s, by the farm's own copy of its licence:\n\n",
            say_farm(cli->mem, cli->farm.farm), month_words(cli->mem, month->from));
    limits_say(cli, month);
    intervals_say(cli, month);
    fputc('\n', cli->out);
    say_wrapped(cli->out, "", "  ", arena_printf(cli->mem, "%s.", month_summary(cli->mem, &tally)));
    fputs("The authority and the licence decide; this shows what the records say.\n", cli->out);
}

static void verdict_json(struct cli *cli, struct json_writer *json, const struct verdict *verdict)
{
    json_put_object(json);
    json_put_name_text(json, "limit", verdict->limit->key);
    json_put_name_text(json, "name", verdict->limit->name);
    json_put_name_text(json, "clause", verdict->limit->clause);
    json_put_name_text(json, "authority", verdict->limit->authority);
    json_put_name_text(json, "from", day_text(cli->mem, verdict->from));
    json_put_name_text(json, "to", day_text(cli->mem, verdict->to));
    json_put_name_text(json, "standing", standing_name(verdict->standing));
    json_put_name_text(json, "side",
                       verdict->side == SIDE_ABOVE   ? "above"
                       : verdict->side == SIDE_BELOW ? "below"
                                                     : NULL);
    json_put_name_bool(json, "so_far", verdict->so_far);
    json_put_name_bool(json, "near_bound", verdict->near_bound);
    json_put_name_text(json, "figure", verdict->figure_text);
    json_put_name_text(json, "compared", verdict->compared_text);
    json_put_name_text(json, "bound", verdict->bound_text);
    json_put_name_text(json, "unit", verdict->limit->unit);
    json_put_name_int(json, "samples", (int64_t)verdict->samples);
    json_put_name_int(json, "beyond", (int64_t)verdict->beyond);
    json_put_name_int(json, "less_thans", (int64_t)verdict->less_thans);
    json_put_name_int(json, "set_aside", (int64_t)verdict->set_aside);
    json_put_name_text(json, "reason", verdict->reason);
    json_put_name_text(json, "words", verdict->words);
    json_put_object_end(json);
}

static void due_json(struct cli *cli, struct json_writer *json, const struct due *due)
{
    json_put_object(json);
    json_put_name_text(json, "from", day_text(cli->mem, due->from));
    json_put_name_text(json, "due", day_text(cli->mem, due->due));
    json_put_name_text(json, "state", due_state_name(due->state));
    json_put_name_int(json, "required", due->required);
    json_put_name_int(json, "done", due->done);
    json_put_name_text(json, "reason", due->reason);
    json_put_name_text(json, "words", due->words);
    json_put_object_end(json);
}

void month_json(struct cli *cli, struct json_writer *json, const struct judged_month *month)
{
    struct month_tally tally = month_tally_of(month, NULL);

    json_put_object(json);
    json_put_name_text(json, "farm", cli->farm.farm->key);
    json_put_name_bool(json, "invented", cli->farm.farm->invented);
    json_put_name_text(json, "from", day_text(cli->mem, month->from));
    json_put_name_text(json, "to", day_text(cli->mem, month->to));
    json_put_name(json, "limits");
    json_put_array(json);
    for (size_t i = 0; i < month->verdicts.count; i++)
        verdict_json(cli, json, &month->verdicts.items[i]);
    json_put_array_end(json);
    json_put_name(json, "sampling");
    json_put_array(json);
    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        json_put_object(json);
        json_put_name_text(json, "interval", one->interval->key);
        json_put_name_int(json, "required", one->required);
        json_put_name_int(json, "done", one->done);
        json_put_name_int(json, "missed", one->missed);
        json_put_name(json, "dues");
        json_put_array(json);
        for (size_t j = 0; j < one->dues.count; j++)
            due_json(cli, json, &one->dues.items[j]);
        json_put_array_end(json);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    json_put_name_text(json, "summary", month_summary(cli->mem, &tally));
    json_put_object_end(json);
}
