// Text at 200 % on a phone: the controls of the clock stay on the screen, and no word of the day breaks in its middle.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { phone, shell } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';
import { drawn } from './visit.mjs';

const TEXT = `Lamp room
Aim: one pace from first to last, and no hurry in the changeover.

A. AMRAP 12
10 air squats
30 s plank
20 s side plank each side
8 push-ups
10 alternating lunges

B. For time, cap 18:00
40 air squats
30 push-ups
15 burpees
20 glute bridges
30 mountain climbers

C. Back squat
5 x 5 @ 40 kg, rest 2:00

D. EMOM 6
min 1: 10 push-ups, 20 s plank
min 2: 12 air squats

E. For time, cap 10:00
5 rounds
12 air squats
`;

/** A day that the coach gave no title: its heading is the date. */
const UNTITLED = 'A. Squat\n3 x 5 back squat @ 60 kg\n';

let chromium;
let place;
let context;
let page;
before(async () => {
  chromium = await shell();
  place = await practice([{ on: day(), text: TEXT }, { on: day(-1), text: UNTITLED }]);
  const ines = await place.member('Ines');
  context = await phone(chromium, { serviceWorkers: 'block' });
  await context.addCookies([cookieFor(place.dowel.address, ines.call)]);
  page = await context.newPage();
  await page.addInitScript(() => {
    addEventListener('DOMContentLoaded', () => {
      const larger = new CSSStyleSheet();
      larger.replaceSync('html { font-size: 200% }');
      document.adoptedStyleSheets = [larger];
    });
  });
});
after(async () => {
  await chromium.close();
  await place.stop();
});

/** Buttons of the clock that are not wholly on the screen, are too small, or whose words do not fit. */
const bad = () =>
  page.evaluate(() => {
    const faults = [];
    for (const e of document.querySelectorAll('.clock-what, .clock-face, .clock .do > *')) {
      const box = e.getBoundingClientRect();
      if (!box.width) continue;
      const name = e.textContent.trim();
      if (box.top < 0 || box.bottom > innerHeight || box.left < 0 || box.right > innerWidth) faults.push(`${name} is off the screen`);
      if (e.matches('.do > *') && box.height < 48) faults.push(`${name} is ${box.height} px high`);
      if (e.scrollWidth > e.clientWidth + 1) faults.push(`${name} does not fit`);
    }
    return faults;
  });

for (const part of [0, 1, 2, 3]) {
  test(`the clock of part ${part}: before the start, while it runs, paused and at the end every control is on the screen`, async () => {
    for (const [width, height] of [[360, 740], [740, 360]]) {
      await page.setViewportSize({ width, height });
      await page.goto(`${place.dowel.address}/sessions/1/parts/${part}/clock`);
      await page.locator('[data-tap]:enabled').waitFor();
      const where = (moment) => `${moment}, ${width} x ${height}`;
      assert.deepEqual(await bad(), [], where('before the start'));
      await page.locator('[data-tap]').tap();
      assert.deepEqual(await bad(), [], where('counting down'));
      await page.waitForFunction(() => document.querySelector('.clock').matches('.work'));
      assert.deepEqual(await bad(), [], where('running'));
      for (const name of ['Pause', 'Stop', 'Back']) assert.equal(await page.getByRole(name === 'Back' ? 'link' : 'button', { name, exact: true }).isVisible(), true, name);
      await page.getByRole('button', { name: 'Pause' }).tap();
      assert.deepEqual(await bad(), [], where('paused'));
      await page.getByRole('button', { name: 'Stop' }).tap();
      await page.getByRole('link', { name: 'Log it' }).waitFor();
      assert.deepEqual(await bad(), [], where('at the end'));
      for (const row of await page.locator('.clock-cut output').evaluateAll((all) => all.map((e) => e.clientWidth))) assert.ok(row >= 100, `${row} px for the words of a row`);
      await page.evaluate(() => localStorage.clear());
    }
  });
}

test('where few lines stand below, the digits are a third of the screen also with large text', async () => {
  for (const [width, height] of [[360, 740], [740, 360]]) {
    await page.setViewportSize({ width, height });
    await page.goto(`${place.dowel.address}/sessions/1/parts/4/clock`);
    await page.locator('[data-tap]').tap();
    await page.waitForFunction(() => document.querySelector('.clock').matches('.work'));
    await page.waitForFunction(`(${drawn})() >= 1 / 3`, null, { polling: 50, timeout: 5000 }).catch(() => {});
    const share = await page.evaluate(drawn);
    assert.ok(share >= 1 / 3, `${width} x ${height}: ${share}`);
    assert.deepEqual(await bad(), []);
    await page.evaluate(() => localStorage.clear());
  }
});

