#include "app/source_words.h"

#include <string.h>

#include "base/str.h"

/* The words of a kind of rule; NULL of "blank" and of no kind. */
static struct source_words *words_of(struct source *source, const char *kind)
{
    const struct {
        const char *kind;
        struct source_words *words;
    } all[] = {
        {"unit", &source->units},
        {"parameter", &source->parameters},
        {"station", &source->stations},
        {"state", &source->states},
    };

    for (size_t i = 0; i < ARRAY_LEN(all); i++)
        if (str_equal(all[i].kind, kind))
            return all[i].words;

    return NULL;
}

const char *source_word_means(const struct source *source, const char *kind, const char *word)
{
    struct source copy = *source;
    const struct source_words *words = words_of(&copy, kind);
    bool is_unit = str_equal(kind, "unit");

    if (!words)
        return source_list_has(source->blanks, source->blank_count, word) ? "" : NULL;
    for (size_t i = 0; i < words->count; i++)
        if (is_unit ? str_equal(words->items[i].word, word)
                    : str_equal_nocase(words->items[i].word, word))
            return words->items[i].means;

    return NULL;
}

bool source_list_has(const char *const *list, size_t count, const char *word)
{
    for (size_t i = 0; i < count; i++)
        if (str_equal_nocase(list[i], word))
            return true;

    return false;
}

static void word_add(struct arena *mem, struct source_words *words, const char *word,
                     const char *means)
{
    struct source_word *items = ARENA_ARRAY(mem, struct source_word, words->count + 1);

    if (words->count > 0)
        memcpy(items, words->items, words->count * sizeof(*items));
    items[words->count] = (struct source_word){word, means};
    words->items = items;
    words->count++;
}

static void blank_add(struct arena *mem, struct source *source, const char *word)
{
    const char **items = ARENA_ARRAY(mem, const char *, source->blank_count + 1);

    for (size_t i = 0; i < source->blank_count; i++)
        items[i] = source->blanks[i];
    items[source->blank_count] = word;
    source->blanks = items;
    source->blank_count++;
}

const struct source *source_add_rules(struct arena *mem, const struct source *plain,
                                      const struct source_rules *rules)
{
    struct source *source = ARENA_NEW(mem, struct source);

    *source = *plain;
    for (size_t i = 0; i < rules->count; i++) {
        const struct source_rule *rule = &rules->items[i];
        struct source_words *words = words_of(source, rule->kind);

        if (rule->withdrawn || !str_equal(rule->source, plain->key) ||
            source_word_means(source, rule->kind, rule->word))
            continue;
        if (words)
            word_add(mem, words, rule->word, rule->means);
        else
            blank_add(mem, source, rule->word);
    }

    return source;
}

bool source_with_rules(struct db *db, struct arena *mem, const struct open_farm *farm,
                       const struct source *plain, const struct source **out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct source_rules rules = {0};

    if (!db_tx_begin(db, farm->farm_id, &tx, err) || !source_rule_store_list(&tx, mem, &rules, err))
        return false;
    *out = source_add_rules(mem, plain, &rules);

    return true;
}
