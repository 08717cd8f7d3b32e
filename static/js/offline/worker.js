// The service worker. Pages come from the network where there is one; what a page says may be kept is kept under the name
// of its sign-in, so that nobody else on this device ever gets it. /sw.js starts it with the build and its files.
import { PAGES, forget, forgetMe, forgetPages, know, leave, leaving, me, send } from './queue.js';

const APP = 'dowel app ';
/** With a copy at hand, a page is waited for so long. */
const PATIENCE_MS = 4000;
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
    if ((await send()).stop === 'later') throw new Error('no signal yet');
  });
  self.addEventListener('fetch', (event) => {
    const { request } = event;
    const url = new URL(request.url);
    if (url.origin !== self.location.origin) return;
    if (url.pathname.startsWith('/static/') && request.method === 'GET') event.respondWith(asset(request, url));
    else if (request.mode !== 'navigate') return;
    else if (request.method === 'GET') event.respondWith(page(event, url, app));
    else if (!request.headers.get('content-type')?.startsWith('multipart/')) event.respondWith(form(event, url, app));
  });
}

/** Files have their content's name in their address: a copy is never out of date. */
async function asset(request, url) {
  const copy = await caches.match(request, { ignoreVary: true });
  if (copy) return copy;
  const answer = await fetch(request);
  if (answer.ok) await (await caches.open(APP + url.pathname.split('/')[2])).put(request, answer.clone());
  return answer;
}

async function page(event, url, app) {
  // where this device's store cannot be read nothing is kept and nobody is leaving: the network answers
  if (await leaving().catch(() => false)) {
    const signal = AbortSignal.timeout(PATIENCE_MS);
    const told = await fetch('/sign-out', { method: 'POST', redirect: 'manual', signal }).catch(() => null);
    if (!heard(told)) return plain(app, ...SIGNED_OUT);
    await forget().catch(() => {});
  }
  const copy = await kept(url).catch(() => undefined);
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
    return plain(app, 'Not sent', 'There is no signal, so this was not sent. Go back: what you typed is still there.');
  }
}

/** Signed out is signed out: where the server did not hear of it, nothing is shown until it has. */
async function signOut(event, app) {
  await forgetPages().catch(() => {});
  const answer = await fetch(event.request).catch(() => null);
  await forget().catch(() => {});
  if (heard(answer)) return answer;
  await leave().catch(() => {});
  return plain(app, ...SIGNED_OUT);
}

const heard = (answer) => Boolean(answer) && (answer.type === 'opaqueredirect' || answer.status < 400);

const SIGNED_OUT = ['Signed out', 'Nothing of yours is left on this phone. The server hears of it as soon as there is a signal.'];

const today = (zone) => new Intl.DateTimeFormat('sv-SE', { timeZone: zone }).format(new Date());

/** What a page is kept under: words about what was just done are no part of it. */
function place(url) {
  return url.pathname + (/[?&](said|part)=/.test(url.search) ? '' : url.search);
}

async function kept(url) {
  const who = await me();
  if (!who) return undefined;
  const address = url.pathname === '/' || url.pathname === '/today' ? `/days/${today(who.zone)}` : place(url);
  return caches.match(address, { cacheName: PAGES + who.key, ignoreVary: true });
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
  for (const client of await self.clients.matchAll({ includeUncontrolled: true })) client.postMessage({ person: facts.person });
  if (changed) return fetchDays(app, true);
  const cache = await caches.open(PAGES + facts.key);
  const date = new Date().toUTCString();
  for (const { path, version, html } of pages) {
    const headers = { 'content-type': 'text/html; charset=utf-8', date, 'dowel-version': version };
    if (html) await cache.put(path, new Response(html, { headers }));
  }
  const listed = new Set(pages.map(({ path }) => path));
  for (const path of Object.keys(have)) if (!listed.has(path)) await cache.delete(path, { ignoreVary: true });
  await tidy(app);
}

/** Files of earlier builds go when no kept page needs them any more, and never while a new build is on its way in. */
async function tidy(app) {
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith(APP) && name !== app);
  if (!older.length || self.registration.waiting || self.registration.installing) return;
  const used = new Set();
  for (const name of names.filter((n) => n.startsWith(PAGES))) {
    const cache = await caches.open(name);
    for (const copy of await cache.matchAll()) for (const [, build] of (await copy.text()).matchAll(/\/static\/(\w+)\//g)) used.add(APP + build);
  }
  for (const name of older) if (!used.has(name)) await caches.delete(name);
}

/** A kept page that says how old it is. */
async function aged(copy) {
  const who = await me();
  const at = new Date(copy.headers.get('date') ?? Date.now());
  const words = (options) => new Intl.DateTimeFormat('en-GB', { timeZone: who?.zone, ...options }).format(at);
  const clock = words({ hour: '2-digit', minute: '2-digit' });
  const iso = new Intl.DateTimeFormat('sv-SE', { timeZone: who?.zone }).format(at);
  const day = who && iso === today(who.zone) ? 'today' : words({ weekday: 'long', day: 'numeric', month: 'long' });
  const html = (await copy.text())
    .replace(/<p class="said"[^]*?<\/p>/, '')
    .replace('<main id="main">', `$&<p class="notice" role="status" data-aged>No signal. This page is as it was ${day} at ${clock}. What you log waits here and is sent later.</p>`);
  return new Response(html, { headers: { 'content-type': 'text/html; charset=utf-8', 'content-security-policy': copy.headers.get('content-security-policy') ?? POLICY } });
}

const POLICY = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; media-src 'self'; connect-src 'self'; manifest-src 'self'; worker-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

async function shell(app, change) {
  const copy = (await caches.match('/no-signal', { cacheName: app })) ?? (await caches.match('/no-signal'));
  const html = change((await copy?.text()) ?? '<!doctype html><title>No signal</title><h1>No signal</h1>');
  return new Response(html, { status: 503, headers: { 'content-type': 'text/html; charset=utf-8', 'content-security-policy': POLICY } });
}

/** A page that is not kept: which ones are. */
async function nothing(app) {
  const who = await me().catch(() => undefined);
  const cache = who && (await caches.open(PAGES + who.key));
  const paths = (cache ? await cache.keys() : []).map((request) => new URL(request.url).pathname);
  const days = paths.filter((path) => path.startsWith('/days/')).sort();
  const words = (path) => new Date(`${path.slice(6)}T12:00Z`).toLocaleDateString('en-GB', { weekday: 'long', day: 'numeric', month: 'long', timeZone: 'UTC' });
  const links = days.map((path) => `<li><a href="${path}">${words(path)}</a></li>`);
  if (paths.includes('/history')) links.push('<li><a href="/history">History</a></li>');
  return shell(app, (html) => html.replace('<ul data-kept>', `$&${links.join('') || '<li>nothing yet</li>'}`));
}

const plain = (app, title, text) =>
  shell(app, (html) => html.replace(/<h1>[^]*<\/h1>[^]*<\/div>/, `<h1>${title}</h1><p>${text}</p>`).replace(/<title>[^<]*/, `<title>${title} · Dowel`));
