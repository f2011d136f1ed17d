"""Readings that were worked out from others: worked out again from what went in, down to what was
stored."""
from fractions import Fraction as F

import arithmetic
import oxygen_ammonia
import sea_water
import units
import weirs
from times import instant

DAY_US = 86400 * 10 ** 6

# IUPAC atomic masses of 1993 to 2007, for each mole of N.
MASS_N, MASS_H, MASS_O = 14.0067, 1.00794, 15.9994
PER_MOLE = {"as N": MASS_N, "as NH3": MASS_N + 3 * MASS_H, "as NH4": MASS_N + 4 * MASS_H,
            "as NO3": MASS_N + 3 * MASS_O, "as NO2": MASS_N + 2 * MASS_O}


# Powers and logarithms come from other libraries, and each is cut to 12 digits.
NEAR = F(1, 10 ** 9)


class Disagrees(Exception):
    """What was worked out is not what is told."""


class Call:
    """One working out: what went in by its name in the equation, and what else is told."""

    def __init__(self, by, values, span_us):
        self.values = values
        self.settings = by["settings"]
        self.span_us = span_us
        self.basis = by.get("from_basis"), by.get("made_basis")

    def number(self, name, instead=None):
        if name in self.values:
            return float(self.values[name])
        return float(self.settings[instead or name]) if (instead or name) in self.settings else None

    def exact(self, name):
        return self.values.get(name)

    @property
    def depth(self):
        return float(self.settings["depth"])

    def basis_factor(self):
        from_, to = self.basis
        return PER_MOLE[to] / PER_MOLE[from_]


def salinity(form):
    return lambda call: sea_water.salinity(call.number("conductivity"),
                                           call.number("temperature"), call.depth, form)


def full(call):
    atm = oxygen_ammonia.air_atm(call.exact("air pressure") and float(call.exact("air pressure")),
                                 call.settings)
    return oxygen_ammonia.oxygen_full(call.number("temperature"), call.number("salinity"), atm)


def of_full(make):
    def work_out(call):
        mg_per_l = full(call)
        return None if mg_per_l is None else make(call, mg_per_l)
    return work_out


def un_ionised(call):
    part = oxygen_ammonia.share(call.settings["ammonia form"], call.number("pH"),
                                call.number("temperature"), call.number("salinity"))
    return None if part is None else call.number("ammonia") * part * call.basis_factor()


def weir(word):
    return lambda call: weirs.weir_flow(word, call.number("level"), call.settings)


def flume(word):
    return lambda call: weirs.flume_flow(
        word, call.number("level"),
        call.number("level downstream") if "level downstream" in call.values else None,
        call.settings)


def net_load(call):
    before = call.exact("flow before") if "flow before" in call.values else call.exact("flow")
    return (call.exact("concentration") * call.exact("flow") -
            call.exact("concentration before") * before) / 1000


def removal(call):
    before = call.exact("before")
    return None if before <= 0 else 100 * (before - call.exact("after")) / before


def difference(call):
    return call.exact("after") - call.exact("before")


WATER = {"conductivity": "mS/cm", "temperature": "degC"}
DENSITY = {"salinity": "PSU", "temperature": "degC"}
OXYGEN = {"oxygen": "mg/L", "percent": "%", "temperature": "degC", "salinity": "PSU",
          "air pressure": "kPa"}
AMMONIA = {"ammonia": "mg/L", "pH": "pH", "temperature": "degC", "salinity": "PSU"}
LEVELS = {"level": "m", "level downstream": "m"}
LOADS = {"concentration": "mg/L", "concentration before": "mg/L", "flow": "m3/day",
         "flow before": "m3/day"}

