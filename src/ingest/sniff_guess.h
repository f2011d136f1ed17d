/*
 * Sniff guess: what was found out about an unknown file, by what evidence, and what is left to ask.
 *
 * `source` holds what is decided and nothing else: where a question is open its part is empty, so
 * that no assumption can slip into a farm file. Texts live in the arena of the guess.
 */
#ifndef INGEST_SNIFF_GUESS_H
#define INGEST_SNIFF_GUESS_H

#include "base/err.h"
#include "base/macro.h"
#include "base/zone.h"
#include "ingest/csv_header.h"
#include "ingest/sniff_table.h"
#include "ingest/sniff_time.h"
#include "ingest/source.h"
#include "measure/parameter.h"
#include "measure/unit.h"

enum { SNIFF_WORDS_MOST = 1000 }; /* different ones of one column that are looked at */

/* A station of the farm and what else it is called: by its licence, by its name. */
struct sniff_station {
    const char *key;
    const char *const *names;
    size_t name_count;
};

/* What is known beforehand. */
struct sniff_world {
    const struct units *units;
    const struct parameter_list *parameters; /* the farm's own among them */
    const struct zone *zone;                 /* the farm's; NULL: no farm */
    const struct sniff_station *stations;
    size_t station_count; /* 0: no farm, and any key may be answered */
    bool has_farm;
};

/* "separator", "semicolon", "96 of 96 lines have 7 cells with it". */
struct sniff_fact {
    const char *what;
    const char *found;
    const char *evidence; /* or NULL */
};

/* What is asked; several words of the file may be asked about in one. */
struct sniff_question {
    int number; /* from 1 */
    const char *topic;
    const char *text;
    const char *add; /* what to add to the command to answer */
    const char **words;
    size_t word_count;
    size_t word_capacity;
};

/* What a person said: "dates=day-first", "column Turb=turbidity-ntu, NTU". */
struct sniff_answer {
    const char *topic;
    const char *word; /* NULL: none */
    const char *says;
    const char *given; /* the whole */
    bool used;
    bool dropped; /* it can't be, and that is told: as if it were not given */
};

struct sniff_answers {
    struct sniff_answer *items;
    size_t count;
    size_t capacity;
    struct sniff_answer *last; /* that was asked for; NULL: none */
};

struct sniff_facts {
    struct sniff_fact *items;
    size_t count;
    size_t capacity;
};

struct sniff_questions {
    struct sniff_question *items;
    size_t count;
    size_t capacity;
};

struct sniff_names {
    const char **items;
    size_t count;
    size_t capacity;
};

struct sniff_guess {
    struct source source;
    bool has_clock; /* `source.clock` is decided */
    bool times_need_no_format;
    struct sniff_facts facts;
    struct sniff_questions questions;
    struct sniff_names left_out; /* columns that are not taken */
    struct sniff_names notes;    /* sentences worth reading before the source is used */
    struct sniff_names wrong;    /* answers that can't be, each with what was expected: all of them,
                                    where the guess failed for some */
};

/* Everything at hand while guessing. */
struct sniffing {
    struct arena *mem;
    const struct sniff_world *world;
    const struct sniff_table *table;
    struct sniff_answers *answers;
    struct sniff_guess *guess;
    enum csv_field *fields; /* of each column; CSV_FIELDS: none */
    bool *told;             /* of each column: a person said what field it is */
    bool *taken;            /* of each column: the source names it */
    bool *values;           /* of each column: it holds values */
    struct sniff_stamps stamps;
    struct sniff_pace pace;
};

/*
 * Take "TOPIC=ANSWER" or "TOPIC WORD=ANSWER" apart.
 *
 * ERR_INVALID: no "=", or a topic that nothing asks for, with the nearest.
 */
MUST_CHECK bool sniff_answer_read(struct arena *mem, const char *given, struct sniff_answers *into,
                                  struct err *err);

/* What was answered; NULL: nothing. It counts as used, and as the last one that was asked for. */
const char *sniff_answer_to(struct sniff_answers *answers, const char *topic, const char *word);

/* The same, and it counts as nothing. */
const char *sniff_answer_peek(const struct sniff_answers *answers, const char *topic,
                              const char *word);

/* What there is to say of an answer that nothing asked for; always ERR_INVALID. */
void sniff_answer_unused(struct arena *mem, const struct sniff_table *table,
                         const struct sniff_answer *answer, struct err *why);

void sniff_fact_add(struct sniffing *sniffing, const char *what, const char *found,
                    const char *evidence);

void sniff_note_add(struct sniffing *sniffing, const char *sentence);

/* Ask; `word` joins the words of the question on that topic, where there is one with that text. */
void sniff_ask(struct sniffing *sniffing, const char *topic, const char *word, const char *text,
               const char *add);

/* The number of the open question on a word, or on the topic alone (NULL); 0: none. */
int sniff_question_number(const struct sniff_guess *guess, const char *topic, const char *word);

/* Different texts of a column, each with how many rows have it. */
struct sniff_word {
    const char *text;
    size_t rows;
};

struct sniff_words {
    struct sniff_word *items;
    size_t count;
    size_t capacity;
};

struct sniff_words sniff_words_of(struct arena *mem, const struct sniff_table *table,
                                  size_t column);

/* The first column with that field, or SIZE_MAX. */
size_t sniff_field_column(const struct sniffing *sniffing, enum csv_field field);

/* The column of that name, or SIZE_MAX. */
size_t sniff_column_named(const struct sniff_table *table, const char *name);

/* "'a', 'b', 'c' and 4 more": at most `most` of them shown. */
const char *sniff_list_text(struct arena *mem, const char *const *words, size_t count, size_t most);

#endif
