#include "app/report_parts.h"

#include "app/moved_inside.h"
#include "base/json.h"
#include "base/str.h"
#include "store/aside_store.h"
#include "store/correction_store.h"
#include "store/receipt_store.h"
#include "store/verdict_store.h"

/* How long a flow stands by the clauses that use the same one; 0 when none says. */
static int flow_stands_s(const struct farm_point *point, const struct judged_month *month)
{
    for (size_t i = 0; i < month->verdicts.count; i++) {
        const struct limit *limit = month->verdicts.items[i].limit;
        bool load = str_equal(limit->flow.station, point->meter_station) &&
                    str_equal(limit->flow.parameter, point->meter_parameter);
        bool total = str_equal(limit->station, point->meter_station) &&
                     str_equal(limit->parameter, point->meter_parameter);

        if ((load || total) && limit->reading_stands_s > 0)
            return limit->reading_stands_s;
    }

    return 0;
}

/* A clause of nobody: the volume of the days, by meter or flow. A figure stands beside a bound. */
static struct limit volume_clause(const struct farm_licence *licence,
                                  const struct farm_point *point, const struct judged_month *month)
{
    return (struct limit){.key = "volume",
                          .name = "Volume discharged",
                          .licence = licence->key,
                          .station = point->meter_station,
                          .parameter = point->meter_parameter,
                          .unit = "m3",
                          .daily = DAILY_TOTAL,
                          .statistic = STATISTIC_SUM,
                          .period = PERIOD_MONTH,
                          .bound = {.has_ceiling = true},
                          .reading_stands_s = flow_stands_s(point, month),
                          .in_force_from = month->from,
                          .in_force_to = month->to,
                          .confirmed = true};
}

/* "by the meter at Outlet, 3 days known together only, not known on 2 days" */
static const char *volume_words(struct arena *mem, const struct open_farm *farm,
                                const struct farm_point *point, size_t together, size_t missing)
{
    const struct parameter *parameter =
        parameter_find(&farm->farm->known_parameters, point->meter_parameter);
    const struct farm_station *station = farm_find_station(farm->farm, point->meter_station);
    bool counter = parameter && parameter->kind == PARAMETER_COUNTER;
    struct buf words = buf_new(mem);

    buf_addf(&words, "by the %s at %s", counter ? "meter" : "flow",
             station && station->name ? station->name : point->meter_station);
    if (together > 0)
        buf_addf(&words, ", %zu days known together only", together);
    if (missing > 0)
        buf_addf(&words, ", not known on %zu day%s", missing, missing == 1 ? "" : "s");

    return words.data;
}

static void volume_sum(struct arena *mem, const struct open_farm *farm,
                       const struct farm_licence *licence, const struct evidence_point *point,
                       const struct judged_month *month, struct discharge_month *into)
{
    struct limit *limit = ARENA_NEW(mem, struct limit);
    struct evidence evidence = month->loaded.evidence;
    struct verdict verdict = {0};
    const struct exact *sum = exact_from_int(mem, 0);
    size_t known = 0;
    size_t missing = 0;

    *limit = volume_clause(licence, point->point, month);
    evidence.days = point->days;
    evidence.day_count = (size_t)(month->to - month->from) + 1;
    judge_limit(mem, limit, &evidence, month->from, month->to, &verdict);
    for (size_t i = 0; i < verdict.day_count; i++) {
        if (verdict.days[i].volume) {
            sum = exact_add(mem, sum, verdict.days[i].volume);
            known++;
        } else if (verdict.days[i].discharge != DISCHARGE_NONE) {
            missing++;
        }
    }
    /* The figure holds what several days have together, too. */
    if (verdict.figure)
        into->volume_m3 = verdict.figure;
    else if (known > 0)
        into->volume_m3 = sum;
    missing -= verdict.together_days < missing ? verdict.together_days : missing;
    into->volume_note = volume_words(mem, farm, point->point, verdict.together_days, missing);
}

