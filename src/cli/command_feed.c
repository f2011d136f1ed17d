#include "app/feed_month.h"
#include "base/table_text.h"
#include "cli/command_month.h"
#include "cli/command_works.h"
#include "cli/figure.h"
#include "cli/say.h"

static char *mean_words(struct cli *cli, const struct feed_mean *mean)
{
    return mean->known ? figure_text(cli->mem, mean->value) : arena_strdup(cli->mem, "not read");
}

/* Cells are told by the million. */
static char *taken_words(struct cli *cli, const struct feed_figures *line, double taken)
{
    return line->is_cells
               ? arena_printf(cli->mem, "%s million %s", figure_text(cli->mem, taken / 1e6),
                              line->taken_unit)
               : arena_printf(cli->mem, "%s %s", figure_text(cli->mem, taken), line->taken_unit);
}

/* Why it is not known, and what has to be read for it. */
static char *uptake_missing(struct cli *cli, const struct feed_tank *tank,
                            const struct feed_figures *line)
{
    enum feed_place place = line->means[FEED_INLET].known ? FEED_OUTLET : FEED_INLET;

    if (!tank->flow->known)
        return arena_printf(cli->mem, "not known: %s", tank->flow->words);
    if (place == FEED_INLET && line->inlet_missing)
        return arena_printf(cli->mem, "not known: %s; read it %s", line->inlet_missing,
                            tank->where[FEED_INLET]);
    if (place == FEED_OUTLET && line->means[FEED_OUTLET].known && tank->out_shared)
        return arena_printf(cli->mem,
                            "not known: %s, so out is no figure of this tank; read it at %s, "
                            "position outlet",
                            tank->out_shared, tank->tank->station);

    return arena_printf(cli->mem, "not known: nothing is read of what %s; read it %s",
                        place == FEED_INLET ? "comes in" : "goes out", tank->where[place]);
}

/* How much: of a turbidity there is no amount, only a share. */
static void amount_add_words(struct cli *cli, const struct feed_tank *tank,
                             const struct feed_figures *line, struct buf *text)
{
    if (line->taken_unit)
        buf_addf(text, "%s, ", taken_words(cli, line, line->taken_per_h));
    if (line->uptake.share_known)
        buf_addf(text, "%.0f %% of what came in", line->uptake.share * 100.0);
    else
        buf_add_text(text, "nothing came in");
    if (line->taken_unit && tank->animals_known)
        buf_addf(text, "; %s for each thousand animals",
                 taken_words(cli, line, line->taken_per_h / tank->animals * 1000.0));
}

/* What was taken up, or why that is not known. */
static char *uptake_words(struct cli *cli, const struct feed_tank *tank,
                          const struct feed_figures *line)
{
    struct buf text = buf_new(cli->mem);

    if (!line->uptake_known)
        return uptake_missing(cli, tank, line);
    amount_add_words(cli, tank, line, &text);
    if (line->clearance_known)
        buf_addf(&text, "; as much as %s m3 an hour emptied of it",
                 figure_text(cli->mem, line->clearance_m3_per_h));
    if (line->uptake.on_the_way_known)
        buf_addf(&text, "; %.0f %% lost between pond and tank",
                 line->uptake.lost_on_the_way * 100.0);
    if (line->inlet_is_pond)
        buf_add_text(&text, "; nothing is read at the inlet, so the pond's stands for it");
    if (line->inlet_mix_of)
        buf_addf(&text, "; nothing is read at the inlet: in is the mix of %s by their flows",
                 line->inlet_mix_of);

    return text.data;
}

/* What to read, and where, for a tank of which nothing can be told. */
static void missing_say(struct cli *cli, const struct feed_tank *tank)
{
    const char *where =
        arena_printf(cli->mem, "%s (feed pond), %s (in), and %s (out)", tank->where[FEED_POND],
                     tank->where[FEED_INLET], tank->where[FEED_OUTLET]);
    bool sized = tank->below[FEED_POND].known || tank->below[FEED_INLET].known ||
                 tank->below[FEED_OUTLET].known;

    if (tank->line_count == 0)
        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem,
                                 "%s: nothing that tells of feed was read. Read chlorophyll, "
                                 "turbidity or a parameter of your own in cells/mL %s.",
                                 tank->tank->station, where));
    if (tank->size_told && !sized)
        say_wrapped(cli->out, "", "  ",
                    arena_printf(cli->mem,
                                 "%s: no sizes were read. Read a parameter of your own called "
                                 "particles-below-%.6gum, in %%, %s; two sizes around it do too.",
                                 tank->tank->station, tank->below_um, where));
}

