#include "message/webhook.h"

#include <string.h>

#include "base/crypto.h"
#include "base/json.h"
#include "base/str.h"

static const char *body_write(struct arena *mem, const struct webhook_notice *notice,
                              size_t *length)
{
    struct buf text = buf_new(mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name_text(&json, "id", notice->id);
    json_put_name_int(&json, "number", notice->number);
    json_put_name_text(&json, "farm", notice->farm);
    json_put_name_bool(&json, "invented", notice->invented);
    json_put_name_text(&json, "kind", notice->kind);
    json_put_name_text(&json, "about", notice->about);
    json_put_name_text(&json, "station", notice->station);
    json_put_name_text(&json, "since", notice->since);
    json_put_name_text(&json, "person", notice->person);
    json_put_name_text(&json, "subject", notice->subject);
    json_put_name_text(&json, "text", notice->text);
    json_put_name_text(&json, "queued_at", instant_text(mem, notice->queued_at));
    json_put_object_end(&json);
    json_end(&json);
    *length = text.len;

    return text.data;
}

/* It stands in a header. */
static bool is_identity(const char *id)
{
    if (str_empty(id) || strlen(id) > WEBHOOK_ID_MOST)
        return false;
    for (const char *c = id; *c; c++)
        if (*c <= ' ' || *c >= 127)
            return false;

    return true;
}

bool webhook_write(struct arena *mem, const struct webhook_notice *notice, const char *secret,
                   instant now, struct webhook_message *out, struct err *err)
{
    long long seconds = (long long)(now / SECOND_US);
    struct webhook_message message = {0};

    if (!is_identity(notice->id))
        return err_set(err, ERR_INVALID, "the notice has no identity fit for a header");
    if (str_empty(secret))
        return err_set(err, ERR_INVALID, "the webhook has no secret to sign with");
    message.body = body_write(mem, notice, &message.length);

    const char *signed_text = arena_printf(mem, "%s.%lld.%s", notice->id, seconds, message.body);
    struct digest mac = hmac_sha256(secret, strlen(secret), signed_text, strlen(signed_text));

    message.headers[0] = "Content-Type: application/json";
    message.headers[1] = arena_printf(mem, "Weirbook-Id: %s", notice->id);
    message.headers[2] = arena_printf(mem, "Weirbook-Time: %lld", seconds);
    message.headers[3] = arena_printf(mem, "Weirbook-Signature: sha256=%s", digest_text(mem, &mac));
    *out = message;

    return true;
}
