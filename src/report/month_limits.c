/*
 * Of month_inside.h: the sheet of limits. Each has its wording beside our form of it, every
 * choice that could flip its verdict, and its figures as formulas over Daily or Readings.
 */
#include "base/buf.h"
#include "base/str.h"
#include "judge/limit.h"
#include "judge/limit_choices.h"
#include "report/month_inside.h"

enum { DECIMALS_MOST = 6, LIMITS_A_PAGE = 2 };

/* ---- pairs of a label and a value ---- */

/* A row of the sheet holds two pairs. */
struct pairs {
    struct month_book *book;
    struct table table;
    bool right; /* the next pair goes there */
};

static void pair_end(struct pairs *pairs)
{
    if (pairs->right)
        table_next(&pairs->table);
    pairs->right = !pairs->right;
}

static void pair_label(struct pairs *pairs, const char *label)
{
    table_text(&pairs->table, pairs->right ? "label2" : "label1", month_text(pairs->book, label));
}

static const char *pair_column(const struct pairs *pairs)
{
    return pairs->right ? "value2" : "value1";
}

/* Where the pair's value is about to stand. */
static const char *pair_cell(const struct pairs *pairs)
{
    return book_range(pairs->book->mem, pairs->table.page, pairs->table.row, pairs->table.row,
                      table_at(&pairs->table, pair_column(pairs)));
}

static void pair_text(struct pairs *pairs, const char *label, const char *text)
{
    pair_label(pairs, label);
    table_text(&pairs->table, pair_column(pairs), text);
    pair_end(pairs);
}

/* A number, by its formula where it has one. */
static void pair_number(struct pairs *pairs, const char *label, const char *format,
                        const char *formula, double value)
{
    pair_label(pairs, label);
    if (formula)
        table_formula(&pairs->table, pair_column(pairs), format, formula, value);
    else
        table_number(&pairs->table, pair_column(pairs), format, value);
    pair_end(pairs);
}

/* Start a new row when half of one is written. */
static void pair_left(struct pairs *pairs)
{
    if (pairs->right)
        pair_end(pairs);
}

/* ---- figures ---- */

/* What of the verdict is worked out from which cells. */
struct worked {
    const struct live_range *range; /* NULL: by the program alone */
    const char *figure;             /* formula, or NULL */
};

/* The cells whose figure is the one judged; the days' first where the limit makes daily figures. */
static struct worked work_out(struct month_book *book, const struct month_limit *limit,
                              const struct live_bound *bound)
{
    const struct live_range *by_day[] = {&limit->figures.live, &limit->used.live,
                                         &limit->values.live};
    const struct live_range *by_reading[] = {&limit->used.live, &limit->values.live,
                                             &limit->figures.live};
    const struct live_range **tries = limit->limit->daily == DAILY_EVERY ? by_reading : by_day;

    for (size_t i = 0; i < ARRAY_LEN(by_day); i++) {
        const char *formula =
            tries[i]->cells ? live_figure(book->mem, limit->verdict, tries[i], bound) : NULL;

        if (formula)
            return (struct worked){.range = tries[i], .figure = formula};
    }

    return (struct worked){0};
}

static struct live_bound write_bounds(struct pairs *pairs, const struct limit *limit)
{
    struct live_bound cells = {0};
    struct arena *mem = pairs->book->mem;

    if (limit->bound.has_ceiling) {
        cells.ceiling = pair_cell(pairs);
        pair_number(pairs,
                    limit->bound.ceiling_reached_is_outside ? "limits.below" : "limits.not_above",
                    book_number_format(mem, '=', limit->bound.ceiling.scale, 0), NULL,
                    decimal_double(limit->bound.ceiling));
    }
    if (limit->bound.has_floor) {
        cells.floor = pair_cell(pairs);
        pair_number(pairs,
                    limit->bound.floor_reached_is_outside ? "limits.above" : "limits.not_below",
                    book_number_format(mem, '=', limit->bound.floor.scale, 0), NULL,
                    decimal_double(limit->bound.floor));
    }
    pair_left(pairs);

    return cells;
}

/* '<' or '>' in front of a figure of which that is all that is known; else '='. */
static char mark_of(const char *text)
{
    return text && (*text == '<' || *text == '>') ? *text : '=';
}

static const char *format_of(struct month_book *book, const char *text)
{
    int decimals = month_decimals(text);

    return book_number_format(book->mem, mark_of(text),
                              decimals > DECIMALS_MOST ? DECIMALS_MOST : decimals, 0);
}

/* Of a state the figure is the word that was read. */
static void write_word(struct pairs *pairs, const char *label, struct month_cell *cell,
                       const char *word)
{
    *cell = (struct month_cell){.reference = pair_cell(pairs), .text = word};
    pair_text(pairs, label, word);
}

