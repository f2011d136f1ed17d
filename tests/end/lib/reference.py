"""Whether README's reference of limits has every key and every choice that a limit may have.

    reference.py README WORDS_JSON

Prints what it lacks, a line each. A row of the reference that says "the words of `KEY`" has the
words of that key too.
"""

import json
import re
import sys

# Keys that say who and where, not how: the farm file's own examples show them.
PLAIN = {"key", "name", "licence", "clause", "wording", "parameter", "unit"}


def section(text):
    return re.search(r"^## What a limit can say\n(.*?)^## ", text, re.M | re.S).group(1)


def rows_of(rows, key):
    found = [row for row in rows if re.search(rf"\b{re.escape(key)}\b:?", row)]
    for row in list(found):
        for other in re.findall(r"the words of `([^`]*)`", row):
            if other != key:
                found += [r for r in rows if f"`{other}:" in r]
    return "\n".join(found)


def main(readme, words):
    rows = [r for r in section(open(readme, encoding="utf-8").read()).splitlines() if "|" in r]
    for row in json.load(open(words, encoding="utf-8"))[0]["rows"]:
        key = row["key"].split(": ")[-1]
        if key in PLAIN:
            continue
        text = rows_of(rows, key)
        if not text:
            print(f"no row has the key `{row['key']}`")
        for word in re.split(r", | or ", row["words"] or ""):
            if word and not re.search(rf"`[^`]*\b{re.escape(word)}(?!\w)[^`]*`", text):
                print(f"`{row['key']}` lacks the word `{word}`")


main(*sys.argv[1:])
