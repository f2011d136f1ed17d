#!/bin/sh
# README.md's own commands, in its order, say what it shows.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin readme

# What it shows is of its own files, so they lie where it names them.
cp -R "$tree/fixtures" "$work/fixtures"
WEIRBOOK_DATA=$data
export WEIRBOOK_DATA
python3 "$lib/readme.py" "$tree/README.md" "$weirbook" "$work"

# The state of one's own that it shows, put where it says: into the farm file of its first example.
awk -v folder="$work" '
    /^```/ { part = ""; next }
    /^parameters:$/ { part = "parameters" }
    part != "" && /^limits:$/ { part = "limits"; next }
    part != "" { print >(folder "/state-" part) }
' "$tree/README.md"
awk -v folder="$work" '
    /^limits:$/ {
        while ((getline line < (folder "/state-parameters")) > 0) print line
        print
        while ((getline line < (folder "/state-limits")) > 0) print line
        next
    }
    { print }
' "$tree/fixtures/example/farm.yaml" >state.yaml
run farm check state.yaml --json
expect_status 0
expect_json 'j["problems"] == []'
sed 's/must be: not seen/must be: unseen/' state.yaml >wrong.yaml
run farm check wrong.yaml
expect_status 2
verdict 'the state of its own that it shows goes into a farm file'
