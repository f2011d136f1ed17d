#include "judge/judge.h"

#include <assert.h>

#include "judge/gather.h"
#include "judge/hold_back.h"
#include "judge/intakes.h"
#include "judge/pass.h"
#include "judge/runs.h"
#include "judge/shared.h"
#include "judge/show.h"

/*
 * Why nothing is asked on any day so far; NULL: something is on one. `doubted` is set where that is
 * asked on no day but those of which it is in doubt whether anything was discharged.
 */
static const char *nothing_due(const struct judgement *judgement, const char **doubted)
{
    const char *why = NULL;

    for (size_t i = 0; i < judgement->day_count; i++) {
        const struct judged_day *day = &judgement->days[i];

        if (!day->begun || !day->in_force)
            continue;
        if (!day->why_not && !day->doubt) {
            *doubted = NULL;
            return NULL;
        }
        if (day->doubt && !*doubted)
            *doubted = day->doubt;
        why = day->discharge == DISCHARGE_NONE ? "no discharge" : day->why_not;
    }

    return *doubted ? NULL : why;
}

/* What is in doubt in what may count. */
struct doubt {
    bool any;
    bool tried;
};

static struct doubt doubt_of(const struct judgement *judgement)
{
    struct doubt doubt = {.any = judgement->water_in_doubt, .tried = judgement->water_tried};

    for (size_t i = 0; i < judgement->count && !judgement->shared; i++) {
        const struct use *use = &judgement->items[i];

        doubt.any = doubt.any || (!use->why_not && use->trust == TRUST_IN_DOUBT);
        doubt.tried = doubt.tried || (!use->why_not && use->trust == TRUST_TRIED);
    }
    for (size_t i = 0; i < judgement->day_count; i++)
        doubt.any = doubt.any || judgement->days[i].doubt;
    if (judgement->intakes) {
        doubt.any = doubt.any || judgement->intakes->known_beside;
        doubt.tried = doubt.tried || judgement->intakes->tried_beside;
    }

    return doubt;
}

/* The passes of a judgement, and which of them decided. */
struct trial {
    const struct judgement *judgement;
    struct pass_result results[PASS_TRY_BELOW + 1];
    bool run[PASS_TRY_BELOW + 1];
    struct ruling ruling;
};

static void run_passes(struct trial *trial)
{
    const struct judgement *judgement = trial->judgement;
    struct doubt doubt = doubt_of(judgement);
    bool above = judgement->bound.has_ceiling;
    bool below = judgement->bound.has_floor;
    const bool wanted[] = {
        [PASS_WITHOUT] = true,
        [PASS_ALL] = doubt.any,
        [PASS_ABOVE] = doubt.any && above,
        [PASS_BELOW] = doubt.any && below,
        [PASS_TRY_ABOVE] = doubt.tried && above,
        [PASS_TRY_BELOW] = doubt.tried && (below || limit_of_change(judgement->limit)),
    };

    for (enum pass pass = PASS_WITHOUT; pass <= PASS_TRY_BELOW; pass++) {
        trial->run[pass] = wanted[pass];
        if (wanted[pass])
            trial->results[pass] = pass_run(judgement, pass);
    }
}

static bool outside(const struct trial *trial, enum pass pass)
{
    return trial->run[pass] && trial->results[pass].standing == STANDING_OUTSIDE;
}

/* Outside, or open for another reason than want of data. */
static bool stops(const struct trial *trial, enum pass pass)
{
    const struct pass_result *result = &trial->results[pass];

    return outside(trial, pass) ||
           (trial->run[pass] && result->standing == STANDING_NOT_ASSESSABLE && !result->too_little);
}

/* The first pass of those given that is outside; PASS_TRY_BELOW + 1 for none. */
static enum pass first_outside(const struct trial *trial, enum pass from, enum pass to)
{
    enum pass pass = from;

    while (pass <= to && !outside(trial, pass))
        pass++;

    return pass <= to ? pass : PASS_TRY_BELOW + 1;
}

