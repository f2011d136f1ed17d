#include "serve/serve.h"

#include <math.h>
#include <stdarg.h>
#include <string.h>
#include <time.h>

#include "app/notice_targets.h"
#include "app/outbox.h"
#include "app/pass_time.h"
#include "base/clock.h"
#include "base/embedded.h"
#include "base/interrupt.h"
#include "base/str.h"
#include "cluster/account.h"
#include "cluster/lock.h"

enum { FOLDERS_EVERY_S = 2, TIME_EVERY_S = 60, NOTICES_EVERY_S = 15, BACK_OFF_MOST_S = 60 };

struct serving;

/* One of the things that are done again and again. */
struct step {
    const char *name;
    int every_s;
    bool (*run)(struct serving *serving, struct err *err);
};

static bool step_folders(struct serving *serving, struct err *err);
static bool step_time(struct serving *serving, struct err *err);
static bool step_notices(struct serving *serving, struct err *err);

static const struct step steps[] = {
    {"watched folders", FOLDERS_EVERY_S, step_folders},
    {"the look at the time", TIME_EVERY_S, step_time},
    {"notices", NOTICES_EVERY_S, step_notices},
};

/* What was last complained of, so that the log says it once. */
struct complaint {
    const char *about;
    const char *text; /* NULL: all is well */
};

struct serving {
    const struct serve_options *options;
    struct db *db;     /* NULL: not connected */
    struct arena *mem; /* of the farm and settings in force; NULL: none yet */
    struct open_farm farm;
    const struct machine_settings *settings;
    double due_s[ARRAY_LEN(steps)]; /* on the steady clock */
    int back_off_s;
    struct arena *kept; /* of complaints and the lock */
    struct {
        struct complaint *items;
        size_t count;
        size_t capacity;
    } complaints;
    int lock;
};

/* --- the log --------------------------------------------------------------------------------- */

static void say(const struct serving *serving, const char *fmt, ...) PRINTF_LIKE(2, 3);

static void say(const struct serving *serving, const char *fmt, ...)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    FILE *log = serving->options->log;
    va_list args;

    fprintf(log, "%s weirbook: ", instant_text(mem, clock_now()));
    va_start(args, fmt);
    vfprintf(log, fmt, args);
    va_end(args);
    fputc('\n', log);
    fflush(log);
}

static struct complaint *complaint_about(struct serving *serving, const char *about)
{
    for (size_t i = 0; i < serving->complaints.count; i++)
        if (str_equal(serving->complaints.items[i].about, about))
            return &serving->complaints.items[i];
    LIST_ADD(serving->kept, &serving->complaints,
             ((struct complaint){.about = arena_strdup(serving->kept, about)}));

    return &serving->complaints.items[serving->complaints.count - 1];
}

/* Once for each trouble, not once a round. */
static void complain(struct serving *serving, const char *about, const struct err *err)
{
    struct complaint *complaint = complaint_about(serving, about);

    if (str_equal(complaint->text, err->text))
        return;
    complaint->text = arena_strdup(serving->kept, err->text);
    say(serving, "%s: %s%s%s", about, err->text, *err->hint ? ". " : "", err->hint);
}

static void content(struct serving *serving, const char *about)
{
    struct complaint *complaint = complaint_about(serving, about);

    if (complaint->text)
        say(serving, "%s: goes on", about);
    complaint->text = NULL;
}

/* --- what is in force ------------------------------------------------------------------------ */

/* What is in force now, for whoever reads the log. */
static void in_force_say(const struct serving *serving)
{
    const struct target_notes missing =
        notice_targets_missing(serving->mem, serving->farm.farm, serving->settings);
    int watched = 0;

    for (size_t i = 0; i < serving->settings->watch.count; i++) {
        const char *farm = serving->settings->watch.items[i].farm;

        watched += !farm || str_equal(farm, serving->farm.farm->key);
    }
    say(serving, "%s%s: farm file version %d, %d %s watched", serving->farm.farm->name,
        serving->farm.farm->invented ? " [INVENTED, for practice only]" : "", serving->farm.version,
        watched, watched == 1 ? "folder" : "folders");
    for (size_t i = 0; i < missing.count; i++)
        say(serving, "%s", missing.items[i]);
}

