"""What is made of each day before the statistic, at one place and at several."""
import itertools
from fractions import Fraction as F

from clause import seconds
from evidence import US, Use, concentration_unit
from figures import End, Figure, fit, frame

DAY_S = 86400
DAY_STATISTIC = {"mean": "mean", "lowest": "minimum", "highest": "maximum", "load": "mean",
                 "flow-weighted mean": "mean"}


class Day:
    def __init__(self):
        self.readings = 0
        self.concentration = None
        self.volume = None
        self.figure = None
        self.gap = False
        self.unknown_load = False
        self.together = False
        self.filled = False


class Reduced:
    def __init__(self, days):
        self.figures = []
        self.days = {day: Day() for day in days}
        self.not_told = 0
        self.mean_m3 = None

    @property
    def gaps(self):
        return any(day.gap for day in self.days.values())

    @property
    def unknown_load(self):
        return any(day.unknown_load for day in self.days.values())


def alike(clause, a, b):
    one, other = a.use.reading, b.use.reading
    if one is None or other is None or a.place != b.place:
        return False
    if one.sample and other.sample:
        return clause.said.get("replicates") == "averaged first" and one.sample == other.sample
    return (clause.said.get("side by side") == "averaged first" and
            not one.sample and not other.sample and a.at == b.at and
            one.series is not other.series and one.series.position == other.series.position)


def merge_alike(make, figures):
    said = make.clause.said
    if "averaged first" not in (said.get("replicates"), said.get("side by side")):
        return figures
    groups = []
    for figure in figures:
        of_sample = figure.use.reading and figure.use.reading.sample
        near = groups if of_sample else itertools.takewhile(
            lambda group: group[0].at == figure.at, reversed(groups))
        group = next((group for group in near if alike(make.clause, group[0], figure)), None)
        if group:
            group.append(figure)
        else:
            groups.append([figure])
    merged = []
    for group in groups:
        figure = group[0]
        if len(group) > 1:
            figure = make.combine_before("mean", group)
            for name in ("day", "place", "at", "use", "bound"):
                setattr(figure, name, getattr(group[0], name))
        merged.append(figure)
    return merged


