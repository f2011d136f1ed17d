#include "cluster/programs.h"

#include <dirent.h>
#include <stdlib.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"

#define PROGRAMS_ROOT "/usr/lib/postgresql"

enum { MAJORS_MAX = 32, MAJOR_GREATEST = 999 };

struct majors {
    int items[MAJORS_MAX];
    size_t count;
};

static char *bin_folder(struct arena *mem, int major)
{
    return arena_printf(mem, PROGRAMS_ROOT "/%d/bin", major);
}

/* A whole number from 1 to MAJOR_GREATEST and nothing after it but a line's end; else 0. */
static int major_from_text(const char *text)
{
    char *end = NULL;
    long major = strtol(text, &end, 10);

    if (end == text || (*end != '\0' && *end != '\n') || major < 1 || major > MAJOR_GREATEST)
        return 0;

    return (int)major;
}

/* Majors whose server is here; the client programs alone don't count. */
static struct majors majors_here(struct arena *mem)
{
    struct majors here = {0};
    DIR *folder = opendir(PROGRAMS_ROOT);

    if (!folder)
        return here;
    for (struct dirent *entry = readdir(folder); entry; entry = readdir(folder)) {
        int major = major_from_text(entry->d_name);

        if (major > 0 && here.count < MAJORS_MAX &&
            access(arena_printf(mem, "%s/postgres", bin_folder(mem, major)), X_OK) == 0)
            here.items[here.count++] = major;
    }
    closedir(folder);

    return here;
}

static int newest_of(const struct majors *majors)
{
    int newest = 0;

    for (size_t i = 0; i < majors->count; i++)
        newest = majors->items[i] > newest ? majors->items[i] : newest;

    return newest;
}

/* "no PostgreSQL", "PostgreSQL 15", "PostgreSQL 13, 15": as the folder lists them. */
static const char *majors_text(struct arena *mem, const struct majors *majors)
{
    struct buf buf = buf_new(mem);

    buf_add_text(&buf, majors->count ? "PostgreSQL" : "no PostgreSQL server");
    for (size_t i = 0; i < majors->count; i++)
        buf_addf(&buf, "%s %d", i ? "," : "", majors->items[i]);

    return buf.data;
}

bool programs_newest(struct arena *mem, char **folder, struct err *err)
{
    struct majors here = majors_here(mem);
    int newest = newest_of(&here);

    if (newest < PROGRAMS_OLDEST) {
        err_set(err, ERR_UNAVAILABLE, "PostgreSQL %d or later is needed, and this machine has %s",
                PROGRAMS_OLDEST, majors_text(mem, &here));
        return err_hint(err, "Install it with: apt-get install postgresql-%d", PROGRAMS_OLDEST);
    }

    *folder = bin_folder(mem, newest);

    return true;
}

static bool other_major(struct arena *mem, const struct majors *here, const char *postgres_folder,
                        int major, struct err *err)
{
    err_set(err, ERR_CONFLICT, "the data in %s were made by PostgreSQL %d, and this machine has %s",
            postgres_folder, major, majors_text(mem, here));
    if (major < PROGRAMS_OLDEST)
        return err_hint(err,
                        "PostgreSQL %d or later is needed: dump the data where %d still runs, and "
                        "bring the dump into a new data folder.",
                        PROGRAMS_OLDEST, major);

    return err_hint(err,
                    "Install that version beside the other: apt-get install postgresql-%d. "
                    "Nothing in the folder was changed.",
                    major);
}

bool programs_for(struct arena *mem, const char *postgres_folder, char **folder, struct err *err)
{
    struct majors here = majors_here(mem);
    char *text = NULL;
    size_t length = 0;

    if (!file_read(mem, arena_printf(mem, "%s/PG_VERSION", postgres_folder), 64, &text, &length,
                   err))
        return err_wrap(err, "not a whole database");

    int major = major_from_text(text);

    if (major == 0)
        return err_set(err, ERR_INVALID, "%s/PG_VERSION does not name a version", postgres_folder);

    for (size_t i = 0; i < here.count; i++) {
        if (here.items[i] == major && major >= PROGRAMS_OLDEST) {
            *folder = bin_folder(mem, major);
            return true;
        }
    }

    return other_major(mem, &here, postgres_folder, major, err);
}
