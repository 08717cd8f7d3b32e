// Sends the day's forms through the queue, and shows what waits there and what was refused.
import { device, person } from '../device.js';
import { discard, keep, list, me, send } from './queue.js';

const LOGS = 'form[action^="/sessions/"][action$="/result"], form.score';
const main = document.getElementById('main');
const formsOf = (action) => [...document.querySelectorAll(LOGS)].filter((form) => form.getAttribute('action') === action);
let who;

function element(name, more, ...inside) {
  const made = Object.assign(document.createElement(name), more);
  made.append(...inside);
  return made;
}

function fill(form, fields) {
  for (const input of form.elements) {
    if (!input.name || input.type === 'hidden') continue;
    const values = fields.filter(([name]) => name === input.name).map(([, value]) => value);
    if (input.type === 'checkbox' || input.type === 'radio') input.checked = values.includes(input.value);
    else input.value = values[0] ?? '';
  }
}

/** What was typed; of a part without a score, that it was done. An empty field was not typed as anything. */
const score = (entry) => {
  const typed = entry.fields?.find(([name]) => name === 'score');
  return typed ? typed[1] : 'done';
};

const bad = (entry) => entry.refused || !entry.fields;

function notice(entry, stop) {
  const here = element('div', { className: bad(entry) ? 'notice bad' : 'notice ask', role: bad(entry) ? 'alert' : 'status' });
  Object.assign(here.dataset, { waiting: entry.action, page: entry.page });
  const what = element('b', {}, score(entry) || 'what you logged');
  if (!entry.fields) {
    here.append(element('p', {}, `Something that was typed here on ${new Date(entry.since).toLocaleDateString('en-GB')} can no longer be opened on this phone, so it was not sent. Log it again.`), throwAway(entry));
  } else if (entry.refused) {
    here.append(element('p', {}, 'Not taken', ...(score(entry) ? [': ', what] : []), '. ', Object.values(entry.refused).join(' '), ' What you typed is still here: change it and save again.'), throwAway(entry));
  } else if (stop === 'sign-in') {
    const link = element('a', { href: `/sign-in?next=${encodeURIComponent(location.pathname)}` }, 'Sign in again');
    here.append(element('p', {}, 'Waiting to send: ', what, '. ', link, ' and it goes out; it is kept here until then.'));
  } else if (stop === 'sending') here.append(element('p', {}, 'Sending: ', what, '. It is kept here until it has arrived.'));
  else here.append(element('p', {}, 'Waiting to send: ', what, '. It goes out by itself as soon as Dowel can be reached.'));
  return here;
}

function throwAway(entry) {
  const button = element('button', { type: 'button', className: 'danger' }, 'Throw it away');
  button.addEventListener('click', async () => {
    if (!confirm('It is not saved anywhere else. Throw it away?')) return;
    await discard(entry.id);
    location.reload();
  });
  return button;
}

/** This page and this device belong to the same person; just after another has signed in the device does not know it yet. */
async function mine() {
  who = await me();
  if (String(who?.person) !== person) who = undefined;
  return who;
}

/** Forms that have what waits in them: what is typed there since stays. */
const filled = new WeakSet();

/** The last call of `show` alone is heard. */
let calls = 0;

/** Where an entry belongs: beside its form, or at the top where its form is not on this page. */
async function show(stop) {
  const call = (calls += 1);
  if (!(await mine())) return;
  const entries = await list();
  if (call !== calls) return;
  for (const old of document.querySelectorAll('[data-waiting]')) old.remove();
  for (const entry of entries) {
    const here = notice(entry, stop);
    const form = formsOf(entry.action).find((f) => f.matches('.score'));
    if (!form) {
      if (entry.page !== location.pathname) here.append(element('a', { href: entry.page }, 'Where it was typed'));
      main.prepend(here);
      continue;
    }
    if (entry.fields && !filled.has(form)) fill(form, entry.fields);
    filled.add(form);
    const part = form.closest('details.part');
    if (!part) form.before(here);
    else {
      part.querySelector('summary').after(here);
      part.querySelector('.part-how').before(element('span', { className: 'state' }, bad(entry) ? 'not taken' : 'waiting to send', ' '));
      part.querySelector('.state').dataset.waiting = '';
    }
    if (bad(entry)) {
      if (part) part.open = true;
      // on the page of a result the form stands open
      const log = form.closest('details');
      if (log) log.open = true;
    }
  }
}

/** What is kept, or has arrived, needs no draft any more: a draft is not sealed. */
function dropDraft(action) {
  for (const key of device.keys('dowel draft ')) if (key.endsWith(` ${action}`)) device.drop(key);
}

function arrived(saved) {
  for (const [action, page] of Object.entries(saved)) {
    dropDraft(action);
    if (!formsOf(action).length) continue;
    main.prepend(element('p', { className: 'said', role: 'status' }, 'Sent. ', element('a', { href: page }, 'See it')));
  }
}

/** On a weak signal an answer takes its time: after this it is said that it is on its way. */
const SOON_MS = 250;

