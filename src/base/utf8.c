#include "base/utf8.h"

#include "base/macro.h"

size_t utf8_character(const char *at, size_t left, uint32_t *character)
{
    static const struct {
        unsigned char first, last; /* of the first byte */
        unsigned char mask;
        uint32_t least; /* smaller ones have a shorter form */
    } forms[] = {
        {0x00, 0x7f, 0x7f, 0},
        {0xc2, 0xdf, 0x1f, 0x80},
        {0xe0, 0xef, 0x0f, 0x800},
        {0xf0, 0xf4, 0x07, 0x10000},
    };
    const unsigned char *bytes = (const unsigned char *)at;

    for (size_t form = 0; form < ARRAY_LEN(forms) && form < left; form++) {
        if (*bytes < forms[form].first || *bytes > forms[form].last)
            continue;

        uint32_t value = *bytes & forms[form].mask;

        for (size_t i = 1; i <= form; i++) {
            if ((bytes[i] & 0xc0) != 0x80)
                return 0;
            value = value << 6 | (bytes[i] & 0x3f);
        }
        if (value < forms[form].least || value > 0x10ffff || (value >= 0xd800 && value <= 0xdfff))
            return 0;
        *character = value;

        return form + 1;
    }

    return 0;
}

bool utf8_unseen(uint32_t character)
{
    return (character < 0x20 && character != '\t' && character != '\n' && character != '\r') ||
           (character >= 0x7f && character < 0xa0) || character == 0x2028 || character == 0x2029 ||
           character == 0xfeff || character == 0xfffe || character == 0xffff;
}
