"""The spans of time that a clause makes one figure of."""
from datetime import date, timedelta

from evidence import ONE_DAY, civil


class Window:
    def __init__(self, days, figures, asked, from_at, until_at, so_far=False):
        self.days = days
        self.figures = figures
        self.asked = asked
        self.from_at = from_at
        self.until_at = until_at
        self.so_far = so_far
        self.why_not = False
        self.lacking = False


def month_first(day):
    return day.replace(day=1)


def month_next(day):
    return (month_first(day) + timedelta(days=32)).replace(day=1)


def span_of(clause, day):
    """The quarter, year, licence year or month that a day lies in."""
    if clause.period == "quarter":
        first = date(day.year, (day.month - 1) // 3 * 3 + 1, 1)
        return first, month_next(month_next(month_next(first))) - ONE_DAY
    if clause.period == "year":
        return date(day.year, 1, 1), date(day.year, 12, 31)
    if clause.period == "licence year":
        def begin(year):
            return date(year, clause.anniversary // 100, 1) + \
                timedelta(days=clause.anniversary % 100 - 1)
        year = day.year if begin(day.year) <= day else day.year - 1
        return begin(year), begin(year + 1) - ONE_DAY
    return month_first(day), month_next(day) - ONE_DAY


def week_first(clause, day):
    return day - timedelta(days=(day.weekday() - clause.week_starts) % 7)


def days_between(first, last):
    return [first + timedelta(days=i) for i in range((last - first).days + 1)]


class Windows:
    def __init__(self, judge, reduced):
        self.judge, self.clause, self.evidence = judge, judge.clause, judge.evidence
        self.reduced = reduced
        self.figures = sorted(reduced.figures, key=self.order)
        self.known = [one for one in self.figures if self.day_of(one) is not None]
        self.unknown = [one for one in self.figures if self.day_of(one) is None]

    def day_of(self, figure):
        if figure.day is not None or figure.at is None:
            return figure.day
        return self.evidence.days.of(figure.at)

    def order(self, figure):
        day = self.day_of(figure)
        return (day.toordinal() if day else -1, figure.at if figure.at is not None else -1)

    def list(self):
        lists = {"day": self.by_day, "week": self.by_week, "running days": self.by_running,
                 "last samples": self.by_last, "discharge run": self.by_run}
        found = lists.get(self.clause.period, self.by_span)()
        return [one for one in found if self.holds(one)]

    # --- a change of the clause ---------------------------------------------------------------

    def holds(self, window):
        clause = self.clause
        if not clause.has_one_figure:
            return True
        first, last = window.days[0], window.days[-1]
        begins, ends = civil(clause.in_force_from), civil(clause.in_force_to)
        if (begins and begins > last) or (ends and ends < first):
            return False
        inside_begin = begins is not None and begins > first
        inside_end = ends is not None and ends < last
        if not inside_begin and not inside_end:
            return True
        if clause.across_change == "not said":
            window.why_not = True
            return True
        return clause.across_change == ("new" if inside_begin else "old")

    # --- the spans ----------------------------------------------------------------------------

    def of_days(self, days, asked):
        wanted = set(days)
        figures = [one for one in self.known if self.day_of(one) in wanted]
        return Window(days, figures, asked, self.evidence.days.start(days[0]),
                      self.evidence.days.end(days[-1]), not self.evidence.over(days[-1]))

    def begun(self, windows):
        return [one for one in windows if self.evidence.begun(one.days[0])]

    def by_span(self):
        found, first = [], self.judge.days[0]
        while first < self.judge.asked_days[0]:
            first, last = span_of(self.clause, first)
            if last >= self.judge.asked_days[0]:
                break
            found.append(self.of_days(days_between(first, last), False))
            first = last + ONE_DAY
        found.append(self.of_days(self.judge.asked_days, True))
        return self.begun(found)

    def by_day(self):
        clause = self.clause
        of_every = clause.least or clause.covers or clause.across
        has = {self.day_of(one) for one in self.known}
        found = []
        for day in self.judge.days:
            if day > self.judge.asked_days[-1]:
                break
            asked_of = of_every and self.judge.why_day_not(day) is None and \
                self.evidence.over(day)
            if day in has or asked_of:
                found.append(self.of_days([day], day in self.judge.asked))
        return self.begun(found)

    def by_week(self):
        clause, asked = self.clause, self.judge.asked
        first_asked = self.judge.asked_days[0]
        found, i, days = [], 0, self.judge.days
        while i < len(days):
            end = week_first(clause, days[i]) + timedelta(days=6)
            week = [day for day in days[i:i + 7] if day <= end]
            if clause.months == "by its days" and week[0] < first_asked <= week[-1]:
                week = [day for day in week if day < first_asked]
            i += len(week)
            inside = sum(day in asked for day in week)
            belongs = {"where it began": week[0] in asked, "where it ended": week[-1] in asked,
                       "where most of it lies": inside >= 4,
                       "by its days": inside > 0, "in both": inside > 0}[clause.months]
            if belongs or week[0] < first_asked:
                found.append(self.of_days(week, belongs))
        return self.begun(found)

    def by_running(self):
        length, days = self.clause.running, self.judge.days
        found = []
        for i in range(length - 1, len(days)):
            if days[i] <= self.judge.asked_days[-1] and self.evidence.begun(days[i]):
                found.append(self.of_days(days[i + 1 - length:i + 1], days[i] in self.judge.asked))
        return self.begun(found)

    def by_last(self):
        length = self.clause.last
        found = []
        for i, one in enumerate(self.known):
            day = self.day_of(one)
            if day > self.judge.asked_days[-1]:
                break
            figures = self.known[max(0, i + 1 - length):i + 1]
            days = days_between(self.day_of(figures[0]), day)
            window = Window(days, figures, day in self.judge.asked, figures[0].at, one.at + 1)
            window.lacking = len(figures) < length
            found.append(window)
        before = self.clause.across[1] - 1 if self.clause.across else 0
        early = [one for one in found if not one.asked]
        return (early[-before:] if before else []) + [one for one in found if one.asked]

    # --- discharge runs -----------------------------------------------------------------------

    def by_run(self):
        found = []
        for opened, shut, why_not in self.judge.runs:
            end = shut if shut is not None else max(self.evidence.now, opened)
            days = days_between(self.evidence.days.of(opened), self.evidence.days.of(end))
            days = [day for day in days if day in self.judge.day_set]
            window = self.of_days(days, True)
            window.from_at, window.until_at = opened, end
            window.so_far = shut is None
            window.why_not = why_not
            if self.clause.daily == "every reading":
                window.figures = [one for one in window.figures
                                  if opened <= one.at < end + (1 if window.so_far else 0)]
            found.append(window)
        return found


def runs_of(evidence, clause, first, last):
    """(opened, shut or None, whether something of it is not known) that belong to the span."""
    if evidence.outlet is None:
        return None
    holds = evidence.state_holds_us

    def still(at, newest):
        return not holds or at - newest.at <= holds

    found, newest, run = [], None, None
    for one in evidence.outlet.readings:
        word = one.unit.lower()
        if one.at >= evidence.now or not one.usable or \
                not (word == "open" or (word == "shut" and not one.doubt)):
            continue
        if run and not still(one.at, newest):
            run[2] = True
        if word == "open" and not run:
            run = [one.at, None, not (newest and still(one.at, newest))]
        elif word == "shut" and run:
            run[1] = one.at
            found.append(run)
            run = None
        newest = one
    if run:
        run[2] = run[2] or not still(evidence.now, newest)
        found.append(run)
    return [tuple(run) for run in found if belongs(evidence, clause, run, first, last)]


def belongs(evidence, clause, run, first, last):
    from_at, until_at = evidence.days.start(first), evidence.days.end(last)
    opened = run[0]
    end = run[1] if run[1] is not None else max(evidence.now, opened)
    if clause.months == "where it ended":
        return from_at <= end < until_at
    if clause.months == "in both":
        return opened < until_at and end >= from_at
    if clause.months == "where most of it lies":
        best, longest = None, -1
        month = month_first(evidence.days.of(opened))
        while evidence.days.start(month) <= end:
            begin, finish = evidence.days.start(month), evidence.days.start(month_next(month))
            part = max(min(end, finish) - max(opened, begin), 0)
            if part > longest:
                best, longest = begin, part
            month = month_next(month)
        return from_at <= best < until_at
    return from_at <= opened < until_at
