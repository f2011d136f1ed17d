#include "base/zone_names.h"

#include <string.h>

#include "base/file.h"
#include "base/str.h"

enum { LIST_BYTES_MOST = 4 * 1024 * 1024 };

/* The lists that tzdata packages carry, best first, and where a line has the name. */
static const struct list {
    const char *path;
    char mark;  /* lines begin with it; '\0': any line but a comment */
    int column; /* 0 is the first */
} lists[] = {
    {ZONE_FOLDER "/tzdata.zi", 'Z', 1},
    {ZONE_FOLDER "/tzdata.zi", 'L', 2},
    {ZONE_FOLDER "/zone1970.tab", '\0', 2},
    {ZONE_FOLDER "/zone.tab", '\0', 2},
};

static const char *const blanks = " \t";

static bool line_counts(const struct list *list, const char *line)
{
    if (!list->mark)
        return *line != '\0' && *line != '#';

    return line[0] == list->mark && line[1] == ' ';
}

/* The column-th word of a line, or NULL. Changes the line. */
static const char *word_of_line(char *line, int column)
{
    char *rest = line;
    const char *word = NULL;

    for (int i = 0; i <= column; i++) {
        word = strtok_r(rest, blanks, &rest);
        if (!word)
            return NULL;
    }

    return word;
}

static void names_from_list(struct arena *mem, const struct list *list, struct zone_names *names)
{
    struct err err = ERR_INIT;
    char *rest;
    size_t length;

    if (!file_read(mem, list->path, LIST_BYTES_MOST, &rest, &length, &err))
        return;

    for (char *line; (line = strsep(&rest, "\n"));) {
        const char *word = line_counts(list, line) ? word_of_line(line, list->column) : NULL;

        if (word)
            LIST_ADD(mem, names, word);
    }
}

struct zone_names zone_names_all(struct arena *mem)
{
    struct zone_names names = {0};

    for (size_t i = 0; i < ARRAY_LEN(lists) && (lists[i].mark || names.count == 0); i++)
        names_from_list(mem, &lists[i], &names);

    return names;
}

/* What stands after the last slash: the city. */
static const char *city(const char *name)
{
    const char *slash = strrchr(name, '/');

    return slash ? slash + 1 : name;
}

/* The place of the zone whose city is `word`, or of the nearest one; count when there is none. */
static size_t find_city(const struct zone_names *names, const char **cities, const char *word)
{
    for (size_t i = 0; i < names->count; i++)
        if (str_equal_nocase(cities[i], word))
            return i;

    const char *nearest = str_nearest(word, cities, names->count);

    for (size_t i = 0; nearest && i < names->count; i++)
        if (cities[i] == nearest)
            return i;

    return names->count;
}

/* The same word as the database would write it: New_York. */
static const char *as_city(struct arena *mem, const char *wrong)
{
    char *word = arena_strdup(mem, city(wrong));

    for (char *blank; (blank = strchr(word, ' '));)
        *blank = '_';

    return word;
}

const char *zone_names_nearest(struct arena *mem, const char *wrong)
{
    struct zone_names names = zone_names_all(mem);
    const char **cities = ARENA_ARRAY(mem, const char *, names.count);
    const char *word = as_city(mem, wrong);
    const char *nearest = strchr(wrong, '/') ? str_nearest(wrong, names.items, names.count) : NULL;

    if (nearest)
        return nearest;
    for (size_t i = 0; i < names.count; i++)
        cities[i] = city(names.items[i]);

    size_t place = find_city(&names, cities, word);

    return place < names.count ? names.items[place] : NULL;
}

/* The first line of tzdata.zi is "# version 2025b". */
const char *zone_names_release(struct arena *mem)
{
    static const char first_words[] = "# version ";
    struct err err = ERR_INIT;
    char *text;
    size_t length;

    if (!file_read(mem, lists[0].path, LIST_BYTES_MOST, &text, &length, &err) ||
        !str_starts(text, first_words))
        return "unknown";

    const char *version = text + strlen(first_words);

    return arena_strndup(mem, version, strcspn(version, " \r\n"));
}
