-- A part keeps its results when an edit moves it.

-- Under which part of the newest version a result stands. `part` stays the part of the version it was done on.
-- A part that the newest version has no more has a number from 1000000.
alter table results add column stands integer not null default 0;
-- nothing that a board or a page shows is changed by it
drop trigger board_result_changed;
drop trigger own_results_changed;
update results set stands = part;
create trigger board_result_changed after update on results begin
  insert into board_changes values (new.session_id, 1) on conflict do update set n = n + 1;
end;
create trigger own_results_changed after update on results begin
  insert into own_changes values (new.person_id * 8 + 2, 1) on conflict do update set n = n + 1;
end;
drop index results_of_part;
create index results_of_part on results (session_id, stands);
drop index results_of_person_part;
create index results_of_person_part on results (person_id, session_id, stands, created_at);
drop index results_once;
create unique index results_once on results (person_id, session_id, stands, attempt) where withdrawn_at is null;

-- JSON array: for each part of this version, under which part of the newest one it stands. Empty: each in its own place.
alter table session_versions add column stands text not null default '[]';
