"""Salinity, conductance and density of water, typed from the publications and not from the program
that is checked. A range is the equation's own; outside it the answer is None."""
import math

# UNESCO Technical Papers in Marine Science 44 (1983), pages 6 to 14: PSS-78.
A = (0.0080, -0.1692, 25.3851, 14.0941, -7.0261, 2.7081)
B = (0.0005, -0.0056, -0.0066, -0.0375, 0.0636, -0.0144)
C = (0.6766097, 2.00564e-2, 1.104259e-4, -6.9698e-7, 1.0031e-9)
E = (2.070e-5, -6.370e-10, 3.989e-15)
D = (3.426e-2, 4.464e-4, 4.215e-1, -3.107e-3)
K = 0.0162
STANDARD_MS_PER_CM = 42.914  # Culkin and Smith 1980: salinity 35, t68 = 15, at the surface


def polynomial(coefficients, x):
    return sum(c * x ** i for i, c in enumerate(coefficients))


def tail(t):
    return (t - 15) / (1 + K * (t - 15))


def of_ratio(rt, t):
    """Salinity of Rt at t68."""
    root = math.sqrt(rt)
    return polynomial(A, root) + tail(t) * polynomial(B, root)


def rt_of(conductivity, t68, dbar):
    ratio = conductivity / STANDARD_MS_PER_CM
    pressed = 1 + dbar * polynomial(E, dbar) / \
        (1 + D[0] * t68 + D[1] * t68 ** 2 + (D[2] + D[3] * t68) * ratio)
    return ratio / (pressed * polynomial(C, t68))


def hill(rt, t):
    """Hill, Dauphinee and Woods 1986: what they take off."""
    x, y = 400 * rt, 100 * rt
    return 0.0080 / (1 + 1.5 * x + x * x) + \
        0.0005 * tail(t) / (1 + math.sqrt(y) + y + y ** 1.5)


def root_of(function, low, high):
    for _ in range(200):
        middle = (low + high) / 2
        if function(middle) < 0:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def salinity(conductivity, t90, dbar, form):
    t68 = 1.00024 * t90
    rt = rt_of(conductivity, t68, dbar)
    if rt < 0:
        return None
    value = of_ratio(rt, t68)
    least = 0
    if form == "plain":
        least = 2
    elif form == "published":
        value -= hill(rt, t68)
    elif value < 2:  # without a step at 2, as TEOS-10's library does
        at_2 = root_of(lambda x: of_ratio(x, t68) - 2, 0, 1)
        value = (value - hill(rt, t68)) * 2 / (2 - hill(at_2, t68))
    inside = least <= value <= 42 and -2 <= t68 <= 35 and 0 <= dbar <= 10000
    return value if inside else None


def conductance_sea(conductivity, t90, dbar):
    """At 25 degC and the surface, of the same salinity."""
    wanted = salinity(conductivity, t90, dbar, "continuous")
    if wanted is None:
        return None
    return root_of(lambda c: (salinity(c, 25, 0, "continuous") or 0) - wanted, 0, 80)


def conductance_line(conductivity, t, alpha):
    """APHA 2510 B."""
    inside = 0 <= t <= 40 and 0.01 <= alpha <= 0.03 and conductivity >= 0
    return conductivity / (1 + alpha * (t - 25)) if inside else None


def conductance_natural(conductivity, t):
    """ISO 7888:1985, for natural fresh water."""
    def part(at):
        viscosity = -0.198058 + math.exp(-1.992186 + 231.17628 / (at + 86.39123))
        return (1 - 0.962144) + 0.962144 * viscosity ** 0.965078
    inside = 0 <= t <= 35.9 and 0.06 <= conductivity <= 1
    return conductivity * part(t) / part(25) if inside else None


def density(s, t90, dbar):
    """EOS-80, UNESCO 44, pages 15 to 23."""
    t = 1.00024 * t90
    if not (0 <= s <= 42 and -2 <= t <= 40 and 0 <= dbar <= 10000):
        return None
    water = polynomial((999.842594, 6.793952e-2, -9.095290e-3, 1.001685e-4, -1.120083e-6,
                        6.536332e-9), t)
    surface = water + \
        s * polynomial((8.24493e-1, -4.0899e-3, 7.6438e-5, -8.2467e-7, 5.3875e-9), t) + \
        s ** 1.5 * polynomial((-5.72466e-3, 1.0227e-4, -1.6546e-6), t) + 4.8314e-4 * s * s
    bar = dbar / 10
    modulus = polynomial((19652.21, 148.4206, -2.327105, 1.360477e-2, -5.155288e-5), t) + \
        s * polynomial((54.6746, -0.603459, 1.09987e-2, -6.1670e-5), t) + \
        s ** 1.5 * polynomial((7.944e-2, 1.6483e-2, -5.3009e-4), t)
    first = polynomial((3.239908, 1.43713e-3, 1.16092e-4, -5.77905e-7), t) + \
        s * polynomial((2.2838e-3, -1.0981e-5, -1.6078e-6), t) + 1.91075e-4 * s ** 1.5
    second = polynomial((8.50935e-5, -6.12293e-6, 5.2787e-8), t) + \
        s * polynomial((-9.9348e-7, 2.0816e-8, 9.1697e-10), t)
    return surface / (1 - bar / (modulus + first * bar + second * bar * bar))