static void tank_say(struct cli *cli, const struct feed_tank *tank)
{
    const struct table_column columns[] = {{tank->tank->station, TABLE_LEFT},
                                           {"feed pond", TABLE_POINT},
                                           {"in", TABLE_POINT},
                                           {"out", TABLE_POINT},
                                           {"taken up", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));
    struct feed_mean below[FEED_PLACES];

    for (size_t i = 0; i < tank->line_count; i++) {
        const struct feed_figures *line = &tank->lines[i];

        TABLE_TEXT_ADD(table, arena_printf(cli->mem, "%s, %s", line->parameter, line->unit),
                       mean_words(cli, &line->means[FEED_POND]),
                       line->inlet_is_pond ? "not read" : mean_words(cli, &line->means[FEED_INLET]),
                       mean_words(cli, &line->means[FEED_OUTLET]), uptake_words(cli, tank, line));
    }
    for (int i = 0; i < FEED_PLACES; i++) {
        below[i] = tank->below[i];
        below[i].value *= 100.0;
    }
    if (tank->size_told)
        TABLE_TEXT_ADD(
            table, arena_printf(cli->mem, "below %s um, %%", figure_text(cli->mem, tank->below_um)),
            mean_words(cli, &below[FEED_POND]), mean_words(cli, &below[FEED_INLET]),
            mean_words(cli, &below[FEED_OUTLET]), "share of all particles");
    fprintf(cli->out, "%s\n", table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH));
}

static void line_json(struct cli *cli, struct json_writer *json, const struct feed_tank *tank,
                      const struct feed_figures *line)
{
    json_put_object(json);
    json_put_name_text(json, "parameter", line->parameter);
    json_put_name_text(json, "unit", line->unit);
    figure_json(json, cli->mem, "feed_pond", line->means[FEED_POND].known,
                line->means[FEED_POND].value);
    figure_json(json, cli->mem, "in", line->means[FEED_INLET].known, line->means[FEED_INLET].value);
    json_put_name_bool(json, "in_is_feed_pond", line->inlet_is_pond);
    json_put_name_text(json, "in_is_mix_of", line->inlet_mix_of);
    figure_json(json, cli->mem, "out", line->means[FEED_OUTLET].known,
                line->means[FEED_OUTLET].value);
    figure_json(json, cli->mem, "taken_up", line->uptake_known && line->taken_unit,
                line->taken_per_h);
    json_put_name_text(json, "taken_up_unit", line->taken_unit);
    figure_json(json, cli->mem, "taken_up_per_thousand_animals",
                line->uptake_known && line->taken_unit && tank->animals_known,
                tank->animals_known ? line->taken_per_h / tank->animals * 1000.0 : 0.0);
    figure_json(json, cli->mem, "share_taken_up", line->uptake_known && line->uptake.share_known,
                line->uptake.share);
    figure_json(json, cli->mem, "clearance_m3_per_h", line->clearance_known,
                line->clearance_m3_per_h);
    json_put_name_text(json, "words", uptake_words(cli, tank, line));
    json_put_object_end(json);
}

static void tank_json(struct cli *cli, struct json_writer *json, const struct feed_tank *tank)
{
    json_put_object(json);
    json_put_name_text(json, "tank", tank->tank->station);
    json_put_name_text(json, "out_shared", tank->out_shared);
    json_put_name(json, "feed");
    json_put_array(json);
    for (size_t i = 0; i < tank->line_count; i++)
        line_json(cli, json, tank, &tank->lines[i]);
    json_put_array_end(json);
    figure_json(json, cli->mem, "below_um", tank->size_told, tank->below_um);
    json_put_name(json, "share_below");
    json_put_object(json);
    for (int i = 0; i < FEED_PLACES; i++)
        figure_json(json, cli->mem, feed_place_name((enum feed_place)i), tank->below[i].known,
                    tank->below[i].value);
    json_put_object_end(json);
    json_put_object_end(json);
}

static void feed_json(struct cli *cli, const struct feed_month *month)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "tanks");
    json_put_array(&json);
    for (size_t i = 0; i < month->count; i++)
        tank_json(cli, &json, &month->items[i]);
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

bool command_feed(struct cli *cli, struct err *err)
{
    struct feed_month month = {0};
    day_number of = DAY_NONE;

    if (!month_asked(cli, 0, &of, err) ||
        !feed_month_read(cli->db, cli->mem, &cli->farm, of, cli->now, &month, err))
        return false;
    if (cli_has(cli, OPTION_JSON)) {
        feed_json(cli, &month);
    } else if (say_aloud(cli)) {
        fprintf(cli->out, "%s\n%s, means of the month\n\n", say_farm(cli->mem, cli->farm.farm),
                month_words(cli->mem, of));
        for (size_t i = 0; i < month.count; i++) {
            tank_say(cli, &month.items[i]);
            missing_say(cli, &month.items[i]);
        }
        say_wrapped(cli->out, "", "  ",
                    "Taken up is flow times what came in less what went out: eaten, settled or "
                    "dead, all of it.");
    }

    return true;
}
