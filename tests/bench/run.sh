#!/bin/sh
# How fast, and how large: figures of one run beside each other, as ratios. Not a test: nothing
# here fails because a machine is slow.
#
#     sh tests/bench/run.sh              all parts
#     sh tests/bench/run.sh PART...      take-in, memory, check, entries, judge, arrive
#
#   take-in   a logger file of 1,000,000 readings (200,000 rows of five values, 46 months) against
#             `psql \copy` of the same rows, already clean, into a table of the same kind on the
#             same server: straight in, where the second half is stored already, and where as much
#             again is stored before it
#   memory    the most that weirbook has resident while it takes in 0.1, 1 and 5 million readings
#   check     judging a month with only that month stored, and with ten years stored
#   entries   small entries on the farm while it takes in a million readings: the longest wait
#   judge     judging a month of 10-minute readings of 64 series (many.py), with 60 clauses in all
#             and with 60 for each series, against COPY of the same rows out, a script over pandas
#             (judge_pandas.py, without its start) and one SQL statement a clause (judge_sql.py),
#             which must come to the same standings; and how many rows the server reads for one
#             clause, and again after one late reading. Installs python3-pandas and a driver
#   arrive    a logger file of 5,000,000 lines of one value, a minute apart, from the file to stored,
#             hashed, sensor-tested and judged, against `\copy` of the same rows, already clean, and
#             against pandas' read_csv with COPY (arrive_pandas.py); where nothing of it is stored,
#             and where half of it is. On an idle machine with BENCH_ROUNDS=1 some five minutes
#
# Each figure is the best of three (of a check: of 21), the rounds in turn. The servers are private
# ones made for this, as weirbook makes them (fsync stays on), in a folder that goes at the end.
#
#     BENCH_BUILD     a build folder to use (else build-bench in the tree)
#     BENCH_READINGS  how many readings a big file has (else 1000000)
#     BENCH_ROWS      how many lines the file of `arrive` has (else 5000000)
#     BENCH_ROUNDS    rounds (else 3)
set -eu

repo=$(CDPATH='' cd -- "$(dirname -- "$0")/../.." && pwd)
# shellcheck source=src/install.sh
. "$repo/src/install.sh"

build=${BENCH_BUILD-$repo/build-bench}
readings=${BENCH_READINGS-1000000}
rounds=${BENCH_ROUNDS-3}
bench=$repo/tests/bench
weirbook=$build/weirbook

# --- its end ---------------------------------------------------------------------------------

holders=
writer=

leave_nothing()
{
    [ -n "${work-}" ] || return 0
    [ -z "$writer" ] || kill "$writer" 2>/dev/null || :
    exec 5>&- 6>&- 7>&- 8>&- 9>&- # the holders' input ends, and with them the servers
    for pid in $holders; do
        wait "$pid" || :
    done
    rm -rf -- "$work"
}

# --- servers and farms -----------------------------------------------------------------------

# hold NAME FD: make a server for the folder NAME and keep it up; its address is in NAME.conninfo.
hold()
{
    mkfifo "$work/$1.input"
    "$build/bench_hold" "$work/$1" <"$work/$1.input" >"$work/$1.conninfo" \
        5>&- 6>&- 7>&- 8>&- 9>&- &
    holders="$holders $!"
    eval "exec $2>\"\$work/\$1.input\""
    while [ ! -s "$work/$1.conninfo" ]; do
        kill -0 "$!" || stop 3 "The database of the bench did not start."
        sleep 0.1
    done
}

# sql NAME ROLE STATEMENT...: each as its own command.
sql()
{
    address="$(cat "$work/$1.conninfo") user=weirbook_$2"
    shift 2
    for statement in "$@"; do
        PGOPTIONS=--client-min-messages=warning psql -X -q -A -t -v ON_ERROR_STOP=1 \
            -d "$address" -c "$statement"
    done
}

# farm NAME KEY: a farm of its own, its limits compared with the licence.
farm()
{
    sed "s/^  key: bench-farm/  key: $2/" "$bench/farm.yaml" >"$work/$2.yaml"
    "$weirbook" --data "$work/$1" --quiet farm load "$work/$2.yaml" --by owner
    "$weirbook" --data "$work/$1" --quiet --farm "$2" confirm --by owner
}

# take_in NAME KEY SOURCE FILE...: untimed.
take_in()
{
    name=$1
    key=$2
    shift 2
    "$weirbook" --data "$work/$name" --farm "$key" --quiet take-in "$@" --by owner
}

