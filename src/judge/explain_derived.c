#include "base/str.h"
#include "judge/explain_parts.h"

/* Whether a series before this one was worked out in the same way. */
static bool told_before(const struct writer *writer, size_t series)
{
    const struct derived_by *by = writer->evidence->series[series].by;

    for (size_t i = 0; i < series; i++) {
        const struct derived_by *other = writer->evidence->series[i].by;

        if (other && str_equal(other->words, by->words))
            return true;
    }

    return false;
}

static bool is_used(const struct writer *writer, size_t series)
{
    for (size_t i = 0; i < writer->verdict->item_count; i++) {
        if (writer->verdict->items[i].series == series)
            return true;
    }

    return false;
}

void explain_equations(struct writer *writer)
{
    for (size_t i = 0; i < writer->evidence->series_count; i++) {
        const struct evidence_series *series = &writer->evidence->series[i];

        if (series->by && is_used(writer, i) && !told_before(writer, i))
            writer_say(writer,
                       arena_printf(writer->mem, "  derived, not measured: %s", series->by->words));
    }
}

void explain_inputs(struct writer *writer, const struct evidence_reading *reading)
{
    struct buf text = buf_new(writer->mem);

    if (reading->input_count == 0)
        return;
    buf_add_text(&text, "    worked out from ");
    for (size_t i = 0; i < reading->input_count; i++) {
        const struct derived_input *input = &reading->inputs[i];

        buf_addf(&text, "%s%s at %s %s%s %s", i > 0 ? ", " : "", input->parameter, input->station,
                 input->qualifier == QUALIFIER_LESS      ? "<"
                 : input->qualifier == QUALIFIER_GREATER ? ">"
                                                         : "",
                 decimal_text(writer->mem, input->shown), input->unit);
        if (input->at != reading->at)
            buf_addf(&text, " of %s", zone_text(writer->mem, writer->evidence->zone, input->at));
        if (input->by)
            buf_add_text(&text, " (derived)");
        writer_add_origin(writer, &text, input->origin);
    }
    writer_say(writer, text.data);
}
