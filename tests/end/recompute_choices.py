"""Whether the made-up farm makes every choice that a limit can have, and is judged by it.

    python3 recompute_choices.py WORDS REFUSED FILE...

WORDS is `weirbook words limits --json`, REFUSED the pairs that make no sense, each FILE an answer of
`explain MONTH --json`. Ends with 1 where a choice is made by no clause, where none of those that make
it is judged to anything but not assessable, or where too few of the pairs are.
"""
import itertools
import json
import os
import sys

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "recompute"))

import choices  # noqa: E402

# Made, and by what they say never judged to more.
NEVER_MORE = {
    ("across a change", "not said"): "a period in which the clause changed is not assessable",
}
# Of 100 pairs that make sense so many are judged to within or outside by some clause.
JUDGED_LEAST = 95
WAITS = "flesh of a lot: waits for lots, and no farm file can say it yet"
PAIRINGS = ("same day", "nearest in time", "by residence time", "figures of the period")
AGAINST = ("difference", "percent removal", "intake credit")


def is_judged(told):
    return told["verdict"]["standing"] != "not assessable"


def of_pairings(told):
    said = told["limit"]["settings"].get("compared with")
    return {("compared with", said["as"], said["paired"])} if said else set()


def gather(files):
    """{choice: (clauses that make it, those of them that are judged)}; pairs and pairings too."""
    made, judged = {}, {}
    for path in files:
        with open(path, encoding="utf-8") as file:
            limits = json.load(file)["limits"]
        for told in limits:
            key = told["limit"]["key"]
            for one in choices.made_by(told) | choices.pairs_of(told) | of_pairings(told):
                made.setdefault(one, set()).add(key)
                if is_judged(told):
                    judged.setdefault(one, set()).add(key)
    return made, judged


def main():
    words, refused, files = sys.argv[1], sys.argv[2], sys.argv[3:]
    with open(words, encoding="utf-8") as file:
        wanted = choices.of_words(json.load(file)) + choices.forms() + list(choices.BESIDE)
    with open(refused, encoding="utf-8") as file:
        senseless = {tuple(one["pair"][:1]) + (choices.rounding(one["pair"][1]),
                                               one["pair"][2], choices.rounding(one["pair"][3]))
                     for one in json.load(file)}
    made, judged = gather(files)
    wrong = [f"no clause makes the choice {one}" for one in wanted if one not in made]
    wrong += [f"no clause with {one} is judged" for one in wanted
              if one in made and one not in judged and one not in NEVER_MORE]
    for as_, paired in itertools.product(AGAINST, PAIRINGS):
        if ("compared with", as_, paired) not in judged:
            wrong.append(f"{as_} paired {paired} is not judged")
    pairs = [pair for pair in choices.all_pairs() if pair not in senseless]
    open_ = [pair for pair in pairs if pair not in judged]
    wrong += [f"no clause has the pair {pair}" for pair in open_ if pair not in made]
    share = 100 * (len(pairs) - len(open_)) // len(pairs)
    if share < JUDGED_LEAST:
        wrong.append(f"{share} % of the pairs are judged")
    for one in wrong:
        print(one)
    for pair in open_:
        print("  not assessable wherever it is: " + ", ".join(pair))
    print("  not in the list: " + WAITS)
    print(f"{len(wanted)} choices are each made and judged, and {len(pairs) - len(open_)} of "
          f"{len(pairs)} pairs")
    return bool(wrong)


if __name__ == "__main__":
    sys.exit(main())
