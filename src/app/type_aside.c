#include "app/type_aside.h"

#include "app/again_inside.h"
#include "app/source_words.h"
#include "base/number.h"
#include "base/str.h"
#include "ingest/row_typed.h"
#include "ingest/time_format.h"

enum { TYPED_MOST = 6 };

/* One thing that was typed. */
struct typed_word {
    const char *what;
    const char *text;
    const char *shown; /* to who typed it */
};

/* One typing on its way. */
struct typing {
    struct again again;
    const struct type_order *order;
    instant at;             /* as typed; INSTANT_NONE: it was not */
    struct aside_list rows; /* those it is for, of one line */
    struct row_typed typed;
    struct typed_word words[TYPED_MOST];
    size_t word_count;
};

/* --- what can be typed there --- */

static bool not_there(const struct typing *typing, const char *what, const char *where,
                      struct err *err)
{
    err_set(err, ERR_INVALID, "rows of %s have no %s of their own", typing->again.source->key,
            what);

    return err_hint(err, "%s", where);
}

/* A word of ours that the source takes for another would be read as that. */
static bool means_itself(const struct typing *typing, const char *kind, const char *word,
                         struct err *err)
{
    const char *means = source_word_means(typing->again.source, kind, word);

    if (!means || str_equal_nocase(means, word))
        return true;

    return err_set(err, ERR_INVALID, "in files of %s '%s' means '%s'", typing->again.source->key,
                   word, means);
}

/* Of a line whose cells are not in their places no word can be typed over another. */
static bool has_its_cells(const struct typing *typing, struct err *err)
{
    const struct aside_row *row = typing->rows.items;

    if (!str_equal(row->reason, problem_reason_name(PROBLEM_ROW_SHAPE)))
        return true;
    err_set(err, ERR_INVALID, "typing can't mend that line: %s", row->words);

    return err_hint(err, "Take in a file with this row put right, and leave this one out: weirbook "
                         "aside leave-out.");
}

static bool value_fits(const struct typing *typing, struct err *err)
{
    const struct type_order *order = typing->order;
    const struct number_style style = {.decimal_mark = '.'};
    struct number number = number_read(&style, order->value);
    bool by_column = source_by_column(typing->again.source);

    if (by_column && typing->rows.count > 1) {
        if (!has_its_cells(typing, err))
            return false;
        err_set(err, ERR_INVALID, "more than one value of that line is set aside");
        return err_hint(err, "Add the column, as `weirbook aside` lists it.");
    }
    if (number.kind != NUMBER_BLANK)
        return true;
    err_set(err, ERR_INVALID, "nothing is no value");

    return err_hint(err, "Where the row has none, leave it out: weirbook aside leave-out.");
}

/* The zone of the source's clock; NULL is UTC. */
static bool source_zone(const struct typing *typing, const struct zone **zone, struct err *err)
{
    const struct source *source = typing->again.source;

    *zone = NULL;
    if (source->clock == CLOCK_OFFSET)
        *zone = zone_fixed(typing->again.mem, source->offset_s);
    if (source->clock != CLOCK_LOCAL)
        return true;
    *zone = typing->again.farm->farm->zone;

    return !source->zone || zone_load(typing->again.mem, source->zone, zone, err);
}

static bool not_a_time(const struct typing *typing, const char *why, struct err *err)
{
    const struct source *source = typing->again.source;
    bool too = source->time_format && !source->clock_header;

    err_set(err, ERR_INVALID, "'%s' %s", typing->order->time, why);

    return err_hint(err, "Write it as \"2026-03-17 09:30\", in the farm's own time%s%s.",
                    too ? ", or as the source does: " : "", too ? source->time_format : "");
}

/* A time as the source writes it. Where each row tells its clock, only our own form will do. */
static bool time_read(struct typing *typing, struct err *err)
{
    const struct source *source = typing->again.source;
    struct time_format format;
    struct time_reading reading;
    struct time_clock clock = {0};
    instant found[2];

    typing->at = typing->order->at;
    if (!typing->order->time)
        return true;
    if (!source->time_format || source->clock_header)
        return not_a_time(typing, "is not a time", err);
    if (!time_format_compile(source->time_format, &format, err) ||
        !source_zone(typing, &clock.zone, err))
        return false;
    if (time_format_read(&format, typing->order->time, &reading) != TIME_READ)
        return not_a_time(typing, "is not a time", err);
    if (time_clock_place(&clock, &reading, found) != ZONE_ONE)
        return not_a_time(typing, "came twice or never by that clock", err);
    typing->at = found[0];

    return true;
}

