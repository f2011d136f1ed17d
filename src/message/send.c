#include "message/send.h"

#include <curl/curl.h>
#include <string.h>

#include "base/buf.h"
#include "base/str.h"

enum { WORDS_MOST = 300 };

/* What goes out, and what came back. */
struct exchange {
    const char *text;
    size_t length;
    size_t sent;
    char reply[SEND_REPLY_MOST + 1];
    size_t reply_length;
    const volatile sig_atomic_t *stop;
    char why[CURL_ERROR_SIZE];
};

static void handle_close(CURL **handle)
{
    curl_easy_cleanup(*handle);
}

static void list_close(struct curl_slist **list)
{
    curl_slist_free_all(*list);
}

static size_t text_give(char *into, size_t size, size_t count, void *context)
{
    struct exchange *exchange = context;
    size_t left = exchange->length - exchange->sent;
    size_t take = size * count < left ? size * count : left;

    memcpy(into, exchange->text + exchange->sent, take);
    exchange->sent += take;

    return take;
}

/* More than is kept ends the exchange: the status has come by then. */
static size_t reply_keep(char *bytes, size_t size, size_t count, void *context)
{
    struct exchange *exchange = context;
    size_t room = SEND_REPLY_MOST - exchange->reply_length;
    size_t take = size * count < room ? size * count : room;

    memcpy(exchange->reply + exchange->reply_length, bytes, take);
    exchange->reply_length += take;

    return take;
}

/* The newest line that an SMTP server said, but for its good-bye, which follows a refusal too. */
static size_t line_keep(char *bytes, size_t size, size_t count, void *context)
{
    struct exchange *exchange = context;
    size_t length = size * count;
    size_t take = length < SEND_REPLY_MOST ? length : SEND_REPLY_MOST;

    if (take >= 3 && memcmp(bytes, "221", 3) == 0)
        return length;
    memcpy(exchange->reply, bytes, take);
    exchange->reply[take] = '\0';
    exchange->reply_length = take;

    return length;
}

static int stop_asked(void *context, curl_off_t down_total, curl_off_t down, curl_off_t up_total,
                      curl_off_t up)
{
    const struct exchange *exchange = context;

    (void)down_total;
    (void)down;
    (void)up_total;
    (void)up;

    return exchange->stop && *exchange->stop;
}

/* What every exchange goes by. Not one of these can fail but for want of memory. */
static void set_common(CURL *handle, struct exchange *exchange)
{
    curl_easy_setopt(handle, CURLOPT_NOSIGNAL, 1L);
    curl_easy_setopt(handle, CURLOPT_CONNECTTIMEOUT, (long)SEND_CONNECT_S);
    curl_easy_setopt(handle, CURLOPT_TIMEOUT, (long)SEND_WHOLE_S);
    curl_easy_setopt(handle, CURLOPT_ERRORBUFFER, exchange->why);
    curl_easy_setopt(handle, CURLOPT_NOPROGRESS, 0L);
    curl_easy_setopt(handle, CURLOPT_XFERINFOFUNCTION, stop_asked);
    curl_easy_setopt(handle, CURLOPT_XFERINFODATA, exchange);
    curl_easy_setopt(handle, CURLOPT_PROXY, ""); /* nor what the environment says */
    curl_easy_setopt(handle, CURLOPT_NETRC, (long)CURL_NETRC_IGNORED);
}

/* One line fit for a record and a terminal. */
static const char *words_of(struct arena *mem, CURLcode result, const struct exchange *exchange,
                            const char *reply)
{
    if (reply && *reply)
        return str_show(mem, arena_printf(mem, "%.*s", (int)strcspn(reply, "\r\n"), reply),
                        WORDS_MOST);
    if (result == CURLE_OK)
        return "taken over";
    if (exchange->stop && *exchange->stop)
        return "stopped before it was sent";

    return str_show(mem, *exchange->why ? exchange->why : curl_easy_strerror(result), WORDS_MOST);
}

static struct send_reply no_memory(void)
{
    return (struct send_reply){SEND_LATER, 0, "the machine has no memory for it"};
}

enum send_outcome send_smtp_outcome(int code, bool transferred, bool log_in_failed)
{
    if (transferred)
        return SEND_DONE;

    return code / 100 == 5 && !log_in_failed ? SEND_REFUSED : SEND_LATER;
}

enum send_outcome send_http_outcome(int code)
{
    static const int again[] = {408, 425, 429};

    if (code / 100 == 2)
        return SEND_DONE;
    for (size_t i = 0; i < ARRAY_LEN(again); i++)
        if (code == again[i])
            return SEND_LATER;

    return code / 100 <= 1 || code / 100 == 5 ? SEND_LATER : SEND_REFUSED;
}

/* --- mail ------------------------------------------------------------------------------------ */

