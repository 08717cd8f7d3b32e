-- Doors to the outside: tokens for programs, and what was done before Dowel.

-- A personal token. Only a hash of it is kept.
create table tokens (
  id integer primary key,
  person_id integer not null references people (id) on delete cascade,
  -- SHA-256 of the whole token
  token_hash blob not null unique,
  -- what it is for, in its owner's words
  name text not null check (length(name) between 1 and 60),
  -- JSON list of scopes: read, log, coach
  scopes text not null,
  created_at integer not null,
  expires_at integer not null,
  used_at integer
) strict;
create index tokens_of_person on tokens (person_id);

-- Results from before Dowel. They have no session, version or kit that is known, so they stand in a member's history alone:
-- on no board, in no load, among no bests. The same words on the same day are the same result.
create table past_results (
  id integer primary key,
  person_id integer not null references people (id) on delete cascade,
  day text not null check (day glob '????-??-??'),
  -- name of the session or part, as it was called there
  title text not null check (length(title) between 1 and 200),
  -- training::session::ScoreKind
  kind text not null,
  -- as typed
  score_text text not null check (length(score_text) between 1 and 200),
  -- JSON training::score::Score
  score text not null,
  note text not null default '',
  imported_at integer not null,
  imported_by integer references people (id) on delete set null,
  unique (person_id, day, title, score_text)
) strict;
