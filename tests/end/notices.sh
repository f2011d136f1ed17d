#!/bin/sh
# Who is told, by a mail server (Debian's aiosmtpd) that asks for TLS and a log-in, and by a webhook
# whose signature Python checks: what is put off, refused and away, being killed between sending and
# recording, and the next person where nobody has seen it.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin notices

python=/usr/bin/python3 # the one that Debian's packages are for
servers=$tree/tests/end/notices
mkdir box

now()
{
    export WEIRBOOK_NOW="2026-07-10T$1:00Z"
}

ours()
{
    [ "$(id -u)" -ne 0 ] || chown -R weirbook "$@"
}

free_port()
{
    "$python" -c 'import socket; s = socket.socket(); s.bind(("127.0.0.1", 0)); print(s.getsockname()[1])'
}

# put NAME MODE: what comes in, as a file of the data folder.
put()
{
    cat >"$work/put.new"
    chmod "$2" "$work/put.new"
    ours "$work/put.new"
    mv "$work/put.new" "$data/$1"
}

# conf PASSWORD CERTIFICATES: weirbook.conf with the servers of this test.
conf()
{
    mkdir -p "$data/secrets"
    ours "$data/secrets"
    printf '%s\n' "$1" | put secrets/mail 0600
    printf 'hook secret\n' | put secrets/hook 0600
    put weirbook.conf 0644 <<END
mail:
  server: localhost
  port: $mail_port
  from: weirbook@north-bay.example
  user: farm
  secret: mail
${2:+  certificates: $2}
webhooks:
  - {key: room, url: "http://127.0.0.1:$hook_port/hook", secret: hook}
  - {key: busy, url: "http://127.0.0.1:$hook_port/busy", secret: hook}
  - {key: moved, url: "http://127.0.0.1:$hook_port/moved", secret: hook}
  - {key: long, url: "http://127.0.0.1:$hook_port/long", secret: hook}
  - {key: away, url: "http://127.0.0.1:1/hook", secret: hook}
END
}

# told LINE...: the farm file says who is told.
told()
{
    {
        sed 's/^  key: KEY/  key: north-bay/; s/    instrument: logger 1$/&\n    silent after: 2 hours/' \
            "$tree/tests/harness/farm.yaml"
        printf '\nnotices:\n'
        printf '  - %s\n' "$@"
    } >farm.yaml
    run farm load farm.yaml --by pat --quiet
    expect_status 0
}

# silent TIME NAME: the logger's last reading is of that time in July, in a file of that name.
silent()
{
    printf 'Time,Temp (degC),Oxygen (mg/L),Flag,Tank oxygen (mg/L)\n2026-07-%s,12.5,8.1,ok,7.9\n' \
        "$1" >"silent-$2.csv"
    run take-in logger "silent-$2.csv" --by pat --quiet
    expect_status 0
}

mails()
{
    "$python" "$servers/mails.py" box "$1" >mails.out 2>&1 || note "$(head -n 1 mails.out | cut -c 1-200)"
}

hooks()
{
    "$python" -c 'import json, sys
h = [json.loads(line) for line in open("box/hooks")]
sys.exit(not eval(sys.argv[1]))' "$1" || note "of the webhooks not so: $1"
}

# sent SENT FAILED REFUSED: one round, and what became of it.
sent()
{
    run notices send --json
    expect_status 0
    expect_json "(j['sent'], j['failed'], j['refused']) == ($1, $2, $3)"
}

# --- servers ---------------------------------------------------------------------------------

openssl req -x509 -newkey rsa:2048 -nodes -keyout key.pem -out cert.pem -days 3650 \
    -subj /CN=localhost -addext 'subjectAltName=DNS:localhost' >/dev/null 2>&1
chmod 0644 cert.pem
mail_port=$(free_port)
hook_port=$(free_port)

mail_start()
{
    rm -f box/ready
    "$python" "$servers/mail_server.py" box cert.pem key.pem "$mail_port" >mail.log 2>&1 &
    mail_server=$!
    wait_until 20 test -f box/ready
}

mail_start
"$python" "$servers/hook_server.py" box "$hook_port" 'hook secret' >hook.log 2>&1 &
wait_until 20 test -f box/ready-hooks
verdict 'a mail server and a receiver of webhooks listen'

# --- sent ------------------------------------------------------------------------------------

now 12:00
told '{person: pat, by: mail, to: pat@north-bay.example, kinds: [silence], next after: 30 minutes}' \
    '{person: quinn, by: webhook, to: room, kinds: [silence]}'