# level NAME: as little as may be left of the round before.
level()
{
    sql "$1" admin checkpoint
}

# --- figures ---------------------------------------------------------------------------------

# clocked FIGURE COMMAND...: run it; its time and memory go to the figure's file.
clocked()
{
    figure=$1
    shift
    "$build/bench_clock" "$work/figure.$figure" "$@"
}

# best FIGURE: its least time, in milliseconds. most FIGURE: its most memory, in kilobytes.
best()
{
    sort -n "$work/figure.$1" | awk 'NR == 1 { print $1 }'
}

most()
{
    awk '$2 > most { most = $2 } END { print most }' "$work/figure.$1"
}

# row WHAT VALUE UNIT RATIO GOAL: a line of the table; GOAL is the most the ratio (or, where there
# is none, the value) may be, or -.
row()
{
    awk -v what="$1" -v value="$2" -v unit="$3" -v ratio="$4" -v goal="$5" 'BEGIN {
        judged = ratio == "-" ? value : ratio
        met = goal == "-" ? "" : (judged + 0 <= goal + 0 ? "met" : "NOT MET")
        printf "%-58s %9.*f %-3s %6s %6s  %s\n", what, unit == "s" ? 2 : 1, value, unit,
               ratio == "-" ? "" : sprintf("%.2f", ratio), goal == "-" ? "" : goal, met
    }' >>"$work/table"
}

divided()
{
    awk -v a="$1" -v b="$2" 'BEGIN { printf "%.4f", a / b }'
}

seconds()
{
    divided "$1" 1000
}

# --- the parts -------------------------------------------------------------------------------

# As the program stores them, in the order of the file.
columns='farm_id, series_id, at, until, portion, value, receipt, line, col, flags, qualifier,
reported, unit'

# Once: the months of the big file and the rows of it, clean.
copy_ready()
{
    farm main copy-model
    take_in main copy-model logger "$work/big.csv"
    sql main admin "$(cat "$bench/copy_tables.sql")"
    sql main admin "\\copy (select $columns from weirbook.reading) to '$work/clean.txt'"
}

nothing_stored()
{
    sql main admin 'truncate weirbook.reading' 'truncate bench.reading'
}

round_take_in()
{
    nothing_stored
    level main
    clocked copy psql -X -q -v ON_ERROR_STOP=1 \
        -d "$(cat "$work/main.conninfo") user=weirbook_admin" \
        -c "\\copy bench.reading ($columns) from '$work/clean.txt'"

    nothing_stored
    farm main "straight-$1"
    level main
    clocked straight "$weirbook" --data "$work/main" --farm "straight-$1" --quiet \
        take-in logger "$work/big.csv" --by owner

    nothing_stored
    farm main "half-$1"
    take_in main "half-$1" logger "$work/second-half.csv"
    level main
    clocked half "$weirbook" --data "$work/main" --farm "half-$1" --quiet \
        take-in logger "$work/big.csv" --by owner

    nothing_stored
    farm main "shifted-$1"
    take_in main "shifted-$1" logger "$work/earlier.csv"
    level main
    clocked shifted "$weirbook" --data "$work/main" --farm "shifted-$1" --quiet \
        take-in logger "$work/big.csv" --by owner
}

# The big file, its second half alone, and as many rows that end in the middle of it.
files_take_in()
{
    rows=$((readings / 5))
    first=$((rows / 2))
    "$build/bench_files" logger 2013-03-01 10 $((first + rows)) >"$work/all.csv"
    head -n $((rows + 1)) "$work/all.csv" >"$work/earlier.csv"
    for part in "big $rows" "second-half $((rows - first))"; do
        {
            head -n 1 "$work/all.csv"
            tail -n "${part#* }" "$work/all.csv"
        } >"$work/${part% *}.csv"
    done
}

part_take_in()
{
    files_take_in
    copy_ready
    round=1
    while [ "$round" -le "$rounds" ]; do
        round_take_in "$round"
        round=$((round + 1))
    done

    copy=$(best copy)
    row "\\copy of $readings clean readings" "$(seconds "$copy")" s 1 -
    row 'take-in, nothing of its time stored' "$(seconds "$(best straight)")" s \
        "$(divided "$(best straight)" "$copy")" 1.5
    row 'take-in, its second half stored already' "$(seconds "$(best half)")" s \
        "$(divided "$(best half)" "$copy")" 3
    row 'take-in, its first half stored, with as much before it' "$(seconds "$(best shifted)")" s \
        "$(divided "$(best shifted)" "$copy")" 3
}

