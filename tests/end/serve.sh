#!/bin/sh
# The standing process as a grower meets it: files dropped into a folder, settings read anew, a
# database that goes away, being killed at any moment, and what it says of silence.
#
# WEIRBOOK_KILLS is how often it is killed (6 unless said), WEIRBOOK_SEED when.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin serve

export WEIRBOOK_NOW=2026-07-10T12:00:00Z
drop=$work/drop
second=$work/second
seed=${WEIRBOOK_SEED:-$(date +%s)}

ours()
{
    [ "$(id -u)" -ne 0 ] || chown weirbook "$@"
}

# conf LINE...: weirbook.conf of these lines, put in place in one step.
conf()
{
    printf '%s\n' "$@" >"$work/conf.new"
    chmod 0600 "$work/conf.new"
    ours "$work/conf.new"
    mv "$work/conf.new" "$data/weirbook.conf"
}

# sheet NUMBER: a file of three values that no other number has.
sheet()
{
    minute=$(($1 % 60))
    hour=$(($1 / 60 % 24))
    printf 'Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n'
    printf '2026-07-%02d %02d:%02d,12.5,8.1,ok,7.9\n' "$((8 + $1 / 1440))" "$hour" "$minute"
}

# dropped FOLDER NAME NUMBER: the whole file appears at once, as careful programs do it.
dropped()
{
    sheet "$3" >"$1/.$2.new"
    chmod 0644 "$1/.$2.new"
    ours "$1/.$2.new"
    mv "$1/.$2.new" "$1/$2"
}

serve_start()
{
    "$weirbook" --data "$data" serve >>"$work/serve.out" 2>>"$work/serve.log" </dev/null &
    serve=$!
}

serve_ends()
{
    status=0
    wait "$serve" 2>/dev/null || status=$?
    serve=
}

logged()
{
    grep -qF -e "$1" "$work/serve.log"
}

received()
{
    [ "$("$weirbook" --data "$data" status --json 2>/dev/null |
        python3 -c 'import json, sys; print(json.load(sys.stdin)["files_received"])')" = "$1" ]
}

sed -e 's/KEY/shore/' -e 's/^    instrument: logger 1$/&\n    silent after: 2 hours/' \
    "$tree/tests/harness/farm.yaml" >farm.yaml
run farm load farm.yaml --by pat --json
expect_status 0
mkdir "$drop" "$second"
ours "$drop" "$second"
verdict 'a farm with a logger is there'

# --- what is dropped -------------------------------------------------------------------------

conf 'watch:' "  - {folder: $drop, source: logger, settle: 1 second, quiet after: 2 hours}"
serve_start
printf 'outside' >"$work/outside.csv"
ln -s "$work/outside.csv" "$drop/link.csv"
mkfifo "$drop/pipe.csv"
mkdir "$drop/folder.csv"
odd=$(printf 'odd\377\n;name.csv')
sheet 1 >"$drop/half.csv.part"
dropped "$drop" whole.csv 2
dropped "$drop" "$odd" 3
printf 'Quite,other\n1,2\n' >"$drop/other.csv"
# Longer than any round, with no pause as long as the settle time.
(
    sheet 4 | head -n 1
    for row in $(seq 16); do
        printf ',,,,\n'
        sleep 0.4
    done
    sheet 4 | tail -n 1
) >"$drop/growing.csv" &
writer=$!
expect 'a whole file stays' wait_until 20 test -f "$drop/done/whole.csv"
expect 'one of odd bytes stays' wait_until 20 test -f "$drop/done/$odd"
expect 'one that is no such file stays' wait_until 20 test -f "$drop/refused/other.csv"
expect 'nothing says why it was refused' grep -q 'line 1' "$drop/refused/other.csv.txt"
if kill -0 "$writer" 2>/dev/null; then
    expect 'a file that is being written was taken' test -f "$drop/growing.csv"
fi
wait "$writer"
expect 'a file that has been written stays' wait_until 20 test -f "$drop/done/growing.csv"
expect 'a half file was taken' test -f "$drop/half.csv.part"
expect 'a link was taken' test -L "$drop/link.csv"
expect 'a pipe was taken' test -p "$drop/pipe.csv"
expect 'a folder was taken' test -d "$drop/folder.csv"
run status --json
expect_json 'j["files_received"] == 3 and j["stored"] == 9 and j["set_aside"] == 0'
expect_json 'j["looked_round_at"] == "2026-07-10T12:00:00Z"'
run report discharge 2026-07 --by pat --out "$work/july.xlsx" --json
expect_status 0
expect 'the report does not say who brought the files' python3 -c '
import sys, zipfile
book = zipfile.ZipFile(sys.argv[1])
sys.exit(not any(b"the watched folder" in book.read(part) for part in book.namelist()))' \
    "$work/july.xlsx"