run farm load farm.yaml --by pat --json
expect_json '[("mail server" in n, "webhook '"'room'"'" in n) for n in j["notes"]] == [(True, False), (False, True)]'
run look-round
expect_out 'note: '
conf 'oyster 1' "$work/cert.pem"
silent '10 07:00' a
run look-round --json
expect_status 0
expect_json 'j["findings_opened"] >= 1 and j["notices_sent"] == 1 and j["notes"] == []'
mails 'len(m) == 1 and m[0]["envelope"] == {"from": "weirbook@north-bay.example", "to":
    ["pat@north-bay.example"], "tls": True, "logged_in": True}'
mails 'm[0]["from"] == "weirbook@north-bay.example" and m[0]["to"] == "pat@north-bay.example"'
mails '"a probe is silent" in m[0]["subject"] and "INVENTED" in m[0]["subject"]'
mails 'm[0]["type"] == "text/plain" and m[0]["charset"] == "utf-8"'
mails 'm[0]["date"].isoformat() == "2026-07-10T12:00:00+00:00"'
mails '"not a life-support alarm" in " ".join(m[0]["text"].split())'
mails '"weirbook seen 1 --by pat" in m[0]["text"] and "Since: 10 July 2026" in m[0]["text"]'
verdict 'a silent probe is mailed over TLS, logged in, as a message that Python reads'

now 12:29
sent 0 0 0
now 12:30
sent 1 0 0
hooks 'len(h) == 1 and h[0]["sound"] and h[0]["type"] == "application/json"'
hooks 'h[0]["body"]["person"] == "quinn" and h[0]["body"]["kind"] == "silence"'
hooks 'h[0]["body"]["id"] == h[0]["id"] and "life-support" in h[0]["body"]["text"]'
verdict 'nobody having seen it after 30 minutes, the next is told by a signed webhook'

run notices
expect_status 0
expect_out 'pat by mail'
expect_out 'quinn by webhook'
run seen 2 --by rory
expect_status 0
expect_out 'seen'
run notices --json
expect_json 'j["notices"] == []'
run notices --all --json
expect_json '[(n["state"], n["seen_by"]) for n in j["notices"]] == [("sent", "rory")] * 2'
verdict 'who has seen it is on record, and it waits no more'
run seen 2 --by rory
expect_status 4
expect_err 'rory has seen notice 2 already'
verdict 'the same person sees it once'
run seen nine --by rory
refused 'a notice without a number' 2 "'nine'" 'weirbook notices'
run seen 99 --by rory
refused 'a notice that is not there' 2 'no notice 99' 'weirbook notices'

# --- put off, refused, away ------------------------------------------------------------------

# Each time readings come again, so that the silence ends, and two hours later it is found anew.
now 15:00
conf 'oyster 1' "$work/cert.pem"
silent '10 14:30' back
run look-round --quiet
told '{person: pat, by: mail, to: later@north-bay.example, kinds: [silence]}'
now 17:00
run look-round --json
expect_json 'j["notices_failed"] == 1 and j["notices_sent"] == 0'
run notices --json
expect_json 'j["notices"][0]["reply"].startswith("451 4.3.0")'
expect_json 'j["notices"][0]["state"] == "failed, tried again"'
sent 0 0 0
now 17:01
sent 1 0 0
mails 'len(m) == 2 and m[1]["envelope"]["to"] == ["later@north-bay.example"]'
verdict 'a 451 is tried again after a minute, and then sent once'

silent '10 16:50' back2
now 17:10
run look-round --quiet
told '{person: pat, by: mail, to: nobody@north-bay.example, kinds: [silence], next after: 30 minutes}' \
    '{person: quinn, by: mail, to: quinn@north-bay.example, kinds: [silence]}'
now 19:00
run look-round --json
expect_json 'j["notices_refused"] == 1 and j["notices_sent"] == 1'
mails 'len(m) == 3 and m[2]["envelope"]["to"] == ["quinn@north-bay.example"]'
run findings --json
expect_out '550 5.1.1 no such mailbox'
verdict 'a 550 is a finding, and the next is told at once'

silent '10 18:50' back3
now 19:10
run look-round --quiet
told '{person: pat, by: mail, to: killer@north-bay.example, kinds: [silence]}'
now 21:00
kill "$mail_server"
wait "$mail_server" 2>/dev/null || :
run look-round --json
expect_json 'j["notices_failed"] == 1'
verdict 'a mail server that is away is tried again'
mail_start

conf 'wrong' "$work/cert.pem"
now 21:01
sent 0 1 0
run notices --json
expect_json 'j["notices"][0]["reply"][:3] == "535"'
verdict 'a wrong password is told, and tried again'
conf 'oyster 1' ''
now 21:03
sent 0 1 0
run notices --json
expect_json '"certificate" in j["notices"][0]["reply"]'
mails 'len(m) == 3'
verdict 'a certificate that nobody vouches for ends it before a word is said'

