#include "base/sheet.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/arena.h"
#include "base/sheet_cells.h"
#include "base/sheet_package.h"
#include "base/sheet_style.h"
#include "base/str.h"

enum { RELATIONS_MOST = 4096 };

/* One line of a _rels part: what an id stands for. */
struct relation {
    const char *id;
    const char *type;   /* last word of its URI: "worksheet" */
    const char *target; /* a part of the package; NULL outside it */
};

struct relation_list {
    struct relation *items;
    size_t count;
    size_t capacity;
};

struct sheet_entry {
    const char *name;
    const char *id;
    bool hidden;
};

struct entry_list {
    struct sheet_entry *items;
    size_t count;
    size_t capacity;
};

struct book {
    struct arena *mem;
    const char *folder; /* of the workbook part, with the slash: "xl/" */
    struct relation_list relations;
    struct entry_list sheets;
    bool counts_from_1904;
};

/* ---- relations ---- */

/* "worksheets/sheet1.xml" seen from "xl/", or "/xl/worksheets/sheet1.xml" from the root. */
static const char *full_part(struct arena *mem, const char *folder, const char *target)
{
    if (*target == '/')
        return arena_strdup(mem, target + 1);

    return arena_printf(mem, "%s%s", folder, target);
}

static bool relation_start(void *context, const char *name, const char *const *attributes,
                           struct err *err)
{
    struct book *book = context;
    const char *id = sheet_attribute(attributes, "Id");
    const char *type = sheet_attribute(attributes, "Type");
    const char *target = sheet_attribute(attributes, "Target");

    if (!str_equal(name, "Relationship") || !id || !type || !target)
        return true;
    if (book->relations.count == RELATIONS_MOST)
        return err_set(err, ERR_TOO_LARGE, "more than %d relations", RELATIONS_MOST);

    const char *word = strrchr(type, '/');
    bool outside = str_equal(sheet_attribute(attributes, "TargetMode"), "External");

    LIST_ADD(book->mem, &book->relations,
             ((struct relation){
                 .id = arena_strdup(book->mem, id),
                 .type = arena_strdup(book->mem, word ? word + 1 : type),
                 .target = outside ? NULL : full_part(book->mem, book->folder, target),
             }));

    return true;
}

static bool nothing_at_end(void *context, const char *name, struct err *err)
{
    (void)context;
    (void)name;
    (void)err;

    return true;
}

static bool read_relations(struct book *book, struct sheet_package *package, const char *part,
                           struct err *err)
{
    static const struct sheet_part_reader reader = {.start = relation_start, .end = nothing_at_end};

    book->relations = (struct relation_list){0};

    return sheet_package_read(package, part, &reader, book, err);
}

/* The target of the first relation of a type, or NULL. */
static const char *target_of_type(const struct book *book, const char *type)
{
    for (size_t i = 0; i < book->relations.count; i++) {
        if (str_equal(book->relations.items[i].type, type))
            return book->relations.items[i].target;
    }

    return NULL;
}

static const struct relation *relation_of_id(const struct book *book, const char *id)
{
    for (size_t i = 0; i < book->relations.count; i++) {
        if (str_equal(book->relations.items[i].id, id))
            return &book->relations.items[i];
    }

    return NULL;
}

/* ---- the workbook part ---- */

static bool book_start(void *context, const char *name, const char *const *attributes,
                       struct err *err)
{
    struct book *book = context;

    if (str_equal(name, "workbookPr")) {
        const char *date = sheet_attribute(attributes, "date1904");

        book->counts_from_1904 = str_equal(date, "1") || str_equal(date, "true");
    }
    if (!str_equal(name, "sheet"))
        return true;

    const char *title = sheet_attribute(attributes, "name");
    const char *id = sheet_attribute(attributes, "r:id");
    const char *state = sheet_attribute(attributes, "state");

    if (!title || !id)
        return err_set(err, ERR_INVALID, "a sheet without a name or a part");
    if (book->sheets.count == SHEET_SHEETS_MOST)
        return err_set(err, ERR_TOO_LARGE, "more than %d sheets", SHEET_SHEETS_MOST);
    LIST_ADD(book->mem, &book->sheets,
             ((struct sheet_entry){
                 .name = arena_strdup(book->mem, title),
                 .id = arena_strdup(book->mem, id),
                 .hidden = state && !str_equal(state, "visible"),
             }));

    return true;
}

