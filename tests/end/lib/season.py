"""Part of demo.sh: what the program answered on the demo farm, against the farm's own page.

    season.py DEMO_FOLDER ANSWERS_FOLDER

The counts come from the tables of DEMO_FOLDER/README.md; each row of its table of troubles needs a
check here of the same name, so that a new trouble without one fails. Prints "ok NAME" or
"not ok NAME: why" a row.
"""
import json
import os
import re
import sys

DEMO, ANSWERS = sys.argv[1:3]
TAKEN = ("logger", "meter-sheet", "outlet-sheet", "laboratory")


def answer(name):
    with open(os.path.join(ANSWERS, name + ".json"), encoding="utf-8") as file:
        return json.load(file)


def line(file_name, number):
    with open(os.path.join(DEMO, file_name), encoding="utf-8") as file:
        return file.read().splitlines()[number - 1]


def tables():
    """Rows of the page's tables by the first word of their heads."""
    found, rows = {}, None
    with open(os.path.join(DEMO, "README.md"), encoding="utf-8") as file:
        for text in file:
            if not text.startswith("|"):
                rows = None
                continue
            cells = [cell.strip() for cell in text.strip().strip("|").split("|")]
            if rows is None:
                rows = found.setdefault(tuple(cells), [])
            elif not set(cells[0]) <= set("-"):
                rows.append(cells)
    return found


def receipts(file_name):
    return [one for name in TAKEN for one in answer(name) if one["file"] == file_name]


def limit(month, key):
    found = [one for one in answer(f"check-{month}")["limits"] if one["limit"] == key]
    assert len(found) == 1, f"{len(found)} verdicts of {key} in {month}"
    return found[0]


def expect(what, got, wanted):
    assert got == wanted, f"{what} is {got!r}, not {wanted!r}"


def stands(month, key, standing, figure=None, compared=None):
    one = limit(month, key)
    expect(f"{key} of {month}", one["standing"], standing)
    if figure:
        expect(f"the figure of {key}", one["figure"], figure)
    if compared:
        expect(f"what {key} compared", one["compared"], compared)
    return one


def dues(month, interval, state):
    return [due["from"] for one in answer(f"check-{month}")["sampling"]
            if one["interval"] == interval for due in one["dues"] if due["state"] == state]


def lines_of(key, month):
    told = answer(f"explain-{key}-{month}")
    return [line for one in told["limits"] + told["intervals"] for line in one["lines"]]


def explained(key, month, *texts):
    """One line of the explanation holds all these texts."""
    lines = lines_of(key, month)
    assert any(all(text in one for text in texts) for one in lines), \
        f"no line of explain {key} {month} has {texts}"


def set_aside(file_name):
    return [one for one in answer("aside")["set_aside"] if one["file"] == file_name]


# --- the troubles ----------------------------------------------------------------------------

def solids_outside():
    assert ",71,mg/L," in line("lab-2026-02-24.csv", 2)
    one = stands("02", "solids-each", "outside", "71")
    expect("its side", one["side"], "above")
    assert one["words"].startswith("outside: above 60"), one["words"]
    mean = stands("02", "solids-mean", "within", "32.75", "33")
    assert mean["near_bound"], "33 of 35 is not near"


def load_outside():
    assert ",3.4,mg/L," in line("lab-2026-04-07.csv", 5)
    one = stands("04", "nitrogen-load-day", "outside", compared="7.1")
    assert one["words"].startswith("outside: above 6.0"), one["words"]
    expect("days beyond", one["beyond"], 1)
    stands("04", "nitrogen-each", "within")
    explained("nitrogen-load-day", "04", "7 April 2026", "beyond the bound")


def misspelt_unit():
    assert ",78,mgl," in line("lab-2026-04-14.csv", 2)
    asides = set_aside("lab-2026-04-14.csv")
    expect("rows set aside", [one["line"] for one in asides], [2])
    assert "mgl" in asides[0]["words"] and "mg/L" in asides[0]["what_to_do"], asides[0]
    stands("04", "solids-each", "not assessable")
    stands("04", "solids-mean", "not assessable")
    assert "2026-04-13" in dues("04", "weekly", "missed")


