-- Boards: which attempt a result is, the rules of a board, and when a board last changed.

-- 1 for the first. Where a board allows one result only, there is no second: a second log changes the first.
alter table results add column attempt integer not null default 1 check (attempt >= 1);
create index results_of_person_part on results (person_id, session_id, part, created_at);
-- what was logged twice before this rule stays, as attempts in the order it came
update results set attempt = (
  select count(*) from results e where e.person_id = results.person_id and e.session_id = results.session_id
  and e.part = results.part and e.withdrawn_at is null and (e.created_at, e.id) <= (results.created_at, results.id))
where withdrawn_at is null and exists (
  select 1 from results e where e.person_id = results.person_id and e.session_id = results.session_id
  and e.part = results.part and e.withdrawn_at is null and (e.created_at, e.id) < (results.created_at, results.id));
create unique index results_once on results (person_id, session_id, part, attempt) where withdrawn_at is null;

-- The rules of a group's boards, and of one part's where they differ. JSON of training::standings::Policy.
create table group_policies (
  group_id integer primary key references groups (id) on delete cascade,
  body text not null,
  changed_at integer not null,
  changed_by integer references people (id) on delete set null
) strict;
create table part_policies (
  session_id integer not null references sessions (id) on delete cascade,
  part integer not null check (part >= 0),
  body text not null,
  changed_at integer not null,
  changed_by integer references people (id) on delete set null,
  primary key (session_id, part)
) strict;

-- Grows with every change that a board could show. Session 0 stands for all: a name, a member who left.
create table board_changes (
  session_id integer primary key,
  n integer not null
) strict;
insert into board_changes values (0, 0);
create trigger board_result_new after insert on results begin
  insert into board_changes values (new.session_id, 1) on conflict do update set n = n + 1;
end;
create trigger board_result_changed after update on results begin
  insert into board_changes values (new.session_id, 1) on conflict do update set n = n + 1;
end;
create trigger board_result_gone after delete on results begin
  insert into board_changes values (old.session_id, 1) on conflict do update set n = n + 1;
end;
create trigger board_person_changed after update of name, nickname, zone, kit, shown, left_at on people begin
  update board_changes set n = n + 1 where session_id = 0;
end;
create trigger board_member_new after insert on memberships begin
  update board_changes set n = n + 1 where session_id = 0;
end;
create trigger board_member_gone after delete on memberships begin
  update board_changes set n = n + 1 where session_id = 0;
end;

-- The form's own id, so that a double tap asks once and invites once.
alter table questions add column client_id text;
create unique index questions_once on questions (person_id, client_id) where client_id is not null;
alter table links add column client_id text;
create unique index links_once on links (created_by, client_id) where client_id is not null;

-- The coach has spoken with a member who went quiet.
create table spoken_with (
  person_id integer primary key references people (id) on delete cascade,
  spoken_at integer not null,
  spoken_by integer references people (id) on delete set null
) strict;

-- What a review asks for, without going through everything that was ever logged.
create index results_in_doubt on results (created_at) where doubt is not null or score is null;
create index results_by_time on results (created_at);
create index questions_answered on questions (answered_at) where answered_at is not null;

-- What is out on a day, in every group.
create index sessions_of_day on sessions (day, group_id);
