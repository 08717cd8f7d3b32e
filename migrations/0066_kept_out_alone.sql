-- What a coach keeps out stays out also while something is decided about other words: it is a decision of its own.

-- 1: their words changed since, and a decision to keep out settles them no more, also where they come back
alter table decisions add column outlived integer not null default 0 check (outlived in (0, 1));
drop trigger words_changed;
create trigger words_changed after update of note on people when new.note is not old.note begin
  update decisions set ended = 'the words changed' where person_id = new.id and ended is null and act <> 'keep_out';
  update decisions set outlived = 1 where person_id = new.id and ended is null;
end;
-- one of each kind at a time
drop index standing_decisions;
create unique index standing_decisions on decisions (person_id, act = 'keep_out') where ended is null;
