"""Exact numbers, rounding, and the statistics: written from their definitions and not from the
program that is checked. Everything is a Fraction; what needs a logarithm is worked out with 50
digits and brought to 12."""
import decimal
import math
import statistics
from decimal import Decimal
from fractions import Fraction as F

decimal.getcontext().prec = 50
FIGURES = 12


class NoAnswer(Exception):
    """The statistic has no answer for these values."""


def to_decimal(value):
    return Decimal(value.numerator) / Decimal(value.denominator)


def twelve(value):
    """A Decimal or float at 12 significant digits, halves away from zero."""
    value = Decimal(value)
    if value == 0:
        return F(0)
    places = FIGURES - 1 - value.adjusted()
    return F(round_at(F(value), places, "half up"))


def round_at(value, places, rule):
    over, under = value.numerator, value.denominator
    if places >= 0:
        over *= 10 ** places
    else:
        under *= 10 ** -places
    whole, rest = divmod(over, under)
    half = 2 * rest - under
    if rule == "half up":  # away from zero
        whole += half >= 0 if over >= 0 else half > 0
    else:
        whole += half > 0 or (half == 0 and whole % 2 == 1)
    return F(whole, 10 ** places) if places >= 0 else F(whole * 10 ** -places)


def order(one, other):
    """-1, 0 or 1."""
    a, b = one.numerator * other.denominator, other.numerator * one.denominator
    return (a > b) - (a < b)


def round_by(value, rounding):
    """rounding: None, or (rule, "decimals" or "figures", digits)."""
    if rounding is None or value == 0:
        return value
    rule, to, digits = rounding
    if to == "figures":
        size = abs(value)
        order = 0
        while size >= F(10) ** (order + 1):
            order += 1
        while size < F(10) ** order:
            order -= 1
        digits = digits - 1 - order
    return round_at(value, digits, rule)


# --- means -----------------------------------------------------------------------------------

def mean(values):
    return sum(values, F(0)) / len(values)


def weighted_mean(values, weights):
    total = sum(weights, F(0))
    if total == 0:
        raise NoAnswer("all weights are 0")
    return sum((v * w for v, w in zip(values, weights)), F(0)) / total


def geometric_mean(values):
    if any(value < 0 for value in values) or any(value == 0 for value in values):
        raise NoAnswer("no logarithm of 0")
    logs = sum(to_decimal(value).ln() for value in values) / len(values)
    return twelve(logs.exp())


def median(values):
    ordered = sorted(values)
    middle = len(ordered) // 2
    if len(ordered) % 2:
        return ordered[middle]
    return (ordered[middle - 1] + ordered[middle]) / 2


def hydrogen_ion_mean(values):
    ions = sum(Decimal(10) ** -to_decimal(value) for value in values) / len(values)
    return twelve(-ions.log10())


def log_normal_percentile(values, z, population):
    if len(values) < 2 or any(value <= 0 for value in values):
        raise NoAnswer("no deviation of logarithms")
    logs = [to_decimal(value).log10() for value in values]
    middle = sum(logs) / len(logs)
    squares = sum((one - middle) ** 2 for one in logs)
    deviation = (squares / (len(logs) - (0 if population else 1))).sqrt()
    return twelve(Decimal(10) ** (middle + to_decimal(z) * deviation))


# --- percentiles -----------------------------------------------------------------------------

# Hyndman and Fan (1996): m in the position n p + m of the six that draw straight lines.
LINES = {
    "type 4": lambda p: F(0),
    "type 5": lambda p: F(1, 2),
    "type 6": lambda p: p,
    "type 7": lambda p: 1 - p,
    "type 8": lambda p: (p + 1) / 3,
    "type 9": lambda p: p / 4 + F(3, 8),
}
SAME_AS = {"Hazen": "type 5", "Weibull": "type 6", "inclusive": "type 7", "Blom": "type 9",
           "nearest rank": "type 1"}


