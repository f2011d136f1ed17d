/*
 * The files of the invented farm Quillmere: they are what their generator writes, the troubles
 * stand in the lines that its README names, and its farm file can read every one of them.
 */

#include <setjmp.h>
#include <stdarg.h>
#include <stddef.h>
#include <stdint.h>

#include <cmocka.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

#include "base/file.h"
#include "base/str.h"
#include "farmfile/farmfile.h"
#include "ingest/csv_source.h"

#define DEMO SOURCE_DIR "/fixtures/quillmere/"
#define EXAMPLE SOURCE_DIR "/fixtures/example/"

enum { FILE_MOST = 4 << 20, IN_SHEET = 8, WITH_BOD = 9 };

/* Every file, its source, and what its reader must count. */
static const struct demo_file {
    const char *name;
    const char *source;
    int64_t values;
    int64_t drafts;
    int64_t problems;
    int64_t blank;
} files[] = {
    {"logger-2026-02.csv", "logger", 39160, 39160, 0, 0},
    {"logger-2026-03.csv", "logger", 44640, 44640, 0, 0},
    {"logger-2026-04.csv", "logger", 43260, 43260, 0, 0},
    {"meter-2026.csv", "meter-sheet", 92, 92, 0, 0},
    {"outlet-2026.csv", "outlet-sheet", 7, 7, 0, 0},
    {"lab-2026-02-03.csv", "laboratory", WITH_BOD, WITH_BOD, 0, 0},
    {"lab-2026-02-10.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-02-10-again.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-02-17.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-02-24.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-03-03.csv", "laboratory", WITH_BOD, WITH_BOD, 0, 0},
    {"lab-2026-03-13.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-03-17.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-03-17-corrected.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-03-31.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-04-07.csv", "laboratory", WITH_BOD, WITH_BOD, 0, 0},
    {"lab-2026-04-14.csv", "laboratory", IN_SHEET, IN_SHEET - 1, 1, 0}, /* the unit `mgl` */
    {"lab-2026-04-21.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
    {"lab-2026-04-28.csv", "laboratory", IN_SHEET, IN_SHEET, 0, 0},
};

/* The example's own, which its README and the project's take in. */
static const struct demo_file example_files[] = {
    {"logger.csv", "logger", 576, 576, 0, 0},
    {"laboratory.csv", "laboratory", 4, 4, 0, 0},
};

static const struct trouble {
    const char *reason;
    const char *name;
    int line;
    const char *holds;
} troubles[] = {
    {"solids outside", "lab-2026-02-24.csv", 2, "Total suspended solids,71,mg/L"},
    {"a load outside", "lab-2026-04-07.csv", 5, "Total nitrogen,3.4,mg/L"},
    {"its flow, first", "logger-2026-04.csv", 872, "07.04.2026 00:00;24,"},
    {"its flow, last", "logger-2026-04.csv", 1015, "07.04.2026 23:50;24,"},
    {"a misspelt unit", "lab-2026-04-14.csv", 2, "Total suspended solids,78,mgl"},
    {"a sample on another day", "lab-2026-03-13.csv", 2, "2026-03-13"},
    {"a less-than", "lab-2026-02-17.csv", 3, "Ammonia-N,<5,ug/L"},
    {"a less-than of BOD5", "lab-2026-02-03.csv", 8, "BOD5,<2,mg/L"},
    {"a less-than of bacteria", "lab-2026-02-10.csv", 7, "Enterococci,<10,MPN/100 mL"},
    {"another unit", "lab-2026-02-03.csv", 3, "Ammonia-N,188,ug/L"},
    {"before the correction", "lab-2026-03-17.csv", 3, "Ammonia-N,412,ug/L"},
    {"the correction", "lab-2026-03-17-corrected.csv", 3, "Ammonia-N,142,ug/L"},
    {"before the gap", "logger-2026-02.csv", 2679, "19.02.2026 14:10;"},
    {"after the gap", "logger-2026-02.csv", 2680, "20.02.2026 09:40;"},
    {"a flat line begins", "logger-2026-03.csv", 3896, ";7,42;"},
    {"a flat line ends", "logger-2026-03.csv", 3961, ";7,42;"},
    {"the hour for the first time", "logger-2026-04.csv", 590, "05.04.2026 02:00;"},
    {"the hour for the second time", "logger-2026-04.csv", 596, "05.04.2026 02:00;"},
    {"a roll-over", "meter-2026.csv", 29, "28/02/2026,00:00,783,"},
    {"the old meter", "meter-2026.csv", 48, "10:00,12673,Wren,old meter"},
    {"the new meter", "meter-2026.csv", 49, "10:20,12,Wren,new meter"},
    {"the outlet shut", "outlet-2026.csv", 3, "13/02/2026,20:00,closed"},
};

struct world {
    struct arena *mem;
    struct units *units;
    const struct farm *farm;
    const struct farm *example;
};

static char *read_file(struct arena *mem, const char *path, size_t *length)
{
    struct err err = ERR_INIT;
    char *bytes = NULL;

    if (!file_read(mem, path, FILE_MOST, &bytes, length, &err))
        fail_msg("%s", err.text);

    return bytes;
}

static const struct farm *load(const struct world *world, const char *path)
{
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;
    size_t length = 0;
    const char *text = read_file(world->mem, path, &length);

    if (!farmfile_read(world->mem, text, length, world->units, &farm, &problems, &err))
        fail_msg("%s: %s", path, err.text);

    return farm;
}

static int world_begin(void **state)
{
    static struct world world;
    struct err err = ERR_INIT;

    world.mem = arena_new();
    *state = &world;
    if (!units_load(&world.units, &err))
        return -1;
    world.farm = load(&world, DEMO "farm.yaml");
    world.example = load(&world, EXAMPLE "farm.yaml");

    return 0;
}

static int world_end(void **state)
{
    struct world *world = *state;

    units_free(&world->units);
    arena_free(&world->mem);

    return 0;
}

/* The demo farm's files in a folder of its own, as the generator writes them. */
static const char *generated(struct arena *mem)
{
    char *folder = arena_strdup(mem, BINARY_DIR "/demo-XXXXXX");

    if (!mkdtemp(folder))
        fail_msg("no folder for the generated files");

    pid_t child = fork();
    int status = -1;

    if (child == 0) {
        execl(BINARY_DIR "/make_demo", "make_demo", folder, (char *)NULL);
        _exit(127);
    }
    if (child < 0 || waitpid(child, &status, 0) != child || status != 0)
        fail_msg("make_demo ended with %d", status);

    return folder;
}

static void the_files_are_what_their_generator_writes(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *folder = generated(mem);
    struct err err = ERR_INIT;

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(files); i++) {
        size_t kept = 0;
        size_t made = 0;
        const char *one = read_file(mem, arena_printf(mem, DEMO "%s", files[i].name), &kept);
        const char *other =
            read_file(mem, arena_printf(mem, "%s/%s", folder, files[i].name), &made);

        if (kept != made || memcmp(one, other, kept) != 0)
            fail_msg("%s differs from what make_demo writes", files[i].name);
    }
    assert_true(file_remove_tree(folder, &err));
}

