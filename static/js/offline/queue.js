// What was logged and has not reached the server yet. It is kept on this device, sealed with a key that only its owner's
// sign-in brings, and sent in order. One entry a form: an edit replaces what waits, with a higher edit counter.

import { ask, read } from '../ask.js';

/** What the browser's store has not answered by now it does not answer: silent is as good as none. */
const SILENT_MS = 3000;

/** A promise that fails where it has not come in time. */
export function within(promise, ms) {
  let timer;
  const late = new Promise((_, no) => (timer = setTimeout(() => no(new Error('silent')), ms)));
  return Promise.race([promise, late]).finally(() => clearTimeout(timer));
}

let opened = null;
const done = (request) =>
  within(
    new Promise((yes, no) => {
      request.onsuccess = () => yes(request.result);
      request.onerror = () => no(request.error);
    }),
    SILENT_MS,
  );

function database() {
  opened ??= within(opening(), SILENT_MS);
  opened.catch(() => (opened = null));
  return opened;
}

const opening = () =>
  new Promise((yes, no) => {
    const request = indexedDB.open('dowel', 1);
    request.onupgradeneeded = () => {
      request.result.createObjectStore('facts', { keyPath: 'id' });
      request.result.createObjectStore('waiting', { keyPath: 'id' });
    };
    request.onerror = () => no(request.error);
    request.onsuccess = () => {
      const db = request.result;
      db.onclose = () => (opened = null);
      db.onversionchange = () => {
        db.close();
        opened = null;
      };
      yes(db);
    };
  });

const store = async (name, mode = 'readonly') => (await database()).transaction(name, mode).objectStore(name);
const get = async (name, id) => done((await store(name)).get(id));
const put = async (name, value) => done((await store(name, 'readwrite')).put(value));

/** Who this device belongs to just now: { person, key, zone, seal, at }; undefined where nobody is known. */
export const me = () => get('facts', 'me');

/** Remembers who is signed in. `seal` is 32 bytes in base64url, or a key that was made from them. */
export async function know({ seal, ...facts }) {
  let key = seal;
  if (typeof seal === 'string') {
    const bytes = Uint8Array.from(atob(seal.replace(/-/g, '+').replace(/_/g, '/')), (c) => c.charCodeAt(0));
    key = await crypto.subtle.importKey('raw', bytes, 'AES-GCM', false, ['encrypt', 'decrypt']);
  }
  await put('facts', { ...facts, id: 'me', seal: key });
}

/** Nobody is signed in any more; what waits stays sealed. */
export const forgetMe = async () => done((await store('facts', 'readwrite')).delete('me'));

/** Nothing of whoever is signed in stays. What others have left to send stays sealed and waits for them. */
export async function forget() {
  const who = await me();
  if (who) for (const { id } of await waitingOf(who.person)) await discard(id);
  await done((await store('facts', 'readwrite')).clear());
}

/** Throws away one entry. */
export const discard = async (id) => done((await store('waiting', 'readwrite')).delete(id));

export const PAGES = 'dowel pages ';

/** Throws away every kept page but those of one sign-in. */
export const forgetPages = (key) => within(dropPages(key), SILENT_MS);

async function dropPages(key) {
  for (const name of await caches.keys()) if (name.startsWith(PAGES) && name !== PAGES + key) await caches.delete(name);
}

/** Signed out without a signal: the server is still to be told. */
export const leave = () => put('facts', { id: 'leaving' });
export const leaving = () => get('facts', 'leaving');

async function shut(seal, fields) {
  const iv = crypto.getRandomValues(new Uint8Array(12));
  const words = new TextEncoder().encode(JSON.stringify(fields));
  return { iv, sealed: await crypto.subtle.encrypt({ name: 'AES-GCM', iv }, seal, words) };
}

async function unseal(seal, { iv, sealed }) {
  return JSON.parse(new TextDecoder().decode(await crypto.subtle.decrypt({ name: 'AES-GCM', iv }, seal, sealed)));
}

/** Keeps a form until it is sent. `fields`: pairs of name and value; `page`: where it was typed. */
export async function keep(action, fields, page) {
  const who = await me();
  const id = `${who.person} ${action}`;
  const old = await get('waiting', id);
  const now = Date.now();
  const entry = { id, person: who.person, action, page, since: old?.since ?? now, edit: Math.max(now, (old?.edit ?? 0) + 1), refused: null };
  await put('waiting', { ...entry, ...(await shut(who.seal, fields)) });
}

async function waitingOf(person) {
  const all = await done((await store('waiting')).getAll());
  return all.filter((entry) => entry.person === person).sort((a, b) => a.since - b.since);
}

/** Everything of whoever is signed in that waits or was refused, oldest first, with its `fields`: null where it cannot be opened. */
export async function list() {
  const who = await me();
  if (!who) return [];
  const open = async (entry) => ({ ...entry, fields: await unseal(who.seal, entry).catch(() => null) });
  return Promise.all((await waitingOf(who.person)).map(open));
}

/** Ends with an entry as it was sent; what was typed meanwhile stays. */
async function settle(entry, refused) {
  const waiting = await store('waiting', 'readwrite');
  const now = await done(waiting.get(entry.id));
  if (now?.edit !== entry.edit) return;
  await done(refused ? waiting.put({ ...now, refused }) : waiting.delete(entry.id));
}

const GONE = { '': 'Dowel no longer has this part, or it is no longer yours. Copy what you need and tell your coach.' };

/** The server stumbles over this entry and would over no other; whatever else it says, it would say it to all that waits. */
const ITS_OWN = [500];

async function deliver(entry) {
  const body = new URLSearchParams([...entry.fields, ['edit', String(entry.edit)]]);
  const answer = await ask(entry.action, { method: 'POST', body, headers: { 'dowel-person': String(entry.person) } });
  const { saved, errors } = read(answer);
  if (saved) return { saved };
  // nobody, or somebody else, is signed in; only a stranger on the way answers such a request by leading elsewhere
  if (answer.status === 401 || answer.status === 403) return { stop: 'sign-in' };
  if (answer.went === 'no') return { refused: errors ?? GONE };
  // also an answer that is none of Dowel's
  return { stop: 'later', held: !ITS_OWN.includes(answer.status) };
}

/**
 * Sends what waits, in order; only one tab or worker does so at a time. An entry leaves the device when the server has
 * confirmed it. Where the server is busy, or not reached, nothing is sent past the entry that it could not take. Returns
 * { saved: { action: page }, stop: null, 'sign-in' or 'later' }.
 */
export const send = () =>
  navigator.locks.request('dowel send', async () => {
    const saved = {};
    let stop = null;
    for (const entry of await list()) {
      if (entry.refused || !entry.fields) continue;
      const outcome = await deliver(entry);
      stop = outcome.stop ?? stop;
      if (outcome.held || outcome.stop === 'sign-in') break;
      if (outcome.stop) continue;
      await settle(entry, outcome.refused);
      if (outcome.saved) saved[entry.action] = outcome.saved;
    }
    return { saved, stop };
  });
