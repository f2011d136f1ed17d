#include "app/nutrient_month.h"

#include "app/additions.h"
#include "app/outlet_shut.h"
#include "app/tank_month.h"
#include "base/str.h"

struct balancing {
    struct place_reader reader;
    struct farm_flows flows;
    struct additions additions; /* of the month */
    bool ever_added;            /* the farm writes additions down */
    instant first;
    instant until;
};

static const struct {
    const char *name;
    const char *parameter;
    const char *kept_words;
} nutrients[NUTRIENTS] = {
    [NUTRIENT_NITROGEN] = {"nitrogen, as N", "total-nitrogen",
                           "or taken out with animals, or lost to the air"},
    [NUTRIENT_PHOSPHORUS] = {"phosphorus, as P", "total-phosphorus", "or taken out with animals"},
    [NUTRIENT_SOLIDS] = {"solids, by water alone", "suspended-solids",
                         "settled, eaten or broken down"},
};

/* As the options of an addition name them. */
static const char *const plain_names[NUTRIENTS] = {
    [NUTRIENT_NITROGEN] = "nitrogen", [NUTRIENT_PHOSPHORUS] = "phosphorus"};

static const char more_left[] = "more left than came in: it came out of what the farm held, or a "
                                "term rests on too little";

/* --- by water -------------------------------------------------------------------------------- */

/* Volume of the month at a station; false, with the reason, where a part of it is not known. */
static bool volume_of(const struct balancing *balancing, const struct station_flow *flow,
                      double *m3, const char **words)
{
    struct arena *mem = balancing->reader.mem;

    *words = arena_printf(mem, "the flow at %s is not known: %s", flow->station->key, flow->words);
    if (!flow->known)
        return false;
    for (size_t i = 0; i < balancing->flows.station_count; i++) {
        const struct station_flow *one = &balancing->flows.stations[i];
        bool rests_on_it = flow->measured.known ? one == flow : one->measured.known;

        if (rests_on_it && !water_flow_whole(&one->measured)) {
            *words = one->measured.words;
            return false;
        }
    }
    *m3 = flow->m3_per_h * (double)(balancing->until - balancing->first) / (double)HOUR_US;
    *words = arena_printf(mem, "%.0f m3 at %s from midnight to midnight (%s)", *m3,
                          flow->station->key, flow->words);

    return true;
}

/* What was taken while the outlet was shut is no sample of the discharge. How many those are. */
static size_t drop_shut(const struct shut_times *shut, struct place_values *values)
{
    size_t kept = 0;
    size_t all = values->count;

    for (size_t i = 0; i < all; i++) {
        const struct place_value one = values->items[i];

        if (!outlet_shut_at(shut, one.at)) {
            values->items[kept++] = one;
            continue;
        }
        values->in_doubt -= one.in_doubt;
        values->less_than -= one.qualifier == QUALIFIER_LESS;
    }
    values->count = kept;

    return all - kept;
}

/* What one station's water carried. `words` grows by what it rests on, or why it is not known. */
static bool station_carries(struct balancing *balancing, const struct station_flow *flow,
                            const char *parameter, bool *known, double *kg, struct buf *words,
                            struct err *err)
{
    struct arena *mem = balancing->reader.mem;
    struct farm_place place = {.station = flow->station->key, .parameter = parameter};
    struct place_values values = {0};
    struct shut_times shut = {0};
    const char *volume = NULL;
    double mean = 0.0;
    double m3 = 0.0;
    double carried = 0.0;
    size_t readings = 0;

    if (!place_values_load(&balancing->reader, &place, "mg/L", balancing->first, balancing->until,
                           &values, err) ||
        !outlet_shut_load(&balancing->reader, place.station, balancing->first, balancing->until,
                          &shut, err))
        return false;

    size_t dropped = drop_shut(&shut, &values);

    if (words->len > 0)
        buf_add_text(words, "; ");
    if (!place_mean(&values, &mean, &readings)) {
        buf_addf(words, "no %s was read at %s%s", parameter, place.station,
                 dropped > 0 ? " while its outlet was open" : "");
        *known = false;
        return true;
    }
    if (!volume_of(balancing, flow, &m3, &volume)) {
        buf_add_text(words, volume);
        *known = false;
        return true;
    }
    buf_add_text(words, place_rests_on(mem, &values, parameter));
    if (dropped > 0)
        buf_addf(words, " (%zu more taken while the outlet was shut)", dropped);
    buf_addf(words, ", times %s", volume);
    if (!nutrient_in_water(m3, mean, &carried, err))
        return false;
    *kg += carried;

    return true;
}

/* All stations of the kinds together. */
static bool water_carries(struct balancing *balancing, const char *const *kinds,
                          enum nutrient_term term, struct nutrient_figures *figures,
                          struct err *err)
{
    struct buf words = buf_new(balancing->reader.mem);
    bool known = true;
    double kg = 0.0;
    size_t stations = 0;

    for (size_t i = 0; i < balancing->flows.station_count; i++) {
        const struct station_flow *flow = &balancing->flows.stations[i];
        bool of_kind = false;

        for (size_t k = 0; kinds[k]; k++)
            of_kind = of_kind || str_equal(flow->station->kind, kinds[k]);
        if (!of_kind)
            continue;
        stations++;
        if (!station_carries(balancing, flow, figures->parameter, &known, &kg, &words, err))
            return false;
    }
    if (stations == 0)
        buf_addf(&words, "the farm file has no station of kind %s", kinds[0]);
    figures->month.terms[term] = (struct nutrient_amount){known && stations > 0, kg};
    figures->rests_on[term] = words.data;