/* The line of that number, without its end. */
static char *line_of(struct arena *mem, const char *text, int line)
{
    for (int i = 1; i < line; i++) {
        text = strchr(text, '\n');
        if (!text)
            return arena_strdup(mem, "");
        text++;
    }

    return arena_strndup(mem, text, strcspn(text, "\r\n"));
}

static void each_trouble_stands_where_the_readme_says(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t length = 0;
    const char *readme = read_file(mem, DEMO "README.md", &length);

    (void)state;
    for (size_t i = 0; i < ARRAY_LEN(troubles); i++) {
        const struct trouble *row = &troubles[i];
        const char *text = read_file(mem, arena_printf(mem, DEMO "%s", row->name), &length);
        const char *line = line_of(mem, text, row->line);

        if (!strstr(line, row->holds))
            fail_msg("%s: %s, line %d: %s", row->reason, row->name, row->line, line);
        if (!strstr(readme, row->name))
            fail_msg("%s: the README has no %s", row->reason, row->name);
    }
}

static void a_duplicate_is_one_to_the_last_byte(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    size_t one = 0;
    size_t other = 0;
    const char *first = read_file(mem, DEMO "lab-2026-02-10.csv", &one);
    const char *again = read_file(mem, DEMO "lab-2026-02-10-again.csv", &other);

    (void)state;
    assert_int_equal(one, other);
    assert_memory_equal(first, again, one);
}

