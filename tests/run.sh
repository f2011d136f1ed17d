#!/bin/sh
# Run the tests: install what they need, build with sanitizers, run every part, count.
#
#     sh tests/run.sh          all that belongs to every change; under 15 minutes on 2 cores
#     sh tests/run.sh long     the longer parts too
#
# The last line is `N passed, N failed`. Ends with 0 only if something passed and nothing failed.
#
# Parts: every executable of tests/<room>/test_<module>.c by ctest (its cases counted from the XML
# it leaves), and every tests/house/*.sh and tests/end/*.sh. A script prints `ok NAME` or
# `not ok NAME: why` a case, and finds these in its environment:
#
#     WEIRBOOK_SOURCE    the tree
#     WEIRBOOK_BUILD     the build with sanitizers
#     WEIRBOOK_SCRATCH   a folder that goes at the end, and with it every server that works in it
#
# Scripts named long_*.sh run only when asked for.
set -eu

repo=$(CDPATH='' cd -- "$(dirname -- "$0")/.." && pwd)
# shellcheck source=src/install.sh
. "$repo/src/install.sh"

long=
case ${1-} in
'') ;;
long) long=yes ;;
*) stop 2 "usage: sh tests/run.sh [long]" ;;
esac

build=$repo/build-test
export WEIRBOOK_SOURCE="$repo" WEIRBOOK_BUILD="$build"
# A crash must end the program with its report, not be taken for one failed case.
export ASAN_OPTIONS="handle_segv=2:abort_on_error=1:detect_leaks=1"
export UBSAN_OPTIONS="print_stacktrace=1"
passed=0
failed=0
skipped=0

# --- its end ---------------------------------------------------------------------------------

# Processes whose working folder lies in the scratch folder.
scratch_processes()
{
    for link in /proc/[0-9]*/cwd; do
        case $(readlink "$link" 2>/dev/null) in
        "$WEIRBOOK_SCRATCH" | "$WEIRBOOK_SCRATCH"/*)
            link=${link#/proc/}
            printf '%s\n' "${link%/cwd}"
            ;;
        esac
    done
}

signal_scratch()
{
    for pid in $(scratch_processes); do
        kill "-$1" "$pid" 2>/dev/null || :
    done
}

leave_nothing()
{
    [ -n "${WEIRBOOK_SCRATCH-}" ] || return 0
    for signal in QUIT QUIT KILL; do
        signal_scratch "$signal"
        tries=0
        while [ -n "$(scratch_processes)" ] && [ "$tries" -lt 50 ]; do
            sleep 0.1
            tries=$((tries + 1))
        done
    done
    rm -rf -- "$WEIRBOOK_SCRATCH"
}

# --- one part --------------------------------------------------------------------------------

# part_begin NAME BUDGET_SECONDS ... part_end
part_begin()
{
    part=$1
    budget=$2
    began=$(date +%s)
    passed_before=$passed
    failed_before=$failed
    printf '\n== %s\n' "$part"
}

part_end()
{
    took=$(($(date +%s) - began))
    over=
    [ "$took" -le "$budget" ] || over=', OVER ITS BUDGET'
    printf '== %s: %s passed, %s failed, %s s of %s s%s\n' "$part" \
        $((passed - passed_before)) $((failed - failed_before)) "$took" "$budget" "$over"
}

fail_case()
{
    failed=$((failed + 1))
    printf 'not ok %s\n' "$*"
}

# --- the executables -------------------------------------------------------------------------

# Sums of all XML files: "passed failed skipped". Failing cases are told on stderr.
count_cases()
{
    find "$build/xml" -name '*.xml' -exec cat {} + | awk '
        function attribute(name,    at, rest) {
            at = index($0, " " name "=\"")
            rest = substr($0, at + length(name) + 3)
            return at ? substr(rest, 1, index(rest, "\"") - 1) : ""
        }
        /<testsuite name=/ { suite = attribute("name") }
        /<testcase name=/ { name = attribute("name"); state = "passed"; why = "" }
        /<failure>|<error>/ { state = "failed"; inside = 1 }
        /<skipped/ { state = "skipped" }
        inside {
            line = $0
            gsub(/ *<\/?(failure|error)>|<!\[CDATA\[|\]\]>/, "", line)
            why = why "\n        " line
        }
        /<\/failure>|<\/error>/ { inside = 0 }
        /<\/testcase>/ {
            count[state]++
            if (state == "failed")
                printf "not ok %s %s%s\n", suite, name, why > "/dev/stderr"
        }
        END { print count["passed"] + 0, count["failed"] + 0, count["skipped"] + 0 }'
}

# Whether an executable's own XML tells of a failed case.
told_of_failure()
{
    find "$build/xml" -path "$build/xml/$1-*" -name '*.xml' -exec grep -l '<failure>\|<error>' {} + |
        grep -q .
}

left_xml()
{
    find "$build/xml" -path "$build/xml/$1-*" -name '*.xml' | grep -q .
}

run_executables()
{
    log=$build/Testing/Temporary/LastTestsFailed.log
    mkdir -p "$build/xml"
    find "$build/xml" -name '*.xml' -delete # cmocka does not write over an old one
    rm -f "$log"
    ctest --test-dir "$build" -j 2 --output-on-failure </dev/null || :

    # shellcheck disable=SC2046
    set -- $(count_cases)
    passed=$((passed + $1))
    failed=$((failed + $2))
    skipped=$((skipped + $3))

    # A crash, a leak or a test that took too long fails without a case that says so.
    if [ -f "$log" ]; then
        while IFS=: read -r number name; do
            told_of_failure "$name" || fail_case "$name (test $number): it crashed, leaked or hung"
        done <"$log"
    fi
    for name in $(ctest --test-dir "$build" -N | sed -n 's/^ *Test *#[0-9]*: //p'); do
        left_xml "$name" || grep -qs ":$name\$" "$log" || fail_case "$name: it told of no case"
    done
}

# --- the scripts -----------------------------------------------------------------------------

# scripts FOLDER PATTERN BUDGET_SECONDS HOW_MANY_AT_ONCE
scripts()
{
    list=$build/scripts/$1.list
    mkdir -p "$build/scripts"
    for script in "$repo/tests/$1/"$2.sh; do
        case $2:${script##*/} in
        '*:long_'*) ;;
        *) [ ! -f "$script" ] || printf '%s\n' "$script" ;;
        esac
    done >"$list"
    [ -s "$list" ] || return 0

    part_begin "$1" $(($3 * 5))
    rm -f "$build/scripts/$1"-*.count
    xargs -d '\n' -n 1 -P "$4" sh "$repo/tests/run_script.sh" "$3" "$build/scripts" <"$list" || :
    while read -r script; do
        count_script "${script##*/}" "$build/scripts/$1-${script##*/}.count"
    done <"$list"
    part_end
}