def missed_sample():
    expect("weeks missed", dues("03", "weekly", "missed"), ["2026-03-23"])
    expect("samples of March", limit("03", "solids-each")["samples"], 4)


def week_of_a_shut_day():
    assert "2026-03-13" in line("lab-2026-03-13.csv", 2)
    assert "2026-03-09" in dues("03", "weekly", "done")


def less_thans():
    assert ",<5,ug/L," in line("lab-2026-02-17.csv", 3)
    expect("less-thans of ammonia", limit("02", "ammonia-mean")["less_thans"], 1)
    explained("ammonia-mean", "02", "2026-02-17", "<5 ug/L", "counted as the number 0.0025")
    assert ",<10," in line("lab-2026-02-10.csv", 7)
    explained("enterococci-mean", "02", "2026-02-10", "<10", "counted as the number 10")
    assert ",<2," in line("lab-2026-02-03.csv", 8)


def other_units():
    assert ",188,ug/L," in line("lab-2026-02-03.csv", 3)
    explained("ammonia-mean", "02", "2026-02-03", "188 ug/L", "counted as 0.188")


def corrected_sheet():
    one, = receipts("lab-2026-03-17-corrected.csv")
    expect("already known", one["already_known"], 7)
    expect("set aside", one["set_aside"], 1)
    aside, = set_aside("lab-2026-03-17-corrected.csv")
    expect("line", aside["line"], 3)
    assert "412" in aside["words"] and "142" in aside["text"], aside
    stands("03", "ammonia-mean", "within", compared="0.27")


def same_file_twice():
    with open(os.path.join(DEMO, "lab-2026-02-10.csv"), "rb") as first, \
            open(os.path.join(DEMO, "lab-2026-02-10-again.csv"), "rb") as again:
        assert first.read() == again.read(), "the two differ"
    expect("came in already", [one["already"] for one in receipts("lab-2026-02-10.csv")],
           [False, True])


def logger_gap():
    assert line("logger-2026-02.csv", 2679).startswith("19.02.2026 14:10")
    assert line("logger-2026-02.csv", 2680).startswith("20.02.2026 09:40")
    one = stands("02", "temperature-day", "not assessable")
    covered = float(re.search(r"19 February 2026: ([\d.]+) percent of at least 75",
                              one["reason"]).group(1))
    assert 58 < covered < 62, one["reason"]


def flat_line():
    for number in (3896, 3961):
        assert ";7,42;" in line("logger-2026-03.csv", number)
    expect("set aside", receipts("logger-2026-03.csv")[0]["set_aside"], 0)
    stands("03", "oxygen-floor", "within")
    flat = [one for one in lines_of("oxygen-floor", "03")
            if one.startswith("  2026-03-28 ") and "counted as 7.42" in one]
    assert 18 <= len(flat) <= 20, f"{len(flat)} readings of 7.42 count"
    doubted = [one for one in lines_of("oxygen-floor", "03")
               if one.startswith("  2026-03-28 ") and "(in doubt: sensor test: flat line" in one]
    expect("readings in doubt", len(doubted), 48)
    found = [(one["test"], one["flag"], one["readings"], one["from"], one["until"])
             for one in answer("flags-03")["flags"]]
    expect("flags", found, [
        ("flat line", "suspect", 18, "2026-03-27T15:00:00Z", "2026-03-27T17:50:00Z"),
        ("flat line", "fail", 30, "2026-03-27T18:00:00Z", "2026-03-27T22:50:00Z")])


def hour_twice():
    expect("stamps", line("logger-2026-04.csv", 590)[:16], line("logger-2026-04.csv", 596)[:16])
    one, = receipts("logger-2026-04.csv")
    expect("set aside and known", (one["set_aside"], one["already_known"]), (0, 0))
    explained("temperature-day", "04", "5 April 2026: 150 readings")


def roll_over():
    explained("volume-day", "02", "27 February 2026", "total 805 m3", "rolled over")


def replaced_meter():
    assert "12673" in line("meter-2026.csv", 48) + line("meter-2026.csv", 49)
    explained("volume-day", "03", "18 March 2026", "replaced")


