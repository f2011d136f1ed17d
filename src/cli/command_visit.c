#include "cli/command_visit.h"

#include "app/probe_visits.h"
#include "base/file.h"
#include "base/str.h"
#include "base/table_text.h"
#include "cli/command_farm.h"
#include "cli/say.h"
#include "cli/visit_words.h"
#include "cli/when.h"

bool visit_number(const char *typed, int *out, struct err *err)
{
    struct decimal number = {0};

    if (decimal_parse(typed, &number) && number.scale == 0 && number.coefficient > 0 &&
        number.coefficient <= INT32_MAX) {
        *out = (int)number.coefficient;
        return true;
    }
    err_set(err, ERR_INVALID, "'%s' is not the number of a visit", typed);

    return err_hint(err, "`weirbook visit list` shows them with their numbers.");
}

/* --- one visit ------------------------------------------------------------------------------- */

static void done_say(struct cli *cli, const struct visit_done *done)
{
    const struct probe_visit_row *row = &done->row;
    bool failed = false;

    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        visit_json(cli, &json, row);
        json_end(&json);
        say_json(cli, &text);
    }
    if (!say_aloud(cli))
        return;
    fprintf(cli->out, "Recorded as visit %d to %s, %s.\n", row->visit, row->instrument,
            zone_text(cli->mem, cli->farm.farm->zone, row->at));
    for (size_t i = 0; i < row->check_count; i++) {
        const struct probe_check_row *check = &row->checks[i];

        say_wrapped(cli->out, "  ", "    ", visit_outcome_words(cli->mem, check));
        if (check->found == PROBE_FAILED)
            say_next(cli, "weirbook visit proposal %d %s", row->visit, check->read.parameter);
        failed = failed || check->found == PROBE_FAILED;
    }
    if (!failed)
        say_next(cli, "weirbook instruments");
}

static bool record(struct cli *cli, const struct visit_order *order, struct err *err)
{
    struct visit_done done = {.opened = 0};

    if (!visit_record(cli->db, cli->mem, &cli->farm, order, &cli->act, &done, err))
        return false;
    done_say(cli, &done);

    return true;
}

bool command_visit_record(struct cli *cli, struct err *err)
{
    struct farmfile_problems problems = {0};
    struct visit_order order = {.at = INSTANT_NONE};
    size_t length = 0;
    char *text = NULL;

    if (!file_read(cli->mem, cli->words[0], VISIT_BYTES_MOST, &text, &length, err))
        return false;
    if (!visit_file_read(cli->mem, text, length, cli->farm.farm, cli->farm.units, &order, &problems,
                         err))
        return problems_say(cli, cli->words[0], &problems, err);

    return record(cli, &order, err);
}

bool command_visit_check(struct cli *cli, struct err *err)
{
    struct visit_typed typed = {.instrument = cli->words[0],
                                .parameter = cli->words[1],
                                .standard = cli->words[3],
                                .read = cli->words[4],
                                .after = cli->word_count > 5 ? cli->words[5] : NULL,
                                .unit = cli->values[OPTION_UNIT],
                                .name = cli->values[OPTION_WHAT],
                                .lot = cli->values[OPTION_LOT],
                                .expires = cli->values[OPTION_EXPIRES],
                                .note = cli->values[OPTION_BECAUSE]};
    struct visit_order order = {.at = INSTANT_NONE};

    return when_instant(cli->mem, cli->farm.farm->zone, cli->words[2], &typed.at, err) &&
           visit_typed_read(cli->mem, cli->farm.farm, cli->farm.units, &typed, &order, err) &&
           record(cli, &order, err);
}

bool command_visit_withdraw(struct cli *cli, struct err *err)
{
    int visit = 0;

    if (!visit_number(cli->words[0], &visit, err) ||
        !visit_withdraw(cli->db, cli->mem, &cli->farm, visit, cli->values[OPTION_BECAUSE],
                        cli->values[OPTION_SECOND], &cli->act, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out, "{\"withdrawn\":%d}\n", visit);
    if (say_aloud(cli))
        fprintf(cli->out, "Visit %d is withdrawn. It stays on record, and nothing rests on it.\n",
                visit);
    say_next(cli, "weirbook check");

    return true;
}

/* --- lists ----------------------------------------------------------------------------------- */

static bool is_listed(const struct cli *cli, const struct probe_visit_row *row)
{
    return (!row->withdrawn || cli_has(cli, OPTION_ALL)) &&
           (cli->word_count == 0 || str_equal(row->instrument, cli->words[0]));
}

static void list_json(struct cli *cli, const struct probe_book *book)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "visits");
    json_put_array(&json);
    for (size_t i = 0; i < book->visits.count; i++)
        if (is_listed(cli, &book->visits.items[i]))
            visit_json(cli, &json, &book->visits.items[i]);
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static char *visit_summary(struct cli *cli, const struct probe_visit_row *row)
{
    struct buf text = buf_new(cli->mem);

    for (size_t i = 0; i < row->check_count; i++)
        buf_addf(&text, "%s%s found %s", i ? "; " : "", row->checks[i].read.parameter,
                 probe_result_words[row->checks[i].found]);
    if (row->maintenance)
        buf_addf(&text, "%s%s", text.len ? "; " : "", row->maintenance);
    if (row->withdrawn)
        buf_addf(&text, "; withdrawn: %s", row->withdrawn);

    return text.data;
}

