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
    before cleaning: 8.10
    after cleaning: 7.70
    standards:
      - {standard: 10.0, read: 9.9, read after: 10.0, name: air-saturated water, lot: A-12,
         expires: 2026-12-31, temperature: 20.1}
YAML
run visit record visit.yaml --by wren
expect_status 0
expect_out 'oxygen: found good, left good, rated good; fouling -0.4 mg/L; drift 0.1 mg/L'
verdict 'a visit is written down in one line or by a file, and judged by the criteria of the farm file'

run visit list --json
expect_status 0
expect_json 'len(j["visits"]) == 2'
expect_json 'j["visits"][1]["checks"][0]["standards"][0]["lot"] == "A-12"'
expect_json 'j["visits"][1]["checks"][0]["fouling"] == "-0.4"'
run visit show 2
expect_out 'Visit 2, 2026-03-12 10:00, by Wren Tidewell (invented), to o2-outlet'
expect_out 'done: wiped the window'
expect_out 'in the water 8.10 before and 7.70 after cleaning'
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
