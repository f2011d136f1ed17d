"""Changes, rates and times outside: figures that go by the time between readings."""
from fractions import Fraction as F

from arithmetic import NoAnswer
from clause import seconds
from evidence import US, Use
from figures import End, Figure, fit

PER = {"second": 1, "minute": 60, "hour": 3600, "day": 86400}


class Line:
    """Readings of one series about a window, each as (instant, figure)."""

    def __init__(self, judge, window, series, takes, with_all):
        clause, evidence = judge.clause, judge.evidence
        self.points, self.blocked = [], False
        self.lasting = clause.statistic in ("time outside", "longest time outside")
        span = seconds(clause.said["change within"]) if clause.statistic == "greatest change" \
            else clause.stands_s
        reach = span * US
        judged_from, judged_until = judge.span_at
        beside = []
        for one in series.readings if series else []:
            if not one.usable or (one.doubt and not with_all):
                continue
            if window.from_at - reach <= one.at < judged_from:
                beside.append(one)
        for one in beside:
            self.add_beside(judge, one)
        for use in judge.uses:
            own = use.reading is None or use.reading.series is series
            stands = self.lasting and clause.discharging and use.why_not == "the outlet was shut" and \
                (use.trust != "doubt" or with_all)
            if own and use.place == 0 and use.at is not None and (takes(use) or stands) and \
                    window.from_at - reach <= use.at < window.until_at + \
                    (reach if self.lasting else 0):
                self.add(judge.make.of_use(use))
            elif use.at is None and use.place == 0 and takes(use) and use.fit != "within":
                self.blocked = True  # at what time it was is not known
        if self.lasting and window.until_at >= judged_until:
            after = [one for one in (series.readings if series else [])
                     if one.usable and not (one.doubt and not with_all) and one.at >= judged_until]
            if after:
                self.add_beside(judge, after[0])

    def add_beside(self, judge, reading):
        use = Use(reading.at, reading.until, reading.qualifier, 0)
        use.value = reading.value_in(judge.clause.unit)
        if use.value is not None:
            self.add(judge.make.of_use(use))

    def add(self, figure):
        if figure.low.at is None and figure.high.at is None:
            self.blocked = True
            return
        self.blocked = self.blocked or figure.blocked
        self.points.append(figure)


def number_of(figure, high):
    first, second = (figure.high, figure.low) if high else (figure.low, figure.high)
    return first.at if first.at is not None else second.at


# --- changes and rates -----------------------------------------------------------------------

def moved(change, direction):
    if direction == "rise":
        return max(change, F(0))
    if direction == "fall":
        return max(-change, F(0))
    return abs(change)


def greatest_change(points, window, said):
    """Of any two readings near enough of which the later lies in the window."""
    span = seconds(said["change within"]) * US
    found = None
    for i, (at, value) in enumerate(points):
        for later, other in points[i + 1:]:
            if later - at > span:
                break
            if later < window.from_at:
                continue
            size = moved(other - value, said.get("direction", "either way"))
            found = size if found is None else max(found, size)
    if found is None:
        raise NoAnswer("no two near enough")
    return found


def greatest_rate(points, window, clause):
    before = [point for point in points if point[0] < window.from_at][-1:]
    points = before + [point for point in points if point[0] >= window.from_at]
    longest = clause.stands_s * US
    found = None
    for (at, value), (later, other) in zip(points, points[1:]):
        if longest and later - at > longest:
            continue
        if later == at:
            if value != other:
                raise NoAnswer("two of one instant differ")
            continue
        size = moved(other - value, clause.said.get("direction", "either way")) * \
            F(PER[clause.said["rate per"]] * US, later - at)
        found = size if found is None else max(found, size)
    if found is None:
        raise NoAnswer("no two near enough")
    return found


