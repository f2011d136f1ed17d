"""Bounds that go by other readings: a printed table, a straight line, and two built-in formulas."""
import math
from fractions import Fraction as F

import arithmetic
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


def oxygen_mg_per_l(t, s):
    """Benson and Krause (1984), as printed in USGS Office of Water Quality technical memorandum
    2011.03: at 1 atm, fresh water, then salinity."""
    k = t + 273.15
    fresh = -139.34411 + 1.575701e5 / k - 6.642308e7 / k ** 2 + 1.243800e10 / k ** 3 - \
        8.621949e11 / k ** 4
    salt = s * (1.7674e-2 - 10.754 / k + 2140.7 / k ** 2)
    return math.exp(fresh - salt)


def by_saturation(by, values, clause):
    t, s = float(values[0]), float(values[1]) if len(values) > 1 else 0.0
    if not (0 <= t <= 40 and 0 <= s <= 40):
        return None
    mg_per_l = float(by["stated"]) * oxygen_mg_per_l(t, s) / 100
    return units.convert(arithmetic.twelve(mg_per_l), "mg/L", clause.unit)


def emerson(t, s):
    """Emerson et al. (1975), J. Fish. Res. Board Can. 32: 2379-2383, as CCME (2010) prints it."""
    return 0.09018 + 2729.92 / (273.15 + t)


def khoo(t, s):
    """Khoo, Culberson and Bates (1977), J. Solution Chem. 6: 281 (from memory)."""
    ionic = 19.973 * s / (1000 - 1.2005109 * s)
    return 0.0901821 + 2729.92 / (273.2 + t) + (0.1552 - 0.0003142 * t) * ionic


# pKa, least and most temperature, salinity and pH
AMMONIA = {"emerson-273.15": (emerson, 0, 50, 0, 1, 5, 12), "khoo": (khoo, 5, 40, 0, 40, 4, 10)}


def by_un_ionised(by, values, clause):
    ph, t = float(values[0]), float(values[1])
    s = float(values[2]) if len(values) > 2 else 0.0
    pka, t_least, t_most, s_least, s_most, ph_least, ph_most = AMMONIA[by["ammonia form"]]
    if not (t_least <= t <= t_most and s_least <= s <= s_most and ph_least <= ph <= ph_most):
        return None
    share = 1 / (1 + 10 ** (pka(t, s) - ph))
    return arithmetic.twelve(float(by["stated"]) / share)


RULES = {"steps": by_steps, "straight line": by_line, "share of saturation": by_saturation,
         "un-ionised ammonia": by_un_ionised}


def bound_of(by, values, clause, told):
    """The bound, exactly or with 12 digits; None where the rule does not reach."""
    return RULES[by["rule"]](by, values, clause)
