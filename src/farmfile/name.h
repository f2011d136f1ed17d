/*
 * Names: the readers of keys that name another part of the farm file, which must be there. The
 * order in which the sections are read (farmfile.c) sees to it that it has been read.
 */
#ifndef FARMFILE_NAME_H
#define FARMFILE_NAME_H

#include "farmfile/value.h"

/* const char * each. */
field_read name_station;
field_read name_parameter;
field_read name_person;
field_read name_authority;
field_read name_licence;

/* A map {station, parameter} for struct name_place; `what` tables are in name.c. */
struct name_place {
    const char *station;
    const char *parameter;
};
field_read name_place;
extern const struct field_table name_place_table;

/*
 * The position of a station; tells of one that the station lacks. NULL station: not checked.
 */
void name_check_position(struct field_reader *reader, const struct yaml *node, const char *station,
                         const char *position);

/* The parameter, or NULL when there is none (told already where it was named). */
const struct parameter *name_find_parameter(const struct field_reader *reader, const char *key);

/*
 * The canonical name of a unit that the parameter may be in; `parameter` NULL: any unit. NULL,
 * and told, when there is none such.
 */
const char *name_unit(struct field_reader *reader, const struct yaml *node, const char *text,
                      const struct parameter *parameter);

#endif
