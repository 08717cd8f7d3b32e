-- Other ids under which devices sent a result: a part that is logged from a second page is still one result.
create table result_sends (
  person_id integer not null references people (id) on delete cascade,
  client_id text not null,
  result_id integer not null references results (id) on delete cascade,
  -- the highest edit that came under this id
  edit integer not null,
  primary key (person_id, client_id)
) strict;
create index result_sends_of_result on result_sends (result_id);
