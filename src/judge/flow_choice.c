#include "judge/flow_choice.h"

enum { NOWHERE = -1 };

/* A choice while it is made. Steps lead from points and from the beginning, at index NOWHERE. */
struct choosing {
    struct arena *mem;
    const struct flow_curve *curve;
    instant from;
    instant until;
    int first; /* the points that may matter, [first, after) */
    int after;
    bool begins; /* no point before them is sure: there may be none */
    bool ends;   /* and after them */
    int steps;   /* tried so far */
    int best[2]; /* at an instant: the two points that the flow goes by */
};

/* The best way to a point. */
struct way {
    bool is_there;
    int before; /* the point that it leads from */
    struct flow_part part;
};

static bool is_sure(const struct choosing *choosing, int index)
{
    return choosing->curve->is_sure[index];
}

static const struct flow_point *point_of(const struct choosing *choosing, int index)
{
    return &choosing->curve->points[index];
}

/* Whether a step is a gap that those between may close, so that it need not be tried. */
static bool is_too_long(const struct choosing *choosing, instant from, instant until)
{
    const struct flow_curve *curve = choosing->curve;

    return curve->longest_us > 0 && curve->shut.count == 0 && until - from > curve->longest_us;
}

/* Leave out what lies too far from the span to reach it. */
static void trim(struct choosing *choosing)
{
    const struct flow_point *points = choosing->curve->points;

    while (choosing->first + 1 < choosing->after &&
           points[choosing->first + 1].at <= choosing->from &&
           is_too_long(choosing, points[choosing->first].until, choosing->from))
        choosing->first++;
    while (choosing->after - 2 >= choosing->first &&
           points[choosing->after - 2].at >= choosing->until &&
           is_too_long(choosing, choosing->until, points[choosing->after - 1].at))
        choosing->after--;
}

static struct choosing choosing_of(struct arena *mem, const struct flow_curve *curve, instant from,
                                   instant until)
{
    struct choosing choosing = {.mem = mem, .curve = curve, .from = from, .until = until};
    int count = (int)curve->count;
    int first = 0;

    while (first < count && curve->points[first].at <= from)
        first++;
    while (first > 0 && !curve->is_sure[first - 1])
        first--;
    choosing.begins = first == 0;
    choosing.first = first > 0 ? first - 1 : 0;
    choosing.after = first;
    while (choosing.after < count &&
           (curve->points[choosing.after].at < until || !curve->is_sure[choosing.after]))
        choosing.after++;
    choosing.ends = choosing.after == count;
    choosing.after += !choosing.ends;
    trim(&choosing);

    return choosing;
}

static bool is_open(const struct choosing *choosing)
{
    for (int i = choosing->first; i < choosing->after; i++)
        if (!is_sure(choosing, i))
            return true;

    return false;
}

/* The curve by two points alone; either may be NOWHERE. */
static struct flow_curve between(const struct choosing *choosing, int from, int to,
                                 struct flow_point points[2])
{
    struct flow_curve curve = *choosing->curve;

    curve.points = points;
    curve.count = 0;
    if (from != NOWHERE)
        points[curve.count++] = *point_of(choosing, from);
    if (to != NOWHERE)
        points[curve.count++] = *point_of(choosing, to);

    return curve;
}

/* Below 0: `a` is the better one. */
static int order(const struct choosing *choosing, const struct flow_part *a,
                 const struct flow_part *b)
{
    if (a->gap_us != b->gap_us)
        return a->gap_us < b->gap_us ? -1 : 1;

    int by_water = amount_compare(choosing->mem, a->m3, b->m3);

    return choosing->curve->highest ? -by_water : by_water;
}

/* Go on from the point at index `from` to that at `to`, or with NOWHERE to the end. */
static void step(struct choosing *choosing, const struct way *ways, int from, int to,
                 struct way *out)
{
    struct flow_point points[2];
    struct flow_curve curve = between(choosing, from, to, points);
    instant start = from == NOWHERE ? choosing->from : point_of(choosing, from)->at;
    instant end = to == NOWHERE ? choosing->until : point_of(choosing, to)->at;
    struct way way = {.is_there = true, .before = from};

    choosing->steps++;
    start = start < choosing->from ? choosing->from : start;
    end = end > choosing->until ? choosing->until : end;
    if (start < end)
        way.part = flow_curve_volume(choosing->mem, &curve, start, end);
    if (from != NOWHERE) {
        const struct flow_part *before = &ways[from - choosing->first].part;

        way.part.m3 = amount_add(choosing->mem, way.part.m3, before->m3);
        way.part.gap_us += before->gap_us;
    }
    if (!out->is_there || order(choosing, &way.part, &out->part) < 0)
        *out = way;
}

/* Every step to a point, or to the end, from [.., last]. */
static void steps_to(struct choosing *choosing, const struct way *ways, int last, int to,
                     struct way *out)
{
    instant at = to == NOWHERE ? choosing->until : point_of(choosing, to)->at;

    for (int i = last; i >= choosing->first; i--) {
        const struct flow_point *point = point_of(choosing, i);

        if (choosing->steps > FLOW_CHOICE_STEPS_MOST ||
            (i < last && is_too_long(choosing, point->until, at)))
            return;
        if (point->at < choosing->until)
            step(choosing, ways, i, to, out);
        if (is_sure(choosing, i))
            return;
    }
    if (choosing->begins)
        step(choosing, ways, NOWHERE, to, out);
}

/* The value that is highest, or lowest, of all that may matter. */
static struct amount utmost(const struct choosing *choosing)
{
    static const struct amount none = {.decimal = {0, 0}};
    struct amount out = none;
    bool any = !choosing->curve->highest && choosing->curve->shut.count > 0;