static const char *first_doubt(const struct judgement *judgement)
{
    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->trust == TRUST_IN_DOUBT && use->series != NO_INDEX)
            return use->doubt;
    }

    return judgement->water_in_doubt ? "a flow or meter reading" : "rows set aside";
}

static void cannot_assess(struct verdict *verdict, const char *reason)
{
    verdict->standing = STANDING_NOT_ASSESSABLE;
    verdict->side = SIDE_NONE;
    verdict->reason = reason;
}

/* Without the doubt it could not be assessed: does that lie in the doubt alone? */
static void weigh_without(struct trial *trial, struct verdict *verdict)
{
    const struct pass_result *without = &trial->results[PASS_WITHOUT];
    const struct pass_result *all = &trial->results[PASS_ALL];

    cannot_assess(verdict, without->reason);
    if (!trial->run[PASS_ALL] || all->standing != STANDING_WITHIN)
        return;
    verdict->rests_on_doubt = true;
    trial->ruling.rests_on = PASS_ALL;
    verdict->reason = arena_printf(trial->judgement->mem,
                                   "%s; it would be within only with what is in doubt "
                                   "(%s)",
                                   without->reason, first_doubt(trial->judgement));
}

static const char tried_water[] =
    "by a reading of the meter or flow that is in doubt so much could have flowed that it is "
    "outside, or so little";

/* Within without the doubt: what could still stop it. */
static void weigh_doubt(struct trial *trial, struct verdict *verdict)
{
    const struct judgement *judgement = trial->judgement;

    for (enum pass pass = PASS_ALL; pass <= PASS_BELOW; pass++) {
        if (stops(trial, pass)) {
            verdict->rests_on_doubt = true;
            trial->ruling.rests_on = pass;
            cannot_assess(verdict,
                          arena_printf(judgement->mem, "%s, in what is in doubt (%s)",
                                       trial->results[pass].reason, first_doubt(judgement)));
            return;
        }
    }

    enum pass tried = PASS_TRY_ABOVE;

    while (tried <= PASS_TRY_BELOW && !stops(trial, tried))
        tried++;
    if (tried <= PASS_TRY_BELOW) {
        verdict->rests_on_doubt = true;
        trial->ruling.rests_on = tried;
        cannot_assess(verdict, judgement->tried_words ? judgement->tried_words : tried_water);
    } else if (judgement->water_open) {
        verdict->rests_on_doubt = true;
        trial->ruling.on_water = true;
        cannot_assess(verdict, judgement->water_open);
    } else if (judgement->sample_without_number) {
        verdict->rests_on_doubt = true;
        trial->ruling.on_numberless = true;
        cannot_assess(verdict, judgement->sample_without_number);
    }
}

/* Put the passes together. */
static void weigh(struct trial *trial, struct verdict *verdict)
{
    const struct pass_result *without = &trial->results[PASS_WITHOUT];
    enum pass beyond = first_outside(trial, PASS_WITHOUT, PASS_BELOW);

    if (beyond <= PASS_BELOW) {
        verdict->standing = STANDING_OUTSIDE;
        verdict->side = trial->results[beyond].side;
        verdict->rests_on_doubt = beyond != PASS_WITHOUT;
        trial->ruling = (struct ruling){.shown = beyond, .rests_on = beyond};
        return;
    }
    verdict->standing = without->standing;
    verdict->reason = without->reason;
    if (without->standing == STANDING_WITHIN)
        weigh_doubt(trial, verdict);
    else if (without->standing == STANDING_NOT_ASSESSABLE)
        weigh_without(trial, verdict);
}

/* Only with what is in doubt is anything asked, and nothing is beyond its bound. */
static void weigh_no_discharge(struct trial *trial, const char *doubted, struct verdict *verdict)
{
    if (verdict->standing == STANDING_OUTSIDE)
        return;
    verdict->rests_on_doubt = true;
    trial->ruling.rests_on = PASS_ALL;
    cannot_assess(verdict,
                  arena_printf(trial->judgement->mem,
                               "it is not established that nothing was discharged: %s", doubted));
}

