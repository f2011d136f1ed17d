#include "ingest/sniff_source.h"

#include "base/buf.h"
#include "base/str.h"
#include "ingest/csv_header.h"
#include "ingest/sniff_name.h"
#include "ingest/sniff_number.h"
#include "ingest/sniff_role.h"
#include "ingest/sniff_what.h"
#include "ingest/sniff_when.h"
#include "judge/limit.h"

enum {
    IGNORED_LISTED_MOST = 12,
    STEADY_LEAST = 10, /* steps of one length that make a probe */
    PROBE_STEP_MOST_S = 7200,
    SHOWN_MOST = 60,
};

/* --- shape --- */

static bool has_values(const struct sniffing *sniffing, size_t column)
{
    const struct sniff_column *about =
        column == SIZE_MAX ? NULL : &sniffing->table->columns[column];

    return about && about->filled > 0 && !about->is_twice;
}

/* Whether any column but the result's is called like one certain parameter. */
static bool has_wide_names(struct sniffing *sniffing)
{
    for (size_t i = 0; i < sniffing->table->column_count; i++) {
        const struct sniff_column *column = &sniffing->table->columns[i];

        if (sniffing->fields[i] == CSV_FIELDS && column->numbers > 0 &&
            sniff_name_parameters(sniffing->mem, sniffing->world->units,
                                  sniffing->world->parameters, column->bare, column->unit)
                    .count > 0)
            return true;
    }

    return false;
}

static bool is_long(struct sniffing *sniffing)
{
    bool has_parameter = has_values(sniffing, sniff_field_column(sniffing, FIELD_PARAMETER));

    return has_values(sniffing, sniff_field_column(sniffing, FIELD_VALUE)) &&
           (has_parameter || !has_wide_names(sniffing));
}

static void shape_settle(struct sniffing *sniffing)
{
    struct source *source = &sniffing->guess->source;

    source->shape = is_long(sniffing) ? SOURCE_LONG : SOURCE_WIDE;
    sniff_fact_add(
        sniffing, "shape", source->shape == SOURCE_LONG ? "long" : "wide",
        source->shape == SOURCE_LONG
            ? arena_printf(sniffing->mem, "one row a result: the value stands in '%s'",
                           sniffing->table->columns[sniff_field_column(sniffing, FIELD_VALUE)].name)
            : "one column a parameter");
}

/* --- how values are written --- */

static bool decimal_settle(struct sniffing *sniffing, struct err *err)
{
    struct sniff_decimal found = sniff_decimal_find(sniffing->table, sniffing->values);
    struct source *source = &sniffing->guess->source;
    const char *says = sniff_answer_to(sniffing->answers, "decimal", NULL);
    struct arena *mem = sniffing->mem;
    const char *evidence;

    if (says && !str_equal(says, "point") && !str_equal(says, "comma"))
        return err_set(err, ERR_INVALID, "decimal is point or comma");
    if (says) {
        source->decimal = *says == 'p' ? '.' : ',';
        evidence = "as you answered";
    } else if (found.mark &&
               !(found.has_groups && (found.mark == ',' || source->separator != ','))) {
        source->decimal = found.mark;
        evidence = arena_printf(mem, "%zu values have it, as %s, and none the other",
                                found.mark == '.' ? found.points : found.commas, found.example);
    } else if (source->format != SOURCE_CSV ||
               (found.points + found.commas == 0 && source->separator == ',')) {
        source->decimal = '.';
        evidence = source->format != SOURCE_CSV ? "numbers are stored with it"
                                                : "no value has decimals, and a comma parts cells";
    } else {
        sniff_ask(sniffing, "decimal", NULL,
                  found.points > 0 && found.commas > 0
                      ? "some values have a point and some a comma: which stands before decimals?"
                  : found.has_groups
                      ? arena_printf(mem, "is %s a number with three decimals, or thousands?",
                                     found.example)
                      : "no value has decimals: which mark would stand before them?",
                  "decimal=point or decimal=comma");
        return true;
    }
    sniff_fact_add(sniffing, "decimal mark", source->decimal == '.' ? "point" : "comma", evidence);

    return true;
}

/* The parameter of a column of a wide file; NULL: none, or open. */
static const struct parameter *parameter_of(const struct sniffing *sniffing, size_t column)
{
    const struct source *source = &sniffing->guess->source;

    for (size_t i = 0; i < source->column_count; i++)
        if (str_equal(source->columns[i].header, sniffing->table->columns[column].name) &&
            source->columns[i].parameter)
            return parameter_find(sniffing->world->parameters, source->columns[i].parameter);

    return NULL;
}

/* A mark that was met in some columns. */
struct blank {
    struct sniff_mark mark;
    bool is_impossible; /* as a value of every column that has it */
};

struct blanks {
    struct blank items[SNIFF_MARKS_MOST];
    size_t count;
};

static void blank_note(struct sniffing *sniffing, size_t column, const struct sniff_mark *mark,
                       struct blanks *blanks)
{
    const struct parameter *parameter = parameter_of(sniffing, column);
    bool impossible = mark->is_word ||
                      (parameter && parameter_impossible(sniffing->mem, parameter, mark->number));

