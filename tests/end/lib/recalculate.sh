#!/bin/sh
# Work a workbook's formulas out again with LibreOffice and compare every formula cell with the
# value that stands beside it in the file.
#
#   sh tests/end/lib/recalculate.sh WORKBOOK.xlsx...
#
# Prints "ok NAME" or "not ok NAME: why" for each sheet with formulas, and how many cells were
# compared; exit status 1 when one differs or none was compared. LibreOffice is given a copy
# whose stored values are all wrong, so that a value it did not work out itself can't pass.
set -u

here=$(cd "$(dirname "$0")" && pwd)
work=$(mktemp -d) || exit 1
trap 'rm -rf "$work"' EXIT
trap 'exit 1' INT TERM

python=
for candidate in python3 /usr/bin/python3; do
    if "$candidate" -c 'import openpyxl' 2>/dev/null; then
        python=$candidate
        break
    fi
done
if [ -z "$python" ] || ! command -v soffice >/dev/null; then
    echo "not ok recalculate: needs python3-openpyxl and libreoffice-calc-nogui"
    exit 1
fi
[ $# -gt 0 ] || {
    echo "not ok recalculate: no workbook was named"
    exit 1
}

# A profile of our own in which workbooks are always worked out again when they are opened.
mkdir -p "$work/profile/user"
cat >"$work/profile/user/registrymodifications.xcu" <<'XCU'
<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
XCU

status=0
for workbook in "$@"; do
    name=$(basename "$workbook" .xlsx)
    rm -rf "$work/in" "$work/out"
    mkdir "$work/in" "$work/out"
    "$python" "$here/recalculate.py" spoil "$workbook" "$work/in/$name.xlsx" || {
        echo "not ok recalculate $name: it can't be read"
        status=1
        continue
    }
    # Its exit status is 0 whatever happens: only the file tells.
    timeout 300 soffice --headless -env:UserInstallation="file://$work/profile" \
        --convert-to 'xlsx:Calc MS Excel 2007 XML' --outdir "$work/out" "$work/in/$name.xlsx" \
        >"$work/log" 2>&1
    if [ ! -s "$work/out/$name.xlsx" ]; then
        echo "not ok recalculate $name: LibreOffice wrote nothing"
        status=1
        continue
    fi
    "$python" "$here/recalculate.py" compare "$workbook" "$work/out/$name.xlsx" || status=1
done
exit $status
