#!/bin/sh
# What a farmer's day brings that is wrong: each is refused, or set aside, with where and what to
# do; nothing is lost, nothing is kept half, and the next try works.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin bad

head_line='Sample,Site,Date,Time,Analyte,Result,Unit,Method,Reported'
sheet=$demo/lab-2026-02-03.csv

# untouched NAME STATUS TEXT...: refused, and the record is as before.
untouched()
{
    expect 'something was kept' same_record "$before"
    refused "$@"
}

# --- no farm ---------------------------------------------------------------------------------

run take-in laboratory "$sheet" --by wren
expect 'a folder was made' test ! -e "$data"
refused 'no farm: a folder that holds none' 2 'there is no farm' "$data" 'weirbook farm load'

run farm load "$tree/fixtures/quillmere/README.md" --by wren
expect_status 2
expect_err 'README.md:'
verdict 'a farm file that is none'

run farm load "$demo/farm.yaml" --by wren
expect_status 0
run confirm --by wren
expect_status 0
verdict 'and then one that is'

run status --farm quilmere
refused 'no farm: a key that is not here' 2 'quilmere' 'quillmere'

# --- files that are refused ------------------------------------------------------------------

before=$(record_kept)
: >empty.csv
printf '\n\n' >blank.csv
head -c 100000 "$weirbook" >program.csv
(cd "$demo" && gzip -c lab-2026-02-03.csv) >packed.csv
printf '%s\nT1,QM-1\0,2026-05-05\n' "$head_line" >nul.csv
sed 's/^Sample,Site/Sample,Place/' "$sheet" >column.csv
mkfifo pipe.csv
mkdir folder.csv
python3 -c '
import zipfile
with zipfile.ZipFile("workbook.csv", "w") as file:
    file.writestr("xl/workbook.xml", "<workbook/>")'
while IFS='|' read -r file name text; do
    run take-in laboratory "$file" --by wren
    untouched "$name" 2 "$file" "$text"
done <<CASES
folder.csv|a folder|not a plain file
pipe.csv|a pipe, which might never end|not a plain file
empty.csv|an empty file|is empty
blank.csv|a file of empty lines|ends before its header
program.csv|a binary file: a program|no text file but a program
workbook.csv|a binary file: a workbook under another name|workbook or a zip file
packed.csv|a binary file: compressed|compressed
nul.csv|a binary file: a NUL in the middle|is a NUL
column.csv|a file without a column that the source names|no column 'Site'
CASES

run take-in laboratory nothere.csv --by wren
expect_status 2
expect_err "can't read nothere.csv: it is not there"
verdict 'a file that is not there'

if [ "$(id -u)" -ne 0 ]; then
    cp "$sheet" locked.csv
    chmod 000 locked.csv
    run take-in laboratory locked.csv --by wren
    expect_status 4
    expect_err "can't read locked.csv: not allowed"
    expect 'something was kept' same_record "$before"
    verdict 'a file that may not be read'
else
    printf 'ok %s: a file that may not be read: root may read all, so it is tried as a user only\n' \
        "$suite"
fi

run take-in labratory "$sheet" --by wren
untouched 'a source that is not in the farm file' 2 labratory "Did you mean 'laboratory'"
run take-in laboratory "$sheet"
untouched 'a taking in by nobody' 2 '--by PERSON'
run take-in laboratory "$sheet" --by wern
untouched 'a person who is not in the farm file' 2 wern "Did you mean 'wren'"

# --- rows that are set aside -----------------------------------------------------------------

# Row, then what must be said of it. The file's line is that of the case, and one for the header.
cat >cases <<'CASES'
T01,QM-9,2026-05-05,09:30,Total suspended solids,20,mg/L,S,x|station-unknown|QM-9
T02,QM-1,2026-05-05,09:31,Total suspended solids,20,furlong,S,x|unit-unknown|furlong
T03,QM-1,2026-05-05,09:32,Total suspended sludge,20,mg/L,S,x|parameter-unknown|sludge
T04,QM-1,2026-02-30,09:33,Total suspended solids,20,mg/L,S,x|time-impossible|2026-02-30
T05,QM-1,2026-05-05,25:30,Total suspended solids,20,mg/L,S,x|time-impossible|25:30
T06,QM-1,2025-09-28,02:30,Total suspended solids,20,mg/L,S,x|time-missing-hour|jumped over
T07,QM-1,2026-04-05,02:30,Total suspended solids,20,mg/L,S,x|time-twice|came twice
T08,QM-1,2099-05-05,09:34,Total suspended solids,20,mg/L,S,x|time-future|later than the file
T09,QM-1,2026-05-05,09:35,Total suspended solids,1.234.5,mg/L,S,x|value-unreadable|two separators
T10,QM-1,2026-05-05,09:36,Total suspended solids,"1,234.5",mg/L,S,x|value-unreadable|two separators
T11,QM-1,2026-05-05,09:37,Total suspended solids,many,mg/L,S,x|value-unreadable|many
T12,QM-1,2026-05-05,09:38,Total suspended solids,20,mg/L,S,x,more|row-shape|10 cells
CASES
{
    printf '%s\n' "$head_line"
    cut -d '|' -f 1 cases
    printf 'T13,QM-1,2026-05-05,09:39,Total suspended solids,20,mg/L,S,x\n'
} >rows.csv
run take-in laboratory rows.csv --by wren --json
expect_status 0
expect_json "j[0]['values_in'] == 13 and j[0]['set_aside'] == 12 and j[0]['stored'] == 1"
verdict 'a bad row never stops a good one, and each is counted'

