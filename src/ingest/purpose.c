#include "ingest/purpose.h"

#include <stddef.h>

#include "base/str.h"

static const char word_check[] = "check";
static const char word_authority[] = "the authority's own";
static const char word_blank[] = "blank";
static const char word_duplicate[] = "duplicate";

const char *const purpose_words[] = {"required",     "extra",    "looking for a cause", word_check,
                                     word_authority, word_blank, word_duplicate,        NULL};

const char *purpose_known(const char *word)
{
    for (size_t i = 0; purpose_words[i]; i++)
        if (str_equal_nocase(purpose_words[i], word))
            return purpose_words[i];

    return NULL;
}

bool purpose_counts(const char *purpose)
{
    return !purpose_repeats(purpose) && !purpose_is_blank(purpose) &&
           !str_equal(purpose, word_authority);
}

bool purpose_repeats(const char *purpose)
{
    return str_equal(purpose, word_check) || str_equal(purpose, word_duplicate);
}

bool purpose_is_blank(const char *purpose)
{
    return str_equal(purpose, word_blank);
}
