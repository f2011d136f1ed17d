/* Of workbook.h: the file itself, from its first page to its publication. */
#include <errno.h>
#include <fcntl.h>
#include <math.h>
#include <stdio.h>
#include <string.h>
#include <unistd.h>

#include "base/buf.h"
#include "base/file.h"
#include "base/sheet.h"
#include "base/str.h"
#include "report/workbook.h"
#include "report/workbook_inside.h"

enum { PAPER_A4 = 9, PIECE = 65536 };

/* Margins in inches that leave room on A4 and on Letter. */
#define MARGIN_SIDE 0.5
#define MARGIN_TOP 0.45
#define MARGIN_BOTTOM 0.6

static void set_about(struct book *book, const struct book_about *about)
{
    lxw_doc_properties properties = {
        .title = arena_strdup(book->mem, about->title),
        .subject = arena_strdup(book->mem, about->subject),
        .author = arena_strdup(book->mem, about->author),
        .comments = arena_strdup(book->mem, about->comments),
        /* 0 would be the time of writing, and the bytes would differ each time. */
        .created = about->made_at / SECOND_US != 0 ? about->made_at / SECOND_US : 1,
    };

    if (workbook_set_properties(book->file, &properties) != LXW_NO_ERROR)
        book_fail(book, ERR_BUG, "the workbook's properties were refused");
    for (size_t i = 0; i < about->property_count; i++) {
        const struct book_property *property = &about->properties[i];

        if (workbook_set_custom_property_string(book->file, property->name, property->value) !=
            LXW_NO_ERROR)
            book_fail(book, ERR_BUG, "property %s was refused", property->name);
    }
}

bool book_new(struct arena *mem, const char *path, const struct book_about *about,
              struct book **out, struct err *err)
{
    struct book *book = ARENA_NEW(mem, struct book);
    const char *slash = strrchr(path, '/');

    book->mem = mem;
    book->path = arena_strdup(mem, path);
    book->temporary = arena_printf(mem, "%s.tmp", path);
    book->folder =
        slash ? arena_strndup(mem, path, slash == path ? 1 : (size_t)(slash - path)) : ".";

    /* The library opens its file only at the end; say now when that can't work. */
    int fd = open(book->temporary, O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0666);

    if (fd < 0)
        return file_fail(err, errno, "write", book->temporary);
    close(fd);

    lxw_workbook_options options = {.tmpdir = arena_strdup(mem, book->folder)};

    book->file = workbook_new_opt(book->temporary, &options);
    if (!book->file) {
        unlink(book->temporary);
        return err_set(err, ERR_UNAVAILABLE, "no memory left for %s", path);
    }
    set_about(book, about);
    *out = book;

    return true;
}

void book_drop(struct book **book)
{
    if (!*book)
        return;
    if ((*book)->file)
        lxw_workbook_free((*book)->file);
    (*book)->file = NULL;
    if (!(*book)->published)
        unlink((*book)->temporary);
    *book = NULL;
}

size_t book_cut_texts(const struct book *book)
{
    return book->cut;
}

/* In a footer "&" begins a command; the format allows 255 characters in all. */
static const char *footer_text(struct arena *mem, const char *text)
{
    struct buf out = buf_new(mem);

    for (size_t i = 0; text && text[i] && i < 80; i++)
        buf_add_text(&out, text[i] == '&' ? "&&" : (char[]){text[i], '\0'});

    return out.data;
}

static void set_print(struct page *page, const struct page_setup *setup)
{
    lxw_worksheet *sheet = page->sheet;
    const char *left = footer_text(page->book->mem, setup->footer_left);
    const char *middle = footer_text(page->book->mem, setup->footer_middle);

    if (setup->landscape)
        worksheet_set_landscape(sheet);
    else
        worksheet_set_portrait(sheet);
    worksheet_set_paper(sheet, PAPER_A4);
    worksheet_set_margins(sheet, MARGIN_SIDE, MARGIN_SIDE, MARGIN_TOP, MARGIN_BOTTOM);
    if (!setup->not_fitted)
        worksheet_fit_to_pages(sheet, 1, 0);
    worksheet_gridlines(sheet, LXW_HIDE_ALL_GRIDLINES);
    book_answer(
        page,
        worksheet_set_footer(
            sheet, arena_printf(page->book->mem, "&L&8%s&C&8%s&R&8Page &P of &N", left, middle)),
        0, 0);
}

/* The rules of the format, asked before the library prints a warning of its own. */
static bool may_be_name(const struct book *book, const char *name)
{
    size_t characters = 0;

    for (const char *c = name; *c; c++)
        characters += ((unsigned char)*c & 0xC0) != 0x80 ? 1 : 0;
    if (characters == 0 || characters > BOOK_NAME_MOST || strpbrk(name, "[]:*?/\\") ||
        *name == '\'' || str_ends(name, "'"))
        return false;
    for (size_t i = 0; i < book->pages.count; i++) {
        if (str_equal_nocase(book->pages.items[i].page->name, name))
            return false;
    }

    return true;
}

struct page *book_page(struct book *book, const char *name, const struct page_setup *setup)
{
    struct page *page = ARENA_NEW(book->mem, struct page);

    page->book = book;
    page->name = arena_strdup(book->mem, name);
    page->sheet = may_be_name(book, name) ? workbook_add_worksheet(book->file, name) : NULL;
    if (!page->sheet) {
        /* Later calls do nothing but need a sheet to be about. */
        book_fail(book, ERR_BUG, "\"%.40s\" can't be the name of a sheet", name);
        return page;
    }
    LIST_ADD(book->mem, &book->pages, ((struct page_place){page}));

