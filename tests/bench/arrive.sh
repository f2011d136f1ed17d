# shellcheck shell=sh
# The part `arrive` of run.sh, read by it with `.`: a logger file of one value a line, a minute
# apart, from the file to stored, hashed, sensor-tested and judged.

arrive_rows=${BENCH_ROWS-5000000}

# Processor time that the server of the folder NAME and its ended sessions took, in milliseconds.
server_ms()
{
    sleep 0.2 # a session is counted when it has ended, a little after its program
    awk '{ print ($14 + $15 + $16 + $17) * 10 }' \
        "/proc/$(head -n 1 "$work/$1/postgres/postmaster.pid")/stat"
}

arrive_empty()
{
    sql arrive admin 'truncate weirbook.reading' 'truncate bench.reading'
    level arrive
}

# arrive_weirbook FIGURE KEY: taken in and judged, as the farm KEY.
arrive_weirbook()
{
    level arrive
    before=$(server_ms arrive)
    clocked "$1-take" "$weirbook" --data "$work/arrive" --farm "$2" --quiet \
        take-in one "$work/arrive.csv" --by owner
    echo $(($(server_ms arrive) - before)) >>"$work/figure.$1-server"
    clocked "$1-check" "$weirbook" --data "$work/arrive" --farm "$2" --quiet check
}

arrive_round()
{
    arrive_empty
    clocked arrive-copy psql -X -q -v ON_ERROR_STOP=1 \
        -d "$(cat "$work/arrive.conninfo") user=weirbook_admin" \
        -c "\\copy bench.reading ($columns) from '$work/clean.txt'"

    arrive_empty
    /usr/bin/python3 "$bench/arrive_pandas.py" \
        "$(cat "$work/arrive.conninfo") user=weirbook_admin" "$work/arrive.csv" \
        >>"$work/figure.arrive-pandas"

    arrive_empty
    farm arrive "arrive-$1"
    arrive_weirbook arrive "arrive-$1"

    arrive_empty
    farm arrive "overlap-$1"
    take_in arrive "overlap-$1" one "$work/arrive-half.csv"
    "$weirbook" --data "$work/arrive" --farm "overlap-$1" --quiet check
    arrive_weirbook overlap "overlap-$1"
}

# arrive_both FIGURE WORDS MOST: taking in and judging, each alone and together.
arrive_both()
{
    take=$(best "$1-take")
    check=$(best "$1-check")
    row "take-in, with hashes and sensor tests, $2" "$(seconds "$take")" s \
        "$(divided "$take" "$copy")" -
    row "check of its months, $2" "$(seconds "$check")" s "$(divided "$check" "$copy")" -
    both=$(together "$take" "$check")
    row "both, $2" "$(seconds "$both")" s "$(divided "$both" "$copy")" "$3"
}

# share MILLISECONDS: in percent of the fastest take-in's time.
share()
{
    awk -v part="$1" -v all="$(best arrive-take)" 'BEGIN { printf "%.1f", part * 100 / all }'
}

together()
{
    awk -v a="$1" -v b="$2" 'BEGIN { print a + b }'
}

part_arrive()
{
    need_packages 'for the bench of arriving' python3 python3-pandas python3-psycopg2
    hold arrive 7
    "$build/bench_files" logger 2015-01-01 1 "$arrive_rows" | cut -d , -f 1,4 >"$work/arrive.csv"
    {
        head -n 1 "$work/arrive.csv"
        tail -n $((arrive_rows / 2)) "$work/arrive.csv"
    } >"$work/arrive-half.csv"
    farm arrive arrive-model
    take_in arrive arrive-model one "$work/arrive.csv"
    sql arrive admin "$(cat "$bench/copy_tables.sql")"
    sql arrive admin "\\copy (select $columns from weirbook.reading) to '$work/clean.txt'"
    round=1
    while [ "$round" -le "$rounds" ]; do
        arrive_round "$round"
        round=$((round + 1))
    done

    copy=$(best arrive-copy)
    row "\\copy of $arrive_rows clean rows" "$(seconds "$copy")" s 1 -
    row 'pandas read_csv and COPY of the same' "$(seconds "$(best arrive-pandas)")" s \
        "$(divided "$(best arrive-pandas)" "$copy")" -
    arrive_both overlap 'half stored' 3
    arrive_both arrive 'nothing stored' 1.5
    row 'rows a second, from the file to judged' "$(divided "$arrive_rows" "$(seconds "$both")")" \
        - - -
    row 'memory of the program, nothing stored' "$(divided "$(most arrive-take)" 1024)" MB - 100
    row 'memory of the program, half stored' "$(divided "$(most overlap-take)" 1024)" MB - 100
    row 'memory of the check' "$(divided "$(most arrive-check)" 1024)" MB - 100
    row 'memory of pandas' "$(divided "$(most arrive-pandas)" 1024)" MB - -
    row 'of the take-in, the program was at work' \
        "$(share "$(sort -n "$work/figure.arrive-take" | awk 'NR == 1 { print $3 }')")" % - -
    row 'of the take-in, the server was at work' \
        "$(share "$(sort -n "$work/figure.arrive-server" | head -n 1)")" % - -
}
