#include "app/corrections_told.h"

#include "app/moved_inside.h"
#include "base/str.h"

/* Whether a second person agreed to the reading's value later. */
static bool agreed_later(const struct correction_views *views, size_t at)
{
    const struct correction_view *this = &views->items[at];

    for (size_t i = at + 1; i < views->count; i++) {
        const struct correction_view *later = &views->items[i];

        if (later->series_id == this->series_id && later->at == this->at &&
            later->until == this->until && later->portion == this->portion && later->second_person)
            return true;
    }

    return false;
}

static struct report_correction correction_row(const struct open_farm *farm,
                                               const struct correction_view *view, bool inside,
                                               const struct moved_limits *moved)
{
    return (struct report_correction){.station = view->station,
                                      .parameter = view->parameter,
                                      .at = view->at,
                                      .first_value = view->first_value,
                                      .new_value = view->new_value,
                                      .made_at = view->made_at,
                                      .person = farm_person_name(farm->farm, view->person),
                                      .second_person =
                                          farm_person_name(farm->farm, view->second_person),
                                      .reason = view->reason,
                                      .outside_to_inside = inside,
                                      .moved = moved->items,
                                      .moved_count = moved->count};
}

/* What a row set aside held and what became of it. */
static struct report_correction answer_row(const struct open_farm *farm,
                                           const struct aside_answer *answer, bool inside,
                                           const struct moved_limits *moved)
{
    bool left_out = str_equal(answer->answer, "left out");

    return (struct report_correction){
        .station = answer->station,
        .parameter = answer->parameter,
        .at = answer->at,
        .receipt = answer->receipt,
        .line = answer->line,
        .first_value = answer->text,
        .new_value = left_out ? "set aside, then left out" : "set aside, then read again",
        .made_at = answer->answered_at,
        .person = farm_person_name(farm->farm, answer->person),
        .second_person = farm_person_name(farm->farm, answer->second_person),
        .reason = answer->because,
        .outside_to_inside = inside,
        .moved = moved->items,
        .moved_count = moved->count};
}

/* A contradicting row that was accepted is a correction, which is told by itself. */
static bool is_correction(const struct aside_answer *answer)
{
    return str_equal(answer->answer, "accepted") &&
           str_equal(answer->reason, problem_reason_name(PROBLEM_CONTRADICTS_STORED));
}

/* Told apart by who saw them: by one person alone; by a second one too, and so every other act. */
enum acts_of { OF_ONE, OF_ALL, ACTS_OF };

/* The month with acts undone, and what of it they moved. */
struct before {
    struct judged_month month;
    struct moved_things *things;
};

/* What persons did to the month's values, and the month before it. */
struct acts {
    struct correction_views views;
    struct aside_answers answers;
    struct before before[ACTS_OF];
    struct moved_limits *own; /* of each act: what it moved by itself; views first, then answers */
};

/* One of them: a view, or an answer to a row set aside. */
struct act_of {
    const struct correction_view *view; /* NULL: it is an answer */
    const struct aside_answer *answer;
    enum acts_of of;
};

/* Acts that are looked at one by one; of more, all that may have part in a move are named. */
enum { ALONE_MOST = 40 };

static size_t act_count(const struct acts *acts)
{
    return acts->views.count + acts->answers.count;
}

static struct act_of act_at(const struct acts *acts, size_t at)
{
    if (at < acts->views.count) {
        const struct correction_view *view = &acts->views.items[at];
        bool seen = view->second_person || agreed_later(&acts->views, at);

        return (struct act_of){.view = view, .of = seen ? OF_ALL : OF_ONE};
    }

    const struct aside_answer *answer = &acts->answers.items[at - acts->views.count];

    return (struct act_of){.answer = answer, .of = answer->second_person ? OF_ALL : OF_ONE};
}

/* What the act may have moved since `first`, in which it is undone. */
static bool act_moved(struct arena *mem, const struct open_farm *farm,
                      const struct judged_month *now, const struct judged_month *first,
                      const struct act_of *act, struct moved_limits *moved)
{
    return act->view ? moved_by_correction(mem, farm, now, first, act->view, moved)
                     : moved_by_answer(mem, farm, now, first, act->answer, moved);
}

/* The acts of the month, of which none is undone yet. */
static struct acts_undone undone_none(struct arena *mem, const struct acts *acts, bool **views,
                                      bool **answers)
{
    *views = ARENA_ARRAY(mem, bool, acts->views.count);
    *answers = ARENA_ARRAY(mem, bool, acts->answers.count);

    return (struct acts_undone){acts->views, *views, acts->answers, *answers};
}

static bool before_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                         const struct judged_month *month, instant now, enum acts_of of,
                         struct acts *acts, struct err *err)
{
    struct before *before = &acts->before[of];
    bool *views;
    bool *answers;
    struct acts_undone undone = undone_none(mem, acts, &views, &answers);

    for (size_t i = 0; i < act_count(acts); i++)
        *(i < acts->views.count ? &views[i] : &answers[i - acts->views.count]) =
            of == OF_ALL || act_at(acts, i).of == OF_ONE;
    if (!month_judge(tx, mem, farm, month->from, now, &undone, &before->month, err))
        return false;
    before->things = moved_things_of(mem, month, &before->month);

