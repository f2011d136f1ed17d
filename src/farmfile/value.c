#include "farmfile/value.h"

#include <string.h>

#include "base/str.h"

static const char *trimmed(struct field_reader *reader, const struct yaml *value)
{
    return str_trim(reader->mem, value->text);
}

void value_text(struct field_reader *reader, const struct field *field, const struct yaml *value,
                void *into)
{
    const char **text = into;

    if (field_is_text(reader, field, value))
        *text = trimmed(reader, value);
}

static bool is_key(const char *text)
{
    size_t length = strspn(text, "abcdefghijklmnopqrstuvwxyz0123456789-");

    return text[length] == '\0' && length <= FARM_KEY_MOST && text[0] >= 'a' && text[0] <= 'z' &&
           text[length - 1] != '-';
}

void value_key(struct field_reader *reader, const struct field *field, const struct yaml *value,
               void *into)
{
    const char **key = into;

    if (!field_is_text(reader, field, value))
        return;

    const char *text = trimmed(reader, value);

    if (is_key(text))
        *key = text;
    else
        field_problem(reader, value, NULL,
                      "'%s' can't be `%s`: expected a short name in lower case that begins with a "
                      "letter (a-z, 0-9 and hyphens, at most %d)",
                      str_show(reader->mem, text, FARM_KEY_MOST), field->key, FARM_KEY_MOST);
}

void value_day(struct field_reader *reader, const struct field *field, const struct yaml *value,
               void *into)
{
    day_number *day = into;
    day_number read = DAY_NONE;
    struct err err = ERR_INIT;

    if (!field_is_text(reader, field, value))
        return;
    if (!day_parse(trimmed(reader, value), &read, &err) || read < day_from_civil(1900, 1, 1) ||
        read > day_from_civil(2199, 12, 31))
        field_unfit(reader, field, value, NULL, 0);
    else
        *day = read;
}

void value_season(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    int *season = into;
    struct err err = ERR_INIT;
    day_number day = 0;

    if (!field_is_text(reader, field, value))
        return;

    /* Of a leap year, so that 02-29 is a day. */
    if (!day_parse(arena_printf(reader->mem, "2000-%s", trimmed(reader, value)), &day, &err)) {
        field_unfit(reader, field, value, NULL, 0);
        return;
    }

    struct civil civil = civil_from_day(day);

    *season = civil.month * 100 + civil.day;
}

void value_yes_no(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    bool *yes = into;

    if (!field_is_text(reader, field, value))
        return;

    const char *text = trimmed(reader, value);

    if (strcmp(text, "yes") == 0)
        *yes = true;
    else if (strcmp(text, "no") == 0)
        *yes = false;
    else
        field_unfit(reader, field, value, NULL, 0);
}

static size_t words_count(const char *const *words)
{
    size_t count = 0;

    while (words && words[count])
        count++;

    return count;
}

int value_word(struct field_reader *reader, const struct field *field, const struct yaml *value)
{
    size_t count = words_count(field->words);

    if (!field_is_text(reader, field, value))
        return -1;

    const char *text = trimmed(reader, value);

    for (size_t i = 0; i < count; i++) {
        if (str_equal_nocase(text, field->words[i])) {
            field_spell(reader, value, field->words[i]);
            return (int)i;
        }
    }

    struct buf list = buf_new(reader->mem);

    for (size_t i = 0; i < count; i++)
        buf_addf(&list, "%s%s", i == 0 ? "" : i + 1 == count ? " or " : ", ", field->words[i]);

    const char *nearest = str_nearest(text, field->words, count);

    field_problem(reader, value, NULL, "'%s' can't be `%s`: expected %s (%s)%s%s%s",
                  str_show(reader->mem, text, FARM_KEY_MOST), field->key, field->expected,
                  list.data, nearest ? "; did you mean '" : "", nearest ? nearest : "",
                  nearest ? "'?" : "");

    return -1;
}

void value_choice(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    int choice = value_word(reader, field, value);

    /* An enum that has no negative value is as wide as an int. */
    if (choice >= 0)
        memcpy(into, &choice, sizeof(choice));
}

void value_choice_set(struct field_reader *reader, const struct field *field,
                      const struct yaml *value, void *into)
{
    int choice = value_word(reader, field, value) + 1;

    if (choice > 0)
        memcpy(into, &choice, sizeof(choice));
}

/* The first word is false, the second true. */
void value_either(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    bool *second = into;
    int word = value_word(reader, field, value);

    if (word >= 0)
        *second = word == 1;
}

void value_number(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    struct decimal *number = into;

    if (!field_is_text(reader, field, value))
        return;
    if (decimal_parse(trimmed(reader, value), number))
        return;
    if (strchr(value->text, ','))
        field_problem(reader, value, "The farm file writes decimal points: 0.5.",
                      "'%s' can't be `%s`: expected a number, without commas",
                      str_show(reader->mem, value->text, FARM_KEY_MOST), field->key);
    else
        field_unfit(reader, field, value, NULL, 0);
}