static bool time_fits(const struct typing *typing, struct err *err)
{
    const struct source *source = typing->again.source;
    instant latest =
        typing->again.receipt.received_at + (int64_t)source->ahead_minutes * 60 * SECOND_US;
    instant oldest = instant_from_utc(&(struct civil){.year = 1950, .month = 1, .day = 1});

    if (source->until_headers[0])
        return not_there(typing, "single time",
                         "They are of a span. Ask for a corrected file and take it in; then leave "
                         "this row out: weirbook aside leave-out.",
                         err);
    if (typing->at > latest)
        return err_set(err, ERR_INVALID, "that time is later than the file came in");
    if (typing->at < oldest)
        return err_set(err, ERR_INVALID, "that time is before 1950");

    return true;
}

static bool station_fits(const struct typing *typing, struct err *err)
{
    const struct again *again = &typing->again;

    if (!again->source->station_header)
        return not_there(typing, "station", "The source in the farm file says where they are of.",
                         err);

    return farm_require_station(again->mem, again->farm->farm, typing->order->station, err) &&
           means_itself(typing, "station", typing->order->station, err);
}

static bool parameter_fits(const struct typing *typing, struct err *err)
{
    const struct again *again = &typing->again;
    const struct parameter *parameter = NULL;

    if (!again->source->parameter_header)
        return not_there(typing, "parameter", "The source in the farm file says what they are.",
                         err);

    return parameter_require(&again->farm->farm->known_parameters, typing->order->parameter,
                             &parameter, err) &&
           means_itself(typing, "parameter", typing->order->parameter, err);
}

static bool unit_fits(const struct typing *typing, struct err *err)
{
    const struct again *again = &typing->again;
    struct unit_reading reading = {.unit = NULL};

    if (!again->source->unit_header)
        return not_there(typing, "unit",
                         "It stands in the header or in the source. Say what the word means: "
                         "weirbook aside rule SOURCE unit WORD MEANS.",
                         err);

    return unit_read(again->farm->units, typing->order->unit, NULL, &reading, err) &&
           means_itself(typing, "unit", typing->order->unit, err);
}

static bool sample_fits(const struct typing *typing, struct err *err)
{
    if (!typing->again.source->sample_header)
        return not_there(typing, "sample number",
                         "No column of the source has sample numbers: say in the farm file which "
                         "does.",
                         err);

    return !str_empty(typing->order->sample) ||
           err_set(err, ERR_INVALID, "nothing is no sample number");
}

/* Each thing that was typed is checked, and listed in words. */
static bool words_check(struct typing *typing, struct err *err)
{
    const struct type_order *order = typing->order;
    struct arena *mem = typing->again.mem;

    if (!time_read(typing, err))
        return false;

    const char *at = typing->at == INSTANT_NONE ? NULL : instant_text(mem, typing->at);
    const struct {
        const char *what;
        const char *text;
        bool (*fits)(const struct typing *typing, struct err *err);
    } all[TYPED_MOST] = {
        {"value", order->value, value_fits},       {"time", at, time_fits},
        {"station", order->station, station_fits}, {"parameter", order->parameter, parameter_fits},
        {"unit", order->unit, unit_fits},          {"sample", order->sample, sample_fits},
    };

    for (size_t i = 0; i < ARRAY_LEN(all); i++) {
        if (!all[i].text)
            continue;
        if (!all[i].fits(typing, err))
            return false;
        typing->words[typing->word_count++] = (struct typed_word){
            all[i].what, all[i].text,
            all[i].text == at ? zone_text(mem, typing->again.farm->farm->zone, typing->at)
                              : all[i].text};
    }
    if (typing->word_count > 0)
        return true;
    err_set(err, ERR_INVALID, "nothing is typed in its place");

    return err_hint(err, "Say which: value, time, station, parameter, unit or sample, and what is "
                         "right.");
}

/* --- typing --- */

static bool typed_store(const struct again *again, struct db_tx *tx, struct err *err)
{
    const struct typing *typing = again->context;

    for (size_t i = 0; i < typing->rows.count; i++) {
        const struct aside_row *row = &typing->rows.items[i];

        for (size_t j = 0; j < typing->word_count; j++)
            if (!aside_store_typed_add(tx, row->receipt, row->line, row->column,
                                       typing->words[j].what, typing->words[j].text, err))
                return false;
    }

    return true;
}

