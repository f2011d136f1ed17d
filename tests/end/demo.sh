#!/bin/sh
# The demo farm's whole season, as a farmer goes through it: every trouble that its page lists, the
# workbook of each month, everything a second time, and then the troubles put right.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin demo

answers=$work/answers
mkdir "$answers"

# keep NAME: the answer in JSON, for season.py.
keep()
{
    expect_status 0
    cp "$work/out" "$answers/$1.json"
}

run farm check "$demo/farm.yaml" --json
expect_status 0
expect_json 'j["problems"] == []'
verdict 'its farm file is without fault'

run status
refused 'before it is loaded there is no farm' 2 'there is no farm' 'weirbook farm load'

for step in load confirm logger meter-sheet outlet-sheet laboratory; do
    demo_step "$step"
    keep "$step"
done
run aside --json
keep aside
for month in 02 03 04; do
    run check "2026-$month" --json
    keep "check-$month"
done
for one in ammonia-mean-02 enterococci-mean-02 nitrogen-load-day-04 oxygen-floor-02 \
    oxygen-floor-03 oxygen-floor-04 temperature-day-04 volume-day-02 volume-day-03; do
    run explain "${one%-*}" "2026-${one##*-}" --all --json
    keep "explain-$one"
done
run flags outlet oxygen 2026-03 --json
keep flags-03
verdict 'the season is taken in, checked and explained'

run explain oxygen-floor 2026-03
expect_status 0
expect "it has $(wc -l <"$work/out") lines" test "$(wc -l <"$work/out")" -lt 160
expect_out '  28 March 2026: 144 readings, lowest '
expect_out 'lists every one'
verdict 'the month of a probe is explained day by day and not reading by reading'
run explain ammonia-mean 2026-02
expect_out '[lab-2026-02-03.csv line '
expect 'a file is called by a number' test "$(grep -c '\[file [0-9]' "$work/out")" = 0
verdict 'an explanation calls files by their names'
run explain weekly 2026-04
expect_status 0
expect_out '  28 April 2026, 7 days after the one before'
expect_out '  14 April 2026 does not count: suspended-solids was set aside'
expect_out 'no discharge from 25 April 2026 to 26 April 2026'
expect_out '0 of 1 done; sampled on 14 April 2026, but suspended-solids was set aside'
verdict 'a sampling interval is explained with the sample that lacks a result'

python3 "$lib/season.py" "$demo" "$answers" || verdict_not 'the season: season.py failed'

# --- the workbooks ---------------------------------------------------------------------------

for month in 02 03 04; do
    run report discharge "2026-$month" --by wren --out "$work/month-$month.xlsx" --json
    expect_status 0
    expect_json "j['workbook'].endswith('month-$month.xlsx')"
    sum=$(sha256sum "$work/month-$month.xlsx" | cut -d ' ' -f 1)
    expect_json "j['sha256'] == '$sum'"
    verdict "the workbook of 2026-$month is written, with the digest that was told"
done
run report discharge 2026-03 --by wren
expect_status 0
expect 'there is no quillmere-discharge-2026-03.xlsx' test -s quillmere-discharge-2026-03.xlsx
expect_out 'INVENTED'
expect_out 'The authority and the licence decide.'
verdict 'without --out a workbook is named after farm and month, and says that it is invented'

# part MONTH NAME TEXT: a part of the month's workbook holds the text.
part()
{
    unzip -p "$work/month-$1.xlsx" "$2" | grep -qF -e "$3"
}
expect 'its readings are printed' part 03 xl/workbook.xml "Readings!\$A\$1:\$R\$2</definedName>"
expect 'the first sheet does not say so' part 03 xl/sharedStrings.xml \
    'of Readings, which is long, only the headings are printed'
