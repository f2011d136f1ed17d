#include "message/mail.h"

#include <stdio.h>
#include <string.h>

#include "base/buf.h"
#include "base/utf8.h"

/* RFC 2045, 6.7: a line of quoted-printable; RFC 2047, 2: an encoded word. */
enum { LINE_MOST = 76, WORD_MOST = 75 };

static const char word_begin[] = "=?UTF-8?Q?";
static const char word_end[] = "?=";

bool mail_is_address(const char *text)
{
    const char *at = text ? strchr(text, '@') : NULL;

    if (!at || at == text || at[1] == '\0' || strchr(at + 1, '@') ||
        strlen(text) > MAIL_ADDRESS_MOST || text[0] == '-')
        return false;
    for (const char *c = text; *c; c++)
        if (*c <= ' ' || *c >= 127 || strchr("<>()[]\",;:\\", *c))
            return false;

    return true;
}

/* A header must stay one line, whatever is in it. */
static bool is_one_line(const char *text)
{
    for (const char *c = text; *c; c++)
        if ((unsigned char)*c < ' ' || *c == 127)
            return false;

    return true;
}

static bool is_utf8(const char *text)
{
    size_t left = strlen(text);

    while (left > 0) {
        uint32_t character;
        size_t bytes = utf8_character(text, left, &character);

        if (bytes == 0)
            return false;
        text += bytes;
        left -= bytes;
    }

    return true;
}

/* As RFC 5322, 3.3: "Wed, 25 Nov 2026 23:09:13 +0000". */
static void date_add(struct buf *out, instant at)
{
    static const char *const days[] = {"Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed"};
    struct civil civil = instant_to_utc(at);
    day_number day = day_from_civil(civil.year, civil.month, civil.day);

    buf_addf(out, "Date: %s, %02d %.3s %04d %02d:%02d:%02d +0000\r\n", days[((day % 7) + 7) % 7],
             civil.day, month_name(civil.month), civil.year, civil.hour, civil.minute,
             civil.second);
}

/* --- subject --------------------------------------------------------------------------------- */

static bool is_plain(const char *text)
{
    for (const char *c = text; *c; c++)
        if ((unsigned char)*c >= 127)
            return false;

    return strstr(text, "=?") == NULL;
}

/* What may stand for itself in an encoded word, RFC 2047, 5 (3). */
static bool stands_for_itself(unsigned char c)
{
    return (c >= '0' && c <= '9') || (c >= 'A' && c <= 'Z') || (c >= 'a' && c <= 'z') ||
           strchr("!*+-/", c) != NULL;
}

static void letter_add(struct buf *out, const char *letter, size_t bytes)
{
    for (size_t i = 0; i < bytes; i++) {
        unsigned char c = (unsigned char)letter[i];

        if (c == ' ')
            buf_add_char(out, '_');
        else if (stands_for_itself(c))
            buf_add_char(out, (char)c);
        else
            buf_addf(out, "=%02X", c);
    }
}

/* Encoded words, each on a line of its own; no letter is parted. */
static void subject_encode(struct buf *out, const char *subject)
{
    struct buf letter = buf_new(out->mem);
    size_t used = sizeof("Subject: ") - 1 + sizeof(word_begin) - 1;

    buf_add_text(out, word_begin);
    for (const char *at = subject; *at;) {
        uint32_t character;
        size_t bytes = utf8_character(at, strlen(at), &character); /* sound: checked before */

        buf_clear(&letter);
        letter_add(&letter, at, bytes);
        if (used + letter.len + sizeof(word_end) - 1 > WORD_MOST) {
            buf_addf(out, "%s\r\n %s", word_end, word_begin);
            used = sizeof(word_begin);
        }
        buf_add(out, letter.data, letter.len);
        used += letter.len;
        at += bytes;
    }
    buf_add_text(out, word_end);
}

