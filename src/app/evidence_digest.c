#include "app/evidence_digest.h"

#include <string.h>

#include "app/evidence_wanted.h"
#include "base/search.h"
#include "base/str.h"

static void hash_text(struct sha256_state *digest, const char *text)
{
    sha256_add(digest, text ? "+" : "-", 1);
    if (text)
        sha256_add(digest, text, strlen(text) + 1);
}

static void hash_number(struct sha256_state *digest, int64_t number)
{
    sha256_add(digest, &number, sizeof(number));
}

/* What is on its way into a digest: a reading is many small pieces, and there are many readings. */
struct pieces {
    struct sha256_state *digest;
    size_t used;
    char bytes[8192];
};

static void pieces_pass(struct pieces *pieces)
{
    sha256_add(pieces->digest, pieces->bytes, pieces->used);
    pieces->used = 0;
}

static void piece_add(struct pieces *pieces, const void *bytes, size_t count)
{
    if (count > sizeof(pieces->bytes) - pieces->used)
        pieces_pass(pieces);
    if (count > sizeof(pieces->bytes)) {
        sha256_add(pieces->digest, bytes, count);
        return;
    }
    memcpy(pieces->bytes + pieces->used, bytes, count);
    pieces->used += count;
}

/* As hash_text(). */
static void piece_add_text(struct pieces *pieces, const char *text)
{
    piece_add(pieces, text ? "+" : "-", 1);
    if (text)
        piece_add(pieces, text, strlen(text) + 1);
}

static void add_reading(struct pieces *pieces, const struct evidence_reading *reading)
{
    const int64_t numbers[] = {
        reading->at,
        reading->until,
        reading->reported.coefficient,
        reading->reported.scale,
        reading->qualifier,
        (int64_t)reading->corrected | (int64_t)reading->counts << 1 |
            (int64_t)reading->looks_for_cause << 2,
        reading->detection.coefficient,
        reading->detection.scale,
        reading->quantitation.coefficient,
        reading->quantitation.scale,
    };

    piece_add(pieces, numbers, sizeof(numbers));
    piece_add_text(pieces, reading->unit);
    piece_add_text(pieces, reading->doubt);
    piece_add_text(pieces, reading->left_out);
    piece_add_text(pieces, reading->sample);
    piece_add_text(pieces, reading->replicate);
    piece_add_text(pieces, reading->taken_by);
}

static void hash_readings(struct sha256_state *digest, const struct evidence_series *series,
                          size_t first, size_t after)
{
    struct pieces pieces = {.digest = digest, .used = 0};

    for (size_t i = first; i < after; i++)
        add_reading(&pieces, &series->readings[i]);
    pieces_pass(&pieces);
}

/* The digest of a part of a series, which is often that of another clause too. */
static struct digest part_digest(struct evidence_hashing *hashing, size_t series, size_t first,
                                 size_t after)
{
    CLEANUP(sha256_drop) struct sha256_state *digest = NULL;

    for (size_t i = 0; i < hashing->parts.count; i++) {
        const struct hashed_part *part = &hashing->parts.items[i];

        if (part->series == series && part->first == first && part->after == after)
            return part->digest;
    }
    digest = sha256_begin();
    hash_readings(digest, &hashing->loaded->evidence.series[series], first, after);

    struct hashed_part part = {series, first, after, sha256_end(&digest)};

    LIST_ADD(hashing->mem, &hashing->parts, part);

    return part.digest;
}

/* The first reading that is not before an instant. */
static size_t first_from(const struct evidence_series *series, instant at)
{
    return SEARCH_FROM(series->readings, series->count, at, at);
}

/* Of last samples: go back from the month until as many as the clause looks at may well count. */
static size_t samples_first(const struct evidence_hashing *hashing,
                            const struct evidence_series *series, const struct wanted_read *read,
                            size_t first)
{
    const struct zone *zone = hashing->farm->zone;
    size_t found = first_from(series, hashing->loaded->from_at);
    size_t count = 0;
    int64_t last = INT64_MIN;

    for (size_t i = found; i-- > 0;) {
        const struct evidence_reading *reading = &series->readings[i];
        int64_t when = read->by_day ? zone_day(zone, reading->at) : reading->at;
        bool may_count = !reading->left_out && !reading->doubt && reading->counts;

        if (count == read->samples && when != last)
            break;
        found = i;
        if (!may_count || when == last)
            continue;
        last = when;
        count++;
    }

    return found < first ? found : first;
}

