"""Oxygen in water and un-ionised ammonia, typed from the publications and not from the program that
is checked. Outside an equation's range the answer is None."""
import math

KPA_PER_ATM = 101.325


def oxygen_1_atm(t, s):
    """Benson and Krause (1984), as printed in USGS Office of Water Quality technical memorandum
    2011.03: mg/L, fresh water, then salinity."""
    k = t + 273.15
    fresh = -139.34411 + 1.575701e5 / k - 6.642308e7 / k ** 2 + 1.243800e10 / k ** 3 - \
        8.621949e11 / k ** 4
    salt = s * (1.7674e-2 - 10.754 / k + 2140.7 / k ** 2)
    return math.exp(fresh - salt)


def oxygen_full(t, s, atm):
    """mg/L in balance with moist air; the factor for pressure as the same memorandum prints it."""
    if not (0 <= t <= 40 and 0 <= s <= 40 and 0.5 <= atm <= 1.1):
        return None
    k = t + 273.15
    vapour = math.exp(11.8571 - 3840.70 / k - 216961 / k ** 2)
    theta = 0.000975 - 1.426e-5 * t + 6.436e-8 * t ** 2
    factor = (atm - vapour) * (1 - theta * atm) / ((1 - vapour) * (1 - theta))
    return oxygen_1_atm(t, s) * factor


def air_atm(kpa, settings):
    """ISO 2533's standard atmosphere where an altitude is told."""
    if settings["pressure"] == "sea level":
        return 1
    if kpa is None and "altitude" in settings:
        return (1 - 2.25577e-5 * float(settings["altitude"])) ** 5.25588
    return (float(settings["air pressure"]) if kpa is None else kpa) / KPA_PER_ATM


# --- pKa of ammonium -------------------------------------------------------------------------

def emerson(t, s):
    """Emerson et al. (1975), J. Fish. Res. Board Can. 32: 2379-2383, as its tables have it."""
    return 0.09018 + 2729.92 / (273.2 + t)


def emerson_273_15(t, s):
    """The same as CCME (2010) prints it."""
    return 0.09018 + 2729.92 / (273.15 + t)


def bower_bidwell(t, s):
    """Bower and Bidwell (1978), J. Fish. Res. Board Can. 35: 1012-1016, salinity 32 to 40."""
    return 9.35 + 0.0324 * (25 - t)


def khoo(t, s):
    """Khoo, Culberson and Bates (1977), J. Solution Chem. 6: 281 (from memory)."""
    ionic = 19.973 * s / (1000 - 1.2005109 * s)
    return 0.0901821 + 2729.92 / (273.2 + t) + (0.1552 - 0.0003142 * t) * ionic


def epa_1989(t, s):
    """US EPA 440/5-88-004 (1989), after Hampson (1977)."""
    ionic = 19.9273 * s / (1000 - 1.005109 * s)
    k = t + 273.15
    return 9.245 + 0.116 * ionic + 0.0324 * (298 - k) + 0.0415 / k


def clegg_whitfield(t, s):
    """Clegg and Whitfield (1995), Geochim. Cosmochim. Acta 59: 2403-2421, equation 18."""
    k = t + 273.15
    r = math.sqrt(k)
    return (9.244605 - 2729.33 * (1 / 298.15 - 1 / k) +
            (0.04203362 - 11.24742 / k) * s ** 0.25 +
            (-13.6416 + 1.176949 * r - 0.02860785 * k + 545.4834 / k) * s ** 0.5 +
            (-0.1462507 + 0.0090226468 * r - 0.0001471361 * k + 10.5425 / k) * s ** 1.5 +
            (0.004669309 - 0.0001691742 * r - 0.5677934 / k) * s ** 2 +
            (-2.354039e-5 + 0.009698623 / k) * s ** 2.5)


# pKa; least and most temperature, salinity and pH
FORMS = {
    "emerson-273.2": (emerson, 0, 50, 0, 1, 5, 12),
    "emerson-273.15": (emerson_273_15, 0, 50, 0, 1, 5, 12),
    "bower-bidwell": (bower_bidwell, 0, 25, 32, 40, 7.5, 8.5),
    "khoo": (khoo, 5, 40, 0, 40, 4, 10),
    "epa-1989": (epa_1989, 0, 35, 0, 40, 7, 9),
    "clegg-whitfield": (clegg_whitfield, -2, 40, 0, 40, 4, 10),
}


def share(form, ph, t, s):
    """Of total ammonia that is un-ionised."""
    pka, t_least, t_most, s_least, s_most, ph_least, ph_most = FORMS[form]
    if not (t_least <= t <= t_most and s_least <= s <= s_most and ph_least <= ph <= ph_most):
        return None
    return 1 / (1 + 10 ** (pka(t, s) - ph))
