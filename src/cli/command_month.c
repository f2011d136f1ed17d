#include "cli/command_month.h"

#include <unistd.h>

#include "app/clause_acts.h"
#include "app/corrections_told.h"
#include "app/report_month.h"
#include "base/interrupt.h"
#include "base/str.h"
#include "cli/month_view.h"
#include "cli/say.h"

bool month_asked(struct cli *cli, size_t word, day_number *month, struct err *err)
{
    if (cli->word_count > word)
        return month_parse(cli->words[word], month, err);
    if (!month_newest(cli->db, &cli->farm, month, err))
        return false;
    if (*month == DAY_NONE) {
        err_set(err, ERR_NOT_FOUND, "no reading is on record yet");
        return err_hint(err, "Take in a file first: weirbook take-in SOURCE FILE --by PERSON");
    }

    return true;
}

static void month_show(struct cli *cli, const struct judged_month *month)
{
    struct month_tally tally = month_tally_of(month, NULL);

    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        month_json(cli, &json, month);
        json_end(&json);
        say_json(cli, &text);
    } else if (say_aloud(cli)) {
        month_say(cli, month);
    }
    cli->status = month_status(cli, &tally);
}

static void check_next(struct cli *cli, const struct judged_month *month)
{
    const char *month_name = arena_printf(cli->mem, "%.7s", day_text(cli->mem, month->from));

    for (size_t i = 0; i < month->verdicts.count; i++) {
        const struct verdict *verdict = &month->verdicts.items[i];

        if (verdict->standing == STANDING_OUTSIDE || verdict->standing == STANDING_NOT_ASSESSABLE) {
            say_next(cli, "weirbook explain %s %s", verdict->limit->key, month_name);
            return;
        }
    }
    say_next(cli, "weirbook report discharge %s --by PERSON", month_name);
}

/* A form that nobody compared with the licence judges only for the worse. */
static bool unconfirmed_say(struct cli *cli, struct err *err)
{
    struct clause_limits list = {0};

    if (!limits_unconfirmed(cli->db, cli->mem, &cli->farm, &list, err))
        return false;
    if (list.count > 0)
        say_wrapped(
            cli->out, "", "  ",
            arena_printf(cli->mem,
                         "%s to be compared with the licence (weirbook confirm --list). "
                         "Until then one can be outside but never within; of a changed one the "
                         "older form is judged too, and the worse stands.",
                         say_count(cli->mem, (int64_t)list.count, "limit waits", "limits wait")));

    return true;
}

static void keys_add(struct buf *text, const char *const *keys, size_t count)
{
    for (size_t i = 0; i < count; i++)
        buf_addf(text, "%s%s", i > 0 ? ", " : "", keys[i]);
}

/* "something of a, b from outside to inside and c from not assessable to within" */
static const char *taken_words(struct arena *mem, const struct report_correction *one)
{
    struct buf text = buf_new(mem);

    if (one->moved_count > 0) {
        buf_add_text(&text, "something of ");
        keys_add(&text, one->moved, one->moved_count);
        buf_addf(&text, " from outside to inside%s", one->cleared_count > 0 ? ", and " : "");
    }
    if (one->cleared_count > 0) {
        keys_add(&text, one->cleared, one->cleared_count);
        buf_add_text(&text, " from not assessable to within");
    }

    return text.data;
}

/* What one person alone did and what brought something inside stands beside the verdicts. */
static bool moved_say(struct cli *cli, const struct judged_month *month, struct err *err)
{
    struct discharge_month told = {.corrections = NULL};

    if (!corrections_told_of(cli->db, cli->mem, &cli->farm, month, cli->now, &told, err))
        return false;
    for (size_t i = 0; i < told.correction_count; i++) {
        const struct report_correction *one = &told.corrections[i];

        if ((one->moved_count == 0 && one->cleared_count == 0) || one->second_person)
            continue;
        say_wrapped(
            cli->out, "", "  ",
            arena_printf(cli->mem,
                         "%s alone took %s: %s %s%s%s, "
                         "now %s (%s). It wants a second person%s%s.",
                         one->person, taken_words(cli->mem, one), one->station ? one->station : "",
                         one->parameter ? one->parameter : "", *one->value_before ? " " : "",
                         one->value_before, one->new_value, one->reason, one->agree ? ": " : "",
                         one->agree ? one->agree : ""));
    }

    return true;
}

/* Whether the farm keeps records of an instrument for that parameter. */
static bool is_checked(const struct farm *farm, const char *parameter)
{
    for (size_t i = 0; i < farm->instruments.count; i++)
        if (farm_instrument_check_of(&farm->instruments.items[i], parameter))
            return true;

    return false;
}

