#include "cli/equation_words.h"

#include "base/buf.h"
#include "derive/equation.h"

static const struct word_column columns[] = {
    {"equation", NULL, NULL},           {"gives", NULL, NULL},        {"from", " from ", NULL},
    {"settings", "; settings: ", NULL}, {"holds", ". Holds: ", NULL}, {"source", ". ", NULL},
};

/* "conductivity (mS/cm), temperature (degC)"; what may be left out in square brackets. */
static const char *inputs_words(struct arena *mem, const struct equation *equation)
{
    struct buf words = buf_new(mem);

    for (size_t i = 0; i < equation_input_count(equation); i++) {
        const struct equation_input *input = &equation->inputs[i];
        bool open = input->optional;

        buf_addf(&words, "%s%s%s", i > 0 ? ", " : "", open ? "[" : "", input->as);
        if (input->unit)
            buf_addf(&words, " (%s)", input->unit);
        for (int k = 0; k < SETTING_COUNT; k++)
            if (input->instead & SETTING_BIT(k))
                buf_addf(&words, " or setting `%s`", setting_name((enum setting)k));
        buf_add_text(&words, open ? "]" : "");
    }

    return words.data;
}

static const char *settings_words(struct arena *mem, const struct equation *equation)
{
    struct buf words = buf_new(mem);

    for (int k = 0; k < SETTING_COUNT; k++)
        if (equation->needs & SETTING_BIT(k))
            buf_addf(&words, "%s%s", words.len ? ", " : "", setting_name((enum setting)k));
    for (int k = 0; k < SETTING_COUNT; k++)
        if (equation->takes & SETTING_BIT(k))
            buf_addf(&words, "%s[%s]", words.len ? ", " : "", setting_name((enum setting)k));

    return words.data;
}

void equations_topic(struct arena *mem, struct word_lists *lists)
{
    struct word_list list = {
        .title = "Equations for `derived:`, by which a reading is worked out from others.",
        .remark = "In square brackets: may be left out. The first input in `from:` leads: there is "
                  "one derived reading for each of its own. Outside its range an equation gives "
                  "no reading, and says so.",
        .columns = columns,
        .column_count = sizeof(columns) / sizeof(columns[0])};
    const struct equation *equation;

    for (size_t i = 0; (equation = equation_at(i)); i++) {
        const char *gives = equation->unit
                                ? arena_printf(mem, "%s (%s)", equation->name, equation->unit)
                                : equation->name;

        LIST_ADD(mem, &list,
                 ((struct word_row){.cells = {equation->word, gives, inputs_words(mem, equation),
                                              settings_words(mem, equation), equation->range,
                                              equation->source}}));
    }
    LIST_ADD(mem, lists, list);
}
