-- Every version of a result stays in sight; best lifts look at all that was ever lifted.

-- An earlier state that had been taken back, when it was brought back or logged anew; null otherwise
alter table result_edits add column taken_back_at integer;
-- 1: it never stood. It was typed before what stood then, and arrived after it
alter table result_edits add column late integer not null default 0 check (late in (0, 1));

-- All that somebody lifted, however long ago.
create index results_with_lifts on results (person_id, done_on) where score ->> 'kind' = 'load';

-- What 0020 says no more: a past result that carries a lift counts among the bests.
-- The lift, by its name in the library; null where the title says it or it is none
alter table past_results add column movement text;
-- what stood beside the score: version, load, minutes, effort; in words
alter table past_results add column beside text not null default '';
