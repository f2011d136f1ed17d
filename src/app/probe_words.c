/* Of probe_book.h: what it says in words. */
#include "app/probe_book.h"
#include "base/str.h"

const char *probe_track_words(struct arena *mem, const struct probe_track *track)
{
    return arena_printf(mem, "%s (serial number %s)", track->instrument->name,
                        track->instrument->serial);
}

const char *probe_visit_words(struct arena *mem, const struct farm *farm, int visit, instant at)
{
    return arena_printf(mem, "visit %d of %s", visit, day_words(mem, zone_day(farm->zone, at)));
}

static const struct probe_visit *visit_at(const struct probe_track *track, int visit)
{
    for (size_t i = 0; i < track->count; i++)
        if (track->visits[i].visit == visit)
            return &track->visits[i];

    return NULL;
}

static const char *visit_name(struct arena *mem, const struct probe_book *book,
                              const struct probe_track *track, int number)
{
    const struct probe_visit *visit = visit_at(track, number);

    return visit ? probe_visit_words(mem, book->farm, visit->visit, visit->at) : "no visit";
}

static const char *overdue_words(struct arena *mem, const struct probe_book *book,
                                 const struct probe_track *track, const struct probe_issue *issue)
{
    const char *what = issue->kind == PROBE_CHECK_OVERDUE ? "checked" : "calibrated";

    if (issue->since == 0)
        return arena_printf(mem, "%s: no record that its %s was %s and found good before",
                            probe_track_words(mem, track), track->check->parameter, what);

    return arena_printf(mem, "%s: its %s was to be %s by %s, after %s",
                        probe_track_words(mem, track), track->check->parameter, what,
                        zone_text(mem, book->farm->zone, issue->after),
                        visit_name(mem, book, track, issue->since));
}

const char *probe_issue_words(struct arena *mem, const struct probe_book *book,
                              const struct probe_track *track, const struct probe_issue *issue)
{
    const char *probe = probe_track_words(mem, track);
    const char *parameter = track->check->parameter;

    switch (issue->kind) {
    case PROBE_CHECK_FAILED:
        return arena_printf(mem,
                            "%s: %s found its %s off; so is every reading since its last check",
                            probe, visit_name(mem, book, track, issue->visit), parameter);
    case PROBE_NOT_PUT_RIGHT:
        return arena_printf(mem, "%s: %s left its %s off", probe,
                            visit_name(mem, book, track, issue->since), parameter);
    case PROBE_GAP:
        return arena_printf(mem,
                            "%s: %s found its %s off by more than may be corrected; readings "
                            "since its last check are a gap",
                            probe, visit_name(mem, book, track, issue->visit), parameter);
    case PROBE_CHECK_OVERDUE:
    case PROBE_CALIBRATION_OVERDUE:
    default:
        return overdue_words(mem, book, track, issue);
    }
}

const char *probe_issue_doubt(const struct probe_issue *issue)
{
    static const char *const kinds[] = {[PROBE_CHECK_OVERDUE] = "calibration",
                                        [PROBE_CALIBRATION_OVERDUE] = "calibration",
                                        [PROBE_CHECK_FAILED] = "drift",
                                        [PROBE_NOT_PUT_RIGHT] = "drift",
                                        [PROBE_GAP] = NULL};

    return kinds[issue->kind];
}

static void add_standards(struct arena *mem, struct buf *text, const struct probe_check_row *check)
{
    for (size_t i = 0; i < check->read.readings.standard_count; i++) {
        const struct visit_standard *one = &check->read.standards[i];

        buf_addf(text, "%s%s%s%s %s %s read as %s", text->len ? "; " : "",
                 one->meter ? "beside field meter " : "",
                 one->meter  ? one->meter
                 : one->name ? one->name
                             : "standard",
                 one->meter ? ":" : "", decimal_text(mem, one->read.standard), check->read.unit,
                 decimal_text(mem, one->read.found));
        if (one->read.has_after)
            buf_addf(text, ", calibrated to %s", decimal_text(mem, one->read.after));
        if (one->lot)
            buf_addf(text, " (lot %s)", one->lot);
    }
}

const char *probe_read_words(struct arena *mem, const struct probe_check_row *check)
{
    const struct probe_readings *read = &check->read.readings;
    struct buf text = buf_new(mem);

    if (read->in_water)
        buf_addf(&text, "in the water %s before and %s after cleaning, %s",
                 decimal_text(mem, read->before), decimal_text(mem, read->after), check->read.unit);
    if (read->beside_meter)
        buf_addf(&text, " (field meter %s: %s and %s)", check->read.meter,
                 decimal_text(mem, read->meter_before), decimal_text(mem, read->meter_after));
    add_standards(mem, &text, check);

    return text.data;
}

const char *probe_check_words(struct arena *mem, const struct probe_book *book,
                              const struct probe_visit_row *row,
                              const struct probe_check_row *check)
{
    const struct farm_person *person = farm_find_person(book->farm, row->person);
    struct buf text = buf_new(mem);

    buf_addf(&text, "%s by %s: found %s", probe_visit_words(mem, book->farm, row->visit, row->at),
             person ? person->name : row->person, probe_result_words[check->found]);
    if (check->left != PROBE_NOT_CHECKED)
        buf_addf(&text, ", left %s", check->left == PROBE_GOOD ? "good" : "off");
    buf_addf(&text, "; %s", probe_read_words(mem, check));

    return text.data;
}
