#include "base/str.h"
#include "judge/explain_json_parts.h"

static const char *said(const char *basis)
{
    return str_empty(basis) ? NULL : basis;
}

void told_by(const struct told *told, const struct derived_by *by)
{
    struct json_writer *json = told->json;

    if (!by)
        return;
    told_text(told, "equation", by->words);
    json_put_name(json, "derived_by");
    json_put_object(json);
    json_put_name_text(json, "key", by->key);
    json_put_name_text(json, "equation", by->equation);
    json_put_name_text(json, "unit", by->unit);
    json_put_name_int(json, "figures", by->figures);
    told_text(told, "from_basis", said(by->from_basis));
    told_text(told, "made_basis", said(by->made_basis));
    json_put_name(json, "settings");
    json_put_object(json);
    for (size_t i = 0; i < by->setting_count; i++)
        json_put_name_text(json, by->settings[i].name, by->settings[i].value);
    json_put_object_end(json);
    json_put_object_end(json);
}

static void told_input(const struct told *told, const struct derived_input *input)
{
    struct json_writer *json = told->json;

    json_put_object(json);
    told_text(told, "as", input->as);
    told_text(told, "station", input->station);
    told_text(told, "parameter", input->parameter);
    told_instant(told, "at", input->at);
    if (input->until != input->at)
        told_instant(told, "until", input->until);
    told_qualifier(told, "qualifier", input->qualifier);
    json_put_name_text(json, "reported", decimal_text(told->mem, input->value));
    told_text(told, "unit", input->unit);
    told_text(told, "doubt", input->doubt);
    told_by(told, input->by);
    told_inputs(told, input->inputs, input->input_count);
    told_origin(told, input->origin);
    json_put_object_end(json);
}

void told_inputs(const struct told *told, const struct derived_input *inputs, size_t count)
{
    if (count == 0)
        return;
    json_put_name(told->json, "inputs");
    json_put_array(told->json);
    for (size_t i = 0; i < count; i++)
        told_input(told, &inputs[i]);
    json_put_array_end(told->json);
}
