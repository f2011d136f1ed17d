#!/bin/sh
# Commands and options as people type them: help that fits a terminal, near matches, answers in JSON
# that a machine can read, and what each command ends with.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin commands

# --- help ------------------------------------------------------------------------------------

fits_80_columns()
{
    ! awk 'length($0) > 80' "$work/out" | grep -q .
}

# From the program's own list, so that a new command is tried too. Its first column is as wide as
# its longest name; a line that goes on stands further in.
run_bare --help
cp out help.txt
expect_status 0
expect_no_err
expect 'it is wider than 80 columns' fits_80_columns
sed -n '/^  weirbook COMMAND/,/^weirbook COMMAND --help/p' help.txt | grep '^  [a-z]' | grep -v COMMAND |
    sed 's/^  //; s/   *.*//' >names
expect 'fewer than 15 commands are listed' test "$(wc -l <names)" -ge 15
verdict 'the list of commands fits a terminal'

while read -r name; do
    # shellcheck disable=SC2086
    run_bare $name --help
    expect_status 0
    expect_no_err
    expect_out "weirbook $name"
    expect_out '--json'
    expect 'it is wider than 80 columns' fits_80_columns
    cp out one.txt
    # shellcheck disable=SC2086
    run_bare help $name
    expect_status 0
    expect 'help says otherwise than --help' cmp -s out one.txt
    verdict "help of $name fits a terminal"
done <names

run_bare help
expect_status 0
expect 'it is not what --help says' cmp -s out help.txt
verdict 'help alone lists the commands'
run_bare
expect_status 2
expect_out 'weirbook COMMAND'
verdict 'no word at all is not fine, and shows help'
run_bare farm --help
expect_status 0
expect_out 'farm load'
verdict 'help of a first word lists what begins with it'
for status_listed in 0 1 2 3 4 10 11; do
    cp help.txt out
    expect "$status_listed is not among what it may end with" grep -Eq "^ +$status_listed  [a-z]" out
done
verdict 'help tells each exit status'

# --- words that are wrong --------------------------------------------------------------------

while IFS='|' read -r words said todo; do
    # shellcheck disable=SC2086
    run_bare $words
    refused "weirbook $words" 2 "$said" "$todo"
done <<'CASES'
chek 2026-03|no command 'chek|Did you mean: weirbook check
farm lode x.yaml|no command 'farm lode'|Did you mean: weirbook farm load
reprot discharge|no command 'reprot|Did you mean: weirbook report discharge
nonsense|no command 'nonsense'|weirbook --help
farm|no command 'farm'|There is: farm check, farm load.
check 2026-03 2026-04|'check' takes only [MONTH]: '2026-04' is too much|check --help
take-in laboratory|'take-in' needs more words: SOURCE FILE|take-in --help
help nonsense|no command 'nonsense'|weirbook --help
status --jsn|no option --jsn|Did you mean --json
status -h|no option -h|Did you mean --help
status --by wren|takes no --by|weirbook status --help
status --data|--data needs a value|--data FOLDER
take-in logger|SOURCE FILE...|weirbook take-in --help
check 2026-02 2026-03|[MONTH]|weirbook check --help
database prepare|no server was named|--database URI
CASES
run_bare status --json=yes
expect_status 2
expect_err '--json takes no value'
verdict 'an option without a value takes none'

# --- a farm ----------------------------------------------------------------------------------

demo_farm
verdict 'the demo farm is there'

for month in 2026-13 2026-3 march 2026-02-03 -1; do
    run check -- "$month"
    expect_status 2
    expect_err "$month"
    verdict "check $month is told that it is no month"
done
while IFS='|' read -r words said todo; do
    # shellcheck disable=SC2086
    run $words
    refused "weirbook $words" 2 "$said" "$todo"
