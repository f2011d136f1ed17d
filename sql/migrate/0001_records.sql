-- The farm's records: what it is, what came in, what was judged, who did what.
--
-- Every table leads its key with farm_id. Records are only ever added to; what may change or go
-- is worked out from them or working. sql/columns.tsv says which column is which.

-- Instants travel to the program as microseconds since 1970 (base/instant.h).
create function us(at timestamptz) returns bigint
    language sql immutable strict parallel safe
    as $$ select (extract(epoch from at) * 1000000)::bigint $$;

-- The farms that this transaction may see (db/ sets them; '' after a SET LOCAL has ended).
create function farms_seen() returns bigint[]
    language sql stable parallel safe
    as $$ select nullif(current_setting('weirbook.farms', true), '')::bigint[] $$;

create domain item_key as text
    check (value ~ '^[a-z0-9][a-z0-9-]{0,62}$');

create domain sha256 as bytea
    check (octet_length(value) = 32);

-- ------------------------------------------------------------------------------------- the farm

create table farm (
    farm_id bigint not null check (farm_id > 0),
    key item_key not null,
    made_at timestamptz not null default now(),
    primary key (farm_id)
);

-- Each loading of the farm file, byte for byte.
create table farm_file (
    farm_id bigint not null references farm,
    version int not null check (version > 0),
    sha256 sha256 not null,
    bytes bytea not null,
    name text not null,
    zone text not null,
    invented boolean not null,
    loaded_at timestamptz not null default now(),
    person text not null,
    primary key (farm_id, version)
);

create table person (
    farm_id bigint not null references farm,
    person item_key not null,
    primary key (farm_id, person)
);

create table person_version (
    farm_id bigint not null,
    person item_key not null,
    version int not null,
    name text not null,
    position text not null,
    may text not null,
    since date not null,
    until date,
    on_word_of text,
    gone boolean not null,
    definition text not null,
    primary key (farm_id, person, version),
    foreign key (farm_id, person) references person,
    foreign key (farm_id, version) references farm_file,
    check (until is null or until >= since)
);

create table authority (
    farm_id bigint not null references farm,
    authority item_key not null,
    primary key (farm_id, authority)
);

create table authority_version (
    farm_id bigint not null,
    authority item_key not null,
    version int not null,
    name text not null,
    decides text not null,
    call text,
    gone boolean not null,
    definition text not null,
    primary key (farm_id, authority, version),
    foreign key (farm_id, authority) references authority,
    foreign key (farm_id, version) references farm_file
);

-- A file kept byte for byte: a licence, certificate, notice or photo.
create table document (
    farm_id bigint not null references farm,
    document bigint not null check (document > 0),
    name text not null,
    kind text not null,
    sha256 sha256 not null,
    byte_count bigint not null check (byte_count >= 0),
    received_at timestamptz not null default now(),
    person item_key not null,
    primary key (farm_id, document),
    unique (farm_id, sha256),
    foreign key (farm_id, person) references person
);

create table document_piece (
    farm_id bigint not null,
    document bigint not null,
    piece int not null check (piece >= 0),
    bytes bytea not null check (octet_length(bytes) <= 1048576),
    primary key (farm_id, document, piece),
    foreign key (farm_id, document) references document
);

create table licence (
    farm_id bigint not null references farm,
    licence item_key not null,
    primary key (farm_id, licence)
);

create table licence_version (
    farm_id bigint not null,
    licence item_key not null,
    version int not null,
    number text not null,
    title text not null,
    holder text not null,
    authority item_key not null,
    dated date not null,
    ends date,
    continued_by text,
    renewal_by date,
    certification text not null,
    signer item_key,
    document bigint,
    gone boolean not null,
    definition text not null,
    primary key (farm_id, licence, version),
    foreign key (farm_id, licence) references licence,
    foreign key (farm_id, version) references farm_file,
    foreign key (farm_id, authority) references authority,
    foreign key (farm_id, signer) references person,
    foreign key (farm_id, document) references document,
    check (ends is null or ends >= dated)
);

create table station (
    farm_id bigint not null references farm,
    station item_key not null,
    primary key (farm_id, station)
);

