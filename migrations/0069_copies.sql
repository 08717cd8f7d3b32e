-- A session that was copied from another remembers it: an answer that is shared with a line stands at that line in copies too.

-- the first of them, where that was a copy itself; null: written here
alter table sessions add column copied_from integer references sessions (id) on delete set null;
create index sessions_copied on sessions (copied_from) where copied_from is not null;
