#include "trust/probe_spans.h"

#include "base/macro.h"

const char *const probe_answer_words[PROBE_ANSWERS + 1] = {"corrected", "left out", "stands",
                                                           "refused", NULL};

static bool is_good(const struct probe_visit *visit)
{
    return visit->left == PROBE_GOOD;
}

static bool is_calibration(const struct probe_visit *visit)
{
    return is_good(visit) && visit->calibrated;
}

static void issue_add(struct arena *mem, struct probe_issues *list, struct probe_issue issue)
{
    if (issue.after < issue.until)
        LIST_ADD(mem, list, issue);
}

/* After a check was due, until the next one that left it good. */
static void overdue_add(struct arena *mem, struct probe_issues *list,
                        const struct probe_visit *visits, size_t count,
                        const struct probe_rule *rule, int64_t every,
                        bool (*counts)(const struct probe_visit *), enum probe_issue_kind kind)
{
    struct probe_issue next = {.kind = kind, .after = rule->from - 1};

    if (every == 0)
        return;
    for (size_t i = 0; i < count; i++) {
        if (!counts(&visits[i]))
            continue;
        next.until = visits[i].at;
        next.visit = visits[i].visit;
        issue_add(mem, list, next);
        next = (struct probe_issue){
            .kind = kind, .after = visits[i].at + every, .since = visits[i].visit};
    }
    next.until = INT64_MAX;
    issue_add(mem, list, next);
}

/* The last check before visits[at]; NULL: none. */
static const struct probe_visit *check_before(const struct probe_visit *visits, size_t at)
{
    for (size_t i = at; i > 0; i--)
        if (visits[i - 1].has_standards)
            return &visits[i - 1];

    return NULL;
}

/* Found off: since the check before, which answers for what lies before it. */
static void failed_add(struct arena *mem, struct probe_issues *list,
                       const struct probe_visit *visits, size_t at, const struct probe_rule *rule)
{
    const struct probe_visit *before = check_before(visits, at);
    const struct probe_visit *visit = &visits[at];

    if (visit->found != PROBE_FAILED && visit->found != PROBE_BEYOND)
        return;
    issue_add(
        mem, list,
        (struct probe_issue){.kind = visit->found == PROBE_BEYOND ? PROBE_GAP : PROBE_CHECK_FAILED,
                             .after = before ? before->at : rule->from - 1,
                             .until = visit->at,
                             .visit = visit->visit,
                             .since = before ? before->visit : 0});
}

/* Left off: until the next check. */
static void left_add(struct arena *mem, struct probe_issues *list, const struct probe_visit *visits,
                     size_t count, size_t at)
{
    struct probe_issue issue = {.kind = PROBE_NOT_PUT_RIGHT,
                                .after = visits[at].at,
                                .until = INT64_MAX,
                                .since = visits[at].visit};

    if (visits[at].left != PROBE_FAILED)
        return;
    for (size_t i = at + 1; i < count && issue.visit == 0; i++) {
        if (!visits[i].has_standards)
            continue;
        issue.until = visits[i].at;
        issue.visit = visits[i].visit;
    }
    issue_add(mem, list, issue);
}

struct probe_issues probe_issues_of(struct arena *mem, const struct probe_visit *visits,
                                    size_t count, const struct probe_rule *rule)
{
    struct probe_issues list = {0};

    for (size_t i = 0; i < count; i++) {
        failed_add(mem, &list, visits, i, rule);
        left_add(mem, &list, visits, count, i);
    }
    overdue_add(mem, &list, visits, count, rule, rule->check_every_us, is_good,
                PROBE_CHECK_OVERDUE);
    overdue_add(mem, &list, visits, count, rule, rule->calibrate_every_us, is_calibration,
                PROBE_CALIBRATION_OVERDUE);

    return list;
}

/* --- answers --------------------------------------------------------------------------------- */

bool probe_answer_settles(const struct probe_answer *answer, const struct probe_issue *issue)
{
    if (issue->visit == 0 || answer->visit != issue->visit || answer->kind == PROBE_ANSWER_REFUSED)
        return false;

    /* What lies beyond the maximum stays a gap, whatever is said. */
    return issue->kind != PROBE_GAP;
}

static const struct probe_answer *answer_to(const struct probe_issue *issue,
                                            const struct probe_answer *answers, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (probe_answer_settles(&answers[i], issue))
            return &answers[i];

    return NULL;
}

