#include <math.h>

#include "app/tank_month.h"
#include "base/str.h"
#include "base/table_text.h"
#include "cli/command_month.h"
#include "cli/command_works.h"
#include "cli/figure.h"
#include "cli/say.h"
#include "cli/when.h"

static const double hour_s = 3600.0;

/* --- words ----------------------------------------------------------------------------------- */

static void tanks_table(struct cli *cli, const struct tank_month *month)
{
    const struct table_column columns[] = {{"tank", TABLE_LEFT},     {"volume m3", TABLE_POINT},
                                           {"area m2", TABLE_POINT}, {"flow m3/h", TABLE_POINT},
                                           {"nominal", TABLE_LEFT},  {"a day", TABLE_POINT},
                                           {"95 % new", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));

    for (size_t i = 0; i < month->tank_count; i++) {
        const struct tank_figures *tank = &month->tanks[i];
        bool known = tank->times_known;

        TABLE_TEXT_ADD(table, tank->tank->station, figure_text(cli->mem, tank->volume_m3),
                       tank->area_known ? figure_text(cli->mem, tank->area_m2) : "not told",
                       tank->flow->known ? figure_text(cli->mem, tank->flow->m3_per_h)
                                         : "not known",
                       known ? figure_time(cli->mem, tank->nominal_h * hour_s) : "not known",
                       known ? figure_text(cli->mem, tank->exchanges_per_day) : "not known",
                       known ? figure_time(cli->mem, tank->washout_h * hour_s) : "not known");
    }
    fprintf(cli->out, "%s\n", table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH));
    for (size_t i = 0; i < month->tank_count; i++) {
        const struct tank_figures *tank = &month->tanks[i];

        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem, "%s, flow: %s.", tank->tank->station,
                                 tank->times_known ? tank->flow->words : tank->why_not));
    }
}

static char *chain_names(struct cli *cli, const struct tank_month *month,
                         const struct flow_chain *chain)
{
    struct buf text = buf_new(cli->mem);

    for (size_t i = 0; i < chain->count; i++)
        buf_addf(&text, "%s%s", i ? " to " : "",
                 month->flows.stations[chain->stations[i]].station->key);

    return text.data;
}

static void chains_say(struct cli *cli, const struct tank_month *month)
{
    for (size_t i = 0; i < month->flows.chain_count; i++) {
        const struct flow_chain *chain = &month->flows.chains[i];
        char *names = chain_names(cli, month, chain);
        double longest_s = chain->known ? chain->delay.nine_tenths_h * hour_s : 0.0;

        if (!chain->known) {
            say_wrapped(cli->out, "", "  ",
                        arena_printf(cli->mem, "From %s: not known, %s.", names, chain->why_not));
            continue;
        }
        say_wrapped(
            cli->out, "", "  ",
            arena_printf(
                cli->mem,
                "From %s: of a sudden change at the first, a tenth has come through "
                "after %s, half after %s, nine tenths after %s (nominal, each tank "
                "mixed).",
                names, figure_time_beside(cli->mem, chain->delay.tenth_h * hour_s, longest_s),
                figure_time_beside(cli->mem, chain->delay.half_h * hour_s, longest_s),
                figure_time_beside(cli->mem, chain->delay.nine_tenths_h * hour_s, longest_s)));
    }
}

static void network_say(struct cli *cli, const struct tank_month *month)
{
    if (!month->flows.network_known) {
        say_wrapped(
            cli->out, "", "  ",
            arena_printf(cli->mem, "All paths together: not known, %s.", month->flows.why_not));
        return;
    }
    say_wrapped(cli->out, "", "  ",
                arena_printf(cli->mem,
                             "All paths together: %s m3/h of new water, which stays %s in all%s.",
                             figure_text(cli->mem, month->flows.fresh_m3_per_h),
                             figure_time(cli->mem, month->flows.total_h * hour_s),
                             month->flows.loops ? ", loops included" : ""));
    for (size_t i = 0; i < month->tank_count; i++) {
        const struct station_flow *flow = month->tanks[i].flow;

        if (flow->state_known && flow->state.returned_share > 1e-6)
            say_wrapped(cli->out, "", "  ",
                        arena_printf(cli->mem,
                                     "%s: %.0f %% of what comes in has been there before; its "
                                     "water came in from outside %s ago on average.",
                                     flow->station->key, flow->state.returned_share * 100.0,
                                     figure_time(cli->mem, flow->state.age_h * hour_s)));
    }
}