void report_discharge(struct arena *mem, const struct open_farm *farm,
                      const struct judged_month *month, struct discharge_month *into)
{
    const struct evidence_point *point = NULL;

    into->volume_note = "the licence's discharge point has no meter or flow";
    for (size_t i = 0; i < month->loaded.point_count && !point; i++) {
        const struct evidence_point *one = &month->loaded.points[i];

        if (one->licence == into->licence &&
            (one->point->outlet_station || one->point->meter_station))
            point = one;
    }
    if (!point) {
        into->days_unknown = month->to - month->from + 1;
        return;
    }
    for (day_number day = month->from; day <= month->to; day++) {
        switch (point->days[day - month->from].state) {
        case DISCHARGE_NONE:
            into->days_without_discharge++;
            break;
        case DISCHARGE_UNKNOWN:
            into->days_unknown++;
            break;
        case DISCHARGE_YES:
        case DISCHARGE_DISAGREES:
        default:
            into->days_discharged++;
            break;
        }
    }
    if (point->point->meter_station)
        volume_sum(mem, farm, into->licence, point, month, into);
}

/* As people know him; the key where the farm file knows him no more. */
static const char *person_name(const struct open_farm *farm, const char *key)
{
    const struct farm_person *person = key ? farm_find_person(farm->farm, key) : NULL;

    return person ? person->name : key;
}

static bool receipts_fill(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                          struct discharge_month *into, struct err *err)
{
    struct receipt_rows rows = {0};

    if (!receipt_store_list(tx, mem, &rows, err))
        return false;

    struct report_receipt *list = ARENA_ARRAY(mem, struct report_receipt, rows.count);

    for (size_t i = 0; i < rows.count; i++) {
        list[i] = (struct report_receipt){.receipt = rows.items[i].receipt,
                                          .file_name = rows.items[i].file_name,
                                          .sheets = rows.items[i].sheets,
                                          .source = rows.items[i].source,
                                          .sha256 = digest_text(mem, &rows.items[i].sha256),
                                          .received_at = rows.items[i].received_at,
                                          .person = rows.items[i].person
                                                        ? person_name(farm, rows.items[i].person)
                                                        : "the watched folder"};
    }
    into->receipts = list;
    into->receipt_count = rows.count;

    return true;
}

/* "Ana Example; seen by Bo Example" */
static const char *persons_words(struct arena *mem, const struct open_farm *farm,
                                 const struct aside_answer *answer)
{
    const char *name = person_name(farm, answer->person);

    return answer->second_person
               ? arena_printf(mem, "%s; seen by %s", name, person_name(farm, answer->second_person))
               : name;
}

/* Rows that still wait, then those that a person answered. */
static bool asides_fill(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                        const struct judged_month *month, struct discharge_month *into,
                        struct err *err)
{
    const struct aside_rows *rows = &month->loaded.asides;
    struct aside_answers answers = {0};

    if (!aside_store_answered(tx, mem, month->loaded.from_at, month->loaded.until_at, &answers,
                              err))
        return false;

    struct report_set_aside *list =
        ARENA_ARRAY(mem, struct report_set_aside, rows->count + answers.count);

    for (size_t i = 0; i < rows->count; i++)
        list[i] = (struct report_set_aside){.receipt = rows->items[i].receipt,
                                            .line = rows->items[i].line,
                                            .column = rows->items[i].column,
                                            .reason = rows->items[i].reason,
                                            .words = rows->items[i].words,
                                            .todo = rows->items[i].todo,
                                            .text = rows->items[i].text};
    for (size_t i = 0; i < answers.count; i++) {
        const struct aside_answer *row = &answers.items[i];

        list[rows->count + i] = (struct report_set_aside){.receipt = row->receipt,
                                                          .line = row->line,
                                                          .column = row->column,
                                                          .reason = row->reason,
                                                          .words = row->words,
                                                          .text = row->text,
                                                          .answer = row->answer,
                                                          .because = row->because,
                                                          .person = persons_words(mem, farm, row),
                                                          .answered_at = row->answered_at};
    }
    into->set_aside = list;
    into->set_aside_count = rows->count + answers.count;

