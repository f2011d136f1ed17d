#include "cli/figure.h"

#include <math.h>

enum { FIGURES = 4 };

char *figure_text(struct arena *mem, double value)
{
    if (value == 0.0 || !isfinite(value))
        return arena_strdup(mem, "0");

    int before = (int)floor(log10(fabs(value))) + 1;
    int decimals = FIGURES - before;

    if (decimals < 0) {
        double step = pow(10.0, -decimals);

        return arena_printf(mem, "%.0f", round(value / step) * step);
    }

    char *text = arena_printf(mem, "%.*f", decimals > 12 ? 12 : decimals, value);
    size_t length = 0;
    bool point = false;

    while (text[length] != '\0')
        point = text[length++] == '.' || point;
    while (point && text[length - 1] == '0')
        text[--length] = '\0';
    if (text[length - 1] == '.')
        text[length - 1] = '\0';

    return text;
}

char *figure_time(struct arena *mem, double seconds)
{
    return figure_time_beside(mem, seconds, seconds);
}

char *figure_time_beside(struct arena *mem, double seconds, double beside_s)
{
    static const struct {
        double up_to_s;
        double unit_s;
        const char *unit;
    } units[] = {{120.0, 1.0, "s"}, {6.0 * 3600.0, 60.0, "min"}, {72.0 * 3600.0, 3600.0, "hours"}};

    for (size_t i = 0; i < sizeof(units) / sizeof(units[0]); i++) {
        if (beside_s < units[i].up_to_s)
            return arena_printf(mem, "%s %s", figure_text(mem, seconds / units[i].unit_s),
                                units[i].unit);
    }

    return arena_printf(mem, "%s days", figure_text(mem, seconds / 86400.0));
}

void figure_json(struct json_writer *json, struct arena *mem, const char *name, bool known,
                 double value)
{
    json_put_name_number(json, name, known && isfinite(value) ? figure_text(mem, value) : NULL);
}
