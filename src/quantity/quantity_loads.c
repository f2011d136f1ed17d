#include "measure/load.h"
#include "measure/temperature_rise.h"
#include "measure/unseen.h"
#include "quantity/quantity_inside.h"

/* --- loads ----------------------------------------------------------------------------------- */

/* kg/day from mg/L and m3/day, exactly. */
static bool load_by(struct arena *mem, const struct quantity_asked *asked,
                    const char *concentration, const char *flow, const struct exact **out,
                    struct err *err)
{
    const struct unit *mg_per_l = NULL;
    const struct unit *m3_per_day = NULL;
    const struct unit *kg_per_day = NULL;
    const struct exact *factor = NULL;

    if (!unit_find(asked->units, "mg/L", NULL, &mg_per_l, err) ||
        !unit_find(asked->units, "m3/day", NULL, &m3_per_day, err) ||
        !unit_find(asked->units, "kg/day", NULL, &kg_per_day, err) ||
        !load_factor(mem, mg_per_l, m3_per_day, kg_per_day, &factor, err))
        return false;
    *out = load_of(mem, asked_exact(asked, concentration), asked_exact(asked, flow), factor);

    return true;
}

static bool load(struct arena *mem, const struct quantity_asked *asked,
                 struct quantity_answer *answer, struct err *err)
{
    const struct exact *out = NULL;

    if (!load_by(mem, asked, "concentration", "flow", &out, err))
        return false;
    answer->figures[0] = value_exact(out);

    return true;
}

static bool load_own_factor(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    (void)err;
    answer->figures[0] =
        value_exact(load_of(mem, asked_exact(asked, "concentration"), asked_exact(asked, "water"),
                            asked_exact(asked, "factor")));

    return true;
}

static bool net_load(struct arena *mem, const struct quantity_asked *asked,
                     struct quantity_answer *answer, struct err *err)
{
    const struct exact *went = NULL;
    const struct exact *came = NULL;

    if (!load_by(mem, asked, "discharge-concentration", "discharge-flow", &went, err) ||
        !load_by(mem, asked, "intake-concentration", "intake-flow", &came, err))
        return false;
    answer->figures[0] = value_exact(exact_sub(mem, went, came));
    answer->figures[1] = value_exact(went);
    answer->figures[2] = value_exact(came);

    return true;
}

static bool percent_removal(struct arena *mem, const struct quantity_asked *asked,
                            struct quantity_answer *answer, struct err *err)
{
    const struct exact *in = asked_exact(asked, "in");
    const struct exact *fall = exact_sub(mem, in, asked_exact(asked, "out"));

    if (!asked_not_ph(asked, err))
        return false;
    if (asked_own_unit_is(asked, "degC")) {
        err_set(err, ERR_INVALID, "a temperature has no share that could be removed");
        return err_hint(err, "Of two temperatures there is 'temperature rise'.");
    }
    if (exact_sign(in) <= 0) {
        err_set(err, ERR_INVALID, "nothing came in, so that no share of it can be removed");
        return err_hint(err, "Percent removal wants an `in` above 0.");
    }
    answer->figures[0] =
        value_exact(exact_mul(mem, exact_from_int(mem, 100), exact_div(mem, fall, in)));

    return true;
}

/* --- temperature rise ------------------------------------------------------------------------ */

static bool rise(struct arena *mem, const struct quantity_asked *asked,
                 struct quantity_answer *answer, struct err *err)
{
    const struct unit *degc = NULL;
    const struct unit *degc_rise = NULL;
    const struct exact *out = NULL;

    if (!unit_find(asked->units, "degC", NULL, &degc, err) ||
        !unit_find(asked->units, "degC rise", NULL, &degc_rise, err) ||
        !temperature_rise(
            asked->units, mem, (struct temperature){asked_exact(asked, "before"), degc},
            (struct temperature){asked_exact(asked, "after"), degc}, degc_rise, &out, err))
        return false;
    answer->figures[0] = value_exact(out);

    return true;
}