# count_script NAME FILE: "PASSED FAILED" is in the file.
count_script()
{
    if [ -f "$2" ] && read -r good bad <"$2"; then
        passed=$((passed + good))
        failed=$((failed + bad))
    else
        fail_case "$1: nobody knows how it ended"
    fi
}

# --- all of it -------------------------------------------------------------------------------

run_all()
{
    part_begin 'install' 120
    # shellcheck disable=SC2086
    need_packages 'for the tests' $build_packages $run_packages $test_packages
    need_account
    part_end

    # Short, because a socket's path has little room; open, because the server's account passes.
    WEIRBOOK_SCRATCH=$(mktemp -d /tmp/weirbook-run.XXXXXX)
    export WEIRBOOK_SCRATCH
    chmod 0711 "$WEIRBOOK_SCRATCH"

    part_begin 'build with sanitizers' 240
    (build_tree "$build" -DSTRICT=ON -DSANITIZE=ON -DTESTS=ON) || fail_case 'the build'
    part_end
    [ "$failed" -eq 0 ] || return 0

    part_begin 'test programs' 300
    run_executables
    part_end

    scripts house '*' 30 1
    scripts end '*' 300 2
    if [ -n "$long" ]; then
        for folder in "$repo"/tests/*/; do
            scripts "$(basename "$folder")" 'long_*' 7200 1
        done
    fi
}

trap leave_nothing EXIT
trap 'exit 130' INT
trap 'exit 143' TERM HUP

run_all
[ "$skipped" -eq 0 ] || printf '\n%s skipped\n' "$skipped"
leave_nothing
trap - EXIT
printf '\n%s passed, %s failed\n' "$passed" "$failed"
[ "$failed" -eq 0 ] && [ "$passed" -gt 0 ]
