-- What goes with a talk-through: chapters, captions, and the write-up that it was made for.
create table talks (
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

insert into talks (session_id, video, text, set_at)
select s.id, coalesce('/media/' || m.hash, s.video_url), s.draft, s.draft_at
from sessions s left join media m on m.id = s.media_id
where m.id is not null or length(s.video_url) > 0;

-- Uploads under way. Their bytes lie in the media folder as `coming-{id}`; how many came is the length of that file.
create table uploads (
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
create index uploads_of_person on uploads (person_id);
create index uploads_of_group on uploads (group_id);
create index uploads_of_media on uploads (media_id);
