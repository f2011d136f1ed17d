"""What the made-up farm works out from other readings: every equation that has no table of its own
for the purpose but TEOS-10's, which is held against another library elsewhere."""
import csv
import math
import os
from datetime import timedelta

STATIONS = """  - {key: brook, name: Brook, kind: other}
  - {key: spring, name: Spring, kind: other}
  - {key: weir, name: Weir, kind: other}
  - {key: flume, name: Flume, kind: other}
  - {key: tailrace, name: Water below the flume, kind: other}
  - {key: drain, name: Drain, kind: other}
"""

WATER = ({"parameter": "conductivity"}, {"parameter": "temperature"})
OXYGEN = ({"parameter": "oxygen"}, {"parameter": "temperature"})
SALINITY = {"parameter": "salinity"}
AMMONIA = ({"parameter": "ammonia"}, {"parameter": "ph"}, {"parameter": "temperature"})
LEVEL = ({"parameter": "level"},)


def at(station, **reading):
    return dict({key.rstrip("_"): value for key, value in reading.items()}, station=station)


# (station, parameter made, unit, basis, equation, from, within, settings, a bound on the mean)
DERIVED = [
    ("intake", "salinity", "PSU", None, "practical salinity", WATER, "10 minutes",
     {"depth": 0}, "33"),
    ("brook", "salinity", "PSU", None, "practical salinity with Hill", WATER, "10 minutes",
     {"depth": 2}, "2"),
    ("brook", "salinity-hill", "PSU", None, "practical salinity with Hill as published", WATER,
     "10 minutes", {"depth": 0}, "2.4"),
    ("brook", "conductance-line", "mS/cm", None, "specific conductance straight line", WATER,
     "10 minutes", {"alpha": 0.0191}, "4.2"),
    ("spring", "conductance-natural", "mS/cm", None, "specific conductance natural water", WATER,
     "10 minutes", {}, "0.9"),
    ("intake", "conductance-sea", "mS/cm", None, "specific conductance sea water", WATER,
     "10 minutes", {"depth": 1}, "50"),
    ("intake", "density", "kg/m3", None, "density EOS-80", (SALINITY, {"parameter": "temperature"}),
     "10 minutes", {"depth": 3}, "1024.8"),
    ("outlet", "oxygen-saturation", "%", None, "oxygen saturation",
     OXYGEN + (SALINITY, at("gauge", parameter="air-pressure")), "1 hour", {"pressure": "local"},
     "97.5"),
    ("outlet", "saturation-sea", "%", None, "oxygen saturation", OXYGEN, "1 hour",
     {"pressure": "sea level", "salinity": 33}, "96"),
    ("outlet", "saturation-high", "%", None, "oxygen saturation", OXYGEN + (SALINITY,), "1 hour",
     {"pressure": "local", "altitude": 420}, "102"),
    ("outlet", "oxygen-again", "mg/L", None, "oxygen from percent",
     ({"parameter": "oxygen-saturation"}, {"parameter": "temperature"}), "1 hour",
     {"pressure": "sea level", "salinity": 33.5}, "8"),
    ("outlet", "oxygen-full", "mg/L", None, "oxygen at saturation",
     ({"parameter": "temperature"}, SALINITY), "1 hour",
     {"pressure": "local", "air pressure": 99.8}, "8.2"),
    ("outlet", "free-khoo", "ug/L", "as N", "un-ionised ammonia", AMMONIA + (SALINITY,), "3 hours",
     {"ammonia form": "khoo", "pH scale": "NBS"}, "14"),
    ("outlet", "free-epa", "mg/L", "as NH3", "un-ionised ammonia", AMMONIA + (SALINITY,),
     "3 hours", {"ammonia form": "epa-1989", "pH scale": "NBS"}, "0.015"),
    ("outlet", "free-bower", "mg/L", "as N", "un-ionised ammonia", AMMONIA, "3 hours",
     {"ammonia form": "bower-bidwell", "pH scale": "NBS", "salinity": 33}, "0.013"),
    ("outlet", "free-clegg", "mg/L", "as NH3", "un-ionised ammonia", AMMONIA + (SALINITY,),
     "3 hours", {"ammonia form": "clegg-whitfield", "pH scale": "total"}, "0.016"),
    ("outlet", "free-table", "mg/L", "as N", "un-ionised ammonia", AMMONIA, "3 hours",
     {"ammonia form": "emerson-273.2", "pH scale": "NBS", "salinity": 0.4}, "0.016"),
    ("outlet", "free-print", "mg/L", "as N", "un-ionised ammonia", AMMONIA, "3 hours",
     {"ammonia form": "emerson-273.15", "pH scale": "NBS", "salinity": 0.4}, "0.016"),
    ("outlet", "ammonium", "mg/L", "as NH4", "nutrient basis", ({"parameter": "ammonia"},),
     "0 minutes", {}, "0.7"),
    ("weir", "flow", "L/s", None, "v-notch-90-cone", LEVEL, "0 minutes", {"zero at": 0.12}, "25"),
    ("weir", "flow-shen", "L/s", None, "v-notch-kindsvater-shen", LEVEL, "0 minutes",
     {"zero at": 0.12, "notch angle": 90}, "25"),
    ("weir", "flow-shen-60", "gpm", None, "v-notch-kindsvater-shen", LEVEL, "0 minutes",
     {"zero at": 0.12, "notch angle": 60}, "200"),
    ("weir", "flow-shen-rated", "L/s", None, "v-notch-kindsvater-shen", LEVEL, "0 minutes",
     {"zero at": 0.12, "notch angle": 40, "coefficient": 0.581, "head added": 0.0018}, "9"),
    ("weir", "flow-notch-iso", "m3/h", None, "v-notch-iso-1438", LEVEL, "0 minutes",
     {"zero at": 0.12, "notch angle": 90}, "90"),
    ("weir", "flow-60", "L/s", None, "v-notch-60-table", LEVEL, "0 minutes", {"zero at": 0.12},
     "15"),
    ("weir", "flow-45", "L/s", None, "v-notch-45-table", LEVEL, "0 minutes", {"zero at": 0.12},
     "10"),
    ("weir", "flow-contracted", "L/s", None, "rectangular-contracted", LEVEL, "0 minutes",
     {"zero at": 0.12, "crest": 0.8}, "150"),
    ("weir", "flow-suppressed", "L/s", None, "rectangular-suppressed", LEVEL, "0 minutes",
     {"zero at": 0.12, "crest": 0.8}, "150"),
    ("weir", "flow-height", "L/s", None, "rectangular-crest-height", LEVEL, "0 minutes",
     {"zero at": 0.12, "crest": 0.8, "crest height": 0.5}, "150"),
    ("weir", "flow-iso", "L/s", None, "rectangular-iso-1438", LEVEL, "0 minutes",
     {"zero at": 0.12, "crest": 0.6, "crest height": 0.3}, "110"),
    ("weir", "flow-cipolletti", "m3/day", None, "cipolletti", LEVEL, "0 minutes",
     {"zero at": 0.12, "crest": 0.9}, "14000"),
    ("flume", "flow", "m3/h", None, "parshall-si",
     LEVEL + (at("tailrace", parameter="level", as_="level downstream"),), "10 minutes",
     {"zero at": 0, "throat": "6 in"}, "90"),
    ("flume", "flow-feet", "L/s", None, "parshall-english", LEVEL, "10 minutes",
     {"zero at": 0, "throat": "6 in"}, "25"),
    ("flume", "flow-2-ft", "L/s", None, "parshall-english", LEVEL, "10 minutes",
     {"zero at": 0, "throat": "2 ft"}, "90"),
    ("outlet", "solids-load", "kg/day", None, "load",
     ({"parameter": "suspended-solids", "as": "concentration"}, at("weir", parameter="flow")),
     "1 hour", {}, "50"),
    ("outlet", "solids-net", "kg/day", None, "net load",
     ({"parameter": "suspended-solids", "as": "concentration"}, {"parameter": "flow"},
      at("intake", parameter="suspended-solids", as_="concentration before"),
      at("intake", parameter="flow", as_="flow before")), "2 hours", {}, "10"),
    ("outlet", "solids-gone", "%", None, "percent removal",
     ({"parameter": "suspended-solids", "as": "after"},
      at("outlet-2", parameter="suspended-solids", as_="before")), "2 hours", {}, "5"),
    ("outlet", "solids-more", "mg/L", None, "difference",
     ({"parameter": "suspended-solids", "as": "after"},
      at("intake", parameter="suspended-solids", as_="before")), "2 hours", {}, "12"),
    ("outlet", "temperature-rise", "degC rise", None, "temperature rise",
     ({"parameter": "temperature", "as": "after"},
      at("intake", parameter="temperature", as_="before")), "1 hour", {}, "3"),
    ("drain", "volume", "m3", None, "volume of a span", ({"parameter": "flow"},), "0 minutes", {},
     "150"),
]
BUILT_IN = ("salinity", "oxygen-saturation", "flow", "temperature-rise", "volume")

