#include "judge/judge.h"

#include <assert.h>

#include "judge/pass.h"
#include "judge/prepare.h"
#include "judge/show.h"

void judge_period(const struct limit *limit, day_number day, day_number *from, day_number *to)
{
    *from = limit->period == PERIOD_MONTH ? month_first(day) : day;
    *to = limit->period == PERIOD_MONTH ? month_next(day) - 1 : day;
}

/* How the dates of the clause lie to a period. */
enum in_force { FORCE_BY_DAY, FORCE_IN_FULL, FORCE_NOT, FORCE_UNSAID };

/* One figure is made of the whole period, so that a change within it needs a rule. */
static bool one_figure(const struct limit *limit)
{
    return limit->period == PERIOD_MONTH && limit->statistic != STATISTIC_VALUE;
}

static enum in_force in_force(const struct limit *limit, day_number from, day_number to)
{
    bool begins_inside = limit->in_force_from > from;
    bool ends_inside = limit->in_force_to != DAY_NONE && limit->in_force_to < to;

    if (limit->in_force_from > to || (limit->in_force_to != DAY_NONE && limit->in_force_to < from))
        return FORCE_NOT;
    if ((!begins_inside && !ends_inside) || !one_figure(limit))
        return FORCE_BY_DAY;
    if (limit->change == CHANGE_UNSET)
        return FORCE_UNSAID;

    return limit->change == (begins_inside ? CHANGE_NEW : CHANGE_OLD) ? FORCE_IN_FULL : FORCE_NOT;
}

/* Whether there is no day of the period, so far, on which anything was discharged. */
static bool nothing_discharged(const struct judgement *judgement)
{
    size_t begun = 0;

    if (!judgement->limit->only_while_discharging)
        return false;
    for (size_t i = 0; i < judgement->day_count; i++) {
        const struct judged_day *day = &judgement->days[i];

        if (day->begun && !day->why_not)
            return false;
        begun += day->begun && day->in_force;
    }

    return begun > 0;
}

/* What is in doubt in what may count. */
struct doubt {
    bool any;
    bool tried;
};

static struct doubt doubt_of(const struct judgement *judgement)
{
    struct doubt doubt = {.any = judgement->volumes_in_doubt};

    for (size_t i = 0; i < judgement->count; i++) {
        const struct use *use = &judgement->items[i];

        doubt.any = doubt.any || (!use->why_not && use->trust == TRUST_IN_DOUBT);
        doubt.tried = doubt.tried || (!use->why_not && use->trust == TRUST_TRIED);
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
    const bool wanted[] = {
        [PASS_WITHOUT] = true,
        [PASS_ALL] = doubt.any,
        [PASS_ABOVE] = doubt.any && judgement->bound.has_ceiling,
        [PASS_BELOW] = doubt.any && judgement->bound.has_floor,
        [PASS_TRY_ABOVE] = doubt.tried && judgement->bound.has_ceiling,
        [PASS_TRY_BELOW] = doubt.tried && judgement->bound.has_floor,
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

    return judgement->volumes_in_doubt ? "a flow or meter reading" : "rows set aside";
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

/* Within without the doubt: what could still stop it. */
static void weigh_doubt(struct trial *trial, struct verdict *verdict)
{
    const struct judgement *judgement = trial->judgement;

    for (enum pass pass = PASS_ALL; pass <= PASS_BELOW; pass++) {
        const struct pass_result *result = &trial->results[pass];

        if (trial->run[pass] && result->standing == STANDING_NOT_ASSESSABLE &&
            !result->too_little) {
            verdict->rests_on_doubt = true;
            trial->ruling.rests_on = pass;
            cannot_assess(verdict, arena_printf(judgement->mem, "%s, in what is in doubt (%s)",
                                                result->reason, first_doubt(judgement)));
            return;
        }
    }

    enum pass tried = first_outside(trial, PASS_TRY_ABOVE, PASS_TRY_BELOW);

    if (tried <= PASS_TRY_BELOW) {
        verdict->rests_on_doubt = true;
        trial->ruling.rests_on = tried;
        cannot_assess(verdict, judgement->tried_words);
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
    if (without->standing == STANDING_WITHIN)
        weigh_doubt(trial, verdict);
    else
        weigh_without(trial, verdict);
}

/* After its end a licence clears nothing; what lies beyond its last bound is still a finding. */
static void apply_licence_end(const struct judgement *judgement, struct verdict *verdict)
{
    day_number ends = judgement->evidence->licence_ends;
    day_number first = judgement->days[0].day;

    if (ends == DAY_NONE || verdict->to < ends || verdict->standing == STANDING_OUTSIDE)
        return;
    if (!judgement->days[ends > first ? ends - first : 0].begun)
        return;
    cannot_assess(verdict, arena_printf(judgement->mem, "the licence ended on %s",
                                        day_words(judgement->mem, ends - 1)));
}

static void judge_gathered(const struct judgement *judgement, struct verdict *verdict)
{
    struct trial trial = {.judgement = judgement};

    if (nothing_discharged(judgement)) {
        verdict->standing = STANDING_NOTHING_DUE;
        verdict->reason = "no discharge";
        show_evidence(judgement, &trial.ruling, NULL, verdict);
    } else if (!judgement->days[0].begun) {
        cannot_assess(verdict, "the period has not begun");
        show_evidence(judgement, &trial.ruling, NULL, verdict);
    } else {
        run_passes(&trial);
        weigh(&trial, verdict);
        show_evidence(judgement, &trial.ruling, &trial.results[trial.ruling.shown], verdict);
    }
    apply_licence_end(judgement, verdict);
    if (verdict->standing == STANDING_WITHIN && !verdict->limit->confirmed)
        cannot_assess(verdict, "not confirmed: nobody has compared this clause with the licence");
}

void judge_limit(struct arena *mem, const struct limit *limit, const struct evidence *evidence,
                 day_number from, day_number to, struct verdict *out)
{
    struct judgement judgement = {.mem = mem, .limit = limit, .evidence = evidence};
    struct verdict verdict = {.limit = limit, .from = from, .to = to};
    enum in_force force = in_force(limit, from, to);
    struct err err = ERR_INIT;

    assert(from <= to);
    if (!prepare_judgement(&judgement, from, to, force == FORCE_IN_FULL, &err))
        cannot_assess(&verdict, arena_strdup(mem, err.text));
    else if (force == FORCE_UNSAID)
        cannot_assess(&verdict, "the clause changed within the period, and it is not said which "
                                "form counts");
    else if (force == FORCE_NOT)
        verdict.standing = STANDING_NOTHING_DUE;
    else
        judge_gathered(&judgement, &verdict);

    if (force == FORCE_NOT && verdict.standing == STANDING_NOTHING_DUE)
        verdict.reason = "the clause was not in force in this period";
    verdict.from_at = judgement.from_at;
    verdict.until_at = judgement.until_at;
    verdict.so_far = evidence->now < judgement.until_at;
    show_words(mem, &judgement, &verdict);
    *out = verdict;
}
