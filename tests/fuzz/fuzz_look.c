/*
 * Looking: bytes of any kind are looked at as app/look_file does it: rows, table, guess and the
 * lines for the farm file. Whatever comes, it ends; the lines are text, and while anything is asked
 * of a wide file they do not load.
 */
#include <string.h>

#include "farmfile/farmfile.h"
#include "farmfile/source_text.h"
#include "fuzz.h"
#include "ingest/sniff_book.h"
#include "ingest/sniff_json.h"
#include "ingest/sniff_source.h"
#include "ingest/sniff_text.h"

struct piece {
    const uint8_t *data;
    size_t size;
};

static bool piece_read(void *context, void *into, size_t room, size_t *got, struct err *err)
{
    struct piece *piece = context;

    (void)err;
    *got = piece->size < room ? piece->size : room;
    memcpy(into, piece->data, *got);
    piece->data += *got;
    piece->size -= *got;

    return true;
}

static bool rows_read(struct arena *mem, const uint8_t *data, size_t size, struct source *source,
                      struct sniff_rows *rows, struct err *err)
{
    struct piece head = {data, size};
    struct piece whole = {data, size};
    const struct ingest_bytes first = {&head, piece_read};
    const struct ingest_bytes bytes = {&whole, piece_read};
    struct sniff_text text;
    struct sniff_text_read read;
    struct sniff_json json;
    struct sniff_sheets sheets = {0};
    bool done;

    if (!sniff_text_head(mem, &first, &text, err))
        return false;
    source->format = text.format;
    if (text.format == SOURCE_JSON) {
        done = sniff_json_rows(mem, &bytes, &json, err);
        if (done)
            *rows = json.rows;
        return done;
    }
    if (text.format == SOURCE_XLSX) {
        done = sniff_book_rows(mem, &bytes, &sheets, err) && sheets.count > 0;
        if (done)
            *rows = sheets.items[0].rows;
        return done;
    }

    CLEANUP(sniff_sample_done) struct sniff_sample sample = sniff_sample_new(mem);

    source->separator = sniff_separator_find(mem, &text.lines).separator;
    done =
        source->separator && sniff_text_rows(mem, &bytes, source->separator, &sample, &read, err);
    if (done)
        *rows = sniff_sample_rows(&sample);

    return done;
}

/* With nothing left to ask the lines load, but for words that no farm file may hold. */
static void lines_check(struct arena *mem, const struct sniff_guess *guess)
{
    const struct ingest_world *world = fuzz_world();
    struct farm *farm = farmfile_nothing_known(mem);
    struct farmfile_problems problems = {0};
    const char *text = source_text(mem, guess);
    struct err err = ERR_INIT;
    struct source source;

    LIST_ADD(mem, &farm->stations,
             ((struct farm_station){.key = "outlet", .name = "Outlet", .kind = "discharge"}));
    HOLDS(fuzz_is_text(text));
    if (farmfile_source(mem, text, farm, world->units, &source, &problems, &err)) {
        HOLDS(guess->questions.count == 0 || guess->source.column_count == 0 ||
              guess->source.shape == SOURCE_LONG);
        return;
    }
    fuzz_error_check(&err);
    HOLDS(err.code == ERR_INVALID);
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const struct sniff_station stations[] = {{"outlet", NULL, 0}};
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const struct ingest_world *known = fuzz_world();
    const struct sniff_world world = {.units = known->units,
                                      .parameters = known->parameters,
                                      .zone = known->zone,
                                      .stations = stations,
                                      .station_count = 1,
                                      .has_farm = true};
    struct err err = ERR_INIT;
    struct sniff_guess guess = {.has_clock = false};
    struct sniff_answers answers = {0};
    struct sniff_rows rows = {0};
    struct sniff_table table;

    if (!rows_read(mem, data, size, &guess.source, &rows, &err) ||
        !sniff_table_find(mem, &rows, &table, &err) ||
        !sniff_source(mem, &world, &table, &answers, &guess, &err))
        return 0;
    lines_check(mem, &guess);

    return 0;
}
