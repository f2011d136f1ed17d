#include "judge/beside.h"

#include "base/buf.h"
#include "base/str.h"

enum { TEXT_SHOWN_MOST = 120 };

char *beside_words(struct arena *mem, const struct zone *zone, const struct reading_beside *beside)
{
    struct buf text = buf_new(mem);

    if (!beside)
        return NULL;
    if (beside->corrected) {
        const struct beside_corrected *corrected = beside->corrected;

        buf_addf(&text, "corrected by %s%s%s, %s: %s", corrected->person,
                 corrected->second_person ? " and " : "",
                 corrected->second_person ? corrected->second_person : "",
                 zone_text(mem, zone, corrected->at), corrected->because);
    }
    if (beside->checked) {
        const struct beside_checked *checked = beside->checked;

        buf_addf(&text, "%schecked against %s (document %lld) by %s, %s%s",
                 text.len > 0 ? "; " : "", checked->document, (long long)checked->number,
                 checked->person, zone_text(mem, zone, checked->at),
                 checked->corrected_since ? "; a result was corrected since" : "");
    }
    if (beside->typed) {
        const struct beside_typed *typed = beside->typed;

        buf_addf(&text, "%styped by %s, %s: %s; the file says: %s", text.len > 0 ? "; " : "",
                 typed->person, zone_text(mem, zone, typed->at), typed->typed,
                 str_show(mem, typed->text, TEXT_SHOWN_MOST));
    }

    return text.data;
}
