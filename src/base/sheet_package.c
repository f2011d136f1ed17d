#include "base/sheet_package.h"

#include <errno.h>
#include <expat.h>
#include <stdint.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>
#include <zip.h>

#include "base/file.h"
#include "base/str.h"

enum { PIECE = 65536 };

/* Splits a namespace from a local name; stands in no URI we know. */
#define NAMESPACE_END '|'

struct sheet_package {
    zip_t *zip;
    uint64_t inflated; /* of all parts read so far */
};

/* What the XML callbacks share while one part is read. */
struct part {
    XML_Parser parser;
    const struct sheet_part_reader *reader;
    void *context;
    struct err *err;
    int depth;
    bool failed; /* `err` is filled */
};

/* The workbook's own namespaces: both spellings of the standard, and that of relationships. */
static const char *const own_namespaces[] = {
    "http://schemas.openxmlformats.org/spreadsheetml/2006/main",
    "http://purl.oclc.org/ooxml/spreadsheetml/main",
    "http://schemas.openxmlformats.org/package/2006/relationships",
};

static void zip_file_close(zip_file_t **file)
{
    if (*file)
        zip_fclose(*file);
    *file = NULL;
}

static void parser_close(XML_Parser *parser)
{
    if (*parser)
        XML_ParserFree(*parser);
    *parser = NULL;
}

static bool fail_no_workbook(const char *name, struct err *err)
{
    err_set(err, ERR_INVALID, "%s is not an XLSX workbook, or it is damaged", name);

    return err_hint(err, "An older .xls file or one with a password has to be saved again as "
                         ".xlsx without one.");
}

/* A package of the zip, which is discarded on failure. */
static bool package_take(zip_t *zip, const char *path, struct sheet_package **out, struct err *err)
{
    zip_int64_t entries = zip_get_num_entries(zip, 0);

    if (entries > SHEET_ENTRIES_MOST) {
        zip_discard(zip);
        return err_set(err, ERR_TOO_LARGE, "%s holds %lld files, at most %d are read", path,
                       (long long)entries, SHEET_ENTRIES_MOST);
    }

    struct sheet_package *package = calloc(1, sizeof(*package));

    if (!package) {
        zip_discard(zip);
        return err_set(err, ERR_UNAVAILABLE, "no memory left to read %s", path);
    }
    package->zip = zip;
    *out = package;

    return true;
}

bool sheet_package_open(const char *path, struct sheet_package **out, struct err *err)
{
    int why = 0;

    if (!file_is_plain(path))
        return file_fail(err, file_exists(path) ? EISDIR : ENOENT, "open", path);

    zip_t *zip = zip_open(path, ZIP_RDONLY, &why);

    if (!zip && why == ZIP_ER_OPEN)
        return file_fail(err, errno, "open", path);
    if (!zip)
        return fail_no_workbook(path, err);

    return package_take(zip, path, out, err);
}

bool sheet_package_open_file(FILE *file, struct sheet_package **out, struct err *err)
{
    static const char what[] = "the file";
    zip_error_t why;
    int fd = dup(fileno(file));
    FILE *own = fd >= 0 ? fdopen(fd, "rb") : NULL; /* closed by the zip's source */

    if (!own) {
        if (fd >= 0)
            close(fd);
        return file_fail(err, errno, "open", what);
    }
    zip_error_init(&why);

    zip_source_t *source = zip_source_filep_create(own, 0, -1, &why);
    zip_t *zip = source ? zip_open_from_source(source, ZIP_RDONLY, &why) : NULL;

    if (!zip && source)
        zip_source_free(source);
    else if (!source)
        fclose(own);
    zip_error_fini(&why);
    if (!zip)
        return fail_no_workbook(what, err);

    return package_take(zip, what, out, err);
}

void sheet_package_close(struct sheet_package **package)
{
    if (*package) {
        zip_discard((*package)->zip);
        free(*package);
    }
    *package = NULL;
}

bool sheet_package_has(struct sheet_package *package, const char *part)
{
    return zip_name_locate(package->zip, part, ZIP_FL_NOCASE) >= 0;
}

/* The local name, or "" of an element that is not the workbook's own. */
static const char *local_name(const char *name)
{
    const char *end = strrchr(name, NAMESPACE_END);

    if (!end)
        return "";
    for (size_t i = 0; i < ARRAY_LEN(own_namespaces); i++) {
        if (strlen(own_namespaces[i]) == (size_t)(end - name) &&
            memcmp(own_namespaces[i], name, (size_t)(end - name)) == 0)
            return end + 1;
    }

    return "";
}

static void stop(struct part *part)
{
    part->failed = true;
    XML_StopParser(part->parser, XML_FALSE);
}

static void on_start(void *data, const XML_Char *name, const XML_Char **attributes)
{
    struct part *part = data;

    if (part->failed)
        return;
    if (++part->depth > SHEET_DEPTH_MOST) {
        err_set(part->err, ERR_TOO_LARGE, "more than %d elements inside each other",
                SHEET_DEPTH_MOST);
        stop(part);
    } else if (!part->reader->start(part->context, local_name(name),
                                    (const char *const *)attributes, part->err)) {
        stop(part);
    }
}

static void on_end(void *data, const XML_Char *name)
{
    struct part *part = data;

    if (part->failed)
        return;
    part->depth--;
    if (!part->reader->end(part->context, local_name(name), part->err))
        stop(part);
}