    for (int i = choosing->first; i < choosing->after; i++) {
        const struct flow_point *point = point_of(choosing, i);

        if (!point->known)
            continue;

        int order = any ? amount_compare(choosing->mem, point->m3_per_s, out) : 0;

        if (!any || (choosing->curve->highest ? order > 0 : order < 0))
            out = point->m3_per_s;
        any = true;
    }

    return out;
}

/* Where the ways are too many. */
static struct flow_part by_utmost(const struct choosing *choosing)
{
    struct flow_curve all = *choosing->curve;
    struct arena *mem = choosing->mem;
    struct decimal length_s = {.coefficient = choosing->until - choosing->from, .scale = 6};

    all.points += choosing->first;
    all.count = (size_t)(choosing->after - choosing->first);

    struct flow_part part = flow_curve_volume(mem, &all, choosing->from, choosing->until);

    if (part.gap_us == 0)
        part.m3 = amount_multiply(mem, utmost(choosing), amount_from_decimal(length_s));
    for (int i = choosing->first; i < choosing->after; i++)
        choosing->curve->used[i] = true;

    return part;
}

struct flow_part flow_choice_volume(struct arena *mem, const struct flow_curve *curve, instant from,
                                    instant until)
{
    if (!curve->is_sure)
        return flow_curve_volume(mem, curve, from, until);

    struct choosing choosing = choosing_of(mem, curve, from, until);
    struct way best = {.before = NOWHERE};

    if (!is_open(&choosing))
        return flow_curve_volume(mem, curve, from, until);
    if (choosing.after - choosing.first > FLOW_CHOICE_STEPS_MOST)
        return by_utmost(&choosing);

    struct way *ways = ARENA_ARRAY(mem, struct way, (size_t)(choosing.after - choosing.first));

    for (int i = choosing.first; i < choosing.after; i++) {
        struct way *way = &ways[i - choosing.first];

        if (point_of(&choosing, i)->at <= from)
            *way = (struct way){.is_there = true, .before = NOWHERE};
        else
            steps_to(&choosing, ways, i - 1, i, way);
        if (point_of(&choosing, i)->at >= until && way->is_there &&
            (!best.is_there || order(&choosing, &way->part, &best.part) < 0))
            best = (struct way){.is_there = true, .before = i, .part = way->part};
    }
    if (choosing.ends)
        steps_to(&choosing, ways, choosing.after - 1, NOWHERE, &best);
    if (choosing.steps > FLOW_CHOICE_STEPS_MOST)
        return by_utmost(&choosing);
    for (int i = best.before; i != NOWHERE; i = ways[i - choosing.first].before)
        curve->used[i] = true;

    return best.part;
}

/* --- at an instant -----------------------------------------------------------------------------
 */

/* The flow by two points alone where it is better than the best so far. */
static void try_at(struct choosing *choosing, int from, int to, const struct exact **best)
{
    struct flow_point points[2];
    struct flow_curve curve = between(choosing, from, to, points);
    const struct exact *flow = flow_curve_at(choosing->mem, &curve, choosing->from, choosing->from);

    choosing->steps++;
    if (!flow)
        return;

    int order = *best ? exact_compare(flow, *best) : 0;

    if (*best && (choosing->curve->highest ? order <= 0 : order >= 0))
        return;
    *best = flow;
    choosing->best[0] = from;
    choosing->best[1] = to;
}

/* With each of the points after an instant; `from` is before it. */
static void try_after(struct choosing *choosing, int from, int next, const struct exact **best)
{
    for (int i = next; i < choosing->after; i++) {
        if (i > next && is_too_long(choosing, choosing->from, point_of(choosing, i)->at))
            break;
        try_at(choosing, from, i, best);
        if (is_sure(choosing, i))
            return;
    }
    if (choosing->ends)
        try_at(choosing, from, NOWHERE, best);
}

static const struct exact *at_instant(struct choosing *choosing)
{
    const struct exact *best = NULL;
    int next = choosing->first;

    while (next < choosing->after && point_of(choosing, next)->at <= choosing->from)
        next++;
    for (int i = next - 1; i >= choosing->first; i--) {
        if (i < next - 1 && is_too_long(choosing, point_of(choosing, i)->until, choosing->from))
            break;
        try_after(choosing, i, next, &best);
        if (is_sure(choosing, i) || choosing->steps > FLOW_CHOICE_STEPS_MOST)
            break;
    }
    if (choosing->begins)
        try_after(choosing, NOWHERE, next, &best);

    for (int i = 0; i < 2; i++)
        if (best && choosing->best[i] != NOWHERE)
            choosing->curve->used[choosing->best[i]] = true;

    return choosing->steps > FLOW_CHOICE_STEPS_MOST && best
               ? amount_exact(choosing->mem, utmost(choosing))
               : best;
}

const struct exact *flow_choice_at(struct arena *mem, const struct flow_curve *curve, instant from,
                                   instant until)
{
    struct choosing choosing;

    if (!curve->is_sure)
        return flow_curve_at(mem, curve, from, until);
    if (until > from) {
        struct flow_part part = flow_choice_volume(mem, curve, from, until);
        struct decimal length_s = {.coefficient = until - from, .scale = 6};

        return part.gap_us > 0 ? NULL
                               : exact_div(mem, amount_exact(mem, part.m3),
                                           amount_exact(mem, amount_from_decimal(length_s)));
    }
    choosing = choosing_of(mem, curve, from, from + 1);

    return at_instant(&choosing);
}
