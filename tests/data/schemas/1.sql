-- A practice as schema 1 kept it. Never changed: the upgrade test opens it with today's program.
pragma application_id = 1685026668;
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE settings (
  key text primary key not null,
  value text not null
) strict;
INSERT INTO settings VALUES('name','Harbour practice');
CREATE TABLE people (
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
INSERT INTO people VALUES(1,'coach','mara@example.org','Mara',NULL,'$argon2id$v=19$m=19456,t=2,p=1$c2FsdHNhbHRzYWx0$hBrw7dibHRaimT64Zs12inSKPksXLpl/WixWRYWIS40','Europe/Lisbon','kg','beginner',1,'[]',NULL,'[]',NULL,1,NULL,NULL,1763600000000,NULL);
INSERT INTO people VALUES(2,'member','ines','Inês "Tide" O''Dell','Tide','$argon2id$v=19$m=19456,t=2,p=1$c2FsdHNhbHRzYWx0$hBrw7dibHRaimT64Zs12inSKPksXLpl/WixWRYWIS40','Atlantic/Azores','lb','intermediate',2,'[{"item":"dumbbell","kg":[10.0,15.0],"count":2}]',NULL,'["impact"]','left knee; asked about stairs',1,1,1763600500000,1763600400000,NULL);
INSERT INTO people VALUES(3,'member','bo','Bo',NULL,NULL,'UTC','kg','beginner',1,'[]',NULL,'[]',NULL,1,NULL,NULL,1763600400000,1763700000000);
CREATE TABLE sign_ins (
  token_hash blob primary key not null,
  person_id integer not null references people (id) on delete cascade,
  created_at integer not null,
  seen_at integer not null,
  expires_at integer not null,
  -- what kind of browser, for the list of signed-in devices
  agent text not null default ''
) strict;
INSERT INTO sign_ins VALUES(X'00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff',2,1763600500000,1763600500000,4102444800000,'Firefox');
CREATE TABLE groups (
  id integer primary key,
  name text not null collate nocase unique check (length(name) between 1 and 80),
  about text not null default '',
  created_at integer not null
) strict;
INSERT INTO "groups" VALUES(1,'Harbour','mornings',1763600100000);
CREATE TABLE memberships (
  group_id integer not null references groups (id) on delete cascade,
  person_id integer not null references people (id) on delete cascade,
  joined_at integer not null,
  primary key (group_id, person_id)
) strict;
INSERT INTO memberships VALUES(1,2,1763600400000);
INSERT INTO memberships VALUES(1,3,1763600400000);
CREATE TABLE links (
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
INSERT INTO links VALUES(1,'invitation',1,NULL,'Nele',1,1763600200000,1764809800000,NULL,NULL);
INSERT INTO links VALUES(2,'password',NULL,2,'',1,1763600300000,1763773100000,1763600350000,NULL);
CREATE TABLE sessions (
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
INSERT INTO sessions VALUES(1,1,'2026-11-24',1,'A. 5x5 squat, rest 2:00
B. AMRAP 12
10 push-ups',3,1763600600000,'{}',NULL,NULL,1,1763600600000);
CREATE TABLE session_versions (
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
INSERT INTO session_versions VALUES(1,1,1,'A. 5x5 squat, rest 2:00
B. AMRAP 12
10 push-ups','{}','{"title":"","aim":null,"notes":[],"parts":[{"name":"back squat","label":"A","intent":"strength","format":"sets","rounds":5,"time_cap_s":null,"duration_s":null,"interval":null,"rest_s":120,"score":"none","lines":[{"movement":"back squat","reps":5,"seconds":null,"metres":null,"calories":null,"side":null,"load":null,"tempo":null,"at":{"line":1,"column":1,"length":12}}],"at":{"line":1,"column":1,"length":12},"said":[{"line":1,"column":15,"length":9}]},{"name":"AMRAP","label":"B","intent":"conditioning","format":"amrap","rounds":null,"time_cap_s":null,"duration_s":720.0,"interval":null,"rest_s":null,"score":"reps","lines":[{"movement":"push-up","reps":10,"seconds":null,"metres":null,"calories":null,"side":null,"load":null,"tempo":null,"at":{"line":3,"column":1,"length":11}}],"at":{"line":2,"column":1,"length":11},"said":[{"line":2,"column":1,"length":11}]}],"problems":[]}',NULL,NULL,'',1763600700000,1);
CREATE TABLE media (
  id integer primary key,
  -- lower-case hex SHA-256 of the bytes
  hash text not null unique check (length(hash) = 64),
  kind text not null,
  bytes integer not null check (bytes >= 0),
  name text not null,
  created_at integer not null
) strict;
INSERT INTO media VALUES(1,'0000000000000000000000000000000000000000000000000000000000000000','video/mp4',12,'talk.mp4',1763600700000);
CREATE TABLE results (
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
INSERT INTO results VALUES(1,'0190-a',2,1,1,0,'100','{"kind":"load","lifts":[{"weight":100.0,"unit":"lb"}]}',NULL,'full','',45.500000000000000001,22.0,7.5,'slept badly',NULL,NULL,'2026-11-24',1763990000000,1763990000000,1,0,NULL);
INSERT INTO results VALUES(2,'0190-b',2,1,1,0,'90',NULL,NULL,'full','',NULL,NULL,NULL,'','left knee',NULL,'2026-11-23',1763900000000,1763900000000,0,0,NULL);
CREATE TABLE result_edits (
  id integer primary key,
  result_id integer not null references results (id) on delete cascade,
  edited_at integer not null,
  edited_by integer references people (id) on delete set null,
  -- shown to the member where the coach changed it
  reason text not null default '',
  -- JSON: the row as it was before
  before text not null
) strict;
INSERT INTO result_edits VALUES(1,1,1763990500000,1,'typed twice','{"client_id":"0190-a","session_id":1,"version_id":1,"part":0,"score_text":"1000","score":{"kind":"load","lifts":[{"weight":1000.0,"unit":"lb"}]},"doubt":null,"version_done":"full","load_text":"","load_kg":453.6,"minutes":22.0,"rpe":7.5,"note":"slept badly","hurt":null,"given":null,"done_on":"2026-11-24","edit":0,"hidden":false}');
CREATE TABLE nods (
  result_id integer not null references results (id) on delete cascade,
  person_id integer not null references people (id) on delete cascade,
  created_at integer not null,
  primary key (result_id, person_id)
) strict;
INSERT INTO nods VALUES(1,1,1763991000000);
CREATE TABLE seen_results (
  result_id integer primary key references results (id) on delete cascade,
  seen_at integer not null,
  seen_by integer references people (id) on delete set null
) strict;
INSERT INTO seen_results VALUES(1,1763992000000,1);
CREATE TABLE questions (
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
INSERT INTO questions VALUES(1,2,1,0,NULL,'pain',2,'left knee',1763900000000,NULL,NULL,NULL,0);
INSERT INTO questions VALUES(2,2,1,0,0,'question',NULL,'How deep?',1763900000000,'To a chair.',1763910000000,1,1);
CREATE TABLE maxes (
  id integer primary key,
  person_id integer not null references people (id) on delete cascade,
  -- canonical name in the library
  movement text not null,
  kg real not null check (kg > 0),
  source text not null check (source in ('tested', 'estimated', 'stated')),
  day text not null check (day glob '????-??-??'),
  created_at integer not null
) strict;
INSERT INTO maxes VALUES(1,2,'back squat',80.0,'tested','2026-10-01',1763600500000);
CREATE TABLE movements (
  name text primary key not null,
  -- JSON training::movement::Movement
  body text not null,
  changed_at integer not null,
  changed_by integer references people (id) on delete set null
) strict;
INSERT INTO movements VALUES('dock carry','{"name":"dock carry","aliases":["quay carry"],"pattern":"carry","equipment":[["dumbbell"],["backpack"]],"demands":["grip","space"],"skill":1,"sided":"bilateral","loadable":true,"unit":"metres","seconds_per_rep":null,"easier":[],"harder":[],"stand_in":"WEIGHT-ANY","stand_in_words":"any handled weight","cues":["tall and quiet","short steps"],"faults":["leaning"],"caution":null}',1763600000000,1);
CREATE TABLE _sqlx_migrations (version BIGINT PRIMARY KEY, description TEXT NOT NULL, installed_on TIMESTAMP NOT NULL DEFAULT CURRENT_TIMESTAMP, success BOOLEAN NOT NULL, checksum BLOB NOT NULL, execution_time BIGINT NOT NULL);
INSERT INTO _sqlx_migrations VALUES(1,'practice','2026-11-20 09:00:00',1,X'56d422be15bfbe8a47ec1c370d804ec70432a09fc07f17a2181de8eb550063abc57910a2b477546cdc4995485c39490c',1000000);
CREATE INDEX sign_ins_of_person on sign_ins (person_id);
CREATE INDEX memberships_of_person on memberships (person_id);
CREATE INDEX links_of_group on links (group_id);
CREATE INDEX links_of_person on links (person_id);
CREATE INDEX sessions_live on sessions (live_version_id);
CREATE INDEX sessions_media on sessions (media_id);
CREATE INDEX session_versions_media on session_versions (media_id);
CREATE INDEX results_of_part on results (session_id, part);
CREATE INDEX results_of_person on results (person_id, done_on);
CREATE INDEX results_of_version on results (version_id);
CREATE INDEX results_that_hurt on results (created_at) where hurt is not null;
CREATE INDEX result_edits_of_result on result_edits (result_id);
CREATE INDEX nods_of_person on nods (person_id);
CREATE INDEX questions_of_person on questions (person_id);
CREATE INDEX questions_of_session on questions (session_id);
CREATE INDEX questions_open on questions (asked_at) where answered_at is null;
CREATE INDEX questions_of_result on questions (result_id);
CREATE INDEX maxes_of_person on maxes (person_id, movement, day);
COMMIT;