create table station_version (
    farm_id bigint not null,
    station item_key not null,
    version int not null,
    name text not null,
    kind text not null check (kind in ('intake', 'feed-pond', 'header-tank', 'tank', 'pond',
        'discharge', 'overflow', 'receiving-water', 'growing-area', 'rain-gauge', 'other')),
    gone boolean not null,
    definition text not null,
    primary key (farm_id, station, version),
    foreign key (farm_id, station) references station,
    foreign key (farm_id, version) references farm_file
);

create table station_position (
    farm_id bigint not null,
    station item_key not null,
    version int not null,
    position item_key not null,
    name text not null,
    primary key (farm_id, station, version, position),
    foreign key (farm_id, station, version) references station_version
);

-- The authority's own name for one of our stations.
create table licence_point (
    farm_id bigint not null,
    licence item_key not null,
    version int not null,
    station item_key not null,
    called text not null,
    primary key (farm_id, licence, version, station),
    foreign key (farm_id, licence, version) references licence_version,
    foreign key (farm_id, station) references station
);

create table flow_path (
    farm_id bigint not null,
    from_station item_key not null,
    to_station item_key not null,
    since date not null,
    version int not null,
    until date,
    returned_share numeric check (returned_share between 0 and 100),
    gone boolean not null,
    definition text not null,
    primary key (farm_id, from_station, to_station, since, version),
    foreign key (farm_id, from_station) references station,
    foreign key (farm_id, to_station) references station,
    foreign key (farm_id, version) references farm_file,
    check (until is null or until >= since)
);

create table parameter (
    farm_id bigint not null references farm,
    parameter item_key not null,
    primary key (farm_id, parameter)
);

create table parameter_version (
    farm_id bigint not null,
    parameter item_key not null,
    version int not null,
    name text not null,
    kind text not null check (kind in ('number', 'counter', 'state')),
    matrix text not null check (matrix in ('water', 'flesh')),
    basis text not null,
    unit text not null,
    gone boolean not null,
    definition text not null,
    primary key (farm_id, parameter, version),
    foreign key (farm_id, parameter) references parameter,
    foreign key (farm_id, version) references farm_file
);

-- What turns a running meter's readings into volumes.
create table counter_version (
    farm_id bigint not null,
    station item_key not null,
    parameter item_key not null,
    version int not null,
    size numeric,
    multiplier numeric not null,
    most_per_day numeric,
    share_over_days boolean not null,
    gone boolean not null,
    definition text not null,
    primary key (farm_id, station, parameter, version),
    foreign key (farm_id, station) references station,
    foreign key (farm_id, parameter) references parameter,
    foreign key (farm_id, version) references farm_file
);

create table source (
    farm_id bigint not null references farm,
    source item_key not null,
    primary key (farm_id, source)
);

create table source_version (
    farm_id bigint not null,
    source item_key not null,
    version int not null,
    name text not null,
    shape text not null check (shape in ('wide', 'long')),
    gone boolean not null,
    definition text not null,
    primary key (farm_id, source, version),
    foreign key (farm_id, source) references source,
    foreign key (farm_id, version) references farm_file
);

-- A clause about a value. Both dates are kept: those of the licence, and by `version` when the
-- farm first wrote it so.
create table limit_clause (
    farm_id bigint not null references farm,
    clause item_key not null,
    primary key (farm_id, clause)
);

create table limit_version (
    farm_id bigint not null,
    clause item_key not null,
    version int not null,
    place int not null,
    licence item_key not null,
    station item_key not null,
    parameter item_key not null,
    unit text not null,
    statistic text not null,
    period text not null,
    in_force_from date not null,
    in_force_to date,
    change text check (change in ('licence changed', 'copied wrongly')),
    gone boolean not null,
    definition text not null,
    primary key (farm_id, clause, version),
    foreign key (farm_id, clause) references limit_clause,
    foreign key (farm_id, version) references farm_file,
    foreign key (farm_id, licence) references licence,
    foreign key (farm_id, station) references station,
    foreign key (farm_id, parameter) references parameter,
    check (in_force_to is null or in_force_to >= in_force_from)
);

-- A person compared the clause with the licence and found it the same.
create table limit_confirmed (
    farm_id bigint not null,
    clause item_key not null,
    version int not null,
    person item_key not null,
    confirmed_at timestamptz not null default now(),
    primary key (farm_id, clause, version, person),
    foreign key (farm_id, clause, version) references limit_version,
    foreign key (farm_id, person) references person
);

-- A clause about how often to sample.
create table interval_clause (
    farm_id bigint not null references farm,
    clause item_key not null,
    primary key (farm_id, clause)
);