SOURCES = """  - key: sonde
    name: A second logger
    shape: wide
    separator: comma
    decimal mark: point
    clock: +00:00
    time: {columns: Time, format: "YYYY-MM-DD hh:mm"}
    station: weir
    columns:
      - {header: Level, parameter: level, unit: cm, flag: Level flag}
      - {header: Flume, parameter: level, unit: m, station: flume}
      - {header: Below, parameter: level, unit: cm, station: tailrace}
      - {header: Sea mS, parameter: conductivity, unit: mS/cm, station: intake}
      - {header: Sea C, parameter: temperature, unit: degC, station: intake}
      - {header: Brook uS, parameter: conductivity, unit: uS/cm, station: brook}
      - {header: Brook C, parameter: temperature, unit: degC, station: brook}
      - {header: Spring uS, parameter: conductivity, unit: uS/cm, station: spring}
      - {header: Spring C, parameter: temperature, unit: degC, station: spring}
      - {header: Air, parameter: air-pressure, unit: hPa, station: gauge}
    flag words: {ok: use, odd: doubt}
    kind: probe
    instrument: sonde
  - key: drain-sheet
    name: What ran through the drain
    shape: long
    separator: comma
    decimal mark: point
    clock: local
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm"}
    until: {columns: [Until date, Until time]}
    station: drain
    parameter: flow
    value column: Flow
    unit: m3/h
    kind: by hand
"""


