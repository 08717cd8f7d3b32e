-- Grows with every change that somebody's own pages could show, so that a page that is kept in memory is known to be true or
-- not. The program reads it as it is written (src/store/changes.rs) and never asks for it.
create table own_changes (
  -- whose, times eight, and what: 0 signed-in browsers, 1 maxes and what was said at lines, 2 results, 3 groups
  place integer primary key,
  n integer not null
) strict;
create trigger own_sign_ins_new after insert on sign_ins begin
  insert into own_changes values (new.person_id * 8 + 0, 1) on conflict do update set n = n + 1;
end;
create trigger own_sign_ins_changed after update on sign_ins begin
  insert into own_changes values (new.person_id * 8 + 0, 1) on conflict do update set n = n + 1;
end;
create trigger own_sign_ins_gone after delete on sign_ins begin
  insert into own_changes values (old.person_id * 8 + 0, 1) on conflict do update set n = n + 1;
end;
create trigger own_maxes_new after insert on maxes begin
  insert into own_changes values (new.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
create trigger own_maxes_changed after update on maxes begin
  insert into own_changes values (new.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
create trigger own_maxes_gone after delete on maxes begin
  insert into own_changes values (old.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
create trigger own_wishes_new after insert on wishes begin
  insert into own_changes values (new.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
create trigger own_wishes_changed after update on wishes begin
  insert into own_changes values (new.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
create trigger own_wishes_gone after delete on wishes begin
  insert into own_changes values (old.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
create trigger own_results_new after insert on results begin
  insert into own_changes values (new.person_id * 8 + 2, 1) on conflict do update set n = n + 1;
end;
create trigger own_results_changed after update on results begin
  insert into own_changes values (new.person_id * 8 + 2, 1) on conflict do update set n = n + 1;
end;
create trigger own_results_gone after delete on results begin
  insert into own_changes values (old.person_id * 8 + 2, 1) on conflict do update set n = n + 1;
end;
create trigger own_memberships_new after insert on memberships begin
  insert into own_changes values (new.person_id * 8 + 3, 1) on conflict do update set n = n + 1;
end;
create trigger own_memberships_changed after update on memberships begin
  insert into own_changes values (new.person_id * 8 + 3, 1) on conflict do update set n = n + 1;
end;
create trigger own_memberships_gone after delete on memberships begin
  insert into own_changes values (old.person_id * 8 + 3, 1) on conflict do update set n = n + 1;
end;
-- an earlier state can come late, and alone
create trigger own_result_edits_new after insert on result_edits begin
  insert into own_changes select person_id * 8 + 2, 1 from results where id = new.result_id on conflict do update set n = n + 1;
end;

-- Always empty: a row is written and taken out again to see whether a write is kept, where no page looks.
create table tried_writes (
  n integer primary key
) strict;
