#include "app/drop_folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <unistd.h>

#include "app/watch_folder.h"
#include "base/file.h"
#include "base/str.h"
#include "base/utf8.h"
#include "cluster/account.h"

enum {
    NAME_MOST = 255,
    NUMBERS_MOST = 100000,
    TAKING_MODE = 0700,
    SIDE_MODE = 0770,
    WHY_MODE = 0660
};

static const char taking_name[] = ".taking";
static const char clock_name[] = ".weirbook-clock";

static void fd_close(int *fd)
{
    int kept = errno;

    if (*fd >= 0)
        close(*fd);
    *fd = -1;
    errno = kept;
}

/* --- folders --------------------------------------------------------------------------------- */

/* What can't be done there, and where it is a matter of rights, who needs which. Always false. */
static bool fail_folder(const struct drop_folder *drop, int number, const char *doing,
                        const char *shown, struct err *err)
{
    struct account account = {0};
    struct err ignored = ERR_INIT;

    (void)file_fail(err, number, doing, shown);
    if (err->code != ERR_DENIED || !account_find(drop->mem, &account, &ignored))
        return false;

    return err_hint(err,
                    "Weirbook works there as the account '%s', which must get into %s and make, "
                    "read and move files in it, as after: chown %s %s",
                    account.name, drop->path, account.name, drop->path);
}

/* A folder beside or inside the watched one, made where it lacks. */
static bool side_open(const struct drop_folder *drop, const char *name, mode_t mode, int *fd,
                      struct err *err)
{
    const char *shown = name[0] == '/' ? name : arena_printf(drop->mem, "%s/%s", drop->path, name);

    if (mkdirat(drop->folder, name, mode) != 0 && errno != EEXIST)
        return fail_folder(drop, errno, "make the folder", shown, err);
    *fd = openat(drop->folder, name, O_RDONLY | O_DIRECTORY | O_NOFOLLOW | O_CLOEXEC);
    if (*fd < 0)
        return fail_folder(drop, errno, "use the folder", shown, err);

    return true;
}

void drop_folder_close(struct drop_folder *drop)
{
    fd_close(&drop->folder);
    fd_close(&drop->taking);
    fd_close(&drop->done);
    fd_close(&drop->refused);
}

bool drop_folder_open(struct arena *mem, const struct settings_watch *watch,
                      struct drop_folder *out, struct err *err)
{
    CLEANUP(drop_folder_close) struct drop_folder drop = DROP_FOLDER_CLOSED;

    drop.mem = mem;
    drop.path = watch->folder;
    drop.folder = open(watch->folder, O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    if (drop.folder < 0)
        return fail_folder(&drop, errno, "watch", watch->folder, err);
    if (!side_open(&drop, taking_name, TAKING_MODE, &drop.taking, err) ||
        !side_open(&drop, watch->done, SIDE_MODE, &drop.done, err) ||
        !side_open(&drop, watch->refused, SIDE_MODE, &drop.refused, err))
        return false;
    if (flock(drop.taking, LOCK_EX | LOCK_NB) != 0)
        return err_set(err, ERR_CONFLICT, "another program works through %s just now",
                       watch->folder);
    *out = drop;
    drop = DROP_FOLDER_CLOSED;

    return true;
}

/* --- what lies there ------------------------------------------------------------------------- */

/* Names that programs give to what they have not finished, and ours. */
static bool never_taken(const char *name)
{
    static const char *const ends[] = {".part", ".tmp", ".crdownload"};
    size_t length = strlen(name);

    if (name[0] == '.')
        return true;
    for (size_t i = 0; i < ARRAY_LEN(ends); i++)
        if (length >= strlen(ends[i]) && str_equal_nocase(name + length - strlen(ends[i]), ends[i]))
            return true;

    return false;
}

static int by_bytes(const void *a, const void *b)
{
    const char *const *one = a;
    const char *const *other = b;

    return strcmp(*one, *other);
}

static void folder_end(DIR **folder)
{
    if (*folder)
        closedir(*folder);
}

bool drop_folder_names(struct drop_folder *drop, int folder, struct drop_names *out,
                       struct err *err)
{
    int fd = openat(folder, ".", O_RDONLY | O_DIRECTORY | O_CLOEXEC);
    CLEANUP(folder_end) DIR *open = fd >= 0 ? fdopendir(fd) : NULL;
    struct drop_names names = {0};
    size_t entries = 0;

    if (!open) {
        file_fail(err, errno, "look into", drop->path);
        fd_close(&fd);
        return false;
    }
    for (const struct dirent *entry; (errno = 0, entry = readdir(open));) {
        if (++entries > WATCH_ENTRIES_MOST)
            return err_set(err, ERR_TOO_LARGE, "%s holds more than %d things", drop->path,
                           WATCH_ENTRIES_MOST);
        if (!never_taken(entry->d_name))
            LIST_ADD(drop->mem, &names, arena_strdup(drop->mem, entry->d_name));
    }
    if (errno != 0)
        return file_fail(err, errno, "look into", drop->path);
    if (names.count > 0)
        qsort(names.items, names.count, sizeof(*names.items), by_bytes);
    *out = names;