/* No run of the outlet belongs to the span. */
static void judge_without_runs(const struct judgement *judgement, struct verdict *verdict)
{
    if (judgement->evidence->outlet_series < 0) {
        cannot_assess(verdict, "there is no record of the outlet, so its runs are not known");
        return;
    }
    verdict->standing = STANDING_NOTHING_DUE;
    verdict->reason = "no discharge run belongs to this period";
}

static void judge_gathered(const struct judgement *judgement, struct verdict *verdict)
{
    struct trial trial = {.judgement = judgement};
    const char *doubted = NULL;
    const char *not_due = nothing_due(judgement, &doubted);

    if (not_due) {
        verdict->standing = STANDING_NOTHING_DUE;
        verdict->reason = not_due;
        show_evidence(judgement, &trial.ruling, NULL, verdict);
    } else if (!judgement->days[judgement->first_asked].begun) {
        cannot_assess(verdict, "the period has not begun");
        show_evidence(judgement, &trial.ruling, NULL, verdict);
    } else if (judgement->limit->period == PERIOD_DISCHARGE_RUN && judgement->run_count == 0) {
        judge_without_runs(judgement, verdict);
        show_evidence(judgement, &trial.ruling, NULL, verdict);
    } else {
        run_passes(&trial);
        weigh(&trial, verdict);
        if (doubted)
            weigh_no_discharge(&trial, doubted, verdict);
        show_evidence(judgement, &trial.ruling, &trial.results[trial.ruling.shown], verdict);
    }
    hold_back(judgement, trial.results, trial.run, verdict);
}

/* The first instant at which the evidence has a reading of the clause's; INSTANT_NONE: none. */
static instant first_reading(const struct judgement *judgement)
{
    const struct evidence *evidence = judgement->evidence;
    instant first = INSTANT_NONE;

    for (size_t i = 0; i < evidence->series_count; i++) {
        const struct evidence_series *series = &evidence->series[i];

        if (series->count > 0 && gather_series_belongs(judgement->limit, series) &&
            (first == INSTANT_NONE || series->readings[0].at < first))
            first = series->readings[0].at;
    }

    return first;
}

/* Sound readings before the span, each instant or, where a day is one figure, each day once. */
static size_t figures_before(const struct judgement *judgement)
{
    bool by_day = judgement->limit->daily != DAILY_EVERY;
    const struct use *last = NULL;
    size_t count = 0;

    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        if (use->why_not || use->trust != TRUST_SOUND || use->day == NO_INDEX ||
            (size_t)use->day >= judgement->first_asked)
            continue;
        count += !last || (by_day ? use->day != last->day : use->at != last->at);
        last = use;
    }

    return count;
}

/* What is judged, and what of its days around is worked with. */
struct asked {
    day_number from;
    day_number to;
    day_number first;
    day_number last;
};

static bool prepare(struct judgement *judgement, const struct asked *asked, struct err *err)
{
    const struct limit *limit = judgement->limit;
    bool in_full = period_has_one_figure(limit) && limit->change != CHANGE_UNSET;

    *judgement = (struct judgement){
        .mem = judgement->mem,
        .in_brief = judgement->in_brief,
        .shared = judgement->shared,
        .limit = limit,
        .evidence = judgement->evidence,
        .runs = judgement->runs,
        .run_count = judgement->run_count,
        .first_asked = (size_t)(asked->from - asked->first),
        .after_asked = (size_t)(asked->to - asked->first) + 1,
    };

    return shared_prepare(judgement, asked->first, asked->last, in_full, err);
}