static void set_mail(struct arena *mem, CURL *handle, const struct send_mail_server *server,
                     const char *from)
{
    bool tls_first = server->tls == SEND_TLS_FROM_START;
    bool brackets = strchr(server->host, ':') && server->host[0] != '[';

    curl_easy_setopt(handle, CURLOPT_URL,
                     arena_printf(mem, "%s://%s%s%s:%d", tls_first ? "smtps" : "smtp",
                                  brackets ? "[" : "", server->host, brackets ? "]" : "",
                                  server->port));
    curl_easy_setopt(handle, CURLOPT_PROTOCOLS_STR, "smtp,smtps");
    curl_easy_setopt(handle, CURLOPT_USE_SSL,
                     server->tls == SEND_TLS_NONE ? (long)CURLUSESSL_NONE : (long)CURLUSESSL_ALL);
    if (server->certificates) {
        curl_easy_setopt(handle, CURLOPT_CAINFO, server->certificates);
        curl_easy_setopt(handle, CURLOPT_CAPATH, NULL);
    }
    if (server->user) {
        curl_easy_setopt(handle, CURLOPT_USERNAME, server->user);
        curl_easy_setopt(handle, CURLOPT_PASSWORD, server->password);
    }
    curl_easy_setopt(handle, CURLOPT_MAIL_FROM, arena_printf(mem, "<%s>", from));
}

struct send_reply send_mail(struct arena *mem, const struct send_mail_server *server,
                            const char *from, const char *to, const char *text, size_t length,
                            const volatile sig_atomic_t *stop)
{
    CLEANUP(handle_close) CURL *handle = curl_easy_init();
    CLEANUP(list_close)
    struct curl_slist *receivers = curl_slist_append(NULL, arena_printf(mem, "<%s>", to));
    struct exchange *exchange = ARENA_NEW(mem, struct exchange);
    long code = 0;

    if (!handle || !receivers)
        return no_memory();
    *exchange = (struct exchange){.text = text, .length = length, .stop = stop};
    set_common(handle, exchange);
    set_mail(mem, handle, server, from);
    curl_easy_setopt(handle, CURLOPT_MAIL_RCPT, receivers);
    curl_easy_setopt(handle, CURLOPT_UPLOAD, 1L);
    curl_easy_setopt(handle, CURLOPT_READFUNCTION, text_give);
    curl_easy_setopt(handle, CURLOPT_READDATA, exchange);
    curl_easy_setopt(handle, CURLOPT_INFILESIZE_LARGE, (curl_off_t)length);
    curl_easy_setopt(handle, CURLOPT_HEADERFUNCTION, line_keep);
    curl_easy_setopt(handle, CURLOPT_HEADERDATA, exchange);

    CURLcode result = curl_easy_perform(handle);

    curl_easy_getinfo(handle, CURLINFO_RESPONSE_CODE, &code);

    /* What the server said, where it was the server that said no. */
    bool said_no = result != CURLE_OK && code >= 400;

    return (struct send_reply){
        .outcome = send_smtp_outcome((int)code, result == CURLE_OK, result == CURLE_LOGIN_DENIED),
        .code = (int)code,
        .words = words_of(mem, result, exchange,
                          said_no || result == CURLE_OK ? exchange->reply : NULL)};
}

/* --- webhook --------------------------------------------------------------------------------- */

struct send_reply send_webhook(struct arena *mem, const char *url,
                               const struct webhook_message *message,
                               const volatile sig_atomic_t *stop)
{
    CLEANUP(handle_close) CURL *handle = curl_easy_init();
    CLEANUP(list_close) struct curl_slist *headers = NULL;
    struct exchange *exchange = ARENA_NEW(mem, struct exchange);
    long code = 0;

    for (size_t i = 0; i < WEBHOOK_HEADERS; i++) {
        struct curl_slist *longer = curl_slist_append(headers, message->headers[i]);

        if (!longer)
            return no_memory();
        headers = longer;
    }
    if (!handle)
        return no_memory();
    *exchange = (struct exchange){.stop = stop};
    set_common(handle, exchange);
    curl_easy_setopt(handle, CURLOPT_URL, url);
    curl_easy_setopt(handle, CURLOPT_PROTOCOLS_STR, "http,https");
    curl_easy_setopt(handle, CURLOPT_FOLLOWLOCATION, 0L);
    curl_easy_setopt(handle, CURLOPT_USERAGENT, "weirbook");
    curl_easy_setopt(handle, CURLOPT_HTTPHEADER, headers);
    curl_easy_setopt(handle, CURLOPT_POSTFIELDSIZE_LARGE, (curl_off_t)message->length);
    curl_easy_setopt(handle, CURLOPT_POSTFIELDS, message->body);
    curl_easy_setopt(handle, CURLOPT_WRITEFUNCTION, reply_keep);
    curl_easy_setopt(handle, CURLOPT_WRITEDATA, exchange);

    CURLcode result = curl_easy_perform(handle);

    curl_easy_getinfo(handle, CURLINFO_RESPONSE_CODE, &code);

    return (struct send_reply){.outcome = send_http_outcome((int)code),
                               .code = (int)code,
                               .words = code > 0 ? arena_printf(mem, "HTTP %ld", code)
                                                 : words_of(mem, result, exchange, NULL)};
}
