/* Of month_inside.h: the sheets that are plain lists, and how to read the workbook. */
#include "base/str.h"
#include "report/month_inside.h"

static struct table begin_list(struct month_book *book, enum month_sheet sheet, const char *key)
{
    return table_begin(book->pages[sheet], book->sheets[sheet], key, 0,
                       month_sheet_heading(book, sheet));
}

void month_write_set_aside(struct month_book *book)
{
    struct table table = begin_list(book, SHEET_SET_ASIDE, "rows");

    for (size_t i = 0; i < book->month->set_aside_count; i++) {
        const struct report_set_aside *row = &book->month->set_aside[i];

        const struct month_origin origin = month_origin(book, row->receipt, row->line);

        table_text(&table, "file", origin.file);
        if (origin.line > 0)
            table_number(&table, "line", "0", origin.line);
        if (row->column > 0)
            table_number(&table, "column", "0", row->column);
        table_text(&table, "text", row->text);
        table_text(&table, "reason", row->reason);
        table_text(&table, "words", row->words);
        table_text(&table, "todo", row->todo);
        table_text(&table, "answer", row->answer ? row->answer : month_text(book, "aside.waits"));
        if (row->answer) {
            table_text(&table, "person", row->person);
            table_number(&table, "answered", NULL, month_moment_number(book, row->answered_at));
            table_text(&table, "because", row->because);
        }
        table_next(&table);
    }
    table_end(&table);
}

void month_write_corrections(struct month_book *book)
{
    struct table table = begin_list(book, SHEET_CORRECTIONS, "corrections");

    for (size_t i = 0; i < book->month->correction_count; i++) {
        const struct report_correction *row = &book->month->corrections[i];

        table_text(&table, "station", month_correction_place(book, row));
        table_text(&table, "parameter",
                   row->parameter ? month_parameter(book, row->parameter) : "");
        if (row->at != INSTANT_NONE)
            table_number(&table, "at", NULL, month_moment_number(book, row->at));
        table_text(&table, "first", row->first_value);
        table_text(&table, "new", row->new_value);
        table_number(&table, "made_at", NULL, month_moment_number(book, row->made_at));
        table_text(&table, "person", row->person);
        table_text(&table, "second", row->second_person ? row->second_person : "none");
        table_text(&table, "reason", row->reason);
        table_text(&table, "moved",
                   row->outside_to_inside   ? "from outside to inside"
                   : row->cleared_count > 0 ? "from not assessable to within"
                                            : "");
        table_next(&table);
    }
    table_end(&table);
}

void month_write_findings(struct month_book *book)
{
    struct table table = begin_list(book, SHEET_FINDINGS, "findings");

    for (size_t i = 0; i < book->month->finding_count; i++) {
        const struct report_finding *row = &book->month->findings[i];

        table_text(&table, "title", row->title);
        table_number(&table, "opened", NULL, month_moment_number(book, row->opened_at));
        table_text(&table, "standing", row->standing);
        /* The step that opens a finding only says its words once more. */
        if (!str_equal(row->words, row->title))
            table_text(&table, "words", row->words);
        table_next(&table);
    }
    table_end(&table);
    table.row++;
    table_line(&table, STYLE_SMALL, month_text(book, "findings.note"));
}

void month_write_files(struct month_book *book)
{
    const struct discharge_month *month = book->month;
    struct table table = begin_list(book, SHEET_FILES, "files");

    for (size_t i = 0; i < month->receipt_count; i++) {
        const struct report_receipt *row = &month->receipts[i];

        table_text(&table, "file", row->file_name);
        table_text(&table, "source", row->source);
        table_number(&table, "received", NULL, month_moment_number(book, row->received_at));
        table_text(&table, "person", row->person);
        table_text(&table, "sha256", row->sha256);
        table_next(&table);
    }
    table_end(&table);
    table.row++;
    table_line(&table, STYLE_SMALL,
               arena_printf(book->mem, "%s %s, %s, %s %d. %s %lld%s%s",
                            month_text(book, "files.made"), month->program_version,
                            month_made_words(book), month_text(book, "files.farm_file"),
                            month->farm_file_version, month_text(book, "files.ledger"),
                            (long long)month->ledger_entries, month->ledger_head ? ", " : "",
                            month->ledger_head ? month->ledger_head : ""));
}

void month_write_how(struct month_book *book)
{
    const struct report_definition *definition = book->definition;
    struct table table = begin_list(book, SHEET_HOW, "dictionary");

    for (size_t i = 0; i < definition->dictionary_count; i++) {
        table_text(&table, "word", definition->dictionary[i].key);
        table_text(&table, "meaning", definition->dictionary[i].text);
        table_next(&table);
    }
    table.row++;
    table_line(&table, STYLE_SECTION, month_text(book, "how.cautions"));
    for (size_t i = 0; i < definition->caution_count; i++)
        table_line(&table, STYLE_CAUTION, definition->cautions[i]);
}
