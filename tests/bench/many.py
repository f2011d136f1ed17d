"""A farm of 64 series for the bench: its clauses, its farm file, and months of readings every
10 minutes.

    many.py farm KEY CLAUSES_A_SERIES     the farm file: 0 is 60 clauses over all series
    many.py readings STATION MONTH        one logger's file, 8 measures a row
    many.py stations                      their keys, one a line

INVENTED: the farm, its people, its authority, its licence and every number in it.
"""
import datetime
import random
import sys
import typing

STATIONS = [f"pond-{number}" for number in range(1, 9)]

# header, parameter, unit, typical value, how far it moves, decimals
MEASURES = [
    ("Temp", "temperature", "degC", 17, 3, 2),
    ("Salinity", "salinity", "PSU", 33, 1, 2),
    ("Oxygen", "oxygen", "mg/L", 7.5, 1, 2),
    ("pH", "ph", "pH", 8.0, 0.2, 2),
    ("Turbidity", "turbidity-fnu", "FNU", 6, 3, 1),
    ("Conductivity", "conductivity", "mS/cm", 46, 3, 2),
    ("Chlorophyll", "chlorophyll", "ug/L", 8, 4, 2),
    ("Flow", "flow", "L/s", 18, 4, 1),
]
ROWS = 31 * 144

HEAD = """farm:
  key: {key}
  name: The farm of 64 series (invented)
  time zone: UTC
  invented: yes
people:
  - {{key: owner, name: Robin Example, position: owner, may: [read, sample, calibrate, correct, sign],
     since: 2014-01-01, on the word of: holder of the licence}}
authorities:
  - {{key: water-board, name: Example Water Board (invented), decides: discharge, call: 000 0000}}
stations:
{stations}
licences:
  - {{key: wl-1, number: EXAMPLE WL-1, title: An example, holder: The farm of 64 series,
     authority: water-board, version: 2014-01-01, certification: True., signer: owner,
     points: [{{station: pond-1, called: A}}]}}
sources:
{sources}
limits:
"""

SOURCE = """  - key: {station}
    name: Logger of {station}
    shape: wide
    separator: comma
    decimal mark: point
    clock: local
    time: {{columns: Time, format: "YYYY-MM-DD hh:mm"}}
    station: {station}
    columns:
{columns}
    kind: probe
    instrument: logger of {station}
"""


class Shape(typing.NamedTuple):
    """What a clause asks. The bounds are so many moves above what is typical, or of a count, a
    share or a time its own numbers; `tight` is passed a little by readings that keep to their
    range, `loose` is not. pH is not averaged."""
    statistic: str
    daily: str
    period: str
    loose: float
    tight: float
    settings: tuple = ()
    of_beyond: bool = False
    averages: bool = False


def counts(share):
    return ("counts above: {beyond[%s]}" % share,)


STANDS = ("reading stands: 20 minutes", "between readings: to the next")
SHAPES = [
    Shape("value", "every reading", "each sample", 1.2, 0.999),
    Shape("maximum", "every reading", "month", 1.2, 0.9),
    Shape("minimum", "every reading", "month", 0.5, -1.1),
    Shape("median", "every reading", "month", 0.5, -0.3),
    Shape("value", "highest", "day", 1.2, 0.98),
    Shape("value", "lowest", "day", 0.0, -0.99),
    Shape("percentile", "every reading", "month", 1.1, 0.3,
          ("percentile: {percent}", "by the rule of: Hazen")),
    Shape("maximum", "every reading", "week", 1.2, 0.9,
          ("week starts: Monday", "across months: by its days")),
    Shape("count beyond", "every reading", "month", 900, 100, counts(0), True),
    Shape("share beyond", "every reading", "month", 20, 2, counts(0), True),
    Shape("time outside", "every reading", "month", 150, 20,
          counts(0) + ("time in: hours",) + STANDS, True),
    Shape("longest time outside", "every reading", "month", 600, 10,
          counts(0) + ("time in: minutes",) + STANDS, True),
    Shape("greatest change", "every reading", "month", 2.5, 1.5,
          ("change within: 1 hour", "direction: either way")),
    Shape("median", "highest", "last samples", 1.2, 0.9, ("last samples: 10",)),
    Shape("mean", "every reading", "month", 0.5, -0.3, (), False, True),
    Shape("geometric mean", "every reading", "month", 0.5, -0.3, (), False, True),
    Shape("value", "mean", "day", 0.5, -0.1, (), False, True),
    Shape("mean", "mean", "month", 0.5, -0.3, (), False, True),
    Shape("maximum", "mean", "month", 0.5, -0.2, (), False, True),
    Shape("mean", "mean", "running days", 0.5, -0.1, ("running days: 7", "at least: 1 samples"),
          False, True),
    Shape("log-normal percentile", "every reading", "month", 1.5, 0.2,
          ("z: 1.282", "deviation: sample"), False, True),
    Shape("mean", "mean", "last samples", 0.5, -0.1, ("last samples: 10",), False, True),
]
PERCENTS = (90, 95, 80)
BEYOND = (0.8, 0.9, 0.7)
EVERY_TIGHT = 13


