#include "base/file.h"

#include <errno.h>
#include <fcntl.h>
#include <ftw.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/statvfs.h>
#include <unistd.h>

#include "base/buf.h"

static const struct reason {
    int number;
    enum err_code code;
    const char *text;
} reasons[] = {
    {ENOENT, ERR_NOT_FOUND, "it is not there"},
    {ENOTDIR, ERR_INVALID, "a part of the path is not a folder"},
    {EACCES, ERR_DENIED, "not allowed"},
    {EPERM, ERR_DENIED, "not allowed"},
    {EROFS, ERR_DENIED, "the disk can only be read"},
    {EISDIR, ERR_INVALID, "it is a folder"},
    {EEXIST, ERR_CONFLICT, "there is something of that name already"},
    {ENOTEMPTY, ERR_CONFLICT, "the folder is not empty"},
    {ENAMETOOLONG, ERR_INVALID, "the name is too long"},
    {ELOOP, ERR_INVALID, "it is a link, or links that lead round in a circle"},
    {ENOSPC, ERR_UNAVAILABLE, "the disk is full"},
    {EDQUOT, ERR_UNAVAILABLE, "the disk space allowed to this user is full"},
    {EFBIG, ERR_UNAVAILABLE, "the file is larger than this system allows"},
    {EIO, ERR_UNAVAILABLE, "the disk reported a fault"},
    {EMFILE, ERR_UNAVAILABLE, "too many files are open"},
    {ENFILE, ERR_UNAVAILABLE, "too many files are open on this machine"},
};

bool file_fail(struct err *err, int number, const char *doing, const char *path)
{
    for (size_t i = 0; i < ARRAY_LEN(reasons); i++) {
        if (reasons[i].number == number)
            return err_set(err, reasons[i].code, "can't %s %s: %s", doing, path, reasons[i].text);
    }

    return err_set(err, ERR_UNAVAILABLE, "can't %s %s: system error %d, %s", doing, path, number,
                   strerrorname_np(number) ? strerrorname_np(number) : "unnamed");
}

/* For CLEANUP. Keeps errno, so that the failure before it can still be told. */
static void fd_close(const int *fd)
{
    int kept = errno;

    if (*fd >= 0)
        close(*fd);
    errno = kept;
}

static bool read_all(int fd, const char *path, size_t limit, struct buf *buf, struct err *err)
{
    char piece[65536];

    for (;;) {
        ssize_t got = read(fd, piece, sizeof(piece));

        if (got < 0 && errno == EINTR)
            continue;
        if (got < 0)
            return file_fail(err, errno, "read", path);
        if (got == 0)
            return true;
        if ((size_t)got > limit - buf->len)
            return err_set(err, ERR_TOO_LARGE, "%s is larger than %zu bytes", path, limit);
        buf_add(buf, piece, (size_t)got);
    }
}

bool file_read(struct arena *mem, const char *path, size_t limit, char **bytes, size_t *length,
               struct err *err)
{
    /* Without O_NONBLOCK, opening a pipe nobody writes to would wait for ever. */
    CLEANUP(fd_close) int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    struct stat status;

    if (fd < 0)
        return file_fail(err, errno, "open", path);
    if (fstat(fd, &status) != 0)
        return file_fail(err, errno, "look at", path);
    if (S_ISDIR(status.st_mode))
        return file_fail(err, EISDIR, "read", path);
    if (!S_ISREG(status.st_mode))
        return err_set(err, ERR_INVALID, "can't read %s: it is not a plain file", path);

    struct buf buf = buf_new(mem);

    if (!read_all(fd, path, limit, &buf, err))
        return false;

    *bytes = buf.data;
    *length = buf.len;

    return true;
}

static bool write_all(int fd, const char *path, const char *bytes, size_t length, struct err *err)
{
    while (length > 0) {
        ssize_t put = write(fd, bytes, length);

        if (put < 0 && errno == EINTR)
            continue;
        if (put < 0)
            return file_fail(err, errno, "write", path);
        bytes += put;
        length -= (size_t)put;
    }

    return true;
}

