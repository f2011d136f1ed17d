/*
 * Sending: one message to one mail server or one webhook, and what came of it.
 *
 * It waits at most SEND_WHOLE_S. Nothing is tried twice here; that is the outbox's affair
 * (app/outbox.h).
 */
#ifndef MESSAGE_SEND_H
#define MESSAGE_SEND_H

#include <signal.h>
#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "message/webhook.h"

enum {
    SEND_CONNECT_S = 10,
    SEND_WHOLE_S = 45,
    SEND_REPLY_MOST = 4096, /* bytes of an answer that are read; a webhook that says more is cut off
                               and counts as having answered by its status */
};

enum send_outcome {
    SEND_DONE,    /* the other side took it over */
    SEND_LATER,   /* not now: worth another try */
    SEND_REFUSED, /* never so: another try would meet the same answer */
};

struct send_reply {
    enum send_outcome outcome;
    int code;          /* of the reply: SMTP or HTTP; 0: none came */
    const char *words; /* for the record: "250", "451 4.3.0 try later", "can't connect ..." */
};

enum send_tls { SEND_TLS_STARTTLS, SEND_TLS_FROM_START, SEND_TLS_NONE };

struct send_mail_server {
    const char *host;
    int port;
    enum send_tls tls;
    const char *user; /* NULL: no log-in */
    const char *password;
    const char *certificates; /* a PEM file of whom to trust; NULL: whom the system trusts */
};

/*
 * Over SMTP (RFC 5321, RFC 3207, RFC 4954). Where TLS is asked for nothing is said without it,
 * and a certificate that can't be checked ends it. Replies 4yz are SEND_LATER, 5yz SEND_REFUSED
 * (RFC 5321, 4.2.1); but a log-in that fails is SEND_LATER, for it is mended on this side, and so
 * is everything that ends before the server has answered. `stop` may be NULL; set, it ends sending
 * with SEND_LATER.
 */
struct send_reply send_mail(struct arena *mem, const struct send_mail_server *server,
                            const char *from, const char *to, const char *text, size_t length,
                            const volatile sig_atomic_t *stop);

/*
 * Over https, or http; no redirect is followed (a signed notice goes where the farm said and
 * nowhere else). 2yz is SEND_DONE; 408, 425, 429 and 5yz are SEND_LATER; the rest is SEND_REFUSED
 * (RFC 9110, 15; RFC 6585, 4; RFC 8470, 5.2).
 */
struct send_reply send_webhook(struct arena *mem, const char *url,
                               const struct webhook_message *message,
                               const volatile sig_atomic_t *stop);

/* What the replies above mean, for tests: code 0 is no reply. */
enum send_outcome send_smtp_outcome(int code, bool transferred, bool log_in_failed);
enum send_outcome send_http_outcome(int code);

#endif
