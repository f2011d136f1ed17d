"""Part of recalculate.sh.

    recalculate.py spoil FROM TO        a copy whose stored formula values are all wrong
    recalculate.py compare OURS THEIRS  every formula cell of OURS against the value in THEIRS
"""
import os
import re
import sys
import zipfile

import openpyxl

# Exact decimals against doubles, rounded to 15 figures by the program that writes THEIRS.
TOLERANCE = 1e-9
SPOILT_NUMBER = b"-999.25"
SPOILT_TEXT = b"spoilt"

CELL = re.compile(rb"<c\b([^>]*)>(<f\b[^>]*>.*?</f>)<v>(.*?)</v></c>", re.DOTALL)


def spoil_cell(match):
    text = b't="str"' in match.group(1)
    return b"<c%s>%s<v>%s</v></c>" % (
        match.group(1), match.group(2), SPOILT_TEXT if text else SPOILT_NUMBER)


def spoil(source, target):
    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w") as new:
        for part in old.infolist():
            content = old.read(part)
            if part.filename.startswith("xl/worksheets/sheet"):
                content = CELL.sub(spoil_cell, content)
            new.writestr(part, content)


def same(ours, theirs):
    if isinstance(ours, (int, float)) and isinstance(theirs, (int, float)):
        return abs(ours - theirs) <= TOLERANCE * max(abs(ours), abs(theirs))
    return ours == theirs


def compare(ours, theirs):
    name = os.path.splitext(os.path.basename(ours))[0]
    formulas = openpyxl.load_workbook(ours)
    stored = openpyxl.load_workbook(ours, data_only=True)
    worked = openpyxl.load_workbook(theirs, data_only=True)
    compared = failed = 0
    for sheet in formulas.worksheets:
        count, wrong = 0, []
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "f":
                    continue
                count += 1
                a = stored[sheet.title][cell.coordinate].value
                b = worked[sheet.title][cell.coordinate].value
                if a is None or not same(a, b):
                    wrong.append(f"{cell.coordinate} {cell.value}: stored {a!r}, worked out {b!r}")
        if not count:
            continue
        compared += count
        failed += len(wrong)
        for line in wrong[:5]:
            print(f"not ok recalculate {name}, sheet {sheet.title}: {line}")
        if len(wrong) > 5:
            print(f"not ok recalculate {name}, sheet {sheet.title}: {len(wrong) - 5} more")
        if not wrong:
            print(f"ok recalculate {name}, sheet {sheet.title} ({count} formula cells)")
    print(f"# {name}: {compared} formula cells compared, {failed} differ")
    if not compared:
        print(f"not ok recalculate {name}: no formula cell was compared")
    return 0 if compared and not failed else 1


if __name__ == "__main__":
    if sys.argv[1] == "spoil":
        spoil(sys.argv[2], sys.argv[3])
    else:
        sys.exit(compare(sys.argv[2], sys.argv[3]))
