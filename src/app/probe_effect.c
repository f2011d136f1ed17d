/* Of probe_book.h: what visits and answers make of readings. */
#include <string.h>

#include "app/probe_book.h"
#include "base/str.h"

/* A gap that a visit found, or an answer. */
struct probe_deed {
    const struct probe_track *track;
    const struct probe_issue *gap;         /* or NULL */
    const struct probe_answer_row *answer; /* or NULL */
    instant after;
    instant until;
    const char *words;
    const char *unit; /* the reading's unit that `scale` is for */
    const struct exact *scale;
};

struct probe_series {
    const struct probe_book *book;
    const struct units *units;
    const struct parameter *parameter;
    const struct probe_track **tracks;
    size_t track_count;
    struct probe_deed *deeds;
    size_t deed_count;
};

static const char *answer_words(const struct probe_book *book, const struct probe_track *track,
                                const struct probe_answer_row *row)
{
    return arena_printf(
        book->mem, "%s, %s: %s", probe_track_words(book->mem, track),
        probe_visit_words(book->mem, book->farm, row->answer.visit, row->answer.until),
        row->reason);
}

static void deeds_add(struct probe_series *series, const struct probe_track *track)
{
    const struct probe_book *book = series->book;
    instant begins = farm_instrument_from(book->farm, track->instrument);
    instant ends = farm_instrument_until(book->farm, track->instrument);

    for (size_t i = 0; i < track->issues.count; i++) {
        const struct probe_issue *issue = &track->issues.items[i];

        if (issue->kind == PROBE_GAP)
            series->deeds[series->deed_count++] =
                (struct probe_deed){.track = track,
                                    .gap = issue,
                                    .after = issue->after,
                                    .until = issue->until,
                                    .words = probe_issue_words(book->mem, book, track, issue)};
    }
    for (size_t i = 0; i < track->answer_count; i++) {
        const struct probe_answer_row *row = track->answers[i];

        if (row->answer.kind == PROBE_ANSWER_CORRECTED || row->answer.kind == PROBE_ANSWER_LEFT_OUT)
            series->deeds[series->deed_count++] =
                (struct probe_deed){.track = track,
                                    .answer = row,
                                    .after = row->answer.after,
                                    .until = row->answer.until,
                                    .words = answer_words(book, track, row)};
    }
    for (size_t i = 0; i < series->deed_count; i++) {
        struct probe_deed *deed = &series->deeds[i];

        if (deed->track != track)
            continue;
        deed->after = deed->after < begins ? begins - 1 : deed->after;
        deed->until = deed->until >= ends ? ends - 1 : deed->until;
    }
}

const struct probe_series *probe_series_of(const struct probe_book *book, const struct units *units,
                                           const struct series_row *row)
{
    struct probe_series *series = ARENA_NEW(book->mem, struct probe_series);
    size_t most = 0;

    *series = (struct probe_series){
        .book = book,
        .units = units,
        .parameter = parameter_find(&book->farm->known_parameters, row->parameter),
        .tracks = ARENA_ARRAY(book->mem, const struct probe_track *, book->count)};
    for (size_t i = 0; i < book->count; i++) {
        if (!probe_track_reads(book, &book->tracks[i], row))
            continue;
        series->tracks[series->track_count++] = &book->tracks[i];
        most += book->tracks[i].issues.count + book->tracks[i].answer_count;
    }
    if (series->track_count == 0)
        return NULL;
    series->deeds = ARENA_ARRAY(book->mem, struct probe_deed, most);
    for (size_t i = 0; i < series->track_count; i++)
        deeds_add(series, series->tracks[i]);

    return series;
}

/* --- correcting ------------------------------------------------------------------------------ */

/* How a step in the answer's unit gets into the reading's; NULL: it does not. */
static const struct exact *scale_of(const struct probe_series *series, struct probe_deed *deed,
                                    const struct reading_view *view)
{
    struct arena *mem = series->book->mem;
    struct unit_conversion conversion;
    struct err err = ERR_INIT;
    const struct unit *from;
    const struct unit *to;

    if (deed->unit && strncmp(deed->unit, view->unit, (size_t)view->unit_length) == 0 &&
        deed->unit[view->unit_length] == '\0')
        return deed->scale;
    deed->unit = arena_strndup(mem, view->unit, (size_t)view->unit_length);
    deed->scale = NULL;
    if (str_equal(deed->unit, deed->answer->unit)) {
        deed->scale = exact_from_int(mem, 1);
        return deed->scale;
    }
    from = series->units ? unit_named(series->units, deed->answer->unit) : NULL;
    to = series->units ? unit_named(series->units, deed->unit) : NULL;
    if (from && to && unit_conversion(series->units, mem, from, to, &conversion, &err))
        deed->scale = conversion.scale;

    return deed->scale;
}

