#include "cluster/lock.h"

#include <errno.h>
#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include "base/file.h"
#include "cluster/pause.h"

bool lock_open(const char *path, int *fd, struct err *err)
{
    int opened = open(path, O_RDWR | O_CREAT | O_CLOEXEC | O_NOFOLLOW | O_NONBLOCK, 0600);

    if (opened < 0)
        return file_fail(err, errno, "open", path);

    *fd = opened;

    return true;
}

bool lock_try(int fd, enum lock_kind kind)
{
    struct flock lock = {
        .l_type = kind == LOCK_EXCLUSIVE ? F_WRLCK : F_RDLCK,
        .l_whence = SEEK_SET,
    };

    return fcntl(fd, F_OFD_SETLK, &lock) == 0;
}

bool lock_wait(int fd, enum lock_kind kind, int most_seconds)
{
    struct pause pause = pause_begin(most_seconds);

    while (!lock_try(fd, kind)) {
        if (!pause_once(&pause))
            return false;
    }

    return true;
}

void lock_release(int fd)
{
    struct flock lock = {.l_type = F_UNLCK, .l_whence = SEEK_SET};

    fcntl(fd, F_OFD_SETLK, &lock);
}

void lock_close(int *fd)
{
    if (*fd >= 0)
        close(*fd);
    *fd = -1;
}
