/*
 * YAML, as much of it as a person edits: maps, lists and texts, each with its place in the file.
 *
 * Nothing is typed: `no`, `0.30` and `2026-01-01` are texts, and who reads them decides. Refused,
 * with line and column: aliases, anchors and tags, keys that are no texts or come twice in one
 * map, several documents in one file, tabs as indentation, control characters, anything that is
 * not UTF-8, more than the limits below.
 *
 * Lines and columns count from 1; columns count characters.
 */
#ifndef BASE_YAML_H
#define BASE_YAML_H

#include <stdbool.h>
#include <stddef.h>

#include "base/arena.h"
#include "base/err.h"
#include "base/json.h"
#include "base/macro.h"

enum {
    YAML_BYTES_MOST = 4 * 1024 * 1024,
    YAML_NODES_MOST = 1000000,
    YAML_DEPTH_MOST = JSON_DEPTH_MOST, /* maps and lists inside each other */
    YAML_KEY_MOST = 200,               /* bytes */
};

enum yaml_kind { YAML_TEXT, YAML_LIST, YAML_MAP };

struct yaml_item {
    const struct yaml *key; /* a text; NULL in a list */
    const struct yaml *value;
};

struct yaml {
    enum yaml_kind kind;
    int line;
    int column;
    bool quoted;      /* in quotes or a block, so that "" was meant */
    const char *text; /* of YAML_TEXT; "" else, and where nothing stands after the colon */
    const struct yaml_item *items; /* of a list or map, in the order of the file */
    size_t count;
};

struct yaml_problem {
    int line;
    int column;
    const char *words; /* what is wrong and what was expected: lower case, no full stop */
    const char *hint;  /* a sentence, or NULL */
};

struct yaml_problems {
    struct yaml_problem *items;
    size_t count;
    size_t capacity;
};

/*
 * Read a text and go on where one can: problems are added to the list. NULL when the text can't
 * be read as a tree at all (the list then says why); where only single keys are wrong the tree
 * comes back beside its problems, without the second of two equal keys. A file with nothing in
 * it is an empty map.
 */
const struct yaml *yaml_read(struct arena *mem, const char *text, size_t length,
                             struct yaml_problems *problems);

/*
 * The same for those who want all or nothing.
 *
 * ERR_TOO_LARGE: over a limit; ERR_INVALID: "line 4, column 1: ..." of the first problem.
 */
MUST_CHECK bool yaml_load(struct arena *mem, const char *text, size_t length,
                          const struct yaml **out, struct err *err);

/* The value of a key, or NULL; also NULL when `map` is no map. */
const struct yaml *yaml_find(const struct yaml *map, const char *key);

/*
 * The tree as compact JSON in the order of the file, every text a string: yaml_read reads the
 * same tree back (places aside).
 */
char *yaml_json(struct arena *mem, const struct yaml *node);

/* The same as one value of a larger document. */
void yaml_json_value(struct json_writer *json, const struct yaml *node);

#endif
