// Slips and accidents at the clock: a tab that was killed, a second tab, a call, a button beside the one that was meant.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { phone, shell } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';

const TEXT = `Lamp room
Aim: steady.

A. For time, cap 12:00
4 rounds
12 air squats
9 push-ups
`;

let chromium;
let place;
before(async () => {
  chromium = await shell();
  place = await practice([{ on: day(), text: TEXT }]);
});
after(async () => {
  await chromium.close();
  await place.stop();
});

/** A phone with its clock open; `script` runs in each page before anything else. */
async function atTheClock(name, script) {
  const member = await place.member(name);
  const context = await phone(chromium, { serviceWorkers: 'block' });
  await context.addCookies([cookieFor(place.dowel.address, member.call)]);
  if (script) await context.addInitScript(script);
  const open = async () => {
    const page = await context.newPage();
    await page.goto(`${place.dowel.address}/sessions/1/parts/0/clock`);
    return page;
  };
  return { context, open, page: await open() };
}

const start = async (page) => {
  await page.locator('[data-tap]').tap();
  await page.getByText('Round 1 of 4').waitFor();
};
const button = (page, name) => page.getByRole('button', { name, exact: true });

test('whoever has muted the clock has muted it, also after the tab was killed; the choice is theirs alone', async () => {
  const { context, page, open } = await atTheClock('Ines');
  await page.getByLabel('Sound').uncheck();
  await page.getByLabel('Voice').check();
  await start(page);
  await page.close();
  const later = await open();
  const chosen = await later.locator('[data-settings] input').evaluateAll((all) => all.map((box) => box.checked));
  assert.deepEqual(chosen, [false, true]);
  assert.equal(await button(later, 'Sound back on').isVisible(), false, 'nobody wants it');
  await context.close();
  const { context: other, page: his } = await atTheClock('Odo');
  assert.equal(await his.getByLabel('Sound').isChecked(), true);
  await other.close();
});

test('after the tab was killed the sound comes back with a touch that counts nothing', async () => {
  // browsers give no sound before a touch
  const { context, page, open } = await atTheClock('Runa', () => {
    globalThis.AudioContext = class {
      state = 'running';
      currentTime = 0;
      createOscillator = () => ({ frequency: {}, connect: (to) => to, start() {}, stop() {} });
      createGain = () => ({ gain: { setValueAtTime() {}, linearRampToValueAtTime() {} }, connect: (to) => to });
      resume() { this.state = 'running'; }
    };
  });
  await start(page);
  assert.equal(await button(page, 'Sound back on').isVisible(), false, 'it has been touched');
  await page.close();
  const later = await open();
  await button(later, 'Sound back on').tap();
  await button(later, 'Sound back on').waitFor({ state: 'hidden' });
  assert.match(await later.locator('[data-what]').textContent(), /^Round 1 of 4/);
  await context.close();
});

test('"Start over" by a slip is taken back, with every round', async () => {
  const { context, page } = await atTheClock('Sune');
  await start(page);
  await page.locator('.clock-face').tap();
  await page.getByText('Round 2 of 4').waitFor();
  await button(page, 'Stop').tap();
  await button(page, 'Start over').tap();
  await button(page, 'Start').waitFor();
  await button(page, 'Undo').tap();
  await page.getByText('Stopped. What you did counts.').waitFor();
  assert.match(await page.locator('[data-next]').textContent(), /^1 round done/);
  await button(page, 'Start over').tap();
  await start(page);
  assert.equal(await button(page, 'Undo').isDisabled(), true, 'a new start is a new start');
  await context.close();
});

test('the same clock in a second tab loses no tap of either', async () => {
  const { context, page, open } = await atTheClock('Tova');
  await start(page);
  const second = await open();
  await page.locator('.clock-face').tap();
  await second.getByText('Round 2 of 4').waitFor();
  await second.waitForTimeout(400);
  await second.locator('.clock-face').tap();
  await page.getByText('Round 3 of 4').waitFor();
  await button(second, 'Stop').tap();
  await page.getByText('Stopped. What you did counts.').waitFor();
  await context.close();
});

test('a phone without room for the clock says so while it runs', async () => {
  const { context, page } = await atTheClock('Vera', () => {
    Storage.prototype.setItem = () => {
      throw new DOMException('full', 'QuotaExceededError');
    };
  });
  await start(page);
  assert.match(await page.locator('[data-next]').textContent(), /no room to keep the clock/);
  await page.locator('.clock-face').tap();
  await page.getByText('Round 2 of 4').waitFor();
  await context.close();
});
