#!/bin/sh
# The list of published figures against the program's own functions, and the reader of such lists:
# what is wrong in a list must show.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin checks

list=$tree/fixtures/checks/checks.tsv
tab=$(printf '\t')

# lines FILE: check_lines on it.
lines()
{
    shown="check_lines $1"
    status=0
    "$build/check_lines" "$1" >"$work/out" 2>"$work/err" </dev/null || status=$?
}

missed()
{
    [ "$(grep -c "${tab}miss${tab}" "$work/out")" -eq "$1" ]
}

# --- our own list ----------------------------------------------------------------------------

lines "$list"
expect_status 0
expect_no_err
expect 'fewer than 1800 lines' test "$(wc -l <out)" -ge 1800
expect 'a line missed' missed 0
verdict 'every published figure is hit'

expect 'a line has no source' test "$(awk -F"$tab" 'NF != 6 || $6 == ""' "$list" | wc -l)" -eq 0
expect 'two lines have one id' test -z "$(cut -f 1 "$list" | sort | uniq -d)"
verdict 'every line names its source'

# The first line of each kind, wrong.
awk -F"$tab" -v OFS="$tab" '
    NR == 1 { print; next }
    { family = $1; sub(/-[0-9]+$/, "", family) }
    !(family in seen) {
        seen[family] = 1
        $4 = 2 * $4 + 10 * $5 + 1
        print
    }' "$list" >wrong.tsv
wrong=$(($(wc -l <wrong.tsv) - 1))
expect 'fewer than 15 kinds' test "$wrong" -ge 15
lines wrong.tsv
expect_status 1
expect "not all $wrong are misses" missed "$wrong"
verdict 'figures that are wrong are missed'

head -n 40 "$list" >one.tsv
awk -F"$tab" -v OFS="$tab" 'NR == 17 { $4 = $4 * 1.001 + 1 } { print }' one.tsv >one-wrong.tsv
lines one-wrong.tsv
expect_status 1
expect_out 'line 17: off by'
expect 'more than one missed' missed 1
expect_out '39 lines: 38 hit, 1 missed'
verdict 'one wrong figure among many is enough'

# --- how a list may look ---------------------------------------------------------------------

printf 'tolerance\tremark\tinputs\tQuantity\texpected\n1e-6\tany\tR=1;t68=15;p_dbar=0\tSP\t35\n' >order.tsv
lines order.tsv
expect_status 0
expect_out '1 lines: 1 hit, 0 missed'
verdict 'columns go by their names, in any order'

printf '\357\273\277id\tquantity\tinputs\texpected\ttolerance\r\n\r\nA-1\tSP\tR=1; t68=15; p_dbar=0\t35\t1e-6\r\n  \t \r\nA-2\tRp\tR=1;t68=15;p_dbar=0\t1\t1e-7' >windows.tsv
lines windows.tsv
expect_status 0
expect_out '2 lines: 2 hit, 0 missed'
verdict 'line ends of Windows, its mark, blank lines and no last line end'

printf 'quantity\tinputs\texpected\ttolerance\n' >header.tsv
lines header.tsv
expect_status 0
expect_out '0 lines: 0 hit, 0 missed'
verdict 'a header row alone holds nothing to miss'

: >empty.tsv
lines empty.tsv
expect_status 2
expect_err 'no header row'
printf 'quantity\tinputs\texpected\nSP\tR=1;t68=15;p_dbar=0\t35\n' >short.tsv
lines short.tsv
expect_status 2
expect_err "no column 'tolerance'"
lines nowhere.tsv
expect_status 2
expect_err 'nowhere.tsv'
verdict 'an empty list, a header that lacks a column and a file that is not there end with 2'

# --- lines that can't be hit -----------------------------------------------------------------

# bad LINE SAID: the only line of a list.
bad()
{
    printf 'id\tquantity\tinputs\texpected\ttolerance\n%b\n' "$1" >bad.tsv
    lines bad.tsv
    expect_status 1
    expect_out "line 2: $2"
    expect_out '1 lines: 0 hit, 1 missed'
}

bad 'A\tprice_of_oysters\tS=35\t1\t1' 'there is nothing'
bad 'A\t\tS=35\t1\t1' 'there is nothing'
verdict 'a quantity that is not known is a miss'
bad 'A\tSP\tR=1' 'it has too few columns'
bad 'A\tSP\tR=1;t68=15;p_dbar=0\tthirty\t1' 'expected or tolerance is no number'
bad 'A\tSP\tR=1;t68=15;p_dbar=0\t35\t' 'expected or tolerance is no number'
bad 'A\tSP\tR=1;t68=15;p_dbar=0\t35\t-1' 'expected or tolerance is no number'
bad 'A\tSP\tR=1;t68=15;p_dbar=0\tnan\t1' 'expected or tolerance is no number'
verdict 'a line that can not be read is a miss with its number'
bad 'A\tSP\tR=1;t68=15\t35\t1' 'p_dbar is missing'
bad 'A\tSP\tR=1;t68=warm;p_dbar=0\t35\t1' 't68 is no number'
bad 'A\tSP\tR=1;t68;p_dbar=0\t35\t1' "the input 't68' has no"
bad 'A\tf25\tt=80\t1\t1' 'natural water temperature factor: the temperature is 80'
bad 'A\tf25\tt=20;K9=3\t1\t1' "'K9' stands for no input"
bad 'A\tpercentile\tx=1,2,<3;p=0.9;method=hazen\t1\t1' 'percentile: a less-than'
bad 'A\tpercentile\tx=1,2,3;p=0.9;method=best\t1\t1' "percentile: the definition can't be 'best'"
bad 'A\tcensored_mean\tx=1,<2,<3;method=ros\t1\t1' 'censored mean: regression on order statistics'
verdict 'inputs that are missing or refused are misses'
bad 'A\tMPN_per_g_2sf\tpos=000;tubes=3,3,3;g=0.1,0.01,0.001\t3.0\t1' 'off by'
bad 'A\tMPN\tpos=333;tubes=3,3,3;g=0.1,0.01,0.001\t1e9\t1' 'off by'
verdict 'a less-than is no number, and no end is not a large one'