class PlaceWork:
    """One place in one pass."""

    def __init__(self, judge, place, takes, pass_):
        self.judge, self.clause, self.make = judge, judge.clause, judge.make
        self.evidence = judge.evidence
        self.place, self.pass_ = place, pass_
        self.out = Reduced(judge.days)
        self.takes = takes
        self.volumes = judge.volumes(place, pass_)

    def judged(self, day):
        return self.judge.why_day_not(day) is None and self.evidence.begun(day)

    def volume(self, day):
        """None while the day runs."""
        if not self.evidence.over(day):
            return None
        return self.volumes.get(day) if self.volumes else None

    def run(self):
        clause = self.clause
        if clause.daily == "total":
            self.totals()
            return self.out
        uses = [use for use in self.judge.uses if use.place == self.place and self.takes(use)]
        figures = [self.make.of_use(use) for use in uses]
        self.out.not_told = sum(one.not_told for one in figures)
        figures = merge_alike(self.make, figures)
        self.readings = figures
        if clause.daily == "every reading":
            for one in figures:
                if one.day is not None:
                    self.out.days[one.day].readings += 1
            self.out.figures = figures
            return self.out
        self.curve, self.least_curve = self.flow_curves()
        self.each_day(figures)
        if clause.daily == "load":
            self.loads()
        return self.out

    def flow_curves(self):
        """The flow over time; of a weight the most and the least it can be."""
        clause, judge = self.clause, self.judge
        weighted = clause.daily == "flow-weighted mean"
        if not clause.places[self.place].flow or \
                not (weighted or clause.load_water == "while sampling"):
            return None, None
        names = judge.weight_versions(self.place, self.pass_) if weighted \
            else 2 * (judge.version_of(self.place, self.pass_),)
        water = judge.water(self.place)
        most, least = (water[name].curve() for name in names)
        return most, least

    def add(self, day, figure):
        figure.day, figure.at, figure.use = day, self.evidence.days.start(day), None
        figure.place = self.place
        if self.clause.statistic == "value":
            self.make.finish(figure)
        self.out.days[day].figure = figure
        self.out.figures.append(figure)

    # --- totals -------------------------------------------------------------------------------

    def totals(self):
        clause = self.clause
        sums = clause.statistic == "sum" and clause.period == "month"
        per_m3 = self.judge.water_factor
        for use in self.judge.uses:
            if use.place == self.place and self.takes(use) and use.day in self.out.days:
                self.out.days[use.day].readings += 1
        days = self.judge.days
        for i, day in enumerate(days):
            out = self.out.days[day]
            if not self.judged(day) or out.together:
                continue
            known = self.volumes.get(day)
            if known and known.together_days and sums:
                for other in days[i:i + known.together_days]:
                    if self.judge.why_day_not(other) is None:
                        self.out.days[other].together = True
                figure = Figure.number(known.together_m3 * per_m3)
                figure.at, figure.place = self.evidence.days.start(day), self.place
                self.out.figures.append(figure)
                continue
            volume = self.volume(day)
            if volume is None:
                continue
            if volume.m3 is None:
                out.gap = True
            elif self.takes_total(day, volume.m3 * per_m3):
                self.add(day, Figure.number(volume.m3 * per_m3))

    def takes_total(self, day, total):
        """A day that may be without discharge is in doubt, as a reading can be."""
        if not self.judge.is_doubted(day) or self.pass_ == "all":
            return True
        number = End(total)
        return self.pass_ in ("above", "below") and \
            fit(self.clause.bound, number, number, self.clause.rounding) == self.pass_

    # --- readings of a day --------------------------------------------------------------------

    def each_day(self, figures):
        by_day = {}
        for one in figures:
            by_day.setdefault(one.day, []).append(one)
        for day in sorted(by_day, key=lambda d: (d is not None, d or self.judge.days[0])):
            group = by_day[day]
            figure = self.of_day(group)
            if day is None:
                if figure and self.clause.daily != "load":
                    self.out.figures.append(figure)
                continue
            out = self.out.days[day]
            out.readings = len(group)
            if figure is None:
                out.gap = True
                out.unknown_load = self.flow_unknown
                continue
            out.concentration = figure
            if self.clause.daily != "load":
                self.add(day, figure)

    def of_day(self, group):
        if self.clause.daily != "flow-weighted mean" or group[0].day is None:
            return self.make.combine_before(DAY_STATISTIC[self.clause.daily], group)
        weights, least = ([curve.at(one.use.at, one.use.until) for one in group]
                          for curve in (self.curve, self.least_curve))
        self.flow_unknown = any(weight is None for weight in weights + least)
        if self.flow_unknown or not any(weights):
            return None
        return self.judge.weighted(group, least, weights, self.place, self.pass_)

    # --- loads --------------------------------------------------------------------------------

    def loads(self):
        clause = self.clause
        self.stand_in = None
        means = [self.out.days[day].concentration for day in self.judge.days
                 if self.out.days[day].concentration]
        if clause.load_gap == "period mean" and means:
            self.stand_in = self.make.combine_before("mean", means)
        if clause.load_water == "mean of the period":
            self.out.mean_m3 = self.mean_volume()
        for day in self.judge.days:
            if not self.judged(day):
                continue
            if clause.load_water == "mean concentration times volume":
                self.keep(day)
            elif self.volume(day) is not None:
                if clause.load_water == "while sampling" and self.out.days[day].concentration:
                    self.while_sampling(day)
                else:
                    self.by_volume(day)

    def mean_volume(self):
        found = []
        for day in self.judge.asked_days:
            if self.judge.why_day_not(day) is not None or not self.evidence.over(day):
                continue
            if self.volumes[day].m3 is None:
                return None
            found.append(self.volumes[day].m3)
        return sum(found, F(0)) / len(found) if found else None

    def no_load(self, day):
        out = self.out.days[day]
        out.gap = True
        out.unknown_load = out.concentration is not None

    def keep(self, day):
        out = self.out.days[day]
        volume = self.volume(day)
        if volume is not None and volume.m3 is None:
            self.no_load(day)
        if out.concentration:
            figure = out.concentration.copy()
            figure.day = day
            self.out.figures.append(figure)

    def while_sampling(self, day):
        found = []
        for one in self.readings:
            if one.day != day:
                continue
            flow = self.curve.at(one.use.at, one.use.until)
            if flow is None:
                self.no_load(day)
                return
            factor = flow * DAY_S * self.judge.water_factor
            load = one.copy().times(factor)
            self.block([one], factor, load)
            found.append(load)
        self.add(day, self.make.combine_before("mean", found))

    def by_volume(self, day):
        out = self.out.days[day]
        volume = self.volume(day)
        concentration = out.concentration or self.stand_in
        period = self.clause.load_water == "mean of the period"
        water = self.out.mean_m3 if period else volume.m3
        if out.concentration is None and volume.m3 == 0:
            return
        if water is None or volume.m3 is None or concentration is None:
            self.no_load(day)
            return
        factor = water * self.judge.water_factor
        load = concentration.copy().times(factor)
        out.filled = not out.concentration
        if out.concentration:
            self.block([one for one in self.readings if one.day == day], factor, load)
        self.add(day, load)

    def block(self, readings, factor, load):
        block_load(self.clause, readings, factor, load)


