#!/bin/sh
# Several programs on one folder of records, programs and servers that are killed, and what they
# leave behind: the next program works, nothing is lost, and after the last nothing runs on.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin programs

# start NAME WORD...: beside us; `ended NAME` waits for it.
start()
{
    job=$1
    shift
    {
        one=0
        "$weirbook" --data "$data" "$@" >"$work/$job.out" 2>"$work/$job.err" </dev/null || one=$?
        printf '%s\n' "$one" >"$work/$job.status"
    } &
}

# The answer of one that was started beside us.
ended()
{
    shown="weirbook, beside others: $1"
    status=$(cat "$work/$1.status")
    cp "$work/$1.out" out
    cp "$work/$1.err" err
}

quiet_again()
{
    wait_until 20 nothing_in "$data"
}

nothing_left()
{
    expect 'a process still works in the folder' quiet_again
    expect 'the server left its pid file' test ! -e "$data/postgres/postmaster.pid"
    verdict "$1"
}

# --- two at once -----------------------------------------------------------------------------

start one farm load "$demo/farm.yaml" --by wren --json
start two farm load "$demo/farm.yaml" --by wren --json
wait
for job in one two; do
    ended "$job"
    [ "$status" -eq 0 ] || [ "$status" -eq 4 ] || note "$job ended with $status"
done
expect 'not just one made the farm' test "$(cat one.out two.out | grep -c '"new_farm":true')" -eq 1
run status --json
expect_status 0
expect_json 'j["farm_file_version"] == 1 and j["ledger_entries"] == 1'
verdict 'two that make the same farm in the same moment make one'
nothing_left 'and after them nothing runs'

run confirm --by wren
for month in 02 03 04; do
    start "logger-$month" take-in logger "$demo/logger-2026-$month.csv" --by ash --json
done
start meter take-in meter-sheet "$demo/meter-2026.csv" --by ash --json
start outlet take-in outlet-sheet "$demo/outlet-2026.csv" --by ash --json
start check check 2026-02 --json
start status status --json
wait
for job in logger-02 logger-03 logger-04 meter outlet check status; do
    ended "$job"
    expect_status 0
done
expect 'the seven did not all end' test "$(cat ./*.status | wc -l)" -eq 9
verdict 'seven programs at once all do what they should'
run status --json
expect_json 'j["files_received"] == 5 and j["ledger_entries"] >= 7'
run ledger check --json
expect_status 0
verdict 'all they did is on record, in an unbroken ledger'

start one take-in laboratory "$demo/lab-2026-02-03.csv" --by ash --json
start two take-in laboratory "$demo/lab-2026-02-03.csv" --by ash --json
wait
for job in one two; do
    ended "$job"
    [ "$status" -eq 0 ] || [ "$status" -eq 4 ] || note "$job ended with $status"
done
run take-in laboratory "$demo/lab-2026-02-03.csv" --by ash --json
expect_json 'j[0]["already"] and j[0]["stored"] == 9'
run status --json
expect_json 'j["files_received"] == 6'
verdict 'the same file by two at once is taken in once'

# shellcheck disable=SC2046
run take-in laboratory $(demo_sheets) --by wren --json
expect_status 0
run check 2026-02 --json
expect_json 'sorted(l["limit"] for l in j["limits"] if l["standing"] != "within") == ["solids-each", "temperature-day"]'
verdict 'and the month is judged as when one came after the other'
nothing_left 'after the last program nothing runs'

# --- killed ----------------------------------------------------------------------------------

# A server that is left running: its program is killed as soon as it answers.
orphan_server()
{
    "$weirbook" --data "$data" check --json >out 2>err </dev/null &
    program=$!
    wait_until 20 test -S "$data/run/.s.PGSQL.5432" || note 'no server came up'
    kill -KILL "$program" 2>/dev/null || note 'it had ended already'
    { wait "$program"; } 2>/dev/null || :
    [ -n "$(server_of "$data")" ] || note 'the server did not outlive its program'
}

works()
{
    run status --json
    expect_status 0
    expect 'the record is another' same_record "$before"
}