part_memory()
{
    for tenths in 1 10 50; do
        count=$((readings * tenths / 10))
        rows=$((count / 5))
        "$build/bench_files" logger 2016-01-01 1 "$rows" >"$work/memory.csv"
        head -n $((rows / 2 + 1)) "$work/memory.csv" >"$work/memory-half.csv"
        farm main "memory-$tenths"
        clocked "memory-$tenths" "$weirbook" --data "$work/main" --farm "memory-$tenths" --quiet \
            take-in logger "$work/memory.csv" --by owner
        farm main "memory-half-$tenths"
        take_in main "memory-half-$tenths" logger "$work/memory-half.csv"
        clocked "memory-half-$tenths" "$weirbook" --data "$work/main" \
            --farm "memory-half-$tenths" --quiet take-in logger "$work/memory.csv" --by owner
        row "memory, $count readings straight in" \
            "$(divided "$(most "memory-$tenths")" 1024)" MB - 100
        row "memory, $count readings, half of them stored" \
            "$(divided "$(most "memory-half-$tenths")" 1024)" MB - 100
        sql main admin 'truncate weirbook.reading'
    done
}

# check_farm NAME FD MONTH COUNT
check_farm()
{
    hold "$1" "$2"
    farm "$1" checked
    mkdir "$work/$1.files"
    "$build/bench_files" months "$work/$1.files" "$3" "$4"
    take_in "$1" checked logger "$work/$1.files"/logger-*.csv
    take_in "$1" checked laboratory "$work/$1.files"/sheet-*.csv
}

checks()
{
    round=0
    while [ "$round" -lt $((rounds * 7)) ]; do
        for name in one ten; do
            clocked "$1-$name" "$weirbook" --data "$work/$name" --quiet check 2024-12
        done
        round=$((round + 1))
    done
}

part_check()
{
    check_farm one 7 2024-12 1
    check_farm ten 8 2015-01 120
    checks waiting
    for name in one ten; do
        clocked "all-$name" "$weirbook" --data "$work/$name" --quiet check
    done
    for name in one ten; do
        sql "$name" admin 'vacuum (analyze)' # what the server else does by itself, meanwhile
        level "$name"
    done
    checks check

    row 'check of a month, one month stored' "$(best check-one)" ms 1 -
    row 'check of a month, ten years stored' "$(best check-ten)" ms \
        "$(divided "$(best check-ten)" "$(best check-one)")" 1.2
    row 'the same, while 119 other months wait to be gone over' "$(best waiting-ten)" ms \
        "$(divided "$(best waiting-ten)" "$(best waiting-one)")" -
    row 'going over all 120 months' "$(seconds "$(best all-ten)")" s - -
}

part_entries()
{
    rows=$((readings / 5))
    "$build/bench_files" logger 2016-01-01 10 "$rows" >"$work/beside.csv"
    round=1
    while [ "$round" -le "$rounds" ]; do
        farm main "entries-$round"
        level main
        "$build/bench_entries" "$(cat "$work/main.conninfo")" "entries-$round" \
            >>"$work/entries" 5>&- 6>&- 7>&- 8>&- 9>&- &
        writer=$!
        clocked beside "$weirbook" --data "$work/main" --farm "entries-$round" --quiet \
            take-in logger "$work/beside.csv" --by owner
        kill "$writer"
        wait "$writer"
        writer=
        sql main admin 'truncate weirbook.reading'
        round=$((round + 1))
    done
    row "small entries beside a take-in of $readings: middle" \
        "$(sort -n -k 2 "$work/entries" | awk 'NR == 1 { print $2 }')" ms - -
    row 'the longest wait of one' "$(sort -n -k 3 "$work/entries" | awk 'NR == 1 { print $3 }')" \
        ms - 250
    row 'the longest of all rounds' "$(sort -n -k 3 "$work/entries" | awk 'END { print $3 }')" \
        ms - -
}

# --- judging: 64 series ----------------------------------------------------------------------

judged_month=2026-03

