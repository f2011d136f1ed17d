/*
 * Moved inside: what a person's act took from outside to inside, or from not assessable (which may
 * have been outside) to within. Such acts need a second person, or are printed on the first page of
 * the report.
 *
 * A month is judged as its records are now and again with acts undone (acts_undone.h): what one
 * person did alone, with what a second one saw kept; everything; and each act by itself. An act
 * moved what is outside with it alone undone. Where several only together took something inside,
 * all that may have part in it are named.
 */
#ifndef APP_MOVED_INSIDE_H
#define APP_MOVED_INSIDE_H

#include "app/judge_month.h"
#include "store/aside_store.h"
#include "store/correction_store.h"

/* Something of a limit was outside and no longer is; or its verdict was left open and no longer is.
 */
struct moved_limit {
    const char *key;
    bool was_open;
};

struct moved_limits {
    struct moved_limit *items;
    size_t count;
    size_t capacity;
};

/*
 * Whether the correction may have moved something inside: a clause that looks at it, a day of one
 * or a value that holds it is outside in `first`, which has acts undone, and no longer is. A month
 * that stays outside for another day hides none of these.
 */
bool moved_by_correction(struct arena *mem, const struct open_farm *farm,
                         const struct judged_month *now, const struct judged_month *first,
                         const struct correction_view *correction, struct moved_limits *moved);

/*
 * The same of a row set aside that was left out, or taken in by reading its file again. One whose
 * own number is judged now left a verdict open and hides nothing.
 */
bool moved_by_answer(struct arena *mem, const struct open_farm *farm,
                     const struct judged_month *now, const struct judged_month *first,
                     const struct aside_answer *answer, struct moved_limits *moved);

/*
 * The same of what a person answered to a visit to a probe, or of the gap that it found: of
 * readings after one instant up to another. `place` names station (NULL: any) and parameter. Of a
 * visit that was withdrawn also what was left open: the rest is settled by what it measured.
 */
bool moved_by_probe(struct arena *mem, const struct open_farm *farm, const struct judged_month *now,
                    const struct judged_month *first, const struct correction_view *place,
                    instant after, instant until, bool withdrawn, struct moved_limits *moved);

/* What was outside with some acts undone and no longer is, and what of it one of them explains. */
struct moved_things;

struct moved_things *moved_things_of(struct arena *mem, const struct judged_month *now,
                                     const struct judged_month *first);

/* Take what is outside with one act alone undone as explained by that act. */
void moved_things_explain(struct moved_things *things, const struct judged_month *alone);

/* Whether one act by itself explains all of the clause. */
bool moved_things_explained(const struct moved_things *things, const struct moved_limit *moved);

#endif
