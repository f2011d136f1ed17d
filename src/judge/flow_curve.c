#include "judge/flow_curve.h"

#include "base/search.h"
#include "judge/converter.h"

struct flow_curve flow_curve_of(const struct judgement *judgement, const struct water *water)
{
    struct converter converter = converter_to(judgement->evidence->units, water->known, "m3/s");
    struct flow_curve curve = {
        .points = ARENA_ARRAY(judgement->mem, struct flow_point, water->count),
        .count = water->count,
        .rule = judgement->limit->standing_rule,
        .longest_us = (int64_t)judgement->limit->reading_stands_s * SECOND_US,
        .shut = shut_at(judgement, water->place->station),
        .is_sure = water->is_sure,
        .used = water->used,
        .highest = water->highest,
    };

    for (size_t i = 0; i < water->count; i++) {
        const struct evidence_reading *reading = water->items[i].reading;
        struct flow_point *point = &curve.points[i];

        point->at = reading->at;
        point->until = reading->until;
        point->known =
            (reading->qualifier == QUALIFIER_NONE || reading->qualifier == QUALIFIER_LESS) &&
            converter_apply(judgement->mem, &converter, reading->unit, reading->reported,
                            &point->m3_per_s, NULL);
    }

    return curve;
}

/* A part of the curve between two instants: from one flow to another, on a straight line. */
struct piece {
    instant from;
    instant until;
    bool known;
    struct amount first;
    struct amount last;
};

static struct amount seconds(int64_t us)
{
    return amount_from_decimal((struct decimal){.coefficient = us, .scale = 6});
}

/* The flow of a piece at an instant in it. */
static struct amount flow_in(struct arena *mem, const struct piece *piece, instant at)
{
    if (piece->from == piece->until)
        return piece->first;

    const struct exact *share = exact_div(mem, amount_exact(mem, seconds(at - piece->from)),
                                          amount_exact(mem, seconds(piece->until - piece->from)));
    const struct exact *change =
        exact_sub(mem, amount_exact(mem, piece->last), amount_exact(mem, piece->first));

    return amount_add(mem, piece->first, amount_from_exact(exact_mul(mem, change, share)));
}

/* What is laid over a span so far. */
struct laid {
    struct amount m3;
    int64_t gap_us;
};

/* The mean flow of a part of a piece. */
static struct amount mean_in(struct arena *mem, const struct piece *piece, instant from,
                             instant until)
{
    static const struct decimal half = {5, 1};

    if (amount_compare(mem, piece->first, piece->last) == 0)
        return piece->first;

    return amount_multiply(mem,
                           amount_add(mem, flow_in(mem, piece, from), flow_in(mem, piece, until)),
                           amount_from_decimal(half));
}

/* Lay the part of a piece that is inside a span onto what is known of it. */
static void lay(struct arena *mem, const struct piece *piece, instant from, instant until,
                struct laid *out)
{
    from = piece->from < from ? from : piece->from;
    until = piece->until > until ? until : piece->until;
    if (from >= until)
        return;
    if (!piece->known) {
        out->gap_us += until - from;
        return;
    }
    out->m3 =
        amount_add(mem, out->m3,
                   amount_multiply(mem, mean_in(mem, piece, from, until), seconds(until - from)));
}

/* A time without a reading that is longer than a step may be. */
struct gap {
    instant from;
    instant until;
    const struct flow_point *before; /* NULL: there is none */
    const struct flow_point *after;
};

/* The piece of a gap that an instant lies in: shut, held from a reading to the shutting, or not
 * known. */
static struct piece piece_of_gap(const struct flow_curve *curve, const struct gap *gap, instant at)
{
    static const struct amount none = {.decimal = {0, 0}};
    const struct shut_list *shut = &curve->shut;
    struct piece piece = {.from = gap->from, .until = gap->until};
    bool opened = false;
    bool shuts = false;

    for (size_t i = 0; i < shut->count && shut->items[i].from < gap->until; i++) {
        const struct shut_span *span = &shut->items[i];

        if (span->until <= gap->from)
            continue;
        if (span->from <= at && at < span->until)
            return (struct piece){span->from > gap->from ? span->from : gap->from,
                                  span->until < gap->until ? span->until : gap->until, true, none,
                                  none};
        if (span->from > at) {
            piece.until = span->from;
            shuts = true;
            break;
        }
        piece.from = span->until;
        opened = true;
    }

    const struct flow_point *stands = !opened && shuts   ? gap->before
                                      : opened && !shuts ? gap->after
                                                         : NULL;

    if (stands && piece.until - piece.from <= curve->longest_us) {
        piece.known = stands->known;
        piece.first = piece.last = stands->m3_per_s;
    }

    return piece;
}

static void lay_gap(struct arena *mem, const struct flow_curve *curve, const struct gap *gap,
                    instant from, instant until, struct laid *out)
{
    for (instant at = gap->from; at < gap->until;) {
        struct piece piece = piece_of_gap(curve, gap, at);

        lay(mem, &piece, from, until, out);
        at = piece.until;
    }
}