    return true;
}

/*
 * The folder's own clock, which is that of the machine its disk belongs to: read once, so that it
 * is rather too early, when first needed.
 */
static bool clock_read(struct drop_folder *drop, struct err *err)
{
    struct stat status;
    CLEANUP(fd_close) int fd = -1;

    if (drop->clock.tv_sec != 0)
        return true;
    /* Whoever was ended here left one; ours is made anew, so that it has the present time. */
    unlinkat(drop->taking, clock_name, 0);
    fd = openat(drop->taking, clock_name, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC,
                0600);
    if (fd < 0 || fstat(fd, &status) != 0)
        return file_fail(err, errno, "write into", drop->path);
    unlinkat(drop->taking, clock_name, 0);
    drop->clock = status.st_ctim;

    return true;
}

enum written { WRITTEN_NO, WRITTEN_YES, WRITTEN_UNTOLD };

/*
 * Whether some program has the file open for writing. A read lease is refused then (fcntl(2)); it
 * is let go at once. Where the system can't tell, as over a network or for a file of another user
 * without the right to ask, nobody knows. Whoever opens the file in that moment waits for it, and
 * we get a signal that does nothing.
 */
static enum written written_by_others(int fd)
{
    enum written written = WRITTEN_NO;

    fcntl(fd, F_SETSIG, SIGURG);
    if (fcntl(fd, F_SETLEASE, F_RDLCK) != 0)
        written = errno == EAGAIN || errno == EBUSY ? WRITTEN_YES : WRITTEN_UNTOLD;
    fcntl(fd, F_SETLEASE, F_UNLCK);

    return written;
}

static int64_t nanoseconds(const struct timespec *at)
{
    return at->tv_sec * INT64_C(1000000000) + at->tv_nsec;
}

/*
 * Settled: neither its bytes nor its place changed within the settle time. Its own time of change
 * is no part of that where it lies ahead: who copied the file kept it.
 */
static bool is_settled(const struct stat *status, const struct timespec *clock, int settle_s)
{
    int64_t now = nanoseconds(clock);
    int64_t latest = nanoseconds(&status->st_ctim);
    int64_t bytes = nanoseconds(&status->st_mtim);

    if (bytes > latest && bytes <= now)
        latest = bytes;

    return now - latest >= settle_s * INT64_C(1000000000);
}

bool drop_look(struct drop_folder *drop, int folder, const char *name, int settle_s,
               enum drop_state *out, struct err *err)
{
    struct stat status;

    *out = DROP_GONE;
    if (fstatat(folder, name, &status, AT_SYMLINK_NOFOLLOW) != 0)
        return true;
    *out = DROP_LEFT;
    if (!S_ISREG(status.st_mode) || status.st_nlink > 1)
        return true;
    if (!clock_read(drop, err))
        return false;
    *out = DROP_WAITING;
    if (!is_settled(&status, &drop->clock, settle_s))
        return true;

    CLEANUP(fd_close)
    int fd = openat(folder, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);

    enum written written = fd < 0 ? WRITTEN_NO : written_by_others(fd);

    /* Of what can't be told only a longer standstill says that nobody writes any more. */
    if (written == WRITTEN_NO || (written == WRITTEN_UNTOLD &&
                                  is_settled(&status, &drop->clock, settle_s * DROP_UNTOLD_TIMES)))
        *out = DROP_READY;

    return true;
}

/* --- moving on ------------------------------------------------------------------------------- */

bool drop_claim(struct drop_folder *drop, const char *name, bool *moved, struct err *err)
{
    *moved = renameat2(drop->folder, name, drop->taking, name, RENAME_NOREPLACE) == 0;
    if (*moved || errno == ENOENT || errno == EEXIST)
        return true;

    return file_fail(err, errno, "move",
                     arena_printf(drop->mem, "%s/%s", drop->path, drop_label(drop->mem, name)));
}

bool drop_open_claimed(const struct drop_folder *drop, const char *name, int *fd,
                       struct stat *status, struct err *err)
{
    const char *shown = drop_label(drop->mem, name);
    int file =
        openat(drop->taking, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);

    *fd = -1;
    if (file < 0)
        return errno == ENOENT || file_fail(err, errno, "read", shown);
    if (fstat(file, status) != 0 || !S_ISREG(status->st_mode)) {
        fd_close(&file);
        return true;
    }
    *fd = file;

