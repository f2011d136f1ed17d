/*
 * Fields: reading a map of the farm file by a table, one row per key. The same row gives the
 * reading, the message when it goes wrong, and the place of the key in the canonical text.
 *
 * Reading goes in the order of the table, not of the file, so that a row may rely on those above
 * it. Nothing stops at the first problem.
 */
#ifndef FARMFILE_FIELD_H
#define FARMFILE_FIELD_H

#include "base/key_index.h"
#include "base/yaml.h"
#include "farmfile/farmfile.h"

enum {
    FARM_ITEMS_MOST = 10000,     /* of one list: stations, limits ... */
    FARM_KEY_MOST = 40,          /* letters of a key */
    FARM_TEXT_MOST = 4000,       /* bytes of a text */
    FARM_TIDES_MOST = 15000,     /* of one tide table: ten years with four a day */
    FARMFILE_PROBLEMS_MOST = 500 /* told in one pass */
};

/* How a value is spelt in the canonical text where the file spells it in another way. */
struct field_spelling {
    const struct yaml *node;
    const char *text;
};

/* The keys of a list as far as it has been read, for value_key_once(). */
struct field_keys {
    const struct yaml *list;
    size_t read;
    struct key_index index;
};

/* What a pass over the file carries along. */
struct field_reader {
    struct arena *mem;
    struct farm *farm;         /* as far as it has been read */
    const struct units *units; /* NULL when stored */
    bool stored;   /* a text of an older version: the names in it may be gone from the farm */
    bool accepted; /* the farm file in force: what a limit lacks is noted in it, and no problem */
    struct farmfile_problems *problems;
    struct {
        struct field_spelling *items;
        size_t count;
        size_t capacity;
    } spellings;
    struct field_keys keys[2]; /* of the list at hand, and of the one that it lies in */
    int keys_latest;
};

enum field_need { FIELD_OPTIONAL, FIELD_REQUIRED };

struct field_table;

struct field {
    const char *key;
    /* Put the value into the struct; problems are added to the reader's. */
    void (*read)(struct field_reader *reader, const struct field *field, const struct yaml *value,
                 void *into);
    size_t offset;            /* into + offset is what `read` gets */
    const char *expected;     /* "a date, as 2026-01-31" */
    const char *const *words; /* of a choice: in enum order, NULL ends them */
    const char *note;         /* more for who asks what may stand here: sentences, or NULL */
    const struct field_table *inside; /* of a map: its own rows, for the canonical text */
    enum field_need need;
    int least; /* of a whole number */
    int most;
    bool apart;   /* no part of a clause: changing it changes no verdict */
    bool passing; /* said for this loading only: not in the canonical text */
};

/* The parts that every row has: {FIELD("key", FIELD_REQUIRED, value_key, struct x, key, "...")} */
#define FIELD(key_, need_, read_, type, member, expected_)                                         \
    .key = (key_), .need = (need_), .read = (read_), .offset = offsetof(type, member),             \
    .expected = (expected_)

struct field_table {
    const char *what; /* "limit" */
    const struct field *fields;
    size_t count;
};

/*
 * Read a map: unknown keys are named with the nearest one, required ones that lack are named with
 * what was expected. False when the node is no map.
 */
bool field_read_map(struct field_reader *reader, const struct field_table *table,
                    const struct yaml *node, void *into);

/*
 * Read a whole file whose root is such a map. False when there are problems, of YAML or of the
 * rows: err says how many and has the first, the reader's list has all in order of place.
 */
MUST_CHECK bool field_read_file(struct field_reader *reader, const struct field_table *table,
                                const char *text, size_t length, void *into, struct err *err);

/* Whether the node is a list with at most FARM_ITEMS_MOST items; tells of it if not. */
bool field_is_list(struct field_reader *reader, const struct field *field, const struct yaml *node);

/* Whether the node is a text with something in it; tells of it if not. */
bool field_is_text(struct field_reader *reader, const struct field *field, const struct yaml *node);

/* Tell of a problem at a node. */
void field_problem(struct field_reader *reader, const struct yaml *node, const char *hint,
                   const char *fmt, ...) PRINTF_LIKE(4, 5);

/* "'half way' can't be `rounding`: expected ...", with the nearest of `words` (may be NULL). */
void field_unfit(struct field_reader *reader, const struct field *field, const struct yaml *node,
                 const char *const *words, size_t count);

/* "there is no station 'tnak-1'; did you mean 'tank-1'?" */
void field_unknown(struct field_reader *reader, const struct yaml *node, const char *what,
                   const char *const *words, size_t count);

/* The canonical text spells this value so. */
void field_spell(struct field_reader *reader, const struct yaml *node, const char *text);

/* "the limit 'solids-mean'", for messages about a whole map. */
const char *field_map_name(struct field_reader *reader, const struct field_table *table,
                           const struct yaml *node);

enum field_extent { FIELD_ALL, FIELD_JUDGED /* without the rows that are apart */ };

/*
 * The canonical text of a map: JSON, keys in the order of the table, every scalar a string,
 * values as field_spell() has them. The same table reads it back.
 */
char *field_definition(struct field_reader *reader, const struct field_table *table,
                       const struct yaml *node, enum field_extent extent);

#endif
