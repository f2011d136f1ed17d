/* Of month_inside.h: the first sheet, which is the page to file. */
#include "base/buf.h"
#include "base/str.h"
#include "report/month_inside.h"

/* Marks of our own; each stands beside its words. */
static const char mark_within[] = "\xE2\x97\x8B";         /* an open circle */
static const char mark_outside[] = "\xE2\x97\x8F";        /* a filled one */
static const char mark_not_assessable[] = "\xE2\x97\x8C"; /* a broken one */
static const char mark_nothing[] = "\xE2\x80\x93";        /* a dash */

enum { MARK_COLUMNS = 2, TITLE_POINTS = 30, SIGN_POINTS = 30 };

/* ---- the head ----------------------------------------------------------------------------------
 */

static void write_title(struct month_book *book, struct table *table)
{
    const struct discharge_month *month = book->month;
    uint32_t last = (uint32_t)table->sheet->width_count - 1;

    page_join(table->page, 0, 0, last - MARK_COLUMNS, STYLE_TITLE);
    page_text(table->page, 0, 0, STYLE_TITLE, month->farm->name);
    page_row_height(table->page, 0, TITLE_POINTS);
    if (month->farm->invented) {
        page_join(table->page, 0, last - MARK_COLUMNS + 1, last, STYLE_MARK);
        page_text(table->page, 0, last - MARK_COLUMNS + 1, STYLE_MARK,
                  month_text(book, "month.invented"));
    }
    table->row = 1;
    table_line(table, STYLE_LEAD,
               arena_printf(book->mem, "%s %s", month_text(book, "month.lead"),
                            month_words(book->mem, month->month)));
    table->row++;
}

static const char *points_words(struct month_book *book)
{
    const struct farm_licence *licence = book->month->licence;
    struct buf words = buf_new(book->mem);

    for (size_t i = 0; i < licence->point_count; i++)
        buf_addf(&words, "%s%s", i ? "; " : "",
                 month_station(book, licence->points[i].station, NULL));

    return words.data;
}

static const char *licence_words(struct month_book *book)
{
    const struct farm_licence *licence = book->month->licence;
    struct buf words = buf_new(book->mem);

    buf_addf(&words, "%s, version of %s", licence->number, day_words(book->mem, licence->version));
    if (licence->ends != DAY_NONE)
        buf_addf(&words, ", ends %s", day_words(book->mem, licence->ends));
    if (licence->continued)
        buf_addf(&words, ", continued%s%s", licence->continued_by ? " by " : "",
                 licence->continued_by ? licence->continued_by : "");

    return words.data;
}

static void fact(struct month_book *book, struct table *table, const char *label1,
                 const char *value1, const char *label2, const char *value2)
{
    table_text(table, "label1", month_text(book, label1));
    table_text(table, "value1", value1);
    table_text(table, "label2", month_text(book, label2));
    table_text(table, "value2", value2);
    table_next(table);
}

/* Days in a state, counted over Daily where that comes to the number told. */
static void write_days(struct month_book *book, struct table *table, const char *column,
                       const char *pattern, bool (*is)(enum discharge_state), int told)
{
    const struct evidence *evidence = book->month->evidence;
    day_number next = month_next(book->month->month);
    int count = 0;

    for (size_t i = 0; i < evidence->day_count; i++) {
        const struct discharge_day *day = &evidence->days[i];

        count += day->day >= book->month->month && day->day < next && is(day->state) ? 1 : 0;
    }
    if (book->discharge.rows > 0 && count == told)
        table_formula(
            table, column, "0",
            arena_printf(book->mem, "=COUNTIF(%s,\"%s\")", book->discharge.live.cells, pattern),
            told);
    else
        table_number(table, column, "0", told);
}

static bool is_discharging(enum discharge_state state)
{
    return state == DISCHARGE_YES || state == DISCHARGE_DISAGREES;
}

static bool is_counted_discharging(enum discharge_state state)
{
    return state != DISCHARGE_NONE;
}

static bool is_without(enum discharge_state state)
{
    return state == DISCHARGE_NONE;
}