/* The rows it is for, and nothing else of the file. */
static void places_put(struct typing *typing)
{
    const struct aside_list *rows = &typing->rows;
    struct aside_places places = {
        .items = ARENA_ARRAY(typing->again.mem, struct aside_place, rows->count),
        .count = rows->count};

    for (size_t i = 0; i < rows->count; i++)
        places.items[i] = (struct aside_place){rows->items[i].line, rows->items[i].column};
    typing->again.places = places;
    typing->typed = (struct row_typed){
        .line = rows->items[0].line,
        .column = rows->count == 1 ? rows->items[0].column : 0,
        .value = typing->order->value,
        .station = typing->order->station,
        .parameter = typing->order->parameter,
        .unit = typing->order->unit,
        .sample = typing->order->sample,
        .at = typing->at,
    };
    typing->again.typed = &typing->typed;
}

/* Why nothing could be stored, though something was typed. */
static bool still_waits(const struct typing *typing, struct err *err)
{
    const char *trouble = typing->again.scan.wanted_trouble;

    if (!has_its_cells(typing, err))
        return false;
    if (trouble) {
        err_set(err, ERR_INVALID, "with that the row still can't be accepted: %s", trouble);
        return err_hint(err, "Type that too, in the same command; or leave the row out: weirbook "
                             "aside leave-out.");
    }
    err_set(err, ERR_INVALID, "with that the row contradicts what is stored, or another row");

    return err_hint(err, "See what is stored there. If that is wrong, correct it (weirbook "
                         "correct); else leave this row out: weirbook aside leave-out.");
}

static bool rows_pick(struct typing *typing, struct err *err)
{
    struct again *again = &typing->again;
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(again->db, again->farm->farm_id, &tx, err) &&
           asides_pick(&tx, again->mem, &typing->order->ref, &typing->rows, err);
}

static bool type_in(struct typing *typing, struct correction_done *done, struct err *err)
{
    struct again *again = &typing->again;
    struct arena *mem = again->mem;
    struct entry_field *told = ARENA_ARRAY(mem, struct entry_field, TYPED_MOST + 3);
    struct buf after = buf_new(mem);
    size_t accepted = 0;

    if (!rows_pick(typing, err) || !again_pick(again, NULL, typing->rows.items[0].receipt, err) ||
        !again_source(again, err) || !words_check(typing, err))
        return false;
    places_put(typing);

    const struct aside_row *row = &typing->rows.items[0];

    told[again->told_count++] = (struct entry_field){
        "place", arena_printf(mem, "line %d, column %d", (int)row->line, (int)row->column)};
    told[again->told_count++] = (struct entry_field){"said", row->text};
    told[again->told_count++] = (struct entry_field){"reason", again->reason};
    for (size_t i = 0; i < typing->word_count; i++) {
        const struct typed_word *word = &typing->words[i];

        told[again->told_count++] =
            (struct entry_field){arena_printf(mem, "typed %s", word->what), word->text};
        buf_addf(&after, "%s%s %s", i ? ", " : "", word->what, word->shown);
    }
    again->told = told;
    if (!again_run(again, &accepted, err))
        return false;
    if (accepted == 0)
        return still_waits(typing, err);
    *done = (struct correction_done){.before = row->text, .after = after.data};

    return true;
}

bool aside_type(struct db *db, struct arena *mem, const struct open_farm *farm,
                const struct type_order *order, const struct act *act, struct correction_done *done,
                struct err *err)
{
    struct typing typing = {
        .again = {.db = db,
                  .mem = mem,
                  .farm = farm,
                  .act = act,
                  .second_person = order->second_person,
                  .reason = order->reason,
                  .more = typed_store},
        .order = order,
    };

    typing.again.context = &typing;
    if (str_empty(order->reason)) {
        err_set(err, ERR_INVALID, "a reason is needed, in words");
        return err_hint(err, "Add --because \"...\": an auditor will read it.");
    }

    return act_allowed(farm->farm, act, MAY_CORRECT, err) &&
           correct_second_allowed(farm->farm, order->second_person, act, err) &&
           type_in(&typing, done, err);
}
