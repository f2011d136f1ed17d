"""Limits of the made-up farm that use, together with the paired ones, every choice a limit has."""
from farm_pairs import FLOW, PERCENTILES

ALWAYS = {"licence": "invented", "only while discharging": "yes"}
SOLIDS = dict(ALWAYS, station="outlet", parameter="suspended-solids", unit="mg/L", samples="grab")
NITROGEN = dict(ALWAYS, station="outlet", parameter="total-nitrogen", samples="grab")
OXYGEN = dict(ALWAYS, station="outlet", parameter="oxygen", unit="mg/L", samples="probe")
PH = dict(ALWAYS, station="outlet", parameter="ph", unit="pH", samples="probe")
EVERY = {"each day": "every reading"}
EACH = dict(EVERY, statistic="value", period="each sample", rounding="none")
MEAN = {"each day": "every reading", "statistic": "mean", "period": "month", "less-thans": "half",
        "greater-thans": "step above", "rounding": "half up to 1 decimals"}
LOAD = {"each day": "load", "statistic": "mean", "period": "month", "unit": "kg/day",
        "less-thans": "half", "greater-thans": "step above", "rounding": "none", "flow": FLOW,
        "reading stands": "3 hours", "days without a result": "left out"}
INTAKE = {"station": "intake", "as": "difference", "paired": "same day"}


def of(*parts, **more):
    limit = {}
    for part in parts:
        limit.update(part)
    limit.update({key.replace("_", " "): value for key, value in more.items()})
    return limit


def where():
    two = of(SOLIDS, MEAN, {"not above": "25"})
    two.pop("station")
    yield dict(two, stations=["outlet", "outlet-2"])
    volumes = {"parameter": "flow", "unit": "m3", "samples": "probe", "each day": "total",
               "period": "month", "rounding": "none", "reading stands": "3 hours"}
    outlet_2 = {"station": "outlet-2"}
    yield of(ALWAYS, volumes, {"station": "outlet", "statistic": "mean", "not above": "820",
                               "added with": [outlet_2]})
    yield of(ALWAYS, volumes, {"station": "outlet", "statistic": "sum", "not above": "20000"})
    yield of(ALWAYS, volumes, {"station": "outlet", "statistic": "value", "period": "day",
                               "not above": "700", "day starts at": "07:00"})
    yield of(NITROGEN, LOAD, {"not above": "1.6", "added with": [dict(
        outlet_2, flow={"station": "outlet-2", "parameter": "flow"})]})
    for kind in ("difference", "percent removal", "intake credit"):
        bound = {"not above": "15"} if kind != "percent removal" else {"not below": "20"}
        for paired in (INTAKE["paired"], "figures of the period"):
            yield of(SOLIDS, MEAN, bound, {"compared with": dict(INTAKE, **{
                "as": kind, "paired": paired})})
        yield of(SOLIDS, EACH, bound, {"compared with": dict(
            INTAKE, **{"as": kind, "paired": "nearest in time", "within": "3 hours"})})
        yield of(SOLIDS, EACH, bound, {"compared with": dict(
            INTAKE, **{"as": kind, "paired": "by residence time", "residence time": "2 days",
                       "within": "1 day"})})
    yield of(NITROGEN, LOAD, {"not above": "1.0", "compared with": dict(
        INTAKE, flow={"station": "intake", "parameter": "flow"})})
    ring = {"station": "pond", "position": "ring"}
    yield of(ALWAYS, volumes, {"station": "outlet", "statistic": "mean", "not above": "820",
                               "added with": [{"station": "outlet-2", "position": "pipe"}]})
    yield of(OXYGEN, EACH, {"not above": "2", "compared with": dict(
        ring, **{"as": "difference", "paired": "nearest in time", "within": "1 hour"})})
    yield of(OXYGEN, EACH, {"not below": "6", "while": dict(
        ring, parameter="oxygen", unit="mg/L", above="7.5", within="1 hour")})
    yield of(OXYGEN, EACH, {"bound by": {
        "rule": "straight line", "readings": [dict(ring, parameter="oxygen", unit="mg/L")],
        "within": "1 hour", "side": "not below", "offset": "-1", "factor": "1"}})
    for position in ("ring", "centre"):
        yield of(EACH, {"licence": "invented", "station": "pond", "position": position,
                        "parameter": "oxygen", "unit": "mg/L", "samples": "probe",
                        "not below": "5.5"})


