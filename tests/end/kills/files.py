"""Files of an invented logger and laboratory, drawn at random: cut, repeated, put in another
order, joined and spoilt; as text, as workbooks and as JSON documents.

A file knows what it holds only as far as nothing in it was spoilt: how many values, and the values
that are plain, each with its place.
"""
import decimal
import io
import json
import zipfile

WIDE = ["Time", "Temp (degC)", "Oxygen (mg/L)", "Flag", "Tank oxygen (mg/L)"]
LONG = ["Sample", "Rep", "For", "Site", "Time", "Test", "Result", "Unit", "LOD", "LOQ"]
SHEET_ROWS = 1048576
# Column of a wide file -> station, parameter and unit.
SERIES = {
    "Temp (degC)": ("outlet", "temperature", "degC"),
    "Oxygen (mg/L)": ("outlet", "oxygen", "mg/L"),
    "Tank oxygen (mg/L)": ("tank", "oxygen", "mg/L"),
}
SITES = {"Out": "outlet", "Tank": "tank"}
TESTS = {"TSS": "suspended-solids", "NH4": "ammonia"}
ODD = ["", "", "x", "1,5", "1e3", "-0", "ND", "<0.05", ">2420", " ", "8..1", "99999999999999999999"]


class File:
    """The bytes, and what is known of them."""

    def __init__(self, source, name):
        self.source = source
        self.name = name
        self.data = b""
        self.values_in = None  # None: spoilt, so nobody knows
        self.plain = []  # (line, station, parameter, time, value)


def value(draw):
    if draw.randrange(8) == 0:
        return draw.choice(ODD)
    return "%d.%d" % (draw.randrange(30), draw.randrange(10))


def time(draw):
    if draw.randrange(40) == 0:
        return draw.choice(["2026-02-30 10:00", "soon"])
    return "2026-0%d-%02d %02d:%d0" % (
        4 + draw.randrange(3),
        1 + draw.randrange(28),
        draw.randrange(24),
        draw.randrange(6),
    )


def wide_row(draw):
    flag = draw.choice(["ok", "ok", "ok", "odd", "bad", "", "?"])
    return dict(zip(WIDE, [time(draw), value(draw), value(draw), flag, value(draw)]))


def long_row(draw):
    number = draw.randrange(100000)
    site = draw.choice(["Out", "Out", "Tank", "Pier"])
    test = draw.choice(["TSS", "TSS", "NH4", "NH3"])
    unit = draw.choice(["mg/L", "mg/L", "ug/L", "degC", ""])
    limit = draw.choice(["", "", "0.05"])
    row = ["S%d" % number, "", "", site, time(draw), test, value(draw), unit, limit, ""]
    return dict(zip(LONG, row))


def is_plain(text):
    try:
        return decimal.Decimal(text).is_finite() and text == text.strip() and "e" not in text
    except decimal.InvalidOperation:
        return False


def is_time(text):
    return text[:4] == "2026" and text[5:7] != "02"


def plain_of(row, line):
    """What surely is a value of the farm: of it there has to be a trace."""
    if not is_time(row["Time"]):
        return
    if "Test" in row:
        if row["Site"] in SITES and row["Test"] in TESTS and row["Unit"] == "mg/L":
            if is_plain(row["Result"]):
                station, parameter = SITES[row["Site"]], TESTS[row["Test"]]
                yield line, station, parameter, row["Time"], row["Result"]
        return
    for header, (station, parameter, _) in SERIES.items():
        if is_plain(row[header]):
            yield line, station, parameter, row["Time"], row[header]


# --- as text -------------------------------------------------------------------------------------


def as_csv(draw, file, parts, headers):
    """Parts joined, each under its own header; lines end in one way."""
    end = draw.choice(["\n", "\n", "\r\n"])
    lines = []
    for rows in parts:
        lines.append(",".join(headers))
        for row in rows:
            lines.append(",".join(row[header] for header in headers))
            file.plain += plain_of(row, len(lines))
    text = end.join(lines) + draw.choice(["", end])
    return draw.choice([b"", b"", b"\xef\xbb\xbf"]) + text.encode()


# --- as a JSON document --------------------------------------------------------------------------


def as_json(draw, file, parts, headers):
    """A document a part, one behind the other, a record a line."""
    text = ""
    for rows in parts:
        text += '{"from": "an invented logger", "data": {"rows": ['
        for number, row in enumerate(rows):
            text += ",\n" if number else "\n"
            file.plain += plain_of(row, text.count("\n") + 1)
            # Numbers as numbers now and then, as written; blanks as null, or left out.
            cells = []
            for header in headers:
                cell = json.dumps(row[header])
                if is_plain(row[header]) and row[header] != "-0" and draw.randrange(2):
                    cell = row[header]
                if row[header] == "" and draw.randrange(2):
                    cell = "null"
                cells.append("%s: %s" % (json.dumps(header), cell))
            text += "{" + ", ".join(cells) + "}"
        text += "\n]}}\n"
    return text.encode()


