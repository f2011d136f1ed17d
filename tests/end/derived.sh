#!/bin/sh
# Readings worked out from others: what the farm file derives, each with what went in, and what is
# not given and why.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin derived

example=$tree/fixtures/example
# An invented limit: EXAMPLE.
cat >limit.yaml <<'END'
  - key: saturation
    name: Oxygen saturation, each reading
    licence: ex-1
    clause: Row 9
    wording: Oxygen saturation shall not be below 60 percent.
    station: outlet
    parameter: oxygen-saturation
    unit: "%"
    samples: derived
    only while discharging: no
    each day: every reading
    statistic: value
    period: each sample
    not below: 60
    rounding: none
    in force: {from: 2026-01-01}
END
cat >derived.yaml <<'END'
derived:
  - key: percent
    station: outlet
    parameter: oxygen-saturation
    equation: oxygen saturation
    from: [{parameter: oxygen}, {parameter: temperature}]
    within: 10 minutes
    settings: {salinity: 34, pressure: sea level}

END
licence=$(sed -n 's/^    licence: //p' "$example/farm.yaml" | head -n 1)
sed -i "s/ex-1/$licence/" limit.yaml
awk '/^limits:/ { while ((getline line < "derived.yaml") > 0) print line; print
                  while ((getline line < "limit.yaml") > 0) print line; next }
     { print }' "$example/farm.yaml" >farm.yaml
cat >july.csv <<'END'
Time,Temp (degC),Oxygen (mg/L),Flow (L/s)
2026-05-20 10:00,20.0,7.0,4.3
2026-05-20 10:30,45.2,7.0,4.3
2026-05-20 11:00,,7.0,4.3
END

run derived
refused 'without a farm there is nothing to show' 2
run farm load farm.yaml --by owner
expect_status 0
run confirm --by owner --json
run take-in logger july.csv --by owner
expect_status 0
verdict 'a farm file with derived readings loads'

run derived
expect_status 0
expect_no_err
expect_out 'percent: oxygen-saturation at outlet, in %'
expect_out 'oxygen at outlet, temperature at outlet; within 10 min'
expect_out 'sea level'
expect_out 'Benson and'
expect_out 'Next: weirbook derived outlet oxygen-saturation'
run derived --json
expect_json 'j["derived"][0]["equation"] == "oxygen saturation"'
expect_json '[i["as"] for i in j["derived"][0]["from"]] == ["oxygen", "temperature"]'
verdict 'alone it lists what the farm file derives'

run derived outlet oxygen-saturation 2026-05
expect_status 0
expect_no_err
expect_out '1 derived reading, 2 not given'
expect_out 'not given (1 of 2): '
expect_out '; 1 for 1 other reason'
expect_out 'oxygen 7.0 mg/L'
expect_out 'july.csv line 2'
expect_out 'the temperature is 45.2'
expect_out 'no temperature'
expect 'it is wider than 80 columns' test -z "$(awk 'length($0) > 80' "$work/out")"
run derived outlet oxygen-saturation --from 2026-05-20 --to 2026-05-20 --json
expect_status 0
# USGS Technical Memorandum 2011.03: 7.4 mg/L at 20 degC and salinity 34 or 35.
expect_json '93 < float(j["readings"][0]["value"]) < 96'
expect_json '[i["value"] for i in j["readings"][0]["from"]] == ["7.0", "20.0"]'
expect_json 'j["readings"][0]["from"][1]["file"] == "july.csv" and j["readings"][0]["from"][1]["line"] == 2'
expect_json 'j["not_given"] == 2 and "45.2 degC" in j["readings"][1]["not_given"]'
run derived outlet oxygen-saturation --from 2026-05-21 --to 2026-05-22 --json
expect_json 'j["readings"] == []'
verdict 'each reading stands with what went in, and what is not given with why'

run check 2026-05
expect_out 'saturation'
expect_out 'not assessable'
expect_out '45.2 degC'
run explain saturation 2026-05
expect_out 'derived, not measured: percent'
expect_out 'worked out from oxygen at outlet 7.0 mg/L'
expect_out 'derived readings that are not given: 2'
verdict 'a verdict and its explanation say what was derived'

run correct outlet oxygen '2026-05-20 10:00' 3.5 --because 'read again' --by owner
expect_status 0
run derived outlet oxygen-saturation 2026-05 --json
expect_json '46 < float(j["readings"][0]["value"]) < 48'
run check 2026-05
expect_out 'outside: below 60'
verdict 'a correction reaches what rests on it at once'

run report discharge 2026-05 --by owner --out month.xlsx
expect_status 0
expect 'the workbook does not say that it is derived' \
    sh -c "unzip -p month.xlsx xl/sharedStrings.xml | grep -q 'derived: percent'"
verdict 'the workbook marks a derived reading with its equation'

run derived outlet oxygen-saturation may
expect_status 2
expect_err "'may' is not a month"
verdict 'a month that is none is told'
while IFS='|' read -r words said todo; do
    # shellcheck disable=SC2086
    run $words
    refused "weirbook $words" 2 "$said" "$todo"
done <<'CASES'
derived outlet|which parameter at 'outlet'?|STATION PARAMETER
derived outlet oxygen|works out no 'oxygen' at 'outlet'|outlet oxygen-saturation
derived outlet oxygen-saturation --from 2026-05-01|go together|--to 2026-03-07
derived outlet oxygen-saturation 2026-05 --from 2026-05-01 --to 2026-05-02|without a month|2026-03
CASES

sed 's/salinity: 34/salinity: 30/' farm.yaml >fresher.yaml
run farm load fresher.yaml --by owner --dry-run
expect_status 0
expect_out 'derived reading percent'
verdict 'a changed setting is said when the file is loaded'

run words equations
expect_status 0
expect_out 'v-notch-90-cone'
expect 'it is wider than 80 columns' test -z "$(awk 'length($0) > 80' "$work/out")"
verdict 'the words list the equations'

sed 's/equation: oxygen saturation/equation: oxygen saturatoin/' farm.yaml >wrong.yaml
run farm check wrong.yaml
refused 'an equation of nowhere' 2 "there is no equation 'oxygen saturatoin'" \
    "Did you mean 'oxygen saturation'?"
sed 's/, pressure: sea level//' farm.yaml >wrong.yaml
run farm check wrong.yaml
refused 'an equation without what it asks for' 2 'lacks the setting `pressure`' 'settings'
