"""What is paired with what in the made-up farm, and what of it makes no sense, by what a clause
means and not by asking the program."""

LESS_THANS = ("not said", "zero", "half", "at the limit", "stated", "step below",
              "lower of half and half the bound", "Kaplan-Meier, rest at the smallest detect",
              "Kaplan-Meier, rest at the smallest limit", "regression on order statistics",
              "ranked")
WHOLE = LESS_THANS[7:10]
OVER_TIME = ("greatest change", "greatest rate", "time outside", "longest time outside")
LASTING = OVER_TIME[2:]
COUNTING = ("count beyond", "share beyond") + LASTING
DIMENSIONS = {
    "statistic": ("value", "mean", "geometric mean", "median", "minimum", "maximum", "sum",
                  "percentile", "log-normal percentile", "count beyond", "share beyond",
                  "flow-weighted mean", "hydrogen-ion mean") + OVER_TIME,
    "less": LESS_THANS,
    "rounding": ("none", "half up to the bound", "half up to the bound's figures",
                 "half up to 1 decimals", "half up to 2 figures", "half even to the bound",
                 "half even to the bound's figures", "half even to 0 decimals",
                 "half even to 3 figures"),
    "bound": ("not above", "below", "not below", "above", "from", "above and below", "steps",
              "straight line", "un-ionised ammonia", "share of saturation", "must be",
              "must not be"),
}
# Where the clause says nothing of less-thans, most figures want readings that hold none.
WITHOUT_LESS_THANS = ("mean", "geometric mean", "median", "percentile", "log-normal percentile",
                      "minimum", "maximum")
BY_OTHER = DIMENSIONS["bound"][6:10]
STATES = DIMENSIONS["bound"][10:]
PERCENTILES = ("type 1", "type 2", "type 3", "type 4", "type 5", "type 6", "type 7", "type 8",
               "type 9", "nearest rank", "Hazen", "Weibull", "Blom", "inclusive")

FLOW = {"station": "outlet", "parameter": "flow"}
OTHERS = {
    "steps": {"rule": "steps", "readings": [
        {"station": "outlet", "parameter": "temperature", "unit": "degC"}],
        "within": "3 hours", "steps": [{"up to": "14", "bound": "34"}, {"up to": "16",
                                                                        "bound": "28"},
                                       {"bound": "20"}]},
    "straight line": {"rule": "straight line", "readings": [
        {"station": "outlet", "parameter": "temperature", "unit": "degC"}],
        "within": "3 hours", "offset": "5", "factor": "1.6"},
    "un-ionised ammonia": {"rule": "un-ionised ammonia", "readings": [
        {"station": "outlet", "parameter": "ph", "unit": "pH"},
        {"station": "outlet", "parameter": "temperature", "unit": "degC"},
        {"station": "outlet", "parameter": "salinity", "unit": "PSU"}],
        "within": "3 hours", "stated": "0.012", "ammonia form": "khoo"},
    "share of saturation": {"rule": "share of saturation", "readings": [
        {"station": "outlet", "parameter": "temperature", "unit": "degC"},
        {"station": "outlet", "parameter": "salinity", "unit": "PSU"}],
        "within": "3 hours", "stated": "85"},
}
# Of each kind of figure: a lower and an upper bound among the values that the files hold.
RANGES = {"solids": ("12", "30"), "load": ("0.9", "2.4"), "ph": ("7.6", "8.3"),
          "oxygen": ("6.4", "9.6"), "count": ("2", "5"), "share": ("20", "40"),
          "change": ("0.5", "1.4"), "minutes": ("600", "9000"), "sum": ("20", "60")}


def base(parameter, unit, kinds):
    return {"name": "", "licence": "invented", "clause": "", "wording": "", "station": "outlet",
            "parameter": parameter, "unit": unit, "samples": kinds,
            "only while discharging": "yes"}


def complete(choice, rng):
    """The ways in which the choice can be made a limit, the likeliest first."""
    for daily in dailies(choice["statistic"]):
        for alone in (None, "by the rule") if choice["less"] != "not said" else (None,):
            yield limit_of(choice, daily, alone, rng)


