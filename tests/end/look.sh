#!/bin/sh
# Looking at files nobody has a source for: what is found, what is asked, and that the lines it
# writes load, and take in what was shown. Every name and number is invented.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin look

cat >head.yaml <<'FARM'
farm: {key: cove, name: Cove (an invented farm), time zone: America/New_York, invented: yes}
people:
  - {key: ann, name: Ann Example, position: owner, may: [read, correct], since: 2020-01-01, on the word of: owner}
authorities:
  - {key: board, name: Example Board (invented), decides: discharge, call: telephone 000}
stations:
  - {key: outlet, name: Outlet to the cove, kind: discharge}
  - {key: intake, name: Intake, kind: intake}
  - {key: tank, name: Tank, kind: tank}
sources:
FARM
sed '$d' head.yaml >farm.yaml
run farm load farm.yaml --by ann
expect_status 0
verdict 'the farm is made'
cp head.yaml farm.yaml

# The files. Four days, a row each quarter of an hour: 384 rows.
cat >files.py <<'PY'
import json, zipfile
days = [(d, q) for d in range(3, 7) for q in range(96)]
def clock(q): return f"{q // 4:02d}:{q % 4 * 15:02d}"
def put(name, text, coding="utf-8"): open(name, "wb").write(text.encode(coding))
put("plain.csv", "Date Time UTC,Temp (degC),DO (mg/L),Remark\n" + "".join(f"03/{d:02d}/2026 {clock(q)},{10 + q / 100:.2f},8.25,\n" for d, q in days))
put("comma.txt", "Date;Heure;Température (°C);Oxygène (mg/l);pH\r\n" + "".join(f"{d:02d}/03/2026;{clock(q)};{10 + q / 100:.2f};8,4;8,1\r\n".replace(f"{10 + q / 100:.2f}", f"{10 + q / 100:.2f}".replace(".", ",")) for d, q in days), "latin-1")
put("wide.dat", "\ufeffDatum\tUhrzeit\tTemperatur (°C)\tpH-Wert\r\n" + "".join(f"{d + 10:02d}.03.2026\t{clock(q)}:00\t{10 + q % 7},5\t8,1\r\n" for d, q in days), "utf-16-le")
rows = [f"2026-03-{d:02d} {clock(q)},{-9999 if q == 50 else 12.5},8.0\n" for d, q in days]
head = "Date Time EST,Temp,DO\n[yyyy-mm-dd hh:mm],[degC],[mg/L]\n"
put("titled.csv", "Station: outlet\nExport of;2026-03-07\n\n" + head + "".join(rows[:200]) + head + "".join(rows[200:]) + "\nTotal records: 384\n")
flags = ["<0>", "<-3> [X]", "<1> "]
put("flags.csv", '"StationCode","Stamp","SpCond","F_SpCond","Turb"\n' + "".join(f'"P1   ",03/{d + 10:02d}/2026 {q // 4 % 12 or 12}:{q % 4 * 15:02d} {"AM" if q < 48 else "PM"},{30 + q % 3}.1,{flags[q % 3]},4\n' for d, q in days))
put("results.csv", "Sample,Date,Time,Site,Test,Result,Unit,Reporting limit,Laboratory,Analysed on\n"
    "S1,2026-05-14,09:30,Outlet to the cove,Total suspended solids,14,mg/L,,North (invented),2026-05-15\n"
    "S1,2026-05-14,09:30,Outlet to the cove,Ammonia as N,<50,ug/L,,North (invented),2026-05-15\n"
    "S1,2026-05-14,09:30,Outlet to the cove,E. coli,120,#/100 mL,,North (invented),2026-05-15\n"
    "S1,2026-05-14,09:30,Outlet to the cove,Nitrate,1.5,mg/L,0.1,North (invented),2026-05-15\n"
    "S2,2026-05-28,,Sump,Total suspended solids,12,ppm,,North (invented),2026-05-29\n"
    "S2,2026-05-28,10:05,intake,Barium,3.1,ug/L,,North (invented),2026-05-29\n"
    "S2,2026-05-28,10:05,intake,Total suspended solids,NA,mg/L,,North (invented),2026-05-29\n")
