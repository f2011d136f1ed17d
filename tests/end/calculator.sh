#!/bin/sh
# The calculator as a person types: lists, what a quantity takes, answers with unit, equation and
# source, in words and in JSON. The example that each quantity shows has to work.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin calculator

fits_80_columns()
{
    ! awk 'length($0) > 80' "$work/out" | grep -q .
}

# figure NAME: its value in the answer's JSON.
has_figure()
{
    python3 - "$work/out" "$@" <<'END'
import json, sys
figures = {f["name"]: f for f in json.load(open(sys.argv[1]))["figures"]}
figure = figures[sys.argv[2]]
assert abs(float(figure["value"]) - float(sys.argv[3])) <= float(sys.argv[4]), figure
assert figure["unit"] == sys.argv[5], figure
END
}

run_bare work-out
expect_status 0
expect_no_err
expect_out 'practical salinity'
expect_out 'most probable number'
expect 'it is wider than 80 columns' fits_80_columns
verdict 'work-out alone lists what there is'

run_bare work-out --json
expect_status 0
python3 -c 'import json, sys
for part in json.load(open(sys.argv[1])):
    for row in part["rows"]:
        print(row["quantity"])' out >quantities
expect 'fewer than 50 quantities' test "$(wc -l <quantities)" -ge 50
verdict 'the list in JSON has them too'

# --- each one --------------------------------------------------------------------------------

while IFS= read -r quantity; do
    run_bare work-out "$quantity"
    expect_status 0
    expect_no_err
    expect_out 'source: '
    expect_out 'holds for: '
    expect 'it is wider than 80 columns' fits_80_columns
    run_bare work-out "$quantity" --json
    expect_status 0
    example=$(python3 -c 'import json, sys
print(json.load(open(sys.argv[1]))["example"])' out)
    eval "run_bare work-out '$quantity' $example"
    expect_status 0
    expect_no_err
    expect_out ': '
    expect_out 'source: '
    expect 'it is wider than 80 columns' fits_80_columns
    eval "run_bare work-out '$quantity' $example --json"
    expect_status 0
    expect_json 'j["figures"] and j["equation"] and j["source"] and j["range"]'
    verdict "$quantity: its example works"
done <quantities

# --- as people type --------------------------------------------------------------------------

# Common practice, no source: a round tank of 100,000 L, 1.8 m deep, fed at 400 L/min.
run_bare work-out residence time volume=100000 L flow=400 L/min depth=1.8 --unit min
expect_status 0
expect_out 'residence time: 250 min'
expect_out 'exchanges a day: 5.76'
expect_out 'plan area: 55.56 m2'
verdict 'units stand behind their numbers without quotes'
run_bare work-out energy of a pump power=1.5 time=24
expect_out 'energy: 36 kWh'
verdict 'one and a half kilowatts all day'

run_bare work-out "practical salinity" conductivity=34.5600 temperature=4.4036 pressure=1000 --json
expect_status 0
# TEOS-10, gsw_SP_from_C help page (from memory).
expect 'not the published salinity' has_figure 'practical salinity' 36.400308494388 1e-9 PSU
expect_json '[i["given"] for i in j["inputs"]] == [True, True, True, False, False]'
verdict 'an answer tells its inputs, and which were not given'

run_bare work-out flow over a v-notch weir head=0.3 ft equation=v-notch-60-table --unit gpm --json
# A discharge table that cites ASTM D5242-92 (2001): 31.92 gpm.
expect 'not the printed flow' has_figure flow 31.92 0.04 gpm
verdict 'a flow in the unit that is asked for'

run_bare work-out another unit value=1 MGD --unit m3/day
expect_out 'value: 3785.411784 m3/day'
verdict 'any figure in another unit'

run_bare work-out 'censored mean' 'values=20,<10,<10,<10,<10,7,3,<3,<3' method=kaplan-meier --json
# Hughes and Millard 1988, as printed with Helsel 2005.
expect 'not the printed mean' has_figure mean 5.777778 1e-6 ''
verdict 'less-thans in a list'

run_bare work-out most probable number positive=0,0,0 tubes=3,3,3 amounts=10,1,0.1 per=100
expect_out 'two figures: <3'
run_bare work-out most probable number positive=3,3,3 tubes=3,3,3 amounts=10,1,0.1 per=100 --json
expect_status 0
expect_json 'j["figures"][0]["qualifier"] == ">" and j["figures"][1]["value"] is None'
verdict 'tubes that are all negative or all positive'

run_bare work-out time to an oxygen floor volume=20 respiration=1.5 reaeration=0.05 \
    saturation=8.235646 start=6.165603 floor=4
expect_status 0
expect_out 'never reached'
expect_out 'low-oxygen alarm'
verdict 'never is an answer, with the caution that goes with it'

run_bare work-out un-ionised ammonia pH=8 temperature=20 equation=khoo salinity=34
expect_out 'un-ionised share: 3.0'
expect_out 'can kill'
run_bare work-out un-ionised ammonia pH=8 temperature=20 equation=khoo salinity=34 \
    total-ammonia=0.4 basis='as NH3'
expect_out 'Un-ionised ammonia as NH3, from total ammonia as N; the pH is taken to be on the'
expect_out 'NBS scale.'
verdict 'what can hurt has its caution, its basis and its pH scale'

# --- what is wrong ---------------------------------------------------------------------------

while IFS='|' read -r words said todo; do
    # shellcheck disable=SC2086
    run_bare work-out $words
    refused "work-out $words" 2 "$said" "$todo"
done <<'CASES'
salinity|nothing to work out called 'salinity'|'practical salinity'
practical salnity|nothing to work out|Did you mean 'practical salinity'
salinty|nothing to work out|Did you mean: 'practical salinity'
conductivity=50|nothing to work out|weirbook work-out lists
practical salinity conductivity=50|no temperature given|temperature=NUMBER
practical salinity conductivity=50 temperature=20 depth=3|takes no 'depth'|It takes
practical salinity conductivity=50 temperature=20 mg/L|can't be in mg/L|Give it in degC
practical salinity conductivity=50 temperature=twenty|'twenty' is no number|in degC
practical salinity conductivity=50 temperature=90|temperature is 90|
practical salinity conductivity=50 temperature=20 --unit mg/L|can't be converted|
mean pH values=7,8 mean=best|can't be 'best'|hydrogen-ion
CASES