# judge_farm NAME FD CLAUSES_A_SERIES: a server with that farm, the month and one on each side of
# it; nothing waits to be judged.
judge_farm()
{
    hold "$1" "$2"
    python3 "$bench/many.py" farm judged "$3" >"$work/$1.yaml"
    "$weirbook" --data "$work/$1" --quiet farm load "$work/$1.yaml" --by owner
    "$weirbook" --data "$work/$1" --quiet confirm --by owner
    for month in 2026-02 2026-03 2026-04; do
        for station in $(python3 "$bench/many.py" stations); do
            python3 "$bench/many.py" readings "$station" "$month" >"$work/station.csv"
            take_in "$1" judged "$station" "$work/station.csv"
        done
    done
    "$weirbook" --data "$work/$1" --quiet check
    sql "$1" admin 'vacuum (analyze)'
}

# The month's rows of the series that clauses name, with the columns that judging reads.
judge_rows="copy (select series_id, at, until, portion, qualifier, reported, unit, flags, receipt, line,
                         col
                    from weirbook.reading
                   where at >= '$judged_month-01Z'
                     and at < '$judged_month-01Z'::timestamptz + interval '1 month'
                     and series_id in (select s.series_id
                                         from weirbook.series s
                                         join weirbook.limit_version l
                                           on l.station = s.station
                                          and l.parameter = s.parameter))
            to stdout"

# judge_by_sql NAME FILE: as somebody who may only read.
judge_by_sql()
{
    psql -X -q -A -d "$(cat "$work/$1.conninfo") user=weirbook_reader" -f "$2"
}

# judge_round NAME CLAUSES_A_SERIES
judge_round()
{
    level "$1"
    clocked "copy-$1" psql -X -q -v ON_ERROR_STOP=1 -o /dev/null \
        -d "$(cat "$work/$1.conninfo") user=weirbook_admin" -c "$judge_rows"
    clocked "judge-$1" "$weirbook" --data "$work/$1" --quiet check "$judged_month"
    sql "$1" admin "delete from weirbook.verdict where from_day = '$judged_month-01'"
    level "$1"
    clocked "first-$1" "$weirbook" --data "$work/$1" --quiet check "$judged_month"
    /usr/bin/python3 "$bench/judge_pandas.py" \
        "$(cat "$work/$1.conninfo") user=weirbook_reader" judged "$2" "$judged_month" \
        >>"$work/figure.pandas-$1"
    clocked "sql-$1" psql -X -q -d "$(cat "$work/$1.conninfo") user=weirbook_reader" \
        -f "$work/$1.sql"
}

# judge_agree NAME CLAUSES_A_SERIES: that all three did the same work.
judge_agree()
{
    /usr/bin/python3 "$bench/judge_pandas.py" \
        "$(cat "$work/$1.conninfo") user=weirbook_reader" judged "$2" "$judged_month" agree
    python3 "$bench/judge_sql.py" judged "$2" "$judged_month" agree >"$work/agree.sql"
    judge_by_sql "$1" "$work/agree.sql"
}

# Rows that the server has read so far of the month and the one before it, by an index or without:
# not of the newest, which a check without a month shows anyhow. A session's are counted when it
# has ended, which is a little after its program.
rows_stand()
{
    while [ "$(sql "$1" admin "select count(*) from pg_stat_activity
                                where backend_type = 'client backend'")" -gt 1 ]; do
        sleep 0.1
    done
    sql "$1" admin "select (select sum(seq_tup_read) from pg_stat_all_tables
                             where relname in ('reading_2026_02', 'reading_2026_03'))
                         + (select sum(idx_tup_read) from pg_stat_all_indexes
                             where relname in ('reading_2026_02', 'reading_2026_03'))"
}

# rows_read NAME COMMAND...: how many it read for that.
rows_read()
{
    of=$1
    shift
    before=$(rows_stand "$of")
    "$@" >/dev/null
    echo $(($(rows_stand "$of") - before))
}

# verdicts_since NAME INSTANT FIRST_DAY
verdicts_since()
{
    sql "$1" admin "select count(*) from weirbook.verdict
                     where judged_at > '$2' and from_day = '$3'"
}

# judge_late NAME: what one late reading makes the program read, beyond what a check reads anyhow.
judge_late()
{
    nothing_late=$(rows_read "$1" "$weirbook" --data "$work/$1" --quiet check)
    printf 'Time,Temp,Salinity,Oxygen,pH,Turbidity,Conductivity,Chlorophyll,Flow\n%s,17,,,,,,,\n' \
        "$judged_month-12 12:05" >"$work/late.csv"
    since=$(sql "$1" admin 'select now()')
    take_in "$1" judged pond-1 "$work/late.csv"
    one_late=$(rows_read "$1" "$weirbook" --data "$work/$1" --quiet check)

    row 'rows read again for one late reading' $((one_late - nothing_late)) - \
        "$(divided $((one_late - nothing_late)) "$month_rows")" 0.05
    row 'verdicts made again: of its month' "$(verdicts_since "$1" "$since" 2026-03-01)" - - 60
    row 'verdicts made again: of the month before it' \
        "$(verdicts_since "$1" "$since" 2026-02-01)" - - 0
}