/* Readings of the month that count, and of whose instrument nothing is known. */
static size_t read_by_stranger(const struct farm *farm, const struct judged_month *month,
                               const struct evidence_series *series)
{
    const char *kind = series->kind == KIND_PROBE     ? "probe"
                       : series->kind == KIND_BY_HAND ? "by hand"
                                                      : NULL;
    size_t count = 0;

    if (!kind || !is_checked(farm, series->parameter))
        return 0;
    for (size_t i = 0; i < series->count; i++) {
        instant at = series->readings[i].at;

        count += at >= month->loaded.from_at && at < month->loaded.until_at &&
                 !series->readings[i].left_out &&
                 !farm_instrument_of(farm, series->station, series->position, series->parameter,
                                     series->made_by, kind, at);
    }

    return count;
}

static void strangers_say(struct cli *cli, const struct judged_month *month)
{
    const struct evidence *evidence = &month->loaded.evidence;

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];
        size_t count = read_by_stranger(cli->farm.farm, month, series);

        if (count == 0)
            continue;
        say_wrapped(
            cli->out, "", "  ",
            arena_printf(cli->mem,
                         "%s of %s %s read by %s, of which `instruments:` has no record: nothing "
                         "is known of its checks.",
                         say_count(cli->mem, (int64_t)count,
                                   arena_printf(cli->mem, "reading of %s", series->parameter),
                                   arena_printf(cli->mem, "readings of %s", series->parameter)),
                         farm_position_text(cli->mem, series->station, series->position),
                         count == 1 ? "was" : "were",
                         str_empty(series->made_by) ? "an instrument that is not named"
                                                    : series->made_by));
    }
}

bool command_check(struct cli *cli, struct err *err)
{
    struct judged_month month = {0};
    day_number first = DAY_NONE;
    int months = 0;
    int opened = 0;
    int more = 0;

    if (!month_asked(cli, 0, &first, err) ||
        (cli->word_count == 0 && !months_check_waiting(cli->db, cli->mem, &cli->farm, cli->now,
                                                       interrupt_flag(), &months, &opened, err)) ||
        !month_check(cli->db, cli->mem, &cli->farm, first, cli->now, false, &month, &more, err))
        return false;
    opened += more;
    month_show(cli, &month);
    if (!say_aloud(cli))
        return true;
    if (!moved_say(cli, &month, err) || !unconfirmed_say(cli, err))
        return false;
    strangers_say(cli, &month);
    if (months > 1)
        fprintf(cli->out, "%s gone over.\n", say_count(cli->mem, months, "month", "months"));
    if (opened > 0)
        fprintf(cli->out, "%s for a person to answer.\n",
                say_count(cli->mem, opened, "new finding", "new findings"));
    check_next(cli, &month);

    return true;
}

bool command_report_discharge(struct cli *cli, struct err *err)
{
    struct month_report report = {.licence = NULL};
    const char *path = cli->values[OPTION_OUT];
    day_number first = DAY_NONE;

    if (!month_asked(cli, 0, &first, err))
        return false;
    if (!path)
        path = arena_printf(cli->mem, "%s-discharge-%.7s.xlsx", cli->farm.farm->key,
                            day_text(cli->mem, first));
    if (!month_report_make(cli->db, cli->mem, &cli->farm, cli->values[OPTION_LICENCE], first, path,
                           &cli->act, &report, err))
        return false;

    struct month_tally tally = month_tally_of(&report.month, report.licence);

    cli->status = month_status(cli, &tally);
    if (cli_has(cli, OPTION_JSON)) {
        struct buf text = buf_new(cli->mem);
        struct json_writer json = json_begin(&text);

        json_put_object(&json);
        json_put_name_text(&json, "workbook", path);
        json_put_name_bool(&json, "replaced", report.replaced);
        json_put_name_text(&json, "sha256", digest_text(cli->mem, &report.digest));
        json_put_name_text(&json, "summary", month_summary(cli->mem, &tally));
        json_put_object_end(&json);
        json_end(&json);
        say_json(cli, &text);
    }
    if (!say_aloud(cli))
        return true;
    fprintf(cli->out, "%s\n", say_farm(cli->mem, cli->farm.farm));
    fprintf(cli->out, "%s, draft: %s\n", month_words(cli->mem, report.month.from), path);
    if (report.replaced)
        fputs("It replaced the file of that name that was there before.\n", cli->out);
    say_wrapped(cli->out, "", "  ", arena_printf(cli->mem, "%s.", month_summary(cli->mem, &tally)));
    fprintf(cli->out, "sha256 %s\n", digest_text(cli->mem, &report.digest));
    fputs("The authority and the licence decide. Read the first page before you sign it.\n",
          cli->out);

    return true;
}
