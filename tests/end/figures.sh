#!/bin/sh
# The figures of the demo farm's months, worked out by two others: each limit's from the raw files,
# and each formula of the three workbooks by LibreOffice.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin figures

demo_farm
mkdir answers
for month in 02 03 04; do
    run check "2026-$month" --json
    expect_status 0
    cp out "answers/check-$month.json"
    run report discharge "2026-$month" --by wren --out "$work/$month.xlsx"
    expect_status 0
done
verdict 'three months are checked and reported'

python3 "$lib/figures.py" "$demo" answers || verdict_not 'figures.py failed'
sh "$lib/recalculate.sh" 02.xlsx 03.xlsx 04.xlsx || :