def percentile(values, p, rule):
    ordered = sorted(values)
    count = len(ordered)
    rule = SAME_AS.get(rule, rule)

    def at(rank):
        return ordered[min(max(rank, 1), count) - 1]

    if rule in LINES:
        position = count * p + LINES[rule](p)
        below = math.floor(position)
        share = position - below
        return at(below) * (1 - share) + at(below + 1) * share
    position = count * p
    below = math.floor(position)
    if rule == "type 1":
        return at(math.ceil(position))
    if rule == "type 2":
        return (at(below) + at(below + 1)) / 2 if position == below else at(below + 1)
    if rule == "type 3":
        return at(round(position))  # Python rounds a half to the even one
    raise KeyError(rule)


# --- less-thans without a number in their place -----------------------------------------------

def check_censored(results):
    numbers = sum(not less for _, less in results)
    if numbers < 3 or (len(results) - numbers) * 100 > 80 * len(results):
        raise NoAnswer("too few numbers, or too many less-thans")


class KaplanMeier:
    """Of (value, is less-than): the share of the water at or below each number, from the top."""

    def __init__(self, results, rest_at_smallest_limit):
        check_censored(results)
        numbers = sorted({value for value, less in results if not less})
        self.shares = {}  # number: (share at or below it, share below it)
        reached = F(1)
        for number in reversed(numbers):
            equal = sum(value == number and not less for value, less in results)
            at_risk = sum(value <= number for value, _ in results)
            below = reached * (at_risk - equal) / at_risk
            self.shares[number] = (reached, below)
            reached = below
        self.left = reached
        self.smallest = numbers[0]
        self.rest = min(value for value, _ in results) if rest_at_smallest_limit else numbers[0]

    def masses(self):
        yield self.rest, self.left
        for number, (reached, below) in self.shares.items():
            yield number, reached - below

    def mean(self):
        return sum((number * share for number, share in self.masses()), F(0))

    def geometric_mean(self):
        if self.rest <= 0 or self.smallest <= 0:
            raise NoAnswer("no logarithm of 0")
        logs = sum(to_decimal(share) * to_decimal(number).ln() for number, share in self.masses())
        return twelve(logs.exp())

    def percentile(self, p):
        """(number, None), or (None, number) where all that is known is that it is less."""
        if self.left > 0 and p <= self.left:
            return None, self.smallest
        return next(number for number in sorted(self.shares) if self.shares[number][0] >= p), None


def fill_by_regression(results):
    """Regression on order statistics (Helsel and Cohn 1988), plotting positions with a = 0:
    the numbers, and for the less-thans what the line gives."""
    check_censored(results)
    if any(value <= 0 for value, _ in results):
        raise NoAnswer("no logarithm of 0")
    normal = statistics.NormalDist()
    limits = sorted({value for value, less in results if less})
    if not limits or any(not less and value < limits[0] for value, less in results):
        limits.insert(0, F(0))
    exceed = [0.0] * (len(limits) + 1)
    for j in range(len(limits) - 1, -1, -1):
        upper = limits[j + 1] if j + 1 < len(limits) else None
        inside = sum(not less and value >= limits[j] and (upper is None or value < upper)
                     for value, less in results)
        below = sum((less and value <= limits[j]) or (not less and value < limits[j])
                    for value, less in results)
        exceed[j] = exceed[j + 1] + inside / (inside + below) * (1 - exceed[j + 1])
    scores, logs = [], []
    wanted = []
    for j, limit in enumerate(limits):
        upper = limits[j + 1] if j + 1 < len(limits) else None
        numbers = sorted(value for value, less in results
                         if not less and value >= limit and (upper is None or value < upper))
        for i, value in enumerate(numbers, 1):
            share = 1 - exceed[j] + (exceed[j] - exceed[j + 1]) * i / (len(numbers) + 1)
            scores.append(normal.inv_cdf(share))
            logs.append(math.log(value))
        censored = sum(less and value == limit for value, less in results)
        wanted += [normal.inv_cdf((1 - exceed[j]) * i / (censored + 1))
                   for i in range(1, censored + 1)]
    fit = statistics.linear_regression(scores, logs)
    filled = [twelve(math.exp(fit.intercept + fit.slope * score)) for score in wanted]
    return sorted([value for value, less in results if not less] + filled)
