#include "app/bytes_file.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"

bool bytes_file_open(const char *path, struct arena *mem, const struct take_in_options *options,
                     struct bytes_file *out, struct err *err)
{
    const char *slash = strrchr(path, '/');
    struct stat status;
    const struct take_in_opened *opened = options->opened;
    int fd = opened ? fcntl(opened->fd, F_DUPFD_CLOEXEC, 0)
                    : open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);

    if (fd < 0)
        return file_fail(err, errno, "read", path);
    if (fstat(fd, &status) != 0 || !S_ISREG(status.st_mode)) {
        close(fd);
        err_set(err, ERR_INVALID, "%s is not a plain file", path);
        return err_hint(err, "Name one file of readings or results.");
    }
    if (status.st_size == 0) {
        close(fd);
        err_set(err, ERR_INVALID, "%s is empty: it has not one byte", path);
        return err_hint(err, "Export it again from the logger, or ask the laboratory.");
    }
    if (opened)
        path = opened->name;
    *out = (struct bytes_file){.fd = fd,
                               .name = arena_strdup(mem, slash && !opened ? slash + 1 : path),
                               .size = status.st_size,
                               .digest = sha256_begin(),
                               .options = options};

    return true;
}

void bytes_file_close(struct bytes_file *file)
{
    if (file->fd >= 0)
        close(file->fd);
    file->fd = -1;
    sha256_drop(&file->digest);
}

void bytes_file_rewind(void *context)
{
    struct bytes_file *file = context;

    file->offset = 0;
    sha256_drop(&file->digest);
    file->digest = sha256_begin();
}

bool bytes_file_read(void *context, void *into, size_t room, size_t *got, struct err *err)
{
    struct bytes_file *file = context;
    const struct take_in_progress *progress = &file->options->progress;
    ssize_t count;

    if (file->options->stop && *file->options->stop)
        return err_set(err, ERR_UNAVAILABLE, "stopped half-way, as asked; nothing of %s was kept",
                       file->name);
    do
        count = pread(file->fd, into, room, file->offset);
    while (count < 0 && errno == EINTR);
    if (count < 0)
        return file_fail(err, errno, "read", file->name);

    sha256_add(file->digest, into, (size_t)count);
    file->offset += count;
    *got = (size_t)count;
    if (progress->tell && !progress->tell(progress->context, file->offset, file->size))
        return err_set(err, ERR_UNAVAILABLE, "stopped half-way, as asked; nothing of %s was kept",
                       file->name);

    return true;
}

struct digest bytes_file_digest(struct bytes_file *file)
{
    struct digest digest = sha256_end(&file->digest);

    file->digest = sha256_begin();

    return digest;
}