put("cloud.txt", json.dumps({"logger": "K7", "data": {"items": [{"at": f"2026-03-{d + 20:02d}T{clock(q)}:00Z", "result": {"Sal": 21.5, "temp_c": 12.25}} for d, q in days]}}))
put("seconds.csv", "time,Level (m)\n" + "".join(f"{1772496000 + 900 * i},1.{i:03d}\n" for i in range(96)))
put("ts.csv", "ts,Level (m)\n" + "".join(f"{1772496000 + 900 * i},1.{i:03d}\n" for i in range(96)))
put("titles.csv", ",Outlet,,Tank,\nTime UTC,Temp (degC),DO (mg/L),Temp (degC),DO (mg/L)\n" + "".join(f"2026-03-03 {clock(q)},12.5,8.1,13.5,7.1\n" for q in range(8)))
put("serial.csv", "ExcelDate,Sal (psu)\n" + "".join(f"{46084 + i / 96:.10f},21.5\n" for i in range(96)))
put("changed.csv", "Time UTC,Temp (degC),DO (mg/L)\n" + "".join(f"2026-04-{d + i // 96:02d} {clock(i % 96)},12.5,8.0\n" for d in [1] for i in range(1500)) + "Time UTC,pH,Temp (degC)\n" + "".join(f"2026-04-{1 + i // 96:02d} {clock(i % 96)},8.1,12.6\n" for i in range(1500, 2500)))
put("lab.csv", "LabNo,Date UTC,Client Sample,Type,Test,Result,Unit\nL1,2026-05-01 09:00,Outfall,Routine,TSS,3,mg/L\nL2,2026-05-01 09:00,Outfall,Duplicate,TSS,4,mg/L\nL3,2026-05-01 09:30,Outfal,Blank,TSS,1,mg/L\n")
put("open.csv", "Date,Temp (degC)\n03/04/2026,12.5\n10/04/2026,12.6\n")
put("groups.csv", "Time UTC;Flow (m3/h)\n2026-03-03 00:00;1,250\n2026-03-04 00:00;1,310\n")
main, rel, package = "http://schemas.openxmlformats.org/spreadsheetml/2006/main", "http://schemas.openxmlformats.org/officeDocument/2006/relationships", "http://schemas.openxmlformats.org/package/2006/relationships"
text = lambda place, words: f'<c r="{place}" t="inlineStr"><is><t>{words}</t></is></c>'
def month(day): return '<row r="1">' + text("A1", "Results, invented") + '</row><row r="3">' + "".join(text(c + "3", t) for c, t in zip("ABC", ["Date", "Time", "Temp (degC)"])) + "</row>" + "".join(f'<row r="{4 + i}"><c r="A{4 + i}" s="1"><v>{day + i // 48}</v></c><c r="B{4 + i}" s="2"><v>{i % 48 / 48}</v></c><c r="C{4 + i}"><v>12.5</v></c></row>' for i in range(96))
sheets = [("Notes", '<row r="1">' + text("A1", "An invented laboratory") + "</row>"), ("May", month(46143)), ("June", month(46174))]
with zipfile.ZipFile("book.csv", "w", zipfile.ZIP_DEFLATED) as file:
    file.writestr("_rels/.rels", f'<Relationships xmlns="{package}"><Relationship Id="r" Type="{rel}/officeDocument" Target="xl/workbook.xml"/></Relationships>')
    file.writestr("xl/workbook.xml", f'<workbook xmlns="{main}" xmlns:r="{rel}"><sheets>' + "".join(f'<sheet name="{n}" sheetId="{i}" r:id="r{i}"/>' for i, (n, _) in enumerate(sheets, 1)) + "</sheets></workbook>")
    file.writestr("xl/_rels/workbook.xml.rels", f'<Relationships xmlns="{package}"><Relationship Id="s" Type="{rel}/styles" Target="styles.xml"/>' + "".join(f'<Relationship Id="r{i}" Type="{rel}/worksheet" Target="sheet{i}.xml"/>' for i in range(1, 4)) + "</Relationships>")
    file.writestr("xl/styles.xml", f'<styleSheet xmlns="{main}"><cellXfs><xf numFmtId="0"/><xf numFmtId="14"/><xf numFmtId="20"/></cellXfs></styleSheet>')
    for i, (_, rows) in enumerate(sheets, 1): file.writestr(f"xl/sheet{i}.xml", f'<worksheet xmlns="{main}"><sheetData>{rows}</sheetData></worksheet>')
PY
python3 files.py

# --- look, answer, load, take in ---------------------------------------------------------------

# asks FILE TOPICS: what is asked of it; and that its lines are refused while anything is.
asks()
{
    run look "$1" --json --out open.yaml
    expect_status 0
    expect_no_err
    expect_json "' '.join(q['topic'] for q in j['asked']) == '$2'"
    expect_json "j['read'] == (not j['asked'])"
    if [ -n "$2" ]; then
        sed '$d' head.yaml | cat - open.yaml >refused.yaml
        run farm check refused.yaml
        expect_status 2
        verdict "$1: asked, and refused while it is: $2"
    else
        verdict "$1: nothing is asked"
    fi
}

