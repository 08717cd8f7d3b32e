// A phone whose stores are closed, full or damaged: it keeps nothing, and Dowel works as long as there is a signal.
import assert from 'node:assert/strict';
import { after, before, beforeEach, test } from 'node:test';
import { browser, phone } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';
import { relay } from './relay.mjs';
import { log, logForm, pagesKept, until } from './visit.mjs';

const TEXT = 'Lamp room\n\nA. For time, cap 12:00\n4 rounds\n12 air squats\n9 push-ups\n';

let chromium;
let place;
let signal;
let count = 0;
before(async () => {
  chromium = await browser();
  place = await practice([{ on: day(), text: TEXT }]);
  signal = await relay(place.dowel.address);
});
after(async () => {
  await chromium.close();
  await signal.close();
  await place.stop();
});
beforeEach(() => Object.assign(signal, { off: false, down: null, hold: null, seen: [] }));

/** A member's phone; `script` runs in each page before anything else. */
async function phoneOf(script) {
  const member = await place.member(`member${(count += 1)}`);
  const context = await phone(chromium);
  await context.addCookies([cookieFor(signal.address, member.call)]);
  if (script) await context.addInitScript(script);
  const page = await context.newPage();
  const open = (path) => page.goto(signal.address + path);
  await open('/today');
  return { member, context, page, open };
}

const logged = async (member) => (await member.call(`/days/${day()}`)).text.match(/You logged <b>([^<]*)/)?.[1];

async function signOut(page) {
  await page.goto(`${signal.address}/you`);
  await page.getByRole('button', { name: 'Sign out' }).click();
}

test('with the stores of its pages closed a phone logs, and signs out', async () => {
  const { member, context, page } = await phoneOf(() => {
    const closed = { get() { throw new DOMException('closed', 'SecurityError'); } };
    Object.defineProperty(window, 'localStorage', closed);
    Object.defineProperty(window, 'sessionStorage', closed);
  });
  const errors = [];
  page.on('pageerror', (error) => errors.push(error.message));
  await page.reload();
  await log(page, '7:42');
  await page.locator('.part.done').waitFor();
  assert.equal(await logged(member), '7:42');
  await signOut(page);
  await page.waitForURL(/sign-in/);
  assert.deepEqual(errors, []);
  await context.close();
});

test('one thing that cannot be read does not keep the rest of another person there', async () => {
  const { context, page } = await phoneOf();
  await page.evaluate(() => {
    localStorage.setItem('dowel clock 0 1 0', '{"plan":');
    localStorage.setItem('dowel clock 1 1 0', '{"plan":');
    localStorage.setItem('dowel draft 0 1 p0 v1 /sessions/1/parts/0/result', '[["score","1:11"]]');
    localStorage.setItem('dowel place 0 /media/a', '12');
  });
  await page.reload();
  await until(page, () => !Object.keys(localStorage).some((key) => /^dowel \w+ 0 /.test(key)));
  await context.close();
});

/** The worker's stores, from now on; `how` is one of BROKEN. */
async function breakStores(context, how) {
  const [worker] = context.serviceWorkers();
  await worker.evaluate((name) => {
    const act = {
      silent: () => new Promise(() => {}),
      full: () => Promise.reject(new DOMException('full', 'QuotaExceededError')),
      damaged: () => {
        throw new DOMException('damaged', 'UnknownError');
      },
    }[name];
    if (name !== 'full') for (const method of ['match', 'open', 'keys', 'has', 'delete']) CacheStorage.prototype[method] = act;
    for (const method of ['put', 'add', 'addAll']) Cache.prototype[method] = act;
    // a request that is never answered, or an exception
    const ask = name === 'silent' ? () => ({}) : act;
    IDBFactory.prototype.open = ask;
    for (const method of name === 'full' ? ['put'] : ['get', 'getAll', 'put', 'delete', 'clear']) IDBObjectStore.prototype[method] = ask;
  }, how);
}

for (const how of ['silent', 'full', 'damaged']) {
  test(`a worker whose store is ${how} leaves pages, their files and forms to the network, soon`, async () => {
    const { member, context, page, open } = await phoneOf();
    await until(page, pagesKept, (n) => n >= 2);
    await until(page, () => Boolean(navigator.serviceWorker.controller));
    await breakStores(context, how);
    for (const path of ['/today', '/history', '/movements']) {
      const begun = Date.now();
      const answer = await open(path);
      assert.equal(answer.status(), 200, path);
      assert.equal(answer.fromServiceWorker(), true, 'the worker is there');
      assert.equal(await page.evaluate(() => document.styleSheets.length > 0 && [...document.styleSheets].every((sheet) => sheet.cssRules.length > 0)), true, `${path} is styled`);
      assert.ok(Date.now() - begun < 4000, `${path} took ${Date.now() - begun} ms`);
    }
    await open('/today');
    await log(page, '7:42');
    await page.locator('.part.done').waitFor();
    assert.equal(await logged(member), '7:42');
    await signOut(page);
    await page.waitForURL(/sign-in/, { timeout: 15_000 });
    await context.close();
  });
}

test('with a silent store and no signal a page says so soon, and a sign-out does not claim to be one', async () => {
  const { context, page, open } = await phoneOf();
  await until(page, pagesKept, (n) => n >= 2);
  await until(page, () => Boolean(navigator.serviceWorker.controller));
  await breakStores(context, 'silent');
  await open('/you');
  signal.off = true;
  await page.getByRole('button', { name: 'Sign out' }).click();
  await page.getByRole('heading', { name: 'Not signed out at the server yet' }).waitFor({ timeout: 20_000 });
  assert.match(await page.locator('body').textContent(), /Do not hand this phone on before it has worked/);
  signal.off = false;
  await page.getByRole('button', { name: 'Try again' }).click();
  await page.waitForURL(/sign-in/, { timeout: 15_000 });
  await context.close();
});

test('a page whose own store is silent still logs, and signs out', async () => {
  const { member, context, page, open } = await phoneOf(() => {
    if (!('IDBObjectStore' in globalThis)) return;
    IDBFactory.prototype.open = () => ({});
  });
  await open('/today');
  await log(page, '7:42');
  await page.locator('.part.done').waitFor({ timeout: 15_000 });
  assert.equal(await logged(member), '7:42');
  await signOut(page);
  await page.waitForURL(/sign-in/, { timeout: 20_000 });
  await context.close();
});