# What each equation takes its inputs in, and how it goes; None: as they are told.
EQUATIONS = {
    "practical salinity": (WATER, salinity("plain")),
    "practical salinity with Hill": (WATER, salinity("continuous")),
    "practical salinity with Hill as published": (WATER, salinity("published")),
    "specific conductance straight line": (WATER, lambda call: sea_water.conductance_line(
        call.number("conductivity"), call.number("temperature"), call.number("alpha"))),
    "specific conductance natural water": (WATER, lambda call: sea_water.conductance_natural(
        call.number("conductivity"), call.number("temperature"))),
    "specific conductance sea water": (WATER, lambda call: sea_water.conductance_sea(
        call.number("conductivity"), call.number("temperature"), call.depth)),
    "density EOS-80": (DENSITY, lambda call: sea_water.density(
        call.number("salinity"), call.number("temperature"), call.depth)),
    "oxygen saturation": (OXYGEN, of_full(
        lambda call, mg_per_l: 100 * call.number("oxygen") / mg_per_l)),
    "oxygen from percent": (OXYGEN, of_full(
        lambda call, mg_per_l: call.number("percent") / 100 * mg_per_l)),
    "oxygen at saturation": (OXYGEN, full),
    "un-ionised ammonia": (AMMONIA, un_ionised),
    "nutrient basis": ({"nutrient": "mg/L"},
                       lambda call: call.number("nutrient") * call.basis_factor()),
    "load": (LOADS, lambda call: call.exact("concentration") * call.exact("flow") / 1000),
    "net load": (LOADS, net_load),
    "percent removal": ({}, removal),
    "difference": ({}, difference),
    "temperature rise": ({"after": "degC", "before": "degC"}, difference),
    "volume of a span": (LOADS, lambda call: None if call.span_us <= 0 else
                         call.exact("flow") * F(call.span_us, DAY_US)),
}
EQUATIONS.update({word: (LEVELS, weir(word)) for word in weirs.WEIRS})
EQUATIONS.update({word: (LEVELS, flume(word)) for word in ("parshall-english", "parshall-si")})

# Inputs by which the result falls while they rise. Of temperature, salinity and air pressure, and
# of the water of a net load, it goes both ways over the range.
FALLS = {("percent removal", "after"), ("difference", "before"), ("temperature rise", "before"),
         ("net load", "concentration before"), ("net load", "flow before")}
NOT_ONE_WAY = {"temperature", "salinity", "air pressure"}
TURNED = {"<": ">", ">": "<"}


def bounds(word, input_):
    """The sign of what comes out, of one that goes in; None: it tells nothing."""
    sign, name = input_["qualifier"], input_["as"]
    if sign == "=":
        return "="
    if name in NOT_ONE_WAY or (word, name) == ("net load", "flow"):
        return None
    return TURNED[sign] if (word, name) in FALLS else sign


def value_of(input_):
    """Of what goes in, as it was reported, or as it is worked out itself."""
    if "derived_by" in input_:
        check(input_["derived_by"], input_)
    return F(input_["reported"])


def work_out(by, told):
    """(sign, value in the unit `told` has, in 12 figures), or None where there is no answer."""
    taken_in, equation = EQUATIONS[by["equation"]]
    values, signs = {}, set()
    # Differences are taken in the unit that they come out in, shares in any.
    unit_of_all = by["unit"] if by["equation"] == "difference" else told["inputs"][0]["unit"]
    for one in told["inputs"]:
        unit = taken_in.get(one["as"], unit_of_all)
        values[one["as"]] = units.convert(value_of(one), one["unit"], unit)
        signs.add(bounds(by["equation"], one))
    signs.discard("=")
    if None in signs or len(signs) > 1:
        return None
    start, end = instant(told.get("at")), instant(told.get("until", told.get("at")))
    answer = equation(Call(by, values, end - start))
    if answer is None:
        return None
    exact = answer if isinstance(answer, F) else arithmetic.twelve(answer)
    made_in = by["unit"] or unit_of_all
    exact = units.convert(exact, made_in, told.get("unit", made_in))
    return (signs.pop() if signs else "="), \
        arithmetic.round_by(exact, ("half up", "figures", 12))


def check(by, told):
    """Raises where the reading told is not what comes out."""
    found = work_out(by, told)
    value = F(told["reported"])
    if not found or found[0] != told["qualifier"] or abs(found[1] - value) > NEAR * abs(value):
        raise Disagrees(f"{by['key']} at {told['at']}: {told['qualifier']}{told['reported']} told, "
                        f"{found and (found[0], float(found[1]))} worked out again")
    doubted = any("doubt" in one for one in told["inputs"])
    if doubted and "doubt" not in told and "as" not in told:
        raise Disagrees(f"{by['key']} at {told['at']}: what went in is in doubt, and it is not")


def check_not_given(row):
    """What was not given, with all that it takes, has no answer here either."""
    by = row.get("derived_by")
    if not by or "inputs" not in row or row["reason"].find(" not given: no ") >= 0:
        return
    if any(one["qualifier"] == "n" for one in row["inputs"]):
        return
    if "no number that can be used" in row["reason"]:
        return
    found = work_out(by, row)
    if found is not None:
        raise Disagrees(f"{by['key']} at {row['at']}: not given ({row['reason']}), and "
                        f"{float(found[1])} worked out again")
