#include "ingest/draft.h"

static const char *const reason_names[PROBLEM_REASONS] = {
    [PROBLEM_TIME_UNREADABLE] = "time-unreadable",
    [PROBLEM_TIME_IMPOSSIBLE] = "time-impossible",
    [PROBLEM_TIME_MISSING_HOUR] = "time-missing-hour",
    [PROBLEM_TIME_TWICE] = "time-twice",
    [PROBLEM_TIME_FUTURE] = "time-future",
    [PROBLEM_TIME_TOO_OLD] = "time-too-old",
    [PROBLEM_STATION_UNKNOWN] = "station-unknown",
    [PROBLEM_PARAMETER_UNKNOWN] = "parameter-unknown",
    [PROBLEM_UNIT_UNKNOWN] = "unit-unknown",
    [PROBLEM_UNIT_UNFIT] = "unit-unfit",
    [PROBLEM_VALUE_UNREADABLE] = "value-unreadable",
    [PROBLEM_STATE_UNKNOWN] = "state-unknown",
    [PROBLEM_ROW_SHAPE] = "row-shape",
    [PROBLEM_BYTES] = "bytes",
    [PROBLEM_FLAGGED] = "flagged",
    [PROBLEM_CONTRADICTS_STORED] = "contradicts-stored",
    [PROBLEM_CONTRADICTS_FILE] = "contradicts-file",
    [PROBLEM_SAMPLE_CONTRADICTS_STORED] = "sample-contradicts-stored",
    [PROBLEM_SAMPLE_CONTRADICTS_FILE] = "sample-contradicts-file",
    [PROBLEM_METER] = "meter",
    [PROBLEM_VALUE_IMPOSSIBLE] = "value-impossible",
    [PROBLEM_PURPOSE_UNKNOWN] = "purpose-unknown",
    [PROBLEM_ROW_CUT] = "row-cut",
};

const char *problem_reason_name(enum problem_reason reason)
{
    return reason_names[reason];
}
