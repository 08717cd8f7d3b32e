// The service worker. Pages come from the network where there is one; what a page says may be kept is kept under the name
// of its sign-in, so that nobody else on this device ever gets it. /sw.js starts it with the build and its files.
import { PAGES, forget, forgetMe, forgetPages, know, leave, leaving, me, send, within } from './queue.js';

const APP = 'dowel app ';
/** With a copy at hand, a page is waited for so long. */
const PATIENCE_MS = 4000;
/** The network is asked when this device's store has been silent for so long. */
const PROMPT_MS = 1000;
/** A store that was silent is not waited for again, file after file, for so long. */
const SILENCE_MS = 30_000;
/** Signing out waits so long for the server. */
const GOODBYE_MS = 10_000;
/** The coming days are asked for again after so long. */
const FRESH_MS = 600_000;

export function work(build, files) {
  const app = APP + build;
  const on = (name, act) => self.addEventListener(name, (event) => event.waitUntil(act(event)));
  on('install', async () => {
    const whole = caches.open(app).then((cache) => cache.addAll([...files, '/no-signal']));
    await Promise.all([whole, firstVisit(app)]);
  });
  on('activate', async () => {
    await self.clients.claim();
    await tidy(app);
  });
  on('message', async ({ data }) => {
    if (data === 'now') await self.skipWaiting();
    if (data === 'refresh') await refresh(app);
  });
  on('sync', async () => {
    const { saved, stop } = await send();
    if (Object.keys(saved).length) await tell({ sent: true });
    if (stop === 'later') throw new Error('no signal yet');
  });
  self.addEventListener('fetch', (event) => {
    const { request } = event;
    const url = new URL(request.url);
    if (url.origin !== self.location.origin) return;
    if (url.pathname.startsWith('/static/') && request.method === 'GET') event.respondWith(asset(event, url));
    else if (request.mode !== 'navigate') return;
    else if (request.method === 'GET') event.respondWith(page(event, url, app));
    else if (!request.headers.get('content-type')?.startsWith('multipart/')) event.respondWith(form(event, url, app));
  });
}

/** What the device's store says, soon; undefined where it is silent, closed or damaged. */
const quick = (asked) => within(asked, PROMPT_MS).catch(() => undefined);

/** Async, so that a store which throws at once is one that fails. */
const find = async (what, options) => caches.match(what, options);

let silentAt = 0;
/** A file that is kept. */
async function fileAtHand(request) {
  if (Date.now() - silentAt < SILENCE_MS) return undefined;
  return within(find(request, { ignoreVary: true }), PROMPT_MS).catch(() => void (silentAt = Date.now()));
}

/** Files have their content's name in their address: a copy is never out of date. */
async function asset(event, url) {
  const copy = await fileAtHand(event.request);
  if (copy) return copy;
  const answer = await fetch(event.request);
  // a full store keeps nothing from being shown
  if (answer.ok) event.waitUntil(keepFile(event.request, url, answer.clone()));
  return answer;
}

async function keepFile(request, url, answer) {
  await (await caches.open(APP + url.pathname.split('/')[2])).put(request, answer);
}

async function page(event, url, app) {
  // where this device's store says nothing, nothing is kept and nobody is leaving: the network answers
  const [goes, copy] = await Promise.all([leaving(), kept(url)].map(quick));
  if (goes) {
    const signal = AbortSignal.timeout(PATIENCE_MS);
    const told = await fetch('/sign-out', { method: 'POST', redirect: 'manual', signal }).catch(() => null);
    if (!heard(told)) return plain(app, STILL_IN, TOLD_LATER);
    await forget().catch(() => {});
  }
  const asked = fetch(event.request);
  const late = copy && new Promise((_, no) => setTimeout(() => no(new Error('late')), PATIENCE_MS));
  try {
    const answer = await (copy ? Promise.race([asked, late]) : asked);
    if (answer.status >= 500 && copy) return aged(copy);
    event.waitUntil(keep(url, answer.clone(), app));
    return answer;
  } catch {
    asked.catch(() => {});
    return copy ? aged(copy) : nothing(app);
  }
}

/** A form that a page did not send by itself. Nothing is kept of it here: going back brings what was typed. */
async function form(event, url, app) {
  const out = url.pathname === '/sign-out';
  if (out) return signOut(event, app);
  try {
    const answer = await fetch(event.request);
    // kit, limits or a wish may change every coming day
    event.waitUntil(me().then((who) => who && know({ ...who, at: 0 })));
    return answer;
  } catch {
    return plain(app, 'Not sent', '<p>There is no signal, so this was not sent. Go back: what you typed is still there.</p>');
  }
}

