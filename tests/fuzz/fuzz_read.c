#include <math.h>
#include <string.h>

#include "base/buf.h"
#include "base/utf8.h"
#include "base/zone.h"
#include "fuzz.h"
#include "ingest/place.h"
#include "ingest/source_read.h"

const struct ingest_world *fuzz_world(void)
{
    static const char *const stations[] = {"pond", "outlet", "intake"};
    static const struct civil noon = {.year = 2026, .month = 6, .day = 1, .hour = 12};
    static const struct parameter_list no_own_parameters;
    static struct ingest_world world;
    static struct arena *mem; /* never let go: libFuzzer has no end to do it at */
    static struct units *units;

    if (!units) {
        struct err err = ERR_INIT;

        mem = arena_new();
        HOLDS(units_load(&units, &err));
        HOLDS(zone_load(mem, "Pacific/Auckland", &world.zone, &err));
        world.stations = stations;
        world.station_count = ARRAY_LEN(stations);
        world.parameters = &no_own_parameters;
        world.units = units;
        world.received_at = instant_from_utc(&noon);
    }

    return &world;
}

bool fuzz_is_text(const char *text)
{
    size_t left = strlen(text);
    uint32_t character;

    while (left > 0) {
        size_t length = utf8_character(text, left, &character);

        if (length == 0)
            return false;
        text += length;
        left -= length;
    }

    return true;
}

void fuzz_error_check(const struct err *err)
{
    HOLDS(err->code != ERR_NONE && err->code != ERR_BUG);
    HOLDS(*err->text);
    HOLDS(fuzz_is_text(err->text));
    HOLDS(fuzz_is_text(err->hint));
}

int32_t fuzz_lines(const uint8_t *bytes, size_t size)
{
    int32_t lines = 1;

    for (size_t i = 0; i < size; i++)
        lines += bytes[i] == '\n' || bytes[i] == '\r';

    return lines;
}

/* --- what comes out of one reading --- */

struct place_seen {
    int32_t line;
    int32_t column;
};

struct reading_seen {
    struct arena *mem;
    const struct source *source;
    const struct fuzz_extent *extent;
    struct buf said; /* all that was handed over, in its order */
    struct {
        struct place_seen *items;
        size_t count;
        size_t capacity;
    } places;
    int64_t drafts;
    int64_t problems;
    int64_t blanks;
    uint32_t series;
    int32_t sheets;
};

static void add(struct reading_seen *seen, const void *bytes, size_t count)
{
    buf_add(&seen->said, bytes, count);
}

static void add_number(struct reading_seen *seen, int64_t number)
{
    add(seen, &number, sizeof(number));
}

/* A text that may be absent. */
static void add_text(struct reading_seen *seen, const char *text)
{
    add_number(seen, text ? 1 : 0);
    if (!text)
        return;
    HOLDS(fuzz_is_text(text));
    add(seen, text, strlen(text) + 1);
}

/* What a decimal says, read again, is the same decimal. */
static void add_decimal(struct reading_seen *seen, struct decimal value)
{
    const char *text = decimal_text(seen->mem, value);
    struct decimal again;

    HOLDS(decimal_parse(text, &again));
    HOLDS(again.coefficient == value.coefficient && again.scale == value.scale);
    add_text(seen, text);
}

static void add_place(struct reading_seen *seen, int32_t line, int32_t column)
{
    const struct fuzz_extent *extent = seen->extent;

    HOLDS(line >= 1);
    if (extent->sheets > 0) {
        HOLDS(place_sheet(line) < extent->sheets);
        HOLDS(place_row(line) >= 1 && place_row(line) <= extent->lines);
    } else {
        HOLDS(line <= extent->lines);
    }
    HOLDS(column >= 0 && column <= extent->columns);
    add_number(seen, line);
    add_number(seen, column);
    LIST_ADD(seen->mem, &seen->places, ((struct place_seen){line, column}));
}

static bool drafts_seen(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    struct reading_seen *seen = context;

    (void)err;
    HOLDS(count > 0 && count <= DRAFT_BATCH_MOST);
    for (size_t i = 0; i < count; i++) {
        const struct draft *draft = &drafts[i];

        HOLDS(draft->series < seen->series);
        HOLDS(draft->at <= draft->until);
        HOLDS(draft->qualifier && strchr("=<>n", draft->qualifier));
        HOLDS(isfinite(draft->value));
        HOLDS(draft->column > 0);
        add_place(seen, draft->line, draft->column);
        add_number(seen, draft->series);
        add_number(seen, draft->at);
        add_number(seen, draft->until);
        add(seen, &draft->qualifier, 1);
        add_decimal(seen, draft->reported);
        add(seen, &draft->value, sizeof(draft->value));
        if (draft->has_limits) {
            add_decimal(seen, draft->detection);
            add_decimal(seen, draft->quantitation);
        }
        add_text(seen, draft->unit);
        add_text(seen, draft->sample);
        add_text(seen, draft->replicate);
        add_text(seen, draft->purpose);
        add_text(seen, draft->taken_by);
        add_text(seen, draft->doubt);
    }
    seen->drafts += (int64_t)count;

    return true;
}

static bool problems_seen(void *context, const struct problem *problems, size_t count,
                          struct err *err)
{
    struct reading_seen *seen = context;

    (void)err;
    HOLDS(count > 0 && count <= DRAFT_BATCH_MOST);
    for (size_t i = 0; i < count; i++) {
        const struct problem *problem = &problems[i];

        HOLDS(problem->reason < PROBLEM_REASONS);
        HOLDS(problem->words && *problem->words && problem->todo && *problem->todo);
        HOLDS(problem->text && strlen(problem->text) <= PROBLEM_TEXT_MOST);
        add_place(seen, problem->line, problem->column);
        add_number(seen, problem->reason);
        add_text(seen, problem->words);
        add_text(seen, problem->todo);
        add_text(seen, problem->text);
        add_text(seen, problem->station);
        add_text(seen, problem->parameter);
        add_number(seen, problem->at);
        if (problem->has_value)
            add_decimal(seen, problem->value);
        add_text(seen, problem->unit);
    }
    seen->problems += (int64_t)count;

