"""A clause's choices out of the farm file's own words, as `explain --json` tells them."""
from fractions import Fraction as F

LENGTHS = {"second": 1, "seconds": 1, "minute": 60, "minutes": 60, "hour": 3600, "hours": 3600,
           "day": 86400, "days": 86400}
WEEK_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
COUNTING = ("count beyond", "share beyond", "time outside", "longest time outside")


def seconds(text):
    number, unit = text.split()
    return int(number) * LENGTHS[unit]


def minute_of_day(text):
    hour, minute = text.split(":")
    return int(hour) * 60 + int(minute)


def date_of_year(text):
    month, day = text.split("-")
    return int(month) * 100 + int(day)


def decimals_of(text):
    return len(text.split(".")[1]) if "." in text else 0


def figures_of(text):
    digits = text.lstrip("+-").replace(".", "").lstrip("0")
    return max(len(digits), 1)


class Side:
    """One side of a bound."""

    def __init__(self, text, reached):
        self.text = text
        self.at = F(text)
        self.reached_is_beyond = reached


class Bound:
    """`upper` and `lower` are Sides or None."""

    def __init__(self, upper=None, lower=None):
        self.upper = upper
        self.lower = lower


def bound_of(settings):
    upper = lower = None
    if "not above" in settings:
        upper = Side(settings["not above"], False)
    if "below" in settings:
        upper = Side(settings["below"], True)
    if "not below" in settings:
        lower = Side(settings["not below"], False)
    if "above" in settings:
        lower = Side(settings["above"], True)
    if "from" in settings:
        low, high = settings["from"].split(" to ")
        upper, lower = Side(high, False), Side(low, False)
    return Bound(upper, lower)


def counted_beyond(settings):
    upper = lower = None
    if "counts above" in settings:
        upper = Side(settings["counts above"], False)
    if "counts from" in settings:
        upper = Side(settings["counts from"], True)
    if "counts below" in settings:
        lower = Side(settings["counts below"], False)
    if "counts to" in settings:
        lower = Side(settings["counts to"], True)
    if "counts outside" in settings:
        low, high = settings["counts outside"].split(" to ")
        upper, lower = Side(high, False), Side(low, False)
    return Bound(upper, lower)


class Place:
    def __init__(self, station, position=None, flow=None):
        self.station = station
        self.position = position
        self.flow = flow  # (station, parameter)

    def has(self, series):
        return (series["station"] == self.station and
                (self.position is None or series.get("position") == self.position))


def flow_of(said):
    return (said["station"], said["parameter"]) if said else None


class Clause:
    def __init__(self, told):
        said = told["limit"]["settings"]
        self.said = said
        self.unit = told["limit"]["unit"]
        self.confirmed = told["limit"]["confirmed"]
        self.anniversary = told["limit"]["anniversary"]
        self.in_force_from = told["limit"]["in_force_from"]
        self.in_force_to = told["limit"]["in_force_to"]
        self.parameter = said["parameter"]
        self.daily = said["each day"]
        self.statistic = said["statistic"]
        self.period = said["period"]
        self.bound = bound_of(said)
        self.beyond = counted_beyond(said)
        self.by = said.get("bound by")
        self.state = said.get("must be", said.get("must not be"))
        self.state_is_outside = "must not be" in said
        self.across_change = said.get("across a change", "not said")
        self.read_places(said)
        self.read_rules(said)
        self.read_data(said)

    def read_places(self, said):
        flow = flow_of(said.get("flow"))
        self.places = [Place(said["station"], said.get("position"), flow)]
        for added in said.get("added with", []):
            if isinstance(added, str):
                added = {"station": added}
            self.places.append(Place(added["station"], added.get("position"),
                                     flow_of(added.get("flow"))))
        self.against = said.get("compared with")
        if self.against:
            self.places.append(Place(self.against["station"], self.against.get("position"),
                                     flow_of(self.against.get("flow"))))
        kinds = said.get("samples", [])
        self.kinds = [kinds] if isinstance(kinds, str) else kinds
        self.methods = said.get("methods", [])
        self.instruments = said.get("instruments", [])
        self.takers = said.get("taken by", [])

    def read_rules(self, said):
        self.less_than = said.get("less-thans", "not said")
        if self.statistic == "geometric mean":
            self.less_than = said.get("less-thans in a geometric mean", self.less_than)
        self.between = said.get("between the limits", "as reported")
        self.alone = said.get("less-thans alone", "what it allows")
        self.beyond_by_rule = said.get("less-thans beyond the bound") == "by the rule"
        self.largest_if_all = said.get("all less-thans") == "less than the largest"
        self.greater_than = said.get("greater-thans", "refused")
        self.rounding = self.rounding_of(said)
        self.percent = F(said["percentile"]) / 100 if "percentile" in said else None
        if self.statistic == "median":
            self.percent = F(1, 2)
        self.allowance = said.get("allowed beyond")
        self.across = None
        if "outside only if" in said:
            words = said["outside only if"].split()
            self.across = int(words[0]), int(words[2])

    def rounding_of(self, said):
        words = said.get("rounding", "none").split()
        if words == ["none"]:
            return None
        rule = " ".join(words[:2])
        if words[3:] == ["the", "bound"]:
            return rule, "decimals", decimals_of((self.bound.upper or self.bound.lower).text)
        if words[3:] == ["the", "bound's", "figures"]:
            return rule, "figures", figures_of((self.bound.upper or self.bound.lower).text)
        return rule, "figures" if words[4].startswith("figure") else "decimals", int(words[3])

    def read_data(self, said):
        self.least = int(said["at least"].split()[0]) if "at least" in said else 0
        self.covers = F(said["covers"].split()[0]) if "covers" in said else F(0)
        self.stands_s = seconds(said["reading stands"]) if "reading stands" in said else 0
        self.between_readings = said.get("between readings", "to the next")
        self.load_water = said.get("load water", "of the day")
        self.load_gap = said.get("days without a result", "left out")
        self.discharging = said.get("only while discharging") == "yes"
        self.hour = int(said.get("day starts at", "00:00")[:2])
        self.running = int(said.get("running days", 0))
        self.last = int(said.get("last samples", 0))
        self.week_starts = WEEK_DAYS.index(said.get("week starts", "Monday"))
        self.months = said.get("across months", "where it began")
        self.span_belongs = said.get("across days", "where it began")

    # --- what kind of clause it is -----------------------------------------------------------

    @property
    def counts(self):
        return self.statistic in COUNTING

    @property
    def single(self):
        """The bound, or what is counted, is on single values all the way."""
        return (self.daily in ("every reading", "lowest", "highest") and
                (self.statistic in ("value", "minimum", "maximum") or self.counts))

    @property
    def of_whole(self):
        return (self.less_than.startswith("Kaplan-Meier") or
                self.less_than in ("regression on order statistics", "ranked"))

    @property
    def adds_up(self):
        return self.daily in ("total", "load")

    @property
    def is_span(self):
        return self.period in ("each sample", "month", "quarter", "year", "licence year")

    @property
    def has_one_figure(self):
        return (self.period not in ("day", "each sample") and
                (self.statistic != "value" or self.allowance is not None))

    @property
    def each_value(self):
        return self.statistic == "value" and self.allowance is None
