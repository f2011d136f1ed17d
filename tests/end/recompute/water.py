"""Volumes of days, in m3: from a meter that runs up, or from a flow; and of those in doubt each
version that the verdict has to be tried with."""
from fractions import Fraction as F

from evidence import ONE_DAY, US
from flow import Curve, OpenCurve, shut_spans
from water_doubt import Gathered, Pick, trials_of

DAY_US = 86400 * US


class Volume:
    def __init__(self, m3=None, together_days=0, together_m3=None):
        self.m3 = m3
        self.together_days = together_days
        self.together_m3 = together_m3
        self.misread = False


class Water:
    """The volumes of days by some of the readings that were gathered."""

    def __init__(self, gathered, items, days, pick=None):
        self.gathered, self.items, self.days = gathered, items, days
        self.sure, self.up = (pick.sure, pick.up) if pick else (None, False)
        self.evidence, self.clause = gathered.evidence, gathered.clause
        self.station, self.parameter = gathered.station, gathered.parameter
        self.readings = [one.reading for one in items]

    def same(self, other):
        return self.readings == other.readings

    def volumes(self):
        record = next((one for one in self.evidence.told["counters"]
                       if (one["station"], one["parameter"]) == (self.station, self.parameter)),
                      None)
        if record or self.gathered.is_meter:
            return self.by_meter(record)
        return self.by_flow()

    # --- a flow -------------------------------------------------------------------------------

    def by_flow(self):
        if self.clause.stands_s or self.clause.between_readings != "to the next":
            curve = self.curve()
            return {day: Volume(curve.volume(self.evidence.days.start(day),
                                             self.evidence.days.end(day))) for day in self.days}
        return {day: Volume(self.flow_of_day(day)) for day in self.days}

    def curve(self):
        shut = shut_spans(self.evidence, self.station)
        if self.sure:
            return OpenCurve(self.readings, self.sure, self.up, self.clause, shut)
        return Curve(self.readings, self.clause, shut)

    def flow_of_day(self, day):
        """Where nobody says how long a reading stands: the mean of the day's own."""
        start, end = self.evidence.days.start(day), self.evidence.days.end(day)
        of_day = [i for i, one in enumerate(self.readings) if start <= one.at < end]
        if not of_day:
            return None
        total, time, values = F(0), 0, []
        for i in of_day:
            one = self.readings[i]
            value = one.value_in("m3/s") if one.qualifier in "=<" else None
            if value is None:
                return None
            following = self.readings[i + 1].at if i + 1 < len(self.readings) else end
            stands = one.until - one.at if one.until > one.at else min(following, end) - one.at
            total += value * stands
            time += stands
            values.append(value)
        mean = total / time if time else sum(values, F(0)) / len(values)
        return mean * F(end - start, US)

    # --- a meter ------------------------------------------------------------------------------

    def by_meter(self, record):
        spans = self.spans(record or {})
        share = bool(record and record["share_over_days"])
        parts = {}  # day: list of (volume or None, covered, shared, not shared)
        runs, fallen = [], {}
        for start, end, volume, fell in spans:
            days = self.days_of_span(start, end)
            several = len(days) > 1 and volume is not None and volume != 0
            part = volume
            if several:
                part = volume / len(days) if share else None
                runs.append((days, start, end, volume))
            for day in days:
                parts.setdefault(day, []).append(
                    (part, (end - start) // len(days), several and share, several and not share))
                fallen[day] = fallen.get(day, False) or fell
        found = {day: Volume(self.meter_day(day, parts.get(day, []), spans)) for day in self.days}
        for day, volume in found.items():
            volume.misread = volume.m3 is None and fallen.get(day, False)
        self.add_runs(runs, spans, found)
        return found

    def meter_day(self, day, parts, spans):
        start, end = self.evidence.days.start(day), self.evidence.days.end(day)
        if not parts or any(volume is None for volume, *_ in parts):
            return None
        longest = max((until - at for at, until, *_ in spans if start <= at < end), default=0)
        shared = any(is_shared for _, _, is_shared, _ in parts)
        if not shared and sum(covered for _, covered, *_ in parts) + longest < end - start:
            return None
        return sum((volume for volume, *_ in parts), F(0))

    def days_of_span(self, start, end):
        """By where it began: the day in which it ended is left out, unless it ends with it."""
        first, last = self.evidence.days.of(start), self.evidence.days.of(end - 1)
        whole = end == self.evidence.days.end(last)
        days, day = [first], first + ONE_DAY
        while day < last or (day == last and whole):
            days.append(day)
            day += ONE_DAY
        return days

    def spans(self, record):
        """(from, until, m3 or None, whether it fell) between readings that follow each other."""
        self.size = F(record.get("size", 0))
        if self.size and set(str(record["size"]).replace(".", "").strip("0")) == {"9"}:
            self.size += 1
        self.multiplier = F(record.get("multiplier", 0)) or F(1)
        self.most = F(record.get("most_per_day", 0))
        points = []
        for one in self.items:
            if one.value is None:
                continue
            if points and points[-1][0] == one.at:
                points.pop()
            points.append([one.at, one.value, ""])
        self.mark_replaced(points, record)
        self.points, self.found = points, []
        self.good = self.suspect = 0
        self.before = None  # the one that the span to the good one leads from
        for i in range(1, len(points)):
            if points[i][2] == "first":
                self.begin_new(i)
            else:
                self.go_on(i)
        self.close()
        return self.found

    def add(self, first, last, volume, fell=False):
        self.found.append((self.points[first][0], self.points[last][0], volume, fell))

    def close(self):
        if self.suspect != self.good:
            self.add(self.good, self.suspect, None, True)
            self.good, self.before = self.suspect, None

    def begin_new(self, i):
        self.close()
        at, last = self.points[i][0], self.points[self.good]
        has_last = last[2] == "last" and at - last[0] <= DAY_US
        if last[0] < at:
            self.add(self.good, i, F(0) if has_last else None)
        self.good = self.suspect = i
        self.before = None

    def ran(self, first, last):
        """None: more than can have run in that time, or in a day where it is shorter."""
        volume = (self.points[last][1] - self.points[first][1]) * self.multiplier
        days = max(F(self.points[last][0] - self.points[first][0], DAY_US), F(1))
        return None if self.most and volume > self.most * days else volume

    def add_ran(self, first, last, fell=False):
        volume = self.ran(first, last)
        self.add(first, last, volume, fell or volume is None)

    def rolled_over(self, i):
        last, count = self.points[self.good][1], self.points[i][1]
        volume = (self.size - last + count) * self.multiplier
        apart = self.points[i][0] - self.points[self.good][0]
        if not self.size or not self.most or last >= self.size or \
                volume >= self.most * F(apart, DAY_US):
            return None
        return volume

    def may_be_high(self):
        """Whether the good reading may be the wrong one."""
        return self.before is not None and \
            self.points[self.good + 1][1] >= self.points[self.before][1]

    def go_on(self, i):
        fell = self.points[i][1] < self.points[self.good][1]
        volume = self.rolled_over(i) if fell else None
        once = self.suspect == self.good + 1
        if fell and volume is None:
            if once and i == self.suspect + 1 and self.may_be_high() and \
                    self.points[i][1] >= self.points[self.suspect][1]:
                first = self.suspect
                self.found.pop()
                self.add_ran(self.before, first, True)
                self.add_ran(first, i)
                self.before, self.good = first, i
            self.suspect = i
            return
        if not fell and self.suspect != self.good:
            first = self.good
            if self.may_be_high():
                first = self.before
                self.found.pop()
            self.add(first, i, self.ran(first, i) if once else None, True)
            self.before = None
        elif fell:
            self.add(self.good, i, volume)
            self.before = None
        else:
            self.add_ran(self.good, i)
            self.before = self.good
        self.good = self.suspect = i

    @staticmethod
    def mark_replaced(points, record):
        from evidence import instant
        for text in record.get("replaced_at", []):
            at = instant(text)
            after = sum(point[0] <= at for point in points)
            if after > 1 and points[after - 1][0] == at and \
                    points[after - 1][1] < points[after - 2][1]:
                after -= 1
            if after == 0 or after >= len(points) or points[after - 1][2] == "first":
                continue
            points[after - 1][2] = "last"
            points[after][2] = "first"

    def add_runs(self, runs, spans, found):
        """Days between which the meter was not read: what they have together."""
        evidence = self.evidence
        for days, start, end, volume in runs:
            if start < evidence.days.start(self.days[0]) or end > evidence.days.end(self.days[-1]):
                continue
            if any(day not in found or not evidence.in_force(day) or not evidence.over(day)
                   for day in days):
                continue
            total = volume
            for a, b, other, _ in spans:
                if (a, b) == (start, end) or not set(self.days_of_span(a, b)) & set(days):
                    continue
                several = len(self.days_of_span(a, b)) > 1 and other
                total = None if total is None or other is None or several else total + other
            if total is None:
                continue
            while len(days) > 1 and evidence.why_day_not(days[0], False):
                days = days[1:]
            found[days[0]].together_days = len(days)
            found[days[0]].together_m3 = total


VERSIONS = ("sound", "all", "highest", "lowest", "try highest", "try lowest")


class Versions:
    """{version: volumes by day} of one place, and the readings behind them."""

    def __init__(self, judge, place, highest):
        self.judge, self.clause, self.days = judge, judge.clause, judge.days
        self.gathered = Gathered(judge.evidence, judge.clause, judge.clause.places[place],
                                 judge.days)
        self.water, self.volumes, self.open = {}, {}, False
        gathered = self.gathered
        first = 2 if gathered.is_meter or not gathered.in_doubt else len(VERSIONS)
        for version in VERSIONS[:first]:
            pick = Pick(gathered, version, highest)
            water = Water(gathered, pick.items, self.days, pick)
            self.water[version], self.volumes[version] = water, water.volumes()
        if not gathered.in_doubt:
            for version in VERSIONS:
                self.water[version] = self.water["sound"]
                self.volumes[version] = self.volumes["sound"]
            return
        for one in gathered.items + gathered.timeless:
            inside = one.at is None or gathered.first <= one.at < gathered.last
            if one.doubt and one.value is None and not one.tried and inside:
                self.open = True
        if gathered.is_meter:
            self.of_meter()
        else:
            self.lay_timeless()

    # --- a flow -------------------------------------------------------------------------------

    def lay_timeless(self):
        """A row of no known time is laid on every day, for as long as a reading stands."""
        rows = [one for one in self.gathered.timeless if one.value is not None]
        if self.gathered.timeless and (self.clause.daily == "flow-weighted mean" or (
                self.clause.daily == "load" and self.clause.load_water == "while sampling")):
            self.open = True
        for version, up in (("try highest", True), ("try lowest", False)):
            for day, volume in self.volumes[version].items():
                flows = self.flows_on(self.water[version], day)
                if volume.m3 is None or not flows:
                    continue
                for row in rows:
                    gain = row.value - min(flows) if up else max(flows) - row.value
                    volume.m3 += (1 if up else -1) * max(gain, 0) * self.stands(day)
                volume.m3 = max(volume.m3, F(0))

    def stands(self, day):
        length = self.judge.evidence.days.end(day) - self.judge.evidence.days.start(day)
        step = 2 * self.clause.stands_s * US
        return F(step if 0 < step <= length else length // 2 * 2, US)

    def flows_on(self, water, day):
        """Of readings that may stand on the day: from the last sure one before it, and where a
        reading reaches back, to the first after it."""
        start, end = self.judge.evidence.days.start(day), self.judge.evidence.days.end(day)
        sure = water.sure or [True] * len(water.items)
        first = max((i for i, one in enumerate(water.items) if one.at <= start and sure[i]),
                    default=0)
        found = []
        for one, is_sure in list(zip(water.items, sure))[first:]:
            if one.at >= end and self.clause.between_readings == "to the next":
                break
            found += [one.value] if one.value is not None else []
            if one.at >= end and is_sure:
                break
        return found

    # --- a meter ------------------------------------------------------------------------------

    def of_meter(self):
        judge, clause = self.judge, self.clause
        choices, too_many = trials_of(self.gathered.items, None)
        self.open = self.open or too_many
        trials = [(self.water["sound"], self.volumes["sound"], False),
                  (self.water["all"], self.volumes["all"], False)]
        for items, tried in choices:
            water = Water(self.gathered, items, self.days)
            trials.append((water, water.volumes(), tried))
        one_load = clause.daily == "load" and \
            clause.load_water == "mean concentration times volume"
        of_sum = clause.is_span and (one_load or (
            clause.daily == "total" and clause.statistic in ("sum", "mean")))
        each_day = clause.daily != "flow-weighted mean" and clause.load_water == "of the day" and \
            clause.statistic in ("value", "maximum", "minimum")
        known = self.known(self.volumes["sound"], of_sum)
        for _, volumes, _ in trials[1:]:
            found = self.known(volumes, of_sum)
            self.open = self.open or any(
                judge.why_day_not(day) is None and day in known and day not in found and
                volumes[day].misread for day in judge.asked_days)
        sound = self.water["sound"].items
        if not of_sum and sound and sound[0].value is not None and sound[-1].value is not None:
            self.open = self.open or any(
                one.value is not None and sound[0].value <= one.value <= sound[-1].value
                for one in self.gathered.timeless)
        for version in VERSIONS[2:]:
            tries, up = version.startswith("try"), version.endswith("highest")
            those = [one for one in trials if tries or not one[2]]
            days_apart = not of_sum if tries else each_day
            self.take_days(version, those, up) if days_apart else self.take_one(version, those, up)

    def known(self, volumes, of_sum):
        found, together = set(), 0
        for day in self.days:
            if of_sum and volumes[day].together_days:
                together = max(together, volumes[day].together_days)
            if volumes[day].m3 is not None or together > 0:
                found.add(day)
            together -= 1
        return found

    def take_one(self, version, trials, up):
        def water_in_all(trial):
            total, skip = F(0), 0
            for day in self.judge.asked_days:
                skip -= 1
                if skip >= 0:
                    continue
                volume = trial[1][day]
                if volume.together_days:
                    total, skip = total + volume.together_m3, volume.together_days - 1
                else:
                    total += volume.m3 or 0
            return total
        best = (max if up else min)(trials, key=water_in_all)
        self.water[version], self.volumes[version] = best[0], best[1]

    def take_days(self, version, trials, up):
        found = {}
        for day in self.days:
            found[day] = trials[0][1][day]
            for _, volumes, _ in trials[1:]:
                one, best = volumes[day], found[day]
                if one.m3 is None or best.together_days:
                    continue
                if best.m3 is None or (one.m3 > best.m3 if up else one.m3 < best.m3):
                    found[day] = one
        self.water[version], self.volumes[version] = self.water["all"], found
