#include "measure/valid_range.h"

#include <math.h>

static bool fail_outside(const char *equation, const struct valid_range *input, struct err *err)
{
    const char *blank = *input->unit ? " " : "";

    if (isinf(input->most))
        return err_set(err, ERR_INVALID, "the %s is %.10g%s%s, and %s holds from %.10g%s%s upwards",
                       input->input, input->value, blank, input->unit, equation, input->least,
                       blank, input->unit);

    return err_set(err, ERR_INVALID, "the %s is %.10g%s%s, and %s holds from %.10g to %.10g%s%s",
                   input->input, input->value, blank, input->unit, equation, input->least,
                   input->most, blank, input->unit);
}

/* What rounding may put a worked out figure beyond an end at which it stands. */
static double slack(double end)
{
    return 1e-9 * fabs(end);
}

static bool is_inside(const struct valid_range *input)
{
    return input->value >= input->least - slack(input->least) &&
           (isinf(input->most) || input->value <= input->most + slack(input->most));
}

bool valid_range_hold(const char *equation, const struct valid_range *inputs, size_t count,
                      struct err *err)
{
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(inputs[i].value))
            return err_set(err, ERR_INVALID, "the %s is not a number", inputs[i].input);
        if (!is_inside(&inputs[i]))
            return fail_outside(equation, &inputs[i], err);
    }

    return true;
}
