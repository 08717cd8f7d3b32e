-- A practice as schema 66 kept it. Never changed: the upgrade test opens it with today's program.
pragma application_id = 1685026668;
pragma user_version = 66;
PRAGMA foreign_keys=OFF;
BEGIN TRANSACTION;
CREATE TABLE _sqlx_migrations (version BIGINT PRIMARY KEY, description TEXT NOT NULL, installed_on TIMESTAMP NOT NULL DEFAULT CURRENT_TIMESTAMP, success BOOLEAN NOT NULL, checksum BLOB NOT NULL, execution_time BIGINT NOT NULL);
INSERT INTO "_sqlx_migrations" VALUES(1,'practice','2026-11-20 09:00:00',1,X'56D422BE15BFBE8A47EC1C370D804EC70432A09FC07F17A2181DE8EB550063ABC57910A2B477546CDC4995485C39490C',1000000);
INSERT INTO "_sqlx_migrations" VALUES(2,'wishes','2026-11-24 09:00:00',1,X'27E572C6A81BF2C04CACC5CCDAB2DBEC3E4304CABA0706E42418EC11AB4C9F82F4DE43E5EC5323E66BDC5157F0A5C7AF',1000000);
INSERT INTO "_sqlx_migrations" VALUES(10,'boards','2026-11-26 01:28:09',1,X'407F5E12CA2D5B5537332730460382D5D42EE366BA50FB2249710461B5964E18E49215BD68C2F833A61CBBAFF14D956E',20806044);
INSERT INTO "_sqlx_migrations" VALUES(20,'doors','2026-11-26 01:28:09',1,X'E13065BA71CC8A1C8D92EC1C5A6CF1CFF38794D1ECEC74CC90B23ADA61E8C13E7818069E24EE8DDC69CCBBCB0F28229F',1629732);
INSERT INTO "_sqlx_migrations" VALUES(30,'result sends','2026-11-26 01:28:09',1,X'FF697EEB552BE658783029BBFB95063E3D915532A3734711E231333DCBC15164316706341A9FA35070F3A3EFE6202254',1168862);
INSERT INTO "_sqlx_migrations" VALUES(35,'talks','2026-11-26 01:28:09',1,X'F3D0EFB20193C60D11FA4CC7BA44CF23AE865A721493FBBB8699CE5962C4B8645D7482F7AC992C51CED73E1114A2063F',1946254);
INSERT INTO "_sqlx_migrations" VALUES(40,'trail','2026-11-26 01:28:09',1,X'18E099956EFE18A2722DB564ED24AB354CB965A64E04D2AB9CBC9D58D6D85580339FAAB55D068926B7088B6CA9F0230C',9273383);
INSERT INTO "_sqlx_migrations" VALUES(50,'pins','2026-11-26 01:28:09',1,X'42C45055C62416C9EA33BAB2FAF80606849BC41549124388D2297306F025D5F1AD63B9EA56CFD65269B02F01CE577F90',2351300);
INSERT INTO "_sqlx_migrations" VALUES(60,'own changes','2026-11-26 12:00:00',1,X'61D5435B67C0A86173FD77E5268069E6E7F12F9EF05AC65E45C8DE3E2A381BD1D76CA8ECE1921B8C4B97D17ED85F92C5',1000000);
INSERT INTO "_sqlx_migrations" VALUES(61,'passkeys','2026-11-26 12:00:00',1,X'76E1D77A54CBF97A0202F0BBA641C767B2101D4FFE9F257B96D047C24280EF33026E022A3FD0C7926242C66E221864FC',1000000);
INSERT INTO "_sqlx_migrations" VALUES(62,'decisions','2026-11-26 23:59:46',1,X'07B57D5EE2EB5B6D7DE511FA341BD947758C37E994B1A7E231C19D29C921811E8B446ABCB16AD7853DB2FDEC18D47BC2',2746088);
INSERT INTO "_sqlx_migrations" VALUES(63,'part places','2026-11-27 02:00:00',1,X'E6034598A8D119D93ECFA058A0EDDE50BCD2EB99C76FA82D5C224AF700EF3C0C1BE3A3ED9A3164E51D6314F86440D335',1000000);
INSERT INTO "_sqlx_migrations" VALUES(64,'question versions','2026-11-27 09:00:00',1,X'5263FFE510A2B45F0A9A0AB673DA01FEC0B6C3F5B8F0E41BFF497ADBB1C56D6AF8281AC2BE0C8DF06E09CE9A0B4CB6E9',1000000);
INSERT INTO "_sqlx_migrations" VALUES(65,'kept out stays','2026-11-27 09:00:00',1,X'3E51B7DDA429C1FD83EDA41C2B2877C0B65536D3596B9000BAF450FC1BC10DCE1A1A3BCDF41607544271A71E81779A50',1000000);
INSERT INTO "_sqlx_migrations" VALUES(66,'kept out alone','2026-11-28 01:00:00',1,X'D99A9E5DF768AC8FB0F84528AEA8F987EED77CB35E44A3EA88631AEF070F51D24C20A807953D17993F3996F3023CDD4C',1000000);
CREATE TABLE board_changes (
  session_id integer primary key,
  n integer not null
) strict;
INSERT INTO "board_changes" VALUES(0,0);
INSERT INTO "board_changes" VALUES(1,1);
CREATE TABLE decisions (
  id integer primary key,
  person_id integer not null references people (id) on delete cascade,
  -- the exact words, as the member wrote them; it counts while they still stand in people.note
  words text not null check (length(words) between 1 and 2000),
  -- train: nothing is held for these words. keep_out: the parts of the body in kept_out stay out. hold: it stays as it is
  act text not null check (act in ('train', 'keep_out', 'hold')),
  -- JSON training::member::KeptOut
  kept_out text not null default '{}',
  -- to the member
  said text not null default '' check (length(said) <= 500),
  decided_at integer not null,
  decided_by integer references people (id) on delete set null,
  -- why it no longer counts; null while it does
  ended text check (ended in ('taken back', 'decided anew', 'the words changed'))
, outlived integer not null default 0 check (outlived in (0, 1))) strict;
INSERT INTO "decisions" VALUES(1,2,'left knee; asked about stairs','keep_out','{"loads":["knee"]}','Until we have spoken.',1795600000000,1,NULL,1);
INSERT INTO "decisions" VALUES(2,2,'left knee; asked about stairs, and the right one now','hold','{}','Please see somebody first.',1795700000000,1,NULL,0);
CREATE TABLE group_policies (
  group_id integer primary key references groups (id) on delete cascade,
  body text not null,
  changed_at integer not null,
  changed_by integer references people (id) on delete set null
) strict;
INSERT INTO "group_policies" VALUES(1,'{"one_list":false,"group_order":["lighter","shorter"],"load_step_kg":0.5,"attempts":"best","tie_break":"none","closes_min":null,"grace_h":24.0,"late":"listed","across_groups":false}',1795600000000,1);
CREATE TABLE groups (
  id integer primary key,
  name text not null collate nocase unique check (length(name) between 1 and 80),
  about text not null default '',
  created_at integer not null
) strict;
INSERT INTO "groups" VALUES(1,'Harbour','mornings',1763600100000);
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
, client_id text) strict;
INSERT INTO "links" VALUES(1,'invitation',1,NULL,'Nele',1,1763600200000,1764809800000,NULL,NULL,NULL);
INSERT INTO "links" VALUES(2,'password',NULL,2,'',1,1763600300000,1763773100000,1763600350000,NULL,NULL);
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
INSERT INTO "maxes" VALUES(1,2,'back squat',80.0,'tested','2026-10-01',1763600500000);
CREATE TABLE media (
  id integer primary key,
  -- lower-case hex SHA-256 of the bytes
  hash text not null unique check (length(hash) = 64),
  kind text not null,
  bytes integer not null check (bytes >= 0),
  name text not null,
  created_at integer not null
) strict;
INSERT INTO "media" VALUES(1,'0000000000000000000000000000000000000000000000000000000000000000','video/mp4',12,'talk.mp4',1763600700000);
CREATE TABLE memberships (
  group_id integer not null references groups (id) on delete cascade,
  person_id integer not null references people (id) on delete cascade,
  joined_at integer not null,
  primary key (group_id, person_id)
) strict;
INSERT INTO "memberships" VALUES(1,2,1763600400000);
INSERT INTO "memberships" VALUES(1,3,1763600400000);
CREATE TABLE movements (
  name text primary key not null,
  -- JSON training::movement::Movement
  body text not null,
  changed_at integer not null,
  changed_by integer references people (id) on delete set null
) strict;
INSERT INTO "movements" VALUES('dock carry','{"name":"dock carry","aliases":["quay carry"],"pattern":"carry","equipment":[["dumbbell"],["backpack"]],"demands":["grip","space"],"skill":1,"sided":"bilateral","loadable":true,"unit":"metres","seconds_per_rep":null,"easier":[],"harder":[],"stand_in":"WEIGHT-ANY","stand_in_words":"any handled weight","cues":["tall and quiet","short steps"],"faults":["leaning"],"caution":null}',1763600000000,1);
CREATE TABLE nods (
  result_id integer not null references results (id) on delete cascade,
  person_id integer not null references people (id) on delete cascade,
  created_at integer not null,
  primary key (result_id, person_id)
) strict;
INSERT INTO "nods" VALUES(1,1,1763991000000);
CREATE TABLE own_changes (
  -- whose, times eight, and what: 0 signed-in browsers, 1 maxes and what was said at lines, 2 results, 3 groups
  place integer primary key,
  n integer not null
) strict;
INSERT INTO "own_changes" VALUES(18,1);
CREATE TABLE part_policies (
  session_id integer not null references sessions (id) on delete cascade,
  part integer not null check (part >= 0),
  body text not null,
  changed_at integer not null,
  changed_by integer references people (id) on delete set null,
  primary key (session_id, part)
) strict;
INSERT INTO "part_policies" VALUES(1,0,'{"one_list":false,"group_order":["lighter","shorter"],"load_step_kg":0.5,"attempts":"first","tie_break":"none","closes_min":null,"grace_h":24.0,"late":"listed","across_groups":false}',1795600000000,1);
CREATE TABLE passkeys (
  id integer primary key,
  person_id integer not null references people (id) on delete cascade,
  -- what a browser calls it, as WebAuthn has it; of one person only
  credential_id blob not null unique check (length(credential_id) between 1 and 1023),
  -- its person as browsers keep them: a random UUID, the same for all passkeys of one person
  handle text not null check (length(handle) = 36),
  -- in its owner's words
  name text not null check (length(name) between 1 and 60),
  -- JSON webauthn_rs::prelude::Passkey
  body text not null,
  -- grows with each use where the device counts; one that does not grow may be a copy
  counter integer not null default 0 check (counter >= 0),
  created_at integer not null,
  used_at integer
) strict;
INSERT INTO "passkeys" VALUES(1,1,X'0102030405060708','018f2b9e-0000-4000-8000-000000000000','Phone','{"cred":{"cred_id":"AQIDBAUGBwg","cred":{"type_":"ES256","key":{"EC_EC2":{"curve":"SECP256R1","x":"Zf2y2tC5mzZ6GuHi7AK7la9V9CmPw0W0tt4ZHIZiU4c","y":"UUX1rbtZXk4Z3-cbBHg1h79dNxIS-pMfVEkPuEcj-zs"}}},"counter":3,"transports":null,"user_verified":true,"backup_eligible":false,"backup_state":false,"registration_policy":"required","extensions":{"cred_protect":"Ignored","hmac_create_secret":"NotRequested","appid":"NotRequested","cred_props":"Ignored"},"attestation":{"data":"None","metadata":"None"},"attestation_format":"none"}}',3,1763600500000,NULL);
CREATE TABLE past_results (
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
INSERT INTO "past_results" VALUES(1,2,'2025-03-04','Long row','time','21:10','{"kind":"time","seconds":1270.0}','',1795600000000,1);
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
, assistant integer not null default 0 check (assistant in (0, 1)), passkeys integer not null default 0 check (passkeys >= 0), passkey_asked integer not null default 0 check (passkey_asked in (0, 1))) strict;
INSERT INTO "people" VALUES(1,'coach','mara@example.org','Mara',NULL,'$argon2id$v=19$m=19456,t=2,p=1$c2FsdHNhbHRzYWx0$hBrw7dibHRaimT64Zs12inSKPksXLpl/WixWRYWIS40','Europe/Lisbon','kg','beginner',1,'[]',NULL,'[]',NULL,1,NULL,NULL,1763600000000,NULL,0,1,0);
INSERT INTO "people" VALUES(2,'member','ines','Inês "Tide" O''Dell','Tide','$argon2id$v=19$m=19456,t=2,p=1$c2FsdHNhbHRzYWx0$hBrw7dibHRaimT64Zs12inSKPksXLpl/WixWRYWIS40','Atlantic/Azores','lb','intermediate',2,'[{"item":"dumbbell","kg":[10.0,15.0],"count":2}]',NULL,'["impact"]','left knee; asked about stairs, and the right one now',1,1,1763600500000,1763600400000,NULL,0,0,0);
INSERT INTO "people" VALUES(3,'member','bo','Bo',NULL,NULL,'UTC','kg','beginner',1,'[]',NULL,'[]',NULL,1,NULL,NULL,1763600400000,1763700000000,0,0,0);
CREATE TABLE pins (
  id integer primary key,
  -- null: in every session
  session_id integer references sessions (id) on delete cascade,
  -- for one member, or for those whose kit lacks something, or for those who keep something out
  person_id integer references people (id) on delete cascade,
  lacks text,
  avoids text,
  -- the written movement, canonical name
  movement text not null check (length(movement) between 1 and 100),
  -- in parts of this purpose
  intent text not null check (intent in ('prep', 'technique', 'strength', 'conditioning', 'mobility')),
  -- JSON training::session::Line
  becomes text not null,
  created_at integer not null,
  check ((person_id is not null) + (lacks is not null) + (avoids is not null) = 1)
) strict;
INSERT INTO "pins" VALUES(1,1,2,NULL,NULL,'air squat','conditioning','{"movement":"chair squat","reps":10,"seconds":null,"metres":null,"calories":null,"side":null,"load":null,"tempo":null}',1795600000000);
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
, client_id text, put_away_at integer, version_id integer references session_versions (id) on delete set null) strict;
INSERT INTO "questions" VALUES(1,2,1,0,NULL,'pain',2,'left knee',1763900000000,NULL,NULL,NULL,0,NULL,NULL,1);
INSERT INTO "questions" VALUES(2,2,1,0,0,'question',NULL,'How deep?',1763900000000,'To a chair.',1763910000000,1,1,NULL,NULL,NULL);
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
INSERT INTO "result_edits" VALUES(1,1,1763990500000,1,'typed twice','{"client_id":"0190-a","session_id":1,"version_id":1,"part":0,"score_text":"1000","score":{"kind":"load","lifts":[{"weight":1000.0,"unit":"lb"}]},"doubt":null,"version_done":"full","load_text":"","load_kg":453.6,"minutes":22.0,"rpe":7.5,"note":"slept badly","hurt":null,"given":null,"done_on":"2026-11-24","edit":0,"hidden":false}');
CREATE TABLE result_sends (
  person_id integer not null references people (id) on delete cascade,
  client_id text not null,
  result_id integer not null references results (id) on delete cascade,
  -- the highest edit that came under this id
  edit integer not null,
  primary key (person_id, client_id)
) strict;
INSERT INTO "result_sends" VALUES(2,'phone-2',1,1);
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
  withdrawn_at integer, attempt integer not null default 1 check (attempt >= 1), stands integer not null default 0,
  unique (person_id, client_id)
) strict;
INSERT INTO "results" VALUES(1,'0190-a',2,1,1,0,'100','{"kind":"load","lifts":[{"weight":100.0,"unit":"lb"}]}',NULL,'full','',45.5,22.0,7.5,'slept badly',NULL,NULL,'2026-11-24',1763990000000,1763990000000,1,0,NULL,2,0);
INSERT INTO "results" VALUES(2,'0190-b',2,1,1,0,'90',NULL,NULL,'full','',NULL,NULL,NULL,'','left knee',NULL,'2026-11-23',1763900000000,1763900000000,0,0,NULL,1,0);
INSERT INTO "results" VALUES(3,'second part',2,1,1,1,'90',NULL,NULL,'full','',NULL,NULL,NULL,'','left knee',NULL,'2026-11-23',1763900000000,1763900000000,0,0,NULL,1,1);
CREATE TABLE seen_results (
  result_id integer primary key references results (id) on delete cascade,
  seen_at integer not null,
  seen_by integer references people (id) on delete set null
) strict;
INSERT INTO "seen_results" VALUES(1,1763992000000,1);
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
  published_by integer references people (id) on delete set null, stands text not null default '[]',
  unique (session_id, number)
) strict;
INSERT INTO "session_versions" VALUES(1,1,1,'A. 5x5 squat, rest 2:00
B. AMRAP 12
10 push-ups','{}','{"title":"","aim":null,"notes":[],"parts":[{"name":"back squat","label":"A","intent":"strength","format":"sets","rounds":5,"time_cap_s":null,"duration_s":null,"interval":null,"rest_s":120,"score":"none","lines":[{"movement":"back squat","reps":5,"seconds":null,"metres":null,"calories":null,"side":null,"load":null,"tempo":null,"at":{"line":1,"column":1,"length":12}}],"at":{"line":1,"column":1,"length":12},"said":[{"line":1,"column":15,"length":9}]},{"name":"AMRAP","label":"B","intent":"conditioning","format":"amrap","rounds":null,"time_cap_s":null,"duration_s":720.0,"interval":null,"rest_s":null,"score":"reps","lines":[{"movement":"push-up","reps":10,"seconds":null,"metres":null,"calories":null,"side":null,"load":null,"tempo":null,"at":{"line":3,"column":1,"length":11}}],"at":{"line":2,"column":1,"length":11},"said":[{"line":2,"column":1,"length":11}]}],"problems":[]}',NULL,NULL,'',1763600700000,1,'[]');
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
INSERT INTO "sessions" VALUES(1,1,'2026-11-24',1,'A. 5x5 squat, rest 2:00
B. AMRAP 12
10 push-ups',3,1763600600000,'{}',NULL,NULL,1,1763600600000);
CREATE TABLE settings (
  key text primary key not null,
  value text not null
) strict;
INSERT INTO "settings" VALUES('name','Harbour practice');
CREATE TABLE sign_ins (
  token_hash blob primary key not null,
  person_id integer not null references people (id) on delete cascade,
  created_at integer not null,
  seen_at integer not null,
  expires_at integer not null,
  -- what kind of browser, for the list of signed-in devices
  agent text not null default ''
) strict;
INSERT INTO "sign_ins" VALUES(X'00112233445566778899AABBCCDDEEFF00112233445566778899AABBCCDDEEFF',2,1763600500000,1763600500000,4102444800000,'Firefox');
CREATE TABLE spoken_with (
  person_id integer primary key references people (id) on delete cascade,
  spoken_at integer not null,
  spoken_by integer references people (id) on delete set null
) strict;
INSERT INTO "spoken_with" VALUES(2,1795600000000,1);
CREATE TABLE talks (
  id integer primary key,
  session_id integer not null references sessions (id) on delete cascade,
  -- which video: an https address, or /media/ and the hash of an uploaded file. A session whose published version still
  -- shows an earlier video keeps that video's chapters.
  video text not null check (length(video) between 1 and 2000),
  -- WebVTT as Dowel writes it; null: none
  chapters text,
  -- WebVTT as the coach's file had it; null: none
  captions text,
  -- the write-up as it stood when the video or its chapters were set: a later one makes the video stale
  text text not null,
  set_at integer not null,
  unique (session_id, video)
) strict;
INSERT INTO "talks" VALUES(1,1,'https://video.example/1','WEBVTT
',NULL,'AMRAP 12',1795600000000);
CREATE TABLE tokens (
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
INSERT INTO "tokens" VALUES(1,2,X'0707070707070707070707070707070707070707070707070707070707070707','my table','["read"]',1795600000000,1803376000000,NULL);
CREATE TABLE trail (
  id integer primary key,
  at integer not null,
  -- null: nobody signed in, or an account that is gone
  person_id integer references people (id) on delete set null,
  -- their name as it was then
  who text not null default '',
  -- what, in the words that are shown
  act text not null check (length(act) between 1 and 100),
  -- about what: the kind and its row; the row may be gone
  about_kind text check (about_kind in ('person', 'group', 'session', 'result')),
  about_id integer,
  -- a day, a week's Monday; nothing that anybody typed
  detail text not null default '' check (length(detail) <= 40)
) strict;
INSERT INTO "trail" VALUES(1,1795600000000,1,'Mara','made a group','group',1,'');
CREATE TABLE tried_writes (
  n integer primary key
) strict;
CREATE TABLE uploads (
  -- random, not to be guessed
  id text primary key not null check (length(id) = 24),
  person_id integer not null references people (id) on delete cascade,
  -- where the video will stand
  group_id integer not null references groups (id) on delete cascade,
  day text not null check (day glob '????-??-??'),
  slot integer not null check (slot between 1 and 6),
  name text not null,
  -- how many bytes it will have
  bytes integer not null check (bytes > 0),
  -- set when the last byte has come and the file is in its place
  media_id integer references media (id) on delete cascade,
  -- the last time that something came
  touched_at integer not null
) strict;
INSERT INTO "uploads" VALUES('abcdefghijklmnopqrstuvwx',1,1,'2026-11-25',1,'talk.mp4',1000,NULL,1795600000000);
CREATE TABLE wishes (
  person_id integer not null references people (id) on delete cascade,
  session_id integer not null references sessions (id) on delete cascade,
  -- part, and line of that part, from 0
  part integer not null check (part >= 0),
  line integer not null check (line >= 0),
  -- the written movement it was said of; where another is written since, it is about nothing
  movement text not null,
  wish text not null check (wish in ('too_heavy', 'too_loud', 'no_room', 'no_kit', 'hurts', 'hurts_other')),
  said_at integer not null,
  primary key (person_id, session_id, part, line)
) strict;
INSERT INTO "wishes" VALUES(2,1,0,0,'squat','too_heavy',1763980000000);
CREATE INDEX sign_ins_of_person on sign_ins (person_id);
CREATE INDEX memberships_of_person on memberships (person_id);
CREATE INDEX links_of_group on links (group_id);
CREATE INDEX links_of_person on links (person_id);
CREATE INDEX sessions_live on sessions (live_version_id);
CREATE INDEX sessions_media on sessions (media_id);
CREATE INDEX session_versions_media on session_versions (media_id);
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
CREATE INDEX wishes_of_session on wishes (session_id);
CREATE TRIGGER board_result_new after insert on results begin
  insert into board_changes values (new.session_id, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER board_result_gone after delete on results begin
  insert into board_changes values (old.session_id, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER board_person_changed after update of name, nickname, zone, kit, shown, left_at on people begin
  update board_changes set n = n + 1 where session_id = 0;
end;
CREATE TRIGGER board_member_new after insert on memberships begin
  update board_changes set n = n + 1 where session_id = 0;
end;
CREATE TRIGGER board_member_gone after delete on memberships begin
  update board_changes set n = n + 1 where session_id = 0;
end;
CREATE UNIQUE INDEX questions_once on questions (person_id, client_id) where client_id is not null;
CREATE UNIQUE INDEX links_once on links (created_by, client_id) where client_id is not null;
CREATE INDEX results_in_doubt on results (created_at) where doubt is not null or score is null;
CREATE INDEX results_by_time on results (created_at);
CREATE INDEX questions_answered on questions (answered_at) where answered_at is not null;
CREATE INDEX sessions_of_day on sessions (day, group_id);
CREATE INDEX tokens_of_person on tokens (person_id);
CREATE INDEX result_sends_of_result on result_sends (result_id);
CREATE INDEX uploads_of_person on uploads (person_id);
CREATE INDEX uploads_of_group on uploads (group_id);
CREATE INDEX uploads_of_media on uploads (media_id);
CREATE INDEX trail_by_time on trail (at);
CREATE INDEX trail_of_person on trail (person_id);
CREATE INDEX pins_of_person on pins (person_id);
CREATE INDEX pins_of_session on pins (session_id);
CREATE TRIGGER own_sign_ins_new after insert on sign_ins begin
  insert into own_changes values (new.person_id * 8 + 0, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_sign_ins_changed after update on sign_ins begin
  insert into own_changes values (new.person_id * 8 + 0, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_sign_ins_gone after delete on sign_ins begin
  insert into own_changes values (old.person_id * 8 + 0, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_maxes_new after insert on maxes begin
  insert into own_changes values (new.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_maxes_changed after update on maxes begin
  insert into own_changes values (new.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_maxes_gone after delete on maxes begin
  insert into own_changes values (old.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_wishes_new after insert on wishes begin
  insert into own_changes values (new.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_wishes_changed after update on wishes begin
  insert into own_changes values (new.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_wishes_gone after delete on wishes begin
  insert into own_changes values (old.person_id * 8 + 1, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_results_new after insert on results begin
  insert into own_changes values (new.person_id * 8 + 2, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_results_gone after delete on results begin
  insert into own_changes values (old.person_id * 8 + 2, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_memberships_new after insert on memberships begin
  insert into own_changes values (new.person_id * 8 + 3, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_memberships_changed after update on memberships begin
  insert into own_changes values (new.person_id * 8 + 3, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_memberships_gone after delete on memberships begin
  insert into own_changes values (old.person_id * 8 + 3, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_result_edits_new after insert on result_edits begin
  insert into own_changes select person_id * 8 + 2, 1 from results where id = new.result_id on conflict do update set n = n + 1;
end;
CREATE INDEX passkeys_of_person on passkeys (person_id);
CREATE TRIGGER passkey_new after insert on passkeys begin
  update people set passkeys = passkeys + 1 where id = new.person_id;
end;
CREATE TRIGGER passkey_gone after delete on passkeys begin
  update people set passkeys = passkeys - 1 where id = old.person_id;
end;
CREATE INDEX decisions_of_person on decisions (person_id);
CREATE TRIGGER board_result_changed after update on results begin
  insert into board_changes values (new.session_id, 1) on conflict do update set n = n + 1;
end;
CREATE TRIGGER own_results_changed after update on results begin
  insert into own_changes values (new.person_id * 8 + 2, 1) on conflict do update set n = n + 1;
end;
CREATE INDEX results_of_part on results (session_id, stands);
CREATE INDEX results_of_person_part on results (person_id, session_id, stands, created_at);
CREATE UNIQUE INDEX results_once on results (person_id, session_id, stands, attempt) where withdrawn_at is null;
CREATE INDEX questions_of_version on questions (version_id) where version_id is not null;
CREATE TRIGGER words_changed after update of note on people when new.note is not old.note begin
  update decisions set ended = 'the words changed' where person_id = new.id and ended is null and act <> 'keep_out';
  update decisions set outlived = 1 where person_id = new.id and ended is null;
end;
CREATE UNIQUE INDEX standing_decisions on decisions (person_id, act = 'keep_out') where ended is null;
COMMIT;
