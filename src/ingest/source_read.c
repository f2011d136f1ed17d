#include "ingest/source_read.h"

#include "ingest/csv_source.h"
#include "ingest/json_source.h"
#include "ingest/workbook.h"

bool source_read(const struct source *source, const struct ingest_world *world,
                 const struct ingest_bytes *bytes, const struct ingest_sink *sink,
                 struct ingest_counts *counts, struct err *err)
{
    switch (source->format) {
    case SOURCE_CSV:
        return csv_source_read(source, world, bytes, sink, counts, err);
    case SOURCE_XLSX:
        return workbook_read(source, world, bytes, sink, counts, err);
    case SOURCE_JSON:
        return json_source_read(source, world, bytes, sink, counts, err);
    }

    return err_set(err, ERR_BUG, "source %s is of no format", source->key);
}
