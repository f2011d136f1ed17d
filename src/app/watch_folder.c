#include "app/watch_folder.h"

#include <unistd.h>

#include "app/drop_folder.h"
#include "app/findings.h"
#include "base/str.h"
#include "store/look_store.h"

struct watch_round {
    struct db *db;
    struct arena *mem;
    const struct open_farm *farm;
    const struct settings_watch *watch;
    const struct watch_options *options;
    struct watch_result *result;
    struct drop_folder drop;
    instant now;
};

static void fd_close(const int *fd)
{
    if (*fd >= 0)
        close(*fd);
}

static void tell(const struct watch_round *round, enum watch_became became, const char *label,
                 const char *words)
{
    if (round->options->tell)
        round->options->tell(round->options->context, became, label, words);
}

/* A file came: the folder is not quiet. */
static bool came_note(struct watch_round *round, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    const struct folder_look look = {.since = round->now, .came_at = round->now};

    return db_tx_begin(round->db, round->farm->farm_id, &tx, err) &&
           look_store_folder_put(&tx, round->watch->folder, &look, err) && db_tx_commit(&tx, err);
}

static bool finding_open(struct watch_round *round, const char *label, const char *why,
                         struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct arena *mem = round->mem;
    struct finding_row finding = {
        .kind = "refused file",
        .subject = arena_printf(mem, "%s: %s", round->watch->source, label),
        .station = "",
        .from = zone_day(round->farm->farm->zone, round->now),
        .aware_at = round->now,
        .words = arena_printf(mem, "A file in %s could not be taken in: %s",
                              drop_label(mem, round->watch->folder), why)};
    const struct finding_rows rows = {&finding, 1};

    return db_tx_begin(round->db, round->farm->farm_id, &tx, err) &&
           findings_open(&tx, mem, round->farm->farm, &rows, "weirbook serve", round->now,
                         &round->result->opened, err) &&
           db_tx_commit(&tx, err);
}

/* The text beside a refused file. The same for the same file, whenever it is written. */
static char *why_text(struct watch_round *round, const struct err *why)
{
    return arena_printf(round->mem,
                        "Weirbook did not take in this file:\n\n%s\n%s%s\nNothing of it was kept. "
                        "Once it is mended, or the farm file is, move it back to\n%s\n",
                        why->text, why->hint, *why->hint ? "\n" : "", round->watch->folder);
}

/* The finding first: then somebody knows, whatever happens to the move. */
static bool file_refuse(struct watch_round *round, const char *name, const char *label,
                        const struct err *why, struct err *err)
{
    if (!finding_open(round, label, why->text, err) ||
        !drop_refuse(&round->drop, name, why_text(round, why), err) || !came_note(round, err))
        return false;
    round->result->refused++;
    tell(round, WATCH_REFUSED, label, why->text);

    return true;
}

static bool file_done(struct watch_round *round, const char *name, const char *label,
                      const struct take_in_result *taken, struct err *err)
{
    const struct receipt_row *receipt = &taken->receipt;

    if (!drop_move_on(&round->drop, name, round->drop.done, err) || !came_note(round, err))
        return false;
    if (taken->already) {
        round->result->known++;
        tell(round, WATCH_KNOWN, label, "came in already; nothing changed");
        return true;
    }
    round->result->taken++;
    tell(round, WATCH_TAKEN, label,
         arena_printf(round->mem,
                      "%lld values in = %lld stored + %lld known already + %lld blank + %lld set "
                      "aside",
                      (long long)receipt->values_in, (long long)receipt->stored,
                      (long long)receipt->already_known, (long long)receipt->blank,
                      (long long)receipt->set_aside));

    return true;
}

static bool passed_on(struct err *err, const struct err *why)
{
    *err = *why;

    return false;
}

/* What can't be taken in however often one tries. */
static bool is_refusal(enum err_code code)
{
    return code == ERR_INVALID || code == ERR_TOO_LARGE || code == ERR_DENIED;
}

/* A file of .taking: in, and on to where it belongs. */
static bool file_take(struct watch_round *round, const char *name, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(fd_close) int fd = -1;
    const char *label = drop_label(round->mem, name);
    const struct act act = {.person = NULL, .at = round->now};
    struct take_in_options options = round->options->take_in;
    struct take_in_result taken = {0};
    struct take_in_opened opened = {.name = label};
    struct stat status;
    struct err why = ERR_INIT;

    if (!drop_open_claimed(&round->drop, name, &fd, &status, &why))
        return is_refusal(why.code) ? file_refuse(round, name, label, &why, err)
                                    : passed_on(err, &why);
    if (fd < 0)
        return true;
    opened.fd = fd;
    options.unattended = true;
    options.opened = &opened;

    bool done = take_in(round->db, mem, round->farm, round->watch->source, label, &act, &options,
                        &taken, &why);

    /* Written to meanwhile: it stays where it is until it has settled, then comes in again. */
    if (!drop_unchanged(fd, &status)) {
        round->result->waiting++;
        return true;
    }
    if (done)
        return file_done(round, name, label, &taken, err);

    return is_refusal(why.code) ? file_refuse(round, name, label, &why, err) : passed_on(err, &why);
}