    return true;
}

/* --- by additions ---------------------------------------------------------------------------- */

/* The part of it that lies in the month. */
static double share_inside(const struct balancing *balancing, const struct addition *addition)
{
    instant from = addition->at > balancing->first ? addition->at : balancing->first;
    instant until = addition->until < balancing->until ? addition->until : balancing->until;

    if (addition->until == addition->at)
        return 1.0;

    return until > from ? (double)(until - from) / (double)(addition->until - addition->at) : 0.0;
}

/* Kilograms of the nutrient; false where content or mass are not told. */
static bool addition_holds(const struct balancing *balancing, const struct addition *addition,
                           enum nutrient nutrient, double *kg)
{
    bool nitrogen = nutrient == NUTRIENT_NITROGEN;
    bool known = nitrogen ? addition->nitrogen_known : addition->phosphorus_known;
    struct decimal percent = nitrogen ? addition->nitrogen_percent : addition->phosphorus_percent;
    struct err err = ERR_INIT;
    double mass = 0.0;

    return known &&
           addition_kg(balancing->reader.mem, balancing->reader.farm->units, addition, &mass) &&
           nutrient_in_addition(mass * share_inside(balancing, addition),
                                decimal_double(percent) / 100.0, kg, &err);
}

static void additions_hold(const struct balancing *balancing, enum nutrient nutrient, bool feed,
                           struct nutrient_figures *figures)
{
    struct arena *mem = balancing->reader.mem;
    enum nutrient_term term = feed ? NUTRIENT_FEED : NUTRIENT_FERTILISER;
    struct nutrient_amount *amount = &figures->month.terms[term];
    size_t count = 0;

    *amount = (struct nutrient_amount){.known = balancing->ever_added};
    figures->rests_on[term] = "no addition was ever written down: nothing says that there was none";
    if (!balancing->ever_added)
        return;
    for (size_t i = 0; i < balancing->additions.count; i++) {
        const struct addition *addition = &balancing->additions.items[i];
        bool must = str_equal(addition->kind, feed ? "feed" : "fertiliser");
        double kg = 0.0;

        if (!addition_stands(addition) || str_equal(addition->kind, "feed") != feed)
            continue;
        if (addition_holds(balancing, addition, nutrient, &kg)) {
            amount->kg += kg;
            count++;
        } else if (must) {
            amount->known = false;
            figures->rests_on[term] =
                arena_printf(mem,
                             "addition %d (%s) has no %s content or no mass on record; of a "
                             "product without any it is 0: --%s 0 with --instead-of %d",
                             addition->number, addition->product, plain_names[nutrient],
                             plain_names[nutrient], addition->number);
            return;
        }
    }
    figures->rests_on[term] = count ? arena_printf(mem, "%zu %s, by content", count,
                                                   count == 1 ? "addition" : "additions")
                                    : "none in the month";
}

/* --- all of it ------------------------------------------------------------------------------- */

static bool nutrient_work_out(struct balancing *balancing, enum nutrient nutrient,
                              struct nutrient_figures *out, struct err *err)
{
    static const char *const in[] = {"intake", NULL};
    static const char *const away[] = {"discharge", "overflow", NULL};
    struct nutrient_figures figures = {.name = nutrients[nutrient].name,
                                       .parameter = nutrients[nutrient].parameter,
                                       .kept_words = nutrients[nutrient].kept_words};

    if (!water_carries(balancing, in, NUTRIENT_BROUGHT, &figures, err) ||
        !water_carries(balancing, away, NUTRIENT_LEFT, &figures, err))
        return false;
    figures.month.terms[NUTRIENT_HARVESTED].known = true;
    figures.rests_on[NUTRIENT_HARVESTED] = "not on record: stays in what is kept";
    if (nutrient == NUTRIENT_SOLIDS) {
        figures.month.terms[NUTRIENT_FERTILISER].known = true;
        figures.month.terms[NUTRIENT_FEED].known = true;
        figures.rests_on[NUTRIENT_FERTILISER] = "not counted";
        figures.rests_on[NUTRIENT_FEED] = "not counted";
    } else {
        additions_hold(balancing, nutrient, false, &figures);
        additions_hold(balancing, nutrient, true, &figures);
    }
    if (!nutrient_balance(&figures.month, &figures.kept, err))
        return err_wrap(err, "%s", figures.name);
    if (figures.kept.known && figures.kept.kg < 0.0)
        figures.kept_words = more_left;
    *out = figures;

    return true;
}

bool nutrient_month_read(struct db *db, struct arena *mem, const struct open_farm *farm,
                         day_number month, instant now, struct nutrient_figures out[NUTRIENTS],
                         struct err *err)
{
    CLEANUP(db_tx_end) struct db_tx tx = {0};
    struct balancing balancing = {0};
    struct additions all = {0};

    if (!month_span(farm->farm, month, now, &balancing.first, &balancing.until, err) ||
        !additions_read(db, mem, farm, INSTANT_NONE, INSTANT_NONE, &all, err) ||
        !additions_read(db, mem, farm, balancing.first, balancing.until, &balancing.additions,
                        err) ||
        !db_tx_begin(db, farm->farm_id, &tx, err) ||
        !place_reader_open(&tx, mem, farm, &balancing.reader, err) ||
        !farm_flows_of(&balancing.reader, balancing.first, balancing.until, &balancing.flows, err))
        return false;
    balancing.ever_added = all.count > 0;
    for (int i = 0; i < NUTRIENTS; i++) {
        if (!nutrient_work_out(&balancing, (enum nutrient)i, &out[i], err))
            return false;
    }

    return true;
}
