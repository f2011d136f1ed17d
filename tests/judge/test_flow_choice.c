#include "judge/flow_choice.h"

#include "harness/cmocka.h"

/*
 * The most and the least water over all choices of the readings in doubt: held against trying every
 * one of these choices, on flows drawn at random.
 */

enum { POINTS_MOST = 11, CASES = 3000, HOURS = 48, SPAN_FROM_H = 12, SPAN_UNTIL_H = 36 };

static const int64_t quarter_us = HOUR_US / 4;

/* A flow over time, of which it is open which points count. */
struct drawn_flow {
    uint64_t state;
    struct flow_point points[POINTS_MOST];
    bool is_sure[POINTS_MOST];
    bool used[POINTS_MOST];
    struct shut_span shut[1];
    struct flow_curve curve;
};

/* A number from 0 to below `below` (SplitMix64, G. Steele et al. 2014). */
static int draw(struct drawn_flow *flow, int below)
{
    uint64_t mixed = flow->state += 0x9e3779b97f4a7c15u;

    mixed = (mixed ^ (mixed >> 30)) * 0xbf58476d1ce4e5b9u;
    mixed = (mixed ^ (mixed >> 27)) * 0x94d049bb133111ebu;

    return (int)((mixed ^ (mixed >> 31)) % (uint64_t)below);
}

static void draw_flow(struct drawn_flow *flow, uint64_t number)
{
    static const int longest_h[] = {0, 3, 6, 12, 24};
    instant at = 0;

    *flow = (struct drawn_flow){.state = number};
    flow->curve = (struct flow_curve){
        .points = flow->points,
        .count = (size_t)(1 + draw(flow, POINTS_MOST)),
        .rule = (enum standing_rule)draw(flow, 3),
        .longest_us = longest_h[draw(flow, 5)] * HOUR_US,
        .is_sure = flow->is_sure,
        .used = flow->used,
        .highest = draw(flow, 2) == 0,
    };
    for (size_t i = 0; i < flow->curve.count; i++) {
        at += (1 + draw(flow, 2 * 4 * HOURS / POINTS_MOST)) * quarter_us;
        flow->is_sure[i] = draw(flow, 3) == 0;
        flow->points[i] = (struct flow_point){
            .at = at,
            .until = at,
            .known = !flow->is_sure[i] || draw(flow, 12) > 0,
            .m3_per_s = amount_from_decimal((struct decimal){draw(flow, 40), 1}),
        };
    }
    if (flow->curve.longest_us > 0 && draw(flow, 3) == 0) {
        flow->shut[0].from = draw(flow, HOURS * 4) * quarter_us;
        flow->shut[0].until = flow->shut[0].from + (1 + draw(flow, 40)) * quarter_us;
        flow->curve.shut = (struct shut_list){flow->shut, 1, 1};
    }
}

/* Those of the points that count in the choice of this number; false: a sure one would not. */
static bool choose(const struct drawn_flow *flow, unsigned choice, struct flow_point *points,
                   struct flow_curve *out)
{
    *out = flow->curve;
    out->points = points;
    out->count = 0;
    out->is_sure = NULL;
    for (size_t i = 0; i < flow->curve.count; i++) {
        if (choice >> i & 1)
            points[out->count++] = flow->points[i];
        else if (flow->is_sure[i])
            return false;
    }

    return true;
}

static bool is_better(struct arena *mem, const struct drawn_flow *flow, const struct flow_part *a,
                      const struct flow_part *b)
{
    int order = amount_compare(mem, a->m3, b->m3);

    if (a->gap_us != b->gap_us)
        return a->gap_us < b->gap_us;

    return flow->curve.highest ? order > 0 : order < 0;
}

static struct flow_part best_volume(struct arena *mem, const struct drawn_flow *flow)
{
    struct flow_part best = {.gap_us = INT64_MAX};

    for (unsigned choice = 0; choice < 1u << flow->curve.count; choice++) {
        struct flow_point points[POINTS_MOST];
        struct flow_curve curve;

        if (!choose(flow, choice, points, &curve))
            continue;

        struct flow_part part =
            flow_curve_volume(mem, &curve, SPAN_FROM_H * HOUR_US, SPAN_UNTIL_H * HOUR_US);

        if (is_better(mem, flow, &part, &best))
            best = part;
    }

    return best;
}

static const struct exact *best_at(struct arena *mem, const struct drawn_flow *flow, instant at)
{
    const struct exact *best = NULL;

    for (unsigned choice = 0; choice < 1u << flow->curve.count; choice++) {
        struct flow_point points[POINTS_MOST];
        struct flow_curve curve;

        if (!choose(flow, choice, points, &curve))
            continue;

        const struct exact *one = flow_curve_at(mem, &curve, at, at);

        if (one && (!best || (flow->curve.highest ? exact_compare(one, best) > 0
                                                  : exact_compare(one, best) < 0)))
            best = one;
    }

    return best;
}

