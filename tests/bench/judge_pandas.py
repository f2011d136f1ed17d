"""What run.sh compares judging with: the same clauses by a careful script over pandas.

    judge_pandas.py CONNINFO KEY CLAUSES_A_SERIES MONTH [agree]

It reads the month's readings once, groups them once, judges each clause from what its series
already has, and copies verdicts, days and windows into tables like those that Weirbook stores them
in. Prints `MILLISECONDS KILOBYTES` as bench_clock does, the time without starting Python and
importing. With `agree`: how many standings and figures are Weirbook's own.

Every clause of many.py has an upper bound and values above 0; this script knows no others, no
corrections, no marks of doubt and no less-thans. Days are UTC, as many.py's farm has them.
"""
import io
import resource
import sys
import time
from decimal import ROUND_HALF_UP, Decimal

import numpy as np
import pandas as pd
import psycopg2

import many

DAY_S = 86400
STANDS_S = 20 * 60
CHANGE_S = 3600
EVIDENCE = "\\\\x" + "00" * 32

READ = """copy (select series_id, extract(epoch from at)::bigint as at, reported::float8 as value
                from weirbook.reading_stored
               where farm_id = {farm} and series_id in ({series})
                 and at >= '{first}'::timestamptz - interval '10 days'
                 and at < '{first}'::timestamptz + interval '1 month 1 day'
               order by series_id, at) to stdout (format csv)"""


