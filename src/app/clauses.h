/*
 * Clauses in force: what each limit and interval said at each time, from every form it ever had
 * in the farm file.
 *
 * `licence changed` ends the form before it the day before its own first day. `copied wrongly`
 * takes the place of the form before it from that one's first day. A form that differs only in
 * words that judge nothing replaces it too, and needs no new comparing with the licence.
 */
#ifndef APP_CLAUSES_H
#define APP_CLAUSES_H

#include "app/clause_basis.h"
#include "app/open_farm.h"

struct clause_limit {
    struct limit limit;
    /*
     * A changed form that nobody compared with the licence yet: judged by this older form too,
     * and the worse of both stands. NULL otherwise.
     */
    const struct limit *before;
    int compared; /* the newest farm file by which somebody compared the clause; 0: nobody */
    /*
     * What its figures are worked out with and the farm file says otherwise since then: until a
     * person compared it again it can be outside and never within (`limit.lacks`). NULL: nothing.
     */
    const struct basis_changes *basis;
};

struct clause_limits {
    struct clause_limit *items; /* in the order of the licence's table, oldest form first */
    size_t count;
    size_t capacity;
};

struct clause_intervals {
    struct interval *items;
    size_t count;
    size_t capacity;
};

MUST_CHECK bool clauses_limits(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                               struct clause_limits *out, struct err *err);
MUST_CHECK bool clauses_intervals(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                                  struct clause_intervals *out, struct err *err);

/* Into the order of the licence's table, forms of one clause oldest first. */
void clauses_sort(struct clause_limits *list);

/* Whether a span of days meets in_force_from..in_force_to. */
bool clause_meets(day_number in_force_from, day_number in_force_to, day_number from, day_number to);

/*
 * Whether a month is one that a form is judged with: it is in force in it, or it ended earlier in
 * its quarter or year and by its rule for a change judges the whole of that. Any other form that
 * ended belongs to the months up to its end.
 */
bool clause_judged_in(const struct limit *form, day_number month_from, day_number month_to);

#endif
