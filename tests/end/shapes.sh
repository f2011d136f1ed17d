#!/bin/sh
# Files as loggers and laboratories write them, from the file to what is on record: workbooks,
# documents, and text in awkward shapes. The counts add up, what is set aside is named by its place,
# and what a source learns afterwards is read again. Every name and number is invented.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin shapes

cat >farm.yaml <<'FARM'
farm: {key: cove, name: Cove (an invented farm), time zone: America/New_York, invented: yes}
people:
  - {key: ann, name: Ann Example, position: owner, may: [read, correct], since: 2020-01-01, on the word of: owner}
authorities:
  - {key: board, name: Example Board (invented), decides: discharge, call: telephone 000}
stations:
  - {key: outlet, name: Outlet, kind: discharge}
  - {key: intake, name: Intake, kind: intake}
sources:
  - key: months
    name: A sheet a month
    format: xlsx
    shape: wide
    decimal mark: point
    clock: local
    time: {columns: [Date, Time]}
    station: outlet
    columns:
      - {header: Temp, parameter: temperature}
      - {header: DO, parameter: oxygen}
    ignored columns: [Remark]
    kind: probe
  - key: cloud
    name: Documents of a logger
    format: json
    records: data.items
    shape: wide
    decimal mark: point
    clock: UTC
    time: {columns: at, format: "YYYY-MM-DDThh:mm:ss+hh:mm"}
    station: intake
    columns:
      - {header: result.temp, parameter: temperature, unit: degC}
      - {header: result.do, parameter: oxygen, unit: mg/L}
    kind: probe
  - key: results
    name: Results of several laboratories
    shape: long
    decimal mark: point
    clock: local
    clock column: Zone
    clock words: {EST: "-05:00", EDT: "-04:00"}
    time: {columns: [Date, Time], format: "YYYY-MM-DD hh:mm:ss"}
    date alone: some time that day
    station column: Site
    station words: {Point 1: outlet}
    sample column: Sample
    parameter column: Name
    parameter words: {Escherichia coli: ecoli-mpn}
    ignored parameters: [Weather]
    value column: Value
    unit column: Unit
    unit words: {MPN: MPN/100 mL}
    qualifier column: Condition
    qualifier words: {Not Detected: not detected}
    instrument column: Laboratory
    ignored columns: all others
    kind: grab
FARM
run farm load farm.yaml --by ann
expect_status 0
verdict 'the farm is made'

# --- a workbook ------------------------------------------------------------------------------

# Two months with titles above, one of them hidden, and a sheet of notes. 46143 is 2026-05-01.
cat >book.py <<'PY'
import sys, zipfile
main = 'http://schemas.openxmlformats.org/spreadsheetml/2006/main'
rel = 'http://schemas.openxmlformats.org/officeDocument/2006/relationships'
package = 'http://schemas.openxmlformats.org/package/2006/relationships'
def text(place, words): return f'<c r="{place}" t="inlineStr"><is><t>{words}</t></is></c>'
def number(place, digits, style=0): return f'<c r="{place}" s="{style}"><v>{digits}</v></c>'
def month(title, day):
    rows = [(1, '', text('A1', title)), (3, '', ''.join(text(c + '3', t) for c, t in zip('ABCDE', ['Date', 'Time', 'Temp (degC)', 'DO (mg/L)', 'Remark'])))]
    rows.append((4, '', number('A4', day, 1) + number('B4', 0.375, 2) + number('C4', 12.5) + number('D4', '8.0999999999999996')))
    rows.append((5, '', number('A5', day, 1) + number('B5', 0.5, 2) + text('C5', '12.70') + text('D5', '&lt;0.5') + text('E5', 'typed in')))
    rows.append((6, ' hidden="1"', number('A6', day, 1) + number('B6', 0.625, 2) + '<c r="C6"><f>C5+1</f><v>13.7</v></c><c r="D6"><f>D4*2</f></c>'))
    return ''.join(f'<row r="{r}"{h}>{cells}</row>' for r, h, cells in rows)
sheets = [('Notes', 'visible', '<row r="1">' + text('A1', 'An invented laboratory') + '</row>'), ('May', 'visible', month('Results of May', 46143)), ('June', 'hidden', month('Results of June', 46174))]
with zipfile.ZipFile(sys.argv[1], 'w', zipfile.ZIP_DEFLATED) as file:
    file.writestr('_rels/.rels', f'<Relationships xmlns="{package}"><Relationship Id="r" Type="{rel}/officeDocument" Target="xl/workbook.xml"/></Relationships>')
    file.writestr('xl/workbook.xml', f'<workbook xmlns="{main}" xmlns:r="{rel}"><sheets>' + ''.join(f'<sheet name="{n}" sheetId="{i}" state="{s}" r:id="r{i}"/>' for i, (n, s, _) in enumerate(sheets, 1)) + '</sheets></workbook>')
    file.writestr('xl/_rels/workbook.xml.rels', f'<Relationships xmlns="{package}"><Relationship Id="s" Type="{rel}/styles" Target="styles.xml"/>' + ''.join(f'<Relationship Id="r{i}" Type="{rel}/worksheet" Target="sheet{i}.xml"/>' for i in range(1, 4)) + '</Relationships>')
    file.writestr('xl/styles.xml', f'<styleSheet xmlns="{main}"><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="20"/></cellXfs></styleSheet>')
    for i, (_, _, rows) in enumerate(sheets, 1):
        file.writestr(f'xl/sheet{i}.xml', f'<worksheet xmlns="{main}"><sheetData>{rows}</sheetData></worksheet>')