# judge_figures NAME CLAUSES MOST_TO_COPY MOST_TO_SQL
judge_figures()
{
    copy=$(best "copy-$1")
    judged=$(best "judge-$1")
    row "COPY of the month's rows out, for $2 clauses" "$copy" ms 1 -
    row "check of the month, $2 clauses, against COPY" "$judged" ms \
        "$(divided "$judged" "$copy")" "$3"
    row "pandas, $2 clauses; check against it" "$(best "pandas-$1")" ms \
        "$(divided "$judged" "$(best "pandas-$1")")" 0.33
    row "the same check where nothing of the month is stored yet" "$(best "first-$1")" ms \
        "$(divided "$(best "first-$1")" "$copy")" -
    row "a statement a clause, $2 clauses; check against it" "$(best "sql-$1")" ms \
        "$(divided "$judged" "$(best "sql-$1")")" "$4"
}

part_judge()
{
    need_packages 'for the bench of judging' python3 python3-pandas python3-psycopg2
    judge_farm sixty 5 0
    judge_farm many 9 60
    python3 "$bench/judge_sql.py" judged 0 "$judged_month" >"$work/sixty.sql"
    python3 "$bench/judge_sql.py" judged 60 "$judged_month" >"$work/many.sql"
    round=1
    while [ "$round" -le "$rounds" ]; do
        judge_round sixty 0
        judge_round many 60
        round=$((round + 1))
    done
    judge_agree sixty 0
    judge_agree many 60
    judge_figures sixty 60 1.5 1
    judge_figures many 3840 4 0.1

    month_rows=$(sql many admin "select count(*) from weirbook.reading
                                  where at >= '2026-03-01Z' and at < '2026-04-01Z'")
    row "rows of the month, 64 series" "$month_rows" - - -
    one=$(rows_read many "$weirbook" --data "$work/many" explain c0 "$judged_month")
    row 'rows read to explain one clause' "$one" - "$(divided "$one" "$month_rows")" 0.05
    judge_late many
}

# shellcheck source=tests/bench/arrive.sh
. "$bench/arrive.sh"

# --- all of it -------------------------------------------------------------------------------

parts=$*
[ -n "$parts" ] || parts='take-in entries memory check judge arrive'
for part in $parts; do
    case $part in
    take-in | memory | check | entries | judge | arrive) ;;
    *) stop 2 'usage: sh tests/bench/run.sh [take-in | memory | check | entries | judge | arrive]...' ;;
    esac
done

# shellcheck disable=SC2086
need_packages 'for the bench' $build_packages $run_packages libcmocka-dev libcsv-dev
need_account
if [ -z "${BENCH_BUILD-}" ]; then
    printf 'Building in %s ...\n' "$build"
    mkdir -p "$build"
    { cmake -S "$repo" -B "$build" -DTESTS=ON && cmake --build "$build" -j "$(nproc)" \
        --target weirbook --target bench; } >"$build/build.log" 2>&1 ||
        stop 4 "The build failed: see $build/build.log."
fi

unset PGHOST PGHOSTADDR PGSERVICE PGUSER PGDATABASE PGPORT WEIRBOOK_NOW WEIRBOOK_DATA
trap leave_nothing EXIT
trap 'exit 130' INT
trap 'exit 143' TERM HUP
# Short, because a socket's path has little room; open, because the server's account passes.
work=$(mktemp -d /tmp/weirbook-bench.XXXXXX)
chmod 0711 "$work"
: >"$work/table"

printf 'Load before: %s\n' "$(cut -d ' ' -f 1-3 /proc/loadavg)"
hold main 6
for part in $parts; do
    printf '%s ...\n' "$part"
    "part_$(printf '%s' "$part" | tr - _)"
done
printf 'Load after: %s\n\n' "$(cut -d ' ' -f 1-3 /proc/loadavg)"
printf '%-58s %9s %-3s %6s %6s\n' 'what' 'best' '' 'ratio' 'goal'
cat "$work/table"
