#!/bin/sh
# Verdicts worked out again by another program, in another language, from nothing but what
# `explain --json` lists: those of the demo farm, and those of a farm made up to use every choice
# that a limit can have.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin recompute

again=$tree/tests/end/recompute.py

# worked_out_again NAME FILE...: every verdict of the explanations agrees; the count is told.
worked_out_again()
{
    name=$1
    shift
    if python3 "$again" "$name" "$@" >agreed 2>&1; then
        verdict "$(tail -n 1 agreed)"
    else
        cat agreed
        note "$(tail -n 1 agreed)"
        verdict "the verdicts of $name, worked out again"
    fi
}

demo_farm || exit 1
for month in 02 03 04 05; do
    run explain "2026-$month" --json
    expect_status 0
    cp out "demo-2026-$month.json"
done
verdict 'the demo farm is explained in full'
worked_out_again 'the demo farm' demo-2026-*.json

# One reading told otherwise than it was judged has to be noticed.
python3 - demo-2026-03.json told-otherwise.json <<'CODE'
import json, sys
with open(sys.argv[1]) as file:
    told = json.load(file)
mean = next(one for one in told["limits"] if one["limit"]["key"] == "solids-mean")
reading = next(one for series in mean["series"] for one in series["readings"]
               if one.get("judged", {}).get("counted"))
reading["reported"] = "7" + reading["reported"]
with open(sys.argv[2], "w") as file:
    json.dump(told, file)
CODE
if python3 "$again" 'a changed explanation' told-otherwise.json >agreed 2>&1; then
    note 'it agreed'
fi
expect 'it is not told which' grep -q solids-mean agreed
verdict 'a digit told otherwise is noticed'