class Series:
    """One series: its readings, and what more than one clause asks of them."""

    def __init__(self, rows, days, month):
        self.at, self.all = rows["at"].to_numpy(), rows["value"].to_numpy()
        self.first, self.until = month
        begin, end = np.searchsorted(self.at, month)
        self.values, self.times = self.all[begin:end], self.at[begin:end]
        self.sorted = np.sort(self.values)
        self.logs = np.log(self.values)
        self.day_of = self.times // DAY_S
        self.days = days.index.to_numpy()
        self.begin, self.end = np.searchsorted(self.days, (month[0] // DAY_S, month[1] // DAY_S))
        self.by_day = {"highest": days["max"].to_numpy(), "lowest": days["min"].to_numpy(),
                       "mean": days["mean"].to_numpy()}
        stands = np.minimum(np.diff(self.at, append=self.at[-1]), STANDS_S)
        self.from_s = np.maximum(self.at, self.first)
        self.to_s = np.minimum(self.at + stands, self.until)

    def of_month(self, daily):
        if daily == "every reading":
            return self.values
        return self.by_day[daily][self.begin:self.end]


def hazen(series, _, clause):
    values = series.sorted
    rank = min(max(len(values) * clause.percent / 100 + 0.5, 1), len(values))
    low = int(rank)
    high = min(low, len(values) - 1)
    return values[low - 1] + (rank - low) * (values[high] - values[low - 1])


def spans_outside(series, clause):
    held = (series.to_s > series.from_s) & (series.all > float(clause.beyond))
    return series.from_s[held], series.to_s[held]


def time_outside(series, _, clause):
    begins, ends = spans_outside(series, clause)
    return (ends - begins).sum() / 3600


def longest_outside(series, _, clause):
    begins, ends = spans_outside(series, clause)
    if len(begins) == 0:
        return 0.0
    new = np.flatnonzero(np.r_[True, begins[1:] != ends[:-1]])
    return (ends[np.r_[new[1:] - 1, len(ends) - 1]] - begins[new]).max() / 60


def greatest_change(series, *_):
    best = 0.0
    for lag in range(1, len(series.times)):
        near = series.times[lag:] - series.times[:-lag] <= CHANGE_S
        if not near.any():
            break
        best = max(best, np.abs(series.values[lag:] - series.values[:-lag])[near].max())
    return best


FIGURES = {
    "maximum": lambda series, values, clause: values.max(),
    "minimum": lambda series, values, clause: values.min(),
    "mean": lambda series, values, clause: values.mean(),
    "median": lambda series, values, clause: np.median(values),
    "geometric mean": lambda series, values, clause: np.exp(series.logs.mean()),
    "log-normal percentile":
        lambda series, values, clause: np.exp(series.logs.mean() + 1.282 * series.logs.std(ddof=1)),
    "percentile": hazen,
    "count beyond":
        lambda series, values, clause: np.count_nonzero(values > float(clause.beyond)),
    "share beyond": lambda series, values, clause:
        100 * np.count_nonzero(values > float(clause.beyond)) / len(values),
    "time outside": time_outside,
    "longest time outside": longest_outside,
    "greatest change": greatest_change,
}


def rounded(value, decimals):
    return Decimal(f"{value:.12g}").quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)


def all_rounded(values, decimals):
    """Half up; the little more is for what binary floats lack of a half."""
    return np.floor(values * 10**decimals + 0.5 + 1e-7) / 10**decimals


def weeks_of(series, _):
    """Monday to Sunday, cut at the month's ends: first day, last day, samples, figure."""
    week = (series.day_of + 3) // 7
    starts = np.flatnonzero(np.diff(week, prepend=week[0] - 1))
    ends = np.r_[starts[1:], len(week)]
    return (series.day_of[starts], series.day_of[ends - 1], ends - starts,
            np.maximum.reduceat(series.values, starts))


def running_of(series, clause):
    daily = pd.Series(series.by_day[clause.daily], index=pd.to_datetime(series.days, unit="D"))
    rolling = daily.rolling("7D")
    part = slice(series.begin, series.end)
    days = series.days[part]
    return days - 6, days, rolling.count().to_numpy()[part], rolling.mean().to_numpy()[part]


def last_of(series, clause):
    rolling = pd.Series(series.by_day[clause.daily]).rolling(10)
    figures = (rolling.median() if clause.statistic == "median" else rolling.mean()).to_numpy()
    part = slice(series.begin, series.end)
    return (series.days[part.start - 9:part.stop - 9], series.days[part],
            np.full(part.stop - part.start, 10), figures[part])


WINDOWS = {"week": weeks_of, "running days": running_of, "last samples": last_of}


def day_text(day):
    return str(np.datetime64(int(day), "D"))


class Output:
    """Rows for COPY, as text."""

    def __init__(self, first, until):
        self.days = (day_text(first // DAY_S), day_text(until // DAY_S - 1))
        self.instants = (f"{self.days[0]} 00:00:00+00", f"{day_text(until // DAY_S)} 00:00:00+00")
        self.tables = {"verdict": [], "verdict_day": [], "verdict_window": []}
        self.judged = {}

    def add(self, table, *cells):
        self.tables[table].append("\t".join(cells) + "\n")

    def verdict(self, farm, clause, figure, samples, beyond, outside):
        compared = str(rounded(figure, clause.decimals))
        standing, side = ("outside", "above") if outside else ("within", "\\N")
        self.judged[f"c{clause.number}"] = (standing, figure)
        words = (f"{standing} ({compared} {clause.unit}, {clause.period} {clause.statistic} of "
                 f"{samples} readings, not above {clause.bound} {clause.unit})")
        self.add("verdict", farm, f"c{clause.number}", *self.days, "1", *self.instants, standing,
                 side, "f", "f", f"{figure:.12g}", compared, clause.bound, clause.unit,
                 str(samples), str(beyond), "0", "0", "0", "0", "\\N", words, EVIDENCE, "now",
                 EVIDENCE)

    def day(self, farm, clause, day, readings, beyond, figure):
        self.add("verdict_day", farm, f"c{clause.number}", *self.days, day_text(day),
                 str(readings), str(beyond), f"{figure:.12g}", "unknown", "\\N")

    def window(self, farm, clause, nth, window):
        first, last, samples, figure, compared, outside = window
        standing, side = ("outside", "above") if outside else ("within", "\\N")
        self.add("verdict_window", farm, f"c{clause.number}", *self.days, str(nth), day_text(first),
                 day_text(last), f"{day_text(first)} 00:00:00+00",
                 f"{day_text(last + 1)} 00:00:00+00", standing, side, "f", str(int(samples)),
                 str(int(outside)), "\\N", "f", f"{figure:.12g}",
                 f"{compared:.{clause.decimals}f}", "\\N", "\\N")

    def store(self, cursor):
        for table, rows in self.tables.items():
            cursor.execute(f"create temp table bench_{table} (like weirbook.{table} including all)")
            cursor.copy_expert(f"copy bench_{table} from stdin", io.StringIO("".join(rows)))


def judge_values(out, farm, clause, series):
    """Each reading, or each day's figure, by itself."""
    values = series.of_month(clause.daily)
    outside = all_rounded(values, clause.decimals) > float(clause.bound)
    beyond = int(np.count_nonzero(outside))
    out.verdict(farm, clause, values.max(), len(values), beyond, beyond > 0)
    if beyond == 0:
        return
    days = series.day_of if clause.daily == "every reading" else series.days[series.begin:series.end]
    for day in np.unique(days[outside]):
        here = days == day
        out.day(farm, clause, day, int(np.count_nonzero(series.day_of == day)),
                int(np.count_nonzero(outside & here)), values[here].max())


def judge_windows(out, farm, clause, series):
    first, last, samples, figures = WINDOWS[clause.period](series, clause)
    compared = all_rounded(figures, clause.decimals)
    outside = compared > float(clause.bound)
    worst = int(figures.argmax())
    out.verdict(farm, clause, figures[worst], int(samples[worst]),
                int(np.count_nonzero(outside)), outside.any())
    for nth, window in enumerate(zip(first, last, samples, figures, compared, outside), 1):
        out.window(farm, clause, nth, window)


def judge_month(out, farm, clause, series):
    values = series.of_month(clause.daily)
    figure = float(FIGURES[clause.statistic](series, values, clause))
    outside = rounded(figure, clause.decimals) > Decimal(clause.bound)
    out.verdict(farm, clause, figure, len(values), int(outside), outside)


def judge(out, farm, clause, series):
    if clause.statistic == "value":
        judge_values(out, farm, clause, series)
    elif clause.period in WINDOWS:
        judge_windows(out, farm, clause, series)
    else:
        judge_month(out, farm, clause, series)


def read(cursor, farm, month, places):
    """The series of these places, by (station, parameter)."""
    cursor.execute("select series_id, station, parameter from weirbook.series where farm_id = %s",
                   (farm,))
    ids = {(station, parameter): number for number, station, parameter in cursor.fetchall()
           if (station, parameter) in places}
    data = io.BytesIO()
    cursor.copy_expert(READ.format(farm=farm, series=",".join(map(str, ids.values())),
                                   first=month + "-01 00:00:00+00"), data)
    data.seek(0)
    frame = pd.read_csv(data, header=None, names=["series", "at", "value"],
                        dtype={"series": np.int64, "at": np.int64, "value": np.float64})
    days = frame.groupby(["series", frame["at"] // DAY_S])["value"].agg(["min", "max", "mean"])
    first = np.datetime64(month)
    span = tuple(int(edge.astype("datetime64[s]").astype(np.int64)) for edge in (first, first + 1))
    rows = dict(list(frame.groupby("series")))
    return span, {place: Series(rows[number], days.loc[number], span)
                  for place, number in ids.items()}


def agree(cursor, farm, out):
    cursor.execute("select clause, standing, figure from weirbook.verdict "
                   "where farm_id = %s and from_day = %s", (farm, out.days[0]))
    theirs = {clause: (standing, figure) for clause, standing, figure in cursor.fetchall()}
    standings = sum(theirs.get(key, ("",))[0] == one[0] for key, one in out.judged.items())
    figures = sum(key in theirs and bool(np.isclose(float(theirs[key][1]), one[1], rtol=1e-9))
                  for key, one in out.judged.items())
    print(f"pandas and weirbook on {len(out.judged)} clauses: {standings} standings agree, "
          f"{figures} figures agree")


def main(conninfo, key, each, month, *more):
    began = time.monotonic()
    clauses = list(many.clauses(int(each)))
    with psycopg2.connect(conninfo) as connection, connection.cursor() as cursor:
        cursor.execute("select farm_id from weirbook.farm_list() where key = %s", (key,))
        farm = cursor.fetchone()[0]
        cursor.execute("select set_config('weirbook.farms', %s, false)", ("{%d}" % farm,))
        span, series = read(cursor, farm, month, {(one.station, one.parameter) for one in clauses})
        out = Output(*span)
        for clause in clauses:
            judge(out, str(farm), clause, series[clause.station, clause.parameter])
        out.store(cursor)
        connection.commit()
        took = time.monotonic() - began
        if more:
            agree(cursor, farm, out)
        else:
            print(f"{took * 1000:.3f} {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss}")


main(*sys.argv[1:])
