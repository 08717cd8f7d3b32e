// The phone without a signal, in a real browser: kept days, results that wait, two people on one phone, a new build under way.
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import { browser, phone } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';
import { relay } from './relay.mjs';
import { log, logForm, pagesKept, until, waiting } from './visit.mjs';

const TEXT = `Lamp room
Aim: one pace from first to last.

A. For time, cap 12:00
4 rounds
12 air squats
9 push-ups

B. Stretch
2 rounds
20 s side plank each side
`;

let chromium;
let place;
let signal;
let count = 0;
before(async () => {
  chromium = await browser();
  place = await practice([{ on: day(), text: TEXT }, { on: day(1), text: TEXT.replace('Lamp room', 'Sail loft') }]);
  signal = await relay(place.dowel.address);
});
after(async () => {
  await chromium.close();
  await signal.close();
  await place.stop();
});
beforeEach(() => Object.assign(signal, { off: false, down: null, saying: 502, dropAnswers: 0, build: null, seen: [] }));

/** A phone of a member who has visited once. */
async function visited(name = `member${(count += 1)}`) {
  const member = await place.member(name);
  const context = await phone(chromium);
  await context.addCookies([cookieFor(signal.address, member.call)]);
  const page = await context.newPage();
  await page.goto(`${signal.address}/today`);
  await until(page, pagesKept, (n) => n >= 6);
  await until(page, () => Boolean(navigator.serviceWorker.controller));
  return { member, context, page };
}

/** Goes to a page; where the page that is open goes on by itself at the same moment, again. */
const open = (page, path, times = 3) =>
  page.goto(signal.address + path).catch((error) => {
    if (times === 1 || !/ERR_ABORTED|interrupted by another navigation/.test(error.message)) throw error;
    return open(page, path, times - 1);
  });

/** What the server has for the member's first part today. */
async function stands(member) {
  const page = (await member.call(`/days/${day()}`)).text;
  const results = [...new Set([...page.matchAll(/href="\/results\/(\d+)"/g)].map((m) => m[1]))];
  const score = page.match(/You logged <b>([^<]*)/)?.[1];
  return { results: results.length, score, id: results[0] };
}
const sends = () => signal.seen.filter(({ method, path }) => method === 'POST' && path.endsWith('/result'));

test('the whole session without a signal, from opening to logging, is one result when there is one again', async () => {
  const { member, context, page } = await visited();
  signal.off = true;
  await open(page, '/');
  assert.match(await page.locator('[data-aged]').textContent(), /No signal\. This page is as it was today at \d\d:\d\d/);
  assert.equal(await page.locator('h1').textContent(), 'Lamp room');
  assert.ok((await page.locator('.cues li').count()) > 0, 'cues are there');
  assert.equal(await page.evaluate(() => getComputedStyle(document.querySelector('.part')).display !== 'inline'), true, 'it is styled');
  await page.getByRole('link', { name: 'Start the clock' }).first().click();
  await page.locator('[data-tap]').tap();
  await page.waitForFunction(() => document.querySelector('[data-tap]').textContent === 'Round done');
  await page.locator('.clock-face').tap();
  await page.getByRole('button', { name: 'Stop' }).tap();
  await page.getByRole('link', { name: 'Log it' }).tap();
  await logForm(page).waitFor();
  assert.equal(await logForm(page).locator('[name=score]').inputValue(), '21 reps');
  await logForm(page).getByRole('button', { name: 'Save' }).click();
  await waiting(page).waitFor();
  assert.match(await waiting(page).textContent(), /Waiting to send: 21 reps/);
  await page.reload();
  assert.match(await waiting(page).textContent(), /Waiting to send: 21 reps/, 'it is still there');
  assert.deepEqual(await stands(member), { results: 0, score: undefined, id: undefined });
  signal.off = false;
  await open(page, '/today');
  await page.locator('.part.done').waitFor();
  assert.equal(sends().length, 1);
  assert.equal((await stands(member)).results, 1);
  // another day opens too, with its own form and clock
  signal.off = true;
  await open(page, `/days/${day(1)}`);
  assert.equal(await page.locator('h1').textContent(), 'Sail loft');
  assert.equal(await page.locator('form.score').count() > 0, true, 'as it will be on the day');
  await open(page, '/review');
  assert.equal(await page.locator('h1').textContent(), 'No signal');
  await page.locator(`a[href="/days/${day()}"]`).click();
  await page.locator('[data-aged]').waitFor();
  await context.close();
});