/* ASCII as it is, folded at blanks where a line grows too long (RFC 5322, 2.2.3). */
static void subject_fold(struct buf *out, const char *subject)
{
    size_t used = sizeof("Subject:") - 1;
    const char *at = subject;

    /* Lines of nothing but blanks are no folding: such a subject is encoded. */
    for (bool first = true; *at; first = false) {
        size_t word = strcspn(at + 1, " ") + 1;

        if (!first && used + word > LINE_MOST) {
            buf_add_text(out, "\r\n");
            used = 0;
        }
        buf_add(out, at, word);
        used += word;
        at += word;
    }
}

static void subject_add(struct buf *out, const char *subject)
{
    bool folds = is_plain(subject) && !strstr(subject, "  ") && subject[0] != ' ' &&
                 (subject[0] == '\0' || subject[strlen(subject) - 1] != ' ');

    buf_add_text(out, "Subject: ");
    if (folds)
        subject_fold(out, subject);
    else
        subject_encode(out, subject);
    buf_add_text(out, "\r\n");
}

/* --- text ------------------------------------------------------------------------------------ */

/* Room for one more piece on the line, and for the `=` that may have to end it. */
static void piece_add(struct buf *out, size_t *used, const char *piece, size_t bytes)
{
    if (*used + bytes > LINE_MOST - 1) {
        buf_add_text(out, "=\r\n");
        *used = 0;
    }
    buf_add(out, piece, bytes);
    *used += bytes;
}

/* RFC 2045, 6.7; blanks at the end of a line are encoded, and the first letter of "From ". */
static void text_add(struct buf *out, const char *text)
{
    size_t used = 0;

    for (const char *c = text; *c; c++) {
        unsigned char byte = (unsigned char)*c;
        bool ends_line = c[1] == '\n' || c[1] == '\0';
        bool plain =
            byte > ' ' && byte < 127 && byte != '=' && !(used == 0 && strncmp(c, "From ", 5) == 0);
        char piece[4];

        if (byte == '\n') {
            buf_add_text(out, "\r\n");
            used = 0;
        } else if (plain || (byte == ' ' && !ends_line)) {
            piece_add(out, &used, c, 1);
        } else {
            (void)snprintf(piece, sizeof(piece), "=%02X", byte);
            piece_add(out, &used, piece, 3);
        }
    }
    buf_add_text(out, "\r\n");
}

/* --- the message ----------------------------------------------------------------------------- */

static bool check(const struct mail *mail, struct err *err)
{
    if (!mail_is_address(mail->from))
        return err_set(err, ERR_INVALID, "the sender's address is not one plain address");
    if (!mail_is_address(mail->to))
        return err_set(err, ERR_INVALID, "the receiver's address is not one plain address");
    if (!mail_is_address(mail->id))
        return err_set(err, ERR_INVALID, "the message's identity is not of the form NAME@PLACE");
    if (!is_one_line(mail->subject))
        return err_set(err, ERR_INVALID, "the subject holds a control character");
    if (strlen(mail->subject) > MAIL_SUBJECT_MOST)
        return err_set(err, ERR_TOO_LARGE, "the subject is longer than %d bytes",
                       MAIL_SUBJECT_MOST);
    if (strlen(mail->text) > MAIL_TEXT_MOST)
        return err_set(err, ERR_TOO_LARGE, "the text is longer than %d bytes", MAIL_TEXT_MOST);
    if (!is_utf8(mail->subject) || !is_utf8(mail->text))
        return err_set(err, ERR_INVALID, "the message is no UTF-8");

    return true;
}

bool mail_write(struct arena *mem, const struct mail *mail, char **text, size_t *length,
                struct err *err)
{
    struct buf out = buf_new(mem);

    if (!check(mail, err))
        return false;
    date_add(&out, mail->at);
    buf_addf(&out, "From: <%s>\r\nTo: <%s>\r\nMessage-ID: <%s>\r\n", mail->from, mail->to,
             mail->id);
    subject_add(&out, mail->subject);
    buf_add_text(&out, "Auto-Submitted: auto-generated\r\n" /* RFC 3834 */
                       "MIME-Version: 1.0\r\n"
                       "Content-Type: text/plain; charset=utf-8\r\n"
                       "Content-Transfer-Encoding: quoted-printable\r\n\r\n");
    text_add(&out, mail->text);
    *text = out.data;
    *length = out.len;

    return true;
}