static bool same_value(struct arena *mem, const struct quantity_asked *asked,
                       struct quantity_answer *answer, struct err *err)
{
    (void)mem;
    (void)err;
    answer->figures[0] = value_exact(asked_exact(asked, "value"));

    return true;
}

/* --- the table ------------------------------------------------------------------------------- */

static const struct quantity rows[] = {
    {
        .word = "load",
        .equation = "concentration times flow, exact by the units",
        .source = "NIST SP 811 (2008) for the units",
        .range = "any",
        .example = "concentration=22 flow=720",
        .inputs = {{"concentration", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL},
                   {"flow", QUANTITY_NUMBER, "m3/day", NULL, NULL, NULL}},
        .figures = {{"load", "kg/day", 6}},
        .work_out = load,
    },
    {
        .word = "load by a licence factor",
        .equation = "concentration times water times the factor that the licence prints",
        .source = "the licence",
        .range = "figures in the units that the licence means",
        .example = "concentration=22 water=0.19 factor=8.34",
        .inputs = {{"concentration", QUANTITY_NUMBER, "", NULL, "mg/L for 8.34", NULL},
                   {"water", QUANTITY_NUMBER, "", NULL, "million US gallons a day for 8.34", NULL},
                   {"factor", QUANTITY_NUMBER, "", NULL, "8.34 gives lb/day", NULL}},
        .figures = {{"load", "", 6}},
        .work_out = load_own_factor,
    },
    {
        .word = "net load",
        .equation = "load of the discharge less load of the intake",
        .source =
            "arithmetic; 40 CFR 122.45(g) is about such credits for intake water; the licence "
            "says how it is meant",
        .range = "any; below 0 where less went out than came in",
        .example = "discharge-concentration=5 discharge-flow=720 intake-concentration=2 "
                   "intake-flow=720",
        .inputs = {{"discharge-concentration", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL},
                   {"discharge-flow", QUANTITY_NUMBER, "m3/day", NULL, NULL, NULL},
                   {"intake-concentration", QUANTITY_NUMBER, "mg/L", NULL, NULL, NULL},
                   {"intake-flow", QUANTITY_NUMBER, "m3/day", NULL, NULL, NULL}},
        .figures = {{"net load", "kg/day", 6}, {"went out", "kg/day", 6}, {"came in", "kg/day", 6}},
        .work_out = net_load,
    },
    {
        .word = "percent removal",
        .equation = "100 (in - out) / in",
        .source = "40 CFR 133.101(j): of averages over the period, not of single days (" UNSEEN ")",
        .range = "in above 0; below 0 where more went out",
        .example = "in=200 out=24",
        .inputs = {{"in", QUANTITY_NUMBER, NULL, NULL, NULL, NULL},
                   {"out", QUANTITY_NUMBER, NULL, NULL, NULL, NULL}},
        .figures = {{"removal", "%", 5}},
        .work_out = percent_removal,
    },
    {
        .word = "temperature rise",
        .equation = "after less before",
        .source = "NIST SP 811 (2008): a difference has no offset, 1 degC rise is 1.8 degF rise",
        .range = "any; below 0 for a fall",
        .example = "before=15 after=17.9",
        .inputs = {{"before", QUANTITY_NUMBER, "degC", NULL, NULL, NULL},
                   {"after", QUANTITY_NUMBER, "degC", NULL, NULL, NULL}},
        .figures = {{"rise", "degC rise", 5}},
        .work_out = rise,
    },
    {
        .word = "another unit",
        .equation = "value times the exact ratio of the units; --unit says which one is wanted",
        .source = "NIST SP 811 (2008)",
        .range = "units of one kind",
        .example = "value=100gpm --unit m3/h",
        .inputs = {{"value", QUANTITY_NUMBER, NULL, NULL, "with its unit", NULL}},
        .figures = {{"value", NULL, 10}},
        .work_out = same_value,
    },
};

const struct quantity_family family_loads = {"loads, rises and units", rows, ARRAY_LEN(rows)};
