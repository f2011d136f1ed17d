#!/bin/sh
# The words a farm file may use, as the program lists them: every topic it names, within a terminal,
# and the same in JSON. What it says of a key must be what the farm file is read by.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin words

fits_80_columns()
{
    ! awk 'length($0) > 80' "$work/out" | grep -q .
}

is_json()
{
    python3 -c 'import json, sys; assert json.load(open(sys.argv[1]))' "$work/out"
}

run_bare words
cp out topics.txt
expect_status 0
expect_out 'less-thans'
expect 'it is wider than 80 columns' fits_80_columns
verdict 'words alone lists the topics'

# A topic's name ends at two blanks; a line that goes on begins with blanks.
sed -n '/^topic /,/^$/p' topics.txt | grep '^[a-z]' | grep -v '^topic ' | sed 's/   *.*//' | sort -u >topics
expect 'fewer than 15 topics' test "$(wc -l <topics)" -ge 15
while read -r topic; do
    # shellcheck disable=SC2086
    run_bare words $topic
    expect_status 0
    expect_no_err
    expect 'it is wider than 80 columns' fits_80_columns
    # shellcheck disable=SC2086
    run_bare words $topic --json
    expect_status 0
    expect 'it is no JSON' is_json
    verdict "words $topic lists its words"
done <topics

run_bare words parameters
expect_out 'discharge-meter'
expect_out 'Total ammonia (as N)'
expect_out 'a counter'
expect_out 'open or shut'
run_bare words less-thans
expect_out 'zero, half, at the'
run_bare words units
expect_out 'MPN/100 mL'
run_bare words no sample
expect_out 'unsafe to sample'
run_bare words not detected
expect_out 'n.d.'
run_bare words times
expect_out 'YYYY'
verdict 'what a farm file needs is among the words'

run_bare words limit
expect_status 2
expect_err 'weirbook words limits'
verdict 'a topic that is none gets the nearest'

cat >farm.yaml <<'END'
farm: {key: shore, name: Shore, time zone: UTC}
people: []
stations: [{key: out, name: Out, kind: other}]
meters: [{station: out, parameter: meter, multiplier: 1, share over days: no}]
END
run_bare farm check farm.yaml
expect_status 2
expect_err "did you mean 'discharge-meter' or 'energy-meter'?"
expect_err 'weirbook words parameters'
verdict 'a parameter that is none leads to the list of them'

run_bare words limits --json
python3 "$lib/reference.py" "$tree/README.md" "$work/out" >lacks || note 'the reference was not read'
expect 'README lacks some of them' test ! -s lacks
[ ! -s lacks ] || sed 's/^/# /' lacks
verdict 'every choice of a limit stands in the reference of README'
