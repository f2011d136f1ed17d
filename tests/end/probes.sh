#!/bin/sh
# Probes and field meters as a person meets them: on record with serial numbers, visited, in doubt
# where a visit says so. Farm, standards and numbers are invented.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin probes

# The demo farm with one of its probes on record.
awk '/^sources:/ {
    print "instruments:"
    print "  - key: o2-outlet"
    print "    name: Oxygen probe at the outlet"
    print "    kind: fixed probe"
    print "    serial number: QX-118 (invented)"
    print "    named: logger Q1"
    print "    station: outlet"
    print "    from: 2026-01-01"
    print "    checks:"
    print "      - parameter: oxygen"
    print "        check every: 60 days"
    print "        as published for: dissolved oxygen"
    print "        copied from: quality plan 2026 (invented)"
    print "        correct figures: yes"
    print ""
} {print}' "$demo/farm.yaml" >probes.yaml
demo_step load
run farm load probes.yaml --by wren
expect_status 0
expect_out 'instrument o2-outlet'
demo_step confirm
demo_step logger

run instruments
expect_status 0
expect_out 'o2-outlet, fixed probe at outlet: Oxygen probe at the outlet, serial number'
expect_out 'QX-118 (invented)'
expect_out 'last good check none on record, due now'
expect_out 'oxygen of tank-1, logger Q1'
verdict 'instruments are listed with their serial numbers, and those that are not on record'

run visit check o2-outlet oxygen '2026-01-20 09:00' 10.0 10.0 --lot A-12 --expires 2026-12-31 --by wren
expect_status 0
expect_out 'Recorded as visit 1 to o2-outlet'
expect_out 'oxygen: found good, left good'
cat >visit.yaml <<'YAML'
instrument: o2-outlet
at: 2026-03-12 10:00
maintenance: wiped the window
readings:
  - parameter: oxygen
    unit: mg/L
    before cleaning: 7.90
    after cleaning: 7.70
    standards:
      - {standard: 10.0, read: 9.9, read after: 10.0, name: air-saturated water, lot: A-12,
         expires: 2026-12-31, temperature: 20.1}
YAML
run visit record visit.yaml --by wren
expect_status 0
expect_out 'oxygen: found good, left good, rated excellent; fouling -0.2 mg/L; drift 0.1'
verdict 'a visit is written down in one line or by a file, and judged by the criteria of the farm file'

run visit list --json
expect_status 0
expect_json 'len(j["visits"]) == 2'
expect_json 'j["visits"][1]["checks"][0]["standards"][0]["lot"] == "A-12"'
expect_json 'j["visits"][1]["checks"][0]["fouling"] == "-0.2"'
run visit show 2
expect_out 'Visit 2, 2026-03-12 10:00, by Wren Tidewell (invented), to o2-outlet'
expect_out 'done: wiped the window'
expect_out 'in the water 7.90 before and 7.70 after cleaning'
run instruments
expect_out 'its oxygen was to be checked by 2026-05-11 09:00'
expect_out 'last good check 2026-03-12 10:00 (visit 2), due 2026-05-11 09:00'
verdict 'visits are listed and shown'

run visit check o2-outlet oxygen '2026-04-20 09:00' 10.0 9.2 10.0 --by wren
expect_status 0
expect_out 'oxygen: found failed, left good'
run findings --json
expect_json 'any("visit 3 of 20 April 2026 found its oxygen off" in str(f) for f in j["findings"])'
run explain oxygen-floor 2026-04
expect_out 'visit 3 of 20 April 2026 found its oxygen off'
expect_out 'not counted (in doubt: drift'
verdict 'a failed check puts every reading since the last good one in doubt'

# agree WHAT: every verdict of the months worked out again by another program.
agree()
{
    for month in 03 04; do
        run explain "2026-$month" --json
        expect_status 0
        cp out "month-$month.json"
    done
    expect "it does not agree: $(python3 "$tree/tests/end/recompute.py" probes month-*.json 2>&1 | tail -n 1)" \
        python3 "$tree/tests/end/recompute.py" probes month-*.json >/dev/null
    verdict "verdicts worked out again: $1"
}
agree 'with a probe in doubt'

sed 's/named: logger Q1/named: logger Q9/' probes.yaml >stranger.yaml
run farm load stranger.yaml --by wren
expect_status 0
run check 2026-04
expect_out 'oxygen of outlet were read by logger Q1'
run farm load probes.yaml --by wren
expect_status 0
run check 2026-04
expect 'a probe on record is told' test "$(grep -c 'read by logger Q1' out)" = 0
verdict 'check tells readings by an instrument that is not on record'

run visit withdraw 3 --by wren --because 'it was the spare probe'
expect_status 0
run explain oxygen-floor 2026-04
expect 'still in doubt by it' test "$(grep -c 'visit 3' out)" = 0
run visit list --all
expect_out 'withdrawn: it'
verdict 'a wrong visit is withdrawn, and stays on record'

