#!/bin/sh
# Fuzz: build the fuzzers with clang, and let each look for inputs that break what it holds.
#
#     sh tests/fuzz/run.sh MINUTES            all, MINUTES each, two at a time
#     sh tests/fuzz/run.sh MINUTES WHAT...    of csv, xlsx, json, charset, farmfile, look
#
# A line each: `ok fuzz/csv: ...` with how long it ran, how much it tried and how much of the
# program that reached; or `not ok fuzz/csv: ...` with the file that shows it. Make such a file
# small (-minimize_crash=1), name it for its symptom, put it into tests/fuzz/corpus/WHAT/, mend.
#
# FUZZ_BUILD is the folder to build in (build-fuzz), FUZZ_FOUND the one that keeps what was found
# (FUZZ_BUILD/found).
set -eu

repo=$(CDPATH='' cd -- "$(dirname -- "$0")/../.." && pwd)
# shellcheck source=src/install.sh
. "$repo/src/install.sh"

memory_most_mb=1024
seconds_most=10 # for one input
at_once=2

case ${1-} in
'' | *[!0-9]*) stop 2 'usage: sh tests/fuzz/run.sh MINUTES [csv | xlsx | json | charset | farmfile | look]...' ;;
esac
minutes=$1
shift
[ $# -gt 0 ] || set -- csv farmfile xlsx json charset look
build=${FUZZ_BUILD:-$repo/build-fuzz}
found=${FUZZ_FOUND:-$build/found}

# Bytes of the longest input: what costs nothing but time beyond that is no news.
length_of()
{
    case $1 in
    xlsx | farmfile) echo 4096 ;;
    *) echo 2048 ;;
    esac
}

# fuzz WHAT: until the time is over, or something is found.
fuzz()
{
    mkdir -p "$found/$1"
    status=0
    nice -n 19 "$build/fuzz_$1" "-max_total_time=$((minutes * 60))" "-timeout=$seconds_most" \
        "-rss_limit_mb=$memory_most_mb" "-max_len=$(length_of "$1")" -print_final_stats=1 \
        "-artifact_prefix=$found/$1-" "$found/$1" "$repo/tests/fuzz/corpus/$1" \
        >"$found/$1.log" 2>&1 </dev/null || status=$?
    tried=$(sed -n 's/^Done \([0-9]*\) runs in \([0-9]*\) second.*/\1 inputs in \2 s/p' "$found/$1.log")
    reached=$(grep -ao 'cov: [0-9]* ft: [0-9]*' "$found/$1.log" | tail -n 1)
    if [ "$status" -eq 0 ] && [ -n "$tried" ]; then
        printf 'ok fuzz/%s: nothing found, %s, %s\n' "$1" "$tried" "$reached"
    else
        printf 'not ok fuzz/%s: %s (%s)\n' "$1" \
            "$(grep -aE 'not so|runtime error|ERROR: ' "$found/$1.log" | head -n 1)" \
            "$(sed -n 's/.*Test unit written to //p' "$found/$1.log" | tail -n 1)"
    fi
    return "$status"
}

# The library with libFuzzer in it is a package of its own.
need_packages 'for the fuzzers' clang libclang-rt-dev
mkdir -p "$build"
{ cmake -S "$repo" -B "$build" -DFUZZ=ON -DCMAKE_C_COMPILER=clang &&
    cmake --build "$build" -j "$(nproc)" --target fuzzers; } >"$build/build.log" 2>&1 ||
    stop 4 "The build failed: see $build/build.log."
failed=0
while [ $# -gt 0 ]; do
    running=
    while [ $# -gt 0 ] && [ "$(printf '%s' "$running" | wc -w)" -lt "$at_once" ]; do
        fuzz "$1" &
        running="$running $!"
        shift
    done
    for pid in $running; do
        wait "$pid" || failed=1
    done
done
exit "$failed"
