"""The largest differences between check_lines and the values it was given, by family.

    python3 differences.py LINES ANSWERS FAMILY

LINES went in, ANSWERS came out. Prints how many lines of the family there are and the largest
absolute and relative difference; ends with 1 where one missed, or there is none.
"""
import sys


def rows(path, columns):
    with open(path, encoding="utf-8") as file:
        for line in file:
            cells = line.rstrip("\n").split("\t")
            if len(cells) >= columns:
                yield cells


def main():
    lines, answers, family = sys.argv[1:]
    expected = {row[0]: float(row[3]) for row in rows(lines, 4) if row[0] != "id"}
    count = missed = 0
    largest = relative = 0.0
    for row in rows(answers, 6):
        if row[0].rpartition("-")[0] != family:
            continue
        count += 1
        missed += row[5] != "hit"
        wanted = expected[row[0]]
        apart = abs(float(row[2]) - wanted)
        largest = max(largest, apart)
        relative = max(relative, apart / abs(wanted) if wanted else 0.0)
    print(f"{count} values, the largest difference {largest:.2g}, relative {relative:.2g}"
          + (f"; {missed} missed" if missed else ""))
    return missed > 0 or count == 0


if __name__ == "__main__":
    sys.exit(main())
