#include <string.h>

#include "base/str.h"
#include "ingest/csv_header.h"
#include "ingest/sniff_role.h"
#include "ingest/sniff_what.h"

#define SET_ASIDE "set aside"

enum { SHOWN_MOST = 60, STATIONS_SHOWN = 8 };

/* The farm's station that is called so, by key, name or the licence's own; NULL: none. */
static const char *station_called(struct sniffing *sniffing, const char *word)
{
    const struct sniff_world *world = sniffing->world;
    const char *plain = sniff_plain(sniffing->mem, word);

    for (size_t i = 0; i < world->station_count; i++) {
        const struct sniff_station *station = &world->stations[i];

        if (str_equal(sniff_plain(sniffing->mem, station->key), plain))
            return station->key;
        for (size_t n = 0; n < station->name_count; n++)
            if (str_equal(sniff_plain(sniffing->mem, station->names[n]), plain))
                return station->key;
    }

    return NULL;
}

static bool key_told(struct sniffing *sniffing, const char *says, const char **out, struct err *err)
{
    const struct sniff_world *world = sniffing->world;
    const char **keys = ARENA_ARRAY(sniffing->mem, const char *, world->station_count);
    const char *near;

    for (size_t i = 0; i < world->station_count; i++) {
        keys[i] = world->stations[i].key;
        if (str_equal(keys[i], says)) {
            *out = keys[i];
            return true;
        }
    }
    if (!world->has_farm) {
        *out = says;
        return true;
    }
    near = str_nearest(says, keys, world->station_count);
    (void)err_set(err, ERR_NOT_FOUND, "the farm has no station '%s'",
                  str_show(sniffing->mem, says, SHOWN_MOST));

    return near ? err_hint(err, "Did you mean '%s'?", near)
                : err_hint(
                      err, "Its stations are %s.",
                      sniff_list_text(sniffing->mem, keys, world->station_count, STATIONS_SHOWN));
}

static const char *choices_text(struct sniffing *sniffing)
{
    const struct sniff_world *world = sniffing->world;
    const char **keys = ARENA_ARRAY(sniffing->mem, const char *, world->station_count);

    for (size_t i = 0; i < world->station_count; i++)
        keys[i] = world->stations[i].key;
    if (!world->has_farm)
        return "a key of your farm file";

    return sniff_list_text(sniffing->mem, keys, world->station_count, STATIONS_SHOWN);
}

/* "Station: pond" above the header. */
static const char *title_tells(struct sniffing *sniffing, const char **title)
{
    const struct sniff_rows *above = &sniffing->table->above;

    for (size_t r = 0; r < above->count; r++)
        for (size_t c = 0; c < above->items[r].count; c++) {
            const char *text = above->items[r].cells[c].text;
            const char *colon = strchr(text, ':');
            size_t length = colon ? strcspn(colon + 1, ";,|\t") : 0;
            const char *word =
                colon ? str_trim(sniffing->mem, arena_strndup(sniffing->mem, colon + 1, length))
                      : text;
            const char *key = *word ? station_called(sniffing, word) : NULL;

            if (key) {
                *title = text;
                return key;
            }
        }

    return NULL;
}

const char *sniff_station_in_name(struct sniffing *sniffing, const char *name, const char **rest)
{
    struct arena *mem = sniffing->mem;
    const char *found = NULL;

    for (size_t i = 0; name[i]; i++) {
        const char *key;

        if (!strchr(" _-.:", name[i]) || i == 0 || !name[i + 1])
            continue;
        /* The longest beginning counts: "Tank 1 oxygen" is of tank 1. */
        key = station_called(sniffing, arena_strndup(mem, name, i));
        if (key) {
            found = key;
            *rest = str_trim(mem, name + i + 1);
        } else if (!found && (key = station_called(sniffing, name + i + 1))) {
            *rest = str_trim(mem, arena_strndup(mem, name, i));
            return key;
        }
    }

    return found;
}

/* Whether columns of a wide file name their stations; *all: each that may hold values does. */
static bool columns_tell(struct sniffing *sniffing, bool *all)
{
    const struct sniff_table *table = sniffing->table;
    const struct sniff_world *world = sniffing->world;
    size_t tells = 0;
    size_t needs = 0;

    for (size_t i = 0; i < table->column_count; i++) {
        const struct sniff_column *column = &table->columns[i];
        const char *says = sniff_answer_to(sniffing->answers, "column", column->name);
        const char *rest = NULL;
        bool is_known;

        if (sniffing->taken[i] || column->filled == 0 || (says && str_equal(says, "not taken")))
            continue;
        is_known = says || sniff_name_parameters(sniffing->mem, world->units, world->parameters,
                                                 column->bare, column->unit)
                                   .count > 0;
        if ((!is_known || says) && sniff_station_in_name(sniffing, column->bare, &rest))
            tells += says || sniff_name_parameters(sniffing->mem, world->units, world->parameters,
                                                   rest, column->unit)
                                     .count > 0;
        else
            needs += is_known;
    }
    *all = tells > 0 && needs == 0;

    return tells > 0;
}