def what():
    yield of(SOLIDS, MEAN, {"not above": "22", "methods": ["M1"]})
    yield of(SOLIDS, MEAN, {"not above": "22", "instruments": ["Laboratory B"]})
    yield of(SOLIDS, MEAN, {"not above": "22", "taken by": ["Wren"]})
    yield of(SOLIDS, EACH, {"not above": "45", "accredited laboratory": "yes"})
    for cause in ("left out", "count"):
        yield of(SOLIDS, MEAN, {"not above": "22", "samples that look for a cause": cause})
    for portions in ("averaged first", "each by itself"):
        yield of(SOLIDS, MEAN, {"not above": "22", "replicates": portions})
    scum = of(ALWAYS, EVERY, {"station": "outlet", "parameter": "scum", "samples": "by hand",
                              "statistic": "value", "period": "each sample"})
    for key, word in (("must be", "seen"), ("must be", "not seen"), ("must not be", "seen"),
                      ("must not be", "not seen")):
        yield of(scum, {key: word})
    yield of(scum, {"must not be": "seen", "hours": "08:00 to 12:00"})
    yield of(scum, {"must not be": "seen", "period": "month", "allowed beyond": "3"})
    yield of(scum, {"must be": "shut", "parameter": "outlet"})
    yield of(OXYGEN, MEAN, {"not below": "8", "side by side": "averaged first"})
    yield of(OXYGEN, MEAN, {"not below": "8", "side by side": "each by itself"})
    for across in ("where it began", "where it ended", "where most of it lies"):
        yield of(SOLIDS, MEAN, {"samples": ["grab", "composite"], "not above": "22",
                                "each day": "mean", "across days": across})
    yield of(ALWAYS, {"station": "outlet", "parameter": "discharge-meter", "unit": "m3",
                      "samples": "by hand", "each day": "total", "statistic": "value",
                      "period": "day", "not above": "650", "rounding": "none"})
    yield of(ALWAYS, {"station": "outlet", "parameter": "discharge-meter", "unit": "ML",
                      "each day": "total", "statistic": "sum", "period": "month",
                      "not above": "18.2", "rounding": "half up to the bound"})
    yield of(ALWAYS, EACH, {"station": "outlet", "parameter": "oxygen", "unit": "ug/L",
                            "samples": ["probe", "derived"], "not below": "5000"})


def when():
    yield of(OXYGEN, EACH, {"not below": "6", "only while discharging": "no"})
    yield of(OXYGEN, EACH, {"not below": "6", "hours": "22:00 to 06:30"})
    yield of(OXYGEN, EACH, {"not below": "6", "hours": "06:00 to 18:00"})
    for tide in ("90 minutes before to 3 hours after low water",
                 "1 hour before to 1 hour after high water"):
        yield of(OXYGEN, EACH, {"not below": "6", "tide": tide, "tide table": "harbour"})
    yield of(OXYGEN, EACH, {"not below": "6", "season": {"from": "11-01", "to": "03-20"}})
    yield of(OXYGEN, EACH, {"not below": "6", "season": {"from": "05-01", "to": "09-30"}})
    rain = {"station": "gauge", "parameter": "rain", "unit": "mm"}
    yield of(OXYGEN, EACH, {"not below": "6", "while": dict(rain, above="10", within="2 hours")})
    yield of(OXYGEN, EACH, {"not below": "6", "while": dict(rain, below="10", within="12 hours")})
    yield of(SOLIDS, MEAN, {"not above": "22", "day starts at": "12:00", "each day": "highest"})
    yield of(OXYGEN, MEAN, {"not below": "7", "day starts at": "07:00", "each day": "lowest"})
    together = {"hours": "20:00 to 05:00", "season": {"from": "11-01", "to": "03-20"},
                "tide": "4 hours before to 2 hours after low water", "tide table": "harbour"}
    yield of(OXYGEN, EACH, {"not below": "6"}, together)
    yield of(OXYGEN, MEAN, {"not below": "6"}, together)


