"""Units, each as a factor to one unit of its kind. The factors are typed here from their
definitions (SI; the international foot and inch of 1959; the US gallon of 231 cubic inches), not
taken from the program that is checked."""
from fractions import Fraction as F

INCH_M = F(254, 10000)
FOOT_M = 12 * INCH_M
GALLON_US_M3 = 231 * INCH_M ** 3
GALLON_IMP_M3 = F(454609, 10 ** 8)
POUND_KG = F(45359237, 10 ** 8)
DAY_S = 86400

# unit: (kind, factor, added before the factor)
UNITS = {
    "mg/L": ("mass in volume", F(1), 0),
    "g/m3": ("mass in volume", F(1), 0),
    "ug/L": ("mass in volume", F(1, 1000), 0),
    "ng/L": ("mass in volume", F(1, 10 ** 6), 0),
    "mg/m3": ("mass in volume", F(1, 1000), 0),
    "g/L": ("mass in volume", F(1000), 0),
    "kg/m3": ("mass in volume", F(1000), 0),
    "m3": ("volume", F(1), 0),
    "L": ("volume", F(1, 1000), 0),
    "kL": ("volume", F(1), 0),
    "ML": ("volume", F(1000), 0),
    "gal (US)": ("volume", GALLON_US_M3, 0),
    "gal (imp)": ("volume", GALLON_IMP_M3, 0),
    "ft3": ("volume", FOOT_M ** 3, 0),
    "m3/s": ("flow", F(1), 0),
    "m3/h": ("flow", F(1, 3600), 0),
    "m3/day": ("flow", F(1, DAY_S), 0),
    "L/s": ("flow", F(1, 1000), 0),
    "L/min": ("flow", F(1, 60000), 0),
    "L/h": ("flow", F(1, 3600000), 0),
    "L/day": ("flow", F(1, 1000 * DAY_S), 0),
    "ML/day": ("flow", F(1000, DAY_S), 0),
    "MGD": ("flow", 10 ** 6 * GALLON_US_M3 / DAY_S, 0),
    "gpm": ("flow", GALLON_US_M3 / 60, 0),
    "gal (US)/day": ("flow", GALLON_US_M3 / DAY_S, 0),
    "gal (imp)/min": ("flow", GALLON_IMP_M3 / 60, 0),
    "cfs": ("flow", FOOT_M ** 3, 0),
    "degC": ("temperature", F(1), 0),
    "degF": ("temperature", F(5, 9), -32),
    "K": ("temperature", F(1), F(-27315, 100)),
    "kg/day": ("load", F(1), 0),
    "g/day": ("load", F(1, 1000), 0),
    "t/day": ("load", F(1000), 0),
    "lb/day": ("load", POUND_KG, 0),
    "kg": ("mass", F(1), 0),
    "g": ("mass", F(1, 1000), 0),
    "t": ("mass", F(1000), 0),
    "lb": ("mass", POUND_KG, 0),
    "mm": ("length", F(1), 0),
    "cm": ("length", F(10), 0),
    "m": ("length", F(1000), 0),
    "in": ("length", 1000 * INCH_M, 0),
    "ft": ("length", 1000 * FOOT_M, 0),
    "mS/cm": ("conductivity", F(1), 0),
    "uS/cm": ("conductivity", F(1, 1000), 0),
    "S/m": ("conductivity", F(10), 0),
    "kPa": ("pressure", F(1), 0),
    "hPa": ("pressure", F(1, 10), 0),
    "MPN/100 mL": ("MPN", F(1), 0),
    "MPN/mL": ("MPN", F(100), 0),
    "MPN/L": ("MPN", F(1, 10), 0),
    "CFU/100 mL": ("CFU", F(1), 0),
    "CFU/mL": ("CFU", F(100), 0),
    "CFU/L": ("CFU", F(1, 10), 0),
}


def kind_of(unit):
    return UNITS[unit][0] if unit in UNITS else "only " + str(unit)


def convert(value, unit, to):
    """The value in another unit; None where the two are not of one kind."""
    if unit == to:
        return value
    if unit not in UNITS or to not in UNITS or kind_of(unit) != kind_of(to):
        return None
    _, factor, added = UNITS[unit]
    _, to_factor, to_added = UNITS[to]
    return (value + added) * factor / to_factor - to_added


def step(digit, unit, to):
    """One step of the last reported digit: a difference, so that nothing is added."""
    if unit == to:
        return digit
    if convert(digit, unit, to) is None:
        return None
    return digit * UNITS[unit][1] / UNITS[to][1]


def volume_per_m3(unit):
    """What 1 m3 in a day is in a unit of volume or of flow."""
    kind, factor, _ = UNITS[unit]
    return 1 / (factor * DAY_S) if kind == "flow" else 1 / factor


def mass_per_kg(unit):
    """What 1 kg in a day is in a unit of mass or of load."""
    return 1 / UNITS[unit][1]
