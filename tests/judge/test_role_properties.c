#include "judge/discharge.h"
#include "judge/drawn.h"

/*
 * Whatever another reading is for a clause (a word of the outlet, the level of a condition, what a
 * bound goes by, the intake), a row of it that was set aside must not leave a verdict within that
 * would be outside were the row taken in; and no row turns outside away.
 */

enum { CASES = 1500, PIECES_MOST = 14, MINUTES = 28 * 24 * 60 };

enum role { ROLE_OUTLET, ROLE_WHILE, ROLE_BOUND, ROLE_NEAREST, ROLE_RESIDENCE, ROLES };

static const char *const role_names[] = {"outlet", "while", "bound", "nearest", "residence"};

enum damage { NO_STATION, NO_UNIT, NO_VALUE, NO_TIME, DAMAGES };

/* A reading of the case; where it is set aside, what of it can't be read. */
struct piece {
    bool is_sample;
    int minute; /* of March */
    int value;
    bool aside;
    enum damage damage;
};

struct role_case {
    uint64_t number;
    enum role role;
    bool is_mean;
    bool above; /* of a condition */
    struct piece pieces[PIECES_MOST];
    size_t count;
};

static struct role_case draw_case(uint64_t number)
{
    struct drawn drawn = {.number = number, .state = number * 0x9e3779b97f4a7c15u + 1};
    struct role_case out = {.number = number};

    out.role = (enum role)drawn_int(&drawn, ROLES);
    out.is_mean = out.role != ROLE_BOUND && drawn_one_in(&drawn, 3);
    out.above = drawn_one_in(&drawn, 2);
    out.count = 4 + (size_t)drawn_int(&drawn, PIECES_MOST - 4);
    for (size_t i = 0; i < out.count; i++) {
        struct piece *piece = &out.pieces[i];

        piece->is_sample = i < 2 || drawn_one_in(&drawn, 3);
        /* Few instants, so that they are near each other and at times the same. */
        piece->minute = (1 + drawn_int(&drawn, 4)) * 1440 + drawn_int(&drawn, 8) * 90;
        piece->value = 1 + drawn_int(&drawn, piece->is_sample ? 34 : 20);
        piece->aside = !piece->is_sample && drawn_one_in(&drawn, 2);
        piece->damage = (enum damage)drawn_int(&drawn, DAMAGES);
    }

    return out;
}

static instant minute_at(int minute)
{
    return given_at("2026-03-01T00:00:00Z") + minute * 60 * SECOND_US;
}

static void set_limit(struct given *given, const struct role_case *one)
{
    static const struct bound_step steps[] = {{.up_to = {8, 0}, .bound = {30, 0}},
                                              {.up_to = {16, 0}, .bound = {20, 0}},
                                              {.last = true, .bound = {10, 0}}};
    struct limit *limit = &given->limit;

    limit->statistic = one->is_mean ? STATISTIC_MEAN : STATISTIC_VALUE;
    limit->period = one->is_mean ? PERIOD_MONTH : PERIOD_EACH_SAMPLE;
    limit->bound = (struct limit_bound){.has_ceiling = true, .ceiling = {20, 0}};
    if (one->role == ROLE_OUTLET)
        limit->only_while_discharging = true;
    if (one->role == ROLE_WHILE)
        limit->applies_while =
            (struct limit_while){.other = {.station = "gauge", .parameter = "rain", .unit = "mm"},
                                 .has_above = one->above,
                                 .has_below = !one->above,
                                 .above = {10, 0},
                                 .below = {10, 0},
                                 .within_s = 172800};
    if (one->role == ROLE_BOUND) {
        limit->bound = (struct limit_bound){.has_ceiling = false};
        limit->bound_by = (struct limit_bound_by){
            .kind = BOUND_TABLE,
            .others = {{.station = "outfall", .parameter = "temperature", .unit = "degC"}},
            .other_count = 1,
            .within_s = 14400,
            .steps = steps,
            .step_count = ARRAY_LEN(steps)};
    }
    if (one->role == ROLE_NEAREST || one->role == ROLE_RESIDENCE)
        limit->against = (struct limit_against){
            .kind = AGAINST_DIFFERENCE,
            .place = {"intake", NULL},
            .pairing = one->role == ROLE_NEAREST ? PAIR_WITHIN : PAIR_RESIDENCE,
            .residence_s = one->role == ROLE_NEAREST ? 0 : 86400,
            .within_s = 28800};
}

static const struct {
    const char *station;
    const char *parameter;
    const char *unit;
} others[ROLES] = {
    [ROLE_OUTLET] = {"outfall", "outlet", ""},
    [ROLE_WHILE] = {"gauge", "rain", "mm"},
    [ROLE_BOUND] = {"outfall", "temperature", "degC"},
    [ROLE_NEAREST] = {"intake", "suspended-solids", "mg/L"},
    [ROLE_RESIDENCE] = {"intake", "suspended-solids", "mg/L"},
};

static const char *text_of(struct given *given, const struct role_case *one,
                           const struct piece *piece)
{
    if (!piece->is_sample && one->role == ROLE_OUTLET)
        return piece->value > 10 ? "open" : "shut";

    return arena_printf(given->mem, "%d", piece->value);
}

static int by_minute(const void *a, const void *b)
{
    const struct piece *left = a;
    const struct piece *right = b;

    return (left->minute > right->minute) - (left->minute < right->minute);
}