    return true;
}

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
                                      .person = person_name(farm, view->person),
                                      .second_person = person_name(farm, view->second_person),
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

    return (struct report_correction){.station = answer->station,
                                      .parameter = answer->parameter,
                                      .at = answer->at,
                                      .receipt = answer->receipt,
                                      .line = answer->line,
                                      .first_value = answer->text,
                                      .new_value = left_out ? "set aside, then left out"
                                                            : "set aside, then read again",
                                      .made_at = answer->answered_at,
                                      .person = person_name(farm, answer->person),
                                      .second_person = person_name(farm, answer->second_person),
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
    struct moved_limits *own; /* of each view: what it moved by itself */
};

/* Acts that are looked at one by one; of more, all that may have part in a move are named. */
enum { ALONE_MOST = 40 };

static enum acts_of acts_of_view(const struct acts *acts, size_t at)
{
    return acts->views.items[at].second_person || agreed_later(&acts->views, at) ? OF_ALL : OF_ONE;
}

static enum acts_of acts_of_answer(const struct acts *acts, size_t at)
{
    return acts->answers.items[at].second_person ? OF_ALL : OF_ONE;
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

    for (size_t i = 0; i < acts->views.count; i++)
        views[i] = of == OF_ALL || acts_of_view(acts, i) == OF_ONE;
    for (size_t i = 0; i < acts->answers.count; i++)
        answers[i] = of == OF_ALL || acts_of_answer(acts, i) == OF_ONE;
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
                        const struct judged_month *month, instant now, struct acts *acts,
                        const struct acts_undone *undone, const struct correction_view *view,
                        struct moved_limits *own, struct err *err)
{
    CLEANUP(arena_free) struct arena *room = arena_new();
    struct judged_month alone = {0};

    if (!month_judge(tx, room, farm, month->from, now, undone, &alone, err))
        return false;
    for (enum acts_of of = OF_ONE; of < ACTS_OF; of++)
        moved_things_explain(acts->before[of].things, &alone);
    if (view)
        (void)moved_by_correction(mem, farm, month, &alone, view, own);

    return true;
}

static bool own_find(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                     const struct judged_month *month, instant now, struct acts *acts,
                     struct err *err)
{
    size_t looked_at = 0;

