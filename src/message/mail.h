/*
 * Mail: a notice as a message that a mail server takes. RFC 5322 (the message), RFC 2045 (its
 * text as quoted-printable UTF-8), RFC 2047 (letters beyond ASCII in the subject).
 *
 * Pure: date and identity are the caller's, so that the same notice is the same message, byte for
 * byte, however often it is sent. Mail readers that fold repeats go by Message-ID.
 */
#ifndef MESSAGE_MAIL_H
#define MESSAGE_MAIL_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/instant.h"
#include "base/macro.h"

enum {
    MAIL_ADDRESS_MOST = 254,     /* bytes of an address: RFC 5321, section 4.5.3.1.3, with <> */
    MAIL_TEXT_MOST = 256 * 1024, /* bytes of a text, before it is encoded */
    MAIL_SUBJECT_MOST = 500,     /* bytes of a subject */
};

struct mail {
    const char *from; /* one address each */
    const char *to;
    const char *id; /* without < and >: "notice-17.5f3a@farm.example" */
    instant at;
    const char *subject; /* UTF-8, one line */
    const char *text;    /* UTF-8, lines end in \n */
};

/*
 * One plain address, as weirbook@example.org: ASCII without blanks, control characters, quotes,
 * comments or anything else that could begin a header or an SMTP command of its own.
 */
bool mail_is_address(const char *text);

/*
 * The whole message with CRLF line ends, no line over 76 characters but addresses and identity.
 *
 * ERR_INVALID: an address that is none, a control character in a header, a text that is no UTF-8.
 * ERR_TOO_LARGE: over a limit above.
 */
MUST_CHECK bool mail_write(struct arena *mem, const struct mail *mail, char **text, size_t *length,
                           struct err *err);

#endif
