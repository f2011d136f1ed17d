/* What a source may say, beside the rows of test_farmfile.c. */

#include "sound.h"

static void an_ambiguous_word_may_be_made_a_unit(void **state)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *text =
        replaced(mem, "    kind: probe",
                 "    kind: probe\n    unit words: {gal: L, ppm: mg/L, MG/L: mg/L, C: degF}");
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    (void)state;
    if (!farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
        fail_msg("%s", err.text);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(an_ambiguous_word_may_be_made_a_unit),
    };

    return cmocka_run_group_tests_name("farmfile/source_part", tests, load_units, free_units);
}
