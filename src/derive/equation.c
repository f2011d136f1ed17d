#include "derive/equation_inside.h"

#include "base/str.h"

static const struct equation_family *const families[] = {&equations_water, &equations_flow,
                                                         &equations_amount};

const char *setting_name(enum setting setting)
{
    static const char *const names[SETTING_COUNT] = {
        [SETTING_ALPHA] = "alpha",
        [SETTING_NOTCH_ANGLE] = "notch angle",
        [SETTING_CREST] = "crest",
        [SETTING_CREST_HEIGHT] = "crest height",
        [SETTING_COEFFICIENT] = "coefficient",
        [SETTING_HEAD_ADDED] = "head added",
        [SETTING_ZERO_AT] = "zero at",
        [SETTING_THROAT] = "throat",
        [SETTING_PRESSURE] = "pressure",
        [SETTING_ALTITUDE] = "altitude",
        [SETTING_AIR_PRESSURE] = "air pressure",
        [SETTING_SALINITY] = "salinity",
        [SETTING_DEPTH] = "depth",
        [SETTING_AMMONIA_FORM] = "ammonia form",
        [SETTING_PH_SCALE] = "pH scale",
    };

    return names[setting];
}

struct settings settings_none(void)
{
    struct settings settings = {.word = {NULL}};

    for (size_t i = 0; i < SETTING_COUNT; i++)
        settings.number[i] = NAN;

    return settings;
}

bool settings_told(const struct settings *settings, enum setting setting)
{
    return settings->word[setting] || !isnan(settings->number[setting]);
}

const struct equation *equation_at(size_t position)
{
    for (size_t i = 0; i < ARRAY_LEN(families); i++) {
        if (position < families[i]->count)
            return &families[i]->rows[position];
        position -= families[i]->count;
    }

    return NULL;
}

/* Small letters, and blanks for hyphens. */
static const char *plain(struct arena *mem, const char *word)
{
    char *lower = str_lower(mem, word);

    for (char *at = lower; *at; at++)
        if (*at == '-')
            *at = ' ';

    return lower;
}

bool equation_find(const char *word, const struct equation **out, struct err *err)
{
    CLEANUP(arena_free) struct arena *mem = arena_new();
    const char *asked = plain(mem, word);
    const struct equation *equation;
    struct {
        const char **items;
        size_t count;
        size_t capacity;
    } known = {0};

    for (size_t i = 0; (equation = equation_at(i)); i++) {
        if (str_equal(plain(mem, equation->word), asked)) {
            *out = equation;
            return true;
        }
        LIST_ADD(mem, &known, equation->word);
    }

    const char *nearest = str_nearest(word, known.items, known.count);

    err_set(err, ERR_NOT_FOUND, "there is no equation '%s'", str_show(mem, word, 60));
    if (nearest)
        return err_hint(err, "Did you mean '%s'?", nearest);

    return err_hint(err, "weirbook words equations lists them.");
}

size_t equation_input_count(const struct equation *equation)
{
    size_t count = 0;

    while (count < EQUATION_INPUTS_MOST && equation->inputs[count].as)
        count++;

    return count;
}

int equation_input_named(const struct equation *equation, const char *as)
{
    for (size_t i = 0; i < equation_input_count(equation); i++) {
        if (str_equal_nocase(equation->inputs[i].as, as))
            return (int)i;
    }

    return -1;
}

int equation_input_of(const struct equation *equation, const char *parameter)
{
    for (size_t i = 0; i < equation_input_count(equation); i++) {
        const struct equation_input *input = &equation->inputs[i];

        for (size_t k = 0; k < EQUATION_KEYS_MOST && input->keys[k]; k++) {
            if (str_equal(input->keys[k], parameter))
                return (int)i;
        }
    }

    return -1;
}

/* What any of the equations may be told of where something is. */
static const char *where_words(const struct equation_call *call)
{
    double zero_m = call->settings->number[SETTING_ZERO_AT];
    double depth_m = call->settings->number[SETTING_DEPTH];

    if (!isnan(zero_m))
        return arena_printf(call->mem, "; head above a level of %.6g m", zero_m);
    if (!isnan(depth_m) && depth_m > 0)
        return arena_printf(call->mem, "; %.6g m under the surface", depth_m);

    return "";
}

char *equation_words(const struct equation *equation, const struct equation_call *call)
{
    if (equation->words)
        return arena_printf(call->mem, "%s%s", equation->words(call), where_words(call));

    return arena_printf(call->mem, "%s; %s%s", equation->name, equation->source, where_words(call));
}