static bool is_unknown(enum discharge_state state)
{
    return state == DISCHARGE_UNKNOWN;
}

/* The words that a count of discharging days is about differ by whether unknown days are in it. */
static void write_days_discharged(struct month_book *book, struct table *table)
{
    const struct discharge_month *month = book->month;
    int all = 0;

    for (size_t i = 0; i < month->evidence->day_count; i++) {
        const struct discharge_day *day = &month->evidence->days[i];

        all += day->day >= month->month && day->day < month_next(month->month) &&
                       is_counted_discharging(day->state)
                   ? 1
                   : 0;
    }
    if (all == month->days_discharged)
        write_days(book, table, "value1", "*discharging", is_counted_discharging,
                   month->days_discharged);
    else
        write_days(book, table, "value1", month_discharge_words[DISCHARGE_YES], is_discharging,
                   month->days_discharged);
}

/* The month's volume as a sum over Daily, where one of the limits has it by day. */
static void write_volume(struct month_book *book, struct table *table)
{
    const struct discharge_month *month = book->month;

    table_text(table, "label2", month_text(book, "month.volume"));
    if (!month->volume_m3) {
        table_text(table, "value2", month_text(book, "month.not_known"));
        return;
    }

    double volume = exact_double(month->volume_m3);
    const char *text = exact_text(book->mem, month->volume_m3, 12);
    int decimals = month_decimals(text) > 3 ? 3 : month_decimals(text);
    const char *format =
        arena_printf(book->mem, "%s\" m3%s%s\"", book_number_format(book->mem, '=', decimals, 0),
                     month->volume_note ? ", " : "", month->volume_note ? month->volume_note : "");

    for (size_t i = 0; i < book->limit_count; i++) {
        const struct live_range *range = &book->limits[i].volumes.live;
        double sum = 0;

        for (size_t j = 0; j < range->count; j++)
            sum += range->values[j];
        if (range->count == 0 || !live_same(sum, volume))
            continue;
        table_formula(table, "value2", format, arena_printf(book->mem, "=SUM(%s)", range->cells),
                      volume);
        return;
    }
    table_number(table, "value2", format, volume);
}

static void write_facts(struct month_book *book, struct table *table)
{
    const struct discharge_month *month = book->month;

    fact(book, table, "month.licence", licence_words(book), "month.month",
         month_words(book->mem, month->month));
    fact(book, table, "month.holder", month->licence->holder, "month.made_by", month->made_by);
    fact(book, table, "month.authority", month->authority->name, "month.points",
         points_words(book));
    table_text(table, "label1", month_text(book, "month.days"));
    write_days_discharged(book, table);
    write_volume(book, table);
    table_next(table);
    table_text(table, "label1", month_text(book, "month.days_without"));
    write_days(book, table, "value1", month_discharge_words[DISCHARGE_NONE], is_without,
               month->days_without_discharge);
    table_text(table, "label2", month_text(book, "month.volume_note"));
    table_text(table, "value2", month->volume_note);
    table_next(table);
    table_text(table, "label1", month_text(book, "month.days_unknown"));
    write_days(book, table, "value1", "not known*", is_unknown, month->days_unknown);
    table_next(table);
}

/* ---- each limit --------------------------------------------------------------------------------
 */

static const char *mark_of(const struct verdict *verdict)
{
    static const char *const marks[] = {
        [STANDING_WITHIN] = mark_within,
        [STANDING_OUTSIDE] = mark_outside,
        [STANDING_NOT_ASSESSABLE] = mark_not_assessable,
        [STANDING_NOTHING_DUE] = mark_nothing,
    };

    return marks[verdict->standing];
}

static void write_mark(struct month_book *book, struct table *table,
                       const struct month_limit *limit)
{
    enum standing standing = limit->verdict->standing;
    const char *mark = mark_of(limit->verdict);

    if (standing != STANDING_WITHIN && standing != STANDING_OUTSIDE) {
        table_text(table, "mark", mark);
        return;
    }
    table_formula_text(table, "mark",
                       arena_printf(book->mem,
                                    "=IF(ISNUMBER(SEARCH(\"outside\",%s)),\"%s\",\"%s\")",
                                    limit->verdict_words.reference, mark_outside, mark_within),
                       mark);
}

