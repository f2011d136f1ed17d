#include "app/report_parts.h"

#include "app/corrections_told.h"
#include "base/json.h"
#include "base/str.h"
#include "store/aside_store.h"
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

static bool receipts_fill(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                          struct discharge_month *into, struct err *err)
{
    struct receipt_rows rows = {0};

    if (!receipt_store_list(tx, mem, &rows, err))
        return false;

    struct report_receipt *list = ARENA_ARRAY(mem, struct report_receipt, rows.count);

    for (size_t i = 0; i < rows.count; i++) {
        list[i] = (struct report_receipt){
            .receipt = rows.items[i].receipt,
            .file_name = rows.items[i].file_name,
            .sheets = rows.items[i].sheets,
            .source = rows.items[i].source,
            .sha256 = digest_text(mem, &rows.items[i].sha256),
            .received_at = rows.items[i].received_at,
            .person = rows.items[i].person ? farm_person_name(farm->farm, rows.items[i].person)
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
    const char *name = farm_person_name(farm->farm, answer->person);

    return answer->second_person ? arena_printf(mem, "%s; seen by %s", name,
                                                farm_person_name(farm->farm, answer->second_person))
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
           corrections_told(tx, mem, farm, month, now, into, err) &&
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
