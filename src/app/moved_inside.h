/*
 * Moved inside: what a person's act took from outside to inside. Such acts need a second person, or
 * are printed on the first page of the report.
 *
 * A month is judged twice: as its records are now, and as they were before anybody corrected a
 * value, left one out or answered a row set aside (load_evidence.h, `as_first_stored`). Where two
 * acts only together took something inside, both are named.
 */
#ifndef APP_MOVED_INSIDE_H
#define APP_MOVED_INSIDE_H

#include "app/judge_month.h"
#include "store/aside_store.h"
#include "store/correction_store.h"

/* Keys of the limits of which something was outside and no longer is. */
struct moved_limits {
    const char **items;
    size_t count;
    size_t capacity;
};

/*
 * Whether the correction moved something inside: a clause that looks at it, a day of one or a value
 * that holds it is outside by the values as first stored and no longer is. A month that
 * stays outside for another day hides none of these.
 */
bool moved_by_correction(struct arena *mem, const struct open_farm *farm,
                         const struct judged_month *now, const struct judged_month *first,
                         const struct correction_view *correction, struct moved_limits *moved);

/* The same of a row set aside that was left out, or taken in by reading its file again. */
bool moved_by_answer(struct arena *mem, const struct open_farm *farm,
                     const struct judged_month *now, const struct judged_month *first,
                     const struct aside_answer *answer, struct moved_limits *moved);

#endif
