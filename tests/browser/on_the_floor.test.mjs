// What a member meets at the clock two metres away: digits that stay large for an hour and for the last seconds, what was done
// where they stopped, what only they know between two sets, and three cues.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { phone, shell } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';

const TEXT = `Harbour lights
Aim: all of it.

A. For time, cap 90:00
20 rounds
10 air squats

B. Back squat
5x3 @ 40 kg, rest 90 s

C. For time, cap 18:00
40 air squats
30 push-ups
15 burpees
20 glute bridges
30 walking lunges

D. 3 x AMRAP 3 min, rest 1 min between
5 push-ups
8 air squats

E. Max effort
max push-ups in 60 s x 3

F. Practice, 8 min
30 s wall handstand hold
20 s side plank each side

G. Back squat
build to a heavy 3 in 15 min

H. AMRAP 60
5 push-ups
10 air squats
`;
const START = new Date('2026-11-25T12:00:00Z').getTime();

let chromium;
let place;
let ines;
before(async () => {
  chromium = await shell();
  place = await practice([{ on: day(), text: TEXT }]);
  ines = await place.member('Ines');
  await ines.call('/you/kit', { bar: 'on', bar_weight: '20', plates: '20, 10, 5, 2.5', rack: 'on' });
});
after(async () => {
  await chromium.close();
  await place.stop();
});

/** The clock of a part on a fresh phone, started; `to(second)` goes to that second of it. */
async function started(part) {
  const context = await phone(chromium, { serviceWorkers: 'block' });
  await context.addCookies([cookieFor(place.dowel.address, ines.call)]);
  const page = await context.newPage();
  await page.clock.install({ time: START - 5000 });
  await page.clock.pauseAt(START);
  await page.goto(`${place.dowel.address}/sessions/1/parts/${part}/clock`);
  await page.locator('[data-tap]').tap();
  // what only a running clock needs has come
  await page.waitForFunction(() => document.querySelector('[data-clock]').style.getPropertyValue('--wide') !== '', null, { polling: 50 }).catch(() => {});
  let now = 0;
  const to = async (second) => {
    const ms = (second + 3) * 1000 - now;
    now += ms;
    await page.clock.runFor(ms);
  };
  return { context, page, to };
}

const button = (page, name) => page.getByRole('button', { name, exact: true });
const tapAnywhere = (page) => page.locator('.clock-face').tap();
const filled = (page) => page.evaluate(() => JSON.parse(localStorage[Object.keys(localStorage).find((key) => key.startsWith('dowel clock'))]).fill);
/** The digits that are seen, how wide they are, and how tall they are drawn. */
const digits = (page) => page.evaluate(() => {
  const rows = [...document.querySelectorAll('.clock-face > :not(.colon)')].filter((e) => e.checkVisibility());
  const range = document.createRange();
  const boxes = rows.map((e) => (range.selectNodeContents(e), range.getBoundingClientRect()));
  return { shown: rows.map((e) => e.textContent), left: Math.min(...boxes.map((b) => b.left)), right: Math.max(...boxes.map((b) => b.right)), tall: parseFloat(getComputedStyle(rows[0]).fontSize) * new DOMMatrix(getComputedStyle(rows[0]).transform).d };
});

test('past an hour the minutes go on in their row, and nothing leaves the screen', async () => {
  const { context, page, to } = await started(0);
  await to(3725);
  const { shown, left, right } = await digits(page);
  assert.deepEqual(shown, ['62', '05']);
  assert.ok(left >= 0 && right <= 360, `${left} to ${right}`);
  for (const name of ['.clock-next', '[data-line]']) {
    const box = await page.locator(name).first().boundingBox();
    assert.ok(box && box.y > 0 && box.y + box.height <= 740, `${name}: ${JSON.stringify(box)}`);
  }
  assert.match(await page.locator('[data-next]').textContent(), /Cap 1:30:00/);
  await context.close();
});

test('a window of an hour leaves its lines as large as they can be', async () => {
  const { context, page, to } = await started(7);
  await to(1);
  const first = await page.locator('[data-line]').first().evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
  assert.deepEqual((await digits(page)).shown, ['59', '59']);
  await to(3590);
  const last = await page.locator('[data-line]').first().evaluate((e) => parseFloat(getComputedStyle(e).fontSize));
  assert.ok(first >= 30 && first === last, `${first} px, then ${last} px`);
  await context.close();
});

