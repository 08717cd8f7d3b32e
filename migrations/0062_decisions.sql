-- What a coach decided about the private words of a member that hold a session back.
create table decisions (
  id integer primary key,
  person_id integer not null references people (id) on delete cascade,
  -- the exact words, as the member wrote them; it counts while they still stand in people.note
  words text not null check (length(words) between 1 and 2000),
  -- train: nothing is held for these words. keep_out: the parts of the body in kept_out stay out. hold: it stays as it is
  act text not null check (act in ('train', 'keep_out', 'hold')),
  -- JSON training::member::KeptOut
  kept_out text not null default '{}',
  -- to the member
  said text not null default '' check (length(said) <= 500),
  decided_at integer not null,
  decided_by integer references people (id) on delete set null,
  -- why it no longer counts; null while it does
  ended text check (ended in ('taken back', 'decided anew', 'the words changed'))
) strict;
create index decisions_of_person on decisions (person_id);
-- one at a time
create unique index standing_decisions on decisions (person_id) where ended is null;
-- nothing that writes the words can forget it, and writing them back does not bring it back
create trigger words_changed after update of note on people when new.note is not old.note begin
  update decisions set ended = 'the words changed' where person_id = new.id and ended is null;
end;

-- When a coach put an answered question away; another answer brings it back.
alter table questions add column put_away_at integer;