/**
 * Everything of theirs goes from the device whatever the server says. Where it did not hear of it, that is said, and nothing
 * is shown until it has: the sign-in itself is the server's to end.
 */
async function signOut(event, app) {
  await Promise.all([leave(), forgetPages()].map(quick));
  const answer = await within(fetch(event.request), GOODBYE_MS).catch(() => null);
  await quick(forget());
  if (heard(answer)) return answer;
  const noted = await quick(leave().then(() => true));
  return plain(app, STILL_IN, noted ? TOLD_LATER : TELL_NOW);
}

const heard = (answer) => Boolean(answer) && (answer.type === 'opaqueredirect' || answer.status < 400);

const STILL_IN = 'Not signed out at the server yet';
const GONE_HERE = '<p>What this phone kept of yours is gone. Dowel could not be reached, so your sign-in still counts there.</p>';
const AGAIN = '<form method="post" action="/sign-out"><button>Try again</button></form>';
const TOLD_LATER = `${GONE_HERE}<p>Until Dowel has heard of it nothing is shown on this phone. It is told whenever a page is opened here, or now:</p>${AGAIN}`;
/** The device cannot even note that somebody is leaving. */
const TELL_NOW = `${GONE_HERE}<p>Do not hand this phone on before it has worked.</p>${AGAIN}`;

const today = (zone) => new Intl.DateTimeFormat('sv-SE', { timeZone: zone }).format(new Date());

/** What a page is kept under: words about what was just done are no part of it. */
function place(url) {
  return url.pathname + (/[?&](said|part)=/.test(url.search) ? '' : url.search);
}

async function kept(url) {
  const who = await me();
  if (!who) return undefined;
  const address = url.pathname === '/' || url.pathname === '/today' ? `/days/${today(who.zone)}` : place(url);
  return find(address, { cacheName: PAGES + who.key, ignoreVary: true });
}

async function keep(url, answer, app) {
  if (answer.status !== 200) return;
  // asked to sign in: whoever was here before is not, as far as anybody can tell
  if (url.pathname === '/sign-in') return signedOut();
  const key = answer.headers.get('dowel-keep');
  if (!key) return;
  if ((await me())?.key !== key) await refresh(app, true);
  const address = answer.headers.get('content-location') ?? place(url);
  // a coming day is kept as it will be on the day, with its forms; as one reads it now it has none
  if (address.startsWith('/days/') && address.slice(6) > today((await me())?.zone)) return;
  await (await caches.open(PAGES + key)).put(address, answer);
}

/**
 * The worker counts as installed only when the coming days are here. The pages that are open came before it did: they are
 * asked for once more, to be kept. Without a signal it does without: the next visit brings them.
 */
async function firstVisit(app) {
  if (await me()) return;
  await refresh(app, true);
  const open = await self.clients.matchAll({ type: 'window', includeUncontrolled: true });
  const paths = new Set(open.map(({ url }) => url.split('#')[0]));
  await Promise.all([...paths].map((at) => again(new URL(at), app).catch(() => {})));
}

async function again(url, app) {
  if (await kept(url)) return;
  await keep(url, await fetch(url, { redirect: 'manual' }), app);
}

async function signedOut() {
  await forgetPages();
  await forgetMe();
}

/** The pages that are open look again at what waits. */
async function tell(news) {
  for (const client of await self.clients.matchAll({ includeUncontrolled: true })) client.postMessage(news);
}

let running = null;

/** Gets the coming days; several calls at once are one. */
function refresh(app, force = false) {
  running ??= fetchDays(app, force).catch(() => {}).finally(() => (running = null));
  return running;
}

async function fetchDays(app, force) {
  const who = await me();
  if (!force && who && Date.now() - who.at < FRESH_MS) return;
  const have = {};
  const old = who && (await caches.open(PAGES + who.key));
  for (const request of who ? await old.keys() : []) {
    const version = (await old.match(request, { ignoreVary: true }))?.headers.get('dowel-version');
    if (version) have[new URL(request.url).pathname] = version;
  }
  const answer = await fetch('/offline/pages', {
    method: 'POST',
    headers: { 'content-type': 'application/json' },
    body: JSON.stringify({ have }),
    redirect: 'manual',
  });
  if (answer.type === 'opaqueredirect') return signedOut();
  if (!answer.ok) return;
  const { pages, ...facts } = await answer.json();
  await forgetPages(facts.key);
  // another sign-in has nothing yet of what was said to be there
  const changed = who && who.key !== facts.key;
  await know({ ...facts, at: changed ? 0 : Date.now() });
  await tell({ person: facts.person });
  if (changed) return fetchDays(app, true);
  const cache = await caches.open(PAGES + facts.key);
  const date = new Date().toUTCString();
  for (const { path, version, html } of pages) {
    if (html) await cache.put(path, htmlUnder(answer.headers, html, { date, 'dowel-version': version }));
    else await confirm(cache, path, date);
  }
  const listed = new Set(pages.map(({ path }) => path));
  for (const path of Object.keys(have)) if (!listed.has(path)) await cache.delete(path, { ignoreVary: true });
  await tidy(app);
}

