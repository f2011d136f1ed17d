/*
 * Outbox: notices that are due go out, and what came of it is recorded.
 *
 * Each is taken by one transaction, sent outside any, and recorded by another. Whoever takes one
 * has a lease on it: others leave it alone until the lease ends. A program that dies between
 * sending and recording leaves a notice that was sent and is not known to be: when the lease has
 * ended it is sent once more, with the same identity (Message-ID, Weirbook-Id), so that the
 * receiver can tell. That is the only way in which a notice goes out twice.
 *
 * What fails for now is tried again after the waits of outbox_wait_s(). What was refused for good
 * is not; it becomes a finding of its own, and the next person is told at once.
 */
#ifndef APP_OUTBOX_H
#define APP_OUTBOX_H

#include "app/open_farm.h"
#include "farmfile/settings.h"
#include "message/send.h"
#include "store/notice_store.h"

enum {
    OUTBOX_LEASE_S = 300,         /* well over SEND_WHOLE_S */
    OUTBOX_GIVE_UP_S = 5 * 86400, /* RFC 5321, 4.5.4.1: to give up takes at least 4 to 5 days */
    OUTBOX_GIVE_UP_TRIES = 8,     /* and not before so many: the program may have been off */
    OUTBOX_ROUND_MOST = 100,      /* notices of one round */
};

/* How a claimed notice goes out; for tests another one. */
typedef struct send_reply (*outbox_sender)(void *context, struct arena *mem,
                                           const struct open_farm *farm,
                                           const struct notice_claim *claim, instant now);

struct outbox_options {
    const struct machine_settings *settings;
    const volatile sig_atomic_t *stop; /* NULL, or set to end the round after the one at hand */
    outbox_sender sender;              /* NULL: by mail and webhook, as `settings` say */
    void *context;                     /* the sender's */
};

struct outbox_result {
    int sent;
    int later;
    int refused;
};

/* Seconds to wait after the try of that number, from 1. */
int outbox_wait_s(int tries);

/* "notice-17.4f1c...@farm-key": made from the notice, the same for every try. */
char *outbox_identity(struct arena *mem, const struct open_farm *farm,
                      const struct notice_claim *claim);

/*
 * One round: everything that is due at `now`, at most OUTBOX_ROUND_MOST. Counts are added up. A
 * notice that could not be sent is no error; a database that is away is.
 */
MUST_CHECK bool outbox_send(struct db *db, const struct open_farm *farm, instant now,
                            const struct outbox_options *options, struct outbox_result *result,
                            struct err *err);

/*
 * A person has seen a notice: nobody else is told of it. ERR_NOT_FOUND: no such number.
 * ERR_CONFLICT: that person has seen it already.
 */
MUST_CHECK bool notice_seen(struct db *db, struct arena *mem, const struct open_farm *farm,
                            int notice, const struct act *act, struct notice_view *out,
                            struct err *err);

/* Newest first; only those that nobody has seen unless `all`. */
MUST_CHECK bool notice_list(struct db *db, struct arena *mem, const struct open_farm *farm,
                            bool all, struct notice_views *out, struct err *err);

#endif
