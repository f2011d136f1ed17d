#include "cli/word_list.h"

#include "base/str.h"
#include "base/table_text.h"
#include "cli/say.h"

static void list_json(struct json_writer *json, const struct word_list *list)
{
    json_put_object(json);
    json_put_name_text(json, "title", list->title);
    json_put_name_text(json, "remark", list->remark);
    json_put_name(json, "rows");
    json_put_array(json);
    for (size_t i = 0; i < list->count; i++) {
        json_put_object(json);
        for (size_t k = 0; k < list->column_count; k++)
            json_put_name_text(json, list->columns[k].name, list->items[i].cells[k]);
        json_put_object_end(json);
    }
    json_put_array_end(json);
    json_put_object_end(json);
}

/* The cells as people read them: those that are joined hang on the last column before. */
static void row_fold(struct arena *mem, const struct word_list *list, const struct word_row *row,
                     const char **cells)
{
    size_t at = 0;

    for (size_t k = 0; k < list->column_count; k++) {
        const struct word_column *column = &list->columns[k];
        const char *cell = row->cells[k];

        if (!column->before) {
            cells[at++] = cell;
            continue;
        }
        if (str_empty(cell) || str_equal(cell, column->unsaid))
            continue;
        cells[at - 1] = str_empty(cells[at - 1])
                            ? cell
                            : arena_printf(mem, "%s%s%s", cells[at - 1], column->before, cell);
    }
}

static void list_draw(struct cli *cli, const struct word_list *list)
{
    struct table_column columns[WORD_LIST_COLUMNS_MOST];
    size_t count = 0;

    for (size_t k = 0; k < list->column_count; k++)
        if (!list->columns[k].before)
            columns[count++] = (struct table_column){list->columns[k].name, TABLE_LEFT};

    struct table_text *table = table_text_new(cli->mem, columns, count);

    for (size_t i = 0; i < list->count; i++) {
        const char *cells[WORD_LIST_COLUMNS_MOST] = {NULL};

        row_fold(cli->mem, list, &list->items[i], cells);
        table_text_add(table, cells);
    }
    say_wrapped(cli->out, "", "", list->title);
    fputc('\n', cli->out);
    fputs(table_text_draw(cli->mem, table, TABLE_TEXT_WIDTH), cli->out);
    if (!list->remark)
        return;
    fputc('\n', cli->out);
    say_wrapped(cli->out, "", "", list->remark);
}

void word_lists_say(struct cli *cli, const struct word_lists *lists)
{
    struct buf text = buf_new(cli->mem);
    struct json_writer json = json_begin(&text);

    json_put_array(&json);
    for (size_t i = 0; i < lists->count; i++)
        list_json(&json, &lists->items[i]);
    json_put_array_end(&json);
    json_end(&json);
    if (cli_has(cli, OPTION_JSON)) {
        say_json(cli, &text);
        return;
    }
    for (size_t i = 0; i < lists->count; i++) {
        if (i > 0)
            fputc('\n', cli->out);
        list_draw(cli, &lists->items[i]);
    }
}
