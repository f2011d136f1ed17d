#include "judge/show_water.h"

#include "judge/volume.h"
#include "judge/water.h"

/* Of so many rows the water with each by itself is worked out. */
enum { ROWS_MOST = 64 };

static bool holds_row(const struct water *water, size_t row)
{
    for (size_t i = 0; water && i < water->count; i++)
        if (water->items[i].row == row && (!water->is_sure || water->used[i]))
            return true;
    for (size_t i = 0; water && i < water->timeless.count; i++)
        if (water->timeless.items[i].row == row)
            return true;

    return false;
}

/* Whether a pass went by the row at any place. */
static bool goes_by(const struct judgement *judgement, enum pass pass, size_t row)
{
    for (size_t i = 0; i < judgement->place_count; i++)
        if (holds_row(judgement->places[i].water[water_of_pass(judgement, pass, i)], row))
            return true;

    return false;
}

/* How far the water of a day moves; one that is not known is moved most by making it known. */
static const struct exact *moved_by(struct arena *mem, const struct day_volume *without,
                                    const struct day_volume *with)
{
    if (!without->m3 || !with->m3)
        return exact_from_int(mem, without->m3 ? 0 : -1);

    const struct exact *by = exact_sub(mem, with->m3, without->m3);

    return exact_sign(by) < 0 ? exact_sub(mem, exact_from_int(mem, 0), by) : by;
}

static void note_day(const struct judgement *judgement, const struct judged_place *place,
                     const struct day_volume *with, size_t day, struct verdict_aside *aside)
{
    const struct exact *m3 = with[day].m3;
    bool first = aside->day == DAY_NONE;

    aside->day = judgement->days[day].day;
    aside->without = place->volumes[WATER_SOUND][day].m3;
    if (!m3)
        return;
    if (first || !aside->with_least || exact_compare(m3, aside->with_least) < 0)
        aside->with_least = m3;
    if (first || !aside->with_most || exact_compare(m3, aside->with_most) > 0)
        aside->with_most = m3;
}

/* The judged day that moves most; NO_INDEX: none does. */
static int day_moved(const struct judgement *judgement, const struct day_volume *without,
                     const struct day_volume *with)
{
    const struct exact *most = NULL;
    int day = NO_INDEX;

    for (size_t i = judgement->first_asked; i < judgement->after_asked; i++) {
        if (!with[i].m3 && !without[i].m3)
            continue;

        const struct exact *by = moved_by(judgement->mem, &without[i], &with[i]);

        if (exact_sign(by) == 0 || (most && exact_sign(by) > 0 && exact_compare(by, most) <= 0))
            continue;
        most = by;
        day = (int)i;
        if (exact_sign(by) < 0)
            break;
    }

    return day;
}

/* The water with the row beside what is sound: once for each unit that it may have. */
static void add_moved(const struct judgement *judgement, const struct judged_place *place,
                      const struct water *all, size_t row, struct verdict_aside *aside)
{
    int day = NO_INDEX;

    for (size_t i = 0; i < all->count; i++) {
        struct water with = *all;

        if (all->items[i].row != row)
            continue;
        with.items = NULL;
        with.count = with.capacity = 0;
        for (size_t k = 0; k < all->count; k++) {
            const struct water_reading *one = &all->items[k];
            bool replaced = one->reading->at == all->items[i].reading->at;

            if (k == i || (!one->in_doubt && !replaced))
                LIST_ADD(judgement->mem, &with, *one);
        }

        const struct day_volume *volumes = volume_of_days(judgement, &with, WATER_ALL);

        if (day == NO_INDEX)
            day = day_moved(judgement, place->volumes[WATER_SOUND], volumes);
        if (day != NO_INDEX)
            note_day(judgement, place, volumes, (size_t)day, aside);
    }
}

void show_water_asides(const struct judgement *judgement, const struct ruling *ruling,
                       struct verdict *verdict)
{
    bool brief = judgement->in_brief || verdict->set_aside > ROWS_MOST;

    for (size_t i = 0; i < verdict->set_aside; i++) {
        struct verdict_aside *aside = &verdict->asides[i];

        aside->day = DAY_NONE;
        for (size_t k = 0; k < judgement->place_count; k++) {
            const struct judged_place *place = &judgement->places[k];

            if (!place->all_water ||
                !water_may_be(judgement, &judgement->evidence->set_aside[aside->row]))
                continue;
            aside->of_water = true;
            if (!brief && aside->day == DAY_NONE)
                add_moved(judgement, place, place->all_water, aside->row, aside);
        }
        if (!aside->of_water)
            continue;
        aside->counted = aside->counted || goes_by(judgement, ruling->shown, aside->row);
        aside->decided = aside->decided || (ruling->rests_on != PASS_WITHOUT &&
                                            goes_by(judgement, ruling->rests_on, aside->row));
    }
}
