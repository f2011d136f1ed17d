#include "app/report_month.h"

#include <string.h>

#include "app/report_parts.h"
#include "base/file.h"
#include "base/str.h"
#include "store/verdict_store.h"

const char *program_version(void)
{
    return "weirbook 0.1";
}

static bool licence_pick(const struct farm *farm, const char *key, const struct farm_licence **out,
                         struct err *err)
{
    const struct farm_licence_list *all = &farm->licences;
    const struct farm_licence *found = key ? farm_find_licence(farm, key) : NULL;

    if (!key && all->count == 1) {
        *out = &all->items[0];
        return true;
    }
    if (found) {
        *out = found;
        return true;
    }
    if (key)
        err_set(err, ERR_NOT_FOUND, "the farm file has no licence '%s'", key);
    else if (all->count == 0)
        err_set(err, ERR_NOT_FOUND, "the farm file has no licence");
    else
        err_set(err, ERR_INVALID, "the farm has %zu licences", all->count);
    if (all->count > 0)
        err_hint(err, "Say which: --licence %s", all->items[0].key);

    return false;
}

/* An interval, with what persons said that takes a sample of the month away. */
static struct report_interval interval_part(struct arena *mem, const struct farm *farm,
                                            const struct judged_month *month,
                                            const struct month_interval *one)
{
    const struct plan_evidence *known = &one->evidence;
    struct no_sample *excused = ARENA_ARRAY(mem, struct no_sample, known->reason_count);
    struct report_interval part = {.interval = one->interval,
                                   .dues = one->dues,
                                   .required = one->required,
                                   .done = one->done,
                                   .excused = excused};

    for (size_t i = 0; i < known->reason_count; i++) {
        const struct no_sample *reason = &known->reasons[i];

        if (reason->day < month->from || reason->day > month->to ||
            (reason->reason != NO_SAMPLE_NO_DISCHARGE && reason->reason != NO_SAMPLE_NOT_REQUIRED))
            continue;
        excused[part.excused_count] = *reason;
        excused[part.excused_count++].person = farm_person_name(farm, reason->person);
    }

    return part;
}

/* Verdicts and intervals of one licence only. */
static void licence_part(struct arena *mem, const struct judged_month *month,
                         struct discharge_month *into)
{
    struct verdict *verdicts = ARENA_ARRAY(mem, struct verdict, month->verdicts.count);
    struct report_interval *intervals =
        ARENA_ARRAY(mem, struct report_interval, month->intervals.count);

    for (size_t i = 0; i < month->verdicts.count; i++) {
        if (str_equal(month->verdicts.items[i].limit->licence, into->licence->key))
            verdicts[into->verdict_count++] = month->verdicts.items[i];
    }
    for (size_t i = 0; i < month->intervals.count; i++) {
        const struct month_interval *one = &month->intervals.items[i];

        if (str_equal(one->interval->licence, into->licence->key))
            intervals[into->interval_count++] = interval_part(mem, into->farm, month, one);
    }
    into->verdicts = verdicts;
    into->intervals = intervals;
}

static bool report_fill(struct db_tx *tx, struct arena *mem, const struct open_farm *farm,
                        const struct act *act, const struct judged_month *month,
                        struct discharge_month *into, struct err *err)
{
    struct ledger_head head = {0};
    const struct farm_person *maker = farm_find_person(farm->farm, act->person);

    if (!ledger_store_head(tx, &head, err))
        return false;
    into->farm = farm->farm;
    into->authority = farm_find_authority(farm->farm, into->licence->authority);
    into->signer =
        into->licence->signer ? farm_find_person(farm->farm, into->licence->signer) : NULL;
    into->month = month->from;
    into->made_at = act->at;
    into->made_by = maker->name;
    into->program_version = program_version();
    into->ledger_head = digest_text(mem, &head.hash);
    into->ledger_entries = head.sequence;
    into->farm_file_version = farm->version;
    into->evidence = &month->loaded.evidence;
    licence_part(mem, month, into);
    report_discharge(mem, farm, month, into);

    return report_lists(tx, mem, farm, month, act->at, into, err);
}

/* A month before the licence has nothing to report. */
static bool something_in_force(struct arena *mem, const struct discharge_month *report,
                               struct err *err)
{
    if (report->verdict_count + report->interval_count > 0)
        return true;

    return err_set(err, ERR_INVALID, "nothing of licence %s was in force in %s",
                   report->licence->key, month_words(mem, report->month));
}

static const char *file_label(const char *path)
{
    const char *slash = strrchr(path, '/');

    return slash ? slash + 1 : path;
}

static bool folder_there(struct arena *mem, const char *path, struct err *err)
{
    const char *slash = strrchr(path, '/');
    const char *folder =
        slash ? arena_strndup(mem, path, slash > path ? (size_t)(slash - path) : 1) : ".";

    if (file_is_folder(folder))
        return true;
    err_set(err, ERR_NOT_FOUND, "there is no folder %s to write %s into", folder, file_label(path));

    return err_hint(err, "Make the folder first, or name another with --out.");
}

bool month_report_make(struct db *db, struct arena *mem, const struct open_farm *farm,
                       const char *licence, day_number month, const char *path,
                       const struct act *act, struct month_report *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct discharge_month report = {.volume_m3 = NULL};
    int opened = 0;
    bool there = file_exists(path);

    if (!act_allowed(farm->farm, act, MAY_READ, err) || !folder_there(mem, path, err) ||
        !licence_pick(farm->farm, licence, &report.licence, err) ||
        !month_check(db, mem, farm, month, act->at, true, &out->month, &opened, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !report_fill(&tx, mem, farm, act, &out->month, &report, err) ||
        !something_in_force(mem, &report, err) ||
        !discharge_month_write(&report, path, &out->digest, err))
        return false;
    out->licence = report.licence->key;
    out->replaced = there;

    struct report_row row = {.report = random_id(),
                             .name = "discharge-month",
                             .licence = report.licence->key,
                             .from = out->month.from,
                             .to = out->month.to,
                             .standing = "draft",
                             .file_name = file_label(path),
                             .sha256 = out->digest,
                             .figures = report_figures(mem, &report),
                             .program = program_version(),
                             .made_at = act->at,
                             .person = act->person};
    struct entry_field fields[] = {
        {"report", "discharge-month"},     {"licence", row.licence},
        {"from", day_text(mem, row.from)}, {"to", day_text(mem, row.to)},
        {"file", row.file_name},           {"sha256", digest_text(mem, &row.sha256)},
    };

    return report_store_add(&tx, &row, err) &&
           ledger_store_append(&tx, act, ENTRY_REPORT, NULL, fields, ARRAY_LEN(fields), err) &&
           db_tx_commit(&tx, err);
}
