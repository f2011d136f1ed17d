#include "judge/allowance.h"

__extension__ typedef __int128 wide;

static size_t share_of(struct decimal percent, size_t samples)
{
    wide hundred = 100;

    for (int i = 0; i < percent.scale; i++)
        hundred *= 10;

    return (size_t)((wide)percent.coefficient * (wide)samples / hundred);
}

bool allowance_of(const struct limit_allowance *allowance, size_t samples, size_t *allowed)
{
    switch (allowance->kind) {
    case ALLOWANCE_COUNT:
        *allowed = (size_t)allowance->count;
        return true;
    case ALLOWANCE_SHARE:
        *allowed = share_of(allowance->percent, samples);
        return true;
    case ALLOWANCE_TABLE:
        for (size_t i = 0; i < allowance->row_count; i++) {
            const struct allowance_row *row = &allowance->rows[i];

            if (samples >= (size_t)row->from && samples <= (size_t)row->to) {
                *allowed = (size_t)row->allowed;
                return true;
            }
        }
        return false;
    case ALLOWANCE_NONE:
    default:
        return false;
    }
}

bool allowance_is_fixed(const struct limit_allowance *allowance)
{
    return allowance->kind == ALLOWANCE_COUNT;
}
