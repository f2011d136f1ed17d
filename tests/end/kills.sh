#!/bin/sh
# Random files, and the program and its server killed at random moments: nothing acknowledged is
# lost, nothing is there twice, and every receipt adds up. See kills/rounds.py.
#
# WEIRBOOK_ROUNDS is how many files (60 unless said), WEIRBOOK_SEED repeats a run.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin kills

export WEIRBOOK_NOW=2026-07-10T12:00:00Z
rounds=${WEIRBOOK_ROUNDS:-60}
seed=${WEIRBOOK_SEED:-$(date +%s)}

# The farm of the tests, with its logger and its laboratory as text, workbooks and documents.
awk -v formats='csv json xlsx' '
    /^  key: KEY$/ { sub(/KEY/, "shore") }
    /^[a-z]/ || /^  - key: / {
        for (i = 1; block != "" && i <= split(formats, format, " "); i++) {
            text = block
            sub(/key: [a-z]*/, "key: " shape "-" format[i], text)
            sub(/\n    shape: /, "\n    format: " format[i] "&", text)
            if (format[i] != "csv")
                sub(/\n    separator: comma/, "", text)
            if (format[i] == "json")
                sub(/\n    shape: /, "\n    records: data.rows&", text)
            added = added text
        }
        block = shape = ""
    }
    /^[a-z]/ && added != "" { printf "%s", added; added = "" }
    /^  - key: logger$/ { shape = "wide" }
    /^  - key: laboratory$/ { shape = "long" }
    shape != "" { block = block $0 "\n" }
    { print }' "$tree/tests/harness/farm.yaml" >farm.yaml
run farm load farm.yaml --by pat --json
expect_status 0
verdict 'a farm with sources of every format is there'

printf '# the seed is %s\n' "$seed"
mkdir files
python3 "$tree/tests/end/kills/rounds.py" "$weirbook" "$build/bench_hold" "$data" "$work/files" \
    "$rounds" "$seed" >problems 2>told || note "rounds.py failed: $(tail -n 1 told)"
grep '^#' told || :
[ ! -s problems ] || note "seed $seed: $(head -n 5 problems)"
verdict "killed at random moments, $rounds times, nothing is lost and nothing is there twice"
