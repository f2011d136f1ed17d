#include "app/acts_undone.h"

#include <string.h>

#include "base/str.h"

static bool is_of(const struct correction_view *act, const struct reading_view *reading)
{
    return act->at == reading->at && act->series_id == reading->series_id &&
           act->until == reading->until && act->portion == reading->portion;
}

/* The reading as it was before anybody corrected it or left it out. */
static struct reading_view first_view(const struct reading_view *view)
{
    struct reading_view first = *view;

    first.qualifier = view->first_qualifier;
    first.reported = view->first_reported;
    first.unit = view->first_unit;
    first.unit_length = view->first_unit_length;
    first.left_out = false;
    first.corrected = false;

    return first;
}

static void do_again(const struct correction_view *act, struct reading_view *view)
{
    if (!str_equal(act->kind, "value")) {
        view->left_out = str_equal(act->kind, "left out");
        return;
    }
    view->qualifier = act->qualifier;
    view->reported = act->reported;
    view->unit = act->unit;
    view->unit_length = (int)strlen(act->unit);
    view->corrected = true;
}

void acts_undone_view(const struct acts_undone *undone, const struct reading_view *stored,
                      struct reading_view *out)
{
    struct reading_view view = first_view(stored);
    bool any = false;

    for (size_t i = 0; i < undone->views.count; i++) {
        const struct correction_view *act = &undone->views.items[i];

        if (!is_of(act, stored))
            continue;
        if (undone->view_undone[i])
            any = true;
        else
            do_again(act, &view);
    }
    *out = any ? view : *stored;
}

/* Answers stand in order of receipt, line and column. */
static int place_order(const struct aside_answer *answer, const struct aside_row *row)
{
    if (answer->receipt != row->receipt)
        return answer->receipt < row->receipt ? -1 : 1;
    if (answer->line != row->line)
        return answer->line < row->line ? -1 : 1;

    return (answer->column > row->column) - (answer->column < row->column);
}

bool acts_undone_row(const struct acts_undone *undone, const struct aside_row *row)
{
    size_t from = 0;
    size_t until = undone->answers.count;

    while (from < until) {
        size_t middle = from + (until - from) / 2;
        int order = place_order(&undone->answers.items[middle], row);

        if (order == 0)
            return undone->answer_undone[middle];
        if (order < 0)
            from = middle + 1;
        else
            until = middle;
    }

    return false;
}

static bool probe_undone(const struct acts_undone *undone, int visit, const char *parameter,
                         bool withdrawal)
{
    for (size_t i = 0; undone && i < undone->probe_count; i++) {
        const struct probe_act *act = &undone->probes[i];

        if (act->visit == visit && act->withdrawal == withdrawal &&
            str_equal(act->parameter, parameter))
            return true;
    }

    return false;
}

bool acts_undone_probe(const struct acts_undone *undone, int visit, const char *parameter)
{
    return probe_undone(undone, visit, parameter, false);
}

bool acts_undone_withdrawal(const struct acts_undone *undone, int visit, const char *parameter)
{
    return probe_undone(undone, visit, parameter, true);
}
