#include "cli/say.h"

#include <stdarg.h>
#include <string.h>

#include "base/table_text.h"

char *say_number(struct arena *mem, int64_t number)
{
    char *plain = arena_printf(mem, "%lld", (long long)number);
    struct buf text = buf_new(mem);
    size_t length = strlen(plain);

    for (size_t i = 0; i < length; i++) {
        if (i > 0 && plain[i - 1] != '-' && (length - i) % 3 == 0)
            buf_add_char(&text, ',');
        buf_add_char(&text, plain[i]);
    }

    return text.data;
}

char *say_count(struct arena *mem, int64_t count, const char *one, const char *many)
{
    return arena_printf(mem, "%s %s", say_number(mem, count), count == 1 ? one : many);
}

char *say_farm(struct arena *mem, const struct farm *farm)
{
    return arena_printf(mem, "%s%s", farm->name,
                        farm->invented ? " [INVENTED, for practice only]" : "");
}

void say_wrapped(FILE *out, const char *first, const char *indent, const char *text)
{
    size_t at = text_width(first);
    const char *word = text;

    fputs(first, out);
    for (bool fresh = true; *word; fresh = false) {
        size_t length = strcspn(word, " ");
        CLEANUP(arena_free) struct arena *mem = arena_new();
        size_t width = text_width(arena_strndup(mem, word, length));

        if (!fresh && at + 1 + width > TABLE_TEXT_WIDTH) {
            fprintf(out, "\n%s", indent);
            at = text_width(indent);
        } else if (!fresh) {
            fputc(' ', out);
            at++;
        }
        fwrite(word, 1, length, out);
        at += width;
        word += length;
        word += strspn(word, " ");
    }
    fputc('\n', out);
}

bool say_aloud(const struct cli *cli)
{
    return !cli_has(cli, OPTION_JSON) && !cli_has(cli, OPTION_QUIET);
}

void say_notes(FILE *out, const char *const *notes, size_t count)
{
    for (size_t i = 0; i < count; i++)
        say_wrapped(out, "note: ", "  ", notes[i]);
}

void say_next(const struct cli *cli, const char *fmt, ...)
{
    va_list args;

    if (!say_aloud(cli))
        return;
    fputs("Next: ", cli->out);
    va_start(args, fmt);
    vfprintf(cli->out, fmt, args);
    va_end(args);
    fputc('\n', cli->out);
}

void say_json(const struct cli *cli, const struct buf *text)
{
    fprintf(cli->out, "%s\n", text->data);
}