test('cut off between sending and the answer, and sent again, it is one result', async () => {
  const { member, context, page } = await visited();
  await open(page, `/days/${day()}`);
  // browsers try a second time by themselves: every answer is lost until there is a better signal
  signal.dropAnswers = Infinity;
  await log(page, '7:42');
  await waiting(page).waitFor();
  signal.dropAnswers = 0;
  assert.equal((await stands(member)).score, '7:42', 'the server has it, the phone does not know');
  await open(page, `/movements`);
  await open(page, `/days/${day()}`);
  await until(page, () => document.querySelector('.part.done') !== null);
  await until(page, () => new Promise((yes) => { const r = indexedDB.open('dowel'); r.onsuccess = () => { const q = r.result.transaction('waiting').objectStore('waiting').count(); q.onsuccess = () => yes(q.result === 0); }; }));
  assert.ok(sends().length >= 2, `${sends().length} were sent`);
  const { results, id } = await stands(member);
  assert.equal(results, 1);
  assert.doesNotMatch((await member.call(`/results/${id}`)).text, /<h2>Before/, 'and was never changed');
  await context.close();
});

/** Sends what waits from another tab, as the worker does when it is told of a signal. */
const quicker = (page) =>
  page.evaluate(async () => {
    const build = document.querySelector('script[src^="/static/"]').src.split('/')[4];
    const { send } = await import(`/static/${build}/js/offline/queue.js`);
    return (await send()).stop;
  });

test('what another tab sends first is seen on the page that was sending it', async () => {
  const { member, context, page } = await visited();
  await open(page, `/days/${day()}`);
  const other = await context.newPage();
  await open(other, '/history');
  // another holds the line for so long that the page finds nothing left to send
  await page.evaluate(() => {
    const { request } = navigator.locks;
    navigator.locks.request = async (name, work) => {
      if (name === 'dowel send') await new Promise((go) => (window.goOn = go));
      return request.call(navigator.locks, name, work);
    };
  });
  await log(page, '7:42');
  await page.waitForFunction(() => window.goOn);
  assert.equal(await quicker(other), null);
  await page.evaluate(() => window.goOn());
  await page.locator('.part.done').waitFor();
  assert.equal((await stands(member)).results, 1);
  await context.close();
});

test('what another tab sends while this one waits for its turn, with the signal just back, is seen here too', async () => {
  const { member, context, page } = await visited();
  const other = await context.newPage();
  await open(other, '/history');
  signal.off = true;
  await open(page, `/days/${day()}`);
  await log(page, '7:42');
  await waiting(page).waitFor();
  await page.evaluate(() => {
    const { request } = navigator.locks;
    navigator.locks.request = async (name, work) => {
      if (name === 'dowel send') await new Promise((go) => (window.goOn = go));
      return request.call(navigator.locks, name, work);
    };
    document.activeElement?.blur();
  });
  signal.off = false;
  await page.evaluate(() => dispatchEvent(new Event('online')));
  await page.waitForFunction(() => window.goOn);
  assert.equal(await quicker(other), null);
  await page.evaluate(() => window.goOn());
  await page.locator('.part.done').waitFor();
  assert.equal((await stands(member)).results, 1);
  await context.close();
});

