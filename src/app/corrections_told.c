#include "app/corrections_told.h"

#include "app/moved_inside.h"
#include "app/probe_told.h"
#include "base/str.h"
#include "ingest/place.h"

static bool is_same_reading(const struct correction_view *a, const struct correction_view *b)
{
    return a->series_id == b->series_id && a->at == b->at && a->until == b->until &&
           a->portion == b->portion;
}

/* Whether a second person agreed to the reading's value later. */
static bool agreed_later(const struct correction_views *views, size_t at)
{
    for (size_t i = at + 1; i < views->count; i++) {
        if (views->items[i].second_person && is_same_reading(&views->items[i], &views->items[at]))
            return true;
    }

    return false;
}

/* The reading as it stood before the act: as first stored, or as one before made it. */
static const char *value_before(const struct correction_views *views, size_t at)
{
    const struct correction_view *this = &views->items[at];
    const char *value = this->first_value;

    for (size_t i = 0; i < at; i++) {
        if (str_equal(views->items[i].kind, "value") && is_same_reading(&views->items[i], this))
            value = views->items[i].new_value;
    }

    return value;
}

/* "weirbook correct", or what else it was, again with --second. */
static const char *correction_agree(const char *kind)
{
    if (str_equal(kind, "value"))
        return "the same `weirbook correct` again with --second PERSON";

    return str_equal(kind, "left out") ? "the same `weirbook leave-out` again with --second PERSON"
                                       : "the same `weirbook put-back` again with --second PERSON";
}

static struct report_correction correction_row(const struct open_farm *farm,
                                               const struct correction_views *views, size_t at)
{
    const struct correction_view *view = &views->items[at];

    return (struct report_correction){.station = view->station,
                                      .parameter = view->parameter,
                                      .at = view->at,
                                      .first_value = view->first_value,
                                      .value_before = value_before(views, at),
                                      .new_value = view->new_value,
                                      .made_at = view->made_at,
                                      .person = farm_person_name(farm->farm, view->person),
                                      .second_person =
                                          farm_person_name(farm->farm, view->second_person),
                                      .reason = view->reason,
                                      .agree = correction_agree(view->kind)};
}

/* "set aside, then typed as value 31, unit mg/L" */
static const char *answer_done(struct arena *mem, const struct aside_answer *answer)
{
    if (str_equal(answer->answer, "left out"))
        return "set aside, then left out";

    return answer->typed ? arena_printf(mem, "set aside, then typed as %s", answer->typed)
                         : "set aside, then read again";
}

/* "weirbook aside seen lab.csv 14 --by PERSON"; of a workbook 'Results!14'. */
static const char *answer_agree(struct arena *mem, const struct aside_answer *answer)
{
    const char *line =
        answer->sheet ? arena_printf(mem, "'%s!%d'", answer->sheet, (int)place_row(answer->line))
                      : arena_printf(mem, "%d", (int)answer->line);

    return arena_printf(mem, "weirbook aside seen %s %s --by PERSON", answer->file_name, line);
}

/* What a row set aside held and what became of it. */
static struct report_correction answer_row(struct arena *mem, const struct open_farm *farm,
                                           const struct aside_answer *answer)
{
    return (struct report_correction){.station = answer->station,
                                      .parameter = answer->parameter,
                                      .at = answer->at,
                                      .receipt = answer->receipt,
                                      .line = answer->line,
                                      .first_value = answer->text,
                                      .value_before = answer->text,
                                      .new_value = answer_done(mem, answer),
                                      .made_at = answer->answered_at,
                                      .person = farm_person_name(farm->farm, answer->person),
                                      .second_person =
                                          farm_person_name(farm->farm, answer->second_person),
                                      .reason = answer->because,
                                      .agree = answer_agree(mem, answer)};
}

/* What became of readings by a visit to their probe. */
static struct report_correction probe_row(const struct open_farm *farm,
                                          const struct probe_told *probe)
{
    return (struct report_correction){.station = probe->station,
                                      .parameter = probe->act.parameter,
                                      .at = probe->after,
                                      .first_value = probe->what,
                                      .value_before = probe->what,
                                      .new_value = probe->done,
                                      .made_at = probe->made_at,
                                      .person = farm_person_name(farm->farm, probe->person),
                                      .second_person =
                                          farm_person_name(farm->farm, probe->second_person),
                                      .reason = probe->reason,
                                      .agree = probe->agree};
}

