#include "app/additions.h"

#include <string.h>

#include "base/exact.h"
#include "base/str.h"
#include "measure/unit.h"

/* A span that holds every instant on record. */
static const instant earliest = -631152000 * SECOND_US; /* 1950 */
static const instant latest = 4102444800 * SECOND_US;   /* 2100 */

static bool kind_known(const char *kind, const char **out, struct err *err)
{
    for (size_t i = 0; addition_kind_words[i]; i++) {
        if (str_equal(addition_kind_words[i], kind)) {
            *out = addition_kind_words[i];
            return true;
        }
    }
    err_set(err, ERR_INVALID, "'%s' is no kind of addition", kind);

    return err_hint(err, "It is one of: fertiliser, treatment, feed, medicine.");
}

/* "25 kg": a mass or a volume. */
static bool amount_read(struct arena *mem, const struct units *units, const char *text,
                        struct addition *addition, struct err *err)
{
    const char *trimmed = str_trim(mem, text);
    size_t digits = strspn(trimmed, "+0123456789.eE");
    const struct unit *unit = NULL;

    if (digits > 0 && (trimmed[digits - 1] == 'e' || trimmed[digits - 1] == 'E'))
        digits--;
    if (!decimal_parse(arena_strndup(mem, trimmed, digits), &addition->amount) ||
        addition->amount.coefficient <= 0 || trimmed[digits] == '\0') {
        err_set(err, ERR_INVALID, "'%s' is not an amount", text);
        return err_hint(err, "Write a number above 0 and its unit, as \"25 kg\" or \"2.5 L\".");
    }
    if (!unit_find(units, str_trim(mem, trimmed + digits), NULL, &unit, err))
        return err_hint(err, "Write how much was put in by mass or volume, in kg, g, L or mL.");
    if (!unit_convertible(unit, unit_named(units, "kg")) &&
        !unit_convertible(unit, unit_named(units, "m3"))) {
        err_set(err, ERR_INVALID, "%s is neither a mass nor a volume", unit_name(unit));
        return err_hint(err, "Write how much was put in, as \"25 kg\" or \"2.5 L\".");
    }
    addition->unit = unit_name(unit);

    return true;
}

static bool percent_read(const char *text, const char *of, bool *known, struct decimal *out,
                         struct err *err)
{
    struct decimal most = {100, 0};

    if (!text)
        return true;
    *known = decimal_parse(text, out) && out->coefficient >= 0 && decimal_compare(*out, most) <= 0;
    if (*known)
        return true;
    err_set(err, ERR_INVALID, "'%s' is not a share of %s in percent", text, of);

    return err_hint(err, "Write a number from 0 to 100: 46 for 46 percent of the product's mass.");
}

/* A whole number from 1, as typed. */
static bool number_read_whole(const char *text, int64_t most, int *out)
{
    struct decimal number = {0};

    if (!decimal_parse(text, &number) || number.scale != 0 || number.coefficient < 0 ||
        number.coefficient > most)
        return false;
    *out = (int)number.coefficient;

    return true;
}

static bool product_read(const struct addition_order *order, struct err *err)
{
    if (str_empty(order->product)) {
        err_set(err, ERR_INVALID, "what was put in is not told");
        return err_hint(err, "Add --what \"...\": the product, in your own words.");
    }
    if (strlen(order->product) > ADDITION_WORDS_MOST)
        return err_set(err, ERR_TOO_LARGE, "--what is longer than %d letters", ADDITION_WORDS_MOST);

    return true;
}

static bool times_fit(const struct addition_order *order, const struct act *act, struct err *err)
{
    if (order->until < order->at) {
        err_set(err, ERR_INVALID, "it ends before it begins");
        return err_hint(err, "Write the earlier time first.");
    }
    if (order->until > act->at) {
        err_set(err, ERR_INVALID, "that time has not come yet");
        return err_hint(err, "Write an addition down when it is done.");
    }

    return true;
}

static bool order_read(struct arena *mem, const struct open_farm *farm,
                       const struct addition_order *order, const struct act *act,
                       struct addition *out, struct err *err)
{
    struct addition addition = {.station = order->station,
                                .product = order->product,
                                .at = order->at,
                                .until = order->until,
                                .withhold_hours = -1,
                                .reason = str_empty(order->reason) ? NULL : order->reason,
                                .person = act->person};

    if (!farm_require_station(mem, farm->farm, order->station, err) ||
        !kind_known(order->kind, &addition.kind, err) ||
        !amount_read(mem, farm->units, order->amount, &addition, err) ||
        !product_read(order, err) || !times_fit(order, act, err) ||
        !percent_read(order->nitrogen, "nitrogen", &addition.nitrogen_known,
                      &addition.nitrogen_percent, err) ||
        !percent_read(order->phosphorus, "phosphorus", &addition.phosphorus_known,
                      &addition.phosphorus_percent, err))
        return false;
    if (order->withhold &&
        !number_read_whole(order->withhold, ADDITION_WITHHOLD_MOST_H, &addition.withhold_hours)) {
        err_set(err, ERR_INVALID, "'%s' is not a number of hours", order->withhold);
        return err_hint(err, "Write whole hours, as --withhold 48; 0 where there is none.");
    }
    *out = addition;

    return true;
}

/* The addition of that number, which must still stand. */
static bool standing_find(struct db_tx *tx, struct arena *mem, const char *typed,
                          struct addition *out, struct err *err)
{
    struct additions all = {0};
    int number = 0;