static void hash_series(struct evidence_hashing *hashing, const struct wanted_read *read,
                        size_t index, struct sha256_state *digest)
{
    const int64_t most = NEIGHBOUR_DAYS * DAY_US;
    const struct evidence_series *series = &hashing->loaded->evidence.series[index];
    const struct wanted_span span = evidence_wanted_span(hashing->farm, read, series->kind);
    size_t first = first_from(series, span.first);
    size_t after = first_from(series, span.until);

    if (span.reaches_over) {
        if (first > 0 && series->readings[first - 1].at >= span.first - most)
            first = first_from(series, series->readings[first - 1].at);
        if (after < series->count && series->readings[after].at < span.until + most)
            after = first_from(series, series->readings[after].at + 1);
    }
    if (read->samples > 0)
        first = samples_first(hashing, series, read, first);
    if (first == after)
        return;

    struct digest part = part_digest(hashing, index, first, after);

    hash_number(digest, hashing->loaded->series_ids[index]);
    sha256_add(digest, part.bytes, sizeof(part.bytes));
}

/* Every stored series that is one of those wanted, in the order of the store. */
static void hash_wanted(struct evidence_hashing *hashing, const struct evidence_wanted *wanted,
                        struct sha256_state *digest)
{
    const struct loaded_evidence *loaded = hashing->loaded;

    for (size_t i = 0; i < loaded->stored_count; i++) {
        const struct evidence_series *series = &loaded->evidence.series[i];

        for (size_t j = 0; j < wanted->count; j++)
            if (str_equal(wanted->items[j].station, series->station) &&
                str_equal(wanted->items[j].parameter, series->parameter))
                hash_series(hashing, &wanted->items[j], i, digest);
    }
    for (size_t i = 0; i < wanted->derived_count; i++)
        for (size_t j = 0; j < hashing->farm->derived.count; j++)
            if (hashing->farm->derived.items[j].derivation == wanted->derived[i])
                hash_text(digest, hashing->farm->derived.items[j].definition);
}

static void hash_accreditations(const struct evidence *evidence, struct sha256_state *digest)
{
    for (size_t i = 0; i < evidence->accreditation_count; i++) {
        const struct evidence_accreditation *one = &evidence->accreditations[i];

        hash_text(digest, one->made_by);
        hash_text(digest, one->parameter);
        hash_text(digest, one->method);
        hash_number(digest, one->from);
        hash_number(digest, one->to);
    }
}

static void hash_tides(const struct evidence *evidence, const char *key,
                       struct sha256_state *digest)
{
    for (size_t i = 0; i < evidence->tide_table_count; i++) {
        const struct evidence_tides *table = &evidence->tide_tables[i];

        if (!str_equal(table->key, key))
            continue;
        hash_text(digest, table->key);
        for (size_t j = 0; j < table->count; j++)
            hash_number(digest, table->tides[j].at * 2 + table->tides[j].is_high);
    }
}

/* What the farm file tells beside readings, where the form asks for it. */
static void hash_farm(const struct evidence *evidence, const struct limit *form,
                      struct sha256_state *digest)
{
    if (form && form->accredited)
        hash_accreditations(evidence, digest);
    if (form && form->tide.of != TIDE_NONE)
        hash_tides(evidence, form->tide.table, digest);
}

static void hash_asides(const struct evidence *evidence, const struct verdict *verdict,
                        struct sha256_state *digest)
{
    for (size_t i = 0; verdict->asides && i < verdict->set_aside; i++) {
        const struct evidence_set_aside *row = &evidence->set_aside[verdict->asides[i].row];
        const int64_t numbers[] = {row->origin.receipt,
                                   row->origin.line,
                                   row->origin.column,
                                   row->at,
                                   row->has_value,
                                   row->qualifier,
                                   row->value.coefficient,
                                   row->value.scale,
                                   row->kind};

        sha256_add(digest, numbers, sizeof(numbers));
        hash_text(digest, row->unit);
        hash_text(digest, row->reason);
    }
}

struct digest evidence_digest(struct evidence_hashing *hashing, const struct clause_limits *forms,
                              const struct verdict *verdict)
{
    CLEANUP(sha256_drop) struct sha256_state *digest = sha256_begin();
    const struct loaded_evidence *loaded = hashing->loaded;
    struct evidence_wanted wanted =
        evidence_wanted_of(hashing->mem, hashing->farm, forms, loaded->from, loaded->to, true);

    evidence_wanted_points(&wanted, hashing->farm);
    hash_wanted(hashing, &wanted, digest);
    for (size_t i = 0; i < forms->count; i++) {
        hash_farm(&loaded->evidence, &forms->items[i].limit, digest);
        hash_farm(&loaded->evidence, forms->items[i].before, digest);
    }
    hash_asides(&loaded->evidence, verdict, digest);

    return sha256_end(&digest);
}
