"""The files of the made-up farm: sheets of samples with all that can go wrong in them, a logger
with gaps, a meter, an outlet, and the farm file. All numbers are drawn and mean nothing."""
import csv
import math
import os
from datetime import datetime, timedelta

HEAD = ("Sample", "Rep", "Site", "Date", "Time", "Until date", "Until time", "Analyte", "Sign",
        "Result", "Unit", "LOD", "LOQ", "Method", "By", "Purpose")

FARM = """# INVENTED: a farm made up by a program, for working its verdicts out again. No number in it is
# anybody's limit.
farm: {key: made-up, name: A made-up farm, time zone: Europe/Dublin, a state holds: 2000 hours, invented: yes}
people:
  - {key: wren, name: Wren Tidewell (invented), position: manager, may: [read, sample, calibrate, correct, sign], since: 2025-01-01, on the word of: holder}
  - {key: ash, name: Ash Fenmoor (invented), position: watch, may: [read, sample, correct], since: 2025-01-01, on the word of: wren}
authorities:
  - {key: board, name: Made-up Board (invented), decides: discharge, call: telephone 000 0000}
stations:
  - {key: intake, name: Intake, kind: intake}
  - {key: pond, name: Pond, kind: pond, positions: [{key: ring, name: Ring}, {key: centre, name: Centre}]}
  - {key: outlet, name: Outlet, kind: discharge}
  - {key: outlet-2, name: Second outlet, kind: discharge}
  - {key: gauge, name: Gauge, kind: rain-gauge}
licences:
  - key: invented
    number: NONE 1 (invented)
    title: A made-up permit
    holder: A made-up farm
    authority: board
    version: 2025-01-01
    anniversary: 03-15
    signer: wren
    certification: Made up.
    points:
      - {station: intake, called: I}
      - {station: outlet, called: A, outlet: {station: outlet, parameter: outlet}, meter: {station: outlet, parameter: discharge-meter}}
      - {station: outlet-2, called: B}
  - key: ended
    number: NONE 2 (invented)
    title: A made-up permit that ended
    holder: A made-up farm
    authority: board
    version: 2025-01-01
    ends: 2026-03-20
    signer: wren
    certification: Made up.
    points:
      - {station: pond, called: P}
laboratories:
  - key: lab-a
    name: Laboratory A
    written as: [Laboratory A]
    accreditations:
      - {number: EX 1, by: Made-up Body, parameters: [suspended-solids], from: 2025-01-01, to: 2026-03-20}
tide tables:
  - key: harbour
    place: a made-up harbour
    from: drawn by a program
    clock: +00:00
    tides:
TIDES
meters:
  - {station: outlet, parameter: discharge-meter, size: 100000, multiplier: 1, most per day: 900, share over days: no}
sources:
  - key: grabs
SHEET
    kind: grab
    instrument: Laboratory A
    ignored columns: [Until date, Until time]
  - key: other-grabs
SHEET
    kind: grab
    instrument: Laboratory B
    ignored columns: [Until date, Until time]
  - key: composites
SHEET
    until: {columns: [Until date, Until time]}
    kind: composite
    instrument: Laboratory A
  - key: logger
    name: Logger
    shape: wide
    separator: comma
    decimal mark: point
    clock: +00:00
    time: {columns: Time, format: "YYYY-MM-DD hh:mm"}
    station: outlet
    columns:
      - {header: Flow, parameter: flow, unit: L/s, flag: Flow flag}
      - {header: Temp, parameter: temperature, unit: degC}
      - {header: Salinity, parameter: salinity, unit: PSU}
      - {header: Oxygen, parameter: oxygen, unit: mg/L, flag: Oxygen flag}
      - {header: pH, parameter: ph, unit: pH, flag: pH flag}
      - {header: Intake flow, parameter: flow, unit: m3/h, station: intake}
      - {header: Flow 2, parameter: flow, unit: L/min, station: outlet-2}
      - {header: Ring, parameter: oxygen, unit: mg/L, station: pond, position: ring}
      - {header: Centre, parameter: oxygen, unit: ug/L, station: pond, position: centre}
      - {header: Rain, parameter: rain, unit: mm, station: gauge}
    flag words: {ok: use, odd: doubt}
    kind: probe
    instrument: logger 1
  - key: second-logger
    name: A second probe beside the first
    shape: wide
    separator: comma
    decimal mark: point
    clock: +00:00
    time: {columns: Time, format: "YYYY-MM-DD hh:mm"}
    station: outlet
    columns:
      - {header: Oxygen, parameter: oxygen, unit: mg/L}
    kind: probe
    instrument: logger 2
  - key: meter
    name: Meter
    shape: long
    separator: comma
    decimal mark: point
    clock: local
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station: outlet
    parameter: discharge-meter
    value column: Reading
    unit: m3
    kind: by hand
  - key: outlet-sheet
    name: Outlet, opened and shut
    shape: long
    separator: comma
    decimal mark: point
    clock: local
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station: outlet
    parameter: outlet
    value column: Outlet
    state words: {opened: open, closed: shut}
    kind: by hand
"""

