#include "base/yaml_fault.h"

#include <string.h>

struct complaint {
    const char *problem; /* what the parser's words contain */
    const char *context; /* what its context contains, or NULL */
    bool at_context;     /* the place of the context is the telling one */
    const char *words;
    const char *hint;
};

static const struct complaint complaints[] = {
    {"could not find expected ':'", NULL, true, "a colon is missing on or before this line",
     "Write `key: value`, with a blank after the colon."},
    {"mapping values are not allowed", NULL, false,
     "a colon that can't stand here: on or before this line a colon lacks its blank, a value has "
     "a colon in it, or the indentation is wrong",
     "Put a value that holds a colon in quotes, and line keys up with those above."},
    {"did not find expected key", NULL, false,
     "the line does not fit the lines above: a key at the same indentation was expected",
     "Line it up with the keys above it, with blanks."},
    {"did not find expected '-'", NULL, false,
     "the line does not fit the lines above: another `- ` was expected",
     "Begin each item of a list with `- `, all at the same indentation."},
    {"did not find expected ',' or ']'", NULL, true, "a list that begins here lacks its `]`", NULL},
    {"did not find expected ',' or '}'", NULL, true, "a `{` that begins here lacks its `}`", NULL},
    {"unexpected end of stream", "quoted scalar", true, "a quote that begins here is never closed",
     NULL},
    {"unknown escape", NULL, false, "a backslash in double quotes that means nothing",
     "Use single quotes, in which a backslash is only a backslash."},
    {"cannot start any token", NULL, false, "a character that no value can begin with",
     "Put the value in quotes."},
    {"undefined tag", NULL, false, "tags (`!`) are not taken", "Put the value in quotes."},
};

/* A tab among the blanks that the line begins with, or where the parser stopped. */
static bool tab_at_fault(const char *text, size_t length, const yaml_mark_t *mark, int *column)
{
    const char *at = text;
    const char *end = text + length;

    for (size_t i = 0; i < mark->line && at < end; i++) {
        const char *next = memchr(at, '\n', (size_t)(end - at));

        at = next ? next + 1 : end;
    }
    for (size_t i = 0; at + i < end && (at[i] == ' ' || at[i] == '\t'); i++) {
        if (at[i] == '\t' && i <= mark->column) {
            *column = (int)i + 1;
            return true;
        }
    }

    return false;
}

static struct yaml_problem problem_at(const yaml_mark_t *mark, const char *words, const char *hint)
{
    return (struct yaml_problem){
        .line = (int)mark->line + 1,
        .column = (int)mark->column + 1,
        .words = words,
        .hint = hint,
    };
}

struct yaml_problem yaml_fault_of(struct arena *mem, const yaml_parser_t *parser, const char *text,
                                  size_t length)
{
    const char *problem = parser->problem ? parser->problem : "can't be read";
    const char *context = parser->context ? parser->context : "";
    int tab = 0;

    if (tab_at_fault(text, length, &parser->problem_mark, &tab))
        return (struct yaml_problem){
            .line = (int)parser->problem_mark.line + 1,
            .column = tab,
            .words = "a tab where the line is indented",
            .hint = "Indent with blanks, not with tabs.",
        };
    for (size_t i = 0; i < ARRAY_LEN(complaints); i++) {
        const struct complaint *known = &complaints[i];

        if (strstr(problem, known->problem) && (!known->context || strstr(context, known->context)))
            return problem_at(known->at_context ? &parser->context_mark : &parser->problem_mark,
                              known->words, known->hint);
    }

    return problem_at(&parser->problem_mark, arena_printf(mem, "this can't be read (%s)", problem),
                      NULL);
}