static void differences_say(struct cli *cli, const struct tank_month *month)
{
    for (size_t i = 0; i < month->tank_count; i++) {
        const struct tank_figures *tank = &month->tanks[i];

        for (size_t j = 0; j < tank->difference_count; j++) {
            const struct tank_difference *one = &tank->differences[j];

            say_wrapped(cli->out, "", "  ",
                        arena_printf(cli->mem,
                                     "%s, %s: ring %s, centre %s, ring less centre %s %s (means "
                                     "of %zu and %zu readings).",
                                     tank->tank->station, one->parameter,
                                     figure_text(cli->mem, one->mean.ring),
                                     figure_text(cli->mem, one->mean.centre),
                                     figure_text(cli->mem, one->difference.ring_less_centre),
                                     one->unit, one->ring_readings, one->centre_readings));
        }
    }
}

static void tanks_say(struct cli *cli, const struct tank_month *month, day_number of)
{
    fprintf(cli->out, "%s\n%s\n\n", say_farm(cli->mem, cli->farm.farm), month_words(cli->mem, of));
    tanks_table(cli, month);
    fputc('\n', cli->out);
    chains_say(cli, month);
    network_say(cli, month);
    differences_say(cli, month);
    say_wrapped(cli->out, "", "  ",
                "Nominal: volume over flow, as if all the water took part. Short cuts and dead "
                "corners make the real time shorter; a trial with dye or salt measures by how "
                "much (weirbook mixing-trial).");
}

/* --- JSON ------------------------------------------------------------------------------------ */

static void tank_json(struct cli *cli, struct json_writer *json, const struct tank_figures *tank)
{
    const struct station_flow *flow = tank->flow;

    json_put_object(json);
    json_put_name_text(json, "tank", tank->tank->station);
    figure_json(json, cli->mem, "volume_m3", true, tank->volume_m3);
    figure_json(json, cli->mem, "area_m2", tank->area_known, tank->area_m2);
    figure_json(json, cli->mem, "flow_m3_per_h", flow->known, flow->m3_per_h);
    json_put_name_text(json, "flow_rests_on", flow->words);
    figure_json(json, cli->mem, "nominal_h", tank->times_known, tank->nominal_h);
    figure_json(json, cli->mem, "exchanges_per_day", tank->times_known, tank->exchanges_per_day);
    figure_json(json, cli->mem, "washout_95_percent_h", tank->times_known, tank->washout_h);
    json_put_name_text(json, "not_known_because", tank->times_known ? NULL : tank->why_not);
    figure_json(json, cli->mem, "returned_share", flow->state_known, flow->state.returned_share);
    figure_json(json, cli->mem, "age_h", flow->state_known, flow->state.age_h);
    json_put_name(json, "ring_and_centre");
    json_put_array(json);
    for (size_t i = 0; i < tank->difference_count; i++) {
        json_put_object(json);
        json_put_name_text(json, "parameter", tank->differences[i].parameter);
        json_put_name_text(json, "unit", tank->differences[i].unit);
        figure_json(json, cli->mem, "ring", true, tank->differences[i].mean.ring);
        figure_json(json, cli->mem, "centre", true, tank->differences[i].mean.centre);
        figure_json(json, cli->mem, "ring_less_centre", true,
                    tank->differences[i].difference.ring_less_centre);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    json_put_object_end(json);
}

static void chain_json(struct cli *cli, struct json_writer *json, const struct tank_month *month,
                       const struct flow_chain *chain)
{
    json_put_object(json);
    json_put_name(json, "stations");
    json_put_array(json);
    for (size_t i = 0; i < chain->count; i++)
        json_put_text(json, month->flows.stations[chain->stations[i]].station->key);
    json_put_array_end(json);
    figure_json(json, cli->mem, "nominal_h", chain->known, chain->delay.nominal_h);
    figure_json(json, cli->mem, "tenth_h", chain->known, chain->delay.tenth_h);
    figure_json(json, cli->mem, "half_h", chain->known, chain->delay.half_h);
    figure_json(json, cli->mem, "nine_tenths_h", chain->known, chain->delay.nine_tenths_h);
    json_put_name_text(json, "not_known_because", chain->known ? NULL : chain->why_not);
    json_put_object_end(json);
}

static void tanks_json(struct cli *cli, const struct tank_month *month, day_number of)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "month", arena_printf(cli->mem, "%.7s", day_text(cli->mem, of)));
    json_put_name(&json, "tanks");
    json_put_array(&json);
    for (size_t i = 0; i < month->tank_count; i++)
        tank_json(cli, &json, &month->tanks[i]);
    json_put_array_end(&json);
    json_put_name(&json, "paths");
    json_put_array(&json);
    for (size_t i = 0; i < month->flows.chain_count; i++)
        chain_json(cli, &json, month, &month->flows.chains[i]);
    json_put_array_end(&json);
    figure_json(&json, cli->mem, "new_water_m3_per_h", month->flows.network_known,
                month->flows.fresh_m3_per_h);
    figure_json(&json, cli->mem, "stays_in_all_h", month->flows.network_known,
                month->flows.total_h);
    json_put_name_text(&json, "not_known_because", month->flows.why_not);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* STATION, MONTH or both: a month begins with a digit, no key does. */
