/*
 * Every file of a corpus as a test of its own: given to the same entry as libFuzzer's inputs, and
 * with it all that a cut copy may leave of it. What the entry finds ends the program.
 *
 *     FUZZ_CORPUS    the folder, given by the build
 *     FUZZ_NAME      of the group of tests
 */
#include <dirent.h>
#include <string.h>
#include <sys/resource.h>
#include <time.h>

#include "base/file.h"
#include "fuzz.h"
#include "harness/cmocka.h"

enum {
    INPUT_MOST = 1024 * 1024,
    CUT_MOST = 400,    /* bytes of a file that is cut at each of its places */
    SECONDS_MOST = 20, /* of the processor, sanitizers and all, for a file and its cut copies */
    MEMORY_MOST_KB = 1024 * 1024,
};

/* Sanitizers keep what was freed: little of it, so that memory can be looked at. */
const char *__asan_default_options(void);
const char *__asan_default_options(void)
{
    return "quarantine_size_mb=16";
}

static void file_holds(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    clock_t began = clock();
    struct err err = ERR_INIT;
    struct rusage usage;
    char *bytes = NULL;
    size_t size = 0;

    assert_done(file_read(mem, *state, INPUT_MOST, &bytes, &size, &err), &err);
    LLVMFuzzerTestOneInput((const uint8_t *)bytes, size);
    for (size_t cut = size <= CUT_MOST ? 0 : size; cut < size; cut++) {
        /* A copy of its own, so that reading past its end is seen. */
        uint8_t *copy = malloc(cut + 1);

        assert_non_null(copy);
        memcpy(copy, bytes, cut);
        LLVMFuzzerTestOneInput(copy, cut);
        free(copy);
    }
    assert_true((clock() - began) / CLOCKS_PER_SEC < SECONDS_MOST);
    assert_int_equal(getrusage(RUSAGE_SELF, &usage), 0);
    assert_true(usage.ru_maxrss < MEMORY_MOST_KB);
}

int main(void)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    struct {
        struct CMUnitTest *items;
        size_t count;
        size_t capacity;
    } tests = {0};
    DIR *folder = opendir(FUZZ_CORPUS);

    if (!folder) {
        perror(FUZZ_CORPUS);
        return 1;
    }
    for (struct dirent *entry = readdir(folder); entry; entry = readdir(folder)) {
        if (entry->d_name[0] == '.')
            continue;
        LIST_ADD(mem, &tests,
                 ((struct CMUnitTest){.name = arena_strdup(mem, entry->d_name),
                                      .test_func = file_holds,
                                      .initial_state =
                                          arena_printf(mem, "%s/%s", FUZZ_CORPUS, entry->d_name)}));
    }
    closedir(folder);

    return _cmocka_run_group_tests(FUZZ_NAME, tests.items, tests.count, NULL, NULL);
}
