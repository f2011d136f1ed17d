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

# --- the made-up farm ------------------------------------------------------------------------

made=$work/made
if python3 "$tree/tests/end/recompute_farm.py" "$made" >said 2>&1; then
    verdict "a farm is made up: $(tail -n 1 said)"
else
    cat said
    note 'it could not be'
    verdict 'a farm is made up'
    exit 1
fi

# What makes no sense is refused, each for a reason that was expected.
run farm check "$made/refused.yaml" --json
expect_status 2
python3 - "$work/out" "$made" >said 2>&1 <<'CODE' || note "$(tail -n 1 said)"
import json, sys
with open(sys.argv[1]) as file:
    problems = json.loads(file.readline())["problems"]
with open(sys.argv[2] + "/refused.json") as file:
    refused = json.load(file)
with open(sys.argv[2] + "/refused.yaml") as file:
    lines = file.read().split("\n")
told = {}
for one in problems:
    key = lines[one["line"] - 1].split("'")[1] if "{key:" in lines[one["line"] - 1] else "?"
    told.setdefault(key, []).append(one["words"])
wrong = [key for key in told if key not in {one["key"] for one in refused}]
for one in refused:
    words = told.get(one["key"], [])
    if not any(why in text for why in one["because"] for text in words):
        wrong.append(f"{one['key']} {one['pair']}: expected {one['because']}, told {words}")
kinds = {why for one in refused for why in one["because"]}
print(f"{len(refused)} pairs that make no sense are refused, for {len(kinds)} reasons")
sys.exit("; ".join(wrong) or None)
CODE
verdict "$(head -n 1 said)"

# A single result of solids at the outlet in March: its sample, and when it was taken.
single()
{
    grep '^G[0-9]*,,outlet,2026-03.*suspended-solids' "$made/grabs.csv" | sed -n "$1p" |
        cut -d , -f "$2" | tr , ' '
}

# made_farm: in $data, out of the files in $1.
made_farm()
{
    run farm load "$made/farm.yaml" --by wren
    expect_status 0
    run confirm --by ash
    expect_status 0
    # Some are changed and some are new, and nobody compares these with the licence.
    run farm load "$made/later.yaml" --by wren
    expect_status 0
    expect_out 'changed  limit held-back-5: copied wrongly'
    expect_out 'changed  limit held-back-12: licence changed'
    for source in grabs other-grabs composites logger second-logger sonde drain-sheet meter \
        flow-sheet beside-sheet outlet-sheet looks; do
        run take-in "$source" "$1/$source"*.csv --by wren
        expect_status 0
    done
    run doubt sample custody G5 --by wren --because 'its seal was broken'
    expect_status 0
    run doubt set 'sensor test' outlet oxygen '2026-03-21 00:00' '2026-03-21 12:00' \
        --made-by 'logger 1' --by wren --because 'it flat-lined'
    expect_status 0
    run leave-out outlet suspended-solids "$(single 2 4,5)" --sample "$(single 2 1)" --by wren \
        --because 'the bottle broke'
    expect_status 0
    run correct outlet suspended-solids "$(single 4 4,5)" 17.5 --sample "$(single 4 1)" \
        --by wren --because 'a misprint'
    expect_status 0
}

data=$work/made-farm
made_farm "$made"
verdict 'the made-up farm is taken in, with doubts, a correction and a leave-out'
run explain 2026-03 --json
expect_status 0
mv out made-2026-03.json
run check 2026-03 --json
expect_status 0
mv out whole.json
for source in grabs logger outlet-sheet flow-by-hand; do
    run take-in "$source" "$made/running/$source.csv" --by wren
    expect_status 0
done
run explain "$(date -u +%Y-%m)" --json
expect_status 0
mv out made-now.json
verdict 'and explained in full, a month that is over and one that runs'
worked_out_again 'the made-up farm' made-2026-03.json made-now.json
run words limits --json
expect_status 0
if python3 "$tree/tests/end/recompute_choices.py" out "$made/refused.json" \
    made-2026-03.json made-now.json >said 2>&1; then
    sed -n '/^  not /p' said
else
    cat said
    note 'a choice is not made or not judged'
fi
verdict "$(tail -n 1 said)"

# --- the same rows in other files ------------------------------------------------------------

# Every second row of a file goes into a second one: no verdict may change.
mkdir "$work/split"
for file in "$made"/*.csv; do
    name=$(basename "$file" .csv)
    for half in 0 1; do
        awk -v half=$half 'NR == 1 || NR % 2 == half' "$file" >"$work/split/$name-$half.csv"
    done
done
data=$work/split-farm
made_farm "$work/split"
run check 2026-03 --json
expect_status 0
python3 - whole.json out >said 2>&1 <<'CODE' || note "$(tail -n 1 said)"
import json, sys
KEPT = ("standing", "side", "compared", "samples", "beyond", "less_thans", "set_aside")
told = []
for path in sys.argv[1:]:
    with open(path) as file:
        told.append({one["limit"]: [one.get(name) for name in KEPT]
                     for one in json.load(file)["limits"]})
changed = [f"{key}: {was} became {told[1].get(key)}" for key, was in told[0].items()
           if told[1].get(key) != was]
print(f"{len(told[0])} verdicts are the same with every receipt split in two")
sys.exit("; ".join(changed) or (not told[0] and "there is none") or None)
CODE
verdict "$(head -n 1 said)"

# --- and it is noticed -----------------------------------------------------------------------

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
