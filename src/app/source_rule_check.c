#include "app/source_rule_check.h"

#include <string.h>

#include "app/source_words.h"
#include "base/number.h"
#include "base/str.h"

typedef bool rule_check(const struct source_rule_question *ask, const char **means,
                        struct err *err);

static bool has_no_column(const struct source_rule_question *ask, const char *what, struct err *err)
{
    return err_set(err, ERR_INVALID, "files of %s have no column of %s", ask->source->key, what);
}

/* --- units --- */

struct brought {
    const struct parameter *parameter;
};

struct parameters {
    struct brought *items;
    size_t count;
    size_t capacity;
};

static void parameter_add(const struct source_rule_question *ask, struct parameters *list,
                          const char *key)
{
    const struct parameter *parameter =
        key ? parameter_find(&ask->farm->farm->known_parameters, key) : NULL;

    for (size_t i = 0; i < list->count; i++)
        if (list->items[i].parameter == parameter)
            return;
    if (parameter)
        LIST_ADD(ask->mem, list, ((struct brought){parameter}));
}

/* What the source is known to bring: by its columns and words, and by what waits of it. */
static struct parameters parameters_of(const struct source_rule_question *ask)
{
    const struct source *source = ask->source;
    struct parameters list = {.count = 0};

    for (size_t i = 0; i < source->column_count; i++)
        parameter_add(ask, &list, source->columns[i].parameter);
    for (size_t i = 0; i < source->parameters.count; i++)
        parameter_add(ask, &list, source->parameters.items[i].means);
    parameter_add(ask, &list, source->parameter);
    for (size_t i = 0; i < ask->waiting->count; i++)
        if (str_equal(ask->waiting->items[i].source, source->key))
            parameter_add(ask, &list, ask->waiting->items[i].parameter);

    return list;
}

/* A word that is a unit already stays what it is. */
static bool is_no_unit_yet(const struct source_rule_question *ask, const struct unit *unit,
                           const char *basis, struct err *err)
{
    const char *word = ask->order->word;
    struct unit_reading reading = {.unit = NULL};
    struct err ignored = ERR_INIT;

    if (!unit_read(ask->farm->units, word, NULL, &reading, &ignored))
        return true;
    if (reading.basis && !str_equal(reading.basis, basis)) {
        err_set(err, ERR_INVALID, "'%s' is %s, and '%s' is %s", word, reading.basis,
                ask->order->means, basis ? basis : "of no basis");
        return err_hint(err, "A basis is of the parameter: keep such results under a parameter of "
                             "that basis (weirbook words parameters).");
    }
    if (reading.unit == unit)
        return err_set(err, ERR_CONFLICT, "'%s' is %s already, without a rule", word,
                       unit_name(unit));
    err_set(err, ERR_INVALID, "'%s' is a unit itself, another than %s", word, unit_name(unit));

    if (!unit_convertible(reading.unit, unit))
        return err_hint(err,
                        "If the sheet has the wrong unit, ask for a corrected one, or keep such "
                        "results under a parameter of that unit (weirbook words parameters).");

    return err_hint(err, "If the sheet has the wrong unit, ask for a corrected one, or say in the "
                         "farm file what it means there (unit words).");
}

static bool check_unit(const struct source_rule_question *ask, const char **means, struct err *err)
{
    struct unit_reading reading = {.unit = NULL};
    struct parameters list = parameters_of(ask);
    struct err unfit = ERR_INIT;
    bool fits = list.count == 0;

    if (!unit_read(ask->farm->units, ask->order->means, NULL, &reading, err) ||
        !is_no_unit_yet(ask, reading.unit, reading.basis, err))
        return false;
    for (size_t i = 0; i < list.count && !fits; i++) {
        const struct unit *unit = NULL;

        if (list.items[i].parameter->kind != PARAMETER_STATE)
            fits = unit_find(ask->farm->units, ask->order->means, list.items[i].parameter, &unit,
                             &unfit);
    }
    if (!fits) {
        err_set(err, ERR_INVALID, "nothing that %s brings can be in %s", ask->source->key,
                ask->order->means);
        return err_hint(err, "%s", unfit.text);
    }
    *means = ask->order->means;

    return true;
}

/* --- parameters and stations --- */

/* "as N" of "Nitrate as N", "as NO3" of "Nitrate (as NO3)"; NULL: the name tells none. */
static const char *basis_told(struct arena *mem, const char *word)
{
    size_t length = strlen(word);

    for (size_t i = 1; i + 3 < length; i++) {
        const char *at = word + i;

        if ((at[-1] == ' ' || at[-1] == '(' || at[-1] == ',') && (at[0] == 'a' || at[0] == 'A') &&
            (at[1] == 's' || at[1] == 'S') && at[2] == ' ') {
            size_t end = strcspn(at + 3, " ),");

            return arena_printf(mem, "as %.*s", (int)end, at + 3);
        }
    }

    return NULL;
}

static bool check_parameter(const struct source_rule_question *ask, const char **means,
                            struct err *err)
{
    const struct parameter_list *known = &ask->farm->farm->known_parameters;
    const struct parameter *parameter = NULL;
    const char *word = ask->order->word;
    const char *basis = basis_told(ask->mem, word);

    if (!ask->source->parameter_header)
        return has_no_column(ask, "parameters", err);
    if (!parameter_require(known, ask->order->means, &parameter, err))
        return false;
    if (parameter_find(known, word))
        return err_set(err, ERR_INVALID, "'%s' is a parameter itself", word);
    if (source_list_has(ask->source->ignored_parameters, ask->source->ignored_parameter_count,
                        word))
        return err_set(err, ERR_CONFLICT, "the farm file says that %s takes no '%s'",
                       ask->source->key, word);
    if (basis && !str_equal_nocase(basis, parameter->basis)) {
        err_set(err, ERR_INVALID, "'%s' is %s, and %s is kept %s", word, basis, parameter->key,
                *parameter->basis ? parameter->basis : "without a basis");
        return err_hint(err, "Keep it under a parameter of that basis: weirbook words parameters.");
    }
    *means = parameter->key;

