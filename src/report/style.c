#include "report/style.h"

#include "base/str.h"

const char style_serif[] = "Times New Roman";
const char style_sans[] = "Arial";

static const struct style_look looks[STYLE_COUNT] = {
    /*                 name            serif  size  bold   italic wrap   align         rule */
    [STYLE_PLAIN] = {"plain", false, 9, false, false, true, ALIGN_LEFT, RULE_NONE, false},
    [STYLE_TITLE] = {"title", true, 20, false, false, false, ALIGN_LEFT, RULE_NONE, true},
    [STYLE_LEAD] = {"lead", true, 12, false, true, false, ALIGN_LEFT, RULE_NONE, false},
    [STYLE_MARK] = {"mark", true, 10, true, false, true, ALIGN_CENTRE, RULE_BOX, false},
    [STYLE_SECTION] = {"section", true, 13, false, false, false, ALIGN_LEFT, RULE_ACCENT, true},
    [STYLE_HEADING] = {"heading", false, 8, true, false, true, ALIGN_LEFT, RULE_THIN, true},
    [STYLE_HEADING_RIGHT] = {"heading right", false, 8, true, false, true, ALIGN_RIGHT, RULE_THIN,
                             true},
    [STYLE_LABEL] = {"label", false, 8, false, true, true, ALIGN_LEFT, RULE_NONE, false},
    [STYLE_FIELD] = {"field", false, 9, false, false, true, ALIGN_LEFT, RULE_NONE, false},
    [STYLE_TEXT] = {"text", false, 9, false, false, true, ALIGN_LEFT, RULE_HAIR, false},
    [STYLE_TEXT_STRONG] = {"strong", false, 9, true, false, true, ALIGN_LEFT, RULE_HAIR, false},
    [STYLE_CENTRE] = {"centre", false, 9, false, false, false, ALIGN_CENTRE, RULE_HAIR, false},
    [STYLE_NUMBER] = {"number", false, 9, false, false, false, ALIGN_RIGHT, RULE_HAIR, false},
    [STYLE_NUMBER_STRONG] = {"figure", false, 9, true, false, false, ALIGN_RIGHT, RULE_HAIR, false},
    [STYLE_MOMENT] = {"moment", false, 9, false, false, false, ALIGN_LEFT, RULE_HAIR, false},
    [STYLE_CAUTION] = {"caution", false, 9, false, false, true, ALIGN_LEFT, RULE_BOX, false},
    [STYLE_SMALL] = {"small", false, 7.5, false, false, true, ALIGN_LEFT, RULE_NONE, false},
    [STYLE_LINE] = {"line", false, 9, false, false, false, ALIGN_LEFT, RULE_THIN, true},
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
