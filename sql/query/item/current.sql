-- Every item of the farm file as it was last written, for telling what a new file changes.
-- $1 farm bigint
-- returns rows: kind text, key text, version integer, definition text
select kind, key, version, definition
  from (select distinct on (kind, key) kind, key, version, definition, gone
          from (select 'person' as kind, person::text as key, version, definition, gone
                  from person_version where farm_id = $1::bigint
                union all
                select 'authority', authority, version, definition, gone
                  from authority_version where farm_id = $1::bigint
                union all
                select 'licence', licence, version, definition, gone
                  from licence_version where farm_id = $1::bigint
                union all
                select 'station', station, version, definition, gone
                  from station_version where farm_id = $1::bigint
                union all
                select 'path', from_station || ' to ' || to_station || ' since ' || since,
                       version, definition, gone
                  from flow_path where farm_id = $1::bigint
                union all
                select 'parameter', parameter, version, definition, gone
                  from parameter_version where farm_id = $1::bigint
                union all
                select 'meter', station || ' ' || parameter, version, definition, gone
                  from counter_version where farm_id = $1::bigint
                union all
                select 'source', source, version, definition, gone
                  from source_version where farm_id = $1::bigint
                union all
                select 'limit', clause, version, definition, gone
                  from limit_version where farm_id = $1::bigint
                union all
                select 'interval', clause, version, definition, gone
                  from interval_version where farm_id = $1::bigint) item
         order by kind, key, version desc) newest
 where not gone
 order by kind, key;
