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
