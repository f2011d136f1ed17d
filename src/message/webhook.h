/*
 * Webhook: a notice as an HTTP POST that its receiver can check.
 *
 * The body is JSON. Three headers go with it:
 *
 *     Weirbook-Id: IDENTITY           the same however often the notice is sent
 *     Weirbook-Time: SECONDS          since 1970, of this sending
 *     Weirbook-Signature: sha256=HEX  HMAC-SHA-256 (RFC 2104) of IDENTITY "." SECONDS "." BODY
 *                                     under the webhook's secret, 64 lower-case digits
 *
 * A receiver works the signature out again, compares it in constant time, refuses a time far from
 * its own, and takes an identity once.
 */
#ifndef MESSAGE_WEBHOOK_H
#define MESSAGE_WEBHOOK_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/instant.h"
#include "base/macro.h"

enum { WEBHOOK_HEADERS = 4, WEBHOOK_ID_MOST = 100 };

struct webhook_notice {
    const char *id;
    int64_t number;
    const char *farm;  /* key */
    bool invented;     /* a demonstration farm */
    const char *kind;  /* of finding: "limit" */
    const char *about; /* clause, source or person */
    const char *station;
    const char *since;  /* a day, 2026-03-17 */
    const char *person; /* who is told */
    const char *subject;
    const char *text;
    instant queued_at;
};

struct webhook_message {
    const char *body;
    size_t length;
    const char *headers[WEBHOOK_HEADERS]; /* whole lines, without their ends */
};

/* ERR_INVALID: an identity that is none, or an empty secret. */
MUST_CHECK bool webhook_write(struct arena *mem, const struct webhook_notice *notice,
                              const char *secret, instant now, struct webhook_message *out,
                              struct err *err);

#endif