static const char *rules_words(struct month_book *book, const struct limit *limit)
{
    return arena_printf(book->mem, "%s %s; %s", month_text(book, "month.less_than"),
                        month_less_than_words(book, limit), month_rounding_words(book, limit));
}

/* "2 of them less-thans; 1 row set aside that could belong here; ..." or "". */
static const char *beside_words(struct month_book *book, const struct verdict *verdict)
{
    const struct {
        size_t count;
        const char *one;
        const char *more;
    } parts[] = {
        {verdict->less_thans, "less-than among the samples", "less-thans among the samples"},
        {verdict->in_doubt, "reading in doubt", "readings in doubt"},
        {verdict->set_aside, "row set aside that could belong here",
         "rows set aside that could belong here"},
        {verdict->left_out, "reading left out by a person", "readings left out by a person"},
    };
    struct buf words = buf_new(book->mem);

    if (verdict->reason)
        buf_add_text(&words, verdict->reason);
    for (size_t i = 0; i < ARRAY_LEN(parts); i++) {
        if (parts[i].count > 0)
            buf_addf(&words, "%s%zu %s", words.len ? "; " : "", parts[i].count,
                     parts[i].count == 1 ? parts[i].one : parts[i].more);
    }

    return words.data;
}

static void write_limit_rows(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->limit_count; i++) {
        const struct month_limit *limit = &book->limits[i];
        const char *beside = beside_words(book, limit->verdict);

        write_mark(book, table, limit);
        table_text(table, "clause", limit->limit->clause);
        table_text(
            table, "name",
            arena_printf(book->mem, "%s, %s", limit->limit->name,
                         month_station(book, limit->limit->station, limit->limit->position)));
        table_text(table, "bound", limit_words(book->mem, limit->limit));
        month_show(table, "figure", &limit->compared);
        table_text(table, "unit", limit->limit->unit);
        month_show(table, "verdict", &limit->verdict_words);
        month_show(table, "samples", &limit->samples);
        table_text(table, "rules", rules_words(book, limit->limit));
        table_text(table, "authority", book->month->authority->name);
        table_next(table);
        if (*beside) {
            struct table under =
                table_begin_bare(table->page, table->sheet, "limit_note", table->row);

            table_text(&under, "note", beside);
            table_next(&under);
            table->row = under.row;
        }
    }
}

/* ---- what was outside, day by day --------------------------------------------------------------
 */

/* The worst of a day's values beyond the bound, and how many there were. */
struct outside_day {
    day_number day;
    size_t count;
    const struct verdict_item *worst;
};

static bool is_worse(enum side side, const struct exact *value, const struct exact *than)
{
    return side == SIDE_BELOW ? exact_compare(value, than) < 0 : exact_compare(value, than) > 0;
}

static void write_outside_row(struct month_book *book, struct table *table,
                              const struct month_limit *limit, const char *date, const char *value,
                              const char *words)
{
    table_text(table, "date", date);
    table_text(table, "place", month_station(book, limit->limit->station, limit->limit->position));
    table_text(table, "limit", limit->limit->name);
    table_text(table, "value", value);
    table_text(table, "words", words);
    table_next(table);
}

static const char *value_words(struct month_book *book, const struct verdict_item *item)
{
    const char *mark = item->qualifier == QUALIFIER_LESS      ? "<"
                       : item->qualifier == QUALIFIER_GREATER ? ">"
                                                              : "";

    return arena_printf(book->mem, "%s%s", mark, exact_text(book->mem, item->value, 12));
}