test('edited while it waits, and re-ordered on the way, the last edit stands once', async () => {
  const { member, context, page } = await visited();
  signal.dropAnswers = Infinity;
  await open(page, `/days/${day()}`);
  await log(page, '8:10');
  await waiting(page).waitFor();
  signal.off = true;
  signal.dropAnswers = 0;
  await log(page, '8:01');
  await page.getByText('Waiting to send: 8:01').waitFor();
  signal.off = false;
  await open(page, `/movements`);
  await open(page, `/days/${day()}`);
  await page.locator('.part.done').waitFor();
  // the network brings both again, the older one last
  const bodies = sends().map(({ path, body }) => ({ path, body }));
  assert.equal(new Set(bodies.map(({ body }) => new URLSearchParams(body).get('client_id'))).size, 1);
  for (const { path, body } of [...bodies].reverse().concat(bodies[0])) {
    await page.evaluate(([to, text]) => fetch(to, { method: 'POST', body: new URLSearchParams(text), redirect: 'manual' }), [path, body]);
  }
  const { results, score } = await stands(member);
  assert.deepEqual([results, score], [1, '8:01']);
  await context.close();
});

test('what cannot be read comes back with the reason and what was typed', async () => {
  const { member, context, page } = await visited();
  signal.off = true;
  await open(page, '/today');
  await log(page, 'quick');
  await waiting(page).waitFor();
  signal.off = false;
  await open(page, '/today');
  await page.locator('.notice.bad[data-waiting]').waitFor();
  assert.match(await waiting(page).textContent(), /Not taken: quick\./);
  assert.equal(await logForm(page).locator('[name=score]').inputValue(), 'quick');
  assert.equal(await logForm(page).locator('[name=rpe]:checked').inputValue(), '7');
  await log(page, '9:30');
  await page.locator('.part.done').waitFor();
  assert.deepEqual([(await stands(member)).results, (await stands(member)).score], [1, '9:30']);
  await context.close();
});

test('a change of a result that is not taken says so on its page', async () => {
  const { context, page } = await visited();
  const failed = [];
  page.on('pageerror', ({ message }) => failed.push(message));
  await open(page, '/today');
  await log(page, '9:30');
  await page.locator('.part.done').waitFor();
  await open(page, await page.locator('details.part').first().locator('a', { hasText: 'Change it' }).getAttribute('href'));
  await page.locator('form.score [name=score]').fill('quick');
  await page.locator('form.score').getByRole('button', { name: /^Save/ }).click();
  await waiting(page).waitFor();
  assert.match(await waiting(page).textContent(), /Not taken: quick\./);
  assert.equal(await page.locator('form.score [name=score]').inputValue(), 'quick');
  await page.waitForLoadState('networkidle');
  assert.deepEqual(failed, []);
  await context.close();
});

test('of an emptied time it is said that the time is missing, and not that somebody typed done', async () => {
  const { context, page } = await visited();
  await open(page, '/today');
  await log(page, '');
  await waiting(page).waitFor();
  const said = await waiting(page).textContent();
  assert.match(said, /^Not taken\. The time is missing\./);
  await context.close();
});

test('after a sign-in has run out it waits for the same person, and is sent as nobody else', async () => {
  const ines = await visited();
  signal.off = true;
  await open(ines.page, '/today');
  await log(ines.page, '7:07');
  await waiting(ines.page).waitFor();
  const cookies = await ines.context.cookies();
  await ines.context.clearCookies();
  signal.off = false;
  // still on her page: it says what to do
  await ines.page.evaluate(() => dispatchEvent(new Event('online')));
  await ines.page.getByRole('link', { name: 'Sign in again' }).waitFor();
  // somebody else signs in on this phone
  const odo = await place.member(`odo${count}`);
  await ines.context.addCookies([cookieFor(signal.address, odo.call)]);
  await open(ines.page, '/today');
  await until(ines.page, pagesKept, (n) => n >= 6);
  await ines.page.evaluate(() => dispatchEvent(new Event('online')));
  assert.equal(await waiting(ines.page).count(), 0);
  assert.equal(await ines.page.getByText('7:07').count(), 0);
  assert.equal((await stands(odo)).results, 0);
  const kept = await ines.page.evaluate(() => new Promise((yes) => { const r = indexedDB.open('dowel'); r.onsuccess = () => { const q = r.result.transaction('waiting').objectStore('waiting').getAll(); q.onsuccess = () => yes(q.result.map((e) => JSON.stringify(Object.keys(e).sort()) + new TextDecoder().decode(e.sealed))); }; }));
  assert.equal(kept.length, 1, 'it is not lost');
  assert.doesNotMatch(kept[0], /7:07|score/, 'and sealed');
  // he signs out, with nothing of hers
  await open(ines.page, '/you');
  await ines.page.getByRole('button', { name: 'Sign out' }).click();
  await ines.page.waitForURL(/sign-in/);
  // she is back
  await ines.context.clearCookies();
  await ines.context.addCookies(cookies);
  await open(ines.page, '/today');
  await until(ines.page, pagesKept, (n) => n >= 6);
  await open(ines.page, '/today');
  await until(ines.page, () => document.querySelector('.part.done') !== null);
  assert.deepEqual([(await stands(ines.member)).results, (await stands(ines.member)).score], [1, '7:07']);
  await ines.context.close();
});