def figures():
    for rule in PERCENTILES:
        yield of(SOLIDS, MEAN, {"statistic": "percentile", "percentile": "80",
                                "by the rule of": rule, "not above": "27"})
    for key, number in (("counts above", "8"), ("counts from", "8"), ("counts below", "7"),
                        ("counts to", "7"), ("counts outside", "7 to 9")):
        beyond = {key: number, "statistic": "share beyond", "not above": "40"}
        yield of(OXYGEN, EVERY, beyond, {"period": "month", "rounding": "half up to 0 decimals"})
        for statistic in ("time outside", "longest time outside"):
            yield of(OXYGEN, EVERY, beyond, {
                "statistic": statistic, "time in": "hours", "not above": "150",
                "period": "month", "rounding": "none", "covers": "50 %",
                "reading stands": "2 hours", "between readings": "straight line"})
    for rule in ("to the next", "half-way", "straight line"):
        yield of(OXYGEN, EVERY, {"statistic": "time outside", "time in": "hours", "counts above":
                                 "8", "not above": "3", "period": "day", "rounding": "none",
                                 "reading stands": "2 hours", "between readings": rule})
        yield of(NITROGEN, LOAD, {"not above": "2", "between readings": rule})
    for direction in ("either way", "rise", "fall"):
        yield of(OXYGEN, EVERY, {"statistic": "greatest change", "change within": "3 hours",
                                 "direction": direction, "not above": "2.2", "period": "day",
                                 "less-thans": "half", "rounding": "none"})
        yield of(OXYGEN, EVERY, {"statistic": "greatest rate", "rate per": "day",
                                 "direction": direction, "not above": "40", "period": "month",
                                 "reading stands": "2 hours", "less-thans": "half",
                                 "rounding": "none", **({} if direction == "fall" else
                                                        {"covers": "50 %"})})
    for unit, most in (("seconds", "540000"), ("days", "6.25")):
        yield of(OXYGEN, EVERY, {"statistic": "time outside", "time in": unit, "counts above": "8",
                                 "not above": most, "period": "month", "rounding": "none",
                                 "covers": "50 %", "reading stands": "2 hours",
                                 "between readings": "half-way"})
    for per, most in (("second", "0.0005"), ("minute", "0.03")):
        yield of(OXYGEN, EVERY, {"statistic": "greatest rate", "rate per": per, "period": "month",
                                 "direction": "either way",
                                 "not above": most, "reading stands": "2 hours",
                                 "less-thans": "half", "rounding": "none", "covers": "50 %"})
    yield of(PH, MEAN, {"pH averaged as written": "yes", "from": "7.5 to 8.5"})
    yield of(PH, MEAN, {"statistic": "hydrogen-ion mean", "not above": "8.0"})
    yield of(SOLIDS, MEAN, {"each day": "flow-weighted mean", "flow": FLOW,
                            "reading stands": "3 hours", "not above": "22"})
    yield of(SOLIDS, MEAN, {"each day": "mean", "statistic": "flow-weighted mean", "flow": FLOW,
                            "reading stands": "3 hours", "not above": "22"})


def periods():
    for period in ("month", "quarter", "year", "licence year"):
        yield of(SOLIDS, MEAN, {"not above": "24", "period": period})
    yield of(SOLIDS, MEAN, {"not above": "24", "period": "running days", "running days": "9",
                            "at least": "2 samples"})
    yield of(SOLIDS, MEAN, {"not above": "24", "period": "last samples", "last samples": "5",
                            "statistic": "median", "replicates": "each by itself"})
    yield of(SOLIDS, MEAN, {"not above": "24", "period": "last samples", "last samples": "4",
                            "replicates": "averaged first"})
    for belongs in ("where it began", "where it ended", "where most of it lies", "by its days",
                    "in both"):
        yield of(SOLIDS, MEAN, {"not above": "14" if belongs == "by its days" else "34",
                                "period": "week", "week starts": "Wednesday",
                                "across months": belongs})
        if belongs != "by its days":
            yield of(SOLIDS, MEAN, {"not above": "34", "period": "discharge run",
                                    "across months": belongs})
    for day in ("Monday", "Tuesday", "Thursday", "Friday", "Saturday", "Sunday"):
        yield of(SOLIDS, MEAN, {"not above": "14", "period": "week", "week starts": day,
                                "across months": "where most of it lies"})
    yield of(SOLIDS, MEAN, {"not above": "26", "period": "week", "week starts": "Monday",
                            "across months": "where it began", "outside only if": "2 of 4 periods"})
    yield of(OXYGEN, MEAN, {"not below": "8", "period": "day", "outside only if":
                            "3 of 5 periods"})
    yield of(SOLIDS, MEAN, {"not above": "20", "outside only if": "2 of 2 periods"})


