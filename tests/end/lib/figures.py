"""Part of figures.sh: the figures of the demo farm's months, worked out a second time.

    figures.py DEMO_FOLDER ANSWERS_FOLDER

Reads the raw files of DEMO_FOLDER and nothing else, in exact fractions, by the definitions that
the farm's licence uses:

    mean            the sum over the number of samples
    geometric mean  the n-th root of the product: exp of the mean of the logarithms
    load of a day   mean concentration x volume: mg/L x m3 / 1000 = kg
    volume          flow of each reading until the next one, a day ends at the farm's midnight
    meter           difference of two readings; past its size it starts again at 0

Common arithmetic, from no program. The answers of `weirbook check --json` must agree: the figure to
its 11th digit, the rounded one to the last, and how many samples and how many beyond the bound.
Prints "ok NAME" or "not ok NAME: why" a limit and month.
"""
import csv
import datetime
import json
import math
import os
import sys
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

DEMO, ANSWERS = sys.argv[1:3]
MONTHS = (2, 3, 4)
METER_SIZE = 100000
HALF, AT_THE_LIMIT = Fraction(1, 2), Fraction(1)
# To mg/L, or to MPN/100 mL.
UNITS = {"mg/L": Fraction(1), "ug/L": Fraction(1, 1000), "MPN/100 mL": Fraction(1)}


def rows(name, delimiter=","):
    with open(os.path.join(DEMO, name), encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file, delimiter=delimiter))


def files(start):
    """By date; a sheet that came again stands after the first."""
    return sorted((name for name in os.listdir(DEMO)
                   if name.startswith(start) and name.endswith(".csv")),
                  key=lambda name: name.removesuffix(".csv"))


def number(text):
    return Fraction(text.strip().replace(",", "."))


# --- what the files say ----------------------------------------------------------------------

def read_outlet():
    """Instants (by the farm's clock) at which the outlet was opened or shut, in order."""
    return sorted((datetime.datetime.strptime(row["Date"] + row["Time"], "%d/%m/%Y%H:%M"),
                   row["Outlet"] == "opened") for row in rows("outlet-2026.csv"))


def read_results():
    """Results at the outlet: instant, analyte, less-than, number; each bottle's first word."""
    seen = {}
    for name in files("lab-"):
        for row in rows(name):
            key = (row["Sample"], row["Site"], row["Analyte"])
            if row["Site"] != "QM-1" or row["Unit"] not in UNITS or key in seen:
                continue
            at = datetime.datetime.strptime(row["Date"] + row["Time"], "%Y-%m-%d%H:%M")
            less = row["Result"].startswith("<")
            seen[key] = (at, row["Analyte"], less, number(row["Result"].lstrip("<")) *
                         UNITS[row["Unit"]])
    return sorted(seen.values())


def read_logger():
    found = []
    for name in files("logger-"):
        for row in rows(name, ";"):
            at = datetime.datetime.strptime(row["Time"], "%d.%m.%Y %H:%M")
            found.append((at, row))
    return found


def read_meter():
    found = []
    for row in rows("meter-2026.csv"):
        at = datetime.datetime.strptime(row["Date"] + row["Time"], "%d/%m/%Y%H:%M")
        found.append((at, int(row["Reading"]), row["Remark"] == "new meter"))
    return found


OUTLET, RESULTS, LOGGER, METER = read_outlet(), read_results(), read_logger(), read_meter()


def is_open(at):
    state = None
    for when, opened in OUTLET:
        if when <= at:
            state = opened
    return state


# --- what the months come to -----------------------------------------------------------------

def samples(month, analyte, less_share):
    """Of the discharge: taken while the outlet was open."""
    return [(at.date(), value * (less_share if less else 1))
            for at, name, less, value in RESULTS
            if name == analyte and at.month == month and is_open(at)]


def probe(month, column, without=frozenset()):
    return [(at.date(), number(row[column])) for at, row in LOGGER
            if at.month == month and row[column].strip() and is_open(at) and at not in without]


def flat_lined(column):
    """Instants at which a probe has stood still for three hours, by the farm's own threshold."""
    found, start, last = set(), None, None
    for at, row in LOGGER:
        text = row[column].strip()
        if not text:
            continue
        goes_on = last and text == last[1] and \
            datetime.timedelta(0) < at - last[0] <= datetime.timedelta(minutes=30)
        start = start if goes_on else at
        last = (at, text)
        if at - start >= datetime.timedelta(hours=3):
            found.add(at)
    return found


def sound_oxygen(month):
    """Of the outlet: without what stands still, which is in doubt and clears nothing."""
    column = "Outlet oxygen (mg/L)"
    return probe(month, column, flat_lined(column))


def by_day(pairs):
    days = {}
    for day, value in pairs:
        days.setdefault(day, []).append(value)
    return days