    acts->own = ARENA_ARRAY(mem, struct moved_limits, acts->views.count);
    for (size_t i = 0; i < acts->views.count + acts->answers.count; i++) {
        bool is_view = i < acts->views.count;
        size_t at = is_view ? i : i - acts->views.count;
        enum acts_of of = is_view ? acts_of_view(acts, at) : acts_of_answer(acts, at);
        const struct judged_month *first = &acts->before[of].month;
        const struct correction_view *view = is_view ? &acts->views.items[at] : NULL;
        struct moved_limits may = {.count = 0};
        bool *views;
        bool *answers;
        struct acts_undone undone = undone_none(mem, acts, &views, &answers);

        if (view ? !moved_by_correction(mem, farm, month, first, view, &may)
                 : !moved_by_answer(mem, farm, month, first, &acts->answers.items[at], &may))
            continue;
        if (looked_at++ == ALONE_MOST)
            return true;
        if (view)
            undo_view(acts, at, views);
        else
            answers[at] = true;
        if (!alone_judge(tx, mem, farm, month, now, acts, &undone, view,
                         view ? &acts->own[at] : NULL, err))
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

/* What the correction moved by itself, or may have moved together with others. */
static struct moved_limits moved_of(struct arena *mem, const struct open_farm *farm,
                                    const struct judged_month *month, const struct acts *acts,
                                    size_t at)
{
    const struct before *before = &acts->before[acts_of_view(acts, at)];
    struct moved_limits may = {.count = 0};
    struct moved_limits moved = {.count = 0};

    if (agreed_later(&acts->views, at) ||
        !moved_by_correction(mem, farm, month, &before->month, &acts->views.items[at], &may))
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
    struct report_correction *list =
        ARENA_ARRAY(mem, struct report_correction, acts->views.count + acts->answers.count);

    for (size_t i = 0; i < acts->views.count; i++) {
        struct moved_limits moved = moved_of(mem, farm, month, acts, i);

        list[into->correction_count++] =
            correction_row(farm, &acts->views.items[i], moved.count > 0, &moved);
    }
    for (size_t i = 0; i < acts->answers.count; i++) {
        const struct aside_answer *answer = &acts->answers.items[i];
        const struct judged_month *first = &acts->before[acts_of_answer(acts, i)].month;
        struct moved_limits moved = {.count = 0};
        bool inside =
            !is_correction(answer) && moved_by_answer(mem, farm, month, first, answer, &moved);

        /* Rows that were read again are readings now; they are told where they moved something. */
        if (inside || str_equal(answer->answer, "left out"))
            list[into->correction_count++] = answer_row(farm, answer, inside, &moved);
    }
    into->corrections = list;
}

static bool corrections_fill(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                             const struct judged_month *month, instant now,
                             struct discharge_month *into, struct err *err)
{
    struct acts acts = {0};

    if (!correction_store_between(tx, mem, month->loaded.from_at, month->loaded.until_at,
                                  &acts.views, err) ||
        !aside_store_answered(tx, mem, month->loaded.from_at, month->loaded.until_at, &acts.answers,
                              err))
        return false;
    if (acts.views.count + acts.answers.count == 0)
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

bool report_corrections(struct db *db, struct arena *mem, const struct open_farm *farm,
                        const struct judged_month *month, instant now, struct discharge_month *into,
                        struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           corrections_fill(&tx, mem, farm, month, now, into, err);
}

static bool findings_fill(struct db_tx *tx, struct arena *mem, const struct judged_month *month,
                          struct discharge_month *into, struct err *err)
{
    struct finding_rows rows = {0};

    if (!finding_store_list(tx, mem, month->from, month->to, &rows, err))
        return false;

    struct report_finding *list = ARENA_ARRAY(mem, struct report_finding, rows.count);

    for (size_t i = 0; i < rows.count; i++)
        list[i] = (struct report_finding){.title = rows.items[i].words,
                                          .standing = rows.items[i].step,
                                          .opened_at = rows.items[i].aware_at,
                                          .words = rows.items[i].step_words};
    into->findings = list;
    into->finding_count = rows.count;

    return true;
}

bool report_lists(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                  const struct judged_month *month, instant now, struct discharge_month *into,
                  struct err *err)
{
    return asides_fill(tx, mem, farm, month, into, err) &&
           receipts_fill(tx, mem, farm, into, err) &&
           corrections_fill(tx, mem, farm, month, now, into, err) &&
           findings_fill(tx, mem, month, into, err);
}

char *report_figures(struct arena *mem, const struct discharge_month *month)
{
    struct buf text = buf_new(mem);
    struct json_writer json = json_begin(&text);

    json_put_object(&json);
    json_put_name(&json, "limits");
    json_put_array(&json);
    for (size_t i = 0; i < month->verdict_count; i++) {
        const struct verdict *verdict = &month->verdicts[i];

        json_put_object(&json);
        json_put_name_text(&json, "limit", verdict->limit->key);
        json_put_name_int(&json, "version", verdict->limit->version);
        json_put_name_text(&json, "standing", standing_name(verdict->standing));
        json_put_name_text(&json, "figure",
                           verdict->figure ? exact_ratio_text(mem, verdict->figure) : NULL);
        json_put_name_text(&json, "compared", verdict->compared_text);
        json_put_name_int(&json, "samples", (int64_t)verdict->samples);
        json_put_object_end(&json);
    }
    json_put_array_end(&json);
    json_put_object_end(&json);
    json_end(&json);

    return text.data;
}