/* Of last samples: go back until there are enough, or no more. */
static bool prepare_last_samples(struct judgement *judgement, struct asked *asked, struct err *err)
{
    enum { STEP_DAYS = 61 };
    size_t wanted = judge_samples_before(judgement->limit);
    instant first = first_reading(judgement);
    day_number back = STEP_DAYS;

    for (;;) {
        asked->first = asked->from - back;
        if (!prepare(judgement, asked, err))
            return false;
        if (first == INSTANT_NONE || judgement->from_at <= first ||
            figures_before(judgement) >= wanted)
            return true;
        back *= 2;
    }
}

static bool prepare_span(struct judgement *judgement, struct asked *asked, struct err *err)
{
    const struct limit *limit = judgement->limit;

    if (limit->period == PERIOD_LAST_SAMPLES)
        return prepare_last_samples(judgement, asked, err);
    if (limit->period == PERIOD_DISCHARGE_RUN) {
        runs_find(judgement, asked->from, asked->to);
        runs_days(judgement, &asked->first, &asked->last);
    } else {
        judge_reach(limit, asked->from, asked->to, &asked->first, &asked->last);
    }

    return prepare(judgement, asked, err);
}

/* How its dates lie to days that are one figure; where they are several, each goes by itself. */
static enum window_force in_force(const struct limit *limit, day_number from, day_number to)
{
    enum window_force force = window_in_force(limit, from, to);
    bool not_at_all =
        limit->in_force_from > to || (limit->in_force_to != DAY_NONE && limit->in_force_to < from);

    if (not_at_all)
        return FORCE_NOT;

    return period_is_span(limit) && period_has_one_figure(limit) ? force : FORCE_WHOLE;
}

/* After its end nothing more comes to a clause of which it is not said how it goes by a change. */
static bool is_settled(const struct limit *limit, const struct evidence *evidence,
                       enum window_force force, instant until_at)
{
    if (force != FORCE_UNSAID || limit->in_force_to == DAY_NONE)
        return false;

    instant ended =
        zone_day_start_at(evidence->zone, limit->in_force_to + 1, limit->day_starts_hour);

    return ended < until_at && evidence->now >= ended;
}

static void judge(struct judgement judgement, day_number from, day_number to, struct verdict *out)
{
    struct arena *mem = judgement.mem;
    const struct limit *limit = judgement.limit;
    const struct evidence *evidence = judgement.evidence;
    struct verdict verdict = {.limit = limit, .from = from, .to = to};
    struct asked asked = {from, to, from, to};
    enum window_force force = in_force(limit, from, to);
    struct err err = ERR_INIT;

    assert(from <= to);
    if (!prepare_span(&judgement, &asked, &err))
        cannot_assess(&verdict, arena_strdup(mem, err.text));
    else if (force == FORCE_UNSAID)
        cannot_assess(&verdict, window_change_words(mem, limit, from));
    else if (force == FORCE_NOT)
        verdict.standing = STANDING_NOTHING_DUE;
    else
        judge_gathered(&judgement, &verdict);

    if (force == FORCE_NOT && verdict.standing == STANDING_NOTHING_DUE)
        verdict.reason = "the clause was not in force in this period";
    verdict.from_at = zone_day_start_at(evidence->zone, from, limit->day_starts_hour);
    verdict.until_at = zone_day_start_at(evidence->zone, to + 1, limit->day_starts_hour);
    verdict.so_far = verdict.so_far || (evidence->now < verdict.until_at &&
                                        !is_settled(limit, evidence, force, verdict.until_at));
    show_words(mem, &judgement, &verdict);
    *out = verdict;
}

void judge_limit(struct arena *mem, const struct limit *limit, const struct evidence *evidence,
                 day_number from, day_number to, struct verdict *out)
{
    judge((struct judgement){.mem = mem, .limit = limit, .evidence = evidence}, from, to, out);
}

void judge_limit_in_brief(struct arena *mem, struct shared *shared, const struct limit *limit,
                          const struct evidence *evidence, day_number from, day_number to,
                          struct verdict *out)
{
    judge(
        (struct judgement){
            .mem = mem, .in_brief = true, .shared = shared, .limit = limit, .evidence = evidence},
        from, to, out);
}
