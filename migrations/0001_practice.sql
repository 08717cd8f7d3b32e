-- One practice: people, groups, weeks of sessions, results.
-- Times (`*_at`) are UTC milliseconds. Days (`day`, `monday`, `done_on`) are local calendar days, `YYYY-MM-DD`.
-- Columns that hold JSON say so; their shape is a serde type of `training`.

create table settings (
  key text primary key not null,
  value text not null
) strict;

create table people (
  id integer primary key,
  role text not null check (role in ('coach', 'member')),
  -- what they type to sign in: an e-mail or any short name
  sign_in text not null collate nocase unique check (length(sign_in) between 1 and 200),
  name text not null check (length(name) between 1 and 100),
  -- shown instead of the name on leaderboards
  nickname text check (length(nickname) between 1 and 60),
  -- null until the one-time link was used
  password_hash text,
  -- IANA name
  zone text not null,
  units text not null default 'kg' check (units in ('kg', 'lb')),
  level text not null default 'beginner' check (level in ('beginner', 'intermediate', 'advanced')),
  -- which of two load columns is theirs: 1 is the heavier
  load_column integer not null default 1 check (load_column in (1, 2)),
  -- JSON list of training::member::KitItem
  kit text not null default '[]',
  -- when they last said that the kit is still true; null: never asked
  kit_checked_at integer,
  -- JSON list of demands to keep out for now
  avoid text not null default '[]',
  -- words to the coach about health or limits; private
  note text,
  -- results appear on leaderboards
  shown integer not null default 1 check (shown in (0, 1)),
  -- the version of the cautions they read and accepted, and when
  cautions_version integer,
  cautions_at integer,
  created_at integer not null,
  -- set when they left; their pages close, their results stay theirs
  left_at integer
) strict;

-- Signed-in browsers. Only a hash of the cookie is kept.
create table sign_ins (
  token_hash blob primary key not null,
  person_id integer not null references people (id) on delete cascade,
  created_at integer not null,
  seen_at integer not null,
  expires_at integer not null,
  -- what kind of browser, for the list of signed-in devices
  agent text not null default ''
) strict;
create index sign_ins_of_person on sign_ins (person_id);

create table groups (
  id integer primary key,
  name text not null collate nocase unique check (length(name) between 1 and 80),
  about text not null default '',
  created_at integer not null
) strict;

create table memberships (
  group_id integer not null references groups (id) on delete cascade,
  person_id integer not null references people (id) on delete cascade,
  joined_at integer not null,
  primary key (group_id, person_id)
) strict;
create index memberships_of_person on memberships (person_id);

-- One-time links. The secret part of a link is made from its id and the practice's secret, and is never stored.
create table links (
  id integer primary key,
  purpose text not null check (purpose in ('invitation', 'password')),
  -- invitation: the group to join; password: null
  group_id integer references groups (id) on delete cascade,
  -- password: whose; invitation: null until used
  person_id integer references people (id) on delete cascade,
  -- for whom, in the coach's words
  label text not null default '',
  created_by integer references people (id) on delete set null,
  created_at integer not null,
  expires_at integer not null,
  used_at integer,
  withdrawn_at integer
) strict;
create index links_of_group on links (group_id);
create index links_of_person on links (person_id);

-- A place in a group's week. What stands there is in its draft and its versions.
create table sessions (
  id integer primary key,
  group_id integer not null references groups (id) on delete cascade,
  day text not null check (day glob '????-??-??'),
  -- first, second ... session of that day
  slot integer not null default 1 check (slot between 1 and 6),
  -- the write-up as typed; never rewritten
  draft text not null default '',
  -- grows by one with each saved draft: a stale tab is told, never wins silently
  draft_edit integer not null default 0,
  draft_at integer not null,
  -- JSON object: part number (from 0) to intent, where the coach overruled what was read
  draft_intents text not null default '{}',
  -- an https address, or null
  video_url text,
  -- an uploaded file, or null
  media_id integer references media (id) on delete set null,
  -- the version that members see; null: not published
  live_version_id integer references session_versions (id) on delete set null,
  created_at integer not null,
  unique (group_id, day, slot)
) strict;
create index sessions_live on sessions (live_version_id);
create index sessions_media on sessions (media_id);

-- What was published. A version never changes; results point at the version they were done on.
create table session_versions (
  id integer primary key,
  session_id integer not null references sessions (id) on delete cascade,
  number integer not null check (number >= 1),
  text text not null,
  -- JSON, as sessions.draft_intents was
  intents text not null default '{}',
  -- JSON training::session::Session as read (and intents as set) when published
  reading text not null,
  video_url text,
  media_id integer references media (id) on delete set null,
  -- what changed, shown to members
  change_note text not null default '',
  published_at integer not null,
  published_by integer references people (id) on delete set null,
  unique (session_id, number)
) strict;
create index session_versions_media on session_versions (media_id);

