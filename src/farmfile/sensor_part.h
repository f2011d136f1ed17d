/*
 * Sensor part: the thresholds of an item of `sensor tests:` as the file has them, and what they
 * come to: rules in the parameter's own unit, and words in the farm's.
 */
#ifndef FARMFILE_SENSOR_PART_H
#define FARMFILE_SENSOR_PART_H

#include "farmfile/section.h"

struct sensor_read_range {
    struct farm_number low;
    struct farm_number high;
};

struct sensor_read_season {
    int from;
    int to;
    struct sensor_read_range expected;
};

struct sensor_read_steps {
    struct farm_number suspect;
    struct farm_number fail;
    int per_s;
};

/* "5 readings" or "3 hours". */
struct sensor_read_after {
    int readings;
    int seconds;
};

struct sensor_read_flat {
    struct farm_number within;
    struct sensor_read_after suspect;
    struct sensor_read_after fail;
};

/* One item as the file has it. */
struct sensor_read_test {
    struct farm_sensor_test test;
    int gap_s;
    struct sensor_read_range sensor;
    struct sensor_read_range expected;
    struct sensor_read_season *seasons;
    size_t season_count;
    struct sensor_read_steps spike;
    struct sensor_read_steps rate;
    struct sensor_read_flat flat;
};

/*
 * Rules and words of `read` into `test`, whose unit is settled; the conversion is from it into the
 * parameter's own.
 */
void sensor_part_settle(struct arena *mem, const struct unit_conversion *conversion,
                        const struct sensor_read_test *read, struct farm_sensor_test *test);

#endif
