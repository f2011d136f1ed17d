#include "judge/window_figure.h"

#include "judge/combine.h"

struct figure window_figure(const struct judgement *judgement, const struct figure_window *window,
                            const char **note)
{
    *note = NULL;

    return combine_figures(judgement, judgement->statistic, window->figures, window->count);
}
