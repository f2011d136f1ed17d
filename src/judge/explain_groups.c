/* Readings of a long series that are told for one and the same reason: together, in one line. */
#include "base/str.h"
#include "judge/explain_parts.h"

/* So many readings for one reason still have a line each. */
enum { EACH_MOST = 8 };

struct reading_group {
    const struct verdict_item *item; /* the first: the others are as it is */
    bool together;                   /* they were told in one line */
};

struct reading_groups {
    struct reading_group *items;
    size_t count;
    size_t capacity;
};

static const struct evidence_reading *reading_of(const struct writer *writer,
                                                 const struct verdict_item *item)
{
    return &writer->evidence->series[item->series].readings[item->reading];
}

/* Whether something is to be told of it that is its own. */
static bool is_single(const struct writer *writer, const struct verdict_item *item)
{
    const struct evidence_reading *reading = reading_of(writer, item);

    return item->decided || (reading->corrected && !reading->corrected_by) || reading->beside ||
           item->has_beside;
}

static bool is_alike(const struct writer *writer, const struct verdict_item *a,
                     const struct verdict_item *b)
{
    return a->series == b->series && a->outside == b->outside && a->counted == b->counted &&
           str_equal(a->doubt, b->doubt) && str_equal(a->why_not, b->why_not) &&
           !is_single(writer, b);
}

/* All that are as one is, from its first to its last. */
struct group_span {
    size_t count;
    const struct verdict_item *last;
    const struct verdict_item *lowest; /* NULL: none has a number */
    const struct verdict_item *highest;
};

static struct group_span span_of(const struct writer *writer, const struct verdict_item *first)
{
    const struct verdict *verdict = writer->verdict;
    struct group_span span = {.last = first};

    for (const struct verdict_item *item = first; item < verdict->items + verdict->item_count;
         item++) {
        if (!is_alike(writer, first, item))
            continue;
        span.count++;
        span.last = item;
        if (!item->value)
            continue;
        if (!span.lowest || exact_compare(item->value, span.lowest->value) < 0)
            span.lowest = item;
        if (!span.highest || exact_compare(item->value, span.highest->value) > 0)
            span.highest = item;
    }

    return span;
}

static void say_together(struct writer *writer, const struct verdict_item *first,
                         const struct group_span *span)
{
    struct arena *mem = writer->mem;
    const struct zone *zone = writer->evidence->zone;
    struct buf text = buf_new(mem);

    buf_addf(&text, "  %zu readings from %s to %s", span->count,
             zone_text(mem, zone, reading_of(writer, first)->at),
             zone_text(mem, zone, reading_of(writer, span->last)->at));
    if (span->lowest)
        buf_addf(&text, ", lowest %s, highest %s",
                 writer_reported(writer, reading_of(writer, span->lowest)),
                 writer_reported(writer, reading_of(writer, span->highest)));
    if (first->outside)
        buf_add_text(&text, ", each beyond the bound");
    if (!first->counted)
        buf_addf(&text, ", not counted (%s)", first->why_not ? first->why_not : "no reason");
    else if (first->doubt)
        buf_addf(&text, ", counted, though in doubt (%s)", first->doubt);
    writer_say(writer, text.data);
}

bool explain_together(struct writer *writer, struct reading_groups **groups,
                      const struct verdict_item *item)
{
    if (is_single(writer, item))
        return false;
    if (!*groups)
        *groups = ARENA_NEW(writer->mem, struct reading_groups);
    for (size_t i = 0; i < (*groups)->count; i++)
        if (is_alike(writer, (*groups)->items[i].item, item))
            return (*groups)->items[i].together;

    struct group_span span = span_of(writer, item);
    bool together = span.count > EACH_MOST;

    LIST_ADD(writer->mem, *groups, ((struct reading_group){.item = item, .together = together}));
    if (together)
        say_together(writer, item, &span);

    return together;
}