static bool column_words(struct sniffing *sniffing, size_t column, struct err *err)
{
    struct arena *mem = sniffing->mem;
    struct sniff_words words = sniff_words_of(mem, sniffing->table, column);
    struct source_word *told = ARENA_ARRAY(mem, struct source_word, words.count);
    struct source *source = &sniffing->guess->source;
    size_t count = 0;
    size_t known = 0;

    for (size_t i = 0; i < words.count; i++) {
        const char *word = words.items[i].text;
        const char *says = sniff_answer_to(sniffing->answers, "station", word);
        const char *key = NULL;

        if (says && str_equal_nocase(says, SET_ASIDE))
            continue;
        if (says && !key_told(sniffing, says, &key, err))
            return false;
        if (!key)
            key = station_called(sniffing, word);
        known += key != NULL;
        if (key && str_equal_nocase(key, word))
            continue;
        told[count++] = (struct source_word){word, key};
        if (!key)
            sniff_ask(sniffing, "station", word,
                      arena_printf(mem, "which stations are these words of '%s'?",
                                   sniffing->table->columns[column].name),
                      arena_printf(mem,
                                   "\"station WORD=KEY\" for each, with %s; or \"station "
                                   "WORD=" SET_ASIDE "\" to have its rows wait; or station=KEY "
                                   "where all of the file is of one",
                                   choices_text(sniffing)));
    }
    source->station_header = sniffing->table->columns[column].name;
    source->stations = (struct source_words){told, count};
    sniffing->taken[column] = true;
    sniff_fact_add(sniffing, "station", arena_printf(mem, "column '%s'", source->station_header),
                   arena_printf(mem, "%zu of its %zu different words are stations of the farm",
                                known, words.count));

    return true;
}

/* One for all rows, or a column that nobody knows by its name. */
static void station_ask(struct sniffing *sniffing)
{
    struct arena *mem = sniffing->mem;
    const char *places = sniff_roles_places(sniffing);
    const char *one = arena_printf(mem, "station=KEY, with %s", choices_text(sniffing));

    sniff_ask(
        sniffing, "station", NULL,
        places ? arena_printf(mem,
                              "no column is called a station: which one is it for all rows, "
                              "or which column says it? These may: %s",
                              places)
               : "no column names a station: which one is it?",
        places ? arena_printf(mem, "\"column NAME=station\", or %s, where all rows are of one", one)
               : one);
}

bool sniff_station(struct sniffing *sniffing, struct err *err)
{
    const struct sniff_world *world = sniffing->world;
    struct source *source = &sniffing->guess->source;
    const char *says = sniff_answer_to(sniffing->answers, "station", NULL);
    size_t column = sniff_field_column(sniffing, FIELD_STATION);
    const char *title = NULL;
    const char *key;
    bool all = false;

    if (says) {
        if (sniff_role_told(sniffing, FIELD_STATION))
            return err_set(err, ERR_INVALID, "station is a column, or one for all rows, not both");
        if (!key_told(sniffing, says, &source->station, err))
            return false;
        sniff_fact_add(sniffing, "station", source->station, "as you answered");
        return true;
    }
    if (column != SIZE_MAX && sniffing->table->columns[column].filled > 0)
        return column_words(sniffing, column, err);
    key = title_tells(sniffing, &title);
    if (key) {
        source->station = key;
        sniff_fact_add(sniffing, "station", key,
                       arena_printf(sniffing->mem, "'%s' stands above the header",
                                    str_show(sniffing->mem, title, SHOWN_MOST)));
        return true;
    }
    if (source->shape == SOURCE_WIDE && columns_tell(sniffing, &all)) {
        sniff_fact_add(sniffing, "station", "in the names of columns",
                       all ? "each begins or ends with one" : "some begin or end with one");
        if (all)
            return true;
    }
    if (world->station_count == 1) {
        source->station = world->stations[0].key;
        sniff_fact_add(sniffing, "station", source->station, "the farm has no other");
        return true;
    }
    station_ask(sniffing);

    return true;
}
