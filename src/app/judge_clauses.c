#include "app/judge_clauses.h"

#include <pthread.h>
#include <stdlib.h>
#include <string.h>

#include "app/judge_forms.h"
#include "app/verdict_storer.h"
#include "base/str.h"
#include "base/thread.h"
#include "judge/shared.h"

/* A clause in the order of the file, and where its verdicts are. */
struct turn {
    struct forms forms;
    size_t nth;
    const struct judged_month *in; /* of the worker that judged it */
    size_t first;
    size_t after;
};

/* All of a judging. */
struct turns {
    struct arena *mem;
    const struct clauses_way *way;
    const struct open_farm *farm;
    struct judged_month *month;
    struct turn *items;
    size_t count;
    struct turn **order; /* as they are judged */
    pthread_mutex_t lock;
    size_t next; /* in `order`: that nobody has taken; by the lock */
};

/* What judges: a thread, with memory of its own. */
struct worker {
    struct turns *turns;
    struct arena *mem;
    struct judged_month month; /* with the verdicts that it came to */
    size_t handed;             /* of them, to the storer */
    pthread_t thread;
    bool begun;
};

/* --- the order of judging -------------------------------------------------------------------- */

/* Negative, 0 or positive, by what two clauses read. */
static int compare_reading_sides(const struct turn *a, const struct turn *b)
{
    const struct limit *one = &a->forms.items[0].limit;
    const struct limit *other = &b->forms.items[0].limit;
    const char *const words[][2] = {{one->station, other->station},
                                    {one->position, other->position},
                                    {one->parameter, other->parameter},
                                    {one->unit, other->unit}};

    for (size_t i = 0; i < ARRAY_LEN(words); i++) {
        int order = strcmp(words[i][0] ? words[i][0] : "", words[i][1] ? words[i][1] : "");

        if (order != 0)
            return order;
    }

    return 0;
}

/* So that clauses which share it follow each other; else as in the file. */
static int by_reading_side(const void *a, const void *b)
{
    const struct turn *left = *(struct turn *const *)a;
    const struct turn *right = *(struct turn *const *)b;
    int order = compare_reading_sides(left, right);

    return order ? order : (left->nth > right->nth) - (left->nth < right->nth);
}

/* Each clause with its forms, as in the file. */
static void turns_find(struct turns *turns)
{
    const struct clause_limits *limits = &turns->month->limits;

    turns->items = ARENA_ARRAY(turns->mem, struct turn, limits->count);
    turns->order = ARENA_ARRAY(turns->mem, struct turn *, limits->count);
    for (size_t i = 0, next; i < limits->count; i = next) {
        struct turn *turn = &turns->items[turns->count];

        next = i + 1;
        while (next < limits->count &&
               str_equal(limits->items[next].limit.key, limits->items[i].limit.key))
            next++;
        *turn = (struct turn){.forms = {&limits->items[i], next - i}, .nth = turns->count};
        turns->order[turns->count++] = turn;
    }
}

/* The next clauses with one reading side, for one worker; false: there are none. */
static bool turns_take(struct turns *turns, size_t *from, size_t *to)
{
    pthread_mutex_lock(&turns->lock);
    *from = turns->next;
    *to = *from;
    while (*to < turns->count && compare_reading_sides(turns->order[*from], turns->order[*to]) == 0)
        *to += 1;
    turns->next = *to;
    pthread_mutex_unlock(&turns->lock);

    return *from < *to;
}

/* How many lots of clauses with one reading side there are. */
static size_t count_sides(const struct turns *turns)
{
    size_t count = turns->count > 0;

    for (size_t i = 1; i < turns->count; i++)
        count += compare_reading_sides(turns->order[i - 1], turns->order[i]) != 0;

    return count;
}

/* --- judging --------------------------------------------------------------------------------- */

/* Hand what was judged since to whoever stores it. */
static void hand_over(struct worker *worker)
{
    const struct judged_month *month = &worker->month;
    size_t from = worker->handed;

    worker->handed = month->verdicts.count;
    if (worker->turns->way->storer && month->verdicts.count > from)
        verdict_storer_add(worker->turns->way->storer, month->verdicts.items + from,
                           month->digests.items + from, month->verdicts.count - from);
}