    for (size_t i = 0; i < blanks->count; i++)
        if (str_equal(blanks->items[i].mark.text, mark->text)) {
            blanks->items[i].mark.cells += mark->cells;
            blanks->items[i].is_impossible = blanks->items[i].is_impossible && impossible;
            return;
        }
    if (blanks->count < SNIFF_MARKS_MOST)
        blanks->items[blanks->count++] = (struct blank){*mark, impossible};
}

static bool blank_settle(struct sniffing *sniffing, const struct blank *blank, bool *is_blank,
                         struct err *err)
{
    const struct sniff_mark *mark = &blank->mark;
    const char *says = sniff_answer_to(sniffing->answers, "blank", mark->text);
    struct arena *mem = sniffing->mem;

    *is_blank = blank->is_impossible;
    if (says && !str_equal_nocase(says, "yes") && !str_equal_nocase(says, "no"))
        return err_set(err, ERR_INVALID, "blank %s is yes or no",
                       str_show(mem, mark->text, SHOWN_MOST));
    if (says) {
        *is_blank = str_equal_nocase(says, "yes");
    } else if (!blank->is_impossible) {
        sniff_ask(sniffing, "blank", mark->text,
                  "do these stand for no value, or are they measured?",
                  "\"blank WORD=yes\" (no value) or \"blank WORD=no\" for each");
        *is_blank = true; /* listed, and open */
        return true;
    }
    if (*is_blank)
        sniff_fact_add(sniffing, "no value",
                       arena_printf(mem, "'%s'", str_show(mem, mark->text, SHOWN_MOST)),
                       arena_printf(mem, "%zu cells%s", mark->cells,
                                    says            ? ", as you answered"
                                    : mark->is_word ? ""
                                                    : ", which none of these parameters can be"));

    return true;
}

static bool blanks_settle(struct sniffing *sniffing, struct err *err)
{
    struct source *source = &sniffing->guess->source;
    const char **words = ARENA_ARRAY(sniffing->mem, const char *, SNIFF_MARKS_MOST);
    struct blanks blanks = {.count = 0};
    size_t count = 0;

    for (size_t c = 0; c < sniffing->table->column_count; c++) {
        struct sniff_marks marks = {.count = 0};

        if (sniffing->values[c])
            marks = sniff_marks_find(sniffing->mem, sniffing->table, c,
                                     source->decimal ? source->decimal : '.');
        for (size_t i = 0; i < marks.count; i++)
            blank_note(sniffing, c, &marks.items[i], &blanks);
    }
    for (size_t i = 0; i < blanks.count; i++) {
        bool is_blank = false;

        if (!blank_settle(sniffing, &blanks.items[i], &is_blank, err))
            return false;
        if (is_blank)
            words[count++] = blanks.items[i].mark.text;
    }
    source->blanks = words;
    source->blank_count = count;

    return true;
}

/* --- how values come about --- */

static bool kind_settle(struct sniffing *sniffing, struct err *err)
{
    static const struct {
        const char *word;
        unsigned kind;
    } kinds[] = {{"grab", KIND_GRAB},
                 {"composite", KIND_COMPOSITE},
                 {"probe", KIND_PROBE},
                 {"by hand", KIND_BY_HAND},
                 {"by-hand", KIND_BY_HAND}};
    struct source *source = &sniffing->guess->source;
    const struct sniff_pace *pace = &sniffing->pace;
    const char *says = sniff_answer_to(sniffing->answers, "kind", NULL);

    for (size_t i = 0; says && i < ARRAY_LEN(kinds); i++)
        if (str_equal_nocase(kinds[i].word, says)) {
            source->kind = kinds[i].kind;
            sniff_fact_add(sniffing, "kind", kinds[i].word, "as you answered");
            return true;
        }
    if (says)
        return err_set(err, ERR_INVALID, "kind is grab, composite, probe or by hand");
    if (source->shape == SOURCE_WIDE && pace->step_s > 0 && pace->step_s <= PROBE_STEP_MOST_S &&
        pace->steady >= STEADY_LEAST && pace->steady * 10 >= pace->pairs * 8) {
        source->kind = KIND_PROBE;
        sniff_fact_add(sniffing, "kind", "probe",
                       arena_printf(sniffing->mem, "a row every %s, %zu of %zu times",
                                    sniff_step_text(sniffing->mem, pace->step_s), pace->steady,
                                    pace->pairs));
        return true;
    }
    sniff_ask(sniffing, "kind", NULL, "how do the values come about?",
              "kind=grab (a bottle), kind=composite, kind=probe or kind=by-hand");

    return true;
}

/* --- columns that are not taken --- */

