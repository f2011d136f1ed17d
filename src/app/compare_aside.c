#include "app/compare_aside.h"

#include "base/str.h"
#include "judge/evidence.h"
#include "store/receipt_store.h"

/* Rows set aside that are looked through for those that contradict each other. */
enum { WAITING_MOST = 100000 };

/* One comparison on its way. */
struct comparing {
    struct db_tx *tx;
    struct arena *mem;
    const struct zone *zone;
    struct receipt_rows receipts;
    struct aside_row row;
    struct compared *out;
};

static char *value_words(struct arena *mem, char qualifier, const char *reported, const char *unit)
{
    char sign[2] = {qualifier == QUALIFIER_NONE ? '\0' : qualifier, '\0'};

    if (qualifier == QUALIFIER_NOT_DETECTED)
        return arena_strdup(mem, "not detected");

    return arena_printf(mem, "%s%s%s%s", sign, reported, *reported && unit ? " " : "",
                        unit ? unit : "");
}

static void value_add(struct comparing *comparing, int64_t receipt, struct compared_value value)
{
    const struct receipt_rows *receipts = &comparing->receipts;

    for (size_t i = 0; i < receipts->count; i++) {
        if (receipts->items[i].receipt != receipt)
            continue;
        value.file_name = receipts->items[i].file_name;
        value.person = receipts->items[i].person;
        value.received_at = receipts->items[i].received_at;
    }
    LIST_ADD(comparing->mem, comparing->out, value);
}

/* What is stored of the same station, parameter and time, and of the same sample where told. */
static bool stored_add(struct comparing *comparing, struct err *err)
{
    const struct aside_row *row = &comparing->row;
    struct reading_founds founds = {0};

    if (!row->station || !row->parameter || row->at == INSTANT_NONE)
        return true;
    if (!reading_store_at(comparing->tx, comparing->mem, row->station, row->parameter, row->at,
                          &founds, err))
        return false;
    for (size_t i = 0; i < founds.count; i++) {
        const struct reading_found *found = &founds.items[i];

        if (row->sample && !str_equal(row->sample, found->sample))
            continue;
        value_add(comparing, found->receipt,
                  (struct compared_value){.stored = true,
                                          .value = value_words(comparing->mem, found->qualifier,
                                                               found->reported, found->unit),
                                          .made_by = found->made_by,
                                          .sample = found->sample,
                                          .line = found->line,
                                          .left_out = found->left_out});
    }

    return true;
}

/* Told two ways of one sample: such rows differ in place, time or taker, and all say why alike. */
static bool is_of_sample(const struct aside_row *row)
{
    return str_equal(row->reason, problem_reason_name(PROBLEM_SAMPLE_CONTRADICTS_FILE)) ||
           str_equal(row->reason, problem_reason_name(PROBLEM_SAMPLE_CONTRADICTS_STORED));
}

/* Whether a row of the same file waits for the same reason about the same thing. */
static bool is_side(const struct aside_row *row, const struct aside_row *asked)
{
    if (row->receipt != asked->receipt || !str_equal(row->reason, asked->reason))
        return false;
    if (is_of_sample(asked))
        return str_equal(row->words, asked->words);

    return row->at == asked->at && str_equal(row->station, asked->station) &&
           str_equal(row->parameter, asked->parameter);
}

/* "51 mg/L"; of a sample told two ways with what it is of: "51 mg/L, suspended-solids of ..." */
static const char *side_words(struct comparing *comparing, const struct aside_row *row,
                              const struct aside_row *whole)
{
    const char *reported = whole->has_value ? decimal_text(comparing->mem, whole->value) : "";
    const char *value = whole->has_value
                            ? value_words(comparing->mem, whole->qualifier, reported, whole->unit)
                            : whole->text;

    if (!is_of_sample(&comparing->row) || !row->parameter || !row->station ||
        row->at == INSTANT_NONE)
        return value;

    return arena_printf(comparing->mem, "%s, %s of %s, %s", value, row->parameter, row->station,
                        zone_text(comparing->mem, comparing->zone, row->at));
}

/* The row itself, and others of its file that it contradicts. */
static bool waiting_add(struct comparing *comparing, struct err *err)
{
    const struct aside_row *asked = &comparing->row;
    struct aside_rows rows = {0};

    if (!aside_store_list(comparing->tx, comparing->mem, WAITING_MOST, &rows, err))
        return false;
    for (size_t i = 0; i < rows.count; i++) {
        const struct aside_row *row = &rows.items[i];
        bool same = row->receipt == asked->receipt && row->line == asked->line &&
                    row->column == asked->column;
        struct aside_row whole = {0};

        if (!same && !is_side(row, asked))
            continue;
        if (!aside_store_one(comparing->tx, comparing->mem, row->receipt, row->line, row->column,
                             &whole, err))
            return false;

        value_add(comparing, row->receipt,
                  (struct compared_value){.asked = same,
                                          .value = side_words(comparing, row, &whole),
                                          .sample = whole.sample,
                                          .sheet = row->sheet,
                                          .line = row->line,
                                          .column = row->column});
    }

    return true;
}

static bool contradicts(const struct aside_row *row)
{
    static const enum problem_reason reasons[] = {
        PROBLEM_CONTRADICTS_STORED, PROBLEM_CONTRADICTS_FILE, PROBLEM_SAMPLE_CONTRADICTS_STORED,
        PROBLEM_SAMPLE_CONTRADICTS_FILE};

    for (size_t i = 0; i < ARRAY_LEN(reasons); i++)
        if (str_equal(row->reason, problem_reason_name(reasons[i])))
            return true;

    return false;
}

static bool row_pick(struct comparing *comparing, const struct aside_ref *ref, struct err *err)
{
    struct aside_list list = {0};

    if (!asides_pick(comparing->tx, comparing->mem, ref, &list, err))
        return false;
    comparing->row = list.items[0];
    if (list.count > 1) {
        err_set(err, ERR_INVALID, "more than one value of that line is set aside");
        return err_hint(err, "Add the column, as `weirbook aside` lists it.");
    }
    if (contradicts(&comparing->row))
        return true;
    err_set(err, ERR_INVALID, "that row contradicts nothing: %s", comparing->row.words);

    return err_hint(err, "Type what is right (weirbook aside correct), or leave it out (weirbook "
                         "aside leave-out).");
}

bool aside_compare(struct db *db, struct arena *mem, const struct open_farm *farm,
                   const struct aside_ref *ref, struct compared *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct compared done = {.count = 0};
    struct comparing comparing = {.tx = &tx, .mem = mem, .zone = farm->farm->zone, .out = &done};

    if (!db_tx_begin(db, farm->farm_id, &tx, err) || !row_pick(&comparing, ref, err) ||
        !receipt_store_list(&tx, mem, &comparing.receipts, err) || !stored_add(&comparing, err) ||
        !waiting_add(&comparing, err))
        return false;
    done.reason = comparing.row.reason;
    done.words = comparing.row.words;
    done.station = comparing.row.station;
    done.parameter = comparing.row.parameter;
    done.at = comparing.row.at;
    *out = done;

    return true;
}