static bool is_below_nothing(const struct probe_series *series, struct decimal value)
{
    return value.coefficient < 0 && series->parameter && series->parameter->never_negative;
}

/* The sum of what accepted corrections add; NULL: one of them can't be worked out. */
static const struct exact *added_by(struct arena *mem, const struct probe_series *series,
                                    struct probe_deed *deed, const struct reading_view *view,
                                    const struct exact *sum)
{
    const struct exact *scale = scale_of(series, deed, view);
    const struct exact *error = probe_correction_at(mem, &deed->answer->answer, view->at);

    return sum && scale && error ? exact_add(mem, sum, exact_mul(mem, error, scale)) : NULL;
}

static void correct(struct arena *mem, const struct probe_series *series,
                    const struct reading_view *view, const struct exact *sum,
                    struct probe_effect *effect)
{
    struct rounding rounding = {ROUND_HALF_UP, ROUND_TO_DECIMALS, view->reported.scale};
    struct decimal value = {0};

    if (view->qualifier == '=' && sum &&
        decimal_parse(
            exact_rounded_text(mem, exact_add(mem, exact_from_decimal(mem, view->reported), sum),
                               rounding),
            &value) &&
        !is_below_nothing(series, value)) {
        effect->reported = value;
        return;
    }
    effect->doubt = arena_printf(mem, "drift: it could not be corrected as others were: %s",
                                 effect->corrected_by);
    effect->corrected_by = NULL;
}

static bool reaches(const struct probe_deed *deed, instant at)
{
    return at > deed->after && at <= deed->until;
}

static int deed_visit(const struct probe_deed *deed)
{
    return deed->gap ? deed->gap->visit : deed->answer->answer.visit;
}

struct probe_effect probe_series_apply(struct arena *mem, const struct probe_series *series,
                                       const struct acts_undone *undone,
                                       const struct reading_view *view)
{
    struct probe_effect effect = {.left_out = NULL};
    const struct exact *sum = exact_from_int(mem, 0);

    for (size_t i = 0; i < series->deed_count; i++) {
        struct probe_deed *deed = &series->deeds[i];

        if (!reaches(deed, view->at))
            continue;
        if (acts_undone_probe(undone, deed_visit(deed), deed->track->check->parameter)) {
            effect.doubt = arena_printf(mem, "drift: %s", deed->words);
        } else if (deed->gap || deed->answer->answer.kind == PROBE_ANSWER_LEFT_OUT) {
            effect.left_out = deed->words;
        } else if (!view->corrected) {
            sum = added_by(mem, series, deed, view, sum);
            effect.corrected_by =
                effect.corrected_by
                    ? arena_printf(mem, "%s; and %s", effect.corrected_by, deed->words)
                    : deed->words;
        }
    }
    if (effect.corrected_by)
        correct(mem, series, view, sum, &effect);

    return effect;
}

/* --- telling --------------------------------------------------------------------------------- */

static void checks_tell(struct arena *mem, const struct probe_series *series,
                        const struct probe_track *track, instant first, instant until,
                        struct evidence_check *checks, size_t *count)
{
    const struct probe_visit *good = probe_last_good(track->visits, track->count, first);

    for (size_t i = 0; i < track->count; i++) {
        const struct probe_visit *visit = &track->visits[i];

        if ((good && visit->at < good->at) || visit->at > until)
            continue;
        checks[(*count)++] = (struct evidence_check){
            .visit = visit->visit,
            .at = visit->at,
            .left_good = visit->left == PROBE_GOOD,
            .words = probe_check_words(mem, series->book, track->rows[i], track->checks[i])};
    }
}

void probe_series_tell(struct arena *mem, const struct probe_series *series, instant first,
                       instant until, struct evidence_series *into)
{
    struct buf words = buf_new(mem);
    struct evidence_check *checks;
    size_t most = 0;

    for (size_t i = 0; i < series->track_count; i++)
        most += series->tracks[i]->count;
    checks = ARENA_ARRAY(mem, struct evidence_check, most);
    into->check_count = 0;
    for (size_t i = 0; i < series->track_count; i++) {
        const struct probe_track *track = series->tracks[i];

        if (farm_instrument_from(series->book->farm, track->instrument) > until ||
            farm_instrument_until(series->book->farm, track->instrument) <= first)
            continue;
        buf_addf(&words, "%s%s", words.len ? ", then " : "", probe_track_words(mem, track));
        checks_tell(mem, series, track, first, until, checks, &into->check_count);
    }
    into->instrument = words.len ? words.data : NULL;
    into->checks = checks;
}