def mean(values):
    return sum(values) / len(values)


def flow_volume(day):
    """m3 of a day: L/s x 600 s a reading, since the logger has one every 10 minutes."""
    flows = [number(row["Outlet flow (L/s)"]) for at, row in LOGGER if at.date() == day]
    assert len(flows) == 144, f"{len(flows)} readings of flow on {day}"
    return sum(flows) * 600 / 1000


def loads(month):
    days = by_day(samples(month, "Total nitrogen", HALF))
    return [mean(values) * flow_volume(day) / 1000 for day, values in days.items()]


def meter_days(month):
    totals = {}
    for (at, first, _), (_, second, fresh) in zip(METER, METER[1:]):
        if fresh:
            continue
        rise = second - first if second >= first else second - first + METER_SIZE
        totals[at.date()] = totals.get(at.date(), 0) + rise
    return [Fraction(total) for day, total in totals.items() if day.month == month]


def values(pairs):
    return [value for _, value in pairs]


def geometric(month):
    counts = values(samples(month, "Enterococci", AT_THE_LIMIT))
    return counts, math.exp(sum(math.log(one) for one in counts) / len(counts))


def nearest_of_range(month):
    found = values(probe(month, "Outlet pH"))
    low, high = Fraction("6.5"), Fraction("8.5")
    return found, min(found, key=lambda one: min(one - low, high - one))


def temperature(month):
    """Days of which too little is covered have a mean too; it is the verdict that they stop."""
    means = [mean(found) for found in by_day(probe(month, "Outlet temp (degC)")).values()]
    return means, max(means)


def each(found, pick):
    return found, pick(found)


# Limit: what gives samples and figure of a month, decimals it is rounded to or None, beyond it.
LIMITS = {
    "solids-each": (lambda m: each(values(samples(m, "Total suspended solids", HALF)), max), None,
                    lambda one: one > 60),
    "solids-mean": (lambda m: each(values(samples(m, "Total suspended solids", HALF)), mean), 0,
                    None),
    "ammonia-mean": (lambda m: each(values(samples(m, "Ammonia-N", HALF)), mean), 2, None),
    "enterococci-mean": (geometric, 0, None),
    "nitrogen-each": (lambda m: each(values(samples(m, "Total nitrogen", HALF)), max), None,
                      lambda one: one >= 8),
    "nitrogen-load-day": (lambda m: each(loads(m), max), 1, lambda one: one > Fraction("6.05")),
    "nitrogen-load-mean": (lambda m: each(loads(m), mean), 1, None),
    "oxygen-floor": (lambda m: each(values(sound_oxygen(m)), min), None,
                     lambda one: one < 5),
    "ph-range": (nearest_of_range, None, lambda one: not Fraction("6.5") <= one <= Fraction("8.5")),
    "temperature-day": (temperature, 1, lambda one: one > 25),
    "volume-month": (lambda m: each(meter_days(m), sum), None, None),
    "volume-day": (lambda m: each(meter_days(m), max), None, lambda one: one > 2500),
}


def rounded(figure, decimals):
    exact = Decimal(figure.numerator) / Decimal(figure.denominator) \
        if isinstance(figure, Fraction) else Decimal(figure)
    if decimals is None:
        return exact
    return exact.quantize(Decimal(1).scaleb(-decimals), ROUND_HALF_UP)


def difference(one, found, figure, decimals, beyond):
    """Why the program's answer is another, or None."""
    theirs = Decimal(one["figure"])
    ours = rounded(figure, None)
    if abs(theirs - ours) > abs(ours) * Decimal("1e-11"):
        return f"the figure is {theirs}, worked out {ours}"
    if Decimal(one["compared"]) != rounded(figure, decimals) and \
            (decimals is not None or Decimal(one["compared"]) != theirs):
        return f"compared {one['compared']}, worked out {rounded(figure, decimals)}"
    if one["samples"] != len(found):
        return f"{one['samples']} samples, counted {len(found)}"
    if beyond and one["beyond"] != sum(map(beyond, found)):
        return f"{one['beyond']} beyond the bound, counted {sum(map(beyond, found))}"
    return None


def main():
    for month in MONTHS:
        with open(os.path.join(ANSWERS, f"check-{month:02}.json"), encoding="utf-8") as file:
            answers = {one["limit"]: one for one in json.load(file)["limits"]}
        if set(answers) != set(LIMITS):
            print(f"not ok figures: 2026-{month:02}: other limits than those known here")
            continue
        for key, (work_out, decimals, beyond) in LIMITS.items():
            found, figure = work_out(month)
            why = difference(answers[key], found, figure, decimals, beyond)
            name = f"figures: {key} of 2026-{month:02} is {answers[key]['figure']}"
            print(f"not ok {name}: {why}" if why else f"ok {name}")


main()
