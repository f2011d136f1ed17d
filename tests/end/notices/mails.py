"""Python over the mails that the server kept, by its own parser.

    mails.py FOLDER EXPRESSION

`m` is the list of them in order: subject, text, id, date, from, to, envelope, all decoded.
"""

import email
import email.policy
import email.utils
import json
import pathlib
import sys

folder = pathlib.Path(sys.argv[1])
m = []
for path in sorted(folder.glob("*.eml"), key=lambda one: int(one.stem)):
    mail = email.message_from_bytes(path.read_bytes(), policy=email.policy.default)
    assert not mail.defects, mail.defects
    m.append({"subject": mail["Subject"], "text": mail.get_content(), "id": mail["Message-ID"],
              "date": email.utils.parsedate_to_datetime(mail["Date"]), "from": mail["From"],
              "to": mail["To"], "type": mail.get_content_type(),
              "charset": mail.get_content_charset(),
              "envelope": json.loads(path.with_suffix(".json").read_text())})
if not eval(sys.argv[2]):
    print("not so:", sys.argv[2])
    print(*m, sep="\n")
    sys.exit(1)
