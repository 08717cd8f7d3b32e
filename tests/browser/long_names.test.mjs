// Long names on the clock: the digits stay a third of the screen, the lines give way, and every control is where a thumb finds it.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { browser, phone } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';

const TEXT = `Rope walk
Aim: steady.

A. For time, cap 12:00
3 rounds
12 single-leg glute bridges each side, slow on the way down and one breath at the top of each
10 alternating reverse lunges with the back knee to the floor and both hands behind the head
8 push-ups

B. EMOM 6
min 1: 10 push-ups, 20 s plank
min 2: 12 single-leg glute bridges each side, slow on the way down and one breath at the top of each
`;
const START = new Date('2026-11-27T12:00:00Z').getTime();

let chromium;
let place;
let member;
before(async () => {
  chromium = await browser();
  place = await practice([{ on: day(), text: TEXT }]);
  member = await place.member('Ines');
});
after(async () => {
  await chromium.close();
  await place.stop();
});

/** The clock of a part on a screen of this size, with longer lines than any library has. */
async function open(part, [width, height], large) {
  const context = await phone(chromium, { viewport: { width, height }, serviceWorkers: 'block' });
  await context.addCookies([cookieFor(place.dowel.address, member.call)]);
  const page = await context.newPage();
  await page.addInitScript((percent) => {
    addEventListener('DOMContentLoaded', () => {
      const larger = new CSSStyleSheet();
      larger.replaceSync(`html { font-size: ${percent}% }`);
      document.adoptedStyleSheets = [larger];
    });
  }, large ? 200 : 100);
  await page.route('**/clock', async (route) => {
    const answer = await route.fetch();
    const body = (await answer.text()).replaceAll('single-leg glute bridge', 'single-leg glute bridge with the free knee held high and a slow way down');
    await route.fulfill({ response: answer, body });
  });
  await page.clock.install({ time: START - 5000 });
  await page.clock.pauseAt(START);
  await page.goto(`${place.dowel.address}/sessions/1/parts/${part}/clock`);
  await page.clock.runFor(200);
  return { context, page };
}

/** What a touch would not reach, in the middle of each control; and the lines that one would have to scroll for. */
const hidden = (page) => page.evaluate(() => {
  const reached = (e) => {
    const { left, top, width, height } = e.getBoundingClientRect();
    const there = document.elementFromPoint(left + width / 2, top + height / 2);
    return e.contains(there);
  };
  const controls = [...document.querySelectorAll('.clock .do > :is(button, a), .clock-change > summary')].filter((e) => e.getClientRects().length);
  return controls.filter((e) => !reached(e) || e.getBoundingClientRect().height < 48).map((e) => e.textContent.trim());
});
const scrolled = (page) => page.locator('.clock-do').evaluate((e) => e.scrollHeight - e.clientHeight);

for (const size of [[390, 844], [360, 740], [320, 568], [844, 390]]) {
  test(`at ${size.join(' x ')} "Not today?" and every button are reached, and the digits are a third of the screen`, async () => {
    for (const part of [0, 1]) {
      const { context, page } = await open(part, size, false);
      assert.deepEqual(await hidden(page), [], 'before the start');
      await page.locator('[data-tap]').tap();
      // in the second minute of the EMOM its long line is on
      await page.clock.runFor(part === 0 ? 10_000 : 75_000);
      assert.deepEqual(await hidden(page), [], 'while it runs');
      const face = await page.locator('.clock-face').boundingBox();
      assert.ok(face.height >= size[1] / 3, `${face.height} of ${size[1]}`);
      // the words find their size with the next picture
      for (let i = 0; i < 40 && (await scrolled(page)) > 0; i += 1) await new Promise((done) => setTimeout(done, 25));
      if (size[1] > 600) assert.ok((await scrolled(page)) <= 0, `${await scrolled(page)} px of the lines are out of sight`);
      const words = await page.locator('[data-line]').evaluateAll((all) => all.map((e) => parseFloat(getComputedStyle(e).fontSize)));
      assert.ok(Math.min(...words) >= 18, `${words} px`);
      await context.close();
    }
  });

  test(`at ${size.join(' x ')} and 200 % text every control is reached`, async () => {
    const { context, page } = await open(0, size, true);
    assert.deepEqual(await hidden(page), [], 'before the start');
    await page.locator('[data-tap]').tap();
    await page.clock.runFor(10_000);
    assert.deepEqual(await hidden(page), [], 'while it runs');
    await context.close();
  });
}

test('nothing of the clock moves when its script comes', async () => {
  const context = await phone(chromium, { viewport: { width: 412, height: 823 }, serviceWorkers: 'block' });
  await context.addCookies([cookieFor(place.dowel.address, member.call)]);
  const page = await context.newPage();
  // the script comes well after the page was painted
  await page.route('**/clock/page.js', async (route) => {
    await new Promise((done) => setTimeout(done, 400));
    await route.continue();
  });
  await page.addInitScript(() => {
    window.moved = 0;
    new PerformanceObserver((list) => list.getEntries().forEach(({ value }) => (window.moved += value))).observe({ type: 'layout-shift', buffered: true });
  });
  await page.goto(`${place.dowel.address}/sessions/1/parts/0/clock`, { waitUntil: 'networkidle' });
  assert.ok((await page.evaluate(() => window.moved)) < 0.05, `${await page.evaluate(() => window.moved)}`);
  await context.close();
});
