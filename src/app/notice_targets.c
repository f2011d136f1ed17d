#include "app/notice_targets.h"

#include "base/str.h"

static bool has_webhook(const struct machine_settings *settings, const char *key)
{
    for (size_t i = 0; i < settings->webhooks.count; i++)
        if (str_equal(settings->webhooks.items[i].key, key))
            return true;

    return false;
}

static void note_add(struct arena *mem, struct target_notes *notes, const char *note)
{
    for (size_t i = 0; i < notes->count; i++)
        if (str_equal(notes->items[i], note))
            return;
    LIST_ADD(mem, notes, note);
}

struct target_notes notice_targets_missing(struct arena *mem, const struct farm *farm,
                                           const struct machine_settings *settings)
{
    struct target_notes notes = {0};

    for (size_t i = 0; i < farm->notices.count; i++) {
        const struct farm_notice *notice = &farm->notices.items[i];
        const char *name = farm_person_name(farm, notice->person);

        if (notice->by == NOTICE_BY_WEBHOOK && !has_webhook(settings, notice->to))
            note_add(mem, &notes,
                     arena_printf(mem,
                                  "%s is to be told by the webhook '%s', and " SETTINGS_FILE
                                  " has none of that key: nothing can be sent there yet.",
                                  name, notice->to));
        if (notice->by == NOTICE_BY_MAIL && !settings->mail.server)
            note_add(mem, &notes,
                     arena_printf(mem,
                                  "%s is to be told by mail, and " SETTINGS_FILE
                                  " names no mail server: nothing can be sent yet.",
                                  name));
    }

    return notes;
}

struct target_notes notice_targets_missing_in(struct arena *mem, const struct farm *farm,
                                              const char *folder)
{
    const struct machine_settings *settings = NULL;
    struct farmfile_problems problems = {0};
    struct target_notes notes = {0};
    struct err err = ERR_INIT;

    if (farm->notices.count == 0)
        return notes;
    if (settings_load(mem, folder, farm, &settings, &problems, &err))
        return notice_targets_missing(mem, farm, settings);
    note_add(mem, &notes,
             arena_printf(mem, "Whether notices can be sent is not known: %s", err.text));

    return notes;
}
