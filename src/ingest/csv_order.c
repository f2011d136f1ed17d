#include "ingest/csv_order.h"

#include <string.h>

#include "ingest/word_map.h"

struct waiting {
    const struct csv_row *row;
    instant early;
    instant late;
};

struct waiting_list {
    struct waiting *items;
    size_t count;
    size_t capacity;
};

/* Rows whose order tells something. */
struct sequence {
    instant last_at; /* INSTANT_NONE before the first */
    int direction;   /* of the last step: 1 to later, -1 to earlier, 0 none yet */
    int streak;      /* steps in that direction, as far as they matter */
    int steps;       /* all steps, as far as they matter */
    bool lost;       /* too much waited: the rest of this hour can't be told either */
    struct waiting_list waiting;
};

struct csv_order {
    struct arena *mem;
    struct arena *rows; /* what waits, in all sequences */
    struct word_map sequences;
    struct sequence **all;
    size_t all_count;
    size_t waiting;
    size_t waiting_bytes;
    void *context;
    bool (*place)(void *context, const struct csv_row *row, instant at, struct err *err);
};

struct csv_order *csv_order_new(struct arena *mem, void *context,
                                bool (*place)(void *context, const struct csv_row *row, instant at,
                                              struct err *err))
{
    struct csv_order *order = ARENA_NEW(mem, struct csv_order);

    order->mem = mem;
    order->rows = arena_new();
    order->sequences = word_map_new(mem, ORDER_SEQUENCES_MOST);
    order->all = ARENA_ARRAY(mem, struct sequence *, ORDER_SEQUENCES_MOST);
    order->context = context;
    order->place = place;

    return order;
}

void csv_order_done(struct csv_order *order)
{
    arena_free(&order->rows);
}

/* NULL when there are too many. */
static struct sequence *sequence_find(struct csv_order *order, const char *key)
{
    struct sequence *sequence = word_map_get(&order->sequences, key);

    if (sequence)
        return sequence;
    if (order->all_count == ORDER_SEQUENCES_MOST)
        return NULL;
    sequence = ARENA_NEW(order->mem, struct sequence);
    sequence->last_at = INSTANT_NONE;
    (void)word_map_put(&order->sequences, key, sequence);
    order->all[order->all_count++] = sequence;

    return sequence;
}

/* --- telling --- */

/*
 * Index of the first row of the second pass, when the rows go one way (`sign` 1 to later, -1 to
 * earlier) with exactly one turn; else 0. Two rows of the same time are two passes of one row.
 */
static size_t turn_find(const struct waiting_list *waiting, int sign)
{
    const struct waiting *rows = waiting->items;
    size_t turn = 0;

    for (size_t i = 1; i < waiting->count; i++)
        if (sign * (rows[i].early - rows[i - 1].early) < 0) {
            if (turn > 0)
                return 0;
            turn = i;
        }
    if (turn == 0 && waiting->count == 2 && rows[0].early == rows[1].early)
        return 1;

    return turn;
}

/* Whether a step that is not the turn goes that way. */
static bool steps_go(const struct waiting_list *waiting, int sign, size_t turn)
{
    for (size_t i = 1; i < waiting->count; i++)
        if (i != turn && sign * (waiting->items[i].early - waiting->items[i - 1].early) > 0)
            return true;

    return false;
}

/* The turn when the rows before, in and after the hour all go that way, else 0. */
static size_t passes_find(const struct sequence *sequence, instant next_at, int sign)
{
    const struct waiting_list *waiting = &sequence->waiting;
    const struct waiting *first = &waiting->items[0];
    const struct waiting *last = &waiting->items[waiting->count - 1];
    instant first_at = sign > 0 ? first->early : first->late;
    instant last_at = sign > 0 ? last->late : last->early;
    size_t turn = turn_find(waiting, sign);
    int wanted = sequence->steps < ORDER_STEPS ? sequence->steps : ORDER_STEPS;

    if (turn == 0)
        return 0;
    if (sequence->last_at != INSTANT_NONE && sign * (first_at - sequence->last_at) < 0)
        return 0;
    if (sequence->steps > 0 && (sequence->direction != sign || sequence->streak < wanted))
        return 0;
    if (next_at != INSTANT_NONE && sign * (next_at - last_at) < 0)
        return 0;
    if (sequence->last_at == INSTANT_NONE && next_at == INSTANT_NONE &&
        !steps_go(waiting, sign, turn))
        return 0;

    return turn;
}

