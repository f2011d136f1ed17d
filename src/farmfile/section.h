/*
 * Sections of the farm file: what farmfile.c names in its table, one reader each. Each adds to
 * the list of the farm that it is named for; `into` is not used.
 */
#ifndef FARMFILE_SECTION_H
#define FARMFILE_SECTION_H

#include "farmfile/name.h"

field_read section_farm;
field_read section_people;
field_read section_authorities;
field_read section_stations;
field_read section_parameters;
field_read section_paths;
field_read section_meters;
field_read section_licences;
field_read section_laboratories;
field_read section_tide_tables;
field_read section_tanks;
field_read section_derived;
field_read section_sensor_tests;
field_read section_quality;
field_read section_instruments;
field_read section_sources;
field_read section_limits;
field_read section_intervals;
field_read section_notices;

/* The keys of one item of each section; of `farm` its own. */
extern const struct field_table section_farm_table;
extern const struct field_table section_person_table;
extern const struct field_table section_authority_table;
extern const struct field_table section_station_table;
extern const struct field_table section_parameter_table;
extern const struct field_table section_path_table;
extern const struct field_table section_meter_table;
extern const struct field_table section_licence_table;
extern const struct field_table section_laboratory_table;
extern const struct field_table section_tide_table;
extern const struct field_table section_tank_table;
extern const struct field_table section_derived_table;
extern const struct field_table section_sensor_test_table;
extern const struct field_table section_quality_table;
extern const struct field_table section_instrument_table;
extern const struct field_table section_source_table;
extern const struct field_table section_limit_table;
extern const struct field_table section_interval_table;
extern const struct field_table section_notice_table;

/* One limit or interval from its map: what is asked of it is checked. False: problems told. */
bool section_limit_read(struct field_reader *reader, const struct yaml *node,
                        struct farm_limit *out);
bool section_interval_read(struct field_reader *reader, const struct yaml *node,
                           struct farm_interval *out);

/* `in force: {from, to}`, of limits and intervals: struct section_span. */
struct section_span {
    day_number from;
    day_number to;
};
extern const struct field_table section_span_table;
field_read section_span;

/* Tell of a parameter that is no state with the words open and shut. */
void section_check_outlet(struct field_reader *reader, const struct yaml *node,
                          const struct name_place *place);

/* Tell of a span whose end lies before its beginning. */
void section_check_span(struct field_reader *reader, const struct yaml *node, day_number from,
                        day_number to);

#endif