/** A page that is still what it was is as of now. */
async function confirm(cache, path, date) {
  const copy = await cache.match(path, { ignoreVary: true });
  if (copy) await cache.put(path, htmlUnder(copy.headers, await copy.text(), { date }));
}

/** A page with the headers that the server sent, what it may load among them; they are the same for every page. */
function htmlUnder(sent, html, more = {}, status = 200) {
  const headers = new Headers(sent);
  for (const name of ['content-length', 'content-encoding']) headers.delete(name);
  headers.set('content-type', 'text/html; charset=utf-8');
  for (const [name, value] of Object.entries(more)) headers.set(name, value);
  return new Response(html, { status, headers });
}

/** `inside` in the place that the server marks with `<!--name-->` and `<!--/name-->`. */
function put(html, name, inside) {
  const from = html.indexOf(`<!--${name}-->`);
  const to = html.indexOf(`<!--/${name}-->`, from);
  return from < 0 || to < 0 ? html : html.slice(0, from) + inside + html.slice(to);
}

/** Files of earlier builds go when no kept page needs them any more, and never while a new build is on its way in. */
async function tidy(app) {
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith(APP) && name !== app);
  if (!older.length || self.registration.waiting || self.registration.installing) return;
  const texts = [];
  for (const name of names.filter((n) => n.startsWith(PAGES))) {
    for (const copy of await (await caches.open(name)).matchAll()) texts.push(await copy.text());
  }
  const used = (name) => texts.some((text) => text.includes(`/static/${name.slice(APP.length)}/`));
  for (const name of older) if (!used(name)) await caches.delete(name);
}

/** A kept page that says how old it is. */
async function aged(copy) {
  const who = await quick(me());
  const at = new Date(copy.headers.get('date') ?? Date.now());
  const words = (options) => new Intl.DateTimeFormat('en-GB', { timeZone: who?.zone, ...options }).format(at);
  const clock = words({ hour: '2-digit', minute: '2-digit' });
  const iso = new Intl.DateTimeFormat('sv-SE', { timeZone: who?.zone }).format(at);
  const day = who && iso === today(who.zone) ? 'today' : words({ weekday: 'long', day: 'numeric', month: 'long' });
  const notice = `<p class="notice" role="status" data-aged>No signal. This page is as it was ${day} at ${clock}. What you log waits here and is sent later.</p>`;
  // what was just done when it was kept is no news any more
  return htmlUnder(copy.headers, put(put(await copy.text(), 'said', ''), 'aged', notice));
}

/** Of a page that stands by itself. */
const BARE = { 'content-security-policy': "default-src 'none'; form-action 'self'", 'referrer-policy': 'same-origin' };

/** The page for no signal, with a title and what stands on it. */
async function shell(app, title, inside) {
  const at = (options) => quick(find('/no-signal', options));
  const copy = (await at({ cacheName: app })) ?? (await at());
  if (!copy) return htmlUnder(BARE, `<!doctype html><meta name="viewport" content="width=device-width"><title>${title}</title><h1>${title}</h1>${inside}`, {}, 503);
  const html = put(await copy.text(), 'page', `<h1>${title}</h1>${inside}`);
  return htmlUnder(copy.headers, html.replace('<title>No signal', `<title>${title}`), {}, 503);
}

const plain = (app, title, inside) => shell(app, title, `<div class="flow">${inside}</div>`);

/** What is kept for whoever is signed in. */
async function pathsKept() {
  const who = await me();
  const requests = who ? await (await caches.open(PAGES + who.key)).keys() : [];
  return requests.map((request) => new URL(request.url).pathname);
}

/** A page that is not kept: which ones are. */
async function nothing(app) {
  const paths = (await quick(pathsKept())) ?? [];
  const days = paths.filter((path) => path.startsWith('/days/')).sort();
  const words = (path) => new Date(`${path.slice(6)}T12:00Z`).toLocaleDateString('en-GB', { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' });
  const links = days.map((path) => `<li><a href="${path}">${words(path)}</a></li>`);
  if (paths.includes('/history')) links.push('<li><a href="/history">History</a></li>');
  return shell(app, 'No signal', `<div class="empty"><p>This page needs a signal, and this phone keeps no copy of it. Nothing that you logged is lost.</p>
<p>Kept here:</p><ul>${links.join('') || '<li>nothing yet</li>'}</ul></div>`);
}
