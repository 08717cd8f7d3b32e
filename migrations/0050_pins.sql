-- A line that the coach chose for some members, in one session or always. The rules in which coaches differ stand in settings.
create table pins (
  id integer primary key,
  -- null: in every session
  session_id integer references sessions (id) on delete cascade,
  -- for one member, or for those whose kit lacks something, or for those who keep something out
  person_id integer references people (id) on delete cascade,
  lacks text,
  avoids text,
  -- the written movement, canonical name
  movement text not null check (length(movement) between 1 and 100),
  -- in parts of this purpose
  intent text not null check (intent in ('prep', 'technique', 'strength', 'conditioning', 'mobility')),
  -- JSON training::session::Line
  becomes text not null,
  created_at integer not null,
  check ((person_id is not null) + (lacks is not null) + (avoids is not null) = 1)
) strict;
create index pins_of_person on pins (person_id);
create index pins_of_session on pins (session_id);