bool value_parse_count(const char *text, int least, int most, int *out)
{
    long long count = 0;

    if (*text == '\0' || text[strspn(text, "0123456789")] != '\0' || strlen(text) > 9)
        return false;
    for (; *text; text++)
        count = count * 10 + (*text - '0');
    if (count < least || count > most)
        return false;
    *out = (int)count;

    return true;
}

void value_count(struct field_reader *reader, const struct field *field, const struct yaml *value,
                 void *into)
{
    if (!field_is_text(reader, field, value))
        return;
    if (!value_parse_count(trimmed(reader, value), field->least, field->most, into))
        field_unfit(reader, field, value, NULL, 0);
}

int value_split(struct field_reader *reader, const struct yaml *value, const char **words, int most)
{
    const char *at = value->text;
    int count = 0;

    for (at += strspn(at, " \t\n"); *at; at += strspn(at, " \t\n")) {
        size_t length = strcspn(at, " \t\n");

        if (count == most)
            return -1;
        words[count++] = arena_strndup(reader->mem, at, length);
        at += length;
    }

    return count;
}

void value_amount(struct field_reader *reader, const struct field *field, const struct yaml *value,
                  void *into)
{
    const char *words[2];
    int *amount = into;
    int count = 0;

    if (!field_is_text(reader, field, value))
        return;
    if (value_split(reader, value, words, 2) == 2 &&
        value_parse_count(words[0], field->least, field->most, &count)) {
        for (size_t i = 0; field->words[i]; i++) {
            if (strcmp(words[1], field->words[i]) == 0) {
                *amount = count;
                field_spell(reader, value,
                            arena_printf(reader->mem, "%d %s", count, field->words[0]));
                return;
            }
        }
    }
    field_unfit(reader, field, value, NULL, 0);
}

void value_percent(struct field_reader *reader, const struct field *field, const struct yaml *value,
                   void *into)
{
    static const struct decimal all = {.coefficient = 100};
    struct decimal *percent = into;
    struct decimal number = {0};

    if (!field_is_text(reader, field, value))
        return;

    char *text = str_trim(reader->mem, value->text);
    size_t length = strlen(text);

    if (text[length - 1] == '%') {
        text[length - 1] = '\0';
        text = str_trim(reader->mem, text);
        if (decimal_parse(text, &number) && number.coefficient >= 0 &&
            decimal_compare(number, all) <= 0) {
            *percent = number;
            field_spell(reader, value, arena_printf(reader->mem, "%s %%", text));
            return;
        }
    }
    field_unfit(reader, field, value, NULL, 0);
}

bool value_texts(struct field_reader *reader, const struct field *field, const struct yaml *value,
                 struct texts *out)
{
    size_t count = value->kind == YAML_LIST ? value->count : 1;
    struct texts texts = {.items = ARENA_ARRAY(reader->mem, const char *, count)};

    if (value->kind == YAML_LIST && !field_is_list(reader, field, value))
        return false;
    for (size_t i = 0; i < count; i++) {
        const struct yaml *item = value->kind == YAML_LIST ? value->items[i].value : value;

        if (!field_is_text(reader, field, item))
            return false;
        texts.items[texts.count++] = trimmed(reader, item);
    }
    *out = texts;

    return true;
}

/* The keys of this list, in the place of those that were not asked for last. */
static struct field_keys *keys_of(struct field_reader *reader, const struct yaml *list)
{
    struct field_keys *keys = &reader->keys[reader->keys_latest];

    if (keys->list == list)
        return keys;
    reader->keys_latest = 1 - reader->keys_latest;
    keys = &reader->keys[reader->keys_latest];
    if (keys->list != list)
        *keys = (struct field_keys){.list = list};

    return keys;
}

/* The first item with this key before `position`; NULL: none. */
static const struct yaml *key_before(struct field_reader *reader, const struct yaml *list,
                                     size_t position, const char *key)
{
    struct field_keys *keys = keys_of(reader, list);
    size_t first;

    for (; keys->read < position; keys->read++) {
        const struct yaml *other = yaml_find(list->items[keys->read].value, "key");

        if (other && !key_index_find(&keys->index, other->text, &first))
            key_index_add(reader->mem, &keys->index, other->text, keys->read);
    }

    return key_index_find(&keys->index, key, &first) && first < position
               ? yaml_find(list->items[first].value, "key")
               : NULL;
}

bool value_key_once(struct field_reader *reader, const struct field_table *table,
                    const struct yaml *list, size_t position)
{
    const struct yaml *key = yaml_find(list->items[position].value, "key");
    const struct yaml *other = key ? key_before(reader, list, position, key->text) : NULL;

    if (other)
        field_problem(reader, key, "Give one of them another key.",
                      "the %s '%s' is given twice (first on line %d)", table->what,
                      str_show(reader->mem, key->text, FARM_KEY_MOST), other->line);

    return key && !other;
}