def hold_gaps(points, window, clause, figure):
    """What a long step hides: at least its own slope, and without `covers` anything."""
    is_change = clause.statistic == "greatest change"
    span = seconds(clause.said["change within"]) if is_change else 0
    longest = (clause.stands_s or span) * US
    for (at, value), (later, other) in zip(points, points[1:]):
        if not longest or later < window.from_at or later - at <= longest:
            continue
        parts = -(-(later - at) // (span * US)) if is_change else \
            F(later - at, PER[clause.said["rate per"]] * US)
        least = moved(other - value, clause.said.get("direction", "either way")) / parts
        if figure.low.at is None or least > figure.low.at:
            figure.low, figure.high = End(least), End(least)
        figure.blocked = figure.blocked or not clause.covers


# --- times outside ---------------------------------------------------------------------------

def is_outside(value, beyond):
    return fit(beyond, End(value), End(value)) in ("above", "below")


def pieces_outside(points, clause):
    """([from, until) outside, [from, until) of which nothing is known)."""
    longest = clause.stands_s * US
    outside, gaps = [], []
    for (at, value), (later, other) in zip(points, points[1:]):
        if later == at:
            continue
        if longest and later - at > longest:
            gaps.append((F(at), F(later)))
            continue
        if clause.between_readings == "straight line":
            outside += line_outside(at, value, later, other, clause.beyond)
            continue
        turn = F(at + later, 2) if clause.between_readings == "half-way" else F(later)
        if is_outside(value, clause.beyond):
            outside.append((F(at), turn))
        if turn < later and is_outside(other, clause.beyond):
            outside.append((turn, F(later)))
    return outside, gaps


def line_outside(at, value, later, other, beyond):
    """Where a straight line lies outside; a bound that counts when reached is met on a line that
    lies on it."""
    turns = {F(at), F(later)}
    for side in (beyond.upper, beyond.lower):
        if side and value != other:
            share = (side.at - value) / (other - value)
            if 0 < share < 1:
                turns.add(at + share * (later - at))
    turns = sorted(turns)
    found = []
    for first, last in zip(turns, turns[1:]):
        middle = value + (other - value) * ((first + last) / 2 - at) / (later - at)
        if is_outside(middle, beyond):
            found.append((first, last))
    return found


def open_stretches(first, last, clause, evidence):
    """Where the outlet was open, of a clause only while discharging."""
    if not (clause.discharging and evidence.outlet):
        return [(first, last)]
    edges = {first, last}
    for at in evidence.outlet.times:
        edges |= {one for one in (at, at + evidence.state_holds_us + 1) if first < one < last}
    edges = sorted(edges)
    found = []
    for at, later in zip(edges, edges[1:]):
        if evidence.is_shut(at):
            continue
        if found and found[-1][1] == at:
            found[-1] = (found[-1][0], later)
        else:
            found.append((at, later))
    return found


def time_outside(points, window, clause, evidence):
    """(figure, whether something is not known)."""
    first, last = window.from_at, max(min(window.until_at, evidence.now), window.from_at)
    outside, gaps = pieces_outside(points, clause)
    edges = [(F(first), F(points[0][0])), (F(points[-1][0]), F(last))] if points \
        else [(F(first), F(last))]
    stretches = open_stretches(first, last, clause, evidence)
    open_ = any(min(b, end) > max(a, start) for a, b in gaps + edges for start, end in stretches)
    total = sum((max(min(b, F(end)) - max(a, F(start)), F(0)) for a, b in outside
                 for start, end in stretches), F(0))
    # A line that comes to the bound and leaves it again was not outside at that instant.
    inside = {F(at) for at, value in points if not is_outside(value, clause.beyond)}
    runs = []
    for a, b in outside:
        if runs and runs[-1][1] == a and a not in inside:
            runs[-1][1] = b
        else:
            runs.append([a, b])
    whole = F(0)
    for start, end in stretches:
        for a, b in runs:
            if a < end and b > start:
                a = a if start == first else max(a, F(start))
                b = b if end == last else min(b, F(end))
                whole = max(whole, b - a)
    unit = seconds("1 " + clause.said["time in"]) * US
    return (whole if clause.statistic == "longest time outside" else total) / unit, open_


# --- the figure ------------------------------------------------------------------------------

def of_line(judge, window, line):
    clause = judge.clause
    figure = Figure()
    figure.blocked = line.blocked
    figure.less_thans = sum(one.less_thans for one in line.points)
    if not line.lasting:
        points = [(one.at, one.high.at) for one in line.points if one.is_number]
        try:
            size = greatest_change(points, window, clause.said) \
                if clause.statistic == "greatest change" else greatest_rate(points, window, clause)
            figure.low, figure.high = End(size), End(size)
        except NoAnswer:
            figure.blocked = True
        if len(points) < len(line.points):
            figure.high = End()
        hold_gaps(points, window, clause, figure)
        return figure
    ends = []
    for most in (False, True):
        points = []
        for one in line.points:
            high = number_of(one, True)
            points.append((one.at, high if is_outside(high, clause.beyond) == most
                           else number_of(one, False)))
        ends.append(time_outside(points, window, clause, judge.evidence))
    figure.low, figure.high = End(ends[0][0]), End(ends[1][0])
    if ends[0][1] and not clause.covers:
        figure.blocked = True
    return figure


def figure_of(judge, window, takes, with_all):
    """The worst of the series, each by itself."""
    found = None
    seen = []
    for use in judge.uses:
        if use.reading and use.place == 0 and use.reading.series not in seen:
            seen.append(use.reading.series)
    for series in seen or [None]:
        line = Line(judge, window, series, takes, with_all)
        inside = any(window.from_at <= one.at < window.until_at for one in line.points)
        if not inside and not line.blocked:
            continue
        figure = of_line(judge, window, line)
        found = worse(judge, found, figure)
    if found is None:
        found = Figure()
        found.blocked = True
    return found


def worse(judge, kept, figure):
    if kept is None:
        return figure
    blocked = kept.blocked or figure.blocked
    beyond, was = (judge.make.fit_of(one) == "above" for one in (figure, kept))
    if beyond != was:
        better = figure if beyond else kept
    elif figure.shown is not None and kept.shown is not None:
        better = figure if figure.shown > kept.shown else kept
    else:
        better = figure if figure.blocked else kept
    better.blocked = better.blocked or blocked
    return better
