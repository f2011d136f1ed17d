"""A receiver of webhooks for the tests, which checks each signature by Python's own hmac.

    hook_server.py FOLDER PORT SECRET

Keeps what came in FOLDER/hooks, a line of JSON each. `/busy` says 503 the first time, `/moved` sends
on to `/hook`, `/long` answers without end, `/gone` says 410.
"""

import hashlib
import hmac
import http.server
import json
import pathlib
import sys

folder = pathlib.Path(sys.argv[1])
secret = sys.argv[3].encode()
busy = set()


class Handler(http.server.BaseHTTPRequestHandler):
    def do_POST(self):
        body = self.rfile.read(int(self.headers["Content-Length"]))
        identity = self.headers["Weirbook-Id"]
        text = b".".join([identity.encode(), self.headers["Weirbook-Time"].encode(), body])
        mac = "sha256=" + hmac.new(secret, text, hashlib.sha256).hexdigest()
        line = {"path": self.path, "id": identity, "body": json.loads(body),
                "type": self.headers["Content-Type"], "time": int(self.headers["Weirbook-Time"]),
                "sound": hmac.compare_digest(mac, self.headers["Weirbook-Signature"])}
        with open(folder / "hooks", "a", encoding="utf-8") as file:
            file.write(json.dumps(line) + "\n")
        code = {"/moved": 302, "/gone": 410}.get(self.path, 200)
        if self.path == "/busy" and identity not in busy:
            busy.add(identity)
            code = 503
        self.send_response(code)
        if code == 302:
            self.send_header("Location", "/hook")
        self.end_headers()
        if self.path == "/long":
            try:
                for _ in range(100000):
                    self.wfile.write(b"x" * 65536)
            except OSError:
                pass

    def log_message(self, *args):
        pass


server = http.server.ThreadingHTTPServer(("127.0.0.1", int(sys.argv[2])), Handler)
(folder / "ready-hooks").write_text("listens\n")
server.serve_forever()