    return true;
}

bool drop_unchanged(int fd, const struct stat *status)
{
    struct stat now;

    return fstat(fd, &now) == 0 && now.st_size == status->st_size &&
           now.st_mtim.tv_sec == status->st_mtim.tv_sec &&
           now.st_mtim.tv_nsec == status->st_mtim.tv_nsec;
}

/* "log.csv", "log-2.csv", "log-3.csv": with room left for `spare` bytes more. */
static const char *numbered(struct arena *mem, const char *name, int number, size_t spare)
{
    const char *dot = strrchr(name, '.');
    size_t stem = dot && dot > name ? (size_t)(dot - name) : strlen(name);
    const char *end = name + stem;
    const char *mark = number > 1 ? arena_printf(mem, "-%d", number) : "";
    size_t rest = strlen(mark) + strlen(end) + spare;

    if (rest >= NAME_MOST) /* an ending as long as a name: no ending */
        return numbered(mem, arena_strndup(mem, name, NAME_MOST / 2), number, spare);
    if (stem + rest > NAME_MOST)
        stem = NAME_MOST - rest;

    return arena_printf(mem, "%.*s%s%s", (int)stem, name, mark, end);
}

static bool folders_sync(struct drop_folder *drop, int to, struct err *err)
{
    if (fsync(to) != 0 || fsync(drop->taking) != 0 || fsync(drop->folder) != 0)
        return file_fail(err, errno, "write to the disk", drop->path);

    return true;
}

static bool move_failed(const struct drop_folder *drop, const char *name, struct err *err)
{
    if (errno == EXDEV) {
        err_set(err, ERR_INVALID, "%s lies on another disk than its folders for done and refused",
                drop->path);
        return err_hint(err, "Name folders on the same disk in weirbook.conf.");
    }

    return file_fail(err, errno, "move", drop_label(drop->mem, name));
}

bool drop_move_on(struct drop_folder *drop, const char *name, int to, struct err *err)
{
    for (int number = 1; number <= NUMBERS_MOST; number++) {
        const char *free = numbered(drop->mem, name, number, 0);

        if (renameat2(drop->taking, name, to, free, RENAME_NOREPLACE) == 0)
            return folders_sync(drop, to, err);
        if (errno != EEXIST)
            return move_failed(drop, name, err);
    }

    return err_set(err, ERR_CONFLICT, "no free name is left for %s", drop_label(drop->mem, name));
}

/* Whether a text with just these words lies there: one that a round wrote which was ended. */
static bool says_so(const struct drop_folder *drop, const char *name, const char *why)
{
    CLEANUP(fd_close)
    int fd = openat(drop->refused, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_CLOEXEC);
    size_t length = strlen(why);
    char *text = arena_alloc(drop->mem, length + 1);

    return fd >= 0 && read(fd, text, length + 1) == (ssize_t)length &&
           memcmp(text, why, length) == 0;
}

/* Write the text under that name; false with errno EEXIST where something else is there. */
static bool why_write(struct drop_folder *drop, const char *name, const char *why)
{
    CLEANUP(fd_close)
    int fd =
        openat(drop->refused, name, O_WRONLY | O_CREAT | O_EXCL | O_NOFOLLOW | O_CLOEXEC, WHY_MODE);
    size_t length = strlen(why);

    if (fd < 0) {
        int kept = errno;

        if (kept == EEXIST && says_so(drop, name, why))
            return true;
        errno = kept;
        return false;
    }
    if (write(fd, why, length) == (ssize_t)length && fsync(fd) == 0)
        return true;

    int kept = errno ? errno : EIO;

    unlinkat(drop->refused, name, 0);
    errno = kept;

    return false;
}

static bool is_there(int folder, const char *name)
{
    struct stat status;

    return fstatat(folder, name, &status, AT_SYMLINK_NOFOLLOW) == 0;
}

bool drop_refuse(struct drop_folder *drop, const char *name, const char *why, struct err *err)
{
    static const char ending[] = ".txt";

    for (int number = 1; number <= NUMBERS_MOST; number++) {
        const char *free = numbered(drop->mem, name, number, strlen(ending));

        if (is_there(drop->refused, free))
            continue;
        if (!why_write(drop, arena_printf(drop->mem, "%s%s", free, ending), why)) {
            if (errno == EEXIST)
                continue;
            return file_fail(err, errno, "write the reason beside", drop_label(drop->mem, name));
        }
        if (renameat2(drop->taking, name, drop->refused, free, RENAME_NOREPLACE) == 0)
            return folders_sync(drop, drop->refused, err);
        if (errno != EEXIST)
            return move_failed(drop, name, err);
    }

    return err_set(err, ERR_CONFLICT, "no free name is left for %s", drop_label(drop->mem, name));
}

char *drop_label(struct arena *mem, const char *name)
{
    struct buf label = buf_new(mem);
    size_t left = strlen(name);

    while (left > 0) {
        uint32_t character = 0;
        size_t length = utf8_character(name, left, &character);
        bool shown = length > 0 && character >= ' ' && character != 0x7f && !utf8_unseen(character);

        if (shown)
            buf_add(&label, name, length);
        else
            for (size_t i = 0; i < (length ? length : 1); i++)
                buf_addf(&label, "\\x%02x", (unsigned char)name[i]);
        name += length ? length : 1;
        left -= length ? length : 1;
    }

    return label.data;
}
