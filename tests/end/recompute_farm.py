"""A farm made up for working verdicts out again. Everything in it is INVENTED: places, people,
licences, every number.

    python3 recompute_farm.py FOLDER

writes farm.yaml, later.yaml, refused.yaml and the files of its sources into FOLDER, the same ones
each time; into FOLDER/running those of the last days up to now.

farm.yaml holds limits that use every choice a limit can have, and every pair that makes sense of
statistic and rule for less-thans, statistic and rounding, statistic and bound, less-thans and
rounding, less-thans and bound, rounding and bound. refused.yaml holds one limit for each pair
that makes no sense; refused.json says which reasons may be given for each.
"""
import itertools
import json
import os
import random
import sys
from datetime import datetime, timezone

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "recompute"))

import farm_choices  # noqa: E402
import farm_derived  # noqa: E402
import farm_files  # noqa: E402
from farm_pairs import DIMENSIONS, complete, refused_because  # noqa: E402

SEED = 20260301


def pairs_of(choice):
    return {(a, choice[a], b, choice[b]) for a, b in itertools.combinations(DIMENSIONS, 2)}


def all_pairs():
    return [(a, x, b, y) for a, b in itertools.combinations(DIMENSIONS, 2)
            for x in DIMENSIONS[a] for y in DIMENSIONS[b]]


def attempt(pair, wanted, rng):
    """A limit with the pair that makes sense and has as many other pairs still wanted as can be
    found; None with an example of one that makes none, for as few reasons as can be found."""
    a, x, b, y = pair
    best, worst, found = None, None, -1
    for _ in range(120):
        choice = {name: rng.choice(words) for name, words in DIMENSIONS.items()}
        choice[a], choice[b] = x, y
        for limit in complete(choice, rng):
            why = refused_because(limit)
            if why:
                if worst is None or len(why) < len(worst[1]):
                    worst = limit, why
                continue
            count = len(pairs_of(choice) & wanted)
            if count > found:
                best, found = (limit, choice), count
            break
        if found >= len(DIMENSIONS):
            break
    return best, worst


def covering(rng):
    wanted, limits, refused = set(all_pairs()), [], []
    for pair in all_pairs():
        if pair not in wanted:
            continue
        best, worst = attempt(pair, wanted, rng)
        if best is None:
            limit, why = worst
            refused.append((pair, dict(limit, key=f"refused-{len(refused) + 1}"), sorted(why)))
            wanted.discard(pair)
            continue
        limit, choice = best
        limits.append(dict(limit, key=f"pair-{len(limits) + 1}"))
        wanted -= pairs_of(choice)
    return limits, refused


def main():
    folder = sys.argv[1]
    rng = random.Random(SEED)
    limits, refused = covering(rng)
    choices = farm_choices.limits()
    derived = [dict(limit, key=f"derived-{i}") for i, limit in enumerate(farm_derived.limits(), 1)]
    farm_files.write(folder, rng)
    first, later = farm_choices.held_back_limits()
    everything = choices + derived + limits
    farm_files.write_farm(os.path.join(folder, "farm.yaml"), everything + first)
    farm_files.write_farm(os.path.join(folder, "later.yaml"), everything + later)
    farm_files.write_farm(os.path.join(folder, "refused.yaml"),
                          [limit for _, limit, _ in refused])
    with open(os.path.join(folder, "refused.json"), "w", encoding="utf-8") as file:
        json.dump([{"key": limit["key"], "pair": pair, "because": why}
                   for pair, limit, why in refused], file, indent=1)
    farm_files.write_running(os.path.join(folder, "running"), rng,
                             datetime.now(timezone.utc).replace(tzinfo=None))
    print(f"{len(limits)} limits for {len(all_pairs()) - len(refused)} pairs, {len(choices)} for "
          f"every choice, {len(derived)} on what is worked out, {len(refused)} pairs refused")


if __name__ == "__main__":
    main()
