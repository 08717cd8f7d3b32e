-- What a coach keeps out of somebody's sessions stays out until a coach lifts it, whatever the member writes meanwhile; what was
-- decided about exact words to train or to hold ends with them.
drop trigger words_changed;
create trigger words_changed after update of note on people when new.note is not old.note begin
  update decisions set ended = 'the words changed' where person_id = new.id and ended is null and act <> 'keep_out';
end;