create table interval_version (
    farm_id bigint not null,
    clause item_key not null,
    version int not null,
    place int not null,
    licence item_key not null,
    station item_key not null,
    shape text not null,
    in_force_from date not null,
    in_force_to date,
    change text check (change in ('licence changed', 'copied wrongly')),
    gone boolean not null,
    definition text not null,
    primary key (farm_id, clause, version),
    foreign key (farm_id, clause) references interval_clause,
    foreign key (farm_id, version) references farm_file,
    foreign key (farm_id, licence) references licence,
    foreign key (farm_id, station) references station,
    check (in_force_to is null or in_force_to >= in_force_from)
);

-- Why there is no sample, in words from a list and in the person's own.
create table no_sample (
    farm_id bigint not null,
    clause item_key not null,
    day date not null,
    nth int not null check (nth > 0),
    reason text not null check (reason in ('no discharge', 'not required', 'lost', 'not taken',
        'unsafe to sample', 'equipment', 'laboratory')),
    explanation text not null check (explanation <> ''),
    person item_key not null,
    said_at timestamptz not null default now(),
    primary key (farm_id, clause, day, nth),
    foreign key (farm_id, clause) references interval_clause,
    foreign key (farm_id, person) references person
);

-- ----------------------------------------------------------------------------------- what came in

-- One file or message, byte for byte (in pieces of 1 MB).
create table receipt (
    farm_id bigint not null references farm,
    receipt bigint not null check (receipt > 0),
    source item_key not null,
    farm_file_version int not null,
    file_name text not null,
    sha256 sha256 not null,
    byte_count bigint not null check (byte_count >= 0),
    received_at timestamptz not null,
    person item_key not null,
    values_in bigint not null,
    stored bigint not null,
    already_known bigint not null,
    blank bigint not null,
    set_aside bigint not null,
    first_at timestamptz,
    last_at timestamptz,
    primary key (farm_id, receipt),
    unique (farm_id, source, sha256),
    foreign key (farm_id, source) references source,
    foreign key (farm_id, farm_file_version) references farm_file,
    foreign key (farm_id, person) references person,
    constraint receipt_nothing_lost
        check (values_in = stored + already_known + blank + set_aside
               and least(stored, already_known, blank, set_aside) >= 0)
);

create table receipt_piece (
    farm_id bigint not null,
    receipt bigint not null,
    piece int not null check (piece >= 0),
    bytes bytea not null check (octet_length(bytes) <= 1048576),
    primary key (farm_id, receipt, piece),
    foreign key (farm_id, receipt) references receipt deferrable initially deferred
);

-- The readings of a receipt in batches of at most 65,536, each bound by a Merkle root.
create table receipt_batch (
    farm_id bigint not null,
    receipt bigint not null,
    batch int not null check (batch >= 0),
    readings int not null check (readings between 1 and 65536),
    root sha256 not null,
    primary key (farm_id, receipt, batch),
    foreign key (farm_id, receipt) references receipt deferrable initially deferred
);

create table sample (
    farm_id bigint not null references farm,
    sample text not null check (sample <> ''),
    station item_key not null,
    position text not null,
    purpose text not null check (purpose in ('required', 'extra', 'looking for a cause', 'check',
        'the authority''s own')),
    kind text not null check (kind in ('grab', 'composite', 'by hand', 'probe')),
    taken_from timestamptz not null,
    taken_until timestamptz not null,
    taken_by text,
    receipt bigint not null,
    primary key (farm_id, sample),
    foreign key (farm_id, station) references station,
    foreign key (farm_id, receipt) references receipt deferrable initially deferred,
    check (taken_until >= taken_from)
);

-- A sample's replicate or unit; 0 in a reading is no sample at all.
create table sample_portion (
    farm_id bigint not null,
    portion bigint not null check (portion > 0),
    sample text not null,
    replicate text not null,
    primary key (farm_id, portion),
    unique (farm_id, sample, replicate),
    foreign key (farm_id, sample) references sample
);

-- What makes two values comparable. series_id is made from the other columns (base/crypto text_id).
create table series (
    farm_id bigint not null references farm,
    series_id bigint not null check (series_id > 0),
    station item_key not null,
    position text not null,
    parameter item_key not null,
    matrix text not null,
    method text not null,
    made_by text not null,
    kind text not null check (kind in ('grab', 'composite', 'probe', 'by hand', 'derived')),
    primary key (farm_id, series_id),
    constraint series_once
        unique (farm_id, station, position, parameter, matrix, method, made_by, kind),
    foreign key (farm_id, station) references station,
    foreign key (farm_id, parameter) references parameter
);

