"""The files of the made-up farm: sheets of samples with all that can go wrong in them, a logger
with gaps, a meter, an outlet, and the farm file. All numbers are drawn and mean nothing."""
import csv
import math
import os
from datetime import datetime, timedelta

import farm_derived
from farm_text import FARM, SHEET_KEYS

HEAD = ("Sample", "Rep", "Site", "Date", "Time", "Until date", "Until time", "Analyte", "Sign",
        "Result", "Unit", "LOD", "LOQ", "Method", "By", "Purpose")

def tides():
    """High and low water every 6 h 12 min, with a table that ends before April does."""
    at, high, lines = datetime(2026, 2, 20, 1, 7), True, []
    while at < datetime(2026, 4, 4, 18):
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
    parts = {"TIDES": tides(), "SHEET": SHEET_KEYS, "STATIONS": farm_derived.STATIONS,
             "PARAMETERS": farm_derived.parameters(), "DERIVED": farm_derived.derived(yaml),
             "SOURCES": farm_derived.SOURCES}
    text = FARM
    for name, part in parts.items():
        text = text.replace(name, part)
    with open(path, "w", encoding="utf-8") as file:
        file.write(text)
        file.write("limits:\n")
        for i, limit in enumerate(limits, 1):
            limit = dict({"key": limit["key"]}, **limit)
            limit.update(name=f"Made-up limit {i}", clause=f"row {i}", wording="Made up.")
            limit.setdefault("in force", {"from": "2025-01-01"})
            file.write("  - " + yaml({k: v for k, v in limit.items() if v is not None}) + "\n")


# --- samples ---------------------------------------------------------------------------------

def result_of(rng, middle, share):
    """(sign, digits) about a share of a middle value, sometimes not a plain number."""
    value = middle * share * math.exp(rng.gauss(0, 0.45))
    digits = rng.choice((0, 1, 1, 2))
    sign = rng.choices(("", "<", ">"), (12, 3, 0.4))[0]
    if sign == "<":
        return "<", {"20": ("4", "5.0", "9.0", "10"), "3": ("0.6", "0.75", "1.40", "1.5")}.get(
            f"{middle:.0f}", ("0.1", "0.12", "0.20", "0.25"))[rng.randrange(4)]
    if sign == ">" and middle > 5:
        return ">", "60"
    return "", f"{value:.{digits}f}" if value >= 1 else f"{value:.3f}"


def sheet(rng, first, last, analytes, prefix, sites, each_days):
    rows, number = [], 0
    at = first
    while at < last:
        number += 1
        taken = at + timedelta(minutes=rng.choice((0, 30, 60, 95)) + 60 * rng.randrange(8, 17))
        purpose = rng.choices(PURPOSES, (20, 5, 3, 2, 1, 1))[0]
        for site in sites:
            # A sample is one bottle: taken at one place, by one person, for one purpose.
            bottle = f"{prefix}{number}" + ("" if site == "outlet" else f"-{site}"), site, taken, \
                rng.choice(("Wren", "Ash", "")), purpose
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
        sign, digits = result_of(rng, middle, 0.4 if site == "intake" else 1)
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


def trouble():
    """Rows that are set aside, one of them as its year is to come, and results that are no number:
    of the second outlet, and of a parameter with few limits, so that they touch few of them."""
    head = ["T1", "", "outlet-2", "2026-03-11", "09:00", "", "", "suspended-solids"]
    tail = ["", "", "M1", "Wren", ""]
    return [
        head + ["", "26.0", "furlong"] + tail,
        ["T2", "", "otlet", "2026-03-12", "09:00", "", "", "ammonia", "", "520", "ug/L"] + tail,
        ["T3", "", "outlet-2", "2026-03-13", "09:00", "", "", "total-nitrogen", "", "ND", "mg/L"]
        + tail,
        ["T4", "", "outlet-2", "2026-03-14", "25:00", "", "", "total-nitrogen", "", "2.5", "mg/L"]
        + tail,
        ["T8", "", "outlet-2", "2062-03-19", "09:00", "", "", "ammonia", "", "540", "ug/L"] + tail,
    ]


def solids_times(grabs):
    """When solids were sampled at the outlet in March, as (date, time)."""
    found = sorted({(row[3], row[4]) for row in grabs if row[2] == "outlet" and
                    row[7] == "suspended-solids" and row[3].startswith("2026-03")})
    return [one for one in found if one[1] < "18"]


def intake_trouble(grabs):
    """Rows of the intake that may be nearer to a sample of the outlet than the one on record: a
    unit that is none, and two values of one portion."""
    times = solids_times(grabs)
    tail = ["", "", "M1", "Wren", ""]

    def row(sample, when, value, unit):
        return [sample, "", "intake", *when, "", "", "suspended-solids", "", value, unit] + tail
    return [row("T5", times[2], "9.0", "furlong"), row("T6", times[5], "1.5", "mg/L"),
            row("T7", times[6], "4.0", "mg/L"), row("T6", times[5], "19", "mg/L")]


