# shellcheck shell=sh
# What every test in tests/end begins with. Read with `.`, not run by itself.
#
#     . "$(dirname -- "$0")/lib/lib.sh"
#     begin demo                          $work to write in, $data for a farm
#
#     run status --json                   weirbook on $data: $status, $work/out, $work/err
#     expect_status 0                     each that fails is noted
#     expect_out 'ledger'
#     verdict 'the ledger is shown'       ok, or not ok with what was noted since the last one
#
# The program answers as a person or a script would see it. Nothing here looks into its database.
set -eu

tree=${WEIRBOOK_SOURCE:-$(CDPATH='' cd -- "$(dirname -- "$0")/../.." && pwd)}
build=${WEIRBOOK_BUILD:-$tree/build-test}
# shellcheck disable=SC2034 # for those who read this
lib=$tree/tests/end/lib
demo=$tree/fixtures/quillmere
weirbook=$build/weirbook
export ASAN_OPTIONS="${ASAN_OPTIONS:-handle_segv=2:abort_on_error=1:detect_leaks=1}"
export UBSAN_OPTIONS="${UBSAN_OPTIONS:-print_stacktrace=1}"
# What a caller may have set must not lead anywhere but to the farms made here.
unset WEIRBOOK_DATA PGHOST PGHOSTADDR PGSERVICE PGUSER PGDATABASE PGPORT 2>/dev/null || :

# --- begin and end ---------------------------------------------------------------------------

begin()
{
    suite=$1
    [ -x "$weirbook" ] || {
        printf 'not ok %s: there is no %s\n' "$suite" "$weirbook"
        exit 1
    }
    work=$(mktemp -d "${WEIRBOOK_SCRATCH:-/tmp}/$suite.XXXXXX")
    chmod 0711 "$work" # the account that runs the database as root passes through
    data=$work/farm
    noted=
    cd "$work"
    trap 'end_all' EXIT
    trap 'exit 130' INT
    trap 'exit 143' TERM
}