verdict 'a month of probes prints without its thousands of readings, and the first sheet says so'
charts=$(unzip -Z1 "$work/month-03.xlsx" | grep '^xl/charts/chart')
less=$(for chart in $charts; do
    ! part 03 "$chart" 'less than (drawn at its limit)' || printf '%s\n' "$chart"
done)
# The enterococci of 17 March, <10, are the only less-than of a limit with a chart.
expect "the charts with less-thans are: $less" test "$(printf '%s\n' "$less" | grep -c .)" = 1
for mark in 'diamond' '<c:pt idx="0"><c:v>10</c:v></c:pt>'; do
    expect "that chart lacks $mark" part 03 "$less" "$mark"
done
verdict 'a chart draws a less-than apart from results, and names it'

# --- all of it again -------------------------------------------------------------------------

run check
expect_status 0
verdict 'a check without a month goes over what waited'
before=$(record_kept)
for step in load confirm logger meter-sheet outlet-sheet laboratory; do
    demo_step "$step"
    expect_status 0
    case $step in
    load) expect_json 'j["same_file"] and j["changes"] == []' ;;
    confirm) expect_json 'j["confirmed"] == 0' ;;
    *) expect_json 'all(one["already"] for one in j)' ;;
    esac
done
for month in 02 03 04; do
    run check "2026-$month" --json
    expect_status 0
    expect "2026-$month is judged otherwise" cmp -s "$work/out" "$answers/check-$month.json"
done
run check
expect_status 0
expect 'status tells otherwise now' same_record "$before"
verdict 'the same season again changes nothing: ledger, records and verdicts stay as they are'

# --- put right -------------------------------------------------------------------------------

run aside accept lab-2026-03-17-corrected.csv 3 --by wren --because 'the laboratory mended it' --json
expect_status 0
expect_json '"412" in j["before"] and "142" in j["after"]'
run check 2026-03 --json
expect_json '[(l["standing"], l["compared"]) for l in j["limits"] if l["limit"] == "ammonia-mean"] == [("within", "0.20")]'
expect_json '"0 values set aside" in j["summary"]'
verdict 'the corrected laboratory sheet, once accepted, makes the ammonia of March 0.20'

run aside leave-out lab-2026-04-14.csv 2 --by wren --because 'its unit was never written' --json
expect_status 0
run check 2026-04 --json
expect_json '[l["standing"] for l in j["limits"] if l["limit"] == "solids-mean"] == ["not assessable"]'
expect_json '[s["missed"] for s in j["sampling"] if s["interval"] == "weekly"] == [1]'
run aside --json
expect_json 'j["set_aside"] == []'
verdict 'a row left out for good leaves its month short of samples'

run no-sample weekly 2026-03-29 --reason 'not taken' --because 'a storm closed the road' --by ash --json
expect_status 0
run check 2026-03 --json
expect_json 'any("not taken" in (d["words"] or "") and d["state"] == "missed" for s in j["sampling"] for d in s["dues"])'
verdict 'a reason for the missed sample is shown, and it stays missed'

run leave-out outlet suspended-solids '2026-02-24 09:25' --by wren --because 'a trial of the test'
expect_status 2
at=$(grep Total "$demo/lab-2026-02-24.csv" | head -n 1 | cut -d , -f 3-4 | tr , ' ')
run leave-out outlet suspended-solids "$at" --by wren --because 'the bottle was another farm'\''s' --json
expect_status 0
run check 2026-02 --json
expect_json '[l["standing"] for l in j["limits"] if l["limit"] == "solids-each"] == ["within"]'
run put-back outlet suspended-solids "$at" --by wren --because 'it was ours after all' --json
expect_status 0
run check 2026-02 --json
expect "2026-02 is not judged as at first" cmp -s "$work/out" "$answers/check-02.json"
verdict 'a reading left out no longer counts, and put back it counts as before'

run status --json
expect_json "j['ledger_entries'] > $(printf '%s' "$before" | python3 -c 'import json, sys; print(json.load(sys.stdin)["ledger_entries"])') + 4"
verdict 'each of these acts is in the ledger'
run ledger check --json
expect_status 0
expect_json "j['entries'] == $("$weirbook" --data "$data" status --json | python3 -c 'import json, sys; print(json.load(sys.stdin)["ledger_entries"])')"
verdict 'and it is unbroken'
