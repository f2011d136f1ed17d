#include "app/see_aside.h"

#include "base/str.h"
#include "ingest/place.h"

/* Rows whose texts stand in the entry; their places are in the table. */
enum { TEXTS_MOST = 100 };

/* One looking on its way. */
struct seeing {
    struct db_tx *tx;
    struct arena *mem;
    const struct aside_ref *ref;
    const struct act *act;
    struct aside_seen seen;
    struct buf texts;
    struct buf persons;
    const char *person; /* of the row before */
    size_t of_two;      /* at the place, and seen by two already */
    size_t own;         /* and answered by the act's person */
    size_t corrections; /* and accepted as the correction of a stored value */
};

static bool is_there(const struct aside_ref *ref, const struct aside_answer *answer)
{
    int32_t line = ref->sheet ? place_row(answer->line) : answer->line;

    return (!ref->sheet || str_equal(ref->sheet, answer->sheet)) &&
           (ref->line == 0 || ref->line == line) &&
           (ref->column == 0 || ref->column == answer->column);
}

static bool is_correction(const struct aside_answer *answer)
{
    return str_equal(answer->answer, "accepted") &&
           str_equal(answer->reason, problem_reason_name(PROBLEM_CONTRADICTS_STORED));
}

static bool row_see(struct seeing *seeing, const struct aside_answer *answer, struct err *err)
{
    size_t *why_not = answer->second_person                            ? &seeing->of_two
                      : str_equal(answer->person, seeing->act->person) ? &seeing->own
                      : is_correction(answer)                          ? &seeing->corrections
                                                                       : NULL;
    if (why_not) {
        ++*why_not;
        return true;
    }
    if (!aside_store_see(seeing->tx, answer, seeing->act->person, seeing->act->at, err))
        return false;
    if (seeing->seen.rows < TEXTS_MOST)
        buf_addf(&seeing->texts, "%s%s", seeing->seen.rows ? "; " : "", answer->text);
    if (!str_equal(seeing->person, answer->person))
        buf_addf(&seeing->persons, "%s%s", seeing->seen.rows ? ", " : "", answer->person);
    seeing->person = answer->person;
    seeing->seen.rows++;

    return true;
}

/* Why there was nothing to see. */
static bool nothing_seen(const struct seeing *seeing, struct err *err)
{
    if (seeing->corrections > 0) {
        err_set(err, ERR_INVALID, "that value was accepted as the correction of a stored one");
        return err_hint(err, "A second person agrees to it by the same value again: weirbook "
                             "correct ... --second PERSON.");
    }
    if (seeing->own > 0) {
        err_set(err, ERR_CONFLICT, "%s answered that, so somebody else has to see it",
                seeing->act->person);
        return err_hint(err, "--by is the second person here.");
    }
    if (seeing->of_two > 0)
        return err_set(err, ERR_CONFLICT, "two persons have seen that already");
    err_set(err, ERR_NOT_FOUND, "nothing that was set aside there has been answered");

    return err_hint(err, "What waits is answered first, with the second person named: weirbook "
                         "aside.");
}

bool aside_see(struct db *db, struct arena *mem, const struct open_farm *farm,
               const struct aside_ref *ref, const struct act *act, struct aside_seen *out,
               struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct aside_answers answers = {0};
    struct seeing seeing = {.tx = &tx,
                            .mem = mem,
                            .ref = ref,
                            .act = act,
                            .texts = buf_new(mem),
                            .persons = buf_new(mem)};

    if (!act_allowed(farm->farm, act, MAY_CORRECT, err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !aside_store_answered_of(&tx, mem, ref->file_name, &answers, err))
        return false;
    for (size_t i = 0; i < answers.count; i++)
        if (is_there(ref, &answers.items[i]) && !row_see(&seeing, &answers.items[i], err))
            return false;
    if (seeing.seen.rows == 0)
        return nothing_seen(&seeing, err);
    seeing.seen.texts = seeing.texts.data;

    struct entry_field fields[] = {
        {"what", "answers to rows set aside, seen by a second person"},
        {"file", ref->file_name},
        {"receipt", arena_printf(mem, "%lld", (long long)answers.items[0].receipt)},
        {"answered by", seeing.persons.data},
        {"rows", arena_printf(mem, "%zu", seeing.seen.rows)},
        {"texts", seeing.seen.texts},
    };

    if (!ledger_store_append(&tx, act, ENTRY_NOTE, NULL, fields, ARRAY_LEN(fields), err) ||
        !db_tx_commit(&tx, err))
        return false;
    *out = seeing.seen;

    return true;
}