def allowances():
    for allowed in ("2", "1 of 8", "10 %", [{"samples": "1 to 7", "allowed": "0"},
                                            {"samples": "8 to 20", "allowed": "3"},
                                            {"samples": "21 or more", "allowed": "6"}]):
        yield of(SOLIDS, EVERY, {"statistic": "value", "period": "month", "not above": "30",
                                 "rounding": "none", "allowed beyond": allowed})
        yield of(SOLIDS, EVERY, {"statistic": "value", "period": "running days", "not above": "30",
                                 "running days": "14", "rounding": "none",
                                 "allowed beyond": allowed})


def less_thans():
    for between in ("as reported", "zero", "at detection", "half of detection", "at quantitation",
                    "half of quantitation"):
        yield of(SOLIDS, MEAN, {"not above": "22", "between the limits": between})
    for alone in ("what it allows", "within", "by the rule"):
        limit = of(SOLIDS, EACH, {"not above": "8", "less-thans alone": alone})
        if alone == "by the rule":
            limit["less-thans"] = "half"
        yield limit
    for beyond in ("not assessable", "by the rule"):
        yield of(SOLIDS, MEAN, {"not above": "8", "less-thans beyond the bound": beyond})
    for every in ("by the rule", "less than the largest"):
        yield of(SOLIDS, MEAN, {"each day": "mean", "statistic": "value", "period": "day",
                                "not above": "30", "all less-thans": every})
    for own in ("at the limit", "half", "stated", "step below",
                "lower of half and half the bound", "regression on order statistics",
                "Kaplan-Meier, rest at the smallest detect",
                "Kaplan-Meier, rest at the smallest limit"):
        yield of(SOLIDS, MEAN, {"statistic": "geometric mean", "less-thans": "zero",
                                "less-thans in a geometric mean": own, "not above": "22"},
                 {"less-than number": "7"} if own == "stated" else {})
    # It holds no less-than; with one there is nothing that the clause says of it.
    yield of(OXYGEN, MEAN, {"statistic": "geometric mean", "less-thans": "half",
                            "less-thans in a geometric mean": "not said", "not below": "6"})
    yield of(SOLIDS, MEAN, {"greater-thans": "refused", "not above": "22"})
    yield of(SOLIDS, MEAN, {"greater-thans": "stated", "greater-than number": "80",
                            "not above": "22"})
    yield of(NITROGEN, MEAN, {"station": "outlet-2", "unit": "mg/L", "less-thans": "stated", "less-than number": "0.5",
                              "not-detecteds by the same rule": "yes", "not above": "4"})


def data():
    yield of(SOLIDS, MEAN, {"not above": "22", "at least": "40 samples"})
    yield of(OXYGEN, MEAN, {"each day": "mean", "statistic": "value", "period": "day",
                            "not below": "7", "covers": "95 %", "reading stands": "90 minutes"})
    yield of(OXYGEN, MEAN, {"not below": "7", "covers": "75 %", "reading stands": "90 minutes",
                            "at least": "10 samples"})
    for water in ("of the day", "while sampling", "mean of the period"):
        for gap in ("left out", "period mean"):
            yield of(NITROGEN, LOAD, {"load water": water, "days without a result": gap,
                                      "not above": "2.1"})
    one_load = of(NITROGEN, LOAD, {"load water": "mean concentration times volume",
                                   "statistic": "sum", "not above": "50"})
    one_load.pop("days without a result")
    yield one_load
    yield of(NITROGEN, LOAD, {"not above": "4", "unit": "lb/day", "load factor": "8.34",
                              "load flow unit": "MGD", "load concentration unit": "mg/L"})
    yield of(SOLIDS, MEAN, {"not above": "22", "margin": "10 %"})
    yield of(SOLIDS, MEAN, {"not above": "22", "margin": "2 mg/L"})
    for rule in ("not said", "old", "new"):
        yield of(SOLIDS, MEAN, {"not above": "22", "across a change": rule,
                                "in force": {"from": "2026-03-10"}})
        yield of(SOLIDS, MEAN, {"not above": "22", "across a change": rule,
                                "in force": {"from": "2025-01-01", "to": "2026-03-10"}})
    for most in ("50", "5"):
        yield of(EACH, {"licence": "ended", "station": "pond", "parameter": "suspended-solids",
                        "unit": "mg/L", "samples": "grab", "not above": most})
    yield of(SOLIDS, EACH, {"not above": "22", "in force": {"from": "2026-05-01"}})


