/*
 * What a person is told of a finding: subject and text, in words that are enough to act on without
 * the program at hand, and the caution that every notice carries.
 */
#ifndef APP_NOTICE_WORDS_H
#define APP_NOTICE_WORDS_H

#include "farmfile/farm.h"
#include "store/notice_store.h"
#include "store/verdict_store.h"

struct notice_words {
    const char *subject; /* one line, at most NOTICE_SUBJECT_MOST bytes */
    const char *text;
};

enum { NOTICE_SUBJECT_MOST = 200 };

/* What findings of a kind are called, and what to do about them. */
struct notice_kind {
    const char *kind;
    const char *title; /* "a sample was missed" */
    const char *todo;
};

/* Of the kind; the last, which is of any, where it has none. */
const struct notice_kind *notice_kind_of(const char *kind);

/* All of them, in order, each once; NULL past the last. */
const struct notice_kind *notice_kind_at(size_t index);

/* Also in README.md: notices are records, and never what animals' lives hang on. */
extern const char notice_caution[];

/*
 * `number` is the notice's own; `next` who is told after `next_after_s` where nobody has seen it by
 * then (NULL: nobody is).
 */
struct notice_words notice_words(struct arena *mem, const struct farm *farm,
                                 const struct finding_row *finding, int number, const char *person,
                                 const char *next, int next_after_s);

enum { NOTICE_PARTS_SHOWN = 10 };

/* Subject and text of one that tells of more findings than its own; as they are where there are
 * none. */
void notice_words_gather(struct arena *mem, const struct notice_parts *parts, const char **subject,
                         const char **text);

#endif
