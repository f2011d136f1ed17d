/*
 * Parts of a limit: when it applies.
 */
#ifndef FARMFILE_WHEN_PART_H
#define FARMFILE_WHEN_PART_H

#include "farmfile/section.h"

field_read when_part_hours; /* struct limit_hours: "06:00 to 18:00" */

/* struct limit_tide, without its table: "1 hour before to 3 hours after high water" */
field_read when_part_tide;

/* const char *: the key of a tide table that there is */
field_read when_part_tide_table;

field_read when_part_season; /* struct limit_season */

/* struct limit_while: {station, position, parameter, unit, above, below, within} */
field_read when_part_while;
extern const struct field_table when_part_while_table;

#endif
