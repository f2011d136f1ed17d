#!/bin/sh
# Tanks, feed, pumps and what is put in, on a small farm of its own (lib/works.yaml) whose records
# have plain shapes (lib/works_data.py), so that each answer can be worked out by hand.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin works

python3 "$lib/works_data.py" "$work"
for words in "farm load $lib/works.yaml --by wren" 'take-in logger logger.csv --by ash' \
    'take-in pump-sheet pump.csv --by ash' 'take-in two-places places.csv --by ash'; do
    # shellcheck disable=SC2086
    run $words --json
    expect_status 0
done
verdict 'a farm with a tank, a pond and a pump is there'

# --- tanks -----------------------------------------------------------------------------------

# Common practice, no source: a round tank of 100,000 L, 1.8 m deep, fed at 400 L/min turns over in
# 250 min, 5.76 times a day, over 55.6 m2.
run tanks 2026-03
expect_status 0
expect_no_err
expect_out '250 min'
expect_out '5.76'
expect_out '55.56'
expect_out 'Nominal'
verdict 'a round tank turns over in 250 minutes'
# The first tenth alone would be told in minutes: times of one sentence have one unit.
case $(tr -s ' \n' '  ' <out) in
*'after '*' hours, half after '*' hours, nine tenths after '*' hours '*) ;;
*) note 'the times of the path from intake to outlet are not all in hours' ;;
esac
verdict 'times that stand side by side have one unit'
run tanks tank 2026-03 --json
expect_json 'j["tanks"][0]["tank"] == "tank" and len(j["tanks"]) == 1'
expect_json 'j["tanks"][0]["flow_m3_per_h"] == 24'
expect_json 'j["paths"][0]["stations"] == ["intake", "pond", "tank", "outlet"]'
expect_json 'abs(j["paths"][0]["nominal_h"] - 700 / 24) < 0.01'
expect_json 'j["tanks"][0]["ring_and_centre"][0]["ring_less_centre"] > 0'
verdict 'a change at the intake reaches the outlet through pond and tank'
# Common practice, no source: an hour on and an hour off halves the mean flow, and half the flow
# doubles the time.
run tanks tank 2026-04 --json
expect_json 'abs(j["tanks"][0]["flow_m3_per_h"] - 12) < 0.01'
expect_json 'abs(j["tanks"][0]["nominal_h"] * 60 - 500) < 1'
verdict 'an hour on and an hour off halves the mean flow'
run tanks pund
refused 'a tank that is not there' 2 "no tank 'pund'" "Did you mean 'pond'"
run tanks 2031-01
refused 'tanks of a month to come' 2 'has not begun' '2026-03'

# From y = ln(C - 33), whose slope is -24/80 an hour: four fifths take part.
run mixing-trial tank salinity '2026-03-05 08:00' '2026-03-05 14:00' 33 --json
expect_status 0
expect_json 'abs(j["mixed_share"] - 0.8) < 0.02'
expect_json 'j["mixed_share_low"] < j["mixed_share"] < j["mixed_share_high"]'
verdict 'a salt trial finds the share that takes part'
run mixing-trial tank salinity '2026-03-06 08:00' '2026-03-06 14:00' 33
refused 'a trial without readings' 2 'reading'

# --- pump stops ------------------------------------------------------------------------------

run pump-stops tank 2026-03 --json
expect_status 0
expect_json 'len(j["stops"]) == 2'
expect_json 'all(abs(s["fall_mg_per_l_h"] - 1.2) < 0.02 for s in j["stops"])'
expect_json 'all(s["fall_low_mg_per_l_h"] < 1.2 < s["fall_high_mg_per_l_h"] for s in j["stops"])'
expect_json 'j["answer"] == "not known" and j["not_known_because"]'
expect_json '"not an alarm" in j["caution"]'
verdict 'each stop of a pump has its rate with its interval'
run pump-stops tank 2026-03
expect_out 'not an alarm and not a switch'
expect_out '2026-03-20 01:00'
verdict 'the caution goes with every answer'
run pump-stops pond 2026-03
refused 'a tank without such a record' 2 'does not say' 'while the pump is off'

run check 2026-03
expect_status 0
expect_out '2 new findings'
verdict 'a stop near the floor and a fall of salinity are found'
run findings --json
expect_json 'sorted(f["kind"] for f in j["findings"]) == ["pump stop", "salinity fall"]'
expect_json '"4.42 mg/L" in [f for f in j["findings"] if f["kind"] == "pump stop"][0]["words"]'
expect_json '[f["from"] for f in j["findings"] if f["kind"] == "salinity fall"] == ["2026-03-15"]'
verdict 'findings of tanks and intake say what was read and when'
run check 2026-03
expect 'they were found twice' test "$(grep -c 'new finding' out)" -eq 0
verdict 'the same findings are opened once'

# --- additions -------------------------------------------------------------------------------

run addition
refused 'half of a command' 2 "no command 'addition'" 'addition list'
run doubt zet
refused 'a second word that is none' 2 'takes no words' 'doubt set'

