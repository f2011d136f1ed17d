#include "report/discharge_month.h"

#include "base/str.h"
#include "report/month_inside.h"

/* The sheets in their order, each by its key in the definition. */
static const char *const sheet_keys[SHEET_COUNT] = {
    [SHEET_MONTH] = "month",
    [SHEET_LIMITS] = "limits",
    [SHEET_DAILY] = "daily",
    [SHEET_READINGS] = "readings",
    [SHEET_CHARTS] = "charts",
    [SHEET_SET_ASIDE] = "set aside",
    [SHEET_CORRECTIONS] = "corrections",
    [SHEET_FINDINGS] = "findings",
    [SHEET_FILES] = "files",
    [SHEET_HOW] = "how",
};

/* Later ones refer to cells of earlier ones. */
static void (*const writers[])(struct month_book *book) = {
    month_write_readings, month_write_daily,     month_write_limits,      month_write_page,
    month_write_charts,   month_write_set_aside, month_write_corrections, month_write_findings,
    month_write_files,    month_write_how,
};

static bool make_pages(struct month_book *book, struct err *err)
{
    const struct discharge_month *month = book->month;
    const char *left = month->farm->invented ? month_text(book, "month.invented") : "";
    const char *middle =
        arena_printf(book->mem, "%s, %s", month->farm->name, month_words(book->mem, month->month));

    for (int i = 0; i < SHEET_COUNT; i++) {
        const struct report_sheet *sheet = definition_sheet(book->definition, sheet_keys[i]);

        if (!sheet)
            return err_set(err, ERR_BUG, "the report has no sheet %s", sheet_keys[i]);

        struct page_setup setup = {
            .landscape = sheet->landscape,
            .not_fitted = sheet->not_fitted,
            .widths = sheet->widths,
            .width_count = sheet->width_count,
            .frozen_rows = sheet->frozen,
            .footer_left = left,
            .footer_middle = middle,
        };

        book->sheets[i] = sheet;
        book->pages[i] = book_page(book->book, sheet->name, &setup);
    }

    return true;
}

static void take_verdicts(struct month_book *book)
{
    const struct discharge_month *month = book->month;

    book->limits = ARENA_ARRAY(book->mem, struct month_limit, month->verdict_count);
    book->limit_count = month->verdict_count;
    for (size_t i = 0; i < month->verdict_count; i++) {
        book->limits[i].verdict = &month->verdicts[i];
        book->limits[i].limit = month->verdicts[i].limit;
    }
}

static struct book_about about_of(struct arena *mem, const struct discharge_month *month,
                                  const struct report_definition *definition)
{
    const struct book_property properties[] = {
        {"farm", month->farm->key},
        {"month", day_text(mem, month->month)},
        {"licence", month->licence->number},
        {"program", month->program_version},
        {"ledger", month->ledger_head ? month->ledger_head : "none"},
    };

    return (struct book_about){
        .title = arena_printf(mem, "%s: %s, %s", definition->title, month->farm->name,
                              month_words(mem, month->month)),
        .subject = arena_printf(mem, "Licence %s", month->licence->number),
        .author = month->made_by,
        .comments = month->farm->invented ? definition_text(definition, "month.invented") : NULL,
        .made_at = month->made_at,
        .properties = arena_copy(mem, properties, sizeof(properties)),
        .property_count = ARRAY_LEN(properties),
    };
}

bool discharge_month_write(const struct discharge_month *month, const char *path,
                           struct digest *digest, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(book_drop) struct book *book = NULL;
    struct report_definition definition;

    if (!definition_load(mem, "discharge-month", &definition, err))
        return false;

    struct book_about about = about_of(mem, month, &definition);

    if (!book_new(mem, path, &about, &book, err))
        return false;

    struct month_book inside = {
        .mem = mem, .month = month, .definition = &definition, .book = book};

    if (!make_pages(&inside, err))
        return false;
    take_verdicts(&inside);
    for (size_t i = 0; i < ARRAY_LEN(writers); i++)
        writers[i](&inside);

    return book_publish(book, digest, err);
}