PY
python3 book.py 2026.xlsx
run take-in months 2026.xlsx --by ann
expect_status 0
expect_out '12 values in = 10 stored + 0 known already + 0 blank + 2 set aside'
expect_out 'sheet Notes: not taken'
expect_out 'sheet May: 3 rows, 1 row hidden'
expect_out 'sheet June (hidden): 3 rows, 3 rows hidden'
verdict 'a workbook: each sheet with the header, what is hidden is told'

run aside
expect_out '2026.xlsx, sheet May, row 6, column 4'
expect_out '2026.xlsx, sheet June, row 6, column 4'
expect_out 'the workbook holds no value for it'
run aside --json
expect_json "[(r['sheet'], r['row'], r['column']) for r in j['set_aside']] == [('May', 6, 4), ('June', 6, 4)]"
verdict 'a formula without a value is set aside, by sheet and row'

run aside leave-out 2026.xlsx 'June!6' --because 'not measured' --by ann
expect_status 0
run aside leave-out 2026.xlsx 'July!6' --because 'not measured' --by ann
expect_status 2
expect_err 'July'
run aside --json
expect_json "[r['sheet'] for r in j['set_aside']] == ['May']"
verdict 'a person answers a row of a sheet by its name'

# --- a document ------------------------------------------------------------------------------

cat >day.json <<'JSON'
{"logger": "K7", "data": {"items": [
  {"at": "2026-05-01T09:00:00Z", "result": {"temp": 12.50, "do": null}},
  {"at": "2026-05-01T09:15:00Z", "result": {"temp": "12,6", "do": 8.30}}
]}}
JSON
run take-in cloud day.json --by ann --json
expect_status 0
expect_json "[j[0][k] for k in ('values_in', 'stored', 'already_known', 'blank', 'set_aside')] == [4, 2, 0, 1, 1]"
run aside --json
expect_json "[(r['line'], r['column']) for r in j['set_aside'] if r['file'] == 'day.json'] == [(3, 53)]"
verdict 'a document: its values, and what can not be read by line and column'

sed 's/^    records: data.items$/&\n    blanks: ["12,6"]/' farm.yaml >farm2.yaml
run farm load farm2.yaml --by ann
expect_status 0
run aside read-again day.json --by ann --json
expect_status 0
expect_json "(j['waited'], j['accepted'], j['blank']) == (1, 0, 1)"
verdict 'a document is read again value by value'

# --- text ------------------------------------------------------------------------------------

cat >results.csv <<'CSV'
Sample,Date,Time,Zone,Site,Name,Value,Unit,Condition,Laboratory,Comment
S1,2026-05-03,09:30:00,EDT,Point 1,Escherichia coli,120,MPN,,North (invented),"a comma, here"
S2,2026-05-04,,,Point 1,Escherichia coli,40,MPN,,South (invented),
S3,2026-05-05,09:30:00,EST,Point 1,Escherichia coli,,,Not Detected,North (invented),
S4,2026-05-06,09:30:00,PST,Point 1,Escherichia coli,7,MPN,,North (invented),
S5,2026-05-07,09:30:00,EDT,Point 1,Weather,sunny,,,,
S6,2026-05-08,09:30:00,EDT,Point 1,Escherichia coli,,,,North (invented),
CSV
run take-in results results.csv --by ann
expect_status 0
expect_out '5 values in = 3 stored + 0 known already + 1 blank + 1 set aside'
expect_out '1 row of parameters that the source ignores'
run aside
expect_out "there is no clock 'PST'"
verdict 'results of several laboratories, clocks and conditions'

sed 's/EDT: "-04:00"}/EDT: "-04:00", PST: "-08:00"}/' farm2.yaml >farm3.yaml
run farm load farm3.yaml --by ann
expect_status 0
run aside read-again results.csv --by ann --json
expect_json "(j['waited'], j['accepted'], j['blank']) == (1, 1, 0)"
run take-in results results.csv --by ann --json
expect_json "j[0]['already']"
verdict 'a clock that the source learns is read again'

run ledger check
expect_status 0
verdict 'the ledger is unbroken'
