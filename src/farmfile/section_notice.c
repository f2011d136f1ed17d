#include "base/str.h"
#include "farmfile/moment.h"
#include "farmfile/section.h"
#include "message/mail.h"

static const char *const by_words[] = {"mail", "webhook", NULL};

/* A finding's kind is stored so: words are for ever, add at the end only. */
const char *const farm_notice_kinds[] = {
    "limit",         "interval",     "discharge",    "pump stop",   "salinity fall",
    "silence",       "quiet folder", "refused file", "calibration", "coarse limit",
    "quality check", "notice",       "person",       NULL};

static const char *const not_older_words[] = {"days", "day", NULL};

static void read_kinds(struct field_reader *reader, const struct field *field,
                       const struct yaml *value, void *into)
{
    unsigned *kinds = into;

    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        int word = value_word(reader, field, value->items[i].value);

        if (word >= 0)
            *kinds |= 1U << word;
    }
    if (value->count == 0)
        field_unfit(reader, field, value, NULL, 0);
}

#define NOTICE(key, need, read, member, expected)                                                  \
    FIELD(key, need, read, struct farm_notice, member, expected)

static const struct field notice_fields[] = {
    {NOTICE("person", FIELD_REQUIRED, name_person, person, "the key of a person")},
    {NOTICE("by", FIELD_REQUIRED, value_choice, by, "how the person is told"), .words = by_words},
    {NOTICE("to", FIELD_REQUIRED, value_text, to,
            "an address, as wren@example.org, or the key of a webhook"),
     .note = "Webhooks and the mail server stand in weirbook.conf, in the data folder."},
    {NOTICE("kinds", FIELD_OPTIONAL, read_kinds, kinds, "a list of kinds of finding"),
     .words = farm_notice_kinds, .note = "Without it: of every kind."},
    {NOTICE("next after", FIELD_OPTIONAL, moment_length, next_after_s,
            "how long this person has to see it before the next one is told, as 30 minutes"),
     .words = moment_length_words, .least = 60, .most = 7 * 86400,
     .note = "Without it the next one in the list is told at the same time."},
    {NOTICE("again after", FIELD_OPTIONAL, moment_length, again_after_s,
            "how long after the last one was told this person is told again, as 1 hour"),
     .words = moment_length_words, .least = 60, .most = 7 * 86400,
     .note = "While nobody has seen it. Of those told again the first one's time counts."},
    {NOTICE("again", FIELD_OPTIONAL, value_count, again, "how many times more, from 1 to 20"),
     .least = 1, .most = 20},
    {NOTICE("not older than", FIELD_OPTIONAL, value_amount, not_older_days,
            "how long ago a finding may have begun, as 7 days"),
     .words = not_older_words, .least = 1, .most = 3660,
     .note = "Without it: of all that is found, though it began years ago."},
};

const struct field_table section_notice_table = {"notice", notice_fields, ARRAY_LEN(notice_fields)};

bool farm_notice_wants(const struct farm_notice *notice, const char *kind)
{
    for (size_t i = 0; farm_notice_kinds[i]; i++)
        if (str_equal(farm_notice_kinds[i], kind))
            return notice->kinds == 0 || (notice->kinds & 1U << i) != 0;

    return notice->kinds == 0;
}

void section_notices(struct field_reader *reader, const struct field *field,
                     const struct yaml *value, void *into)
{
    (void)into;
    if (!field_is_list(reader, field, value))
        return;
    for (size_t i = 0; i < value->count; i++) {
        const struct yaml *node = value->items[i].value;
        struct farm_notice notice = {0};

        if (!field_read_map(reader, &section_notice_table, node, &notice) || !notice.to)
            continue;
        if (notice.by == NOTICE_BY_MAIL && !mail_is_address(notice.to))
            field_problem(reader, yaml_find(node, "to"), NULL,
                          "'%s' can't be `to`: expected one address, as wren@example.org",
                          str_show(reader->mem, notice.to, FARM_KEY_MOST));
        if ((notice.again > 0) != (notice.again_after_s > 0))
            field_problem(reader, node, NULL,
                          "`again` and `again after` go together: expected both or neither");
        LIST_ADD(reader->mem, &reader->farm->notices, notice);
        reader->spellings.count = 0;
    }
}
