-- Signing in without a password.

-- A passkey: the public key of a device or a password manager. Its private half never leaves there.
create table passkeys (
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
create index passkeys_of_person on passkeys (person_id);

-- How many they have: every page of a coach asks, so it stands with the person.
alter table people add column passkeys integer not null default 0 check (passkeys >= 0);
create trigger passkey_new after insert on passkeys begin
  update people set passkeys = passkeys + 1 where id = new.person_id;
end;
create trigger passkey_gone after delete on passkeys begin
  update people set passkeys = passkeys - 1 where id = old.person_id;
end;

-- A password alone is not enough for this person; without a passkey yet, they make one first.
alter table people add column passkey_asked integer not null default 0 check (passkey_asked in (0, 1));