/** Words of a page that stand on two lines where nobody said that they may. */
const broken = () =>
  page.evaluate(() => {
    const found = [];
    const walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    for (let node = walk.nextNode(); node; node = walk.nextNode()) {
      for (const { 0: word, index } of node.textContent.matchAll(/[^\s\-–—·/\u00ad]+/g)) {
        // its hyphen stands on the line before
        if (node.textContent[index - 1] === '\u00ad') continue;
        const range = document.createRange();
        range.setStart(node, index);
        range.setEnd(node, index + word.length);
        const tops = new Set([...range.getClientRects()].map(({ top }) => Math.round(top)));
        if (tops.size > 1) found.push(word);
      }
    }
    return found;
  });

test('on the day no word breaks in its middle, and nothing is wider than the screen', async () => {
  await page.setViewportSize({ width: 360, height: 740 });
  await page.goto(`${place.dowel.address}/days/${day()}`);
  await page.locator('details.part').first().waitFor();
  assert.deepEqual(await broken(), []);
  await page.evaluate(() => document.querySelectorAll('details').forEach((d) => (d.open = true)));
  assert.deepEqual(await broken(), [], 'with everything open');
  assert.equal(await page.evaluate(() => document.documentElement.scrollWidth <= innerWidth), true);
});

test('on a board names, versions and the tabs below are read whole', async () => {
  await page.setViewportSize({ width: 360, height: 740 });
  await page.goto(`${place.dowel.address}/days/${day()}`);
  const form = page.locator('form.score[action$="/parts/1/result"]');
  await form.evaluate((e) => (e.closest('details').open = e.closest('details.part').open = true));
  await form.locator('[name=score]').fill('14:20');
  await form.getByRole('button', { name: 'Save' }).tap();
  await page.waitForURL(/said=/);
  for (const at of ['/sessions/1/parts/1/board', '/movements']) {
    await page.goto(place.dowel.address + at);
    await page.locator('h1').first().waitFor();
    assert.deepEqual(await broken(), [], at);
  }
});

const headings = () => page.evaluate(() => [...document.querySelectorAll('h1, h2, h3')].flatMap((h) => {
  const found = [];
  const walk = document.createTreeWalker(h, NodeFilter.SHOW_TEXT);
  for (let node = walk.nextNode(); node; node = walk.nextNode()) {
    for (const { 0: word, index } of node.textContent.matchAll(/[\p{L}\d]+/gu)) {
      const range = document.createRange();
      range.setStart(node, index);
      range.setEnd(node, index + word.length);
      if (new Set([...range.getClientRects()].map(({ top }) => Math.round(top))).size > 1) found.push(word);
    }
  }
  return found;
}));

test('no heading of the pages around the day breaks inside a word', async () => {
  await page.setViewportSize({ width: 360, height: 740 });
  for (const at of [`/days/${day(-1)}`, '/history', '/you', '/movements', '/sessions/1/parts/1/board', '/you/kit']) {
    await page.goto(place.dowel.address + at);
    await page.locator('h1').first().waitFor();
    assert.deepEqual(await headings(), [], at);
  }
});

test('the coach’s menu is two rows on a phone, and nothing of it is cut off', async () => {
  const own = await phone(chromium, { serviceWorkers: 'block' });
  await own.addCookies([cookieFor(place.dowel.address, place.coach)]);
  const review = await own.newPage();
  await review.goto(`${place.dowel.address}/review`);
  const seen = await review.evaluate(() => ({
    high: document.querySelector('header.top').getBoundingClientRect().height,
    rows: new Set([...document.querySelectorAll('header.top :is(a, button)')].map((e) => Math.round((e.getBoundingClientRect().top + e.getBoundingClientRect().bottom) / 20))).size,
    inside: [...document.querySelectorAll('header.top :is(a, button)')].every((e) => e.getBoundingClientRect().right <= innerWidth),
  }));
  assert.deepEqual({ rows: seen.rows, inside: seen.inside }, { rows: 2, inside: true });
  assert.ok(seen.high <= 120, `${seen.high} px`);
  await own.close();
});
