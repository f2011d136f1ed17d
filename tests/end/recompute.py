"""Work every verdict out again from what `weirbook explain --json` lists, and compare.

    python3 recompute.py NAME FILE...

Each FILE is one answer of `explain MONTH --json`. The readings' reported digits, units, qualifiers
and flags and the clause's choices are read; what the program made of them is not, until the end.
Prints how many verdicts agree; shows both sides of any that does not, and then ends with 1.
"""
import json
import multiprocessing
import os
import sys
import traceback
from fractions import Fraction as F

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "recompute"))

import arithmetic  # noqa: E402
from judge import Judge  # noqa: E402

# Logarithms are worked out with other means than the program's, and both are cut to 12 digits.
NEAR = F(1, 10 ** 10)


def same_number(ours, theirs):
    if ours is None or theirs is None:
        return ours is theirs
    return ours == theirs or abs(ours - theirs) <= NEAR * max(abs(ours), abs(theirs))


def compared(judge, figure):
    """The figure as it is compared: rounded, unless it is only known to be less or more."""
    if figure is None or figure.shown is None:
        return None
    if figure.low.open or figure.high.open:
        return figure.shown
    return arithmetic.round_by(figure.shown, judge.clause.rounding)


RANKS = {"outside": 2, "not assessable": 1}


def judge_forms(told):
    """(judge, standing, side, figure) of the clause; of a changed one that nobody compared with the
    licence, of the worse form, which has to be the one told as standing."""
    judge = Judge(told)
    found = (judge,) + judge.verdict()
    if "beside" not in told:
        return found
    other = Judge(dict(told, limit=told["beside"]["limit"]))
    beside = (other,) + other.verdict()
    if beside[1] != told["beside"]["standing"]:
        raise ValueError(f"the form beside it is {beside[1]}")
    newer = told["limit"]["version"] > told["beside"]["limit"]["version"]
    old, new = (beside, found) if newer else (found, beside)
    return old if RANKS.get(old[1], 0) > RANKS.get(new[1], 0) else new


def check(told):
    """None where both agree; else words."""
    judge, standing, side, figure = judge_forms(told)
    verdict = told["verdict"]
    if judge.told["limit"] is not told["limit"]:
        return f"the other form stands: {standing}"
    ours = compared(judge, figure)
    theirs = F(verdict["compared"]) if "compared" in verdict else None
    if standing != verdict["standing"] or side != verdict["side"]:
        return f"{standing} {side or ''} ({ours})"
    if not same_number(ours, theirs) and standing != "nothing due":
        return f"{standing}, figure {None if ours is None else float(ours)}"
    if judge.so_far() != verdict["so_far"] or \
            verdict["words"].startswith("so far ") != verdict["so_far"]:
        return f"so far: {judge.so_far()}"
    near = standing == "within" and ours is not None and judge.is_near(figure, ours)
    return None if near == verdict["near_bound"] else f"{standing}, near: {near}"


def check_file(path):
    """(standing, None or words) of each verdict."""
    with open(path, encoding="utf-8") as file:
        limits = json.load(file)["limits"]
    found = []
    for told in limits:
        try:
            answer = check(told)
        except Exception:  # whatever it is, this verdict was not worked out again
            answer = traceback.format_exc()
        if answer is not None:
            answer = (f"  {os.path.basename(path)}, {told['limit']['key']}:\n"
                      f"    weirbook:  {told['verdict']['words']}; "
                      f"{told['verdict'].get('reason', '')} [{told['verdict'].get('compared')}]\n"
                      f"    worked out again: {answer}")
        found.append((told["verdict"]["standing"], answer))
    return found


def main():
    name, files = sys.argv[1], sys.argv[2:]
    agreed = disagreed = 0
    standings = {}
    with multiprocessing.Pool(min(len(files), os.cpu_count() or 1)) as pool:
        checked = pool.map(check_file, files, chunksize=1)
    for standing, answer in (one for found in checked for one in found):
        if answer is None:
            agreed += 1
            standings[standing] = standings.get(standing, 0) + 1
        else:
            disagreed += 1
            print(answer)
    counts = ", ".join(f"{count} {standing}" for standing, count in sorted(standings.items()))
    print(f"{agreed} of {agreed + disagreed} verdicts of {name} agree ({counts})")
    return disagreed > 0 or agreed == 0


if __name__ == "__main__":
    sys.exit(main())
