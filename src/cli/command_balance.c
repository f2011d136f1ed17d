#include "app/energy_month.h"
#include "app/nutrient_month.h"
#include "base/table_text.h"
#include "cli/command_month.h"
#include "cli/command_works.h"
#include "cli/figure.h"
#include "cli/say.h"

/* --- nutrients ------------------------------------------------------------------------------- */

static char *kg_words(struct cli *cli, bool known, double kg)
{
    return known ? figure_text(cli->mem, kg) : arena_strdup(cli->mem, "not known");
}

static void balance_say(struct cli *cli, const struct nutrient_figures *figures)
{
    const struct table_column columns[] = {
        {figures->name, TABLE_LEFT}, {"kg", TABLE_POINT}, {"rests on", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));

    for (int i = 0; i < NUTRIENT_TERM_COUNT; i++) {
        if (i != NUTRIENT_HARVESTED)
            TABLE_TEXT_ADD(table, nutrient_term_name((enum nutrient_term)i),
                           kg_words(cli, figures->month.terms[i].known, figures->month.terms[i].kg),
                           figures->rests_on[i]);
    }
    TABLE_TEXT_ADD(table, "kept", kg_words(cli, figures->kept.known, figures->kept.kg),
                   figures->kept.known ? figures->kept_words
                                       : "a term is not known, which is not nothing");
    fprintf(cli->out, "%s\n", table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH));
}

static void balance_json(struct cli *cli, struct json_writer *json,
                         const struct nutrient_figures *figures)
{
    json_put_object(json);
    json_put_name_text(json, "name", figures->name);
    json_put_name_text(json, "parameter", figures->parameter);
    json_put_name(json, "terms");
    json_put_array(json);
    for (int i = 0; i < NUTRIENT_TERM_COUNT; i++) {
        if (i == NUTRIENT_HARVESTED)
            continue;
        json_put_object(json);
        json_put_name_text(json, "term", nutrient_term_name((enum nutrient_term)i));
        figure_json(json, cli->mem, "kg", figures->month.terms[i].known,
                    figures->month.terms[i].kg);
        json_put_name_text(json, "rests_on", figures->rests_on[i]);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    figure_json(json, cli->mem, "kept_kg", figures->kept.known, figures->kept.kg);
    json_put_object_end(json);
}

bool command_balance(struct cli *cli, struct err *err)
{
    struct nutrient_figures all[NUTRIENTS];
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);
    day_number month = DAY_NONE;

    if (!month_asked(cli, 0, &month, err) ||
        !nutrient_month_read(cli->db, cli->mem, &cli->farm, month, cli->now, all, err))
        return false;
    if (cli_has(cli, OPTION_JSON)) {
        json_put_object(&json);
        json_put_name(&json, "balances");
        json_put_array(&json);
        for (int i = 0; i < NUTRIENTS; i++)
            balance_json(cli, &json, &all[i]);
        json_put_array_end(&json);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    } else if (say_aloud(cli)) {
        fprintf(cli->out, "%s\n%s\n\n", say_farm(cli->mem, cli->farm.farm),
                month_words(cli->mem, month));
        for (int i = 0; i < NUTRIENTS; i++)
            balance_say(cli, &all[i]);
    }

    return true;
}

/* --- energy ---------------------------------------------------------------------------------- */

static void energy_say(struct cli *cli, const struct energy_month *month)
{
    const struct table_column columns[] = {
        {"pump of", TABLE_LEFT}, {"hours run", TABLE_POINT},          {"off", TABLE_POINT},
        {"kWh", TABLE_POINT},    {"kWh a 1000 animals", TABLE_POINT}, {"rests on", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));

    for (size_t i = 0; i < month->count; i++) {
        const struct energy_figures *one = &month->items[i];

        TABLE_TEXT_ADD(table, one->tank->station,
                       one->hours_told ? figure_text(cli->mem, one->hours.on_h) : "not told",
                       one->hours_told ? figure_text(cli->mem, one->hours.off_h) : "not told",
                       kg_words(cli, one->kwh_known, one->kwh),
                       kg_words(cli, one->kwh_known && one->animals_known, one->kwh_per_thousand),
                       one->words);
    }
    fputs(table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH), cli->out);
    for (size_t i = 0; i < month->count; i++) {
        const struct energy_figures *one = &month->items[i];

        if (one->hours_told && one->hours.unknown_h > 0.0)
            say_wrapped(cli->out, "", "  ",
                        arena_printf(cli->mem,
                                     "%s: for %.1f of %.0f hours nothing says whether it ran.",
                                     one->tank->station, one->hours.unknown_h, one->span_h));
        if (one->rows_waiting > 0)
            say_wrapped(
                cli->out, "", "  ",
                arena_printf(cli->mem,
                             "%s: %s set aside that %s or may be of its pump: not in "
                             "these figures; weirbook aside lists what waits.",
                             one->tank->station,
                             say_count(cli->mem, one->rows_waiting, "row waits", "rows wait"),
                             one->rows_waiting == 1 ? "is" : "are"));
    }
}

static void energy_one_json(struct cli *cli, struct json_writer *json,
                            const struct energy_figures *one)
{
    json_put_object(json);
    json_put_name_text(json, "tank", one->tank->station);
    figure_json(json, cli->mem, "hours_run", one->hours_told, one->hours.on_h);
    figure_json(json, cli->mem, "hours_off", one->hours_told, one->hours.off_h);
    figure_json(json, cli->mem, "hours_unknown", one->hours_told, one->hours.unknown_h);
    figure_json(json, cli->mem, "kwh", one->kwh_known, one->kwh);
    json_put_name_text(json, "source", one->kwh_known ? energy_source_name(one->source) : NULL);
    json_put_name_text(json, "rests_on", one->words);
    figure_json(json, cli->mem, "animals", one->animals_known, one->animals);
    figure_json(json, cli->mem, "kwh_per_thousand_animals", one->kwh_known && one->animals_known,
                one->kwh_per_thousand);
    json_put_name_int(json, "rows_waiting", one->rows_waiting);
    json_put_object_end(json);
}

bool command_energy(struct cli *cli, struct err *err)
{
    struct energy_month month = {0};
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);
    day_number of = DAY_NONE;

    if (!month_asked(cli, 0, &of, err) ||
        !energy_month_read(cli->db, cli->mem, &cli->farm, of, cli->now, &month, err))
        return false;
    if (cli_has(cli, OPTION_JSON)) {
        json_put_object(&json);
        json_put_name(&json, "pumps");
        json_put_array(&json);
        for (size_t i = 0; i < month.count; i++)
            energy_one_json(cli, &json, &month.items[i]);
        json_put_array_end(&json);
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    } else if (say_aloud(cli)) {
        fprintf(cli->out, "%s\n%s\n\n", say_farm(cli->mem, cli->farm.farm),
                month_words(cli->mem, of));
        energy_say(cli, &month);
    }

    return true;
}
