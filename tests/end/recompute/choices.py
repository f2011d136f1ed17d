"""Every choice of a limit, as `weirbook words limits --json` lists them, and whether a clause of the
made-up farm makes it and is judged by it.

A choice is (key, word): ("less-thans", "half"); (key, "") where what stands there is free. Where
free text has forms of its own they are told apart here: FORMS.
"""
import itertools
import re

from farm_pairs import DIMENSIONS

# Words may hold a comma themselves, or an "or".
WORDS = re.compile(r", (?!rest )| or (?!more)")

# What no clause of a farm can make: these are of one loading of a farm file, or its own names.
NEVER_ALONE = {("key", ""), ("name", ""), ("licence", ""), ("clause", ""), ("wording", ""),
               ("change", "licence changed"), ("change", "copied wrongly"),
               # No logarithm of 0, and no rank in a mean: refused.
               ("less-thans in a geometric mean", "zero"),
               ("less-thans in a geometric mean", "ranked")}


def of_words(told):
    """From what the program lists."""
    found = []
    for row in told[0]["rows"]:
        words = [word for word in WORDS.split(row["words"] or "") if word]
        if row["key"] == "rounding":
            continue
        found += [(row["key"], word) for word in words] or [(row["key"], "")]
    return [choice for choice in found if choice not in NEVER_ALONE]


# --- forms of what is free --------------------------------------------------------------------

def minutes(text):
    hour, minute = text.split(":")
    return int(hour) * 60 + int(minute)


def over_midnight(text):
    first, last = text.split(" to ")
    return "over midnight" if minutes(last) < minutes(first) else "inside a day"


def rounding(text):
    return re.sub(r"\d+", "n", text)


def allowed(said):
    if isinstance(said, list):
        return "a printed table"
    return "a share" if "%" in said else "k of n" if " of " in said else "k"


def season(said):
    return "over the new year" if said["to"] < said["from"] else "inside a year"


def samples(said):
    return "several kinds" if isinstance(said, list) and len(said) > 1 else "one kind"


def load_factor(said):
    return "a printed one"


FORMS = {
    "rounding": (rounding, ["none"] + [
        f"half {way} to {digits}" for way in ("up", "even")
        for digits in ("the bound", "the bound's figures", "n decimals", "n figures")]),
    "hours": (over_midnight, ["over midnight", "inside a day"]),
    "allowed beyond": (allowed, ["k", "k of n", "a share", "a printed table"]),
    "season": (season, ["over the new year", "inside a year"]),
    "tide": (lambda text: text.split()[-2] + " water", ["high water", "low water"]),
    "margin": (lambda text: "a share" if "%" in text else "an amount", ["a share", "an amount"]),
    "must be": (str, ["seen", "not seen", "open", "shut"]),
    "must not be": (str, ["seen", "not seen"]),
    "only while discharging": (str, ["yes", "no"]),
}

# Beside what a clause says: what is known of it.
BESIDE = {
    ("the farm's word for it", "confirmed by nobody, the first of its key"):
        lambda told: not told["limit"]["confirmed"],
    ("the farm's word for it", "changed, and confirmed by nobody"): lambda told: "beside" in told,
    ("the licence", "ended"): lambda told: told["licence_ends"] is not None,
    ("a load by the exact units", ""): lambda told:
        told["limit"]["settings"]["each day"] == "load" and
        "load factor" not in told["limit"]["settings"],
    ("a period that still runs", ""): lambda told: told["verdict"]["so_far"],
    ("readings that were worked out", ""): lambda told:
        any("derived_by" in series for series in told["series"]),
    ("a row set aside that may belong here", ""): lambda told: bool(told["set_aside"]),
    ("evidence in doubt", ""): lambda told: told["verdict"]["in_doubt"] > 0,
}


def forms():
    return [(key, word) for key, (_, words) in FORMS.items() for word in words]


# --- what a clause makes ----------------------------------------------------------------------

def paths(said, before=""):
    for key, value in said.items():
        key = before + key
        yield key, value
        for inner in value if isinstance(value, list) else [value]:
            if isinstance(inner, dict):
                yield from paths(inner, key + ": ")


def made_by(told):
    """The choices that a clause makes, and those that hold where it says nothing."""
    found = set()
    for key, value in paths(told["limit"]["settings"]):
        if key in FORMS:
            found.add((key, FORMS[key][0](value)))
        found.add((key, ""))
        for one in value if isinstance(value, list) else [value]:
            if isinstance(one, str):
                found.add((key, one))
    found |= {choice for choice, holds in BESIDE.items() if holds(told)}
    if told["limit"]["key"].find("--") > 0:
        found.add(("stations", ""))
    return found


def kinds_of(told):
    """The choices of the dimensions that are paired."""
    said = told["limit"]["settings"]
    bound = next((key for key in DIMENSIONS["bound"] if key in said), None)
    if "above" in said and "below" in said:
        bound = "above and below"
    if "bound by" in said:
        bound = said["bound by"]["rule"]
    places = rounding(said.get("rounding", "none"))
    return {"statistic": said["statistic"], "less": said.get("less-thans", "not said"),
            "rounding": places, "bound": bound}


def pairs_of(told):
    kinds = kinds_of(told)
    return {(a, kinds[a], b, kinds[b]) for a, b in itertools.combinations(kinds, 2)}


def all_pairs():
    words = dict(DIMENSIONS, rounding=tuple(rounding(word) for word in DIMENSIONS["rounding"]))
    return [(a, x, b, y) for a, b in itertools.combinations(words, 2)
            for x in words[a] for y in words[b]]