    return true;
}

/* Undo a correction, with those of the same reading that a second person's agreeing took in. */
static void undo_view(const struct acts *acts, size_t at, bool *views)
{
    const struct correction_view *this = &acts->views.items[at];

    for (size_t i = 0; i < at; i++) {
        const struct correction_view *one = &acts->views.items[i];

        views[i] = this->second_person && one->series_id == this->series_id &&
                   one->at == this->at && one->until == this->until &&
                   one->portion == this->portion && !one->second_person;
    }
    views[at] = true;
}

/* Judge the month with one act alone undone: what it moved is explained by it. */
static bool alone_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                        const struct judged_month *month, instant now, struct acts *acts, size_t at,
                        struct err *err)
{
    CLEANUP(arena_free) struct arena *room = arena_new();
    const struct act_of act = act_at(acts, at);
    struct judged_month alone = {0};
    bool *views;
    bool *answers;
    struct acts_undone undone = undone_none(mem, acts, &views, &answers);

    if (act.view)
        undo_view(acts, at, views);
    else
        answers[at - acts->views.count] = true;
    if (!month_judge(tx, room, farm, month->from, now, &undone, &alone, err))
        return false;
    for (enum acts_of of = OF_ONE; of < ACTS_OF; of++)
        moved_things_explain(acts->before[of].things, &alone);
    (void)act_moved(mem, farm, month, &alone, &act, &acts->own[at]);

    return true;
}

static bool own_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                     const struct judged_month *month, instant now, struct acts *acts,
                     struct err *err)
{
    size_t looked_at = 0;

    acts->own = ARENA_ARRAY(mem, struct moved_limits, act_count(acts));
    for (size_t i = 0; i < act_count(acts); i++) {
        const struct act_of act = act_at(acts, i);
        struct moved_limits may = {.count = 0};

        if (!act_moved(mem, farm, month, &acts->before[act.of].month, &act, &may))
            continue;
        if (looked_at++ == ALONE_MOST)
            return true;
        if (!alone_judge(tx, mem, farm, month, now, acts, i, err))
            return false;
    }

    return true;
}

static bool is_among(const struct moved_limits *limits, const char *key)
{
    for (size_t i = 0; i < limits->count; i++) {
        if (str_equal(limits->items[i], key))
            return true;
    }

    return false;
}

/* What the act moved by itself, or may have moved together with others. */
static struct moved_limits moved_of(struct arena *mem, const struct open_farm *farm,
                                    const struct judged_month *month, const struct acts *acts,
                                    size_t at)
{
    const struct act_of act = act_at(acts, at);
    const struct before *before = &acts->before[act.of];
    struct moved_limits may = {.count = 0};
    struct moved_limits moved = {.count = 0};

    if (act.view ? agreed_later(&acts->views, at) : is_correction(act.answer))
        return moved;
    if (!act_moved(mem, farm, month, &before->month, &act, &may))
        return moved;
    for (size_t i = 0; i < may.count; i++) {
        if (is_among(&acts->own[at], may.items[i]) ||
            !moved_things_explained(before->things, may.items[i]))
            LIST_ADD(mem, &moved, may.items[i]);
    }

    return moved;
}

static void acts_list(struct arena *mem, const struct open_farm *farm,
                      const struct judged_month *month, const struct acts *acts,
                      struct discharge_month *into)
{
    struct report_correction *list = ARENA_ARRAY(mem, struct report_correction, act_count(acts));

    for (size_t i = 0; i < act_count(acts); i++) {
        const struct act_of act = act_at(acts, i);
        struct moved_limits moved = moved_of(mem, farm, month, acts, i);
        bool inside = moved.count > 0;

        if (act.view)
            list[into->correction_count++] = correction_row(farm, act.view, inside, &moved);
        /* Rows that were read again are readings now; they are told where they moved something. */
        else if (inside || str_equal(act.answer->answer, "left out"))
            list[into->correction_count++] = answer_row(farm, act.answer, inside, &moved);
    }
    into->corrections = list;
}

bool corrections_told(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                      const struct judged_month *month, instant now, struct discharge_month *into,
                      struct err *err)
{
    struct acts acts = {0};

    if (!correction_store_between(tx, mem, month->loaded.from_at, month->loaded.until_at,
                                  &acts.views, err) ||
        !aside_store_answered(tx, mem, month->loaded.from_at, month->loaded.until_at, &acts.answers,
                              err))
        return false;
    if (act_count(&acts) == 0)
        return true;
    for (enum acts_of of = OF_ONE; of < ACTS_OF; of++) {
        if (!before_judge(tx, mem, farm, month, now, of, &acts, err))
            return false;
    }
    if (!own_find(tx, mem, farm, month, now, &acts, err))
        return false;
    acts_list(mem, farm, month, &acts, into);

    return true;
}

bool corrections_told_of(struct db *db, struct arena *mem, const struct open_farm *farm,
                         const struct judged_month *month, instant now,
                         struct discharge_month *into, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           corrections_told(&tx, mem, farm, month, now, into, err);
}
