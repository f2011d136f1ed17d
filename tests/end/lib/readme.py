"""Runs the commands that README.md shows and compares what they print with what it shows.

    readme.py README WEIRBOOK FOLDER

In fenced blocks without a language a line that begins with "$ " is a command; the lines below it
are its output. A line "..." stands for any lines, "..." at the end of a line for any rest of it.
Prints `ok NAME` or `not ok NAME: why` for each command.
"""

import re
import shlex
import subprocess
import sys


def blocks(text):
    for language, body in re.findall(r"^```(\S*)\n(.*?)^```", text, re.M | re.S):
        if not language and "$ weirbook" in body:
            yield body.splitlines()


def shown(lines):
    """Commands with the lines shown below each."""
    command, below = None, []
    for line in lines:
        if line.startswith("$ "):
            if command:
                yield command, below
            command, below = line[2:], []
        else:
            below.append(line)
    if command:
        yield command, below


def pattern(lines):
    parts = []
    for line in lines:
        if line == "...":
            parts.append(r"(?:.*\n)*?")
        elif line.endswith("..."):
            parts.append(re.escape(line[:-3]) + r".*\n")
        else:
            parts.append(re.escape(line) + r"\n")
    return "".join(parts)


def main(readme, weirbook, folder):
    count = 0
    for block in blocks(open(readme, encoding="utf-8").read()):
        for command, below in shown(block):
            words = shlex.split(command)
            run = subprocess.run([weirbook, *words[1:]], capture_output=True, text=True, cwd=folder)
            said = run.stdout + run.stderr
            name = f"readme: {command}"
            count += 1
            if run.returncode != 0:
                print(f"not ok {name}: ended with {run.returncode}: {said.strip()[:200]}")
            elif not re.fullmatch(pattern(below), said):
                print(f"not ok {name}: it says {said!r:.400}")
            else:
                print(f"ok {name}")
    if count == 0:
        print("not ok readme: it shows no command")


if __name__ == "__main__":
    main(*sys.argv[1:])