def dailies(statistic):
    if statistic == "sum":
        return ("load",)
    if statistic == "flow-weighted mean":
        return ("mean", "lowest", "highest")
    if statistic in OVER_TIME + ("hydrogen-ion mean",):
        return ("every reading",)
    return ("every reading", "mean", "highest", "lowest")


def subject(choice, daily):
    statistic, bound = choice["statistic"], choice["bound"]
    if bound in STATES:
        return base("outlet", None, "by hand"), None
    if statistic == "hydrogen-ion mean":
        return base("ph", "pH", "probe"), "ph"
    if daily == "load":
        return base("total-nitrogen", "kg/day", "grab"), "sum" if statistic == "sum" else "load"
    if bound == "share of saturation" or statistic in OVER_TIME or \
            (choice["less"] == "not said" and statistic in WITHOUT_LESS_THANS):
        kind = "minutes" if statistic in LASTING else "change" if statistic in OVER_TIME \
            else "oxygen"
        return base("oxygen", "mg/L", "probe"), kind
    kind = {"count beyond": "count", "share beyond": "share"}.get(statistic, "solids")
    if bound == "un-ionised ammonia":
        return base("ammonia", "mg/L", "grab"), "solids"
    return base("suspended-solids", "mg/L", "grab"), kind


def limit_of(choice, daily, alone, rng):
    statistic, less, bound = choice["statistic"], choice["less"], choice["bound"]
    limit, kind = subject(choice, daily)
    limit.update({"each day": daily, "statistic": statistic, "period": "month"})
    if statistic == "value" and daily != "every reading":
        limit["period"] = "day"
    elif statistic == "value":
        limit["period"] = rng.choice(("each sample", "month"))
    if daily == "load":
        limit.update({"flow": FLOW, "reading stands": "3 hours", "days without a result":
                      "period mean" if statistic == "sum" else "left out"})
    add_settings(limit, rng)
    add_bound(limit, bound, kind)
    if choice["rounding"] != "none" or bound not in STATES:
        limit["rounding"] = choice["rounding"]
    add_less_thans(limit, less, alone, bound)
    floor = any(key in limit for key in ("not below", "above", "from"))
    if floor and not is_single(limit) and statistic not in OVER_TIME and \
            limit.get("less-thans", "not said") != "not said":
        limit["less-thans beyond the bound"] = "by the rule"
    if statistic in LASTING:
        limit["between readings"] = rng.choice(("to the next", "half-way", "straight line"))
        limit.update({"reading stands": "3 hours", "time in": "minutes", "covers": "40 %"})
    return limit


def add_settings(limit, rng):
    statistic = limit["statistic"]
    if statistic == "percentile":
        limit["percentile"] = rng.choice(("50", "80", "90", "95"))
        limit["by the rule of"] = rng.choice(PERCENTILES)
    if statistic == "log-normal percentile":
        limit["z"] = rng.choice(("1.282", "1.65"))
        limit["deviation"] = rng.choice(("sample", "population"))
    if statistic in COUNTING:
        beyond = "8.5" if limit["parameter"] == "oxygen" else "25"
        limit[rng.choice(("counts above", "counts from"))] = beyond
    if statistic == "greatest change":
        limit["change within"] = "2 hours"
    if statistic == "greatest rate":
        limit["rate per"] = "hour"
    if statistic in ("greatest change", "greatest rate"):
        limit["direction"] = rng.choice(("either way", "rise", "fall"))
    if statistic == "flow-weighted mean":
        limit["flow"] = FLOW
        limit["reading stands"] = "3 hours"


def add_bound(limit, bound, kind):
    low, high = RANGES.get(kind, ("0", "1"))
    if bound in ("not above", "below"):
        limit[bound] = high
    elif bound in ("not below", "above"):
        limit[bound] = low
    elif bound == "from":
        limit["from"] = f"{low} to {high}"
    elif bound == "above and below":
        limit["above"], limit["below"] = low, high
    elif bound in BY_OTHER:
        limit["bound by"] = dict(OTHERS[bound], side="not below" if bound == "share of saturation"
                                 else "not above")
    else:
        limit[bound] = "open"


