"""Work every verdict out again from what `weirbook explain --json` lists, and compare.

    python3 recompute.py NAME FILE...

Each FILE is one answer of `explain MONTH --json`. The readings' reported digits, units, qualifiers
and flags and the clause's choices are read; what the program made of them is not, until the end.
Prints how many verdicts agree; shows both sides of any that does not, and then ends with 1.
"""
import json
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


def check(told):
    """None where both agree; else words."""
    judge = Judge(told)
    standing, side, figure = judge.verdict()
    verdict = told["verdict"]
    ours = compared(judge, figure)
    theirs = F(verdict["compared"]) if "compared" in verdict else None
    if standing != verdict["standing"] or side != verdict["side"]:
        return f"{standing} {side or ''} ({ours})"
    if not same_number(ours, theirs) and standing != "nothing due":
        return f"{standing}, figure {None if ours is None else float(ours)}"
    return None


def main():
    name, files = sys.argv[1], sys.argv[2:]
    agreed = disagreed = 0
    standings = {}
    for path in files:
        with open(path, encoding="utf-8") as file:
            limits = json.load(file)["limits"]
        for told in limits:
            try:
                answer = check(told)
            except Exception:  # whatever it is, this verdict was not worked out again
                answer = traceback.format_exc()
            if answer is None:
                agreed += 1
                standing = told["verdict"]["standing"]
                standings[standing] = standings.get(standing, 0) + 1
                continue
            disagreed += 1
            print(f"  {os.path.basename(path)}, {told['limit']['key']}:\n"
                  f"    weirbook:  {told['verdict']['words']}; "
                  f"{told['verdict'].get('reason', '')} [{told['verdict'].get('compared')}]\n"
                  f"    worked out again: {answer}")
    counts = ", ".join(f"{count} {standing}" for standing, count in sorted(standings.items()))
    print(f"{agreed} of {agreed + disagreed} verdicts of {name} agree ({counts})")
    return disagreed > 0 or agreed == 0


if __name__ == "__main__":
    sys.exit(main())
