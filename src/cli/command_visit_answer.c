/* Of command_visit.h: what a visit proposes, and what a person answers. */
#include "app/probe_answers.h"
#include "base/str.h"
#include "cli/command_visit.h"
#include "cli/say.h"
#include "cli/visit_words.h"

/* --- proposal -------------------------------------------------------------------------------- */

static const char *error_words(struct arena *mem, const struct exact *error, const char *unit)
{
    return error ? arena_printf(mem, "%s %s", exact_text(mem, error, 12), unit) : NULL;
}

static void offer_json(struct cli *cli, const struct probe_offer *offer)
{
    const struct probe_answer *answer = &offer->proposal.answer;
    const char *unit = offer->check->read.unit;
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_int(&json, "visit", offer->visit->visit);
    json_put_name_text(&json, "parameter", offer->track->check->parameter);
    json_put_name_text(&json, "why_not", offer->proposal.why_not);
    json_put_name_bool(&json, "waits", offer->waits);
    json_put_name_text(&json, "after", instant_text(cli->mem, answer->after));
    json_put_name_text(&json, "cleaned", instant_text(cli->mem, answer->cleaned));
    json_put_name_text(&json, "until", instant_text(cli->mem, answer->until));
    json_put_name_text(&json, "fouling", error_words(cli->mem, answer->fouling, unit));
    json_put_name_text(&json, "drift", error_words(cli->mem, answer->drift, unit));
    json_put_name_int(&json, "corrected", (int64_t)offer->corrected);
    json_put_name(&json, "readings");
    json_put_array(&json);
    for (size_t i = 0; i < offer->reading_count; i++) {
        json_put_object(&json);
        json_put_name_text(&json, "station", offer->readings[i].station);
        json_put_name_text(&json, "position", offer->readings[i].position);
        json_put_name_text(&json, "at", instant_text(cli->mem, offer->readings[i].at));
        json_put_name_text(&json, "before", offer->readings[i].before);
        json_put_name_text(&json, "after", offer->readings[i].after);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_name(&json, "verdicts");
    json_put_array(&json);
    for (size_t i = 0; i < offer->change_count; i++) {
        json_put_object(&json);
        json_put_name_text(&json, "month", day_text(cli->mem, offer->changes[i].month));
        json_put_name_text(&json, "limit", offer->changes[i].limit);
        json_put_name_text(&json, "before", offer->changes[i].before);
        json_put_name_text(&json, "after", offer->changes[i].after);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);
    say_json(cli, &text);
}

static void errors_say(struct cli *cli, const struct probe_offer *offer)
{
    const struct probe_answer *answer = &offer->proposal.answer;
    const struct zone *zone = cli->farm.farm->zone;
    const char *unit = offer->check->read.unit;

    fprintf(cli->out, "A correction is proposed, growing in a straight line:\n");
    if (answer->fouling)
        fprintf(cli->out, "  for fouling  %s at %s, from nothing at %s\n",
                error_words(cli->mem, answer->fouling, unit),
                zone_text(cli->mem, zone, answer->until),
                zone_text(cli->mem, zone, answer->cleaned));
    if (answer->drift)
        fprintf(cli->out, "  for drift    %s at %s, from nothing at %s\n",
                error_words(cli->mem, answer->drift, unit),
                zone_text(cli->mem, zone, answer->until), zone_text(cli->mem, zone, answer->after));
    say_wrapped(cli->out, "  ", "    ",
                "Each value is rounded half up to the decimals it was read with. What was read "
                "stays on record.");
}

static void effects_say(struct cli *cli, const struct probe_offer *offer)
{
    const struct zone *zone = cli->farm.farm->zone;

    fprintf(cli->out, "It would change %s that limits look at.\n",
            say_count(cli->mem, (int64_t)offer->corrected, "reading", "readings"));
    for (size_t i = 0; i < offer->reading_count; i++)
        fprintf(
            cli->out, "  %s  %s: %s, corrected %s\n",
            zone_text(cli->mem, zone, offer->readings[i].at),
            farm_position_text(cli->mem, offer->readings[i].station, offer->readings[i].position),
            offer->readings[i].before, offer->readings[i].after);
    if (offer->change_count == 0)
        fputs("No verdict would change.\n", cli->out);
    for (size_t i = 0; i < offer->change_count; i++) {
        const struct offer_change *change = &offer->changes[i];

        fprintf(cli->out, "%s, %s\n", month_words(cli->mem, change->month), change->limit);
        say_wrapped(cli->out, "  now:  ", "        ", change->before);
        say_wrapped(cli->out, "  then: ", "        ", change->after);
    }
    if (offer->months_cut)
        fprintf(cli->out, "Only the last %d months of the span were judged.\n", OFFER_MONTHS_MOST);
}

bool command_visit_proposal(struct cli *cli, struct err *err)
{
    struct probe_offer offer;
    int visit = 0;

    if (!visit_number(cli->words[0], &visit, err) ||
        !probe_offer_read(cli->db, cli->mem, &cli->farm, visit, cli->words[1], cli->now, &offer,
                          err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        offer_json(cli, &offer);
    if (!say_aloud(cli))
        return true;
    visit_say(cli, &offer.book, offer.visit);
    if (offer.proposal.why_not) {
        say_wrapped(
            cli->out, "", "  ",
            arena_printf(cli->mem, "No correction is proposed: %s.", offer.proposal.why_not));
    } else {
        errors_say(cli, &offer);
        effects_say(cli, &offer);
    }
    if (offer.waits)
        say_next(cli,
                 "weirbook visit answer %d %s corrected|\"left out\"|stands|refused --because "
                 "WORDS --by PERSON",
                 visit, cli->words[1]);

    return true;
}

/* --- answer ---------------------------------------------------------------------------------- */

bool command_visit_answer(struct cli *cli, struct err *err)
{
    struct probe_answer_order order = {.parameter = cli->words[1],
                                       .answer = cli->words[2],
                                       .because = cli->values[OPTION_BECAUSE],
                                       .second_person = cli->values[OPTION_SECOND]};
    const struct zone *zone = cli->farm.farm->zone;
    struct probe_answer_row row;

    if (!visit_number(cli->words[0], &order.visit, err) ||
        !probe_answer_give(cli->db, cli->mem, &cli->farm, &order, &cli->act, &row, err))
        return false;
    if (cli_has(cli, OPTION_JSON))
        fprintf(cli->out, "{\"visit\":%d,\"answer\":\"%s\"}\n", order.visit,
                probe_answer_words[row.answer.kind]);
    if (!say_aloud(cli))
        return true;
    say_wrapped(cli->out, "", "  ",
                arena_printf(cli->mem, "Answered: %s, for %s read after %s up to %s.",
                             probe_answer_words[row.answer.kind], order.parameter,
                             zone_text(cli->mem, zone, row.answer.after),
                             zone_text(cli->mem, zone, row.answer.until)));
    if (!row.second_person && row.answer.kind != PROBE_ANSWER_REFUSED)
        say_wrapped(cli->out, "", "  ",
                    "Where it takes a figure from outside to inside, a second person has to agree "
                    "(the same again with --second), or it is printed on the first page of the "
                    "report.");
    say_next(cli, "weirbook check");

    return true;
}