-- The hot table. No foreign keys (they cost three quarters of the speed: the receipt's transaction
-- checks once) and no policies (COPY refuses them): the program may add, and reads reading_now.
-- qualifier: '=' '<' '>' or 'n' (not detected, and no limit told); flags bit 0: in doubt.
create table reading (
    farm_id bigint not null,
    series_id bigint not null,
    at timestamptz not null,
    until timestamptz not null,
    portion bigint not null,
    value double precision,
    receipt bigint not null,
    line int not null,
    col int not null,
    flags smallint not null,
    qualifier "char" not null,
    reported numeric,
    unit text not null,
    primary key (farm_id, series_id, at, until, portion),
    constraint reading_span check (until >= at),
    constraint reading_qualifier check (qualifier in ('=', '<', '>', 'n')),
    constraint reading_value check ((qualifier = 'n') = (reported is null))
) partition by range (at);

-- Detection and quantitation limits, where the laboratory told them; and why a reading is in doubt.
create table reading_note (
    farm_id bigint not null,
    series_id bigint not null,
    at timestamptz not null,
    until timestamptz not null,
    portion bigint not null,
    detection numeric,
    quantitation numeric,
    doubt text,
    primary key (farm_id, series_id, at, until, portion),
    foreign key (farm_id, series_id) references series
);

-- A new value for a stored reading, or its leaving out; the first value stays where it is.
create table correction (
    farm_id bigint not null,
    series_id bigint not null,
    at timestamptz not null,
    until timestamptz not null,
    portion bigint not null,
    nth int not null check (nth > 0),
    kind text not null check (kind in ('value', 'left out', 'put back')),
    qualifier "char",
    reported numeric,
    unit text,
    value double precision,
    reason text not null check (reason <> ''),
    person item_key not null,
    second_person item_key,
    made_at timestamptz not null default now(),
    receipt bigint,
    line int,
    primary key (farm_id, series_id, at, until, portion, nth),
    foreign key (farm_id, series_id) references series,
    foreign key (farm_id, person) references person,
    foreign key (farm_id, second_person) references person,
    foreign key (farm_id, receipt) references receipt,
    check ((kind = 'value') = (qualifier is not null and unit is not null)),
    check (second_person is null or second_person <> person)
);

-- Rows not accepted, with their place, a reason and what to do.
create table set_aside (
    farm_id bigint not null,
    receipt bigint not null,
    line int not null,
    col int not null,
    reason text not null,
    words text not null,
    todo text not null,
    row_text text not null,
    station text,
    parameter text,
    at timestamptz,
    qualifier "char",
    reported numeric,
    unit text,
    sample text,
    from_probe boolean not null,
    primary key (farm_id, receipt, line, col),
    foreign key (farm_id, receipt) references receipt deferrable initially deferred
);
create index set_aside_at on set_aside (farm_id, at);

-- What a person decided about a row set aside.
create table set_aside_answer (
    farm_id bigint not null,
    receipt bigint not null,
    line int not null,
    col int not null,
    answer text not null check (answer in ('accepted', 'left out')),
    reason text not null check (reason <> ''),
    person item_key not null,
    answered_at timestamptz not null default now(),
    primary key (farm_id, receipt, line, col),
    foreign key (farm_id, receipt, line, col) references set_aside,
    foreign key (farm_id, person) references person
);

