"""Bounds that go by other readings: a printed table, a straight line, and two built-in formulas."""
from fractions import Fraction as F

import arithmetic
import oxygen_ammonia
import units

FIXED_UNITS = {"un-ionised ammonia": ("pH", "degC", "PSU"),
               "share of saturation": ("degC", "PSU")}


def units_of(by):
    return FIXED_UNITS.get(by["rule"], [one["unit"] for one in by["readings"]])


def by_steps(by, values, clause):
    for step in by["steps"]:
        if "up to" not in step or values[0] <= F(step["up to"]):
            return F(step["bound"])
    return None


def by_line(by, values, clause):
    return F(by.get("offset", "0")) + F(by["factor"]) * values[0]


def by_saturation(by, values, clause):
    t, s = float(values[0]), float(values[1]) if len(values) > 1 else 0.0
    if not (0 <= t <= 40 and 0 <= s <= 40):
        return None
    mg_per_l = float(by["stated"]) * oxygen_ammonia.oxygen_1_atm(t, s) / 100
    return units.convert(arithmetic.twelve(mg_per_l), "mg/L", clause.unit)


def by_un_ionised(by, values, clause):
    ph, t = float(values[0]), float(values[1])
    s = float(values[2]) if len(values) > 2 else 0.0
    share = oxygen_ammonia.share(by["ammonia form"], ph, t, s)
    return None if share is None else arithmetic.twelve(float(by["stated"]) / share)


RULES = {"steps": by_steps, "straight line": by_line, "share of saturation": by_saturation,
         "un-ionised ammonia": by_un_ionised}


def bound_of(by, values, clause, told):
    """The bound, exactly or with 12 digits; None where the rule does not reach."""
    return RULES[by["rule"]](by, values, clause)