run findings --json
expect_json '[f for f in j["findings"] if f["kind"] == "refused file"][0]["subject"] == "logger: other.csv"'
verdict 'what is complete and plain comes in, all else is left alone or refused with its reason'

run serve
refused 'a second one for the same farm is refused' 4 'runs already'

# --- settings --------------------------------------------------------------------------------

conf 'watsh:' "  - {folder: $second, source: logger}"
kill -HUP "$serve"
expect 'nothing is said of the mistake' wait_until 10 logged "'watsh' is no key"
expect 'it does not say what holds' logged 'those in force stay so'
dropped "$drop" after.csv 5
expect 'the folder of before is watched no more' wait_until 20 test -f "$drop/done/after.csv"
verdict 'settings with a mistake change nothing'
conf 'watch:' "  - {folder: $drop, source: logger, settle: 1 second}" \
    "  - {folder: $second, source: logger, settle: 1 second}" \
    "  - {folder: $work/not-there, source: logger}"
kill -HUP "$serve"
dropped "$second" more.csv 6
expect 'the new folder is not watched' wait_until 20 test -f "$second/done/more.csv"
expect 'a folder that is not there is not told of' wait_until 10 logged 'it is not there'
verdict 'settings that are sound come into force without a stop'

# --- a file of somebody else, of which nobody can tell who writes ------------------------------

if [ "$(id -u)" -eq 0 ]; then
    sheet 6 >"$second/theirs.csv" # the bytes of more.csv, so that nothing is new
    chmod 0644 "$second/theirs.csv"
    sleep 3
    expect 'it was taken though somebody may write it' test -f "$second/theirs.csv"
    expect 'it stays for ever' wait_until 30 test ! -f "$second/theirs.csv"
    verdict 'a file of another account stands still for longer before it comes in'
fi

# --- the database goes away ------------------------------------------------------------------

server=$(server_of "$data")
expect 'there is no server' test -n "$server"
[ -z "$server" ] || kill -9 "$server"
dropped "$drop" through.csv 7
expect 'nothing comes in after it came back' wait_until 60 test -f "$drop/done/through.csv"
run status --json
expect_json 'j["files_received"] == 6'
verdict 'a database that was killed is brought back, and nothing is lost'
kill -TERM "$serve"
serve_ends
expect_status 0
expect 'it does not say that it was stopped' logged 'stopped, as asked'
expect 'a sanitizer complained' sh -c '! grep -q "Sanitizer\|runtime error:" "$1"' - "$work/serve.log"
expect 'its server is left running' wait_until 20 sh -c '! [ -f "$1/postgres/postmaster.pid" ]' - "$data"
verdict 'SIGTERM stops it, and its database with it'

# --- killed at any moment --------------------------------------------------------------------

# draw MOST: a whole number from 0, below MOST.
draw()
{
    seed=$(((seed * 1103515245 + 12345) % 2147483648))
    drawn=$((seed / 65536 % $1))
}

printf '# the seed of the kills is %s\n' "$seed"
conf 'watch:' "  - {folder: $drop, source: logger, settle: 1 second}"
number=10
kills=${WEIRBOOK_KILLS:-6}
while [ "$kills" -gt 0 ]; do
    kills=$((kills - 1))
    draw 4
    for file in $(seq 0 "$drawn"); do
        number=$((number + 1))
        # Now and then a name that was there before, and is free again.
        name=kill-$((number % 4)).csv
        [ ! -e "$drop/$name" ] || name=kill-x$number.csv
        dropped "$drop" "$name" "$number"
    done
    serve_start
    draw 45
    sleep "$((drawn / 10)).$((drawn % 10))"
    draw 3
    server=$(server_of "$data")
    [ "$drawn" -ne 0 ] || [ -z "$server" ] || kill -9 "$server" 2>/dev/null || :
    kill -9 "$serve" 2>/dev/null || :
    serve_ends