run addition add pond fertiliser '25 kg' '2026-03-04 09:00' --what urea --nitrogen 46 --phosphorus 0 \
    --withhold 0 --by ash --json
expect_status 0
expect_json 'j["number"] == 1 and j["amount"] == 25 and j["unit"] == "kg"'
expect_json 'j["nitrogen_percent"] == 46 and j["withhold_hours"] == 0'
verdict 'what is put in is written down'
run addition add pond fertiliser '20 kg' '2026-03-04 09:00' --what urea --nitrogen 46 --phosphorus 0 \
    --withhold 0 --instead-of 1 --because 'a bag of 20' --by wren
expect_status 0
expect_out 'addition 2'
verdict 'a correction names the one it stands in place of'
run addition add tank treatment '2 L' '2026-03-05 09:00' '2026-03-05 11:00' --what 'lime milk' --by ash
expect_status 0
expect_out 'No withholding time was told'
verdict 'a treatment without a withholding time is told so'
run addition take-back 3 --because 'never done' --by wren --json
expect_status 0
expect_json 'j["taken_back"] == "never done"'
verdict 'one that never was is taken back'
run addition add pond treatment '250 mL' '2026-03-06 09:00' --what iodine --withhold 24 --by ash --json
expect_status 0
expect_json 'j["unit"] == "mL" and j["amount"] == 250'
verdict 'a dose can be told in millilitres, as the hint says'
run addition take-back 4 --because 'an example' --by wren
run addition list 2026-03 --json
expect_json '[a["number"] for a in j["additions"]] == [2]'
verdict 'the list shows what stands'
run addition list --all --json
expect_json '[(a["number"], a["replaced_by"]) for a in j["additions"]] == [(1, 2), (2, 0), (3, 0), (4, 0)]'
verdict 'nothing that was written down is gone'
while IFS='|' read -r ends words said todo; do
    eval "run addition $words"
    refused "addition $words" "$ends" "$said" "$todo"
done <<'CASES'
2|add pund feed '1 kg' '2026-03-04 09:00' --what algae --by wren|no station 'pund'|Did you mean 'pond'
2|add pond food '1 kg' '2026-03-04 09:00' --what algae --by wren|no kind of addition|medicine
2|add pond feed '1' '2026-03-04 09:00' --what algae --by wren|not an amount|25 kg
2|add pond feed '0 kg' '2026-03-04 09:00' --what algae --by wren|not an amount|above 0
2|add pond feed '1 mg/L' '2026-03-04 09:00' --what algae --by wren|neither a mass|2.5 L
2|add pond feed '1 kg' '2026-03-04 09:00' --by wren|not told|--what
2|add pond feed '1 kg' '2036-03-04 09:00' --what algae --by wren|not come yet|when it is done
2|add pond feed '1 kg' '2026-03-04 09:00' '2026-03-04 08:00' --what algae --by wren|ends before|earlier
2|add pond feed '1 kg' '2026-03-04 09:00' --what algae --nitrogen 146 --by wren|'146'|0 to 100
2|add pond feed '1 kg' '2026-03-04 09:00' --what algae --withhold soon --by wren|'soon'|--withhold 48
2|add pond feed '1 kg' '2026-03-04 09:00' --what algae --instead-of 1 --because words --by wren|no longer stands|addition list
2|add pond feed '1 kg' '2026-03-04 09:00' --what algae --instead-of 9 --because words --by wren|no addition 9|addition list
2|add pond feed '1 kg' '2026-03-04 09:00' --what algae --instead-of 2 --by wren|a reason is needed|--because
4|take-back 2 --because words --by ash|Ash|people:
2|take-back 2 --by wren|a reason is needed|--because
CASES
# --- the month's balance, feed and energy ----------------------------------------------------

# 24 m3/h for 744 h are 17,856 m3: 0.20 and 0.25 mg/L in it, and 46 % of 20 kg.
run balance 2026-03 --json
expect_status 0
expect_json 'j["balances"][0]["parameter"] == "total-nitrogen"'
expect_json '{t["term"]: t["kg"] for t in j["balances"][0]["terms"]} == {"brought by water": 3.571, "added as fertiliser": 9.2, "added with feed": 0, "left by discharge": 4.464}'
expect_json 'abs(j["balances"][0]["kept_kg"] - (3.571 + 9.2 - 4.464)) < 0.002'
verdict 'nitrogen that came in and did not leave is kept'
expect_json 'j["balances"][1]["kept_kg"] is None'
expect_json 'j["balances"][1]["terms"][0]["kg"] is None and "intake" in j["balances"][1]["terms"][0]["rests_on"]'
expect_json 'abs(j["balances"][2]["kept_kg"] - 17.856 * 6) < 0.1'
verdict 'what nobody measured is not nothing'
run balance 2026-04
expect_status 0
expect_out 'not known'
verdict 'a month without samples has no balance'