bool command_visit_list(struct cli *cli, struct err *err)
{
    const struct table_column columns[] = {{"visit", TABLE_RIGHT},
                                           {"at", TABLE_LEFT},
                                           {"instrument", TABLE_LEFT},
                                           {"by", TABLE_LEFT},
                                           {"what", TABLE_LEFT}};
    struct table_text *table = table_text_new(cli->mem, columns, ARRAY_LEN(columns));
    struct probe_book book;
    size_t shown = 0;

    if (!visits_read(cli->db, cli->mem, &cli->farm, &book, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        list_json(cli, &book);
    if (!say_aloud(cli))
        return true;
    for (size_t i = 0; i < book.visits.count; i++) {
        const struct probe_visit_row *row = &book.visits.items[i];

        if (!is_listed(cli, row))
            continue;
        shown++;
        TABLE_TEXT_ADD(table, arena_printf(cli->mem, "%d", row->visit),
                       zone_text(cli->mem, cli->farm.farm->zone, row->at), row->instrument,
                       row->person, visit_summary(cli, row));
    }
    fputs(shown ? table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH)
                : "No visit to an instrument is on record.\n",
          cli->out);

    return true;
}

bool command_visit_show(struct cli *cli, struct err *err)
{
    const struct probe_visit_row *row;
    struct probe_book book;
    int visit = 0;

    if (!visit_number(cli->words[0], &visit, err) ||
        !visits_read(cli->db, cli->mem, &cli->farm, &book, err))
        return false;
    row = probe_book_visit(&book, visit);
    if (!row) {
        err_set(err, ERR_NOT_FOUND, "there is no visit %d", visit);
        return err_hint(err, "`weirbook visit list` shows them with their numbers.");
    }
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        visit_json(cli, &json, row);
        json_end(&json);
        say_json(cli, &text);
    }
    if (say_aloud(cli))
        visit_say(cli, &book, row);

    return true;
}

/* --- instruments ----------------------------------------------------------------------------- */

static void track_json(struct cli *cli, struct json_writer *json, const struct probe_book *book,
                       const struct probe_track *track)
{
    const struct probe_visit *good = probe_last_good(track->visits, track->count, cli->now);
    instant due = probe_due(track->visits, track->count, &track->rule);

    json_put_object(json);
    json_put_name_text(json, "instrument", track->instrument->key);
    json_put_name_text(json, "serial_number", track->instrument->serial);
    json_put_name_text(json, "kind", farm_instrument_kind_words[track->instrument->kind]);
    json_put_name_text(json, "station", track->instrument->station);
    json_put_name_text(json, "position", track->instrument->position);
    json_put_name_text(json, "parameter", track->check->parameter);
    json_put_name_int(json, "last_good_visit", good ? good->visit : 0);
    json_put_name_text(json, "last_good_at", good ? instant_text(cli->mem, good->at) : NULL);
    json_put_name_text(json, "due_at", due == INSTANT_NONE ? NULL : instant_text(cli->mem, due));
    json_put_name_text(json, "state", track_state(cli->mem, book, track, cli->now));
    json_put_object_end(json);
}

static void instruments_json(struct cli *cli, const struct probe_book *book,
                             const struct series_rows *strangers)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "instruments");
    json_put_array(&json);
    for (size_t i = 0; i < book->count; i++)
        track_json(cli, &json, book, &book->tracks[i]);
    json_put_array_end(&json);
    json_put_name(&json, "not_on_record");
    json_put_array(&json);
    for (size_t i = 0; i < strangers->count; i++) {
        json_put_object(&json);
        json_put_name_text(&json, "made_by", strangers->items[i].made_by);
        json_put_name_text(&json, "station", strangers->items[i].station);
        json_put_name_text(&json, "position", strangers->items[i].position);
        json_put_name_text(&json, "parameter", strangers->items[i].parameter);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void track_say(struct cli *cli, const struct probe_book *book,
                      const struct probe_track *track)
{
    const struct probe_visit *good = probe_last_good(track->visits, track->count, cli->now);
    instant due = probe_due(track->visits, track->count, &track->rule);
    const struct zone *zone = cli->farm.farm->zone;

    say_wrapped(cli->out, arena_printf(cli->mem, "  %s: ", track->check->parameter), "    ",
                track_state(cli->mem, book, track, cli->now));
    fprintf(cli->out, "    last good check %s, due %s\n",
            good ? arena_printf(cli->mem, "%s (visit %d)", zone_text(cli->mem, zone, good->at),
                                good->visit)
                 : "none on record",
            due == INSTANT_NONE ? "never: the farm file asks for none"
            : good              ? zone_text(cli->mem, zone, due)
                                : "now");
}

static void strangers_say(struct cli *cli, const struct series_rows *strangers)
{
    if (strangers->count == 0)
        return;
    fputs("Readings whose instrument is not on record, so that nothing is known of its checks:\n",
          cli->out);
    for (size_t i = 0; i < strangers->count; i++) {
        const struct series_row *row = &strangers->items[i];

        fprintf(cli->out, "  %s of %s, %s\n", row->parameter,
                farm_position_text(cli->mem, row->station, row->position),
                str_empty(row->made_by) ? "no instrument named" : row->made_by);
    }
}

bool command_instruments(struct cli *cli, struct err *err)
{
    struct series_rows strangers = {0};
    struct probe_book book;

    if (!instruments_read(cli->db, cli->mem, &cli->farm, &book, &strangers, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        instruments_json(cli, &book, &strangers);
    if (!say_aloud(cli))
        return true;
    if (book.count == 0)
        fputs("The farm file has no `instruments:`.\n", cli->out);
    for (size_t i = 0; i < book.count; i++) {
        const struct farm_instrument *instrument = book.tracks[i].instrument;

        if (i == 0 || book.tracks[i - 1].instrument != instrument)
            say_wrapped(cli->out, "", "  ", instrument_words(cli->mem, instrument));
        track_say(cli, &book, &book.tracks[i]);
    }
    strangers_say(cli, &strangers);

    return true;
}
