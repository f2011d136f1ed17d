/*
 * Embedded file: a file of the source tree that the build put into the program (embed_file).
 *
 *     extern const struct embedded_file report_files[];
 *     extern const size_t report_files_count;
 */
#ifndef BASE_EMBEDDED_H
#define BASE_EMBEDDED_H

#include <stddef.h>

struct embedded_file {
    const char *name;           /* relative to the folder it came from: "discharge/report.yaml" */
    const unsigned char *bytes; /* a NUL follows them */
    size_t length;
};

#endif
