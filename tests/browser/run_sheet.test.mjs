// The run sheet on paper: black on white, one sheet of A4 for an ordinary session, nothing of the menu.
import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { laptop, shell, start } from './dowel.mjs';

let chromium, dowel;
before(async () => {
  chromium = await shell();
  dowel = await start('demo');
});
after(async () => {
  await chromium.close();
  await dowel.stop();
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
    const pdf = (await page.pdf({ preferCSSPageSize: true })).toString('latin1');
    most = Math.max(most, pdf.match(/\/Type\s*\/Page[^s]/g).length);
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
