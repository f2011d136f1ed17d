#include "app/notice_queue.h"

#include "app/notice_words.h"
#include "store/notice_store.h"

static const char *const told_by[] = {[NOTICE_BY_MAIL] = "mail", [NOTICE_BY_WEBHOOK] = "webhook"};

struct told_list {
    struct farm_notice *items;
    size_t count;
    size_t capacity;
};

/* Those who are told of it, in order. */
static struct told_list told_of(struct arena *mem, const struct farm *farm,
                                const struct finding_row *finding, instant now)
{
    struct told_list list = {0};
    day_number today = zone_day(farm->zone, now);

    for (size_t i = 0; i < farm->notices.count; i++) {
        const struct farm_notice *notice = &farm->notices.items[i];
        const struct farm_person *person = farm_find_person(farm, notice->person);
        bool here = person && today >= person->since &&
                    (person->until == DAY_NONE || today <= person->until);
        bool news = notice->not_older_days == 0 || finding->from >= today - notice->not_older_days;

        if (here && news && farm_notice_wants(notice, finding->kind))
            LIST_ADD(mem, &list, *notice);
    }

    return list;
}

bool notices_queue(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                   const struct finding_row *finding, instant now, struct err *err)
{
    struct told_list list = told_of(mem, farm, finding, now);
    int64_t id = finding_id_of(finding);
    bool at_once = true; /* the first, and whoever follows one without minutes of his own */
    int opening = 0;
    int number = 0;

    if (list.count == 0)
        return true;
    if (!notice_store_opening(tx, id, &opening, err) || !notice_store_next(tx, &number, err))
        return false;
    for (size_t i = 0; i < list.count; i++) {
        const struct farm_notice *notice = &list.items[i];
        const char *next = i + 1 < list.count ? list.items[i + 1].person : NULL;
        struct notice_words words = notice_words(mem, farm, finding, number + (int)i,
                                                 notice->person, next, notice->next_after_s);
        struct notice_row row = {.notice = number + (int)i,
                                 .finding = id,
                                 .opening = opening,
                                 .nth = (int)i + 1,
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
