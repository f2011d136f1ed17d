#include "app/document_about.h"

#include <string.h>

#include "base/str.h"
#include "store/doubt_store.h"
#include "store/receipt_store.h"
#include "store/series_store.h"
#include "store/verdict_store.h"

/* One thing that a document may be about. */
struct about {
    struct db_tx *tx;
    struct arena *mem;
    const struct farm *farm;
    const char *name;
};

typedef bool about_find(const struct about *about, struct err *err);

static bool find_sample(const struct about *about, struct err *err)
{
    instant from = INSTANT_NONE;
    instant until = INSTANT_NONE;

    return doubt_store_sample(about->tx, about->name, &from, &until, err);
}

static bool find_file(const struct about *about, struct err *err)
{
    struct receipt_rows rows = {0};

    if (!receipt_store_list(about->tx, about->mem, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++)
        if (str_equal(rows.items[i].file_name, about->name))
            return true;

    return err_set(err, ERR_NOT_FOUND, "no file '%s' was taken in", about->name);
}

static bool find_licence(const struct about *about, struct err *err)
{
    return farm_find_licence(about->farm, about->name) != NULL ||
           err_set(err, ERR_NOT_FOUND, "the farm file has no licence '%s'", about->name);
}

/* "SUBJECT DAY", as `weirbook findings --json` lists them. */
static bool find_finding(const struct about *about, struct err *err)
{
    const char *blank = strrchr(about->name, ' ');
    struct finding_rows rows = {0};
    day_number day = DAY_NONE;

    if (!blank || !day_parse(blank + 1, &day, err)) {
        err_set(err, ERR_INVALID, "'%s' names no finding", about->name);
        return err_hint(err, "Write its subject and first day, as weirbook findings --json lists "
                             "them: finding SUBJECT 2026-05-01.");
    }

    const char *subject = arena_strndup(about->mem, about->name, (size_t)(blank - about->name));

    if (!finding_store_list(about->tx, about->mem, day, day, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++)
        if (rows.items[i].from == day && str_equal(rows.items[i].subject, subject))
            return true;

    return err_set(err, ERR_NOT_FOUND, "there is no finding about %s from that day", subject);
}

/* One of the farm file's, or what made something stored, or what a source names. */
static bool find_instrument(const struct about *about, struct err *err)
{
    const struct farm *farm = about->farm;
    struct series_rows rows = {0};

    for (size_t i = 0; i < farm->instruments.count; i++)
        if (farm_instrument_is(&farm->instruments.items[i], about->name))
            return true;
    for (size_t i = 0; i < farm->sources.count; i++)
        if (str_equal(farm->sources.items[i].source.instrument, about->name))
            return true;
    if (!series_store_list(about->tx, about->mem, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++)
        if (str_equal(rows.items[i].made_by, about->name))
            return true;

    return err_set(err, ERR_NOT_FOUND, "no instrument or laboratory '%s' is on record",
                   about->name);
}

static const struct {
    const char *kind;
    about_find *find;
} abouts[] = {
    {"sample", find_sample},         {"file", find_file},
    {"licence", find_licence},       {"finding", find_finding},
    {"instrument", find_instrument},
};

bool document_about_read(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                         const char *text, struct document_tie *tie, struct err *err)
{
    size_t length = strcspn(text, " ");
    const char *name = text + length + strspn(text + length, " ");

    for (size_t i = 0; i < ARRAY_LEN(abouts) && *name; i++) {
        if (strlen(abouts[i].kind) != length || strncmp(abouts[i].kind, text, length) != 0)
            continue;

        const struct about about = {tx, mem, farm->farm, name};

        tie->kind = abouts[i].kind;
        tie->about = name;

        return abouts[i].find(&about, err);
    }
    err_set(err, ERR_INVALID, "'%s' does not say what the document is about", text);

    return err_hint(err, "Write --about \"sample NUMBER\", \"file NAME\", \"licence KEY\", "
                         "\"finding SUBJECT DAY\" or \"instrument NAME\".");
}
