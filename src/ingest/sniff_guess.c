#include "ingest/sniff_guess.h"

#include <string.h>

#include "base/buf.h"
#include "base/str.h"

enum { SHOWN_MOST = 60 };

static const struct {
    const char *topic;
    bool may_have_word;
} topics[] = {
    {"key", false},     {"name", false},   {"sheet", false},      {"separator", false},
    {"time", false},    {"dates", false},  {"date-alone", false}, {"clock", true},
    {"zone", false},    {"station", true}, {"column", true},      {"parameter", true},
    {"unit", true},     {"flag", true},    {"condition", true},   {"blank", true},
    {"decimal", false}, {"kind", false},   {"purpose", true},
};

static bool fail_topic(struct arena *mem, const char *topic, struct err *err)
{
    const char *names[ARRAY_LEN(topics)];
    struct buf list = buf_new(mem);
    const char *near;

    for (size_t i = 0; i < ARRAY_LEN(topics); i++) {
        names[i] = topics[i].topic;
        buf_addf(&list, "%s%s", i ? ", " : "", topics[i].topic);
    }
    near = str_nearest(topic, names, ARRAY_LEN(topics));
    (void)err_set(err, ERR_INVALID, "'%s' can't be answered", str_show(mem, topic, SHOWN_MOST));

    return near ? err_hint(err, "Did you mean %s?", near)
                : err_hint(err, "What can be: %s.", list.data);
}

bool sniff_answer_read(struct arena *mem, const char *given, struct sniff_answers *into,
                       struct err *err)
{
    const char *equals = strrchr(given, '=');
    size_t length = equals ? (size_t)(equals - given) : 0;
    struct sniff_answer answer = {.given = given};

    if (!equals || length == 0) {
        (void)err_set(err, ERR_INVALID, "'%s' answers nothing", str_show(mem, given, SHOWN_MOST));
        return err_hint(err, "Write what is asked, = and the answer, as clock=local or "
                             "\"column Turb=turbidity-ntu\".");
    }

    const char *asked = arena_strndup(mem, given, length);
    size_t topic = strcspn(asked, " ");

    answer.topic = str_lower(mem, arena_strndup(mem, asked, topic));
    answer.word = asked[topic] ? str_trim(mem, asked + topic) : NULL;
    answer.says = str_trim(mem, equals + 1);
    for (size_t i = 0; i < ARRAY_LEN(topics); i++) {
        if (!str_equal(topics[i].topic, answer.topic))
            continue;
        if (answer.word && !topics[i].may_have_word)
            break;
        LIST_ADD(mem, into, answer);
        return true;
    }

    return fail_topic(mem, answer.topic, err);
}

/* The last of those given counts; NULL: none. */
static struct sniff_answer *answer_find(const struct sniff_answers *answers, const char *topic,
                                        const char *word)
{
    for (size_t i = answers->count; i-- > 0;) {
        struct sniff_answer *answer = &answers->items[i];

        if (!answer->dropped && str_equal(answer->topic, topic) &&
            (word ? answer->word && str_equal_nocase(answer->word, word) : !answer->word))
            return answer;
    }

    return NULL;
}

const char *sniff_answer_peek(const struct sniff_answers *answers, const char *topic,
                              const char *word)
{
    const struct sniff_answer *answer = answer_find(answers, topic, word);

    return answer ? answer->says : NULL;
}

const char *sniff_answer_to(struct sniff_answers *answers, const char *topic, const char *word)
{
    struct sniff_answer *answer = answer_find(answers, topic, word);

    if (!answer)
        return NULL;
    answer->used = true;
    answers->last = answer;

    return answer->says;
}

void sniff_answer_unused(struct arena *mem, const struct sniff_table *table,
                         const struct sniff_answer *answer, struct err *why)
{
    bool is_there = str_equal(answer->topic, "column") && answer->word &&
                    sniff_column_named(table, answer->word) != SIZE_MAX;

    (void)err_set(why, ERR_INVALID, "nothing in the file asks for '%s'",
                  str_show(mem, answer->given, SHOWN_MOST));
    (void)err_hint(why, is_there
                            ? "That column is read as something else already, or two have its name."
                            : "Write the word as it stands in the file, or leave this answer out.");
}

