"""Take in random files, and kill the program and its server at random moments.

    rounds.py WEIRBOOK HOLDER DATA FOLDER ROUNDS SEED

DATA has a farm with the sources wide-csv, long-csv, wide-json and so on. HOLDER keeps its server
up between commands. Afterwards every file that was sent is taken in once more, and what is on
record is compared with what was acknowledged. Prints what does not hold, a line each.
"""
import hashlib
import json
import os
import random
import signal
import subprocess
import sys
import time

import files
import record

WEIRBOOK, HOLDER, DATA, FOLDER = sys.argv[1:5]
ROUNDS, SEED = int(sys.argv[5]), int(sys.argv[6])
LIMIT_S = 120  # that no command may take, whatever was killed under it
draw = random.Random(SEED)


class Faults:
    def __init__(self):
        self.count = 0

    def add(self, *words):
        self.count += 1
        if self.count <= 20:
            print(*words)


faults = Faults()


# --- processes -----------------------------------------------------------------------------------


def server():
    """The postmaster's number, or None."""
    try:
        with open(DATA + "/postgres/postmaster.pid", encoding="ascii") as file:
            pid = int(file.readline())
        return pid if os.readlink("/proc/%d/cwd" % pid) == DATA + "/postgres" else None
    except (OSError, ValueError):
        return None


def backends(postmaster):
    """Its sessions."""
    found = []
    for name in os.listdir("/proc"):
        if not name.isdigit():
            continue
        try:
            with open("/proc/%s/stat" % name, encoding="utf-8", errors="replace") as file:
                parent = int(file.read().rsplit(")", 1)[1].split()[1])
            with open("/proc/%s/cmdline" % name, "rb") as file:
                words = file.read()
        except (OSError, ValueError, IndexError):
            continue
        if parent == postmaster and b"weirbook_program" in words:
            found.append(int(name))
    return found


def send(pid, what):
    try:
        os.kill(pid, what)
    except (ProcessLookupError, TypeError):
        pass


def kill_backend(_):
    postmaster = server()
    found = backends(postmaster) if postmaster else []
    if found:
        send(draw.choice(found), signal.SIGKILL)


def kill_server(_):
    send(server(), signal.SIGKILL)


def stop_server(_):
    send(server(), signal.SIGQUIT)  # an immediate stop


# What is done in the middle of a command, each as often as it stands here.
BLOWS = {
    "the program killed": (6, lambda program: send(program.pid, signal.SIGKILL)),
    "the program stopped": (1, lambda program: send(program.pid, signal.SIGTERM)),
    "a session of the server killed": (2, kill_backend),
    "the server killed": (2, kill_server),
    "the server stopped at once": (2, stop_server),
    "nothing": (3, lambda program: None),
}
NAMES = [name for name, (often, _) in BLOWS.items() for _ in range(often)]


# --- commands ------------------------------------------------------------------------------------


def program(*words):
    return subprocess.Popen(
        [WEIRBOOK, "--data", DATA, *words],
        stdin=subprocess.DEVNULL,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
    )


def ended(command, what):
    """Its status and its answer (None where it gave none)."""
    try:
        out, err = command.communicate(timeout=LIMIT_S)
    except subprocess.TimeoutExpired:
        command.kill()
        out, err = command.communicate()
        faults.add(what, "did not end within", LIMIT_S, "s")
    if b"Sanitizer" in err or b"runtime error:" in err:
        faults.add(what, "complained:", err[-300:])
    try:
        return command.returncode, json.loads(out)
    except ValueError:
        return command.returncode, None


def take_in(file, blow=None, after=0.0):
    command = program("take-in", file.source, FOLDER + "/" + file.name, "--by", "pat", "--json")
    if blow:
        time.sleep(after)
        BLOWS[blow][1](command)
    status, answer = ended(command, file.name)
    if status == 0 and answer and len(answer) == 1:
        return status, answer[0]
    return status, None


# --- rounds --------------------------------------------------------------------------------------


def hold():
    holder = subprocess.Popen([HOLDER, DATA], stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    return holder, holder.stdout.readline().decode().strip()


def one_round(number, sent, before, typical):
    if sent and draw.randrange(6) == 0:
        file = draw.choice(list(sent.values()))  # once more
    else:
        file = files.drawn(draw, number, before)
        with open(FOLDER + "/" + file.name, "wb") as out:
            out.write(file.data)
    file.sha256 = hashlib.sha256(file.data).hexdigest()
    sent.setdefault((file.source, file.sha256), file)
    blow = draw.choice(NAMES)
    began = time.monotonic()
    status, answer = take_in(file, blow, draw.uniform(0, 1.1) * typical[0])
    if blow == "nothing":
        typical[0] = typical[0] * 0.7 + (time.monotonic() - began) * 0.3
    if status == 1 or (status > 4 and status < 128):
        faults.add(file.name, "ended with", status, "after", blow)
    counted[blow] = counted.get(blow, 0) + 1
    if answer:
        acknowledged.append((file, answer))
        counted["acknowledged"] = counted.get("acknowledged", 0) + 1


acknowledged = []
counted = {}


def main():
    holder, conninfo = hold()
    # Killed processes lose nothing that the system holds: no need to wait for the disk.
    record.query(conninfo, "alter system set fsync = off")
    record.query(conninfo, "select pg_reload_conf()")
    sent = {}
    before = {"wide": [], "long": []}
    typical = [0.2]
    for number in range(ROUNDS):
        one_round(number, sent, before, typical)
    for file in sent.values():
        status, answer = take_in(file)
        if answer:
            acknowledged.append((file, answer))
            file.refused = False
        else:
            file.refused = True
            if status != 2:
                faults.add(file.name, "ended with", status, "though nothing was killed")
            if file.values_in is not None:
                faults.add(file.name, "was refused, and is sound")
    record.compare(conninfo, sent, acknowledged, faults)
    status, _ = ended(program("ledger", "check", "--json"), "ledger check")
    if status != 0:
        faults.add("ledger check ended with", status)
    status, _ = ended(program("check", "--json"), "check")
    if status != 0:
        faults.add("check ended with", status)
    holder.stdin.close()
    holder.wait()
    print("#", len(sent), "files in", ROUNDS, "rounds;", counted, file=sys.stderr)
    if faults.count > 20:
        print("and", faults.count - 20, "more")


main()
