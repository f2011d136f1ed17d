/*
 * The samples of a sampling interval, out of the store: those that count, and those that lack
 * something, with what they lack in words.
 */
#ifndef APP_INTERVAL_SAMPLES_H
#define APP_INTERVAL_SAMPLES_H

#include "app/load_evidence.h"
#include "plan/interval.h"
#include "store/series_store.h"

/*
 * A sample counts when every parameter of the interval has a sound result of one instant. Fills
 * `samples` and `partials` of *out, from far enough before the span to know the gap into it.
 * `all`: every series of the farm.
 */
MUST_CHECK bool interval_samples_find(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                      const struct series_rows *all,
                                      const struct loaded_evidence *loaded,
                                      const struct interval *interval, struct plan_evidence *out,
                                      struct err *err);

#endif