def block_load(clause, readings, factor, load):
    """X of a less-than times the factor, beyond the bound, can't clear it."""
    bound = clause.bound.upper
    if not bound or clause.beyond_by_rule or not load.less_thans:
        return
    if clause.against and load.place == len(clause.places) - 1:
        return
    if any(one.less_thans and one.largest is not None and one.largest * factor > bound.at
           for one in readings):
        load.blocked = True


# --- several places --------------------------------------------------------------------------

def added_together(judge, parts):
    out = Reduced(judge.days)
    out.not_told = sum(part.not_told for part in parts)
    for day in judge.days:
        of_day = [part.days[day] for part in parts]
        to = out.days[day]
        to.readings = sum(one.readings for one in of_day)
        to.unknown_load = any(one.unknown_load for one in of_day)
        to.together = any(one.together for one in of_day)
        figures = [one.figure for one in of_day if one.figure]
        if to.together:
            out.figures += figures
            continue
        to.gap = any(one.gap for one in of_day) or 0 < len(figures) < len(parts)
        if to.gap or not figures:
            continue
        figure = judge.make.combine_before("sum", figures)
        figure.day, figure.at = day, judge.evidence.days.start(day)
        to.figure = figure
        out.figures.append(figure)
    for part in parts:
        out.figures += [one for one in part.figures if one.day is None]
    return out


