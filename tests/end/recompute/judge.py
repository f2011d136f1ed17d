"""A clause judged over its period, from what `explain --json` lists: which readings count, what is
made of them, the comparison, and what evidence in doubt does to it."""
import copy
import itertools
from datetime import timedelta
from fractions import Fraction as F

import derived
import formulas
import units
from clause import Bound, Clause, Place, Side, seconds
from evidence import Evidence, Use, civil, concentration_unit, in_order, instant, last_step
from figures import Figure, Maker, fit, frame
from reduce import Against, PlaceWork, Reduced, added_together
from times import US
from trial import Judged, PassWork
from water import Versions
from windows import Windows, days_between, runs_of, span_of, week_first

PASSES = ("without", "all", "above", "below", "try above", "try below")


class Judge:
    def __init__(self, told):
        self.told = told
        self.clause = Clause(told)
        self.evidence = Evidence(told, self.clause)
        self.make = Maker(self.clause)
        self.first, self.last = civil(told["period"]["from"]), civil(told["period"]["to"])
        self.asked_days = days_between(self.first, self.last)
        self.asked = set(self.asked_days)
        self.in_full = self.clause.has_one_figure and self.clause.across_change != "not said"
        self.runs = None
        if self.clause.period == "discharge run":
            self.runs = runs_of(self.evidence, self.clause, self.first, self.last)
        self.days = self.reach()
        self.day_set = set(self.days)
        self.span_at = (self.evidence.days.start(self.days[0]),
                        self.evidence.days.end(self.days[-1]))
        self.numberless = self.tried = False
        self.uses = self.evidence.uses(self.days[0], self.days[-1], self.in_full)
        self.add_set_aside()
        self.uses.sort(key=in_order)
        self.water_factor = self.find_factor()
        self.kept_versions = {}
        self.find_bounds()
        for use in self.uses:
            use.fit = self.fit_alone(use)
        for use in self.uses:
            if use.beside:
                use.beside.passed_over |= {pass_ for pass_ in PASSES[1:] if self.takes(use, pass_)}

    def reach(self):
        """The days worked with: those asked for, and those that windows reach into."""
        clause = self.clause
        first, last = self.first, self.last
        before = clause.across[1] - 1 if clause.across else 0
        if clause.period in ("day", "running days"):
            first -= timedelta(days=before)
        elif clause.period == "week":
            first -= timedelta(days=7 * before)
        elif clause.is_span:
            for _ in range(before):
                first, _ = span_of(clause, first - timedelta(days=1))
        if clause.period == "running days":
            first -= timedelta(days=clause.running - 1)
        if clause.period == "week" and clause.months != "by its days":
            first = week_first(clause, first)
            last = week_first(clause, last) + timedelta(days=6)
        if clause.period == "last samples":
            starts = [self.evidence.day_of(one) for series in self.evidence.series.values()
                      for one in series.readings if self.evidence.place_of(series) is not None]
            first = min(starts + [first])
        for opened, shut, _ in self.runs or []:
            end = shut if shut is not None else max(self.evidence.now, opened)
            first = min(first, self.evidence.days.of(opened))
            last = max(last, self.evidence.days.of(end))
        return days_between(first, last)

    def why_day_not(self, day):
        return self.evidence.why_day_not(day, self.in_full)

    # --- rows set aside -----------------------------------------------------------------------

    def add_set_aside(self):
        for row in self.told["set_aside"]:
            derived.check_not_given(row)
            self.add_row(row)

    def add_row(self, row):
        clause = self.clause
        at = instant(row["at"])
        if at is not None and not self.span_at[0] <= at < self.span_at[1]:
            return
        if at is not None and self.why_day_not(self.evidence.days.of(at)) is not None:
            return
        if clause.daily == "total" or row.get("parameter", clause.parameter) != clause.parameter or \
                not self.kind_fits(row):
            return
        for i, one in enumerate(clause.places):
            if row.get("station", one.station) == one.station and \
                    not self.does_not_apply(row, at, i):
                self.add_row_at(row, at, i)

    def kind_fits(self, row):
        kinds = ("derived",) if "derived_by" in row else ("probe",) if row.get("from_probe") else \
            ("grab", "composite", "by hand")
        return not self.clause.kinds or any(one in self.clause.kinds for one in kinds)

    def does_not_apply(self, row, at, place):
        """Whether it is known that the clause does not apply to it."""
        evidence, clause = self.evidence, self.clause
        if at is None:
            return False
        if evidence.applies(at, evidence.days.of(at)) == ("no", "no"):
            return True
        return (clause.places[place].station == clause.places[0].station and
                clause.discharging and
                evidence.is_shut(at) and not evidence.may_turn(at))

    def add_row_at(self, row, at, place):
        clause = self.clause
        if clause.state:
            word = row.get("unit")
            if word and "reported" not in row:
                use = self.aside_use(at, "=", place)
                use.value = F(int((word.lower() == clause.state.lower()) ==
                                  clause.state_is_outside))
                self.uses.append(use)
            elif self.leaves_open(row):
                self.numberless = True
            return
        if "reported" in row:
            self.add_number(row, at, place)
        elif row.get("qualifier") == "n":
            self.uses.append(self.aside_use(at, "n", place))
        elif self.leaves_open(row):
            self.numberless = True

    def leaves_open(self, row):
        """What of a probe was read and not worked out is no gap where one reading can break it."""
        if not row.get("from_probe"):
            return True
        clause = self.clause
        of_all = clause.statistic in ("mean", "geometric mean", "sum", "flow-weighted mean",
                                      "hydrogen-ion mean")
        breaks = clause.daily in ("lowest", "highest") or (
            clause.daily == "every reading" and not of_all)
        return bool(row.get("all_read")) and breaks

    def aside_use(self, at, qualifier, place):
        use = Use(at, at, qualifier, place)
        use.trust = "doubt"
        use.day = self.evidence.days.of(at) if at is not None else None
        return use

    def add_number(self, row, at, place):
        wanted = concentration_unit(self.clause, self.told)
        use = self.aside_use(at, row["qualifier"], place)
        value = F(row["reported"])
        if row.get("unit"):
            use.value = units.convert(value, row["unit"], wanted)
            if use.value is not None:
                use.step = units.step(last_step(row["reported"]), row["unit"], wanted)
                self.uses.append(use)
                return
            if "parameter" not in row:
                return  # its unit is one of another parameter
        found = [units.convert(value, unit, wanted) for unit in self.told["parameter"]["units"]]
        found = [one for one in found if one is not None]
        against = self.clause.against and place == len(self.clause.places) - 1
        removal = self.clause.against and self.clause.against["as"] == "percent removal"
        sides = ("below", "above") if bool(against) != bool(removal) else ("above", "below")
        for side, one in zip(sides, (max(found), min(found))):
            use = self.aside_use(at, row["qualifier"], place)
            use.trust, use.tried, use.value = "tried", side, one
            self.uses.append(use)

    # --- factors, volumes, bounds -------------------------------------------------------------

    def find_factor(self):
        clause = self.clause
        if clause.daily == "total":
            return units.volume_per_m3(clause.unit)
        if clause.daily != "load":
            return None
        if "load factor" in clause.said:
            return F(clause.said["load factor"]) * \
                units.volume_per_m3(clause.said["load flow unit"])
        kg_per_m3 = units.convert(F(1), concentration_unit(clause, self.told), "kg/m3")
        return kg_per_m3 * units.mass_per_kg(clause.unit)

    def versions(self, place):
        clause = self.clause
        if not clause.adds_up and clause.statistic != "flow-weighted mean" and \
                clause.daily != "flow-weighted mean":
            return None
        if clause.daily != "total" and not clause.places[place].flow:
            return None
        if place not in self.kept_versions:
            highest = self.wants_highest(place, "all")
            self.kept_versions[place] = Versions(self, place, highest)
        return self.kept_versions[place]

    def all_versions(self):
        found = [self.versions(place) for place in range(len(self.clause.places))]
        return [one for one in found if one]

    def falls(self, place):
        """Whether more of it, or of its water, brings the figure down."""
        against = self.clause.against
        is_intake = bool(against) and place == len(self.clause.places) - 1
        return is_intake != (bool(against) and against["as"] == "percent removal")

    def wants_highest(self, place, pass_):
        highest = pass_.endswith("above")
        if pass_ == "all":
            highest = bool(frame(self.clause).upper) and \
                self.clause.statistic not in ("greatest change", "greatest rate")
        return highest != self.falls(place)

    def version_of(self, place, pass_):
        if pass_ in ("without", "all"):
            return {"without": "sound", "all": "all"}[pass_]
        side = "highest" if self.wants_highest(place, pass_) else "lowest"
        return "try " + side if pass_.startswith("try") else side

    def weight_versions(self, place, pass_):
        """Of water that is a weight: (the most of it, the least)."""
        name = self.version_of(place, pass_)
        if name in ("sound", "all"):
            return name, name
        tries = "try " if name.startswith("try") else ""
        return tries + "highest", tries + "lowest"

    def weighted(self, figures, least, most, place, pass_):
        """The mean that is highest, or lowest, over all weights from the least to the most: the
        most goes to all on its side of a border between two figures, which is tried at each."""
        if least == most:
            return self.make.combine("mean", figures, most)
        up = self.wants_highest(place, pass_)

        def number(figure):
            end = figure.high if up else figure.low
            return end.at if end.at is not None else figure.shown
        if any(number(one) is None for one in figures):
            return self.make.combine("mean", figures, most)
        found = []
        for border in {number(one) for one in figures}:
            weights = [w_most if (number(one) >= border if up else number(one) <= border) else w_least
                       for one, w_least, w_most in zip(figures, least, most)]
            if any(weights):
                found.append(self.make.combine("mean", figures, weights))
        return (max if up else min)(found, key=number)

    def volumes_by(self, place, name):
        versions = self.versions(place)
        return versions.volumes[name] if versions else None

    def volumes(self, place, pass_):
        return self.volumes_by(place, self.version_of(place, pass_))

    def water(self, place):
        return self.versions(place).water

    def water_in_doubt(self):
        return any(one.gathered.in_doubt for one in self.all_versions())

    def find_bounds(self):
        by = self.clause.by
        if not by:
            return
        for use in list(self.uses):
            values = self.others_of(use, by)
            value = None if values is None else formulas.bound_of(by, values, self.clause, self.told)
            self.set_bound(use, value)
            if use.at is not None and not use.why_not:
                self.add_beside(use, value if not use.blocked else None)
        self.uses.sort(key=in_order)

    def set_bound(self, use, value):
        by = self.clause.by
        use.bound = Bound()
        if value is None:
            use.blocked = True
            return
        side = Side("0", by["side"] in ("below", "above"))
        side.at = value
        use.bound = Bound(upper=side) if by["side"] in ("not above", "below") \
            else Bound(lower=side)

    def add_beside(self, use, own):
        """The same reading with the strictest bound that rows set aside would give it."""
        by, evidence = self.clause.by, self.evidence
        choices, within = [], seconds(by["within"]) * US
        for other, unit in zip(by["readings"], formulas.units_of(by)):
            one = evidence.nearest(Place(other["station"], other.get("position")),
                                   other["parameter"], unit, use.at, use.until,
                                   seconds(by["within"]))
            reach = within if one is None or one.doubt else \
                max(use.at - one.until, one.at - use.until, 0)
            of_one = [] if one is None else \
                [(one.value_in(unit) if one.qualifier == "=" else None, True, False)]
            of_one += [(row.value if row.qualifier == "=" else None, row.known, True)
                       for row in evidence.stand_ins(other["station"], other["parameter"], unit)
                       if row.at is None or use.at - reach <= row.at <= use.until + reach]
            choices.append(of_one)
        ways = 1
        for of_one in choices:
            ways *= len(of_one)
        known, tried, unknown = [], [], ways > 256
        for way in itertools.product(*choices) if not unknown else []:
            if not any(by_row for _, _, by_row in way):
                continue
            values = [value for value, _, _ in way]
            bound = None if None in values else \
                formulas.bound_of(by, values, self.clause, self.told)
            if bound is None:
                unknown = True
            else:
                (known if all(one for _, one, _ in way) else tried).append(bound)
        is_ceiling = by["side"] in ("not above", "below")
        strictest = min if is_ceiling else max
        for found, open_, trust in ((known, False, "doubt"), (tried, unknown, "tried")):
            bound = strictest(found) if found else None
            stricter = bound is not None and (own is None or (bound < own if is_ceiling
                                                              else bound > own))
            if open_ or stricter:
                self.uses.append(self.beside(use, bound, open_, trust, is_ceiling))

    def beside(self, use, bound, open_, trust, is_ceiling):
        one = copy.copy(use)
        one.beside, one.passed_over = use, set()
        one.trust = "tried" if use.trust == "tried" else trust
        if use.trust != "tried":
            one.tried = "above" if is_ceiling else "below"
        one.blocked = False
        self.set_bound(one, bound)
        one.blocked = one.blocked or open_
        return one

    def others_of(self, use, by):
        """The readings that the bound goes by; None where one lacks or is no number."""
        if use.at is None:
            return None
        values, whole = [], True
        for other, unit in zip(by["readings"], formulas.units_of(by)):
            one = self.evidence.nearest(Place(other["station"], other.get("position")),
                                        other["parameter"], unit, use.at, use.until,
                                        seconds(by["within"]))
            if one is None:
                return None
            if one.doubt:
                use.trust = "doubt" if use.trust == "sound" else use.trust
                use.blocked = True
            value = one.value_in(unit)
            if value is None or one.qualifier != "=":
                whole = False
            values.append(value)
        return values if whole else None

    def fit_alone(self, use):
        clause = self.clause
        if clause.daily == "total":
            return "unknown"
        if clause.daily == "load":
            if clause.against and use.place == len(clause.places) - 1:
                return "above" if clause.bound.upper else "below"
            for side, version in (("above", "try highest"), ("below", "try lowest")):
                if self.fit_load(use, version) == side:
                    return side
            return self.fit_load(use, "all")
        if clause.against and use.trust != "sound" and use.place != len(clause.places) - 1:
            return self.fit_against(use)
        found = self.make.fit_alone(use)
        return "unknown" if found == "within" and use.blocked else found

    def fit_load(self, use, version):
        clause, volumes = self.clause, self.volumes_by(use.place, version)
        if use.day is None or not volumes or volumes[use.day].m3 is None:
            return "unknown"
        low, high = self.make.allowed(use)
        factor = volumes[use.day].m3 * self.water_factor * self.loads_added()
        figure = Figure(low, high, use.qualifier).times(factor)
        return fit(clause.bound, figure.low, figure.high, clause.rounding)

    def loads_added(self):
        """A single load is seldom beyond a bound on the sum of them: so many are held against it."""
        clause = self.clause
        if clause.statistic != "sum":
            return 1
        return {"week": 7, "running days": clause.running}.get(clause.period, len(self.asked_days))

    def fit_against(self, use):
        """With the result of the other place that is nearest in time."""
        clause = self.clause
        against = Against(self, None, "all")
        if against.by_time:
            return against.worst_fit(Figure(*self.make.allowed(use)), use.at)
        where = self.uses.index(use)
        near = [[one for one in part if one.place == len(clause.places) - 1 and not one.why_not and
                 one.value is not None and one.day is not None][:1]
                for part in (self.uses[where::-1], self.uses[where:])]
        if not near[0] and not near[1]:
            return self.make.fit_alone(use)
        intake = min(near[0] + near[1], key=lambda one: abs((one.at or 0) - (use.at or 0)))
        pair = Against(self, None, "all").pair(Figure(*self.make.allowed(use)),
                                               Figure(*self.make.allowed(intake)))
        return fit(frame(clause), pair.low, pair.high, clause.rounding)

    # --- passes -------------------------------------------------------------------------------

    @staticmethod
    def takes(use, pass_):
        if use.why_not or pass_ in use.passed_over:
            return False
        if use.trust == "sound" or (use.trust == "doubt" and pass_ == "all"):
            return True
        side = pass_.split()[-1]
        if side not in ("above", "below"):
            return False
        if use.trust == "doubt":
            return use.fit == side
        return pass_.startswith("try") and use.tried == side and use.fit in (side, "unknown")

    def reduced(self, pass_):
        takes = lambda use: self.takes(use, pass_)  # noqa: E731
        clause = self.clause
        parts = [PlaceWork(self, i, takes, pass_).run() for i in range(len(clause.places))]
        added = len(parts) - bool(clause.against)
        beside = clause.daily == "load" and \
            clause.load_water == "mean concentration times volume"
        everything = parts[0]
        if added > 1 and not beside:
            everything = added_together(self, parts[:added])
        elif added > 1:
            for part in parts[1:added]:
                everything.figures += part.figures
        if not clause.against:
            return everything
        if clause.against["paired"] == "figures of the period":
            everything.figures = everything.figures + parts[-1].figures
            everything.not_told += parts[-1].not_told
            return everything
        return Against(self, takes, pass_).apply(everything, parts[-1])

    def coverage(self, pass_, reduced):
        """{day: (covered, asked)} in microseconds; None: none is asked."""
        clause = self.clause
        if not clause.covers:
            return None
        found = {}
        for day in self.days:
            asked = self.why_day_not(day) is None and self.evidence.begun(day)
            start, end = self.evidence.days.start(day), self.evidence.days.end(day)
            if clause.adds_up:
                asked = asked and self.evidence.over(day)
                of_day = reduced.days[day]
                has = of_day.figure or of_day.together
                found[day] = (end - start if asked and has else 0, end - start if asked else 0)
            else:
                found[day] = [0, min(end, self.evidence.now) - start if asked else 0]
        if not clause.adds_up:
            self.lay_coverage(pass_ != "without", found)
        return found

    def lay_coverage(self, with_doubt, found):
        longest = self.clause.stands_s * 10 ** 6
        readings = sorted((one for series in self.evidence.series.values()
                           if self.evidence.is_of_clause(series) for one in series.readings
                           if one.usable and (with_doubt or not (
                               one.doubt or self.evidence.accepts(series, one)[1]))),
                          key=lambda one: one.at)
        first, last = self.span_at
        spans = [(a.at, b.at) for a, b in zip(readings, readings[1:]) if b.at - a.at <= longest]
        spans += [(one.at, one.until) for one in readings if first <= one.at < last]
        laid = first
        for start, end in sorted(spans):
            start, end = max(start, laid), min(end, last, self.evidence.now)
            if start >= end:
                continue
            laid = end
            day = self.evidence.days.of(start)
            while self.evidence.days.start(day) < end:
                if self.why_day_not(day) is None:
                    found[day][0] += min(end, self.evidence.days.end(day)) - \
                        max(start, self.evidence.days.start(day))
                day += timedelta(days=1)

    def run(self, pass_):
        reduced = self.reduced(pass_)
        windows = Windows(self, reduced)
        work = PassWork(self, pass_, reduced, windows, self.coverage(pass_, reduced))
        return work.run()

    def is_judged(self):
        """Whether this form of the clause judges the span: another may, by its rule for a change."""
        if not self.clause.is_span or not self.clause.has_one_figure:
            return True
        windows = Windows(self, Reduced(self.days))
        return any(window.asked for window in windows.list())

    # --- the verdict --------------------------------------------------------------------------

    def verdict(self):
        found, figure = self.weighed()
        out = self.told_verdict(found)
        return out.standing, out.side, figure

    def time_untold(self):
        """Of a time outside: whether a row leaves open if the clause applied in a part of it."""
        evidence = self.evidence
        if self.clause.statistic not in ("time outside", "longest time outside") or \
                not self.clause.discharging:
            return False
        start = evidence.days.start(self.first)
        until = min(evidence.now, evidence.days.end(self.days[-1]))
        edges = {start} | {one.first for one in evidence.outlet_rows}
        if evidence.outlet:
            edges |= {at + more for at in evidence.outlet.times
                      for more in (0, evidence.state_holds_us + 1)}
        return any(start <= at < until and evidence.may_turn(at) for at in edges)

    def so_far(self):
        """Whether the period still runs."""
        clause = self.clause
        if clause.period == "discharge run" and any(shut is None for _, shut, _ in self.runs or []):
            return True
        begins, ends = civil(clause.in_force_from), civil(clause.in_force_to)
        in_part = (begins and begins > self.first) or (ends and ends < self.last)
        unsaid = clause.is_span and clause.has_one_figure and in_part and \
            clause.across_change == "not said"
        if unsaid and ends and ends < self.last and self.evidence.over(ends):
            return False  # after its end nothing more comes to it
        return not self.evidence.over(self.last)

    def is_near(self, figure, compared):
        """Within the farm's own margin of its bound."""
        margin = self.clause.said.get("margin")
        if not margin:
            return False
        number = F(margin.split()[0])

        def room(side):
            return abs(side.at) * number / 100 if margin.endswith("%") else number
        bound = figure.bound or self.clause.bound
        return bool((bound.upper and compared > bound.upper.at - room(bound.upper)) or
                    (bound.lower and compared < bound.lower.at + room(bound.lower)))

    def nothing_due(self):
        why, self.doubted = None, False
        for day in self.days:
            if not self.evidence.begun(day) or not (self.in_full or self.evidence.in_force(day)):
                continue
            if self.why_day_not(day) is None:
                if not self.is_doubted(day):
                    self.doubted = False
                    return None
                self.doubted = True
            why = why or self.why_day_not(day)
        return None if self.doubted else why

    def is_doubted(self, day):
        return bool(self.clause.discharging) and day in self.evidence.day_doubts

    def weighed(self):
        found, figure = self.weighed_passes()
        if self.doubted and found.standing != "outside":
            return Judged("not assessable"), figure
        return found, figure

    def weighed_passes(self):
        clause = self.clause
        first, last = civil(clause.in_force_from), civil(clause.in_force_to)
        if (first and first > self.last) or (last and last < self.first):
            return Judged("nothing due"), None
        if self.nothing_due():
            return Judged("nothing due"), None
        if not self.evidence.begun(self.first):
            return Judged("not assessable"), None
        if clause.period == "discharge run" and not self.runs:
            return Judged("not assessable" if self.runs is None else "nothing due"), None
        water = self.water_in_doubt()
        rows = bool(self.told["set_aside"])
        doubt = water or rows or \
            any(not use.why_not and use.trust == "doubt" for use in self.uses)
        tried = water or rows or any(not use.why_not and use.trust == "tried" for use in self.uses)
        upper, lower = frame(clause).upper, frame(clause).lower
        wanted = {"without": True, "all": doubt, "above": doubt and upper,
                  "below": doubt and lower, "try above": tried and upper,
                  "try below": tried and (lower or clause.statistic in (
                      "greatest change", "greatest rate"))}
        if not self.is_judged():
            return Judged("nothing due"), None
        results = {pass_: self.run(pass_) for pass_ in PASSES if wanted[pass_]}
        for pass_ in PASSES[:4]:
            if pass_ in results and results[pass_].standing == "outside":
                return results[pass_], results[pass_].figure
        without = results["without"]
        if without.standing == "within":
            open_ = any(results[pass_].standing == "not assessable" and
                        not results[pass_].too_little for pass_ in PASSES[1:]
                        if pass_ in results)
            beyond = any(results[pass_].standing == "outside" for pass_ in PASSES[4:]
                         if pass_ in results)
            of_water = any(one.open or one.gathered.numberless for one in self.all_versions())
            if open_ or beyond or self.numberless or of_water:
                return Judged("not assessable"), without.figure
        return without, without.figure

    def told_verdict(self, found):
        """What would else be within, and nobody may say so."""
        clause = self.clause
        ends = civil(self.told["licence_ends"])
        if ends is not None and self.last >= ends and found.standing != "outside" and \
                self.evidence.begun(max(ends, self.first)):
            return Judged("not assessable")
        if found.standing == "within" and (any(use.cannot_tell for use in self.uses) or
                                           self.time_untold() or not clause.confirmed):
            return Judged("not assessable")
        return found