test('signing out leaves nothing on the phone, with a signal and without', async () => {
  for (const off of [false, true]) {
    const { context, page } = await visited();
    await open(page, '/you');
    await page.evaluate(() => localStorage.setItem('dowel draft 1 x', 'typed'));
    signal.off = off;
    await page.getByRole('button', { name: 'Sign out' }).click();
    if (off) await page.getByRole('heading', { name: 'Not signed out at the server yet' }).waitFor();
    else await page.waitForURL(/sign-in/);
    signal.off = true;
    await open(page, '/today').catch(() => {});
    const text = await until(page, () => document.readyState === 'complete' && document.documentElement.outerHTML);
    assert.doesNotMatch(text, /Lamp room/, `off: ${off}`);
    if (off) {
      const left = await page.evaluate(async () => [(await caches.keys()).filter((k) => k.startsWith('dowel pages')).length, localStorage.length]);
      assert.deepEqual(left, [0, 0]);
      // the server hears of it with the first signal, before any page is shown
      signal.off = false;
      await open(page, '/today');
      assert.match(page.url(), /sign-in/);
    }
    signal.off = false;
    await context.close();
  }
});

test('a sign-out that the server does not hear of, as it is down, stands until it does', async () => {
  for (const late of [false, true]) {
    const { context, page } = await visited();
    await open(page, '/you');
    signal.off = late;
    signal.down = /./;
    await page.getByRole('button', { name: 'Sign out' }).click();
    await page.getByRole('heading', { name: 'Not signed out at the server yet' }).waitFor();
    signal.off = false;
    await open(page, '/today');
    assert.equal(await page.locator('h1').textContent(), 'Not signed out at the server yet');
    signal.down = null;
    await open(page, '/today');
    assert.match(page.url(), /sign-in/);
    await context.close();
  }
});

test('a sign-out that was not heard can be tried again there and then, and says each time whether it was', async () => {
  const { context, page } = await visited();
  const cookies = await context.cookies();
  await open(page, '/you');
  signal.off = true;
  await page.getByRole('button', { name: 'Sign out' }).click();
  const notYet = page.getByRole('heading', { name: 'Not signed out at the server yet' });
  await notYet.waitFor();
  assert.match(await page.locator('main').textContent(), /your sign-in still counts there/);
  assert.equal(await page.title(), 'Not signed out at the server yet · Dowel');
  await page.getByRole('button', { name: 'Try again' }).tap();
  await page.waitForLoadState();
  await notYet.waitFor();
  signal.off = false;
  await page.getByRole('button', { name: 'Try again' }).tap();
  await page.waitForURL(/sign-in/);
  // the sign-in itself has ended, whoever still holds it
  await context.addCookies(cookies);
  await open(page, '/today');
  assert.match(page.url(), /sign-in/);
  await context.close();
});