    return true;
}

static bool series_seen(void *context, const struct draft_series *series, struct err *err)
{
    struct reading_seen *seen = context;

    (void)err;
    seen->series++;
    add_text(seen, series->station);
    add_text(seen, series->position);
    add_text(seen, series->parameter);
    add_text(seen, series->matrix);
    add_text(seen, series->method);
    add_text(seen, series->made_by);
    add_text(seen, series->kind);

    return true;
}

static bool blank_seen(void *context, int32_t line, int32_t column, struct err *err)
{
    struct reading_seen *seen = context;

    (void)err;
    seen->blanks++;
    add_place(seen, line, column);

    return true;
}

static bool sheet_seen(void *context, const struct ingest_sheet *sheet, struct err *err)
{
    struct reading_seen *seen = context;

    (void)err;
    HOLDS(sheet->number >= 0 && sheet->number < seen->extent->sheets);
    HOLDS(sheet->rows >= 0 && sheet->hidden_rows >= 0);
    add_text(seen, sheet->name);
    add_number(seen, sheet->rows);
    seen->sheets++;

    return true;
}

static int place_order(const void *a, const void *b)
{
    const struct place_seen *one = a;
    const struct place_seen *other = b;

    if (one->line != other->line)
        return one->line < other->line ? -1 : 1;

    return one->column < other->column ? -1 : one->column > other->column;
}

/* Nothing twice: a cell of a wide file, a row of a long one. Absent keys of JSON have no place. */
static void places_check(const struct reading_seen *seen)
{
    bool by_line = !source_by_column(seen->source);
    const struct place_seen *items = seen->places.items;

    if (seen->source->format == SOURCE_JSON || seen->places.count == 0)
        return;
    qsort(seen->places.items, seen->places.count, sizeof(*items), place_order);
    for (size_t i = 1; i < seen->places.count; i++)
        HOLDS(items[i].line != items[i - 1].line ||
              (!by_line && items[i].column != items[i - 1].column));
}

static void counts_check(const struct reading_seen *seen, const struct ingest_counts *counts)
{
    HOLDS(counts->values_in == counts->drafts + counts->blank + counts->problems);
    HOLDS(counts->drafts == seen->drafts);
    HOLDS(counts->problems == seen->problems);
    HOLDS(counts->blank + counts->ignored_rows + counts->ignored_cells == seen->blanks);
    HOLDS(counts->short_rows <= counts->rows && counts->ignored_rows <= counts->rows);
    if (seen->source->shape == SOURCE_LONG)
        HOLDS(counts->values_in == counts->rows - counts->ignored_rows);
    HOLDS((counts->drafts == 0) == (counts->first_at == INSTANT_NONE));
    HOLDS(counts->first_at <= counts->last_at);
}

/* --- one reading --- */

struct bytes_left {
    const uint8_t *at;
    size_t count;
    size_t piece;
};

static bool piece_read(void *context, void *into, size_t room, size_t *got, struct err *err)
{
    struct bytes_left *left = context;
    size_t part = left->piece < room ? left->piece : room;

    (void)err;
    *got = part < left->count ? part : left->count;
    if (*got > 0)
        memcpy(into, left->at, *got);
    left->at += *got;
    left->count -= *got;

    return true;
}

/* All that came, as bytes to compare: of the error too, where the file was refused. */
static struct buf read_once(struct arena *mem, const struct source *source, struct bytes_left left,
                            const struct fuzz_extent *extent)
{
    struct reading_seen seen = {
        .mem = mem, .source = source, .extent = extent, .said = buf_new(mem)};
    const struct ingest_bytes bytes = {&left, piece_read};
    const struct ingest_sink sink = {&seen,       drafts_seen, problems_seen,
                                     series_seen, blank_seen,  sheet_seen};
    struct ingest_counts counts;
    struct err err = ERR_INIT;

    if (source_read(source, fuzz_world(), &bytes, &sink, &counts, &err)) {
        counts_check(&seen, &counts);
        places_check(&seen);
        add_number(&seen, counts.values_in);
        add_number(&seen, counts.separator);
        add_text(&seen, counts.charset);
    } else {
        fuzz_error_check(&err);
        add_text(&seen, err.text);
    }

    return seen.said;
}

/* What is around the first difference, with dots for what can't be printed. */
static void tell_around(const struct buf *said, size_t at)
{
    size_t from = at > 200 ? at - 200 : 0;

    for (size_t i = from; i < said->len && i < at + 60; i++)
        fputc(said->data[i] >= ' ' ? said->data[i] : '.', stderr);
    fputc('\n', stderr);
}

static bool same(const struct buf *one, const struct buf *other)
{
    size_t at = 0;

    while (at < one->len && at < other->len && one->data[at] == other->data[at])
        at++;
    if (at == one->len && at == other->len)
        return true;
    tell_around(one, at);
    tell_around(other, at);

    return false;
}

void fuzz_read(const struct source *source, const uint8_t *bytes, size_t size, size_t piece,
               const struct fuzz_extent *extent)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct buf whole = read_once(mem, source, (struct bytes_left){bytes, size, SIZE_MAX}, extent);

    if (piece < size) {
        struct buf pieces = read_once(mem, source, (struct bytes_left){bytes, size, piece}, extent);

        HOLDS(same(&whole, &pieces));
    }
}
