#include "cluster/log_tail.h"

#include <dirent.h>
#include <fcntl.h>
#include <stdbool.h>
#include <string.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/str.h"

enum { TAIL_BYTES = 4096 };

/* The file's last bytes as a text. */
static char *read_end(struct arena *mem, const char *path)
{
    char *end = arena_alloc(mem, TAIL_BYTES + 1);
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    struct stat status;

    if (fd < 0)
        return end;
    if (fstat(fd, &status) == 0 && S_ISREG(status.st_mode)) {
        off_t from = status.st_size > TAIL_BYTES ? status.st_size - TAIL_BYTES : 0;
        ssize_t got = pread(fd, end, TAIL_BYTES, from);

        end[got > 0 ? got : 0] = '\0';
    }
    close(fd);

    return end;
}

char *log_tail(struct arena *mem, const char *path, size_t most_lines, size_t most_bytes)
{
    char *text = str_trim(mem, read_end(mem, path));
    size_t length = strlen(text);
    struct buf buf = buf_new(mem);

    while (length > 0 && text[length - 1] == '\n')
        text[--length] = '\0';

    char *first = text + length;

    for (size_t lines = 0; first > text; first--) {
        if (first[-1] == '\n' && ++lines == most_lines)
            break;
    }
    char *rest = NULL;

    for (char *line = strtok_r(first, "\n", &rest); line; line = strtok_r(NULL, "\n", &rest)) {
        if (buf.len > 0)
            buf_add_text(&buf, "; ");
        buf_add_text(&buf, str_show(mem, line, most_bytes));
    }

    return buf.data;
}

static bool is_later(const struct timespec *a, const struct timespec *b)
{
    return a->tv_sec != b->tv_sec ? a->tv_sec > b->tv_sec : a->tv_nsec > b->tv_nsec;
}

char *log_newest(struct arena *mem, const char *folder)
{
    struct timespec newest_at = {0};
    char *newest = NULL;
    DIR *open_folder = opendir(folder);

    if (!open_folder)
        return NULL;
    for (struct dirent *entry = readdir(open_folder); entry; entry = readdir(open_folder)) {
        char *path = arena_printf(mem, "%s/%s", folder, entry->d_name);
        struct stat status;

        if (lstat(path, &status) == 0 && S_ISREG(status.st_mode) &&
            (!newest || is_later(&status.st_mtim, &newest_at))) {
            newest = path;
            newest_at = status.st_mtim;
        }
    }
    closedir(open_folder);

    return newest;
}
