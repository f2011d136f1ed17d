/* Of month_inside.h: the first sheet, which is the page to file. */
#include "base/buf.h"
#include "base/str.h"
#include "judge/across.h"
#include "report/month_inside.h"

/* Marks of our own; each stands beside its words. */
static const char mark_within[] = "\xE2\x97\x8B";         /* an open circle */
static const char mark_outside[] = "\xE2\x97\x8F";        /* a filled one */
static const char mark_not_assessable[] = "\xE2\x97\x8C"; /* a broken one */
static const char mark_nothing[] = "\xE2\x80\x93";        /* a dash */

enum { MARK_COLUMNS = 2, PAD_MOST = 4, TITLE_POINTS = 30, SIGN_POINTS = 30, ROWS_A_PAGE = 20 };

/* ---- the head ---- */

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
    int decimals = month_decimals(exact_text(book->mem, month->volume_m3, 12)) > 0 ? 1 : 0;
    const char *format =
        arena_printf(book->mem, "%s\" m3\"", book_number_format(book->mem, '=', decimals, 0));

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

/* ---- each limit ---- */

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

static bool has_less_than(const struct verdict *verdict)
{
    for (size_t i = 0; i < verdict->item_count; i++) {
        char qualifier = verdict->items[i].qualifier;

        if (qualifier == QUALIFIER_LESS || qualifier == QUALIFIER_NOT_DETECTED)
            return true;
    }

    return false;
}

/* The rule for less-thans is worth saying only where there are any. */
static const char *rules_words(struct month_book *book, const struct verdict *verdict)
{
    if (month_is_state(verdict->limit))
        return "";
    if (!has_less_than(verdict))
        return month_rounding_words(book, verdict->limit);

    return arena_printf(book->mem, "%s %s; %s", month_text(book, "month.less_than"),
                        month_less_than_words(book, verdict->limit),
                        month_rounding_words(book, verdict->limit));
}

static bool is_among(const char *const *keys, size_t count, const char *key)
{
    for (size_t i = 0; i < count; i++) {
        if (str_equal(keys[i], key))
            return true;
    }

    return false;
}

/* Whether it took something of the clause from outside to inside, or all of it to within. */
static bool moved(const struct report_correction *correction, const struct limit *limit)
{
    return is_among(correction->moved, correction->moved_count, limit->key) ||
           is_among(correction->cleared, correction->cleared_count, limit->key);
}

static size_t lone_corrections(const struct discharge_month *month, const struct limit *limit)
{
    size_t count = 0;

    for (size_t i = 0; i < month->correction_count; i++) {
        const struct report_correction *one = &month->corrections[i];

        count += month_moved_alone(one) && moved(one, limit);
    }

    return count;
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
        {verdict->not_given, "derived value not given", "derived values not given"},
        {verdict->set_aside - verdict->not_given, "row set aside that could belong here",
         "rows set aside that could belong here"},
        {verdict->undischarged, "result without discharge, not counted",
         "results without discharge, not counted"},
        {verdict->left_out, "reading left out by a person", "readings left out by a person"},
        {lone_corrections(book->month, verdict->limit),
         "correction that one person alone made brought something inside: see below",
         "corrections that one person alone made brought something inside: see below"},
    };
    struct buf words = buf_new(book->mem);

    if (verdict->reason)
        buf_add_text(&words, verdict->reason);
    if (verdict->window_count > 1 && verdict->compared_text)
        buf_addf(&words, "%s%s", words.len ? "; " : "", verdict_figure_words(book->mem, verdict));
    if (verdict->standing == STANDING_WITHIN && verdict->limit->beside != BESIDE_NONE)
        buf_addf(&words, "%snobody has confirmed the changed form, by which it is within too",
                 words.len ? "; " : "");
    if (verdict->across_count > 0)
        buf_addf(&words, "%s%s beyond it", words.len ? "; " : "",
                 across_words(book->mem, verdict->limit, verdict->across_beyond));
    for (size_t i = 0; i < ARRAY_LEN(parts); i++) {
        if (parts[i].count > 0)
            buf_addf(&words, "%s%zu %s", words.len ? "; " : "", parts[i].count,
                     parts[i].count == 1 ? parts[i].one : parts[i].more);
    }

    return words.data;
}

