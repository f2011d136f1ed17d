#include "judge/limit_reads.h"

#include "base/str.h"

static void add(struct arena *mem, struct limit_read_list *list, struct limit_read read)
{
    if (read.station && read.parameter)
        LIST_ADD(mem, list, read);
}

static void add_flow(struct arena *mem, struct limit_read_list *list, const struct limit_flow *flow)
{
    add(mem, list, (struct limit_read){.station = flow->station, .parameter = flow->parameter});
}

static void add_against(struct arena *mem, struct limit_read_list *list, const struct limit *limit)
{
    const struct limit_against *against = &limit->against;

    if (against->kind == AGAINST_NONE)
        return;
    add(mem, list,
        (struct limit_read){.station = against->place.station,
                            .parameter = limit->parameter,
                            .before_s = against->residence_s + against->within_s,
                            .after_s = against->within_s});
    add_flow(mem, list, &against->flow);
}

struct limit_read_list limit_reads(struct arena *mem, const struct limit *limit)
{
    const struct limit_bound_by *by = &limit->bound_by;
    const struct limit_while *asked = &limit->applies_while;
    struct limit_read_list list = {.count = 0};

    add(mem, &list, (struct limit_read){.station = limit->station, .parameter = limit->parameter});
    for (size_t i = 0; i < limit->added_count; i++) {
        add(mem, &list,
            (struct limit_read){.station = limit->added[i].station, .parameter = limit->parameter});
        if (limit->added_flows)
            add_flow(mem, &list, &limit->added_flows[i]);
    }
    add_flow(mem, &list, &limit->flow);
    add_against(mem, &list, limit);
    for (size_t i = 0; i < by->other_count; i++)
        add(mem, &list,
            (struct limit_read){.station = by->others[i].station,
                                .parameter = by->others[i].parameter,
                                .before_s = by->within_s,
                                .after_s = by->within_s});
    add(mem, &list,
        (struct limit_read){.station = asked->other.station,
                            .parameter = asked->other.parameter,
                            .before_s = asked->within_s});

    return list;
}

bool limit_reads_series(struct arena *mem, const struct limit *limit, const char *station,
                        const char *parameter)
{
    struct limit_read_list list = limit_reads(mem, limit);

    for (size_t i = 0; i < list.count; i++) {
        if (str_equal(list.items[i].station, station) &&
            str_equal(list.items[i].parameter, parameter))
            return true;
    }

    return false;
}