    return true;
}

static bool check_station(const struct source_rule_question *ask, const char **means,
                          struct err *err)
{
    if (!ask->source->station_header)
        return has_no_column(ask, "stations", err);
    if (!farm_require_station(ask->mem, ask->farm->farm, ask->order->means, err))
        return false;
    if (farm_find_station(ask->farm->farm, ask->order->word))
        return err_set(err, ERR_INVALID, "'%s' is a station itself", ask->order->word);
    *means = ask->order->means;

    return true;
}

/* --- states and blanks --- */

static bool check_state(const struct source_rule_question *ask, const char **means, struct err *err)
{
    struct parameters list = parameters_of(ask);
    struct buf states = buf_new(ask->mem);

    for (size_t i = 0; i < list.count; i++) {
        const struct parameter *parameter = list.items[i].parameter;

        if (parameter->kind != PARAMETER_STATE)
            continue;
        if (parameter_state(parameter, ask->order->word))
            return err_set(err, ERR_INVALID, "'%s' is a state of %s itself", ask->order->word,
                           parameter->key);
        *means = parameter_state(parameter, ask->order->means);
        if (*means)
            return true;
        for (size_t j = 0; j < PARAMETER_STATES_MOST && parameter->states[j]; j++)
            buf_addf(&states, "%s%s", states.len ? ", " : "", parameter->states[j]);
    }
    if (states.len == 0)
        return err_set(err, ERR_INVALID, "%s brings no parameter that has states",
                       ask->source->key);
    err_set(err, ERR_NOT_FOUND, "'%s' is no state of what %s brings", ask->order->means,
            ask->source->key);

    return err_hint(err, "They are: %s.", states.data);
}

/* A number that could be one, and a not-detected, are results. */
static bool check_blank(const struct source_rule_question *ask, const char **means, struct err *err)
{
    const struct source *source = ask->source;
    const struct number_style style = {
        .decimal_mark = source->decimal,
        .not_detected_words = source->not_detected,
        .not_detected_word_count = source->not_detected_count,
    };
    struct number number = number_read(&style, ask->order->word);

    *means = NULL;
    if (ask->order->means)
        return err_set(err, ERR_INVALID, "a word that means no value means nothing else");
    if (number.kind == NUMBER_NOT_DETECTED)
        return err_set(err, ERR_INVALID, "'%s' says not detected, which is a result",
                       ask->order->word);
    if (number.kind != NUMBER_VALUE || (number.value.coefficient < 0 && number.qualifier == '='))
        return true;
    err_set(err, ERR_INVALID, "'%s' is a number, which a result may be", ask->order->word);

    return err_hint(err,
                    "Leave single rows out (weirbook aside leave-out). If it never is a result "
                    "in this source, say so in the farm file: blanks.");
}

/* --- all --- */

static const struct {
    const char *kind;
    rule_check *check;
} checks[] = {
    {"unit", check_unit},   {"parameter", check_parameter}, {"station", check_station},
    {"state", check_state}, {"blank", check_blank},
};

/* Nobody has spoken of the word yet. */
static bool is_new(const struct source_rule_question *ask, struct err *err)
{
    const struct source_rule_order *order = ask->order;
    const char *told = source_word_means(ask->source, order->kind, order->word);
    bool same = told && str_equal_nocase(told, order->means ? order->means : "");

    if (!told && (str_equal(order->kind, "blank") ||
                  !source_list_has(ask->source->blanks, ask->source->blank_count, order->word)))
        return true;
    if (same) {
        err_set(err, ERR_CONFLICT, "%s reads '%s' so already", order->source, order->word);
        return err_hint(err, "A second person agrees to a rule that one made alone with the same "
                             "again and --second PERSON.");
    }
    err_set(err, ERR_CONFLICT, "in %s '%s' means %s%s%s already", order->source, order->word,
            told ? "'" : "no value", told ? told : "", told ? "'" : "");

    return err_hint(err, "Where that is wrong, write what it means in the farm file, whose word "
                         "counts before any rule; or take a rule back: weirbook aside withdraw. "
                         "`weirbook aside rules` lists them.");
}

bool source_rule_check(const struct source_rule_question *ask, const char **means, struct err *err)
{
    const struct source_rule_order *order = ask->order;
    struct buf kinds = buf_new(ask->mem);

    if (str_empty(order->word) || strlen(order->word) > SOURCE_RULE_WORD_MOST)
        return err_set(err, ERR_INVALID, "a word of the file is needed, of at most %d bytes",
                       SOURCE_RULE_WORD_MOST);
    for (size_t i = 0; i < ARRAY_LEN(checks); i++) {
        buf_addf(&kinds, "%s%s", i ? ", " : "", checks[i].kind);
        if (!str_equal(checks[i].kind, order->kind))
            continue;
        if (!str_equal(order->kind, "blank") && str_empty(order->means)) {
            err_set(err, ERR_INVALID, "it is not told what '%s' means", order->word);
            return err_hint(err, "weirbook aside rule SOURCE KIND WORD MEANS");
        }
        return is_new(ask, err) && checks[i].check(ask, means, err);
    }
    err_set(err, ERR_INVALID, "'%s' is no kind of rule", order->kind);

    return err_hint(err, "It is one of: %s.", kinds.data);
}