    if (!number_read_whole(typed, INT32_MAX, &number)) {
        err_set(err, ERR_INVALID, "'%s' is not the number of an addition", typed);
        return err_hint(err, "weirbook addition list shows them with their numbers.");
    }
    if (!addition_store_list(tx, mem, earliest, latest, &all, err))
        return false;
    for (size_t i = 0; i < all.count; i++) {
        if (all.items[i].number != number)
            continue;
        *out = all.items[i];
        if (addition_stands(out))
            return true;
        err_set(err, ERR_INVALID, "addition %d no longer stands: %s", number,
                out->taken_back
                    ? "it was taken back"
                    : arena_printf(mem, "addition %d is in its place", out->replaced_by));
        return err_hint(err, "weirbook addition list shows which ones stand.");
    }
    err_set(err, ERR_NOT_FOUND, "there is no addition %d", number);

    return err_hint(err, "weirbook addition list shows them with their numbers.");
}

static bool entry_add(struct db_tx *tx, struct arena *mem, const struct farm *farm,
                      const struct addition *addition, const char *did, const char *reason,
                      const struct act *act, struct err *err)
{
    struct entry_field fields[] = {
        {"number", arena_printf(mem, "%d", addition->number)},
        {"did", did},
        {"says", addition_words(mem, farm, addition)},
        {"nitrogen percent",
         addition->nitrogen_known ? decimal_text(mem, addition->nitrogen_percent) : NULL},
        {"phosphorus percent",
         addition->phosphorus_known ? decimal_text(mem, addition->phosphorus_percent) : NULL},
        {"withheld hours",
         addition->withhold_hours < 0 ? NULL : arena_printf(mem, "%d", addition->withhold_hours)},
        {"instead of", addition->instead_of ? arena_printf(mem, "%d", addition->instead_of) : NULL},
        {"reason", reason},
    };

    return ledger_store_append(tx, act, ENTRY_ADDITION, NULL, fields, ARRAY_LEN(fields), err);
}

bool addition_add(struct db *db, struct arena *mem, const struct open_farm *farm,
                  const struct addition_order *order, const struct act *act, struct addition *out,
                  struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    unsigned may = order->instead_of ? MAY_CORRECT : MAY_READ;
    struct addition addition = {0};
    struct addition old = {0};

    if (!act_allowed(farm->farm, act, may, err) ||
        !order_read(mem, farm, order, act, &addition, err))
        return false;
    if (order->instead_of && !addition.reason) {
        err_set(err, ERR_INVALID, "a reason is needed for a correction");
        return err_hint(err, "Add --because \"...\".");
    }
    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        (order->instead_of && !standing_find(&tx, mem, order->instead_of, &old, err)))
        return false;
    addition.instead_of = old.number;
    if (!addition_store_add(&tx, mem, &addition, act->at, &addition.number, err) ||
        !entry_add(&tx, mem, farm->farm, &addition, addition.instead_of ? "corrected" : "added",
                   addition.reason, act, err) ||
        !db_tx_commit(&tx, err))
        return false;
    *out = addition;

    return true;
}

bool addition_take_back(struct db *db, struct arena *mem, const struct open_farm *farm,
                        const char *number, const char *reason, const struct act *act,
                        struct addition *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct addition addition = {0};

    if (!act_allowed(farm->farm, act, MAY_CORRECT, err))
        return false;
    if (str_empty(reason)) {
        err_set(err, ERR_INVALID, "a reason is needed");
        return err_hint(err, "Add --because \"...\".");
    }
    if (!db_tx_begin(db, farm->farm_id, &tx, err) ||
        !standing_find(&tx, mem, number, &addition, err) ||
        !addition_store_take_back(&tx, addition.number, reason, act->person, act->at, err) ||
        !entry_add(&tx, mem, farm->farm, &addition, "taken back", reason, act, err) ||
        !db_tx_commit(&tx, err))
        return false;
    addition.taken_back = reason;
    *out = addition;

    return true;
}

bool additions_read(struct db *db, struct arena *mem, const struct open_farm *farm, instant first,
                    instant until, struct additions *out, struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};

    return db_tx_begin(db, farm->farm_id, &tx, err) &&
           addition_store_list(&tx, mem, first == INSTANT_NONE ? earliest : first,
                               until == INSTANT_NONE ? latest : until, out, err);
}

bool addition_kg(struct arena *mem, const struct units *units, const struct addition *addition,
                 double *kg)
{
    const struct unit *from = unit_named(units, addition->unit);
    const struct unit *to = unit_named(units, "kg");
    const struct exact *mass = NULL;
    struct err err = ERR_INIT;

    if (!from || !unit_convertible(from, to) ||
        !unit_convert(units, mem, from, to, exact_from_decimal(mem, addition->amount), &mass, &err))
        return false;
    *kg = exact_double(mass);

    return true;
}

char *addition_words(struct arena *mem, const struct farm *farm, const struct addition *addition)
{
    return arena_printf(
        mem, "%s %s of %s (%s) at %s, %s%s%s", decimal_text(mem, addition->amount), addition->unit,
        addition->product, addition->kind, addition->station,
        zone_text(mem, farm->zone, addition->at), addition->until > addition->at ? " to " : "",
        addition->until > addition->at ? zone_text(mem, farm->zone, addition->until) : "");
}