/* The folder a path lies in, "." when it names none. */
static char *folder_of(struct arena *mem, const char *path)
{
    const char *slash = strrchr(path, '/');

    if (!slash)
        return arena_strdup(mem, ".");

    return slash == path ? arena_strdup(mem, "/")
                         : arena_strndup(mem, path, (size_t)(slash - path));
}

static bool write_beside(int fd, const char *beside, const char *path, const void *bytes,
                         size_t length, mode_t mode, struct err *err)
{
    if (!write_all(fd, path, bytes, length, err))
        return false;
    if (fchmod(fd, mode) != 0 || fsync(fd) != 0)
        return file_fail(err, errno, "write", path);
    if (rename(beside, path) != 0)
        return file_fail(err, errno, "put in place", path);

    return true;
}

bool file_write(const char *path, const void *bytes, size_t length, mode_t mode, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char *beside = arena_printf(mem, "%s.XXXXXX", path);
    CLEANUP(fd_close) int fd = mkostemp(beside, O_CLOEXEC);

    if (fd < 0)
        return file_fail(err, errno, "write", path);
    if (!write_beside(fd, beside, path, bytes, length, mode, err)) {
        unlink(beside);
        return false;
    }

    return file_sync_folder(folder_of(mem, path), err);
}

static bool make_folder(const char *path, mode_t mode, struct err *err)
{
    if (mkdir(path, mode) != 0) {
        int number = errno;

        if (file_is_folder(path))
            return true;
        return file_fail(err, number, "make the folder", path);
    }
    if (chmod(path, mode) != 0)
        return file_fail(err, errno, "set the mode of", path);

    return true;
}

bool file_make_folders(const char *path, mode_t mode, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    char *part = arena_strdup(mem, path);

    for (char *slash = strchr(part + (*part == '/'), '/'); slash; slash = strchr(slash + 1, '/')) {
        *slash = '\0';
        if (!file_is_folder(part) && !make_folder(part, mode, err))
            return false;
        *slash = '/';
    }

    return make_folder(part, mode, err);
}

static int remove_entry(const char *path, const struct stat *status, int type, struct FTW *where)
{
    (void)status;
    (void)type;
    (void)where;

    return remove(path) == 0 || errno == ENOENT ? 0 : errno;
}

bool file_remove_tree(const char *path, struct err *err)
{
    int number = nftw(path, remove_entry, 16, FTW_DEPTH | FTW_PHYS | FTW_MOUNT);

    if (number == -1)
        number = errno;
    if (number == 0 || number == ENOENT)
        return true;

    return file_fail(err, number, "remove", path);
}

bool file_sync_folder(const char *path, struct err *err)
{
    CLEANUP(fd_close) int fd = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

    /* EINVAL: a file system that has no such thing for folders. */
    if (fd < 0 || (fsync(fd) != 0 && errno != EINVAL))
        return file_fail(err, errno, "bring to the disk", path);

    return true;
}

bool file_exists(const char *path)
{
    struct stat status;

    return lstat(path, &status) == 0;
}

bool file_is_folder(const char *path)
{
    struct stat status;

    return stat(path, &status) == 0 && S_ISDIR(status.st_mode);
}

bool file_is_plain(const char *path)
{
    struct stat status;

    return stat(path, &status) == 0 && S_ISREG(status.st_mode);
}

bool file_full_path(struct arena *mem, const char *path, char **out, struct err *err)
{
    char full[PATH_MAX];

    if (!realpath(path, full))
        return file_fail(err, errno, "find", path);

    *out = arena_strdup(mem, full);

    return true;
}

bool file_space(const char *path, struct file_space *out, struct err *err)
{
    struct statvfs status;

    if (statvfs(path, &status) != 0)
        return file_fail(err, errno, "measure the free space of", path);

    *out = (struct file_space){
        .free_bytes = (uint64_t)status.f_bavail * status.f_frsize,
        .total_bytes = (uint64_t)status.f_blocks * status.f_frsize,
    };

    return true;
}