/* Whether the file is ready; counts it where it is not. */
static bool look(struct watch_round *round, int folder, const char *name, bool *ready,
                 struct err *err)
{
    enum drop_state state = DROP_GONE;

    if (!drop_look(&round->drop, folder, name, round->watch->settle_s, &state, err))
        return false;
    *ready = state == DROP_READY;
    round->result->waiting += state == DROP_WAITING;
    round->result->left += state == DROP_LEFT;

    return true;
}

/* Whether so many were dealt with that the rest waits for the next round, or we shall stop. */
static bool enough(const struct watch_round *round)
{
    const struct watch_result *result = round->result;
    const volatile sig_atomic_t *stop = round->options->take_in.stop;

    return result->taken + result->known + result->refused >= WATCH_FILES_MOST || (stop && *stop);
}

static bool left_over_take(struct watch_round *round, struct err *err)
{
    struct drop_names names = {0};

    if (!drop_folder_names(&round->drop, round->drop.taking, &names, err))
        return false;
    for (size_t i = 0; i < names.count && !enough(round); i++) {
        bool ready = false;

        if (!look(round, round->drop.taking, names.items[i], &ready, err) ||
            (ready && !file_take(round, names.items[i], err)))
            return false;
    }

    return true;
}

static bool new_take(struct watch_round *round, const struct drop_names *names, struct err *err)
{
    for (size_t i = 0; i < names->count && !enough(round); i++) {
        const char *name = names->items[i];
        bool ready = false;
        bool moved = false;

        if (str_equal(name, round->watch->done) || str_equal(name, round->watch->refused))
            continue;
        if (!look(round, round->drop.folder, name, &ready, err))
            return false;
        if (!ready)
            continue;
        if (!drop_claim(&round->drop, name, &moved, err) || (moved && !file_take(round, name, err)))
            return false;
        round->result->waiting += !moved;
    }

    return true;
}

static bool source_known(const struct open_farm *farm, const struct settings_watch *watch,
                         struct err *err)
{
    if (farm_find_source(farm->farm, watch->source))
        return true;
    err_set(err, ERR_NOT_FOUND,
            "the folder %s is watched for the source '%s', and the farm file "
            "has none of that key",
            watch->folder, watch->source);

    return err_hint(err, "Mend weirbook.conf or the farm file. Nothing in the folder was touched.");
}

bool watch_folder(struct db *db, const struct open_farm *farm, const struct settings_watch *watch,
                  instant now, const struct watch_options *options, struct watch_result *result,
                  struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct watch_round round = {.db = db,
                                .mem = mem,
                                .farm = farm,
                                .watch = watch,
                                .options = options,
                                .result = result,
                                .now = now};
    CLEANUP(drop_folder_close) struct drop_folder drop = DROP_FOLDER_CLOSED;
    struct drop_names names = {0};

    *result = (struct watch_result){0};
    if (!source_known(farm, watch, err) || !drop_folder_open(mem, watch, &drop, err) ||
        !drop_folder_names(&drop, drop.folder, &names, err))
        return false;
    round.drop = drop;

    return left_over_take(&round, err) && new_take(&round, &names, err);
}

/* Whether it is the farm's records that are away, and not one folder that is wrong. */
static bool is_database(struct db *db, const struct open_farm *farm)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct time_look look = {0};
    struct err err = ERR_INIT;

    return !db_tx_begin(db, farm->farm_id, &tx, &err) || !look_store_time(&tx, &look, &err);
}

static void add_up(struct watch_result *all, const struct watch_result *one)
{
    all->taken += one->taken;
    all->known += one->known;
    all->refused += one->refused;
    all->waiting += one->waiting;
    all->left += one->left;
    all->opened += one->opened;
}

bool watch_folders(struct db *db, const struct open_farm *farm,
                   const struct machine_settings *settings, instant now,
                   const struct watch_options *options, struct watch_result *result,
                   struct err *err)
{
    const volatile sig_atomic_t *stop = options->take_in.stop;

    *result = (struct watch_result){0};
    for (size_t i = 0; i < settings->watch.count && !(stop && *stop); i++) {
        const struct settings_watch *watch = &settings->watch.items[i];
        struct watch_result one = {0};
        struct err why = ERR_INIT;

        if (watch->farm && !str_equal(watch->farm, farm->farm->key))
            continue;

        bool done = watch_folder(db, farm, watch, now, options, &one, &why);

        add_up(result, &one);
        if (done || (stop && *stop))
            continue;
        if (is_database(db, farm))
            return passed_on(err, &why);
        result->failed++;
        if (options->failed)
            options->failed(options->context, watch->folder, &why);
    }

    return true;
}
