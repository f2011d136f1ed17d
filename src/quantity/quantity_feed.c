#include "measure/feed.h"
#include "measure/unseen.h"
#include "quantity/quantity_inside.h"

static bool uptake(struct arena *mem, const struct quantity_asked *asked,
                   struct quantity_answer *answer, struct err *err)
{
    struct feed_line line = {
        .flow_m3_per_h = asked_number(asked, "flow"),
        .pond_known = asked_there(asked, "pond"),
        .pond = asked_number(asked, "pond"),
        .inlet = asked_number(asked, "inlet"),
        .outlet = asked_number(asked, "outlet"),
    };
    struct feed_uptake out;

    (void)mem;
    if (!feed_uptake(&line, &out, err))
        return false;
    if (out.share_known)
        answer->figures[0] = value_of(out.share);
    answer->figures[1] = value_of(out.taken);
    if (out.on_the_way_known)
        answer->figures[2] = value_of(out.lost_on_the_way);
    if (out.taken < 0)
        answer->note = "More went out than came in: particles stirred up, or two stations swapped.";

    return true;
}

static bool cells(struct arena *mem, const struct quantity_asked *asked,
                  struct quantity_answer *answer, struct err *err)
{
    double out = 0;

    (void)mem;
    if (!feed_cells_taken(asked_number(asked, "flow"), asked_number(asked, "inlet"),
                          asked_number(asked, "outlet"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool clearance(struct arena *mem, const struct quantity_asked *asked,
                      struct quantity_answer *answer, struct err *err)
{
    double flow = asked_number(asked, "flow");
    double inlet = asked_number(asked, "inlet");
    double outlet = asked_number(asked, "outlet");
    double mixed = 0;
    double passing = 0;

    (void)mem;
    if (!feed_clearance_mixed(flow, inlet, outlet, &mixed, err) ||
        !feed_clearance_passing(flow, inlet, outlet, &passing, err))
        return false;
    answer->figures[0] = value_of(mixed);
    answer->figures[1] = value_of(passing);

    return true;
}

static bool share_below(struct arena *mem, const struct quantity_asked *asked,
                        struct quantity_answer *answer, struct err *err)
{
    const struct quantity_input_value *edges = asked_value(asked, "edges");
    const struct quantity_input_value *counts = asked_value(asked, "counts");
    double out = 0;

    (void)mem;
    if (edges->count != counts->count + 1) {
        err_set(err, ERR_INVALID, "there are %zu edges and %zu counts", edges->count,
                counts->count);
        return err_hint(err, "There is one edge more than counts: each count stands between two.");
    }
    if (!feed_share_below_counts(edges->numbers, counts->numbers, counts->count,
                                 asked_number(asked, "size"), &out, err))
        return false;
    answer->figures[0] = value_of(out);

    return true;
}

static bool ring_and_centre(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    struct feed_positions positions = {.ring = asked_number(asked, "ring"),
                                       .centre = asked_number(asked, "centre")};
    struct feed_difference out;

    (void)mem;
    if (!feed_position_difference(&positions, &out, err))
        return false;
    answer->figures[0] = value_of(out.ring_less_centre);
    if (out.share_known)
        answer->figures[1] = value_of(out.share);

    return true;
}

#define LINE                                                                                       \
    {"flow", QUANTITY_NUMBER, "m3/h", NULL, "through the tank", NULL},                             \
        {"inlet", QUANTITY_NUMBER, "", NULL, "of the tank; all in one unit", NULL},                \
    {                                                                                              \
        "outlet", QUANTITY_NUMBER, "", NULL, NULL, NULL                                            \
    }

#define ANY_LOSS "whatever leaves the water counts: eaten, settled or dead"

static const struct quantity rows[] = {
    {
        .word = "feed uptake",
        .equation = "flow x (inlet - outlet), and over what came in",
        .source = "common practice, no source",
        .range = ANY_LOSS,
        .example = "flow=12 inlet=20000 outlet=14000 pond=26000",
        .inputs = {LINE, {"pond", QUANTITY_NUMBER, "", "", "in the feed pond", NULL}},
        .figures = {{"share taken up", "1", 4},
                    {"taken up, flow times the difference", "", 5},
                    {"share lost on the way from the pond", "1", 4}},
        .work_out = uptake,
    },
    {
        .word = "cells taken up",
        .equation = "flow x 10^6 x (inlet - outlet) of cells/mL",
        .source = "common practice, no source",
        .range = ANY_LOSS,
        .example = "flow=12 inlet=20000 outlet=14000",
        .inputs = {{"flow", QUANTITY_NUMBER, "m3/h", NULL, "through the tank", NULL},
                   {"inlet", QUANTITY_NUMBER, "cells/mL", NULL, "of the tank", NULL},
                   {"outlet", QUANTITY_NUMBER, "cells/mL", NULL, NULL, NULL}},
        .figures = {{"cells an hour", "", 5}},
        .work_out = cells,
    },
    {
        .word = "clearance of a tank",
        .equation = "mixed: flow x (inlet - outlet) / outlet; passing: flow x ln(inlet / outlet)",
        .source = "Hildreth and Crisp 1976 (" UNSEEN ")",
        .range = ANY_LOSS,
        .example = "flow=12 inlet=20000 outlet=14000",
        .inputs = {LINE},
        .figures = {{"of a mixed tank", "m3/h", 4},
                    {"of water that passes one animal after the other", "m3/h", 4}},
        .work_out = clearance,
    },
    {
        .word = "share of particles below a size",
        .equation = "counts in bins, by a straight line inside the bin",
        .source = "common practice, no source",
        .range = "sizes inside the table's: nothing is guessed beyond it",
        .example = "edges=2,4,8,16 counts=500,300,40 size=6",
        .inputs = {{"edges", QUANTITY_NUMBERS, "", NULL, "of the bins, in um, ascending", NULL},
                   {"counts", QUANTITY_NUMBERS, "", NULL, "one fewer than edges", NULL},
                   {"size", QUANTITY_NUMBER, "", NULL, "in um", NULL}},
        .figures = {{"share below", "1", 4}},
        .work_out = share_below,
    },
    {
        .word = "difference between ring and centre",
        .equation = "ring less centre, and over the mean of the two",
        .source = "common practice, no source",
        .range = "two readings at one time",
        .example = "ring=7.1 centre=6.2",
        .inputs = {{"ring", QUANTITY_NUMBER, NULL, NULL, NULL, NULL},
                   {"centre", QUANTITY_NUMBER, NULL, NULL, NULL, NULL}},
        .figures = {{"difference", NULL, 4}, {"over the mean of the two", "1", 4}},
        .work_out = ring_and_centre,
    },
};

const struct quantity_family family_feed = {"feed", rows, ARRAY_LEN(rows)};