static void ignored_settle(struct sniffing *sniffing)
{
    struct sniff_guess *guess = sniffing->guess;
    const struct sniff_table *table = sniffing->table;
    bool twice = false;

    for (size_t i = 0; i < table->column_count; i++) {
        if (sniffing->taken[i] || !*table->columns[i].name)
            continue;
        if (sniff_question_number(guess, "column", table->columns[i].name) > 0)
            continue; /* open */
        twice = twice || table->columns[i].is_twice;
        LIST_ADD(sniffing->mem, &guess->left_out, table->columns[i].name);
    }
    guess->source.ignores_other_headers = guess->left_out.count > IGNORED_LISTED_MOST || twice;
    if (!guess->source.ignores_other_headers) {
        guess->source.ignored_headers = guess->left_out.items;
        guess->source.ignored_header_count = guess->left_out.count;
    }
}

/* --- the whole --- */

static void labels_default(struct sniffing *sniffing)
{
    struct source *source = &sniffing->guess->source;
    const char *key = sniff_answer_to(sniffing->answers, "key", NULL);
    const char *name = sniff_answer_to(sniffing->answers, "name", NULL);

    source->key = key ? key : "new-source";
    source->name = name ? name : "New source";
}

static bool guess_once(struct arena *mem, const struct sniff_world *world,
                       const struct sniff_table *table, struct sniff_answers *answers,
                       struct sniff_guess *out, struct err *err)
{
    struct sniffing sniffing = {
        .mem = mem,
        .world = world,
        .table = table,
        .answers = answers,
        .guess = out,
        .fields = ARENA_ARRAY(mem, enum csv_field, table->column_count),
        .told = ARENA_ARRAY(mem, bool, table->column_count),
        .taken = ARENA_ARRAY(mem, bool, table->column_count),
        .values = ARENA_ARRAY(mem, bool, table->column_count),
    };

    labels_default(&sniffing);
    if (!sniff_roles_find(&sniffing, err))
        return false;
    shape_settle(&sniffing);
    if (!sniff_when(&sniffing, err) || !sniff_roles_check(&sniffing, err) ||
        !sniff_station(&sniffing, err) || !sniff_roles_take(&sniffing, err))
        return false;
    if (!(out->source.shape == SOURCE_LONG ? sniff_long(&sniffing, err)
                                           : sniff_wide(&sniffing, err)) ||
        !decimal_settle(&sniffing, err) || !blanks_settle(&sniffing, err) ||
        !kind_settle(&sniffing, err))
        return false;
    sniff_roles_ask(&sniffing);
    ignored_settle(&sniffing);

    return true;
}

/* --- answers that can't be --- */

struct wrongs {
    struct err first;
    struct sniff_names all;
};

static void wrong_add(struct arena *mem, const char *given, const struct err *why,
                      struct wrongs *wrongs)
{
    if (wrongs->all.count == 0)
        wrongs->first = *why;
    LIST_ADD(mem, &wrongs->all,
             arena_printf(mem, "%s: %s%s%s", str_show(mem, given, SHOWN_MOST), why->text,
                          *why->hint ? ". " : "", why->hint));
}

/* All of them at once: a person need not find out one by one. */
static bool wrongs_tell(const struct wrongs *wrongs, struct sniff_guess *guess, struct err *err)
{
    guess->wrong = wrongs->all;
    *err = wrongs->first;

    if (wrongs->all.count > 1)
        (void)err_set(err, ERR_INVALID, "%zu answers can't be taken", wrongs->all.count);

    return false;
}

/* An answer that was dropped may be why another was not asked for: of columns alone it is told. */
static void unused_add(struct arena *mem, const struct sniff_table *table,
                       const struct sniff_answers *answers, struct wrongs *wrongs)
{
    bool all = wrongs->all.count == 0;

    for (size_t i = 0; i < answers->count; i++) {
        const struct sniff_answer *answer = &answers->items[i];
        struct err why = ERR_INIT;

        if (answer->used || (!all && (!str_equal(answer->topic, "column") || !answer->word ||
                                      sniff_column_named(table, answer->word) != SIZE_MAX)))
            continue;
        sniff_answer_unused(mem, table, answer, &why);
        wrong_add(mem, answer->given, &why, wrongs);
    }
}

bool sniff_source(struct arena *mem, const struct sniff_world *world,
                  const struct sniff_table *table, struct sniff_answers *answers,
                  struct sniff_guess *out, struct err *err)
{
    const struct sniff_guess before = *out;
    struct wrongs wrongs = {.first = ERR_INIT};

    for (;;) {
        struct err why = ERR_INIT;

        *out = before;
        answers->last = NULL;
        if (guess_once(mem, world, table, answers, out, &why))
            break;
        if (wrongs.all.count == 0 && !answers->last) {
            *err = why;
            return false;
        }
        /* The same once more: the answer was not why. */
        if (!answers->last || str_equal(why.text, wrongs.first.text))
            return wrongs_tell(&wrongs, out, err);
        wrong_add(mem, answers->last->given, &why, &wrongs);
        answers->last->dropped = true;
    }
    unused_add(mem, table, answers, &wrongs);

    return wrongs.all.count == 0 || wrongs_tell(&wrongs, out, err);
}
