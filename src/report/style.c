#include "report/style.h"

#include "base/str.h"

const char style_serif[] = "Times New Roman";
const char style_sans[] = "Arial";

static const struct style_look looks[STYLE_COUNT] = {
    [STYLE_PLAIN] = {"plain", 9, ALIGN_LEFT, RULE_NONE, 0, .wrap = true},
    [STYLE_TITLE] = {"title", 20, ALIGN_LEFT, RULE_NONE, 0, .serif = true, .at_bottom = true},
    [STYLE_LEAD] = {"lead", 12, ALIGN_LEFT, RULE_NONE, 0, .serif = true, .italic = true},
    [STYLE_MARK] = {"mark", 10, ALIGN_CENTRE, RULE_BOX, 0, .serif = true, .bold = true,
                    .wrap = true},
    [STYLE_SECTION] = {"section", 13, ALIGN_LEFT, RULE_ACCENT, 0, .serif = true, .at_bottom = true},
    [STYLE_HEADING] = {"heading", 8, ALIGN_LEFT, RULE_THIN, 0, .bold = true, .wrap = true,
                       .at_bottom = true},
    [STYLE_HEADING_RIGHT] = {"heading right", 8, ALIGN_RIGHT, RULE_THIN, 1, .bold = true,
                             .wrap = true, .at_bottom = true},
    [STYLE_LABEL] = {"label", 8, ALIGN_LEFT, RULE_NONE, 0, .italic = true, .wrap = true},
    [STYLE_FIELD] = {"field", 9, ALIGN_LEFT, RULE_NONE, 0, .wrap = true},
    [STYLE_TEXT] = {"text", 9, ALIGN_LEFT, RULE_HAIR, 0, .wrap = true},
    [STYLE_TEXT_STRONG] = {"strong", 9, ALIGN_LEFT, RULE_HAIR, 0, .bold = true, .wrap = true},
    [STYLE_CENTRE] = {"centre", 9, ALIGN_CENTRE, RULE_HAIR, 0, .serif = false},
    [STYLE_NUMBER] = {"number", 9, ALIGN_RIGHT, RULE_HAIR, 1, .serif = false},
    [STYLE_NUMBER_STRONG] = {"figure", 9, ALIGN_RIGHT, RULE_HAIR, 1, .bold = true},
    [STYLE_MOMENT] = {"moment", 9, ALIGN_LEFT, RULE_HAIR, 0, .serif = false},
    [STYLE_ONE_LINE] = {"one line", 9, ALIGN_LEFT, RULE_HAIR, 0, .serif = false},
    [STYLE_CAUTION] = {"caution", 9, ALIGN_LEFT, RULE_BOX, 1, .wrap = true},
    [STYLE_SMALL] = {"small", 7.5, ALIGN_LEFT, RULE_NONE, 0, .wrap = true},
    [STYLE_LINE_LABEL] = {"line label", 8, ALIGN_LEFT, RULE_NONE, 0, .italic = true,
                          .at_bottom = true},
    [STYLE_LINE] = {"line", 9, ALIGN_LEFT, RULE_THIN, 0, .at_bottom = true},
};

const struct style_look *style_look(enum style style)
{
    return &looks[style];
}

bool style_from_name(const char *name, enum style *out)
{
    for (int i = 0; i < STYLE_COUNT; i++) {
        if (str_equal(name, looks[i].name)) {
            *out = (enum style)i;
            return true;
        }
    }

    return false;
}