done <<'CASES'
explain solid-each 2026-02|no limit or interval 'solid-each'|Did you mean 'solids-each'
confirm nonsense --by wren|no limit 'nonsense'|confirm --list
correct outlet ph yesterday 8 --by wren --because words|'yesterday' is not a time|2026-03-17 09:30
correct outlet ph 2026-04-05T02:30 8 --by wren --because words|came twice|2026-04-05T02:30:00+13:00
correct outlet ph 2026-02-01T00:03 8 --by wren --because words|no reading|to the minute
correct outlet ph 2026-02-01T00:00 eight --by wren --because words|'eight'|0.05
correct outlet ph 2026-02-01T00:00 8 --by wren|a reason is needed|--because
leave-out outlet ph 2026-02-01T00:00 --because words|who does it|--by PERSON
doubt set drfit outlet ph 2026-02-01T00:00 2026-02-01T01:00 --by wren --because words|'drfit' is no kind of doubt|holding time
doubt set drift outlet ph 2026-02-01T00:00 2026-01-01T01:00 --by wren --because words|ends before it begins|The first time
doubt set drift outlet ph 2026-02-01T00:00 2026-02-01T01:00 --by wren|a reason is needed|--because
doubt sample custody nothere --by wren --because words|no sample 'nothere'|laboratory
doubt lift nine --by wren --because words|'nine' is not the number of a mark|weirbook doubt
doubt lift 9 --by wren --because words|no mark of doubt 9|weirbook doubt
no-sample weekly 2026-03-29 --by ash --because words|a reason is needed|--reason
no-sample weekly 2026-03-29 --by ash --because words --reason lazy|'lazy'|not taken
no-sample wekly 2026-03-29 --by ash --because words --reason lost|no interval 'wekly'|Intervals
aside mend|'mend' is no source|aside accept
aside correct lab-2026-03-17-corrected.csv 3 colour red --by wren --because words|'colour'|station
aside withdraw laboratory unit mgl --by wren --because words|no rule stands|aside rules
aside seen nothere.csv --by wren|nothing that was set aside there|weirbook aside
aside leave-out-all nothere.csv --by wren --because words|there is nothing of nothere.csv|weirbook aside
aside put-back nothere.csv 2 --by wren --because words|there is nothing of nothere.csv|weirbook aside
aside accept nothere.csv 2 --by wren --because words|nothere.csv|weirbook aside
aside accept lab-2026-03-17-corrected.csv two --by wren --because words|'two' is not a line|as `weirbook aside`
report discharge 2026-02|who does it|--by PERSON
report discharge 2026-02 --by wren --licence dp-27|no licence 'dp-27'|dp-26
CASES

run correct outlet ph 2026-02-01T00:00 8 --by ash --because words
refused 'a person who may not correct' 4 'Ash' 'people:'
run report discharge 2026-02 --by wren --out "$work/nowhere/month.xlsx"
refused 'a workbook for a folder that is not there' 2 "$work/nowhere" '--out'

# --- JSON ------------------------------------------------------------------------------------

# Each line: the words of a command that works on the demo farm as it stands here.
printf '%s\n' "farm check $demo/farm.yaml" "farm load $demo/farm.yaml --by wren" \
    "farm load $demo/farm.yaml --by wren --dry-run" 'confirm --list' 'confirm --by wren' \
    "take-in laboratory $demo/lab-2026-02-03.csv --by ash" 'aside' 'aside compare lab-2026-03-17-corrected.csv 3' 'check' 'check 2026-02' \
    'explain solids-mean 2026-02' "report discharge 2026-02 --by wren --out $work/out.xlsx" \
    'status' 'findings' 'derived' 'flags' 'quality' 'instruments' 'words' 'words units' 'words equations' 'work-out' 'work-out residence time volume=20 flow=12.5' 'ledger check' 'correct outlet ph 2026-02-01T00:00 7.9 --by wren --because words' \
    'leave-out outlet ph 2026-02-01T00:00 --by wren --because words' \
    'put-back outlet ph 2026-02-01T00:00 --by wren --because words' \
    'doubt set drift outlet ph 2026-02-01T00:00 2026-02-01T01:00 --by wren --because words' \
    'doubt sample custody IL-2611 --by wren --because words' \
    'doubt' 'doubt lift 1 --by wren --because words' \
    'no-sample weekly 2026-03-29 --by ash --because words --reason lost' \
    'aside accept lab-2026-03-17-corrected.csv 3 --by wren --because words' \
    'aside read-again lab-2026-04-14.csv --by wren' \
    'aside leave-out lab-2026-04-14.csv 2 --by wren --because words' \
    'aside put-back lab-2026-04-14.csv 2 --by wren --because words' \
    'aside leave-out-all lab-2026-04-14.csv --by wren --because words' \
    'aside rule laboratory unit mgl mg/L --by wren --because words' 'aside rules' \
    'aside withdraw laboratory unit mgl --by wren --because words' \
    "document keep $demo/farm.yaml --kind other --by wren" 'document list' \
    "document show 1 --out $work/document.out" 'result checked IL-2611 --document 1 --by wren' \
    "look $demo/logger-2026-02.csv" 'notices' 'notices --all' 'notices send' \
    'addition list --all' 'addition list 2026-03' 'balance 2026-03' 'look-round' >works
