#!/bin/sh
# What duplicates, blanks and coarse limits come to, from the farm file to the finding, and how a
# finer limit and a correction end it.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin quality

# The tests' farm, with what it accepts, and what its laboratory calls its check samples.
{
    sed 's/^  key: KEY/  key: north-bay/; s/^    purpose column: For$/&\n    purpose words: {FB: blank, DUP: duplicate}/' \
        "$tree/tests/harness/farm.yaml"
    cat <<'YAML'

quality checks:
  - parameter: suspended-solids
    copied from: Plan of the tests, page 3
    duplicates: {rule: percent, percent: 20 %, within: 30 minutes, in doubt: yes}
    blanks: {not above: detection limit, concerns: same day, below times: 5, in doubt: yes}
YAML
} >farm.yaml
export WEIRBOOK_NOW=2026-06-10T12:00:00Z
run farm load farm.yaml --by pat
expect_status 0
run confirm --by quinn
expect_status 0
verdict 'a farm says what it accepts'

cat >may.csv <<'CSV'
Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ
S1,,,Out,2026-05-04 09:00,TSS,16,mg/L,0.5,35
Q1,,DUP,Out,2026-05-04 09:20,TSS,20,mg/L,0.5,35
S2,,,Out,2026-05-11 09:00,TSS,12,mg/L,0.5,35
B1,,FB,Tank,2026-05-11 08:00,TSS,3,mg/L,0.5,35
CSV
run take-in laboratory may.csv --by pat
expect_status 0
run check 2026-05
expect_status 0
run quality 2026-05 --json
expect_status 0
expect_json '[(c["check"], c["outcome"]) for c in j["checks"]] == [("duplicates", "failed"), ("blank", "failed")]'
expect_json '[r["result"] for r in j["checks"][0]["results"]] == ["16 mg/L", "20 mg/L"]'
expect_json 'abs(float(j["checks"][0]["percent"]) - 200 * 4 / 36) < 1e-4'
expect_json '[r["sample"] for r in j["checks"][1]["concerned"]] == ["S2"]'
expect_json '{l["clause"]: l["too_coarse"] for l in j["limits"]} == {"solids-each": False, "solids-mean": True}'
verdict 'a pair, a blank and a coarse limit are worked out'
run quality 2026-05
expect_status 0
tr -s ' \n' ' ' <out >flat && mv flat out
expect_out 'S1 (16 mg/L) and Q1 (20 mg/L)'
expect_out 'In doubt: S2'
expect_out 'above the bound'
verdict 'and said in words'
run findings --json
expect_out 'quality check'
expect_out 'coarse limit'
expect_out 'more than the 20 % allowed'
run explain solids-mean 2026-05 --all
tr -s ' \n' ' ' <out >flat && mv flat out
expect_out 'quality check: duplicates S1 (16 mg/L) and Q1 (20 mg/L)'
expect_out 'within only with what is in doubt'
verdict 'they are findings, and what they are about is in doubt'

run correct outlet suspended-solids '2026-05-04 10:20' 17 --because 'misread' --by pat --sample Q1
expect_status 0
printf 'Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ\nS3,,,Out,2026-06-01 09:00,TSS,12,mg/L,0.5,2\n' >june.csv
run take-in laboratory june.csv --by pat
expect_status 0
run check 2026-05
run check 2026-06
run quality 2026-05 --json
expect_json 'j["checks"][0]["outcome"] == "passed"'
expect_json 'not any(l["too_coarse"] for l in j["limits"])'
run findings --json
expect_out 'worked out again'
verdict 'a correction and a finer limit end them'
