#include "app/doubt_meeting.h"

#include <stdlib.h>

#include "app/quality_checks.h"
#include "base/str.h"
#include "store/flag_store.h"

/* What tests say, after the marks. */
static bool flags_add(struct db_tx *tx, struct arena *mem, instant first, instant until,
                      struct doubt_marks *marks, struct err *err)
{
    struct flag_marks flags = {.count = 0};

    if (!flag_store_meeting(tx, mem, first, until, &flags, err))
        return false;
    if (flags.count == 0)
        return true;

    struct doubt_marks all = {ARENA_ARRAY(mem, struct doubt_mark, marks->count + flags.count),
                              marks->count + flags.count};

    for (size_t i = 0; i < marks->count; i++)
        all.items[i] = marks->items[i];
    for (size_t i = 0; i < flags.count; i++) {
        const struct flag_mark *flag = &flags.items[i];

        all.items[marks->count + i] = (struct doubt_mark){
            .series_id = flag->series_id,
            .from = flag->from,
            .until = flag->until,
            .kind = "sensor test",
            .words = arena_printf(mem, "%s, %s: %s", flag->test,
                                  flag->flag == FLAG_FAIL ? "fail" : "suspect", flag->words)};
    }
    *marks = all;

    return true;
}

bool doubt_meeting(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                   const struct acts_undone *undone, instant first, instant until,
                   struct doubt_marks *out, struct probe_book *book, struct err *err)
{
    struct doubt_marks marks = {.count = 0};

    if (!doubt_store_meeting(tx, mem, first, until, &marks, err) ||
        !flags_add(tx, mem, first, until, &marks, err) ||
        !quality_checks_doubt(tx, mem, farm, first, until, &marks, err) ||
        !probe_book_load_undone(tx, mem, farm, undone, book, err) ||
        !probe_book_doubts(tx, book, first, until, &marks, err))
        return false;
    *out = marks;

    return true;
}

/* By series and time; alike in both, in the order of the list, which is one array. */
static int mark_order(const void *a, const void *b)
{
    const struct doubt_mark *left = *(const struct doubt_mark *const *)a;
    const struct doubt_mark *right = *(const struct doubt_mark *const *)b;

    if (left->series_id != right->series_id)
        return left->series_id < right->series_id ? -1 : 1;
    if (left->from != right->from)
        return left->from < right->from ? -1 : 1;

    return (left > right) - (left < right);
}

struct doubt_index doubt_index_of(struct arena *mem, const struct doubt_marks *marks)
{
    struct doubt_index index = {
        .samples = ARENA_ARRAY(mem, const struct doubt_mark *, marks->count),
        .spans = ARENA_ARRAY(mem, const struct doubt_mark *, marks->count),
        .latest = ARENA_ARRAY(mem, instant, marks->count),
    };

    for (size_t i = 0; i < marks->count; i++) {
        if (marks->items[i].sample)
            index.samples[index.sample_count++] = &marks->items[i];
        else
            index.spans[index.span_count++] = &marks->items[i];
    }
    if (index.span_count > 1)
        qsort(index.spans, index.span_count, sizeof(const struct doubt_mark *), mark_order);
    for (size_t i = 0; i < index.span_count; i++) {
        bool goes_on = i > 0 && index.spans[i - 1]->series_id == index.spans[i]->series_id;

        index.latest[i] = goes_on && index.latest[i - 1] > index.spans[i]->until
                              ? index.latest[i - 1]
                              : index.spans[i]->until;
    }

    return index;
}

/* How many spans are of a series before this one, or of it and begin no later than `until`. */
static size_t spans_up_to(const struct doubt_index *index, int64_t series_id, instant until)
{
    size_t low = 0;
    size_t high = index->span_count;

    while (low < high) {
        size_t middle = low + (high - low) / 2;
        const struct doubt_mark *mark = index->spans[middle];

        if (mark->series_id < series_id || (mark->series_id == series_id && mark->from <= until))
            low = middle + 1;
        else
            high = middle;
    }

    return low;
}

const struct doubt_mark *doubt_index_find(const struct doubt_index *index, int64_t series_id,
                                          instant at, instant until, const char *sample)
{
    const struct doubt_mark *found = NULL;

    for (size_t i = 0; sample && !found && i < index->sample_count; i++)
        if (str_equal(index->samples[i]->sample, sample))
            found = index->samples[i];
    for (size_t i = spans_up_to(index, series_id, until);
         i > 0 && index->spans[i - 1]->series_id == series_id && index->latest[i - 1] >= at; i--) {
        const struct doubt_mark *mark = index->spans[i - 1];

        if (mark->until >= at && (!found || mark < found))
            found = mark;
    }

    return found;
}