-- Readings as they stand: newest value applied, and whether left out (neither undoes the other);
-- only the farms of this transaction. Ask for both time bounds: the table has a partition a month.
create view reading_now with (security_barrier) as
select r.farm_id, r.series_id, r.at, r.until, r.portion,
       case when c.nth is null then r.qualifier else c.qualifier end as qualifier,
       case when c.nth is null then r.reported else c.reported end as reported,
       case when c.nth is null then r.unit else c.unit end as unit,
       case when c.nth is null then r.value else c.value end as value,
       r.flags,
       coalesce(l.kind = 'left out', false) as left_out,
       c.nth is not null as corrected,
       case when l.kind = 'left out' then l.reason else c.reason end as correction_reason,
       r.receipt, r.line, r.col,
       r.qualifier as first_qualifier, r.reported as first_reported, r.unit as first_unit
  from reading r
  left join (select distinct on (farm_id, series_id, at, until, portion) *
               from correction
              where kind = 'value'
              order by farm_id, series_id, at, until, portion, nth desc) c
    on c.farm_id = r.farm_id and c.series_id = r.series_id and c.at = r.at
   and c.until = r.until and c.portion = r.portion
  left join (select distinct on (farm_id, series_id, at, until, portion) *
               from correction
              where kind in ('left out', 'put back')
              order by farm_id, series_id, at, until, portion, nth desc) l
    on l.farm_id = r.farm_id and l.series_id = r.series_id and l.at = r.at
   and l.until = r.until and l.portion = r.portion
 where r.farm_id = any ((select farms_seen())::bigint[]); -- read once, not once a row

-- Monthly partitions by UTC, made before the receipt's transaction. ATTACH, because CREATE ..
-- PARTITION OF waits behind every open insert.
create function reading_partitions(first_at timestamptz, last_at timestamptz) returns int
    language plpgsql security definer set search_path = weirbook, pg_temp set timezone = 'UTC'
as $$
declare
    month timestamptz := date_trunc('month', first_at);
    part text;
    made int := 0;
begin
    if first_at < '1950-01-01Z' or last_at > now() + interval '2 years' then
        raise exception 'instants outside 1950 to two years ahead' using errcode = '22008';
    end if;
    set local lock_timeout = '2s';
    while month <= last_at loop
        part := 'reading_' || to_char(month, 'YYYY_MM');
        if to_regclass('weirbook.' || part) is null then
            perform pg_advisory_xact_lock(hashtext('weirbook.reading_partitions'));
            -- Asked of the table itself: to_regclass remembers what it did not find, and waiting
            -- for this lock does not make it look again.
            if not exists (select from pg_catalog.pg_class
                            where relnamespace = 'weirbook'::regnamespace and relname = part) then
                execute format('create table weirbook.%I (like weirbook.reading including all)', part);
                execute format('alter table weirbook.reading attach partition weirbook.%I '
                               'for values from (%L) to (%L)', part, month,
                               month + interval '1 month');
                made := made + 1;
            end if;
        end if;
        month := month + interval '1 month';
    end loop;
    return made;
end $$;

-- -------------------------------------------------------------------------------- what was judged

-- Windows of evidence that changed and have not been judged since. Views say `being worked out`
-- for whatever they touch. series_id 0: all of the farm.
create table to_judge (
    farm_id bigint not null references farm,
    ticket uuid not null default gen_random_uuid(),
    series_id bigint not null,
    station text not null,
    parameter text not null,
    first_day date not null,
    last_day date not null,
    put_at timestamptz not null default now(),
    primary key (farm_id, ticket)
);

-- One a clause and month; may be worked out again at any time from the records.
create table verdict (
    farm_id bigint not null references farm,
    clause item_key not null,
    from_day date not null,
    to_day date not null,
    version int not null,
    from_at timestamptz not null,
    until_at timestamptz not null,
    standing text not null check (standing in ('within', 'outside', 'not assessable', 'nothing due')),
    side text check (side in ('above', 'below')),
    so_far boolean not null,
    near_bound boolean not null,
    figure text,
    compared text,
    bound text not null,
    unit text not null,
    samples int not null,
    beyond int not null,
    less_thans int not null,
    set_aside int not null,
    left_out int not null,
    in_doubt int not null,
    reason text,
    words text not null,
    evidence_sha256 sha256 not null,
    judged_at timestamptz not null,
    primary key (farm_id, clause, from_day, to_day),
    foreign key (farm_id, clause, version) references limit_version,
    check ((standing = 'outside') = (side is not null)),
    check ((standing in ('not assessable', 'nothing due')) <= (reason is not null))
);

create table verdict_day (
    farm_id bigint not null,
    clause item_key not null,
    from_day date not null,
    to_day date not null,
    day date not null,
    readings int not null,
    beyond int not null,
    figure text,
    discharge text not null check (discharge in ('yes', 'none', 'unknown', 'disagrees')),
    note text,
    primary key (farm_id, clause, from_day, to_day, day),
    foreign key (farm_id, clause, from_day, to_day) references verdict on delete cascade
);

