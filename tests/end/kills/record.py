"""What is on record against what was acknowledged, by statements of our own."""
import collections
import decimal
import os
import subprocess


def query(conninfo, statement):
    """Its rows, as lists of texts."""
    answer = subprocess.run(
        ["psql", "-X", "-q", "-A", "-t", "-F", "\t", "-v", "ON_ERROR_STOP=1"]
        + ["-d", conninfo + " user=weirbook_admin", "-c", statement],
        check=True,
        capture_output=True,
        text=True,
        env=dict(os.environ, PGOPTIONS="--client-min-messages=warning", PGTZ="UTC"),
    )
    return [line.split("\t") for line in answer.stdout.splitlines()]


RECEIPTS = """
select r.receipt, r.source, encode(r.sha256, 'hex'), r.values_in, r.stored, r.already_known,
       r.blank, r.set_aside,
       (select count(*) from weirbook.reading d where d.receipt = r.receipt),
       (select count(*) from weirbook.set_aside a where a.receipt = r.receipt),
       (select encode(sha256(string_agg(p.bytes, '' order by p.piece)), 'hex')
          from weirbook.receipt_piece p where p.receipt = r.receipt)
  from weirbook.receipt r"""

READINGS = """
select s.station, s.parameter, to_char(d.at, 'YYYY-MM-DD HH24:MI'), d.reported, d.receipt
  from weirbook.reading d join weirbook.series s using (farm_id, series_id)"""

ASIDE = """
select receipt, line, station, parameter, to_char(at, 'YYYY-MM-DD HH24:MI'), reported
  from weirbook.set_aside"""

STRAYS = """
select (select count(*) from weirbook.reading where receipt not in
          (select receipt from weirbook.receipt))
     + (select count(*) from weirbook.set_aside where receipt not in
          (select receipt from weirbook.receipt))
     + (select count(*) from weirbook.receipt_piece where receipt not in
          (select receipt from weirbook.receipt))"""

COUNTS = ["values_in", "stored", "already_known", "blank", "set_aside"]


def compare_receipts(receipts, sent, acknowledged, faults):
    """Every file once, whole, and as it was told."""
    by_file = collections.defaultdict(list)
    for receipt in receipts:
        by_file[(receipt["source"], receipt["sha256"])].append(receipt)
    for key, file in sent.items():
        found = by_file.pop(key, [])
        if len(found) != (0 if file.refused else 1):
            faults.add(file.name, "is on record", len(found), "times")
    for key in by_file:
        faults.add("on record, and never sent:", key)
    for receipt in receipts:
        numbers = [receipt[name] for name in COUNTS]
        if numbers[0] != sum(numbers[1:]):
            faults.add("does not add up:", receipt)
        if receipt["readings"] != receipt["stored"] or receipt["rows_aside"] != receipt["set_aside"]:
            faults.add("its rows are not those it counts:", receipt)
        if receipt["kept"] != receipt["sha256"]:
            faults.add("its bytes are not those that came:", receipt)
    by_key = {(receipt["source"], receipt["sha256"]): receipt for receipt in receipts}
    for file, answer in acknowledged:
        receipt = by_key.get((file.source, answer["sha256"]))
        if not receipt or any(receipt[name] != answer[name] for name in COUNTS):
            faults.add(file.name, "was acknowledged as", answer, "and is", receipt)
        if file.values_in is not None and answer["values_in"] != file.values_in:
            faults.add(file.name, "holds", file.values_in, "values, and is told to hold", answer)


def compare_values(conninfo, receipts, sent, faults):
    """
    Every plain value is stored, by this file or an earlier one, or set aside: at its place, or at
    that of an earlier row of its file which says the same.
    """
    stored = set()
    for station, parameter, at, reported, _ in query(conninfo, READINGS):
        if reported:
            stored.add((station, parameter, at, decimal.Decimal(reported)))
    aside = set()
    for receipt, line, station, parameter, at, reported in query(conninfo, ASIDE):
        aside.add((int(receipt), int(line)))
        if reported:
            aside.add((int(receipt), station, parameter, at, decimal.Decimal(reported)))
    numbers = {(receipt["source"], receipt["sha256"]): receipt["receipt"] for receipt in receipts}
    for key, file in sent.items():
        receipt = numbers.get(key)
        for line, station, parameter, at, value in file.plain:
            told = (station, parameter, at, decimal.Decimal(value))
            if told not in stored and not aside & {(receipt, line), (receipt, *told)}:
                faults.add(file.name, "line", line, "lost:", station, parameter, at, value)


def compare(conninfo, sent, acknowledged, faults):
    names = ["receipt", "source", "sha256"] + COUNTS + ["readings", "rows_aside", "kept"]
    texts = ("source", "sha256", "kept")
    receipts = [
        {name: cell if name in texts else int(cell) for name, cell in zip(names, row)}
        for row in query(conninfo, RECEIPTS)
    ]
    compare_receipts(receipts, sent, acknowledged, faults)
    compare_values(conninfo, receipts, sent, faults)
    if query(conninfo, STRAYS) != [["0"]]:
        faults.add("there are rows of no receipt")
    entries = query(
        conninfo, "select count(*) from weirbook.ledger where kind = 'receipt'"
    )[0][0]
    if int(entries) != len(receipts):
        faults.add(entries, "entries tell of", len(receipts), "receipts")
