/*
 * A sound farm file with one more section behind it, and a way to spoil one thing in that section.
 */
#ifndef TESTS_FARMFILE_SECTION_GIVEN_H
#define TESTS_FARMFILE_SECTION_GIVEN_H

#include "sound.h"

/* `sound` and the section, with `put` in place of what is found first in the section. */
static char *section_given(struct arena *mem, const char *section, const char *find,
                           const char *put)
{
    const char *at = strstr(section, find);

    if (!at)
        fail_msg("'%s' is not in the text", find);

    return arena_printf(mem, "%s%.*s%s%s", sound, (int)(at - section), section, put,
                        at + strlen(find));
}

/* The farm that both make. */
static const struct farm *section_farm(struct arena *mem, const char *section)
{
    const char *text = arena_printf(mem, "%s%s", sound, section);
    struct farmfile_problems problems = {0};
    const struct farm *farm = NULL;
    struct err err = ERR_INIT;

    if (!farmfile_read(mem, text, strlen(text), units, &farm, &problems, &err))
        fail_msg("%s", err.text);

    return farm;
}

#endif
