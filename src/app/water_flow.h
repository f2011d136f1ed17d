/*
 * Water flow: how much water went through a station over a span, from its meter or its flow.
 *
 * Which record: that of the station's tank in the farm file (`flow`), else the licence's meter of
 * the point, else a running meter, else a flow read or worked out there. A reading of a flow stands
 * to the next one; before the first and after the last nothing is known. A meter's difference over
 * an edge of the span is shared by time. A flow `<X` counts as X; `>X` and what is in doubt don't
 * count.
 *
 * Where no flow was read while the outlet of a licence's point was shut, by its record, none was.
 *
 * For figures that advise; volumes that a limit goes by are judge/volume.h's.
 */
#ifndef APP_WATER_FLOW_H
#define APP_WATER_FLOW_H

#include "app/place_values.h"

struct water_flow {
    bool known;            /* for a part of the span at least */
    double m3_per_h;       /* mean over the time it is known */
    double m3;             /* in that time */
    double known_share;    /* of the span, 0 to 1 */
    double longest_held_h; /* the longest step from one reading of a flow to the next; of a meter
                              0 */
    double shut_h;         /* of a flow: how long the outlet was shut by its record */
    const char *words;     /* what it rests on, or why it is not known */
};

/* ERR_INVALID: the span is empty. */
MUST_CHECK bool water_flow_of(struct place_reader *reader, const char *station, instant first,
                              instant until, struct water_flow *out, struct err *err);

/* What a running meter counted of a span: water or energy. */
struct meter_span {
    instant first;
    instant until;
    double amount;    /* in the time that is known */
    int64_t known_us; /* of the span */
};

/*
 * Adds to `span` what the meter counted in it, in `unit`; size, multiplier and replacements as the
 * farm file's `counters:` tell them (measure/counter.h). ERR_INVALID: it does not measure that.
 */
MUST_CHECK bool meter_read(struct place_reader *reader, const struct farm_place *meter,
                           const char *unit, struct meter_span *span, struct err *err);

/* Whether the whole span is known, to half a percent. */
bool water_flow_whole(const struct water_flow *flow);

#endif
