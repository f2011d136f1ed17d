#include "app/notice_words.h"

#include <string.h>

#include "base/buf.h"
#include "base/str.h"

const char notice_caution[] =
    "Weirbook is not a life-support alarm. A notice may come late or not at all: when the machine, "
    "the power, the network or the mail server fails, and for as long as no reading arrives. "
    "Animals in tanks need an alarm of their own that works without any of these. What must be "
    "told to an authority, to whom and by when, is for the licence and the authority to say.";

static const struct notice_kind kinds[] = {
    {"limit", "outside a limit",
     "Check the water and the probe at the place itself, take what steps the licence asks for, and "
     "see whether it has to be told to the authority, and by when."},
    {"interval", "a sample was missed",
     "Take the sample now if it still counts, and write down why it was missed: weirbook "
     "no-sample."},
    {"discharge", "records of the discharge disagree",
     "Find out whether the outlet ran on that day, and correct the record that is wrong."},
    {"pump stop", "a pump stop came near the oxygen floor",
     "Look at the animals, the pump and what stood in for it."},
    {"salinity fall", "salinity fell fast", "Look at the intake, the animals and the probe."},
    {"silence", "a probe is silent",
     "Look at the probe, its power and its logger. Nothing is known of the water since then: "
     "measure it by hand until readings come again."},
    {"quiet folder", "a watched folder is quiet",
     "See whether the logger or the laboratory still sends files, and to this folder."},
    {"refused file", "a file was refused",
     "Read why, mend the file or its source in the farm file, and put it in again: nothing of it "
     "was stored."},
    {"calibration", "a probe is overdue for a check, or was found off",
     "Check the probe and write the visit down. Where a check found it off, answer what becomes of "
     "its readings: until then they are in doubt."},
    {"coarse limit", "a laboratory can't see as low as the limit",
     "Ask the laboratory for a lower limit of detection."},
    {"quality check", "a quality check failed",
     "Ask the laboratory, or repeat the check, before the results are relied upon."},
    {"notice", "somebody could not be told",
     "Mend the address in the farm file or the mail server in weirbook.conf, and see that the "
     "person is told by other means."},
    {"person", "a person", "Look at the finding and answer it."},
};

const struct notice_kind *notice_kind_of(const char *kind)
{
    for (size_t i = 0; i < ARRAY_LEN(kinds); i++)
        if (str_equal(kinds[i].kind, kind))
            return &kinds[i];

    return &kinds[ARRAY_LEN(kinds) - 1];
}

const struct notice_kind *notice_kind_at(size_t index)
{
    return index < ARRAY_LEN(kinds) ? &kinds[index] : NULL;
}

/* Cut at a letter's beginning, so that it stays UTF-8. */
static const char *cut(struct arena *mem, const char *text, size_t most)
{
    if (strlen(text) <= most)
        return text;
    most -= 3;
    while (most > 0 && ((unsigned char)text[most] & 0xC0) == 0x80)
        most--;

    return arena_printf(mem, "%.*s...", (int)most, text);
}

/* Control characters would end the line that it stands in. */
static const char *one_line(struct arena *mem, const char *text)
{
    char *line = arena_strdup(mem, text);

    for (char *c = line; *c; c++)
        if ((unsigned char)*c < ' ' || *c == 127)
            *c = ' ';

    return line;
}

/* A paragraph in lines of at most 76 characters, as far as its words allow. */
static void paragraph(struct buf *out, const char *text)
{
    size_t used = 0;

    for (const char *at = text; *at;) {
        size_t word = strcspn(at, " \n");

        if (used > 0 && used + 1 + word > 76) {
            buf_add_char(out, '\n');
            used = 0;
        } else if (used > 0) {
            buf_add_char(out, ' ');
            used++;
        }
        buf_add(out, at, word);
        used += word;
        at += word;
        at += strspn(at, " \n");
    }
    buf_add_char(out, '\n');
}

static void field(struct arena *mem, struct buf *out, const char *name, const char *value)
{
    if (!str_empty(value))
        paragraph(out, arena_printf(mem, "%s: %s", name, value));
}

/* The clause of a limit or an interval, with the licence and its own words. */
static const char *clause_of(struct arena *mem, const struct farm *farm,
                             const struct finding_row *finding)
{
    const struct farm_limit *limit = farm_find_limit(farm, finding->subject);
    const struct farm_interval *interval = farm_find_interval(farm, finding->subject);
    const char *clause = NULL;
    const char *wording = NULL;
    const char *licence = NULL;

    if (str_equal(finding->kind, "limit") && limit) {
        clause = limit->limit.clause;
        wording = limit->limit.wording;
        licence = limit->limit.licence;
    } else if (str_equal(finding->kind, "interval") && interval) {
        clause = interval->interval.clause;
        wording = interval->interval.wording;
        licence = interval->interval.licence;
    }
    if (!clause)
        return NULL;

    const struct farm_licence *of = farm_find_licence(farm, licence);

    return arena_printf(mem, "%s of %s%s%s%s", clause, of ? of->number : licence,
                        wording ? ": \"" : "", wording ? wording : "", wording ? "\"" : "");
}