run aside --json
cp out asides.json
line=1
while IFS='|' read -r _ reason text; do
    line=$((line + 1))
    cp asides.json out
    expect_json "[(r['file'], r['reason']) for r in j['set_aside'] if r['line'] == $line] == [('rows.csv', '$reason')]"
    expect_json "all('$text' in r['words'] + r['text'] and r['what_to_do'] for r in j['set_aside'] if r['line'] == $line)"
    verdict "set aside with why and what to do: $reason, $text"
done <cases
run aside correct rows.csv 13 value 20 --because 'read off the sheet' --by wren
refused 'typing into a row of too many cells says what works' 2 "typing can't mend that line" \
    'Take in a file with this row put right' 'leave-out'
run aside
expect_out 'rows.csv, line 2, column 2'
expect_out 'to do:'
verdict 'the list for people names file, line and column too'

printf '%s\nT1,QM-1,2026-05-06,09:30,Total suspended solids,20,\265g/L,S,x\nT2,QM-1,2026-05-06,09:40,Total suspended solids,21,mg/L,S,x\n' \
    "$head_line" >charset.csv
run take-in laboratory charset.csv --by wren --json
expect_status 0
expect_json "j[0]['stored'] == 1 and j[0]['set_aside'] == 1"
run aside --json
expect_json "[(r['line'], r['column'], 'charset' in r['what_to_do']) for r in j['set_aside'] if r['file'] == 'charset.csv'] == [(2, 7, True)]"
verdict 'a byte in the wrong encoding is set aside at its place'

iconv -f utf-8 -t utf-16 "$demo/lab-2026-02-10.csv" >wide.csv
run take-in laboratory wide.csv --by wren --json
expect_status 0
expect_json "j[0]['stored'] == 8"
verdict 'a file in another encoding that says which is read'

# The farm's clocks went back on 5 April.
sed -n '1p;590,601p' "$demo/logger-2026-04.csv" >twice.csv
run take-in logger twice.csv --by ash --json
expect_status 0
expect_json "j[0]['stored'] == 120 and j[0]['set_aside'] == 0"
verdict 'the hour that comes twice is placed by the order of rows where the file runs through it'

# --- a line without an end -------------------------------------------------------------------

{
    printf '%s\nT3,QM-1,2026-05-07,09:30,Total suspended solids,' "$head_line"
    head -c 300000000 /dev/zero | tr '\0' 7
    printf '\nT4,QM-1,2026-05-07,09:30,Total suspended solids,20,mg/L,S,x\n'
} >long.csv
run_measured take-in laboratory long.csv --by wren --json
expect_little_memory
expect_status 0
expect_json "j[0]['stored'] == 1 and j[0]['set_aside'] == 1"
verdict 'a line of 300 MB is set aside in little memory, and the row after it stored'
run aside --json
expect_json "[(r['line'], len(r['text']) < 5000) for r in j['set_aside'] if r['file'] == 'long.csv'] == [(2, True)]"
verdict 'and the list names it without showing all of it'
head -c 50000000 /dev/zero | tr '\0' 7 >long.csv
before=$(record_kept)
run_measured take-in laboratory long.csv --by wren --json
expect_little_memory
untouched 'a header of 50 MB is refused in little memory' 2 long.csv
rm long.csv

# --- stopped half-way ------------------------------------------------------------------------

# Five weeks of a logger that wrote every minute.
python3 - "$demo/logger-2026-04.csv" >big.csv <<'PYTHON'
import datetime, sys
with open(sys.argv[1], encoding="utf-8") as file:
    print(file.readline(), end="")
