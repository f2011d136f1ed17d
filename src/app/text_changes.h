/*
 * Text changes: what differs between two canonical texts of an item of the farm file, in words.
 */
#ifndef APP_TEXT_CHANGES_H
#define APP_TEXT_CHANGES_H

#include "base/arena.h"

/*
 * "settings, zero at: 0.10 -> 0.15; unit: L/s -> m3/h": of two JSON texts, whatever the order of
 * their keys; of a list what is new and what is gone. Of very many the first few. NULL: nothing.
 */
const char *text_changes(struct arena *mem, const char *then, const char *now);

#endif