async function deliver() {
  const soon = setTimeout(() => show('sending').catch(() => {}), SOON_MS);
  const { saved, stop } = await send().finally(() => clearTimeout(soon));
  arrived(saved);
  await show(stop);
  tryLater(stop);
  return saved;
}

/** A server that was busy tells nobody when it is not: it is asked again after so long, while the page is open. */
const AGAIN_MS = 20_000;
let timer;
function tryLater(stop) {
  clearTimeout(timer);
  if (stop === 'later' && navigator.onLine) timer = setTimeout(again, AGAIN_MS);
}

/** To the page that has it in, even where its address is the one that we are at. */
function go(page) {
  const to = new URL(page, location);
  if (to.href === location.href) location.reload();
  else location.assign(to);
}

const today = () => new Intl.DateTimeFormat('sv-SE', { timeZone: who.zone }).format(new Date());
/** The day of the page; today where it has none. A page may have been kept for days. */
const dayOf = () => location.pathname.match(/^\/days\/(\d{4}-\d\d-\d\d)$/)?.[1] ?? today();

/** The day it was done: the page's own, or today where that is still to come. */
function doneOn() {
  const now = today();
  const day = dayOf();
  return day < now ? day : now;
}

/** A day to come was kept as it will be on its day: nothing of it is sent before. */
function tooEarly(form) {
  if (form.previousElementSibling?.matches('[data-early]')) form.previousElementSibling.remove();
  const day = dayOf();
  if (day <= today()) return false;
  const when = new Date(`${day}T12:00Z`).toLocaleDateString('en-GB', { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' });
  const here = element('p', { className: 'notice ask', role: 'alert' }, `This is for ${when}. Read it now, and log it on the day. It was not sent, and what you typed is still here.`);
  here.dataset.early = '';
  form.before(here);
  here.scrollIntoView({ block: 'center' });
  return true;
}

document.addEventListener('submit', async (event) => {
  const form = event.target;
  if (!form.matches(LOGS) || !who) return;
  event.preventDefault();
  if (tooEarly(form)) return;
  const action = form.getAttribute('action');
  if (form.elements.done_on?.type === 'hidden') form.elements.done_on.value = doneOn();
  const now = await me().catch(() => null);
  if (now && String(now.person) !== person) {
    form.before(element('p', { className: 'notice bad', role: 'alert' }, 'Somebody else has signed in on this phone meanwhile. Sign in again to log this as yourself; it was not sent.'));
    return;
  }
  try {
    filled.add(form);
    await keep(action, [...new FormData(form)], location.pathname);
    dropDraft(action);
  } catch {
    form.submit();
    return;
  }
  // asked for first: the page that sends by itself knows where its result is; the worker is for when this page is gone
  const sending = deliver();
  navigator.serviceWorker?.ready.then((ready) => ready.sync?.register('dowel send')).catch(() => {});
  const saved = await sending;
  if (saved[action]) return go(saved[action]);
  // the worker or another tab may have been quicker
  if (!(await list()).some((entry) => entry.action === action)) return go(location.pathname);
  document.querySelector(`[data-waiting="${CSS.escape(action)}"]`)?.scrollIntoView({ block: 'center' });
});

if (location.hash === '#log') {
  const log = document.querySelector('details.part[open] details.to-log');
  if (log) log.open = true;
  log?.querySelector('input:not([type=hidden])')?.focus();
}
/** What is said to wait here and is not among what waits, as the worker or another tab has sent it: { action: page }. It is said no longer. */
function sentByOthers(waits) {
  const gone = [...document.querySelectorAll('div[data-waiting]')].filter((here) => !waits.has(here.dataset.waiting));
  for (const here of gone) here.remove();
  return Object.fromEntries(gone.map((here) => [here.dataset.waiting, here.dataset.page]));
}

/** What waited when this page looked, and that the worker or another tab has sent while this page waited for its turn. */
async function sentMeanwhile(before, saved) {
  const left = new Set((await list()).map(({ action }) => action));
  const gone = before.filter(({ action }) => !left.has(action) && !saved[action]);
  return Object.fromEntries(gone.map(({ action, page }) => [action, page]));
}

/** Sends what is left from before. Where nothing is being typed, the page that has it in is the better one. */
async function begin() {
  if (!(await mine())) return;
  const before = await list();
  const sent = sentByOthers(new Set(before.map(({ action }) => action)));
  if (!before.length && !Object.keys(sent).length) return;
  arrived(sent);
  const saved = await deliver();
  const meanwhile = await sentMeanwhile(before, saved);
  arrived(meanwhile);
  const all = { ...sent, ...meanwhile, ...saved };
  const here = Object.keys(all).find((action) => formsOf(action).length);
  if (here && !document.activeElement?.matches('input, textarea')) location.replace(all[here]);
}
const again = () => begin().catch(() => {});
addEventListener('online', again);
// the worker has learned who is signed in
navigator.serviceWorker?.addEventListener('message', again);
again();
