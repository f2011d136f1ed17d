/*
 * Parts of a limit: other places beside its own, and which samples and instruments it takes.
 */
#ifndef FARMFILE_PLACE_PART_H
#define FARMFILE_PLACE_PART_H

#include "farmfile/section.h"

/* struct limit each: one text or a list of them. */
field_read place_part_methods;
field_read place_part_instruments;
field_read place_part_takers;

/* struct limit: `added`, `added_flows`; keys of stations, or maps {station, position, flow}. */
field_read place_part_added;
extern const struct field_table place_part_added_table;

/* struct limit_against: {station, position, as, paired, within, residence time, flow} */
field_read place_part_against;
extern const struct field_table place_part_against_table;

/* struct texts: keys of stations that there are, none of them twice. */
field_read place_part_stations;

#endif
