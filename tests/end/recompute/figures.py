"""Figures: what a reading may be in a clause, and what several of them make."""
from fractions import Fraction as F

import arithmetic
from clause import Bound

NUMBERLESS = object()  # no number is put in its place


class End:
    """One end of what a figure may be: `at` None is without end; open: up to it, without it."""

    def __init__(self, at=None, open_=False):
        self.at = at
        self.open = open_


class Figure:
    def __init__(self, low=None, high=None, qualifier="="):
        self.low = low or End()
        self.high = high or End()
        self.qualifier = qualifier
        self.shown_range = None  # where a less-than complies by the licence: what was reported
        self.blocked = False
        self.day = None
        self.at = None
        self.place = 0
        self.use = None
        self.bound = None
        self.less_thans = 0
        self.only_less = False
        self.largest = None
        self.not_told = 0
        self.without = None  # the figure without not-detecteds that nobody told a limit of

    @classmethod
    def number(cls, value):
        return cls(End(value), End(value))

    @property
    def is_number(self):
        return (self.low.at is not None and self.high.at is not None and
                not self.low.open and not self.high.open and self.low.at == self.high.at)

    @property
    def is_missing(self):
        return self.not_told > 0 and self.without is None

    @property
    def shown(self):
        """The number to show; None: there is none."""
        if self.not_told:
            return self.without
        low, high = self.shown_range or (self.low, self.high)
        if self.qualifier == ">" and low.at is not None:
            return low.at
        return high.at if high.at is not None else low.at

    def times(self, factor):
        for end in (self.low, self.high):
            if end.at is not None:
                end.at *= factor
        if self.without is not None:
            self.without *= factor
        if self.largest is not None:
            self.largest *= factor
        return self

    def copy(self):
        other = Figure(End(self.low.at, self.low.open), End(self.high.at, self.high.open))
        for name, value in self.__dict__.items():
            if name not in ("low", "high"):
                setattr(other, name, value)
        return other


# --- against a bound -------------------------------------------------------------------------

def keeps(side, near, far, up, rounding):
    """1: all of it is beyond this side; -1: none of it; 0: some of both."""
    sign = 1 if up else -1

    def order(end):
        at = end.at if end.open else arithmetic.round_by(end.at, rounding)
        return sign * arithmetic.order(at, side.at)

    if near.at is not None:
        found = order(near)
        if found > 0 or (found == 0 and (near.open or side.reached_is_beyond)):
            return 1
    if far.at is not None:
        found = order(far)
        if found < 0 or (found == 0 and (far.open or not side.reached_is_beyond)):
            return -1
    return 0


def fit(bound, low, high, rounding=None):
    """"above", "below", "within" or "unknown"."""
    over = keeps(bound.upper, low, high, True, rounding) if bound.upper else -1
    under = keeps(bound.lower, high, low, False, rounding) if bound.lower else -1
    if over > 0:
        return "above"
    if under > 0:
        return "below"
    return "within" if over < 0 and under < 0 else "unknown"


def excess(bound, value):
    """How far past the nearer bound, and which side that is."""
    over = value - bound.upper.at if bound.upper else None
    under = bound.lower.at - value if bound.lower else None
    if under is None or (over is not None and over >= under):
        return over, "above"
    return under, "below"


# --- one reading -----------------------------------------------------------------------------

