#include "app/pump_stops.h"
#include "base/table_text.h"
#include "cli/command_month.h"
#include "cli/command_works.h"
#include "cli/figure.h"
#include "cli/say.h"

/* --- words ----------------------------------------------------------------------------------- */

static char *conditions_words(struct cli *cli, const struct oxygen_fall_conditions *conditions)
{
    struct buf text = buf_new(cli->mem);

    if (conditions->temperature_known)
        buf_addf(&text, "%s degC", figure_text(cli->mem, conditions->temperature_c));
    else
        buf_add_text(&text, "temperature not known");
    if (conditions->stock_known)
        buf_addf(&text, ", stock %s", figure_text(cli->mem, conditions->stock));
    else
        buf_add_text(&text, ", stock not known");
    if (conditions->feed_known)
        buf_addf(&text, ", feed %s", figure_text(cli->mem, conditions->feed));
    else
        buf_add_text(&text, ", feed not known");

    return text.data;
}

static char *rate_words(struct cli *cli, const struct pump_stop *stop)
{
    if (!stop->fitted)
        return arena_printf(cli->mem, "not known: %s", stop->why_not);

    return arena_printf(cli->mem, "%.3g (%.3g to %.3g)", stop->fall.fall_mg_per_l_h,
                        stop->fall.slow_mg_per_l_h, stop->fall.fast_mg_per_l_h);
}

static void stops_say(struct cli *cli, const struct pump_month *month)
{
    const struct table_column columns[] = {
        {"from", TABLE_LEFT},
        {"to", TABLE_LEFT},
        {"lowest mg/L", TABLE_POINT},
        {"fall mg/L an hour (95 %), and while it was off", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));
    const struct zone *zone = cli->farm.farm->zone;

    if (month->stops.count == 0) {
        fputs("No stop of the pump began in this month.\n", cli->out);
        return;
    }
    for (size_t i = 0; i < month->stops.count; i++) {
        const struct pump_stop *stop = &month->stops.items[i];

        TABLE_TEXT_ADD(table, zone_text(cli->mem, zone, stop->from),
                       stop->over ? zone_text(cli->mem, zone, stop->until) : "no end on record",
                       stop->lowest_known ? arena_printf(cli->mem, "%.2f%s", stop->lowest_mg_per_l,
                                                         stop->lowest_in_doubt ? " in doubt" : "")
                                          : "not read",
                       arena_printf(cli->mem, "%s; %s", rate_words(cli, stop),
                                    conditions_words(cli, &stop->record.conditions)));
    }
    fputs(table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH), cli->out);
}

/* What is left of an answer that counts from a reading. */
static double left_from_now(const struct cli *cli, const struct pump_answer *now, double seconds)
{
    double passed = (double)(cli->now - now->reading_at) / (double)SECOND_US;

    return seconds > passed ? seconds - passed : 0.0;
}

static char *answer_words(struct cli *cli, const struct pump_month *month)
{
    const struct oxygen_fall_answer *answer = &month->now.answer;
    const struct zone *zone = cli->farm.farm->zone;
    char *floor = figure_text(cli->mem, month->stops.floor_mg_per_l);

    if (answer->standing == OXYGEN_FALL_NOT_KNOWN)
        return arena_printf(cli->mem, "not known: %s", answer->why);
    if (answer->at_floor)
        return arena_printf(
            cli->mem, "none: %.2f mg/L at %s is at the floor of %s mg/L or under it",
            month->now.reading_mg_per_l, zone_text(cli->mem, zone, month->now.reading_at), floor);
    if (answer->standing == OXYGEN_FALL_NOT_WITHIN)
        return arena_printf(cli->mem, "%s (%s); nothing is said beyond it",
                            oxygen_fall_standing_name(answer->standing),
                            figure_time(cli->mem, answer->longest_s));

    return arena_printf(
        cli->mem, "%s to the floor of %s mg/L, by the rate to act on, from %.2f mg/L at %s%s",
        figure_time(cli->mem, left_from_now(cli, &month->now, answer->act_on_s)), floor,
        month->now.reading_mg_per_l, zone_text(cli->mem, zone, month->now.reading_at),
        answer->middle_known
            ? arena_printf(cli->mem, "; by the fitted rate %s",
                           figure_time(cli->mem, left_from_now(cli, &month->now, answer->middle_s)))
            : "");
}

/* What the answer rests on: the stop whose rate stands, and what the tank was like in it. */
static char *measured_words(struct cli *cli, const struct pump_answer *now)
{
    const struct oxygen_fall *fall = &now->answer.fall;

    return arena_printf(
        cli->mem,
        "Measured in the stop of %s: oxygen fell by %.3g mg/L an hour (%.3g to "
        "%.3g), taken as %.3g, at %s. Now: %s. The longest stop as hard as now "
        "went on for %s, of %s that count%s.",
        zone_text(cli->mem, cli->farm.farm->zone, now->measured->from), fall->fall_mg_per_l_h,
        fall->slow_mg_per_l_h, fall->fast_mg_per_l_h, oxygen_fall_rate_to_act_on(fall),
        conditions_words(cli, &now->measured->record.conditions),
        conditions_words(cli, &now->conditions), figure_time(cli->mem, now->answer.longest_s),
        say_count(cli->mem, (int64_t)now->answer.stops_counted, "stop", "stops"),
        now->answer.stops_counted == 1 ? "s" : "");
}