static void problems_say(const struct serving *serving, const struct farmfile_problems *problems)
{
    for (size_t i = 1; i < problems->count; i++)
        say(serving, "%s, line %d, column %d: %s", SETTINGS_FILE, problems->items[i].line,
            problems->items[i].column, problems->items[i].words);
}

/* Farm and settings together, all or nothing: they name each other's things. */
static bool settings_renew(struct serving *serving, struct err *err)
{
    const struct serve_options *options = serving->options;
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct farmfile_problems problems = {0};
    const struct machine_settings *settings = NULL;
    struct open_farm farm = {0};

    if (!farm_open(serving->db, mem, options->units, options->farm_key, &farm, err))
        return false;
    if (!settings_load(mem, options->data_folder, farm.farm, &settings, &problems, err)) {
        problems_say(serving, &problems);
        return false;
    }
    arena_free(&serving->mem);
    serving->mem = mem;
    serving->farm = farm;
    serving->settings = settings;
    mem = NULL;

    return true;
}

/* One standing process a farm and data folder. */
static bool lock_take(struct serving *serving, struct err *err)
{
    CLEANUP(lock_close) int lock = -1;
    struct account account = {0};
    const char *path = arena_printf(serving->kept, "%s/serve-%s.lock",
                                    serving->options->data_folder, serving->farm.farm->key);

    if (!account_find(serving->kept, &account, err))
        return false;

    CLEANUP(account_files_end) struct account_files files = account_files_begin(&account);

    if (!lock_open(path, &lock, err))
        return false;
    if (!lock_try(lock, LOCK_EXCLUSIVE)) {
        err_set(err, ERR_CONFLICT, "weirbook serve runs already for the farm '%s'",
                serving->farm.farm->key);
        return err_hint(err, "One is enough; SIGHUP makes it read its settings again.");
    }
    serving->lock = lock;
    lock = -1;
    in_force_say(serving);

    return true;
}

/* Read anew; what was in force stays so where that can't be done. */
static bool reload(struct serving *serving, struct err *err)
{
    struct err why = ERR_INIT;

    if (settings_renew(serving, &why)) {
        content(serving, "settings");
        in_force_say(serving);
        return true;
    }
    if (why.code == ERR_UNAVAILABLE) {
        *err = why;
        return false;
    }
    err_wrap(&why, "those in force stay so");
    complain(serving, "settings", &why);

    return true;
}

static bool reload_where_new(struct serving *serving, struct err *err)
{
    int version = 0;

    if (!farm_version(serving->db, serving->farm.farm_id, &version, err))
        return false;

    return version == serving->farm.version || reload(serving, err);
}

/* --- steps ----------------------------------------------------------------------------------- */

static void file_say(void *context, enum watch_became became, const char *name, const char *words)
{
    static const char *const verbs[] = {
        [WATCH_TAKEN] = "taken in", [WATCH_KNOWN] = "known", [WATCH_REFUSED] = "refused"};

    say(context, "%s %s: %s", verbs[became], name, words);
}

static void folder_complain(void *context, const char *folder, const struct err *err)
{
    complain(context, folder, err);
}

static bool step_folders(struct serving *serving, struct err *err)
{
    const struct serve_options *options = serving->options;
    const struct watch_options watching = {.take_in = {.stop = options->stop,
                                                       .room_enough = options->room_enough,
                                                       .data_folder = options->data_folder},
                                           .context = serving,
                                           .tell = file_say,
                                           .failed = folder_complain};
    struct watch_result result = {0};

    if (!watch_folders(serving->db, &serving->farm, serving->settings, clock_now(), &watching,
                       &result, err))
        return false;
    if (result.failed == 0)
        for (size_t i = 0; i < serving->settings->watch.count; i++)
            content(serving, serving->settings->watch.items[i].folder);
    if (result.taken + result.known + result.refused > 0)
        memset(serving->due_s, 0, sizeof(serving->due_s));

    return true;
}

static bool step_time(struct serving *serving, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct pass_time_options options = {.settings = serving->settings,
                                              .stop = serving->options->stop};
    struct pass_time_result result = {0};

    if (!reload_where_new(serving, err) ||
        !pass_time(serving->db, mem, &serving->farm, clock_now(), &options, &result, err))
        return false;
    if (result.months + result.opened + result.ended > 0)
        say(serving, "months judged: %d, findings opened: %d, no longer found: %d", result.months,
            result.opened, result.ended);

    return true;
}