at = datetime.datetime(2026, 5, 10)
for minute in range(35 * 1440):
    print(f"{at + datetime.timedelta(minutes=minute):%d.%m.%Y %H:%M};8,8;20,80;33,1;6,47;7,84;"
          "19,75;7,14;7,10;7,02;6,83;12,7")
PYTHON
# The farm's server says in its processes' titles what they are at: rows go in.
busy()
{
    for pid in $(processes_in "$data/postgres"); do
        ! grep -qs 'COPY\|INSERT' "/proc/$pid/cmdline" || return 0
    done
    return 1
}

# half_way WHAT...: take in big.csv, and do WHAT while its rows are on their way.
half_way()
{
    shown="weirbook take-in logger big.csv, and half-way: $*"
    status=0
    "$weirbook" --data "$data" take-in logger big.csv --by ash >out 2>err </dev/null &
    program=$!
    wait_until 30 busy || note 'no row was on its way in time'
    kill -0 "$program" 2>/dev/null || note 'it had ended already'
    "$@"
    wait "$program" || status=$?
}

stop_program()
{
    kill "-$1" "$program"
}

kill_server()
{
    for pid in $(server_of "$data") $(pgrep -P "$(server_of "$data")"); do
        kill -KILL "$pid"
    done
}

before=$(record_kept)
for signal in INT TERM; do
    half_way stop_program "$signal"
    expect_err 'nothing of big.csv was kept'
    untouched "interrupted half-way by SIG$signal" 3 'stopped half-way, as asked' 'Take it in again'
done

half_way kill_server
untouched 'the database gone half-way' 3 big.csv 'try again'

half_way stop_program KILL
[ "$status" -eq 137 ] || note "it ended with $status"
expect 'something was kept' same_record "$before"
verdict 'the program killed half-way'

run take-in logger big.csv --by ash --json
expect_status 0
expect_json "j[0]['stored'] == 504000 and j[0]['already_known'] == 0 and j[0]['set_aside'] == 0"
verdict 'the next try takes all of it in'

# --- a disk without room ---------------------------------------------------------------------

run_full()
{
    shown="weirbook $* >/dev/full"
    status=0
    "$weirbook" --data "$data" "$@" >/dev/full 2>err </dev/null || status=$?
    : >out
}

run_full status
refused 'a full disk under the answer' 3 "can't write the answer" 'Make room'
run_full check --json
expect_status 3
verdict 'a full disk under an answer in JSON'

if [ "$(id -u)" -eq 0 ] && mkdir disk && mount -t tmpfs -o size=100m weirbook-test disk 2>/dev/null; then
    full=$work/disk
    trap 'umount -l "$full" 2>/dev/null || :; end_all' EXIT
    chmod 0755 disk
    run_bare farm load "$demo/farm.yaml" --by wren --data "$full/farm"
    expect_status 0
    run_bare take-in laboratory "$sheet" --by wren --data "$full/farm"
    refused 'a disk that is nearly full takes nothing in' 3 'nearly full' 'MB free' 'Make room'
    run_bare status --data "$full/farm"
    expect_status 0
    verdict 'but goes on answering'
    run_bare report discharge 2026-02 --by wren --data "$full/farm" --out "$full/month.xlsx"
    expect_status 0
    verdict 'and reporting'
    rm -rf "$full/farm" "$full/month.xlsx"

    server_make "$full/server" || note 'no server could be made'
    where="host=$full/server user=keeper dbname=records"
    run_bare database prepare --database "$where"
    expect_status 0
    run_bare farm load "$demo/farm.yaml" --by wren --database "$where"
    expect_status 0
    before=$("$weirbook" --database "$where" status --json)
    free=$(df -k --output=avail disk | tail -n 1)
    head -c $(((free - 1024) * 1024)) /dev/zero >disk/filler
    run_bare take-in logger "$demo/logger-2026-02.csv" --by ash --database "$where"
    # The server either says that its disk is full or stops with it; the advice is the same.
    refused 'the disk of the database full half-way' 3 logger-2026-02.csv 'has room'
    rm disk/filler
    server_start "$full/server" || : # it may have stopped itself for want of room
    expect 'something was kept' test "$before" = "$("$weirbook" --database "$where" status --json)"
    run_bare take-in logger "$demo/logger-2026-02.csv" --by ash --database "$where" --json
    expect_status 0
    expect_json "j[0]['stored'] == 39160"
    verdict 'and the next try, with room, works and finds nothing half kept'
    server_stop "$full/server" || :
else
    printf 'ok %s: a small disk: only root may make one, so it is tried as root only\n' "$suite"
fi
