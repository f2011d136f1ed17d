/*
 * A farm for tests of probes: its oxygen probe at the outlet (the logger's) and a field meter, both
 * checked by the published criteria of dissolved oxygen. Intervals are invented.
 */
#ifndef TESTS_APP_PROBED_H
#define TESTS_APP_PROBED_H

#include "app/month.h"
#include "app/probe_visits.h"

#define PROBES                                                                                     \
    "instruments:\n"                                                                               \
    "  - key: o2-outlet\n"                                                                         \
    "    name: Oxygen probe\n"                                                                     \
    "    kind: fixed probe\n"                                                                      \
    "    serial number: PX-1\n"                                                                    \
    "    named: logger 1\n"                                                                        \
    "    station: outlet\n"                                                                        \
    "    from: 2026-04-01\n"                                                                       \
    "    checks:\n"                                                                                \
    "      - parameter: oxygen\n"                                                                  \
    "        as published for: dissolved oxygen\n"                                                 \
    "        copied from: plan of the tests\n"                                                     \
    "        correct figures: yes\n"                                                               \
    "  - key: meter\n"                                                                             \
    "    name: Field meter\n"                                                                      \
    "    kind: field meter\n"                                                                      \
    "    serial number: FM-2\n"                                                                    \
    "    used by: [pat]\n"                                                                         \
    "    from: 2026-01-01\n"                                                                       \
    "    checks:\n"                                                                                \
    "      - parameter: oxygen\n"                                                                  \
    "        check every: 60 days\n"                                                               \
    "        as published for: dissolved oxygen\n"                                                 \
    "        copied from: plan of the tests\n"                                                     \
    "        correct figures: no\n"                                                                \
    "sources:\n"

/* The farm file with the probes, and `more` put in place of the one `find` in it. */
static inline void probed_farm(struct test_farm *farm, const char *find, const char *more)
{
    struct farm_changes changes = {0};
    char *text = test_swap(farm->mem, farm->text, "sources:\n", PROBES);

    test_farm_load(farm, find ? test_swap(farm->mem, text, find, more) : text, &farm->act,
                   &changes);
}

static inline bool visit_try(struct test_farm *farm, const char *text, struct visit_done *done,
                             struct err *err)
{
    struct farmfile_problems problems = {0};
    struct visit_order order;

    return visit_file_read(farm->mem, text, strlen(text), farm->open.farm, farm->units, &order,
                           &problems, err) &&
           visit_record(farm->db, farm->mem, &farm->open, &order, &farm->act, done, err);
}

static inline struct visit_done visit_done(struct test_farm *farm, const char *text)
{
    struct visit_done done = {.opened = 0};
    struct err err = ERR_INIT;

    assert_done(visit_try(farm, text, &done, &err), &err);

    return done;
}

/* The probe in one standard of 10 mg/L. */
static inline struct visit_done probe_checked(struct test_farm *farm, const char *at,
                                              const char *read, const char *after)
{
    return visit_done(farm,
                      arena_printf(farm->mem,
                                   "instrument: o2-outlet\nat: %s\nreadings:\n"
                                   "  - parameter: oxygen\n    standards:\n"
                                   "      - {standard: 10.0, read: %s%s%s, lot: A-1}\n",
                                   at, read, after ? ", read after: " : "", after ? after : ""));
}

#endif
