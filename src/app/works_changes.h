/*
 * Works changes: what a new farm file changes of laboratories, tide tables, tanks and derived
 * readings. They have no rows of their own in the store: the farm files themselves are kept, and
 * each item's canonical text is compared with that of the file before.
 */
#ifndef APP_WORKS_CHANGES_H
#define APP_WORKS_CHANGES_H

#include "app/load_farm.h"

/*
 * Adds what changed to `changes`; `before` NULL: everything is new. True where verdicts rest on
 * something of it.
 */
bool works_changes(struct arena *mem, const struct farm *before, const struct farm *now,
                   struct farm_changes *changes);

#endif