/* Most decimals of any figure on the page, so that points stand under each other. */
static int most_decimals(const struct month_book *book)
{
    int most = 0;

    for (size_t i = 0; i < book->limit_count; i++)
        most = book->limits[i].compared.decimals > most ? book->limits[i].compared.decimals : most;

    return most < PAD_MOST ? most : PAD_MOST;
}

/* Its name, the days it covers, where, and of a volume what measures it. */
static const char *name_words(struct month_book *book, const struct verdict *verdict)
{
    const struct limit *limit = verdict->limit;
    const char *by = month_measured_by(book, limit);

    return arena_printf(book->mem, "%s, %s%s%s", month_limit_name(book, verdict),
                        month_station(book, limit->station, limit->position), *by ? ", " : "", by);
}

/* Whether one authority decides about every limit of the page. */
static bool one_authority(const struct month_book *book)
{
    for (size_t i = 0; i < book->limit_count; i++) {
        const char *authority = book->limits[i].limit->authority;

        if (authority && !str_equal(authority, book->month->authority->key))
            return false;
    }

    return true;
}

static const char *authority_name(const struct month_book *book, const struct limit *limit)
{
    const struct farm_authority *authority =
        limit->authority ? farm_find_authority(book->month->farm, limit->authority) : NULL;

    return authority ? authority->name : book->month->authority->name;
}

static void write_under(struct table *table, const char *words)
{
    struct table under = table_begin_bare(table->page, table->sheet, "limit_note", table->row);

    table_text(&under, "note", words);
    table_next(&under);
    table->row = under.row;
}

static void write_limit_rows(struct month_book *book, struct table *table)
{
    bool one = one_authority(book);
    uint32_t first_row = table->row;
    int pad_to = most_decimals(book);

    for (size_t i = 0; i < book->limit_count; i++) {
        const struct month_limit *limit = &book->limits[i];
        const char *beside = beside_words(book, limit->verdict);

        write_mark(book, table, limit);
        table_text(table, "clause", limit->limit->clause);
        table_text(table, "name", name_words(book, limit->verdict));
        table_text(table, "bound", limit_words(book->mem, limit->limit));
        month_show(table, "figure", &limit->compared, pad_to);
        table_text(table, "unit",
                   month_is_state(limit->limit) ? "" : limit_figure_unit(book->mem, limit->limit));
        month_show(table, "verdict", &limit->verdict_words, 0);
        month_show(table, "samples", &limit->samples, 0);
        table_text(table, "rules", rules_words(book, limit->verdict));
        table_next(table);
        if (!one)
            write_under(table,
                        arena_printf(book->mem, "%s: %s", month_text(book, "month.authority"),
                                     authority_name(book, limit->limit)));
        if (*beside)
            write_under(table, beside);
    }
    if (table->row > first_row)
        page_show_outside(table->page, first_row, table_at(table, "verdict"), table->row - 1,
                          table_at(table, "verdict"));
}

/* The heading of the limits and, said once, who decides about them; the row after it. */
static uint32_t write_limits_head(struct month_book *book, const struct table *facts)
{
    struct table head = table_begin_bare(facts->page, facts->sheet, "limits", facts->row + 1);

    table_line(&head, STYLE_SECTION, head.definition->heading);
    if (one_authority(book))
        table_line(&head, STYLE_SMALL,
                   arena_printf(book->mem, "%s %s", book->month->authority->name,
                                month_text(book, "month.one_authority")));

    return head.row;
}

/* ---- the foot ---- */

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
    table_line(
        &lines, STYLE_SMALL,
        arena_printf(book->mem, "%s %s, %s. %s %s", month_text(book, "files.made"),
                     month->program_version, month_made_words(book),
                     month_text(book, "month.to_file"),
                     month_text(book, month_readings_stay_unprinted(book) ? "month.unprinted"
                                                                          : "month.printed")));
}

void month_write_page(struct month_book *book)
{
    struct page *page = book->pages[SHEET_MONTH];
    struct table facts = table_begin_bare(page, book->sheets[SHEET_MONTH], "facts", 0);

    write_title(book, &facts);
    write_facts(book, &facts);

    uint32_t row = write_limits_head(book, &facts);
    struct table limits = table_begin(page, book->sheets[SHEET_MONTH], "limits", row, "");

    write_limit_rows(book, &limits);

    uint32_t after = limits.row + 1;

    /* Limits that fill a page leave no heading alone at its foot. */
    if (after > ROWS_A_PAGE)
        page_breaks(page, &after, 1);
    write_signature(book, page, month_write_sections(book, after));
}