-- Uploaded files, stored under their hash in the media folder.
create table media (
  id integer primary key,
  -- lower-case hex SHA-256 of the bytes
  hash text not null unique check (length(hash) = 64),
  kind text not null,
  bytes integer not null check (bytes >= 0),
  name text not null,
  created_at integer not null
) strict;

create table results (
  id integer primary key,
  -- made by the device, so that a double tap or a replay is one result
  client_id text not null,
  person_id integer not null references people (id) on delete cascade,
  session_id integer not null references sessions (id) on delete cascade,
  version_id integer not null references session_versions (id) on delete cascade,
  -- part of that version, from 0
  part integer not null check (part >= 0),
  -- as typed
  score_text text not null,
  -- JSON training::score::Score, or null where it is held until answered
  score text,
  -- why it is held or doubted, in words for its owner
  doubt text,
  -- 'full', 'lighter', 'adapted', or the name of the coach's option
  version_done text not null default 'full',
  -- as typed
  load_text text not null default '',
  load_kg real check (load_kg >= 0),
  minutes real check (minutes >= 0),
  rpe real check (rpe between 0 and 10),
  note text not null default '',
  -- where it hurt, in the member's words; null: nothing hurt
  hurt text,
  -- JSON: what was given in place of what was written, when it was done
  given text,
  -- the member's own day
  done_on text not null check (done_on glob '????-??-??'),
  created_at integer not null,
  updated_at integer not null,
  -- the device's edit counter: the last edit wins
  edit integer not null default 0,
  hidden integer not null default 0 check (hidden in (0, 1)),
  withdrawn_at integer,
  unique (person_id, client_id)
) strict;
create index results_of_part on results (session_id, part);
create index results_of_person on results (person_id, done_on);
create index results_of_version on results (version_id);
create index results_that_hurt on results (created_at) where hurt is not null;

-- Every earlier state of a result.
create table result_edits (
  id integer primary key,
  result_id integer not null references results (id) on delete cascade,
  edited_at integer not null,
  edited_by integer references people (id) on delete set null,
  -- shown to the member where the coach changed it
  reason text not null default '',
  -- JSON: the row as it was before
  before text not null
) strict;
create index result_edits_of_result on result_edits (result_id);

-- One tap on somebody's result: seen, well done.
create table nods (
  result_id integer not null references results (id) on delete cascade,
  person_id integer not null references people (id) on delete cascade,
  created_at integer not null,
  primary key (result_id, person_id)
) strict;
create index nods_of_person on nods (person_id);

-- Results that a coach has looked at in the review; one that changed since comes back.
create table seen_results (
  result_id integer primary key references results (id) on delete cascade,
  seen_at integer not null,
  seen_by integer references people (id) on delete set null
) strict;

create table questions (
  id integer primary key,
  person_id integer not null references people (id) on delete cascade,
  session_id integer references sessions (id) on delete cascade,
  -- part, and line of that part, from 0; of the version that was out when it was asked
  part integer,
  line integer,
  -- 'pain' is opened by a result that hurt
  kind text not null default 'question' check (kind in ('question', 'pain')),
  result_id integer references results (id) on delete set null,
  text text not null check (length(text) between 1 and 4000),
  asked_at integer not null,
  answer text,
  answered_at integer,
  answered_by integer references people (id) on delete set null,
  -- the coach lets others with the same line read it
  shared integer not null default 0 check (shared in (0, 1))
) strict;
create index questions_of_person on questions (person_id);
create index questions_of_session on questions (session_id);
create index questions_open on questions (asked_at) where answered_at is null;
create index questions_of_result on questions (result_id);

-- Known maxes: the newest for a lift counts.
create table maxes (
  id integer primary key,
  person_id integer not null references people (id) on delete cascade,
  -- canonical name in the library
  movement text not null,
  kg real not null check (kg > 0),
  source text not null check (source in ('tested', 'estimated', 'stated')),
  day text not null check (day glob '????-??-??'),
  created_at integer not null
) strict;
create index maxes_of_person on maxes (person_id, movement, day);

-- The practice's own movements; one of the same name replaces the shipped one.
create table movements (
  name text primary key not null,
  -- JSON training::movement::Movement
  body text not null,
  changed_at integer not null,
  changed_by integer references people (id) on delete set null
) strict;