static void the_water_of_a_day_is_the_best_of_every_choice(void **state)
{
    struct drawn_flow flow;
    int without_gap = 0;

    (void)state;
    for (uint64_t i = 0; i < CASES; i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();

        draw_flow(&flow, i);

        struct flow_part best = best_volume(mem, &flow);
        struct flow_part ours =
            flow_choice_volume(mem, &flow.curve, SPAN_FROM_H * HOUR_US, SPAN_UNTIL_H * HOUR_US);

        without_gap += best.gap_us == 0;
        if (ours.gap_us != best.gap_us || amount_compare(mem, ours.m3, best.m3) != 0)
            fail_msg("case %d: %g m3 and a gap of %g h, and of all choices %g and %g", (int)i,
                     amount_double(ours.m3), (double)ours.gap_us / HOUR_US, amount_double(best.m3),
                     (double)best.gap_us / HOUR_US);
    }
    assert_in_range(without_gap, CASES / 5, CASES);
}

static void the_flow_at_an_instant_is_the_best_of_every_choice(void **state)
{
    struct drawn_flow flow;
    int known = 0;

    (void)state;
    for (uint64_t i = 0; i < CASES; i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();

        draw_flow(&flow, i);

        instant at = draw(&flow, HOURS * 4) * quarter_us;
        const struct exact *best = best_at(mem, &flow, at);
        const struct exact *ours = flow_choice_at(mem, &flow.curve, at, at);

        known += best != NULL;
        if (!ours != !best || (best && exact_compare(ours, best) != 0))
            fail_msg("case %d: %g m3/s, and of all choices %g", (int)i,
                     ours ? amount_double(amount_from_exact(ours)) : -1,
                     best ? amount_double(amount_from_exact(best)) : -1);
    }
    assert_in_range(known, CASES / 3, CASES);
}

/* By hand: 10 m3/s at the beginning and 0 after 24 h, both sure; between them 8 and 4 in doubt. */
static void each_day_has_the_choice_that_is_worst_for_it(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct flow_point points[] = {
        {0, 0, true, amount_from_decimal((struct decimal){10, 0})},
        {12 * HOUR_US, 12 * HOUR_US, true, amount_from_decimal((struct decimal){8, 0})},
        {20 * HOUR_US, 20 * HOUR_US, true, amount_from_decimal((struct decimal){4, 0})},
        {24 * HOUR_US, 24 * HOUR_US, true, amount_from_decimal((struct decimal){0, 0})},
    };
    static const bool is_sure[] = {true, false, false, true};
    bool used[4] = {false};
    struct flow_curve curve = {.points = points,
                               .count = ARRAY_LEN(points),
                               .rule = STANDS_HALF_WAY,
                               .is_sure = is_sure,
                               .used = used,
                               .highest = true};
    struct flow_part part;

    (void)state;
    /* Neither: half-way is 12 h, so that 10 m3/s stand for all of it. */
    part = flow_choice_volume(mem, &curve, 0, 12 * HOUR_US);
    assert_int_equal(amount_double(part.m3), 12 * 3600 * 10);
    assert_false(used[1] || used[2]);
    /* Both: 8 to 16 h, and 4 to 22 h. */
    part = flow_choice_volume(mem, &curve, 12 * HOUR_US, 24 * HOUR_US);
    assert_int_equal(amount_double(part.m3), 3600 * (4 * 8 + 6 * 4));
    assert_true(used[1] && used[2]);
}

/* So many that they aren't tried one by one: the highest stands for all of the span. */
static void of_very_many_in_doubt_the_highest_stands_for_the_span(void **state)
{
    enum { MANY = 200 };
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct flow_point *points = ARENA_ARRAY(mem, struct flow_point, MANY);
    bool *is_sure = ARENA_ARRAY(mem, bool, MANY);
    struct flow_curve curve = {.points = points,
                               .count = MANY,
                               .is_sure = is_sure,
                               .used = ARENA_ARRAY(mem, bool, MANY),
                               .highest = true};

    (void)state;
    for (int i = 0; i < MANY; i++)
        points[i] = (struct flow_point){i * quarter_us, i * quarter_us, true,
                                        amount_from_decimal((struct decimal){i % 7, 0})};
    is_sure[0] = true;

    struct flow_part part = flow_choice_volume(mem, &curve, 0, 40 * HOUR_US);

    assert_int_equal(part.gap_us, 0);
    assert_int_equal(amount_double(part.m3), 40 * 3600 * 6);
    assert_int_equal(
        amount_double(amount_from_exact(flow_choice_at(mem, &curve, 20 * HOUR_US, 20 * HOUR_US))),
        6);
}

int main(void)
{
    static const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_water_of_a_day_is_the_best_of_every_choice),
        cmocka_unit_test(the_flow_at_an_instant_is_the_best_of_every_choice),
        cmocka_unit_test(each_day_has_the_choice_that_is_worst_for_it),
        cmocka_unit_test(of_very_many_in_doubt_the_highest_stands_for_the_span),
    };

    return cmocka_run_group_tests_name("judge/flow choice", tests, NULL, NULL);
}
