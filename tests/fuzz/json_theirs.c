#include "json_theirs.h"

#include <jansson.h>

enum { READ_AS = JSON_DECODE_ANY | JSON_DECODE_INT_AS_REAL };

enum theirs json_theirs_read(const char *text, size_t size)
{
    json_error_t fault;
    json_t *document = json_loadb(text, size, READ_AS, &fault);

    if (!document)
        return json_error_code(&fault) == json_error_numeric_overflow ? THEIRS_TOO_LARGE
                                                                      : THEIRS_NONE;
    json_decref(document);

    return THEIRS_DOCUMENT;
}

bool json_theirs_same(const char *one, size_t one_size, const char *other, size_t other_size)
{
    json_t *a = json_loadb(one, one_size, READ_AS, NULL);
    json_t *b = json_loadb(other, other_size, READ_AS, NULL);
    bool same = a && b && json_equal(a, b);

    json_decref(a);
    json_decref(b);

    return same;
}