SCUM = "  - {key: scum, name: Scum, kind: state, states: [seen, not seen]}\n"


def parameters():
    lines = []
    for _, parameter, unit, basis, *_ in DERIVED:
        if parameter not in BUILT_IN:
            words = f", basis: {basis}" if basis else ""
            lines.append(f"  - {{key: {parameter}, name: Made up, kind: number, "
                         f"unit: \"{unit}\"{words}}}\n")
    return "parameters:\n" + SCUM + "".join(lines)


def derived(yaml):
    lines = []
    for station, parameter, unit, _, equation, from_, within, settings, _ in DERIVED:
        one = {"key": f"{station}-{parameter}", "station": station, "parameter": parameter,
               "unit": unit, "equation": equation, "from": from_, "within": within}
        if settings:
            one["settings"] = settings
        lines.append("  - " + yaml(one) + "\n")
    return "derived:\n" + "".join(lines)


def limits():
    """Of each: the mean of the month, and each reading by itself."""
    mean = {"licence": "invented", "each day": "every reading", "statistic": "mean",
            "period": "month", "less-thans": "half", "greater-thans": "step above",
            "rounding": "none", "samples": "derived"}
    for number, (station, parameter, unit, *_, bound) in enumerate(DERIVED):
        of = dict(mean, station=station, parameter=parameter, unit=unit)
        if station == "outlet":
            of["only while discharging"] = "yes"
        yield dict(of, **{"not above": bound})
        single = dict(of, statistic="value", period="each sample", rounding="half up to 3 figures",
                      **{("not above", "below")[number % 2]: bound})
        for key in ("less-thans", "greater-thans"):
            single.pop(key)
        yield single
    water = {"station": "weir", "parameter": "flow"}
    total = dict(mean, unit="m3", rounding="half up to 0 decimals",
                 **{"each day": "total", "reading stands": "3 hours"}, **water)
    for key in ("less-thans", "greater-thans"):
        total.pop(key)
    yield dict(total, statistic="sum", **{"not above": "60000"})
    yield dict(total, statistic="value", period="day", **{"not above": "2300"})
    load = dict(mean, station="outlet", parameter="suspended-solids", unit="kg/day",
                samples="grab", flow=water,
                **{"only while discharging": "yes", "each day": "load",
                   "reading stands": "3 hours", "days without a result": "left out"})
    yield dict(load, **{"not above": "45"})
    yield dict(load, **{"not above": "45", "load water": "while sampling"})


# --- the files -------------------------------------------------------------------------------

def write(folder, rng, first, last):
    head = ("Time", "Level", "Level flag", "Flume", "Below", "Sea mS", "Sea C", "Brook uS",
            "Brook C", "Spring uS", "Spring C", "Air")
    rows, when, hour = [], first, 0
    while when < last:
        hour += 2
        when += timedelta(hours=2)
        if rng.random() < 0.02:
            continue
        wave = math.sin(hour / 24 * 2 * math.pi)
        salt = rng.choices((0, -37), (80, 1))[0]  # nearly fresh: outside an equation's range
        rows.append([f"{when:%Y-%m-%d %H:%M}", f"{29 + 5 * wave + rng.gauss(0, 2):.1f}",
                     rng.choices(("ok", "odd"), (60, 1))[0], f"{0.17 + 0.03 * rng.random():.3f}",
                     f"{rng.choices((6, 11), (30, 1))[0] + rng.random():.1f}",
                     f"{41.2 + salt + rng.gauss(0, 0.3):.2f}", f"{13 + wave:.1f}",
                     f"{3300 + 500 * wave + rng.gauss(0, 150):.0f}",
                     f"{rng.choices((9, 39), (80, 1))[0] + wave:.1f}",
                     f"{640 + 30 * wave:.0f}", f"{rng.choices((9, 37), (80, 1))[0] + wave:.1f}",
                     f"{1006 + 9 * rng.random():.1f}"])
    with open(os.path.join(folder, "sonde.csv"), "w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows([head] + rows)
    rows, when = [], first
    while when < last:
        end = when + timedelta(minutes=60 * rng.randrange(4, 11) + 30)
        rows.append([f"{when:%Y-%m-%d}", "05:00", f"{when + timedelta(hours=5):%Y-%m-%d}",
                     f"{end + timedelta(hours=5):%H:%M}", f"{18 + 6 * rng.random():.2f}"])
        when += timedelta(days=1)
    with open(os.path.join(folder, "drain-sheet.csv"), "w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows(
            [("Date", "Time", "Until date", "Until time", "Flow")] + rows)
