-- Who did what, for the coach to read. Never what a note, a result or a message says.
create table trail (
  id integer primary key,
  at integer not null,
  -- null: nobody signed in, or an account that is gone
  person_id integer references people (id) on delete set null,
  -- their name as it was then
  who text not null default '',
  -- what, in the words that are shown
  act text not null check (length(act) between 1 and 100),
  -- about what: the kind and its row; the row may be gone
  about_kind text check (about_kind in ('person', 'group', 'session', 'result')),
  about_id integer,
  -- a day, a week's Monday; nothing that anybody typed
  detail text not null default '' check (length(detail) <= 40)
) strict;
create index trail_by_time on trail (at);
create index trail_of_person on trail (person_id);

-- A coach who sees and answers, and changes nothing else.
alter table people add column assistant integer not null default 0 check (assistant in (0, 1));
