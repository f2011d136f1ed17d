"""What run.sh compares judging with: the same clauses as one SQL statement each, for one psql.

    judge_sql.py KEY CLAUSES_A_SERIES MONTH [agree] | psql ...

Each statement reads its own series, works out the figure and puts a verdict into a temporary table.
With `agree` the last one says how many standings and figures are Weirbook's own.
"""
import sys

import many

BEGIN = """\\set QUIET 1
\\set ON_ERROR_STOP 1
\\t on
select farm_id from weirbook.farm_list() where key = '{key}' \\gset
\\o /dev/null
select set_config('weirbook.farms', '{{' || :farm_id || '}}', false);
\\o
set timezone = 'UTC';
create temp table verdict_sql (clause text primary key, standing text not null, figure float8);
begin;
"""

# {before}: how far before the month a clause looks; {after}: a little after it
READINGS = """r as (select at, reported::float8 as v
       from weirbook.reading_stored
      where farm_id = :farm_id
        and series_id = (select series_id from weirbook.series
                          where farm_id = :farm_id and station = '{station}'
                            and parameter = '{parameter}')
        and at >= '{first}'::timestamptz - interval '{before}'
        and at < '{first}'::timestamptz + interval '1 month' + interval '{after}')"""

CLAUSE = """with {readings},
{figures}
insert into verdict_sql
select 'c{number}',
       case when bool_or(round(v::numeric, {decimals}) > {bound}) then 'outside' else 'within' end,
       max(v)
  from f;
"""

AGREE = """select 'one statement a clause and weirbook on ' || count(*) || ' clauses: '
    || count(*) filter (where w.standing = s.standing) || ' standings agree, '
    || count(*) filter (where abs(w.figure::float8 - s.figure) <= 1e-9 * abs(s.figure))
    || ' figures agree'
  from verdict_sql s
  left join weirbook.verdict w on w.farm_id = :farm_id and w.clause = s.clause
                              and w.from_day = '{first}'::date;
"""

# Of the values `s` of the month: every reading, or what is made of each day.
OF_VALUES = {
    "maximum": "f as (select max(v) as v from s)",
    "minimum": "f as (select min(v) as v from s)",
    "mean": "f as (select avg(v) as v from s)",
    "median": "f as (select percentile_cont(0.5) within group (order by v) as v from s)",
    "geometric mean": "f as (select exp(avg(ln(v))) as v from s)",
    "log-normal percentile":
        "f as (select exp(avg(ln(v)) + 1.282 * stddev_samp(ln(v))) as v from s)",
    "percentile":
        "a as (select array_agg(v order by v) as x, "
        "count(*) * {percent} / 100.0 + 0.5 as k from s),\n"
        "f as (select x[floor(k)::int] + (k - floor(k)) * (x[ceil(k)::int] - x[floor(k)::int]) "
        "as v from a)",
    "count beyond": "f as (select count(*) filter (where v > {beyond})::float8 as v from s)",
    "share beyond":
        "f as (select 100.0 * count(*) filter (where v > {beyond}) / count(*) as v from s)",
    "value": "f as (select v from s)",
}

# Those that need the time of each reading.
OF_TIMES = {
    "greatest change": """f as (select max(v) over w - min(v) over w as v from r
      window w as (order by at range between interval '1 hour' preceding and current row))""",
    "time outside": """t as (select at, v, least(lead(at) over (order by at) - at,
                            interval '20 minutes') as stands from r),
f as (select coalesce(sum(extract(epoch from stands)), 0)::float8 / 3600 as v from t
       where v > {beyond} and at >= '{first}'::timestamptz
         and at < '{first}'::timestamptz + interval '1 month')""",
    "longest time outside": """t as (select at, v, least(lead(at) over (order by at) - at,
                            interval '20 minutes') as stands from r),
o as (select at, at + stands as until, lag(at + stands) over (order by at) as before from t
       where v > {beyond} and at >= '{first}'::timestamptz
         and at < '{first}'::timestamptz + interval '1 month'),
g as (select at, until, count(*) filter (where before is distinct from at) over (order by at) as run
        from o),
f as (select coalesce(max(v), 0) as v
        from (select extract(epoch from max(until) - min(at))::float8 / 60 as v from g
               group by run) l)""",
}

# Of the daily figures `d`, each with its day; the month's ends are days {first} and on.
IN_MONTH = "day >= '{first}'::date and day < '{first}'::date + interval '1 month'"
OF_WINDOWS = {
    "week": "f as (select max(v) as v from r group by date_trunc('week', at))",
    "running days": """w as (select day, avg(v) over (order by day range between
                             interval '6 days' preceding and current row) as v from d),
f as (select v from w where """ + IN_MONTH + ")",
    "last samples": """f as (select (select {of_ten} from (select v from d x where x.day <= d.day
                                             order by x.day desc limit 10) ten) as v
        from d where """ + IN_MONTH + ")",
}
OF_TEN = {"median": "percentile_cont(0.5) within group (order by v)", "mean": "avg(v)"}
BEFORE = {"last samples": "10 days", "running days": "6 days"}
OF_DAY = {"highest": "max", "lowest": "min", "mean": "avg"}


def figures(clause):
    day = ""
    if clause.daily in OF_DAY:
        day = f"d as (select at::date as day, {OF_DAY[clause.daily]}(v) as v from r group by 1),\n"
    if clause.statistic in OF_TIMES:
        return OF_TIMES[clause.statistic]
    if clause.period in OF_WINDOWS:
        return day + OF_WINDOWS[clause.period]
    return f"{day}s as (select v from {'d' if day else 'r'}),\n" + OF_VALUES[clause.statistic]


def statement(clause, first):
    by_time = clause.statistic.endswith("time outside")
    readings = READINGS.format(station=clause.station, parameter=clause.parameter, first=first,
                               before=BEFORE.get(clause.period, "0 days"),
                               after="20 minutes" if by_time else "0 days")
    made = figures(clause).format(first=first, percent=clause.percent, beyond=clause.beyond,
                                  of_ten=OF_TEN.get(clause.statistic, ""))
    return CLAUSE.format(readings=readings, figures=made, number=clause.number,
                         decimals=clause.decimals, bound=clause.bound)


def main(key, each, month, *more):
    first = month + "-01 00:00:00+00"
    print(BEGIN.format(key=key))
    for clause in many.clauses(int(each)):
        print(statement(clause, first))
    print("commit;")
    if more:
        print(AGREE.format(first=first))


main(*sys.argv[1:])