run check
expect_status 0
before=$(record_kept)
orphan_server
works
verdict 'a program that was killed leaves a server that the next one uses'
nothing_left 'and stops'

orphan_server
kill -KILL "$(server_of "$data")" 2>/dev/null || note 'there was no server'
works
verdict 'a server that was killed as well is started anew'
nothing_left 'and stopped'

orphan_server
for pid in $(processes_in "$data/postgres"); do
    kill -KILL "$pid" 2>/dev/null || :
done
expect 'it left no pid file' test -e "$data/postgres/postmaster.pid"
works
verdict 'so is one that was killed with all its children'
nothing_left 'and stopped too'

orphan_server
orphan=$(server_of "$data")
start one status --json
start two aside --json
start three check 2026-03 --json
wait
for job in one two three; do
    ended "$job"
    expect_status 0
done
verdict 'three that find a server left running share it'
nothing_left "and the last of them stops it (process $orphan)"

# --- what lies about -------------------------------------------------------------------------

# as_owner COMMAND...: with the rights of those files.
as_owner()
{
    as_account "$@"
}

# A pid file as PostgreSQL writes it, naming a process that is none of it.
stale_pid_file()
{
    printf '%s\n%s\n0\n5432\n%s\n\n0 0\nready   \n' "$1" "$data/postgres" "$data/run" >pid
    chmod 0644 pid
    as_owner sh -c "cat '$work/pid' >'$data/postgres/postmaster.pid'"
}

for case in "$$:of a process that is somebody else's" '999999999:of no process' ':that is empty'; do
    stale_pid_file "${case%%:*}"
    works
    verdict "an old pid file ${case#*:} is no hindrance"
done
as_owner sh -c "echo 1 >'$data/start.lock'; echo 1 >'$data/users.lock'"
as_owner sh -c "echo 999999999 >'$data/run/.s.PGSQL.5432.lock'"
as_owner python3 -c '
import os, socket, sys
os.chdir(sys.argv[1])
socket.socket(socket.AF_UNIX).bind(".s.PGSQL.5432")' "$data/run"
works
verdict 'lock files and a socket that nobody holds are no hindrance'
nothing_left 'and are cleared up'

version=$(cat "$data/postgres/PG_VERSION")
as_owner sh -c "echo 12 >'$data/postgres/PG_VERSION'"
run status
refused 'records of another PostgreSQL are refused, both named' 4 'PostgreSQL 12' "$version"
as_owner sh -c "echo '$version' >'$data/postgres/PG_VERSION'"
works
verdict 'and untouched by it'

# --- where records can lie -------------------------------------------------------------------

long=$work/$(printf 'a-folder-with-a-long-name/%.0s' 1 2 3 4 5)records
first=$data
data=$long
run farm load "$demo/farm.yaml" --by wren --json
expect_status 0
run status --json
expect_status 0
verdict 'a folder whose path is too long for a socket'
nothing_left 'and nothing runs on there'
data="$work/in a farmer's own folder, ümlaut & all"
run farm load "$demo/farm.yaml" --by wren --json
expect_status 0
run take-in laboratory "$demo/lab-2026-02-03.csv" --by wren --json
expect_status 0
verdict 'a folder named as people name folders'
nothing_left 'and nothing runs on there either'

if [ "$(id -u)" -eq 0 ]; then
    mkdir -m 0700 shut
    data=$work/shut/records
    run farm load "$demo/farm.yaml" --by wren
    expect 'something was made there' test ! -e "$data"
    refused 'a folder that the account can not reach is refused, naming the one in the way' 4 \
        "$work/shut"
fi
printf 'not a folder\n' >plain
data=$work/plain
run farm load "$demo/farm.yaml" --by wren
[ "$status" -eq 2 ] || [ "$status" -eq 4 ] || note "it ended with $status"
expect_err "$work/plain"
expect 'the file was touched' grep -q 'not a folder' plain
verdict 'a file where the folder should be'
data=$first
works
verdict 'after all this the records are what they were'
nothing_left 'and nothing runs'