/* Keys of the limits it took from outside to inside, or from not assessable to within. */
static const char *const *keys_of(struct arena *mem, const struct moved_limits *moved,
                                  bool was_open, size_t *count)
{
    const char **keys = ARENA_ARRAY(mem, const char *, moved->count);

    *count = 0;
    for (size_t i = 0; i < moved->count; i++)
        if (moved->items[i].was_open == was_open)
            keys[(*count)++] = moved->items[i].key;

    return keys;
}

static void row_add(struct arena *mem, struct report_correction *list, size_t *count,
                    struct report_correction row, const struct moved_limits *moved)
{
    row.moved = keys_of(mem, moved, false, &row.moved_count);
    row.outside_to_inside = row.moved_count > 0;
    row.cleared = keys_of(mem, moved, true, &row.cleared_count);
    list[(*count)++] = row;
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
    struct probe_tolds probes;
    struct before before[ACTS_OF];
    /* Of each act: what it moved by itself; views first, then answers, then probes. */
    struct moved_limits *own;
};

/* One of them: a view, an answer to a row set aside, or what became of a probe's readings. */
struct act_of {
    const struct correction_view *view;
    const struct aside_answer *answer;
    const struct probe_told *probe;
    enum acts_of of;
};

/* Acts that are looked at one by one; of more, all that may have part in a move are named. */
enum { ALONE_MOST = 40 };

static size_t act_count(const struct acts *acts)
{
    return acts->views.count + acts->answers.count + acts->probes.count;
}

static struct act_of act_at(const struct acts *acts, size_t at)
{
    if (at < acts->views.count) {
        const struct correction_view *view = &acts->views.items[at];
        bool seen = view->second_person || agreed_later(&acts->views, at);

        return (struct act_of){.view = view, .of = seen ? OF_ALL : OF_ONE};
    }

    at -= acts->views.count;
    if (at < acts->answers.count) {
        const struct aside_answer *answer = &acts->answers.items[at];

        return (struct act_of){.answer = answer, .of = answer->second_person ? OF_ALL : OF_ONE};
    }

    const struct probe_told *probe = &acts->probes.items[at - acts->answers.count];

    return (struct act_of){.probe = probe, .of = probe->second_person ? OF_ALL : OF_ONE};
}

/* What the act may have moved since `first`, in which it is undone. */
static bool act_moved(struct arena *mem, const struct open_farm *farm,
                      const struct judged_month *now, const struct judged_month *first,
                      const struct act_of *act, struct moved_limits *moved)
{
    if (act->view)
        return moved_by_correction(mem, farm, now, first, act->view, moved);
    if (act->answer)
        return moved_by_answer(mem, farm, now, first, act->answer, moved);

    const struct correction_view place = {.station = act->probe->station,
                                          .parameter = act->probe->act.parameter};

    return moved_by_probe(mem, farm, now, first, &place, act->probe->after, act->probe->until,
                          act->probe->act.withdrawal, moved);
}

/* The acts of the month, and which of them are undone. */
struct undoing {
    struct acts_undone undone;
    bool *views;
    bool *answers;
    struct probe_act *probes;
};

static struct undoing undone_none(struct arena *mem, const struct acts *acts)
{
    struct undoing undoing = {.views = ARENA_ARRAY(mem, bool, acts->views.count),
                              .answers = ARENA_ARRAY(mem, bool, acts->answers.count),
                              .probes = ARENA_ARRAY(mem, struct probe_act, acts->probes.count)};

    undoing.undone = (struct acts_undone){.views = acts->views,
                                          .view_undone = undoing.views,
                                          .answers = acts->answers,
                                          .answer_undone = undoing.answers,
                                          .probes = undoing.probes};

    return undoing;
}

static void act_undo(struct undoing *undoing, const struct acts *acts, size_t at)
{
    const struct act_of act = act_at(acts, at);

    if (act.view)
        undoing->views[at] = true;
    else if (act.answer)
        undoing->answers[at - acts->views.count] = true;
    else
        undoing->probes[undoing->undone.probe_count++] = act.probe->act;
}

static bool before_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                         const struct judged_month *month, instant now, enum acts_of of,
                         struct acts *acts, struct err *err)
{
    struct before *before = &acts->before[of];
    struct undoing undoing = undone_none(mem, acts);