static void add_row(struct given *given, const struct role_case *one, const struct piece *piece)
{
    bool is_word = one->role == ROLE_OUTLET;
    bool unreadable = piece->damage == NO_VALUE || (is_word && piece->damage == NO_UNIT);
    struct evidence_set_aside *row = given_row(
        given, minute_at(piece->minute), unreadable || is_word ? NULL : text_of(given, one, piece),
        unreadable || (!is_word && piece->damage == NO_UNIT) ? NULL
        : is_word                                            ? text_of(given, one, piece)
                                                             : others[one->role].unit);

    row->station = piece->damage == NO_STATION ? NULL : others[one->role].station;
    row->parameter = others[one->role].parameter;
    if (piece->damage == NO_TIME)
        row->at = INSTANT_NONE;
}

/* What becomes of rows set aside: they are rows, one of them is taken in, or none is there. */
static struct verdict judged(struct given *given, const struct role_case *one, size_t accepted,
                             bool rows)
{
    struct piece sorted[PIECES_MOST];

    given_again(given);
    set_limit(given, one);
    memcpy(sorted, one->pieces, sizeof(sorted));
    if (accepted < one->count)
        sorted[accepted].aside = false;
    qsort(sorted, one->count, sizeof(*sorted), by_minute);

    size_t samples = given_series(given, "outfall", "suspended-solids", KIND_GRAB);
    size_t record = given_series(given, others[one->role].station, others[one->role].parameter,
                                 one->role == ROLE_OUTLET ? KIND_BY_HAND : KIND_GRAB);

    for (size_t i = 0; i < one->count; i++) {
        const struct piece *piece = &sorted[i];

        if (!piece->aside)
            given_add(given, piece->is_sample ? samples : record, minute_at(piece->minute),
                      text_of(given, one, piece),
                      piece->is_sample ? "mg/L" : others[one->role].unit);
        else if (rows && given->evidence.set_aside_count < GIVEN_ROWS_MOST)
            add_row(given, one, piece);
    }
    if (one->role == ROLE_OUTLET) {
        struct discharge_day *days = judge_discharge_days(given->mem, &given->evidence, (int)record,
                                                          -1, given->from, given->to);

        given->evidence.outlet_series = (int)record;
        given->evidence.day_count = (size_t)(given->to - given->from) + 1;
        memcpy(given->days, days, given->evidence.day_count * sizeof(*days));
    }

    return given_verdict(given);
}

static const char *told(struct given *given, const struct role_case *one)
{
    struct buf text = buf_new(given->mem);

    buf_addf(&text, "case %" PRIu64 ", %s%s%s:", one->number, role_names[one->role],
             one->is_mean ? ", mean" : "", one->above ? ", above" : "");
    for (size_t i = 0; i < one->count; i++) {
        const struct piece *piece = &one->pieces[i];

        buf_addf(&text, " %s%d/%02d:%02d:%d", piece->is_sample ? "" : "other ",
                 1 + piece->minute / 1440, piece->minute / 60 % 24, piece->minute % 60,
                 piece->value);
        if (piece->aside)
            buf_addf(&text, " (aside, %d)", (int)piece->damage);
    }

    return text.data;
}

static void broken(struct given *given, const struct role_case *one, const char *property,
                   const struct verdict *before, const struct verdict *after)
{
    fail_msg("%s\n%s\n  before: %s; %s\n  after:  %s; %s", property, told(given, one),
             before->words, before->reason ? before->reason : "", after->words,
             after->reason ? after->reason : "");
}

static void look_at(struct given *given, const struct role_case *one, size_t *times)
{
    struct verdict before = judged(given, one, SIZE_MAX, true);
    struct verdict without = judged(given, one, SIZE_MAX, false);

    if (without.standing == STANDING_OUTSIDE && before.standing != STANDING_OUTSIDE)
        broken(given, one, "rows turn outside away", &without, &before);
    if (without.standing != STANDING_WITHIN && before.standing == STANDING_WITHIN)
        broken(given, one, "rows make a verdict within", &without, &before);
    for (size_t i = 0; i < one->count; i++) {
        if (!one->pieces[i].aside)
            continue;

        struct verdict after = judged(given, one, i, true);

        times[after.standing] += after.standing != without.standing;
        if (after.standing == STANDING_OUTSIDE && before.standing == STANDING_WITHIN)
            broken(given, one, "taken in, a row makes it outside", &before, &after);
        if (after.standing == STANDING_OUTSIDE && before.standing == STANDING_NOTHING_DUE)
            broken(given, one, "taken in, a row makes something due", &before, &after);
    }
}

static void a_row_set_aside_never_leaves_within_what_it_would_bring_outside(void **state)
{
    struct given *given = *state;
    struct arena *outer = given->mem;
    struct limit limit = given->limit;
    size_t turned[ROLES][STANDING_NOTHING_DUE + 1] = {{0}};

    for (uint64_t i = 0; i < CASES; i++) {
        struct role_case one = draw_case(i);

        given->mem = arena_new();
        look_at(given, &one, turned[one.role]);
        arena_free(&given->mem);
        given->mem = outer;
        given->limit = limit;
        given->evidence.outlet_series = -1;
    }
    /* Where taking in never turned what is said without the row, it would hold of anything. */
    for (size_t i = 0; i < ROLES; i++)
        if (turned[i][STANDING_OUTSIDE] < 3 || turned[i][STANDING_WITHIN] < 3)
            fail_msg("%s: taken in, %zu became outside and %zu within", role_names[i],
                     turned[i][STANDING_OUTSIDE], turned[i][STANDING_WITHIN]);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(a_row_set_aside_never_leaves_within_what_it_would_bring_outside),
    };

    return cmocka_run_group_tests(tests, given_new, given_done);
}
