#!/bin/sh
# A line of 2 GB: longer than any number of 32 bits counts, and than many machines have memory for.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin huge

run farm load "$demo/farm.yaml" --by wren
expect_status 0
{
    head -n 1 "$demo/lab-2026-02-03.csv"
    printf 'T1,QM-1,2026-05-07,09:30,Total suspended solids,'
    head -c 2200000000 /dev/zero | tr '\0' 7
    printf '\nT2,QM-1,2026-05-07,09:30,Total suspended solids,20,mg/L,S,x\n'
} >huge.csv
run_measured take-in laboratory huge.csv --by wren --json
expect_status 0
expect_little_memory
expect_json "j[0]['values_in'] == 2 and j[0]['stored'] == 1 and j[0]['set_aside'] == 1"
verdict 'a line of 2 GB is set aside in little memory, and the row after it stored'
run aside --json
expect_status 0
expect_json "[(r['line'], len(r['text']) < 5000) for r in j['set_aside']] == [(2, True)]"
verdict 'and the list names it without showing all of it'
