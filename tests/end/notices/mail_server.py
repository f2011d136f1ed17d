"""A mail server for the tests: STARTTLS and a log-in asked for, mail kept as files.

    mail_server.py FOLDER CERTIFICATE KEY PORT

Writes FOLDER/ready once it listens, and for each mail FOLDER/N.eml and N.json (who from, to whom,
over what). How it answers goes by the receiver: `later@` is told 451 the first time, `nobody@` 550,
and of `killer@` the first mail is kept, and the program whose number is in FOLDER/pid is killed
before it hears so.
"""

import json
import os
import pathlib
import signal
import ssl
import sys
import time

from aiosmtpd.controller import Controller
from aiosmtpd.smtp import AuthResult

folder = pathlib.Path(sys.argv[1])


class Handler:
    def __init__(self):
        self.seen = {}
        self.count = len(list(folder.glob("*.eml")))  # of an earlier run

    async def handle_RCPT(self, server, session, envelope, address, options):
        if address.startswith("nobody@"):
            return "550 5.1.1 no such mailbox"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    def keep(self, session, envelope):
        self.count += 1
        name = folder / str(self.count)
        name.with_suffix(".eml").write_bytes(envelope.content)
        name.with_suffix(".json").write_text(json.dumps({
            "from": envelope.mail_from, "to": envelope.rcpt_tos,
            "tls": session.ssl is not None, "logged_in": bool(session.authenticated)}))

    async def handle_DATA(self, server, session, envelope):
        to = envelope.rcpt_tos[0]
        first = to not in self.seen
        self.seen[to] = True
        if to.startswith("later@") and first:
            return "451 4.3.0 try again later"
        self.keep(session, envelope)
        if to.startswith("killer@") and first:
            for _ in range(100):
                if (folder / "pid").exists():
                    os.kill(int((folder / "pid").read_text()), signal.SIGKILL)
                    break
                time.sleep(0.05)
        return "250 2.0.0 kept"


def log_in(server, session, envelope, mechanism, data):
    ok = mechanism in ("PLAIN", "LOGIN") and data.login == b"farm" and data.password == b"oyster 1"
    return AuthResult(success=ok, handled=ok)


tls = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
tls.load_cert_chain(sys.argv[2], sys.argv[3])
controller = Controller(Handler(), hostname="127.0.0.1", port=int(sys.argv[4]), tls_context=tls,
                        require_starttls=True, auth_required=True, auth_require_tls=True,
                        authenticator=log_in)
controller.start()
(folder / "ready").write_text("listens\n")
while True:
    time.sleep(1)