static size_t write_outside_items(struct month_book *book, struct table *table,
                                  const struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;
    size_t rows = 0;

    for (day_number day = verdict->from; day <= verdict->to; day++) {
        struct outside_day found = {.day = day};

        for (size_t i = 0; i < verdict->item_count; i++) {
            const struct verdict_item *item = &verdict->items[i];

            if (item->day != day || !item->outside || !item->value)
                continue;
            found.count++;
            if (!found.worst || is_worse(verdict->side, item->value, found.worst->value))
                found.worst = item;
        }
        if (found.count == 0)
            continue;

        const struct evidence_reading *reading =
            &book->month->evidence->series[found.worst->series].readings[found.worst->reading];

        write_outside_row(
            book, table, limit, zone_text(book->mem, book->month->farm->zone, reading->at),
            value_words(book, found.worst),
            found.count == 1
                ? limit_bound_words(book->mem, limit->limit)
                : arena_printf(book->mem, "%s; the worst of %zu that day",
                               limit_bound_words(book->mem, limit->limit), found.count));
        rows++;
    }

    return rows;
}

static size_t write_outside_days(struct month_book *book, struct table *table,
                                 const struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;
    size_t rows = 0;

    for (size_t i = 0; i < verdict->day_count; i++) {
        const struct verdict_day *day = &verdict->days[i];

        if (!day->outside || !day->figure)
            continue;
        write_outside_row(book, table, limit, day_text(book->mem, day->day),
                          exact_text(book->mem, day->figure, 6),
                          limit_bound_words(book->mem, limit->limit));
        rows++;
    }

    return rows;
}

static void write_outside(struct month_book *book, struct table *table)
{
    size_t rows = 0;

    for (size_t i = 0; i < book->limit_count; i++) {
        const struct month_limit *limit = &book->limits[i];
        size_t before = rows;

        rows += write_outside_items(book, table, limit);
        if (rows == before)
            rows += write_outside_days(book, table, limit);
        if (rows > before || limit->verdict->standing != STANDING_OUTSIDE)
            continue;
        write_outside_row(book, table, limit,
                          arena_printf(book->mem, "%s to %s",
                                       day_text(book->mem, limit->verdict->from),
                                       day_text(book->mem, limit->verdict->to)),
                          limit->verdict->compared_text, limit_words(book->mem, limit->limit));
        rows++;
    }
    if (rows == 0)
        table_line(table, STYLE_PLAIN, table->definition->empty);
}

/* ---- sampling, findings, corrections ------------------------------------------------------------
 */

static const char *dues_words(struct month_book *book, const struct due_list *dues)
{
    struct buf words = buf_new(book->mem);

    for (size_t i = 0; i < dues->count; i++) {
        const struct due *due = &dues->items[i];

        if (due->state == DUE_DONE)
            continue;
        buf_addf(&words, "%s%s", words.len ? "\n" : "",
                 due->words ? due->words : due_state_name(due->state));
        if (due->explanation)
            buf_addf(&words, " (%s)", due->explanation);
    }

    return words.data;
}

static int missed_of(const struct due_list *dues)
{
    int missed = 0;

    for (size_t i = 0; i < dues->count; i++)
        missed += dues->items[i].state == DUE_MISSED ? 1 : 0;

    return missed;
}

static void write_sampling(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->month->interval_count; i++) {
        const struct report_interval *row = &book->month->intervals[i];

        table_text(table, "clause", row->interval->clause);
        table_text(table, "name", row->interval->name);
        table_text(table, "asked", interval_words(book->mem, row->interval));
        table_number(table, "required", "0", row->required);
        table_number(table, "done", "0", row->done);
        table_number(table, "missed", "0", missed_of(&row->dues));
        table_text(table, "words", dues_words(book, &row->dues));
        table_next(table);
    }
    if (book->month->interval_count == 0)
        table_line(table, STYLE_PLAIN, table->definition->empty);
}

static void write_findings(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->month->finding_count; i++) {
        const struct report_finding *row = &book->month->findings[i];

        table_text(table, "title", row->title);
        table_text(table, "standing", row->standing);
        table_number(table, "opened", NULL, month_moment_number(book, row->opened_at));
        table_text(table, "words", row->words);
        table_next(table);
    }
    if (book->month->finding_count == 0)
        table_line(table, STYLE_PLAIN, table->definition->empty);
}

