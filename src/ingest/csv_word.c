#include "ingest/csv_word.h"

#include <string.h>

#include "base/str.h"
#include "ingest/purpose.h"

enum { SHOWN_MOST = 60 };

/* What a word was found to be: one of the two, or trouble. */
struct found {
    const char *station;
    const struct parameter *parameter;
    struct trouble trouble;
};

struct word_list {
    const char **items;
    size_t count;
    size_t capacity;
};

/* What the source says the word means, or NULL. */
static const char *word_told(const struct source_words *words, const char *word)
{
    for (size_t i = 0; i < words->count; i++)
        if (strcmp(words->items[i].word, word) == 0)
            return words->items[i].means;
    for (size_t i = 0; i < words->count; i++)
        if (str_equal_nocase(words->items[i].word, word))
            return words->items[i].means;

    return NULL;
}

/* Keep what was found while there is room; else it lives with the row. */
static struct found *found_new(struct csv_reader *reader, struct word_map *map, const char *word,
                               struct arena **mem)
{
    bool fits = map->count < map->most;
    struct found *found;

    *mem = fits ? reader->mem : reader->row_mem;
    found = ARENA_NEW(*mem, struct found);
    if (fits)
        (void)word_map_put(map, word, found);

    return found;
}

static struct trouble station_trouble(struct arena *mem, const char *word,
                                      const struct word_list *near_words)
{
    const char *near = str_nearest(word, near_words->items, near_words->count);
    const char *ask = near ? arena_printf(mem, "Did you mean '%s'? ", near) : "";

    if (!*word)
        return (struct trouble){PROBLEM_STATION_UNKNOWN, "the row names no station",
                                "Write the station in the row."};

    return (struct trouble){
        .reason = PROBLEM_STATION_UNKNOWN,
        .words = arena_printf(mem, "there is no station '%s'", str_show(mem, word, SHOWN_MOST)),
        .todo = arena_printf(mem,
                             "%sSay in the source what the file's word means (station words), load "
                             "the farm file, and read it again: weirbook aside read-again.",
                             ask),
    };
}

static void list_add_words(struct arena *mem, struct word_list *list,
                           const struct source_words *words)
{
    for (size_t i = 0; i < words->count; i++)
        LIST_ADD(mem, list, words->items[i].word);
}

static void station_resolve(struct csv_reader *reader, struct arena *mem, const char *word,
                            struct found *found)
{
    const struct ingest_world *world = reader->world;
    const char *told = word_told(&reader->source->stations, word);
    struct word_list near_words = {0};

    for (size_t i = 0; i < world->station_count && !found->station; i++)
        if (str_equal_nocase(world->stations[i], told ? told : word))
            found->station = world->stations[i];
    if (found->station)
        return;
    for (size_t i = 0; i < world->station_count; i++)
        LIST_ADD(reader->row_mem, &near_words, world->stations[i]);
    list_add_words(reader->row_mem, &near_words, &reader->source->stations);
    found->trouble = station_trouble(mem, told ? told : word, &near_words);
}

const char *csv_word_station(struct csv_reader *reader, const char *word, struct trouble *trouble)
{
    const struct found *found = word_map_get(&reader->stations, word);

    if (!found) {
        struct arena *mem;
        struct found *fresh = found_new(reader, &reader->stations, word, &mem);

        station_resolve(reader, mem, word, fresh);
        found = fresh;
    }
    if (!found->station)
        *trouble = found->trouble;

    return found->station;
}

/* The source's own word that is nearest, or NULL. */
static const char *word_near(struct arena *mem, const struct source_words *words, const char *word)
{
    struct word_list list = {0};

    list_add_words(mem, &list, words);

    return str_nearest(word, list.items, list.count);
}

/*
 * A name is not enough: "Nitrate" may be as nitrogen or as the ion. What it may mean is told, and
 * the farm says which.
 */
static struct trouble parameter_trouble(struct csv_reader *reader, struct arena *mem,
                                        const char *word)
{
    const char *shown = str_show(mem, word, SHOWN_MOST);
    const char *listed = word_near(reader->row_mem, &reader->source->parameters, word);
    const char *near =
        listed ? NULL : parameter_near(reader->row_mem, reader->world->parameters, word);
    const char *ask = "";

    if (!*word)
        return (struct trouble){PROBLEM_PARAMETER_UNKNOWN, "the row names no parameter",
                                "Write the parameter in the row."};
    if (listed)
        ask = arena_printf(mem, "Did you mean '%s'? ", listed);
    else if (near)
        ask = arena_printf(mem, "It may mean %s. ", near);

    return (struct trouble){
        .reason = PROBLEM_PARAMETER_UNKNOWN,
        .words = arena_printf(mem, "there is no parameter '%s'", shown),
        .todo = arena_printf(mem,
                             "%sSay what it means under `parameter words` of the source; weirbook "
                             "words parameters lists those built in.",
                             ask),
    };
}

static void parameter_resolve(struct csv_reader *reader, struct arena *mem, const char *word,
                              struct found *found)
{
    const char *told = word_told(&reader->source->parameters, word);

    found->parameter = parameter_find(reader->world->parameters, told ? told : word);
    if (!found->parameter)
        found->trouble = parameter_trouble(reader, mem, told ? told : word);
}

const struct parameter *csv_word_parameter(struct csv_reader *reader, const char *word,
                                           struct trouble *trouble)
{
    const struct found *found = word_map_get(&reader->parameters, word);

    if (!found) {
        struct arena *mem;
        struct found *fresh = found_new(reader, &reader->parameters, word, &mem);

        parameter_resolve(reader, mem, word, fresh);
        found = fresh;
    }
    if (!found->parameter)
        *trouble = found->trouble;

    return found->parameter;
}

const char *csv_word_purpose(struct csv_reader *reader, const char *word, struct trouble *trouble)
{
    const char *told = word_told(&reader->source->purposes, word);
    const char *purpose = told ? told : purpose_known(word);

    if (!purpose)
        *trouble = (struct trouble){
            .reason = PROBLEM_PURPOSE_UNKNOWN,
            .words = arena_printf(reader->row_mem, "'%s' is no purpose of a sample",
                                  str_show(reader->row_mem, word, SHOWN_MOST)),
            .todo = "Say in the source what the file's word means (purpose words), load the farm "
                    "file, and read it again: weirbook aside read-again.",
        };

    return purpose;
}

bool csv_word_label(struct csv_reader *reader, const char *text, const char **out, struct err *err)
{
    const char *known = word_map_get(&reader->labels, text);

    if (!known) {
        char *kept = arena_strdup(reader->mem, text);

        if (!word_map_put(&reader->labels, text, kept)) {
            (void)err_set(err, ERR_TOO_LARGE, "the file names more than %d positions and methods",
                          SERIES_MOST);
            return err_hint(err, "See that these columns name what they should.");
        }
        known = kept;
    }
    *out = known;

    return true;
}