test('kept pages come with the headers that the server sent, whichever way they came', async () => {
  const { context, page } = await visited();
  const wanted = ['content-security-policy', 'permissions-policy', 'referrer-policy', 'x-content-type-options', 'x-frame-options', 'cross-origin-opener-policy'];
  // today was opened, tomorrow came with the coming days, of the last nothing is kept
  await open(page, '/today');
  const online = await page.reload();
  const sent = online.headers();
  signal.off = true;
  for (const path of ['/today', `/days/${day(1)}`, '/sessions/1/parts/0/clock', '/review']) {
    const headers = (await page.goto(signal.address + path)).headers();
    for (const name of wanted) assert.equal(headers[name], sent[name], `${name} of ${path}`);
  }
  await context.close();
});

test('words about what was just done are no news any more on a kept page', async () => {
  const { context, page } = await visited();
  await open(page, '/today');
  await log(page, '7:30');
  await page.locator('.said').waitFor();
  await until(page, async () => {
    for (const name of (await caches.keys()).filter((key) => key.startsWith('dowel pages'))) for (const copy of await (await caches.open(name)).matchAll()) if ((await copy.text()).includes('7:30')) return true;
    return false;
  });
  signal.off = true;
  await open(page, '/today');
  assert.equal(await page.locator('[data-aged]').count(), 1);
  assert.equal(await page.locator('.said').count(), 0);
  await context.close();
});

test('what waits and can no longer be opened, or that the server alone stumbles over, does not hold up the rest', async () => {
  const { member, context, page } = await visited();
  signal.off = true;
  await open(page, '/today');
  await log(page, '6:30');
  await waiting(page).waitFor();
  assert.equal(await page.evaluate(() => Object.keys(localStorage).filter((key) => key.startsWith('dowel draft')).length), 0, 'only the sealed one is kept');
  // another entry, older, whose seal is broken, and one that the server has a fault of its own with
  await page.evaluate(() => new Promise((yes) => {
    const r = indexedDB.open('dowel');
    r.onsuccess = () => {
      const waits = r.result.transaction('waiting', 'readwrite').objectStore('waiting');
      waits.getAll().onsuccess = ({ target: { result: [entry] } }) => {
        waits.put({ ...entry, id: `${entry.person} /broken`, action: '/broken', since: 1, sealed: new ArrayBuffer(40) });
        waits.put({ ...entry, id: `${entry.person} /faulty`, action: '/faulty', since: 2 }).onsuccess = () => yes();
      };
    };
  }));
  signal.off = false;
  Object.assign(signal, { down: /^\/faulty/, saying: 500 });
  await open(page, '/today');
  await page.locator('.part.done').waitFor();
  assert.equal((await stands(member)).score, '6:30');
  const broken = page.locator('[data-waiting="/broken"]');
  assert.match(await broken.textContent(), /can no longer be opened on this phone/);
  page.on('dialog', (dialog) => dialog.accept());
  await broken.getByRole('button', { name: 'Throw it away' }).click();
  await page.locator('[data-waiting="/faulty"]').waitFor();
  await broken.waitFor({ state: 'detached' });
  await context.close();
});

/** Logs the other part, which has no score. */
async function logStretch(page) {
  const part = page.locator('details.part').nth(1);
  await part.evaluate((e) => (e.open = e.querySelector('details.to-log').open = true));
  await part.locator('form.score').getByRole('button', { name: 'Save' }).click();
}