/* Corrections that nobody else looked at and that moved a figure inside belong on this page. */
static size_t count_moved(const struct discharge_month *month)
{
    size_t moved = 0;

    for (size_t i = 0; i < month->correction_count; i++)
        moved += month->corrections[i].outside_to_inside ? 1 : 0;

    return moved;
}

static void write_moved(struct month_book *book, struct table *table)
{
    for (size_t i = 0; i < book->month->correction_count; i++) {
        const struct report_correction *row = &book->month->corrections[i];

        if (!row->outside_to_inside)
            continue;
        table_text(table, "at", zone_text(book->mem, book->month->farm->zone, row->at));
        table_text(table, "what",
                   arena_printf(book->mem, "%s, %s", month_station(book, row->station, NULL),
                                month_parameter(book, row->parameter)));
        table_text(table, "first", row->first_value);
        table_text(table, "new", row->new_value);
        table_text(table, "person", row->person);
        table_text(table, "reason", row->reason);
        table_next(table);
    }
}

/* ---- the foot -----------------------------------------------------------------------------------
 */

static void write_signature(struct month_book *book, struct page *page, uint32_t row)
{
    const struct report_sheet *sheet = book->sheets[SHEET_MONTH];
    const struct discharge_month *month = book->month;
    struct table lines = table_begin_bare(page, sheet, "signature", row);

    table_line(&lines, STYLE_SECTION, month_text(book, "month.certification"));
    table_line(&lines, STYLE_PLAIN,
               month->licence->certification ? month->licence->certification
                                             : month_text(book, "month.no_certification"));
    page_row_height(page, lines.row, SIGN_POINTS);
    table_text(&lines, "name_label", month_text(book, "month.signer"));
    table_text(&lines, "name",
               month->signer ? arena_printf(book->mem, "%s, %s", month->signer->name,
                                            month->signer->position ? month->signer->position : "")
                             : "");
    table_text(&lines, "sign_label", month_text(book, "month.signature"));
    table_text(&lines, "date_label", month_text(book, "month.date"));
    table_next(&lines);
    lines.row++;
    table_line(&lines, STYLE_SECTION, month_text(book, "month.decides"));
    table_line(&lines, STYLE_CAUTION,
               arena_printf(book->mem, "%s %s%s%s%s%s", month_text(book, "who_decides"),
                            month->authority->name, month->authority->decides ? " decides: " : "",
                            month->authority->decides ? month->authority->decides : "",
                            month->authority->call ? ". To ask: " : "",
                            month->authority->call ? month->authority->call : ""));
    table_line(&lines, STYLE_SMALL,
               arena_printf(book->mem, "%s %s, %s", month_text(book, "files.made"),
                            month->program_version, instant_text(book->mem, month->made_at)));
}

/* One table of the page: what writes its rows. */
typedef void section_writer(struct month_book *book, struct table *table);

static uint32_t write_section(struct month_book *book, const char *key, uint32_t row,
                              section_writer *write)
{
    struct table table =
        table_begin(book->pages[SHEET_MONTH], book->sheets[SHEET_MONTH], key, row, NULL);

    write(book, &table);

    return table.row + 1;
}

void month_write_page(struct month_book *book)
{
    struct page *page = book->pages[SHEET_MONTH];
    struct table facts = table_begin_bare(page, book->sheets[SHEET_MONTH], "facts", 0);
    uint32_t row;

    write_title(book, &facts);
    write_facts(book, &facts);
    row = write_section(book, "limits", facts.row + 1, write_limit_rows);
    page_show_outside(page, facts.row, 0, row,
                      (uint32_t)book->sheets[SHEET_MONTH]->width_count - 1);
    row = write_section(book, "outside", row, write_outside);
    row = write_section(book, "sampling", row, write_sampling);
    row = write_section(book, "findings", row, write_findings);
    if (count_moved(book->month) > 0)
        row = write_section(book, "moved", row, write_moved);
    write_signature(book, page, row);
}