class Clause(typing.NamedTuple):
    number: int
    station: str
    parameter: str
    unit: str
    statistic: str
    daily: str
    period: str
    settings: tuple
    bound: str
    decimals: int
    beyond: str  # what a count, a share or a time counts above
    percent: int


def clause(number, station, measure, shape):
    """Percents and what is counted differ between clauses of one shape, as bounds do."""
    _, parameter, unit, typical, moves, decimals = measure
    tight = number % EVERY_TIGHT == EVERY_TIGHT - 1
    bound = shape.tight if tight else shape.loose * (1 + 0.01 * (number % 50))
    if shape.statistic == "greatest change":
        bound = f"{moves * bound:.{decimals}f}"
    elif shape.of_beyond:
        bound = f"{bound:.0f}"
    else:
        bound = f"{typical + moves * bound:.{decimals}f}"
    percent = PERCENTS[number % len(PERCENTS)]
    beyond = f"{typical + moves * BEYOND[number % len(BEYOND)]:.{decimals}f}"
    settings = tuple(line.format(percent=percent, beyond=[beyond]) for line in shape.settings)
    return Clause(number, station, parameter, unit, shape.statistic, shape.daily, shape.period,
                  settings, bound, decimals, beyond, percent)


def stands_for_less_thans(one):
    """Where each reading is held against a number by itself, no number stands for a less-than."""
    alone = {("value", "highest"), ("value", "lowest"), ("maximum", "every reading"),
             ("minimum", "every reading"), ("count beyond", "every reading"),
             ("share beyond", "every reading"), ("time outside", "every reading"),
             ("longest time outside", "every reading")}
    return one.period != "each sample" and (one.statistic, one.daily) not in alone


def clause_text(one):
    less_thans = "    less-thans: half\n" if stands_for_less_thans(one) else ""
    settings = "".join(f"    {line}\n" for line in one.settings)
    return f"""  - key: c{one.number}
    name: Clause {one.number}
    licence: wl-1
    clause: row {one.number}
    wording: An example.
    station: {one.station}
    parameter: {one.parameter}
    unit: {one.unit}
    samples: probe
    each day: {one.daily}
    statistic: {one.statistic}
{settings}    period: {one.period}
    not above: {one.bound}
{less_thans}    rounding: half up to {one.decimals} decimals
    in force: {{from: 2026-01-01}}
"""


def has_meaning(shape, parameter):
    """pH is not averaged, and the 0 of a temperature is only a mark."""
    logarithms = shape.statistic in ("geometric mean", "log-normal percentile")
    return not (parameter == "ph" and shape.averages) and \
        not (parameter == "temperature" and logarithms)


def shapes_of(measure):
    return [shape for shape in SHAPES if has_meaning(shape, measure[1])]


def clauses(each):
    number = 0
    if each == 0:
        for number in range(60):
            measure = MEASURES[number % 8]
            shapes = shapes_of(measure)
            yield clause(number, STATIONS[number // 8 % 8], measure, shapes[number % len(shapes)])
        return
    for station in STATIONS:
        for measure in MEASURES:
            shapes = shapes_of(measure)
            for turn in range(each):
                yield clause(number, station, measure, shapes[turn % len(shapes)])
                number += 1


def farm(key, each):
    columns = "\n".join(f"      - {{header: {header}, parameter: {parameter}, unit: '{unit}'}}"
                        for header, parameter, unit, *_ in MEASURES)
    print(HEAD.format(
        key=key,
        stations="\n".join(f"  - {{key: {s}, name: Pond {s}, kind: pond}}" for s in STATIONS),
        sources="\n".join(SOURCE.format(station=s, columns=columns) for s in STATIONS)))
    print("".join(clause_text(one) for one in clauses(each)))


def readings(station, month):
    """`month` is 2026-03 or so; days of it have the readings of the days of March."""
    draw = random.Random(station)
    first = datetime.datetime.strptime(month, "%Y-%m")
    print("Time," + ",".join(measure[0] for measure in MEASURES))
    for row in range(ROWS):
        when = first + datetime.timedelta(minutes=10 * row)
        values = (f"{typical + moves * draw.uniform(-1, 1):.{decimals}f}"
                  for _, _, _, typical, moves, decimals in MEASURES)
        if when.month == first.month:
            print(f"{when:%Y-%m-%d %H:%M}," + ",".join(values))


if __name__ == "__main__":
    if sys.argv[1] == "farm":
        farm(sys.argv[2], int(sys.argv[3]))
    elif sys.argv[1] == "readings":
        readings(sys.argv[2], sys.argv[3])
    else:
        print("\n".join(STATIONS))
