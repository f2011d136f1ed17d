"""Flow over thin-plate weirs and through Parshall flumes, in m3/s from a head in m: typed from the
publications named and not from the program that is checked. Outside the range: None."""
import math

FT = 0.3048
G = 9.80665


def number(settings, name):
    return float(settings[name]) if name in settings else None


def half_tangent(degrees):
    return math.tan(math.radians(degrees) / 2)


def notch_fit(a):
    """Curve fits to Kindsvater and Shen's curves (LMNO Engineering, from memory)."""
    ce = 0.607165052 - 0.000874466963 * a + 6.10393334e-6 * a ** 2
    kh_ft = 0.0144902648 - 0.00033955535 * a + 3.29819003e-6 * a ** 2 - 1.06215442e-8 * a ** 3
    return ce, kh_ft * FT


def shen(h, settings):
    """USBR, Water Measurement Manual, ch. 7 s. 7 eq. 7-3; at 90 degrees 0.578 and 0.0029 ft."""
    angle = number(settings, "notch angle")
    ce, kh = (0.578, 0.0029 * FT) if angle == 90 else notch_fit(angle)
    if "coefficient" in settings:
        ce, kh = number(settings, "coefficient"), number(settings, "head added")
    return 4.28 * ce * half_tangent(angle) * ((h + kh) / FT) ** 2.5 * FT ** 3


def notch_iso(h, settings):
    """ISO 1438 (from memory); at 90 degrees 0.578 and 0.85 mm."""
    ce, kh = 0.578, 0.00085
    if "coefficient" in settings:
        ce, kh = number(settings, "coefficient"), number(settings, "head added")
    return ce * 8 / 15 * math.sqrt(2 * G) * half_tangent(number(settings, "notch angle")) * \
        (h + kh) ** 2.5


def in_feet(coefficient, power):
    """Cone: USBR, Water Measurement Manual, ch. 7; the tables cite ASTM D5242-92 (2001)."""
    return lambda h, settings: coefficient * (h / FT) ** power * FT ** 3


def contracted(h, settings):
    """Francis (from memory)."""
    return 3.33 * (number(settings, "crest") - 0.2 * h) / FT * (h / FT) ** 1.5 * FT ** 3


def suppressed(h, settings):
    """Francis (from memory)."""
    return 3.33 * number(settings, "crest") / FT * (h / FT) ** 1.5 * FT ** 3


def crest_height(h, settings):
    """A city stormwater design manual of 2014, eq. 6."""
    c = 3.27 + 0.40 * h / number(settings, "crest height")
    return c * (number(settings, "crest") - 0.2 * h) / FT * (h / FT) ** 1.5 * FT ** 3


def rectangular_iso(h, settings):
    """ISO 1438, full width (from memory)."""
    c = 0.602 + 0.075 * h / number(settings, "crest height")
    return c * 2 / 3 * math.sqrt(2 * G) * (number(settings, "crest") - 0.0009) * (h + 0.001) ** 1.5


def cipolletti(h, settings):
    """From memory."""
    return 3.367 * number(settings, "crest") / FT * (h / FT) ** 1.5 * FT ** 3


def usbr_notch(settings):
    return 0.2 * FT, 1.25 * FT


def usbr_crest(settings):
    return 0.2 * FT, number(settings, "crest") / 3


WEIRS = {
    "v-notch-kindsvater-shen": (shen, usbr_notch),
    "v-notch-iso-1438": (notch_iso, lambda settings: (0.06, 0.381)),
    "v-notch-90-cone": (in_feet(2.49, 2.48), usbr_notch),
    "v-notch-60-table": (in_feet(1.443, 2.5), usbr_notch),
    "v-notch-45-table": (in_feet(1.035, 2.5), usbr_notch),
    "rectangular-contracted": (contracted, usbr_crest),
    "rectangular-suppressed": (suppressed, usbr_crest),
    "rectangular-crest-height": (crest_height, usbr_crest),
    "rectangular-iso-1438": (rectangular_iso,
                             lambda settings: (0.03, 2.5 * number(settings, "crest height"))),
    "cipolletti": (cipolletti, usbr_crest),
}

# Parshall (1936) and Bos, Discharge Measurement Structures (1989), from memory: C and n in m and
# m3/s, in ft and ft3/s (from 1 ft on by 4 W H^(1.522 W^0.026)); the heads; the share of the head
# up to which the flow is free.
FLUMES = {
    "6 in": ((0.3812, 1.58), (2.06, 1.58), (0.03, 0.45), 0.55),
    "9 in": ((0.5354, 1.53), (3.07, 1.53), (0.03, 0.60), 0.60),
    "2 ft": ((1.428, 1.550), (4 * 2, 1.522 * 2 ** 0.026), (0.046, 0.76), 0.66),
}


def weir_flow(word, level, settings):
    flow, limits = WEIRS[word]
    h = level - number(settings, "zero at")
    least, most = limits(settings)
    if -most <= h <= 1e-9:  # water at the crest or under it stands still
        return 0
    # A head that is the range's end belongs to it, whatever the last digit of a float is.
    return flow(h, settings) if least - 1e-12 <= h <= most + 1e-12 else None


def flume_flow(word, level, downstream, settings):
    metres, feet, (least, most), free = FLUMES[settings["throat"]]
    h = level - number(settings, "zero at")
    if -most <= h <= 1e-9 and (downstream is None or downstream <= number(settings, "zero at")):
        return 0
    if not least <= h <= most:
        return None
    if downstream is not None and \
            max(downstream - number(settings, "zero at"), 0) > free * h:
        return None
    if word == "parshall-si":
        return metres[0] * h ** metres[1]
    return feet[0] * (h / FT) ** feet[1] * FT ** 3
