#include "measure/unit_text.h"

#include <string.h>
#include <strings.h>

#include "base/buf.h"
#include "base/macro.h"
#include "base/str.h"

/* What is replaced, in UTF-8; longer ones first where one begins another. */
static const struct {
    const char *from;
    const char *to;
} replacements[] = {
    {"\xc2\xb5", "u"},            /* micro sign */
    {"\xce\xbc", "u"},            /* Greek mu */
    {"\xc2\xb0", "deg"},          /* degree sign */
    {"\xc2\xba", "deg"},          /* masculine ordinal, typed for it */
    {"\xcb\x9a", "deg"},          /* ring above, the same */
    {"\xe2\x84\x83", "degC"},     /* degree Celsius in one character */
    {"\xe2\x84\x89", "degF"},     /* degree Fahrenheit in one character */
    {"\xe2\x80\xb0", "permille"}, /* per mille sign */
    {"\xe2\x84\x93", "L"},        /* script small l */
    {"\xce\x94", "delta "},       /* Greek capital delta, for a difference */
    {"\xe2\x88\x86", "delta "},   /* increment sign, the same */
    {"\xc2\xb9", "1"},            /* raised digits */
    {"\xc2\xb2", "2"},
    {"\xc2\xb3", "3"},
    {"\xe2\x81\xbb", "-"}, /* raised minus */
    {"\xe2\x88\x92", "-"}, /* minus sign */
    {"\xe2\x80\x93", "-"}, /* en dash */
    {"\xc2\xb7", "."},     /* middle dot */
    {"\xe2\x8b\x85", "."}, /* dot operator */
    {"\xe2\x88\x99", "."}, /* bullet operator */
    {"\xe2\x81\x84", "/"}, /* fraction slash */
    {"\xe2\x88\x95", "/"}, /* division slash */
    {"\xc2\xa0", " "},     /* no-break space */
    {"\xe2\x80\x89", " "}, /* thin space */
    {"\xe2\x80\xaf", " "}, /* narrow no-break space */
    {"\t", " "},
    {"^", ""},
    {"*", "."},
};

static size_t add_replaced(struct buf *out, const char *at)
{
    for (size_t i = 0; i < ARRAY_LEN(replacements); i++) {
        if (str_starts(at, replacements[i].from)) {
            buf_add_text(out, replacements[i].to);
            return strlen(replacements[i].from);
        }
    }
    buf_add_char(out, *at);

    return 1;
}

/* " per " as a slash; then blanks as they should be. */
static char *tidy_blanks(struct arena *mem, const char *text)
{
    struct buf out = buf_new(mem);

    for (const char *at = text; *at; at++) {
        if (strncasecmp(at, " per ", 5) == 0 && strncasecmp(at, " per mil", 8) != 0) {
            buf_add_char(&out, '/');
            at += 4;
            continue;
        }

        bool needless = *at == ' ' && (out.len == 0 || at[1] == ' ' || at[1] == '/' || !at[1] ||
                                       out.data[out.len - 1] == '/');

        if (!needless)
            buf_add_char(&out, *at);
    }

    return out.data;
}

/* Without brackets around the whole. */
static char *unwrap(struct arena *mem, char *text)
{
    size_t length = strlen(text);
    bool wrapped = length >= 2 && ((text[0] == '(' && text[length - 1] == ')') ||
                                   (text[0] == '[' && text[length - 1] == ']'));

    return wrapped ? arena_strndup(mem, text + 1, length - 2) : text;
}

char *unit_text_plain(struct arena *mem, const char *text)
{
    struct buf replaced = buf_new(mem);

    while (*text)
        text += add_replaced(&replaced, text);

    return tidy_blanks(mem, unwrap(mem, str_trim(mem, replaced.data)));
}

/* What a unit may be told to be counted as. Longer words first. */
static const struct {
    const char *word;
    const char *basis;
} bases[] = {
    {"NO3-N", "as N"},    {"NO2-N", "as N"},     {"NH3-N", "as N"},      {"NH4-N", "as N"},
    {"PO4-P", "as P"},    {"CaCO3", "as CaCO3"}, {"P2O5", "as P2O5"},    {"SiO2", "as SiO2"},
    {"NO3", "as NO3"},    {"NO2", "as NO2"},     {"NH3", "as NH3"},      {"NH4", "as NH4"},
    {"PO4", "as PO4"},    {"nitrogen", "as N"},  {"phosphorus", "as P"}, {"O2", NULL},
    {"silicon", "as Si"}, {"Si", "as Si"},       {"N", "as N"},          {"P", "as P"},
};

/* How a basis stands beside its unit: at the end of it, or before its first slash. */
static const struct {
    const char *before;
    const char *after;
    bool at_slash;
} places[] = {
    {" as ", "", false}, {" (as ", ")", false}, {" (", ")", false}, {"-", "", false},
    {" ", "", false},    {" ", "", true},       {"-", "", true},    {"", "", true},
};

/* Step back over `piece` if it stands before `*end` and something stands before it. */
static bool step_back(const char *start, const char **end, const char *piece)
{
    size_t length = strlen(piece);

    if ((size_t)(*end - start) <= length || strncasecmp(*end - length, piece, length) != 0)
        return false;
    *end -= length;

    return true;
}

bool unit_text_split(struct arena *mem, const char *plain, size_t nth, struct unit_split *out)
{
    const char *slash = strchr(plain, '/');
    const char *whole = plain + strlen(plain);

    for (size_t i = 0; i < ARRAY_LEN(bases) * ARRAY_LEN(places); i++) {
        size_t base = i / ARRAY_LEN(places);
        size_t place = i % ARRAY_LEN(places);
        const char *after = places[place].at_slash ? slash : whole;
        const char *before = after;

        if (!after || !step_back(plain, &before, places[place].after) ||
            !step_back(plain, &before, bases[base].word) ||
            !step_back(plain, &before, places[place].before) || nth-- > 0)
            continue;
        *out = (struct unit_split){
            .unit = arena_printf(mem, "%.*s%s", (int)(before - plain), plain, after),
            .basis = bases[base].basis,
        };
        return true;
    }

    return false;
}