void sniff_fact_add(struct sniffing *sniffing, const char *what, const char *found,
                    const char *evidence)
{
    LIST_ADD(sniffing->mem, &sniffing->guess->facts, ((struct sniff_fact){what, found, evidence}));
}

void sniff_note_add(struct sniffing *sniffing, const char *sentence)
{
    LIST_ADD(sniffing->mem, &sniffing->guess->notes, sentence);
}

static void word_add(struct arena *mem, struct sniff_question *question, const char *word)
{
    if (question->word_count == question->word_capacity) {
        size_t capacity = question->word_capacity ? question->word_capacity * 2 : 8;
        const char **words = ARENA_ARRAY(mem, const char *, capacity);

        for (size_t i = 0; i < question->word_count; i++)
            words[i] = question->words[i];
        question->words = words;
        question->word_capacity = capacity;
    }
    question->words[question->word_count++] = word;
}

void sniff_ask(struct sniffing *sniffing, const char *topic, const char *word, const char *text,
               const char *add)
{
    struct sniff_questions *questions = &sniffing->guess->questions;
    struct sniff_question question = {.topic = topic, .text = text, .add = add};

    for (size_t i = 0; word && i < questions->count; i++)
        if (str_equal(questions->items[i].topic, topic) &&
            str_equal(questions->items[i].text, text)) {
            word_add(sniffing->mem, &questions->items[i], word);
            return;
        }
    question.number = (int)questions->count + 1;
    if (word)
        word_add(sniffing->mem, &question, word);
    LIST_ADD(sniffing->mem, questions, question);
}

int sniff_question_number(const struct sniff_guess *guess, const char *topic, const char *word)
{
    for (size_t i = 0; i < guess->questions.count; i++) {
        const struct sniff_question *question = &guess->questions.items[i];

        if (!str_equal(question->topic, topic) || (!word && question->word_count > 0))
            continue;
        if (!word)
            return question->number;
        for (size_t k = 0; k < question->word_count; k++)
            if (str_equal(question->words[k], word))
                return question->number;
    }

    return 0;
}

struct sniff_words sniff_words_of(struct arena *mem, const struct sniff_table *table, size_t column)
{
    struct sniff_words words = {0};

    for (size_t r = 0; r < table->data.count; r++) {
        const char *text = sniff_cell_text(&table->data.items[r], column);
        size_t i = 0;

        if (!*text)
            continue;
        while (i < words.count && !str_equal(words.items[i].text, text))
            i++;
        if (i == words.count && i < SNIFF_WORDS_MOST)
            LIST_ADD(mem, &words, ((struct sniff_word){text, 0}));
        if (i < words.count)
            words.items[i].rows++;
    }

    return words;
}

size_t sniff_field_column(const struct sniffing *sniffing, enum csv_field field)
{
    for (size_t i = 0; i < sniffing->table->column_count; i++)
        if (sniffing->fields[i] == field)
            return i;

    return SIZE_MAX;
}

size_t sniff_column_named(const struct sniff_table *table, const char *name)
{
    for (size_t i = 0; i < table->column_count; i++)
        if (*table->columns[i].name && str_equal_nocase(table->columns[i].name, name))
            return i;

    return SIZE_MAX;
}

const char *sniff_list_text(struct arena *mem, const char *const *words, size_t count, size_t most)
{
    struct buf text = buf_new(mem);
    size_t shown = count > most ? most : count;

    for (size_t i = 0; i < shown; i++)
        buf_addf(&text, "%s'%s'", i ? ", " : "", str_show(mem, words[i], SHOWN_MOST));
    if (count > shown)
        buf_addf(&text, " and %zu more", count - shown);

    return text.data;
}