static void turn_judge(struct worker *worker, const struct judging *judging, struct turn *turn)
{
    enum { HANDED_AT_ONCE = 200 };

    turn->in = &worker->month;
    turn->first = worker->month.verdicts.count;
    forms_judge(judging, &turn->forms);
    turn->after = worker->month.verdicts.count;
    if (turn->after - worker->handed >= HANDED_AT_ONCE)
        hand_over(worker);
}

/* Judge until nothing is left. */
static void *work(void *context)
{
    struct worker *worker = context;
    struct turns *turns = worker->turns;
    const struct clauses_way *way = turns->way;
    CLEANUP(arena_free) struct arena *room = way->in_brief ? arena_new() : NULL;
    CLEANUP(arena_free) struct arena *kept = way->in_brief ? arena_new() : NULL;
    struct evidence_hashing hashing = {worker->mem, turns->farm->farm, &worker->month.loaded, {0}};
    const struct judging judging = {.mem = worker->mem,
                                    .room = room,
                                    .shared = way->in_brief ? shared_new(worker->mem, kept) : NULL,
                                    .farm = turns->farm,
                                    .month = &worker->month,
                                    .hashing = way->hashed ? &hashing : NULL};

    for (size_t at, to; turns_take(turns, &at, &to);)
        for (; at < to; at++)
            turn_judge(worker, &judging, turns->order[at]);
    hand_over(worker);

    return NULL;
}

/* Verdicts and digests as their clauses stand in the file. */
static void put_in_order(const struct turns *turns)
{
    struct judged_month *month = turns->month;

    for (size_t i = 0; i < turns->count; i++) {
        const struct turn *turn = &turns->items[i];

        for (size_t k = turn->first; k < turn->after; k++) {
            LIST_ADD(turns->mem, &month->verdicts, turn->in->verdicts.items[k]);
            if (turns->way->hashed)
                LIST_ADD(turns->mem, &month->digests, turn->in->digests.items[k]);
        }
    }
}

/* In full a verdict's readings are much memory, and one thread makes it. */
static size_t count_workers(const struct turns *turns)
{
    size_t most = count_sides(turns);
    size_t count = turns->way->in_brief ? thread_processors() : 1;

    count = count < JUDGING_THREADS_MOST ? count : JUDGING_THREADS_MOST;
    count = count < most ? count : most;

    return count > 0 ? count : 1;
}

void clauses_judge(struct arena *mem, const struct open_farm *farm, struct judged_month *month,
                   const struct clauses_way *way)
{
    struct turns turns = {.mem = mem, .way = way, .farm = farm, .month = month};
    struct worker workers[JUDGING_THREADS_MOST] = {0};
    size_t count;

    turns_find(&turns);
    if (turns.count > 1)
        qsort(turns.order, turns.count, sizeof(turns.order[0]), by_reading_side);
    pthread_mutex_init(&turns.lock, NULL);
    count = count_workers(&turns);
    for (size_t i = 0; i < count; i++) {
        workers[i] = (struct worker){.turns = &turns, .mem = arena_new(), .month = *month};
        workers[i].begun = i > 0 && thread_begin(&workers[i].thread, work, &workers[i]);
    }
    work(&workers[0]);
    for (size_t i = 0; i < count; i++) {
        if (workers[i].begun)
            pthread_join(workers[i].thread, NULL);
    }
    pthread_mutex_destroy(&turns.lock);
    put_in_order(&turns);
    for (size_t i = 0; i < count; i++)
        arena_take_over(mem, &workers[i].mem);
}

void clauses_tell(const struct open_farm *farm, struct judged_month *month, month_tell tell,
                  void *context)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(arena_free) struct arena *one = arena_new();
    const struct judging judging = {
        .mem = one, .farm = farm, .month = month, .tell = tell, .context = context};
    struct turns turns = {.mem = mem, .farm = farm, .month = month};

    turns_find(&turns);
    for (size_t i = 0; i < turns.count; i++) {
        arena_reset(one);
        forms_judge(&judging, &turns.items[i].forms);
    }
}