struct probe_issues probe_issues_left(struct arena *mem, const struct probe_issues *issues,
                                      const struct probe_answer *answers, size_t count)
{
    struct probe_issues left = {0};

    for (size_t i = 0; i < issues->count; i++) {
        struct probe_issue issue = issues->items[i];
        const struct probe_answer *answer = answer_to(&issue, answers, count);

        if (!answer || answer->after >= issue.until || answer->until <= issue.after) {
            issue_add(mem, &left, issue);
            continue;
        }

        struct probe_issue rest = issue;

        issue.until = answer->after;
        issue_add(mem, &left, issue);
        rest.after = answer->until;
        issue_add(mem, &left, rest);
    }

    return left;
}

static const struct exact *grown(struct arena *mem, const struct exact *error, instant from,
                                 instant until, instant at)
{
    if (!error || at <= from || until <= from)
        return exact_from_int(mem, 0);

    return exact_mul(mem, error, exact_from_ratio(mem, at - from, until - from));
}

const struct exact *probe_correction_at(struct arena *mem, const struct probe_answer *answer,
                                        instant at)
{
    if (answer->kind != PROBE_ANSWER_CORRECTED || at <= answer->after || at > answer->until)
        return NULL;

    return exact_add(mem, grown(mem, answer->fouling, answer->cleaned, answer->until, at),
                     grown(mem, answer->drift, answer->after, answer->until, at));
}

/* --- proposals ------------------------------------------------------------------------------- */

static instant good_before(const struct probe_visit *visits, size_t at,
                           const struct probe_rule *rule)
{
    for (size_t i = at; i > 0; i--)
        if (is_good(&visits[i - 1]))
            return visits[i - 1].at;

    return rule->from - 1;
}

static instant cleaned_before(const struct probe_visit *visits, size_t at, instant after)
{
    for (size_t i = at; i > 0 && visits[i - 1].at > after; i--)
        if (visits[i - 1].cleaned)
            return visits[i - 1].at;

    return after;
}

struct probe_proposal probe_proposal_of(const struct probe_visit *visits, size_t at,
                                        const struct probe_rule *rule)
{
    const struct probe_visit *visit = &visits[at];
    const struct probe_visit *before = check_before(visits, at);
    instant after = before ? before->at : rule->from - 1;
    struct probe_proposal proposal = {.answer = {.visit = visit->visit,
                                                 .kind = PROBE_ANSWER_CORRECTED,
                                                 .after = after,
                                                 .until = visit->at,
                                                 .cleaned = cleaned_before(visits, at, after),
                                                 .fouling = visit->fouling,
                                                 .drift = visit->drift},
                                      .good_after = good_before(visits, at, rule)};

    if (visit->found == PROBE_BEYOND)
        proposal.why_not = "its error is beyond the maximum, so that these readings are a gap and "
                           "are not corrected";
    else if (visit->found != PROBE_FAILED)
        proposal.why_not = "the check found nothing to correct";
    else if (!before)
        proposal.why_not = "no check before it is on record, from which an error could have grown";
    else if (!is_good(before))
        proposal.why_not = "the check before it left the probe off, so that the error did not grow "
                           "from nothing";

    return proposal;
}

static instant due_after(const struct probe_visit *visits, size_t count, instant from,
                         int64_t every, bool (*counts)(const struct probe_visit *))
{
    instant due = from;

    for (size_t i = 0; i < count; i++)
        if (counts(&visits[i]))
            due = visits[i].at + every;

    return due;
}

instant probe_due(const struct probe_visit *visits, size_t count, const struct probe_rule *rule)
{
    instant due = INSTANT_NONE;

    if (rule->check_every_us > 0)
        due = due_after(visits, count, rule->from, rule->check_every_us, is_good);
    if (rule->calibrate_every_us > 0) {
        instant calibration =
            due_after(visits, count, rule->from, rule->calibrate_every_us, is_calibration);

        due = due == INSTANT_NONE || calibration < due ? calibration : due;
    }

    return due;
}

const struct probe_visit *probe_last_good(const struct probe_visit *visits, size_t count,
                                          instant at)
{
    const struct probe_visit *last = NULL;

    for (size_t i = 0; i < count && visits[i].at <= at; i++)
        if (is_good(&visits[i]))
            last = &visits[i];

    return last;
}