# Processes that work in a folder under this one. (The scratch folder's own shells work there too.)
processes_in()
{
    for link in /proc/[0-9]*/cwd; do
        case $(readlink "$link" 2>/dev/null) in
        "$1" | "$1"/*)
            link=${link#/proc/}
            [ "${link%/cwd}" = "$$" ] || printf '%s\n' "${link%/cwd}"
            ;;
        esac
    done
}

# The server of a farm's folder: the number it wrote down, if that process lives.
server_of()
{
    [ -f "$1/postgres/postmaster.pid" ] || return 0
    pid=$(head -n 1 "$1/postgres/postmaster.pid" 2>/dev/null || :)
    case $(readlink "/proc/$pid/cwd" 2>/dev/null) in
    "$1/postgres") printf '%s\n' "$pid" ;;
    esac
}

end_all()
{
    cd /
    for signal in QUIT KILL; do
        for pid in $(processes_in "$work"); do
            kill "-$signal" "$pid" 2>/dev/null || :
        done
        wait_until 5 nothing_in "$work" || :
    done
    rm -rf -- "$work"
}

nothing_in()
{
    [ -z "$(processes_in "$1")" ]
}

# wait_until SECONDS COMMAND...: false when it did not come true in time.
wait_until()
{
    tries=$(($1 * 20))
    shift
    while ! "$@"; do
        [ "$tries" -gt 0 ] || return 1
        tries=$((tries - 1))
        sleep 0.05
    done
}

# --- run -------------------------------------------------------------------------------------

# run WORD...: the program on the farm in $data.
run()
{
    run_bare --data "$data" "$@"
}

# The same without a folder named.
run_bare()
{
    shown="weirbook $*"
    status=0
    "$weirbook" "$@" >"$work/out" 2>"$work/err" </dev/null || status=$?
}

# The same, and how much memory it took at most.
run_measured()
{
    shown="weirbook --data $data $*"
    status=0
    python3 "$lib/measured.py" "$work/peak" "$weirbook" --data "$data" "$@" \
        >"$work/out" 2>"$work/err" </dev/null || status=$?
}

# The demo farm, taken in: everything, in the order its page gives.
demo_farm()
{
    for step in load confirm logger meter-sheet outlet-sheet laboratory; do
        demo_step "$step"
        [ "$status" -eq 0 ] || {
            verdict_not "the demo farm is made: $step"
            return 1
        }
    done
}

demo_step()
{
    case $1 in
    load) run farm load "$demo/farm.yaml" --by wren --json ;;
    confirm) run confirm --by wren --json ;;
    logger) run take-in logger "$demo"/logger-2026-*.csv --by ash --json ;;
    meter-sheet) run take-in meter-sheet "$demo/meter-2026.csv" --by ash --json ;;
    outlet-sheet) run take-in outlet-sheet "$demo/outlet-2026.csv" --by ash --json ;;
    laboratory)
        # shellcheck disable=SC2046
        run take-in laboratory $(demo_sheets) --by wren --json
        ;;
    esac
}

# Sheets by date; one that came again or was corrected comes after the first.
demo_sheets()
{
    for first in "$demo"/lab-????-??-??.csv; do
        printf '%s\n' "$first"
        for later in "${first%.csv}"-*.csv; do
            [ ! -f "$later" ] || printf '%s\n' "$later"
        done
    done
}

# --- expect ----------------------------------------------------------------------------------

note()
{
    noted="$noted${noted:+; }$*"
}

expect_status()
{
    [ "$status" -eq "$1" ] || note "it ended with $status, not $1"
    ! grep -q 'Sanitizer\|runtime error:' "$work/err" || note 'a sanitizer complained'
}

# What it answered, what it complained of.
expect_out()
{
    grep -qF -e "$1" "$work/out" || note "its answer lacks '$1'"
}

expect_err()
{
    grep -qF -e "$1" "$work/err" || note "its complaint lacks '$1'"
}

expect_no_err()
{
    [ ! -s "$work/err" ] || note 'it complained'
}

# A tenth of a gigabyte, sanitizers and all: far from any file that is measured by it.
expect_little_memory()
{
    [ "$(cat "$work/peak")" -lt 100000 ] || note "its memory grew to $(cat "$work/peak") kB"
}

# expect_json EXPRESSION: Python over the answer, which is `j`.
expect_json()
{
    told=$(python3 -c '
import json, sys
with open(sys.argv[1]) as file:
    j = json.load(file)
if not eval(sys.argv[2]):
    print("not so: " + sys.argv[2])' "$work/out" "$1" 2>&1 | tail -n 1)
    [ -z "$told" ] || note "$told"
}

# expect WHY COMMAND...: the command succeeds.
expect()
{
    why=$1
    shift
    "$@" || note "$why"
}

# --- verdict ---------------------------------------------------------------------------------

verdict()
{
    if [ -z "$noted" ]; then
        printf 'ok %s: %s\n' "$suite" "$1"
    else
        verdict_not "$1"
    fi
}

verdict_not()
{
    printf 'not ok %s: %s: %s\n' "$suite" "$1" "${noted:-it ended with $status}"
    printf '    # %s (status %s)\n' "${shown-}" "${status-}"
    for stream in out err; do
        [ ! -f "$work/$stream" ] || head -n 12 "$work/$stream" | cut -c 1-300 | sed "s/^/    # $stream: /"
    done
    noted=
}

# refused NAME STATUS TEXT...: it ended so, and its complaint holds each text and says what to do.
refused()
{
    name=$1
    expect_status "$2"
    shift 2
    for text in "$@"; do
        expect_err "$text"
    done
    [ "$(grep -c . "$work/err")" -ge 2 ] || note 'it does not say what to do'
    verdict "$name"
}

# --- what is on record -----------------------------------------------------------------------

# All that `status` tells, to be compared later. Not `latest`'s order or time: there is none.
record_kept()
{
    "$weirbook" --data "$data" status --json 2>/dev/null || :
}

# same_record BEFORE: nothing was lost and no half was kept.
same_record()
{
    [ "$(record_kept)" = "$1" ]
}

# --- a server of somebody else ---------------------------------------------------------------

# Its programs, newest first; empty when there are none.
server_programs()
{
    for folder in /usr/lib/postgresql/*/bin; do
        [ ! -x "$folder/initdb" ] || printf '%s\n' "$folder"
    done | sort -t / -k 5 -n -r | head -n 1
}

# As the account that may run a server: ourselves, or `weirbook` where root asks.
as_account()
{
    if [ "$(id -u)" -eq 0 ]; then
        runuser -u weirbook -- "$@"
    else
        "$@"
    fi
}

# server_make FOLDER: a server with the superuser `keeper` and an empty database `records`, on a
# socket in FOLDER, where everybody on this machine may connect. Nothing of it is the program's.
server_make()
{
    mkdir -p "$1"
    [ "$(id -u)" -ne 0 ] || chown weirbook "$1"
    (
        cd "$1"
        as_account "$(server_programs)/initdb" -D "$1/cluster" -U keeper -A trust -E UTF8 \
            --locale=C --wal-segsize=1 -N >"$work/initdb.log" 2>&1 &&
            server_start "$1" &&
            as_account psql -X -q -h "$1" -U keeper -d postgres -c 'create database records'
    ) || {
        tail -n 5 "$work/initdb.log"
        return 1
    }
}

server_start()
{
    (
        cd "$1"
        as_account "$(server_programs)/pg_ctl" -D "$1/cluster" -l "$1/server.log" -w -s \
            -o "-k $1 -c listen_addresses='' -c fsync=off -c max_wal_size=2MB -c min_wal_size=2MB" \
            start >/dev/null 2>&1 </dev/null
    )
}

server_stop()
{
    (
        cd "$1"
        as_account "$(server_programs)/pg_ctl" -D "$1/cluster" -w -s -m fast stop >/dev/null 2>&1
    )
}

# server_sql FOLDER SQL: as its superuser.
server_sql()
{
    as_account psql -X -q -A -t -v ON_ERROR_STOP=1 -h "$1" -U keeper -d records -c "$2"
}
