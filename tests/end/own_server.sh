#!/bin/sh
# The same commands on a server of somebody else, by --database and by PGHOST: made ready by its
# superuser, by a role that may, and by hand where the program's role may not. The verdicts are
# those of the private database.
# shellcheck source=tests/end/lib/lib.sh
. "$(dirname -- "$0")/lib/lib.sh"
begin own

unset PGPASSWORD PGSERVICEFILE PGOPTIONS PGTZ 2>/dev/null || :
server=$work/server
server_make "$server" || {
    verdict_not 'a server is made'
    exit 1
}

# where DATABASE USER: a connection string.
where()
{
    printf 'postgresql:///%s?host=%s&user=%s' "$1" "$(printf '%s' "$server" | sed 's|/|%2F|g')" "$2"
}

# on DATABASE USER WORD...: the program there.
on()
{
    there=$(where "$1" "$2")
    shift 2
    run_bare "$@" --database "$there"
}

# new_database NAME OWNER
new_database()
{
    server_sql "$server" "create database $1 owner $2"
}

# --- made ready by its superuser -------------------------------------------------------------

on records keeper status
refused 'a server without our roles is told what it needs' 4 'weirbook_program' 'database prepare' \
    'database sql'
on records keeper database prepare --json
expect_status 0
expect_json 'j["applied"] > 0 and j["schema"] >= j["applied"]'
verdict 'its superuser makes roles and schema'
on records keeper database prepare --json
expect_status 0
expect_json 'j["applied"] == 0'
verdict 'and again, with nothing left to do'
on records keeper status
refused 'then it holds no farm' 2 'no farm' 'weirbook farm load'

# --- a month, there and on a private database ------------------------------------------------

# month COMMAND...: February by the command that runs weirbook; its verdicts in month.json.
month()
{
    "$@" farm load "$demo/farm.yaml" --by wren
    expect_status 0
    "$@" confirm --by wren
    expect_status 0
    "$@" take-in logger "$demo/logger-2026-02.csv" --by ash --json
    expect_status 0
    expect_json 'j[0]["stored"] == 39160'
    "$@" take-in meter-sheet "$demo/meter-2026.csv" --by ash
    expect_status 0
    "$@" take-in outlet-sheet "$demo/outlet-2026.csv" --by ash
    expect_status 0
    "$@" take-in laboratory "$demo"/lab-2026-02-*.csv --by wren --json
    expect_status 0
    expect_json '[one["already"] for one in j].count(True) == 1'
    "$@" aside --json
    expect_json 'j["set_aside"] == []'
    "$@" check 2026-02 --json
    expect_status 0
    cp out month.json
}

# By the environment, as its keeper's other programs find it.
by_environment()
{
    PGHOST=$server PGUSER=keeper PGDATABASE=records run_bare "$@"
}

month run
mv month.json private.json
verdict 'February on the private database'
month on records keeper
expect 'the verdicts differ' cmp -s month.json private.json
verdict 'February by --database: the verdicts are equal'
by_environment check 2026-02 --json
expect_status 0
expect 'the verdicts differ' cmp -s out private.json
verdict 'and read by PGHOST too'
by_environment report discharge 2026-02 --by wren --out "$work/own.xlsx"
expect_status 0
expect 'there is no workbook' test -s own.xlsx
verdict 'a workbook from there'
by_environment take-in laboratory "$demo/lab-2026-02-03.csv" --by wren --json
expect_status 0
expect_json 'j[0]["already"]'
verdict 'a file that came in already is known there'
on records keeper status --json
cp out theirs.json
PGHOST=$server PGUSER=keeper PGDATABASE=records run status --json
expect_status 0
expect 'it answered from the folder' cmp -s out theirs.json
run status --json
expect_status 0
expect_json 'j["ledger_head"] != json.load(open("theirs.json"))["ledger_head"]'
verdict 'PGHOST counts before a folder of records'
cat >service.conf <<CONF
[farm]
host=$server
user=keeper
dbname=records
CONF
PGSERVICEFILE=$work/service.conf PGSERVICE=farm run_bare check 2026-02 --json
expect_status 0
expect 'the verdicts differ' cmp -s out private.json
verdict 'and by PGSERVICE'

# --- by a role that may make roles, and by one that may not ----------------------------------

server_sql "$server" 'create role builder login createrole; create role guest login'
new_database second builder
on second keeper status
refused 'a database that is not ready is told what it needs' 3 'not ready' 'database prepare'
on second builder database prepare
expect_status 0
on second builder status
refused 'a role that may make roles prepares its own database' 2 'no farm'

new_database third keeper
on third guest database prepare
refused 'a role that may not is told to ask the administrator' 4 'database sql'
run_bare database sql
expect_status 0
expect_no_err
expect_out 'create role'
cp out roles.sql
verdict 'the statements for the administrator are printed without a database'
expect 'psql refused them' as_account sh -c \
    "psql -X -q -v ON_ERROR_STOP=1 -h '$server' -U keeper -d third >'$server/sql.log' 2>&1" <roles.sql
expect 'psql refused them a second time' as_account sh -c \
    "psql -X -q -v ON_ERROR_STOP=1 -h '$server' -U keeper -d third >'$server/sql.log' 2>&1" <roles.sql
verdict 'psql takes them, a second time too'
server_sql "$server" 'grant weirbook_owner, weirbook_program, weirbook_reader to guest'
server_sql "$server" 'grant create on database third to weirbook_owner'
on third guest database prepare --json
expect_status 0
verdict 'after that the role prepares the schema itself'
on third guest farm load "$demo/farm.yaml" --by wren
expect_status 0
on third guest confirm --by wren
expect_status 0
on third guest take-in laboratory "$demo/lab-2026-02-24.csv" --by wren --json
expect_status 0
on third guest check 2026-02 --json
expect_status 0
expect_json '[l["words"][:17] for l in j["limits"] if l["limit"] == "solids-each"] == ["outside: above 60"]'
verdict 'and works there without being anybody special'

# --- not there -------------------------------------------------------------------------------

on nowhere keeper status
refused 'a database that is not there' 4 'nowhere' 'database name'
run_bare status --database 'this is no connection string'
expect_status 2
expect_err 'connection string'
verdict 'a connection string that is none'
server_stop "$server"
on records keeper status
refused 'a server that is down' 3 "$server" 'try again'
server_start "$server" || note 'it did not come up again'
on records keeper check 2026-02 --json
expect_status 0
expect 'the verdicts differ' cmp -s out private.json
verdict 'and when it is up again'
server_stop "$server"