test('what the server is too busy for is not passed over: it goes first when there is room, and the rest after it', async () => {
  const { member, context, page } = await visited();
  await page.clock.install();
  signal.off = true;
  await open(page, '/today');
  await log(page, '6:30');
  await waiting(page).waitFor();
  await logStretch(page);
  await page.getByText('Waiting to send: done').waitFor();
  // back on, but only the first is one that the server has no room for
  const [first, second] = [0, 1].map((n) => `/sessions/1/parts/${n}/result`);
  for (const saying of [503, 502, 429]) {
    Object.assign(signal, { off: false, down: new RegExp(first), saying, refused: [] });
    await page.evaluate(() => dispatchEvent(new Event('online')));
    while (!signal.refused.length) await new Promise((done) => setTimeout(done, 25));
    // its turn is over when another may have it
    await page.evaluate(() => navigator.locks.request('dowel send', () => {}));
    assert.deepEqual([sends().length, (await stands(member)).results], [0, 0], `${saying}: nothing went past it`);
  }
  assert.equal(await page.locator('div[data-waiting]').count(), 2, 'both still wait');
  // what is typed while it waits is not put back to what waits
  const part = page.locator('details.part').first();
  await part.evaluate((e) => (e.open = e.querySelector('details.to-log').open = true));
  const typing = part.locator('form.score [name=score]');
  await typing.fill('7:30');
  signal.refused = [];
  await page.evaluate(() => dispatchEvent(new Event('online')));
  while (!signal.refused.length) await new Promise((done) => setTimeout(done, 25));
  await page.evaluate(() => navigator.locks.request('dowel send', () => {}));
  await page.clock.runFor(1000);
  assert.equal(await typing.inputValue(), '7:30');
  await typing.fill('6:30');
  await typing.blur();
  // nothing is touched and no event comes: the page tries again by itself
  signal.down = null;
  await page.clock.runFor(20_100);
  await page.locator('.part.done').nth(1).waitFor();
  assert.deepEqual(sends().map(({ path }) => path), [first, second], 'in order, each once');
  assert.deepEqual([(await stands(member)).results, (await stands(member)).score], [2, '6:30']);
  await context.close();
});

test('a new build in the middle of a session breaks nothing', async () => {
  const { member, context, page } = await visited();
  await open(page, '/sessions/1/parts/0/clock');
  await page.locator('[data-tap]').tap();
  await page.waitForFunction(() => document.querySelector('[data-tap]').textContent === 'Round done');
  await page.locator('.clock-face').tap();
  signal.build = 'feedc0ffee';
  // the new worker comes in and waits; the clock goes on, also when it is loaded again, with and without a signal
  await page.evaluate(async () => { await (await navigator.serviceWorker.ready).update(); });
  await until(page, async () => Boolean((await navigator.serviceWorker.ready).waiting));
  for (const off of [false, true]) {
    signal.off = off;
    await page.reload();
    await page.waitForFunction(() => /^Round 2 of 4/.test(document.querySelector('[data-what]').textContent));
    assert.equal(await page.evaluate(() => getComputedStyle(document.querySelector('.clock')).position), 'fixed', 'styled');
  }
  signal.off = false;
  await page.getByRole('button', { name: 'Stop' }).tap();
  await page.getByRole('link', { name: 'Log it' }).tap();
  await logForm(page).waitFor();
  assert.equal(await logForm(page).locator('[name=score]').inputValue(), '21 reps');
  await logForm(page).getByRole('button', { name: 'Save' }).click();
  await page.locator('.part.done').waitFor();
  assert.equal((await stands(member)).results, 1);
  // with the clock ended and the page left alone the new build takes over
  await until(page, async () => (await navigator.serviceWorker.ready).waiting, Boolean);
  await page.waitForTimeout(5000);
  await until(page, async () => !(await navigator.serviceWorker.ready).waiting);
  await context.close();
});

/** Every word of a page but how old it is, whatever is folded away. */
const wordsOf = (page) =>
  page.locator('main').evaluate((main) => {
    const copy = main.cloneNode(true);
    copy.querySelector('[data-aged]')?.remove();
    return copy.textContent.replace(/\s+/g, ' ').trim();
  });

/** A phone that opens one page for the very first time; it loses the signal the moment its worker is in. */
async function onceThenNothing(path, call) {
  const context = await phone(chromium);
  await context.addCookies([cookieFor(signal.address, call)]);
  const page = await context.newPage();
  await open(page, path);
  const words = await wordsOf(page);
  await until(page, async () => (await navigator.serviceWorker.getRegistration())?.active?.state === 'activated');
  signal.off = true;
  return { context, page, words };
}

