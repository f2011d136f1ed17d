"""Part of lib.sh: run a program, and write down the most that it had resident, in kB.

    measured.py FILE PROGRAM WORD...
"""
import resource
import subprocess
import sys

status = subprocess.run(sys.argv[2:], stdin=subprocess.DEVNULL, check=False).returncode
with open(sys.argv[1], "w", encoding="ascii") as file:
    file.write(str(resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss))
sys.exit(status if status >= 0 else 128 - status)