def outlet_shut():
    """Days of which the same is said stand in one line, from the first to the last of them."""
    for month, days in (("02", "14 February 2026 to 15 February 2026"),
                        ("03", "10 March 2026 to 12 March 2026"),
                        ("04", "25 April 2026 to 26 April 2026")):
        explained("oxygen-floor", month, f"  {days}: 0 readings, no discharge", "no discharge")
        expect(f"stretches of {month} without discharge", 1, sum(
            ": 0 readings, no discharge" in one for one in lines_of("oxygen-floor", month)))


TROUBLES = {
    "a solids result outside": solids_outside,
    "a load outside because of flow, not of concentration": load_outside,
    "a misspelt unit on a result that would be outside": misspelt_unit,
    "a missed sample": missed_sample,
    "a week whose day of sampling was a shut day": week_of_a_shut_day,
    "less-thans": less_thans,
    "other units": other_units,
    "a corrected laboratory sheet under another name": corrected_sheet,
    "the same file twice": same_file_twice,
    "a logger gap": logger_gap,
    "a flat-lined probe": flat_line,
    "the hour that comes twice": hour_twice,
    "a meter that rolls over": roll_over,
    "a meter that is replaced": replaced_meter,
    "an outlet that is shut": outlet_shut,
}

# Limits that the page calls other than within, by month; "everything else is within".
NOT_WITHIN = {
    "02": {"solids-each", "temperature-day"},
    "03": set(),
    "04": {"nitrogen-load-day", "solids-each", "solids-mean"},
}


def everything_else():
    for month, others in NOT_WITHIN.items():
        limits = answer(f"check-{month}")["limits"]
        expect(f"limits of {month}", len(limits), 12)
        expect(f"not within in {month}",
               {one["limit"] for one in limits if one["standing"] != "within"}, others)
    missed = [due for month in NOT_WITHIN for key in ("weekly", "bacteria", "bod-month")
              for state in ("missed", "late", "awaited") for due in dues(month, key, state)]
    expect("samples not in time", missed, ["2026-03-23", "2026-04-13"])


def volumes():
    with open(os.path.join(DEMO, "README.md"), encoding="utf-8") as file:
        text = re.sub(r"\s+", " ", file.read())
    told = text[text.index("Volumes discharged, by the meter:"):]
    for month, name in (("02", "February"), ("03", "March"), ("04", "April")):
        figure = re.search(r"([\d ]+) m3 in " + name, told).group(1).replace(" ", "")
        stands(month, "volume-month", "within", figure)


def counts(file_name, values):
    one = receipts(file_name)[0]
    expect("values in", one["values_in"], values)
    expect("stored + known + blank + set aside",
           one["stored"] + one["already_known"] + one["blank"] + one["set_aside"], values)


def sheet_counts():
    sheets = {one["file"] for one in answer("laboratory")}
    assert len(sheets) >= 13, f"{len(sheets)} sheets"
    for name in sheets:
        with open(os.path.join(DEMO, name), encoding="utf-8") as file:
            text = file.read()
        counts(name, 9 if "BOD5" in text else 8)


# --- all of them -----------------------------------------------------------------------------

def judge(name, check, *words):
    try:
        check(*words)
    except (AssertionError, KeyError, ValueError, OSError, AttributeError) as why:
        print(f"not ok demo: {name}: {type(why).__name__ if not str(why) else why}")
    else:
        print(f"ok demo: {name}")


def main():
    page = tables()
    troubles = next(rows for head, rows in page.items() if head[0] == "trouble")
    for row in troubles:
        if row[0] in TROUBLES:
            judge(row[0], TROUBLES[row[0]])
        else:
            print(f"not ok demo: {row[0]}: the page lists it and nothing here checks it")
    if len(troubles) != len(TROUBLES):
        print(f"not ok demo: {len(TROUBLES)} troubles are checked, the page lists {len(troubles)}")
    judge("everything else is within, every other sample in time", everything_else)
    judge("the volumes of the meter", volumes)
    for row in next(rows for head, rows in page.items() if head[:2] == ("file", "rows")):
        name = row[0].strip("`")
        if row[0].startswith("`"):
            judge(f"the values of {name}", counts, name, int(row[2].replace(" ", "")))
        else:
            judge("the values of each laboratory sheet", sheet_counts)


main()