class Against:
    """The discharge held against another place."""

    def __init__(self, judge, takes, pass_):
        self.judge, self.clause, self.make = judge, judge.clause, judge.make
        self.said = judge.clause.against
        self.takes, self.pass_ = takes, pass_
        self.within = seconds(self.said["within"]) * US if "within" in self.said else 0
        self.residence = seconds(self.said["residence time"]) * US \
            if "residence time" in self.said else 0
        self.place = len(self.clause.places) - 1
        self.by_time = self.said["paired"] not in ("same day", "figures of the period") and \
            self.clause.daily == "every reading"
        self.sound = self.in_doubt = None

    # --- one pair -----------------------------------------------------------------------------

    def ends(self, discharge, intake):
        kind = self.said["as"]
        if kind == "intake credit":
            return self.credit(discharge, intake)
        if discharge.at is None or intake.at is None:
            return End()
        if kind == "difference":
            return End(discharge.at - intake.at, discharge.open or intake.open)
        if intake.at <= 0:
            return End()
        return End(100 * (intake.at - discharge.at) / intake.at,
                   discharge.open or (intake.open and discharge.at != 0))

    def credit(self, discharge, intake):
        """40 CFR 122.45(g)(3): as far as it is needed to meet the limit, at most the intake."""
        if discharge.at is None:
            return End()
        ceiling = self.clause.bound.upper.at
        needed = discharge.at - ceiling
        if needed <= 0:
            return End(discharge.at, discharge.open)
        if intake.at is None or intake.at > needed:
            return End(ceiling)
        return End(discharge.at - intake.at, discharge.open or intake.open)

    def pair(self, discharge, intake):
        falls = self.said["as"] == "percent removal"
        credit = self.said["as"] == "intake credit"
        out = discharge.copy()
        low = intake.low if intake else End(F(0)) if credit else End()
        high = intake.high if intake else End()
        first, last = self.ends(discharge.low, high), self.ends(discharge.high, low)
        out.low, out.high = (last, first) if falls else (first, last)
        out.shown_range, out.only_less = None, False
        out.blocked = out.blocked or self.is_open(intake, out)
        if falls:
            out.qualifier = {"<": ">", ">": "<"}.get(out.qualifier, out.qualifier)
        if out.low.at is not None and out.high.at is not None and \
                not out.low.open and not out.high.open:
            out.qualifier = "="
        return out

    def is_open(self, intake, out):
        kind = self.said["as"]
        found = fit(frame(self.clause), out.low, out.high, self.clause.rounding)
        if kind == "intake credit" and found == "within":
            return False
        if intake is None or intake.blocked:
            return True
        if kind == "percent removal" and intake.high.at is not None and intake.high.at <= 0:
            return True
        settled = intake.low.at is not None and not intake.low.open and \
            not intake.high.open and intake.low.at == intake.high.at
        return bool(intake.less_thans and not settled and found == "unknown" and
                    out.low.at is not None and out.high.at is not None)

    # --- pairing ------------------------------------------------------------------------------

    def apply(self, discharge, intake):
        self.partners = sorted((one for one in intake.figures if one.at is not None),
                               key=lambda one: one.at)
        figures = []
        for one in discharge.figures:
            figure = self.pair(one, self.partner(one))
            if one.day is not None and discharge.days[one.day].figure is one:
                discharge.days[one.day].figure = figure
            figures.append(figure)
        discharge.figures = figures
        discharge.not_told += intake.not_told
        return discharge

    def partner(self, one):
        if self.said["paired"] == "same day":
            same = [other for other in self.partners if other.day == one.day] \
                if one.day is not None else []
            return None if not same else same[0] if len(same) == 1 else \
                self.make.combine("mean", same)
        if one.at is None:
            return None
        if self.by_time:
            return self.partner_by_time(one)
        return self.nearest(self.partners, one.at - self.residence)

    def nearest(self, figures, wanted):
        near = [one for one in figures
                if one.at is not None and abs(one.at - wanted) <= self.within]
        return min(near, key=lambda other: (abs(other.at - wanted), other.at), default=None)

    # --- by time: one in doubt may be the nearer ----------------------------------------------

    def find_intakes(self):
        """The sound ones, and (figure, whether it can be read) of those in doubt."""
        if self.sound is not None:
            return
        judge = self.judge
        takes = lambda use: judge.takes(use, "without")  # noqa: E731
        self.sound = PlaceWork(judge, self.place, takes, "without").run().figures
        self.in_doubt = [(self.make.of_use(use), use.trust == "doubt") for use in judge.uses
                         if use.place == self.place and not use.why_not and use.trust != "sound"]
        for figure, doubt in self.beside():
            if doubt:
                self.in_doubt.append((figure, True))
            else:
                self.sound.append(figure)
        self.in_doubt += self.rows_beside()

    def candidates(self, at):
        """(the sound one, those in doubt that may lie as near)."""
        self.find_intakes()
        wanted = at - self.residence
        sound = self.nearest(self.sound, wanted)
        reach = self.within if sound is None else abs(sound.at - wanted)
        return sound, [(one, known) for one, known in self.in_doubt
                       if one.at is None or abs(one.at - wanted) <= reach]

    def partner_by_time(self, discharge):
        sound, in_doubt = self.candidates(discharge.at)
        if self.pass_ == "without":
            return sound
        if self.pass_ == "all":
            wanted = discharge.at - self.residence
            known = [one for one, is_known in in_doubt if is_known]
            timed = [one for one in known if one.at is not None]
            best = min(timed, key=lambda one: (abs(one.at - wanted), one.at), default=None)
            if best is None and sound is None and known:
                return known[0]
            if best is None or (sound is not None and
                                abs(sound.at - wanted) <= abs(best.at - wanted)):
                return sound
            return best
        side, tries = self.pass_.split()[-1], self.pass_.startswith("try")
        worst = sound
        for one, known in in_doubt:
            if known != tries and self.is_worse(discharge, one, worst, side):
                worst = one
        return worst

    def is_worse(self, discharge, intake, than, side):
        one, other = self.pair(discharge, intake), self.pair(discharge, than)
        bad, less = ({side: 2, "unknown": 1}.get(self.make.fit_of(each), 0)
                     for each in (one, other))
        if bad != less:
            return bad > less
        end, least = (one.high, other.high) if side == "above" else (one.low, other.low)
        if end.at is None or least.at is None:
            return end.at is None and least.at is not None
        return end.at > least.at if side == "above" else end.at < least.at

    def worst_fit(self, discharge, at):
        if at is None:
            return "unknown"
        sound, in_doubt = self.candidates(at)
        found = self.make.fit_of(self.pair(discharge, sound))
        for one, _ in in_doubt:
            if found in ("above", "below"):
                break
            other = self.make.fit_of(self.pair(discharge, one))
            found = found if other == "within" else other
        return found

    def rows_beside(self):
        judge, found = self.judge, []
        first, last = judge.span_at
        reach = self.within + self.residence
        unit = concentration_unit(self.clause, judge.told)
        for row in judge.evidence.stand_ins(self.clause.places[self.place].station,
                                            self.clause.parameter, unit):
            if row.at is None or first <= row.at < last or \
                    not first - reach <= row.at <= last + reach or not judge.kind_fits(row.row):
                continue
            use = Use(row.at, row.at, row.qualifier, self.place)
            use.value = row.value
            use.trust = "doubt"
            figure = self.make.of_use(use)
            figure.blocked = figure.blocked or row.value is None
            found.append((figure, row.known))
        return found

    def beside(self):
        """The intake's readings of before and after the days judged."""
        judge, found = self.judge, []
        first, last = judge.span_at
        reach = self.within + self.residence
        for series in judge.evidence.series.values():
            if judge.evidence.place_of(series) != self.place:
                continue
            for one in series.readings:
                inside = first <= one.at < last
                if inside or not one.usable or not first - reach <= one.at <= last + reach:
                    continue
                why_not, doubt = judge.evidence.accepts(series, one)
                if why_not:
                    continue
                use = Use(one.at, one.until, one.qualifier, self.place)
                use.value = one.value_in(concentration_unit(self.clause, judge.told))
                found.append((self.make.of_use(use), bool(one.doubt or doubt)))
        return found