def bounds():
    """Bounds that go by other readings, on every side and by every form."""
    ammonia = dict(ALWAYS, station="outlet", parameter="ammonia", unit="mg/L", samples="grab")
    temperature = {"station": "outlet", "parameter": "temperature", "unit": "degC"}
    salinity = {"station": "outlet", "parameter": "salinity", "unit": "PSU"}
    brook = {"station": "brook", "parameter": "salinity", "unit": "PSU"}
    acid = {"station": "outlet", "parameter": "ph", "unit": "pH"}
    for number, form in enumerate(("emerson-273.2", "emerson-273.15", "bower-bidwell", "khoo",
                                   "epa-1989", "clegg-whitfield")):
        readings = [acid, temperature] + ([] if "emerson" in form else [salinity])
        yield of(ammonia, EACH, {"bound by": {
            "rule": "un-ionised ammonia", "readings": readings, "within": "3 hours",
            "stated": ("0.013", "0.04")[number % 2], "ammonia form": form,
            "side": ("not above", "below")[number % 2]}})
    # A form for fresh water reaches no further than a salinity of 1.
    yield of(ammonia, EACH, {"bound by": {
        "rule": "un-ionised ammonia", "readings": [acid, temperature, brook], "within": "3 hours",
        "stated": "0.013", "ammonia form": "emerson-273.2", "side": "not above"}})
    for side in ("not below", "above", "not above", "below"):
        steps = {"rule": "steps", "readings": [temperature], "within": "3 hours", "side": side,
                 "steps": [{"up to": "14.5", "bound": "8.0"}, {"up to": "16", "bound": "7.6"},
                           {"up to": "17", "bound": "7.20"}]}
        yield of(OXYGEN, EACH, {"bound by": steps})
        yield of(OXYGEN, EACH, {"bound by": {
            "rule": "straight line", "readings": [temperature], "within": "3 hours", "side": side,
            "offset": "14.2", "factor": "-0.41"}, "rounding": "half up to 1 decimals"})
        yield of(OXYGEN, EACH, {"unit": "ug/L", "bound by": {
            "rule": "share of saturation", "within": "3 hours", "side": side, "stated": "92.5",
            "readings": [temperature] if side == "above" else [temperature, salinity]}})
    for margin in ("10 %", "0.5 mg/L"):
        yield of(OXYGEN, EACH, {"not below": "5", "margin": margin})
        yield of(OXYGEN, EACH, {"margin": margin, "bound by": {
            "rule": "share of saturation", "within": "3 hours", "side": "not below",
            "stated": "40", "readings": [temperature, salinity]}})