SHEET_KEYS = """    name: More sheets
    shape: long
    separator: comma
    decimal mark: point
    clock: local
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    station column: Site
    parameter column: Analyte
    value column: Result
    qualifier column: Sign
    unit column: Unit
    detection limit column: LOD
    quantitation limit column: LOQ
    sample column: Sample
    replicate column: Rep
    method column: Method
    taken by column: By
    purpose column: Purpose"""


def tides():
    """High and low water every 6 h 12 min, with the table ending before the month does."""
    at, high, lines = datetime(2026, 2, 20, 1, 7), True, []
    while at < datetime(2026, 3, 28):
        lines.append(f"      - {at:%Y-%m-%d %H:%M} {'high 3.1' if high else 'low 0.6'}")
        at, high = at + timedelta(hours=6, minutes=12), not high
    return "\n".join(lines)


def yaml(value):
    """JSON is YAML; every scalar is quoted."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{key}: {yaml(one)}" for key, one in value.items()) + "}"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(yaml(one) for one in value) + "]"
    return "'" + str(value).replace("'", "''") + "'"


def write_farm(path, limits):
    text = FARM.replace("TIDES", tides()).replace("SHEET", SHEET_KEYS)
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
        file.write("limits:\n")
        for i, limit in enumerate(limits, 1):
            limit = dict({"key": limit["key"]}, **limit)
            limit.update(name=f"Made-up limit {i}", clause=f"row {i}", wording="Made up.")
            limit.setdefault("in force", {"from": "2025-01-01"})
            file.write("  - " + yaml({k: v for k, v in limit.items() if v is not None}) + "\n")


# --- samples ---------------------------------------------------------------------------------

def result_of(rng, middle):
    """(sign, digits) about a middle value, sometimes not a plain number."""
    value = middle * math.exp(rng.gauss(0, 0.45))
    digits = rng.choice((0, 1, 1, 2))
    sign = rng.choices(("", "<", ">"), (12, 3, 0.4))[0]
    if sign == "<":
        return "<", rng.choice(("4", "5.0", "9.0", "10"))
    if sign == ">" and middle > 5:
        return ">", "60"
    return "", f"{value:.{digits}f}" if value >= 1 else f"{value:.3f}"


def sheet(rng, first, last, analytes, prefix, sites, each_days):
    rows, number = [], 0
    at = first
    while at < last:
        number += 1
        taken = at + timedelta(minutes=rng.choice((0, 30, 60, 95)) + 60 * rng.randrange(8, 17))
        for site in sites:
            # A sample is one bottle: taken at one place, by one person, for one purpose.
            bottle = f"{prefix}{number}" + ("" if site == "outlet" else f"-{site}"), site, taken, \
                rng.choice(("Wren", "Ash", "")), rng.choices(PURPOSES, (20, 5, 3, 2, 1, 1))[0]
            for analyte, unit, middle in analytes:
                rows += results(rng, bottle, analyte, unit, middle)
        at += timedelta(days=rng.choice(each_days))
    return rows


PURPOSES = ("", "required", "extra", "looking for a cause", "check", "the authority's own")


def results(rng, bottle, analyte, unit, middle):
    sample, site, taken, taker, purpose = bottle
    rows = []
    copies = 2 if rng.random() < 0.2 else 1
    for copy in range(copies):
        sign, digits = result_of(rng, middle if site != "intake" else middle * 0.4)
        if unit == "ug/L":
            digits = str(round(float(digits) * 1000))
        lod, loq = "", ""
        if rng.random() < 0.6:
            scale = 1000 if unit == "ug/L" else 1
            lod, loq = str(round(middle * 0.2 * scale, 2)), str(round(middle * 0.5 * scale, 2))
        rows.append([sample, str(copy + 1) if copies > 1 else "", site, f"{taken:%Y-%m-%d}",
                     f"{taken:%H:%M}", f"{taken + timedelta(hours=20):%Y-%m-%d}",
                     f"{taken + timedelta(hours=20):%H:%M}", analyte, sign, digits, unit, lod, loq,
                     rng.choice(("M1", "M1", "M2", "")), taker, purpose])
    return rows


def trouble(rng):
    """Rows that are set aside, and results that are no number."""
    head = ["T1", "", "outlet", "2026-03-11", "09:00", "", "", "suspended-solids"]
    tail = ["", "", "M1", "Wren", ""]
    return [
        head + ["", "26.0", "furlong"] + tail,
        ["T2", "", "otlet", "2026-03-12", "09:00", "", "", "suspended-solids", "", "28.5", "mg/L"]
        + tail,
        ["T3", "", "outlet", "2026-03-13", "09:00", "", "", "total-nitrogen", "", "ND", "mg/L"]
        + tail,
        ["T4", "", "outlet", "2026-03-14", "25:00", "", "", "total-nitrogen", "", "2.5", "mg/L"]
        + tail,
    ]


def write_csv(path, head, rows):
    with open(path, "w", newline="", encoding="utf-8") as file:
        out = csv.writer(file, lineterminator="\n")
        out.writerow(head)
        out.writerows(rows)


def write(folder, rng):
    os.makedirs(folder, exist_ok=True)
    first, last = datetime(2026, 2, 16), datetime(2026, 4, 6)
    analytes = (("suspended-solids", "mg/L", 20.0), ("total-nitrogen", "mg/L", 3.0),
                ("ammonia", "ug/L", 0.5))
    grabs = sheet(rng, first, last, analytes, "G", ("outlet", "intake", "outlet-2"), (2, 3, 4))
    write_csv(os.path.join(folder, "grabs.csv"), HEAD, grabs + trouble(rng))
    other = sheet(rng, first, last, analytes[:1], "H", ("outlet", "pond"), (6, 7))
    write_csv(os.path.join(folder, "other-grabs.csv"), HEAD, other)
    composites = sheet(rng, first, last, analytes[:2], "C", ("outlet",), (5, 6))
    write_csv(os.path.join(folder, "composites.csv"), HEAD, composites)
    write_logger(folder, rng, first, last)
    write_meter(folder, rng, first, last)
    write_csv(os.path.join(folder, "outlet-sheet.csv"), ("Date", "Time", "Outlet"),
              [("2026-02-16", "06:00", "opened"), ("2026-02-27", "18:30", "closed"),
               ("2026-03-02", "07:10", "opened"), ("2026-03-17", "16:00", "closed"),
               ("2026-03-19", "09:00", "opened"), ("2026-03-29", "12:00", "closed"),
               ("2026-03-30", "05:00", "opened"), ("2026-04-03", "11:00", "closed")])


def write_logger(folder, rng, first, last):
    head = ("Time", "Flow", "Flow flag", "Temp", "Salinity", "Oxygen", "Oxygen flag", "pH",
            "pH flag", "Intake flow", "Flow 2", "Ring", "Centre", "Rain")
    rows, second = [], []
    at, hour = first, 0
    while at < last:
        hour += 1
        at += timedelta(hours=1)
        wave = math.sin(hour / 24 * 2 * math.pi)
        if datetime(2026, 3, 8, 2) < at < datetime(2026, 3, 8, 9) or rng.random() < 0.01:
            continue
        oxygen = 8.0 + 1.3 * wave + rng.gauss(0, 0.4)
        rows.append([f"{at:%Y-%m-%d %H:%M}", f"{7 + 2 * wave + rng.random():.2f}",
                     rng.choices(("ok", "odd"), (300, 1))[0],
                     f"{15 + 2 * wave + rng.gauss(0, 0.3):.1f}", f"{33 + rng.random():.1f}",
                     f"{oxygen:.2f}", rng.choices(("ok", "odd"), (60, 1))[0],
                     f"{8.0 + 0.2 * wave + rng.gauss(0, 0.05):.2f}",
                     rng.choices(("ok", "odd"), (90, 1))[0], f"{27 + 5 * wave:.1f}",
                     f"{110 + 30 * rng.random():.0f}", f"{oxygen - 0.4:.2f}",
                     f"{(oxygen - 1.1) * 1000:.0f}", rng.choices(("0.0", "2.4", "11.5"), (8, 1, 1))[0]])
        if rng.random() < 0.7:
            second.append([f"{at:%Y-%m-%d %H:%M}", f"{oxygen + rng.gauss(0, 0.2):.2f}"])
    write_csv(os.path.join(folder, "logger.csv"), head, rows)
    write_csv(os.path.join(folder, "second-logger.csv"), ("Time", "Oxygen"), second)


def write_meter(folder, rng, first, last):
    rows, count, at = [], 88000, first
    while at < last:
        if rng.random() > 0.08:
            rows.append((f"{at:%Y-%m-%d}", f"{at + timedelta(minutes=rng.randrange(390, 500)):%H:%M}",
                         count % 100000))
        count += rng.randrange(480, 720)
        at += timedelta(days=1)
    write_csv(os.path.join(folder, "meter.csv"), ("Date", "Time", "Reading"), rows)
