#include "cli/visit_words.h"

#include "base/str.h"
#include "cli/say.h"

enum { ERROR_FIGURES = 12 };

static const char *error_text(struct arena *mem, const struct exact *error)
{
    return error ? exact_text(mem, error, ERROR_FIGURES) : NULL;
}

const char *visit_outcome_words(struct arena *mem, const struct probe_check_row *check)
{
    struct buf text = buf_new(mem);

    buf_addf(&text, "%s: found %s", check->read.parameter, probe_result_words[check->found]);
    if (check->left != PROBE_NOT_CHECKED)
        buf_addf(&text, ", left %s", check->left == PROBE_GOOD ? "good" : "off");
    if (check->rating)
        buf_addf(&text, ", rated %s", check->rating);
    if (check->fouling)
        buf_addf(&text, "; fouling %s %s", error_text(mem, check->fouling), check->read.unit);
    if (check->drift)
        buf_addf(&text, "; drift %s %s", error_text(mem, check->drift), check->read.unit);
    buf_addf(&text, ", to be added; %s", check->criteria);

    return text.data;
}

static void answer_say(struct cli *cli, const struct probe_answer_row *answer)
{
    const struct zone *zone = cli->farm.farm->zone;

    say_wrapped(cli->out, "    answered: ", "      ",
                arena_printf(cli->mem, "%s, for readings after %s up to %s: %s (%s%s%s)",
                             probe_answer_words[answer->answer.kind],
                             zone_text(cli->mem, zone, answer->answer.after),
                             zone_text(cli->mem, zone, answer->answer.until), answer->reason,
                             answer->person, answer->second_person ? ", seen by " : "",
                             answer->second_person ? answer->second_person : ""));
}

void visit_say(struct cli *cli, const struct probe_book *book, const struct probe_visit_row *row)
{
    const struct farm_instrument *instrument = farm_find_instrument(book->farm, row->instrument);
    const struct farm_person *person = farm_find_person(book->farm, row->person);

    say_wrapped(
        cli->out, "", "  ",
        arena_printf(cli->mem, "Visit %d, %s, by %s, to %s", row->visit,
                     zone_text(cli->mem, book->farm->zone, row->at),
                     person ? person->name : row->person,
                     instrument ? instrument_words(cli->mem, instrument) : row->instrument));
    if (row->maintenance)
        say_wrapped(cli->out, "  done: ", "    ", row->maintenance);
    if (row->note)
        say_wrapped(cli->out, "  note: ", "    ", row->note);
    for (size_t i = 0; i < row->check_count; i++) {
        say_wrapped(cli->out, "  ", "    ", visit_outcome_words(cli->mem, &row->checks[i]));
        say_wrapped(cli->out, "    read: ", "      ", probe_read_words(cli->mem, &row->checks[i]));
        if (row->checks[i].answer)
            answer_say(cli, row->checks[i].answer);
    }
    if (row->withdrawn)
        say_wrapped(cli->out, "  withdrawn: ", "    ",
                    arena_printf(cli->mem, "%s (%s)", row->withdrawn, row->withdrawn_by));
}

static void number_json(struct cli *cli, struct json_writer *json, const char *name, bool given,
                        struct decimal number)
{
    json_put_name_text(json, name, given ? decimal_text(cli->mem, number) : NULL);
}

static void standard_json(struct cli *cli, struct json_writer *json,
                          const struct visit_standard *one)
{
    json_put_object(json);
    number_json(cli, json, "standard", true, one->read.standard);
    number_json(cli, json, "read", true, one->read.found);
    number_json(cli, json, "read_after", one->read.has_after, one->read.after);
    json_put_name_text(json, "name", one->name);
    json_put_name_text(json, "meter", one->meter);
    json_put_name_text(json, "lot", one->lot);
    json_put_name_text(json, "expires",
                       one->expires == DAY_NONE ? NULL : day_text(cli->mem, one->expires));
    number_json(cli, json, "temperature", one->has_temperature, one->temperature);
    json_put_object_end(json);
}