static void pump_say(struct cli *cli, const struct pump_month *month, day_number of)
{
    fprintf(cli->out, "%s\n%s, pump off in %s\n\n", say_farm(cli->mem, cli->farm.farm),
            month->tank->station, month_words(cli->mem, of));
    stops_say(cli, month);
    fputc('\n', cli->out);
    say_wrapped(cli->out,
                month->now.off_now ? "Time left, the pump being off: "
                                   : "Time left, were the pump to stop now: ",
                "  ", answer_words(cli, month));
    if (month->now.measured)
        say_wrapped(cli->out, "  ", "  ", measured_words(cli, &month->now));
    if (month->rows_waiting > 0)
        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem,
                                 "%s set aside that %s or may be of its pump or oxygen: not in "
                                 "any of this; weirbook aside lists what waits.",
                                 say_count(cli->mem, month->rows_waiting, "row waits", "rows wait"),
                                 month->rows_waiting == 1 ? "is" : "are"));
    say_wrapped(cli->out, "", "", oxygen_fall_caution);
}

/* --- JSON ------------------------------------------------------------------------------------ */

static void conditions_json(struct cli *cli, struct json_writer *json,
                            const struct oxygen_fall_conditions *conditions)
{
    figure_json(json, cli->mem, "temperature_c", conditions->temperature_known,
                conditions->temperature_c);
    figure_json(json, cli->mem, "stock", conditions->stock_known, conditions->stock);
    figure_json(json, cli->mem, "feed", conditions->feed_known, conditions->feed);
}

static void stop_json(struct cli *cli, struct json_writer *json, const struct pump_stop *stop)
{
    json_put_object(json);
    json_put_name_text(json, "from", instant_text(cli->mem, stop->from));
    json_put_name_text(json, "to", stop->over ? instant_text(cli->mem, stop->until) : NULL);
    figure_json(json, cli->mem, "lowest_mg_per_l", stop->lowest_known, stop->lowest_mg_per_l);
    json_put_name_bool(json, "lowest_in_doubt", stop->lowest_in_doubt);
    figure_json(json, cli->mem, "fall_mg_per_l_h", stop->fitted, stop->fall.fall_mg_per_l_h);
    figure_json(json, cli->mem, "fall_low_mg_per_l_h", stop->fitted, stop->fall.slow_mg_per_l_h);
    figure_json(json, cli->mem, "fall_high_mg_per_l_h", stop->fitted, stop->fall.fast_mg_per_l_h);
    json_put_name_text(json, "not_known_because", stop->fitted ? NULL : stop->why_not);
    conditions_json(cli, json, &stop->record.conditions);
    json_put_object_end(json);
}

static void measured_json(struct cli *cli, struct json_writer *json, const struct pump_answer *now)
{
    json_put_name(json, "measured");
    if (!now->measured) {
        json_put_null(json);
        return;
    }
    json_put_object(json);
    json_put_name_text(json, "from", instant_text(cli->mem, now->measured->from));
    figure_json(json, cli->mem, "fall_mg_per_l_h", true, now->answer.fall.fall_mg_per_l_h);
    figure_json(json, cli->mem, "acted_on_mg_per_l_h", true,
                oxygen_fall_rate_to_act_on(&now->answer.fall));
    figure_json(json, cli->mem, "longest_s", true, now->answer.longest_s);
    json_put_name_int(json, "stops_counted", (int64_t)now->answer.stops_counted);
    conditions_json(cli, json, &now->measured->record.conditions);
    json_put_object_end(json);
}

static void pump_json(struct cli *cli, const struct pump_month *month)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);
    const struct oxygen_fall_answer *answer = &month->now.answer;
    bool left = answer->standing == OXYGEN_FALL_TIME_LEFT;

    json_put_object(&json);
    json_put_name_text(&json, "tank", month->tank->station);
    json_put_name(&json, "stops");
    json_put_array(&json);
    for (size_t i = 0; i < month->stops.count; i++)
        stop_json(cli, &json, &month->stops.items[i]);
    json_put_array_end(&json);
    json_put_name_text(&json, "answer", oxygen_fall_standing_name(answer->standing));
    json_put_name_text(&json, "not_known_because", answer->why);
    figure_json(&json, cli->mem, "time_left_s", left,
                left_from_now(cli, &month->now, answer->act_on_s));
    figure_json(&json, cli->mem, "time_left_by_fitted_rate_s", left && answer->middle_known,
                left_from_now(cli, &month->now, answer->middle_s));
    measured_json(cli, &json, &month->now);
    json_put_name_text(&json, "words", answer_words(cli, month));
    json_put_name_int(&json, "rows_waiting", month->rows_waiting);
    json_put_name_text(&json, "caution", oxygen_fall_caution);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_pump_stops(struct cli *cli, struct err *err)
{
    struct pump_month month = {0};
    day_number of = DAY_NONE;

    if (!month_asked(cli, 1, &of, err) ||
        !pump_month_read(cli->db, cli->mem, &cli->farm, cli->words[0], of, cli->now, &month, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        pump_json(cli, &month);
    else if (say_aloud(cli))
        pump_say(cli, &month, of);

    return true;
}