static instant pass_at(const struct waiting *row, bool is_first_pass, int sign)
{
    return is_first_pass == (sign > 0) ? row->early : row->late;
}

static void step_count(struct sequence *sequence, instant at)
{
    int direction = at > sequence->last_at ? 1 : at < sequence->last_at ? -1 : 0;

    if (sequence->last_at != INSTANT_NONE && direction != 0) {
        sequence->streak = direction == sequence->direction ? sequence->streak + 1 : 1;
        sequence->direction = direction;
        sequence->streak = sequence->streak > ORDER_STEPS ? ORDER_STEPS : sequence->streak;
        sequence->steps += sequence->steps < ORDER_STEPS;
    }
    sequence->last_at = at;
}

/* --- placing --- */

/* Place all that waits in the sequence; `told` false: none of it can be told. */
static bool sequence_place(struct csv_order *order, struct sequence *sequence, instant next_at,
                           bool told, struct err *err)
{
    size_t later = told ? passes_find(sequence, next_at, 1) : 0;
    size_t earlier = told ? passes_find(sequence, next_at, -1) : 0;
    size_t turn = later > 0 && earlier > 0 ? 0 : later + earlier;
    struct waiting_list waiting = sequence->waiting;

    sequence->waiting = (struct waiting_list){0};
    for (size_t i = 0; i < waiting.count; i++) {
        instant at =
            turn == 0 ? INSTANT_NONE : pass_at(&waiting.items[i], i<turn, later> 0 ? 1 : -1);

        if (at != INSTANT_NONE)
            step_count(sequence, at);
        if (!order->place(order->context, waiting.items[i].row, at, err))
            return false;
    }
    order->waiting -= waiting.count;
    if (order->waiting == 0) {
        order->waiting_bytes = 0;
        arena_reset(order->rows);
    }

    return true;
}

bool csv_order_step(struct csv_order *order, const char *sequence, instant at, struct err *err)
{
    struct sequence *here = sequence_find(order, sequence);

    if (!here)
        return true;
    here->lost = false;
    if (here->waiting.count > 0 && !sequence_place(order, here, at, true, err))
        return false;
    step_count(here, at);

    return true;
}

/* A copy that lives in `mem`, its text as it stands in the file. */
static struct csv_row *row_copy(struct arena *mem, const struct csv_row *row, size_t *bytes)
{
    struct csv_row *copy = arena_copy(mem, row, sizeof(*row));
    struct csv_cell *cells = arena_copy(mem, row->cells, row->count * sizeof(*row->cells));

    *bytes = sizeof(*row) + row->count * sizeof(*row->cells) + row->length;
    for (size_t i = 0; i < row->count; i++) {
        cells[i].text = arena_strndup(mem, cells[i].text, cells[i].length);
        cells[i].end = NULL;
        cells[i].shown_unit = arena_strdup(mem, cells[i].shown_unit);
        cells[i].shown_other = arena_strdup(mem, cells[i].shown_other);
        *bytes += cells[i].length;
    }
    copy->cells = cells;
    copy->begin = csv_row_text(mem, row, row->length);
    copy->length = strlen(copy->begin);

    return copy;
}

bool csv_order_wait(struct csv_order *order, const char *sequence, const struct csv_row *row,
                    const instant two[2], struct err *err)
{
    struct sequence *here = sequence_find(order, sequence);
    size_t bytes = 0;

    if (here && here->waiting.count > 0) {
        instant apart = two[0] - here->waiting.items[0].early;

        /* The repeated hour of another day: the file has left the first one. */
        if ((apart > DAY_US || apart < -DAY_US) && !sequence_place(order, here, two[0], true, err))
            return false;
    }
    if (here && !here->lost &&
        (order->waiting >= ORDER_ROWS_MOST || order->waiting_bytes >= ORDER_BYTES_MOST)) {
        here->lost = true;
        if (!sequence_place(order, here, INSTANT_NONE, false, err))
            return false;
    }
    if (!here || here->lost)
        return order->place(order->context, row, INSTANT_NONE, err);
    LIST_ADD(order->rows, &here->waiting,
             ((struct waiting){row_copy(order->rows, row, &bytes), two[0], two[1]}));
    order->waiting++;
    order->waiting_bytes += bytes;

    return true;
}

bool csv_order_end(struct csv_order *order, struct err *err)
{
    for (size_t i = 0; i < order->all_count; i++)
        if (order->all[i]->waiting.count > 0 &&
            !sequence_place(order, order->all[i], INSTANT_NONE, true, err))
            return false;

    return true;
}
