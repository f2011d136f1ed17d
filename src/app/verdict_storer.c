#include "app/verdict_storer.h"

#include <pthread.h>

#include "base/thread.h"
#include "store/verdict_put.h"

/* Verdicts that were handed over together. */
struct parcel {
    const struct verdict *verdicts;
    const struct digest *digests;
    size_t count;
    struct parcel *next;
};

struct verdict_storer {
    struct db_tx *tx;
    day_number first;
    day_number last;
    instant judged_at;
    bool has_thread;
    pthread_t thread;
    pthread_mutex_t lock; /* holds what follows */
    struct arena *parcels;
    pthread_cond_t came;
    struct parcel *oldest;
    struct parcel *newest;
    bool closed; /* nothing more comes */
    /* Of the thread, and after its end of whoever began it. */
    bool failed;
    struct err err;
};

/* The next parcel, waiting for one; NULL: there will be none. */
static struct parcel *parcel_take(struct verdict_storer *storer)
{
    struct parcel *parcel;

    pthread_mutex_lock(&storer->lock);
    while (!storer->oldest && !storer->closed)
        pthread_cond_wait(&storer->came, &storer->lock);
    parcel = storer->oldest;
    storer->oldest = parcel ? parcel->next : NULL;
    pthread_mutex_unlock(&storer->lock);

    return parcel;
}

/* After one that failed the others only pass. */
static void *store_all(void *context)
{
    struct verdict_storer *storer = context;
    const struct parcel *parcel;

    while ((parcel = parcel_take(storer)))
        storer->failed =
            storer->failed ||
            !verdict_store_put(storer->tx, parcel->verdicts, parcel->count, storer->first,
                               storer->last, parcel->digests, storer->judged_at, &storer->err);

    return NULL;
}

struct verdict_storer *verdict_storer_begin(struct arena *mem, struct db_tx *tx, day_number first,
                                            day_number last, instant judged_at)
{
    struct verdict_storer *storer = ARENA_NEW(mem, struct verdict_storer);

    *storer = (struct verdict_storer){.tx = tx,
                                      .parcels = arena_new(),
                                      .first = first,
                                      .last = last,
                                      .judged_at = judged_at,
                                      .err = ERR_INIT};
    pthread_mutex_init(&storer->lock, NULL);
    pthread_cond_init(&storer->came, NULL);
    storer->has_thread = thread_begin(&storer->thread, store_all, storer);

    return storer;
}

void verdict_storer_add(struct verdict_storer *storer, const struct verdict *verdicts,
                        const struct digest *digests, size_t count)
{
    struct parcel *parcel;

    pthread_mutex_lock(&storer->lock);
    parcel = ARENA_NEW(storer->parcels, struct parcel);
    *parcel = (struct parcel){.verdicts = verdicts, .digests = digests, .count = count};
    if (storer->oldest)
        storer->newest->next = parcel;
    else
        storer->oldest = parcel;
    storer->newest = parcel;
    pthread_cond_signal(&storer->came);
    pthread_mutex_unlock(&storer->lock);
}

bool verdict_storer_end(struct verdict_storer *storer, struct err *err)
{
    pthread_mutex_lock(&storer->lock);
    storer->closed = true;
    pthread_cond_signal(&storer->came);
    pthread_mutex_unlock(&storer->lock);
    if (storer->has_thread)
        pthread_join(storer->thread, NULL);
    else
        store_all(storer);
    pthread_cond_destroy(&storer->came);
    pthread_mutex_destroy(&storer->lock);
    arena_free(&storer->parcels);
    if (storer->failed)
        *err = storer->err;

    return !storer->failed;
}
