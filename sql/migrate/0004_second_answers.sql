-- Who beside the person that answered a row set aside saw it: what brings a figure from outside to
-- inside wants two.

alter table set_aside_answer add column second_person item_key;
alter table set_aside_answer add foreign key (farm_id, second_person) references person;
alter table set_aside_answer add check (second_person is null or second_person <> person);
