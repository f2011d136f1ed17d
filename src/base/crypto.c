#include "base/crypto.h"

#include <errno.h>
#include <limits.h>
#include <openssl/evp.h>
#include <openssl/hmac.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>

#include "base/macro.h"

/* Small pieces are collected: handing each on costs more than working it in. */
struct sha256_state {
    EVP_MD_CTX *context;
    size_t held;
    unsigned char bytes[4096];
};

/* Neither is something a caller could mend, and going on would store a wrong digest. */
static NORETURN void digest_failed(void)
{
    fputs("weirbook: the machine could not work out a SHA-256\n", stderr);
    abort();
}

static NORETURN void random_failed(void)
{
    fputs("weirbook: the machine gives no random numbers\n", stderr);
    abort();
}

/*
 * A context ready for one digest. One is kept per thread, and started again without naming
 * the algorithm: making one and looking the algorithm up cost more than a short digest.
 */
static EVP_MD_CTX *ready_context(void)
{
    static _Thread_local EVP_MD_CTX *kept = NULL;
    const EVP_MD *algorithm = kept ? NULL : EVP_sha256();

    if (!kept)
        kept = EVP_MD_CTX_new();
    if (!kept || EVP_DigestInit_ex(kept, algorithm, NULL) != 1)
        digest_failed();

    return kept;
}

struct digest sha256(const void *bytes, size_t count)
{
    return sha256_two("", 0, bytes, count);
}

struct digest sha256_two(const void *first, size_t first_count, const void *second,
                         size_t second_count)
{
    EVP_MD_CTX *context = ready_context();
    struct digest digest;

    if (EVP_DigestUpdate(context, first, first_count) != 1 ||
        EVP_DigestUpdate(context, second, second_count) != 1 ||
        EVP_DigestFinal_ex(context, digest.bytes, NULL) != 1)
        digest_failed();

    return digest;
}

struct digest hmac_sha256(const void *key, size_t key_count, const void *bytes, size_t count)
{
    struct digest mac;

    if (key_count > INT_MAX ||
        !HMAC(EVP_sha256(), key, (int)key_count, bytes, count, mac.bytes, NULL))
        digest_failed();

    return mac;
}

bool digest_equal(const struct digest *a, const struct digest *b)
{
    return memcmp(a->bytes, b->bytes, SHA256_SIZE) == 0;
}

struct sha256_state *sha256_begin(void)
{
    struct sha256_state *state = malloc(sizeof(*state));

    if (!state)
        digest_failed();
    state->held = 0;
    state->context = EVP_MD_CTX_new();
    if (!state->context || EVP_DigestInit_ex(state->context, EVP_sha256(), NULL) != 1)
        digest_failed();

    return state;
}

static void digest_update(struct sha256_state *state, const void *bytes, size_t count)
{
    if (count > 0 && EVP_DigestUpdate(state->context, bytes, count) != 1)
        digest_failed();
}

void sha256_add(struct sha256_state *state, const void *bytes, size_t count)
{
    if (count > sizeof(state->bytes) - state->held) {
        digest_update(state, state->bytes, state->held);
        state->held = 0;
    }
    if (count > sizeof(state->bytes)) {
        digest_update(state, bytes, count);
        return;
    }
    if (count > 0)
        memcpy(state->bytes + state->held, bytes, count);
    state->held += count;
}

struct digest sha256_end(struct sha256_state **state)
{
    struct digest digest;

    digest_update(*state, (*state)->bytes, (*state)->held);
    if (EVP_DigestFinal_ex((*state)->context, digest.bytes, NULL) != 1)
        digest_failed();
    sha256_drop(state);

    return digest;
}

void sha256_drop(struct sha256_state **state)
{
    if (!*state)
        return;
    EVP_MD_CTX_free((*state)->context);
    free(*state);
    *state = NULL;
}

char *digest_text(struct arena *mem, const struct digest *digest)
{
    static const char hex[] = "0123456789abcdef";
    char *text = arena_alloc(mem, 2 * SHA256_SIZE + 1);

    for (size_t i = 0; i < SHA256_SIZE; i++) {
        text[2 * i] = hex[digest->bytes[i] >> 4];
        text[2 * i + 1] = hex[digest->bytes[i] & 0x0f];
    }

    return text;
}

/* The first eight bytes, big endian, as a positive number that is never 0. */
static int64_t positive_id(const unsigned char *bytes)
{
    uint64_t number = 0;

    for (size_t i = 0; i < sizeof(number); i++)
        number = number << 8 | bytes[i];
    number &= INT64_MAX;

    return number ? (int64_t)number : 1;
}

int64_t random_id(void)
{
    unsigned char bytes[sizeof(int64_t)];
    ssize_t got;

    /* A read of up to 256 bytes is never cut short; only a signal can come first. */
    do
        got = getrandom(bytes, sizeof(bytes), 0);
    while (got < 0 && errno == EINTR);
    if (got != (ssize_t)sizeof(bytes))
        random_failed();

    return positive_id(bytes);
}

int64_t text_id(const char *text)
{
    struct digest digest = sha256(text, strlen(text));

    return positive_id(digest.bytes);
}
