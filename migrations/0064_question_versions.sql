-- A question is about the page that it was asked on.

-- The version that was on the page; null where a result or the time of asking says it, or where it is about no session.
alter table questions add column version_id integer references session_versions (id) on delete set null;
-- a version that goes asks who refers to it
create index questions_of_version on questions (version_id) where version_id is not null;