    for (size_t i = 0; i < act_count(acts); i++)
        if (of == OF_ALL || act_at(acts, i).of == OF_ONE)
            act_undo(&undoing, acts, i);
    if (!month_judge(tx, mem, farm, month->from, now, &undoing.undone, &before->month, err))
        return false;
    before->things = moved_things_of(mem, month, &before->month);

    return true;
}

/*
 * Undo a correction and what came of the same reading after it, so that the reading stands as it
 * stood before: what one act took inside no later one hides. With one that a second person agreed
 * to goes what it took in.
 */
static void undo_view(const struct acts *acts, size_t at, bool *views)
{
    const struct correction_view *this = &acts->views.items[at];

    for (size_t i = 0; i < acts->views.count; i++) {
        const struct correction_view *one = &acts->views.items[i];

        views[i] =
            is_same_reading(one, this) && (i >= at || (this->second_person && !one->second_person));
    }
}

/* Judge the month with one act alone undone: what it moved is explained by it. */
static bool alone_judge(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                        const struct judged_month *month, instant now, struct acts *acts, size_t at,
                        struct err *err)
{
    CLEANUP(arena_free) struct arena *room = arena_new();
    const struct act_of act = act_at(acts, at);
    struct judged_month alone = {0};
    struct undoing undoing = undone_none(mem, acts);

    if (act.view)
        undo_view(acts, at, undoing.views);
    else
        act_undo(&undoing, acts, at);
    if (!month_judge(tx, room, farm, month->from, now, &undoing.undone, &alone, err))
        return false;
    for (enum acts_of of = OF_ONE; of < ACTS_OF; of++)
        moved_things_explain(acts->before[of].things, &alone);
    (void)act_moved(mem, farm, month, &alone, &act, &acts->own[at]);

    return true;
}

/* Whether the act may have moved something: all acts undone show it, or others may hide it. */
static bool may_have_moved(struct arena *mem, const struct open_farm *farm,
                           const struct judged_month *month, const struct acts *acts, size_t at)
{
    const struct act_of act = act_at(acts, at);
    struct moved_limits may = {.count = 0};

    for (size_t i = 0; act.view && i < acts->views.count; i++)
        if (i != at && is_same_reading(&acts->views.items[i], act.view))
            return true;

    return act_moved(mem, farm, month, &acts->before[act.of].month, &act, &may);
}

static bool own_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                     const struct judged_month *month, instant now, struct acts *acts,
                     struct err *err)
{
    size_t looked_at = 0;

    acts->own = ARENA_ARRAY(mem, struct moved_limits, act_count(acts));
    for (size_t i = 0; i < act_count(acts); i++) {
        if (!may_have_moved(mem, farm, month, acts, i))
            continue;
        if (looked_at++ == ALONE_MOST)
            return true;
        if (!alone_judge(tx, mem, farm, month, now, acts, i, err))
            return false;
    }

    return true;
}

static bool is_among(const struct moved_limits *limits, const struct moved_limit *one)
{
    for (size_t i = 0; i < limits->count; i++) {
        if (limits->items[i].was_open == one->was_open && str_equal(limits->items[i].key, one->key))
            return true;
    }

    return false;
}

/* Whether a later act on the same reading took the same inside: this one was taken back before. */
static bool moved_later(const struct acts *acts, size_t at, const struct moved_limit *limit)
{
    for (size_t i = at + 1; i < acts->views.count; i++)
        if (is_same_reading(&acts->views.items[i], &acts->views.items[at]) &&
            is_among(&acts->own[i], limit))
            return true;

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

    if ((act.view && agreed_later(&acts->views, at)) || (act.answer && is_correction(act.answer)))
        return moved;
    for (size_t i = 0; i < acts->own[at].count; i++)
        if (!act.view || !moved_later(acts, at, &acts->own[at].items[i]))
            LIST_ADD(mem, &moved, acts->own[at].items[i]);
    (void)act_moved(mem, farm, month, &before->month, &act, &may);
    for (size_t i = 0; i < may.count; i++)
        if (!is_among(&acts->own[at], &may.items[i]) &&
            !moved_things_explained(before->things, &may.items[i]))
            LIST_ADD(mem, &moved, may.items[i]);

    return moved;
}

/* --- rows that were left out together --- */

/* Of so many that one act left out, those of one kind are told in one. */
enum { TOGETHER_LEAST = 20 };

struct together {
    const struct aside_answer *first;
    const struct aside_answer *last;
    size_t count;
    struct moved_limits moved;
    struct report_correction *told;
};

