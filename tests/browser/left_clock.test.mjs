// Clocks that were left: one leads back from the top of the page, for some hours; the others from their part. None is lost.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { browser, phone } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';

const TEXT = `Tar shed
Aim: steady.

A. For time, cap 40:00
4 rounds
12 air squats

B. For time, cap 40:00
3 rounds
9 push-ups

C. AMRAP 5
6 air squats
`;

let chromium;
let place;
before(async () => {
  chromium = await browser();
  place = await practice([{ on: day(), text: TEXT }]);
});
after(async () => {
  await chromium.close();
  await place.stop();
});

/** A phone on which the clocks of these parts were begun one after the other, one round done, and left paused. */
async function leftAt(name, parts) {
  const member = await place.member(name);
  const context = await phone(chromium, { serviceWorkers: 'block' });
  await context.addCookies([cookieFor(place.dowel.address, member.call)]);
  const page = await context.newPage();
  await page.clock.install();
  const open = (part) => page.goto(`${place.dowel.address}/sessions/1/parts/${part}/clock`);
  for (const part of parts) {
    await open(part);
    await page.locator('[data-tap]').tap();
    await page.waitForFunction(() => document.querySelector('.clock').matches('.work'));
    // a second tap at once would be a slip
    await page.clock.runFor(400);
    await page.locator('.clock-face').tap();
    await page.getByText(/^Round 2/).waitFor();
    await page.getByRole('button', { name: 'Pause' }).tap();
  }
  const today = () => page.goto(`${place.dowel.address}/today`);
  await today();
  return { context, page, open, today };
}

const atTop = (page) => page.getByRole('link', { name: /^Back to the clock: / });
const atPart = (page, part) => page.locator(`a[href$="/parts/${part}/clock"]`);
/** So many hours go by for what is kept on the device. */
const wait = (page, hours) => page.evaluate((ms) => {
  for (const key of Object.keys(localStorage).filter((k) => k.startsWith('dowel clock '))) {
    const clock = JSON.parse(localStorage[key]);
    const taps = clock.taps.map((tap) => ({ ...tap, at: tap.at - ms }));
    localStorage[key] = JSON.stringify({ ...clock, start: clock.start - ms, taps });
  }
}, hours * 3_600_000);

test('of two clocks that were left the last one leads back from the top, each from its part, and both hold what was done', async () => {
  const { context, page, open } = await leftAt('Ines', [0, 1]);
  await atTop(page).waitFor();
  assert.equal(await atTop(page).count(), 1);
  assert.match(await atTop(page).getAttribute('href'), /\/parts\/1\/clock$/);
  assert.deepEqual([await atPart(page, 0).last().textContent(), await atPart(page, 2).last().textContent()], ['Back to the clock', 'Start the clock']);
  await open(0);
  await page.getByText('Paused').waitFor();
  await page.getByRole('button', { name: 'Go on' }).tap();
  await page.getByText('Round 2 of 4').waitFor();
  await context.close();
});

test('one that is put away does not call up the one before it', async () => {
  const { context, page, today } = await leftAt('Odo', [0, 1]);
  await page.getByRole('button', { name: 'Put away' }).tap();
  await today();
  await page.getByText('Back to the clock').first().waitFor({ state: 'attached' });
  assert.equal(await atTop(page).count(), 0);
  assert.equal(await atPart(page, 1).last().textContent(), 'Back to the clock');
  await context.close();
});

test('after some hours none stands at the top; the next day what was done can still be logged', async () => {
  const { context, page, open, today } = await leftAt('Runa', [0]);
  await wait(page, 4);
  await today();
  await page.getByText('Back to the clock').first().waitFor({ state: 'attached' });
  assert.equal(await atTop(page).count(), 0);
  await wait(page, 20);
  await open(0);
  await page.getByText('Stopped. What you did counts.').waitFor();
  assert.match(await page.locator('[data-next]').textContent(), /^1 round done/);
  await page.getByRole('link', { name: 'Log it' }).tap();
  const form = page.locator('details.part[open] form.score');
  await form.waitFor();
  assert.match(await form.locator('[name=score]').inputValue(), /^12 reps$/);
  await context.close();
});

test('a part that was logged by hand needs its clock no more', async () => {
  const { context, page } = await leftAt('Sune', [0]);
  await atTop(page).waitFor();
  const part = page.locator('details.part').first();
  await part.locator('.to-log > summary').tap();
  await part.locator('form.score [name=score]').fill('7:42');
  await part.getByRole('button', { name: 'Save' }).tap();
  await page.locator('details.part.done').first().waitFor({ state: 'attached' });
  await page.waitForLoadState('networkidle');
  assert.equal(await atTop(page).count(), 0);
  assert.equal(await page.getByText('Back to the clock').count(), 0);
  await context.close();
});

test('a log that is not taken leaves the way back to its clock', async () => {
  const { context, page, today } = await leftAt('Ebba', [0]);
  const part = page.locator('details.part').first();
  await part.locator('.to-log > summary').tap();
  await part.locator('form.score [name=score]').fill('quickly');
  await part.getByRole('button', { name: 'Save' }).tap();
  await page.getByText(/^Not saved yet/).waitFor();
  await today();
  await atTop(page).waitFor();
  assert.equal(await atPart(page, 0).last().textContent(), 'Back to the clock');
  await context.close();
});