def add_less_thans(limit, less, alone, bound):
    """`less-thans` has a place where a figure is made, or where single ones go by it."""
    single = is_single(limit)
    if less != "not said" or not (single or bound in STATES):
        limit["less-thans"] = less
    if less == "stated":
        limit["less-than number"] = "7"
    if alone:
        limit["less-thans alone"] = alone
    if not single:
        if limit["parameter"] in ("suspended-solids", "total-nitrogen", "ammonia"):
            limit["greater-thans"] = "step above"


# --- what makes no sense ---------------------------------------------------------------------

def is_single(limit):
    return limit["each day"] in ("every reading", "lowest", "highest") and \
        limit["statistic"] in ("value", "minimum", "maximum") + COUNTING


def less_than_reasons(limit, statistic, daily, less):
    alone = limit.get("less-thans alone")
    single = is_single(limit)
    if "less-thans" in limit and single and not alone:
        if statistic in COUNTING:
            yield "the limit holds every reading by itself against the number beyond which"
        elif statistic == "value" and daily == "every reading":
            yield "the limit takes every reading by itself"
        else:
            yield "a lowest or highest reading is one reading by itself"
    if alone and not single:
        yield "in which none stands alone"
        yield "a less-than stands alone only where the bound is on single values"
    if alone and (less in WHOLE or less == "ranked"):
        yield "single less-thans go by a rule that gives each its own number"
    if less == "zero" and statistic in ("geometric mean", "log-normal percentile"):
        yield "a geometric mean has no answer for 0"
    if less in WHOLE and daily != "every reading":
        yield "Kaplan-Meier and regression take all results of the period at once"
    if less in WHOLE and statistic not in ("mean", "geometric mean", "median", "percentile",
                                           "log-normal percentile"):
        yield "Kaplan-Meier and regression give means, medians and percentiles only"
    if less.startswith("Kaplan") and statistic == "log-normal percentile":
        yield "Kaplan-Meier has no deviation by n or n - 1"
    if less.startswith("Kaplan") and statistic == "percentile" and \
            limit["by the rule of"] not in ("type 1", "nearest rank"):
        yield "with Kaplan-Meier a percentile is the value at its rank"
    if less == "ranked" and (statistic != "median" or daily != "every reading"):
        yield "less-thans are ranked in a median of every reading only"
    upper = any(key in limit for key in ("not above", "below", "from"))
    if less.startswith("lower of half") and (
            not upper or statistic in COUNTING + OVER_TIME or daily == "load"):
        yield "half the bound is only a number for less-thans where the bound is an upper one"


def bound_reasons(limit, statistic, daily):
    state = "must be" in limit or "must not be" in limit
    rounding = limit.get("rounding", "none")
    plain = statistic == "value" and daily == "every reading"
    if "bound by" in limit and not plain:
        yield "a bound over another reading holds for single values"
    if state:
        if not plain:
            yield "a state has no figures"
        if "less-thans" in limit or "greater-thans" in limit:
            yield "a word is never a less-than"
        if "rounding" in limit:
            yield "words can't be rounded"
        yield from state_reasons(limit, statistic, daily)
    if "bound by" in limit and "the bound" in rounding:
        yield "the bound is not one number: say the digits to round to"
        yield "the two bounds have different digits to round to"
    both = [limit[key] for key in ("above", "below", "not above", "not below") if key in limit]
    if "from" in limit:
        both = limit["from"].split(" to ")
    if len(both) == 2 and "the bound" in rounding:
        digits = [figures(one) if "figures" in rounding else decimals(one) for one in both]
        if digits[0] != digits[1]:
            yield "the two bounds have different digits to round to"


def state_reasons(limit, statistic, daily):
    if statistic in LASTING:
        yield "only the readings of a probe say how long something was outside"
        yield "only the readings of a probe have time between them"
    if statistic == "hydrogen-ion mean":
        yield "only pH has a hydrogen-ion mean"
    if statistic in LASTING or daily == "load" or "reading stands" in limit:
        yield "a sample stands for no time"


def decimals(text):
    return len(text.split(".")[1]) if "." in text else 0


def figures(text):
    return len(text.replace(".", "").lstrip("0"))


def refused_because(limit):
    statistic, daily = limit["statistic"], limit["each day"]
    less = limit.get("less-thans", "not said")
    return set(less_than_reasons(limit, statistic, daily, less)) | \
        set(bound_reasons(limit, statistic, daily))