run visit check o2-outlet oxygen '2026-03-01 09:00' 10.0 10.0 --by wren
refused 'a visit before the last one' 4 'visit 2 of 12 March 2026 is on record' 'withdraw'
run visit check o2-outlet oxygen '2026-04-21 09:00' 10.0 10.0 --lot B-1 --expires 2026-04-20 --by wren
refused 'a standard past its day' 2 'had expired on 20 April 2026' 'still good'
run visit check o2-outlet oxygen '2026-04-21 09:00' 10.0 10.0 --by ash
refused 'a person who may not calibrate' 4 'calibrate' ''
run visit check o2-outlit oxygen '2026-04-21 09:00' 10.0 10.0 --by wren
refused 'an instrument of nowhere' 2 "no instrument 'o2-outlit'" "o2-outlet"
sed 's/before cleaning/befor cleaning/' visit.yaml >wrong.yaml
run visit record wrong.yaml --by wren
expect_status 2
expect_err "wrong.yaml:7:5: 'befor cleaning' is no key"
verdict 'a mistake in a visit is told with its place'

# --- answers ---------------------------------------------------------------------------------

# Found 0.4 too high after 39 days: by then a reading is to be lowered by so much.
run visit check o2-outlet oxygen '2026-04-20 10:00' 10.0 10.4 10.0 --by wren
expect_status 0
expect_out 'Next: weirbook visit proposal 4 oxygen'
run visit proposal 4 oxygen
expect_status 0
expect_out 'for drift    -0.4 mg/L at 2026-04-20 10:00, from nothing at 2026-03-12 10:00'
expect_out 'readings that limits look at'
expect_out 'now:'
expect_out 'then:'
run visit proposal 4 oxygen --json
expect_json 'j["corrected"] > 1000 and j["why_not"] is None and len(j["readings"]) == 7'
expect_json 'any(v["limit"] == "oxygen-floor" and v["before"] != v["after"] for v in j["verdicts"])'
verdict 'a proposal shows readings and verdicts before and after'

run visit answer 4 oxygen corrected --by wren
refused 'an answer without a reason' 2 'a reason is needed' 'because'
run visit answer 4 oxygen corrected --by ash --because words
refused 'an answer of who may not correct' 4 'Ash' 'people:'
run visit answer 4 oxygen corrected --by wren --because 'as visit 4 shows' --json
expect_status 0
expect_json 'j == {"visit": 4, "answer": "corrected"}'
run explain oxygen-floor 2026-04 --json
expect_status 0
cat >corrected.py <<'PY'
# Every corrected reading against the straight line, in exact fractions, rounded half up.
import json, sys
from datetime import datetime, timezone
from fractions import Fraction
from decimal import Decimal, ROUND_HALF_UP

def at(text):
    return datetime.fromisoformat(text.replace("Z", "+00:00"))

first, last = at("2026-03-11T21:00:00Z"), at("2026-04-19T22:00:00Z")
checked = 0
with open(sys.argv[1]) as file:
    j = json.load(file)
for limit in j["limits"]:
    for series in limit["series"]:
        if series["parameter"] != "oxygen" or series["station"] != "outlet":
            continue
        assert "QX-118" in series["instrument"], series["instrument"]
        assert [c["visit"] for c in series["checks"]] == [2, 4], series["checks"]
        for reading in series["readings"]:
            when = at(reading["at"])
            if not first < when <= last:
                assert "corrected_by" not in reading, reading
                continue
            raw = reading["first"]["reported"]
            share = Fraction((when - first) // (last - first).resolution, (last - first) // (last - first).resolution)
            exact = Fraction(raw) - Fraction(4, 10) * share
            step = Decimal(1).scaleb(Decimal(raw).as_tuple().exponent)
            want = (Decimal(exact.numerator) / Decimal(exact.denominator)).quantize(step, ROUND_HALF_UP)
            assert Decimal(reading["reported"]) == want, (reading, want)
            checked += 1
assert checked > 1000, checked
PY
expect 'a corrected reading is not on the straight line' python3 corrected.py out
run explain oxygen-floor 2026-04
expect_out 'oxygen by Oxygen probe at the outlet (serial number QX-118 (invented)):'
expect_out 'visit 2 of 12 March 2026 by Wren Tidewell (invented): found good, left good'
run findings --json
expect_json '[f["step"] for f in j["findings"] if f["subject"] == "o2-outlet oxygen: check failed, visit 4"] == ["worked out again"]'
run ledger check
expect_status 0
verdict 'an accepted correction is exact, keeps what was read, and names the visit'
agree 'with corrected readings'

run visit answer 4 oxygen stands --by wren --because 'the standard was warm' --json
expect_status 0
run explain oxygen-floor 2026-04 --json
expect 'a reading is still corrected' test "$(grep -c 'corrected_by' out)" = 0
verdict 'a later answer counts instead'
