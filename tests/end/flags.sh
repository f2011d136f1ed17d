#!/bin/sh
# What sensor tests say, as a person meets it: asked for in the farm file, listed, in doubt wherever
# a verdict rests on it, and different once the thresholds are.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin flags

for step in load confirm logger; do
    demo_step "$step"
    expect_status 0
done
run flags 2026-03
expect_status 0
expect_out '2 flagged spans'
expect_out 'oxygen at outlet, by logger Q1; flat line, suspect: did not move for 3 hours'
expect_out '  2026-03-28 04:00 to 2026-03-28 06:50: 18 readings, the first 7.42 mg/L'
expect_out 'it can stop a verdict and never clear one'
verdict 'a probe that stood still is listed with its test and threshold'

run flags 2026-02
expect_out '  2026-02-19 14:10 to 2026-02-20 09:40: no reading between'
expect 'a gap is said to be in doubt' test "$(grep -c 'in doubt' out)" = 0
run flags outlet temperature 2026-03
expect_out 'no reading is flagged'
verdict 'a gap puts nothing in doubt, and what is not tested is not flagged'

run explain oxygen-floor 2026-03
expect_out '48 not counted (in doubt: sensor test: flat line, suspect: did not move for 3 hours'
verdict 'an explanation says what is in doubt and why'

run flags outlet oxigen
refused 'a parameter of nowhere' 2 "oxigen" 'oxygen'
run flags outlet
refused 'a station alone' 2 'the parameter of outlet is missing' 'outlet oxygen'
run flags 2026-03 outlet
refused 'words in another order' 2 "'outlet' is too much" ''

sed 's/suspect after: 3 hours, fail after: 6 hours/suspect after: 12 hours/' "$demo/farm.yaml" >wider.yaml
run farm load wider.yaml --by wren
expect_status 0
expect_out 'sensor test outlet oxygen'
run flags 2026-03
expect_out 'no reading is flagged'
run explain oxygen-floor 2026-03
expect 'it is still in doubt' test "$(grep -c 'in doubt' out)" = 0
verdict 'other thresholds are held against what is stored already'

sed 's/suspect after: 3 hours/suspect after: 3 ours/; s/gap: 30 minutes/gpa: 30 minutes/' \
    "$demo/farm.yaml" >wrong.yaml
run farm check wrong.yaml
expect_status 2
expect_err "'3 ours' can't be \`suspect after\`"
expect_err "did you mean 'gap'?"
verdict 'mistakes are told with their place'
