"""Lines for check_lines.

Used by the scripts beside this one: each asks a library that is not ours for its values and
prints them as check lines; check_lines then works each line out with Weirbook's functions, and
differences.py tells by how much the two differ. A line's id begins with its family.
"""

HEADER = "id\tquantity\tinputs\texpected\ttolerance\tkind\tsource\town\tresidual\tstatus"


def header():
    print(HEADER)


def line(name, quantity, inputs, expected, tolerance, source):
    """One line; inputs is a list of (name, value)."""
    given = ";".join(f"{key}={value}" for key, value in inputs)
    print(f"{name}\t{quantity}\t{given}\t{expected:.15g}\t{tolerance:g}\tL\t{source}\t\t\t")
