/*
 * A source as it reads: what the farm file says of it, and behind that the rules that persons made
 * about its words since (source_rules.h). Where both speak of a word, the farm file counts.
 */
#ifndef APP_SOURCE_WORDS_H
#define APP_SOURCE_WORDS_H

#include "app/open_farm.h"
#include "store/source_rule_store.h"

/* The source with the rules that are on record, in mem. */
MUST_CHECK bool source_with_rules(struct db *db, struct arena *mem, const struct open_farm *farm,
                                  const struct source *plain, const struct source **out,
                                  struct err *err);

/* The same from rules at hand, of which those of other sources, or taken back, are passed over. */
const struct source *source_add_rules(struct arena *mem, const struct source *plain,
                                      const struct source_rules *rules);

/*
 * What the source says a word means, of a kind of rule; NULL: nothing. Letter case does not count,
 * but for units (mS is not MS). "" of a word that it lists as blank, asked for "blank".
 */
const char *source_word_means(const struct source *source, const char *kind, const char *word);

/* Whether the list has the word, letter case aside. */
bool source_list_has(const char *const *list, size_t count, const char *word);

#endif
