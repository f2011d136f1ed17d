/*
 * Water: the readings of a meter or a flow behind the volumes of days, with what is in doubt of
 * them: stored readings that are, and rows set aside that could be of it.
 *
 * Which of them a figure goes by is a version (enum water_version; water_pick.h for a flow,
 * meter_doubt.h for a meter), and each pass goes by one of them at each place. Where more water
 * brings the figure down (the intake of a net load) the pass above takes the lowest.
 *
 * A row whose unit can't be read is here once for each unit that its parameter allows. One with a
 * readable unit that is of no such quantity, and no readable parameter, is of something else.
 */
#ifndef JUDGE_WATER_H
#define JUDGE_WATER_H

#include "judge/pass.h"

/* A reading of a meter or a flow. */
struct water_reading {
    const struct evidence_reading *reading;
    size_t row; /* of evidence.set_aside; SIZE_MAX: it is stored */
    bool in_doubt;
    bool tried;   /* in a unit that it may have had */
    bool farther; /* beside the judged days, and not the nearest of its series there */
    bool known;   /* read as a number: in m3/s of a flow, in the parameter's own unit of a meter */
    struct amount value;
};

struct water_list {
    struct water_reading *items;
    size_t count;
    size_t capacity;
};

struct water {
    const struct limit_place *place;
    const char *parameter;
    const struct parameter *known; /* NULL: the parameter is not known */
    struct water_reading *items;   /* in order of time, then of what was reported */
    size_t count;
    size_t capacity;
    struct water_list timeless; /* rows of which no time can be read */
    /*
     * Where it is open which of the items count (flow_choice.h): whether each is sure to. Of the
     * others the most water is looked for, or the least; `used` are those that a choice went by.
     * NULL: all items count.
     */
    const bool *is_sure;
    bool *used;
    bool highest;
};

/*
 * Everything of a place and parameter: the readings of the judged days with one before them and one
 * after, of those in doubt as many as could stand into them.
 */
struct water water_gather(const struct judgement *judgement, const struct limit_place *place,
                          const char *parameter);

/* Whether any of it is in doubt. */
bool water_is_in_doubt(const struct water *water);

bool water_is_meter(const struct water *water);

/* Whether the same readings are in both, and count in the same way. */
bool water_same(const struct water *a, const struct water *b);

/* Whether a row set aside could be of water that the limit looks at. */
bool water_may_be(const struct judgement *judgement, const struct evidence_set_aside *row);

/* Where the water of one of the limit's places is read; station NULL: it looks at none. */
struct limit_flow water_source(const struct judgement *judgement, const struct judged_place *place);

/* The version of a place's water that a pass goes by. */
enum water_version water_of_pass(const struct judgement *judgement, enum pass pass, size_t place);

#endif
