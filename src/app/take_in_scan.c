#include "app/take_in_scan.h"

#include "store/reading_store.h"
#include "store/series_store.h"

static instant month_instant(int month)
{
    return instant_from_utc(
        &(struct civil){.year = SCAN_FIRST_YEAR + month / 12, .month = month % 12 + 1, .day = 1});
}

/* Its number, or -1 where we keep none. */
static int month_number(instant at)
{
    struct civil civil = instant_to_utc(at);
    int month = (civil.year - SCAN_FIRST_YEAR) * 12 + civil.month - 1;

    return month < 0 || month >= SCAN_MONTHS ? -1 : month;
}

static void month_mark(struct scan *scan, instant at)
{
    int month = month_number(at);

    if (month < 0)
        return;
    scan->months.held[month] = 1;
    scan->month_from = month_instant(month);
    scan->month_until = month_instant(month + 1);
}

static bool scan_drafts(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    struct scan *scan = context;

    (void)err;
    for (size_t i = 0; i < count; i++) {
        if (drafts[i].at < scan->month_from || drafts[i].at >= scan->month_until)
            month_mark(scan, drafts[i].at);
        if (drafts[i].sample && wanted_draft(&scan->wanted, &drafts[i]))
            file_samples_note(&scan->samples, &drafts[i],
                              &scan->series.items[drafts[i].series].series);
    }

    return true;
}

static bool scan_problems(void *context, const struct problem *problems, size_t count,
                          struct err *err)
{
    struct scan *scan = context;

    (void)err;
    for (size_t i = 0; i < count; i++) {
        instant at = problems[i].at;

        if (scan->wanted.places && !scan->wanted_trouble &&
            wanted_place(&scan->wanted, problems[i].line, problems[i].column))
            scan->wanted_trouble = arena_strdup(scan->mem, problems[i].words);

        int month = at == INSTANT_NONE ? -1 : month_number(at);

        if (at == INSTANT_NONE)
            scan->aside_anywhere = true;
        if (month < 0)
            continue;
        scan->aside_months.held[month] = 1;
        if (scan->aside_first == INSTANT_NONE || at < scan->aside_first)
            scan->aside_first = at;
        if (scan->aside_last == INSTANT_NONE || at > scan->aside_last)
            scan->aside_last = at;
    }

    return true;
}

static bool scan_new_series(void *context, const struct draft_series *series, struct err *err)
{
    struct scan *scan = context;
    struct arena *mem = scan->mem;
    struct draft_series copy = {.station = arena_strdup(mem, series->station),
                                .position = arena_strdup(mem, series->position),
                                .parameter = arena_strdup(mem, series->parameter),
                                .matrix = arena_strdup(mem, series->matrix),
                                .method = arena_strdup(mem, series->method),
                                .made_by = arena_strdup(mem, series->made_by),
                                .kind = arena_strdup(mem, series->kind)};

    (void)err;
    LIST_ADD(mem, &scan->series,
             ((struct scan_series){.series = copy, .series_id = series_id_of(&copy)}));

    return true;
}

static bool scan_sheet(void *context, const struct ingest_sheet *sheet, struct err *err)
{
    struct scan *scan = context;
    struct ingest_sheet copy = *sheet;

    (void)err;
    copy.name = arena_strdup(scan->mem, sheet->name);
    LIST_ADD(scan->mem, &scan->sheets, copy);

    return true;
}

bool scan_read(struct scan *scan, struct arena *mem, const struct source *source,
               const struct ingest_world *world, const struct byte_source *from,
               struct wanted_rows wanted, struct err *err)
{
    struct ingest_sink sink = {scan, scan_drafts, scan_problems, scan_new_series, NULL, scan_sheet};

    *scan = (struct scan){.mem = mem,
                          .wanted = wanted,
                          .samples = {.mem = mem, .zone = world->zone},
                          .aside_first = INSTANT_NONE,
                          .aside_last = INSTANT_NONE};
    from->rewind(from->bytes.context);

    return source_read(source, world, &from->bytes, &sink, &scan->counts, err);
}

const struct aside_place *wanted_place(const struct wanted_rows *wanted, int32_t line,
                                       int32_t column)
{
    size_t low = 0;
    size_t high = wanted->places ? wanted->places->count : 0;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const struct aside_place *place = &wanted->places->items[middle];
        int32_t further = wanted->by_column ? place->column - column : 0;

        if (place->line == line && further == 0)
            return place;
        if (place->line < line || (place->line == line && further < 0))
            low = middle + 1;
        else
            high = middle;
    }

    return NULL;
}

bool wanted_draft(const struct wanted_rows *wanted, const struct draft *draft)
{
    return !wanted->places || wanted_place(wanted, draft->line, draft->column);
}

char *scan_series_text(struct arena *mem, const struct scan *scan)
{
    struct buf text = buf_new(mem);

    buf_add_char(&text, '{');
    for (size_t i = 0; i < scan->series.count; i++)
        buf_addf(&text, "%s%lld", i ? "," : "", (long long)scan->series.items[i].series_id);
    buf_add_char(&text, '}');

    return text.data;
}

bool scan_run(const struct scan_months *months, int *month, instant *first, instant *last)
{
    instant from = *first;
    instant until = *last;

    for (int begin = *month, end; begin < SCAN_MONTHS; begin = end + 1) {
        end = begin;
        if (!months->held[begin])
            continue;
        while (end + 1 < SCAN_MONTHS && months->held[end + 1])
            end++;
        *first = from > month_instant(begin) ? from : month_instant(begin);
        *last = until < month_instant(end + 1) ? until : month_instant(end + 1) - 1;
        *month = end + 1;
        if (*first <= *last)
            return true;
    }

    return false;
}

bool scan_partitions(struct db *db, const struct scan *scan, int64_t farm_id, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    instant first = scan->counts.first_at;
    instant last = scan->counts.last_at;

    if (!db_tx_begin(db, farm_id, &tx, err))
        return false;
    for (int month = 0; scan_run(&scan->months, &month, &first, &last);
         first = scan->counts.first_at, last = scan->counts.last_at) {
        if (!reading_store_partitions(&tx, first, last, err))
            return err_wrap(err, "making room for the months of the file");
    }

    return db_tx_commit(&tx, err);
}