/* --- reading them by the farm file ----------------------------------------------------------- */

struct text_left {
    const char *at;
    size_t left;
};

static bool read_bytes(void *context, void *into, size_t room, size_t *got, struct err *err)
{
    struct text_left *text = context;

    (void)err;
    *got = text->left < room ? text->left : room;
    memcpy(into, text->at, *got);
    text->at += *got;
    text->left -= *got;

    return true;
}

static bool ignore_drafts(void *context, const struct draft *drafts, size_t count, struct err *err)
{
    (void)context;
    (void)drafts;
    (void)count;
    (void)err;

    return true;
}

static bool ignore_series(void *context, const struct draft_series *series, struct err *err)
{
    (void)context;
    (void)series;
    (void)err;

    return true;
}

static bool show_problems(void *context, const struct problem *problems, size_t count,
                          struct err *err)
{
    const char *name = context;

    (void)err;
    for (size_t i = 0; i < count; i++)
        if (!strstr(problems[i].words, "mgl"))
            print_message("%s:%d: %s\n", name, problems[i].line, problems[i].words);

    return true;
}

static struct ingest_counts read_by_source(const struct world *world, struct arena *mem,
                                           const struct farm *farm, const char *folder,
                                           const struct demo_file *file)
{
    const char **stations = ARENA_ARRAY(mem, const char *, farm->stations.count);
    char name[80];
    size_t length = 0;
    const char *text = read_file(mem, arena_printf(mem, "%s%s", folder, file->name), &length);
    struct text_left left = {text, length};
    struct ingest_bytes bytes = {&left, read_bytes};
    struct ingest_sink sink = {name, ignore_drafts, show_problems, ignore_series, NULL, NULL};
    struct ingest_counts counts = {0};
    struct err err = ERR_INIT;

    snprintf(name, sizeof(name), "%s", file->name);
    for (size_t i = 0; i < farm->stations.count; i++)
        stations[i] = farm->stations.items[i].key;

    struct ingest_world ingest = {
        .stations = stations,
        .station_count = farm->stations.count,
        .parameters = &farm->known_parameters,
        .units = world->units,
        .zone = farm->zone,
        .received_at = (instant)day_from_civil(2026, 6, 1) * DAY_US,
    };

    if (!csv_source_read(&farm_find_source(farm, file->source)->source, &ingest, &bytes, &sink,
                         &counts, &err))
        fail_msg("%s: %s (%s)", file->name, err.text, err.hint);

    return counts;
}

static void assert_reads(const struct world *world, const struct farm *farm, const char *folder,
                         const struct demo_file *rows, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        CLEANUP(arena_free) struct arena *mem = arena_new();
        struct ingest_counts counts = read_by_source(world, mem, farm, folder, &rows[i]);

        if (counts.values_in != rows[i].values || counts.drafts != rows[i].drafts ||
            counts.problems != rows[i].problems || counts.blank != rows[i].blank)
            fail_msg("%s: %d values, %d read, %d set aside, %d blank", rows[i].name,
                     (int)counts.values_in, (int)counts.drafts, (int)counts.problems,
                     (int)counts.blank);
    }
}

static void the_farm_file_reads_every_file(void **state)
{
    const struct world *world = *state;

    assert_reads(world, world->farm, DEMO, files, ARRAY_LEN(files));
}

static void the_example_reads_its_files(void **state)
{
    const struct world *world = *state;

    assert_reads(world, world->example, EXAMPLE, example_files, ARRAY_LEN(example_files));
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_files_are_what_their_generator_writes),
        cmocka_unit_test(each_trouble_stands_where_the_readme_says),
        cmocka_unit_test(a_duplicate_is_one_to_the_last_byte),
        cmocka_unit_test(the_farm_file_reads_every_file),
        cmocka_unit_test(the_example_reads_its_files),
    };

    return cmocka_run_group_tests_name("farmfile/demo_files", tests, world_begin, world_end);
}
