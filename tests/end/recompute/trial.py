"""One pass over the evidence: every window judged, and what all of them say together."""
from fractions import Fraction as F

import over_time
from figures import End, Figure, excess, fit, frame
from reduce import Against, block_load

# More data can only raise these; it can only lower a minimum.
RAISES = ("maximum", "sum", "count beyond", "greatest change", "greatest rate", "time outside",
          "longest time outside")
OVER_TIME = ("greatest change", "greatest rate", "time outside", "longest time outside")


class Judged:
    """What is said of a period, or of a window."""

    def __init__(self, standing="within", side=None):
        self.standing = standing
        self.side = side
        self.too_little = False
        self.figure = None  # the worst one
        self.outside = False
        self.excess = None

    def not_assessable(self, too_little):
        if self.standing == "within":
            self.standing, self.too_little = "not assessable", too_little


class PassWork:
    """The windows of one pass."""

    def __init__(self, judge, pass_, reduced, windows, coverage):
        self.judge, self.clause, self.make = judge, judge.clause, judge.make
        self.pass_, self.reduced, self.windows, self.coverage = pass_, reduced, windows, coverage
        self.bound = frame(self.clause)

    def run(self):
        clause = self.clause
        out = Judged()
        listed = self.windows.list()
        judged = [self.judge_window(one) for one in listed]
        for i, (window, one) in enumerate(zip(listed, judged)):
            if window.asked:
                self.take_in(out, listed, judged, i)
        asked = [one for window, one in zip(listed, judged) if window.asked]
        if asked and all(one.standing == "nothing due" for one in asked) and \
                out.standing == "within":
            out.standing = "nothing due"
        self.unknown_times(out)
        if clause.period == "day" and (self.reduced.unknown_load or
                                       (self.reduced.gaps and self.gaps_matter())):
            out.not_assessable(True)
        if not self.reduced.figures:
            out.not_assessable(True)
        return out

    def unknown_times(self, out):
        """Single values of no known time are in no window."""
        clause = self.clause
        if clause.is_span or not (clause.each_value or clause.period == "day"):
            return
        found = Judged()
        for figure in self.windows.unknown:
            self.compare(found, figure, False)
        if found.standing == "outside":
            out.standing = "outside"
            out.side = out.side or found.side
        elif found.standing == "not assessable":
            out.not_assessable(False)
        if found.figure and self.worse(found, out):
            out.figure, out.side = found.figure, found.side if found.outside else out.side

    # --- windows together ---------------------------------------------------------------------

    def take_in(self, out, windows, judged, i):
        one = judged[i]
        if self.clause.across:
            self.take_across(out, windows, judged, i)
            return
        outside, was = one.standing == "outside", out.standing == "outside"
        if one.figure is not None:
            kept = getattr(out, "kept", None)
            if kept is None or (outside and kept.standing != "outside") or \
                    (outside == (kept.standing == "outside") and self.worse(one, kept)):
                out.kept, out.figure = one, one.figure
                out.excess, out.outside = one.excess, one.outside
                if outside:
                    out.side = one.side
        if self.says_nothing_yet(windows, i, one):
            return
        if outside:
            out.standing = "outside"
            out.side = out.side or one.side
        elif one.standing == "not assessable":
            out.not_assessable(one.too_little)

    @staticmethod
    def says_nothing_yet(windows, i, one):
        return (windows[i].so_far and one.too_little and one.standing == "not assessable" and
                any(other.asked and not other.so_far for other in windows))

    def take_across(self, out, windows, judged, i):
        needed, of = self.clause.across
        last = judged[max(0, i + 1 - of):i + 1]
        beyond = [one for one in last if one.standing == "outside"]
        open_ = [one for one in last if one.standing == "not assessable"]
        rank = 1
        if len(beyond) >= needed:
            rank = 3
            if out.standing != "outside":
                out.side = beyond[-1].side
            out.standing = "outside"
        elif len(beyond) + len(open_) >= needed:
            rank = 2
            if not self.says_nothing_yet(windows, i, judged[i]):
                out.not_assessable(any(one.too_little for one in open_))
        if rank >= getattr(out, "rank", 0):
            out.rank, out.figure = rank, judged[i].figure

    # --- one window ---------------------------------------------------------------------------

    def judge_window(self, window):
        clause = self.clause
        out = Judged()
        figures = list(window.figures)
        if clause.period != "day" and not (clause.each_value and not clause.is_span):
            figures = self.windows.unknown + figures
        if window.why_not:
            out.not_assessable(False)
            return out
        if not figures and self.window_not_due(window):
            out.standing = "nothing due"
            return out
        little = self.too_little(window, figures)
        if little:
            out.not_assessable(True)
        few = self.few(window, figures)
        if few:  # one more may change what stands in for a result
            figures = [one for one in figures if not self.is_filled(one)]
        if not figures:
            out.not_assessable(True)
        elif clause.allowance is not None:
            self.judge_allowance(window, figures, little, out)
        elif clause.statistic != "value":
            figure = self.figure_of(window, figures)
            if few and clause.load_water == "mean concentration times volume":
                figure.low = End()
            self.compare(out, figure, little)
        else:
            for figure in figures:
                self.compare(out, figure, little)
        return out

    def window_not_due(self, window):
        judge, why = self.judge, None
        for day in window.days:
            if not judge.evidence.begun(day) or \
                    not (judge.in_full or judge.evidence.in_force(day)):
                continue
            if judge.why_day_not(day) is None:
                return None
            why = judge.why_day_not(day)
        return why

    def held(self, figures):
        if not self.clause.against:
            return figures
        return [one for one in figures if one.place != len(self.clause.places) - 1]

    def samples(self, figures):
        """One bottle is one sample, however many portions of it there are."""
        held = self.held(figures)
        bottles = {(one.place, one.use.reading.sample) for one in held if self.bottle(one)}
        return len(bottles) + sum(not self.bottle(one) for one in held)

    @staticmethod
    def bottle(figure):
        return figure.use and figure.use.reading and figure.use.reading.sample

    def is_filled(self, figure):
        return figure.day is not None and self.reduced.days[figure.day].filled

    def few(self, window, figures):
        """Fewer samples than the clause asks for; what stands in for one is none."""
        clause = self.clause
        count = self.reduced.days[window.days[0]].readings if clause.period == "day" \
            else self.samples(figures) - sum(self.is_filled(one) for one in self.held(figures))
        return bool((clause.least and count < clause.least) or
                    (clause.allowance is not None and self.allowed(count, True) is None))

    def too_little(self, window, figures):
        clause = self.clause
        if window.lacking or self.few(window, figures):
            return True
        if self.coverage:
            covered = sum(self.coverage[day][0] for day in window.days)
            asked = sum(self.coverage[day][1] for day in window.days)
            if covered * 100 < clause.covers * asked:
                return True
        if clause.period == "day":
            return False
        gaps = [self.reduced.days[day] for day in window.days if self.reduced.days[day].gap]
        return any(one.unknown_load for one in gaps) or bool(gaps and self.gaps_matter())

    def gaps_matter(self):
        clause = self.clause
        if clause.daily == "total":
            return clause.statistic not in ("mean", "median", "geometric mean")
        return clause.daily == "load" and clause.statistic == "sum"

    # --- allowance ----------------------------------------------------------------------------

    def allowed(self, count, asking):
        """How many of so many may lie beyond; None: the clause does not say, or is for more."""
        said = self.clause.allowance
        if isinstance(said, list):
            for row in said:
                words = row["samples"].split()
                last = int(words[-1]) if words[-1] != "more" else count
                if int(words[0]) <= count <= last:
                    return int(row["allowed"])
            return 0 if count == 0 and asking else None
        words = said.split()
        if words[-1] == "%":
            return int(F(words[0]) * count / 100)
        if asking and len(words) == 3 and count < int(words[2]):
            return None
        return int(words[0])

    def judge_allowance(self, window, figures, little, out):
        fits = [self.make.fit_of(one) for one in figures]
        for one, found in zip(figures, fits):
            self.keep_worst(out, one, found in ("above", "below"))
        beyond = sum(found in ("above", "below") for found in fits)
        open_ = fits.count("unknown")
        allowed = self.allowed(self.samples(figures), False)
        if allowed is None:
            return
        fixed = not isinstance(self.clause.allowance, list) and "%" not in self.clause.allowance
        if beyond > allowed and (not little or fixed):
            out.standing = "outside"
        elif not little and beyond + open_ > allowed:
            out.not_assessable(False)

    # --- comparing ----------------------------------------------------------------------------

    def is_final(self, found):
        """Whether it stays beyond whatever is missing."""
        clause = self.clause
        of_day = clause.period == "day" and clause.daily != "every reading"
        if clause.statistic == "value" and not of_day:
            return True
        if of_day:
            return (found == "above" and clause.daily in ("highest", "total") or
                    found == "below" and clause.daily == "lowest")
        return (found == "above" and clause.statistic in RAISES or
                found == "below" and clause.statistic == "minimum")

    def compare(self, out, figure, little):
        found = self.make.fit_of(figure)
        outside = found in ("above", "below") and (not little or self.is_final(found))
        self.keep_worst(out, figure, outside)
        if outside:
            out.standing = "outside"
        elif not little and found == "unknown":
            out.not_assessable(False)

    def keep_worst(self, out, figure, outside):
        bound = figure.bound or self.bound
        if figure.shown is None or not (bound.upper or bound.lower):
            return  # without a bound of its own it is neither beyond nor near it
        one = Judged()
        one.figure, one.outside = figure, outside
        one.excess, one.side = excess(bound, figure.shown)
        if self.worse(one, out):
            out.figure, out.outside, out.excess = figure, outside, one.excess
            if outside:
                out.side = one.side

    @staticmethod
    def worse(one, other):
        if one.figure is None or other.figure is None:
            return one.figure is not None
        if one.outside != other.outside:
            return one.outside
        return one.excess > other.excess

    # --- the figure of a window ---------------------------------------------------------------

    def figure_of(self, window, figures):
        clause, make = self.clause, self.make
        against = clause.against
        if not against or against["paired"] != "figures of the period":
            return self.of_places(window, figures, range(len(clause.places) - bool(against)))
        intake = len(clause.places) - 1
        here = [one for one in figures if one.place != intake]
        there = [one for one in figures if one.place == intake]
        pair = Against(self.judge, None, self.pass_).pair
        if not here:
            return self.nothing()
        discharge = self.of_places(window, here, range(intake))
        if not there:
            return pair(discharge, None)
        return pair(discharge, self.of_places(window, there, [intake]))

    @staticmethod
    def nothing():
        figure = Figure()
        figure.blocked = True
        return figure

    def of_places(self, window, figures, places):
        clause = self.clause
        if clause.daily == "load" and clause.load_water == "mean concentration times volume":
            return self.one_load(window, figures, places)
        if clause.statistic in ("count beyond", "share beyond"):
            figure = self.counted(figures)
        elif clause.statistic in OVER_TIME:
            figure = over_time.figure_of(self.judge, window,
                                         lambda use: self.judge.takes(use, self.pass_),
                                         self.pass_ == "all")
        elif clause.statistic == "flow-weighted mean":
            figure = self.weighted(figures)
        else:
            figure = self.make.censored(figures) if self.make.censored_applies(figures) \
                else self.make.combine(clause.statistic, figures)
            self.make.finish(figure)
        if clause.daily == "load" and clause.load_water == "mean of the period":
            figure = self.scaled(window, figure)
        return figure

    def counted(self, figures):
        sure = maybe = 0
        for one in figures:
            found = fit(self.clause.beyond, one.low, one.high)
            sure += found in ("above", "below")
            maybe += found == "unknown" or (found == "within" and bool(one.blocked))

        def end(count):
            share = self.clause.statistic == "share beyond"
            return End(F(100 * count, len(figures)) if share else F(count))
        figure = Figure(end(sure), end(sure + maybe))
        if maybe and fit(self.bound, figure.low, figure.high) == "unknown":
            figure.blocked = True
        return figure

    def weighted(self, figures):
        judge, both = self.judge, ([], [])
        for one in figures:
            names = judge.weight_versions(one.place, self.pass_)
            for name, weights in zip(names, both):
                volumes = judge.volumes_by(one.place, name)
                m3 = volumes[one.day].m3 if one.day is not None and volumes else None
                if m3 is None:
                    return self.nothing()
                weights.append(m3 / sum(other.day == one.day for other in figures))
        most, least = both
        return self.make.finish(judge.weighted(figures, least, most, figures[0].place, self.pass_))

    def water_of(self, window, place):
        """(m3, days, whether one of them is not known)."""
        total, days, lacks = F(0), 0, False
        volumes = self.judge.volumes(place, self.pass_)
        for day in window.days:
            if self.judge.why_day_not(day) is not None or not self.judge.evidence.over(day):
                continue
            if volumes[day].m3 is None:
                lacks = True
            else:
                total, days = total + volumes[day].m3, days + 1
        return total, days, lacks

    def one_load(self, window, figures, places):
        loads = []
        for place in places:
            of_place = [one for one in figures if one.place == place]
            total, _, lacks = self.water_of(window, place)
            if not of_place:
                loads.append(self.nothing())
                continue
            factor = total * self.judge.water_factor
            mean = self.make.combine("mean", of_place)
            load = mean.copy().times(factor)
            block_load(self.clause, [mean], factor, load)
            if lacks:
                load.high = End()
                load.blocked = True
            loads.append(load)
        return loads[0] if len(loads) == 1 else self.make.combine("sum", loads)

    def scaled(self, window, figure):
        """Daily loads were made with the mean of all days judged."""
        mean = self.reduced.mean_m3
        if not mean or set(window.days) >= self.judge.asked:
            return figure
        total, days, lacks = self.water_of(window, 0)
        if lacks or not days or len(self.clause.places) > 1:
            return self.nothing()
        return figure.times(total / days / mean)
