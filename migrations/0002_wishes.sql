-- What a member said at a line: too heavy, too loud, hurts. One a line; the last one said counts.
create table wishes (
  person_id integer not null references people (id) on delete cascade,
  session_id integer not null references sessions (id) on delete cascade,
  -- part, and line of that part, from 0
  part integer not null check (part >= 0),
  line integer not null check (line >= 0),
  -- the written movement it was said of; where another is written since, it is about nothing
  movement text not null,
  wish text not null check (wish in ('too_heavy', 'too_loud', 'no_room', 'no_kit', 'hurts', 'hurts_other')),
  said_at integer not null,
  primary key (person_id, session_id, part, line)
) strict;
create index wishes_of_session on wishes (session_id);