static void on_text(void *data, const XML_Char *text, int length)
{
    struct part *part = data;

    if (part->failed || !part->reader->text)
        return;
    if (!part->reader->text(part->context, text, (size_t)length, part->err))
        stop(part);
}

static void on_doctype(void *data, const XML_Char *name, const XML_Char *system,
                       const XML_Char *public, int internal)
{
    struct part *part = data;

    (void)name;
    (void)system;
    (void)public;
    (void)internal;
    err_set(part->err, ERR_INVALID, "it has a DOCTYPE, which no workbook needs");
    stop(part);
}

/* Refuse by what the zip says of the part; what is really inflated is counted as well. */
static bool check_size(struct sheet_package *package, const char *name, zip_stat_t *stat,
                       struct err *err)
{
    zip_stat_init(stat);
    if (zip_stat(package->zip, name, ZIP_FL_NOCASE, stat) != 0)
        return err_set(err, ERR_INVALID, "it has no part of that name");
    if ((stat->valid & ZIP_STAT_ENCRYPTION_METHOD) && stat->encryption_method != ZIP_EM_NONE)
        return err_set(err, ERR_INVALID, "it is encrypted");
    if (!(stat->valid & ZIP_STAT_COMP_SIZE) || !(stat->valid & ZIP_STAT_SIZE))
        return err_set(err, ERR_INVALID, "its size is not told");

    return true;
}

static bool count_inflated(struct sheet_package *package, const zip_stat_t *stat, uint64_t got,
                           uint64_t more, struct err *err)
{
    package->inflated += more;
    if (got > SHEET_PART_MOST)
        return err_set(err, ERR_TOO_LARGE, "it is larger than %d MB",
                       SHEET_PART_MOST / (1024 * 1024));
    if (package->inflated > SHEET_PARTS_MOST)
        return err_set(err, ERR_TOO_LARGE, "the workbook is larger than %d MB",
                       SHEET_PARTS_MOST / (1024 * 1024));
    if (got > SHEET_RATIO_FROM && got / SHEET_RATIO_MOST > stat->comp_size)
        return err_set(err, ERR_TOO_LARGE, "it grows more than %d times when unpacked",
                       SHEET_RATIO_MOST);

    return true;
}

/* What the parser holds because it has not come to its end: a tag, a comment. */
static bool check_held(const struct part *part, uint64_t got)
{
    XML_Index at = XML_GetCurrentByteIndex(part->parser);

    if (at >= 0 && got > (uint64_t)at && got - (uint64_t)at > SHEET_TAG_MOST + PIECE)
        return err_set(part->err, ERR_TOO_LARGE, "line %lu: a tag or comment longer than %d MB",
                       (unsigned long)XML_GetCurrentLineNumber(part->parser),
                       SHEET_TAG_MOST / (1024 * 1024));

    return true;
}

/* The reader's own error stands; otherwise expat's. Always false. */
static bool fail_xml(const struct part *part)
{
    if (!part->failed)
        err_set(part->err, ERR_INVALID, "line %lu: %s",
                (unsigned long)XML_GetCurrentLineNumber(part->parser),
                XML_ErrorString(XML_GetErrorCode(part->parser)));

    return false;
}

static bool feed(struct sheet_package *package, const zip_stat_t *stat, zip_file_t *file,
                 struct part *part)
{
    uint64_t got = 0;

    if (!count_inflated(package, stat, stat->size, 0, part->err))
        return false;
    for (;;) {
        void *piece = XML_GetBuffer(part->parser, PIECE);

        if (!piece)
            return err_set(part->err, ERR_UNAVAILABLE, "no memory left to read it");

        zip_int64_t count = zip_fread(file, piece, PIECE);

        if (count < 0)
            return err_set(part->err, ERR_INVALID, "it is damaged");
        got += (uint64_t)count;
        if (!count_inflated(package, stat, got, (uint64_t)count, part->err))
            return false;
        if (XML_ParseBuffer(part->parser, (int)count, count == 0) != XML_STATUS_OK)
            return fail_xml(part);
        if (count == 0)
            return true;
        if (!check_held(part, got))
            return false;
    }
}

bool sheet_package_read(struct sheet_package *package, const char *name,
                        const struct sheet_part_reader *reader, void *context, struct err *err)
{
    zip_stat_t stat;

    if (!check_size(package, name, &stat, err))
        return err_wrap(err, "part %s", name);

    CLEANUP(zip_file_close) zip_file_t *file = zip_fopen_index(package->zip, stat.index, 0);
    CLEANUP(parser_close) XML_Parser parser = XML_ParserCreateNS(NULL, NAMESPACE_END);

    if (!file)
        return err_set(err, ERR_INVALID, "part %s: it can't be unpacked", name);
    if (!parser)
        return err_set(err, ERR_UNAVAILABLE, "no memory left to read part %s", name);

    struct part part = {.parser = parser, .reader = reader, .context = context, .err = err};

    XML_SetUserData(parser, &part);
    XML_SetElementHandler(parser, on_start, on_end);
    XML_SetCharacterDataHandler(parser, on_text);
    XML_SetStartDoctypeDeclHandler(parser, on_doctype);
    if (!feed(package, &stat, file, &part))
        return err_wrap(err, "part %s", name);

    return true;
}

const char *sheet_attribute(const char *const *attributes, const char *name)
{
    bool relation = str_equal(name, "r:id");

    for (size_t i = 0; attributes[i]; i += 2) {
        if (relation ? str_ends(attributes[i], "/relationships|id")
                     : str_equal(attributes[i], name))
            return attributes[i + 1];
    }

    return NULL;
}