while read -r words; do
    # shellcheck disable=SC2086
    run $words --json
    expect_status 0
    expect_no_err
    expect_json 'j is not None'
    verdict "JSON of $words"
done <works
while read -r name; do
    case $name in
    database*) continue ;; # tried on a server of somebody else
    serve) continue ;;     # serve.sh
    aside\ correct | aside\ seen) continue ;; # mending.sh
    addition\ add | addition\ take-back | tanks | mixing-trial | pump-stops | feed | energy) continue ;; # works.sh
    seen) continue ;; # notices.sh
    visit*) continue ;; # probes.sh
    esac
    expect "nothing here asks $name for JSON" grep -q "^$name\( \|$\)" works
done <names
verdict 'JSON of every command is tried'

run status --json --farm nonsense
expect_status 2
expect_json 'j["status"] == 2 and j["code"] and j["hint"] and "nonsense" in j["error"]'
verdict 'an error in JSON says what a person reads'
for words in 'status' 'check 2026-02' 'aside' "farm check $demo/farm.yaml" \
    "take-in laboratory $demo/lab-2026-02-03.csv --by ash"; do
    # shellcheck disable=SC2086
    run $words --quiet
    expect_status 0
    expect_no_err
    expect 'it answered' test ! -s out
done
verdict 'quiet commands that work say nothing'

# --- what it ends with -----------------------------------------------------------------------

# ends STATUS WORD...
ends()
{
    wanted=$1
    shift
    run "$@"
    expect_status "$wanted"
    verdict "$wanted: $*"
}

ends 0 check 2026-02
ends 10 check 2026-02 --strict                          # solids outside
ends 10 check 2026-02 --strict --json
ends 11 check 2026-03 --strict                          # a sample was missed
ends 10 check 2026-04 --strict                          # outside comes before not assessable
ends 10 report discharge 2026-02 --by wren --out "$work/strict.xlsx" --strict
expect 'the workbook was not written' test -s strict.xlsx
verdict 'a strict report is written all the same'
run report discharge 2026-02 --by wren --out "$work/strict.xlsx"
expect_status 0
expect_out 'It replaced the file of that name'
run report discharge 2026-02 --by wren --out "$work/other.xlsx"
expect 'it replaced a file that was not there' test -z "$(grep 'It replaced' out)"
verdict 'a report says that it replaced an older file'
ends 0 aside --strict                                   # nothing waits any more
printf '%s\n%s\n' "$(head -n 1 "$demo/lab-2026-02-03.csv")" \
    'X1,QM-1,2026-03-20,09:30,Total suspended solids,20,furlong,S,x' >bad.csv
ends 11 take-in laboratory bad.csv --by wren --strict
ends 0 take-in laboratory bad.csv --by wren --strict    # known already: nothing is new
ends 11 aside --strict
ends 4 leave-out outlet ph 2026-02-01T00:10 --by ash --because words
ends 3 status --database 'host=/nowhere dbname=records'
ends 2 status --farm nonsense