test('after the very first visit today and the coming days open without a signal, with their clocks and forms', async () => {
  const member = await place.member(`member${(count += 1)}`);
  const { context, page } = await onceThenNothing('/today', member.call);
  await page.reload();
  assert.match(await page.locator('[data-aged]').textContent(), /No signal/);
  for (const [on, title] of [[day(), 'Lamp room'], [day(1), 'Sail loft']]) {
    await open(page, `/days/${on}`);
    assert.equal(await page.locator('h1').textContent(), title);
    assert.ok((await page.locator('.cues li').count()) > 0, 'cues are there');
    assert.equal(await page.locator('form.score').count(), 2);
    const clocks = await page.locator('a[href$="/clock"]').evaluateAll((all) => all.map((a) => a.getAttribute('href')));
    assert.equal(clocks.length, 2);
    for (const clock of clocks) {
      await open(page, clock);
      await page.locator('[data-tap]').tap();
      await page.waitForFunction(() => document.querySelector('[data-what]').textContent === 'Get ready');
      await page.getByRole('button', { name: 'Stop' }).tap();
      await page.getByRole('button', { name: 'Start over' }).tap();
    }
  }
  await context.close();
});

test('the first visit may be to any page that is kept: history, a result, a past day, the coach’s week', async () => {
  const member = await place.member(`member${(count += 1)}`);
  const form = (await member.call(`/days/${day()}`)).text;
  const field = (name) => form.match(new RegExp(`name="${name}" value="([^"]*)"`))[1];
  const action = form.match(/action="(\/sessions\/\d+\/parts\/0\/result)"/)[1];
  const { to } = await member.call(action, { client_id: field('client_id'), version_id: field('version_id'), version: 'full', score: '6:54', rpe: '6', done_on: day() });
  const result = (await member.call('/history')).text.match(/\/results\/\d+/)[0];
  assert.ok(to, 'it was saved');
  const week = (await place.coach('/week')).to;
  for (const [path, call] of [['/history', member.call], [result, member.call], [`/days/${day(-1)}`, member.call], [week, place.coach]]) {
    signal.off = false;
    const { context, page, words } = await onceThenNothing(path, call);
    const answer = await page.reload();
    assert.equal(answer.fromServiceWorker(), true, path);
    assert.equal(await wordsOf(page), words, path);
    assert.equal(await page.evaluate(() => [...document.styleSheets].every((sheet) => sheet.cssRules.length > 0)), true, `${path} is styled`);
    await context.close();
  }
});

test('two members share a phone and sign in and out: nothing of the first is there for the second', async () => {
  const [ines, odo] = [await place.member(`ines${(count += 1)}`), await place.member(`odo${count}`)];
  const context = await phone(chromium);
  const page = await context.newPage();
  const signIn = async ({ name, password }) => {
    await open(page, '/sign-in');
    await page.getByLabel('E-mail or name').fill(name);
    await page.getByLabel('Password').fill(password);
    await page.getByRole('button', { name: 'Sign in', exact: true }).click();
    await page.locator('h1', { hasText: 'Lamp room' }).waitFor();
    await until(page, pagesKept, (n) => n >= 6);
    await until(page, () => Boolean(navigator.serviceWorker.controller));
  };
  await signIn(ines);
  await open(page, '/sessions/1/parts/0/clock');
  await page.locator('[data-tap]').tap();
  await open(page, '/today');
  await log(page, '5:55');
  await page.locator('.part.done').waitFor();
  const { id } = await stands(ines);
  await open(page, `/results/${id}`);
  await open(page, '/history');
  await open(page, '/you');
  await page.getByRole('button', { name: 'Sign out' }).click();
  await page.waitForURL(/sign-in/);
  await signIn(odo);
  signal.off = true;
  for (const path of [`/results/${id}`, '/history']) {
    await open(page, path).catch(() => {});
    assert.equal(await page.locator('h1').textContent(), 'No signal', path);
  }
  await open(page, '/today');
  assert.equal(await page.locator('.part.done').count(), 0);
  assert.equal(await page.getByRole('link', { name: /^Back to the clock/ }).count(), 0, 'her clock is not his');
  const left = await page.evaluate(async () => {
    const texts = [JSON.stringify(localStorage)];
    for (const name of await caches.keys()) for (const copy of await (await caches.open(name)).matchAll()) texts.push(await copy.text());
    return texts.join('\n');
  });
  assert.ok(left.includes('Lamp room'), 'his own day is there');
  assert.doesNotMatch(left, new RegExp(`5:55|data-person="(?!${await page.evaluate(() => document.body.dataset.person)}")`));
  await context.close();
});