class Maker:
    """Makes figures by a clause's rules."""

    def __init__(self, clause):
        self.clause = clause

    def allowed(self, use):
        if use.value is None:
            return End(), End()
        if use.qualifier == "<":
            return End(), End(use.value, True)
        if use.qualifier == ">":
            return End(use.value, True), End()
        return End(use.value), End(use.value)

    @staticmethod
    def as_far_as_told(use, number):
        """A `<X` never counts as more than X, and a `>X` never as less."""
        if number is NUMBERLESS or use.value is None:
            return number
        if use.qualifier == "<":
            return min(number, use.value)
        return max(number, use.value) if use.qualifier == ">" else number

    def less_than_number(self, use):
        """What the rule puts in the place of a less-than; NUMBERLESS: it puts none."""
        return self.as_far_as_told(use, self.less_than_rule(use))

    def less_than_rule(self, use):
        rule, value = self.clause.less_than, use.value
        if rule == "zero":
            return F(0)
        if rule == "stated":
            return F(self.clause.said["less-than number"])
        if value is None:
            return NUMBERLESS
        if rule == "half":
            return value / 2
        if rule == "at the limit":
            return value
        if rule == "step below":
            return value - use.step
        if rule == "lower of half and half the bound":
            side = self.clause.bound.upper or self.clause.bound.lower
            return min(value, side.at) / 2
        return NUMBERLESS

    def greater_than_number(self, use):
        return self.as_far_as_told(use, self.greater_than_rule(use))

    def greater_than_rule(self, use):
        if self.clause.greater_than == "stated":
            return F(self.clause.said["greater-than number"])
        if self.clause.greater_than == "step above":
            return use.value + use.step
        return NUMBERLESS

    def is_between(self, use):
        """Detected, and below what can be measured."""
        if use.value is None:
            return False
        if use.qualifier == "=":
            return (use.detection is not None and use.quantitation is not None and
                    use.value < use.quantitation)
        return (use.qualifier == "<" and use.detection is not None and
                use.value > use.detection and
                (use.quantitation is None or use.value <= use.quantitation))

    def between_number(self, use):
        rule = self.clause.between
        if rule == "as reported" or not self.is_between(use):
            return NUMBERLESS
        if rule == "zero":
            return F(0)
        upper = use.quantitation if use.quantitation is not None else use.value
        limit = use.detection if "detection" in rule else upper
        return self.as_far_as_told(use, limit / 2 if rule.startswith("half") else limit)

    def reaches_beyond(self, use):
        """A less-than that counts by the rule and still can't clear the limit."""
        clause = self.clause
        about_values = (clause.statistic not in ("greatest change", "greatest rate") and
                        not (clause.against and clause.against["as"] == "percent removal"))
        if clause.beyond_by_rule or not about_values:
            return False
        bound = clause.beyond if clause.counts else clause.bound
        if bound.lower:
            return True
        return (use.qualifier == "<" and clause.daily != "load" and
                bound.upper is not None and use.value > bound.upper.at)

    def of_use(self, use):
        clause = self.clause
        low, high = self.allowed(use)
        figure = Figure(low, high, use.qualifier)
        figure.use, figure.day, figure.at, figure.place = use, use.day, use.at, use.place
        figure.bound = use.bound
        figure.less_thans = int(use.qualifier in "<n")
        figure.only_less = use.qualifier == "<"
        figure.largest = use.value if use.qualifier == "<" else None
        if use.blocked:
            figure.blocked = True
        elif use.value is None and use.qualifier != "n":
            figure.blocked = True
        elif clause.against and use.place == len(clause.places) - 1:
            self.compared_with(use, figure)
        elif clause.single or (clause.counts and clause.daily == "every reading"):
            self.alone(use, figure)
        elif use.qualifier in "<n":
            self.less_than(use, figure)
        elif use.qualifier == ">":
            self.put(figure, self.greater_than_number(use), True)
        else:
            self.put(figure, self.between_number(use), False)
        return figure

    @staticmethod
    def put(figure, number, needed):
        if number is NUMBERLESS:
            figure.blocked = figure.blocked or needed
        else:
            figure.low, figure.high = End(number), End(number)

    def compared_with(self, use, figure):
        """A reading of the place compared with: 40 CFR 122.45(g) leaves it to the clause's rule."""
        clause = self.clause
        alone = clause.single or (clause.counts and clause.daily == "every reading")
        number = NUMBERLESS
        if use.qualifier == ">":
            number = NUMBERLESS if alone else self.greater_than_number(use)
        elif not alone or clause.alone == "by the rule":
            number = self.between_number(use)
            if number is NUMBERLESS and use.qualifier in "<n":
                number = self.less_than_number(use)
        if number is not NUMBERLESS:
            self.put(figure, number, False)
        elif figure.less_thans:
            figure.low = End(F(0))
            figure.blocked = use.qualifier == "n"

    def less_than(self, use, figure):
        clause = self.clause
        number = self.between_number(use)
        if number is NUMBERLESS:
            number = self.less_than_number(use)
        if number is not NUMBERLESS:
            self.put(figure, number, False)
            figure.blocked = self.reaches_beyond(use)
            return
        figure.low = End(F(0))
        if use.qualifier == "<" and clause.of_whole:
            figure.blocked = self.reaches_beyond(use)
            return
        figure.blocked = True
        figure.not_told = int(use.qualifier == "n")

    def alone(self, use, figure):
        clause = self.clause
        by_rule = clause.alone == "by the rule"
        if use.qualifier == "n":
            needs_none = clause.less_than in ("zero", "stated")
            if needs_none:
                self.put(figure, self.less_than_number(use), False)
            else:
                figure.blocked = True
                figure.not_told = 1
        elif by_rule and self.between_number(use) is not NUMBERLESS:
            self.put(figure, self.between_number(use), False)
            figure.qualifier = "="
        elif by_rule and use.qualifier == "<" and self.less_than_number(use) is not NUMBERLESS:
            self.put(figure, self.less_than_number(use), False)
            if clause.less_than != "at the limit":
                figure.qualifier = "="
        elif use.qualifier == "<" and clause.alone == "within" and not clause.against:
            bound = clause.beyond if clause.counts else figure.bound or clause.bound
            if bound.upper and use.value > bound.upper.at:
                figure.shown_range = figure.low, End(figure.high.at, True)
                figure.high = End(bound.upper.at, True)

    def fit_alone(self, use):
        """How a reading stands by itself, for telling in which direction a doubtful one pulls."""
        clause = self.clause
        low, high = self.allowed(use)
        if clause.against and use.place == len(clause.places) - 1:
            return "above" if frame(clause).upper else "below"
        if clause.statistic in ("greatest change", "greatest rate"):
            return "below" if use.tried == "below" else "above"
        if not clause.counts:
            return fit(use.bound or frame(clause), low, high, clause.rounding)
        found = fit(clause.beyond, low, high)
        if found == "within":
            return "below" if clause.bound.lower else "within"
        return "above" if found == "below" else found

    def fit_of(self, figure):
        found = fit(figure.bound or frame(self.clause), figure.low, figure.high,
                    self.clause.rounding)
        return "unknown" if found == "within" and figure.blocked else found

    # --- several ------------------------------------------------------------------------------

    def combine(self, statistic, figures, weights=None):
        clause = self.clause
        out = self.gathered(figures)
        self.work_out(statistic, figures, weights, out)
        if clause.alone == "within" and out.less_thans and \
                any(one.shown_range for one in figures):
            reported = Figure()
            as_told = []
            for one in figures:
                copy = one.copy()
                if one.shown_range:
                    copy.low, copy.high = one.shown_range
                as_told.append(copy)
            self.work_out(statistic, as_told, weights, reported)
            out.shown_range = reported.low, reported.high
        if clause.single:
            low, high = out.shown_range or (out.low, out.high)
            out.qualifier = ">" if low.at is not None and high.at is None else \
                "<" if high.open else "="
        else:
            out.qualifier = self.qualifier_of(figures)
        if out.not_told:
            self.without_them(statistic, figures, weights, out)
        return out

    @staticmethod
    def gathered(figures):
        out = Figure()
        out.place = figures[0].place
        out.blocked = any(one.blocked for one in figures)
        out.less_thans = sum(one.less_thans for one in figures)
        out.not_told = sum(one.not_told for one in figures)
        out.only_less = all(one.only_less for one in figures)
        out.largest = max((one.largest for one in figures
                           if one.less_thans and one.largest is not None), default=None)
        return out

    def qualifier_of(self, figures):
        clause = self.clause
        less = [one.qualifier == "<" for one in figures]
        greater = any(one.qualifier == ">" for one in figures)
        floor_only = frame(clause).lower and not frame(clause).upper
        if greater and any(less) and floor_only:
            return "<"
        if greater:
            return ">"
        shows = clause.less_than == "at the limit" or clause.of_whole
        return "<" if shows and all(less) else "="

    def without_them(self, statistic, figures, weights, out):
        told, told_weights = [], []
        for i, one in enumerate(figures):
            if one.is_missing:
                continue
            if one.not_told:
                number = Figure.number(one.without)
                number.qualifier = one.qualifier
                one = number
            told.append(one)
            told_weights.append(weights[i] if weights else None)
        if not told:
            return
        figure = self.combine(statistic, told, told_weights if weights else None)
        out.qualifier = figure.qualifier
        out.without = figure.shown

    def work_out(self, statistic, figures, weights, out):
        if statistic in ("minimum", "maximum"):
            out.low = self.picked(statistic, figures, False)
            out.high = self.picked(statistic, figures, True)
            return
        settled = all(one.is_number for one in figures)
        if statistic == "log-normal percentile" and not settled:
            return
        out.low = self.end(statistic, figures, weights, False, out)
        out.high = self.end(statistic, figures, weights, True, out)

    @staticmethod
    def picked(statistic, figures, high):
        ends = [one.high if high else one.low for one in figures]
        needs_all = (statistic == "maximum") == high
        known = [end for end in ends if end.at is not None]
        if not known or (needs_all and len(known) < len(ends)):
            return End()
        best = max if statistic == "maximum" else min
        # Of ends at one number an open high one is less, and an open low one more.
        return best(known, key=lambda end: (end.at, (-1 if high else 1) * end.open))

    def end(self, statistic, figures, weights, high, out):
        values, open_ = [], True
        for one in figures:
            end = one.high if high else one.low
            if end.at is None:
                return End()
            if statistic == "geometric mean" and not high and end.at == 0 and not one.is_number:
                return End(end.at, end.open)
            values.append(end.at)
            open_ = open_ and end.open
        try:
            return End(self.statistic_of(statistic, values, weights), open_)
        except arithmetic.NoAnswer:
            out.blocked = True
            return End()

    def statistic_of(self, statistic, values, weights=None):
        said = self.clause.said
        if weights:
            return arithmetic.weighted_mean(values, weights)
        if statistic == "sum":
            return sum(values, F(0))
        if statistic == "percentile":
            return arithmetic.percentile(values, self.clause.percent, said["by the rule of"])
        if statistic == "log-normal percentile":
            return arithmetic.log_normal_percentile(values, F(said["z"]),
                                                 said["deviation"] == "population")
        return {"mean": arithmetic.mean, "geometric mean": arithmetic.geometric_mean,
                "median": arithmetic.median,
                "hydrogen-ion mean": arithmetic.hydrogen_ion_mean}[statistic](values)

    def combine_before(self, statistic, figures, weights=None):
        """For a step before the statistic, into which a rule on all results can't see."""
        out = self.combine(statistic, figures, weights)
        if not out.blocked and out.less_thans and not out.only_less and not self.clause.single \
                and self.clause.of_whole:
            out.blocked = True
        return out

    def finish(self, figure):
        """Where the clause says so, nothing but less-thans is `<` the largest of them."""
        if self.clause.largest_if_all and not self.clause.single and figure.only_less:
            figure.low, figure.high = End(F(0)), End(figure.largest, True)
            figure.qualifier = "<"
            figure.blocked = False
        return figure

    # --- less-thans all at once ---------------------------------------------------------------

    def is_measured(self, use):
        return use.value is not None and use.qualifier in "=>" and not self.is_between(use)

    def censored_applies(self, figures):
        clause = self.clause
        return (clause.of_whole and not clause.single and
                any(one.less_thans or (clause.less_than == "ranked" and one.use and
                                       not self.is_measured(one.use)) for one in figures))

    def censored(self, figures):
        out = self.combine(self.clause.statistic, figures)
        if out.not_told:
            return out
        try:
            low, high = self.by_rule(figures)
        except arithmetic.NoAnswer:
            out.blocked = True
            return out
        out.low, out.high = low, high
        out.qualifier = "<" if high.open else "="
        return out

    def by_rule(self, figures):
        clause = self.clause
        if clause.less_than == "ranked":
            return self.by_rank(figures)
        results = []
        for one in figures:
            if not one.only_less and not one.is_number:
                raise arithmetic.NoAnswer("neither a number nor a less-than")
            results.append((one.largest if one.only_less else one.high.at, one.only_less))
        if clause.less_than == "regression on order statistics":
            value = self.statistic_of(clause.statistic, arithmetic.fill_by_regression(results))
            return End(value), End(value)
        fitted = arithmetic.KaplanMeier(results, clause.less_than.endswith("limit"))
        if clause.statistic == "mean":
            value = fitted.mean()
        elif clause.statistic == "geometric mean":
            value = fitted.geometric_mean()
        elif clause.statistic in ("median", "percentile"):
            value, below = fitted.percentile(clause.percent)
            if value is None:
                return End(F(0)), End(below, True)
        else:
            raise arithmetic.NoAnswer("not by Kaplan-Meier")
        return End(value), End(value)

    def by_rank(self, figures):
        ranks = []
        for one in figures:
            if one.use is None:
                raise arithmetic.NoAnswer("not single results")
            rank = 2 if self.is_measured(one.use) else 1 if self.is_between(one.use) else 0
            value = one.use.value if one.use.value is not None else F(0)
            if one.use.qualifier == ">" and one.high.at is not None:
                value = one.high.at
            ranks.append((rank, value, one.use))
        ranks.sort(key=lambda row: row[:2])
        middle = len(ranks) // 2
        if len(ranks) % 2:
            rank, value, use = ranks[middle]
        elif ranks[middle - 1][0] == 2:
            value = (ranks[middle - 1][1] + ranks[middle][1]) / 2
            return End(value), End(value)
        else:
            rank, value, use = ranks[middle - 1]
        if rank == 2:
            return End(value), End(value)
        if use.quantitation is not None and use.qualifier == "=":
            reach = use.quantitation
        elif use.qualifier == "<":
            reach = use.value
        else:
            raise arithmetic.NoAnswer("not detected, no limit told")
        return End(use.detection if rank == 1 else F(0)), End(reach, True)


def frame(clause):
    """Which sides the bound has; of one over other readings without a number that means it."""
    from clause import Side
    if clause.state:
        return Bound(upper=Side("0", False))
    if not clause.by:
        return clause.bound
    side = Side("0", clause.by["side"] in ("below", "above"))
    return Bound(upper=side) if clause.by["side"] in ("not above", "below") else Bound(lower=side)