# --- as a workbook -------------------------------------------------------------------------------

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
RELATIONS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006/relationships"


def escaped(text):
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def cell_xml(draw, column, line, text):
    place = "%s%d" % ("ABCDEFGHIJ"[column], line)
    if text == "":
        return ""
    if is_plain(text) and text != "-0" and draw.randrange(2):
        return '<c r="%s"><v>%s</v></c>' % (place, text)
    return '<c r="%s" t="inlineStr"><is><t xml:space="preserve">%s</t></is></c>' % (
        place,
        escaped(text),
    )


def sheet_xml(draw, file, number, rows, headers):
    line = draw.randrange(3) + 1
    xml = '<worksheet xmlns="%s"><sheetData>' % MAIN
    for row in [dict(zip(headers, headers))] + rows:
        cells = [cell_xml(draw, i, line, row[header]) for i, header in enumerate(headers)]
        xml += '<row r="%d">%s</row>' % (line, "".join(cells))
        if row["Time"] != "Time":
            file.plain += plain_of(row, number * SHEET_ROWS + line)
        line += 1
    return xml + "</sheetData></worksheet>"


def as_xlsx(draw, file, parts, headers):
    """A sheet a part, the header on one of its first lines."""
    out = io.BytesIO()
    sheets = relations = ""
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as book:
        for number, rows in enumerate(parts):
            sheets += '<sheet name="Part %d" sheetId="%d" r:id="r%d"/>' % ((number + 1,) * 3)
            relations += (
                '<Relationship Id="r%d" Type="%s/worksheet" Target="worksheets/sheet%d.xml"/>'
                % (number + 1, RELATIONS, number + 1)
            )
            book.writestr(
                "xl/worksheets/sheet%d.xml" % (number + 1),
                sheet_xml(draw, file, number, rows, headers),
            )
        book.writestr(
            "_rels/.rels",
            '<Relationships xmlns="%s"><Relationship Id="r" Type="%s/officeDocument" '
            'Target="xl/workbook.xml"/></Relationships>' % (PACKAGE, RELATIONS),
        )
        book.writestr(
            "xl/workbook.xml",
            '<workbook xmlns="%s" xmlns:r="%s"><sheets>%s</sheets></workbook>'
            % (MAIN, RELATIONS, sheets),
        )
        book.writestr(
            "xl/_rels/workbook.xml.rels",
            '<Relationships xmlns="%s">%s</Relationships>' % (PACKAGE, relations),
        )
    return out.getvalue()


# --- one file ------------------------------------------------------------------------------------

WRITERS = {"csv": as_csv, "json": as_json, "xlsx": as_xlsx}


def spoil(draw, data):
    """Bytes changed, or the end cut off."""
    data = bytearray(data)
    if draw.randrange(2):
        return bytes(data[: draw.randrange(len(data) + 1)])
    for _ in range(1 + draw.randrange(4)):
        data[draw.randrange(len(data))] = draw.choice(b'",;\n\xff\x00x<')
    return bytes(data)


def drawn(draw, number, before):
    """A new file; `before` are rows of earlier ones, some of which come again."""
    shape = draw.choice(["wide", "long"])
    kind = draw.choice(["csv", "csv", "json", "xlsx"])
    headers = WIDE if shape == "wide" else LONG
    rows = [wide_row(draw) if shape == "wide" else long_row(draw) for _ in range(draw.randrange(40))]
    rows += [draw.choice(before[shape]) for _ in range(draw.randrange(10)) if before[shape]]
    rows += [draw.choice(rows) for _ in range(draw.randrange(5)) if rows]
    draw.shuffle(rows)
    if not rows:
        rows = [wide_row(draw) if shape == "wide" else long_row(draw)]
    cut = draw.randrange(len(rows)) if draw.randrange(4) == 0 else 0
    parts = [rows[:cut], rows[cut:]] if cut else [rows]
    file = File("%s-%s" % (shape, kind), "%d.%s" % (number, kind))
    file.data = WRITERS[kind](draw, file, parts, headers)
    file.values_in = len(rows) * (len(SERIES) if shape == "wide" else 1)
    before[shape] += rows
    if draw.randrange(6) == 0:
        file.data = spoil(draw, file.data)
        file.values_in, file.plain = None, []
    return file