test('an app update comes while a result waits and a clock runs: the result arrives once and the clock goes on', async () => {
  const { member, context, page } = await visited();
  await open(page, '/sessions/1/parts/0/clock');
  await page.locator('[data-tap]').tap();
  signal.off = true;
  await open(page, '/today');
  await log(page, '6:06');
  await waiting(page).waitFor();
  // the signal is back with a newer build; the clock still runs, so the old one goes on and sends
  signal.build = 'feedc0ffee';
  signal.off = false;
  await open(page, '/today');
  await page.locator('.part.done').waitFor();
  await page.evaluate(async () => { await (await navigator.serviceWorker.ready).update(); });
  await until(page, async () => Boolean((await navigator.serviceWorker.ready).waiting));
  await open(page, '/sessions/1/parts/0/clock');
  await page.waitForFunction(() => /^(Get ready|Round 1)/.test(document.querySelector('[data-what]').textContent));
  assert.deepEqual([(await stands(member)).results, (await stands(member)).score], [1, '6:06']);
  await context.close();
});

test('on a signal that takes and never answers, Save says at once that it is on its way', async () => {
  const { context, page } = await visited();
  await open(page, '/today');
  await context.route('**/result', () => {});
  await log(page, '7:42');
  await page.getByText('Sending: 7:42').waitFor({ timeout: 3000 });
  await context.close();
});

test('a day to come is not sent before its day, and what was typed stays', async () => {
  const { context, page } = await visited();
  signal.off = true;
  await open(page, `/days/${day(1)}`);
  await log(page, '7:00');
  await page.getByText(/This is for .*\. Read it now, and log it on the day\./).waitFor();
  assert.deepEqual([await waiting(page).count(), await logForm(page).locator('[name=score]').inputValue()], [0, '7:00']);
  await context.close();
});

test('a kept day that was found unchanged is as of then', async () => {
  const { context, page } = await visited();
  const dates = () => page.evaluate(async () => {
    const cache = await caches.open((await caches.keys()).find((name) => name.startsWith('dowel pages ')));
    const day = (await cache.keys()).find(({ url }) => /\/days\//.test(url));
    const copy = await cache.match(day, { ignoreVary: true });
    return { date: Date.parse(copy.headers.get('date')), version: copy.headers.get('dowel-version'), policy: copy.headers.get('content-security-policy') };
  });
  // kept long ago, and looked after long ago
  const kept = await dates();
  await page.evaluate(async () => {
    const cache = await caches.open((await caches.keys()).find((name) => name.startsWith('dowel pages ')));
    for (const request of await cache.keys()) {
      const copy = await cache.match(request, { ignoreVary: true });
      const headers = new Headers(copy.headers);
      headers.set('date', new Date(0).toUTCString());
      await cache.put(request, new Response(await copy.text(), { headers }));
    }
    await new Promise((yes) => {
      const r = indexedDB.open('dowel');
      r.onsuccess = () => {
        const facts = r.result.transaction('facts', 'readwrite').objectStore('facts');
        facts.get('me').onsuccess = ({ target }) => (facts.put({ ...target.result, at: 0 }).onsuccess = () => yes());
      };
    });
  });
  await open(page, '/movements');
  await until(page, async () => (await caches.keys()).length, () => true);
  for (let i = 0; i < 100 && (await dates()).date === 0; i += 1) await new Promise((done) => setTimeout(done, 50));
  const now = await dates();
  assert.ok(now.date >= kept.date, `${now.date}`);
  assert.deepEqual([now.version, now.policy], [kept.version, kept.policy], 'and is the same page');
  await context.close();
});
