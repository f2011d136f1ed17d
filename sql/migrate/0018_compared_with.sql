-- By which version of the farm file a limit was compared: what its figures are worked out with may
-- change after that, and is compared again then.
alter table limit_confirmed add column farm_file int;
update limit_confirmed c
   set farm_file = greatest(c.version, coalesce((select max(f.version) from farm_file f
                                                  where f.farm_id = c.farm_id
                                                    and f.loaded_at <= c.confirmed_at), c.version));
alter table limit_confirmed alter column farm_file set not null;
alter table limit_confirmed drop constraint limit_confirmed_pkey;
alter table limit_confirmed add primary key (farm_id, clause, version, person, farm_file);
alter table limit_confirmed add foreign key (farm_id, farm_file) references farm_file;