-- What became of each thing that was due.
create table lapse (
    farm_id bigint not null references farm,
    clause item_key not null,
    from_day date not null,
    due_day date not null,
    lapses_day date not null,
    version int not null,
    state text not null check (state in ('done', 'due', 'late', 'missed', 'nothing due')),
    required int not null,
    done int not null,
    reason text,
    words text not null,
    judged_at timestamptz not null,
    primary key (farm_id, clause, from_day),
    foreign key (farm_id, clause, version) references interval_version
);

-- Something a person must answer. The number is made from kind, subject, station and first day.
create table finding (
    farm_id bigint not null references farm,
    finding bigint not null check (finding > 0),
    kind text not null check (kind in ('limit', 'interval', 'discharge', 'person')),
    subject text not null,
    station text not null,
    from_day date not null,
    aware_at timestamptz not null,
    words text not null,
    primary key (farm_id, finding)
);

create table finding_step (
    farm_id bigint not null,
    finding bigint not null,
    nth int not null check (nth > 0),
    step text not null check (step in ('open', 'in hand', 'settled', 'worked out again')),
    words text not null,
    person text,
    taken_at timestamptz not null,
    primary key (farm_id, finding, nth),
    foreign key (farm_id, finding) references finding
);

-- A report as it was made: its digest and every figure it shows.
create table report (
    farm_id bigint not null references farm,
    report bigint not null check (report > 0),
    name text not null,
    licence item_key not null,
    from_day date not null,
    to_day date not null,
    standing text not null check (standing in ('draft', 'signed', 'sent', 'amended')),
    file_name text not null,
    sha256 sha256 not null,
    figures text not null,
    program text not null,
    made_at timestamptz not null,
    person item_key not null,
    primary key (farm_id, report),
    foreign key (farm_id, licence) references licence,
    foreign key (farm_id, person) references person
);

-- ------------------------------------------------------------------------------------ the ledger

create table ledger (
    farm_id bigint not null references farm,
    sequence bigint not null check (sequence > 0),
    at timestamptz not null,
    kind text not null,
    person text,
    source text,
    bytes bytea not null,
    hash sha256 not null,
    primary key (farm_id, sequence),
    constraint ledger_nobody check (person is not null or source is not null)
);

-- Locked last in every transaction that writes (nothing slow after it).
create table ledger_head (
    farm_id bigint not null references farm,
    sequence bigint not null,
    hash sha256 not null,
    at timestamptz not null,
    primary key (farm_id)
);

-- Newest reading of each series, kept by the storing transaction.
create table series_latest (
    farm_id bigint not null,
    series_id bigint not null,
    at timestamptz not null,
    qualifier "char" not null,
    reported numeric,
    unit text not null,
    primary key (farm_id, series_id),
    foreign key (farm_id, series_id) references series
);

-- ----------------------------------------------------------------------------- who may do what

do $$
declare
    t text;
    free constant text[] := array['to_judge', 'verdict', 'verdict_day', 'lapse', 'ledger_head',
                                  'series_latest'];
begin
    for t in select c.relname from pg_class c
              where c.relnamespace = 'weirbook'::regnamespace and c.relkind in ('r', 'p')
                and c.relname <> 'migration'
    loop
        if t = 'reading' then
            grant insert on weirbook.reading to weirbook_program;
            continue;
        end if;
        execute format('grant select, insert on weirbook.%I to weirbook_program', t);
        execute format('grant select on weirbook.%I to weirbook_reader', t);
        if t = any (free) then
            execute format('grant update, delete on weirbook.%I to weirbook_program', t);
        end if;
        execute format('alter table weirbook.%I enable row level security', t);
        execute format('create policy %I on weirbook.%I '
                       'using (farm_id = any (weirbook.farms_seen()))', t || '_farm', t);
    end loop;
end $$;

grant select on reading_now to weirbook_program, weirbook_reader;
grant usage on schema weirbook to weirbook_program, weirbook_reader;
revoke all on function reading_partitions(timestamptz, timestamptz) from public;
grant execute on function reading_partitions(timestamptz, timestamptz) to weirbook_program;

-- Finding a farm before its number is known.
create function farm_list() returns table (farm_id bigint, key text)
    language sql stable security definer set search_path = weirbook, pg_temp
    as $$ select farm_id, key::text from farm order by key $$;
revoke all on function farm_list() from public;
grant execute on function farm_list() to weirbook_program, weirbook_reader;