bool works_words(struct cli *cli, const char **station, day_number *month, struct err *err)
{
    const char *first = cli->word_count > 0 ? cli->words[0] : NULL;
    bool named = first && !(first[0] >= '0' && first[0] <= '9');

    *station = named ? first : NULL;

    return month_asked(cli, named ? 1 : 0, month, err);
}

bool command_tanks(struct cli *cli, struct err *err)
{
    struct tank_month month = {0};
    const char *station = NULL;
    day_number of = DAY_NONE;

    if (!works_words(cli, &station, &of, err) ||
        !tank_month_read(cli->db, cli->mem, &cli->farm, station, of, cli->now, &month, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        tanks_json(cli, &month, of);
    else if (say_aloud(cli))
        tanks_say(cli, &month, of);

    return true;
}

/* --- a trial --------------------------------------------------------------------------------- */

static void trial_json(struct cli *cli, const struct mixing_result *result)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    figure_json(&json, cli->mem, "nominal_h", true, result->nominal_h);
    figure_json(&json, cli->mem, "real_h", true, result->real_h);
    figure_json(&json, cli->mem, "mixed_share", true, result->mixed_share);
    figure_json(&json, cli->mem, "mixed_share_low", true, result->share_low);
    figure_json(&json, cli->mem, "mixed_share_high", true, result->share_high);
    json_put_name_bool(&json, "over_one", result->over_one);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

/* As many decimals of a percent as tell the ends of the interval apart, at most 3. */
static int interval_decimals(const struct mixing_result *result)
{
    enum { MOST = 3 };
    double step = 1.0;
    int decimals = 0;

    while (decimals < MOST && isfinite(result->share_high) &&
           round(result->share_low * 100.0 * step) == round(result->share_high * 100.0 * step)) {
        step *= 10.0;
        decimals++;
    }

    return decimals;
}

static void trial_say(struct cli *cli, const struct mixing_result *result)
{
    int decimals = interval_decimals(result);
    double longest_s = fmax(result->nominal_h, result->real_h) * hour_s;
    const char *high = isfinite(result->share_high) ? arena_printf(cli->mem, "to %.*f %%", decimals,
                                                                   result->share_high * 100.0)
                                                    : "without an upper end";

    fprintf(cli->out, "%s: %.*f %% of the water takes part (95 %% interval from %.*f %% %s).\n",
            cli->words[0], decimals, result->mixed_share * 100.0, decimals,
            result->share_low * 100.0, high);
    fprintf(cli->out, "  nominal residence time  %s\n",
            figure_time_beside(cli->mem, result->nominal_h * hour_s, longest_s));
    fprintf(cli->out, "  by the trial            %s\n",
            figure_time_beside(cli->mem, result->real_h * hour_s, longest_s));
    if (result->over_one)
        say_wrapped(cli->out, "", "  ",
                    "More than all of it can't take part: water goes by the tank, or its volume "
                    "or flow in the records is wrong.");
}

bool command_mixing_trial(struct cli *cli, struct err *err)
{
    const struct zone *zone = cli->farm.farm->zone;
    struct mixing_result result = {0};
    struct decimal tends_to = {0};
    instant first = INSTANT_NONE;
    instant until = INSTANT_NONE;

    if (!when_instant(cli->mem, zone, cli->words[2], &first, err) ||
        !when_instant(cli->mem, zone, cli->words[3], &until, err))
        return false;
    if (!decimal_parse(cli->words[4], &tends_to)) {
        err_set(err, ERR_INVALID, "'%s' is not a number", cli->words[4]);
        return err_hint(err, "Write what the readings tend to: the inflow's own value, or 0 for "
                             "dye.");
    }
    if (!tank_trial_read(cli->db, cli->mem, &cli->farm, cli->words[0], cli->words[1],
                         decimal_double(tends_to), first, until, &result, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        trial_json(cli, &result);
    else if (say_aloud(cli))
        trial_say(cli, &result);

    return true;
}