test('under a minute the seconds stand alone, larger than two rows of digits', async () => {
  const { context, page, to } = await started(0);
  await to(45);
  const alone = await digits(page);
  await to(75);
  const both = await digits(page);
  assert.deepEqual([alone.shown, both.shown], [['45'], ['01', '15']]);
  assert.ok(alone.tall > both.tall * 1.5, `${alone.tall} beside ${both.tall}`);
  assert.ok(alone.left >= 0 && alone.right <= 360, `${alone.left} to ${alone.right}`);
  await context.close();
});

test('of plain sets that were stopped both forms hold those that were done', async () => {
  const { context, page, to } = await started(1);
  await to(20);
  await tapAnywhere(page);
  await to(115);
  await tapAnywhere(page);
  await to(120);
  await button(page, 'Stop').tap();
  await page.clock.runFor(300);
  await page.getByRole('link', { name: 'Log it' }).tap();
  const part = page.locator('details.part[open]');
  await part.locator('form.do [name=minutes]').waitFor({ state: 'attached' });
  assert.deepEqual(await part.locator('[name=score]').evaluateAll((all) => all.map((field) => field.value)), ['2 x 3 at 40 kg', '2 x 3 at 40 kg']);
  await context.close();
});

test('"All done" by a slip is taken back by one Undo', async () => {
  const { context, page, to } = await started(2);
  await to(30);
  await button(page, 'All done').tap();
  await page.clock.runFor(500);
  await button(page, 'Undo').tap();
  await page.clock.runFor(500);
  assert.equal(await page.locator('[data-what]').textContent(), '1 of 5');
  await context.close();
});

test('each window asks in its rest how far it came, and the score is all of them', async () => {
  const { context, page, to } = await started(3);
  await to(40);
  await tapAnywhere(page);
  await to(185);
  const rows = page.locator('.clock-cut p');
  await rows.nth(0).getByRole('button', { name: 'All' }).tap();
  await rows.nth(1).getByRole('button', { name: '+' }).tap();
  await to(245);
  assert.equal(await page.locator('.clock-cut').isVisible(), false, 'nothing is asked while one works');
  await to(700);
  assert.equal(await rows.count(), 6, 'at the end each window can still be set right');
  await rows.nth(5).getByRole('button', { name: '+' }).tap();
  const { score, note } = await filled(page);
  // 13 and 5 + 1, nothing, 1
  assert.equal(score, '20 reps');
  assert.match(note, /Rounds in each window: 1\+6, 0, 0\+1\./);
  await context.close();
});

test('reps of a test are noted in the rest after each go, which is called before it starts', async () => {
  const { context, page, to } = await started(4);
  await to(62);
  await page.locator('[data-mass]').fill('20');
  await tapAnywhere(page);
  await page.clock.runFor(500);
  assert.equal(await page.locator('[data-what]').textContent(), 'Get ready');
  await to(62 + 5 + 62);
  assert.equal(await page.locator('[data-load-of]').textContent(), 'Reps of set 2');
  await button(page, '20 reps').tap();
  await page.locator('[data-by="-1"]').tap();
  await button(page, 'Stop').tap();
  await page.clock.runFor(300);
  assert.equal((await filled(page)).score, '20+19');
  await context.close();
});

test('a hold of a practice by the clock has its own countdown, and its sides', async () => {
  const { context, page, to } = await started(5);
  await to(30);
  await button(page, 'Start 2 × 0:20').tap();
  await page.clock.runFor(5000);
  assert.match(await page.locator('[data-what]').textContent(), /side plank.*first side/);
  await page.clock.runFor(20_000);
  assert.equal(await page.locator('[data-what]').textContent(), 'Switch sides');
  await context.close();
});

test('a load begins at the bar that is at home', async () => {
  const { context, page, to } = await started(6);
  await to(20);
  await tapAnywhere(page);
  await to(25);
  assert.equal(await button(page, '20 kg').isVisible(), true);
  await page.locator('[data-by="1"]').tap();
  assert.equal(await page.locator('[data-mass]').inputValue(), '22.5');
  await context.close();
});

test('three cues are a touch away, of what is done now', async () => {
  const { context, page, to } = await started(2);
  await to(30);
  await tapAnywhere(page);
  await to(31);
  await page.locator('.clock-cues > summary').tap();
  assert.deepEqual(await page.locator('.clock-cues [data-of]:visible b').allTextContents(), ['push-up', 'burpee', 'glute bridge', 'walking lunge']);
  assert.equal(await page.locator('.clock-cues [data-of]:visible').first().locator('li').count(), 3);
  await page.locator('.clock-cues > summary').tap({ position: { x: 100, y: 20 } });
  await page.clock.runFor(300);
  assert.equal(await page.locator('[data-what]').textContent(), '2 of 5', 'the clock goes on, and a touch there is no tap');
  await context.close();
});