# 24 m3/h and 40,000 cells/mL less: 9.6e11 cells an hour. 20 um is 15/35 of the way from 5 to 40 um, so 20 + 30 %.
run feed 2026-03 --json
expect_status 0
expect_json '{f["parameter"]: f["taken_up"] for f in j["tanks"][0]["feed"]}["algae"] == 960000000000'
expect_json '{f["parameter"]: f["taken_up_per_thousand_animals"] for f in j["tanks"][0]["feed"]}["algae"] == 24000000000'
expect_json '{f["parameter"]: f["share_taken_up"] for f in j["tanks"][0]["feed"]}["algae"] == 0.8'
# 40 % of what leaves is below 5 um and 75 % below 40 um: 40 + 15.
expect_json 'j["tanks"][0]["share_below"] == {"feed pond": 0.5, "in": None, "out": 0.55}'
verdict 'feed is followed from the pond through the tank'
# 24 m3/h lose 6 ug/L and 4.5 NTU, three quarters of each. Nothing is read at the inlet.
expect_json '{f["parameter"]: (f["taken_up"], f["taken_up_unit"]) for f in j["tanks"][0]["feed"]}["chlorophyll"] == (144, "mg an hour")'
expect_json '{f["parameter"]: f["share_taken_up"] for f in j["tanks"][0]["feed"]}["turbidity-ntu"] == 0.75'
expect_json 'all(f["in_is_feed_pond"] == (f["parameter"] != "algae") for f in j["tanks"][0]["feed"])'
verdict 'chlorophyll and turbidity are followed too'
expect_json '[(f["taken_up"], f["taken_up_unit"]) for f in j["tanks"][0]["feed"] if f["parameter"] == "turbidity-ntu"] == [(None, None)]'
run feed 2026-03
expect_out '75 % of what came in'
expect 'a product that nobody needs' test "$(grep -c 'times the unit' "$work/out")" -eq 0
verdict 'of turbidity taken up only the share is told'
run feed 2026-05
expect_status 0
expect_out 'nothing that tells of feed was read. Read chlorophyll'
expect_out 'at pond (feed pond), at tank, position inlet'
expect_out 'and at outlet (out)'
expect_out 'particles-below-20um'
verdict 'a month without feed readings says what to read and where'
sed -e 's/feed below: 20/feed below: 5/' "$lib/works.yaml" >size.yaml
run farm load size.yaml --by wren --json
expect_status 0
run feed 2026-03 --json
expect_json 'j["tanks"][0]["share_below"]["feed pond"] == 0.2'
verdict 'a size that was counted itself needs no line'
run farm load "$lib/works.yaml" --by wren --json
run feed 2026-03
expect_out 'million cells an hour'
verdict 'cells are told by the million'

run energy 2026-03 --json
expect_status 0
expect_json 'j["pumps"][0]["hours_run"] == 739 and j["pumps"][0]["hours_off"] == 5'
expect_json 'abs(j["pumps"][0]["kwh"] - 739 * 1.5) < 1'
expect_json 'j["pumps"][0]["source"] == "by rated power"'
expect_json 'abs(j["pumps"][0]["kwh_per_thousand_animals"] - 739 * 1.5 / 40) < 0.01'
verdict 'a pump without a meter is told by rated power and hours'
expect_json 'j["pumps"][1]["kwh"] == 310 and j["pumps"][1]["source"] == "by meter"'
expect_json 'j["pumps"][1]["kwh_per_thousand_animals"] == 38.75'
verdict 'a meter goes before the rated power'

# --- a loop ----------------------------------------------------------------------------------

# Half of the tank's water goes back to the pond: 12 m3/h are new, and 700 m3 over them 58.3 h.
sed 's/since: 2026-05-01, returned/since: 2026-03-01, returned/' "$lib/works.yaml" >loop.yaml
run farm load loop.yaml --by wren --json
expect_status 0
run tanks 2026-03 --json
expect_json 'abs(j["new_water_m3_per_h"] - 12) < 0.01 and abs(j["stays_in_all_h"] - 700 / 12) < 0.02'
expect_json 'all(abs(t["returned_share"] - 0.5) < 0.001 for t in j["tanks"])'
expect_json 'abs(j["tanks"][0]["age_h"] - 700 / 12) < 0.02'
verdict 'a loop returns half of the water'

# A pond of which no volume is on record is not a pipe.
sed '/^  - station: pond$/,/^    pump:/d' "$lib/works.yaml" >unsized.yaml
run farm load unsized.yaml --by wren --json
expect_status 0
run tanks 2026-03
expect_out 'the volume of pond (a feed-pond) is missing'
expect 'a time by a pond of no volume' test "$(grep -c 'half after' "$work/out")" -eq 0
run tanks 2026-03 --json
expect_json 'j["paths"][0]["half_h"] is None and j["stays_in_all_h"] is None'
verdict 'a pond without a volume gives no arrival time'

run ledger check
expect_status 0
verdict 'the ledger holds all of it'
