"""A farm of 64 series for the bench: its farm file, and a month of readings every 10 minutes.

    many.py farm KEY CLAUSES_A_SERIES     the farm file: 0 is 60 clauses over all series
    many.py readings STATION              one logger's file, 8 measures a row
    many.py stations                      their keys, one a line

INVENTED: the farm, its people, its authority, its licence and every number in it.
"""
import datetime
import random
import sys

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
FIRST = datetime.datetime(2026, 3, 1)
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

# statistic, its settings, what is made of each day, period; pH is never averaged
SHAPES = [
    ("value", "", "every reading", "each sample"),
    ("maximum", "", "every reading", "month"),
    ("minimum", "", "every reading", "month"),
    ("median", "", "every reading", "month"),
    ("value", "", "highest", "day"),
    ("value", "", "lowest", "day"),
    ("mean", "", "every reading", "month"),
    ("geometric mean", "", "every reading", "month"),
    ("value", "", "mean", "day"),
    ("mean", "", "mean", "month"),
    ("maximum", "", "mean", "month"),
    ("median", "", "highest", "month"),
]
UNAVERAGED = 6


def clause(number, station, measure, shape):
    _, parameter, unit, typical, moves, decimals = measure
    statistic, settings, daily, period = SHAPES[shape]
    less_thans = "" if shape == 0 else "    less-thans: half\n"
    bound = typical + moves * (1.2 + 0.01 * (number % 50))
    return f"""  - key: c{number}
    name: Clause {number}
    licence: wl-1
    clause: row {number}
    wording: An example.
    station: {station}
    parameter: {parameter}
    unit: {unit}
    samples: probe
    each day: {daily}
    statistic: {statistic}
{settings}    period: {period}
    not above: {bound:.{decimals}f}
{less_thans}    rounding: half up to {decimals} decimals
    in force: {{from: 2026-01-01}}
"""


def shapes_of(measure):
    return range(UNAVERAGED) if measure[1] == "ph" else range(len(SHAPES))


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
    print("".join(clauses(each)))


def readings(station):
    draw = random.Random(station)
    print("Time," + ",".join(measure[0] for measure in MEASURES))
    for row in range(ROWS):
        when = FIRST + datetime.timedelta(minutes=10 * row)
        values = (f"{typical + moves * draw.uniform(-1, 1):.{decimals}f}"
                  for _, _, _, typical, moves, decimals in MEASURES)
        print(f"{when:%Y-%m-%d %H:%M}," + ",".join(values))


if sys.argv[1] == "farm":
    farm(sys.argv[2], int(sys.argv[3]))
elif sys.argv[1] == "readings":
    readings(sys.argv[2])
else:
    print("\n".join(STATIONS))
