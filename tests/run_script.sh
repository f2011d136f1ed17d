#!/bin/sh
# One test script, as run.sh starts them, several at once: its words go to a file, its failures and
# one line about it to standard output, "PASSED FAILED" beside the words.
#
#     sh tests/run_script.sh BUDGET_SECONDS WORDS_FOLDER SCRIPT
#
# A script that ends badly, is out of its time or tells of no case has failed one case more.
set -eu

budget=$1
script=$3
name=$(basename "$(dirname "$script")")/$(basename "$script")
words=$2/$(printf '%s' "$name" | tr '/' '-')
began=$(date +%s)
status=0
timeout -k 10 "$budget" sh "$script" >"$words.txt" 2>&1 </dev/null || status=$?
took=$(($(date +%s) - began))

good=$(grep -c '^ok ' "$words.txt" || :)
bad=$(grep -c '^not ok ' "$words.txt" || :)
told=$(grep '^not ok ' "$words.txt" || :)
if [ "$status" -ne 0 ] && [ "$bad" -eq 0 ]; then
    bad=1
    told="$(tail -n 15 "$words.txt")
not ok $name: it ended with status $status"
elif [ $((good + bad)) -eq 0 ]; then
    bad=1
    told="not ok $name: it told of no case"
fi
# One write, as another script may be telling of itself at the same moment.
printf '%s   %s: %s passed, %s failed, %s s of %s s\n' \
    "${told:+$told
}" "$name" "$good" "$bad" "$took" "$budget"
printf '%s %s\n' "$good" "$bad" >"$words.count"
