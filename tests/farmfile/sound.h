/*
 * A sound farm file, invented, and a way to spoil one thing in it.
 */
#ifndef TESTS_FARMFILE_SOUND_H
#define TESTS_FARMFILE_SOUND_H

#include <string.h>

#include "base/str.h"
#include "farmfile/farmfile.h"
#include "harness/cmocka.h"

static const char sound[] =
    "farm: {key: shore, name: Shore, time zone: Pacific/Auckland}\n"      /* 1 */
    "people:\n"                                                           /* 2 */
    "  - key: ida\n"                                                      /* 3 */
    "    name: Ida\n"                                                     /* 4 */
    "    position: manager\n"                                             /* 5 */
    "    may: [read, sign]\n"                                             /* 6 */
    "    since: 2025-01-31\n"                                             /* 7 */
    "    on the word of: owner\n"                                         /* 8 */
    "authorities:\n"                                                      /* 9 */
    "  - {key: council, name: Council, decides: discharge, call: 0}\n"    /* 10 */
    "stations:\n"                                                         /* 11 */
    "  - {key: intake, name: In, kind: intake}\n"                         /* 12 */
    "  - key: out\n"                                                      /* 13 */
    "    name: Out\n"                                                     /* 14 */
    "    kind: discharge\n"                                               /* 15 */
    "    positions: [{key: deep, name: Deep}]\n"                          /* 16 */
    "licences:\n"                                                         /* 17 */
    "  - key: dp\n"                                                       /* 18 */
    "    number: DP 1\n"                                                  /* 19 */
    "    title: Permit\n"                                                 /* 20 */
    "    holder: Shore\n"                                                 /* 21 */
    "    authority: council\n"                                            /* 22 */
    "    version: 2026-01-01\n"                                           /* 23 */
    "    ends: 2030-12-31\n"                                              /* 24 */
    "    certification: True.\n"                                          /* 25 */
    "    signer: ida\n"                                                   /* 26 */
    "    points: [{station: out, called: Point 1}]\n"                     /* 27 */
    "flow paths:\n"                                                       /* 28 */
    "  - {from: intake, to: out, since: 2025-01-31}\n"                    /* 29 */
    "meters:\n"                                                           /* 30 */
    "  - station: out\n"                                                  /* 31 */
    "    parameter: discharge-meter\n"                                    /* 32 */
    "    multiplier: 1\n"                                                 /* 33 */
    "    share over days: no\n"                                           /* 34 */
    "sources:\n"                                                          /* 35 */
    "  - key: logger\n"                                                   /* 36 */
    "    name: Logger\n"                                                  /* 37 */
    "    shape: wide\n"                                                   /* 38 */
    "    decimal mark: point\n"                                           /* 39 */
    "    clock: +12:00\n"                                                 /* 40 */
    "    time: {columns: [Date, Time], format: YYYY-MM-DD hh:mm}\n"       /* 41 */
    "    station: out\n"                                                  /* 42 */
    "    columns: [{header: Temp, parameter: temperature, unit: degC}]\n" /* 43 */
    "    kind: probe\n"                                                   /* 44 */
    "limits:\n"                                                           /* 45 */
    "  - key: solids\n"                                                   /* 46 */
    "    name: Solids\n"                                                  /* 47 */
    "    licence: dp\n"                                                   /* 48 */
    "    clause: Table 1\n"                                               /* 49 */
    "    wording: No more than 30.\n"                                     /* 50 */
    "    station: out\n"                                                  /* 51 */
    "    parameter: suspended-solids\n"                                   /* 52 */
    "    unit: mg/L\n"                                                    /* 53 */
    "    only while discharging: yes\n"                                   /* 54 */
    "    each day: every reading\n"                                       /* 55 */
    "    statistic: mean\n"                                               /* 56 */
    "    period: month\n"                                                 /* 57 */
    "    not above: 30\n"                                                 /* 58 */
    "    less-thans: half\n"                                              /* 59 */
    "    rounding: half up to the bound\n"                                /* 60 */
    "    in force: {from: 2026-01-01}\n"                                  /* 61 */
    "intervals:\n"                                                        /* 62 */
    "  - key: weekly\n"                                                   /* 63 */
    "    name: Weekly\n"                                                  /* 64 */
    "    licence: dp\n"                                                   /* 65 */
    "    clause: Table 2\n"                                               /* 66 */
    "    wording: Once a week.\n"                                         /* 67 */
    "    station: out\n"                                                  /* 68 */
    "    parameters: [suspended-solids]\n"                                /* 69 */
    "    at least: 1 in each week\n"                                      /* 70 */
    "    week starts: Monday\n"                                           /* 71 */
    "    only while discharging: yes\n"                                   /* 72 */
    "    in force: {from: 2026-01-01}\n"                                  /* 73 */
    ;

static struct units *units;

static inline int load_units(void **state)
{
    struct err err = ERR_INIT;

    (void)state;

    return units_load(&units, &err) ? 0 : -1;
}

static inline int free_units(void **state)
{
    (void)state;
    units_free(&units);

    return 0;
}

/* The farm with the first occurrence of `find` replaced. */
static inline char *replaced(struct arena *mem, const char *find, const char *put)
{
    const char *at = strstr(sound, find);

    if (!at)
        fail_msg("'%s' is not in the farm", find);

    return arena_printf(mem, "%.*s%s%s", (int)(at - sound), sound, put, at + strlen(find));
}

#endif