/* Where the workbook part lies, its folder, and what its relations are. */
static bool read_book(struct book *book, struct sheet_package *package, struct err *err)
{
    static const struct sheet_part_reader reader = {.start = book_start, .end = nothing_at_end};

    book->folder = "";
    if (!read_relations(book, package, "_rels/.rels", err))
        return false;

    const char *part = target_of_type(book, "officeDocument");

    if (!part)
        return err_set(err, ERR_INVALID, "it holds no workbook");

    const char *slash = strrchr(part, '/');
    size_t folder = slash ? (size_t)(slash - part) + 1 : 0;

    book->folder = arena_strndup(book->mem, part, folder);

    return sheet_package_read(package, part, &reader, book, err) &&
           read_relations(book, package,
                          arena_printf(book->mem, "%s_rels/%s.rels", book->folder, part + folder),
                          err);
}

static bool read_sheets(struct book *book, struct sheet_package *package,
                        const struct sheet_events *events, void *context, struct err *err)
{
    struct sheet_texts texts;
    struct sheet_styles styles;

    if (!sheet_texts_read(book->mem, package, target_of_type(book, "sharedStrings"), &texts, err) ||
        !sheet_styles_read(book->mem, package, target_of_type(book, "styles"), &styles, err))
        return false;

    for (size_t i = 0; i < book->sheets.count; i++) {
        const struct sheet_entry *entry = &book->sheets.items[i];
        const struct relation *relation = relation_of_id(book, entry->id);
        struct sheet_info info = {.name = entry->name, .index = i, .hidden = entry->hidden};

        if (!relation || !relation->target)
            return err_set(err, ERR_INVALID, "sheet %.40s: its part is missing", entry->name);
        if (events->sheet && !events->sheet(context, &info, err))
            return false;
        /* A chart sheet has no cells. */
        if (str_equal(relation->type, "worksheet") &&
            !sheet_cells_read(package, relation->target, &info, &texts, &styles, events, context,
                              err))
            return false;
    }

    return true;
}

static bool read_package(struct book *book, struct sheet_package *package,
                         const struct sheet_events *events, void *context, bool *counts_from_1904,
                         struct err *err)
{
    if (!read_book(book, package, err))
        return false;
    if (counts_from_1904)
        *counts_from_1904 = book->counts_from_1904;

    return read_sheets(book, package, events, context, err);
}

bool sheet_read(const char *path, const struct sheet_events *events, void *context,
                bool *counts_from_1904, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(sheet_package_close) struct sheet_package *package = NULL;
    struct book book = {.mem = mem};

    if (!sheet_package_open(path, &package, err))
        return false;

    return read_package(&book, package, events, context, counts_from_1904, err) ||
           err_wrap(err, "%s", path);
}

bool sheet_read_file(FILE *file, const struct sheet_events *events, void *context,
                     bool *counts_from_1904, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    CLEANUP(sheet_package_close) struct sheet_package *package = NULL;
    struct book book = {.mem = mem};

    return sheet_package_open_file(file, &package, err) &&
           read_package(&book, package, events, context, counts_from_1904, err);
}

/* ---- dates ---- */

bool sheet_serial(double number, bool counts_from_1904, struct civil *out)
{
    const double day_ms = 86400000.0;

    if (!(number >= 0) || number >= 2958466.0)
        return false;

    double days = floor(number);
    double ms = round((number - days) * day_ms);

    if (ms >= day_ms) {
        ms = 0;
        days += 1;
    }
    /* The count from 1900 has a 29 February 1900, number 60, that no calendar has. */
    if (!counts_from_1904 && days == 60)
        return false;

    day_number first = counts_from_1904 ? day_from_civil(1904, 1, 1)
                       : days < 60      ? day_from_civil(1899, 12, 31)
                                        : day_from_civil(1899, 12, 30);
    struct civil civil = civil_from_day(first + (day_number)days);
    int64_t left = (int64_t)ms;

    if (civil.year > 9999)
        return false;
    civil.hour = (int)(left / 3600000);
    civil.minute = (int)(left / 60000 % 60);
    civil.second = (int)(left / 1000 % 60);
    civil.microsecond = (int)(left % 1000) * 1000;
    *out = civil;

    return true;
}

double sheet_serial_from_civil(const struct civil *civil)
{
    int days = day_from_civil(civil->year, civil->month, civil->day) - day_from_civil(1899, 12, 30);
    double seconds =
        civil->hour * 3600.0 + civil->minute * 60.0 + civil->second + civil->microsecond / 1e6;

    return days + seconds / 86400.0;
}