static bool is_gap(const struct flow_curve *curve, instant from, instant until)
{
    return curve->longest_us > 0 && until - from > curve->longest_us;
}

/* What a step between readings is made of, which is no gap: two pieces at most. */
static size_t pieces_of_step(const struct flow_curve *curve, const struct flow_point *point,
                             const struct flow_point *next, struct piece *pieces)
{
    instant from = point->until;
    instant until = next->at;
    struct piece whole = {from, until, point->known, point->m3_per_s, point->m3_per_s};

    if (curve->rule == STANDS_HALF_WAY) {
        instant middle = from + (until - from) / 2;

        pieces[0] = whole;
        pieces[0].until = middle;
        pieces[1] = (struct piece){middle, until, next->known, next->m3_per_s, next->m3_per_s};
        return 2;
    }
    if (curve->rule == STANDS_STRAIGHT_LINE) {
        whole.known = point->known && next->known;
        whole.last = next->m3_per_s;
    }
    pieces[0] = whole;

    return 1;
}

/* The number of points that begin before `at`. */
static size_t points_before(const struct flow_curve *curve, instant at)
{
    return SEARCH_FROM(curve->points, curve->count, at, at);
}

/* Lay what is after the last reading: it stands, or there is a gap. */
static void lay_last(struct arena *mem, const struct flow_curve *curve,
                     const struct flow_point *point, instant from, instant until, struct laid *out)
{
    struct piece piece = {point->until, until, point->known, point->m3_per_s, point->m3_per_s};

    if (is_gap(curve, point->until, until))
        lay_gap(mem, curve, &(struct gap){point->until, until, point, NULL}, from, until, out);
    else
        lay(mem, &piece, from, until, out);
}

struct flow_part flow_curve_volume(struct arena *mem, const struct flow_curve *curve, instant from,
                                   instant until)
{
    struct laid part = {.gap_us = 0};
    size_t first = points_before(curve, from);
    struct piece pieces[2];

    if (curve->count == 0)
        lay_gap(mem, curve, &(struct gap){from, until, NULL, NULL}, from, until, &part);
    if (first > 0)
        first--;
    if (first < curve->count && curve->points[first].at > from)
        lay_gap(mem, curve,
                &(struct gap){from, curve->points[first].at, NULL, &curve->points[first]}, from,
                until, &part);
    for (size_t i = first; i < curve->count && curve->points[i].at < until; i++) {
        const struct flow_point *point = &curve->points[i];
        struct piece span = {point->at, point->until, point->known, point->m3_per_s,
                             point->m3_per_s};

        lay(mem, &span, from, until, &part);
        if (i + 1 == curve->count) {
            lay_last(mem, curve, point, from, until, &part);
            break;
        }
        if (is_gap(curve, point->until, point[1].at)) {
            lay_gap(mem, curve, &(struct gap){point->until, point[1].at, point, point + 1}, from,
                    until, &part);
            continue;
        }

        size_t count = pieces_of_step(curve, point, point + 1, pieces);

        for (size_t k = 0; k < count; k++)
            lay(mem, &pieces[k], from, until, &part);
    }

    return (struct flow_part){.m3 = part.m3, .gap_us = part.gap_us};
}

/* The piece an instant lies in; at a reading the reading itself. */
static struct piece piece_at(const struct flow_curve *curve, instant at)
{
    size_t after = points_before(curve, at + 1);
    const struct flow_point *point = after > 0 ? &curve->points[after - 1] : NULL;
    const struct flow_point *next = after < curve->count ? &curve->points[after] : NULL;
    struct gap gap = {point ? point->until : at, next ? next->at : at + 1, point, next};
    struct piece pieces[2];

    if (point && at <= point->until)
        return (struct piece){at, at, point->known, point->m3_per_s, point->m3_per_s};
    if (!point || is_gap(curve, gap.from, gap.until))
        return piece_of_gap(curve, &gap, at);
    if (!next)
        return (struct piece){gap.from, gap.until, point->known, point->m3_per_s, point->m3_per_s};

    size_t count = pieces_of_step(curve, point, next, pieces);

    return count == 2 && at >= pieces[1].from ? pieces[1] : pieces[0];
}

const struct exact *flow_curve_at(struct arena *mem, const struct flow_curve *curve, instant from,
                                  instant until)
{
    if (until > from) {
        struct flow_part part = flow_curve_volume(mem, curve, from, until);

        return part.gap_us > 0 ? NULL
                               : exact_div(mem, amount_exact(mem, part.m3),
                                           amount_exact(mem, seconds(until - from)));
    }

    struct piece piece = piece_at(curve, from);

    return piece.known ? amount_exact(mem, flow_in(mem, &piece, from)) : NULL;
}