/* A notice that can't be sent is on record with its answer: told in the log, and no error. */
static bool step_notices(struct serving *serving, struct err *err)
{
    const struct outbox_options options = {.settings = serving->settings,
                                           .stop = serving->options->stop};
    struct outbox_result result = {0};

    if (!outbox_send(serving->db, &serving->farm, clock_now(), &options, &result, err))
        return false;
    if (result.sent + result.later + result.refused > 0)
        say(serving, "%d notices sent, %d to be tried again, %d refused", result.sent, result.later,
            result.refused);

    return true;
}

/* --- the loop -------------------------------------------------------------------------------- */

static bool stopped(const struct serving *serving)
{
    return *serving->options->stop != 0;
}

/* Sleep, but not through a signal, nor long after one that came just before. */
static void rest(const struct serving *serving, double until_s)
{
    while (!stopped(serving)) {
        double left_s = fmin(until_s - clock_steady_s(), 0.5);
        struct timespec nap = {.tv_nsec = (long)(left_s * 1e9)};

        if (left_s <= 0 || nanosleep(&nap, NULL) != 0)
            return;
    }
}

static void disconnect(struct serving *serving)
{
    serving->db = NULL;
    serving->options->host.disconnect(serving->options->host.context);
}

/* The database is away: let go of it, and wait longer each time. */
static void stand_back(struct serving *serving, const struct err *err)
{
    complain(serving, "the database", err);
    disconnect(serving);
    serving->back_off_s = serving->back_off_s == 0 ? 1 : serving->back_off_s * 2;
    if (serving->back_off_s > BACK_OFF_MOST_S)
        serving->back_off_s = BACK_OFF_MOST_S;
    rest(serving, clock_steady_s() + serving->back_off_s);
}

/* Connect, and at the first time find the farm. What is wrong then ends it; a lost server not. */
static bool start(struct serving *serving, struct err *err)
{
    const struct serve_host *host = &serving->options->host;

    if (!host->connect(host->context, &serving->db, err))
        return false;

    return (serving->mem || settings_renew(serving, err)) &&
           (serving->lock >= 0 || lock_take(serving, err));
}

/* Every step that is due. */
static bool steps_run(struct serving *serving, struct err *err)
{
    for (size_t i = 0; i < ARRAY_LEN(steps) && !stopped(serving); i++) {
        double now_s = clock_steady_s();
        struct err why = ERR_INIT;

        if (now_s < serving->due_s[i])
            continue;
        serving->due_s[i] = now_s + steps[i].every_s;
        if (steps[i].run(serving, &why)) {
            content(serving, steps[i].name);
            continue;
        }
        if (stopped(serving))
            return true;
        if (why.code == ERR_UNAVAILABLE) {
            *err = why;
            return false;
        }
        complain(serving, steps[i].name, &why);
    }

    return true;
}

static double next_due_s(const struct serving *serving)
{
    double next_s = serving->due_s[0];

    for (size_t i = 1; i < ARRAY_LEN(steps); i++)
        next_s = fmin(next_s, serving->due_s[i]);

    return next_s;
}

/* One turn. False only for what no waiting mends. */
static bool turn(struct serving *serving, struct err *err)
{
    struct err why = ERR_INIT;

    if (!serving->db && !start(serving, &why)) {
        if (why.code != ERR_UNAVAILABLE && serving->lock < 0) {
            *err = why;
            return false;
        }
        stand_back(serving, &why);
        return true;
    }
    if ((reload_asked() && !reload(serving, &why)) || !steps_run(serving, &why)) {
        stand_back(serving, &why);
        return true;
    }
    content(serving, "the database");
    serving->back_off_s = 0;
    rest(serving, next_due_s(serving));

    return true;
}

static void serving_end(struct serving *serving)
{
    lock_close(&serving->lock);
    arena_free(&serving->mem);
    arena_free(&serving->kept);
}

bool serve_run(const struct serve_options *options, struct err *err)
{
    CLEANUP(serving_end)
    struct serving serving = {.options = options, .kept = arena_new(), .lock = -1};

    reload_listen();
    while (!stopped(&serving))
        if (!turn(&serving, err)) {
            disconnect(&serving);
            return false;
        }
    say(&serving, "stopped, as asked");
    disconnect(&serving);

    return true;
}

extern const struct embedded_file unit_files[];

const char *serve_unit(void)
{
    return (const char *)unit_files[0].bytes;
}