def write_beside(folder, grabs):
    """Rows of what conditions and bounds go by, each set aside: places and units that are none, and
    a number that is not one."""
    times = solids_times(grabs)
    write_csv(os.path.join(folder, "beside-sheet.csv"), FLOW_HEAD, [
        ("outelt", "temperature", *times[3], "18.5", "degC"),
        ("outlet", "ph", *times[2], "7.1", "pf"),
        ("gauge", "rain", "2026-03-09", "08:00", "12.0", "mn"),
        ("guage", "rain", "2026-03-12", "08:00", "12.0", "mm"),
        ("gauge", "rain", "2026-03-20", "08:00", "broken", "mm"),
    ])


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
    write_csv(os.path.join(folder, "grabs.csv"), HEAD, grabs + trouble() + intake_trouble(grabs))
    other = sheet(rng, first, last, analytes[:1], "H", ("outlet", "pond", "intake"), (6, 7))
    write_csv(os.path.join(folder, "other-grabs.csv"), HEAD, other)
    composites = sheet(rng, first, last, analytes[:2], "C", ("outlet",), (5, 6))
    write_csv(os.path.join(folder, "composites.csv"), HEAD, composites)
    write_looks(folder, rng, first, last)
    write_logger(folder, rng, first, last)
    farm_derived.write(folder, rng, first, last)
    write_flow_sheet(folder, write_meter(folder, rng, first, last))
    write_beside(folder, grabs)
    write_csv(os.path.join(folder, "outlet-sheet.csv"), ("Date", "Time", "Outlet"),
              [("2026-02-16", "06:00", "opened"), ("2026-02-27", "18:30", "closed"),
               ("2026-03-02", "07:10", "opened"), ("2026-03-17", "16:00", "closed"),
               ("2026-03-19", "09:00", "opened"), ("2026-03-29", "12:00", "closed"),
               ("2026-03-30", "05:00", "opened"), ("2026-04-03", "11:00", "closed")])


def write_running(folder, rng, now):
    """The twelve days up to now, so that periods that still run have something in them."""
    os.makedirs(folder, exist_ok=True)
    last = now.replace(minute=0, second=0, microsecond=0)
    first = last - timedelta(days=12)
    analytes = (("suspended-solids", "mg/L", 20.0), ("total-nitrogen", "mg/L", 3.0))
    write_csv(os.path.join(folder, "grabs.csv"), HEAD,
              [row for row in sheet(rng, first.replace(hour=0), last, analytes, "R",
                                    ("outlet", "intake"), (1, 2))
               if f"{row[3]} {row[4]}" < f"{last:%Y-%m-%d %H:%M}"])
    write_logger(folder, rng, first, last)
    os.remove(os.path.join(folder, "second-logger.csv"))
    write_csv(os.path.join(folder, "flow-by-hand.csv"), FLOW_HEAD,
              [("intake", "flow", f"{last - timedelta(days=1):%Y-%m-%d}", "10:10", "much", "m3/h")])
    write_csv(os.path.join(folder, "outlet-sheet.csv"), ("Date", "Time", "Outlet"),
              [(f"{first:%Y-%m-%d}", "06:00", "opened"),
               (f"{last - timedelta(days=3):%Y-%m-%d}", "08:00", "opned"),
               (f"{last - timedelta(days=2):%Y-%m-%d}", "08:00", "opened")])


def write_looks(folder, rng, first, last):
    """Whether scum was seen at the outlet."""
    rows, at = [], first
    while at < last:
        at += timedelta(hours=rng.randrange(18, 31))
        rows.append((f"{at:%Y-%m-%d}", f"{at:%H:%M}", rng.choices(("no", "yes"), (14, 1))[0]))
    write_csv(os.path.join(folder, "looks.csv"), ("Date", "Time", "Scum"), rows)


def write_logger(folder, rng, first, last):
    head = ("Time", "Flow", "Flow flag", "Temp", "Salinity", "Oxygen", "Oxygen flag", "pH",
            "pH flag", "Intake flow", "Flow 2", "Ring", "Centre", "Rain")
    rows, second = [], []
    at, hour = first, 0
    while at < last:
        hour += 1.5
        at += timedelta(minutes=90)
        wave = math.sin(hour / 24 * 2 * math.pi)
        if datetime(2026, 2, 24, 2) < at < datetime(2026, 2, 24, 9) or rng.random() < 0.01:
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
        if datetime(2026, 3, 8, 2) < at < datetime(2026, 3, 8, 9):
            # A gap of all but the flows, for that would leave few loads to be judged.
            rows[-1] = [cell if "low" in name or name == "Time" else ""
                        for name, cell in zip(head, rows[-1])]
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
    # One day is told twice, in two ways: both rows are set aside. (With one row between them they
    # stay in one file where every second one goes into another.)
    told_twice = rows[24]
    rows.insert(26, told_twice[:2] + ((told_twice[2] + 90) % 100000,))
    write_csv(os.path.join(folder, "meter.csv"), ("Date", "Time", "Reading"), rows)
    return rows


FLOW_HEAD = ("Site", "Analyte", "Date", "Time", "Result", "Unit")


def write_flow_sheet(folder, meter):
    """Rows of flows and of the meter of which each is set aside: a unit that is none, numbers that
    contradict each other, none at all, and a place, a kind or a time that can't be read."""
    count = meter[38][2] + 60
    write_csv(os.path.join(folder, "flow-sheet.csv"), FLOW_HEAD, [
        ("outlet-2", "flow", "2026-03-05", "10:10", "0.5", "L/mni"),
        ("outlet-2", "flow", "2026-03-06", "10:10", "100", "L/min"),
        ("outlet-2", "flow", "2026-03-07", "10:10", "broken", "L/min"),
        ("outlet-2", "flow", "2026-03-06", "10:10", "400", "L/min"),
        ("outelt-2", "flow", "2026-03-10", "10:10", "300", "L/min"),
        ("outlet-2", "flwo", "2026-03-12", "10:10", "800", "L/min"),
        ("outlet-2", "flwo", "2026-03-12", "10:40", "10", "L/min"),
        ("outlet-2", "flwo", "2026-03-13", "10:10", "0", "L/min"),
        ("outlet-2", "flow", "2026-03-14", "25:10", "150", "L/min"),
        ("outlet", "discharge-meter", meter[38][0], "12:00", count, "m4"),
    ])