struct togethers {
    struct together *items;
    size_t count;
    size_t capacity;
    const struct aside_answer *deed; /* the one whose rows were counted last */
    size_t deed_rows;
};

static bool is_same_deed(const struct aside_answer *a, const struct aside_answer *b)
{
    return a->receipt == b->receipt && a->answered_at == b->answered_at &&
           str_equal(a->person, b->person) && str_equal(a->answer, b->answer) &&
           str_equal(a->because, b->because);
}

static bool is_together(const struct acts *acts, const struct aside_answer *answer,
                        struct togethers *togethers)
{
    if (!str_equal(answer->answer, "left out"))
        return false;
    if (!togethers->deed || !is_same_deed(togethers->deed, answer)) {
        togethers->deed = answer;
        togethers->deed_rows = 0;
        for (size_t i = 0; i < acts->answers.count; i++)
            togethers->deed_rows += is_same_deed(answer, &acts->answers.items[i]);
    }

    return togethers->deed_rows >= TOGETHER_LEAST;
}

static bool is_moved_alike(const struct moved_limits *a, const struct moved_limits *b)
{
    bool same = a->count == b->count;

    for (size_t i = 0; same && i < a->count; i++)
        same = a->items[i].was_open == b->items[i].was_open &&
               str_equal(a->items[i].key, b->items[i].key);

    return same;
}

/* The one that the row is told with; NULL: there is none yet. */
static struct together *together_of(const struct togethers *togethers,
                                    const struct aside_answer *answer,
                                    const struct moved_limits *moved)
{
    for (size_t i = 0; i < togethers->count; i++) {
        struct together *one = &togethers->items[i];

        if (is_same_deed(one->first, answer) && str_equal(one->first->station, answer->station) &&
            str_equal(one->first->parameter, answer->parameter) &&
            str_equal(one->first->second_person, answer->second_person) &&
            is_moved_alike(&one->moved, moved))
            return one;
    }

    return NULL;
}

static int line_shown(const struct aside_answer *answer)
{
    return (int)(answer->sheet ? place_row(answer->line) : answer->line);
}

/* "412 rows, lines 12 to 6543 of may.csv; the first: ..." */
static void together_word(struct arena *mem, const struct together *one)
{
    one->told->first_value = arena_printf(mem, "%zu rows, lines %d to %d of %s; the first: %s",
                                          one->count, line_shown(one->first), line_shown(one->last),
                                          one->first->file_name, one->first->text);
    one->told->value_before = one->told->first_value;
    one->told->agree =
        arena_printf(mem, "weirbook aside seen %s --by PERSON", one->first->file_name);
}

static void acts_list(struct arena *mem, const struct open_farm *farm,
                      const struct judged_month *month, const struct acts *acts,
                      struct discharge_month *into)
{
    struct report_correction *list = ARENA_ARRAY(mem, struct report_correction, act_count(acts));
    struct togethers togethers = {.count = 0};
    size_t *count = &into->correction_count;

    for (size_t i = 0; i < act_count(acts); i++) {
        const struct act_of act = act_at(acts, i);
        struct moved_limits moved = moved_of(mem, farm, month, acts, i);
        bool many = act.answer && is_together(acts, act.answer, &togethers);
        struct together *with = many ? together_of(&togethers, act.answer, &moved) : NULL;

        if (with) {
            with->last = act.answer;
            with->count++;
            continue;
        }

        if (act.view)
            row_add(mem, list, count, correction_row(farm, &acts->views, i), &moved);
        /* A visit that was withdrawn is told where it moved something: else nothing rests on it. */
        else if (act.probe && (moved.count > 0 || !act.probe->act.withdrawal))
            row_add(mem, list, count, probe_row(farm, act.probe), &moved);
        /* Rows that were read again are readings now; they are told where they moved something. */
        else if (act.answer && (moved.count > 0 || act.answer->typed ||
                                str_equal(act.answer->answer, "left out")))
            row_add(mem, list, count, answer_row(mem, farm, act.answer), &moved);
        if (many)
            LIST_ADD(mem, &togethers,
                     ((struct together){act.answer, act.answer, 1, moved, &list[*count - 1]}));
    }
    for (size_t i = 0; i < togethers.count; i++)
        together_word(mem, &togethers.items[i]);
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
                              err) ||
        !probe_told(tx, mem, farm->farm, month->loaded.from_at, month->loaded.until_at,
                    &acts.probes, err))
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
