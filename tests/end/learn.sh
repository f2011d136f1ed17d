#!/bin/sh
# A source that learns what its files mean: what waits, what to do next, and what became of it.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin learn

example=$tree/fixtures/example
cp "$example/farm.yaml" farm.yaml
cat >sheet.csv <<'END'
Sample,Site,Date,Time,Test,Result,Unit
26-0201,Outlet,12/05/2026,09:40,Suspended solids,14,mgl
26-0202,Outlet,13/05/2026,09:40,Suspended solids,bottle broke,mg/L
26-0203,Outlet,14/05/2026,09:40,Nitrate,1.2,mg/L
26-0204,Outlet,15/05/2026,09:40,Suspended solids,-3,mg/L
END

run farm load farm.yaml --by owner
expect_status 0
run take-in laboratory sheet.csv --by owner
expect_status 0
expect_out '4 values in = 0 stored + 0 known already + 0 blank + 4 set aside'
run aside
expect_out "It may mean 'nitrate'."
expect_out "can't be negative"
verdict 'a name and a negative amount are set aside with what to do'

sed 's/^    unit column: Unit$/&\n    unit words: {mgl: mg\/L}\n    blanks: [bottle broke]/' farm.yaml >learnt.yaml
run farm load learnt.yaml --by owner
expect_status 0
expect_out 'Next: weirbook aside read-again sheet.csv --by owner'
verdict 'a source that changed leads to the file whose rows wait'

run aside read-again sheet.csv --by owner
expect_status 0
expect_out 'of 4 values that waited, 1 is now on record and 1 is blank.'
run aside --json
expect 'not two rows wait' test "$(grep -o '"line"' "$work/out" | wc -l)" -eq 2
verdict 'what reads as blank now waits no longer'

sed 's/^    name: Example Shore/    name: Example Shores/; s/^  name: Example Shore/  name: Example Shores/' learnt.yaml >named.yaml
run farm load named.yaml --by owner
expect_out 'Next: weirbook confirm --list'
verdict 'another change leads elsewhere'
