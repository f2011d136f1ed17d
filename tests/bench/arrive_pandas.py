"""What run.sh compares arriving with: the same file by a careful script over pandas.

    arrive_pandas.py CONNINFO FILE

It reads the file, makes instants of its times, and copies rows like those that Weirbook stores into
bench.reading: no hash, no test of a sensor, no verdict. Prints `MILLISECONDS KILOBYTES` as
bench_clock does, the time without starting Python and importing.
"""
import io
import resource
import sys
import time

import pandas as pd
import psycopg2

ROWS = 200000  # a piece, so that its memory has a bound


def piece_copy(cursor, piece, line):
    at = (
        pd.to_datetime(piece["Time"], format="%Y-%m-%d %H:%M")
        .dt.tz_localize("Australia/Brisbane")
        .dt.tz_convert("UTC")
        .dt.strftime("%Y-%m-%d %H:%M:%S+00")
    )
    reported = piece["Oxygen (mg/L)"]
    rows = pd.DataFrame(
        {
            "farm_id": 1,
            "series_id": 1,
            "at": at,
            "until": at,
            "portion": 0,
            "value": pd.to_numeric(reported),
            "receipt": 1,
            "line": range(line, line + len(piece)),
            "col": 2,
            "flags": 0,
            "qualifier": "=",
            "reported": reported,
            "unit": "mg/L",
        }
    )
    text = io.StringIO()
    rows.to_csv(text, header=False, index=False)
    text.seek(0)
    cursor.copy_expert(
        "copy bench.reading (%s) from stdin (format csv)" % ", ".join(rows.columns), text
    )


def main():
    connection = psycopg2.connect(sys.argv[1])
    began = time.monotonic()
    line = 2
    with connection, connection.cursor() as cursor:
        for piece in pd.read_csv(sys.argv[2], dtype=str, chunksize=ROWS):
            piece_copy(cursor, piece, line)
            line += len(piece)
    took = time.monotonic() - began
    print(round(took * 1000), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)


main()