static void write_figure(struct pairs *pairs, struct month_limit *limit,
                         const struct worked *worked)
{
    const struct verdict *verdict = limit->verdict;
    struct month_cell *cell = &limit->figure;

    if (!verdict->figure) {
        cell->text = month_text(pairs->book, "limits.no_figure");
        pair_text(pairs, "limits.figure", cell->text);
        return;
    }
    if (month_is_state(verdict->limit)) {
        write_word(pairs, "limits.figure", cell, verdict->figure_text);
        return;
    }
    *cell = (struct month_cell){.reference = pair_cell(pairs),
                                .is_number = true,
                                .number = exact_double(verdict->figure),
                                .format = format_of(pairs->book, verdict->figure_text)};
    pair_number(pairs, "limits.figure", cell->format, worked->figure, cell->number);
}

/* Digits after the point of the figure compared, as the first page shows it. */
static int shown_decimals(struct month_book *book, const struct verdict *verdict)
{
    struct rounding rounding = month_shown_rounding(book, verdict->limit, verdict->compared);

    return verdict->limit->daily == DAILY_TOTAL
               ? month_decimals(exact_rounded_text(book->mem, verdict->compared, rounding))
               : month_decimals(verdict->compared_shown);
}

static void write_compared(struct pairs *pairs, struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;
    struct month_cell *cell = &limit->compared;

    if (!verdict->compared) {
        cell->text = verdict->compared_text ? verdict->compared_text : "";
        pair_text(pairs, "limits.compared", cell->text);
        return;
    }
    if (month_is_state(verdict->limit)) {
        write_word(pairs, "limits.compared", cell, verdict->compared_text);
        return;
    }

    const char *formula =
        limit->figure.reference
            ? live_rounding(pairs->book->mem, limit->figure.reference, verdict->limit->rounding,
                            limit->figure.number, exact_double(verdict->compared))
            : NULL;

    *cell = (struct month_cell){.reference = pair_cell(pairs),
                                .is_number = true,
                                .number = exact_double(verdict->compared),
                                .mark = mark_of(verdict->compared_text),
                                .decimals = shown_decimals(pairs->book, verdict),
                                .format = format_of(pairs->book, verdict->compared_text)};
    pair_number(pairs, "limits.compared", cell->format, formula, cell->number);
}

static void write_verdict(struct pairs *pairs, struct month_limit *limit,
                          const struct live_bound *bound)
{
    struct arena *mem = pairs->book->mem;
    struct month_cell *cell = &limit->verdict_words;
    const char *formula = limit->compared.reference
                              ? live_verdict(mem, limit->verdict, limit->compared.reference, bound)
                              : NULL;

    cell->reference = pair_cell(pairs);
    cell->text = arena_printf(mem, "%s%s", verdict_standing_words(mem, limit->verdict),
                              verdict_doubt_words(limit->verdict));
    pair_label(pairs, "limits.verdict");
    page_show_outside(pairs->table.page, pairs->table.row,
                      table_at(&pairs->table, pair_column(pairs)), pairs->table.row,
                      table_at(&pairs->table, pair_column(pairs)));
    if (formula)
        table_formula_text(&pairs->table, pair_column(pairs), formula, cell->text);
    else
        table_text(&pairs->table, pair_column(pairs), cell->text);
    pair_end(pairs);
}

static void write_samples(struct pairs *pairs, struct month_limit *limit,
                          const struct worked *worked)
{
    struct month_cell *cell = &limit->samples;
    double samples = (double)limit->verdict->samples;
    bool live = worked->range && worked->range->count == limit->verdict->samples;

    *cell = (struct month_cell){
        .reference = pair_cell(pairs), .is_number = true, .number = samples, .format = "0"};
    pair_number(pairs, "limits.samples", "0",
                live ? arena_printf(pairs->book->mem, "=COUNT(%s)", worked->range->cells) : NULL,
                samples);
}

/* Values beyond the bound, counted by the spreadsheet where it comes to the same number. */
static const char *beyond_formula(struct month_book *book, const struct month_limit *limit,
                                  const struct worked *worked, const struct live_bound *bound)
{
    const struct limit_bound *rule = &limit->limit->bound;
    struct buf formula = buf_new(book->mem);
    size_t count = 0;

    if (!worked->range || limit->limit->statistic != STATISTIC_VALUE ||
        limit->limit->bound_by.kind != BOUND_NUMBER)
        return NULL;
    for (size_t i = 0; i < worked->range->count; i++) {
        double value = worked->range->values[i];
        double ceiling = decimal_double(rule->ceiling);
        double floor = decimal_double(rule->floor);

        if ((rule->has_ceiling &&
             (value > ceiling || (rule->ceiling_reached_is_outside && value >= ceiling))) ||
            (rule->has_floor &&
             (value < floor || (rule->floor_reached_is_outside && value <= floor))))
            count++;
    }
    if (count != limit->verdict->beyond)
        return NULL;
    buf_add_char(&formula, '=');
    if (rule->has_ceiling)
        buf_addf(&formula, "COUNTIF(%s,\"%s\"&%s)", worked->range->cells,
                 rule->ceiling_reached_is_outside ? ">=" : ">", bound->ceiling);
    if (rule->has_floor)
        buf_addf(&formula, "%sCOUNTIF(%s,\"%s\"&%s)", rule->has_ceiling ? "+" : "",
                 worked->range->cells, rule->floor_reached_is_outside ? "<=" : "<", bound->floor);

    return formula.data;
}

