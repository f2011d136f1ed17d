#include "app/notice_queue.h"

#include "app/notice_words.h"
#include "base/buf.h"
#include "store/notice_store.h"

static const char *const told_by[] = {[NOTICE_BY_MAIL] = "mail", [NOTICE_BY_WEBHOOK] = "webhook"};

struct told {
    struct farm_notice notice;
    int round;
};

struct told_list {
    struct told *items;
    size_t count;
    size_t capacity;
};

/* Whether the person is told of such findings today. */
static bool is_told(const struct farm *farm, const struct farm_notice *notice,
                    const struct finding_row *finding, day_number today)
{
    const struct farm_person *person = farm_find_person(farm, notice->person);
    bool here =
        person && today >= person->since && (person->until == DAY_NONE || today <= person->until);
    bool news = notice->not_older_days == 0 || finding->from >= today - notice->not_older_days;

    return here && news && farm_notice_wants(notice, finding->kind);
}

/* Those who are told of it, in order: all, then round by round those who are told again. */
static struct told_list told_of(struct arena *mem, const struct farm *farm,
                                const struct finding_row *finding, instant now)
{
    struct told_list list = {0};
    day_number today = zone_day(farm->zone, now);
    bool any = true;

    for (int round = 1; any; round++) {
        any = false;
        for (size_t i = 0; i < farm->notices.count; i++) {
            const struct farm_notice *notice = &farm->notices.items[i];

            if (notice->again + 1 < round || !is_told(farm, notice, finding, today))
                continue;
            /* Whoever is last in a round leaves so much time before the next. */
            if (!any && list.count > 0)
                list.items[list.count - 1].notice.next_after_s = notice->again_after_s;
            LIST_ADD(mem, &list, ((struct told){*notice, round}));
            any = true;
        }
    }

    return list;
}

static const char *people_text(struct arena *mem, const struct told_list *list)
{
    struct buf text = buf_new(mem);

    for (size_t i = 0; i < list->count; i++)
        buf_addf(&text, "%s%s", i ? " " : "", list->items[i].notice.person);

    return text.data;
}

static bool notices_add(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                        const struct finding_row *finding, const struct told_list *list,
                        int opening, instant now, struct err *err)
{
    bool at_once = true; /* the first, and whoever follows one without minutes of his own */
    int number = 0;

    if (!notice_store_next(tx, &number, err))
        return false;
    for (size_t i = 0; i < list->count; i++) {
        const struct farm_notice *notice = &list->items[i].notice;
        const char *next = i + 1 < list->count ? list->items[i + 1].notice.person : NULL;
        struct notice_words words = notice_words(mem, farm, finding, number + (int)i,
                                                 notice->person, next, notice->next_after_s);
        struct notice_row row = {.notice = number + (int)i,
                                 .finding = finding_id_of(finding),
                                 .opening = opening,
                                 .nth = (int)i + 1,
                                 .round = list->items[i].round,
                                 .person = notice->person,
                                 .told_by = told_by[notice->by],
                                 .address = notice->to,
                                 .next_after_s = notice->next_after_s,
                                 .subject = words.subject,
                                 .words = words.text,
                                 .queued_at = now};

        if (!notice_store_add(tx, &row, at_once ? now : INSTANT_NONE, err))
            return err_wrap(err, "notice");
        at_once = at_once && notice->next_after_s == 0;
    }

    return true;
}

bool notices_queue(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                   const struct finding_row *finding, instant now, struct err *err)
{
    struct told_list list = told_of(mem, farm, finding, now);
    struct notice_unsent unsent = {0};
    int opening = 0;

    if (list.count == 0)
        return true;
    if (!notice_store_opening(tx, finding_id_of(finding), &opening, err) ||
        !notice_store_unsent(tx, finding->kind, people_text(mem, &list), &unsent, err))
        return false;
    if (unsent.waiting >= NOTICES_APART_MOST && unsent.finding != 0 &&
        unsent.finding != finding_id_of(finding))
        return notice_store_part_add(tx, &unsent, finding_id_of(finding), opening, err);

    return notices_add(tx, mem, farm, finding, &list, opening, now, err);
}
