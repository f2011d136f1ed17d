#include "judge/window_figure.h"

struct figure window_figure(const struct judgement *judgement, const struct figure_window *window,
                            const char **note)
{
    *note = NULL;

    return figure_combine(judgement, judgement->statistic, window->figures, window->count);
}