def doubted():
    """Water of which rows were set aside: of the second outlet's flow, and of the meter."""
    second = {"station": "outlet-2", "flow": {"station": "outlet-2", "parameter": "flow"}}
    lines = {"between readings": "straight line"}
    half = {"between readings": "half-way"}
    total = of(ALWAYS, {"station": "outlet-2", "parameter": "flow", "unit": "m3",
                        "samples": "probe", "each day": "total", "rounding": "none",
                        "reading stands": "3 hours"})
    each = of(total, {"statistic": "value", "period": "day"})
    for between in ({}, lines, half):
        for bound in ("195", "205", "215", "240", "400", "3000"):
            yield of(each, between, {"not above": bound})
        for bound in ("100", "140", "165"):
            yield of(each, between, {"not below": bound})
    for bound in ("4000", "5050", "5100", "5150", "5200", "5300", "9000"):
        yield of(total, {"statistic": "sum", "period": "month", "not above": bound})
    ammonia = of(NITROGEN, LOAD, second, {"parameter": "ammonia", "unit": "g/day"})
    for water in ("of the day", "while sampling", "mean of the period"):
        for bound in ("60", "90", "96", "102", "120", "400"):
            yield of(ammonia, {"load water": water, "not above": bound})
            yield of(ammonia, {"load water": water, "not below": bound})
    for bound in ("20", "60", "130", "170", "230", "400"):
        yield of(ammonia, {"statistic": "value", "period": "day", "not above": bound})
        yield of(ammonia, {"not above": bound, "compared with": dict(
            INTAKE, flow={"station": "outlet-2", "parameter": "flow"})})
        yield of(ammonia, {"station": "outlet", "flow": FLOW, "not above": bound,
                           "compared with": dict(
                               INTAKE, flow={"station": "outlet-2", "parameter": "flow"})})
    one_load = of(ammonia, {"load water": "mean concentration times volume", "unit": "g/day",
                            "statistic": "sum"})
    one_load.pop("days without a result")
    for bound in ("1000", "2600", "2800", "3000", "3300", "9000"):
        yield of(one_load, {"not above": bound})
    mean = of(NITROGEN, MEAN, second, {"parameter": "ammonia", "unit": "mg/L", "rounding": "none",
                                       "reading stands": "3 hours"})
    for bound in ("0.40", "0.48", "0.50", "0.52", "0.54", "0.56", "0.60"):
        for side in ("not above", "not below"):
            yield of(mean, {"statistic": "flow-weighted mean", "each day": "mean", side: bound})
            yield of(mean, {"each day": "flow-weighted mean", side: bound})
    meter = {"flow": {"station": "outlet", "parameter": "discharge-meter"}}
    metered = of(ALWAYS, {"station": "outlet", "parameter": "discharge-meter", "unit": "m3",
                          "each day": "total", "rounding": "none"})
    for bound in ("600", "720", "760", "800", "2000"):
        yield of(metered, {"statistic": "value", "period": "day", "not above": bound})
    for bound in ("10000", "16000", "17000", "18000", "20000"):
        yield of(metered, {"statistic": "sum", "period": "month", "not above": bound})
    for bound in ("1", "1.8", "2.2", "5"):
        yield of(NITROGEN, LOAD, meter, {"not above": bound, "reading stands": None})


def held_back():
    """(as it was confirmed or None, as it is changed or made later and confirmed by nobody): a new
    form by itself may be outside and not within; of a changed one both are judged."""
    wide, tight, unsaid = {"not above": "40"}, {"not above": "15"}, {"not above": "40"}
    mean = of(SOLIDS, MEAN)
    yield None, of(mean, wide)
    yield None, of(mean, tight)
    yield None, of(OXYGEN, EACH, {"not below": "2"})
    yield None, of(OXYGEN, MEAN, {"not below": "2", "period": "day"})
    yield of(mean, wide), of(mean, wide, {"not above": "41"})
    yield of(mean, wide), of(mean, tight)
    yield of(mean, tight), of(mean, wide)
    yield of(mean, tight), of(mean, tight, {"statistic": "median"})
    yield of(mean, wide), of(mean, unsaid, {"less-thans": "not said"})
    yield of(OXYGEN, EACH, {"not below": "2"}), of(OXYGEN, EACH, {"not below": "7.5"})
    yield of(OXYGEN, EACH, {"not below": "7.5"}), of(OXYGEN, EACH, {"not below": "2"})
    changed = {"change": "licence changed", "in force": {"from": "2026-03-12"}}
    for rule in ("old", "new", "not said"):
        yield of(mean, tight), of(mean, wide, changed, {"across a change": rule})
    yield of(OXYGEN, EACH, {"not below": "7.5"}), of(OXYGEN, EACH, {"not below": "2"}, changed)


def held_back_limits():
    """(of the farm file, of the one that comes later)."""
    first, later = [], []
    for number, (before, after) in enumerate(held_back(), 1):
        key = f"held-back-{number}"
        if before:
            first.append(dict(before, key=key))
            after = dict({"change": "copied wrongly"}, **after)
        later.append(dict(after, key=key))
    return first, later


def limits():
    found = []
    for family in (where, what, when, figures, periods, allowances, less_thans, data,
                   bounds, doubted):
        for i, limit in enumerate(family(), 1):
            found.append(dict(limit, key=f"{family.__name__.replace('_', '-')}-{i}"))
    return found
