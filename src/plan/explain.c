#include "plan/explain.h"

#include "base/buf.h"

/* Lines being written. */
struct writer {
    struct arena *mem;
    const struct interval *interval;
    const struct plan_evidence *evidence;
    struct plan_lines lines;
};

static void say(struct writer *writer, const char *text)
{
    LIST_ADD(writer->mem, &writer->lines, text);
}

static const char *day_named(const struct writer *writer, day_number day)
{
    return day_words(writer->mem, day);
}

static void explain_clause(struct writer *writer)
{
    const struct interval *interval = writer->interval;
    struct arena *mem = writer->mem;

    say(writer, arena_printf(mem, "%s: %s", interval->name ? interval->name : interval->key,
                             interval_words(mem, interval)));
    say(writer, arena_printf(mem, "clause: %s of licence %s%s%s, decided by %s",
                             interval->clause ? interval->clause : "not named",
                             interval->licence ? interval->licence : "not named",
                             interval->licence_version ? ", version " : "",
                             interval->licence_version ? interval->licence_version : "",
                             interval->authority ? interval->authority : "an authority not named"));
    if (interval->wording)
        say(writer, arena_printf(mem, "in its own words: %s", interval->wording));
    if (interval->in_force_from != DAY_NONE)
        say(writer,
            arena_printf(
                mem, "in force from %s%s%s", day_named(writer, interval->in_force_from),
                interval->in_force_to == DAY_NONE ? "" : " to ",
                interval->in_force_to == DAY_NONE ? "" : day_named(writer, interval->in_force_to)));
    if (interval->tolerance_days > 0)
        say(writer,
            arena_printf(mem, "a sample up to %d %s late still counts", interval->tolerance_days,
                         interval->tolerance_days == 1 ? "day" : "days"));
}

static void explain_what_counts(struct writer *writer)
{
    const struct interval *interval = writer->interval;
    struct buf text = buf_new(writer->mem);

    buf_addf(&text, "a sample at %s%s%s counts when it has a result of ", interval->station,
             interval->position ? ", " : "", interval->position ? interval->position : "");
    for (size_t i = 0; i < interval->parameter_count; i++)
        buf_addf(&text, "%s%s",
                 i == 0                               ? ""
                 : i + 1 == interval->parameter_count ? " and "
                                                      : ", ",
                 interval->parameters[i]);
    if (interval->only_while_discharging)
        buf_add_text(&text, "; days without discharge ask for none");
    say(writer, text.data);
}

/* Samples from the last one before the days asked about. */
static void explain_samples(struct writer *writer)
{
    const struct plan_evidence *evidence = writer->evidence;
    size_t first = 0;

    while (first + 1 < evidence->sample_count && evidence->samples[first + 1] < evidence->from)
        first++;
    say(writer, first < evidence->sample_count ? "samples found:" : "samples found: none");
    for (size_t i = first; i < evidence->sample_count; i++) {
        struct buf text = buf_new(writer->mem);

        buf_addf(&text, "  %s", day_named(writer, evidence->samples[i]));
        if (i > 0)
            buf_addf(&text, ", %d days after the one before",
                     (int)(evidence->samples[i] - evidence->samples[i - 1]));
        say(writer, text.data);
    }
    for (size_t i = 0; i < evidence->partial_count; i++) {
        const struct partial_sample *partial = &evidence->partials[i];

        if (first >= evidence->sample_count || partial->day >= evidence->samples[first])
            say(writer, arena_printf(writer->mem, "  %s does not count: %s",
                                     day_named(writer, partial->day), partial->lacks));
    }
}

static void explain_reasons(struct writer *writer)
{
    const struct plan_evidence *evidence = writer->evidence;

    for (size_t i = 0; i < evidence->reason_count; i++) {
        const struct no_sample *reason = &evidence->reasons[i];

        if (reason->day < evidence->from || reason->day > evidence->to)
            continue;
        const char *denial = evidence->discharged && reason->reason == NO_SAMPLE_NO_DISCHARGE
                                 ? evidence->discharged[reason->day - evidence->from]
                                 : NULL;

        say(writer, arena_printf(writer->mem, "reason on record for %s: %s%s%s%s%s",
                                 day_named(writer, reason->day), no_sample_words[reason->reason],
                                 reason->explanation ? ", " : "",
                                 reason->explanation ? reason->explanation : "",
                                 denial ? "; excuses nothing, as the records say otherwise: " : "",
                                 denial ? denial : ""));
    }
}

/* Days without discharge, each run of them in one line. */
static void explain_discharge(struct writer *writer)
{
    const struct plan_evidence *evidence = writer->evidence;
    day_number day = evidence->from;

    if (!writer->interval->only_while_discharging || !evidence->discharging)
        return;
    while (day <= evidence->to) {
        day_number first = day;

        while (day <= evidence->to && !evidence->discharging[day - evidence->from])
            day++;
        if (day - first == 1)
            say(writer, arena_printf(writer->mem, "no discharge on %s", day_named(writer, first)));
        else if (day > first)
            say(writer, arena_printf(writer->mem, "no discharge from %s to %s",
                                     day_named(writer, first), day_named(writer, day - 1)));
        else
            day++;
    }
}

static void explain_dues(struct writer *writer, const struct due_list *dues)
{
    say(writer, arena_printf(writer->mem, "what was due from %s to %s, as of %s:",
                             day_named(writer, writer->evidence->from),
                             day_named(writer, writer->evidence->to),
                             day_named(writer, writer->evidence->today)));
    for (size_t i = 0; i < dues->count; i++) {
        const struct due *due = &dues->items[i];

        say(writer, arena_printf(writer->mem, "  %s to %s: %s", day_named(writer, due->from),
                                 day_named(writer, due->due), due->words));
    }
    if (dues->count == 0)
        say(writer, "  nothing came due");
}

struct plan_lines plan_explain(struct arena *mem, const struct interval *interval,
                               const struct plan_evidence *evidence, const struct due_list *dues)
{
    struct writer writer = {.mem = mem, .interval = interval, .evidence = evidence};

    explain_clause(&writer);
    explain_what_counts(&writer);
    explain_samples(&writer);
    explain_reasons(&writer);
    explain_discharge(&writer);
    explain_dues(&writer, dues);

    return writer.lines;
}