done
none_left()
{
    "$weirbook" --data "$data" look-round --quiet 2>>"$work/round.err" </dev/null || :
    [ -z "$(ls "$drop"/kill-*.csv "$drop"/.taking/*.csv 2>/dev/null)" ]
}
expect 'files are left after all' wait_until 60 none_left
# What was said to be taken in is on record and moved; every file once, and none twice.
"$weirbook" --data "$data" status --json >out 2>err
python3 - "$work" "$number" >problems <<'PYTHON'
import glob, hashlib, json, os, re, sys
work, last = sys.argv[1], int(sys.argv[2])
def sheet(n):
    return ("Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n"
            "2026-07-%02d %02d:%02d,12.5,8.1,ok,7.9\n" % (8 + n // 1440, n // 60 % 24, n % 60))
wanted = [sheet(n) for n in range(11, last + 1)]
kept = [open(name).read() for name in glob.glob(os.path.join(work, "drop/done/kill-*.csv"))]
lost = [text for text in wanted if text not in kept]
if lost:
    print(len(lost), "files are not among those done")
told = json.load(open(os.path.join(work, "out")))
if told["files_received"] != 6 + len(set(kept)):
    print("received", told["files_received"], "and not", 6 + len(set(kept)))
if told["stored"] != 18 + 3 * len(set(kept)) or told["set_aside"] != 0:
    print("stored", told["stored"], "set aside", told["set_aside"])
said = len(re.findall(r"taken in kill-", open(os.path.join(work, "serve.log")).read()))
if said > len(set(kept)):
    print("said to be taken in", said)
PYTHON
[ ! -s problems ] || note "$(cat problems)"
run ledger check
expect_status 0
verdict 'killed at random moments it loses nothing and takes nothing twice'

# --- silence ---------------------------------------------------------------------------------

dropped "$drop" fresh.csv $((2 * 1440 + 11 * 60))
sleep 1.2
run look-round --json
expect_status 0
expect_json 'j["taken"] == 1 and j["findings_ended"] == 1'
run findings --json
expect_json 'all(f["step"] == "worked out again" for f in j["findings"] if f["kind"] == "silence")'
run findings
if grep -q 'a probe is silent' "$work/out"; then note 'what is no longer so still waits'; fi
expect_out 'a file was refused'
expect_out 'what to do: Read why'
expect_out 'worked out again since and no longer found: --all lists'
run findings --all
expect_out 'worked out again since, and no longer found'
verdict 'what is found no more stands apart from what a person has to answer'
export WEIRBOOK_NOW=2026-07-10T13:01:00Z
run look-round --json
expect_status 0
expect_json 'j["findings_opened"] == 1'
run findings --json
expect_json '[f["step"] for f in j["findings"] if f["kind"] == "silence" and f["from"] == "2026-07-10"] == ["open"]'
run look-round --json
expect_json 'j["findings_opened"] == 0'
verdict 'a logger that fell silent is found once, and ends when it comes again'

# --- what it refuses to begin with -----------------------------------------------------------

mkdir "$work/closed"
chmod 0555 "$work/closed"
conf 'watch:' "  - {folder: $work/closed, source: logger, settle: 1 second}"
run look-round
expect_status 2
expect_err 'Weirbook works there as the account'
expect_err 'chown'
verdict 'a folder that its account may not write into says which account and what to do'

chmod 0666 "$data/weirbook.conf"
run look-round
refused 'settings that others may change are refused' 4 'has mode 0666' 'chmod'
conf 'webhooks:' '  - {key: room, url: "https://example.org/hook", secret: room}'
mkdir -p "$data/secrets"
echo words >"$data/secrets/room"
chmod 0644 "$data/secrets/room"
ours "$data/secrets" "$data/secrets/room"
run look-round
refused 'a secret that others may read is refused' 4 'has mode 0644' 'chmod 0600'
run serve
refused 'and serve does not begin with it' 4 'has mode 0644' 'chmod 0600'

# --- the service -----------------------------------------------------------------------------

run_bare serve --unit-file
expect_status 0
expect_out 'NoNewPrivileges=yes'
expect_out 'not a life-support alarm'
cp out weirbook.service
if command -v systemd-analyze >/dev/null 2>&1; then
    sed -i "s|^ExecStart=[^ ]*|ExecStart=$weirbook|; s|^User=.*|User=$(id -un)|; s|^Group=.*|Group=$(id -gn)|" \
        weirbook.service
    expect 'systemd does not take its unit file' \
        systemd-analyze verify --man=no "$work/weirbook.service" >verify 2>&1
    expect "systemd says $(head -n 1 verify)" sh -c '! grep -q "weirbook.service" "$1"' - "$work/verify"
fi
verdict 'the unit file is one for systemd'