# --- killed between sending and recording ------------------------------------------------------

conf 'oyster 1' "$work/cert.pem"
now 21:08
"$weirbook" --data "$data" notices send >out 2>err </dev/null &
echo $! >box/pid.new
mv box/pid.new box/pid
status=0
wait $! 2>/dev/null || status=$?
expect 'it was not killed' test "$status" -eq 137
mails 'len(m) == 4'
sent 0 0 0
now 21:12
sent 0 0 0
now 21:13
sent 1 0 0
mails 'len(m) == 5 and m[3]["id"] == m[4]["id"] and m[3]["text"] == m[4]["text"]'
mails 'm[3]["date"] == m[4]["date"] and len({one["id"] for one in m}) == 4'
now 23:00
sent 0 0 0
verdict 'killed between sending and recording it goes out once more, as the same message'

# --- webhooks --------------------------------------------------------------------------------

silent '10 20:50' back4
now 21:15
run look-round --quiet
told '{person: pat, by: webhook, to: busy, kinds: [silence]}' \
    '{person: pat, by: webhook, to: moved, kinds: [silence]}' \
    '{person: quinn, by: webhook, to: long, kinds: [silence]}' \
    '{person: quinn, by: webhook, to: away, kinds: [silence]}' \
    '{person: rory, by: webhook, to: nowhere, kinds: [silence]}'
now 23:30
run look-round --json
expect_json '(j["notices_sent"], j["notices_failed"], j["notices_refused"]) == (1, 3, 1)'
run notices --all --json
expect_json '{n["to"]: n["reply"] for n in j["notices"]}["busy"] == "HTTP 503"'
expect_json '{n["to"]: n["reply"] for n in j["notices"]}["moved"] == "HTTP 302"'
expect_json '{n["to"]: n["reply"] for n in j["notices"]}["long"] == "HTTP 200"'
expect_json '"connect" in {n["to"]: n["reply"] for n in j["notices"]}["away"]'
expect_json '"no webhook" in {n["to"]: n["reply"] for n in j["notices"]}["nowhere"]'
hooks '[one["path"] for one in h].count("/hook") == 1 and all(one["sound"] for one in h)'
now 23:31
sent 1 2 0
hooks 'len({one["id"] for one in h if one["path"] == "/busy"}) == 1'
hooks '[one["path"] for one in h].count("/busy") == 2'
verdict 'a busy webhook is asked again, a redirect is not followed, a long answer is cut off'

# --- a long past at once, and rounds ---------------------------------------------------------

# 24 months with a sample far above its limit, and two with one a month or so ago.
told '{person: pat, by: mail, to: pat@north-bay.example, kinds: [limit], again after: 1 hour, again: 1}'
"$python" -c 'print("Sample,Rep,For,Site,Time,Test,Result,Unit,LOD,LOQ")
for i in range(24):
    print(f"P{i},,,Out,{2024 + (i + 6) // 12}-{(i + 6) % 12 + 1:02d}-05 09:00,TSS,90,mg/L,,")' >past.csv
run take-in laboratory past.csv --by pat --quiet
expect_status 0
now 23:40
before=$("$python" "$servers/mails.py" box 'print(len(m)) or True' | head -n 1)
run look-round --json
expect_status 0
expect_json 'j["findings_opened"] > 24 and j["notices_sent"] == 5'
mails "len(m) == $before + 5 and 'more' not in m[-2]['subject'] and 'more' in m[-1]['subject']"
mails '"stands for" in m[-1]["text"] and "weirbook findings" in m[-1]["text"]'
run notices --json
# Of the 24 months 18 lie after the clause came into force.
expect_json 'sum(n["findings"] for n in j["notices"] if n["kind"] == "limit" and n["nth"] == 1) == 18'
verdict 'a long past taken in at once is told in five letters, the last with the rest'

export WEIRBOOK_NOW=2026-07-11T00:39:00Z
run notices send --json
expect_json 'j["sent"] == 0'
export WEIRBOOK_NOW=2026-07-11T00:40:00Z
run notices --json
first=$("$python" -c 'import json
n = [n["number"] for n in json.load(open("out"))["notices"] if n["kind"] == "limit" and n["nth"] == 1]
print(min(n))')
run seen "$first" --by pat
expect_status 0
run notices send --json
expect_json 'j["sent"] == 4'
export WEIRBOOK_NOW=2026-07-12T00:40:00Z
run notices send --json
expect_json 'j["sent"] == 0'
verdict 'what nobody has seen is told once more, and no more than the farm says'

run ledger check
expect_status 0
verdict 'the ledger is unbroken after all that'