/* "36 seconds", "30 minutes", "2 hours": the largest unit that counts it in whole numbers. */
static const char *span(struct arena *mem, int seconds)
{
    static const struct {
        int seconds;
        const char *one;
        const char *many;
    } units[] = {{86400, "day", "days"},
                 {3600, "hour", "hours"},
                 {60, "minute", "minutes"},
                 {1, "second", "seconds"}};
    size_t i = 0;

    while (seconds % units[i].seconds != 0)
        i++;

    int count = seconds / units[i].seconds;

    return arena_printf(mem, "%d %s", count, count == 1 ? units[i].one : units[i].many);
}

static void seen_how(struct arena *mem, struct buf *out, const struct farm *farm, int number,
                     const char *person, const char *next, int next_after_s)
{
    const struct farm_person *after = next ? farm_find_person(farm, next) : NULL;

    paragraph(out, "Say that you have seen it, on the machine that keeps the records:");
    buf_addf(out, "  weirbook seen %d --by %s\n", number, person);
    if (after && next_after_s > 0)
        paragraph(out,
                  arena_printf(mem, "If nobody has said so %s after this was sent, %s is told too.",
                               span(mem, next_after_s), after->name));
    else if (after)
        paragraph(out, arena_printf(mem, "%s is told at the same time.", after->name));
}

struct notice_words notice_words(struct arena *mem, const struct farm *farm,
                                 const struct finding_row *finding, int number, const char *person,
                                 const char *next, int next_after_s)
{
    const struct notice_kind *kind = notice_kind_of(finding->kind);
    const struct farm_station *station = farm_find_station(farm, finding->station);
    const char *place = station ? station->name : finding->station;
    struct buf out = buf_new(mem);

    if (farm->invented)
        paragraph(&out, "[INVENTED, for practice only]");
    paragraph(&out, arena_printf(mem, "%s: %s", farm->name, kind->title));
    buf_add_char(&out, '\n');
    field(mem, &out, "What happened", finding->words);
    field(mem, &out, "Where", place);
    field(mem, &out, "Clause", clause_of(mem, farm, finding));
    field(mem, &out, "Since", day_words(mem, finding->from));
    field(mem, &out, "Known here since",
          arena_printf(mem, "%s (%s)", zone_text(mem, farm->zone, finding->aware_at),
                       farm->zone_name));
    field(mem, &out, "What to do", kind->todo);
    buf_add_char(&out, '\n');
    seen_how(mem, &out, farm, number, person, next, next_after_s);
    buf_add_char(&out, '\n');
    paragraph(&out, notice_caution);

    const char *subject =
        arena_printf(mem, "%s%s: %s%s%s", farm->invented ? "[INVENTED] " : "", farm->name,
                     kind->title, str_empty(place) ? "" : " at ", str_empty(place) ? "" : place);

    return (struct notice_words){.subject = cut(mem, one_line(mem, subject), NOTICE_SUBJECT_MOST),
                                 .text = out.data};
}

void notice_words_gather(struct arena *mem, const struct notice_parts *parts, const char **subject,
                         const char **text)
{
    struct buf out = buf_new(mem);
    const char *more = arena_printf(mem, " and %lld more", (long long)parts->all);

    if (parts->all == 0)
        return;
    *subject =
        arena_printf(mem, "%s%s", cut(mem, *subject, NOTICE_SUBJECT_MOST - strlen(more)), more);
    paragraph(&out, arena_printf(mem,
                                 "This notice stands for %lld findings of its kind, so that you "
                                 "don't get as many. The first is told below; beside it there %s:",
                                 (long long)parts->all + 1, parts->all == 1 ? "is" : "are"));
    for (size_t i = 0; i < parts->count; i++)
        paragraph(&out, arena_printf(mem, "- %s", parts->words[i]));
    if ((int64_t)parts->count < parts->all)
        paragraph(&out, arena_printf(mem, "- and %lld more.",
                                     (long long)parts->all - (long long)parts->count));
    paragraph(&out, "All of them: weirbook findings");
    buf_addf(&out, "\n%s", *text);
    *text = out.data;
}
