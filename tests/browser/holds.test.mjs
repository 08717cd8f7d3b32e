// What a member starts by hand in the middle of work: lines that are held for a time, counted down in the big digits; and the
// other side of reps.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { phone, shell } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';

const TEXT = `Lamp room
Aim: steady.

A. AMRAP 7
10 air squats
30 s plank
20 s side plank each side

B. For time, cap 12:00
20 air squats
60 s plank
10 push-ups

C. Split squat
3 x 8 each side, rest 60 s

D. AMRAP 7
6 lunges each side
10 push-ups
`;
const START = new Date('2026-11-25T12:00:00Z').getTime();

let chromium;
let place;
let ines;
before(async () => {
  chromium = await shell();
  place = await practice([{ on: day(), text: TEXT }]);
  ines = await place.member('Ines');
});
after(async () => {
  await chromium.close();
  await place.stop();
});

/** The clock of a part, started; `wait(seconds)` lets them pass. */
async function started(part) {
  const context = await phone(chromium, { serviceWorkers: 'block' });
  await context.addCookies([cookieFor(place.dowel.address, ines.call)]);
  const page = await context.newPage();
  await page.addInitScript(() => {
    window.felt = [];
    navigator.vibrate = (pattern) => window.felt.push(String(pattern));
  });
  await page.clock.install({ time: START - 5000 });
  await page.clock.pauseAt(START);
  await page.goto(`${place.dowel.address}/sessions/1/parts/${part}/clock`);
  await page.locator('[data-tap]').tap();
  const wait = (seconds) => page.clock.runFor(seconds * 1000);
  await wait(3);
  return { context, page, wait };
}

const face = (page) => page.evaluate(() => `${document.querySelector('[data-min]').textContent}:${document.querySelector('[data-sec]').textContent}`);
const what = (page) => page.locator('[data-what]').textContent();
const big = (page) => page.locator('[data-tap]').textContent();

test('a hold in a round is started by a tap, counted down, and the round is tapped after it', async () => {
  const { context, page, wait } = await started(0);
  await wait(20);
  assert.deepEqual(await page.locator('[data-hold]').allTextContents(), ['Start 0:30', 'Start 2 × 0:20']);
  for (const box of await page.locator('[data-hold]').evaluateAll((all) => all.map((e) => e.getBoundingClientRect().height))) assert.ok(box >= 48, `${box}`);
  await page.locator('[data-hold]').first().tap();
  await wait(1);
  assert.deepEqual([await what(page), await face(page)], ['Get ready', '00:02']);
  await wait(12);
  assert.deepEqual([await what(page), await face(page), await big(page)], ['30 s plank', '00:20', 'End the hold']);
  assert.equal(await page.locator('[data-next]').textContent(), 'Clock 6:27', 'the whole goes on');
  assert.equal(await page.locator('[data-hold]').count(), 0);
  // the page is lost in the middle of it
  await page.reload();
  await wait(0.1);
  assert.equal(await what(page), '30 s plank');
  await wait(20);
  assert.deepEqual([await what(page), await big(page)], ['Round 1', 'Round done']);
  await page.locator('[data-hold]').last().tap();
  await wait(10);
  assert.equal(await what(page), '20 s side plank, per side, first side');
  // too long today: a tap anywhere lets go of it and counts nothing
  await page.locator('.clock-face').tap();
  await wait(1);
  assert.equal(await what(page), 'Round 1');
  await page.locator('.clock-face').tap();
  await wait(1);
  assert.equal(await what(page), 'Round 2');
  await context.close();
});

test('work done once through: the line that is on is counted down, and a tap goes on to the next', async () => {
  const { context, page, wait } = await started(1);
  await wait(40);
  assert.equal(await page.locator('[data-hold]').count(), 0, 'what is still to come is not begun');
  await page.locator('.clock-face').tap();
  await wait(2);
  await page.locator('[data-hold]').tap();
  await wait(33);
  assert.deepEqual([await face(page), await page.locator('[data-all]').isVisible()], ['00:30', false]);
  await wait(31);
  assert.deepEqual([await what(page), await face(page)], ['2 of 3', '01:46']);
  await page.locator('.clock-face').tap();
  await wait(10);
  await page.locator('.clock-face').tap();
  await wait(1);
  assert.match(await what(page), /^Done/);
  assert.match(await page.locator('[data-next]').textContent(), /Splits: 0:40, 1:06, 0:10/);
  await context.close();
});

/** What was felt last: each signal has a pattern of its own. */
const felt = (page) => page.evaluate(() => window.felt.at(-1));
const SWITCH = '80,60,80,60,80';

test('a set for each side turns over by a tap anywhere, with its own signal, and is done by the next', async () => {
  const { context, page, wait } = await started(2);
  await wait(10);
  assert.deepEqual([await what(page), await big(page)], ['Set 1 of 3, first side', 'Other side']);
  await page.locator('.clock-face').tap();
  await wait(1);
  assert.deepEqual([await what(page), await big(page), await felt(page)], ['Set 1 of 3, second side', 'Set done', SWITCH]);
  // two touches of one knuckle are one
  await page.getByRole('button', { name: 'Undo' }).tap();
  await wait(1);
  await page.locator('.clock-face').tap();
  await page.locator('.clock-face').tap();
  await wait(1);
  assert.equal(await what(page), 'Set 1 of 3, second side');
  await page.reload();
  await wait(0.1);
  assert.equal(await what(page), 'Set 1 of 3, second side', 'loaded again');
  await page.locator('.clock-face').tap();
  await wait(1);
  assert.equal(await what(page), 'Rest');
  await wait(60);
  assert.equal(await what(page), 'Set 2 of 3, first side');
  await context.close();
});

test('among other lines the one for each side is turned over at its own button, and a tap anywhere is the round', async () => {
  const { context, page, wait } = await started(3);
  await wait(10);
  const turn = page.locator('[data-turn]');
  assert.deepEqual(await turn.allTextContents(), ['first side ⇄'], 'one line has sides');
  assert.ok((await turn.boundingBox()).height >= 48);
  await turn.tap();
  await wait(1);
  assert.deepEqual([await turn.textContent(), await felt(page), await what(page)], ['second side ⇄', SWITCH, 'Round 1']);
  await page.locator('.clock-face').tap();
  await wait(1);
  assert.deepEqual([await turn.textContent(), await what(page)], ['first side ⇄', 'Round 2']);
  await context.close();
});