static void answer_json(struct cli *cli, struct json_writer *json,
                        const struct probe_answer_row *answer)
{
    json_put_name(json, "answer");
    json_put_object(json);
    json_put_name_text(json, "answer", probe_answer_words[answer->answer.kind]);
    json_put_name_text(json, "after", instant_text(cli->mem, answer->answer.after));
    json_put_name_text(json, "until", instant_text(cli->mem, answer->answer.until));
    json_put_name_text(json, "because", answer->reason);
    json_put_name_text(json, "by", answer->person);
    json_put_name_text(json, "second", answer->second_person);
    json_put_object_end(json);
}

static void check_json(struct cli *cli, struct json_writer *json,
                       const struct probe_check_row *check)
{
    const struct probe_readings *read = &check->read.readings;

    json_put_object(json);
    json_put_name_text(json, "parameter", check->read.parameter);
    json_put_name_text(json, "unit", check->read.unit);
    number_json(cli, json, "before_cleaning", read->in_water, read->before);
    number_json(cli, json, "after_cleaning", read->in_water, read->after);
    json_put_name_text(json, "meter", check->read.meter);
    number_json(cli, json, "meter_before", read->beside_meter, read->meter_before);
    number_json(cli, json, "meter_after", read->beside_meter, read->meter_after);
    json_put_name(json, "standards");
    json_put_array(json);
    for (size_t i = 0; i < read->standard_count; i++)
        standard_json(cli, json, &check->read.standards[i]);
    json_put_array_end(json);
    json_put_name_text(json, "fouling", error_text(cli->mem, check->fouling));
    json_put_name_text(json, "drift", error_text(cli->mem, check->drift));
    json_put_name_text(json, "found", probe_result_words[check->found]);
    json_put_name_text(json, "left", probe_result_words[check->left]);
    json_put_name_bool(json, "calibrated", check->calibrated);
    json_put_name_text(json, "rating", check->rating);
    json_put_name_text(json, "criteria", check->criteria);
    if (check->answer)
        answer_json(cli, json, check->answer);
    json_put_object_end(json);
}

void visit_json(struct cli *cli, struct json_writer *json, const struct probe_visit_row *row)
{
    json_put_object(json);
    json_put_name_int(json, "number", row->visit);
    json_put_name_text(json, "instrument", row->instrument);
    json_put_name_text(json, "at", instant_text(cli->mem, row->at));
    json_put_name_text(json, "by", row->person);
    json_put_name_text(json, "maintenance", row->maintenance);
    json_put_name_text(json, "note", row->note);
    json_put_name(json, "checks");
    json_put_array(json);
    for (size_t i = 0; i < row->check_count; i++)
        check_json(cli, json, &row->checks[i]);
    json_put_array_end(json);
    json_put_name_text(json, "withdrawn", row->withdrawn);
    json_put_name_text(json, "withdrawn_by", row->withdrawn_by);
    json_put_object_end(json);
}

/* --- instruments ----------------------------------------------------------------------------- */

const char *instrument_words(struct arena *mem, const struct farm_instrument *instrument)
{
    return arena_printf(
        mem, "%s, %s%s%s: %s%s%s, serial number %s", instrument->key,
        farm_instrument_kind_words[instrument->kind], instrument->station ? " at " : "",
        instrument->station ? farm_position_text(mem, instrument->station, instrument->position)
                            : "",
        instrument->name, instrument->make ? ", " : "", instrument->make ? instrument->make : "",
        instrument->serial);
}

const char *track_state(struct arena *mem, const struct probe_book *book,
                        const struct probe_track *track, instant now)
{
    if (now < farm_instrument_from(book->farm, track->instrument))
        return "not in use yet";
    if (now >= farm_instrument_until(book->farm, track->instrument))
        return track->instrument->replaced_by
                   ? arena_printf(mem, "no longer in use; %s is in its place",
                                  track->instrument->replaced_by)
                   : "no longer in use";
    for (size_t i = 0; i < track->left.count; i++) {
        const struct probe_issue *issue = &track->left.items[i];

        if (now > issue->after && now <= issue->until)
            return arena_printf(mem, "in doubt: %s", probe_issue_words(mem, book, track, issue));
    }
    for (size_t i = track->left.count; i > 0; i--) {
        const struct probe_issue *issue = &track->left.items[i - 1];

        if (issue->kind == PROBE_CHECK_FAILED)
            return arena_printf(mem, "good, and earlier readings wait for an answer: %s",
                                probe_issue_words(mem, book, track, issue));
    }

    return probe_last_good(track->visits, track->count, now) ? "good" : "never checked";
}
