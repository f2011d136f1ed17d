"""A flow over time: by its readings, or by the best of those choices of them that are open."""
from fractions import Fraction as F

from evidence import US


def shut_spans(evidence, station):
    """[(from, until)] while the outlet there is on record as shut, without days that disagree."""
    outlet = evidence.outlet
    if not outlet or outlet.station != station:
        return []
    states = [one for one in outlet.readings if not one.left_out]
    found = []
    for i, one in enumerate(states):
        if one.doubt or one.unit.lower() != "shut":
            continue
        until = states[i + 1].at if i + 1 < len(states) else evidence.now
        if evidence.state_holds_us:
            until = min(until, one.at + evidence.state_holds_us)
        at = one.at
        while at < until:
            day = evidence.days.of(at)
            end = min(until, evidence.days.end(day))
            if evidence.discharge.get(day) != "disagrees":
                if found and found[-1][1] == at:
                    found[-1] = (found[-1][0], end)
                else:
                    found.append((at, end))
            at = end
    return found


class Curve:
    """A flow over time by the clause's rule for what is between two readings."""

    def __init__(self, readings, clause, shut=()):
        self.rule = clause.between_readings
        self.longest = clause.stands_s * US
        self.shut = shut
        self.points = []
        for one in readings:
            value = one.value_in("m3/s") if one.qualifier in "=<" else None
            self.points.append((one.at, one.until, value))

    def is_gap(self, first, last):
        return bool(self.longest) and last - first > self.longest

    def gap(self, first, last, before, after):
        """What a gap holds: nothing while the outlet was shut, and beside that what stands."""
        inside = [(max(a, first), min(b, last)) for a, b in self.shut if a < last and b > first]
        at = first
        for i, (start, end) in enumerate(inside + [(last, last)]):
            stands = before if i == 0 and inside else after if inside and start == last else None
            if start - at > self.longest:
                stands = None
            if at < start:
                yield at, start, stands, stands
            if start < end:
                yield start, end, F(0), F(0)
            at = end

    def pieces(self):
        """(from, until, first flow, last flow); None: not known. After the last it stands as long
        as a step may be."""
        if not self.points:
            return
        for i, (at, until, value) in enumerate(self.points):
            yield at, until, value, value
            if i + 1 == len(self.points):
                return
            following, _, other = self.points[i + 1]
            if self.is_gap(until, following):
                yield from self.gap(until, following, value, other)
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
            yield from self.gap(first, last, None, None)
            return
        at, _, value = self.points[0]
        if first < at:
            yield from self.gap(first, at, None, value)
        yield from self.pieces()
        _, until, value = self.points[-1]
        if until < last:
            if self.is_gap(until, last):
                yield from self.gap(until, last, value, None)
            else:
                yield until, last, value, value

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


class OpenCurve:
    """A flow of which some readings may count or not: of each span the most, or the least, of what
    any choice of them gives; one that leaves less of it unknown goes before."""

    def __init__(self, readings, sure, up, clause, shut):
        self.readings, self.sure, self.up = readings, sure, up
        self.clause, self.shut = clause, shut

    def by(self, indices):
        return Curve([self.readings[i] for i in indices], self.clause, self.shut)

    def near(self, first, last):
        """The readings that may matter: from the last sure one before to the first after."""
        sure = [i for i, is_sure in enumerate(self.sure) if is_sure]
        begin = max((i for i in sure if self.readings[i].at <= first), default=None)
        end = min((i for i in sure if self.readings[i].at >= last), default=None)
        inside = range(0 if begin is None else begin,
                       len(self.readings) if end is None else end + 1)
        return begin is not None, end is not None, list(inside)

    def key(self, gap, water):
        return (-gap, water if self.up else -water)

    def part(self, indices, first, last):
        """What one or two readings that follow each other make of the time between them."""
        gap, water = 0, F(0)
        for start, end, flow, until_flow in self.by(indices).with_edges(first, last):
            a, b = max(start, first), min(end, last)
            if a >= b:
                continue
            if flow is None:
                gap += b - a
            else:
                mean = flow + (until_flow - flow) / (end - start) * (F(a + b, 2) - start)
                water += mean * F(b - a, US)
        return gap, water

    def volume(self, first, last):
        """From the end to the beginning: the best of what is after each reading."""
        begins, ends, near = self.near(first, last)
        rest = {}
        for i in reversed(near):
            at = self.readings[i].at
            if at >= last:
                rest[i] = (0, F(0))
                continue
            start = max(at, first)
            rest[i] = self.best(near, i, ends, start, last, rest)
        if begins:
            inside = [i for i in near if self.readings[i].at <= first]
            gap, water = max((rest[i] for i in inside), key=lambda one: self.key(*one))
        else:
            ways = [rest[i] for i in near if self.readings[i].at <= first]
            ways.append(self.best(near, None, ends, first, last, rest))
            gap, water = max(ways, key=lambda one: self.key(*one))
        return None if gap else water

    def best(self, near, i, ends, start, last, rest):
        found = []
        for j in near if i is None else [j for j in near if j > i]:
            at = self.readings[j].at
            if i is not None or at > start:
                gap, water = (0, F(0)) if at <= start else \
                    self.part([k for k in (i, j) if k is not None], start, min(at, last))
                found.append((gap + rest[j][0], water + rest[j][1]))
            if self.sure[j]:
                break
        else:
            if not ends:
                found.append(self.part([] if i is None else [i], start, last))
        return max(found, key=lambda one: self.key(*one))

    def at(self, first, last):
        if last > first:
            volume = self.volume(first, last)
            return None if volume is None else volume / F(last - first, US)
        begins, ends, near = self.near(first, first + 1)
        before = [i for i in near if self.readings[i].at <= first] + [None] * (not begins)
        after = [i for i in near if self.readings[i].at > first] + [None] * (not ends)
        last_sure = max((i for i in before if i is not None and self.sure[i]), default=-1)
        first_sure = min((i for i in after if i is not None and self.sure[i]),
                         default=len(self.readings))
        flows = [self.by([k for k in (i, j) if k is not None]).at(first, first)
                 for i in before if i is None or i >= last_sure
                 for j in after if j is None or j <= first_sure]
        known = [one for one in flows if one is not None]
        return (max if self.up else min)(known) if known else None
