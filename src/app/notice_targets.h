/*
 * Notice targets: whom the farm file wants told by something that the machine's settings lack, so
 * that it is told before a notice fails.
 */
#ifndef APP_NOTICE_TARGETS_H
#define APP_NOTICE_TARGETS_H

#include "farmfile/settings.h"

struct target_notes {
    const char **items; /* a sentence each, every lack once */
    size_t count;
    size_t capacity;
};

struct target_notes notice_targets_missing(struct arena *mem, const struct farm *farm,
                                           const struct machine_settings *settings);

/*
 * The same by FOLDER/weirbook.conf, for who does not use the settings. One that can't be read is
 * a note too; without a `notices:` in the farm file it is not looked at.
 */
struct target_notes notice_targets_missing_in(struct arena *mem, const struct farm *farm,
                                              const char *folder);

#endif
