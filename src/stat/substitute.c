#include "stat/substitute.h"

static struct amount zero(struct arena *mem, const struct censored *censored)
{
    (void)mem;
    (void)censored;

    return amount_from_decimal((struct decimal){0});
}

static struct amount half(struct arena *mem, const struct censored *censored)
{
    return amount_multiply(mem, censored->limit,
                           amount_from_decimal((struct decimal){.coefficient = 5, .scale = 1}));
}

static struct amount at_limit(struct arena *mem, const struct censored *censored)
{
    (void)mem;

    return censored->limit;
}

static struct amount stated(struct arena *mem, const struct censored *censored)
{
    (void)mem;

    return censored->stated;
}

static struct amount step_up(struct arena *mem, const struct censored *censored)
{
    return amount_add(mem, censored->limit, censored->step);
}

static struct amount step_down(struct arena *mem, const struct censored *censored)
{
    struct amount minus_one = amount_from_decimal((struct decimal){.coefficient = -1});

    return amount_add(mem, censored->limit, amount_multiply(mem, censored->step, minus_one));
}

static struct amount lower_half(struct arena *mem, const struct censored *censored)
{
    const struct censored of_bound = {.limit = censored->bound};
    struct amount of_limit = half(mem, censored);
    struct amount other = half(mem, &of_bound);

    return amount_compare(mem, of_limit, other) <= 0 ? of_limit : other;
}

const struct substitution substitute_zero = {.word = "zero", .of = zero};
const struct substitution substitute_half = {.word = "half", .needs_limit = true, .of = half};
const struct substitution substitute_at_limit = {
    .word = "at the limit", .needs_limit = true, .of = at_limit};
const struct substitution substitute_stated = {.word = "stated", .of = stated};
const struct substitution substitute_step_up = {
    .word = "step above", .needs_limit = true, .of = step_up};
const struct substitution substitute_step_down = {
    .word = "step below", .needs_limit = true, .of = step_down};
const struct substitution substitute_lower_half = {.word = "lower of half and half the bound",
                                                   .needs_limit = true,
                                                   .needs_bound = true,
                                                   .of = lower_half};
