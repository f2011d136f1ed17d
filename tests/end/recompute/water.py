"""Volumes of days, in m3: from a meter that runs up, or from a flow."""
from fractions import Fraction as F

from evidence import ONE_DAY, US

DAY_US = 86400 * US


class Volume:
    def __init__(self, m3=None, together_days=0, together_m3=None):
        self.m3 = m3
        self.together_days = together_days
        self.together_m3 = together_m3

    def same(self, other):
        return (self.m3, self.together_days, self.together_m3) == \
            (other.m3, other.together_days, other.together_m3)


class Curve:
    """A flow over time by the clause's rule for what is between two readings."""

    def __init__(self, readings, clause):
        self.rule = clause.between_readings
        self.longest = clause.stands_s * US
        self.points = []
        for one in readings:
            value = one.value_in("m3/s") if one.qualifier in "=<" else None
            self.points.append((one.at, one.until, value))

    def pieces(self):
        """(from, until, first flow, last flow); None: not known. Before the first and after the
        last the nearest stands as long as a step may be."""
        if not self.points:
            return
        for i, (at, until, value) in enumerate(self.points):
            yield at, until, value, value
            if i + 1 == len(self.points):
                return
            following, _, other = self.points[i + 1]
            if self.longest and following - until > self.longest:
                yield until, following, None, None
            elif self.rule == "half-way":
                middle = until + (following - until) // 2
                yield until, middle, value, value
                yield middle, following, other, other
            elif self.rule == "straight line":
                known = value is not None and other is not None
                yield until, following, value if known else None, other if known else None
            else:
                yield until, following, value, value

    def with_edges(self, first, last):
        if not self.points:
            yield first, last, None, None
            return
        at, _, value = self.points[0]
        if first < at:
            stands = not self.longest or at - first <= self.longest
            yield first, at, *(2 * [value if stands else None])
        yield from self.pieces()
        _, until, value = self.points[-1]
        if until < last:
            stands = not self.longest or last - until <= self.longest
            yield until, last, *(2 * [value if stands else None])

    def volume(self, first, last):
        """m3 between two instants; None where a part is not known."""
        total = F(0)
        for start, end, flow, until_flow in self.with_edges(first, last):
            a, b = max(start, first), min(end, last)
            if a >= b:
                continue
            if flow is None:
                return None
            slope = (until_flow - flow) / (end - start)
            mean = flow + slope * (F(a + b, 2) - start)
            total += mean * F(b - a, US)
        return total

    def at(self, first, last):
        """m3/s at an instant, or its mean over a span."""
        if last > first:
            volume = self.volume(first, last)
            return None if volume is None else volume / F(last - first, US)
        for at, until, value in reversed(self.points):
            if at <= first <= until:
                return value
        for start, end, flow, until_flow in self.with_edges(first, first + 1):
            if start <= first < end:
                if flow is None:
                    return None
                return flow + (until_flow - flow) * F(first - start, end - start)
        return None


class Water:
    def __init__(self, evidence, clause, place, with_doubt, days):
        self.evidence = evidence
        self.clause = clause
        self.days = days  # in order, those judged
        if clause.daily == "total":
            self.station, self.parameter = place.station, clause.parameter
            series = [one for one in evidence.series.values() if evidence.is_of_clause(one)] \
                if place is clause.places[0] else \
                [one for one in evidence.series.values()
                 if one.parameter == clause.parameter and place.has(one.told)]
        else:
            self.station, self.parameter = place.flow
            series = [one for one in evidence.series.values()
                      if (one.station, one.parameter) == place.flow]
        self.readings = sorted(
            (one for s in series for one in self.near(s) if not (one.doubt and not with_doubt)),
            key=lambda one: (one.at, F(one.text)))

    def near(self, series):
        """Of the days judged, with the last one before them and the first after."""
        first = self.evidence.days.start(self.days[0])
        last = self.evidence.days.end(self.days[-1])
        usable = [one for one in series.readings if one.usable]
        inside = [one for one in usable if first <= one.at < last]
        before = [one for one in usable if one.at < first][-1:]
        after = [one for one in usable if one.at >= last][:1]
        return before + inside + after

    def volumes(self):
        record = next((one for one in self.evidence.told["counters"]
                       if (one["station"], one["parameter"]) == (self.station, self.parameter)),
                      None)
        if record or self.parameter.endswith("-meter"):
            return self.by_meter(record)
        return self.by_flow()

    # --- a flow -------------------------------------------------------------------------------

    def by_flow(self):
        if self.clause.stands_s or self.clause.between_readings != "to the next":
            curve = Curve(self.readings, self.clause)
            return {day: Volume(curve.volume(self.evidence.days.start(day),
                                             self.evidence.days.end(day))) for day in self.days}
        return {day: Volume(self.flow_of_day(day)) for day in self.days}

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
        runs = []
        for start, end, volume in spans:
            days = self.days_of_span(start, end)
            several = len(days) > 1 and volume is not None and volume != 0
            part = volume
            if several:
                part = volume / len(days) if share else None
                runs.append((days, start, end, volume))
            for day in days:
                parts.setdefault(day, []).append(
                    (part, (end - start) // len(days), several and share, several and not share))
        found = {day: Volume(self.meter_day(day, parts.get(day, []), spans)) for day in self.days}
        self.add_runs(runs, spans, found)
        return found

    def meter_day(self, day, parts, spans):
        start, end = self.evidence.days.start(day), self.evidence.days.end(day)
        if not parts or any(volume is None for volume, *_ in parts):
            return None
        longest = max((until - at for at, until, _ in spans if start <= at < end), default=0)
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
        """(from, until, m3 or None) between readings that follow each other."""
        size = F(record.get("size", 0))
        if size and set(str(record["size"]).replace(".", "").strip("0")) == {"9"}:
            size += 1
        multiplier = F(record.get("multiplier", 0)) or F(1)
        most = F(record.get("most_per_day", 0))
        points = []
        for one in self.readings:
            if one.qualifier != "=":
                continue
            if points and points[-1][0] == one.at:
                points.pop()
            points.append([one.at, F(one.text), ""])
        self.mark_replaced(points, record)
        spans, good, suspect = [], 0, 0
        for i in range(1, len(points)):
            at, count, role = points[i]
            if role == "first":
                if suspect != good:
                    spans.append((points[good][0], points[suspect][0], None))
                    good = suspect
                has_last = points[good][2] == "last" and at - points[good][0] <= DAY_US
                if points[good][0] < at:
                    spans.append((points[good][0], at, F(0) if has_last else None))
                good = suspect = i
                continue
            before, last, _ = points[good]
            volume = (count - last) * multiplier
            if count < last:
                volume = (size - last + count) * multiplier
                if not size or not most or last >= size or \
                        volume >= most * F(at - before, DAY_US):
                    suspect = i
                    continue
            spans.append((before, at, volume))
            good = suspect = i
        if suspect != good:
            spans.append((points[good][0], points[suspect][0], None))
        return spans

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
            for a, b, other in spans:
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