    for (size_t i = 0; i < setup->width_count; i++)
        book_answer(
            page,
            worksheet_set_column(page->sheet, (lxw_col_t)i, (lxw_col_t)i, setup->widths[i], NULL),
            0, (uint32_t)i);
    if (setup->frozen_rows > 0) {
        worksheet_freeze_panes(page->sheet, (lxw_row_t)setup->frozen_rows, 0);
        book_answer(page,
                    worksheet_repeat_rows(page->sheet, (lxw_row_t)setup->title_row,
                                          (lxw_row_t)setup->frozen_rows - 1),
                    0, 0);
    }
    set_print(page, setup);

    return page;
}

/* ---- reading back ---- */

struct read_back {
    const struct book *book;
    size_t sheets;
    struct page_sum sum; /* of the sheet being read */
};

/* Whether the sheet just read holds what was written. */
static bool check_sheet(const struct read_back *back, struct err *err)
{
    if (back->sheets == 0)
        return true;

    const struct page *page = back->book->pages.items[back->sheets - 1].page;
    const struct page_sum *want = &page->sum;

    if (back->sum.cells != want->cells || back->sum.text_bytes != want->text_bytes)
        return err_set(err, ERR_UNAVAILABLE,
                       "sheet %s: read back %zu cells and %zu letters, wrote %zu and %zu",
                       page->name, back->sum.cells, back->sum.text_bytes, want->cells,
                       want->text_bytes);
    /* Written with 16 figures, summed in another order: far closer than a lost cell. */
    if (fabs(back->sum.numbers - want->numbers) > 1e-11 * want->sizes)
        return err_set(err, ERR_UNAVAILABLE, "sheet %s: its numbers add up to %.10g, not %.10g",
                       page->name, back->sum.numbers, want->numbers);

    return true;
}

static bool back_sheet(void *context, const struct sheet_info *sheet, struct err *err)
{
    struct read_back *back = context;

    if (!check_sheet(back, err))
        return false;
    if (back->sheets >= back->book->pages.count ||
        !str_equal(sheet->name, back->book->pages.items[back->sheets].page->name))
        return err_set(err, ERR_UNAVAILABLE, "read back a sheet %s where none was written",
                       sheet->name);
    back->sheets++;
    back->sum = (struct page_sum){0};

    return true;
}

static bool back_cell(void *context, const struct sheet_cell *cell, struct err *err)
{
    struct read_back *back = context;

    back->sum.cells++;
    if (cell->kind == SHEET_TEXT)
        back->sum.text_bytes += strlen(cell->text);
    else if (cell->kind == SHEET_NUMBER)
        back->sum.numbers += cell->number;
    else
        return err_set(err, ERR_UNAVAILABLE, "neither a text nor a number");

    return true;
}

static bool read_back(const struct book *book, struct err *err)
{
    static const struct sheet_events events = {.sheet = back_sheet, .cell = back_cell};
    struct read_back back = {.book = book};

    if (!sheet_read(book->temporary, &events, &back, NULL, err) || !check_sheet(&back, err)) {
        err->code = ERR_UNAVAILABLE;
        return err_wrap(err, "what was written can't be read back");
    }
    if (back.sheets != book->pages.count)
        return err_set(err, ERR_UNAVAILABLE, "read back %zu sheets, wrote %zu", back.sheets,
                       book->pages.count);

    return true;
}

/* ---- publishing ---- */

static void close_stream(FILE **stream)
{
    if (*stream)
        fclose(*stream);
    *stream = NULL;
}

static bool digest_of(const char *path, struct digest *out, struct err *err)
{
    CLEANUP(close_stream) FILE *stream = fopen(path, "rbe");
    CLEANUP(sha256_drop) struct sha256_state *state = sha256_begin();
    unsigned char piece[PIECE];
    size_t got;

    if (!stream)
        return file_fail(err, errno, "open", path);
    while ((got = fread(piece, 1, sizeof(piece), stream)) > 0)
        sha256_add(state, piece, got);
    if (ferror(stream))
        return file_fail(err, errno, "read", path);
    if (fsync(fileno(stream)) != 0)
        return file_fail(err, errno, "bring to the disk", path);
    *out = sha256_end(&state);

    return true;
}

static bool close_file(struct book *book, struct err *err)
{
    lxw_workbook *file = book->file;

    book->file = NULL;
    errno = 0;

    lxw_error answer = workbook_close(file);

    if (answer == LXW_NO_ERROR)
        return true;
    if (errno != 0)
        return file_fail(err, errno, "write", book->path);

    return err_set(err, ERR_UNAVAILABLE, "can't write %s: %s", book->path, lxw_strerror(answer));
}

bool book_publish(struct book *book, struct digest *digest, struct err *err)
{
    struct digest made;

    if (book->err.code != ERR_NONE) {
        *err = book->err;
        return false;
    }
    if (!close_file(book, err))
        return false;
    if (!read_back(book, err) || !digest_of(book->temporary, &made, err))
        return err_wrap(err, "%s", book->path);
    if (rename(book->temporary, book->path) != 0)
        return file_fail(err, errno, "put in place", book->path);
    book->published = true;
    if (!file_sync_folder(book->folder, err))
        return false;
    *digest = made;

    return true;
}
