/*
 * Looking at invented files in tests: a text becomes a table and a guess, with answers given as on
 * the command line.
 */
#ifndef TESTS_INGEST_SNIFF_FILE_H
#define TESTS_INGEST_SNIFF_FILE_H

#include "csv_file.h"
#include "ingest/sniff_source.h"
#include "ingest/sniff_text.h"

static inline struct ingest_bytes bytes_of(struct file *file, const char *text)
{
    *file = (struct file){text, strlen(text), 65536};

    return (struct ingest_bytes){file, file_read_piece};
}

/* The table of a text, parted by `separator`, or by what its lines show (0). */
static inline bool table_of(struct arena *mem, const char *text, char separator,
                            struct sniff_table *table, struct err *err)
{
    CLEANUP(sniff_sample_done) struct sniff_sample sample = sniff_sample_new(mem);
    struct sniff_text head;
    struct sniff_text_read read;
    struct file file;
    struct ingest_bytes bytes = bytes_of(&file, text);

    if (!sniff_text_head(mem, &bytes, &head, err))
        return false;
    if (!separator)
        separator = sniff_separator_find(mem, &head.lines).separator;
    bytes = bytes_of(&file, text);
    if (!sniff_text_rows(mem, &bytes, separator, &sample, &read, err))
        return false;

    struct sniff_rows rows = sniff_sample_rows(&sample);

    return sniff_table_find(mem, &rows, table, err);
}

/* A farm with three stations, or none. */
static inline bool guess_of(struct arena *mem, const struct farm *farm, bool has_farm,
                            const char *text, const char *const *answered,
                            struct sniff_guess *guess, struct err *err)
{
    static const char *const outlet_names[] = {"Outlet to the bay", "Discharge point 1"};
    static const struct sniff_station stations[] = {
        {"pond", NULL, 0}, {"outlet", outlet_names, 2}, {"intake", NULL, 0}};
    static const struct parameter_list no_own_parameters;
    const struct sniff_world world = {.units = farm->units,
                                      .parameters = &no_own_parameters,
                                      .zone = has_farm ? farm->zone : NULL,
                                      .stations = stations,
                                      .station_count = has_farm ? ARRAY_LEN(stations) : 0,
                                      .has_farm = has_farm};
    struct sniff_answers answers = {0};
    struct sniff_table table;

    *guess = (struct sniff_guess){.has_clock = false};
    for (size_t i = 0; answered && answered[i]; i++)
        if (!sniff_answer_read(mem, answered[i], &answers, err))
            return false;
    if (!table_of(mem, text, 0, &table, err))
        return false;
    guess->source.separator = ',';

    return sniff_source(mem, &world, &table, &answers, guess, err);
}

/* "dates clock unit:NTU": topics that are asked, with their words. */
static inline const char *asked(struct arena *mem, const struct sniff_guess *guess)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < guess->questions.count; i++) {
        const struct sniff_question *question = &guess->questions.items[i];

        buf_addf(&text, "%s%s", i ? " " : "", question->topic);
        for (size_t k = 0; k < question->word_count; k++)
            buf_addf(&text, ":%s", question->words[k]);
    }

    return text.data;
}

/* What was found under that heading, with its evidence; "" where nothing was. */
static inline const char *fact_of(struct arena *mem, const struct sniff_guess *guess,
                                  const char *what)
{
    for (size_t i = 0; i < guess->facts.count; i++)
        if (strcmp(guess->facts.items[i].what, what) == 0)
            return arena_printf(mem, "%s: %s", guess->facts.items[i].found,
                                guess->facts.items[i].evidence ? guess->facts.items[i].evidence
                                                               : "");

    return "";
}

#endif
