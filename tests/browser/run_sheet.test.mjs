// The run sheet on paper: black on white, one sheet of A4 for an ordinary session, nothing of the menu.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { laptop, shell, start } from './dowel.mjs';
import { cookieFor, day, practice } from './practice.mjs';

/** As many movements as anybody could film in a day. */
const FULL = `Long day
Aim: a bit of everything, calm, and no rush between the parts.

Warm-up
2 rounds
10 air squats
10 jumping jacks
8 scapular push-ups
10 glute bridges

A. Back squat
5 x 5 @ 60 kg, rest 2:00

B. Press and row
3 rounds, rest 60 s
8 push press @ 30 kg
10 bent-over rows @ 40 kg
8 split squats each side
12 calf raises
10 hip hinges
10 band pull-aparts

C. AMRAP 12
5 pull-ups
10 push-ups
15 kettlebell swings @ 16 kg
10 box jumps

D. For time, cap 10:00
3 rounds
12 burpees
20 mountain climbers
15 sit-ups
10 walking lunges
10 bird dogs
10 dead bugs

Cool-down
30 s side plank each side
45 s plank
10 thoracic rotations each side
60 s hip flexor stretch each side
60 s child pose
10 cat-cows
10 ankle rocks each side
`;

let chromium, dowel;
before(async () => {
  chromium = await shell();
  dowel = await start('demo');
});
after(async () => {
  await chromium.close();
  await dowel.stop();
});

/** How many sheets of A4 it takes. */
const printedOn = async (page) => (await page.pdf({ preferCSSPageSize: true })).toString('latin1').match(/\/Type\s*\/Page[^s]/g).length;

test('a session of more than twenty movements is one sheet too, in letters that can be read', async () => {
  const place = await practice([{ on: day(), text: FULL }]);
  const page = await (await laptop(chromium)).newPage();
  await page.context().addCookies([cookieFor(place.dowel.address, place.coach)]);
  await page.goto(`${place.dowel.address}${place.group}/days/${day()}/1/run-sheet`);
  await page.emulateMedia({ media: 'print' });
  assert.ok((await page.locator('.run-sheet h3').count()) > 20);
  assert.equal(await printedOn(page), 1);
  // 7 pt
  for (const size of await page.locator('.run-sheet *').evaluateAll((all) => all.map((e) => parseFloat(getComputedStyle(e).fontSize)))) assert.ok(size > 9.3, `${size} px`);
  await place.stop();
});

test('a session prints black on white on one sheet', async (t) => {
  const printed = dowel.printed();
  const page = await (await laptop(chromium, { colorScheme: 'dark' })).newPage();
  await page.goto(`${dowel.address}/sign-in`);
  await page.getByLabel('E-mail or name').fill(printed.match(/as the coach:\s+(\S+)/)[1]);
  await page.getByLabel('Password').fill(printed.match(/password:\s+(.+)/)[1]);
  await page.getByRole('button', { name: 'Sign in', exact: true }).click();
  await page.goto(`${dowel.address}/week`);
  const sheets = await page.locator('a[href$="/run-sheet"]').evaluateAll((links) => links.map((a) => a.href));
  assert.ok(sheets.length >= 3, `${sheets.length} sessions`);
  await page.emulateMedia({ media: 'print' });
  let most = 0;
  for (const sheet of sheets) {
    await page.goto(sheet);
    most = Math.max(most, await printedOn(page));
    const look = await page.evaluate(() => {
      const style = (e) => getComputedStyle(e);
      const shown = [...document.querySelectorAll('main *')].filter((e) => e.checkVisibility() && e.childNodes.length && e.textContent.trim());
      return {
        paper: style(document.body).backgroundColor,
        inks: [...new Set(shown.map((e) => style(e).color))],
        menu: document.querySelector('header.top')?.checkVisibility() ?? false,
        boxes: document.querySelectorAll('.ticks input').length,
      };
    });
    assert.deepEqual([look.paper, look.inks, look.menu], ['rgb(255, 255, 255)', ['rgb(0, 0, 0)'], false], sheet);
    assert.ok(look.boxes > 5, sheet);
  }
  t.diagnostic(`at most ${most} sheets of A4`);
  assert.ok(most <= 1, `${most} sheets`);
});
