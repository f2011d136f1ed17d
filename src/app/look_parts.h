/*
 * Parts of looking at a file: its rows whatever its format, and reading it by the source at last.
 */
#ifndef APP_LOOK_PARTS_H
#define APP_LOOK_PARTS_H

#include "app/bytes_file.h"
#include "app/look_file.h"

/*
 * The table of the file, and what the bytes told of format, charset and separator: into the source
 * of the result's guess, with the facts.
 */
MUST_CHECK bool look_rows(struct arena *mem, const struct look_request *request,
                          struct bytes_file *file, struct sniff_table *table,
                          struct look_result *result, struct err *err);

/* While questions are open: the first values of which nothing is asked, where there are any. */
void look_certain(struct arena *mem, const struct look_request *request, struct bytes_file *file,
                  const struct farm *farm, struct look_result *result);

/* The farm's sources that read the file already, as far as they go, into the result. */
void look_known(struct arena *mem, const struct look_request *request, struct bytes_file *file,
                struct look_result *result);

/* Load the source's lines, and read the file by it; a file that is refused is told in the result.
 */
MUST_CHECK bool look_read(struct arena *mem, const struct look_request *request,
                          struct bytes_file *file, const struct farm *farm,
                          struct look_result *result, struct err *err);

#endif