# comes_in FILE FIRST ANSWER...: with all answered the lines load, and take in what was shown; FIRST
# is Python over the first value.
comes_in()
{
    file=$1 first=$2
    shift 2
    key=$(printf '%s' "$file" | sed 's/\..*//')
    run look "$file" key="$key" "$@" --json --out "$key.yaml"
    expect_status 0
    [ "$status" -eq 0 ] || {
        verdict "$file: its lines load, and take in what was shown"
        return 0
    }
    expect_json "j['asked'] == [] and j['read']"
    expect_json "(lambda v: $first)(j['values'][0])"
    expect_json "j['values_in'] == j['can_be_stored'] + j['blank'] + j['set_aside']"
    cp out "$key.json"
    sed 1d "$key.yaml" >>farm.yaml
    run farm load farm.yaml --by ann
    expect_status 0
    run take-in "$key" "$file" --by ann --json
    expect_status 0
    told=$(python3 -c '
import json, sys
shown, taken = json.load(open(sys.argv[1])), json.load(open(sys.argv[2]))[0]
pairs = [(shown["values_in"], taken["values_in"]), (shown["blank"], taken["blank"]),
         (shown["can_be_stored"], taken["stored"] + taken["already_known"]),
         (shown["set_aside"], taken["set_aside"]), (shown["rows_ignored"], taken["rows_ignored"])]
if any(a != b for a, b in pairs): print("shown and taken in:", pairs)' "$key.json" out)
    [ -z "$told" ] || note "$told"
    verdict "$file: its lines load, and take in what was shown"
}

asks plain.csv station
comes_in plain.csv \
    "(v['at'], v['at_local'], v['station'], v['parameter'], v['value'], v['unit']) == ('2026-03-03T00:00:00Z', '2026-03-02 19:00', 'tank', 'temperature', '10.00', 'degC')" \
    station=tank
run look plain.csv station=tank
expect_out 'day and month: month-first (rows go on every 15 minutes into the next day 3 of'
expect_out 'separator: comma (385 of the first 385 lines have 4 cells with it)'
expect_out "columns left out: 'Remark'"
expect_out '768 values in = 768 that can be stored + 0 blank + 0 set aside'
verdict 'evidence stands beside what was found'

asks comma.txt 'clock station'
comes_in comma.txt "(v['at'], v['value']) == ('2026-03-03T05:00:00Z', '10.00')" clock=-05:00 station=intake
run look comma.txt clock=-05:00 station=intake
expect_out 'windows-1252'
expect_out 'Température (°C)'
verdict 'letters of an old set are shown for a person to see'

asks wide.dat 'clock station'
comes_in wide.dat "(v['at'], v['value']) == ('2026-03-13T04:00:00Z', '10.5')" clock=local station=intake

# The station stands above the header, and EST is a word of the farm's own zone.
asks titled.csv ''
comes_in titled.csv "(v['at'], v['station']) == ('2026-03-03T05:00:00Z', 'outlet')"
run look titled.csv --json
expect_json "j['blank'] == 4 and j['set_aside'] == 0 and j['values_in'] == 768"
verdict 'titles, units, the header again, -9999 and a footer are known for what they are'

asks flags.csv 'clock station column column flag'
comes_in flags.csv "(v['value'], v['unit'], v['at']) == ('30.1', 'mS/cm', '2026-03-13T04:00:00Z')" \
    clock=local 'station P1=outlet' 'column SpCond=conductivity, mS/cm' \
    'column Turb=turbidity-fnu, FNU' 'flag <0>=use' 'flag <-3>=leave' 'flag <1>=doubt'

asks results.csv 'date-alone clock station parameter parameter unit kind'
comes_in results.csv "(v['sample'], v['value'], v['at']) == ('S1', '14', '2026-05-14T13:30:00Z')" \
    date-alone=whole-day clock=local 'station Sump=intake' 'parameter E. coli=ecoli-mpn' \
    'parameter Nitrate=nitrate' 'unit #/100 mL=MPN/100 mL' 'unit ppm=set aside' kind=grab
run look results.csv --json
expect_json "[q['words'] for q in j['asked'] if q['topic'] == 'unit'] == [['ppm']]"
expect_json "any('Barium' in f['found'] for f in j['found'] if f['what'] == 'parameters left out')"
expect_json "'Analysed on' in j['left_out']"
verdict 'traps among units and parameters are asked; what the farm does not keep is told'

asks cloud.txt station
comes_in cloud.txt "(v['parameter'], v['value'], v['unit'], v['at']) == ('salinity', '21.5', 'PSU', '2026-03-23T00:00:00Z')" \
    station=intake

asks seconds.csv station
comes_in seconds.csv "v['at'] == '2026-03-03T00:00:00Z'" station=outlet

asks serial.csv 'dates clock station'
comes_in serial.csv "v['at'] == '2026-03-03T05:00:00Z'" dates=1900 clock=-05:00 station=outlet

# A laboratory's own names: what a column is is told, and a blank is no water of the outlet.
asks lab.csv 'station kind column column column'
comes_in lab.csv "(v['sample'], v['station'], v['value']) == ('L1', 'outlet', '3')" \
    'column LabNo=sample' 'column Client Sample=station' 'column Type=purpose' \
    'station Outfall=outlet' 'station Outfal=tank' 'purpose Routine=required' kind=grab
run look lab.csv 'column Type=fun' 'column LabNo=sampel' kind=herring clok=local
refused 'all wrong answers at once' 2 'Expected station, position' LabNo herring "'clok'"
run look lab.csv 'column LabNo=sampel' kind=herring --json
expect_status 2
expect_json "[w.split(':')[0] for w in j['wrong']] == ['column LabNo=sampel', 'kind=herring']"
run look plain.csv station=tank dates=backwards --json
expect_json "len(j['wrong']) == 1 and 'month-first' in j['wrong'][0]"
verdict 'a machine is told which answers are wrong, and what was expected'
run look lab.csv key=lab-2 'column LabNo=sample' 'column Client Sample=station' 'column Type=purpose' \
    'station Outfall=outlet' 'station Outfal=set aside' 'purpose Routine=required' kind=grab --json
expect_json "(j['can_be_stored'], j['set_aside']) == (2, 1) and 'Outfal' in j['reasons'][0]['words']"
verdict 'rows of a word that is no station of the farm may be left to wait'
run look lab.csv --json
expect_json "j['known_sources'] == [{'source': 'lab', 'values': 3, 'can_be_stored': 3}]"
run look lab.csv
expect_out "the farm file's source lab (New source) reads this file as it is: 3 of the"
expect_out '"purpose WORD=required"'
run look plain.csv --json
expect_json "[k['source'] for k in j['known_sources']] == ['plain']"
verdict 'a source of the farm that reads the file already is named, and no other'

# A workbook by another name; both months have the header.
asks book.csv 'clock station'
comes_in book.csv "v['at'] == '2026-05-01T04:00:00Z'" clock=local station=outlet kind=probe
run look book.csv clock=local station=outlet --json
expect_json "j['values_in'] == 192 and any(f['found'] == 'May' and 'June' in f['evidence'] for f in j['found'])"
run look book.csv clock=local station=outlet sheet=June --json
expect_json "j['values_in'] == 96 and 'sheets: [June]' in j['source']"
verdict 'sheets with the same columns go together, or one by its name'
run look book.csv --json
expect_json "(j['values'][0]['sheet'], j['values'][0]['line']) == ('May', 4)"
run look book.csv
expect_out 'sheet May, row 4: '
expect_out 'May, 4'
verdict 'a place in a workbook is told as sheet and row, while something is open too'

# A column of seconds under a name that says nothing, of many rows and of one.
run look ts.csv station=tank kind=probe --json
expect_json "j['read'] and j['values'][0]['at'] == '2026-03-03T00:00:00Z' and 'seconds of 1970' in j['source']"
printf 'x,Level (m)\n1772496000,1.5\n' >one.csv
run look one.csv time=x station=tank kind=probe --json
expect_json "j['read'] and j['values'][0]['at'] == '2026-03-03T00:00:00Z'"
verdict 'seconds of 1970 are found whatever their column is called, or where a person says so'

run look titles.csv kind=probe --json
expect_json "'header rows: 2' in j['source'] and 'Outlet / Temp (degC)' in j['source'] and 'Tank / DO (mg/L)' in j['source']"
verdict 'names above names are found'

# Half-way a probe for pH comes and the one for oxygen goes, beyond the rows that are all looked at.
asks changed.csv station
comes_in changed.csv "v['at'] == '2026-04-01T00:00:00Z'" station=tank
run look changed.csv station=tank --json
expect_json "j['values_in'] == 5000 and j['set_aside'] == 0"
expect_json "j['source'].count('may lack: yes') == 2"
verdict 'columns that come and go half-way are known'

asks open.csv 'dates date-alone clock station kind'
run look open.csv
expect_out "which comes first in '03/04/2026'? day-first it is 3 April 2026,"
expect_out 'time: {columns: Date, format: }   # question 1'
verdict 'a date that may be two is asked'
run look comma.txt
expect_out "at, by the file's clock"
expect_out '2026-03-03T00:00:00'
run look comma.txt --json
expect_json "j['values'][0]['station'] == '?' and j['values'][0]['value'] == '10.00' and not j['read']"
verdict 'what is certain is shown while something is open'
printf 'Time UTC,pH,Remark\n2026-03-03 00:00,8.1,\nTime UTC,pH\n2026-03-03 00:15,8.1\nTime UTC,Acidity,Height\n2026-03-03 00:30,8.1,1\n' >twice.csv
run look twice.csv station=tank kind=probe --json
expect_status 0
# The row behind the names of nothing known.
expect_json "j['read'] and (j['can_be_stored'], j['set_aside']) == (2, 2)"
expect_json "'under a header that the source does not know: line 5' in j['reasons'][0]['words']"
verdict 'rows under names that nobody knows are set aside, and shown so'
run look open.csv dates=day-first date-alone=start-of-day clock=UTC station=outlet kind=grab --json
expect_json "j['values'][0]['at'] == '2026-04-03T00:00:00Z'"
run look open.csv dates=month-first date-alone=start-of-day clock=UTC station=outlet kind=grab --json
expect_json "j['values'][0]['at'] == '2026-03-04T00:00:00Z'"
verdict 'either answer is taken'

asks groups.csv 'station decimal kind'
run look groups.csv --strict
expect_status 11
verdict 'thousands or three decimals is asked; --strict tells that something is open'

# --- no farm, wrong answers, no file of readings -------------------------------------------------

# Whatever farm the machine has of its own is not to be met.
export WEIRBOOK_DATA="$work/no-farm"
run_bare look plain.csv station=any-pond
expect_status 0
expect_out 'no farm is at hand'
expect_out 'any-pond'
run_bare look comma.txt clock=local station=any-pond --json
expect_json "[q['topic'] for q in j['asked']] == ['zone']"
run_bare look comma.txt station=any-pond --json
expect_json "[('zone=REGION/CITY' in q['add']) for q in j['asked']] == [True]"
run_bare look comma.txt clock=local zone=Europe/Dublin station=any-pond --json
expect_json "j['values'][0]['at_local'] == '2026-03-03 00:00'"
verdict 'without a farm its zone and station are asked'
run look plain.csv --farm nonsense
refused 'a farm that is named has to be there' 2 nonsense

run look plain.csv station=oulet
refused 'a station that is none' 2 "'oulet'" "'outlet'"
run look plain.csv dtes=day-first
refused 'an answer to nothing' 2 dtes dates
run look plain.csv 'column Depth=level'
refused 'an answer about a column that is not there' 2 Depth
printf '\211PNG\r\n\032\n and so on\n' >picture.csv
run look picture.csv
refused 'a picture is no file of readings' 2 picture CSV
: >nothing.csv
run look nothing.csv
refused 'an empty file' 2 nothing.csv
printf 'time temp\n2026-03-03 12.5\n2026-03-04 12.6\n' >blanks.csv
run look blanks.csv
refused 'cells parted by blanks' 2 blanks
printf '2026-03-03,12.5\n2026-03-04,12.6\n' >bare.csv
run look bare.csv
refused 'a file without names of columns' 2 names
mkfifo pipe.csv
run look pipe.csv
refused 'what is no plain file' 2 pipe.csv
python3 -c "
import zipfile
with zipfile.ZipFile('bomb.xlsx', 'w', zipfile.ZIP_DEFLATED) as f: f.writestr('_rels/.rels', '<a>' + ' ' * 300000000)"
run_measured look bomb.xlsx
expect_little_memory
refused 'a workbook that would unpack to much more' 2 bomb.xlsx
python3 -c "print('Time UTC,pH'); [print('2026-03-03 00:00,8.1') for _ in range(200000)]" >long.csv
run_measured look long.csv station=outlet kind=probe --json
expect_status 0
expect_little_memory
expect_json "j['rows'] == 200001 and j['rows_looked_at'] < 3200 and j['values_in'] == 200000"
verdict 'a long file is looked at in part, and read whole'

run ledger check
expect_status 0
run status --json
expect_json "j is not None"
verdict 'looking changed nothing that is on record'
