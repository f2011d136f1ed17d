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
