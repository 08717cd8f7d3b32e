// Logging on a phone: few taps, few seconds. And a board that is fresh without a reload, and lets the program stop.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { phone, shell, start } from './dowel.mjs';

const DAY = 86_400_000;
/** How long a tired thumb takes: for a tap, and for a key. Slower than most. */
const TAP = 1_500;
const KEY = 400;

let chromium;
let dowel;
before(async () => {
  chromium = await shell();
  dowel = await start('demo');
});
after(async () => {
  await chromium.close();
  await dowel.stop();
});

async function signIn(who) {
  const name = dowel.printed().match(who === 'coach' ? /as the coach:\s+(\S+)/ : /as a member:\s+(\S+)/)[1];
  const password = dowel.printed().match(/password:\s+(.+)/)[1];
  const page = await (await phone(chromium)).newPage();
  await page.goto(`${dowel.address}/sign-in`);
  await page.getByLabel('E-mail or name').fill(name);
  await page.getByLabel('Password').fill(password);
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await page.waitForURL(/\/(today|week|groups)/);
  return page;
}

const days = Array.from({ length: 14 }, (_, n) => n).map((n) => new Date(Date.now() - n * DAY).toISOString().slice(0, 10));

/** The first of the last days on whose page something like this stands. */
async function dayWith(page, selector) {
  for (const day of days) {
    await page.goto(`${dowel.address}/days/${day}`);
    if ((await page.locator(selector).count()) > 0) return page.locator(selector).first();
  }
  throw new Error(`no day of the last two weeks has ${selector}`);
}

test('from the end of a session to a saved result: at most six taps and twenty seconds', async (t) => {
  const page = await signIn('member');
  const form = await dayWith(page, 'form.score:has(input[name=score][placeholder])');
  const part = page.locator('details.part', { has: form }).first();
  let taps = 0;
  const tap = async (what) => {
    taps += 1;
    await page.waitForTimeout(TAP);
    await what.tap();
  };
  const begun = Date.now();
  if (!(await part.evaluate((d) => d.open))) await tap(part.locator('summary').first());
  const fold = part.locator('details.to-log');
  if (!(await fold.evaluate((d) => d.open))) await tap(fold.locator('summary').first());
  const score = form.locator('input[name=score]');
  await tap(score);
  const text = await score.getAttribute('placeholder');
  await page.keyboard.type(text, { delay: KEY });
  await tap(form.locator('label', { has: page.locator('[name=rpe][value="7"]') }));
  await tap(form.getByRole('button', { name: 'Save' }));
  await page.getByText('Your result is saved.').waitFor();
  const seconds = (Date.now() - begun) / 1000;
  t.diagnostic(`${taps} taps besides the score, ${seconds.toFixed(1)} s at ${TAP} ms a tap and ${KEY} ms a key for ${text}`);
  assert.ok(taps <= 6, `${taps} taps`);
  assert.ok(seconds <= 20, `${seconds} seconds`);
});

test('a board is fresh without a reload, and an open board does not hold up the end', async (t) => {
  const member = await signIn('member');
  const link = await dayWith(member, 'a[href$="/board"]');
  await member.goto(new URL(await link.getAttribute('href'), dowel.address).href);
  await member.evaluate(() => (globalThis.neverReloaded = true));
  const week = await member.context().newPage();
  await week.goto(new URL(await member.locator('.page-end a').getAttribute('href'), dowel.address).href);
  await week.evaluate(() => (globalThis.neverReloaded = true));
  const coach = await signIn('coach');
  const row = member.locator('.place').first();
  const id = (await row.getAttribute('id')).replace('result-', '');
  await coach.goto(`${dowel.address}/results/${id}/correct`);
  const shown = await member.locator(`#result-${id} .result`).textContent();
  const field = coach.getByLabel('Result', { exact: true });
  const typed = await field.inputValue();
  const changed = typed.replace(/\d(?=\D*$)/, (digit) => String((Number(digit) + 1) % 10));
  await field.fill(changed);
  await coach.getByLabel('Why').fill('I read the clock again.');
  await coach.getByRole('button', { name: 'Correct it' }).click();
  await coach.getByText('Saved.').waitFor();
  await member.waitForFunction(
    ([row, before]) => document.querySelector(row)?.textContent !== before,
    [`#result-${id} .result`, shown],
    { timeout: 10_000 },
  );
  assert.equal(await member.evaluate(() => globalThis.neverReloaded), true);
  // a page that is out of sight is read anew when it comes back
  await week.bringToFront();
  await week.waitForFunction(
    ([row, before]) => document.querySelector(row)?.textContent !== before,
    [`#result-${id} .result`, shown],
    { timeout: 10_000 },
  );
  assert.equal(await week.evaluate(() => globalThis.neverReloaded), true);
  const begun = Date.now();
  await dowel.stop();
  const took = Date.now() - begun;
  t.diagnostic(`stopped in ${took} ms with a board open`);
  assert.ok(took < 3_000, `${took} ms to stop`);
});