static void write_beside(struct pairs *pairs, const struct month_limit *limit)
{
    const struct verdict *verdict = limit->verdict;

    pair_number(pairs, "limits.less_thans", "0", NULL, (double)verdict->less_thans);
    pair_number(pairs, "limits.in_doubt", "0", NULL, (double)verdict->in_doubt);
    pair_number(pairs, "limits.set_aside", "0", NULL, (double)verdict->set_aside);
    pair_number(pairs, "limits.left_out", "0", NULL, (double)verdict->left_out);
    if (verdict->has_coverage)
        pair_text(pairs, "limits.coverage",
                  arena_printf(pairs->book->mem, "%s %%",
                               decimal_text(pairs->book->mem, verdict->coverage)));
    pair_left(pairs);
}

static void write_figures(struct pairs *pairs, struct month_limit *limit,
                          const struct live_bound *bound)
{
    struct month_book *book = pairs->book;
    struct worked worked = work_out(book, limit, bound);

    write_figure(pairs, limit, &worked);
    write_compared(pairs, limit);
    write_verdict(pairs, limit, bound);
    write_samples(pairs, limit, &worked);
    pair_number(pairs, "limits.beyond", "0", beyond_formula(book, limit, &worked, bound),
                (double)limit->verdict->beyond);
    write_beside(pairs, limit);
    if (limit->verdict->figure && !worked.figure && !month_is_state(limit->limit))
        table_line(&pairs->table, STYLE_SMALL, month_text(book, "limits.not_live"));
    if (limit->verdict->reason)
        table_line(&pairs->table, STYLE_PLAIN,
                   arena_printf(book->mem, "%s: %s", standing_name(limit->verdict->standing),
                                limit->verdict->reason));
}

/* Choices that few limits make and that have no cell of their own. */
static void write_choices_beside(struct table *table, struct month_book *book,
                                 const struct limit *limit)
{
    const char *words = limit_beside_words(book->mem, limit);

    if (*words)
        table_line(table, STYLE_PLAIN,
                   arena_printf(book->mem, "%s: %s", month_text(book, "limits.beside"), words));
}

static void write_limit(struct pairs *pairs, struct month_limit *limit)
{
    struct month_book *book = pairs->book;
    const struct limit *of = limit->limit;

    table_line(&pairs->table, STYLE_SECTION,
               arena_printf(book->mem, "%s. %s", of->clause ? of->clause : "",
                            month_limit_name(book, limit->verdict)));
    if (of->wording)
        table_line(
            &pairs->table, STYLE_CAUTION,
            arena_printf(book->mem, "%s: %s", month_text(book, "limits.wording"), of->wording));
    table_line(&pairs->table, STYLE_PLAIN,
               arena_printf(book->mem, "%s: %s", month_text(book, "limits.ours"),
                            limit_words(book->mem, of)));
    write_choices_beside(&pairs->table, book, of);
    for (size_t i = 0; i < month_choice_count; i++) {
        if (!(month_choices[i].of_numbers && month_is_state(of)))
            pair_text(pairs, month_choices[i].label, month_choices[i].words(book, of));
    }
    pair_left(pairs);

    struct live_bound bound = write_bounds(pairs, of);

    write_figures(pairs, limit, &bound);
    pairs->table.row++;
}

void month_write_limits(struct month_book *book)
{
    struct page *page = book->pages[SHEET_LIMITS];
    struct pairs pairs = {.book = book,
                          .table = table_begin_bare(page, book->sheets[SHEET_LIMITS], "pairs", 0)};
    uint32_t *breaks = ARENA_ARRAY(book->mem, uint32_t, book->limit_count + 1);
    size_t count = 0;

    table_line(&pairs.table, STYLE_LEAD, month_sheet_heading(book, SHEET_LIMITS));
    table_line(&pairs.table, STYLE_CAUTION, month_text(book, "who_decides"));
    pairs.table.row++;
    for (size_t i = 0; i < book->limit_count; i++) {
        if (i > 0 && i % LIMITS_A_PAGE == 0)
            breaks[count++] = pairs.table.row;
        write_limit(&pairs, &book->limits[i]);
    }
    page_breaks(page, breaks, count);
}
