/*
 * A farm file, invented, whose one limit takes the choices that a test gives it: lines of keys.
 * The farm is sound.h's with more stations, a rain gauge, a tide table and an outlet.
 */
#ifndef TESTS_FARMFILE_CHOICES_H
#define TESTS_FARMFILE_CHOICES_H

#include "base/buf.h"
#include "sound.h"

/* What stands between the limit's wording and its end is each row's own. */
static const char start[] =
    "farm: {key: shore, name: Shore, time zone: Pacific/Auckland}\n"
    "people: [{key: ida, name: Ida, position: manager, may: [read, sign], since: 2025-01-31, on "
    "the word of: owner}]\n"
    "authorities: [{key: council, name: Council, decides: discharge, call: 0}]\n"
    "stations:\n"
    "  - {key: intake, name: In, kind: intake}\n"
    "  - {key: out, name: Out, kind: pond, positions: [{key: deep, name: Deep}]}\n"
    "  - {key: out-2, name: Out two, kind: pond}\n"
    "  - {key: gauge, name: Gauge, kind: rain-gauge}\n"
    "tide tables:\n"
    "  - {key: harbour, place: Harbour, from: invented, clock: local, tides: [2026-03-18 04:12 "
    "high]}\n"
    "parameters:\n"
    "  - {key: scum, name: Scum, kind: state, states: [seen, not seen]}\n"
    "licences:\n"
    "  - key: dp\n"
    "    number: DP 1\n"
    "    title: Permit\n"
    "    holder: Shore\n"
    "    authority: council\n"
    "    version: 2026-01-01\n"
    "    anniversary: 07-01\n"
    "    certification: True.\n"
    "    signer: ida\n"
    "    points: [{station: out, called: Point 1, outlet: {station: out, parameter: outlet}}]\n"
    "limits:\n"
    "  - key: solids\n"
    "    name: Solids\n"
    "    licence: dp\n"
    "    clause: Table 1\n"
    "    wording: As it is.\n"
    "    in force: {from: 2026-01-01}\n";

/* Choices that many rows begin from. */
#define AT_OUT "station: out\nparameter: suspended-solids\nunit: mg/L\nrounding: none\n"
#define EVERY AT_OUT "each day: every reading\n"
#define SINGLE EVERY "statistic: value\nperiod: month\nnot above: 30\n"
#define MEAN EVERY "less-thans: half\nstatistic: mean\nperiod: month\nnot above: 30\n"
#define PROBE_TIME                                                                                 \
    EVERY "samples: probe\nreading stands: 20 minutes\nbetween readings: half-way\ntime in: "      \
          "hours\nperiod: day\nnot above: 2\nstatistic: time outside\n"
#define LOAD                                                                                       \
    "station: out\nparameter: suspended-solids\nunit: kg/day\nrounding: none\neach day: load\n"    \
    "flow: {station: out, parameter: discharge-meter}\nless-thans: half\nperiod: month\nnot "      \
    "above: 30\n"
#define STATE                                                                                      \
    "station: out\nparameter: scum\neach day: every reading\nstatistic: value\nperiod: day\n"
#define BY SINGLE_OXYGEN "bound by: {side: not below, within: 30 minutes, "
#define SINGLE_OXYGEN                                                                              \
    "station: out\nparameter: oxygen\nunit: mg/L\nrounding: none\neach day: every reading\n"       \
    "statistic: value\nperiod: month\n"

static inline char *with_choices(struct arena *mem, const char *choices)
{
    struct buf text = buf_new(mem);

    buf_addf(&text, "%s", start);
    while (*choices) {
        size_t length = strcspn(choices, "\n");

        buf_addf(&text, "    %.*s\n", (int)length, choices);
        choices += length + (choices[length] == '\n');
    }

    return text.data;
}

#endif
