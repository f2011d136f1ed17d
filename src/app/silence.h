/*
 * Silence: sources that stopped, their probes, and watched folders into which nothing comes, as
 * the records stand. pass_time.h says what is done with them.
 */
#ifndef APP_SILENCE_H
#define APP_SILENCE_H

#include "app/open_farm.h"
#include "farmfile/settings.h"
#include "store/verdict_store.h"

/* What is silent now: findings of kind 'silence', and 'quiet folder', in mem. */
MUST_CHECK bool silence_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                             const struct machine_settings *settings, instant now,
                             struct finding_rows *out, struct err *err);

/* Whether it is a kind that silence_find() finds. */
bool silence_is_kind(const char *kind);

#endif
