-- An answer lets nothing back in by itself, and what a note tells is a report of its own.

-- 1: it is answered, and what the words hold back stays out until a coach lets it back in
alter table questions add column stays_out integer not null default 0 check (stays_out in (0, 1));
-- an open report was read together with the note of its result as it stood: the note is asked about by itself from now on
insert into questions (person_id, session_id, part, kind, result_id, text, asked_at)
  select q.person_id, q.session_id, q.part, 'pain', q.result_id, substr(trim(r.note), 1, 4000), q.asked_at
  from questions q join results r on r.id = q.result_id
  where q.kind = 'pain' and q.answered_at is null and trim(r.note) not in ('', q.text) group by q.result_id;
